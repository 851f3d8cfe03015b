"""The capacitors of a story of charging: who is told of, and what is put on whom."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from grammar.lenient.tokens import Chunk

_VALUES: Final = ("CAPV", "LC")
_HELD: Final = ("VOLT", "CHG")
_MOST: Final = 5  # capacitors
# Words between a value and what it belongs to.
_TO_A_NAME: Final = ("EQ", "OPEN", "OF", "IS", "COMMA", "COLON", "CAP")
_TO_A_VALUE: Final = ("OF", "COMMA", "OPEN", "CAPN", "EQ", "NAME", "WITH", "ONE", "CAP", "COLON")
_WHICH: Final = ("WORD", "UNCHARGED", "CHARGED", "OTHER", "SINGLE", "CAP", "OF", "EQUAL")
_ORDINALS: Mapping[str, int] = {
    "ORD1": 0, "FORMER": 0, "ORD2": 1, "ORD3": 2, "ORD4": 3, "ORDLAST": -1,
}  # fmt: skip
_EMPTY: Final = "uncharged"


class NoSuchStory(Exception):
    """A text that is no story of charging and joining, or not clear as one."""


class ChargedCap(NamedTuple):
    """One capacitor: ``begins`` is what is on it before any are joined, "" where that is not told;
    ``in_row`` is the p.d. across the row in which it was charged, "" for one charged by itself.
    """

    worth: str
    name: str = ""
    begins: str = ""
    in_row: str = ""


class ChargedCaps:
    """All of them so far. ``subject`` are those told of since something was put on somebody,
    ``way`` is how they are joined before that.
    """

    def __init__(self) -> None:
        self.all: list[ChargedCap] = []
        self.subject: list[int] = []
        self.old = 0  # so many were told of in sentences before
        self.way = ""
        self.are_arranged = False  # joined before anything was put on them
        self._are_empty = False
        self._ahead = ""

    def begin(self) -> None:
        """A sentence begins."""
        if self._ahead:
            raise NoSuchStory
        self.subject, self._are_empty, self.old = [], False, len(self.all)

    def told(self) -> list[ChargedCap]:
        """The capacitors with their names. Errors: ``NoSuchStory`` where one has nothing on it that
        was told.
        """
        named = [e._replace(name=e.name or f"C{at}") for at, e in enumerate(self.all, 1)]
        rows = [bool(each.in_row) for each in named]
        clash = len({each.name for each in named}) < len(named)
        if self._ahead or clash or any(rows) != all(rows):
            raise NoSuchStory
        if not all(each.begins or each.in_row for each in named):
            raise NoSuchStory
        return [each._replace(begins=each.begins.replace(_EMPTY, "")) for each in named]

    def hear(self, said: Sequence[Chunk], at: int) -> int:
        """Where it goes on after a piece that tells of capacitors, 0 where it does not."""
        tag = said[at].tag
        if tag == "NAME":
            return self._named(said, at)
        if tag in _VALUES:
            return self._value(said, at, "")
        if tag in _HELD:
            return self._put_on(said, at)
        if tag == "UNCHARGED" or is_nothing(said, at):
            return self._emptied(said, at)
        if tag in ("SER", "PAR"):
            self._say_way(tag)
        if tag in _ORDINALS or tag in ("ONE", "OTHER"):
            self._point(said, at)
        if tag in ("CAP", "ONE"):
            _refuse_one_without_value(said, at)
        return 0

    def _say_way(self, tag: str) -> None:
        if self.way not in ("", tag):
            raise NoSuchStory
        self.way = tag

    def _named(self, said: Sequence[Chunk], at: int) -> int:
        name = str(said[at].datum)
        known = [i for i, each in enumerate(self.all) if each.name == name]
        if known:
            self._mean(known[0])
            return at + 1
        value = at + 1
        while value < len(said) and said[value].tag in _TO_A_NAME:
            value += 1
        if value == len(said) or said[value].tag not in _VALUES:
            raise NoSuchStory
        return self._value(said, value, name)

    def _value(self, said: Sequence[Chunk], at: int, name: str) -> int:
        worth = str(said[at].datum)
        known = [i for i, each in enumerate(self.all) if each.worth == worth]
        lead = article(said, at)
        if not name and known and (lead == "THE" or (not lead and known[0] < self.old)):
            self._mention(known)
            return at + 1
        many = _how_many(said, at)
        if len(self.all) + many > _MOST or (many > 1 and name):
            raise NoSuchStory
        begins = _EMPTY if self._are_empty else self._ahead
        for _ in range(many):
            if not begins:
                self.subject.append(len(self.all))
            self.all.append(ChargedCap(worth, name, begins))
        self._ahead = ""
        return at + 1

    def _mention(self, known: list[int]) -> None:
        if len(known) > 1:
            raise NoSuchStory
        if self._are_empty and not self.all[known[0]].begins:
            self._set(known, _EMPTY)
        self._mean(known[0])

    def _mean(self, one: int) -> None:
        """It is told of; of several that were, it alone, where it is named once more: C1 and C2 are
        charged, C1 to 40 V.
        """
        self.subject = [one] if one in self.subject else [*self.subject, one]

    def open(self) -> list[int]:
        """Those on which nothing has been put: of the ones in hand, or else of all."""
        whom = self.subject or range(len(self.all))
        return [i for i in whom if not (self.all[i].begins or self.all[i].in_row)]

    def _put_on(self, said: Sequence[Chunk], at: int) -> int:
        helds, end = [str(said[at].datum)], at + 1
        while (more := _next_held(said, end)) is not None:
            helds.append(str(said[more].datum))
            end = more + 1
        whom = self.open()
        begins = [f"charged to {each}" for each in helds]
        if self.all and not whom and begins == [self.all[-1].begins]:
            return end  # the supply that did it
        if not whom and len(helds) == 1 and not self._ahead:
            self._ahead = begins[0]
        elif len(helds) == len(whom):
            for one, what in zip(whom, begins, strict=True):
                self._set([one], what)
        elif len(helds) == 1 and whom and (self.way or not self.are_arranged):
            self._set(whom, begins[0], row=helds[0] if self.way == "SER" else "")
        else:
            raise NoSuchStory
        self.subject, self.way = [], ""
        return end

    def _set(self, whom: Sequence[int], begins: str, row: str = "") -> None:
        if self.way == "SER" and not row:
            raise NoSuchStory
        for one in whom:
            self.all[one] = self.all[one]._replace(begins="" if row else begins, in_row=row)

    def _emptied(self, said: Sequence[Chunk], at: int) -> int:
        if _stands_before_a_value(said, at):
            self._are_empty = True
        elif whom := self.open():
            self._set(whom, _EMPTY)
            self.subject = []
        elif not any(each.begins == _EMPTY for each in self.all):
            raise NoSuchStory
        return at + 1

    def rest(self) -> None:
        """What is told next is told of others."""
        self.subject, self._are_empty = [], False

    def _point(self, said: Sequence[Chunk], at: int) -> None:
        """``the first``, ``one``, ``the other``."""
        tag, after = said[at].tag, said[at + 1].tag if at + 1 < len(said) else ""
        if tag in _ORDINALS:
            if article(said, at) == "THE" and _ORDINALS[tag] < len(self.all):
                self._mean(_ORDINALS[tag] % len(self.all))
        elif len(self.all) == 2 and after in ("IS", "TO", "HOLD", *_HELD, "CHARGED"):
            if tag == "ONE" and (not at or said[at - 1].tag in ("COMMA", "AND", "COLON")):
                self._mean(0)
            elif tag == "OTHER" and article(said, at) == "THE":
                self._mean(1)


def article(said: Sequence[Chunk], at: int) -> str:
    """``THE`` or ``A`` before a piece and the words that say which it is, "" for none."""
    at -= 1
    while at >= 0 and (said[at].tag in _WHICH or said[at].tag in _ORDINALS):
        if said[at].text.lower() == "another":
            return "A"
        at -= 1
    if at < 0:
        return ""
    tag = said[at].tag
    if tag in ("THE", "THIS", "THEIR"):
        return "THE"
    return "A" if tag in ("A", "WNUM") or said[at].text == "A" else ""


def _how_many(said: Sequence[Chunk], at: int) -> int:
    """How many of one value are told of. Errors: ``NoSuchStory`` where that is not clear."""
    before = at - 1
    while before >= 0 and said[before].tag in ("UNCHARGED", "CHARGED", "EQUAL", "WORD", "OTHER"):
        before -= 1
    if before < 0 or said[before].tag != "WNUM":
        return 1
    if [each.tag for each in said[at + 1 : at + 3]] in [
        [j, v] for j in ("AND", "COMMA") for v in _VALUES
    ]:
        raise NoSuchStory  # two 3 uF and 5 uF
    return int(said[before].datum)


def is_nothing(said: Sequence[Chunk], at: int) -> bool:
    """``a 3 uF nothing``."""
    before = said[at - 1].tag if at else ""
    return said[at].text.lower() == "nothing" and before in (*_VALUES, "CAP", "ONE", "IS", "HOLD")


def _next_held(said: Sequence[Chunk], at: int) -> int | None:
    while at < len(said) and said[at].tag in ("AND", "COMMA", "TO"):
        at += 1
    return at if at < len(said) and said[at].tag in _HELD else None


def _stands_before_a_value(said: Sequence[Chunk], at: int) -> bool:
    """Whether a word for empty stands before the capacitors that it is said of."""
    before = at - 1
    while before >= 0 and said[before].tag == "WORD":
        before -= 1
    leads = ("A", "WNUM", "OTHER", "THE", "SINGLE", "TO", "ACROSS", "WITH", *_ORDINALS)
    if before < 0 or not (said[before].tag in leads or said[before].text == "A"):
        return False
    after = at + 1
    while after < len(said) and said[after].tag in (*_TO_A_VALUE, "WORD", "A"):
        after += 1
    return after < len(said) and said[after].tag in _VALUES


def _refuse_one_without_value(said: Sequence[Chunk], at: int) -> None:
    """Errors: ``NoSuchStory`` for ``another capacitor`` of which no value is told."""
    if article(said, at) != "A" or said[at - 1].tag in (*_VALUES, "NAME"):
        return
    after = at + 1
    while after < len(said) and said[after].tag in _TO_A_VALUE and said[after].tag != "NAME":
        after += 1
    if after == len(said) or said[after].tag not in (*_VALUES, "NAME"):
        raise NoSuchStory
