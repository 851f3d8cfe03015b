"""What a clause says beside the network: supplies, charges, ratings, wishes, and what is done."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.mentions import Event, Mention, Ref, Supplied
from grammar.lenient.patterns import Phrase, rewritten, row
from grammar.lenient.tokens import Chunk

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


def _text(inside: Sequence[Chunk]) -> str:
    return " ".join(each.text for each in inside)


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
    return [Chunk(tag, _text(inside), inside[0].start, datum)]


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
    return [said, *_one("EVENT", inside, Event("at", _datum(inside, "VOLT", "CHG")))]


def _another_charged(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``C1 was charged to 60 V, another one to 30 V``."""
    if inside[0].datum.kind not in ("charge", "at"):
        return None
    before = [each for each in inside if each.tag in ("EVENT", "COMMA", "AND", "ITEM")]
    return [*before, *_one("EVENT", inside[-2:], Event("at", _datum(inside, "VOLT", "CHG")))]


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
        kept, target = list(inside[first:]) if first > at else [], None
    supplied = Supplied("voltage", str(volts[0].datum), target, _points(inside), word=_text(inside))
    return [*_one("SUPPLY", inside, supplied), *kept]


def _given_charge(inside: Sequence[Chunk]) -> list[Chunk] | None:
    if any(each.tag == "ACROSS" for each in inside):
        return None
    target = _target(inside)
    kept: list[Chunk] = []
    if isinstance(target, Mention) and any(target.worths) and target.how != "old":
        kept = [each for each in inside if each.datum is target]
        if len(target.worths) == 1 and not any(each.tag == "CEQ" for each in inside):
            return [*kept, *_one("EVENT", inside, Event("at", _datum(inside, "CHG")))]
        target = None
    supplied = Supplied("charge", _datum(inside, "CHG"), target, word=_text(inside))
    return [*_one("SUPPLY", inside, supplied), *kept]


def _symbol(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``V1 = 6 V``, ``Q = 24 uC``: of one capacitor or of the whole."""
    letter, of = next(each.datum for each in inside if each.tag == "SYM")
    text = _datum(inside, "VOLT", "CHG", "ENE", "CAPV")
    tag = {"C": "TOTAL", "E": "GIVENENE", "W": "GIVENENE"}.get(letter)
    if tag:
        return _one(tag, inside, text) if not of[:1].isdigit() else None
    over = Mention(("",), (f"C{of}",)) if of and of not in ("tot", "total", "T", "eq") else None
    quantity = "charge" if text.endswith("C") or text[-1:] == "Q" else "voltage"
    return _one("SUPPLY", inside, Supplied(quantity, text, over, word=_text(inside)))  # type: ignore[arg-type]


def _total(inside: Sequence[Chunk]) -> list[Chunk]:
    return _one("TOTAL", inside, _datum(inside, "CAPV"))


def _just(tag: str) -> object:
    def build(inside: Sequence[Chunk]) -> list[Chunk]:
        return [Chunk(tag, _text(inside), inside[0].start)]

    return build


def _all_with(inside: Sequence[Chunk]) -> list[Chunk]:
    """``…, all parallel C``: all of it with one more."""
    joint = inside[-1]
    return [inside[0], joint, joint._replace(tag="WITH")]


def _supply_charges(inside: Sequence[Chunk]) -> list[Chunk]:
    """``a 12 V supply charges a 3300 uF``."""
    supplied: Supplied = inside[0].datum
    event = Chunk("EVENT", _text(inside), inside[-1].start, Event("at", supplied.text))
    return [inside[-1], event]


def _after_the_old(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``after the 12 a 4 and an 8 in parallel``."""
    told, item = inside
    if item.datum.how != "old" or told.text.lower() not in ("after", "behind", "past"):
        return None
    return [item, told._replace(tag="SERWITH")]


def _coming_after(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``after that comes a 12 uF``: it goes on with it."""
    return [inside[0]] if inside[1].text.lower() in ("come", "comes", "follows") else None


def _joined_to(inside: Sequence[Chunk]) -> list[Chunk]:
    """``puts it together with an empty one``: what is joined, then the joint."""
    at = next(i for i, each in enumerate(inside) if each.tag == "REF")
    tag = "PARWITH" if inside[-1].tag == "ACROSS" else "JOINTO"
    return [inside[at], Chunk(tag, _text(inside[at + 1 :]), inside[0].start)]


def _nothing(_inside: Sequence[Chunk]) -> list[Chunk]:
    return []


def _kept_pair(tag: str) -> object:
    def build(inside: Sequence[Chunk]) -> list[Chunk]:
        kept = [each for each in inside if each.tag not in ("SER", "PAR", "A", "THE", "OTHER")]
        return [Chunk(tag, _text(inside), inside[0].start), *kept]

    return build


def _joint(tag: str) -> object:
    """A joint; with its verb, as in is connected in series with, it is the main one."""

    def build(inside: Sequence[Chunk]) -> list[Chunk]:
        main = "main" if any(each.tag == "IS" for each in inside) else ""
        return [Chunk(tag, _text(inside), inside[0].start, main)]

    return build


def _without_first(inside: Sequence[Chunk]) -> list[Chunk]:
    """A word for all of them left out: C1 and C2 are both in series."""
    return [each for each in inside if each.tag not in ("BOTH", "ALL")]


_FRESH = (
    "(?=(?:\\bITEM |\\bREF |\\bSEROF |\\bPAROF |\\bOPEN |\\bA |\\bTHE |\\bEVENT"
    " |\\bUNCHARGED |\\bOTHER |\\bEACH ))"
)


def _from_and_to(inside: Sequence[Chunk]) -> list[Chunk]:
    """``from A a 4 uF leads to P``."""
    letters = [each for each in inside if each.tag in ("LETTER", "LC")]
    items = [each for each in inside if each.tag == "ITEM"]
    place = Chunk("PLACE", _text(inside), inside[0].start, (letters[0].text, letters[-1].text))
    return [place, *items]


def _item_rated(inside: Sequence[Chunk]) -> list[Chunk] | None:
    item = inside[0].datum
    if item.rating:
        return None
    return [
        inside[0]._replace(
            datum=item._replace(rating=next(str(e.datum) for e in inside if e.tag == "RATING"))
        )
    ]


_RULES: Final = (
    ("FROM POINT? LETTER COMMA? (JOIN)? ITEM (JOIN | IS)* TO POINT? LETTER", _from_and_to),
    ("POINT? LETTER IS? JOIN (TO | WITH)? POINT? LETTER (BY | WITH | THEN) ITEM", _from_and_to),
    (
        "RATED (AT | OF | FOR | TO | PD | IS | A | EQ | COLON | UP | EACH | WITH)* VOLT"
        " EACH?", _rating),
    ("(OF | WITH | A)* VOLT (PD)? RATED", _rating),
    ("ITEM (COMMA | IS | OPEN)* RATING CLOSE?", _item_rated),
    ("SYM (EQ | IS) (VOLT | CHG | ENE | CAPV)", _symbol),
    (
        "(IS | INITIALLY | THEN | FIRST | EACH | A | IN)* CHARGED (TO | WITH | BY | FROM"
        " | OFF | UP | AT | ON | A | THE | PD | OF | SOURCE | JOIN | IN | ACROSS | USING"
        " | APPLY | CHGN | HOLD | EQ | EQUAL)* (VOLT | CHG) ((COMMA | AND | COMMA AND) TO? (VOLT"
        " | CHG))* (SOURCE | PD | EACH)*", _charged_to),
    ("ITEM (COMMA)? (OF | HOLD) A? PD OF? VOLT", _at),
    ("ITEM AND (OF | HOLD) A? CHGN OF? CHG", _at),
    (
        "(THE | A)* PD (ACROSS | ON | OF | OVER | BETWEEN)+ (THE | TERMINAL | PLATE |"
        " OF)* (ITEM | REF) (IS | EQ | APPLY | AT)+ (A | AT)* VOLT", _supplied),
    (
        "(THE | A | CEQ)* CHGN (ON | OF | IN | HOLD | BY)+ (THE | PLATE | OF)* (ITEM |"
        " REF) (IS | EQ)+ CHG", _given_charge),
    (
        "CHARGEV (ITEM | REF) (TO | WITH | FROM | AT | ON | BY | OFF | A | THE | PD | OF"
        " | SOURCE | USING)+ (VOLT | CHG) SOURCE?", _at),
    *2 * (("EVENT (COMMA | AND)* ITEM (TO | AT) (VOLT | CHG)", _another_charged),),
    (
        "ITEM (AT | IS | OF | WITH | HOLD | CHGN | OPEN | A | DISCON)* (AT | IS | HOLD |"
        " OPEN) (A | PD | OF | CHGN)* VOLT CLOSE? (?!ACROSS|BETWEEN|SOURCE)", _at),
    (
        "ITEM (IS | OF | WITH | HOLD | CHGN | OPEN | A | THE)* (HOLD | OPEN | CHGN) (A |"
        " THE | OF | CHGN | OPEN)* CHG CLOSE?", _at),
    (f"{_LEFT} VOLT (SOURCE | PD | TERMINAL)* ({_DONE} {_WHERE} | IS APPLY | ACROSS)?", _supplied),
    (
        "(ITEM | REF) (IS | HOLD | APPLY | JOIN)+ (A | THE | CEQ | CHGN | OF | WITH |"
        " EACH)* CHG", _given_charge),
    (
        "(COMMA | HOLD | IS | JOIN | APPLY | WITH | A | THE | CEQ | CHGN | OF | EQ | LQ"
        " | COLON | TO | BY | OFF)* CHG (CHGN)? ((IS)? (APPLY | ON | TO | IN | HOLD |"
        " OFF | BY)+ (ITEM | REF))?", _given_charge),
    ("(UNCHARGED)", _uncharged),
    ("SUPPLY CHARGEV ITEM", _supply_charges),
    (
        "(JOIN | IS | THEN)* (TO | ACROSS | ON | WITH)+ (A | THE)* SOURCE"
        " (?=(?:STOP|COMMA|AND|QUERY) |$)", _nothing),
)  # fmt: skip


_PHRASES: Final = tuple(Phrase(row(pattern), build) for pattern, build in _RULES)

_JOINTS_BEFORE: Final = (
    (
        "(A | THE | DET | OTHER)? SER GROUP JOIN* (OF | COLON | BETWEEN)+ (?!\\bTHIS|\\bTHE"
        " SOURCE|\\bA VOLT|\\bVOLT|\\bA SOURCE)", _just("SEROF")),
    (
        "(A | THE | DET | OTHER)? PAR GROUP JOIN* (OF | COLON | BETWEEN)+ (?!\\bTHIS|\\bTHE"
        " SOURCE|\\bA VOLT|\\bVOLT|\\bA SOURCE)", _just("PAROF")),
    ("(IN | JOIN | IS)* SER COLON (?!HEAD)", _just("SEROF")),
    ("(IN | JOIN | IS)* PAR COLON (?!HEAD)", _just("PAROF")),
    (
        "(JOIN | CHARGED | CHARGEV | IN) A? SER GROUP (?!OF)(?!WITH (?:CAPV|NAME|THE ))",
        _just("SER")),
    (
        "(JOIN | CHARGED | CHARGEV | IN) A? PAR GROUP (?!OF)(?!WITH (?:CAPV|NAME|THE ))",
        _just("PAR")),
    ("(A | THE | OTHER)* SER GROUP COMMA (?=CAPV|NAME)", _just("SEROF")),
    ("(A | THE | OTHER)* PAR GROUP COMMA (?=CAPV|NAME)", _just("PAROF")),
    ("COMMA (ALL | BOTH) (IS | JOIN | IN)* (SER | PAR) (?=(?:CAPV|NAME|A ))", _all_with),
    ("TOGETHER IN? SER", _just("SER")),
    ("TOGETHER IN? PAR", _just("PAR")),
    ("FROM TOGETHER", _nothing),
    ("(A | THE) SER (OF | FROM | BETWEEN) (?=CAPV|NAME|A |WNUM|COUNT)", _just("SEROF")),
    ("(A | THE) PAR (OF | FROM | BETWEEN) (?=CAPV|NAME|A |WNUM|COUNT)", _just("PAROF")),
    ("(A | THE) SER GROUP (?=(?:\\bNAME |\\bCAPV |\\bA |\\bWNUM ))", _just("SEROF")),
    ("(A | THE) PAR GROUP (?=(?:\\bNAME |\\bCAPV |\\bA |\\bWNUM ))", _just("PAROF")),
    (
        "(CAPV | CAP | NAME | COMMA) (BOTH | ALL) (IS | JOIN)* IN? (SER | PAR)"
        " (?!\\bWITH |\\bTO )", _without_first),
    ("(CAPV | CAP | NAME | THEM) (BOTH | ALL) (IS | JOIN | HOLD)+", _without_first),
    ("(WNUM | COUNT)? IN? SER (?=\\bOPEN )", _just("SEROF")),
    ("(WNUM | COUNT)? IN? PAR (?=\\bOPEN )", _just("PAROF")),
    ("IN SER WITH TOGETHER | IN? SER TOGETHER", _just("SER")),
    ("IN? PAR TOGETHER", _just("PAR")),
)  # fmt: skip


_ADJECTIVES: Final = (
    ("(A | THE | OTHER)* SER PAIROF (?=CAPV AND CAPV )", _just("SEROF")),
    ("(A | THE | OTHER)* PAR PAIROF (?=CAPV AND CAPV )", _just("PAROF")),
    ("(A | THE | OTHER)* SER PAIROF", _kept_pair("SEROF")),
    ("(A | THE | OTHER)* PAR PAIROF", _kept_pair("PAROF")),
    ("(WNUM | COUNT) SER (?=(?:\\bCAPV |\\bCAP |\\bEQUAL ))", _kept_pair("SEROF")),
    ("(WNUM | COUNT) PAR (?=(?:\\bCAPV |\\bCAP |\\bEQUAL ))", _kept_pair("PAROF")),
    (
        "(A | THE | OTHER)* GROUP JOIN OF"
        " (?=\\b(?:CAPV|NAME|WNUM|COUNT|A|PAROF|SEROF|THE|CAP|DET) )", _just("GROUPOF")),
    (
        "(A | THE | OTHER)* GROUP OF"
        " (?=\\b(?:CAPV|NAME|WNUM|COUNT|A|PAROF|SEROF|THE|CAP|DET) )", _just("GROUPOF")),
    (
        "(A | THE)? (GROUP) (OF | COLON) (?=(?:\\bCAPV |\\bNAME |\\bWNUM |\\bCOUNT |\\bA"
        " |\\bPAROF |\\bSEROF |\\bTHE |\\bCAP ))", _just("COLON")),
)  # fmt: skip

_AT_THE_END = "(?=\\b(?:STOP|QUERY|COMMA|SUPPLY|WISHV) |$)"
_JOINTS_AFTER: Final = (
    (f"(AND | THEN)* JOIN REF TOGETHER? (TO | WITH | ACROSS) {_FRESH}", _joined_to),
    (
        f"(JOIN | IS | A | THE | IN)* (IN | A) (A | THE)* SER (GROUP | JOIN)? (WITH | TO"
        f" | ACROSS) {_FRESH}", _joint("SERWITH")),
    (
        f"(JOIN | IS | A | THE | IN)* (IN | A)? (A | THE)* PAR (GROUP | JOIN)? (WITH | TO"
        f" | ACROSS) {_FRESH}", _joint("PARWITH")),
    (f"SER (WITH | TO) {_FRESH}", _just("SERWITH")),
    ("(JOIN | IS | A | THE)* (IN | A) SER (GROUP | JOIN)? (WITH)?", _just("SER")),
    ("(JOIN | IS | A | THE)* (IN | A) PAR (GROUP | JOIN)? (WITH)?", _just("PAR")),
    ("(IS | THEN)* JOIN WITH (?=\\bREF (?:SER|PAR) )", _just("JOIN")),
    (f"(IS | THEN)* JOIN (IN)? TOGETHER? (TO | WITH | BY | ON) {_FRESH}", _just("JOINTO")),
    (
        "(IS | THEN)* JOIN? TOGETHER? (WITH | IN | AND | SO)* (THEIR | THE)? (LIKEPL |"
        " CROSSED)", _just("JOINED")),
    ("(IS | THEN)* JOIN TOGETHER | TOGETHER", _just("JOINED")),
    ("^THEN JOIN (?=ITEM )", _coming_after),
    ("^(AND | THEN | COMMA)* JOIN (?=(?:\\bITEM |\\bREF ))", _just("JOINOF")),
    (f"(IS | THEN)* JOIN? ACROSS {_FRESH}", _just("PARWITH")),
    (f"SER (AND | OR | COMMA)* THEN? PAR {_AT_THE_END}", _just("NEXTTO")),
    (f"PAR (AND | OR | COMMA)* THEN? SER {_AT_THE_END}", _just("NEXTTO")),
    (f"THEN SER {_FRESH}", _just("THEN")),
    ("THEN ITEM (?=ITEM )", _after_the_old),
    ("(?<=REF )TO (?=ITEM )", _just("JOINTO")),
    ("(?<=ITEM )TO (?=ITEM )", _just("JOINTO")),
    (f"JOIN THEIR CHGN WITH {_FRESH}", _just("JOINTO")),
    ("SER SER", _just("SER")),
    ("PAR PAR", _just("PAR")),
    ("JOINED (COMMA | AND | WITH | IN)* JOINED", _just("JOINED")),
    ("PAR (COMMA | AND | WITH | IN)* JOINED", _just("PAR")),
    (f"JOIN THEIR (WIRE | PLATE | TERMINAL) TO {_FRESH}", _just("JOINTO")),
)  # fmt: skip


def _made(rules: tuple[tuple[str, object], ...]) -> tuple[Phrase, ...]:
    return tuple(Phrase(row(pattern), build) for pattern, build in rules)  # type: ignore[arg-type]


_BEFORE: Final = _made(_JOINTS_BEFORE + _ADJECTIVES)
_AFTER: Final = _made(_JOINTS_AFTER)


def with_early_joints(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with ``a parallel combination of`` and its kind in one phrase each."""
    return rewritten(pieces, _BEFORE)


def with_joints(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with ``in series with`` and its kind in one phrase each."""
    return rewritten(pieces, _AFTER)
