"""The story of one pair of plates: measures, what is between them, capacitance, what it holds."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from fractions import Fraction
from functools import partial

from grammar.records import Description, Dimension, Element, Plates, Refusal
from grammar.writing import write_network
from tutor.circuit.network import Problem, build
from tutor.circuit.plates import ELECTRIC_CONSTANT, Slab
from tutor.circuit.prefixes import SIZES_IN_SI
from tutor.circuit.values import Value, in_letters
from tutor.teaching.cautions import cautions
from tutor.teaching.quantities import SYMBOL
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.by_law import ByLaw, law_on, whole_names
from tutor.teaching.staged.plating_asks import (
    LETTERS,
    MOST_FILLINGS_ASKED,
    PlateScene,
    filling_asks,
    measure_asks,
    sharing_ask,
    whole_ask,
)
from tutor.teaching.staged.story import Ask, Moment, Story, Way

AFTER_CAPACITANCE: tuple[Dimension, ...] = ("charge", "voltage", "energy")


def is_plating(description: Description) -> bool:
    """Whether a text is one pair of plates, to which nothing is done later."""
    return _plates(description) is not None and not (description.changes or description.givens)


def plating_story(description: Description, settings: Settings) -> Story:
    """Capacitance from area, gap and fillings; with a supply also charge or p.d., and energy."""
    plates = _plates(description)
    if plates is None:
        raise ValueError("this text is not one pair of plates")
    problem = build(description)
    powers = _powers(problem)
    scene = PlateScene(plates, problem, Speech(powers, settings))
    asked = {each.quantity for each in description.asked}
    if "force" in asked:
        raise Refusal(
            "The force is told for plates with air alone between them.",
            "Leave the fillings out, or do not ask for the force.",
        )
    wanted = [each for each in AFTER_CAPACITANCE if not asked or each in asked]
    if "field" in asked and problem.supply is not None and "charge" not in wanted:
        wanted += ["charge"] if problem.supply.quantity == "voltage" else []
    return Story(
        "plates",
        _opening(scene, description),
        (*_asks(scene), *_held_asks(scene, wanted, "field" in asked)),
        tuple(_closing(scene)),
        powers,
        _cautions(scene),
        problem.network,
        _results(scene),
        (_moment(scene),),
    )


def _moment(scene: PlateScene) -> Moment:
    problem = scene.problem
    plus = {c.name: c.start for c in problem.network.capacitors} if problem.supply else {}
    return Moment(0, problem.network, problem.supply, plus, inside=scene.plates)


def _powers(problem: Problem) -> Mapping[Dimension, int]:
    """The usual prefixes; where a charge is given, volts, since no prefix of the text tells."""
    if problem.supply is None or problem.supply.quantity == "voltage":
        return {**problem.powers, **SIZES_IN_SI}
    return {**problem.powers, **SIZES_IN_SI, "voltage": 0, "energy": problem.powers["charge"]}


def _plates(description: Description) -> Plates | None:
    part = description.nest
    if len(description.joins) == 1 and not description.wires:
        part = description.joins[0].capacitor
    if not isinstance(part, Element) or part.rating is not None or part.start is not None:
        return None
    return part.worth if isinstance(part.worth, Plates) else None


def _opening(scene: PlateScene, description: Description) -> tuple[str, ...]:
    held = ", then what it holds" if scene.problem.supply is not None else ""
    return (
        write_network(description),
        "ε0 is the electric constant, here the figure of CODATA 2022: "
        f"{scene.number(ELECTRIC_CONSTANT)} F/m. An answer from 8.85e-12 F/m is taken as well.",
        *(() if description.asked else (f"Wanted: the capacitance{held}.",)),
    )


def _asks(scene: PlateScene) -> Iterator[Ask]:
    yield from measure_asks(scene)
    if scene.arrangement != "alone":
        yield sharing_ask(scene)
    yield from filling_asks(scene)
    if scene.arrangement != "alone":
        yield whole_ask(scene)


def _closing(scene: PlateScene) -> Iterator[str]:
    """What must be so: the bound of the whole, and the p.d.s of layers adding up."""
    speech = scene.speech
    whole = speech.amount(scene.capacitance, "capacitance")
    among = scene.capacitance
    members = [filling.value for filling in scene.fillings]
    if scene.arrangement == "chain":
        whole, least = speech.apart([among, min(members)], "capacitance")
        yield f"A chain is below its smallest member: {whole} is less than {least}."
        yield from _layer_voltages(scene)
    elif scene.arrangement == "parallel":
        whole, most = speech.apart([among, max(members)], "capacitance")
        yield f"A parallel set is above its largest member: {whole} is more than {most}."
    elif (only := scene.fillings[0]).permittivity != 1:
        air = speech.amount(only.empty, "capacitance")
        times = scene.number(only.permittivity)
        yield f"With air alone it would be {air}; {times} times that is {whole}."


def _layer_voltages(scene: PlateScene) -> Iterator[str]:
    holding = scene.holding
    if holding is None or in_letters(holding.charge):
        return
    parts = [
        scene.speech.shown(holding.charge / filling.value, "voltage")
        for filling in scene.fillings
    ]
    whole = scene.speech.shown(holding.voltage, "voltage")
    numbers = f"{' + '.join(part.text for part in parts)} {scene.speech.equals(*parts, whole)}"
    differences = scene.speech.terms.differences
    yield f"The {differences} of the layers add up: {numbers} {whole.text}"


def _cautions(scene: PlateScene) -> tuple[str, ...]:
    holding = scene.holding
    if holding is None:
        return ()
    return cautions(holding.voltage, holding.energy, terms=scene.speech.terms)


def _results(scene: PlateScene) -> Mapping[str, tuple[Value, Dimension | None]]:
    found: dict[str, tuple[Value, Dimension | None]] = {}
    if scene.arrangement != "alone":
        for index, filling in enumerate(scene.fillings):
            found[scene.filling_name(index)] = (filling.value, "capacitance")
    found["C"] = (scene.capacitance, "capacitance")
    if (holding := scene.holding) is not None:
        for dimension in AFTER_CAPACITANCE:
            found[SYMBOL[dimension]] = (getattr(holding, dimension), dimension)
    return found


# What one capacitor holds with a supply: its charge or its p.d., then its energy


def _held_asks(
    scene: PlateScene, wanted: Collection[Dimension], is_field_asked: bool
) -> Iterator[Ask]:
    """The questions about what it holds, those ``wanted``, and about the field."""
    supply, holding = scene.problem.supply, scene.holding
    if supply is None or holding is None:
        return
    values: dict[Dimension, Value] = {
        "capacitance": scene.capacitance, "charge": holding.charge, "voltage": holding.voltage,
    }
    first: Dimension = "charge" if supply.quantity == "voltage" else "voltage"
    law = partial(law_on, values, whole_names(scene.speech), scene.speech)
    if first in wanted:
        yield (_charge if first == "charge" else _voltage)(law(first))
    if "energy" in wanted:
        yield _energy(law("energy", "capacitance", supply.quantity))
    if is_field_asked and not in_letters(holding.charge):
        yield from field_asks(scene, holding.charge)


def _charge(law: ByLaw) -> Ask:
    volts, difference = law.amount("voltage"), law.speech.terms.difference
    return law.ask(
        "charge of plates",
        f"What charge {law.names['charge']} has come onto the + plate at {volts}?",
        f"The supply holds the {difference} between the plates at {volts}.",
        "Look at what the supply holds, and at the capacitance found before.",
        "The capacitance is the charge for each volt. How much for all of them?",
    )


def _voltage(law: ByLaw) -> Ask:
    difference = law.speech.terms.difference
    return law.ask(
        "p.d. of plates",
        f"What {difference} {law.names['voltage']} is between the plates, with "
        f"{law.amount('charge')} on the + plate?",
        f"The charge on the plates is given, so it is fixed, and the {difference} follows from it.",
        "Look at the charge that is given, and at the capacitance found before.",
        "The capacitance is the charge for each volt. How many volts, then?",
    )


def _energy(law: ByLaw) -> Ask:
    difference = law.speech.terms.difference
    return law.ask(
        "energy of plates", "What energy is stored between the plates?",
        f"The {difference} grows with the charge from zero, so that half of its last value counts "
        "on average.",
        f"Look at which of charge and {difference} is given, and at the capacitance.",
        f"Each bit of charge is moved against the {difference} there is by then. Is that the full "
        "one all the time?",
    )


# The field in each filling between one pair of plates.


def field_asks(scene: PlateScene, charge: Fraction) -> Iterator[Ask]:
    """How strong the field is in each layer, from the one ``charge`` on the plates in coulombs;
    of fillings side by side, which have one gap and one p.d., how strong it is in all of them.
    """
    if scene.arrangement == "parallel":
        yield _in_all(scene, charge)
        return
    for index, filling in enumerate(scene.fillings[:MOST_FILLINGS_ASKED]):
        yield _in_layer(scene, index, filling, charge)


def _in_layer(scene: PlateScene, index: int, filling: Slab, charge: Fraction) -> Ask:
    speech = scene.speech
    field = charge / (ELECTRIC_CONSTANT * filling.permittivity * filling.area)
    shown = f"≈ {speech.amount(field, 'field')}"  # ε0 is printed rounded
    name = f"field_{LETTERS[index]}"
    what = "air" if filling.permittivity == 1 else (
        f"relative permittivity {scene.number(filling.permittivity)}"
    )
    return Ask(
        "field in a layer", "value",
        f"How strong is the field in the layer of {scene.length(filling.thickness)}, {what}?",
        f"{name} = Q / (ε0 × εr × A) = {speech.amount(charge, 'charge')} / "
        f"({scene.number(ELECTRIC_CONSTANT)} × {scene.number(filling.permittivity)} × "
        f"{scene.number(filling.area)}) {shown}",
        "One charge faces all layers, and a larger permittivity weakens its field.",
        name=name, dimension="field", right=field,
        hints=(
            "Look at the charge on the plates, which faces every layer.",
            f"What {speech.terms.difference} has this layer, and how thick is it?",
            f"{name} = Q / (ε0 × εr × A), or its {speech.terms.difference} over its thickness",
        ),
        ways=(Way("Q/(eps0 × epsr × A)", {
            "Q": (charge, "charge"), "eps0": (ELECTRIC_CONSTANT, "permittivity"),
            "epsr": (filling.permittivity, None), "A": (filling.area, "area"),
        }),),
        skills=("S31",),
    )


def _in_all(scene: PlateScene, charge: Fraction) -> Ask:
    speech, gap = scene.speech, scene.fillings[0].thickness
    volts = charge / sum((each.value for each in scene.fillings), Fraction(0))
    field = volts / gap
    equals = speech.equals(speech.shown(volts, "voltage"), speech.shown(field, "field"))
    return Ask(
        "field beside", "value", "How strong is the field in each of the fillings?",
        f"field = {speech.letters('V')} / d = {speech.amount(volts, 'voltage')} / "
        f"{scene.length(gap)} {equals} {speech.amount(field, 'field')}",
        f"All have the same gap and the same {speech.terms.difference} across it.",
        name="field", dimension="field", right=field,
        hints=(f"Look at the gap and the {speech.terms.difference}, which all of them share.",
               f"How many {speech.letters('V')} for each metre of the gap?"),
        ways=(Way("V/d", {"V": (volts, "voltage"), "d": (gap, "length")}),),
        skills=("S31",),
    )
