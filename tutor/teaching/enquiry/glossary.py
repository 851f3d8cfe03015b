"""The words of the trade: what each means (``glossary.toml``), and what it is on this network.

What is told of the network is nothing that is still to be found; it may be empty.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.tables import table
from tutor.circuit.reduction import reduce
from tutor.circuit.values import in_letters
from tutor.teaching.enquiry.matter import Matter
from tutor.teaching.speech import listed

MOST_LISTED = 6
A_LINE = "line: "


class GlossaryEntry(NamedTuple):
    """A term, the stems it is known by, what it means, and what tells what it is here."""

    term: str
    words: str
    meaning: str
    here: str = ""

    def told_of(self, matter: Matter) -> str:
        """What it is on this network; '' where there is nothing to tell."""
        if self.here.startswith(A_LINE):
            line = matter.lines_on(*self.here.removeprefix(A_LINE).split())
            return f"Here: {line.rstrip('.')}." if line else ""
        return HERE[self.here](matter) if self.here else ""


def glossary() -> tuple[GlossaryEntry, ...]:
    """Every term, those that take others in before these."""
    rows = table("tutor.teaching.enquiry", "glossary")
    return tuple(GlossaryEntry(term, **row) for term, row in rows.items())


def _plates(m: Matter) -> str:
    if not m.capacitors:
        return ""
    first = m.capacitors[0]
    if first.start == first.end:
        return f"Both plates of {first.name} are at {first.start}."
    return f"One plate of {first.name} is at {first.start}, the other at {first.end}."


def _charge(m: Matter) -> str:
    name = m.names[0] if m.names else ""
    return f"Q{name[1:]} is that of {name}: +Q{name[1:]} on one plate, −Q{name[1:]} on the other." \
        if name[1:].isdigit() else _plates(m)


def _supply(m: Matter) -> str:
    return m.supply


def _difference(m: Matter) -> str:
    if m.capacitors and m.capacitors[0].start != m.capacitors[0].end:
        first = m.capacitors[0]
        return f"That across {first.name} lies between {first.start} and {first.end}."
    return ""


def _potential(m: Matter) -> str:
    return f"Here {m.ends[1]} counts as zero." if m.ends else ""


def _capacitance(m: Matter) -> str:
    if not m.capacitors or in_letters(m.capacitors[0].value):
        return ""
    first = m.capacitors[0]
    value = m.speech.amount(first.value, "capacitance")
    if value not in "\n".join(m.told):
        return ""
    return f"{first.name}, {value}, needs {m.speech.amount(first.value, 'charge')} for each volt."


def _capacitors(m: Matter) -> str:
    return f"Here there {'is' if len(m.names) == 1 else 'are'} {listed(m.names)}." \
        if 0 < len(m.names) <= MOST_LISTED else ""


def _unit_here(m: Matter) -> str:
    return f"Here capacitances are in {m.speech.unit('capacitance')}."


def _points(m: Matter) -> str:
    return f"Here the points are {listed(m.network.points())}." if m.network is not None else ""


def _ends(m: Matter) -> str:
    return f"Here the ends are {listed(m.ends)}." if m.ends else ""


def _islands(m: Matter) -> str:
    if not m.network:
        return ""
    if not m.inner:
        return "Here there is none: both points are ends."
    if len(m.inner) > MOST_LISTED:
        return f"Here the metal at each of {len(m.inner)} inner points is one."
    spots = "; ".join(f"at {p} there are plates of {m.meeting(p)}" for p in m.inner)
    return f"Here {spots}."


def _places(m: Matter) -> str:
    if not m.capacitors:
        return ""
    if len(m.capacitors) > MOST_LISTED:
        return "'list' tells between which points each one is."
    return "Here " + ", ".join(f"{c.name} is from {c.start} to {c.end}" for c in m.capacitors) + "."


def _whole(m: Matter) -> str:
    if len(m.ends) < 2:
        return ""
    return f"Here it would stand between {m.ends[0]} and {m.ends[1]}."


def _plus(m: Matter) -> str:
    return f"Here {m.ends[0]} is the + end." if m.ends and "+" in m.supply else ""


def _reciprocal(m: Matter) -> str:
    value = next(
        (m.speech.amount(c.value, "capacitance") for c in m.capacitors
         if not in_letters(c.value)), ""
    )
    if not value or value not in "\n".join(m.told):
        return "That of 4 is 1/4."
    return f"That of {value} is 1/({value})."


def _bridge(m: Matter) -> str:
    if m.network is None:
        return ""
    found = reduce(m.network, set()).equivalent
    if found is not None:
        return "Here there is none that matters."
    across = [c for c in m.capacitors if {c.start, c.end} <= set(m.inner) and c.start != c.end]
    if len(across) != 1:
        return "Here more than one capacitor lies between inner points."
    return f"Here {across[0].name} does, from {across[0].start} to {across[0].end}."


HERE: Final[Mapping[str, Callable[[Matter], str]]] = MappingProxyType({
    "bridge": _bridge, "capacitance": _capacitance, "capacitors": _capacitors, "charge": _charge,
    "difference": _difference, "ends": _ends, "islands": _islands, "places": _places,
    "plates": _plates, "plus": _plus, "points": _points, "potential": _potential,
    "reciprocal": _reciprocal, "supply": _supply, "unit here": _unit_here, "whole": _whole,
})
