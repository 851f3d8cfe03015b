"""What the words of a line of working name: "charge on C1", "C2 and C3 in parallel", "block"."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction
from string import ascii_letters, digits
from types import MappingProxyType
from typing import Final, Literal, NamedTuple

from grammar.measures import times_ten
from grammar.quantity import unit
from grammar.records import Refusal
from grammar.words import spelling, split
from tutor.circuit.network import Network
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import SMALL
from tutor.teaching.pointing import capacitors_in
from tutor.teaching.quantities import Symbol

_SYMBOLS: Mapping[str, Symbol] = MappingProxyType(
    {
        "capacitan": "C",
        "charge": "Q",
        "volt": "V",
        "potential": "V",
        "pd": "V",
        "energ": "E",
        "work": "E",
    }
)
_LONE_LETTER = re.compile(r"\s*([QVUE])\s+(?:on|across|of|in|for)\b")
_SYMBOL_LETTERS: Mapping[str, Symbol] = MappingProxyType({"Q": "Q", "V": "V", "U": "V", "E": "E"})
_WHOLE = frozenset(
    (
        "total",
        "whole",
        "equivalent",
        "overall",
        "supply",
        "battery",
        "circuit",
        "network",
        "combined",
        "altogether",
        "answer",
        "all",
        "cell",
        "source",
        "ends",
    )
)
_KINDS: Mapping[str, Literal["parallel", "series"]] = MappingProxyType(
    {
        "parallel": "parallel",
        "block": "parallel",
        "beside": "parallel",
        "series": "series",
        "chain": "series",
    }
)
_GROUPS = frozenset(
    (
        "pair",
        "two",
        "block",
        "group",
        "set",
        "combination",
        "combo",
        "section",
        "bit",
        "part",
        "branch",
        "bank",
        "parallel",
        "chain",
    )
)
_OF_SEVERAL = frozenset(("pair", "two", "block", "combination", "combo", "bank", "parallel"))
_ROW_OF_VALUES = re.compile(
    r"(?<![\w.])\d+(?:\.\d+)?"
    r"(?:\s*(?:,|and|&|(?:in\s+(?:series|parallel)\s+)?with|\|\||∥|-{2}(?!>))\s*(?:the\s+)?\d+(?:\.\d+)?(?![\w.]))+"
)
# A value in letters, 2C or 4C/3, and a row of such values in words.
LETTERED: Final = r"(?:\d+(?:\.\d+)?(?:/\d+)?\s?)?[A-Z](?![A-Za-z\d_²])(?:/\d+)?"
ROW_IN_LETTERS: Final = (
    rf"(?<![\w.)]){LETTERED}"
    rf"(?:\s*(?:,|\band\b|&|\|\||∥|\b(?:in\s+(?:series|parallel)\s+)?with\b)\s*(?:the\s+)?{LETTERED})+"
)
_GRAMMAR_WORDS = frozenset(
    (
        "plus",
        "minus",
        "times",
        "over",
        "squared",
        "cubed",
        "e",
        "x",
        "and",
        "divided",
        "by",
        "is",
        "are",
        "equals",
        "gives",
    )
)
# What is put together by then, which need not be the whole: V across all that.
_ALL_SO_FAR = re.compile(r"(?i)\ball\s+(?:of\s+)?(?:that|this)\b(?!\s+[a-z])")
_SPACES = re.compile(r"\s+")
_WORD = re.compile(r"(?<![A-Za-z0-9_])[A-Za-zµμ][\w'’]*\.?(?:[dD]\.(?![A-Za-z]))?")
_ASIDE = re.compile(r"\(([^()]*[A-Za-z]{3}[^()]*)\)")
_TAIL = re.compile(
    r"(?<=[\w)])\s+(?:on|across|for|in|of|at|with|between|through|from|since|because|as|by|using"
    r"|each|per|held|stored)\s+(?![\d(])"
    r"(?:(?!,\s*[\d(]|\band\b[a-z\s]*\s\d[\d.]*\s*\S{0,3}\s+(?:on|across|for|in)\b)[^=:])*$"
)
_OWNER = re.compile(r"(\d\s*[pnuµμm]?[FCVJ])\s+\((?:the\s+)?(C_?\d{1,4}|\d[\d.]*\s*[pnuµμm]F)\)")
_SAYS_MORE = re.compile(r"\b(?:gives?|makes?|is|are|equals?)\b", re.IGNORECASE)
_REASON = re.compile(r"\s*(?:since|because|as)\b")
_POINTS_OUT = re.compile(r"[A-Z]_?\d|\d\s*[pnuµμm]?F|\bthe\s+\d")
_INVENTED = re.compile(
    r"(?:1\s*/\s*)?(?!(?:Check|Volts?)\s*:)([CQVUEW]_?(?:[a-z]{1,4}|(?<=_)[XYZ](?![A-Za-z\d])|par\w*|ser\w*|block|\d{1,4}'*|'+)|[XYZ]\d?|(?<![A-Za-z])[Ad](?![A-Za-z]))(?=\s*(?:=|:))"
)
_NAMED_LAST = re.compile(r"=\s*([QVUEW]_?(?:[a-z]{1,4}|(?<=_)[XYZ]))\s*$")
_GROUPED = re.compile(r"(?<![A-Za-z0-9_])[CQVUEW]_?\d{2,}'*")


_INDEXED = re.compile(
    r"(?<![A-Za-z0-9_])([CQVUE])"
    r"(?:_?\d{1,4}(?![\w.])"
    r"|_?\(\s*\d[\d.]*(?:\s*(?:[,;&+]|\|\||-{1,2}|\band\b)\s*\d[\d.]*)+\s*\)(?=\s*(?:=|:|→|⇒)))"
)
_LETTER_CALLED = re.compile(
    r"(?<![A-Za-z])([a-pr-tw-zABDG-PR-TX-Z])\s*=\s*(\d+(?:\.\d+)?)(?![\d.]|\s*[-+*/×]|\s*[pnuµμmk]?[VCJ])"
)
_INDEX_CALLED = re.compile(
    r"(?<![A-Za-z0-9_])C_?([a-z]{1,6}|[A-Z])\s*=\s*"
    r"(\d+(?:\.\d+)?(?:e-?\d+)?)(?:\s*[×x*·]\s*10\s*\^?\s*([-−⁻][\d⁰¹²³⁴⁵⁶⁷⁸⁹]+))?\s*([pnuµμm]?F)?"
    r"\s*(?=$|[,;]|and\b|&)"
)
_FLAT: Final = str.maketrans("−⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "--0123456789")
_FARAD_PREFIXES: Mapping[str, int] = MappingProxyType(
    {"p": -12, "n": -9, "u": -6, "µ": -6, "m": -3, "": 0}
)
_SAME_ON_EACH = re.compile(
    r"\bsame\s+(?P<what>charge|q|v|voltage|p\.?\s?d\.?)\s+(?:on|for|across|in|over)\s+"
    r"(?:each|both|all)\b",
    re.IGNORECASE,
)
_UNIT_SAID = re.compile(r"\d\s*[pnuµμmk]?([CV])(?![A-Za-z\d])")
_OF_EACH = re.compile(
    r"\beach\b(?!\s+(?:plate|side|end|time|step)\b)|\b(?:both\b(?!\s+(?:of\s+them\s+)?(?:together|combined))|every\w*)\b"
    r"|(?<!\bin\s)(?<!\bafter\s)\ball\b"  # all the charge, in all
    r"(?!\s+(?:the\s+(?:charge|volt|p\.?d|energy|rest|remain)|of(?!\s+th[eo][ms])"
    r"|that\b|this\b|there\b|in\b))",
    re.IGNORECASE,
)


# Of every one that there is, however they are joined; each may be each of those left by then.
_OF_ALL = re.compile(
    r"(?i)\b(?:(?:each|every)\s+(?:single\s+)?cap\w*|every\s*(?:one|where)"
    r"|all\s+(?:of\s+them|(?:the\s+)?cap\w*|have|has|get|got|carry|hold|store|share|at))\b"
)
_OF_MADE = re.compile(  # of a chain it may be said of what this is made of, or of all together
    r"(?i)\b(?:series|chain|row|line|one behind|total|together|altogether|whole|sum|combined)\b"
)


_ONE_OF = re.compile(
    r"\b(?:the\s+)?(small(?:er|est)?|little|bigg?(?:er|est)?|larg(?:e|er|est)"
    r"|first|second|third|fourth)\s+(?:one|cap|capacitor)\b",
    re.IGNORECASE,
)
_PLACES: Mapping[str, int] = MappingProxyType({"first": 0, "second": 1, "third": 2, "fourth": 3})


class Label(NamedTuple):
    """``symbol`` of the quantity if one is said, the capacitors named, ``kind`` a group's;
    ``group``: it speaks of capacitors combined, as a pair; ``several``: in a word that no single
    one is called by.
    """

    symbol: Symbol | None
    names: tuple[str, ...]
    whole: bool
    kind: Literal["parallel", "series"] | None
    group: bool = False
    several: bool = False


def label_of(
    text: str, network: Network, power: int, values: Mapping[str, Value]
) -> Label | None:
    """What words say they are about; None where they name nothing. ``values`` are those of the
    capacitors that are left, by name, as plain numbers or in letters.
    """
    flat = re.sub(r"(?i)\bp\.?\s?d\.?(?=\W|$)", " pd ", _ALL_SO_FAR.sub("section", text))
    flat = with_ones_named(flat, {c.name: c.value for c in network.capacitors})
    words = re.findall(r"[a-z]+", flat.lower())
    symbol = symbol_in(flat)
    kinds = [_KINDS[word] for word in words if word in _KINDS]
    chosen = capacitors_in(flat, network, power) if _POINTS_OUT.search(flat) else None
    names = chosen.names if chosen and len(words) < 40 else ()
    names = names or _valued(flat, values)
    group = not names and bool(set(words) & _GROUPS)
    whole = not names and bool(set(words) & _WHOLE)
    if not (symbol or kinds or names or whole or group):
        return None
    several = group and bool(set(words) & _OF_SEVERAL)
    return Label(symbol, names, whole, kinds[0] if kinds else None, group, several)


def _valued(text: str, values: Mapping[str, Value]) -> tuple[str, ...]:
    """The capacitors that a row of plain numbers, or of values in letters, names by their values: 6
    and 3; none where a number is the value of none, or letters that of several.
    """
    if any(in_letters(value) for value in values.values()):
        return _valued_in_letters(text, values)
    row = _ROW_OF_VALUES.search(text)
    found: list[str] = []
    for number in re.findall(r"\d+(?:\.\d+)?", row[0]) if row else ():
        of_value = (n for n, v in values.items() if v == Fraction(number) and n not in found)
        name = next(of_value, None)
        if name is None:
            return ()
        found.append(name)
    return tuple(found)


def _valued_in_letters(text: str, values: Mapping[str, Value]) -> tuple[str, ...]:
    row = re.search(ROW_IN_LETTERS, text)
    said = [_SPACES.sub("", each) for each in re.findall(LETTERED, row[0])] if row else []
    of_value: dict[str, list[str]] = {}
    for name, value in values.items():
        for written in _written_in_letters(value):
            of_value.setdefault(written, []).append(name)
    named = [of_value.get(each, []) for each in said]
    return tuple(names[0] for names in named) if all(len(n) == 1 for n in named) else ()


def _written_in_letters(value: Value) -> set[str]:
    """A value as 4C/3 and as 4/3C."""
    text = str(value).replace("*", "")
    top, line, below = text.partition("/")
    return {text, f"{top.rstrip(ascii_letters)}{line}{below}{top.lstrip(digits)}"}


def with_ones_named(text: str, values: Mapping[str, Value]) -> str:
    """Words with the names of capacitors for what tells one by its size or its place in the text:
    the small one, the second one. ``values`` are theirs, in their order.
    """
    names = list(values)

    def named(found: re.Match[str]) -> str:
        word = found[1].lower()
        if word in _PLACES:
            at = _PLACES[word]
            return names[at] if at < len(names) else found[0]
        if len(names) < 2 or any(in_letters(value) for value in values.values()):
            return found[0]
        ordered = sorted(names, key=lambda name: Fraction(values[name]))
        one, other = ordered[:2] if word[:2] in ("sm", "li") else ordered[:-3:-1]
        return found[0] if values[one] == values[other] else one

    return _ONE_OF.sub(named, text)


def says_of_each(text: str) -> bool:
    """Whether words say something of several alike: "8 V on both", "24 uC each"; where it is a
    charge that is the same on both, they say nothing of a p.d. beside it, nor the other way round.
    """
    shared = _SAME_ON_EACH.search(text)
    if shared is not None:
        own, other = ("C", "V") if shared["what"][0] in "qQcC" else ("V", "C")
        units = {found[1] for found in _UNIT_SAID.finditer(text)}
        if other in units and own not in units:
            text = _SAME_ON_EACH.sub(" ", text)
    return _OF_EACH.search(text) is not None


def says_of_all(text: str) -> bool:
    """Whether words say something of every capacitor there is: "all have 54 uC"."""
    is_of_all = says_of_each(text) and _OF_ALL.search(text) is not None
    return is_of_all and _OF_MADE.search(text) is None


def symbol_in(text: str) -> Symbol | None:
    """The kind of quantity that words speak of first."""
    words = re.findall(r"[a-z]+", re.sub(r"(?i)\bp\.?\s?d\.?(?=\W|$)", " pd ", text).lower())
    found = (s for word in words for stem, s in _SYMBOLS.items() if word.startswith(stem))
    lone = _LONE_LETTER.match(text)
    return next(found, None) or (_SYMBOL_LETTERS[lone[1]] if lone else None)


def invented_names(piece: str) -> list[str]:
    """Names that the learner gives on the spot, as Cp in "Cp = 2 + 3", or at the end of a line."""
    return [match[1] for each in (_INVENTED, _NAMED_LAST) for match in each.finditer(piece)]


def grouped_names(piece: str) -> list[str]:
    """Names that look like those of groups: C23, V_23."""
    return [match[0] for match in _GROUPED.finditer(piece)]


def without_asides(piece: str, names: Collection[str]) -> str:
    """A piece without what is in brackets for the reader: "(same in series)"; in "80 uC (C1)" that
    says what the value is of.
    """
    piece = _OWNER.sub(r"\1 on \2", piece)
    known = spelling(names)

    def kept(match: re.Match[str]) -> str:
        words = _WORD.findall(match[1])
        return match[0] if all(_means_something(w, known) for w in words) else " "

    return _ASIDE.sub(kept, piece)


def parted_tail(piece: str) -> tuple[str, str]:
    """A piece and the words after its last value: "24 uC" and "on C1"."""
    tail = _TAIL.search(piece)
    before = piece[: tail.start()] if tail else ""
    says_more = tail is not None and not _REASON.match(tail[0]) and _SAYS_MORE.search(tail[0])
    if tail is None or says_more or not re.search(r"\d", before):
        return piece, ""
    if not re.search(r"\d\s*[^\W\d]*\s*\)?$", before):
        return piece, ""
    return piece[: tail.start()], tail[0]


def _means_something(word: str, known: object) -> bool:
    word = word.rstrip(".")
    if word.lower() in _GRAMMAR_WORDS or split(word, known):  # type: ignore[arg-type]
        return True
    if len(word) > 12:
        return False
    try:
        unit(word)
    except Refusal:
        return False
    return True


def with_names_for_values(pieces: Sequence[str], network: Network, power: int) -> tuple[str, ...]:
    """Pieces with the names of capacitors where every index in them is the value of one: Q6 for
    the charge on the 6 µF, Q(8, 8) for that on a chain of two. As they stand where an index may be
    meant as a name.
    """
    of_value: dict[str, list[str]] = {}
    for capacitor in network.capacitors:
        number = times_ten(capacitor.value, -power)
        of_value.setdefault(str(number), []).append(capacitor.name)
    indices = [_values_in(found) for piece in pieces for found in _INDEXED.finditer(piece)]
    own = {capacitor.name.removeprefix("C") for capacitor in network.capacitors}
    are_names = (len(set(each)) == len(each) and set("".join(each)) <= own for each in indices)
    if all(are_names) or not all(_are_told(each, of_value) for each in indices):
        return tuple(pieces)

    def named(found: re.Match[str]) -> str:
        names = dict.fromkeys(name for each in _values_in(found) for name in of_value[each])
        return found[1] + "".join(name.removeprefix("C") for name in names)

    return tuple(_INDEXED.sub(named, piece) for piece in pieces)


def _values_in(found: re.Match[str]) -> tuple[str, ...]:
    """The numbers of an index: one, or those in brackets."""
    return tuple(str(Fraction(each)) for each in re.findall(r"\d+(?:\.\d+)?", found[0]))


def _are_told(values: Sequence[str], of_value: Mapping[str, Sequence[str]]) -> bool:
    """Whether values tell capacitors: as many of each value as there are."""
    return all(len(of_value.get(each, ())) == values.count(each) for each in values)


def with_names_for_letters(
    pieces: Sequence[str], values: Mapping[str, Value], power: int
) -> tuple[str, ...]:
    """Pieces with the names of capacitors for letters or words that a script calls them by, where
    it gives each of them the value of another one: a = 9, b = 18, then qa and vb; or all of them
    first, as Ca = 9 uF and Cb = 18 uF. ``values`` are theirs, in SI units and in their order.
    """
    said = [found for piece in pieces for found in _LETTER_CALLED.finditer(piece)]
    told = {found[1]: _farads(found[2], "", power) for found in reversed(said)}  # as they are first
    own = _called_by(told, values)
    if len(own) < len("ab") or len(own) < len(told):
        own, told = {}, {}
    said = [found for piece in pieces for found in _INDEX_CALLED.finditer(piece)]
    all_told: dict[str, Fraction] = {}
    for found in said:
        if len(all_told) < len(values):
            number = f"{found[2]}e{found[3].translate(_FLAT)}" if found[3] else found[2]
            all_told.setdefault(found[1], _farads(number, found[4] or "", power))
    by_index = _called_by(all_told, values)
    if len(by_index) == len(values) > 1:
        own |= by_index
    if not own:
        return tuple(pieces)
    indices = "|".join(sorted(own, key=len, reverse=True))
    indexed = re.compile(rf"(?<![A-Za-z])([qvuewCQVUEW])_?({indices})(?![A-Za-z\d])")

    def named(found: re.Match[str]) -> str:
        return f"{found[1].upper()}{own[found[2]].removeprefix('C')}"

    def as_given(found: re.Match[str]) -> str:
        is_same = told.get(found[1]) == _farads(found[2], "", power)
        return f"{own[found[1]]} = {found[2]}" if is_same else found[0]

    return tuple(indexed.sub(named, _LETTER_CALLED.sub(as_given, piece)) for piece in pieces)


def _farads(number: str, unit_: str, power: int) -> Fraction:
    """A typed capacitance in farads, one without a unit in the usual one, or in farads where it is
    too small for that.
    """
    value = Fraction(number)
    if unit_:
        return value * Fraction(10) ** _FARAD_PREFIXES[unit_[:-1].replace("μ", "µ")]
    return value if 0 < value < SMALL else value * Fraction(10) ** power


def _called_by(told: Mapping[str, Fraction], values: Mapping[str, Value]) -> dict[str, str]:
    """Which capacitor each letter is called for: the first of its value that no other one is."""
    found: dict[str, str] = {}
    for letter, value in told.items():
        waiting = (name for name, each in values.items() if each == value)
        name = next((name for name in waiting if name not in found.values()), None)
        if name is not None:
            found[letter] = name
    return found
