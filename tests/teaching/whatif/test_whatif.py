"""What if: changes are read, both sides agree with the nodal method, wrong ideas are known."""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.records import Refusal
from tests.sampled import some
from tutor.circuit.changes import (
    Added,
    Alteration,
    NewSupply,
    NewValue,
    Removed,
    Scaled,
    Swapped,
    Wired,
)
from tutor.circuit.network import build
from tutor.teaching.exchange import begin, hear
from tutor.teaching.kinds_of_act import opens
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.turn import Turn
from tutor.teaching.whatif.change import compare
from tutor.teaching.whatif.predictions import read_predictions
from tutor.teaching.whatif.supposing import suppose

NETWORK = "C1 = 4 uF -- (C2 = 2 uF || C3 = 3 uF), across 12 V"
MICRO = Fraction(1, 10**6)


def start(text: str = NETWORK) -> Turn:
    return begin(build(read_network(text)))


def talk(text: str, *lines: str) -> Turn:
    turn = start(text)
    for line in lines:
        turn = hear(turn.talk, line)
    return turn


def kinds(turn: Turn) -> list[str]:
    return [message.kind for message in turn.messages]


def verdict(turn: Turn) -> Message:
    return next(message for message in turn.messages if message.kind == "verdict")


# Reading a change


@pytest.mark.parametrize(
    ("line", "change"),
    [
        ("what if C2 = 6 uF", NewValue("C2", 6 * MICRO)),
        ("What if c2 were 6 microfarads?", NewValue("C2", 6 * MICRO)),
        ("what if C2 is 6", NewValue("C2", 6 * MICRO)),
        ("what if C2 is raised to 6,5 uF", NewValue("C2", Fraction(13, 2) * MICRO)),
        ("what if C2 is increased by 3 uF", NewValue("C2", 5 * MICRO)),
        ("what if C2 is reduced by 500 nF", NewValue("C2", Fraction(3, 2) * MICRO)),
        ("what if C1 = C2", NewValue("C1", 2 * MICRO)),
        ("what if you swap C2 for a 6", NewValue("C2", 6 * MICRO)),
        ("what if we swap the 2 for a 6 uF one", NewValue("C2", 6 * MICRO)),
        ("what if C2 is doubled", Scaled(("C2",), Fraction(2))),
        ("and what if we double C2", Scaled(("C2",), Fraction(2))),
        ("what if C2 is halved", Scaled(("C2",), Fraction(1, 2))),
        ("what if C2 is tripled", Scaled(("C2",), Fraction(3))),
        ("what if C2 is three times as large", Scaled(("C2",), Fraction(3))),
        ("what if C2 is 1.5 times as big", Scaled(("C2",), Fraction(3, 2))),
        ("what if C2 is 20 % smaller", Scaled(("C2",), Fraction(4, 5))),
        ("what if C2 is larger", Scaled(("C2",), Fraction(2))),
        ("what if C3 and C1 are doubled", Scaled(("C3", "C1"), Fraction(2))),
        ("what if all capacitors are halved", Scaled(("C1", "C2", "C3"), Fraction(1, 2))),
        ("what if C3 is removed", Removed(("C3",))),
        ("what if C3 is taken out", Removed(("C3",))),
        ("what if there was no C3", Removed(("C3",))),
        ("what if C3 is replaced by a wire", Wired(("C3",))),
        ("what if C3 is short-circuited", Wired(("C3",))),
        ("what if C1 and C2 swap", Swapped("C1", "C2")),
        ("what if C1 and C2 change places", Swapped("C1", "C2")),
        ("what if the supply is 24 V", NewSupply(Fraction(24))),
        ("what if the voltage is 24", NewSupply(Fraction(24))),
        ("what if U = 24 V", NewSupply(Fraction(24))),
        ("what if the supply is doubled", NewSupply(Fraction(24))),
        ("what if the p.d. is halved", NewSupply(Fraction(6))),
        ("what if 5 uF is added in series", Added(5 * MICRO, "series")),
        ("what if a 5 uF capacitor is added in parallel", Added(5 * MICRO, "parallel")),
        ("what if I add 5 uF in parallel with C2", Added(5 * MICRO, "parallel", "C2")),
        ("what if 5 uF is put in a chain with C2", Added(5 * MICRO, "series", "C2")),
    ],
)
def test_a_change_is_read(line: str, change: Alteration) -> None:
    said = opens(line)
    assert said is not None
    assert suppose(said, build(read_network(NETWORK))).change == change


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("what if", "That change could not be read."),
        ("what if pigs fly", "what if C1 is doubled; what if C1 is removed"),
        ("what if C9 is doubled", "There is no C9 in the text of this network."),
        ("what if C2 = 0 uF", "A capacitance of zero cannot be."),
        ("what if C2 is -3 uF", "A value below zero cannot be supposed here."),
        ("what if the supply is −12 V", "A value below zero cannot be supposed here."),
        ("what if C2 = 5 V", "a capacitance is needed here"),
        ("what if C2 = 2C", "C2 has a number for its value here."),
        ("what if C2 is reduced by 2 uF", "That would leave C2 no capacitance."),
        ("what if the charge is 30 uC", "What is given here is the p.d."),
        ("what if the charge on C2 is doubled", "follow from the network"),
        ("what if the battery is removed", "leaves every charge where it is"),
        ("what if C1 and C2 are replaced by 5 uF", "One capacitor at a time"),
        ("what if " + "C2 " * 190, "That change could not be read."),
    ],
)
def test_what_cannot_be_read_gets_one_message_and_the_question_again(line: str, says: str) -> None:
    before = start()
    turn = hear(before.talk, line)
    assert says in turn.messages[0].text
    assert kinds(turn) == ["verdict", "ask"]
    assert turn.walk == before.walk
    assert turn.messages[-1] == before.messages[-1]


@pytest.mark.parametrize("line", ["what is C23", "whatever", "if C2 is doubled", "why"])
def test_other_lines_open_nothing(line: str) -> None:
    assert opens(line) is None


# Reading predictions


def the_change(text: str = NETWORK, line: str = "what if C2 is doubled") -> object:
    problem = build(read_network(text))
    return compare(problem, suppose(opens(line) or "", problem).change, line)


C, Q, V1, Q1, E = (
    Quantity("C"), Quantity("Q"), Quantity("V", "C1"), Quantity("Q", "C1"), Quantity("E")
)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("C up, Q up, V1 down", {C: "up", Q: "up", V1: "down"}),
        ("c and q rise but v1 falls", {C: "up", Q: "up", V1: "down"}),
        ("C up, the rest same", {C: "up", Q: "same", V1: "same", Q1: "same"}),
        ("V1 down, all the others up", {V1: "down", C: "up", Q: "up", Q1: "up"}),
        ("C up, Q up, the other two don't care", {C: "up", Q: "up", V1: "same", Q1: "same"}),
        ("they all rise, V1 since C2 takes less", {C: "up", Q: "up", V1: "up", Q1: "up"}),
        ("up: C, Q; down: V1", {C: "up", Q: "up", V1: "down"}),
        ("C increases, V1 stays the same", {C: "up", V1: "same"}),
        ("C doesn't change and Q unchanged", {C: "same", Q: "same"}),
        ("the charge rises, the p.d. across C1 falls", {Q: "up", V1: "down"}),
        ("V of C1 gets less, charge on C1 more", {V1: "down", Q1: "up"}),
        ("U1 bigger; W smaller", {V1: "up", E: "down"}),
        ("Q+ V1-", {Q: "up", V1: "down"}),
        ("nothing changes", {C: "same", Q: "same", V1: "same", Q1: "same"}),
        ("everything goes up", {C: "up", Q: "up", V1: "up", Q1: "up"}),
        ("C up, C down", {C: "down"}),
        ("C bigger, V1 smaller since Q is given", {C: "up", V1: "down"}),
        ("V1 doesn't budge because its charge is fixed", {V1: "same"}),
        ("C up, V1 same, so does Q1", {C: "up", V1: "same", Q1: "same"}),
        ("C1's own V down and its Q up", {V1: "down", Q1: "up"}),
        ("nothing happens to C1, its V and Q stay, C up",
         {Quantity("C", "C1"): "same", V1: "same", Q1: "same", C: "up"}),
        ("C and its charge go up", {C: "up", Q: "up"}),
        ("C1 keeps its V and its Q, C up", {V1: "same", Q1: "same", C: "up"}),
        ("everything goes up except C1", {C: "up", Q: "up"}),
        ("C and Q rise, nothing happens to V1 or Q1",
         {C: "up", Q: "up", V1: "same", Q1: "same"}),
        ("on C1 all stays, C up",
         {Quantity("C", "C1"): "same", V1: "same", Q1: "same", C: "up"}),
        ("C up, nothing else changes", {C: "up", Q: "same", V1: "same", Q1: "same"}),
    ],
)
def test_directions_are_read(line: str, expected: dict[Quantity, str]) -> None:
    found = read_predictions(line, the_change())  # type: ignore[arg-type]
    assert {each.quantity: each.way for each in found} == expected


def test_values_and_factors_are_read() -> None:
    line = "C up, Q = 2,5 uC and V1 rises to 8 V, E doubles, Q1 falls to half"
    found = {each.quantity: each for each in read_predictions(line, the_change())}  # type: ignore[arg-type]
    assert found[C].way == "up"
    assert found[Q].value is not None
    assert found[Q].value.value == Fraction(5, 2) * MICRO
    assert found[V1].value is not None
    assert found[V1].value.value == 8
    assert found[E].factor == 2
    assert found[Q1].factor == Fraction(1, 2)


@pytest.mark.parametrize(
    "line",
    ["", "up", "banana", "C up or down", "C does not rise", "C up, Q", "Q = 5 bananas", "Q =",
     "nothing goes down", "Q = C V", "C9 up", "40 uC", "V3 of C9 up", "Q = 1/0 uC",
     "Q = 3 uC + 2 V"],
)
def test_what_is_no_prediction_is_asked_again(line: str) -> None:
    opened = talk(NETWORK, "what if C2 is doubled")
    turn = hear(opened.talk, line)
    assert not line or verdict(turn).verdict == "unread"  # a blank line only asks once more
    assert turn.walk == opened.walk
    assert turn.messages[-1] == opened.messages[-1]


# The dialogue


def test_right_predictions_come_first_and_wrong_ones_get_a_reason() -> None:
    turn = talk(NETWORK, "what if C2 is doubled", "Q down, C up")
    right, wrong = verdict(turn).text.split("\n")
    assert right == "C up: right."
    assert wrong == "Q down does not fit. Q = C V: V is held at 12 V, and C goes up."
    assert verdict(turn).verdict == "wrong"


def test_both_sides_stand_side_by_side_with_the_reason() -> None:
    predicted = "C = 1.5 uF, Q down, V1 up, Q1 down"  # the value has been found, not the others
    turn = talk("C1 = 3 uF -- C2 = 6 uF, across 12 V", "what if C2 = 3 uF", predicted)
    (reveal,) = [message for message in turn.messages if message.kind == "reveal"]
    assert reveal.text.splitlines() == [
        "C: 2 µF before, 1.5 µF after: down", "Q: down", "V1: down", "Q1: down",
        "C2 is in a chain with C1, where 1/C adds up. So a smaller C2 makes the whole smaller. "
        "V is held at 12 V, so Q = C V goes down.",
    ]


def test_what_the_walk_has_still_to_ask_stays_unsaid() -> None:
    turn = talk("C1 = 3 uF -- C2 = 6 uF, across 12 V", "what if C2 = 3 uF", "show")
    (reveal,) = [message for message in turn.messages if message.kind == "reveal"]
    assert reveal.text.splitlines()[:4] == ["C: down", "Q: down", "V1: down", "Q1: down"]


def test_who_does_not_know_is_first_shown_where_to_look() -> None:
    turn = talk("6 uF -- (2 uF || 4 uF), across 12 V", "what if C2 is halved", "I don't know")
    assert [message.kind for message in turn.messages] == ["hint", "ask"]
    assert hear(turn.talk, "no idea").messages[0].kind == "reveal"


def test_the_walk_goes_on_unchanged() -> None:
    before = talk(NETWORK, "C2 C3")
    part = hear(hear(before.talk, "what if C3 is removed").talk, "C down")
    assert part.messages[-1].text == "And which way do these go: Q, V1, Q1? ('show' shows them.)"
    turn = hear(part.talk, "they all go down")
    assert verdict(turn).text == "Q down: right.\nV1 down: right.\nQ1 down: right."
    assert turn.walk == before.walk
    assert turn.messages[-1] == before.messages[-1]


@pytest.mark.parametrize("said", ["C up", "C = 4.2 uF", "C = 6 uF", "C doubles", "C = 1 uF, Q up"])
def test_no_number_that_is_still_to_be_found_comes_with_a_guess(said: str) -> None:
    turn = talk("6 uF -- (9 uF || 5 uF), across 15 V", "what if C1 is doubled", said)
    told = [*turn.messages, *hear(turn.talk, "show").messages]
    reveal = next(message for message in told if message.kind == "reveal")
    assert reveal.text.startswith("C: up\nQ: up")
    assert "6.462" not in " ".join(message.text for message in told)


def test_no_number_that_is_still_to_be_found_comes_with_a_reason() -> None:
    turn = talk("4 uF -- 12 uF, across 20 V", "what if C2 is doubled", "V1 down")
    assert verdict(turn).text == "V1 down does not fit. V1 = Q1/C1: Q1 goes up."
    beside = talk("4 uF || 12 uF, across 20 V", "what if C2 is doubled", "Q2 same")
    assert verdict(beside).text == (
        "Q2 the same does not fit. Q2 = C2 × V2: V2 stays as it is and C2 goes from 12 µF to 24 µF."
    )


def test_it_opens_after_the_end_too_and_shows_every_capacitor() -> None:
    over = talk("C1 = 3 uF -- C2 = 6 uF, holding 18 uC", "C1 C2", "q at P", "2 uF", "9 V", "q",
                "6 V", "3 V", "9 V")
    assert over.walk.over
    opened = hear(over.talk, "what if the charge is doubled")
    assert not opened.talk.over
    assert kinds(opened) == ["say", "ask"]
    closed = hear(opened.talk, "V doubles, C same, V1 and Q1 double")
    assert closed.walk == over.walk
    assert kinds(closed) == ["verdict", "reveal", "close"]
    assert "V2: 3 V before, 6 V after: up" in closed.messages[1].text


def test_without_a_supply_only_the_whole_is_asked() -> None:
    turn = talk("C1 = 3 uF -- C2 = 6 uF", "what if C2 is doubled")
    assert turn.messages[-1].text.startswith("Which way does C go?")
    assert "C: up" in hear(turn.talk, "c up").messages[1].text
    assert "C: 2 µF before, 2.4 µF after: up" in hear(turn.talk, "C = 2.4 uF").messages[1].text
    assert verdict(hear(turn.talk, "Q up")).verdict == "unread"


def test_energies_come_where_they_are_asked() -> None:
    plain = talk(NETWORK, "what if C2 is doubled")
    wanted = talk(NETWORK, "energy", "what if C2 is doubled")
    assert "E" not in plain.messages[-1].text.replace("E up", "")
    assert "E, E1?" in wanted.messages[-1].text
    both = "E: 160 µJ before, 183.3 µJ after: up"
    valued, told = (hear(wanted.talk, said) for said in ("E = 183.3 uJ", "E up"))
    assert both in hear(valued.talk, "show").messages[0].text
    assert "E: up" in hear(told.talk, "show").messages[0].text
    assert "E: up" in hear(wanted.talk, "show").messages[0].text
    assert "E, E1?" in hear(plain.talk, "energy").messages[-1].text


def test_letters_are_compared_by_algebra() -> None:
    text = "C -- (2C || C/2), across V"
    turn = talk(text, "what if C2 is doubled", "C = 9C/11, V2 up")
    assert "C_total: 5C/7 before, 9C/11 after: up" in turn.messages[1].text
    assert verdict(turn).text.startswith("C_total = 9C/11: right.\nV2 up does not fit.")
    other = talk("C -- (D || 2C), across V", "what if C1 and C2 swap", "C up")
    assert verdict(other).text == "C_total: it depends on the values of the letters; either may be."
    assert verdict(other).verdict == "incomplete"


def test_a_letter_of_the_supply_may_be_scaled() -> None:
    turn = talk("C -- 2C, across V", "what if V = 2V", "Q doubles")
    assert verdict(turn).verdict == "right"


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        (NETWORK, "what if C1 is removed", "Without C1 no way is left from end to end"),
        (NETWORK, "what if C2 and C1 are removed", "Without C2 and C1 no way is left"),
        ("2 uF || 3 uF, across 5 V", "what if C1 is a wire", "the supply is short-circuited"),
        ("2 uF || 3 uF, holding 5 uC", "what if C1 is a wire", "the charge goes round through it"),
        ("2 uF || 3 uF", "what if C1 is a wire", "the ends are one point"),
    ],
)
def test_a_broken_network_is_said_in_words(text: str, line: str, says: str) -> None:
    before = start(text)
    turn = hear(before.talk, line)
    assert says in turn.messages[0].text
    assert turn.messages[0].kind == "say"
    assert turn.walk == before.walk


@pytest.mark.parametrize("word", ["back", "undo", "never mind"])
def test_a_what_if_can_be_left(word: str) -> None:
    before = start()
    turn = hear(hear(before.talk, "what if C2 is doubled").talk, word)
    assert turn.walk == before.walk
    assert turn.messages[-1] == before.messages[-1]


@pytest.mark.parametrize("line", ["list", "drawing", "help", "hint", "why", "where are we",
                                  "repeat", "fair copy", "settings", "set figures 3"])
def test_what_may_be_asked_meanwhile_leaves_it_open(line: str) -> None:
    opened = talk(NETWORK, "what if C3 is replaced by a wire")
    turn = hear(opened.talk, line)
    assert turn.talk.open("what if") is not None
    assert turn.messages[-1].about == "change"
    if line == "list":
        assert "both ends on P" in turn.messages[0].text or "C1, 4 µF, from A to" in (
            turn.messages[0].text
        )


def test_another_what_if_takes_the_place_of_the_first() -> None:
    turn = talk(NETWORK, "what if C2 is doubled", "what if C3 is doubled")
    assert turn.talk.open("what if") is not None
    assert turn.talk.open("what if").change == Scaled(("C3",), Fraction(2))


def test_stop_stops() -> None:
    turn = talk(NETWORK, "what if C2 is doubled", "stop")
    assert turn.walk.over
    assert turn.talk.open("what if") is None


# Wrong ideas known by name; the numbers are those of the catalogue's own examples


@pytest.mark.parametrize(
    ("text", "lines", "names"),
    [
        ("6 uF, across 12 V", ("what if the supply is 24 V", "C up"),
         ("capacitance-grows-with-the-supply",)),
        ("6 uF, across 12 V", ("what if the supply is 24 V", "C = 12 uF"),
         ("capacitance-grows-with-the-supply",)),
        (NETWORK, ("what if the supply is halved", "C1 down"),
         ("capacitance-grows-with-the-supply",)),
        ("6 uF, across 12 V", ("what if the supply is 24 V", "C down"), ()),
        ("3 uF -- 7 uF, across 12 V", ("what if 5 uF is added in series", "C up"),
         ("longer-chain-holds-more",)),
        ("3 uF -- 7 uF, across 12 V", ("what if 5 uF is added in series", "C = 7.1 uF"),
         ("longer-chain-holds-more",)),
        ("3 uF -- 7 uF, across 12 V", ("what if 5 uF is added in series", "C down"), ()),
        ("3 uF, across 8.4 V", ("what if the supply is doubled", "E = 211.68 uJ"),
         ("energy-doubles-with-the-pd",)),
        ("3 uF, across 8.4 V", ("what if the supply is doubled", "E doubles"),
         ("energy-doubles-with-the-pd",)),
        ("3 uF, across 8.4 V", ("what if the supply is doubled", "E = 423.36 uJ"), ()),
    ],
)
def test_wrong_ideas_are_recognised(
    text: str, lines: tuple[str, ...], names: tuple[str, ...]
) -> None:
    assert verdict(talk(text, *lines)).malrules == names


def test_catalogue_values_of_a_longer_chain() -> None:
    """Z3: 5 µF added to the chain of 3 µF and 7 µF: 105/71 µF, 1.479."""
    turn = talk("3 uF -- 7 uF, across 12 V", "what if 5 uF is added in series", "C = 1.479 uF")
    assert verdict(turn).verdict == "right"


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("Q = 30.5 uC", "Q = 336/11 µC ≈ 30.55 µC: right."),
        ("Q = 30.5 mC", "the power of ten does not"),
        ("Q = 30.5 V", "has another unit"),
        ("Q = 31 uC", "right."),
        ("Q = 40 uC", "40 µC does not fit. Q = C V"),
    ],
)
def test_a_predicted_value_is_judged(line: str, says: str) -> None:
    assert says in verdict(talk(NETWORK, "what if C2 is doubled", line)).text


# Anything typed


PIECES = (
    "what if C1 C2 C3 c9 is doubled halved removed a wire swap supply 24 V = 6 uF , and up down "
    "same Q E V1 0 - 1e9 % times series parallel added the charge energy nothing back ? ½ µF"
)
WORDS = st.sampled_from(PIECES.split(" "))


@settings(max_examples=some(150), deadline=None)
@given(st.lists(st.lists(WORDS, max_size=8).map(" ".join) | st.text(max_size=30), max_size=5))
def test_no_line_breaks_it(lines: list[str]) -> None:
    turn = start()
    for line in lines:
        for typed in (f"what if {line}", line):
            turn = hear(turn.talk, typed)
            assert turn.messages


@given(st.text(max_size=60))
def test_any_words_after_what_if_are_read_or_refused(line: str) -> None:
    with suppress(Refusal):
        assert suppose(line, build(read_network(NETWORK))).change is not None



def test_a_point_that_a_change_brings_is_called_new() -> None:
    reply = hear(begin(build(read_network("4 uF -- 12 uF, across 20 V"))).talk,
                 "what if 3 uF is added in series")
    assert "from A to R, a new point; C1 now joins R in the place of A." in (
        reply.messages[0].text
    )


@pytest.mark.parametrize(("network", "line", "says"), [
    ("C -- 2C, across V", "5 uF is added in series", "The capacitors are in letters here"),
    ("4 uF, holding 8 uC", "the charge is doubled", "16 µC in all have been moved in place of 8"),
    ("C1 = 9 uF from A to P; C2 = 11 uF from P to R; wire from P to R; C3 = 16 uF from R to B; "
     "ends A and B", "C1 and C2 swap", "C1 has both plates on P and C2 joins A and P"),
])
def test_a_change_is_said_as_it_is(network: str, line: str, says: str) -> None:
    turn = talk(network, f"what if {line}")
    assert says in turn.messages[0].text
    assert "200000C" not in "".join(m.text for m in hear(turn.talk, "C up").messages)


@pytest.mark.parametrize("network", [NETWORK, "4 uF -- 3 uF, holding 8 uC", "C -- 2C, across V"])
def test_no_stop_stands_twice_and_no_example_that_cannot_be(network: str) -> None:
    """The word p.d. ends in a stop of its own; a number is no example among letters."""
    whole = "the supply" if "across" in network else "the charge"
    turn = talk(network, f"what if {whole} is doubled", "show")
    assert ".." not in "".join(message.text for message in turn.messages)
    assert ("uF" in talk(network, "what if pigs fly").messages[0].text) is ("uF" in network)
