"""What a line says once more before its answer: what is given, or was found before.

'C1 is 6 uF and C2 is 3 uF, so the charge' answers with the charge; no value of it is an answer, a
capacitor pointed at, or a quantity that is shared.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Final

from grammar.quantity import unit
from grammar.records import Refusal
from grammar.spoken_numbers import in_figures
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.quantities import Quantity
from tutor.teaching.reading.spoken_words import INTERJECTIONS
from tutor.teaching.walk import Walk, next_question

_AMOUNT: Final = r"(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>[pnuµμmk]?(?:F|V|volts?))"
_OF_ONE: Final = re.compile(
    rf"(?i)(?:(?:with|we\s+have|given|there\s+is)\s+)?(?P<name>c_?\d+)\s*(?:=|is|has|with|of|being)?\s*(?:worth\s+)?{_AMOUNT}"
)
_OF_THE_SUPPLY: Final = re.compile(
    rf"(?i)(?:(?:we|i|you|they)\s+(?:have|had|got|get)|there\s+is|there['’]?s|with|given|the|a|an|at"
    rf"|from|supply|battery|source|cell|is|gives|of|\s)*\b{_AMOUNT}(?P<behind>(?:\s+(?:supply|battery"
    r"|source|cell|across|between|over|on|the|ends|terminals|whole|all|of|it|in|total|given))*)"
)
_SUPPLY_WORDS: Final = re.compile(
    r"(?i)\b(?:suppl\w+|battery|source|cell|ends|terminals|we|with|given)\b"
)
_LEADS: Final = re.compile(
    r"(?i)\s*(?:(?:so|and|as|since|well|if|when|where|then|here)\s+)*"
)
_ENDS: Final = re.compile(r"(?i)[,;:](?!\d)|\.(?!\d)|\b(?:and|so|then|hence|therefore)\b|\s[-–—]\s")


def without_what_is_known(walk: Walk, line: str) -> str:
    """A line without the values of capacitors and of the supply that it repeats before its answer,
    as long as an answer is left.
    """
    question = next_question(walk)
    if question is None or not re.search(r"\d", line):
        return line
    rest, told = line, False
    while (end := _ENDS.search(rest)) is not None:
        piece = _LEADS.sub("", rest[: end.start()], count=1).strip()
        if not piece or piece.lower() in INTERJECTIONS:
            pass
        elif _is_known(walk, piece):
            told = True
        else:
            break
        rest = rest[end.end() :]
    answered_by = r"\d" if question.quantity is not None else (
        r"\d|\b(?:none|nothing|all)\b" if question.about == "choice" else "[A-Za-z]"
    )
    is_left = re.search(answered_by, in_figures(rest)) and not _is_known(walk, rest.strip())
    return rest.strip() if told and is_left else line


def _is_known(walk: Walk, piece: str) -> bool:
    """Whether a piece says what a capacitor is worth, or the supply gives, and no more."""
    values = {q: v for q, v in walk.known.items() if not in_letters(v)}
    question = next_question(walk)
    asked = question.quantity if question is not None else None
    if asked is not None and walk.truth.get(asked) == values.get(Quantity("V")):
        values.pop(Quantity("V"), None)  # it is the answer
    if (found := _OF_ONE.fullmatch(piece)) is not None:
        name = found["name"].upper().replace("_", "")
        return _is_worth(found, values, Quantity("C", name))
    found = _OF_THE_SUPPLY.fullmatch(piece)
    return found is not None and _SUPPLY_WORDS.search(piece) is not None and (
        _is_worth(found, values, Quantity("V"))
    )


_AMOUNTS: Final = re.compile(r"(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>[pnuµμmk]?[FVCJ])\b")


def is_said_again(walk: Walk, piece: str) -> bool:
    """Whether a piece has nothing but values that were found before, and none of what is asked."""
    question = next_question(walk)
    asked = question.quantity if question is not None else None
    said = [*_AMOUNTS.finditer(piece)]
    rest = _AMOUNTS.sub("", piece).replace("and", "")
    if asked is None or not said or re.search(r"\w", rest):
        return False
    values = {q: v for q, v in walk.known.items() if not in_letters(v)}
    return all(
        unit(each["unit"]).dimension != asked.dimension
        and any(_is_worth(each, values, quantity) for quantity in values)
        for each in said
    )


def _is_worth(
    said: re.Match[str], values: Mapping[Quantity, Value], quantity: Quantity
) -> bool:
    try:
        as_written = unit(re.sub(r"(?i)(?<=v)olts?", "", said["unit"]))
    except Refusal:
        return False
    held = values.get(quantity)
    if held is None or as_written.dimension != quantity.dimension:
        return False
    worth = Fraction(said["number"]) * Fraction(10) ** as_written.power
    return close(worth, held)
