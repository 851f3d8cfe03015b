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
BRIDGE = (
    "C1 = 2 uF from A to P; C2 = 3 uF from P to B; C3 = 1 uF from P to Q; "
    "C4 = 4 uF from A to Q; C5 = 2 uF from Q to B; ends A and B; across 10 V"
)
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
        # what a wrong way, left unfinished on the line before, comes to
        (
            "20 uF, across 50 V; find energy",
            ("E = 0.5 x 20e-6 x 50", "E = 5e-4 J"),
            ["wrong", "carried"],
        ),
        # a sum of energies each of which lacks its half
        (
            "3 uF || 7 uF, across 20 V; find E1, E2, E",
            ("E1 = 3 x 400 = 1200 uJ", "E2 = 7 x 400 = 2800 uJ", "E = E1 + E2 = 4000 uJ"),
            ["wrong", "wrong", "carried"],
        ),
        # a p.d. that stays as it was given, where it is asked for anew
        (
            "10 uF, across 30 V; then remove supply; then fill C1 with 3",
            ("Q = 300 uC", "C' = 30 uF", "V' = 30 V", "E' = 1/2 x 30 x 30^2 = 13.5 mJ"),
            ["right", "right", "wrong", "carried"],
        ),
        # the energies of two states by numbers, and what their change is taken to mean
        (
            "300 pF, across 40 V; then remove supply; then double the gap of C1",
            (
                "E1 = 240 nJ",
                "C = 150 pF",
                "V = 80 V",
                "E2 = 0.5 x 150 pF x 80 = 6 nJ",
                "234 nJ lost",
            ),
            ["right", "right", "right", "wrong", "carried"],
        ),
        # the wrong charge of two in a row, rightly said to be that of each
        (
            "(3 uF -- 6 uF) || 5 uF, across 10 V; asked: Q1",
            ("Q = 7 x 10 = 70 uC", "Q12 = Q = 70 uC", "Q1 = Q12 = 70 uC"),
            ["right", "wrong", "carried"],
        ),
        # an equation multiplied out wrongly, and what is made of it
        (
            "ladder of (series 6 uF, shunt 4 uF) without end",
            ("C = 6(4 + C)/(10 + C)", "10C + C^2 = 24 + 4C", "C^2 + 6C - 24 = 0", "C = 2.74 uF"),
            ["right", "wrong", "carried", "carried"],
        ),
        # two equations of which one slipped, in letters or in those of the points, solved rightly
        (
            BRIDGE,
            (
                "2(10-x) = 3x + (y-x)",
                "4(10-y) = 2y + (y-x)",
                "20 = 4x + y, 40 = 7y - x",
                "x = 3.45 V, y = 6.21 V",
            ),
            ["unread", "right", "right", "carried"],
        ),
        (
            BRIDGE,
            ("2(10-P) = 3P - (P-Q)", "4(10-Q) + (P-Q) = 2Q", "Q = 6.21 V, P = 3.45 V"),
            ["wrong", "right", "carried"],
        ),
        # by one's own potentials, and in the network in which a capacitor is short-circuited
        (BRIDGE, ("VP = 4 V", "VQ = 7 V", "|VP - VQ| = 3 V"), ["right", "wrong", "carried"]),
        (
            "4 uF || (5 uF -- 10 uF), across 6 V",
            ("C = 4 + 5 = 9 uF", "Q = 54 uC", "V2 = 6 V"),
            ["wrong", "carried", "carried"],
        ),
        # letters by which a pupil calls the capacitors, and a letter for what is asked
        (
            "5 uF -- 20 uF, across 10 V; asked: Q1, V1, V2",
            ("a = 5, b = 20", "qa = 40 uC", "va = 8 V, vb = 2 V"),
            ["right", "right", "right"],
        ),
        (
            "(3 uF || 5 uF) -- 2 uF, across 10 V; asked: V3",
            ("8(10 - x) = 2x", "80 = 10x", "x = 8 V"),
            ["right", "right", "right"],
        ),
        # points in small letters, of which one means pico behind a number and one a charge
        (
            BRIDGE,
            ("2(10-p) = 3p + (q-p)", "4(10-q)+p-q=2q", "20 = 4p + q", "p = 3.45, q = 6.21"),
            ["wrong", "right", "right", "carried"],
        ),
        # an equation is no value that was worked out, and a sum is of values of its kind
        (
            "ladder of (series 4 uF, shunt 8 uF) without end",
            ("x = 4 + 8x/(8+x)", "x^2 - 4x - 32 = 0", "x = 8"),
            ["wrong", "carried", "carried"],
        ),
        (
            "(2 uF || 4 uF) -- 3 uF, across 9 V; asked: Q",
            ("2||4: 8/6 = 1.33", "1.33 + 3 = 4.33", "Q = 4.33*9 = 39"),
            ["wrong", "wrong", "carried"],
        ),
        # what is left of the whole after a value that is the other one's, in numbers and letters
        (CHAIN, ("V1 = 2 V", "V2 = 3 V"), ["wrong", "carried"]),
        ("C -- 4C, across V; asked: V2", ("V2 = 4V/5", "V1 = V/5"), ["wrong", "carried"]),
        # a name that ends as that of a capacitance before it, or as a parallel set is called
        (
            "10 uF -- (3 uF || 7 uF), across 20 V; asked: V2",
            ("Cp = 10 uF", "Vp = 20*3/10 = 6 V", "V2 = Vp = 6 V"),
            ["right", "wrong", "carried"],
        ),
        (
            "4 uF -- (5 uF || 7 uF), across 20 V; asked: V2",
            ("Vp = 20*12/16 = 15 V", "V3 = V2 = Vp = 15 V"),
            ["wrong", "carried"],
        ),
        # the energy taken for what is kept, and the equation that this is
        (
            "C1 = 3 uF charged to 40 V; C2 = 9 uF; join C1 and C2; asked: V",
            ("energy stays the same", "2400 = 0.5*12*V^2", "V = 20 V"),
            ["wrong", "carried", "carried"],
        ),
        # the square of what is sought from a relation turned round wrongly, in SI units
        (
            "40 uF; E = 0.8 J; find Q",
            ("Q² = EC = 0.8·40e-6 = 3.2e-5", "Q = 5.66e-3 C"),
            ["wrong", "carried"],
        ),
        # the charge of one for that of both, under the name of what it is taken for
        (
            "12 uF -- 4 uF, across 20 V; then remove supply; then join C1 and C2; asked: V",
            ("Q1 = Q2 = 60 uC", "total charge after joining 60 uC", "V = 60/16 = 3.75 V"),
            ["right", "wrong", "carried"],
        ),
        # a ratio of three set up wrongly, and the parts that it makes of the whole
        (
            "4 uF -- 6 uF -- 12 uF, across 33 V; asked: V1, V2, V3",
            ("V1:V2:V3 = 4:6:12", "V1 = 6 V, V2 = 9 V, V3 = 18 V"),
            ["wrong", "carried"],
        ),
        # a given value in another prefix, and a root that is worked out with it
        (
            "25 uF; E = 0.18 J; find V",
            ("25 uF = 0.025 F", "V = sqrt(2 x 0.18 / 0.025) = 3.79 V"),
            ["wrong", "carried"],
        ),
        # a charge after the joining, which is asked of the other one alone
        (
            "C1 = 2 uF charged to 30 V; C2 = 4 uF charged to 15 V; join C1 and C2; asked: V, Q1",
            ("V = (30+15)/2 = 22.5 V", "Q1 = 45 uC", "Q2 = 90 uC"),
            ["wrong", "carried", "unread"],
        ),
    ],
)
def test_what_follows_is_carried(problem: str, lines: tuple[str, ...], expected: list[str]) -> None:
    assert verdicts(problem, *lines) == expected


@pytest.mark.parametrize(
    ("problem", "lines"),
    [
        (CHAIN, ("C = 2 + 3 = 5 nF",)),
        (CHAIN, ("V1 = 2 V", "V2 = 4 V")),
        # the same wrong rule once more, which leaves what the first value does
        (CHAIN, ("V1 = 2/5 x 5 = 2 V", "V2 = 3/5 x 5 = 3 V")),
        (
            "4 uF -- 12 uF, across 16 V",
            ("on C1: 4/(4+12) x 16 = 4 V", "voltage on C2: 12/(4+12) x 16 = 12 V"),
        ),
        # and for the same value
        (CHAIN, ("C = 2 + 3 = 5 nF", "Q = 5 x 5 = 25 nC", "C total = 3 + 2 = 5 nF")),
        (FOUND, ("V2 = 16 V", "V = 16 - 8 = 8 V")),
        ("C1 = 15 uF -- C2 = ?; C = 6 uF", ("6 = 15 + C2", "C2 = 6 - 15 = -9", "C2 = 9 uF")),
        (BRIDGE, ("2(10-P) = 3P - (P-Q)", "4(10-Q) + (P-Q) = 2Q", "P = 5.2 V")),
    ],
)
def test_a_wrong_rule_stays_wrong(problem: str, lines: tuple[str, ...]) -> None:
    assert verdicts(problem, *lines)[-1] == "wrong"


@pytest.mark.parametrize(
    ("problem", "lines", "lost"),
    [
        # a wrong value without a name, which a name is given on the next line
        (
            "3 uF -- (16 uF || 4 uF), holding 160 uC; asked: V2",
            ("20/160 = 0.125 V", "V2 = 0.125 V"),
            2,
        ),
        # one that no mark is for costs the accuracy of what rests on it, once
        (
            "C1 = 4 uF charged to 60 V; C2 = 24 uF; join C1 and C2; asked: E",
            (
                "Ctot = 4 + 42 = 46 uF",
                "Q1 = 240 uC",
                "V = 240/46 = 5.22 V",
                "E = 0.5 x 46 x 5.22^2 = 627 uJ",
            ),
            1,
        ),
    ],
)
def test_a_slip_costs_its_mark_once(problem: str, lines: tuple[str, ...], lost: int) -> None:
    found = mark_working(read_network(problem), "\n".join(lines), GENERAL_PRACTICE)
    assert sum(each.of - each.got for each in found.credits if each.lines) == lost
    assert "right" not in verdicts(problem, *lines)[-1:]


@pytest.mark.parametrize(
    ("problem", "line"),
    [
        # both roots, of which one is below nought
        ("ladder of (series 6 uF, shunt 3 uF) without end", "x^2 + 3x - 18 = 0, x = -6 or 3"),
        ("ladder of (series 6 uF, shunt 3 uF) without end", "x^2 + 3x - 18 = 0, x1 = 3, x2 = -6"),
        # markings as the trade writes them, with a prefix alone beside them; rounded, in SI units
        ("4.7 uF || 3.3 uF", "4u7 + 3u3 = 8u"),
        ("8 uF -- 12 uF", "8u0 in series w/ 12u: 96/20 = 4u8"),
        ("33 uF; E = 0.25 J; find V", "V^2 = 0.5/33e-6 = 15150"),
        ("20 uF; E = 0.9 J; find Q", "Q^2 = 2EC = 2*0.9*20e-6 = 3.6e-5"),
        # the sign of a difference for a p.d., and a letter behind a unit that is no factor
        ("5 uF -- 20 uF, across 30 V; asked: V1", "ΔV1 = 24 V (A)"),
        # before and after a change
        ("20 pF, across 30 V; then remove supply; then fill C1 with 2", "E = 9 nJ -> 4.5 nJ"),
        ("20 pF, across 30 V; then remove supply; then fill C1 with 2", "E halves, 9 nJ -> 4.5 nJ"),
        # C is first of one branch: one over it stands just before
        (
            "(4 uF -- 12 uF) || (6 uF -- 3 uF), across 9 V; asked: C",
            "branch 1: 1/C = 1/4 + 1/12 = 4/12 -> C = 3 uF",
        ),
        # the charge is conserved, and nothing is said of the energy
        (
            "C1 = 4 uF charged to 20 V; C2 = 8 uF charged to 10 V; join C1 and C2",
            "Q = 80 + 80 = 160 uC (conserved)",
        ),
        # a clause with a value of another kind, a colon for division, a share in words, a comma
        # that may part thousands, a value of before in a table, a sign that goes on
        ("6 uF || 5 uF, across 30 V; asked: Q2", "Q2 = 150 uC would need 150/5 = 30 V"),
        ("60 pF -- 20 pF, across 8 V; asked: V1", "U1 = 1,2e-10 C : 6e-11 F = 2 V"),
        ("60 pF -- 20 pF, across 8 V; asked: V1", "V = Q : C = 120 pC : 60 pF = 2 V"),
        ("5 uF -- 45 uF, across 20 V; asked: V2", "5 : 45 = 1 : 9, the 45 gets one tenth of 20 V"),
        ("11 uF || 12 uF, across 50 V; asked: Q", "Q = 23 uF * 50 V = 1,150 uC"),
        ("11 uF || 12 uF, across 50 V; asked: Q", "Q = 23 uF * 50 V = 1,150 mC"),
        ("C1 = 8 uF charged to 5 V; C2 = 2 uF; join C1 and C2", "before | 8 uF: 5 V, 40 uC"),
        # the size of a difference, and a letter below the line of a fraction
        (BRIDGE, "|VP - VQ| = 1.95 V"),
        ("C -- 4C", "1/Ct = 1/C + 1/4C = 5/4C"),
        ("three 30 nF in parallel, across 4 V; asked: Q", "30n*3=90nF,x4V=360nC"),
        # names on all sides, ratios beside values, two values run on, a part in per cent, and
        # words or a sign that say how it goes
        ("4 uF -- 12 uF, across 8 V; asked: Q", "4V1 = 12V2 = Q"),
        ("4 uF -- 12 uF, across 8 V; asked: V1", "75% of 8 V = 6 V"),
        ("(3 uF || 5 uF) -- 4 uF, across 6 V; asked: V1", "C12=8, 8:4, volts 1:2, 2 V on the pair"),
        ("3C -- (C || 5C), across V; asked: V1", "V1 : V23 = 6C : 3C = 2 : 1"),
        ("20 nF || 30 nF, across 6 V; asked: Q1, Q2", "q1=120n q2=180n"),
        (
            "3 uF, across 10 V; then remove supply; then fill C1 with 5; asked: E",
            "E ~ 1/C => 150/5 = 30 uJ",
        ),
        # a p.d. before the change, where the same name is given after it
        (
            "C1 = 4 uF -- (C2 = 1 uF || C3 = 3 uF), across 10 V; then wire from P to B",
            "V1 = V23 = 5 V",
        ),
    ],
)
def test_a_right_line_is_not_called_wrong(problem: str, line: str) -> None:
    assert verdicts(problem, line) == ["right"]


@pytest.mark.parametrize(
    ("problem", "line", "earned"),
    [
        # U for an energy, where U is given as a p.d.: two marks for E, two that lead there
        ("C1 = plates 50 cm2 gap 1 mm, across 200 V", "U = 885 nJ", 8),
        # a value and, in an equation, its reason
        ("C1 = 5 uF || C2 = ?; C = 12 uF", "7 uF because 5 + 7 = 12", 3),
        # arrows between before and after, and between a charge and what follows from it
        (
            "4 uF, across 10 V; then fill C1 with 5",
            "C 4 -> 20uF, Q 40 -> 200uC, E 200 -> 1000uJ",
            12,
        ),
        ("2 uF || 6 uF, across 5 V; asked: Q, C", "Total = 40uC → 8uF", 4),
        # counts in a row behind a value
        (
            "bank of 4 uF rated 50 V for 8 uF at 150 V",
            "need 3 in series, this gives 1.33 uF, for 8 uF 6 such chains, together 18 capacitors",
            8,
        ),
        ("bank of 4 uF rated 50 V for 8 uF at 150 V", "6 rows are enough", 6),
        (
            "3 uF, across 10 V; then remove supply; then fill C1 with 5; asked: E",
            "E /5: 150/5 = 30 uJ",
            10,
        ),
        # a check after the value leaves the value there
        ("2 uF || 6 uF, across 10 V; find E", "E = 0.5*8*100 = 400 uJ = 100 + 300", 4),
        # a wrong relation in names earns nothing, however often it is used
        ("12 uF || 8 uF, across 4 V; asked: Q1", "Q = C/V, so Q1 = 12/4 = 3 uC", 0),
        ("20 uF; E = 0.9 J; find V", "E = CV^2; V = 212 V", 0),
        # one mark for one relation of a missing value
        ("C1 = 10 uF -- C2 = ?; C = 6 uF", "1/C = 1/C1 + 1/C2", 2),
    ],
)
def test_a_value_is_known_for_what_it_is(problem: str, line: str, earned: int) -> None:
    assert mark_working(read_network(problem), line, GENERAL_PRACTICE).total == earned


def test_a_value_below_nought_is_related_by_sums_alone() -> None:
    """A script of another problem: what remains of its charges is below nought; nothing fails."""
    lines = (
        "Q1 = 120 uC", "Q2 = 80 uC", "Q = 120 - 80 = 40 uC", "V = 40/8 = 5 V",
        "Q1 = 6 x 5 = 30 uC", "Q2 = 2 x 5 = 10 uC", "Before: E = 2800 uJ",
    )
    assert verdicts("4 uF -- (10 uF || 2 uF), across 18 V", *lines)[-1] == "wrong"
