"""Where a walk sticks: the story of the step that series and parallel cannot take.

The walk holds the story and its step until it is told, then takes the step and goes on.
"""

from __future__ import annotations

from fractions import Fraction

from tutor.circuit.beyond import balance_step, merge_step, way_on
from tutor.circuit.network import Supply
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, magnitude, tidy
from tutor.teaching import anytime
from tutor.teaching.hearing import plain, request_in
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.staged import telling
from tutor.teaching.staged.floating import JOIN, WHICH_STEP, floating_story
from tutor.teaching.staged.stuck import Stuck
from tutor.teaching.tracing import in_terms
from tutor.teaching.turn import Turn, complete, proceed, speech_of
from tutor.teaching.walk import Walk, ancestors, given, targets
from tutor.teaching.wording import Wording

TRIAL = Fraction(1)


def go_on(walk: Walk, previous: Walk, lead: str = "Right. ") -> Turn:
    """Say why nothing can be combined, and begin the story of the step that follows."""
    words = Wording(speech_of(walk))
    said = Message(
        "verdict" if lead else "reveal", f"{lead}{words.stuck(walk)}", step=len(walk.steps) + 1,
        about="choice", verdict="right" if lead else None, network=walk.network,
    )
    return _open(walk, previous, way_on(walk.network, _used(walk)), said)


def balance_here(walk: Walk) -> Turn:
    """Charge balance where the learner asks for it, though capacitors could be combined too."""
    text = "Yes, the balance of charges leads to the end from here as well."
    said = Message(
        "verdict", text, step=len(walk.steps) + 1, about="choice", verdict="right",
    )
    return _open(walk, walk, balance_step(walk.network, _used(walk)), said)


def _used(walk: Walk) -> set[str]:
    return {c.name for c in given(walk)} | walk.made


def _open(walk: Walk, previous: Walk, step: Step, said: Message) -> Turn:
    before = (*walk.before, previous._replace(before=()))
    walk = walk._replace(beyond=step, before=before, tries=0, rung=0, last_wrong=None)
    told = telling.begin(floating_story(_stuck(walk), step, speech_of(walk)), walk.terms)
    opened = walk._replace(story=told.telling)
    return Turn(opened, (said, *_in_this_walk(opened, told.messages)))


def _in_this_walk(walk: Walk, said: tuple[Message, ...]) -> list[Message]:
    """What a story says, with the walk's count of steps, in its words, and not drawn again."""
    speech, number = speech_of(walk), len(walk.steps) + 1
    return [
        message._replace(
            text=in_terms(message.text, speech), network=None,
            step=None if message.step is None else number,
        )
        for message in said if message.kind != "close"
    ]


def _stuck(walk: Walk) -> Stuck:
    voltage, is_trial = _counted_with(walk.problem.supply)
    supply = walk.problem.supply
    needed = ancestors(walk, {q.of for q in targets(walk) if q.of})
    return Stuck(
        walk.network, voltage, is_trial,
        supply.value if supply is not None and supply.quantity == "charge" else None,
        Quantity("C") in walk.known, frozenset(needed),
    )


def _counted_with(supply: Supply | None) -> tuple[Value, bool]:
    """The p.d. of the supply; a trial one where none is given, or one of nought."""
    if supply is not None and supply.quantity == "voltage" and supply.value != 0:
        return supply.value, False
    return TRIAL, True


def hear(walk: Walk, line: str) -> Turn:
    """A line said to the story; when it is told, its step is taken."""
    assert walk.story is not None
    assert walk.beyond is not None
    if (turn := _beside(walk, line)) is not None:
        return turn
    asked = walk.story.ask
    told = telling.hear(walk.story, line)
    said = _in_this_walk(walk, told.messages)
    if told.telling.ask is not None:
        return Turn(walk._replace(story=told.telling), tuple(said))
    step = walk.beyond
    if asked is not None and asked.key == WHICH_STEP and step.level and _joins(line):
        step = merge_step(step.level)
    done = complete(_with_known(walk._replace(story=None, beyond=None), step), step)
    return proceed(done, said)


def _joins(line: str) -> bool:
    return any(f" {word} " in f" {plain(line)} " for word in JOIN)


def _beside(walk: Walk, line: str) -> Turn | None:
    """What belongs to the walk as a whole; the question of the story is asked again after it."""
    assert walk.story is not None
    words, request = Wording(speech_of(walk)), request_in(line)
    if anytime.takes(walk, line):
        turn = anytime.hear(walk._replace(story=None), line)
        if turn is None or turn.walk.whatif is not None:
            return _again(walk, Message("say", "That can be asked once this step is done."))
        said = [message for message in turn.messages if message.kind != "ask"]
        return _again(_told_anew(walk, turn.walk), *said)
    if request == "where":
        return _again(walk, Message("say", words.where(walk)))
    if request == "points":
        return _again(walk, Message("say", words.listing(walk)))
    if request == "why" and walk.story.at == 0:
        return _again(walk, Message("say", words.why(walk)))
    if request == "drawing":
        return _again(walk, Message("say", "What is left:", network=walk.network))
    if request == "repeat":
        return _again(walk)
    return None


def _told_anew(walk: Walk, changed: Walk) -> Walk:
    """The story so far in changed settings."""
    told, step = walk.story, walk.beyond
    assert told is not None
    assert step is not None
    walk = walk._replace(terms=changed.terms, before=changed.before)
    story = floating_story(_stuck(walk), step, speech_of(walk))
    return walk._replace(story=told._replace(story=story, terms=walk.terms))


def _again(walk: Walk, *said: Message) -> Turn:
    assert walk.story is not None
    question = telling.question(walk.story)
    asked = _in_this_walk(walk, (question,)) if question else []
    return Turn(walk, (*said, *asked))


def _with_known(walk: Walk, step: Step) -> Walk:
    """What the story has established: the whole, and with a supply all that was asked."""
    if step.makes is None:
        return walk
    known = {**walk.known, Quantity("C"): step.makes.value}
    voltage = _real_voltage(walk, step.makes.value)
    if voltage is None:
        return walk._replace(known=known)
    shares = dict(step.shares)
    known[Quantity("V")] = voltage
    known.update({Quantity("V", point=p): tidy(s * voltage) for p, s in step.shares})
    for c in step.parts:
        drop = magnitude(tidy((shares[c.start] - shares[c.end]) * voltage))
        known[Quantity("V", c.name)] = drop
        known[Quantity("Q", c.name)] = tidy(c.value * drop)
    return walk._replace(known=known)


def _real_voltage(walk: Walk, whole: Value) -> Value | None:
    supply = walk.problem.supply
    if supply is None:
        return None
    return supply.value if supply.quantity == "voltage" else tidy(supply.value / whole)
