"""Puzzles line by line, with no screen."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Refusal
from grammar.wishing import read_wish
from tests.sampled import some
from tutor.circuit.trees import leaves
from tutor.teaching.messages import Message
from tutor.teaching.puzzle import Puzzle, PuzzleTurn, begin_puzzle, hear_puzzle
from tutor.teaching.puzzle_hints import hints
from tutor.teaching.settings import Settings
from tutor.teaching.stock_words import notation

THREE = "9 uF from 4 uF, 6 uF, 12 uF"
RATED = "12 uF for 100 V from 8 x 6 uF rated 63 V"


def begun(wish: str) -> PuzzleTurn:
    return begin_puzzle(read_wish(wish), Settings())


def solved(wish: str, *lines: str) -> PuzzleTurn:
    turn = begun(wish)
    for line in lines:
        turn = hear_puzzle(turn.puzzle, line)
    return turn


def text_of(turn: PuzzleTurn) -> str:
    return "\n".join(message.text for message in turn.messages)


def verdict_of(turn: PuzzleTurn) -> Message:
    (verdict,) = [message for message in turn.messages if message.kind == "verdict"]
    return verdict


def test_the_task_names_the_stock() -> None:
    turn = begun(THREE)
    assert "make 9 µF" in text_of(turn)
    assert "C1 = 4 µF, C2 = 6 µF and C3 = 12 µF" in text_of(turn)
    assert turn.messages[-1].kind == "ask"


@pytest.mark.parametrize(
    "line",
    [
        "C2 || (C1 -- C3)",
        "6 uF || (4 uF -- 12 uF)",
        "c2 in parallel with (c3 in series with c1)",
        "C2 || (4 uF -- 12000 nF)",
        "C2 = 6 uF || (C1 = 4 uF -- C3 = 12 uF)",
        "parallel(C2, series(C1, C3))",
    ],
)
def test_a_solution_is_taken_in_any_form(line: str) -> None:
    turn = solved(THREE, line)
    assert verdict_of(turn).verdict == "right"
    assert turn.puzzle.over
    assert turn.messages[-1].kind == "close"
    assert "only way" in turn.messages[-1].text


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("C1 || C2", "makes 10 µF: more than the 9 µF wanted"),
        ("C1 -- C2", "makes 2.4 µF: less than the 9 µF wanted"),
        ("C1 || (C2 -- C3)", "makes 8 µF: less"),
        ("6 uF || 6 uF", "no more than one capacitor of 6 µF in the stock"),
        ("C2 || 6 uF", "no more than one capacitor of 6 µF"),
        ("9 uF", "no 9 µF in the stock"),
        ("C1 = 9 uF", "no 9 µF in the stock"),
    ],
)
def test_a_wrong_proposal_is_told_why(line: str, said: str) -> None:
    turn = solved(THREE, line)
    assert verdict_of(turn).verdict == "wrong"
    assert said in verdict_of(turn).text
    assert turn.puzzle.tries == 1
    assert not turn.puzzle.over


@pytest.mark.parametrize(
    ("line", "said", "column"),
    [
        ("C1 || C7", "C7 is not in the stock", 6),
        ("C1 || C2 ||", "A part is missing", 11),
        ("C1 || 3 V", "This is a p.d.", 6),
        ("C1 || C2 -- C3", "Series and parallel stand side by side", 9),
    ],
)
def test_what_cannot_be_read_is_shown_in_the_line_itself(
    line: str, said: str, column: int
) -> None:
    turn = solved(THREE, line)
    verdict = verdict_of(turn)
    assert verdict.verdict == "unread"
    shown = verdict.text.split("\n")
    caret = next(i for i, each in enumerate(shown) if each.strip() == "^")
    assert shown[caret - 1] == line
    assert len(shown[caret]) - 1 == column
    assert turn.puzzle.tries == 0
    assert said in " ".join(verdict.text.split())


def test_more_than_one_way_is_counted() -> None:
    turn = solved("5 uF from 2 uF, 3 uF, 10 uF, 10 uF", "C1 || C2")
    assert "one other way" in text_of(turn)


def test_fewer_parts_are_pointed_out() -> None:
    turn = solved("6 uF from 6 uF, 2 uF, 4 uF", "2 uF || 4 uF")
    assert verdict_of(turn).verdict == "right"
    assert "with one capacitor as well" in text_of(turn)


def test_all_of_the_stock() -> None:
    turn = solved("5 uF from all of 2 uF, 3 uF, 6 uF", "C1 || C2")
    assert verdict_of(turn).verdict == "incomplete"
    assert "one capacitor of the stock is still to be used" in text_of(turn)


def test_the_nearest_is_right_where_nothing_is_exact() -> None:
    first = begun("7 uF from 2 uF, 3 uF, 6 uF")
    assert "cannot be made" in text_of(first)
    far = hear_puzzle(first.puzzle, "C1 || C3")
    assert verdict_of(far).verdict == "wrong"
    assert "nearer" in verdict_of(far).text
    near = hear_puzzle(far.puzzle, "C3 || (C1 -- C2)")
    assert verdict_of(near).verdict == "right"
    assert "nothing comes nearer" in verdict_of(near).text


def test_a_tolerance_is_enough() -> None:
    turn = solved("5.1 uF from 2 uF, 3 uF within 2 %", "C1 || C2")
    assert verdict_of(turn).verdict == "right"


def test_a_rating_must_be_kept() -> None:
    over = solved(RATED, "2 x 6 uF in parallel")
    assert verdict_of(over).verdict == "wrong"
    assert "100 V across it, and it is rated 63 V" in verdict_of(over).text
    chains = " || ".join(["(6 uF -- 6 uF)"] * 4)
    assert verdict_of(solved(RATED, chains)).verdict == "right"


def test_no_puzzle_where_no_rating_can_be_kept() -> None:
    turn = begun("6 uF for 100 V from two 6 uF rated 10 V")
    assert turn.puzzle.over
    assert turn.messages[-1].kind == "close"


def test_every_value_is_no_puzzle() -> None:
    with pytest.raises(Refusal, match="one capacitance"):
        begun("every value from three 6 uF")


@pytest.mark.parametrize(
    ("wish", "first"),
    [
        ("1 uF from 2 uF, 3 uF, 6 uF", "smaller than any you have: what arrangement does that?"),
        ("9 uF from 2 uF, 3 uF, 6 uF", "larger than any you have: what arrangement does that?"),
        (THREE, "lies between the 6 µF and the 12 µF"),
        ("2 uF from three 2 uF", "one that you have"),
    ],
)
def test_the_first_hint_is_made_from_the_stock(wish: str, first: str) -> None:
    assert first in text_of(solved(wish, "hint"))


def test_hints_say_more_each_time_and_never_the_whole() -> None:
    turn, said = begun(THREE), []
    for _ in range(3):
        turn = hear_puzzle(turn.puzzle, "I don't know")
        said.append(turn.messages[0].text)
    assert len(set(said)) == 3
    assert "three capacitors: at the outside two members side by side" in said[1]
    assert "9 µF = 6 µF + the rest" in said[2]
    assert "C1 -- C3" not in "".join(said)
    assert "'show me'" in text_of(hear_puzzle(turn.puzzle, "hint"))
    assert turn.puzzle.tries == 0


def test_a_chain_is_hinted_by_reciprocals() -> None:
    assert "1/(4 µF) = 1/(6 µF) + 1/(the rest)" in text_of(
        solved("4 uF from three 6 uF", "hint", "hint", "hint")
    )


def test_a_rating_is_hinted() -> None:
    assert "what divides a p.d.?" in text_of(solved(RATED, "hint", "hint"))


def test_show_me_comes_after_a_try() -> None:
    first = solved(THREE, "show me")
    assert not first.puzzle.over
    assert first.messages[1].kind == "hint"
    shown = hear_puzzle(first.puzzle, "show me")
    assert shown.puzzle.over
    assert shown.messages[0].kind == "reveal"
    assert shown.messages[0].drawn is not None
    assert "C2 = 6 µF || (C1 = 4 µF -- C3 = 12 µF)" in text_of(shown)
    assert "= 9 µF" in text_of(shown)


def test_showing_is_offered_after_two_tries() -> None:
    assert "show me" not in text_of(solved(THREE, "C1"))
    assert "'show me' shows one" in text_of(solved(THREE, "C1", "C2"))


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("list", "make 9 µF"),
        ("help", "Write an arrangement"),
        ("why", "their charges add"),
        ("start again", "make 9 µF"),
        ("energy", "no place in a puzzle"),
    ],
)
def test_requests(line: str, said: str) -> None:
    turn = solved(THREE, "C1", line)
    assert said in text_of(turn)
    assert turn.messages[-1].kind == "ask"


@pytest.mark.parametrize(
    "wish",
    [
        THREE,
        RATED,
        "7 uF from 2 uF, 3 uF, 6 uF",
        "5 nF from E12 between 1 nF and 100 nF, up to 3 parts",
        "0.75 F from up to 600 x 1.5 mF",
        "1 uF from 1 uF",
    ],
)
def test_what_is_shown_is_itself_a_right_answer(wish: str) -> None:
    puzzle = begun(wish).puzzle
    for each in puzzle.findings.arrangements:
        text = notation(puzzle.order.stock, each.tree)
        assert verdict_of(hear_puzzle(puzzle, text)).verdict == "right", text
        assert hints(puzzle.order, each.tree, puzzle.speech)
        assert len(list(leaves(each.tree))) == each.parts


@pytest.mark.parametrize(("line", "word"), [
    ("2 || 3", "right"), ("3 -- 2", "wrong"), ("2 and 3 in parallel, don't need the 6", "right"),
    ("the 2 and the 3 side by side", "right"), ("(2 -- 6) || 3", "wrong"),
])
def test_values_without_a_unit_and_words_are_read(line: str, word: str) -> None:
    assert verdict_of(hear_puzzle(begun("5 uF from 2 uF, 3 uF, 6 uF").puzzle, line)).verdict == word


@pytest.mark.parametrize(("line", "says"), [
    ("do I have to use all three?", "need not use all"), ("why?", "Side by side all have one p.d."),
])
def test_a_question_is_answered_and_not_judged(line: str, says: str) -> None:
    turn = hear_puzzle(begun(THREE).puzzle, line)
    assert says in turn.messages[0].text
    assert turn.messages[-1].kind == "ask"
    assert turn.puzzle.tries == 0


LINES = (
    "C1", "C1 || C2", "C2 || (C1 -- C3)", "hint", "show me", "why", "list", "I don't know", "",
    "start again", "help", "(((", "9 uF", "C1 || C1", "C9", "ends A and B", "C = 4 uF",
    "C1 from A to B; ends A and B", "C || C", "\x1b", "energy",
)  # fmt: skip


@settings(max_examples=some(60), deadline=None)
@given(st.lists(st.sampled_from(LINES) | st.text(max_size=10), max_size=10))
def test_every_line_gets_an_answer(lines: list[str]) -> None:
    puzzle: Puzzle = begun(THREE).puzzle
    for line in lines:
        turn = hear_puzzle(puzzle, line)
        assert turn.messages[-1].kind == ("close" if turn.puzzle.over else "ask")
        puzzle = turn.puzzle
        if puzzle.over:
            return
