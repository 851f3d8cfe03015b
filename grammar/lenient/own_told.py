"""What is told of one capacitor by itself, and of the supply that is to give it so much, in the
words that the rest of this room knows.

I want 6 V on the 3 uF, which battery do I need; of 20 V and 10 V respectively; swap its leads.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

_VALUE: Final = r"[0-9.]+ ?(?:[unp]F\b)?"
_VOLTS: Final = r"[0-9.]+ ?k?(?:V|volts?)\b"
_PD: Final = r"(?:voltages?|p\.? ?d\.?s?|potential differences?|potentials?|tensions?)"
_SOURCE: Final = r"(?:battery|supply|source|cell|power supply)"
_LISTED: Final = rf"{_VALUE}(?:,? (?:and )?(?:an? |the )?{_VALUE})+"
_VOLTS_LISTED: Final = r"[0-9.]+ ?(?:k?V|volts?)?(?:,? (?:and )?[0-9.]+ ?(?:k?V|volts?)?)* ?"
# Three and six have 20 V and 10 V, in this order.
_RESPECTIVELY: Final = re.compile(
    rf"(?i)(?P<caps>{_LISTED})(?: (?:capacitors?|condensers?|caps?))?,?"
    rf" (?:(?:which|that|and|are|have|has|had|hold|carry|with|at|to|charged|initial|final|a|the)"
    rf" )*(?P<pd>{_PD} )?(?:(?:of|are|to|at) )*(?P<volts>{_VOLTS_LISTED})(?<=[VvSs] ),? ?"
    r"respectively"
)
_IS_JOINED_LATER: Final = re.compile(
    r"(?i)\b(?:charged|plus|positive|like|opposite|unlike|polarit\w+|afterwards|then)\b|\+"
)
# The 5 uF in parallel with a 20 uF holds 40 uC; the p.d. across it, which is in series …, is 9 V.
_ONE: Final = (
    r"(?:the (?:[0-9.]+ ?[unp]F|first|second|third)|(?<![a-z])C_?[0-9a-z])"
    rf"(?: (?:capacitor|condenser|cap|one))?(?: ?= ?{_VALUE}(?<=[A-Za-z]))?"
)
_OTHERS: Final = (
    r"(?:(?:an?|the|another|one|C_?[0-9a-z]|capacitor|condenser|cap|and)\b"
    r"|[0-9.]++(?: ?[unp]F\b)?|[,= ])+"
)
_AMOUNT: Final = r"[0-9.]+ ?(?:k?V|[unpm]?C|[unpm]?J|volts?|(?:micro|nano)-?coulombs?)\b"
_JOINED_ONE: Final = re.compile(
    r"(?i)(?P<of>the (?:charge|energy|voltage|p\.? ?d\.?|potential difference)"
    rf" (?:stored |found )?(?:on|in|across|over|of) )?(?P<one>{_ONE}),?"
    r" (?:(?:which|that) (?:is|stands|lies|sits) |(?:being )?(?:connected|joined|wired|placed) )?"
    rf"in (?P<way>series|parallel) (?:with|to) (?P<others>{_OTHERS}?),?"
    r" (?P<told>(?:holds|has|stores|carries|shows|gets|takes|bears|is(?: at)?)"
    rf" (?:(?:an?|charge|voltage|p\.? ?d\.?|energy|of|at) )*{_AMOUNT})"
)
# A parallel pair of 3 uF and 5 uF holds 40 uC: both of them, and not the last.
_HELD_BY_ALL: Final = re.compile(
    r"(?i)\b(?:an?|the) (?P<way>parallel|series) (?:pair|group|combination|set|bank|string|chain"
    r"|row)"
    rf" of (?P<list>{_VALUE}(?:,? (?:and )?(?:an? )?{_VALUE})+) (?:holds|carries|stores|contains"
    rf"|has) (?:(?:an?|charge|energy|total"
    r"|of) )*(?P<held>[0-9.]+ ?(?:[unpm]?[CJ]|(?:micro|nano)-?(?:coulomb|joule)s?)\b)"
)
# What they have together is what all come to; what the supply must be for so much on one.
_TOGETHER: Final = re.compile(
    r"(?i)\b(?P<who>(?:two|three|2|3) (?:capacitors|condensers|caps) in (?:series|parallel))"
    r" (?:have|make|give|come to) together (?P<worth>[0-9.,]+ ?[unp]F\b)"
)
_HOW_BIG_THE_OTHER: Final = re.compile(
    rf"(?is)(?P<told>\bone of (?:them|these|the two) (?:has|is|is of|of) {_VALUE}(?<=F).*)"
    r"\bhow (?:much|big|large) (?:has|is|does) the other(?: one| capacitor)?(?: have)?"
)
_HOW_WIRED: Final = re.compile(
    rf"(?i)(?P<want>\b(?:want|need)\b[^.;?]*\bgood for {_VOLTS}[.;,]? )how (?:do|can|should"
    rf"|must) (?:i|we)"
    r" (?P<wire>wire|connect|join|arrange)"
)
_MUST_BE: Final = re.compile(
    rf"(?i)\bwhat (?:would|must|should|does) (?:the |my )?{_SOURCE}(?: {_PD})? (?:have to |need"
    rf" to )?"
    rf"be (?:for|so that) (?P<one>[^.;?,]*?) (?:to )?(?:gets?|has|have|sees?) (?P<volts>{_VOLTS}),?"
)
_CHAINED: Final = re.compile(
    r"(?im)(?P<at>^|[.;,] |\bthen |\band )chain (?P<what>(?:this|that|the|these|them|it|both|all)\b"
    rf"[^.;]*?) with (?=(?:an?|the|another) {_VALUE})"
)
# So much is wanted on one of them.
_WANTED_ON_ONE: Final = re.compile(
    rf"(?i)\b(?:i|we|you|they) (?:want|need|would like|wish)(?: to (?:have|get|see))?"
    rf" (?P<volts>{_VOLTS}) (?:across|on|over) (?P<one>(?:the )?[^.;?!]*?)(?=\.(?![0-9])|[;!?,]|$)"
)
_WHICH_SOURCE: Final = re.compile(
    rf"(?i)\b(?:which|what) (?:size (?:of )?)?{_SOURCE}(?: {_PD})? (?:do|must|should|shall|can"
    r"|would) (?:i|we|you|one|it)(?: (?:have to|need to))?(?: (?:need|use|take|choose"
    rf"|buy|connect|have|put|be))?(?: (?:for (?:this|that)|then|on|across it))?(?=\s*(?:[?.]|$))"
    rf"|\b(?:which|what) {_SOURCE}(?: {_PD})? (?:is|would be) (?:needed|required|wanted)(?: for"
    r" (?:this|that))?(?=\s*(?:[?.]|$))"
)
_METER_MOVED: Final = re.compile(
    r"(?i)\b(?:the )?(?:volt)?meter (?:goes|went|rises|rose|falls|fell|drops|dropped|climbs|climbed"
    r"|jumps|jumped)(?: up| down)?[.,;]?(?: and)?(?: up| down)? to (?:what|which)"
    r"(?: value| voltage)?(?=\s*\?)"
)
# In the second, a 4 and an 8 are: what is left out is how the others are joined.
_SO_ARE_OTHERS: Final = re.compile(
    r"(?i)(?P<first>\bin the (?:first|one|left|upper|top)\b[^.;]*?\b(?:are|stand|sit|lie)"
    r" (?P<way>side by side|in parallel|in series|one after the other|next to each other"
    r"|in a row)\b(?:[^;.]|\.(?=[0-9]))*[.;,](?: and| but)? in the (?:second|other|right|lower"
    r"|bottom|last)(?: one)?,?(?:[^;.?]|\.(?=[0-9]))*?\b(?:are|stand|sit|lie))(?: too| as well)?"
    r"(?=\s*(?:[.;,]|$))"
)
# What is turned round before it is joined meets the others the wrong way.
_TURNED: Final = re.compile(
    r"(?i)\b(?:(?:turn|flip|revers|swap|switch|invert)(?:s|ed|ing|e|es|ped|ping)?) (?:(?:one"
    r"|it|that one|the (?:first|second|other|latter|charged)(?: one)?|one of (?:them|the two)|the"
    r" [0-9.]+ ?[unp]F(?: one)?) (?:round|around|over|upside down|end for end)|(?:over )?(?:its|the"
    r"|one|the two|both|one'?s) (?:terminals|leads|legs|wires|ends|plates|polarity|connections)"
    r"(?: (?:round|around|over))?)\b,?"
)
_JOINS_THEM: Final = re.compile(
    r"(?i)\b(?:join|connect|touch|hook|tie|clip|solder|put|wire|link|bring)\w*\b"
)


def _joined_then_told(said: re.Match[str]) -> str:
    """How it is joined, and then what is told of it: ``is`` alone is said of its quantity."""
    if said["told"].lower().startswith("is") and not said["of"] and " at " not in said["told"]:
        return said[0]
    one = re.sub("(?i)^the (?=[0-9])", "a ", said["one"])
    told = f"{said['of'] or ''}{said['one']} {said['told']}"
    return f"{one} is in {said['way']} with {said['others']}. {told[0].upper()}{told[1:]}"


def _one_by_one(said: re.Match[str]) -> str:
    values = re.findall(r"[0-9.]+(?: ?[unp]F\b)?", said["caps"])
    volts = re.findall(r"[0-9.]+(?: ?(?:k?V|volts?))?", said["volts"])
    unit = next((re.sub("[0-9. ]", "", each) for each in reversed(values) if "F" in each), "")
    if len(values) != len(volts) or not unit:
        return said[0]
    held = re.sub("[0-9. ]", "", volts[-1])
    values = [each if "F" in each else f"{each} {unit}" for each in values]
    volts = [each if each[-1].isalpha() else f"{each} {held}" for each in volts]
    pairs = list(zip(values, volts, strict=True))
    if _IS_JOINED_LATER.search(said.string):
        return " and ".join(f"a {value} charged to {volt}" for value, volt in pairs)
    told = " and ".join(values)
    return told + "".join(f". The voltage across the {value} is {volt}" for value, volt in pairs)


def _turned_round(said: re.Match[str]) -> str:
    """Where they are joined after that, unlike plates meet; else it says what it says."""
    after = said.string[said.end() :]
    if _JOINS_THEM.search(after) is None or "charg" not in said.string[: said.start()].lower():
        return said[0]
    return "with opposite polarity,"


# The wire splits into three. On the first is 1 uF, on the second 2 uF, …
_SPLITS: Final = re.compile(
    r"(?i)\b(?P<forks>(?:splits?|forks?|divides?|branches)(?: up| off)? in(?:to)?"
    r" (?:two|three|four))(?=[.;:,])(?P<rest>.*?\b(?:on|in|along) the (?:first|one|left|upper|top)"
    r"\b.*)$",
    re.S,
)
_ON_THE: Final = re.compile(
    r"(?i)\b(?P<on>on|in|along) the (?P<which>first|second|third|fourth|last|left|right|middle"
    r"|upper|lower|top|bottom|other)(?: one)?"
    r"(?= (?:is|there|sits|has|lies|stands|we|i|an?|[0-9])\b)"
)


def _in_branches(said: re.Match[str]) -> str:
    rest = _ON_THE.sub(r"\g<on> the \g<which> branch", said["rest"])
    return f"{said['forks']} branches{rest}"


_ROWS: Final[tuple[tuple[re.Pattern[str], str | Callable[[re.Match[str]], str]], ...]] = (
    (_TOGETHER, r"The total capacitance of \g<who> is \g<worth>"),
    (_HOW_BIG_THE_OTHER, r"\g<told>What is the other"),
    (_HOW_WIRED, r"\g<want>how many do I need and how do I \g<wire>"),
    (_MUST_BE, r"What supply gives \g<volts> across \g<one>"),
    (_CHAINED, r"\g<at>connect \g<what> in series with "),
    (_WANTED_ON_ONE, r"The voltage across \g<one> is \g<volts>"),
    (_HELD_BY_ALL, r"\g<list> are in \g<way>. They hold \g<held> in all"),
    (_JOINED_ONE, _joined_then_told),
    (_WHICH_SOURCE, "What is the total voltage"),
    (_METER_MOVED, "What is the voltage"),
    (_SPLITS, _in_branches),
    (_SO_ARE_OTHERS, r"\g<first> \g<way>"),
    (_RESPECTIVELY, _one_by_one),
    (_TURNED, _turned_round),
)


def with_own_told(text: str) -> str:
    """The text with such wordings in known words."""
    for pattern, put in _ROWS:
        text = pattern.sub(put, text)
    return text
