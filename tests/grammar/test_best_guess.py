"""The last resort for networks in words: what it takes a text for, what it leaves open, what it
leaves alone, and that nobody is told of it as if it were sure.
"""

from __future__ import annotations

import pytest

from grammar.any_text import (
    Readings,
    in_two_ways,
    readings_of,
    said_back,
    sure_reading,
)
from grammar.lenient.best_guess import guessed
from grammar.records import Refusal
from tests.grammar.test_networks_as_written import essence
from tutor.front.chat.before_problem import opened, start
from tutor.front.chat.stages import Chat
from tutor.teaching.settings import DEFAULTS

ONE = (
    ("5 nF besde 7 nF wth a 12 nF infront of both, 6 V", "(5 nF || 7 nF) -- 12 nF, across 6 V"),
    ("20 nF and 30 nF in series with an 8 nF across the two of them", "(20 nF -- 30 nF) || 8 nF"),
    (
        "C1 stands before a box; in the box C2 is in parallel with a smaller box; and in that one "
        "C3 is in series with C4. C1 = 6, C2 = 5, C3 = 20, C4 = 30 (all µF).",
        "6 uF -- (5 uF || (20 uF -- 30 uF))",
    ),
    (
        "Four capacitors of 2 nF: two of them, end to end, lead to a node from which the other "
        "two, side by side, return.",
        "2 nF -- 2 nF -- (2 nF || 2 nF)",
    ),
    (
        "There is a 2 and then the lane splits: an 8 on the upper lane and a 4 on the lower one. "
        "microfarads",
        "2 uF -- (8 uF || 4 uF)",
    ),
    (
        "a 4 nF with a 6 nF across it, then a 10 nF. 8 V overall",
        "(4 nF || 6 nF) -- 10 nF, across 8 V",
    ),
    (
        "Of three capacitors, 2 uF, 5 uF and 10 uF, the last two sit side by side and the first "
        "comes before them.",
        "2 uF -- (5 uF || 10 uF)",
    ),
    (
        "Capacitors K, L and M have 4 nF, 5 nF and 9 nF. L is beside M, and K comes before both.",
        "4 nF -- (5 nF || 9 nF)",
    ),
    (
        "The upper arm holds 4 uF followed by 12 uF; the lower arm holds a lone 6 uF",
        "(4 uF -- 12 uF) || 6 uF",
    ),
    (
        "Two groups stand in series. The left group is a 3 nF alongside a 6 nF; the right group is "
        "a 4 nF beside a 5 nF.",
        "(3 nF || 6 nF) -- (4 nF || 5 nF)",
    ),
    (
        "2 nF and 3 nF in parallel, 6 nF and 4 nF in parallel, the two pairs in series, 9 V",
        "(2 nF || 3 nF) -- (6 nF || 4 nF), across 9 V",
    ),
    (
        "3 uF in series with a block made of 2 uF in parallel with a chain of 4 uF and 4 uF",
        "3 uF -- (2 uF || (4 uF -- 4 uF))",
    ),
)
FURTHER = (
    (
        "Two groups are in series. In the first, 1 nF and 4 nF are side by side; in the second, a "
        "3 nF and a 9 nF are.",
        "(1 nF || 4 nF) -- (3 nF || 9 nF)",
    ),
    (
        "A 5 uF is in series with a 6 uF. In parallel with the 6 uF is a chain of 2 uF and 3 uF.",
        "5 uF -- (6 uF || (2 uF -- 3 uF))",
    ),
    (
        "A 5 uF is followed by two branches, one with 6 uF alone and one with 3 uF and 7 uF in "
        "series, and then by an 8 uF.",
        "5 uF -- (6 uF || (3 uF -- 7 uF)) -- 8 uF",
    ),
    (
        "A 2 pF lies parallel to a series connection consisting of a 9 pF and a parallel "
        "connection of a 4 pF and a 5 pF.",
        "2 pF || (9 pF -- (4 pF || 5 pF))",
    ),
    (
        "Three capacitors, two of which have 6 nF while the third has 5 nF: the equal ones are in "
        "series and the third is across both.",
        "(6 nF -- 6 nF) || 5 nF",
    ),
    ("2uF cap paralel w 7 then that whole thing in seris w 18", "(2 uF || 7 uF) -- 18 uF"),
    (
        "Take 3 nF and 6 nF end to end; beside that 4 nF. They hold a total charge of 30 nC.",
        "(3 nF -- 6 nF) || 4 nF, holding 30 nC",
    ),
    ("A chain of a 3 uF and two 4 uF side by side", "3 uF -- (4 uF || 4 uF)"),
    ("2C in series with (C || 3C), p.d. V across it all", "2C -- (C || 3C), across V"),
)
SEVERAL = (
    (
        "3 uF in series with 6 uF in parallel with 4 uF",
        ("3 uF -- (6 uF || 4 uF)", "(3 uF -- 6 uF) || 4 uF"),
    ),
    (
        "a 9 then a 3 with a 6 drawn beside it, 14 V",
        ("9 uF -- (3 uF || 6 uF), across 14 V", "(9 uF -- 3 uF) || 6 uF, across 14 V"),
    ),
)
NONE = (
    "3 uF and 5 uF",
    "a 3 uF meets a 5 uF and goes home with a 4 uF",
    "3 uF in series with 6 uF, 5 blah 7",
    "3 uF, not in series with 6 uF but in parallel with 2 uF",
    "3 uF in series with 6 uF or with 2 uF",
    "3 uF in series with 6 uF unless 2 uF is in parallel",
    "3 uF in series with a 6 ohm resistor and a 4 uF",
    "A 3 uF charged to 10 V is then put across an empty 6 uF",
    "3 uF beside 6 uF, whose gap is doubled",
    "the p.d. across the 3 uF is 4 V, it is in series with 6 uF",
    "3 uF in series with 6 uF, one on 4 V and one on 9 V",
    "2 uF from A to P, 3 uF from P to B and 5 uF from P to Q beside it",
    "C1 is in series with C2 and C3. C1 = 4 uF, C2 = 5 uF.",
    "series parallel 12 V",
    "3 uF in series with a clump, 4 uF each",
    "3 uF then 4 uF, their junction P being joined to 5 uF",
    "1 uF then 2 uF then 3 uF then 4 uF then 5 uF then 6 uF then 7 uF beside 8 uF",
)


@pytest.mark.parametrize(("text", "means"), [*ONE, *FURTHER])
def test_the_likeliest_network_is_found(text, means):
    found = guessed(text)
    assert found is not None
    assert [essence(each.text) for each in found.ways] == [essence(means)]


@pytest.mark.parametrize(("text", "means"), SEVERAL)
def test_what_is_left_open_is_left_open(text, means):
    found = guessed(text)
    assert found is not None
    told = {str(essence(each.text)) for each in found.ways}
    assert told == {str(essence(each)) for each in means}


@pytest.mark.parametrize("text", NONE)
def test_what_may_be_something_else_is_left_alone(text):
    assert guessed(text) is None


def test_what_is_asked_is_kept_and_the_supply_is_told():
    found = guessed(
        "6 nF beside 3 nF, wth a 7 nF infront of both, 9 V. What is the charge on the 7 nF?"
    )
    assert found is not None
    assert [each.text.split("asked: ")[1] for each in found.ways] == ["Q3"]
    assert all("across 9 V" in each.text for each in found.ways)


def test_what_all_words_speak_for_is_offered_beside_another_reading():
    found = readings_of(
        "a 10 nF and a 5 nF are in parallel and a 7 nF follows them, and a 3 nF is in parallel"
        " with all of that in series with a 12 nF"
    )
    assert not found.is_unsure
    assert [essence(each.text) for each in found.ways] == [
        essence("((10 nF || 5 nF) -- 7 nF -- 12 nF) || 3 nF"),
        essence("(((10 nF || 5 nF) -- 7 nF) || 3 nF) -- 12 nF"),
    ]


def test_words_that_had_no_part_in_it_are_told():
    found = guessed("a 4 nF with a speckled 6 nF across it, then a 10 nF on the windowsill")
    assert found is not None
    assert found.notes == ('I did not use "speckled" and "windowsill".',)


UNSURE = "5 nF besde 7 nF wth a 12 nF infront of both, 6 V"
OPEN = "a pink 9 uF infront of a 3 uF wth a 6 uF besde it"


def test_nobody_is_told_of_a_guess_as_if_it_were_sure():
    found = readings_of(UNSURE)
    assert found.is_unsure
    assert said_back(found).startswith("I am not sure of this")
    with pytest.raises(Refusal) as caught:
        sure_reading(UNSURE)
    assert "not sure" in caught.value.found
    assert found.ways[0].text in caught.value.cure


def test_a_guess_is_asked_about_in_the_chat():
    told, asked = start(Chat(DEFAULTS), UNSURE).messages
    assert told.text == (
        "I am not sure of this, but you may mean: (5 nF || 7 nF) -- 12 nF, across 6 V"
    )
    assert asked.text == "Is that it, yes or no?"


def test_several_guesses_are_put_to_choose_from():
    guesses = guessed(OPEN)
    assert guesses is not None
    ways = guesses.ways
    found = Readings(ways, notes=guesses.notes, is_unsure=True)
    assert in_two_ways(found).startswith("I am not sure of this. You may mean: a) ")
    said, note, asked = opened(Chat(DEFAULTS), OPEN, found).messages
    assert said.text.split("\n")[1:] == [
        "a) 9 uF -- (3 uF || 6 uF)",
        "b) (9 uF -- 3 uF) || 6 uF.",
    ]
    assert note.text == 'I did not use "pink".'
    assert asked.text == "Which do you mean? Type its letter."
