"""Which skills a wrong answer speaks against, by the wrong rules that give it."""

from __future__ import annotations

import pytest

from tutor.teaching.observation import Observation
from tutor.teaching.rules.catalogue import (
    BY_OTHER_SIGNS,
    CATALOGUE,
    MAIN_SKILL,
    SKILL_OF,
    blamed,
    blaming,
)

SEEN = Observation("V1", "a pair", ("S21",), "value", "wrong")  # which rests on S09, S02 …


@pytest.mark.parametrize(("names", "sure", "kept", "codes"), [
    (("splits-the-pd-equally",), True, ("splits-the-pd-equally",), ("S21",)),
    # one remedy: the first stands for both
    (("full-supply-pd-on-each", "supply-pd-on-an-inner-block"), True,
     ("full-supply-pd-on-each",), ("S21",)),
    # two remedies, and one of the two skills is neither asked nor rested on
    (("splits-the-pd-equally", "whole-equivalent-for-a-part"), False,
     ("splits-the-pd-equally", "whole-equivalent-for-a-part"), ("S21",)),
    # a likely idea, and two things that are rare: no more is laid at the door of points and wires
    (("pd-in-proportion-to-capacitance", "potential-for-pd", "copies-a-neighbours-value"), False,
     ("pd-in-proportion-to-capacitance", "potential-for-pd", "copies-a-neighbours-value"),
     ("S21",)),
    (("copies-a-neighbours-value",), True, ("copies-a-neighbours-value",), ("S05",)),
    # what S21 rests on may be to blame as well
    (("upside-down-pd",), True, ("upside-down-pd",), ("S02",)),
    (("wrong-kind-of-unit",), True, ("wrong-kind-of-unit",), ()),
    (("something-else-at-all",), True, ("something-else-at-all",), ()),
    ((), False, (), ()),
])
def test_what_is_to_blame(
    names: tuple[str, ...], sure: bool, kept: tuple[str, ...], codes: tuple[str, ...]
) -> None:
    found = blaming(SEEN, names)
    assert (found.malrules, found.sure, found.blamed) == (kept, sure, codes)


def test_a_unit_of_another_kind_beside_another_idea_blames_that_one() -> None:
    found = blaming(SEEN, ("wrong-kind-of-unit", "splits-the-pd-equally"))
    assert (found.sure, found.blamed) == (False, ("S21",))


def test_skills_of_ideas() -> None:
    assert blamed(["supply-on-keeps-the-charge", "copies-a-neighbours-value"]) == (
        "S29", "S30", "S05",
    )
    assert MAIN_SKILL["supply-on-keeps-the-charge"] == "S29"
    assert MAIN_SKILL["longer-chain-holds-more"] == "S13"
    for rule in CATALOGUE:
        own = BY_OTHER_SIGNS[rule.name][1] if rule.name in BY_OTHER_SIGNS else rule.skill
        assert SKILL_OF[rule.name] in {own, *(m.skill for m in CATALOGUE if m.name == rule.name)}


@pytest.mark.parametrize(("rank", "codes"), [
    (0, {"C1", "C2", "D1", "Z1", "G1", "G2", "G3", "G4", "G7", "G8", "G9"}),
    (2, {"E9", "E10", "G16"}),
    (3, {"K4", "K8"}),
])
def test_likely_ideas_and_rare_ones_and_slips(rank: int, codes: set[str]) -> None:
    """Common practice, no source: what teachers meet most, what is far to seek, what slips."""
    assert {malrule.code for malrule in CATALOGUE if malrule.rank == rank} == codes
    assert {malrule.rank for malrule in CATALOGUE} == {0, 1, 2, 3}
