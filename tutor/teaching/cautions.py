"""Short words of caution about real capacitors, said once, where a problem comes near them.

The advice is common practice in school laboratories, no source, except where one is named.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final, NamedTuple

from tutor.circuit.values import Value, in_letters
from tutor.teaching.settings import DEFAULTS, Settings

# Common practice in school laboratories, no source.
HIGH_VOLTAGE: Final = Fraction(25)
# Common practice, no source: laboratory rules take a quarter of a joule at over 400 V as a shock
# hazard, and larger energies at lower p.d.s; the least of them is used for all.
HIGH_ENERGY: Final = Fraction(1, 4)


class Hazards(NamedTuple):
    """What besides p.d. and energy calls for a word: ratings, polarity, charged ones joined.

    ``chained`` says that rated ones stand in a chain, ``building`` that the learner speaks of
    building it.
    """

    rated: bool = False
    chained: bool = False
    polar: bool = False
    joined: bool = False
    building: bool = False


NO_OTHERS: Final = Hazards()


def cautions(
    voltage: Value | None,
    energy: Value | None,
    hazards: Hazards = NO_OTHERS,
    terms: Settings = DEFAULTS,
) -> tuple[str, ...]:
    """The lines that fit, none where nothing calls for one; p.d. in volts, energy in joules.

    Both are those of the whole network. Letters have no size, so they call for nothing.
    """
    lines = tuple(_lines(voltage, energy, hazards, terms))
    if not lines:
        return ()
    closing = (
        "These networks are ideal: before you build or touch a real one, ask a qualified person."
    )
    first, *others = lines
    return (f"A caution: {first}", *(f"{each[0].upper()}{each[1:]}" for each in others), closing)


def _lines(
    voltage: Value | None, energy: Value | None, hazards: Hazards, terms: Settings
) -> Iterator[str]:
    high, strong = _above(voltage, HIGH_VOLTAGE), _above(energy, HIGH_ENERGY)
    if high or strong or hazards.building:
        yield (
            "real capacitors keep their charge after the supply is off. Discharge each one "
            "through a resistor and measure before you touch it."
        )
    if strong and not high:
        yield f"so much energy can burn and weld, even at a low {terms.at_the_end}"
    if high or hazards.building:
        low = f"at school, real ones belong at a low {terms.difference}, {HIGH_VOLTAGE} V or less"
        yield f"{low}; a higher one here is for paper only." if high else f"{low}."
    if hazards.rated:
        yield _about_ratings(hazards.chained, terms)
    if hazards.polar:
        yield (
            "electrolytic capacitors have a + and a − side: reversed, or on a.c., they heat up "
            "and can burst."
        )
    if hazards.joined:
        yield (
            "charged capacitors joined by a bare wire give a spark; on the bench a resistor "
            "belongs between them."
        )


def _about_ratings(chained: bool, terms: Settings) -> str:
    text = "real capacitors are used well below the printed rating"
    if not chained:
        return f"{text}."
    return f"{text}; in a chain, leakage shifts the {terms.differences}, so more margin is left."


def _above(value: Value | None, limit: Fraction) -> bool:
    return value is not None and not in_letters(value) and value > limit
