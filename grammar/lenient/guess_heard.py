"""What is heard of the capacitors of a text, in its order: themselves, and between them the words
that may say how they are joined, that point back, and that begin a part.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.guess_records import (
    NOTHING,
    OF_A_PART,
    PARALLEL,
    PARTS,
    SERIES,
    WAYS,
    CapacitorsTold,
    NothingHeard,
    WordHeard,
    number_of,
)
from grammar.lenient.guess_stock import (
    ValueTold,
    pieces_told,
    refuse_what_is_beyond,
    stock_of,
    values_in,
    with_letters_named,
)
from grammar.lenient.phrases_told import names_in
from grammar.lenient.tokens import Chunk, scan

_IN_LINE: Final = frozenset(words("chain chains string strings row rows line lines column"))
_TO: Final = frozenset(words("WITH TO BY OF"))
_MEMBERS: Final = frozenset(words("OF COLON"))
_ALWAYS_TO: Final = frozenset(words("ACROSS SERSIGN PARSIGN NEXTTO PARBY"))


def heard_in(plain: str, unit: str) -> tuple[CapacitorsTold, list[WordHeard]]:
    """The capacitors of a text made plain, and what is heard of them.

    Errors: ``NothingHeard`` where one has no value, or there is none.
    """
    pieces = with_letters_named(scan(plain), names_in(plain))
    refuse_what_is_beyond(pieces)
    pieces = pieces_told(pieces)
    values = values_in(pieces, unit)
    stock, at = stock_of(values, pieces)
    return stock, list(_Hearing(pieces, stock, values, at).all())


class _Hearing:
    """A walk through the pieces; what has been told of by now decides what the others are."""

    def __init__(
        self,
        pieces: Sequence[Chunk],
        stock: CapacitorsTold,
        values: Sequence[ValueTold],
        whom: Mapping[int, tuple[int, ...]],
    ) -> None:
        self.pieces = pieces
        self.stock = stock
        self.begins = {value.start: value for value in values}
        self.whom = whom
        self.told: set[int] = set()
        self.joined = False
        self.branched = ""

    def all(self) -> Iterator[WordHeard]:
        """All that is heard."""
        at = 0
        while at < len(self.pieces):
            heard, at = self._next(at)
            if heard is not None:
                yield heard

    def _next(self, at: int) -> tuple[WordHeard | None, int]:
        piece = self.pieces[at]
        for attempt in (self._value, self._name, self._by_order, self._part, self._way, self._back):
            found = attempt(at)
            if found is not None:
                return found
        if piece.tag == "PAIROF":
            return WordHeard("noun", piece.text), at + 1
        kind = _BREAKS.get(piece.tag, "")
        if kind:
            return WordHeard(kind, piece.text), at + 1
        if piece.tag in ("NUM", "NUMS", "JUNK") and any(e.isdigit() for e in piece.text):
            raise NothingHeard  # a number of which nobody knows what it counts
        if piece.tag == "WNUM" and number_of(piece) > 1 and self._tag(at + 1) == "WORD":
            raise NothingHeard  # two big ones
        return (WordHeard("word", piece.text) if piece.tag == "WORD" else None), at + 1

    def _tag(self, at: int) -> str:
        return self.pieces[at].tag if 0 <= at < len(self.pieces) else ""

    def _value(self, at: int) -> tuple[WordHeard, int] | None:
        value = self.begins.get(at)
        if value is None:
            return None
        opened = "OPEN" in {each.tag for each in self.pieces[at : value.at]}
        end = value.at + 1 + (opened and self._tag(value.at + 1) == "CLOSE")
        heard, end = self._some(self.whom[value.at], at, end)
        return heard._replace(form="given" if value.name else ""), end

    def _some(self, who: tuple[int, ...], at: int, end: int) -> tuple[WordHeard, int]:
        self.told.update(who)
        text = " ".join(each.text for each in self.pieces[at:end])
        return WordHeard("some", text, who, many=len(who)), end

    def _name(self, at: int) -> tuple[WordHeard, int] | None:
        piece = self.pieces[at]
        if piece.tag != "NAME":
            return None
        if str(piece.datum) not in self.stock.names:
            raise NothingHeard
        return self._some((self.stock.names.index(str(piece.datum)),), at, at + 1)

    def _by_order(self, at: int) -> tuple[WordHeard, int] | None:
        """``the first two``, ``two of them``, ``the other two``: picked out of what is there."""
        piece, size = self.pieces[at], len(self.stock.worths)
        after = self.pieces[at + 1] if at + 1 < len(self.pieces) else NOTHING
        if after.tag in PARTS | _NO_CAPACITORS or after.text.lower() in _PART_WORDS:
            return None
        if {*range(at + 1, at + 4)} & {*self.begins} and self._tag(at + 1) in _LEADS_TO_A_VALUE:
            return None
        if at + 1 in self.begins:
            return None
        many = number_of(after) if after.tag in ("WNUM", "NUM") else 0
        if piece.tag in _ORDINALS and (
            self._tag(at - 1) == "THE"
            or (self._tag(at - 1) == "AND" and self._tag(at - 2) in _ORDINALS)
            or (self.joined and self._tag(at + 1) == "ONE" and self._tag(at - 1) in _ENDS)
        ):
            place = size - 1 if piece.tag == "ORDLAST" else int(piece.tag[3:]) - 1
            first = place - max(many, 1) + 1 if piece.tag == "ORDLAST" else place
            who = tuple(range(max(first, 0), first + max(many, 1)))
            if place >= size or not who or who[-1] >= size:
                return None
            return self._picked(who, at, at + 1 + bool(many))
        if piece.tag == "OTHER" and self._tag(at - 1) == "THE":
            left = self._untold()
            if left and many in (0, len(left)):
                return self._picked(left, at, at + 1 + bool(many))
        if piece.tag == "EQUAL" and self._tag(at + 1) == "ONE":
            worths = self.stock.worths
            alike = tuple(i for i, each in enumerate(worths) if worths.count(each) > 1)
            return self._picked(alike, at, at + 2) if alike else None
        many = number_of(piece) if piece.tag in ("WNUM", "NUM", "ONE") else 0
        of_them = self._tag(at + 1) == "OF" and self._tag(at + 2) in ("THEM", "WHICH", "THIS")
        if piece.tag == "ONE" and of_them and not self._are_alike():
            return self._picked(self._one_of_the_alike(), at, at + 3)
        bare = piece.tag == "WNUM" and after.tag in ("IS", "IN", "JOIN", *WAYS)
        if many and (of_them or bare or after.tag == "OTHER") and self._are_alike():
            left = self._untold()[:many]
            if len(left) == many and size > many:
                return self._picked(left, at, at + (3 if of_them else 1 if bare else 2))
        return None

    def _one_of_the_alike(self) -> tuple[int, ...]:
        """One of those that were told of with one value: which of them makes no difference.

        Errors: ``NothingHeard`` where they differ.
        """
        worths = [self.stock.worths[i] for i in sorted(self.told)]
        if not worths or len(set(worths)) > 1:
            raise NothingHeard
        return (min(self.told),)

    def _untold(self) -> tuple[int, ...]:
        return tuple(i for i in range(len(self.stock.worths)) if i not in self._spoken_of())

    def _spoken_of(self) -> set[int]:
        """Who has been told of; a list of all before anything is said of them does not count."""
        all_of_them = set(range(len(self.stock.worths)))
        return set() if not self.joined and self.told == all_of_them else self.told

    def _are_alike(self) -> bool:
        return len(set(self.stock.worths)) == 1

    def _picked(self, who: tuple[int, ...], at: int, end: int) -> tuple[WordHeard, int]:
        self.told = self._spoken_of()
        self.joined = True
        return self._some(who, at, end)

    def _part(self, at: int) -> tuple[WordHeard, int] | None:
        """A branch or a group as it is named: one of several, or several at once."""
        end = at
        if self._tag(at) in PARTS and self._tag(at + 1) == "NUM" and self._tag(at + 2) == "COLON":
            self.branched = "branch" if self._tag(at) == "BRANCH" else "group"
            return WordHeard("part", self.pieces[at].text, form=self.branched), at + 3
        if self._tag(at) == "ONE" and self.branched and self._tag(at + 1) in _OF_ITS_OWN:
            return WordHeard("part", "one", form=self.branched), at + 1
        while self._tag(end) in OF_A_PART | _BEFORE_A_PART and end < at + 4:
            if end in self.begins or self.pieces[end].text.lower() in _PART_WORDS:
                break
            end += 1
        if end > at and self._tag(end) == "WORD" and self._names_a_part(end + 1):
            end += 1  # a smaller box
        noun = self.pieces[end] if end < len(self.pieces) else NOTHING
        if noun.text.lower() in _SINGLE_THINGS:
            return None
        lead = self.pieces[at:end]
        if not self._names_a_part(end):
            tags = {each.tag for each in lead}
            is_short = (
                tags & OF_A_PART and tags & {"THE", *_ORDINALS} and self.branched and noun.tag
            )
            return (WordHeard("part", _text(lead), form=self.branched), end) if is_short else None
        form = "branch" if noun.tag == "BRANCH" or noun.text.lower() in _ROADS else "group"
        heard = self._part_named(lead, noun, form)
        if heard is not None and heard.kind in ("part", "parts"):
            self.branched = form
        return (heard, end + 1) if heard is not None else self._noun(at, end, form)

    def _part_named(self, lead: Sequence[Chunk], noun: Chunk, form: str) -> WordHeard | None:
        """One of several parts, or several at once, by what stands before the noun."""
        tags = {each.tag for each in lead}
        text = _text((*lead, noun))
        many = max(map(number_of, lead), default=0)
        word = noun.text.lower()
        is_plural = word.endswith("s") and not word.endswith("ss") and many != 1
        if is_plural and not tags & _ORDINALS:
            return WordHeard("parts", text, many=many, form=form)
        is_one = form == "branch" and word not in _IN_LINE and tags & {"A", "EACH"}
        return WordHeard("part", text, form=form) if tags & OF_A_PART or is_one else None

    def _noun(self, at: int, end: int, form: str) -> tuple[WordHeard, int] | None:
        """A chain of some; a group of which nothing is known yet; the box told of before."""
        lead, noun = self.pieces[at:end], self.pieces[end]
        tags = {each.tag for each in lead}
        word, text = noun.text.lower(), _text((*lead, noun))
        if word in _IN_LINE:
            is_made = "A" in tags and self._tag(at - 1) not in ("JOIN", "IN", "IS")
            return WordHeard(
                "way", text, way=SERIES, form="of" if is_made else self._form(end)
            ), end + 1
        if tags & {"THE", "THIS"} and word in _PART_WORDS:
            return WordHeard("back", text), end + 1
        is_announced = at > 0 and self.pieces[at - 1].text.lower() == "following"
        is_joined = self._tag(at - 1) in ("WITH", "OF", "SERALL", *WAYS)
        is_new = "A" in tags or is_joined or is_announced
        if is_new and not tags & {"THE", "THIS", "BOTH"} and word not in _NO_NOUNS:
            return WordHeard("noun", text, many=number_of(noun), form=form), end + 1
        return None

    def _names_a_part(self, at: int) -> bool:
        noun = self.pieces[at] if at < len(self.pieces) else NOTHING
        return noun.tag in PARTS or noun.text.lower() in _PART_WORDS

    def _form(self, at: int) -> str:
        """What follows a word of joining: what it is joined to, or its members."""
        piece, after = self.pieces[at], self._tag(at + 1)
        if piece.tag in _ALWAYS_TO:
            return "to"
        if after in _TO - {"OF"} or piece.text.lower() in ("front", "infront", "ahead"):
            return "to"
        further = self._tag(at + 2)
        is_of = after in (*_MEMBERS, "GROUP", "PAIROF", "BRANCH")
        is_made_of = after == "JOIN" and "OF" in (further, self._tag(at + 3) * (further == "JOIN"))
        return "of" if is_of or is_made_of else ""

    def _way(self, at: int) -> tuple[WordHeard, int] | None:
        piece = self.pieces[at]
        tags = tuple(self._tag(i) for i in range(at, at + 3))
        if {*tags[1:]} & _SUPPLIED or (piece.tag == "ACROSS" and {*tags[1:]} & _NO_CAPACITORS):
            return None
        if piece.text.lower() == "over" and any(e.text.startswith("col") for e in self.pieces):
            raise NothingHeard  # above it, in a column, or across it
        found = self._way_of_several(at, tags)
        if found is not None:
            return self._joint(*found)
        way = WAYS.get(piece.tag) or WAYS.get(piece.text.lower(), "")
        if piece.tag == "SERSIGN" and tags[1] in ("CEQ", "SYM"):
            return None  # -> Ceq
        together = 1 + tags.index("TOGETHER") if "TOGETHER" in tags else 0
        if way and together and {*tags[1:together]} <= {"WITH", "TO", "TOGETHER"}:
            return self._joint(WordHeard("way", piece.text, way=way), at + together)
        if way:
            form = "to" if piece.tag == "THEN" else self._form(at)
            end = at + 1 + (form == "to" and tags[1] in _TO)
            return self._joint(WordHeard("way", piece.text, way=way, form=form), end)
        if piece.tag == "THEN" and tags[1] not in ("", "STOP"):
            return WordHeard("way", piece.text, way=SERIES, form="weak"), at + 1
        return None

    def _way_of_several(self, at: int, tags: Sequence[str]) -> tuple[WordHeard, int] | None:
        """What takes several words to say, or depends on those beside it."""
        piece, word = self.pieces[at], self.pieces[at].text.lower()
        ends = {self._tag(at - 1), tags[1]}
        if (*tags,) == ("ONE", "THEN", "OTHER"):
            return WordHeard("way", "one after another", way=SERIES), at + 3
        leaves_a_point = piece.tag == "POINT" and {*tags[1:]} & {"IF", "WHICH", "FROM"}
        if piece.tag == "SPLITS" or leaves_a_point:
            return WordHeard("fork", word, way=PARALLEL), at + 1
        if piece.tag == "DASH" and ends <= {"CAPV", "NAME", "LC"}:
            return WordHeard("way", word, way=SERIES, form="to"), at + 1
        if word.startswith("next to ") and piece.tag == "THEN":
            return WordHeard("way", word, way=PARALLEL, form="it"), at + 1
        if word == "next" and tags[1] == "TO":
            return WordHeard("way", "next to", way=PARALLEL, form="to"), at + 2
        if piece.tag == "SERALL":
            many = max(number_of(Chunk("", each, 0)) for each in word.split())
            return WordHeard("way", word, way=SERIES, many=many, form="it"), at + 1
        if word == "next" and piece.tag == "THEN":
            return WordHeard("way", word, way=SERIES, form="weak"), at + 1
        if piece.tag == "JOIN" and word.startswith("follow") and self._tag(at - 1) != "THE":
            return WordHeard("way", word, way=SERIES, form="to"), at + 1
        if piece.tag == "JOIN" and tags[1] in ("TO", "ON") and word[:4] in ("lead", "cont"):
            return WordHeard("way", word, way=SERIES, form="weak"), at + 2
        return None

    def _joint(self, heard: WordHeard, end: int) -> tuple[WordHeard, int]:
        self.joined = True
        return heard, end

    def _back(self, at: int) -> tuple[WordHeard, int] | None:
        """``them``, ``the two of them``, ``both``, ``this pair``, ``the whole``."""
        end = at
        if self.pieces[at].text.lower() == "that":
            if self._tag(at + 1) in ("ONE", "GROUP"):
                return WordHeard("back", "that one"), at + 2
            after, before = self._tag(at + 1), self._tag(at - 1)
            if after in ("IN", "SER", "PAR") and before in _BEFORE_THAT:
                return WordHeard("back", "that"), at + 1
            if before in _TO | {"ACROSS", "THEN"} and after in _ENDS:
                return WordHeard("back", "that"), at + 1
        while self._tag(end) in _POINTING and end not in self.begins:
            end += 1
        row = self.pieces[at:end]
        if row and row[0].tag in ("GROUP", "OF", "WNUM", "NUM", "PAIROF"):
            return None
        if end in self.begins or not row or not {e.tag for e in row} & _POINTS_BACK:
            is_number = len(row) > 1 and row[0].tag == "THE" and number_of(row[1]) > 1
            if end in self.begins or not is_number:
                return None
        many = max((number_of(e) or 2 * (e.tag == "PAIROF") for e in row), default=0)
        text = " ".join(each.text for each in row)
        if row[-1].tag == "GROUP" and self._tag(end) in ("FROM", "COLON"):
            return WordHeard("noun", text, many=many), end + 1
        return WordHeard("back", text, many=many if many > 1 else 0), end


def _text(pieces: Sequence[Chunk]) -> str:
    return " ".join(each.text for each in pieces)


_OF_ITS_OWN: Final = frozenset(words("OF WITH HOLD COLON IS"))
_LEADS_TO_A_VALUE: Final = frozenset(words("OF A IS COMMA COLON WITH CAP"))
_ORDINALS: Final = frozenset(words("ORD1 ORD2 ORD3 ORD4 ORD5 ORDLAST"))
_NO_CAPACITORS: Final = frozenset(
    words("TERMINAL SOURCE POINT LETTER PLATE OFSIDE VOLT CORNERS POINTS BOTTOM TOP")
)
_BEFORE_A_PART: Final = frozenset(words("THE A EACH WNUM NUM BOTH THIS EQUAL SINGLE"))
_NO_NOUNS: Final = frozenset(words("lots lot hand ones half side"))
_SINGLE_THINGS: Final = frozenset(words("unit units"))
_SUPPLIED: Final = frozenset(("SOURCE",))
_ROADS: Final = frozenset(words("hand hands road roads wing wings"))
_PART_WORDS: Final = _ROADS | frozenset(words("half halves side lots lot box boxes"))
_ENDS: Final = frozenset(("", "STOP", "COMMA", "AND", "QUERY"))
_BEFORE_THAT: Final = frozenset(words("THEN AND COMMA ALL WORD"))
_POINTING: Final = frozenset(
    words("THE THIS ALL BOTH WHOLE OF THEM GROUP WNUM NUM PAIROF TOGETHER")
)
_POINTS_BACK: Final = frozenset(words("THIS ALL BOTH WHOLE THEM GROUP PAIROF TOGETHER"))
_BREAKS: Final[Mapping[str, str]] = {
    "AND": "and", "PLUS": "and", "WITH": "with", "COMMA": "comma", "COLON": "comma",
    "WHICH": "which", "STOP": "stop", "QUERY": "stop", "OPEN": "open", "CLOSE": "close",
}  # fmt: skip
