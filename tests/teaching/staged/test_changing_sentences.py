"""What stories of changes say is true of the network as it is now, each fault once met held off."""

from __future__ import annotations

import re

import pytest

from tests.teaching.staged.manners import at, story, typed, verdict
from tutor.teaching.exchange import hear
from tutor.teaching.staged.story import Ask, Telling
from tutor.teaching.staged.telling import hint

JOINED = "C1 = 3 uF charged to 10 V; C2 = 7 uF charged to 20 V; join C1 and C2 crossed"


def asks(text: str, key: str) -> list[Ask]:
    return [ask for ask in story(text).asks if ask.key == key]


@pytest.mark.parametrize(("chain", "filled", "reason"), [
    ("4 uF -- 12 uF", "C1", "Only C1 has a plate at A now"),
    ("4 uF -- 12 uF -- 3 uF", "C2", "Between P and R no way leads round C2"),
    ("4 uF -- (12 uF || 3 uF)", "C2", "Only C2 and C3 have plates at B now"),
])
def test_a_fixed_charge_is_told_by_the_metal_that_is_cut_off(
    chain: str, filled: str, reason: str
) -> None:
    text = f"{chain}, across 20 V; then remove supply; then fill {filled} with 3"
    fixed = asks(text, "held")[-1]
    assert reason in fixed.because
    assert "supply" not in fixed.because
    assert any(reason[1:] in option.reply for option in fixed.options)


def test_plates_that_stand_apart_are_told_as_such() -> None:
    fixed = asks("C1 = 3 uF charged to 10 V; then fill C1 with 2", "held")[-1]
    assert "Only C1 has a plate at A now" in fixed.because
    fixed = asks("C1 = 3 uF charged to 9 V; C2 = 2 uF; join C1 and C2; then fill C2 with 3",
                 "held")[-1]
    assert "Nothing else touches the + plate of C1 and the + plate of C2" in fixed.because


def test_a_new_supply_sets_the_pd_and_does_not_hold_it_as_it_was() -> None:
    held = asks("4 uF, across 10 V; then put 25 V across; then fill C1 with 2", "held")
    assert [ask.reveal.partition(".d.")[0] for ask in held] == [
        "The supply sets the p", "The supply sets the p", "The p"
    ]


def test_charges_that_cancel_wholly_are_not_told_to_cancel_partly() -> None:
    (wholly,) = asks("C1 = 3 uF charged to 14 V; C2 = 7 uF charged to 6 V; join C1 and C2 crossed",
                     "joint charge")
    assert wholly.because == (
        "Equal charges of unlike signs have come together there, so they cancel."
    )
    (partly,) = asks(JOINED, "joint charge")
    assert "partly cancel" in partly.because


def test_a_value_after_a_change_has_a_prime_and_is_read_with_it_or_without() -> None:
    found = story(JOINED)
    shares = [ask for ask in found.asks if ask.key == "share of charge"]
    assert shares[0].reveal.startswith("Q1' = C1 × V = 3 µF × 11 V")
    (energy,) = [ask for ask in found.asks if ask.key == "energy after"]
    assert energy.reveal.startswith("E' = ½ × Q1' × V1' + ½ × Q2' × V2' = ")
    assert any("(V1 + V2)²" in line for line in found.closing)  # those before the joining
    for line in ("Q1' = 33 uC", "Q1 = 33 uC", "Q1' = Q1 + 3 uC", "3*11 uC"):
        assert verdict(hear(at(found, "share of charge").talk, line)).verdict == "right", line
    text = "4 uF, across 10 V; then put 25 V across; then put 30 V across"
    assert [a.reveal.partition(" = 4")[0] for a in asks(text, "held p.d.")] == [
        "Q = C1 × V", "Q' = C1 × V'", "Q'' = C1 × V''"
    ]


def test_what_is_meant_by_e_is_said_only_where_the_questions_do_not_say_it() -> None:
    meant = "E is the energy of all capacitors together, those that are taken out included."
    out = "C1 = 4 uF charged to 30 V; C2 = 6 uF; join C1 and C2; then take out C1"
    assert meant in story(out).opening
    assert not any("energy of all" in line for line in story(f"{out}; asked: Q2").opening)
    assert not any("energy of all" in line for line in story(JOINED).opening)


def test_a_question_without_hints_does_not_speak_of_a_last_one() -> None:
    found = story(JOINED)
    bare = found._replace(asks=(found.asks[0]._replace(hints=()), *found.asks[1:]))
    assert "There is no hint" in hint(Telling(bare)).messages[0].text
    used = Telling(found, rung=len(found.asks[0].hints))
    assert "last hint" in hint(used).messages[0].text


def test_no_prime_without_a_change() -> None:
    found = story("C1 = 3 uF -- C2 = 6 uF, across 9 V; then remove supply")
    assert not any("'" in ask.reveal for ask in found.asks)
    assert not any("prime" in line for line in found.opening)


def test_the_final_polarity_is_told() -> None:
    (end,) = [line for line in story(JOINED).closing if line.startswith("At the end")]
    assert "C1 33 µC at 11 V, + plate where − was; C2 77 µC at 11 V, + plate as at first" in end
    (end,) = [line for line in story("4 uF -- 12 uF, across 20 V; then fill C1 with 3").closing
              if line.startswith("At the end")]
    assert end.count("+ plate at") == 2


def test_energy_that_left_has_left_as_heat_and_radiation() -> None:
    found = story(JOINED)
    said = " ".join([*found.closing, *(a.text + a.reveal + a.because for a in found.asks)])
    assert "heat and radiation" in said
    assert not re.search(r"warmed the wires|heat in the wires|Nothing else takes energy", said)
    assert "Energy: 1550 µJ at first − 945 µJ as heat and radiation = 605 µJ, stored now." in said


def test_less_work_puts_a_charge_there() -> None:
    text = "5 uF, across 12 V; then remove supply; then fill C1 with 4"
    (change,) = asks(text, "energy change")
    assert "it takes less work to put it there" in change.because


def test_one_charged_capacitor_is_not_gone_through_one_by_one() -> None:
    alone = asks("C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2", "stored energy")[0]
    assert alone.hints[0].startswith("Look at C1 alone: which charge does it hold")


@pytest.mark.parametrize(("filled", "relation"), [
    ("5 uF, across 12 V; then fill C1 with 4; then gap of C1 doubled",
     "The layer of air that comes in would be 5 µF by itself: 1/C1 = 1/(20 µF) + 1/(5 µF), so C1 "
     "= 4 µF"),
    ("C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5, across 9 V; then gap of C1 doubled",
     "The layer of air that comes in would be 88.54 pF by itself"),
])
def test_what_fills_a_wider_gap_is_said(filled: str, relation: str) -> None:
    found = story(filled)
    (gap,) = [ask for ask in found.asks if ask.key == "gap"]
    assert relation in gap.reveal
    assert "are a chain" in gap.because
    assert any("the filling keeps its thickness, and air takes the rest" in ask.text
               for ask in found.asks)
    assert verdict(hear(at(found, "gap").talk, typed(gap))).verdict == "right"


@pytest.mark.parametrize(("area", "first", "then"), [(100, 2, 6), (37, 6, 2), (250, 1, 7)])
def test_work_on_plates_is_told_as_force_times_way_too(area: int, first: int, then: int) -> None:
    """F = Q²/(2 ε0 A), whatever the gap: the work by it is what the two energies differ by."""
    text = f"plates {area} cm2 gap {first} mm, across 500 V"
    (went,) = asks(f"{text}; then remove supply; then gap of C1 {then} mm", "energy went")
    told = re.search(r"≈ (\S+) (\wN); over (\d) mm that is (\S+) ([nµ])J", went.because)
    assert told is not None
    size = {"m": 1e-3, "µ": 1e-6, "n": 1e-9}
    newtons = float(told[1]) * size[told[2][0]]
    assert int(told[3]) == abs(then - first)
    stored = [0.5 * 8.854e-12 * area * 1e-4 / (gap * 1e-3) for gap in (first, then)]
    charge = 2 * stored[0] * 500
    energies = [charge**2 / (4 * each) for each in stored]
    assert newtons == pytest.approx(charge**2 / (2 * 8.854e-12 * area * 1e-4), rel=1e-3)
    assert float(told[4]) * size[told[5]] == pytest.approx(abs(energies[1] - energies[0]), rel=1e-3)
    (held,) = asks(f"{text}; then gap of C1 {then} mm", "on plates")
    assert "force times way" not in held.because


def test_one_charge_on_a_piece_of_metal_is_no_sum() -> None:
    text = (
        "C1 = 2 uF charged to 6 V from A to P; C2 = 3 uF from P to B; C3 = 4 uF from P to R; "
        "C4 = 5 uF from R to B; ends A and B; across 12 V"
    )
    told = [ask.reveal for ask in story(text).asks if ask.key == "island"]
    assert all(not re.search(r"= (\S+ \S+) = \1$", each) for each in told)
    assert any(each.endswith(", all of it on C1") for each in told), told


@pytest.mark.parametrize("text", [
    "C -- C, across V; then remove supply; then fill C1 with k",
    "C, across V; then remove supply; then fill C1 with k",
])
def test_letters_stand_as_people_write_them(text: str) -> None:
    said = " ".join(ask.reveal for ask in story(text).asks)
    assert "kC" in said
    assert "Ck" not in said
    assert "V_now = C" not in said
