"""Amounts in a sentence are given to what they are said of, and each is judged by that."""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.teaching.exchange import begin, hear

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


def test_a_value_and_the_whole_that_follows_from_it_are_two_answers() -> None:
    told = verdicts(BRANCH_AND_ONE, "C1 C2", "charge, P", "16", "3, so the whole thing is 8")
    assert [verdict for _, verdict in told if verdict] == ["right", "right"]


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
