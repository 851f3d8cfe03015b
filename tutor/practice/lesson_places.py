"""Where things stand in a file, and in a table of TOML within it.

tomllib gives values without their places, so a table that it has read is gone through once more
for where each key and each value begins.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from itertools import zip_longest
from typing import Final, NamedTuple

from grammar.records import Place, Refusal

_TOKEN: Final = re.compile(
    r'''(?P<string>"""(?:\\.|[^\\])*?"""(?!")|"(?:\\.|[^"\\\n])*"|\'\'\'.*?\'\'\'(?!')|'[^'\n]*')
    |(?P<newline>\n)|(?P<skip>\#[^\n]*|[ \t\r]+)|(?P<sign>[][{},=])|(?P<word>[^][{},=\#"'\s]+|.)''',
    re.VERBOSE | re.DOTALL,
)
# What one character of a value is written as between double quotes; a backslash at the end of a
# line stands for nothing, and takes the spaces after it along.
_WRITTEN: Final = re.compile(
    r"(?P<nothing>\\[ \t]*\n\s*)|\\u.{4}|\\U.{8}|\\.|.", re.DOTALL
)


class LessonText:
    """The text of a file by lines, with a place for each offset."""

    def __init__(self, text: str) -> None:
        self.text = text.replace("\r\n", "\n").replace("\r", "\n")
        self.lines = self.text.split("\n")
        self._starts = [0]
        for line in self.lines:
            self._starts.append(self._starts[-1] + len(line) + 1)

    def start_of(self, line: int) -> int:
        """The offset at which a line begins; lines count from 1."""
        return self._starts[line - 1]

    def at(self, offset: int) -> Place:
        """The place of an offset; the end of the text is one."""
        line = min(bisect_right(self._starts, offset), len(self.lines))
        return Place(line, offset - self._starts[line - 1] + 1, self.lines[line - 1])

    def at_line(self, line: int) -> Place:
        """The place of the first sign on a line."""
        text = self.lines[line - 1]
        return Place(line, len(text) - len(text.lstrip()) + 1, text)

    def fault(self, offset: int, found: str, cure: str) -> Refusal:
        """A refusal at this offset."""
        return Refusal(found, cure, self.at(offset))


class Value(NamedTuple):
    """Where a plain value is written: offsets of its first sign and behind its last."""

    start: int
    end: int


class Written(NamedTuple):
    """A key of a table: the offset at which it first stands, and the values written under it."""

    key: int
    values: tuple[Value, ...]


def written(source: LessonText, first: int, last: int) -> dict[str, Written]:
    """Each key of the table of TOML on these lines, which tomllib has read, in order."""
    found: dict[str, tuple[int, list[Value]]] = {}
    heading = ""
    for statement in _statements(source, first, last):
        names = [each for each in statement if each.kind in ("word", "string")]
        if statement[0].text == "[":
            heading = _first_of(names[0].text)
            found.setdefault(heading, (statement[0].at, []))
            continue
        _, values = found.setdefault(
            heading or _first_of(names[0].text), (statement[0].at, [])
        )
        values += [
            Value(each.at, each.at + len(each.text))
            for each, following in zip_longest(statement, statement[1:])
            if each.kind in ("word", "string") and (following is None or following.text != "=")
        ]
    return {name: Written(at, tuple(values)) for name, (at, values) in found.items()}


class _Token(NamedTuple):
    kind: str
    at: int
    text: str


def _statements(source: LessonText, first: int, last: int) -> Iterator[list[_Token]]:
    """The tokens of one heading, or of one key and its value, at a time."""
    statement: list[_Token] = []
    depth = 0
    for sign in _TOKEN.finditer(source.text, source.start_of(first), source.start_of(last + 1)):
        token = _Token(sign.lastgroup or "", sign.start(), sign[0])
        if token.kind == "sign":
            depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(token.text, 0)
        if token.kind in ("string", "word", "sign"):
            statement.append(token)
        elif token.kind == "newline" and depth == 0 and statement:
            yield statement
            statement = []
    if statement:
        yield statement


def _first_of(key: str) -> str:
    """The first name of a key that may be quoted or dotted."""
    return key.strip("\"'") if key[:1] in "\"'" else key.partition(".")[0]


def offset_within(source: LessonText, value: Value, index: int) -> int:
    """Where in the file the character ``index`` of a text is written, whatever its quotes."""
    text = source.text[value.start : value.end]
    quotes = next((q for q in ('"""', "'''", '"', "'") if text.startswith(q)), "")
    start = value.start + len(quotes)
    if len(quotes) == 3 and source.text[start] == "\n":
        start += 1
    if "'" in quotes or not quotes:
        return min(start + index, value.end)
    for sign in _WRITTEN.finditer(source.text, start, value.end - len(quotes)):
        if sign["nothing"] is None:
            if index == 0:
                return sign.start()
            index -= 1
    return value.end - len(quotes)
