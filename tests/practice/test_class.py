"""A small simulated class: what the tutor makes of pupils is held against what is true of them."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from types import MappingProxyType

import pytest

from grammar.reading import read_network
from tests.class_report import FOUND_WITHIN, Figures, figures
from tests.learner.answers import answer as answer_needing
from tests.learner.answers import steady_in
from tests.pupil_answers import answer
from tests.pupil_diary import FIRST_DAY, MOST_OF_A_REVIEW, Diary, taught
from tests.pupils import TO_PRACTISE, Nature, Pupil
from tutor.circuit.network import build
from tutor.front.chat.stages import Answer, Chat, Person
from tutor.front.chat.talk import respond
from tutor.learner.knowledge import Idea
from tutor.learner.standing import NOBODY, Seen, Standing, standing_of, with_seen
from tutor.practice.course import PracticeCourse, ReviewCourse, serve
from tutor.practice.lesson_solving import walked
from tutor.practice.making_needs import TaskOrder
from tutor.practice.next_task import NextTask, task_for
from tutor.teaching.observation import Observation
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.skills import BY_CODE, before

EVERYTHING = frozenset(BY_CODE)
DAYS = 2
MOST_TASKS = 7
MOST_LINES = 90


def _all_but(*codes: str) -> frozenset[str]:
    return EVERYTHING - set(codes)


NATURES = (
    Nature(("S11",), _all_but("S11"), {"adds-a-series-pair": None}),
    Nature(("S21",), _all_but("S21"), {"pd-in-proportion-to-capacitance": None}),
    Nature(("S10",), _all_but("S10"), {"reciprocal-rule-on-parallel": None}),
    Nature(("S22",), _all_but("S22"), {"splits-charge-equally-between-branches": 6}),
    Nature(("S11", "S29"), EVERYTHING, {}),
    Nature(("S11", "S21", "S24"), frozenset(), {}, guesses=True),
)


@pytest.fixture(scope="module")
def diaries() -> list[Diary]:
    return [taught(born, Random(at), at, DAYS) for at, born in enumerate(NATURES, 1)]


@pytest.fixture(scope="module")
def found(diaries: list[Diary]) -> Figures:
    return figures(diaries)


def test_wrong_rules_are_found_while_their_skill_is_practised(found: Figures) -> None:
    assert found.rules == found.held_in_time == len(found.until_held) == 4, found.never_held
    assert max(found.until_held) <= FOUND_WITHIN
    assert max(found.until_possible) <= 4


def test_hardly_any_rule_is_called_held_that_is_not(found: Figures) -> None:
    assert found.answers > 50
    assert len(found.false_numbers) <= 1
    assert len(found.false_words) <= 2


def test_what_is_known_is_called_so_soon_and_what_is_not_is_not(found: Figures) -> None:
    assert len(found.since_known) >= 2
    assert max(found.since_known) <= 8
    assert not found.mastered_unknown


def test_a_guesser_masters_nothing(found: Figures) -> None:
    assert found.asked_to_guess == 3
    assert not found.guessed


def test_a_rule_that_is_given_up_is_called_resolved_then_and_not_before(
    diaries: list[Diary], found: Figures
) -> None:
    assert (found.cured, found.resolved_rightly, found.resolved_wrongly) == (1, 1, 0)
    held = [diary.ideas[name].state for diary in diaries for name in diary.held]
    assert "resolved" not in held


def test_every_task_and_every_review_comes_to_its_end(found: Figures) -> None:
    assert not found.unfinished
    assert 0 < max(found.reviews) < MOST_OF_A_REVIEW


# Practice of one skill


class Sure(Pupil):
    """One who knows everything and never slips."""

    def __init__(self, code: str) -> None:
        super().__init__(Nature((code,), EVERYTHING, {}), Random(code))

    def slips(self) -> bool:
        return False


def _practise(pupil: Pupil, code: str) -> Iterator[Answer]:
    chat = Chat(DEFAULTS, person=Person(now=FIRST_DAY, seed=40))
    said = respond(chat, f"practise {BY_CODE[code].name}")
    yield said
    for _ in range(MOST_LINES):
        if said.chat.course is None:
            return
        said = respond(said.chat, answer(pupil, said.chat).line)
        yield said
    raise AssertionError("practice never came to its end")


@pytest.mark.parametrize("code", TO_PRACTISE)
def test_practice_of_every_skill_leads_to_mastery_in_few_tasks(code: str) -> None:
    *_, last = _practise(Sure(code), code)
    practised = last.chat.person.standing.of(code)
    assert practised.is_steady
    assert last.chat.problems <= MOST_TASKS
    assert practised.chances <= 12


def test_what_is_new_is_shown_worked_once_and_then_asked() -> None:
    first = [said for said in _practise(Sure("S21"), "S21") if said.chat.problems == 1]
    about_pds = [m for said in first for m in said.messages if m.about == "voltage"]
    kinds = [m.kind for m in about_pds]
    assert kinds.count("reveal") == 1
    assert kinds.index("reveal") < kinds.index("ask")
    assert any(m.seen is not None and m.seen.skills[0] == "S21" for m in about_pds)


@pytest.mark.parametrize("code", ["S11", "S21", "S22"])
def test_practice_that_goes_nowhere_stops_and_leads_to_what_it_rests_on(code: str) -> None:
    guesser = Pupil(Nature((code,), frozenset(), {}, guesses=True), Random(4))
    *_, last = _practise(guesser, code)
    assert last.chat.person.standing.is_stuck(code)
    assert last.messages[0].text.startswith("More of ")
    onward = respond(last.chat, "practice").chat.course
    assert isinstance(onward, PracticeCourse)
    assert onward.order.skill in before(code)


def test_a_task_is_chosen_where_what_is_suspected_shows() -> None:
    name = "two-share-rule-on-three"
    idea = Idea(chances=1, matches=1, lately=("matched",), networks=frozenset({"a"}))
    suspected = NOBODY._replace(ideas=MappingProxyType({name: idea}))
    orders = [TaskOrder(skill="S21", seed=seed) for seed in range(0, 60, 3)]
    telling = [sum(_tells(task_for(order, who, 0), name) for order in orders)
               for who in (suspected, NOBODY)]
    assert telling[0] > telling[1]


def _tells(item: NextTask, name: str) -> bool:
    assert item.asked is not None
    asked = walked(build(read_network(item.text)), tuple(item.asked))
    return any(name in each.chances for each in asked)


# Review


def _after(standing: Standing, *answers: Observation) -> Standing:
    for at, each in enumerate(answers):
        standing = with_seen(standing, Seen(each, f"{len(standing.asked)} {at}", FIRST_DAY))
    return standing


def _steady() -> Standing:
    return standing_of(steady_in(("S06", "S07")))


def test_a_step_of_a_review_is_done_by_one_success() -> None:
    begun = serve(ReviewCourse(("S06", "S07")), _steady())
    after = serve(begun.course, _after(_steady(), answer_needing("S06")))
    assert isinstance(after.course, ReviewCourse)
    assert after.course.plan == ("S07",)


def test_a_failure_laid_at_another_skill_is_no_success() -> None:
    """The pair was not found, and it is the choosing that is known least: nothing is said of
    spotting by that, and its step is still to be done.
    """
    begun = serve(ReviewCourse(("S06", "S07")), _steady())
    after = serve(begun.course, _after(_steady(), answer_needing("S14 S06", "w")))
    assert isinstance(after.course, ReviewCourse)
    assert after.course.plan == ("S07", "S06")


def test_what_is_sent_back_is_shown_worked_when_it_comes_again_and_nothing_else_is() -> None:
    begun = serve(ReviewCourse(("S06", "S07")), _steady())
    failed = _after(_steady(), answer_needing("S06", "w"))
    other = serve(begun.course, failed)
    again = serve(other.course, _after(failed, answer_needing("S07")))
    assert other.item is not None
    assert again.item is not None
    assert "S07" not in other.item.new
    assert again.item.new == {"S06"}


def test_a_review_of_someone_who_answers_nothing_ends() -> None:
    served = serve(ReviewCourse(("S06", "S07", "S06", "S07")), _steady())
    for _ in range(12):
        if served.item is None:
            return
        served = serve(served.course, _steady())
    raise AssertionError("the review never ends")
