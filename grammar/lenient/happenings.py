"""What a clause says beside the network: supplies, charges, ratings, wishes, and what is done."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.facts import quantity_of
from grammar.lenient.mentions import Event, Mention, Ref, Supplied
from grammar.lenient.patterns import phrases, rewritten, text_of
from grammar.lenient.tokens import OF_ALL, Chunk

_LEFT = (
    "(COMMA | IS | JOIN | APPLY | ACROSS | TO | WITH | BY | FROM | ON | AT | A | THE | DET | SOURCE"
    " | OF | PD | EQ | COLON | LV | LU | IN | FOR | OVER | TERMINAL | WHICH | OFF |"
    " HOLD | TOGETHER | THEIR | BETWEEN | SINGLE)*"
)
_WHERE = (
    "((ACROSS | BETWEEN | TO | ON | AT | FROM | OF)+ (THE | BOTH | THEIR | A)* (ITEM"
    " | REF | TERMINAL | PLACE)"
    " (OF (THE)? REF)? | PLACE)"
)
_DONE = "(IS | JOIN | APPLY | HOLD)*"


def with_happenings(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every quantity that is no capacitance in a phrase of its own."""
    return rewritten(pieces, _PHRASES)


def _datum(inside: Sequence[Chunk], *tags: str) -> str:
    return next((str(each.datum) for each in inside if each.tag in tags), "")


def _target(inside: Sequence[Chunk]) -> Mention | Ref | None:
    for piece in inside:
        said: Mention | Ref | None = piece.datum if piece.tag in ("ITEM", "REF") else None
        if said is not None and not (isinstance(said, Ref) and said.kind == "whole"):
            return said
    return None


def _points(inside: Sequence[Chunk]) -> tuple[str, str] | None:
    return next((each.datum for each in inside if each.tag == "PLACE"), None)


def _one(tag: str, inside: Sequence[Chunk], datum: object) -> list[Chunk]:
    return [Chunk(tag, text_of(inside), inside[0].start, datum)]


def _rating(inside: Sequence[Chunk]) -> list[Chunk]:
    return _one("RATING", inside, _datum(inside, "VOLT"))


def _charged_to(inside: Sequence[Chunk]) -> list[Chunk]:
    texts = [str(each.datum) for each in inside if each.tag in ("VOLT", "CHG")]
    return _one("EVENT", inside, Event("charge", ", ".join(texts)))


def _at(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``a 10 uF at 20 V``, ``charge a 4 uF to 12 V``: its own, unless all of them turn out so."""
    said = next(each for each in inside if each.tag in ("ITEM", "REF"))
    if isinstance(said.datum, Ref):
        return None
    return [said, *_one("EVENT", inside, Event("at", _datum(inside, "VOLT", "CHG", "ENE")))]


def _at_itself(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``a 4 uF has 20 V across it``."""
    return _at([each for each in inside if each.tag in ("ITEM", "VOLT")])


def _another_charged(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``C1 was charged to 60 V, another one to 30 V``."""
    if inside[0].datum.kind not in ("charge", "at"):
        return None
    before = [each for each in inside if each.tag in ("EVENT", "COMMA", "AND", "ITEM")]
    return [*before, *_one("EVENT", inside[-2:], Event("at", _datum(inside, "VOLT", "CHG", "ENE")))]


def _uncharged(inside: Sequence[Chunk]) -> list[Chunk]:
    return _one("EVENT", inside, Event("uncharged"))


def _supplied(inside: Sequence[Chunk]) -> list[Chunk] | None:
    volts = [each for each in inside if each.tag == "VOLT"]
    if len(volts) != 1:
        return None
    at = list(inside).index(volts[0])
    if any(each.tag == "HOLD" for each in inside[:at]) and not any(e.tag == "PD" for e in inside):
        return None
    target = _target(inside[at + 1 :]) or _target(inside[:at])
    kept: list[Chunk] = []
    if isinstance(target, Mention) and any(target.worths) and target.how != "old":
        first = next(i for i, each in enumerate(inside) if each.datum is target)
        if first < at and len(target.worths) == 1 and inside[at - 1].tag in ("IS", "EQ", "AT"):
            return _at([inside[first], volts[0]])
        kept, target = list(inside[first:]) if first > at else [], None
    is_source = any(each.tag == "SOURCE" for each in inside)
    volts_text, points = str(volts[0].datum), _points(inside)
    supplied = Supplied("voltage", volts_text, target, points, text_of(inside), is_source)
    return [*_one("SUPPLY", inside, supplied), *kept]


def _given_charge(inside: Sequence[Chunk]) -> list[Chunk] | None:
    if any(each.tag == "ACROSS" for each in inside):
        return None
    target = _target(inside)
    kept: list[Chunk] = []
    if isinstance(target, Mention) and any(target.worths) and target.how != "old":
        kept = [each for each in inside if each.datum is target]
        if len(target.worths) == 1 and not any(each.tag == "CEQ" for each in inside):
            return [*kept, *_one("EVENT", inside, Event("at", _datum(inside, "CHG", "ENE")))]
        target = None
    text = _datum(inside, "CHG", "ENE")
    supplied = Supplied(quantity_of(text), text, target, word=text_of(inside))
    return [*_one("SUPPLY", inside, supplied), *kept]


def _symbol(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``V1 = 6 V``, ``Q = 24 uC``: of one capacitor or of the whole."""
    letter, of = next(each.datum for each in inside if each.tag == "SYM")
    text = _datum(inside, "VOLT", "CHG", "ENE", "CAPV")
    if letter == "C":
        return None if of[:1].isdigit() else _one("TOTAL", inside, text)
    over = None if of in OF_ALL else Mention(("",), (f"C{of}",))
    return _one("SUPPLY", inside, Supplied(quantity_of(text), text, over, word=text_of(inside)))


def _item_rated(inside: Sequence[Chunk]) -> list[Chunk] | None:
    item = inside[0].datum
    if item.rating:
        return None
    return [
        inside[0]._replace(
            datum=item._replace(rating=next(str(e.datum) for e in inside if e.tag == "RATING"))
        )
    ]


_PHRASES: Final = phrases(
    (
        "RATED (AT | OF | FOR | TO | PD | IS | A | EQ | COLON | UP | EACH | WITH)* VOLT"
        " EACH?", _rating),
    ("(OF | WITH | A)* VOLT (PD)? RATED", _rating),
    ("ITEM (COMMA | IS | OPEN | WITH | A | THE | OF | AND | HOLD)* RATING CLOSE?", _item_rated),
    ("SYM (EQ | IS) (VOLT | CHG | ENE | CAPV)", _symbol),
    (
        "(IS | INITIALLY | THEN | FIRST | EACH | A | IN)* CHARGED (TO | WITH | BY | FROM"
        " | OFF | UP | AT | ON | A | THE | PD | OF | SOURCE | JOIN | IN | ACROSS | USING"
        " | APPLY | CHGN | HOLD | EQ | EQUAL)* (VOLT | CHG) ((COMMA | AND | COMMA AND) TO? (VOLT"
        " | CHG))* (SOURCE | PD | EACH)*", _charged_to),
    ("ITEM (COMMA)? (OF | HOLD) A? PD OF? VOLT", _at),
    ("ITEM OF A? VOLT (ACROSS | ON) REF (?=STOP |AND |COMMA |$)", _at_itself),
    ("ITEM AND (OF | HOLD) A? CHGN OF? CHG", _at),
    (
        "(THE | A)* PD (ACROSS | ON | OF | OVER | BETWEEN)+ (THE | TERMINAL | PLATE |"
        " OF)* (ITEM | REF) (IS | EQ | APPLY | AT)+ (A | AT)* VOLT", _supplied),
    (
        "(THE | A | CEQ)* (CHGN | ENERGY) (ON | OF | IN | HOLD | BY)+ (THE | PLATE | OF)* (ITEM |"
        " REF) (IS | EQ)+ (CHG | ENE)", _given_charge),
    (
        "CHARGEV (ITEM | REF) (TO | WITH | FROM | AT | ON | BY | OFF | A | THE | PD | OF"
        " | SOURCE | USING)+ (VOLT | CHG) SOURCE?", _at),
    *2 * (("EVENT (COMMA | AND)* ITEM (TO | AT) (VOLT | CHG)", _another_charged),),
    (
        "ITEM (AT | IS | OF | WITH | HOLD | CHGN | OPEN | A | DISCON)* (AT | IS | HOLD |"
        " OPEN) (A | PD | OF | CHGN)* VOLT CLOSE? (?!ACROSS|BETWEEN|SOURCE)", _at),
    (
        "ITEM (IS | OF | WITH | HOLD | CHGN | ENERGY | OPEN | A | THE | WHICH | TO | WISHV)*"
        " (HOLD | OPEN | CHGN | ENERGY) (A | THE | OF | CHGN | ENERGY | OPEN)* (CHG | ENE)"
        " (OF ENERGY)? CLOSE?", _at),
    (f"{_LEFT} VOLT (SOURCE | PD | TERMINAL)* ({_DONE} {_WHERE} | IS APPLY | ACROSS)?", _supplied),
    (
        "(ITEM | REF) (IS | HOLD | APPLY | JOIN)+ (A | THE | CEQ | CHGN | ENERGY | OF | WITH |"
        " EACH)* (CHG | ENE)", _given_charge),
    (
        "(COMMA | HOLD | IS | JOIN | APPLY | WITH | A | THE | CEQ | CHGN | ENERGY | OF | EQ | LQ"
        " | COLON | TO | BY | OFF)* (CHG | ENE) (CHGN | OF ENERGY)? ((IS)? (APPLY | ON | TO | IN"
        " | HOLD | OFF | BY)+ (ITEM | REF))?", _given_charge),
    ("UNCHARGED", _uncharged),
)  # fmt: skip
