"""A slab over a part of the gap or of the area, or a sheet of metal: what it makes of C."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grammar.records import Change
from tutor.circuit.switching import Switched, filling_of
from tutor.circuit.values import Value, in_letters, tidy
from tutor.teaching.staged.changing_scene import Scene
from tutor.teaching.staged.story import Ask, Way


def slab_ask(name: str, outcome: Switched, scene: Scene, told: list[str]) -> Ask:
    """The capacitance with the slab in, of two parts that are worked out by themselves."""
    change = outcome.change
    assert change is not None, "only a change puts a slab in"
    after = outcome.after.capacitor(name).value
    kind = "metal" if change.amount is None else "beside" if change.over_area else "stacked"
    keys = {"metal": "gap beside metal", "beside": "side by side", "stacked": "stacked"}
    return Ask(
        keys[kind], "value", f"What is the capacitance of {name} now?",
        "\n".join(_relation(each, outcome, scene) for each in told), _REASONS[kind].format(
            differences=scene.speech.terms.differences, difference=scene.speech.terms.difference),
        name=name, dimension="capacitance", right=after,
        hints=(f"Look at what the slab takes up between the plates of {name}, and what is left.",
               _IDEAS[kind], _FORMS[kind].format(name=name)),
        facts=_facts(name, outcome, scene), told=scene.told, ways=_ways(name, outcome),
    )


_REASONS: Mapping[str, str] = {
    "stacked": "A line from plate to plate crosses the slab and then the air, one charge faces "
               "both, and the {differences} over them add: a chain.",
    "beside": "Slab and air both reach from plate to plate, so they have one {difference}: side "
              "by side.",
    "metal": "No {difference} is inside the metal, so only what it leaves of the gap counts, "
             "wherever in the gap it stands.",
}
_IDEAS: Mapping[str, str] = {
    "stacked": "Does a line from plate to plate cross the slab alone, or the slab and the air?",
    "beside": "Does a line from plate to plate cross the slab alone, or the slab and the air?",
    "metal": "How wide a gap is left beside the metal?",
}
_FORMS: Mapping[str, str] = {
    "stacked": "1/{name} = 1/(the slab) + 1/(the air that is left)",
    "beside": "{name} = (the part with the slab) + (the part with air)",
    "metal": "{name} goes as 1/(the gap that is left)",
}


def _parts(name: str, outcome: Switched) -> tuple[Value, Value]:
    """The slab and the air that is left, each as a capacitor of its own; metal is none."""
    change, air = _change(outcome), outcome.before.capacitor(name).value
    rest = 1 - change.part
    if change.amount is None:
        return Fraction(0), tidy(air / rest)
    filling = filling_of(change)
    if change.over_area:
        return tidy(filling * air * change.part), tidy(air * rest)
    return tidy(filling * air / change.part), tidy(air / rest)


def _change(outcome: Switched) -> Change:
    assert outcome.change is not None, "only a change puts a slab in"
    return outcome.change


def _relation(name: str, outcome: Switched, scene: Scene) -> str:
    change, speech = _change(outcome), scene.speech
    slab, air = _parts(name, outcome)
    before, after = (at.capacitor(name).value for at in (outcome.before, outcome.after))
    was = speech.amount(before, "capacitance")
    rest = 1 - change.part
    if change.amount is None:
        result = speech.result(after, "capacitance", (before, "capacitance"))
        return f"{rest} of the gap is left: {name} = {was} / ({rest}) {result}"
    times = scene.number(filling_of(change))
    slab_shown, air_shown = (speech.shown(value, "capacitance") for value in (slab, air))
    result = speech.result(after, "capacitance", (slab, "capacitance"), (air, "capacitance"))
    if change.over_area:
        return (
            f"The part with the slab is {times} × {was} × {change.part} {slab_shown.after_equals}, "
            f"the part with air {was} × {rest} {air_shown.after_equals}: {name} = "
            f"{slab_shown.text} + {air_shown.text} {result}"
        )
    return (
        f"The slab by itself is {times} × {was} / ({change.part}) {slab_shown.after_equals}, the "
        f"air that is left {was} / ({rest}) {air_shown.after_equals}: 1/{name} = "
        f"1/({slab_shown.text}) + 1/({air_shown.text}), so {name} {result}"
    )


def _facts(name: str, outcome: Switched, scene: Scene) -> Mapping[str, Fraction]:
    """The two parts added up, which is wrong of layers."""
    change, parts = _change(outcome), _parts(name, outcome)
    if change.amount is None or change.over_area or any(map(in_letters, parts)):
        return {}
    return {"added": scene.usual(tidy(parts[0] + parts[1]), "capacitance")}


def _ways(name: str, outcome: Switched) -> tuple[Way, ...]:
    change, (slab, air) = _change(outcome), _parts(name, outcome)
    if change.amount is None:
        before = outcome.before.capacitor(name).value
        uses = {name: (before, "capacitance"), "rest": (1 - change.part, None)}
        return (Way(f"{name}/rest", uses, worked=("rest",)),)  # type: ignore[arg-type]
    relation = "C_slab + C_air" if change.over_area else "1/(1/C_slab + 1/C_air)"
    return (Way(
        relation, {"C_slab": (slab, "capacitance"), "C_air": (air, "capacitance")},
        worked=("C_slab", "C_air"),
    ),)
