"""Learners by chance: one always right, one always wrong, one who types anything at all."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sampled import some
from tests.teaching.learner import Notebook, Pen, answer, problems, reducible, rounded
from tests.teaching.talking import (
    LADDER,
    asked,
    capacity,
    oracle_of,
    problem_of,
    read_amount,
    said,
    shape,
    standing,
    told,
)
from tutor.circuit.network import Problem
from tutor.teaching.conversation import Conversation
from tutor.teaching.conversation import Replied as Turn
from tutor.teaching.exchange import begin, hear
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Walk

MOST_LINES = 250


def walk_through(
    problem: Problem, line_for: Callable[[Conversation], str], energy: bool = False
) -> Iterator[tuple[str, Turn]]:
    """Every line of a walk to its end, with the turn that follows it."""
    turn = begin(problem)
    yield "", turn
    if energy and not turn.walk.over:
        turn = hear(turn.talk, "energy")
    for _ in range(MOST_LINES):
        if turn.walk.over:
            return
        line = line_for(turn.talk)
        turn = hear(turn.talk, line)
        yield line, turn
    raise AssertionError("the walk never came to its end")


# Always right


@settings(max_examples=some(50), deadline=None)
@given(problems(), st.data())
def test_right_in_any_form_and_any_order_is_right_all_the_way(
    problem: Problem, data: st.DataObject
) -> None:
    pen = Pen(data.draw)
    energy = pen.chance()
    for line, turn in walk_through(problem, lambda talk: answer(pen, talk), energy):
        verdicts = [m for m in turn.messages if m.kind == "verdict"]
        assert verdicts or not line
        assert {m.verdict for m in verdicts} <= {"right", "incomplete"}, (line, turn.messages)
    assert shape(turn)[-1] == "close"
    if reducible(problem) and turn.walk.steps:
        assert "No step needed a second try." in turn.messages[-1].text


@settings(max_examples=some(50), deadline=None)
@given(problems(supplied=True), st.data())
def test_own_rounded_values_may_be_carried_forward(problem: Problem, data: st.DataObject) -> None:
    pen, notebook = Pen(data.draw), Notebook(problem)

    def line_for(talk: Conversation) -> str:
        walk = standing(talk)
        return notebook.work_out(walk) if asked(walk).quantity else answer(pen, walk)

    for line, turn in walk_through(problem, line_for):
        assert "wrong" not in {m.verdict for m in turn.messages}, (line, turn.messages)


@settings(max_examples=some(30), deadline=None)
@given(problems(supplied=True), st.data())
def test_every_value_said_is_that_of_the_nodal_method(
    problem: Problem, data: st.DataObject
) -> None:
    pen = Pen(data.draw)
    checked = 0
    for _, turn in walk_through(problem, lambda talk: answer(pen, talk)):
        values = oracle_of(turn.walk).values
        by_name = {quantity.name: quantity for quantity in values}
        for message in turn.messages:
            for name, value in values_said(message.text):
                if name in by_name:
                    agree(value, values[by_name[name]])
                    checked += 1
    assert checked or not turn.walk.steps
    if turn.messages[0].kind != "close" and reducible(problem):
        agree_with_table(said(turn), problem, turn.walk)


def values_said(text: str) -> Iterator[tuple[str, tuple[Fraction, Fraction]]]:
    """Name and last amount of every chain of equations, such as C23 = C2 + C3 = 5 µF."""
    for piece in re.split(r"\n|; |, so |\. |: right", text):
        found = re.match(r"(?:Known: )?([CQVEW]\w*'*) [=≈] (?:.* [=≈] )?([^=≈]+)$", piece)
        if found and (amount := read_amount(found[2])) is not None:
            yield found[1], amount


def agree_with_table(text: str, problem: Problem, walk: Walk) -> None:
    values = oracle_of(walk).values
    for c in problem.network.capacitors:
        (row,) = re.findall(rf"^{c.name}: (.*)$", text, re.MULTILINE)
        amounts = [read_amount(piece) for piece in row.split(", ")[:3]]
        for symbol, amount in zip("VQE", amounts, strict=True):
            assert amount is not None
            agree(amount, values[Quantity(symbol, c.name)])  # type: ignore[arg-type]


def agree(amount: tuple[Fraction, Fraction], exact: Fraction) -> None:
    value, half = amount
    assert abs(value - exact) <= half, (value, exact)


# Nothing too soon


@settings(max_examples=some(40), deadline=None)
@given(problems(supplied=True, most=4), st.data())
def test_the_value_in_hand_is_not_said_before_it_is_answered(
    problem: Problem, data: st.DataObject
) -> None:
    pen = Pen(data.draw)
    for _, turn in walk_through(problem, lambda talk: answer(pen, talk), energy=True):
        if turn.walk.over or (quantity := asked(turn.talk).quantity) is None:
            continue
        walk = standing(turn.talk)
        right = oracle_of(walk).values[quantity]
        if right == 0:
            continue
        text = speech_of(walk).amount(right, quantity.dimension)
        known = {speech_of(walk).amount(v, q.dimension) for q, v in walk.known.items()}
        if text in known:
            continue  # another quantity has this very value, and may be spoken of
        wrong = data.draw(wrong_value(right, walk, quantity))
        for message in before_the_answer(turn, wrong):
            assert not re.search(rf"(?<![\d.]){re.escape(text)}(?!\w)", message.text), message.text


def before_the_answer(turn: Turn, wrong: str) -> Iterator[Message]:
    """All that can be heard of a question while it is open: ask, hints, help, a wrong answer."""
    question = asked(turn.talk)
    yield turn.messages[-1]
    for lines in (("hint", wrong, "hint", "hint", "hint"), ("?", "?"), ("where are we", "list")):
        turn_now = turn
        for line in lines:
            turn_now = hear(turn_now.talk, line)
            if turn_now.walk.over or asked(turn_now.talk) != question:
                break  # the last of the ladder shows the step
            yield from turn_now.messages


@settings(max_examples=some(30), deadline=None)
@given(problems(), st.data())
def test_what_is_shared_is_not_said_before_it_is_answered(
    problem: Problem, data: st.DataObject
) -> None:
    pen = Pen(data.draw)
    for _, turn in walk_through(problem, lambda talk: answer(pen, talk)):
        if turn.walk.over or asked(turn.talk).about != "shares":
            continue
        for message in before_the_answer(turn, "7 apples"):
            assert not re.search(r"share (?:one|the) (?:p\.d\.|charge)(?! or)", message.text)
            assert not re.search(r"\b(?:parallel|series)\b", message.text)


# Always wrong


def wrong_value(right: Fraction, walk: Walk, quantity: Quantity) -> st.SearchStrategy[str]:
    """Two figures and more, at least a fifth off, and no power of ten away."""
    power = walk.problem.powers[quantity.dimension]
    unit = speech_of(walk).unit(quantity.dimension)
    factors = st.integers(120, 800).filter(lambda hundredths: abs(hundredths - 100) > 20)
    scaled = (right or Fraction(10) ** power) / Fraction(10) ** power
    return factors.map(lambda hundredths: f"{rounded(scaled * hundredths / 100, 4)} {unit}")


@settings(max_examples=some(40), deadline=None)
@given(problems(supplied=True, most=4), st.data())
def test_wrong_values_are_never_accepted_and_two_bring_the_answer(
    problem: Problem, data: st.DataObject
) -> None:
    pen, tried = Pen(data.draw), set[str]()

    def line_for(talk: Conversation) -> str:
        question, now = asked(talk), standing(talk)
        if question.quantity is None or question.about == "check":
            return answer(pen, talk)
        right = oracle_of(now).values[question.quantity]
        return data.draw(
            wrong_value(right, now, question.quantity).filter(lambda line: line not in tried)
        )

    before: Conversation | None = None
    for line, turn in walk_through(problem, line_for, energy=True):
        if before is not None and asked(before).quantity and asked(before).about != "check":
            is_first = standing(before).tries == 0
            tried = {line} if is_first else tried | {line}
            judge_wrong_turn(before, turn, line, is_first)
        before = None if turn.walk.over else turn.talk
    assert shape(turn)[-1] == "close"


def judge_wrong_turn(before: Conversation, turn: Turn, line: str, is_first: bool) -> None:
    """A first wrong value leaves the question open; a second one ends it with the answer, unless
    a wrong idea was recognised in it and put as a question: then there is one more.
    """
    assert [m.verdict for m in turn.messages if m.kind == "verdict"] == ["wrong"], line
    is_open = not turn.walk.over and asked(turn.talk) == asked(before)
    is_put = standing(before).tries == 1 and bool(told(turn, "verdict")[0].malrules)
    assert is_open == (is_first or (is_put and standing(turn.talk).aside is not None))
    if is_open and is_first:
        again = hear(turn.talk, line)
        assert standing(again.talk).tries == 1
        assert asked(again.talk) == asked(before)
    elif not is_open:
        assert any(message.kind == "reveal" for message in turn.messages)


@settings(max_examples=some(25), deadline=None)
@given(problems(supplied=True, most=4), st.sampled_from([-9, -6, -3, 3, 6, 9]), st.data())
def test_a_slip_of_the_power_of_ten_or_of_the_unit_costs_no_try(
    problem: Problem, shift: int, data: st.DataObject
) -> None:
    pen = Pen(data.draw)
    for _, turn in walk_through(problem, lambda talk: answer(pen, talk)):
        if turn.walk.over or (quantity := asked(turn.talk).quantity) is None:
            continue
        walk = standing(turn.talk)
        right = oracle_of(walk).values[quantity]
        if right == 0:
            continue
        unit = {"C": "F", "V": "V", "Q": "C"}[quantity.symbol]
        number = rounded(right * Fraction(10) ** (shift + 12), 4)
        slipped = hear(turn.talk, f"{number}e-12 {unit}")
        assert "The figures fit; the power of ten does not." in said(slipped)
        other = hear(slipped.talk, f"{number}e-12 {'V' if unit != 'V' else 'F'}")
        if "That is the value of" in said(other):
            continue  # by chance the other unit makes it another value of these
        assert "has another unit" in said(other)
        for after in (slipped, other):
            assert standing(after.talk).tries == 0
            assert asked(after.talk) == asked(turn.talk)
            assert "wrong" in {m.verdict for m in after.messages}


# Anything at all


TOKENS = """
    C1 C2 C23 c1 Q1 V1 E1 W U = ; , . / ( ) [ ] + - -- || * ^ 5 0 1e9 1e-400 2,5 1,200 uF nC V J µ
    ½ 1/0 charge p.d. voltage the and why hint undo show set a b c d A P B not parallel series
    1/C1 =5 == ≈ ∥ ? !
""".split()  # noqa: SIM905 - one token after another reads better


def anything() -> st.SearchStrategy[str]:
    trade = st.lists(st.sampled_from(TOKENS), max_size=12).map(" ".join)
    glued = st.lists(st.sampled_from(TOKENS), max_size=12).map("".join)
    long = st.builds(lambda piece, times: piece * times, st.sampled_from(TOKENS),
                     st.sampled_from([200, 3000]))
    controls = st.text(st.characters(max_codepoint=0x2F), max_size=20)
    return st.one_of(st.text(max_size=40), trade, glued, long, controls)


@settings(max_examples=some(150), deadline=None)
@given(problems(most=5), st.integers(0, 25), st.lists(anything(), min_size=1, max_size=4),
       st.data())
def test_any_line_at_any_question_is_answered(
    problem: Problem, depth: int, lines: list[str], data: st.DataObject
) -> None:
    pen = Pen(data.draw)
    turn = begin(problem)
    for _ in range(depth):
        if not turn.walk.over:
            turn = hear(turn.talk, answer(pen, turn.talk))
    for line in lines:
        was_over = turn.walk.over
        turn = hear(turn.talk, line)
        assert turn.messages, line
        assert turn.messages[-1].kind in ("ask", "close") or was_over, (line, turn.messages)
        assert all(message.text.strip() for message in turn.messages)


@pytest.mark.parametrize("line", ["\x00", "\x1b[2J", "C" * 100_000, "9" * 600, "(" * 400, "\u202e",
                                  "1/0", "C1/0", "0/0 uF", "1e999999999", "−", "½½", "C1\nC2"])
@pytest.mark.parametrize("path", [[], ["C2 C3"], ["C2 C3", "pd P B"], ["C2 C3", "pd"]])
def test_odd_lines_are_answered(path: list[str], line: str) -> None:
    turn = begin(problem_of(LADDER))
    for before in path:
        turn = hear(turn.talk, before)
    turn = hear(turn.talk, line)
    assert shape(turn)[-1].startswith("ask")
    assert capacity(turn) < 4000
