"""From one question to the next: what an answer settles, what is revealed, how a walk ends."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import TypeAlias

from tutor.circuit.checks import closing_checks
from tutor.circuit.network import Network
from tutor.circuit.solving import Holding, solve, work_back
from tutor.circuit.steps import Step, after
from tutor.circuit.values import Value
from tutor.teaching.cautions import NO_OTHERS, Hazards, cautions
from tutor.teaching.closing_words import Closing
from tutor.teaching.conversation import TurnOf
from tutor.teaching.depicted import Depicted, plus_points
from tutor.teaching.messages import About, Message, Verdict
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.reasons import because
from tutor.teaching.replies import Replies
from tutor.teaching.speech import Speech, listed, speech_for
from tutor.teaching.walk import (
    Question,
    Walk,
    given,
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


def replies_of(walk: Walk) -> Replies:
    """The sentences about answers, for this walk."""
    return Replies(speech_of(walk))


def verdict(text: str, about: About, word: Verdict, step: int | None = None) -> Message:
    """A verdict message."""
    return Message("verdict", text, step=step, about=about, verdict=word)


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
    asks = ask(walk, question)
    is_drawn = any(message.drawn is not None for message in revealed)
    if question.going_back and not is_drawn and previous is not None and (
        standing_network(walk) != standing_network(previous)
    ):
        asks = asks._replace(drawn=of_walk(walk))
    return Turn(walk, (*said, *revealed, asks))


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
    if following is None:
        return walk, question
    if question.about == "choice":  # the step may have been taken meanwhile
        return (walk, question) if following.about == "choice" else (_unanswered(walk), following)
    if question.quantity not in walk.known or following.quantity is None:
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
    if walk.skipped and (
        ("shares", walk.skipped[0].made) in walk.settled or _is_past_the_whole(walk)
    ):
        lines = Wording(speech_of(walk)).on_the_way(walk.skipped)
        said.append(Message("reveal", lines, about="value"))
        walk = walk._replace(skipped=())
    return walk._replace(known=_passed_on(walk)), said


def _is_past_the_whole(walk: Walk) -> bool:
    """Whether a value of a part has been said rightly, which shows more of the way than a word."""
    return any(
        q.symbol in ("V", "Q") and q.of in walk.made | {c.name for c in given(walk)}
        and walk.whole is not None and q.of != walk.whole.name and value != 0
        for q, value in walk.known.items()
    )


def _is_answered(walk: Walk, step: Step) -> bool:
    if step.makes is None:
        first = step.parts[0].name
        return any(Quantity(symbol, first) in walk.known for symbol in ("V", "Q"))
    return ("shares", step.makes.name) in walk.settled and Quantity(
        "C", step.makes.name
    ) in walk.known


def take(walk: Walk, step: Step) -> Walk:
    """The walk with this step in hand."""
    return look_ahead(walk._replace(pending=step))


def settle_sharing(walk: Walk, step: Step, *abouts: str) -> Walk:
    """``because`` among them says that the reason has been told in words."""
    return walk._replace(settled=walk.settled | {(about, step.made) for about in abouts})


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
    return take(walk, step), [Message("reveal", text, len(walk.steps) + 1, "choice")]


def _closing(walk: Walk) -> list[Message]:
    """How a walk ends: the checks with their numbers, what was practised, what may follow."""
    words = Closing(speech_of(walk))
    said = []
    supply = walk.problem.supply
    if supply is not None and walk.whole is not None and not walk.problem.asked:
        solution = solve(walk.problem.network, supply)
        table = words.table(walk, solution)
        checks = words.checks(closing_checks(solution, supply))
        text = "\n".join([*table, "Checks:", *checks])
        said.append(Message("reveal", text, drawn=of_walk(walk, walk.problem.network)))
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


# What may be drawn


def of_walk(walk: Walk, network: Network | None = None) -> Depicted:
    """A walk as it stands: ``network`` is what is left of it or, on the way back, what has come
    back so far, unless another of its networks is meant.
    """
    if network is None:
        network = standing_network(walk)
    known = {
        quantity: value for quantity, value in walk.known.items()
        if quantity.symbol != "C" and _is_told(walk, quantity, network)
    }
    still_open = frozenset(
        c.name for c in network.capacitors if Quantity("C", c.name) not in walk.known
    )
    charged = any(quantity.of is not None and value != 0 for quantity, value in known.items())
    plus = plus_points(network, _holdings(walk)) if charged else {}
    speech = speech_for(walk.problem, walk.terms)
    return Depicted(network, speech, walk.problem.supply, known, plus, still_open=still_open)


def _is_told(walk: Walk, quantity: Quantity, network: Network) -> bool:
    """Whether a known value belongs on this network; the supply's own is drawn as the supply."""
    if quantity.point is not None:
        return quantity.point in network.points()
    if quantity.of is None:
        supply = walk.problem.supply
        return supply is not None and quantity.symbol == supply.leaves
    return True


def standing_network(walk: Walk) -> Network:
    """What is left on the way to one capacitor, and what has come back on the way back."""
    question = next_question(walk)
    if question is None:
        return walk.network if walk.whole is None else walk.problem.network
    if question.about in ("energy", "check"):
        return walk.problem.network
    if not question.going_back or question.step is None:
        return walk.network
    return before_step(walk, question.step)


def before_step(walk: Walk, step: Step) -> Network:
    """The network of a walk in which the parts of this step stand."""
    network = walk.problem.network
    for taken in walk.steps:
        if taken == step:
            break
        network = after(network, taken)
    return network


def _holdings(walk: Walk) -> Mapping[str, Holding]:
    supply = walk.problem.supply
    if supply is None:
        return {}
    if walk.whole is None:
        return solve(walk.problem.network, supply).holdings
    return work_back(walk.plan, walk.whole, supply, walk.problem.network.ends)
