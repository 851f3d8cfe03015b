"""Reasons behind a right value: whether what is given as the ground is not so of the step in hand.

A value may be right by a wrong road, and praise of the value is heard as praise of the road.
"""

from __future__ import annotations

from tutor.circuit.network import Network
from tutor.circuit.steps import Step
from tutor.teaching.reading.propositions import Says, clauses_of, propositions_in
from tutor.teaching.reading.sentence_parts import Clause
from tutor.teaching.reading.truth import InQuestion, is_true

# What bears on no value where it is not so; that two are equal, or near, may well bear on one.
_OF_THE_SHAPE: frozenset[Says] = frozenset((
    "series", "parallel", "both points", "one point", "only", "cut off", "across supply", "short",
))
_NEVER_SO: frozenset[Says] = frozenset(("through", "used up", "sent"))


def false_ground(line: str, network: Network, step: Step) -> bool:
    """Whether a line gives a reason that is not so: the other quantity shared, a shape that is not
    there, or charge that goes through a gap.
    """
    reasons = [clause for clause in clauses_of(line, network) if clause.role == "reason"]
    if not reasons:
        return False
    if step.kind in ("series", "parallel") and any(
        _shares_the_other(clause, step) or _adds_the_shared(clause, step)
        or _splits_evenly(clause, step) for clause in reasons
    ):
        return True
    place = InQuestion(network, step)
    said = propositions_in(" and ".join(clause.text for clause in reasons), network)
    for each in said:
        if each.says in _NEVER_SO and each.holds:
            return True
        if each.says == "split" and each.holds and step.kind == "series":
            return True
        if each.says in _OF_THE_SHAPE and each.holds and not is_true(each, place):
            return True
    return False


def _shares_the_other(clause: Clause, step: Step) -> bool:
    """Whether a clause says that these share what they do not share: the charge side by side."""
    said_same = clause.has("same") or clause.says("share", "shares", "shared", "equal")
    if not said_same or clause.is_negative or clause.has("charge") is clause.has("pd"):
        return False
    if clause.capacitors and not {*clause.capacitors} & {c.name for c in step.parts}:
        return False  # of others
    return clause.has("charge") is (step.kind == "parallel")


def _adds_the_shared(clause: Clause, step: Step) -> bool:
    """Whether a clause lets add up what these share: the p.d.s side by side."""
    if not clause.says("add", "adds", "added", "adding", "sum") or clause.is_negative:
        return False
    if clause.has("charge") is clause.has("pd"):
        return False
    return clause.has("pd") is (step.kind == "parallel")


def _splits_evenly(clause: Clause, step: Step) -> bool:
    """Whether a clause divides something alike among capacitors that differ."""
    if not clause.has("split") or not clause.says("evenly", "equally", "half", "halves"):
        return False
    return len({c.value for c in step.parts}) > 1
