"""A missing value that no single step leads to: its equation, and the values that fit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from grammar.writing import write_number
from tutor.circuit.deduction import Move
from tutor.circuit.relations import Fact
from tutor.circuit.surds import near
from tutor.circuit.values import Value, add_up, chain_sum
from tutor.teaching.speech import NUMBER_WORDS, Speech, listed
from tutor.teaching.staged.moves import Teller
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


# Data that cannot be: the question that shows it, and why, at the place where it shows.


YES_WORDS = ("yes", "y", "possible", "there is", "it can", "they agree")
NO_WORDS = ("no", "n", "not", "impossible", "never", "none", "there is none", "cannot")


def cannot_be(teller: Teller, move: Move) -> Ask:
    """Whether what a move leads to can be; it cannot."""
    name = teller.name(move.finds)
    if move.value is None:
        whole, *others = move.uses
        given = listed(teller.told(fact) for fact in (*others, whole))
        text = f"Here {given}. Can any {name} make that so, yes or no?"
    else:
        text = f"Then {teller.told(move.finds)}. Can that be, yes or no?"
    why = why_not(teller, move)
    return Ask(
        "can it be", "check", text, why, why,
        options=(
            Option(NO_WORDS, True),
            Option(YES_WORDS, False, "Compare the whole with what the others bring alone."),
        ),
        hints=(f"Compare {teller.name(move.uses[0])} with what the others bring alone.",),
    )


def why_not(teller: Teller, move: Move) -> str:
    """What must be so in any network of this kind, and is not so with these data."""
    whole, *others = move.uses
    dimension = move.finds.dimension
    values = [near(teller.value(fact)) for fact in others]
    names = listed(teller.name(fact) for fact in others)
    whole_name, amount = teller.name(whole), teller.shown(whole).text
    speech = teller.speech
    if move.turned:
        least = speech.amount(near(chain_sum(list(values))), dimension)
        return (
            f"A chain is below its smallest member, whatever else is in it: with {names} in it "
            f"{whole_name} stays below {least}, so it cannot be {amount}."
        )
    total = speech.amount(near(add_up(list(values))), dimension)
    if dimension == "capacitance":
        verb = "is" if len(others) == 1 else "are together"
        return (
            f"{names} alone {verb} {total}, and whatever stands beside adds to that: a parallel "
            f"set is above its largest member. So {whole_name} cannot be {amount}."
        )
    what = {"voltage": f"{speech.terms.differences} along the chain", "charge": "charges",
            "energy": "energies"}[dimension]
    return (
        f"The {what} add up to {whole_name} = {amount} in all, and {total} for {names} would "
        f"leave nothing for {move.finds.of}."
    )


def nothing_fits(name: str) -> str:
    """How a story of such data ends."""
    return f"So no value of {name} fits: one of the values given is misread or wrong."


def contradiction(teller: Teller, fact: Fact, given: str) -> Ask:
    """Whether a value that follows is the one ``given``; it is not."""
    follows = teller.told(fact)
    why = (
        f"{follows} follows from the other data, and {teller.name(fact)} = {given} is given: both "
        "cannot be so. One of the values given is misread or wrong."
    )
    return Ask(
        "does it agree", "check",
        f"The text gives {teller.name(fact)} = {given}. Do the two agree, yes or no?", why, why,
        options=(
            Option(NO_WORDS, True),
            Option(YES_WORDS, False, f"Compare: {follows} follows."),
        ),
        hints=(f"Compare the two values of {teller.name(fact)}.",),
    )
