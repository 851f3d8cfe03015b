"""Where keys and values of a table stand, and each character of a value, whatever its quotes."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sampled import some
from tutor.practice.lesson_places import LessonText, offset_within, written

TABLE = '''\
a = "b" # k = "no"
list = ["x", # "q"
  'y']
"quoted" = """
one"""
dotted.key = 4
wrong = [
  { say = "p", "reply" = 'q' },
]
[[wrong]]
say = "r"
reply = true
'''


def test_each_key_with_the_values_under_it() -> None:
    source = LessonText(TABLE)
    found = written(source, 1, len(source.lines))
    values = {
        key: [TABLE[value.start : value.end] for value in each.values]
        for key, each in found.items()
    }
    assert values == {
        "a": ['"b"'],
        "list": ['"x"', "'y'"],
        "quoted": ['"""\none"""'],
        "dotted": ["4"],
        "wrong": ['"p"', "'q'", '"r"', "true"],
    }
    lines = {key: source.at(each.key).line for key, each in found.items()}
    assert lines == {"a": 1, "list": 2, "quoted": 4, "dotted": 6, "wrong": 7}


def test_places_of_a_source() -> None:
    source = LessonText("ab\r\n\n  c")
    assert [source.at(offset)[:2] for offset in range(7)] == [
        (1, 1), (1, 2), (1, 3), (2, 1), (3, 1), (3, 2), (3, 3)
    ]
    assert source.at(7)[:2] == (3, 4)
    assert source.at_line(3)[:2] == (3, 3)
    assert source.fault(4, "One.", "Two.").place == source.at(4)


def test_only_the_lines_asked_for_are_looked_at() -> None:
    assert list(written(LessonText(TABLE), 2, 3)) == ["list"]


# A character, and the ways in which TOML 1.0 may write it between double quotes.
WAYS = {
    "a": ["a", "\\u0061", "\\U00000061"],
    "µ": ["µ", "\\u00b5"],
    '"': ['\\"', "\\u0022"],
    "\\": ["\\\\"],
    "\n": ["\\n"],
    "\t": ["\t", "\\t"],
    " ": [" "],
}
NOTHING = ["\\\n", "\\ \n  \n   "]  # a line that goes on, in three quotes


@st.composite
def _spelled(draw: st.DrawFn) -> tuple[str, str, list[int]]:
    """A value as it is written, its text, and where each character of the text begins."""
    text = draw(st.text(alphabet=list(WAYS), min_size=1, max_size=12))
    long = draw(st.booleans())
    quotes = '"""' if long else '"'
    shown = quotes + ("\n" if long and draw(st.booleans()) else "")
    starts: list[int] = []
    for at, sign in enumerate(text):
        if long and at and sign not in " \t\n" and draw(st.booleans()):
            shown += draw(st.sampled_from(NOTHING))
        starts.append(len(shown))
        shown += draw(st.sampled_from(WAYS[sign]))
    return shown + quotes, text, starts


@settings(max_examples=some(100), deadline=None)
@given(_spelled())
def test_every_character_is_found_where_it_is_written(case: tuple[str, str, list[int]]) -> None:
    shown, text, starts = case
    assert tomllib.loads(f"key = {shown}") == {"key": text}
    source = LessonText(f"key = {shown}\n")
    (value,) = written(source, 1, len(source.lines))["key"].values
    assert (value.start, value.end) == (6, 6 + len(shown))
    assert [offset_within(source, value, at) - 6 for at in range(len(text))] == starts
    assert offset_within(source, value, len(text)) == value.end - (3 if '"""' in shown[:3] else 1)


@pytest.mark.parametrize("quotes", ["'", "'''"])
def test_between_single_quotes_all_is_as_it_stands(quotes: str) -> None:
    source = LessonText(f"key = {quotes}a\\b{quotes}")
    (value,) = written(source, 1, 1)["key"].values
    starts = [offset_within(source, value, at) for at in range(3)]
    assert [source.text[at] for at in starts] == ["a", "\\", "b"]
