"""What a value says of the parts that share something: that they are joined in another way, that
they do not share it after all, or what all of them have.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import Final

from tutor.circuit.joining import JOININGS, Connection
from tutor.circuit.steps import Fault
from tutor.circuit.values import Value, in_letters, same
from tutor.teaching.answering import fault_malrules
from tutor.teaching.judging import close
from tutor.teaching.marking.carrying import left_for, shared_before
from tutor.teaching.marking.grading import Grade
from tutor.teaching.marking.routes import Group
from tutor.teaching.marking.script import Script
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import listed
from tutor.teaching.turn import speech_of
from tutor.teaching.ways_of_walk import canonical

WAYS: Final[tuple[Connection, ...]] = ("parallel", "series")
IN_ONE_CHAIN: Final = (
    "This takes all for one chain. Does what leaves each of them all go on to one other, or does "
    "the charge part at one of the points between?"
)

OTHERWISE: Final = MappingProxyType(
    {
        "series": "{} stand in one chain, and are put together here as if side by side. What do "
        "they share?",
        "parallel": "{} join the same two points, and are put together here as if in a chain. What "
        "do they share?",
    }
)

UNLIKE: Final = MappingProxyType(
    {
        "V": "{} follows from the charge above. But {} join the same two points: can their p.d.s "
        "be unlike?",
        "Q": "{} follows from the p.d. above. But {} stand in one chain: can their charges be "
        "unlike?",
    }
)


def joined_otherwise(script: Script, each: Grade) -> str:
    """What is said of a value in letters that its parts would make if they were joined in the other
    way; empty for any other.
    """
    of, walk = each.quantity.of, script.walk
    step = walk.made_by(of or (walk.whole.name if walk.whole else ""))
    if step is None or each.value is None or not in_letters(each.value):
        return ""
    parts = [script.own.get("C", part.name) for part in step.parts]
    way: Connection = "parallel" if step.kind == "series" else "series"
    made = JOININGS[way].equivalent([part for part in parts if part is not None])
    told = OTHERWISE[step.kind].format(listed(part.name for part in step.parts))
    return told if same(made, each.value) else ""


def shown_by_no_group(script: Script, group: Group, value: Value | None) -> tuple[str, ...]:
    """The malrules for which a group that is none stands, by what its value makes of it."""
    assert isinstance(group.judged, Fault)
    for network in (script.walk.network, script.walk.problem.network):
        if {c.name for c in network.capacitors}.issuperset(group.names):
            parts = [c.value for c in network.named(group.names)]
            made = {way: JOININGS[way].equivalent(parts) for way in WAYS} if value else {}
            said = next((way for way in made if close(value, made[way])), None)
            return fault_malrules(network, group.judged, said)
    return ()


def of_unlike(script: Script, each: Grade) -> Grade:
    """What follows for one from a value above that gives others something else where all share it.
    Where another has that already the mark is lost: it is for what they share.
    """
    step, held = script.walk.part_of(each.quantity.of), shared_already(script, each)
    is_first = held is None or each.value is None or close(each.value, held)
    is_first &= each.verdict == "carried"
    name = speech_of(script.walk).name
    parts = listed(part.name for part in step.parts) if step else ""
    told = UNLIKE[each.quantity.symbol].format(name(each.quantity), parts)
    carried = each._replace(verdict="carried", fault=None, malrules=(), diagnosis=None, slip=None)
    return carried._replace(method=is_first, accurate=is_first, carrying=frozenset(), told=told)


def shared_already(script: Script, each: Grade) -> Value | None:
    """The value, given or stated, of what shares this quantity."""
    known_now = {canonical(script.walk, q): v for q, v in script.walk.known.items()}
    return shared_before(script.walk, {**script.stated, **known_now}, each.quantity)


def stated_too(script: Script, each: Grade) -> frozenset[Quantity]:
    """The whole of a step, where what its parts share with it is what the others leave for it: 16 V
    less 4 V, said of two side by side, is said of both together.
    """
    step = script.walk.part_of(each.quantity.of)
    if step is None or step.makes is None or JOININGS[step.kind].shares != each.quantity.symbol:
        return frozenset()
    whole = canonical(script.walk, Quantity(each.quantity.symbol, step.makes.name))
    is_new = not {whole, each.quantity} & script.stated.keys()
    ways = left_for(script.own, whole) if is_new else ()
    is_of_whole = each.value is not None and any(same(way, each.value) for way in ways)
    return frozenset({whole} if is_of_whole else ())
