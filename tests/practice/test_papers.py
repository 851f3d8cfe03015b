"""Papers: ordered in words, made again from the order, and their marks."""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from grammar.records import Refusal
from tutor.practice.making_needs import NEEDS
from tutor.practice.papers import OVER, PaperOrder, make_paper, paper_in
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.scheme import Scheme
from tutor.teaching.skills import BY_CODE, UNITS


@pytest.mark.parametrize(
    ("words", "order"),
    [
        ("", PaperOrder()),
        ("all", PaperOrder()),
        ("units 3 and 4, 30 marks, seed 7", PaperOrder((3, 4), 30, seed=7)),
        ("on unit 5 with 6 questions", PaperOrder((5,), questions=6)),
        ("units 1, 2 & 5 to 7, 12 marks, 40 minutes", PaperOrder((1, 2, 5, 6, 7), 12, None, 40)),
        ("20 marks of unit 3-5", PaperOrder((3, 4, 5), 20)),
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
    ],
)
def test_orders_that_cannot_be_are_refused_at_their_place(
    words: str, found: str, column: int
) -> None:
    with pytest.raises(Refusal, match=found) as refused:
        paper_in(words)
    assert refused.value.place is not None
    assert refused.value.place.column == column


@pytest.mark.parametrize("units", [(3,), (4,), (3, 4), (5, 6, 7), (7,), (8,), tuple(UNITS)])
@pytest.mark.parametrize("seed", range(3))
def test_a_paper_is_of_its_units_and_near_its_marks(units: tuple[int, ...], seed: int) -> None:
    order = PaperOrder(units, 24, seed=seed)
    paper = make_paper(order)
    assert paper == make_paper(order)
    assert 24 - 12 < paper.marks <= 24 + OVER
    assert len({question.text for question in paper.questions}) == len(paper.questions)
    for question in paper.questions:
        assert BY_CODE[question.skill].unit in units
        assert question.skill in NEEDS
        assert mark_working(read_network(question.text), "", Scheme()).of == question.marks


def test_so_many_questions_as_are_wanted() -> None:
    assert len(make_paper(PaperOrder((3, 4), questions=5, seed=2)).questions) == 5
    assert make_paper(PaperOrder((3, 4), seed=1)) != make_paper(PaperOrder((3, 4), seed=2))
