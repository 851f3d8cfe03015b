"""The words that bring a reason: because, since, as the …; all who part a line there share them."""

from __future__ import annotations

import re
from typing import Final

# As a pattern, to be put within others. 'The cause of it' is a noun.
WORDS: Final = (
    r"\b(?:because|becuase|becos|becoz|since|cos|coz|cuz|bcs?|due\s+to|owing\s+to"
    r"|seeing\s+(?:that|as)|given\s+that|(?:for\s+)?the\s+(?:simple\s+)?reason\s+(?:is|being|that)"
    r"|reason(?=\s*[:=])"
    r"|(?<!the\s)(?<!a\s)(?<!no\s)cause(?!\s+of\b|\s*[.?!]|\s*$))\b"
)
# 'As' before a clause of its own, not as in 'as well', 'as big as', 'the same as' or 'as before'.
AS: Final = (
    r"(?<!\bsame\s)(?<!\bsuch\s)(?<!\bmuch\s)(?<!\bmany\s)(?<!\blong\s)(?<!\bbig\s)(?<!\bfar\s)"
    r"(?<!\blarge\s)(?<!\bsmall\s)(?<!\bhigh\s)\bas\s+(?!well\b|usual\b|if\b"
    r"|(?:it|they)\s+(?:was|were|is|are)(?=\s*(?:[,;.]|$|\bbefore))"
    r"|long\b|soon\b|far\b|before\b|expected\b|\w+\s+as\b)(?=[\w'’]+\s+\w)"
)
BECAUSE: Final = re.compile(rf"(?i){WORDS}")
BECAUSE_OR_AS: Final = re.compile(rf"(?i){WORDS}|{AS}")

# A value under its name, behind a reason: V1 = 6 as it is the smaller, V2 = 3.
_VALUE_BEHIND: Final = (
    r"(?:\s*[,;]\s*(?:(?:and|so|then)\s+)?|\s+(?:and|so|then)\s+)"
    r"(?=(?:[QVUE]_?\d+'*\s*=\s*)+[\d(])"
)
_REASON_BEFORE_IT: Final = re.compile(
    rf"(?i)(?<=\w)(?P<space>\s+)(?:{WORDS}|{AS})(?P<reason>(?:(?!{_VALUE_BEHIND}).)*?)(?={_VALUE_BEHIND})"
)
_NAMES_A_VALUE: Final = re.compile(r"(?i)(?<![\w.])[QVUE]_?\d+'*\s*=")


def without_values_behind(reason: str) -> str:
    """A reason without the values that follow it under their names, which are answers."""
    head = re.split(f"(?i){_VALUE_BEHIND}", reason, maxsplit=1)[0]
    return reason if _NAMES_A_VALUE.search(head) else head


def without_reason_between(line: str) -> str:
    """A line without a reason that stands between its values; one that has values of its own is
    left, since what follows may belong to it.
    """
    found = _REASON_BEFORE_IT.search(line)
    if found is None or _NAMES_A_VALUE.search(found["reason"]):
        return line
    return line[: found.start()] + line[found.end() :]
