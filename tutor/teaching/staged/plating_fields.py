"""The field in each filling between one pair of plates."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from tutor.circuit.plates import ELECTRIC_CONSTANT, Slab
from tutor.teaching.staged.plating_asks import MOST_FILLINGS_ASKED
from tutor.teaching.staged.plating_scene import LETTERS, PlateScene
from tutor.teaching.staged.story import Ask, Way


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
    shown = speech.shown(field, "field").after_equals
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
    return Ask(
        "field beside", "value", "How strong is the field in each of the fillings?",
        f"field = {speech.letters('V')} / d = {speech.amount(volts, 'voltage')} / "
        f"{scene.length(gap)} {speech.shown(field, 'field').after_equals}",
        f"All have the same gap and the same {speech.terms.difference} across it.",
        name="field", dimension="field", right=field,
        hints=(f"Look at the gap and the {speech.terms.difference}, which all of them share.",
               f"How many {speech.letters('V')} for each metre of the gap?"),
        ways=(Way("V/d", {"V": (volts, "voltage"), "d": (gap, "length")}),),
        skills=("S31",),
    )
