"""The head of a lesson old and new, units of a teacher's own, tables, and mathematics."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.practice.test_lesson_reading import HEADING, faults_of, lines_of
from tutor.front.lessons_command import check_command, list_lines
from tutor.front.plain import Page
from tutor.practice.lesson_head import converted
from tutor.practice.lesson_reading import read_lesson

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
