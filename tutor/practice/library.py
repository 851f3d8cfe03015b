"""Lessons found: those of the program, those of a folder, and one of them by what it is called."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from grammar.records import Place, Refusal
from tutor.learner.files import bytes_of, said
from tutor.practice.lesson_head import converted
from tutor.practice.lesson_reading import read_lesson
from tutor.practice.lessons import Faults, Lesson

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

ENDING: Final = ".md"
NO_LESSON: Final = "readme.md"
LARGEST: Final = 1_000_000
LONGEST_NUMBER: Final = 4


class Found(NamedTuple):
    """A file of a lesson: its text, and the lesson it holds or what is wrong with it, and then what
    could be read of it ``in_part``.
    """

    name: str
    text: str
    lesson: Lesson | None = None
    faults: tuple[Refusal, ...] = ()
    in_part: Lesson | None = None


@cache  # every suggestion asks for them, and they do not change while the program runs
def own_lessons() -> tuple[Lesson, ...]:
    """The lessons that come with the program, in order of number."""
    return tuple(found.lesson for found in own_files() if found.lesson is not None)


def own_files() -> tuple[Found, ...]:
    """Their files, in order; none of them has a fault (a test sees to it)."""
    from importlib.resources import files

    return _all(file for file in files("lessons").iterdir() if is_lesson(file.name))


def lessons_in(folder: Path) -> tuple[Found, ...]:
    """Every lesson of a folder, in order of the names of their files, faults and all.

    Two with one number or one name are a fault of the later. Errors: ``Refusal`` where the folder
    cannot be looked into or has no lesson.
    """
    try:
        files = [file for file in folder.iterdir() if is_lesson(file.name)]
    except OSError as error:
        raise _unreachable(folder, error) from None
    if not files:
        raise Refusal(
            f"There is no lesson in {folder}.", "A lesson is a file such as 07-two-in-series.md."
        )
    return _all(files)


def lesson_in(file: Path) -> Found:
    """The lesson of one file, faults and all. Errors: ``Refusal`` where it cannot be opened."""
    return _taken_up(file) if file.is_file() else _read(file)


def convert(file: Path) -> bool:
    """Give an older file the head that lessons have now; whether it was one.

    The new text is whole beside the old one before it takes its place. Errors: ``Refusal`` where
    the file cannot be read or written.
    """
    try:
        new = converted(bytes_of(file, LARGEST).decode("utf-8"))
    except (UnicodeDecodeError, FileNotFoundError):
        return False  # reading it tells what is wrong
    if new is None:
        return False
    own = file.resolve()  # what a link leads to, which stays a link
    beside = own.with_name(f"{own.name}.new")
    try:
        beside.write_bytes(new.encode("utf-8"))
        beside.replace(own)
    except OSError as error:
        found = f"{file} has the head of older lessons and cannot be converted: {said(error)}."
        raise Refusal(found, "Allow writing there, and check it again.") from None
    return True


def is_lesson(name: str) -> bool:
    """Whether a file of this name is taken for a lesson: it ends in .md and is no readme."""
    return name.lower().endswith(ENDING) and name.lower() != NO_LESSON


def lesson_called(lessons: Iterable[Lesson], words: str) -> Lesson | None:
    """The lesson of this number ('7', 'lesson 7'), name, title or words of a title.

    None where there is no such lesson, and where the words fit more than one.
    """
    said = _plain(words)
    said = said.removeprefix("lesson").strip() or said
    lessons = tuple(lessons)
    if said.isdecimal():
        number = int(said) if len(said) <= LONGEST_NUMBER else 0
        return next((each for each in lessons if each.number == number), None)
    for each in lessons:
        if said in (_plain(each.name), _plain(each.title)):
            return each
    wanted = set(said.split())
    fitting = [each for each in lessons if wanted and wanted <= set(_plain(each.title).split())]
    return fitting[0] if len(fitting) == 1 else None


def lessons_for(lessons: Iterable[Lesson], skill: str) -> tuple[Lesson, ...]:
    """The lessons that name a skill (by its code), those that are for it first."""
    naming = [each for each in lessons if skill in each.skills]
    return tuple(sorted(naming, key=lambda each: (each.skills[0] != skill, each.number)))


def _all(files: Iterable[Path | Traversable]) -> tuple[Found, ...]:
    found = [_taken_up(file) for file in sorted(files, key=lambda file: file.name)]
    return _without_doubles(found)


def _taken_up(file: Path | Traversable) -> Found:
    """The lesson of one file among others; one that cannot be read does not keep the rest away."""
    try:
        return _read(file)
    except Refusal as refusal:
        return Found(file.name, "", None, (refusal,))


def _read(file: Path | Traversable) -> Found:
    try:
        data = bytes_of(file, LARGEST) if isinstance(file, Path) else file.read_bytes()
    except OSError as error:
        raise _unreachable(file, error) from None
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return Found(file.name, "", None, (_not_text(data, error.start),))
    try:
        return Found(file.name, text, read_lesson(file.name, text))
    except Faults as faults:
        return Found(file.name, text, None, faults.faults, faults.lesson)


def _not_text(data: bytes, at: int) -> Refusal:
    before = data[:at].decode("utf-8").split("\n")
    line = data.split(b"\n")[len(before) - 1].decode("utf-8", "replace")
    return Refusal(
        "The file is not UTF-8 from here on.",
        "Save it as UTF-8 text.",
        Place(len(before), len(before[-1]) + 1, line.rstrip("\r")),
    )


def _without_doubles(files: Sequence[Found]) -> tuple[Found, ...]:
    """The same, the later of two lessons with one number or name at fault."""
    kept: list[Found] = []
    for each in files:
        faults = tuple(_doubled(each, kept))
        kept.append(each._replace(lesson=None, faults=faults) if faults else each)
    return tuple(kept)


def _doubled(file: Found, before: Iterable[Found]) -> Iterator[Refusal]:
    for other in before:
        if file.lesson is None or other.lesson is None:
            continue
        cure = f"Give {file.name} another."
        if file.lesson.number == other.lesson.number:
            yield Refusal(f"{other.name} has the number {file.lesson.number:02} too.", cure)
        if file.lesson.name == other.lesson.name:
            yield Refusal(f"{other.name} has the name {file.lesson.name} too.", cure)


def _unreachable(file: Path | Traversable, error: OSError) -> Refusal:
    missing = isinstance(error, FileNotFoundError)
    found = f"There is no {file}." if missing else f"{file} cannot be read: {said(error)}."
    return Refusal(found, "Give a folder of lessons, or one file.")


def _plain(words: str) -> str:
    """Small letters, one space between words, hyphens and commas as spaces."""
    kept = (each if each.isalnum() else " " for each in words.lower())
    return " ".join("".join(kept).split())
