"""The chat from line to line, with no screen."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.conversing import is_walking
from tests.learner.answers import answer, seen
from tests.sampled import some
from tutor.front.chat.home import open_home
from tutor.front.chat.stages import Answer, Chat, Choosing, Gathering, Offered, Person, Reading
from tutor.front.chat.talk import leave, respond, safely
from tutor.front.opening import EXAMPLES
from tutor.front.plain import Page
from tutor.front.progress import may_be_typed, standing
from tutor.learner.standing import DAY, standing_of
from tutor.teaching.rules.catalogue import SKILL_OF
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.skills import SKILLS
from tutor.teaching.speech import Terms

HALL = "6 uF -- (9 uF || 5 uF), across 15 V"


def talk(*lines: str) -> Answer:
    answer = open_home(Chat(Terms()))
    for line in lines:
        answer = respond(answer.chat, line)
    return answer


def text_of(answer: Answer) -> str:
    return "\n".join(message.text for message in answer.messages)


def test_the_first_screen_is_short() -> None:
    said = open_home(Chat(Terms())).messages
    assert [message.kind for message in said] == ["say", "say", "ask"]
    assert len(said[0].text.split("\n")) <= 3
    assert len(said[1].text.split("\n")) == 3


@pytest.mark.parametrize("number", ["1", "2", "3", "example 2", " 3. "])
def test_an_example_is_picked_by_its_number(number: str) -> None:
    answer = talk(number)
    assert is_walking(answer.chat.stage)
    assert answer.messages[-1].kind == "ask"


def test_every_example_can_be_walked() -> None:
    for example in EXAMPLES:
        stage = talk(example.text).chat.stage
        assert is_walking(stage)
        assert stage.talk.walk.whole is not None


def test_a_network_is_walked() -> None:
    answer = talk(HALL)
    assert "C1, 6 µF, from A to P" in text_of(answer)
    assert answer.messages[-1].about == "choice"


def test_a_refused_text_shows_its_place_and_is_kept() -> None:
    answer = talk("4 uF -- 3 uF || 2 uX")
    assert answer.messages[0].verdict == "unread"
    assert "\n             ^\n" in answer.messages[0].text
    assert answer.chat.draft == "4 uF -- 3 uF || 2 uX"
    assert "is kept" in text_of(answer)


def test_a_kept_text_is_put_right_by_a_change() -> None:
    answer = talk("4 uF -- 3 uF || 2 uF", "change 3 uF || 2 uF to (3 uF || 2 uF)")
    assert is_walking(answer.chat.stage)
    assert len(answer.chat.stage.talk.walk.network.capacitors) == 3


def test_help_keeps_a_text_that_is_to_be_put_right() -> None:
    assert talk("4 uX -- 3 uF", "help").chat.draft == "4 uX -- 3 uF"


def test_words_that_are_no_network_are_not_kept() -> None:
    answer = talk("blue skies")
    assert answer.chat.draft == ""
    assert "no network" in text_of(answer)


def test_requests_before_a_walk_say_that_none_is_on() -> None:
    assert "No walk is on yet" in text_of(talk("where are we"))
    assert "1  " in text_of(talk("where are we"))


def test_a_list_of_joins_comes_in_lines() -> None:
    lines = ("C1 = 4 uF from A to P", "C2 = 2 uF from P to B", "ends A and B", "across 12 V")
    waiting = talk(*lines)
    assert isinstance(waiting.chat.stage, Gathering)
    answer = respond(waiting.chat, "")
    assert is_walking(answer.chat.stage)
    assert answer.chat.stage.talk.walk.problem.supply is not None


def test_the_last_line_of_a_list_is_taken_back() -> None:
    answer = talk("C1 = 4 uF from A to P", "C2 = 2 uX from P to B", "back", "ends A and P", "")
    assert is_walking(answer.chat.stage)
    assert len(answer.chat.stage.talk.walk.network.capacitors) == 1


def test_taking_back_the_only_line_leads_to_the_choice() -> None:
    assert isinstance(talk("C1 = 4 uF from A to P", "back").chat.stage, Choosing)


def test_several_lines_may_come_at_once() -> None:
    answer = talk("C1 = 4 uF from A to P\nC2 = 2 uF from P to B\nends A and B")
    assert is_walking(answer.chat.stage)


def test_a_network_in_the_middle_of_a_walk_is_offered() -> None:
    offered = talk(HALL, "3 uF -- 7 uF, across 20 V")
    assert isinstance(offered.chat.stage, Offered)
    assert "two capacitors" in text_of(offered)
    undecided = respond(offered.chat, "C2 C3")  # said to the walk that goes on
    assert is_walking(undecided.chat.stage)
    assert "those two can become one" in text_of(undecided)
    went_on = respond(offered.chat, "no")
    assert is_walking(went_on.chat.stage)
    assert len(went_on.chat.stage.talk.walk.problem.network.capacitors) == 3
    assert went_on.messages[-1].about == "choice"
    started = respond(offered.chat, "yes")
    assert is_walking(started.chat.stage)
    assert len(started.chat.stage.talk.walk.problem.network.capacitors) == 2


def test_a_list_in_the_middle_of_a_walk_is_offered_too() -> None:
    answer = talk(HALL, "C1 = 4 uF from A to P", "C2 = 4 uF from P to B", "ends A and B", "")
    assert isinstance(answer.chat.stage, Offered)


def test_an_unreadable_network_in_a_walk_is_kept_and_the_walk_goes_on() -> None:
    answer = talk(HALL, "4 uF -- (3 uF || 2 uX), across 12 V")
    assert is_walking(answer.chat.stage)
    assert answer.chat.draft.startswith("4 uF")
    assert answer.messages[-1].about == "choice"
    changed = respond(answer.chat, "change uX to uF")
    assert isinstance(changed.chat.stage, Offered)


@pytest.mark.parametrize("line", ["the 9 uF and the 5 uF", "C2 || C3", "C23 = C2 + C3 = 14 uF"])
def test_answers_are_not_taken_for_networks(line: str) -> None:
    answer = talk(HALL, line)
    assert answer.messages[0].kind == "verdict"
    assert answer.messages[0].verdict == "right"


def walked_to_the_end() -> Answer:
    """One capacitor, whose walk is short whatever is asked."""
    answer = talk("5 uF, across 12 V")
    for _ in range(12):
        stage = answer.chat.stage
        assert is_walking(stage)
        if stage.talk.walk.over:
            return answer
        answer = respond(respond(answer.chat, "I don't know").chat, "show me")
    raise AssertionError("the walk does not end")


def test_after_the_end_the_choice_comes_back() -> None:
    ended = walked_to_the_end()
    assert text_of(ended).lower().count("another network") == 1
    assert is_walking(respond(ended.chat, "2").chat.stage)
    assert respond(ended.chat, "2").chat != ended.chat
    fresh = respond(ended.chat, HALL).chat.stage
    assert is_walking(fresh)
    assert not fresh.talk.walk.over


def test_after_the_end_the_walk_can_start_again() -> None:
    again = respond(walked_to_the_end().chat, "start again").chat.stage
    assert is_walking(again)
    assert not again.talk.walk.over


def test_after_the_end_a_stray_line_does_not_lose_the_walk() -> None:
    stray = respond(walked_to_the_end().chat, "hello")
    again = respond(stray.chat, "start again").chat.stage
    assert is_walking(again)
    assert not again.talk.walk.over


def test_after_the_end_a_refused_network_is_kept() -> None:
    refused = respond(walked_to_the_end().chat, "4 uX -- 3 uF")
    assert refused.chat.draft == "4 uX -- 3 uF"
    mended = respond(refused.chat, "change uX to uF").chat.stage
    assert is_walking(mended)
    assert len(mended.talk.walk.network.capacitors) == 2


def test_after_the_end_the_drawing_is_there() -> None:
    assert any(m.drawn for m in respond(walked_to_the_end().chat, "drawing").messages)


@pytest.mark.parametrize("line", [
    "another", "can I have another one like that, please?", "let's do one more",
    "the same with different numbers", "give me another problem of this kind",
])
def test_after_the_end_one_more_comes_with_other_values(line: str) -> None:
    answer = respond(walked_to_the_end().chat, line)
    assert answer.messages[0].text.startswith("The same network with other values.")


@pytest.mark.parametrize("line", ["another 5 uF", "what other values would do", "same again"])
def test_after_the_end_what_says_more_than_another_is_not_taken_for_it(line: str) -> None:
    answer = respond(walked_to_the_end().chat, line)
    assert not answer.messages[0].text.startswith("The same network")


def test_stop_says_where_it_stopped() -> None:
    answer = talk(HALL, "C2 C3", "stop")
    assert answer.chat.is_over
    assert "three capacitors left" in text_of(answer)


def test_leaving_hands_back_what_was_typed() -> None:
    assert "C1 = 4 uF from A to P" in text_of(leave(talk("C1 = 4 uF from A to P").chat))
    assert "C1 = 4 uF from A to B" in text_of(leave(talk("book", "A B", "C1 4 uF to B").chat))


def test_settings_hold_from_walk_to_walk() -> None:
    answer = talk("set p.d. voltage", "3 uF -- 7 uF, across 20 V")
    assert "the voltage and the charge" in text_of(answer)
    assert "cannot be set" in text_of(talk("set wallpaper blue"))


def test_a_drawing_is_asked_for() -> None:
    assert isinstance(talk("book").chat.stage, Reading)
    assert isinstance(talk("drawing").chat.stage, Reading)


def test_a_fault_of_the_program_ends_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> Answer:
        raise ZeroDivisionError

    chat = talk(HALL).chat
    monkeypatch.setattr("tutor.front.chat.talk.respond", broken)
    answer = safely(chat, "C2 C3")
    assert answer.chat is chat
    assert "ZeroDivisionError" in text_of(answer)


def test_the_standing_of_a_story_in_a_walk_and_of_a_detour() -> None:
    bridge = (
        "C1 = 1 uF from A to P; C2 = 2 uF from A to Q; C3 = 2 uF from P to B; "
        "C4 = 1 uF from Q to B; C5 = 1 uF from P to Q; ends A and B; across 12 V"
    )
    story = talk(bridge, "none", "no").chat
    assert standing(story) == "In this step: eight answers to go."
    assert may_be_typed(story)[:2] == ("V_P", "where are we")
    detour = talk(bridge, "star A P Q", "5 uF", "2.5 uF", "5 uF").chat
    assert standing(detour).startswith("Step 1 of 4")
    assert may_be_typed(detour)[:3] == ("C12", "C15", "C25")


def test_the_standing_tells_how_far_the_walk_has_come() -> None:
    assert standing(open_home(Chat(Terms())).chat) == "Type a network, 1, 2, 3 or 'book'."
    lines = (HALL, "C2 C3", "p.d. P B", "14 uF", "C1 C23", "charge, P", "4.2", "63", "charge",
             "10.5", "4.5", "p.d.", "40.5", "22.5", "15 V")
    assert standing(talk(lines[0]).chat) == "Step 1 of 2, then eight answers back."
    assert standing(talk(*lines[:4]).chat) == "Step 2 of 2, then eight answers back."
    for to_go, word in enumerate(
        ("Two", "Three", "Four", "Five", "Six", "Seven", "Eight"), start=2
    ):
        assert standing(talk(*lines[:-to_go]).chat) == f"{word} answers to go."
    assert standing(talk(*lines[:-1]).chat) == "One answer to go."
    assert standing(talk(*lines).chat) == "Done. Type another network, or 'stop'."


def test_what_may_be_typed_follows_the_question() -> None:
    assert may_be_typed(open_home(Chat(Terms())).chat)[:3] == ("1", "2", "3")
    assert may_be_typed(talk(HALL).chat)[:3] == ("C1", "C2", "C3")
    assert may_be_typed(talk(HALL, "C2 C3").chat)[:2] == ("p.d.", "charge")


LINES = (
    "1", "3", "book", "A B", "C1 4 uF", "new", "none", "yes", "no", "back", "C2 C3", "C1 C2",
    "p.d.", "charge", "b", "c", "show me", "I don't know", "undo", "start again", "help", "",
    "drawing", "C1 = 4 uF from A to P", "ends A and B", HALL, "change 6 to 5", "C1 = 3 uF;",
    "remove C1", "wire P Q", "12 V", "where are we", "set figures 3", "\x1b[31m", "(((", "stop",
)  # fmt: skip


@settings(max_examples=some(60), deadline=None)
@given(st.lists(st.sampled_from(LINES) | st.text(max_size=12), max_size=14))
def test_every_line_gets_an_answer(lines: list[str]) -> None:
    answer = open_home(Chat(Terms()))
    for line in lines:
        answer = respond(answer.chat, line)
        assert answer.messages
        assert standing(answer.chat)
        if answer.chat.is_over:
            return
        last = answer.messages[-1]
        assert last.kind == "ask" or "another network" in last.text


# Courses


def heard(*lines: str) -> Answer:
    answer = Answer(Chat(Terms()), ())
    for line in lines:
        answer = respond(answer.chat, line)
    return answer


def test_a_lesson_keeps_its_place_behind_a_network_of_ones_own_and_behind_home() -> None:
    lines = ("lesson 10", "4 uF -- 12 uF", "yes", "home", "go on")
    assert heard(*lines).chat.stage == heard("lesson 10").chat.stage
    assert heard(*lines[:3], "next").chat.stage == heard("lesson 10").chat.stage


@pytest.mark.parametrize(
    "lines",
    [
        ("lesson 15", "14 V"),
        ("practise two in parallel",),
        ("5 uF -- 20 uF, across 10 V", "C1 C2"),
        ("puzzle 9 uF from 4 uF, 6 uF, 12 uF", "hint"),
    ],
)
def test_what_is_left_by_home_goes_on_where_it_was(lines: tuple[str, ...]) -> None:
    before, after = heard(*lines), heard(*lines, "home", "go on")
    assert after.chat.stage == before.chat.stage
    assert after.chat.course == before.chat.course
    assert not after.chat.paused
    assert heard(*lines, "go on").chat.stage == before.chat.stage
    other = heard(*lines, "home", "lesson 2", "home").chat
    assert [each.course for each in other.paused[:-1]] == [before.chat.course]


def test_a_lesson_says_what_may_be_typed_and_promises_no_more_than_is_asked() -> None:
    first = heard("lesson 7")
    assert standing(first.chat) == "Type a, b or c; or 'I don't know'."
    assert all(message.text for message in first.messages)
    second = heard("lesson 7", "next")
    assert "Wanted: what is asked below, and no more." in text_of(second)


def test_a_day_that_is_over_is_not_taken_for_the_exam() -> None:
    chat = Chat(Terms(), person=Person(now=1_800_000_000.0))
    over = respond(chat, "exam on 3 March 2020")
    assert over.chat.person.exam is None
    assert "3 March 2020 is over" in text_of(over)


def test_a_task_that_was_left_in_a_lesson_can_be_gone_back_to() -> None:
    first = heard("lesson 2")
    for word in ("back", "undo"):
        assert heard("lesson 2", "next", word).chat.stage == first.chat.stage
    assert heard("lesson 2", "next", "next", "back", "back").chat.stage == first.chat.stage
    end = first
    while "That was lesson 2" not in text_of(end):
        end = respond(end.chat, "next")
    assert "stayed open; 'lesson 2' begins it once more." in text_of(end)


def test_go_on_in_a_lesson_asks_again_and_leaves_nothing_out() -> None:
    before, after = heard("lesson 10"), heard("lesson 10", "go on")
    assert after.chat.course == before.chat.course
    assert after.messages[-1].text == before.messages[-1].text


def test_after_a_lesson_comes_the_next_one() -> None:
    answer = heard("lesson 1", *["next"] * 12)
    while answer.chat.course is not None and answer.chat.course.title.startswith("Lesson 1,"):
        answer = respond(answer.chat, "next")
    assert "Lesson 2" in (answer.chat.course.title if answer.chat.course else "") or (
        "'next' begins lesson 2" in text_of(answer)
    )


def test_an_answer_typed_after_the_end_of_a_task_is_no_network() -> None:
    done = heard("lesson 9", "p.d., A and B", "23 uF")
    while not getattr(done.chat.stage, "is_done", False):
        done = respond(done.chat, "I don't know")
    for line in ("c", "23", "the charge", "hello"):
        assert "Type 'next'" in text_of(respond(done.chat, line)), line


def test_commands_pass_a_question_of_yes_or_no() -> None:
    offered = heard("lesson 10", "4 uF -- 12 uF")
    assert "Looking" not in text_of(offered)
    assert "What makes sense next" in text_of(respond(offered.chat, "where do I stand"))


def test_a_task_of_practice_comes_again_with_other_values_and_under_other_names() -> None:
    task = heard("practise two in series", "next", "next")
    assert is_walking(task.chat.stage)
    first = task.chat.stage.talk.walk.problem.network
    twin = respond(task.chat, "another like this").chat.stage
    other = respond(task.chat, "other names").chat.stage
    assert is_walking(twin)
    assert is_walking(other)
    values = sorted(c.value for c in first.capacitors)
    assert len(twin.talk.walk.problem.network.capacitors) == len(values)
    assert sorted(c.value for c in twin.talk.walk.problem.network.capacitors) != values
    assert sorted(c.value for c in other.talk.walk.problem.network.capacitors) == values
    assert "not made to order" in text_of(heard("lesson 1", "other values"))


@pytest.mark.parametrize("line", ["n", "y", "no", "Yes.", "b", "D"])
def test_a_late_answer_at_rest_is_no_network(line: str) -> None:
    answer = talk(line)
    assert isinstance(answer.chat.stage, Choosing)
    assert "I see no network" in text_of(answer)
    done = talk("4 uF, across 3 V", "12 uC", line)
    assert "I see no network" in text_of(done)


def test_one_c_by_itself_is_a_capacitor() -> None:
    assert is_walking(talk("C").chat.stage)


def test_where_i_stand_fits_on_a_screen_and_in_full_has_the_evidence() -> None:
    chances = tuple(SKILL_OF)[:12]
    answers = [
        answer(skill.code, "rrrw"[at % 4], malrules=chances[at % 9: at % 9 + 1] * (at % 4 == 3),
               sure=True, chances=chances)
        for skill in SKILLS for at in range(8)
    ]
    person = Person("Ada", standing_of(seen(answers)), 60 * DAY)
    page = Page(80)
    short, full = (
        [row for line in text_of(respond(Chat(DEFAULTS, person=person), words)).split("\n")
         for row in page.wrapped(line)]
        for words in ("where do I stand", "where do I stand in full")
    )
    assert len(short) <= 20, "\n".join(short)
    suggestions = [row for row in short if row.startswith("- '")]
    assert len({row.split(".")[0] for row in suggestions}) == len(suggestions) > 1
    assert "'where do I stand in full' shows every skill, with what shows it." in short
    assert len(full) > 40
    assert any("of the last 5 without help" in line for line in full)


@pytest.mark.parametrize("line", ["V2 2.5", "V1 = 7.5, V2 = 2.5 V", "Q1 30 uC, Q2 30 uC", "2.5 V"])
def test_values_said_after_the_end_are_no_network(line: str) -> None:
    done = heard("4 uF -- 12 uF, across 10 V", "C1 C2, charge, P, 3 uF", "30 uC", "charge")
    while not getattr(done.chat.stage, "is_done", False):
        done = respond(done.chat, "I don't know")
    after = respond(done.chat, line)
    assert "V2 = 2.5 V" in text_of(after)
    assert after.chat.stage == done.chat.stage


def test_a_sum_typed_in_a_problem_in_stages_says_how_its_number_came_about() -> None:
    story = ("4 uF, across 9 V; then remove supply; then fill C1 with 2", "p.d.")
    assert "if that is what you did" in text_of(heard(*story, "2.25"))
    told = text_of(heard(*story, "9/4"))
    assert "what you get by dividing one of capacitance and p.d. by the other. " in told
