"""A diagnosis in words: where the number may come from, what cannot be, what to ask back.

The malrule's own texts are filled from its scene; the right value is in none of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from tutor.circuit.values import in_letters
from tutor.teaching.diagnosis import Diagnosis
from tutor.teaching.malrules.record import Malrule
from tutor.teaching.scene import Scene
from tutor.teaching.speech import Speech, listed, sentence


def fields(scene: Scene, speech: Speech) -> Mapping[str, str]:
    """What the texts of malrules may speak of on this scene."""
    parts = scene.step.parts if scene.step else scene.network.capacitors[: len(scene.parts)]
    values = [_said(number, speech) for number in scene.parts]
    order = sorted(range(len(parts)), key=lambda at: scene.parts[at]) or [0]
    name = scene.quantity.of or (scene.scenery.whole.name if scene.scenery.whole else "it")
    part = scene.scenery.capacitor(scene.quantity.of)
    ends = scene.network.ends
    two = scene.step.points if scene.step and scene.step.kind == "parallel" else ends
    return {
        "parts": listed([c.name for c in parts]),
        "values": listed(values),
        "plus": " + ".join(values),
        "least": values[order[0]] if values else "",
        "least_name": parts[order[0]].name if parts else "",
        "most": values[order[-1]] if values else "",
        "most_name": parts[order[-1]].name if parts else "",
        "n": str(len(parts)),
        "at": listed(two),
        "part": name,
        "own_points": listed((part.start, part.end)) if part else listed(ends),
        "c": _said(scene.c, speech),
        "unit": speech.unit("capacitance"),
        **_of_supply(scene, speech),
    }


def _of_supply(scene: Scene, speech: Speech) -> Mapping[str, str]:
    """What the text gives as a number; what follows from it stays in words, being asked for."""
    supply = scene.scenery.problem.supply
    said = {"supply": "p.d. between the ends", "total": "charge of the whole network"}
    if supply is None or in_letters(supply.value):
        return said
    amount = speech.amount(supply.value, supply.quantity)
    if supply.quantity == "voltage":
        return {**said, "supply": f"{amount} between the ends"}
    return {**said, "total": f"{amount} moved in all"}


def route(malrule: Malrule, scene: Scene, speech: Speech) -> str:
    """How the number may have come about, as in 'adding 3 µF and 7 µF'."""
    return _filled(malrule.route, scene, speech)


def origin(said: str, malrule: Malrule, diagnosis: Diagnosis, speech: Speech) -> str:
    """The number's origin as a possibility, and the consequence that cannot be."""
    scene = diagnosis.scene
    if scene is None:
        return ""
    way = route(malrule, scene, speech)
    return (
        f"{said} is what you get by {way}, if that is what you did. "
        f"{cannot_be(malrule, scene, speech)}"
    )


def cannot_be(malrule: Malrule, scene: Scene, speech: Speech) -> str:
    """What cannot be on this network, as a sentence."""
    return sentence(f"{_filled(malrule.cannot, scene, speech)}.")


def question(malrule: Malrule, scene: Scene, speech: Speech) -> str:
    """The question that lets the learner find it."""
    return _filled(malrule.ask, scene, speech)


def _filled(template: str, scene: Scene, speech: Speech) -> str:
    """One text of a malrule, in the learner's letters and words."""
    return in_terms(speech.letters(template).format_map(fields(scene, speech)), speech)


def in_terms(text: str, speech: Speech) -> str:
    """With the learner's word for a p.d.; one that ends a sentence keeps one full stop."""
    terms = speech.terms
    ended = text.replace("p.d..", terms.at_the_end).replace("p.d.s", terms.differences)
    return ended.replace("p.d.", terms.difference)


def _said(number: Fraction | None, speech: Speech) -> str:
    """A capacitance; those of the scene are in the usual unit."""
    if number is None:
        return ""
    power = speech.powers["capacitance"]
    return speech.amount(number * Fraction(10) ** power, "capacitance")
