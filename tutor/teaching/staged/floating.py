"""Where series and parallel stick: equal potentials, or charge balance at the floating points.

This story stands inside a walk: it takes the one step that the walk cannot, and the walk goes on.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from grammar.records import Dimension
from tutor.circuit.beyond import joining_names, merge_step
from tutor.circuit.charge_balance import Equation, balance, balance_equations
from tutor.circuit.equal_levels import Level
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.reduction import reduce
from tutor.circuit.steps import Step, after
from tutor.circuit.values import Value, add_up, in_letters, tidy
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import balance_equation, because, level_reason
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.story import Ask, Option, Story

YES = ("yes", "y", "it is", "they are", "true", "same", "equal")
NO = ("no", "n", "not", "false", "different", "unequal")


class Stuck(NamedTuple):
    """A network in which nothing can be combined, and the p.d. between its ends that potentials
    are counted with: the supply's, or a trial p.d. where none is given.
    """

    network: Network
    voltage: Value
    is_trial: bool
    whole_known: bool


def floating_story(stuck: Stuck, step: Step, speech: Speech) -> Story:
    """The questions of one step beyond series and parallel."""
    if step.kind == "balance":
        return _balance_story(stuck, step, speech)
    return _level_story(stuck, step, speech)


def _story(stuck: Stuck, asks: list[Ask], speech: Speech, opening: str) -> Story:
    return Story("floating", (opening,), tuple(asks), (), speech.powers, network=stuck.network)


# Equal potentials


def _level_story(stuck: Stuck, step: Step, speech: Speech) -> Story:
    level = step.level
    assert level is not None
    points = listed(step.points)
    asks = [_is_level(level, speech)]
    if step.kind == "equal":
        names = listed([c.name for c in step.parts])
        asks.append(Ask(
            "level charge", "charge", f"So what is the charge of {names}?",
            because(step, speech), "A capacitor with no p.d. across it holds no charge.",
            dimension="charge", right=Fraction(0),
            hints=(f"What would a meter read between {points}?",),
        ))
    else:
        asks.append(Ask(
            "level charge", "charge",
            f"If a wire were put between {points}, how much charge would go along it?",
            because(step, speech), "Nothing drives charge between points at one potential.",
            dimension="charge", right=Fraction(0),
            hints=(f"What would a meter read between {points}, before the wire?",),
        ))
    opening = "Then look for points that must be at one potential."
    return _story(stuck, asks, speech, opening)


def _is_level(level: Level, speech: Speech) -> Ask:
    points = listed(level.points)
    reply = _in_terms(f"Compare once more. {_sentence(level_reason(level))}.", speech)
    no = Option(NO, False, reply, ("tests-the-wrong-pairs",) if level.reason == "ratio" else ())
    if level.reason == "ratio":
        (one, two), (three, four) = level.arms
        text = (
            f"At {level.points[0]} the ratio {one}/{two} shares out the p.d. between "
            f"{listed(level.between)}, at {level.points[1]} the ratio {three}/{four}. "
            "Are the two ratios equal, yes or no?"
        )
        hints = (f"Work out {one}/{two} and {three}/{four}.",)
    else:
        moves = listed(f"{a} for {b}" for a, b in level.exchange)
        text = (
            f"Exchange points like this in the list of joins: {moves}. Is every join still there "
            "with its value, yes or no?"
        )
        hints = ("Go through the list capacitor by capacitor.",)
    return Ask(
        "level", "shares", _in_terms(text, speech), _sentence(level_reason(level)),
        f"So {points} are at one potential.", options=(Option(YES, True), no), hints=hints,
    )


# Charge balance


def _balance_story(stuck: Stuck, step: Step, speech: Speech) -> Story:
    equations = balance_equations(stuck.network)
    levels = {p: tidy(share * stuck.voltage) for p, share in step.shares}
    across = speech.amount(stuck.voltage, "voltage")
    plus, minus = stuck.network.ends
    trial = f"Take {across} between {plus} and {minus} for trial; C does not depend on it. " if (
        stuck.is_trial) else ""
    opening = (
        f"{trial}Potentials are counted from {minus}. No charge can come from outside to "
        f"{listed(step.points)}: at each of them the charges of the plates add to nought."
    )
    asks = [
        _potential(stuck, e, equations, levels, speech) for e in equations
    ]
    if not stuck.whole_known:
        asks.append(_capacitance(stuck, step, levels, speech))
    if not stuck.is_trial:
        asks += [_charge(c, levels, speech) for c in step.parts]
    return _story(stuck, asks, speech, opening)


def _potential(
    stuck: Stuck, equation: Equation, equations: tuple[Equation, ...],
    levels: Mapping[str, Value], speech: Speech,
) -> Ask:
    point = equation.point
    plain = _plain(stuck, equation, levels, speech)
    written = [balance_text(e, speech) for e in equations]
    solved = f"V_{point} {speech.result(levels[point], 'voltage')}"
    neighbours = listed([other for other, _ in equation.others])
    return Ask(
        "potential", "voltage",
        f"What is the potential of {point}, from the balance of charges?",
        "\n".join([*written, f"Solved together: {solved}"]),
        f"It lies between the potentials of {neighbours}, the points that {point} is joined to.",
        name=f"V_{point}", dimension="voltage", right=levels[point],
        hints=(
            f"Which capacitors have a plate at {point}, and to which points do they lead?",
            f"Each neighbour pulls {point} in proportion to the capacitance between them. "
            f"What does the balance at {point} say?",
            "; ".join(written),
        ),
        facts=plain, told={"point": point, "neighbours": neighbours},
    )


def balance_text(equation: Equation, speech: Speech) -> str:
    """The balance at one point, with its place."""
    return f"Balance at {equation.point}: {balance_equation(equation, speech)}"


def _plain(
    stuck: Stuck, equation: Equation, levels: Mapping[str, Value], speech: Speech
) -> Mapping[str, Fraction]:
    """Numbers for malrules: the p.d., the sums of both ways of weighting, the total charge."""
    values = [*levels.values(), *(value for _, value in equation.others)]
    if any(in_letters(value) for value in values):
        return {}
    weights = [_scaled(value, "capacitance", speech) for _, value in equation.others]
    pulls = [_scaled(levels[other], "voltage", speech) for other, _ in equation.others]
    total = _scaled(tidy(balance(stuck.network).capacitance * stuck.voltage), "charge", speech)
    return {
        "voltage": _scaled(stuck.voltage, "voltage", speech),
        "own": sum(weights, Fraction(0)),
        "pull": sum((w * v for w, v in zip(weights, pulls, strict=True)), Fraction(0)),
        "upside": sum((v / w for w, v in zip(weights, pulls, strict=True)), Fraction(0))
        / sum((1 / w for w in weights), Fraction(0)),
        "total": total,
    }


def _capacitance(
    stuck: Stuck, step: Step, levels: Mapping[str, Value], speech: Speech
) -> Ask:
    plus = stuck.network.ends[0]
    ways = stuck.network.meeting(plus)
    charges = []
    for c in ways:
        other = c.end if c.start == plus else c.start
        drop = tidy(stuck.voltage - levels[other])
        charges.append(tidy(c.value * drop))
    total = add_up(charges)
    terms = " + ".join(speech.amount(q, "charge") for q in charges)
    whole = speech.result(tidy(total / stuck.voltage), "capacitance")
    across = speech.amount(stuck.voltage, "voltage")
    names = listed([c.name for c in ways])
    return Ask(
        "whole by balance", "value",
        f"What is C, the charge on all the plates at {plus} over the p.d. between the ends?",
        f"Charge at {plus} ({names}): {terms} = {speech.amount(total, 'charge')}\n"
        f"C = {speech.amount(total, 'charge')} / {across} {whole}",
        _between(stuck.network, speech),
        name="C", dimension="capacitance", right=tidy(total / stuck.voltage),
        hints=(
            f"Which capacitors have a plate at {plus}, and what p.d. is across each?",
            "The supply's charge is on those plates together. What is C for the whole?",
            f"C = ({' + '.join(f'Q of {c.name}' for c in ways)}) / V",
        ),
        facts=_whole_facts(stuck, charges, speech), told={"plus": plus, "ways": names},
    )


def _between(network: Network, speech: Speech) -> str:
    """The closing bound of a bridge: between its joining capacitors left out and made wires."""
    inner = network.points()[1:-1]
    bridging = joining_names(network, inner)
    if not bridging or any(in_letters(c.value) for c in network.capacitors):
        return ""
    out = _without(network, bridging)
    wired = _as_wires(network, inner)
    if out is None or wired is None:
        return ""
    low, high = (speech.amount(value, "capacitance") for value in (out, wired))
    return (
        f"It must lie between {low}, with {listed(bridging)} left out, and {high}, with "
        f"{'it' if len(bridging) == 1 else 'each'} made a wire, and does."
    )


def _without(network: Network, names: tuple[str, ...]) -> Value | None:
    kept = tuple(c for c in network.capacitors if c.name not in names)
    found = reduce(Network(kept, network.ends)).equivalent
    return found.value if found else None


def _as_wires(network: Network, points: tuple[str, ...]) -> Value | None:
    merged = after(network, merge_step(Level(points, "symmetry")))
    found = reduce(merged).equivalent
    return found.value if found else None


def _whole_facts(
    stuck: Stuck, charges: list[Value], speech: Speech
) -> Mapping[str, Fraction]:
    if in_letters(stuck.voltage) or any(in_letters(q) for q in charges):
        return {}
    inner = stuck.network.points()[1:-1]
    facts = {
        f"way{at}": _scaled(tidy(q / stuck.voltage), "capacitance", speech)
        for at, q in enumerate(charges)
    }
    bridging = joining_names(stuck.network, inner)
    for key, value in (
        ("dropped", _without(stuck.network, bridging) if bridging else None),
        ("wired", _as_wires(stuck.network, inner)),
    ):
        if value is not None:
            facts[key] = _scaled(value, "capacitance", speech)
    return facts


def _charge(c: Capacitor, levels: Mapping[str, Value], speech: Speech) -> Ask:
    drop = tidy(levels[c.start] - levels[c.end])
    if not in_letters(drop):
        drop = abs(drop)
    charge = tidy(c.value * drop)
    ends = [f"{p} at {speech.amount(levels[p], 'voltage')}" for p in (c.start, c.end)]
    value = speech.amount(c.value, "capacitance")
    name = Quantity("Q", c.name).name
    pd = speech.amount(drop, "voltage")
    return Ask(
        "charge by levels", "charge",
        f"What charge does {c.name} hold ({value}, between {listed(ends)})?",
        f"{name} = {value} × {pd} {speech.shown(charge, 'charge').after_equals}",
        f"Across {c.name} is the difference of the two potentials, {pd}.",
        name=name, dimension="charge", right=charge,
        hints=(f"What is the p.d. across {c.name}?", "Charge is capacitance times p.d."),
    )


def _scaled(value: Value, dimension: Dimension, speech: Speech) -> Fraction:
    return Fraction(value) / Fraction(10) ** speech.powers[dimension]


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _in_terms(text: str, speech: Speech) -> str:
    return text.replace("p.d.", speech.terms.difference)
