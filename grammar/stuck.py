"""Where the grammar stops: what stands there, and what would do, in a learner's words.

Each explanation looks at the place and gives a refusal or passes; the first that has one wins.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from grammar.parsing import END, Unparsed
from grammar.preparing import Source
from grammar.records import Refusal
from grammar.refusals import denies

_PHRASES: Mapping[str, str] = {
    "IN_SERIES_WITH": "in series with",
    "IN_PARALLEL_WITH": "in parallel with",
    "IN_SERIES": "in series",
    "IN_PARALLEL": "in parallel",
    "_WORK_OUT": "work out",
    "_WHAT_IS": "what is",
    "P_D": "potential difference",
} | {
    word.upper(): word
    for word in (
        *("across", "holding", "ends", "wire", "from", "to", "between", "and"),
        *("series", "parallel", "capacitor"),
        *("asked", "find", "calculate", "determine", "total", "equivalent", "stored"),
        *("on", "in", "of", "for"),
        *("capacitance", "charge", "voltage", "energy"),
    )
}
_FIRST_WORDS = (
    *("across", "holding", "ends", "asked", "find", "calculate", "determine", "wire"),
    *("series", "parallel", "then", "join", "ladder", "plates"),
)
# Words to recognise where they are misspelt; what would do is told by ``stuck_further``.
_FURTHER: Mapping[str, str] = {"JOINING": "join", "SIDE_BY_SIDE": "side by side"} | {
    word.upper(): word
    for word in (
        *("then", "remove", "disconnect", "supply", "battery", "fill", "empty", "take", "put"),
        *("double", "halve", "triple", "doubled", "halved", "tripled", "crossed"),
        *("rated", "charged", "plates", "square", "gap", "filled", "layers", "metal", "half"),
        *("ladder", "shunt", "sections", "endless"),
    )
}
_KNOWN = frozenset((*_PHRASES.values(), *_FURTHER.values(), "the"))  # no slips for others
_AFTER: Mapping[str, tuple[str, str]] = {
    "=": ("Nothing stands after the = sign.", "Write a value there, as in C1 = 4 uF."),
    "across": ("No p.d. stands after across.", "Write one, as in across 12 V."),
    "holding": ("No charge stands after holding.", "Write one, as in holding 24 uC."),
    "ends": ("No points stand after ends.", "Name two, as in ends A and B."),
    "from": ("No point stands after from.", "Name two, as in from A to P."),
    "to": ("No point stands after to.", "Name one, as in from A to P."),
    "between": ("No points stand after between.", "Name two, as in between A and P."),
    ",": ("Nothing stands after the comma.", "Take the comma out, or write what follows."),
    "wire": ("No points stand after wire.", "Name two, as in wire from P to Q."),
} | dict.fromkeys(
    ("asked", "find", "calculate", "determine", "is", "are", "out"),
    ("Nothing is asked for here.", "Say what is wanted, as in asked: Q3."),
)
_SIGNS: Mapping[str, tuple[str, str]] = {
    "-": ("A single - joins nothing.", "Write -- for in series."),
    "|": ("A single | joins nothing.", "Write || for in parallel."),
    "‖": ("‖ (U+2016) is not used here.", "Write || for in parallel."),
    "/": ("/ joins no parts.", "Write || for in parallel, or -- for in series."),
    "+": ("+ joins no parts.", "Write -- for in series, or || for in parallel."),
    "&": ("& joins no parts.", "Write -- for in series, or || for in parallel."),
    "=": ("A = sign has no place here.", "It stands after one name, as in C1 = 4 uF."),
}
_POINT_WORDS = frozenset(("TO", "AND", "FROM", "BETWEEN"))
_CLOSEST = 0.74  # one or two letters wrong in a word of the notation


class Spot(NamedTuple):
    """The place where the grammar stopped, with the text on both sides of it."""

    source: Source
    stuck: Unparsed
    before: str
    after: str

    def refusal(self, found: str, cure: str, offset: int | None = None) -> Refusal:
        """A refusal at the place, or at another ``offset``."""
        if offset is None:
            offset = self.end_of_before if self.stuck.text in ("", ";") else self.stuck.offset
        return self.source.refusal(offset, found, cure)

    def wants(self, *terminals: str) -> bool:
        """Whether all of these terminals would do at the place."""
        return self.stuck.expected.issuperset(terminals)

    @property
    def end_of_before(self) -> int:
        """The offset after the last character before the place that is no space."""
        return len(self.source.plain[: self.stuck.offset].rstrip())

    @property
    def is_end(self) -> bool:
        """Whether the clause, the line or the bracket ends here."""
        return self.stuck.text in ("", ";", ")")


def explain(source: Source, stuck: Unparsed) -> Refusal:
    """The refusal for a text that does not follow the grammar."""
    comma = re.match(r",\s*(?=.)", stuck.text)
    if comma:  # a comma that belongs to the word after it
        word = stuck.text[comma.end() :]
        stuck = Unparsed(stuck.offset + comma.end(), word, stuck.expected)
    start = max(source.plain.rfind(";", 0, stuck.offset) + 1, stuck.offset - 200)
    before = source.plain[start : stuck.offset].rstrip()
    spot = Spot(source, stuck, before, source.plain[stuck.offset : stuck.offset + 80])
    attempts = (
        _misspelt,
        _unit_in_pieces,
        _half_a_phrase,
        _further,
        _ended,
        _word_as_name,
        _sign,
        _no_part,
        _no_joint,
    )
    for attempt in attempts:
        refusal = attempt(spot)
        if refusal is not None:
            return refusal
    return _does_not_fit(spot)


def _misspelt(spot: Spot) -> Refusal | None:
    """A word that is nearly the one that would do: in paralel with, acros."""
    words = re.match(r"[A-Za-z]+(?: +[A-Za-z]+){0,2}", spot.after)
    phrases = {**_PHRASES, **_FURTHER}
    expected = [phrases[name] for name in sorted(spot.stuck.expected) if name in phrases]
    if words:
        first = words[0].split()[0]
        if (denied := next((each for each in expected if denies(first, each)), None)) is not None:
            cure = f"Leave it out: what is not said to be {denied} is not."
            return spot.refusal(f'"{first}" need not be said here.', cure)
        typed, meant = _closest(words[0].split(), expected)
        if meant:
            return spot.refusal(f'"{typed}" is not known here.', f"Did you mean {meant}?")
    last = re.search(r"[A-Za-z]+$", spot.before)
    if last and not spot.is_end:
        typed, meant = _closest([last[0]], list(_FIRST_WORDS))
        if meant:
            at = spot.end_of_before - len(typed)
            return spot.refusal(f'"{typed}" is not known here.', f"Did you mean {meant}?", at)
    return None


def _closest(words: list[str], phrases: list[str]) -> tuple[str, str | None]:
    """The first words that are nearly one of the phrases, and that phrase."""
    from difflib import SequenceMatcher

    best: tuple[float, str, str | None] = (_CLOSEST, "", None)
    for count in range(1, len(words) + 1):
        typed = " ".join(words[:count])
        if typed.lower() in _KNOWN:
            continue
        for phrase in phrases:
            if phrase.count(" ") + 1 != count or denies(typed, phrase):
                continue
            alike = SequenceMatcher(None, typed.lower(), phrase).ratio()
            if best[0] < alike < 1 and len(typed) > 2:
                best = (alike, typed, phrase)
    return best[1], best[2]


def _unit_in_pieces(spot: Spot) -> Refusal | None:
    """A prefix apart from its unit, or with none: 4 u F, 4 kilo."""
    prefix = re.search(r"[0-9] *([pnuµμmkM])$", spot.before)
    unit = re.match(r"(?:[FVCJ]|farads?|volts?|coulombs?)\b", spot.after)
    if prefix and unit:
        return spot.refusal(
            f"The prefix {prefix[1]} and the unit {unit[0]} stand apart.",
            f"Write them together: {prefix[1]}{unit[0]}.",
        )
    word = re.search(r"\b(?:pico|nano|micro|milli|kilo|mega)$", spot.before, re.IGNORECASE)
    if word and spot.stuck.expected == {"NAME"}:
        return spot.refusal(
            f"{word[0]} is a prefix with no unit after it.", f"Write the unit too: {word[0]}farad."
        )
    return None


def _half_a_phrase(spot: Spot) -> Refusal | None:
    """A phrase of two or three words of which some are there: in parallel, for a joint."""
    way = re.search(r"\b(?:in\s+)?(series|parallel)$", spot.before, re.IGNORECASE)
    if spot.stuck.text.lower() == "in" and spot.wants("IN_SERIES"):
        return spot.refusal(
            "The word in does not say enough here.",
            "Write in series with, in parallel with, or in series or in parallel after a list.",
        )
    if way and spot.stuck.expected == {"OPEN"}:
        return spot.refusal(
            f"The parts after {way[1]} need brackets.", f"Write {way[1]}(4 uF, 2 uF)."
        )
    if way and re.match(r"[\w(]", spot.after) and not spot.wants("NAME"):
        return spot.refusal(
            f"Between two parts the word with follows {way[0]}.",
            f"Write 4 uF {way[0]} with 2 uF.",
        )
    return None


def _further(spot: Spot) -> Refusal | None:
    """After a word of plates, ladders, ratings or changes."""
    from grammar.stuck_further import further

    if spot.stuck.text == "=":
        return None
    told = further(spot.before, _short(spot.stuck.text), spot.is_end)
    return spot.refusal(*told) if told else None


def _ended(spot: Spot) -> Refusal | None:
    """The clause, the line or the bracket ends too soon."""
    if not spot.is_end:
        return None
    last = re.search(r"[=,]$|[A-Za-z]+$", spot.before.rstrip(": "))
    after = _AFTER.get(last[0].lower()) if last else None
    if after:
        return spot.refusal(*after)
    if spot.wants("IN_SERIES", "IN_PARALLEL") and not spot.wants(END):
        return spot.refusal(
            "Nothing says how the parts of this list are joined.",
            "End it with in series or in parallel.",
        )
    if spot.wants("OPEN"):
        return spot.refusal("A part is missing here.", "Write a capacitor, as in 4 uF or C2.")
    if spot.stuck.expected & _POINT_WORDS or spot.stuck.expected == {"NAME", "NUMBER"}:
        return spot.refusal("A point is missing here.", "Name two points, as in A and B.")
    if spot.stuck.text == ")":
        return None
    return spot.refusal("The clause ends too soon.", _example(spot))


def _word_as_name(spot: Spot) -> Refusal | None:
    """A word of the notation where a name should stand."""
    text = spot.stuck.text
    last = re.search(r"[A-Za-z]+$", spot.before)
    if text == "=" and last and last[0].upper() in {*_PHRASES, *_FURTHER}:
        at = spot.end_of_before - len(last[0])
        return spot.refusal(*_not_a_name(last[0]), at)
    if text.lower() in ("across", "holding", "ends") and spot.stuck.expected & {"CLOSE", "OPEN"}:
        return spot.refusal(
            f"{text} does not fit here.", f"Write the network first, then {text}, outside brackets."
        )
    if not (spot.wants("NAME") and re.fullmatch(r"[A-Za-z][A-Za-z. ]*", text)):
        return None
    return spot.refusal(*_not_a_name(text))


def _not_a_name(word: str) -> tuple[str, str]:
    return (
        f"{word} is a word of the notation, so it cannot be a name.",
        "Use another name there, as in A or C1.",
    )


def _sign(spot: Spot) -> Refusal | None:
    """A sign that the notation does not know, or knows elsewhere."""
    sign = spot.after[:1]
    if sign == "/" and re.search(r"[0-9]$", spot.before):
        return spot.refusal("A fraction is not read as a value.", "Work it out, as in 0.5 uF.")
    if sign in _SIGNS and not spot.stuck.text.startswith("--"):
        if spot.stuck.text.startswith("||"):
            return None
        at = spot.stuck.offset - (sign == "/" and spot.before.endswith("/"))
        return spot.refusal(*_SIGNS[sign], at)
    if not sign or sign.isalnum() or sign in " ;,.()?:—–∥|-×*":
        return None
    code = "" if sign.isascii() else f" (U+{ord(sign):04X})"
    return spot.refusal(
        f"The sign {sign}{code} is not used here.", "Take it out, or write it in words."
    )


def _no_part(spot: Spot) -> Refusal | None:
    """A joining sign, a comma or a bracket where a part should stand."""
    if not spot.wants("OPEN") or re.match(r"[\w(.]", spot.after):
        return None
    return spot.refusal(
        "A part is missing before this sign.", "Write a capacitor there, as in 4 uF or C2."
    )


def _no_joint(spot: Spot) -> Refusal | None:
    """Two parts, or two clauses, with nothing between them."""
    text = _short(spot.stuck.text)
    if spot.wants("SERIES_SIGN") and re.match(r"[\w(.]", spot.after):
        return spot.refusal(
            f"Nothing joins {text} to what stands before it.",
            "Put -- (in series) or || (in parallel) between parts, or ; between clauses.",
        )
    if spot.wants("SEMICOLON"):
        return spot.refusal(f"{text} does not belong to this clause.", "Put ; before it.")
    return None


def _does_not_fit(spot: Spot) -> Refusal:
    return spot.refusal(f"{_short(spot.stuck.text)} does not fit here.", _example(spot))


def _example(spot: Spot) -> str:
    """A cure made of what would fit."""
    if spot.wants("CLOSE"):
        return "Close the bracket first."
    if spot.stuck.expected & _POINT_WORDS:
        return "Name two points, as in from A to P, or ends A and B."
    if spot.wants("NUMBER"):
        return "Write a value with its unit, as in 4 uF or 12 V."
    if spot.wants("NAME"):
        return "Write a name there, as in C1."
    names = sorted(spot.stuck.expected - {"HOLDING"})
    words = [_PHRASES[name] for name in names if name in _PHRASES]
    if words:
        return f"Write {' or '.join(words[:2])} there."
    return "A network is written like 4 uF -- (2 uF || 3 uF), across 12 V."


def _short(text: str) -> str:
    return text if len(text) <= 30 else text[:27] + "..."
