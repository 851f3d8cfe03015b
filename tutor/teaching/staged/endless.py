"""The story of a ladder without end: what is left when its first section is taken off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grammar.records import Amount, Description, Dimension, Ladder, Letter
from grammar.writing_values import write_letter
from tutor.circuit.ladders import cut_off, endless
from tutor.circuit.network import Supply
from tutor.circuit.prefixes import usual_prefixes
from tutor.circuit.surds import settled
from tutor.circuit.values import Value, in_letters, value_of
from tutor.teaching.cautions import cautions
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.endless_asks import (
    LadderScene,
    held_asks,
    in_unit,
    ladder_asks,
    number_or_none,
    numbers_apart,
)
from tutor.teaching.staged.repeated import ladder_drawn
from tutor.teaching.staged.story import Story, Valued

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
