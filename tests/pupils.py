"""Simulated pupils: what is true of each and hidden from the tutor, and how it changes.

A pupil knows a skill or not. One not known becomes known at a chance with some likelihood, unless
a wrong rule stands in its way; a wrong rule stays, or is given up after it has shown some times.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from random import Random
from types import MappingProxyType
from typing import Final, NamedTuple

from tutor.practice.making_needs import NEEDS
from tutor.practice.questions.kinds import kinds_for
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.malrule import SLIP
from tutor.teaching.skills import BY_CODE

LEARNS: Final = 0.15
SLIPS: Final = 0.07
STRAYS: Final = 0.2  # the share of other wrong numbers that some wrong rule gives
KNOWN_BEFORE: Final = 0.85  # of what is not practised
PRACTISED: Final = 3
CURED: Final = 0.5  # the share of wrong rules that are given up
SHOWS_BEFORE_CURE: Final = (3, 6)
GUESSED_NUMBER: Final = 0.05

# Wrong rules that give numbers, with the skills each spoils; slips of the hand are no ideas.
SPOILS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType({
    m.name: tuple(m.skill.split("+")) for m in CATALOGUE if m.rank < SLIP
})
HELP: Final[Mapping[str, str]] = MappingProxyType({
    m.name: m.remedy for m in CATALOGUE
})
TO_PRACTISE: Final = tuple(code for code in BY_CODE if code in NEEDS or kinds_for(code))


class Nature(NamedTuple):
    """What is true of a pupil at the start.

    ``practised`` are the skills that will be practised, ``known`` those known already, ``held`` the
    wrong rules with how often each shows before it is given up, None for never. Someone who
    ``guesses`` knows nothing and never will.
    """

    practised: tuple[str, ...]
    known: frozenset[str]
    held: Mapping[str, int | None]
    guesses: bool = False


def nature(rng: Random) -> Nature:
    """A pupil by chance, with one to three wrong rules that spoil some of what is practised."""
    held: dict[str, int | None] = {}
    practised: list[str] = []
    for name in rng.sample([n for n in SPOILS if SPOILS[n][0] in TO_PRACTISE], rng.randint(1, 3)):
        held[name] = rng.randint(*SHOWS_BEFORE_CURE) if rng.random() < CURED else None
        practised.append(SPOILS[name][0])
    others = [code for code in TO_PRACTISE if code not in practised]
    practised = [*dict.fromkeys([*practised, *rng.sample(others, PRACTISED)])][:PRACTISED]
    spoilt = {code for name in held for code in SPOILS[name]}
    known = {code for code in BY_CODE if rng.random() < KNOWN_BEFORE}
    known -= {*spoilt, *(code for code in practised if rng.random() < 0.5)}
    return Nature(tuple(practised), frozenset(known), held)


def guesser(rng: Random) -> Nature:
    """One who guesses at everything."""
    return Nature(tuple(rng.sample(TO_PRACTISE, PRACTISED)), frozenset(), {}, guesses=True)


class Pupil:
    """One pupil on the way; ``rng`` is all the chance there is."""

    def __init__(self, born: Nature, rng: Random) -> None:
        self.born = born
        self.rng = rng
        self.known = set(born.known)
        self.held = dict(born.held)

    def knows(self, skills: Iterable[str]) -> bool:
        """Whether all of these are known."""
        return self.known.issuperset(skills)

    def slips(self) -> bool:
        """Whether this answer goes wrong by a slip."""
        return self.rng.random() < SLIPS

    def shows(self, name: str) -> None:
        """A wrong rule of this pupil has shown; it may be given up now, and the skills it spoilt
        are known from then on.
        """
        left = self.held[name]
        if left is None:
            return
        self.held[name] = left - 1
        if left <= 1:
            del self.held[name]
            self.known |= {code for code in SPOILS[name] if not self._is_spoilt(code)}

    def learns(self, skills: Iterable[str]) -> None:
        """A chance to learn what a question needed."""
        for code in skills:
            free = not self.born.guesses and code not in self.known and not self._is_spoilt(code)
            if free and self.rng.random() < LEARNS:
                self.known.add(code)

    def _is_spoilt(self, code: str) -> bool:
        return any(code in SPOILS[name] for name in self.held)
