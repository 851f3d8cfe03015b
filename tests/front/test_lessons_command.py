"""``platewalk lessons``: the list by unit, and lessons looked through for their author."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tutor.front.lessons_command import check_command, list_lines
from tutor.front.plain import Page
from tutor.practice.library import own_lessons
from tutor.teaching.skills import UNITS

CASES = Path(__file__).parents[1] / "cases" / "lessons"
GOOD = CASES / "good" / "07-turning-the-crank.md"


@pytest.mark.parametrize("width", [40, 78])
def test_list_has_every_lesson_under_its_unit(width: int) -> None:
    lines = [*list_lines(own_lessons(), Page(width))]
    assert max(map(len, lines)) <= width
    text = " ".join(" ".join(lines).split())
    at = 0
    for lesson in own_lessons():
        unit = f"Unit {lesson.unit}: {UNITS[lesson.unit]}"
        at = text.index(f"{lesson.number} {lesson.title}", at)
        assert unit in text[:at]


def test_list_in_ascii() -> None:
    assert "".join(list_lines(own_lessons(), Page(ascii=True))).isascii()


def test_good_lesson_is_told_task_by_task() -> None:
    code, lines = check_command(str(GOOD), Page(100), False)
    assert code == 0
    assert lines[0] == f"{GOOD}: Turning the crank"
    assert lines[1].startswith("  Line 23, network: two questions, ")
    assert lines[1].endswith("told apart, on dividing a p.d.")
    assert "  Line 37, text: three choices, on dividing a p.d. and bounds" in lines
    assert "  Line 53, say: answered freely" in lines
    assert lines[-1] == "One lesson: no faults, no warnings."


def test_fault_has_its_line_with_a_caret_between_what_and_cure() -> None:
    file = CASES / "unsolved" / "09-networks.md"
    code, lines = check_command(str(file), Page(200), False)
    assert code == 1
    at = lines.index(f"{file}:8: ohm is a unit of resistance.")
    assert lines[at + 1 : at + 4] == [
        'network = "3 uF -- 7 ohm"',
        "                   ^",
        "A capacitance is in F, µF, nF or pF.",
    ]
    assert lines[-1].startswith("One lesson: eight faults, ")


def test_fault_without_a_place_is_told_of_the_file() -> None:
    code, lines = check_command(str(CASES / "doubled"), Page(200), False)
    assert code == 1
    path = CASES / "doubled" / "08-first.md"
    assert f"{path}: 07-first.md has the name first too. Give 08-first.md another." in lines
    assert lines[-1] == "Three lessons: two faults, no warnings."


@pytest.mark.parametrize("folder", ["faulty", "unsolved", "doubled", "good"])
def test_no_line_is_wider_than_the_page(folder: str) -> None:
    _, lines = check_command(str(CASES / folder), Page(40, ascii=True), False)
    assert max(map(len, lines)) <= 40
    assert "".join(lines).isascii()


def test_json_has_one_object_a_file_with_names_of_malrules() -> None:
    code, (line,) = check_command(str(GOOD), Page(), True)
    assert code == 0
    told = json.loads(line)
    assert told["file"] == str(GOOD)
    assert (told["number"], told["name"], told["unit"]) == (7, "turning-the-crank", 4)
    assert told["skills"] == ["dividing a p.d.", "two in series", "bounds"]
    assert (told["faults"], told["warnings"]) == ([], [])
    first = told["tasks"][0]
    assert (first["line"], first["kind"], first["questions"]) == (23, "network", 2)
    assert first["network"] == "6 uF -- 14 uF, across 20 V"
    assert "splits-the-pd-equally" in first["tells"]


def test_json_of_faulty_files() -> None:
    code, lines = check_command(str(CASES / "faulty"), Page(), True)
    assert code == 1
    files = [json.loads(line) for line in lines]
    assert len(files) == len(list((CASES / "faulty").iterdir()))
    assert all(file["faults"] for file in files)
    assert files[0]["faults"] == [{
        "line": 1,
        "column": 1,
        "found": "The file does not begin with ```lesson.",
        "cure": "Begin with a line ```lesson, then title, unit and skills, then a line ```.",
    }]
    assert all("title" not in file and file["tasks"] == [] for file in files)


def test_what_a_network_hides_stands_in_the_json(tmp_path: Path) -> None:
    text = GOOD.read_text("utf-8").replace("6 uF -- 14 uF", "4 uF -- 4.1 uF")
    file = tmp_path / "07-x.md"
    file.write_text(text, "utf-8")
    code, (line,) = check_command(str(file), Page(), True)
    assert code == 0
    task = json.loads(line)["tasks"][0]
    assert set(task["hidden"]) <= {"V1", "V2"}
    assert "splits-the-pd-equally" in task["hidden"]["V1"]
    assert "splits-the-pd-equally" not in task["tells"]
    assert "within 5 %" in line


@pytest.mark.parametrize("where", ["nowhere", "empty"])
def test_where_there_is_no_lesson(where: str, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    code, lines = check_command(str(tmp_path / where), Page(200), False)
    assert code == 2
    assert where in "".join(lines)
    code, (line,) = check_command(str(tmp_path / where), Page(200), True)
    assert code == 2
    assert where in json.loads(line)["error"]["message"]


def test_a_file_that_is_too_large_or_cannot_be_written_stops_no_other(tmp_path: Path) -> None:
    good = GOOD.read_text(encoding="utf-8")
    (tmp_path / "01-good.md").write_text(good, encoding="utf-8")
    (tmp_path / "02-large.md").write_text(good + "a" * 1_000_001, encoding="utf-8")
    code, lines = check_command(str(tmp_path), Page(100), False)
    told = " ".join("\n".join(lines).split())
    assert code == 1
    assert "has more than 1,000,000 bytes" in told
    assert "Two lessons: one fault" in told
