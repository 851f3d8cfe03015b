"""What a reason says of how units go together, so or not: 1000 mm in a metre."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

_POWERS: Mapping[str, int] = MappingProxyType({
    "": 0, "k": 3, "c": -2, "m": -3, "u": -6, "µ": -6, "μ": -6, "n": -9, "p": -12,
    "kilo": 3, "centi": -2, "milli": -3, "micro": -6, "nano": -9, "pico": -12,
})
_BASES: Mapping[str, str] = MappingProxyType({
    "m": "m", "f": "F", "v": "V", "c": "C", "j": "J", "metre": "m", "meter": "m", "farad": "F",
    "volt": "V", "coulomb": "C", "joule": "J",
})
_UNIT: Final = (
    r"(?:(?P<square{0}>square|sq\.?)\s+)?"
    r"(?P<prefix{0}>kilo|centi|milli|micro|nano|pico|[kcmuµμnp]?)"
    r"(?P<base{0}>met(?:re|er)|farad|volt|coulomb|joule|m|F|V|C|J)s?(?P<two{0}>\^?[2²])?\b"
)
_NUMBER: Final = r"(?P<number>10\s*(?:\^|\*\*)\s*\d+|\d+(?:[ ,]\d{3}(?!\d))*(?:\.\d+)?)"
_ONE: Final = r"(?:one|an?|each|every|the|1)\s+"
_CLAIMS: Final = tuple(re.compile(rf"(?i){each}") for each in (
    rf"(?<![\w.]){_NUMBER}\s*{_UNIT.format(1)}\s+(?:in|to|per|makes?|are|go\s+into|fit\s+in(?:to)?)\s+"
    rf"{_ONE}{_UNIT.format(2)}",
    rf"\b{_ONE}{_UNIT.format(2)}\s*(?:has|is|holds|contains|equals|=|makes|are)\s*"
    rf"{_NUMBER}\s*{_UNIT.format(1)}",
))


def units_judged(ground: str) -> list[bool]:
    """Whether as many small units go into a large one as a text says, for each that it says."""
    return [*_are_so(ground)]


def _are_so(ground: str) -> Iterator[bool]:
    for claim in _CLAIMS:
        for found in claim.finditer(ground):
            kinds = [_BASES[found[f"base{n}"].lower().replace("er", "re")] for n in (1, 2)]
            squares = [bool(found[f"square{n}"] or found[f"two{n}"]) for n in (1, 2)]
            number = _worth(found["number"])
            if kinds[0] != kinds[1] or squares[0] is not squares[1] or number is None:
                continue
            small, large = (_POWERS[found[f"prefix{n}"].lower()] for n in (1, 2))
            yield number == Fraction(10) ** ((large - small) * (2 if squares[0] else 1))


def _worth(text: str) -> Fraction | None:
    power = re.fullmatch(r"10\s*(?:\^|\*\*)\s*(\d+)", text.strip())
    if power is not None:
        return Fraction(10) ** int(power[1][:2])
    plain = re.sub(r"[ ,](?=\d{3}(?!\d))", "", text.strip(" ,."))
    return Fraction(plain) if re.fullmatch(r"\d+(?:\.\d+)?", plain) else None
