"""Stories of banks: counts in order, and the word on how few can do."""

from __future__ import annotations

from fractions import Fraction

import pytest

from grammar.bank import read_bank
from tests.teaching.staged.manners import check_manners
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.banking import bank_story

CASES = {
    "bank of 10 uF rated 50 V for 20 uF at 200 V": (4, 8, 32),
    "bank of 1 uF rated 300 V for 2 uF at 1 kV": (4, 8, 32),
    "bank of 10 uF rated 50 V for 25 uF at 40 V": (1, 3, 3),
    "bank of 10 uF rated 50 V for 2 uF at 200 V": (4, 1, 4),
    "bank of 1 uF rated 1 V for 1.7 uF at 1.7 V": (2, 4, 8),
}


@pytest.mark.parametrize("text", CASES)
@pytest.mark.parametrize("terms", [DEFAULTS, Settings(difference="voltage", pd_letter="U")])
def test_counts_and_manners(text: str, terms: Settings) -> None:
    told = bank_story(read_bank(text), terms)
    length, size, parts = CASES[text]
    counts = {ask.key: ask.right for ask in told.asks}
    assert counts["how many in a chain"] == length
    assert counts["how many chains"] == size
    assert counts.get("how many in all", parts) == parts
    assert told.results["capacitors"] == (parts, None)
    assert Fraction(told.results["C"][0]) >= read_bank(text).wanted.value
    assert told.cautions
    check_manners(told, terms)


def test_says_what_is_proven_and_what_unequal_groups_save() -> None:
    usual = "\n".join(bank_story(read_bank(next(iter(CASES))), DEFAULTS).closing)
    assert "fewer than 32" in usual
    assert "unequal" not in usual
    fewer = "\n".join(bank_story(read_bank(list(CASES)[-1]), DEFAULTS).closing)
    assert "one group of 3 and one group of 4" in fewer
    assert "1.714 µF" in fewer
    open_question = bank_story(read_bank("bank of 1 uF rated 1 V for 1 uF at 1.9 V"), DEFAULTS)
    assert open_question.results["capacitors"] == (4, None)
