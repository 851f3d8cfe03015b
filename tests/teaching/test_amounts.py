"""Amounts in a sentence are given to what they are said of, and each is judged by that."""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.front.chat.before_problem import open_text
from tutor.front.chat.stages import Chat
from tutor.front.chat.talk import safely
from tutor.teaching.exchange import begin, hear
from tutor.teaching.settings import DEFAULTS, USUAL

BRANCH_AND_ONE = "(4 uF -- 12 uF) || 5 uF, across 10 V"


def verdicts(network: str, *lines: str) -> list[tuple[str, str | None]]:
    """What the last of the lines was told, each message with its verdict."""
    reply = begin(build(read_network(network)))
    for line in lines:
        reply = hear(reply.talk, line)
    return [(m.text, m.verdict) for m in reply.messages if m.kind != "ask"]


@pytest.mark.parametrize(("line", "said"), [
    ("C12 has ten as well, 30 uC, and C3 50", ["V12 = 10 V", "Q12 = 30 µC", "Q3 = 50 µC"]),
    ("so V3 is 10, and 7.5 on the 4 and 2.5 on the 12",
     ["V3 = 10 V", "V1 = 7.5 V", "V2 = 2.5 V"]),
    ("the 5 carries 50 uC and the other branch carries 30 uC", ["Q3 = 50 µC", "Q12 = 30 µC"]),
    ("80 uC total i guess", ["Q = 80 µC"]),
    ("80 for all of it", ["Q = 80 µC"]),
])
def test_later_results_are_taken_from_a_sentence(line: str, said: list[str]) -> None:
    told = verdicts(BRANCH_AND_ONE, "C1 C2, charge at P, 3", line)
    assert [verdict for _, verdict in told if verdict] == ["right"] * len(said)
    assert [text.split(":")[0] for text, verdict in told if verdict] == said


SET_AND_ONE = "(4 uF || 2 uF) -- 3 uF, across 9 V"


@pytest.mark.parametrize(("line", "said"), [
    ("V = 3 and 6", ["V12 = 3 V", "V3 = 6 V"]),
    ("Q = 18 and 18", ["Q12 = 18 µC", "Q3 = 18 µC"]),
    ("V = 3 V, 6 V", ["V12 = 3 V", "V3 = 6 V"]),
])
def test_values_behind_one_letter_are_those_of_the_capacitors_in_hand(
    line: str, said: list[str]
) -> None:
    told = verdicts(SET_AND_ONE, "C1 C2, p.d., A and P, 6 uF", line)
    assert [text.split(":")[0] for text, verdict in told if verdict == "right"] == said


def test_values_behind_one_letter_in_the_wrong_places_are_not_taken() -> None:
    told = verdicts(SET_AND_ONE, "C1 C2, p.d., A and P, 6 uF", "V = 6 and 3")
    assert "right" not in [verdict for _, verdict in told]


def test_what_is_known_and_said_again_is_right_and_not_asked_about() -> None:
    before = ("C1 C2, p.d., A and P, 6 uF", "charge, at P", "C = 2 uF", "18 uC", "charge")
    told = verdicts(SET_AND_ONE, *before, "Q = 18 and 18")
    assert [verdict for _, verdict in told if verdict] == ["right", "right"]


def test_a_value_and_the_whole_that_follows_from_it_are_two_answers() -> None:
    told = verdicts(BRANCH_AND_ONE, "C1 C2", "charge, P", "16", "3, so the whole thing is 8")
    assert [verdict for _, verdict in told if verdict] == ["right", "right"]


def test_values_of_all_parts_answer_what_each_of_them_has() -> None:
    before = ("C1 C2", "p.d., A and P", "6 uF", "C12 C3", "charge, P", "2 uF", "24 uC")
    told = verdicts("(2 uF || 4 uF) -- 3 uF, across 12 V", *before, "8 V on C3 and 4 V on C12")
    assert [verdict for _, verdict in told if verdict] == ["right"] * 2


def test_values_behind_the_one_that_is_asked_are_taken_too() -> None:
    told = verdicts(BRANCH_AND_ONE, "C1 C2", "charge, P", "3 uF; 30 uC on C12 and 50 on the 5")
    assert [verdict for _, verdict in told if verdict] == ["right"] * 3


@pytest.mark.parametrize("line", [
    "C12 has ten as well, 40 uC, and C3 50", "90 uC total i guess", "80 V in total",
    "the 5 carries 30 uC and the other branch carries 50 uC", "7.5 on the 12 and 2.5 on the 4",
    "both the same, 31 because series", "not 80 uC in total", "30 uC each",
])
def test_what_is_not_so_is_never_called_right_in_all(line: str) -> None:
    told = verdicts(BRANCH_AND_ONE, "C1 C2, charge at P, 3", line)
    given = [verdict for _, verdict in told if verdict]
    assert given
    assert any(verdict != "right" for verdict in given)


@pytest.mark.parametrize("line", ["fifty micro", "more than 50"])
def test_a_number_with_more_to_it_is_not_taken_for_the_number(line: str) -> None:
    told = verdicts("20 nF || 30 nF, across 9 V", "C1 C2", "p.d., A and B", line)
    assert all(verdict != "right" for _, verdict in told)


JOINED = "C1 = 6 uF charged to 30 V; C2 = 4 uF; join C1 and C2"


def in_stages(text: str, *lines: str) -> list[tuple[str, str | None]]:
    """What the last of the lines was told in a problem in stages, each message with its verdict."""
    answer = open_text(read_network(text), Chat(DEFAULTS))
    for line in lines:
        answer = safely(answer.chat, line)
    return [(m.text, m.verdict) for m in answer.messages if m.kind != "ask"]


@pytest.mark.parametrize(("line", "rights"), [
    ("so Q1 108 and Q2 72", 2), ("2700 before", 1), ("1620 after, so 1080 uJ gone", 2),
    ("18 V in the end, and 72 uC on C2", 2), ("C1 has 180 and 108 after", 2),
])
def test_values_of_several_stages_are_taken_from_a_sentence(line: str, rights: int) -> None:
    told = in_stages(JOINED, line)
    assert [verdict for _, verdict in told if verdict] == ["right"] * rights


@pytest.mark.parametrize("line", [
    "so Q1 72 and Q2 108", "1620 before", "2700 after", "15 V still", "180 after",
])
def test_values_of_another_stage_are_not_called_right(line: str) -> None:
    told = in_stages(JOINED, "180 uC", "2700", "the charge", line)
    assert all(verdict != "right" for _, verdict in told)


def test_true_values_that_are_not_asked_are_said_to_be_so() -> None:
    told = in_stages(f"{JOINED}; asked: V", "180 uC", "so Q1 108 and Q2 72")
    assert told == [("Q1' = 108 µC, Q2' = 72 µC: true, though that is not asked now.", None)]


def test_a_later_result_beside_a_word_is_taken_with_it() -> None:
    before = ("180 uC", "2700", "the charge", "18 V", "108", "72")
    told = in_stages(JOINED, *before, "lower, 1620 after, so 1080 uJ gone")
    assert [verdict for _, verdict in told if verdict] == ["right"] * 3


def test_a_rated_chain_is_ended_by_its_charge_and_its_end() -> None:
    told = in_stages("6 uF rated 50 V -- 3 uF rated 40 V", "120 uC, so 60 V in all")
    assert [verdict for _, verdict in told if verdict] == ["right"] * 2


def test_a_capacitor_pointed_at_by_its_value_is_no_value() -> None:
    chain = "6 uF rated 50 V -- 3 uF rated 40 V"
    told = in_stages(chain, "charge", "C2", "hmm the 3 then as it has the bigger share")
    assert [verdict for _, verdict in told] == ["unread"]


def test_what_the_text_asks_for_ends_a_problem_in_stages_after_one_reason() -> None:
    answer = open_text(read_network(f"{JOINED}; asked: V"), Chat(USUAL))
    for line in ("18", "the charge"):
        answer = safely(answer.chat, line)
    shown = [m.text for m in answer.messages if m.kind == "reveal"]
    assert [m.verdict for m in answer.messages if m.verdict] == ["right"]
    assert shown[-1] == "V = Q1/(C1 + C2) = 180 µC / (6 µF + 4 µF) = 18 V"
    assert not any(m.kind == "ask" for m in answer.messages)


def test_another_one_is_the_same_network_with_other_values() -> None:
    answer = open_text(read_network("3 uF || 7 uF"), Chat(USUAL))
    for line in ("C1 C2", "p.d., A and B", "10 uF", "give me another one like that"):
        answer = safely(answer.chat, line)
    said = answer.messages[0].text.splitlines()
    assert said[0] == "The same network with other values."
    assert " || " in said[1]
    assert said[1] != "C1 = 3 uF || C2 = 7 uF"
