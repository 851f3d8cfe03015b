"""Wrong rules on networks by chance: whoever follows one is led to it, in the dialogue."""

from __future__ import annotations

import re
from random import Random

import pytest

from tests import malrule_report
from tests.misled import ON_WALKS
from tests.sampled import some
from tests.slips import SLIPS, named_after, slips
from tutor.teaching.rules.catalogue import BY_OTHER_SIGNS
from tutor.teaching.rules.malrule import Malrule

NETWORKS = some(30)


@pytest.mark.parametrize(
    "malrule", list(ON_WALKS), ids=lambda m: f"{m.code}-{m.places[0]}"
)
def test_settles_on_the_rule(malrule: Malrule) -> None:
    found = malrule_report.row(malrule, NETWORKS)
    assert found.chances == NETWORKS
    assert found.alone_settled >= 0.99 * found.alone, found.unsettled
    assert found.settled >= 0.95 * found.chances
    assert found.alone or malrule.code in ("C1", "C12", "C5", "C11", "C14")


@pytest.mark.parametrize(
    "malrule",
    [m for m in ON_WALKS if m.code in ("C2", "C4", "C8", "C13", "C15", "D1", "D3", "D5")],
    ids=lambda m: m.code,
)
def test_finds_the_step_where_the_whole_went_wrong(malrule: Malrule) -> None:
    found = malrule_report.early_row(malrule, NETWORKS // 3)
    assert found.alone_settled >= 0.99 * found.alone > 0, found.unsettled


@pytest.mark.parametrize("code", sorted(SLIPS))
def test_slip_is_named(code: str) -> None:
    name = next(name for name, (of, _) in BY_OTHER_SIGNS.items() if of == code)
    heard = [named_after(slip) for slip in slips(code, Random(code), NETWORKS)]
    assert heard == [(name,)] * NETWORKS


def test_right_answers_are_never_named() -> None:
    for malrule in ON_WALKS[::4]:
        for heard in malrule_report.right_answers(malrule, NETWORKS):
            assert not malrule_report.is_named_falsely(heard), heard


@pytest.mark.parametrize("figures", [2, 3, 5])
def test_own_rounded_values_are_never_named(figures: int) -> None:
    for heard in malrule_report.walks_on_rounded_values(NETWORKS, figures):
        assert not malrule_report.is_named_falsely(heard), heard


def test_false_matches_are_rare() -> None:
    """About half, under a tenth and about a hundredth, as for the ten rules of a series pair."""
    one, two, three = (rate.share for rate in malrule_report.false_matches(2 * NETWORKS))
    assert 0.3 < one < 0.6
    assert 0.05 < two < 0.1
    assert three < 0.012


def test_report_has_a_line_for_every_rule() -> None:
    text = "\n".join(malrule_report.report(2))
    for name in {m.name for m in ON_WALKS} | set(BY_OTHER_SIGNS) - {"tests-the-wrong-pairs"}:
        assert name in text
    assert "named falsely: 0" in text
    assert re.search(r"series pairs .*: 1 figures [\d.]+ %, 2 figures [\d.]+ %, 3 figures", text)
