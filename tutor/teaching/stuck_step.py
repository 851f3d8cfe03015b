"""Where a walk sticks: the story of the step that series and parallel cannot take.

The story is told on top of the walk, which then takes the step and goes on.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from grammar.records import Asked
from tutor.circuit.beyond import balance_step, merge_step, way_on
from tutor.circuit.network import Problem, Supply
from tutor.circuit.star_delta import StarDelta, exchanged, to_delta, to_star
from tutor.circuit.steps import Step, choices
from tutor.circuit.values import Value, magnitude, tidy
from tutor.teaching.conversation import Frame
from tutor.teaching.manner import PLAIN
from tutor.teaching.marking.faircopy import FairCopy
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.rule_text import in_terms
from tutor.teaching.showing import show_answer
from tutor.teaching.staged import telling
from tutor.teaching.staged.floating_story import JOIN, Stuck, floating_story
from tutor.teaching.staged.star_for_triangle import back_story, exchange_story
from tutor.teaching.staged.story import Story, Telling
from tutor.teaching.staged.story_pace import asks_any
from tutor.teaching.turn import Turn, complete, of_walk, proceed, settle, speech_of
from tutor.teaching.walk import (
    Walk,
    ancestors,
    begin_walk,
    look_ahead,
    next_question,
    suggested,
    targets,
    used_names,
)
from tutor.teaching.wording import Wording

TRIAL = Fraction(1)
ENDED = "That is all that was asked of this network."


def go_on(walk: Walk, lead: str = "Right. ") -> Turn:
    """Say why nothing can be combined, and begin the story of the step that follows."""
    words = Wording(speech_of(walk))
    said = Message(
        "verdict" if lead else "reveal", f"{lead}{words.stuck(walk)}", step=len(walk.steps) + 1,
        about="choice", verdict="right" if lead else None, drawn=of_walk(walk),
    )
    return _begun(walk, way_on(walk.network, used_names(walk)), None, [said])


def balance_here(walk: Walk) -> Turn:
    """Charge balance where the learner asks for it, though capacitors could be combined too."""
    text = "Yes, the balance of charges leads to the end from here as well."
    said = Message(
        "verdict", text, step=len(walk.steps) + 1, about="choice", verdict="right",
    )
    return _begun(walk, balance_step(walk.network, used_names(walk)), None, [said])


def exchange(walk: Walk, points: tuple[str, ...]) -> Turn | None:
    """Begin with the three new values of a star or a triangle; None if there is none to put in."""
    used = used_names(walk)
    if len(points) == 1:
        wanted = to_delta(walk.network, points[0], used)
    else:
        wanted = to_star(walk.network, points, used)
    if wanted is None:
        return None
    said = Message("verdict", "Yes, that can be done.", len(walk.steps) + 1, "choice", "right")
    return _begun(walk, None, wanted, [said])


def story_of(walk: Walk, step: Step | None, wanted: StarDelta | None) -> Story | None:
    """What is told, in the walk's present words, of a step that is then taken, or of what is
    ``wanted`` in the place of a star or a triangle; of both, how the old three come back. None
    where nothing is left to ask.
    """
    stuck, speech = _stuck(walk), speech_of(walk)
    if step is None:
        assert wanted is not None
        return exchange_story(stuck, wanted, speech)
    if wanted is None:
        return floating_story(stuck, step, speech)
    assert step.makes is not None
    voltage = _real_voltage(walk, step.makes.value)
    stuck = stuck._replace(voltage=voltage or TRIAL, is_trial=not voltage)
    return back_story(stuck, wanted, step, speech)


def _begun(
    walk: Walk, step: Step | None, wanted: StarDelta | None, said: Sequence[Message]
) -> Turn:
    """The story for this begun on top of the walk; one of which nothing is to be asked is left to
    `fading`.
    """
    story = story_of(walk, step, wanted)
    if story is None:
        assert step is not None
        return proceed(complete(_with_known(walk, step), step), [*said])
    walk = walk._replace(tries=0, rung=0, last_wrong=None)
    asks_some = asks_any(story, walk.manner)
    told = telling.begin(story, walk.terms, walk.manner if asks_some else PLAIN)
    frame = Frame(told.task, "exchange" if step is None else "step", step, wanted)
    return Turn(walk, (*said, *within(walk, frame, told.messages)), frame)


def told_anew(walk: Walk, frame: Frame) -> Frame:
    """A story within a walk in the walk's present words."""
    assert isinstance(frame.task, Telling)
    story = story_of(walk, frame.step, frame.exchange)
    assert story is not None, "what has been begun has questions"
    return frame._replace(task=frame.task._replace(story=story, terms=walk.terms))


def begin_detour(walk: Walk, frame: Frame, said: Sequence[Message]) -> Turn:
    """The same problem with the new three in the place of the old."""
    wanted = frame.exchange
    assert wanted is not None
    network, problem = exchanged(walk.network, wanted), walk.problem
    only_whole = all(q == Quantity("C") for q in targets(walk))
    asked = (Asked("capacitance"),) if only_whole else ()
    inner = Problem(network, problem.supply, asked, (), problem.powers)
    start = begin_walk(inner, walk.terms, walk.seed, walk.manner)._replace(checked=True)
    words = Wording(speech_of(start))
    text = f"{words.left_now(network)}\nNow go on with these."
    listed = Message("say", text, drawn=of_walk(start))
    turn = proceed(start, [listed])
    return Turn(walk, (*said, *turn.messages), Frame(turn.task, "detour", exchange=wanted))


def back(walk: Walk, frame: Frame, said: Sequence[Message]) -> Turn:
    """From the end of a detour to the old three, then on with the walk."""
    wanted, solved = frame.exchange, frame.task
    assert wanted is not None
    assert isinstance(solved, Walk)
    step = balance_step(walk.network, used_names(walk))._replace(kind=wanted.kind)
    walk = walk._replace(
        slips=(*walk.slips, *solved.slips),
        shown=(*walk.shown, *solved.shown), weak=(*walk.weak, *solved.weak),
    )
    return _begun(walk, step, wanted, without_its_end(said))


def without_its_end(said: Iterable[Message]) -> list[Message]:
    """What is said in a walk within another, without its closing words and drawings."""
    return [
        m._replace(drawn=None) for m in said
        if m.kind != "close" and (m.kind != "reveal" or m.about is not None)
    ]


def take_step(walk: Walk, frame: Frame, said: Sequence[Message]) -> Turn:
    """The step of a story that has been told, taken; then on with the walk."""
    told, step = frame.task, frame.step
    assert isinstance(told, Telling)
    assert step is not None
    if told.ask is not None:  # the rest is not asked of this learner
        return Turn(walk._replace(over=True), (*said, Message("close", ENDED)))
    if step.level and JOIN[0] in told.chosen:
        step = merge_step(step.level)
    return proceed(complete(_with_known(walk, step), step), [*said])


def way_told(walk: Walk, said: Sequence[Message]) -> Turn:
    """Where the end alone was asked for and is right: how it comes about, and the close."""
    done = _solved(walk)
    written = FairCopy(done, speech_of(done))
    lines = "\n".join(["How it comes about:", *(line for _, line in written.entries())])
    told = [Message("reveal", lines)] if done.steps else []
    return proceed(done._replace(own=walk.own, checked=True), [*said, *told])


def _solved(walk: Walk) -> Walk:
    """The walk as it is when every step has been taken and every value said, all by the tutor."""
    start = begin_walk(walk.problem, walk.terms, walk.seed, walk.manner._replace(stepwise=True))
    walk = walk._replace(network=start.network, steps=(), pending=None, skipped=(), over=False,
                         known=start.known, manner=start.manner)
    walk = look_ahead(walk)
    while len(walk.network.capacitors) > 1:
        if choices(walk.network):
            walk = complete(walk, suggested(walk))
            continue
        step = way_on(walk.network, used_names(walk))
        walk = _with_known(complete(walk, step), step)
    walk = settle(walk)[0]
    while (question := next_question(walk._replace(checked=True))) is not None:
        walk = settle(show_answer(walk, question)[0])[0]
    return walk


def within(walk: Walk, frame: Frame, said: Iterable[Message]) -> list[Message]:
    """What is said by a task on top of a walk, as the walk says it: a story with the walk's count
    of steps, in its words, and not drawn again; what its answers show is kept beside the network of
    the walk, which the story does not name. A detour counts on from the walk's own steps.
    """
    done = len(walk.steps)
    if frame.purpose == "detour":
        return [m._replace(step=m.step + done if m.step else None) for m in said]
    if not isinstance(frame.task, Telling):
        return [*said]
    speech, network = speech_of(walk), walk.problem.fingerprint
    return [
        message._replace(
            text=in_terms(message.text, speech), drawn=None,
            step=None if message.step is None else done + 1,
            seen=message.seen and message.seen._replace(network=network),
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
