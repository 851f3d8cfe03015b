"""Signs with two points for an index: V_AB the p.d. between them, C_AB what is seen from them, or
the capacitor that stands there.
"""

from __future__ import annotations

import re
from typing import Final

_VOLTS: Final = re.compile(
    r"\b[VU](?:_?([A-Z])([A-Z])(?=\s*[=?])|_([A-Z])([A-Z])\b|_([a-z])([a-z])(?=\s*[=?.]))"
)
_FARADS: Final = re.compile(r"(?<![A-Za-z0-9_])C_?(?P<one>[A-Z])(?P<other>[A-Z])(?![A-Za-z0-9_])")
_WORTH: Final = (
    r"(?:[=:,( ]|\b(?:is|has|of|an?|equals)\b)* ?[0-9.,]*[0-9] ?-?"
    r"(?:[unpµμ]F|(?:micro|nano|pico)-?farads?)\b\)?"
)
# The same as it is dictated: C A B equals 4 uF.
_SPOKEN: Final = re.compile(r"\bC (?!([A-Z]) \1)([A-Z]) ([A-Z])\b(?! [A-Z]\b)")
_VALUED: Final = re.compile(rf"{_FARADS.pattern}{_WORTH}")
_JOINED: Final = re.compile(
    r"(?i)\b(?:series|parallel)\b|--|[|]{2}|//|(?<=F) ?\)?,? (?:from|between|to|at|with|on) "
)


def with_points_in_signs(text: str) -> str:
    """The text with such signs in words."""
    if len({*_SPOKEN.findall(text)}) > 1:
        text = _SPOKEN.sub(r"C_\2\3", text)
    text = _VOLTS.sub(_between, text)
    valued = [*_VALUED.finditer(text)]
    if len(valued) > 1 and not _JOINED.search(text):
        return _VALUED.sub(r"\g<0> from \g<one> to \g<other>", text)
    named = {each["one"] + each["other"] for each in valued}
    return _FARADS.sub(lambda sign: sign[0] if _is_named(sign, named) else _seen(sign), text)


def _between(sign: re.Match[str]) -> str:
    one, other = (each.upper() for each in sign.groups() if each)
    return sign[0] if one == other else f"voltage between {one} and {other}"  # VCC is no pair


def _is_named(sign: re.Match[str], named: set[str]) -> bool:
    """Whether a sign is the name of a capacitor, or of no points of the text."""
    points = (sign["one"], sign["other"])
    told = (re.search(rf"(?<![A-Za-z0-9_']){e}(?![A-Za-z0-9_'])", sign.string) for e in points)
    return "".join(points) in named or not all(told)


def _seen(sign: re.Match[str]) -> str:
    return f"capacitance between {sign['one']} and {sign['other']}"
