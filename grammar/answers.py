"""One learner's line to claims: what is said to equal what."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from grammar.expressions import Expression, Name, Neg, Num, Op, Power, parts_of
from grammar.measures import (
    DIMS,
    Dims,
    Measure,
    WrongUnit,
    as_si,
    evaluate,
    half_in_si,
    known,
    spoken,
)
from grammar.parsing import Unparsed, parse
from grammar.sides import ROOT, read_side
from grammar.words import AnswerLine, shown, spelling

if TYPE_CHECKING:
    from grammar.parsing import Tree
    from grammar.records import Refusal
from grammar.refusals import ANY_VALUE

__all__ = [
    "DIMS",
    "Claim",
    "Dims",
    "Expression",
    "Measure",
    "Name",
    "Neg",
    "Num",
    "Op",
    "Power",
    "WrongUnit",
    "as_si",
    "evaluate",
    "half_in_si",
    "is_plain_value",
    "known",
    "parts_of",
    "read_claims",
    "spoken",
    "turned_name",
]

LONGEST_LINE = 500
MOST_BRACKETS = 100

_ROOT = re.compile(
    r"(?i)(?:\bthe\s+)?(?:\b(?:square\s+)?root(?:\s+of)?(?![A-Za-z])|\bsqrt(?![A-Za-z])|√)"
    r"(?=\s*[(\[\d])"
)
# The root of 8/50e-6: said in words, all that is multiplied and divided behind it.
_ROOT_OF = re.compile(
    r"(?i)\b((?:square\s+)?root\s+of)\s+(?=[^,;=]*(?:[/*×·]|\b(?:over|times|by)\b))"
    r"(\d(?:[\w.µμ^]|(?<=e)-(?=\d)|\s*[/*×·]\s*(?=[^\s/*×·])|\s(?=(?:over|times|divided|by|[A-Z\d]|[pnuµμm]?[FVCJ]\b)))*?)"
    r"(?=\s*(?:[,;=]|$|(?:is|so|gives|makes|equals)\b))"
)
_CLOSING = MappingProxyType({"(": ")", "[": "]"})
_SIGNS = "+-−–*×·/÷^=,;)]⁰¹²³⁴⁵⁶⁷⁸⁹⁻"
_SIGNS_OF_NETWORKS = ("--", "||", "—", "∥")


class Claim(NamedTuple):
    """What one statement says: all its ``sides``, in order, are equal.

    ``target`` is the name on the far left of an equals sign, which is then also the first
    side. ``reciprocal`` is the name C in "1/C = …", where the first side is 1/C.
    """

    target: str | None
    sides: tuple[Expression, ...]
    reciprocal: str | None = None


def read_claims(
    text: str,
    names: Collection[str],
    letters: bool = False,
    told: tuple[str, ...] = (),
    sizes: bool = False,
) -> tuple[Claim, ...]:
    """The statements of one line, with ``names`` the names that mean something now.

    After a number, C and V are coulombs and volts where that can be; with ``letters`` they
    are the letters C and V wherever those are names. ``told`` are the names to offer in place
    of one that is not known, where that should not be all of them; with ``sizes`` lengths, areas,
    fields and forces have units as well. Errors: ``Refusal`` with
    its place.
    """
    text = _ROOT_OF.sub(r"\1 (\2)", " ".join(text.splitlines()))
    text = _THAT_IS.sub(" = ", _ROOT.sub(f" {ROOT} ", text))
    text = _KIND_AND_NAME.sub(_named_once, text)
    line = AnswerLine(text, spelling(names), letters, told=told, sizes=sizes)
    _check_size(line)
    _check_brackets(line)
    try:
        tree = parse("answer", line.text, "start")
    except Unparsed as stuck:
        raise _misfit(stuck, line) from None
    return tuple(_claim(claim.children, line) for claim in tree.children)


# 21/3, i.e. 7 µF: the same value once more.
_THAT_IS = re.compile(r"(?i)[,;]?\s*(?:=\s*)?\bi\.\s?e\.?,?\s*(?:=\s*)?(?=[\d(])")


# The charge Q1 = 40 µC says no product of two charges; the charge C1 is that on it.
_KIND_AND_NAME = re.compile(
    r"\b(?P<kind>(?i:charge|voltage|energy|capacitance|p\.?d\.?|potential difference))\s+"
    r"(?P<name>[CQVUEW])(?=_?\w{0,5}'*\s*[=:])"
)
_OWN_LETTERS: Mapping[str, str] = MappingProxyType(
    {"ca": "C", "ch": "Q", "en": "EWU", "p.": "VU", "pd": "VU", "po": "VU", "vo": "VU"}
)


def _named_once(found: re.Match[str]) -> str:
    name = found["name"]
    if name in _OWN_LETTERS[found["kind"][:2].lower()]:
        return name
    return f"{found['kind']} on {name}" if name == "C" else found[0]


def is_plain_value(text: str) -> bool:
    """Whether a line is one number, with its name and its unit perhaps, as in C23 = 14 uF."""
    return _PLAIN_VALUE.fullmatch(text) is not None


_PLAIN_VALUE = re.compile(
    r"\s*(?:[A-Za-z]\w*\s*=\s*)?[+-]?\d+(?:[.,]\d+)?\s*(?:[pnuµμmkM]?[FVCJ])?\s*"
)


def _claim(sides: list[Tree], line: AnswerLine) -> Claim:
    first = read_side(sides[0], line)
    if adds_reciprocals(first):
        line = line._replace(turned=True)
        first = read_side(sides[0], line)
    if len(sides) == 1:
        return Claim(None, (first,))
    reciprocal = turned_name(first)
    line = line._replace(turned=line.turned or reciprocal is not None)
    others = tuple(read_side(side, line) for side in sides[1:])
    target = first.text if isinstance(first, Name) else None
    return Claim(target, (first, *others), reciprocal)


def adds_reciprocals(side: Expression) -> bool:
    """Whether a side is a sum that begins with 1/name."""
    first = side
    while isinstance(first, Op) and first.sign == "+":
        first = first.left
    return first is not side and turned_name(first) is not None


def turned_name(side: Expression) -> str | None:
    """The name in 1/name, None for any other side."""
    if not isinstance(side, Op) or side.sign != "/" or not isinstance(side.right, Name):
        return None
    one = isinstance(side.left, Num) and side.left.value == 1 and side.left.unit is None
    return side.right.text if one else None


def _check_size(line: AnswerLine) -> None:
    if not line.text.strip():
        raise line.refusal(0, "There is nothing on this line.", ANY_VALUE)
    if len(line.text) > LONGEST_LINE:
        found = f"This line is longer than {LONGEST_LINE} characters."
        raise line.refusal(LONGEST_LINE, found, "Write it in several lines.")


def _check_brackets(line: AnswerLine) -> None:
    """Brackets close in order, and not too many are open at once."""
    opened: list[int] = []
    for offset, character in enumerate(line.text):
        if character in _CLOSING:
            opened.append(offset)
        elif character in _CLOSING.values():
            if not opened:
                found = "This bracket was never opened."
                raise line.refusal(offset, found, "Take it out, or open one before it.")
            wanted = _CLOSING[line.text[opened.pop()]]
            if character != wanted:
                found = f"This {character} closes a bracket of the other kind."
                raise line.refusal(offset, found, f"Write {wanted} here.")
        if len(opened) > MOST_BRACKETS:
            found = f"More than {MOST_BRACKETS} brackets are open here."
            raise line.refusal(offset, found, "Work the inner ones out first.")
    if opened:
        raise line.refusal(opened[-1], "This bracket is never closed.", "Close it with a ).")


def _misfit(stuck: Unparsed, line: AnswerLine) -> Refusal:
    """What does not fit, in words."""
    if not stuck.text:
        last = shown(line.text.split()[-1])
        found = f'The line stops after "{last}", and something is missing.'
        return line.refusal(stuck.offset, found, "Write a name or a value there.")
    piece = shown(stuck.text)
    for sign in _SIGNS_OF_NETWORKS:
        if line.text.startswith(sign, stuck.offset):
            found = f"{sign} is for writing a network."
            return line.refusal(
                stuck.offset, found, "Here write a value, or a sum such as C2 + C3."
            )
    if line.text.startswith(("^", "**"), stuck.offset):
        found = "No whole number comes after this sign for a power."
        return line.refusal(stuck.offset, found, "Write it as in V^2.")
    if stuck.text[0] in _SIGNS or stuck.text.isalpha():
        found = f"{piece} stands where a name or a value is needed."
        return line.refusal(stuck.offset, found, "Write one sign between two values.")
    found = f"{piece} has no meaning at this place."
    return line.refusal(stuck.offset, found, "Write an answer such as 5 uF or C23 = 2 + 3 = 5 uF.")
