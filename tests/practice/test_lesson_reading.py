"""Files of lessons read: one good file as a whole, every fault with its place, and no other end."""

from __future__ import annotations

import pickle
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.records import Place, Refusal
from tests.sampled import some
from tutor.practice.lesson_places import LessonText
from tutor.practice.lesson_reading import read_lesson
from tutor.practice.lessons import Exercise, Faults, Lesson, OwnChoice, Prose, WrongChoice
from tutor.teaching.skills import BY_CODE

CASES = Path(__file__).parents[1] / "cases" / "lessons"
GOOD = CASES / "good" / "07-turning-the-crank.md"
EXPECTED = tomllib.loads((CASES / "expected.toml").read_text("utf-8"))["file"]
HEADING = '```lesson\ntitle = "T"\nunit = 3\nskills = ["two in series"]\n```\n'


def good() -> Lesson:
    return read_lesson(GOOD.name, GOOD.read_text("utf-8"))


def faults_of(text: str, name: str = "07-x.md") -> tuple[Refusal, ...]:
    with pytest.raises(Faults) as caught:
        read_lesson(name, text)
    return caught.value.faults


def lines_of(markdown: str) -> tuple[str, ...]:
    """What one part of prose reads."""
    (part,) = read_lesson("07-x.md", HEADING + markdown).parts
    assert isinstance(part, Prose)
    return part.lines


# The good one


def test_heading_gives_number_name_title_unit_and_codes_of_skills() -> None:
    lesson = good()
    assert lesson[:4] == (7, "turning-the-crank", "Turning the crank", 4)
    names = [BY_CODE[code].name for code in lesson.skills]
    assert names == ["dividing a p.d.", "two in series", "bounds"]


def test_prose_comes_in_lines_to_be_wrapped() -> None:
    prose = good().parts[0]
    assert isinstance(prose, Prose)
    assert prose.lines == (
        "After this lesson you can say how two capacitors in a chain divide a p.d.",
        "",
        "The idea",
        "",
        "The metal between them is cut off, so C1 and C2 hold one charge. Then V = Q/C:",
        "",
        "- the smaller one has the larger p.d.;",
        "- the two p.d.s add up to that of the supply.",
        "",
        "1. Find what the two come to.",
        "2. Find the charge:",
        "   - from the supply,",
        "   - once for both.",
    )
    assert prose.at == (7, 10, 10, 12, 12, 14, 14, 15, 18, 18, 19, 20, 21)
    assert prose.place == Place(7, 1, "After this lesson you can say how two capacitors")


def test_tasks_come_with_their_fields_and_places() -> None:
    worked, whole, choice, puzzle, say = good().exercises
    opens = "```task"
    assert worked == Exercise(
        "network", "6 uF -- 14 uF, across 20 V", Place(23, 1, opens), 25, ask=("S21",)
    )
    assert whole == Exercise(
        "network",
        "C1 = 3 uF from A to P\nC2 = 7 uF from P to B\nends A and B; across 20 V",
        Place(30, 1, opens),
        34,
    )
    assert choice.kind == "text"
    asks = "A chain of 4 µF and 21 µF stands across a supply. Which has the larger p.d.?"
    assert choice.text == asks
    assert choice.choice == OwnChoice(
        "the 4 µF one",
        "Both hold one charge, and the smaller needs more volts for it.",
        (
            WrongChoice("the 21 µF one", "That is how charges are shared side by side."),
            WrongChoice(
                "neither", "Then their charges would differ. Where could the rest have gone?"
            ),
        ),
        "What do the two hold in common?",
    )
    assert choice.skills == ("S21", "S13")
    assert puzzle == Exercise("puzzle", "2.1 uF from 3 uF, 7 uF, 9 uF", Place(49, 1, opens), 50)
    assert say.kind == "say"
    assert [type(part) for part in good().parts] == [
        Prose, Exercise, Prose, Exercise, Exercise, Exercise, Exercise
    ]


def test_seed_of_a_question_is_one_unless_it_is_given() -> None:
    text = '```task\nquestion = "bounds"\n```\n\n```task\nquestion = "bounds"\nseed = 5\n```'
    assert [each.seed for each in read_lesson("07-x.md", HEADING + text).exercises] == [1, 5]


def test_line_ends_of_any_system_read_the_same() -> None:
    text = GOOD.read_text("utf-8")
    for changed in (text.replace("\n", "\r\n"), "\ufeff" + text, text + "\n\n"):
        assert read_lesson(GOOD.name, changed) == good()


@pytest.mark.parametrize(
    ("markdown", "lines"),
    [
        ("One *two* **three** `four  *`.", ("One two three four  *.",)),
        (r"2 \* 3 &lt; 7 and V_P", ("2 * 3 < 7 and V_P",)),
        ("Setext\n------\nText", ("Setext", "", "Text")),
        ("- one\n\n- two\n\n  more of two", ("- one", "- two", "  more of two")),
        ("9. nine\n10. ten", ("9. nine", "10. ten")),
        ("- one\n\n* other list", ("- one", "", "* other list".replace("*", "-"))),
        ("one  \ntwo", ("one two",)),
    ],
)
def test_marks_are_taken_off_and_lists_kept(markdown: str, lines: tuple[str, ...]) -> None:
    assert lines_of(markdown) == lines


# Faults


@pytest.mark.parametrize("case", EXPECTED, ids=lambda case: str(case["name"]))
def test_every_fault_is_told_at_its_place(case: dict[str, Any]) -> None:
    text = (CASES / "faulty" / case["name"]).read_text("utf-8")
    found = faults_of(text, case["name"])
    told = [
        f"{fault.place.line}:{fault.place.column} {fault}" if fault.place else f"- {fault}"
        for fault in found
    ]
    assert told == case["faults"]
    lines = text.split("\n")
    for fault in found:
        assert fault.place is None or fault.place.line_text == lines[fault.place.line - 1]


def test_no_faulty_file_is_left_out() -> None:
    named = {case["name"] for case in EXPECTED}
    assert named == {file.name for file in (CASES / "faulty").iterdir()}


@pytest.mark.parametrize(
    "name", ["7-x.md", "07.md", "07-.md", "07-X.md", "07-x.txt", "007-x.md", "07-x--y.md", ""]
)
def test_names_that_do_not_tell_which_lesson(name: str) -> None:
    (fault,) = faults_of(HEADING, name)
    assert "does not tell which lesson" in fault.found


def test_more_wrong_choices_than_letters() -> None:
    wrong = ",".join(f'{{ say = "{n}", reply = "No." }}' for n in range(8))
    others = 'text = "?"\nright = "r"\nbecause = "b"\nskills = ["bounds"]'
    (fault,) = faults_of(f"{HEADING}```task\n{others}\nwrong = [{wrong}]\n```")
    assert fault.found == "There are 8 wrong choices."


@pytest.mark.parametrize("value", ["9" * 5000, "[" * 5000, "0x" + "f" * 5000, "2020-13-01"])
def test_values_beyond_all_measure_are_faults(value: str) -> None:
    (fault,) = faults_of(f'{HEADING}```task\nquestion = "bounds"\nseed = {value}\n```')
    assert fault.place is not None
    assert fault.place.line in (8, 9)


def test_faults_can_be_read_and_pickled() -> None:
    fault = Faults("07-x.md", (Refusal("One.", "Two.", Place(3, 2, "abc")), Refusal("A.", "B.")))
    assert str(fault) == "07-x.md:3: One. Two.\n07-x.md: A. B."
    again = pickle.loads(pickle.dumps(fault))
    assert (again.name, str(again)) == ("07-x.md", str(fault))


PIECES = ["", '"', "[", "}", "```", "+++", "\\", "> ", "'''", "#", "\t", "\r"]


@st.composite
def _mangled(draw: st.DrawFn) -> str:
    """The good file with some of its lines lost, doubled, cut or written over."""
    lines = GOOD.read_text("utf-8").split("\n")
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(lines) - 1))
        cut = draw(st.integers(0, len(lines[at])))
        piece = draw(st.sampled_from(PIECES))
        lines[at : at + 1] = draw(st.sampled_from([
            [], [lines[at], lines[at]], [lines[at][:cut] + piece + lines[at][cut:]], [piece],
        ]))
    return "\n".join(lines)


@settings(max_examples=some(80), deadline=None)
@given(_mangled() | st.text(max_size=200).map(lambda text: HEADING + text) | st.text(max_size=60))
def test_any_file_is_read_or_told_its_faults_at_places_in_it(text: str) -> None:
    lines = LessonText(text.removeprefix("\ufeff")).lines
    for fault in _told_of(text):
        assert fault.found.endswith((".", "?"))
        assert fault.place is not None
        assert lines[fault.place.line - 1] == fault.place.line_text
        assert 1 <= fault.place.column <= len(fault.place.line_text) + 1


def _told_of(text: str) -> tuple[Refusal, ...]:
    try:
        read_lesson("07-x.md", text)
    except Faults as faults:
        return faults.faults
    return ()
