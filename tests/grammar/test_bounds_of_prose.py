"""How much of a text is read as prose, and how much is tried on it: bounds known beforehand."""

from __future__ import annotations

import pytest

from grammar.any_text import readings_of
from grammar.lenient import prose, prose_bounds, tying
from grammar.lenient.bracketing import LONGEST, MOST_WAYS, _Clause, ways_to_join
from grammar.lenient.mentions import Mention, Ref
from grammar.lenient.patterns import found_in, row
from grammar.lenient.prose_bounds import LONGEST_WORD, MOST_NUMBERS, MOST_SENTENCES, MOST_WORDS
from grammar.lenient.tabletop import NoSense
from grammar.lenient.tokens import Chunk, scan
from grammar.reading import read_network
from grammar.records import Refusal

AGAIN = (
    "a", "4", "uF", "in series", "in parallel with", "C1", "()", "and", ",", '"', "$C_1$",
    "\\frac{1}{2}", "µ", "½", "the pair", "the combination", "capacitors", "from A to B", "--",
    "what is", "two", "then", "join", "the other", "it is", "the switch is closed", "plates",
)  # fmt: skip
ROWS = (
    "ITEM NEXTTO", "ITEM THEN", "ITEM SER ITEM AND", "SER PAR ITEM", "REF", "REF COMMA",
    "SERSIGN ITEM PARSIGN ITEM", "OPEN ITEM CLOSE THEN", "SEROF ITEM AND", "ITEM ITEM SER COMMA",
)  # fmt: skip


def pieces_of(tags):
    """A row of pieces of these concepts, any phrase being one capacitor or the group."""
    held = {"ITEM": Mention(("4 uF",), ("",)), "REF": Ref("group", 1)}
    return tuple(Chunk(tag, "x", at, held.get(tag)) for at, tag in enumerate(tags))


@pytest.mark.parametrize("words", AGAIN)
def test_what_is_said_again_and_again_is_no_network(words):
    with pytest.raises(Refusal):
        readings_of(f"{words} " * (600 // (len(words) + 1)))


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("x y " * (MOST_WORDS // 2 + 1), "too long to be read as prose"),
        ("& " * (MOST_WORDS + 1), "too long to be read as prose"),
        ("words and " * (prose_bounds.LONGEST // 10 + 1), "too long to be read as prose"),
        ("3\n" * (MOST_SENTENCES + 1), "too long to be read as prose"),
        ("3, " * (MOST_NUMBERS + 1), "too long to be read as prose"),
        ("two capacitors of " + "9" * (LONGEST_WORD + 1), "a word too long"),
    ],
)
def test_a_text_beyond_a_bound_is_refused_for_it(text, why):
    with pytest.raises(Refusal, match=why):
        readings_of(text)


def test_a_value_on_as_many_lines_as_are_read_is_one_capacitor_each():
    ways = readings_of("3\n" * MOST_SENTENCES).ways
    assert [way.text.count("3 uF") for way in ways] == [MOST_SENTENCES] * len(ways)
    assert [way.description for way in ways] == [read_network(way.text) for way in ways]


@pytest.mark.parametrize(
    "text",
    [
        "12 uF -- 12 uF\n" * MOST_SENTENCES,
        # Two exercises run together.
        "Two groups are connected in series to an 18 V supply. The first consists of 2 uF and 4 uF "
        "in parallel, the second of 3 uF, 3 uF and 6 uF in parallel. Find the charge on thct 2 uF "
        "in series with 6 uF, and 4 uF in series with 12 uF, and then both pairs in parallel over "
        "24 V: what is the charge on the 12 uF?",
    ],
)
def test_no_more_is_tried_than_the_bound(text, monkeypatch):
    tried = 0
    play, take = prose.played, tying.in_a_phrase

    def played(tables, *others):
        nonlocal tried
        tried += len(tables)
        return play(tables, *others)

    def taken(*phrase):
        nonlocal tried
        tried += 1
        return take(*phrase)

    monkeypatch.setattr(prose, "played", played)
    monkeypatch.setattr(tying, "in_a_phrase", taken)
    with pytest.raises(Refusal, match="too many ways"):
        prose.read_leniently(text)
    assert 0 < tried <= prose_bounds.MOST_TRIED


def test_a_reading_is_read_in_the_notation_once(monkeypatch):
    read = []
    monkeypatch.setattr(prose, "read_network", lambda text: read.append(text) or read_network(text))
    found = prose.read_leniently("a 4 uF in series with a 12 uF on 8 V")
    assert read == [way.text for way in found.ways]


def test_a_long_story_is_read_all_the_same():
    story = "We met after lunch and talked of this and that for a while, as one does. " * 15
    found = readings_of(f"{story}A 4 uF is in series with a 12 uF on 8 V.")
    assert [way.text for way in found.ways] == ["4 uF -- 12 uF, across 8 V"]


@pytest.mark.parametrize("tags", ROWS)
def test_no_clause_is_put_together_in_more_ways_than_the_bound(tags):
    pieces = pieces_of((tags.split() * LONGEST)[:LONGEST])
    clause = _Clause(pieces)
    try:
        found = clause.whole(0, len(pieces))
    except NoSense:
        assert clause.ways > MOST_WAYS
        with pytest.raises(NoSense):
            ways_to_join(pieces)
    else:
        assert clause.ways <= MOST_WAYS
        assert ways_to_join(pieces) == tuple(found)


def test_a_clause_of_too_many_pieces_makes_no_sense():
    with pytest.raises(NoSense):
        ways_to_join(pieces_of(["ITEM"] * (LONGEST + 1)))


def test_a_phrase_has_so_many_alike_and_no_more():
    assert found_in(row("A* CAPV"), scan("a " * 40 + "4 uF")) == (16, 41)
