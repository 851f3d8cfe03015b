"""Values that are tried: a trial claims that its sums are right, and not that its values fit."""

from __future__ import annotations

import re
from typing import Final

TRIED: Final = "A trial: these values do not fit yet, and no mark is for that."
_NUMBER = r"\d[\d.]*(?:\s*[pnuµμm]?F)?"
_PAIR = rf"{_NUMBER}\s*(?:and|&|,|\+|/|with)\s*{_NUMBER}"
_ONE = rf"[A-Za-z]\w{{0,2}}\s*=\s*{_NUMBER}"
_TRYING = (
    r"(?:let['’]?s\s+|i\s+|now\s+|first\s+|then\s+|so\s+|by\s+)?"
    r"(?:tr(?:y(?:ing)?|ied|ials?)|guess(?:es|ing|ed)?|test(?:ing|ed|s)?|attempts?|suppose)\b[^\d=]*?"
)
_BEGUN: Final = re.compile(rf"(?i)^\W*{_TRYING}(?:{_PAIR}|{_ONE})")
_THROWN_OUT: Final = re.compile(
    rf"(?i)^\W*(?:{_TRYING}{_ONE}|(?:{_TRYING})?(?:{_PAIR}|(?-i:[a-z])\s*=\s*{_NUMBER}))(?![\w.]).*"
    r"(?:\bno(?:pe|t\s+(?:it|right|that|equal|\d[\d.]*))?|\btoo\s+\w+|\bfails?|\bwrong"
    r"|\bdoes\s*n['’]?o?t\s+(?:fit|work)|[\u2717\u2718])\W*$"
)
_VALUES: Final = re.compile(rf"^[^\d=]*?(?P<said>{_PAIR}|{_ONE})(?![\d.])")
_FITS: Final = re.compile(
    r"(?i)(?:\b(?:yes|ok|fits?|works?|right|correct|got\s+it)\b|[!\u2713\u2714]|\bthat['’]?s\s+it)\W*$"
)


def is_begun(line: str) -> bool:
    """Whether a line tries values."""
    return _BEGUN.match(line) is not None


def is_thrown_out(piece: str) -> bool:
    """Whether values in a piece are tried and do not fit: 9 and 9: 81/18 = 4.5 no."""
    return _THROWN_OUT.match(piece) is not None


def values_tried(piece: str) -> str:
    """The values that a piece of a trial begins with: 12 and 6 of 12 + 6: 72/18 = 4 yes."""
    found = _VALUES.match(piece)
    return re.sub(r"\s*(?:&|,|\+|/|\bwith\b)\s*", " and ", found["said"]) if found else ""


def are_said_to_fit(piece: str) -> bool:
    """Whether a piece of a trial ends in a word that its values are those that are sought."""
    return _FITS.search(piece) is not None
