"""The texts by which slow patterns are found: what a pattern repeats is repeated, then fails."""

from __future__ import annotations

import re
from pathlib import Path

from tests.pattern_report import patterns_of, places_in, strained_texts

TWICE_OVER = re.compile(r"sum of (?:\s*\d\s*[,+]?)+ is")


def test_what_a_pattern_repeats_is_repeated_behind_what_stands_before_it():
    texts = [text for text in strained_texts(re.compile("begin(?:ab,)+end"), 5) if "ab," in text]
    assert texts
    assert all(text.startswith("beginab,ab,ab,ab,ab,") for text in texts)


def test_each_place_that_repeats_is_tried():
    from re import _parser  # type: ignore[attr-defined]

    assert places_in(_parser.parse(r"a*(?:b+|c{2,9})d?")) == 3


def test_a_text_is_made_that_can_be_taken_in_many_ways():
    """Each digit of it can end a repetition or not, which doubles the work."""
    texts = [text for text in strained_texts(TWICE_OVER, 12) if text.startswith("sum of")]
    assert any(len(re.findall(r"\d", text)) >= 12 for text in texts)
    assert not all(TWICE_OVER.search(text) for text in texts)


def test_all_patterns_of_a_package_are_found():
    found = patterns_of("grammar")
    assert {each.home.split(".")[0] for each in found} == {"grammar"}
    sources = [path.read_text(encoding="utf-8") for path in Path("grammar").glob("*.py")]
    named = sum(len(re.findall(r"(?m)^_\w+(?:: Final)? = re\.compile", text)) for text in sources)
    assert len(found) > named > 0
