"""Lessons found: the program's own, those of a folder, and one by what it is called."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from subprocess import run
from zipfile import ZipFile

import pytest

from grammar.records import Place, Refusal
from tutor.practice.lesson_index import LESSON_FOR
from tutor.practice.lessons import Lesson
from tutor.practice.library import (
    LARGEST,
    lesson_called,
    lesson_in,
    lessons_for,
    lessons_in,
    own_files,
    own_lessons,
)
from tutor.teaching.skills import SKILLS

ROOT = Path(__file__).parents[2]
CASES = ROOT / "tests" / "cases" / "lessons"
SHELF = tuple(
    Lesson(number, name, title, 3, skills, ())
    for number, name, title, skills in (
        (1, "adding", "Adding in parallel", ("S10",)),
        (2, "two-in-series", "Two in series", ("S11", "S10")),
        (3, "more", "More in series, and bounds", ("S12", "S11", "S13")),
    )
)


def test_own_lessons_are_the_files_of_their_folder_in_order() -> None:
    names = sorted(file.name for file in (ROOT / "lessons").glob("*.md"))
    assert [file.name for file in own_files()] == names
    assert [f"{lesson.number:02}-{lesson.name}.md" for lesson in own_lessons()] == names


def test_own_lessons_are_found_in_a_zip_and_whatever_else_is_called_lessons(tmp_path: Path) -> None:
    """As from an installed wheel: no file of the tree is on the path, but a decoy is."""
    packed = tmp_path / "packed.zip"
    with ZipFile(packed, "w") as archive:
        for top in ("grammar", "tutor", "lessons"):
            for file in (ROOT / top).rglob("*"):
                if file.suffix in (".py", ".md", ".lark", ".tables"):
                    archive.write(file, file.relative_to(ROOT).as_posix())
    decoy = tmp_path / "elsewhere" / "lessons"
    decoy.mkdir(parents=True)
    (decoy / "99-mine.md").write_text("mine", "utf-8")
    code = (
        f"import sys; sys.path[:0] = [{str(decoy.parent)!r}, {str(packed)!r}]\n"
        "import tutor.practice.library as library\n"
        f"assert library.__file__.startswith({str(packed)!r})\n"
        "print(*(file.name for file in library.own_files()))"
    )
    done = run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=tmp_path
    )
    assert done.stdout.split() == [file.name for file in own_files()]


def test_lessons_of_a_folder_with_their_faults() -> None:
    found = lessons_in(CASES / "faulty")
    assert [file.name for file in found] == sorted(file.name for file in found)
    assert all(file.faults and file.lesson is None for file in found)
    (good,) = lessons_in(CASES / "good")
    assert good.lesson is not None
    assert good == lesson_in(CASES / "good" / good.name)


def test_two_with_one_number_or_one_name_are_a_fault_of_the_later() -> None:
    first, number, name = lessons_in(CASES / "doubled")
    assert first.lesson is not None
    said = [str(fault) for file in (number, name) for fault in file.faults]
    assert said == [
        "07-first.md has the number 07 too. Give 07-second.md another.",
        "07-first.md has the name first too. Give 08-first.md another.",
    ]
    assert (number.lesson, name.lesson) == (None, None)


def test_a_readme_is_no_lesson(tmp_path: Path) -> None:
    (tmp_path / "README.md").write_text("What these are.", "utf-8")
    with pytest.raises(Refusal, match="There is no lesson in"):
        lessons_in(tmp_path)


@pytest.mark.parametrize(
    ("where", "found"),
    [("nowhere", "There is no .*nowhere"), ("file.txt", "file.txt cannot be read: ")],
)
def test_folder_that_cannot_be_looked_into(where: str, found: str, tmp_path: Path) -> None:
    (tmp_path / "file.txt").write_text("", "utf-8")
    with pytest.raises(Refusal, match=found):
        lessons_in(tmp_path / where)


def test_file_that_cannot_be_opened(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match=r"There is no .*07-x\.md"):
        lesson_in(tmp_path / "07-x.md")


def test_file_that_is_no_text_is_told_where(tmp_path: Path) -> None:
    file = tmp_path / "07-x.md"
    file.write_bytes("+++\r\ntitle = \"µ\xe9".encode() + b"\xe9\"\r\n+++\r\n")
    (fault,) = lesson_in(file).faults
    assert fault.found == "The file is not UTF-8 from here on."
    assert fault.place == Place(2, 12, 'title = "µé�"')


def test_file_beyond_all_measure(tmp_path: Path) -> None:
    file = tmp_path / "07-x.md"
    file.write_bytes(b"x" * (LARGEST + 1))
    (fault,) = lesson_in(file).faults
    assert "more than 1,000,000 bytes" in fault.found


@pytest.mark.parametrize(
    ("words", "number"),
    [
        ("2", 2), ("02", 2), ("lesson 2", 2), ("Lesson  3", 3), ("two-in-series", 2),
        ("two in series", 2), ("TWO IN SERIES", 2), ("more in series, and bounds", 3),
        ("bounds", 3), ("parallel", 1), ("lesson on bounds", None), ("series", None), ("4", None),
        ("", None), ("lesson", None), ("9" * 5000, None), ("²", None), ("0", None),
    ],
)
def test_a_lesson_by_what_it_is_called(words: str, number: int | None) -> None:
    found = lesson_called(SHELF, words)
    assert (found.number if found else None) == number


def test_the_index_is_what_the_heads_of_the_lessons_say() -> None:
    found = {skill.code: lessons_for(own_lessons(), skill.code) for skill in SKILLS}
    expected = {code: (one[0].number, one[0].title) for code, one in found.items() if one}
    assert dict(LESSON_FOR) == expected, expected


def test_lessons_for_a_skill_come_with_those_meant_for_it_first() -> None:
    assert [lesson.number for lesson in lessons_for(SHELF, "S10")] == [1, 2]
    assert [lesson.number for lesson in lessons_for(SHELF, "S11")] == [2, 3]
    assert lessons_for(SHELF, "S40") == ()


@pytest.mark.skipif(sys.platform == "win32", reason="needs pipes and links of POSIX")
def test_what_is_no_file_never_keeps_the_other_lessons_away(tmp_path: Path) -> None:
    own = next(iter(sorted((ROOT / "lessons").glob("*.md"))))
    (tmp_path / own.name).write_bytes(own.read_bytes())
    (tmp_path / "91-folder.md").mkdir()
    os.mkfifo(tmp_path / "92-pipe.md")
    (tmp_path / "93-loop.md").symlink_to(tmp_path / "93-loop.md")
    (tmp_path / "94-device.md").symlink_to("/dev/zero")
    (tmp_path / "95-gone.md").symlink_to(tmp_path / "nowhere")
    first, *others = lessons_in(tmp_path)
    assert first.lesson is not None
    assert len(others) == 5
    assert all(len(each.faults) == 1 for each in others)
