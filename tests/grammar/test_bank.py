"""Sentences about banks: read exactly, or refused at the place."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grammar.bank import Bank, read_bank, speaks_of_bank
from grammar.reading import read_network
from grammar.records import Amount, Refusal

F = Fraction
WANTED = Bank(
    Amount(F(1, 10**5), -6), Amount(F(50)), Amount(F(2, 10**5), -6), Amount(F(200))
)


@pytest.mark.parametrize(
    "text",
    [
        "bank of 10 uF rated 50 V for 20 uF at 200 V",
        "BANK OF 10 uF RATED 50 V FOR 20 uF AT 200 V.",
        "smallest bank of 10 µF capacitors rated at 50 V for 20 microfarad across 200 V",
        "  bank of 1e1 uF, rated 50 V, for 20 uF at 200 V # a remark".replace(",", ""),
    ],
)
def test_read(text: str) -> None:
    assert speaks_of_bank(text)
    assert read_bank(text) == WANTED


@pytest.mark.parametrize(
    ("text", "column", "found"),
    [
        ("bank of 10 uF", 14, "ends too soon"),
        ("bank of 10 uF rated 50 V for 20 V at 200 V", 30, "capacitance is needed"),
        ("bank of 10 uF rated 5 uF for 20 uF at 200 V", 21, "p.d. is needed"),
        ("bank of 0 uF rated 50 V for 20 uF at 200 V", 9, "zero"),
        ("bank of 10 uF rated 50 V for 20 uF at 200 V; 5 uF", 44, '";"'),
        ("bank of 1,200 uF rated 50 V for 20 uF at 200 V", 9, "two ways"),
        ("bank of C rated 50 V for 20 uF at 200 V", 9, '"C"'),
        ("bank of 10 kC rated 50 V for 20 uF at 200 V", 9, "charge"),
    ],
)
def test_refused(text: str, column: int, found: str) -> None:
    with pytest.raises(Refusal) as refused:
        read_bank(text)
    assert found in refused.value.found
    assert refused.value.place is not None
    assert refused.value.place.column == column


@pytest.mark.parametrize("text", ["5 uF -- 3 uF", "Bank = 3 uF", "bank -- 3 uF", ""])
def test_other_texts_speak_of_no_bank(text: str) -> None:
    assert not speaks_of_bank(text)


def test_a_text_from_a_file_or_a_pipe_ends_with_a_new_line_and_may_begin_with_a_remark() -> None:
    text = "# for the lab\n\nbank of 10 uF rated 50 V # each\nfor 20 uF at 200 V\n"
    assert read_network(text).bank == WANTED
    assert read_network("bank of 10 uF rated 50 V for 20 uF at 200 V\n").bank == WANTED
