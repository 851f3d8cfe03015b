"""A paper on screen: free working for each question, without help, until it is handed in.

Working is kept line by line as it is typed, so that a paper can be left and gone on with.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from grammar.reading import read_network
from grammar.records import Refusal
from grammar.spoken_numbers import in_figures
from tutor.circuit.network import build
from tutor.front.chat.account import WHAT_NOW
from tutor.front.chat.stages import Answer, Chat, Writing
from tutor.practice.papers import ExamPaper, make_paper, paper_in
from tutor.practice.papers_drawn import PaperQuestion
from tutor.practice.questions.kinds import story_of_question
from tutor.teaching.depicted import Depicted
from tutor.teaching.hearing import plain, request_in, yes_or_no
from tutor.teaching.in_sight import of_telling
from tutor.teaching.marking.marked import MOST_LINES, in_marks
from tutor.teaching.messages import Message
from tutor.teaching.settings import Settings
from tutor.teaching.speech import counted, listed, speech_for
from tutor.teaching.staged.choosing import is_lettered, names_one
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Telling
from tutor.teaching.turn import of_walk
from tutor.teaching.walk import begin_walk
from tutor.teaching.wording import Wording

PAPER = re.compile(r"(?i)\s*(?:a\s+|an\s+|the\s+)?(?:exam\s+)?paper\b\s*:?\s*(.*?)\s*[.!]?\s*$")
QUESTION = re.compile(r"(?:question|(?:no|nr|number)(?: of)?)(?: (?:number|no|nr))? (\d{1,3})")
NEXT_WORDS = (
    "next", "next question", "next one", "on", "question after", "skip", "skip it",
    "skip this", "skip this one", "skip this question",
)
BACK_WORDS = (
    "back", "previous", "question before", "previous question", "previous one", "one before",
    "last question", "back one",
)
CLEAR_WORDS = ("clear", "clear it", "take it away", "cross it out")
LIST_WORDS = ("list", "the list", "where are we", "where am i", "how far am i")
HOME_WORDS = ("home", "leave the paper", "something else")
HAND_IN = (
    "hand in", "hand it in", "hand in the paper", "i am done", "im done", "finished", "finish",
    "done", "end", "mark it", "mark the paper",
)
NO_HELP = "In a paper there is no help; it comes afterwards. Write what you can, or 'next'."
HOW = (
    "Write your working line by line, with units. An empty line or 'next' goes to the next "
    "question, 'question 2' to that one, 'undo' takes away the last line and 'clear' all that you "
    "wrote there, 'list' tells how far you are, 'hand in' ends the paper, 'stop' leaves it."
)
SURE: Final = "Hand in with that: yes or no?"
NOT_HOME = "'hand in' ends the paper; 'stop' leaves it, and where a record is kept its place too."
LONGEST_LINE: Final = 1_000
MORE: Final = Message("ask", "Next line, or an empty one for the next question:")


def paper_asked_for(chat: Chat, line: str) -> Answer | None:
    """A paper, where a line orders one."""
    found = PAPER.match(line)
    if found is None:
        return None
    try:
        paper = make_paper(paper_in(found[1], chat.person.seed))
    except Refusal as refusal:
        said = Message("verdict", str(refusal), verdict="unread")
        return Answer(chat, (said, Message("ask", WHAT_NOW)))
    said = Message("say", "\n".join(_heading(paper)))
    stage = Writing(paper, scripts=((),) * len(paper.questions))
    return _asked(chat.on_a_new_problem()._replace(course=None), stage, [said])


def _heading(paper: ExamPaper) -> Iterator[str]:
    number = counted(len(paper.questions), "question")
    yield f"A paper: {number}, {in_marks(paper.marks)}."
    wanted = paper.order.wanted
    if wanted is not None and paper.marks != wanted:
        yield f"Whole questions came to {paper.marks} of the {in_marks(wanted)} you wanted."
    if paper.order.questions not in (None, len(paper.questions)):
        yield f"You wanted {paper.order.questions} questions; there are no more of these units."
    if paper.order.minutes is not None:
        yield (
            f"You named {paper.order.minutes} minutes; about {paper.usual_minutes} are usual. "
            "Nobody counts them."
        )
    yield (
        f"Its seed is {paper.order.seed}: the command platewalk paper '{paper.in_words}' "
        "--print paper.pdf puts it on paper."
    )
    yield HOW


def _asked(chat: Chat, stage: Writing, said: list[Message]) -> Answer:
    """The question in hand with what is written there."""
    question = stage.paper.questions[stage.at]
    text, drawn = _question(question, chat.terms)
    lead = f"Question {stage.at + 1} ({in_marks(question.marks)})"
    shown = Message("say", f"{lead}\n{text}", drawn=drawn)
    written = stage.scripts[stage.at]
    more = [Message("say", "\n".join(["Written so far:", *written]))] if written else []
    wanted = f"{_wanted(question)}:"
    return Answer(chat._replace(stage=stage), (*said, shown, *more, Message("ask", wanted)))


def _wanted(question: PaperQuestion) -> str:
    if question.question is None:
        return "Your working"
    ask = story_of_question(question.question).asks[0]
    words = [option.words[0] for option in ask.options]
    return f"Your answer, {'a letter' if is_lettered(ask) else listed(words, 'or')}"


def _question(question: PaperQuestion, settings: Settings) -> tuple[str, Depicted | None]:
    """What is given and asked, in words, and what is to be drawn."""
    if question.question is not None:
        posed = story_of_question(question.question, settings)
        return "\n".join([*posed.opening, posed.asks[0].text]), of_telling(Telling(posed, settings))
    description = read_network(question.text)
    story = story_of(description, settings)
    if story is not None:
        return "\n".join(story.opening), of_telling(Telling(story, settings))
    walk = begin_walk(build(description), settings)
    return Wording(speech_for(walk.problem, settings)).opening(walk), of_walk(walk)


# Writing


def hands_in(line: str) -> bool:
    """Whether a line ends a paper."""
    return plain(line) in HAND_IN


def write(chat: Chat, line: str) -> Answer:
    """A line said in a paper."""
    stage = chat.stage
    assert isinstance(stage, Writing), "the table of answers has it so"
    if stage.is_sure:
        stage = stage._replace(is_sure=False)
        if yes_or_no(line):
            return _handed_in(chat, stage)
        if yes_or_no(line) is False:
            return _asked(chat, stage, [])
    chat = chat._replace(stage=stage)
    if (moved := _moved(chat, stage, line)) is not None:
        return moved
    if _is_letter(stage, line):
        return _written(chat, stage, line)
    return _about_the_paper(chat, stage, line) or _written(chat, stage, line)


# Go to question 4, please: what is around the place that is meant.
_GOING = re.compile(
    r"(?:please |ok |okay |now |then )*"
    r"(?:(?:can|could|may|shall|let) (?:i|we|you|us|me) |lets |ill "
    r"|(?:i (?:will|want|would like)|id like)(?: to)? )?"
    r"(?:please )?(?:(?:go|jump|skip|move|turn|get|take me|return|switch|show(?: me)?|do|start)"
    r"(?: on| over)? )?(?:on |back )?(?:to |with |at )?(?:the )?(.*?)(?: please| now| then| pls)*"
)


def _moved(chat: Chat, stage: Writing, line: str) -> Answer | None:
    """Another question gone to, where a line names one or a direction; None for any other line. It
    is heard before any answer: 'question 4' would else name the entry 'C4' of a list.
    """
    if not line.strip():
        return _go_to(chat, stage, stage.at + 1)
    if _is_letter_by_number(stage, line):
        return None
    words = in_figures(plain(line))
    found = _GOING.fullmatch(words)
    meant = found[1] if found is not None else ""
    if at := QUESTION.fullmatch(meant):
        return _go_to(chat, stage, int(at[1]) - 1)
    if {words, meant} & {*NEXT_WORDS}:
        return _go_to(chat, stage, stage.at + 1)
    return _go_to(chat, stage, max(stage.at - 1, 0)) if meant in BACK_WORDS else None


def _is_letter_by_number(stage: Writing, line: str) -> bool:
    """Whether 'number 2' is the second entry of a list."""
    return re.search(r"(?i)\bquestion\b|\b(?:next|back|previous)\b", line) is None and (
        _is_letter(stage, line)
    )


def _is_letter(stage: Writing, line: str) -> bool:
    """Whether a line answers a question that is answered by a letter: 'more' is no request then."""
    question = stage.paper.questions[stage.at].question
    return question is not None and names_one(story_of_question(question).asks[0], line)


def _about_the_paper(chat: Chat, stage: Writing, line: str) -> Answer | None:
    """A line that moves about in the paper or asks for something; None for one of working."""
    words, request = plain(line), request_in(line)
    if words in HAND_IN:
        return _hand_in(chat, stage)
    if words in CLEAR_WORDS:
        return _asked(chat, _with_script(stage, ()), [Message("say", "Taken away.")])
    if words in LIST_WORDS:
        return Answer(chat, (Message("say", "\n".join(_standing(stage))), MORE))
    if words in HOME_WORDS:
        return Answer(chat, (Message("say", NOT_HOME), MORE))
    if request == "undo":
        return _asked(chat, _with_script(stage, stage.scripts[stage.at][:-1]), [])
    if request in ("drawing", "points", "repeat"):
        return _asked(chat, stage, [])
    if request is not None:
        return Answer(chat, (Message("say", HOW if request == "typed" else NO_HELP), MORE))
    return None


def _written(chat: Chat, stage: Writing, line: str) -> Answer:
    lines = [each.strip() for each in line.split("\n") if each.strip()]
    script = (*stage.scripts[stage.at], *lines)
    if len(script) > MOST_LINES or max(map(len, lines), default=0) > LONGEST_LINE:
        text = f"That is more than {MOST_LINES} lines or {LONGEST_LINE} signs in one: not kept."
        return Answer(chat, (Message("say", text), MORE))
    return Answer(chat._replace(stage=_with_script(stage, script)), (MORE,))


def _with_script(stage: Writing, script: tuple[str, ...]) -> Writing:
    scripts = (*stage.scripts[: stage.at], script, *stage.scripts[stage.at + 1 :])
    return stage._replace(scripts=scripts)


def once_more(chat: Chat) -> tuple[Message, ...]:
    """The question in hand of a paper that is gone on with."""
    assert isinstance(chat.stage, Writing), "asked of a chat with a paper"
    return _asked(chat, chat.stage, []).messages


def _go_to(chat: Chat, stage: Writing, at: int) -> Answer:
    number = len(stage.paper.questions)
    if 0 <= at < number:
        return _asked(chat, stage._replace(at=at), [])
    text = "That was the last question." if at == number else f"There are questions 1 to {number}."
    said = Message("say", "\n".join([text, *_standing(stage)]))
    asked = Message("ask", "'question 1' goes back to that one, 'hand in' ends the paper.")
    return Answer(chat, (said, asked))


def _standing(stage: Writing) -> Iterator[str]:
    for number, script in enumerate(stage.scripts, start=1):
        yield f"{number}: {counted(len(script), 'line') if script else 'empty'}"


def _handed_in(chat: Chat, stage: Writing) -> Answer:
    from tutor.front.chat.paper_marks import handed_in  # late: no chat waits for marking

    return handed_in(chat, stage)


def _hand_in(chat: Chat, stage: Writing) -> Answer:
    empty = [str(n) for n, script in enumerate(stage.scripts, start=1) if not script]
    if not empty:
        return _handed_in(chat, stage)
    are = "Question {} is empty." if len(empty) == 1 else "Questions {} are empty."
    said = Message("say", are.format(listed(empty)))
    return Answer(chat._replace(stage=stage._replace(is_sure=True)), (said, Message("ask", SURE)))
