"""How values are printed: SI Brochure, 9th edition, chapter 5 (number, one space, unit; groups
of three parted by spaces; no group of digits set off by a comma or a point)."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.quantity import number, unit
from grammar.reading import read_network
from grammar.records import (
    Amount,
    Asked,
    Chain,
    Charging,
    Description,
    Element,
    Join,
    Letter,
    Parallel,
    Wire,
)
from grammar.writing import Style, write_amount, write_network, write_number
from tests.sampled import some

POWERS = st.sampled_from([-12, -9, -6, -3, 0, 3, 6])
NAMES = [*(f"C{n}" for n in range(1, 9)), "Cx", "Z", "C1'", "a", "C2''", "c1", "case_1", "Q3"]


@st.composite
def amounts(draw):
    power = draw(POWERS)
    typed = Fraction(draw(st.integers(1, 10**9))) * Fraction(10) ** draw(st.integers(-12, 6))
    return Amount(typed * Fraction(10) ** power, power)


LETTERS = st.builds(
    Letter,
    st.sampled_from(["C", "C1", "C2", "D", "a", "k1", "x", "Ca"]),
    st.fractions(Fraction(1, 9), 9, max_denominator=9).filter(bool),
)


@st.composite
def nests(draw, leaves, depth, chain):
    """A part whose ways alternate: two chains, one directly in the other, would be one."""
    if depth == 0 or draw(st.booleans()):
        return leaves.pop() if leaves else None
    members = [draw(nests(leaves, depth - 1, not chain)) for _ in range(draw(st.integers(2, 4)))]
    kept = tuple(member for member in members if member is not None)
    if len(kept) < 2:
        return kept[0] if kept else None
    return (Chain if chain else Parallel)(kept)


def flat(part):
    """The part with chains inside chains made one, as reading makes them."""
    if isinstance(part, Element):
        return part
    members = []
    for member in map(flat, part.members):
        members.extend(member.members if type(member) is type(part) else (member,))
    return type(part)(tuple(members))


def asked_of(names):
    """Questions about some of the capacitors, and about the whole."""
    whole = st.sampled_from(["capacitance", "charge", "voltage", "energy"]).map(Asked)
    pairs = st.tuples(st.sampled_from(["charge", "voltage", "energy"]), st.sampled_from(names))
    one = pairs.map(lambda pair: Asked(*pair))
    return st.lists(st.one_of(whole, one), max_size=3, unique=True).map(tuple)


SUPPLIES = st.one_of(
    st.none(),
    st.builds(Charging, st.just("voltage"), amounts()),
    st.builds(Charging, st.just("charge"), amounts()),
    st.just(Charging("voltage", Letter("V"))),
    st.just(Charging("voltage", Letter("U0", Fraction(1, 2)))),
    st.just(Charging("charge", Letter("Q", Fraction(2)))),
)


@st.composite
def descriptions(draw):
    names = draw(st.permutations(NAMES))[: draw(st.integers(1, 8))]
    worths = draw(st.sampled_from([amounts(), LETTERS]))
    capacitors = [Element(name, draw(worths)) for name in names]
    supply, asked = draw(SUPPLIES), draw(asked_of(names))
    if draw(st.booleans()):
        leaves = list(capacitors)
        part = flat(draw(nests(leaves, 3, draw(st.booleans()))) or capacitors[0])
        used = [each for each in names if each not in {leaf.name for leaf in leaves}]
        asked = tuple(each for each in asked if each.of is None or each.of in used)
        return Description(part, ends=draw(ENDS), supply=supply, asked=asked)
    points = ["A", "P", "2", "B'", "x"][: len(capacitors) + 1]
    joins = [
        Join(each, points[index % (len(points) - 1)], points[index % (len(points) - 1) + 1])
        for index, each in enumerate(capacitors)
    ]
    wires = draw(st.sampled_from([(), (Wire("A", "W"),), (Wire("W", "A"), Wire("W", "X"))]))
    ends = (points[0], points[-1])
    return Description(None, tuple(joins), wires, ends, supply, asked)


ENDS = st.sampled_from([("A", "B"), ("P", "Q"), ("1", "2"), ("B", "A"), ("A'", "A")])


@settings(max_examples=some(300), deadline=None)
@given(descriptions(), st.booleans())
def test_what_is_written_reads_back_the_same(description, plain):
    written = write_network(description, ascii=plain)
    assert written.isascii() or not plain
    assert "series" not in written
    assert "parallel" not in written
    assert read_network(written) == description


def test_micro_is_the_micro_sign_or_u():
    read = read_network("4 uF -- 1.5e-9 uF")
    assert write_network(read) == "C1 = 4 \u00b5F -- C2 = 1.5 × 10^-9 \u00b5F"
    assert write_network(read, ascii=True) == "C1 = 4 uF -- C2 = 1.5e-9 uF"


def test_a_value_that_no_text_can_give_is_not_written():
    with pytest.raises(ValueError, match="finite decimals"):
        write_network(Description(Element("C1", Amount(Fraction(1, 3)))))


@pytest.mark.parametrize(
    ("value", "text", "exact"),
    [
        ("0", "0", True),
        ("4", "4", True),
        ("-5/2", "-2.5", True),
        ("1/8", "0.125", True),
        ("1234", "1234", True),
        ("12000", "12 000", True),
        ("12345", "12 345", True),
        ("123456", "123 456", True),
        ("1234567", "1.235 × 10^6", False),
        ("1000000", "1 × 10^6", True),
        ("1.99996", "1.99996", True),
        ("1.9999996", "2.000", False),
        ("999999.7", "1.000 × 10^6", False),
        ("1/1000", "0.001", True),
        ("9/10000", "9 × 10^-4", True),
        ("1/3", "0.3333", False),
        ("2/3", "0.6667", False),
        ("20000/3", "6667", False),
        ("200000/3", "66 670", False),
        ("1.00005", "1.00005", True),
        ("1.0005005", "1.001", False),
        ("1.23450001", "1.235", False),
        ("0.12345650", "0.1235", False),
        ("1.2345e-7", "1.2345 × 10^-7", True),
        ("105.84", "105.84", True),
    ],
)
def test_numbers_for_people(value, text, exact):
    assert write_number(Fraction(value)) == (text, exact)


def test_half_is_rounded_away_from_zero():
    assert write_number(Fraction("1.2345650"), 6) == ("1.23457", False)
    assert write_number(Fraction("2.5000001"), 1) == ("3", False)
    assert write_number(Fraction("1.2500000"), 2) == ("1.25", True)
    assert write_number(Fraction("-1.23456500"), 6) == ("-1.23457", False)


def test_decimal_comma():
    assert write_number(Fraction(5, 2), comma=True) == ("2,5", True)
    assert write_number(Fraction(200001, 2), comma=True)[0] == "100 000"


@given(st.fractions(max_denominator=10**6), st.integers(1, 12))
def test_a_written_number_is_near_and_says_whether_it_is_exact(value, figures):
    text, exact = write_number(value, figures)
    read = number(text)
    if exact:
        assert read.value == value
    else:
        assert abs(read.value - value) <= read.half or abs(read.value - value) * 2 * 10 ** (
            figures - 1
        ) <= abs(value)


@given(st.integers(3, 5), st.integers(4_000, 30_000))
def test_numbers_of_thousands_of_digits_are_short(base, power):
    huge = Fraction(base**power, 7 ** (power // 2))
    for value in (huge, 1 / huge, -huge):
        text, exact = write_number(value)
        assert not exact
        assert len(text) < 20


@pytest.mark.parametrize(
    ("value", "dimension", "power", "text"),
    [
        ("12e-6", "capacitance", -6, "12 µF"),
        ("12", "voltage", None, "12 V"),
        ("12e-9", "capacitance", None, "12 nF"),
        ("1e-8", "capacitance", -6, "10 nF"),
        ("1e-7", "capacitance", -6, "0.1 µF"),
        ("148.6", "voltage", 3, "148.6 V"),
        ("1486", "voltage", 3, "1.486 kV"),
        ("9.9e-9", "capacitance", -6, "9.9 nF"),
        ("0.00999", "capacitance", -6, "9990 µF"),
        ("0.0999", "capacitance", -6, "99.9 mF"),
        ("0.1", "capacitance", -6, "100 mF"),
        ("0", "voltage", 3, "0 kV"),
        ("0", "voltage", None, "0 V"),
        ("105.84e-6", "energy", -6, "105.84 µJ"),
        ("-24e-6", "charge", -6, "-24 µC"),
        ("1e-20", "charge", None, "1 × 10^-8 pC"),
        ("1e12", "voltage", None, "1 × 10^6 MV"),
        ("1/1500000", "capacitance", -6, "0.6667 µF"),
        ("1", "voltage", 5, "1 V"),
    ],
)
def test_amounts_for_people(value, dimension, power, text):
    numerator, _, denominator = value.partition("/")
    exact = Fraction(numerator) / Fraction(denominator or 1)
    assert write_amount(exact, dimension, power) == text


def test_the_style_of_an_amount():
    value = Fraction(2, 3) / 10**6
    assert write_amount(value, "capacitance", -6, Style(3, True, True)) == "0,667 uF"
    assert write_amount(Fraction(1, 10**20), "charge", None, Style(ascii=True)) == "1e-8 pC"


@given(st.integers(1, 999_999), st.integers(-18, 6), POWERS)
def test_a_short_amount_reads_back_exactly(digits, tens, power):
    value = digits * Fraction(10) ** tens
    text = write_amount(value, "charge", power)
    typed, _, symbol = text.rpartition(" ")
    read = unit(symbol)
    assert read.dimension == "charge"
    assert number(typed).value * Fraction(10) ** read.power == value
