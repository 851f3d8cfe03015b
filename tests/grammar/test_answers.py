"""Lines of learners: what they say, what they are worth, and how they are refused."""

from __future__ import annotations

import pickle
import re
import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sympy import simplify, symbols

from grammar.answers import (
    Claim,
    Measure,
    Name,
    WrongUnit,
    as_si,
    evaluate,
    half_in_si,
    is_plain_value,
    known,
    parts_of,
    read_claims,
)
from grammar.expressions import Num, names_in, rewritten
from grammar.parsing import build, source_of
from grammar.records import Dimension, Refusal
from tests.sampled import some

CASES = Path(__file__).parent.parent / "cases"
READ = tomllib.loads((CASES / "read_answers.toml").read_text("utf-8"))["read"]
REFUSED = tomllib.loads((CASES / "refused_answers.toml").read_text("utf-8"))["refused"]

MICRO = Fraction(1, 10**6)
DISPLAY: dict[Dimension, int] = {"capacitance": -6, "voltage": 0, "charge": -6, "energy": -6}
KIND: dict[str, Dimension] = {
    "C": "capacitance",
    "V": "voltage",
    "Q": "charge",
    "E": "energy",
}
# C1 = 4 µF -- (C2 = 2 µF || C3 = 3 µF) on 12 V, in µF, V, µC and µJ; C23' only has a name.
SHOWN = {
    "C1": "4", "C2": "2", "C3": "3", "C23": "5", "C23'": "10", "C": "20/9", "V": "12",
    "Q": "80/3", "E": "160", "Q1": "80/3", "Q2": "32/3", "V1": "20/3", "V23": "16/3",
    "E1": "800/9",
}  # fmt: skip
SI_DIMS = {
    "F": (1, 0, 0), "V": (0, 1, 0), "C": (1, 1, 0), "J": (1, 2, 0), "pure": (0, 0, 0),
}


def lookup() -> dict[str, Measure]:
    found = {}
    for name, text in SHOWN.items():
        power = DISPLAY[KIND[name[0]]]
        found[name] = known(Fraction(text) * Fraction(10) ** power, KIND[name[0]], power)
    return found


def told(text: str) -> tuple[Fraction, tuple[int, int], bool, Fraction | None]:
    """A worth of the table: value, dimensions, bare or not, half a unit of the last place."""
    match = re.fullmatch(r"(≈ )?(\S+)(?: (1/)?([pnu]?)([FVCJ]|pure))?(?: ± (\S+))?", text)
    assert match is not None, text
    _, number, below, prefix, unit, half = match.groups()
    scale = {"p": MICRO / 10**6, "n": MICRO / 1000, "u": MICRO}.get(prefix or "", Fraction(1))
    dims = SI_DIMS[unit or "pure"]
    if below:
        scale, dims = 1 / scale, (-dims[0], -dims[1], -dims[2])
    return (
        Fraction(number) * scale,
        dims,
        unit is None,
        None if half is None else Fraction(half) * scale,
    )


def worth_of(claim: Claim) -> list[tuple[Any, tuple[int, int], bool, Fraction | None]]:
    found = [evaluate(side, lookup()) for side in claim.sides]
    assert all(each.one_number is (each.half is not None) for each in found)
    return [(each.value, each.dims, each.bare, each.half) for each in found]


@pytest.mark.parametrize("case", READ, ids=[case["line"] for case in READ])
def test_reads(case: dict[str, Any]) -> None:
    claims = read_claims(case["line"], SHOWN)
    assert len(claims) == len(case["claims"])
    for claim, expected in zip(claims, case["claims"], strict=True):
        assert claim.target == expected.get("target")
        assert claim.reciprocal == expected.get("reciprocal")
        assert worth_of(claim) == [told(text) for text in expected["worth"]]


@pytest.mark.parametrize("case", REFUSED, ids=[case["line"] for case in REFUSED])
def test_refuses(case: dict[str, Any]) -> None:
    with pytest.raises(Refusal) as caught:
        read_claims(case["line"], SHOWN)
    place = caught.value.place
    assert place is not None
    assert (place.line, place.column) == (1, case["column"])
    assert place.line_text == case["line"]
    assert case["says"] in str(caught.value)
    assert caught.value.cure


@pytest.mark.parametrize(
    ("line", "column", "says"),
    [
        ("1" * 61, 1, "more than 60 digits"),
        ("1" * 60 + "u7", 61, "more than 60 digits"),
        ("5" + " " * 500, 501, "longer than 500"),
        ("(" * 101 + "5" + ")" * 101, 101, "More than 100 brackets"),
    ],
)
def test_refuses_what_is_beyond_the_limits(line: str, column: int, says: str) -> None:
    with pytest.raises(Refusal) as caught:
        read_claims(line, SHOWN)
    assert caught.value.place is not None
    assert caught.value.place.column == column
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("(" * 100 + "5" + ")" * 100, 5),
        ("1+" * 249 + "1", 250),
        ("1-(" * 99 + "1" + ")" * 99, 0),
        ("-(" * 99 + "1" + ")" * 99, -1),
        ("((2^6)^6)", 2**36),
    ],
)
def test_long_and_deep_lines_are_worked_out(line: str, value: int) -> None:
    (claim,) = read_claims(line, ())
    assert evaluate(claim.sides[0], {}).value == value


def only_side(line: str, names: tuple[str, ...] = tuple(SHOWN), letters: bool = False) -> Measure:
    (claim,) = read_claims(line, names, letters)
    return evaluate(claim.sides[-1], lookup())


@pytest.mark.parametrize(
    ("line", "kind", "power", "si", "half"),
    [
        ("5", "capacitance", -6, 5 * MICRO, MICRO / 2),
        ("5.0 uF", "capacitance", -9, 5 * MICRO, MICRO / 20),
        ("6/5", "capacitance", -6, MICRO * 6 / 5, None),
        ("6.7", "voltage", 0, Fraction(67, 10), Fraction(1, 20)),
        ("3 kV", "voltage", 0, Fraction(3000), Fraction(500)),
        ("0.45", (-1, 0), 6, Fraction(45, 100) / MICRO, Fraction(5, 1000) / MICRO),
    ],
)
def test_an_answer_counts_in_the_unit_asked_for(
    line: str, kind: Any, power: int, si: Fraction, half: Fraction | None
) -> None:
    measure = only_side(line)
    assert as_si(measure, kind, power) == si
    assert half_in_si(measure, power) == half


def test_a_unit_of_another_quantity_is_told_apart() -> None:
    with pytest.raises(WrongUnit) as caught:
        as_si(only_side("25.2 uF"), "charge", -6)
    assert caught.value.dims == (1, 0, 0)
    assert caught.value.wanted == (1, 1, 0)
    assert str(caught.value) == (
        "This is a capacitance. Here a charge is needed: look at the unit."
    )
    again = pickle.loads(pickle.dumps(caught.value))
    assert (again.dims, again.wanted, str(again)) == ((1, 0, 0), (1, 1, 0), str(caught.value))


@pytest.mark.parametrize("line", ["2 uF + 3 V", "C1 - V1", "Q + 1/C"])
def test_a_sum_of_two_kinds_has_no_worth(line: str) -> None:
    with pytest.raises(WrongUnit):
        only_side(line)


@pytest.mark.parametrize("line", ["5/0", "24/(2 - 2)", "0^-1", "Q/(C1 - C1)", "0/0"])
def test_nothing_is_divided_by_zero(line: str) -> None:
    with pytest.raises(Refusal, match="divides by zero"):
        only_side(line)


def test_a_name_without_a_value_is_refused() -> None:
    with pytest.raises(Refusal, match="V9 has no value yet"):
        only_side("V9 + 1", names=("V9",))


def test_exact_case_wins_and_a_doubtful_case_is_refused() -> None:
    assert read_claims("c", ("C", "c"))[0].sides == (Name("c"),)
    with pytest.raises(Refusal):
        read_claims("AB", ("Ab", "aB"))


LETTERS = ("C", "V", "Q", "C1", "C2")


@pytest.mark.parametrize(
    ("line", "expected", "dims"),
    [
        ("2C/3", "2*C/3", (1, 0, 0)),
        ("2 C/3", "2*C/3", (1, 0, 0)),
        ("C/2", "C/2", (1, 0, 0)),
        ("3V", "3*V", (0, 1, 0)),
        ("½CV²", "C*V**2/2", (1, 2, 0)),
        ("1/2 C V^2", "C*V**2/2", (1, 2, 0)),
        ("(CV)²/2C", "C*V**2/2", (1, 2, 0)),
        ("C1C2/(C1 + C2)", "C1*C2/(C1 + C2)", (1, 0, 0)),
        ("1/(1/C + 1/2C)", "2*C/3", (1, 0, 0)),
        ("2/3 C V", "2*C*V/3", (1, 1, 0)),
        ("C/C", "1", (0, 0, 0)),
    ],
)
def test_letters(line: str, expected: str, dims: tuple[int, int, int]) -> None:
    c, v, q, c1, c2 = symbols("C V Q C1 C2", positive=True)
    worths: dict[str, Any] = {
        "2*C/3": 2 * c / 3, "C/2": c / 2, "3*V": 3 * v, "C*V**2/2": c * v**2 / 2,
        "C1*C2/(C1 + C2)": c1 * c2 / (c1 + c2), "2*C*V/3": 2 * c * v / 3, "1": c / c,
    }  # fmt: skip
    values = {
        "C": known(c, "capacitance"), "V": known(v, "voltage"), "Q": known(q, "charge"),
        "C1": known(c1, "capacitance"), "C2": known(c2, "capacitance"),
    }  # fmt: skip
    (claim,) = read_claims(line, LETTERS, letters=True)
    found = evaluate(claim.sides[0], values)
    assert simplify(found.value - worths[expected]) == 0
    assert found.dims == dims


def test_units_count_among_letters() -> None:
    assert only_side("2 uF", letters=True).dims == (1, 0, 0)
    assert only_side("24 µC", letters=True).value == 24 * MICRO
    assert only_side("2 C").dims == (1, 1, 0)
    assert only_side("2 C", letters=True).dims == (1, 0, 0)


def test_parts_come_after_what_they_are_made_of() -> None:
    (claim,) = read_claims("C1*C2/(C1 + C23)", SHOWN)
    names = [part.text for part in parts_of(claim.sides[0]) if isinstance(part, Name)]
    assert names == ["C1", "C2", "C1", "C23"]
    assert list(parts_of(claim.sides[0]))[-1] == claim.sides[0]


PIECES = st.sampled_from(
    [
        *"0123456789+-*/^()[]=,;.'x×·÷²½µ _?%&|~:eECVQ\n\t\0é",
        "C1", "C23'", "uF", " 5 uF", "10^-6", "e-6", "1 1/5", " and ", " is ", "1/C", "√",
        "charge on ", " across ", "about ", "--", "||", "micro ", "⁻⁶", "1,200", "4u7", "0",
        "(", ")", "^6",
    ]
)  # fmt: skip


@settings(max_examples=some(400), deadline=None)
@given(st.one_of(st.lists(PIECES, max_size=30).map("".join), st.text(max_size=60)), st.booleans())
def test_every_line_is_read_or_refused(line: str, letters: bool) -> None:
    claims: tuple[Claim, ...] = ()
    refused = None
    try:
        claims = read_claims(line, SHOWN, letters)
    except Refusal as refusal:
        refused = refusal
    if refused is not None:
        assert refused.place is not None
        assert 1 <= refused.place.column <= len(refused.place.line_text) + 1
    for side in (side for claim in claims for side in claim.sides):
        try:
            measure = evaluate(side, lookup())
        except Refusal:
            continue
        assert isinstance(measure.value, Fraction)


@given(
    st.fractions(min_value=0, max_value=10**6, max_denominator=999),
    st.sampled_from(["uF", "nF", "V", "µC", "mJ"]),
)
def test_a_fraction_keeps_its_value(value: Fraction, unit: str) -> None:
    plain = only_side(f"{value.numerator}/{value.denominator}")
    assert plain.value == value
    united = only_side(f"{value.numerator}/{value.denominator} {unit}")
    assert united.value == value * Fraction(10) ** united.power


def test_the_grammar_has_one_reading() -> None:
    pytest.importorskip("interegular")
    build("answer", source_of("answer"), strict=True)


@pytest.mark.parametrize(
    ("line", "plain"),
    [("14", True), ("C23 = 14 uF", True), (" Q = -2,5 mC ", True), ("9 V", True), ("C2", False),
     ("C23 = 9 + 5 uF", False), ("C23 = 14 uF = 14", False), ("14 ohm", False), ("", False)],
)
def test_one_number_with_its_name_and_unit_is_told_from_a_sum(line: str, plain: bool) -> None:
    assert is_plain_value(line) is plain


def test_one_very_part_is_put_in_the_place_of_another() -> None:
    (claim,) = read_claims("2 uF + 2 uF × C1/(C1 + 3)", ("C1",))
    (side,) = claim.sides
    first = next(part for part in parts_of(side) if isinstance(part, Num) and part.value == 2)
    changed = rewritten(side, lambda part: Name("C9") if part is first else None)
    assert names_in(side) == ["C1", "C1"]
    assert names_in(changed) == ["C9", "C1", "C1"]
    assert rewritten(side, lambda _: None) == side
