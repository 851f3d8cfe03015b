"""Which skills a question of a story needs, by its key, and what answers to it show."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from tutor.teaching.conversation import TurnOf
from tutor.teaching.messages import Message
from tutor.teaching.observation import AnswerKind, Observation, Outcome
from tutor.teaching.rules.catalogue import blaming
from tutor.teaching.rules.separation import separation_of_ask
from tutor.teaching.staged.story import Ask, Telling


def with_evidence(
    telling: Telling, turn: TurnOf[Telling], request: str | None = None
) -> TurnOf[Telling]:
    """The turn of a story with what its answer shows beside it; ``request`` is what was asked for
    instead of answering.
    """
    ask = telling.ask
    if ask is None or telling.over or not turn.messages:
        return turn
    if request is not None:
        outcome = _NOT_ANSWERED.get(request)
        shown = request == "unsure" or turn.task.at != telling.at
        if outcome is None or not shown:
            return turn
        first, *others = turn.messages
        seen = _observed(telling, telling.at, outcome)
        return turn._replace(messages=(first._replace(seen=seen), *others))
    return turn._replace(messages=tuple(_judged(telling, m) for m in turn.messages))


_NOT_ANSWERED: Mapping[str, Outcome] = MappingProxyType({"unsure": "unsure", "show": "shown"})


def _judged(telling: Telling, message: Message) -> Message:
    at = telling.at if message.step is None else message.step - 1
    if message.of is not None:
        return message  # of a value that no question asks for
    if message.verdict == "right":
        if telling.is_known(at):
            return message  # said once more
        return message._replace(seen=_observed(telling, at, "right"))
    if message.malrules or (message.verdict == "wrong" and at == telling.at):
        seen = blaming(_observed(telling, at, "wrong"), message.malrules)
        return message._replace(seen=seen)
    return message


def _observed(telling: Telling, at: int, outcome: Outcome) -> Observation:
    ask = telling.story.asks[at]
    apart = separation_of_ask(ask, telling.story.powers)
    return Observation(
        key=key_of(at, ask),
        network=" ".join((*telling.story.opening, telling.story.asks[0].text)),
        skills=ask.skills or skills_of(ask),
        answer=answer_kind(ask),
        outcome=outcome,
        options=len(ask.options),
        helped=at == telling.at and telling.rung > 0,
        weak=outcome == "right" and bool(apart.hidden),
        chances=apart.tells,
    )


def key_of(at: int, ask: Ask) -> str:
    """Names a question within its story, by its place from 0 and by what it is."""
    return f"{at + 1} {ask.key} {ask.name}".rstrip()


def answer_kind(ask: Ask) -> AnswerKind:
    """How a question is answered."""
    if not ask.options:
        return "number"
    return "two-way" if len(ask.options) == 2 else "menu"


def skills_of(ask: Ask) -> tuple[str, ...]:
    """The skills of a question that does not name its own."""
    if ask.facts.get("opposed"):
        return ("S33",)
    for start, skills in _BY_START.items():
        if ask.key.startswith(start):
            return skills
    return _BY_KEY[ask.key]


_BY_START: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "star": ("S39",), "delta": ("S39",), "by ": ("S27",), "missing": ("S27",),
})
_BY_KEY: Mapping[str, tuple[str, ...]] = MappingProxyType({
    # ratings and banks
    **dict.fromkeys((
        "how many in a chain", "how many chains", "how many in all", "first at its rating",
        "charge at the rating", "part of the supply", "greatest in a chain",
        "greatest side by side", "greatest supply", "within the ratings", "what rated ones share",
    ), ("S28",)),
    "capacitance of a chain": ("S12",),
    # missing values
    **dict.fromkeys(("shared", "what adds", "can it be", "does it agree"), ("S27",)),
    # plates
    **dict.fromkeys((
        "area", "gap in metres", "gap beside metal", "gap", "filled", "emptied", "plates",
    ), ("S30",)),
    **dict.fromkeys(("what fillings share", "stacked", "side by side"), ("S31",)),
    **dict.fromkeys(("charge of plates", "p.d. of plates"), ("S02",)),
    "energy of plates": ("S24",),
    # changes and joining
    **dict.fromkeys(("held", "held p.d.", "kept charge", "at rest"), ("S29",)),
    **dict.fromkeys(("charge beforehand", "p.d. beforehand"), ("S02",)),
    "stored energy": ("S24",),
    **dict.fromkeys(
        ("energy change", "energy after", "energy lost", "energy went", "supply work", "on plates"),
        ("S34",),
    ),
    **dict.fromkeys(
        ("joint charge", "common p.d.", "share of charge", "island", "balance"), ("S32",)
    ),
    **dict.fromkeys(("network charge", "shorted"), ("S29",)),
    # floating points
    **dict.fromkeys(("level charge", "level", "leave out or join"), ("S36",)),
    "potential": ("S37",),
    **dict.fromkeys(("whole by balance", "across the ends", "charge by levels"), ("S38",)),
    # ladders without end, and letters that must be found from an equation
    **dict.fromkeys(("left", "joined", "equation", "whole", "multiple"), ("S14",)),
    **dict.fromkeys(("how many fit", "root"), ("S27",)),
    **dict.fromkeys(("total charge", "whole pd"), ("S18",)),
    "whole energy": ("S25",),
})
