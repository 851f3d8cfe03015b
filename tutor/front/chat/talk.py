"""The chat around the walks: which network, then the walk, then the next network.

A state machine without input or output: a line in, messages and the next state out. Each stage
is a record of stages.py, and ``ANSWERS`` says who answers a line in which stage; what is said
within a problem, and what a text typed in its middle comes to, is answered here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from grammar.any_text import readings_of
from grammar.outline import elements_of
from grammar.reading import read_network
from grammar.records import Refusal
from grammar.refusals import show
from grammar.shown import with_few_blanks
from tutor.front.chat.before_problem import (
    BOOK_WORDS,
    HELP,
    changed,
    choose,
    gather,
    opened,
    read_off,
    settle_reading,
    solve,
    start,
)
from tutor.front.chat.courses import GO_ON, HOME_WORDS, WORKING_WORDS, asked_for, in_a_course
from tutor.front.chat.going_through import NEXT, paused, set_aside, talked, to_home
from tutor.front.chat.paper_on_screen import hands_in, write
from tutor.front.chat.reflecting import reflect
from tutor.front.chat.stages import (
    Answer,
    Chat,
    Choosing,
    Deciding,
    Gathering,
    InPuzzle,
    Left,
    Offered,
    Reading,
    Reflecting,
    Solving,
    Stage,
    Writing,
    home_of,
)
from tutor.front.incoming import (
    has_supply,
    lists_joins,
    looks_like_network,
    says_how_joined,
    values_in,
    wants_more,
)
from tutor.front.opening import KEPT, wish_in
from tutor.learner.standing import Seen, with_seen
from tutor.teaching.conversation import Conversation
from tutor.teaching.exchange import act_on, hear
from tutor.teaching.hearing import plain, request_in, yes_or_no
from tutor.teaching.line_reading import AT_ANY_MOMENT, LineRead, read
from tutor.teaching.marking.marked import in_chat
from tutor.teaching.messages import Message
from tutor.teaching.pointing import capacitors_in
from tutor.teaching.speech import counted
from tutor.teaching.staged.story import Telling
from tutor.teaching.walk import Walk

_OWN_WORD = re.compile(r"(?i)\bseries[\s-]+group")
LEFT_A_PAPER = "Left in the middle of the paper. Where a record is kept, 'go on' takes it up again."
NO_ANSWERS = frozenset({"question", "thought", "undecided"})
PUZZLE_LATER = "A puzzle can begin when this walk is left: 'stop' leaves it."


def respond(chat: Chat, line: str) -> Answer:
    """Answer one line, or several lines at once, in the learner's words. The chat handed in is
    unchanged.
    """
    if chat.terms.row != "chain":
        line = _OWN_WORD.sub("chain", line)
    answer = _answered(chat, with_few_blanks(line))
    said = tuple(m._replace(text=chat.terms.worded(m.text)) for m in answer.messages)
    return answer._replace(messages=said)


def _answered(chat: Chat, line: str) -> Answer:
    if not isinstance(chat.stage, Solving) and _is_left(chat.stage, line):
        return leave(chat)
    if isinstance(chat.stage, Offered) and yes_or_no(line) is None:
        chat = chat._replace(stage=chat.stage.home)  # anything else is said to what goes on
    if plain(line) in HOME_WORDS and (chat.course is not None or _may_be_left(chat.stage)):
        return to_home(chat)
    is_in_hand = chat.course is not None or isinstance(chat.stage, Solving | InPuzzle)
    if plain(line) in GO_ON and is_in_hand and not chat.wants_network:
        line = "go on" if isinstance(chat.stage, Reflecting) else "repeat"
    answer = in_a_course(chat, line) if chat.course is not None else None
    answer = answer or beside(chat, line)
    if answer is None:
        answer = ANSWERS[type(chat.stage)](chat, line)
    return _taken_in(chat, answer)


def _may_be_left(stage: Stage) -> bool:
    """Whether 'home' may be said there without a course behind it; elsewhere it is an answer."""
    return isinstance(stage, Choosing | Solving | Offered | InPuzzle)


def _is_left(stage: Stage, line: str) -> bool:
    """Whether a line leaves the chat; one that ends a paper has it marked."""
    is_handed_in = isinstance(stage, Writing) and hands_in(line)
    return request_in(line) == "stop" and not is_handed_in


def _taken_in(chat: Chat, answer: Answer) -> Answer:
    """The answer with what it shows of the learner added to where they stand."""
    standing = chat.person.standing
    for message in answer.messages:
        if message.seen is not None:
            seen = Seen(message.seen, f"now.{chat.problems}", chat.person.now)
            standing = with_seen(standing, seen)
    if standing is chat.person.standing:
        return answer
    person = answer.chat.person._replace(standing=standing)
    return answer._replace(chat=answer.chat._replace(person=person))


def leave(chat: Chat) -> Answer:
    """The end at any moment, with where it stopped."""
    home, gone = home_of(chat.stage), chat._replace(stage=Left())
    if home is not None and not home.is_done:
        return Answer(gone, hear(home.talk, "stop").messages)
    if isinstance(chat.stage, Writing):
        return Answer(gone, (Message("close", LEFT_A_PAPER),))
    text = _unfinished(chat.stage)
    kept = f" What you had typed so far:\n{text}" if text else ""
    return Answer(gone, (Message("close", f"Good-bye.{kept}"),))


def safely(chat: Chat, line: str) -> Answer:
    """The same as ``respond`` for shells: a fault of the program's own never ends a walk."""
    try:
        return respond(chat, line)
    except Refusal as refusal:
        return Answer(chat, (Message("say", str(refusal)),))
    except Exception as fault:
        text = (
            "Something went wrong in Platewalk itself with that line "
            f"({type(fault).__name__}); please report it. All is kept as it was."
        )
        return Answer(chat, (Message("say", text),))


def _unfinished(stage: Stage) -> str:
    """What has been typed towards a network that is not there yet."""
    if isinstance(stage, Gathering):
        return "\n".join(stage.lines)
    if isinstance(stage, Reading) and stage.guided.pieces:
        return stage.guided.text
    return stage.draft if isinstance(stage, Choosing) else ""


# Within a problem


def resumed(chat: Chat, home: Solving) -> Answer:
    """On with what was interrupted: its question once more."""
    return talked(chat, hear(home.talk, "repeat"))


def talk_on(chat: Chat, line: str) -> Answer:
    """A line said in a problem."""
    stage = chat.stage
    assert isinstance(stage, Solving), "the table of answers has it so"
    talk = stage.talk
    if stage.draft and (better := changed(stage.draft, line)):
        return _new_network(chat, better)
    if plain(line) in WORKING_WORDS:
        return gather(chat, Gathering((), stage, working=True))
    if "\n" in line.strip() and not _is_new_network(talk, line):
        return _marked(chat, stage, line)
    said = read(talk, line)
    if said.act == "stop":
        return leave(chat)
    if stage.is_done and (answer := _like_it(chat, line)) is not None:
        return answer
    if stage.is_done and said.act == "question" and _is_told_anew(talk, said):
        return start(chat, line)
    if said.act in AT_ANY_MOMENT or said.act in NO_ANSWERS or talk.is_supposing:
        return talked(chat, act_on(talk, said))
    if stage.is_done and (answer := _after(chat, stage, line)) is not None:
        return answer
    if not stage.is_done and "=" not in line and wish_in(line) is not None:
        later = talked(chat, hear(talk, "repeat"))
        return later._replace(messages=(Message("say", PUZZLE_LATER), *later.messages))
    if wants_more(line, walking=True):
        return gather(chat, Gathering((line,), stage))
    if said.act == "answer" and (_is_new_network(talk, line) or _is_told_anew(talk, said)):
        return _new_network(chat, line)
    return talked(chat, act_on(talk, said))


def _after(chat: Chat, home: Solving, line: str) -> Answer | None:
    """What comes after a problem that is done; None for a request about it."""
    request = request_in(line)
    if request in ("unsure", "repeat"):
        return Answer(chat, (Message("ask", NEXT),))
    if request is not None and request != "typed" and plain(line) not in BOOK_WORDS:
        return None
    if _SAYS_ITS_VALUES.fullmatch(line):
        known = talked(chat, hear(home.talk, "where are we"))
        return known._replace(messages=(Message("say", NO_MORE_MARKED), *known.messages))
    answer = choose(chat._replace(stage=Choosing()), line)
    if not isinstance(answer.chat.stage, Choosing):
        return answer
    stayed = home._replace(draft=answer.chat.draft)  # so that it can still start again
    return answer._replace(chat=answer.chat._replace(stage=stayed))


# V2 3.6, V3 4.8 or a value alone, which begin no network.
_SAYS_ITS_VALUES = re.compile(
    r"(?:\W*[VQUEW]_?\d+'?\s*(?:=|is|:)?\s*\d[\d.,]*\s*(?:[pnuµμmk]?[VCJ]\b)?)+\W*"
    r"|\W*\d[\d.,]*\s*[pnuµμmk]?[VCJ]\W*"
)
NO_MORE_MARKED = "This one is done, so nothing more is marked; these are its values."
LIKE_IT = "The same network with other values."
NO_OTHER_VALUES = "Its values hang together, so it has no twin with others: type one of your own."


def _like_it(chat: Chat, line: str) -> Answer | None:
    """The problem that is done once more with other values, where a line asks for that."""
    from random import Random  # late, all of them: few chats come to it

    from grammar.writing import write_network
    from tutor.desk.other_values import with_other_values
    from tutor.front.chat.topics import wants_another

    if chat.described is None or chat.course is not None or not wants_another(line):
        return None
    done = write_network(chat.described, ascii=True)
    text = with_other_values(done, Random(chat.person.seed + chat.problems))
    if text == done:
        return Answer(chat, (Message("say", NO_OTHER_VALUES), Message("ask", NEXT)))
    begun = start(chat, text)
    said = Message("say", f"{LIKE_IT}\n{text}")
    return begun._replace(messages=(said, *begun.messages))


def _is_told_anew(talk: Conversation, said: LineRead) -> bool:
    if said.act != "question" and not says_how_joined(said.text):
        return False
    from tutor.front.chat import told_anew  # late: few lines tell a network

    tells = told_anew.asks_of_another if said.act == "question" else told_anew.tells_another
    return tells(talk.problem, said.text)


def _is_new_network(talk: Conversation, line: str) -> bool:
    """Whether a line is a network of its own: capacitors of this walk told by their values are
    an answer.
    """
    if not looks_like_network(line) or request_in(line) is not None:
        return lists_joins(line)
    walk = talk.problem
    if isinstance(walk, Walk):
        found = capacitors_in(line, walk.network, walk.problem.powers["capacitance"])
        if found and not found.unknown and not has_supply(line):
            return lists_joins(line)
    try:
        read_network(line)
    except Refusal:
        return lists_joins(line) or (
            isinstance(walk, Walk) and has_supply(line) and len(values_in(line)) > 1
        )
    return True


# A text in the middle of a problem


def _new_network(chat: Chat, text: str) -> Answer:
    """Start on a network; in the middle of a walk, ask first."""
    home = home_of(chat.stage)
    if home is None or home.is_done:
        return start(chat, text)
    try:
        found = readings_of(text)
        begun = opened(_aside_from(chat), text, found)
    except Refusal as refusal:
        kept = chat._replace(stage=home._replace(draft=text))
        lead = "If that is a new network, it cannot be read yet."
        said = (Message("say", lead), Message("verdict", show(refusal), verdict="unread"))
        change = f"{KEPT}. Say what to change, like: change 5 uX to 5 uF."
        return Answer(kept, (*said, Message("say", change), *resumed(chat, home).messages))
    description = found.ways[0].description
    size = counted(len(elements_of(description)), "capacitor")
    what = "ladder without end" if description.ladder else f"network of {size}"
    text = f"That reads as a new {what}. Leave this one and start on it: yes or no?"
    return Answer(chat._replace(stage=Offered(home, begun)), (Message("ask", text),))


def _aside_from(chat: Chat) -> Chat:
    """The chat with the course in hand kept, so that its task goes on after another text."""
    return chat if chat.course is None else set_aside(chat)._replace(course=chat.course)


def decide(chat: Chat, line: str) -> Answer:
    """Yes or no to another text."""
    stage = chat.stage
    assert isinstance(stage, Offered), "the table of answers has it so"
    if yes_or_no(line):
        return stage.begun
    going_on = Message("say", "Then on with this one.")
    answer = resumed(chat, stage.home)
    return answer._replace(messages=(going_on, *answer.messages))


# A wish in the middle of a problem


def beside(chat: Chat, line: str) -> Answer | None:
    """What is wished for in the middle of a problem: an account or a list is given at once, for
    anything else it is asked first; None for a line that belongs to the problem.
    """
    home = chat.stage
    if not isinstance(home, Solving) or home.is_done or plain(line) in GO_ON:
        return None
    if "=" in line:  # says a value, and wishes for nothing
        return None
    answer = asked_for(chat._replace(course=None), line)
    if answer is None:
        return None
    if answer.chat.stage is home:
        told_now = answer.messages[:-1]
        going_on = resumed(answer.chat._replace(course=chat.course), home)
        return going_on._replace(messages=(*told_now, *going_on.messages))
    others = tuple(each for each in answer.chat.paused if each != paused(chat))
    answer = answer._replace(chat=answer.chat._replace(paused=(*others, paused(chat))))
    text = "Leave this one for that: yes or no?"
    return Answer(chat._replace(stage=Offered(home, answer)), (Message("ask", text),))


# Several lines


def gathered(chat: Chat, line: str) -> Answer:
    """One more of several lines, or the empty one that ends them."""
    stage = chat.stage
    assert isinstance(stage, Gathering), "the table of answers has it so"
    if request_in(line) == "typed":
        answer = gather(chat, stage)
        return answer._replace(messages=(Message("say", HELP), *answer.messages))
    if line.strip() and request_in(line) != "undo":
        return gather(chat, stage._replace(lines=(*stage.lines, line)))
    if line.strip() and len(stage.lines) > 1:
        return gather(chat, stage._replace(lines=stage.lines[:-1]))
    home = stage.home
    back = chat._replace(stage=home or Choosing())
    if line.strip():
        return choose(back, "repeat") if home is None else resumed(back, home)
    text = "\n".join(stage.lines)
    if stage.working and home is not None:
        return _marked(back, home, text)
    return _new_network(back, text)


def _marked(chat: Chat, home: Solving, text: str) -> Answer:
    """Working of several lines, marked; then the problem goes on where it was."""
    going_on = resumed(chat, home)
    problem = home.talk.problem
    if isinstance(problem, Walk):
        from tutor.teaching.marking.on_network import mark_in_chat  # late: no chat waits for it

        said = mark_in_chat(problem, text)
    else:
        said = mark_story_in_chat(problem, text)
    return going_on._replace(messages=(*said, *going_on.messages))


def mark_story_in_chat(telling: Telling, text: str) -> list[Message]:
    """Working pasted into a story, marked; the story is not moved on."""
    from tutor.teaching.marking.stories.on_story import mark_story

    return in_chat(lambda: mark_story(telling.story, text, terms=telling.terms))


ANSWERS: Mapping[type, Callable[[Chat, str], Answer]] = MappingProxyType({
    Choosing: choose,
    Deciding: settle_reading,
    Gathering: gathered,
    Solving: talk_on,
    Offered: decide,
    Reading: read_off,
    InPuzzle: solve,
    Reflecting: reflect,
    Writing: write,
})
