"""A script as it was written, line by line, in the one form in which lines are read.

What is crossed out, boxed, underlined, numbered, stacked over three lines or set in TeX is brought
into plain lines of mathematics and words; each line keeps its number and its text as it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from math import sqrt
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.answers import evaluate, read_claims
from grammar.measures import PURE
from grammar.records import Refusal
from grammar.set_out import with_rows_said
from grammar.spoken_numbers import ONES, PARTS, TENS, in_figures
from grammar.struck_out import noted_out, standing, takes_back_line

_NUMBERING = re.compile(
    r"(?!\s*Q\((?:\d+|[a-z])\)\s*(?:[=≈:→⇒]|-{1,2}>))"  # the charge on what is so called
    r"\s*(?:(?i:step|part|line|question|stage|answer|q)\s*)?\(?(?:\d{1,2}|[a-hj-z]|[ivx]{1,4})\)[:.]?"
    r"\s*(?=\S)"
    r"|\s*(?:(?i:step|part|line|question|stage)\s+)?\d{1,2}[.:](?=\s)\s*"
    r"|\s*#*\s*(?i:step|part|line|question|problem|exercise|task|stage)\s+(?:\d{1,2}|\([a-z]\))"
    r"\s*(?:[-–:.]?\s+|[-–:.]?$)"
    r"|\s*[a-h]\.\s+(?=[A-Z1(])|\s*[-*•–]\s+"
)
_BOX = re.compile(r"^\s*[\[|]\s*(.*?)\s*[\]|]\s*$")
_CHANGE = re.compile(r"[\u0394\u2206]\s*(?=[VU]_?\d)")  # a p.d. is one between two points
_RULE = re.compile(r"^\s*(?:[_=\-–—─~*+|]\s*){3,}$")
_EMPHASIS = re.compile(r"\*\*(?=\S)(.+?)(?<=\S)\*\*|(?<![A-Za-z0-9_])__(?=\S)(.+?)__")
_TICK = re.compile(r"\s*[\u2713\u2714\u2611√]+\s*$")
_BAR = re.compile(r"[-–—─_]+")
_SIDE_BY_SIDE = re.compile(
    r"(=\s*[-+]?[\d.,]+\s*(?:[pnuµμmkM]?[FVJ]|[pnuµμm]C))\s+(?=[CQVUEW](?:_?\w{1,5})?'*\s*=)"
)
# Written close, V1=30 V2=20 or 4x5=20 3x5=15: what stands between two spaces is one equation.
_CLOSE = re.compile(
    r"(?<![^\s,;:])([\w.(½][^\s=]*=\S*\d(?:[pnuµμm]?[FCVJ]|[uµμ])?)\s+"
    r"(?=(?![x×])[\w.(½][^\s=]*=\S*[\d½])"
)
# Two equations side by side, told apart by the room between them.
_FAR_APART = re.compile(
    r"(=[^=;]*[\w)])\s{2,}(?=[CQVUEW](?:_?\w{1,5})?'*\s*=|[\d(.½][^=;]*=|[a-z]+(?:\s[a-z]+)*:)"
)
_TERM = r"(?:[A-Z]\w*'*|\d+(?:\.\d+)?(?:/\d+)?)"
_IN_ROW = rf"{_TERM}(?:\s*:\s*{_TERM})+"
_RATIO = re.compile(rf"(?<![\w:./]){_IN_ROW}(?:\s*=\s*{_IN_ROW})+(?!\s*[:\w])")
_TO_NOTHING = re.compile(r"\s*(?:=>|-{1,2}>|[→⇒∴⟹])\s*$")  # nothing of a value stood behind
_RATIO_IN_WORDS = re.compile(  # V left : V right = 2 : 1
    rf"(?<![\w:])[A-Za-z][\w ]*(?::\s*[A-Za-z][\w ]*)+(?:=\s*{_TERM}(?:\s*:\s*{_TERM})+\s*)+,?"
)
_TWO_WORDS = re.compile(r"[^=]*[A-Za-z]\w*\s+\w[^=]*:[^=]*=|[^=]*:[^=]*[A-Za-z]\w*\s+\w[^=]*=")
_SHARES = re.compile(  # the p.d. divides 4 : 1; in "4 & 4: 8" the colon says what comes of them
    r"(?<![\w:./])\d+(?:\.\d+)?(?:(?::|\s+:\s+)\d+(?:\.\d+)?)+(?!\s*[:\w.])"
)
TO: Final = "\u2236"  # between the numbers of a ratio of which words say what it divides
_DIVIDED: Final = re.compile(
    r"(?i:\b(?:volt(?:age)?s?|p\.?d\.?s?|charges?)(?!\w))|^\W*[VUQ](?!\w|')"
)
_SHARES_AGAIN: Final = re.compile(r"^\s*=\s*\d[\d.]*(?:\s*:\s*\d[\d.]*)+(?!\s*[=:]|[\w.])")
# Which equations an equation comes of, by their numbers: "4*(i) + (ii): 15 VP = 84".
_BY_ITS_NUMBER = (
    r"(?:[(\[]\s*(?:\d{1,2}|[ivxIVX]{1,4}|[ab*]{1,2})\s*[)\]]"
    r"|(?i:eqn?|equation|line)s?\.?\s*[(]?(?:\d{1,2}|[ivxIVX]{1,4})\b[)]?)"
)
_DONE_WITH_IT = (
    r"(?:[-+−–*×·∙,&/÷]|\d{1,2}\b|x(?![a-z])|(?i:from|add(?:ing)?|sub(?:tract(?:ing)?|stitut(?:e|ing))?"
    r"|us(?:e|ing)|put(?:ting)?|and|in(?:to)?|plus|minus|times|by|multipl(?:y|ying))\b)"
)
_COMES_OF = re.compile(
    rf"^\s*(?:{_DONE_WITH_IT}\s*)*{_BY_ITS_NUMBER}\s*(?:(?:{_DONE_WITH_IT}|{_BY_ITS_NUMBER})\s*)*"
    r"(?::|→|⇒|=>|-{1,2}>|,|\b(?:gives?|makes?|so|we\s+get)\b:?)\s*(?=[^=:]*[A-Za-z][^=:]*=)"
)
_JOINED_WITH = re.compile(r"\bwith\s+(?:the\s+)?[\d.]+$")
_QUOTIENT = re.compile(r"(?<=[\d)])(?: : |:)(?=[\d(])")  # after an equals sign: U = 80 : 6 = 13,3
_LEADING_ARROW = re.compile(r"^\s*(?:=>|⇒|⟹|→|-{1,2}>)\s*(?=[A-Za-z][^=]*=)")
_HALF = re.compile(r"(?i)\bhalf\b\s*(?:of\b|x\b|[*×·])?\s*(?:the\s+(?=\d))?(?=[\dCQV(])")
_ONE_OVER = re.compile(
    r"(?i)\b(?:one\s+(?:over|by|upon|divided\s+by)|(?:the\s+)?(?:reciprocal|inverse)\s+of)"
    r"\s+(?:the\s+)?(?=[A-Za-z]\w*'*(?:\s+[a-z]+)?\s*(?:=|:|is\b|\d))"
)
_COMBINED = re.compile(r"\d\s*[pnuµμm]?F?\s*(?:\|\||∥|[,&]|-{2}|\band\b|\bwith\b)\s*$")
_BARS = re.compile(r"(?<=[\d)F])\s*//\s*(?=[\d(]|C_?\d)")  # 10 // 4
_COMMENT = re.compile(
    r"^(?=[^/#\d]*\d)(?P<said>[^/#]*?)\s*(?://|\s#)\s*(?P<words>[A-Za-z][^=\d]*)$"
)
_POINTED_AT = re.compile(r"\s*(?:<-+|←)\s*[A-Za-z ,.!]+$")
_EQUATION_NUMBER = re.compile(
    r"(?<!\s)(?:\s*(?:\.{2,}|…|--+)\s*[(\[]?\d[)\]]?|\s{2,}[(\[]?\d[)\]]?"
    r"|\s*[(\[](?:\d|i{1,3}|[a-d]|\*)[)\]])\s*$"
)
_ENDS_IN_VALUE = re.compile(r"\d\s*[pnuµμmk]?[FCVJ]\s*$")
_REFERRED = re.compile(  # see line 2, (from step 1)
    r"(?i)[(\[]?\b(?:see|from|by|using|as\s+in)\s+(?:the\s+)?"
    r"(?:line|step|page|question|rule|part|eqn|equation|formula|example)\s+"
    r"(?:\d{1,3}|\(\w\))(?![\w.])(?!\s*[-+*/×=])[)\]]?|[(\[]\s*\d{1,2}\s*(?i:marks?|pts?)\s*[)\]]"
)
_WORDED_PART = re.compile(  # a quarter of 8, two thirds of 30
    rf"(?i)\b(a|the|{'|'.join(ONES)})\s+({'|'.join(PARTS)}|tenth)s?\s+of\s+(?:the\s+)?(?=[\d(CQV])"
)
_WORDED_AMOUNT = re.compile(
    r"(?i)[^\d=]*\b(?:pico|nano|micro|milli)?\s?(?:farad|volt|coulomb|joule)s?\b[^\d=]*"
)
_AMOUNT_IN_WORDS = re.compile(
    rf"(?i)(?<![\w-])(?:(?:{'|'.join([*ONES, *TENS])}|point|hundred(?:\s+and)?|thousand)[\s-]+)+"
    r"(?:(?:pico|nano|micro|milli)[\s-]?)?(?:farad|volt|coulomb|joule)s?\b"
)
_OF_THE_PARTS = re.compile(
    r"\b\d+\s+(?:out\s+)?of\s+(?:the\s+)?\d+\s+(?:equal\s+)?(?:parts?|shares?)\b\s*[:=,]?"
)
_SPACED_POINT = re.compile(r"(?<=\d) \. (?=\d+(?: times\b| × 10 ?\^))")  # of a scan
_OF_NUMBER = re.compile(r"(?<=[\d)½⅓⅔¼¾])\s+of\s+(?:the\s+)?(?=\d)")
_PER_CENT_OF = re.compile(r"(\d[\d.]*)\s*%\s+of\s+(?:the\s+)?(?=[\d(])")
_PREFIX_APART = re.compile(
    r"(?<=\d)\s*([pnuµμm])\s+(?:(c)oulombs?|(f)arads?|(v)olts?|(j)oules?)\b", re.IGNORECASE
)
_UNIT_IN_FULL = re.compile(
    r"(?i)(?<=\d)\s*\b(pico|nano|micro|milli|kilo)?[ -]?(coulomb|farad|volt|joule)s?\b"
)
_PREFIXES: Mapping[str, str] = MappingProxyType(
    {"pico": "p", "nano": "n", "micro": "u", "milli": "m", "kilo": "k", "": ""}
)
# A capacitor told by its value in words, and a whole line in words: the seven holds 63 µC.
_TOLD_BY_VALUE = re.compile(
    r"(?i)\bthe\s+[a-z]+(?:[- ][a-z]+)?(?=\s+(?:holds|has|gets|takes|carries|stores|keeps)\b)"
)
_DICTATED = re.compile(r"(?i)[^\d=]*\b(?:plus|minus|times|over|divided by|equals|squared)\b[^\d=]*")
_POWER_OF_TEN = re.compile(
    r"(?<![\w.])(?<!\d[eE][-+−–])(\d[\d.,]*)\s*(?:[*·⋅]\s*10\s*(?:\^|\*\*)\s*(?:\(\s*([-−–]?\d+)\s*\)|([-−–]?\d+))"
    r"|[x×*·⋅]\s*10([-−–]\d{1,2})(?![\d.])|[*·⋅]\s*10(⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+))"
)
_FLAT_POWER = MappingProxyType(str.maketrans("−–⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "---0123456789"))
_POWER_UP = re.compile(r"(?<![\w.])(\d+\.\d+)[x×]10\+(\d{1,2})(?![\d.])")  # 4.5x10+5
_PREFIX_ALONE = re.compile(r"(?<![\w.])(\d[\d.,]*)\s*([µμ]|(?<=\d)[unp])(?=\s*[×*·)+/=]|\s+x\s)")
# Q1 = 80u
_PREFIX_LAST = re.compile(r"(?<![\w.])([A-Za-z]\w*'*\s*=\s*)(\d[\d.,]*)\s*[uµμ](?=\s*(?:;|,\s|$))")
# 4u7 is 4.7 µF, and in a line with such a marking so is 12u, but for what it comes to at its end.
_MARKING = re.compile(r"(?<![\w.])(\d+)([pnuµμ])(\d+)(?![\w.])")
_BESIDE_MARKING = re.compile(r"(?<![\w.=])(?<!=\s)(\d[\d.]*)([pnuµμ])(?!\w)")
_MARKED = re.compile(r"(?<![\w.])\d[\d.]* [pnuµμ]F")
_PREFIX_AT_END = re.compile(r"(?<==)\s*(\d[\d.,]*)\s*([unpµμ])(?=\s*$)")
_ROOT = re.compile(
    r"(?:\b[Ss]q(?:uare\s+)?r(?:oo)?t(?:\s+of)?|√)\s*(?:\(([^()=]*\d[^()=]*)\)|(\d+(?:\.\d+)?))"
)
# A side that is a root of what has names or units, between two others, says no more than they do.
_ROOT_BETWEEN = re.compile(r"=\s*(?:[Ss]qrt|√)\s*\([^()=]*(?:\([^()=]*\)[^()=]*)*\)\s*(?==)")
_BY_FRACTION = re.compile(r"÷\s*(\d+/\d+)(?![\d./])")
_POWERS: Mapping[str, int] = MappingProxyType({"p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6})
_TEX = re.compile(r"\\[a-zA-Z]|\$|[_^]\{")
_TEX_SIGNS = (
    (r"\\(?:SI|qty)\s*(?:\[[^\]]*\])?\s*\{([^{}]*)\}\s*\{([^{}]*)\}", r"\1 \2"),
    (r"\\(?:micro|mu)(?![a-zA-Z])\s*", "µ"),
    (r"\\pico(?![a-zA-Z])", "p"),
    (r"\\nano(?![a-zA-Z])", "n"),
    (r"\\milli(?![a-zA-Z])", "m"),
    (r"\\kilo(?![a-zA-Z])", "k"),
    (r"\\farad(?![a-zA-Z])", "F"),
    (r"\\volt(?![a-zA-Z])", "V"),
    (r"\\coulomb(?![a-zA-Z])", "C"),
    (r"\\joule(?![a-zA-Z])", "J"),
    (r"\\(?:times|cdot)(?![a-zA-Z])", "×"),
    (r"\\div(?![a-zA-Z])", "÷"),
    (r"\\var(?=epsilon)", r"\\"),
    (r"\\epsilon(?![a-zA-Z])", "ε"),
    (r"\\Delta(?![a-zA-Z])\s*", "Δ"),
    (r"\\(?:therefore|implies|Rightarrow|Longrightarrow|to|rightarrow)(?![a-zA-Z])", " ⇒ "),
    (r"\\(?:approx|simeq|sim)(?![a-zA-Z])", "≈"),
    (r",?\s*\\q?quad(?![a-zA-Z])\s*(?=[A-Za-z])", "; "),
    (r"\\(?:left|right|big|Big|displaystyle|quad|qquad|bf|rm)(?![a-zA-Z])", " "),
    (
        r"\\(?:text|mathrm|mathbf|textbf|operatorname|boxed|fbox|underline|unit|si)\s*\{([^{}]*)\}",
        r" \1 ",
    ),
    (r"\{,\}", ","),
    (r"\\[,;:! ]", " "),
    (r"(?<=[A-Za-z])\s+\^", "^"),  # a power of a unit, set upright: \mathrm{cm}^2
    (r"[_^]\{([^{}]*)\}", None),
    (r"\$+|&|\\[()\[\]]", " "),
)
# One sign without braces is whole above or below the line, as in 1 over 8 from frac18.
_FRACTION = re.compile(r"\\[dt]?frac\s*(?:\{([^{}]*)\}|(\w))\s*(?:\{([^{}]*)\}|(\w))")
_ROUND: Final = str.maketrans("{}", "()")  # {9×18}/{9+18}
_ONE_SIGN = re.compile(r"\s*[A-Za-z0-9]+(?:_\{?\w+\}?|[.,]\d+)?\s*")


class PlainLine(NamedTuple):
    """One line: ``number`` counts from 1, ``text`` is what stands there and ``plain`` what is to
    be read, empty for nothing. ``part_of``: the number of the line that its fraction counts on.
    """

    number: int
    text: str
    crossed_out: bool
    plain: str
    part_of: int | None = None


def lines_as_written(text: str) -> tuple[PlainLine, ...]:
    """Every line of a script, blank ones too."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    if lines[-1] == "":
        lines.pop()
    stacked = dict(_stacked(lines))
    belongs = {other: at for at, (_, others) in stacked.items() for other in others}
    found = []
    rows = list(with_rows_said(lines))
    for at, line in enumerate(lines):
        if at in belongs:
            found.append(PlainLine(at + 1, line, False, "", belongs[at] + 1))
            continue
        source = stacked[at][0] if at in stacked else rows[at]
        if found and (noted_out(line) or takes_back_line(line, found[-1].plain)):
            found[-1] = found[-1]._replace(crossed_out=True, plain="")
        found.append(_line(at + 1, line, source))
    return tuple(found)


def _line(number: int, text: str, source: str) -> PlainLine:
    kept = standing(source)
    crossed = kept != source
    if _TEX.search(kept):
        kept = _without_tex(kept)
    kept = _CHANGE.sub("", kept.translate(_ROUND))
    if _RULE.match(kept):
        kept = ""
    kept = _EMPHASIS.sub(lambda found: found[1] or found[2], kept)
    boxed = _BOX.match(kept)
    kept = _POINTED_AT.sub("", _TICK.sub("", boxed[1] if boxed else kept))
    kept = _RATIO_IN_WORDS.sub(" ", kept) if _TWO_WORDS.match(kept) else kept
    kept = _SIDE_BY_SIDE.sub(r"\1; ", _TO_NOTHING.sub("", _RATIO.sub(_as_fractions, kept)))
    kept = _FAR_APART.sub(r"\1; ", _RATIO_IN_WORDS.sub(" ", kept))
    kept = _LEADING_ARROW.sub("", _CLOSE.sub(r"\1; ", _BARS.sub(" || ", kept)))
    before, sign, after = _SHARES_AGAIN.sub(" ", kept).partition("=")
    before = _SHARES.sub(_as_said, before) if _is_of_shares(before, sign) else before
    kept = f"{before}{sign}{_QUOTIENT.sub(_over, after)}"
    kept = _OF_THE_PARTS.sub(" ", kept)
    kept = _SPACED_POINT.sub(".", re.sub(r"(?<=\d) \. (?=10 ?\^)", " × ", kept))
    kept = _UNIT_IN_FULL.sub(_in_short, _in_figures(kept))
    kept = _PER_CENT_OF.sub(r"(\1/100) × ", kept)
    kept = _PREFIX_APART.sub(_together, _HALF.sub("½ × ", _OF_NUMBER.sub(" × ", kept)))
    kept = _ONE_OVER.sub("1/", kept)
    kept = re.sub(r"(?<=\d)\s*([µμ])\s+(?=[FCVJ](?![A-Za-z]))", r" \1", kept)
    kept = _BY_FRACTION.sub(r"÷ (\1)", kept)
    kept = _POWER_UP.sub(r"\1e\2", _POWER_OF_TEN.sub(_in_one_spelling, kept))
    kept = _with_last_prefix(_PREFIX_LAST.sub(r"\1\2e-6", kept))
    kept = _ROOT_BETWEEN.sub("", _ROOT.sub(_extracted, kept))
    kept = _REFERRED.sub(" ", kept)
    states = "=" in kept or _ENDS_IN_VALUE.search(kept[: _end_of_equation(kept)])
    if states and not re.search(r"[*/+×(=-]\s*$", kept[: _end_of_equation(kept)]):
        kept = kept[: _end_of_equation(kept)]
    kept = _COMMENT.sub(r"\g<words>: \g<said>", _COMES_OF.sub("", kept))
    for _ in range(2):  # as in "1) (a) C = ..."
        found = _NUMBERING.match(kept)
        kept = kept[found.end() :] if found else kept
    kept = kept.strip().strip("_").strip()
    return PlainLine(number, text, crossed and not kept, kept)


def _in_figures(line: str) -> str:
    if _DICTATED.fullmatch(line) or _WORDED_AMOUNT.fullmatch(line):
        return in_figures(line)
    line = _AMOUNT_IN_WORDS.sub(lambda found: in_figures(found[0]), line)
    line = _WORDED_PART.sub(_as_factor, line)
    return _TOLD_BY_VALUE.sub(lambda found: in_figures(found[0]), line)


def _as_factor(found: re.Match[str]) -> str:
    part = PARTS.get(found[2].lower(), "1/10")
    return f"({ONES.get(found[1].lower(), 1)}{part[1:]}) × "


def _in_short(found: re.Match[str]) -> str:
    return f" {_PREFIXES[(found[1] or '').lower()]}{found[2][0].upper()}"


def _as_fractions(found: re.Match[str]) -> str:
    """A ratio as an equation of fractions; V1 : V2 : V3 = 1 : 2 : 3 as one for each neighbour. One
    of plain numbers in two forms, 1/4 : 1/6 = 3 : 2, says nothing of any value.
    """
    sides = [re.split(r"\s*:\s*", side) for side in re.split(r"\s*=\s*", found[0])]
    least = min(len(side) for side in sides)
    if any(len(side) > least for side in sides[1:]):
        return found[0]
    before, sides[0] = sides[0][:-least], sides[0][-least:]
    if len(sides) > 1 and _are_one_ratio(sides):
        ahead = f"{found.string[: found.start()]} {' '.join(before)}"
        return ": ".join([*before, _of_words(ahead, sides[0])])
    pairs = [[f"{_whole(a)}/{_whole(b)}" for a, b in pairwise(side)] for side in sides]
    said = "; ".join(" = ".join(pair) for pair in zip(*pairs, strict=True))
    return ": ".join([*before, said])


def _are_one_ratio(sides: Sequence[Sequence[str]]) -> bool:
    """Whether rows of plain numbers are one ratio."""
    try:
        rows = [[Fraction(a) / Fraction(b or 1) for a, _, b in map(_fraction, s)] for s in sides]
        return all(
            one * row[0] == other * rows[0][0]
            for row in rows
            for other, one in zip(row, rows[0], strict=True)
        )
    except (ValueError, ZeroDivisionError):
        return False


def _fraction(term: str) -> tuple[str, str, str]:
    above, sign, below = term.strip(" ()").partition("/")
    return above.strip(), sign, below.strip()


def _is_of_shares(before: str, sign: str) -> bool:
    """Whether a colon between numbers may stand in a ratio: where nothing is said to be equal, or
    before that behind words that say what is divided.
    """
    is_way = re.search(r"\d\s*:\s*[\d.]+\s*$", before) is not None
    return not sign or (not is_way and _DIVIDED.search(before) is not None)


def _over(colon: re.Match[str]) -> str:
    """A sign of division; in "10 + 2 = 12, series with 4 : 1/4 + 1/12" the colon ends words."""
    return colon[0] if _JOINED_WITH.search(colon.string[: colon.start()]) else "/"


def _as_said(share: re.Match[str]) -> str:
    """A ratio as what it says; in "10 || 4 : 14" the colon says what the two come to."""
    ahead = share.string[: share.start()]
    return share[0] if _COMBINED.search(ahead) else _of_words(ahead, re.split(r"\s*:\s*", share[0]))


def _of_words(ahead: str, shares: Sequence[str]) -> str:
    """A ratio in a form of its own behind words that say what is divided so, else nothing."""
    is_plain = all(re.fullmatch(r"\d+(?:\.\d+)?", each) for each in shares)
    return TO.join(shares) if is_plain and TO not in ahead and _DIVIDED.search(ahead) else " "


def _whole(term: str) -> str:
    return f"({term})" if "/" in term else term


def _extracted(found: re.Match[str]) -> str:
    """The square root of plain numbers as a decimal; any other as it stands."""
    try:
        measure = evaluate(read_claims(found[1] or found[2], ())[0].sides[0], {})
        root = Decimal(str(sqrt(Fraction(str(measure.value)))))
    except (Refusal, ValueError):
        return found[0]
    if measure.dims != PURE:
        return found[0]
    return f"{root.quantize(Decimal(1)) if root == root.to_integral_value() else root:f}"


def _as_power(found: re.Match[str]) -> str:
    """A prefix alone as its power of ten; but 11p = 78 + 2r begins with a letter for a number, and
    so does every 4p of a line in which p stands alone too.
    """
    before, after = found.string[: found.start()], found.string[found.end() :]
    begins = "=" not in before and after.lstrip().startswith("=")
    begins = begins and not re.fullmatch(rf"\s*=\s*\d[\d.]*\s*{found[2]}\s*", after)
    alone = re.search(rf"(?<![\w.]){found[2]}(?!\w)", found.string) is not None
    is_letter = found[2] in "unp" and (begins or alone)
    return found[0] if is_letter else f"{found[1]}e{_POWERS[found[2]]}"


def _with_last_prefix(line: str) -> str:
    """Markings as capacitances, and prefixes alone as powers of ten, that of the last value too
    where one stands before it.
    """
    if (marked := _MARKING.sub(r"\1.\3 \2F", line)) != line:
        marked = _BESIDE_MARKING.sub(r"\1 \2F", marked)
        is_of_these = re.search(r"\d", _MARKED.sub("", marked.rpartition("=")[0])) is None
        return _PREFIX_AT_END.sub(r"\1 \2F" if is_of_these else _as_power, marked)
    read = _PREFIX_ALONE.sub(_as_power, line)
    return read if read == line else _PREFIX_AT_END.sub(_as_power, read)


def _together(found: re.Match[str]) -> str:
    return f" {found[1]}{next(letter for letter in found.groups()[1:] if letter).upper()}"


def _end_of_equation(line: str) -> int:
    """Where an equation ends that has a number of its own: 6 VP - VR = 20 ...(1)."""
    found = _EQUATION_NUMBER.search(line)
    return found.start() if found else len(line)


def _in_one_spelling(found: re.Match[str]) -> str:
    power = next(filter(None, found.groups()[1:])).translate(_FLAT_POWER)
    return f"{found[1]}e{power}"


def _without_tex(text: str) -> str:
    for _ in range(6):  # fractions within fractions
        text, changed = _FRACTION.subn(_as_quotient, text)
        if not changed:
            break
    for pattern, sign in _TEX_SIGNS:
        text = re.sub(pattern, sign if sign is not None else _marked, text)
    for _ in range(2):
        text, changed = _FRACTION.subn(_as_quotient, text)
    text = re.sub(r"\\[a-zA-Z]+\s*\{([^{}]*)\}", r"\1", text)
    text = re.sub(r" {2,}", " ", re.sub(r"µ\s+(?=[FCVJ](?![A-Za-z]))", "µ", text))
    return re.sub(r"\\\\\s*$|[{}]|\\(?=\s|$)", " ", text)


def _as_quotient(found: re.Match[str]) -> str:
    """What stands above the line over what stands below, in brackets where it is more than one
    name or number: a name alone in brackets would be taken for the letter of a part, as in (a).
    """
    parts = (found[1] or found[2] or "", found[3] or found[4] or "")
    above, below = (each if _ONE_SIGN.fullmatch(each) else f"({each})" for each in parts)
    return f"({above}/{below})"


def _marked(found: re.Match[str]) -> str:
    """What is set lower or higher: C_{23}, 10^{-6}."""
    inner = found[1].strip()
    if found[0][0] == "_":
        return f"_{inner.replace(' ', '')}"
    return f"^({inner})" if re.fullmatch(r"[-−+]?\d+", inner) else f"^{inner}"


# Fractions over three lines


def _stacked(lines: Sequence[str]) -> Iterator[tuple[int, tuple[str, tuple[int, int]]]]:
    """Lines with bars of fractions, as one line each, and the lines above and below them."""
    used: set[int] = set()
    for at in range(1, len(lines) - 1):
        above, bars, below = lines[at - 1 : at + 2]
        if {at - 1, at} & used or "=" in above + below or not above.strip() or not below.strip():
            continue
        if "|" in bars:  # the rule of a table
            continue
        joined = _joined(above, bars, below)
        if joined is not None:
            used |= {at, at + 1}
            yield at, (joined, (at - 1, at + 1))


def _joined(above: str, bars: str, below: str) -> str | None:
    """The three lines in one; None where the middle one is no line of bars."""
    runs = [r for r in _BAR.finditer(bars) if _beside(above, r) and _beside(below, r)]
    if not runs or not re.search(r"-{2}|[–—─_]{2}|[─—]", bars):
        return None
    # C and 1 may stand above and below alone where the bars are short: what is left over must
    # be covered by the bars, or these are three lines of another kind.
    for line in (above, below):
        rest = line
        for run in runs:
            start, end = _reach(line, run)
            rest = rest[:start] + " " * (end - start) + rest[end:]
        if rest.strip():
            return None
    pieces: list[str] = []
    last = 0
    for run in runs:
        top, bottom = (line[slice(*_reach(line, run))].strip() for line in (above, below))
        pieces += [
            bars[last : run.start()],
            f"({top})/({bottom})" if _long(top + bottom) else f"{top}/{bottom}",
        ]
        last = run.end()
    return "".join([*pieces, bars[last:]])


def _long(text: str) -> bool:
    return not re.fullmatch(r"\w*", text)


def _beside(line: str, run: re.Match[str]) -> bool:
    start, end = _reach(line, run)
    return bool(line[start:end].strip())


def _reach(line: str, run: re.Match[str]) -> tuple[int, int]:
    """The text of a line that overlaps a bar, out to the gaps of two spaces around it."""
    start, end = max(run.start() - 1, 0), run.end() + 1
    while start > 0 and start < len(line) and not line[max(start - 2, 0) : start].isspace():
        start -= 1
    while end < len(line) and not line[end : end + 2].isspace():
        end += 1
    return start, end
