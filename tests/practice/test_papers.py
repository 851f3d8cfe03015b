"""Papers: ordered in words, made again from the order, near their marks, mixed, and marked."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from grammar.reading import read_network
from grammar.records import Refusal
from tests.right_scripts import right_script
from tests.sampled import some
from tutor.practice.papers import PaperOrder, make_paper, paper_in
from tutor.practice.papers_drawn import PaperQuestion
from tutor.practice.papers_marked import mark_question, to_go_over
from tutor.practice.questions.kinds import make_question, story_of_question
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.examining import GENERAL_PRACTICE
from tutor.teaching.skills import BY_CODE, UNITS
from tutor.teaching.staged.choosing import named


@pytest.mark.parametrize(
    ("words", "order"),
    [
        ("", PaperOrder()),
        ("all", PaperOrder()),
        ("units 3 and 4, 30 marks, seed 7", PaperOrder((3, 4), 30, seed=7)),
        ("units 3, 4, 30 marks", PaperOrder((3, 4), 30)),
        ("on unit 5 with 6 questions", PaperOrder((5,), questions=6)),
        ("units 1, 2 & 5 to 7, 12 marks, 40 minutes", PaperOrder((1, 2, 5, 6, 7), 12, None, 40)),
        ("20 marks of unit 3-5", PaperOrder((3, 4, 5), 20)),
        ("unit 3, seed 1796045944", PaperOrder((3,), seed=1796045944)),
    ],
)
def test_orders_in_words(words: str, order: PaperOrder) -> None:
    assert paper_in(words) == order


@pytest.mark.parametrize(
    ("words", "found", "column"),
    [
        ("units 3 and 9", "There is no unit 9.", 1),
        ("30 marks on ladders", '"ladders" is not known', 13),
        ("0 marks", "1 to 200 marks", 1),
        ("9999 questions", "1 to 30 questions", 1),
        ("unit 3, seed 1234567890123", "at most 12 digits", 9),
    ],
)
def test_orders_that_cannot_be_are_refused_at_their_place(
    words: str, found: str, column: int
) -> None:
    with pytest.raises(Refusal, match=found) as refused:
        paper_in(words)
    assert refused.value.place is not None
    assert refused.value.place.column == column


@pytest.mark.parametrize("units", [(1,), (3,), (4,), (3, 4), (5, 6, 7), (7,), (8,), tuple(UNITS)])
@pytest.mark.parametrize("seed", range(some(2, 1)))
def test_a_paper_is_of_its_units_near_its_marks_and_mixed(
    units: tuple[int, ...], seed: int
) -> None:
    order = PaperOrder(units, 24, seed=seed)
    paper = make_paper(order)
    assert paper == make_paper(order)
    assert abs(paper.marks - 24) <= 2
    assert all(one.shape != other.shape for one, other in pairwise(paper.questions))
    for question in paper.questions:
        assert BY_CODE[question.skill].unit in units
        if question.question is not None:
            assert question.marks == 1
            assert len(story_of_question(question.question).asks) == 1
        else:
            marked = mark_working(read_network(question.text), "", GENERAL_PRACTICE)
            assert marked.of == question.marks


@pytest.mark.parametrize("marks", [5, 10, 17, 30, 60])
def test_marks_come_out_as_wanted_where_single_ones_can_fill(marks: int) -> None:
    assert make_paper(PaperOrder((3, 4), marks, seed=3)).marks == marks


def test_so_many_questions_as_are_wanted_and_their_marks_too() -> None:
    assert len(make_paper(PaperOrder((3, 4), questions=5, seed=2)).questions) == 5
    both = make_paper(PaperOrder((3, 4), 25, questions=5, seed=2))
    assert (len(both.questions), both.marks) == (5, 25)
    assert make_paper(PaperOrder((3, 4), seed=1)) != make_paper(PaperOrder((3, 4), seed=2))


@pytest.mark.parametrize("units", [(1, 2), (3, 4), (5, 6), (7, 8)])
def test_variants_ask_the_same_on_other_values(units: tuple[int, ...]) -> None:
    order = PaperOrder(units, 20, seed=91)
    papers = [make_paper(order._replace(variant=variant)) for variant in range(3)]
    asked = [[(q.skill, q.marks, q.shape) for q in paper.questions] for paper in papers]
    assert asked[0] == asked[1] == asked[2]
    for alike in zip(*(paper.questions for paper in papers), strict=True):
        assert len({(q.text, q.question) for q in alike}) == 3
    assert paper_in(papers[2].in_words) == papers[2].order


def test_variants_need_the_same_steps() -> None:
    """Networks of one form, but for values: nobody has a harder one than who sits beside."""
    def form(text: str) -> str:
        return re.sub(r"= [\d.]+ [pnuµm]?F|across [\d.]+ V", "", text)

    order = PaperOrder((3, 4), 20, seed=890)
    papers = [make_paper(order._replace(variant=variant)) for variant in range(3)]
    for alike in zip(*(paper.questions for paper in papers), strict=True):
        if alike[0].shape != "more or less":  # of which too many are possible
            assert len({form(q.text) for q in alike}) == 1


# Marks


@pytest.mark.parametrize("units", [(unit,) for unit in UNITS])
def test_right_working_gets_full_marks_and_nothing_is_to_go_over(units: tuple[int, ...]) -> None:
    paper = make_paper(PaperOrder(units, 30, seed=5))
    for number, question in enumerate(paper.questions, start=1):
        found = mark_question(question, tuple(right_script(question)), number)
        assert found.marked.total == found.marked.of == question.marks, question.text
        assert to_go_over(found) is None
        seen = [each for row in found.seen.values() for each in row]
        assert seen
        assert {each.outcome for each in seen} == {"right"}
        assert len({each.key for each in seen}) == len(seen)
        assert not found.bare


@pytest.mark.parametrize("units", [(3, 4), (5,), (7, 8)])
def test_the_marks_of_the_lines_are_those_of_the_values(units: tuple[int, ...]) -> None:
    """Every other line of a right script, so that some marks are there by implication only."""
    for question in make_paper(PaperOrder(units, 30, seed=4)).questions:
        for script in (right_script(question)[::2], right_script(question)[1::2], []):
            marked = mark_question(question, tuple(script), 1).marked
            assert sum(credit.got for credit in marked.credits) == marked.total
            assert sum(credit.of for credit in marked.credits) == marked.of
            assert all(0 <= credit.got <= credit.of for credit in marked.credits)


SIX_AND_TWO = "C1 = 6 uF -- (C2 = 4 uF || C3 = 5 uF), across 20 V, asked: V1, Q1, Q2"
# Each line wrong in turn, all that follows carried: what the working is then, and what was lost.
WRONG_ONCE = (
    ((10, 3.75, 75, 12.5, 7.5, 30), "C23"),
    ((9, 15, 300, 50, 33.3333, 133.333), "C123"),
    ((9, 3.6, 82, 13.6667, 9.11111, 36.4444), "Q"),
    ((9, 3.6, 72, 13, 8, 32), "V1"),
    ((9, 3.6, 72, 12, 7, 28), "V23"),
    ((9, 3.6, 72, 12, 8, 34), "Q2"),
)


def by_hand(values: tuple[float, ...]) -> tuple[str, ...]:
    block, whole, charge, first, second, branch = values
    return (
        f"C23 = 4 + 5 = {block} uF", f"C = 6 x {block}/(6 + {block}) = {whole} uF",
        f"Q = {whole} x 20 = {charge} uC", f"Q1 = Q = {charge} uC",
        f"V1 = {charge}/6 = {first} V", f"V23 = {charge}/{block} = {second} V",
        f"Q2 = 4 x {second} = {branch} uC",
    )


@pytest.mark.parametrize(("values", "lost"), WRONG_ONCE)
def test_one_wrong_value_is_all_that_is_lost_and_gone_over(
    values: tuple[float, ...], lost: str
) -> None:
    question = PaperQuestion(SIX_AND_TWO, "S23", 13, "a parallel set in a chain")
    found = mark_question(question, by_hand(values), 1)
    assert found.marked.of - found.marked.total == 1
    item = to_go_over(found)
    assert item is not None
    assert item.only == frozenset({lost})
    wrong = [each.key for row in found.seen.values() for each in row if each.outcome == "wrong"]
    assert wrong == [f"paper 1 {lost}"]


def test_a_group_of_the_learners_own_counts_for_the_step_that_takes_it_in() -> None:
    question = PaperQuestion("2 uF || 3 uF || 5 uF, across 10 V, asked: Q", "S22", 4, "three")
    found = mark_question(question, ("C12 = 2 + 3 = 6 uF", "C = 6 + 5 = 11 uF"), 1)
    item = to_go_over(found)
    assert item is not None
    assert item.only == frozenset({"C123", "Q"})


def test_what_is_passed_on_is_gone_over_by_what_is_shared() -> None:
    question = PaperQuestion("3 uF -- 7 uF, across 20 V, asked: Q1", "S19", 5, "a chain of two")
    found = mark_question(
        question, ("C = 3 x 7/(3 + 7) = 2.1 uF", "Q = 2.1 x 20 = 42 uC", "Q1 = 60 uC"), 1
    )
    item = to_go_over(found)
    assert item is not None
    assert item.only == frozenset({"back C12"})
    wrong = [each for row in found.seen.values() for each in row if each.outcome == "wrong"]
    assert [(each.skills, each.blamed) for each in wrong] == [(("S19",), ("S19",))]


def test_setting_out_shows_in_the_lines() -> None:
    question = PaperQuestion("3 uF -- 7 uF, across 20 V, asked: V1", "S21", 6, "a chain of two")
    full = ("C = 3 x 7/(3 + 7) = 2.1 uF", "Q = 2.1 x 20 = 42 uC", "V1 = 42/3 = 14 V")
    found = mark_question(question, full, 1)
    assert found.bare == ()
    assert found.set_out is not None
    assert (found.set_out.skills, found.set_out.outcome) == (("S40",), "right")
    for place, line in ((0, "C = 2.1 uF"), (1, "Q = 2.1 x 10^1 x 2 = 42"), (2, "V1 = 14 V")):
        bare = mark_question(question, (*full[:place], line, *full[place + 1 :]), 1)
        assert bare.bare == (place + 1,)
        assert bare.set_out is not None
        assert bare.set_out.outcome == "wrong"
    assert mark_question(question, full[:1], 1).bare is None  # one value tells too little


def test_a_letter_is_marked_and_of_two_neither_counts() -> None:
    asked = make_question("bounds", 0)
    question = PaperQuestion(asked.network, "S13", 1, "bounds", asked)
    options = story_of_question(asked).asks[0].options
    right = next(option.words[0] for option in options if option.is_right)
    wrong = next(option.words[0] for option in options if not option.is_right)
    for script, marks, outcome in (
        ((right,), 1, "right"), ((f"{right})",), 1, "right"), ((wrong,), 0, "wrong"),
        ((wrong, right), 0, "wrong"), ((right, right), 1, "right"), (("perhaps",), 0, None),
        ((f"The answer is {right} because", "it is less than 7"), 1, "right"),
        ((f"One charge along a chain, so {wrong}",), 0, "wrong"),
        ((), 0, None),
    ):
        found = mark_question(question, script, 2)
        assert found.marked.total == marks, script
        assert [each.outcome for row in found.seen.values() for each in row] == (
            [outcome] if outcome else []
        )
        item = to_go_over(found)
        assert (item is None) == bool(marks)
        assert item is None or item.question == asked


@pytest.mark.parametrize(
    ("line", "letter"),
    [
        ("The answer is b because it is less than the smallest", "b"),
        ("It must be (a) as the p.d. is above the largest", "a"),
        ("b is right", "b"),
        ("Ans: b. A chain is below its smallest", "b"),
        ("A chain takes less, so d", "d"),
        ("Because it is above them all, b", "b"),
        ("it is b, not a", "b"),
        ("not a, b", "b"),
        ("a or b", None),
        ("It cannot be b", None),
        ("a chain has one charge", None),
    ],
)
def test_a_letter_counts_whatever_its_reason_speaks_of(line: str, letter: str | None) -> None:
    ask = story_of_question(make_question("bounds", 0)).asks[0]
    assert [option.words[0] for option in named(ask, line)] == ([letter] if letter else [])
