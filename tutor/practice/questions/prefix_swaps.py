"""Prefixes: one in place of another, and what they come to when quantities are multiplied."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from random import Random
from types import MappingProxyType

from grammar.records import Dimension
from grammar.writing import write_number
from grammar.writing_values import symbol
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.messages import About
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.story import Ask, Story

NUMBERS = ("1.5", "2.2", "3.3", "4.7", "6.8", "0.33", "0.47", "0.68", "15", "22", "33", "47", "68")
WHOLE = (2, 3, 4, 5, 6, 8, 12)
POWERS: Mapping[Dimension, int] = MappingProxyType(
    {"capacitance": -6, "voltage": 0, "charge": -6, "energy": -6}
)
NAMES: Mapping[int, str] = MappingProxyType({
    -12: "p is 10^-12", -9: "n is 10^-9", -6: "µ is 10^-6", -3: "m is 10^-3", 0: "",
    3: "k is 10^3",
})
OFF = (3, -3, 6, -6)
DOWN = ((-6, -9), (-9, -12), (-6, -12))  # to a smaller unit, and to a larger one
UP = ((-9, -6), (-12, -9))
THOUSAND = "prefix-slip-of-a-thousand"
MILLION = "prefix-slip-of-a-million-or-more"
WRONG_UNIT = "wrong-kind-of-unit"


def prefixes(chance: Random, settings: Settings) -> Posed:
    """One of: the same value in another prefix, a charge, a p.d., an energy at kilovolts."""
    makers: tuple[Callable[[Random, Settings], Ask], ...] = (
        _converted, _product, _quotient, _squared,
    )
    ask = chance.choice(makers)(chance, settings)
    return Posed("", Story(
        "prefixes", ("No network this time, only units.",), (ask,), (), POWERS,
    ))


def _written(value: Fraction, dimension: Dimension, power: int, settings: Settings) -> str:
    """In this prefix, whatever the size of the number."""
    comma = settings.decimal_sign == "comma"
    number, _ = write_number(value / Fraction(10) ** power, settings.figures, comma)
    return f"{number} {symbol(dimension, power, False)}"


def _ten(power: int) -> str:
    return f"10^{power}" if power else "1"


def _menu(
    chance: Random, about: About, words: tuple[str, str], hints: tuple[str, ...],
    entries: list[Entry],
) -> Ask:
    question, because = words
    wording = MenuWords("prefixes", about, question, because, hints, ("S03",))
    return lettered(chance, wording, few(chance, entries[0], entries[1:]))


def _slipped(
    value: Fraction, dimension: Dimension, power: int, settings: Settings, why: str
) -> list[Entry]:
    """The right figures with another prefix, a thousand and a million times off."""
    return [
        _off(_written(value * Fraction(10) ** off, dimension, power + off, settings), off, why)
        for off in OFF if power + off in NAMES
    ]


def _off(text: str, off: int, why: str) -> Entry:
    times = "a thousand" if abs(off) == 3 else "a million"
    size = "large" if off > 0 else "small"
    malrule = THOUSAND if abs(off) == 3 else MILLION
    return Entry(text, f"That is {times} times too {size}. {why}", (malrule,))


def _converted(chance: Random, settings: Settings) -> Ask:
    number = Fraction(chance.choice(NUMBERS))
    ways = DOWN if number < 10 else (*DOWN, *UP)
    old, new = chance.choice(ways)
    value = number * Fraction(10) ** old
    shown = _written(value, "capacitance", old, settings)
    right = _written(value, "capacitance", new, settings)
    unit = symbol("capacitance", new, False)
    why = f"{NAMES[old]}, and {NAMES[new]}."
    return _menu(
        chance, "value", (f"How much is {shown} in {unit}?", f"{why} So {shown} is {right}."),
        ("Look at the two prefixes: which is the larger unit?",
         f"Does it take more or fewer of the new unit? {why}"),
        [Entry(right), *(
            _off(_written(value * Fraction(10) ** off, "capacitance", new, settings), off, why)
            for off in OFF
        )],
    )


def _product(chance: Random, settings: Settings) -> Ask:
    """Q = C V, in prefixes whose product has a prefix of its own."""
    c, v = Fraction(chance.choice(WHOLE)), Fraction(chance.choice(WHOLE))
    of_c, of_v = chance.choice([(-6, 0), (-9, 0), (-12, 0), (-9, 3), (-12, 3), (-6, -3)])
    power = of_c + of_v
    value = c * v * Fraction(10) ** power
    farads = _written(c * Fraction(10) ** of_c, "capacitance", of_c, settings)
    volts = _written(v * Fraction(10) ** of_v, "voltage", of_v, settings)
    right = _written(value, "charge", power, settings)
    why = _times((of_c, of_v), ("farad", "volt"), "coulomb", power)
    unit = _written(c * v * Fraction(10) ** of_c, "capacitance", of_c, settings)
    return _menu(
        chance, "charge",
        (f"A capacitor of {farads} has {volts} across it. What charge does it hold?",
         f"{_letters('Q = C V', settings)} = {farads} × {volts} = {right}. {why}"),
        ("Look at the prefixes of the two, one after the other.",
         "A farad times a volt is a coulomb. What do the two powers of ten make together?"),
        [
            Entry(right),
            Entry(unit, "The farad is the unit of capacitance, and a charge is asked: a farad "
                        "times a volt is a coulomb.", (WRONG_UNIT,)),
            *_slipped(value, "charge", power, settings, why),
        ],
    )


def _quotient(chance: Random, settings: Settings) -> Ask:
    """V = Q/C."""
    c, v = Fraction(chance.choice(WHOLE)), Fraction(chance.choice(WHOLE))
    of_c, of_v = chance.choice([(-6, 0), (-9, 0), (-9, 3), (-12, 3), (-6, -3)])
    value = v * Fraction(10) ** of_v
    farads = _written(c * Fraction(10) ** of_c, "capacitance", of_c, settings)
    charge = _written(c * v * Fraction(10) ** (of_c + of_v), "charge", of_c + of_v, settings)
    right = _written(value, "voltage", of_v, settings)
    why = (
        f"A coulomb for each farad is a volt, and {_ten(of_c + of_v)} over {_ten(of_c)} is "
        f"{_ten(of_v)}."
    )
    return _menu(
        chance, "voltage",
        (f"A capacitor of {farads} holds {charge}. What {settings.difference} is across it?",
         f"{_letters('V = Q/C', settings)} = {charge} / {farads} = {right}. {why}"),
        ("Look at the prefixes of the two, one after the other.",
         "A coulomb for each farad is a volt. What do the two powers of ten leave?"),
        [
            Entry(right),
            Entry(
                _written(v * Fraction(10) ** of_v, "charge", of_v, settings),
                f"The coulomb is the unit of charge, and a {settings.difference} is asked: a "
                "coulomb for each farad is a volt.", (WRONG_UNIT,),
            ),
            *_slipped(value, "voltage", of_v, settings, why),
        ],
    )


def _squared(chance: Random, settings: Settings) -> Ask:
    """E = ½ C V² at kilovolts: the prefix is squared too."""
    c, v = Fraction(chance.choice(WHOLE)), Fraction(chance.choice((2, 3, 4, 6)))
    of_c = chance.choice((-6, -9))
    power = of_c + 6
    value = c * v * v / 2 * Fraction(10) ** power
    farads = _written(c * Fraction(10) ** of_c, "capacitance", of_c, settings)
    volts = _written(v * 1000, "voltage", 3, settings)
    right = _written(value, "energy", power, settings)
    not_squared = _written(value / 1000, "energy", power - 3, settings)
    why = "Squared, k is 10^3 × 10^3 = 10^6."
    slips = [
        entry for entry in _slipped(value, "energy", power, settings, why)
        if entry.malrules == (MILLION,)
    ]
    return _menu(
        chance, "energy",
        (f"A capacitor of {farads} has {volts} across it. What energy does it store?",
         f"{_letters('E = ½ C V²', settings)} = ½ × {farads} × ({volts})² = {right}. {why}"),
        ("Look at the square: what is squared there, the number alone?",
         f"Write {volts} in volts first. What is its square?"),
        [
            Entry(right),
            Entry(not_squared, f"There the number is squared and the prefix is not. {why}",
                  ("squares-the-number-not-the-prefix",)),
            Entry(
                _written(value, "charge", power, settings),
                "The coulomb is the unit of charge, and an energy is asked: a coulomb times a "
                "volt is a joule.", (WRONG_UNIT,),
            ),
            *slips,
        ],
    )


def _times(powers: tuple[int, int], units: tuple[str, str], makes: str, power: int) -> str:
    one, other = powers
    return (
        f"A {units[0]} times a {units[1]} is a {makes}, and {_ten(one)} × {_ten(other)} is "
        f"{_ten(power)}."
    )


def _letters(law: str, settings: Settings) -> str:
    return Speech(POWERS, settings).letters(law)
