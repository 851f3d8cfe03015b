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
_HELD: Final = row("VOLT | CHG | ENE | PLACE")
_SAYS_SO: Final = row(
    f"^(THE | A | PUNCTUAL | FOR | AND | THEN | NEW)* ({_QUANTITY} | SYM | LQ"
    " | (LV | LU) (?=(ON|ACROSS|OF|IN|OVER) ))"
)
_SAYS_MORE: Final = row(
    "VOLT | CHG | ENE | SER | PAR | SERSIGN | PARSIGN | EQ | COLON | IS | WISHV | JOIN | PLACE"
    " | UNITF | IF | CHARGEV | WITH | RATED"
)
# what p.d. makes each of a 3 uF and a 7 uF in series hold 42 uC
_WISHED: Final = row(
    f"^(TO | AT | FOR | BY)* WISHV (THE | A)* {_QUANTITY}+ (JOIN | APPLY | IS | CLAIM | FOR | TO)*"
    " (?=(EACH|A|CAPV|NAME|WNUM|COUNT|CAP|OPEN|THE) )"
)
_TO_HOLD: Final = row(
    "(OF | TO | HOLD)* HOLD A? CHGN? OF? (CHG | ENE) (EACH | ON EACH)? (?=QUERY |STOP |$)"
)
_STOP: Final = Chunk("STOP", ".", 0)


def one_after_the_other(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with what a question supposes before the question, and with a p.d. or a charge
    that is said of a whole network after it.
    """
    found: list[Chunk] = []
    for sentence in sentences_of(pieces):
        for said in _told_before(_with_its_network_first(sentence)):
            found += _as_a_wish(_supposed_first(_said_of_a_network(said)))
    return found


def _with_its_network_first(sentence: list[Chunk]) -> list[Chunk]:
    """``what p.d. makes a 3 uF and a 7 uF in series hold 42 uC?``: the network and what it holds,
    then what is wanted.
    """
    wish, held = found_in(_WISHED, sentence), found_in(_TO_HOLD, sentence)
    if wish is None:
        return sentence
    if held is None and sentence[wish[1]].tag == "EACH":
        return _wished_of_each(sentence, wish[1])
    if held is None or held[0] < wish[1]:
        return sentence
    network = [each for each in sentence[wish[1] : held[0]] if each.tag != "EACH"]
    if network and network[0].tag == "OF":
        network = network[1:]
    if found_in(_JOINT, network) is None or found_in(_VALUE, network) is None:
        return sentence
    worth = next(each for each in sentence[slice(*held)] if each.tag in ("CHG", "ENE"))
    comma = worth._replace(tag="COMMA", text=",", datum=None)
    return [*network, comma, worth, _STOP, *sentence[slice(*wish)], *sentence[held[1] :]]


def _wished_of_each(sentence: list[Chunk], at: int) -> list[Chunk]:
    """``what charge does each of 3 uF and 6 uF in series take``: the network, then of each."""
    network = sentence[at + 1 :]
    end = [network.pop()] if network and network[-1].tag in ("QUERY", "STOP") else []
    network = [each for each in network if each.tag not in ("TAKE", "HOLD")]
    if network[:1] and network[0].tag == "OF":
        network = network[1:]
    if found_in(_JOINT, network) is None or found_in(_VALUE, network) is None:
        return sentence
    each_of_them = [sentence[at]._replace(tag="ON", text="on"), sentence[at]]
    return [*network, _STOP, *sentence[:at], *each_of_them, *end]


def _told_before(sentence: list[Chunk]) -> list[list[Chunk]]:
    """``given that the p.d. is 8 V, find …``: what is given ends before what is wanted."""
    at = next((i for i, each in enumerate(sentence) if each.tag == "WISHV"), 0)
    at = at or _last_clause(sentence)
    given = sentence[: max(at - 1, 0)]
    if at < 2 or sentence[at - 1].tag != "COMMA" or found_in(_HELD, given) is None:
        return [sentence]
    return [[*given, _STOP], sentence[at:]]


def _last_clause(sentence: list[Chunk]) -> int:
    """Where the last clause begins if it is nothing but a quantity that is wanted; else 0."""
    at = max((i + 1 for i, each in enumerate(sentence) if each.tag == "COMMA"), default=0)
    tail = sentence[at:]
    return at if found_in(_SAYS_SO, tail) and found_in(_SAYS_MORE, tail) is None else 0


def _as_a_wish(sentence: list[Chunk]) -> list[Chunk]:
    """``total, please``, ``energy of the 3 uF``: a quantity that nothing is said of is wanted."""
    if found_in(_SAYS_SO, sentence) is None or found_in(_SAYS_MORE, sentence) is not None:
        return sentence
    return [sentence[0]._replace(tag="WISHV", text=""), *sentence]


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
    if any(each.tag in ("WISHV", "QUERY", "IF") for each in sentence):
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
