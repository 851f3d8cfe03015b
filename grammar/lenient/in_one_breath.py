"""Questions and statements that describe their network in the same breath, put one after the other.

``What p.d. is across the 6 uF if it is in series with a 12 uF on 9 V?``
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.patterns import found_in, row, sentences_of
from grammar.lenient.tokens import Chunk

_QUANTITY: Final = "(PD | CHGN | ENERGY | CAPN | CEQ)"
_JOINT: Final = row("SER | PAR | SERSIGN | PARSIGN")
_VALUE: Final = row("CAPV | NAME")
_SAID: Final = row(f"(THE | A | CEQ)* {_QUANTITY}+ (ACROSS | OF | BETWEEN | ON | OVER | IN)+")
_IS_WORTH: Final = row("COMMA? (IS | EQ)+ (A | ABOUT)* (VOLT | CHG) (?=STOP |COMMA |QUERY |AND |$)")
_STOP: Final = Chunk("STOP", ".", 0)


def one_after_the_other(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with what a question supposes before the question, and with a p.d. or a charge
    that is said of a whole network after it.
    """
    found: list[Chunk] = []
    for sentence in sentences_of(pieces):
        found += _supposed_first(_said_of_a_network(sentence))
    return found


def _supposed_first(sentence: list[Chunk]) -> list[Chunk]:
    """``the wish IF what is supposed``: what is supposed, then the wish."""
    at = next((i for i, each in enumerate(sentence) if each.tag == "IF" and i), None)
    asked = row(f"WISHV | ^(THE | CEQ)* {_QUANTITY}")
    if at is None or found_in(asked, sentence[:at]) is None:
        return sentence
    wish, supposed, end = sentence[:at], sentence[at + 1 :], []
    if supposed and supposed[-1].tag in ("STOP", "QUERY"):
        supposed, end = supposed[:-1], [supposed[-1]]
    if not supposed or found_in(_JOINT, supposed) is None or found_in(_JOINT, wish) is not None:
        return sentence
    if wish[-1].tag == "COMMA":
        wish = wish[:-1]
    names_some = found_in(_VALUE, supposed) is not None
    if supposed[0].tag == "THEM" or (supposed[0].tag in ("IS", "IN") and not names_some):
        of_whom = _whom(wish)
        if of_whom:
            supposed = [*of_whom, *supposed[supposed[0].tag == "THEM" :]]
            wish = _pointing_back(wish)
    if not any(each.tag == "WISHV" for each in wish):
        wish = [wish[0]._replace(tag="WISHV", text=""), *wish]
    return [*supposed, _STOP, *wish, *end]


_BEFORE_ONE: Final = ("A", "THE", "DET", "WNUM", "COUNT", "EQUAL", "CAP", "SINGLE", "OTHER")


def _whom(wish: Sequence[Chunk]) -> list[Chunk]:
    """The capacitors that a wish names, as it names them."""
    told = [i for i, each in enumerate(wish) if each.tag in ("CAPV", "NAME")]
    if not told:
        return []
    first, last = told[0], told[-1] + 1
    while first and wish[first - 1].tag in _BEFORE_ONE:
        first -= 1
    while last < len(wish) and wish[last].tag in ("CAP", "EACH"):
        last += 1
    return list(wish[first:last])


def _pointing_back(wish: Sequence[Chunk]) -> list[Chunk]:
    found: list[Chunk] = []
    for each in wish:
        if each.tag == "CAPV":
            if found and found[-1].tag == "A":
                found.pop()
            if not (found and found[-1].tag == "THE"):
                found.append(each._replace(tag="THE", text="the", datum=None))
        found.append(each)
    return found


def _said_of_a_network(sentence: list[Chunk]) -> list[Chunk]:
    """``the p.d. across 2 uF and 3 uF in series is 10 V``: the network, then its p.d."""
    if any(each.tag in ("WISHV", "QUERY") for each in sentence):
        return sentence
    said, worth = found_in(_SAID, sentence), found_in(_IS_WORTH, sentence)
    if said is None or worth is None or worth[0] < said[1]:
        return sentence
    network = sentence[said[1] : worth[0]]
    if found_in(_JOINT, network) is None or found_in(_VALUE, network) is None:
        return sentence
    value = next(each for each in sentence[slice(*worth)] if each.tag in ("VOLT", "CHG"))
    comma = value._replace(tag="COMMA", text=",")
    return [*sentence[: said[0]], *network, comma, value, *sentence[worth[1] :]]
