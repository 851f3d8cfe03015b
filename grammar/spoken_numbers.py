"""Numbers and units said in words, written in figures: twenty four, two point four, one and a half.

Only what cannot mean anything else is changed; 'one' as in 'the other one' stays a word.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Final

ONES: Mapping[str, int] = MappingProxyType(
    {
        "zero": 0,
        "one": 1,
        "two": 2,
        "three": 3,
        "four": 4,
        "five": 5,
        "six": 6,
        "seven": 7,
        "eight": 8,
        "nine": 9,
        "ten": 10,
        "eleven": 11,
        "twelve": 12,
        "thirteen": 13,
        "fourteen": 14,
        "fifteen": 15,
        "fiveteen": 15,
        "sixteen": 16,
        "seventeen": 17,
        "eighteen": 18,
        "nineteen": 19,
    }
)
TENS: Mapping[str, int] = MappingProxyType(
    {
        "twenty": 20,
        "thirty": 30,
        "forty": 40,
        "fourty": 40,
        "fifty": 50,
        "sixty": 60,
        "seventy": 70,
        "eighty": 80,
        "ninety": 90,
    }
)
DOZEN: Mapping[str, str] = MappingProxyType({"half a dozen": "six", "a dozen": "twelve"})
_SCALES: Mapping[str, int] = MappingProxyType({"hundred": 100, "thousand": 1000})
PARTS: Mapping[str, str] = MappingProxyType(
    {
        "half": "1/2",
        "third": "1/3",
        "quarter": "1/4",
        "fourth": "1/4",
        "fifth": "1/5",
        "sixth": "1/6",
        "seventh": "1/7",
        "eighth": "1/8",
        "ninth": "1/9",
        "twelfth": "1/12",
        "fifteenth": "1/15",
        "twentieth": "1/20",
        "thirtieth": "1/30",
    }
)
_SMALL: Mapping[str, str] = MappingProxyType(
    {
        "tenth": "e-1",
        "hundredth": "e-2",
        "thousandth": "e-3",
        "millionth": "e-6",
        "billionth": "e-9",
    }
)

_NUMBER_WORD: Final = "|".join((*ONES, *TENS, *_SCALES))
_RUN = re.compile(
    rf"(?i)\b(?:a\s+hundred\b|(?:{_NUMBER_WORD})\b)"
    rf"(?:(?:[\s-]+|(?<=hundred)\s+and\s+|(?<=thousand)\s+and\s+)(?:{_NUMBER_WORD})\b)*(?:\s+point(?:\s+(?:{_NUMBER_WORD}))+\b)?"
)
_AND_A_PART = re.compile(
    rf"(?i)(\b\d+|\b(?:{_NUMBER_WORD}))\s+and\s+(a|\d+|{'|'.join([*ONES])})\s+"
    rf"({'|'.join(PARTS)})s?\b"
)
_A_PART_ALONE = re.compile(
    rf"(?i)^\W*(?:it(?:['’]s|\s+is)\s+)?(?:an?|one)\s+({'|'.join(PARTS)})\W*$"
)
# Three twelfths; a third one is none.
_SO_MANY_PARTS = re.compile(
    rf"(?i)\b(?P<many>\d+|{'|'.join([*ONES][2:])})\s+(?P<part>{'|'.join(PARTS)})s\b"
)
_PART_OF_SMALL = re.compile(
    rf"(?i)\b(?:(half|quarter)\s+(?:of\s+)?an?|(\d+(?:\.\d+)?|an?|one|two))\s+({'|'.join(_SMALL)})s?\b"
)
_PART_OF = re.compile(
    rf"(?i)\b(?:(\d+|one|two|three|a)\s+)?({'|'.join(PARTS)})s?\s+of\s+(?:the\s+)?(?=[\d.(]|(?-i:[A-Z]\w*\b))"
)
_HALF_OF_A_LETTER = re.compile(
    rf"(?<![A-Za-z])(?i:(?:an?\s+|one\s+)?({'|'.join(PARTS)}))\s+(?=[CVQ]{{1,2}}\b)"
)
_HALF_TIMES = re.compile(r"(?i)\bhalf\s*(?:x|×|\*|times)\s*(?=[\d(])")
_FRACTION_OF = re.compile(
    r"(?i)(?<=\d)\s+of\s+(?:the\s+)?(?=[\d(]|(?<=/\d\sof\s)(?-i:[CQVUE]\d*)\b)"
)
_TWICE = re.compile(
    r"(?i)\b(?:twice|double)\s+(?:of\s+|that\s+of\s+)?(?=[\d.(]|[A-Z]\d|(?-i:[CQV]{1,2})\b)"
)
_HALF_OF_SMALL: Mapping[str, str] = MappingProxyType({"half": "0.5", "quarter": "0.25"})
_IN_FULL: Mapping[str, str] = MappingProxyType(
    {
        "p": "pico",
        "n": "nano",
        "u": "micro",
        "µ": "micro",
        "μ": "micro",
        "m": "milli",
        "k": "kilo",
    }
)
_SPELT_UNITS: tuple[tuple[re.Pattern[str], str | Callable[[re.Match[str]], str]], ...] = (
    (re.compile(r"(?i)\bmikro(?=\s*[-]?\s*(?:[fcvj]\b|farad|coulomb|volt|joule))"), "micro"),
    (re.compile(r"\bmicro[\s-]*[fF]\b"), "uF"),
    (re.compile(r"\bmicro[\s-]*[cC]\b"), "uC"),
    (re.compile(r"\bmicro[\s-]*[jJ]\b"), "uJ"),
    (re.compile(r"\bnano[\s-]*[fF]\b"), "nF"),
    (re.compile(r"\bnano[\s-]*[cC]\b"), "nC"),
    (re.compile(r"\bpico[\s-]*[fF]\b"), "pF"),
    (
        re.compile(
            r"(?i)\b(micro|milli|nano|pico|kilo)[\s-]+"
            r"(?=(?:[fcvj]|farads?|coulombs?|volts?|joules?)\b)"
        ),
        r"\1",
    ),
    (re.compile(r"(?i)\b(micro|milli|nano|pico|kilo)(farat|farrad|fared)s?\b"), r"\1farad"),
    (  # 3.6n coulombs
        re.compile(r"(?<=\d)\s*([pnuµμmk])\s+(?=(?i:farads?|coulombs?|volts?|joules?)\b)"),
        lambda found: f" {_IN_FULL[found[1]]}",
    ),
    (re.compile(r"(?i)(?<=\d)\s*(?:square|sq\.?)\s*met(?:re|er)s?\b"), " m2"),
    (re.compile(r"(?i)(?<=\d)\s*(?:square|sq\.?)\s*(?:centimet(?:re|er)s?|cm)\b"), " cm2"),
    (re.compile(r"(?i)\bculombs?\b|\bcolombs?\b|\bcoulombes?\b"), "coulombs"),
    (re.compile(r"(?i)\bmu\s*(?=[FCJ]\b)"), "u"),
    (
        re.compile(
            r"(?i)(?<=[a-z])\s+per\s+(?=(?:[mcµu]?m|(?:milli|centi|micro)?met(?:re|er)s?)\b)"
        ),
        "/",
    ),
    (  # 300 volts in each millimetre
        re.compile(
            r"(?i)\b([mk]?v|(?:kilo|milli)?volts?|n|newtons?)\s+"
            r"(?:(?:in|for|on)\s+(?:each|every|a)|a|each|every)\s+"
            r"(?=(?:[mcµu]?m|(?:milli|centi|micro)?met(?:re|er)s?)\b)"
        ),
        r"\1/",
    ),
)
_VALUE = r"\d[\d.,]*(?:\s*[pnuµμmk]?[FVCJ]\b)?"
# 315 micro of a coulomb: the unit of a number, and no part of another one.
_OF_A_UNIT = re.compile(r"(?i)(?<=\d)\s+of\s+an?\s+(?=(?:farad|coulomb|volt|joule)s?\b)")
_SHORT_OF = re.compile(rf"(?i)\b(one|two|{_VALUE})\s+(?:short\s+of|shy\s+of)\s+({_VALUE})")
# Sums said in words: 100 take away 60; the difference between 60 and 100; 60 taken from 100.
_OPERATIONS = (
    (
        re.compile(rf"(?i)(?<![\w.])({_VALUE})\s+(?:take\s+away|subtract|less)\s+(?={_VALUE})"),
        r"\1 - ",
    ),
    (re.compile(rf"(?i)(?<![\w.])({_VALUE})\s+(?:add(?:ed\s+to)?)\s+(?={_VALUE})"), r"\1 + "),
    (
        re.compile(rf"(?i)\b(?:the\s+)?(?:sum|total)\s+of\s+({_VALUE})\s+and\s+({_VALUE})"),
        r"\1 + \2",
    ),
    (
        re.compile(
            rf"(?i)(?<![\w.])({_VALUE})\s+(?:subtracted|taken(?:\s+away)?|minused)\s+from\s+({_VALUE})"
        ),
        r"\2 - \1",
    ),
)
_DIFFERENCE = re.compile(
    rf"(?i)\b(?:the\s+)?difference\s+(?:of|between)\s+({_VALUE})\s+(?:and|to)\s+({_VALUE})"
)
# Point three millicoulombs, nought point six: what has no whole number before it. A point of a
# network has neither a unit behind it nor the line for itself.
_ANY_UNIT = (
    r"(?:(?:micro|milli|nano|pico|kilo)[\s-]*)?(?:[pnuµμmk]?[FVCJ]|(?i:farads?|coulombs?|volts?|joules?))\b"
    r"|(?i:micro|milli|nano|pico|kilo)|[mc]?m[2²]?\b|(?:[mk]?[VN])/\w"
    r"|(?i:(?:square|milli|centi)?\s*met(?:re|er)s?|newtons?)\b"
)
_LESS_THAN_ONE = re.compile(
    rf"(?<![\d.]\s)(?P<nought>(?i:\b(?:nought|nil|zero|oh|0)\s+))?(?i:\bpoint)\s+"
    rf"(?P<digits>(?i:(?:(?:{'|'.join(ONES)}|{'|'.join(TENS)}|nought|oh|\d+)[\s-]*)+))"
    rf"(?=(?P<unit>{_ANY_UNIT})|(?P<end>\W*$)|(?=\W))"
)
_TEN_TO_THE = re.compile(
    r"(?i)\b10\s+to\s+(?:the\s+)?(?:(?:power\s+(?:of\s+)?)?(minus|negative|-)|power\s+(?:of\s+)?)"
    r"\s*(\d+)\b(?!\s*[.,/]?\d)"
)
# 2.4x10-6 F: with a unit behind it, or a power that prefixes have, the raised sign was left out.
_RAISED_LEFT_OUT = re.compile(r"(\d)\s*[x×]\s*10\s*([-−–]\s*(?:3|6|9|12))\b(?!\s*[.,]?\d)")
_PRECISION = re.compile(
    r"(?i)[(\[]?\s*\b(?:(?:correct|rounded|right|given|accurate)\s+)?(?:to\s+|in\s+)?"
    r"(?:\d+|one|two|three|four|1st)\s*"
    r"(?:d\.?\s*p\b\.?|s\.?\s*f\b\.?|sig\.?\s*figs?\b\.?|dec(?:imal)?\.?\s*(?:places?|pl)\b\.?"
    r"|decimals?\b|sign?ificant\s+(?:figures?|digits?)\b|figures?\b)\s*[)\]]?"
)


_MANY = rf"(?:{'|'.join([*ONES][2:11])}|[2-9])"
# How many they are, and no value: all three, the sum of the three, two arms.
_COUNTED = re.compile(
    rf"(?i)\b(?P<all>(?:sums?|totals?|products?)\s+of\s+(?:all|(?:all\s+)?(?:the|them|these))"
    rf"|(?:over|by)\s+all)\s+{_MANY}\b"
    rf"(?!\s*(?:{_ANY_UNIT})|[.,/]\d|\s*(?:and|by|[-+*/×=])(?!\w))"
    rf"|(?<!\bon\s)(?<!\bfor\s)\b(?:the|all)\s+{_MANY}\s+(?=(?:all\s+)?(?:altogether|together|added|summed)\b)"
    rf"|\b{_MANY}\s+(?=(?:arms?|sides?|legs?|products?|terms?|reciprocals?|inverses?|capacitances?"
    r"|values?)\b)"
)


def without_counts(line: str) -> str:
    """A line without how many things there are of which it speaks together: the sum of all."""
    return _COUNTED.sub(lambda found: f"{found['all'] or 'all'} ", line)


def in_figures(line: str) -> str:
    """The line with its numbers in figures, its units as the grammar knows them, and without what
    is said of their precision, such as (2 d.p.).
    """
    line = re.sub(r"(?<=\d)\s+(?:n|nd|an)\s+(?=\d)", " and ", _PRECISION.sub(" ", line))
    line = re.sub(r"(?i)\b(?:half\s+)?a\s+dozen\b", _dozen, line)
    line = _AND_A_PART.sub(_with_part, line)
    line = _A_PART_ALONE.sub(lambda found: PARTS[found[1].lower()], line)
    line = _SO_MANY_PARTS.sub(_so_many_parts, line) if not _PART_OF.search(line) else line
    line = _LESS_THAN_ONE.sub(_less_than_one, _RUN.sub(_run, line))
    line = _TEN_TO_THE.sub(lambda found: f"10^{'-' if found[1] else ''}{found[2]}", line)
    line = _PART_OF_SMALL.sub(_small, line)
    line = _OF_A_UNIT.sub(" ", line)
    line = _SHORT_OF.sub(lambda f: f"{f[2]} - {ONES.get(f[1].lower(), f[1])}", line)
    line = _PART_OF.sub(_part_of, line)
    line = _HALF_OF_A_LETTER.sub(lambda found: f"{PARTS[found[1].lower()]}*", line)
    line = _HALF_TIMES.sub("1/2 * ", line)
    line = _FRACTION_OF.sub("*", line)
    line = _TWICE.sub("2*", line)
    line = _RAISED_LEFT_OUT.sub(lambda found: f"{found[1]}e{_plain(found[2])}", line)
    for pattern, better in (*_SPELT_UNITS, *_OPERATIONS):
        line = pattern.sub(better, line)
    return _DIFFERENCE.sub(_difference, line)


def _dozen(found: re.Match[str]) -> str:
    return DOZEN[" ".join(found[0].lower().split())]


def _difference(found: re.Match[str]) -> str:
    """The larger of two values less the smaller, whichever was said first."""
    sizes = [float(re.sub(r"[^\d.]", "", each.replace(",", ".")) or 0) for each in found.groups()]
    first, second = found.groups() if sizes[0] >= sizes[1] else reversed(found.groups())
    return f"{first} - {second}"


def _less_than_one(found: re.Match[str]) -> str:
    """Point two five as 0.25, where it is a number and no point of a network."""
    is_alone = found["end"] is not None and not re.search(r"\w", found.string[: found.start()])
    has_nought = found["nought"] or re.match(r"(?i)oh|nought", found["digits"])
    if not (has_nought or found["unit"] is not None or is_alone):
        return found[0]
    words = re.findall(r"[a-z]+|\d+", found["digits"].lower())
    digits = "".join(
        word if word.isdigit() else "0" if word in ("nought", "oh") else str(number_of([word]))
        for word in words
    )
    return f"0.{digits} "


def _plain(power: str) -> str:
    return "-" + re.sub(r"\D", "", power)


def _with_part(found: re.Match[str]) -> str:
    whole = found[1] if found[1].isdigit() else str(number_of(found[1].lower().split()))
    many = found[2].lower()
    times = many if many.isdigit() else str(ONES.get(many, 1))
    return f"{whole} {times}{PARTS[found[3].lower()][1:]}"


def _so_many_parts(found: re.Match[str]) -> str:
    many = found["many"].lower()
    times = many if many.isdigit() else str(ONES[many])
    return f"{times}{PARTS[found['part'].lower()][1:]}"


def _run(found: re.Match[str]) -> str:
    """Figures for a run of number words; a lone 'one' or 'two' beside words stays."""
    words = re.findall(r"[a-z]+", found[0].lower())
    whole, _, part = " ".join(words).partition(" point ")
    said = [word for word in whole.split() if word not in ("and", "a")]
    if len(words) == 1 and words[0] in ("one", "two") and not _stands_as_a_value(found):
        return found[0]
    if not said:
        return found[0]
    if len(said) > 1 and all(word in ONES and ONES[word] < 10 for word in said) and not part:
        return " ".join(str(ONES[word]) for word in said)
    digits = "".join(str(number_of([word])) for word in part.split())
    return f"{number_of(said)}.{digits}" if digits else str(number_of(said))


def _stands_as_a_value(found: re.Match[str]) -> bool:
    """Whether 'one' or 'two' has a unit behind it or stands alone."""
    before, after = found.string[: found.start()], found.string[found.end() :]
    is_alone = not re.search(r"\w", before + after)
    opens = re.fullmatch(r"(?i)\W*(?:it(?:'?s|\s+is)\s+)?(?:just\s+|exactly\s+)?", before)
    closes = re.match(
        r"(?i)\s*(?:exactly|precisely)\b|\s*(?:$|[!;]|,(?!\s*(?:two|the|and|or)\b))", after
    )
    return (
        is_alone
        or bool(opens and closes)
        or bool(
            re.match(
                r"(?i)\s*(?:volts?|coulombs?|farads?|joules?|(?:micro|milli|nano|pico)\w+|[pnuµμm]?[FCVJ])\b",
                after,
            )
        )
    )


def number_of(words: Sequence[str]) -> int:
    """The whole number that so many words name, as in two hundred and fifty; other words count
    nothing.
    """
    total = part = 0
    if (
        len(words) > 1
        and 0 < ONES.get(words[0], 0) < 10
        and (words[1] in TENS or ONES.get(words[1], 0) > 9)
    ):  # one sixty, as prices are said
        return 100 * ONES[words[0]] + number_of(words[1:])
    for word in words:
        if word in _SCALES:
            part = (part or 1) * _SCALES[word]
            if word == "thousand":
                total, part = total + part, 0
        else:
            part += ONES.get(word, TENS.get(word, 0))
    return total + part


def _small(found: re.Match[str]) -> str:
    part = _HALF_OF_SMALL.get((found[1] or "").lower())
    many = (found[2] or "").lower()
    number = part or (many if many[:1].isdigit() else str(ONES.get(many, 1)))
    return f"{number}{_SMALL[found[3].lower()]}"


def _part_of(found: re.Match[str]) -> str:
    parts = PARTS[found[2].lower()]
    many = (found[1] or "1").lower()
    times = many if many.isdigit() else str(ONES.get(many, 1))
    return f"{times}{parts[1:]}*"
