"""How far a chat has come and what may be typed now, in short: for a bottom line and completion."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from tutor.front.chat.stages import (
    Chat,
    Choosing,
    Deciding,
    Gathering,
    Offered,
    Puzzling,
    Reading,
    Reflecting,
    Solving,
    Stage,
    Writing,
)
from tutor.front.opening import STANDING, TO_BEGIN
from tutor.teaching.conversation import OpenTask
from tutor.teaching.messages import About
from tutor.teaching.staged.story import Telling
from tutor.teaching.walk import Walk, next_question, targets

ALWAYS = (
    "where are we", "list", "drawing", "why", "hint", "show me", "undo", "start again", "energy",
    "repeat", "help", "stop", "I don't know",
)
DONE = "asked: a network, or stop · walk done"
_ASKED: Mapping[About, str] = MappingProxyType({
    "choice": "names",
    "shares": "{difference} or charge",
    "reason": "a reason",
    "value": "a capacitance",
    "charge": "a charge",
    "voltage": "a {difference}",
    "potential": "a potential",
    "energy": "an energy",
    "check": "one value",
})


def standing(chat: Chat) -> str:
    """One short line: what is asked, and how far the walk has come."""
    stage = chat.stage
    if isinstance(stage, Solving):
        return _standing_of(stage.talk.in_hand)
    if isinstance(stage, Gathering):
        return "asked: the next line, or an empty one"
    if isinstance(stage, Deciding):
        return "asked: which reading is meant"
    if isinstance(stage, Offered):
        return "asked: yes or no"
    if isinstance(stage, Reading):
        count = len(stage.guided.pieces)
        return f"reading a drawing · {count} {'line' if count == 1 else 'lines'} so far"
    if isinstance(stage, Puzzling):
        return f"asked: an arrangement · tries {stage.puzzle.tries}"
    if isinstance(stage, Writing):
        return f"asked: your working · question {stage.at + 1} of {len(stage.paper.questions)}"
    if isinstance(stage, Reflecting):
        return "asked: your own words, or next"
    return STANDING


def _standing_of(task: OpenTask) -> str:
    if isinstance(task, Telling):
        return _standing_in(task)
    return _standing_on(task) if isinstance(task, Walk) else "asked: which way it goes · what if"


def _standing_on(walk: Walk) -> str:
    question = next_question(walk)
    if walk.over or question is None:
        return DONE
    quantity = question.quantity
    told = quantity is not None and quantity.of is not None
    wanted = quantity.name if quantity is not None and told else _ASKED[question.about]
    wanted = wanted.format(difference=walk.terms.difference)
    places = [f"asked: {wanted}"]
    if walk.plan:
        step = min(len(walk.steps) + 1, len(walk.plan))
        done = len(walk.steps) == len(walk.plan)
        total = len(walk.plan)
        places.append(f"step {step} of {total}{' done' if done else ''}")
    back = [q for q in targets(walk) if q.symbol != "C"]
    if back:
        found = sum(q in walk.known for q in back)
        places.append(f"back {found} of {len(back)}")
    return " · ".join(places)


def _standing_in(telling: Telling) -> str:
    ask = telling.ask
    if ask is None or telling.over:
        return DONE
    wanted = " or ".join(option.words[0] for option in ask.options)
    wanted = wanted or ask.name or _ASKED[ask.about].format(difference=telling.terms.difference)
    return f"asked: {wanted} · question {telling.at + 1} of {len(telling.story.asks)}"


def may_be_typed(chat: Chat) -> tuple[str, ...]:
    """Words that make sense in the next line, the likeliest first."""
    stage = chat.stage
    if isinstance(stage, Solving) and not stage.is_done:
        return (*_of_task(stage.talk.in_hand), *ALWAYS)
    if isinstance(stage, Reading):
        return (*stage.guided.points, "new", "none", "wire", "yes", "remove", "back", "stop")
    if isinstance(stage, Puzzling):
        names = (name for group in stage.puzzle.order.stock.groups for name in group.names)
        return (*names, "hint", "show me", "list", "why", "help", "stop")
    return _FOR_STAGE.get(type(stage), TO_BEGIN)


_FOR_STAGE: Mapping[type[Stage], tuple[str, ...]] = MappingProxyType({
    Choosing: TO_BEGIN,
    Deciding: ("a", "b", "no", "stop"),
    Offered: ("yes", "no", "stop"),
    Writing: ("next", "list", "question 1", "undo", "clear", "drawing", "hand in", "stop"),
})


def _answers(telling: Telling) -> tuple[str, ...]:
    """The words of a question in words; else the names that have a value, the one asked first."""
    ask = telling.ask
    if ask is None:
        return ()
    if ask.options:
        return tuple(option.words[0] for option in ask.options)
    names = [ask.name, *(before.name for before in telling.story.asks[: telling.at])]
    return tuple(dict.fromkeys(name for name in names if name))


def _of_task(task: OpenTask) -> tuple[str, ...]:
    if isinstance(task, Telling):
        return _answers(task)
    if isinstance(task, Walk):
        return _now(task)
    return ("up", "down", "same")


def _now(walk: Walk) -> tuple[str, ...]:
    question = next_question(walk)
    if question is None:
        return ()
    names = tuple(c.name for c in walk.network.capacitors)
    if question.about == "choice":
        return (*names, "none")
    if question.about == "shares":
        return (walk.terms.difference, "charge", *walk.network.points())
    if question.about == "reason":
        return ("a", "b", "c", "d", *walk.network.points())
    quantity = question.quantity
    parts = question.step.parts if question.step is not None else ()
    own = (quantity.name,) if quantity is not None and quantity.of is not None else ()
    return tuple(dict.fromkeys([*own, *(part.name for part in parts), *names]))
