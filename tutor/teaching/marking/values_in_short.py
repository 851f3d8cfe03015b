"""What becomes of values that are told in short, each by what stands there."""

from __future__ import annotations

import re
from fractions import Fraction
from types import MappingProxyType

from grammar.measures import times_ten
from grammar.quantity import unit
from tutor.teaching.judging import close

UNIT_FOR_ALL = re.compile(
    r"\(\s*(?:all\s+)?(?:in\s+)?(?:[pnuµμm]?[FCVJ]|volts|coulombs|farads|joules)\s*\)"
    r"|\ball in [pnuµμm]?[FCVJ]\b"
)
_PLAIN_NUMBER = re.compile(r"(?<![\w.*/+×·-])\d[\d.]*(?![\w.]|\s*[-*/+×·])")
SLASHED = re.compile(r"\s+/\s+(?=[A-Za-z]\w*\s*:)")
_HALF = re.compile(r"half\s+(?:of\s+)?(?:the\s+)?([vpc])")
_LETTER_OF = MappingProxyType({"v": "V", "p": "V", "c": "Q"})
_PREFIXES = MappingProxyType({6: "u", 9: "n", 12: "p"})


def divided(found: re.Match[str]) -> str:
    """What its colons divide, with the sign of division."""
    return found[0].replace(":", "/")


def in_a_row(found: re.Match[str]) -> str:
    """Values parted by slashes, with commas."""
    return found[0].replace("/", ",")


def in_columns(line: re.Match[str]) -> str:
    """Columns parted by slashes as statements, where each has a colon."""
    is_parted = len(SLASHED.findall(line[0])) < line[0].count(":")
    return SLASHED.sub("; ", line[0]) if is_parted else line[0]


def by_way(found: re.Match[str]) -> str:
    """What is named behind the way to a value, with that way: half of 18 V is 9 V so V1 = 9 V."""
    way, number, named = found.groups()
    if (told := _HALF.match(way)) is not None:
        way = f"{_LETTER_OF[told[1]]} / 2"
    return re.sub(rf"=\s*(?={re.escape(number)}(?![\d.]))", f"= {way} = ", named)


def unparted(found: re.Match[str]) -> str:
    """What stands in brackets, with nothing in it that a line is parted at."""
    return re.sub(r";|\bor\b", ",", found[0])


def with_index(found: re.Match[str]) -> str:
    """A name with the index that stands apart from its letter, and what it is called between."""
    called = found[2] or found[3]
    return f"{found[1]}{called}{found[4]}" if called else f"{found[1]}_{found[4]}"


def with_prefix(found: re.Match[str]) -> str:
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


def without_way(found: re.Match[str]) -> str:
    """A value without the way that stands in brackets behind it, if that comes to it."""
    terms = re.split(r"\s*/\s*", found[2])
    is_way = len(terms) == 2 and _worth(found[2]) == _worth(found[1])
    return found[1] if is_way else found[0]


def _power(prefix: str) -> int:
    """The power of ten of a prefix, that of a hundredth of a metre too."""
    return -2 if prefix == "c" else unit(f"{prefix}V").power


def told_once(found: re.Match[str]) -> str:
    """An amount without the same one in another unit that stands in brackets behind it."""
    number, prefix, sign, again, other = found.groups()
    one = times_ten(_worth(number), _power(prefix))
    same = times_ten(_worth(again), _power(other))
    return f"{number} {prefix}{sign}" if close(one, same) else found[0]


def with_unit_of_all(found: re.Match[str]) -> str:
    """Values without equals signs, each with the unit that is given once for all of them."""
    told = UNIT_FOR_ALL.search(found[0])
    sign = re.search(r"[pnuµμm]?[FCVJ](?=\W*$)", told[0]) if told else None
    return _PLAIN_NUMBER.sub(rf"\g<0> {sign[0]}", found[0]) if sign else found[0]


def at_both_times(found: re.Match[str]) -> str:
    """What a quantity was and what it is, in the unit of the second where the first has none."""
    name, before, after = found.groups()
    unit_after = re.sub(r"[\d.\s]", "", after)
    is_bare = not re.search(r"[FVCJ]", before)
    return f"{name} before = {before}{f' {unit_after}' if is_bare else ''}; {name} = {after}"


def before_and_after(found: re.Match[str]) -> str:
    """What a factor is said to make of a value, and that value too where it is given."""
    name, before, after = found.groups()
    sign = re.sub(r"[\d.\s]", "", after)
    known = f"{before} {'' if re.search(r'[FVCJ]', before) else sign}" if before else ""
    return f"{name} = {after}; {name} before = {known}" if known else f"{name} = {after}"


def one_by_one(row: re.Match[str]) -> str:
    """Names and values in a row, one by one."""
    names = re.findall(r"[CQVUE]_?\w+", row[1])
    values = re.findall(r"([\d.]+)\s*([pnuµμmk]?[FVCJ])?", row[2])
    if len(names) != len(values):
        return row[0]
    pairs = zip(names, values, strict=True)
    return "; ".join(f"{name} = {value} {sign or row[3] or ''}" for name, (value, sign) in pairs)
