"""Ratings: the greatest p.d. a network bears, and which of its capacitors sets it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from grammar.outline import elements_of
from grammar.records import Description
from tutor.circuit.network import Network, Supply
from tutor.circuit.solving import Solution, solve
from tutor.circuit.values import Value, in_letters, tidy


class Limit(NamedTuple):
    """One rated capacitor: its ``rating`` in volts, and its ``share`` of the p.d. between the ends.

    ``supply`` is the p.d. between the ends, in volts, at which it reaches its rating; None where
    it never does, since no charge comes to it.
    """

    name: str
    rating: Fraction
    share: Fraction

    @property
    def supply(self) -> Fraction | None:
        """Rating over share."""
        return self.rating / self.share if self.share else None


class Greatest(NamedTuple):
    """The greatest safe supply ``voltage`` in volts, and who reaches a rating there.

    ``first`` are all that reach theirs at that p.d.; ``unrated`` are taken to bear any p.d.
    ``at_one_volt`` is the network worked out at 1 V between the ends.
    """

    voltage: Fraction
    first: tuple[str, ...]
    limits: tuple[Limit, ...]
    unrated: tuple[str, ...]
    at_one_volt: Solution


def ratings_of(description: Description) -> dict[str, Fraction]:
    """The rating of each rated capacitor of a text, in volts, in the order of the text."""
    return {c.name: c.rating.value for c in elements_of(description) if c.rating is not None}


def greatest_supply(network: Network, ratings: Mapping[str, Fraction]) -> Greatest | None:
    """The greatest p.d. between the ends at which no capacitor is above its rating.

    All p.d.s in a network of capacitors grow alike with the supply's, so one solution at 1 V
    gives them all. None where no rated capacitor ever has a p.d., or where how the p.d. is
    shared depends on letters.
    """
    solution = solve(network, Supply("voltage", Fraction(1)))
    shares = {c.name: _share(solution, c.name) for c in network.capacitors}
    limits: list[Limit] = []
    for name, rating in ratings.items():
        share = shares[name]
        if in_letters(share):
            return None
        limits.append(Limit(name, rating, Fraction(share)))
    supplies = {each.name: each.supply for each in limits if each.supply is not None}
    if not supplies:
        return None
    least = min(supplies.values())
    first = tuple(name for name, supply in supplies.items() if supply == least)
    unrated = tuple(name for name in shares if name not in ratings)
    return Greatest(least, first, tuple(limits), unrated, solution)


def _share(solution: Solution, name: str) -> Value:
    held = solution.holdings.get(name)
    return tidy(held.size.voltage) if held else Fraction(0)
