"""Lessons on a screen come in pages; in a pipe they stay whole."""

from __future__ import annotations

import pytest

from tutor.front.chat.reflecting import COMPARE, TAKEN
from tutor.front.chat.stages import Chat, Person, Reflecting
from tutor.front.chat.talk import respond
from tutor.front.lesson_pages import FREE, pages
from tutor.front.plain import Page
from tutor.front.saying import Voice, said_lines
from tutor.practice.library import own_lessons
from tutor.teaching.messages import Message
from tutor.teaching.settings import DEFAULTS

LESSONS = own_lessons()


def stops(number: int) -> list[tuple[Message, ...]]:
    """What is said at each stop of a lesson that is left out by 'next' all the way."""
    answer = respond(Chat(DEFAULTS, person=Person()), f"lesson {number}")
    said = [answer.messages]
    while answer.chat.course is not None:
        answer = respond(answer.chat, "next")
        said.append(answer.messages)
    return said


@pytest.mark.parametrize("number", [each.number for each in LESSONS])
def test_every_page_of_a_lesson_fits_a_screen_and_has_a_heading(number: int) -> None:
    for columns, height in ((40, 24), (80, 24), (76, 40)):
        page = Page(columns)
        voice = Voice(page, page)
        for messages in stops(number):
            found = pages(messages, voice, height)
            assert all(len(each) <= height - FREE for each in found)
            shown = [line.text for each in found for line in each if line.text]
            wanted = [line.text for line in said_lines(messages, voice) if line.text]
            # a heading comes again on each page that it stands over, and one for the task is added
            assert [line for line in shown if line in set(wanted)][:1] == wanted[:1]
            assert set(wanted) <= set(shown)
            if len(found) > 1:
                assert all(
                    any(line.role == "heading" for line in each) for each in found
                    if each[0].role != "drawing"
                )


def test_what_fits_is_one_page_and_other_talk_is_never_cut() -> None:
    voice = Voice(Page(80), Page(80))
    assert len(pages(stops(10)[0], voice, 60)) == 1
    long = [Message("say", f"line {number}") for number in range(200)]
    assert len(pages(long, voice, 24)) == 1


def test_own_words_are_followed_by_a_model_answer() -> None:
    answer = respond(Chat(DEFAULTS, person=Person()), "lesson 10")
    while not isinstance(answer.chat.stage, Reflecting):
        answer = respond(answer.chat, "next")
    told = respond(answer.chat, "they share one charge, so the p.d.s add").messages
    assert told[0].text == TAKEN
    assert told[1].text.startswith(f"{COMPARE} Both hold one charge.")
    left = respond(answer.chat, "next").messages
    assert not any(COMPARE in message.text for message in left), "only after an own try"


def test_a_request_or_a_question_is_no_answer_in_own_words() -> None:
    answer = respond(Chat(DEFAULTS, person=Person()), "lesson 8")
    while not isinstance(answer.chat.stage, Reflecting):
        answer = respond(answer.chat, "next")
    asked = answer.messages[-1].text
    requests = ("hint", "could I have a hint please", "I don't know", "what is an island?", "list")
    for line in requests:
        told = respond(answer.chat, line)
        assert told.messages[-1].text == asked, line
        assert COMPARE not in " ".join(m.text for m in told.messages), line
    twice = respond(respond(answer.chat, "I don't know").chat, "no idea")
    assert twice.messages[0].text.startswith(COMPARE)
    assert respond(answer.chat, "is it because nothing else is joined?").messages[0].text == TAKEN


def test_every_free_question_of_the_lessons_has_a_model_answer() -> None:
    free = [each for lesson in LESSONS for each in lesson.exercises if each.kind == "say"]
    assert len(free) >= len(LESSONS)
    for each in free:
        assert 40 < len(each.model) < 500, each.text
