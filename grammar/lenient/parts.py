"""Capacitors in a row of pieces: ``three 6 uF capacitors``, ``C1 (3 uF)``, ``the other two``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import takewhile
from typing import Final

from grammar.lenient.mentions import MIDDLE, Event, Mention, Ref, RefKind
from grammar.lenient.patterns import Build, phrases, rewritten, text_of
from grammar.lenient.tokens import Chunk

_MOST: Final = 24  # capacitors that one phrase may count

_VALS = "CAPV ((COMMA | AND | COMMA AND | SLASH)? (A | THE | ONE | OF)* CAPV)*"
_OFS = (
    "(OF | WITH | CAPN | IS | EQ | COLON | OPEN | EACH | ALL | BOTH | A | THE | THEIR |"
    " EQUAL | IN | PD)*"
)
_NAMES = "NAME ((COMMA | AND | COMMA AND) NAME)*"
_COUNT = "(WNUM | COUNT | PAIROF)"


def with_parts(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every capacitor an ITEM and every word that points back a REF."""
    return rewritten(pieces, _PHRASES)


def copies(worth: str, count: int) -> tuple[str, ...]:
    """So many capacitors of one worth."""
    return (worth,) * count


def _worths(inside: Sequence[Chunk]) -> list[str]:
    return [each.datum for each in inside if each.tag == "CAPV"]


def _names(inside: Sequence[Chunk]) -> list[str]:
    return [each.datum for each in inside if each.tag == "NAME"]


def _count(inside: Iterable[Chunk]) -> int:
    for each in inside:
        if each.tag == "PAIROF":
            return 2
        if each.tag in ("WNUM", "COUNT"):
            return int(each.datum) if str(each.datum).isdigit() else 0
    return 0


def _how(inside: Sequence[Chunk]) -> str:
    tags = {each.tag for each in inside[:3]}
    if tags & {"A", "DET", "OTHER"} and "THE" not in tags:
        return "new"
    return "old" if tags & {"THE", "THIS"} else ""


_ORDINALS: Final = ("ORD1", "ORD2", "ORD3", "ORD4", "ORD5")


def _ordinal(inside: Sequence[Chunk]) -> int:
    for each in inside:
        if each.tag in _ORDINALS:
            return _ORDINALS.index(each.tag) + 1
        if each.tag == "ORDLAST":
            return -1
    return 0


def _start(inside: Sequence[Chunk]) -> str:
    return "0" if any(each.tag == "UNCHARGED" for each in inside) else ""


def _item(
    inside: Sequence[Chunk], worths: Sequence[str], names: Sequence[str] = (), so_many: bool = False
) -> list[Chunk]:
    names = [*names, *[""] * (len(worths) - len(names))]
    item = Mention(
        tuple(worths),
        tuple(names),
        _how(inside),
        _start(inside),
        ordinal=_ordinal(inside),
        so_many=so_many,
    )
    return [Chunk("ITEM", text_of(inside), inside[0].start, item)]


def _counted(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``three capacitors of 2, 3 and 6 uF``, ``two 8 uF capacitors``."""
    count, worths, names = _count(inside), _worths(inside), _names(inside)
    if not 1 <= count <= _MOST or (names and len(names) != count):
        return None
    if len(worths) == 1:
        if count > 1 and _is_after_a_comma(inside):
            return None  # the first of a list: two capacitors, 3 uF charged to 10 V and ...
        return _item(inside, copies(worths[0], count), names, True)
    return _item(inside, worths, names, True) if len(worths) == count else None


def _is_after_a_comma(inside: Sequence[Chunk]) -> bool:
    at = next(index for index, each in enumerate(inside) if each.tag == "CAPV")
    return (
        at > 0
        and inside[at - 1].tag in ("COMMA", "A")
        and not any(each.tag in ("EACH", "ALL", "BOTH") for each in inside)
    )


def _counted_bare(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``three capacitors``, ``two capacitors C1 and C2``: their values are said elsewhere."""
    count, names = _count(inside), _names(inside)
    if not 1 <= count <= _MOST or (names and len(names) != count):
        return None
    if any(each.tag in ("THE", "THIS", "BOTH", "ALL") for each in inside):
        return _ref(inside, "count")
    return _item(inside, copies("", count), names, True)


def _joined_so(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``two in parallel (2 and 3)``, ``2 in series, 6 uF each``."""
    worths, count = _worths(inside), _count(inside)
    if len(worths) == 1 and 1 <= count <= _MOST:
        worths *= count
    if count != len(worths):
        return None
    joint = next(each for each in inside if each.tag in ("SER", "PAR"))
    return [*_item(inside, worths), joint]


def _with_points(inside: Sequence[Chunk]) -> list[Chunk]:
    """``C1 from A to P, 4 uF``: the capacitor, then its points."""
    place = next(each for each in inside if each.tag == "PLACE")
    rest = [each for each in inside if each.tag != "PLACE"]
    return [*_item(rest, _worths(inside), _names(inside)), place]


def _named(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``C1 and C2 of 3 uF and 6 uF``, ``C1 = C2 = 4 uF``."""
    if inside[-1].tag == "CLOSE" and all(each.tag != "OPEN" for each in inside):
        told = _named(inside[:-1])  # the bracket is that of a group
        return None if told is None else [*told, inside[-1]]
    names, worths = _names(inside), _worths(inside)
    if len(worths) == 1:
        return _item(inside, copies(worths[0], len(names)), names)
    if len(worths) == len(names):
        return _item(inside, worths, names)
    return None


def _single(inside: Sequence[Chunk]) -> list[Chunk] | None:
    names, worths = _names(inside), _worths(inside)
    if len(worths) != 1 or (_is_plural(inside) and len(names) < 2):
        return None
    return _item(inside, worths, names)


def _is_plural(inside: Sequence[Chunk]) -> bool:
    """Whether several are spoken of before the value."""
    for each in inside:
        if each.tag == "CAPV":
            return False
        if each.tag == "CAP" and each.text.lower().endswith("s"):
            return True
    return False


def _listed(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``capacitors of 2, 3 and 6 uF``."""
    worths = _worths(inside)
    plural = any(each.tag == "CAP" and each.text.lower().endswith("s") for each in inside)
    return _item(inside, worths) if len(worths) > 1 and plural else None


def _unvalued(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``an unknown capacitor``."""
    return _item(inside, ["?"], _names(inside))


def _stock(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``he has only 100 uF capacitors``: what each is that is not told otherwise."""
    return _event(inside, "stock") if inside[-1].text.lower().endswith("s") else None


def _each_worth(inside: Sequence[Chunk]) -> list[Chunk]:
    """``each has a capacitance of 5 uF``: of all that have none yet."""
    return _event(inside, "worth")


def _event(inside: Sequence[Chunk], kind: str) -> list[Chunk]:
    return [Chunk("EVENT", text_of(inside), inside[0].start, Event(kind, _worths(inside)[0]))]


def _one_more_such(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``a sixth such capacitor``, ``another identical one``: like the one before."""
    tags = {each.tag for each in inside}
    if inside[-1].text.lower().endswith("s") or not tags & {"A", "OTHER", "ONE", "DET", "SUCH"}:
        return None
    return _item([each for each in inside if not each.tag.startswith("ORD")], ["="])


def _blank(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``another capacitor``, ``capacitor C3``, ``the capacitor``."""
    names = _names(inside)
    if names:
        return _item(inside, copies("", len(names)), names)
    if any(each.tag in ("THE", "THIS") for each in inside):
        return _ref(inside, "them")
    return _item(inside, [""])


def _ref(inside: Sequence[Chunk], kind: RefKind) -> list[Chunk]:
    way = "series" if any(e.tag == "SER" for e in inside) else ""
    way = "parallel" if any(e.tag == "PAR" for e in inside) else way
    plural = [e for e in inside if e.tag == "GROUP" and re.search(r"(?:s|es)$", e.text.lower())]
    count = 2 if any(e.tag == "BOTH" for e in inside) else _count(inside)
    group = any(e.tag == "GROUP" for e in inside)
    first = any(e.tag in ("ORD1", "FORMER") for e in inside)
    ref = Ref(kind, count, way, "groups" if plural else "group" if group else "", first)
    return [Chunk("REF", text_of(inside), inside[0].start, ref)]


def _pointing(kind: RefKind) -> Build:
    """Words that point back in one way."""
    return lambda inside: _ref(inside, kind)


def _them(inside: Sequence[Chunk]) -> list[Chunk]:
    return _ref(inside, "count" if {"WNUM", "COUNT", "BOTH"} & {e.tag for e in inside} else "them")


def _by_order(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``the third``, ``the last capacitor``, ``the first two``, ``a second capacitor``."""
    tags = [each.tag for each in inside]
    count = _count(inside)
    if "GROUP" in tags:
        return _ref(inside, "group")
    if count > 1:
        return _some(inside) if "ORDLAST" in tags else _ref(inside, "count")
    if {"FORMER", "ORDLAST", "CAP", "ONE", "THE"} & {*tags} or tags[0] == "A":
        worths = _worths(inside) or [""]
        if "FORMER" in tags:
            inside = [Chunk("ORD1", "", inside[0].start), *inside]
        return _item(inside, worths, _names(inside))
    return None


def _middle(inside: Sequence[Chunk]) -> list[Chunk]:
    """``the middle one``."""
    found = _item(inside, [""])[0]
    return [found._replace(datum=found.datum._replace(ordinal=MIDDLE))]


def _some(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``three of them``, ``the last two``, ``another two``: as many as are not joined yet."""
    count = _count(takewhile(lambda each: each.tag != "OF", inside))  # one of the two is one
    if not count and any(e.tag in ("ONE", "A") for e in inside):
        count = 1
    if not 1 <= count <= _MOST:
        return None
    last = any(
        e.tag in ("ORDLAST", "OTHER") and e.text.lower() not in ("another", "a") for e in inside
    )
    first = any(e.tag == "ORD1" for e in inside)
    ref = Ref("some", count, text="last" if last else "", first=first)
    return [Chunk("REF", text_of(inside), inside[0].start, ref)]


_ADJ = "(EQUAL | SINGLE | UNCHARGED | OTHER | INITIALLY | PLATED | WORD | CHARGED)*"
_ORDS = "(ORD1 | ORD2 | ORD3 | ORD4 | ORD5 | ORDLAST | FORMER)"
_DETS = "(A | DET | THE | THIS)?"
_PHRASES: Final = phrases(
    ("CAP? NAME (EQ NAME)+ (EQ | IS) CAPV", _named),
    ("(A | THE) ORD1? CAP COMMA NAME COMMA?", "NAME"),
    ("(A | DET | OTHER | ONE)+ OF CAPV", _single),
    (
        "CAP? NAME (IS | JOIN)* PLACE (COMMA | AND | IS | COLON | EQ | OF | WITH | CAPN"
        " | A)* CAPV CAP?", _with_points),
    (
        "(?<!CAPV )(?<!ACROSS )(?<!ON )EACH (OF (THEM | THE | THIS))* (CAP | ONE)?"
        " (OF | IS | WITH | CAPN | A | EQ | HOLD)+ CAPV", _each_worth),
    (
        "(?<=PLACE COMMA )(ALL | EACH) (OF | IS | WITH | CAPN | A | HOLD | EQ)* CAPV EACH?"
        " (?!CAP)", _each_worth),
    ("OTHER OPEN CAPV CLOSE", _single),
    ("(A | THE)* CAP COMMA CAPV COMMA (?=(?:IS|AT|OF) )", _single),
    ("(COUNT | WNUM) IN? (SER | PAR) OF? CAPV EACH?", _joined_so),
    (
        "(COUNT | WNUM) IN? (SER | PAR) (ON | THE | TOP | BOTTOM | JOIN | COMMA)+ CAPV EACH",
        _joined_so),
    (
        "A (ORD2 | ORD3 | ORD4 | ORD5) (?!ITEM|CAPV|CAP|EQUAL|SUCH|SINGLE|UNCHARGED|ONE|NAME|OF"
        "|COMMA CAPV COMMA|COMMA OF"
        "|WITH|GROUP|BRANCH)", _by_order),
    ("CAP? NAME COMMA CAPV COMMA (?=IS|PLACE|IN|SER|PAR)", _named),
    (
        "(WNUM | COUNT) IN? (SER | PAR) (OPEN | COMMA | COLON) CAPV ((COMMA | AND)+"
        " CAPV)* CLOSE?", _joined_so),
    (f"THE? {_ORDS} {_COUNT} {_ADJ} CAP (OF | COLON | COMMA | CAPN | IS)* {_VALS}", _counted),
    # the third capacitor, of 5 uF; the first two
    (f"{_DETS} {_ORDS} {_COUNT} (CAP | ONE | GROUP)?", _by_order),
    (
        f"{_DETS} {_ORDS} {_ADJ} (CAP | ONE)? NAME?"
        " (COMMA (?=OF|WITH|CAPN|CAPV COMMA (?:IN|SER|PAR|IS|JOIN) ))?"
        " (OF | WITH | CAPN | A | OPEN)* CAPV CLOSE?", _by_order),
    (f"(THE | THIS) (SER | PAR)? {_ORDS} (SER | PAR)? GROUP", _by_order),
    # names with values
    (
        f"((WNUM | COUNT) {_ADJ})? CAP? {_NAMES} (COMMA | WHICH)? (CAP | IS | OF | EQ |"
        f" CAPN | WITH | EACH | ALL | BOTH | COLON | OPEN | "
     f"DASH | A | THEIR | EQUAL)+ {_VALS} EACH? CLOSE?", _named),
    ("CAP? NAME DASH? CAPV CAP?", _named),
    (f"{_NAMES} COMMA? CAPV EACH", _named),
    (f"NAME ((COMMA | AND)+ NAME)+ COMMA {_VALS} (?=COMMA|STOP|IN|SER|PAR|IS|$)", _named),
    ("CAP? NAME COMMA CAPV (?=STOP|$)", _named),
    (
        "(?<!AND )(?<!COMMA )(?<!A )(?<!THE )(?<!WNUM )(?<!COUNT )(?<!CAPV )(?<!TIMES )(?<!EQUAL )"
        "(?<!PAIROF )"        "SINGLE? CAPV CAP (?!IN (?!THE|STOP)|SER|PAR|CALLED|NAME)", _stock),
    # counted
    (
        f"(A | DET | THE | ALL | ANOTHER)? {_COUNT} (OF | TIMES | THE)* {_ADJ} CAPV (CAP"
        f" | ONE)? EACH? NAME?"
     "", _counted),
    (
        f"(DET | THE)? {_COUNT} {_ADJ} CAP (OPEN? {_NAMES} CLOSE?)? (COMMA | WHICH)?"
        f" {_OFS} {_VALS} (EACH | CAP)* CLOSE?", _counted),
    # one with its value
    (
        f"(?<!CAPV )(?<!WNUM )(?<!COUNT ){_ADJ} CAP (OF | WITH | CAPN | COLON | EQ)*"
        f" {_VALS}", _listed),
    (
        f"(?<!CAPV )(A | DET | THE | OTHER | ONE)* {_ADJ} CAP (COMMA? OPEN? NAME CLOSE?"
        f" COMMA?)? (OF | WITH | EQ | CAPN | IS | OPEN | A | COLON)+ CAPV CLOSE?", _single),
    (
        f"(A | DET | THE | OTHER | THIS | ONE)* {_ADJ} CAPV (EQUAL | PLATED | UNCHARGED)* (CAP"
        f" | ONE)* (OPEN NAME CLOSE | NAME | COMMA NAME (?=COMMA|IS))?", _single),
    # unknown
    ("(A | THE | DET)? UNKNOWN CAP NAME?", _unvalued),
    (
        "(A | OTHER | DET | ONE | THE)* (ORD2 | ORD3 | ORD4 | ORD5 | ORD6)? (SUCH A? (CAP | ONE)"
        " | EQUAL (CAP | ONE) (?!OF))", _one_more_such),
    ("A (ORD2 | ORD3 | ORD4 | ORD5 | ORD6) (CAP | ONE)? COMMA THE EQUAL COMMA?", _one_more_such),
    ("(A | THE | DET)? CAP NAME? (OF | WITH) (A | THE)? UNKNOWN (CAPN)?", _unvalued),
    ("CAP? NAME (EQ | IS) (QUERY | UNKNOWN)", _unvalued),
    # some of those not joined yet
    ("THE (WNUM | COUNT) OF (THE | THIS | THEM)+ CAP?", _counted_bare),
    (
        "(THE)? (WNUM | COUNT | ONE) OF (THE | THIS | THEM | WHICH)+ (WNUM | COUNT)? (CAP |"
        " THEM)? (?!GROUP)", _some),
    ("OTHER (WNUM | COUNT) (?=(IN )?(SER|PAR) WITH )", _some),
    (
        "(?<!OF )(?<!THE )(?<!THIS )(?<!BOTH )(?<!ALL )(WNUM | COUNT)"
        " (?=\\b(?:IS|SER|PAR|IN|JOIN) )", _some),
    (
        "(OTHER (WNUM | COUNT) | (WNUM | COUNT) OTHER) (?=\\b(?:WHICH|IS|SER|PAR|IN|JOIN) )",
        _some),
    # pointing back, with a noun
    (f"(THE | THIS) (OTHER) {_COUNT}? (CAP | ONE)?", _pointing("other")),
    (f"(ALL | BOTH)? {_COUNT} GROUP", _pointing("count")),
    (f"(THE | THIS) {_COUNT} (SER | PAR | CHARGED)? (CAP | GROUP | ONE | OF THEM)?", _counted_bare),
    (f"(DET | THE | A)? {_COUNT} {_ADJ} CAP (COLON? OPEN? {_NAMES} CLOSE?)?", _counted_bare),
    ("EACH (OF)? (THE | THEM | THIS | ONE)* (ALL | COUNT | WNUM)? (CAP | ONE)?", _pointing("each")),
    ("(THE | THIS | A) (CEQ | TOP | BOTTOM)? (SER | PAR)? GROUP (GROUP)?", _pointing("group")),
    ("WHOLE (GROUP)?", _pointing("whole")),
    ("(BOTH) (OF)? (THE | THIS | THEM)? (CAP | ONE | GROUP)?", _them),
    ("ALL OF? (THE | THIS | THEM)* (COUNT | WNUM)? (CAP | ONE | THEM | GROUP)?", _pointing("all")),
    ("THIS (COUNT | WNUM)? (CAP)?", _them),
    ("THEM", _them),
    (f"(THE)? {_ORDS} (CAP | ONE)?", _by_order),
    ("THE? MIDDLE (CAP | ONE)", _middle),
    (f"(?<!JOIN )(?<!IS ){_ORDS} (?=(IN|SER|PAR|IS) )", _blank),
    (f"(A | DET | THE | OTHER)* {_ADJ} CAP ({_NAMES})?", _blank),
    ("NAME", _blank),
)  # fmt: skip
