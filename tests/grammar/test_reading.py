import tomllib
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

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
    Refusal,
    Wire,
)
from grammar.refusals import show
from grammar.writing import write_network
from tests.sampled import some

CASES = Path(__file__).parents[1] / "cases"
READ = tomllib.loads((CASES / "read_networks.toml").read_text(encoding="utf-8"))["read"]
REFUSED = tomllib.loads((CASES / "refused_networks.toml").read_text(encoding="utf-8"))["refused"]


def micro(name, value):
    return Element(name, Amount(Fraction(value, 10**6), -6))


def test_a_nest_as_records():
    assert read_network("4 uF -- (2 uF || 3 uF), across 12 V; asked: Q3, C") == Description(
        nest=Chain((micro("C1", 4), Parallel((micro("C2", 2), micro("C3", 3))))),
        supply=Charging("voltage", Amount(Fraction(12))),
        asked=(Asked("charge", "C3"), Asked("capacitance")),
    )


def test_a_list_of_joins_as_records():
    text = "C1 = 4 uF from A to P; C2 = 2 uF from Q to B; wire from P to Q; ends A and B; holding Q"
    assert read_network(text) == Description(
        joins=(Join(micro("C1", 4), "A", "P"), Join(micro("C2", 2), "Q", "B")),
        wires=(Wire("P", "Q"),),
        ends=("A", "B"),
        supply=Charging("charge", Letter("Q")),
    )


def test_letters_as_records():
    assert read_network("C -- 2C/3 -- C1, across V, ends X and Y") == Description(
        nest=Chain(
            (
                Element("C2", Letter("C")),
                Element("C3", Letter("C", Fraction(2, 3))),
                Element("C1", Letter("C1")),
            )
        ),
        ends=("X", "Y"),
        supply=Charging("voltage", Letter("V")),
    )


@pytest.mark.parametrize("case", READ, ids=lambda case: case["text"][:40])
def test_every_form_is_read(case):
    read = read_network(case["text"])
    assert write_network(read) == case["written"]
    assert read_network(case["written"]) == read


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: case["text"][:40])
def test_every_refusal_has_its_place_and_its_words(case):
    with pytest.raises(Refusal) as caught:
        read_network(case["text"])
    found = caught.value
    assert (found.found, found.cure) == (case["found"], case["cure"])
    place = (found.place.line, found.place.column) if found.place else (0, 0)
    assert place == (case["line"], case["column"])


def test_there_are_enough_refusals_and_all_forms_of_the_design():
    assert len({case["text"] for case in REFUSED}) == len(REFUSED) >= 300
    assert len(READ) >= 160


def nested(depth):
    """A nest with brackets ``depth`` deep that alternates, so that none of them is idle."""
    opened = "".join(f"(1 uF {'--' if index % 2 else '||'} " for index in range(depth))
    return opened + "1 uF" + ")" * depth


@pytest.mark.parametrize("depth", [2_000, 5_000])
def test_a_deep_nest_is_read(depth):
    text = nested(depth)
    written = write_network(read_network(text))
    assert written.count("(") == depth - 1
    assert write_network(read_network(written)) == written


@pytest.mark.parametrize("depth", [5_001, 10_000, 200_000])
def test_a_nest_too_deep_is_refused(depth):
    with pytest.raises(Refusal, match="more than 5 000 deep") as caught:
        read_network("(" * depth + "1 uF" + ")" * depth)
    assert caught.value.place.column == 5_001


def test_named_parts_too_deep_are_refused():
    lines = ["Z0 = (1 uF -- 2 uF)"]
    lines += [f"Z{n} = (Z{n - 1} {'--' if n % 2 else '||'} 1 uF)" for n in range(1, 5_100)]
    with pytest.raises(Refusal, match="more than 5 000 deep"):
        read_network("\n".join(lines))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("x" * 500_001, "more than 500 000 characters"),
        ("9" * 10_000 + " uF", "more than 60 digits"),
        ("1 uF " * 100_000, "Nothing joins 1"),
        ("a" * 500_000, "has no value"),
        ("-" * 500_000, "A part is missing"),
        ("1." * 200_000, "has no unit"),
        ("#" * 500_000, "only remarks"),
        ("in " * 100_000, "in is a word"),
    ],
)
def test_large_nonsense_is_refused_at_once_and_briefly(text, found):
    with pytest.raises(Refusal, match=found) as caught:
        read_network(text)
    assert len(str(caught.value)) < 600
    assert all(len(line) <= 78 for line in show(caught.value).split("\n"))


def test_two_thousand_copies_are_read_and_no_more():
    assert len(read_network("2000 x 1 uF in series").nest.members) == 2_000
    with pytest.raises(Refusal, match="number of capacitors"):
        read_network("2001 x 1 uF in series")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        (
            "C1 = 4 uF\nC1 -- 12 V",
            [
                "Line 2: This is a p.d., and a capacitance is needed here.",
                "C1 -- 12 V",
                "      ^",
                "Write a capacitance in F, as in 4 µF.",
            ],
        ),
        (
            "\t4 uF -- ２Ｖ",
            [
                "Line 1: This is a p.d., and a capacitance is needed here.",
                " 4 uF -- ２Ｖ",
                "         ^",
                "Write a capacitance in F, as in 4 µF.",
            ],
        ),
        ("", ["There is no text.", "Describe a network, as in 4 uF -- (2 uF || 3 uF)."]),
    ],
)
def test_a_refusal_is_shown_with_a_caret(text, shown):
    with pytest.raises(Refusal) as caught:
        read_network(text)
    assert show(caught.value).split("\n") == shown


@given(st.integers(0, 60), st.integers(0, 60))
def test_a_long_line_is_cut_round_the_caret(before, after):
    text = "1 uF -- " * before + "3 V" + " -- 1 uF" * after
    with pytest.raises(Refusal) as caught:
        read_network(text)
    _, line, caret, _ = show(caught.value).split("\n")
    assert max(len(line), len(caret)) <= 78
    assert line[caret.index("^") :].startswith("3 V")


PIECES = [
    *("--", "||", "(", ")", ",", ";", "\n", "=", "/", "-", "|", ".", "?", "#", ":", "'", "\t"),
    *("4 uF", "2 uF", "C1", "C2", "C", "2C", "C/2", "V", "A", "B", "Q1", "4u7", "p68", "1,200"),
    *("across", "12 V", "holding", "3 uC", "ends", "and", "from", "to", "between", "wire"),
    *("asked:", "find", "the", "charge", "on", "each", "capacitor", "p.d.", "total", "stored"),
    *("in series", "in parallel", "in series with", "with", "series(", "parallel(", "three"),
    *("rated", "charged to", "10 V", "join", "crossed", "then", "remove supply", "put", "with"),
    *("fill", "empty", "take out", "gap of", "gap", "doubled", "times 3/2", "double the gap of"),
    *("plates", "100 cm2", "8 cm", "square", "by", "1 mm", "filled 2.5", "over", "1/2", "half"),
    *("layers", "side by side", "0.4 mm of 2", "40 cm² of 2", "of", "metal", "C2 = ?", "V1 = 3 V"),
    *("ladder of", "(series 2 uF, shunt 4 uF)", "5 sections", "without end", "endless", "shunt"),
    *("3 x", "a", "x", "×", "µF", "é", "²", "⁻", "𝟓", "\u200b", "\x1b", "\ud800", "\r", "\u2028"),
]
SOUP = st.lists(st.sampled_from(PIECES), max_size=14).map(" ".join)


@st.composite
def spoilt(draw):
    """A text that can be read, with a few pieces taken out, put in or doubled."""
    text = draw(st.sampled_from(READ))["text"]
    for _ in range(draw(st.integers(1, 4))):
        start, end = sorted((draw(st.integers(0, len(text))), draw(st.integers(0, len(text)))))
        between = draw(st.one_of(st.sampled_from(PIECES), st.just(text[start:end]), st.text()))
        text = text[:start] + between + text[min(end, start + 4) :]
    return text


def read_or_refused(text):
    try:
        return read_network(text)
    except Refusal as refusal:
        return refusal


@settings(max_examples=some(400), deadline=None)
@given(st.one_of(st.text(), SOUP, spoilt()))
def test_any_text_is_read_or_refused(text):
    answer = read_or_refused(text)
    if isinstance(answer, Description):
        assert read_network(write_network(answer)) == answer
        return
    assert answer.found.endswith(".")
    assert answer.cure.endswith((".", "?"))
    assert len(show(answer).split("\n")) < 12
    if answer.place is not None:
        assert 1 <= answer.place.column <= len(answer.place.line_text) + 1
