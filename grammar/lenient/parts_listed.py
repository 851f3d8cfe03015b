"""Lists of parts, of which it is told after the list how they are joined: three of 18 uF, one of
7 uF, the three in a chain; and rows of a table, a part in each, with a line that says how.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

_NUMBERS: Final[Mapping[str, int]] = {
    "one": 1, "a": 1, "an": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
}  # fmt: skip
_IN_WORDS: Final = ("", "one", "two", "three", "four", "five", "six")
_WORTH: Final = r"(?P<worth>[0-9.]+ ?[unpµμ]?[0-9]*F?)"
_PART: Final = re.compile(
    rf"(?im)^[ \t]*[-–•*]?[ \t]*(?P<many>{'|'.join(_NUMBERS)}|[1-6])"
    r"(?: ?(?:pcs?\.?|pieces?|x|×|off|times|of)| (?:capacitors?|caps?|condensers?)(?: of)?,?)"
    rf"(?: of)? {_WORTH}(?: each)?[ \t,;.]*$"
)
_BUILD: Final = re.compile(
    r"(?im)^[ \t]*(?:build|building|circuit|how(?: it is built)?|joined|connected|connection|task"
    r"|set-?up)[ \t]*:[ \t]*"
)
_LABEL: Final = (
    r"(?:left|mid(?:dle)?|cent(?:re|er)|right|first|second|third|fourth|last|1st|2nd|3rd|4th"
    r"|(?:part|group|block) (?:[1-4]|(?-i:[A-D])))(?: (?:part|group|block|one|box))?"
)
_ROW: Final = re.compile(rf"(?im)^[ \t]*[-–•*]?[ \t]*{_LABEL}[ \t]*[|:][ \t]*(?P<what>[^\n]+)$")
_HOW: Final = re.compile(
    r"(?im)^[ \t]*[-–•*]?[ \t]*(?:(?:all|these|they|the|parts|groups|blocks|boxes|both|three|two"
    r"|four|of them|are|is|connected|joined|placed|put)[ ,:]+)*"
    r"(?:(?P<row>(?:all )?in (?:series|a (?:row|line|chain))|one after (?:an|the )other|end to end)"
    r"|in parallel|side by side)(?: (?:from )?left to right| in th(?:is|at) order)?"
    r"(?P<rest>[,.;] [^\n]*|[.;]?)$"
)


# The branch said behind what is in it, and which of a list is at which end.
_ITS_BRANCH: Final = re.compile(
    r"(?im)^(?P<mark>[ \t]*[-–•*]?[ \t]*)(?P<what>[^\n:]*[0-9][^\n:]*): (?P<branch>the (?:left"
    r"|right|first"
    r"|second|third|upper|lower|top|bottom|other) (?:branch|arm|path|row|string))[ .;]*$"
)
_AT_AN_END: Final = re.compile(
    r"(?i),? ?\(?\b[1-9]\) (?:is )?at (?:the )?(?:plus|minus|top|bottom)(?: end"
    r"| terminal)?(?=[ ,.;\n]|$)"
)


def with_parts_listed(text: str) -> str:
    """The text with its listed parts in place of what points at them, and its rows in one
    sentence.
    """
    text = _AT_AN_END.sub("", _ITS_BRANCH.sub(r"\g<mark>\g<branch>: \g<what>", text))
    return _with_rows_joined(_with_parts_in_place(text))


def _with_parts_in_place(text: str) -> str:
    """The text without a list of its parts, where all of them are told again after it."""
    listed = list(_PART.finditer(text))
    if not listed:
        return text
    head, rest = text[: listed[0].start()], text[listed[-1].end() :]
    head = head if re.search("[0-9]", head) else ""  # a heading says nothing
    for each in listed:
        many = _many(each["many"])
        rest = _with_its_worth(rest, many, each["worth"].strip())
        if not _is_told(rest, many, each["worth"].strip()):
            return text
    return f"{head} {_BUILD.sub('', rest).lstrip()}".strip()


def _many(told: str) -> int:
    return int(told) if told.isdigit() else _NUMBERS[told.lower()]


def _with_its_worth(text: str, many: int, worth: str) -> str:
    """``the three`` with what each of them is, ``the 7`` with its unit."""
    if many > 1:
        told = rf"(?i)\bthe {_IN_WORDS[many]}\b(?! [0-9]|(?: of)? [0-9])"
        return re.sub(told, f"{_IN_WORDS[many]} {worth} capacitors", text)
    number = re.match("[0-9.]+", worth)
    bare = rf"(?i)\bthe {re.escape(number[0])}(?![0-9.]| ?[unpµμ]F)" if number else "(?!)"
    return re.sub(bare, f"the {worth}", text)


def _is_told(text: str, many: int, worth: str) -> bool:
    value = re.escape(worth)
    said = rf"(?i)\b(?:{_IN_WORDS[many]}|{many}) (?:x )?{value}" if many > 1 else rf"\b{value}"
    return re.search(rf"{said}(?![0-9a-z])", text) is not None


def _with_rows_joined(text: str) -> str:
    """Rows with a part in each, and a line that says how all are joined, as one sentence."""
    rows, how = list(_ROW.finditer(text)), _HOW.search(text)
    if len(rows) < 2 or how is None or how.start() < rows[-1].end():
        return text
    parts = [re.sub(r" next to each other,? (?=in parallel)", " ", e["what"]).strip() for e in rows]
    if how["row"]:
        told = f"First {', then '.join(parts)}"
    else:
        places = ("first", "second", "third", "fourth")
        inside = "; ".join(f"the {a} is {b}" for a, b in zip(places, parts, strict=False))
        told = f"{_IN_WORDS[len(parts)]} branches in parallel: {inside}"
    between = text[rows[-1].end() : how.start()]
    rest = f"{how['rest'].strip(' ,;')}{text[how.end() :]}"
    return f"{text[: rows[0].start()]}{told}.{between}\n{rest}"
