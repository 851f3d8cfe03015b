"""Networks in any wording: what is read of them, what is asked, what is refused."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from grammar.any_text import readings_of, sure_reading
from grammar.records import Refusal

CASES = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "lenient_networks.toml").read_text(encoding="utf-8")
)


def is_refused_or_beyond(text):
    """Whether nothing can be walked of a text, or only what is left without what is beyond."""
    try:
        return bool(readings_of(text).beyond)
    except Refusal as refusal:
        return bool(refusal.found)


@pytest.mark.parametrize("case", CASES["read"], ids=lambda case: case["text"][:40])
def test_a_text_in_any_wording_has_the_reading_that_is_meant(case):
    found = readings_of(case["text"])
    assert [way.text for way in found.ways] == [case["means"]]
    assert not found.is_strict


@pytest.mark.parametrize("case", CASES["read"][:5], ids=lambda case: case["text"][:40])
def test_who_cannot_ask_refuses_it_and_shows_the_notation(case):
    with pytest.raises(Refusal) as caught:
        sure_reading(case["text"])
    assert case["means"] in caught.value.cure


@pytest.mark.parametrize("case", CASES["refused"], ids=lambda case: case["text"][:40])
def test_what_is_no_network_of_capacitors_is_refused(case):
    assert is_refused_or_beyond(case["text"])


@pytest.mark.parametrize("text", [
    "-3 uF -- 7 uF", "3 uF || −7 uF", "-3uF and -7uF in series", "C1 = -3 uF -- C2 = 7 uF",
    "3 uF, across -12 V",
])  # fmt: skip
def test_a_sign_below_zero_is_refused_and_not_passed_over(text: str) -> None:
    with pytest.raises(Refusal, match=r"(?:less than|below) zero"):
        readings_of(text)


@pytest.mark.parametrize("who", ["third capacitor", "other capacitor", "remaining two"])
@pytest.mark.parametrize("first", [True, False])
def test_a_wish_of_nobody_who_is_there_is_left_out_and_said(who, first):
    told, asked = "3 uF and 6 uF are in series on 9 V.", f"What is the charge on the {who}?"
    found = readings_of(f"{asked} {told}" if first else f"{told} {asked}")
    assert [way.description.asked for way in found.ways] == [()]
    (note,) = found.notes
    assert f'"the {who}"' in note


def test_an_order_in_which_nothing_is_left_asks_of_nothing() -> None:
    text = (
        "Branch 1: 2 µF, 2 µF in series\nBranch 2: 3 µF\nBranch 3: 6 µF, 12 µF in series\n"
        "All branches between + and −, 12 V\nWhat charge is on tork with 3 µF above and 6 µF "
        "below, then 4 µF. Ends at 12 V."
    )
    assert readings_of(text).ways


@pytest.mark.parametrize("word", ["and", "in"])
def test_a_word_said_over_and_over_says_what_it_says_once(word: str) -> None:
    once = "6 uF and 3 uF in series, 12 V"
    over = once.replace(word, " ".join([word] * 40), 1)
    assert readings_of(over).ways == readings_of(once).ways


def test_a_full_stop_beside_a_colon_is_no_number_of_a_ratio() -> None:
    with pytest.raises(Refusal):
        readings_of(
            "Jy-A%C6:]-s→,2U=r,%7/A≈[%EE0\n >,F2<;.[._CUx²:s^.→5≈)x½[P'"
        )
