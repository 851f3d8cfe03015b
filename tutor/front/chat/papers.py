"""A paper on screen: free working for each question, no help, then the marks, and going over it.

Working is kept line by line as it is typed, so that a paper can be left and gone on with.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from grammar.reading import read_network
from grammar.records import Refusal
from grammar.refusals import show
from tutor.circuit.network import Network, build
from tutor.front.chat.account import WHAT_NOW
from tutor.front.chat.stages import Answer, Chat, Choosing, Writing
from tutor.practice.course import GoingOver
from tutor.practice.next_task import Item
from tutor.practice.papers import Paper, PaperQuestion, make_paper, paper_in
from tutor.teaching.hearing import plain, request_in
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.marked import Marked, MarkedLine
from tutor.teaching.marking.scheme import Scheme
from tutor.teaching.messages import Message
from tutor.teaching.papered import keys_lost, seen_in
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, counted
from tutor.teaching.staged.makers import story_of
from tutor.teaching.walk import begin_walk
from tutor.teaching.wording import Wording

PAPER = re.compile(r"(?i)\s*(?:a\s+|an\s+|the\s+)?(?:exam\s+)?paper\b\s*:?\s*(.*?)\s*[.!]?\s*$")
QUESTION = re.compile(r"(?i)\s*(?:question|q|number|no\.?)\s*(\d+)\s*$")
NEXT_WORDS = ("next", "next question", "the next one")
BACK_WORDS = ("back", "previous", "question before")
CLEAR_WORDS = ("clear", "clear it", "take it away", "cross it out")
HAND_IN = ("hand in", "hand it in", "i am done", "finished", "done", "mark it", "mark the paper")
NO_HELP = "In a paper there is no help; it comes afterwards. Write what you can, or 'next'."
HOW = (
    "Write your working line by line, with units. An empty line or 'next' goes to the next "
    "question, 'question 2' to that one, 'clear' takes away what you wrote there, 'list' tells how "
    "far you are, 'hand in' ends the paper."
)
SURE: Final = "Hand in with these empty: yes or no?"


def paper_asked_for(chat: Chat, line: str) -> Answer | None:
    """A paper, where a line orders one."""
    found = PAPER.match(line)
    if found is None:
        return None
    try:
        paper = make_paper(paper_in(found[1], chat.person.seed))
    except Refusal as refusal:
        said = Message("verdict", show(refusal), verdict="unread")
        return Answer(chat, (said, Message("ask", WHAT_NOW)))
    said = Message("say", "\n".join(_heading(paper)))
    stage = Writing(paper, scripts=((),) * len(paper.questions))
    return _asked(chat._replace(course=None), stage, [said])


def _heading(paper: Paper) -> Iterator[str]:
    number = counted(len(paper.questions), "question")
    yield f"A paper: {number}, {paper.marks} marks."
    if paper.order.questions is None and paper.marks != paper.order.marks:
        yield f"Whole questions come to {paper.marks} marks, not {paper.order.marks}."
    if paper.order.minutes is not None:
        yield (
            f"You named {paper.order.minutes} minutes; about {paper.usual_minutes} are usual. "
            "Nobody counts them."
        )
    yield HOW


def _asked(chat: Chat, stage: Writing, said: list[Message]) -> Answer:
    """The question in hand with what is written there."""
    question = stage.paper.questions[stage.at]
    text, network = _question(question, chat.terms)
    lead = f"Question {stage.at + 1} ({question.marks} marks)"
    shown = Message("say", f"{lead}\n{text}", network=network)
    written = stage.scripts[stage.at]
    more = [Message("say", "\n".join(["Written so far:", *written]))] if written else []
    return Answer(
        chat._replace(stage=stage), (*said, shown, *more, Message("ask", "Your working:"))
    )


def _question(question: PaperQuestion, settings: Settings) -> tuple[str, Network | None]:
    description = read_network(question.text)
    story = story_of(description, settings)
    if story is not None:
        return "\n".join(story.opening), story.network
    walk = begin_walk(build(description), settings)
    return Wording(Speech(walk.problem.powers, settings)).opening(walk), walk.network


# Writing


def write(chat: Chat, line: str) -> Answer:
    """A line said in a paper."""
    stage = chat.stage
    assert isinstance(stage, Writing), "the table of answers has it so"
    words = plain(line)
    if stage.is_sure and words in ("yes", "y"):
        return _handed_in(chat, stage)
    stage = stage._replace(is_sure=False)
    if words in HAND_IN:
        return _hand_in(chat, stage)
    if found := QUESTION.match(line):
        return _go_to(chat, stage, int(found[1]) - 1)
    if not words or words in NEXT_WORDS:
        return _go_to(chat, stage, stage.at + 1)
    if words in BACK_WORDS:
        return _go_to(chat, stage, max(stage.at - 1, 0))
    if words in CLEAR_WORDS:
        return _asked(chat, _with_script(stage, ()), [Message("say", "Taken away.")])
    if words == "list":
        said = Message("say", "\n".join(_standing(stage)))
        return Answer(chat._replace(stage=stage), (said, Message("ask", "Your working:")))
    if request_in(line) == "drawing" or words in ("repeat", "question"):
        return _asked(chat, stage, [])
    if request_in(line) is not None:
        text = HOW if request_in(line) == "typed" else NO_HELP
        return Answer(chat._replace(stage=stage), (Message("say", text), _more()))
    lines = [each.strip() for each in line.split("\n") if each.strip()]
    written = _with_script(stage, (*stage.scripts[stage.at], *lines))
    return Answer(chat._replace(stage=written), (_more(),))


def _more() -> Message:
    return Message("ask", "The next line, or an empty one for the next question:")


def _with_script(stage: Writing, script: tuple[str, ...]) -> Writing:
    scripts = (*stage.scripts[: stage.at], script, *stage.scripts[stage.at + 1 :])
    return stage._replace(scripts=scripts)


def _go_to(chat: Chat, stage: Writing, at: int) -> Answer:
    number = len(stage.paper.questions)
    if 0 <= at < number:
        return _asked(chat, stage._replace(at=at), [])
    text = "That was the last question." if at == number else f"There are questions 1 to {number}."
    said = Message("say", "\n".join([text, *_standing(stage)]))
    asked = Message("ask", "'question 1' goes back to that one, 'hand in' ends the paper.")
    return Answer(chat._replace(stage=stage), (said, asked))


def _standing(stage: Writing) -> Iterator[str]:
    for number, script in enumerate(stage.scripts, start=1):
        yield f"{number}: {counted(len(script), 'line') if script else 'empty'}"


def _hand_in(chat: Chat, stage: Writing) -> Answer:
    empty = [str(n) for n, script in enumerate(stage.scripts, start=1) if not script]
    if not empty:
        return _handed_in(chat, stage)
    said = Message("say", f"Empty: question {', '.join(empty)}.")
    return Answer(chat._replace(stage=stage._replace(is_sure=True)), (said, Message("ask", SURE)))


# Marks


class _Result(NamedTuple):
    question: PaperQuestion
    marked: Marked
    is_empty: bool


def _handed_in(chat: Chat, stage: Writing) -> Answer:
    results = [
        _Result(each, _marked(each, script, chat.terms), not script)
        for each, script in zip(stage.paper.questions, stage.scripts, strict=True)
    ]
    said: list[Message] = []
    for number, result in enumerate(results, start=1):
        said += _told(number, result, chat.terms)
    total = sum(result.marked.total for result in results)
    said.append(Message("say", f"Marks in all: {total} of {stage.paper.marks}."))
    items = tuple(item for result in results if (item := _to_go_over(result, chat.terms)))
    done = chat._replace(stage=Choosing())
    if not items:
        text = "Nothing lost a mark, so there is nothing to go over."
        return Answer(done, (*said, Message("say", text), Message("ask", WHAT_NOW)))
    asked = Message("ask", "'go over' walks the steps that lost marks; or what else?")
    return Answer(done._replace(left=GoingOver(items)), (*said, asked))


def _marked(question: PaperQuestion, script: tuple[str, ...], settings: Settings) -> Marked:
    return mark_working(read_network(question.text), "\n".join(script), Scheme(), settings)


def _told(number: int, result: _Result, settings: Settings) -> Iterator[Message]:
    marked = result.marked
    yield Message("say", f"Question {number}: {marked.total} of {marked.of} marks.")
    seen = seen_in(read_network(result.question.text), marked, settings)
    for line, observation in zip(marked.lines, seen, strict=True):
        if line.text.strip():
            yield _line(line)._replace(seen=observation)
    if marked.left_out:
        yield Message("say", f"Nothing was written for: {', '.join(marked.left_out)}.")


def _line(line: MarkedLine) -> Message:
    marks = f" ({line.marks.total} of {line.marks.of})" if line.marks.of else ""
    verdict = "right" if line.verdict == "carried" else line.verdict
    return Message(
        "verdict", f"{line.text.strip()}{marks}\n{line.remark}", verdict=verdict,
        malrules=line.malrules,
    )


def _to_go_over(result: _Result, settings: Settings) -> Item | None:
    """The walk through what lost marks; the whole question where nothing was written."""
    if result.marked.total >= result.marked.of:
        return None
    if result.is_empty:
        return Item("network", result.question.text)
    keys = keys_lost(read_network(result.question.text), result.marked, settings)
    return Item("network", result.question.text, only=keys or None)
