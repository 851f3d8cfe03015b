"""Where the grammar stops after a word of plates, ladders, ratings or changes."""

from __future__ import annotations

import re
from typing import Final, NamedTuple


class Slip(NamedTuple):
    """What stands before the place, as a pattern, and what to say of it.

    ``ended`` is said where nothing follows, ``found`` where something does that cannot be read;
    it may hold ``{text}``. None: this slip is another one's matter.
    """

    before: str
    ended: str | None
    found: str | None
    cure: str


_NUMBER = r"[0-9.,]+(?:e-?[0-9]+)?"
_NOT_SAID = "{text} does not fit here."

_SLIPS: Final = (
    Slip(
        r"\bthen",
        "Nothing is done after then.",
        "{text} is no change that is known here.",
        "Say what is done, as in then remove supply, then fill C1 with 4 or then take out C2.",
    ),
    Slip(
        r"\bjoin",
        "No capacitors stand after join.",
        _NOT_SAID,
        "Name two, as in join C1 and C2.",
    ),
    Slip(
        r"\brated(?: at)?",
        "No p.d. stands after rated.",
        _NOT_SAID,
        "Write the greatest p.d. it bears, as in rated 100 V.",
    ),
    Slip(
        r"\bcharged(?: to| with)?",
        "No p.d. or charge stands after charged.",
        _NOT_SAID,
        "Write one, as in charged to 10 V or charged to 30 uC.",
    ),
    Slip(
        r"\b(?:take out|take|remove|disconnect)",
        "Nothing is named to take out.",
        _NOT_SAID,
        "Write then take out C2, or then remove supply.",
    ),
    Slip(
        r"\bempty",
        "No capacitor is named to empty.",
        _NOT_SAID,
        "Name one, as in then empty C1.",
    ),
    Slip(
        r"\bfill",
        "No capacitor is named to fill.",
        _NOT_SAID,
        "Name one, as in then fill C1 with 4.",
    ),
    Slip(
        r"\bfill [^;]*\bwith|\bfilled(?: with)?",
        "No relative permittivity stands here.",
        "{text} is no relative permittivity.",
        "Write it as a number: 4 for a filling that makes the capacitance four times as large.",
    ),
    Slip(
        rf"\bfill [^;]*\bwith {_NUMBER}",
        None,
        "{text} does not fit after a relative permittivity.",
        "Write only a number, which then holds for the whole gap: then fill C1 with 4.",
    ),
    Slip(
        r"\bfill (?:(?!\bwith\b)[^;])*",
        "Nothing says with what it is filled.",
        "Nothing says with what it is filled.",
        "Add the relative permittivity, as in then fill C1 with 4.",
    ),
    Slip(
        r"\bput(?: on)?(?: an?)?",
        "No p.d. stands after put.",
        _NOT_SAID,
        "Write one, as in then put 9 V across.",
    ),
    Slip(
        r"\bput [^;]*[a-z]",
        "Nothing says where this supply is put.",
        None,
        "Add across, as in then put 9 V across.",
    ),
    Slip(
        r"\b(?:double|halve|triple)(?: the)?(?: gap)?(?: of)?|\bthen(?: the)? gap(?: of)?",
        "Nothing says whose gap changes.",
        "Nothing says whose gap changes.",
        "Name the capacitor, as in then gap of C1 doubled.",
    ),
    Slip(
        r"\bthen(?: the)? gap of \S+(?: to)?",
        "Nothing says how the gap changes.",
        _NOT_SAID,
        "Write doubled, halved, times 3 or its new length, as in then gap of C1 2 mm.",
    ),
    Slip(
        r"\bplates(?: of)?(?: area)?",
        "The area of the plates is missing.",
        _NOT_SAID,
        "Write it after plates, as in plates 100 cm2 gap 1 mm.",
    ),
    Slip(
        rf"\bplates(?: of)?(?: area)? {_NUMBER}",
        "This area has no unit.",
        "This area has no unit.",
        "Write one, as in plates 100 cm2 gap 1 mm.",
    ),
    Slip(
        r"\bgap:?",
        "The gap is missing.",
        _NOT_SAID,
        "Write it as a length, as in gap 1 mm.",
    ),
    Slip(
        rf"\b(?:gap|metal|by|gap of \S+(?: to)?):? {_NUMBER}|\blayers\b[^;]*[ ,]{_NUMBER}",
        "This length has no unit.",
        "This length has no unit.",
        "Write one, as in 1 mm.",
    ),
    Slip(
        r"\bmetal",
        "Nothing says how thick the metal is.",
        _NOT_SAID,
        "Write it as a length, as in metal 0.2 mm.",
    ),
    Slip(
        r"\bover",
        "No share of the area stands after over.",
        _NOT_SAID,
        "Write one, as in filled 4 over 1/2.",
    ),
    Slip(
        r"\blayers:?",
        "No layer stands after layers.",
        _NOT_SAID,
        "Write each by its thickness, as in layers 0.4 mm of 2, 0.6 mm of 5.",
    ),
    Slip(
        r"\bside by side:?",
        "No filling stands after side by side.",
        _NOT_SAID,
        "Write each by its area or share, as in side by side 40 cm2 of 2, 60 cm2 of 6.",
    ),
    Slip(
        r"\b(?:layers|side by side)\b[^;]*\bof",
        "No relative permittivity stands here.",
        "{text} is no relative permittivity.",
        "Write it as a number after of, as in 0.4 mm of 2.",
    ),
    Slip(
        r"\b(?:layers|side by side)\b[^;]*[a-zµ²0-9%]",
        "Nothing says what this filling is.",
        None,
        "Add of and its relative permittivity, as in 0.4 mm of 2.",
    ),
    Slip(
        r"\bladder of \([^)]*\),?",
        "Nothing says how many sections the ladder has.",
        _NOT_SAID,
        "Write how many, as in 5 sections, or without end.",
    ),
    Slip(
        r"\bladder of \([^)]*\),? [0-9.,]+",
        "The word sections is missing after this number.",
        "The word sections is missing after this number.",
        "Write it like 5 sections.",
    ),
    Slip(
        r"\b(?:star|triangle|delta)\b[^;]*",
        "A star or a triangle has three values.",
        "{text} does not fit here: a star or a triangle has three values.",
        "Write it like star of 2 uF, 3 uF, 6 uF, and nothing of a supply.",
    ),
    Slip(
        r"\b(?:cube|tetrahedron)\b[^;]*",
        "A cube or a tetrahedron is not written like this.",
        "{text} does not fit here.",
        "Write it like cube of 2 uF between opposite corners.",
    ),
    Slip(
        r"\bladder\b[^;)]*",
        "A ladder is not written like this.",
        "{text} does not fit into a ladder here.",
        "Write it like ladder of (series 2 uF, shunt 4 uF), 5 sections.",
    ),
)
_ROUND = re.compile(r"radius|diameter|round|circular|discs?", re.IGNORECASE)
# The verbs that tell what is done to a network, where a then stands before them.
DOINGS: Final = "remove|disconnect|fill|empty|take|put|double|halve|triple"
_DONE = re.compile(f"(?:{DOINGS})", re.IGNORECASE)


def further(before: str, text: str, ended: bool) -> tuple[str, str] | None:
    """What is found and what would do, for a text that stops after ``before``; None: no slip."""
    if "plates" in before.lower() and _ROUND.fullmatch(text):
        return (
            "Round plates are told by their radius or their diameter, and that word comes first.",
            "Write it like plates radius 5 cm gap 1 mm.",
        )
    if re.search(r"(?:^|[;,])$", before) and _DONE.fullmatch(text):
        return (
            f"{text} says what is done next, and then is missing.",
            f"Write then in front of it: then {text}.",
        )
    for slip in _SLIPS:
        found = slip.ended if ended else slip.found
        if found is not None and re.search(rf"(?:{slip.before})$", before, re.IGNORECASE):
            return found.format(text=text), slip.cure
    return None
