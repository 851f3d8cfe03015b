"""Primes on what has another value than before: Q1 at first, Q1' after a change, Q1'' after two.

They are put into what is said; a question keeps its plain name, under which its answer is read
with primes or without.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple, TypeAlias

from tutor.circuit.switching import Switched
from tutor.circuit.values import Value, same
from tutor.teaching.staged.changing_scene import Scene
from tutor.teaching.staged.story import Ask

Primes: TypeAlias = Mapping[str, str]

# What comes together is told in the values from before.
FROM_BEFORE: Final = frozenset({"island", "joint charge", "common p.d."})
PRIMED: Final = "A prime marks what a change has altered: Q before it, Q' after it."


class ChangeStage(NamedTuple):
    """One stage with its questions; ``before`` and ``after`` are the primes of names by then."""

    outcome: Switched
    asks: tuple[Ask, ...]
    before: Primes
    after: Primes


def with_primes(text: str, marks: Primes) -> str:
    """The names in a text with their primes; a unit after a number is no name."""
    named = {name: prime for name, prime in marks.items() if prime}
    if not named:
        return text
    names = "|".join(sorted(map(re.escape, named), key=len, reverse=True))
    return re.sub(
        rf"(?<![\w'])(?<!\d )(?:{names})(?![\w'])", lambda found: found[0] + named[found[0]], text
    )


def primed(
    first: Sequence[Ask], stages: Sequence[tuple[Switched, Sequence[Ask]]], scene: Scene
) -> Iterator[ChangeStage]:
    """Every stage with primes on what it alters; ``first`` are the questions before all of them."""
    seen = {ask.name: ask.right for ask in first}
    marks: dict[str, str] = {}
    for outcome, asks in stages:
        before = marks
        altered = {*_altered(outcome, scene, seen), *_again(asks, seen)}
        marks = {**before, **{name: f"{before.get(name, '')}'" for name in altered}}
        seen |= {ask.name: ask.right for ask in asks}
        put = tuple(_put(ask, before if ask.key in FROM_BEFORE else marks, marks) for ask in asks)
        yield ChangeStage(outcome, put, before, marks)


def _again(asks: Sequence[Ask], seen: Mapping[str, Value | None]) -> Iterator[str]:
    """The names of values asked for before that are asked for again and have another value."""
    for ask in asks:
        old = seen.get(ask.name)
        is_sum = ask.dimension == "capacitance"  # C1 with air is told apart in words
        if old is not None and ask.right is not None and not is_sum and not same(old, ask.right):
            yield ask.name


def _altered(
    outcome: Switched, scene: Scene, seen: Mapping[str, Value | None]
) -> Iterator[str]:
    """The charges and p.d.s of capacitors, the supply and the energy, that were known before."""
    was, now = outcome.before, outcome.after
    for c in now.network.capacitors:
        q, v = scene.name("Q", c.name), scene.name("V", c.name)
        known = bool(was.charges[c.name])
        if (known or q in seen) and not same(was.charges[c.name], now.charges[c.name]):
            yield q
        if (known or v in seen) and not same(was.voltage(c.name), now.voltage(c.name)):
            yield v
    if was.supply is not None and now.supply is not None and not same(was.supply, now.supply):
        yield scene.name("V")
    if scene.name("E") in seen and not same(was.stored, now.stored):
        yield scene.name("E")


def _put(ask: Ask, marks: Primes, after: Primes) -> Ask:
    own = {**marks, ask.name: after.get(ask.name, "")} if ask.name else marks
    return ask._replace(
        text=with_primes(ask.text, own), reveal=with_primes(ask.reveal, own),
        because=with_primes(ask.because, own),
        hints=tuple(with_primes(hint, own) for hint in ask.hints),
        written=with_primes(ask.name, own) if ask.name else "",
    )
