"""The one exchange: a learner's line in, messages and the next state out; no input, no output.

How it works. A conversation is a pile of tasks (conversation.py): the problem at the bottom, what
is in hand on top. A line is looked at once (``read``): it asks for something, it supposes a change,
or it is an answer. ``ROUTES`` says who takes what is asked of the whole conversation, ``TASKS``
what each kind of task does with an answer and with each request. A task knows nothing of those
below or above it: its turn says what it has become, what is said, and what it opens on top of
itself. Where the task on top is done, ``ENDS`` says how the one below takes it up. Before each
answer the pile is kept, so that 'undo' takes back exactly that answer, whatever kind of task it
was given to.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, TypeAlias

from grammar.answers import is_plain_value
from grammar.records import Refusal
from grammar.spoken_numbers import in_figures
from tutor.circuit.network import Problem
from tutor.teaching import dialogue, requests, stuck_step
from tutor.teaching.closing_words import Closing
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
from tutor.teaching.hearing import (
    Request,
    exchange_in,
    nought_in_figures,
    request_in,
    yes_or_no,
)
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.marking.faircopy import fair_copy
from tutor.teaching.messages import Message
from tutor.teaching.pace import is_asked_in, to_be_told
from tutor.teaching.settings import DEFAULTS, Settings, in_words, set_by_words
from tutor.teaching.speech import shorter
from tutor.teaching.staged import going_on, story_skills, supposed, telling
from tutor.teaching.staged.choosing import is_lettered, names_one
from tutor.teaching.staged.story import Story, StorySource, Telling
from tutor.teaching.turn import ask, building, of_walk, proceed, speech_of
from tutor.teaching.twins import ShownStep, twin_of
from tutor.teaching.walk import Walk, begin_walk, next_question
from tutor.teaching.whatif import supposition
from tutor.teaching.whatif.change import Supposing
from tutor.teaching.wording import Wording

if TYPE_CHECKING:
    from tutor.teaching.kinds_of_act import OnOffer

Act: TypeAlias = (
    Request | Literal["question", "thought", "undecided", "unsure", "answer", "suppose", "copy",
                      "how to save", "settings", "set", "building", "exchange", "tell"]
)
# What can be asked of a problem at any moment, while it goes on and after its end.
AT_ANY_MOMENT = frozenset({"copy", "how to save", "settings", "set", "suppose", "building"})
BUILDING = re.compile(r"(?i)\b(?:build|building|solder|breadboard|for real|real capacitors?)\b")
NOTHING_TO_TAKE_BACK = "There is nothing to take back yet."
TAKEN_BACK = "Taken back."
ONCE_MORE = "Once more:"
BACK_FROM_TWINS = "Back to the network that was set."
FROM_THE_START = "From the start."


class LineRead(NamedTuple):
    """A line as it was read: what kind of act it is, and the words that the act is about."""

    act: Act
    text: str


# Beginning


def begin(
    problem: Problem, terms: Settings | None = None, seed: int = 0, manner: Manner = PLAIN
) -> Replied:
    """A walk: the opening words and the first question; ``seed`` orders its menus."""
    walk = begin_walk(problem, terms or Settings(), seed, manner)
    opening = Message("say", Wording(speech_of(walk)).opening(walk), drawn=of_walk(walk))
    return _led(walk, [opening], ())


def _led(walk: Walk, said: list[Message], before: tuple[tuple[Frame, ...], ...]) -> Replied:
    """A walk at its start, led on to the first question that is asked of this learner."""
    turn = _next_twin(fade(proceed(walk, said)), is_first=True)
    return _settled(Conversation((Frame(walk),), before), turn)


def begin_story(
    story: Story, terms: Settings = DEFAULTS, manner: Manner = PLAIN,
    source: StorySource | None = None,
) -> Replied:
    """A problem in stages: its opening and its first question; ``source`` writes it in other
    settings.
    """
    turn = telling.begin(story, terms, manner, source)
    return Replied(Conversation((Frame(turn.task),)), turn.messages)


# A line


def hear(talk: Conversation, line: str) -> Replied:
    """Answer one line. The conversation handed in is unchanged; the new one is in the reply."""
    said = read(talk, line)
    if said.act == "question" and (value := _value_before(talk, said.text)) is not None:
        return _and_the_question(talk, value, said.text)
    talk = talk._replace(thought="")
    route = ROUTES.get(said.act)
    reply = route(talk, said) if route is not None else _of_task(talk, said)
    if said.act in ("undo", "restart", "set"):  # a setting is no answer to be taken back
        return reply
    return reply._replace(talk=_kept(talk, reply))


_AND_ASKS = re.compile(
    r"(?i)^\s*(?P<value>[^,;.…!?–—]*?\w)\s*(?:(?:[,;.…!–—]+|-(?=\s))\s*(?:but|and|so|though)?|\b(?:but|and|though))\s+"
    r"(?P<asks>.*(?:\?|\b(?:why|how|what|where)\b).*)$"
)


def _value_before(talk: Conversation, line: str) -> str | None:
    """The value that a line states before it goes on to ask something else; None for none."""
    found = _AND_ASKS.match(line)
    task = talk.in_hand
    if found is None or not isinstance(task, Walk | Telling) or talk.over:
        return None
    value = nought_in_figures(in_figures(found["value"]))
    tags = r"(?i)\W*(?:right|is\s*n[o'’]?t\s+it|is\s+it|or\s+(?:not|is)\b.*|correct|yes|no)\W*"
    if re.fullmatch(tags, found["asks"]) or re.search(r"(?i)\bor\b", found["asks"]):
        return None
    return found["value"] if is_plain_value(value) else None


def _and_the_question(talk: Conversation, value: str, line: str) -> Replied:
    """A value judged, and what is said to the question behind it, where something can be."""
    from tutor.teaching.enquiry.matter import matter_of
    from tutor.teaching.enquiry.replying import CANNOT, reply_to

    answer = hear(talk, value)
    told = reply_to(line, matter_of(talk.in_hand))
    if told == CANNOT or any(m.verdict == "unread" for m in answer.messages):
        return answer
    asks = tuple(m for m in answer.messages if m.kind == "ask")
    said = tuple(m for m in answer.messages if m.kind != "ask")
    return answer._replace(messages=(*said, Message("say", told), *asks))


def told(talk: Conversation) -> Replied:
    """The question in hand answered by the tutor, and the next one; no learner's line is heard."""
    return _of_task(talk, LineRead("tell", ""))


def read(talk: Conversation, line: str) -> LineRead:
    """What kind of act a line is. What is, word for word, an answer on offer is an answer."""
    from tutor.teaching.act_signs import LEAVES  # late: no first question waits for its patterns
    from tutor.teaching.kinds_of_act import (
        beside_in,
        is_question,
        opens,
        polite_request,
        supposes,
    )

    task = talk.in_hand
    story = task if isinstance(task, Telling) and not task.over else None
    if story is not None and story.ask is not None and names_one(story.ask, line) and (
        "?" not in line or is_lettered(story.ask)
    ):
        return LineRead("answer", line)
    if BUILDING.search(line):
        return LineRead("building", line)
    beside = beside_in(line, _names(talk.problem))
    if beside is not None:
        return LineRead(*beside)
    if (supposed_so := opens(line)) is not None:
        return LineRead("suppose", supposed_so)
    if not talk.is_supposing and (supposed_so := supposes(line)) is not None:
        return LineRead("suppose", supposed_so) if _can_be_supposed(talk, supposed_so) else (
            LineRead("question", line)
        )
    if talk.is_supposing and (supposition.is_left(line) or LEAVES.search(line)):
        return LineRead("undo", line)
    if talk.thought and (held := _stands_by(talk, line)) is not None:
        return LineRead("answer", held)
    if story is not None and isinstance(talk.problem, Walk) and not is_question(line) and (
        exchange_in(line, _subject(talk).network)
    ):
        return LineRead("exchange", line)
    request = request_in(line) or polite_request(line)
    if request is None:
        return _act_in(talk, line)
    return LineRead("answer" if _answers_what_was_asked_back(talk, line) else request, line)


def _answers_what_was_asked_back(talk: Conversation, line: str) -> bool:
    """Whether words that would be a request answer what the tutor has just asked: more or less?"""
    task = talk.in_hand
    if isinstance(task, Telling):
        return telling.to_follow_up(task, line) is not None
    question = next_question(task) if isinstance(task, Walk) and task.aside is not None else None
    return question is not None and isinstance(task, Walk) and (
        dialogue.to_what_was_asked(task, question, task.aside, line) is not None
    )


def _can_be_supposed(talk: Conversation, change: str) -> bool:
    """Whether words say a change that this problem knows."""
    return not isinstance(_suppose_now(talk, change), Message)


def _act_in(talk: Conversation, line: str) -> LineRead:
    """The kind of act of a line that asks for nothing."""
    from tutor.teaching.kinds_of_act import act_of, is_question, own_words

    line = own_words(line)
    if talk.over:
        return LineRead("question" if is_question(line) else "answer", line)
    act, text = act_of(line, _offer(talk))
    if isinstance(talk.in_hand, Supposing | StagedSupposing) and act != "unsure":
        # C up? is a guess like C up.
        from tutor.teaching.whatif.predictions import guesses

        marked = re.search(r"\?\s*$", line) is not None
        turned = re.match(r"(?i)\W*(?:is|are|does|do|can|will|would|should)\b", line)
        asks = is_question(line.rstrip(" ?!")) or (marked and (turned or not guesses(line)))
        return LineRead("question" if asks else "answer", line)
    return LineRead(act, text)


def _offer(talk: Conversation) -> OnOffer:
    """What stands open to be answered."""
    from tutor.teaching.act_signs import SHARINGS
    from tutor.teaching.kinds_of_act import OnOffer

    task = talk.in_hand
    if isinstance(task, Telling):
        ask, network = task.ask, task.story.network
        options = ask.options if ask is not None and not is_lettered(ask) else ()
        words = tuple(option.words for option in options)
    else:
        words, network = (), task.network if isinstance(task, Walk) else None
    names = frozenset((*(c.name for c in network.capacitors), *network.points()) if network else ())
    question = next_question(task) if isinstance(task, Walk) else None
    if question is not None and question.about == "shares":
        words = SHARINGS
    asks_names = question is not None and question.about == "choice"
    return OnOffer(words, names, asks_names)


def _stands_by(talk: Conversation, line: str) -> str | None:
    """The answer of who was asked back about a thought, and says yes or why."""
    from tutor.teaching.act_signs import BECAUSE

    if yes_or_no(line):
        return talk.thought
    if not BECAUSE.match(line.strip().lower()):
        return None
    return f"{talk.thought}, {line}" if isinstance(talk.in_hand, Walk) else talk.thought


def _names(problem: Walk | Telling) -> list[str]:
    return [c.name for c in problem.network.capacitors] if isinstance(problem, Walk) else []


def _kept(talk: Conversation, reply: Replied) -> Conversation:
    """The new conversation with the old pile to go back to, if the line was an answer or led on."""
    if (
        any(m.verdict in ("right", "wrong", "incomplete") for m in reply.messages)
        or [f.purpose for f in talk.frames] != [f.purpose for f in reply.talk.frames]
        or _place(talk.in_hand) != _place(reply.talk.in_hand)  # last, since it looks ahead
    ):
        return reply.talk._replace(before=(*talk.before, talk.frames))
    return reply.talk


def _place(task: OpenTask) -> object:
    """Where a task stands, so that two places are equal if the same question is open at both."""
    if isinstance(task, Telling):
        return task.at
    if isinstance(task, Walk):
        return next_question(task), len(task.steps), task.over
    return None


# Who takes what


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
    question = None if walk.over else next_question(walk)
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
        supposition.drawing, supposition.why, supposition.hint, supposition.show,
        supposition.show, supposition.typed, supposition.energy,
        supposition.show,
    ),
    StagedSupposing: TaskKind(
        supposed.ask, supposed.answer, supposed.where, supposed.points, supposed.drawing,
        supposed.why, supposed.hint, supposed.show, supposed.show, supposed.typed,
        supposed.energy, supposed.show,
    ),
})
# Requests that a story within a walk leaves to the walk, which they are about.
OF_THE_WALK = frozenset({"where", "points", "drawing", "energy"})


def _of_task(talk: Conversation, said: LineRead) -> Replied:
    """A request or an answer, taken by the task that it is about."""
    at = _about(talk, said.act)
    frame = talk.frames[at]
    kind = TASKS[type(frame.task)]
    if said.act == "answer":
        turn = kind.answer(frame.task, said.text)
    else:
        turn = getattr(kind, said.act)(frame.task)
    request = None if said.act == "answer" else said.act
    if request is None and (kind_words := _beside_the_point(talk, said.text, turn)):
        return again(talk, Message("say", kind_words), short=True)
    if isinstance(frame.task, Walk) and request is not None:
        turn = with_evidence(frame.task, turn, request)
    elif isinstance(frame.task, Telling):
        turn = story_skills.with_evidence(frame.task, turn, request)
    if at < len(talk.frames) - 1:  # the question in hand is that of the task on top
        frames = (*talk.frames[:at], frame._replace(task=turn.task), *talk.frames[at + 1 :])
        return again(talk._replace(frames=frames), *(m for m in turn.messages if m.kind != "ask"))
    if isinstance(turn.task, Walk) and frame.purpose != "twin":
        turn = _next_twin(fade(turn))
    return _settled(talk, turn)


def _beside_the_point(talk: Conversation, line: str, turn: TurnOf[Any]) -> str | None:
    """What is said to a line that could not be read and speaks of nothing here."""
    if talk.over or not any(m.verdict == "unread" for m in turn.messages) or any(
        m.verdict not in (None, "unread") for m in turn.messages
    ):
        return None
    from tutor.teaching.enquiry.small_talk import small_talk

    task, names = talk.in_hand, _offer(talk).names
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


def _subject(talk: Conversation) -> Walk:
    """The walk in hand, or the one that the story in hand is told within."""
    frames = [frame.task for frame in talk.frames if isinstance(frame.task, Walk)]
    return frames[-1]


def _own_problem(talk: Conversation, problem: Walk) -> Walk:
    """The walk with the text that the question in hand is about: a twin has one of its own."""
    twin = talk.frames[-1].task if talk.frames[-1].purpose == "twin" else None
    return twin if isinstance(twin, Walk) else problem


# The pile


def _settled(talk: Conversation, turn: TurnOf[Any]) -> Replied:
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
            ended = _next_twin(fade(ended))
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
        return task.over or next_question(task) is None
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
    del frame
    told = stuck_step.without_its_end(said)
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


def _next_twin(turn: TurnOf[Walk], is_first: bool = False) -> TurnOf[Walk]:
    """Where a walk has come to its end, the twins of steps that were shown are asked first;
    ``is_first`` where nothing has been asked before.
    """
    walk = turn.task
    if turn.opens or walk.over or next_question(walk) is not None or not walk.twins:
        return turn
    twin = twin_of(walk, ShownStep(*walk.twins[0]))
    words = Wording(speech_of(twin))
    said = Message("say", words.twin(twin, is_first), drawn=of_walk(twin))
    question = next_question(twin)
    asked = (ask(twin, question),) if question else ()
    rest = walk._replace(twins=walk.twins[1:])
    return TurnOf(rest, (*turn.messages, said, *asked), Frame(twin, "twin"))


# What is asked of the whole conversation


def _undo(talk: Conversation, said: LineRead) -> Replied:
    del said
    if not talk.before:
        return again(talk, Message("say", NOTHING_TO_TAKE_BACK))
    earlier = talk._replace(frames=talk.before[-1], before=talk.before[:-1])
    if isinstance(talk.problem, Walk) and isinstance(earlier.problem, Walk):
        wanted = earlier.problem._replace(energy_wanted=talk.problem.energy_wanted)
        base = earlier.frames[0]._replace(task=wanted)
        earlier = earlier._replace(frames=(base, *earlier.frames[1:]))
    earlier = with_settings(earlier, talk.terms)
    text = supposition.LEFT if talk.is_supposing else TAKEN_BACK
    if earlier.over:
        return Replied(earlier, (Message("say", text), Message("close", supposition.MORE)))
    return again(earlier, Message("say", text))


def _restart(talk: Conversation, said: LineRead) -> Replied:
    del said
    problem, lead = talk.problem, Message("say", FROM_THE_START)
    before = (*talk.before, talk.frames)
    if isinstance(problem, Walk):
        start = begin_walk(problem.problem, problem.terms, problem.seed, problem.manner)
        text = Wording(speech_of(start)).opening(start)
        return _led(start, [lead, Message("say", text, drawn=of_walk(start))], before)
    begun = begin_story(problem.story, problem.terms, problem.manner, problem.source)
    return Replied(begun.talk._replace(before=before), (lead, *begun.messages))


def _stop(talk: Conversation, said: LineRead) -> Replied:
    del said
    problem = talk.problem
    if isinstance(problem, Walk):
        detours = [frame for frame in talk.frames if frame.purpose == "detour"]
        walks = [problem, *(f.task for f in detours if isinstance(f.task, Walk))]
        text = Closing(speech_of(problem)).stopped(
            walks, [frame.exchange for frame in detours if frame.exchange is not None]
        )
        ended: Walk | Telling = problem._replace(over=True)
    else:
        text, ended = "Stopped.", problem._replace(over=True)
    return Replied(talk._replace(frames=(Frame(ended),)), (Message("close", text),))


def _repeat(talk: Conversation, said: LineRead) -> Replied:
    if talk.over:
        return _of_task(talk, LineRead("answer", ""))
    return again(talk, Message("say", ONCE_MORE)) if said.text.strip() else again(talk)


def _suppose(talk: Conversation, said: LineRead) -> Replied:
    """A change that is supposed of the problem; the question in hand waits on it."""
    frames = talk.frames[:-1] if talk.is_supposing else talk.frames
    talk = talk._replace(frames=frames)
    begun = _suppose_now(talk, said.text)
    if isinstance(begun, Message):
        doubt = _doubt_in(talk, said.text) if begun.verdict == "unread" else None
        return again(talk, Message("say", doubt), short=True) if doubt else again(talk, begun)
    frame = Frame(begun.task, "what if")
    return Replied(talk._replace(frames=(*frames, frame)), begun.messages)


def _suppose_now(talk: Conversation, change: str) -> TurnOf[Any] | Message:
    """The task of a change that is supposed, or why there can be none."""
    problem = talk.problem
    if isinstance(problem, Telling):
        return supposed.begin(problem, change)
    walks = [frame.task for frame in talk.frames if isinstance(frame.task, Walk)]
    known = {q: value for walk in reversed(walks) for q, value in walk.known.items()}
    return supposition.begin(_own_problem(talk, problem), known, change)


def _copy(talk: Conversation, said: LineRead) -> Replied:
    problem = talk.problem
    if isinstance(problem, Walk):
        walk = _own_problem(talk, problem)
        text = fair_copy(walk, speech_of(walk))
    else:
        text = telling.fair_copy(problem)
    return again(talk, Message("reveal", text, save_as=said.text or None))


def _how_to_save(talk: Conversation, said: LineRead) -> Replied:
    from tutor.teaching.act_signs import HOW_TO_SAVE

    del said
    return again(talk, Message("say", HOW_TO_SAVE))


def _settings(talk: Conversation, said: LineRead) -> Replied:
    del said
    return again(talk, Message("say", in_words(talk.terms)))


def _set(talk: Conversation, said: LineRead) -> Replied:
    try:
        settings = set_by_words(talk.terms, said.text)
    except Refusal as refusal:
        return again(talk, Message("verdict", str(refusal), verdict="unread"))
    told = Message("say", in_words(settings), keep=settings)
    return _on_with(with_settings(talk, settings), told)


def _on_with(talk: Conversation, told: Message) -> Replied:
    """The question in hand, or the next one where it is not asked any more."""
    task = talk.in_hand
    if isinstance(task, Walk) and talk.frames[-1].purpose != "twin" and to_be_told(task):
        return _settled(talk, fade(TurnOf(task, (told,))))
    if isinstance(task, Telling) and task.ask is not None and not is_asked_in(task, task.at):
        return _settled(talk, telling.on(task, [told]))
    return again(talk, told)


def with_settings(talk: Conversation, settings: Settings) -> Conversation:
    """The conversation in other words and letters."""
    frames: list[Frame] = []
    for frame in talk.frames:
        frames.append(_reworded(frames[-1].task if frames else None, frame, settings))
    return talk._replace(frames=tuple(frames))


def _reworded(below: OpenTask | None, frame: Frame, settings: Settings) -> Frame:
    task = frame.task
    if not isinstance(task, Telling):
        return frame._replace(task=task._replace(terms=settings))
    if isinstance(below, Walk):
        return stuck_step.told_anew(below, frame)
    return frame._replace(task=telling.retold(task, settings))


def _building(talk: Conversation, said: LineRead) -> Replied:
    del said
    problem = talk.problem
    if isinstance(problem, Walk):
        return again(talk, building(problem))
    return again(talk, telling.building(problem))


def _exchange(talk: Conversation, said: LineRead) -> Replied:
    """A star for a triangle, or the other way, wished for while a step is being told: that story
    is left for it.
    """
    walk = _subject(talk)
    wish = exchange_in(said.text, walk.network)
    assert wish is not None, "the line has been read so"
    turn = stuck_step.exchange(walk, wish.points) if talk.frames[-1].purpose == "step" else None
    if turn is None:
        return _of_task(talk, LineRead("answer", said.text))
    return _settled(talk._replace(frames=talk.frames[:-1]), turn)


def _question(talk: Conversation, said: LineRead) -> Replied:
    """A question is answered, and never judged."""
    from tutor.teaching.enquiry.matter import matter_of
    from tutor.teaching.enquiry.replying import reply_to

    told = reply_to(said.text, matter_of(talk.in_hand))
    return again(talk, Message("say", told), short=True)


def _doubt_in(talk: Conversation, supposed_so: str) -> str | None:
    """The answer to what is supposed of no value of the problem: what if the wires were perfect?"""
    from tutor.teaching.enquiry.matter import matter_of
    from tutor.teaching.enquiry.replying import doubt_in

    return doubt_in(supposed_so, matter_of(talk.in_hand))


def _thought(talk: Conversation, said: LineRead) -> Replied:
    """An answer that was put as a question is asked back."""
    from tutor.teaching.act_signs import WITH_ARTICLE

    is_word = any(said.text in words for words in _offer(talk).alternatives)
    text = f"You think {'the ' if said.text.lower() in WITH_ARTICLE else ''}{said.text}? " + (
        "What makes it so?" if is_word else "Say yes, and it is taken as your answer."
    )
    return again(talk._replace(thought=said.text), Message("say", text), short=True)


def _undecided(talk: Conversation, said: LineRead) -> Replied:
    """Several answers at once, or none of them, or so many hands for each."""
    from tutor.teaching.act_signs import COUNTED

    text = (
        "Hands do not settle it: let each side give one reason, then say which you take."
        if COUNTED.search(said.text) else "One of them, please: which do you take, and why?"
    )
    return again(talk, Message("say", text), short=True)


ROUTES: Mapping[str, Callable[[Conversation, LineRead], Replied]] = MappingProxyType({
    "undo": _undo,
    "restart": _restart,
    "stop": _stop,
    "repeat": _repeat,
    "suppose": _suppose,
    "copy": _copy,
    "how to save": _how_to_save,
    "settings": _settings,
    "set": _set,
    "building": _building,
    "exchange": _exchange,
    "question": _question,
    "thought": _thought,
    "undecided": _undecided,
})
