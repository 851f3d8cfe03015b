"""The one exchange: every request in every kind of problem, and no cell of the table empty."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import NamedTuple

import pytest

from grammar.reading import read_network
from tests.teaching.staged.manners import typed
from tests.teaching.talking import LADDER
from tutor.circuit.network import build
from tutor.teaching.conversation import Conversation, Replied, place_of
from tutor.teaching.exchange import ROUTES, TOO_LONG, begin, begin_story, hear, told
from tutor.teaching.line_reading import AT_ANY_MOMENT
from tutor.teaching.pile import TASKS, TaskKind
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import TextSource, story_of
from tutor.teaching.staged.story import Telling

BRIDGE = (
    "C1 = 1 uF from A to P; C2 = 2 uF from A to Q; C3 = 3 uF from P to B; C4 = 4 uF from Q to B; "
    "C5 = 5 uF from P to Q; ends A and B; across 12 V"
)
STORIES = {
    "ratings": "C1 = 3 uF rated 100 V -- C2 = 7 uF rated 63 V",
    "joined": "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2 crossed",
    "filled": "5 uF, across 12 V; then remove supply; then fill C1 with 4",
    "plates": "C1 = plates 100 cm2 gap 1 mm filled 2.5; across 12 V",
    "layers": "C1 = plates 100 cm2 layers 0.4 mm of 2, 0.6 mm of 5",
    "missing": "C1 = 3 uF -- C2 = ?; C = 2.1 uF",
    "endless": "ladder of (series 2 uF, shunt 4 uF) without end, across 12 V",
    "bank": "bank of 10 uF rated 50 V for 20 uF at 200 V",
    "sphere": "C1 = sphere radius 12 cm, across 100 V",
}


def _walk(text: str, *lines: str) -> Replied:
    reply = begin(build(read_network(text)))
    for line in lines:
        reply = hear(reply.talk, line)
    return reply


def _story(text: str) -> Replied:
    description = read_network(text)
    story = story_of(description, DEFAULTS)
    assert story is not None
    return begin_story(story, DEFAULTS, source=TextSource(description))


def _detour() -> Replied:
    reply = _walk(BRIDGE, "star A P Q")
    while isinstance(reply.talk.in_hand, Telling):
        assert reply.talk.in_hand.ask is not None
        reply = hear(reply.talk, typed(reply.talk.in_hand.ask))
    return reply


_BEGUN: dict[str, Callable[[], Replied]] = {
    "choice": lambda: _walk(LADDER),
    "shares": lambda: _walk(LADDER, "C2 C3"),
    "value": lambda: _walk(LADDER, "C2 C3", "pd, P and B"),
    "bridge": lambda: _walk(BRIDGE, "none"),
    "star for a triangle": lambda: _walk(BRIDGE, "star A P Q"),
    "detour": _detour,
    "what if": lambda: _walk(LADDER, "what if C2 is doubled"),
    "what if in stages": lambda: hear(_story(STORIES["filled"]).talk, "what if C1 is doubled"),
    **{name: (lambda text=text: _story(text)) for name, text in STORIES.items()},
}
# A conversation never changes, so each is begun once.
KINDS: dict[str, Callable[[], Replied]] = {name: cache(begun) for name, begun in _BEGUN.items()}
REQUESTS = (
    "where are we", "list", "drawing", "why", "hint", "energy", "help", "repeat", "settings",
    "fair copy", "save it", "set figures 3", "undo", "start again", "what if",
    "I will build it", "I don't know", "show me",
)
STAYING = REQUESTS[:12]
# One given thing of each kind that has no C1 of a value of its own.
CHANGED = {
    "plates": "the gap of C1", "layers": "the area of C1", "endless": "the shunt capacitor",
    "bank": "the rating", "sphere": "the radius of C1",
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("request_said", REQUESTS)
def test_every_request_is_answered_in_every_kind_of_problem(kind: str, request_said: str) -> None:
    start = KINDS[kind]()
    if request_said == "what if":
        request_said = f"what if {CHANGED.get(kind, 'C1')} is doubled"
    reply = hear(start.talk, request_said)
    assert reply.messages
    assert all(message.text for message in reply.messages)
    assert not any(message.verdict for message in reply.messages), reply.messages
    assert sum(message.kind == "ask" for message in reply.messages) == 1
    assert reply.messages[-1].kind == "ask"


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("request_said", STAYING)
def test_what_only_asks_leaves_the_question_in_hand(kind: str, request_said: str) -> None:
    start = KINDS[kind]()
    reply = hear(start.talk, request_said)
    expected = start.messages[-1].text
    told = reply.messages[-1].text
    is_small = request_said == "hint" and told.endswith("?")  # a hint's own question stands alone
    assert told == expected or is_small or (
        request_said == "energy" and kind.startswith("what if")
    )
    assert place_of(reply.talk.in_hand) == place_of(start.talk.in_hand)
    assert len(reply.talk.frames) == len(start.talk.frames)
    assert reply.talk.before == start.talk.before


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("long", ["hint " * 200, "is it 5 " * 100, "V = 5 and " * 80])
def test_a_line_of_many_hundred_letters_is_neither_marked_nor_obeyed(kind: str, long: str) -> None:
    start = KINDS[kind]()
    reply = hear(start.talk, long)
    assert [message.text for message in reply.messages] == [TOO_LONG, start.messages[-1].text]
    assert reply.talk.frames == start.talk.frames
    assert reply.talk.before == start.talk.before


def test_no_cell_of_the_table_is_empty() -> None:
    """Each request is taken by the conversation itself or by each kind of task."""
    asked = {"undo", "restart", "stop", "repeat", *AT_ANY_MOMENT}
    assert asked <= ROUTES.keys()
    for kind in TASKS.values():
        assert all(callable(each) for each in kind)
    of_tasks = {"where", "points", "drawing", "why", "hint", "unsure", "show", "typed", "energy",
                "tell"}
    assert of_tasks <= set(TaskKind._fields)


@pytest.mark.parametrize("name", STORIES)
def test_undo_in_stages_takes_back_exactly_one_answer(name: str) -> None:
    replies = [_story(STORIES[name])]
    while not replies[-1].talk.over:
        ask = replies[-1].telling.ask
        assert ask is not None
        replies.append(hear(replies[-1].talk, typed(ask)))
    back = replies[-1]
    for before in reversed(replies[:-1]):
        back = hear(back.talk, "undo")
        assert back.talk.frames == before.talk.frames
        assert back.messages[-1] == before.messages[-1]
    assert "nothing to take back" in hear(back.talk, "undo").messages[0].text


class Several(NamedTuple):
    text: str
    before: tuple[str, ...]
    line: str
    right: int


@pytest.mark.parametrize("case", [
    Several(STORIES["joined"], (), "Q1 = 30 uC, E = 150 uJ", 2),
    Several(STORIES["plates"], (), "0.01, 0.001", 2),
    Several(STORIES["joined"], ("30 uC", "150 uJ", "charge"), "V = 3 V, Q1 = 9 uC, Q2 = 21 uC", 3),
])
def test_several_answers_in_one_line(case: Several) -> None:
    reply = _story(case.text)
    for line in case.before:
        reply = hear(reply.talk, line)
    at = reply.telling.at
    reply = hear(reply.talk, case.line)
    assert [m.verdict for m in reply.messages if m.verdict] == ["right"] * case.right
    assert reply.telling.at == at + case.right


def test_a_later_result_is_taken_at_once_and_not_asked_again() -> None:
    reply = hear(_story(STORIES["joined"]).talk, "Q2 = 21 uC")
    assert [m.verdict for m in reply.messages if m.verdict] == ["right"]
    asked = []
    while not reply.talk.over:
        ask = reply.telling.ask
        assert ask is not None
        asked.append(ask.name)
        reply = hear(reply.talk, typed(ask))
    assert "Q2" not in asked


def test_accepted_rounding_is_carried_forward_in_stages() -> None:
    reply = _story("C1 = 7 uF charged to 11 V; C2 = 6 uF; join C1 and C2")
    for line in ("77 uC", "424 uJ", "charge"):
        reply = hear(reply.talk, line)
    reply = hear(reply.talk, "V = 5.9 V")  # 77/13 V, rounded to two figures
    assert reply.messages[0].verdict == "right"
    reply = hear(reply.talk, "Q1 = 41.3 uC")  # 7 µF × 5.9 V
    assert reply.messages[0].verdict == "right"


def test_given_and_found_values_may_stand_in_a_sum() -> None:
    reply = _story(STORIES["joined"])
    for line in ("Q1 = C1 * 10 V", "1/2 * Q1 * 10 V"):
        reply = hear(reply.talk, line)
        assert reply.messages[0].verdict == "right", line


def test_a_what_if_in_stages_asks_first_then_shows_both_sides() -> None:
    start = _story(STORIES["filled"])
    opened = hear(start.talk, "what if the supply is doubled")
    assert opened.messages[0].text == "Suppose the supply is doubled; all else as it is."
    assert opened.messages[-1].text.startswith("Which way do these go:")
    part = hear(opened.talk, "V up, E up")
    assert part.messages[0].verdict == "right"
    assert part.messages[-1].text == "And which way does C1 go? ('show' shows it.)"
    answered = hear(part.talk, "same")
    assert answered.messages[0].verdict == "right"
    assert answered.messages[-1] == start.messages[-1]
    assert answered.talk.frames == start.talk.frames
    assert hear(opened.talk, "V down").messages[0].verdict == "wrong"


def test_a_what_if_in_stages_says_what_letters_mean_that_no_question_brought_up() -> None:
    start = _story("5 uF, across 8 V; then fill C1 with 4")
    opened = hear(start.talk, "what if the supply is doubled")
    assert opened.messages[0].text.endswith(
        "Later on, W is the work of the supply and W_filling is the work on the filling."
    )


def test_a_what_if_in_stages_tells_no_number_that_is_still_to_be_found() -> None:
    reply = _story(STORIES["filled"])
    opened = hear(reply.talk, "what if C1 is doubled")
    shown = hear(opened.talk, "show me")
    for ask in reply.telling.story.asks:
        if ask.dimension is not None:
            assert ask.reveal.rsplit("=", 1)[-1].strip() not in shown.messages[0].text


def test_a_task_knows_nothing_of_the_pile() -> None:
    """What stands on a problem is on the pile, and in no field of the problem."""
    reply = hear(_detour().talk, "what if C1 is doubled")
    assert [frame.purpose for frame in reply.talk.frames] == ["problem", "detour", "what if"]
    assert isinstance(reply.talk, Conversation)
    assert not isinstance(reply.talk.problem, Telling)


def test_a_value_said_where_words_are_asked_is_no_answer_in_words() -> None:
    reply = hear(_story(STORIES["filled"]).talk, "Q = 60 uC, E = 360 uJ")
    assert [m.verdict for m in reply.messages if m.verdict] == ["right", "right"]
    assert reply.telling.at == 0


@pytest.mark.parametrize("line", ["1/8 + 1/12", "5/24"])
def test_the_sum_of_reciprocals_is_half_way_and_no_spent_try(line: str) -> None:
    reply = _walk("8 uF -- 12 uF, across 12 V", "C1 C2", "charge, at P", line)
    assert reply.messages[0].verdict == "incomplete"
    assert reply.messages[0].text == "1/C12 is right so far. Turn it over to get C12."
    assert reply.walk.tries == 0


def test_a_direction_of_a_value_that_is_not_asked_is_no_praise_for_those_that_are() -> None:
    opened = hear(_story(STORIES["joined"]).talk, "what if C1 is doubled")
    assert "Q1" not in opened.messages[-1].text
    assert hear(opened.talk, "Q1 up").messages[0].verdict == "unread"
    assert hear(opened.talk, "I think it goes up").messages[0].verdict == "right"
    assert hear(opened.talk, "who knows").messages[0].verdict == "unread"
    assert hear(opened.talk, "all up").messages[0].verdict == "right"


@pytest.mark.parametrize("kind", [kind for kind in KINDS if not kind.startswith("what if")])
def test_whoever_leads_is_told_the_way_to_the_end(kind: str) -> None:
    """Each question is answered, with nothing asked of anyone, until nothing is left."""
    talk, asked = KINDS[kind]().talk, 0
    while not talk.over:
        reply = told(talk)
        assert reply.messages
        assert not [m for m in reply.messages if m.verdict is not None and m.verdict != "right"]
        talk, asked = reply.talk, asked + 1
        assert asked < 60
    assert asked > 1


def test_two_wrong_values_at_a_bridge_lead_to_the_balance_of_charges() -> None:
    """No step can be shown there, since none can be taken."""
    reply = _walk(BRIDGE, "C12 = 2.4", "C12 = 2.5")
    assert "Here nothing more can be combined" in " ".join(m.text for m in reply.messages)
    assert reply.messages[-1].kind == "ask"


@pytest.mark.parametrize(("text", "change", "going"), [
    ("C1 = sphere radius 12 cm, across 100 V", "the radius is halved", "C goes down"),
    ("C1 = spheres radii 12 cm and 13 cm filled 32", "the inner radius is halved", "C goes down"),
    ("C1 = spheres radii 12 cm and 13 cm", "the outer radius is doubled", "C goes down"),
    ("C1 = spheres radii 12 cm and 13 cm", "the inner radius is doubled", "not smaller"),
    ("C1 = spheres radii ? and 17.98 cm; C1 = 5 pF", "the outer radius is doubled", "Changeable"),
])
def test_measure_of_any_shape_is_supposed_other(text: str, change: str, going: str) -> None:
    """Nearer surfaces hold more charge for each volt, and so does a larger sphere."""
    reply = hear(_story(text).talk, f"what if {change}")
    shown = hear(reply.talk, "show me") if reply.talk.is_supposing else reply
    assert going in shown.messages[0].text
