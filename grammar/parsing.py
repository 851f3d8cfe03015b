"""Text to tree: the only module that knows lark.

The parser's tables are saved beside the grammars, since building them anew costs more
than everything else at the start. ``python -m grammar.parsing`` writes them after a change
to a ``.lark`` file; tables that belong to another grammar or another release of lark are
passed over and built in memory.
"""

from __future__ import annotations

import io
import os
import zlib
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any, Literal, TypeAlias

if TYPE_CHECKING:
    from lark import Lark
    from lark import Token as LarkToken
    from lark import Tree as LarkTree

    Token: TypeAlias = LarkToken
    Tree: TypeAlias = LarkTree[Any]

Grammar: TypeAlias = Literal["network", "answer", "wish", "bank", "totals"]

GRAMMARS: tuple[Grammar, ...] = ("network", "answer", "wish", "bank", "totals")
STARTS: Mapping[Grammar, tuple[str, ...]] = {
    "network": ("description",),
    "answer": ("start",),
    "wish": ("wish",),
    "bank": ("bank",),
    "totals": ("totals",),
}
END = "$END"


class Unparsed(Exception):
    """The text stops making sense at ``offset``, counted in characters from 0.

    ``text`` is the piece that does not fit ("" at the end of the text), ``expected`` the
    names of the terminals that would fit there, with ``$END`` for the end of the text.
    """

    def __init__(self, offset: int, text: str, expected: frozenset[str]) -> None:
        super().__init__(offset, text, expected)
        self.offset = offset
        self.text = text
        self.expected = expected


def parse(name: Grammar, text: str, start: str) -> Tree:
    """Read ``text`` by the rule ``start`` of one of the grammars.

    Errors: ``Unparsed``, and nothing of lark's own.
    """
    from lark.exceptions import (
        UnexpectedCharacters,
        UnexpectedInput,
        UnexpectedToken,
    )

    try:
        return parser_of(name).parse(text, start=start)
    except UnexpectedToken as error:
        at_end = error.token.type == END
        offset = len(text) if at_end or error.token.start_pos is None else error.token.start_pos
        found = "" if at_end else str(error.token)
        raise Unparsed(offset, found, frozenset(error.expected)) from None
    except UnexpectedCharacters as error:
        offset = error.pos_in_stream or 0
        raise Unparsed(offset, text[offset : offset + 1], frozenset(error.allowed)) from None
    except UnexpectedInput:  # pragma: no cover - lark's other kinds do not arise with LALR
        raise Unparsed(len(text), "", frozenset()) from None


@cache  # a pure loader of package data: the same file always gives the same parser
def parser_of(name: Grammar) -> Lark:
    """The parser of one grammar, from its saved tables where they are those of the grammar."""
    from lark import Lark

    source = source_of(name)
    try:
        saved = _beside(f"{name}.tables")
    except OSError:
        return build(name, source)
    header, _, body = saved.partition(b"\n")
    if header != _header(source):
        return build(name, source)
    try:
        return Lark.load(io.BytesIO(body))
    except Exception:  # tables cut short or damaged: whatever is wrong, the grammar is at hand
        return build(name, source)


def build(name: Grammar, source: str, strict: bool = False) -> Lark:
    """Make the parser from the text of its grammar.

    ``strict`` also refuses terminals that overlap; it needs interegular, so only tests ask.
    The lexer knows no context: a word of the notation is that word wherever it stands.
    """
    from lark import Lark

    return Lark(
        source,
        parser="lalr",
        lexer="basic",
        start=list(STARTS[name]),
        maybe_placeholders=False,
        strict=strict,
    )


def source_of(name: Grammar) -> str:
    """The text of a grammar file. Errors: ``FileNotFoundError`` where there is none."""
    return _beside(f"{name}.lark").decode("utf-8")


def write_tables(name: Grammar) -> None:
    """Write the tables of one grammar beside it, under a line that says whose they are."""
    source = source_of(name)
    body = io.BytesIO()
    build(name, source).save(body)
    with open(_path(f"{name}.tables"), "wb") as file:
        file.write(_header(source) + b"\n" + body.getvalue())


def _header(source: str) -> bytes:
    from lark import __version__

    return f"lark {__version__} grammar {zlib.crc32(source.encode()):08x}".encode()


def _beside(name: str) -> bytes:
    """What stands in a file of this package. Errors: ``OSError`` where there is none."""
    try:
        with open(_path(name), "rb") as file:
            return file.read()
    except NotADirectoryError:  # the package is in an archive
        from pkgutil import get_data

        return get_data(__name__, name) or b""


def _path(name: str) -> str:
    return os.path.join(os.path.dirname(__file__), name)


if __name__ == "__main__":
    for each in GRAMMARS:
        write_tables(each)
