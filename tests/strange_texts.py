"""Texts that nobody means: random, bent from good ones, parts of these, made by the notation,
hostile, or a few words said again and again.
"""

from __future__ import annotations

import random
import tomllib
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Final

CASES: Final = Path(__file__).parent / "cases"
_SIGNS: Final = "0123456789.,;:()[]{}=+-−*/×^|%?!~'\"#&<>\\_ \t\nACPQVEUuµnpmkMFJrstxyz½²≈∥→"
_HOSTILE: Final = (
    "\x1b[2J", "\x1b]0;x\x07", "\x9b31m", "\u202e", "\u0301" * 40, "\x00", "\ud800", "\u2028",
    "(" * 400, "-- " * 300, "9" * 400, "1e999999", "1e-999999", "0.0", "1/0", "x" * 3000,
    "{0.__class__}", "%s%n", "__import__('os')", "../../etc/passwd", "٣", "Ω", "𝟛", "ﬁ", "İ",
    "C1 = C1", "C1 = C2; C2 = C1", "ends A and A", "join C1 and C1", "\r", "\x0b", "\x85",
)
_WORDS: Final = (
    "the", "charge", "p.d.", "because", "same", "both", "C1", "C2 and C3", "C23", "Q1", "V =",
    "series", "parallel", "none", "hint", "why", "undo", "list", "24 uC", "2.4", "1/2 + 1/3",
    "= 5/6", "so", "not", "at P", "A and B", "no", "yes", "I think", "is it", "what if",
    "doubled", "across 12 V", "6 uF", "--", "||", "charged to", "plates", "gap", "filled", "then",
    "remove", "energy", "working", "fair copy", "star A P Q", "twelve", "?", "a)", "2",
)


@cache
def said(name: str, *fields: str) -> tuple[str, ...]:
    """Every text, or list of texts, that stands under one of the fields of a file of cases."""
    cases = tomllib.loads((CASES / name).read_text(encoding="utf-8"))
    return tuple(dict.fromkeys(_under(cases, fields, False)))


def _under(value: object, fields: tuple[str, ...], wanted: bool) -> Iterator[str]:
    if isinstance(value, dict):
        for key, below in value.items():
            yield from _under(below, fields, wanted or key in fields)
    elif isinstance(value, list):
        for below in value:
            yield from _under(below, fields, wanted)
    elif wanted and isinstance(value, str):
        yield value


def strange(good: tuple[str, ...], seed: int) -> Iterator[str]:
    """Without end: one of each manner in turn, from texts that mean something."""
    chance = random.Random(seed)
    manners: tuple[Callable[[random.Random, tuple[str, ...]], str], ...] = (
        _random, _bent, _made, _hostile, _of_words, _spliced, _again, _part, _drawn,
    )
    while True:
        for manner in manners:
            yield manner(chance, good)


def _random(chance: random.Random, good: tuple[str, ...]) -> str:
    del good
    return "".join(chance.choices(_SIGNS, k=chance.randint(0, 60)))


def _bent(chance: random.Random, good: tuple[str, ...]) -> str:
    text = list(chance.choice(good))
    for _ in range(chance.randint(1, 5)):
        at = chance.randint(0, len(text))
        match chance.randrange(4):
            case 0:
                del text[at : at + chance.randint(1, 4)]
            case 1:
                text[at:at] = chance.choice(_SIGNS)
            case 2:
                text[at:at] = text[at : at + chance.randint(1, 12)]
            case _:
                text[at : at + 1] = chance.choice(_SIGNS)
    return "".join(text)


def _made(chance: random.Random, good: tuple[str, ...]) -> str:
    """A nest of the notation, mostly sound."""
    del good

    def part(depth: int) -> str:
        if depth == 0 or chance.random() < 0.3:
            return f"{chance.choice(('C', '2C', '4 uF', '3.3 nF', '10 pF', '?', 'C1', '0 uF'))}"
        joint = chance.choice((" -- ", " || ", " in series with ", " and "))
        return f"({joint.join(part(depth - 1) for _ in range(chance.randint(1, 4)))})"

    return part(chance.randint(1, 5)) + chance.choice(("", ", across 12 V", ", holding 3 uC"))


def _hostile(chance: random.Random, good: tuple[str, ...]) -> str:
    text = chance.choice(good)
    at = chance.randint(0, len(text))
    return text[:at] + chance.choice(_HOSTILE) + text[at:]


def _of_words(chance: random.Random, good: tuple[str, ...]) -> str:
    del good
    return " ".join(chance.choices(_WORDS, k=chance.randint(1, 9)))


def _spliced(chance: random.Random, good: tuple[str, ...]) -> str:
    one, other = chance.choice(good), chance.choice(good)
    return one[: chance.randint(0, len(one))] + other[chance.randint(0, len(other)) :]


def _again(chance: random.Random, good: tuple[str, ...]) -> str:
    """A few words, over and over: what grows faster than a text shows there."""
    words = chance.choice(good).split() or ["a"]
    at = chance.randrange(len(words))
    few = " ".join(words[at : at + chance.randint(1, 4)])
    return (few + chance.choice((" ", ", ", " and ", "\n"))) * (600 // (len(few) + 1))


def _part(chance: random.Random, good: tuple[str, ...]) -> str:
    """Some words of a good text, without what they rest on."""
    words = chance.choice(good).split() or ["a"]
    at = chance.randrange(len(words))
    return " ".join(words[at : at + chance.randint(1, 12)])


def _drawn(chance: random.Random, good: tuple[str, ...]) -> str:
    """Two or three parts of good texts, one behind the other."""
    return " ".join(_part(chance, good) for _ in range(chance.randint(2, 3)))
