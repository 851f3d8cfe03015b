"""SI prefixes and the micro sign: SI Brochure, 9th edition, table 7 and chapter 5.
Codes with a letter for the point: IEC 60062, from public lists (../shared/tables.md)."""

from contextlib import suppress
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar import quantity
from grammar.quantity import PREFIX, SYMBOL, Number, Unit, code, number, unit
from grammar.records import Refusal

SI_PREFIXES = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6}
SI_NAMES = {-12: "pico", -9: "nano", -6: "micro", -3: "milli", 0: "", 3: "kilo", 6: "mega"}
UNIT_NAMES = {"capacitance": "farad", "voltage": "volt", "charge": "coulomb", "energy": "joule"}


@pytest.mark.parametrize(("prefix", "power"), SI_PREFIXES.items())
@pytest.mark.parametrize("dimension", SYMBOL)
def test_every_prefix_with_every_unit(prefix, power, dimension):
    expected = Unit(dimension, power)
    name = SI_NAMES[power] + UNIT_NAMES[dimension]
    assert unit(prefix + SYMBOL[dimension]) == expected
    assert unit(name) == unit(name + "s") == unit(name.upper()) == unit(name.title()) == expected
    assert PREFIX[power] == prefix


def test_a_symbol_is_known_without_the_library_and_means_what_it_means_there(monkeypatch):
    symbols = [prefix + symbol for prefix in (*SI_PREFIXES, "u", "\u03bc") for symbol in "FVCJ"]
    there = {symbol: quantity._told_by_pint(symbol) for symbol in symbols}
    monkeypatch.setattr(quantity, "units", None)
    quantity._known.cache_clear()
    assert {symbol: unit(symbol) for symbol in symbols} == there


@pytest.mark.parametrize("micro", ["u", "\u00b5", "\u03bc", "U"])
def test_every_micro_is_micro(micro):
    assert unit(micro + "F") == Unit("capacitance", -6)


@pytest.mark.parametrize(
    ("typed", "dimension", "power"),
    [
        *(("uf", "capacitance", -6), ("pf", "capacitance", -12), ("nf", "capacitance", -9)),
        *(("v", "voltage", 0), ("kv", "voltage", 3), ("KV", "voltage", 3), ("uc", "charge", -6)),
        *(("UF", "capacitance", -6), ("PF", "capacitance", -12), ("NF", "capacitance", -9)),
        *(("MF", "capacitance", 6), ("mF", "capacitance", -3)),
        *(("Mf", "capacitance", 6), ("mf", "capacitance", -3), ("MV", "voltage", 6)),
        *(("micro farad", "capacitance", -6), ("uJ", "energy", -6)),
    ],
)
def test_letter_case_is_forgiven_but_m_and_M_stay_apart(typed, dimension, power):  # noqa: N802
    assert unit(typed) == Unit(dimension, power)


@pytest.mark.parametrize(
    ("typed", "word"),
    [
        *(("mfd", "Write µF."), ("mmf", "Write pF."), ("MFD", "Write µF."), ("ufd", "Write µF.")),
        *(("u", "prefix with no unit"), ("µ", "prefix"), ("k", "prefix"), ("kilo", "prefix")),
        *(("mmV", "more than one prefix"), ("nkV", "more than one prefix")),
        *(("ohm", "resistance"), ("Ω", "resistance"), ("kΩ", "resistance")),
        *(("A", "not a unit"), ("cF", "not a unit"), ("GF", "not a unit"), ("", "not a unit")),
        *(("uFs", "not a unit"), ("x" * 5000, "not a unit"), ("F/m", "not a unit")),
        *(("__class__", "not a unit"), ("F**2", "not a unit"), ("2F", "not a unit")),
    ],
)
def test_other_units_are_refused(typed, word):
    with pytest.raises(Refusal, match=word.replace(".", r"\.")) as caught:
        unit(typed)
    assert caught.value.place is None
    assert len(str(caught.value)) < 200


@pytest.mark.parametrize(
    ("typed", "value", "half", "figures"),
    [
        ("12", "12", "1/2", 2),
        ("2.5", "5/2", "1/20", 2),
        ("2,5", "5/2", "1/20", 2),
        ("0,125", "1/8", "1/2000", 3),
        (".5", "1/2", "1/20", 1),
        ("1.20", "6/5", "1/200", 3),
        ("12 000", "12000", "1/2", 5),
        ("12\u00a0000", "12000", "1/2", 5),
        ("12\u202f000,5", "24001/2", "1/20", 6),
        ("1.2e-6", "3/2500000", "1/20000000", 2),
        ("1.2E-6", "3/2500000", "1/20000000", 2),
        ("1.2 × 10^-6", "3/2500000", "1/20000000", 2),
        ("1.2 × 10⁻⁶", "3/2500000", "1/20000000", 2),
        ("1.2 x 10^-6", "3/2500000", "1/20000000", 2),
        ("1.2*10^-6", "3/2500000", "1/20000000", 2),
        ("1.2 · 10^(-6)", "3/2500000", "1/20000000", 2),
        ("1.2 x 10**-6", "3/2500000", "1/20000000", 2),
        ("3e2", "300", "50", 1),
        ("-4", "-4", "1/2", 1),
        ("−4", "-4", "1/2", 1),
        ("+4", "4", "1/2", 1),
        ("0", "0", "1/2", 1),
        ("0.0", "0", "1/20", 1),
        ("007", "7", "1/2", 1),
        ("１２", "12", "1/2", 2),
        ("9" * 60, "9" * 60, "1/2", 60),
    ],
)
def test_numbers(typed, value, half, figures):
    assert number(typed) == Number(Fraction(value), Fraction(half), figures)


@pytest.mark.parametrize(
    ("typed", "word"),
    [
        ("1,200", "1.200 if the comma is a decimal comma, or 1200"),
        ("12,345", "12.345 if the comma is a decimal comma, or 12345"),
        ("1,234,567", "do not make one number"),
        ("1.234,5", "do not make one number"),
        ("1.2.3", "do not make one number"),
        ("1 2345", "do not make one number"),
        ("9" * 61, "more than 60 digits"),
        ("9" * 10_000, "more than 60 digits"),
        ("1e999999999", "power of ten"),
        ("1e" + "9" * 10_000, "power of ten"),
        ("1 × 10^-61", "power of ten"),
        *(("", "not a number"), ("x", "not a number"), ("1e", "not a number")),
        *(("٣", "not a number"), ("½", "not a number"), ("0x10", "not a number")),
        *(("nan", "not a number"), ("inf", "not a number"), ("1_000", "not a number")),
    ],
)
def test_numbers_that_are_refused(typed, word):
    with pytest.raises(Refusal) as caught:
        number(typed)
    assert word in str(caught.value)
    assert len(str(caught.value)) < 250


@given(st.text(max_size=40))
def test_any_text_is_a_number_or_refused(text):
    for read in (number, unit, code):
        with suppress(Refusal):  # any other error fails the test
            read(text)


@given(st.integers(0, 10**9), st.integers(0, 9))
def test_a_decimal_keeps_its_value_and_its_places(digits, places):
    read = number(f"{Decimal(digits).scaleb(-places):.{places}f}")
    assert read.value == Fraction(digits, 10**places)
    assert read.half == Fraction(1, 2 * 10**places)


@pytest.mark.parametrize(
    ("typed", "value", "power"),
    [
        *(("4n7", "4.7", -9), ("2n2", "2.2", -9), ("10p", "10", -12), ("1µ0", "1", -6)),
        *(("4u7", "4.7", -6), ("4μ7", "4.7", -6), ("p68", "0.68", -12), ("1F0", "1", 0)),
        *(("4m7", "4.7", -3), ("100n", "100", -9), ("n10", "0.10", -9), ("4u7F", "4.7", -6)),
    ],
)
def test_codes_with_a_letter_for_the_point(typed, value, power):
    found = code(typed)
    assert found is not None
    assert (found[0].value, found[1]) == (Fraction(value), power)


@pytest.mark.parametrize("typed", ["104", "C1", "2C", "4.7", "n", "1F", "F1", "4n7n", "", "C/2"])
def test_what_is_no_code(typed):
    assert code(typed) is None


@pytest.mark.parametrize("typed", ["4k7", "4R7", "4K7", "10R", "47k", "1M5"])
def test_a_resistor_is_told_apart(typed):
    with pytest.raises(Refusal, match="resistor"):
        code(typed)


@pytest.mark.parametrize("typed", ["4n7K", "100nJ", "p68M"])
def test_a_tolerance_is_told_apart(typed):
    with pytest.raises(Refusal, match=f"Leave it out: {typed[:-1]}"):
        code(typed)


def test_powers_of_ten_are_read_up_to_their_bound_and_no_further() -> None:
    assert number("1e60").value == 10**60
    assert number("1e-060").value == Fraction(1, 10**60)
    with pytest.raises(Refusal, match="out of reach"):
        number("1e61")


@pytest.mark.parametrize("typed", ["xyz", "uuF", "k" * 31 + "F", "ohm", "p", "MFD"])
def test_a_refusal_shows_what_was_typed_cut_to_what_a_line_bears(typed: str) -> None:
    with pytest.raises(Refusal) as refused:
        unit(typed)
    shown = typed if len(typed) <= 30 else typed[:27] + "..."
    assert refused.value.found.startswith(f"{shown} ")
