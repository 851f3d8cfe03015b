"""A text made ready for the parser, character for character, so that places stay true."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final, NamedTuple

from grammar.records import Place, Refusal
from grammar.walking import Node, span_of

# The densest text of that length is read or refused within 200 MB.
LONGEST_TEXT = 500_000
DEEPEST_NEST = 5_000

# What no keyboard of a learner gives on purpose: controls, and signs without a width.
_UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u00ad\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff"
    "\ud800-\udfff]"
)
# Each stands for one plain character: spaces, primes, minus, subscripts, full-width forms, and the
# letter that many books have for a relative permittivity.
_PLAIN: Mapping[int, Any] = str.maketrans(
    "\u00a0\u2007\u2009\u202f\u3000’′−₀₁₂₃₄₅₆₇₈₉κ",
    "     ''-0123456789k",
) | {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)}
# What is asked for is a clause of its own, whatever sign parts it from the one before.
_ASKED_APART: Final = re.compile(r",(?=\s*(?:asked\s*:|find\s+[A-Za-z]))")
_BRACKETS = re.compile(r"[()\[\]{};\n]")
_JOINED_BEFORE = ("--", "—", "–", "||", "∥", ",", "=")
_JOINED_AFTER = re.compile(r"--|[—–∥]|\|\||in\s+(?:series|parallel)\b", re.IGNORECASE)
_WORD_BEFORE = re.compile(r"\b(?:with|and|in|series|parallel)$", re.IGNORECASE)


class Source(NamedTuple):
    """A text and the same text made plain; one offset means the same place in both."""

    original: str
    plain: str

    def place(self, offset: int) -> Place:
        """The line and column of an offset, both counted from 1."""
        lines = _unix_lines(self.original)
        offset = min(offset, len(lines))
        start = lines.rfind("\n", 0, offset) + 1
        end = lines.find("\n", offset)
        line_text = self.original[start : end if end >= 0 else None].rstrip("\r")
        return Place(lines.count("\n", 0, offset) + 1, offset - start + 1, line_text)

    def refusal(self, offset: int, found: str, cure: str) -> Refusal:
        """A refusal that points at ``offset``; what it quotes of the text is cut short."""
        return Refusal(_cut(found), _cut(cure), self.place(offset))

    def text_of(self, node: Node) -> str:
        """What is written for a node, with single spaces."""
        start, end = span_of(node)
        return " ".join(self.plain[start:end].split())


# The signs that books use for a relative permittivity that is no number.
_PERMITTIVITY: Final = re.compile(
    r"(?<![\w'])(?:(?i:kappa)|κ|[εϵ]_?r|(?<=filled )K|(?<=with )K)(?![\w'])(?!\s*=)"
)


def prepare(text: str, one_sentence: bool = False) -> Source:
    """Make a text plain: remarks become spaces, new lines become ";" or spaces.

    In ``one_sentence`` they all become spaces, since nothing stands beside it.

    Errors: ``Refusal`` for a text too long, signs that cannot be seen, brackets that do not
    pair, and nests deeper than ``DEEPEST_NEST``.
    """
    if len(text) > LONGEST_TEXT:
        raise Refusal(
            f"The text has more than {LONGEST_TEXT:,} characters.".replace(",", " "),
            "A network is written in far fewer.",
        )
    bare = " " + text[1:] if text.startswith("\ufeff") else text
    unseen = _UNSEEN.search(bare)
    if unseen:
        raise Source(text, bare).refusal(
            unseen.start(),
            f"There is a sign here that cannot be seen, U+{ord(unseen[0]):04X}.",
            "Delete it and type the line again.",
        )
    plain = _unix_lines(bare).translate(_PLAIN)
    plain = re.sub(r"#[^\n]*", lambda remark: " " * len(remark[0]), plain)
    plain = _PERMITTIVITY.sub(lambda sign: "k".ljust(len(sign[0])), plain)
    by_clauses = _ASKED_APART.sub(";", _one_clause_a_line(Source(text, plain)))
    return Source(text, plain.replace("\n", " ") if one_sentence else by_clauses)


def _unix_lines(text: str) -> str:
    return text.replace("\r\n", " \n").replace("\r", "\n")


def _one_clause_a_line(source: Source) -> str:
    """Turn each new line into ";", or into a space where the clause goes on."""
    open_at_end = _pair_brackets(source)
    lines = source.plain.split("\n")
    goes_on = _lines_that_go_on(lines)
    pieces = [
        line + (" " if is_open or joined else ";")
        for line, is_open, joined in zip(lines, open_at_end, goes_on, strict=True)
    ]
    return "".join(pieces)[:-1]


def _pair_brackets(source: Source) -> list[bool]:
    """Whether a bracket is open at the end of each line."""
    opened: list[int] = []
    open_at_end: list[bool] = []
    for match in _BRACKETS.finditer(source.plain):
        sign, offset = match[0], match.start()
        if sign == "\n":
            open_at_end.append(bool(opened))
        elif sign == "(":
            opened.append(offset)
            _refuse_too_deep(source, opened)
        elif sign == ")" and opened:
            opened.pop()
        elif sign == ")":
            raise source.refusal(
                offset, "This bracket closes nothing.", "Take it out, or open one before it."
            )
        elif sign == ";":
            _refuse_open(source, opened)
        else:
            raise source.refusal(offset, f"{sign} is not used here.", "Write round brackets ( ).")
    _refuse_open(source, opened)
    return [*open_at_end, False]


def _refuse_too_deep(source: Source, opened: list[int]) -> None:
    if len(opened) > DEEPEST_NEST:
        raise source.refusal(
            opened[-1],
            f"The brackets are more than {DEEPEST_NEST:,} deep here.".replace(",", " "),
            "Write the network with fewer brackets inside brackets.",
        )


def _refuse_open(source: Source, opened: list[int]) -> None:
    if opened:
        raise source.refusal(
            opened[-1],
            "This bracket is not closed before the end of its clause.",
            "Write ) where the part in brackets ends.",
        )


def _lines_that_go_on(lines: list[str]) -> list[bool]:
    """Whether the clause of each line goes on after it, by a joining sign on either side."""
    goes_on = [False] * len(lines)
    following = ""
    for index in range(len(lines) - 1, -1, -1):
        line = lines[index].strip()
        if not line:
            goes_on[index] = bool(following and _JOINED_AFTER.match(following))
            continue
        before = line.endswith(_JOINED_BEFORE) or _WORD_BEFORE.search(line[-12:])
        goes_on[index] = bool(following and (before or _JOINED_AFTER.match(following)))
        following = line
    return _carry_over_blank_lines(lines, goes_on)


def _carry_over_blank_lines(lines: list[str], goes_on: list[bool]) -> list[bool]:
    """A clause that goes on also goes on over the blank lines after it."""
    carried = False
    for index, line in enumerate(lines):
        carried = goes_on[index] or (carried and not line.strip())
        goes_on[index] = carried
    return goes_on


def _cut(sentence: str) -> str:
    """The sentence with no word longer than 40 characters, and itself not much over 200."""
    sentence = re.sub(r"\S{41,}", lambda word: word[0][:37] + "...", sentence)
    return sentence if len(sentence) <= 240 else f"{sentence[:120]} ... {sentence[-110:]}"
