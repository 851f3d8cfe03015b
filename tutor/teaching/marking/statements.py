"""From one piece of a line to what it states: names, sides, and what its words point at."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from functools import partial
from types import MappingProxyType
from typing import NamedTuple

from grammar.answers import Claim, read_claims, turned_name
from grammar.expressions import Expression, Name, Num, names_in
from grammar.records import Refusal
from grammar.words import spelling
from tutor.teaching.marking.fitting import FACTORS, kind_of, numbers_in
from tutor.teaching.marking.grading import Statement
from tutor.teaching.marking.labels import (
    ROW_IN_LETTERS,
    Label,
    grouped_names,
    invented_names,
    parted_tail,
    says_of_all,
    says_of_each,
    without_asides,
)
from tutor.teaching.marking.spans import Spans, spans_in

_EQUALS = re.compile(r"=(?!>)|:|\b(?:is|are|gives?|makes?|equals?)\b", re.IGNORECASE)
_VALUE_AFTER_NAME = re.compile(r"([^\d=:]*[A-Za-z]_?\w*)\s+([-+]?\d[\d., ]*[^\W\d]{0,3})")
_LETTER_AFTER = re.compile(r"[\d)]\s*[CV](?![A-Za-z0-9])")
_VALUE_AT_END = re.compile(r"=\s*[-+]?[\d.,]+(?:e-?\d+)?\s*[CV]\s*$")
_FACTOR_AFTER = re.compile(r"(/\s*\([^()]*\))\s*(?=[CQV](?![A-Za-z0-9]))")
_BESIDE = re.compile(r"(?<=[A-Za-z)])\s*(?:\|\||∥)\s*(?=[\d(A-Z])")  # 2C || 4C = 6C
_IN_A_ROW = re.compile(r"(?<![\w)])([\d.]*[A-Z]\w*)\s*-{2}\s*([\d.]*[A-Z]\w*)(?!\s*-)")
_FIRST_WORDS = re.compile(r"(?:[A-Za-z]{2,}\s+)*")
_STATES = re.compile(r"=|(?<![A-Za-z_\d'.])[.,]?\d|[½⅓⅔¼¾]")


# Capacitors named before a colon are named, and nothing is said of their values.
_NAMED_BEFORE = re.compile(
    r"(?=[^=:]*\b(?:with|add|adding|and|in|for|to|now)\b)([^=:]*\bC_?\d[^=:]*):\s*(?=[-\d(½])(.+)$"
    r"|((?!\s*[A-Z]_?\w*\s*:)[^=:]*[\w.)]):\s*(?=[A-Za-z]\w*\s*=)(.+)$"
    r"|([^=:]*\bC_?\d\w*):\s*(?=[A-Za-z]\w*\s*=)(.+)$"
    r"|([^=:]*\d\s*[pnuµμm]?F|[^=:]*\b(?:the|with)\s+[\d.]+)\s*:\s*(.+)$"
)
_JOINED_WITH = re.compile(r"\bwith\s+(?:the\s+)?[\d.]+\s*(?:[pnuµμm]?F)?\s*$")
# What a capacitor holds, as C1: 10.5 V, 63 µC.
_AMOUNT = r"[-+]?[\d.,]*\d\s*[pnuµμmk]?[VCJ](?![A-Za-z\d])"
_HELD_BY = r"C(?:_?\d\w*|_\w+|par\w*|ser\w*|(?!ap\b)[a-z]{0,3}\b)"  # no word: Check: 6 + 9 = 15 V
_SEVERAL = rf"{_HELD_BY}(?:(?:\s*[,&/]\s*|\s+and\s+){_HELD_BY})*"
_HOLDING = r"\b(?:has|have|holds?|gets?|carr(?:y|ies)|takes?|keeps?)\b"
_AND_HOLDS = (
    r"(?:\s+(?:on|across|over)\s+it)?(?:\s*(?:,|and)\s*|\s+)"
    rf"(?:(?:ditto|also|again|the\s+same)\s+|(?:it\s+)?{_HOLDING}\s*)?"
)
_WORKED = rf"(?:[\d.(][^=:;,A-Za-z]*=\s*)?{_AMOUNT}"  # with the way to it, if there is one
_HELD = re.compile(
    rf"(?<![A-Za-z\d_])({_SEVERAL})\s*(?::|{_HOLDING})\s*({_WORKED}(?:{_AND_HOLDS}{_WORKED})*)"
)
_HOLDER = re.compile(
    rf"(?i)\b(?:the\s+\d[\d.]*(?:\s*[pnuµμm]?F)?(?:\s+one)?|(?:the\s+)?[a-z]+\s+(?:one|cap|capacitor))(?=\s+{_HOLDING})"
)
# Capacitors told by their values before what they come to: 6 and 3 in series = 2.
_VALUES_BEFORE = re.compile(
    r"\s*((?:[a-z]+,?\s+){0,3}?(?:the\s+)?\d[\d.]*(?:\s*[pnuµμm]?F)?(?:\s*"
    r"(?:,|and|&|(?:in\s+(?:series|parallel)\s+)?with|\|\||∥|-{2}(?!>))\s*(?:the\s+)?\d[\d.]*"
    r"(?:\s*[pnuµμm]?F)?)+"
    r"(?:\s+(?!and\b|is\b|are\b)[a-z]+){0,4})\s*(?:=|:|\b(?:gives?|makes?|is|are)\b)\s*(?=[-\d(½.])(.+)$"
)
_LETTERS_BEFORE = re.compile(
    rf"\s*((?:[a-z]+,?\s+){{0,3}}?{ROW_IN_LETTERS}(?:\s+(?!and\b|is\b|are\b)[a-z]+){{0,4}}?)"
    r"\s*(?:=|:|\b(?:gives?|makes?|is|are)\b)\s*(?=[-\d(½.A-Z])(.+)$"
)
_FARADS: Mapping[int, str] = MappingProxyType({-12: "pF", -9: "nF", -6: "uF", -3: "mF", 0: "F"})
_SYMBOL_OF_UNIT: Mapping[str, str] = MappingProxyType({"V": "V", "C": "Q", "J": "E"})


# The way to a value, behind words that say what it is of: charge of C1 and C2 2*12 = 24 µC.
_WAY_BEHIND = re.compile(r"(?<=\s)[\d.(][\d.\s()+-]*[*/×·÷][\d.\s()+*/×·÷-]*$")
_ONE_BY_ONE = re.compile(
    r"\b(?:across|on|over|for)\s+(?:each(?:\s+(?:one|capacitor|cap))?"
    r"|all(?:\s+(?:three|four|five|of\s+them|(?:the\s+)?cap\w*))?)\W*$"
)
# A number with a unit, in the words of a line.
AMOUNT = re.compile(r"\d[\d.,]*(?:e-?\d+)?\s*[pnuµμmk]?[FVCJ](?![A-Za-z])")


def _by_units(held: re.Match[str]) -> str:
    amounts = re.findall(_WORKED, held[2])
    names = re.findall(r"C(_?\w*)", held[1])
    said = ((_SYMBOL_OF_UNIT[each[-1]], each) for each in amounts)
    return "; ".join(
        f"{' = '.join(f'{symbol}{name}' for name in names)} = {each}" for symbol, each in said
    )


def _by_name(reader: Reader, told: re.Match[str]) -> str:
    """The name of a capacitor that is told by its value, as it stands where several have it."""
    label = reader.label(told[0])
    return label.names[0] if label is not None and len(label.names) == 1 else told[0]


class Reader(NamedTuple):
    """What means something where a script is read: ``names``, the ``letters`` that stand for
    values, and what words point at; ``told`` are the names to offer in place of an unknown one.
    ``in_letters``: C and V after a number are such letters rather than units; ``counts``: a number
    with any word after it may be asked for.
    """

    names: frozenset[str]
    letters: frozenset[str]
    label: Callable[[str], Label | None]
    told: tuple[str, ...] = ()
    in_letters: bool = False
    counts: bool = False


class Said(NamedTuple):
    """What one statement says: the ``names`` it is about and the sides said to be equal.

    Without a ``statement`` something is named and nothing said of it. ``label`` is what words
    beside it point at; ``pointed`` where the words stand in front. ``doubt`` says why part of it
    could not be read, empty where all was; ``gap``: that stands between its name and its value;
    ``of_each``: it is said of several alike, ``of_all`` of every capacitor there is, and
    ``one_by_one`` that what alone is said is so across each.
    """

    names: tuple[str, ...]
    statement: Statement | None
    label: Label | None = None
    pointed: bool = False
    doubt: str = ""
    of_each: bool = False
    of_all: bool = False
    one_by_one: bool = False
    gap: bool = False


def is_named(said: Said) -> bool:
    """Whether a name, or words that point at one thing, say what a statement is about."""
    label = said.label
    return bool(said.names) or (
        said.pointed and label is not None and bool(label.names or label.whole or label.group)
    )


def is_formula(said: Said) -> bool:
    """Whether it relates names alone, with no value in it."""
    sides = said.statement.sides if said.statement else ()
    numbers = [number.value for side in sides for number in numbers_in(side)]
    return bool(names_in(*sides)) and all(number in FACTORS for number in numbers)


def said_in(reader: Reader, piece: str) -> list[Said]:
    """The statements of a piece. Raises Refusal for what cannot be read."""
    of_each, of_all = says_of_each(piece), says_of_all(piece)
    found = _one_for_each(_said_in(reader, piece))
    one = len(found) == 1 and _ONE_BY_ONE.search(piece) is not None
    return [each._replace(of_each=of_each, of_all=of_all, one_by_one=one) for each in found]


def _one_for_each(found: list[Said]) -> list[Said]:
    """Values in a row, each of one of the capacitors that words before them name; of more than are
    named, where there are more values than names.
    """
    label = found[0].label if found else None
    kinds = {kind_of(each.statement.sides[-1]) for each in found if each.statement}
    if label is None or len(kinds) > 1 or any(s.names or s.label != label for s in found):
        return found
    if len(found) == len(label.names) > 1:
        named = zip(found, label.names, strict=True)
        return [each._replace(label=label._replace(names=(name,))) for each, name in named]
    if len(found) > len(label.names) > 1:
        return [each._replace(label=label._replace(names=()), pointed=False) for each in found]
    return found


def has_letter_after_number(piece: str) -> bool:
    """Whether C or V stands after a number or a bracket in an equation, as in 10 C + C² = 24."""
    before = piece.partition("=")[0]
    return before != piece and bool(re.search(r"\d", before)) and bool(_LETTER_AFTER.search(piece))


def has_letter_alone(piece: str) -> bool:
    """Whether a letter that stands after a number stands for itself as well: C² + 15 C = 60."""
    piece = _VALUE_AT_END.sub("", piece)  # V2 = V + V1 = 200 V is in volts
    after = {found[0][-1] for found in _LETTER_AFTER.finditer(piece)}
    return any(re.search(rf"(?:^|[-+*/(×·=])\s*{letter}(?!\w|\s*[=:])", piece) for letter in after)


def _said_in(reader: Reader, piece: str) -> list[Said]:
    if (told := _NAMED_BEFORE.match(piece)) is not None:
        before, rest = (text for text in told.groups() if text is not None)
        label = reader.label(before)
        found = _said_in(reader, rest)
        if _JOINED_WITH.search(before) and all(each.names for each in found):
            return found  # in series with the 4: 1/C = 1/4 + 1/12 is of no value of the 4
        labels = [_both(label, each.label) for each in found]
        return [
            each._replace(label=said, pointed=each.pointed or label is not None)
            for each, said in zip(found, labels, strict=True)
        ]
    before = _LETTERS_BEFORE if reader.letters else _VALUES_BEFORE
    if (told := before.match(piece)) is not None:
        label = reader.label(told[1])
        if label is not None and len(label.names) > 1:
            first, *others = _said_in(reader, told[2])
            return [first._replace(label=_both(label, first.label), pointed=True), *others]
        is_joined = re.search(r"\bin (?:series|parallel) with\b", told[1]) is not None
        if is_joined or ":" in piece[told.end(1) : told.start(2)]:  # put together, by own values
            return _said_in(reader, told[2])
    if reader.letters:  # 6 C/(2 C + 6 C) V is a part of V
        piece = _IN_A_ROW.sub(r"(\1 * \2)/(\1 + \2)", piece)  # 2C -- 4C = 4C/3
        piece = _BESIDE.sub(" + ", _FACTOR_AFTER.sub(r"\1 * ", piece))
    piece = _HOLDER.sub(partial(_by_name, reader), _within_brackets(piece))
    piece = _HELD.sub(_by_units, piece)
    names = _names(reader, piece)
    plain = without_asides(piece, names)
    body, tail = (plain, "") if reader.counts and not AMOUNT.search(plain) else parted_tail(plain)
    label = reader.label(tail)
    if not states_a_value(body):
        return [Said((), None, reader.label(piece))]
    several, rest = _of_several(reader, body)
    letters = _letters_meant(reader, rest)
    try:
        claims = read_claims(rest, names, letters, reader.told)
        if _is_row(claims):
            return _joined(_amid_words(reader, body, names, label))
    except Refusal as refusal:
        found = _amid_words(reader, body, names, label)
        if not found:
            raise refusal from None
        return _joined(
            [each if each.doubt == "" else each._replace(doubt=str(refusal)) for each in found]
        )
    ahead = several or reader.label(_FIRST_WORDS.match(rest)[0])  # type: ignore[index]
    return _joined(
        [
            each._replace(pointed=ahead is not None)
            for claim in claims
            for each in _turned_over(_said(claim, ahead or label))
        ]
    )


def _turned_over(said: Said) -> tuple[Said, ...]:
    """What is said of one over a value, and the value itself where that stands at its end."""
    statement = said.statement
    if statement is None or not statement.turned or len(statement.sides) < 2:
        return (said,)
    last = statement.sides[-1]
    unit = last.unit if isinstance(last, Num) else None
    if unit is None or unit.dimension != "capacitance":
        return (said,)
    before = said._replace(statement=statement._replace(sides=statement.sides[:-1]))
    return before, said._replace(statement=Statement((last,)))


def _is_row(claims: Sequence[Claim]) -> bool:
    """Whether values stand in a row on both sides of one equals sign: 24/2, 24/3 = 12, 8 V."""
    several = [at for at, claim in enumerate(claims) if len(claim.sides) > 1]
    return len(several) == 1 and 0 < several[0] == len(claims) - 1 - several[0]


def _amid_words(
    reader: Reader, body: str, names: Collection[str], label: Label | None
) -> list[Said]:
    """A piece with words in it: what of it can be read, and what the words point at."""
    spaced = _VALUE_AFTER_NAME.fullmatch(body)
    body = f"{spaced[1]} = {spaced[2]}" if spaced else body

    def side_of(text: str) -> Expression | None:
        try:
            claims = read_claims(text, names, _letters_meant(reader, text))
        except Refusal:
            return None
        return claims[0].sides[0] if len(claims) == 1 and len(claims[0].sides) == 1 else None

    found = []
    for each in spans_in(body, spelling(names), side_of, reader.counts):
        each = _with_name_apart(reader, each)  # noqa: PLW2901
        ahead = reader.label(each.before)
        claim = Claim(None, each.sides, turned_name(each.sides[0]))
        one = _said(claim, ahead or reader.label(each.after) or label)
        counted = reader.counts and one.label is not None and bool(one.label.names)
        alone = len(each.sides) == 1 and isinstance(each.sides[0], Num)
        is_clear = each.whole or (counted and alone and not states_amount(body))
        doubt = "" if is_clear else "Part of this line cannot be read."
        found.append(one._replace(pointed=ahead is not None, doubt=doubt, gap=each.gap))
    return found


def _both(one: Label | None, other: Label | None) -> Label | None:
    """What stands before a colon and what is said after it, together."""
    if one is None or other is None:
        return one or other
    return Label(
        other.symbol or one.symbol,
        other.names or one.names,
        one.whole or other.whole,
        other.kind or one.kind,
        one.group or other.group,
        one.several or other.several,
    )


def _within_brackets(piece: str) -> str:
    """A piece all of which stands in brackets, without them."""
    whole = re.fullmatch(r"\s*\(([^()]*)\)\s*", piece)
    return whole[1] if whole else piece


def states_amount(text: str) -> bool:
    """Whether a number with a unit stands in it."""
    return AMOUNT.search(text) is not None


def states_a_value(text: str) -> bool:
    """Whether there is an equals sign, or a number that is no part of a name."""
    return _STATES.search(text) is not None


def _of_several(reader: Reader, body: str) -> tuple[Label | None, str]:
    """Part "voltage across C2 and C3 = 8 V" into its label and what is said of both."""
    sign = _EQUALS.search(body)
    if sign is None:
        return None, body
    way = _WAY_BEHIND.search(body[: sign.start()])
    label = reader.label(body[: way.start() if way else sign.start()])
    if label is None or label.symbol is None or len(label.names) < 2:
        return None, body
    return label, body[way.start() if way else sign.end() :]


def _with_name_apart(reader: Reader, found: Spans) -> Spans:
    """Without a capacitor in front that words name: in "V across 3 uF = 6 V" nothing is said of
    its value.
    """
    first = found.sides[0]
    of_value = isinstance(first, Num) and (
        first.unit is None or first.unit.dimension == "capacitance"
    )
    of_name = isinstance(first, Name) and first.text[:1] == "C"
    if len(found.sides) < 2 or not found.before.strip() or not (of_value or of_name):
        return found
    text = first.text if isinstance(first, (Num, Name)) else ""
    unit = _FARADS.get(first.unit.power, "") if isinstance(first, Num) and first.unit else ""
    before = f"{found.before} {'the ' if of_value and not unit else ''}{text}{unit} "
    label = reader.label(before)
    if label is None or not any(name[:1] == "C" for name in label.names):
        return found
    return found._replace(sides=found.sides[1:], before=before)


def _names(reader: Reader, piece: str) -> set[str]:
    known = set(reader.names) | reader.letters
    new = {name for name in (*invented_names(piece), *grouped_names(piece)) if name not in known}
    if reader.counts:  # Vr for the potential V_R
        met = {name.replace("_", "").lower() for name in known}
        new = {name for name in new if name.replace("_", "").lower() not in met}
    return known | {name for name in new if name.replace("_", "") not in known}


def _letters_meant(reader: Reader, line: str) -> bool:
    """Whether C and V after a number are letters that stand for values rather than units."""
    if reader.in_letters:
        return True
    letters = {letter[:1] for letter in reader.letters} & {"C", "V"}
    return bool(letters) and set(re.findall(r"\d\s*([CV])(?![A-Za-z0-9])", line)) <= letters


def _said(claim: Claim, label: Label | None) -> Said:
    sides = claim.sides
    if claim.reciprocal is not None:
        others = Statement(sides[1:], True) if len(sides) > 1 else None
        return Said((claim.reciprocal,), others, label)
    if len(sides) == 1 and isinstance(sides[0], Name):
        return Said((sides[0].text,), None, label)
    names: list[str] = []
    while len(sides) > 1 and isinstance(sides[0], Name):
        names.append(sides[0].text)
        sides = sides[1:]
    values = tuple(side for side in sides if not isinstance(side, Name))
    if values and len(values) < len(sides):  # Q = 20 uC = Q1 speaks of both
        names += [side.text for side in sides if isinstance(side, Name)]
        sides = values
    return Said(tuple(dict.fromkeys(names)), Statement(sides), label)


def _joined(said: list[Said]) -> list[Said]:
    """V2 and V3 = 8 V speaks of both: a name alone waits for the value after it."""
    found: list[Said] = []
    waiting: tuple[str, ...] = ()
    for each in said:
        if each.statement is None and each.names:
            waiting += each.names
        else:
            found.append(each._replace(names=waiting + each.names if each.names else each.names))
            waiting = ()
    return [*found, Said(waiting, None)] if waiting else found
