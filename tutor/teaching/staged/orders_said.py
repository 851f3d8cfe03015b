"""An order of some names, the most first, as a line tells it: in signs or in words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple, TypeAlias

from tutor.teaching.reading.because_words import BECAUSE_OR_AS

Levels: TypeAlias = tuple[tuple[str, ...], ...]

_MOST: Final = re.compile(
    r"\b(?:biggest|largest|greatest|highest|most|first|top|bigger|larger|greater|higher|more)\b"
)
_LEAST: Final = re.compile(
    r"\b(?:smallest|least|lowest|fewest|last|bottom|smaller|less|lower|fewer)\b"
)
_EQUAL: Final = re.compile(r"=|\b(?:same|equal\w*|both|tied?|level|joint\w*|as much)\b")
_OTHERS: Final = re.compile(r"\b(?:the )?(?:others?|rest|remaining)(?: (?:two|ones?|both))*\b")
_DENIED: Final = re.compile(r"\b(?:not|never|nor|neither|or|maybe)\b|n['’]t\b|\?")
_NEXT: Final = re.compile(
    r"[,;:]|\.(?!\d)|\b(?:and )?(?:then|next|followed by|after that|but|while|whereas)\b"
)
_GOES_UP: Final = re.compile(rf"{_LEAST.pattern}|\b(?:ascending|increasing|rising|upwards)\b")
_THAN: Final = re.compile(
    r"(>|\b(?:bigger|larger|greater|higher|more)\b(?:(?!\bc\d)[^=<>])*?\bthan\b)"
    r"|(<|\b(?:smaller|less|lower|fewer)\b(?:(?!\bc\d)[^=<>])*?\bthan\b)"
)


class _Place(NamedTuple):
    """Names that a line has on one level; ``at`` is 1 at the top, -1 at the bottom, else 0."""

    names: tuple[str, ...]
    at: int
    is_clear: bool


def levels_in(line: str, names: Sequence[str]) -> Levels | None:
    """The names, in small letters, in the order that a line tells, equal ones together by name;
    None for a line that leaves it open, denies something, or does not have each of them once.
    """
    said = " ".join(BECAUSE_OR_AS.split(line)[0].lower().split())
    lower = sorted(name.lower() for name in names)
    said = _by_figures(said, lower)
    unnamed = [name for name in lower if name not in _named_in(said, lower)]
    said = _OTHERS.sub(" = ".join(unnamed), said) if unnamed else said
    if any(_GOES_UP.search(part) for part in _NEXT.split(said) if not _named_in(part, lower)):
        return None
    parts = [_compared(part, lower) for part in _NEXT.split(said)]
    places = [place for part in parts if part for place in part]
    told = sorted(name for place in places for name in place.names)
    if _DENIED.search(said) or told != lower or not all(place.is_clear for place in places):
        return None
    return None if any(part is None for part in parts) else _in_order(places)


_FIGURES_ALONE: Final = re.compile(r"\W*\d(?:\s*(?:[<>=,]|\s)\s*\d)+\W*")


def _by_figures(said: str, names: Iterable[str]) -> str:
    """3 > 2 > 1 with the names that these figures end."""
    by_figure = {name[-1]: name for name in names}
    if _FIGURES_ALONE.fullmatch(said) is None:
        return said
    apart = re.sub(r"(?<=\d)\s+(?=\d)", ",", said)
    return re.sub(r"\d", lambda found: by_figure.get(found[0], found[0]), apart)


def _named_in(said: str, names: Iterable[str]) -> tuple[str, ...]:
    return tuple(name for name in names if re.search(rf"(?<!\w){re.escape(name)}(?!\w)", said))


def _compared(part: str, names: Sequence[str]) -> list[_Place] | None:
    """The places in a part of a line, those compared in it the most first; None where it compares
    both ways at once.
    """
    pieces = _THAN.split(part)
    ups, downs = any(pieces[1::3]), any(pieces[2::3])
    if ups and downs:
        return None
    places = [_place(piece, names) for piece in pieces[::3]]
    found = [place for place in places if place.names]
    return found[::-1] if downs else found


def _place(piece: str, names: Sequence[str]) -> _Place:
    own = _named_in(piece, names)
    at = 1 if _MOST.search(piece) else -1 if _LEAST.search(piece) else 0
    return _Place(own, at, len(own) < 2 or _EQUAL.search(piece) is not None)


def _in_order(places: Sequence[_Place]) -> Levels:
    """The places from the top to the bottom: who begins with the least goes upwards."""
    if places[0].at < 0 and all(place.at == 0 for place in places[1:]):
        return tuple(place.names for place in reversed(places))
    ordered = sorted(places, key=lambda place: -place.at)  # the rest stay in the order told
    return tuple(place.names for place in ordered)
