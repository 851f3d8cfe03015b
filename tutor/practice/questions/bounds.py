"""Above or below which value must the whole lie, before anything is worked out."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from random import Random

from tutor.practice.questions.given import (
    PAIR_BESIDE,
    PAIR_IN_A_CHAIN,
    THREE_BESIDE,
    THREE_IN_A_CHAIN,
    TWO_LEVELS,
    WorkedNetwork,
    draw,
)
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed
from tutor.teaching.staged.story import Story
from tutor.teaching.whatif.consequence import way_out

SHAPES = (
    PAIR_IN_A_CHAIN, PAIR_BESIDE, THREE_IN_A_CHAIN, THREE_BESIDE, *TWO_LEVELS,
)


def bounds(chance: Random, settings: Settings) -> Posed:
    """One bound that the network forces, among three that are not true of it."""
    given = draw(chance, SHAPES, settings, supply=False)
    levels = len(given.solution.steps)
    right, because, wrong = _plain(given) if levels == 1 else _in_levels(given)
    entries = [Entry(right), *wrong]
    ask = lettered(chance, MenuWords(
        "bounds", "check",
        "Where must the capacitance of the whole lie? (No sum is needed.)", because,
        (f"Look at how {_top(given)} are joined.",
         f"In a chain each member gets only a part of the {given.difference}; side by side each "
         "takes all the charge that it would take alone. Does that make more or less of the "
         "whole?"),
        ("S13",),
    ), few(chance, entries[0], entries[1:]))
    return Posed(given.text, Story(
        "bounds", given.opening(), (ask,), (), given.problem.powers,
        network=given.problem.network,
    ))


def _top(given: WorkedNetwork) -> str:
    return listed(c.name for c in given.solution.steps[0].parts)


def _plain(given: WorkedNetwork) -> tuple[str, str, Iterator[Entry]]:
    """All in a chain, or all side by side."""
    chain = given.solution.steps[0].kind == "series"
    ordered = sorted(given.names, key=given.value)
    least, most = ordered[0], ordered[-1]
    texts = {
        "below": f"below {given.farads(given.value(least))}, the smallest of them",
        "between": f"between {given.farads(given.value(least))} and "
                   f"{given.farads(given.value(most))}",
        "above": f"above {given.farads(given.value(most))}, the largest of them",
        "at": f"at {given.farads(given.value(least if chain else most))} exactly",
    }
    right = "below" if chain else "above"
    because = _chain_reason(given, least) if chain else _beside_reason(given, most)
    ideas = {
        ("above", True): "longer-chain-holds-more", ("between", True): "takes-the-average",
        ("at", True): "weakest-link", ("between", False): "average-of-parallel",
        ("below", False): "reciprocal-rule-on-parallel", ("at", False): "largest-only",
    }
    wrong = (
        Entry(text, because, (ideas[place, chain],))
        for place, text in texts.items() if place != right
    )
    return texts[right], because, wrong


def _chain_reason(given: WorkedNetwork, least: str) -> str:
    others = listed(name for name in given.names if name != least)
    return (
        f"In the chain {least} has only a part of the {given.difference} across it, as {others} "
        f"must have some too; so less charge comes than {least} alone would take."
    )


def _beside_reason(given: WorkedNetwork, most: str) -> str:
    others = listed(name for name in given.names if name != most)
    start, end = given.problem.network.ends
    too = "takes its own charge" if len(given.names) == 2 else "take their own charges"
    return (
        f"{most} joins {start} and {end} and takes all the charge that it would take alone; "
        f"{others} beside it {too} as well."
    )


def _in_levels(given: WorkedNetwork) -> tuple[str, str, Iterator[Entry]]:
    """One alone, and a pair that is a part of the whole with it."""
    inner, outer = given.solution.steps
    chain = outer.kind == "series"
    pair = [c.name for c in inner.parts]
    alone = next(name for name in given.names if name not in pair)
    made = inner.makes
    assert made is not None
    word, other = ("below", "above") if chain else ("above", "below")
    right = f"{word} {given.farads(given.value(alone))}, the value of {alone}"
    because = _level_reason(given, alone, pair, chain)
    return right, because, _wrong_levels(given, alone, (word, other), because)


def _level_reason(given: WorkedNetwork, alone: str, pair: list[str], chain: bool) -> str:
    names = listed(pair)
    if chain:
        return (
            f"{alone} is in a chain with the part of {names}, so it has only a part of the "
            f"{given.difference}: less charge comes than {alone} alone would take."
        )
    start, end = given.problem.network.ends
    return (
        f"{alone} joins {start} and {end} and takes all the charge that it would take alone; the "
        f"chain of {names} beside it takes some as well."
    )


def _wrong_levels(
    given: WorkedNetwork, alone: str, words: tuple[str, str], because: str
) -> Iterator[Entry]:
    """Claims that are not true of this network, of it all and of its members."""
    word, other = words
    value = given.value(alone)
    chain = word == "below"
    idea = "longer-chain-holds-more" if chain else "reciprocal-rule-on-parallel"
    yield Entry(f"{other} {given.farads(value)}, the value of {alone}", because, (idea,))
    total = sum((given.value(name) for name in given.names), Fraction(0))
    if given.whole < total:
        yield Entry(
            f"above {given.farads(total)}, all of them added up",
            f"All side by side they would come to {given.farads(total)}, and nothing can be above "
            "that. " + _in_a_chain(given),
        )
    least = min(given.names, key=given.value)
    reciprocal = 1 / sum((1 / given.value(name) for name in given.names), Fraction(0))
    yield Entry(
        f"below {given.farads(reciprocal)}, all of them in one chain",
        f"All in one chain they would come to {given.farads(reciprocal)}, and nothing can be below "
        f"that. {_beside(given)}",
    )
    if not chain and least != alone:
        yield Entry(
            f"below {given.farads(given.value(least))}, the smallest of all", because,
            ("resistor-rules-throughout",),
        )
    largest = max(given.names, key=given.value)
    if chain and largest != alone and given.whole < given.value(largest):
        yield Entry(f"above {given.farads(given.value(largest))}, the largest of all", because)


def _in_a_chain(given: WorkedNetwork) -> str:
    return _not_all(given, "series", "side by side")


def _beside(given: WorkedNetwork) -> str:
    return _not_all(given, "parallel", "in one chain")


def _not_all(given: WorkedNetwork, kind: str, how: str) -> str:
    """Those that a step of this kind holds, which are not all joined in the other way."""
    step = next(step for step in given.solution.steps if step.kind == kind)
    inside = [name for name in given.names if step in way_out(given.solution, name)]
    all_of = "do not all" if len(inside) > 2 else "do not"
    return f"But {listed(inside)} {all_of} stand {how} here."
