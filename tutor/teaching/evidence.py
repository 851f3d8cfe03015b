"""What an answer shows: which skills it needed, which wrong rules it could have told apart.

Readings of a walk before a line and of the messages that answered it; nothing is judged here.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from tutor.circuit.network import Network
from tutor.circuit.steps import Step, choices
from tutor.teaching.messages import Message
from tutor.teaching.observation import AnswerKind, Observation, Outcome
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.catalogue import blaming
from tutor.teaching.rules.context import RuleContext, context_on
from tutor.teaching.rules.separation import separation
from tutor.teaching.turn import Turn
from tutor.teaching.walk import (
    SHARING,
    Question,
    Walk,
    is_stuck,
    next_question,
    question_about,
    suggested,
)


def with_evidence(
    walk: Walk, question: Question, turn: Turn, request: str | None = None
) -> Turn:
    """The turn with what each of its verdicts shows beside it.

    ``request`` is what the learner asked for instead of answering: not knowing and asking to be
    shown show something too.
    """
    if not turn.messages:
        return turn
    if request is not None:
        outcome = _NOT_ANSWERED.get(request)
        shown = request == "unsure" or turn.task.shown != walk.shown
        return _counted(_first(turn, walk, question, outcome)) if outcome and shown else turn
    messages = tuple(
        message._replace(seen=_judged(walk, question, message, turn.task))
        if message.verdict in ("right", "wrong") else message
        for message in turn.messages
    )
    return _counted(turn._replace(messages=messages))


def _counted(turn: Turn) -> Turn:
    """The turn with its walk's counts of right answers in a row brought up to it."""
    rightly = dict(turn.task.rightly)
    for seen in (message.seen for message in turn.messages):
        if seen is not None:
            right = seen.outcome == "right"
            rightly |= {skill: right * (rightly.get(skill, 0) + 1) for skill in seen.skills}
    return turn._replace(task=turn.task._replace(rightly=rightly))


_NOT_ANSWERED: Mapping[str, Outcome] = MappingProxyType({"unsure": "unsure", "show": "shown"})


def _first(turn: Turn, walk: Walk, question: Question, outcome: Outcome) -> Turn:
    first, *others = turn.messages
    seen = _observed(walk, question, outcome, turn.task)
    return turn._replace(messages=(first._replace(seen=seen), *others))


def _judged(walk: Walk, question: Question, message: Message, then: Walk) -> Observation | None:
    """What a verdict shows; None where the reason is still to come, without which it shows little,
    and for a value out of turn that is wrong for no known reason.
    """
    right = message.verdict == "right"
    of = message.of
    if of is not None and of != question.quantity:
        if not right and not message.malrules:
            return None
        walk, question = then, question_about(then, of)
    if right and question.about == "shares" and not question.going_back:
        following = next_question(then)
        if following is not None and following.about == "reason":
            return None
    seen = _observed(walk, question, "right" if right else "wrong", then)
    if right:
        return seen._replace(weak=message.weak or seen.weak)
    return blaming(seen, message.malrules)


def _observed(walk: Walk, question: Question, outcome: Outcome, then: Walk) -> Observation:
    context = context_on(walk, question.quantity)
    return Observation(
        key=key_of(walk, question),
        network=walk.problem.fingerprint,
        skills=skills_of(walk, question, _step_in(walk, question, then)),
        answer=_answer_kind(walk, question),
        outcome=outcome,
        helped=walk.rung > 0 and question == next_question(walk),
        chances=_chances(walk, question, context),
        weak=outcome == "right" and context is not None and _are_equal(context.parts),
    )


def _step_in(walk: Walk, question: Question, then: Walk) -> Step | None:
    """The step that a question or its answer is about; for a wrong choice there is none."""
    if question.step is not None:
        return question.step
    if len(then.steps) > len(walk.steps):
        return then.steps[len(walk.steps)]
    return then.pending


def key_of(walk: Walk, question: Question) -> str:
    """Names a question within its walk: a step by its number, a value by its own name."""
    if question.about == "choice":
        return f"choice {len(walk.steps) + 1}"
    if question.about in ("shares", "reason"):
        name = question.step.made if question.step else ""
        return f"{'back' if question.going_back else 'shares'} {name}"
    if question.about == "check" or question.quantity is None:
        return question.about
    return question.quantity.name


# Skills


def skills_of(walk: Walk, question: Question, step: Step | None) -> tuple[str, ...]:
    """The skills that a question needs, the one it is most about first."""
    if question.about == "choice":
        return _of_choice(walk, step)
    if question.about in ("shares", "reason"):
        return (SHARING[_kind(step) == "parallel", question.going_back],)
    if question.about == "check":
        return ("S26",)
    quantity = question.quantity
    if quantity is None:
        return ("S14",)
    if quantity.symbol == "C":
        return _of_capacitance(walk, question)
    if quantity.symbol in ("E", "W"):
        if quantity.symbol == "W":
            return ("S34",)
        return ("S25",) if quantity.of is None and len(walk.steps) > 0 else ("S24",)
    return _of_holding(walk, quantity)


def skills_in(walk: Walk, question: Question) -> tuple[str, ...]:
    """The skills of a question; for a choice, those of the step that the tutor would take."""
    step = question.step
    if question.about == "choice" and not is_stuck(walk):
        step = suggested(walk)
    return skills_of(walk, question, step)


def _kind(step: Step | None) -> str:
    return step.kind if step is not None else ""


def _of_choice(walk: Walk, step: Step | None) -> tuple[str, ...]:
    if is_stuck(walk):
        return ("S35",)
    if step is None:
        return ("S14",)
    if step.makes is None:
        return (_of_idle(step),)
    return ("S14", "S06" if step.kind == "parallel" else "S07")


def _of_idle(step: Step) -> str:
    return "S16" if step.parts[0].start == step.parts[0].end else "S17"


def _of_capacitance(walk: Walk, question: Question) -> tuple[str, ...]:
    step = question.step or (walk.plan[-1] if walk.plan else None)
    if step is None or step.makes is None:
        return ("S14",)
    if step.kind == "parallel":
        return ("S10",)
    if step.kind == "series":
        return ("S11",) if len(step.parts) == 2 else ("S12",)
    return ("S39",)


def _of_holding(walk: Walk, quantity: Quantity) -> tuple[str, ...]:
    """Skills for the charge or the p.d. of a capacitor: its own step, and several levels of it."""
    if quantity.of is None or (walk.whole is not None and quantity.of == walk.whole.name):
        return ("S18",) if walk.steps else ("S02",)
    idle = [s for s in walk.plan if s.makes is None and quantity.of in {c.name for c in s.parts}]
    if idle:
        return (_of_idle(idle[0]),)
    step = next((s for s in walk.plan if quantity.of in {c.name for c in s.parts}), None)
    if step is None:
        return ("S02",)
    share = "S21" if step.kind == "series" else "S22"
    outermost = walk.whole.name if walk.whole is not None else None
    deep = step.makes is not None and step.makes.name != outermost
    return (share, "S23") if deep else (share,)


# Kinds of answer


def _answer_kind(walk: Walk, question: Question) -> AnswerKind:
    if question.about == "choice":
        return "names"
    if question.about == "reason":
        return "two-way with reason"
    if question.about == "shares":
        name = question.step.made if question.step else ""
        asked = not question.going_back and ("reason", name) not in walk.settled
        return "two-way with reason" if asked else "two-way"
    return "number"


def _chances(
    walk: Walk, question: Question, context: RuleContext | None
) -> tuple[str, ...]:
    if question.about in ("shares", "reason") and question.step is not None:
        return (_SHARES_WRONGLY[question.step.kind == "parallel"],)
    if question.about == "choice":
        return chances_of_choice(walk.network)
    return separation(context).tells if context is not None else ()


_SHARES_WRONGLY: Mapping[bool, str] = MappingProxyType({
    True: "parallel-shares-the-charge", False: "series-shares-the-pd",
})


def _are_equal(parts: tuple[Fraction, ...]) -> bool:
    """Whether all parts are equal, where sharing equally and halving are right as well."""
    return len(parts) > 1 and len(set(parts)) == 1


def chances_of_choice(network: Network) -> tuple[str, ...]:
    """Wrong ideas of what belongs together that the network in hand gives room to."""
    found: list[str] = []
    if len(network.capacitors) > 2:
        found += ["joins-two-that-share-one-point", "looks-side-by-side"]
    for choice in choices(network):
        if choice.kind == "removal":
            idle = network.named(choice.names)[0]
            bypassed = idle.start == idle.end
            found += (
                ["keeps-a-bypassed-capacitor"] if bypassed
                else ["counts-a-dead-end-in-the-chain", "counts-a-dead-end-as-parallel"]
            )
    return tuple(dict.fromkeys(found))
