"""The fair copy: the learner's own route, in order, and nothing that has not been said."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.records import Charging, Description
from tests.sampled import some
from tests.strategies import nests, supplies
from tutor.circuit.network import build
from tutor.teaching.exchange import begin, hear
from tutor.teaching.kinds_of_act import file_in
from tutor.teaching.marking.faircopy import fair_copy
from tutor.teaching.turn import Turn, speech_of
from tutor.teaching.walk import next_question

NETWORK = "C1 = 4 uF -- (C2 = 2 uF || C3 = 3 uF), across 13.5 V"
GIVEN = """\
Network: C1 -- (C2 || C3)
Given: C1 = 4 µF, C2 = 2 µF, C3 = 3 µF; V = 13.5 V between A and B"""


def said(text: str, *lines: str) -> Turn:
    turn = begin(build(read_network(text)))
    for line in lines:
        turn = hear(turn.talk, line)
    return turn


def copy(turn: Turn) -> list[str]:
    return fair_copy(turn.walk, speech_of(turn.walk)).splitlines()


def test_at_the_start_only_what_is_given_stands_there() -> None:
    assert copy(said(NETWORK)) == [*GIVEN.splitlines(), "Nothing has been worked out yet."]


def test_the_route_of_a_whole_walk() -> None:
    lines = ["C2 C3", "p.d. at P and B", "5 uF", "C1 C23", "q at P", "20/9 uF", "30 uC", "q",
             "7.5 V", "6 V", "p.d.", "12 uC", "18 uC"]
    assert copy(said(NETWORK, *lines)) == [
        *GIVEN.splitlines(),
        "C23 = C2 + C3 = 2 µF + 3 µF = 5 µF (in parallel)",
        "1/C123 = 1/C1 + 1/C23 = 1/(4 µF) + 1/(5 µF) = 9/20 per µF, so C123 = 20/9 µF ≈ 2.222 µF "
        "(in series)",
        "Q = C V = 2.222 µF × 13.5 V = 30 µC",
        "Q1 = Q = 30 µC (same charge in series)",
        "Q23 = Q = 30 µC (same charge in series)",
        "V1 = Q1/C1 = 30 µC / 4 µF = 7.5 V",
        "V23 = Q23/C23 = 30 µC / 5 µF = 6 V",
        "V2 = V23 = 6 V (same p.d. in parallel)",
        "V3 = V23 = 6 V (same p.d. in parallel)",
        "Q2 = C2 V2 = 2 µF × 6 V = 12 µC",
        "Q3 = C3 V3 = 3 µF × 6 V = 18 µC",
    ]


def test_another_order_is_kept() -> None:
    turn = said(NETWORK, "C = 20/9 uF", "V23 = 6 V", "V1 = 7.5 V", "E1 = 112.5 uJ")
    assert copy(turn)[-3:] == [
        "V23 = 6 V",
        "V1 = V − V23 = 13.5 V − 6 V = 7.5 V",
        "E1 = ½ C1 V1² = ½ × 4 µF × (7.5 V)² = 112.5 µJ",
    ]


def test_what_holds_no_charge_is_one_line() -> None:
    text = "C1 = 3 uF from A to B; C2 = 2 uF from A to P; C3 = 1 uF from P to Q; ends A and B"
    turn = said(text + "; across 10 V", "C2 C3", "0")
    assert copy(turn)[2].startswith("Q2 = Q3 = 0. ")
    assert copy(turn)[3:] == ["C = C1 = 3 µF", "V1 = V = 10 V"]


def test_letters_stand_without_numbers() -> None:
    turn = said("C -- (2C || C/2), across V", "C23 = 5C/2", "p.d. at P and B", "C = 5C/7",
                "I don't know", "Q = 5CV/7")
    assert copy(turn)[-1].startswith("Q = C_total V = 5C/7 × V")


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("save fair copy to my copy.txt", "my copy.txt"),
        ("save the fair copy as copy.txt", "copy.txt"),
        ("save my working in /tmp/w", "/tmp/w"),
        ('write it out to "a b.txt"', "a b.txt"),
        ("save it to a file copy.txt", "copy.txt"),
        ("write it out", None),
        ("save C1", None),
    ],
)
def test_where_to_save(line: str, name: str | None) -> None:
    assert file_in(line) == name


@pytest.mark.parametrize(
    "line", ["fair copy", "write it out", "My working, please", "SHOW MY WORKING"]
)
def test_it_may_be_asked_at_any_moment(line: str) -> None:
    turn = said(NETWORK, "C2 C3")
    after = hear(turn.talk, line)
    assert after.messages[0].text == fair_copy(turn.walk, speech_of(turn.walk))
    assert after.messages[-1] == turn.messages[-1]
    assert after.walk == turn.walk


def test_saving_names_the_file() -> None:
    assert hear(said(NETWORK).talk, "save fair copy to c.txt").messages[0].save_as == "c.txt"


@settings(max_examples=some(40), deadline=None)
@given(nests(most=6), supplies(), st.data())
def test_every_line_is_true_and_said(nest: object, supply: Charging, data: st.DataObject) -> None:
    """A learner who says values in any order: each line's first and last values agree."""
    problem = build(Description(nest=nest, supply=supply))  # type: ignore[arg-type]
    walk = begin(problem).walk
    truth = [q for q in walk.truth if q.point is None and q not in walk.known]
    assume(truth)
    chosen = data.draw(st.lists(st.sampled_from(truth), unique=True, max_size=8))
    walk = walk._replace(known={**walk.known, **{q: walk.truth[q] for q in chosen}})
    lines = fair_copy(walk, speech_of(walk)).splitlines()[2:]
    names = [line.split(" ")[0].removeprefix("1/") for line in lines]
    known = {q.name for q in walk.known} | {"C", "Q", "V", "E", "W"}
    assert set(names) <= known | {"Nothing"}
    for line in lines:
        assert _sums_agree(line), line


def _sums_agree(line: str) -> bool:
    """Whether a line's numbers give its result, to the figures printed."""
    number = r"([\d ]*\d(?:\.\d+)?(?: × 10\^-?\d+)?)"
    found = re.search(rf"= ([^=≈]+) × ([^=≈]+?) [=≈].*?{number} (\S+)$", line)
    if found is None or any(sign in line for sign in "½²"):
        return True
    one, other, result = (_number(text) for text in (found[1], found[2], f"{found[3]} {found[4]}"))
    return abs(one * other - result) <= abs(result) * Fraction(2, 1000)


def _number(text: str) -> Fraction:
    digits, tens, unit = re.fullmatch(
        r"([\d .]*?\d)(?: × 10\^(-?\d+))? ([pnµmkM]?)[FVCJ]", text.strip()
    ).groups()  # type: ignore[union-attr]
    prefix = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6}[unit]
    return Fraction(digits.replace(" ", "")) * Fraction(10) ** (int(tens or 0) + prefix)


def test_nothing_is_told_that_was_not_found() -> None:
    turn = said(NETWORK, "C2 C3", "p.d. at P and B", "I don't know")
    assert next_question(turn.walk) is not None
    assert not any("C23" in line for line in copy(turn))


def test_numbers_of_a_line_are_looked_at() -> None:
    assert _sums_agree("Q = C V = 2 µF × 3 V = 6 µC")
    assert not _sums_agree("Q = C V = 2 µF × 3 V = 7 µC")


@pytest.mark.parametrize("line", ["save", "save fair copy", "Save it.", "save my working"])
def test_saving_without_a_file_asks_for_its_name(line: str) -> None:
    assert said(NETWORK, line).messages[0].text.startswith("To keep it, name a file")


@pytest.mark.parametrize("line", ["save copy.txt", "save the fair copy copy.txt"])
def test_a_file_is_known_by_its_ending(line: str) -> None:
    assert file_in(line) == "copy.txt"
    assert file_in("save 4.5") is None
