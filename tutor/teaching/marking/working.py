"""A script of free working, cut into lines and each line into what it states.

What is crossed out is not marked; numbering and bullets are left out. A line is parted at its full
stops, semicolons and words such as "so", so that one statement stands in each piece.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.handwriting import TO, lines_as_written
from grammar.measures import times_ten
from grammar.quantity import unit
from tutor.teaching.judging import close

_ALWAYS = re.compile(
    r"\s*(?:;|(?<=[a-z)A-Z\d])(?<![Pp]\.[Dd])\.\s+(?=[A-Z(])|\bor\b"
    r"|,\s*(?=(?:(?:times|plus|minus|divided\s+by)\s+|[x×*/÷]\s*)[\d(])"
    r"|,?\s+and\s+(?=[\d(.][^=,]*=\s*[\d.]+\s*[pnuµμm]?[FVCJ]\s+(?:on|across|for|over)\s)"
    r"|\.\s+(?=(?:add|adding|subtract|subtracting|take\s+away)\s*:)"
    r"|(?<=[a-z]{3}):(?=\s*\d+\s+[a-z]{3,}\s*$)"
    r"|(?<=\s)\|\s+(?=[^|=:]{1,12}:)"  # the columns of a table
    r"|(?<=[A-Za-z]{3}):\s*(?=(?:1\s*/\s*)?[A-Z]\w*'*\s*(?:[-+*/×−]\s*[A-Z]\w*'*\s*)*=))\s*"
)
_LINKS = re.compile(
    r"\s*(?:,?\s*\b(?:so|hence|therefore|thus|then|and so|where|but|while"
    r"|because(?=[^=]*=)|giving|which gives|which means(?: that)?|(?:gives|makes)(?=[^=]*=))\b:?"
    r"|,\s|∴|⇒|⟹|=>|→|-{1,2}>)\s*",
    re.IGNORECASE,
)
_OWN_EQUALS = re.compile(
    r"[^=]*[A-Za-z][^=]*(?:=(?!>)|:)|[CQVUE]_?\w{1,4}(?:\s+(?:is|are)\s|\s*(?:→|⇒|-{1,2}>)\s*\d)"
)
_EQUATION = re.compile(r"[.(½]?\d[^=→⇒]*=(?!>)")
# What follows from one over it, in words: 1/6 + 1/12 = 1/4 so total capacitance is 4 µF.
_OVER_IT = re.compile(r"(?:^|[^\d.])1\s*/\s*\d[^=]*\+[^=]*=")
_SAYS_AMOUNT = re.compile(r"[A-Za-z][^=]*\b\d[\d.]*\s*[pnuµμmk]?[FVCJ](?![A-Za-z])")
_BEGINS_WITH_NUMBER = re.compile(r"[≈=]?\s*[-+]?[\d.]")
_UNIT_FOR_ALL = re.compile(
    r"\(\s*(?:all\s+)?(?:in\s+)?(?:[pnuµμm]?[FCVJ]|volts|coulombs|farads|joules)\s*\)"
    r"|\ball in [pnuµμm]?[FCVJ]\b"
)
_PLAIN_NUMBER = re.compile(r"(?<![\w.*/+×·-])\d[\d.]*(?![\w.]|\s*[-*/+×·])")
_SLASHED = re.compile(r"\s+/\s+(?=[A-Za-z]\w*\s*:)")
_UNIT_IN_BRACKETS = re.compile(r"(?<=\d)\s*\[\s*([pnuµμmk]?[FVCJ])\s*\]")
_NAMED_IN_BRACKETS = re.compile(
    r"(?<![A-Za-z0-9_])([CQVUE])\(\s*(\d{1,4}|[a-z]{1,4})\s*\)(?=\s*(?:=|:|→|⇒|-{1,2}>))"
)
# A comparison that is only a reason: 80 < 200 so …, … as 40 > 15.
_COMPARED_FIRST = re.compile(
    r"^[^=<>]*\d[^=<>]*(?<!-)[<>≤≥][^=<>,]*?(?:\bso\b|\bhence\b|\btherefore\b|,|⇒|→)\s*"
)
_COMPARED_LAST = re.compile(
    r",?\s*\b(?:as|since|because|for)\s[^=<>]*\d[^=<>]*(?<!-)[<>≤≥][^=<>]*$"
)
# Equal ones as a reason, and what stands beside: V2 = 4 V since C2 = C3; plus the 8 next to it.
_EQUAL_LAST = re.compile(r",?\s*\b(?:as|since|because)\s+[CQV]_?\d{1,4}\s*=\s*[CQV]_?\d{1,4}\s*$")
# The law as a reason, and a part of something as a plain number, which is the value of nothing.
_BY_LAW = re.compile(
    r"(?<=[\dFCVJ]),?\s+(?:by|using|from|with|via|as|since|because(?:\s+of)?)\s+"
    r"[CQVUEW]\s*=\s*(?:½|1/2|0\.5)?\s*[CQVU](?:[\s*×·/]*[CQVU](?:²|\^2)?)+\s*$"
)
_LEVEL = re.compile(
    r"(?i:\b(?:the\s+)?potential\s+(?:of|at)\s+(?:point\s+)?)([A-Z])(?=\s*(?:=|:|is\b))"
)
_LEFT_OF = re.compile(r"\b([VU])\s+(?:left|remaining|left\s+over)\s*(?==)")
_OF_PART = re.compile(
    r"(?i)^\s*(?:the\s+|what\s+)?(fraction|percent(?:age)?|per\s+cent|proportion|%)\b([^=:\d]*)"
    r"(?:=|:|\bis\b)[^=]*\d.*$"
)
_BESIDE_IT = re.compile(
    r"(?<=\d|F)\s+(?:next\s+to|beside|alongside)\s+(?:it|them|that)\b(?=\s*(?:=|:|is\b|gives\b|makes\b))"
)
# A value that another is only compared with: lower than 20, down from 600 µJ.
_COMPARED_WITH = re.compile(
    r"\b(lower|less|smaller|higher|greater|larger|bigger|more|down|up)\s+(?:than|from)\s+(?:the\s+)?"
    r"\d[\d.,]*(?:\s*[pnuµμmk]?[FVCJ])?(?![\w*/+=])"
)
_IS_ENOUGH = re.compile(r"(?<=[a-z])\s+(?:is|are)\s+(?:already\s+)?enough\b")  # 1 row is enough
_AT_A_POINT = re.compile(r"(?<=[FVCJ])\s*\(\s*[A-Z]\s*\)(?!\s*[\w(])")  # 15 uF (P): no product
_LETTER_IN_BRACKETS = re.compile(r"\(\s*([CV])\s*\)\s*(?=\()")
_ACROSS = re.compile(r"(\bvolts?|\bvoltage|\bp\.?d\.?|V)\s+over\s+(?=the\b|C_?\d|\d)")
_IN_BRACKETS = re.compile(r"\([^()]*\)")
_SHORT_AND = re.compile(r"(?<=\d)\s+n\s+(?=\d)")
_WORDS_BEFORE = re.compile(r"\b(?![pnuµμmk]?[FCVJ]\b)[A-Za-z]{2,}\s*$")
# What goes on with the value before it: "then + 30 = 33.75 µF".
_GOES_ON = re.compile(
    r"^\s*(?:(?:then|and|now|next)\s+)?"
    r"(?:add(?:ing)?(?=\s)(?!\s+(?:the\s+)?[\d.]+(?:e-?\d+)?\s*(?:[pnuµμm]?F)?\s+(?:and|to)\s)|(\|\||∥|-{2}(?=\s*\d[\d.]*\s*(?:[pnuµμm]?F)?\s*=)|[+×*÷/]"
    r"|x(?=\s*\d[\d.]*\s*(?:[pnuµμmk]?[FVCJ](?![A-Za-z])|[-+*/×]))"
    r"|(?:plus|minus|times|divided by|multiplied by|over)\b))"
    r"(?:\s+the)?\s*(?=[\d(].*(?:=|≈|:|\b(?:is|makes|gives)\b))"
)
_VALUE_LAST = re.compile(
    r"(?:=|≈|:|\b(?:is|makes|gives)\b)\s*(\d[\d.,]*(?:e-?\d+)?)(\s*[pnuµμmk]?[FVCJ]?)\s*$"
)
_ANSWER = re.compile(r"\b(?:ANS|Ans)\b")
_PREFIXES = MappingProxyType({6: "u", 9: "n", 12: "p"})
_SIGNS = MappingProxyType(
    {"plus": "+", "minus": "-", "times": "×", "multiplied by": "×", "divided by": "÷", "over": "÷"}
)
_ADDS_AMOUNT = re.compile(r"[-+]\s*[\d.]+\s*[pnuµμmk]?[FVCJ]\b")
# Q1, Q2, Q3 = 36, 27, 9 µC: as many values as names, with the unit of the last.
_ROW = re.compile(
    r"(?<![\w,])((?:[CQVUE]_?\w{1,4}\s*(?:,|and|&)\s*){1,9}[CQVUE]_?\w{1,4})\s*(?:=|:|\bare\b)\s*"
    r"((?:[\d.]+\s*[pnuµμmk]?[FVCJ]?\s*(?:,\s|and|&)\s*){1,9}[\d.]+\s*([pnuµμmk]?[FVCJ])?)(?![\w.]|\s*[-+*/×=])"
)
# What is done to the value before: "E after: also ÷ 5 → 0.36 mJ", "Q goes x3 too: 2 -> 6 µC".
_DONE = r"(?:(?:also|just|then|simply|goes|gets|becomes|is|up|down|by)\s+)"
_AGAIN = r"(?:\s+(?:too|also|as\s+well|again))"
_SOME_VALUE = r"\d[\d.]*\s*[pnuµμmk]?[FVCJ]?(?![\w*/+×÷])"
_BY_FACTOR = re.compile(
    rf"(?<![\w'])([A-Za-z]\w*'?)(?::\s*{_DONE}*|\s+{_DONE}+|\s+(?=[x×÷/]\s*\d+(?:{_AGAIN}|\s*→)))"
    rf"(?:[x×÷*/]\s*\d[\d.]*|\d[\d.]*\s+times){_AGAIN}?\s*(?:→|=>|⇒|-{{1,2}}>|=|:)\s*"
    rf"(?:({_SOME_VALUE})\s*(?:→|=>|⇒|-{{1,2}}>|\bto\b)\s*)?({_SOME_VALUE})"
)
_FACTOR_TOLD = re.compile(r"^\s*([CQVUE]_?\d?'?)\s*[x×÷/*]\s*\d[\d.]*\s*:\s*(?=[\d(])")  # E /4: 8/4
# What it was and what it is: "E goes from 0.3 mJ to 0.9 mJ", "V 8 V (was 20 V)".
_FROM_TO = re.compile(
    rf"(?<![\w'])([A-Za-z][\w.]*'*)"
    rf"(?:\s+[a-z]+(?:\s+(?:up|down))?|\s*[x×÷*/]\s*\d[\d.]*\s*(?:→|=>|-{{1,2}}>|,))?\s+from\s+({_SOME_VALUE}),?\s+(?:(?:up|down)\s+)?to\s+({_SOME_VALUE})"
)
_WAS = re.compile(
    rf"(?<![\w'])([A-Za-z]\w*'*)\s*[=:]?\s*({_SOME_VALUE})\s*"
    rf"\((?:it\s+)?(?:was|from|before(?:\s+it\s+was)?:?|instead\s+of)\s+({_SOME_VALUE})\s*\)"
)
_FIRST_THEN = re.compile(  # V: 40 V then 20 V; E falls to half, 8 mJ -> 4 mJ; Q 200 -> 600 µC
    rf"(?:^|(?<=[,;]))\s*([CQVUE])(?:\s*[:=]\s*|(?:\s+[a-z]+)*,?\s+)({_SOME_VALUE}),?\s*(?:then|→|=>|⇒|-{{1,2}}>)\s*({_SOME_VALUE})(?=\s*(?:$|[,;(]))"
)
BECOMES: Final = "\u21dd"  # an arrow between two amounts and nothing else: 8 -> 24 uF
_BECOMES = re.compile(
    r"^\s*(\d[\d.]*)\s*(?:→|=>|⇒|-{1,2}>)\s*(\d[\d.]*\s*[pnuµμmk]?[FCVJ])\s*$"
)
# What is said of the whole by its reciprocals: Ct: 1/12 + 1/6 = 3/12.
_OF_RECIPROCALS = re.compile(
    r"^\s*(C_?[a-z]*)\s*:\s*"
    r"(?=1\s*/\s*\d[\d.]*\s*\+[^=A-Za-z]*=[^=A-Za-z]*(?:$|so\b|,|[→⇒]|-{1,2}>))"
)
# Numbers that cannot be equal, said to be none: 0 = 7/12, no solution.
_NO_SOLUTION = re.compile(
    r"^(?=.*(?:\bno\s+(?:real\s+)?(?:solution|answer|root)|impossible|contradict|nonsense"
    r"|can(?:not|['’]?t)\s+be\b))"
    r"[^=]*=[^=A-Za-z]*\d[^=]*$",
    re.IGNORECASE,
)
_SO_MANY_TIMES = re.compile(
    r"(?:\bso\s+|[,(]\s*)?\b(?:\d[\d.]*|twice|half)\s*(?:times|x)?\s+(?:as\s+(?:much|many|large|big|small|high)|more|less)"
    r"\b(?:\s+as)?[^=\d]*$"
)
# A part of the whole, in words: "V1 is 4/5 of the total" says nothing of its value, and "the 5 uF
# gets 1/5 of it" nothing that could be marked.
_SHARE = r"(?:is|are|gets?|has|takes?)\s+(?:\d+/\d+|[½⅓⅔¼¾⅕]|\d+\s*%)\s+of\s+(?:the\s+|all\s+)?"
_SHARE_THEN = re.compile(  # gets 2/3 => 12 V: the share is the way to the value
    r"\b(gets?|has|takes?|holds?)\s+(?:[1-9]/\d\d?|[½⅓⅔¼¾⅕]|\d+\s*%)(?:\s+of\s+(?:it|that|this|the\s+[a-z]+))?"
    r"\s*(?:,?\s+(?:so|which\s+is|that\s+is|i\.e\.)|,|=>|[=:→⇒]|-{1,2}>)\s*(?=\d[\d.]*\s*[pnuµμmk]?[VCJ](?![A-Za-z]))"
)
_PART_OF_ALL = re.compile(rf"\b{_SHARE}(?=[a-z]{{3}})")
_PART_ALONE = re.compile(rf"^\s*(?:the\s+)?\d[\d.]*\s*[pnuµμm]?F?\s+{_SHARE}[a-z ]+$")
# A name as a heading of what leads to its value: "C34: 1/4 + 1/12 = 4/12, so C34 = 3 uF".
_HEADING = re.compile(r"^\s*([CQVUE]_?\w+)\s*:(?=[^=]*\d[^=]*=.*\W\1\s*=)")
# Which number of a ratio is whose: "3 : 1, the single C gets the 3".
_OF_RATIO = re.compile(
    r"(?:^|[,;])\s*(?:the\s+)?[\w ]{1,30}\s(?:gets?|takes?|has)\s+the\s+\d+(?:\s+parts?)?\s*"
    r"(?=$|[,;.])"
)
# The way to a value, in brackets after it: "1.5 uF (3x3/6)".
_WAY_AFTER = re.compile(r"(?<=[FCVJ])\s*\([^()A-Za-wyz]*\d[^()A-Za-wyz]*\)\s*$")
_SAME_AMOUNT = re.compile(  # 2500 nJ (2.5 µJ)
    r"(\d[\d.,]*)\s*([pnuµμmk]?)([FVCJ])\s*[(\[]\s*=?\s*(\d[\d.,]*)\s*([pnuµμmk]?)\3\s*[)\]]"
)
_SAID_BESIDE = re.compile(r"\(\s*(?:or|check|i\.?e\.?)\b[^()]*\)")  # the same once more
# What else is known by then: "36 uC (and Q1 = 24)".
_KNOWN_BESIDE = re.compile(r"\(\s*(?:and|so|with|giving|leaving)\s+([^()]*=[^()]*)\)\s*$")
# The same with a way behind it whose unit is left out: "makes 2 (18/9)".
_NOTE_AFTER = re.compile(r"(?<![\w.)])(\d[\d.]*)\s+\(([\d.\s+*/×·]*[+*/×·][\d.\s+*/×·]*)\)\s*$")
_NAMES_LISTED = re.compile(  # C1, C2: 4·1/5 = 0.8, and C1, C2 → 0.8 µF
    r"^(\s*C_?\d+)\s*,?\s*(C_?\d+)\s*(?::(?=\s*[\d(½][^=]*[-+*/×·][^=]*=)|(?:=>|-{1,2}>|[→⇒])(?=\s*\d))"
)
_ADDED_BY_NAME = re.compile(  # + C2 → 9 µF
    r"^\s*(?:\+|(?:and|then|plus|add(?:ing)?)\s+)\s*C_?\d+\s*(?:=>|-{1,2}>|[→⇒])\s*(?=\d[\d.]*\s*[pnuµμm]?F?\s*$)"
)
# A prefix alone behind the only number of some words: top branch 12u.
_IN_WORDS_ALONE = re.compile(
    r"^(\s*[A-Za-z]+(?:\s+[a-z]+)*\s+\d[\d.]*)\s*([uµμ])(?=\s*(?:$|[;,]|=>|-{1,2}>|[→⇒]))"
)
_GOES_AS = re.compile(  # V goes as 1/C, shared in the ratio of C: how it goes, and no value
    r"\s*\b(?:(?:goes|go|varies|is|are|divides?|splits?|shared?)\s+(?:as|like|with)"
    r"|(?:in\s+)?(?:the\s+|inverse\s+|direct\s+)*(?:ratio|proportion)s?\s+(?:of|to|with))"
    r"\s+(?:the\s+)?(?:1\s*/\s*)?C(?:'?s)?\b(?!\s*[=\d/*])"
)
_PROPORTIONAL = re.compile(r"\b([A-Z]\w*'?)\s*[~\u221d]\s*(?:1\s*/\s*)?[A-Z]\w*²?")  # E ~ 1/C
# V1 : V2 = 4C : 2C = 2 : 1
_PROPORTION = re.compile(r"^\s*[A-Z]\w*'?\s*:\s*[A-Z]\w*'?\s*=[^=:]*:[^=:]*(?:=[^=]*)?$")
_RUN_ON = re.compile(  # q1=90n q2=198n
    r"(?<==)(\s*[\d.]+\s*(?:[pnuµμmk]?[FCVJ]|[pnuµμm]))\s+(?=[CQVUEqvue]_?\d+\s*=)"
)
_SQUARE_FLAT = re.compile(r"((?:½|1/2|0?\.5)\s*[×x*·.]?\s*C\s*V)2(?![\w.])")  # ½CV2
_MULTIPLE = re.compile(
    r"^\s*\d+\s*(?:[x×*·]|times)\s*(?:the\s+)?(?:first|second|third|eq\w*\.?\s*\(?\d\)?|\(\d\))"
    r"(?:\s+(?:one|equation|line))?\s*:"
)
_SAME_TOO = re.compile(  # Q3 = 28.8 µC, Q4 same
    r"(=\s*(\d[\d.]*\s*[pnuµμmk]?[FVCJ]))\s*(?:,|and|&|,\s*and)\s*([CQVUE]_?\d+)\s+"
    r"(?:is\s+|has\s+)?(?:the\s+)?same(?:\s+too)?\b"
)
_IN_SLASHES = re.compile(  # 15 V / 10 V / 5 V
    r"^\s*\d[\d.]*\s*([pnuµμmk]?[VCJ])(?:\s*/\s*\d[\d.]*\s*\1(?![A-Za-z])){2,}\s*$"
)
_FARADS_IN_POWERS = re.compile(  # among words: the 4.7e-6 F, the 18×10^-6 F
    r"(?<![\w.,])(\d[\d.,]*)(?:e|\s*[×x*·]\s*10\s*\^)\s*\(?[-−](\d{1,2})\)?\s*F(?![A-Za-z\d])"
)
_ADDEND = r"\d[\d.]*(?:e-?\d+)?(?:\s*[pnuµμm]?[FCJV])?"
_COMES_TO = re.compile(r"\s+(?:comes?|works?\s+out|amounts?|adds?\s+up)\s+(?:to|as|at)\s+(?=[\d.])")
_ADDING = re.compile(  # adding 60 uF and 20 uF gives 80 uF
    rf"(?i:^\s*|\bso\s+)(?i:add(?:ing)?(?:\s+up)?|the\s+sum\s+of)\s+(?:the\s+)?({_ADDEND})\s+"
    rf"(?:and|to)\s+(?:the\s+)?({_ADDEND})\s*(?=gives?\b|makes?\b|is\b|[=:→⇒]|->)"
)
_SOME_WORD = re.compile(r"[A-Za-z]{3,}")
_EITHER_SIGN = re.compile(r"\s*±\s*")
# A value that is said to be left of another, and not to be equal to it: 12 V → 3 V left.
_LEFT_OVER = re.compile(
    r"(?:leav|remain|(?:the\s+)?rest\b)"
    r"|[-+]?\d[\d.,]*\s*[pnuµμmk]?[FVCJ]\s+(?:is\s+|are\s+)?(?:left|remain|over\b)"
)
# Who holds what, after an arrow: => the 6 gets 12 V.
_HOLDER_NEXT = re.compile(
    r"(?:the\s+)?(?:C_?\d\w*|\d[\d.]*\s*(?:[pnuµμm]?F)?|[a-z]+(?:\s+(?:one|cap|capacitor))?)\s+"
    r"(?:gets?|has|have|takes?|holds?|carr(?:y|ies)|keeps?)\b"
)
# A colon for division, between two equals signs or amounts of two kinds: V = Q : C = 9 µC : 3 µF.
_DIVIDED = re.compile(
    r"(?:(?<==)(?=[^=:;]*(?::(?=\S)|\s:\s)[^=:;]*=)"
    r"(?=[^=:]*\d[^=:]*:\s*[\d(]|\s*[A-Z]_?\w*\s*:\s*[A-Z]_?\w*\s*=)[^=:;]*?(?=\s*:)"
    r"|(?<![A-Za-z_\d])\d[^=:;A-Za-z]*[pnuµμmk]?([FCVJ])"
    r"(?=\s*:\s*\d[^=:;A-Za-z]*[pnuµμmk]?(?!\1)[FCVJ]\s*=))\s*:\s*"
)
_AMOUNT_LAST = re.compile(r"\d\s*[pnuµμmk]?([FVCJ])\s*$")
_AMOUNT_FIRST = re.compile(r"[-+]?[\d.,]*\d\s*[pnuµμmk]?([FVCJ])(?![\w/])")
_EQUAL_TOO = ("gives", "makes")  # an equals sign where none stands before
# What is divided in a ratio, and the values behind that.
_SHARED_OUT = re.compile(
    rf"([^=\d]*\d[\d.]*(?:{TO}\d[\d.]*)+)((?:[\s,;:=]|->|=>|[→⇒]|\bso\b)*"
    r"(?:\d[\d.]*\s*(?:[pnuµμmk]?[VC]\b)?(?:\s*(?:,|and|&|/|:)\s*|\s*$)){2,}(?=$))?(.*)"
)
_VALUE = re.compile(r"\d[\d.]*(?:\s*[pnuµμmk]?[VC]\b)?")
_ARROWS = ("⇒", "⟹", "=>", "→", "->", "-->")


class WrittenLine(NamedTuple):
    """One line as it stands. ``number`` counts from 1; ``pieces`` are its statements, if any.

    ``part_of``: the number of the line that its fraction, written over three, counts on.
    """

    number: int
    text: str
    crossed_out: bool
    pieces: tuple[str, ...]
    part_of: int | None = None


def written_lines(text: str) -> tuple[WrittenLine, ...]:
    """Every line of a script, blank ones too."""
    found: list[WrittenLine] = []
    last: re.Match[str] | None = None
    for line in lines_as_written(text):
        pieces: list[str] = []
        for piece in _pieces(line.plain):
            pieces.append(_going_on(piece, last))
            last = _VALUE_LAST.search(pieces[-1])
        found.append(
            WrittenLine(line.number, line.text, line.crossed_out, tuple(pieces), line.part_of)
        )
    return tuple(found)


def in_pieces(
    written: Sequence[WrittenLine], renamed: Callable[[Sequence[str]], Sequence[str]]
) -> list[WrittenLine]:
    """The lines with all their pieces as ``renamed`` has them, which sees them together."""
    waiting = iter(renamed([piece for line in written for piece in line.pieces]))
    return [line._replace(pieces=tuple(next(waiting) for _ in line.pieces)) for line in written]


def _going_on(piece: str, last: re.Match[str] | None) -> str:
    """What begins with a sign, with the value before it that it goes on with; with the unit of
    that where amounts with their units are put together. A calculator calls that value Ans.
    """
    if last is not None:
        piece = _ANSWER.sub(last[1], piece)
    found = _GOES_ON.match(piece)
    if found is None or last is None:
        return piece
    rest = f"{_SIGNS.get(found[1] or 'plus', found[1])} {piece[found.end() :]}"
    return f"{last[1]}{last[2] if _ADDS_AMOUNT.match(rest) else ''} {rest}"


def says_units_once(text: str) -> bool:
    """Whether a line gives its unit in brackets, for all its values."""
    return _UNIT_FOR_ALL.search(text) is not None


def leads_by_arrow(text: str) -> bool:
    """Whether something in a line is said to follow, which need not be equal."""
    return any(sign in text for sign in _ARROWS)


def _pieces(plain: str) -> tuple[str, ...]:
    plain = _HEADING.sub("", plain)
    if (shared := _SHARED_OUT.fullmatch(plain)) is not None:
        values = _VALUE.findall(shared[2] or "")
        return (" ".join([shared[1].strip(), *values]), *_pieces(shared[3]))
    plain = _RUN_ON.sub(r"\1; ", _PROPORTIONAL.sub(r"\1 ", plain))
    plain = plain.replace(":", "/") if _PROPORTION.match(plain) else plain
    plain = _DIVIDED.sub(lambda found: found[0].replace(":", "/"), plain)
    plain = _ADDING.sub(r"\1 + \2 ", _COMES_TO.sub(" makes ", plain))
    if _SOME_WORD.search(plain):
        plain = _FARADS_IN_POWERS.sub(_with_prefix, plain)
    plain = _LEFT_OF.sub("voltage left ", _LEVEL.sub(r"V_\1", plain))
    plain = _OF_PART.sub(r"\1\2", _BY_LAW.sub("", plain))
    plain = _BESIDE_IT.sub("", _EQUAL_LAST.sub("", plain))
    plain = _COMPARED_LAST.sub("", _COMPARED_FIRST.sub("", plain))
    plain = _SAME_TOO.sub(r"\1; \3 = \2", _MULTIPLE.sub("", plain))
    plain = _NAMES_LISTED.sub(r"\1 and \2:", _ADDED_BY_NAME.sub("", plain))
    plain = _IN_WORDS_ALONE.sub(r"\1 \2F", _GOES_AS.sub("", plain))
    plain = _SQUARE_FLAT.sub(r"\1²", plain)
    plain = plain.replace("/", ",") if _IN_SLASHES.match(plain) else _NOTE_AFTER.sub(_noted, plain)
    plain = _WAS.sub(r"\1 = \2; \1 before = \3", _SO_MANY_TIMES.sub("", plain))
    plain = _OF_RECIPROCALS.sub(r"1/\1 = ", _NO_SOLUTION.sub("", plain))
    plain = _BECOMES.sub(rf"\1 {BECOMES} \2", plain)
    plain = _FACTOR_TOLD.sub(r"\1 = ", plain)
    plain = _FIRST_THEN.sub(_at_both_times, plain)
    plain = _FROM_TO.sub(r"\1 before = \2; \1 = \3", plain)
    plain = _COMPARED_WITH.sub(r"\1 than before", _IS_ENOUGH.sub("", plain))
    plain = _ROW.sub(_one_by_one, _UNIT_FOR_ALL.sub(" ", _with_unit(plain)))
    plain = _SAME_AMOUNT.sub(_once, plain)
    plain = _WAY_AFTER.sub("", _SAID_BESIDE.sub(" ", _KNOWN_BESIDE.sub(r"; \1", plain)))
    plain = _SHARE_THEN.sub(r"\1 ", plain)
    plain = _PART_OF_ALL.sub("has part of the ", _PART_ALONE.sub("", _OF_RATIO.sub("", plain)))
    plain = _EITHER_SIGN.sub(" + ", _BY_FACTOR.sub(_before_and_after, plain))
    plain = _LETTER_IN_BRACKETS.sub(r"\1", _AT_A_POINT.sub("", plain))
    plain = _ACROSS.sub(r"\1 across ", plain)
    plain = _IN_BRACKETS.sub(lambda found: re.sub(r";|\bor\b", ",", found[0]), plain)
    plain = _UNIT_IN_BRACKETS.sub(r" \1", _SHORT_AND.sub(" and ", plain))
    plain = _NAMED_IN_BRACKETS.sub(r"\1_\2", plain)
    plain = _SLASHED.sub("; ", plain) if len(_SLASHED.findall(plain)) < plain.count(":") else plain
    return tuple(piece for part in _ALWAYS.split(plain) for piece in _at_links(part) if piece)


def _with_prefix(found: re.Match[str]) -> str:
    """A capacitance in powers of ten with a prefix, in which words tell capacitors."""
    power = next((each for each in _PREFIXES if each >= int(found[2])), 12)
    number = times_ten(_worth(found[1]), power - int(found[2]))
    return f"{float(number):.9g} {_PREFIXES[power]}F"


def _worth(term: str) -> Fraction:
    above, _, below = term.replace(",", ".").partition("/")
    try:
        return Fraction(above.strip()) / Fraction(below.strip() or 1)
    except (ValueError, ZeroDivisionError):
        return Fraction(0)


def _noted(found: re.Match[str]) -> str:
    """A value without the way that stands in brackets behind it, if that comes to it."""
    terms = re.split(r"\s*/\s*", found[2])
    is_way = len(terms) == 2 and _worth(found[2]) == _worth(found[1])
    return found[1] if is_way else found[0]


def _once(found: re.Match[str]) -> str:
    """An amount without the same one in another unit that stands in brackets behind it."""
    number, prefix, sign, again, other = found.groups()
    one = times_ten(_worth(number), unit(f"{prefix}{sign}").power)
    same = times_ten(_worth(again), unit(f"{other}{sign}").power)
    return f"{number} {prefix}{sign}" if close(one, same) else found[0]


def _with_unit(plain: str) -> str:
    """Values without equals signs, each with the unit that is given once for all of them."""
    told = _UNIT_FOR_ALL.search(plain)
    sign = re.search(r"[pnuµμm]?[FCVJ](?=\W*$)", told[0]) if told and "=" not in plain else None
    return _PLAIN_NUMBER.sub(rf"\g<0> {sign[0]}", plain) if sign else plain


def _at_both_times(found: re.Match[str]) -> str:
    """What a quantity was and what it is, in the unit of the second where the first has none."""
    name, before, after = found.groups()
    unit_after = re.sub(r"[\d.\s]", "", after)
    is_bare = not re.search(r"[FVCJ]", before)
    return f"{name} before = {before}{f' {unit_after}' if is_bare else ''}; {name} = {after}"


def _before_and_after(found: re.Match[str]) -> str:
    """What a factor is said to make of a value, and that value too where it is given."""
    name, before, after = found.groups()
    sign = re.sub(r"[\d.\s]", "", after)
    known = f"{before} {'' if re.search(r'[FVCJ]', before) else sign}" if before else ""
    return f"{name} = {after}; {name} before = {known}" if known else f"{name} = {after}"


def _one_by_one(row: re.Match[str]) -> str:
    """Names and values in a row, one by one."""
    names = re.findall(r"[CQVUE]_?\w+", row[1])
    values = re.findall(r"([\d.]+)\s*([pnuµμmk]?[FVCJ])?", row[2])
    if len(names) != len(values):
        return row[0]
    pairs = zip(names, values, strict=True)
    return "; ".join(f"{name} = {value} {sign or row[3] or ''}" for name, (value, sign) in pairs)


def _leads_to_another_kind(before: str, rest: str) -> bool:
    """Whether amounts before and after an arrow cannot be equal: Q = 42 µC → 4.2 µF."""
    one, other = _AMOUNT_LAST.search(before), _AMOUNT_FIRST.match(rest)
    return one is not None and other is not None and one[1] != other[1]


def _at_links(part: str) -> list[str]:
    """Part at each "so" that another statement follows; an arrow elsewhere is an equals sign."""
    pieces: list[str] = []
    start = 0
    for link in _LINKS.finditer(part):
        before, rest = part[start : link.start()], part[link.end() :]
        sign = link[0].strip()
        if sign.lower() in _EQUAL_TOO and "=" not in before:
            continue
        after_words = sign in _ARROWS and _WORDS_BEFORE.search(before)
        in_words = after_words or (sign[:1].isalpha() and _BEGINS_WITH_NUMBER.match(rest))
        is_side = "=" not in before and rest.startswith(("=", "≈"))
        says_more = sign[:1].isalpha() and _OVER_IT.search(before) is not None
        is_equation = sign in _ARROWS and "=" in before and _EQUATION.match(rest)
        if before.strip() and (
            _OWN_EQUALS.match(rest)
            or is_equation
            or (says_more and _SAYS_AMOUNT.match(rest))
            or (in_words and not is_side)
            or (sign in _ARROWS and (_LEFT_OVER.match(rest) or _HOLDER_NEXT.match(rest)))
            or (sign in _ARROWS and _leads_to_another_kind(before, rest))
        ):
            pieces.append(before.strip())
            start = link.end()
        elif sign in _ARROWS:
            part = part[: link.start()] + link[0].replace(sign, "=".ljust(len(sign))) + rest
    return [*pieces, part[start:].strip()]
