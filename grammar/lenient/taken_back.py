"""What a writer takes back: ``4 uF, no wait, 6 uF``, ``in series, sorry, in parallel``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.tokens import Chunk

_MARK: Final = "TAKENBACK"
_BREAKS: Final = ("STOP", "QUERY", "COMMA", "COLON", _MARK)
_PASSED_OVER: Final = frozenset(
    words("WORD A THE IS THEM THIS WHICH IN OF COMMA STOP CAP JOIN EQ COLON DET PUNCTUAL AT")
)
# What may stand in the place of what: one joint of another, one number of another.
_KINDS: Mapping[str, str] = {
    "SER": "joint", "PAR": "joint", "SERSIGN": "joint", "PARSIGN": "joint",
    "NUM": "number", "WNUM": "number", "COUNT": "number",
}  # fmt: skip
_VALUES: Final = ("CAPV", "VOLT", "CHG", "ENE", "LEN", "AREA", "PERMV")
_NEAR: Final = 4  # pieces between a number without a unit and the words that take it back


def put_right(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces as they stand once everything has been taken back that is."""
    found = list(pieces)
    while (at := next((i for i, e in enumerate(found) if e.tag == _MARK), None)) is not None:
        before, after = _without_breaks(found[:at]), found[at + 1 :]
        while after and after[0].tag in ("COMMA", "STOP"):
            after = after[1:]
        found = _renamed(before, after) or _replaced(before, after) or _told_anew(before, after)
    return found


def _without_breaks(before: list[Chunk]) -> list[Chunk]:
    while before and before[-1].tag in ("COMMA", "STOP"):
        before = before[:-1]
    return before


def _renamed(before: list[Chunk], after: list[Chunk]) -> list[Chunk] | None:
    """``C4 = 3 uF, sorry, C4 = 6 uF``: what was said of that name before goes."""
    told = [each for each in after[:4] if each.tag not in _PASSED_OVER]
    if [each.tag for each in told[:2]] != ["NAME", "CAPV"]:
        return None
    name = next(
        (
            i
            for i, each in enumerate(before)
            if each.tag == "NAME" and each.datum == told[0].datum and _worth_after(before, i)
        ),
        None,
    )
    if name is None:
        return None
    end = next(i for i in range(name, len(before)) if before[i].tag == "CAPV") + 1
    comma = told[0]._replace(tag="COMMA", text=",", datum=None)
    return [*before[:name], *before[end:], *([comma] if before[end:] or name else []), *after]


def _worth_after(before: Sequence[Chunk], at: int) -> bool:
    rest = [each.tag for each in before[at + 1 : at + 4] if each.tag not in _PASSED_OVER]
    return rest[:1] == ["CAPV"]


def _replaced(before: list[Chunk], after: list[Chunk]) -> list[Chunk] | None:
    """One thing said anew stands in the place of the last of its kind."""
    end = next((i for i, each in enumerate(after) if each.tag in _BREAKS), len(after))
    told = [each for each in after[:end] if each.tag not in _PASSED_OVER]
    alike = [each for each in told if each.tag == told[0].tag]
    if len(alike) != 1 or told[0].tag not in {*_VALUES, *_KINDS}:
        return None
    if told[0].tag in _KINDS and any(each.tag == "CAPV" for each in told):
        return None
    last = _last_like(before, told[0])
    if last is None:
        return None
    rest = after[next(i for i, each in enumerate(after) if each is told[0]) + 1 :]
    return [*before[:last], told[0], *before[last + 1 :], *rest]


def _last_like(before: Sequence[Chunk], piece: Chunk) -> int | None:
    kind = _KINDS.get(piece.tag, piece.tag)
    alike = [i for i, each in enumerate(before) if _KINDS.get(each.tag, each.tag) == kind]
    near = [i for i in range(max(len(before) - _NEAR, 0), len(before)) if before[i].tag == "NUM"]
    return next(reversed(alike or near), None)


def _told_anew(before: list[Chunk], after: list[Chunk]) -> list[Chunk]:
    """A sentence begun anew: what stood in it before goes, and how many there are is seen."""
    if sum(each.tag == "CAPV" for each in after) < 2:
        return [*before, *after]
    stops = [i + 1 for i, each in enumerate(before) if each.tag in ("STOP", "QUERY")]
    start = max(stops, default=0)
    value = next(i for i, each in enumerate(after) if each.tag in ("CAPV", "NAME"))
    counted = [each.tag for each in after[:value] if each.tag not in ("WORD", "COMMA")]
    if counted[-2:] == ["OF", "THEM"]:
        after = after[value:]
    return [*before[:start], *after]
