"""Phrases put together by the rules of a small grammar, in every way in which the rules allow it.

A rule is a row of parts: words by their kind in capitals, phrases in small letters; ``A|THE*`` is
any number of either, ``?`` and ``+`` are what they are in regular expressions. Whoever asks gets
all that a row of words can mean, so that nothing is decided where two things can be meant.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final, NamedTuple, TypeAlias

MadePhrase: TypeAlias = "tuple[int, Any]"
_MOST: Final = 24  # ways to put one phrase together


class Term(NamedTuple):
    """A word: its kind, and what it holds (a value, a number, how to join), or None."""

    kind: str
    held: Any = None


class Rule(NamedTuple):
    """One way to make a phrase; ``build`` is given what its parts hold, and gives None where they
    do not fit.
    """

    phrase: str
    parts: tuple[tuple[tuple[str, ...], str], ...]
    build: Callable[..., Any]


def rule(told: str, build: Callable[..., Any]) -> Rule:
    """A rule written as ``phrase: its parts``."""
    phrase, row = told.split(": ")
    parts = []
    for part in row.split():
        many = part[-1] if part[-1] in "?*+" else ""
        parts.append((tuple(part.removesuffix(many).split("|")), many))
    return Rule(phrase, tuple(parts), build)


class PhraseChart:
    """The words of one sentence, and what has been made of them."""

    def __init__(self, rules: Sequence[Rule], terms: Sequence[Term]) -> None:
        self.rules: Mapping[str, list[Rule]] = _by_phrase(rules)
        self.terms = terms
        self.known: dict[tuple[str, int], list[MadePhrase]] = {}

    def whole(self, phrase: str) -> list[Any]:
        """All that the whole sentence can be as such a phrase."""
        return [held for end, held in self.made(phrase, 0) if end == len(self.terms)]

    def made(self, phrase: str, start: int) -> list[MadePhrase]:
        """Such phrases that begin here: where each ends, and what it holds."""
        if (phrase, start) in self.known:
            return self.known[phrase, start]
        self.known[phrase, start] = []  # none begins with itself
        found: dict[MadePhrase, None] = {}
        for each in self.rules[phrase]:
            for end, held in self._row(each.parts, start):
                built = each.build(*held)
                if built is not None and len(found) < _MOST:
                    found[end, built] = None
        self.known[phrase, start] = list(found)
        return self.known[phrase, start]

    def _row(self, parts: tuple[Any, ...], start: int) -> list[tuple[int, tuple[Any, ...]]]:
        if not parts:
            return [(start, ())]
        (symbols, many), rest = parts[0], parts[1:]
        found = self._row(rest, start) if many in ("?", "*") else []
        following = ((symbols, "*"), *rest) if many in ("*", "+") else rest
        for end, held in self._one(symbols, start):
            found += [(last, (*held, *more)) for last, more in self._row(following, end)]
        return list(dict.fromkeys(found))

    def _one(self, symbols: Sequence[str], start: int) -> list[tuple[int, tuple[Any, ...]]]:
        found: list[tuple[int, tuple[Any, ...]]] = []
        for symbol in symbols:
            if symbol.islower():
                found += [(end, (held,)) for end, held in self.made(symbol, start)]
            elif start < len(self.terms) and self.terms[start].kind == symbol:
                held = self.terms[start].held
                found.append((start + 1, () if held is None else (held,)))
        return found


def _by_phrase(rules: Sequence[Rule]) -> dict[str, list[Rule]]:
    found: dict[str, list[Rule]] = {}
    for each in rules:
        found.setdefault(each.phrase, []).append(each)
    return found
