"""A line of working as mathematics: read once, written as MathML or for the typesetter.

Only the lines that this program prints are read here; what is not understood stays text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from typing import Final, NamedTuple, TypeAlias


class Atom(NamedTuple):
    """A number, a name with its index, a unit, a sign or a few words."""

    text: str
    kind: str


class Over(NamedTuple):
    """A fraction."""

    top: Maths
    bottom: Maths


class Raised(NamedTuple):
    """A power."""

    base: Maths
    power: str


class Bracketed(NamedTuple):
    """Something in brackets."""

    inside: Maths


MathsNode: TypeAlias = Atom | Over | Raised | Bracketed
Maths: TypeAlias = tuple[MathsNode, ...]
MathsPiece: TypeAlias = tuple[Maths | str, str]
"""Mathematics or words, and the same as plain text."""

_TOKEN: Final = re.compile(
    r"(?P<space>\s+)"
    r"|(?P<unit>(?:[pnµkM]|m)?(?:F|V|C|J|m²|cm²|m|cm|mm)(?![\w'_]))(?<=\d.)?"
    r"|(?P<number>\d+(?:[.,]\d+)?(?:\s\d{3}(?!\d))*)"
    r"|(?P<half>½)"
    r"|(?P<name>[A-Za-zε][A-Za-z0-9]*(?:_[A-Za-z0-9]+)?'?)"
    r"|(?P<relation>[=≈<>≤≥])"
    r"|(?P<sign>[+−×·-])"
    r"|(?P<over>/)"
    r"|(?P<power>[²³]|\^[-−]?\d+|\^\([-−]?\d+\))"
    r"|(?P<open>\()|(?P<close>\))"
)
_WORDS: Final = re.compile(r"[A-Za-z]{2,}")
_PRODUCT: Final = re.compile(r"[A-Z]{2,}")  # CV in an answer in letters is C times V
LONGEST_NAME: Final = 3  # of letters alone; longer ones are words
_RAISED: Mapping[str, str] = {"²": "2", "³": "3"}
_GOES_ON: Final = re.compile(r"[\w'_]| (?!so\b|per\b)[A-Za-z]")
_BETWEEN: Final = ("relation", "sign")
_JOINTS: Final = re.compile(
    r"(,? so |; |, and |\. (?=[A-Z])| \((?:in|same|the)[^()]*\)$|^[A-Z][^=≈]*: )"
)
_INDEXED: Final = re.compile(r"(?<![\w_])([A-Z]_[A-Za-z0-9]+'?)(?!\w)")
UNITS: Final = re.compile(r"(?:[pnµkM]|m)?(?:F|V|C|J)|m²|cm²|cm|mm|m")


class NotAFormula(ValueError):
    """The line is prose."""


class MathsToken(NamedTuple):
    """One sign of a line."""

    kind: str
    text: str


def formula(text: str) -> Maths | None:
    """The line as a row of mathematics; None where it is prose, or has nothing to set."""
    try:
        tokens = list(_tokens(text))
        row, rest = _row(tokens)
    except NotAFormula:
        return None
    has_relation = any(token.kind == "relation" for token in tokens)
    return row if not rest and has_relation else None


def line_of(text: str) -> tuple[MathsPiece, ...]:
    """A line in pieces, each with its plain text: mathematics where it can be read, and the words
    between as they are.
    """
    found: list[MathsPiece] = []
    for piece in filter(None, _JOINTS.split(text)):
        read = None if _JOINTS.fullmatch(piece) else formula(piece)
        found.append((piece if read is None else read, piece))
    return tuple(found)


def words_of(text: str) -> tuple[MathsPiece, ...]:
    """Words as they are, but names with an index under a line, such as E_lost, set as such; what is
    a formula and nothing else is set as mathematics.
    """
    whole = formula(text)
    if whole is not None:
        return ((whole, text),)
    return tuple(
        ((Atom(piece, "name"),) if at % 2 else piece, piece)
        for at, piece in enumerate(_INDEXED.split(text)) if piece
    )


def _tokens(text: str) -> Iterator[MathsToken]:
    at = 0
    after_number = False
    while at < len(text):
        unit = UNITS.match(text, at) if after_number and text[at - 1].isspace() else None
        if unit and not _GOES_ON.match(text, unit.end()):
            yield MathsToken("unit", unit[0])
            at, after_number = unit.end(), False
            continue
        found = _TOKEN.match(text, at)
        if found is None or found.lastgroup is None:
            raise NotAFormula
        kind = found.lastgroup
        if kind == "unit":
            kind = "name"
        if kind != "space":
            after_number = kind == "number" or (after_number and kind == "power")
            if kind == "name" and _PRODUCT.fullmatch(found[0]):
                yield from (MathsToken(kind, letter) for letter in found[0])
            else:
                yield MathsToken(kind, found[0])
        at = found.end()


def _row(tokens: Sequence[MathsToken], closing: bool = False) -> tuple[Maths, Sequence[MathsToken]]:
    """Everything up to the end, or up to the bracket that closes it."""
    nodes: list[MathsNode] = []
    while tokens:
        kind, text = tokens[0]
        if kind == "close":
            if closing:
                return tuple(nodes), tokens[1:]
            raise NotAFormula
        if kind in ("relation", "sign"):
            nodes.append(Atom(text.replace("-", "−"), kind))
            tokens = tokens[1:]
            continue
        factor, tokens = _factor(tokens)
        while tokens and tokens[0].kind == "over":
            below, tokens = _factor(tokens[1:])
            while nodes and not (isinstance(nodes[-1], Atom) and nodes[-1].kind in _BETWEEN):
                factor = (nodes.pop(), *factor)
            factor = _over(factor, below)
        nodes += factor
    if closing:
        raise NotAFormula
    return tuple(nodes), tokens


def _factor(tokens: Sequence[MathsToken]) -> tuple[Maths, Sequence[MathsToken]]:
    """A name, a number with its unit, or a bracket, with the powers behind it."""
    if not tokens:
        raise NotAFormula
    (kind, text), *rest = tokens
    row: Maths
    left: Sequence[MathsToken] = rest
    if kind == "open":
        inside, left = _row(rest, closing=True)
        row = (Bracketed(inside),)
    elif kind == "number" and left and left[0].kind == "unit":
        row, left = (Atom(text, "number"), Atom(left[0].text, "unit")), left[1:]
    elif kind in ("number", "name", "half", "unit"):
        if text == "per" and left and UNITS.fullmatch(left[0].text):
            return (Atom(f"per {left[0].text}", "words"),), left[1:]
        if kind == "name" and _WORDS.fullmatch(text) and len(text) > LONGEST_NAME:
            raise NotAFormula
        row = (Atom(text, kind),)
    else:
        raise NotAFormula
    while left and left[0].kind == "power":
        power = _RAISED.get(left[0].text, left[0].text.strip("^()").replace("-", "−"))
        row, left = (Raised(row, power),), left[1:]
        if left and left[0].kind == "unit":
            row, left = (*row, Atom(left[0].text, "unit")), left[1:]
    return row, left


def _over(top: Maths, bottom: Maths) -> Maths:
    """A fraction; in 36/11 V the unit is that of all of it."""
    is_number = all(isinstance(node, Atom) and node.kind == "number" for node in top)
    if is_number and len(bottom) == 2 and bottom[1] == Atom(getattr(bottom[1], "text", ""), "unit"):
        return (Over(top, bottom[:1]), bottom[1])
    return (Over(_bare(top), _bare(bottom)),)


def _bare(row: Maths) -> Maths:
    """Without brackets, which the line of a fraction takes the place of."""
    if len(row) == 1 and isinstance(row[0], Bracketed):
        return row[0].inside
    return row


# MathML (presentation, as in MathML Core)


def mathml(row: Maths) -> str:
    """The formula as presentation MathML."""
    inside = "".join(map(_mathml, row))
    return f'<math displaystyle="true"><mrow>{inside}</mrow></math>'


def _mathml(node: MathsNode) -> str:
    if isinstance(node, Over):
        return f"<mfrac>{_mrow(node.top)}{_mrow(node.bottom)}</mfrac>"
    if isinstance(node, Raised):
        return f"<msup>{_mrow(node.base)}<mn>{node.power}</mn></msup>"
    if isinstance(node, Bracketed):
        return f"<mrow><mo>(</mo>{_mrow(node.inside)}<mo>)</mo></mrow>"
    text = escape(node.text)
    if node.kind == "name":
        letter, index, prime = _parted(node.text)
        tick = "<mo>′</mo>" if prime else ""
        base = f"<mi>{escape(letter)}</mi>"
        if index:
            base = f"<msub>{base}<mi mathvariant=\"normal\">{escape(index)}</mi></msub>"
        return f"<mrow>{base}{tick}</mrow>" if tick else base
    if node.kind == "unit":
        return f'<mspace width="0.2em"/><mi mathvariant="normal">{text}</mi>'
    if node.kind == "half":
        return "<mfrac><mn>1</mn><mn>2</mn></mfrac>"
    if node.kind == "words":
        return f"<mtext>&#160;{text}</mtext>"
    return f"<mn>{text}</mn>" if node.kind == "number" else f"<mo>{text}</mo>"


def _mrow(row: Maths) -> str:
    return f"<mrow>{''.join(map(_mathml, row))}</mrow>"


def _parted(name: str) -> tuple[str, str, bool]:
    """C123' as C, 123 and a prime; V_P as V and P."""
    prime = name.endswith("'")
    letter, index = name[0], name[1:].removesuffix("'").removeprefix("_")
    return letter, index, prime


# For the typesetter


def typeset(row: Maths) -> str:
    """The formula in the typesetter's own language of mathematics; it holds only quoted text."""
    return " ".join(map(_typeset, row))


def _typeset(node: MathsNode) -> str:
    if isinstance(node, Over):
        return f"frac({typeset(node.top)}, {typeset(node.bottom)})"
    if isinstance(node, Raised):
        return f"attach({typeset(node.base)}, t: {quoted(node.power)})"
    if isinstance(node, Bracketed):
        return f"lr(({typeset(node.inside)}))"
    if node.kind == "name":
        letter, index, prime = _parted(node.text)
        found = f"italic({quoted(letter)})"
        more = [f"b: {quoted(index)}"] if index else []
        more += ["t: prime"] if prime else []
        return f"attach({', '.join([found, *more])})" if more else found
    if node.kind == "unit":
        return f"thin {quoted(node.text)}"
    if node.kind == "half":
        return "frac(1, 2)"
    if node.kind == "words":
        return f"med {quoted(node.text)}"
    if node.kind in ("relation", "sign"):
        return _SIGNS[node.text]
    return quoted(node.text)


_SIGNS: Mapping[str, str] = {
    "=": "=", "≈": "approx", "<": "<", ">": ">", "≤": "<=", "≥": ">=", "+": "+", "−": "-",
    "×": "times", "·": "dot",
}


def quoted(text: str) -> str:
    """The text as the typesetter's string."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ")
    return f'"{escaped}"'
