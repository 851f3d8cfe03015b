"""A relation of one capacitor, in letters or in words: Q = C V, charge over capacitance, half QV.

It is so of every capacitor or of none, whatever network it is said on; so no value is looked up.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from grammar.answers import Claim, Measure, evaluate, read_claims
from grammar.records import Refusal
from tutor.teaching.reading.spoken_words import with_pd_whole

# A capacitor as good as any: of no two of its values is one the other, or half or twice of it.
_WORTH: Final[Mapping[str, Measure]] = MappingProxyType({
    name: Measure(worth, bare=True) for name, worth in {
        "C": Fraction(7), "V": Fraction(3), "Q": Fraction(21), "E": Fraction(63, 2),
    }.items()
})
_WORDS: Final[tuple[tuple[re.Pattern[str], str], ...]] = tuple(
    (re.compile(rf"(?i)\b(?:{words})(?!\w)"), sign) for words, sign in (
        (r"(?:is\s+)?(?:equal\s+to|given\s+by|the\s+same\s+as)|is|are|equals?|comes\s+to", "="),
        (r"times|multiplied\s+(?:by|with)|x", "*"),
        (r"over|divided\s+by|per", "/"),
        (r"(?:one\s+|a\s+)?half(?:\s+of)?", " 1/2 *"),
        (r"squared", "^2"),
        (r"charges?", "Q"), (r"pd|p\.d|voltages?|volts|potential\s+difference|U", "V"),
        (r"capacitances?|capacity", "C"), (r"energy|energies", "E"),
    )
)
_TAKEN_BY: Final = re.compile(
    r"(?i)\b(?P<does>divid\w+|multipl\w+)\s+(?:the\s+)?(?P<one>\w+)\s+(?:by|with|and)\s+(?:the\s+)?"
    r"(?P<other>\w+)"
)
_FILLERS: Final = re.compile(
    r"(?i)\b(?:the|its|an?|you|we|one|i|it|that|this|total|whole|stored|always|simply|just|use|used"
    r"|because|by|from|fact|formula|law|rule|says?|of|course|obviously|for|any|capacitors?|each|every)\b"
)
_ENDS: Final = re.compile(r"(?i)[,;:!?]|\.(?!\d)|\s[-–—]\s|\b(?:so|but|because|since|and|then)\b")


def laws_said(text: str, for_work: bool = False) -> list[bool]:
    """Which of the relations of one capacitor that a text states are so; none where it states
    none. Where work is asked (``for_work``), E may be all that the supply gives, which is Q V.
    """
    pieces = _ENDS.split(with_pd_whole(text))
    found = [_so(each, for_work) for each in pieces]
    return [each for each in found if each is not None]


def without_laws(text: str) -> str:
    """A text without its relations of one capacitor, of whose words nothing is meant apart."""
    pieces = _ENDS.split(with_pd_whole(text))
    return text if all(_so(each, False) is None for each in pieces) else ", ".join(
        each for each in pieces if _so(each, False) is None
    )


def _so(piece: str, for_work: bool) -> bool | None:
    written = _in_letters(piece)
    if written is None:
        return None
    try:
        claims = read_claims(written, _WORTH, letters=True)
        return _is_so(claims[0], for_work) if len(claims) == 1 else None
    except (Refusal, ValueError, ZeroDivisionError):
        return None


def _in_letters(piece: str) -> str | None:
    """A piece of a line in letters and signs, where nothing else is left of it."""
    piece = _TAKEN_BY.sub(
        lambda m: f"{m['one']} {'/' if m['does'][0] in 'dD' else '*'} {m['other']}", piece
    )
    for words, sign in _WORDS:
        piece = words.sub(sign, piece)
    piece = _FILLERS.sub(" ", piece).replace("½", "1/2 *").strip(" =.")
    if re.fullmatch(r"[qcvue\d\s.()*/^=×]+", piece) and "=" in piece:
        piece = piece.upper()
    piece = re.sub(r"(?<![A-Za-z])[QCVUE]+(?![A-Za-z])", lambda m: m[0].replace("U", "V"), piece)
    letters = re.findall("[QCVE]", piece)
    is_one = len({*letters}) > 1 and (len(letters) > 2 or "=" not in piece)
    return piece if is_one and _ONE_LAW.fullmatch(piece) else None


# Letters and signs, and of numbers only those of a half and a square.
_ONE_LAW: Final = re.compile(r"(?:[QCVE\s()*/^=×]|(?<![\d.])(?:[12]|0?\.5)(?![\d.]))+")


def _is_so(claim: Claim, for_work: bool) -> bool | None:
    values = [evaluate(side, _WORTH).value for side in claim.sides]
    if claim.target is not None and claim.target in _WORTH:
        values.insert(0, _WORTH[claim.target].value)
    held = [each.value for each in _WORTH.values()]
    if len(values) < 2:  # V, of which it is not said that it is: the charge over the capacitance
        return True if values and values[0] in held else None
    if for_work:
        values = [each / 2 if each == 2 * _WORTH["E"].value else each for each in values]
    return len({*values}) == 1
