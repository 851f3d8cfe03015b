"""Questions: every term and every question about the task, in every kind of problem."""

from __future__ import annotations

import re

import pytest

from grammar.reading import read_network
from tests.teaching.staged.manners import typed
from tests.teaching.talking import LADDER, asked, converse, said
from tests.teaching.test_exchange import BRIDGE, KINDS
from tutor.circuit.network import build
from tutor.teaching.conversation import Replied
from tutor.teaching.enquiry.glossary import A_LINE, HERE, GlossaryEntry, glossary
from tutor.teaching.enquiry.matter import NO_NETWORK
from tutor.teaching.enquiry.replying import CANNOT, SAY_THE_LINE, explained, term_in
from tutor.teaching.exchange import begin, hear
from tutor.teaching.settings import Settings
from tutor.teaching.speech import shorter
from tutor.teaching.staged.story import Telling
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Walk

ASKED = {
    "what am I meant to do?": "want|Say|Find|Nothing is to be|letter",
    "say that in other words": "want|Say|Find|Nothing is to be|letter",
    "what for?": "leave|wanted|comes before|reason|less|shows",
    "lost you there": "want|Say|Find|Nothing is to be|letter",
    "how do i type that": "'help' lists",
    "how many steps are left?": "still to come|question \\d+ of|one question",
    "how long is this": "still to come|question \\d+ of|one question",
    "is that right?": "Say it as your answer, and I'll tell you",
    "can I use a calculator?": "worked out",
    "what units": "It is in|No unit",
    "what is the formula?": "Q = C V",
    "does the order matter?": "changes no result",
    "are we done yet": "still to come|question \\d+ of|one question",
    "what happens when I get it wrong?": "does no harm",
    "is there another way?": "Often there is|Any way",
    "why can't I just add them?": "depends on what is shared",
    "where did that number come from?": "where are we",
    "does the charge get used up?": "not used up",
    "isn't the current the same everywhere?": "Nothing crosses the gap",
    "doesn't the bigger one get more charge?": "By Q = C V",
    "do I add or multiply": "depends on what is shared",
    "is it like with resistors": "do not carry over",
    "how long does it take to charge": "beyond this program",
    "why not the charge?": "for certain only|stays on plates",
    "why isn't it the p.d.?": "for certain only|stays on plates",
    "why does the voltage drop?": "goes with Q and against C",
    "why does V go down": "goes with Q and against C",
    "why does the energy drop?": "does not vanish",
    "why can it be left out?": "holds no charge",
}


def answer_to(start: Replied, line: str) -> str:
    """What is said to a question, which is to be neither marked nor counted."""
    reply = hear(start.talk, line)
    kinds = [message.kind for message in reply.messages]
    assert kinds == ["say", "ask"], (line, reply.messages)
    assert not any(message.verdict or message.seen for message in reply.messages)
    assert reply.talk.frames == start.talk.frames
    assert reply.talk.before == start.talk.before
    assert reply.messages[-1].text == shorter(start.messages[-1].text)
    return reply.messages[0].text


def to_be_found(start: Replied) -> str:
    """The value that the question in hand asks for, as it is written; nothing where none is."""
    task = start.talk.in_hand
    if isinstance(task, Telling):
        ask = task.ask
        if ask is None or ask.right is None or ask.dimension is None:
            return ""
        from tutor.teaching.speech import Speech

        return Speech(task.story.powers, task.terms).amount(ask.right, ask.dimension)
    if not isinstance(task, Walk) or (quantity := asked(task).quantity) is None:
        return ""
    return speech_of(task).amount(task.truth[quantity], quantity.dimension)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("line", ASKED)
def test_question_about_the_task_or_the_physics(kind: str, line: str) -> None:
    told = answer_to(KINDS[kind](), line)
    assert re.search(ASKED[line], told), told


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("entry", glossary(), ids=lambda entry: entry.term)
def test_term_is_told_and_not_what_is_asked(kind: str, entry: GlossaryEntry) -> None:
    start = KINDS[kind]()
    told = answer_to(start, f"what does {entry.term} mean?")
    assert told.split()[0] == entry.meaning.format(pd="p.d.", pds="p.d.s").split()[0]
    shown = to_be_found(start)
    found = re.search(rf"(?<![\d.]){re.escape(shown)}", told) if shown else None
    assert found is None or shown in said(start)


@pytest.mark.parametrize("entry", glossary(), ids=lambda entry: entry.term)
@pytest.mark.parametrize("form", [
    "whats {}", "wat is a {} again", "what's {} supposed to be??", "i dont get {}",
    "explain {} pls", "never heard of {}", "{}?", "i forgot what {} means",
])
def test_term_asked_for_in_any_form(entry: GlossaryEntry, form: str) -> None:
    line = form.format(entry.term)
    if form == "{}?" and entry.term in ("charge", "p.d.", "energy"):
        return  # an answer put as a question, or a request
    start = KINDS["shares"]()
    told = answer_to(start, line)
    assert told == told_of(entry, start), line


def told_of(entry: GlossaryEntry, start: Replied) -> str:
    return hear(start.talk, f"what does {entry.term} mean?").messages[0].text


@pytest.mark.parametrize("entry", glossary(), ids=lambda entry: entry.term)
def test_entry_is_two_sentences_at_most(entry: GlossaryEntry) -> None:
    told = explained(entry, NO_NETWORK).replace("p.d.", "pd")
    for kind in ("choice", "bridge", "joined", "filled"):
        told = answer_to(KINDS[kind](), f"what does {entry.term} mean?").replace("p.d.", "pd")
        assert len(re.findall(r"[.](?: |$)", told)) <= 2, told


def test_terms_are_those_of_this_network() -> None:
    start = begin(build(read_network(LADDER)))
    assert "at P there are plates of C1, C2 and C3" in answer_to(start, "what is an island?")
    assert "Here the ends are A and B." in answer_to(start, "whats a terminal")
    assert "4 µF, needs 4 µC for each volt" in answer_to(start, "what is capacitance")
    assert "The supply holds 12 V between A and B" in answer_to(start, "whats the supply")
    assert "1/(4 µF)" in answer_to(start, "whats a reciprocal")
    assert "Here there is none" in answer_to(start, "is this a bridge?")
    bridge = begin(build(read_network(BRIDGE)))
    assert "C5 does, from P to Q" in answer_to(bridge, "is this a bridge circuit?")


def test_names_and_points_are_told() -> None:
    start = converse(LADDER, ["C2 C3", "p.d., P and B"])[-1]
    assert "C1, 4 µF, from A to P" in answer_to(start, "which one is C1 again")
    assert "the place of C2 and C3" in answer_to(start, "what's C23?")
    assert "C1, C2 and C3" in answer_to(start, "what is P")
    assert "C1, C2 and C3" in answer_to(start, "is P a charge or a point here")
    assert "the charge of C2" in answer_to(start, "what does Q2 mean")


def test_the_learners_own_word_is_used() -> None:
    start = begin(build(read_network(LADDER)), Settings(difference="voltage"))
    assert answer_to(start, "what is a p.d.?").startswith("A voltage is a difference")


def test_what_cannot_be_answered_is_said_to_be_so() -> None:
    assert answer_to(KINDS["choice"](), "who won the match yesterday?") == CANNOT
    assert term_in("who won the match yesterday?") is None


@pytest.mark.parametrize("line", ["but why 4?", "why is it 4 uF", "how come C23 is 4?", "why 4 uF"])
def test_why_a_number_is_what_it_is(line: str) -> None:
    """It comes with its working; of one that is not here the learner's own line is asked for."""
    start = converse("2 uF -- (1 uF || 3 uF), across 6 V", ["C2 C3", "p.d., P and B", "4 uF"])[-1]
    assert "C2 + C3 = 1 µF + 3 µF" in answer_to(start, line)
    assert answer_to(start, line.replace("4", "9")) == SAY_THE_LINE
    assert answer_to(start, "but why is it not 9?") == SAY_THE_LINE
    assert "text of the problem" in answer_to(start, "why 6?")


STAGED = "C1 = 12 uF -- C2 = ?; C = 8 uF"


@pytest.mark.parametrize("line", [
    "whats a reciprocal", "so do i add or what", "is it the charge that adds",
    "why that?? i thought both", "can it be more than one", "do reciprocals add then",
    "does c2 have to be bigger", "what do you mean adds up",
])
def test_question_is_marked_at_no_place_of_a_problem_in_stages(line: str) -> None:
    start = KINDS["missing"]()
    while not start.talk.over:
        reply = hear(start.talk, line)
        assert not any(message.verdict for message in reply.messages), reply.messages
        assert reply.telling.at == start.telling.at
        assert reply.telling.tries == start.telling.tries
        ask = start.telling.ask
        assert ask is not None
        start = hear(start.talk, typed(ask))


@pytest.mark.parametrize("entry", glossary(), ids=lambda entry: entry.term)
def test_what_a_term_is_here_is_told_by_something(entry: GlossaryEntry) -> None:
    assert entry.words.strip()
    assert entry.meaning.endswith(".")
    assert not entry.here or entry.here in HERE or entry.here.startswith(A_LINE)


def test_nothing_tells_of_no_term() -> None:
    assert HERE.keys() == {entry.here for entry in glossary()} & HERE.keys()


@pytest.mark.parametrize("line", [
    "why not C1 and C2?", "what about C1 and C2?", "why can't I combine C1 and C2?",
])
def test_two_that_are_asked_about_are_told_by_their_points(line: str) -> None:
    start = begin(build(read_network("6 uF -- (1 uF || 5 uF), across 8 V")), Settings())
    told = answer_to(start, line)
    assert told == "C1 is from A to P, C2 from P to B. At P there are plates of C1, C2 and C3."


def test_why_one_is_no_question_of_what_its_name_means() -> None:
    start = KINDS["ratings"]()
    assert "Of this one say what you think" in answer_to(start, "why C1?")


def test_a_number_is_known_rounded_further() -> None:
    chain = converse("5 uF -- 4 uF, across 7 V", ["both, charge, P", "20/9", "140/9"])
    assert "140/9 \u00b5C" in said(hear(chain[-1].talk, "how do you get 15.6"))


def test_a_conversion_is_no_number_of_the_text() -> None:
    told = answer_to(KINDS["plates"](), "why 100 cm2 = 0.01 m2")
    assert "stands in the text" not in told


def test_why_something_goes_up_in_a_what_if_comes_with_the_answer() -> None:
    supposed = converse("5 uF -- 4 uF, across 7 V", ["what if C1 is doubled", "C up, V2 up"])
    assert "comes with the answer" in said(hear(supposed[-1].talk, "why does V2 go up"))
