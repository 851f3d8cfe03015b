"""Questions about one capacitor: its capacitance after a change, and one shorted by a wire."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType

from grammar.records import Amount, Change, Plates
from grammar.writing import write_number
from tutor.circuit.islands import AIR
from tutor.circuit.switching import Switched, filling_of, is_filled
from tutor.circuit.values import Value, decided, in_letters, same, size_of, tidy
from tutor.teaching.staged.changing_scene import MOST_ASKED, Scene, plain
from tutor.teaching.staged.story import Ask, Valued, Way

# The rules of plates speak of an area unit, which matters only where an area is given.
AREA_UNIT: Mapping[str, str] = MappingProxyType({"length": "cm", "tenth": "10^-2"})


def capacitance_asks(outcome: Switched, scene: Scene) -> Iterator[Ask]:
    """What a filling, or another gap, makes of each capacitance."""
    change = outcome.change
    if change is None or change.kind not in ("fill", "empty", "gap"):
        return
    changed = [
        name for name in change.names
        if not same(outcome.before.capacitor(name).value, outcome.after.capacitor(name).value)
    ]
    for at, name in enumerate(changed[:MOST_ASKED]):
        told = changed[at:] if at + 1 == MOST_ASKED else [name]
        yield _capacitance(name, outcome, scene, told)


def _capacitance(name: str, outcome: Switched, scene: Scene, told: list[str]) -> Ask:
    change, speech = outcome.change, scene.speech
    assert change is not None, "only a change gives another capacitance"
    if change.kind == "fill" and change.part < 1:
        return slab_ask(name, outcome, scene, told)
    after = outcome.after.capacitor(name).value
    before = outcome.before.capacitor(name).value
    reasons = {
        "fill": "The material weakens the field of the same charge, so more charge fits per volt.",
        "empty": "Without the material the field of the same charge is stronger, so less charge "
                 "fits per volt.",
        "gap": _why_gap(name, outcome, scene),
    }
    hints = {
        "fill": f"How many times what it is with air does the filling make {name}?",
        "empty": f"How many times what it is with air did the filling make {name}?",
        "gap": "Same charge, another gap: does the "
               f"{speech.terms.difference} rise or fall? So what of charge per volt?",
    }
    if _filled_before(name, outcome) and change.kind == "gap":
        hints["gap"] = "The filling is as it was. How does a layer of air act that one charge " \
                       "faces with it?"
    keys = {"fill": "filled", "empty": "emptied", "gap": "gap"}
    facts = {"before": scene.usual(before, "capacitance"), "ratio": plain(before / after)}
    if change.kind == "gap" and _filled_before(name, outcome):
        facts = {}
    if change.kind == "fill" and isinstance(change.amount, Fraction):
        facts["permittivity"] = change.amount
        facts["empty"] = scene.usual(after / change.amount, "capacitance")
    return Ask(
        keys[change.kind], "value", f"What is the capacitance of {name} now?",
        "\n".join(_relation(each, outcome, scene) for each in told), reasons[change.kind],
        name=name, dimension="capacitance", right=after,
        hints=(f"Look at what is done to {name}, and at its capacitance before.",
               hints[change.kind], _in_names(name, outcome)),
        facts=facts, told={**scene.told, **AREA_UNIT},
        ways=(_way(name, outcome, (before, after)),),
    )


def _way(name: str, outcome: Switched, values: tuple[Fraction, Fraction]) -> Way:
    """From air to a filling, back to air, or from gap to gap."""
    (before, after), change = values, outcome.change
    if change is not None and change.kind == "fill":
        filling = filling_of(change)
        air = tidy(after / filling)
        return Way(f"epsr × {name}", {name: (air, "capacitance"), "epsr": (filling, None)})
    if change is not None and change.kind == "gap" and _filled_before(name, outcome):
        air = plain(1 / (1 / after - 1 / before))
        sign = "+" if air > 0 else "−"
        uses: dict[str, Valued] = {
            name: (before, "capacitance"), "C_air": (abs(air), "capacitance")
        }
        return Way(f"1/(1/{name} {sign} 1/C_air)", uses, worked=("C_air",))
    key = "epsr" if change is not None and change.kind == "empty" else "k"
    return Way(f"{name}/{key}", {name: (before, "capacitance"), key: (before / after, None)})


def _filled_before(name: str, outcome: Switched) -> bool:
    return is_filled(outcome.before.inside.get(name, AIR))


def _in_names(name: str, outcome: Switched) -> str:
    kind = outcome.change.kind if outcome.change else ""
    if kind == "fill":
        return f"{name} = εr × ({name} with air)"
    if kind == "empty":
        return f"({name} with air) = {name}/εr"
    if _filled_before(name, outcome):
        return f"1/{name} now = 1/{name} before ± 1/(the layer of air that comes or goes)"
    return f"{name} goes as 1/(gap)"


def _relation(name: str, outcome: Switched, scene: Scene) -> str:
    change, speech = outcome.change, scene.speech
    assert change is not None, "only a change gives another capacitance"
    before = outcome.before.capacitor(name).value
    after = outcome.after.capacitor(name).value
    result = speech.result(after, "capacitance", (before, "capacitance"))
    if change.kind == "fill":
        filling = filling_of(change)
        air = speech.amount(tidy(after / filling), "capacitance")
        result = speech.result(after, "capacitance", (tidy(after / filling), "capacitance"))
        return f"{name} = εr × ({name} with air) = {scene.number(filling)} × {air} {result}"
    was = speech.amount(before, "capacitance")
    inside = outcome.before.inside.get(name, AIR)
    if change.kind == "empty" and not isinstance(inside, Plates):
        return f"{name} with air = {was} / {scene.number(inside.factor)} {result}"
    if change.kind == "gap" and is_filled(inside):
        return _with_other_air(name, (before, after), scene)
    if change.kind == "gap" and not isinstance(change.amount, Amount):
        assert isinstance(change.amount, Fraction), "a gap is changed to a length or by a factor"
        return f"{name} = {was} / {_factor(change.amount, scene)} {result}"
    if change.kind == "gap":
        times = scene.number(plain(before / after))
        return f"The gap is {times} times what it was: {name} = {was} / {times} {result}"
    return f"{name} {result}, from its plates as they are now"


def _with_other_air(name: str, values: tuple[Value, Value], scene: Scene) -> str:
    """A filled capacitor and the air that comes in, as a chain; or the air that is left out."""
    before, after = values
    air = tidy(1 / (1 / after - 1 / before))
    wider = decided(air) > 0
    was, layer = (scene.speech.amount(v, "capacitance") for v in (before, size_of(air)))
    sign, what = ("+", "comes in") if wider else ("−", "is gone")
    result = scene.speech.result(
        after, "capacitance", (before, "capacitance"), (air, "capacitance")
    )
    return (
        f"The layer of air that {what} would be {layer} by itself: 1/{name} = 1/({was}) {sign} "
        f"1/({layer}), so {name} {result}"
    )


def _why_gap(name: str, outcome: Switched, scene: Scene) -> str:
    difference = scene.speech.terms.difference
    if is_filled(outcome.before.inside.get(name, AIR)):
        return (
            "One charge is on the filling as it was and on the layer of air, so they are a chain, "
            f"and the {scene.speech.terms.differences} over them add."
        )
    return f"Over another gap the same charge makes another {difference}, in proportion to the gap."


def _factor(factor: Fraction, scene: Scene) -> str:
    return scene.number(factor) if write_number(factor)[1] else f"({factor})"


def shorted_asks(outcome: Switched, scene: Scene) -> Iterator[Ask]:
    """A charged capacitor whose two plates have become one piece of metal."""
    for c in outcome.after.network.capacitors:
        if c.start != c.end or not outcome.carried.charges[c.name]:
            continue
        q = scene.name("Q", c.name)
        yield Ask(
            "shorted", "charge",
            f"Both plates of {c.name} are on one piece of metal now. What charge {q} is left on "
            "each?",
            f"{q} = 0: both plates of {c.name} are at one potential.",
            f"Between two plates at one potential there is no {scene.speech.terms.at_the_end}",
            name=q, dimension="charge", right=Fraction(0),
            hints=(f"Look at where the two plates of {c.name} are joined.",
                   f"What {scene.speech.terms.difference} can there be across {c.name}?"),
            told={**scene.told, "name": c.name}, ways=(Way("0", {}),),
        )


# A slab over a part of the gap or of the area, or a sheet of metal: what it makes of C.


def slab_ask(name: str, outcome: Switched, scene: Scene, told: list[str]) -> Ask:
    """The capacitance with the slab in, of two parts that are worked out by themselves."""
    change = outcome.change
    assert change is not None, "only a change puts a slab in"
    after = outcome.after.capacitor(name).value
    kind = "metal" if change.amount is None else "beside" if change.over_area else "stacked"
    keys = {"metal": "gap beside metal", "beside": "side by side", "stacked": "stacked"}
    return Ask(
        keys[kind], "value", f"What is the capacitance of {name} now?",
        "\n".join(_slab_relation(each, outcome, scene) for each in told), _REASONS[kind].format(
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


def _slab_relation(name: str, outcome: Switched, scene: Scene) -> str:
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
