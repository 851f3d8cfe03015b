"""Capacitors that are sought, told by what they come to together, in the strict notation."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.tokens import Chunk
from grammar.spoken_numbers import in_figures

_WAYS: Final[Mapping[str, str]] = MappingProxyType(
    {"SER": "--", "SERSIGN": "--", "PAR": "||", "PARSIGN": "||"}
)
_PASSED_OVER: Final = frozenset(words("A THE CEQ CAPN OF ABOUT IN TOGETHER IF JOIN THEM"))
_CLAIMING: Final = frozenset(words("JOIN APPLY IS EQ TO SER PAR"))
_THE_SOUGHT: Final = frozenset(words("THEM EACH BOTH UNKNOWN NAME WNUM OTHER"))
_MOST: Final = 12


def sought_in(pieces: Sequence[Chunk]) -> str | None:
    """The text in the strict notation; None for any other text."""
    pieces = sorted(pieces, key=lambda each: each.start)
    values = [at for at, each in enumerate(pieces) if each.tag == "CAPV" and _has_unit(each)]
    ways = [each for each in pieces if each.tag in _WAYS]
    if not ways or not 1 <= len(values) <= 2:
        return None
    if any(each.tag in ("VOLT", "CHG", "RATED", "CELL") for each in pieces):
        return None
    if any(each.tag == "EQUAL" for each in pieces):
        return _equal_ones(pieces, values, ways)
    names = _two(pieces)
    if names is None or not _asks_for_them(pieces):
        return None
    facts = dict(_facts(pieces, names, values, ways))
    if len(facts) != 2:
        return None
    return "; ".join([*(f"{name} = ?" for name in names), *facts.values()])


def _has_unit(piece: Chunk) -> bool:
    return any(letter.isalpha() for letter in piece.text)


def _equal_ones(
    pieces: Sequence[Chunk], values: Sequence[int], ways: Sequence[Chunk]
) -> str | None:
    numbers = [_number(each) for each in pieces if each.tag == "WNUM"]
    if len(values) != 1 or not numbers or not 2 <= numbers[0] <= _MOST:
        return None
    (at,) = values
    if not _is_of_all(pieces, at):
        return None
    way = min(ways, key=lambda each: _apart(pieces, pieces[at], each))
    names = [f"C{n}" for n in range(1, numbers[0] + 1)]
    joined = f" {_WAYS[way.tag]} ".join(names)
    sought = "; ".join(f"{name} = ?" for name in names)
    return f"{sought}; {' = '.join(names)}; {joined} = {pieces[at].datum}"


def _apart(pieces: Sequence[Chunk], one: Chunk, other: Chunk) -> tuple[int, int]:
    """How far two pieces stand apart: sentences first, then pieces."""
    start, end = sorted((one.start, other.start))
    between = [each for each in pieces if start < each.start < end]
    return sum(each.tag in ("STOP", "QUERY") for each in between), len(between)


def _number(piece: Chunk) -> int:
    figures = in_figures(piece.text)
    return int(figures) if figures.isdigit() else 0


def _two(pieces: Sequence[Chunk]) -> tuple[str, str] | None:
    """The names of the two that are spoken of, where it is two."""
    names = list(dict.fromkeys(str(each.datum) for each in pieces if each.tag == "NAME"))
    if len(names) == 2:
        return names[0], names[1]
    said = any(each.tag == "WNUM" and _number(each) == 2 for each in pieces)
    one_and_other = any(each.tag == "ONE" for each in pieces) and any(
        each.tag == "OTHER" for each in pieces
    )
    return ("C1", "C2") if not names and (said or one_and_other) else None


def _asks_for_them(pieces: Sequence[Chunk]) -> bool:
    wishes = [at for at, each in enumerate(pieces) if each.tag in ("WISHV", "QUERY")]
    told = {each.tag for each in pieces}
    by_names = not wishes and {"NAME", "EQ"} <= told
    return by_names or any({each.tag for each in pieces[at:]} & _THE_SOUGHT for at in wishes)


def _facts(
    pieces: Sequence[Chunk], names: tuple[str, str], values: Sequence[int], ways: Sequence[Chunk]
) -> Iterator[tuple[str, str]]:
    """What is known of both, by its kind."""
    one, other = names
    if (times := _ratio(pieces, names)) is not None:
        yield "/", times
    totals = []
    for at in values:
        if _is_difference(pieces, at):
            yield "-", f"{one} - {other} = {pieces[at].datum}"
        elif _is_of_all(pieces, at):
            totals.append(at)
    for at, way in zip(totals, ways, strict=False):
        sign = _WAYS[way.tag]
        yield sign, f"{one} {sign} {other} = {pieces[at].datum}"


def _is_of_all(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether a value is what several come to: claimed by a verb, called a total, or beside the
    way in which they are joined; that of each is none.
    """
    if pieces[at + 1 : at + 2] and pieces[at + 1].tag in ("EACH", "CAP"):
        return False
    passed: set[str] = set()
    for each in reversed(pieces[:at]):
        if each.tag not in _PASSED_OVER:
            before = each.tag
            break
        passed.add(each.tag)
    else:
        before = ""
    if before == "EACH":
        return False
    if "CEQ" in passed or "JOIN" in passed or before in _CLAIMING:
        return True
    after = [each.tag for each in pieces[at + 1 : at + 4] if each.tag not in _PASSED_OVER]
    return before in ("AND", "COMMA") and (not after or after[0] in (*_WAYS, "STOP"))


def _is_difference(pieces: Sequence[Chunk], at: int) -> bool:
    """``differ by 3 uF``, ``the difference of the two is 3 uF``, ``3 uF more than the other``."""
    before = [each for each in pieces[max(0, at - 7) : at] if each.tag != "THE"]
    if before and before[-1].tag == "OF" and before[-1].text.lower() == "by":
        return True
    spoken = [each for each in before if each.tag == "PD" and each.text.lower() == "difference"]
    after = [each.tag for each in pieces[at + 1 : at + 4] if each.tag != "THE"]
    return (
        bool(spoken)
        or after[:1] == ["OTHER"]
        or (after[:1] == ["NAME"] and before[-1:] != [] and before[-1].tag in ("IS", "EQ"))
    )


def _ratio(pieces: Sequence[Chunk], names: tuple[str, str]) -> str | None:
    """``C1 = 3 C2``, ``one is twice the other``, ``in the ratio 3 : 1``."""
    one, other = names
    for at, each in enumerate(pieces):
        named = [p.datum for p in pieces[:at] if p.tag == "NAME"]
        if each.tag == "DOUBLE":
            return f"{one} / {other} = 2"
        if each.tag == "FACTOR" and (found := re.match(r"[\d.]+", in_figures(each.text))):
            first = named[-1] if named else one
            return f"{first} / {other if first == one else one} = {found[0]}"
        if each.tag == "COLON" and 0 < at < len(pieces) - 1:
            sides = [re.fullmatch(r"[\d.]+", pieces[n].text) for n in (at - 1, at + 1)]
            if all(sides):
                above, below = (float(side[0]) for side in sides if side)
                if above < below:
                    return f"{other} / {one} = {below / above:.10g}"
                return f"{one} / {other} = {above / below:.10g}"
        if each.tag == "CAPV" and not _has_unit(each) and pieces[at - 1].tag in ("EQ", "IS"):
            rest = [p for p in pieces[at + 1 : at + 3] if p.tag != "TIMES"]
            if rest and rest[0].tag == "NAME" and named and named[-1] != rest[0].datum:
                return f"{named[-1]} / {rest[0].datum} = {each.text}"
    return None
