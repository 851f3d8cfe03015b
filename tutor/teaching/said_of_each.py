"""One amount that is said of each of several: 3 V each, 9 uC on both of them.

Such a line says as much of the others as of the one that is asked, and is judged for all of them.
"""

from __future__ import annotations

import re
from typing import Final

from tutor.teaching.amounts import SAYS_MORE, AmountSaid, Sayable, amounts_said
from tutor.teaching.reading.because_words import BECAUSE_OR_AS

_ALL_OF_THEM = r"all\s+(?:of\s+)?(?:the\s+)?(?:them|two|three|four|five)"
EVERY: Final = re.compile(
    r"(?i)\b(?:each|both|apiece|every\s+(?:one|capacitor|single\s+one)|they\s+all"
    rf"|(?:on|across)\s+(?:{_ALL_OF_THEM}|all)|{_ALL_OF_THEM}"
    r"|all\s+(?:have|has|hold|get|take|carry))\b"
)
_CLAUSES: Final = re.compile(r"(?i)[,;:.](?!\d)|\b(?:and|so|then|which|but|while|whereas)\b")
# 12/3 = 4 V each, 4 V each (12/3)
_WORKING: Final = re.compile(
    r"(?<![\w=])\d(?:[^=,;:A-Z]|[VCFJ](?!_?\d))*=\s*(?=[-−]?\d)|\([^()]*\d[^()]*\)"
)


def said_of_each(sayable: Sayable, line: str) -> AmountSaid | None:
    """The one amount of a line, where its clause says it of each of those in hand; None where a
    line has other amounts too, or says it of somebody else.
    """
    if not EVERY.search(line) or "?" in line:
        return None
    head = _WORKING.sub("", BECAUSE_OR_AS.split(line)[0])
    clauses = [each for each in _CLAUSES.split(head) if re.search(r"\d", each)]
    if len(clauses) != 1 or not EVERY.search(clauses[0]):
        return None
    clause = EVERY.sub("each", clauses[0])
    if "=" in clause or SAYS_MORE.search(clause):
        return None
    told = amounts_said(sayable, clause)
    return told[0] if len(told) == 1 and told[0].owners == sayable.in_hand else None
