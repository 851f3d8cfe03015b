"""Tasks made to order, looked at once more.

The guarantees are worked out here anew from the malrules alone: which numbers agree by algebra is
seen by a table of pairs, not by other values as the makers see it. The solution of
every network is compared with the nodal method.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import combinations
from typing import NamedTuple, TypeAlias

import networkx as nx

from grammar.reading import read_network
from grammar.records import Description
from tests import nodal
from tests.strategies import as_drawn
from tutor.circuit.network import Network, build
from tutor.practice.making_needs import NEEDS, STORIES, TaskOrder, arithmetic_of, is_story
from tutor.practice.shapes import EXTRAS, SHAPES
from tutor.practice.tasks import Task, make, relabelled, variant
from tutor.teaching import exchange
from tutor.teaching.exchange import begin
from tutor.teaching.problem_questions import questions_of, to_the_end
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import context_on, route_of
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Story
from tutor.teaching.walk import Walk

SLIPS = ("copies-a-neighbours-value", "rounds-early")
WITH_EXTRAS = (
    *(f"a parallel set in a chain with {extra}" for extra in EXTRAS),
    *(f"a chain in a parallel set with {extra}" for extra in EXTRAS),
    *(f"two side by side with {extra}" for extra in EXTRAS),
    "a chain of three with a dead end and a bypassed capacitor",
)
EVERY_SHAPE = (*SHAPES, *WITH_EXTRAS, *STORIES)
EVERY_SKILL = tuple(NEEDS)


class Numbers(NamedTuple):
    """What is right at a question, what each wrong rule gives, with its remedy, how many parts
    stand in the step, and whether the one asked about touches an end of the network.
    """

    right: Fraction
    wrong: tuple[tuple[str, str, Fraction], ...]
    parts: int = 0
    at_end: bool = False


Named: TypeAlias = tuple[str, Numbers]


def order_for(shape: str, seed: int) -> TaskOrder:
    """The order of a seed for a shape or a skill; the sorts of numbers that a shape can have take
    turns.
    """
    if shape in NEEDS:
        return TaskOrder(shape, seed=seed)
    sorts = arithmetic_of(shape)
    return TaskOrder(shape=shape, arithmetic=sorts[seed % len(sorts)], seed=seed)


# What is asked, and what the rules give there


def numbers_of(task: Task) -> list[Named]:
    """For each question for a value what is right and what every malrule of it gives."""
    description = read_network(task.text)
    story = story_of(description, DEFAULTS)
    if story is not None:
        return list(_of_story(story))
    walk, stories = to_the_end(build(description))
    return [*(each for told in stories for each in _of_story(told)), *_of_walk(walk)]


def _of_walk(walk: Walk) -> Iterator[Named]:
    for quantity in questions_of(walk):
        scene = context_on(walk, quantity)
        if scene is not None:
            wrong = tuple(
                (rule.name, rule.remedy, number)
                for rule in CATALOGUE
                if rule.fits(scene) and rule.name not in SLIPS
                for number in rule.numbers(scene)
                if number is not None
            )
            part = route_of(walk).capacitor(quantity.of)
            at_end = part is not None and bool(part.points & {*walk.problem.network.ends})
            yield quantity.name, Numbers(scene.right, wrong, len(scene.parts), at_end)


def _of_story(story: Story) -> Iterator[Named]:
    for ask in story.asks:
        context = context_of_ask(ask, story.powers)
        if context is not None:
            wrong = tuple(
                (rule.name, rule.remedy, number)
                for rule in CATALOGUE
                if rule.fits(context) and rule.name not in SLIPS
                for number in rule.numbers(context)
                if number is not None
            )
            yield ask.name or ask.key, Numbers(context.right, wrong, len(context.parts))


# The guarantees

# Pairs of malrules with different remedies that give one number by algebra, in some place or in
# all: there they are told apart by asking, and no choice of values parts them.
ONE_BY_ALGEBRA = frozenset(frozenset(pair) for pair in (
    ("adds-a-series-pair", "adds-fractions-keeping-one-on-top"),  # both the sum
    ("adds-fractions-top-and-bottom", "takes-the-average"),  # both the sum over the number
    ("adds-charges-along-a-chain", "counts-both-plates"),  # a chain of two: twice the charge
    ("pd-in-proportion-to-capacitance", "potential-for-pd"),  # a chain of two: the other p.d.
    ("full-supply-pd-on-each", "whole-equivalent-for-a-part"),  # all charge over C: the supply
    ("supply-pd-on-an-inner-block", "whole-equivalent-for-a-part"),
    ("all-the-charge-on-each-branch", "whole-equivalent-for-a-part"),  # C times all the p.d.
    ("blocks-charge-on-each-branch", "whole-equivalent-for-a-part"),
    ("total-charge-on-a-branch", "whole-equivalent-for-a-part"),
    ("hangs-the-equivalent-on-wrong-points", "reciprocal-rule-on-parallel"),  # one with the rest
    ("hangs-the-equivalent-on-wrong-points", "leaves-a-branch-out"),
    ("full-supply-pd-on-each", "potential-for-pd"),  # a set's level is the p.d. of a branch
    ("leaves-a-branch-out", "misses-that-a-wire-makes-one-point"),  # a branch behind the wire
    ("hangs-the-equivalent-on-wrong-points", "misses-that-a-wire-makes-one-point"),
    ("keeps-the-pd", "supply-off-keeps-the-pd"),
))
ONLY_OF_TWO = frozenset(frozenset(pair) for pair in (
    ("pd-in-proportion-to-capacitance", "potential-for-pd"),
    ("hangs-the-equivalent-on-wrong-points", "reciprocal-rule-on-parallel"),
))
# Where every branch is a chain, leaving one out may always leave the largest.
ONLY_OF_CHAINS = frozenset(("hangs-the-equivalent-on-wrong-points", "largest-only"))
ALL_CHAINS = ("two chains side by side", "a balanced bridge")
# Malrules that are right in some places whatever the values: the sum of capacitances where all are
# side by side, and charges subtracted of which one is nought. The level of a point is the p.d. of
# what joins it to an end.
RIGHT_BY_ALGEBRA = frozenset({
    "energy-in-proportion-to-capacitance", "energy-with-the-sum-of-capacitances",
    "subtracts-like-charges",
})


def unclear(asked: Iterable[Named], shape: str) -> list[str]:
    """The questions where a wrong number is within 5 % of what is right, or within 2 % of one that
    needs other help, but for what is so by algebra.
    """
    return sorted(name for name, found in asked if _is_unclear(found, shape))


def _is_unclear(found: Numbers, shape: str) -> bool:
    right = found.right
    wrong = [
        (name, remedy, number) for name, remedy, number in found.wrong
        if not (number == right and _is_right(name, found))
    ]
    if any(abs(number - right) <= abs(right) / 20 for _, _, number in wrong):
        return True
    return any(
        a[1] != b[1] and _near(a[2], b[2])
        and not (a[2] == b[2] and _agree(frozenset((a[0], b[0])), found.parts, shape))
        for a, b in combinations(wrong, 2)
    )


def _is_right(name: str, found: Numbers) -> bool:
    """Whether a malrule gives what is right there by algebra."""
    if name == "potential-for-pd":
        return found.at_end
    return name in RIGHT_BY_ALGEBRA or found.right == 0


def _agree(pair: frozenset[str], parts: int, shape: str) -> bool:
    """Whether two malrules give one number there by algebra."""
    if pair == ONLY_OF_CHAINS:
        return shape in ALL_CHAINS
    return pair in ONE_BY_ALGEBRA and (pair not in ONLY_OF_TWO or parts == 2)


def _near(one: Fraction, other: Fraction) -> bool:
    return one == other or abs(one - other) < max(abs(one), abs(other)) / 50


def complaints(task: Task) -> Iterator[str]:
    """All that is wrong with a task, in words."""
    description = read_network(task.text)
    if not is_opened(description):
        yield "the dialogue does not begin with a question"
    asked, shape = numbers_of(task), task.order.shape or ""
    if (found := unclear(asked, shape)) != sorted(task.not_diagnostic):
        yield f"not diagnostic are {found}, not {sorted(task.not_diagnostic)}"
    of_skill = [
        name for name, numbers in asked
        if name in task.not_diagnostic and task.order.skill in _skills_at(numbers)
    ]
    if of_skill:
        yield f"not diagnostic where the ordered skill is at work: {of_skill}"
    yield from _of_values(task, [numbers.right for _, numbers in asked])
    if not is_story(shape):
        yield from _of_network(description)


def _skills_at(numbers: Numbers) -> set[str]:
    """The skills of the malrules that may be met at a question."""
    met = {name for name, _, _ in numbers.wrong}
    skills = [rule.skill for rule in CATALOGUE if rule.name in met]
    return {part for skill in skills for part in skill.split("+")}


def complaints_of_kin(task: Task) -> Iterator[str]:
    """All that is wrong with what is made from the same order, with its twin, and with the same
    network under other names.
    """
    if make(task.order) != task:
        yield "its order makes another task"
    twin, other = variant(task, task.order.seed + 10**6), relabelled(task, task.order.seed)
    if twin.text == task.text or list(complaints(twin)):
        yield f"its twin is no good: {list(complaints(twin))}"
    if (twin.skills, twin.order.arithmetic) != (task.skills, task.order.arithmetic):
        yield "its twin practises something else"
    names = [[name for name, _ in numbers_of(each)] for each in (task, twin)]
    if names[0] != names[1]:
        yield f"its twin asks {names[1]}, not {names[0]}"
    if other.text == task.text:
        yield "under other names it is the same text"
    if is_story(task.order.shape or ""):
        rights = [sorted(n.right for _, n in numbers_of(each)) for each in (task, other)]
        if rights[0] != rights[1]:
            yield "under other names it has other answers"
        return
    if steps_of(twin) != steps_of(task):
        yield "its twin has other steps"
    if not alike(build(read_network(task.text)).network, build(read_network(other.text)).network):
        yield "under other names it is another network"


def is_opened(description: Description) -> bool:
    """Whether the dialogue opens it with a question."""
    story = story_of(description, DEFAULTS)
    said = exchange.begin_story(story).messages if story else begin(build(description)).messages
    return said[-1].kind == "ask"


def steps_of(task: Task) -> list[tuple[str, int]]:
    """The kinds of steps of the tutor's own way, and of how many parts."""
    walk, _ = to_the_end(build(read_network(task.text)))
    return [(step.kind, len(step.parts)) for step in walk.plan]


def _of_values(task: Task, numbers: list[Fraction]) -> Iterator[str]:
    whole = [number.denominator == 1 for number in numbers]
    if task.order.arithmetic == "whole" and not all(whole):
        yield "not all answers are whole"
    short = [10**3 % number.denominator == 0 for number in numbers]
    if task.order.arithmetic == "terminating" and (not all(short) or all(whole)):
        yield "not all answers are short decimals, or all are whole"
    if task.order.arithmetic == "three figures" and all(map(_is_plain, numbers)):
        yield "no answer needs three figures"


def _is_plain(number: Fraction) -> bool:
    """Whether two figures say all of it."""
    return len(str((number * 10**9).numerator).rstrip("0")) < 3 and 10**9 % number.denominator == 0


def _of_network(description: Description) -> Iterator[str]:
    problem = build(description)
    values = [c.value for c in problem.network.capacitors]
    if len(set(values)) < len(values):
        yield "two capacitors are equal"
    supply = problem.supply
    if supply is not None and supply.value == 1:
        yield "the supply is one volt"
    walk, _ = to_the_end(problem)
    if len(values) > 1 and walk.truth[Quantity("C")] == Fraction(1, 10**6):
        yield "the whole is one microfarad"
    yield from _against_nodal(walk, description)


def _against_nodal(walk: Walk, description: Description) -> Iterator[str]:
    drawn, supply = as_drawn(description), walk.problem.supply
    voltage = Fraction(supply.value) if supply is not None else None
    outcome = nodal.solve(drawn.edges, drawn.wires, drawn.ends, voltage=voltage)
    if outcome.capacitance != walk.truth[Quantity("C")]:
        yield "the nodal method finds another capacitance"
    for name, reading in outcome.capacitors.items() if supply is not None else ():
        found = (walk.truth[Quantity("V", name)], walk.truth[Quantity("Q", name)])
        if found != (abs(reading.voltage), abs(reading.charge)):
            yield f"the nodal method finds other values for {name}"


def alike(one: Network, other: Network) -> bool:
    """Whether two networks are the same up to names, and to which end comes first."""
    return bool(nx.is_isomorphic(
        _graph(one), _graph(other),
        node_match=lambda a, b: a == b,
        edge_match=lambda a, b: sorted(a["values"]) == sorted(b["values"]),
    ))


def _graph(network: Network) -> nx.Graph:
    """A graph of points; the values between two points are what marks the edge."""
    graph = nx.Graph()
    for point in network.points():
        graph.add_node(point, end=point in network.ends)
    for c in network.capacitors:
        held = (graph.get_edge_data(c.start, c.end) or {}).get("values", ())
        graph.add_edge(c.start, c.end, values=(*held, c.value))
    return graph
