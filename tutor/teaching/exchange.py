"""The one exchange: a learner's line in, messages and the next state out; no input, no output.

How it works. A conversation is a pile of tasks (conversation.py): the problem at the bottom, what
is in hand on top. A line is looked at once (``line_reading.read``): it asks for something, it
supposes a change, or it is an answer. ``ROUTES`` says who takes what is asked of the whole
conversation; all else goes to the task that it is about, and the pile is settled (pile.py). Before
each answer the pile is kept, so that 'undo' takes back exactly that answer, whatever kind of task
it was given to.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Final

from grammar.records import Refusal
from grammar.shown import with_few_blanks
from tutor.circuit.network import Problem
from tutor.teaching import stuck_step
from tutor.teaching.closing_words import Closing
from tutor.teaching.conversation import (
    Conversation,
    Frame,
    OpenTask,
    Replied,
    TurnOf,
    place_of,
)
from tutor.teaching.fading import fade, to_be_told
from tutor.teaching.hearing import exchange_in
from tutor.teaching.line_reading import LineRead, offer, read, suppose_now, value_before
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.marking.faircopy import fair_copy
from tutor.teaching.messages import Message
from tutor.teaching.pile import again, led, of_task, settled
from tutor.teaching.settings import DEFAULTS, Settings, in_words, set_by_words
from tutor.teaching.staged import going_on, telling
from tutor.teaching.staged.story import Story, StorySource, Telling
from tutor.teaching.staged.story_pace import is_asked_in
from tutor.teaching.turn import building, of_walk, speech_of
from tutor.teaching.walk import Walk, begin_walk
from tutor.teaching.whatif import supposition
from tutor.teaching.wording import Wording

NOTHING_TO_TAKE_BACK = "There is nothing to take back yet."
TAKEN_BACK = "Taken back."
ONCE_MORE = "Once more:"
FROM_THE_START = "From the start."
TOO_LONG = "That line is too long to be read as one answer. Say it in a few words, or in lines."


# Beginning


def begin(
    problem: Problem, terms: Settings | None = None, seed: int = 0, manner: Manner = PLAIN
) -> Replied:
    """A walk: the opening words and the first question; ``seed`` orders its menus."""
    walk = begin_walk(problem, terms or Settings(), seed, manner)
    opening = Message("say", Wording(speech_of(walk)).opening(walk), drawn=of_walk(walk))
    return led(walk, [opening], ())


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

NOT_BOTH: Final = "Not both, as a rule: one of them. Which do you take, and why?"
STILL_OPEN: Final = "Still open: {}"


def hear(talk: Conversation, line: str) -> Replied:
    """Answer one line. The conversation handed in is unchanged; the new one is in the reply."""
    return act_on(talk, read(talk, with_few_blanks(line)))


def act_on(talk: Conversation, said: LineRead) -> Replied:
    """The same for a line that has been read already."""
    if said.act == "question" and (value := value_before(talk, said.text)) is not None:
        return _and_the_question(talk, value, said.text)
    talk = talk._replace(thought="")
    route = ROUTES.get(said.act)
    reply = route(talk, said) if route is not None else of_task(talk, said)
    if said.act in ("undo", "restart", "set"):  # a setting is no answer to be taken back
        return reply
    return _with_what_is_open(talk, reply)._replace(talk=_kept(talk, reply))


def _with_what_is_open(talk: Conversation, reply: Replied) -> Replied:
    """The question told as still open, where what was right was not its answer, so that nobody
    thinks it was not heard.
    """
    verdicts = {m.verdict for m in reply.messages if m.verdict}
    *said, last = reply.messages
    if verdicts != {"right"} or last.kind != "ask" or reply.talk.is_supposing or (
        place_of(talk.in_hand) != place_of(reply.talk.in_hand)
    ):
        return reply
    return reply._replace(messages=(*said, last._replace(text=STILL_OPEN.format(last.text))))


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
    return of_task(talk, LineRead("tell", ""))


def _kept(talk: Conversation, reply: Replied) -> Conversation:
    """The new conversation with the old pile to go back to, if the line was an answer or led on."""
    if (
        any(m.verdict in ("right", "wrong", "incomplete") for m in reply.messages)
        or [f.purpose for f in talk.frames] != [f.purpose for f in reply.talk.frames]
        or place_of(talk.in_hand) != place_of(reply.talk.in_hand)  # last, since it looks ahead
    ):
        return reply.talk._replace(before=(*talk.before, talk.frames))
    return reply.talk


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
        return led(start, [lead, Message("say", text, drawn=of_walk(start))], before)
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
        return of_task(talk, LineRead("answer", ""))
    return again(talk, Message("say", ONCE_MORE)) if said.text.strip() else again(talk)


def _too_long(talk: Conversation, said: LineRead) -> Replied:
    del said
    return again(talk, Message("verdict", TOO_LONG, verdict="unread"))


def _suppose(talk: Conversation, said: LineRead) -> Replied:
    """A change that is supposed of the problem; the question in hand waits on it."""
    frames = talk.frames[:-1] if talk.is_supposing else talk.frames
    talk = talk._replace(frames=frames)
    begun = suppose_now(talk, said.text)
    if isinstance(begun, Message):
        doubt = _doubt_in(talk, said.text) if begun.verdict == "unread" else None
        return again(talk, Message("say", doubt), short=True) if doubt else again(talk, begun)
    frame = Frame(begun.task, "what if")
    return Replied(talk._replace(frames=(*frames, frame)), begun.messages)


def _copy(talk: Conversation, said: LineRead) -> Replied:
    problem = talk.problem
    if isinstance(problem, Walk):
        walk = talk.own_walk
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
        return settled(talk, fade(TurnOf(task, (told,))))
    if isinstance(task, Telling) and task.ask is not None and not is_asked_in(task, task.at):
        return settled(talk, going_on.go_on(task, [told]))
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
    walk = talk.subject
    wish = exchange_in(said.text, walk.network)
    assert wish is not None, "the line has been read so"
    turn = stuck_step.exchange(walk, wish.points) if talk.frames[-1].purpose == "step" else None
    if turn is None:
        return of_task(talk, LineRead("answer", said.text))
    return settled(talk._replace(frames=talk.frames[:-1]), turn)


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

    is_word = any(said.text in words for words in offer(talk).alternatives)
    what = f"{'the ' if said.text.lower() in WITH_ARTICLE else ''}{said.text}"
    text = f"You think {what}? What makes it so?" if is_word else (
        f"Do you mean: {what}? Say yes, and it is taken as your answer."
    )
    return again(talk._replace(thought=said.text), Message("say", text), short=True)


def _undecided(talk: Conversation, said: LineRead) -> Replied:
    """Several answers at once, or none of them, or so many hands for each."""
    from tutor.teaching.act_signs import COUNTED, TAKES_BOTH

    if COUNTED.search(said.text):
        text = "Hands do not settle it: let each side give one reason, then say which you take."
    elif TAKES_BOTH.search(said.text):
        return again(talk, Message("verdict", NOT_BOTH, verdict="incomplete"), short=True)
    else:
        text = "One of them, please: which do you take, and why?"
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
    "too long": _too_long,
})
