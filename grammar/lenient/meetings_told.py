"""Lists of what meets where: a line for each point with the capacitors that are joined there."""

from __future__ import annotations

import re
from typing import Final

from grammar.lenient.way_words import NAME

_POLE: Final = r"(?:the )?(?:plus|minus|positive|negative|\+|-|−|battery ?[+-]|ground|gnd|earth)"
_ITEM: Final = rf"(?:(?:one (?:end|leg|plate|lead) of )?{NAME}|{_POLE}(?: (?:terminal|pole|side))?)"
# A plus sign stands between two names; before anything else it is the pole.
_BETWEEN: Final = r"(?:[ ,;&]++|[ ,;&]*\+(?= ?[A-Za-z]) ?)(?:and )?"
_MET: Final = re.compile(
    rf"(?im)^[ \t]*(?:[-*][ \t]*)?(?:(?:at|point|node|joint|junction|net) )*(?P<point>(?-i:[A-Z])"
    rf"|[1-9])"
    rf" ?(?::|=|->|-|meets?|joins?|has"
    rf"|are)+ ?(?P<items>{_ITEM}(?:{_BETWEEN}{_ITEM}){{1,9}})[ .;]*$"
)
_HEADING: Final = re.compile(
    r"(?im)^[ \t]*(?:(?:what|which|who) (?:meets|joins|is joined|touches|goes)|(?:the )?(?:points"
    r"|nodes|joints|nets|netlist|list of (?:points|nodes)))[^:\n]*:[ \t]*$"
)
_PLUS: Final = re.compile(r"(?i)plus|positive|\+$")
_MINUS: Final = re.compile(r"(?i)minus|negative|[-−]$|ground|gnd|earth")


def with_meetings(text: str) -> str:
    """The text with each capacitor between the two points where it is listed; the text as it is
    where one is listed at more or fewer.
    """
    met = list(_MET.finditer(text))
    if len(met) < 2:
        return text
    points: dict[str, list[str]] = {}
    ends = {"plus": "", "minus": ""}
    for line in met:
        point = _letter(line["point"])
        for item in re.findall(rf"(?i){NAME}|{_POLE}", line["items"]):
            if re.fullmatch(NAME, item, re.I):
                points.setdefault(item, []).append(point)
            elif _PLUS.search(item):
                ends["plus"] = point
            elif _MINUS.search(item):
                ends["minus"] = point
    if not points or any(len(set(each)) != 2 or len(each) != 2 for each in points.values()):
        return text
    joins = [f"{name} from point {a} to point {b}" for name, (a, b) in points.items()]
    poles = f"terminals {ends['plus']} and {ends['minus']}" if all(ends.values()) else ""
    rest = _HEADING.sub("", _MET.sub("", text)).strip()
    return "\n".join(filter(None, (rest, *joins, poles)))


def _letter(point: str) -> str:
    return point if point.isalpha() else "PRSTUWXYZ"[int(point) - 1]
