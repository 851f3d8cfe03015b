"""The head of a lesson old and new, units of a teacher's own, tables, and mathematics."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.practice.test_lesson_reading import HEADING, faults_of, lines_of
from tutor.front.commands import main
from tutor.front.lessons_command import check_command, list_lines
from tutor.front.plain import Page
from tutor.practice.lesson_head import converted
from tutor.practice.lesson_reading import read_lesson
from tutor.practice.lesson_trials import tried
from tutor.practice.own_choices import story_of_choice
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.rules.catalogue import SKILL_OF
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.skills import SKILLS

OLD = '+++\ntitle = "T"\nunit = 3\nskills = ["two in series"]\n+++\n\nWhat it is for.\n\n+++\n'
NEW = HEADING + "\nWhat it is for.\n\n+++\n"


def test_an_old_head_is_told_how_to_become_a_new_one() -> None:
    (fault,) = faults_of(OLD)
    assert "older lessons" in fault.found
    assert "lessons check" in fault.cure
    assert converted(OLD) == NEW
    assert converted(NEW) is None
    assert converted("+++\ntitle") is None
    windows = OLD.replace("\n", "\r\n")
    assert converted("\ufeff" + windows) == "\ufeff" + NEW.replace("\n", "\r\n")


def test_the_check_converts_files_and_says_so(tmp_path: Path) -> None:
    file = tmp_path / "07-x.md"
    file.write_text(OLD, encoding="utf-8", newline="")
    (tmp_path / "readme.md").write_text(OLD)
    code, lines = check_command(str(tmp_path), Page(200), False)
    assert code == 0
    assert any("is a block ```lesson now" in line for line in lines)
    assert file.read_text(encoding="utf-8") == NEW
    assert (tmp_path / "readme.md").read_text() == OLD
    assert [each.name for each in sorted(tmp_path.iterdir())] == ["07-x.md", "readme.md"]
    _, again = check_command(str(file), Page(200), True)
    assert json.loads(again[0])["converted"] is False


def test_a_unit_may_have_a_name_of_its_own() -> None:
    own = read_lesson("91-x.md", HEADING.replace("unit = 3", 'unit = "Year 12  revision"'))
    other = read_lesson("92-y.md", HEADING)
    assert own.unit == "Year 12 revision"
    lines = list(list_lines([own, other], Page()))
    assert lines == ["Unit 3: One capacitor for many", "  92  T", "", "Year 12 revision", "  91  T"]
    (fault,) = faults_of(HEADING.replace("unit = 3", f'unit = "{"x" * 61}"'))
    assert "60" in fault.found


def test_a_table_is_read_row_by_row_with_its_heads() -> None:
    table = "| name | C | rated |\n|---|--:|---|\n| C1 | 3 µF | *100 V* |\n| C2 | `7 uF` | |"
    assert lines_of(f"Two parts:\n\n{table}\n\nAnd on.") == (
        "Two parts:", "", "- C1; C: 3 µF; rated: 100 V", "- C2; C: 7 uF", "", "And on.",
    )
    values = "| Q1 | Q2 | |\n|---|---|---|\n| 8 µC | 12 µC | each |\n| −8 µC | | |"
    assert lines_of(values) == ("- Q1: 8 µC; Q2: 12 µC; each", "- Q1: −8 µC")


@pytest.mark.parametrize(
    "text",
    [
        "The rule is $C = Q/V$ here.", "$$\\frac{1}{C}$$", "So \\(C = 2\\) it is.",
        "With \\times and more.", "- in a list $Q$", "| a |\n|---|\n| $C_1$ |",
    ],
)
def test_mathematics_in_tex_is_refused_at_its_line(text: str) -> None:
    (fault,) = faults_of(f"{HEADING}\nFirst.\n\n{text}\n")
    assert "TeX" in fault.found
    assert "`C = C1 C2/(C1 + C2)`" in fault.cure
    assert fault.place is not None
    assert fault.place.line >= 9


@pytest.mark.parametrize(
    "text",
    [
        "It costs $5, or 3 $ a day.", "Write `$C$` or `\\frac{1}{2}` as code.",
        "C = C1 \\* C2", "V_P",
    ],
)
def test_what_is_no_mathematics_in_tex_stands(text: str) -> None:
    assert lines_of(text)


# Questions of one's own that are answered by a value


def question(value: str, more: str = "") -> str:
    return (
        f'{HEADING}\nFirst.\n\n```task\ntext = "What charge?"\nvalue = "{value}"\n'
        f'because = "Q = C V."\nskills = ["Q = C V"]\n{more}```\n'
    )


@pytest.mark.parametrize(
    ("value", "right", "wrong"),
    [
        ("25.2 uC", ("25.2 uC", "Q = 2.52e-5 C", "25.2"), ("25.2 uF", "252 uC", "2.52 uC")),
        ("4", ("4", "4.0"), ("2", "4 uC")),
        ("1/3 mJ", ("0.333 mJ", "333 uJ"), ("0.3 J", "3 mJ")),
    ],
)
def test_a_value_is_taken_in_any_way_of_writing_it(
    value: str, right: tuple[str, ...], wrong: tuple[str, ...]
) -> None:
    (exercise,) = read_lesson("07-x.md", question(value)).exercises
    story = story_of_choice(exercise, DEFAULTS)
    for typed in (*right, *wrong):
        reply = hear(begin_story(story, DEFAULTS).talk, typed.removeprefix("Q = "))
        verdict = next(m.verdict for m in reply.messages if m.kind == "verdict")
        assert (verdict == "right") == (typed in right), typed
    trial = tried(exercise)
    assert (trial.questions, trial.skills) == (1, ("S02",))


@pytest.mark.parametrize("value", ["much", "2 uC * 3 uC", "3 kg", "V1 = 2 V", "[]"])
def test_a_value_that_is_none_is_a_fault_at_its_place(value: str) -> None:
    (fault,) = faults_of(question(value))
    assert fault.place is not None
    assert fault.place.line_text.startswith("value =")


def test_a_value_and_choices_do_not_go_together() -> None:
    found = faults_of(question("3 uC", 'wrong = [{ say = "a", reply = "b" }]\n'))
    assert any(fault.found.startswith("wrong is no part") for fault in found)


# What may be named


def test_skills_ideas_and_fields_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lessons", "skills", "--width", "200"]) == 0
    told = capsys.readouterr().out
    for skill in SKILLS:
        assert f"  {skill.name}: you can " in told
    for idea in SKILL_OF:
        assert f"    - {idea_in_words(idea)}" in told
    for field in ("title", "unit", "skills", "network", "ask", "seed", "value", "because", "hint"):
        assert re.search(rf"\b{field}\b", told.split("Fields of the head")[1]), field
    assert main(["lessons", "skill"]) == 2
    assert main(["lessons", "skills", "folder"]) == 2
