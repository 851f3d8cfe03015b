"""The context of a question of a problem in stages, read off its right ways and its facts.

A relation of one capacitor, such as Q1 = C1 × V, or a plain sum of capacitances is the same
question there as in a walk, and meets the same malrules.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.records import Dimension
from tutor.circuit.values import Value, in_letters
from tutor.teaching.rules.context import Held, RuleContext, plain_power
from tutor.teaching.rules.malrule import total, turned
from tutor.teaching.staged.story import Ask, Way

OF_ITS_OWN: Final = ("stacked", "side by side")  # layers and slabs are no capacitors in a chain
# Capacitances alone: what one is larger by than another is no branch beside it.
_SUM: Final = re.compile(r"C\w*( \+ C\w*)+", re.ASCII)
_CHAIN: Final = re.compile(r"1/\(1/C\w*( \+ 1/C\w*)+\)", re.ASCII)
_EQUAL: Final = re.compile(r"(\w+)/n", re.ASCII)
_MOVED: Final = re.compile(r"½ × (\w+) × (\w+)", re.ASCII)  # ½ Q V
_SQUARED: Final = re.compile(r"½ × (\w+) × (\w+)²", re.ASCII)  # ½ C V²


class _Seen(NamedTuple):
    """What a relation shows: the kind of question, and what stands in it."""

    place: str
    parts: tuple[Fraction, ...] = ()
    names: tuple[str, ...] = ()
    held: tuple[Held, ...] = ()


def context_of_ask(
    ask: Ask, powers: Mapping[Dimension, int], own: Mapping[Fraction, Fraction] | None = None
) -> RuleContext | None:
    """The context of a question with these usual prefixes; ``own`` replaces values by a learner's.

    None where it is answered in words or in letters.
    """
    if ask.right is None or in_letters(ask.right):
        return None
    power = usual = 0
    if not ask.pure and ask.dimension is not None:
        power, usual = plain_power(powers, ask.dimension), powers[ask.dimension]
    right = Fraction(ask.right) / Fraction(10) ** power
    found = _seen(ask, powers, right)
    context = RuleContext(
        found.place if found else ask.key, right, power, usual, found.parts if found else (),
        found.names if found else (), held=found.held if found else (), of=_capacitor(ask),
        key=ask.key, facts=ask.facts, told=ask.told, others=_others(ask, powers),
    )
    return _with_own(context, own) if own else context


def _with_own(context: RuleContext, own: Mapping[Fraction, Fraction]) -> RuleContext:
    def mine(number: Fraction | None) -> Fraction | None:
        return number if number is None else own.get(number, number)

    return context._replace(
        facts={key: own.get(fact, fact) for key, fact in context.facts.items()},
        parts=tuple(own.get(part, part) for part in context.parts),
        held=tuple(Held(mine(h.c), mine(h.q), mine(h.v)) for h in context.held),
    )


def elsewhere(context: RuleContext) -> tuple[RuleContext, ...]:
    """The same relation on two sets of odd values, to see what agrees whatever the values are;
    none where the question is of its own kind.
    """
    if not context.parts and not context.held:
        return ()
    return tuple(_on_odd_values(context, sign) for sign in (1, -1))


def _on_odd_values(context: RuleContext, sign: int) -> RuleContext:
    count = len(context.parts)
    equal = len(set(context.parts)) < count
    parts = tuple(odd(sign * (1 if equal else at)) for at in range(1, count + 1))
    held = tuple(
        Held(c := odd(sign * at), c * odd(at + 40), odd(at + 40))
        for at in range(1, len(context.held) + 1)
    )
    return context._replace(
        right=_right(context.place, parts, held), parts=parts, held=held, facts={}, others=()
    )


def _right(place: str, parts: tuple[Fraction, ...], held: tuple[Held, ...]) -> Fraction:
    """The right rule of a place on these numbers."""
    if parts:
        return turned(parts) if place in ("series", "stacked") else total(parts)
    known = [(h.q or Fraction(0), h.v or Fraction(0)) for h in held]
    if place in ("charge", "voltage"):
        return known[0][place == "voltage"]
    return total(q * v for q, v in known) / 2


def odd(at: int) -> Fraction:
    """A number for each place, so odd that no sum or product of a few is like another's."""
    return Fraction(7) ** at * (1 + Fraction(abs(at + 30) ** 3 + at, 10**6))


# What the right ways show


def _seen(ask: Ask, powers: Mapping[Dimension, int], right: Fraction) -> _Seen | None:
    numbers = [n for way in ask.ways for n in _numbers(way, powers)]
    if not ask.ways or ask.dimension is None or len(numbers) < sum(len(w.uses) for w in ask.ways):
        return None
    named = dict(numbers)
    if ask.dimension == "capacitance":
        return _of_sum(ask, named, right)
    if ask.dimension == "energy":
        return _of_energy(ask, named, right)
    return _of_law(ask, named, right)


def _numbers(way: Way, powers: Mapping[Dimension, int]) -> Iterator[tuple[str, Fraction]]:
    for name, (value, dimension) in way.uses.items():
        power = plain_power(powers, dimension) if dimension else 0
        if not in_letters(value):
            yield name, Fraction(value) / Fraction(10) ** power


def _of_sum(ask: Ask, named: Mapping[str, Fraction], right: Fraction) -> _Seen | None:
    relation = ask.ways[0].relation
    if equal := _EQUAL.fullmatch(relation):
        parts, place = (named[equal[1]],) * int(named["n"]), "series"
        names = (equal[1],) * len(parts)
    elif _CHAIN.fullmatch(relation) or _SUM.fullmatch(relation):
        names = tuple(dict.fromkeys(re.findall(r"C\w*", relation)))
        parts = tuple(named[name] for name in names)
        place = "series" if "/" in relation else "parallel"
    else:
        return None
    if len(parts) < 2 or not all(parts) or _right(place, parts, ()) != right:
        return None
    return _Seen(ask.key if ask.key in OF_ITS_OWN else place, parts, names)


def _of_law(ask: Ask, named: Mapping[str, Fraction], right: Fraction) -> _Seen | None:
    """Q = C V or V = Q/C of one capacitor."""
    way = ask.ways[0]
    one = {way.uses[name][1]: number for name, number in named.items() if name in way.uses}
    c, q, v = one.get("capacitance"), one.get("charge"), one.get("voltage")
    if len(way.uses) != 2 or c is None or not c:
        return None
    if ask.dimension == "charge" and v is not None and c * v == right:
        return _Seen("charge", held=(Held(c, right, v),))
    if ask.dimension == "voltage" and q is not None and q / c == right:
        return _Seen("voltage", held=(Held(c, q, right),))
    return None


def _of_energy(ask: Ask, named: Mapping[str, Fraction], right: Fraction) -> _Seen | None:
    """½ Q V of one capacitor, or of several added up, where another way tells their C."""
    holds: list[tuple[str, ...]] = []
    for form in (_MOVED, _SQUARED):
        terms = [way.relation.split(" + ") for way in ask.ways]
        found = [[form.fullmatch(term) for term in each] for each in terms]
        fitting = next((each for each in found if all(each)), None)
        if fitting is None:
            return None
        holds.append(tuple(name for term in fitting if term for name in term.groups()))
    (moved, squared) = holds
    held = tuple(
        Held(named.get(c), named.get(q), named.get(v))
        for q, c, v in zip(moved[::2], squared[::2], squared[1::2], strict=True)
    )
    place = "energy" if len(held) == 1 else "total energy"
    return _Seen(place, held=held) if _right(place, (), held) == right else None


def _capacitor(ask: Ask) -> str:
    """The capacitor that a question is about, as its relation names it."""
    uses = ask.ways[0].uses if ask.ways else {}
    named = [name for name, (_, dimension) in uses.items() if dimension == "capacitance"]
    return named[0] if len(named) == 1 else ask.told.get("name", "it")


def _others(ask: Ask, powers: Mapping[Dimension, int]) -> tuple[Fraction, ...]:
    """The capacitances that stand in its relations."""
    values: list[Value] = [
        value for way in ask.ways for value, dimension in way.uses.values()
        if dimension == "capacitance" and not in_letters(value)
    ]
    scale = Fraction(10) ** powers["capacitance"]
    return tuple(dict.fromkeys(Fraction(value) / scale for value in values))
