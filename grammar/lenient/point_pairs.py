"""Pairs of points: ``between A and P``, ``from 1 to 2``, ``AP``, ``K - L``."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.patterns import phrases, rewritten, text_of
from grammar.lenient.tokens import Chunk


def points_settled(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every pair of points a PLACE."""
    if any(each.tag == "POINTS" for each in pieces):
        pieces = [_as_points(each) for each in pieces]
    found = rewritten(pieces, _POINTS)
    pairs = rewritten(found, _NUMBERED[:1])
    if len(found) - len(pairs) > 2 or any(each.tag in ("POINT", "PLACE") for each in found):
        found = rewritten(found, _NUMBERED)
    return found


def _as_points(piece: Chunk) -> Chunk:
    """AC and CD among other pairs of points are such too."""
    if not (len(piece.text) == 2 and piece.text.isupper() and piece.text.isalpha()):
        return piece
    return piece._replace(tag="POINTS", datum=(piece.text[0], piece.text[1]))


def _corners(inside: Sequence[Chunk]) -> list[Chunk]:
    """``corners W, X, Y and Z``: points named in order."""
    named = tuple(str(each.datum or each.text) for each in inside if each.tag in _NAMING)
    return [Chunk("CORNERS", text_of(inside), inside[0].start, named)]


def _pair(inside: Sequence[Chunk]) -> list[Chunk] | None:
    letters = [each for each in inside if each.tag in _NAMING or each.text == "A"]
    points = tuple(str(each.datum or each.text) for each in letters)
    if len(points) != 2 or points[0] == points[1]:
        return None
    return [Chunk("PLACE", text_of(inside), inside[0].start, points)]


def _wired(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``P and B are joined by a wire``."""
    built = _pair(inside)
    if built is None or not inside[-1].text.lower().startswith("wire"):
        return None
    return [inside[0]._replace(tag="STOP"), *built, inside[-1]._replace(tag="WIRE")]


def _with_source(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``the supply of 10 V goes to A and B``."""
    tags = [each.tag for each in inside]
    fed = tags.index("VOLT" if "VOLT" in tags else "SOURCE") + 1
    built = _pair([each for each in inside[fed:] if each.tag in _NAMING])
    return None if built is None else [*inside[:fed], *built]


_NAMING: Final = ("LETTER", "NUM", "LC", "LV", "LQ", "LU", "LK")
_P = "(LETTER | LC | LV | LQ | LU)"
_N = f"(POINT | TERMINAL)? ({_P} | NUM)"
_LEAD = "(THE | BOTH | A)? (POINT | TERMINAL)*"
_TO = "(TO | SERSIGN | DASH)"
_SIDES = "(TOP | BOTTOM | MIDDLE | OFSIDE)"
_WHERE = f"(COMMA | AND | AT THE {_SIDES})"  # where it is drawn says nothing more
_FED = "(BETWEEN | FROM | ON | AT | IS | JOIN | TO | ACROSS)"
_POINTS: Final = phrases(
    (
        f"(BETWEEN | FROM)? (THE | NUM | WNUM | COUNT)* (POINT | TERMINAL) (COLON | IS)*"
        f" {_P} {_WHERE}* {_P}"
        f" ({_WHERE}* {_P})+ (AT THE {_SIDES})?", _corners),
    ("POINT (COLON | IS)* NUM (COMMA | AND)* NUM ((COMMA | AND)* NUM)+", ""),
    (f"BETWEEN {_LEAD} {_N} (AND | COMMA | TO | DASH | SERSIGN) (POINT | THE | A)* {_N}", _pair),
    (f"FROM {_LEAD} {_N} (TO | AND) (POINT | THE | A)* {_N}", _pair),
    (f"(POINT | TERMINAL)+ (IS | COLON)? {_N} (AND | COMMA) {_N}", _pair),
    ("POINTS", "1:PLACE"),
    (f"{_P} (AND | COMMA) {_P} IS (THE | A)* (TERMINAL | POINT)", _pair),
    (f"POINT ({_P} | NUM) {_TO} POINT ({_P} | NUM)", _pair),
    (f"{_P} {_TO} {_P} (?!\\b(?:IS|EQ) (?!CAPV|VOLT))", _pair),
    (f"(ACROSS | ON | AT) {_P} AND {_P}", _pair),
    (f"((?<=JOIN )|(?<=IS )){_P} (TO | AND | WITH) {_P}", _pair),
    (f"{_P} AND {_P} (JOIN | IS)+ (TO | ON | AT | ACROSS)? (?=(A )?VOLT )", _pair),
    (f"(A | {_P}) JOIN (TO | WITH) {_P} (BY | WITH) (?=(A )?CAPV )", _pair),
    (
        f"(POINT | AND | COMMA)* {_P} AND POINT? {_P} IS JOIN? TOGETHER? (BY | WITH) A?"
        " (WIRE | JOIN)", _wired),
    (f"SOURCE OF A? VOLT {_FED}+ {_P} AND {_P}", _with_source),
    (f"SOURCE {_FED}* {_P} (AND | TO | COMMA) {_P}", _with_source),
)  # fmt: skip
_NUMBERED: Final = phrases(
    (f"NUM {_TO} NUM (?=\\b(?:COLON|CAPV|EQ|IS|NAME|COMMA))", _pair),
    (f"{_P} {_P}", _pair),
    (f"SOURCE (OF? A? VOLT)? {_FED}* NUM (AND | TO) NUM", _with_source),
)  # fmt: skip
