"""Drawings of what is no plain network: ladders without end, banks, plates and their fillings."""

from __future__ import annotations

import re

import pytest

from grammar.reading import read_network
from tutor.front.drawing import sketch
from tutor.front.plain import Page
from tutor.teaching.depicted import Depicted, in_words, slices
from tutor.teaching.in_sight import of_telling
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Telling


def drawn_of_story(text: str) -> Depicted:
    story = story_of(read_network(text), DEFAULTS)
    assert story is not None
    drawn = of_telling(Telling(story))
    assert drawn is not None
    return drawn


def test_a_ladder_without_end_is_drawn_in_its_first_sections() -> None:
    drawn = drawn_of_story("ladder of (series 2 uF, shunt 4 uF) without end")
    assert sketch(drawn, Page(60)) == [
        "A           P           R           S           B",
        "└─╢C1 2 µF╟─┼─╢C1 2 µF╟─┼─╢C1 2 µF╟─┼────╢…╟────┤",
        "            │           │           │           │",
        "            │           │           └─╢C2 4 µF╟─┤",
        "            │           │                       │",
        "            │           └───────╢C2 4 µF╟───────┤",
        "            │                                   │",
        "            └─────────────╢C2 4 µF╟─────────────┘",
    ]
    assert "Dots from S to B stand for all that follows." in in_words(drawn)
    for width in range(40, 201, 20):
        rows = sketch(drawn, Page(width, ascii=True))
        assert rows is not None
        assert all(row.isascii() and len(row) <= width for row in rows)


def test_a_bank_is_drawn_without_telling_how_many_it_takes() -> None:
    drawn = drawn_of_story("bank of 10 uF rated 50 V for 20 uF at 200 V")
    rows = sketch(drawn, Page(60))
    assert rows is not None
    assert sum(row.count("╢10 µF╟") for row in rows) == 4
    assert sum(row.count("╢…╟") for row in rows) == 3
    told = "\n".join((*rows, *in_words(drawn)))
    assert not re.search(r"\b(?:4|8|32|2\.5)\b", told), "4 in each of 8 chains, 32 of them"


def test_plates_are_drawn_with_what_lies_between_them() -> None:
    drawn = drawn_of_story("C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5")
    assert sketch(drawn, Page(50)) == [
        "                │ A",
        "════════════════╧═══════════════",
        "................................  0.4 mm, εr = 2",
        "................................",
        "::::::::::::::::::::::::::::::::",
        "::::::::::::::::::::::::::::::::  0.6 mm, εr = 5",
        "::::::::::::::::::::::::::::::::",
        "::::::::::::::::::::::::::::::::",
        "════════════════╤═══════════════",
        "                │ B",
        "C1, ?",
        "plates 100 cm², gap 1 mm",
    ]
    assert in_words(drawn)[0] == (
        "C1: plates 100 cm², gap 1 mm. From the top plate down: 0.4 mm, εr = 2; 0.6 mm, εr = 5."
    )


@pytest.mark.parametrize("text", [
    "plates 100 cm2 gap 1 mm filled 2.5, across 12 V",
    "plates 100 cm2 gap 2 mm, across 500 V",
    "C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5, across 100 V",
    "C1 = plates 90 cm2 gap 0.4 mm side by side 30 cm2 of 2.6, 60 cm2 of 5.6",
    "plates 8 cm by 5 cm gap 1 mm filled 4 over half metal 0.2 mm",
    "plates 100 cm2 gap 1 mm metal 0.2 mm filled 3",
])
def test_plates_keep_to_the_page_and_every_filling_is_named(text: str) -> None:
    drawn = drawn_of_story(text)
    assert drawn.inside is not None
    for width, ascii in ((40, False), (40, True), (120, False)):
        page = Page(width, ascii)
        rows = sketch(drawn, page, "  ")
        assert rows is not None
        assert max(map(len, rows)) <= width
        assert not ascii or all(row.isascii() for row in rows)
        told = " ".join(" ".join(rows).split())
        for piece in slices(drawn.inside):
            assert page.plain(piece.words) in told
