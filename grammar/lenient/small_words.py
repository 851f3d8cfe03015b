"""How phrases are related: each run of small words between two of them becomes one sense.

``is then connected in series with``, ``straight across`` and ``, and these are wired in parallel``
are runs; what counts is which way is told, whether a preposition points at the next phrase, and
whether a group is announced. Words without a sense of their own are passed by.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.mentions import Ref
from grammar.lenient.patterns import phrases, rewritten, text_of
from grammar.lenient.tokens import Chunk

_IN_A_RUN: Final = frozenset(
    words(
        "SER PAR IS JOIN IN A THE WITH TO ACROSS ON OF BY FROM BETWEEN TOGETHER BOTH ALL GROUP "
        "THEIR AT SO OTHER DET LIKEPL CROSSED EACH HOLD ABOUT SAMEPOINTS FOR TERMINAL OFF TAKE OR "
        "WIRE PLATE ORD1 ORD2 ORD3 ORD4 ORD5 ORDLAST"
    )
)
_CAPACITORS: Final = frozenset(words("ITEM REF SEROF PAROF GROUPOF OPEN"))
_NAMES_SOME: Final = _CAPACITORS.union(("EVENT",))
_POINTS_ON: Final = ("WITH", "TO", "ACROSS", "ON", "BY")
_THROUGH: Final = ("through", "thru", "via")
_ONE_END: Final = ("ONE", "TERMINAL")
_BESIDE: Final = ("beside", "alongside", "next to")
_OPENS_A_GROUP: Final = ("OF", "BETWEEN", "FROM")
_WAYS: Final = ("SER", "PAR")
_DETS: Final = frozenset(words("A THE DET OTHER ORD1 ORD2 ORD3 ORD4 ORD5 ORDLAST"))
_AFTER: Final = frozenset(
    ("after", "behind", "past", "before", "following", "ahead of", "in front of")
)
_AT_THE_END: Final = "(?=\\b(?:STOP|QUERY|COMMA|SUPPLY|WISHV) |$)"


class _Run(NamedTuple):
    """Small words between two phrases, and what stands on both sides."""

    pieces: tuple[Chunk, ...]
    before: str
    after: str

    def has(self, *tags: str) -> bool:
        return any(each.tag in tags for each in self.pieces)

    @property
    def points_on(self) -> bool:
        """Whether it ends with a preposition of what follows."""
        last = next((each for each in reversed(self.pieces) if each.tag not in _DETS), None)
        if last is None or self.after not in _NAMES_SOME:
            return False
        if self.has("WHICH"):
            return True  # in series with which is
        if last.text.lower() in _THROUGH:
            return False
        of_an_end = last.tag == "OF" and self.has("TERMINAL")
        return last.tag in _POINTS_ON or of_an_end or last.text.lower() in _BESIDE

    @property
    def is_a_wire(self) -> bool:
        return "PLACE" in (self.before, self.after) and any(
            each.text.lower() in ("wire", "wires") for each in self.pieces
        )

    def senses(self) -> list[Chunk]:
        """The run as one piece, or two where it tells of two joints; none where it says nothing."""
        told = [at for at, each in enumerate(self.pieces) if each.tag in _WAYS]
        ways = {self.pieces[at].tag for at in told}
        apart = bool(told) and (told[-1] - told[0] > 1 or self.points_on)
        if len(ways) == 2 and not self.has("OR") and apart:
            return self._in_two(told[0])
        if self.is_at_the_ends and not ways:
            first = self.pieces[0]
            return [first._replace(tag="PARWITH"), first._replace(tag="REF", datum=Ref("them"))]
        tag = "NEXTTO" if len(ways) == 2 else self._joint(next(iter(ways), ""))
        if tag is None:
            return []
        main = "main" if tag.endswith("WITH") and self.has("IS") else ""
        return [Chunk(tag, text_of(self.pieces), self.pieces[0].start, main)]

    def _in_two(self, first: int) -> list[Chunk]:
        """``in series with the parallel of``, ``in series are in parallel with``: one, then the
        other.
        """
        cut = next(
            (i for i, e in enumerate(self.pieces) if i > first and e.tag in ("IS", "JOIN")), 0
        )
        cut = cut or first + 1 + (self.pieces[first + 1].tag in _POINTS_ON)
        rest = self._replace(pieces=self.pieces[cut:], before=self.pieces[first].tag).senses()
        after = rest[0].tag if rest and self.pieces[cut - 1].tag in _POINTS_ON else ""
        return [*self._replace(pieces=self.pieces[:cut], after=after).senses(), *rest]

    def _joint(self, way: str) -> str | None:
        if way:
            return self._of_a_way(way)
        if self.has("LIKEPL", "CROSSED"):
            return "JOINED"
        if self.is_a_wire:
            return "WIRE"
        if self.points_on and self.has("ACROSS"):
            return "PARWITH"
        if self.points_on and self._is_onto_one_end():
            return "SERWITH"
        if self.has("JOIN", "TOGETHER"):
            return self._of_a_verb()
        if self.points_on and self.has("TO", "ON") and self.before in ("ITEM", "REF"):
            return "JOINTO"
        return "WITH" if self.points_on and self.has("WITH") else None

    def _of_a_way(self, way: str) -> str:
        if self.points_on:
            return f"{way}WITH"
        announces = self.has("A", "THE", "DET", "OTHER") and self.has("GROUP")
        opens = self.pieces[-1].tag in _OPENS_A_GROUP or self.pieces[-1].tag == "COLON"
        opens = opens or (announces and not self.has("IS", "IN"))
        if self.after in _NAMES_SOME and (opens or self.after == "OPEN"):
            return f"{way}OF"
        return way

    @property
    def is_at_the_ends(self) -> bool:
        """Across the ends: of what was spoken of last."""
        across = self.has("ACROSS", "BETWEEN") and self.has("TERMINAL")
        return across and self.before == "ITEM" and not self.points_on

    def _feeds(self) -> bool:
        return any(each.text.lower() in ("fed", "feed", "feeds") for each in self.pieces)

    def _is_onto_one_end(self) -> bool:
        ends = [each.text.lower() for each in self.pieces if each.tag == "TERMINAL"]
        return self.has("TO", "ON") and bool(ends) and not ends[0].endswith("s")

    def _of_a_verb(self) -> str | None:
        if self.points_on and self.before not in ("", "STOP"):
            return "JOINTO"
        if self.after in _CAPACITORS and self.pieces[-1].tag == "BY" and self._feeds():
            return "SERWITH"
        if self.has("TOGETHER"):
            return "JOINED"
        orders = self.before in ("", "STOP") and self.pieces[0].tag == "JOIN"
        return "JOINOF" if orders and self.after in _NAMES_SOME else None


def with_relations(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every run of small words as the one sense that it has."""
    pieces = rewritten(pieces, _MEETING_AGAIN)
    found: list[Chunk] = []
    at = 0
    while at < len(pieces):
        end = _end_of_run(pieces, at)
        if pieces[at].tag == "COLON" and found and found[-1].tag == "THEN":
            at += 1
            continue
        if end == at:
            found += _forked(found, pieces, at) or _in_order(found, pieces, at)
            at += 1
            continue
        after = pieces[end].tag if end < len(pieces) else ""
        senses = _Run(tuple(pieces[at:end]), found[-1].tag if found else "", after).senses()
        if senses and senses[0].tag == "JOINTO" and found[-1].tag == "THEN":
            found.pop()
        found += senses
        at = end + (after == "LETTER" and pieces[end - 1].tag in ("FROM", "TO", "AT", "ON"))
    return _pointing_back(rewritten(found, _TOLD_TWICE))


def _pointing_back(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``8 and 24 in series, 6 across 24``: what something is joined to may have been named, and
    joined, in a clause before.
    """
    found: list[Chunk] = []
    joined: set[str] = set()
    told: set[str] = set()
    for piece in pieces:
        before = found[-1].tag if found else ""
        if piece.tag in ("COMMA", "AND", "THEN") and before != "ITEM":
            joined |= told
        elif piece.tag == "ITEM":
            is_object = before in ("SERWITH", "PARWITH") and piece.datum.how == ""
            again = is_object and joined.issuperset(piece.datum.worths)
            told.update(piece.datum.worths)
            found.append(_once_more(piece) if again else piece)
            continue
        found.append(piece)
    return found


def _end_of_run(pieces: Sequence[Chunk], at: int) -> int:
    """Where the run of small words ends that begins here; a heading's colon is its last."""
    end = at
    tags = [each.tag for each in pieces]
    while end < len(pieces) and (tags[end] in _IN_A_RUN or tuple(tags[end : end + 2]) == _ONE_END):
        end += 1
        relative = tags[end : end + 1] == ["WHICH"] and tags[end - 1] in ("WITH", "TO", "ACROSS")
        end += relative
    heads = any(each.tag in _WAYS for each in pieces[at:end])
    following = [each.tag for each in pieces[end : end + 2]]
    return end + (heads and following[:1] == ["COLON"] and following[-1] in _NAMES_SOME)


def _once_more(piece: Chunk) -> Chunk:
    return piece._replace(datum=piece.datum._replace(how="again"))


def _forked(before: Sequence[Chunk], pieces: Sequence[Chunk], at: int) -> list[Chunk]:
    """Where the wire forks: what follows is in parallel, and in series with what was before."""
    if pieces[at].tag == "APPLY" and before and before[-1].tag in ("ITEM", "REF"):
        following = pieces[at + 1].tag if at + 1 < len(pieces) else ""
        return [pieces[at]._replace(tag="SERWITH")] if following in ("ITEM", "REF") else []
    if pieces[at].tag != "SPLITS":
        return []
    goes_on = pieces[at]._replace(tag="THEN")
    going_on = [] if not before or before[-1].tag == "THEN" else [goes_on]
    following = pieces[at + 1].tag if at + 1 < len(pieces) else ""
    return [*going_on, *([goes_on._replace(tag="PAROF")] if following == "ITEM" else [])]


def _in_order(before: Sequence[Chunk], pieces: Sequence[Chunk], at: int) -> list[Chunk]:
    """After and behind with what they point at: in series with it."""
    following = [each.tag for each in pieces[at + 1 : at + 3]]
    told = pieces[at].tag == "THEN" and pieces[at].text.lower() in _AFTER
    ends = following[:1] in ([], ["COMMA"], ["SUPPLY"])
    if told and ends and before and before[-1].tag in ("ITEM", "SER") and not _asks(pieces):
        series = pieces[at]._replace(tag="SERWITH")
        return [series, series._replace(tag="REF", datum=Ref("them"))]
    told = told and following[:1] != [] and following[0] in _CAPACITORS
    tag = "SERWITH" if told and "EVENT" not in following else pieces[at].tag
    return [pieces[at]._replace(tag=tag)]


def _asks(pieces: Sequence[Chunk]) -> bool:
    return any(each.tag in ("WISHV", "QUERY") for each in pieces)


def _meeting(inside: Sequence[Chunk]) -> list[Chunk] | None:
    return [] if any(e.tag == "REF" and e.datum.kind == "them" for e in inside) else None


# Then they join: said of branches, and nothing new.
_MEETING_AGAIN: Final = phrases(
    ("(JOIN | TO | A)* POINT (FROM? WHICH) (?=REF )", "1:THEN"),
    ("(COMMA | AND | THEN)* REF JOIN TOGETHER? (?=\\b(?:AND|COMMA|STOP) |$)", _meeting),
)  # fmt: skip
# In series, and then in parallel, asked of both; a joint that is told twice.
_TOLD_TWICE: Final = phrases(
    (f"SER (AND | OR | COMMA)* THEN? PAR {_AT_THE_END}", "1:NEXTTO"),
    (f"PAR (AND | OR | COMMA)* THEN? SER {_AT_THE_END}", "1:NEXTTO"),
    ("THEN SER (?=(ITEM|REF|PAROF|OPEN) )", "1"),
    ("(SER | PAR | JOINED) ((COMMA | AND | WITH)* JOINED)+", "1"),
)  # fmt: skip
