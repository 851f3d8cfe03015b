"""Networks with one change, drawn at random, and the same change made for the nodal method."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from hypothesis import assume
from hypothesis import strategies as st

from grammar.records import Charging, Description
from tests import nodal
from tests.nodal import Edge, Link
from tests.strategies import (
    Drawn,
    as_description,
    as_drawn,
    capacitances,
    joined_multigraphs,
    nests,
    supplies,
)
from tutor.circuit.changes import (
    Added,
    Alteration,
    NewSupply,
    NewValue,
    Removed,
    Scaled,
    Swapped,
    Wired,
)
from tutor.circuit.network import Problem, build
from tutor.teaching.quantities import Quantity

KINDS = ("value", "scale", "remove", "wire", "swap", "supply", "series", "parallel", "in", "by")
SHAPES = (
    ("AP", "AQ", "PB", "QB", "PQ"),
    ("AP", "AQ", "PB", "QB", "PQ", "AB"),
    ("AP", "AQ", "PR", "QR", "PQ", "RB"),
    ("AP", "AQ", "AR", "PQ", "QR", "PB", "QB", "RB"),
    ("AP", "AQ", "PR", "QS", "PQ", "RS", "RB", "SB", "PS"),
)


class Case(NamedTuple):
    """A network with a supply, a change, and both sides from the nodal method."""

    problem: Problem
    change: Alteration
    before: nodal.Outcome
    after: nodal.Outcome | None


def _outcome(drawn: Drawn, supply: Charging, value: Fraction | None = None) -> nodal.Outcome | None:
    worth = supply.worth.value if value is None else value  # type: ignore[union-attr]
    try:
        return nodal.solve(*drawn, **{supply.quantity: worth})
    except nodal.NoAnswerError:
        return None


@st.composite
def nested_cases(draw: st.DrawFn) -> Case:
    """Series and parallel lead through these."""
    supply = draw(supplies())
    return draw(_changed(Description(nest=draw(nests(capacitances(), most=6)), supply=supply)))


@st.composite
def any_cases(draw: st.DrawFn) -> Case:
    """Any shape."""
    drawn = draw(joined_multigraphs(most=7, loops=False))
    return draw(_changed(as_description(drawn, draw(supplies()))))


@st.composite
def floating_cases(draw: st.DrawFn) -> Case:
    """Series and parallel stick here, with balanced arms at times; a dead end hangs on some."""
    shape = draw(st.sampled_from(SHAPES))
    values = st.integers(1, 6).map(Fraction)
    if draw(st.booleans()):
        shape = (*shape, "PX")
    edges = tuple(
        Edge(f"C{n}", draw(values), *draw(st.permutations(tuple(link))))
        for n, link in enumerate(shape, start=1)
    )
    return draw(_changed(as_description(Drawn(edges, (), ("A", "B")), draw(supplies()))))


@st.composite
def _changed(draw: st.DrawFn, description: Description) -> Case:
    supply = description.supply
    assert supply is not None
    drawn = as_drawn(description)
    edges, wires, ends = drawn
    one, other = draw(st.sampled_from(edges)), draw(st.sampled_from(edges))
    value = draw(capacitances())
    kind = draw(st.sampled_from(KINDS))
    change: Alteration
    new: tuple[tuple[Edge, ...], tuple[Link, ...]] = (edges, wires)
    pd: Fraction | None = None
    extra = f"C{len(edges) + 1}"
    rest = tuple(edge for edge in edges if edge is not one)
    if kind == "value":
        change, new = NewValue(one.name, value), ((*rest, one._replace(capacitance=value)), wires)
    elif kind == "scale":
        names = {edge.name for edge in draw(st.sampled_from([edges, (one, other)]))}
        change = Scaled(tuple(edge.name for edge in edges if edge.name in names), value)
        new = (tuple(_scaled(edge, value, names) for edge in edges), wires)
    elif kind == "remove":
        change, new = Removed((one.name,)), (rest, wires)
    elif kind == "wire":
        change, new = Wired((one.name,)), (rest, (*wires, (one.start, one.end)))
    elif kind == "swap":
        assume(one is not other)
        change = Swapped(one.name, other.name)
        left = tuple(edge for edge in rest if edge is not other)
        new = ((*left, one._replace(start=other.start, end=other.end),
                other._replace(start=one.start, end=one.end)), wires)
    elif kind == "supply":
        change, pd = NewSupply(value), value
    elif kind == "parallel":
        change, new = Added(value, "parallel"), ((*edges, Edge(extra, value, *ends)), wires)
    elif kind == "series":
        change = Added(value, "series")
        new = ((*edges, Edge(extra, value, "far", ends[0])), wires)
        ends = ("far", ends[1])
    elif kind == "by":
        change = Added(value, "parallel", one.name)
        new = ((*edges, Edge(extra, value, one.start, one.end)), wires)
    else:
        change = Added(value, "series", one.name)
        new = ((*rest, one._replace(end="between"), Edge(extra, value, "between", one.end)), wires)
    before = _outcome(drawn, supply)
    assert before is not None
    return Case(build(description), change, before, _outcome(Drawn(*new, ends), supply, pd))


def _scaled(edge: Edge, factor: Fraction, names: set[str]) -> Edge:
    return edge._replace(capacitance=edge.capacitance * factor) if edge.name in names else edge


def value_in(outcome: nodal.Outcome, quantity: Quantity, found: Fraction) -> Fraction:
    """What the nodal method gives for a quantity; ``found`` for a capacitor's own value."""
    if quantity.point is not None:
        return outcome.potentials[quantity.point]
    if quantity.symbol == "C":
        return outcome.capacitance if quantity.of is None else found
    if quantity.of is None:
        return {"Q": outcome.charge, "V": outcome.voltage, "E": outcome.energy}[quantity.symbol]
    held = outcome.capacitors[quantity.of]
    return {"Q": abs(held.charge), "V": abs(held.voltage), "E": held.energy}[quantity.symbol]
