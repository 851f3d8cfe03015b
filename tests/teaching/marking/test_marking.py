"""Marking of free working: each line's verdict, fault and marks; errors carried forward."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from grammar.reading import read_network
from grammar.records import Refusal
from tutor.circuit.network import Problem, build
from tutor.front.marks import MarkOptions, mark_command, marks_json
from tutor.front.plain import Page
from tutor.teaching.marking import carrying, pieces_read
from tutor.teaching.marking.examining import Scheme, read_scheme
from tutor.teaching.marking.marked import MOST_STATED, TOO_MUCH, Marked
from tutor.teaching.marking.on_network import mark, mark_in_chat
from tutor.teaching.marking.statements import Reader, Said, said_in
from tutor.teaching.marking.working import written_lines
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.settings import Settings
from tutor.teaching.walk import begin_walk

CASES = Path(__file__).parents[2] / "cases" / "marked_scripts.toml"
SCRIPTS = tomllib.loads(CASES.read_text("utf-8"))["script"]
ONE_ERROR = "6 uF -- (1 uF || 2 uF), across 12 V; asked: Q2, E1"


def problem(text: str) -> Problem:
    return build(read_network(text))


def marked(network: str, *lines: str, scheme: str = "") -> Marked:
    return mark(problem(network), "\n".join(lines), read_scheme(scheme))


# Scripts of our own


@pytest.mark.parametrize("script", SCRIPTS, ids=[script["name"] for script in SCRIPTS])
def test_each_line_is_marked_as_it_deserves(script: dict[str, Any]) -> None:
    texts, expected = zip(*script["lines"], strict=True)
    found = marked(script["network"], *texts, scheme=script.get("scheme", ""))
    told = [
        f"{line.about or '-'} {line.verdict} {line.fault or '-'} "
        f"{line.marks.total}/{line.marks.of}"
        for line in found.lines
    ]
    assert told == list(expected)
    assert f"{found.total}/{found.of}" == script["total"]


def test_the_worked_check_loses_at_one_line_alone() -> None:
    """Worked by hand with exact fractions: all but one line follow from the first slip."""
    lines = ("3", "6 + 3 = 9", "108 uC", "18 V", "36 V", "36 uC", "972 uJ")
    found = marked(ONE_ERROR, *lines)
    lost = [line.line for line in found.lines if line.marks.total < line.marks.of]
    assert lost == [2]
    assert found.first_error == 2
    assert "adds-a-series-pair" in found.lines[1].malrules
    assert found.lines[1].marks.method == 0
    above = [line.line for line in found.lines if "above the 12 V" in line.remark]
    assert above == [4, 5]


def test_numbers_that_only_say_which_capacitors_are_meant_are_words() -> None:
    network = "9 uF -- (4 uF || 5 uF), across 12 V"  # 9 uF is the one and the pair
    who = marked(network, "this is the charge on the 9 uF and on the pair")
    amount = marked(network, "this is the charge on the 9 uF and it is 5")
    assert "Words only" in who.lines[0].remark
    assert "Words only" not in amount.lines[0].remark


def test_no_remark_tells_the_right_value_or_the_name_of_a_malrule() -> None:
    names = {malrule.name for malrule in CATALOGUE}
    for script in SCRIPTS:
        found = marked(script["network"], *(text for text, _ in script["lines"]))
        for line in found.lines:
            assert line.remark
            assert not any(name in line.remark for name in names)
            assert "!" not in line.remark
    found = marked("3 uF -- 6 uF, across 9 V; asked: C", "C = 3 + 6 = 9 uF")
    assert "2 µF" not in found.lines[0].remark


# Reading of lines


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("1) C = 5 uF", ("C = 5 uF",)),
        ("(a) C = 5 uF", ("C = 5 uF",)),
        ("- C = 5 uF", ("C = 5 uF",)),
        ("Step 2: C = 5 uF", ("C = 5 uF",)),
        ("-9 V", ("-9 V",)),
        ("2.5 uF", ("2.5 uF",)),
        ("1/C = 0.45 so C = 2.22 uF", ("1/C = 0.45", "C = 2.22 uF")),
        ("C23 = 2 + 3 => 5 uF", ("C23 = 2 + 3 =  5 uF",)),
        ("C = 2 uF; Q = 24 uC", ("C = 2 uF", "Q = 24 uC")),
        ("C = 2 uF or 9 uF", ("C = 2 uF", "9 uF")),
        ("Qmax 2 = 441 uC; V 1 = 8 V", ("Qmax2 = 441 uC", "V_1 = 8 V")),
        ("Q_max,2 = 9 uC, Q(2) = 6 uC", ("Qmax2 = 9 uC", "Q_2 = 6 uC")),
        ("Q = 2 V 3 = 6", ("Q = 2 V 3 = 6",)),
        ("~~C = 5~~ C = 2", ("C = 2",)),
        ("~~C = 5", ()),
        ("", ()),
    ],
)
def test_a_line_is_cut_into_statements(text: str, pieces: tuple[str, ...]) -> None:
    (line,) = written_lines(text + "\n")
    assert line.pieces == pieces


@pytest.mark.parametrize(
    ("line", "quantity"),
    [
        ("C2 and C3 in parallel: 2 + 3 = 5 uF", "C23"),
        ("C32 = 5 uF", "C23"),
        ("capacitance of the parallel part = 5 uF", "C23"),
        ("Cp = 2 + 3 = 5 uF", "C23"),
        ("Total capacitance: 2.22 uF", "C"),
        ("Combined capacitance = 2.22 uF", "C"),
        ("26.7 uC on C1", "Q1"),
        ("The supply gives Q = 26.7 uC", "Q"),
        ("V across C1 6.67 V", "V1"),
        ("potential difference across the 4 uF is 6.67 V", "V1"),
        ("voltage across C2 and C3 = 5.33 V", "V3"),
        ("energy stored in C1 = 88.9 uJ", "E1"),
        ("V = 26.7/4 = 6.67 V", "V1"),
        ("V_P = 5.33 V", "V_P"),
    ],
)
def test_what_a_line_is_about(line: str, quantity: str) -> None:
    (found,) = marked("4 uF -- (2 uF || 3 uF), across 12 V", line).lines
    assert (found.about, found.verdict) == (quantity, "right")


def test_a_group_that_is_none_is_told_why_at_the_point() -> None:
    found = marked("4 uF -- (2 uF || 3 uF), across 12 V", "C12 = 4*2/6 = 1.33 uF")
    assert found.lines[0].verdict == "wrong"
    assert "meet at P" in found.lines[0].remark


# What is printed, and what machines get


def test_machines_get_one_object_a_line_and_the_total() -> None:
    found = marked(ONE_ERROR, "C23 = 3 uF", "C = 6 + 3 = 9 uF", "", "Q = 24 uF")
    objects = list(marks_json(found))
    assert [each.get("line") for each in objects] == [1, 2, 3, 4, None]
    assert list(objects[0]) == ["line", "text", "marks", "verdict", "fault", "malrules", "remark"]
    assert objects[1]["fault"] == "malrule"
    assert objects[2] == {
        "line": 3, "text": "", "verdict": "unread", "fault": None, "malrules": [],
        "remark": "A blank line.",
        "marks": {"method": 0, "accuracy": 0, "independent": 0, "implied": 0, "of": 0},
    }
    assert objects[-1] == {"total": found.total, "of": found.of}


def test_the_command_marks_a_wrong_script_without_failing() -> None:
    code, lines = mark_command(ONE_ERROR, "C23 = 3 uF\nC = 9 uF", MarkOptions(json=True))
    objects = [json.loads(line) for line in lines]
    assert code == 0
    assert objects[-1] == {"total": 2, "of": 14}
    code, lines = mark_command(ONE_ERROR, "C23 = 3 uF\nC = 9 uF", MarkOptions(page=Page(60)))
    text = list(lines)
    assert code == 0
    assert text[0].startswith("  1  C23 = 3 uF")
    assert text[0].endswith("2/2")
    assert "2 of 14 marks. The first thing to look at is line 2." in text
    assert "  M1 1/C = 1/C1 + 1/C23; A1 C = 2 µF" in text
    assert max(map(len, text)) <= 60


@pytest.mark.parametrize(
    ("network", "scheme"), [("6 uF -- ", ""), (ONE_ERROR, "as strictly as can be")]
)
def test_what_cannot_be_used_is_said_once(network: str, scheme: str) -> None:
    for as_json in (False, True):
        code, lines = mark_command(network, "C = 2 uF", MarkOptions(as_json, scheme))
        text = "\n".join(lines)
        assert code == 2
        assert text
        assert "Traceback" not in text


def test_settings_are_read_from_words() -> None:
    assert read_scheme("") == read_scheme("general practice") == Scheme()
    both = read_scheme("units count every time, Figures  count")
    assert (both.units, both.figures) == ("every time", True)
    with pytest.raises(Refusal, match="last answer counts"):
        read_scheme("as at our school")


def test_lines_pasted_into_the_chat_are_marked_there() -> None:
    walk = begin_walk(problem(ONE_ERROR), Settings())
    said = mark_in_chat(walk, "C23 = 3 uF\n\nC = 6 + 3 = 9 uF\nQ = 108 uC")
    assert [message.verdict for message in said] == ["right", "wrong", "right", None]
    assert said[1].malrules
    assert said[0].text == "Line 1: C23 is right."
    assert said[-1].text == "The first thing to look at is line 3."
    assert mark_in_chat(walk, "C = 2 uF\n" * 500)[0].verdict == "unread"


# Very much that is wanted


def test_of_very_much_that_is_not_written_the_first_and_the_last_are_named() -> None:
    from tutor.teaching.marking.marked import told_left_out

    cube = problem("cube of 3 uF between opposite corners, across 6 V")
    told = told_left_out(mark(cube, "C = 3.6 uF", Scheme()))
    assert "Q1 to Q12, " in told
    assert "V1 to V12, " in told
    assert "asked: C, Q" in told


# A fault of the program


@pytest.mark.parametrize("text", [ONE_ERROR, "C1 = 3 uF charged to 9 V; C2 = 6 uF; join C1 and C2"])
def test_a_line_that_the_program_fails_on_does_not_cost_the_rest(
    text: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail_once(reader: Reader, piece: str) -> list[Said]:
        if "666" in piece:
            raise KeyError(-1)
        return said_in(reader, piece)

    monkeypatch.setattr(pieces_read, "said_in", fail_once)
    code, printed = mark_command(text, "Q = 666 uC\nE1 = 48 uJ\nV = 3 V", MarkOptions())
    assert code == 0
    told = "\n".join(printed)
    assert "failed on this line" in told
    assert " is right." in told or "as given" in told


# How much of a line is followed


@pytest.mark.parametrize("row", ["Q{at} = {at}.25 uC, ", "{at}.25 uC, ", "Q2 = {at}.25 uC; so 3, "])
def test_a_line_that_states_more_than_anybody_writes_is_left_as_it_is(row: str) -> None:
    text = "".join(row.format(at=at) for at in range(1, MOST_STATED + 2))
    found = marked(ONE_ERROR, text, "C23 = 3 uF").lines
    assert [line.verdict for line in found] == ["unread", "right"]
    assert found[0].remark == f"Not marked. {TOO_MUCH}"


def test_a_row_of_as_many_values_as_are_followed_is_marked() -> None:
    found = marked(ONE_ERROR, ", ".join(["C23 = 3 uF"] * MOST_STATED)).lines
    assert [line.verdict for line in found] == ["right"]


def test_a_wrong_value_is_looked_for_at_skipped_steps_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    looked = []

    def counted(*told: Any) -> None:
        looked.append(told)

    monkeypatch.setattr(carrying, "diagnose_skipped", counted)
    assert marked(ONE_ERROR, "E1 = 77.7 uJ").lines[0].verdict == "wrong"
    assert len(looked) == 1  # for what the value may be about, and for its verdict


# Remarks


@pytest.mark.parametrize(
    ("network", "lines", "told", "never"),
    [
        ("6 uF -- (9 uF || 5 uF), across 15 V", ("C23 = 3.214 uF", "C = 6 + 3.214 = 9.214 uF"),
         "adding 6 µF and 3.214 µF", " 14 µF"),
        ("6 uF -- (9 uF || 5 uF), across 15 V", ("V1 = V2",), "V1", "4.5 V"),
        ("3 uF || 6 uF, across 9 V", ("Q1 = Q2",), "Q1", "54"),
        ("6 uF -- (9 uF || 5 uF), across 15 V", ("C12 = 3.6 uF", "C = 8.6 uF"),
         "C rests on C1 and C2 as one group", "follows"),
        ("6 uF -- (9 uF || 5 uF), across 15 V", ("6 || 9 = 15",),
         "C1 joins A and P; C2 joins P and B. For a parallel set", "charge"),
        ("2 uF -- 4 uF -- 4 uF, across 16 V", ("V1 = 8 V V2 = 4 V V3 = 4 V, total 16 V",),
         "V1, V2 and V3 are right.", "as given"),
        ("6 uF -- (9 uF || 5 uF), across 15 V", ("C = 4.2 uF", "Q = 63 uF"),
         "The number fits Q; the unit does not", "follows"),
        ("4 uF -- (2 uF || 3 uF), across 18 V", ("C = 2.2 uF", "Q = 40 uF"),
         "The number fits Q; the unit does not", "follows"),
    ],
)
def test_a_remark_speaks_of_the_numbers_of_its_learner(
    network: str, lines: tuple[str, ...], told: str, never: str
) -> None:
    remark = marked(network, *lines).lines[-1].remark
    assert told in remark
    assert never not in remark


def test_a_number_in_the_unit_without_prefix_is_quoted_as_meant() -> None:
    """ε0 A/d with the filling forgotten: 8.85e-12 × 0.01/0.001 F."""
    plates = "C1 = plates 100 cm2 gap 1 mm filled 2.5"
    _, printed = mark_command(plates, "C = 8.85e-12*0.01/0.001 = 88.5 pF", MarkOptions())
    said = " ".join(" ".join(printed).split())
    assert "10^-11 pF" not in said
    assert "88.5 pF" in said.split("2/4")[1]  # the area and the gap were used rightly


def test_the_first_value_that_counts_without_a_unit_is_told_so() -> None:
    found = marked(
        "6 uF -- (9 uF || 5 uF), across 15 V; asked: V1", "C23 = 99", "C = 4.2", "Q = 63"
    )
    assert "unit" not in found.lines[0].remark
    assert "Write the unit with it." in found.lines[1].remark


def test_two_slips_on_one_line_get_two_remarks() -> None:
    found = marked("2 uF -- 6 uF, across 8 V", "C = 8 uF, Q = 31 uC")
    said = found.lines[0].remark
    assert "C1" in said
    assert "31 µC does not follow for Q" in said


@pytest.mark.parametrize(
    ("line", "rule", "way"),
    [
        ("C = 6 x 9/6 + 9 = 18", "calculator-without-brackets", "no brackets round the sum"),
        ("C = C1 + C2 = 15 uF", "adds-a-series-pair", "adding 6 µF and 9 µF"),
        ("C = (6 + 9)/2 = 7.5 uF", "takes-the-average", "the average of 6 µF and 9 µF"),
        ("C = (6 + 9)/(6 x 9)", "forgets-the-last-flip", "stopping before the last turning over"),
    ],
)
def test_a_wrong_rule_that_is_written_out_is_not_supposed(line: str, rule: str, way: str) -> None:
    found = marked("6 uF -- 9 uF, across 10 V", line).lines[0]
    assert found.malrules == (rule,)
    assert f"{way}." in found.remark
    bare = marked("6 uF -- 9 uF, across 10 V", "C = 18 uF").lines[0]
    assert "if that is what you did" in bare.remark


@pytest.mark.parametrize(
    ("network", "lines", "way", "earned"),
    [
        ("3 uF -- 7 uF, across 12 V", ("V1 = V2 = 6 V",), "sharing the p.d. out equally", 0),
        ("3 uF -- 7 uF, across 12 V", ("V1 = 6 V", "V2 = 6 V"), "sharing the p.d. out equally", 0),
        ("12 uF -- 4 uF, across 8 V", ("V1 = 6 V", "V2 = 2 V"), "in proportion to capacitance", 0),
        ("12 uF -- 4 uF, across 8 V", ("V1 = 5 V", "V2 = 3 V"), "does not follow", 2),
    ],
)
def test_a_pair_of_one_figure_is_known_for_its_wrong_idea(
    network: str, lines: tuple[str, ...], way: str, earned: int
) -> None:
    found = marked(network, *lines)
    assert way in found.lines[0].remark
    assert found.total == earned
    assert found.lines[0].malrules == ()  # one figure is too little to hold it against anybody


def test_a_wrong_value_that_is_written_again_is_told_so() -> None:
    found = marked("3 uF -- 7 uF, across 12 V", "C = 3 + 7 = 10 uF", "so C = 10 uF")
    assert [line.verdict for line in found.lines] == ["wrong", "carried"]
    assert "stands above already" in found.lines[1].remark


def test_what_is_written_out_speaks_of_the_numbers_of_its_learner() -> None:
    script = ("9 x 3/(9 + 3) = 2.25 uF", "2.25 + 6 = 8.25 uF")
    found = marked("6 uF -- (9 uF || 3 uF), across 18 V", *script).lines[1]
    assert found.malrules == ("adds-a-series-pair",)
    assert "adding 6 µF and 2.25 µF." in found.remark


def test_what_has_a_name_in_front_is_not_asked_for_one() -> None:
    found = marked("3 uF rated 100 V -- 7 uF rated 63 V", "Qmax2 = 441 uC", "7 x 63 = 441")
    assert [("write in front" in line.remark) for line in found.lines] == [False, True]
