"""What there is to learn: forty skills in teaching order, what each needs, and the eight units."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple


class Skill(NamedTuple):
    """One thing a learner comes to do.

    ``code`` is for records, never for the screen; ``name`` is short, as in a list; ``says``
    completes 'you can …'; ``needs`` are codes of what comes before it. ``also`` are names of it
    that teachers use too: they are read, and never printed.
    """

    code: str
    name: str
    says: str
    unit: int
    needs: tuple[str, ...] = ()
    also: tuple[str, ...] = ()


UNITS: Mapping[int, str] = MappingProxyType({
    1: "One capacitor",
    2: "Reading a network",
    3: "One capacitor for many",
    4: "Back to each capacitor",
    5: "Energy",
    6: "Designing, and working backwards",
    7: "Changes",
    8: "Beyond series and parallel",
})

SKILLS: Final[tuple[Skill, ...]] = (
    Skill("S01", "what a capacitor does", "say what the two plates hold and what stays fixed", 1),
    Skill("S02", "Q = C V", "find a charge, a p.d. or a capacitance from the other two", 1,
          ("S01",)),
    Skill("S03", "prefixes", "keep prefixes right, as in µF times V gives µC", 1),
    Skill("S04", "figures", "carry figures through and round once, at the end", 1),
    Skill("S05", "points and wires",
          "turn a drawing or a text into points and what joins them", 2, ("S01",)),
    Skill("S06", "spotting parallel", "see which capacitors join the same two points", 2,
          ("S05",)),
    Skill("S07", "spotting a chain", "see which capacitors meet alone at a point", 2, ("S05",)),
    Skill("S08", "why parallel shares the p.d.",
          "say which two points make a parallel set share its p.d.", 2, ("S06", "S01")),
    Skill("S09", "why a chain shares the charge",
          "say which cut-off metal makes a chain share its charge", 2, ("S07", "S01")),
    Skill("S10", "adding in parallel", "add capacitances side by side", 3, ("S08", "S03")),
    Skill("S11", "two in series", "find what two in series come to", 3, ("S09", "S03", "S04")),
    Skill("S12", "more in series", "find what three or more in series come to", 3, ("S11",)),
    Skill("S13", "bounds", "say beforehand below or above which one the result must lie", 3,
          ("S10", "S11")),
    Skill("S14", "choosing a step", "choose what can be combined now, in any valid order", 3,
          ("S06", "S07")),
    Skill("S15", "the network after a step", "say what the network is once a step is done", 3,
          ("S14",)),
    Skill("S16", "bypassed by a wire", "leave out a capacitor that a wire bypasses", 3, ("S05",)),
    Skill("S17", "dead ends", "leave out what hangs by one point", 3, ("S05", "S09")),
    Skill("S18", "the charge from the supply", "find the charge of the whole, or its p.d.", 4,
          ("S02", "S15")),
    Skill("S19", "back through a chain", "give each of a chain the whole charge", 4,
          ("S09", "S18")),
    Skill("S20", "back through a parallel set",
          "give each of a parallel set the whole p.d.", 4, ("S08", "S18")),
    Skill("S21", "dividing a p.d.", "find how a chain divides its p.d.", 4, ("S19", "S02"),
          ("sharing a p.d.",)),
    Skill("S22", "dividing a charge", "find how parallel branches divide a charge", 4,
          ("S20", "S02"), ("sharing a charge",)),
    Skill("S23", "back through several levels", "work back through groups within groups", 4,
          ("S19", "S20", "S21", "S22")),
    Skill("S24", "energy of one capacitor", "find the energy of one capacitor in three ways", 5,
          ("S02",)),
    Skill("S25", "energy in a network", "compare energies and add them up", 5, ("S24", "S23")),
    Skill("S26", "closing checks", "check the sums of p.d.s, charges and energies", 4, ("S23",)),
    Skill("S27", "a missing capacitor", "find a capacitor from what the whole comes to", 6,
          ("S10", "S11")),
    Skill("S28", "the greatest safe supply", "find which capacitor reaches its rating first", 6,
          ("S21",)),
    Skill("S29", "what is held fixed", "say whether a change holds the p.d. or the charge", 7,
          ("S02",)),
    Skill("S30", "area, gap and filling", "say how plates and filling set the capacitance", 7,
          ("S01", "S03")),
    Skill("S31", "layers and side-by-side fillings",
          "take layers as a chain and side-by-side fillings as parallel", 7,
          ("S30", "S10", "S11")),
    Skill("S32", "joining like to like", "join charged capacitors, like plates together", 7,
          ("S29", "S10")),
    Skill("S33", "joining crossed", "join charged capacitors, unlike plates together", 7,
          ("S32",)),
    Skill("S34", "where the energy goes", "account for heat in the wires and the supply's work",
          7, ("S24", "S32")),
    Skill("S35", "when nothing can be combined", "see that series and parallel lead no further",
          8, ("S14",)),
    Skill("S36", "equal potentials", "use a balance or a symmetry to find equal potentials", 8,
          ("S21", "S35")),
    Skill("S37", "charge balance at one point", "find the potential of one floating point", 8,
          ("S09", "S22")),
    Skill("S38", "charge balance at two points", "solve the two balances of a bridge", 8,
          ("S37", "S35")),
    Skill("S39", "star and triangle", "put a star for a triangle, and back", 8, ("S35",)),
    Skill("S40", "setting out working", "write symbol, numbers, result and unit, line by line",
          1, ("S04",)),
)

BY_CODE: Mapping[str, Skill] = MappingProxyType({skill.code: skill for skill in SKILLS})
CODE_OF: Mapping[str, str] = MappingProxyType({
    name.lower(): skill.code for skill in SKILLS for name in (skill.name, *skill.also)
})


def before(code: str) -> frozenset[str]:
    """All that a skill rests on, however far back."""
    found = frozenset(BY_CODE[code].needs)
    return found.union(*(before(needed) for needed in found))
