"""Text to records: a wish for an arrangement, or one refusal with its place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from grammar.levels import MOST_COPIES
from grammar.parsing import Unparsed, parse
from grammar.preparing import Source, prepare
from grammar.quantity import number
from grammar.records import Amount, Dimension, Refusal
from grammar.walking import Node, children, name_of, start_of, tokens
from grammar.wishes import Capacitors, PreferredSeries, StockItem, WishedFor
from grammar.worth import worth

EXAMPLE = "5 uF from 2 uF, 3 uF, 6 uF"
SERIES_NAMES = ("E3", "E6", "E12", "E24", "E48", "E96", "E192")
LONGEST_WISH = 2_000
MOST_PERCENT = 100

_COUNTS = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip
_CONDITIONS: Mapping[str, str] = MappingProxyType(
    {
        "within": "How far off it may be",
        "between": "The range of values",
        "parts": "The number of parts",
        "across": "The p.d.",
        "all_rated": "The rating of all",
    }
)
# What would do, by what the grammar would take; the first that fits is offered.
_CURES: tuple[tuple[str, str], ...] = (
    ("FROM", f"Say what it is to be made from, as in {EXAMPLE}."),
    ("PERCENT", "Write a part in a hundred or a value, as in within 2 % or within 0.1 uF."),
    ("NUMBER", "Write a value with its unit, as in 2 uF, or a series, as in E12."),
    ("PARTS", "Write up to 3 parts, or up to 3 x 2 uF."),
    ("RATED", "Write rated and a p.d., as in rated 63 V."),
    ("AND", "Write two values, as in between 1 uF and 100 uF."),
    ("NAME", "Write the unit of the number too, as in 2 uF."),
)


def read_wish(text: str) -> WishedFor:
    """Read what is wanted of which stock.

    Errors: ``Refusal`` for a text that cannot be read or that wants what cannot be.
    """
    source = prepare(text, one_sentence=True)
    if not source.plain.strip():
        raise Refusal("There is no text.", f"Say what is wanted, as in {EXAMPLE}.")
    if len(text) > LONGEST_WISH:
        raise Refusal(f"The text has more than {LONGEST_WISH} characters.", "Name less stock.")
    try:
        tree = parse("wish", source.plain, "wish")
    except Unparsed as stuck:
        raise _stuck(source, stuck) from None
    found = _conditions(source, tree)
    rating = _rating(source, found["all_rated"]) if "all_rated" in found else None
    wish = WishedFor(
        _target(source, tree),
        tuple(_item(source, node, rating) for node in children(tree, "item")),
        _within(source, found["within"]) if "within" in found else None,
        _between(source, found["between"]) if "between" in found else None,
        _count(source, found["parts"]) if "parts" in found else None,
        _value(source, found["across"].children[0], "voltage") if "across" in found else None,
        any(isinstance(each, str) for each in tree.children),
    )
    _check(source, tree, wish)
    return wish


def _conditions(source: Source, tree: Node) -> dict[str, Node]:
    """Each condition by its kind. Errors: ``Refusal`` where one is given twice."""
    found: dict[str, Node] = {}
    for node in children(tree, *_CONDITIONS):
        if name_of(node) in found:
            raise source.refusal(
                _offset(source, node),
                f"{_CONDITIONS[name_of(node)]} is given twice.",
                "Keep one of the two.",
            )
        found[name_of(node)] = node
    return found


def _offset(source: Source, node: Node) -> int:
    """Where a node stands; the words that the grammar drops have no place of their own."""
    return start_of(node) if any(True for _ in tokens(node)) else len(source.plain)


def _target(source: Source, tree: Node) -> Amount | None:
    if children(tree, "every"):
        return None
    return _value(source, children(tree, "target")[0].children[0], "capacitance")


def _item(source: Source, node: Node, rating: Amount | None) -> StockItem:
    value = children(node, "value")[0]
    own = children(node, "rated")
    rating = _rating(source, node) if own else rating
    text = source.text_of(value)
    if text.upper() not in SERIES_NAMES:
        if re.fullmatch(r"[Ee][0-9]+", text):
            raise source.refusal(
                start_of(value),
                f"{text} is no series of preferred values.",
                f"The series are {', '.join(SERIES_NAMES[:-1])} and {SERIES_NAMES[-1]}.",
            )
        return Capacitors(_value(source, value, "capacitance"), _copies(source, node), rating)
    if node.children[0] is not value:
        raise source.refusal(
            start_of(value),
            "A series has as many capacitors of each value as one likes.",
            f"Say how many parts there may be in all, as in {text}, up to 3 parts.",
        )
    return PreferredSeries(text.upper(), rating)


def _copies(source: Source, node: Node) -> int:
    return 1 if name_of(node.children[0]) == "value" else _count(source, node)


def _count(source: Source, node: Node) -> int:
    """The number that a node begins with, in figures or as a word."""
    first = node.children[0]
    if not isinstance(first, str):
        return _COUNTS.index(name_of(first)) + 1
    if re.fullmatch(r"[0-9]+", first) and 1 <= int(first[:9]) <= MOST_COPIES:
        return int(first)
    raise source.refusal(
        start_of(node),
        f"{first} is not a number of capacitors.",
        f"Write a whole number from 1 to {MOST_COPIES}.",
    )


def _rating(source: Source, node: Node) -> Amount:
    return _value(source, children(node, "rated")[0].children[0], "voltage")


def _within(source: Source, node: Node) -> Fraction | Amount:
    first = node.children[0]
    if not isinstance(first, str):
        return _value(source, first, "capacitance")
    try:
        percent = number(first).value
    except Refusal as refusal:
        raise source.refusal(start_of(node), refusal.found, refusal.cure) from None
    if 0 <= percent <= MOST_PERCENT:
        return percent / 100
    raise source.refusal(
        start_of(node), f"{first} % is no tolerance.", f"Write 0 % to {MOST_PERCENT} %."
    )


def _between(source: Source, node: Node) -> tuple[Amount, Amount]:
    first, second = (_value(source, each, "capacitance") for each in node.children)
    return (first, second) if first.value <= second.value else (second, first)


def _value(source: Source, node: Node, place: Dimension) -> Amount:
    """A value with its unit. Errors: ``Refusal`` with its place, also for letters."""
    text = source.text_of(node)
    try:
        found = worth(text, place)
    except Refusal as refusal:
        raise source.refusal(start_of(node), refusal.found, refusal.cure) from None
    if not isinstance(found, Amount):
        raise source.refusal(
            start_of(node),
            f"{text} is no value with a unit, and arrangements are found for numbers.",
            "Write it like 2 uF; with letters, take 1 uF for the letter.",
        )
    return found


def _check(source: Source, tree: Node, wish: WishedFor) -> None:
    """Conditions that only make sense together. Errors: ``Refusal``."""
    conditions = {name_of(node): node for node in children(tree, *_CONDITIONS)}
    series = any(isinstance(item, PreferredSeries) for item in wish.items)
    rated = any(item.rating is not None for item in wish.items)

    def refuse(name: str, found: str, cure: str) -> Refusal:
        node = conditions.get(name)
        return source.refusal(start_of(node) if node else start_of(tree), found, cure)

    if wish.between is not None and not series:
        raise refuse("between", "Only a series of values needs a range.", "Leave the range out.")
    if wish.target is None and series and wish.between is None:
        found = "Every value of a series would be without end."
        raise refuse("", found, "Give it a range, as in E12 between 1 uF and 10 uF.")
    if wish.target is None and (wish.within is not None or wish.across is not None):
        found = "This condition needs a wanted capacitance."
        cure = f"Name one, as in {EXAMPLE}, or leave the condition out."
        raise refuse("within" if wish.within is not None else "across", found, cure)
    if wish.all_of and (series or wish.most_parts is not None):
        found = "All of the stock cannot be used here."
        raise refuse("parts", found, "Leave out all of, or name single capacitors.")
    if rated and wish.across is None:
        found = "A rating matters only at a p.d., and none is named."
        cure = "Say what it is for, as in 12 uF for 100 V from 8 x 6 uF rated 63 V."
        raise refuse("all_rated", found, cure)


def _stuck(source: Source, stuck: Unparsed) -> Refusal:
    """What does not fit, in words, with what would do."""
    found = f'"{stuck.text}" does not fit here.' if stuck.text else "The wish ends too soon."
    if re.search(r"(?i)\b(rated|for|across)$", source.plain[: stuck.offset].rstrip()):
        return source.refusal(stuck.offset, found, "Write a p.d., as in 63 V.")
    fitting = [cure for name, cure in _CURES if name in stuck.expected]
    # For a sign that is used nowhere the lexer expects everything, which says nothing.
    known = fitting and len(fitting) < len(_CURES)
    return source.refusal(
        stuck.offset, found, fitting[0] if known else f"A wish is written like {EXAMPLE}."
    )
