"""What a guess at a network goes by: the words for it, and the records of what is heard."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.tokens import Chunk

SERIES: Final = "--"
PARALLEL: Final = "||"


class WordHeard(NamedTuple):
    """One thing heard.

    ``kind``: ``some`` for capacitors (``who``, by their place), ``way`` for words of joining,
    ``back`` for words that point back, ``part`` for what begins a branch or a group, ``parts`` for
    several of them, ``and``, ``comma``, ``which`` and ``stop`` for what parts them, ``open`` and
    ``close`` around what a noun stands for. ``many`` is how many are meant, 0 for any number.
    ``form`` of a way: ``to`` where what is joined to follows, ``of`` where its members follow,
    ``weak`` where it may only be the order of telling; of a part: whether it is a branch.
    """

    kind: str
    text: str
    who: tuple[int, ...] = ()
    way: str = ""
    many: int = 0
    form: str = ""


class CapacitorsTold(NamedTuple):
    """The capacitors of a text: of each its name, "" for none, and its worth."""

    names: tuple[str, ...]
    worths: tuple[str, ...]

    def written(self, index: int) -> str:
        """One as it is written in the notation."""
        name = self.names[index]
        return f"{name} = {self.worths[index]}" if name else self.worths[index]


class NothingHeard(Exception):
    """The text has something that a guess cannot go by."""


# Words that say how two are joined, by their concept or by themselves.
WAYS: Final[Mapping[str, str]] = {
    **dict.fromkeys(words("SER SERSIGN SEROF SERWITH SERALL DIVIDER"), SERIES),
    **dict.fromkeys(words("PAR PAROF PARSIGN PARBY PARWITH NEXTTO SAMEPOINTS ACROSS"), PARALLEL),
    **dict.fromkeys(words("behind follows after before front infront ahead"), SERIES),
    **dict.fromkeys(words("next nxt besides besde aside near parallelled paralleled"), PARALLEL),
}
PARTS: Final = frozenset(("BRANCH", "GROUP"))
OF_A_PART: Final = frozenset(words("ORD1 ORD2 ORD3 ORD4 ORDLAST TOP BOTTOM SIDE OTHER ONE MIDDLE"))
_NUMBERS: Final[Mapping[str, int]] = {
    "two": 2, "both": 2, "three": 3, "four": 4, "five": 5, "six": 6, "pair": 2, "couple": 2,
    "duo": 2, "trio": 3, "one": 1, "2": 2, "3": 3, "4": 4, "5": 5, "6": 6,
}  # fmt: skip
NOTHING: Final = Chunk("", "", 0)


def number_of(piece: Chunk) -> int:
    """The number that a piece says, 0 for none."""
    return _NUMBERS.get(piece.text.lower().strip(), 0)
