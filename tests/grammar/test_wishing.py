"""Wishes for an arrangement as text: read into records, or refused with a place and a cure."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Amount, Refusal
from grammar.refusals import show
from grammar.wishes import Capacitors, PreferredSeries, WishedFor
from grammar.wishing import read_wish
from tests.sampled import some

REFUSED = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "refused_wishes.toml").read_text(encoding="utf-8")
)["refused"]


def micro(number: str) -> Amount:
    return Amount(Fraction(number) / 10**6, -6)


def nano(number: str) -> Amount:
    return Amount(Fraction(number) / 10**9, -9)


def volts(number: str) -> Amount:
    return Amount(Fraction(number), 0)


TWO, THREE, SIX = (Capacitors(micro(each)) for each in "236")
E12 = PreferredSeries("E12")

READ = {
    "5 uF from 2 uF, 3 uF, 6 uF": WishedFor(micro("5"), (TWO, THREE, SIX)),
    "Arrange 5 uF From 2 uF and 3 uF and 6 uF.": WishedFor(micro("5"), (TWO, THREE, SIX)),
    "5 uF from all of 2uF, 3uF, 6uF": WishedFor(micro("5"), (TWO, THREE, SIX), all_of=True),
    "4 uF from three 6 uF": WishedFor(micro("4"), (Capacitors(micro("6"), 3),)),
    "4 uF from up to three 6 uF capacitors": WishedFor(micro("4"), (Capacitors(micro("6"), 3),)),
    "4 uF from up to 5 x 2 uF": WishedFor(micro("4"), (Capacitors(micro("2"), 5),)),
    "4 uF from 5 × 2 uF, 3 uF": WishedFor(micro("4"), (Capacitors(micro("2"), 5), THREE)),
    "4,7 uF from 4u7": WishedFor(micro("4.7"), (Capacitors(micro("4.7")),)),
    "5 uF from 2 uF, 3 uF, within 2 %": WishedFor(micro("5"), (TWO, THREE), Fraction(1, 50)),
    "5 uF within 2.5 percent from 2 uF": WishedFor(micro("5"), (TWO,), Fraction(1, 40)),
    "5 uF from 2 uF within 0.1 uF": WishedFor(micro("5"), (TWO,), micro("0.1")),
    "5 nF from E12": WishedFor(nano("5"), (E12,)),
    "5 nF from the e12 series, up to three parts": WishedFor(nano("5"), (E12,), most_parts=3),
    "5 nF from E12 between 100 nF and 1 nF, up to 3 parts": WishedFor(
        nano("5"), (E12,), between=(nano("1"), nano("100")), most_parts=3
    ),
    "12 uF for 100 V from 6 uF rated 63 V": WishedFor(
        micro("12"), (Capacitors(micro("6"), 1, volts("63")),), across=volts("100")
    ),
    "12 uF, for 100 V, from 2 uF rated 25 V, 3 uF, all rated 63 V": WishedFor(
        micro("12"),
        (Capacitors(micro("2"), 1, volts("25")), Capacitors(micro("3"), 1, volts("63"))),
        across=volts("100"),
    ),
    "12 uF across 100 V from E12 rated 63 V": WishedFor(
        micro("12"), (PreferredSeries("E12", volts("63")),), across=volts("100")
    ),
    "every value from three 6 uF": WishedFor(None, (Capacitors(micro("6"), 3),)),
    "all values from 2 uF, 3 uF": WishedFor(None, (TWO, THREE)),
    "3.3 microfarads from 2 uF": WishedFor(micro("3.3"), (TWO,)),
}


@pytest.mark.parametrize("text", READ)
def test_a_wish_is_read(text: str) -> None:
    assert read_wish(text) == READ[text]


@pytest.mark.parametrize("case", REFUSED, ids=lambda case: case["text"])
def test_a_wish_is_refused_with_its_place(case: dict[str, str | int]) -> None:
    with pytest.raises(Refusal) as caught:
        read_wish(str(case["text"]))
    found = caught.value
    assert (found.found, found.cure) == (case["found"], case["cure"])
    assert (found.place.column if found.place else 0) == case["column"]


PIECES = (
    "5 uF", "from", "2 uF", "three", "up to", "3 x", "E12", "E13", "between", "and", ",", "within",
    "2 %", "for", "100 V", "rated", "63 V", "all of", "each", "all", "parts", "3", "every value",
    "(", "||", ";", "\n", "#", "C1", "capacitors", ".", "\u200b",
)  # fmt: skip


def read_or_refused(text: str) -> WishedFor | Refusal:
    try:
        return read_wish(text)
    except Refusal as refusal:
        return refusal


@settings(max_examples=some(300), deadline=None)
@given(st.lists(st.sampled_from(PIECES), max_size=12).map(" ".join) | st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    answer = read_or_refused(text)
    if isinstance(answer, WishedFor):
        assert answer.items
        return
    assert answer.found.endswith(".")
    assert answer.cure.endswith((".", "?"))
    assert len(show(answer).split("\n")) < 12


@pytest.mark.parametrize("text", ["5 uF from " + "2 uF, " * 1000, "9" * 1999, "(" * 6000])
def test_long_nonsense_is_refused_briefly(text: str) -> None:
    with pytest.raises(Refusal) as caught:
        read_wish(text)
    assert len(str(caught.value)) < 400
