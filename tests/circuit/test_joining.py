"""The table of series and parallel, held against the nodal method."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.nodal import Edge, solve
from tutor.circuit.joining import JOININGS, PARALLEL, SERIES, Joining

VALUES = [Fraction(2), Fraction(3), Fraction(6)]
SUPPLY = Fraction(12)
CHAIN = [("A", "P"), ("P", "R"), ("R", "B")]


@pytest.mark.parametrize("joining", JOININGS.values(), ids=JOININGS)
def test_what_is_shared_is_one_and_what_adds_adds(joining: Joining) -> None:
    ends = CHAIN if joining is SERIES else [("A", "B")] * 3
    edges = [
        Edge(f"C{at}", value, *pair)
        for at, (value, pair) in enumerate(zip(VALUES, ends, strict=True))
    ]
    found = solve(edges, [], ("A", "B"), voltage=SUPPLY)
    whole = {"Q": found.charge, "V": found.voltage}
    members = [{"Q": each.charge, "V": each.voltage} for each in found.capacitors.values()]
    assert {each[joining.shares] for each in members} == {whole[joining.shares]}
    assert sum(each[joining.adds] for each in members) == whole[joining.adds]
    kinds = {"Q": "charge", "V": "voltage"}
    assert (joining.shared, joining.added) == (kinds[joining.shares], kinds[joining.adds])
    assert joining.equivalent(list(VALUES)) == found.capacitance
    for own, each in zip(VALUES, members, strict=True):
        share = joining.share(own, found.capacitance)
        assert each[joining.adds] == share * whole[joining.adds]


def test_the_equivalent_lies_beyond_its_bound() -> None:
    assert SERIES.equivalent(list(VALUES)) < SERIES.bound(VALUES) == 2
    assert PARALLEL.equivalent(list(VALUES)) > PARALLEL.bound(VALUES) == 6
