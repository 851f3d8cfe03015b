"""Walks that go on where series and parallel stick, told as stories inside the walk."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any, TypeAlias

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.quantity import SYMBOL
from tests.sampled import some
from tests.teaching.learner import Pen, answer, problems
from tests.teaching.staged.manners import on_facts
from tests.teaching.talking import converse, problem_of, said, shape, standing, told
from tests.teaching.test_wording import check
from tutor.circuit.steps import BEYOND
from tutor.teaching.conversation import Conversation
from tutor.teaching.exchange import begin, hear
from tutor.teaching.messages import Message
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.charged import FLOATING
from tutor.teaching.speech import Terms
from tutor.teaching.staged.story import Telling
from tutor.teaching.turn import Turn
from tutor.teaching.walk import is_stuck

Case: TypeAlias = Mapping[str, Any]
CASES = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "malrules_floating.toml").read_text(encoding="utf-8")
)
JOINS = (
    "C1 = {} from A to P; C2 = {} from A to Q; C3 = {} from P to B; C4 = {} from Q to B; "
    "C5 = {} from P to Q; ends A and B"
)
BRIDGE = JOINS.format("1 uF", "2 uF", "2 uF", "1 uF", "1 uF")
BALANCED = JOINS.format("2 uF", "4 uF", "3 uF", "6 uF", "5 uF")
TEXTS = {"bridge": f"{BRIDGE}, across 12 V", "balanced": f"{BALANCED}, across 10 V"}
CUBE = "; ".join(
    f"C{n} = 1 uF from {join[0]} to {join[1]}"
    for n, join in enumerate(
        ("AP", "AQ", "AR", "PS", "PT", "QS", "QU", "RT", "RU", "SB", "TB", "UB"), start=1
    )
) + "; ends A and B"
CHARGES = ("7.2 uC", "9.6 uC", "9.6 uC", "7.2 uC", "2.4 uC")
RESULTS = re.compile(r"^(?:C\d: .*|Plates.*|(?:C|Q5) = [^=\n]*\.)$", re.MULTILINE)
RIGHT_WAY = ("none", "no", "4.8 V", "7.2 V", "1.4 uF", *CHARGES)
TABLE = (
    "C1: 7.2 V, 7.2 µC, 25.92 µJ, + plate at A\n"
    "C2: 4.8 V, 9.6 µC, 23.04 µJ, + plate at A\n"
    "C3: 4.8 V, 9.6 µC, 23.04 µJ, + plate at P\n"
    "C4: 7.2 V, 7.2 µC, 25.92 µJ, + plate at Q\n"
    "C5: 2.4 V, 2.4 µC, 2.88 µJ, + plate at Q"
)


def verdicts(turns: Iterable[Turn]) -> list[str | None]:
    return [message.verdict for turn in turns for message in told(turn, "verdict")]


def right_answer(talk: Conversation) -> str:
    """The right answer to the question of the story in hand."""
    assert isinstance(talk.in_hand, Telling)
    ask = talk.in_hand.ask
    assert ask is not None
    if ask.options:
        return next(option for option in ask.options if option.is_right).words[0]
    assert isinstance(ask.right, Fraction)
    assert ask.dimension is not None
    return f"{float(ask.right):.9g} {SYMBOL[ask.dimension]}"


# Told rightly


def test_a_bridge_told_rightly_from_end_to_end() -> None:
    turns = converse(TEXTS["bridge"], [*RIGHT_WAY, "12 V"])
    assert verdicts(turns) == ["right"] * 11
    assert shape(turns[3]) == ["verdict right potential", "reveal potential", "ask potential"]
    assert "between 1.333 µF, with C5 left out, and 1.5 µF, with it made a wire" in said(turns[5])
    assert "A check to end with" in said(turns[10])
    assert TABLE in said(turns[11])
    assert "Practised: balancing charges at floating points." in said(turns[11])
    assert turns[11].walk.over


def test_whether_a_bridge_is_level_is_asked_before_anything_is_told_of_it() -> None:
    _, asked, wrong, right = converse(TEXTS["bridge"], ["none", "yes", "no"])
    assert "C1/C3 divides the p.d. between A and B, at Q the ratio C2/C4" in said(asked)
    assert "balance" not in said(asked)
    (verdict,) = told(wrong, "verdict")
    assert (verdict.verdict, verdict.malrules) == ("wrong", ("tests-the-wrong-pairs",))
    assert "C1/C3 is 1 µF / 2 µF, and C2/C4 is 2 µF / 1 µF" in said(wrong)
    assert "C1/C3 = 0.5 and C2/C4 = 2, so P and Q are at two different potentials" in said(right)


def test_the_equations_are_solved_step_by_step() -> None:
    _, _, _, first, second, whole, *_ = converse(TEXTS["bridge"], RIGHT_WAY)
    assert told(first, "reveal")[0].text.splitlines() == [
        "In µF and V, with V_A = 12 and V_B = 0:",
        "Balance at P: 4 V_P = 1 × 12 + 2 × 0 + 1 V_Q",
        "Balance at Q: 4 V_Q = 2 × 12 + 1 × 0 + 1 V_P",
        "From the balance at Q: V_Q = 6 + 0.25 V_P",
        "Put into the balance at P: 3.75 V_P = 18, so V_P = 4.8 V",
    ]
    assert told(second, "reveal")[0].text == "V_Q = 6 + 0.25 V_P = 7.2 V"
    assert told(whole, "reveal")[0].text.splitlines() == [
        "Charge at A (C1 and C2): 7.2 µC + 9.6 µC = 16.8 µC",
        "C = Q/V = 16.8 µC / 12 V = 1.4 µF",
    ]


def test_one_floating_point_is_weighted_by_the_capacitances() -> None:
    *_, turn = converse("3 uF -- 7 uF, across 12 V", ["balance at P", "3.6 V"])
    assert "V_P = (3 × 12 + 7 × 0)/(3 + 7) = 3.6 V" in said(turn)


def test_three_floating_points_are_put_in_one_after_the_other() -> None:
    text = (
        "C1 = 1 uF from A to P; C2 = 2 uF from A to Q; C3 = 2 uF from P to R; C4 = 1 uF from Q to "
        "R; C5 = 1 uF from P to Q; C6 = 1 uF from R to B; C7 = 3 uF from Q to B; ends A and B; "
        "across 12 V"
    )
    *_, first = converse(text, ["none", "I don't know", "idk", "idk", "idk"])
    lines = told(first, "reveal")[0].text.splitlines()
    assert [line.partition(":")[0] for line in lines[1:]] == [
        "Balance at P", "Balance at Q", "Balance at R", "From the balance at R",
        "From the balance at Q, with that", "Put into the balance at P",
    ]
    assert max(map(len, lines)) <= 100
    assert "V_Q = " not in lines[-1]


def test_letters() -> None:
    text = JOINS.format("C", "2C", "2C", "C", "C") + "; across V"
    turns = converse(text, ["none", "no", "2V/5", "0.6 V", "7C/5", "3CV/5", "Q2 = 4/5 C V"])
    assert verdicts(turns) == ["right"] * 7
    assert "Put into the balance at P: (15C/4) V_P = (3C/2) V_A, so V_P = 2V/5" in said(turns[3])
    assert "C = Q/V = 7C/5" in said(turns[5])


def test_without_a_supply_a_trial_one_is_taken() -> None:
    turns = converse(BRIDGE, ["none", "no", "0.40 V", "3/5 V", "1.4 uF"])
    assert verdicts(turns) == ["right"] * 5
    assert "Take 1 V between A and B for trial" in said(turns[2])
    assert shape(turns[5])[-1] == "close"
    assert "C = 1.4 µF." in said(turns[5])


def test_a_charge_given_leads_through_a_trial_to_the_real_charges() -> None:
    lines = ["none", "no", "0.40 V", "0.60 V", "1.4 uF", "12 V", *CHARGES, "12 V"]
    turns = converse(f"{BRIDGE}, holding 16.8 uC", lines)
    assert verdicts(turns) == ["right"] * 12
    assert "between A at 12 V and P at 4.8 V" in said(turns[6])
    assert TABLE in said(turns[12])


def test_only_the_charges_that_are_wanted_are_asked() -> None:
    lines = ["none", "no", "4.8", "7.2", "1.4 uF", "2.4 uC"]
    turns = converse(f"{TEXTS['bridge']}; asked: Q5", lines)
    assert "What charge does C5 hold" in said(turns[5])
    assert shape(turns[6])[-1] == "close"


@pytest.mark.parametrize("name", ["C1", "C5"])
def test_one_capacitor_named_alone_is_no_word_for_none(name: str) -> None:
    *_, turn = converse(TEXTS["bridge"], [name])
    assert verdicts([turn]) == ["incomplete"]
    assert shape(turn)[-1] == "ask choice"


@pytest.mark.parametrize(
    "line", ["none", "Nothing.", "neither of them", "by balance of charges", "the potentials",
             "P and Q", "symmetry", "it's a bridge"]
)
def test_seeing_that_nothing_can_be_combined(line: str) -> None:
    *_, turn = converse(TEXTS["bridge"], [line])
    assert shape(turn)[-1] == "ask shares"
    assert verdicts([turn]) == ["right"]


# Equal potentials


@pytest.mark.parametrize("bridge", TEXTS)
@pytest.mark.parametrize("line", ["balanced", "it is balanced", "none, it's a balanced bridge"])
def test_a_bridge_that_is_called_balanced_is_neither_praised_nor_told(
    bridge: str, line: str
) -> None:
    _, heard = converse(TEXTS[bridge], [line])
    assert said(heard).startswith("Whether it is balanced is still to be found out. Here nothing")
    assert "yes or no?" in said(heard)


def test_a_bridge_that_is_called_unbalanced_needs_no_such_word() -> None:
    _, heard = converse(TEXTS["bridge"], ["none, it is not balanced"])
    assert said(heard).startswith("Right. Here nothing more can be combined")


def test_a_balanced_bridge_with_its_joining_capacitor_left_out() -> None:
    turns = converse(TEXTS["balanced"], ["none", "yes", "0", "leave it out", "C1 C3"])
    assert verdicts(turns) == ["right"] * 5
    assert "at P the ratio C1/C3" in said(turns[1]).replace("At", "at")
    assert [c.name for c in turns[4].walk.network.capacitors] == ["C1", "C2", "C3", "C4"]
    assert shape(turns[5]) == ["verdict right choice", "ask shares"]


def test_a_balanced_bridge_with_its_points_made_one() -> None:
    turns = converse(TEXTS["balanced"], ["none", "yes", "0 uC", "one point", "C1 C2"])
    assert verdicts(turns) == ["right"] * 5
    after_it = turns[4].walk.network
    assert {p for c in after_it.capacitors for p in c.points} == {"A", "P", "B"}
    assert shape(turns[5]) == ["verdict right choice", "ask shares"]


@pytest.mark.parametrize("way", ["leave out C5", "one point"])
def test_either_way_ends_with_the_same_table(way: str) -> None:
    turn = converse(TEXTS["balanced"], ["none", "yes", "0", way])[-1]
    turn = to_the_end(turn)
    assert "C1: 6 V, 12 µC, 36 µJ, + plate at A" in said(turn)
    assert "C5: 0 V, 0 µC, 0 µJ" in said(turn)


def test_a_cube_by_its_symmetry() -> None:
    _, stuck, yes, wire = converse(CUBE, ["none", "yes", "0"])
    assert "Exchange P with Q and T with U in the list of joins." in said(stuck)
    assert "are at one potential" not in said(stuck)
    assert "so P, Q and R cannot differ: they are at one potential." in said(yes)
    assert "exchanging P with R and S with U" in said(wire)
    assert shape(wire)[-1] == "ask choice"


def to_the_end(turn: Turn) -> Turn:
    """Say 'I don't know' until the walk is over."""
    for _ in range(200):
        if turn.walk.over:
            return turn
        turn = hear(turn.talk, "I don't know")
    raise AssertionError("the walk has no end")


@pytest.mark.parametrize("text", [CUBE, f"{CUBE}, across 12 V", *TEXTS.values(), BRIDGE])
def test_one_who_does_not_know_is_led_to_the_end(text: str) -> None:
    turn = to_the_end(converse(text, [])[0])
    assert turn.walk.whole is not None
    assert {step.kind for step in turn.walk.steps} & BEYOND


# Reduced first, then stuck, then on


def test_a_network_that_reduces_sticks_and_goes_on() -> None:
    text = TEXTS["bridge"].replace(
        "C3 = 2 uF from P to B", "C3 = 6 uF from P to S; C6 = 3 uF from S to B"
    )
    lines = ["C3 C6", "charge at S", "2 uF", "none", "no", "4.8 V", "7.2 V", "1.4 uF",
             "7.2 uC", "9.6 uC", "9.6 uC", "7.2 uC", "2.4 uC"]
    turns = converse(text, lines)
    assert verdicts(turns) == ["right"] * 13
    assert "What charge does C36 hold" in said(turns[10])
    assert "What charge has the supply moved?" in said(turns[-1])
    for line in ("16.8 uC", "charge", "1.6 V", "3.2 V", "12 V"):
        turns.append(hear(turns[-1].talk, line))
    assert "Now back from C36 to its parts, C3 and C6" in said(turns[-5])
    assert verdicts(turns[-5:]) == ["right"] * 5
    assert "C6: 3.2 V, 9.6 µC, 15.36 µJ, + plate at S" in said(turns[-1])


# Wrong ways


def test_every_rule_is_worked() -> None:
    codes = {case["code"] for case in (*CASES["fact"], *CASES["told"])}
    assert codes == {"J1", "J2", "J3", "J4", "J6", "E11", "E12", "E13"}
    assert {rule.code for rule in FLOATING} == codes - {"E13"} | {"J5"}
    assert set(FLOATING) <= set(CATALOGUE)
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)+", rule.name) for rule in FLOATING)


@pytest.mark.parametrize("case", CASES["fact"], ids=lambda case: case["code"])
def test_rules_on_facts(case: Case) -> None:
    (rule,) = (rule for rule in FLOATING if rule.name == case["name"])
    assert rule.code == case["code"]
    numbers = [*rule.numbers(on_facts(case["facts"], case["right"]))]
    assert Fraction(case["wrong"]) in numbers != [Fraction(case["right"])]


@pytest.mark.parametrize("case", CASES["told"], ids=lambda case: f"{case['code']} {case['text']}")
def test_rules_in_the_dialogue(case: Case) -> None:
    turn = converse(TEXTS.get(case["text"], case["text"]), case["before"])[-1]
    assert verdicts([hear(turn.talk, case["right"])]) == ["right"]
    for wrong in case["wrong"]:
        heard = hear(turn.talk, wrong)
        (verdict,) = told(heard, "verdict")
        assert verdict.verdict == "wrong", wrong
        assert case["name"] in verdict.malrules, (wrong, verdict)
        assert len(verdict.malrules) == 1, verdict.malrules


def test_two_wrong_tries_bring_the_answer_and_the_story_goes_on() -> None:
    *_, once, twice = converse(TEXTS["bridge"], ["none", "no", "6.0 V", "5.5 V"])
    assert "half of what is between the ends" in said(once)
    assert "4.8" not in said(once)
    assert shape(twice) == ["verdict wrong potential", "reveal potential", "ask potential"]


# Help, and what may be asked for in the middle


def test_nothing_is_shown_too_soon() -> None:
    turns = converse(TEXTS["bridge"], ["none", "no", "hint", "idk", "hint", "list", "why", "repeat",
                                       "drawing", "where are we", "show me"])
    for turn in turns[:-1]:
        assert not re.search(r"4\.8 V|7\.2 V|1\.4 µF|16\.8|12/5", said(turn)), said(turn)
    assert "V_P = 4.8 V" in said(turns[-1])
    assert "7.2 V" not in said(turns[-1])


def test_show_me_wants_a_try_first() -> None:
    *_, turn = converse(TEXTS["bridge"], ["none", "no", "show me"])
    assert "First your own idea" in said(turn)


def test_undo_leads_back_out_of_the_story_and_start_again_to_the_start() -> None:
    *_, inside, out = converse(TEXTS["bridge"], ["none", "no", "4.8 V", "undo"])
    assert shape(out) == ["say", "ask potential"]
    out = hear(hear(out.talk, "undo").talk, "undo")
    assert isinstance(inside.talk.in_hand, Telling)
    assert shape(out) == ["say", "ask choice"]
    assert out.talk.open("step") is None
    fresh = hear(inside.talk, "start again")
    assert fresh.talk.open("step") is None
    assert shape(fresh)[-1] == "ask choice"
    assert shape(hear(fresh.talk, "none"))[-1] == "ask shares"


def test_stop_inside_a_story_ends_the_walk() -> None:
    *_, turn = converse(TEXTS["bridge"], ["none", "no", "stop"])
    assert turn.walk.over
    assert shape(turn) == ["close"]
    assert "Stopped after no steps, with five capacitors left." in said(turn)


def test_undo_after_a_story_leads_back_before_it() -> None:
    *_, turn = converse(TEXTS["balanced"], ["none", "yes", "0", "leave out", "undo"])
    assert len(turn.walk.network.capacitors) == 5
    assert shape(turn) == ["say", "ask choice"]


def test_settings_change_the_words_of_a_story_that_is_being_told() -> None:
    turns = converse(TEXTS["bridge"], ["none", "no", "set letters U E", "4,8 V", "set p.d. voltage",
                                       "U_Q = 7.2 V", "fair copy", "what if C1 is doubled"])
    assert "U_P = 4.8 V" in said(turns[4])
    assert "over the voltage between the ends" in said(turns[6])
    assert "Network: C1 from A to P" in said(turns[7])
    assert "Which way do these go" in said(turns[8])
    assert all(turn.messages[-1].kind == "ask" for turn in turns)


def test_a_what_if_may_be_put_while_the_story_is_told() -> None:
    lines = ["balance", "what if C1 is doubled", "C up, Q up, V2 up, Q2 up", "3.6 V"]
    turns = converse("3 uF -- 7 uF, across 12 V", lines)
    assert "Suppose C1 is 6 µF" in said(turns[2])
    assert turns[3].messages[-1].text == turns[1].messages[-1].text
    assert verdicts(turns[3:]) == ["right", "right"]


def test_steps_are_those_of_the_walk() -> None:
    turns = converse(TEXTS["bridge"], ["none", "no", "4.8 V", "7.2 V"])
    assert {m.step for turn in turns[1:] for m in turn.messages if m.step} == {1}


def test_balance_waits_until_what_holds_no_charge_is_left_out() -> None:
    text = "C1 = 4 uF from A to P; C2 = 2 uF from P to B; C3 = 1 uF from P to S; ends A and B"
    turns = converse(text, ["balance", "C3", "0", "balance at P", "2/3 V", "4/3 uF"])
    assert "First leave out what holds no charge" in said(turns[1])
    assert verdicts(turns[2:]) == ["right"] * 5
    assert turns[-1].walk.over


# Words, and any network


@pytest.mark.parametrize("text", [*TEXTS.values(), CUBE, f"{BRIDGE}, holding 16.8 uC"])
@pytest.mark.parametrize("difference", ["p.d.", "voltage"])
def test_words_are_those_of_the_house(text: str, difference: str) -> None:
    terms = Terms()._replace(difference=difference)  # type: ignore[arg-type]
    turn = converse(text, [], terms)[0]
    for _ in range(150):
        for message in turn.messages:
            check(message)
            assert difference == "p.d." or "p.d." not in message.text, message.text
            assert max(map(len, lines_to_read(message)), default=0) <= 100
        if turn.walk.over:
            return
        turn = hear(turn.talk, "I don't know")
    raise AssertionError("the walk has no end")


def lines_to_read(message: Message) -> list[str]:
    """The lines of a story's own working; a shell breaks sentences, and lists."""
    is_working = message.kind == "reveal" or message.text.startswith("Balance")
    return message.text.splitlines() if message.about == "potential" and is_working else []


@settings(deadline=None, max_examples=some(40))
@given(problems(most=9), st.data())
def test_any_walk_told_rightly_goes_to_its_end(problem: object, data: st.DataObject) -> None:
    pen = Pen(data.draw)
    turn = begin(problem)  # type: ignore[arg-type]
    for _ in range(120):
        if turn.walk.over:
            assert turn.walk.whole is not None
            return
        if isinstance(turn.talk.in_hand, Telling):
            line = right_answer(turn.talk)
        elif turn.walk.pending is None and is_stuck_now(turn):
            line = "none"
        else:
            line = answer(pen, turn.talk)
        turn = hear(turn.talk, line)
        assert "wrong" not in verdicts([turn]), (line, said(turn))
    raise AssertionError("the walk has no end")


def is_stuck_now(turn: Turn) -> bool:
    return turn.talk.open("twin") is None and is_stuck(turn.walk)


def test_machines_are_told_that_a_potential_is_asked() -> None:
    turn = begin(problem_of(TEXTS["bridge"]))
    asked = hear(hear(turn.talk, "none").talk, "no").messages[-1]
    assert (asked.kind, asked.about) == ("ask", "potential")


# A star for a triangle, and back


@pytest.mark.parametrize(
    "line", ["star A P Q", "turn A, P and Q into a star", "star of C1, C2 and C5",
             "Turn the triangle A P Q into a star"]
)
def test_ways_to_ask_for_a_star(line: str) -> None:
    *_, turn = converse(TEXTS["bridge"], [line])
    assert shape(turn) == ["verdict right choice", "say", "ask value"]
    assert "C1, C2 and C5 are a triangle between A, P and Q." in said(turn)
    assert "What is C12, the arm from A to R?" in said(turn)


@pytest.mark.parametrize(
    "line", ["delta at P", "triangle for the star at P", "turn C1, C3 and C5 into a triangle"]
)
def test_ways_to_ask_for_a_triangle(line: str) -> None:
    *_, turn = converse(TEXTS["bridge"], [line])
    assert "C1, C3 and C5 are a star between A, Q and B." in said(turn)


@pytest.mark.parametrize("line", ["star", "star A P B", "delta at A", "star P Q", "triangle"])
def test_a_star_that_cannot_be_put_in_is_said_to_be_so(line: str) -> None:
    *_, turn = converse(TEXTS["bridge"], [line])
    assert shape(turn) == ["verdict incomplete choice", "ask choice"]
    assert "like star A P R" in said(turn)


def test_a_bridge_by_a_star_told_rightly() -> None:
    lines = ["star A P Q", "5 uF", "2.5 uF", "C25 = 5", "C15 C3", "charge at P", "10/9 uF",
             "C25 and C4", "charge at Q", "5/6 uF", "C135 C245", "p.d. R B", "35/18 uF",
             "C12 C123455", "charge, R", "1.4 uF", "16.8 uC", "charge", "3.36 V", "8.64 V", "p.d.",
             "9.6 uC", "7.2 uC", "charge", "1.44 V", "7.2 V", "charge", "3.84 V", "4.8 V",
             "7.2 uC", "9.6 uC", "2.4 uC", "12 V"]
    turns = converse(TEXTS["bridge"], lines)
    assert set(verdicts(turns)) == {"right"}
    back = next(turn for turn in turns if "Now back to C1, C2 and C5" in said(turn))
    assert "between A at 12 V and P at 4.8 V" in said(back)
    assert TABLE in said(turns[-1])
    assert "a star in the place of a triangle" in said(turns[-1])
    assert turns[-1].walk.over


@pytest.mark.parametrize("start", ["star A P Q", "star P Q B", "delta at P", "delta at Q"])
@pytest.mark.parametrize(
    "text", [TEXTS["bridge"], BRIDGE, f"{BRIDGE}, holding 16.8 uC",
             JOINS.format("C", "2C", "2C", "C", "C") + "; across V",
             f"{BRIDGE}, across 12 V; asked: Q5"]
)
def test_any_star_or_triangle_leads_to_the_same_end(text: str, start: str) -> None:
    turn = to_the_end(converse(text, [start])[-1])
    table = RESULTS.findall(said(turn))
    assert table == results_straight(text)
    assert table


@cache
def results_straight(text: str) -> list[str]:
    """What stands at the end of a walk that begins with nothing to combine."""
    return RESULTS.findall(said(to_the_end(converse(text, ["none"])[-1])))


@pytest.mark.parametrize(
    ("start", "right", "wrong"),
    [("star A P B", "18 uF", "2.0 uF"), ("delta at P", "2 uF", "18.0 uF")],
)
def test_the_rule_for_resistors_is_named(start: str, right: str, wrong: str) -> None:
    """J5: sides of 6 give arms of 18, not 2; arms of 6 give sides of 2, not 18."""
    sides = "C1 = 6 uF from A to P; C2 = 6 uF from P to B; C3 = 6 uF from A to B; ends A and B"
    arms = ("C1 = 6 uF from A to P; C2 = 6 uF from P to B; C3 = 6 uF from P to Q; "
            "C4 = 3 uF from A to Q; C5 = 2 uF from Q to B; ends A and B")
    turn = converse(sides if start.startswith("star") else arms, [start])[-1]
    heard = hear(turn.talk, wrong)
    assert told(heard, "verdict")[0].malrules == ("star-and-triangle-as-for-resistors",)
    assert verdicts([hear(turn.talk, right)]) == ["right"]


def test_undo_stop_and_start_again_on_a_detour() -> None:
    *_, inside = converse(TEXTS["bridge"], ["star A P Q", "5 uF", "2.5 uF", "5 uF"])
    assert inside.talk.open("detour") is not None
    out = hear(inside.talk, "undo")
    assert out.talk.open("detour") is None
    assert [c.name for c in out.walk.network.capacitors] == ["C1", "C2", "C3", "C4", "C5"]
    stopped = hear(inside.talk, "stop")
    assert stopped.walk.over
    fresh = hear(inside.talk, "start again")
    assert (fresh.talk.open("detour"), fresh.talk.open("exchange")) == (None, None)
    step = hear(inside.talk, "C15 C3")
    assert hear(step.talk, "undo").talk.open("detour") is not None
    assert "Known: C12 = 5 µF" in said(hear(inside.talk, "where are we"))


def test_a_detour_may_stick_and_go_on_too() -> None:
    """A star in a cube leaves a network that sticks again, and is led to its end all the same."""
    six = (
        "C1 = 1 uF from A to P; C2 = 2 uF from A to Q; C3 = 3 uF from A to R; C4 = 4 uF from P to "
        "Q; C5 = 5 uF from Q to R; C6 = 6 uF from R to P; C7 = 1 uF from P to B; C8 = 2 uF from Q "
        "to B; C9 = 4 uF from R to B; ends A and B; across 12 V"
    )
    turn = to_the_end(converse(six, ["star P Q R"])[-1])
    straight = to_the_end(converse(six, ["none"])[-1])
    assert re.findall(r"^C\d: .*$", said(turn), re.MULTILINE) == re.findall(
        r"^C\d: .*$", said(straight), re.MULTILINE
    )


def test_words_on_a_detour_are_those_of_the_house() -> None:
    terms = Terms()._replace(difference="voltage")
    turn = converse(TEXTS["bridge"], ["star A P Q"], terms)[-1]
    for _ in range(150):
        for message in turn.messages:
            check(message)
            assert "p.d." not in message.text
        if turn.walk.over:
            return
        turn = hear(turn.talk, "I don't know")
    raise AssertionError("the walk has no end")


def test_the_walk_at_hand_is_the_one_that_hears_the_next_line() -> None:
    *_, asked_for, inside = converse(TEXTS["bridge"], ["star A P Q", "5 uF", "2.5 uF", "5 uF"])
    assert standing(asked_for.talk) is asked_for.walk
    assert standing(inside.talk) is inside.talk.open("detour")
