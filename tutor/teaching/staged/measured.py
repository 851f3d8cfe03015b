"""The story of one capacitor by its measures: whatever of it is missing, one law after another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.records import (
    Amount,
    Body,
    Description,
    Dimension,
    Element,
    Letter,
    Plates,
    Refusal,
    Size,
)
from grammar.sizes import MOST_LAYERS
from grammar.writing import write_network
from tutor.circuit.bodies import (
    DIMENSIONS,
    BodyValues,
    capacitance_of_body,
    facts_of,
    letter_of,
    value_by,
)
from tutor.circuit.body_laws import LIMITS, LawApplied, laws_of, stages
from tutor.circuit.missing import AGREES_WITHIN
from tutor.circuit.plates import ELECTRIC_CONSTANT, prefix_power
from tutor.circuit.prefixes import SIZES_IN_SI, usual_prefixes
from tutor.circuit.surds import near
from tutor.circuit.values import Value, in_letters, sign_of, value_of
from tutor.teaching.cautions import cautions
from tutor.teaching.quantities import SYMBOL
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.measured_asks import MeasuredBody, ask_of, bearing_ask
from tutor.teaching.staged.plating_asks import area_ask, power_written
from tutor.teaching.staged.story import Ask, Story

GIVE_MORE: Final = "Give one thing more that it depends on, as in C1 = 2 nF, V = 12 V or Q = 3 nC."
LOOK_AGAIN: Final = "Look the values over once more: one of them is misread or wrong."
LEAST: Final[Mapping[str, Fraction]] = {"epsr": Fraction(1), "n": Fraction(2)}


class _Case(NamedTuple):
    """One text: what is known, what is wanted, and the laws that lead there."""

    body: Body
    known: BodyValues
    wanted: tuple[str, ...]
    found: tuple[LawApplied, ...]
    speech: Speech


def is_measured(description: Description) -> bool:
    """Whether a text is one capacitor by its measures, to which nothing is done later."""
    return _body(description) is not None and not description.changes


def measured_story(description: Description, settings: Settings) -> Story:
    """Whatever is missing or asked, from what is given. Errors: ``Refusal`` for data that leave it
    open or that cannot be, and for a network with a missing measure in it.
    """
    body = _body(description)
    if body is None:
        raise ValueError("this text is not one capacitor by its measures")
    case = _case(description, body, settings)
    measured = MeasuredBody(body, _all_known(case), case.speech)
    asks = [*_conversions(case), *(ask_of(measured, stage.law) for stage in case.found)]
    if not _is_at_limit(case):
        asks += [
            bearing_ask(measured, layer) for layer in ("", *map(str, range(1, MOST_LAYERS + 1)))
            if f"strength{layer}" in case.known and f"field{layer}" in measured.values
        ]
    voltage, energy = measured.values.get("V"), measured.values.get("E")
    return Story(
        "plates" if body.kind in ("plates", "layers") else body.kind,
        tuple(_opening(case, description)), tuple(asks), (), case.speech.powers,
        cautions(voltage, energy, terms=settings), None, _results(case, measured.values),
    )


def _body(description: Description) -> Body | None:
    part = description.nest
    if len(description.joins) == 1 and not description.wires:
        part = description.joins[0].capacitor
    if not isinstance(part, Element) or part.rating is not None:
        return None
    beyond = any(each.quantity in ("field", "force") for each in description.asked)
    if isinstance(part.worth, Plates) and beyond:
        return _of_plates(part.worth)
    return part.worth if isinstance(part.worth, Body) else None


def _of_plates(plates: Plates) -> Body | None:
    """Two plates with one filling, as a body; None where there is more between them."""
    if plates.metal or plates.beside or len(plates.layers) > 1:
        return None
    sizes = [Size("area", Amount(plates.area)), Size("gap", Amount(plates.gap))]
    sizes += [Size("filling", Amount(layer.permittivity)) for layer in plates.layers]
    return Body("plates", tuple(sizes), plates.written)


def _case(description: Description, body: Body, settings: Settings) -> _Case:
    known = {**facts_of(body), **_held(description)}
    _refuse_mixed(body, known)
    speech = Speech({**_powers(description, body), **SIZES_IN_SI}, settings)
    laws, wanted = laws_of(body), _wanted(description, body, known)
    found = stages(laws, known, wanted)
    missing = [name for name in wanted if name not in known and name not in _names(found)]
    if missing:
        raise Refusal(f"What is given does not lead to {listed(missing)}.", GIVE_MORE)
    _refuse_impossible(found)
    _refuse_disagreeing(body, {**known, **{s.law.finds: s.value for s in found}})
    if "force" in wanted and known.get("epsr", 1) != 1:
        raise Refusal(
            "The force is told for plates with air between them.",
            "Leave the filling out, or do not ask for the force.",
        )
    return _Case(body, known, wanted, found, speech)


def _names(found: tuple[LawApplied, ...]) -> set[str]:
    return {stage.law.finds for stage in found}


def _held(description: Description) -> dict[str, Value]:
    """What is given beside the measures."""
    found: dict[str, Value] = {
        SYMBOL[given.quantity]: given.worth.value for given in description.givens
    }
    if description.supply is not None:
        found[SYMBOL[description.supply.quantity]] = value_of(description.supply.worth)
    return found


def _refuse_mixed(body: Body, known: BodyValues) -> None:
    """All in letters or all in numbers: a number of metres beside a letter is no expression."""
    if not any(isinstance(size.worth, Letter) for size in body.sizes):
        return
    plain = [
        name for name, value in known.items()
        if not in_letters(value) and DIMENSIONS[name] is not None
    ]
    if plain or body.missing:
        raise Refusal(
            "Some of these measures are letters and others are numbers with units.",
            "Write all in letters, as in plates A gap d filled k, across V, or all in numbers.",
        )


def _wanted(description: Description, body: Body, known: BodyValues) -> tuple[str, ...]:
    """What is missing, then what is asked; with neither, the capacitance and what it holds."""
    fields = tuple(f"field{size.layer}" for size in body.sizes if size.name == "gap" and size.layer)
    asked = tuple(
        name for each in description.asked for name in _asked_of(each.quantity, fields)
    )
    missing = tuple(map(letter_of, body.missing))
    if missing or asked:
        return tuple(dict.fromkeys((*missing, *asked)))
    held = [name for name in ("V", "Q", "E") if name in known]
    if any(name.startswith("strength") for name in known):
        return ("C", *(fields or ("field",))) if held else ("C", "V")
    return ("C", *(name for name in ("Q", "V", "E") if held and name not in known))


def _asked_of(quantity: Dimension, fields: tuple[str, ...]) -> tuple[str, ...]:
    """The names of what is asked; a field of layers is that of each of them."""
    if quantity == "field":
        return fields or ("field",)
    return ("force",) if quantity == "force" else (SYMBOL[quantity],)


def _powers(description: Description, body: Body) -> Mapping[Dimension, int]:
    typed: list[tuple[Dimension, int]] = [
        (given.quantity, given.worth.power) for given in description.givens
    ]
    supply = description.supply
    if supply is not None and isinstance(supply.worth, Amount):
        typed.append((supply.quantity, supply.worth.power))
    if not any(dimension == "capacitance" for dimension, _ in typed) and not body.missing:
        value = capacitance_of_body(body)
        typed.append(("capacitance", 0 if in_letters(value) else prefix_power(near(value))))
    return usual_prefixes(typed)


def _refuse_impossible(found: tuple[LawApplied, ...]) -> None:
    for stage in found:
        least = LEAST.get(stage.law.finds.rstrip("123456789"), Fraction(0))
        if in_letters(stage.value) and sign_of(stage.value) is None:
            continue
        value = near(stage.value) if not in_letters(stage.value) else least + 1
        if value < least * (1 - AGREES_WITHIN) or value <= 0:
            name = {"epsr": "the relative permittivity", "n": "the number of plates"}.get(
                stage.law.finds, stage.law.finds
            )
            raise Refusal(f"With these data {name} would be {float(value):.3g}.", LOOK_AGAIN)


def _refuse_disagreeing(body: Body, values: BodyValues) -> None:
    """Every law must hold between what is given and found, as far as data are exact."""
    for law in laws_of(body):
        if law.kind in LIMITS or not {law.finds, *law.uses} <= values.keys():
            continue
        follows, given = value_by(law, values), values[law.finds]
        if in_letters(given) or in_letters(follows):
            continue
        if abs(follows - given) > AGREES_WITHIN * abs(given):
            raise Refusal(f"The values given for {law.finds} do not agree.", LOOK_AGAIN)


def _all_known(case: _Case) -> BodyValues:
    return {**case.known, **{stage.law.finds: stage.value for stage in case.found}}


def _is_at_limit(case: _Case) -> bool:
    return any(stage.law.kind in LIMITS for stage in case.found)


def _conversions(case: _Case) -> Iterator[Ask]:
    """The area in square metres, where it is told in another unit: squares trip people up."""
    power = power_written(case.body.written)
    area = case.known.get("A")
    if area is not None and power and not in_letters(area):
        yield area_ask(Fraction(area), power, case.speech)


# What is told beside the questions


def _opening(case: _Case, description: Description) -> Iterator[str]:
    yield write_network(description).replace("?", "(not known)")
    if case.body.size("plates") is not None:
        yield _of_stack(case)
    if case.body.kind == "sphere":
        yield "The other plate of a sphere by itself is far away all round: the walls, the earth."
    if case.body.kind == "layers":
        yield (
            "The layers lie on one another from plate to plate, counted from the first one told; "
            "nothing joins onto the faces where two meet."
        )
    if case.body.size("strength") is not None:
        yield (
            "The strength is the greatest field that what is between bears; these are sums on "
            "paper, and a real one is used well below it."
        )
    if not in_letters(case.known["eps0"]):
        yield (
            "ε0 is the electric constant, here the figure of CODATA 2022: "
            f"{case.speech.number(ELECTRIC_CONSTANT)} F/m. An answer from 8.85e-12 F/m is taken "
            "as well."
        )


def _of_stack(case: _Case) -> str:
    if case.body.written.startswith("rolled"):
        return (
            "Rolled up, each foil faces the other on both of its sides, so that the strip counts "
            "twice, as the two gaps between three plates do."
        )
    return (
        "The plates are joined alternately, every second one to the same end, so that each gap "
        "between neighbours is a capacitor between the same two pieces of metal."
    )


def _results(case: _Case, values: BodyValues) -> Mapping[str, tuple[Value, Dimension | None]]:
    found: dict[str, tuple[Value, Dimension | None]] = {}
    for stage in case.found:
        if stage.law.kind != "limit":
            found[stage.law.finds] = (values[stage.law.finds], DIMENSIONS[stage.law.finds])
    return found
