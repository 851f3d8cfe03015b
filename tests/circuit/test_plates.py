"""Plates and fillings: printed answers, the nodal method on thin slices, and plates in networks."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any, TypeAlias

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.records import Amount, Chain, Charging, Description, Element, Layer, Parallel, Plates
from tests import nodal
from tests.circuit.test_published import as_printed
from tests.nodal import Edge
from tests.sampled import some
from tests.strategies import small_fractions
from tutor.circuit.network import build
from tutor.circuit.plates import (
    ELECTRIC_CONSTANT,
    arrangement_of,
    capacitance_of,
    fillings_of,
    prefix_power,
)
from tutor.circuit.solving import solve
from tutor.circuit.values import value_of

F = Fraction
Case: TypeAlias = Mapping[str, Any]
CASES: list[Case] = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "plates.toml").read_text(encoding="utf-8")
)["case"]
METRE, SQUARE = F(1), F(1)


def exact(case: Case) -> Fraction:
    """What the program says, in SI units."""
    text, asked = case["text"], case["asked"]
    if asked == "area":  # C grows with the area
        farads, gap = {"UP2-E8.2": (F(1), F("1e-3")), "UP2-8.25": (F("5e-12"), F("2e-3"))}[
            case["id"]
        ]
        return farads / capacitance_of(Plates(SQUARE, gap))
    if asked == "gap":  # and falls with the gap
        return capacitance_of(Plates(F("2.4e-4"), METRE)) / F("2e-12")
    problem = build(read_network(text))
    solution = solve(problem.network, problem.supply)
    assert solution.whole is not None
    value = solution.whole.value
    if asked not in ("capacitance", "relative"):
        value = getattr(solution.holdings[solution.whole.name].size, asked)
    elif asked == "relative":
        value = value / capacitance_of(Plates(SQUARE, METRE))
    assert isinstance(value, Fraction)
    return value


@pytest.mark.parametrize("case", [c for c in CASES if c["agrees"]], ids=lambda case: case["id"])
def test_printed_answer(case: Case) -> None:
    assert as_printed(exact(case), case["figures"]) == F(case["si"]), case["source"]


@pytest.mark.parametrize("case", [c for c in CASES if not c["agrees"]], ids=lambda c: c["id"])
def test_known_exception(case: Case) -> None:
    rounded = as_printed(exact(case), case["figures"])
    assert rounded == F(case["rounds_to"]) != F(case["si"]), case["note"]


def test_every_case_is_there() -> None:
    """27 published rows are about plates, fillings and layers; two of them are left out."""
    assert len({case["id"] for case in CASES}) == len(CASES) == 27 - 2
    assert sum(not case["agrees"] for case in CASES) == 7


def test_reasons_given_for_exceptions() -> None:
    """With the figures that the notes name, the printed answers come out."""
    by_id = {case["id"]: case for case in CASES}
    for name, constant in (("SIY-2", "8.9e-12"), ("UP2-8.51-b", "8.85e-12")):
        case = by_id[name]
        other = exact(case) / ELECTRIC_CONSTANT * F(constant)
        assert as_printed(other, case["figures"]) == F(case["si"])
    assert as_printed(F("0.170") / F("12.0e-6"), 3) == F(by_id["UP2-8.75"]["si"])
    text = "plates 8.00 cm square layers 1.90 mm of 4.7, 1.90 mm of 2.6, across 86.0 V"
    assert as_printed(exact(by_id["UP2-8.63"] | {"text": text}), 3) == F("0.185e-6")


def test_electric_constant_is_the_published_one() -> None:
    """CODATA 2022; older tables of scipy have 2018's, which differs in the tenth figure."""
    constants = pytest.importorskip("scipy.constants")
    published = F(str(constants.epsilon_0))
    assert abs(published - ELECTRIC_CONSTANT) < F("1e-9") * published


# Any plates


@st.composite
def fillings(draw: st.DrawFn, lengths: st.SearchStrategy[Fraction] | None = None) -> Plates:
    """Plates with layers, with parts side by side, or empty; with metal at times."""
    length = small_fractions() if lengths is None else lengths
    area, metal = draw(small_fractions()), draw(st.just(F(0)) | length)
    kind = draw(st.sampled_from(["empty", "layers", "beside"]))
    constant = st.integers(1, 9).map(lambda n: 1 + F(n - 1, 2))
    if kind == "layers":
        each = st.builds(Layer, constant, length)
        layers = tuple(draw(st.lists(each, min_size=1, max_size=4)))
        free = sum((layer.thickness or F(0) for layer in layers), F(0))
        return Plates(area, free + metal, layers, (), metal)
    free = draw(length)
    if kind == "empty":
        return Plates(area, free + metal, (), (), metal)
    sizes = draw(st.lists(st.integers(1, 5), min_size=2, max_size=4))
    beside = tuple(Layer(draw(constant), None, F(size, sum(sizes))) for size in sizes)
    return Plates(area, free + metal, (), beside, metal)


def thin_slices(plates: Plates) -> list[Edge]:
    """The filling cut into thin capacitors: rows from plate to plate, with points in between.

    Where each part reaches from plate to plate its own column is cut, else all is one column.
    """
    free = plates.gap - plates.metal
    columns = [(plates.area * part.share, [(part.permittivity, free)]) for part in plates.beside
               if part.share is not None]
    if not columns:
        layers = [(layer.permittivity, layer.thickness or free) for layer in plates.layers]
        columns = [(plates.area, layers or [(F(1), free)])]
    edges = []
    for column, (area, rows) in enumerate(columns):
        cut = [(constant, thickness * part) for constant, thickness in rows
               for part in (F(1, 3), F(2, 3))]
        for row, (constant, thickness) in enumerate(cut):
            top = f"{column}.{row}" if row else "A"
            bottom = f"{column}.{row + 1}" if row + 1 < len(cut) else "B"
            farads = ELECTRIC_CONSTANT * constant * area / thickness
            edges.append(Edge(f"{column}.{row}", farads, top, bottom))
    return edges


@settings(max_examples=some(80))
@given(fillings())
def test_any_plates_against_thin_slices(plates: Plates) -> None:
    assert capacitance_of(plates) == nodal.solve(thin_slices(plates), (), ("A", "B")).capacitance
    assert value_of(plates) == capacitance_of(plates)


@settings(max_examples=some(60))
@given(fillings())
def test_bounds_and_scales(plates: Plates) -> None:
    """More metal or area never lowers it; an empty gap gives the least."""
    here = capacitance_of(plates)
    empty = Plates(plates.area, plates.gap, (), (), plates.metal)
    assert here >= capacitance_of(empty) >= capacitance_of(Plates(plates.area, plates.gap))
    assert capacitance_of(plates._replace(area=3 * plates.area)) == 3 * here
    members = [filling.value for filling in fillings_of(plates)]
    arrangement = arrangement_of(plates)
    assert (here < min(members)) if arrangement == "chain" else (here >= max(members))
    assert (len(members) == 1) is (arrangement == "alone") is (here == members[0])


def test_metal_may_stand_anywhere() -> None:
    """Two gaps d1 and d2 in a chain, with the metal as the island between them."""
    plates = Plates(SQUARE, F(5), (), (), F(2))
    for first in (F(1, 2), F(1), F(2)):
        one, other = (Plates(SQUARE, gap) for gap in (first, 3 - first))
        chain = 1 / (1 / capacitance_of(one) + 1 / capacitance_of(other))
        assert capacitance_of(plates) == chain


# In a network


def test_plates_are_capacitors_like_any_other() -> None:
    """The same network with the worked-out capacitance in the place of the plates."""
    plates = Plates(F("1e-2"), F("1e-3"), (Layer(F("2.5"), F("1e-3")),), (), F(0), "")
    supply = Charging("voltage", Amount(F(12)))
    for worth in (plates, Amount(capacitance_of(plates), -12)):
        first = Element("C1", worth)
        second, third = (Element(f"C{n}", Amount(F(n, 10**10), -12)) for n in (2, 3))
        nest = Chain((first, Parallel((second, third))))
        problem = build(Description(nest, supply=supply))
        solution = solve(problem.network, problem.supply)
        assert problem.powers == {
            "capacitance": -12, "voltage": 0, "charge": -12, "energy": -12
        }
        farads = capacitance_of(plates)
        block = F(5, 10**10)
        assert solution.holdings["C1"].voltage == 12 * block / (farads + block)


def test_prefix_suits_the_value() -> None:
    for value, power in (("8.9e-9", -9), ("88e-12", -12), ("0.4e-12", -12), ("1e-6", -6),
                         ("999e-6", -6), ("2", 0)):
        assert prefix_power(F(value)) == power
