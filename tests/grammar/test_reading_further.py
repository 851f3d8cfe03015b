"""Ratings, charged capacitors, plates, missing values, ladders and changes, as records."""

from fractions import Fraction

import pytest

from grammar.outline import leaves
from grammar.points import inner_points
from grammar.reading import read_network
from grammar.records import (
    Amount,
    Asked,
    Chain,
    Change,
    Charging,
    Description,
    Element,
    Given,
    Join,
    Ladder,
    Layer,
    Letter,
    Parallel,
    Plates,
    Refusal,
    Unknown,
)
from tutor.circuit.network import build

F = Fraction


def micro(value):
    return Amount(F(value, 10**6), -6)


def volts(value):
    return Amount(F(value))


def plates_of(text):
    return read_network(text).nest.worth


def test_ratings_as_records():
    assert read_network("C1 = 3 uF rated 100 V -- C2 = 7 uF rated 63 V -- 2 uF").nest == Chain(
        (
            Element("C1", micro(3), volts(100)),
            Element("C2", micro(7), volts(63)),
            Element("C3", micro(2)),
        )
    )


def test_capacitors_that_stand_apart_have_points_of_their_own():
    text = "C1 = 3 uF charged to 10 V; C2 = 7 uF holding 30 uC; join C1 and C2 crossed"
    first = Element("C1", micro(3), None, Charging("voltage", volts(10)))
    second = Element("C2", micro(7), None, Charging("charge", micro(30)))
    assert read_network(text) == Description(
        joins=(Join(first, "C1+", "C1-"), Join(second, "C2+", "C2-")),
        ends=("C1+", "C1-"),
        changes=(Change("join", ("C1", "C2"), crossed=True),),
    )


def test_a_supply_beside_one_of_those_that_stand_apart_gives_the_ends():
    read = read_network("C1 = 3 uF; C2 = 7 uF, across 9 V; then remove supply; then join C1 and C2")
    assert (read.ends, read.supply) == (("C2+", "C2-"), Charging("voltage", volts(9)))
    assert [change.kind for change in read.changes] == ["remove supply", "join"]


def test_one_that_stands_apart_from_a_list_is_the_last_of_its_joins():
    text = "C9 = 1 uF; C1 = 4 uF from A to B; ends A and B; join C1 and C9"
    assert read_network(text).joins == (
        Join(Element("C1", micro(4)), "A", "B"),
        Join(Element("C9", micro(1)), "C9+", "C9-"),
    )


@pytest.mark.parametrize(
    ("text", "own", "whole"),
    [
        ("C1 = 4 uF holding 24 uC", None, 24),
        ("C1 = 4 uF, holding 24 uC; then fill C1 with 2", None, 24),
        ("C1 = 4 uF -- 2 uF holding 24 uC", None, 24),
        ("C1 = 4 uF rated 9 V -- 2 uF rated 9 V holding 24 uC", None, 24),
        ("2 uF -- C1 = 4 uF; holding 24 uC", None, 24),
        ("C1 = 4 uF holding 24 uC -- 2 uF", 24, None),
        ("C1 = 4 uF holding 8 uC -- 2 uF, holding 24 uC", 8, 24),
        ("2 uF || (3 uF -- C1 = 4 uF holding 24 uC)", 24, None),
        ("2 uF, C1 = 4 uF holding 24 uC in series", 24, None),
        ("C1 = 4 uF, holding 24 uC; C2 = 2 uF; C1 -- C2", 24, None),
        ("C2 = 2 uF, C1 = 4 uF holding 24 uC; C1 -- C2", 24, None),
        ("C2 = 2 uF, C1 = 4 uF, holding 24 uC; C1 -- C2", None, 24),
        ("C1 = 4 uF; Z = (C1 -- 2 uF), holding 24 uC; Z || 3 uF", None, 24),
        ("C1 = 4 uF holding 8 uC from A to B; ends A and B, holding 24 uC", 8, 24),
        ("C1 = 4 uF holding 24 uC; 2 uF; join C1 and C2", 24, None),
    ],
)
def test_whose_charge_is_held(text, own, whole):
    read = read_network(text)
    found = list(leaves(read.nest)) if read.nest else [join.capacitor for join in read.joins]
    starts = {each.name: each.start for each in found if each.start is not None}
    assert starts == ({} if own is None else {"C1": Charging("charge", micro(own))})
    assert read.supply == (None if whole is None else Charging("charge", micro(whole)))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("gap 1 mm", Plates(F(1, 100), F(1, 1000))),
        ("gap 1 mm filled 2.5", Plates(F(1, 100), F(1, 1000), (Layer(F(5, 2), F(1, 1000)),))),
        (
            "layers 0.4 mm of 2, 0.6 mm of 5",
            Plates(
                F(1, 100),
                F(1, 1000),
                (Layer(F(2), F(4, 10**4)), Layer(F(5), F(6, 10**4))),
            ),
        ),
        (
            "gap 1 mm layers 0.4 mm of 2, metal 0.1 mm",
            Plates(
                F(1, 100),
                F(1, 1000),
                (Layer(F(2), F(4, 10**4)), Layer(F(1), F(5, 10**4))),
                metal=F(1, 10**4),
            ),
        ),
        (
            "layers 0.4 mm of 2, metal 0.1 mm",
            Plates(F(1, 100), F(5, 10**4), (Layer(F(2), F(4, 10**4)),), metal=F(1, 10**4)),
        ),
        (
            "gap 1 mm metal 0.2 mm filled 3",
            Plates(F(1, 100), F(1, 1000), (Layer(F(3), F(8, 10**4)),), metal=F(2, 10**4)),
        ),
        (
            "gap 1 mm side by side 40 cm2 of 2, 60 cm2 of 6",
            Plates(
                F(1, 100),
                F(1, 1000),
                beside=(Layer(F(2), None, F(2, 5)), Layer(F(6), None, F(3, 5))),
            ),
        ),
        (
            "gap 1 mm filled 4 over 1/3",
            Plates(
                F(1, 100),
                F(1, 1000),
                beside=(Layer(F(4), None, F(1, 3)), Layer(F(1), None, F(2, 3))),
            ),
        ),
    ],
)
def test_plates_as_records(text, expected):
    assert plates_of(f"plates 100 cm2 {text}")._replace(written="") == expected


@pytest.mark.parametrize(
    ("text", "area"),
    [
        ("100 cm2", "1/100"),
        ("100 cm²", "1/100"),
        ("100 cm^2", "1/100"),
        ("100 square centimetres", "1/100"),
        ("2.5 mm2", "25/10000000"),
        ("3 m2", "3"),
        ("4 um2", "4/1000000000000"),
        ("8 cm square", "64/10000"),
        ("8 cm by 5 mm", "4/10000"),
    ],
)
def test_areas(text, area):
    assert plates_of(f"plates {text} gap 1 mm").area == F(area)


@pytest.mark.parametrize(
    ("text", "gap"),
    [
        ("1 m", "1"),
        ("2 cm", "2/100"),
        ("0.5 mm", "5/10000"),
        ("3 um", "3/1000000"),
        ("3 µm", "3/1000000"),
        ("3 μm", "3/1000000"),
        ("40 nm", "4/100000000"),
        ("5 pm", "5/1000000000000"),
        ("5 Millimetres", "5/1000"),
        ("5 micrometer", "5/1000000"),
    ],
)
def test_gaps(text, gap):
    assert plates_of(f"plates 1 m2 gap {text}").gap == F(gap)


def test_changes_as_records():
    text = (
        "C1 = plates 1 m2 gap 1 mm -- C2 = 3 uF, across 12 V; then remove supply; then put V across"
        "; then wire from A to P; then take out C2; then fill C1 and C2 with 4; then empty C2"
        "; then gap of C1 2 mm; then triple the gap of C1; then gap of C2 times 2/3"
        "; then join C1 and C2"
    )
    assert read_network(text).changes == (
        Change("remove supply"),
        Change("supply", supply=Charging("voltage", Letter("V"))),
        Change("wire", points=("A", "P")),
        Change("take out", ("C2",)),
        Change("fill", ("C1", "C2"), amount=F(4)),
        Change("empty", ("C2",)),
        Change("gap", ("C1",), amount=Amount(F(2, 1000), -3)),
        Change("gap", ("C1",), amount=F(3)),
        Change("gap", ("C2",), amount=F(2, 3)),
        Change("join", ("C1", "C2")),
    )


@pytest.mark.parametrize(
    "text",
    [
        "4 uF -- 2 uF -- 3 uF",
        "P = 4 uF -- (2 uF || (3 uF -- R = 5 uF))",
        "C -- 2C -- C",
        " -- ".join(["1 uF"] * 40),
        "ladder of (series 1 uF, shunt 2 uF), 20 sections",
        "1 uF -- 2 uF, ends P and S",
    ],
)
def test_the_points_inside_a_nest_go_by_the_names_that_the_circuit_gives(text):
    description = read_network(text)
    points = set(build(description).network.points())
    assert inner_points(description.nest, description.ends) | set(description.ends) == points


def test_missing_values_as_records():
    read = read_network("C1 = 3 uF -- C2 = ?, across 12 V; asked: C2; V1 = 8.4 V; C = 2.1 uF")
    assert read == Description(
        nest=Chain((Element("C1", micro(3)), Element("C2", Unknown()))),
        supply=Charging("voltage", volts(12)),
        asked=(Asked("capacitance", "C2"),),
        givens=(
            Given("voltage", "C1", Amount(F(84, 10))),
            Given("capacitance", None, Amount(F(21, 10**7), -6)),
        ),
    )


def test_a_ladder_is_written_out_from_the_first_of_the_ends():
    series, shunt = micro(2), micro(4)
    last = Chain((Element("C3", series), Element("C4", shunt)))
    assert read_network("ladder of (series 2 uF, shunt 4 uF), 2 sections") == Description(
        nest=Chain((Element("C1", series), Parallel((Element("C2", shunt), last)))),
        ladder=Ladder(series, shunt, 2),
    )


def test_the_capacitors_of_a_ladder_in_letters_take_other_names():
    read = read_network("ladder of (series C1, shunt 2C3), 2 sections")
    assert [(each.name, each.worth) for each in leaves(read.nest)] == [
        ("C2", Letter("C1")),
        ("C4", Letter("C3", F(2))),
        ("C5", Letter("C1")),
        ("C6", Letter("C3", F(2))),
    ]


def test_a_ladder_without_end_has_no_nest():
    assert read_network("endless ladder of (series C, shunt 2C)") == Description(
        ladder=Ladder(Letter("C"), Letter("C", F(2)))
    )


def test_a_thousand_sections_are_read_and_no_more():
    read = read_network("ladder of (series 1 uF, shunt 1 uF), 1000 sections")
    assert sum(1 for _ in leaves(read.nest)) == 2_000
    with pytest.raises(Refusal, match="number of sections"):
        read_network("ladder of (series 1 uF, shunt 1 uF), 1001 sections")
