"""Mathematics among words: what of a piece of working can be read, and the words around it.

A piece is taken apart at its equals signs and its commas. In each part the longest run of numbers,
names and signs is a side; what cannot be read is left out, and the piece is then not ``whole``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from typing import Final, Literal, NamedTuple, TypeAlias

from grammar.expressions import Expression, Name, Num, Op, parts_of
from grammar.quantity import unit
from grammar.records import Refusal
from grammar.words import Spelling, split

MOST_TRIMMED: Final = 6
MOST_COUNTED: Final = 6
TokenKind: TypeAlias = Literal["value", "unit", "sign", "open", "close", "comma", "equals", "word"]
Read: TypeAlias = Callable[[str], Expression | None]

_TOKEN = re.compile(
    r"(?P<equals>={1,2}>?|:=|~>|-{1,2}>|[≈≃≅⇒→∴⟹]"
    r"|\b(?:is|are|equals?|gives?|makes?|becomes?|(?:be )?equal to)\b)"
    r"|(?P<value>(?:\d+(?:[.,]\d+)*|[.,]\d+)(?:[eE][-−–+]?\d+)?|[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])"
    r"|(?P<comma>[,;&]|\band\b|\(\d\)\s*:)"  # in (1): 64 = 48 Q
    r"|(?P<sign>x(?![A-Za-z_])|\b(?:plus|minus|times|over|divided by|squared|cubed)\b"
    r"|[-+−–*×·⋅∙/÷∕^²³⁻⁰¹⁴⁵⁶⁷⁸⁹√]|\*\*)"
    r"|(?P<open>[(\[])|(?P<close>[)\]])"
    r"|(?P<word>[^\W\d_](?:[A-Za-z0-9_]|[₀-₉])*['’′]*)",
    re.IGNORECASE,
)
_STATING = re.compile(
    r"\s*(?:about|then|now|also|still|only|just|the\s+same|:)?\s*[-+]?[(\d.½⅓⅔¼¾CQVUEW]"
)
_KIND_SAID = re.compile(
    r"\s*(?:in\s+|the\s+)?(?:p\.?d|volt|charge|energ|capacitance|parallel|series|pair|block|total"
    r"|overall|equivalent|whole|combined)[\w.']*(?:\s+[a-z]+){0,2}\s*:",
    re.IGNORECASE,
)
# What a value is combined with is told behind it: C = 6 in series with (8 + C) is none of 6.
_COMBINED_WITH = re.compile(
    r"\s*[pnuµμm]?F?\s*(?:(?:in\s+(?:line|a\s+(?:row|chain))|together|along)\s+(?:with|to)|beside"
    r"|(?:in\s+)?(?:series|parallel)(?:\s+(?:with|to))?|alongside|\|\||∥)\s*(?:the\s+|a\s+)?[(\d]"
)
_OWNER_BEFORE = re.compile(r"\s*(?:for|on|across|over|in|at)\s+(?:the\s+)?")
_RUN_TOGETHER = re.compile(r"[cq]v{1,2}")
_ENGLISH: Final = ("up", "us", "vs", "ve", "we", "ca", "eg", "es")  # and no quantity of a point


class Token(NamedTuple):
    """A word, number or sign of a piece, with its place."""

    kind: TokenKind
    text: str
    start: int
    end: int


class Spans(NamedTuple):
    """One statement found among words: the sides said to be equal, ``before`` and ``after`` what
    is said around them. ``whole`` says that no side was left out, ``gap`` that one in the middle
    was, so that the last need not be of the first.
    """

    sides: tuple[Expression, ...]
    before: str
    after: str
    whole: bool
    gap: bool = False


class _Part(NamedTuple):
    """What stands between two commas: its tokens, and the run that was taken for a side."""

    tokens: tuple[Token, ...]
    side: Expression | None
    first: int
    last: int

    @property
    def opens(self) -> bool:
        """Whether nothing stands before the side."""
        return self.side is not None and self.first == 0

    @property
    def closes(self) -> bool:
        """Whether nothing stands after the side."""
        return self.side is not None and self.last == len(self.tokens)


def spans_in(piece: str, known: Spelling, read: Read, counts: bool = False) -> list[Spans]:
    """The statements of a piece that words stand in. ``read`` reads one side, None where it
    cannot; with ``counts`` a number alone with a word after it states something: 15 caps.
    """
    found: list[Spans] = []
    for tokens in _chains(_tokens(piece, known)):
        segments = _parted(tokens, "equals")
        if len(segments) == 1:
            found += _alone(piece, segments[0], read, counts)
        else:
            found += _chained(piece, segments, read, counts)
    return found


def _chains(tokens: Sequence[Token]) -> list[list[Token]]:
    """Parted at the last comma between two equals signs: V1 = 4 V, V2 = 8 V."""
    parts: list[list[Token]] = [[]]
    for segment in _parted(tokens, "equals"):
        commas = [at for at, each in enumerate(segment) if each.kind == "comma"]
        is_first = not parts[-1] and len(parts) == 1
        is_last = not segment or segment[-1] is tokens[-1]
        if is_first or is_last or not commas:
            parts[-1] += segment
        else:
            parts[-1] += segment[: commas[-1]]
            parts.append(segment[commas[-1] + 1 :])
        if not is_last:
            parts[-1].append(tokens[tokens.index(segment[-1]) + 1])
    return parts


def _tokens(piece: str, known: Spelling) -> list[Token]:
    found: list[Token] = []
    for match in _TOKEN.finditer(piece):
        kind = str(match.lastgroup)
        text = match[0]
        if kind == "word":
            kind = _kind_of_word(text, known, found)
        elif kind == "sign" and text.lower() == "over" and not _is_operand(found):
            kind = "word"
        elif kind == "equals" and text[0].isalpha() and not _STATING.match(piece, match.end()):
            kind = "word"  # "the bridge is balanced"
        found.append(Token(kind, text, match.start(), match.end()))  # type: ignore[arg-type]
    return found


def _is_operand(before: Sequence[Token]) -> bool:
    return bool(before) and before[-1].kind in ("value", "unit", "close")


def _kind_of_word(text: str, known: Spelling, before: Sequence[Token]) -> str:
    follows = bool(before) and (before[-1].kind in ("value", "close") or before[-1].text in "/÷")
    if follows and len(text) <= 12:
        try:
            unit(text)
        except Refusal:
            pass
        else:
            return "unit"
    names = () if text in _ENGLISH else split(text, known)
    if not names:
        return "word"
    if text.islower() and len(text) > 1 and len(names) > 1 and not _RUN_TOGETHER.fullmatch(text):
        return "word"  # "we" is no product of an energy and a work
    if len(names) > 1 and text[0].isupper() and text[1:].islower() and text.isalpha():
        return "word"
    return "value"


def _parted(tokens: Iterable[Token], kind: TokenKind) -> list[list[Token]]:
    """Parted at the tokens of a kind that stand in no bracket."""
    parts: list[list[Token]] = [[]]
    depth = 0
    for token in tokens:
        depth += (token.kind == "open") - (token.kind == "close")
        if token.kind == kind and depth <= 0:
            parts.append([])
        else:
            parts[-1].append(token)
    return parts


def _chained(piece: str, segments: list[list[Token]], read: Read, counts: bool) -> list[Spans]:
    """A chain of equals signs; with as many values between commas in each, a chain for each."""
    heads = [_part(piece, each, read, at_end=True) for each in _parted(segments[0], "comma")]
    before = piece[: segments[0][0].start] if segments[0] else ""
    lead: list[_Part] = []
    for part in reversed(heads):
        if not part.closes:
            break
        lead.insert(0, part)
        if not part.opens:
            break
    whole, gap = True, False
    before = _text_before(piece, segments[0], lead)
    if not lead:
        names = [p for p in heads if isinstance(p.side, Name)]
        lead, before = (names[-1:], before) if len(names) == 1 else ([], before)
    bound = {token.kind for token in segments[0]}
    if not lead and "value" in bound and bound & {"sign", "open"}:
        return []  # what the rest is said to equal cannot be read
    columns: list[list[_Part]] = [lead] if lead else []
    after = ""
    rest: list[_Part] = []
    for at, segment in enumerate(segments[1:], 1):
        parts = [_part(piece, each, read, at_end=False) for each in _parted(segment, "comma")]
        row: list[_Part] = []
        for part in parts:
            if not part.opens:
                break
            row.append(part)
            if not part.closes:
                break
        is_last = at == len(segments) - 1
        is_part = bool(row) and _COMBINED_WITH.match(piece, _end_of(row[-1]))
        if not row or is_part or (not is_last and not row[-1].closes):
            whole = whole and not segment
            gap = gap or (bool(segment) and not is_last)
            after = piece[segment[0].start : segment[-1].end] if segment and is_last else after
            continue
        columns.append(row)
        if is_last:
            after = piece[_end_of(row[-1]) : segment[-1].end]
            rest = parts[len(row) :]
    more = [
        each for part in rest if part.tokens for each in _alone(piece, part.tokens, read, counts)
    ]
    rows = [each._replace(gap=gap) for each in _rows(columns, before, after, whole)]
    return [*rows, *more]


def _rows(columns: list[list[_Part]], before: str, after: str, whole: bool) -> list[Spans]:
    if not columns:
        return []
    columns = [_with_last_unit(column) for column in columns]
    most = max(len(column) for column in columns)
    if most == 1 or {len(c) for c in columns} == {most}:
        return [
            Spans(tuple(s for c in columns if (s := c[at].side) is not None), before, after, whole)
            for at in range(most)
        ]
    last = columns[-1]
    if len(last) == most and len(columns[0]) == 1:  # volts = 18 and 9
        head = columns[0][0].side
        ahead = (head,) if isinstance(head, Name) else ()
        return [Spans((*ahead, part.side), before, after, False) for part in last if part.side]
    sides = tuple(s for column in columns for part in column[-1:] if (s := part.side) is not None)
    return [Spans(sides, before, after, False)]


def _with_last_unit(column: list[_Part]) -> list[_Part]:
    """12, 8, 4 V: the unit of the last counts for all."""
    last = column[-1].side
    if not isinstance(last, Num) or last.unit is None:
        return column
    bare = [isinstance(p.side, Num) and p.side.unit is None for p in column[:-1]]
    if not all(bare):
        return column
    return [
        p._replace(side=p.side._replace(unit=last.unit)) if isinstance(p.side, Num) else p
        for p in column
    ]


def _alone(piece: str, segment: Sequence[Token], read: Read, counts: bool) -> list[Spans]:
    """Values without an equals sign: "charge 162 uC each", "48 uC and 132 uC", "C1 200 uC"."""
    found: list[Spans] = []
    of_kind = ""
    for tokens in _parted(segment, "comma"):
        sides: list[Expression] = []
        counted = (
            counts
            and len(tokens) <= MOST_COUNTED
            and (sum(token.kind == "value" for token in tokens) == 1)
        )
        start, end = (tokens[0].start, tokens[-1].end) if tokens else (0, 0)
        said = _KIND_SAID.match(piece[start:end])
        of_kind = said[0] if said else of_kind
        rest = tokens
        first, last = -1, start
        while rest:
            part = _part(piece, rest, read, at_end=False)
            if part.side is None:
                break
            is_number = isinstance(part.side, Num) and (counted or bool(of_kind))
            if sides and _OWNER_BEFORE.fullmatch(piece, last, part.tokens[part.first].start):
                rest = list(rest[part.last :])
                continue  # 6 V for the 4 uF
            if isinstance(part.side, Name) or is_number or says_a_value(part.side):
                if not isinstance(part.side, Name) and first < 0:
                    first = part.tokens[part.first].start
                sides.append(part.side)
                last = part.tokens[part.last - 1].end
            rest = list(rest[part.last :])
        names = [side for side in sides if isinstance(side, Name)][:1]
        values = [side for side in sides if not isinstance(side, Name)]
        before, after = piece[start : max(first, start)], piece[last:end]
        before = before if said or not of_kind else f"{of_kind}{before}"
        if len(values) == 1:
            found.append(Spans((*names, *values), before, after, False))
        elif not names:
            found += [Spans((value,), before, after, False) for value in values]
    return found


def says_a_value(side: Expression) -> bool:
    """Whether a side is more than a number or a name by itself."""
    if isinstance(side, Num):
        return side.unit is not None
    return not isinstance(side, Name) and any(isinstance(p, (Num, Op)) for p in parts_of(side))


def _part(piece: str, tokens: Sequence[Token], read: Read, at_end: bool) -> _Part:
    """The run at the end of these tokens, or the first of them, as a side."""
    runs = _runs(tokens)
    if not runs:
        return _Part(tuple(tokens), None, 0, 0)
    start, end = runs[-1] if at_end else runs[0]
    for trimmed in range(min(MOST_TRIMMED, end - start)):
        one, other = (start + trimmed, end) if at_end else (start, end - trimmed)
        if not any(token.kind == "value" for token in tokens[one:other]):
            break
        edge = tokens[one - 1 : one + 1] if at_end else tokens[other - 1 : other + 1]
        if trimmed and any(token.kind in ("sign", "open", "close") for token in edge):
            continue  # what is bound to the rest cannot be left out
        if trimmed and all(each.kind == "value" and each.text[0].isalpha() for each in edge):
            continue  # nor a part of a product of names
        side = read(piece[tokens[one].start : tokens[other - 1].end])
        if side is not None:
            return _Part(tuple(tokens), side, one, other)
    return _Part(tuple(tokens), None, 0, 0)


def _runs(tokens: Sequence[Token]) -> list[tuple[int, int]]:
    """Where tokens that are no words stand together, with a number or a name among them."""
    found: list[tuple[int, int]] = []
    start: int | None = None
    for at, kind in enumerate([*(t.kind for t in tokens), "word"]):
        if kind != "word" and start is None:
            start = at
        elif kind == "word" and start is not None:
            if any(token.kind == "value" for token in tokens[start:at]):
                found.append((start, at))
            start = None
    return found


def _text_before(piece: str, segment: Sequence[Token], lead: Sequence[_Part]) -> str:
    if not segment:
        return ""
    end = lead[0].tokens[lead[0].first].start if lead else segment[-1].end
    return piece[segment[0].start : end]


def _end_of(part: _Part) -> int:
    return part.tokens[part.last - 1].end
