"""Answers told by chance are heard without a fault: a sample of ``tests.lines_report``."""

from __future__ import annotations

from itertools import islice

import pytest

from tests.lines_report import FAULTS, how_heard
from tests.teaching.made_lines import made_lines

LINES = 160
SAMPLE = tuple(islice(made_lines(2), LINES))


def test_values_names_and_words_are_all_in_the_sample() -> None:
    assert {each.place.asks for each in SAMPLE} == {"value", "names", "words"}
    assert {each.ground for each in SAMPLE} == {True, False, None}


@pytest.mark.parametrize("made", SAMPLE, ids=lambda made: made.line[:60])
def test_no_line_is_heard_with_a_fault(made) -> None:
    kind, said = how_heard(made)
    assert kind not in FAULTS, said
