"""Preferred values of capacitors: the series E3 to E192.

Source: IEC 60063:2015, "Preferred number series for resistors and capacitors"; the values are
from public lists of it and were recomputed, the standard itself was not read. That capacitors
mostly come in E3, E6 and E12 is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType

_E24 = (
    10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91
)  # fmt: skip
# In E192 one value is not the rounded power of ten: 920 where the rule gives 919.
_E192 = tuple(
    920 if place == 185 else round(100 * 10 ** (place / 192)) for place in range(192)
)

PER_DECADE: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {f"E{24 // step}": _E24[::step] for step in (8, 4, 2, 1)}
    | {f"E{192 // step}": _E192[::step] for step in (4, 2, 1)}
)
"""The whole numbers of one decade of each series: of two figures up to E24, of three beyond."""


def preferred_values(series: str, low: Fraction, high: Fraction) -> Iterator[Fraction]:
    """Every capacitance of a series from ``low`` to ``high``, both included, all in farads.

    ``series`` is a name in ``PER_DECADE``. The values go up by decades without end both ways.
    """
    figures = PER_DECADE[series]
    decade = Fraction(1, figures[0])
    while decade * figures[0] > low:
        decade /= 10
    while decade * 10 * figures[0] <= low:
        decade *= 10
    while decade * figures[0] <= high:
        for figure in figures:
            if low <= figure * decade <= high:
                yield figure * decade
        decade *= 10
