"""Why: readings of a step and of working back, in the names of this network.

Nothing here works physics out; it says what a step, a derivation or a solution already holds.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from tutor.circuit.derivation import Derivation, Fact
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.solving import Holding
from tutor.circuit.steps import Step
from tutor.circuit.values import in_letters, tidy
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import Speech, counted, listed

MOST_WRITTEN_OUT = 12


class StepText(NamedTuple):
    """One step in words: what may be done and why, the relation, the numbers, the result."""

    because: str
    relation: str
    working: str
    result: str


def step_text(step: Step, speech: Speech) -> StepText:
    """A reading of any step, for a reveal, a printed solution and the machine's copy alike."""
    if step.makes is None:
        return StepText(because(step, speech), _nothing_on(step), "", "")
    if len(step.parts) > MOST_WRITTEN_OUT:
        relation, working = _shortened(step)
    elif step.kind == "parallel":
        relation = f"{step.makes.name} = {' + '.join(c.name for c in step.parts)}"
        working = f"{step.makes.name} = {speech.sum_of(step.parts)}"
    else:
        relation = f"1/{step.makes.name} = {' + '.join(f'1/{c.name}' for c in step.parts)}"
        total = speech.per_unit(tidy(1 / step.makes.value))
        working = f"1/{step.makes.name} = {speech.reciprocals_of(step.parts)} {total}"
    result = speech.result(step.makes.value, "capacitance")
    return StepText(because(step, speech), relation, working, f"{step.makes.name} {result}")


def working_line(step: Step, speech: Speech) -> str:
    """The numbers and the result in one line."""
    text = step_text(step, speech)
    if step.kind == "parallel" and len(step.parts) <= MOST_WRITTEN_OUT:
        return text.working + text.result.removeprefix(step.makes.name if step.makes else "")
    return f"{text.working}, so {text.result}"


def because(step: Step, speech: Speech) -> str:
    """What the parts share and which points make it so, in one or two sentences."""
    names = listed(_some(step.parts))
    if step.kind == "parallel":
        ends = listed(step.points)
        both = "both" if len(step.parts) == 2 else "all"
        return (
            f"{names} {both} join the same two points, {ends}, "
            f"so they share one {speech.terms.difference}."
        )
    if step.kind == "series":
        return _chain_because(step, names)
    return " ".join(idle_reason(c, step) for c in _pieces_told(step))


def _chain_because(step: Step, names: str) -> str:
    if step.between:
        return (
            f"The metal between {names}, with {listed(step.between)} on it, touches the rest only "
            f"through {names}. It gains no charge in all, so {names} share one charge."
        )
    if len(step.points) == 1:
        where = f"At {step.points[0]} only {names} meet"
        metal = "that metal is"
    else:
        where = f"At {listed(step.points[:MOST_WRITTEN_OUT])} only two of them meet at a time"
        metal = "each of those pieces of metal is"
    return f"{where}, and {metal} cut off from everything else, so they share one charge."


def _pieces_told(step: Step) -> list[Capacitor]:
    """One capacitor to speak of for each reason in a removal."""
    bypassed = [c for c in step.parts if c.start == c.end]
    return bypassed + [c for c in step.parts if c.start != c.end][:1]


def idle_reason(c: Capacitor, step: Step) -> str:
    """Why a capacitor that is taken off holds no charge."""
    if c.start == c.end:
        return f"Both ends of {c.name} are on the one point {c.start}, so no p.d. is across it."
    others = [d.name for d in step.parts if d.start != d.end]
    names = listed(others)
    touch = "touches" if len(others) == 1 else "touch"
    if not step.points:
        return f"{names} {touch} nothing that leads to the supply, so no charge comes there."
    if len(step.points) == 1:
        return (
            f"{names} {touch} the rest at {step.points[0]} only, and a charge that went in there "
            "could not come out anywhere, so none does."
        )
    return f"{names} {'lies' if len(others) == 1 else 'lie'} where no charge comes."


def _nothing_on(step: Step) -> str:
    return ", ".join(f"Q of {name} = 0" for name in _some(step.parts))


def _shortened(step: Step) -> tuple[str, str]:
    first, last = step.parts[0].name, step.parts[-1].name
    how_many = counted(len(step.parts), "term")
    if step.kind == "parallel":
        return (f"{step.makes.name if step.makes else ''} = {first} + … + {last}",
                f"a sum of {how_many}")
    return (
        f"1/{step.makes.name if step.makes else ''} = 1/{first} + … + 1/{last}",
        f"a sum of {how_many}, turned over",
    )


def _some(parts: tuple[Capacitor, ...]) -> list[str]:
    names = [c.name for c in parts]
    if len(names) <= MOST_WRITTEN_OUT:
        return names
    return [*names[:3], "…", names[-1]]


def derivation_lines(step: Step, derivation: Derivation, speech: Speech) -> list[str]:
    """The argument from the facts to the rule, a line for each move."""
    names = [c.name for c in step.parts][: derivation.shown]
    made = step.makes.name if step.makes else ""
    lines = []
    if step.kind == "parallel":
        lines.append(
            f"{listed(names)} join {listed(step.points)}, and a point has one potential: "
            f"{_equal('V', names)} = V."
        )
        lines.append(f"Each holds {_laws(derivation)}.")
        lines.append(
            f"The charge given to the set is the charge on its plates together: "
            f"{_equation(derivation.facts[-1])}."
        )
        lines.append(f"So Q/V = {_in_names(derivation.equivalent)}: that is {made}.")
    else:
        lines += [_island_line(step, fact) for fact in derivation.facts if fact.ground == "island"]
        lines.append(f"So one charge Q is on every one of them: {_equal('Q', names)} = Q.")
        lines.append(
            f"{speech.terms.differences[:1].upper()}{speech.terms.differences[1:]} add along the "
            f"chain: {_equation(derivation.facts[-1])}, and each is Q over its capacitance."
        )
        reciprocal = " + ".join(f"1/{name}" for name in names)
        lines.append(f"So V/Q = {reciprocal}, and that is 1/{made}.")
        if derivation.of == 2:
            lines.append(f"Turned over: {made} = {_in_names(derivation.equivalent)}.")
    if derivation.shown < derivation.of:
        lines.append(f"Written for the first {derivation.shown}; the rest go on in the same way.")
    return lines


def _island_line(step: Step, fact: Fact) -> str:
    left, right = fact.parts
    place = dict(zip([c.name for c in step.parts], step.points, strict=False)).get(left)
    if step.between or place is None:
        where = f"The metal between {left} and {right}"
    else:
        where = f"The metal at {place}, between {left} and {right},"
    return (
        f"{where} is cut off and started with no charge: one plate there has −{_sub('Q', left)}, "
        f"the other +{_sub('Q', right)}, and they add to nought."
    )


def _sub(letter: str, name: str) -> str:
    return letter + name[1:] if name[:1] == "C" and name[1:2].isdigit() else f"{letter}_{name}"


def _equal(letter: str, names: list[str]) -> str:
    return " = ".join(_sub(letter, name) for name in names)


def _laws(derivation: Derivation) -> str:
    plates = [fact.parts[0] for fact in derivation.facts if fact.ground == "plates"]
    return listed(f"{_sub('Q', n)} = {n} V" for n in plates)


def _in_names(expression: object) -> str:
    """sympy's symbols C_C1 and Q_C1 as the learner writes them."""
    text = str(expression).replace("*", " × ")
    return re.sub(r"\b([CQV])_([A-Za-z0-9']+)", lambda m: _written(m[1], m[2]), text)


def _written(letter: str, name: str) -> str:
    return name if letter == "C" else _sub(letter, name)


def _equation(fact: Fact) -> str:
    return f"{_in_names(fact.equation.lhs)} = {_in_names(fact.equation.rhs)}"


def back_text(step: Step, part: Capacitor, held: Holding, speech: Speech) -> str:
    """How a part's p.d. or charge follows from what passed on to it, with numbers."""
    charge, voltage = (
        speech.shown(held.size.charge, "charge"), speech.shown(held.size.voltage, "voltage")
    )
    value = speech.amount(part.value, "capacitance")
    v, q = _sub("V", part.name), _sub("Q", part.name)
    if step.kind == "series":
        return f"{v} = {q}/{part.name} = {charge.text} / {value} {voltage.after_equals}"
    times = f" = {value} × {voltage.text}"
    if in_letters(part.value) or in_letters(held.voltage):
        times = ""
    return f"{q} = {part.name} × {v}{times} {charge.after_equals}"


def whole_text(quantity: Quantity, part: Capacitor, held: Holding, speech: Speech) -> str:
    """How a charge, p.d. or energy follows from the other two of the same capacitor."""
    charge = speech.shown(held.size.charge, "charge")
    voltage = speech.shown(held.size.voltage, "voltage")
    value = speech.amount(part.value, "capacitance")
    name = quantity.name
    if quantity.symbol == "Q":
        return f"{name} = C V = {value} × {voltage.text} {charge.after_equals}"
    if quantity.symbol == "V":
        return f"{name} = Q/C = {charge.text} / {value} {voltage.after_equals}"
    energy = speech.shown(held.energy, "energy")
    return f"{name} = ½ Q V = ½ × {charge.text} × {voltage.text} {energy.after_equals}"


def back_reason(step: Step, speech: Speech) -> str:
    """Why the charge of a chain, or the p.d. of a parallel set, passes on unchanged."""
    made = step.makes.name if step.makes else ""
    names = listed(_some(step.parts))
    if step.kind == "series":
        return (
            f"{because(step, speech)} {made} took the place of that chain: what went onto its "
            f"plates is what goes onto the outer plates of {names}, and so onto every plate between."
        )
    return (
        f"{because(step, speech)} {made} took their place between the same two points, so its "
        f"{speech.terms.difference} is theirs; its charge is what they hold together."
    )


def points_in_words(network: Network, speech: Speech, most: int = 60) -> list[str]:
    """The network as a list: each capacitor with its points, then each point with what is there."""
    if len(network.capacitors) > most:
        return [
            f"{len(network.capacitors)} capacitors between {len(network.points())} points: "
            "too many to list here."
        ]
    lines = [
        f"{c.name}, {speech.amount(c.value, 'capacitance')}, "
        + (f"both ends on {c.start}" if c.start == c.end else f"from {c.start} to {c.end}")
        for c in network.capacitors
    ]
    spots = []
    for point in network.points():
        names = list(dict.fromkeys(c.name for c in network.meeting(point)))
        role = " (an end)" if point in network.ends else ""
        spots.append(f"{point}{role}: {listed(names) if names else 'nothing'}")
    return [*lines, "Points and what meets there: " + "; ".join(spots) + "."]
