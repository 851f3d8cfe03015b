"""All malrules that give a number, and the names of those that show in other ways."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from tutor.teaching.observation import Observation
from tutor.teaching.rules.chains import CHAIN
from tutor.teaching.rules.charge_and_energy import ONE_CAPACITOR
from tutor.teaching.rules.charged import CHARGED, FLOATING
from tutor.teaching.rules.equivalents import EITHER, READING, SIDE_BY_SIDE
from tutor.teaching.rules.malrule import Malrule
from tutor.teaching.rules.plates_and_ratings import MISSING, PLATES, RATINGS
from tutor.teaching.rules.working_back import WORKING_BACK
from tutor.teaching.skills import before

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
# The first of an idea's skills: what it spoils.
MAIN_SKILL: Mapping[str, str] = MappingProxyType({
    name: skills.partition("+")[0] for name, skills in SKILL_OF.items()
})
REMEDY_OF: Mapping[str, str] = MappingProxyType({
    rule.name: rule.remedy for rule in reversed(CATALOGUE)
})
_RANK_OF: Mapping[str, int] = MappingProxyType({
    rule.name: rule.rank for rule in reversed(CATALOGUE)
})


# Which skills stand behind a wrong answer, by the wrong rules that give it.


# Slips that belong to the skill in hand, whatever it is.
ANY_SKILL: Final = frozenset({"wrong-kind-of-unit"})


def blaming(seen: Observation, names: tuple[str, ...]) -> Observation:
    """A wrong answer with the wrong rules behind it: if one remedy serves them all, the first of
    them stands for it. Blamed are skills of the question and what these rest on, those of the
    likeliest rules; where these belong to others, as a unit of another quantity may to any
    question, those in hand.
    """
    remedies = {REMEDY_OF.get(name, name) for name in names}
    sure = len(remedies) == 1
    kept = names[:1] if sure else names
    near = {*seen.skills, *(code for skill in seen.skills for code in before(skill))}
    theirs = () if ANY_SKILL.issuperset(kept) else blamed(_likeliest(kept))
    to_blame = tuple(code for code in theirs if code in near)
    return seen._replace(malrules=kept, sure=sure, blamed=to_blame)


def _likeliest(names: tuple[str, ...]) -> list[str]:
    """Those of them that are met most: no slip of the hand where a wrong idea gives as much."""
    ranks = [_RANK_OF.get(name, 0) for name in names]
    return [name for name, rank in zip(names, ranks, strict=True) if rank == min(ranks)]


def blamed(names: Iterable[str]) -> tuple[str, ...]:
    """The skills that these wrong rules belong to."""
    found = [part for name in names for part in SKILL_OF.get(name, "").split("+") if part]
    return tuple(dict.fromkeys(found))
