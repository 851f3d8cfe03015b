"""A unit that is said once for all values: everything in microfarads, µF everywhere."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

_UNIT: Final = r"(?P<unit>micro|nano|pico|[unp](?=F))(?:-?farads?|s|F)?\b"
_ALL: Final = (
    r"(?:everything|all(?: of (?:it|them|these))?(?: the)?(?: other)?(?: values?| numbers?"
    r"| capacitances?| capacitors| caps| sizes)?|(?:the )?(?:rest|others|values?|numbers?"
    r"|capacitances?|sizes?|units?)|every (?:value|number|one)|each)"
)
_SAID: Final = (
    rf"[,;(]*\s*(?:and |with )?{_ALL}(?:,? (?:is|are|being|here|given|meant|measured|all"
    rf"|just))* (?:in )?{_UNIT}\s*\)?",
    rf"[,;(]*\s*(?:in )?{_UNIT} (?:everywhere|throughout|for (?:all|everything|each|every one)"
    r"(?: of (?:them|these))?|all round)\s*\)?",
    rf"[,;(]*\s*(?:in {_UNIT} each\s*\)?)",
    rf"\(\s*(?:all )?(?:in )?{_UNIT}\s*\)",
    rf"(?:(?<=[.;\n] )|(?<=\n)){_UNIT}(?=[,.;\n]|\s*$)",
    rf"(?<=[0-9]),\s*{_UNIT}(?=\s*[.;\n?]|\s*$)",
)
_FOR_ALL: Final = tuple(re.compile(pattern, re.I) for pattern in _SAID)
# The same in brackets: beside them others read on.
_ASIDE: Final = re.compile(
    rf"(?i),? ?\((?P<said>{_ALL} (?:(?:is|are) )?(?:in )?(?:micro|nano|pico|[un\u00b5\u03bcp](?=F))"
    r"(?:-?farads?|s|F)?)\)"
)
_SHORT: Mapping[str, str] = {"m": "uF", "u": "uF", "n": "nF", "p": "pF"}
_OF_ONE: Final = re.compile(r"[0-9] ?-?(?P<unit>[unp](?=F\b)|micro|nano|pico)", re.I)


def with_unit_beside(text: str) -> str:
    """The text with what says the unit of all values in brackets beside commas: (all nF)."""
    return _ASIDE.sub(r", \g<said>", text)


def unit_of_all(text: str) -> tuple[str, str]:
    """The text without what says the unit of all its values, and that unit; where nothing says
    it, the text as it is and the unit of the first value that has one, "" where none has.
    """
    for pattern in _FOR_ALL:
        said = pattern.search(text)
        if said is not None:
            rest = f"{text[: said.start()]} {text[said.end() :]}"
            return rest, _SHORT[said["unit"][0].lower()]
    one = _OF_ONE.search(text)
    return text, _SHORT[one["unit"][0].lower()] if one else ""
