"""A star for a triangle, or a triangle for a star: its three values first, and the way back.

It is a step on the way where series and parallel take nothing together, or a problem of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grammar.records import Description, Refusal
from tutor.circuit.network import Network, build
from tutor.circuit.solving import solve
from tutor.circuit.star_delta import StarDelta, to_delta, to_star
from tutor.circuit.steps import Step
from tutor.circuit.values import in_letters, tidy
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.floating_story import Stuck, charge_by_levels, story_of_step
from tutor.teaching.staged.story import Ask, Story, Valued

Facts = Mapping[str, Fraction]


def exchange_story(stuck: Stuck, exchange: StarDelta, speech: Speech) -> Story:
    """What is put in the place of what, and a question for each of the three new values."""
    opening = rule_in_words(stuck.network, exchange)
    asks = [_ask(exchange, at, speech) for at in range(3)]
    return story_of_step(stuck, asks, speech, opening)


def rule_in_words(network: Network, exchange: StarDelta) -> str:
    """What is put in the place of what, and how each new value comes about."""
    ordered = network.named(c.name for c in exchange.old)
    corners, old = listed(exchange.points), listed([c.name for c in ordered])
    if exchange.kind == "star":
        return (
            f"{old} are a triangle between {corners}. A star with a new point {exchange.centre} "
            "can do the same for all around it. An arm is the sum of the products of the sides, "
            "two by two, over the side opposite."
        )
    return (
        f"{old} are a star between {corners}. A triangle can do the same for all around it, "
        f"and {exchange.centre} is gone. A side is the product of the two arms at its ends, "
        "over the sum of all three."
    )


def exchange_by_itself(description: Description, settings: Settings) -> Story:
    """Three in a star or a triangle, and the three that can take their place.

    Errors: ``Refusal`` for what is asked or done besides.
    """
    if description.changes or description.givens or description.supply:
        raise Refusal(
            "A star or a triangle by itself is only exchanged for the other of the two.",
            "Write it as a list of joins for anything else, as in C1 = 2 uF from X to P.",
        )
    problem = build(description)
    network, speech = problem.network, Speech(problem.powers, settings)
    is_star = description.exchange == "star"
    exchange = to_delta(network, "P", ()) if is_star else to_star(network, "XYZ", ())
    assert exchange is not None, "its three joins are a star or a triangle"
    told = [f"{c.name}, {speech.amount(c.value, 'capacitance')}, from {c.start} to {c.end}"
            for c in network.capacitors]
    other = "triangle" if is_star else "star"
    opening = (
        *told, rule_in_words(network, exchange), f"Wanted: the three of that {other}.",
    )
    asks = tuple(_ask(exchange, at, speech) for at in range(3))
    results: Mapping[str, Valued] = {c.name: (c.value, "capacitance") for c in exchange.new}
    return Story(
        f"{other} for {description.exchange}", opening, asks, (_same(network, exchange, speech),),
        problem.powers, network=None if is_star else network, results=results,
    )


def _same(network: Network, exchange: StarDelta, speech: Speech) -> str:
    """Between two of the points both have one capacitance, the third point left alone."""
    here, there, _ = exchange.points
    new = Network(exchange.new, (here, there))
    found = [solve(each._replace(ends=(here, there)), None).whole for each in (network, new)]
    old_whole, new_whole = (speech.amount(c.value, "capacitance") for c in found if c is not None)
    return (
        f"A check: with nothing joined to {exchange.points[2]}, the first three make {old_whole} "
        f"between {here} and {there}, and the new ones {new_whole}."
    )


def _ask(exchange: StarDelta, at: int, speech: Speech) -> Ask:
    made = exchange.new[at]
    relation, numbers = _worked(exchange, at, speech)
    result = speech.result(made.value, "capacitance")
    what = "arm" if exchange.kind == "star" else "side"
    hint = (
        f"Which side does not touch {exchange.points[at]}?" if exchange.kind == "star"
        else f"Which two arms lead to {listed((made.start, made.end))}?"
    )
    return Ask(
        f"{exchange.kind} {what}", "value",
        f"What is {made.name}, the {what} from {made.start} to {made.end}?",
        f"{made.name} = {relation}{numbers} {result}",
        name=made.name, dimension="capacitance", right=made.value,
        hints=(hint, f"{made.name} = {relation}"), facts=_facts(exchange, at, speech),
    )


def _worked(exchange: StarDelta, at: int, speech: Speech) -> tuple[str, str]:
    """The relation in names, and with numbers where there are no letters."""
    names = [c.name for c in exchange.old]
    values = [speech.amount(c.value, "capacitance") for c in exchange.old]
    numbers = "" if any(in_letters(c.value) for c in exchange.old) else (
        f" = {_relation(exchange.kind, values, at)}"
    )
    return _relation(exchange.kind, names, at), numbers


def _relation(kind: str, three: list[str], at: int) -> str:
    one, two = (each for place, each in enumerate(three) if place != at)
    if kind == "delta":
        return f"{one} × {two}/({' + '.join(three)})"
    opposite = three[at] if " " not in three[at] else f"({three[at]})"
    return f"({one} × {two} + {one} × {three[at]} + {two} × {three[at]})/{opposite}"


def _facts(exchange: StarDelta, at: int, speech: Speech) -> Facts:
    """What the rule for resistors gives: the other one of the two rules."""
    values = [c.value for c in exchange.old]
    if any(in_letters(value) for value in values):
        return {}
    one, two = (v for place, v in enumerate(values) if place != at)
    total = tidy(one + two + values[at])
    products = tidy(one * two + one * values[at] + two * values[at])
    wrong = products / values[at] if exchange.kind == "delta" else one * two / total
    return {"resistors": Fraction(wrong) / Fraction(10) ** speech.powers["capacitance"]}


def back_story(stuck: Stuck, exchange: StarDelta, step: Step, speech: Speech) -> Story | None:
    """The charges of the old three, from the potentials of their points; None if none is wanted."""
    if stuck.is_trial:
        return None
    levels = {point: tidy(share * stuck.voltage) for point, share in step.shares}
    old = stuck.network.named(c.name for c in exchange.old)
    asks = [charge_by_levels(c, levels, speech) for c in old if c.name in stuck.wanted]
    opening = f"Now back to {listed([c.name for c in old])}: no potential has changed."
    return story_of_step(stuck, asks, speech, opening) if asks else None
