"""Right lines of working by chance are never called wrong: a sample of ``tests.working_report``."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice

import pytest

from tests.teaching.marking.made_working import MadeScript, made_scripts
from tests.working_report import RIGHT_CALLED_WRONG, found_in, marked_script

SCRIPTS = 60
SEED = 11
SAMPLE: Sequence[MadeScript] = tuple(islice(made_scripts(SEED), SCRIPTS))
KINDS = ("network", "joined", "changed", "plates", "rated", "missing", "bridge", "balanced")


def test_the_sample_has_problems_of_every_kind_and_slips() -> None:
    assert {each.problem.kind for each in SAMPLE} >= set(KINDS)
    assert {each.slip.kind for each in SAMPLE if each.slip} >= {"sum", "rule", "copied"}


@pytest.mark.parametrize("made", SAMPLE, ids=lambda made: made.lines[0][:60])
def test_no_right_line_is_called_wrong(made: MadeScript) -> None:
    assert not found_in(made, marked_script(made))[RIGHT_CALLED_WRONG]


def test_a_slip_is_known_where_it_was_made() -> None:
    with_slips = [each for each in SAMPLE if each.slip]
    seen = [each for each in with_slips if not found_in(each, marked_script(each))["slips praised"]]
    assert len(seen) > 0.9 * len(with_slips) > 20
