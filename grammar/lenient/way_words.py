"""The words of a network told as one walks through it: values, forks, the heads of branches."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Final, NamedTuple

from grammar.lenient.units import NUMBER

MANY: Mapping[str, int] = {
    "pair of": 2,
    "couple of": 2,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "a pair of": 2,
}
_COUNT: Final = rf"(?:{'|'.join(MANY)}|[1-6](?= ?(?:x |times ))|[2-6](?= [0-9.]+ ?[unp]F))"
_UNIT: Final = r"(?: ?-?(?:[unpm]F|(?:micro|nano|pico)-?farads?)|[unp](?![a-z]))"
_CODE: Final = r"[0-9]+[unp][0-9]+"
NAME: Final = r"C_?(?:[0-9]{1,2}|[a-z])(?![A-Za-z0-9])"
AMOUNT: Final = rf"(?:{_CODE}(?![a-z0-9])|{NUMBER}{_UNIT}?)(?![a-z0-9.]*[a-z0-9])(?! ?V\b)"
_CAP: Final = (
    r"(?:s?(?: capacitors?| caps?| condensers?"
    r"| ones?(?! (?:way|side|path|road|branch|arm|leg|after|behind|beside|above))| each\b)*)"
)
_WHICH: Final = (
    r"(?P<which>one|other|another|first|second|third|fourth|last|top|upper|bottom|lower|middle"
    r"|cent(?:re|er)|left|right|1st|2nd|3rd)(?:[- ]hand)?(?: horizontal| vertical| upright)?"
)
_NOUN: Final = (
    r"(?:way|road|path|branch|arm|leg|line|row|column|side|lane|track|route|rail|string|chain"
    r"|limb|half|direction|wire|street|stack)"
)
_NOUNS: Final = rf"(?:{_NOUN}(?:e?s)?|halves)"
_HOLDS: Final = (
    r"(?:[ ,]*\b(?:is|has|holds|carries|contains|with|there(?:'s| is| are| sits?| comes?)|just|only"
    r"|simply|we (?:have|find)|you (?:have|find)|got|goes|through|consists of|nothing but|sits?"
    r"|comes?|made of|being)\b)*[: ]*"
)
_AT: Final = r"(?:(?:on|in|down|along|through|via|up|into|over|of)\s+)"
_GO: Final = (
    r"(?:meets?|joins?|rejoins?|unites?|comes?|goes|go|gets?|merges?|runs?|are|is|ends? up)"
)

# One row a kind of word, tried in this order; what none of them takes says nothing.
_ROWS: Final = (
    (
        "VOLT",
        rf"(?:(?:on|at|across|to|from|by|with|of|over) )?(?:an? |the )?(?:(?:battery|supply|source"
        rf"|cell)(?: of| says| is| gives| has| with| voltage)* )?{NUMBER} ?(?:kV|mV|V|volts?)\b"
        r"(?: (?:battery|supply|source|cell|across (?:it|everything|the (?:lot|whole(?: thing)?))"
        r"|on it))?"),
    ("ASIDE", r"\b(?:number|question|exercise|problem|page|task) [0-9]+\b"),
    ("WRONG", r"\b(?:not|except|resist\w*|ladder|shorted|switch(?:ed)?|charged|uncharged|plates?"
        r"|slab|dielectric|bare wire|empty)\b"),
    ("PAIR", r"(?:an? |the |one )?(?P<way>parallel|series|side[- ]by[- ]side)[- ](?:connected )?"
        r"(?:pair|combination|group|set|block|couple|trio|string|chain|bank)(?: of| made (?:up )?of"
        r"| consisting of| formed by|:)*"),
    (
        "PAIR",
        r"(?:an? |the |one )?(?:pair|combination|group|couple|trio|bank)(?: of)? (?P<after>in "
        r"(?:parallel|series)|side by side)(?: of| made of|:)*"),
    ("PAIR", r"(?:an? |the )(?P<chain>chain|string)(?: of| made (?:up )?of|:) "),
    ("SERWITH", r"(?:\bin series|\bchained) (?:with|to)\b"),
    ("SER", r"\bin series(?: with (?:each other|one another))?\b|\b(?:one|each) (?:after|behind) "
        r"(?:the other|another)\b|\bin a (?:row|line|chain)\b|\bend to end\b"
        r"|\bin (?:one|1) (?:row|line|chain|string)(?= ?(?:[,.;]|then\b|and then\b|$))"),
    ("THENBY", r"\b(?:and |is |, )*(?:then by|finally|lastly"
        r"|after (?:both|them|the two)(?: of them)?)\b"),
    (
        "THEN",
        r"\b(?:and |is |, )*(?:then|followed by|after (?:that|which|it)|afterwards|next(?! to)"
        r"|on top of|leads? to|leading to|goes on to|finally|(?:ends?|ending|finish(?:es"
        r"|ing)?) with|behind (?:it|that)|below it)\b"),
    (
        "MEETALL",
        rf"(?:all|everything|the whole lot)(?: \w+)? {_GO}(?: back| up)* (?:again|together|up)"
        r"(?: again)?"),
    (
        "MEET",
        r"(?:they|both|these|the two|the \w+) are (?:then |both )*followed by\b"
        rf"|(?:(?:they|both|these|the two|it|which|the \w+) )?(?:then )?(?:all |both )?{_GO}"
        r"(?: back| up| all)* (?:again|together|up)(?: again)?|\bback together(?: again)?"
        r"|\b(?:re-?)?(?:meet|merge|unite)s?\b|\bjoins? back\b|\bjoins? up\b|\brejoins?\b"
        r"|\b(?:after|behind|past) (?:the (?:meeting|join)\w*|they|both)\b"
        r"(?: \w+ (?:meet|join)\w*)?"),
    (
        "HEAD", rf"{_AT}?(?:the |an? |its )?{_WHICH} {_NOUN}\b{_HOLDS}"),
    (
        "HEAD",
        rf"(?:the )?{_NOUN} (?P<label>[1-4]|one|two|three|four|[a-d])\b(?= ?:| is| has| holds"
        rf"| with| contains){_HOLDS}"),
    ("HEAD", rf"{_AT}(?:the |an? )?{_WHICH}\b(?: one\b)?"
        rf"(?! (?:end|terminal|pole|plate|node|point)){_HOLDS}"),
    ("HEAD", rf"(?:to|at|towards?) the (?P<to>left|right)\b{_HOLDS}"),
    ("HEAD", rf"\b(?:up|down) (?:there|here)\b{_HOLDS}"),
    (
        "HEAD",
        rf"(?:the |an? )?{_WHICH}(?: one\b)?(?:\s*:| (?=is |has |holds |just |only |with |carries "
        rf"|contains |there |an? {NUMBER}|goes through)){_HOLDS}"),
    ("HEAD", rf"(?<=, )(?:the )?(?:other|another)\b{_HOLDS}"),
    ("TAIL", rf"(?:the )?(?:one|other) {_NOUN}\b|\b(?:on )?the other\b"),
    ("FORK", r"\bthere(?:'s| is|s) (?:an? )?(?:junction|fork|split)\b(?=[.;:])"),
    ("MEET", r"\b(?:and )?both (?:of them )?(?:end|finish|stop|go back) (?:at|on|to|in) (?:the )?"
        r"(?:minus|negative|-|other (?:end|pole|side)|battery)(?: (?:pole|terminal|side))?"),
    (
        "FORK",
        r"(?:(?:a|the|one|another|second) )?\b(?:(?:splits?|forks?|divides?|branches(?= (?:out|off|"
        r"into))|(?:opens?|parts)(?= (?:up |out )?in))(?: up| out| off)?)(?: (?:into|in|to|for))*"
        rf"(?: (?P<many>two|three|four|[234](?![0-9.]| ?[unpmk]?[FV]|[unp])))?(?: (?:parallel "
        rf"|separate |different )*{_NOUNS}"
        rf"| parts| again| a loop)?"),
    (
        "FORK",
        rf"(?<!the )(?<!both )(?<!all )\b(?P<told>two|three|four|[234]) (?:\w+ ){{0,2}}?{_NOUNS}\b"
        r"(?: (?:in parallel|side by side))?"),
    ("PARWITH", r"(?P<rel>(?:which|that) (?:is|has) )?\b(?:in )?parallel (?:with|to)\b"
        r"|\balongside\b|\bbeside (?=an?\b|the\b)|\bshunted by\b|\bnext to (?=an?\b)"),
    ("PAR", r"\bin parallel(?: with (?:each other|one another))?\b|\bside[- ]by[- ]side\b"
        r"|\b(?:beside|next to) (?:each other|one another)\b|\bparallel\b"),
    ("BACK", rf"\b(?:after|behind|past|from|beyond|to) (?:the|that|this) {AMOUNT}{_CAP}"),
    (
        "VALUE",
        rf"(?:(?:an?|the|one|single|another|only|just|of) )*(?:(?P<count>{_COUNT}) (?:x |times "
        rf"|of )?(?:equal |identical )*(?:(?P<wayed>parallel(?:ed)?"
        rf"|series)(?:-connected)? )?)?(?:(?P<name>{NAME})(?: ?(?:=|is|of|:|\())? ?)?"
        rf"(?P<amount>{AMOUNT}){_CAP}(?: ?(?:x|times) ?(?P<times>[2-6])\b(?! ?[unp]?F))?\)?"),
    ("VALUE", rf"(?P<name>{NAME})"),
    ("AND", r"\band\b|&|\+|\bplus\b(?= an? | ?[0-9])"),
    ("COMMA", r","),
    ("STOP", r"[;.\n]|:"),
)  # fmt: skip
_LEXER: Final = tuple((kind, re.compile(pattern, re.I)) for kind, pattern in _ROWS)
_ANY_WORD: Final = re.compile(r"[A-Za-z]+(?:'[a-z]+)?|.", re.S)


_SIGNS: Mapping[str, str] = {"": "", "parallel": "||", "paralleled": "||", "series": "--"}


class WayWord(NamedTuple):
    """One word of such a text: its kind, what was written, and what it holds (a value, a count).

    ``sign`` is how so many of one value are joined, where that is said with their number.
    """

    kind: str
    text: str
    held: str = ""
    many: int = 0
    sign: str = ""


def way_words(text: str, unit: str) -> list[WayWord]:
    """The words of a text made plain; a number without a unit is taken in ``unit``, and left out
    where that is "".
    """
    return list(_found(text, unit))


def _found(text: str, unit: str) -> Iterator[WayWord]:
    at = 0
    while at < len(text):
        for kind, pattern in _LEXER:
            match = pattern.match(text, at)
            if match and match.end() > at:
                yield _word(kind, match, unit)
                at = match.end()
                break
        else:
            unknown = _ANY_WORD.match(text, at)
            at = unknown.end() if unknown else at + 1


def _word(kind: str, match: re.Match[str], unit: str) -> WayWord:
    group = match.groupdict()
    if kind == "VALUE":
        return WayWord(kind, match[0], *value_of(group, unit), _SIGNS[group.get("wayed") or ""])
    if kind == "PAIR":
        way = group.get("way") or group.get("after") or "series"
        return WayWord(kind, match[0], "series" if "series" in way.lower() else "parallel")
    if kind == "FORK":
        told = (group.get("many") or group.get("told") or "").lower()
        return WayWord(kind, match[0], "told" if group.get("told") else "", _number(told))
    if kind == "HEAD":
        return WayWord(
            kind, match[0], "noun" if re.search(rf"(?i) ?{_NOUN}\b(?<!side)", match[0]) else ""
        )
    if kind == "PARWITH":
        return WayWord(kind, match[0], group.get("rel") or "")
    return WayWord(kind, match[0], match[0])


def value_of(group: dict[str, str | None], unit: str) -> tuple[str, int]:
    """What stands for the value in signs, and how many of it there are."""
    amount, name = group.get("amount") or "", group.get("name") or ""
    if re.fullmatch(NUMBER, amount):
        amount = f"{amount} {unit}".strip()
    written = f"{name} = {amount}" if name and amount else name or amount
    return written, _number((group.get("count") or group.get("times") or "").lower()) or 1


def _number(word: str) -> int:
    return int(word) if word.isdigit() else MANY.get(word, 0)
