"""Values said by what they belong to: 8 V on C2, the 7 has 63, the same as Q1, C1 and C2 make 5.

Each is written as a statement of a named value, which the grammar reads.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType

from grammar.records import Dimension
from grammar.spoken_numbers import in_figures
from tutor.circuit.network import Capacitor
from tutor.circuit.steps import joint_name
from tutor.circuit.values import Value, in_letters
from tutor.teaching.quantities import Quantity
from tutor.teaching.reading.said_values import Unsettled, with_unit
from tutor.teaching.walk import Question, Walk, given

_UNITS: Mapping[Dimension, str] = MappingProxyType({
    "capacitance": r"[pnuµμm]?F|(?:micro|nano|pico)?farads?",
    "voltage": r"[mkM]?V|volts?", "charge": r"[pnuµμm]?C|(?:micro|nano|pico|milli)?coulombs?",
    "energy": r"[pnuµμm]?J|(?:micro|nano|milli)?joules?",
})
_SYMBOLS: Mapping[Dimension, str] = MappingProxyType(
    {"capacitance": "F", "voltage": "V", "charge": "C", "energy": "J"}
)
_ORDINALS: Mapping[str, int] = MappingProxyType(
    {"first": 0, "second": 1, "third": 2, "fourth": 3, "last": -1}
)
_HOLDS = (
    r"(?:\s*:\s*"
    r"|\s+(?:has|have|having|holds?|gets?|takes?|carries|stores?|is|would\s+have|with)\s+)"
)
_ON = r"\s+(?:is\s+)?(?:on|for|across|in|at|over|to)\s+"
_SAME = re.compile(
    r"(?i)\s*(?:it(?:['’]?s|\s+is)\s+|its\s+|also\s+|and\s+)?(?:the\s+)?(?:exact(?:ly)?\s+)?"
    r"same(?:\s+(?:again|too|thing|value|one|here|amount|charge|voltage|p\.?d\.?))*"
    r"(?:\s+as\s+(?:(?:on|for|in|across)\s+)?(?:the\s+)?(?P<as>[\w.]+)(?:\s+one)?)?[.!]*\s*"
)
STILL_OPEN = ("That one is still open too.", "How much is it?")
SAME_AS_WHICH = ("The same as which?", "Say it in figures, or name the one it equals.")


_OVER_ONE = re.compile(r"(?i)(?<![\w.])(\d+(?:\.\d+)?)\s+over\s+(?=C_?(\d+)\b)")


def _charge_over(walk: Walk, line: str) -> str:
    """18 over C1 as 18/C1, where 18 is the charge of C1 and no p.d. across it."""

    def divided(found: re.Match[str]) -> str:
        held = walk.known.get(Quantity("Q", f"C{found[2]}"))
        number = Fraction(found[1]) * Fraction(10) ** walk.problem.powers["charge"]
        return f"{found[1]}/" if held == number else found[0]

    return _OVER_ONE.sub(divided, line)


def with_names(walk: Walk, question: Question, line: str) -> str:
    """The line with its values under the names they belong to. Errors: ``Unsettled`` where it is
    open which value is meant.
    """
    quantity = question.quantity
    if quantity is None:
        return line
    line = with_unit(_charge_over(walk, in_figures(line)), _SYMBOLS[quantity.dimension])
    if found := _SAME.fullmatch(line):
        return _the_same(walk, question, found["as"])
    if quantity.symbol == "C":
        return _joined(walk, line)
    return _of_each(walk, question, line)


# C1 and C2 make 5 uF


def _joined(walk: Walk, line: str) -> str:
    names = [re.escape(c.name) for c in (*given(walk), *_made(walk))]
    one = f"(?:{'|'.join(sorted(names, key=len, reverse=True))})"
    found = re.match(
        rf"(?i)\s*({one}(?:\s*(?:,|and|&|\+|with)\s*{one})+)\s+"
        r"(?:together\s+)?(?:are\s+|is\s+)?(?:like\s+|worth\s+)?(?:in\s+(?:series|parallel)\s+)?"
        r"(?:make|makes|give|gives|equal|equals|become|becomes|come\s+to|comes\s+to|add\s+up\s+to"
        r"|combine\s+to|combined\s+is|are|is|together)\s+(?=[\d.~])", line,
    )
    if found is None:
        return line
    named = {name.casefold() for name in re.findall(one, found[1], re.IGNORECASE)}
    parts = [c.name for c in (*given(walk), *_made(walk)) if c.name.casefold() in named]
    made = next(
        (s.makes.name for s in walk.plan if s.makes and [c.name for c in s.parts] == parts), None
    )
    return f"{made or joint_name(parts, set())} = {line[found.end():]}"


def _made(walk: Walk) -> Iterator[Capacitor]:
    return (step.makes for step in walk.plan if step.makes is not None)


# 8 V on C2; the 7 has 63


def _of_each(walk: Walk, question: Question, line: str) -> str:
    quantity = question.quantity
    assert quantity is not None
    unit = rf"(?:\s*(?:{_UNITS[quantity.dimension]})(?![A-Za-z0-9]))"
    amount = rf"(?P<amount>(?<![\w.])[-+]?\d+(?:[.,]\d+)?(?:(?:\s+\d+)?\s*/\s*\d+)?{unit}?)"
    united = rf"(?P<amount>(?<![\w.])[-+]?\d+(?:[.,]\d+)?{unit})"
    owner = _owner(walk)

    def named(found: re.Match[str]) -> str:
        name = _owner_of(walk, question, found["owner"])
        if name is None:
            return found[0]
        return f"{Quantity(quantity.symbol, name).name} = {found['amount']}"

    def of_each(found: re.Match[str]) -> str:
        number = re.match(r"\d+", in_figures(re.sub(r"e?s$", "", found["of"])))
        names = [c.name for c in given(walk) if number and c.value == (
            Fraction(number[0]) * Fraction(10) ** walk.problem.powers["capacitance"]
        )]
        told = [f"{Quantity(quantity.symbol, name).name} = {found['amount']}" for name in names]
        return ", ".join(told) or found[0]

    worked = re.fullmatch(rf"(?i)(?P<sum>[^=]*\d[^=]*)=\s*{amount}{_ON}{owner}\W*", line)
    if worked is not None and (name := _owner_of(walk, question, worked["owner"])) is not None:
        return f"{Quantity(quantity.symbol, name).name} = {worked['sum']} = {worked['amount']}"
    line = re.sub(rf"(?i){amount}{_ON}(?:each|every|both|all)\s+(?:of\s+)?(?:the\s+)?"
                  r"(?P<of>\w+)(?!\s*[*/+=])", of_each, line)
    line = re.sub(rf"(?i){amount}{_ON}{owner}", named, line)
    line = re.sub(rf"(?i){owner}{_HOLDS}{amount}(?!\s*[*/+=])", named, line)
    return re.sub(rf"(?i){owner}\s+{united}", named, line)


def _owner(walk: Walk) -> str:
    names = sorted({c.name for c in (*given(walk), *_made(walk))}, key=len, reverse=True)
    return (
        rf"(?P<owner>(?<![\w])(?:{'|'.join(map(re.escape, names))})(?![\w])"
        r"|\bother\s+one\b|\bthe\s+(?:\d+(?:[.,]\d+)?(?:\s*[pnuµμm]?F)?|other|first|second|third|fourth|last)"
        r"(?:\s+(?:one|capacitor|cap))?(?![\w.]))"
    )


def _owner_of(walk: Walk, question: Question, words: str) -> str | None:
    """The capacitor that C2, the 7, the other or the second means here."""
    parts = question.step.parts if question.step is not None else given(walk)
    everyone = (*given(walk), *_made(walk))
    word = re.sub(r"(?i)^the\s+|\s+(?:one|capacitor|cap)$", "", words.strip())
    by_name = [c.name for c in everyone if c.name.casefold() == word.casefold()]
    if by_name:
        return by_name[0]
    if word.lower() == "other":
        others = [c.name for c in parts if c != question.part]
        return others[0] if len(others) == 1 else None
    if word.lower() in _ORDINALS:
        at = _ORDINALS[word.lower()]
        return parts[at].name if at < len(parts) else None
    number = re.match(r"\d+(?:[.,]\d+)?", word)
    if number is None:
        return None
    power = walk.problem.powers["capacitance"]
    value = Fraction(number[0].replace(",", ".")) * Fraction(10) ** power
    same = {c.name for c in parts if c.value == value} or {
        c.name for c in given(walk) if c.value == value
    }
    return next(iter(same)) if len(same) == 1 else None


# the same as Q1


def _the_same(walk: Walk, question: Question, name: str | None) -> str:
    """The value that is said to be the same once more; of those found already of its kind."""
    quantity = question.quantity
    assert quantity is not None
    if name is not None:
        owner = _owner_of(walk, question, name)
        if owner and Quantity(quantity.symbol, owner) not in walk.known:
            raise Unsettled(*STILL_OPEN)
        return f"{Quantity(quantity.symbol, owner).name}" if owner else name
    parts = question.step.parts if question.step is not None else ()
    known = {
        walk.known[each] for c in parts
        if (each := Quantity(quantity.symbol, c.name)) in walk.known and each != quantity
    }
    if len(known) != 1:
        raise Unsettled(*SAME_AS_WHICH)
    return _written(next(iter(known)), walk.problem.powers[quantity.dimension])


def _written(value: Value, power: int) -> str:
    if in_letters(value):
        return str(value)
    in_usual = value / Fraction(10) ** power
    return f"{in_usual.numerator}/{in_usual.denominator}"
