"""How a wrong number may have come about: the malrules whose result rounds to it.

A malrule matches when its value, rounded to the figures typed, is what was typed; a percentage
would match too much by chance. A number of one figure matches nothing, since too many rules reach
it (the learner may be asked, see ``suspected``); nought does, since few rules give it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.joining import JOININGS
from tutor.circuit.relations import Fact, complete, worked_back
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, in_letters
from tutor.teaching.malrules.catalogue import CATALOGUE
from tutor.teaching.malrules.record import Malrule
from tutor.teaching.quantities import SYMBOL, Quantity
from tutor.teaching.scene import Scene, Scenery, plain_power, scene_of

ACCEPTED = Fraction(1, 200)
MOST_ROUTES = 3
UNLIKELY = 2
MOST_SKIPPED = 20  # no one skips more steps than these and can still be asked about one of them


class Typed(NamedTuple):
    """A learner's number in the usual unit; ``half`` is half a unit of its last typed place, None
    for an exact form such as a fraction or a sum, which must be met exactly.
    """

    number: Fraction
    half: Fraction | None
    figures: int


class Diagnosis(NamedTuple):
    """Malrules that give the number, in groups that share a remedy, likely ones first.

    ``at`` is the quantity where the wrong rule was at work: the one asked or, when steps were
    skipped, an earlier one; ``scene`` belongs to it.
    """

    groups: tuple[tuple[Malrule, ...], ...]
    at: Quantity
    scene: Scene | None

    @property
    def names(self) -> tuple[str, ...]:
        """All their names, for the record."""
        return tuple(malrule.name for group in self.groups for malrule in group)


def diagnose(
    scenery: Scenery, quantity: Quantity, typed: Typed, own: Mapping[Quantity, Value] | None = None
) -> Diagnosis:
    """The malrules behind a wrong value of a quantity, on true and on the learner's own values."""
    scene = scene_of(scenery, quantity)
    if scene is None or _is_one_figure(typed):
        return Diagnosis((), quantity, scene)
    found = matches(scene, typed)
    if own and (mine := scene_of(scenery, quantity, own)) is not None:
        with_own = matches(mine, typed)
        scene = mine if with_own and not found else scene  # what is told speaks of their numbers
        found += [malrule for malrule in with_own if malrule not in found]
    at = quantity
    if quantity == Quantity("C") and scene.made is not None:
        at = Quantity("C", scene.made)
    return Diagnosis(_grouped(found), at, scene)


def suspected(scenery: Scenery, quantity: Quantity, typed: Typed) -> Diagnosis | None:
    """The likely malrules that give a number of one figure exactly, if one remedy serves them all.

    Too many rules come near such a number to name one; the learner may be asked whether it was it.
    """
    scene = scene_of(scenery, quantity)
    if scene is None or not _is_one_figure(typed):
        return None
    found = [m for m in matches(scene, typed._replace(half=None)) if m.rank < UNLIKELY]
    groups = _grouped(found)
    return Diagnosis(groups, quantity, scene) if len(groups) == 1 else None


def matches(scene: Scene, typed: Typed) -> list[Malrule]:
    """The malrules of this scene that give the number, without the one-figure rule."""
    plain = _in_plain_units(typed, scene)
    return [
        malrule
        for malrule in CATALOGUE
        if scene.place in malrule.places and any(
            meets(number, plain) for number in numbers_of(malrule, scene)
        )
    ]


def _in_plain_units(typed: Typed, scene: Scene) -> Typed:
    problem, dimension = scene.scenery.problem, scene.quantity.dimension
    scale = Fraction(10) ** (problem.powers[dimension] - plain_power(problem, dimension))
    half = None if typed.half is None else typed.half * scale
    return typed._replace(number=typed.number * scale, half=half)


def numbers_of(malrule: Malrule, scene: Scene) -> Iterator[Fraction]:
    """What a malrule gives here, without what would be taken as right."""
    for number in malrule.numbers(scene):
        if number is not None and abs(number - scene.right) > ACCEPTED * abs(scene.right):
            yield number


def hides_malrules(scene: Scene) -> bool:
    """Whether a likely malrule gives here what is right, so that a right answer shows little."""
    return any(
        number is not None and abs(number - scene.right) <= ACCEPTED * abs(scene.right)
        for malrule in CATALOGUE
        if malrule.rank < UNLIKELY and scene.place in malrule.places
        for number in malrule.numbers(scene)
    )


def meets(number: Fraction, typed: Typed) -> bool:
    """Whether a number, rounded as the typed one is, equals it; a typed nought is meant exactly."""
    if typed.half is None or typed.number == 0:
        return number == typed.number
    return abs(number - typed.number) <= typed.half


def _is_one_figure(typed: Typed) -> bool:
    return typed.half is not None and typed.figures < 2 and typed.number != 0


def _grouped(found: list[Malrule]) -> tuple[tuple[Malrule, ...], ...]:
    groups: dict[str, list[Malrule]] = {}
    for malrule in sorted(found, key=lambda m: m.rank):
        groups.setdefault(malrule.remedy, []).append(malrule)
    return tuple(tuple(group) for group in groups.values())


def cuts_off(scene: Scene, typed: Typed) -> bool:
    """Whether the right value was cut off at the last typed place instead of being rounded."""
    if not typed.half or typed.figures < 2:
        return False
    plain = _in_plain_units(typed, scene)
    place = 2 * (plain.half or 0)
    return plain.number == place * (scene.right // place)


def diagnose_skipped(scenery: Scenery, quantity: Quantity, typed: Typed) -> Diagnosis | None:
    """One malrule at one earlier step, everything after it done rightly, that gives the number.

    The latest such step is taken; None if there is none, or the number has one figure only.
    """
    steps = [step for step in scenery.plan if step.makes is not None]
    if _is_one_figure(typed) or quantity not in scenery.truth or len(steps) > MOST_SKIPPED:
        return None
    if any(step.shares for step in steps):
        return None
    for step in reversed(steps):
        assert step.makes is not None
        earlier = Quantity("C", step.makes.name)
        is_last = scenery.whole is not None and step.makes.name == scenery.whole.name
        if is_last and quantity.symbol == "C":
            continue  # that is the value itself, which ``diagnose`` looks at
        if (scene := scene_of(scenery, earlier)) is None:
            continue
        found = [
            malrule
            for malrule in CATALOGUE
            if scene.place in malrule.places and any(
                meets(_reworked(scenery, step, number, quantity), typed)
                for number in numbers_of(malrule, scene)
                if number > 0
            )
        ]
        if found:
            return Diagnosis(_grouped(found), earlier, scene)
    return None


def _reworked(scenery: Scenery, wrong: Step, number: Fraction, quantity: Quantity) -> Fraction:
    """The quantity as it comes out when one step has given this plain number instead."""
    powers = scenery.problem.powers
    values: dict[str, Value] = {c.name: c.value for c in scenery.problem.network.capacitors}
    for step in scenery.plan:
        if step.makes is None:
            continue
        parts = [values[c.name] for c in step.parts]
        values[step.makes.name] = (
            JOININGS[step.kind].equivalent(parts)
        )
        if step is wrong:
            values[step.makes.name] = number * Fraction(10) ** powers["capacitance"]
    reached = _worked_back(scenery, values).get(quantity)
    if reached is None or in_letters(reached):
        return Fraction(-1)
    return Fraction(reached) / Fraction(10) ** powers[quantity.dimension]


def _worked_back(scenery: Scenery, values: Mapping[str, Value]) -> dict[Quantity, Value]:
    """Charges, p.d.s and energies that follow rightly from these capacitances."""
    found: dict[Quantity, Value] = {Quantity("C", name): v for name, v in values.items()}
    whole, supply = scenery.whole, scenery.problem.supply
    if whole is None:
        return found
    found[Quantity("C")] = values[whole.name]
    if supply is None:
        return found
    held = {
        Fact("capacitance", whole.name): values[whole.name],
        Fact(supply.quantity, whole.name): supply.value,
    }
    complete(held, whole.name)
    for fact, value in worked_back(scenery.plan, values, held).items():
        found[Quantity(SYMBOL[fact.dimension], fact.of)] = value
    for symbol in ("V", "Q", "E"):
        found[Quantity(symbol)] = found[Quantity(symbol, whole.name)]
    return found
