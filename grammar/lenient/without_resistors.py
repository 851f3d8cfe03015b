"""What a text has that no network of capacitors has: it is said kindly, and the rest is read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from grammar.lenient.patterns import Phrase, rewritten, row
from grammar.lenient.tokens import Chunk

_RESISTOR = "A resistor is beyond Platewalk, which works networks of capacitors alone."
_TIME = "How long it takes to charge or discharge is beyond Platewalk, which takes no time."
_CHANGING = "A supply that goes on changing is beyond Platewalk, which takes steady ones."
_COIL = "A coil is beyond Platewalk, which works networks of capacitors alone."
_SEMI = "Diodes and transistors are beyond Platewalk, which works networks of capacitors alone."
_TOLD: Mapping[str, str] = {
    "HENRY": _COIL, "INDUCTOR": _COIL, "HZ": _CHANGING, "ALTERNATING": _CHANGING,
    "DISCHARGING": _TIME, "TIMING": _TIME, "SEC": _TIME, "RESISTOR": _RESISTOR, "OHM": _RESISTOR,
    "SEMI": _SEMI,
}  # fmt: skip
_CAN: Final = " It can take the capacitors by themselves, as in 4 uF -- 3 uF, across 12 V."


def beyond_in(pieces: Sequence[Chunk]) -> str:
    """What of a text is beyond the program, and what it can do instead; "" for nothing."""
    tags = {each.tag for each in pieces}
    told = next((text for tag, text in _TOLD.items() if tag in tags), "")
    return told and told + _CAN


def _joint_alone(inside: Sequence[Chunk]) -> list[Chunk]:
    return [each for each in inside if each.tag == "SER"]


_RESISTORS: Final = tuple(
    Phrase(row(pattern), _joint_alone)
    for pattern in (
        "(AND | COMMA | IN | SER | WITH | THROUGH | A | THE)* OHM? RESISTOR (OF (A | THE)* OHM)?",
        "(AND | COMMA)* (A | THE | WITH)* OHM",
    )
)


def without_resistors(pieces: Sequence[Chunk]) -> list[Chunk] | None:
    """The pieces of the capacitors alone; None where they would tell of something else.

    A resistor changes nothing of what is held in the end, but time and changing supplies do.
    """
    if beyond_in(pieces) != _RESISTOR + _CAN:
        return None
    left = rewritten(pieces, _RESISTORS)
    return left if not beyond_in(left) and any(each.tag == "CAPV" for each in left) else None
