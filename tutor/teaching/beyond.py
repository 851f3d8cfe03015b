"""Where a walk sticks: the story of the step that series and parallel cannot take.

The walk holds the story and its step until it is told, then takes the step and goes on.
"""

from __future__ import annotations

from fractions import Fraction

from grammar.records import Asked
from tutor.circuit.beyond import balance_step, merge_step, way_on
from tutor.circuit.network import Problem, Supply
from tutor.circuit.star_delta import StarDelta, exchanged, to_delta, to_star
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, magnitude, tidy
from tutor.teaching import anytime
from tutor.teaching.hearing import exchange_in, plain, request_in
from tutor.teaching.manner import PLAIN
from tutor.teaching.messages import Message
from tutor.teaching.observation import fingerprint
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.rule_text import in_terms
from tutor.teaching.staged import telling
from tutor.teaching.staged.floating import JOIN, WHICH_STEP, floating_story
from tutor.teaching.staged.star_delta import back_story, exchange_story
from tutor.teaching.staged.story import Story, Told
from tutor.teaching.staged.stuck import Stuck
from tutor.teaching.turn import Turn, ask_again, complete, proceed, speech_of
from tutor.teaching.walk import Walk, ancestors, begin_walk, given, targets
from tutor.teaching.whatif import supposition
from tutor.teaching.wording import Wording

TRIAL = Fraction(1)
ENDED = "That is all that was asked of this network."


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


def exchange(walk: Walk, points: tuple[str, ...]) -> Turn | None:
    """Begin with the three new values of a star or a triangle; None if there is none to put in."""
    used = _used(walk)
    if len(points) == 1:
        wanted = to_delta(walk.network, points[0], used)
    else:
        wanted = to_star(walk.network, points, used)
    if wanted is None:
        return None
    before = (*walk.before, walk._replace(before=()))
    walk = walk._replace(before=before, exchange=wanted, tries=0, rung=0, last_wrong=None)
    told = _begun(walk, exchange_story(_stuck(walk), wanted, speech_of(walk)))
    opened = walk._replace(story=told.telling)
    said = Message("verdict", "Yes, that can be done.", len(walk.steps) + 1, "choice", "right")
    return Turn(opened, (said, *_in_this_walk(opened, told.messages)))


def _begun(walk: Walk, story: Story) -> Told:
    """A story led as the walk is; one of which nothing is to be asked is left to `fading`."""
    asks_some = telling.asks_any(story, walk.manner)
    return telling.begin(story, walk.terms, walk.manner if asks_some else PLAIN)


def _begin_detour(walk: Walk, wanted: StarDelta, said: list[Message]) -> Turn:
    """The same problem with the new three in the place of the old."""
    network, problem = exchanged(walk.network, wanted), walk.problem
    only_whole = all(q == Quantity("C") for q in targets(walk))
    asked = (Asked("capacitance"),) if only_whole else ()
    inner = Problem(network, problem.supply, asked, (), problem.powers)
    start = begin_walk(inner, walk.terms, walk.seed, walk.manner)._replace(checked=True)
    words = Wording(speech_of(start))
    listed = Message("say", f"{words.left_now(network)}\nNow go on with these.", network=network)
    turn = proceed(start, [listed])
    return Turn(walk._replace(story=None, detour=turn.walk), (*said, *turn.messages))


def back(walk: Walk, said: list[Message]) -> Turn:
    """From the end of a detour to the old three, then on with the walk."""
    wanted, solved = walk.exchange, walk.detour
    assert wanted is not None
    assert solved is not None
    kept = [
        m._replace(network=None) for m in said
        if m.kind != "close" and (m.kind != "reveal" or m.about is not None)
    ]
    step = balance_step(walk.network, _used(walk))._replace(kind=wanted.kind)
    walk = walk._replace(
        detour=None, exchange=None, slips=(*walk.slips, *solved.slips),
        shown=(*walk.shown, *solved.shown), weak=(*walk.weak, *solved.weak),
    )
    assert step.makes is not None
    voltage = _real_voltage(walk, step.makes.value)
    stuck = _stuck(walk)._replace(voltage=voltage or TRIAL, is_trial=not voltage)
    story = back_story(stuck, wanted, step, speech_of(walk))
    if story is None:
        return proceed(complete(_with_known(walk, step), step), kept)
    told = _begun(walk, story)
    opened = walk._replace(story=told.telling, beyond=step)
    return Turn(opened, (*kept, *_in_this_walk(opened, told.messages)))


def _used(walk: Walk) -> set[str]:
    return {c.name for c in given(walk)} | walk.made


def _open(walk: Walk, previous: Walk, step: Step, said: Message) -> Turn:
    before = (*walk.before, previous._replace(before=()))
    walk = walk._replace(beyond=step, before=before, tries=0, rung=0, last_wrong=None)
    told = _begun(walk, floating_story(_stuck(walk), step, speech_of(walk)))
    opened = walk._replace(story=told.telling)
    return Turn(opened, (said, *_in_this_walk(opened, told.messages)))


def _in_this_walk(walk: Walk, said: tuple[Message, ...]) -> list[Message]:
    """What a story says, with the walk's count of steps, in its words, and not drawn again; what
    its answers show is kept beside the network of the walk, which the story does not name.
    """
    speech, number = speech_of(walk), len(walk.steps) + 1
    network = fingerprint(walk.problem)
    return [
        message._replace(
            text=in_terms(message.text, speech), network=None,
            step=None if message.step is None else number,
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


def hear(walk: Walk, line: str) -> Turn:
    """A line said to the story; when it is told, its step is taken."""
    assert walk.story is not None
    if (turn := _beside(walk, line)) is not None:
        return turn
    asked = walk.story.ask
    told = telling.hear(walk.story, line)
    said = _in_this_walk(walk, told.messages)
    if told.telling.over and told.telling.ask is not None:  # the rest is not asked of this learner
        return Turn(walk._replace(story=told.telling, over=True), (*said, Message("close", ENDED)))
    if told.telling.ask is not None:
        return Turn(walk._replace(story=told.telling), tuple(said))
    if walk.exchange is not None:
        return _begin_detour(walk, walk.exchange, said)
    step = walk.beyond
    assert step is not None
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
    if walk.exchange is None and (wish := exchange_in(line, walk.network)):
        turn = exchange(walk._replace(story=None, beyond=None), wish.points)
        if turn is not None:
            return turn
    if anytime.takes(walk, line):
        turn = anytime.hear(walk._replace(story=None), line)
        if turn is None:
            return None
        said = [message for message in turn.messages if message.kind != "ask"]
        return again(_told_anew(walk, turn.walk), *said)
    if request == "where":
        return again(walk, Message("say", words.where(walk)))
    if request == "points":
        return again(walk, Message("say", words.listing(walk)))
    if request == "why" and walk.story.at == 0 and walk.exchange is None:
        return again(walk, Message("say", words.why(walk)))
    if request == "drawing":
        return again(walk, Message("say", "What is left:", network=walk.network))
    if request == "repeat":
        return again(walk)
    return None


def _told_anew(walk: Walk, changed: Walk) -> Walk:
    """The story so far in changed settings."""
    told, step, wanted = walk.story, walk.beyond, walk.exchange
    assert told is not None
    walk = walk._replace(terms=changed.terms, before=changed.before)
    if wanted is not None:
        story = exchange_story(_stuck(walk), wanted, speech_of(walk))
    elif step is not None and step.kind not in ("star", "delta"):
        story = floating_story(_stuck(walk), step, speech_of(walk))
    else:
        story = told.story  # its numbers stay as they are; what comes later is in the new words
    return walk._replace(story=told._replace(story=story, terms=walk.terms))


def again(walk: Walk, *said: Message) -> Turn:
    """The question of the story once more, after what is said."""
    assert walk.story is not None
    question = telling.question(walk.story)
    asked = _in_this_walk(walk, (question,)) if question else []
    return Turn(walk, (*said, *asked))


def in_hand_again(walk: Walk, *said: Message) -> Turn:
    """Whatever question is in hand once more: of a what-if, a story, a detour or the walk."""
    if walk.whatif is not None:
        return Turn(walk, (*said, supposition.ask(walk)))
    if walk.story is not None:
        return again(walk, *said)
    if walk.detour is not None:
        inner = in_hand_again(walk.detour)
        done = len(walk.steps)
        asked = [m._replace(step=m.step + done if m.step else None) for m in inner.messages]
        return Turn(walk, (*said, *asked))
    return ask_again(walk, [*said])


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
