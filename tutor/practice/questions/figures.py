"""Figures: rounded rather than cut off, rounded once, and as many as the data allow."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from random import Random

from grammar.records import Dimension
from grammar.writing_values import symbol, write_digits
from tutor.circuit.values import to_figures
from tutor.practice.questions.given import CAPACITANCES, VOLTAGES, WorkedNetwork, read
from tutor.practice.questions.menus import Entry, MenuWords, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Ask, Story

TWO_FIGURES = ("1.5", "2.2", "3.3", "4.7", "5.6", "6.8", "8.2")
THREE = 3


def figures(chance: Random, settings: Settings) -> Posed:
    """One of: rounding to three figures, rounding too early, how many figures to quote."""
    makers: tuple[Callable[[Random, Settings], tuple[WorkedNetwork, Ask]], ...] = (
        _rounded, _once, _as_the_data,
    )
    given, ask = chance.choice(makers)(chance, settings)
    return Posed(given.text, Story(
        "figures", given.opening()[:1], (ask,), (), given.problem.powers,
        network=given.problem.network,
    ))


# Figures of a number


def tens_of(value: Fraction) -> int:
    """The power of ten of the first figure."""
    tens = 0
    while value >= Fraction(10) ** (tens + 1):
        tens += 1
    while value < Fraction(10) ** tens:
        tens -= 1
    return tens


def cut_off(value: Fraction, figures: int) -> Fraction:
    """The figures after these left away."""
    unit = Fraction(10) ** (tens_of(value) - figures + 1)
    return (value / unit).__floor__() * unit


def _shown(value: Fraction, figures: int, dimension: Dimension, given: WorkedNetwork) -> str:
    """So many figures, noughts at the end included, in the usual unit."""
    places = max(figures - 1 - tens_of(value), 0)
    digits = (value * Fraction(10) ** places + Fraction(1, 2)).__floor__()
    comma = given.speech.terms.decimal_sign == "comma"
    power = given.speech.powers[dimension]
    return f"{write_digits(digits, places, comma)} {symbol(dimension, power, False)}"


def _usual(value: Fraction, dimension: Dimension, given: WorkedNetwork) -> Fraction:
    return value / Fraction(10) ** given.speech.powers[dimension]


def _drawn(
    chance: Random, settings: Settings, fits: Callable[[Fraction, int], bool]
) -> WorkedNetwork:
    """A pair in a chain on a supply whose whole, in microfarads, shows what is to be shown."""
    while True:
        first, second = chance.sample(CAPACITANCES, 2)
        volts = chance.choice(VOLTAGES)
        if fits(Fraction(first * second, first + second), volts):
            return read(f"C1 = {first} uF -- C2 = {second} uF, across {volts} V", settings)


# The questions


def _rounded(chance: Random, settings: Settings) -> tuple[WorkedNetwork, Ask]:
    def goes_up(whole: Fraction, _: int) -> bool:
        return to_figures(whole, 3) > cut_off(whole, 3) and to_figures(whole, 3) < 100 and (
            to_figures(whole, 7) != to_figures(whole, 3)
        )

    given = _drawn(chance, settings, goes_up)
    whole = _usual(given.whole, "capacitance", given)
    many = _shown(to_figures(whole, 6), 6, "capacitance", given)
    right = _shown(to_figures(whole, 3), THREE, "capacitance", given)
    step = Fraction(10) ** (tens_of(whole) - 2)
    fourth = (whole / step * 10).__floor__() % 10
    because = f"The fourth figure of {many} is {fourth}, so the third goes up by one: {right}."
    entries = [
        Entry(right),
        Entry(_shown(cut_off(whole, 3), THREE, "capacitance", given),
              f"There the figures after the third are cut off; the fourth is {fourth}, five or "
              "more.", ("cuts-off-instead-of-rounding",)),
        Entry(_shown(to_figures(whole, 2), 2, "capacitance", given),
              "Those are two figures; three are asked for.", ("too-few-figures",)),
        Entry(_shown(to_figures(whole, 3) + step, THREE, "capacitance", given),
              f"The third figure goes up by one at the most, and the fourth is {fourth}."),
    ]
    return given, lettered(chance, MenuWords(
        "figures", "value", f"The calculator shows {many} for the whole. What is that to three "
        "figures?", because,
        ("Look at the figure after the third one.", "Is it five or more, or less?"), ("S04",),
    ), entries)


def _once(chance: Random, settings: Settings) -> tuple[WorkedNetwork, Ask]:
    def charges(whole: Fraction, volts: Fraction | int) -> list[Fraction]:
        exact = to_figures(whole * volts, 3)
        early = [to_figures(to_figures(whole, n) * volts, 3) for n in (2, 1)]
        return [exact, *early, cut_off(whole * volts, 3)]

    def tell_apart(whole: Fraction, volts: int) -> bool:
        found = charges(whole, volts)
        return len(set(found)) == len(found) and max(found) < 1000

    given = _drawn(chance, settings, tell_apart)
    whole = _usual(given.whole, "capacitance", given)
    exact, two, one, cut = charges(whole, given.supply)
    shown = [_shown(value, THREE, "charge", given) for value in (exact, two, one, cut)]
    kept = _shown(to_figures(whole, 6), 6, "capacitance", given)
    wholes = [_shown(to_figures(whole, n), n, "capacitance", given) for n in (2, 1)]
    volts = given.volts()
    because = (
        f"With all figures kept, {kept} × {volts}, and rounded once at the end, it is {shown[0]}."
    )
    early = "There C was rounded to {} before it was multiplied by {}, and the slip grew with it."
    entries = [
        Entry(shown[0]),
        *(Entry(text, early.format(c, volts), ("rounds-early",))
          for text, c in zip(shown[1:3], wholes, strict=True)),
        Entry(shown[3], "There the figures after the third are cut off. Look at the fourth.",
              ("cuts-off-instead-of-rounding",)),
    ]
    return given, lettered(chance, MenuWords(
        "figures", "charge",
        f"C of the whole is {kept} on the calculator. What charge has the supply moved, to three "
        "figures?", because,
        ("Look at when a number is rounded: on the way, or at the end?",
         "Which C goes into Q = C V, the one with all its figures or a rounded one?".replace(
             "Q = C V", given.speech.letters("Q = C V"))), ("S04",),
    ), entries)


def _as_the_data(chance: Random, settings: Settings) -> tuple[WorkedNetwork, Ask]:
    while True:
        first, second = chance.sample(TWO_FIGURES, 2)
        one, other = Fraction(first), Fraction(second)
        whole = one * other / (one + other)
        if whole >= 1 and to_figures(whole, 2) != to_figures(whole, 7) and (
            cut_off(whole, 2) != to_figures(whole, 2) != to_figures(whole, 1)
        ):
            break
    given = read(f"C1 = {first} uF -- C2 = {second} uF", settings)
    right, many = (_shown(to_figures(whole, n), n, "capacitance", given) for n in (2, 7))
    data = (given.amount("C", "C1"), given.amount("C", "C2"))
    because = (
        f"{data[0]} and {data[1]} are given to two figures, so two can be quoted: {right}. One "
        "more would do as well."
    )
    entries = [
        Entry(right),
        Entry(many, f"Seven figures say more than is known: {data[0]} may be anything that rounds "
              "to it.", ("too-few-figures",)),
        Entry(_shown(to_figures(whole, 1), 1, "capacitance", given),
              "One figure throws away what is known: the data have two.", ("too-few-figures",)),
        Entry(_shown(cut_off(whole, 2), 2, "capacitance", given),
              f"Two figures, yes, but cut off: the calculator shows {many}. Look at the third.",
              ("cuts-off-instead-of-rounding",)),
    ]
    return given, lettered(chance, MenuWords(
        "figures", "value",
        f"The calculator shows {many} for the whole. Which of these is fit to be the answer?",
        because,
        ("Look at how many figures the data have.",
         "As many as the data, or one more; and is the last of them rounded?"), ("S04",),
    ), entries)
