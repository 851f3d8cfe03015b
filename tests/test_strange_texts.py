"""No text brings anything but an answer or a refusal, and none sends a control sign on.

A sample of what ``python -m tests.fuzz_report`` does at length.
"""

from __future__ import annotations

import pytest

from tests.fuzz_report import Reader, readers, through_a_reader, through_dialogues
from tests.sampled import some

TEXTS = some(600)


@pytest.mark.parametrize("reader", readers(), ids=lambda reader: reader.name)
def test_readers_answer_or_refuse(reader: Reader) -> None:
    found = through_a_reader(reader, TEXTS // reader.one_in)
    assert found.texts == TEXTS // reader.one_in
    assert (found.faults, found.escaped) == ((), ())


def test_dialogues_answer_every_line() -> None:
    found = through_dialogues(TEXTS)
    assert (found.faults, found.escaped) == ((), ())
