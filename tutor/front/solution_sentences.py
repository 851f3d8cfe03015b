"""Sentences of a printed solution that no dialogue says: bounds, what is gone, cautions."""

from __future__ import annotations

from grammar.records import Asked
from tutor.circuit.network import Network
from tutor.circuit.solving import Holding
from tutor.circuit.steps import Step
from tutor.circuit.values import in_letters
from tutor.teaching.balancing import bridge_bound
from tutor.teaching.cautions import cautions
from tutor.teaching.quantities import SYMBOL, Quantity
from tutor.teaching.reasons import meetings
from tutor.teaching.settings import Settings
from tutor.teaching.speech import MOST_NAMED, Speech, counted, listed, some_names


def heading(step: Step) -> str:
    """C2 and C3 in parallel."""
    if step.kind == "merge":
        return f"{listed(step.points)} count as one point"
    how = {
        "parallel": "in parallel", "series": "in series", "balance": "by charge balance",
    }.get(step.kind, "left out")
    return f"{some_names([c.name for c in step.parts])} {how}"


def bound(step: Step, speech: Speech) -> str:
    """The bound of a result: a chain is below its smallest, a parallel set above its largest, a
    bridge between what it is without what joins its inner points and with a wire there.
    """
    if step.makes is not None and step.kind == "balance":
        return bridge_bound(Network(step.parts, (step.makes.start, step.makes.end)), speech)
    if step.makes is None or step.kind not in ("series", "parallel"):
        return ""
    chain = step.kind == "series"
    which = "below its smallest" if chain else "above its largest"
    rule = f"{'A chain' if chain else 'A parallel set'} is always {which} member"
    made, values = step.makes.value, [c.value for c in step.parts]
    if any(map(in_letters, [made, *values])):
        return f"{rule}, whatever the letters stand for."
    member = (min if chain else max)(step.parts, key=lambda c: c.value)
    than = "less than" if chain else "more than"
    amount, other = speech.apart([made, member.value], "capacitance")
    return f"{rule}: {amount} is {than} the {other} of {member.name}."


def gone(step: Step) -> str:
    """Which points a step takes away, and why the others stay."""
    if step.kind in ("equal", "merge"):
        return ""
    if step.makes is not None and not step.gone:
        return f"No point is gone: {listed(step.points)} are the points of {step.makes.name}."
    if not step.gone:
        return "No point is gone."
    names = listed(step.gone[:MOST_NAMED]) if len(step.gone) <= MOST_NAMED else (
        f"{counted(len(step.gone), 'point')} from {step.gone[0]} to {step.gone[-1]}"
    )
    verb = "is" if len(step.gone) == 1 else "are"
    if step.makes is None:
        return f"{names} {verb} left out too."
    return f"{names} {verb} inside {step.makes.name} now, where nothing else can be joined."


def stuck(left: Network) -> str:
    """That series and parallel lead no further, and why it is so."""
    names = some_names([c.name for c in left.capacitors])
    text = (
        f"Nothing can be combined by series and parallel: no two of {names} "
        "join the same two points, and at every inner point three or more plates meet"
    )
    return f"{text}: {meetings(left)}."


def unanswered(asked: Asked, speech: Speech) -> str:
    """Why a quantity that is asked for has no value here."""
    name = speech.name(Quantity(SYMBOL[asked.quantity], asked.of))
    return f"{name} has no value until a {speech.terms.difference} or a charge is given"


def caution(whole: Holding, terms: Settings) -> tuple[str, ...]:
    """A word on real capacitors where the p.d. or the energy is high; else nothing."""
    return cautions(whole.size.voltage, whole.energy, terms=terms)
