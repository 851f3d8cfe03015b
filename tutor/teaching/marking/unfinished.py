"""What a piece of working begins and does not finish: a sum that breaks off, a value still to come.

What breaks off says nothing of a value, so only the sides before it are read. A bracket that is
left open is closed where a sum of numbers stands in it: it is clear where it was to end.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Final

UNFINISHED: Final = "This breaks off: write what comes after its last sign, and what it comes to."
NO_VALUE: Final = "No value stands here yet."

_EQUALS = re.compile(r"=(?!>)")
_SIGN_LAST = re.compile(
    r"(?:[-−–+*/×·⋅÷∕√^(\[]|\b(?:plus|minus|times|over|divided\s+by))\s*$", re.IGNORECASE
)
_TIMES_LAST = re.compile(r"[\d)\]A-Z]\s+x\s*$|[)\]]x\s*$")  # 3x is three times x
_NOTHING_YET = re.compile(r"\s*(?:(?:\?+|_+|…|\.{2,})\s*(?:[pnuµμmk]?[FCVJ])?)?\s*$")
_DASH_LAST = re.compile(r"\s+[-−–]+\s*$")
_WORKED_ON = re.compile(r"[\d\s.,+*/×x·÷−–-]*\d\s*[+*/×x·÷−–-]\s*[\d.][\d\s.,+*/×x·÷−–-]*")


def as_far_as_finished(piece: str, letters: Collection[str]) -> tuple[str, str]:
    """A piece without a last side that breaks off or has no value yet, and what to say of that,
    nothing for a whole one. ``letters`` are those of the pupil's own, an x among them or not.
    """
    *before, last = _EQUALS.split(piece)
    breaks_off = _SIGN_LAST.search(last) or ("x" not in letters and _TIMES_LAST.search(last))
    if breaks_off or _is_open(last):
        return "".join(f"{side}=" for side in before), UNFINISHED
    if before and _NOTHING_YET.fullmatch(last):
        return "".join(f"{side}=" for side in before), NO_VALUE
    return piece, ""


def with_brackets_closed(piece: str) -> str:
    """A piece with the brackets closed that are open at an equals sign or at its end and in which
    numbers are worked on.
    """
    return "=".join(_closed(side) for side in piece.split("="))


def without_last_dash(piece: str) -> str:
    """A piece without a dash at its end, which may be no minus sign."""
    return _DASH_LAST.sub("", piece)


def _closed(side: str) -> str:
    inner = side[side.rfind("(") + 1 :]
    is_sum = _is_open(side) and _WORKED_ON.fullmatch(inner)
    return f"{side.rstrip()}) " if is_sum else side


def _is_open(side: str) -> bool:
    """Whether its last bracket is still open, with nothing but numbers and signs in it."""
    opened = side.rfind("(")
    return opened > side.rfind(")") and not re.search(r"[A-Za-z]{2}", side[opened:])
