"""A drawing read off point by point."""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.circuit.reduction import reduce
from tutor.front.guided import Reply, begin_guided, respond
from tutor.front.pieces import named_value, supply_clause
from tutor.teaching.speech import Terms

TO_THE_READING_BACK = ("A B", "C1 4 uF", "P", "C2 2 uF to B, C3 3 uF to B", "none", "12 V")


def talk(*lines: str) -> Reply:
    reply = begin_guided(Terms())
    for line in lines:
        reply = respond(reply.guided, line)
    return reply


def asked(reply: Reply) -> str:
    assert reply.messages[-1].kind == "ask"
    return reply.messages[-1].text


def said(reply: Reply) -> str:
    return "\n".join(message.text for message in reply.messages)


def test_point_by_point() -> None:
    assert "two ends" in asked(begin_guided(Terms()))
    assert "finger on A" in asked(talk("A B"))
    assert "other end of C1" in asked(talk("A B", "C1 4 uF"))
    assert asked(talk("A B", "C1 4 uF", "P")) == "At P there is C1. What else ends there, or none?"
    assert "joined to A and B" in asked(talk(*TO_THE_READING_BACK[:-1]))


def test_it_is_read_back_in_words_and_with_its_network() -> None:
    reply = talk(*TO_THE_READING_BACK)
    assert "C2, 2 µF, from P to B" in said(reply)
    drawn = reply.messages[0].drawn
    assert drawn is not None
    network = drawn.network
    assert [c.name for c in network.capacitors] == ["C1", "C2", "C3"]
    assert "Is that your drawing?" in asked(reply)
    assert reply.text is None


def test_yes_gives_the_list_of_joins() -> None:
    text = talk(*TO_THE_READING_BACK, "yes").text
    assert text is not None
    problem = build(read_network(text))
    whole = reduce(problem.network).equivalent
    assert whole is not None
    assert (whole.value * 10**6).limit_denominator(100) == pytest.approx(20 / 9)  # 4 with 2 + 3
    assert problem.supply is not None
    assert problem.supply.value == 12


def test_a_new_point_gets_a_letter() -> None:
    reply = talk("A B", "C1 4 uF", "new")
    assert "called P" in said(reply)
    assert reply.guided.pieces[0].end == "P"


def test_a_capacitor_without_a_name_gets_one() -> None:
    reply = talk("A B", "4 uF to B; C3 1 uF to B; 2,5 uF to B")
    names = [piece.name for piece in reply.guided.pieces]
    assert names == ["C1", "C3", "C2"]


def test_wires_are_taken_in() -> None:
    reply = talk("A B", "C1 4 uF to P", "wire to R", "C2 2 uF to B", "none", "none")
    assert "A wire joins P and R" in said(reply)


def test_one_answer_is_taken_back_at_a_time() -> None:
    assert "other end of C1" in asked(talk("A B", "C1 4 uF", "P", "back"))
    assert "finger on A" in asked(talk("A B", "C1 4 uF", "P", "back", "back"))
    assert "two ends" in asked(talk("A B", "back"))
    assert "nothing to take back" in said(talk("back"))


@pytest.mark.parametrize(
    ("line", "lines"),
    [
        ("C3 5 uF", ["C3 = 5 uF from P to B"]),
        ("C3 5 uF A P", ["C3 = 5 uF from A to P"]),
        ("remove C3", []),
    ],
)
def test_a_wrong_line_is_put_right(line: str, lines: list[str]) -> None:
    text = talk(*TO_THE_READING_BACK, line, "yes").text
    assert text is not None
    others = ["C1 = 4 uF from A to P", "C2 = 2 uF from P to B"]
    assert text.split("; ") == [*others, *lines, "ends A and B", "across 12 V"]


def test_a_wrong_line_is_named_and_typed_again() -> None:
    named = talk(*TO_THE_READING_BACK, "C2")
    assert "Type C2 again" in asked(named)
    retyped = respond(named.guided, "C2 6 uF A B")
    assert "C2 = 6 uF from A to B" in (respond(retyped.guided, "yes").text or "")


def test_a_missing_line_is_added() -> None:
    reply = talk(*TO_THE_READING_BACK, "C9 1 uF A B", "wire P R", "yes")
    assert "C9 = 1 uF from A to B; wire from P to R" in (reply.text or "")
    gone = talk(*TO_THE_READING_BACK, "wire P R", "remove wire R P", "yes")
    assert "wire" not in (gone.text or "wire")


def test_the_supply_is_put_right() -> None:
    assert (talk(*TO_THE_READING_BACK, "24 uC", "yes").text or "").endswith("holding 24 uC")


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (("A A",), "Two different names"),
        (("A to",), "word of the notation"),
        (("A B", "C1 4 uV"), "p.d."),
        (("A B", "C1"), "no value"),
        (("A B", "C1 4 uF to A"), "Both points are A"),
        (("A B", "C1 4 uF to P, C1 2 uF to P"), "in the list already"),
        (("A B", "C1 4 uF", "P Q"), "One point is needed"),
        ((*TO_THE_READING_BACK, "remove C8"), "no C8"),
        ((*TO_THE_READING_BACK, "C8 3 uF"), "no points yet"),
        ((*TO_THE_READING_BACK[:-1], "12 uF"), "p.d."),
    ],
)
def test_what_cannot_be_is_refused_and_asked_again(lines: tuple[str, ...], told: str) -> None:
    reply = talk(*lines)
    assert told in said(reply)
    assert asked(reply)
    before = talk(*lines[:-1])
    assert reply.guided == before.guided


def test_a_drawing_whose_ends_do_not_meet_is_shown_and_can_be_mended() -> None:
    reply = talk("A B", "C1 4 uF to P", "none", "C2 3 uF to R", "none", "none")
    assert "No line of capacitors leads from A to B" in said(reply)
    assert respond(reply.guided, "yes").text is None
    mended = respond(reply.guided, "C3 1 uF P B")
    assert respond(mended.guided, "yes").text is not None


def test_pieces_are_read() -> None:
    assert named_value("C1 = 4,7 nF") == ("C1", "4,7 nF")
    assert named_value("4u7") == ("", "4u7")
    assert supply_clause("across 12 V.") == "across 12 V"
    assert supply_clause("24 uC") == "holding 24 uC"


@pytest.mark.parametrize("line", [
    "C1 4 uF P, wire Q", "C1 4 uF A P, a wire to Q", "C1 4 uF from A to P, wire A Q",
])
def test_the_other_end_may_stand_beside_the_value(line: str) -> None:
    pieces = talk("A B", line).guided.pieces
    assert [(each.start, each.end) for each in pieces] == [("A", "P"), ("A", "Q")]


def test_a_value_is_no_pair_of_ends() -> None:
    reply = talk("4 uF")
    assert not reply.guided.ends
    assert "That is a value" in said(reply)


def test_several_lines_pasted_at_once_are_taken_one_by_one() -> None:
    assert talk("A B\nC1 4 uF").guided == talk("A B", "C1 4 uF").guided
    assert talk("\n".join((*TO_THE_READING_BACK, "yes"))).text == talk(
        *TO_THE_READING_BACK, "yes"
    ).text


def test_of_pasted_lines_those_after_one_that_is_refused_wait() -> None:
    reply = talk("A B\nC1 4 uX\nP\n12 V")
    assert reply.guided == talk("A B").guided
    assert "The lines after 'C1 4 uX' were not taken." in said(reply)
    assert "finger on A" in asked(reply)


def test_who_does_not_know_is_told_where_to_look() -> None:
    at = [("A B",), ("C1 7 uF",), ("P",), ("C2 3 uF to B",), ("none",), ("none",)]
    lines: tuple[str, ...] = ()
    for each in (("",), *at):
        lines = (*lines, *(line for line in each if line))
        before = talk(*lines)
        after = respond(before.guided, "I don't know")
        assert after.guided == before.guided
        assert len(after.messages) == 2
        assert asked(after) == asked(before)
