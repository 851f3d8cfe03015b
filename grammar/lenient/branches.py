"""Branches, rows and chains told one by one: ``branch 1: 3 uF, 6 uF``, ``C2 in one branch``.

A head stands before what is in a branch, a tail after it. A promise (two branches, a group)
keeps the place of what is told later on.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from grammar.lenient.mentions import Ref
from grammar.lenient.patterns import Phrase, found_in, rewritten, row
from grammar.lenient.tokens import Chunk

_WHICH = (
    "(THE | A | ONE | OTHER | THIS | ORD1 | ORD2 | ORD3 | ORD4 | ORDLAST | FORMER | TOP"
    " | BOTTOM | MIDDLE | SIDE)"
)
_LINK = "(COLON | IS | OF | WITH | JOIN | DASH | SERSIGN | EQ | HOLD)"
_CONTENT = "(?=\\b(?:A|ONE|CAPV|NAME|COUNT|WNUM|CAP|DET|THE|OPEN|SER|PAR|UNCHARGED|REF) )"


def with_branches(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with the heads, tails and promises of branches marked."""
    first = next((i for i, each in enumerate(pieces) if each.tag in _SAID), 0)
    pieces = rewritten(_with_groups(pieces), _ALIKE)
    before = rewritten(pieces[:first], _PROMISES_FIRST)
    found = rewritten([*before, *pieces[first:]], _PROMISES)
    found = rewritten(found, _NAMED)
    if any(each.tag == "REF" and each.datum.many == 1 for each in found):
        found = rewritten(found, _OF_THE_GROUP)
    sides = found_in(row("ONE OFSIDE"), found) and found_in(row("OTHER OFSIDE"), found)
    if sides or any(each.tag in ("HEAD", "TAIL", "GROUPHEAD", "REF") for each in found):
        found = rewritten(found, _ELLIPTIC)
    return [each._replace(tag="GROUP") if each.tag == "BRANCH" else each for each in found]


def _as_many_alike(inside: Sequence[Chunk]) -> list[Chunk]:
    """``three identical blocks in parallel; each block is a 4 nF in series with a 12 nF``."""
    joint = next(each for each in inside if each.tag in ("SER", "PAR"))
    after = [i for i, each in enumerate(inside) if each.tag in ("GROUP", "BRANCH")][1] + 1
    block = list(inside[after:])
    while block[0].tag in ("IS", "OF", "COLON", "JOIN", "WITH", "HOLD"):
        block = block[1:]
    opened, closed = joint._replace(tag="OPEN"), joint._replace(tag="CLOSE")
    found: list[Chunk] = []
    for _ in range(int(inside[0].datum)):
        found += [joint._replace(tag="COMMA"), opened, *block, closed]
    return [*found[1:], joint]


def _with_groups(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``two groups are in series`` before anything else: groups are told like branches."""
    if found_in(row("^THE? (WNUM | COUNT) GROUP (IS | JOIN)"), pieces) is None:
        return list(pieces)
    return [each._replace(tag="BRANCH") if each.tag == "GROUP" else each for each in pieces]


def _split(inside: Sequence[Chunk]) -> list[Chunk]:
    """``two strings of two in series``."""
    many = int(inside[0].datum)
    way = "series" if any(e.tag == "SER" for e in inside) else "parallel"
    size = "pairs" if str(inside[-2 if inside[-2].tag != "IN" else -3].datum) == "2" else ""
    return [Chunk("REF", _text(inside), inside[0].start, Ref("split", many, way, size))]


def _split_side_by_side(inside: Sequence[Chunk]) -> list[Chunk]:
    """``in two parallel branches, each containing two in series``."""
    many, size = (int(e.datum) for e in inside if e.tag in ("WNUM", "COUNT"))
    second = [i for i, e in enumerate(inside) if e.tag in ("WNUM", "COUNT")][1]
    joint = next(e.tag for e in inside[second:] if e.tag in ("SER", "PAR"))
    way = "series" if joint == "SER" else "parallel"
    ref = Ref("split", many, way, "pairs" if size == 2 else "")
    other = "PAR" if joint == "SER" else "SER"
    return [
        Chunk("REF", _text(inside), inside[0].start, ref),
        Chunk(other, "", inside[-1].start),
    ]


def _text(inside: Sequence[Chunk]) -> str:
    return " ".join(each.text for each in inside)


def _promise(inside: Sequence[Chunk]) -> list[Chunk] | None:
    way = "series" if any(e.tag == "SER" for e in inside) else ""
    noun = next(e for e in inside if e.tag in ("BRANCH", "GROUP"))
    if not noun.text.lower().endswith(("s", "es")):
        return None
    count = next((e for e in inside if e.tag in ("COUNT", "WNUM")), None)
    many = 2 if count is None else int(count.datum) if str(count.datum).isdigit() else 0
    if not 2 <= many <= 12:
        return None
    return [Chunk("REF", _text(inside), inside[0].start, Ref("promise", many, way))]


def _group_promised(inside: Sequence[Chunk]) -> list[Chunk]:
    kept = list(inside[-1:])
    way = {"SER": "series", "PAR": "parallel"}.get(inside[1].tag, "")
    return [Chunk("REF", _text(inside), inside[0].start, Ref("promise", 1, way)), *kept]


def _head(inside: Sequence[Chunk]) -> list[Chunk] | None:
    noun = next((e for e in inside if e.tag == "BRANCH"), None)
    if noun is not None and noun.text.lower().endswith("s") and noun.text.lower() != "series":
        return None
    return [Chunk("HEAD", _text(inside), inside[0].start)]


def _head_told(inside: Sequence[Chunk]) -> list[Chunk]:
    """``group 1 (parallel): ...``."""
    joint = next(each for each in inside if each.tag in ("SER", "PAR"))
    tag = {"SER": "SEROF", "PAR": "PAROF"}[joint.tag]
    return [Chunk("HEAD", _text(inside), inside[0].start), joint._replace(tag=tag)]


def _head_of_group(inside: Sequence[Chunk]) -> list[Chunk]:
    return [Chunk("GROUPHEAD", _text(inside), inside[0].start)]


def _chain_of(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``a chain of 3 uF and 6 uF``."""
    noun = next(e for e in inside if e.tag == "BRANCH")
    if noun.text.lower() not in ("chain", "string", "row", "line"):
        return None
    return [Chunk("SEROF", _text(inside), inside[0].start)]


def _tail(inside: Sequence[Chunk]) -> list[Chunk] | None:
    noun = next((e for e in inside if e.tag == "BRANCH"), None)
    if noun is not None and noun.text.lower().endswith("s"):
        return None
    return [Chunk("TAIL", _text(inside), inside[0].start)]


_ALIKE: Final = (
    Phrase(
        row(
            "(WNUM | COUNT) EQUAL (GROUP | BRANCH) (JOIN | IS | IN)* (SER | PAR)"
            " (STOP | COMMA | AND)+ EACH (GROUP | BRANCH) (IS | OF | COLON | JOIN | WITH | HOLD)+"
            " (A | CAPV | CAP | IN | SER | PAR | WITH | AND | TO)+"
        ),
        _as_many_alike,
    ),
)
_END = "(?=\\b(?:AND|COMMA|STOP|WITH|QUERY) |$)"
_SAID = ("CAPV", "NAME", "COUNT")
_SO_MANY = (
    "(?<!THE )(?<!THIS )(?<!ALL )(?<!BOTH )(TO | IN | OF)* (WNUM | COUNT | PAIROF)"
    " (SER | PAR | EQUAL | SINGLE)* BRANCH"
)
_PROMISES_FIRST: Final = (Phrase(row(f"{_SO_MANY} (?!\\b(?:OF|WITH|TOGETHER) )"), _promise),)
_PROMISES: Final = tuple(
    Phrase(row(pattern), build) for pattern, build in (
        (
            "(IN | TO)* (WNUM | COUNT) PAR? BRANCH COMMA? EACH (BRANCH | ONE)?"
            " (OF | JOIN | WITH | HOLD | IS)+ (WNUM | COUNT) EQUAL? CAP? IN? (SER | PAR)",
            _split_side_by_side,
        ),
        (
            "(IN | TO)* (WNUM | COUNT) PAR? BRANCH COMMA? (OF | JOIN | WITH | HOLD)+"
            " (WNUM | COUNT) EQUAL? CAP? IN? (SER | PAR) (IN | ON)* EACH (BRANCH | ONE)?",
            _split_side_by_side,
        ),
        ("(WNUM | COUNT) (BRANCH | GROUP) OF (WNUM | COUNT) IN? (SER | PAR)", _split),
        (
            f"{_SO_MANY} (?!\\b(?:OF|WITH|TOGETHER) )(?!(?:IS )?(?:JOIN )?(?:IN"
            f" )?(?:PAR|SER) (?:STOP |$))", _promise),
        ("(A | ONE) (PAR | SER)? GROUP STOP", _group_promised),
    )
)  # fmt: skip
_NAMED: Final = tuple(
    Phrase(row(pattern), build) for pattern, build in (
        (f"(?<!SER )(?<!PAR )(A | ONE | THE)? BRANCH OF {_CONTENT}", _chain_of),
        (f"(IN | ON | ALONG)? {_WHICH}* BRANCH {_LINK}+ {_CONTENT}", _head),
        (f"{_WHICH}* (BRANCH | GROUP) OPEN (SER | PAR) CLOSE COLON? {_CONTENT}", _head_told),
        (f"(IN | ON | ALONG)+ {_WHICH}* BRANCH {_CONTENT}", _head),
        (f"{_WHICH}+ BRANCH (ACROSS | BY)? {_CONTENT}", _head),
        (f"(IN | JOIN | IS | ON)+ {_WHICH}* BRANCH {_END}", _tail),
    )
)  # fmt: skip
_OF_THE_GROUP: Final = (
    Phrase(row(f"THE GROUP (OF | COLON | JOIN | HOLD)+ {_CONTENT}"), _head_of_group),
)
_ELLIPTIC: Final = tuple(
    Phrase(row(pattern), build) for pattern, build in (
        (f"(ONE | THE OTHER) OFSIDE {_LINK}* {_CONTENT}", _head),
        (
            f"(IN | ON)? (THE | A)* (ORD1 | ORD2 | ORD3 | ORDLAST | OTHER | ONE | FORMER)"
            f" ({_LINK} | ACROSS | BY | ON)+ {_CONTENT}", _head),
        (f"(IN | ON) (THE | A)* (ORD1 | ORD2 | ORD3 | ORDLAST | OTHER | FORMER) {_END}", _tail),
    )
)  # fmt: skip
