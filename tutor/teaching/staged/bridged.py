"""The story of a network in one state where series and parallel stick: for working on paper.

The dialogue takes such a network as a walk with the story of one step inside; on paper a learner
combines what can be combined, writes the balances, and goes on from the potentials.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from grammar.records import Dimension
from tutor.circuit.beyond import balance_step
from tutor.circuit.network import Capacitor, Problem
from tutor.circuit.reduction import reduce
from tutor.circuit.relations import of_step, taken_up
from tutor.circuit.solving import Solution, solve
from tutor.circuit.steps import Step, after
from tutor.circuit.values import Value, tidy
from tutor.teaching.quantities import SYMBOL, Quantity, Symbol
from tutor.teaching.reasons import because, working_line
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, speech_for
from tutor.teaching.staged.by_law import ABOUT, law_on
from tutor.teaching.staged.floating_story import Stuck, balance_story
from tutor.teaching.staged.story import PASSED_ON, Ask, Story, Valued, Way

TRIAL = Fraction(1)


class _Scene(NamedTuple):
    """A network, what it holds, and the steps by series and parallel that it allows."""

    problem: Problem
    solution: Solution
    steps: tuple[Step, ...]
    speech: Speech

    def value(self, symbol: Symbol, of: str | None) -> Value:
        """A magnitude in its SI unit, of the whole for None."""
        whole = self.solution.whole
        assert whole is not None, "a network that joins its ends has a whole"
        if symbol == "C":
            return whole.value if of is None else self.problem.network.named([of])[0].value
        held = self.solution.holdings[of or whole.name].size
        return {"V": held.voltage, "Q": held.charge, "E": held.energy}[symbol]


def bridge_story(problem: Problem, settings: Settings) -> Story:
    """What can be combined, the potentials of what is left, the whole, and what each holds."""
    speech = speech_for(problem, settings)
    network, steps = problem.network, reduce(problem.network).steps
    for step in steps:
        network = after(network, step)
    used = {c.name for c in problem.network.capacitors} | {s.makes.name for s in steps if s.makes}
    balance = balance_step(network, used)
    scene = _Scene(problem, solve(problem.network, problem.supply), steps, speech)
    supply = problem.supply
    voltage = TRIAL if supply is None else scene.value("V", None)
    stuck = Stuck(network, voltage, supply is None)
    told = balance_story(stuck, balance, speech).asks
    asks = [*_groups(scene), *told]
    if supply is not None:
        if supply.quantity == "voltage":
            asks = [*_groups(scene), *_by_charge(scene, told)]
        levels = {point: tidy(share * voltage) for point, share in balance.shares}
        asks += _held(scene, levels)
    return Story("network", (), tuple(asks), (), problem.powers, network=problem.network)


def _groups(scene: _Scene) -> Iterator[Ask]:
    """The capacitance of what stands in series or in parallel."""
    for step in scene.steps:
        if step.makes is None:
            continue
        made = step.makes
        relation = next(of_step(step)).text(lambda fact: fact.of)
        uses: dict[str, Valued] = {c.name: (c.value, "capacitance") for c in step.parts}
        yield Ask(
            "group", "value", f"What is {made.name}?", working_line(step, scene.speech),
            because(step, scene.speech), made.name, "capacitance", made.value,
            ways=(Way(relation, uses),), skills=(_skill_of(step),),
        )


def _skill_of(step: Step) -> str:
    if step.kind == "parallel":
        return "S10"
    return "S11" if len(step.parts) == 2 else "S12"


# What each question of this story needs, by its key; by the kind of value where laws give it.
_SKILLS: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "charge at the + end": ("S38",), "across the ends": ("S38",), PASSED_ON: ("S37",),
    "part of a p.d.": ("S21",), "charge": ("S02",), "energy": ("S24",), "whole energy": ("S25",),
})


def _by_charge(scene: _Scene, told: tuple[Ask, ...]) -> Iterator[Ask]:
    """The balance as asked, with the charge at the + end as a question of its own before C."""
    uses: dict[str, Valued] = {
        "Q": (scene.value("Q", None), "charge"), "V": (scene.value("V", None), "voltage"),
    }
    for ask in told:
        if ask.name != "C":
            yield ask
            continue
        (added,) = ask.ways
        at_plus = Way(added.relation.removesuffix(")/V").removeprefix("("), added.uses)
        yield _ask(scene, Quantity("Q"), (at_plus,), "charge at the + end")
        yield ask._replace(ways=(Way("Q/V", uses), added))


# What each holds


def _held(scene: _Scene, levels: dict[str, Value]) -> Iterator[Ask]:
    """What is asked of the whole and of each, or charge and p.d. of all where nothing is."""
    asked = {(each.quantity, each.of) for each in scene.problem.asked}
    if scene.problem.supply is not None and scene.problem.supply.quantity == "charge":
        yield _by_laws(scene, "voltage", None, key="across the ends")
    for c in scene.problem.network.capacitors:
        wanted = {kind for kind, of in asked if of == c.name}
        if not asked or wanted & {"voltage", "charge", "energy"}:
            yield _voltage(scene, c, levels)
        if not asked or wanted & {"charge"}:
            yield _by_laws(scene, "charge", c.name)
        if wanted & {"energy"}:
            yield _by_laws(scene, "energy", c.name, "capacitance", "voltage")
    if ("energy", None) in asked:
        yield _by_laws(scene, "energy", None)


def _by_laws(
    scene: _Scene, finds: Dimension, of: str | None, *uses: Dimension, key: str = "by law"
) -> Ask:
    """By the law of one capacitor, the energy in its three forms; of the whole for None."""
    kinds: tuple[Dimension, ...] = ("capacitance", "charge", "voltage")
    known = [kind for kind in kinds if kind != finds]
    names = {kind: Quantity(SYMBOL[kind], of).name for kind in kinds}
    values = {kind: scene.value(SYMBOL[kind], of) for kind in known}
    law = law_on(values, {**names, "capacitance": of or "C"}, scene.speech, finds, *uses)
    return _ask(scene, Quantity(SYMBOL[finds], of), law.ways(), key)


def _voltage(scene: _Scene, c: Capacitor, levels: dict[str, Value]) -> Ask:
    """The difference of two potentials, or of a member of a chain its part of that."""
    quantity, at = Quantity("V", c.name), c
    uses: dict[str, Valued] = {}
    relation = ""
    for step, part, made in taken_up(scene.steps, c.name):
        if step.kind == "series":
            uses |= {each.name: (each.value, "capacitance") for each in (part, made)}
            relation += f" × {made.name}/{part.name}"
        at = made
    if at.start not in levels or at.end not in levels:
        return _ask(scene, quantity, (Way("0", {}),), PASSED_ON)
    uses |= {f"V_{p}": (levels[p], "voltage") for p in (at.start, at.end)}
    key = "part of a p.d." if relation else PASSED_ON
    way = Way(f"(V_{at.start} − V_{at.end}){relation}", uses, "size")
    return _ask(scene, quantity, (way,), key)


def _ask(scene: _Scene, quantity: Quantity, ways: tuple[Way, ...], key: str) -> Ask:
    right, dimension = scene.value(quantity.symbol, quantity.of), quantity.dimension
    name = scene.speech.name(quantity)
    needs = _SKILLS.get(key) or _SKILLS[
        "whole energy" if dimension == "energy" and quantity.of is None else dimension
    ]
    return Ask(
        key, ABOUT[dimension],
        f"What is {name}?", f"{name} {scene.speech.result(right, dimension)}",
        name=quantity.name, dimension=dimension, right=right, ways=ways,
        skills=needs,
    )
