"""Printed solutions and machines' copies, held to the nodal method and to the page's width."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.records import Amount, Charging, Refusal
from tests import nodal
from tests.sampled import some
from tests.strategies import (
    Drawn,
    Written,
    as_description,
    joined_multigraphs,
    ladder,
    nested_descriptions,
    voltages,
)
from tutor.circuit.network import Problem, build
from tutor.front.brief import brief_lines
from tutor.front.entries import FileEntry, entries, explain_file
from tutor.front.machine import refusal_json, solution_json
from tutor.front.plain import Page
from tutor.front.printing import solution_lines
from tutor.teaching.settings import Settings
from tutor.teaching.staged.makers import story_of

ROOT = Path(__file__).parents[2]
CASES = tomllib.loads((ROOT / "tests/cases/explained.toml").read_text("utf-8"))["case"]
BRIDGE = (
    "C1 = 1 uF from A to P; C2 = 2 uF from A to Q; C3 = 3 uF from P to Q; "
    "C4 = 4 uF from P to B; C5 = 5 uF from Q to B; "
)
DEAD_ENDS = (
    "C1 = 2 uF from A to P; C2 = 3 uF from P to B; C3 = 4 uF from P to D; "
    "C4 = 5 uF from E to F; ends A and B; across 10 V"
)
PAGE, TERMS = Page(), Settings()
BOXES = set("─│┌┬┐├┼┤└┴┘╢╟═╧╤")


def problem_of(text: str) -> Problem:
    return build(read_network(text))


def lines_of(text: str, page: Page = PAGE, terms: Settings = TERMS) -> list[str]:
    return list(solution_lines(problem_of(text), terms, page))


def together(text: str, page: Page = PAGE) -> str:
    """The whole solution in one line with single spaces."""
    return " ".join(" ".join(lines_of(text, page)).split())


def si(entry: dict[str, Any]) -> Fraction:
    return Fraction(entry["si"])


# --- For machines ------------------------------------------------------------------------------


@st.composite
def supplies_in_si(draw: st.DrawFn) -> Charging:
    kind = draw(st.sampled_from(["voltage", "charge"]))
    return Charging("voltage" if kind == "voltage" else "charge", Amount(draw(voltages())))


@given(joined_multigraphs(), supplies_in_si())
def test_every_exact_value_is_that_of_the_nodal_method(drawn: Drawn, supply: Charging) -> None:
    found = solution_json(build(as_description(drawn, supply)))
    assert isinstance(supply.worth, Amount)
    outcome = nodal.solve(*drawn, **{supply.quantity: supply.worth.value})
    assert list(found["capacitors"]) == [edge.name for edge in drawn.edges]
    for edge in drawn.edges:
        assert si(found["capacitors"][edge.name]["capacitance"]) == edge.capacitance
        assert found["capacitors"][edge.name]["points"] == [edge.start, edge.end]
    kinds = {step["kind"] for step in found["steps"]}
    assert found["reduced"] == (not kinds & {"equal", "merge", "balance"})
    assert found["reduced"] or len(found["left"]) >= 5  # nothing smaller than a bridge resists
    assert si(found["equivalent"]["capacitance"]) == outcome.capacitance
    for key in ("voltage", "charge", "energy"):
        assert si(found["supply"][key]) == getattr(outcome, key)
        for edge in drawn.edges:
            held = abs(getattr(outcome.capacitors[edge.name], key))
            assert si(found["capacitors"][edge.name][key]) == held
    assert {p: si(level) for p, level in found["potentials"].items()} == outcome.potentials
    for edge in drawn.edges:
        voltage = outcome.capacitors[edge.name].voltage
        plus = None if voltage == 0 else edge.start if voltage > 0 else edge.end
        assert found["capacitors"][edge.name]["plus"] == plus


@given(joined_multigraphs())
def test_the_steps_can_be_followed_with_the_bare_rules(drawn: Drawn) -> None:
    found = solution_json(build(as_description(drawn)))
    values = {edge.name: edge.capacitance for edge in drawn.edges}
    for step in found["steps"]:
        parts = [values.pop(name) for name in step["parts"]]
        assert step["because"]
        assert step["relation"] or step["kind"] == "merge"
        if step["kind"] in ("removal", "equal", "merge"):
            assert step["makes"] is step["value"] is step["shares"] is None
            continue
        if step["kind"] == "balance":
            whole = nodal.solve(*drawn).capacitance
            assert (step["shares"], si(step["value"])) == (None, whole)
            assert step["working"].startswith("With V_")
            values[step["makes"]] = whole
            continue
        shares, value = {
            "parallel": ("voltage", sum(parts)),
            "series": ("charge", 1 / sum(1 / part for part in parts)),
        }[step["kind"]]
        assert step["shares"] == shares
        assert si(step["value"]) == value
        values[step["makes"]] = Fraction(value)
    assert [*values.values()] == [si(found["equivalent"]["capacitance"])]


def test_the_shape_of_a_solved_network() -> None:
    found = solution_json(problem_of("4 uF -- (2 uF || 3 uF), across 12 V; asked: Q3, C"))
    assert found["network"] == "C1 -- (C2 || C3)"
    assert found["steps"][0] | {"because": "", "working": ""} == {
        "kind": "parallel",
        "parts": ["C2", "C3"],
        "makes": "C23",
        "shares": "voltage",
        "because": "",
        "relation": "C23 = C2 + C3",
        "working": "",
        "value": {"si": "1/200000", "text": "5 µF"},
    }
    assert found["supply"]["voltage"] == {"si": "12", "text": "12 V"}
    assert found["capacitors"]["C3"] == {
        "capacitance": {"si": "3/1000000", "text": "3 µF"},
        "voltage": {"si": "16/3", "text": "5.333 V"},
        "charge": {"si": "1/62500", "text": "16 µC"},
        "energy": {"si": "2/46875", "text": "42.67 µJ"},
        "points": ["P", "B"],
        "plus": "P",
    }
    assert found["asked"] == [
        {"quantity": "charge", "of": "C3", "value": {"si": "1/62500", "text": "16 µC"}},
        {"quantity": "capacitance", "of": None, "value": {"si": "1/450000", "text": "2.222 µF"}},
    ]


def test_without_a_supply_there_are_no_charges() -> None:
    found = solution_json(problem_of("2 uF -- 3 uF; asked: Q1"))
    assert set(found) == {"network", "reduced", "equivalent", "capacitors", "steps", "asked"}
    assert set(found["capacitors"]["C1"]) == {"capacitance", "points"}
    assert found["asked"][0]["value"] is None


def test_a_bridge_has_every_value_though_it_is_not_reduced() -> None:
    text = BRIDGE + "C6 = 1 uF from A to P; ends A and B; across 10 V; asked: C, Q1"
    found = solution_json(problem_of(text))
    outcome = nodal.solve(
        [nodal.Edge(f"C{n}", Fraction(c), *link) for n, (c, link) in enumerate(
            zip((1, 2, 3, 4, 5, 1), ("AP", "AQ", "PQ", "PB", "QB", "AP"), strict=True), start=1
        )], (), ("A", "B"), voltage=Fraction(10),
    )
    assert found["reduced"] is False
    assert sorted(found["left"]) == ["C16", "C2", "C3", "C4", "C5"]
    assert [step["kind"] for step in found["steps"]] == ["parallel", "balance"]
    assert [si(each["value"]) * 10**6 for each in found["asked"]] == [
        outcome.capacitance, outcome.capacitors["C1"].charge
    ]
    assert {p: si(level) for p, level in found["potentials"].items()} == outcome.potentials
    assert found["steps"][1]["relation"].count("Balance at ") == 2


def test_points_that_a_wire_makes_one_all_have_their_potential() -> None:
    text = (
        "C1 = 3 uF from A to P; C2 = 3 uF from Q to B; wire from P to Q; ends A and B; across 8 V"
    )
    found = solution_json(problem_of(text))
    assert {p: level["si"] for p, level in found["potentials"].items()} == {
        "A": "8", "P": "4", "Q": "4", "B": "0"
    }  # fmt: skip


def test_letters_are_exact_in_their_letters() -> None:
    found = solution_json(problem_of("2C -- (C || C1/3), across V"))
    names = {name: sympy.Symbol(name) for name in ("C", "C1", "V")}
    capacitance, first, volts = names.values()
    for entry, expected in (
        (found["equivalent"]["capacitance"], 2 * capacitance * (3 * capacitance + first)),
        (found["supply"]["charge"], 2 * capacitance * volts * (3 * capacitance + first)),
        (found["capacitors"]["C2"]["voltage"], 6 * capacitance * volts),
    ):
        value = sympy.sympify(entry["si"], locals=names)
        assert sympy.cancel(value * (9 * capacitance + first) - expected) == 0
    assert solution_json(problem_of("C -- C, across V"))["supply"]["energy"]["si"] == "C*V**2/4"


def test_more_digits_than_python_prints_at_once() -> None:
    tails = [10**49 + 7919**n % 10**49 for n in range(1, 121)]
    text = " -- ".join(f"0.{tail} uF" for tail in tails) + ", across 12 V"
    found = solution_json(problem_of(text))
    exact = found["equivalent"]["capacitance"]["si"]
    assert len(exact) > 2 * 4300
    upper, _, lower = exact.partition("/")
    assert upper[-30:] == str(numerator_of(tails) % 10**30).rjust(30, "0")
    assert lower.isdigit()
    assert len(found["equivalent"]["capacitance"]["text"]) < 20
    assert max(map(len, lines_of(text))) <= 78


def numerator_of(tails: list[int]) -> int:
    """The numerator, in lowest terms, of a chain of capacitors of 0.tail µF each."""
    return (1 / sum(1 / Fraction(tail, 10**56) for tail in tails)).numerator


# --- For a reader ------------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_the_worked_text(case: dict[str, Any]) -> None:
    page = Page(case["width"], ascii=case["ascii"])
    assert "\n".join(lines_of(case["text"], page)) == case["lines"].strip("\n")


@settings(max_examples=some(60))
@given(nested_descriptions(), st.sampled_from([40, 80]), st.booleans())
def test_no_line_is_wider_than_the_page(written: Written, width: int, ascii: bool) -> None:
    page = Page(width, ascii)
    lines = list(solution_lines(build(written.description), Settings(), page))
    assert max(map(len, lines)) <= width
    assert all(line == line.rstrip() for line in lines)
    assert not ascii or all(line.isascii() for line in lines)


@settings(max_examples=some(60))
@given(joined_multigraphs(), supplies_in_si())
def test_any_network_is_explained_to_its_end(drawn: Drawn, supply: Charging) -> None:
    problem = build(as_description(drawn, supply))
    text = "\n".join(solution_lines(problem, Settings(), Page(60)))
    reduced = solution_json(problem)["reduced"]
    assert "\nChecks\n" in text
    assert ("\n  Nothing can be combined by series" in text) != reduced
    assert all(f"{edge.name}, " in text for edge in drawn.edges)


@pytest.mark.parametrize("width", [1, 40, 63, 80, 200, 1000])
def test_amounts_stay_whole_at_the_end_of_a_line(width: int) -> None:
    page = Page(width)
    lines = lines_of("4 uF -- (2 uF || 3 uF) -- 12 000 pF, across 12 V", page)
    assert max(map(len, lines)) <= page.columns
    assert not any(line.rstrip().endswith((" 4", " 12", "=", "≈")) for line in lines)
    assert not any("\u00a0" in line for line in lines)


def test_the_words_chosen_for_a_difference_are_kept() -> None:
    text = "\n".join(lines_of("2 uF -- (3 uF || 1 uF), across 12 V", terms=Settings("voltage")))
    assert "p.d." not in text
    assert "voltage" in text


def test_letters_and_commas_are_those_of_the_settings() -> None:
    settings = Settings(pd_letter="U", energy_letter="W", decimal_sign="comma", figures=3)
    text = " ".join(lines_of("4 uF -- (2 uF || 3 uF), across 12 V; asked: V2", terms=settings))
    assert "U2 = U3 = U23 ≈ 5,33 V" in text
    assert text.endswith("Asked: U2 = 16/3 V ≈ 5,33 V")
    whole = " ".join(lines_of("4 uF -- (2 uF || 3 uF), across 12 V", terms=settings))
    assert "  C2   5,33 V   10,7 µC" in whole


def test_what_is_asked_is_led_to_and_no_more() -> None:
    text = "\n".join(lines_of("4 uF -- (2 uF || 3 uF) -- 6 uF, across 12 V; asked: Q3"))
    assert "Q3 = C3 × V3" in text
    assert "V4 =" not in text
    assert "E = ½" not in text
    assert "Checks" not in text
    only_whole = "\n".join(lines_of("4 uF -- (2 uF || 3 uF), across 12 V; asked: C"))
    assert "Working back" not in only_whole


def test_in_brief_there_are_the_lines_that_one_writes() -> None:
    description = read_network("4 uF -- 12 uF, across 20 V")
    assert list(brief_lines(description, Settings(), Page(80))) == [
        "1/C12 = 1/C1 + 1/C2 = 1/(4 µF) + 1/(12 µF) = 1/3 per µF, so C12 = 3 µF",
        "Q = C V = 3 µF × 20 V = 60 µC",
        "Q1 = Q2 = Q12 = 60 µC",
        "V1 = Q1/C1 = 60 µC / 4 µF = 15 V",
        "V2 = Q2/C2 = 60 µC / 12 µF = 5 V",
    ]


def test_bounds_are_told_with_numbers() -> None:
    text = together("4 uF -- (2 uF || 3 uF)")
    assert "always above its largest member: 5 µF is more than the 3 µF of C3." in text
    assert "always below its smallest member: 2.222 µF is less than the 4 µF of C1." in text
    close = together("1 nF || 12 F")
    assert "12.000000001 F is more than the 12 F of C2." in close


def test_a_charge_given_leads_to_the_potential_difference() -> None:
    text = together("4 uF -- (2 uF || 3 uF), holding 24 uC; asked: V, Q2")
    assert "V = Q/C = 24 µC / 2.222 µF ≈ 10.8 V" in text
    assert text.endswith("Asked: V = 10.8 V; Q2 = 9.6 µC")


def test_letters_are_worked_in_letters() -> None:
    text = together("C -- (2C || C), across V; asked: Q2")
    assert "C23 = 3C" in text
    assert "C123 = 3C/4" in text
    assert "whatever the letters stand for" in text
    assert text.endswith("Asked: Q2 = CV/2")


def test_a_bridge_is_balanced_with_its_equations_and_its_bound() -> None:
    text = together(BRIDGE + "ends A and B; across 10 V; asked: Q3")
    assert "Nothing can be combined by series and parallel: no two of C1, C2, C3, C4 and C5" in text
    assert "P: C1, C3 and C4; Q: C2, C3 and C5." in text
    assert "share one charge" not in text
    assert "Balance at P: 8 V_P = 1 V_A + 3 V_Q + 4 V_B" in text
    assert "From the balance at Q: V_Q = 0.2 V_A + 0.3 V_P" in text
    assert "7.1 V_P = 1.6 V_A, so V_P = 16/71 V_A V_Q = 0.2 V_A + 0.3 V_P = 19/71 V_A" in text
    assert "between 2.229 µF, with C3 left out, and 2.25 µF, with it made a wire" in text
    assert text.endswith("Asked: Q3 = 90/71 µC ≈ 1.268 µC")


def test_equal_charges_on_both_sides_of_a_bridge_are_told() -> None:
    text = together(
        BRIDGE + "C6 = 6 uF from M to A; C7 = 7 uF from B to N; ends M and N; across 10 V"
    )
    assert "C6 and C7 share one charge" in text


def test_dead_ends_are_left_out_with_their_reason() -> None:
    text = together(DEAD_ENDS)
    assert "Step 1: C3 left out C3 touches the rest at P only" in text
    assert "D is left out too." in text
    assert "C4 5 µF" in text, "what takes no charge is drawn as well"
    assert "C3 0 V 0 µC 0 µJ uncharged" in text
    assert "Not joined to the ends, so at no fixed potential: E, F." in text


def test_without_a_supply_it_ends_with_the_equivalent() -> None:
    text = together("4 uF -- (2 uF || 3 uF); asked: Q1")
    assert "Working back" not in text
    assert "all in one chain would make" in text
    assert text.endswith("Asked: Q1 has no value until a p.d. or a charge is given")
    assert "all in one chain would make" not in together("4 uF -- 2 uF")


@pytest.mark.parametrize(
    ("text", "warned"),
    [
        ("4 uF -- 2 uF, across 25 V", False),
        ("4 uF -- 2 uF, across 26 V", True),
        ("1 F, across 1 V", True),  # half a joule
        ("2 mF, across 15 V", False),
        ("4 uF, holding 1 mC", True),  # 250 V
        ("C -- C, across V", False),
    ],
)
def test_a_caution_comes_once_where_it_is_due(text: str, warned: bool) -> None:
    assert together(text).count("A caution:") == warned


def test_drawings_can_be_left_out() -> None:
    drawn = "\n".join(lines_of("4 uF -- (2 uF || 3 uF)"))
    bare = "\n".join(lines_of("4 uF -- (2 uF || 3 uF)", Page(drawings=False)))
    assert BOXES & set(drawn)
    assert not BOXES & set(bare)


def test_three_hundred_capacitors_are_told_shortly() -> None:
    lines = lines_of(ladder(150))
    assert len(lines) < 140
    assert not BOXES & set("".join(lines))
    text = " ".join(lines)
    assert "… 274 steps are left out here …" in text
    assert "… 275 capacitors are left out here …" in text
    assert sum(line.startswith("  Step ") for line in lines) == 25
    assert lines[-1] == "Asked: C ≈ 1.419 µF"
    (charges,) = [line for line in lines if line.startswith("  All plates at P0")]
    assert charges == "  All plates at P0 together hold 17.03 µC; moved in all: 17.03 µC"


def test_many_capacitors_in_letters_have_short_factors() -> None:
    parts = "; ".join(
        f"C{n} = C from P{n} to P{n + 1}; D{n} = C from P{n + 1} to B" for n in range(35)
    )
    text = "\n".join(lines_of(f"{parts}; ends P0 and B; across V"))
    assert "C_total ≈ 0.6180 × C\n" in text
    assert "Q ≈ 0.6180 × CV\n" in text
    assert re.search("[0-9]{7}", text) is None


def test_a_stuck_network_of_many_is_told_shortly() -> None:
    grid = "; ".join(
        f"C{n} = 1 uF from P{n} to P{n + 1}; D{n} = 1 uF from P{n} to P{n + 2}" for n in range(50)
    )
    lines = lines_of(f"{grid}; ends P0 and P50; across 1 V")
    assert len(lines) < 90
    assert "Step 2: " in " ".join(lines)
    assert "by charge balance become X" in " ".join(" ".join(lines).split())


def test_numbers_alone_never_load_sympy() -> None:
    program = (
        "import sys\n"
        "from grammar.reading import read_network\n"
        "from tutor.circuit.network import build\n"
        "from tutor.front.machine import solution_json\n"
        "from tutor.front.printing import solution_lines\n"
        "from tutor.front.plain import Page\n"
        "from tutor.teaching.settings import Settings\n"
        "problem = build(read_network('4 uF -- (2 uF || 3 uF), across 12 V'))\n"
        "assert len(list(solution_lines(problem, Settings(), Page()))) > 40\n"
        "assert solution_json(problem)['reduced']\n"
        "print('sympy' in sys.modules, 'prompt_toolkit' in sys.modules)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert done.stdout.split() == ["False", "False"]


# --- Files of descriptions ---------------------------------------------------------------------

BLOCKS = """\
# ours

2 uF -- 3 uF
across 10 V   # a remark

# only remarks
# here

C1 = 4 uF
C1 -- zz

5 uF
"""


def test_blank_lines_part_descriptions() -> None:
    assert [entry.line for entry in entries(BLOCKS, one_per_line=False)] == [3, 9, 12]
    first, second, third = explain_file(BLOCKS, one_per_line=False)
    assert first["supply"]["voltage"]["si"] == "10"
    assert set(second) == {"error"}
    assert (second["error"]["line"], second["error"]["column"]) == (10, 7)
    assert third["network"] == "C1"


@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
def test_one_description_a_line(newline: str) -> None:
    text = newline.join(["\ufeff# ours", "2 uF -- 3 uF", "", "  # more", "4 uF -- ( 3 uF", "7 uF"])
    found = list(explain_file(text, one_per_line=True))
    assert [next(iter(each)) for each in found] == ["network", "error", "network"]
    assert (found[1]["error"]["line"], found[1]["error"]["column"]) == (5, 9)
    assert json.loads(json.dumps(found)) == found


def test_a_fault_without_a_place_is_put_on_the_first_line_of_its_entry() -> None:
    with pytest.raises(Refusal) as raised:
        FileEntry(7, "across 5 V").explained()
    assert raised.value.place is not None
    assert raised.value.place.line == 7
    assert refusal_json(Refusal("There is no text.", "Write some."))["error"] == {
        "line": 1,
        "column": 1,
        "message": "There is no text. Write some.",
    }


def test_the_whole_has_a_name_of_its_own_beside_letters() -> None:
    text = together("C -- C -- C, holding Q")
    assert "One capacitor is left, C123: C_total = C/3" in text
    assert "V = Q/C_total = 3Q/C" in text
    assert "−Q + Q = 0 Plates" in text
    assert "0 C" not in text
    assert "C_total" not in together("C1 -- (C2 || C3), across V")


def test_bounds_that_would_print_alike_have_more_figures() -> None:
    found = story_of(read_network("ladder of (series 2 uF, shunt 2 uF) without end"), TERMS)
    assert found is not None
    (line,) = [each for each in found.closing if "always below" in each]
    told = re.findall(r"\d\.\d+", line)
    assert len({*told}) == len(told) > 2
    assert not any(number == "1.236" for number in told)
