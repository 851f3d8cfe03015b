"""The questions about one capacitor by its measures: one law each, in words and in numbers."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.records import Body
from grammar.sizes import PI
from tutor.circuit.bodies import DIMENSIONS, BodyValues, Law, logarithm, value_by
from tutor.circuit.surds import near
from tutor.circuit.values import Value, in_letters
from tutor.teaching.messages import About
from tutor.teaching.speech import Shown, Speech, sentence
from tutor.teaching.staged.plating_asks import power_written, told_of
from tutor.teaching.staged.story import Ask, Option, Valued, Way

ABOUT: Final[Mapping[str, About]] = MappingProxyType(
    {"C": "value", "V": "voltage", "Q": "charge", "E": "energy"}
)
NAMES_SHOWN: Final[Mapping[str, str]] = MappingProxyType(
    {"eps0": "ε0", "epsr": "εr", "pi": "π"}
)
_NAME = re.compile(r"[A-Za-z]\w*", re.ASCII)

QUESTIONS: Final[Mapping[str, str]] = MappingProxyType({
    "A": "What area A must the plates have?",
    "d": "How wide is the gap d?",
    "epsr": "What is the relative permittivity εr of what is between?",
    "n": "How many plates are there in the stack?",
    "r": "What is the radius r of the sphere?",
    "a": "What is the inner radius a?",
    "b": "What is the outer radius b?",
    "L": "How long is the cable?",
    "strength": "What strength must the filling have, the greatest field that it bears?",
    "force": "With what force does each plate pull the other?",
})
OF_LAYER: Final[Mapping[str, str]] = MappingProxyType({
    "d": "How thick is layer {layer}, d{layer}?",
    "epsr": "What is the relative permittivity εr{layer} of layer {layer}?",
})
FIELDS: Final[Mapping[str, str]] = MappingProxyType({
    "even field": "between the plates", "round field": "at the surface of the sphere",
    "field at the inner sphere": "at the inner sphere, where it is strongest",
    "field at the wire": "at the wire, where it is strongest", "limit": "at the limit",
    "pull": "between the plates", "field in a layer": "in layer {layer}",
})
WHOLE: Final[Mapping[str, str]] = MappingProxyType({
    "plates": "the pair of plates", "layers": "the pair of plates", "sphere": "the sphere",
    "spheres": "the two spheres", "cable": "the cable",
})
REASONS: Final[Mapping[str, str]] = MappingProxyType({
    "plates": "Plates hold more charge for each volt the larger their area, the narrower their "
    "gap and the larger the permittivity between.",
    "layers": "Layers on one another hold one charge, so each does what a gap of air d/εr wide "
    "would do, and these gaps add up.",
    "field in a layer": "One charge faces all layers, so εr times the field is the same in each of "
    "them.",
    "first to break": "εr times the field is the same in all layers, so the one with the least εr "
    "times strength is the first to break.",
    "sphere": "Its charge acts as if it sat at the centre, one radius away from the surface.",
    "spheres": "The charge of the inner sphere alone makes the field between the two, which falls "
    "off with the square of the distance from the centre.",
    "cable": "The field falls off as one over the distance from the middle of the wire, and its "
    "{difference} over the way to the sheath comes to a logarithm of the two radii.",
    "even field": "Between wide plates close together the field is the same everywhere, so each "
    "metre of the gap has its equal part of the {difference}.",
    "round field": "Outside a charged sphere the potential falls as one over the distance from "
    "the centre, and the field is the potential over that distance.",
    "field at the inner sphere": "The field is strongest where the lines lie closest, at the "
    "smaller sphere.",
    "field at the wire": "The field is strongest where the lines lie closest, at the wire.",
    "pull": "A plate is pulled by the charge of the other alone, which makes half of the field "
    "between them; the other half is its own.",
    "charge": "Q = C V holds for every capacitor.",
    "energy": "The {difference} grew from zero with the charge, so half of its last value "
    "counts on average.",
    "limit": "At the greatest {difference} the field is as strong as what is between can bear.",
})
IDEAS: Final[Mapping[str, str]] = MappingProxyType({
    "plates": "The capacitance grows with the area and with the filling, and falls with the gap. "
    "Which way must what is asked go for more capacitance?",
    "even field": "How many volts does each metre of the gap have, if all have the same?",
    "pull": "Does a plate pull on itself? Which part of the field comes from the other one?",
    "charge": "How much charge is there for each volt?",
    "energy": "Is the full {difference} there from the first bit of charge on?",
    "layers": "Each layer does what a gap of air d/εr wide would do. How wide are they together?",
    "field in a layer": "What is the same in all layers, the field or εr times the field?",
    "first to break": "In which layer is εr times strength the least?",
    "limit": "How strong may the field become?",
})
USUAL_IDEA: Final = "Which relation holds in this shape, and what in it is not known yet?"


class MeasuredBody(NamedTuple):
    """A body with every value of it that is given or found."""

    body: Body
    values: BodyValues
    speech: Speech

    def name(self, key: str) -> str:
        """A value as learners write it."""
        if key in ("V", "E"):
            return self.speech.letters(key)
        stem = key.rstrip("123456789")
        return f"{NAMES_SHOWN.get(stem, stem)}{key.removeprefix(stem)}"

    def shown(self, key: str, value: Value | None = None) -> str:
        """A value in words, with its unit."""
        return self._shown(key, self.values[key] if value is None else value).text

    def result(self, key: str) -> str:
        """``≈ 0.3188 mm``."""
        return self._shown(key, self.values[key]).after_equals

    def _shown(self, key: str, value: Value) -> Shown:
        dimension = DIMENSIONS[key]
        if dimension is not None:
            return self.speech.shown(value if in_letters(value) else near(value), dimension)
        return self.speech.plain(value)


def relation_of(law: Law, values: BodyValues) -> str:
    """The law in its names, without what is 1 here: no filling, the one gap of two plates."""
    text = law.text
    if law.finds != "epsr" and values.get("epsr") == 1:
        text = re.sub(r"epsr × | × epsr\b", "", text)
    if law.finds != "n" and values.get("n") == 2:
        text = re.sub(r"\(n − 1\) × | × \(n − 1\)", "", text)
    return re.sub(r"\((\w+)\)", r"\1", text)


def ask_of(measured: MeasuredBody, law: Law) -> Ask:
    """The question for what one law finds."""
    values, key = measured.values, law.finds
    relation, name = relation_of(law, values), measured.name(key)
    dimension, exact = DIMENSIONS[key], values[key]
    right = exact if in_letters(exact) and exact.free_symbols else near(exact)
    because = _filled(REASONS[law.kind], measured)
    if key == "n":
        right = whole_plates(near(exact))
    return Ask(
        key_of(law, values), ABOUT.get(key, "value"), _question(measured, law),
        f"{name} = {_named(measured, relation)} {_numbers(measured, relation, key)}".rstrip(),
        because, name=measured.name(key).replace("εr", "epsr"), dimension=dimension,
        right=right, pure=dimension is None, hints=_hints(measured, law, relation),
        facts={} if in_letters(right) else _facts(measured, law),
        told={**told_of(power_written(measured.body.written) or -2, measured.speech)},
        ways=_ways(measured, relation), exact=exact if right is not exact else None,
        skills=_skills(law),
    )


def whole_plates(number: Fraction) -> Fraction:
    """The least whole number of plates; a hair above one is that one, as data are rounded."""
    nearest = Fraction(round(number))
    return nearest if abs(number - nearest) <= nearest / 200 else Fraction(-(-number // 1))


def key_of(law: Law, values: BodyValues) -> str:
    """The kind of question, for wrong rules and for the record."""
    if law.finds == "C" and law.kind == "plates":
        return "plates" if values.get("epsr") == 1 else "filled"
    if law.kind in ("charge", "energy"):
        return {"Q": "charge of plates", "V": "p.d. of plates", "E": "energy of plates"}.get(
            law.finds, "by law")
    return f"{law.finds} by {law.kind}"


def _skills(law: Law) -> tuple[str, ...]:
    if law.kind == "charge":
        return ("S02",)
    return ("S24",) if law.kind == "energy" else ("S30",)


def _question(measured: MeasuredBody, law: Law) -> str:
    key, speech = law.finds, measured.speech
    difference = speech.terms.difference
    stem = key.rstrip("123456789")
    layer = key.removeprefix(stem)
    if layer and stem in OF_LAYER:
        return OF_LAYER[stem].format(layer=layer)
    if key in QUESTIONS:
        return QUESTIONS[key]
    if key == "C":
        return f"What is C, the capacitance of {_whole(measured)}?"
    if stem == "field":
        return f"How strong is the field {FIELDS[law.kind].format(layer=layer)}?"
    bears = "strength" in measured.values and "field" in law.uses
    if key == "V" and (bears or law.kind == "first to break"):
        return f"What is {measured.name(key)}, the greatest {difference} that it bears?"
    what = {"V": difference, "Q": "charge", "E": "stored energy"}[key]
    return f"What is the {what} {measured.name(key)}?"


def _whole(measured: MeasuredBody) -> str:
    if measured.body.written.startswith("rolled"):
        return "the rolled strip"
    return WHOLE[measured.body.kind] if measured.values.get("n", 2) == 2 else "the stack"


def _filled(template: str, measured: MeasuredBody) -> str:
    """A sentence in the learner's word for a p.d., which may end it."""
    text = template.format(difference=measured.speech.terms.difference)
    return text.replace("p.d..", "p.d.")


def _hints(measured: MeasuredBody, law: Law, relation: str) -> tuple[str, ...]:
    used = [name for name in law.uses if name in relation and name not in ("eps0",)]
    known = ", ".join(measured.name(name) for name in used)
    idea = _filled(IDEAS.get(law.kind, USUAL_IDEA), measured)
    return (
        f"Look at what is known that it depends on: {known}.", idea,
        f"{measured.name(law.finds)} = {_named(measured, relation)}",
    )


def _named(measured: MeasuredBody, relation: str) -> str:
    return _NAME.sub(lambda found: measured.name(found[0]), relation)


def _numbers(measured: MeasuredBody, relation: str, key: str) -> str:
    """``= 8.854 × 10^-12 × 0.03 / (2 × 10^-9) ≈ 0.3188 mm``."""
    if in_letters(value := measured.values[key]) and value.free_symbols:
        return measured.result(key)
    united = any(re.search(rf"\b{name}\b", relation) for name in ABOUT)
    numbers = _NAME.sub(lambda found: _piece(measured, found[0], united), relation)
    shown = "" if relation == "strength" else f"= {numbers} "
    if key == "n":
        count = whole_plates(near(measured.values[key]))
        least = "" if near(measured.values[key]) == count else f", so {count} plates"
        return f"{shown}{measured.result(key)}{least}"
    return f"{shown}{measured.result(key)}"


def _piece(measured: MeasuredBody, name: str, united: bool) -> str:
    """A number in its SI unit or, where all are ``united``, with a unit, as it stands in a sum;
    functions keep their names.
    """
    if name not in measured.values:
        return NAMES_SHOWN.get(name, name)
    value = measured.values[name]
    if united and DIMENSIONS[name] is not None:
        return f"({measured.shown(name)})"
    number = measured.speech.number(near(value))
    return f"({number})" if "×" in number else number


def _ways(measured: MeasuredBody, relation: str) -> tuple[Way, ...]:
    """The relation on its values, as learners' own lines are judged by."""
    if "exp(" in relation or "least(" in relation:
        return ()
    written = relation.replace("−", "-").replace("ln(b/a)", "lnba")
    root = written.startswith("√")
    written = written.removeprefix("√")
    uses: dict[str, Valued] = {}
    for found in dict.fromkeys(_NAME.findall(written)):
        name = {"lnba": "lnba", "pi": "pi"}.get(found, measured.name(found))
        name = name.replace("ε0", "eps0").replace("εr", "epsr")
        written = re.sub(rf"\b{found}\b", name, written)
        uses[name] = _valued(measured, found)
    return (Way(written, uses, "square root" if root else ""),)


def _valued(measured: MeasuredBody, name: str) -> Valued:
    if name == "pi":
        return PI, None
    if name == "lnba":
        return logarithm(measured.values["b"] / measured.values["a"]), None
    value = measured.values[name]
    return (value if in_letters(value) else near(value)), DIMENSIONS[name]


def _facts(measured: MeasuredBody, law: Law) -> Mapping[str, Fraction]:
    """What wrong rules run on, as plain numbers in the usual units."""
    values, key = measured.values, law.finds
    dimension = DIMENSIONS[key]
    unit = Fraction(10) ** measured.speech.powers[dimension] if dimension else Fraction(1)

    def by(**changed: Value) -> Fraction:
        return near(value_by(law, {**values, **changed})) / unit

    found: dict[str, Fraction] = {}
    right = near(values[key]) / unit
    if "epsr" in law.uses and values["epsr"] != 1:
        found["unfilled"] = by(epsr=Fraction(1))
        if key == "C":
            found["empty"], found["permittivity"] = found["unfilled"], near(values["epsr"])
    if law.kind == "plates":
        if values.get("n", 2) != 2 and key != "n":
            found["per plate"] = by(n=values["n"] + 1)
        power = power_written(measured.body.written)
        if power and "A" in law.uses:
            found["slipped"] = by(A=near(values["A"]) * Fraction(10) ** -power)
        if key == "C":
            found["upside"] = right * near(values["d"]) ** 2
    if law.kind == "layers" and key == "C":
        plain = {name: Fraction(1) for name in law.uses if name.startswith("epsr")}
        found["unfilled"] = by(**plain)
        alone = [near(values[name.replace("epsr", "d")] / values[name]) for name in plain]
        found["added"] = right * sum(alone) * sum(1 / each for each in alone)
    if law.kind == "even field" and "d" in law.uses:
        found["turned over"] = _turned(key, values)
    if law.kind == "pull" and key == "force":
        found["whole field"] = 2 * right
    if law.kind == "cable" and key == "C":
        found["base ten"] = right * near(logarithm(Fraction(10)))
    if law.kind == "spheres" and key == "C":
        gap, both = values["b"] - values["a"], values["a"] + values["b"]
        found["added radii"] = right * near(gap / both)
    if "diameter" in measured.body.written and law.kind in ("sphere", "round field"):
        found["by diameter"] = by(r=near(values["r"]) * 2) if "r" in law.uses else 2 * right
    return found


def _turned(key: str, values: BodyValues) -> Fraction:
    """Volts times metres for a field, volts per metre over metres for a p.d."""
    gap = near(values["d"])
    return near(values["V"]) * gap if key == "field" else near(values["field"]) / gap


def bearing_ask(measured: MeasuredBody, layer: str = "") -> Ask:
    """Whether what is between, or one of its layers, bears the field."""
    here, most = f"field{layer}", f"strength{layer}"
    field, strength = near(measured.values[here]), near(measured.values[most])
    bears = field <= strength
    shown = f"{measured.shown(here)} is {'within' if bears else 'above'} the strength, "
    why = sentence(f"{shown}{measured.shown(most)}.")
    what = f"layer {layer}" if layer else "what is between"
    again = "Compare the two: the field there is, and the greatest that it bears."
    return Ask(
        "does it bear the field", "check",
        f"The strength is {measured.shown(most)}. Does {what} bear the field, yes or no?",
        why, why,
        options=(
            Option(("yes", "it does", "it bears it"), bears, again),
            Option(("no", "it does not", "it breaks down"), not bears, again),
        ),
        hints=(again,), skills=("S30",),
    )
