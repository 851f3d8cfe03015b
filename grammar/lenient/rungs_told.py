"""Two rails told from left to right as they are drawn: what lies along the top one, what goes down.

What goes down stands between the point that has been reached on the top rail and the bottom one, so
that the last told is nested in all before it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.patterns import row, tags_of
from grammar.lenient.tokens import Chunk, scan
from grammar.lenient.trees_in_signs import NotToldSo, PartTree, in_signs, joined
from grammar.lenient.ways_told import ASKS, SENTENCE, supply_of

_TELLS: Final = re.compile(
    r"(?is)\A(?=.*\b(?:top|upper|bottom|lower) (?:\w+ )?(?:wire|rail|line)\b|.*\bladder\b)"
    r".*\b(?:down|drop(?:s|ping)?|fall(?:s|ing)?)\b"
)
_BARE: Final = re.compile(
    r"(?i),? ?(?:and )?(?:the )?(?:bottom|lower) (?:wire|rail|line)(?: is)? (?:(?:just|only|a|bare"
    r"|plain) )*(?:wire|bare|empty|goes back[^.;,]*|returns[^.;,]*)|\bnothing on the right\b"
    r"|,? ?(?:and )?(?:there|here) it ends\b|(?<=[0-9F]) with [0-9.]+ ?[unp]F in (?=it\b)"
    r"|\b(?:it |this )?(?:looks|drawn|drawing|picture)(?: (?:is|like|of|as))* (?:a )?ladder"
    r"(?: lying(?: down| on (?:its|the) side)?)?"
)
_DOWN: Final = frozenset(words("down drop drops dropping fall falls falling rung"))
_ALONG: Final = frozenset(words("along top upper"))
_IDLE: Final = frozenset(
    words(
        "on in at from to the a an there is are with it its that this another again also further"
        " very far of one ones wire wires rail rails line lines bottom lower left right terminal"
        " corner point junction there's goes go going comes come coming hangs hang hanging has have"
        " holds lies lie lying runs run capacitor capacitors cap caps condenser condensers and then"
        " next now after behind past end ends both all them first here just only"
        " straight leads lead which side beside"
    )
)
_NUMBERS: Final = ("NUM", "CAPV")
_BREAKS: Final = ("COMMA", "AND", "THEN", "STOP", "COLON")
_AFTER: Final = row("(THEN | WORD) THE (CAPV | NUM) (CAP | ONE)?")
_MOST: Final = 12  # capacitors


class _Told(NamedTuple):
    """One capacitor: whether it goes down, and after which of those along the top it stands; None
    for the last that has been told.
    """

    worth: str
    goes_down: bool
    after: str | None = None


def with_rungs_told(text: str, unit: str) -> str:
    """The text made plain with such rails in signs; the text as it is where a word of it is not
    known here.
    """
    if _TELLS.search(text) is None:
        return text
    sentences = [each for each in SENTENCE.findall(text) if each.strip(" .\n")]
    told = [each for each in sentences if not ASKS.search(each) and not _is_supply(each)]
    volts = [each for each in sentences if _is_supply(each)]
    try:
        caps = [cap for each in told for cap in _caps(each, unit)]
        tree = _tree(caps)
    except NotToldSo:
        return text
    if len(volts) > 1:
        return text
    asked = [each for each in sentences if ASKS.search(each)]
    return "\n".join((in_signs(tree), *map(supply_of, volts), *asked))


def _is_supply(sentence: str) -> bool:
    has_volts = re.search(r"(?i)[0-9.]+ ?(?:kV|mV|V|volts?)\b", sentence) is not None
    return has_volts and re.search(r"[0-9] ?[unp]F", sentence) is None and not ASKS.search(sentence)


def _caps(sentence: str, unit: str) -> Iterator[_Told]:
    """The capacitors of a sentence. Errors: ``NotToldSo`` for a word that means nothing here."""
    inside = re.sub(
        r"(?i) (?:goes|comes|hangs|leads) down with ([0-9.]+ ?[unp]F) in it\b", r" down \1",
        _BARE.sub(" ", sentence),
    )  # fmt: skip
    clauses = _clauses(scan(inside))
    kinds = [_kind(each) for each in clauses]
    for at, (clause, kind) in enumerate(zip(clauses, kinds, strict=True)):
        after, values = _place(clause, unit)
        if not values:
            continue
        behind = [each.tag for each in clauses[at + 1][:2]] if at + 1 < len(kinds) else []
        goes_on = behind[:1] == ["AND"]
        then_down = behind == ["AND", "THEN"] and kinds[at + 1] == "down"  # a 2 and then a 6 down
        told = kind or (then_down and "along") or (goes_on and kinds[at + 1])
        told = told or next((each for each in kinds[at::-1] if each), "")
        if not told:
            raise NotToldSo
        for worth in values:
            yield _Told(worth, told == "down", after)


def _clauses(pieces: Sequence[Chunk]) -> list[list[Chunk]]:
    """The pieces clause by clause; each begins with what parts it from the one before."""
    found: list[list[Chunk]] = [[]]
    for piece in pieces:
        if piece.tag in _BREAKS and any(each.tag in _NUMBERS for each in found[-1]):
            found.append([])
        found[-1].append(piece)
    return [each for each in found if each]


def _kind(clause: Sequence[Chunk]) -> str:
    said = {word for each in clause for word in each.text.lower().split()}
    return "down" if said & _DOWN else "along" if said & _ALONG else ""


def _place(clause: Sequence[Chunk], unit: str) -> tuple[str | None, list[str]]:
    """After which one the others of a clause stand, and their values."""
    behind = _AFTER.search(tags_of(clause))
    first = tags_of(clause)[: behind.start()].count(" ") if behind else -1
    at = first + 2 if behind and clause[first].text.lower() in ("after", "behind", "past") else -1
    values = []
    for number, piece in enumerate(clause):
        if piece.tag in _NUMBERS and number != at:
            values += [_worth(piece, unit)] * _how_many(clause, number)
        elif piece.tag not in (*_BREAKS, *_NUMBERS, "WNUM") and not _is_known(piece):
            raise NotToldSo
    return (_worth(clause[at], unit) if at >= 0 else None), values


def _how_many(clause: Sequence[Chunk], at: int) -> int:
    """``two of 5 uF``."""
    before = [each for each in clause[max(0, at - 2) : at] if each.tag != "OF"]
    return int(before[-1].datum) if before and before[-1].tag == "WNUM" else 1


def _is_known(piece: Chunk) -> bool:
    return all(each in _IDLE | _DOWN | _ALONG for each in piece.text.lower().split())


def _worth(piece: Chunk, unit: str) -> str:
    return str(piece.datum) if piece.tag == "CAPV" else f"{piece.datum} {unit}".strip()


def _tree(caps: Sequence[_Told]) -> PartTree:
    """The network. Errors: ``NotToldSo`` where something leads nowhere, or it is not clear where
    something goes down.
    """
    along = [each.worth for each in caps if not each.goes_down]
    rungs: list[list[str]] = [[] for _ in range(len(along) + 1)]
    reached = 0
    for each in caps:
        reached += not each.goes_down
        if each.after is not None and along.count(each.after) != 1:
            raise NotToldSo
        at = reached if each.after is None else along.index(each.after) + 1
        if each.goes_down:
            rungs[at].append(each.worth)
    if not along or not rungs[-1] or len(caps) > _MOST:
        raise NotToldSo
    tree = joined("||", rungs[-1])
    for worth, down in zip(reversed(along), reversed(rungs[:-1]), strict=True):
        row_of_it = joined("--", [worth, tree])
        tree = joined("||", [*down, row_of_it])
    return tree
