"""Solids with equal capacitors along their edges, against what is printed for resistors.

A capacitance adds as a conductance does, so C between two corners is 1 over the resistance there.
Source: F. J. van Steenwijk, Equivalent resistors of polyhedral resistive structures, American
Journal of Physics 66 (1998) 90, for the cube 5/6, 3/4 and 7/12, for the tetrahedron 1/2 of one
edge; from memory.
"""

from fractions import Fraction

import pytest

from grammar.reading import read_network
from grammar.writing import write_network
from tests import nodal
from tests.circuit.test_published import answer
from tests.strategies import as_drawn


@pytest.mark.parametrize(("text", "resistance"), [
    ("cube of 1 F", "5/6"),
    ("cube of 1 F between opposite corners", "5/6"),
    ("cube of 1 F, corners of a face", "3/4"),
    ("cube of 1 F between neighbouring corners", "7/12"),
    ("tetrahedron of 1 F", "1/2"),
])
def test_between_two_corners(text: str, resistance: str) -> None:
    expected = 1 / Fraction(resistance)
    assert answer(text, "capacitance", None) == expected
    description = read_network(text)
    assert nodal.solve(*as_drawn(description)).capacitance == expected
    assert read_network(write_network(description)) == description


@pytest.mark.parametrize(("kind", "edges", "meeting"), [("cube", 12, 3), ("tetrahedron", 6, 3)])
def test_edges_and_corners(kind: str, edges: int, meeting: int) -> None:
    joins = read_network(f"{kind} of C").joins
    assert len(joins) == len({frozenset(join[1:]) for join in joins}) == edges
    corners = [point for join in joins for point in join[1:]]
    assert {corners.count(point) for point in corners} == {meeting}
