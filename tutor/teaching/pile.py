"""The pile of tasks: what each kind of task does with a line, and what becomes of the pile.

A task knows nothing of those below or above it: its turn says what it has become, what is said, and
what it opens on top of itself. Where the task on top is done, ``ENDS`` says how the one below takes
it up.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Any, NamedTuple

from tutor.teaching import dialogue, requests, stuck_step
from tutor.teaching.conversation import (
    Conversation,
    Frame,
    OpenTask,
    Replied,
    StagedSupposing,
    TurnOf,
)
from tutor.teaching.evidence import with_evidence
from tutor.teaching.fading import fade
from tutor.teaching.line_reading import LineRead, offer
from tutor.teaching.messages import Message
from tutor.teaching.speech import shorter
from tutor.teaching.staged import going_on, story_skills, supposed, telling
from tutor.teaching.staged.story import Telling
from tutor.teaching.turn import ask, of_walk, proceed, speech_of
from tutor.teaching.twins import ShownStep, twin_of
from tutor.teaching.walk import Walk, next_question
from tutor.teaching.whatif import supposition
from tutor.teaching.whatif.change import Supposing
from tutor.teaching.wording import Wording

BACK_FROM_TWINS = "Back to the network that was set."
A_TWIN = "a step like one that was shown"
# Requests that a story within a walk leaves to the walk, which they are about.
OF_THE_WALK = frozenset({"where", "points", "drawing", "energy"})


class TaskKind(NamedTuple):
    """What a kind of task does with an answer and with each request that is about it.

    ``question`` is the one in hand, to be asked once more; None where nothing is asked. ``show``
    and ``unsure`` may end the question, so that more of the learner shows than a wish. ``tell``
    answers it whether or not anyone has tried, for a class that has.
    """

    question: Callable[[Any], Message | None]
    answer: Callable[[Any, str], TurnOf[Any]]
    where: Callable[[Any], TurnOf[Any]]
    points: Callable[[Any], TurnOf[Any]]
    drawing: Callable[[Any], TurnOf[Any]]
    why: Callable[[Any], TurnOf[Any]]
    hint: Callable[[Any], TurnOf[Any]]
    unsure: Callable[[Any], TurnOf[Any]]
    show: Callable[[Any], TurnOf[Any]]
    typed: Callable[[Any], TurnOf[Any]]
    energy: Callable[[Any], TurnOf[Any]]
    tell: Callable[[Any], TurnOf[Any]]


def _question_of_walk(walk: Walk) -> Message | None:
    question = next_question(walk)
    return ask(walk, question) if question is not None else None


TASKS: Mapping[type, TaskKind] = MappingProxyType({
    Walk: TaskKind(
        _question_of_walk, dialogue.answer, requests.where, requests.points, requests.drawing,
        requests.why, requests.hint, requests.unsure, requests.show, requests.typed,
        requests.energy, requests.tell,
    ),
    Telling: TaskKind(
        going_on.question, telling.answer, telling.where, telling.points, telling.drawing,
        telling.why, telling.hint, telling.unsure, telling.show, telling.typed, telling.energy,
        telling.tell,
    ),
    Supposing: TaskKind(
        supposition.ask, supposition.answer, supposition.where, supposition.points,
        supposition.drawing, supposition.why, supposition.hint, supposition.unsure,
        supposition.show, supposition.typed, supposition.energy,
        supposition.show,
    ),
    StagedSupposing: TaskKind(
        supposed.ask, supposed.answer, supposed.where, supposed.points, supposed.drawing,
        supposed.why, supposed.hint, supposed.unsure, supposed.show, supposed.typed,
        supposed.energy, supposed.show,
    ),
})


def of_task(talk: Conversation, said: LineRead) -> Replied:
    """A request or an answer, taken by the task that it is about."""
    at = _about(talk, said.act)
    frame = talk.frames[at]
    kind = TASKS[type(frame.task)]
    if said.act == "answer":
        turn = kind.answer(frame.task, said.text)
        if not _is_right_throughout(turn):
            from tutor.teaching.last_doubt import heard_out  # late: most lines are right

            turn = heard_out(kind.answer, frame.task, said.text, turn)
        if _SAYS_MORE.search(said.text):
            from tutor.teaching.answer_grounds import with_ground_weighed  # late, as these are

            turn = with_ground_weighed(frame.task, said.text, turn)
        if at and (told := _of_the_walk_below(talk, said.text, turn)) is not None:
            return told
    else:
        turn = getattr(kind, said.act)(frame.task)
    request = None if said.act == "answer" else said.act
    if request is None and (kind_words := _beside_the_point(talk, said.text, turn)):
        return again(talk, Message("say", kind_words), short=True)
    if isinstance(frame.task, Walk) and request is not None and (
        question := next_question(frame.task)
    ):
        turn = with_evidence(frame.task, question, turn, request)
    elif isinstance(frame.task, Telling):
        turn = story_skills.with_evidence(frame.task, turn, request)
    if at < len(talk.frames) - 1:  # the question in hand is that of the task on top
        frames = (*talk.frames[:at], frame._replace(task=turn.task), *talk.frames[at + 1 :])
        return again(talk._replace(frames=frames), *(m for m in turn.messages if m.kind != "ask"))
    if isinstance(turn.task, Walk) and frame.purpose != "twin":
        turn = next_twin(fade(turn))
    return settled(talk, turn)


def _of_the_walk_below(talk: Conversation, line: str, heard: TurnOf[Any]) -> Replied | None:
    """What follows a value of the walk, said where the story on top of it knows of no such value:
    it is right there, ahead of its question, or only its name is missing.
    """
    top, walk = talk.frames[-1].task, talk.frames[-2].task
    verdicts = {message.verdict for message in heard.messages if message.verdict}
    if not (isinstance(top, Telling) and isinstance(walk, Walk) and top.ask is not None) or (
        not verdicts or verdicts & {"right", "wrong"}
        or not re.search(r"\d" if top.ask.options else r"=\s*\d", line)
    ):
        return None
    from tutor.teaching.amounts_of_walk import is_value_to_come  # late: seldom said
    from tutor.teaching.staged import answers_in_values as values

    turn = dialogue.answer(walk, line)
    if _is_right_throughout(turn) and turn.task.known != walk.known and turn.opens is None:
        frames = (*talk.frames[:-2], talk.frames[-2]._replace(task=turn.task))
        if next_question(turn.task) is None:
            return settled(talk._replace(frames=frames), turn)
        told = (m for m in turn.messages if m.kind != "ask")
        return again(talk._replace(frames=(*frames, talk.frames[-1])), *told)
    text = next((m.text for m in heard.messages if m.verdict), "")
    if is_value_to_come(walk, line):
        return again(talk, Message("verdict", values.BY_ITS_NAME, verdict="incomplete"))
    for never in (values.NO_LATER_VALUE, values.NO_SUCH_VALUE):
        if text.startswith(never):  # none of this story: the walk goes on to others
            text = text.replace(never, values.VALUES_LATER)
            return again(talk, Message("verdict", text, verdict="incomplete"))
    return None


_SAYS_MORE = re.compile(r"[^\W\d_]{2,}.*[^\W\d_]{2,}")  # than a value or a name


def _is_right_throughout(heard: TurnOf[Any]) -> bool:
    """Whether all that was judged of a line was right, and something was."""
    return {message.verdict for message in heard.messages if message.verdict} == {"right"}


def _beside_the_point(talk: Conversation, line: str, turn: TurnOf[Any]) -> str | None:
    """What is said to a line that could not be read and speaks of nothing here."""
    if talk.over or not any(m.verdict == "unread" for m in turn.messages) or any(
        m.verdict not in (None, "unread") for m in turn.messages
    ):
        return None
    from tutor.teaching.enquiry.small_talk import small_talk

    task, names = talk.in_hand, offer(talk).names
    on_offer = isinstance(task, Telling) and task.ask is not None and bool(task.ask.options)
    if on_offer or isinstance(task, Supposing | StagedSupposing):
        return small_talk(line, names, "")  # what is on offer is of more use
    return small_talk(line, names)


def _about(talk: Conversation, act: str) -> int:
    """The place of the task that a request is about."""
    last = len(talk.frames) - 1
    frame = talk.frames[last]
    if frame.purpose not in ("step", "exchange"):
        return last
    told = frame.task
    assert isinstance(told, Telling)
    is_first = act == "why" and told.at == 0 and frame.purpose == "step"
    return last - 1 if act in OF_THE_WALK or is_first else last


# What becomes of the pile


def settled(talk: Conversation, turn: TurnOf[Any]) -> Replied:
    """The conversation after a turn of its top task: what it opens is put on it, and what is done
    is taken off, so that the task below goes on.
    """
    frames = (*talk.frames[:-1], talk.frames[-1]._replace(task=turn.task))
    said: Sequence[Message] = turn.messages
    level = len(frames) - 1  # whose words they are
    if turn.opens is not None:
        frames, said = _opened(frames, turn.opens, said)
    while len(frames) > 1 and _is_done(frames[-1].task):
        top, below = frames[-1], frames[-2]
        if level == len(frames) - 1:
            said, level = _within(below, top, said), level - 1
        ended = ENDS[top.purpose](below.task, top, said)
        if isinstance(ended.task, Walk) and below.purpose != "twin" and top.purpose != "what if":
            ended = next_twin(fade(ended))
        frames, said = (*frames[:-2], below._replace(task=ended.task)), ended.messages
        if ended.opens is not None:
            frames, said = _opened(frames, ended.opens, said)
    for at in range(level, 0, -1):
        said = _within(frames[at - 1], frames[at], said)
    return Replied(talk._replace(frames=frames), tuple(said))


def _opened(
    frames: tuple[Frame, ...], frame: Frame, said: Sequence[Message]
) -> tuple[tuple[Frame, ...], Sequence[Message]]:
    """The pile with what is opened on it, a detour led on to the first question that is asked."""
    if frame.purpose != "detour" or not isinstance(frame.task, Walk):
        return (*frames, frame), said
    turn = fade(TurnOf(frame.task, tuple(said)))
    further = () if turn.opens is None else (turn.opens,)
    return (*frames, frame._replace(task=turn.task), *further), turn.messages


def _is_done(task: OpenTask) -> bool:
    if isinstance(task, Telling):
        return task.over or task.ask is None
    if isinstance(task, Walk):
        return next_question(task) is None
    return task.over


def _within(below: Frame, top: Frame, said: Sequence[Message]) -> Sequence[Message]:
    return stuck_step.within(below.task, top, said) if isinstance(below.task, Walk) else said


def again(talk: Conversation, *said: Message, short: bool = False) -> Replied:
    """The question in hand once more, after what is said; ``short`` is its last sentence alone."""
    asked = TASKS[type(talk.in_hand)].question(talk.in_hand)
    asks: Sequence[Message] = (asked,) if asked is not None else ()
    for at in range(len(talk.frames) - 1, 0, -1):
        asks = _within(talk.frames[at - 1], talk.frames[at], asks)
    if short:
        asks = tuple(each._replace(text=shorter(each.text)) for each in asks)
    return Replied(talk, (*said, *asks))


def _end_of_twin(walk: Walk, frame: Frame, said: Sequence[Message]) -> TurnOf[Walk]:
    told = stuck_step.without_its_end(said)
    if isinstance(frame.task, Walk) and (frame.task.slips or frame.task.shown):
        walk = walk._replace(shown=(*walk.shown, A_TWIN))
    if not walk.twins:
        told.append(Message("say", BACK_FROM_TWINS))
    return proceed(walk, told)


def _end_of_supposing(task: Walk | Telling, frame: Frame, said: Sequence[Message]) -> TurnOf[Any]:
    """Back to the question that waited, or to the end of the problem."""
    del frame
    if task.over:
        return TurnOf(task, (*said, Message("close", supposition.MORE)))
    asked = TASKS[type(task)].question(task)
    return TurnOf(task, (*said, asked) if asked is not None else tuple(said))


ENDS: Mapping[str, Callable[[Any, Frame, Sequence[Message]], TurnOf[Any]]] = MappingProxyType({
    "step": stuck_step.take_step,
    "exchange": stuck_step.begin_detour,
    "detour": stuck_step.back,
    "twin": _end_of_twin,
    "what if": _end_of_supposing,
})


def next_twin(turn: TurnOf[Walk], is_first: bool = False) -> TurnOf[Walk]:
    """Where a walk has come to its end, the twins of steps that were shown are asked first;
    ``is_first`` where nothing has been asked before.
    """
    walk = turn.task
    if turn.opens or walk.over or not walk.twins or next_question(walk) is not None:
        return turn
    twin = twin_of(walk, ShownStep(*walk.twins[0]))
    words = Wording(speech_of(twin))
    said = Message("say", words.twin(twin, is_first), drawn=of_walk(twin))
    question = next_question(twin)
    asked = (ask(twin, question),) if question else ()
    rest = walk._replace(twins=walk.twins[1:])
    return TurnOf(rest, (*turn.messages, said, *asked), Frame(twin, "twin"))


def led(walk: Walk, said: list[Message], before: tuple[tuple[Frame, ...], ...]) -> Replied:
    """A walk at its start, led on to the first question that is asked of this learner."""
    turn = next_twin(fade(proceed(walk, said)), is_first=True)
    return settled(Conversation((Frame(walk),), before), turn)
