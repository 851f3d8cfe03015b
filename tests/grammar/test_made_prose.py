"""Networks told in prose by chance are never read as others: a sample of ``tests.prose_report``."""

from __future__ import annotations

from functools import cache
from itertools import islice

import pytest

from tests.grammar.made_prose import made_stories, made_texts
from tests.grammar.prose_tellers import TELLERS
from tests.grammar.story_tellers import STORY_TELLERS
from tests.prose_report import FAULTS, how_read

TEXTS = 120
SAMPLE = tuple(islice(made_texts(11), TEXTS))
STORIES = tuple(islice(made_stories(11), TEXTS))
read_once = cache(how_read)


def test_every_way_to_tell_is_in_the_sample() -> None:
    assert {each.template for each in SAMPLE} == {each.__name__ for each in TELLERS}
    assert {each.template for each in STORIES} == {each.__name__ for each in STORY_TELLERS}


@pytest.mark.parametrize("made", [*SAMPLE, *STORIES], ids=lambda made: made.text[:60])
def test_no_text_is_read_as_another_network(made) -> None:
    kind, read = read_once(made)
    assert kind not in FAULTS, read


def test_most_are_read_as_they_are_told() -> None:
    for sample in (SAMPLE, STORIES):
        kinds = [read_once(each)[0] for each in sample]
        assert sum(kind.startswith("read right") for kind in kinds) > 0.85 * len(kinds)
