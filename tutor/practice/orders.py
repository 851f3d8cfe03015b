"""Orders read from plain words, such as 'dividing a p.d., 3 steps, seed 12'.

An order names a skill or a shape, how many steps, what sort of numbers, and what is asked. What
it leaves open is chosen by its seed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from difflib import get_close_matches
from types import MappingProxyType
from typing import Final, TypeAlias

from grammar.records import Dimension, Place, Refusal
from tutor.practice.making_needs import (
    CHAIN_IN_SET,
    NEEDS,
    SET_IN_CHAIN,
    STORIES,
    Scope,
    TaskOrder,
    Wanted,
    is_story,
    shapes_for,
)
from tutor.practice.shapes import (
    SHAPES,
    TWO_LEVELS,
    UNBALANCED,
    Extra,
    shape_named,
    with_extras,
)
from tutor.practice.task_values import Arithmetic
from tutor.teaching.skills import BY_CODE, CODE_OF

__all__ = ["TaskOrder", "Wanted", "order_in", "shapes_for"]

_NUMBERS: Mapping[str, int] = MappingProxyType({
    word: number for number, word in enumerate(("one", "two", "three", "four", "five"), start=1)
})
_COUNT: Final = r"(?P<count>\d+|one|two|three|four|five)"
_IN: Final = r"(?:in|inside|within)"
_CHAIN: Final = r"(?:chain|series chain|series part)"
_SET: Final = r"(?:parallel set|parallel part|set side by side)"

Setter: TypeAlias = Callable[[TaskOrder, re.Match[str]], TaskOrder]


def _shape(name: str) -> Setter:
    return lambda order, _: _with_shape(order, name)


def _with_shape(order: TaskOrder, name: str) -> TaskOrder:
    """The order with a shape; what was to be added to it is kept."""
    if order.shape is None or is_story(order.shape) or is_story(name):
        return order._replace(shape=name)
    added = shape_named(order.shape).extras
    return order._replace(shape=with_extras(shape_named(name), added).full_name)


def _counted_shape(template: str) -> Setter:
    def setter(order: TaskOrder, found: re.Match[str]) -> TaskOrder:
        count = found["count"]
        number = int(count) if count.isdigit() else _NUMBERS[count]
        word = next((word for word, n in _NUMBERS.items() if n == number), count)
        name = template.format(word)
        if name not in SHAPES:
            raise Refusal(f'There is no "{name}" to order.', _choice_of("Shapes", SHAPES))
        return _with_shape(order, name)

    return setter


def _extra(extra: Extra) -> Setter:
    def setter(order: TaskOrder, _: re.Match[str]) -> TaskOrder:
        if order.shape is None:
            shape = SHAPES[SET_IN_CHAIN]
        elif is_story(order.shape) or shape_named(order.shape).layout is None:
            raise Refusal(f"{extra} cannot be added to {order.shape}.", "Order it with a nest.")
        else:
            shape = shape_named(order.shape)
        return order._replace(shape=with_extras(shape, (extra,)).full_name)

    return setter


def _skill(code: str) -> Setter:
    return lambda order, _: order._replace(skill=code)


def _sums(arithmetic: Arithmetic) -> Setter:
    return lambda order, _: order._replace(arithmetic=arithmetic)


def _asked(dimension: Dimension, of: Scope) -> Setter:
    return lambda order, _: order._replace(asked=Wanted(dimension, of))


def _steps(order: TaskOrder, found: re.Match[str]) -> TaskOrder:
    count = found["count"]
    return order._replace(steps=int(count) if count.isdigit() else _NUMBERS[count])


def _seed(order: TaskOrder, found: re.Match[str]) -> TaskOrder:
    return order._replace(seed=int(found["seed"]))


def _plain(words: str) -> str:
    """A pattern for words as they stand, any space between them."""
    return r"\s+".join(map(re.escape, words.lower().split()))


def _phrases() -> Iterator[tuple[str, Setter]]:
    """Everything that may be said in an order; of several that fit, the longest counts."""
    for code in BY_CODE:
        if code in NEEDS:
            for name in (BY_CODE[code].name, *BY_CODE[code].also):
                yield _plain(name), _skill(code)
            yield code.lower(), _skill(code)
    for name in (*SHAPES, *STORIES):
        yield _plain(name), _shape(name)
        yield _plain(re.sub(r"^an? ", "", name)), _shape(name)
    yield from _SPOKEN
    for dimension, quantity in _QUANTITIES.items():
        yield rf"(?:the\s+)?(?:total|whole|equivalent)\s+{quantity}", _asked(dimension, "whole")
        on = rf"(?:the\s+)?{quantity}\s+(?:on|of|in|across|for)\s+"
        yield rf"{on}(?:the\s+)?(?:whole|network)", _asked(dimension, "whole")
        if dimension == "capacitance":  # that of a single one is given
            yield quantity, _asked(dimension, "whole")
            continue
        capacitor = r"(?:\s+(?:capacitor|of them|part))?"
        yield rf"{on}(?:any\s+)?(?:one|a){capacitor}", _asked(dimension, "one")
        yield rf"{on}(?:each|every|all){capacitor}", _asked(dimension, "each")
        yield quantity, _asked(dimension, "one")


_QUANTITIES: Mapping[Dimension, str] = MappingProxyType({
    "capacitance": "capacitance", "charge": "charge", "energy": "energy",
    "voltage": r"(?:p\.?d\.?|voltage|potential\s+difference)",
})
_SPOKEN: Final[tuple[tuple[str, Setter], ...]] = (
    (rf"{_COUNT}\s+in\s+(?:series|a\s+chain)", _counted_shape("a chain of {}")),
    (rf"(?:a\s+)?chain\s+of\s+{_COUNT}", _counted_shape("a chain of {}")),
    (rf"{_COUNT}\s+(?:side\s+by\s+side|in\s+parallel)", _counted_shape("{} side by side")),
    (rf"(?:a\s+)?{_SET}\s+of\s+{_COUNT}", _counted_shape("{} side by side")),
    (rf"(?:a\s+)?{_SET}\s+{_IN}\s+a\s+{_CHAIN}", _shape(SET_IN_CHAIN)),
    (rf"(?:a\s+)?{_CHAIN}\s+{_IN}\s+a\s+{_SET}", _shape(CHAIN_IN_SET)),
    (r"two\s+levels\s+deeper", _shape(TWO_LEVELS[0])),
    (r"(?:single|lone)\s+capacitor", _shape("one capacitor")),
    (r"bridge", _shape(UNBALANCED)),
    (r"(?:a\s+)?dead\s+end", _extra("a dead end")),
    (r"(?:a\s+)?bypassed\s+(?:capacitor|one)", _extra("a bypassed capacitor")),
    (r"(?:a\s+)?(?:list\s+with\s+a\s+)?wire", _extra("a wire")),
    (r"whole(?:[\s-]+numbers?)?(?:\s+answers?)?", _sums("whole")),
    (r"(?:short|terminating)(?:\s+decimals?)?", _sums("terminating")),
    (r"(?:three|3)\s+(?:significant\s+)?figures", _sums("three figures")),
    (rf"{_COUNT}\s+steps?", _steps),
    (r"seed\s+(?P<seed>\d+)", _seed),
)
_FILLER: Final = re.compile(r"(?:with|and|on|for|a|an|the|of|in|as|asking|asked|ask|list)\b|[,;:.]")
_WORD: Final = re.compile(r"[^\s,;]*[^\s,;.]|\S")


def order_in(words: str) -> TaskOrder:
    """The order that plain words give, such as 'dividing a p.d., 3 steps, seed 12'.

    Errors: ``Refusal`` for a word that is not known, for what cannot be together, and for an
    order that says neither skill nor shape.
    """
    order, at = TaskOrder(), 0
    low = words.lower()
    phrases = [(re.compile(pattern + r"(?![\w])"), setter) for pattern, setter in _phrases()]
    while at < len(low):
        if low[at].isspace():
            at += 1
            continue
        found = [(m, setter) for phrase, setter in phrases if (m := phrase.match(low, at))]
        if found:
            match, setter = max(found, key=lambda pair: pair[0].end())
            order, at = _set(order, match, setter, words)
        elif filler := _FILLER.match(low, at):
            at = filler.end()
        else:
            raise _unknown(words, at)
    shapes_for(order)
    return order


def _set(
    order: TaskOrder, match: re.Match[str], setter: Setter, words: str
) -> tuple[TaskOrder, int]:
    try:
        return setter(order, match), match.end()
    except Refusal as refusal:
        place = Place(1, match.start() + 1, words)
        raise Refusal(refusal.found, refusal.cure, place) from None


def _unknown(words: str, at: int) -> Refusal:
    skills = [name for name, code in CODE_OF.items() if code in NEEDS]
    names = [*skills, *SHAPES, *STORIES]
    word = _first_strange(words, at, names)
    shown = word[0]
    near = get_close_matches(re.split("[,;]", words[at:])[0].strip().lower(), names, 3, 0.5)
    lead = f"Did you mean {' or '.join(near)}? " if near else ""
    cure = (
        f"{lead}Name a skill, such as two in series or dividing a p.d., or a shape, such as a "
        "chain in a parallel set or a bridge. With it may stand: with a dead end, 3 steps, whole "
        "numbers, energy on one capacitor, seed 12."
    )
    place = Place(1, word.start() + 1, words)
    return Refusal(f'"{shown}" is not known in an order.', cure, place)


def _first_strange(words: str, at: int, names: list[str]) -> re.Match[str]:
    """The first word from ``at`` on that stands in no name, as 'serie' in 'two in serie'; where
    each of them does, the first of all.
    """
    known = {*_NUMBERS, *(word for name in names for word in name.lower().split())}
    said = [*_WORD.finditer(words, at)]
    strange = (word for word in said if not word[0].isdigit() and word[0].lower() not in known)
    return next(strange, said[0])


def _choice_of(what: str, names: Iterable[str]) -> str:
    return f"{what}: {', '.join(names)}."
