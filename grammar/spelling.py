"""Names as learners spell them: any case, an underscore, several run together."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

WHOLE = ("eq", "equiv", "total", "tot", "t")
_DRAWN_ALIKE: Mapping[int, Any] = str.maketrans({"’": "'", "′": "'", "_": None})
_LOWERED: Mapping[int, Any] = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_LONGEST = 60


class Spelling(NamedTuple):
    """The ways to write each name: as it stands, and without regard to case."""

    exact: Mapping[str, str]
    folded: Mapping[str, str]


def spelling(names: Collection[str]) -> Spelling:
    """Take in the names that mean something now.

    A single letter may also be written with "eq" or "total" after it: Ceq for C.
    """
    exact = {_plain(name): name for name in names}
    for name in names:
        for ending in WHOLE if len(name) == 1 else ():
            exact.setdefault(name + ending, name)
    folded: dict[str, str] = {}
    unclear: set[str] = set()
    for written, name in exact.items():
        if folded.setdefault(written.casefold(), name) != name:
            unclear.add(written.casefold())
    clear = {written: name for written, name in folded.items() if written not in unclear}
    return Spelling(MappingProxyType(exact), MappingProxyType(clear))


def split(word: str, known: Spelling) -> tuple[str, ...]:
    """The names a word is made of, the longest first: CV is C and V. Empty if it is not.

    A small x between two names is a times sign: C1xC2.
    """
    text = _plain(word)
    if len(text) > _LONGEST:
        return ()
    found: dict[int, tuple[str, ...]] = {len(text): ()}
    for start in reversed(range(len(text))):
        for end in range(len(text), start, -1):
            name = _one(text[start:end], known)
            if name and end in found:
                found[start] = (name, *found[end])
                break
        if text[start] == "x" and start not in found and found.get(start + 1):
            found[start] = found[start + 1]
    return found.get(0, ())


def alone(word: str, known: Spelling) -> str | None:
    """The one name that a whole word stands for, or None."""
    return _one(_plain(word), known)


def _one(text: str, known: Spelling) -> str | None:
    return known.exact.get(text) or known.folded.get(text.casefold())


def _plain(word: str) -> str:
    return word.translate(_DRAWN_ALIKE).translate(_LOWERED)
