"""Capacitors called by a bare number, by a place or by their order, put with their names: one and
two are in series, left and right in series, the second is parallel to the third.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from grammar.spoken_numbers import ONES, TENS

_ORDERS: Final = ("first", "second", "third", "fourth", "fifth", "sixth")
_WORTH: Final = r"[0-9]*\.?[0-9]+ ?-?(?:[unp]F|(?:micro|nano|pico)-?farads?)\b"
_COUNTS: Final = tuple(ONES)[2:7]
# Five capacitors of 20 pF each: all alike, and told apart by their order.
_ALIKE: Final = re.compile(
    rf"(?i)(?P<head>(?:^|(?<=[.;:] ))(?:(?:there are|i have|we have|take|given) )?)"
    rf"(?P<count>{'|'.join(_COUNTS)}|[2-6]) (?:(?:identical|equal|similar|alike) )?"
    r"(?:capacitors|condensers|caps),?(?: each)?(?: (?:of|with|having|is|are|a|capacitance))*"
    rf" (?P<worth>{_WORTH})(?: each)?(?:[.:;]|,(?! ?(?:and )?[0-9]))"
)
_BY_ORDER: Final = re.compile(
    rf"(?i)\bthe (?P<order>{'|'.join(_ORDERS)}|last)(?: one| capacitor| cap| condenser)?\b"
    r"(?! (?:two|three|pair|group|branch|set|row|of|string|chain|arm|path|way|line|box|block))"
)
# A name that is told with its value: C1 = 4 uF, C_left is 6 uF.
_NAMED: Final = re.compile(
    r"\bC_?(?P<index>[0-9]|left|right|middle|top|bottom|centre|center|upper|lower|in|out|a|b|c|d|e)"
    rf"\b(?=,? (?:=|is|of|has|equals|:)? ?(?:[0-9]|(?:{'|'.join((*ONES, *TENS))})\b))"
)
# The chain of C3, C4 and C5: a row of these, and no more than these.
_MEMBER: Final = r"(?:C_?[0-9a-e]\b(?!,? ?[=(]? ?[0-9]))"
_CHAIN_OF: Final = re.compile(
    r"(?i)\b(?:the|a) (?:chain|string|row|series(?: combination)?) of"
    rf" (?P<list>{_MEMBER}(?:(?:, (?:and )?| and ){_MEMBER})+)(?![^.;]*\b(?:are|is) in par)"
)
_LIST: Final = r"(?:, | and |, and | & )"
_NOT_A_VALUE: Final = r"(?! ?-?(?:[unp]F|micro|nano|pico|k?V\b|volt)|[.,]?[0-9])"
_IS_JOINED: Final = r"(?= (?:are|is|sit|go|goes|stand|in|across|over|parallel|both)\b)"
_BEFORE_THEM: Final = ("[.,;:\n]", "and", "then", "where", "farads", "F")


def with_names_in_turn(text: str) -> str:
    """The text with the name of each in such places."""
    return _CHAIN_OF.sub(_in_signs, _with_indices(_with_orders(text)))


def _in_signs(said: re.Match[str]) -> str:
    return f"({' -- '.join(re.findall(_MEMBER, said['list']))})"


def _with_orders(text: str) -> str:
    told = _ALIKE.search(text)
    if told is None:
        return text
    count = ONES.get(told["count"].lower(), 0) or int(told["count"])
    rest = text[told.end() :]
    orders = {each["order"].lower() for each in _BY_ORDER.finditer(rest)}
    if len(orders) < 3 or not orders <= {*_ORDERS[:count], "last"}:
        return text
    listed = ", ".join(f"C{at} = {told['worth']}" for at in range(1, count + 1))
    rest = _BY_ORDER.sub(lambda said: f"C{_place(said['order'].lower(), count)}", rest)
    return f"{text[: told.start()]}{listed}. {rest.strip()}"


def _place(order: str, count: int) -> int:
    return count if order == "last" else _ORDERS.index(order) + 1


def _with_indices(text: str) -> str:
    """Where several names are told, their indices alone stand for them in a list that is joined."""
    indices = list(dict.fromkeys(each["index"] for each in _NAMED.finditer(text)))
    if len(indices) < 2:
        return text
    words = {word: str(number) for word, number in ONES.items() if str(number) in indices}
    one = rf"(?:{'|'.join((*map(re.escape, indices), *words))})"
    listed = rf"{one}(?:{_LIST}{one})*\b{_NOT_A_VALUE}"
    opened = r"(?<![A-Za-z0-9_.'])(?<!C )(?<!the )"
    begins = "|".join(f"(?<={each} )" for each in _BEFORE_THEM)
    subject = rf"(?:(?<=^)|{begins}){opened}{listed}{_IS_JOINED}"
    what = r"(?<= (?:with|over) )|(?<= to )|(?<= across )"
    found = re.compile(rf"(?m){subject}|(?:{what}){opened}{listed}(?= ?(?:[.,;]|$|and\b|in\b))")
    return found.sub(lambda said: _each_named(said[0], indices, words), text)


def _each_named(listed: str, indices: Iterable[str], words: dict[str, str]) -> str:
    sign = "C_" if not any(each.isdigit() for each in indices) else "C"
    return re.sub(
        r"(?i)\b(?!and\b)[a-z0-9]+\b",
        lambda said: f"{sign}{words.get(said[0].lower(), said[0].lower())}",
        listed,
    )
