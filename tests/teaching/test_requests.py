"""What may be asked for at any time: help in small pieces, the way back, and the end."""

from __future__ import annotations

import pytest

from tests.teaching.talking import LADDER, asked, converse, said, shape, told
from tutor.teaching.exchange import hear
from tutor.teaching.walk import next_question

TO_VALUE = ["C2 C3", "pd, P and B"]
TO_CHARGE = [*TO_VALUE, "5 uF", "C1 C23", "charge P", "20/9 uF"]
TO_BACK = [*TO_CHARGE, "26.7 uC"]
TO_CLOSE = [*TO_BACK, "charge", "6.67", "5.33", "pd", "10.7", "16", "12"]
EVERYWHERE = [[], ["C2 C3"], ["C2 C3", "charge"], TO_VALUE, TO_CHARGE, TO_BACK, TO_CLOSE[:-1]]


@pytest.mark.parametrize("before", EVERYWHERE, ids=len)
@pytest.mark.parametrize("request_line", [
    "where are we", "list", "draw", "why", "what can I type", "repeat", "hint",
])
def test_a_request_leaves_the_question_as_it_was(before: list[str], request_line: str) -> None:
    start = converse(LADDER, before)[-1]
    turn = hear(start.talk, request_line)
    assert asked(turn.talk) == asked(start.talk)
    assert turn.messages[-1].kind == "ask"
    assert turn.walk.tries == 0
    assert not told(turn, "verdict")


def test_i_do_not_know_climbs_from_a_question_to_the_step() -> None:
    first, second, third = converse(LADDER, ["I don't know", "?", "idk"])[1:]
    assert shape(first) == ["hint choice", "ask choice"]
    assert "Let us look at one thing first. Two share one p.d. if both join" in said(first)
    assert "P and B" not in said(first)  # where to look would be half the answer
    assert shape(second) == ["ask choice"]  # the hint is the question
    assert "Look at P and B" in said(second)
    assert shape(third) == ["say", "reveal value", "ask choice"]
    assert "C23 = C2 + C3 = 2 µF + 3 µF = 5 µF" in said(third)
    assert not third.walk.slips


@pytest.mark.parametrize(("before", "words"), [
    (["C2 C3"], "C2 and C3 both join the same two points, P and B"),
    (TO_VALUE, "C23 = C2 + C3 = 2 µF + 3 µF = 5 µF"),
    (TO_CHARGE, "Q = C V = 2.222 µF × 12 V ≈ 26.67 µC"),
    (TO_BACK, "each holds all the charge of C123"),
    ([*TO_BACK, "charge"], "V1 = Q1/C1 = 26.67 µC / 4 µF ≈ 6.667 V"),
    (TO_CLOSE[:-1], "every path from end to end must make up all that is between them"),
])
def test_three_times_i_do_not_know_shows_any_question(before: list[str], words: str) -> None:
    turn = converse(LADDER, before)[-1]
    question = asked(turn.talk)
    for _ in range(3):
        turn = hear(turn.talk, "idk")
        if turn.walk.over or asked(turn.talk) != question:
            break
    assert words in said(turn)
    assert told(turn, "reveal")


def test_hints_are_one_rung_at_a_time_and_the_idea_wants_a_try_first() -> None:
    first, held = converse(LADDER, [*TO_VALUE, "hint", "hint"])[-2:]
    assert "Look back at what C2 and C3 share." in said(first)
    assert "A guess will do" in said(held)
    tried = hear(held.talk, "6.2 uF")
    rungs = []
    for _ in range(3):
        tried = hear(tried.talk, "hint")
        rungs.append(said(tried))
    assert "the charges of C2 and C3 add.\nSo what do their capacitances do?" in rungs[0]
    assert "C23 = C2 + C3" in rungs[1]
    assert "'show me' shows this step" in rungs[2]


def test_show_me_wants_an_attempt_first() -> None:
    before = converse(LADDER, [*TO_VALUE, "show me"])[-1]
    assert "First your own idea, please" in said(before)
    assert not told(before, "reveal")
    after = hear(hear(before.talk, "6.2 uF").talk, "show me")
    assert shape(after) == ["reveal value", "ask choice"]


def test_undo_takes_back_exactly_one_answer_right_or_wrong() -> None:
    turns = converse(LADDER, [*TO_VALUE, "6 uF", "5 uF", "C1 C23", "the p.d."])
    turn = turns[-1]
    for before in reversed(turns[:-1]):
        turn = hear(turn.talk, "undo")
        assert turn.messages[0].text == "Taken back."
        assert turn.talk.frames == before.talk.frames
        assert turn.messages[-1] == before.messages[-1]
    assert "There is nothing to take back yet." in said(hear(turn.talk, "undo"))


def test_undo_leaves_what_was_only_asked_for() -> None:
    *_, turn = converse(LADDER, ["C2 C3", "hint", "where are we", "set figures 3", "undo"])
    assert shape(turn) == ["say", "ask choice"]
    assert turn.talk.terms.figures == 3


def test_undo_on_the_way_back() -> None:
    turn = converse(LADDER, [*TO_BACK, "charge", "6.67 V", "undo", "undo"])[-1]
    assert asked(turn.talk).about == "shares"


def test_start_again() -> None:
    turn = converse(LADDER, [*TO_CHARGE, "start again"])[-1]
    assert shape(turn) == ["say", "say", "ask choice"]
    assert "Here is the network." in said(turn)
    assert not turn.walk.steps


def test_where_tells_steps_and_values() -> None:
    turn = converse(LADDER, [*TO_VALUE, "5 uF", "where"])[-1]
    assert "One step done, one still to come before one capacitor is left." in said(turn)
    assert "C23 = 5 µF" in said(turn)
    assert "2.222" not in said(turn)


def test_list_is_of_what_is_left_and_later_of_what_was_made() -> None:
    left = converse(LADDER, [*TO_VALUE, "5 uF", "list"])[-1]
    assert "C23, 5 µF, from P to B" in said(left)
    back = converse(LADDER, [*TO_BACK, "list"])[-1]
    assert "C3, 3 µF, from P to B" in said(back)
    assert "C23, 5 µF, in the place of C2 and C3" in said(back)


def test_drawing_hands_over_the_network_in_hand() -> None:
    turn = converse(LADDER, [*TO_VALUE, "5 uF", "draw"])[-1]
    drawn = turn.messages[0].drawn
    assert drawn is not None
    assert drawn.network == turn.walk.network
    back = converse(LADDER, [*TO_BACK, "draw"])[-1]
    drawn = back.messages[0].drawn
    question = next_question(back.walk)
    assert drawn is not None
    assert question is not None
    assert question.step is not None
    assert drawn.network.capacitors == question.step.parts


def test_why_derives_the_last_step_and_later_what_passed_on() -> None:
    derived = converse(LADDER, [*TO_VALUE, "5 uF", "why"])[-1]
    assert "a point has one potential: V2 = V3 = V." in said(derived)
    assert "So Q/V = C2 + C3: that is C23." in said(derived)
    passed = converse(LADDER, [*TO_BACK, "charge", "why"])[-1]
    assert "C123 took the place of that chain" in said(passed)


def test_energy_is_asked_for_at_the_end() -> None:
    turn = converse(LADDER, ["energy", *TO_CLOSE[:-1]])[-1]
    assert "What energy is stored in C1 (4 µF, 26.67 µC, 6.667 V)?" in said(turn)
    for line in ("88.9 uJ", "28.4 uJ", "42.7 uJ", "160 uJ"):
        turn = hear(turn.talk, line)
        assert "right" in {m.verdict for m in turn.messages}
    assert "What energy did the supply give while it charged the network from empty?" in said(turn)
    assert "320" not in said(turn)
    for line in ("hint", "410 uJ", "hint", "hint"):
        turn = hear(turn.talk, line)
        assert asked(turn.talk).about == "energy"
        assert "320" not in said(turn)
    turn = hear(turn.talk, "320 uJ")
    assert "right" in {m.verdict for m in turn.messages}


def test_energy_needs_a_supply() -> None:
    turn = converse("4 uF -- 3 uF", ["energy"])[-1]
    assert "Without a supply nothing is charged" in said(turn)


def test_stop() -> None:
    turn = converse(LADDER, [*TO_VALUE, "5 uF", "stop"])[-1]
    assert shape(turn) == ["close"]
    assert "Stopped after one step, with two capacitors left." in said(turn)
    assert turn.walk.over


def test_after_the_end() -> None:
    end = converse(LADDER, TO_CLOSE)[-1]
    assert end.walk.over
    assert "its p.d. is theirs" in said(hear(end.talk, "why"))
    assert "Known:" in said(hear(end.talk, "where are we"))
    assert shape(hear(end.talk, "C1 C2")) == ["close"]
    assert shape(hear(end.talk, "start again"))[-1] == "ask choice"
    assert shape(hear(end.talk, "undo"))[0] == "say"
    more = hear(end.talk, "energy")
    assert shape(more) == ["ask energy"]
    assert not more.walk.over


def test_help_with_one_choice_is_not_used_up_at_the_next() -> None:
    unsure = ["I don't know"] * 3
    turns = converse(LADDER, [*unsure, "I don't know"])
    assert len(turns[3].walk.steps) == 1
    assert shape(turns[4]) == ["hint choice", "ask choice"]
    assert not converse(LADDER, [*unsure, "undo"])[-1].walk.steps
    slipped = converse(LADDER, ["C1 C2", "C23 = C2 + C3 = 5 uF", "C23"])[-1]
    assert "For one," not in said(slipped)
    assert slipped.walk.tries == 0


def test_signs_alone_are_no_i_do_not_know() -> None:
    assert shape(converse(LADDER, ["😀😀"])[-1])[0] == "say"
    assert shape(converse(LADDER, ["?"])[-1])[0] == "hint choice"


def test_names_of_capacitors_are_no_value() -> None:
    turn = converse(LADDER, ["C2 C3", "pd, P and B", "C2 and C3"])[-1]
    assert shape(turn)[0] == "verdict unread value"
    assert "names of capacitors" in said(turn)


def test_the_pd_names_no_point() -> None:
    turn = converse(LADDER, ["C2 C3", "p.d.", "p.d."])[-1]
    assert shape(turn)[0] == "verdict incomplete reason"
    assert turn.walk.tries == 0


@pytest.mark.parametrize(("line", "answered"), [
    ("lets stop here, my train leaves", "Stopped after"),
    ("gotta go, dinner is ready", "Stopped after"),
    ("that's enough for today", "Stopped after"),
    ("i want to begin this problem from the beginning", "From the start."),
    ("could we do the whole thing again from scratch", "From the start."),
    ("start this one over please", "From the start."),
    ("write me down everything we have so far", "Known: "),
    ("list all the values we found", "Known: "),
    ("ok i give up on this one tell me the answer", "so they share one p.d."),
    ("undo my last answer", "Taken back."),
    ("a push in the right direction please", "Look at P and B"),
    ("draw me the circuit once more", "What is left:"),
    ("i didnt read the question, repeat it", "Once more:"),
    ("stop for today thx", "Stopped after"),
    ("stop here, i go on tmrw", "Stopped after"),
    ("wipe this and start fresh", "From the start."),
    ("undo that, i wanted C1 with C3 instead", "Taken back."),
    ("can i change my last answer", "Taken back."),
    ("step back once, the 8 I typed was silly", "Taken back."),
    ("cancel my last entry, meant the 15", "Taken back."),
    ("let me redo the previous step", "Taken back."),
    ("begin this one again from the top, I messed up the 12", "From the start."),
    ("back to the start of this exercise", "From the start."),
    ("can you ask me less from now on", "Results alone are asked"),
    ("which values have we got", "Known: "),
    ("never mind how, take that answer back", "Taken back."),
    ("help me out a little here", "Look at P and B"),
    ("can you give me a hand with this", "Look at P and B"),
    ("hold on, show the situation once more", "C1, 4 µF, from A to P"),
    ("draw me both before and after", "What is left:"),
])
def test_a_request_is_heard_in_own_words(line: str, answered: str) -> None:
    assert answered in said(converse(LADDER, ["hint", "C1 C2", line])[-1])


@pytest.mark.parametrize("line", [
    "end to end, so C1 and C2", "begin with C1 and C2", "do C1 and C2 again", "leave out C1",
    "everything",
])
def test_what_names_capacitors_is_no_request(line: str) -> None:
    assert told(converse(LADDER, [line])[-1], "verdict")


def test_a_right_energy_is_said_back_in_the_prefix_it_was_typed_with() -> None:
    pair = "2 nF || 3 nF, across 60 V; find energy"
    lead = ["C1 C2, p.d., A and B, 5 nF", "300 nC"]
    assert "E = 9 µJ: right." in said(converse(pair, [*lead, "9 uJ"])[-1])
    assert "E = 9000 nJ: right." in said(converse(pair, [*lead, "9000 nJ"])[-1])


def test_letters_before_which_a_rounded_number_stands_are_right() -> None:
    lettered = "C -- (2C || C/2), across V"
    lead = ["C2 C3, p.d., P and B, 5C/2", "C1 C23, charge, at P"]
    verdicts = {
        line: [m.verdict for m in converse(lettered, [*lead, line])[-1].messages if m.verdict]
        for line in ("0.71 C", "0.74 C", "0.7 C")
    }
    assert verdicts == {"0.71 C": ["right"], "0.74 C": ["wrong"], "0.7 C": ["wrong"]}
