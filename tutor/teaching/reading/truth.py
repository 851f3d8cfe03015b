"""Whether a proposition is so on this network, and how far it goes towards the sharing.

Everything here asks the shape of the network and the step in hand; nothing is worked out again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import Choice, Step, StepKind, examine
from tutor.circuit.structure import live_names
from tutor.teaching.reading.propositions import Proposition, Says

Merit: TypeAlias = Literal["enough", "half", "false", "idea"]


class InQuestion(NamedTuple):
    """Where a reason is given: the network in hand and the step whose sharing is in question."""

    network: Network
    step: Step

    @property
    def names(self) -> tuple[str, ...]:
        """The capacitors whose sharing is in question."""
        return tuple(c.name for c in self.step.parts)

    def meeting(self, point: str) -> tuple[str, ...]:
        """The capacitors with an end on a point that take part."""
        live = live_names(self.network)
        return tuple(dict.fromkeys(c.name for c in self.network.meeting(point) if c.name in live))

    def is_inner(self, point: str) -> bool:
        """Whether a point is one of those between two neighbours of the chain in question."""
        return self.step.kind == "series" and point in self.step.points

    def is_end(self, point: str) -> bool:
        """Whether the supply is joined there."""
        return point in self.network.ends


def worth(said: Proposition, place: InQuestion) -> Merit:
    """How a proposition is to be taken here."""
    if said.says in ("through", "used up", "sent"):
        return "idea" if said.holds else "half"
    if said.says in ("near", "equal"):
        return "idea"
    if said.says == "split":
        if place.step.kind == "series":
            return "idea" if said.holds else "half"
        return "idea" if said.holds else "false"
    true = is_true(said, place)
    if not true:
        return "false"
    return "enough" if is_enough(said, place) else "half"


def is_true(said: Proposition, place: InQuestion) -> bool:
    """Whether it is so here."""
    return _holds(said, place) == said.holds


def _holds(said: Proposition, place: InQuestion) -> bool:
    """Whether the statement without its 'not' is so."""
    check = _CHECKS.get(said.says)
    return check is None or check(said, place)


def _who(said: Proposition, place: InQuestion) -> tuple[Capacitor, ...]:
    return place.network.named(said.capacitors) or place.step.parts


def _join(said: Proposition, place: InQuestion) -> bool:
    """Whether all of these join the same two points, the named ones where some are named."""
    pairs = {c.points for c in _who(said, place)}
    points = set(said.points)
    if points:
        return all(points <= pair for pair in pairs) and (len(points) > 1 or len(pairs) == 1)
    return len(pairs) == 1


def _of_theirs(said: Proposition, place: InQuestion) -> bool:
    return set(said.points) <= {p for c in _who(said, place) for p in c.points}


def _meet(said: Proposition, place: InQuestion) -> bool:
    """Whether they share a point, or the points between neighbours of a chain of several."""
    shared = frozenset.intersection(*(c.points for c in _who(said, place)))
    if said.number == 1 and len(shared) > 1:
        return False
    in_chain = place.step.kind == "series" and set(said.points) <= set(place.step.points)
    return (set(said.points) <= shared if said.points else bool(shared)) or in_chain


def _only_these(said: Proposition, place: InQuestion) -> bool:
    """Nothing but these meets at the points."""
    where = said.points or (place.step.points if place.step.kind == "series" else ())
    if place.step.between:
        return place.step.kind == "series" and not any(place.is_end(p) for p in where)
    return bool(where) and all(_only_here(said, place, point, len(where)) for point in where)


def _only_here(said: Proposition, place: InQuestion, point: str, of: int) -> bool:
    there, named = set(place.meeting(point)), set(said.capacitors)
    if place.is_end(point) or len(there) != 2 or said.number not in (None, 2):
        return False
    return not named or there == named or (of > 1 and there <= named)


def _counted(said: Proposition, place: InQuestion) -> bool:
    where = said.points or place.step.points
    return all(len(place.network.meeting(p)) == said.number for p in where)


def _cut_off(said: Proposition, place: InQuestion) -> bool:
    """Whether a piece of metal touches nothing but plates of the chain in question."""
    if place.step.kind != "series":
        return False
    return all(
        not place.is_end(p) and (place.is_inner(p) or bool(place.step.between))
        for p in said.points
    )


def _supplied(said: Proposition, place: InQuestion) -> bool:
    return any(place.is_end(p) for p in said.points or place.step.points)


def _across_supply(said: Proposition, place: InQuestion) -> bool:
    return all(c.points == frozenset(place.network.ends) for c in _who(said, place))


def _on_supply(said: Proposition, place: InQuestion) -> bool:
    return all(c.points & set(place.network.ends) for c in _who(said, place))


def _at_nought(said: Proposition, place: InQuestion) -> bool:
    """An end may be called nought; nothing between the ends is."""
    return bool(said.points) and all(place.is_end(p) for p in said.points)


def _one_level(said: Proposition, place: InQuestion) -> bool:
    del place
    return len(set(said.points)) < 2


def _in_series(said: Proposition, place: InQuestion) -> bool:
    return _joined_so(said, place, "series")


def _in_parallel(said: Proposition, place: InQuestion) -> bool:
    return _joined_so(said, place, "parallel")


def _is_a_chain(said: Proposition, place: InQuestion) -> bool:
    del said
    return place.step.kind == "series"


def _joined_so(said: Proposition, place: InQuestion, kind: StepKind) -> bool:
    """Whether those in question are joined so, or others that are named."""
    if len(said.capacitors) < 2 or set(said.capacitors) <= {*place.names}:
        return place.step.kind == kind
    judged = examine(place.network, said.capacitors)
    return isinstance(judged, Choice) and judged.kind == kind


def _shorted(said: Proposition, place: InQuestion) -> bool:
    """Whether a wire joins both ends, so that these are one point."""
    return all(c.start == c.end for c in _who(said, place))


def _one_pd(said: Proposition, place: InQuestion) -> bool:
    return place.step.kind == "parallel" or _are_alike(said, place)


def _one_charge(said: Proposition, place: InQuestion) -> bool:
    return place.step.kind == "series" or _are_alike(said, place)


def _are_alike(said: Proposition, place: InQuestion) -> bool:
    """Whether all is the same on them as they are equal, or nothing is said of those in question.
    """
    is_of_others = bool(said.capacitors) and not {*said.capacitors} & {*place.names}
    return is_of_others or len({c.value for c in place.step.parts}) == 1


# What has no row is so everywhere.
_CHECKS: Mapping[Says, Callable[[Proposition, InQuestion], bool]] = MappingProxyType({
    "both points": _join, "points": _of_theirs, "one point": _meet, "wire": _meet,
    "only": _only_these, "count": _counted, "cut off": _cut_off, "kept": _cut_off,
    "neutral": _cut_off, "transfer": _is_a_chain, "supply": _supplied,
    "across supply": _across_supply, "on supply": _on_supply, "level": _one_level,
    "series": _in_series, "parallel": _in_parallel, "path": _is_a_chain, "ground": _at_nought,
    "short": _shorted, "same pd": _one_pd, "same charge": _one_charge,
})


def is_enough(said: Proposition, place: InQuestion) -> bool:
    """Whether a true statement makes the sharing so."""
    series = place.step.kind == "series"
    if said.says == "points":
        own = {p for c in place.step.parts for p in c.points} if series else set(place.step.points)
        return bool(said.points) and set(place.step.points) <= set(said.points) <= own
    covers = not said.capacitors or set(place.names) <= set(said.capacitors)
    if not series and said.says in ("one point", "one potential"):
        return said.holds and covers and {*said.points} == {*place.step.points}
    if not series:
        return said.holds and covers and said.says in ("both points", "across supply")
    if not said.holds:
        return said.says == "supply" and len(place.network.capacitors) == len(place.names) == 2
    if said.says in ("only", "cut off", "kept", "neutral", "transfer"):
        if said.says == "cut off" and said.capacitors and not said.points:
            return False
        return not said.points or place.step.between != () or (
            set(place.step.points) <= set(said.points)
        )
    return False
