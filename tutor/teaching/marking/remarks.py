"""The remark beside each marked line: what is right first, then one thing to look at.

No right value is given away, and no wrong rule is called by its name.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from tutor.circuit.network import Network
from tutor.circuit.steps import after
from tutor.teaching import tracing
from tutor.teaching.malrules.record import Malrule
from tutor.teaching.marking.awarding import Lost
from tutor.teaching.marking.carrying import canonical
from tutor.teaching.marking.grading import Grade
from tutor.teaching.marking.scheme import Scheme
from tutor.teaching.marking.statements import states_a_value
from tutor.teaching.marking.working import WrittenLine
from tutor.teaching.misfit import Misfit, misfit
from tutor.teaching.quantities import Quantity
from tutor.teaching.replies import Replies
from tutor.teaching.speech import Speech, listed
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Walk, question_about
from tutor.teaching.wording import Wording

SIGN: Final = "a sign that something before is wrong."


class Context(NamedTuple):
    """What remarks may speak of: the route, the settings, what rules took away, line numbers."""

    walk: Walk
    scheme: Scheme
    lost: Lost
    numbers: tuple[int, ...]

    @property
    def speech(self) -> Speech:
        """How values and names are written here."""
        return speech_of(self.walk)


def remark(
    context: Context, at: int, written: WrittenLine, grades: tuple[Grade, ...], why: str
) -> str:
    """One remark for one line."""
    if not grades:
        return _unread(written, why)
    worst = next((g for g in grades if g.verdict == "wrong"), None) or next(
        (g for g in grades if g.verdict == "carried"), grades[-1]
    )
    text = _on(context, worst)
    if worst.verdict == "wrong":
        right = [g for g in grades if g.verdict != "wrong" and g.quantity != worst.quantity]
        if right:
            text = f"{_names(context, right)} {_are(right)} right. {text}"
    return " ".join(filter(None, (text, _by_rule(context, at, worst))))


def _unread(written: WrittenLine, why: str) -> str:
    if not written.text.strip():
        return "A blank line."
    if written.crossed_out:
        return "Crossed out, so not marked."
    if why:
        return f"Not marked. {why}"
    if any(states_a_value(piece) for piece in written.pieces):
        return "Not marked: write in front of it which quantity this is, as in V1 = 4 V."
    return "Words only: nothing to mark here."


def _on(context: Context, each: Grade) -> str:
    name = context.speech.name(each.quantity)
    if each.group is not None:
        return Replies(context.speech).fault(each.group, each.members, _drawn(context, each))
    if each.given:
        return _given(context, each, name)
    if each.verdict == "right" and each.fault is None:
        return _right(each, name)
    if each.verdict == "carried":
        return _carried(context, each, name)
    return _wrong(context, each, name)


def _wrong(context: Context, each: Grade, name: str) -> str:
    if each.fault == "power-of-ten":
        return f"The figures of {name} fit; the power of ten does not. Look at the prefix."
    if each.fault == "unit":
        kind = {
            "C": "capacitance", "Q": "charge", "V": context.speech.terms.difference,
            "E": "energy", "W": "energy",
        }[each.quantity.symbol]
        return (
            f"The number fits {name}; the unit does not. {name} is a {kind}: which unit has that?"
        )
    if each.fault == "arithmetic":
        return _slip(context, each, name)
    if each.fault == "malrule":
        return _recognised(context, each, name)
    return _not_following(context, each, name)


def _drawn(context: Context, each: Grade) -> Network:
    """A network in which all members of a group that is none still stand."""
    network = context.walk.problem.network
    for step in context.walk.steps:
        if {c.name for c in network.capacitors} >= set(each.members):
            return network
        network = after(network, step)
    return network


def _given(context: Context, each: Grade, name: str) -> str:
    if each.verdict == "right":
        return f"{name}, as given."
    value = context.walk.truth[each.quantity]
    amount = context.speech.amount(value, each.quantity.dimension)
    return (
        f"The text gives {amount} for {name}: read it back. This costs one mark, where it is first "
        "used; what follows rightly from it is not marked down."
    )


def _right(each: Grade, name: str) -> str:
    if not each.is_final:
        return f"Right: this leads to {name}."
    if each.note == "one figure":
        return f"{name} is right to one figure. Give two or three."
    if each.note == "early":
        return f"{name} is right. You rounded earlier; keep extra figures until the end."
    if each.note == "loose":
        return (
            f"{name} is right. Not every equals sign in this line holds: write a new line where "
            "something else begins."
        )
    return f"{name} is right."


def _carried(context: Context, each: Grade, name: str) -> str:
    text = f"{name} follows rightly from your own earlier value, so it is not marked down again."
    if not context.scheme.carried:
        text = f"The method for {name} is right; its value carries an earlier error."
    return " ".join(filter(None, (text, _unreasonable(context, each))))


def _unreasonable(context: Context, each: Grade) -> str:
    """A check that the value fails, said without a deduction."""
    found = _misfit(context, each)
    speech = context.speech
    if found.limit is None or each.value is None:
        return ""
    said = speech.amount(each.value, each.quantity.dimension)
    if found.kind == "above supply":
        limit = speech.amount(found.limit, "voltage")
        return f"But {said} is above the {limit} of the supply: {SIGN}"
    if found.kind == "above total":
        limit = speech.amount(found.limit, "charge")
        return f"But {said} is above the {limit} given in all: {SIGN}"
    if found.kind == "chain bound":
        return f"But a chain comes out below its smallest member, {found.name}: {SIGN}"
    if found.kind == "parallel bound":
        return f"But side by side they come to more than {found.name} alone: {SIGN}"
    return ""


def _misfit(context: Context, each: Grade) -> Misfit:
    walk, quantity = context.walk, each.quantity
    if each.value is None or quantity.point is not None or quantity.symbol == "W":
        return Misfit("none")
    if quantity == Quantity("C") and walk.whole is not None:
        quantity = Quantity("C", walk.whole.name)
    return misfit(walk, question_about(walk, quantity), each.value)


def _slip(context: Context, each: Grade, name: str) -> str:
    if each.malrules:
        return (
            f"{_said(context, each)} for {name} is what comes of the right rule with the value of "
            "another capacitor. Read back the numbers you used."
        )
    if each.slip:
        return (
            f"The line for {name} begins rightly; one of its equals signs does not hold. Work it "
            "out again."
        )
    return (
        f"The way to {name} is right; one of the numbers in it is not the one needed. Read them "
        "back."
    )


def _recognised(context: Context, each: Grade, name: str) -> str:
    """The possible route to the number, what cannot be, and the question that helps."""
    diagnosis, speech = each.diagnosis, context.speech
    if diagnosis is None or diagnosis.scene is None:
        return _not_following(context, each, name)
    so_far = _so_far(context, diagnosis.at)
    if each.ends_right:
        so_far = "The last value is right, but the line does not lead to it. "
    likely = diagnosis.groups[0][0]
    if canonical(context.walk, diagnosis.at) != each.quantity:
        return so_far + _skipped(context, each, likely)
    second = diagnosis.groups[1][0] if len(diagnosis.groups) > 1 else None
    if second is not None and second.rank == likely.rank:
        routes = " or ".join(tracing.route(m, diagnosis.scene, speech) for m in (likely, second))
        return (
            f"{so_far}{_said(context, each)} may come from {routes}; neither gives {name}. "
            "Show the line before it."
        )
    origin = tracing.origin(_said(context, each), likely, diagnosis, speech)
    return f"{so_far}{origin} {tracing.question(likely, diagnosis.scene, speech)}"


def _skipped(context: Context, each: Grade, malrule: Malrule) -> str:
    """A number that one wrong rule at an earlier step, not written down, would lead to."""
    diagnosis, speech = each.diagnosis, context.speech
    assert diagnosis is not None
    assert diagnosis.scene is not None
    earlier = speech.name(canonical(context.walk, diagnosis.at))
    route = tracing.route(malrule, diagnosis.scene, speech)
    return (
        f"{_said(context, each)} is what follows if {earlier} comes from {route}, if that is what "
        f"you did. {tracing.question(malrule, diagnosis.scene, speech)}"
    )


def _so_far(context: Context, quantity: Quantity) -> str:
    """What the parts of this step share: that stands, whatever was made of it."""
    about = question_about(context.walk, quantity)
    if quantity == Quantity("C") and context.walk.whole is not None:
        about = question_about(context.walk, Quantity("C", context.walk.whole.name))
    return Replies(context.speech).right_so_far(about)


def _not_following(context: Context, each: Grade, name: str) -> str:
    said = _said(context, each)
    if each.ends_right:
        return f"The last value is right, but {said} before it is not. Write each step of it."
    found = _unreasonable(context, each).removeprefix("But ").partition(":")[0]
    if found:
        return f"{found[:1].upper()}{found[1:]}. Write the line that led to it."
    return (
        f"{said} does not follow for {name} from what stands above. Write the line that led to it."
    )


def _said(context: Context, each: Grade) -> str:
    value = each.slipped_to if each.slip is not None else each.value
    if value is None:
        return "This"
    return context.speech.amount(value, each.quantity.dimension)


def _by_rule(context: Context, at: int, each: Grade) -> str:
    """What a rule of marking took away on this line."""
    lost = context.lost
    other = lost.contradicted.get(at)
    if other is not None and other != at:
        counts = "neither counts" if context.scheme.contradictions == "neither" else (
            "the last counts"
        )
        return (
            f"Line {context.numbers[other]} gives another value for "
            f"{context.speech.name(each.quantity)}: of two answers {counts}. Put ~~ round what "
            "you take back."
        )
    if other is not None:
        return "Two different values stand here, so neither counts."
    if at in lost.units and each.unit == "missing":
        once = ", once" if context.scheme.units == "once" else ""
        return f"Its unit is missing, which costs one mark{once}."
    if at == lost.reminded and each.unit == "missing" and each.verdict != "wrong":
        return "Write the unit with it."
    if at in lost.figures:
        return "That costs one mark, once."
    return ""


def _names(context: Context, grades: list[Grade]) -> str:
    return listed([context.speech.name(g.quantity) for g in grades])


def _are(grades: list[Grade]) -> str:
    return "is" if len(grades) == 1 else "are"


def goal(walk: Walk) -> str:
    """The problem in a line, for the head of a printed script."""
    return Wording(speech_of(walk)).goal(walk)
