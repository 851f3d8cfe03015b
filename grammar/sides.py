"""One side of an equals sign: from the tree of the grammar to an expression.

Trees are built from the leaves up in a loop, so that brackets in brackets use no stack.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, TypeAlias

from grammar.expressions import Expression, Name, Neg, Num, Op, Power, parts_of
from grammar.words import (
    AnswerLine,
    Factor,
    add_word,
    alone,
    offset_of,
    one,
    raised,
    split,
    unknown_name,
)

if TYPE_CHECKING:
    from grammar.parsing import Token, Tree
import re
import unicodedata
from typing import TYPE_CHECKING

from grammar.expressions import inner_parts
from grammar.quantity import PLAIN, RAISED, number
from grammar.records import Refusal

if TYPE_CHECKING:
    from grammar.parsing import Token


MOST_POWER = 6
MOST_POWER_OF_TEN = 30
# Powers of powers multiply; beyond this a short line could ask for a number of any length.
MOST_POWERS_TOGETHER = 36

_TO_MINUS_ONE = re.compile(r"(?:\^|\*\*)? *\(? *[-−–] *1 *\)?|⁻¹")
_EXPONENT = re.compile(r"[+-]? *[0-9]+")


def numeral(token: Token, line: AnswerLine) -> Num:
    """A typed number. Errors: ``Refusal`` with its place where it cannot be read."""
    if token.type != "NUMBER":
        return Num(_fraction(token, line), None, 0, str(token))
    try:
        value, half, figures = number(token)
    except Refusal as refusal:
        raise line.placed(refusal, token) from None
    return Num(value, half, figures, str(token))


def _fraction(token: Token, line: AnswerLine) -> Fraction:
    """The value of 1 1/5, 1½ or ½."""
    vulgar = unicodedata.normalize("NFKC", token[-1]).replace("⁄", "/")
    spread = f"{token[:-1]} {vulgar}" if "/" in vulgar else str(token)
    front, _, below = spread.partition("/")
    *before, top = map(int, front.split())
    bottom = int(below)
    if bottom == 0:
        raise line.refusal(offset_of(token), "This divides by zero.", "Write the value.")
    return sum(before) + Fraction(top, bottom)


def powered(base: Factor, sign: Token, line: AnswerLine) -> Factor:
    """A piece with its exponent; a power of ten is one exact number.

    Errors: ``Refusal`` for an exponent that is too large.
    """
    exponent = _exponent(sign)
    if base.token == "10" and abs(exponent) <= MOST_POWER_OF_TEN:
        ten = Num(Fraction(10) ** exponent, Fraction(0), 0, f"10^{exponent}")
        return Factor(base.token, ten, 1)
    if abs(exponent) > MOST_POWER:
        cure = f"Use whole numbers from -{MOST_POWER} to {MOST_POWER}."
        raise line.refusal(offset_of(sign), "This exponent is too large.", cure)
    if base.worth is not None and abs(exponent) * _growth(base.worth) > MOST_POWERS_TOGETHER:
        cure = "Work the inner one out first."
        raise line.refusal(offset_of(sign), "These powers of powers grow too large.", cure)
    return base._replace(exponent=exponent)


def _exponent(sign: Token) -> int:
    if sign[0] in "sScC":
        return 2 if sign[0] in "sS" else 3
    found = _EXPONENT.search(sign.translate(RAISED).translate(PLAIN))
    return int(found[0].replace(" ", "")) if found else 1


def _growth(expression: Expression) -> int:
    """The largest exponent that any part comes to, powers of powers multiplied out."""
    largest = 1
    waiting: list[tuple[Expression, int]] = [(expression, 1)]
    while waiting:
        part, growth = waiting.pop()
        if isinstance(part, Power):
            growth *= max(1, abs(int(part.exponent)))
        largest = max(largest, growth)
        waiting.extend((inner, growth) for inner in inner_parts(part))
    return largest


_Row: TypeAlias = tuple[Expression, ...]

ROOT = "sqrt"
_BEFORE_A_UNIT = ("NUMBER", "MIXED", "VULGAR", "POWER")  # the C of 10^-6 C
_LETTERS: Mapping[str, str] = MappingProxyType(
    {"ca": "C", "ch": "Q", "en": "E", "p.": "V", "pd": "V", "po": "V", "vo": "V"}
    | {letter.casefold(): letter for letter in "CEQV"}
)


def read_side(side: Tree, line: AnswerLine) -> Expression:
    """The expression that a ``sum`` of the grammar stands for.

    Errors: ``Refusal`` for an unknown name or unit, and for numbers beyond the limits.
    """
    line = line._replace(among_names=_mentions_names(side, line))
    turned = line._replace(turned=True)
    below_one = _below_one(side)
    built: dict[int, Any] = {}
    for tree in side.iter_subtrees():
        children = [each if isinstance(each, str) else built[id(each)] for each in tree.children]
        here = turned if id(tree) in below_one else line
        built[id(tree)] = _BUILDERS[tree.data](children, here)
    whole: Expression = built[id(side)]
    return whole


def _below_one(side: Tree) -> set[int]:
    """The trees inside a bracket below 1, or to the power of -1, as in 1/(1/2 uF + 1/3 uF): sums
    of reciprocals.
    """
    found: set[int] = set()
    for tree in side.iter_subtrees():
        if tree.data == "primary" and _is_turned(tree.children):
            found.update(id(each) for each in tree.children[0].iter_subtrees())
        row: list[Any] = tree.children if tree.data == "product" else []
        for before, sign, after in zip(row[::2], row[1::2], row[2::2], strict=False):
            last, first = before.children[-1].children[-1], after.children[-1].children[0]
            bracket = first.children[0]
            if sign.type == "SLASH" and last.children == ["1"] and not isinstance(bracket, str):
                found.update(id(each) for each in bracket.iter_subtrees())
    return found


def _is_turned(children: list[Any]) -> bool:
    """Whether a bracket has the power of -1."""
    first, *power = children
    return not isinstance(first, str) and any(_TO_MINUS_ONE.fullmatch(each) for each in power)


def _mentions_names(side: Tree, line: AnswerLine) -> bool:
    """Whether any word that does not follow a number is a name."""
    leaves: list[Any] = [
        leaf for tree in side.iter_subtrees() for leaf in tree.children if isinstance(leaf, str)
    ]
    tokens: list[Token] = sorted(leaves, key=offset_of)
    if any(token.type == "KIND" for token in tokens):
        return True
    first = tokens[0].type == "WORD" and bool(split(tokens[0], line.names))
    return first or any(
        after.type == "WORD"
        and before.type not in _BEFORE_A_UNIT
        and bool(split(after, line.names))
        for before, after in pairwise(tokens)
    )


def _sum(children: list[Any], _: AnswerLine) -> Expression:
    if isinstance(children[0], str):  # a plus sign in front
        children = children[1:]
    whole: Expression = children[0]
    for sign, part in zip(children[1::2], children[2::2], strict=True):
        whole = Op("+" if sign.type == "PLUS" else "-", whole, part)
    return whole


def _product(children: list[Any], line: AnswerLine) -> Expression:
    """Left to right; things side by side below a line belong together, as in Q²/2C.

    After a fraction of two plain numbers they do not: 1/2 C V² is ½ C V², and 3*7/10 uF
    is 2.1 uF. In a sum of reciprocals they do all the same: there 1/2C stands beside 1/C.
    """
    negative, row = children[0]
    whole = _joined(negative, row)
    for sign, (negative, after) in zip(children[1::2], children[2::2], strict=True):
        fraction = sign.type == "SLASH" and _is_plain(row[-1]) and not line.turned
        below, rest = _number_first(after) if fraction else (after, ())
        whole = Op("/" if sign.type == "SLASH" else "*", whole, _joined(negative, below))
        for factor in rest:
            whole = Op("*", whole, factor)
        row = after
    return whole


def _number_first(row: _Row) -> tuple[_Row, _Row]:
    """Part a plain number, or the number of a quantity, from what stands beside it."""
    first = row[0]
    if isinstance(first, Num) and first.unit is not None and first.half != 0:
        return (first._replace(unit=None),), (one(first.unit), *row[1:])
    return (row[:1], row[1:]) if _is_plain(first) else (row, ())


def _joined(negative: bool, row: _Row) -> Expression:
    whole = row[0]
    for factor in row[1:]:
        whole = Op("*", whole, factor)
    return Neg(whole) if negative else whole


def _is_plain(expression: Expression) -> bool:
    """Numbers only: no name and no unit anywhere."""
    return not any(
        isinstance(part, Name) or (isinstance(part, Num) and part.unit is not None)
        for part in parts_of(expression)
    )


def _signed(children: list[Any], _: AnswerLine) -> tuple[bool, _Row]:
    return len(children) > 1, children[-1]


def _group(pieces: list[Factor], line: AnswerLine) -> _Row:
    row: list[Expression] = []
    for index, piece in enumerate(pieces):
        if piece.token == ROOT and piece.worth is None and index + 1 < len(pieces):
            continue
        if index and pieces[index - 1].token == ROOT and piece.worth is not None:
            row.append(raised(Power(piece.worth, Fraction(1, 2)), piece.exponent))
            continue
        if piece.worth is None:
            add_word(row, pieces, index, line)
            continue
        if index and piece.token is not None:
            found = f"No sign stands in front of {piece.token}."
            raise line.refusal(offset_of(piece.token), found, "Put a sign there, such as × or +.")
        row.append(raised(piece.worth, piece.exponent))
    return tuple(row)


def _primary(children: list[Any], line: AnswerLine) -> Factor:
    value, *power = children
    if not isinstance(value, str):
        piece = Factor(None, value, 1)
    else:
        token: Any = value
        worth = None if token.type == "WORD" else numeral(token, line)
        piece = Factor(token, worth, 1)
    return powered(piece, power[0], line) if power else piece


def _bracket(children: list[Any], _: AnswerLine) -> Expression:
    inner: Expression = children[0]
    return inner


def _described(children: list[Any], line: AnswerLine) -> Expression:
    """A quantity in words: "charge on C2" is Q2, "V across C1" is V1, "energy" is E."""
    kind, *of = children
    letter = _LETTERS.get(kind[:2].casefold() if kind.type == "KIND" else kind.casefold())
    if letter is None:
        found = f"{kind} is no quantity that something can hold."
        cure = "Write charge, p.d., energy or capacitance, or a name by itself."
        raise line.refusal(offset_of(kind), found, cure)
    possible = [letter]
    if of:
        owner = alone(of[0], line.names)
        if owner is None:
            raise unknown_name(of[0], line)
        possible = [owner] if letter == "C" else [letter + owner.removeprefix("C"), letter + owner]
    for name in possible:
        if name in line.names.exact:
            return Name(name)
    found = f"The {kind} meant here has no name in this network."
    raise line.refusal(offset_of(kind), found, "Write one of the names in use, or the value.")


_BUILDERS: Mapping[str, Callable[[list[Any], AnswerLine], Any]] = MappingProxyType(
    {
        "sum": _sum,
        "product": _product,
        "signed": _signed,
        "group": _group,
        "primary": _primary,
        "bracket": _bracket,
        "described": _described,
    }
)
