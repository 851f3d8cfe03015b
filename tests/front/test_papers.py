"""A paper on screen: writing, going back and forth, handing in, going over what lost marks."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conversing import is_staged
from tests.right_scripts import right_script
from tutor.front.chat.stages import Answer, Chat, Choosing, Person, Solving, Writing
from tutor.front.chat.talk import respond
from tutor.front.keeping import Keeper, Opening
from tutor.front.progress import may_be_typed, standing
from tutor.learner.record import open_record
from tutor.practice.course import GoingOver
from tutor.practice.papers import ExamPaper, PaperOrder, make_paper, paper_in
from tutor.practice.papers_drawn import PaperQuestion
from tutor.teaching.evidence import key_of
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.skills import UNITS
from tutor.teaching.staged.story_skills import key_of as key_in_story
from tutor.teaching.walk import next_question, suggested

NOW = 1_800_000_000.0
SMALL = "paper units 3 and 4, 8 marks, seed 7"


def heard(*lines: str, start: Chat | None = None) -> Answer:
    answer = Answer(start or Chat(DEFAULTS), ())
    for line in lines:
        answer = respond(answer.chat, line)
    return answer


def said(answer: Answer) -> str:
    return "\n".join(message.text for message in answer.messages)


def paper_of(answer: Answer) -> Writing:
    assert isinstance(answer.chat.stage, Writing)
    return answer.chat.stage


def written(answer: Answer) -> tuple[str, ...]:
    stage = paper_of(answer)
    return stage.scripts[stage.at]


def of_one(text: str) -> Chat:
    """A chat in the middle of a paper of this one question."""
    question = PaperQuestion(text, "S23", 0, "")
    paper = ExamPaper(PaperOrder(), (question,))
    return Chat(DEFAULTS, Writing(paper, scripts=((),)))


def test_a_paper_asks_for_working_and_gives_no_help() -> None:
    answer = heard(SMALL)
    stage = paper_of(answer)
    assert "8 marks" in said(answer)
    assert f"Question 1 ({stage.paper.questions[0].marks} mark" in said(answer)
    for line in ("hint", "show me", "why", "I don't know", "energy"):
        asked = heard(line, start=answer.chat)
        assert "no help" in said(asked), line
        assert written(asked) == ()
    assert "'hand in' ends the paper" in said(heard("help", start=answer.chat))
    assert f"Question 1 of {len(stage.paper.questions)}: " in standing(answer.chat)
    assert "hand in" in may_be_typed(answer.chat)


def test_time_is_named_and_not_counted() -> None:
    answer = heard("paper unit 3, 20 marks, 40 minutes")
    assert "You named 40 minutes; about 25 are usual. Nobody counts them." in said(answer)
    assert "minutes" not in said(heard("paper unit 3, 20 marks"))


def test_what_cannot_be_ordered_is_said_where_it_stands() -> None:
    answer = heard("paper units 3 and 12")
    assert isinstance(answer.chat.stage, Choosing)
    assert "There is no unit 12" in said(answer)


def test_back_and_forth_between_questions() -> None:
    answer = heard(SMALL, "C34 = 16 uF", "", "C = 1 uF", "C = 2 uF", "question 1")
    assert paper_of(answer).at == 0
    assert "C34 = 16 uF" in said(answer)
    assert paper_of(answer).scripts[:2] == (("C34 = 16 uF",), ("C = 1 uF", "C = 2 uF"))
    assert paper_of(heard("clear", start=answer.chat)).scripts[0] == ()
    assert written(heard("next", "undo", start=answer.chat)) == ("C = 1 uF",)
    assert written(heard("next", "back", "Q = 3 uC\nV = 2 V", start=answer.chat)) == (
        "C34 = 16 uF", "Q = 3 uC", "V = 2 V",
    )
    last = len(paper_of(answer).paper.questions)
    assert f"There are questions 1 to {last}" in said(heard("question 9", start=answer.chat))
    assert "2: two lines" in said(heard("list", start=answer.chat))
    at_end = heard(*["next"] * last, start=answer.chat)
    assert "That was the last question." in said(at_end)
    assert paper_of(at_end).at == last - 1


@pytest.mark.parametrize(
    ("line", "number"),
    [
        ("question 4", 4), ("Go to question four, please", 4), ("can I go to question 1", 1),
        ("next question", 3), ("skip this one", 3), ("back to the previous one", 1),
    ],
)
def test_where_a_letter_is_wanted_a_place_in_the_paper_is_no_answer(
    line: str, number: int
) -> None:
    """Question 4 lists C4 as an entry, question 2 has no such number."""
    at_two = heard("paper units 2, 3, 8 marks, seed 11", "question 2")
    answer = heard(line, start=at_two.chat)
    assert paper_of(answer).at + 1 == number
    again = heard("question 4", "question 4", start=answer.chat)
    assert paper_of(again).at == 3
    assert not any(paper_of(again).scripts)


def test_a_seed_that_was_chosen_for_a_paper_makes_it_again() -> None:
    person = Person(seed=1796045944)
    chosen = heard("paper unit 3, 8 marks", start=Chat(DEFAULTS, person=person))
    paper = paper_of(chosen).paper
    assert make_paper(paper_in(paper.in_words)) == paper
    assert f"seed {paper.order.seed}" in said(chosen)


@pytest.mark.parametrize("line", ["hand in", "I am done", "finish"])
def test_empty_questions_are_asked_about_once(line: str) -> None:
    answer = heard(SMALL, line)
    assert "are empty." in said(answer)
    kept = heard("no", start=answer.chat)
    assert written(kept) == ()
    assert written(heard("Q = 3 uC", start=answer.chat)) == ("Q = 3 uC",)
    done = heard("yes", start=answer.chat)
    assert "Marks: 0 of 8." in said(done)
    assert isinstance(done.chat.stage, Choosing)


def test_stop_leaves_at_once_and_home_says_how() -> None:
    assert heard(SMALL, "stop").chat.is_over
    assert "'stop' leaves it" in said(heard(SMALL, "home"))


def test_a_line_too_long_for_working_is_not_kept() -> None:
    answer = heard(SMALL, "C = " + "1 + " * 1_000 + "1 uF")
    assert "not kept" in said(answer)
    assert written(answer) == ()


@pytest.mark.parametrize("unit", UNITS)
def test_a_paper_written_rightly_gets_full_marks_and_nothing_to_go_over(unit: int) -> None:
    answer = heard(f"paper unit {unit}, 16 marks, seed {unit}")
    paper = paper_of(answer).paper
    for question in paper.questions:
        answer = heard(*right_script(question), "next", start=answer.chat)
    done = heard("hand in", start=answer.chat)
    assert f"Marks: {paper.marks} of {paper.marks}." in said(done)
    assert "nothing to go over" in said(done)
    seen = [message.seen for message in done.messages if message.seen is not None]
    assert {each.outcome for each in seen} == {"right"}
    shown = done.chat.person.standing.skills
    assert {skill for each in seen for skill in each.skills} <= set(shown)


def keys_asked(answer: Answer) -> list[str]:
    """The questions of a walk or a story; the step is chosen rightly, all else is left unanswered
    until it is shown. What is asked again on another small network is no question of the walk.
    """
    found: list[str] = []
    line = "I don't know"
    while isinstance(stage := answer.chat.stage, Solving) and not stage.is_done:
        if is_staged(stage):
            telling = stage.talk.telling
            assert telling.ask is not None
            key = key_in_story(telling.at, telling.ask)
        else:
            question = next_question(stage.talk.walk)
            key = key_of(stage.talk.walk, question) if question is not None else found[-1]
            step = suggested(stage.talk.walk) if key.startswith("choice") else None
            line = " ".join(c.name for c in step.parts) if step is not None else "I don't know"
        if not found or found[-1] != key:
            found.append(key)
        answer = heard(line, start=answer.chat)
    return found


CHAIN = "C1 = 6 uF -- (C2 = 4 uF || C3 = 5 uF), across 20 V, asked: V1, Q2"
RIGHT = (
    "C23 = 4 + 5 = 9 uF", "C = 6 x 9/(6 + 9) = 3.6 uF", "Q = 3.6 x 20 = 72 uC",
    "V1 = 72/6 = 12 V", "V23 = 20 - 12 = 8 V", "Q2 = 4 x 8 = 32 uC",
)
CROSSED = "C1 = 4 uF charged to 28 V; C2 = 6 uF charged to 3 V; join C1 and C2 crossed; asked: heat"
BRIDGE = (
    "C1 = 8 uF from A to P; C2 = 2 uF from A to R; C3 = 4 uF from P to B; C4 = 20 uF from R to B; "
    "C5 = 28 uF from P to R; ends A and B; across 27 V; asked: C"
)


def all_but_the_last(text: str) -> tuple[str, ...]:
    return tuple(right_script(PaperQuestion(text, "", 0, ""))[:-1])


@pytest.mark.parametrize(
    ("text", "lines", "asked"),
    [
        (CHAIN, (*RIGHT[:4], "V23 = 20 - 12 = 7 V", "Q2 = 4 x 7 = 28 uC"), ["V23"]),
        (CHAIN, ("C23 = 4 + 5 = 10 uF", "C = 6 x 10/16 = 3.75 uF", "Q = 3.75 x 20 = 75 uC",
                 "V1 = 75/6 = 12.5 V", "V23 = 7.5 V", "Q2 = 4 x 7.5 = 30 uC"),
         ["choice 1", "C23"]),
        (CHAIN, RIGHT[:5], ["Q2"]),
        (CROSSED, all_but_the_last(CROSSED), ["11 energy lost E_lost"]),
        (BRIDGE, all_but_the_last(BRIDGE), ["4 whole by balance C"]),
    ],
)  # fmt: skip
def test_going_over_asks_just_what_lost_marks(
    text: str, lines: tuple[str, ...], asked: list[str]
) -> None:
    done = heard(*lines, "hand in", start=of_one(text))
    assert "'go over'" in said(done)
    assert isinstance(done.chat.left, GoingOver)
    over = heard("go over", start=done.chat)
    assert "Question 1 of the paper" in said(over)
    assert keys_asked(over) == asked


def test_what_was_not_tried_is_walked_in_full() -> None:
    over = heard("hand in", "yes", "go over", start=of_one(CHAIN))
    keys = keys_asked(over)
    assert keys[:3] == ["choice 1", "shares C23", "choice 2"]
    assert keys[-1] == "Q2"


def test_going_over_comes_to_its_end() -> None:
    over = heard(*RIGHT[:5], "hand in", "go over", "I don't know", "I don't know", "I don't know",
                 start=of_one(CHAIN))
    assert "That was all that lost marks." in said(heard("next", start=over.chat))


def test_remarks_stand_with_the_lines_and_their_marks() -> None:
    done = heard("C23 = 4 + 5 = 10 uF", *RIGHT[3:], "perhaps", "hand in", start=of_one(CHAIN))
    text = said(done)
    assert "1  C23 = 4 + 5 = 10 uF (1 of 2)\n" in text
    assert "5  perhaps\n" in text
    wrong = [message for message in done.messages if message.verdict == "wrong"]
    assert wrong
    assert all(message.seen is not None for message in wrong)


def test_a_paper_can_be_left_and_gone_on_with(tmp_path: Path) -> None:
    path = tmp_path / "record.sqlite"
    with open_record(path, NOW) as record:
        host = Keeper(record, record.learner("me", NOW), lambda: NOW)
        answer = host.open(Opening(wish=SMALL))
        for line in ("C34 = 16 uF", "next", "C = 6.16 uF", "stop"):
            answer = host.hear(answer.chat, line)
        assert answer.chat.is_over
    with open_record(path, NOW) as record:
        host = Keeper(record, record.learner("me", NOW), lambda: NOW)
        home = host.open(Opening())
        assert "a paper, question 2 of" in said(home)
        again = host.hear(home.chat, "go on")
        assert paper_of(again).scripts[:2] == (("C34 = 16 uF",), ("C = 6.16 uF",))
        assert "Question 2" in said(again)
        assert "Written so far:\nC = 6.16 uF" in said(again)
        done = host.hear(host.hear(again.chat, "hand in").chat, "yes")
        assert "Marks: " in said(done)
    with open_record(path, NOW) as record:
        host = Keeper(record, record.learner("me", NOW), lambda: NOW)
        home = host.open(Opening())
        assert "to be gone over" in said(home)
        over = host.hear(host.hear(home.chat, "go on").chat, "go over")
        assert over.chat.course is not None
        assert over.chat.course.title == "Going over the paper"


def test_a_paper_keeps_the_place_in_what_it_interrupts() -> None:
    answer = heard("lesson 1")
    course = answer.chat.course
    assert course is not None
    while not isinstance(answer.chat.stage, Writing):
        line = "yes" if "Leave this one" in said(answer) else SMALL
        answer = heard(line, start=answer.chat)
    assert answer.chat.course is None
    assert answer.chat.paused[-1].course == course
