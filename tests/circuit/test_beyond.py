"""Beyond series and parallel: equal potentials, charge balance, and bounds of a bridge."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from itertools import permutations

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.circuit.routes import edges_of, number, opinion, readings
from tests.circuit.test_solving import in_numbers
from tests.sampled import some
from tests.strategies import capacitances, small_fractions, voltages
from tutor.circuit.beyond import bounds, work_out
from tutor.circuit.charge_balance import balance_equations
from tutor.circuit.elimination import EliminationRow, eliminate
from tutor.circuit.equal_levels import Level, equal_levels
from tutor.circuit.network import Capacitor, Network, Supply
from tutor.circuit.reduction import reduce
from tutor.circuit.solving import plus_point, solve
from tutor.circuit.steps import BEYOND, Step, after

F = Fraction
AB = ("A", "B")
BRIDGE = ("AP", "AQ", "PB", "QB", "PQ")


def network(values: Mapping[str, object] | list[tuple[str, object]]) -> Network:
    """C1, C2, … from a list of joins such as ("AP", 3)."""
    joins = values.items() if isinstance(values, Mapping) else values
    return Network(
        tuple(
            Capacitor(f"C{n}", F(c) if isinstance(c, int) else c, *link)
            for n, (link, c) in enumerate(joins, start=1)
        ),
        AB,
    )


def bridge(*values: object) -> Network:
    return network(list(zip(BRIDGE, values, strict=True)))


def whole(drawn: Network) -> Fraction:
    found = solve(drawn, None).whole
    assert found is not None
    return number(found.value)


@st.composite
def graphs(
    draw: st.DrawFn, values: st.SearchStrategy[Fraction] | None = None, most: int = 12
) -> Network:
    """Up to ``most`` points: a tree over all of them, which joins the ends, and more joins."""
    points = [*AB, *(f"P{n}" for n in range(1, draw(st.integers(2, most - 2)) + 1))]
    order = draw(st.permutations(points))
    links = [
        (order[draw(st.integers(0, place - 1))], point)
        for place, point in enumerate(order) if place
    ]
    pair = st.lists(st.sampled_from(points), min_size=2, max_size=2, unique=True).map(tuple)
    links += draw(st.lists(pair, min_size=3, max_size=14))
    worth = capacitances() if values is None else values
    return Network(
        tuple(
            Capacitor(f"C{n}", draw(worth), *draw(st.permutations(link)))
            for n, link in enumerate(draw(st.permutations(links)), start=1)
        ),
        AB,
    )


# Every value, sign and potential


@given(graphs(), voltages(), st.booleans())
@settings(deadline=None)
def test_any_graph_agrees_with_the_nodal_method(
    drawn: Network, worth: Fraction, charged: bool
) -> None:
    expected = opinion(drawn)
    factor = worth / expected.capacitance if charged else worth
    solution = solve(drawn, Supply("charge" if charged else "voltage", worth))
    assert solution.whole is not None
    assert solution.whole.value == expected.capacitance
    for c in drawn.capacitors:
        held, at_one = solution.holdings[c.name], expected.capacitors[c.name]
        assert readings(held) == (
            at_one.charge * factor, at_one.voltage * factor, at_one.energy * factor**2
        )
        ends = {1: c.start, 0: None, -1: c.end}
        sign = (at_one.charge > 0) - (at_one.charge < 0)
        assert plus_point(c, held) == ends[sign]
    assert solution.potentials == {
        p: level * factor for p, level in expected.potentials.items()
    }


@given(graphs(st.integers(1, 2).map(Fraction), most=8))
@settings(deadline=None)
def test_every_step_keeps_the_whole_and_levels_are_equal(drawn: Network) -> None:
    expected = opinion(drawn)
    left = drawn
    for step in work_out(drawn).steps:
        if step.level is not None:
            potentials = opinion(left).potentials
            assert len({potentials[p] for p in step.level.points}) == 1
        left = after(left, step)
        assert opinion(left).capacitance == expected.capacitance
    assert len(left.capacitors) == 1


@given(graphs(), st.randoms(use_true_random=False))
@settings(deadline=None)
def test_other_names_and_another_order_change_no_answer(drawn: Network, chance: object) -> None:
    points = [p for p in drawn.points() if p not in AB]
    shuffled = [*points]
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    moved = {**dict(zip(points, (f"N{p}" for p in shuffled), strict=True)), "A": "X", "B": "Y"}
    others = [
        Capacitor(f"D{c.name}", c.value, moved[c.start], moved[c.end]) for c in drawn.capacitors
    ]
    chance.shuffle(others)  # type: ignore[attr-defined]
    renamed = Network(tuple(others), ("X", "Y"))
    supply = Supply("voltage", F(7))
    one, other = solve(drawn, supply), solve(renamed, supply)
    assert one.whole is not None
    assert other.whole is not None
    assert one.whole.value == other.whole.value
    for c in drawn.capacitors:
        assert one.holdings[c.name] == other.holdings[f"D{c.name}"]
    assert {moved[p]: level for p, level in one.potentials.items()} == dict(other.potentials)


@given(
    graphs(most=5), st.lists(st.sampled_from("CD"), min_size=1, max_size=4),
    st.fixed_dictionaries({letter: small_fractions() for letter in "CDV"}),
)
@settings(deadline=None, max_examples=some(20))
def test_letters_give_what_numbers_give(
    drawn: Network, letters: list[str], worth: dict[str, Fraction]
) -> None:
    symbols = {name: sympy.Symbol(name, positive=True) for name in "CDV"}
    chosen = [letters[n % len(letters)] for n in range(len(drawn.capacitors))]
    factors = [sympy.Rational(c.value.numerator, c.value.denominator) for c in drawn.capacitors]
    lettered = Network(
        tuple(
            c._replace(value=factor * symbols[letter])
            for c, factor, letter in zip(drawn.capacitors, factors, chosen, strict=True)
        ),
        AB,
    )
    numbered = Network(
        tuple(
            c._replace(value=c.value * worth[letter])
            for c, letter in zip(drawn.capacitors, chosen, strict=True)
        ),
        AB,
    )
    found = solve(lettered, Supply("voltage", symbols["V"]))
    expected = opinion(numbered, worth["V"])
    assert found.whole is not None
    assert in_numbers(found.whole.value, worth) == expected.capacitance
    for name, reading in expected.capacitors.items():
        assert in_numbers(found.holdings[name].charge, worth) == reading.charge
    for point, level in expected.potentials.items():
        assert in_numbers(found.potentials[point], worth) == level


# Known networks


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ((1, 2, 2, 1, 1), F(7, 5)),
        ((2, 4, 3, 6, 5), F(18, 5)),
        ((4, 2, 2, 6, 3), F(28, 9)),
        ((3, 6, 6, 2, 4), F(27, 7)),
        ((6, 3, 2, 4, 1), F(234, 71)),
        ((2, 1, 4, 3, 2), F(23, 11)),
        ((3, 1, 1, 2, 1), F(29, 19)),
        ((2, 8, 6, 4, 5), F(225, 49)),
    ],
)
def test_bridges(values: tuple[int, ...], expected: Fraction) -> None:
    """C1 A–P, C2 A–Q, C3 P–B, C4 Q–B, C5 P–Q. Source: computed for the project."""
    assert whole(bridge(*values)) == expected


def test_the_bridge_worked_by_hand() -> None:
    """1, 2, 2, 1 and 1 at 12 V: P 4.8 V, Q 7.2 V, 16.8 in all. Source: computed for the project."""
    solution = solve(bridge(1, 2, 2, 1, 1), Supply("voltage", F(12)))
    assert solution.potentials == {"A": 12, "P": F(24, 5), "Q": F(36, 5), "B": 0}
    assert solution.whole is not None
    assert solution.holdings[solution.whole.name].charge == F(84, 5)
    assert bounds(bridge(1, 2, 2, 1, 1)) == (("C5",), F(4, 3), F(3, 2))


@pytest.mark.parametrize("joining", [1, 5, 100])
def test_a_balanced_bridge_whatever_joins_it(joining: int) -> None:
    """Source of the value: computed for the project."""
    drawn = bridge(2, 4, 3, 6, joining)
    (level,) = equal_levels(drawn)
    assert level == Level(("P", "Q"), "ratio", AB, (("C1", "C3"), ("C2", "C4")))
    assert whole(drawn) == F(18, 5)
    assert [step.kind for step in work_out(drawn).steps][:1] == ["equal"]


@given(
    st.permutations(("AP", "AQ", "PB", "QB", "PQ")),
    st.lists(st.integers(1, 4), min_size=5, max_size=5),
    st.lists(st.booleans(), min_size=5, max_size=5),
)
@settings(deadline=None, max_examples=some(200))
def test_a_bridge_is_level_where_the_nodal_method_has_it_so(
    order: list[str], values: list[int], turned: list[bool]
) -> None:
    """In whatever order the text names its capacitors, and their points."""
    links = [link[::-1] if back else link for link, back in zip(order, turned, strict=True)]
    drawn = network(list(zip(links, map(F, values), strict=True)))
    at = opinion(drawn).potentials
    told = any({"P", "Q"} <= set(level.points) for level in equal_levels(drawn))
    assert told == (at["P"] == at["Q"])


@pytest.mark.parametrize(("size", "expected"), [(2, F(1)), (3, F(6, 5)), (4, F(3, 2))])
def test_opposite_corners_of_a_cube(size: int, expected: Fraction) -> None:
    """OEIS A046878/A046879: unit resistors give 1, 5/6 and 2/3; equal capacitors one over that."""
    corners = [format(n, f"0{size}b") for n in range(2**size)]
    names = {corner: f"N{corner}" for corner in corners} | {
        "0" * size: "A", "1" * size: "B"
    }
    edges = [
        (names[one], names[one[:at] + "1" + one[at + 1 :]])
        for one in corners for at in range(size) if one[at] == "0"
    ]
    cube = Network(
        tuple(Capacitor(f"C{n}", F(1), *edge) for n, edge in enumerate(edges, start=1)), AB
    )
    assert whole(cube) == expected
    kinds = [step.kind for step in work_out(cube).steps]
    assert "balance" not in kinds
    assert ("merge" in kinds) == (size > 2)


def test_five_equal_in_a_bridge_are_worth_one() -> None:
    """The one value with a bridge among those of five pieces; see OEIS A174283."""
    assert whole(bridge(1, 1, 1, 1, 1)) == 1


def test_equal_stars_meet_at_one_potential() -> None:
    """A star from A and one from B, with equal arms, and a ring of equal ones between them."""
    drawn = network([("AP", 2), ("AQ", 2), ("AR", 2), ("PB", 3), ("QB", 3), ("RB", 3),
                     ("PQ", 1), ("QR", 1), ("RP", 1)])
    (level,) = equal_levels(drawn)
    assert (level.reason, level.points) == ("symmetry", ("P", "Q", "R"))
    assert whole(drawn) == F(18, 5)


# What the helpers say


@given(graphs(st.integers(1, 2).map(Fraction), most=6))
@settings(deadline=None, max_examples=some(60))
def test_symmetries_are_those_that_trying_everything_finds(drawn: Network) -> None:
    inner = drawn.points()[1:-1]
    joins = Counter((frozenset((c.start, c.end)), c.value) for c in drawn.capacitors)
    alike: set[frozenset[str]] = set()
    for order in permutations(inner):
        moves = dict(zip(inner, order, strict=True)) | {"A": "A", "B": "B"}
        moved = Counter(
            (frozenset((moves[c.start], moves[c.end])), c.value) for c in drawn.capacitors
        )
        if moved == joins:
            alike |= {frozenset((a, b)) for a, b in moves.items() if a != b}
    levels = [level for level in equal_levels(drawn) if level.reason == "symmetry"]
    pairs = {
        frozenset((a, b)) for level in levels for a in level.points for b in level.points if a != b
    }
    assert pairs == alike
    for level in levels:
        for other, exchange in zip(level.points[1:], level.exchanges, strict=True):
            moves = dict(exchange)
            assert moves[level.points[0]] == other
            moved = Counter(
                (frozenset((moves.get(c.start, c.start), moves.get(c.end, c.end))), c.value)
                for c in drawn.capacitors
            )
            assert moved == joins


@given(graphs(most=8))
@settings(deadline=None)
def test_elimination_ends_with_one_point_and_each_row_is_true(drawn: Network) -> None:
    left = reduce(drawn).left
    equations = balance_equations(left)
    if not equations:
        return
    potentials = opinion(left).potentials
    done = eliminate(equations, left.ends)
    order = [e.point for e in equations]
    assert [row.point for row in done.put] == order[:0:-1]
    assert done.first.others == ()
    for row in (*done.put, done.first):
        earlier = order[: order.index(row.point)]
        assert {p for p, _ in row.others} <= set(earlier)
        assert number(row.own) * potentials[row.point] == _right(row, potentials)


def _right(row: EliminationRow, potentials: Mapping[str, Fraction]) -> Fraction:
    pulls = [number(value) * potentials[point] for point, value in row.others]
    return number(row.given) + sum(pulls, F(0))


@given(graphs(most=6))
@settings(deadline=None)
def test_the_whole_lies_within_its_bounds(drawn: Network) -> None:
    left = reduce(drawn).left
    found = bounds(left)
    if found is not None:
        assert found.low <= opinion(left).capacitance <= found.high


def test_no_bounds_in_letters_or_where_nothing_joins_inner_points() -> None:
    c = sympy.Symbol("C", positive=True)
    assert bounds(bridge(c, 2 * c, 2 * c, c, c)) is None
    assert bounds(network([("AP", 1), ("PB", 2)])) is None


def test_a_way_on_is_only_sought_where_reduction_sticks() -> None:
    steps: tuple[Step, ...] = work_out(network([("AP", 1), ("PB", 2), ("AB", 3)])).steps
    assert not {step.kind for step in steps} & BEYOND
    assert len(edges_of(work_out(bridge(1, 2, 2, 1, 1)).left)) == 1
