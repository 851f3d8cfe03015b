"""From one question to the next: what an answer settles, what is revealed, how a walk ends."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TypeAlias

from tutor.circuit.checks import closing_checks
from tutor.circuit.solving import solve
from tutor.circuit.steps import Step, after
from tutor.circuit.values import Value
from tutor.teaching.cautions import NO_OTHERS, Hazards, cautions
from tutor.teaching.closing_words import Closing
from tutor.teaching.conversation import TurnOf
from tutor.teaching.in_sight import of_walk
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.reasons import because
from tutor.teaching.speech import Speech, listed, speech_for
from tutor.teaching.walk import (
    Question,
    Walk,
    look_ahead,
    next_question,
    suggested,
)
from tutor.teaching.wording import Wording

SYMBOLS: tuple[Symbol, ...] = ("C", "V", "Q", "E")


Turn: TypeAlias = TurnOf[Walk]


def speech_of(walk: Walk) -> Speech:
    """How this walk's values are spoken."""
    return speech_for(walk.problem, walk.terms)


def proceed(walk: Walk, said: list[Message], previous: Walk | None = None) -> Turn:
    """Settle what can be settled, then ask the next question or close.

    ``previous`` is the walk before the answer: where the answer ended its question, nothing has
    been said yet to the next one.
    """
    walk, revealed = settle(walk)
    question = next_question(walk)
    asked = next_question(previous) if previous is not None else None
    # Two choices one after the other are the same question on different networks.
    if previous is not None and (question != asked or len(walk.steps) > len(previous.steps)):
        walk = _unanswered(walk)
    if question is None and walk.twins and not walk.over:
        return Turn(walk, (*said, *revealed))
    if question is None:
        closing = _closing(walk)
        return Turn(walk._replace(over=True), (*said, *revealed, *closing))
    return Turn(walk, (*said, *revealed, ask(walk, question)))


def ask_again(walk: Walk, said: list[Message]) -> Turn:
    """The same question once more."""
    question = next_question(walk)
    return Turn(walk, (*said, ask(walk, question)) if question else tuple(said))


def ask(walk: Walk, question: Question) -> Message:
    """A question as a message."""
    text = walk.aside.text if walk.aside else Wording(speech_of(walk)).ask(walk, question)
    return Message("ask", text, step=len(walk.steps) + 1, about=question.about)


def go_on(walk: Walk, question: Question) -> tuple[Walk, Question]:
    """The question that the next value of a line answers, if it says no name: 14 V, 6 V."""
    following = next_question(walk)
    if question.quantity not in walk.known or following is None or following.quantity is None:
        return walk, question
    return _unanswered(walk), following


def _unanswered(walk: Walk) -> Walk:
    """Nothing said yet to the question in hand."""
    return walk._replace(
        tries=0, rung=0, unsure=False, last_wrong=None, aside=None, named=()
    )


def settle(walk: Walk) -> tuple[Walk, list[Message]]:
    """Carry out a step whose answers are all in, and pass on what is known."""
    said: list[Message] = []
    if walk.pending is not None and _is_answered(walk, walk.pending):
        said.append(_reveal_step(walk, walk.pending))
        walk = complete(walk, walk.pending)
    if walk.skipped and ("shares", _made_name(walk.skipped[0])) in walk.settled:
        lines = Wording(speech_of(walk)).on_the_way(walk.skipped)
        said.append(Message("reveal", lines, about="value"))
        walk = walk._replace(skipped=())
    return walk._replace(known=_passed_on(walk)), said


def _made_name(step: Step) -> str:
    return step.makes.name if step.makes else ""


def _is_answered(walk: Walk, step: Step) -> bool:
    if step.makes is None:
        first = step.parts[0].name
        return any(Quantity(symbol, first) in walk.known for symbol in ("V", "Q"))
    return ("shares", step.makes.name) in walk.settled and Quantity(
        "C", step.makes.name
    ) in walk.known


def complete(walk: Walk, step: Step) -> Walk:
    """The walk with a step done."""
    known = dict(walk.known)
    idle = (*(step.parts if step.makes is None else ()), *step.swept)
    for c in idle:
        known.update({Quantity(symbol, c.name): Fraction(0) for symbol in ("V", "Q", "E")})
    if step.makes is not None:
        known[Quantity("C", step.makes.name)] = step.makes.value
    return look_ahead(
        walk._replace(
            network=after(walk.network, step),
            steps=(*walk.steps, step),
            pending=None,
            known=known,
        )
    )


def _reveal_step(walk: Walk, step: Step) -> Message:
    words = Wording(speech_of(walk))
    network = after(walk.network, step)
    said = step.makes is not None and ("because", step.makes.name) in walk.settled
    lines = [words.worked_step(step, said)]
    if step.renamed:
        lines.append(words.wired(step))
    if step.swept:
        lines.append(words.swept(step))
    lines.append(words.left_now(network))
    return Message(
        "reveal", "\n".join(lines), step=len(walk.steps) + 1, about="value",
        drawn=of_walk(walk, network),
    )


def _passed_on(walk: Walk) -> Mapping[Quantity, Value]:
    """What follows at once from what is known: the last capacitor is the whole; a chain has one
    charge, a parallel set one p.d.
    """
    known = dict(walk.known)
    single = len(walk.network.capacitors) == 1 and walk.pending is None and walk.whole is not None
    if single and walk.whole is not None:
        for symbol in SYMBOLS:
            _same(known, Quantity(symbol), Quantity(symbol, walk.whole.name))
    for step in reversed(walk.steps):
        joining = step.joining
        if joining is None or step.makes is None:
            continue
        passed = known.get(Quantity(joining.shares, step.makes.name))
        done = ("back", step.makes.name) in walk.settled or all(
            Quantity(joining.adds, c.name) in known for c in step.parts
        )
        if passed is not None and done:
            known.update({Quantity(joining.shares, c.name): passed for c in step.parts})
    return known


def _same(known: dict[Quantity, Value], first: Quantity, second: Quantity) -> None:
    for one, other in ((first, second), (second, first)):
        if one in known:
            known.setdefault(other, known[one])


def show_choice(walk: Walk, said: str = "Take {} now.") -> tuple[Walk, list[Message]]:
    """The next step chosen, what its parts share still to be asked; ``said`` names them."""
    step = suggested(walk)
    names = listed([c.name for c in step.parts])
    text = because(step, speech_of(walk)) if step.makes is None else said.format(names)
    shown = look_ahead(walk._replace(pending=step))
    return shown, [Message("reveal", text, len(walk.steps) + 1, "choice")]


def _closing(walk: Walk) -> list[Message]:
    """How a walk ends: the checks with their numbers, what was practised, what may follow."""
    words = Closing(speech_of(walk))
    said = []
    supply = walk.problem.supply
    if supply is not None and walk.whole is not None and not walk.problem.asked:
        solution = solve(walk.problem.network, supply)
        table = words.table(walk, solution)
        checks = words.checks(closing_checks(solution, supply))
        said.append(Message("reveal", "\n".join([*table, "Checks:", *checks])))
    elif walk.whole is not None and walk.steps and supply is None:
        said.append(Message("reveal", words.bounds(walk)))
    if lines := _cautions(walk):
        said.append(Message("say", "\n".join(lines)))
    return [*said, Message("close", words.farewell(walk))]


def _cautions(walk: Walk, hazards: Hazards = NO_OTHERS) -> tuple[str, ...]:
    voltage, energy = walk.truth.get(Quantity("V")), walk.truth.get(Quantity("E"))
    return cautions(voltage, energy, hazards, walk.terms)


def building(walk: Walk) -> Message:
    """A word for someone who says that they will build it."""
    return Message("say", "\n".join(_cautions(walk, Hazards(building=True))))
