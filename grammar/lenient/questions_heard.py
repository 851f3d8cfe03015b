"""The questions of a text in its own words: each quantity, and the pieces that say of what."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import takewhile, zip_longest
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.tokens import Chunk, scan
from grammar.lenient.ways_told import ASKS, SENTENCE

_QUANTITIES: Final[Mapping[str, str]] = MappingProxyType(
    {
        "CHGN": "charge",
        "LQ": "charge",
        "PD": "voltage",
        "LV": "voltage",
        "LU": "voltage",
        "ENERGY": "energy",
        "CEQ": "total",
        "CAPN": "total",
        "LC": "total",
    }
)
_LETTERS: Final = MappingProxyType(
    {"Q": "charge", "V": "voltage", "U": "voltage", "E": "energy", "W": "energy"}
)
# What one sees of a supply is its share of the p.d.
_SEES: Final = frozenset(words("see sees read reads"))
_COMPARED: Final = frozenset(words("more most less least fewer higher highest"))
LEAST: Final = frozenset(words("smaller smallest least littlest lesser tiniest lowest"))
MOST: Final = frozenset(words("larger largest bigger biggest greater greatest highest"))
ALONE: Final = frozenset(words("alone lone lonely loner odd solitary single"))
_BY_ITSELF: Final = re.compile(r"(?i)\b(?:all )?(?:by itself|on its own|left over)\b")
# Concepts that pick capacitors.
PICKING: Final = frozenset(
    words(
        "CAPV NUM NAME LETTER SYM EACH BOTH ALL MIDDLE SER PAR ORD1 ORD2 ORD3 ORD4 ORD5 ORDLAST "
        "FORMER TOP BOTTOM"
    )
)
_ENDS_A_WISH: Final = ("IF", "STOP", "QUERY", "SEMI")


GROUPS: Final = frozenset(words("pair couple duo trio group box block bank set"))
_GONE: Final = frozenset(words("poof spark sparks vanished vanishes disappeared missing"))
_WORTHS: Final = ("VOLT", "CHG", "ENE")


class HeardWish(NamedTuple):
    """One quantity that is asked for, and the pieces that say of what."""

    quantity: str
    whom: tuple[Chunk, ...]


def _with_places(sentence: str) -> str:
    """A sentence with where one stands, as it is read or drawn, in words that pick one."""
    sentence = _BY_ITSELF.sub("alone", sentence)
    return _AT_A_SIDE.sub(lambda s: "first" if s[0].lower()[0] == "l" else "last", sentence)


_AT_A_SIDE: Final = re.compile(
    r"(?i)(?<=the )(?:left|right)(?:[- ]?(?:hand|most))?(?= (?:one|capacitor|cap|condenser)\b)"
)


class HeardWishes(NamedTuple):
    """What a text asks: each quantity, whether it wants to know what some capacitors come to, and
    the words of its last question, "" for none.
    """

    asked: tuple[HeardWish, ...] = ()
    comes_out: bool = False
    words: str = ""


def questions_of(plain: str) -> HeardWishes:
    """What a text made plain asks."""
    told = SENTENCE.findall(_PD.sub("pd", plain))
    sentences = [each for each in told if ASKS.search(each) or _ASKS_BARELY.search(each)]
    pieces = [scan(_with_places(each)) for each in sentences]
    asked = [_of_its_lead(asking, each) for each in pieces for asking in _askings_of(_wish(each))]
    direct = [each.strip() for each in sentences if _ASKS_OUTRIGHT.search(each)]
    comes_out = _WHAT_COMES_OUT.search(plain) is not None
    return HeardWishes(tuple(asked), comes_out, direct[-1] if direct else "")


# Final voltage, please.
_ASKS_BARELY: Final = re.compile(
    r"(?i)\b(?:please|pls|plz)\b"
    r"|^\s*(?:(?:the|final|new|common|end|resulting) )*(?:voltage|pd|volts|capacit\w+)[ .]*$"
)
_PD: Final = re.compile(r"(?i)\bp\. ?d\.?")
_ASKS_OUTRIGHT: Final = re.compile(
    r"(?i)\b(?:find|calculate|determine|what|which|how (?:much|many)|i (?:want|need) the)\b"
    r"(?! (?:happens|would happen|you|results|is left)\b)[^?]*(?:\?|$)"
)
_WHAT_COMES_OUT: Final = re.compile(
    r"(?i)\bwhat\b[^.?]*\b(?:get|see|end up|comes? to|comes? out|makes?|amounts? to|worth)\b"
    r"|\b(?:the )?result ?\?"
)


def _wish(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The part of a sentence that asks, up to what it supposes."""
    start = next((i for i, each in enumerate(pieces) if each.tag == "WISHV"), None)
    if start is None and pieces and pieces[0].tag == "WHICH":
        start = 0
    if start is None:
        start = _bare_wish(pieces)
    wish: list[Chunk] = []
    for piece, after in zip_longest(pieces[start:], pieces[start + 1 :]):
        if piece.tag in _ENDS_A_WISH or (piece.tag == "AT" and after and after.tag == "VOLT"):
            break
        wish.append(piece)
    return wish


def _bare_wish(pieces: Sequence[Chunk]) -> int:
    """Where the last clause begins if it is a quantity of which no value is told: ``q on the 3?``;
    else the end.
    """
    breaks = [i + 1 for i, each in enumerate(pieces) if each.tag in ("COMMA", "COLON")]
    for start in (0, *breaks):
        tail = pieces[start:]
        told = next((each for each in tail if each.tag not in _SAYS_NO_MORE), None)
        if told is not None and _quantity(told) and not _is_told(tail):
            return start
    said = (at for at in range(len(pieces) - 1) if _quantity(pieces[at]))
    said = (at for at in said if pieces[at + 1].tag in _OF_WHOM and not _is_told(pieces[at:]))
    return max(said, default=len(pieces))


_OF_WHOM: Final = ("OF", "ON", "ACROSS", "IN", "OVER")


def _of_its_lead(asking: HeardWish, pieces: Sequence[Chunk]) -> HeardWish:
    """``in the 7 uF, how much energy is there?``: of whom, told before what."""
    if asking.whom and any(map(_picks, asking.whom)):
        return asking
    lead = list(takewhile(lambda each: each.tag != "WISHV", pieces))
    if not lead or lead[0].tag not in _OF_WHOM or any(each.tag in _WORTHS for each in lead):
        return asking
    return asking._replace(whom=tuple(lead))


_SAYS_NO_MORE: Final = ("THE", "A", "AND", "WORD")


def _is_told(said: Sequence[Chunk]) -> bool:
    """Whether a value is told of a quantity; V = ? tells none."""
    equal = [i + 1 for i, each in enumerate(said) if each.tag == "EQ"]
    given = any(i < len(said) and said[i].tag != "QUERY" for i in equal)
    return given or any(each.tag in _WORTHS for each in said)


def _quantity(piece: Chunk) -> str:
    if piece.tag == "SYM" and piece.datum[0] == "C":
        return "" if piece.datum[1][:1].isdigit() else "total"  # Ceq
    if piece.tag == "SYM":
        return _LETTERS.get(piece.datum[0], "")
    if piece.tag == "WORD" and word_of(piece) in _SEES:
        return "seen"
    if piece.tag == "HOLD":
        return "held"
    return _QUANTITIES.get(piece.tag, "")


def _askings_of(wish: Sequence[Chunk]) -> Iterator[HeardWish]:
    """Each quantity with what stands after it, or where that picks nobody, before it."""
    at = [i for i, piece in enumerate(wish) if _quantity(piece) and not _is_a_point(wish, i)]
    at = [i for i in at if wish[i].tag not in _VERBS] or at[:1]
    at = [i for i in at if not (i + 1 in at and _is_one_with_the_next(wish[i], wish[i + 1]))]
    at = [i for i in at if i == at[0] or _is_further(wish, i)]
    for number, index in enumerate(at):
        quantity = _quantity(wish[index])
        whom = tuple(wish[index + 1 : at[number + 1] if number + 1 < len(at) else len(wish)])
        if _is_told(whom):
            continue
        if quantity == "energy" and any(_is_gone(each) for each in wish):
            quantity = "heat"
        if wish[index].tag == "SYM" and wish[index].datum[1]:
            whom = (wish[index],)
        elif wish[0].text.lower() == "which" and any(word_of(e) in _COMPARED | MOST for e in wish):
            whom = (wish[0]._replace(tag="EACH"),)  # which one has more: the p.d. of each tells
        elif not any(map(_picks, whom)):
            before = _just_before(wish, index)
            picking = [each for each in before if each.tag in PICKING]
            whom = tuple(before if wish[index].tag in _VERBS else picking) or whom
        yield HeardWish(quantity, whom)


def _is_a_point(wish: Sequence[Chunk], at: int) -> bool:
    """``between P and Q``: a letter that is no quantity there."""
    before = {each.tag for each in wish[max(0, at - 3) : at]}
    return wish[at].tag in _LETTER_TAGS and bool(before & {"BETWEEN", "FROM", "TO"})


def _is_further(wish: Sequence[Chunk], at: int) -> bool:
    """Whether a quantity is one more: charge in total is one."""
    if wish[at].tag == "LC":
        return False
    return _quantity(wish[at]) != "total" or wish[at - 1].tag in (*_BREAKS, "THE")


def _just_before(wish: Sequence[Chunk], at: int) -> Sequence[Chunk]:
    """What stands before a piece, up to the last break: each one's voltage, the 4u7 sees."""
    start = max((i + 1 for i in range(at) if wish[i].tag in _BREAKS), default=0)
    start = max((i + 1 for i in range(start, at) if _quantity(wish[i])), default=start)
    return wish[start:at]


_BREAKS: Final = ("AND", "COMMA", "COLON", "OPEN", "CLOSE")
_VERBS: Final = ("WORD", "HOLD")  # of which the quantity is the object, where none is named
_LETTER_TAGS: Final = ("LC", "LQ", "LV", "LU")


def _is_one_with_the_next(piece: Chunk, after: Chunk) -> bool:
    """Total charge and potential difference are one quantity each."""
    return piece.tag == "CEQ" or _quantity(piece) == _quantity(after)


def _is_gone(piece: Chunk) -> bool:
    return piece.tag == "LOST" or word_of(piece) in _GONE


def _picks(piece: Chunk) -> bool:
    """Whether a piece may pick capacitors."""
    return piece.tag in PICKING or word_of(piece) in LEAST | MOST | ALONE | GROUPS


def word_of(piece: Chunk) -> str:
    """The word of a piece, in small letters."""
    return piece.text.lower()
