"""Sheets that fill a part of a gap: half of it is filled with …, a slab a third as thick as the
gap, 1 mm thick where the plates are 2 mm apart. Each is put as one word that says which part.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Final

_NAMED: Final[Mapping[str, str]] = {
    "half": "1/2", "third": "1/3", "quarter": "1/4", "fifth": "1/5", "two thirds": "2/3",
    "three quarters": "3/4",
}  # fmt: skip
_PART: Final = (
    r"(?:(?:an?|one|the) )?(?P<part>two[- ]thirds|three[- ]quarters|half|third|quarter|fifth"
    r"|[1-4]/[2-5])"
)
_GAP: Final = (
    r"(?:(?:air |whole |plate )*(?:gap|distance|separation|spacing|thickness)"
    r"|space between (?:the plates|them))(?: between (?:the plates|them))?"
)
_OF_IT: Final = rf"(?: of)? (?:the|its|that|their) {_GAP}"
_AS_THICK: Final = re.compile(
    rf"(?i){_PART} (?:as thick as|(?:of )?the thickness of|as wide as) (?:the|its) {_GAP}"
)
_FILLS: Final = re.compile(
    rf"(?i)\b(?:fills?|filling|takes? up|taking up|occup(?:y|ies|ying)|covers?) {_PART}{_OF_IT}"
)
_IS_FILLED: Final = re.compile(
    rf"(?i){_PART}{_OF_IT}(?: is| gets| was)?(?: now| then)? (?:filled|taken up|occupied)"
)
_LENGTH: Final = r"(?P<number>[0-9]*[.,]?[0-9]+) ?(?P<unit>[cmu]?m)\b"
_THICK: Final = re.compile(
    rf"(?i){_LENGTH}[- ]?(?:thick\b|(?:of|in) thickness)|\b(?:of )?thickness (?:of |is )?{_LENGTH}"
    .replace("<number>", "<n1>", 1).replace("<unit>", "<u1>", 1)
)  # fmt: skip
_APART: Final = re.compile(
    rf"(?i){_LENGTH} (?:apart|away)|\b(?:gap|separation|distance|spacing|separated by|apart by)"
    rf"(?: between (?:the plates|them))?(?: of| is| was|,| =| by)*(?: an air)? {_LENGTH}"
    .replace("<number>", "<n1>", 1).replace("<unit>", "<u1>", 1)
)  # fmt: skip
# The same in letters: of thickness d/2, where the plates are d apart.
_THICK_IN_LETTERS: Final = re.compile(
    r"\b(?:of )?thickness (?:of |is |= ?)?\(?(?P<gap>[dDLts]) ?/ ?(?P<parts>[2-5])\)?"
    r"(?![0-9A-Za-z])|(?<![A-Za-z])\(?(?P<gap2>[dDLts]) ?/ ?(?P<parts2>[2-5])\)?[- ]thick\b"
)
_METRES: Final[Mapping[str, int]] = {"m": 0, "cm": -2, "mm": -3, "um": -6}
_IRON: Final = (
    r"(?:metal(?:lic)?|copper|brass|aluminium|steel|iron|tin|silver|conducting|conductor)"
)
_SHEET: Final = r"(?:sheet|plate|slab|foil|block|piece|layer)"
_METAL: Final = re.compile(
    r"(?i)\b(?:an? |the )?(?:(?:flat|thin|thick|neutral|uncharged|plane) )*"
    rf"(?:{_IRON}(?:,? \w+)? ?{_SHEET}|{_SHEET} of (?:\w+ )?{_IRON})\b"
    r"[^.;?]*?\bover_(?P<part>[0-9]+/[0-9]+)[^.;?]*"
)


def with_filled_parts(text: str) -> str:
    """The text with ``over_1/2`` for what fills half of a gap, and with metal as a filling."""
    text = _with_lengths_compared(text)
    text = _THICK_IN_LETTERS.sub(_over_of_the_gap, text)
    text = _AS_THICK.sub(_over, text)
    text = _FILLS.sub(lambda said: f"fills {_over(said)}", text)
    text = _IS_FILLED.sub(lambda said: f"{_over(said)} is filled", text)
    return _METAL.sub(r"filling of metal_over_\g<part>", text)


def _over(said: re.Match[str]) -> str:
    part = said["part"].lower().replace("-", " ")
    return f"over_{_NAMED.get(part, part)}"


def _over_of_the_gap(said: re.Match[str]) -> str:
    gap, parts = said["gap"] or said["gap2"], said["parts"] or said["parts2"]
    apart = rf"(?:separation|distance|gap|spacing)[^.;?]{{0,25}}? {gap}\b|\b{gap} (?:apart|away)\b"
    return f"over_1/{parts}" if re.search(apart, said.string) else said[0]


def _with_lengths_compared(text: str) -> str:
    """The thickness of a sheet between plates, as the part of their distance."""
    thick, apart = [*_THICK.finditer(text)], [*_APART.finditer(text)]
    if len(thick) != 1 or len(apart) != 1:
        return text
    part = _metres(thick[0]) / _metres(apart[0])
    if not 0 < part < 1:
        return text
    start, end = thick[0].span()
    return f"{text[:start]}over_{part.numerator}/{part.denominator}{text[end:]}"


def _metres(said: re.Match[str]) -> Fraction:
    number, unit = said["n1"] or said["number"], (said["u1"] or said["unit"]).lower()
    return Fraction(number.replace(",", ".")) * Fraction(10) ** _METRES[unit]
