"""What a class holds, held against a count by hand, and the questions put for each wrong idea."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from io import StringIO
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.desk.test_marks import Tags
from tests.nodal import Edge, solve
from tutor.desk.classes import ClassHeld, class_in, parted_at, weeks_of
from tutor.desk.classes_ideas import ideas_in_class
from tutor.desk.classes_plot import weeks_figure
from tutor.desk.classes_probe import probe_for
from tutor.desk.classes_told import class_report, grid_csv, learner_report, skill_grid
from tutor.desk.report import Columns, Figure, counted_kindly
from tutor.desk.report_page import page_of
from tutor.desk.value_questions import value_questions
from tutor.front.commands import main
from tutor.learner.merging import merge
from tutor.learner.record import open_record
from tutor.learner.rows import Exchange
from tutor.learner.standing import DAY
from tutor.teaching.messages import Message
from tutor.teaching.observation import Observation
from tutor.teaching.rules.catalogue import SKILL_OF

MONDAY = 1_793_577_600.0  # 2 November 2026, 00:00 UTC
IDEA, OTHER = "adds-a-series-pair", "weakest-link"
SERIES = "C1 = 3 uF -- C2 = 7 uF"


def answered(path: Path, name: str, answers: Sequence[tuple[int, str, tuple[str, ...]]]) -> Path:
    """A record of answers to questions on two in series: the day, the outcome, the wrong ideas."""
    with open_record(path, MONDAY) as record:
        learner = record.learner(name, MONDAY)
        sitting = record.begin(learner, "{}", MONDAY)
        for number, (day, outcome, ideas) in enumerate(answers):
            seen = Observation(
                "C12", f"net {number}", ("S11",), "number", outcome, malrules=ideas,  # type: ignore[arg-type]
                sure=len(ideas) == 1, blamed=("S11",) if ideas else (), chances=(IDEA, OTHER),
            )
            said = (Message("verdict", "So.", seen=seen),)
            record.keep(sitting, Exchange("x", said, str(number)), MONDAY + day * DAY + number)
    return path


RIGHT = (0, "right", ())
WRONG = (0, "wrong", (IDEA,))


@pytest.fixture
def held(tmp_path: Path) -> ClassHeld:
    """Six hold the idea, two of them till the second week; three are steady; one was not asked."""
    paths = []
    for n in range(6):
        later = [(8, "right", ()), (8, "right", ())] if n < 2 else []
        paths.append(answered(tmp_path / f"h{n}.sqlite", f"H{n}", [WRONG, WRONG, *later]))
    for n in range(3):
        answers = [(9, "right", ())] * 6
        paths.append(answered(tmp_path / f"s{n}.sqlite", f"S{n}", answers))
    paths.append(answered(tmp_path / "x.sqlite", "X", []))
    return class_in(paths, MONDAY + 20 * DAY)


NOW = MONDAY + 9.4 * DAY


def columns(parts: Sequence[object], caption: str) -> Columns:
    return next(p for p in parts if isinstance(p, Columns) and p.caption.startswith(caption))


def test_wrong_ideas_are_counted_with_those_who_could_show_them(held: ClassHeld) -> None:
    (found,) = ideas_in_class(each.standing for each in held.members)
    assert found.idea == IDEA
    assert (found.possible, found.showed, found.held, found.put_right) == (9, 6, 4, 2)
    parts = list(class_report(held, NOW, date(2026, 11, 9)))
    (row,) = columns(parts, "Of those").rows
    assert row == (
        "Adds a chain as if side by side", "two in series", "a few of 9", "6 of 9", "",
        "a few of 9",
    )
    (row,) = columns(parts, "Before and after").rows
    assert row[1:] == ("all 6", "nobody")


def test_a_day_parts_the_answers_and_nothing_is_lost(held: ClassHeld) -> None:
    member = held.members[0]
    before, after = parted_at(member, date(2026, 11, 9))
    assert (before.of("S11").tried, after.of("S11").tried) == (2, 2)
    assert before.ideas[IDEA].state == "held"
    assert after.ideas[IDEA].state is None


def test_grid_has_every_learner_who_answered_and_is_the_same_for_a_spreadsheet(
    held: ClassHeld,
) -> None:
    members = [each for each in held.members if each.seen]
    grid = skill_grid(members, NOW)
    assert grid.heads == ("Skill", *(f"H{n}" for n in range(6)), "S0", "S1", "S2")
    (row,) = grid.rows
    assert row[0] == "two in series"
    assert row[-3:] == ("steady",) * 3
    assert set(row[3:7]) == {"shaky"}
    rows = list(csv.reader(StringIO("".join(grid_csv(held.members, NOW)), newline="")))
    assert [tuple(each) for each in rows] == [grid.heads, *grid.rows]


def test_25_records_come_to_what_was_counted_by_hand(tmp_path: Path) -> None:
    """Pupils 0 to 11 hold the idea, 12 to 17 had it and put it right, 18 to 24 are steady; all of
    it counts once, though the records come twice and merged as well.
    """
    late = [(8, "right", ()), (8, "right", ())]
    paths = []
    for n in range(25):
        held = [WRONG, WRONG, *(late if n >= 12 else [])]
        answers = held if n < 18 else [(9, "right", ())] * 6
        paths.append(answered(tmp_path / f"{n:02}.sqlite", f"P{n:02}", answers))
    whole = tmp_path / "whole.sqlite"
    with open_record(whole, MONDAY) as record:
        assert len(list(merge(record, paths, MONDAY))) == 25
    found = class_in([*paths, whole, *paths[:5]], NOW)
    assert [each.name for each in found.members] == [f"P{n:02}" for n in range(25)]
    assert sum(len(each.seen) for each in found.members) == 12 * 2 + 6 * 4 + 7 * 6
    (row,) = skill_grid(found.members, NOW).rows
    assert row[1:13] == ("shaky",) * 12
    assert row[19:] == ("steady",) * 7
    (idea,) = ideas_in_class(each.standing for each in found.members)
    assert (idea.possible, idea.showed, idea.held, idea.put_right) == (25, 18, 12, 6)


def test_weeks_are_summed_and_run_from_monday(held: ClassHeld) -> None:
    first, second = weeks_of([each for each in held.members if each.seen])
    assert first == (date(2026, 11, 2), 12, 6, 0, 6)
    assert second == (date(2026, 11, 9), 4 + 18, 9, 3, 4)
    alone = weeks_of([held.members[0]])
    assert [(w.answers, w.held) for w in alone] == [(2, 1), (2, 0)]


def test_plot_is_a_picture_with_its_words_and_bars_of_the_right_height(held: ClassHeld) -> None:
    weeks = weeks_of([each for each in held.members if each.seen])
    figure = weeks_figure(weeks, "the class")
    svg = ElementTree.fromstring(figure.svg)
    bars = svg.findall("{*}rect")
    heights = [float(bar.attrib["height"]) for bar in bars]
    most = max(heights)
    assert [round(9 * height / most) for height in heights] == [6, 0, 9, 3]
    assert "in the week of 2026-11-09 3 of nine skills met were steady" in figure.told
    assert "In the week of 2026-11-02 0 of six skills met were steady" in figure.told
    assert len([line for line in figure.lines if "2026-11" in line]) == 2


def test_the_report_of_one_learner_has_the_evidence(held: ClassHeld) -> None:
    parts = list(learner_report(held.members[2], NOW))
    (row,) = columns(parts, "Skills of H2").rows
    assert row == ("two in series", "shaky", "none of the last 2 without help")
    assert columns(parts, "Wrong ideas").rows[0][1] == "comes back"
    assert any(isinstance(part, Figure) for part in parts)


def test_the_page_is_one_that_stands_alone(held: ClassHeld) -> None:
    page = page_of("What the class holds", class_report(held, NOW, for_page=True))
    tags = Tags()
    tags.feed(page)
    assert not tags.waiting
    assert "script" not in {name for name, _ in tags.opened}
    levels = [int(name[1]) for name, _ in tags.opened if name in ("h1", "h2", "h3")]
    assert all(b - a <= 1 for a, b in pairwise(levels))
    pictures = [attributes for name, attributes in tags.opened if name == "figure"]
    assert pictures
    assert all(each["role"] == "img" and each["aria-label"] for each in pictures)
    outside = page.replace("http://www.w3.org/2000/svg", "")
    assert "http" not in outside


@pytest.mark.parametrize(
    ("number", "of", "told"),
    [(0, 0, "nobody had it"), (0, 9, "nobody"), (3, 4, "a few"), (4, 9, "a few of 9"),
     (5, 9, "5 of 9"), (9, 9, "all 9")],
)
def test_counts_are_kind(number: int, of: int, told: str) -> None:
    assert counted_kindly(number, of) == told


# Questions for wrong ideas


BY_CHOICES = {"joins-two-that-share-one-point", "prefix-slip-of-a-thousand", "series-shares-the-pd"}


@pytest.mark.parametrize("idea", sorted({*sorted(SKILL_OF)[::4], *BY_CHOICES}))
def test_a_probe_tells_the_idea_from_what_is_right(idea: str) -> None:
    found = probe_for(idea)
    if found is None:
        pytest.skip("only a walk shows it")
    assert found == probe_for(idea)
    assert found.shows != found.right
    assert found.asks
    assert found.then.endswith("?")
    assert "{" not in found.then
    assert bool(found.found) or idea not in BY_CHOICES


def test_most_wrong_ideas_have_a_question() -> None:
    without = [idea for idea in SKILL_OF if probe_for(idea) is None]
    assert len(without) <= len(SKILL_OF) / 10, without


def test_values_of_questions_are_those_of_the_second_opinion() -> None:
    """Against the nodal method, which shares no code with the tutor."""
    text = "C1 = 4 uF -- (C2 = 2 uF || C3 = 3 uF), across 12 V"
    edges = [
        Edge("C1", Fraction(4), "A", "P"), Edge("C2", Fraction(2), "P", "B"),
        Edge("C3", Fraction(3), "P", "B"),
    ]
    answer = solve(edges, [], ("A", "B"), voltage=Fraction(12))
    found = {q.name: q for q in value_questions(text)}
    for name, reading in answer.capacitors.items():
        for symbol, right in (("V", reading.voltage), ("Q", reading.charge)):
            if f"{symbol}{name[1:]}" in found:
                assert found[f"{symbol}{name[1:]}"].right == right
    assert found["C123"].right == answer.capacitance
    assert set(found) >= {"C23", "C123", "Q", "V1", "Q2", "Q3"}
    assert found["C23"].asks == "What is the one capacitor that can take the place of C2 and C3?"


def test_wrong_values_of_a_question_are_known_by_hand() -> None:
    """Adding a chain of 3 µF and 7 µF gives 10 µF, the smallest alone 3 µF, half of one 3.5 µF."""
    question = next(value_questions(f"{SERIES}, across 12 V"))
    numbers = {(each.idea, each.shown) for each in question.foreseen}
    assert (IDEA, "10 µF") in numbers
    assert (OTHER, "3 µF") in numbers
    assert ("halves-one-of-them", "3.5 µF") in numbers
    assert question.shown == "2.1 µF"
    assert question.unit == "µF"


# The command


def test_the_command_prints_writes_and_names_what_it_could_not_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ada = str(answered(tmp_path / "ada.sqlite", "Ada", [WRONG, WRONG, RIGHT]))
    ben = str(answered(tmp_path / "ben.sqlite", "Ben", [RIGHT]))
    assert main(["class", ada, ben, ada]) == 0
    told = capsys.readouterr().out
    assert told.startswith("Two learners: Ada and Ben.")
    to = ["--to", str(tmp_path / "out"), "--width", "200"]
    assert main(["class", *to, ada, str(tmp_path / "no")]) == 1
    assert "was not read" in capsys.readouterr().out
    assert (tmp_path / "out" / "class.html").read_text().startswith("<!DOCTYPE html>")
    assert main(["class", "--record", ada, "--learner", "ada"]) == 0
    assert "Skills of Ada" in capsys.readouterr().out
    assert main(["class", ada, "--learner", "Zoe"]) == 2
    assert main(["class", str(tmp_path / "no")]) == 2
    assert main(["class", ada, "--since", "yesterday"]) == 2
    assert "Traceback" not in capsys.readouterr().err
    assert main(["class", ada, "--csv"]) == 0
    assert capsys.readouterr().out.startswith('"Skill","Ada"')
