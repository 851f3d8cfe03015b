"""Why: readings of a step and of working back, in the names of this network.

Nothing here works physics out; it says what a step, a derivation or a solution already holds.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from tutor.circuit.charge_balance import balance_equations
from tutor.circuit.derivation import Derivation, DerivedEquation
from tutor.circuit.equal_levels import Level
from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.solving import Holding
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, in_letters, tidy
from tutor.teaching.balancing import Lines
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import MOST_NAMED, Dimensioned, Speech, counted, listed, some_names

MOST_WRITTEN_OUT = 12
MOST_SOLVED = 6  # with more points the lines of an elimination help nobody
LONGEST_LINE = 96


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
    if step.kind == "balance":
        return _balance_text(step, step.makes, speech)
    if step.shares:
        result = f"{step.makes.name} {speech.result(step.makes.value, 'capacitance')}"
        return StepText(because(step, speech), "", "", result)
    if len(step.parts) > MOST_WRITTEN_OUT:
        relation, working = _shortened(step)
    elif step.kind == "parallel":
        relation = f"{step.makes.name} = {' + '.join(c.name for c in step.parts)}"
        working = _once(relation, speech.sum_of(step.parts))
    else:
        relation = f"1/{step.makes.name} = {' + '.join(f'1/{c.name}' for c in step.parts)}"
        total = speech.per_unit(
            tidy(1 / step.makes.value), [c.value for c in step.parts]
        )
        working = f"{_once(relation, speech.reciprocals_of(step.parts))} {total}"
    result = speech.result(step.makes.value, "capacitance", *values_of_parts(step))
    return StepText(because(step, speech), relation, working, f"{step.makes.name} {result}")


def _once(relation: str, numbers: str) -> str:
    """The relation and then its numbers, unless letters that are the names say it again."""
    return relation if relation.endswith(f" = {numbers}") else f"{relation} = {numbers}"


def values_of_parts(step: Step) -> tuple[Dimensioned, ...]:
    """What is summed in a step: where one of these is printed rounded, so is what it comes to."""
    summed = step.kind in JOININGS and not step.shares
    return tuple((c.value, "capacitance") for c in step.parts) if summed else ()


def working_line(step: Step, speech: Speech) -> str:
    """The numbers and the result in one line."""
    text = step_text(step, speech)
    if step.shares:
        return "\n".join(filter(None, [text.relation, text.working, text.result]))
    if step.kind == "parallel" and len(step.parts) <= MOST_WRITTEN_OUT:
        assert step.makes is not None, "a set of capacitors makes one"
        assert text.result.startswith(step.makes.name), "a result begins with its name"
        own = text.result.removeprefix(step.makes.name)
        return text.working if text.working.endswith(own) else f"{text.working}{own}"
    return f"{text.working}, so {text.result}"


def because(step: Step, speech: Speech) -> str:
    """What the parts share and which points make it so, in one or two sentences."""
    names = listed(_some(step.parts))
    if step.kind == "parallel":
        ends = listed(step.points)
        both = "both" if len(step.parts) == 2 else "all"
        return (
            f"{names} {both} join the same two points, {ends}, "
            f"so they share one {speech.terms.at_the_end}"
        )
    if step.kind == "series":
        return _chain_because(step, names)
    if step.kind == "balance":
        return balance_reason(step.points)
    if step.kind in ("star", "delta"):
        places = ("a star", "a triangle") if step.kind == "star" else ("a triangle", "a star")
        return f"With {' in the place of '.join(places)} it all comes down to one capacitor."
    if step.level is not None:
        return _level_because(step, step.level, names, speech)
    return " ".join(idle_reason(c, step, speech) for c in _pieces_told(step))


def why_combined(step: Step) -> str:
    """How parts lie that can be combined, without the points and without what they share."""
    if step.kind == "series":
        return "where they meet, nothing else does"
    return "their ends meet in the same two points"


def balance_reason(points: Sequence[str]) -> str:
    """Why the charges of the plates at floating points add up to zero."""
    where = "it" if len(points) == 1 else "each of them"
    return (
        f"No charge can come from outside to {listed(points)}, and there was none at first: at "
        f"{where} the charges of the plates add up to zero."
    )


def level_reason(level: Level, speech: Speech) -> str:
    """Why points are at one potential."""
    points = listed(level.points)
    if level.reason == "ratio":
        (one, two), (three, four) = level.arms
        return (
            f"{one}/{two} equals {three}/{four}, so the {speech.terms.difference} between "
            f"{listed(level.between)} is divided alike at {points}"
        )
    first, *others = level.exchanges
    too = "".join(f", and so does exchanging {exchanged(each)}" for each in others)
    return (
        f"exchanging {exchanged(first)} leaves every join and every value as it was{too}, so "
        f"{points} cannot differ"
    )


def exchanged(moves: tuple[tuple[str, str], ...]) -> str:
    """P with R, and S with T; of points that go round in a ring, P for R, R for S and S for P."""
    there = dict(moves)
    if any(there.get(to) != point for point, to in moves):
        return listed(f"{point} for {to}" for point, to in moves)
    order = list(there)
    pairs = [(p, to) for p, to in moves if order.index(p) < order.index(to)]
    return listed(f"{point} with {to}" for point, to in pairs)


def _level_because(step: Step, level: Level, names: str, speech: Speech) -> str:
    reason = level_reason(level, speech)
    first = f"{reason[:1].upper()}{reason[1:]}."
    if step.kind == "merge":
        kept = step.points[0]
        return (
            f"{first} A wire between {listed(step.points)} would carry no charge, so they may "
            f"count as one point, {kept}."
        )
    return f"{first} Then no {speech.terms.difference} is across {names}, and no charge is there."


def _balance_text(step: Step, makes: Capacitor, speech: Speech) -> StepText:
    """The balances, how they are solved, and the whole; lines are parted by line ends."""
    network = Network(step.parts, (makes.start, makes.end))
    told = Lines(balance_equations(network), network.ends, None, speech)
    solved = [told.units()]
    for point, share in step.shares:
        if point in step.points:
            found = f"{told.potential(point)} = {told.of_the_plus_end(share)}"
            way = told.solving(point) if len(step.points) <= MOST_SOLVED else []
            solved += way_to(way, found)
    solved += _whole_by_levels(step, makes, speech)
    result = f"{makes.name} {speech.result(makes.value, 'capacitance')}"
    return StepText(
        because(step, speech), "\n".join(told.written()), "\n".join(solved), result
    )


def _whole_by_levels(step: Step, makes: Capacitor, speech: Speech) -> list[str]:
    """The line that leads from the potentials to the whole: the charge at its + end, for each volt
    there; none of a long one.
    """
    plus, minus = makes.start, makes.end
    around = [c for c in step.parts if plus in (c.start, c.end) and c.start != c.end]
    if len(around) > MOST_SOLVED:
        return []
    top = speech.letters(f"V_{plus}")
    terms = []
    for c in around:
        far = c.end if c.start == plus else c.start
        across = top if far == minus else f"({top} − {speech.letters(f'V_{far}')})"
        terms.append(f"{c.name} × {across}")
    return [f"Charge at {plus} for each volt: {makes.name} = ({' + '.join(terms)})/{top}"]


def way_to(way: list[str], found: str) -> list[str]:
    """The lines of a way with what it leads to, V_P = 4.8 V, at the end of the last one."""
    if not way:
        return [found]
    *before, last = way
    left, _, value = found.partition(" = ")
    if last.endswith(f" = {value}") or last == found:
        return [*before, last]
    ended = f"{last} = {value}" if last.startswith(f"{left} = ") else f"{last}, so {found}"
    return [*before, ended] if len(ended) <= LONGEST_LINE else [*way, f"So {found}"]


def _chain_because(step: Step, names: str) -> str:
    if step.between:
        return (
            f"The metal between {names}, with {listed(step.between)} on it, touches the rest only "
            f"through {names}. It began with no charge and gains none in all, so {names} share one "
            "charge."
        )
    if len(step.points) == 1:
        where = f"At {step.points[0]} only {names} meet"
        metal = "that metal is"
    else:
        where = f"At each of {listed(step.points[:MOST_WRITTEN_OUT])} only two of them meet"
        metal = "each of those pieces of metal is"
    if step.swept:
        hanging = listed(_some(step.swept))
        where += f", apart from {hanging}, to which no charge comes"
    return (
        f"{where}, and {metal} cut off from everything else and began with no charge in all, so "
        "they share one charge."
    )


def metal_between(step: Step) -> str:
    """Why the first two of a chain share one charge, as a sentence about the metal between them."""
    names = listed([c.name for c in step.parts[:2]])
    if step.between:
        return (
            f"The metal between {names}, with {listed(step.between)} on it, touches the rest only "
            "through them."
        )
    if step.swept:
        return f"The metal between {names} touches nothing else that brings charge."
    return f"The metal between {names} touches nothing else."


def _pieces_told(step: Step) -> list[Capacitor]:
    """One capacitor to speak of for each reason in a removal."""
    bypassed = [c for c in step.parts if c.start == c.end]
    return bypassed + [c for c in step.parts if c.start != c.end][:1]


def idle_reason(c: Capacitor, step: Step, speech: Speech) -> str:
    """Why a capacitor that is taken off holds no charge."""
    if c.start == c.end:
        difference = speech.terms.difference
        return (
            f"Both plates of {c.name} are on the one point {c.start}, "
            f"so no {difference} is across it."
        )
    others = [d.name for d in step.parts if d.start != d.end]
    names = listed(others)
    touch = "touches" if len(others) == 1 else "touch"
    if not step.points:
        return f"{names} {touch} nothing that leads to the supply, so no charge comes there."
    if len(step.points) == 1:
        return (
            f"{names} {touch} the rest at {step.points[0]} only. The metal beyond is cut off and "
            "began with no charge, so the plates there stay bare, and those that face them too."
        )
    return f"{names} {'lies' if len(others) == 1 else 'lie'} where no charge comes."


def _nothing_on(step: Step) -> str:
    return ", ".join(f"Q of {name} = 0" for name in _some(step.parts))


def _shortened(step: Step) -> tuple[str, str]:
    first, last = step.parts[0].name, step.parts[-1].name
    how_many = counted(len(step.parts), "term")
    if step.kind == "parallel":
        return (f"{step.made} = {first} + … + {last}",
                f"a sum of {how_many}")
    return (
        f"1/{step.made} = 1/{first} + … + 1/{last}",
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
    volts = speech.letters("V")
    lines = []
    if step.kind == "parallel":
        lines.append(
            f"{listed(names)} join {listed(step.points)}, and a point has one potential: "
            f"{_equal(volts, names)} = {volts}."
        )
        lines.append(f"Each holds {_laws(derivation, volts)}.")
        lines.append(
            f"The charge that comes onto the set is the charge on its plates together: "
            f"{_equation(derivation.facts[-1])}."
        )
        lines.append(f"So Q/{volts} = {_in_names(derivation.equivalent)}: that is {step.made}.")
    else:
        lines += [_island_line(step, fact) for fact in derivation.facts if fact.ground == "island"]
        lines.append(f"So one charge Q is on every one of them: {_equal('Q', names)} = Q.")
        lines.append(
            f"{speech.terms.differences[:1].upper()}{speech.terms.differences[1:]} add along the "
            f"chain: {_equation(derivation.facts[-1], volts)}, and each is Q over its capacitance."
        )
        reciprocal = " + ".join(f"1/{name}" for name in names)
        lines.append(f"So {volts}/Q = {reciprocal}, and that is 1/{step.made}.")
        if derivation.of == 2:
            lines.append(f"Turned over: {step.made} = {_in_names(derivation.equivalent)}.")
    if derivation.shown < derivation.of:
        lines.append(f"Written for the first {derivation.shown}; the rest go on in the same way.")
    return lines


def _island_line(step: Step, fact: DerivedEquation) -> str:
    left, right = fact.parts
    place = dict(zip([c.name for c in step.parts], step.points, strict=False)).get(left)
    if step.between or place is None:
        where = f"The metal between {left} and {right}"
    else:
        where = f"The metal at {place}, between {left} and {right},"
    return (
        f"{where} is cut off and started with no charge: one plate there has −{_sub('Q', left)}, "
        f"the other +{_sub('Q', right)}, and they add up to zero."
    )


def _sub(letter: str, name: str) -> str:
    return letter + name[1:] if name[:1] == "C" and name[1:2].isdigit() else f"{letter}_{name}"


def _equal(letter: str, names: list[str]) -> str:
    return " = ".join(_sub(letter, name) for name in names)


def _laws(derivation: Derivation, volts: str) -> str:
    plates = [fact.parts[0] for fact in derivation.facts if fact.ground == "plates"]
    return listed(f"{_sub('Q', n)} = {n} {volts}" for n in plates)


def _in_names(expression: object) -> str:
    """sympy's symbols C_C1 and Q_C1 as the learner writes them."""
    text = str(expression).replace("*", " × ")
    return re.sub(r"\b([CQV])_([A-Za-z0-9']+)", lambda m: _written(m[1], m[2]), text)


def _written(letter: str, name: str) -> str:
    return name if letter == "C" else _sub(letter, name)


def _equation(fact: DerivedEquation, volts: str = "V") -> str:
    """The equation of a fact, with the learner's letter for a p.d."""
    text = f"{_in_names(fact.equation.lhs)} = {_in_names(fact.equation.rhs)}"
    return re.sub(r"\bV(?=\d|_|\b)", volts, text)


def back_text(step: Step, part: Capacitor, held: Holding, speech: Speech) -> str:
    """How a part's p.d. or charge follows from what passed on to it, with numbers."""
    charge, voltage = (
        speech.shown(held.size.charge, "charge"), speech.shown(held.size.voltage, "voltage")
    )
    value = speech.shown(part.value, "capacitance")
    v, q = _sub(speech.letters("V"), part.name), _sub("Q", part.name)
    in_numbers = not in_letters(part.value) and not in_letters(held.voltage)
    if step.kind == "series":
        divided = f" = {charge.text} / {value.text}" if in_numbers else ""
        equals = speech.equals(charge, value, voltage)
        return f"{v} = {q}/{part.name}{divided} {equals} {voltage.text}"
    times = f" = {value.text} × {voltage.text}" if in_numbers else ""
    equals = speech.equals(value, voltage, charge)
    return f"{q} = {part.name} × {v}{times} {equals} {charge.text}"


def rest_text(
    step: Step, quantity: Quantity, total: Quantity, truth: Mapping[Quantity, Value],
    speech: Speech,
) -> str:
    """What is left of a ``total``, the p.d. of a chain or the charge of a parallel set, for the
    last of its parts, with the reason.
    """
    others = [c.name for c in step.parts if c.name != quantity.of]
    terms = [total, *(Quantity(quantity.symbol, name) for name in others)]
    if step.kind == "series":
        reason = f"Along the chain the {speech.terms.differences} add up to that of the whole"
    else:
        reason = "Side by side the charges add up to that of the whole"
    return f"{reason}:\n{_sum_text(quantity, terms, ' − ', truth, speech)}"


def total_text(
    quantity: Quantity, names: Sequence[str], truth: Mapping[Quantity, Value], speech: Speech
) -> str:
    """An energy of the whole as the sum of those of its parts."""
    terms = [Quantity(quantity.symbol, name) for name in names]
    return f"The stored energies add:\n{_sum_text(quantity, terms, ' + ', truth, speech)}"


def _sum_text(
    quantity: Quantity, terms: Sequence[Quantity], sign: str, truth: Mapping[Quantity, Value],
    speech: Speech,
) -> str:
    shown = [speech.shown(truth[each], each.dimension) for each in terms]
    result = speech.shown(truth[quantity], quantity.dimension)
    numbers = sign.join(each.text for each in shown)
    relation = f"{speech.name(quantity)} = {sign.join(speech.name(each) for each in terms)}"
    if any(in_letters(truth[each]) for each in terms):
        return f"{relation} = {result.text}"
    return f"{relation} = {numbers} {speech.equals(*shown, result)} {result.text}"


def whole_text(quantity: Quantity, part: Capacitor, held: Holding, speech: Speech) -> str:
    """How a charge, p.d. or energy follows from the other two of the same capacitor."""
    charge = speech.shown(held.size.charge, "charge")
    voltage = speech.shown(held.size.voltage, "voltage")
    value = speech.shown(part.value, "capacitance")
    energy = speech.shown(held.energy, "energy")
    name = speech.name(quantity)
    v, q = (_sub(letter, part.name) for letter in (speech.letters("V"), "Q"))
    if quantity.symbol == "Q":
        relation = "C V" if quantity.of is None else f"{part.name} × {v}"
        numbers, result, used = f"{value.text} × {voltage.text}", charge, (value, voltage)
    elif quantity.symbol == "V":
        relation = "Q/C" if quantity.of is None else f"{q}/{part.name}"
        numbers, result, used = f"{charge.text} / {value.text}", voltage, (charge, value)
    elif quantity.symbol == "W":
        work = speech.shown(tidy(held.size.charge * held.size.voltage), "energy")
        relation, numbers, result = "Q V", f"{charge.text} × {voltage.text}", work
        used = (charge, voltage)
    else:
        relation, numbers, result = "½ Q V", f"½ × {charge.text} × {voltage.text}", energy
        used = (charge, voltage)
    if in_letters(part.value) or in_letters(held.voltage):
        return f"{name} = {speech.of_whole(relation, quantity.of)} = {result.text}"
    equals = speech.equals(*used, result)
    return f"{name} = {speech.of_whole(relation, quantity.of)} = {numbers} {equals} {result.text}"


def back_reason(step: Step, speech: Speech) -> str:
    """Why the charge of a chain, or the p.d. of a parallel set, passes on unchanged."""
    names = listed(_some(step.parts))
    if step.kind == "series":
        return (
            f"{because(step, speech)} {step.made} took the place of that chain: what went onto its "
            f"plates is what goes onto the outer plates of {names}, "
            "and so onto every plate between."
        )
    return (
        f"{because(step, speech)} {step.made} took their place between the same two points, so its "
        f"{speech.terms.difference} is theirs; its charge is what they hold together."
    )


def meetings(network: Network) -> str:
    """What meets at each inner point; in a large network at the first of them."""
    inner = network.points()[1:-1]
    spots = [
        f"{point}: {some_names(list(dict.fromkeys(c.name for c in network.meeting(point))))}"
        for point in inner[:MOST_NAMED]
    ]
    return "; ".join(spots + ["…"] * (len(inner) > MOST_NAMED))


def points_in_words(network: Network, speech: Speech, most: int = 60) -> list[str]:
    """The network as a list: each capacitor with its points, then each point with what is there."""
    if len(network.capacitors) > most:
        return [
            f"{len(network.capacitors)} capacitors between {len(network.points())} points: "
            "too many to list here."
        ]
    lines = [
        f"{c.name}, {speech.amount(c.value, 'capacitance')}, "
        + (f"both plates on {c.start}" if c.start == c.end else f"from {c.start} to {c.end}")
        for c in network.capacitors
    ]
    spots = []
    for point in network.points():
        names = list(dict.fromkeys(c.name for c in network.meeting(point)))
        role = " (an end)" if point in network.ends else ""
        spots.append(f"{point}{role}: {listed(names) if names else 'nothing'}")
    return [*lines, "Points and what meets there: " + "; ".join(spots) + "."]
