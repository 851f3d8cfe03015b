"""At rest: topics and questions lead to what fits, and stray words are no network."""

from __future__ import annotations

import pytest

from tutor.front.chat.stages import Answer, Chat, Choosing, Solving
from tutor.front.chat.talk import respond
from tutor.teaching.settings import DEFAULTS

AT_REST = Chat(DEFAULTS)


def said(answer: Answer) -> str:
    return "\n".join(message.text for message in answer.messages)


@pytest.mark.parametrize(("line", "words"), [
    ("I don't get parallel", ("In parallel means", "'lesson 6'")),
    ("what is a capacitor", ("two pieces of metal", "'lesson 1'")),
    ("help me with bridges", ("joins the middles", "'lesson ")),
    ("can you explain series again", ("one after the other", "'lesson ")),
    ("i need help with energy", ("work that it took", "'lesson 17'")),
    ("bridges please", ("joins the middles", "'lesson ")), ("parallel", ("In parallel means",)),
    ("whats a prefix", ("a thousandth", "'lesson 3'")),
    ("teach me about star and triangle", ("'lesson 32'",)),
    ("what about resistors in series?", ("beyond this program",)),
    ("does it do alternating current", ("beyond this program",)),
    ("who won yesterday?", ("That I cannot answer",)),
    ("hello", ("Hello.",)), ("thanks!", ("You are welcome.",)),
    ("I've got a test on thursday what should I do", ("'practice'", "'paper units")),
    ("give me one like that but harder", ("'practice'", "'another like this'")),
    ("i keep mixing up the two formulas", ("'lesson ",)),
])
def test_topic_at_rest(line: str, words: tuple[str, ...]) -> None:
    answer = respond(AT_REST, line)
    assert all(each in said(answer) for each in words), said(answer)
    assert answer.messages[-1].kind == "ask"
    assert isinstance(answer.chat.stage, Choosing)


@pytest.mark.parametrize(("line", "says"), [
    ("give me something on dividing a p.d.", "how a chain divides its p.d."),
    ("I want to practise more in series", "three or more in series"),
    ("can I have a task about adding in parallel please", "to add capacitances side by side"),
    ("review two in series", "what two in series come to"),
    ("test me", "What you practise here"), ("practise what I got wrong", "What you practise here"),
    ("practice please", "What you practise here"),
    ("I'd like a lesson on figures", "Lesson 4"), ("lesson on layers", "Lesson 24"),
])
def test_wish_in_own_words_begins(line: str, says: str) -> None:
    answer = respond(AT_REST, line)
    assert says in said(answer)
    assert answer.chat.course is not None


@pytest.mark.parametrize(("line", "words"), [
    ("practise joining", ("'practise joining like to like'", "'practise joining crossed'")),
    ("a lesson on energy please", ("'lesson 17'", "'lesson 18'")),
    ("ask me something without numbers", ("rank the charges", "bounds")),
    ("practise questions without sums", ("rank the charges",)),
    ("practise true love", ("'practise questions without sums'",)),
    ("unit 6", ("a missing capacitor", "'paper unit 6'")),
    ("units 1 and 5", ("Unit 1", "Unit 5", "'paper units 1 and 5'")),
    ("practise unit 9", ("units 1 to 8",)), ("something harder please", ("How hard",)),
    ("paper joining crossed, 12 marks", ("unit 7",)),
    ("paper energy, 20 marks", ("Unit 5 is 'Energy'",)), ("continue", ("Nothing was left",)),
    ("my mistakes", ("Nothing that was answered",)), ("in full", ("Nothing has been asked",)),
    ("what now?", ("What makes sense next",)), ("what can I do here", ("'book'",)),
    ("how many days are left", ("No exam",)), ("what settings are there?", ("set figures 3",)),
    ("set", ("set figures 3",)), ("use voltage instead of p.d.", ("there is a voltage",)),
])
def test_wish_that_fits_no_name_is_told_what_there_is(line: str, words: tuple[str, ...]) -> None:
    answer = respond(AT_REST, line)
    assert all(each in said(answer) for each in words), said(answer)
    assert answer.chat.is_at_rest
    assert "^" not in said(answer)


def test_wish_in_a_task_is_no_answer() -> None:
    chat = respond(respond(AT_REST, "practise two in series").chat, "practise more in series").chat
    task = respond(chat, "yes").chat
    others = ("some questions about dead ends", "can we do dividing a p.d. instead", "another one")
    for line in others:
        answer = respond(task, line)
        assert not any(message.verdict for message in answer.messages), line
        assert "?" in answer.messages[-1].text
    for line in ("harder", "too easy", "how far am I", "can we do energy instead", "unit 3"):
        answer = respond(task, line)
        assert not any(message.verdict for message in answer.messages), line
        assert answer.chat.item == task.item
        assert answer.messages[-1].text


@pytest.mark.parametrize("line", [
    "something in series", "I'd do the charge", "the ones with a dead end", "try the charge",
    "none", "C1 C2, I want to do the p.d.", "both the same", "different", "try something",
    "I have a question about the charge", "let me do the question again",
])
def test_answer_is_no_wish(line: str) -> None:
    chat = respond(AT_REST, "4 uF -- 12 uF, across 10 V").chat
    answer = respond(chat, line)
    assert "Leave this one" not in said(answer)
    assert "practise" not in said(answer)


def test_exam_in_some_days() -> None:
    chat = respond(AT_REST, "exam in 2 weeks").chat
    assert "in 14 days" in said(respond(chat, "when is my exam?"))
    assert "in one day" in said(respond(respond(chat, "exam tomorrow").chat, "how many days left"))


@pytest.mark.parametrize("line", ["n", "y", "b", "ok", "no", "hm", "yes", "thanks", "maybe"])
def test_stray_words_are_no_network(line: str) -> None:
    answer = respond(AT_REST, line)
    assert isinstance(answer.chat.stage, Choosing)
    assert not answer.chat.stage.draft


@pytest.mark.parametrize("line", ["2", "2 please", "example 2", "the second one"])
def test_an_example_is_picked_by_its_place(line: str) -> None:
    assert "C1, 6 µF, from A to P" in said(respond(AT_REST, line))


@pytest.mark.parametrize(("asked", "says"), [
    ("results", "Results alone are asked"), ("the end", "The end alone is asked"),
    ("everything", ""), ("what is open", ""),
])
def test_a_setting_that_leaves_out_much_is_said_once(asked: str, says: str) -> None:
    chat = Chat(DEFAULTS._replace(asked=asked))  # type: ignore[arg-type]
    first = respond(chat, "4 uF -- 12 uF, across 8 V")
    assert ("'ask for everything' changes that" in said(first)) is bool(says)
    assert says in said(first)
    second = respond(first.chat._replace(stage=Choosing()), "4 uF -- 12 uF, across 8 V")
    assert "'ask for everything' changes that" not in said(second)


def test_who_says_no_with_a_reason_is_asked_for_the_whole_once_more() -> None:
    told = "three 6 uF in series connected to a 12 V battery and then a 2 uF beside them"
    asked = respond(AT_REST, told)
    answer = respond(asked.chat, "no, the 2 is meant to be across just one of the sixes")
    assert said(answer).startswith("Then say the whole once more.")


def test_networks_are_still_networks() -> None:
    for line in ("4 uF -- 3 uF, across 12 V", "what is the total of 2 uF || 3 uF?"):
        assert not isinstance(respond(AT_REST, line).chat.stage, Choosing)


def test_question_after_the_end_is_about_what_was_done() -> None:
    answer = respond(AT_REST, "4 uF || 3 uF")
    for line in ("C1 C2, p.d., A and B", "7 uF"):
        answer = respond(answer.chat, line)
    asked = respond(answer.chat, "what was C12 again?")
    assert "the place of C1 and C2" in said(asked)
    assert isinstance(asked.chat.stage, Solving)


def test_thanks_in_a_walk_is_not_i_do_not_know() -> None:
    answer = respond(respond(AT_REST, "4 uF || 3 uF").chat, "thanks")
    assert "You are welcome." in said(answer)
    assert not any(message.kind == "hint" for message in answer.messages)


def test_help_in_a_task_leaves_its_question() -> None:
    task = respond(AT_REST, "practise two in series")
    for line in ("help", "what can I do here?"):
        helped = respond(task.chat, line)
        assert "'next' goes on" in said(helped)
        assert helped.messages[-1].text.startswith(task.messages[-1].text[:30])
