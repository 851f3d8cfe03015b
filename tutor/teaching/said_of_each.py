"""One amount that is said of each of several: 3 V each, 9 uC on both of them, the others 6 V each.

Such a line says as much of the others as of the one that is asked, and is judged for all of them.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from grammar.quantity import UNIT_SIGN, unit
from tutor.teaching.amounts import SAYS_MORE, AmountSaid, Sayable, amounts_said
from tutor.teaching.quantities import SYMBOL
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


_VALUE: Final = rf"\d+(?:\.\d+)?(?:\s*{UNIT_SIGN})?(?![\w.])"
_OTHERS: Final = re.compile(
    r"(?i)\b(?:(?:and|the)\s+)*(?:rest|others|(?:other|remaining)\s+(?:ones|two|three|four))\b"
    r"(?:\s+(?:are|is|at|have|get|hold|take|with)\b|\s*[=:])*"
    rf"\s*(?:(?P<all>each|both|all)\s+)?(?P<value>{_VALUE})(?P<each>\s*(?:each|both|apiece)\b)?"
)
# V2 = 6 and V3 the same: of one value, not the same as something else.
_SAME_TOO: Final = re.compile(
    r"(?i)(?<![\w.])(?P<name>(?P<letter>[QVUE])_?\d+'*)\s*(?:(?:=|is)\s*)?"
    r"(?:the\s+|just\s+the\s+)?(?:same|too|as\s+well|likewise)\b(?!\s+(?:as|on|for|of)\b)"
)


def others_in_names(line: str, in_hand: Sequence[str], asked: str | None) -> str:
    """A line with the value that is said of each of the others under their names, where some of
    those ``in_hand`` were spoken of before, and with that of one that has the same as the last.
    ``asked`` is the quantity that a number without a name is the value of.
    """
    line = _SAME_TOO.sub(lambda found: _as_the_last(line, found), line)
    found = _OTHERS.search(line)
    if found is None or not (found["each"] or found["all"]):
        return line  # of one number it is open whether each has it, or all together
    before = line[: found.start()]
    named = re.findall(r"(?i)(?<![\w.])([QVUE])_?(\d+'*)", before)
    if not named and asked is not None and re.search(r"\d", before):
        named = [(asked[0], asked[1:])]
    said = {f"C{number}" for _, number in named}
    others = [name for name in in_hand if name not in said]
    if len(others) < 2 or not said & {*in_hand}:
        return line
    sign = re.search(UNIT_SIGN, found["value"])
    letter = SYMBOL[unit(sign[0]).dimension] if sign is not None else named[-1][0]
    each = ", ".join(f"{_of(letter, name)} = {found['value']}" for name in others)
    return f"{before.rstrip(' ,;')}, {each}{line[found.end() :]}"


def _of(letter: str, name: str) -> str:
    return f"{letter}{name[1:]}"


def _as_the_last(line: str, found: re.Match[str]) -> str:
    """The value that was last told of the same quantity, under the name of another."""
    values = re.findall(
        rf"(?i)(?<![\w.]){found['letter']}_?\d+'*\s*=\s*(?:[^=,;A-Za-z]*=\s*)?({_VALUE})"
        r"(?!\s*[-+*/\u00d7\u00f7])", line[: found.start()]
    )
    return f"{found['name']} = {values[-1]}" if values else found[0]
