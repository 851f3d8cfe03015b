"""What is written in a line put plainly, before it is parted: words that state no value left out,
and values that are told in short written out, one rule after another.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final, NamedTuple

from tutor.teaching.marking.values_in_short import (
    SLASHED,
    UNIT_FOR_ALL,
    at_both_times,
    before_and_after,
    by_way,
    divided,
    in_a_row,
    in_columns,
    one_by_one,
    told_once,
    unparted,
    with_index,
    with_prefix,
    with_unit_of_all,
    without_way,
)

BECOMES: Final = "\u21dd"  # of what changes
_ADDEND = r"\d[\d.]*(?:e-?\d+)?(?:\s*[pnuµμm]?[FCJV])?"
_DONE = r"(?:(?:also|just|then|simply|goes|gets|becomes|is|up|down|by)\s+)"
_AGAIN = r"(?:\s+(?:too|also|as\s+well|again))"
_SOME_VALUE = r"\d[\d.]*\s*[pnuµμmk]?[FVCJ]?(?![\w*/+×÷])"
_SHARE = r"(?:is|are|gets?|has|takes?)\s+(?:\d+/\d+|[½⅓⅔¼¾⅕]|\d+\s*%)\s+of\s+(?:the\s+|all\s+)?"
_SO_MANY_TIMES = (
    r"\b(?:\d[\d.]*|twice|half|two|three|four|five|six|ten)\s*(?:times|x|×)?\s+"
    r"(?:as\s+(?:much|many|large|big|small|high|low|great)|more|less|bigger|smaller|larger|greater"
    r"|higher|lower)\b"
)
_SOME_WORD = re.compile(r"[A-Za-z]{3,}")


class Rewriting(NamedTuple):
    """``why`` names a rule and says what stands there and what of it counts; ``what`` is written,
    and ``becomes`` is put in its place, in lines ``where`` that stands somewhere.
    """

    why: str
    what: re.Pattern[str]
    becomes: str | Callable[[re.Match[str]], str]
    where: re.Pattern[str] | None = None


# In this order: what a rule writes is read by those after it.
REWRITINGS: Final[tuple[Rewriting, ...]] = (
    Rewriting(
        "proportion told: E ~ 1/C tells how one goes with another, and no value",
        re.compile(r"\b([A-Z]\w*'?)\s*[~\u221d]\s*(?:1\s*/\s*)?[A-Z]\w*²?"),
        r"\1 ",
    ),
    Rewriting(
        "way first: half of 18 V is 9 V so V1 = 9 V and V23 = 9 V: the way to what is named behind",
        re.compile(
            r"^\s*(half\s+(?:of\s+)?(?:the\s+)?(?:voltage|p\.?d\.?|charge)(?![A-Za-z])"
            rf"|(?:½|\(\d/\d\))\s*×\s*{_ADDEND}|{_ADDEND}\s*[/÷]\s*\d[\d.]*)"
            r"\s*(?:=|\bis|\bgives|\bmakes)\s*(\d[\d.]*)\s*[pnuµμmk]?[VC]?\s*,?\s*"
            r"(?:(?:and\s+)?so|hence|therefore|thus)\s+(?=[QV]_?\d+\s*=)(.+)$"
        ),
        by_way,
    ),
    Rewriting(
        "run on: q1=90n q2=198n are two statements",
        re.compile(r"(?<==)(\s*[\d.]+\s*(?:[pnuµμmk]?[FCVJ]|[pnuµμm]))\s+(?=[CQVUEqvue]_?\d+\s*=)"),
        r"\1; ",
    ),
    Rewriting(
        "proportion: in V1 : V2 = 4C : 2C = 2 : 1 the colons divide",
        re.compile(r"^\s*[A-Z]\w*'?\s*:\s*[A-Z]\w*'?\s*=[^=:]*:[^=:]*(?:=[^=]*)?$"),
        divided,
    ),
    Rewriting(
        "colon of division: between equals signs or amounts of two kinds: V = Q : C = 9 µC : 3 µF",
        re.compile(
            r"(?:(?<==)(?![^=:;]*\bwith\s+(?:the\s+)?[\d.]+\s*:)"
            r"(?=[^=:;]*(?::(?=\S)|\s:\s)[^=:;]*=)"
            r"(?=[^=:]*\d[^=:]*:\s*[\d(]|\s*[A-Z]_?\w*\s*:\s*[A-Z]_?\w*\s*=)[^=:;]*?(?=\s*:)"
            r"|(?<![A-Za-z_\d])\d[^=:;A-Za-z]*[pnuµμmk]?([FCVJ])"
            r"(?=\s*:\s*\d[^=:;A-Za-z]*[pnuµμmk]?(?!\1)[FCVJ]\s*=))\s*:\s*"
        ),
        divided,
    ),
    Rewriting(
        "comes to: what a sum comes to, works out as or amounts to, it makes",
        re.compile(r"\s+(?:comes?|works?\s+out|amounts?|adds?\s+up)\s+(?:to|as|at)\s+(?=[\d.])"),
        " makes ",
    ),
    Rewriting(
        "adding: adding 60 uF and 20 uF gives 80 uF is a sum",
        re.compile(
            rf"(?i:^\s*|\bso\s+)(?i:add(?:ing)?(?:\s+up)?|the\s+sum\s+of)\s+(?:the\s+)?({_ADDEND})\s+"
            rf"(?:and|to)\s+(?:the\s+)?({_ADDEND})\s*(?=gives?\b|makes?\b|is\b|[=:→⇒]|->)"
        ),
        r"\1 + \2 ",
    ),
    Rewriting(
        "farads in powers: words tell a capacitor by its value with a prefix: the 4.7e-6 F",
        re.compile(
            r"(?<![\w.,])(\d[\d.,]*)(?:e|\s*[×x*·]\s*10\s*\^)\s*\(?[-−](\d{1,2})\)?\s*F(?![A-Za-z\d])"
        ),
        with_prefix,
        where=_SOME_WORD,
    ),
    Rewriting(
        "potential: the potential at A is V_A",
        re.compile(
            r"(?i:\b(?:the\s+)?potential\s+(?:of|at)\s+(?:point\s+)?)([A-Z])(?=\s*(?:=|:|is\b))"
        ),
        r"V_\1",
    ),
    Rewriting(
        "p.d. left: what is left of a p.d. is no p.d. of that name",
        re.compile(r"\b([VU])\s+(?:left|remaining|left\s+over)\s*(?==)"),
        "voltage left ",
    ),
    Rewriting(
        "by the law: the law as a reason states nothing more",
        re.compile(
            r"(?<=[\dFCVJ]),?\s+(?:by|using|from|with|via|as|since|because(?:\s+of)?)\s+"
            r"[CQVUEW]\s*=\s*(?:½|1/2|0\.5)?\s*[CQVU](?:[\s*×·/]*[CQVU](?:²|\^2)?)+\s*$"
        ),
        "",
    ),
    Rewriting(
        "part told: a part of something as a plain number is the value of nothing",
        re.compile(
            r"(?i)^\s*(?:the\s+|what\s+)?(fraction|percent(?:age)?|per\s+cent|proportion|%)\b([^=:\d]*)"
            r"(?:=|:|\bis\b)[^=]*\d.*$"
        ),
        r"\1\2",
    ),
    Rewriting(
        "equal ones: as a reason they state nothing more: V2 = 4 V since C2 = C3",
        re.compile(r",?\s*\b(?:as|since|because)\s+[CQV]_?\d{1,4}\s*=\s*[CQV]_?\d{1,4}\s*$"),
        "",
    ),
    Rewriting(
        "beside it: plus the 8 next to it: where it stands adds nothing",
        re.compile(
            r"(?<=\d|F)\s+(?:next\s+to|beside|alongside)\s+(?:it|them|that)\b(?=\s*(?:=|:|is\b|gives\b|makes\b))"
        ),
        "",
    ),
    Rewriting(
        "compared first: a comparison that is only a reason: 80 < 200 so",
        re.compile(
            r"^[^=<>]*\d[^=<>]*(?<!-)[<>≤≥][^=<>,]*?(?:\bso\b|\bhence\b|\btherefore\b|,|⇒|→)\s*"
        ),
        "",
    ),
    Rewriting(
        "compared last: the same behind what it is the reason of: as 40 > 15",
        re.compile(r",?\s*\b(?:as|since|because|for)\s[^=<>]*\d[^=<>]*(?<!-)[<>≤≥][^=<>]*$"),
        "",
    ),
    Rewriting(
        "limits: V <= 60 and V <= 35 V, of which one is lower, tell what it may be, and no value",
        re.compile(
            rf"\b([A-Z]\w*'?)\s*(?:<=?|≤)\s*{_SOME_VALUE}(?:\s*(?:,|;|\band\b|&)+\s*\1\s*(?:<=?|≤)\s*{_SOME_VALUE})+"
        ),
        r"\1 ",
    ),
    Rewriting(
        "multiple: which equation is taken how often is no value: 2 x eq. (1):",
        re.compile(
            r"^\s*\d+\s*(?:[x×*·]|times)\s*(?:the\s+)?(?:first|second|third|eq\w*\.?\s*\(?\d\)?|\(\d\))"
            r"(?:\s+(?:one|equation|line))?\s*:"
        ),
        "",
    ),
    Rewriting(
        "same too: Q3 = 28.8 µC, Q4 same",
        re.compile(
            r"(=\s*(\d[\d.]*\s*[pnuµμmk]?[FVCJ]))\s*(?:,|and|&|,\s*and)\s*([CQVUE]_?\d+)\s+"
            r"(?:is\s+|has\s+)?(?:the\s+)?same(?:\s+too)?\b"
        ),
        r"\1; \3 = \2",
    ),
    Rewriting(
        "added by name: + C2 → 9 µF is about what both make",
        re.compile(
            r"^\s*(?:\+|(?:and|then|plus|add(?:ing)?)\s+)\s*C_?\d+\s*(?:=>|-{1,2}>|[→⇒])\s*(?=\d[\d.]*\s*[pnuµμm]?F?\s*$)"
        ),
        "",
    ),
    Rewriting(
        "names listed: C1, C2: 4·1/5 = 0.8, and C1, C2 → 0.8 µF, are of both",
        re.compile(
            r"^(\s*C_?\d+)\s*,?\s*(C_?\d+)\s*(?::(?=\s*[\d(½][^=]*[-+*/×·][^=]*=)|(?:=>|-{1,2}>|[→⇒])(?=\s*\d))"
        ),
        r"\1 and \2:",
    ),
    Rewriting(
        "goes as: V goes as 1/C, shared in the ratio of C: how it goes, and no value",
        re.compile(
            r"\s*\b(?:(?:goes|go|varies|is|are|divides?|splits?|shared?)\s+(?:as|like|with)"
            r"|(?:in\s+)?(?:the\s+|inverse\s+|direct\s+)*(?:ratio|proportion)s?\s+(?:of|to|with))"
            r"\s+(?:the\s+)?(?:1\s*/\s*)?C(?:'?s)?\b(?!\s*[=\d/*])"
        ),
        "",
    ),
    Rewriting(
        "prefix alone: behind the only number of some words: top branch 12u",
        re.compile(
            r"^(\s*[A-Za-z]+(?:\s+[a-z]+)*\s+\d[\d.]*)\s*([uµμ])(?=\s*(?:$|[;,]|=>|-{1,2}>|[→⇒]))"
        ),
        r"\1 \2F",
    ),
    Rewriting(
        "square set flat: ½CV2 is ½CV²",
        re.compile(r"((?:½|1/2|0?\.5)\s*[×x*·.]?\s*C\s*V)2(?![\w.])"),
        r"\1²",
    ),
    Rewriting(
        "values in slashes: 15 V / 10 V / 5 V stand in a row",
        re.compile(r"^\s*\d[\d.]*\s*([pnuµμmk]?[VCJ])(?:\s*/\s*\d[\d.]*\s*\1(?![A-Za-z])){2,}\s*$"),
        in_a_row,
    ),
    Rewriting(
        "note behind: the way to a value in brackets behind it, without its unit: makes 2 (18/9)",
        re.compile(r"(?<![\w.)])(\d[\d.]*)\s+\(([\d.\s+*/×·]*[+*/×·][\d.\s+*/×·]*)\)\s*$"),
        without_way,
    ),
    Rewriting(
        "so many times: how many times as much it is states no value",
        re.compile(rf"(?:\bso\s+|[,(]\s*)?{_SO_MANY_TIMES}(?:\s+as)?[^=\d]*$"),
        "",
    ),
    Rewriting(
        "so many times, a value: the way to it: E also 2.5 times less = 160 uJ",
        re.compile(
            rf"\s*,?\s+(?:(?:is|are|was|gets?|becomes?|goes|also|then|now|by|too|must\s+be)\s+)*"
            rf"{_SO_MANY_TIMES}\s*(?:[=:,→⇒]|-{{1,2}}>|=>|,?\s*(?:so|that\s+is|i\.e\.))\s*"
            rf"(?={_SOME_VALUE}\s*$)"
        ),
        " = ",
    ),
    Rewriting(
        "was: V 8 V (was 20 V): what it is and what it was",
        re.compile(
            rf"(?<![\w'])([A-Za-z]\w*'*)\s*[=:]?\s*({_SOME_VALUE})\s*"
            rf"\((?:it\s+)?(?:was|from|before(?:\s+it\s+was)?:?|instead\s+of)\s+({_SOME_VALUE})\s*\)"
        ),
        r"\1 = \2; \1 before = \3",
    ),
    Rewriting(
        "no solution: numbers that cannot be equal, said to be none: 0 = 7/12, no solution",
        re.compile(
            r"^(?=.*(?:\bno\s+(?:real\s+)?(?:solution|answer|root)|impossible|contradict|nonsense"
            r"|can(?:not|['’]?t)\s+be\b))"
            r"[^=]*=[^=A-Za-z]*\d[^=]*$",
            re.IGNORECASE,
        ),
        "",
    ),
    Rewriting(
        "of reciprocals: what is said of the whole by its reciprocals: Ct: 1/12 + 1/6 = 3/12",
        re.compile(
            r"^\s*(C_?[a-z]*)\s*:\s*"
            r"(?=1\s*/\s*\d[\d.]*\s*\+[^=A-Za-z]*=[^=A-Za-z]*(?:$|so\b|,|[→⇒]|-{1,2}>))"
        ),
        r"1/\1 = ",
    ),
    Rewriting(
        "becomes: an arrow between two amounts and nothing else: 8 -> 24 uF",
        re.compile(r"^\s*(\d[\d.]*)\s*(?:→|=>|⇒|-{1,2}>)\s*(\d[\d.]*\s*[pnuµμmk]?[FCVJ])\s*$"),
        rf"\1 {BECOMES} \2",
    ),
    Rewriting(
        "factor told: E /4: 8/4 is of E, and the factor is in the way",
        re.compile(r"^\s*([CQVUE]_?\d?'?)\s*[x×÷/*]\s*\d[\d.]*\s*:\s*(?=[\d(])"),
        r"\1 = ",
    ),
    Rewriting(
        "first, then: V: 40 V then 20 V; E falls to half, 8 mJ -> 4 mJ; Q 200 -> 600 µC",
        re.compile(
            rf"(?:^|(?<=[,;]))\s*([CQVUE])(?:\s*[:=]\s*|(?:\s+[a-z]+)*,?\s+)({_SOME_VALUE}),?\s*(?:then|→|=>|⇒|-{{1,2}}>)\s*({_SOME_VALUE})(?=\s*(?:$|[,;(]))"
        ),
        at_both_times,
    ),
    Rewriting(
        "from, to: E goes from 0.3 mJ to 0.9 mJ: what it was and what it is",
        re.compile(
            rf"(?<![\w'])([A-Za-z][\w.]*'*)"
            rf"(?:\s+[a-z]+(?:\s+(?:up|down))?|\s*[x×÷*/]\s*\d[\d.]*\s*(?:→|=>|-{{1,2}}>|,))?\s+from\s+({_SOME_VALUE}),?\s+(?:(?:up|down)\s+)?to\s+({_SOME_VALUE})"
        ),
        r"\1 before = \2; \1 = \3",
    ),
    Rewriting(
        "is enough: 1 row is enough: of a count nothing else is said",
        re.compile(r"(?<=[a-z])\s+(?:is|are)\s+(?:already\s+)?enough\b"),
        "",
    ),
    Rewriting(
        "compared with: another value only compared with it: lower than 20, down from 600 µJ",
        re.compile(
            r"\b(lower|less|smaller|higher|greater|larger|bigger|more|down|up)\s+(?:than|from)\s+(?:the\s+)?"
            r"\d[\d.,]*(?:\s*[pnuµμmk]?[FVCJ])?(?![\w*/+=])"
        ),
        r"\1 than before",
    ),
    Rewriting(
        "values with one unit: without equals signs each has the unit that is given for all",
        re.compile(r"^[^=]+$"),
        with_unit_of_all,
        where=UNIT_FOR_ALL,
    ),
    Rewriting(
        "unit for all: by then it says nothing more",
        UNIT_FOR_ALL,
        " ",
    ),
    Rewriting(
        "in a row: Q1, Q2, Q3 = 36, 27, 9 µC: as many values as names, with the unit of the last",
        re.compile(
            r"(?<![\w,])((?:[CQVUE]_?\w{1,4}\s*(?:,|and|&)\s*){1,9}[CQVUE]_?\w{1,4})\s*(?:=|:|\bare\b)\s*"
            r"((?:[\d.]+\s*[pnuµμmk]?[FVCJ]?\s*(?:,\s|and|&)\s*){1,9}[\d.]+\s*([pnuµμmk]?[FVCJ])?)(?![\w.]|\s*[-+*/×=])"
        ),
        one_by_one,
    ),
    Rewriting(
        "same amount: in another unit, in brackets behind it: 2500 nJ (2.5 µJ), 3.9e-4 m (0.39 mm)",
        re.compile(
            r"(\d[\d.,]*(?:e-?\d+)?)\s*([pnuµμmck]?)([FVCJm])\s*[(\[]\s*=?\s*"
            r"(\d[\d.,]*(?:e-?\d+)?)\s*([pnuµμmck]?)\3\s*[)\]]"
        ),
        told_once,
    ),
    Rewriting(
        "known beside: what else is known by then: 36 uC (and Q1 = 24)",
        re.compile(r"\(\s*(?:and|so|with|giving|leaving)\s+([^()]*=[^()]*)\)\s*$"),
        r"; \1",
    ),
    Rewriting(
        "said beside: in brackets, the same once more",
        re.compile(r"\(\s*(?:or|check|i\.?e\.?)\b[^()]*\)"),
        " ",
    ),
    Rewriting(
        "way behind: the way to a value, in brackets after it: 1.5 uF (3x3/6)",
        re.compile(r"(?<=[FCVJ])\s*\([^()A-Za-wyz]*\d[^()A-Za-wyz]*\)\s*$"),
        "",
    ),
    Rewriting(
        "share, then its amount: a third stays on C1, 24 uC: the amount is of what it stays on",
        re.compile(
            r"(\b(?:stays?|remains?|is|left|goes|go|moves?|flows?|passes|gets|takes)\s+(?:over\s+)?"
            r"(?:(?:on|to|onto|with|in)\s+)?C_?\d+)\s*,\s*(?=\d[\d.]*\s*[pnuµμm]?[CVJ](?![A-Za-z]))"
        ),
        r"\1: ",
    ),
    Rewriting(
        "share, then value: gets 2/3 => 12 V: the share is the way to the value",
        re.compile(
            r"\b(gets?|has|takes?|holds?)\s+(?:[1-9]/\d\d?|[½⅓⅔¼¾⅕]|\d+\s*%|(?:a\s+)?(?:half|third|quarter))"
            r"(?:\s+of\s+(?:it|that|this|the\s+[a-z]+))?"
            r"\s*(?:,?\s+(?:so|which\s+is|that\s+is|i\.e\.)|,|=>|[=:→⇒]|-{1,2}>)\s*(?=\d[\d.]*\s*[pnuµμmk]?[VCJ](?![A-Za-z]))"
        ),
        r"\1 ",
    ),
    Rewriting(
        "of a ratio: which number of it is whose: 3 : 1, the single C gets the 3",
        re.compile(
            r"(?:^|[,;])\s*(?:the\s+)?[\w ]{1,30}\s(?:gets?|takes?|has)\s+the\s+\d+"
            r"(?:\s+parts?)?\s*(?=$|[,;.])"
        ),
        "",
    ),
    Rewriting(
        "share alone: the 5 uF gets 1/5 of it: nothing that could be marked",
        re.compile(rf"^\s*(?:the\s+)?\d[\d.]*\s*[pnuµμm]?F?\s+{_SHARE}[a-z ]+$"),
        "",
    ),
    Rewriting(
        "share of all: V1 is 4/5 of the total says nothing of its value",
        re.compile(rf"\b{_SHARE}(?=[a-z]{{3}})"),
        "has part of the ",
    ),
    Rewriting(
        "by a factor: what is done to the value before: E after: also ÷ 5 → 0.36 mJ",
        re.compile(
            rf"(?<![\w'])([A-Za-z]\w*'?)(?::\s*{_DONE}*|\s+{_DONE}+|\s+(?=[x×÷/]\s*\d+(?:{_AGAIN}|\s*→)))"
            rf"(?:[x×÷*/]\s*\d[\d.]*|\d[\d.]*\s+times){_AGAIN}?\s*(?:→|=>|⇒|-{{1,2}}>|=|:)\s*"
            rf"(?:({_SOME_VALUE})\s*(?:→|=>|⇒|-{{1,2}}>|\bto\b)\s*)?({_SOME_VALUE})"
        ),
        before_and_after,
    ),
    Rewriting(
        "either sign: of two roots the one with the plus is a value here",
        re.compile(r"\s*±\s*"),
        " + ",
    ),
    Rewriting(
        "at a point: 15 uF (P) is no product",
        re.compile(r"(?<=[FVCJ])\s*\(\s*[A-Z]\s*\)(?!\s*[\w(])"),
        "",
    ),
    Rewriting(
        "letter in brackets: (C)(V) is a product of two",
        re.compile(r"\(\s*([CV])\s*\)\s*(?=\()"),
        r"\1",
    ),
    Rewriting(
        "across: a p.d. over something is no quotient",
        re.compile(r"(\bvolts?|\bvoltage|\bp\.?d\.?|V)\s+over\s+(?=the\b|C_?\d|\d)"),
        r"\1 across ",
    ),
    Rewriting(
        "within brackets: nothing is parted there",
        re.compile(r"\([^()]*\)"),
        unparted,
    ),
    Rewriting(
        "and, in short: 2 n 3 of two numbers",
        re.compile(r"(?<=\d)\s+n\s+(?=\d)"),
        " and ",
    ),
    Rewriting(
        "unit in brackets: 12 [V]",
        re.compile(r"(?<=\d)\s*\[\s*([pnuµμmk]?[FVCJ])\s*\]"),
        r" \1",
    ),
    Rewriting(
        "index apart: Q(1) = and V 1 = are of Q_1 and V_1, Qmax, 2 = and Qmax 2 = of Qmax2",
        re.compile(
            r"(?<![\w/*×·+-])(?<![A-Z\d)/*×·+-] )([CQVUE])"
            r"(?:_?([a-z]{1,4})(?:\(|\s*,)\s*|_?([a-z]{1,4}) |\(| )"
            r"\s*(\d{1,4}|(?<=\()[a-z]{1,4})(?:\s*\))?(?=\s*(?:=|:|→|⇒|-{1,2}>))"
        ),
        with_index,
    ),
    Rewriting(
        "columns: parted by slashes, each with a colon behind its heading",
        re.compile(r"(?s)^.+$"),
        in_columns,
        where=SLASHED,
    ),
)


def plainly(line: str) -> str:
    """A line as it is read once each rule has had its turn."""
    for rule in REWRITINGS:
        if rule.where is None or rule.where.search(line):
            line = rule.what.sub(rule.becomes, line)
    return line
