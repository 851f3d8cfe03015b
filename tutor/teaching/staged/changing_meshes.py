"""A block of which only two points hold a charge of their own: worked as one capacitor."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from grammar.records import Dimension
from tutor.circuit.islands import Block, net_charge
from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Capacitor, Network, Supply
from tutor.circuit.relations import of_step
from tutor.circuit.solving import Solution, solve
from tutor.circuit.steps import Step
from tutor.circuit.switching import Switched
from tutor.circuit.values import decided, in_letters, size_of
from tutor.teaching.quantities import DIMENSION
from tutor.teaching.reasons import because, working_line
from tutor.teaching.staged.by_law import ByLaw
from tutor.teaching.staged.changing_balanced import balanced_asks, charge_ask
from tutor.teaching.staged.changing_scene import MOST_ASKED, Scene
from tutor.teaching.staged.story import Ask, Valued, Way

PLAIN = ("series", "parallel", "removal")


class Worked(NamedTuple):
    """A block reduced, and the steps that lead from the whole to each capacitor."""

    solution: Solution
    supply: Supply


def as_one(block: Block, outcome: Switched) -> Worked | None:
    """The block reduced by series and parallel; None where that is not all there is to it."""
    state = outcome.carried
    net = {p: net_charge(block.capacitors, state.charges, p) for p in block.points}
    plus, minus = outcome.after.network.ends
    if block.supplied:
        assert outcome.after.supply is not None, "a supplied block has a supply"
        ends, supply = (plus, minus), Supply("voltage", size_of(outcome.after.supply))
        inner = [p for p in block.points if p not in ends]
    else:
        charged = [p for p in block.points if net[p]]
        if len(charged) != 2:
            return None
        top, bottom = sorted(charged, key=lambda p: -decided(net[p]))
        ends, supply = (top, bottom), Supply("charge", net[top])
        inner = [p for p in block.points if p not in ends]
    if any(net[p] for p in inner):
        return None
    solution = solve(Network(block.capacitors, ends), supply)
    plain = all(step.kind in PLAIN for step in solution.steps)
    return Worked(solution, supply) if plain and solution.whole is not None else None


def reduced_asks(
    block: Block, outcome: Switched, scene: Scene, worked: Worked
) -> Iterator[Ask]:
    """The charge of each capacitor, from the whole back to it."""
    moved = [c for c in block.capacitors if c.name in outcome.moved]
    for at, c in enumerate(moved[:MOST_ASKED]):
        lines = _reduction(worked, scene) if at == 0 else []
        told = moved[at:] if at + 1 == MOST_ASKED else [c]
        for each in told:
            lines += _path(each.name, worked, scene)
        yield charge_ask(
            c, outcome, scene, (lines, _why(c.name, worked, scene)), _way(c.name, worked, scene)
        )


def _reduction(worked: Worked, scene: Scene) -> list[str]:
    """The steps to one capacitor, and what it holds."""
    speech, solution = scene.speech, worked.solution
    assert solution.whole is not None, "only what has been reduced is worked out so"
    lines = []
    for step in solution.steps:
        lines.append(working_line(step, speech) if step.makes else because(step, speech))
    law = _law(solution.whole, worked, scene, DIMENSION[worked.supply.leaves], scene.name("V"))
    if in_letters(law.values["voltage"]):  # at this stage the letter of the text is its name
        law = law._replace(names={**law.names, "voltage": law.amount("voltage")})
    return [*lines, law.line]


def _law(
    c: Capacitor, worked: Worked, scene: Scene, finds: Dimension, volts: str = ""
) -> ByLaw:
    held = worked.solution.holdings[c.name].size
    return scene.law_of(finds, c, (held.charge, held.voltage), volts)


def _path(name: str, worked: Worked, scene: Scene) -> list[str]:
    """What passes on from the whole to one capacitor, a line a step."""
    solution, speech = worked.solution, scene.speech
    way: list[tuple[Step, Capacitor]] = []
    at = name
    for step in solution.steps:
        part = next((c for c in step.parts if c.name == at), None)
        if part is not None and step.makes is not None:
            way.append((step, part))
            at = step.makes.name
    lines = []
    for step, part in reversed(way):
        assert step.makes is not None, "only steps that make a capacitor were kept"
        joining = JOININGS[step.kind]
        law = _law(part, worked, scene, joining.added)
        passed = speech.shown(law.values[joining.shared], joining.shared).after_equals
        source = scene.name(joining.shares, step.makes.name)
        own = f"{law.in_names} {law.result}"
        lines.append(f"{law.names[joining.shared]} = {source} {passed}, so {own}")
    return lines


def _why(name: str, worked: Worked, scene: Scene) -> str:
    """What it shares, and which points make it so: the step that took it up."""
    for step in worked.solution.steps:
        if step.makes is not None and name in {c.name for c in step.parts}:
            return because(step, scene.speech)
    return f"{name} lies between points at one potential."


def _way(name: str, worked: Worked, scene: Scene) -> Way:
    """The charge of a capacitor in one relation: what the whole takes up, then its share of it."""
    solution, supply = worked.solution, worked.supply
    assert solution.whole is not None, "only what has been reduced is worked out so"
    made = {c.name: c.name for c in solution.network.capacitors}
    for step in solution.steps:
        if step.makes is not None:
            made[step.makes.name] = f"({next(of_step(step)).text(lambda fact: made[fact.of])})"
    share, at = "", name
    for step in solution.steps:
        if step.makes is not None and at in {c.name for c in step.parts}:
            if step.kind == "parallel":
                share += f" × {made[at]}/{made[step.makes.name]}"
            at = step.makes.name
    if at != solution.whole.name:
        return Way("0", {})
    uses: dict[str, Valued] = {
        c.name: (c.value, "capacitance") for c in solution.network.capacitors
    }
    if supply.quantity == "voltage":
        uses[scene.name("V")] = (supply.value, "voltage")
        return Way(f"{made[at]} × {scene.name('V')}{share}", uses)
    uses[scene.name("Q")] = (supply.value, "charge")
    return Way(f"{scene.name('Q')}{share}", uses, worked=(scene.name("Q"),))


# Questions about blocks of more than two points: as one capacitor, or by charge balance.


def mesh_asks(block: Block, outcome: Switched, scene: Scene) -> Iterator[Ask]:
    """The charge of each capacitor that has another one now, or its p.d. where only that has."""
    worked = as_one(block, outcome)
    if worked is not None:
        yield from reduced_asks(block, outcome, scene, worked)
    else:
        yield from balanced_asks(block, outcome, scene)
