"""A class marked: whose script is whose, what cannot be read, and the tables that come out."""

from __future__ import annotations

import csv
import json
import os
from collections.abc import Sequence
from html.parser import HTMLParser
from io import StringIO
from pathlib import Path

import pytest

from grammar.records import Refusal
from tutor.desk.marks_marking import Assignment, ClassMarks, mark_scripts, observed
from tutor.desk.marks_scripts import HandedIn, Unmarked, script_in, scripts_in
from tutor.desk.marks_told import class_page, marks_csv, marks_table, slips_of
from tutor.desk.report import Columns
from tutor.desk.report_page import page_of
from tutor.front.commands import main
from tutor.learner.record import open_record
from tutor.practice.papers import make_paper, paper_in
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.examining import GENERAL_PRACTICE

PROBLEM = "3 uF -- 7 uF, across 12 V"
RIGHT = "C = 3*7/10 = 2.1 uF\nQ = 2.1*12 = 25.2 uC\nV1 = 25.2/3 = 8.4 V\nV2 = 25.2/7 = 3.6 V\n"
ADDED = "C = 3 + 7 = 10 uF\nQ = 10*12 = 120 uC\nV1 = 120/3 = 40 V\n"
PAPER = "unit 3, 12 marks"


def class_of(folder: Path, **scripts: str) -> Path:
    folder.mkdir(exist_ok=True)
    for name, text in scripts.items():
        (folder / f"{name}.txt").write_text(text, encoding="utf-8")
    return folder


def marked(folder: Path, assignment: Assignment | None = None) -> ClassMarks:
    given = assignment or Assignment(PROBLEM)
    return mark_scripts(scripts_in(folder), given, lambda: None)


def table(blocks: Sequence[object], caption: str) -> Columns:
    return next(b for b in blocks if isinstance(b, Columns) and b.caption.startswith(caption))


# Whose it is


@pytest.mark.parametrize(
    ("file", "text", "pupil", "seed"),
    [
        ("Ada.txt", "C = 2 uF", "Ada", None),
        ("Ada Lovelace seed 7.txt", "C = 2 uF", "Ada Lovelace", 7),
        ("Ada_Lovelace-seed-12.txt", "C = 2 uF", "Ada Lovelace", 12),
        ("scan0007.txt", "name: Ada\nseed: 9\nC = 2 uF", "Ada", 9),
        ("Ada seed 3.txt", "\nSeed = 4\n\nName: Grace  H\nC = 2 uF", "Grace H", 4),
        ("x.txt", "C = 2 uF\nname: too late", "x", None),
        ("seedling.txt", "C = 2 uF", "seedling", None),
    ],
)
def test_name_and_seed_come_from_the_script_or_its_file(
    tmp_path: Path, file: str, text: str, pupil: str, seed: int | None
) -> None:
    (tmp_path / file).write_text(text, encoding="utf-8")
    found = script_in(tmp_path / file)
    assert isinstance(found, HandedIn)
    assert (found.pupil, found.seed) == (pupil, seed)
    before = text.split("\n")
    assert found.text.split("\n").index("C = 2 uF") == before.index("C = 2 uF")


def test_what_cannot_be_read_stops_none_of_the_rest(tmp_path: Path) -> None:
    folder = class_of(tmp_path / "class", Ada=RIGHT, Ben=ADDED, empty=" \n\n")
    (folder / "picture.txt").write_bytes(b"\xff\xd8\xff\xe0 no text")
    (folder / "long.txt").write_text("C = 2 uF\n" * 10_000)
    (folder / "seeds.txt").write_text("seed: seven\nC = 2 uF")
    (folder / ".hidden").write_text("C = 2 uF")
    (folder / "within").mkdir()
    os.mkfifo(folder / "pipe.txt")
    (folder / "link.txt").symlink_to(folder / "Ada.txt")
    (folder / "gone.txt").symlink_to(folder / "nowhere.txt")
    found = marked(folder)
    assert [each.script.pupil for each in found.marked] == ["Ada", "Ben"]
    assert [each.file for each in found.unmarked] == [
        "empty.txt", "gone.txt", "link.txt", "long.txt", "picture.txt", "pipe.txt", "seeds.txt",
    ]
    assert all(each.why.found and each.why.cure for each in found.unmarked)


@pytest.mark.parametrize(
    ("file", "text"),
    [("Ada.txt", "seed: 91 variant 2\nx"), ("Ada seed 91 variant 2.txt", "x"),
     ("Ada-seed-91_v2.txt", "x"), ("Ada.txt", "Seed = 91, variant 2\nx")],
)
def test_a_variant_of_a_paper_is_told_by_seed_and_number(
    tmp_path: Path, file: str, text: str
) -> None:
    (tmp_path / file).write_text(text)
    order = paper_in(PAPER)
    (found,) = marked(tmp_path, Assignment(paper=order)).marked
    assert found.script.said_seed == "91 variant 2"
    paper = make_paper(order._replace(seed=91, variant=2))
    assert tuple(q.question for q in found.questions) == paper.questions


@pytest.mark.parametrize("name", ["nowhere", "file.txt", "empty"])
def test_a_folder_that_will_not_do_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "file.txt").write_text(RIGHT)
    (tmp_path / "empty").mkdir()
    with pytest.raises(Refusal):
        scripts_in(tmp_path / name)


# Marks


def test_each_script_has_the_marks_that_it_has_alone(tmp_path: Path) -> None:
    from grammar.reading import read_network

    found = marked(class_of(tmp_path, Ada=RIGHT, Ben=ADDED, Cleo="name: Cleo C\n" + ADDED))
    alone = [mark_working(read_network(PROBLEM), s, GENERAL_PRACTICE) for s in (RIGHT, ADDED)]
    assert [(e.total, e.of) for e in found.marked] == [
        (alone[0].total, alone[0].of), *[(alone[1].total, alone[1].of)] * 2,
    ]
    assert [e.questions[0].marked.first_error for e in found.marked] == [None, 1, 2]


def test_each_has_the_variant_of_its_seed(tmp_path: Path) -> None:
    order = paper_in(PAPER)
    folder = class_of(tmp_path, Cleo="Question 99\nC = 1 uF", Dan="seed: 3\nQuestion 50\ny")
    class_of(folder, **{"Ada seed 3": "Question 1\nC = 1 uF", "Ben seed 4": "x"})
    found = marked(folder, Assignment(paper=order))
    for each, seed in zip(found.marked, (3, 4, 3), strict=True):
        paper = make_paper(order._replace(seed=seed))
        assert tuple(q.question for q in each.questions) == paper.questions
        assert each.of == paper.marks
    assert [each.file for each in found.unmarked] == ["Cleo.txt"]
    assert "seed" in found.unmarked[0].why.found
    assert found.marked[2].notes == (
        "There is no question 50 in this paper: what stands there is not marked.",
    )
    captions = [b.caption for b in slips_of(found) if isinstance(b, Columns)]
    assert captions[0].startswith("Skill by skill")


def test_an_answer_that_cannot_be_read_is_put_to_the_teacher(tmp_path: Path) -> None:
    paper = make_paper(order := paper_in("units 3 and 4, 20 marks, seed 890, variant 2"))
    at = [q.question and q.question.kind for q in paper.questions].index("rank the charges") + 1
    folder = class_of(
        tmp_path, Ada=f"Problem {at}\nC3 biggest, then C2, then C1", Ben=f"{at}. it depends",
    )
    ada, ben = marked(folder, Assignment(paper=order, is_one=True)).marked
    assert ada.questions[at - 1].marked.total == 1
    assert not ada.notes
    assert ben.notes == (
        f"Question {at}: line 1 could not be read as one of the answers; look.",
    )
    assert not ben.questions[at - 1].marked.left_out


def test_one_paper_for_everyone_needs_no_seed_in_the_scripts(tmp_path: Path) -> None:
    order = paper_in(f"{PAPER}, seed 5")
    found = marked(class_of(tmp_path, Ada="x"), Assignment(paper=order, is_one=True))
    assert tuple(q.question for q in found.marked[0].questions) == make_paper(order).questions


def test_a_script_that_says_its_seed_has_its_own_variant_all_the_same(tmp_path: Path) -> None:
    order = paper_in(f"{PAPER}, seed 5")
    found = marked(class_of(tmp_path, Ada="seed: 6\nx"), Assignment(paper=order, is_one=True))
    paper = make_paper(order._replace(seed=6))
    assert tuple(q.question for q in found.marked[0].questions) == paper.questions


OTHER = "C23 = 9 + 5 = 14 uF\nC = 6*14/(6 + 14) = 4.2 uF\nQ = 4.2*18 = 75.6 uC\nV1 = 75.6/6 = 13 V"


def test_working_of_another_problem_is_told_and_earns_nothing_unwritten(tmp_path: Path) -> None:
    folder = class_of(tmp_path, Ada=OTHER, Ben=ADDED)
    found = marked(folder)
    ada, ben = (each.questions[0].marked for each in found.marked)
    assert "9, 5, 6 and 18; given here are 3 µF, 7 µF and 12 V" in ada.note
    assert not any(line.marks.implied for line in ada.lines)
    assert not found.marked[0].standing.skills
    assert not ben.note
    rows = table([marks_table(found)], "Marks").rows
    assert [row[-1] for row in rows] == ["is it this problem?", "line 1"]


@pytest.mark.parametrize(
    "script",
    [
        "C = 3 + 7 = 11 uF\nQ = 11*12 = 132 uC\nV1 = 132/3 = 44 V",
        "Q = 144*2 = 288 uC\nC = 288/10 = 28.8 uF\nV1 = 288/19 = 15.2 V",
        "C = 30 uF\nQ = 500 uC\nV1 = 70 V",
        "C = 9 + 5 = 14 uF",
        "C = 21/10 = 2.1 uF\nQ = 5*2.1 = 10.5 uC\nV1 = 10.5/6 = 1.75 V\nV2 = 10.5/8 = 1.31 V",
    ],
)
def test_wrong_working_is_not_taken_for_that_of_another_problem(script: str) -> None:
    from grammar.reading import read_network

    assert not mark_working(read_network(PROBLEM), script, GENERAL_PRACTICE).note


def test_full_marks_leave_nothing_to_be_practised(tmp_path: Path) -> None:
    bare = "C = 2.1 uF\nQ = 25.2 uC\nV1 = 8.4 V\nV2 = 3.6 V"
    full, lost = marked(class_of(tmp_path, Ada=bare, Ben=bare.replace("3.6", "4.6"))).marked
    assert full.total == full.of
    assert {seen.outcome for seen in observed(full.questions[0])} == {"right"}
    assert lost.questions[0].set_out is not None


def test_a_name_that_two_files_have_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = class_of(tmp_path, x="name: Ada\n" + RIGHT, y="name: Ada\n" + ADDED, Ben=RIGHT)
    assert main(["mark", PROBLEM, "--class", str(folder)]) == 0
    assert "Two files are by Ada: x.txt and y.txt." in capsys.readouterr().out


# What comes out


def test_a_few_are_never_counted_out(tmp_path: Path) -> None:
    scripts = {f"P{n}": ADDED for n in range(6)} | {f"R{n}": RIGHT for n in range(4)}
    blocks = list(slips_of(marked(class_of(tmp_path, **scripts))))
    rows = {row[0]: row[1:] for row in table(blocks, "Line by line").rows}
    assert rows["C"] == ("a few of 10", "6 of 10", "nobody", "nobody")
    assert rows["Q"] == ("a few of 10", "nobody", "6 of 10", "nobody")
    assert rows["V2"] == ("a few of 10", "nobody", "nobody", "6 of 10")
    ideas = {row[0]: row[2:] for row in table(blocks, "Wrong ideas").rows}
    assert ideas["Adds a chain as if side by side"] == ("6 of 10", "")
    alone = list(slips_of(marked(class_of(tmp_path / "two", A=ADDED, B=ADDED))))
    assert {cell for row in table(alone, "Line by line").rows for cell in row[1:]} == {
        "a few", "nobody",
    }


def test_what_was_never_written_is_right_only_where_its_value_is(tmp_path: Path) -> None:
    skips = {f"R{n}": "C = 2.1 uF\nV1 = 2.1*12/3 = 8.4 V\n" for n in range(5)}
    slips = {f"S{n}": "C = 3 + 7 = 10 uF\nV1 = 10*12/3 = 40 V\n" for n in range(7)}
    blocks = list(slips_of(marked(class_of(tmp_path, **skips, **slips))))
    rows = {row[0]: row[1:] for row in table(blocks, "Line by line").rows}
    assert rows["Q"] == ("5 of 12", "nobody", "7 of 12", "nobody")


@pytest.mark.parametrize(
    ("line", "idea", "skill"),
    [("C1 and C2 in series: 5*3/8 = 1.875 uF", "joins-two-that-share-one-point", "S07"),
     ("C12 = 5 + 3 = 8 uF", "looks-side-by-side", "S06")],
)
def test_a_group_that_is_none_counts_for_what_it_shows(
    tmp_path: Path, line: str, idea: str, skill: str
) -> None:
    rest = "\n1.875 + 2 = 3.875 uF" if skill == "S07" else "\nC = 8*2/10 = 1.6 uF"
    network = Assignment("5 uF -- (3 uF || 2 uF), across 10 V")
    right = "C23 = 3 + 2 = 5 uF\nC = 5*5/10 = 2.5 uF"
    ada, eve = marked(class_of(tmp_path, Ada=right, Eve=line + rest), network).marked
    assert eve.standing.ideas[idea].matches == 1
    assert not eve.standing.of(skill).right
    assert not {"S10", "S11"} & eve.standing.skills.keys()
    assert not ada.standing.ideas[idea].matches
    assert skill not in ada.standing.skills


@pytest.mark.parametrize("start", ["=", "+", "-", "@"])
def test_no_cell_of_the_table_is_a_formula(tmp_path: Path, start: str) -> None:
    folder = class_of(tmp_path, a=f"name: {start}HYPERLINK(1)\n{RIGHT}", b="name: Ben\n" + ADDED)
    rows = list(csv.reader(StringIO("".join(marks_csv(marked(folder))), newline="")))
    assert rows[0][:5] == ["learner", "file", "seed", "marks", "of"]
    assert rows[1][0] == f"'{start}HYPERLINK(1)"
    assert rows[1][3:5] == ["10", "10"]
    assert all(cell[:1] not in ("=", "+", "-", "@") for row in rows for cell in row)


class Tags(HTMLParser):
    """What is opened in a page, with its attributes, and whether all is closed again."""

    VOID = ("meta", "br", "link", "img", "input", "hr")

    def __init__(self) -> None:
        super().__init__()
        self.opened: list[tuple[str, dict[str, str | None]]] = []
        self.waiting: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.opened.append((tag, dict(attrs)))
        if tag not in self.VOID:
            self.waiting.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.waiting.pop() == tag


def test_the_page_stands_alone_and_nothing_in_it_runs(tmp_path: Path) -> None:
    evil = "name: <script>alert(1)</script>\nC = <img src=x onerror=alert(1)> 3 + 7 = 10 uF\n"
    found = marked(class_of(tmp_path, a=evil, b=RIGHT, c=""))
    page = page_of("Marks", class_page(found))
    tags = Tags()
    tags.feed(page)
    assert not tags.waiting
    names = [name for name, _ in tags.opened]
    assert not {"script", "img", "link", "iframe"} & {*names}
    assert tags.opened[0] == ("html", {"lang": "en-GB"})
    assert names.count("h1") == names.count("main") == 1
    heads = [attributes for name, attributes in tags.opened if name == "th"]
    assert heads
    assert all(each.get("scope") in ("col", "row") for each in heads)
    assert "http" not in page
    assert "&lt;script&gt;" in page


# The command


def test_the_command_writes_scripts_table_and_page(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, out = class_of(tmp_path / "class", Ada=RIGHT, Ben=ADDED), tmp_path / "out"
    assert main(["mark", PROBLEM, "--class", str(folder), "--to", str(out)]) == 0
    assert sorted(each.name for each in out.iterdir()) == [
        "Ada marked.txt", "Ben marked.txt", "marks.csv", "marks.html",
    ]
    assert (out / "Ben marked.txt").read_text().startswith("Ben: 5 of 10 marks (Ben.txt)\n  1  C =")
    told = capsys.readouterr()
    assert "Two scripts marked." in told.out
    assert main(["mark", PROBLEM, "--class", str(folder), "--to", str(folder)]) == 2
    (folder / "Cleo.txt").write_bytes(b"\xff\xfe\x00")
    assert main(["mark", PROBLEM, "--class", str(folder)]) == 1
    assert "Not marked: Cleo.txt." in capsys.readouterr().out


def test_progress_is_told_on_standard_error_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = class_of(tmp_path, **{f"P{n}": ADDED for n in range(8)})
    assert main(["mark", PROBLEM, "--class", str(folder), "--json"]) == 0
    told = capsys.readouterr()
    assert told.err.split("\n") == [f"Marking: {n} of 8" for n in (2, 4, 6, 8)] + [""]
    objects = [json.loads(line) for line in told.out.splitlines()]
    assert {each["pupil"] for each in objects} == {f"P{n}" for n in range(8)}
    assert [each["total"] for each in objects if "total" in each] == [5] * 8


def test_several_workings_are_all_marked_and_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = class_of(tmp_path, Ada=RIGHT, Ben=ADDED)
    both = [part for name in ("Ada", "Ben") for part in ("--working", str(folder / f"{name}.txt"))]
    assert main(["mark", PROBLEM, *both, "--json"]) == 0
    totals = [json.loads(line) for line in capsys.readouterr().out.splitlines() if "total" in line]
    assert [(each["pupil"], each["total"]) for each in totals] == [("Ada", 10), ("Ben", 5)]
    assert main(["mark", PROBLEM, *both[:2], "--json"]) == 0
    assert json.loads(capsys.readouterr().out.splitlines()[-1])["pupil"] == "Ada"


@pytest.mark.parametrize(
    "given",
    [
        [PROBLEM], ["--class", "x"], [PROBLEM, "--class", "x", "--working", "y"],
        [PROBLEM, "--class", "x", "--paper", "unit 3"], ["--working", "x", "--paper", "unit 3"],
        [PROBLEM, "--working", "-", "--working", "x"], ["-", "--working", "-"],
    ],
)
def test_options_that_do_not_go_together_are_refused(
    given: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["mark", *given]) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_marks_enter_the_record_once_and_show_what_is_held(tmp_path: Path) -> None:
    folder = class_of(tmp_path / "class", Ada=RIGHT, Ben=ADDED)
    record = tmp_path / "record.sqlite"
    for _ in range(2):
        assert main(["mark", PROBLEM, "--class", str(folder), "--record", str(record)]) == 0
    with open_record(record, 1.0) as kept:
        assert [each.name for each in kept.learners()] == ["Ada", "Ben"]
        ada, ben = kept.learners()
        assert len(kept.sittings(ada)) == len(kept.sittings(ben)) == 1
        assert {seen.observation.outcome for seen in kept.seen(ada)} == {"right"}
        wrong = [s.observation for s in kept.seen(ben) if s.observation.outcome == "wrong"]
        assert "adds-a-series-pair" in wrong[0].malrules
        (turn,) = kept.kept(kept.sittings(ben)[0].id)
        assert turn.said[-1].text == "Marks: 5 of 10 marks."
        assert kept.unfinished(ben) is None


def test_a_fault_of_the_program_costs_one_script_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from tutor.desk import marks_marking

    def failing(question: object, text: str, *rest: object) -> object:
        if "fail" in text:
            raise ZeroDivisionError("no")
        return right(question, text, *rest)  # type: ignore[arg-type]

    right = marks_marking.marks_of
    monkeypatch.setattr(marks_marking, "marks_of", failing)
    found = marked(class_of(tmp_path, Ada=RIGHT, Ben="fail", Cleo=ADDED))
    assert [each.script.pupil for each in found.marked] == ["Ada", "Cleo"]
    assert [isinstance(each, Unmarked) for each in found.unmarked] == [True]
