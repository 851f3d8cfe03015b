"""All malrules that give a number, and the names of those that show in other ways."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from tutor.teaching.rules.chains import CHAIN
from tutor.teaching.rules.charge_and_energy import ONE_CAPACITOR
from tutor.teaching.rules.charged import CHARGED
from tutor.teaching.rules.equivalents import EITHER
from tutor.teaching.rules.floating_points import FLOATING
from tutor.teaching.rules.malrule import Malrule
from tutor.teaching.rules.misread_networks import READING
from tutor.teaching.rules.plates_and_ratings import MISSING, PLATES, RATINGS
from tutor.teaching.rules.side_by_side import SIDE_BY_SIDE
from tutor.teaching.rules.working_back import WORKING_BACK

CATALOGUE: Final[tuple[Malrule, ...]] = (
    *ONE_CAPACITOR, *CHAIN, *SIDE_BY_SIDE, *EITHER, *WORKING_BACK, *READING,
    *CHARGED, *FLOATING, *MISSING, *PLATES, *RATINGS,
)

# Malrules known by something other than a value: (catalogue code, skill).
BY_OTHER_SIGNS: Mapping[str, tuple[str, str]] = MappingProxyType({
    "capacitance-grows-with-the-supply": ("A4", "S01"),
    "energy-doubles-with-the-pd": ("B13", "S24"),
    "joins-two-that-share-one-point": ("E1", "S07"),
    "looks-side-by-side": ("E2", "S06"),
    "keeps-a-bypassed-capacitor": ("E3", "S16"),
    "counts-a-dead-end-in-the-chain": ("E4", "S17"),
    "counts-a-dead-end-as-parallel": ("E5", "S17"),
    "runs-a-chain-through-a-terminal": ("E7", "S07"),
    "series-shares-the-pd": ("F1", "S09"),
    "parallel-shares-the-charge": ("F2", "S08"),
    "prefix-slip-of-a-thousand": ("K1", "S03"),
    "prefix-slip-of-a-million-or-more": ("K2", "S03"),
    "squares-the-number-not-the-prefix": ("K3", "S03"),
    "too-few-figures": ("K5", "S04"),
    "cuts-off-instead-of-rounding": ("K6", "S04"),
    "wrong-kind-of-unit": ("K7", "S03"),
    "longer-chain-holds-more": ("Z3", "S13"),
    "tests-the-wrong-pairs": ("E13", "S36"),
})
SKILL_OF: Mapping[str, str] = MappingProxyType({
    **{rule.name: rule.skill for rule in reversed(CATALOGUE)},
    **{name: skill for name, (_, skill) in BY_OTHER_SIGNS.items()},
})
REMEDY_OF: Mapping[str, str] = MappingProxyType({
    rule.name: rule.remedy for rule in reversed(CATALOGUE)
})
