"""When a wrong rule's number counts as wrong, and the sums that such rules misuse."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tutor.teaching.rules.context import RuleContext
from tutor.teaching.rules.idea_texts import follow_up_of, idea_in_words
from tutor.teaching.rules.malrule import (
    Malrule,
    is_taken_as,
    is_within,
    over,
    times,
    total,
    turned,
)

F = Fraction


def test_a_number_within_half_a_per_cent_is_taken_as_right() -> None:
    assert [is_taken_as(F(n, 100), F(200)) for n in (19899, 19900, 20000, 20100, 20101)] == [
        False, True, True, True, False,
    ]
    assert is_taken_as(F(-200), F(-201))
    assert not is_taken_as(F(200), F(-200))
    assert is_taken_as(F(0), F(0))
    assert not is_taken_as(F(1, 1000), F(0))


@pytest.mark.parametrize(("one", "other", "share", "near"), [
    (F(21, 2), F(10), F(1, 20), True),
    (F(211, 20), F(10), F(1, 20), False),
    (F(10), F(21, 2), F(1, 20), True),  # a share of the second: 0.525
    (F(3, 7), F(4, 9), F(1, 28), True),  # 27/63 and 28/63, one of 28
    (F(97), F(100), F(3, 100), True),
    (F(969, 10), F(100), F(3, 100), False),
    (F(3, 7), F(4, 9), F(1, 29), False),
])
def test_near_is_a_share_of_the_other_number(
    one: Fraction, other: Fraction, share: Fraction, near: bool
) -> None:
    assert is_within(one, other, share) == near


def test_sums_that_rules_misuse() -> None:
    assert total([F(3), F(7)]) == 10
    assert total([]) == 0
    assert turned([F(3), F(6)]) == 2
    assert times(F(3), F(1, 2), F(4)) == 6
    assert times(F(3), None) is None
    assert over(F(3), F(6)) == F(1, 2)
    assert over(F(0), F(6)) == 0
    assert [over(None, F(6)), over(F(3), None), over(F(3), F(0))] == [None] * 3


def test_a_rule_leaves_out_what_is_taken_as_right() -> None:
    numbers = (F(10), None, F(1001, 100), F(11), F(-10))
    rule = Malrule("a-rule", "A1", "S01", ("charge", "own"), lambda _: numbers, "help")
    assert list(rule.wrong(RuleContext("charge", F(10)))) == [F(11), F(-10)]
    assert rule.fits(RuleContext("charge", F(10)))
    assert rule.fits(RuleContext("voltage", F(10), key="own"))
    assert not rule.fits(RuleContext("voltage", F(10), key="other"))


def test_words_of_an_idea() -> None:
    rule = Malrule("splits-the-pd-equally", "A1", "S01", (), lambda _: (), "help")
    assert rule.text.idea == idea_in_words("splits-the-pd-equally")
    assert rule._replace(told_as="weakest-link").text.idea == idea_in_words("weakest-link")
    assert follow_up_of("what-is-no-idea") is None
    assert follow_up_of("capacitance-grows-with-the-supply") is None
    found = follow_up_of("upside-down-pd")
    assert found is not None
    assert "rises?" in found.right
    assert "smaller" in found.wrong
    assert "{" not in found.right + found.wrong
    assert found.yes == "More charge on it, more p.d. across it."
