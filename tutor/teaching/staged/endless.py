"""The story of a ladder without end: what is left when its first section is taken off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from grammar.records import Amount, Description, Dimension, Ladder, Letter
from grammar.writing import write_number
from grammar.writing_values import write_letter
from tutor.circuit.ladders import Endless, cut_off, endless
from tutor.circuit.network import Supply
from tutor.circuit.prefixes import usual_prefixes
from tutor.circuit.surds import near, settled, square_root
from tutor.circuit.values import Value, in_letters, tidy, value_of
from tutor.teaching.cautions import cautions
from tutor.teaching.settings import Settings
from tutor.teaching.speech import MOST_FIGURES, Speech
from tutor.teaching.staged.by_law import law_on, whole_names
from tutor.teaching.staged.repeated import ladder_drawn
from tutor.teaching.staged.story import Ask, Option, Story, Valued

ENOUGH = 60  # sections after which a ladder differs from the endless one in no figure shown
SHOWN = (1, 2, 3, 5)  # after so many sections a ladder is cut off, to show what it comes near


def is_endless(description: Description) -> bool:
    """Whether a text is a ladder without end."""
    return description.ladder is not None and description.ladder.sections is None


def endless_story(description: Description, settings: Settings) -> Story:
    """Find the whole by self-similarity, then charge or p.d. where a supply is named.

    Nothing is done to it later: reading has refused that.
    """
    ladder = description.ladder
    assert ladder is not None, "is_endless has it so"
    case = _case(ladder, description, settings)
    asks = (*ladder_asks(case), *held_asks(case, description))
    voltage = number_or_none(case.voltage)
    charge = number_or_none(case.charge)
    energy = voltage * charge / 2 if voltage is not None and charge is not None else None
    supply = description.supply
    drawn = ladder_drawn(
        (case.ladder.series, case.ladder.shunt), (case.series, case.shunt), case.speech,
        description.ends,
    )
    if supply is not None:
        drawn = drawn._replace(supply=Supply(supply.quantity, value_of(supply.worth)))
    return Story(
        "ladder without end", tuple(_opening(case, description)), asks, tuple(_closing(case)),
        case.speech.powers, cautions(voltage, energy, terms=settings), results=_results(case),
        drawn=drawn,
    )


def _case(ladder: Ladder, description: Description, settings: Settings) -> LadderScene:
    worths, supply = (ladder.series, ladder.shunt), description.supply
    found = endless(value_of(ladder.series), value_of(ladder.shunt))
    symbols = {worth.symbol for worth in worths if isinstance(worth, Letter)}
    one, two = (
        write_letter(w) if isinstance(w, Letter) else f"C{n}" for n, w in enumerate(worths, 1)
    )
    typed: list[tuple[Dimension, int]] = [
        ("capacitance", worth.power) for worth in worths if isinstance(worth, Amount)
    ]
    voltage: Value | None = None
    charge: Value | None = None
    if supply is not None:
        given = value_of(supply.worth)
        if isinstance(supply.worth, Amount):
            typed.append((supply.quantity, supply.worth.power))
        held = supply.quantity == "charge"
        voltage = _tidy(given / found.whole) if held else given
        charge = given if held else _tidy(given * found.whole)
    speech = Speech(usual_prefixes(typed), settings)
    unit = symbols.pop() if len(symbols) == 1 else ""
    whole = "X" if "C" in (*symbols, unit) else "C"
    return LadderScene(found, one, two, whole, unit, voltage, charge, speech)


def _tidy(value: Value) -> Value:
    """A surd in its one form; an expression in letters as it is."""
    return value if in_letters(value) and value.free_symbols else settled(value)


# Its frame


def _opening(case: LadderScene, description: Description) -> Iterator[str]:
    ladder, speech = case.ladder, case.speech
    one, two = case.series, case.shunt
    if not in_letters(ladder.series):
        one = f"{one} = {speech.amount(ladder.series, 'capacitance')}"
        two = f"{two} = {speech.amount(ladder.shunt, 'capacitance')}"
    yield f"Here is a ladder without end: each section has {one} in series and then {two} across."
    supply = description.supply
    if supply is not None:
        amount = speech.amount(value_of(supply.worth), supply.quantity)
        ends = " and ".join(description.ends)
        yield (
            f"A supply holds {amount} between {ends}." if supply.quantity == "voltage" else
            f"A charge of {amount} in all has been given to it at {description.ends[0]}."
        )
    yield f"Wanted: {case.whole}, the capacitance of all of it."


def _closing(case: LadderScene) -> Iterator[str]:
    """Ladders that are cut off come near it, from both sides."""
    ladder = case.ladder
    if in_letters(ladder.ratio):
        one, two = case.series, case.shunt
        yield (
            f"It is above {one} in series with {two}, the first section alone, and below {one}, "
            "which is left when a wire takes the place of all that follows."
        )
        return
    series, shunt = in_unit(case)
    whole = cut_off(series, shunt, ENOUGH, wired=False)
    below, above = (
        ", ".join(numbers_apart(case, [*(cut_off(series, shunt, n, wired) for n in SHOWN), whole])
                  [:-1])
        for wired in (False, True)
    )
    unit = case.unit or case.speech.unit("capacitance")
    counts = f"{', '.join(map(str, SHOWN[:-1]))} and {SHOWN[-1]}"
    yield (
        f"Cut off after {counts} sections it comes to {below} {unit}: always below, since each "
        "further section adds something beside a shunt."
    )
    yield (
        f"With a wire in place of all that follows them it comes to {above} {unit}: always above, "
        "since a wire is more than any capacitor."
    )


def _results(case: LadderScene) -> Mapping[str, Valued]:
    found: dict[str, tuple[Value, Dimension | None]] = {
        case.whole: (case.ladder.whole, "capacitance")
    }
    if case.charge is not None and case.voltage is not None:
        found["V"] = (case.voltage, "voltage")
        found["Q"] = (case.charge, "charge")
        found["E"] = (_tidy(case.voltage * case.charge / 2), "energy")
    return found


# The questions about a ladder without end, and how it is spoken of


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
    names = {**whole_names(speech), "capacitance": case.whole}
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
