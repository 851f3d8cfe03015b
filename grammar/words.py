"""What a word of a learner's line is: a name, several names side by side, or a unit.

Letters serve twice in this trade: C is a capacitance and a coulomb, V a p.d. and a volt. What
such a word is depends on what stands around it.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from grammar.expressions import Expression, Name, Num, Power
from grammar.lengths import size_unit
from grammar.quantity import Unit, code, is_unit, unit
from grammar.records import Place, Refusal
from grammar.refusals import ANY_VALUE

if TYPE_CHECKING:
    from grammar.parsing import Token
from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Any

WHOLE = ("eq", "equiv", "total", "tot", "t")
_DRAWN_ALIKE: Mapping[int, Any] = str.maketrans({"’": "'", "′": "'", "_": None})
_LOWERED: Mapping[int, Any] = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
_LONGEST = 60


class Spelling(NamedTuple):
    """The ways to write each name: as it stands, and without regard to case."""

    exact: Mapping[str, str]
    folded: Mapping[str, str]


def spelling(names: Collection[str]) -> Spelling:
    """Take in the names that mean something now.

    A single letter may also be written with "eq" or "total" after it: Ceq for C.
    """
    exact = {_plain(name): name for name in names}
    for name in names:
        for ending in WHOLE if len(name) == 1 else ():
            exact.setdefault(name + ending, name)
    folded: dict[str, str] = {}
    unclear: set[str] = set()
    for written, name in exact.items():
        if folded.setdefault(written.casefold(), name) != name:
            unclear.add(written.casefold())
    clear = {written: name for written, name in folded.items() if written not in unclear}
    return Spelling(MappingProxyType(exact), MappingProxyType(clear))


def split(word: str, known: Spelling) -> tuple[str, ...]:
    """The names a word is made of, the longest first: CV is C and V. Empty if it is not.

    A small x between two names is a times sign: C1xC2.
    """
    text = _plain(word)
    if len(text) > _LONGEST:
        return ()
    found: dict[int, tuple[str, ...]] = {len(text): ()}
    for start in reversed(range(len(text))):
        for end in range(len(text), start, -1):
            name = _one(text[start:end], known)
            if name and end in found:
                found[start] = (name, *found[end])
                break
        if text[start] == "x" and start not in found and found.get(start + 1):
            found[start] = found[start + 1]
    return found.get(0, ())


def alone(word: str, known: Spelling) -> str | None:
    """The one name that a whole word stands for, or None."""
    return _one(_plain(word), known)


def _one(text: str, known: Spelling) -> str | None:
    return known.exact.get(text) or known.folded.get(text.casefold())


def _plain(word: str) -> str:
    return word.translate(_DRAWN_ALIKE).translate(_LOWERED)


_UNITS_LIKE_NAMES = ("c", "v", "f", "j")
_SHAPED_LIKE_A_NAME = re.compile(r"[A-Za-z]{1,2}[0-9_]+['’′]*|[A-Za-z]")
_END_OF_A_CODE = re.compile(r"[pnuµμmF][0-9]+F?")
# An amount squared is squared with its number: nobody has 100 square volts, but 100 V, squared.
_WITH_THEIR_NUMBER = ("capacitance", "charge", "voltage")
_AMOUNT_BEFORE = re.compile(r"(?<![A-Za-z_\d])[\d.,]*\d\s*[pnuµμm]?[FC](?![A-Za-z0-9_])")
_ONE_OVER = re.compile(r"(?<![0-9.,])1 */ *$")
_LONGEST_SHOWN = 30
_MOST_NAMES_SHOWN = 12


class AnswerLine(NamedTuple):
    """The line being read, the names that count, and how C and V are to be taken.

    ``letters``: never as units. ``among_names``: the side in hand holds other names.
    ``turned``: a sum of reciprocals is in hand, where 1/4 uF is one divided by 4 uF.
    ``told``: the names to offer where one is not known; none: all that count. ``sizes``: lengths,
    areas, fields and forces are asked for here as well, so that m is the metre.
    """

    text: str
    names: Spelling
    letters: bool = False
    among_names: bool = False
    turned: bool = False
    told: tuple[str, ...] = ()
    sizes: bool = False

    def unit(self, word: str) -> Unit:
        """The unit that a word is. Errors: ``Refusal`` without a place for any other word."""
        return (size_unit(word) if self.sizes else None) or unit(word)

    def refusal(self, offset: int, found: str, cure: str) -> Refusal:
        """A refusal that points at a character, counted from 0."""
        return Refusal(found, cure, Place(1, offset + 1, self.text))

    def placed(self, refusal: Refusal, token: Token) -> Refusal:
        """A refusal of one word or number, with its place."""
        return self.refusal(offset_of(token), refusal.found, refusal.cure)


class Factor(NamedTuple):
    """One thing in a row of things side by side, with its exponent.

    ``token`` is None for a bracket and a quantity in words, ``worth`` for a word not judged yet.
    """

    token: Token | None
    worth: Expression | None
    exponent: int


def offset_of(token: Token) -> int:
    """Where a token starts, in characters from 0."""
    return token.start_pos or 0


def shown(text: str) -> str:
    """A piece of the line, short enough for a message."""
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 3] + "..."


def raised(base: Expression, exponent: int) -> Expression:
    """``base`` to a whole exponent."""
    return base if exponent == 1 else Power(base, exponent)


def one(unit_of: Unit) -> Num:
    """A unit by itself, as an exact factor."""
    return Num(Fraction(1), Fraction(0), 0, "", unit_of)


def add_word(row: list[Expression], pieces: list[Factor], index: int, line: AnswerLine) -> None:
    """Add the word at ``index`` to the row before it: as a unit, or as its names.

    Errors: ``Refusal`` for a word that is neither.
    """
    token, _, exponent = pieces[index]
    assert token is not None, "what has no worth yet is a word"
    names = split(token, line.names)
    if names and not _is_unit(pieces, index, line):
        row.extend(Name(name) for name in names[:-1])
        row.append(raised(Name(names[-1]), exponent))
        return
    before = row[-1] if row and pieces[index - 1].worth is not None else None
    coded = _coded(before, token, line)
    if coded is not None:
        row[-1] = coded
        return
    found = _unit_after(before, token, line) if before else _unit_alone(token, not row, line)
    with_number = exponent == 1 or (exponent == 2 and found.dimension in _WITH_THEIR_NUMBER)
    if with_number and isinstance(before, Num) and before.unit is None and before.half != 0:
        row[-1] = raised(before._replace(unit=found), exponent)
    else:
        row.append(raised(one(found), exponent))


def _is_unit(pieces: list[Factor], index: int, line: AnswerLine) -> bool:
    """Whether a word that is a name all the same is a unit here, as the V of 12 V."""
    if index == 0:
        return False
    (token, _, exponent), before = pieces[index], pieces[index - 1]
    if line.letters:
        return False
    if isinstance(before.worth, Num) and len(split(token or "", line.names)) > 1:
        return is_unit(token or "")  # the uC of 24 uC, where U and C are names
    word = (token or "").casefold()
    if before.worth is None or isinstance(before.worth, Name) or word not in _UNITS_LIKE_NAMES:
        return False
    if before.exponent != 1:
        return True
    written = line.text[: offset_of(token)] if token else ""
    if exponent != 1 and not line.among_names and _AMOUNT_BEFORE.search(written):
        return not _is_half(before, line)  # 16 uF x 100 V^2
    if exponent != 1 or index + 1 < len(pieces):
        return False  # ½ C V, or 2 V^2
    return not (line.among_names and (word == "c" or _is_half(before, line)))


def _is_half(piece: Factor, line: AnswerLine) -> bool:
    """Whether a number is the half of ½ V Q, in any of its spellings."""
    if piece.token is None or not isinstance(piece.worth, Num):
        return False
    before = line.text[: offset_of(piece.token)]
    below_one = piece.worth.value == 2 and _ONE_OVER.search(before) is not None
    return below_one or piece.worth.value == Fraction(1, 2)


def _coded(before: Expression | None, token: Token, line: AnswerLine) -> Num | None:
    """A marking such as 4u7, which the grammar takes for a number and a word."""
    if not isinstance(before, Num) or not _END_OF_A_CODE.fullmatch(token):
        return None
    try:
        marking = code(before.text + token)
    except Refusal as refusal:
        raise line.placed(refusal, token) from None
    if marking is None:
        return None
    (value, half, figures), power = marking
    return Num(value, half, figures, before.text + token, Unit("capacitance", power))


def _unit_after(before: Expression, token: Token, line: AnswerLine) -> Unit:
    try:
        return line.unit(token.replace("-", " "))
    except Refusal as refusal:
        if _SHAPED_LIKE_A_NAME.fullmatch(token) or not isinstance(before, Num):
            raise unknown_name(token, line) from None
        raise line.placed(refusal, token) from None


def _unit_alone(token: Token, first: bool, line: AnswerLine) -> Unit:
    """A unit with no number before it makes sense only below a line, as in 0.45 / uF."""
    try:
        found = line.unit(token)
    except Refusal:
        raise unknown_name(token, line) from None
    if first and line.text[: offset_of(token)].rstrip().endswith(("/", "÷")):
        return found
    if first and line.text[offset_of(token) + len(token) :].lstrip().startswith("="):
        raise line.refusal(offset_of(token), f"{token} names no value here.", ANY_VALUE)
    cure = f"Write one, as in 5 {token}."
    raise line.refusal(offset_of(token), f"There is no number in front of {token}.", cure)


def unknown_name(token: Token, line: AnswerLine) -> Refusal:
    """The refusal of a word that is no name here, with the names that would do."""
    known = line.told or set(line.names.exact.values())
    names = sorted(known, key=lambda name: (len(name), name))
    if not names or not _SHAPED_LIKE_A_NAME.fullmatch(token):
        found = f"{shown(token)} is no name, number or unit that is known here."
        return line.refusal(offset_of(token), found, ANY_VALUE)
    alike = [name for name in names if name[0].casefold() == token[0].casefold()] or names
    numbered = [name for name in alike if re.search(r"^[A-Z]\d", name)] or alike
    listed = ", ".join(numbered[:_MOST_NAMES_SHOWN])
    return line.refusal(
        offset_of(token), f"{token} names no value here.", f"Known here: {listed}."
    )
