"""The questions about a ladder without end, and how it is spoken of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from grammar.records import Description, Dimension, Letter
from grammar.writing import write_number
from tutor.circuit.ladders import Endless
from tutor.circuit.surds import near, settled, square_root
from tutor.circuit.values import Value, in_letters, tidy, value_of
from tutor.teaching.quantities import SYMBOL
from tutor.teaching.speech import MOST_FIGURES, Speech
from tutor.teaching.staged.by_law import law_on
from tutor.teaching.staged.story import Ask, Option


class LadderScene(NamedTuple):
    """A ladder, and how it is spoken of: ``series``, ``shunt`` and ``whole`` are names.

    ``unit`` is the one letter that both values are multiples of, where there is one; ``voltage``
    and ``charge`` are what is joined to it, and what follows, None without a supply.
    """

    ladder: Endless
    series: str
    shunt: str
    whole: str
    unit: str
    voltage: Value | None
    charge: Value | None
    speech: Speech


def ladder_asks(case: LadderScene) -> Iterator[Ask]:
    """From the first section taken off to the root that can be a capacitance."""
    one, two, whole = case.series, case.shunt, case.whole
    yield Ask(
        "left", "choice",
        f"Take the first section, one {one} and one {two}, off a ladder without end. What is "
        "left: the same ladder again, or a smaller one?",
        f"What is left has no end either, and all its sections are alike: it is the same ladder, "
        f"so its capacitance is {whole} again.",
        f"It has no end either, and all its sections are alike, so its capacitance is {whole} "
        "again.",
        options=(
            Option(("the same ladder", "same", "itself", "equal", "no change"), True),
            Option(("a smaller one", "smaller", "shorter", "less", "one fewer"), False,
                   "How many sections has it, before and after?"),
        ),
        hints=("How many sections are left of a number that has no end?",),
    )
    yield Ask(
        "joined", "choice",
        f"Now with that section in its place: how is all that follows joined to its {two}, in "
        "series or in parallel?",
        f"The {two} and all that follows join the same two points: they are in parallel, {two} + "
        f"{whole}.",
        f"Both join the same two points, so together they are {two} + {whole}.",
        options=(
            Option(("in parallel", "parallel", "side by side", "beside"), True),
            Option(("in series", "series", "chain"), False,
                   f"Look at both ends of that {two}: where else do they lead?"),
        ),
        hints=(f"At which two points does the first {two} end, and what else is there?",),
    )
    yield _equation_ask(case)
    yield _whole_ask(case)


def _equation_ask(case: LadderScene) -> Ask:
    one, two, whole = case.series, case.shunt, case.whole
    menu = (
        f"a) {whole} = {one} + {two} + {whole}",
        f"b) 1/{whole} = 1/{_piece(one)} + 1/({two} + {whole})",
        f"c) 1/{whole} = 1/{_piece(one)} + 1/{_piece(two)} + 1/{whole}",
    )
    why = (
        f"The {one} is in series with that set, and the whole is {whole} as well, so "
        f"{menu[1].removeprefix('b) ')}."
    )
    return Ask(
        "equation", "reason",
        "\n".join([f"Which equation says so for the whole, {whole}? (a, b or c)", *menu]),
        why, why,
        options=(
            Option(("a",), False, f"Along a chain capacitances do not add; and with {whole} on "
                                  "both sides that leaves zero for the rest."),
            Option(("b",), True),
            Option(("c",), False, f"{two} and what follows stand side by side: they add before "
                                  "anything is turned over."),
        ),
        hints=(f"Which two things are in series: the {one}, and what?",),
    )


def _whole_ask(case: LadderScene) -> Ask:
    one, two, whole = case.series, case.shunt, case.whole
    equation = f"{whole}² + {_times(two, whole)} − {_times(one, two)} = 0"
    hints = (
        f"{whole} stands on both sides: what can you multiply by, so that nothing is left below "
        "a line?",
        "Of which degree is the equation, and which of its roots can be a capacitance?",
        f"{equation}; take the root above zero.",
    )
    because = "The other root is below zero, and no capacitance is."
    if case.unit:
        return _multiple_ask(case, equation)._replace(hints=hints, because=because)
    root = f"½ × (√({_piece(two)}² + 4 × {_times(one, two)}) − {two})"
    if in_letters(case.ladder.ratio):
        return _root_ask(case, equation, root)
    numbers = [number_text(case, value) for value in in_unit(case)]
    a, b = numbers
    unit = case.speech.unit("capacitance")
    result = case.speech.shown(near(case.ladder.whole), "capacitance")
    reveal = (
        f"Multiplied out, {equation}. Its root above zero is {whole} = {root} = "
        f"½ × (√({b}² + 4 × {a} × {b}) − {b}) {unit} {result.after_equals}"
    )
    return Ask(
        "whole", "value", f"Solve it: what is {whole}?", reveal, because, whole, "capacitance",
        near(case.ladder.whole), hints=hints, exact=case.ladder.whole,
    )


def _multiple_ask(case: LadderScene, equation: str) -> Ask:
    """All in one letter: how many times that letter the whole is."""
    exact = settled(case.ladder.whole / value_of(Letter(case.unit)))
    times = near(exact)
    under = 1 + 4 * Fraction(case.ladder.ratio)
    lead = f"½ × {_piece(case.shunt)} × "
    root = square_root(under)
    number, rooted = number_text(case, times), number_text(case, near(root))
    sign = "≈" if in_letters(root) else "="
    told = str(under) if under.denominator == 1 else f"({under})"
    return Ask(
        "multiple", "value",
        f"Solve it with {case.whole} = k {case.unit}: what is the number k?",
        f"Multiplied out, {equation}. Its root above zero is {case.whole} = {lead}(√{told} − 1) "
        f"{sign} {lead}({rooted} − 1) {sign} {number} {case.unit}",
        name="k", right=times, pure=True, exact=exact,
    )


def _root_ask(case: LadderScene, equation: str, root: str) -> Ask:
    """In two letters: which root of the equation can be a capacitance."""
    whole, other = case.whole, root.replace("½ × (√", "½ × (−√")
    why = f"Multiplied out, {equation}, and {whole} = {root} is its root above zero."
    return Ask(
        "root", "reason",
        "\n".join([f"Multiplied out, {equation}. Which root can be a capacitance? (a or b)",
                   f"a) {whole} = {other}", f"b) {whole} = {root}"]),
        why, why,
        options=(
            Option(("a",), False, "Everything in that bracket is taken away: it is below zero."),
            Option(("b",), True),
        ),
    )


def held_asks(case: LadderScene, description: Description) -> Iterator[Ask]:
    """Charge from the p.d., or p.d. from the charge, and the energy if it is asked for."""
    voltage, charge = number_or_none(case.voltage), number_or_none(case.charge)
    supply = description.supply
    if supply is None or voltage is None or charge is None:
        return
    speech = case.speech
    names = {kind: speech.letters(symbol) for kind, symbol in SYMBOL.items()}
    names["capacitance"] = case.whole
    values: dict[Dimension, Value] = {
        "capacitance": near(case.ladder.whole), "charge": charge, "voltage": voltage,
    }
    by_voltage = supply.quantity == "voltage"
    law = law_on(values, names, speech, "charge" if by_voltage else "voltage")
    asked = law.ask(
        "total charge" if by_voltage else "whole pd",
        "What charge has the supply moved in all?" if by_voltage else
        f"What is the {speech.terms.difference} between the ends?",
        f"Q = C {names['voltage']} holds for the ladder as for any capacitor that takes its place.",
        f"One capacitor, {case.whole}, could take the place of the whole ladder.",
    )
    right, exact = (charge, case.charge) if by_voltage else (voltage, case.voltage)
    yield asked._replace(right=right, exact=exact)
    if any(each.quantity == "energy" for each in description.asked):
        yield law_on(values, names, speech, "energy").ask(
            "whole energy", "What energy is stored in the whole ladder?",
            f"The {speech.terms.difference} grew from zero with the charge, hence the half.",
        )


# Small pieces


def number_or_none(value: Value | None) -> Fraction | None:
    """A number as a fraction, a surd nearly; None for letters and for nothing."""
    if value is None or (in_letters(value) and value.free_symbols):
        return None
    return near(value)


def in_unit(case: LadderScene) -> tuple[Fraction, Fraction]:
    """Series and shunt as plain numbers, in the usual unit or as multiples of the one letter."""
    one, two = (tidy(v / _unit(case)) for v in (case.ladder.series, case.ladder.shunt))
    return Fraction(one), Fraction(two)


def number_text(case: LadderScene, number: Fraction) -> str:
    """A plain number as the settings have it."""
    style = case.speech.terms.style
    return write_number(number, style.figures, style.comma)[0]


def numbers_apart(case: LadderScene, numbers: Sequence[Fraction]) -> list[str]:
    """Plain numbers with as many figures as it takes to see that they differ."""
    style = case.speech.terms.style
    for figures in range(style.figures, MOST_FIGURES):
        told = [write_number(number, figures, style.comma)[0] for number in numbers]
        if len(set(told)) == len(set(numbers)):
            break
    return told


def _unit(case: LadderScene) -> Value:
    if case.unit:
        return value_of(Letter(case.unit))
    return Fraction(10) ** case.speech.powers["capacitance"]


def _times(one: str, two: str) -> str:
    return f"{_piece(one)} × {_piece(two)}"


def _piece(name: str) -> str:
    """In brackets where it is more than one letter with its number: (2C), (C/2)."""
    return name if name[:1].isalpha() and name.isalnum() else f"({name})"
