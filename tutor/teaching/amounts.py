"""Amounts in a sentence, each given to what it is said of: C12 has ten as well, 30 uC, and C3 50.

A line whose words and values the other readers could not part is read once more by what it is
about: who is spoken of (a name, the 5, the whole, each) stays spoken of until somebody else is, and
a number belongs to whoever stands right behind it, else to the one spoken of. What comes out is
written as statements of named values; a line that is not wholly accounted for comes to nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

from grammar.quantity import unit
from grammar.records import Refusal
from grammar.spoken_numbers import in_figures
from tutor.circuit.network import Capacitor
from tutor.teaching.claims import names_now, read, state
from tutor.teaching.quantities import SYMBOL, Quantity, Symbol
from tutor.teaching.walk import Question, Walk, given, next_question, question_about

Owners: TypeAlias = tuple[str | None, ...]  # names of capacitors, None for the whole
OTHER: Owners = ("",)  # the other of two

_AMOUNT = (
    r"(?<![\w.^])(?P<number>[-−]?\d+(?:[.,]\d+)?(?:\s?/\s?\d+)?)"
    r"(?:\s*(?P<unit>(?:[pnuµμmkM]|micro|nano|pico|milli|kilo)?"
    r"(?:[FCVJ]|farads?|coulombs?|volts?|joules?))(?![A-Za-z0-9]))?(?![\w^])(?!\.\d)"
)
_WHOLE = (
    r"(?:the\s+)?(?:whole(?:\s+(?:thing|lot|circuit|network|set|combination))?|in\s+total|total"
    r"|al?l\s?together|overall|combined|equivalent|in\s+all|all\s+in\s+all|all\s+of\s+it|everything|network"
    r"|circuit|supply|battery|cell)"
)
_KINDS: Mapping[str, Symbol] = MappingProxyType({
    "charge": "Q", "charges": "Q", "voltage": "V", "voltages": "V", "p.d.": "V", "pd": "V",
    "drop": "V", "capacitance": "C", "energy": "E", "energies": "E", "stores": "E",
})
# Words that say more of a number than whose it is.
_SAYS_MORE = re.compile(
    r"(?i)\b(?:not|never|or|if|half|twice|double|than|more|less|times|minus|plus|between|ratio|why"
    r"|how|what|no|neither|was|instead|rather|wrong)\b|n['’]t\b|[*+×^√:]|\d\s*x\s*\d|\d\s*[-−]\s*\d"
    r"|[=]\s*[^=\d\s-]|1\s*/\s*[A-Z]|\d\s*(?:micro|nano|pico|milli|kilo|[pnuµμmk])\b"
)
_STOPS = re.compile(r"[,;.](?!\d)|\b(?:and|so|then|which|but)\b")
_LETTERS: Mapping[str, Symbol] = MappingProxyType({"Q": "Q", "V": "V", "U": "V", "E": "E"})


class _Mention(NamedTuple):
    """A thing of a line: an amount, an owner, a kind of quantity, or a stop between clauses."""

    start: int
    end: int
    number: str = ""
    unit: str = ""
    owners: Owners = ()
    kind: Symbol | None = None
    stops: bool = False


def in_names(walk: Walk, line: str) -> str | None:
    """The values of a line under the names they belong to, where every number of it is such a
    value: right each, or said with name and unit so that it can be judged. None for other lines.
    """
    line = re.sub(r"(?<=\d)\s*%", "%", in_figures(line))
    question = next_question(walk)
    if question is None or _SAYS_MORE.search(line) or "%" in line:
        return None
    mentions = sorted(_mentions(walk, line))
    told = [*_attributed(walk, mentions, line)]
    if not told or sum(1 for each in mentions if each.number) != len(told):
        return None
    written = [_written(walk, question, amount, owners, kind) for amount, owners, kind in told]
    if any(each is None for each in written):
        return None
    return ", ".join(dict.fromkeys(each for each in written if each))


def _mentions(walk: Walk, line: str) -> Iterator[_Mention]:
    """What a line speaks of, in no order."""
    yield from (named := [*_named(walk, line)])
    taken = [range(each.start, each.end) for each in named]
    for found in re.finditer(_AMOUNT, line):
        if any(found.start() in each for each in taken):
            continue
        owner = _by_value(walk, line, found)
        if owner is not None:
            yield _Mention(*found.span(), owners=(owner,))
        else:
            yield _Mention(*found.span(), number=found["number"], unit=found["unit"] or "")
    for found in re.finditer(rf"(?i)\b{_WHOLE}\b", line):
        yield _Mention(*found.span(), owners=(None,))
    for found in re.finditer(r"(?i)\b(?:each|both)\b", line):
        yield _Mention(*found.span(), owners=tuple(c.name for c in _in_hand(walk)))
    for found in re.finditer(r"(?i)\bother\b", line):
        yield _Mention(*found.span(), owners=OTHER)
    for word, kind in _KINDS.items():
        for found in re.finditer(rf"(?i)(?<![\w.]){re.escape(word)}(?![\w])", line):
            yield _Mention(*found.span(), kind=kind)
    for found in _STOPS.finditer(line.lower()):
        yield _Mention(*found.span(), stops=True)


def _named(walk: Walk, line: str) -> Iterator[_Mention]:
    """Capacitors by their names, the longest first, and the whole by its letters."""
    names = {c.name for c in (*given(walk), *_made(walk))}
    for name in sorted(names, key=len, reverse=True):
        has_number = re.match(r"C\d", name) is not None
        spelt = rf"[CQVUE]_?{re.escape(name[1:])}" if has_number else re.escape(name)
        for found in re.finditer(rf"(?i)(?<![\w.]){spelt}(?!\w)", line):
            letter = found[0][0].upper() if has_number else ""
            yield _Mention(*found.span(), owners=(name,), kind=_LETTERS.get(letter))
    for found in re.finditer(r"(?<![\w.])([QVUE])(?![\w.])(?=\s*(?:=|is\b))", line):
        yield _Mention(*found.span(), owners=(None,), kind=_LETTERS[found[1]])


def _made(walk: Walk) -> Iterator[Capacitor]:
    return (step.makes for step in walk.plan if step.makes is not None)


def _in_hand(walk: Walk) -> tuple[Capacitor, ...]:
    """The parts of what is combined, or parted, now; what is left, where that is still open."""
    question = next_question(walk)
    step = question.step if question is not None else None
    return step.parts if step is not None else walk.network.capacitors


def _other(walk: Walk, owners: Owners | None) -> Owners:
    """The other of the two that are combined, or parted, now; nobody where that is not plain."""
    parts = _in_hand(walk)
    others = tuple(c.name for c in parts if c.name not in (owners or ()))
    return others if len(parts) == 2 and len(others) == 1 else ()


def _by_value(walk: Walk, line: str, found: re.Match[str]) -> str | None:
    """The one capacitor that 'the 5' is, where a number stands for it and not for an amount."""
    if not re.search(r"(?i)\b(?:the|on|for|across|in)\s+$", line[: found.start()]) or (
        (found["unit"] or "F")[-1:] not in "Fds"
    ):
        return None
    number = _number(found["number"])
    power = walk.problem.powers["capacitance"]
    alike = [c.name for c in given(walk) if c.value == number * Fraction(10) ** power]
    return alike[0] if len(alike) == 1 else None


def _attributed(
    walk: Walk, mentions: list[_Mention], line: str
) -> Iterator[tuple[_Mention, Owners | None, Symbol | None]]:
    """Each amount with whom and what it is said of."""
    owners: Owners | None = None
    kind: Symbol | None = None
    joined = False  # whether the last owner may take another beside it: C1 and C2 have …
    taken: set[int] = set()
    for at, each in enumerate(mentions):
        if at in taken:
            continue
        if each.stops:
            kind = None
            joined = joined and line[each.start : each.end].strip() in (",", "and")
        elif each.number:
            behind = _behind(mentions, at, line)
            if behind is not None:
                taken.add(behind)
                then = mentions[behind]
                yield each, _other(walk, owners) if then.owners == OTHER else then.owners, (
                    then.kind or kind)
            else:
                yield each, owners, kind
            joined = False
        elif each.owners == OTHER:
            owners, joined = _other(walk, owners), False
        elif each.owners:
            owners = (*owners, *each.owners) if joined and owners and None not in (
                *owners, *each.owners) else each.owners
            kind, joined = each.kind or kind, True
        elif each.kind:
            kind = each.kind


def _behind(mentions: list[_Mention], at: int, line: str) -> int | None:
    """The place of the owner that stands right behind an amount: 10 on the 5, 80 uC total."""
    for place in range(at + 1, min(at + 3, len(mentions))):
        then = mentions[place]
        if then.stops or then.number:
            return None
        if not then.owners:
            continue
        between = line[mentions[at].end : then.start].strip().lower()
        is_free = then.owners == (None,) or len(then.owners) > 1
        if re.fullmatch(r"(?:is\s+)?(?:the\s+)?(?:[a-z.]+\s+)?(?:on|for|across|in|at|over)"
                        r"(?:\s+the)?", between) or (is_free and len(between.split()) < 3):
            return place
        return None
    return None


def _number(text: str) -> Fraction:
    return Fraction(text.replace(",", ".").replace("−", "-").replace(" ", ""))


def _written(
    walk: Walk, question: Question, amount: _Mention, owners: Owners | None, kind: Symbol | None
) -> str | None:
    """The statement of an amount; None where it is not plain what it is said of."""
    if not owners and owners is not None:
        return None
    if owners is None:
        quantity = _asked(walk, question)
        return _fits(walk, quantity, amount) if quantity is not None else None
    symbols = _symbols(amount, kind)
    fitting = [
        [said for symbol in symbols if (said := _fits(walk, Quantity(symbol, owner), amount))]
        for owner in owners
    ]
    if all(len(each) == 1 for each in fitting):
        return ", ".join(each[0] for each in fitting)
    if len(symbols) > 1 or any(fitting):
        return None
    names = names_now(walk).values()
    told = [Quantity(symbols[0], owner) for owner in owners]
    return ", ".join(_said(each, amount) for each in told) if set(told) <= {*names} else None


def _symbols(amount: _Mention, kind: Symbol | None) -> tuple[Symbol, ...]:
    """What a number may be the value of, by its unit, else by what is spoken of."""
    if amount.unit:
        return (SYMBOL[unit(amount.unit).dimension],)
    return (kind,) if kind is not None else ("C", "Q", "V", "E")


def _asked(walk: Walk, question: Question) -> Quantity | None:
    """The quantity that a number alone answers now."""
    if question.quantity is not None:
        return question.quantity
    made = walk.pending.makes if walk.pending is not None else None
    return Quantity("C", made.name) if made is not None else None


def _said(quantity: Quantity, amount: _Mention) -> str:
    return f"{quantity.name} = {amount.number} {amount.unit}".strip()


def _fits(walk: Walk, quantity: Quantity, amount: _Mention) -> str | None:
    """The statement that this quantity is so much, where that is right."""
    if quantity not in walk.truth:
        return None
    said = _said(quantity, amount)
    try:
        (claim,) = read(walk, said)
        stated = state(walk, question_about(walk, quantity), claim, quantity)
    except (Refusal, ValueError):
        return None
    return said if stated is not None and stated.judged.verdict == "right" else None
