"""A missing value that no single step leads to: its equation, and the values that fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from grammar.writing import write_number
from tutor.circuit.surds import near
from tutor.circuit.values import Value
from tutor.teaching.speech import NUMBER_WORDS, Speech
from tutor.teaching.staged.story import Ask, Option

POWERS = ("", "x", "x²", "x³")


def equation_asks(
    name: str, coefficients: Sequence[Fraction], values: Sequence[Value], speech: Speech
) -> Iterator[Ask]:
    """How many values fit, then each of them, the smallest first.

    ``coefficients`` belong to a value in farads, the highest power first.
    """
    unit = speech.unit("capacitance")
    equation = in_words(coefficients, speech)
    count = len(values)
    be = "is" if count == 1 else "are"
    why = f"{NUMBER_WORDS[count].capitalize()} of its roots {be} above 0."
    reply = f"Solve {equation}; only roots above 0 count."
    numbers = [
        Option((word, str(n)), n == count, reply)
        for n, word in enumerate(("none", *NUMBER_WORDS[1 : max(count, 2) + 1]))
    ]
    if count == 0:
        why = "It has no root above 0: what is given is more than this network could ever hold."
    yield Ask(
        "how many fit", "choice",
        f"{name} settles both its own {speech.terms.difference} and its charge, so no single step "
        f"leads to it. With x for the number of {unit} in {name}, the data come to {equation}. How "
        "many values above 0 fit?",
        why, why, options=tuple(numbers),
        hints=("How many roots can an equation with x² have, and of which sign are they?",),
    )
    for place, value in enumerate(values):
        result = speech.amount(near(value), "capacitance")
        which = f" (the {('smaller', 'larger')[place]} one)" if count == 2 else ""
        yield Ask(
            "root", "value", f"What is {name}{which}?",
            f"{equation} gives {name} {speech.shown(near(value), 'capacitance').after_equals}",
            f"{result} is a root of {equation} and above 0.", name, "capacitance", near(value),
            hints=(f"Solve {equation} for x.",), exact=value,
        )


def in_words(coefficients: Sequence[Fraction], speech: Speech) -> str:
    """``x² − 8.286 x + 9 = 0``, with x in the usual unit of capacitance."""
    scale = Fraction(10) ** speech.powers["capacitance"]
    degree = len(coefficients) - 1
    scaled = [k * scale ** (degree - place) for place, k in enumerate(coefficients)]
    terms = ""
    for place, k in enumerate(k / scaled[0] for k in scaled):
        power = degree - place
        if k == 0:
            continue
        style = speech.terms.style
        number, _ = write_number(abs(k), style.figures, style.comma)
        letter = POWERS[power] if power < len(POWERS) else f"x^{power}"
        piece = letter if letter and abs(k) == 1 else f"{number} {letter}".rstrip()
        terms += (f" {'+' if k > 0 else '−'} " if terms else "") + piece
    return f"{terms} = 0"
