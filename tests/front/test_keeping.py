"""Chats that are kept: gone on with at any point, by several learners, in two windows at once."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from grammar.records import Refusal
from tests.front.killing import kill_some
from tutor.front import record_place
from tutor.front.chat.stages import Answer, Choosing, Solving
from tutor.front.keeping import Keeper, Opening, Unkept, settings_in
from tutor.front.options import Options
from tutor.learner.record import Record, open_record
from tutor.teaching.settings import DEFAULTS

NOW = 1_800_000_000.0
HALL = "6 uF -- (9 uF || 5 uF), across 15 V"
WALK = (
    HALL, "C1 C2", "hint", "C2 C3", "p.d.", "P and B", "13", "14", "set figures 5", "C1 C23",
    "charge, at P", "20.0", "a", "4.2 uF", "undo", "4.2", "63 uC", "charge",
    "what if C2 is doubled",
    "C up", "show", "V1 = 10.5 V, V23 = 4.5 V", "list",
)
SITTINGS = (
    WALK,
    ("2", "C2 C3", "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2", "yes", "30 uC", "hint"),
    ("practise two in series", "charge, at P", "7", "I don't know", "I don't know", "I don't know"),
    ("book", "C1 = 4 uF from A to P", "C2 = 3 uF from P to B"),
    ("puzzle 9 uF from 4 uF, 6 uF, 12 uF", "C1 -- C2", "hint"),
    ("lesson 1", "c", "next", "120", "120 uC", "next"),
    ("C1 = 4 uF from A to P", "C2 = 3 uF from P to B"),
)


class Clock:
    """Time that passes by a minute at each look."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> float:
        self.now += 60
        return self.now


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "record.sqlite"


@pytest.fixture
def record(path: Path) -> Iterator[Record]:
    with open_record(path, NOW) as opened:
        yield opened


def keeper(record: Record, name: str = "me", clock: Clock | None = None) -> Keeper:
    return Keeper(record, record.learner(name, NOW), clock or Clock())


def said(answer: Answer) -> str:
    return "\n".join(message.text for message in answer.messages)


def heard(host: Keeper, lines: tuple[str, ...], start: Answer | None = None) -> Answer:
    answer = start or host.open(Opening())
    for line in lines:
        answer = host.hear(answer.chat, line)
    return answer


def where(answer: Answer) -> object:
    """The stage without what is a function of its own in each chat."""
    stage = answer.chat.stage
    return stage.talk.problem if isinstance(stage, Solving) else stage


@pytest.mark.parametrize("lines", SITTINGS, ids=[lines[0] for lines in SITTINGS])
def test_a_sitting_goes_on_where_it_was_cut_off(lines: tuple[str, ...], path: Path) -> None:
    for number in range(1, len(lines) + 1):
        place = path.with_name(f"{number}.sqlite")
        with open_record(place, NOW) as record:
            before = heard(keeper(record), lines[:number])
        with open_record(place, NOW) as record:  # as another process would after a kill
            host = keeper(record)
            home = host.open(Opening())
            if home.chat.person.resume is None:
                assert isinstance(before.chat.stage, Choosing | Solving)
                continue
            again = host.hear(home.chat, "go on")
            assert where(again) == where(before), lines[number - 1]
            assert again.chat.terms == before.chat.terms
            assert again.chat.course == before.chat.course
            assert again.messages[-1].kind == "ask"


def test_what_is_in_the_middle_is_said_at_home_and_gone_on_with_twice(record: Record) -> None:
    heard(keeper(record), WALK[:5])
    host = keeper(record)
    home = host.open(Opening())
    assert "In the middle" in said(home)
    again = host.hear(home.chat, "go on")
    heard(host, ("P and B",), again)
    later = keeper(record)
    third = later.hear(later.open(Opening()).chat, "go on")
    assert "What is C23" in said(third)
    assert len(record.sittings(record.learner("me", NOW))) == 1  # one sitting, gone on with


@pytest.mark.parametrize(
    "lines", [("lesson 15", "14 V"), ("practise two in series",), (HALL, "C2 C3")]
)
def test_what_was_left_by_home_is_gone_on_with_another_day(
    lines: tuple[str, ...], record: Record
) -> None:
    first = keeper(record)
    before = heard(first, lines)
    heard(first, ("home", "stop"), before)
    heard(keeper(record), ("where do I stand", "stop"))
    for _ in range(2):  # the second time after the line that went on
        host = keeper(record)
        home = host.open(Opening())
        assert "In the middle" in said(home)
        again = host.hear(home.chat, "go on")
        assert again.chat.course == before.chat.course
        assert where(again) == where(before)


def test_gone_on_with_the_network_is_drawn_with_what_is_known_on_it(record: Record) -> None:
    first = keeper(record)
    heard(first, (*WALK[:4], "p.d., P and B", "14", "C1 C23", "charge, at P", "4.2", "63 uC",
                  "charge", "V1 = 10.5 V"))
    host = keeper(record)
    again = host.hear(host.open(Opening()).chat, "go on")
    (drawn,) = [message.drawn for message in again.messages if message.drawn is not None]
    assert [c.name for c in drawn.network.capacitors] == ["C1", "C2", "C3"]
    assert drawn.found("C1") == ("10.5 V", "63 µC")
    assert drawn.found("C2") == (), "what is asked now is not shown"


def test_a_walk_that_was_left_with_stop_can_be_gone_on_with(record: Record) -> None:
    answer = heard(keeper(record), (HALL, "C2 C3", "stop"))
    assert answer.chat.is_over
    host = keeper(record)
    again = host.hear(host.open(Opening()).chat, "go on")
    assert "What do C2 and C3 share" in said(again)
    line = again.messages[0].text
    assert line == "On with a walk through C1, C2, C3. Step 1 of 2, then five answers back."


def test_a_sitting_of_before_the_pace_could_be_set_goes_on_as_it_began(record: Record) -> None:
    """Its lines answered everything, so everything is asked until it ends."""
    host = keeper(record)
    heard(host, (HALL, "C2 C3", "p.d., P and B", "14 uF"), host.open(Opening(DEFAULTS)))
    assert host.sitting is not None
    kept = json.loads(host.sitting.opening)
    assert kept["settings"].pop("asked") == "everything"
    assert settings_in(kept["settings"]) == DEFAULTS
    assert settings_in({}).asked == "everything"
    later = keeper(record)
    again = later.hear(later.open(Opening()).chat, "go on")
    assert "Which can be combined into one" in said(again)


def test_home_says_in_three_lines_where_the_learner_stands(record: Record) -> None:
    heard(keeper(record), (HALL, "C2 C3", "p.d., P and B", "14 uF", "stop"))
    home = keeper(record).open(Opening())
    lines = home.messages[0].text.split("\n")
    assert len(lines) == 3
    assert "spotting parallel" in lines[0] or "adding in parallel" in lines[0]
    assert lines[1].startswith("In the middle: ")
    assert lines[2].startswith("Suggested: ")
    assert not any(sign in lines[0] for sign in "%0123456789")


def test_every_line_is_in_the_record_before_its_answer_is_handed_on(
    record: Record, path: Path
) -> None:
    host = keeper(record)
    answer = host.open(Opening())
    for number, line in enumerate(WALK, start=1):
        answer = host.hear(answer.chat, line)
        with closing(sqlite3.connect(path)) as other:
            rows = other.execute("SELECT number, line FROM turns ORDER BY number").fetchall()
            texts = other.execute(
                "SELECT text FROM said JOIN turns ON turns.id = said.turn WHERE turns.number = ?"
                " ORDER BY said.number", (number,)
            ).fetchall()
        assert rows[-1] == (number, line)
        assert [text for (text,) in texts] == [message.text for message in answer.messages]


def test_learners_take_turns_and_stay_apart(record: Record) -> None:
    host = keeper(record, "Ada")
    answer = heard(host, (HALL, "C2 C3"))
    other = host.hear(answer.chat, "I am Ben")
    assert "Leave this one" in said(other)
    home = host.hear(other.chat, "yes")
    assert home.chat.person.name == "Ben"
    heard(host, ("3 uF || 4 uF", "C1 C2"), home)
    assert record.last_learner() == record.find("Ben")
    for name, lines in (("Ada", 4), ("Ben", 2)):
        learner = record.find(name)
        assert learner is not None
        turns = [line for s in record.sittings(learner) for line in record.turns(s.id)]
        assert len(turns) == lines, (name, turns)


def test_the_day_of_the_exam_is_kept(record: Record) -> None:
    heard(keeper(record), ("exam on 14 June 2027",))
    learner = record.find("me")
    assert learner is not None
    assert learner.exam == date(2027, 6, 14)
    assert keeper(record).open(Opening()).chat.person.exam == date(2027, 6, 14)
    heard(keeper(record), ("exam none",))
    learner = record.find("me")
    assert learner is not None
    assert learner.exam is None


def test_two_windows_at_once_lose_nothing(path: Path) -> None:
    with open_record(path, NOW) as first, open_record(path, NOW) as second:
        hosts = keeper(first), keeper(second)
        answers = [host.open(Opening()) for host in hosts]
        for line in WALK[:8]:
            answers = [
                host.hear(answer.chat, line) for host, answer in zip(hosts, answers, strict=True)
            ]
        assert where(answers[0]) == where(answers[1])
        learner = first.learner("me", NOW)
        assert [first.turns(s.id) for s in first.sittings(learner)] == [WALK[:8]] * 2


def test_a_record_that_can_not_be_written_is_told_and_the_chat_goes_on(record: Record) -> None:
    host = keeper(record)
    answer = heard(host, (HALL,))
    record._connection.execute("PRAGMA query_only = ON")
    answer = host.hear(answer.chat, "C2 C3")
    record._connection.execute("PRAGMA query_only = OFF")
    assert "could not be kept" in said(answer)
    assert "those two can become one" in said(answer)


def test_a_chat_that_is_not_kept_needs_no_record() -> None:
    host = Unkept()
    answer = host.hear(host.open(Opening()).chat, "I am Ada")
    assert "Nothing is kept" in said(answer)
    assert "C1" in said(host.open(Opening(text=HALL)))
    assert "Lesson 2" in said(host.open(Opening(wish="lesson 2")))


def test_chats_killed_at_moments_of_chance_go_on_at_their_question(tmp_path: Path) -> None:
    tally = kill_some(tmp_path, 3, seed=11)
    assert tally.kills == 3


@pytest.mark.parametrize("opening", ["[]", '{"a": 1}', "[" * 50_000, '{"text": 5}', "null"])
def test_a_sitting_whose_beginning_is_spoilt_is_told_and_the_chat_goes_on(
    record: Record, path: Path, opening: str
) -> None:
    host = keeper(record)
    host.hear(host.open(Opening()).chat, HALL)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("UPDATE sittings SET opening = ?", (opening,))
    host = keeper(record)
    chat = host.open(Opening()).chat
    answer = host.hear(chat, "go on")
    assert "is damaged" in answer.messages[0].text
    assert isinstance(answer.chat.stage, Choosing)
    assert isinstance(host.hear(answer.chat, HALL).chat.stage, Solving)


def test_a_record_is_closed_where_who_learns_is_refused(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened = open_record(path, NOW)
    monkeypatch.setattr(record_place, "open_for", lambda _: opened)
    with pytest.raises(Refusal):
        record_place.host_for(Options(record=str(path), learner=" "))
    with pytest.raises(sqlite3.ProgrammingError, match="closed"):
        opened.learners()
