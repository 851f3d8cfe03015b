"""One thing is changed: does something go up, go down or stay the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from random import Random
from types import MappingProxyType

from tutor.circuit.changes import Added, Alteration, NewSupply, NewValue, Wired
from tutor.practice.questions.given import (
    CHAIN_BESIDE_ONE,
    ONE_AFTER_A_PAIR,
    ONE_BEFORE_A_PAIR,
    ONE_BESIDE_CHAIN,
    PAIR_BESIDE,
    PAIR_IN_A_CHAIN,
    THREE_IN_A_CHAIN,
    VOLTAGES,
    WorkedNetwork,
    draw,
)
from tutor.practice.questions.question import Posed
from tutor.practice.questions.refuting import Refuting
from tutor.teaching.messages import About
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Ask, Option, Story
from tutor.teaching.whatif.before_and_after import Sides
from tutor.teaching.whatif.change import Direction, Supposing, about, compare, direction
from tutor.teaching.whatif.consequence import way_out
from tutor.teaching.whatif.points_and_parts import Why

SHAPES = (
    PAIR_IN_A_CHAIN, PAIR_BESIDE, THREE_IN_A_CHAIN, ONE_BEFORE_A_PAIR, ONE_AFTER_A_PAIR,
    CHAIN_BESIDE_ONE, ONE_BESIDE_CHAIN,
)
TIMES = (2, 3)
ADDED = (3, 4, 6, 10, 12)
WORDS: Mapping[Direction, tuple[str, ...]] = MappingProxyType({
    "up": ("up", "goes up", "rises", "rise", "more", "larger", "increases", "increase", "greater",
           "higher", "bigger"),
    "down": ("down", "goes down", "falls", "fall", "less", "smaller", "decreases", "decrease",
             "lower", "drops"),
    "same": ("the same", "same", "stays", "stay", "unchanged", "no change", "constant"),
})
ABOUT: Mapping[Symbol, About] = MappingProxyType(
    {"C": "value", "Q": "charge", "V": "voltage", "E": "energy"}
)


def more_or_less(chance: Random, settings: Settings) -> Posed:
    """A change that can be made here, and one quantity to watch."""
    given = draw(chance, SHAPES, settings)
    changes = list(_changes(chance, given))
    whatif = compare(given.problem, chance.choice(changes), "")
    assert isinstance(whatif, Supposing), "each of the changes leaves something to charge"
    quantity = chance.choice(_watched(given, whatif.change))
    story = Story(
        "more or less", (*given.opening(), Sides(whatif, given.speech).supposition()),
        (_ask(given, whatif, quantity),), (), given.problem.powers, network=given.problem.network,
    )
    return Posed(given.text, story)


def _changes(chance: Random, given: WorkedNetwork) -> Iterator[Alteration]:
    micro = Fraction(10) ** given.problem.powers["capacitance"]
    name = chance.choice(given.names)
    higher = [v for v in VOLTAGES if v > given.supply] or [2 * max(VOLTAGES)]
    yield NewSupply(Fraction(chance.choice(higher)))
    yield NewValue(name, given.value(name) * chance.choice(TIMES))
    yield Added(micro * chance.choice(ADDED), "series")
    yield Added(micro * chance.choice(ADDED), "parallel")
    yield Added(micro * chance.choice(ADDED), "parallel", name)
    bridged = given.problem.network.named((name,))[0]
    if bridged.points != frozenset(given.problem.network.ends):
        yield Wired((name,))


def _watched(given: WorkedNetwork, change: Alteration) -> list[Quantity]:
    """The whole, and the capacitors that the change itself leaves alone."""
    touched = about(change)
    found = [Quantity("C"), Quantity("Q")]
    for name in given.names:
        if name not in touched:
            found += [Quantity("V", name), Quantity("Q", name)]
    return found


def _ask(given: WorkedNetwork, whatif: Supposing, quantity: Quantity) -> Ask:
    speech = given.speech
    truth = direction(whatif, quantity)
    why = Why(whatif, speech).why(quantity)
    told = {"up": "It goes up.", "down": "It goes down.", "same": "It stays the same.", None: ""}
    refuting = Refuting(given, whatif, quantity)
    options = tuple(
        Option(words, True) if way == truth
        else Option(words, False, refuting.reply(way), _malrules(whatif, quantity, way))
        for way, words in WORDS.items()
    )
    return Ask(
        "more or less", ABOUT[quantity.symbol],
        f"What happens to {_spoken(given, quantity)}: does it go up, go down or stay the same?",
        f"{told[truth]} {why}", why, options=options, hints=refuting.hints(),
        skills=_skills(given, whatif.change, quantity), network=whatif.changed.network,
    )


def _spoken(given: WorkedNetwork, quantity: Quantity) -> str:
    name = given.speech.name(quantity)
    if quantity.symbol == "C":
        return "the capacitance C of the whole"
    if quantity.of is None:
        return f"the charge {name} that the supply has given"
    if quantity.symbol == "V":
        return f"{name}, the {given.difference} across {quantity.of}"
    return f"{name}, the charge on {quantity.of}"


def _malrules(whatif: Supposing, quantity: Quantity, way: Direction) -> tuple[str, ...]:
    change = whatif.change
    if quantity.symbol != "C" or way != "up":
        return ()
    if isinstance(change, NewSupply):
        return ("capacitance-grows-with-the-supply",)
    if isinstance(change, Added) and change.kind == "series":
        return ("longer-chain-holds-more",)
    return ()


def _skills(given: WorkedNetwork, change: Alteration, quantity: Quantity) -> tuple[str, ...]:
    if quantity.symbol == "C":
        return ("S01",) if isinstance(change, NewSupply) else ("S13",)
    if quantity.of is None:
        return ("S18",)
    levels = [step.kind for step in reversed(way_out(given.solution, quantity.of))]
    of = {"V": ("S21", "S20")}.get(quantity.symbol, ("S19", "S22"))
    return tuple(dict.fromkeys(of[0] if kind == "series" else of[1] for kind in levels))
