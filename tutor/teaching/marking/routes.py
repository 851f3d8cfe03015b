"""The learner's own way through a network: groups as named, as numbered, in any valid order."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import islice, product
from typing import Final, NamedTuple

from tutor.circuit.beyond import merge_step, work_out
from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import BEYOND, Choice, Fault, Step, after, carry_out, examine
from tutor.circuit.values import Value, in_letters, same
from tutor.teaching.claims import names_now
from tutor.teaching.once import once
from tutor.teaching.quantities import Quantity
from tutor.teaching.walk import Walk, look_ahead

MOST_TRIED = 64
LARGEST_GROUP = 8


# Names of the pupil's own for whatever they combine, not of the whole.
OF_PARTS: Final = ("Cs", "Cp", "Cser", "Cpar", "Cseries", "Cparallel", "Cnew")


class Group(NamedTuple):
    """Capacitors that a learner combines: ``judged`` says how, or why that is no group."""

    names: tuple[str, ...]
    judged: Choice | Fault


@once
def names_met(walk: Walk) -> Mapping[str, Quantity]:
    """Every way to write a quantity that means one thing in working, which has several in
    series.
    """
    return {name: q for name, q in names_now(walk).items() if name not in OF_PARTS}


def without_idle(walk: Walk) -> Walk:
    """The walk with what holds no charge taken off, as the tutor does first."""
    taken = walk
    for step in walk.plan:
        if step.makes is None and len(taken.network.capacitors) > 1:
            taken = _take(taken, step)
    return walk if taken is walk else look_ahead(taken)


def past_levels(walk: Walk) -> Walk:
    """Past the points at one potential, where series and parallel stick on nothing else."""
    if walk.whole is not None:
        return walk
    steps = work_out(walk.network, {c.name for c in walk.problem.network.capacitors}).steps
    beyond = [at for at, step in enumerate(steps) if step.kind in BEYOND]
    if any(step.kind == "balance" for step in steps) or not beyond:
        return walk
    for step in steps[: beyond[-1] + 1]:
        walk = _take(walk, step)
    return look_ahead(walk)


def with_levels_joined(walk: Walk) -> Network | None:
    """The network of the text with points that are at one potential made one, as a pupil may
    do who leaves out nothing; None where there are none.
    """
    levels = [step.level for step in walk.steps if step.kind == "equal" and step.level]
    network = walk.problem.network
    for level in levels:
        network = after(network, merge_step(level))
    return network if levels else None


def follow(walk: Walk, choice: Choice) -> tuple[Walk, str | None]:
    """Carry out a group the learner chose; the walk, and the name of what it makes."""
    made = {c.name for c in walk.problem.network.capacitors} | walk.made
    step = carry_out(walk.network, choice, made)
    name = step.makes.name if step.makes else None
    return look_ahead(_take(walk, step)), name


def reach(walk: Walk, name: str) -> Walk:
    """Take the steps of the plan that lead to the capacitor of this name."""
    wanted = {name}
    needed: list[Step] = []
    for step in reversed(walk.plan[len(walk.steps) :]):
        if step.makes and step.makes.name in wanted:
            wanted |= {c.name for c in step.parts}
            needed.append(step)
    for step in reversed(needed):
        if all(c in walk.network.capacitors for c in step.parts):
            walk = _take(walk, step)
    return look_ahead(walk) if needed else walk


def _take(walk: Walk, step: Step) -> Walk:
    return walk._replace(network=after(walk.network, step), steps=(*walk.steps, step))


def members_of(walk: Walk, name: str) -> Group | None:
    """The group that a name such as C23 or C_32 stands for; a valid one before any other."""
    digits = name[1:].replace("_", "").rstrip("'")
    letter = name[:1]
    present = [c.name for c in walk.network.capacitors if c.name[:1] == letter]
    numbers = {n[1:].rstrip("'"): n for n in present if n[1:].rstrip("'").isdigit()}
    first_fault: Group | None = None
    for names in islice(_cuts(digits, numbers), MOST_TRIED):
        judged = examine(walk.network, names)
        if isinstance(judged, Choice) and judged.kind != "removal":
            return Group(names, judged)
        if isinstance(judged, Fault) and first_fault is None:
            first_fault = Group(names, judged)
    return first_fault or _idle_among(walk, digits)


def _cuts(digits: str, numbers: dict[str, str]) -> Iterator[tuple[str, ...]]:
    """The ways to read digits as two or more different numbers in a row."""
    waiting: list[tuple[int, tuple[str, ...]]] = [(0, ())]
    while waiting:
        start, group = waiting.pop()
        if start == len(digits):
            if len(group) > 1:
                yield group
            continue
        for end in range(start + 1, len(digits) + 1):
            found = numbers.get(digits[start:end])
            if found is not None and found not in group:
                waiting.append((end, (*group, found)))


def _idle_among(walk: Walk, digits: str) -> Group | None:
    """A fault where the name takes in capacitors that hold no charge."""
    given = {c.name[1:]: c.name for c in walk.problem.network.capacitors if c.name[1:].isdigit()}
    names = next(_cuts(digits, given), None)
    judged = examine(walk.problem.network, names) if names else None
    if names and isinstance(judged, Fault) and judged.kind == "idle":
        return Group(names, judged)
    return None


def group_named(walk: Walk, names: Collection[str]) -> Group | None:
    """These capacitors as a group, if all of them are still there."""
    present = {c.name for c in walk.network.capacitors}
    if len(set(names)) < 2 or not set(names) <= present:
        return None
    judged = examine(walk.network, names)
    if isinstance(judged, Choice) and judged.kind == "removal":
        return None
    return Group(tuple(c.name for c in walk.network.named(names)), judged)


def groups_with(walk: Walk, numbers: list[Fraction], own: dict[str, Value]) -> Iterator[Group]:
    """The groups, and those that are none, whose members have these numbers (in the usual unit)."""
    scale = Fraction(10) ** walk.problem.powers["capacitance"]
    yield from groups_worth(walk, [number * scale for number in numbers], own)


def groups_worth(walk: Walk, values: Sequence[Value], own: dict[str, Value]) -> Iterator[Group]:
    """The groups, and those that are none, whose members have these values, in farads."""
    if not 2 <= len(values) <= LARGEST_GROUP:
        return
    at: list[list[Capacitor]] = [
        [c for c in walk.network.capacitors if _is(own.get(c.name), value)] for value in values
    ]
    tried = islice(product(*at), MOST_TRIED)
    for group in {frozenset(c.name for c in cs): None for cs in tried if len(set(cs)) == len(cs)}:
        judged = examine(walk.network, group)
        if isinstance(judged, Fault) or judged.kind != "removal":
            yield Group(tuple(sorted(group)), judged)


def group_valued(
    walk: Walk, values: Sequence[Value], own: dict[str, Value], reached: list[Value]
) -> Choice | None:
    """The valid group whose members have these values and whose equivalent is among those
    ``reached``.
    """
    for _, judged in groups_worth(walk, values, own):
        if isinstance(judged, Choice):
            makes = JOININGS[judged.kind].equivalent([own[name] for name in judged.names])
            if any(same(makes, value) for value in reached):
                return judged
    return None


def _is(value: Value | None, other: Value) -> bool:
    return value is not None and in_letters(value) == in_letters(other) and same(value, other)


def name_of_group(walk: Walk, choice: Choice) -> str | None:
    """The name a group has already in the plan of the walk."""
    members = set(choice.names)
    return next(
        (s.makes.name for s in walk.plan if s.makes and {c.name for c in s.parts} == members), None
    )
