"""Sheets and papers in print: read back, solved back, tagged, and the same for the same seed."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from unicodedata import normalize

import pytest
from pypdf import PdfReader

from tests.desk.printed import agrees, problem, stated, truth
from tutor.desk.sheets.formulas import formula, line_of, mathml, typeset
from tutor.desk.sheets.keyed import keyed_text
from tutor.front.commands import main
from tutor.practice.papers import make_paper, paper_in
from tutor.teaching.settings import DEFAULTS

SKILLS = (
    "two in series; adding in parallel; dividing a p.d.; a parallel set in a chain; "
    "a chain in a parallel set in a chain; energy in a network; a dead end; bridge"
)


def made(*words: str) -> None:
    assert main(["sheet", *words]) == 0


def unescaped(text: str) -> str:
    return re.sub(r"\\(.)", r"\1", text)


def variants(path: Path) -> list[list[str]]:
    """The text of every problem of every variant of a sheet or key in Markdown."""
    text = re.sub(r"!\[.*\]\(.*\)", "", path.read_text("utf-8"))
    _, *papers = unescaped(text).split("\n---\n")
    return [re.split(r"\n### (?:Problem|Question) ", paper)[1:] for paper in papers]


def test_thirty_variants_are_solved_back_from_their_own_text(tmp_path: Path) -> None:
    made(SKILLS, "--variants", "30", "--seed", "100", "--out", str(tmp_path / "s.md"))
    asked, keyed = variants(tmp_path / "s.md"), variants(tmp_path / "s-key.md")
    assert len(asked) == len(keyed) == 30
    checked = 0
    texts = set()
    for sheet, key in zip(asked, keyed, strict=True):
        assert len(sheet) == len(key) == 8
        for given, worked in zip(sheet, key, strict=True):
            read = problem(given)
            assert read is not None, given
            texts.add(read.edges)
            lines = [
                line.removeprefix("- ").split(" **")[0]
                for line in worked.split("\n") if line.startswith("- ")
            ]
            found = list(stated(lines))
            assert found, worked
            for each in found:
                right = truth(read, each.name)
                assert agrees(each, right), (given, each, right)
                checked += 1
    assert checked > 30 * 30
    assert len(texts) > 200, "variants are to differ"


def test_no_wrong_answer_to_expect_is_the_right_one(tmp_path: Path) -> None:
    made(SKILLS, "--variants", "5", "--seed", "3", "--out", str(tmp_path / "s.md"))
    for key in variants(tmp_path / "s-key.md"):
        for worked in key:
            right = ""
            for line in worked.split("\n"):
                if line.startswith("- "):
                    right = re.split("[=≈]", line.split(" **")[0].split(" (")[0])[-1].strip()
                elif line.startswith("  - "):
                    assert line[4:].split(":")[0] != right


def test_pdf_is_tagged_and_its_text_solved_back(tmp_path: Path) -> None:
    (tmp_path / "class.txt").write_text("Ada Byron\nBen\nMei\n", "utf-8")
    out = tmp_path / "s.pdf"
    made(SKILLS, "--learners", str(tmp_path / "class.txt"), "--seed", "41", "--key", "answers",
         "--out", str(out))
    sheet, key = PdfReader(out), PdfReader(tmp_path / "s-key.pdf")
    text = _text(sheet)
    for seed, name in ((41, "Ada Byron"), (42, "Ben"), (43, "Mei")):
        assert f"Seed: {seed}" in text
        assert f"seed {seed} · {name}" in _text(key)
    given = re.split(r"Problem \d+ \(", text)[1:]
    answers = re.split(r"Problem \d+ \(\d+ marks?\)", _text(key))[1:]
    assert len(given) == len(answers) == 24
    for problem_text, answer in zip(given, answers, strict=True):
        read = problem(problem_text)
        assert read is not None, problem_text
        found = list(stated(answer.replace("\n", " ").split("Sheet ·")[0].strip().split("; ")))
        assert found
        for each in found:
            assert agrees(each, truth(read, each.name)), (problem_text, each)


def _text(reader: PdfReader) -> str:
    """The words of a file; the letters of formulas are those of an alphabet for mathematics."""
    text = " ".join("\n".join(page.extract_text() for page in reader.pages).split())
    return "".join(normalize("NFKC", sign) if ord(sign) > 0xFFFF else sign for sign in text)


class Outline(HTMLParser):
    """The headings, pictures and addresses of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.headings: list[int] = []
        self.pictures: list[str] = []
        self.addresses: list[str] = []
        self.ids: list[str] = []
        self.maths = 0
        self.lang = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        has = {name: value or "" for name, value in attrs}
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag == "svg":
            assert has["role"] == "img"
            self.pictures.append(has["aria-label"])
        self.maths += tag == "math"
        self.lang = has.get("lang", self.lang)
        self.ids += [has["id"]] if "id" in has else []
        self.addresses += [has[name] for name in ("src", "href", "data") if name in has]


def test_page_stands_alone_and_is_well_built(tmp_path: Path) -> None:
    made("lesson", "10", "--variants", "2", "--seed", "4", "--out", str(tmp_path / "s.html"))
    for name, has_maths in (("s.html", False), ("s-key.html", True)):
        page = Outline()
        page.feed((tmp_path / name).read_text("utf-8"))
        assert page.lang == "en-GB"
        assert page.addresses == []
        assert page.headings[0] == 1
        assert page.headings.count(1) == 1
        steps = zip(page.headings, page.headings[1:], strict=False)
        assert all(after <= before + 1 for before, after in steps)
        assert len(set(page.ids)) == len(page.ids)
        assert all(page.pictures)
        assert bool(page.maths) is has_maths
        assert bool(page.pictures) is not has_maths


def test_same_seed_makes_the_same_sheet_whichever_variant_it_was(tmp_path: Path) -> None:
    made(SKILLS, "--variants", "3", "--seed", "7", "--out", str(tmp_path / "all.md"))
    made(SKILLS, "--seed", "9", "--out", str(tmp_path / "one.md"))
    assert variants(tmp_path / "all.md")[2] == variants(tmp_path / "one.md")[0]


def test_each_variant_takes_the_same_steps(tmp_path: Path) -> None:
    made("two in series; dividing a p.d.", "--variants", "4", "--seed", "43", "--problems", "4",
         "--out", str(tmp_path / "s.md"))
    found = variants(tmp_path / "s.md")
    for alike in zip(*found, strict=True):
        heads = {text.partition("\n")[0] for text in alike}
        assert len(heads) == 1, "the same marks"
        assert len({tuple(re.findall(r"from \w to \w", text)) for text in alike}) == 1
        assert len(set(alike)) == len(alike)


def test_own_networks_stand_as_they_are_or_get_other_values(tmp_path: Path) -> None:
    nets = tmp_path / "nets.txt"
    nets.write_text("6 uF -- (9 uF || 5 uF), across 15 V\n\n4 uF -- 12 uF, asked: C\n", "utf-8")
    made("--file", str(nets), "--out", str(tmp_path / "one.md"))
    (sheet,) = variants(tmp_path / "one.md")
    assert "C2, 9 µF, from P to B" in sheet[0]
    made("--file", str(nets), "--variants", "4", "--seed", "2", "--out", str(tmp_path / "four.md"))
    found = [problem(each[0]) for each in variants(tmp_path / "four.md")]
    assert len({read.edges for read in found if read}) == 4
    for key in variants(tmp_path / "four-key.md"):
        assert "≈" not in "".join(re.findall(r"^- .*$", key[0], re.MULTILINE))  # short, as before


def test_fault_in_own_networks_is_shown_at_its_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    nets = tmp_path / "nets.txt"
    nets.write_text("# mine\n4 uF -- 12 uF\n\n4 uF -- || 2 uF\n", "utf-8")
    assert main(["sheet", "--file", str(nets), "--out", str(tmp_path / "x.md")]) == 2
    said = capsys.readouterr().err
    assert "4 uF -- || 2 uF" in said
    assert "line 4" in said.lower()


def test_faded_examples_leave_out_one_line_more_each_time(tmp_path: Path) -> None:
    made("dividing a p.d.", "--problems", "1", "--faded", "--seed", "5", "--out",
         str(tmp_path / "f.md"))
    (sheet,) = variants(tmp_path / "f.md")
    assert [re.split(r"[:(]", each)[1].strip() for each in sheet[:3]] == [
        "worked", "one line is left out", "two lines are left out",
    ]
    assert [each.count("_" * 30) for each in sheet[:3]] == [0, 1, 2]
    assert "they share one charge" in sheet[0] or "share one charge" in sheet[0]


def test_cautions_stand_on_the_sheet_where_they_are_due(tmp_path: Path) -> None:
    made("joining crossed", "--problems", "1", "--seed", "5", "--out", str(tmp_path / "c.md"))
    assert "give a spark" in (tmp_path / "c.md").read_text("utf-8")
    made("two in series", "--problems", "1", "--seed", "5", "--out", str(tmp_path / "d.md"))
    assert "ask a qualified person" not in (tmp_path / "d.md").read_text("utf-8")


def test_paper_in_print_is_the_paper_on_screen(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = "units 3 and 4, 20 marks, seed 7"
    assert main(["paper", words, "--print", str(tmp_path / "p.md")]) == 0
    paper = make_paper(paper_in(words))
    (sheet,) = variants(tmp_path / "p.md")
    (key,) = variants(tmp_path / "p-key.md")
    assert len(sheet) == len(key) == len(paper.questions)
    for text, question in zip(sheet, paper.questions, strict=True):
        assert text.startswith(f"{sheet.index(text) + 1} ({question.marks} mark")
    told = capsys.readouterr().out
    assert "platewalk paper 'units 3, 4, 20 marks, seed 7'" in told
    assert make_paper(paper_in("units 3, 4, 20 marks, seed 7")).questions == paper.questions


def test_a_lesson_in_print_tells_all_it_tells_and_draws_each_network(tmp_path: Path) -> None:
    (tmp_path / "07-own.md").write_text(
        """```lesson
title = "My own"
unit = "Cells"
skills = ["two in series"]
```

Before the first task, with E_lost in it.

## A part

- entry one
- two

1. number one

| C | V |
|---|---|
| 2 µF | 6 V |

`1/C = 1/C1 + 1/C2`

```task
network = "4 uF -- 12 uF, across 20 V"
```

Between the tasks.

```task
network = "4 uF || 12 uF"
```

After all.
""", "utf-8")
    told = ["Before the first task", "A part", "entry one", "number one", "2 µF; V: 6 V",
            "Task 1 (", "Between the tasks.", "Task 2 (2 marks)", "After all."]
    for ending in ("pdf", "html", "md"):
        out = tmp_path / f"l.{ending}"
        assert main(["lesson", "7", "--from", str(tmp_path), "--print", str(out)]) == 0
        text = _text(PdfReader(out)) if ending == "pdf" else out.read_text("utf-8")
        plain = re.sub(r"\\(?=\W)", "", text)
        places = [plain.find(each) for each in told]
        assert -1 not in places, (ending, told[places.index(-1)])
        assert places == sorted(places)
        assert "C2, 12 µF, from P to B" in plain
    page = Outline()
    page.feed((tmp_path / "l.html").read_text("utf-8"))
    assert len(page.pictures) == 2
    assert page.maths == 2
    assert page.headings == [1, 2, 2, 2]
    assert "Between the tasks." not in (tmp_path / "l-key.md").read_text("utf-8")


def test_every_learner_may_have_a_paper_of_their_own(tmp_path: Path) -> None:
    (tmp_path / "class.txt").write_text("Ada\nBen\n", "utf-8")
    words = "unit 3, 10 marks, seed 7"
    assert main(["paper", words, "--print", str(tmp_path / "p.md"), "--learners",
                 str(tmp_path / "class.txt")]) == 0
    text = (tmp_path / "p.md").read_text("utf-8")
    assert "Name: Ada Marks: ......... of 10 Seed: 7 variant 1" in text
    assert "Paper · seed 7 variant 2 · Ben" in text
    first, second = variants(tmp_path / "p.md")
    assert first != second
    assert [each.split("\n")[0] for each in first] == [each.split("\n")[0] for each in second]


def test_marks_on_the_key_add_up_to_those_of_the_problem() -> None:
    for text in ("6 uF -- (9 uF || 5 uF), across 15 V", "4 uF -- 12 uF, across 20 V, asked: Q1",
                 "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2 crossed",
                 "C1 = 2 uF from A to P; C2 = 3 uF from A to R; C3 = 5 uF from P to R; "
                 "C4 = 7 uF from P to B; C5 = 4 uF from R to B; ends A and B; across 12 V"):
        keyed = keyed_text(text, DEFAULTS)
        letters = " ".join(line.marks for line in keyed.lines)
        assert sum(map(int, re.findall(r"[MAB](\d)", letters))) == keyed.marks


@pytest.mark.parametrize(
    ("text", "typed", "as_mathml"),
    [
        ("V1 = Q1/C1", 'attach(italic("V"), b: "1") = frac(attach(italic("Q"), b: "1"), '
         'attach(italic("C"), b: "1"))', "<mfrac><mrow><msub><mi>Q</mi>"),
        ("V = 36/11 V", 'italic("V") = frac("36", "11") thin "V"', "</mfrac><mspace"),
        ("E = ½ × (3 V)²", 'italic("E") = frac(1, 2) times attach(lr(("3" thin "V")), t: "2")',
         "<msup><mrow><mrow><mo>(</mo>"),
        ("Q = 5CV/7", 'italic("Q") = frac("5" italic("C") italic("V"), "7")',
         "<mfrac><mrow><mn>5</mn><mi>C</mi><mi>V</mi>"),
        ("A = 10^-4 m²", 'italic("A") = attach("10", t: "−4") thin "m²"', "<msup>"),
    ],
)
def test_lines_become_mathematics(text: str, typed: str, as_mathml: str) -> None:
    row = formula(text)
    assert row is not None
    assert typeset(row) == typed
    assert as_mathml in mathml(row)


def test_prose_stays_prose() -> None:
    for text in ("C1 is = here", "Two of them = more", "no relation at all", "3 ="):
        assert all(isinstance(piece, str) for piece, _ in line_of(text)) or text == "3 ="


def test_letters_without_a_font_are_refused_for_pdf_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "class.txt").write_text("Łukasz Ünal\n\U00013000\U00013001\n", "utf-8")
    words = ["two in series", "--problems", "1", "--learners", str(tmp_path / "class.txt"), "--out"]
    made(*words, str(tmp_path / "s.html"))
    assert main(["sheet", *words, str(tmp_path / "s.pdf")]) == 2
    assert "Print it as .html" in capsys.readouterr().err


def test_sheet_of_nothing_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", " ; ", "--out", "sheet.pdf"]) == 2
    assert "Nothing is named to be practised." in capsys.readouterr().err


def test_name_that_says_no_form_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", "two in series", "--out", "sheet.doc"]) == 2
    assert "End the name in .pdf, .html or .md." in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["lesson", "10", "--variants", "3"], "--variants goes with --print"),
        (["paper", "unit 3", "--title", "Test"], "--title goes with --print"),
        (["paper", "unit 3", "--print", "p.pdf", "--variants", "0"], "at least one"),
        (["sheet", "bridge", "--out", "s.pdf", "--variants", "2", "--learners", "c"], "either"),
    ],
)
def test_options_that_do_not_go_together_are_refused(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(words) == 2
    assert said in capsys.readouterr().err
