"""A solved network as one object for machines: exact values, and the words a person reads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, TypeAlias

from grammar.records import Asked, Dimension, Refusal
from tutor.circuit.exact import exact_text
from tutor.circuit.nesting import names_only, nest_of_steps
from tutor.circuit.network import Capacitor, Problem
from tutor.circuit.reduction import Reduction, reduce
from tutor.circuit.solving import Holding, Solution, plus_point, solve
from tutor.circuit.steps import Step, StepKind
from tutor.circuit.values import Value
from tutor.teaching.reasons import back_reason, back_text, step_text
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.speech import Speech, speech_for

Fields: TypeAlias = dict[str, Any]

SHARES: Mapping[StepKind, str | None] = MappingProxyType(
    {"parallel": "voltage", "series": "charge", "removal": None, "equal": None, "merge": None,
     "balance": None, "star": None, "delta": None}
)


def solution_json(problem: Problem) -> Fields:
    """The whole solution; a quantity is ``{"si": "1/200000", "text": "5 µF"}``.

    ``si`` is exact in farads, volts, coulombs or joules. ``reduced`` is true where series and
    parallel alone lead to one capacitor. Where they do not it is false, ``left`` names what they
    leave, and the steps go on beyond them; the values are there all the same.
    """
    solution = solve(problem.network, problem.supply)
    speech = speech_for(problem, DEFAULTS)
    whole, given = solution.whole, problem.network.capacitors
    way = Reduction(solution.steps, solution.left)
    reduced = whole is not None and way.is_by_rules
    entry: Fields = {
        "network": names_only(
            problem.network, nest_of_steps(problem.network, way, problem.powers)
        ),
        "reduced": reduced,
    }
    if whole is not None:
        entry["equivalent"] = {"capacitance": _quantity(whole.value, "capacitance", speech)}
        if solution.holdings:
            entry["supply"] = _holding(solution.holdings[whole.name], speech)
    entry["capacitors"] = {c.name: _capacitor(c, solution, speech) for c in given}
    if solution.potentials:
        entry["potentials"] = dict(_potentials(problem, solution, speech))
    entry["steps"] = [_step(step, speech) for step in solution.steps]
    if solution.holdings:
        entry["back"] = list(_back(solution, speech))
    if not reduced:
        left = reduce(problem.network).left
        entry["left"] = [c.name for c in left.capacitors]
    if problem.asked:
        entry["asked"] = [_asked(each, solution, speech) for each in problem.asked]
    return entry


def refusal_json(refusal: Refusal) -> Fields:
    """Why a text was not read; without a place of its own the fault is the text's beginning."""
    place = refusal.place
    line, column = (place.line, place.column) if place else (1, 1)
    return {"error": {"line": line, "column": column, "message": str(refusal)}}


def asked_value(asked: Asked, solution: Solution) -> Value | None:
    """What a text wants to know, as a magnitude in its SI unit; None where it cannot be told."""
    if asked.quantity == "capacitance":
        if asked.of is None:
            return solution.whole.value if solution.whole else None
        return solution.network.named([asked.of])[0].value
    if solution.whole is None or not solution.holdings:
        return None
    held = solution.holdings[asked.of or solution.whole.name].size
    return {"voltage": held.voltage, "charge": held.charge, "energy": held.energy}[asked.quantity]


def _quantity(value: Value, dimension: Dimension, speech: Speech) -> Fields:
    return {"si": exact_text(value), "text": speech.amount(value, dimension)}


def _holding(held: Holding, speech: Speech) -> Fields:
    size = held.size
    return {
        "voltage": _quantity(size.voltage, "voltage", speech),
        "charge": _quantity(size.charge, "charge", speech),
        "energy": _quantity(size.energy, "energy", speech),
    }


def _capacitor(c: Capacitor, solution: Solution, speech: Speech) -> Fields:
    entry: Fields = {"capacitance": _quantity(c.value, "capacitance", speech)}
    if solution.holdings:
        entry |= _holding(solution.holdings[c.name], speech)
    entry["points"] = [c.start, c.end]
    if solution.holdings:
        entry["plus"] = plus_point(c, solution.holdings[c.name])
    return entry


def _potentials(
    problem: Problem, solution: Solution, speech: Speech
) -> Iterator[tuple[str, Fields]]:
    """Every point of the text that is joined to the ends, also those that a wire made one."""
    others = {kept: names for kept, *names in problem.joined}
    for point, level in solution.potentials.items():
        for name in (point, *others.get(point, ())):
            yield name, _quantity(level, "voltage", speech)


def _step(step: Step, speech: Speech) -> Fields:
    text = step_text(step, speech)
    made = step.makes
    return {
        "kind": step.kind,
        "parts": [c.name for c in step.parts],
        "makes": made.name if made else None,
        "shares": SHARES[step.kind],
        "because": text.because,
        "relation": text.relation.replace("\n", "; "),
        "working": text.working.replace("\n", "; "),
        "value": _quantity(made.value, "capacitance", speech) if made else None,
    }


def _back(solution: Solution, speech: Speech) -> Iterator[Fields]:
    """From the whole to its parts: what passes on unchanged, and what follows for each."""
    for step in reversed(solution.steps):
        if step.makes is None:
            continue
        yield {
            "from": step.makes.name,
            "to": [c.name for c in step.parts],
            "shares": SHARES[step.kind],
            "because": back_reason(step, speech) if step.kind != "balance" else "",
            "working": [
                back_text(step, c, solution.holdings[c.name], speech) for c in step.parts
            ],
        }


def _asked(asked: Asked, solution: Solution, speech: Speech) -> Fields:
    value = asked_value(asked, solution)
    return {
        "quantity": asked.quantity,
        "of": asked.of,
        "value": None if value is None else _quantity(value, asked.quantity, speech),
    }
