"""What one capacitor holds with a supply: its charge or its p.d., then its energy."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from fractions import Fraction

from grammar.records import Dimension
from tutor.circuit.network import Capacitor, Supply
from tutor.circuit.plates import ELECTRIC_CONSTANT, Slab
from tutor.circuit.solving import Holding, holding_of
from tutor.circuit.values import Value, tidy
from tutor.teaching.quantities import SYMBOL
from tutor.teaching.speech import Speech
from tutor.teaching.staged.by_law import ByLaw, law_on
from tutor.teaching.staged.plating_asks import MOST_FILLINGS_ASKED
from tutor.teaching.staged.plating_scene import LETTERS, PlateScene
from tutor.teaching.staged.story import Ask, Way


def held(c: Capacitor, supply: Supply) -> Holding:
    """Its p.d., charge and energy with the supply or the charge of the text."""
    across = supply.value if supply.quantity == "voltage" else tidy(supply.value / c.value)
    return holding_of(c, across)


def held_asks(
    c: Capacitor, supply: Supply, wanted: Collection[Dimension], speech: Speech
) -> Iterator[Ask]:
    """The questions about what it holds, those ``wanted``."""
    first: Dimension = "charge" if supply.quantity == "voltage" else "voltage"
    if first in wanted:
        yield (_charge if first == "charge" else _voltage)(_law(c, supply, speech, first))
    if "energy" in wanted:
        yield _energy(_law(c, supply, speech, "energy", "capacitance", supply.quantity))


def _law(
    c: Capacitor, supply: Supply, speech: Speech, finds: Dimension, *uses: Dimension
) -> ByLaw:
    holding = held(c, supply)
    names = {kind: speech.letters(symbol) for kind, symbol in SYMBOL.items()}
    values: dict[Dimension, Value] = {
        "capacitance": c.value, "charge": holding.charge, "voltage": holding.voltage,
    }
    return law_on(values, names, speech, finds, *uses)


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
