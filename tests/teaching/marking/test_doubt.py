"""The benefit of the doubt: what follows from a pupil's own values is no line to call wrong, by
whatever relation; a wrong rule stays one.
"""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.examining import GENERAL_PRACTICE

CHAIN = "2 nF -- 3 nF, across 5 V"
FOUND = "C1 = 9 uF -- C2 = 18 uF; V1 = 8 V; find V"
RATED = "C1 = 4 uF rated 50 V -- C2 = 10 uF rated 25 V"
FILLED = "C1 = 20 uF, across 10 V; then fill C1 with 3"


def verdicts(problem: str, *lines: str) -> list[str]:
    marked = mark_working(read_network(problem), "\n".join(lines), GENERAL_PRACTICE)
    return [line.verdict for line in marked.lines]


@pytest.mark.parametrize(
    ("problem", "lines", "expected"),
    [
        # the rest of the whole, after a part that was shared out wrongly
        (CHAIN, ("V1 = 2/5 x 5 = 2 V", "V2 = 5 - 2 = 3 V"), ["wrong", "carried"]),
        # a value that no mark is for, under a name of the pupil's own
        (FOUND, ("V2 = 16 V", "V = 8 + 16 = 24 V"), ["unread", "carried"]),
        (FOUND, ("V2 = 16 V", "V = 24 V"), ["unread", "carried"]),
        # the root of a wrong equation
        (
            "C1 = 15 uF -- C2 = ?; C = 6 uF",
            ("6 = 15 + C2", "C2 = 6 - 15 = -9"),
            ["wrong", "carried"],
        ),
        # a wrong choice in words
        (RATED, ("same charge", "C2 first", "Q = 250 uC"), ["right", "wrong", "carried"]),
        (
            FILLED,
            ("Q = 200 uC", "Q stays const", "C = 60 uF", "V = 200/60 = 3.33 V"),
            ["right", "wrong", "right", "carried"],
        ),
    ],
)
def test_what_follows_is_carried(problem: str, lines: tuple[str, ...], expected: list[str]) -> None:
    assert verdicts(problem, *lines) == expected


@pytest.mark.parametrize(
    ("problem", "lines"),
    [
        (CHAIN, ("C = 2 + 3 = 5 nF",)),
        (CHAIN, ("V1 = 2/5 x 5 = 2 V", "V2 = 3/5 x 5 = 3 V")),
        (FOUND, ("V2 = 16 V", "V = 16 - 8 = 8 V")),
        ("C1 = 15 uF -- C2 = ?; C = 6 uF", ("6 = 15 + C2", "C2 = 6 - 15 = -9", "C2 = 9 uF")),
    ],
)
def test_a_wrong_rule_stays_wrong(problem: str, lines: tuple[str, ...]) -> None:
    assert verdicts(problem, *lines)[-1] == "wrong"
