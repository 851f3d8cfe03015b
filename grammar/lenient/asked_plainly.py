"""What is asked in everyday words, put with the quantity it is about: how the volts are shared,
what a voltmeter says, what the smallest one holds.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from typing import Final

_QUANTITY: Final = (
    r"(?P<what>volts?|voltages?|p\.? ?d\.?|potential difference|charge|energy|capacitance)"
)
_SHARE: Final = (
    r"(?:shared?|split|divided?|distributed?|spread)"
    r"(?: (?:up|out|between|among|over|across|by|itself|themselves|them|the \w+|both|all(?: \w+)?"
    r"|each other))*"
)
_AUX: Final = r"(?:is|are|does|do|will|would|did|was|were)"
# How are the volts shared, how does the charge split between the two.
_SHARED: Final = re.compile(
    rf"(?i)\bhow {_AUX} (?:the |this |that |those )?(?:{_QUANTITY}|(?P<volts>[0-9.]+)"
    rf"(?: ?(?:V|volts?))?) (?:be )?{_SHARE}"
)
# What fraction of V is on the third: what p.d. it has.
_FRACTION: Final = re.compile(
    r"(?i)\b(?:(?:what|which) (?:fraction|part|share|percentage|proportion|portion)"
    r"|how (?:much|many)) of"
    r" (?:the |all |its )*"
    r"(?:(?:total|whole|supply|battery|source|applied) )*"
    r"(?:(?P<volts>[0-9.]+ ?k?(?:V|volts?))|(?-i:V|U)|(?P<unit>(?:micro|nano|milli|pico)?-?"
    r"(?:coulomb|joule)s?)|"
    + _QUANTITY
    + r")(?: of the (?:supply|battery|source))?"
    + r" (?:is|are|does|drops?|falls?|appears?|sits?|ends? up|lies|goes|stands?|lands?)"
    r"(?: (?:dropped|stored|held|found))?(?= (?:on|across|in|over|to)\b)"
)
# In terms of k and C.
_IN_TERMS: Final = re.compile(
    r",? (?:in|by)(?: terms of)? [kCVQUAdS](?:, [kCVQUAdS])* and [kCVQUAdS0]+(?![A-Za-z0-9_])"
)
_GIVES: Final = re.compile(
    r"(?i)\bwhat (?:does|must|should|would|will) (?:the |its |my |this )?(?:supply|battery"
    r"|source|cell)"
    r" (?:give|deliver|provide|have|show|read|be|supply)\b(?=\s*[?.,]|$)"
)
# To what value does the p.d. fall.
_COMES_TO: Final = re.compile(
    r"(?i)\b(?:to )?what(?: new| final)? (?:value|level|figure) (?:does|do|did|will|would)"
    rf" (?P<whose>[^.?;,]*?{_QUANTITY}[^.?;,]*?) (?:fall|drop|sink|rise|climb|go|grow|change|come"
    r"|settle|decrease|increase)s?(?: (?:up|down))?(?: to| at| on)?"
    r"(?= (?:if|when|once|after|then|now)\b|\s*[?.,]|$)"
)
_METER: Final = re.compile(
    r"(?i)\bwhat (?:does|do|will|would|did|should) (?:an? |the |my |our |your )?(?:(?:ideal|good"
    r"|perfect|digital) )*(?:volt-?meter|multi-?meter|meter)"
    r"(?: (?P<where>(?:across|on|over|at) [^.?;,]+?))?"
    r" (?:say|show|read|indicate|give|display|tell)s?\b"
)
_LEFT: Final = re.compile(
    r"(?i)\bwhat(?: is|'s| remains| stays| will be| ends up)(?: now| then)?(?: left)?"
    r" (?P<where>(?:on|in) (?:each|both|either|every|the (?=[0-9]|C_?[0-9]))\b)"
    r"(?! (?:side|branch|path|row|arm|line)| of the (?:branch|row))"
)
_NOT_SURE: Final = re.compile(
    r"(?i)\b(?:(?:i )?(?:have |got |i've )?no (?:idea|clue)|(?:i(?:'m| am) )?not sure"
    r"|(?:i )?(?:don't|do not|dont) know|dunno)(?: exactly)?"
    r" what (?:they|it|she|he|the (?:question|sheet|teacher|book))(?: really)? "
    r"(?:wants?|asks?|means?|is after|are after)(?: for| from \w+)?(?P<end>[.?!]*)(?P<rest>[, -]*)"
)
# What is to be shown is wanted as well: show that C_AB = 3/2 C.
_SHOW: Final = re.compile(
    r"(?i)\b(?:show|prove|verify|check|confirm)\s+that\s+(?:the )?"
    r"C_?(?:eq|total|tot|res|(?-i:[A-Z]{2}))\s*=\s*(?:[^.;?!\n]|\.(?=[0-9]))*"
)
_WHAT_IT_IS: Final = re.compile(
    r"(?i)\bwhat (?:it|that|this|all this|the whole(?: thing)?) (?:is|comes to|makes|gives"
    r"|adds up to)"
    r"(?= (?:between|from|at|across) )|\bwhat(?:'s|s| is) (?:it|that)(?= between )"
    r"|\bwhat(?:'s|s| is| does) (?:it|that|this|the (?:lot|whole(?: thing)?))(?: (?:all|make|come"
    r" to))*"
    r" (?:tog[a-z]*th?er|altogether|in (?:all|total))(?=\s*(?:[?.]|$))"
)
# What is the same on all capacitors of a part is that of each of them.
_ON_EACH_PART: Final = re.compile(
    r"(?i)\b(?P<asked>(?:(?P<pd>volts?|voltages?|tension|p\.? ?d\.?|potential difference)|charges?)"
    r"[^.?;!]{0,24}? (?:on|across|over|of) )(?:each|every|both|the two) (?:(?P<par>parallel)"
    r"|series)[- ]"
    r"(?:parts?|groups?|pairs?|branch(?:es)?|sections?|combinations?|sets?|banks?|blocks?)\b"
)
# What is asked at the very end without a word of asking: … all in series, v across 12uf pls.
_ASKED_LAST: Final = re.compile(
    r"(?i)(?<=[a-z0-9])[ ,]+(?P<what>v|volts?|voltage|p\.?d\.?|q|charge|energy) (?P<at>across|on"
    r"|over|in|of)"
    r" (?:the )?(?P<whom>[0-9.]+ ?[unp]f?|c_?[0-9])(?: (?:pl\w*|thx|thanks))?\s*[?!.]*\s*$"
)
_ASKS: Final = re.compile(
    r"(?i)\b(?:w[hu]?ats?|wh?ts?|what's|find|how|calc\w*|need|want|is|are|was|give|tell|get|the|a|and"
    r"|determine|which|has|have|with|of)\s*$|\b(?:w[hu]?ats?|what's|find|how|calc\w*|determine)\b[^.;?]*$"
)
_MUSING: Final = re.compile(
    r"(?i),? (?:or so )?(?:i|we) (?:think|guess|suppose|believe|reckon)(?=\s*(?:[.?!]|$))"
)
_VALUE: Final = re.compile(r"(?<![A-Za-z0-9.])([0-9]*\.?[0-9]+) ?([unp])F\b")
_MOST: Final = re.compile(
    r"(?i)\bthe (?:(?P<least>smallest|littlest|least)|(?:largest|biggest|greatest))"
    r"(?: (?:one|capacitor|cap|condenser)\b| of (?:them|the (?:two|three|four|five|six|lot))\b"
    r"|(?= (?:hold|carry|get|take|have|store|see)s?\b))(?: of (?:them|the \w+|all))?"
)
# Of two, the bigger one.
_LARGER: Final = re.compile(
    r"(?i)\bthe (?:(?P<least>smaller|lesser|littler)|(?:larger|bigger|greater)) (?:one|capacitor"
    r"|cap|condenser)\b"
)
_EXPONENT: Mapping[str, int] = {"u": -6, "n": -9, "p": -12}


def asked_plainly(text: str) -> str:
    """The text made plain with such questions put plainly."""
    text = _MUSING.sub("", _SHOW.sub("find the total capacitance", text))
    text = _NOT_SURE.sub(_not_sure, _WHAT_IT_IS.sub("what is the total capacitance", text))
    text = _ASKED_LAST.sub(_asked_last, text)
    text = _ON_EACH_PART.sub(
        lambda said: f"{said['asked']}each" if bool(said["pd"]) == bool(said["par"]) else said[0],
        text,
    )
    text = _SHARED.sub(_on_each, text)
    text = _FRACTION.sub(_of_the_part, _IN_TERMS.sub("", text))
    text = _GIVES.sub("what is the supply voltage", text)
    text = _COMES_TO.sub(lambda asked: f"what is {asked['whose']}", text)
    text = _METER.sub(lambda asked: f"what is the voltage {asked['where'] or ''}".rstrip(), text)
    text = _LEFT.sub(lambda asked: f"what is the charge {asked['where']}", text)
    text = _LARGER.sub(lambda said: _the_larger(said, text), text)
    return _MOST.sub(lambda said: _the_one(said, text), text)


def _on_each(asked: re.Match[str]) -> str:
    """How the volts are shared, or the 24 where 24 V are told."""
    told = asked["volts"]
    if told and not re.search(rf"(?i)(?<![0-9.]){re.escape(told)} ?(?:V|volts?)\b", asked.string):
        return asked[0]
    return f"what is the {_named(asked['what'] or 'voltage')} on each"


def _asked_last(said: re.Match[str]) -> str:
    before = said.string[: said.start()]
    if _ASKS.search(before) or not re.search(r"(?i)series|paral|//|--|\|\|", before):
        return said[0]
    named = {"v": "voltage", "p": "voltage", "q": "charge", "c": "charge", "e": "energy"}
    whom = said["whom"] if said["whom"][0] in "cC" else f"the {said['whom']}"
    return f". What is the {named[said['what'][0].lower()]} {said['at']} {whom}?"


def _not_sure(said: re.Match[str]) -> str:
    """What follows such a sigh is what is wanted; without it the sigh says nothing."""
    return f"{said['end']} " if said["end"] or not said["rest"] else "find "


def _of_the_part(asked: re.Match[str]) -> str:
    if asked["what"] or asked["unit"]:
        return f"what is the {_named(asked['what'] or asked['unit'])}"
    supply = f"the supply is {asked['volts']}, " if asked["volts"] else ""
    return f"{supply}what is the voltage"


def _named(quantity: str) -> str:
    if "coulomb" in quantity.lower():
        return "charge"
    if "joule" in quantity.lower():
        return "energy"
    return "voltage" if quantity[0].lower() in "vp" else quantity.lower()


def _the_larger(said: re.Match[str], text: str) -> str:
    """The larger of two, by its value; with more than two told it is open who that is."""
    return _the_one(said, text) if len({*_VALUE.findall(text)}) == 2 else said[0]


def _the_one(said: re.Match[str], text: str) -> str:
    """The one of the least or the greatest value, by that value, where only one has it."""
    told = [
        (Decimal(number).scaleb(_EXPONENT[prefix]), f"{number} {prefix}F")
        for number, prefix in _VALUE.findall(text)
    ]
    if len(told) < 2:
        return said[0]
    end = min(told) if said["least"] else max(told)
    alone = sum(each[0] == end[0] for each in told) == 1
    return f"the {end[1]}" if alone else said[0]
