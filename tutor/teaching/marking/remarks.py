"""The remark beside each marked line: what is right first, then one thing to look at.

No right value is given away, and no wrong rule is called by its name.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from tutor.circuit.network import Network
from tutor.circuit.steps import Fault, after
from tutor.circuit.values import parallel_sum
from tutor.teaching.judging import close
from tutor.teaching.marking.grading import FRACTIONS, WITHOUT_BRACKETS, Grade
from tutor.teaching.marking.phrases import (
    Rulings,
    carried,
    given_misread,
    relation,
    right,
    said_of,
    slip,
    unexplained,
    wrong_power,
    wrong_unit,
)
from tutor.teaching.misfit import Misfit, misfit
from tutor.teaching.quantities import Quantity
from tutor.teaching.replies import Replies
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.malrule import Malrule
from tutor.teaching.speech import Speech, listed
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Walk, question_about
from tutor.teaching.ways_of_walk import canonical
from tutor.teaching.wording import Wording

SIGN: Final = "a sign that something before is wrong."


class Context(NamedTuple):
    """What remarks may speak of: the route, and what was decided by the rules of marking."""

    walk: Walk
    rulings: Rulings

    @property
    def speech(self) -> Speech:
        """How values and names are written here."""
        return speech_of(self.walk)


def on_grade(context: Context, each: Grade) -> str:
    """What is said of one judgement."""
    name = context.speech.name(each.quantity)
    if each.group is not None:
        fault = _no_group(context, each, each.group)
        rests = each.quantity == Quantity("C")
        return f"{name} rests on {listed(each.members)} as one group. {fault}" if rests else fault
    if each.relation:
        return relation(each)
    if each.given:
        return _given(context, each, name)
    if each.verdict == "right" and each.fault is None:
        return right(each, name)
    if each.verdict == "carried":
        return _carried(context, each, name)
    return _wrong(context, each, name)


def _wrong(context: Context, each: Grade, name: str) -> str:
    if each.fault == "power-of-ten":
        return wrong_power(name)
    if each.fault == "unit":
        kind = {
            "C": "capacitance",
            "Q": "charge",
            "V": context.speech.terms.difference,
            "E": "energy",
            "W": "energy",
        }[each.quantity.symbol]
        return wrong_unit(name, kind)
    if each.fault == "arithmetic" and {WITHOUT_BRACKETS, *FRACTIONS}.intersection(each.malrules):
        return _recognised(context, each, name)
    if each.fault == "arithmetic":
        return slip(each, name, _said(context, each))
    if each.fault == "malrule" or each.diagnosis is not None:
        return _recognised(context, each, name)
    return _not_following(context, each, name)


def _no_group(context: Context, each: Grade, group: Fault) -> str:
    """Why they are no group: as the kind that their value makes of them, where that is parallel."""
    network, replies = _drawn(context, each), Replies(context.speech)
    members = network.named(each.members)
    added = parallel_sum([c.value for c in members])
    if group.kind != "idle" and each.value is not None and close(each.value, added):
        return replies.joined_otherwise(members, "parallel")
    return replies.fault(group, each.members, network)


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
    return given_misread(name, amount)


def _carried(context: Context, each: Grade, name: str) -> str:
    told = carried(context.rulings, each, name)
    return " ".join(filter(None, (told, _unreasonable(context, each))))


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
        return f"But {said} is above the {limit} moved in all: {SIGN}"
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


def _recognised(context: Context, each: Grade, name: str) -> str:
    """The possible route to the number, what cannot be, and the question that helps."""
    diagnosis, speech = each.diagnosis, context.speech
    if diagnosis is None or diagnosis.context is None:
        return _not_following(context, each, name)
    assert diagnosis.at is not None
    so_far = _so_far(context, diagnosis.at)
    if each.ends_right:
        so_far = "The last value is right, but the line does not lead to it. "
    likely = diagnosis.groups[0][0]
    if canonical(context.walk, diagnosis.at) != each.quantity:
        return so_far + _skipped(context, each, likely)
    second = diagnosis.groups[1][0] if len(diagnosis.groups) > 1 else None
    if second is not None and second.rank == likely.rank:
        both = (rule_text.route(m, diagnosis.context, speech) for m in (likely, second))
        routes = " or ".join(both)
        return (
            f"{so_far}{_said(context, each)} may come from {routes}; neither gives {name}. "
            "Show the line before it."
        )
    said = _said(context, each)
    origin = rule_text.origin(said, likely, diagnosis.context, speech, diagnosis.is_written)
    return f"{so_far}{origin} {rule_text.question(likely, diagnosis.context, speech)}"


def _skipped(context: Context, each: Grade, malrule: Malrule) -> str:
    """A number that one wrong rule at an earlier step, not written down, would lead to."""
    diagnosis, speech = each.diagnosis, context.speech
    assert diagnosis is not None
    assert diagnosis.context is not None
    assert diagnosis.at is not None
    earlier = speech.name(canonical(context.walk, diagnosis.at))
    route = rule_text.route(malrule, diagnosis.context, speech)
    return (
        f"{_said(context, each)} is what follows if {earlier} comes from {route}, if that is what "
        f"you did. {rule_text.question(malrule, diagnosis.context, speech)}"
    )


def _so_far(context: Context, quantity: Quantity) -> str:
    """What the parts of this step share: that stands, whatever was made of it."""
    about = question_about(context.walk, quantity)
    if quantity == Quantity("C") and context.walk.whole is not None:
        about = question_about(context.walk, Quantity("C", context.walk.whole.name))
    return Replies(context.speech).right_so_far(about)


def _not_following(context: Context, each: Grade, name: str) -> str:
    found = _unreasonable(context, each).removeprefix("But ").partition(":")[0]
    if found and not each.ends_right:
        return f"{found[:1].upper()}{found[1:]}. Write the line that led to it."
    return unexplained(each, name, _said(context, each))


def _said(context: Context, each: Grade) -> str:
    return said_of(each, lambda value: context.speech.amount(value, each.quantity.dimension))


def goal(walk: Walk) -> str:
    """The problem in a line, for the head of a printed script."""
    return Wording(speech_of(walk)).goal(walk)
