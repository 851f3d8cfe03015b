"""The words of the trade, a line each in our own words, and what each is on the network in hand.

``words`` are stems (as the Snowball stemmer for English gives them) or two words joined by an
underscore; ``meaning`` may use {pd} and {pds} for the learner's word. ``here`` tells what it is
on this network and nothing that is still to be found; it may be empty.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple

from tutor.circuit.reduction import reduce
from tutor.circuit.values import in_letters
from tutor.teaching.enquiry.matter import Matter
from tutor.teaching.speech import listed

MOST_LISTED = 6


class GlossaryEntry(NamedTuple):
    """A term, the stems it is known by, what it means, and what it is here."""

    term: str
    words: str
    meaning: str
    here: Callable[[Matter], str]


def _nothing(m: Matter) -> str:
    del m
    return ""


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


def _line_on(*words: str) -> Callable[[Matter], str]:
    def told(m: Matter) -> str:
        line = m.lines_on(*words)
        return f"Here: {line.rstrip('.')}." if line else ""

    return told


GLOSSARY: Final[tuple[GlossaryEntry, ...]] = (
    GlossaryEntry(
        "combine", "combin merg replac",
        "To combine two is to put, on paper, one capacitor in their place that takes the same "
        "charge at the same {pd}.", _capacitors,
    ),
    GlossaryEntry(
        "reciprocal", "reciproc invers upsid_down",
        "The reciprocal of a number is one divided by it.", _reciprocal,
    ),
    GlossaryEntry(
        "relative permittivity", "permitt dielectr insul materi dielectr_constant plastic epsilon",
        "A dielectric is an insulating material in the gap; its relative permittivity, also called "
        "dielectric constant, says how many times as large it makes the capacitance.",
        _line_on("filled", "permittivity", "fill"),
    ),
    GlossaryEntry(
        "electric constant", "e0 ε0 eps0 epsilon0 electr_constant",
        "ε0, the electric constant, is 8.854 × 10^-12 F/m: with the area and the gap it gives the "
        "capacitance of two plates with nothing between.", _nothing,
    ),
    GlossaryEntry(
        "rating", "rate", "The rating of a capacitor is the largest {pd} that it may have; above "
        "it the insulator may break down.", _line_on("rated"),
    ),
    GlossaryEntry(
        "equivalent capacitance", "equival total_capacit whole total ceq ctot overal_capacit",
        "The equivalent or total capacitance is that of the one capacitor that takes the same "
        "charge at the same {pd} as all of them together.", _whole,
    ),
    GlossaryEntry(
        "island", "island cut_off float",
        "An island is metal that nothing but plates touches, so that no charge can come to it or "
        "leave it.", _islands,
    ),
    GlossaryEntry(
        "isolated", "isol",
        "Isolated means that nothing outside is joined, so that the charge there stays what it is.",
        _islands,
    ),
    GlossaryEntry(
        "metal at a point", "metal wire",
        "Wire and the plates joined to it are one piece of metal, and so one point.", _islands,
    ),
    GlossaryEntry(
        "balance of charges", "balanc_of charg_balanc",
        "At a point that only plates touch the charges of those plates add up to zero, if it began "
        "uncharged: that is the balance of charges.", _islands,
    ),
    GlossaryEntry(
        "balanced", "balanc unbalanc",
        "A bridge is balanced if the two points in its middle are at one potential; then no charge "
        "is on the capacitor between them.", _bridge,
    ),
    GlossaryEntry(
        "bridge", "bridg wheatston",
        "A capacitor is a bridge if it joins the middles of two ways that lie side by side.",
        _bridge,
    ),
    GlossaryEntry(
        "series", "seri chain row",
        "In series means one after the other, with nothing else joined where they meet.", _islands,
    ),
    GlossaryEntry(
        "parallel", "parallel side_by paralel",
        "In parallel means that both ends of one are at the same two points as both ends of the "
        "other, wherever they are drawn.", _places,
    ),
    GlossaryEntry(
        "star and triangle", "star triangl delta",
        "Three capacitors are a star if they meet at one inner point, a triangle if they join "
        "three points two by two; one can be put for the other.", _points,
    ),
    GlossaryEntry(
        "ladder", "ladder section shunt rung",
        "In a ladder every section has one capacitor along and one, the shunt, across to the "
        "other side.", _line_on("ladder"),
    ),
    GlossaryEntry(
        "potential", "potenti level",
        "Potential belongs to one point and is counted from a point that is called zero; the "
        "difference between the potentials of two points is a {pd}.", _potential,
    ),
    GlossaryEntry(
        "p.d.", "pd voltag volt",
        "A {pd} is a difference of potential between two points, in volts; voltage and p.d. are "
        "two words for it.", _difference,
    ),
    GlossaryEntry(
        "coulomb", "coulomb",
        "A coulomb, C, is the unit of charge: one farad holds one coulomb for each volt.", _nothing,
    ),
    GlossaryEntry(
        "prefix", "prefix micro nano pico milli kilo uf nf pf mf uc nc µf µc",
        "The prefix m (milli) is a thousandth, µ or u (micro) a thousandth of that, n (nano) a "
        "thousandth again and p (pico) a thousandth once more.", _unit_here,
    ),
    GlossaryEntry(
        "farad", "farad",
        "A farad, F, is one coulomb for each volt, which is very large: a microfarad, µF, is a "
        "millionth of it, a nanofarad, nF, a thousandth of that, and a picofarad, pF, a thousandth "
        "again.", _unit_here,
    ),
    GlossaryEntry(
        "joule", "joul", "A joule, J, is the unit of energy: the work of moving one coulomb across "
        "one volt.", _nothing,
    ),
    GlossaryEntry(
        "energy", "energi",
        "The stored energy is the work that it took to separate the charges, in joules.",
        _capacitors,
    ),
    GlossaryEntry(
        "capacitance", "capacit capac",
        "Capacitance is how much charge is needed for each volt: C = Q/V, in farads.", _capacitance,
    ),
    GlossaryEntry(
        "terminal", "termin end",
        "A terminal, or end, is where something outside can be joined to the network.", _ends,
    ),
    GlossaryEntry(
        "point", "point node junction letter",
        "A point is all the metal that wires make one, so it has one potential.", _points,
    ),
    GlossaryEntry(
        "supply", "suppli batteri cell emf",
        "A supply, such as a battery, holds a {pd} between its two ends by moving charge from one "
        "to the other.", _supply,
    ),
    GlossaryEntry(
        "polarity", "polar polaris plus plus_plate minus_plate",
        "The + plate of a capacitor is the one at the higher potential; polarity says which it is.",
        _plus,
    ),
    GlossaryEntry(
        "field", "field",
        "The field in a gap is its {pd} for each metre and points from the + plate to the − plate.",
        _capacitors,
    ),
    GlossaryEntry(
        "earth", "earth ground",
        "Earth, or ground, is a point whose potential is called zero.", _potential,
    ),
    GlossaryEntry(
        "plate", "plate gap foil",
        "A plate is one of the two pieces of metal of a capacitor; no charge crosses the gap "
        "between them.", _plates,
    ),
    GlossaryEntry(
        "current", "current flow amp",
        "A current is charge on the move; in the state of rest that is asked for here there is "
        "none, and none ever crosses a gap.", _nothing,
    ),
    GlossaryEntry(
        "charge", "charg electron",
        "Charge is measured in coulombs; on a capacitor it has been moved from one plate to the "
        "other.", _charge,
    ),
    GlossaryEntry(
        "share", "share",
        "To share a {pd} or a charge means here that each has the same one, not that it is divided "
        "up.", _nothing,
    ),
    GlossaryEntry(
        "in full", "in_full unchang pass_on pass_unchang",
        "A part has a charge or a {pd} in full where it has all that the one in their place had, "
        "not a share of it.", _nothing,
    ),
    GlossaryEntry(
        "held fixed", "fix held",
        "Held fixed is what does not change while the thing that is told is done.", _supply,
    ),
    GlossaryEntry(
        "ratio", "ratio",
        "The ratio of two values is one divided by the other, both in the same unit.", _places,
    ),
    GlossaryEntry(
        "capacitor", "capacitor condens",
        "A capacitor is two pieces of metal, its plates, with an insulating gap between them.",
        _capacitors,
    ),
    GlossaryEntry(
        "notation", "notat symbol sign",
        "|| is written between capacitors in parallel, -- between those in series.", _places,
    ),
)
