"""Read off a list: who join the same two points, who form a chain, who hold no charge."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations
from random import Random
from types import MappingProxyType

from tutor.circuit.joining import Connection
from tutor.circuit.network import Network
from tutor.circuit.steps import Choice, Fault, carry_out, examine
from tutor.circuit.structure import live_names
from tutor.practice.questions.given import FOUR, TWO_LEVELS, WorkedNetwork, read
from tutor.practice.questions.lists import (
    POINTS,
    as_text,
    drawn_as_list,
    joins_in_words,
    scrambled,
)
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.reasons import because, idle_reason
from tutor.teaching.replies import Replies
from tutor.teaching.settings import Settings
from tutor.teaching.speech import listed
from tutor.teaching.staged.story import Ask, Story

SPOT: Mapping[Connection, str] = MappingProxyType(
    {"parallel": "spot parallel", "series": "spot a chain"}
)
FIVE = (
    "C1 = {} uF -- (C2 = {} uF || (C3 = {} uF -- C4 = {} uF)) -- C5 = {} uF",
    "(C1 = {} uF -- C2 = {} uF) || (C3 = {} uF -- (C4 = {} uF || C5 = {} uF))",
    "(C1 = {} uF || C2 = {} uF) -- (C3 = {} uF || (C4 = {} uF -- C5 = {} uF))",
)


def spot_parallel(chance: Random, settings: Settings) -> Posed:
    """Two that join the same two points."""
    return _pairs(chance, settings, "parallel")


def spot_chain(chance: Random, settings: Settings) -> Posed:
    """Two that meet alone at a point."""
    return _pairs(chance, settings, "series")


def _pairs(chance: Random, settings: Settings, way: Connection) -> Posed:
    while True:
        given = drawn_as_list(chance, (*TWO_LEVELS, *FOUR, *FIVE), settings)
        network = given.problem.network
        pairs = list(combinations(given.names, 2))
        right = [pair for pair in pairs if _at_once(network, pair) == way]
        wrong = [pair for pair in pairs if _found(network, pair) != way]
        if right and len(wrong) > 1:
            break
    chance.shuffle(wrong)
    pair = chance.choice(right)
    return Posed(given.text, Story(
        SPOT[way], tuple(joins_in_words(given)), (_ask(chance, given, way, (pair, wrong)),), (),
        given.problem.powers,
    ))


def _found(network: Network, pair: tuple[str, str]) -> str | None:
    found = examine(network, pair)
    return found.kind if isinstance(found, Choice) else None


def _at_once(network: Network, pair: tuple[str, str]) -> str | None:
    """How two neighbours can be combined; None for two with others in between as well."""
    found = examine(network, pair)
    if isinstance(found, Fault) or carry_out(network, found).between:
        return None
    return found.kind


def _ask(
    chance: Random, given: WorkedNetwork, way: Connection,
    pairs: tuple[tuple[str, str], list[tuple[str, str]]],
) -> Ask:
    pair, wrong = pairs
    network = given.problem.network
    step = given.pair_step(*pair)
    assert step is not None, "the right pair can be combined"
    entries = [Entry(listed(pair), words=(listed(pair), " ".join(pair)))]
    for other in wrong:
        reply, malrules = _reply(given, other, way)
        entries.append(Entry(listed(other), reply, malrules, (listed(other), " ".join(other))))
    question = (
        "Which of these pairs joins the same two points?" if way == "parallel"
        else "Which of these pairs forms a chain, so that both hold one charge?"
    )
    hints = (
        ("Write down the two points of each.", "Which two have the same pair of points, in "
         "whatever order?")
        if way == "parallel" else
        (f"Look at the inner points, those that are not {listed(network.ends)}.",
         "At which of them do two capacitors meet, and nothing else?")
    )
    return lettered(chance, MenuWords(
        SPOT[way], "choice", question, because(step, given.speech), hints,
        ("S06",) if way == "parallel" else ("S07",),
    ), few(chance, entries[0], entries[1:]))


def _reply(
    given: WorkedNetwork, pair: tuple[str, str], way: Connection
) -> tuple[str, tuple[str, ...]]:
    """Why a pair is not joined in this way, by its points, and the wrong idea it may show."""
    network = given.problem.network
    found = examine(network, pair)
    kind = found.kind
    malrule = {
        ("meeting", "series"): "joins-two-that-share-one-point",
        ("ends", "series"): "runs-a-chain-through-a-terminal",
        ("meeting", "parallel"): "looks-side-by-side", ("ends", "parallel"): "looks-side-by-side",
        ("series", "parallel"): "looks-side-by-side",
    }.get((kind, way))
    malrules = (malrule,) if malrule else ()
    places = "; ".join(
        f"{c.name} joins {listed((c.start, c.end))}" for c in network.named(pair)
    )
    if way == "parallel":
        one, other = (c.points for c in network.named(pair))
        shared = listed(sorted(one & other))
        common = f"They have {shared} in common and no other point." if shared else (
            "They have no point in common."
        )
        return f"{places}. {common}", malrules
    if isinstance(found, Fault):
        return Replies(given.speech).fault(found, pair, network), malrules
    return f"{places}: the same two points, so they share a {given.difference}, not a charge.", ()


# Those that hold no charge


def holds_nothing(chance: Random, settings: Settings) -> Posed:
    """One that a wire bypasses, or one that hangs by one point."""
    bypassed = chance.random() < 0.5
    nested = drawn_as_list(chance, (*TWO_LEVELS, *FOUR), settings).problem.network
    inner = [point for point in nested.points() if point not in nested.ends]
    text = (_with_wire if bypassed else _with_dead_end)(chance, nested, inner)
    given = read(text, settings)
    ask = _idle_ask(chance, given, bypassed)
    return Posed(text, Story(
        "holds no charge", tuple(joins_in_words(given)), (ask,), (), given.problem.powers,
    ))


def _with_dead_end(chance: Random, network: Network, inner: list[str]) -> str:
    """One more, from any point to a point where nothing else ends."""
    loose = next(point for point in POINTS if point not in inner)
    last = network.capacitors[-1]
    hanging = last._replace(
        name="loose", value=last.value * 2, start=chance.choice(network.points()), end=loose
    )
    return as_text(
        scrambled(chance, network._replace(capacitors=(*network.capacitors, hanging))), names=True
    )


def _with_wire(chance: Random, network: Network, inner: list[str]) -> str:
    """One more, in a chain with another, and a wire from one of its points to the other."""
    loose = next(point for point in POINTS if point not in inner)
    one, *others = network.capacitors
    cut = [one._replace(end=loose), one._replace(name="bridged", value=2 * one.value, start=loose)]
    mixed = Network((*cut, *others), network.ends)
    shuffled = scrambled(chance, mixed)
    bridged = next(c for c in shuffled.capacitors if c.name == "bridged")
    return as_text(shuffled, names=True, wires=[(bridged.start, bridged.end)])


def _idle_ask(chance: Random, given: WorkedNetwork, bypassed: bool) -> Ask:
    network = given.problem.network
    live = live_names(network)
    idle = [c for c in network.capacitors if c.name not in live]
    step = carry_out(network, Choice("removal", tuple(c.name for c in idle)))
    entries = [
        Entry(c.name, words=(c.name,)) if c in idle else Entry(
            c.name,
            f"A way from {network.ends[0]} to {network.ends[1]} leads through {c.name} and comes "
            "to no point twice, so charge comes to it.", words=(c.name,),
        )
        for c in network.capacitors
    ]
    right = next(entry for entry in entries if entry.is_right)
    return lettered(chance, MenuWords(
        "holds no charge", "choice",
        "Which of these holds no charge when a supply is joined to the ends?",
        idle_reason(idle[0], step, given.speech),
        ("Look at the wire: which points does it make one?" if bypassed
         else "Look for a point where one capacitor ends and nothing else.",
         f"What {given.difference} can there be between two ends of a wire?" if bypassed
         else "If charge went onto one plate, from where would it come to the other?"),
        ("S16",) if bypassed else ("S17",),
    ), few(chance, right, entries))

