"""Questions about blocks of more than two points: as one capacitor, or by charge balance."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from tutor.circuit.islands import Block, levels, net_charge
from tutor.circuit.network import Capacitor, Network, Supply
from tutor.circuit.solving import Solution, solve
from tutor.circuit.steps import Step
from tutor.circuit.switching import Outcome
from tutor.teaching.reasons import step_text, working_line
from tutor.teaching.speech import counted, listed
from tutor.teaching.staged.changing_scene import MOST_ASKED, Scene, has_name, metal
from tutor.teaching.staged.story import Ask

MOST_POINTS = 3


def mesh_asks(block: Block, outcome: Outcome, scene: Scene) -> Iterator[Ask]:
    """The charge of each capacitor that has another one now, or its p.d. where only that has."""
    worked = _as_one(block, outcome)
    if worked is not None:
        yield from _by_reduction(block, outcome, scene, worked)
    else:
        yield from _by_balance(block, outcome, scene)


# As one capacitor: nothing but two points holds a charge of its own


class Worked(NamedTuple):
    """A block reduced, and the steps that lead from the whole to each capacitor."""

    solution: Solution
    supply: Supply


def _as_one(block: Block, outcome: Outcome) -> Worked | None:
    state = outcome.carried
    net = {p: net_charge(block.capacitors, state.charges, p) for p in block.points}
    plus, minus = outcome.after.network.ends
    if block.supplied:
        assert outcome.after.supply is not None, "a supplied block has a supply"
        ends, supply = (plus, minus), Supply("voltage", abs(outcome.after.supply))
        inner = [p for p in block.points if p not in ends]
    else:
        charged = [p for p in block.points if net[p]]
        if len(charged) != 2:
            return None
        top, bottom = sorted(charged, key=lambda p: -net[p])
        ends, supply = (top, bottom), Supply("charge", net[top])
        inner = [p for p in block.points if p not in ends]
    if any(net[p] for p in inner):
        return None
    solution = solve(Network(block.capacitors, ends), supply)
    return Worked(solution, supply) if solution.whole is not None else None


def _by_reduction(
    block: Block, outcome: Outcome, scene: Scene, worked: Worked
) -> Iterator[Ask]:
    moved = [c for c in block.capacitors if c.name in outcome.moved]
    for at, c in enumerate(moved[:MOST_ASKED]):
        lines = _reduction(worked, scene) if at == 0 else []
        told = moved[at:] if at + 1 == MOST_ASKED else [c]
        for each in told:
            lines += _path(each.name, worked, scene)
        yield _charge(c, outcome, scene, (lines, _why(worked, scene)))


def _reduction(worked: Worked, scene: Scene) -> list[str]:
    """The steps to one capacitor, and what it holds."""
    speech, solution = scene.speech, worked.solution
    assert solution.whole is not None, "only what has been reduced is worked out so"
    lines = []
    for step in solution.steps:
        made = step.kind in ("series", "parallel")
        lines.append(working_line(step, speech) if made else _beyond(step, scene))
    whole = solution.holdings[solution.whole.name].size
    q, v, c = scene.name("Q"), scene.name("V"), solution.whole
    value = speech.amount(c.value, "capacitance")
    if worked.supply.quantity == "voltage":
        lines.append(
            f"{q} = {c.name} × {v} = {value} × {speech.amount(whole.voltage, 'voltage')} "
            f"{speech.result(whole.charge, 'charge')}"
        )
    else:
        lines.append(
            f"{v} = {q}/{c.name} = {speech.amount(whole.charge, 'charge')} / ({value}) "
            f"{speech.result(whole.voltage, 'voltage')}"
        )
    return lines


def _beyond(step: Step, scene: Scene) -> str:
    text = step_text(step, scene.speech)
    return " ".join(filter(None, (text.relation, text.working, text.result)))


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
        charge = speech.result(held.charge, "charge")
        voltage = speech.result(held.voltage, "voltage")
        if step.kind == "series":
            lines.append(f"{q} = {made_q} {charge}, so {v} = {q}/{part.name} {voltage}")
        elif step.kind == "parallel":
            lines.append(f"{v} = {made_v} {voltage}, so {q} = {part.name} × {v} {charge}")
        else:
            lines.append(f"{v} {voltage}, so {q} = {part.name} × {v} {charge}")
    return lines


def _why(worked: Worked, scene: Scene) -> str:
    ends = worked.solution.network.ends
    if worked.supply.quantity == "voltage":
        held = f"{scene.speech.amount(worked.supply.value, 'voltage')} between {listed(ends)}"
    else:
        held = f"{scene.speech.amount(worked.supply.value, 'charge')} at {ends[0]}"
    inner = worked.solution.network.points()[1:-1]
    return (
        f"With {held} fixed, and no charge of its own on the metal at {listed(inner)}, it is as if "
        "charged from empty with the capacitances as they are now."
    )


def _charge(
    c: Capacitor, outcome: Outcome, scene: Scene, said: tuple[list[str], str]
) -> Ask:
    lines, because = said
    speech, difference = scene.speech, scene.speech.terms.difference
    q = scene.name("Q", c.name)
    before, now = (abs(state.charges[c.name]) for state in (outcome.carried, outcome.after))
    if before == now:
        v = scene.name("V", c.name)
        voltage = abs(outcome.after.voltage(c.name))
        return Ask(
            "kept charge", "voltage",
            f"The charge of {c.name} is as before. What is its {difference} {v} now?",
            "\n".join(lines), because, name=v, dimension="voltage", right=voltage,
            hints=(f"Look at the charge of {c.name}, and at its capacitance now.",
                   f"What {difference} goes with that charge?", f"{v} = {q}/{c.name}"),
            facts={"kept": scene.usual(abs(outcome.before.voltage(c.name)), "voltage")},
            told={**scene.told, "name": c.name},
        )
    return Ask(
        "network charge", "charge",
        f"What charge {q} is on each plate of {c.name} now?",
        "\n".join(lines), because, name=q, dimension="charge", right=now,
        hints=(
            f"Look at the points {listed(sorted((c.start, c.end)))} of {c.name}, and at what else "
            "has a plate there.",
            "Which capacitors must carry one charge, and which share one "
            f"{difference}?",
            f"{q} = {c.name} × {scene.name('V', c.name)}",
        ),
        told={**scene.told, "name": c.name},
    )


# By charge balance at the points


def _by_balance(block: Block, outcome: Outcome, scene: Scene) -> Iterator[Ask]:
    level = levels(block, outcome.after)
    zero = block.reference(outcome.after.network.ends)
    fixed = {zero, *(outcome.after.network.ends if block.supplied else ())}
    unknown = [p for p in block.points if p not in fixed]
    for point in unknown[:MOST_POINTS]:
        yield _net(block, outcome, scene, point)
    equations = [_equation(block, outcome, scene, p, fixed) for p in unknown]
    for at, point in enumerate(unknown[:MOST_POINTS]):
        told = unknown[at:] if at + 1 == MOST_POINTS else [point]
        solved = [
            f"{_v(scene, p)} {scene.speech.result(level[p], 'voltage')}" for p in told
        ]
        lines = [*(equations if at == 0 else ()), *solved]
        yield _potential(point, level[point], scene, (lines, equations, zero))
    moved = [c for c in block.capacitors if c.name in outcome.moved]
    for at, c in enumerate(moved[:MOST_ASKED]):
        told_c = moved[at:] if at + 1 == MOST_ASKED else [c]
        lines = [_from_levels(each, outcome, scene, (level, zero)) for each in told_c]
        why = f"Its {scene.speech.terms.difference} is between {c.start} and {c.end}."
        yield _charge(c, outcome, scene, (lines, why))


def _v(scene: Scene, point: str) -> str:
    return scene.name("V", point=point) if has_name(point) else scene.name("V")


def _net(block: Block, outcome: Outcome, scene: Scene, point: str) -> Ask:
    plates = [
        (c.name, net_charge((c,), outcome.carried.charges, point))
        for c in block.capacitors if point in (c.start, c.end)
    ]
    total = sum((charge for _, charge in plates), Fraction(0))
    q = f"Q_{point}" if has_name(point) else scene.name("Q")
    terms = [charge for _, charge in plates if charge] or [Fraction(0)]
    return Ask(
        "island", "charge",
        f"What net charge {q}, with its sign, does the metal at {metal(outcome.carried, point)} "
        f"keep on its {counted(len(plates), 'plate')}?",
        f"{q} = {scene.added(terms, 'charge')} = {scene.signed(total, 'charge')}",
        f"Only plates touch the metal at {point}, so what they brought along stays there.",
        name=q, dimension="charge", right=total,
        hints=(
            f"Look at the plates on that metal: {listed(name for name, _ in plates)}.",
            "What charge was on each of these plates before, and with which sign?",
            f"{q} is the sum of these charges, each with its sign.",
        ),
        told={**scene.told, "point": point},
    )


def _equation(
    block: Block, outcome: Outcome, scene: Scene, point: str, fixed: set[str]
) -> str:
    """The balance at a point: C1 (V_P − 12 V) + C2 V_P = 30 µC."""
    terms = []
    supply = outcome.after.supply
    for c in block.capacitors:
        if point not in (c.start, c.end):
            continue
        other = c.end if c.start == point else c.start
        if other not in fixed:
            far = f"({_v(scene, point)} − {_v(scene, other)})"
        elif block.supplied and other == outcome.after.network.ends[0]:
            assert supply is not None, "a supplied block has a supply"
            far = f"({_v(scene, point)} − {scene.speech.amount(supply, 'voltage')})"
        else:
            far = _v(scene, point)
        terms.append(f"{c.name} × {far}")
    total = net_charge(block.capacitors, outcome.carried.charges, point)
    return f"{' + '.join(terms)} = {scene.signed(total, 'charge')}"


def _potential(
    point: str, right: Fraction, scene: Scene, said: tuple[list[str], list[str], str]
) -> Ask:
    lines, equations, zero = said
    v = _v(scene, point)
    return Ask(
        "balance", "voltage",
        f"Count potentials from {zero}. What is {v}, the potential at {point}?",
        "\n".join(lines),
        f"At {point} the charges of the plates add to what that metal keeps.",
        name=v, dimension="voltage", right=right,
        hints=(
            f"Which capacitors have a plate at {point}, and to which points do they lead?",
            f"The charges of all plates at {point} add to what that metal keeps. What does that "
            "say about its potential?",
            "; ".join(equations),
        ),
        told={**scene.told, "point": point},
    )


def _from_levels(
    c: Capacitor, outcome: Outcome, scene: Scene, seen: tuple[dict[str, Fraction], str]
) -> str:
    level, _ = seen
    high, low = sorted((level[c.start], level[c.end]), reverse=True)
    speech = scene.speech
    return (
        f"{scene.name('Q', c.name)} = {c.name} × ({scene.signed(high, 'voltage')} − "
        f"{_in_brackets(scene.signed(low, 'voltage'))}) "
        f"{speech.result(abs(outcome.after.charges[c.name]), 'charge')}"
    )


def _in_brackets(text: str) -> str:
    return f"({text})" if text.startswith("−") else text
