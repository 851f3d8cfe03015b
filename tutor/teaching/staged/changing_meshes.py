"""A block of which only two points hold a charge of their own: worked as one capacitor."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from grammar.records import Dimension
from tutor.circuit.islands import Block, levels, net_charge
from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Capacitor, Network, Supply
from tutor.circuit.relations import of_step, taken_up
from tutor.circuit.solving import Solution, solve
from tutor.circuit.switching import Switched
from tutor.circuit.values import Value, add_up, decided, in_letters, same, size_of, tidy
from tutor.teaching.quantities import DIMENSION
from tutor.teaching.reasons import because, working_line
from tutor.teaching.speech import counted, listed
from tutor.teaching.staged.by_law import ByLaw
from tutor.teaching.staged.changing_scene import MOST_ASKED, Scene, has_name, metal, of, signed_sum
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
    lines = []
    for step, part, made in reversed([*taken_up(worked.solution.steps, name)]):
        joining = JOININGS[step.kind]
        law = _law(part, worked, scene, joining.added)
        passed = scene.speech.shown(law.values[joining.shared], joining.shared).after_equals
        source = scene.name(joining.shares, made.name)
        own = f"{law.in_names} {law.result}"
        lines.append(f"{law.names[joining.shared]} = {source} {passed}, so {own}")
    return lines


def _why(name: str, worked: Worked, scene: Scene) -> str:
    """What it shares, and which points make it so: the step that took it up."""
    step = next((step for step, *_ in taken_up(worked.solution.steps, name)), None)
    told = f"{name} lies between points at one potential."
    return told if step is None else because(step, scene.speech)


def _way(name: str, worked: Worked, scene: Scene) -> Way:
    """The charge of a capacitor in one relation: what the whole takes up, then its share of it."""
    solution, supply = worked.solution, worked.supply
    assert solution.whole is not None, "only what has been reduced is worked out so"
    made = {c.name: c.name for c in solution.network.capacitors}
    for step in solution.steps:
        if step.makes is not None:
            made[step.makes.name] = f"({next(of_step(step)).text(lambda fact: made[fact.of])})"
    share, at = "", name
    for step, part, whole in taken_up(solution.steps, name):
        share += f" × {made[part.name]}/{made[whole.name]}" if step.kind == "parallel" else ""
        at = whole.name
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


# A block with charges of its own inside: charge balance at its points, each with its island


MOST_POINTS = 3


def balanced_asks(block: Block, outcome: Switched, scene: Scene) -> Iterator[Ask]:
    """What each island keeps, then its potential, then the charges that follow."""
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
        if len(unknown) == 1:
            lines.insert(1, _weighed(block, outcome, scene, point))
        yield _potential(point, level[point], scene, (lines, equations, zero))._replace(
            ways=(_balance(block, outcome, scene, (point, zero)),)
        )
    moved = [c for c in block.capacitors if c.name in outcome.moved]
    for at, c in enumerate(moved[:MOST_ASKED]):
        told_c = moved[at:] if at + 1 == MOST_ASKED else [c]
        lines = [_from_levels(each, outcome, scene, (level, zero)) for each in told_c]
        why = f"Its {scene.speech.terms.difference} is between {c.start} and {c.end}."
        way = _between(c, scene, level, (zero, *_supply_end(block, outcome)))
        yield charge_ask(c, outcome, scene, (lines, why), way)


def _supply_end(block: Block, outcome: Switched) -> tuple[str, ...]:
    return (outcome.after.network.ends[0],) if block.supplied else ()


def _balance(block: Block, outcome: Switched, scene: Scene, at: tuple[str, str]) -> Way:
    """The potential of a point from those of its neighbours, and from what its metal keeps."""
    (point, zero), level = at, levels(block, outcome.after)
    total = net_charge(block.capacitors, outcome.carried.charges, point)
    uses: dict[str, Valued] = {}
    pulls: list[str] = []
    around = [c for c in block.capacitors if point in (c.start, c.end) and c.start != c.end]
    for c in around:
        other = c.end if c.start == point else c.start
        uses[c.name] = (c.value, "capacitance")
        if other != zero:
            name = _level_name(scene, other, _supply_end(block, outcome))
            uses[name] = (level[other], "voltage")
            pulls.append(f"{c.name} × {name}")
    if total:
        q = f"Q_{point}" if has_name(point) else scene.name("Q")
        uses[q] = (total, "charge")
        pulls.append(q)
    return Way(f"({' + '.join(pulls) or '0'})/({of(around)})", uses)


def _level_name(scene: Scene, point: str, supplied: tuple[str, ...]) -> str:
    """The + end of the supply has its p.d. above the other end."""
    return scene.name("V") if point in supplied else _v(scene, point)


def _between(
    c: Capacitor, scene: Scene, level: Mapping[str, Fraction], known: tuple[str, ...]
) -> Way:
    """Q = C (V_P − V_Q), a point at nought left out; ``known`` are that point and the + end."""
    zero, *supplied = known
    names = {p: _level_name(scene, p, tuple(supplied)) for p in (c.start, c.end) if p != zero}
    uses: dict[str, Valued] = {c.name: (c.value, "capacitance")}
    uses |= {name: (level[p], "voltage") for p, name in names.items()}
    return Way(f"{c.name} × ({' − '.join(names.values()) or '0'})", uses, "size")


def _v(scene: Scene, point: str) -> str:
    return scene.name("V", point=point) if has_name(point) else scene.name("V")


def _net(block: Block, outcome: Switched, scene: Scene, point: str) -> Ask:
    plates = [
        (c.name, net_charge((c,), outcome.carried.charges, point))
        for c in block.capacitors if point in (c.start, c.end)
    ]
    total = add_up([Fraction(0), *(charge for _, charge in plates)])
    q = f"Q_{point}" if has_name(point) else scene.name("Q")
    terms = [charge for _, charge in plates if charge] or [Fraction(0)]
    shown = (scene.speech.shown(size_of(each), "charge") for each in (*terms, total))
    equals = scene.speech.equals(*shown)
    charged = [name for name, charge in plates if charge]
    signed = scene.signed(total, "charge")
    if len(charged) > 1:
        reveal = f"{q} = {scene.added(terms, 'charge')} {equals} {signed}"
    else:
        alone = f"all of it on {charged[0]}" if charged else "since none of them holds any"
        reveal = f"{q} = {signed}, {alone}"
    return Ask(
        "island", "charge",
        f"What net charge {q}, with its sign, does the metal at {metal(outcome.carried, point)} "
        f"keep on its {counted(len(plates), 'plate')}?",
        reveal,
        f"Only plates touch the metal at {point}, so what they brought along stays there.",
        name=q, dimension="charge", right=total,
        hints=(
            f"Look at the plates on that metal: {listed(name for name, _ in plates)}.",
            "What charge was on each of these plates before, and with which sign?",
            f"{q} is the sum of these charges, each with its sign.",
        ),
        told={**scene.told, "point": point},
        ways=(Way(
            signed_sum([(scene.name("Q", name), charge) for name, charge in plates if charge]),
            {
                scene.name("Q", name): (size_of(charge), "charge")
                for name, charge in plates if charge
            },
            worked=tuple(scene.name("Q", name) for name, _ in plates),
        ),),
    )


def _equation(
    block: Block, outcome: Switched, scene: Scene, point: str, fixed: set[str]
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


def _weighed(block: Block, outcome: Switched, scene: Scene, point: str) -> str:
    """The one balance turned over: V_P = (30 µC + C1 × 12 V)/(C1 + C2)."""
    supply, plus = outcome.after.supply, outcome.after.network.ends[0]
    around = [c for c in block.capacitors if point in (c.start, c.end)]
    total = net_charge(block.capacitors, outcome.carried.charges, point)
    tops = [scene.signed(total, "charge")] if total else []
    for c in around:
        if block.supplied and supply is not None and plus in (c.start, c.end):
            tops.append(f"{c.name} × {scene.speech.amount(supply, 'voltage')}")
    return f"{_v(scene, point)} = ({' + '.join(tops) or '0'})/({of(around)})"


def _potential(
    point: str, right: Value, scene: Scene, said: tuple[list[str], list[str], str]
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
    c: Capacitor, outcome: Switched, scene: Scene, seen: tuple[dict[str, Value], str]
) -> str:
    level, _ = seen
    high, low = level[c.start], level[c.end]
    if decided(tidy(high - low)) < 0:
        high, low = low, high
    speech, charge = scene.speech, size_of(outcome.after.charges[c.name])
    return (
        f"{scene.name('Q', c.name)} = {c.name} × ({scene.signed(high, 'voltage')} − "
        f"{_in_brackets(scene.signed(low, 'voltage'))}) "
        f"{speech.result(charge, 'charge', (high, 'voltage'), (low, 'voltage'))}"
    )


def _in_brackets(text: str) -> str:
    return f"({text})" if text.startswith("−") else text


# The question about one capacitor in a network: its charge now, or its p.d. if that stayed.


def charge_ask(
    c: Capacitor, outcome: Switched, scene: Scene, said: tuple[list[str], str], way: Way
) -> Ask:
    """``said`` are the lines of the worked answer and why it is so; ``way`` leads to the charge."""
    lines, why = said
    difference, told = scene.speech.terms.difference, {**scene.told, "name": c.name}
    before, now = (size_of(state.charges[c.name]) for state in (outcome.carried, outcome.after))
    law = scene.law("voltage" if same(before, now) else "charge", c, outcome.after)
    if same(before, now):
        kept = scene.usual(size_of(outcome.before.voltage(c.name)), "voltage")
        ask = law.ask(
            "kept charge",
            f"The charge of {c.name} is as before. What is its {difference} {law.names['voltage']} "
            "now?",
            why, f"Look at the charge of {c.name}, and at its capacitance now.",
            f"What {difference} goes with that charge?",
        )
        ways = law.ways(law.names["charge"])
        return ask._replace(reveal="\n".join(lines), facts={"kept": kept}, told=told, ways=ways)
    ask = law.ask(
        "network charge", f"What charge {law.names['charge']} does {c.name} hold now?", why,
        f"Look at the points {listed(sorted((c.start, c.end)))} of {c.name}, and at what else has "
        "a plate there.",
        f"Which capacitors must carry one charge, and which share one {difference}?",
    )
    return ask._replace(reveal="\n".join(lines), told=told, ways=(way,))
