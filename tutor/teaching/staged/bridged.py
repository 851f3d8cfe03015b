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
from tutor.circuit.solving import Solution, solve
from tutor.circuit.steps import Step, after
from tutor.circuit.values import Value, tidy
from tutor.teaching.messages import About
from tutor.teaching.quantities import SYMBOL, Quantity, Symbol
from tutor.teaching.reasons import because, working_line
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, speech_for
from tutor.teaching.staged.floating_balance import Stuck, balance_story
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
        made, names = step.makes, [c.name for c in step.parts]
        chain = step.kind == "series"
        relation = f"1/({' + '.join(f'1/{n}' for n in names)})" if chain else " + ".join(names)
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
        yield _across(scene)
    for c in scene.problem.network.capacitors:
        wanted = {kind for kind, of in asked if of == c.name}
        if not asked or wanted & {"voltage", "charge", "energy"}:
            yield _voltage(scene, c, levels)
        if not asked or wanted & {"charge"}:
            yield _by_laws(scene, "charge", c.name, (f"{c.name} × {{v}}",))
        if wanted & {"energy"}:
            forms = (f"½ × {c.name} × {{v}}²", "½ × {q} × {v}", f"½ × {{q}}²/{c.name}")
            yield _by_laws(scene, "energy", c.name, forms)
    if ("energy", None) in asked:
        yield _by_laws(scene, "energy", None, ("½ × {q} × {v}", "½ × C × {v}²", "½ × {q}²/C"))


def _across(scene: _Scene) -> Ask:
    """The p.d. between the ends, where a charge is given."""
    uses: dict[str, Valued] = {
        "Q": (scene.value("Q", None), "charge"), "C": (scene.value("C", None), "capacitance"),
    }
    return _ask(scene, Quantity("V"), (Way("Q/C", uses),), "across the ends")


def _by_laws(scene: _Scene, kind: Dimension, of: str | None, forms: tuple[str, ...]) -> Ask:
    """Charge from the p.d., and energy in its three forms."""
    q, v = Quantity("Q", of), Quantity("V", of)
    uses: dict[str, Valued] = {
        of or "C": (scene.value("C", of), "capacitance"),
        v.name: (scene.value("V", of), "voltage"),
    }
    if kind == "energy":
        uses[q.name] = (scene.value("Q", of), "charge")
    ways = tuple(Way(form.format(q=q.name, v=v.name), uses) for form in forms)
    return _ask(scene, Quantity(SYMBOL[kind], of), ways, "by law")


def _voltage(scene: _Scene, c: Capacitor, levels: dict[str, Value]) -> Ask:
    """The difference of two potentials, or of a member of a chain its part of that."""
    quantity, at = Quantity("V", c.name), c
    uses: dict[str, Valued] = {}
    relation = ""
    for step in scene.steps:
        if step.makes is not None and at.name in {part.name for part in step.parts}:
            if step.kind == "series":
                uses |= {each.name: (each.value, "capacitance") for each in (at, step.makes)}
                relation += f" × {step.makes.name}/{at.name}"
            at = step.makes
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
    about: dict[Dimension, About] = {"charge": "charge", "voltage": "voltage", "energy": "energy"}
    return Ask(
        key, about[dimension],
        f"What is {name}?", f"{name} {scene.speech.result(right, dimension)}",
        name=quantity.name, dimension=dimension, right=right, ways=ways,
        skills=needs,
    )
