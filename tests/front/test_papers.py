"""A paper on screen: writing, going back and forth, handing in, going over what lost marks."""

from __future__ import annotations

from pathlib import Path

import pytest

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.front.chat.stages import Answer, Chat, Choosing, Staged, Walking, Writing
from tutor.front.chat.talk import respond
from tutor.front.keeping import Keeper, Opening
from tutor.learner.record import open_record
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.speech import Speech
from tutor.teaching.staged.makers import story_of
from tutor.teaching.walk import begin_walk

NOW = 1_800_000_000.0
SMALL = "paper units 3 and 4, 8 marks, seed 7"


def heard(*lines: str, start: Chat | None = None) -> Answer:
    answer = Answer(start or Chat(DEFAULTS), ())
    for line in lines:
        answer = respond(answer.chat, line)
    return answer


def said(answer: Answer) -> str:
    return "\n".join(message.text for message in answer.messages)


def right_lines(text: str) -> list[str]:
    """Every value of a problem, each on a line with its unit."""
    description = read_network(text)
    story = story_of(description, DEFAULTS)
    if story is not None:
        speech = Speech(story.powers, DEFAULTS)
        lines = []
        for ask in story.asks:
            if ask.options:
                right = next(option for option in ask.options if option.is_right)
                lines.append(right.words[0])
            elif ask.pure or ask.dimension is None:
                lines.append(f"{ask.name} = {float(ask.right or 0)}")
            else:
                lines.append(f"{ask.name} = {speech.amount(ask.right or 0, ask.dimension)}")
        return lines
    walk = begin_walk(build(description), DEFAULTS)
    speech = Speech(walk.problem.powers, DEFAULTS)
    return [
        f"{q.name} = {speech.amount(value, q.dimension)}"
        for q, value in walk.truth.items() if q.point is None and q not in walk.known
    ]


def paper_of(answer: Answer) -> Writing:
    assert isinstance(answer.chat.stage, Writing)
    return answer.chat.stage


def test_a_paper_asks_for_working_and_gives_no_help() -> None:
    answer = heard(SMALL)
    assert "Question 1" in said(answer)
    for line in ("hint", "show me", "why", "I don't know"):
        assert "no help" in said(heard(line, start=answer.chat)), line
    assert paper_of(heard("hint", start=answer.chat)).scripts == ((), ())


def test_back_and_forth_between_questions() -> None:
    answer = heard(SMALL, "C34 = 16 uF", "next", "C = 1 uF", "question 1")
    stage = paper_of(answer)
    assert stage.at == 0
    assert "C34 = 16 uF" in said(answer)
    assert stage.scripts == (("C34 = 16 uF",), ("C = 1 uF",))
    cleared = paper_of(heard("clear", start=answer.chat))
    assert cleared.scripts == ((), ("C = 1 uF",))
    assert "There are questions 1 to 2" in said(heard("question 9", start=answer.chat))
    assert "2: one line" in said(heard("list", start=answer.chat))


def test_empty_questions_are_asked_about_once() -> None:
    answer = heard(SMALL, "hand in")
    assert "Empty: question 1, 2" in said(answer)
    assert isinstance(heard("no", start=answer.chat).chat.stage, Writing)
    done = heard("yes", start=answer.chat)
    assert "Marks in all: 0 of 8" in said(done)
    assert isinstance(done.chat.stage, Choosing)


@pytest.mark.parametrize("units", ["3", "4", "5", "6"])
@pytest.mark.parametrize("seed", [1, 2])
def test_a_paper_written_rightly_gets_full_marks_and_nothing_to_go_over(
    units: str, seed: int
) -> None:
    answer = heard(f"paper unit {units}, 16 marks, seed {seed}")
    stage = paper_of(answer)
    for question in stage.paper.questions:
        answer = heard(*right_lines(question.text), "next", start=answer.chat)
    done = heard("hand in", start=answer.chat)
    assert f"Marks in all: {stage.paper.marks} of {stage.paper.marks}." in said(done)
    assert "nothing to go over" in said(done)
    seen = [message.seen for message in done.messages if message.seen is not None]
    assert seen
    assert {each.outcome for each in seen} == {"right"}


def test_going_over_asks_just_what_lost_marks() -> None:
    """One sum wrong, all after it carried: the walk asks for that sum and nothing else."""
    answer = heard("paper unit 3, 6 marks, seed 11")
    question = paper_of(answer).paper.questions[0]
    walk = begin_walk(build(read_network(question.text)), DEFAULTS)
    first = walk.plan[0]
    assert first.makes is not None
    wrong = f"{first.makes.name} = 7.77 uF"
    done = heard(wrong, "hand in", "yes", start=answer.chat)
    assert "go over" in said(done)
    over = heard("go over", start=done.chat)
    stage = over.chat.stage
    assert isinstance(stage, Walking | Staged)
    assert over.chat.course is not None
    assert over.messages[-1].kind == "ask"


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
        assert "a paper, question 2 of 2" in said(home)
        again = host.hear(home.chat, "go on")
        assert paper_of(again).scripts == (("C34 = 16 uF",), ("C = 6.16 uF",))
