"""Questions about units, figures and one capacitor, judged again by plain arithmetic."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import ROUND_DOWN, ROUND_HALF_UP, Context, Decimal
from fractions import Fraction

from tutor.practice.questions.kinds import make_question, story_of_question
from tutor.teaching.staged.story import Ask, Option, Story

SEEDS = range(60)
PREFIX = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6}
AMOUNT = r"(\d[\d ]*(?:\.\d+)?(?: × 10\^-?\d+)?) ([pnµmkM]?)([FVCJ])\b"


def stories(kind: str) -> Iterator[tuple[str, Story]]:
    for seed in SEEDS:
        question = make_question(kind, seed)
        yield question.network, story_of_question(question)


def texts(ask: Ask) -> Iterator[tuple[Option, str]]:
    for option in ask.options:
        found = re.search(rf"^{option.words[0]}\) (.*)$", ask.text, re.MULTILINE)
        assert found is not None
        yield option, found[1]


def amounts(text: str) -> list[tuple[Fraction, str]]:
    """Every amount of a text in SI units, with its unit."""
    found = []
    for digits, prefix, unit in re.findall(AMOUNT, text):
        number, _, tens = digits.replace(" ", "").partition("×10^")
        power = PREFIX[prefix] + int(tens or 0)
        found.append((Fraction(number) * Fraction(10) ** power, unit))
    return found


def test_prefixes() -> None:
    kinds = set()
    for _, told in stories("prefixes"):
        (ask,) = told.asks
        first, *_ = ask.text.splitlines()
        data = {unit: value for value, unit in amounts(first)}
        if "What charge" in first:
            wanted = (data["F"] * data["V"], "C")
        elif "What p.d." in first:
            wanted = (data["C"] / data["F"], "V")
        elif "What energy" in first:
            wanted = (data["F"] * data["V"] ** 2 / 2, "J")
        else:
            wanted = (data["F"], "F")
        kinds.add(wanted[1])
        assert len(ask.options) == 4
        for option, text in texts(ask):
            assert option.is_right == (amounts(text) == [wanted]), text
            off = amounts(text)[0][0] / wanted[0]
            if "a thousand times too large" in option.reply:
                assert off == 1000
            if "a million times too small" in option.reply:
                assert off == Fraction(1, 10**6)
    assert kinds == {"C", "V", "J", "F"}


def rounded(value: Fraction, figures: int, way: str = ROUND_HALF_UP) -> str:
    context = Context(prec=figures, rounding=way)
    found = context.divide(Decimal(value.numerator), Decimal(value.denominator))
    if len(found.as_tuple().digits) < figures:
        places = figures - found.adjusted() - 1
        found = found.quantize(Decimal(1).scaleb(-places))
    return f"{found:f}"


def test_figures() -> None:
    seen = set()
    for network, told in stories("figures"):
        (ask,) = told.asks
        first, *_ = ask.text.splitlines()
        pair = [Fraction(found) for found in re.findall(r"([\d.]+) uF", network)]
        whole = pair[0] * pair[1] / (pair[0] + pair[1])
        if "What charge" in first:
            volts = re.search(r"across (\d+) V", network)
            assert volts is not None
            wanted, figures = whole * int(volts[1]), 3
        else:
            wanted, figures = whole, 3 if "three figures" in first else 2
        seen.add((first.split()[0], figures))
        for option, text in texts(ask):
            said = text.rsplit(" ", 1)[0]
            assert option.is_right == (said == rounded(wanted, figures)), (text, wanted)
            if "cuts-off-instead-of-rounding" in option.malrules:
                assert said == rounded(wanted, figures, ROUND_DOWN)
    assert len(seen) == 3


def test_one_capacitor() -> None:
    for network, told in stories("what a capacitor does"):
        (ask,) = told.asks
        found = re.fullmatch(r"C1 = (\d+) uF, across (\d+) V", network)
        assert found is not None
        c, v = (Fraction(each) for each in found.groups())
        for option, text in texts(ask):
            assert option.is_right == is_true(text, c, v), text


def is_true(text: str, c: Fraction, v: Fraction) -> bool:
    """Whether a sentence holds for a charged capacitor of ``c`` µF at ``v`` volts."""
    numbers = [value * 10**6 for value, unit in amounts(text) if unit in "FC"]
    if text.startswith("One plate holds"):
        return numbers == [c * v, c * v] and "+" in text and "−" in text
    if "stays" in text or "becomes" in text:
        return numbers == [c]
    if "came round through the supply" in text:
        return numbers == [c * v]
    if text.startswith("Half the supply"):
        return text.endswith("half the charge.")
    if text.startswith("Its charge is"):
        return numbers == [c * v]
    # Equal signs on both plates, nothing held, and no p.d. once charged are all untrue.
    assert "Each plate holds +" in text or "holds nothing" in text or "there is no" in text
    return False


CHANGED = re.compile(
    r"C1 = (\d+) uF, across (\d+) V(; then remove supply)?; then (gap of C1|fill C1 with) (\w+)"
)


def altered(network: str) -> dict[str, tuple[Fraction, Fraction]] | None:
    """C, V, Q and E of the one capacitor before and after, from the text; None for another text."""
    found = CHANGED.fullmatch(network)
    if found is None:
        return None
    c, v = Fraction(found[1]), Fraction(found[2])
    if found[4].startswith("gap"):
        times = Fraction(2) if found[5] == "halved" else Fraction(1, 2)
    else:
        times = Fraction(found[5])
    q = c * v
    later_v = v if found[3] is None else q / (c * times)
    later_q = c * times * later_v
    return {
        "the capacitance": (c, c * times), "the p.d.": (v, later_v), "the charge": (q, later_q),
        "the stored energy": (q * v / 2, later_q * later_v / 2),
    }


def test_what_stays_the_same_of_one() -> None:
    seen = set()
    for network, told in stories("what stays the same"):
        (ask,) = told.asks
        values = altered(network)
        if "turned up" in told.opening[0]:
            values = {"the capacitance": (Fraction(1), Fraction(1))}
        elif values is None:
            continue
        for option, text in texts(ask):
            before, after = values.get(text, (Fraction(1), Fraction(2)))
            assert option.is_right == (before == after), text
            seen |= {text} if option.is_right else set()
    assert seen == {"the charge", "the p.d.", "the capacitance"}


def test_what_is_held_fixed() -> None:
    seen = set()
    for network, told in stories("what is held fixed"):
        held, then = told.asks
        values = altered(network)
        assert values is not None
        for option in held.options:
            before, after = values[option.words[0]]
            assert option.is_right == (before == after)
        what = re.match(r"And (the [a-z. ]+): does", then.text)
        assert what is not None
        before, after = values[what[1]]
        truth = "up" if after > before else "down" if after < before else "the same"
        assert [option.words[0] for option in then.options if option.is_right] == [truth]
        seen.add((what[1], truth))
    assert len(seen) == 6
