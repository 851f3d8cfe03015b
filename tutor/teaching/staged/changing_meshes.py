"""A block of which only two points hold a charge of their own: worked as one capacitor."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from tutor.circuit.islands import Block, net_charge
from tutor.circuit.network import Capacitor, Network, Supply
from tutor.circuit.solving import Solution, solve
from tutor.circuit.steps import Step
from tutor.circuit.switching import Switched
from tutor.circuit.values import decided, in_letters, size_of
from tutor.teaching.reasons import because, working_line
from tutor.teaching.speech import Dimensioned
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
    whole = solution.holdings[solution.whole.name].size
    c = solution.whole
    q, v = scene.name("Q", c.name), scene.name("V")
    if in_letters(whole.voltage):  # at this stage the letter of the text is its name
        v = speech.amount(whole.voltage, "voltage")
    value = speech.amount(c.value, "capacitance")
    by: Dimensioned = (c.value, "capacitance")
    if worked.supply.quantity == "voltage":
        lines.append(
            f"{q} = {c.name} × {v} = {value} × {speech.amount(whole.voltage, 'voltage')} "
            f"{speech.result(whole.charge, 'charge', by, (whole.voltage, 'voltage'))}"
        )
    else:
        lines.append(
            f"{v} = {q}/{c.name} = {speech.amount(whole.charge, 'charge')} / ({value}) "
            f"{speech.result(whole.voltage, 'voltage', by, (whole.charge, 'charge'))}"
        )
    return lines


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
        held = solution.holdings[part.name].size
        made_q, made_v = scene.name("Q", step.makes.name), scene.name("V", step.makes.name)
        q, v = scene.name("Q", part.name), scene.name("V", part.name)
        by: Dimensioned = (part.value, "capacitance")
        if step.kind == "series":
            passed = speech.shown(held.charge, "charge").after_equals
            own = speech.result(held.voltage, "voltage", by, (held.charge, "charge"))
            lines.append(f"{q} = {made_q} {passed}, so {v} = {q}/{part.name} {own}")
        else:
            passed = speech.shown(held.voltage, "voltage").after_equals
            own = speech.result(held.charge, "charge", by, (held.voltage, "voltage"))
            lines.append(f"{v} = {made_v} {passed}, so {q} = {part.name} × {v} {own}")
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
            parts = [made[c.name] for c in step.parts]
            if step.kind == "parallel":
                made[step.makes.name] = f"({' + '.join(parts)})"
            else:
                made[step.makes.name] = f"(1/({' + '.join(f'1/{part}' for part in parts)}))"
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
