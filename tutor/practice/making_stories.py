"""Problems in stages, with values by chance, as a learner could type them.

Numbers are plain: microfarads, volts, microcoulombs, microjoules.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from random import Random
from types import MappingProxyType
from typing import Final, TypeAlias

from tutor.practice.making_needs import (
    CROSSED,
    FILLED,
    GAPPED,
    LAYERED,
    LIKE,
    MISSING,
    PLATES,
    RATED,
)
from tutor.practice.task_values import POOLS, SUPPLIES, Arithmetic, fits, is_short, joint

Draw: TypeAlias = Callable[[Arithmetic, Random], str | None]

# Usual ratings of capacitors in volts (common practice, no source).
RATINGS: Final = tuple(map(Fraction, (10, 16, 25, 35, 40, 50, 63, 80, 100, 160, 200, 250)))
# Relative permittivities of usual fillings, rounded to two figures: PTFE, paraffin, polystyrene,
# nylon, paper, quartz, Pyrex, mica, neoprene. Source: OpenStax, University Physics Volume 2,
# table 8.1.
FILLINGS: Final = tuple(
    map(Fraction, ("2.1", "2.3", "2.6", "3.4", "3.7", "3.8", "5.6", "6", "6.7"))
)
PERMITTIVITIES: Mapping[Arithmetic, tuple[Fraction, ...]] = MappingProxyType({
    "whole": tuple(map(Fraction, range(2, 9))),
    "terminating": tuple(map(Fraction, ("1.5", "2", "2.5", "3", "4", "5", "6", "8"))),
    "three figures": FILLINGS,
})
GAPS: Mapping[str, Fraction] = MappingProxyType({
    "doubled": Fraction(2), "tripled": Fraction(3), "halved": Fraction(1, 2),
    "times 4": Fraction(4), "times 5": Fraction(5), "times 1.5": Fraction(3, 2),
})
AREAS: Final = (20, 25, 30, 40, 50, 60, 75, 80, 120, 150, 180, 240, 300)
MOST: Final = 10_000  # from here on another prefix is usual, and whole numbers would not stay so
WIDTHS: Final = tuple(Fraction(n, 10) for n in (2, 3, 4, 5, 6, 7, 8, 9, 12, 15))


def plain(number: Fraction) -> str:
    """A number that ends, as it is typed."""
    return f"{float(number):.12g}"


def _small(numbers: Iterable[Fraction | int], most: int) -> list[Fraction]:
    """Those up to a bound, so that energies keep to few figures."""
    return [Fraction(number) for number in numbers if number <= most]


def _missing_in_chain(arithmetic: Arithmetic, rng: Random) -> str | None:
    one, whole = _one_and_whole(arithmetic, rng, "series")
    if not 0 < whole < one or not is_short(whole):
        return None
    missing = 1 / (1 / whole - 1 / one)
    return _missing("--", one, whole) if fits([missing], arithmetic, endless=True) else None


def _missing_beside(arithmetic: Arithmetic, rng: Random) -> str | None:
    one, whole = _one_and_whole(arithmetic, rng, "parallel")
    if whole <= one or not fits([whole - one], arithmetic, endless=False):
        return None
    return _missing("||", one, whole)


def _one_and_whole(
    arithmetic: Arithmetic, rng: Random, kind: str
) -> tuple[Fraction, Fraction]:
    """One of two and what both come to: the other one comes out as ordered, more often than not."""
    one, other = rng.sample(POOLS[arithmetic], 2)
    if arithmetic == "three figures":
        low, high = sorted((one, other))
        return (high, low) if kind == "series" else (low, high)
    other = other / 4 if arithmetic == "terminating" else other
    return one, joint(kind, (one, other))


def _missing(sign: str, one: Fraction, whole: Fraction) -> str:
    return f"C1 = {plain(one)} uF {sign} C2 = ?; C = {plain(whole)} uF"


def _missing_within(arithmetic: Arithmetic, rng: Random) -> str | None:
    one, two, three = rng.sample(POOLS[arithmetic], 3)
    if arithmetic == "three figures":
        whole = three
        if whole >= one:
            return None
        beside = 1 / (1 / whole - 1 / one)
    else:
        beside = two + (three / 4 if arithmetic == "terminating" else three)
        whole = joint("series", (one, beside))
    missing = beside - two
    if missing <= 0 or not is_short(whole) or not fits([beside, missing], arithmetic, True):
        return None
    return (
        f"C1 = {plain(one)} uF -- (C2 = {plain(two)} uF || C3 = ?); C = {plain(whole)} uF"
    )


def _rated(count: int, sign: str) -> Draw:
    def draw(arithmetic: Arithmetic, rng: Random) -> str | None:
        values, ratings = rng.sample(POOLS[arithmetic], count), rng.sample(RATINGS, count)
        if sign == "--":
            charges = sorted(c * v for c, v in zip(values, ratings, strict=True))
            greatest = charges[0] / joint("series", values)
            if charges[0] * 11 > charges[1] * 10:
                return None
            if not fits([charges[0], greatest], arithmetic, endless=True):
                return None
        parts = [
            f"C{n} = {plain(c)} uF rated {plain(v)} V"
            for n, (c, v) in enumerate(zip(values, ratings, strict=True), start=1)
        ]
        return f" {sign} ".join(parts)

    return draw


def _changed(joined: bool, by: str) -> Draw:
    """A capacitor on a supply that is filled, or whose gap is changed, on or off the supply."""

    def draw(arithmetic: Arithmetic, rng: Random) -> str | None:
        c = rng.choice(_small(POOLS[arithmetic], 30))
        v = rng.choice(_small(SUPPLIES[arithmetic], 60))
        if by == "filling":
            ratio = rng.choice(PERMITTIVITIES[arithmetic])
            done = f"fill C1 with {plain(ratio)}"
        else:
            word = rng.choice(tuple(GAPS))
            ratio, done = 1 / GAPS[word], f"gap of C1 {word}"
        volts = v if joined else v / ratio
        before, after = c * v * v / 2, c * ratio * volts * volts / 2
        found = [c * v, before, c * ratio, c * ratio * volts, volts, after]
        if joined:
            found += [abs(c * v * (ratio - 1)) * v]
        if max(found) >= MOST or not fits(found, arithmetic, not joined and by == "filling"):
            return None
        off = "" if joined else " then remove supply;"
        return f"C1 = {plain(c)} uF, across {plain(v)} V;{off} then {done}"

    return draw


def _plates(filled: bool) -> Draw:
    def draw(arithmetic: Arithmetic, rng: Random) -> str | None:
        del arithmetic  # three figures always
        text = f"C1 = plates {rng.choice(AREAS)} cm2 gap {plain(rng.choice(WIDTHS))} mm"
        return f"{text} filled {plain(rng.choice(FILLINGS))}" if filled else text

    return draw


def _layers(arithmetic: Arithmetic, rng: Random) -> str | None:
    del arithmetic
    (one, two), (first, second) = rng.sample(WIDTHS, 2), rng.sample(FILLINGS, 2)
    return (
        f"C1 = plates {rng.choice(AREAS)} cm2 layers {plain(one)} mm of {plain(first)}, "
        f"{plain(two)} mm of {plain(second)}"
    )


def _strips(arithmetic: Arithmetic, rng: Random) -> str | None:
    del arithmetic
    (one, two), (first, second) = rng.sample(AREAS, 2), rng.sample(FILLINGS, 2)
    return (
        f"C1 = plates {one + two} cm2 gap {plain(rng.choice(WIDTHS))} mm side by side "
        f"{one} cm2 of {plain(first)}, {two} cm2 of {plain(second)}"
    )


def _joined(charged: int, crossed: bool) -> Draw:
    def draw(arithmetic: Arithmetic, rng: Random) -> str | None:
        a, b = rng.sample(_small(POOLS[arithmetic], 30), 2)
        v, u = rng.sample(_small(SUPPLIES[arithmetic], 60), 2)
        u = u if charged == 2 else Fraction(0)
        charge = abs(a * v - b * u) if crossed else a * v + b * u
        common = charge / (a + b)
        before, after = (a * v * v + b * u * u) / 2, charge * common / 2
        found = [a * v, b * u, charge, common, a * common, b * common, before, after,
                 before - after]
        if charge == 0 or max(found) >= MOST or not fits(found, arithmetic, endless=True):
            return None
        second = f" charged to {plain(u)} V" if u else ""
        end = " crossed" if crossed else ""
        return (
            f"C1 = {plain(a)} uF charged to {plain(v)} V; C2 = {plain(b)} uF{second}; "
            f"join C1 and C2{end}"
        )

    return draw


DRAWS: Mapping[str, Draw] = MappingProxyType({
    MISSING[0]: _missing_in_chain,
    MISSING[1]: _missing_beside,
    MISSING[2]: _missing_within,
    RATED[0]: _rated(2, "--"),
    RATED[1]: _rated(3, "--"),
    RATED[2]: _rated(2, "||"),
    FILLED[0]: _changed(True, "filling"),
    FILLED[1]: _changed(False, "filling"),
    GAPPED[0]: _changed(True, "gap"),
    GAPPED[1]: _changed(False, "gap"),
    PLATES[0]: _plates(False),
    PLATES[1]: _plates(True),
    LAYERED[0]: _layers,
    LAYERED[1]: _strips,
    LIKE[0]: _joined(1, False),
    LIKE[1]: _joined(2, False),
    CROSSED: _joined(2, True),
})
