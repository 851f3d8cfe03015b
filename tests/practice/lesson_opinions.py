"""A second opinion on every sort of task in a lesson: nothing of it comes from what is checked.

Networks by the nodal method (tests/nodal.py), changes by charges on pieces of metal
(tests/bench.py). Plates by C = ε0 k A/d, layer by layer, with ε0 = 8.8541878128e-12 F/m (CODATA
2018), which is within one part in 10^9 of the value from 2022.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from grammar.outline import leaves
from grammar.records import Amount, Chain, Change, Description, Parallel, Part, Plates, Unknown
from grammar.records import Element as Written
from tests import nodal
from tests.bench import Bench
from tests.circuit.test_switching import do
from tests.strategies import as_drawn
from tests.teaching.talking import oracle_of
from tutor.circuit.network import Problem, build
from tutor.teaching.quantities import Quantity
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.story import Story
from tutor.teaching.walk import begin_walk

F = Fraction
EPSILON = F("8.8541878128e-12")
CLOSE = F(1, 10**6)
SECTIONS = 24  # of a ladder: what is left out counts for less with each


def agrees_on_a_walk(problem: Problem) -> int:
    """Compare every value of a walk in numbers; how many were compared."""
    walk = begin_walk(problem, DEFAULTS)
    steps = () if any(step.shares for step in walk.plan) else walk.plan
    values = oracle_of(walk._replace(steps=steps)).values
    compared = [q for q in walk.truth if q in values]
    for quantity in compared:
        assert walk.truth[quantity] == values[quantity], quantity
    assert Quantity("C") in compared
    return len(compared)


def agrees_on_a_story(description: Description, story: Story) -> int:
    """Compare the results of a problem in stages; how many were compared."""
    if description.changes:
        return _changes(description, story)
    if description.bank is not None:
        return _bank(description, story)
    if description.ladder is not None:
        return _ladder(description, story)
    parts = _parts(description)
    if any(isinstance(c.worth, Unknown) for c in parts):
        return _missing(description, story)
    if any(isinstance(c.worth, Plates) for c in parts):
        (plates,) = (c.worth for c in parts if isinstance(c.worth, Plates))
        return _near(_value(story, "C"), capacitance(plates))
    assert any(c.rating for c in parts), "no other problem goes in stages"
    return _ratings(description, story)


def _parts(description: Description) -> list[Written]:
    if description.nest is not None:
        return [*leaves(description.nest)]
    return [join.capacitor for join in description.joins]


def _value(story: Story, name: str) -> Fraction:
    return F(story.results[name][0])  # type: ignore[arg-type]


def _near(one: Fraction, other: Fraction) -> int:
    assert abs(one - other) <= CLOSE * abs(other), (one, other)
    return 1


def _with(description: Description, worths: Mapping[str, Fraction]) -> Description:
    """The description with these capacitances in the place of what it says."""

    def put(part: Part) -> Part:
        if isinstance(part, Chain | Parallel):
            return part._replace(members=tuple(put(member) for member in part.members))
        new = worths.get(part.name)
        return part if new is None else part._replace(worth=Amount(new))

    nest = None if description.nest is None else put(description.nest)
    joins = tuple(j._replace(capacitor=put(j.capacitor)) for j in description.joins)
    return description._replace(nest=nest, joins=joins)


# Plates


def capacitance(plates: Plates) -> Fraction:
    """By C = ε0 A / (sum of d/k), or with the shares of the area side by side."""
    gap = plates.gap - plates.metal
    if plates.beside:
        mean = sum((layer.permittivity * (layer.share or 0) for layer in plates.beside), F(0))
        return EPSILON * plates.area * mean / gap
    lengths = sum(((layer.thickness or 0) / layer.permittivity for layer in plates.layers), F(0))
    return EPSILON * plates.area / (lengths or gap)


# Changes


def _changes(description: Description, story: Story) -> int:
    bench, inside = _bench(description)
    compared = _state(0, bench, story)
    gaps = {c.name: c.worth.gap for c in _parts(description) if isinstance(c.worth, Plates)}
    for stage, change in enumerate(description.changes, start=1):
        do(bench, _as_ratio(change, gaps), inside)
        bench.settle()
        compared += _state(stage, bench, story)
    return compared


def _bench(description: Description) -> tuple[Bench, dict[str, Fraction]]:
    """The capacitors at rest before any change, and how each is filled."""
    written = {c.name: c for c in _parts(description)}
    lines: dict[str, list[object]] = {}
    inside: dict[str, Fraction] = {}
    sized = {n: capacitance(c.worth) for n, c in written.items() if isinstance(c.worth, Plates)}
    for c in build(_with(description, sized)).network.capacitors:
        size, start = F(c.value), written[c.name].start  # type: ignore[arg-type]
        charge = F(0)
        if start is not None:
            assert isinstance(start.worth, Amount)
            charge = start.worth.value * (size if start.quantity == "voltage" else 1)
        lines[c.name] = [size, c.start, c.end, charge]
        worth = written[c.name].worth
        if isinstance(worth, Plates) and worth.layers:
            inside[c.name] = worth.layers[0].permittivity
    bench = Bench(lines, description.ends)
    supply = description.supply
    if supply is not None:
        assert supply.quantity == "voltage"
        assert isinstance(supply.worth, Amount)
        bench.supply = supply.worth.value
    bench.settle()
    return bench, inside


def _as_ratio(change: Change, gaps: dict[str, Fraction]) -> Change:
    """A new gap in metres as so many times the old one."""
    if change.kind != "gap" or not isinstance(change.amount, Amount):
        return change
    old, gaps[change.names[0]] = gaps[change.names[0]], change.amount.value
    return change._replace(amount=change.amount.value / old)


def _state(stage: int, bench: Bench, story: Story) -> int:
    compared = 0
    for name, (_, _, _, charge) in bench.capacitors.items():
        compared += _near(_value(story, f"{stage}: charge of {name}"), abs(charge))
    return compared + _near(_value(story, f"{stage}: stored energy"), bench.energy())


# Others


def _missing(description: Description, story: Story) -> int:
    """With what was found in its place, everything given comes out."""
    names = [c.name for c in _parts(description) if isinstance(c.worth, Unknown)]
    drawn = as_drawn(_with(description, {name: _value(story, name) for name in names}))
    supply = description.supply
    outcome = nodal.solve(*drawn)
    if supply is not None:
        assert isinstance(supply.worth, Amount)
        outcome = nodal.solve(*drawn, **{supply.quantity: supply.worth.value})
    for given in description.givens:
        holder = outcome if given.of is None else outcome.capacitors[given.of]
        _near(abs(getattr(holder, given.quantity)), given.worth.value)
    return len(description.givens)


def _ratings(description: Description, story: Story) -> int:
    """At the greatest supply one capacitor has its rating, and none has more."""
    greatest = _value(story, "greatest")
    outcome = nodal.solve(*as_drawn(description), voltage=greatest)
    parts = [
        abs(outcome.capacitors[c.name].voltage) / c.rating.value
        for c in _parts(description) if c.rating is not None
    ]
    assert max(parts) == 1
    return len(parts)


def _bank(description: Description, story: Story) -> int:
    """Not one capacitor fewer in a chain, nor one chain fewer, would do."""
    bank = description.bank
    assert bank is not None
    one, many = _value(story, "in a chain"), _value(story, "chains")
    assert one * bank.rating.value >= bank.voltage.value > (one - 1) * bank.rating.value
    each = bank.each.value / one
    assert many * each >= bank.wanted.value > (many - 1) * each
    return 2


def _ladder(description: Description, story: Story) -> int:
    """What a long ladder comes to."""
    ladder = description.ladder
    assert ladder is not None
    assert isinstance(ladder.series, Amount)
    assert isinstance(ladder.shunt, Amount)
    edges = [*_rungs(ladder.series.value, ladder.shunt.value)]
    whole = nodal.solve(edges, (), ("P0", "B")).capacitance
    return _near(F(float(story.results["C"][0])), whole)  # type: ignore[arg-type]


def _rungs(series: Fraction, shunt: Fraction) -> Iterator[nodal.Edge]:
    for at in range(SECTIONS):
        yield nodal.Edge(f"S{at}", series, f"P{at}", f"P{at + 1}")
        yield nodal.Edge(f"T{at}", shunt, f"P{at + 1}", "B")
