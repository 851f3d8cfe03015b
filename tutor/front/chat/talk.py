"""The chat around the walks: which network, then the walk, then the next network.

A state machine without input or output: a line in, messages and the next state out. Each stage
is a record of stages.py, and ``ANSWERS`` says who answers a line in which stage.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from grammar.records import Refusal
from tutor.front.chat.before_problem import choose, read_off, settle_reading, solve
from tutor.front.chat.courses import GO_ON, in_a_course, reflect
from tutor.front.chat.paper_on_screen import hands_in, write
from tutor.front.chat.problems import (
    beside,
    decide,
    gathered,
    home_of,
    talk_on,
)
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
)
from tutor.learner.standing import Seen, with_seen
from tutor.teaching.exchange import hear
from tutor.teaching.hearing import plain, request_in, yes_or_no
from tutor.teaching.line_reading import read
from tutor.teaching.messages import Message

_OWN_WORD = re.compile(r"(?i)\bseries[\s-]+group")
LEFT_A_PAPER = "Left in the middle of the paper. Where a record is kept, 'go on' takes it up again."


def respond(chat: Chat, line: str) -> Answer:
    """Answer one line, or several lines at once, in the learner's words. The chat handed in is
    unchanged.
    """
    if chat.terms.row != "chain":
        line = _OWN_WORD.sub("chain", line)
    answer = _answered(chat, line)
    said = tuple(m._replace(text=chat.terms.worded(m.text)) for m in answer.messages)
    return answer._replace(messages=said)


def _answered(chat: Chat, line: str) -> Answer:
    if plain(line) != "" and request_in(line) == "stop" and not _is_an_answer(chat, line):
        return leave(chat)
    if isinstance(chat.stage, Offered) and yes_or_no(line) is None:
        chat = chat._replace(stage=chat.stage.home)  # anything else is said to what goes on
    if chat.course is not None and plain(line) in GO_ON and not chat.wants_network:
        line = "go on" if isinstance(chat.stage, Reflecting) else "repeat"
    answer = in_a_course(chat, chat.course, line) if chat.course is not None else None
    answer = answer or beside(chat, line)
    if answer is None:
        answer = ANSWERS[type(chat.stage)](chat, line)
    return _taken_in(chat, answer)


def _is_an_answer(chat: Chat, line: str) -> bool:
    """Whether a word for leaving is on offer as an answer, as in 'leave C5 out', or ends a paper
    that is then marked.
    """
    stage = chat.stage
    if isinstance(stage, Writing) and hands_in(line):
        return True
    return isinstance(stage, Solving) and read(stage.talk, line).act == "answer"


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
