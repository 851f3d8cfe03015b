"""Of whom something is said in a what-if: C1's own V and Q, its charge, V and Q of it."""

from __future__ import annotations

import re

_KIND = r"(?:charges?|voltages?|volts|p\.?\s?d\.?|energy|[VUQE](?![\w'’]))"
_AND = r"\s*(?:\band\b|\bor\b|\bnor\b|&|/)\s*"
_KINDS = rf"{_KIND}(?:{_AND}(?:its\s+)?(?:own\s+)?{_KIND}(?!\s+(?:of|on|across|in)\b))*"
_OWN = re.compile(
    rf"(?i)\b(?:(?P<name>C_?\d+)['’]s|its)\s+(?:own\s+)?(?:share\s+of\s+(?:the\s+)?)?"
    rf"(?P<kinds>{_KINDS})"
)
_OF_IT = re.compile(
    rf"(?i)(?<![\w'’])(?:the\s+)?(?:both\s+)?(?P<kinds>{_KIND}(?:{_AND}(?:the\s+)?{_KIND})*)\s+"
    rf"(?:of|on|across|in|for)\s+(?P<name>it|C_?\d+)\b(?!['’])"
)
# Whoever was spoken of last: one capacitor, or the whole.
_SPOKEN_OF = re.compile(r"(?i)\bC_?(?P<number>\d+)\b|\b(?:C|whole|total|network|everything)\b")
_KEEPS = re.compile(
    rf"(?i)\bC_?\d+\s+(?:keeps|retains)\s+(?:both\s+)?(?P<those>[VUQE]\d+(?:{_AND}[VUQE]\d+)*)"
)
_OF_A_PART = re.compile(
    r"(?i)\b(C\d+)\s+(?:has|have|gets|holds|takes)\s+(more|less|the\s+same)"
    r"\s+(charge|volts|voltage|p\.?d\.?|[VQ]\b)(?:\s+and\s+(?:(more|less|the\s+same)\s+)?"
    r"(charge|volts|voltage|p\.?d\.?|[VQ]\b))?"
)
# On C1 all stays.
_OWNER_FIRST = re.compile(
    r"(?i)\b(?:on|for|at|in|with|to)\s+(C_?\d+),?\s+(all|everything|nothing)\b"
)
# The total of both: neither of the two by itself.
_OF_ALL = re.compile(r"(?i)\b(total|sum)\s+of\s+(?:both|all|everything|each)\b")


def with_owners(line: str) -> str:
    """A line with each quantity by its name where words say whose it is: V1 for C1's own p.d., or
    for its p.d. where C1 was spoken of last.
    """
    line = _OWNER_FIRST.sub(r"\2 on \1", _OF_ALL.sub(r"\1", line))
    line = _OF_A_PART.sub(_by_its_holdings, line)
    line = _OF_IT.sub(_of_its_own, _OWN.sub(_of_its_own, line))
    return _KEEPS.sub(r"\g<those> same", line)


def _of_its_own(found: re.Match[str]) -> str:
    """V1 and Q1 for its V and Q; as it stands where nobody was spoken of, or the whole."""
    name = found["name"] or "it"
    number = re.sub(r"\D", "", name) or _spoken_of_before(found)
    if not number:
        return found[0]
    return re.sub(
        rf"(?i)(?:its\s+|the\s+|own\s+)*({_KIND})",
        lambda kind: f"{_letter(kind[1])}{number}", found["kinds"],
    )


def _spoken_of_before(found: re.Match[str]) -> str:
    *_, last = (None, *_SPOKEN_OF.finditer(found.string[: found.start()]))
    return (last["number"] or "") if last is not None else ""


def _letter(kind: str) -> str:
    return {"c": "Q", "q": "Q", "e": "E"}.get(kind[0].lower(), "V")


def _by_its_holdings(found: re.Match[str]) -> str:
    """C1 has more charge and more volts: Q1 up, V1 up."""
    number, first = found[1][1:], found[2]
    said = [(found[3], first)] + ([(found[5], found[4] or first)] if found[5] else [])
    return ", ".join(
        f"{_letter(what)}{number} { {'m': 'up', 'l': 'down', 't': 'same'}[way.lower()[0]] }"
        for what, way in said
    )
