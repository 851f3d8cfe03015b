"""The questions about one pair of plates, each from its measures alone."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from grammar.lengths import LENGTH_PREFIX
from grammar.records import Amount, Plates
from grammar.writing_values import write_length
from tutor.circuit.network import Problem
from tutor.circuit.plates import ELECTRIC_CONSTANT, FillingLayout, Slab, arrangement_of, fillings_of
from tutor.circuit.solving import Holding, holding_of
from tutor.circuit.values import Value, tidy
from tutor.teaching.speech import Speech, counted, listed, sentence
from tutor.teaching.staged.story import Ask, Valued, Way, share_options

MOST_FILLINGS_ASKED = 4


def measure_asks(scene: PlateScene) -> Iterator[Ask]:
    """Area and gap in metres, where the text has them in another unit or has metal between."""
    if scene.area_power:
        yield area_ask(scene.plates.area, scene.area_power, scene.speech)
    if scene.plates.metal:
        yield _gap_left(scene)
    elif scene.gap_power and scene.arrangement != "chain":
        yield _gap(scene)


def area_ask(area: Fraction, power: int, speech: Speech) -> Ask:
    """The area in square metres, which is told in squares of 10**``power`` metres."""
    unit = f"{LENGTH_PREFIX[power]}m"
    slip = Fraction(10) ** -power
    return Ask(
        "area", "value",
        "What is the area of the plates in square metres? The number alone is enough.",
        f"1 {unit} = 10^{power} m, so 1 {unit}² = 10^{2 * power} m², and A = "
        f"{speech.number(area)} m²",
        f"A square metre is {slip} {unit} long and as many wide, so the factor counts twice.",
        name="A", dimension="area", right=area,
        hints=(
            f"Look at the unit of the area: {unit} by {unit}.",
            f"How many squares of 1 {unit} by 1 {unit} cover a square of 1 m by 1 m?",
            f"A in m² = A in {unit}² × (10^{power})²",
        ),
        facts={"slipped": area * slip}, told=told_of(power, speech),
    )


def _gap(scene: PlateScene) -> Ask:
    unit = f"{LENGTH_PREFIX[scene.gap_power]}m"
    gap = scene.plates.gap
    return Ask(
        "gap in metres", "value",
        "How wide is the gap in metres? The number alone is enough.",
        f"1 {unit} = 10^{scene.gap_power} m, so d = {scene.number(gap)} m",
        name="d", dimension="length", right=gap,
        hints=(
            f"Look at the unit of the gap, {unit}.",
            f"How many {unit} make one metre?",
            f"d in m = d in {unit} × 10^{scene.gap_power}",
        ),
    )


def _gap_left(scene: PlateScene) -> Ask:
    plates = scene.plates
    gap, metal, left = plates.gap, plates.metal, plates.gap - plates.metal
    difference = scene.speech.terms.difference
    return Ask(
        "gap beside metal", "value",
        f"How much of the gap, in metres, is left for the {difference} beside the metal? "
        "The number alone is enough.",
        f"d = {scene.length(gap)} − {scene.length(metal)} = {scene.length(left)} "
        f"= {scene.number(left)} m",
        f"The metal plate is at one potential throughout, so no {difference} is inside it, and "
        "where in the gap it stands does not matter.",
        name="d", dimension="length", right=left,
        hints=(
            "Look at the metal plate between the two.",
            f"Can there be a {difference} between the two faces of one piece of metal?",
            "d = gap − thickness of the metal, in metres",
        ),
        facts={"gap": gap}, told=_told(scene),
    )


def sharing_ask(scene: PlateScene) -> Ask:
    """What the fillings have in common, which settles how they add."""
    difference = scene.speech.terms.difference
    if scene.arrangement == "chain":
        text = f"From plate to plate there are {counted(len(scene.fillings), 'layer')}."
        reply = (
            "A line from plate to plate crosses one layer after the other, so their "
            f"{scene.speech.terms.differences} add up to the whole."
        )
        options = share_options("charge", reply, scene.speech.terms, ("adds-stacked-layers",))
        because = (
            "A thin sheet of metal where two layers meet would change nothing; cut off, and empty "
            "at first, it has no charge in all, so all layers hold one charge: they act as a chain."
        )
    else:
        text = f"Between the plates there are {counted(len(scene.fillings), 'part')} side by side."
        reply = "Each filling reaches from the one plate to the other, so each has its own charge."
        options = share_options("voltage", reply, scene.speech.terms)
        because = (
            "Each filling reaches from the one plate to the other, so all have the same two "
            f"pieces of metal as ends and one {difference}: they act side by side, in parallel."
        )
    return Ask(
        "what fillings share", "shares",
        f"{text} Each is a capacitor of its own. Do they share the {difference} or the charge?",
        because, because, options=options,
        hints=(
            "Follow a line from the one plate to the other.",
            "Does such a line cross one of them, or all of them in turn?",
        ),
    )


def filling_asks(scene: PlateScene) -> Iterator[Ask]:
    """The capacitance of each filling on its own; of many fillings, of the first few."""
    for index, filling in enumerate(scene.fillings[:MOST_FILLINGS_ASKED]):
        yield _filling(scene, index, filling)


def _filling(scene: PlateScene, index: int, filling: Slab) -> Ask:
    name, speech = scene.filling_name(index), scene.speech
    filled = filling.permittivity != 1
    unit = speech.unit("capacitance")
    relation = f"{name} = ε0 × εr × A / d" if filled else f"{name} = ε0 × A / d"
    return Ask(
        "filled" if filled else "plates", "value",
        f"What is {name}, the capacitance {_of(scene, filling)}? "
        f"(A number without a unit counts as {unit}.)",
        f"{relation} = {filling_sum(scene, filling)} "
        f"{speech.shown(filling.value, 'capacitance').after_equals}",
        _reason(scene, filling),
        name=name, dimension="capacitance", right=filling.value,
        hints=(
            "Look at three things: the area, the way through the filling, and its permittivity.",
            "The wider the gap for the same charge, the larger the "
            f"{speech.terms.difference}: does a wider gap raise or lower the capacitance?",
            f"{relation}, with A in m² and d in m",
        ),
        facts=_facts(scene, filling), told=_told(scene), ways=_ways(scene, filling),
    )


def _ways(scene: PlateScene, filling: Slab) -> tuple[Way, ...]:
    """ε0 εr A / d, where a filling covers a part of the area also by that part of the whole."""
    top: dict[str, Valued] = {"eps0": (ELECTRIC_CONSTANT, "permittivity")}
    if filling.permittivity != 1:
        top["epsr"] = (filling.permittivity, None)
    across: dict[str, Valued] = {"d": (filling.thickness, "length")}
    relation, area = " × ".join(top), scene.plates.area
    own = Way(f"{relation} × A/d", {**top, "A": (filling.area, "area"), **across})
    if filling.area == area:
        return (own,)
    share: dict[str, Valued] = {"share": (filling.area / area, None), "A": (area, "area")}
    return own, Way(f"{relation} × share × A/d", {**top, **share, **across})


def filling_sum(scene: PlateScene, filling: Slab) -> str:
    """The numbers of ε0 εr A / d, in SI units without their names."""
    pieces = [ELECTRIC_CONSTANT, filling.permittivity, filling.area]
    written = [scene.number(piece) for piece in pieces if piece != 1 or piece is filling.area]
    below = scene.number(filling.thickness)
    return f"{' × '.join(written)} / {f'({below})' if '×' in below else below}"


def _of(scene: PlateScene, filling: Slab) -> str:
    if scene.arrangement == "chain":
        return f"of the layer {_named(scene, filling)} on its own"
    if scene.arrangement == "parallel":
        share = filling.area / scene.plates.area
        return f"of the part over {share} of the area, {_permittivity(scene, filling)}, on its own"
    return "of the pair of plates"


def _named(scene: PlateScene, filling: Slab) -> str:
    return f"of {scene.length(filling.thickness)}, {_permittivity(scene, filling)},"


def _permittivity(scene: PlateScene, filling: Slab) -> str:
    if filling.permittivity == 1:
        return "air"
    return f"relative permittivity {scene.number(filling.permittivity)}"


def _reason(scene: PlateScene, filling: Slab) -> str:
    if scene.arrangement == "chain":
        return f"The layer is as wide as the plates and {scene.length(filling.thickness)} thick."
    if scene.arrangement == "parallel":
        return "This part has its share of the area, and the way through it is the whole gap."
    if filling.permittivity == 1:
        return "The whole area of the plates faces the gap, and only air is in it."
    return "The filling takes up the whole gap, so it multiplies what air there would give."


def whole_ask(scene: PlateScene) -> Ask:
    """The pair of plates from its fillings, as a chain or a parallel set."""
    speech, value = scene.speech, scene.capacitance
    members = [f.value for f in scene.fillings]
    names = [scene.filling_name(at) for at in range(len(members))]
    amounts = [speech.amount(each, "capacitance") for each in members]
    chain = scene.arrangement == "chain"
    if chain:
        relation = f"1/C = {' + '.join(f'1/{name}' for name in names)}"
        sums = " + ".join(f"1/({amount})" for amount in amounts)
        per_unit = speech.per_unit(sum((1 / each for each in members), Fraction(0)), members)
        numbers = f"1/C = {sums} {per_unit}\nC {speech.shown(value, 'capacitance').after_equals}"
        because = f"{sentence(listed(names))} hold one charge, so their parts of the " \
                  f"{speech.terms.difference} add up."
        idea = f"For one charge the {speech.terms.differences} add. What adds then, C or 1/C?"
    else:
        relation = f"C = {' + '.join(names)}"
        numbers = f"C = {' + '.join(amounts)} {speech.shown(value, 'capacitance').after_equals}"
        because = f"{sentence(listed(names))} have one {speech.terms.difference}, so their " \
                  "charges add up."
        idea = f"At one {speech.terms.difference} the charges add. What adds then, C or 1/C?"
    added = sum((scene.usual(each) for each in members), Fraction(0))
    return Ask(
        "stacked" if chain else "side by side", "value",
        "What is C, the capacitance of the pair of plates in all?",
        f"{relation}\n{numbers}", because,
        name="C", dimension="capacitance", right=value,
        hints=(f"Look at {listed(names)} and what they share.", idea, relation),
        facts={"added": added} if chain else {}, told=_told(scene),
        ways=(Way(
            f"1/({' + '.join(f'1/{name}' for name in names)})" if chain else " + ".join(names),
            {name: (each, "capacitance") for name, each in zip(names, members, strict=True)},
        ),),
    )


def _facts(scene: PlateScene, filling: Slab) -> Mapping[str, Fraction]:
    value = scene.usual(filling.value)
    facts = {
        "empty": scene.usual(filling.empty),
        "permittivity": filling.permittivity,
        "upside": value * filling.thickness**2,
    }
    if scene.area_power:
        facts["slipped"] = value * Fraction(10) ** -scene.area_power
    return facts


def _told(scene: PlateScene) -> Mapping[str, str]:
    return told_of(scene.area_power, scene.speech)


def told_of(power: int, speech: Speech) -> Mapping[str, str]:
    """What sentences about plates may speak of, their area being in squares of 10**``power`` m."""
    prefix = LENGTH_PREFIX[power]
    return {
        "length": f"{prefix}m",
        "tenth": f"10^{power}",
        "difference": speech.terms.difference,
        "differences": speech.terms.differences,
        "pd_letter": speech.terms.pd_letter,
    }


# One pair of plates as the questions about it need it: lengths in words, fillings by name


LETTERS = "abcdefghijklmnopqrstuvwxyz"


class PlateScene(NamedTuple):
    """The plates of a text, the problem they make, and how its values are put into words."""

    plates: Plates
    problem: Problem
    speech: Speech

    @property
    def fillings(self) -> tuple[Slab, ...]:
        """What is between the plates, in the order of the text."""
        return fillings_of(self.plates)

    @property
    def arrangement(self) -> FillingLayout:
        """How the fillings act together."""
        return arrangement_of(self.plates)

    @property
    def area_power(self) -> int:
        """The power of ten of the length that the area is written with: -2 for cm²."""
        return power_written(self.plates.written)

    @property
    def gap_power(self) -> int:
        """The power of ten of the lengths between the plates: -3 for mm."""
        return power_written(re.split(r"gap|layers", self.plates.written, maxsplit=1)[-1])

    @property
    def capacitance(self) -> Value:
        """The capacitance of the pair, in farads."""
        return self.problem.network.capacitors[0].value

    @property
    def holding(self) -> Holding | None:
        """What the pair holds with the supply or the charge of the text; None without any."""
        supply, c = self.problem.supply, self.problem.network.capacitors[0]
        if supply is None:
            return None
        across = supply.value if supply.quantity == "voltage" else tidy(supply.value / c.value)
        return holding_of(c, across)

    def filling_name(self, index: int) -> str:
        """Ca, Cb, …; C where there is but one filling."""
        return "C" if self.arrangement == "alone" else f"C{LETTERS[index]}"

    def length(self, metres: Fraction) -> str:
        """A length between the plates in the unit of the text: 0.4 mm."""
        return write_length(Amount(metres, self.gap_power))

    def number(self, value: Fraction) -> str:
        """A plain number, rounded where it does not end."""
        return self.speech.number(value)

    def usual(self, farads: Fraction) -> Fraction:
        """A capacitance as a plain number in the usual unit of the problem."""
        return farads / Fraction(10) ** self.speech.powers["capacitance"]


def power_written(written: str) -> int:
    """The power of ten of the first unit of length in a text; 0, the metre, if there is none."""
    unit = re.search(r"\d ([pnµmck]?)m(?![a-z])", written)
    prefix = unit[1] if unit else ""
    return next(power for power, sign in LENGTH_PREFIX.items() if sign == prefix)
