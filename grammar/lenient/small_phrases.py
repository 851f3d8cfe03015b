"""Small phrases that name, count or measure, put as the rest of this room knows them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Final

_WORTH: Final = r"[0-9.]+ ?-?(?:[unp]?F|(?:micro|nano|pico)-?farads?)\b"
_NAME: Final = r"C_?(?:[0-9]{1,2}|[A-Za-z])(?![A-Za-z0-9])"
_CALLED: Final = (
    r"(?:(?:we |i |you )?(?:call(?:ed)?|name(?:d)?|label(?:led|ed)?|marked|known as|say)"
    r"(?: (?:it|this|that|this one|that one|them|these))?)"
)


def _as_radius(said: re.Match[str]) -> str:
    """Half of a diameter."""
    length = said["length"] or said["other"]
    half = Fraction(length.replace(",", ".")) / 2
    return f"of radius {float(half):g} {said['unit'] or said['metre']}"


def _from_first_to_last(said: re.Match[str]) -> str:
    """``C1 to C4, each 6 uF``: all of their names."""
    first, last = int(said["first"]), int(said["last"])
    names = [f"C{number}" for number in range(first, last + 1)]
    return f"{', '.join(names[:-1])} and {names[-1]}" if 1 < len(names) < 10 else said[0]


_MANY: Mapping[str, int] = {
    "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
    "eight": 8, "ten": 10,
}  # fmt: skip
_SHORT: Final = r"[0-9.]+ ?[unp](?:F\b|[0-9]*(?![A-Za-z0-9]))"


def _is_of_all(said: re.Match[str]) -> bool:
    """``3 caps 1u // 2u2 // 3u3``: a number that counts the row is not that of its first."""
    many = said["many"].lower()
    return len(re.findall("//|--|[|][|]", said["row"])) + 1 == (_MANY.get(many) or int(many))


def _is_counted(said: re.Match[str]) -> bool:
    """Whether the text says before how many there are: then these are some of them."""
    before = said.string[: said.start()].lower().split()
    return bool(before) and (before[-1] in _COUNTS or before[-1].isdigit())


_COUNTS: Final = (*_MANY, "seven", "nine", "twelve", "equal", "identical", "same", "similar")
_LEN: Final = r"[0-9.,]*[0-9]"
_TOLD_ALONE: Final = rf"(?:(?:an? )?{_WORTH}|(?-i:{_NAME}))(?: (?:capacitor|cap|condenser))?"
_ROWS: Final[tuple[tuple[str, str | Callable[[re.Match[str]], str]], ...]] = (
    # A pair of which both are told: nothing is said by the word.
    (rf"\ban? (?:pair|couple),? (?:of (?=an? ))?(?={_TOLD_ALONE} and {_TOLD_ALONE}"
     r",? (?:in (?:parallel|series)|side by side)\b)", ""),
    # box one has 2 uF and 3 uF, box two 4 uF and 5 uF: the number is that of the box
    (r"(?P<box>\b(?!(?:with|and|to|of|in|by|from)\b)(?P<noun>[a-z]+) (?:two|three"
     r"|four))(?= (?:an? )?[0-9])",
     lambda said: f"{said['box']}:" if f"{said['noun']} one " in said.string.lower() else said[0]),
    # Names given after the value.
    (rf"\b(?:an? |the )?(?:(?:capacitor|cap|condenser) )?(?:of |with )?(?P<worth>{_WORTH})"
     rf"(?: (?:capacitor|cap|condenser))?,? \(?{_CALLED} (?-i:(?P<name>{_NAME}))\)?",
     r"\g<name> = \g<worth>"),
    (rf"\b(?:two|2) (?:capacitors|caps|condensers),? {_CALLED} (?-i:(?P<one>{_NAME})) and"
     rf" (?-i:(?P<other>{_NAME})),? (?:of |with |being )?(?P<worth>[0-9.]+)"
     r"(?: ?(?P<own>[unp]F|(?:micro|nano|pico)farads?))? and (?P<last>[0-9.]+)"
     r" ?(?P<unit>[unp]F|(?:micro|nano|pico)farads?)\b",
     lambda said: f"{said['one']} = {said['worth']} {said['own'] or said['unit']} and"
     f" {said['other']} = {said['last']} {said['unit']}"),
    (r"\bC_?(?P<first>[1-9]) (?:to|through|up to) C_?(?P<last>[1-9])"
     r"(?=,? (?:each|all|are|have|being|of|every one)\b)", _from_first_to_last),
    # 5 no wait its 3 not 5
    (r"(?<![0-9.])(?P<old>[0-9.]+)(?: ?[unp]?F\b)?[ ,.]*(?:(?:oh|no|sorry|wait|actually|oops"
     r"|i mean)[ ,]+)+"
     r"(?:it'?s |it is |thats "
     r"|make it )?(?P<new>[0-9.]+)(?P<unit> ?[unp]?F\b)?,? not (?P=old)(?![0-9]|\.[0-9])"
     r"(?: ?[unp]?F\b)?", r"\g<new>\g<unit>"),
    # 3 uF 6 uF in series with 2 uF in parallel to both
    (rf"(?P<one>{_WORTH})(?:,"
     rf"| and)? (?:an? )?(?P<other>{_WORTH}) (?:in )?series,? (?:and )?with (?:an? )?"
     rf"(?P<over>{_WORTH}) (?:in )?parallel (?:to|with|across) (?:both|them|the (?:two|pair))\b",
     r"\g<one> and \g<other> in series, and \g<over> in parallel with both"),
    # How they are joined, in brackets behind the value.
    (r"(?<=F) ?\((?:in )?(?P<way>parallel|series)(?P<whom> with [^()]*)?\)",
     r" in \g<way>\g<whom>"),
    (rf"(?<![0-9.])(?:1|one) ?[x*] ?(?={_WORTH})", "a "),
    (rf"\b(?P<many>{'|'.join(_MANY)}|[2-5]) (?:caps?|capacitors|condensers):? "
     rf"(?=(?P<row>{_SHORT}(?: ?(?://|\|\||--) ?{_SHORT})+))",
     lambda said: "" if _is_of_all(said) else said[0]),
    (rf"(?:(?<=^)|(?<=\())(?P<one>{_SHORT}) (?P<way>series|parallel) (?={_SHORT}(?:[),.;]|$))",
     r"\g<one> in \g<way> with "),
    (r"\b(?:in total|altogether) (?:the|a) charge (?:of )?(?=[0-9])", "a total charge of "),
    (r"\bhow much (?:ends up|drops|falls|sits|lands) (?=(?:across|over) (?:the|C))",
     "what is the voltage "),
    # Where a part comes from.
    (r",? (?:(?:taken|salvaged|pulled|saved|unsoldered|comes?|came) )?(?:out of|from) (?:an?|the|my"
     r"|some)(?: (?:old|dead|broken|junk|scrap|tube|valve))* (?:radio|tv|television|amp|amplifier"
     r"|camera|computer|receiver|set|pcb|printer)\b", ""),
    (r"\b(?P<many>two|three|2|3) (?:sections|gangs) of (?="
     r"[0-9.]+ ?[unp])", r"\g<many> capacitors of "),
    (r"\b(?P<many>[2-9]|1[0-2]) ?(?:pcs?\b\.?|pieces\b)(?: of)? (?=[0-9.]+ ?[unp]?F)",
     r"\g<many> capacitors of "),
    # What each is, before it is said how many are taken.
    (rf"\b(?:[a-z]*caps|capacitors|condensers|electrolytics|lytics),? (?:all |each )?(?:of |are "
     rf"|with "
     rf"|at )*(?P<worth>{_WORTH})(?P<rated>[ ,/]*[0-9.]+ ?V\b)?(?:,? (?:each|apiece))?[.;:,] ?"
     rf"(?P<many>{'|'.join(_MANY)}|[2-9]|10) of (?:them|these|those)\b",
     lambda said: said[0] if _is_counted(said) else
     f"{said['many']} capacitors of {said['worth']}{said['rated'] or ''} each"),
    (r",? (?:and |so )(?:that )?(?:it|this|that) (?:is|becomes?|has become) (?:now )?kC(?: now)?",
     ""),  # what comes of filling it
    (r"\bleading on from (?:there|them|it|that|these|here)\b", "in series with them"),
    (r"\b(?:an? |the )?(?:pair|set) of (?=(?:[a-z]+ )?plates\b)", ""),
    (r"(?<!can )(?<!could )(?<!do )\b(?P<who>we|you|one|i) finds? (?=an? [0-9]|two |three |[0-9])",
     r"\g<who> meet "),
    (r",? (?:so that it (?:gets|becomes|grows)|to get) (?P<how>[a-z]+er) and (?P=how)\b", ""),
    (r"(?<=V) (?:on|across|over) both (?:branches|arms|paths|strings|rows|legs)\b",
     " across the whole"),
    # Measures.
    (rf"(?<![0-9.,])(?P<one>{_LEN}) (?P<by>by|x|times) (?P<other>{_LEN})"
     r"(?P<unit> ?(?:[cm]?m|(?:centi|milli)?met(?:re|er)s?))\b",
     r"\g<one>\g<unit> \g<by> \g<other>\g<unit>"),
    (r"\b(?-i:[AS]) ?[=:] ?(?=[0-9.,]+ ?[cm]?m ?\^? ?2\b)", "plate area "),
    (r"(?<=2)(?P<sep>[,;\n ]+)d ?[=:] ?(?=[0-9.,]+ ?[cmuk]?m\b)", r"\g<sep>gap "),
    (r"\b(?P<are>each|are|is) (?P<side>[0-9.]+ ?[cm]?m) square\b(?!d)",
     r"\g<are> squares of side \g<side>"),
    (rf"(?:with |of |and )?(?:an? |the |its )?diameter (?:of |is |= ?)?(?P<length>{_LEN}) ?"
     rf"(?P<unit>[cm]?m)\b|(?P<other>{_LEN})[ -]?(?P<metre>[cm]?m)[ -](?:in |of |wide )?diameter\b",
     _as_radius),
    # Which are among themselves in parallel.
    (r"\b(?:who|which|that)(?: are|'re)? (?:between|among|amongst) (?:them|themselves|each other"
     r"|one another)(?: connected| joined)? in (?P<way>series|parallel)\b", r"in \g<way>"),
    # One right across the battery, and a branch beside it.
    (rf"(?P<one>(?:an? |the )?{_WORTH}) (?:is |sits |goes )?(?:right |straight |directly"
     rf" )?across the"
     r" (?:battery|supply|source|cell)(?:,| and) (?:next to|beside|alongside)(?: it| this| that)?,?"
     r" (?:(?:there )?(?:is|goes|stands) )?(?=(?:an?|another) (?:branch|row|string|line|chain))",
     r"\g<one> is in parallel with "),
    # So much per capacitor; from P one to B, and also another to B.
    (r"\b(?P<what>volts|voltage|charge|energy|p\.?d\.?|drop|joules) per (?=capacitor|cap\b"
     r"|condenser"
     r"|one\b)", r"\g<what> on each "),
    (rf"\bfrom (?P<start>(?-i:[A-Z])) (?P<one>an? {_WORTH}) to (?P<end>(?-i:[A-Z])),? and"
     rf" (?:also )?"
     rf"(?P<other>(?:an?|another) {_WORTH})(?: also)? to (?P=end)\b(?: (?:as well|too))?",
     r"from \g<start> \g<one> to \g<end>, from \g<start> \g<other> to \g<end>"),
)  # fmt: skip
_SAID: Final = tuple((re.compile(pattern, re.I), put) for pattern, put in _ROWS)


def with_small_phrases(text: str) -> str:
    """The text with such phrases put plainly; numbers in it are figures already."""
    for pattern, put in _SAID:
        text = pattern.sub(put, text)
    return _with_poles_at_points(_without_its_ends(text))


# What stands between the only two points that the text names.
_BETWEEN_ENDS: Final = re.compile(
    r"(?im)(?P<before>^|[.;] )between (?:the )?(?:points |terminals )?(?-i:A and B) (?:(?:there"
    r" )?(?:is"
    r"|are)|stands?|lies?)(?: connected| joined| placed)?,? (?=(?:an? )?(?:capacitor|condenser"
    r"|[0-9]))"
)


def _without_its_ends(text: str) -> str:
    """The text without the names of its ends, where it names no other point."""
    is_all = not re.search(r"\b(?:from|to|at|and|between|points?|nodes?) [C-Z]\b(?! ?=)", text)
    return _BETWEEN_ENDS.sub(r"\g<before>", text) if is_all else text


# A point that a bare wire joins to a pole is that pole.
_AT_A_POLE: Final = re.compile(
    r"(?:(?i:an? |the )?(?i:wire) (?:runs|goes|leads) from (?:the )?(?P<pole>\+|plus|positive"
    r"|minus|negative)(?: terminal| pole)?(?: of the \w+)? to (?:the )?(?:point |node )?"
    r"(?P<point>[A-Z])(?![A-Za-z0-9]))[.,;]? ?"
)


def _with_poles_at_points(text: str) -> str:
    wire = _AT_A_POLE.search(text)
    if wire is None:
        return text
    pole = "the minus" if wire["pole"] in ("minus", "negative") else "the plus"
    rest = f"{text[: wire.start()]}{text[wire.end() :]}"
    return re.sub(rf"\b(?:(?:point|node) )?{wire['point']}\b(?! ?=)", pole, rest)
