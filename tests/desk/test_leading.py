"""Guided sessions: what is counted, what is shown to whom, what is kept, and going on later."""

from __future__ import annotations

import random
from io import StringIO
from pathlib import Path

import pytest

from tests.desk.leads import NETWORK, led_in, said, text_in
from tutor.desk.leading.programme import of_lesson, of_text
from tutor.desk.leading.room_names import FIRST, SECOND, is_room, room_name
from tutor.desk.leading.session import begun, follow
from tutor.desk.leading.tally import answers_in
from tutor.front.commands import main
from tutor.front.leading.screens import SessionWindow
from tutor.front.leading.watching import Watch, follow_for_class
from tutor.front.plain import Page
from tutor.practice.library import own_lessons
from tutor.teaching.staged.story import Telling

BRIDGE = (
    "C1 = 1 uF from A to P; C2 = 2 uF from A to Q; C3 = 2 uF from P to B; C4 = 1 uF from Q to B; "
    "C5 = 1 uF from P to Q; ends A and B; across 12 V"
)
STAGES = "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2 crossed"


@pytest.mark.parametrize(
    ("line", "answers"),
    [
        ("12 charge, 13 p.d.", [(12, "charge"), (13, "p.d.")]),
        ("5 4.2 uF, 3 10 uF", [(5, "4.2 uF"), (3, "10 uF")]),
        ("12 charge, at P, 13 p.d., P and B", [(12, "charge, at P"), (13, "p.d., P and B")]),
        ("3 C1 C2; 4 C2 C3", [(3, "C1 C2"), (4, "C2 C3")]),
        ("12: a, 3: b, 4: c", [(12, "a"), (3, "b"), (4, "c")]),
        ("4.2 uF", [(1, "4.2 uF")]),
        ("12 uC", [(1, "12 uC")]),
        ("p.d., P and B", [(1, "p.d., P and B")]),
        ("3*7/10", [(1, "3*7/10")]),
        ("3 * 7 / 10", [(1, "3 * 7 / 10")]),
        ("V1 = 4 V, V23 = 8 V", [(1, "V1 = 4 V, V23 = 8 V")]),
        ("4 V, 8 V", [(1, "4 V, 8 V")]),
        ("0 charge", [(1, "0 charge")]),
        ("10 and 2", [(1, "10 and 2")]),
        ("3 with the 7", [(1, "3 with the 7")]),
        ("3 is not in it, 7 and 2 are", [(1, "3 is not in it, 7 and 2 are")]),
        ("13 the energy, 9 the charge", [(13, "the energy"), (9, "the charge")]),
    ],
)
def test_a_line_is_an_answer_or_a_tally(line: str, answers: list[tuple[int, str]]) -> None:
    assert answers_in(line) == answers


def test_spread_is_by_value_and_by_wrong_idea(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "reveal", "next", "reveal", "next")  # now: what is C23?
    # Product over sum on two side by side gives 45/14 = 3.21 (worked by hand).
    said(led, "9 14 uF", "14.0", "3 3.21 uF", "2 45/14", "I don't know", "1 wibble",
         "14 V")
    told = text_in(said(led, "spread")[0])
    assert "14 uF (right) | 10" in told
    assert "uses the reciprocal rule on capacitors side by side | 5" in told
    assert "wibble (could not be read) | 1" in told
    assert "I don't know | 1" in told
    assert "gives a value the unit of another quantity | 1" in told
    assert "Right in all | 10 of 17" in told
    assert "talk in pairs" in told


def test_answers_to_another_question_are_named_at_once(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    noted = text_in(said(led, "12 charge, 3 C2 C3")[0])  # which can be combined?
    assert "Not read as an answer to this question: 'charge'." in noted
    said(led, "again", "20 charge")
    assert "Not read" not in text_in(said(led, "C2 C3")[0])


def test_no_table_is_shown_where_nothing_answers_the_question(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "12 charge")
    assert "Answer | First" not in text_in(said(led, "reveal")[0])
    said(led, "next", "12 charge, 11 p.d.")
    assert "Answer | First" in text_in(said(led, "reveal")[0])


def test_what_is_shared_counts_as_right_without_its_reason(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "reveal", "next", "12 charge, 11 p.d., 2 the p.d.")
    told = text_in(said(led, "spread")[0])
    assert "p.d. (right) | 13" in told
    assert "charge | 12" in told
    assert "says that a parallel set shares its charge | 12" in told


def test_both_for_what_is_shared_is_an_answer(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "reveal", "next", "6 p.d., 3 both, 2 both of them")
    told = text_in(said(led, "spread")[0])
    assert "both | 5" in told
    assert "Right in all | 6 of 11" in told


def test_ideas_behind_numbers_of_one_figure_and_behind_half_a_way_are_named(tmp_path: Path) -> None:
    led = led_in(tmp_path, "6 uF -- 4 uF, across 10 V")
    said(led, "reveal", "next", "reveal", "next")  # now: what is C12?
    said(led, "7 5 uF, 5 0.1, 4 0.417, 3 8 uF")
    told = text_in(said(led, "spread")[0])
    assert "takes the average for a chain, or adds fractions above and below the line | 7" in told
    assert "adds first and then turns the sum over | 5" in told
    assert "adds the reciprocals and stops before turning over, or takes sum" in told
    assert "5 µF does not fit" in text_in(said(led, "explain")[0])


def test_a_value_where_it_is_asked_what_is_shared_answers_another_question(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "reveal", "next")
    assert "another question than this one: '14 uF'" in text_in(said(led, "9 14 uF, 3 p.d.")[0])
    told = text_in(said(led, "spread")[0])
    assert "14 uF (answers another question) | 9" in told
    assert "Right in all | 3 of 12" in told
    assert "14 uF" not in text_in(said(led, "reveal")[0])
    said(led, "next", "9 14 uF, 3 p.d.")  # which is asked now
    assert "14 uF (right) | 9" in text_in(said(led, "spread")[0])


def test_a_word_that_is_no_answer_is_not_noted_and_no_share_counts_it(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "reveal", "next")
    assert "Not noted: 'where'" in text_in(said(led, "where")[0])
    said(led, "8 p.d., 2 charge, 2 banana")
    assert "Right in all | 8 of 10" in text_in(said(led, "spread")[0])


def test_a_reveal_says_what_speaks_against_other_choices(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "8 C1 C2, 5 C2 C3")
    told = text_in(said(led, "reveal")[0])
    assert told.index("Three plates meet at P") < told.index("C2 and C3 can be combined")
    other = led_in(tmp_path, name="other.jsonl")
    said(other, "8 C1 C2", "explain")  # where it has been told it is not told again
    assert "Three plates meet" not in text_in(said(other, "reveal")[0])


def test_nothing_of_the_answers_reaches_the_class_before_the_reveal(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    for line in ("7 C1 C2, 5 C2 C3", "again", "hint", "question", "explain", "2 C2 C3"):
        (shown,) = said(led, line)
        if shown.eyes == "class":
            told = text_in(shown)
            assert "First" not in told
            assert "Take these now" not in told
    (which,) = said(led, "which")
    assert which.eyes == "class"
    assert "2" not in text_in(which).replace("C2", "")
    (shown,) = said(led, "reveal")
    told = text_in(shown)
    assert "C1 C2 | 7 | nobody" in told
    assert "C2 C3 | 5 | a few" in told
    assert "C2 and C3 can be combined" in told


def test_rounds_stand_side_by_side_by_what_came_between(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "8 C1 C2", "again", "8 C2 C3", "hint", "again", "7 C2 C3")
    told = text_in(said(led, "spread")[0])
    assert "Answer | First | After talking | After a hint" in told
    assert "C2 C3 (right) | 0 | 8 | 7" in told


def test_explanation_is_what_a_learner_alone_is_told_and_holds_no_answer(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "reveal", "next", "reveal", "next", "3 3.21 uF")
    (shown,) = said(led, "explain")
    told = text_in(shown)
    assert shown.eyes == "class"
    assert "the reciprocal rule" in told
    assert "14 µF" not in told
    assert "must be more than 9 µF" in told


@pytest.mark.parametrize("text", [NETWORK, STAGES, BRIDGE])
def test_no_explanation_before_the_reveal_tells_the_answer(tmp_path: Path, text: str) -> None:
    """Of two answers neither is explained; of a value, none that is explained is right."""
    led = led_in(tmp_path, text)
    while led.session.stage != "over":
        said(led, "3 charge, 2 p.d., 2 energy, 3 higher, 3 same, 4 14 V, 2 10 uF, 2 3.21 uF, 9 7 V")
        (shown,) = said(led, "explain")
        posed = led.session.posed
        assert posed is not None
        if shown.eyes == "class":
            assert not posed.is_two_way
            told = text_in(shown)
            for row in led.spread(posed, posed.rounds[-1]).rows:
                assert row.outcome != "right" or f"{row.said} is what you get" not in told
        said(led, "reveal", "next")


def test_a_twin_is_another_network_and_leads_back(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "reveal", "next", "reveal", "next", "5 14 uF", "reveal")
    (twin,) = said(led, "twin")
    assert "answer it alone" in text_in(twin)
    assert led.session.posed is not None
    assert led.session.posed.is_twin
    assert said(led, "twin")[0].eyes == "own"
    said(led, "reveal")
    (onward,) = said(led, "next")
    assert "Which can be combined" in text_in(onward)


@pytest.mark.parametrize(
    "text", [NETWORK, "8 uF -- 8 uF, across 6 V", "4 uF || 11 uF, holding 60 uC"]
)
def test_nearly_every_question_of_a_walk_has_a_twin_with_an_answer_of_its_own(
    tmp_path: Path, text: str
) -> None:
    led, without = led_in(tmp_path, text), 0
    while led.session.stage != "over":
        asked = led.session.posed
        assert asked is not None
        said(led, "twin")
        twin = led.session.posed
        assert twin is not None
        if twin is asked:
            without += 1
        else:
            assert twin.is_twin
            assert twin.text.split()[:2] == asked.text.split()[:2] or "combined" in twin.text
            assert twin.drawn != asked.drawn
            said(led, "reveal", "next")
        said(led, "reveal", "next")
    assert without <= 1


@pytest.mark.parametrize(
    "text",
    [STAGES, "5 uF, across 12 V; then remove supply; then fill C1 with 4",
     "C1 = 3 uF rated 100 V -- C2 = 7 uF rated 63 V", BRIDGE],
)
def test_values_of_a_problem_in_stages_have_a_twin(tmp_path: Path, text: str) -> None:
    led, twins = led_in(tmp_path, text), 0
    for _ in range(60):
        asked = led.session.posed
        if led.session.stage == "over" or asked is None:
            break
        task = asked.talk.in_hand
        ask = task.ask if isinstance(task, Telling) else None
        said(led, "twin")
        twin = led.session.posed
        assert twin is not None
        if ask is not None and twin.is_twin:
            twins += 1
            other = twin.talk.in_hand
            assert isinstance(other, Telling)
            assert other.ask is not None
            assert (other.ask.key, other.ask.name) == (ask.key, ask.name)
            assert other.ask.right != ask.right
        elif ask is not None:
            assert ask.options or ask.right is None or ask.right == 0
        if twin.is_twin:
            said(led, "reveal", "next")
        said(led, "reveal", "next")
    assert led.session.stage == "over"
    assert twins >= 2


def test_undo_takes_back_what_was_typed_last(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "3 C1 C2", "4 C2 C3", "undo")
    assert "4 ×" not in text_in(said(led, "spread")[0])
    said(led, "undo")
    assert "no answers yet" in text_in(said(led, "spread")[0])
    assert "No answer has been typed" in text_in(said(led, "undo")[0])


def test_an_answer_to_which_several_ways_lead_is_explained_by_each(tmp_path: Path) -> None:
    led = led_in(tmp_path, "4 uF -- 12 uF, across 18 V")
    said(led, "reveal", "next", "reveal", "next", "6 16 uF")
    (told,) = said(led, "explain")
    assert "By adding 4 µF and 12 µF" in text_in(told)
    assert "at least as large as 4 µF" in text_in(told)


def test_a_word_on_offer_is_an_answer_with_its_article_too(tmp_path: Path) -> None:
    led = led_in(tmp_path, "C1 = 6 uF charged to 20 V; C2 = 2 uF charged to 40 V; join C1 and C2")
    said(led, *["reveal", "next"] * 3, "13 the energy, 9 the charge, 3 the p.d.")
    rows = [row for row in text_in(said(led, "spread")[0]).split("\n") if "13" in row]
    assert rows
    (told,) = said(led, "explain")
    assert "stored energy can leave" in text_in(told)


@pytest.mark.parametrize("text", [NETWORK, BRIDGE, STAGES])
def test_every_problem_is_led_to_its_end(tmp_path: Path, text: str) -> None:
    led = led_in(tmp_path, text)
    for _ in range(60):
        if led.session.stage == "over":
            break
        said(led, "5 wibble", "spread", "hint", "reveal", "next")
    assert led.session.stage == "over"
    assert said(led, "next", "spread", "again", "hint")


@pytest.mark.parametrize("number", [1, 10, 18, 25])
def test_a_lesson_is_led_to_its_end(number: int) -> None:
    lesson = next(each for each in own_lessons() if each.number == number)
    session, asked = begun(of_lesson(lesson)), 0
    for _ in range(400):
        if session.stage == "over":
            break
        asked += session.is_asking
        session = follow(session, {"event": "revealed" if session.is_asking else "next"})
    assert session.stage == "over"
    assert asked >= len([e for e in lesson.exercises if e.kind not in ("say", "puzzle")])


# Files of answers, and the window for the class


def test_answers_come_from_a_file_as_it_grows_each_line_once(tmp_path: Path) -> None:
    led, answers = led_in(tmp_path), tmp_path / "answers.txt"
    watch = Watch(led, answers)
    watch.look()
    answers.write_text("C2 C3\n7 C1 C2\nC2", "utf-8")
    watch.look()
    watch.look()
    assert led.session.posed is not None
    assert led.session.posed.rounds[-1].answered == 8
    led.file.close()
    again = led_in(tmp_path)
    answers.write_text("C2 C3\n7 C1 C2\nC2 C3\n", "utf-8")
    Watch(again, answers).look()
    assert again.session.posed is not None
    assert again.session.posed.rounds[-1].answered == 9


def test_lines_between_questions_are_passed_over(tmp_path: Path) -> None:
    led, answers = led_in(tmp_path), tmp_path / "answers.txt"
    watch = Watch(led, answers)
    said(led, "reveal")
    answers.write_text("C2 C3\n", "utf-8")
    watch.look()
    said(led, "next")
    watch.look()
    answers.write_text("C2 C3\np.d.\n", "utf-8")
    watch.look()
    assert led.session.posed is not None
    assert [each.text for each in led.session.posed.rounds[-1].predictions.values()] == ["p.d."]


def test_a_named_file_is_taken_at_once(tmp_path: Path) -> None:
    led, answers = led_in(tmp_path), tmp_path / "my answers.txt"
    answers.write_text("C2 C3\n\n3 C1 C2\n", "utf-8")
    assert "four answers" in text_in(said(led, f"take {answers}")[0])
    assert "There is no file" in text_in(said(led, "take nowhere.txt")[0])


def test_projector_shows_the_question_and_no_answer_until_the_reveal(tmp_path: Path) -> None:
    led, out = led_in(tmp_path), StringIO()
    turns = iter(["7 C1 C2", "4 C2 C3", "reveal", "end"])

    def pause(seconds: float) -> None:
        del seconds
        line = next(turns)
        if line == "reveal":
            before = out.getvalue()
            assert "Answers so far: 11" in before
            assert "Answer | First" not in before
        said(led, line)

    window = SessionWindow(out, Page(80))
    follow_for_class(led.file.path, window, lambda _: begun(of_text(NETWORK), seed=1), pause)
    assert "C1 C2 7 C2 C3 a few" in " ".join(out.getvalue().split())
    assert out.getvalue().rstrip().endswith("That is the end of this session.")
    assert max(map(len, out.getvalue().splitlines())) <= 80


# The command


def run(monkeypatch: pytest.MonkeyPatch, *arguments: str, lines: str = "") -> int:
    monkeypatch.setattr("sys.stdin", StringIO(lines))
    return main(["lead", *arguments])


def test_led_through_a_pipe_then_reported(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = str(tmp_path / "s.jsonl")
    lines = "7 C1 C2, 3 C2 C3\nspread\nagain\n"
    for more in ("--plain", "--ascii"):
        assert run(monkeypatch, NETWORK, "--session", file, more, lines=lines) == 0
        told = capsys.readouterr()
        assert "\x1b" not in told.out
        assert max(map(len, told.out.splitlines())) <= 80
        assert "Talk it over" in told.out
        assert run(monkeypatch, NETWORK, "--session", file) == 2  # there already
        assert "holds a session already" in " ".join(capsys.readouterr().err.split())
        assert run(monkeypatch, "--session", file, lines="9 C2 C3\nspread\nend\n") == 0
        assert "9 of 9" in capsys.readouterr().out
        assert run(monkeypatch, "--session", file, "--report") == 0
        report = capsys.readouterr().out
        assert "After talking" in report
        assert "a few" in report
        assert run(monkeypatch, "--session", file) == 2
        assert "is over" in " ".join(capsys.readouterr().err.split())
        page = tmp_path / "report.html"
        assert run(monkeypatch, "--session", file, "--report", "--to", str(page)) == 0
        assert "<table>" in page.read_text("utf-8")
        Path(file).unlink()
        capsys.readouterr()


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["lesson", "99"], "There is no lesson"),
        (["4 uF -- -- 3 uF"], "^"),
        (["--session", "nowhere/s.jsonl", "--report"], "There is no session"),
        (["--session", "nowhere/s.jsonl", "--projector"], "There is no session"),
    ],
)
def test_what_cannot_be_led_is_refused_without_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    arguments: list[str], told: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    where = [] if "--session" in arguments else ["--session", "s.jsonl"]
    assert run(monkeypatch, *arguments, *where) == 2
    assert told in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_the_last_session_goes_on_without_being_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("tutor.front.leading.lead_command.sessions_folder", lambda: tmp_path)
    assert run(monkeypatch) == 2
    assert "No session has been begun" in capsys.readouterr().err
    assert run(monkeypatch, "lesson", "10", lines="next\n7 charge\n") == 0
    capsys.readouterr()
    assert run(monkeypatch, lines="spread\n") == 0
    assert "charge (right)" in capsys.readouterr().out


def test_names_of_rooms_are_two_plain_words() -> None:
    rooms = {room_name(random.Random(seed).choice) for seed in range(300)}
    assert len(rooms) > 250
    words = [*FIRST.split(), *SECOND.split()]
    assert all(word.isalpha() and word.islower() and len(word) < 9 for word in words)
    assert is_room(" Amber-Kettle ", "amber kettle")
    assert not is_room("amber", "amber kettle")
    assert not is_room("", "")
