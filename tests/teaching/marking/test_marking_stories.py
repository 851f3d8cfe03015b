"""Marking of problems in stages and of bridges: errors carried forward, choices, balances."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.records import Refusal
from tests.conversing import about
from tests.sampled import some
from tutor.circuit.network import build
from tutor.front.marks import MarkOptions, mark_command
from tutor.front.plain import Page
from tutor.teaching.exchange import begin_story, hear
from tutor.teaching.marking.examining import read_scheme
from tutor.teaching.marking.marked import Marked, MarkedLine
from tutor.teaching.marking.on_network import mark
from tutor.teaching.marking.stories.following import follow, paths_of
from tutor.teaching.marking.stories.on_story import mark_story
from tutor.teaching.marking.stories.story_scheme import OF_ACCOUNT, is_plain, unmarked
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.bridged import bridge_story
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import PASSED_ON, Ask, Story

CASES = Path(__file__).parents[2] / "cases"
SCRIPTS = tomllib.loads((CASES / "marked_stories.toml").read_text("utf-8"))["script"]
BRIDGE = (
    "C1 = 2 uF from A to P; C2 = 3 uF from P to B; C3 = 1 uF from P to Q; "
    "C4 = 4 uF from A to Q; C5 = 2 uF from Q to B; ends A and B; across 10 V"
)
JOINED = "C1 = 3 uF charged to 10 V; C2 = 7 uF; then join C1 and C2"
# One of every kind, and of what the makers of each kind do differently.
PROBLEMS = (
    JOINED,
    "C1 = 3 uF charged to 10 V; C2 = 7 uF charged to 20 V; then join C1 and C2 crossed",
    "C1 = 2 uF holding 30 uC; C2 = 4 uF charged to 5 V; C3 = 6 uF; then join C1, C2 and C3",
    "C1 = 2 uF -- C2 = 4 uF, across 12 V; then remove supply; then join C1 and C2",
    "C1 = 2 uF -- C2 = 4 uF, across 12 V; then fill C1 with 3",
    "C1 = 2 uF -- (C2 = 4 uF || C3 = 3 uF), across 12 V; then fill C2 with 2",
    "5 uF, across 12 V; then remove supply; then fill C1 with 4; then empty C1",
    "5 uF, across 12 V; then gap of C1 doubled",
    "C1 = 2 uF from A to P; C2 = 3 uF from P to B; C3 = 1 uF from P to Q; C4 = 4 uF from A to Q; "
    "C5 = 2 uF from Q to B; ends A and B; across 10 V; then fill C3 with 5",
    "plates 25 cm2 gap 1 mm filled with 4, across 12 V",
    "plates 100 cm2 gap 2 mm layers 1 mm of 2, 1 mm of 6, across 12 V",
    "plates 1 m2 gap 1 m side by side 1/2 of 2, 1/2 of 6",
    "plates 25 cm2 gap 3 mm metal 1 mm, holding 30 nC",
    "C1 = 3 uF rated 100 V -- C2 = 7 uF rated 100 V, across 120 V",
    "C1 = 3 uF rated 63 V || C2 = 7 uF rated 100 V",
    "C1 = 3 uF rated 63 V -- (C2 = 7 uF rated 100 V || C3 = 2 uF rated 25 V)",
    "bank of 10 uF rated 50 V for 20 uF at 180 V",
    "bank of 10 uF rated 63 V for 25 uF at 50 V",
    "C1 = 3 uF -- C2 = ?; C = 2.1 uF",
    "C1 = 3 uF -- C2 = ?, across 12 V; V1 = 8.4 V; asked: E2",
    "C1 = 3 uF || C2 = ?, across 12 V; Q = 60 uC",
    "C1 = 3 uF -- C2 = ?, across 12 V; E2 = 45.36 uJ",
    "C1 = 3 uF -- C2 = ?, across 12 V; V1 = 13 V",
    "ladder of (series 2 uF, shunt 4 uF) without end, across 12 V; asked: energy",
    "ladder of (series 2 uF, shunt 4 uF) without end, holding 12 uC",
    BRIDGE,
    f"{BRIDGE}; asked: Q3, E5, E",
    BRIDGE.replace("across 10 V", "holding 60 uC"),
    BRIDGE.replace("; across 10 V", ""),
    "C1 = 2 uF from A to P; C2 = 3 uF from P to B; C3 = 1 uF from P to Q; C4 = 4 uF from A to S; "
    "C6 = 4 uF from S to Q; C5 = 2 uF from Q to B; C7 = 1 uF from Q to B; ends A and B; "
    "across 10 V",
)


def story(text: str) -> Story:
    description = read_network(text)
    return story_of(description, DEFAULTS) or bridge_story(build(description), Settings())


def marked(text: str, *lines: str, scheme: str = "") -> Marked:
    description = read_network(text)
    told = story_of(description, DEFAULTS)
    if told is None:
        return mark(build(description), "\n".join(lines), read_scheme(scheme))
    return mark_story(told, "\n".join(lines), read_scheme(scheme))


def one(text: str, *lines: str) -> MarkedLine:
    """The last line as marked."""
    return marked(text, *lines).lines[-1]


@pytest.mark.parametrize("script", SCRIPTS, ids=[script["name"] for script in SCRIPTS])
def test_each_line_is_marked_as_it_deserves(script: dict[str, Any]) -> None:
    texts, expected = zip(*script["lines"], strict=True)
    found = marked(script["problem"], *texts)
    told = [
        f"{line.about or '-'} {line.verdict} {line.fault or '-'} "
        f"{line.marks.total}/{line.marks.of}"
        for line in found.lines
    ]
    assert told == list(expected)
    assert f"{found.total}/{found.of}" == script["total"]


def test_no_remark_names_a_malrule() -> None:
    names = {rule.name for rule in CATALOGUE}
    for script in SCRIPTS:
        for line in marked(script["problem"], *(text for text, _ in script["lines"])).lines:
            assert line.remark
            assert not any(name in line.remark for name in names)
            assert "!" not in line.remark


# The right ways


@pytest.mark.parametrize("text", PROBLEMS)
def test_every_way_leads_to_its_right_value(text: str) -> None:
    told = story(text)
    for ask, ways in zip(told.asks, paths_of(told), strict=True):
        for path in ways:
            found = follow(path, {key: link.value[0] for key, link in path.links.items()})
            assert isinstance(found, Fraction)
            assert isinstance(ask.right, Fraction)
            assert abs(found - ask.right) <= abs(ask.right) / 10**12, (ask.key, path.way.relation)


def worked(ask: Ask) -> list[str]:
    """A right answer as a learner would write it, from the story's own."""
    if ask.options:
        return [next(option for option in ask.options if option.is_right).words[0]]
    lines = ask.reveal.split("\n")
    if ask.pure and ask.name:
        return [*lines[:-1], f"{ask.name} = {float(ask.right or 0):.6g}"]
    if "the sum of" in ask.reveal:
        return [f"{ask.name} = {lines[-1].split(' = ')[-1].split('≈ ')[-1]}"]
    return [line.split(" gives ")[-1] for line in lines]


@pytest.mark.parametrize("text", PROBLEMS)
def test_a_right_script_earns_full_marks(text: str) -> None:
    told = story(text)
    found = mark_story(told, "\n".join(line for ask in told.asks for line in worked(ask)))
    assert [(line.text, line.remark) for line in found.lines if line.verdict == "wrong"] == []
    assert (found.total, found.left_out) == (found.of, ())


@pytest.mark.parametrize("text", PROBLEMS)
def test_a_result_alone_earns_the_marks_of_its_value(text: str) -> None:
    """A right value with its unit shows the method too."""
    told = story(text)
    speech = Speech(told.powers, DEFAULTS)
    values = [
        f"{ask.name} = {speech.amount(ask.right or Fraction(0), ask.dimension)}"
        for ask in told.asks if ask.dimension and ask.name and not ask.pure
    ]
    found = mark_story(told, "\n".join(values))
    assert [line.text for line in found.lines if line.verdict != "right"] == []
    assert found.total >= 2 * len(values) - sum(
        2 if ask.key in OF_ACCOUNT else ask.key == PASSED_ON or is_plain(ask)
        for ask in told.asks if ask.dimension and ask.name and not ask.pure
    )


# What is carried forward


def test_a_wrong_value_is_carried_by_symbols_and_through_values_not_written() -> None:
    found = marked(JOINED, "Q1 = 33 uC", "V = Q1/(C1 + C2) = 3.3 V", "E = 54.45 uJ")
    assert [line.verdict for line in found.lines] == ["wrong", "carried", "carried"]
    method_only = marked(
        JOINED, "Q1 = 33 uC", "V = Q1/(C1 + C2) = 3.3 V",
        scheme="carried values earn method only",
    )
    assert [line.marks.accuracy for line in method_only.lines] == [0, 0]


def test_a_value_copied_wrongly_is_told_and_carried() -> None:
    found = marked(JOINED, "C1 = 4 uF", "Q1 = 4 x 10 = 40 uC", "V = 40/11 = 3.64 V")
    assert [line.verdict for line in found.lines] == ["wrong", "carried", "carried"]
    assert "The text gives 3 µF for C1" in found.lines[0].remark
    assert found.lines[1].marks.accuracy == 0  # where it is first used
    assert found.lines[2].marks.accuracy == 1
    assert one(JOINED, "V1 = 10 V").remark == "V1, as given."


def test_a_value_that_is_not_asked_for_is_kept_for_what_follows() -> None:
    found = marked(JOINED, "Q1 = 30 uC", "Ct = 3 + 7 = 10 uF", "V = Q1/Ct = 3 V")
    assert [line.verdict for line in found.lines] == ["right", "unread", "right"]
    assert "Ct is no value that is asked for" in found.lines[1].remark


def test_two_answers_earn_nothing_and_a_crossed_out_one_counts_not() -> None:
    two = marked(JOINED, "V = 3 V", "V = 5 V")
    assert [line.marks.method + line.marks.accuracy for line in two.lines] == [0, 0]
    assert marked(JOINED, "~~V = 5 V~~", "V = 3 V").lines[1].marks.total > 2


# Choices in words


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("The charge is conserved", "right"),
        ("the total charge stays the same, so the p.d. changes", "right"),
        ("Energy is conserved", "wrong"),
        ("The p.d. is kept", "wrong"),
        ("I join them with two wires", "unread"),
        ("The charge on C1", "unread"),
    ],
)
def test_what_is_held_fixed_may_be_said_in_words(line: str, verdict: str) -> None:
    assert one(JOINED, "Q1 = 30 uC", "E = 150 uJ", line).verdict == verdict


def test_what_follows_from_a_wrong_choice_in_words_is_carried() -> None:
    kept = ("energy stays so 1/2 x 10 x V^2 = 150", "V = 5.48 V", "heat = 0")
    found = marked(JOINED, "E = 150 uJ", *kept)
    assert [line.verdict for line in found.lines] == ["right", "wrong", "carried", "carried"]
    held = ("Q = 60 uC", "C' = 15 uF", "Q does not change", "E' = 1/2 x 60 x 4 = 120 uJ")
    found = marked("5 uF, across 12 V; then fill C1 with 3", *held)
    assert [line.verdict for line in found.lines] == ["right", "right", "wrong", "carried"]


def test_a_choice_that_a_right_value_rests_on_need_not_be_said() -> None:
    found = marked(JOINED, "V = 3 V")
    assert found.lines[0].marks.implied >= 1
    assert not any("question 3" in name for name in found.left_out)


# Balances


@pytest.mark.parametrize(
    "line",
    [
        "C1(10 - V_P) = C2 V_P + C3 (V_P - V_Q)",
        "2(10 - VP) = 3 VP + 1(VP - VQ)",
        "2*(10-V_P)+3*(0-V_P)+1*(V_Q-V_P)=0",
        "6 V_P = 20 + V_Q",
        "V_P = (20 + V_Q)/6",
        "2 uF x (10 V - V_P) - 3 uF x V_P = 1 uF x (V_P - V_Q)",
        "C1 (V_A - V_P) + C2 (V_B - V_P) = C3 (V_P - V_Q)",
        "Q1 + Q3 = Q2",
        "Q2 = Q1 + Q3",
    ],
)
def test_the_balance_at_a_point_is_right_in_any_form(line: str) -> None:
    found = one(BRIDGE, line)
    assert (found.about, found.verdict) == ("V_P", "right")
    assert (found.marks.method, found.marks.accuracy) == (1, 0)


@pytest.mark.parametrize(
    ("line", "malrule"),
    [
        ("2(10 - VP) = 3 VP + 1(VQ - VP)", "slips-on-a-sign-in-the-balance"),
        ("2(VP - 10) = 3 VP + 1(VP - VQ)", "slips-on-a-sign-in-the-balance"),
        ("(10 - VP)/2 = VP/3 + (VP - VQ)/1", "weights-the-wrong-way"),
        ("V_P = 10/2", "midpoint-at-half-the-supply"),
    ],
)
def test_a_wrong_balance_shows_its_rule(line: str, malrule: str) -> None:
    found = one(BRIDGE, line)
    assert (found.about, found.verdict, found.fault) == ("V_P", "wrong", "malrule")
    assert malrule in found.malrules
    assert found.marks.total == 0


def test_the_whole_charge_put_on_a_floating_point() -> None:
    """With Q = 1060/41 µC on the point: 6 V_P − V_Q − 20 = 1060/41."""
    found = one(BRIDGE, "2(VP - 10) + 3 VP + (VP - VQ) = 1060/41")
    assert found.malrules == ("puts-the-total-charge-on-a-floating-point",)


def test_a_balance_with_a_capacitor_left_out_is_wrong_and_gives_no_value_away() -> None:
    found = one(BRIDGE, "2(10 - VP) = 3 VP")
    assert (found.verdict, found.fault) == ("wrong", None)
    assert "Which capacitors have a plate at P" in found.remark
    assert "4.39" not in found.remark


def test_what_is_true_of_the_potentials_follows_from_the_balances() -> None:
    """From both: 41 V_P = 180."""
    assert one(BRIDGE, "41 V_P + V_Q = 180 + V_Q").verdict == "right"
    assert one(BRIDGE, "V_Q = 6.341 V", "6 V_P = 20 + 6.341").verdict == "right"


def test_wrong_equations_are_solved_on_and_values_stated_count_before_them() -> None:
    """20 = 4 V_P + V_Q and 40 = 7 V_Q − V_P give V_P = 100/29, V_Q = 180/29."""
    wrong = ("2(10 - VP) = 3 VP + 1(VQ - VP)", "4(10 - VQ) = 2 VQ + (VQ - VP)")
    assert one(BRIDGE, *wrong, "V_Q = 180/29 V").verdict == "carried"
    assert one(BRIDGE, *wrong, "V_P = 100/29 V").verdict == "carried"
    assert one(BRIDGE, *wrong, "Q1 = 2(10 - 100/29) = 13.1 uC").verdict == "carried"
    stated = (*wrong, "V_P = 5.0 V", "Q2 = 15 uC")
    assert one(BRIDGE, *stated).verdict == "carried"


def test_a_bridge_in_letters_is_marked_by_algebra() -> None:
    """Balances at P and Q for C, 2C, C, 3C, C: V_P = 8V/19, V_Q = 13V/19, C_whole = 29C/19."""
    letters = (
        "C1 = C from A to P; C2 = 2C from P to B; C3 = C from P to Q; C4 = 3C from A to Q; "
        "C5 = C from Q to B; ends A and B; across V; asked: C"
    )
    found = marked(letters, "C (V - V_P) = 2C V_P + C (V_P - V_Q)", "V_P = 8V/19", "C = 29C/19")
    assert [line.verdict for line in found.lines] == ["right", "right", "right"]
    assert found.lines[0].about == "V_P"
    found = marked(letters, "C (V - V_P) = 2C V_P + C (V_Q - V_P)", "C = 2C")
    assert [line.verdict for line in found.lines] == ["wrong", "wrong"]


def test_a_balanced_bridge_is_marked_by_its_groups() -> None:
    balanced = BRIDGE.replace("C2 = 3 uF", "C2 = 4 uF").replace("C5 = 2 uF", "C5 = 8 uF")
    found = marked(f"{balanced}; asked: C", "C12 = 1.333 uF", "C45 = 2.667 uF", "C = 4 uF")
    assert (found.total, found.of) == (6, 6)


# From outside


def test_the_scheme_tells_relations_and_choices() -> None:
    filled = "5 uF, across 12 V; then remove supply; then fill C1 with 4"
    scheme = marked(filled, "Q = 60 uC").scheme
    assert scheme[0] == "B1 The supply sets the p.d. of C1"
    assert "M1 V' = Q/C1'; A1 V' = 3 V" in scheme


def test_a_scheme_has_single_brackets_and_true_minus_signs() -> None:
    assert marked("C1 = 4 uF; E1 = 800 uJ; find V1", "V1 = 20 V").scheme == (
        "M1 V = √(2 × E/C1); A1 V = 20 V",
    )
    in_letters = marked("C, across V; then remove supply; then fill C1 with k", "Q = CV").scheme
    assert in_letters[-1] == "M1 E' = ½ × Q × V1'; A1 E' = CV²/(2k)"


def test_a_pd_after_a_joining_is_held_to_those_before() -> None:
    joined = "C1 = 6 uF charged to 20 V; C2 = 2 uF charged to 40 V; join C1 and C2"
    bounds = "between those before, 20 V and 40 V"
    above = marked(joined, "Q = 200 uC", "C = 1.5 uF", "V = 200/1.5 = 133 V")
    assert bounds in above.lines[2].remark
    assert bounds not in marked(joined, "V = 31 V").lines[0].remark
    assert "between" not in marked(f"{joined} crossed", "V = 45 V").lines[0].remark


def test_the_account_of_the_energy_has_marks_where_the_text_asks_for_it() -> None:
    """Common practice, no source: 'find what changes' is of C, Q, V and E."""
    scheme = marked(JOINED, "V = 3 V").scheme
    assert not any("E_lost" in line or "lower" in line for line in scheme)
    assert "no marks" in unmarked(story(JOINED), ())[0]
    asked = read_network(f"{JOINED}; asked: heat").asked
    assert mark_story(story(JOINED), "V = 3 V", asked=asked).scheme[-1].endswith("= 105 µJ")
    assert unmarked(story(JOINED), asked) == ()


def test_a_slip_met_in_passing_falls_on_its_own_line() -> None:
    lines = ("they share the 10 V so 5 V each", "Q1 = 3 * 5 = 15 uC", "Q2 = 7 * 5 = 35 uC")
    found = marked(JOINED, "Q = 30 uC", *lines)
    assert [line.verdict for line in found.lines] == ["right", "wrong", "carried", "carried"]
    as_shown = marked(JOINED, "Q = 30 uC", lines[1])  # nothing leads to it
    assert as_shown.lines[1].verdict == "wrong"


@pytest.mark.parametrize("text", [JOINED, BRIDGE, PROBLEMS[9]])
@pytest.mark.parametrize("width", [40, 80])
def test_the_marks_fit_the_page(text: str, width: int) -> None:
    lines = "\n".join(line for ask in story(text).asks for line in worked(ask))
    code, printed = mark_command(text, lines, MarkOptions(page=Page(width)))
    assert code == 0
    assert max(map(len, printed)) <= width


PIECES = st.sampled_from([
    "Q1", "V", "E", "C1", "V_P", "VQ", "=", "=", "+", "-", "(", ")", "/", "x", "3", "10", "uF", "V",
    "uC", "charge", "is fixed", "so", ",", "1/C", "2.5", "?", "~~", "Q_3'", "e", "²",
])


@settings(max_examples=some(60), deadline=None)
@given(st.sampled_from([JOINED, BRIDGE, PROBLEMS[9], PROBLEMS[16], PROBLEMS[18], PROBLEMS[23]]),
       st.lists(st.lists(PIECES, max_size=9).map(" ".join), max_size=4))
def test_any_text_is_marked_within_its_marks(text: str, lines: list[str]) -> None:
    found = marked(text, *lines)
    assert len(found.lines) == len("\n".join(lines).split("\n")) - (not "".join(lines[-1:]))
    assert 0 <= found.total <= found.of
    assert all(0 <= line.marks.total <= line.marks.of for line in found.lines)


def test_a_script_of_too_many_lines_is_refused() -> None:
    with pytest.raises(Refusal, match="400 lines"):
        marked(JOINED, *["V = 3 V"] * 401)


def test_a_name_that_is_not_known_is_answered_with_those_that_are_asked_for() -> None:
    remark = one(BRIDGE, "2(10 - y) = 3 y").remark
    assert "V_P" in remark
    assert "U1" not in remark


@pytest.mark.parametrize("line", [
    "6 VP = 20 + VQ", "6P = 20 + Q", "2(10 - VP) = 3 VP + (VP - VQ)",
])
def test_an_equation_typed_where_a_value_is_asked_is_pointed_to_the_marking(line: str) -> None:
    told = story(BRIDGE)
    at = next(at for at, ask in enumerate(told.asks) if ask.name == "V_P")
    said = hear(about(begin_story(told).telling._replace(at=at)), line).messages
    true = said[0].verdict == "incomplete" and "true" in said[0].text
    assert true or (said[0].verdict == "unread" and "'working'" in said[0].text)


@pytest.mark.parametrize("line", ["VQ + 6 VP = 20", "VP + VQ = 10 V", "2(10 - VP) = 3 VP"])
def test_an_untrue_equation_is_no_value(line: str) -> None:
    told = story(BRIDGE)
    at = next(at for at, ask in enumerate(told.asks) if ask.name == "V_P")
    said = hear(about(begin_story(told).telling._replace(at=at)), line).messages
    assert (said[0].verdict, "does not hold" in said[0].text) == ("incomplete", True)


@pytest.mark.parametrize(("line", "verdict"), [
    ("Q does not change = 200 uC", "wrong"), ("Q doesn't change, 200 uC", "wrong"),
    ("Q stays 200 uC", "wrong"), ("V does not change = 25 V", "right"),
    ("Q is 200 uC at first", "right"),
])
def test_what_is_said_not_to_change_is_said_of_what_comes_now(line: str, verdict: str) -> None:
    text = "8 uF, across 25 V; then fill C1 with 3"
    found = marked(text, "Q = 8*25 = 200 uC", "C' = 24 uF", line)
    assert {each.verdict for each in found.lines if each.line == 3} == {verdict}


@pytest.mark.parametrize(("text", "lines", "told"), [
    ("6 uF, across 20 V; then gap of C1 tripled",
     ("C' = 2 uF", "The charge cannot change so Q' = 120 uC"),
     "The supply is joined to A and B, so charge has a way to come and go."),
    ("6 uF, across 20 V; then remove supply; then fill C1 with 5",
     ("E = 1200 uJ", "No battery, so the energy stays the same", "E' = 1200 uJ"),
     "1200 \u00b5J is what that would give."),
    ("6 uF, across 20 V; then remove supply; then fill C1 with 5",
     ("E = 1200 uJ", "E' = 1200 uJ"),
     "This is E as it was before. What has changed, and what does that do to it?"),
])  # fmt: skip
def test_where_a_value_comes_from_is_known_by_what_was_said(
    text: str, lines: tuple[str, ...], told: str
) -> None:
    assert one(text, *lines).remark == told
