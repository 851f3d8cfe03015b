"""Every pattern of the program over pieces of itself repeated: ``python -m tests.pattern_report``.

A pattern in which one text can be taken in two ways, again and again, needs twice the time for
each repetition more. Of each that repeats something a text is made that does so many times and
then fails; printed are those that go over it slowly, with a line that shows it. Chance comes from
a fixed seed. With a number: so many repetitions, 24 otherwise.
"""

from __future__ import annotations

import ast
import importlib
import random
import re
import signal
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any, Final, NamedTuple

REPEATED: Final = 24
SLOW: Final = 0.2  # seconds of the processor for a text of some hundred letters
ASKED_EACH: Final = 8  # texts for each place that repeats something
_REPEATS: Final = ("MAX_REPEAT", "MIN_REPEAT", "POSSESSIVE_REPEAT")
_TAKES_A_PATTERN: Final = frozenset(
    f"re.{name}" for name in ("search", "match", "fullmatch", "sub", "split", "findall", "finditer")
)
_LETTERS: Final = "a7 .x-1,C=+/"
_IS_OF: Final[dict[str, Callable[[str], bool]]] = {
    "CATEGORY_DIGIT": str.isdigit,
    "CATEGORY_SPACE": str.isspace,
    "CATEGORY_WORD": lambda letter: letter.isalnum() or letter == "_",
    "CATEGORY_NOT_DIGIT": lambda letter: not letter.isdigit(),
    "CATEGORY_NOT_SPACE": lambda letter: not letter.isspace(),
    "CATEGORY_NOT_WORD": lambda letter: not (letter.isalnum() or letter == "_"),
}


class PatternFound(NamedTuple):
    """A pattern as it is compiled, and the module that does so."""

    pattern: re.Pattern[str]
    home: str


class _Cut(Exception):
    """What is repeated has been written: the text ends there."""


class _TooSlow(Exception):
    """The clock has run out on a pattern."""


def patterns_of(*packages: str) -> list[PatternFound]:
    """All patterns that the modules of some packages hold by a name, in a row or a table, or write
    out where they use them.
    """
    found: dict[re.Pattern[str], str] = {}
    for package in packages:
        for path in sorted(Path(package).rglob("*.py")):
            name = ".".join(path.with_suffix("").parts).removesuffix(".__init__")
            for written in _written_out(path):
                found.setdefault(written, name)
            if path.stem != "__main__":
                for held in vars(importlib.import_module(name)).values():
                    found.update(dict.fromkeys(_within(held), name) | found)
    return [PatternFound(pattern, home) for pattern, home in found.items()]


def _within(held: object, deep: int = 0) -> Iterator[re.Pattern[str]]:
    if isinstance(held, re.Pattern):
        yield held
    elif isinstance(held, (tuple, list, frozenset)) and deep < 4:
        for each in held:
            yield from _within(each, deep + 1)
    elif isinstance(held, dict) and deep < 4:
        yield from _within([*held.keys(), *held.values()], deep + 1)


def _written_out(path: Path) -> Iterator[re.Pattern[str]]:
    """The patterns given as a text to a function of ``re``."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and node.args and ast.unparse(node.func) in _TAKES_A_PATTERN:
            given = node.args[0]
            if isinstance(given, ast.Constant) and isinstance(given.value, str):
                yield re.compile(given.value)


class _Writing:
    """A text that a pattern takes up to its repetition at one place, which it then writes often."""

    def __init__(self, chance: random.Random, target: int, times: int) -> None:
        self.chance, self.target, self.times = chance, target, times
        self.text: list[str] = []
        self.at = 0

    def write(self, parsed: Any) -> None:
        for operator, given in parsed:
            self._one(str(operator), given)

    def _one(self, operator: str, given: Any) -> None:
        if operator == "LITERAL":
            self.text.append(chr(given))
        elif operator == "NOT_LITERAL":
            self.text.append("a" if given != ord("a") else "b")
        elif operator == "ANY":
            self.text.append(self.chance.choice("a 7"))
        elif operator == "IN":
            self.text.append(self._one_of(given))
        elif operator in _REPEATS:
            self._repeat(*given)
        elif operator == "SUBPATTERN":
            self.write(given[3])
        elif operator == "ATOMIC_GROUP":
            self.write(given)
        elif operator == "BRANCH":
            self.write(self.chance.choice(given[1]))

    def _repeat(self, least: int, most: Any, body: Any) -> None:
        here, self.at = self.at, self.at + 1
        if here == self.target and most > 3:
            unit = _Writing(self.chance, -1, 0)
            for _ in range(self.chance.choice((1, 1, 2))):
                unit.write(body)
            self.text.append("".join(unit.text) * self.times)
            raise _Cut
        often = self.chance.choice((least, min(int(most), max(least, 1))))
        for _ in range(often):
            self.at = here + 1
            self.write(body)
        self.at = here + 1 + places_in(body)

    def _one_of(self, given: Any) -> str:
        rows = [(str(operator), of) for operator, of in given]
        is_not = rows[0][0] == "NEGATE"
        for letter in self.chance.sample(_LETTERS, len(_LETTERS)):
            if any(_holds(letter, *row) for row in rows) != is_not:
                return letter
        literal = next((of for operator, of in rows if operator == "LITERAL"), ord("z"))
        return chr(literal)


def _holds(letter: str, operator: str, of: Any) -> bool:
    if operator == "LITERAL":
        return ord(letter) == int(of)
    if operator == "RANGE":
        return int(of[0]) <= ord(letter) <= int(of[1])
    return operator == "CATEGORY" and _IS_OF[str(of)](letter)


def places_in(parsed: Any) -> int:
    """How many places of a pattern repeat something."""
    found = 0
    for operator, given in parsed:
        name = str(operator)
        if name in _REPEATS:
            found += 1 + places_in(given[2])
        elif name == "SUBPATTERN":
            found += places_in(given[3])
        elif name == "ATOMIC_GROUP":
            found += places_in(given)
        elif name == "BRANCH":
            found += max(map(places_in, given[1]))
    return found


def strained_texts(pattern: re.Pattern[str], times: int, seed: int = 5) -> Iterator[str]:
    """Texts that repeat something many times that the pattern repeats, and then fail it."""
    from re import _parser  # type: ignore[attr-defined]

    chance = random.Random(seed)
    parsed = _parser.parse(pattern.pattern, pattern.flags)
    for place in range(places_in(parsed)):
        for _ in range(ASKED_EACH):
            writing = _Writing(chance, place, times)
            with suppress(_Cut):
                writing.write(parsed)
            yield "".join(writing.text)[:8_000] + chance.choice(("", "\x00", " !", "=", "?"))


def seconds_over(pattern: re.Pattern[str], text: str) -> float:
    """How long the pattern goes over a text; no longer than some seconds."""
    began = time.process_time()
    signal.setitimer(signal.ITIMER_REAL, 10 * SLOW)
    try:
        pattern.search(text)
    except _TooSlow:
        pass
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
    return time.process_time() - began


def _stop(*_: object) -> None:
    raise _TooSlow


def main() -> int:
    """Print the slow ones; 1 where there is one."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else REPEATED
    signal.signal(signal.SIGALRM, _stop)
    found = patterns_of("grammar", "tutor")
    slow = 0
    for pattern, home in found:
        for text in strained_texts(pattern, times):
            if (took := seconds_over(pattern, text)) > SLOW:
                slow += 1
                print(f"{home}: {took:.1f} s on {text[:60]!r}: {pattern.pattern[:80]!r}")
                break
    print(f"{len(found)} patterns, {slow} slow on {times} repetitions")
    return min(slow, 1)


if __name__ == "__main__":
    raise SystemExit(main())
