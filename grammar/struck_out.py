"""What a pupil crosses out of a line of working, by a mark or in words, and what then stands."""

from __future__ import annotations

import re
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from grammar.answers import evaluate, read_claims
from grammar.records import Refusal

_CROSSED_OUT: Final = re.compile(
    r"(?is)~~.*?(?:~~|$)|^\s*(xx+)\s.*?\s\1\s*$|<(s|del|strike)>.*?</\2>"
    r"|\\(?:cancel|sout|st)\{[^{}]*\}"
)
_NOTED_OUT: Final = re.compile(
    r"(?i)(?:[\[({]|<-+)\s*(?:[a-z]+[\s!,.:;–-]+){0,3}?"
    r"(?:(?:crossed|scored|struck|rubbed)\s+(?:(?:it|this|line)\s+)?out"
    r"|deleted)\b[^\])}]*(?:[\])}]|$)|^\s*(?:crossed|scored|struck|rubbed)\s+out\s*:"
)
# One value of a line that goes on with others: V = (crossed out: 90 V) 50 + 33.3 V.
_VALUE_OUT: Final = re.compile(
    r"(?i)[\[({]\s*(?:crossed|scored|struck|rubbed)\s+out\b\s*:?\s*[^\])}]*\d[^\])}]*[\])}](?=.*\d)"
)
# What a value is not, told beside it: 15 V (not 120/12, that is the wrong one).
_IS_NOT: Final = re.compile(r"(?i)\(\s*(?:and\s+)?not\s[^()]*\d[^()]*\)")
_STOPS = r"[\s,.:;!?…()\[\]–—-]"
_FILLS = r"(?:oh|ah|er|uh|u+m+|h+m+|but|well|ok|and|sorry)\b"
# Words that take back what stands before them, whatever comes after them.
_SURELY = (
    rf"no,?\s+wait|wait,?\s+no|oo?ps|(?:scrap|scratch|ignore|forget)\s+(?:that|this|it)"
    rf"|my\s+(?:mistake|bad|fault)"
    rf"|(?:(?:no|wait|oh|that(?:['’]?s|\s+is|\s+was)|this\s+(?:is|was)|it(?:['’]?s|\s+is|\s+was))\b{_STOPS}*)*"
    rf"(?<!be\s)(?<!not\s)(?:wrong(?:\s+(?:one|way(?:\s+(?:a?round|up))?|value|number|cap(?:acitor)?"
    r"|formula|rule|[CQVUE]))?"
    r"|not\s+(?:right|(?:that|this)\s+one)|a\s+mistake)(?=\s*(?:[,:!.;)\]–—-]|$))"
)
# And those that do so where a value stands behind them.
_PERHAPS = (
    r"no(?=\s*[,:!.;…)\]–—-]|\s+[\d(]|\s+(?:it|that)['’]?s\b|(?:\s+[a-z]+){1,4}\s*:"
    r"|\s+(?:the\s+)?other\s+one\b)|sorry|wait|actually|i\s+meant?|or\s+rather"
    r"|forgot(?:\s+[a-z]+){1,4}|correction|(?:hang|hold)\s+on|(?:(?:it|that|this)\s+)?should\s+(?:be|say|read|have\s+been)"
)
_WORDS: Final = re.compile(
    rf"(?i)(?<![\w'’])(?:{_FILLS}{_STOPS}*)*(?:(?P<surely>{_SURELY})|(?:{_PERHAPS}))(?![\w'’])"
    rf"(?:{_STOPS}*(?:{_SURELY}|{_PERHAPS}|{_FILLS})(?![\w'’]))*"
)
_STOPS_FIRST: Final = re.compile(r"(?:[\s,:;!?…)\]–—-]|\.(?!\d))*")
_NAMED: Final = r"[A-Za-z]\w{0,5}'*\s*(?:=|:(?=\s*[\d(]))"
_LAST: Final = re.compile(rf"(?:;|[.,]\s(?=\s*{_NAMED})|\b(?:so|and|then)\s+(?={_NAMED}))\s*")
_NAME_OF: Final = re.compile(
    r"(?<![A-Za-z])(?!(?:[a-z]{3,}|[A-Z]{3,})\s*:)"  # add them: is no name
    r"(?:1\s*/\s*)?([A-Za-z])(\w{0,5})'*\s*(?:=|:(?=\s*[\d(½]))"
)
_NUMERAL: Final = re.compile(r"[-+]?(?:[\d½⅓⅔¼¾][\d.,]*(?:e-?\d+)?|\.\d+)")
_VALUE: Final = rf"{_NUMERAL.pattern}\s*(?:[pnuµμmk]?[FVCJ](?![A-Za-z]))?"
_VALUE_FIRST: Final = re.compile(rf"{_VALUE}\s*(?![\w*/+×·÷^(=-])")
_STATED: Final = re.compile(
    rf"[=:≈]\s*[-+]?[\d(½.]|^\s*{_VALUE}\s*(?:[*/+×·÷x(=-]|$|[,;.)])|[\d.]\s*[pnuµμmk]?[FVCJ]\b"
)
_VALUED: Final = re.compile(rf"[=:≈→]\s*[-+(]?[\d½.]|(?<![\w.]){_VALUE}[\s)]*$")
_NUMBER: Final = re.compile(r"(?<![\w.])[\d½.]")
_WAY_FIRST: Final = re.compile(
    r"(?i)((?:[a-z]{2,}\s+)*(?:[a-z]{2,}\s*[:,]|so)\s*)?(?=[-+]?[\d(½.])"
)
MOST_TAKEN_BACK: Final = 6
_LETTERS_OF: Final = MappingProxyType({"F": "C", "C": "Q", "V": "VU", "J": "EW"})


def noted_out(line: str) -> bool:
    """Whether a line only says that the one before it is crossed out."""
    return _NOTED_OUT.fullmatch(line.strip()) is not None


def takes_back_line(line: str, before: str) -> bool:
    """Whether a line begins by taking back the one before it: no, that's wrong: C23 = 12 µF."""
    found = _WORDS.match(line.lstrip())
    if found is None or not re.search(r"\d", before):
        return False
    taken, after = _parted(before)[1], _around(found)[1]
    if not re.search(r"\d", after):
        return found["surely"] is not None
    return all(_NAME_OF.match(each.lstrip()) for each in (taken, after)) and _is_of_same(
        taken, after
    )


def standing(line: str) -> str:
    """What of a line is neither crossed out nor taken back: 12 µF of 2*10/12, no: 12 µF."""
    line = _IS_NOT.sub(" ", _VALUE_OUT.sub(" ", line))
    kept = "" if _NOTED_OUT.search(line) else _CROSSED_OUT.sub(" ", line)
    for _ in range(MOST_TAKEN_BACK):
        found = next((f for f in _WORDS.finditer(kept) if _takes_back(f)), None)
        if found is None:
            break
        kept = _put_right(found)
    return kept


def _takes_back(found: re.Match[str]) -> bool:
    """Whether words take back what stands before them; of another quantity they begin anew."""
    before, after = _around(found)
    if found["surely"] or not _VALUED.search(before) or not _STATED.search(after):
        return found["surely"] is not None and _NUMBER.search(before) is not None
    return _is_of_same(_parted(before)[1], after)


def _around(found: re.Match[str]) -> tuple[str, str]:
    before, after = found.string[: found.start()], found.string[found.end() :]
    if before.count("(") > before.count(")"):
        after = after.replace(")", "", 1)
    return before.rstrip(" ,.:;!?…()[]–—-"), _STOPS_FIRST.sub("", after, count=1)


def _parted(before: str) -> tuple[str, str]:
    """What stands in front of the last statement, and that."""
    ends = [cut.end() for cut in _LAST.finditer(before)]
    return (before[: ends[-1]], before[ends[-1] :]) if ends else ("", before)


def _is_of_same(taken: str, after: str) -> bool:
    one, other = _NAME_OF.search(taken), _NAME_OF.search(_first(after))
    if one is None or other is None:
        return True
    index = [re.sub(r"\D", "", each[2]) for each in (one, other)]
    is_same = one[1].lower() == other[1].lower() and (index[0] == index[1] or "" in index)
    values = [re.findall(r"\d[\d.]*", each)[-1:] for each in (taken, after)]
    return is_same or values[0] == values[1]


def _put_right(found: re.Match[str]) -> str:
    """A line with what is said anew in the place of the last statement before it."""
    before, after = _around(found)
    kept, taken = _parted(before)
    if not re.search(r"\d", after):
        return kept
    name = _NAME_OF.match(taken.lstrip())
    if name is None or _NAME_OF.search(_first(after)):
        return f"{kept}{after}"
    after = after.lstrip("= ")
    if (value := _VALUE_FIRST.match(after)) is not None:
        if not _may_be_of(name[1], value[0]):
            return f"{kept}{after}"
        return f"{kept}{_way_to(taken, after, name[0])} {after}"
    way = _WAY_FIRST.match(after)
    return f"{kept}{way[0]}{name[0]} {after[way.end() :]}" if way else f"{kept}{after}"


def _may_be_of(letter: str, value: str) -> bool:
    """Whether a value has no unit, or one of what the letter of a name stands for."""
    sign = value.rstrip()[-1:]
    return sign not in _LETTERS_OF or letter.upper() not in "CQVUEW" or letter.upper() in (
        _LETTERS_OF[sign]
    )


def _first(after: str) -> str:
    """The first statement of what is said anew."""
    return _LAST.split(after, maxsplit=1)[0]


def _way_to(taken: str, after: str, name: str) -> str:
    """What stands before the last equals sign, if it comes to the value that is said anew."""
    way, sign, _ = taken.rpartition("=")
    last, number = way.rpartition("=")[2].strip(), _NUMERAL.match(after)
    try:
        worth, again = (
            Fraction(evaluate(read_claims(each, ())[0].sides[0], {}).value)
            for each in (last, number[0] if number else "")
        )
    except (Refusal, IndexError, TypeError):
        return name
    return f"{way}{sign}" if abs(worth - again) * 100 <= abs(worth) else name
