"""Amounts in a sentence, each given to what it is said of: C12 has ten as well, 30 uC, and C3 50.

A line whose words and values the other readers could not part is read once more by what it is
about: who is spoken of (a name, the 5, the whole, each) stays spoken of until somebody else is, and
a number belongs to whoever stands right behind it, else to the one spoken of. What comes out are
values of quantities of this problem; a line that is not wholly accounted for comes to nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from itertools import takewhile
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

from grammar.quantity import UNIT_SIGN, unit
from grammar.records import Dimension
from grammar.spoken_numbers import in_figures, without_counts
from tutor.circuit.values import Value
from tutor.teaching.quantities import DIMENSION, SYMBOL, Symbol
from tutor.teaching.reading.spoken_words import counts_other_things
from tutor.teaching.rules.context import plain_power

Owners: TypeAlias = tuple[str | None, ...]  # names of capacitors, None for the whole
OTHER: Owners = ("",)  # the other of two
FIRST, LAST = 0, -1  # moments: before anything is changed, and after all


class Slot(NamedTuple):
    """A quantity that a number may be the value of.

    ``owner`` is the capacitor it belongs to, None for the whole; ``moment`` counts the stages it
    is worth so at; ``fits`` says whether an amount, written as a statement, is right for it.
    ``is_open`` says that it is still to be found.
    """

    key: object
    symbol: Symbol
    owner: str | None
    fits: Callable[[str], bool]
    moment: int = 0
    is_open: bool = True


class Sayable(NamedTuple):
    """What a line can speak of: capacitors with their values, those in hand, the quantity that is
    asked, and every quantity there is. ``power`` is the usual prefix of capacitances.
    """

    sizes: Mapping[str, Value]
    in_hand: tuple[str, ...]
    asked: Slot | None
    slots: tuple[Slot, ...]
    power: int


class AmountTold(NamedTuple):
    """An amount as it was written, given to what it is the value of."""

    slot: Slot
    amount: str


_AMOUNT = (
    r"(?<![\w.^])(?<!\d[eE][-−])(?P<number>[-−]?\d+(?:[.,]\d+)?(?:(?:\s\d+)?\s?/\s?\d+)?)"
    r"(?:\s*(?P<unit>(?:[pnuµμmkM]|micro|nano|pico|milli|kilo)?"
    r"(?:[FCVJ]|farads?|coulombs?|volts?|joules?))(?![A-Za-z0-9]))?(?![\w^])(?!\.\d)"
)
_WHOLE = (
    r"(?:the\s+)?(?:whole(?:\s+(?:thing|lot|circuit|network|set|combination))?|in\s+total|total|sum"
    r"|al?l\s?together|overall|combined|equivalent|in\s+all|all\s+in\s+all|all\s+of\s+it|everything"
    r"|network|circuit|supply|battery|cell)"
)
_KINDS: Mapping[str, Symbol] = MappingProxyType({
    "charge": "Q", "charges": "Q", "voltage": "V", "voltages": "V", "p.d.": "V", "pd": "V",
    "drop": "V", "capacitance": "C", "energy": "E", "energies": "E", "stores": "E",
})
_MOMENTS: Mapping[str, int] = MappingProxyType({
    r"(?<!like )(?<!as )(?<!than )(?<!from )before": FIRST, "beforehand": FIRST,
    "at first": FIRST, "originally": FIRST,
    "initially": FIRST, "to start with": FIRST, "after": LAST, "afterwards": LAST, "now": LAST,
    "in the end": LAST, "finally": LAST,
})
# Words that say more of a number than whose it is.
SAYS_MORE = re.compile(
    r"(?i)\b(?:not|never|or|if|half|twice|double|than|more|less|times|minus|plus|between|ratio|why"
    r"|how|what|no|neither|was|instead|rather|wrong)\b|n['’]t\b|[*+×^√:%]|\d\s*x\s*\d|\d\s*[-−]\s*\d"
    r"|[=]\s*[^=\d\s-]|1\s*/\s*[A-Z]|\d\s*(?:micro|nano|pico|milli|kilo|[pnuµμmk])\b"
)
_STOPS = re.compile(r"[,;.](?!\d)|\b(?:and|so|then|which|but)\b")
_LETTERS: Mapping[str, Symbol] = MappingProxyType(
    {"C": "C", "Q": "Q", "V": "V", "U": "V", "E": "E"}
)
_STRAY_UNIT = re.compile(rf"(?<=[A-Za-z])\s+{UNIT_SIGN}(?!\s*[=is])")
_NAMED_SO = re.compile(r"(?<![\w.])[A-Za-z]\w*'*(?=\s*=)")
_POINTED = r"(?i)\b(?:the|on|for|across|in)\s+$"
MOST_SAID = 24  # values in one line: three of each of eight capacitors
MOST_BETWEEN = 3  # words between an amount and 'each' or 'total' behind it


class _Mention(NamedTuple):
    """A thing of a line: an amount, an owner, a kind of quantity, a moment, or a stop."""

    start: int
    end: int
    number: str = ""
    unit: str = ""
    owners: Owners = ()
    kind: Symbol | None = None
    moment: int | None = None
    stops: bool = False


class _Said(NamedTuple):
    """An amount with whom, what and when it is said of, as far as the line says so."""

    amount: _Mention
    owners: Owners | None
    kind: Symbol | None
    moment: int | None


class AmountSaid(NamedTuple):
    """A number of a line in figures, its unit, and of whom it is said; None of nobody in
    particular. ``symbol`` is the quantity, by the unit or by what is spoken of.
    """

    number: str
    unit: str
    owners: Owners | None
    symbol: Symbol | None = None

    @property
    def written(self) -> str:
        """The number with its unit, as a value is typed."""
        return f"{self.number} {self.unit}".strip()

    def plainly(self, powers: Mapping[Dimension, int], symbol: Symbol) -> Fraction | None:
        """The number in the unit of plain numbers; None for a unit of another quantity."""
        dimension, number = DIMENSION[symbol], _number(self.number)
        if not self.unit:
            return number
        said = unit(self.unit)
        if said.dimension != dimension:
            return None
        return number * Fraction(10) ** (said.power - plain_power(powers, dimension))


def amounts_said(sayable: Sayable, line: str) -> tuple[AmountSaid, ...]:
    """Every amount of a line with whom it is said of, whatever else the line says."""
    line = _SUM_BEFORE.sub("", in_figures(without_counts(line)))
    mentions = sorted(_mentions(sayable, line))
    return tuple(
        AmountSaid(
            each.amount.number, each.amount.unit, each.owners,
            symbols[0] if len(symbols := _symbols(each)) == 1 else None,
        )
        for each in _attributed(sayable, mentions, line)
    )


def spoken_of(sayable: Sayable, line: str) -> tuple[Owners, Symbol | None]:
    """Who a line speaks of, in its order, and the quantity it speaks of first, amounts aside."""
    mentions = sorted(_mentions(sayable, line))
    owners = [owner for each in mentions for owner in each.owners if each.owners != OTHER]
    kinds = [each.kind for each in mentions if each.kind]
    return tuple(dict.fromkeys(owners)), kinds[0] if kinds else None


_PLAIN_AMOUNT = r"\d[\d.,]*+\s*+(?:(?!x)[A-Za-zµμ]{1,2}+\s*+)?"
# 12*15 = 180 uC: what comes out is what is said.
_SUM_BEFORE = re.compile(
    rf"(?<![\w.]){_PLAIN_AMOUNT}(?:[*/x×·+−-]\s*+{_PLAIN_AMOUNT})++=\s*(?=[-−]?\d)"
)


def values_told(sayable: Sayable, line: str) -> tuple[AmountTold, ...]:
    """The values of a line, where every number of it is one: right each, or said with name and
    unit so that it can be judged. Nothing for other lines.
    """
    line = _SUM_BEFORE.sub("", in_figures(without_counts(line)))
    if counts_other_things(line):
        return ()
    if SAYS_MORE.search(line):
        return _concluded(sayable, line)
    mentions = sorted(_mentions(sayable, line))
    named = {each.start for each in mentions if each.owners}
    if any(found.start() not in named for found in _NAMED_SO.finditer(line)) or (
        _STRAY_UNIT.search(line)
    ):
        return ()  # a name that means nothing here, or a unit of nothing
    if in_turn := _told_in_turn(sayable, mentions):
        return in_turn
    said = [*_attributed(sayable, mentions, line)]
    if not 0 < len(said) <= MOST_SAID or sum(1 for each in mentions if each.number) != len(said):
        return ()
    told: list[AmountTold] = []
    then: Slot | None = None
    for each in said:
        values = _told(sayable, each)
        is_bare = each.amount.unit == "" and each.owners is None and each.kind is None
        if then is not None and is_bare and then.fits(each.amount.number):
            values = (AmountTold(then, each.amount.number),)
        if not values:
            return ()
        told += values
        if sayable.asked is not None and any(v.slot.key == sayable.asked.key for v in values):
            asked = sayable.asked
            sayable = sayable._replace(asked=None)  # it is answered: what comes next is another one
            then = next((s for s in sayable.slots if s.is_open and s.moment > asked.moment), None)
    return tuple(told)


def _told_in_turn(sayable: Sayable, mentions: list[_Mention]) -> tuple[AmountTold, ...]:
    """As many amounts behind a letter as capacitors are in hand, each right for the one in its
    place: V = 3 and 6.
    """
    letter = next((n for n, m in enumerate(mentions) if m.owners == (None,) and m.kind), None)
    if letter is None:
        return ()
    behind = [*takewhile(lambda then: then.number or then.stops, mentions[letter + 1 :])]
    amounts = [each for each in behind if each.number]
    if not len(amounts) == len(sayable.in_hand) > 1 or mentions[letter + 1 + len(behind) :]:
        return ()
    kind = mentions[letter].kind
    told = [
        _told(sayable, _Said(amount, (name,), kind, None))
        for name, amount in zip(sayable.in_hand, amounts, strict=True)
    ]
    found = tuple(value for values in told for value in values)
    return found if len(found) == len(told) and all(v.slot.fits(v.amount) for v in found) else ()


def _concluded(sayable: Sayable, line: str) -> tuple[AmountTold, ...]:
    """The values of the last clause, where they are right: more than 50, so it would blow. 70 then
    """
    *before, last = _CONCLUDES.split(line)
    if not before or SAYS_MORE.search(last) or re.search(r"(?i)\b(?:if|not)\b|\?", line):
        return ()
    told = values_told(sayable, last)
    return told if all(each.slot.fits(each.amount) for each in told) else ()


_CONCLUDES = re.compile(r"(?i)[.;!]\s+|,?\s+(?:so|hence|therefore)\s+")


def points_alone(sayable: Sayable, line: str) -> bool:
    """Whether the numbers of a line only say which capacitors are meant: the 3, as it is small."""
    mentions = [*_mentions(sayable, in_figures(line))]
    return not any(each.number for each in mentions) and re.search(r"\d", line) is not None and any(
        each.owners and line[each.start : each.end].strip().isdigit() for each in mentions
    )


def _mentions(sayable: Sayable, line: str) -> Iterator[_Mention]:
    """What a line speaks of, in no order."""
    yield from (named := [*_named(sayable, line)])
    taken = [range(each.start, each.end) for each in named]
    for found in re.finditer(_AMOUNT, line):
        if any(found.start() in each for each in taken):
            continue
        owner = _by_value(sayable, line, found)
        if owner is not None:
            yield _Mention(*found.span(), owners=(owner,))
        else:
            yield _Mention(*found.span(), number=found["number"], unit=found["unit"] or "")
    for pattern, mention in (
        (rf"\b{_WHOLE}\b", _Mention(0, 0, owners=(None,))),
        (r"\b(?:each|both)\b", _Mention(0, 0, owners=sayable.in_hand)),
        (r"\bother(?:\s+(?:branch|pair|one))?\b(?!\s+\d)|\b(?:branch|pair|rest)\b",
         _Mention(0, 0, owners=OTHER)),
        *((rf"\bthe\s+{place}\b", _Mention(0, 0, owners=(name,)))
          for place, name in zip(("first", "second", "third"), sayable.in_hand, strict=False)),
        *((rf"(?<![\w.]){re.escape(word)}(?!\w)", _Mention(0, 0, kind=kind))
          for word, kind in _KINDS.items()),
        *((rf"\b{word}\b", _Mention(0, 0, moment=moment)) for word, moment in _MOMENTS.items()),
        (_STOPS.pattern, _Mention(0, 0, stops=True)),
    ):
        for found in re.finditer(pattern, line, re.IGNORECASE):
            yield mention._replace(start=found.start(), end=found.end())


def _named(sayable: Sayable, line: str) -> Iterator[_Mention]:
    """Capacitors by their names, the longest first, and the whole by its letters."""
    for name in sorted(sayable.sizes, key=len, reverse=True):
        has_number = re.match(r"C\d", name) is not None
        spelt = rf"[CQVUE]_?{re.escape(name[1:])}" if has_number else re.escape(name)
        for found in re.finditer(rf"(?i)(?<![\w.]){spelt}(?!\w)('*)", line):
            letter = found[0][0].upper() if has_number else ""
            if letter == "C" and not re.match(r"\s*=", line[found.end() :]):
                letter = ""  # C12 is who, C12 = … how much
            yield _Mention(*found.span(), owners=(name,), kind=_LETTERS.get(letter),
                           moment=LAST if found[1] else None)
    for found in re.finditer(
        r"(?<![\w.])(?<!\d\s)([CQVUE])('*)(?![\w.])(?=\s*(?:=|is\b))", line
    ):
        yield _Mention(*found.span(), owners=(None,), kind=_LETTERS[found[1]],
                       moment=LAST if found[2] else None)


def _by_value(sayable: Sayable, line: str, found: re.Match[str]) -> str | None:
    """The one capacitor that 'the 5' is, where a number stands for it and not for an amount."""
    if not re.search(_POINTED, line[: found.start()]) or (
        found["unit"] and SYMBOL.get(unit(found["unit"]).dimension) != "C"
    ):
        return None
    value = _number(found["number"]) * Fraction(10) ** sayable.power
    alike = [name for name, size in sayable.sizes.items() if size == value]
    alike = [name for name in alike if name in sayable.in_hand] if len(alike) > 1 else alike
    return alike[0] if len(alike) == 1 else None


def _number(text: str) -> Fraction:
    whole, _, part = text.replace(",", ".").replace("−", "-").rpartition(" ")
    if whole.isdigit() and "/" in part:  # 6 2/3
        return Fraction(whole) + Fraction(part)
    return Fraction(f"{whole}{part}".replace(" ", ""))


def _attributed(sayable: Sayable, mentions: list[_Mention], line: str) -> Iterator[_Said]:
    """Each amount with whom and what it is said of."""
    said = _Said(_Mention(0, 0), None, None, None)
    kinds = {each.kind for each in mentions if each.kind}
    only = kinds.pop() if len(kinds) == 1 else None  # the charge, it is 180
    joined = False  # whether the last owner may take another beside it: C1 and C2 have …
    spoken: Owners | None = None  # who was spoken of last, before or behind an amount
    taken: set[int] = set()
    for at, each in enumerate(mentions):
        if at in taken:
            continue
        if each.stops:
            said = said._replace(kind=None, moment=None)
            joined = joined and line[each.start : each.end].strip() in (",", "and")
        elif each.number:
            owner, moment = _behind(mentions, at, line)
            if owner and _is_divided(sayable, each, line, mentions[owner]):
                owner = 0
            taken |= {owner, moment} - {0}
            then = mentions[owner] if owner else None
            owners = said.owners if then is None else (
                _other(sayable, spoken) if then.owners == OTHER else then.owners
            )
            spoken = owners or spoken
            yield said._replace(
                amount=each,
                owners=owners,
                kind=(then.kind if then is not None else None) or said.kind or (
                    only if said.owners is None else None
                ),
                moment=mentions[moment].moment if moment else said.moment,
            )
            joined = False
        elif each.owners == OTHER:
            said, joined = said._replace(owners=_other(sayable, spoken)), False
            spoken = said.owners or spoken
        elif each.owners:
            both = joined and said.owners and None not in (*said.owners, *each.owners)
            owners = (*(said.owners or ()), *each.owners) if both else each.owners
            said = _Said(each, owners, each.kind or said.kind,
                         said.moment if each.moment is None else each.moment)
            joined, spoken = True, owners
        elif each.kind:
            said = said._replace(kind=each.kind)
        elif each.moment is not None:
            said = said._replace(moment=each.moment)


def _is_divided(sayable: Sayable, amount: _Mention, line: str, owner: _Mention) -> bool:
    """Whether a number is over a capacitance, and is no value across a capacitor: 18 over C1 may
    be a p.d., where 18 is not that of C1.
    """
    asked, between = sayable.asked, line[amount.end : owner.start].strip().lower()
    return between == "over" and not amount.unit and asked is not None and (
        asked.symbol == "V" and not asked.fits(amount.number)
    )


def _behind(mentions: list[_Mention], at: int, line: str) -> tuple[int, int]:
    """The places of the owner and of the moment right behind an amount, nought for none: 10 on
    the 5, 80 uC total, 2700 before.
    """
    owner = moment = 0
    for place in range(at + 1, min(at + 4, len(mentions))):
        then = mentions[place]
        if then.stops or then.number:
            break
        between = line[mentions[at].end : then.start].strip().lower()
        is_free = then.owners == (None,) or len(then.owners) > 1 or then.moment is not None
        is_said_of = re.fullmatch(
            r"(?:is\s+)?(?:the\s+)?(?:[a-z.]+\s+)?(?:on|for|across|in|at|over)(?:\s+the)?", between
        ) or (is_free and len(between.split()) < MOST_BETWEEN)
        if is_said_of and then.owners and not owner:
            owner = place
        elif is_said_of and then.moment is not None and not then.owners:
            moment = place
    return owner, moment


def _other(sayable: Sayable, owners: Owners | None) -> Owners:
    """The other of the two that are in hand; nobody where that is not plain."""
    others = tuple(name for name in sayable.in_hand if name not in (owners or ()))
    return others if len(sayable.in_hand) == 2 and len(others) == 1 else ()


def _told(sayable: Sayable, said: _Said) -> tuple[AmountTold, ...]:
    """What an amount is the value of; nothing where that is not plain."""
    amount = f"{said.amount.number} {said.amount.unit}".strip()
    symbols = _symbols(said)
    if said.owners == ():
        return ()
    if said.owners is None:
        one = _of_nobody(sayable, said, amount, symbols)
        return (AmountTold(one, amount),) if one is not None else ()
    found = [_slot_of(sayable, owner, said, amount, symbols) for owner in said.owners]
    slots = [slot for slot in found if slot is not None]
    return tuple(AmountTold(slot, amount) for slot in slots) if len(slots) == len(found) else ()


def _symbols(said: _Said) -> tuple[Symbol, ...]:
    """What a number may be the value of, by its unit, else by what is spoken of."""
    if said.amount.unit:
        return (SYMBOL[unit(said.amount.unit).dimension],)
    return (said.kind,) if said.kind is not None else ("C", "Q", "V", "E")


def _of_nobody(
    sayable: Sayable, said: _Said, amount: str, symbols: tuple[Symbol, ...]
) -> Slot | None:
    """What an amount is the value of that is said of nobody: of what is asked, where that may be;
    else of the one quantity it is right for.
    """
    asked = sayable.asked
    if asked is not None and asked.symbol in symbols and said.moment is None:
        return asked if asked.fits(amount) else None
    if not said.amount.unit and said.moment is None and said.kind is None:
        return None
    slots = [slot for slot in sayable.slots if slot.symbol in symbols]
    return _only([slot for slot in _at_the_moment(slots, said.moment) if slot.fits(amount)])


def _slot_of(
    sayable: Sayable, owner: str | None, said: _Said, amount: str, symbols: tuple[Symbol, ...]
) -> Slot | None:
    """The quantity of an owner that an amount is right for, or can be judged by alone."""
    of_owner = _at_the_moment(
        [s for s in sayable.slots if _is_of(sayable, s, owner) and s.symbol in symbols],
        said.moment,
    )
    fitting = [slot._replace(owner=owner) for slot in of_owner if slot.fits(amount)]
    if fitting or len(symbols) > 1:
        return _only(fitting)
    return next((slot for slot in of_owner if slot.is_open), None)


def _is_of(sayable: Sayable, slot: Slot, owner: str | None) -> bool:
    """Whether a quantity belongs to this owner: what one capacitor alone has is that of the whole.
    """
    alone = (None, *sayable.sizes) if len(sayable.sizes) == 1 else ()
    return slot.owner == owner or (slot.owner in alone and owner in alone)


def _at_the_moment(slots: list[Slot], moment: int | None) -> list[Slot]:
    """Of each quantity that at the first, or at the last, of its stages; all where none is said."""
    if moment is None:
        return slots
    of: dict[tuple[Symbol, str | None], list[Slot]] = {}
    for slot in sorted(slots, key=lambda slot: slot.moment):
        of.setdefault((slot.symbol, slot.owner), []).append(slot)
    return [some[moment] for some in of.values()]


def _only(slots: list[Slot]) -> Slot | None:
    """The one of them, or the first that is still to be found, where all are of one kind and one
    owner; None where it is open which is meant.
    """
    if len({(slot.symbol, slot.owner) for slot in slots}) != 1:
        return None
    return next((slot for slot in slots if slot.is_open), slots[0])
