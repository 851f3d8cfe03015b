"""The story of one pair of plates: measures, what is between them, capacitance, what it holds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grammar.records import Description, Dimension, Element, Plates, Refusal
from grammar.writing import write_network
from tutor.circuit.network import Problem, build
from tutor.circuit.plates import ELECTRIC_CONSTANT
from tutor.circuit.prefixes import SIZES_IN_SI
from tutor.circuit.values import Value, in_letters
from tutor.teaching.cautions import cautions
from tutor.teaching.quantities import SYMBOL
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.plating_asks import (
    filling_asks,
    measure_asks,
    sharing_ask,
    whole_ask,
)
from tutor.teaching.staged.plating_held import field_asks, held, held_asks
from tutor.teaching.staged.plating_scene import PlateScene
from tutor.teaching.staged.story import Ask, Moment, Story

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
    return (
        write_network(description),
        "ε0 is the electric constant, here the figure of CODATA 2022: "
        f"{scene.number(ELECTRIC_CONSTANT)} F/m. An answer from 8.85e-12 F/m is taken as well.",
    )


def _asks(scene: PlateScene) -> Iterator[Ask]:
    yield from measure_asks(scene)
    if scene.arrangement != "alone":
        yield sharing_ask(scene)
    yield from filling_asks(scene)
    if scene.arrangement != "alone":
        yield whole_ask(scene)


def _held_asks(
    scene: PlateScene, wanted: list[Dimension], is_field_asked: bool
) -> Iterator[Ask]:
    supply = scene.problem.supply
    if supply is None:
        return
    capacitor = scene.problem.network.capacitors[0]
    yield from held_asks(capacitor, supply, wanted, scene.speech)
    charge = held(capacitor, supply).charge
    if is_field_asked and not in_letters(charge):
        yield from field_asks(scene, charge)


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
    supply = scene.problem.supply
    if supply is None:
        return
    holding = held(scene.problem.network.capacitors[0], supply)
    if in_letters(holding.charge):
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
    supply = scene.problem.supply
    if supply is None:
        return ()
    holding = held(scene.problem.network.capacitors[0], supply)
    return cautions(holding.voltage, holding.energy, terms=scene.speech.terms)


def _results(scene: PlateScene) -> Mapping[str, tuple[Value, Dimension | None]]:
    found: dict[str, tuple[Value, Dimension | None]] = {}
    if scene.arrangement != "alone":
        for index, filling in enumerate(scene.fillings):
            found[scene.filling_name(index)] = (filling.value, "capacitance")
    found["C"] = (scene.capacitance, "capacitance")
    supply = scene.problem.supply
    if supply is not None:
        holding = held(scene.problem.network.capacitors[0], supply)
        for dimension in AFTER_CAPACITANCE:
            found[SYMBOL[dimension]] = (getattr(holding, dimension), dimension)
    return found
