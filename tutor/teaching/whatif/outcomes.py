"""A prediction judged: right, or wrong with the reason, and the wrong idea where it is known."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from grammar.measures import Measure, WrongUnit, as_si, half_in_si
from tutor.circuit.changes import Added, NewSupply
from tutor.circuit.values import Value, in_letters, same, tidy
from tutor.teaching.judging import judge
from tutor.teaching.messages import Verdict
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import Speech
from tutor.teaching.whatif.change import Direction, Supposing, direction, way
from tutor.teaching.whatif.points_and_parts import Why
from tutor.teaching.whatif.predictions import Predicted
from tutor.teaching.whatif.shifts import only_way

RANK: Mapping[Verdict, int] = MappingProxyType(
    {"right": 0, "incomplete": 1, "unread": 2, "wrong": 3}
)
TOLD: Mapping[Direction, str] = MappingProxyType({"up": "up", "down": "down", "same": "the same"})


class PredictionOutcome(NamedTuple):
    """What is said of one prediction, and the wrong rules it follows, if known; ``is_found`` where
    it gave the value itself.
    """

    verdict: Verdict
    text: str
    malrules: tuple[str, ...] = ()
    is_found: bool = False


def judged(whatif: Supposing, said: Predicted, speech: Speech) -> PredictionOutcome:
    """Right or wrong, with the reason of a wrong one."""
    if said.value is not None:
        return _value(whatif, said, speech)
    if said.factor is not None:
        return _factor(whatif, said, speech)
    name = speech.name(said.quantity)
    truth = direction(whatif, said.quantity)
    if truth is None:
        return _left_open(whatif, said, speech)
    if said.way == truth:
        return PredictionOutcome("right", f"{name} {TOLD[truth]}: right.")
    assert said.way is not None
    reason = Why(whatif, speech).why(said.quantity)
    text = f"{name} {TOLD[said.way]} does not fit. {reason}"
    return PredictionOutcome("wrong", text, _malrules(whatif, said))


def _left_open(whatif: Supposing, said: Predicted, speech: Speech) -> PredictionOutcome:
    """Where the letters do not say which way it goes; the whole may have one way only, if any."""
    name = speech.name(said.quantity)
    goes = only_way(whatif, said.quantity)
    if goes is None:
        text = f"{name}: it depends on the values of the letters; either may be."
        return PredictionOutcome("incomplete", text)
    if said.way == goes:
        text = f"{name} {goes}: right, unless the values happen to balance; then it stays."
        return PredictionOutcome("right", text)
    if said.way == "same":
        text = f"{name} stays only where the values happen to balance; else it goes {goes}."
        return PredictionOutcome("incomplete", text)
    reason = Why(whatif, speech).why(said.quantity)
    return PredictionOutcome("wrong", f"{name} {said.way} does not fit. {reason}")


def _factor(whatif: Supposing, said: Predicted, speech: Speech) -> PredictionOutcome:
    """So many times as much: "E doubles"."""
    assert said.factor is not None
    before, after = whatif.before[said.quantity], whatif.after[said.quantity]
    name = speech.name(said.quantity)
    if same(before * said.factor, after):
        return PredictionOutcome("right", f"{name}: {said.factor} times what it was, right.")
    start = f"{name}: not {said.factor} times what it was."
    if way(before, after) == ("up" if said.factor > 1 else "down"):
        start = f"{name} goes that way, yes, but not to {said.factor} times what it was."
    reason = Why(whatif, speech).why(said.quantity)
    return PredictionOutcome("wrong", f"{start} {reason}", _malrules(whatif, said))


def _value(whatif: Supposing, said: Predicted, speech: Speech) -> PredictionOutcome:
    assert said.value is not None
    power = whatif.problem.powers[said.quantity.dimension]
    found = judge(said.value, said.quantity.dimension, power, whatif.after[said.quantity])
    name = speech.name(said.quantity)
    if found.verdict == "right":
        amount = speech.result(whatif.after[said.quantity], said.quantity.dimension)
        return PredictionOutcome("right", f"{name} {amount}: right.", is_found=True)
    if found.note == "one figure":
        return PredictionOutcome("right", f"{name}: right to one figure.")
    if found.note == "unit" or found.value is None:
        return PredictionOutcome("wrong", f"{name} has another unit than that.")
    if found.note == "power of ten":
        return PredictionOutcome("wrong", f"{name}: the figures fit, the power of ten does not.")
    amount = speech.amount(found.value, said.quantity.dimension)
    reason = Why(whatif, speech).why(said.quantity)
    times = _times(whatif.before[said.quantity], found.value)
    malrules = _malrules(whatif, said._replace(factor=times))
    return PredictionOutcome("wrong", f"{name}: {amount} does not fit. {reason}", malrules)


def _times(before: Value, value: Value) -> Fraction | None:
    """How many times the value before a value is, where both are numbers."""
    if in_letters(before) or in_letters(value) or before == 0:
        return None
    return Fraction(value) / Fraction(before)


def _malrules(whatif: Supposing, said: Predicted) -> tuple[str, ...]:
    """The wrong ideas that are known by name, where a wrong prediction follows one."""
    goes = said.way
    if goes is None and said.factor is not None:
        goes = way(Fraction(1), said.factor)
    change = whatif.change
    if isinstance(change, NewSupply):
        return _of_supply(whatif, said, goes)
    chain = isinstance(change, Added) and change.kind == "series"
    if chain and said.quantity == Quantity("C") and goes == "up":
        return ("longer-chain-holds-more",)
    return ()


def _of_supply(
    whatif: Supposing, said: Predicted, goes: Direction | None
) -> tuple[str, ...]:
    supply = Quantity("V")
    if said.quantity.symbol == "C" and goes == direction(whatif, supply) and goes != "same":
        return ("capacitance-grows-with-the-supply",)
    ratio = tidy(whatif.after[supply] / whatif.before[supply])
    if said.quantity.symbol == "E" and said.factor is not None and same(said.factor, ratio):
        return ("energy-doubles-with-the-pd",)
    if said.quantity.symbol == "E" and said.value is not None and _comes_to(
        whatif, said.value, tidy(whatif.before[said.quantity] * ratio)
    ):
        return ("energy-doubles-with-the-pd",)
    return ()


def _comes_to(whatif: Supposing, said: Measure, value: Value) -> bool:
    """Whether an energy, rounded as it was typed, is this value in joules."""
    power = whatif.problem.powers["energy"]
    try:
        typed = as_si(said, "energy", power)
    except WrongUnit:
        return False
    half = half_in_si(said, power) if said.one_number else None
    if half is None or in_letters(typed) or in_letters(value):
        return same(typed, value)
    return bool(abs(typed - value) <= half)
