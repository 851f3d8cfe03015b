"""Networks told as one walks through them: first this, then it splits, one way …, the other ….

Where a text tells of a fork, its branches are put together here, however deep they go, and the
sentences that tell of them are written in signs; all else of the text is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from grammar.lenient.trees_in_signs import NotToldSo, PartTree, in_signs, joined
from grammar.lenient.way_words import WayWord, way_words
from grammar.lenient.ways_each import with_each_told

ASKS: Final = re.compile(
    r"(?i)\?|\b(?:find|show that|calculate|determine|what|how (?:much|many|big|large)|wanted|want"
    r"|charge(?! (?:an?|it|them|another) )"
    r"|energy|total|work out|(?<![0-9] )(?<![0-9])(?:volts|V) on|[qe](?= (?:on|of|in"
    r"|for)\b))\b(?! ?=)"
)
_VOLTS: Final = re.compile(r"(?i)[0-9.][0-9.,]* ?(?:kV|mV|V|volts?)\b")
_IN_A_WORD: Final = r"(?:\.(?=[0-9])|(?<=\b[a-z])\.(?=[a-z]\b)|(?<=\.[a-z])\.(?= (?:[a-z]|V\b)))"
SENTENCE: Final = re.compile(rf"[^.;?!\n]*(?:{_IN_A_WORD}[^.;?!\n]*)*[.;?!\n]?")
_BREAKS: Final = ("THEN", "THENBY", "SERWITH", "STOP")


def with_ways_told(text: str, unit: str) -> str:
    """The text made plain with what it tells of forks and branches in signs.

    ``unit`` is that of numbers that have none, "" where the text has no unit.
    """
    sentences = [each for each in SENTENCE.findall(with_each_told(text)) if each.strip()]
    words = [way_words(each, unit) for each in sentences]
    told = [i for i, each in enumerate(words) if _tells(each) and not ASKS.search(sentences[i])]
    if not told or not _forks([w for i in told for w in words[i]]):
        return text
    first, last = told[0], told[-1]
    try:
        going = [w for i in range(first, last + 1) if _goes_on(words[i]) for w in words[i]]
        signs = in_signs(tree_of(going))
    except NotToldSo:
        return text
    rest = [left_over(each) for each in (*sentences[:first], *sentences[last + 1 :])]
    volts = [w.text for i in range(first, last + 1) for w in words[i] if w.kind == "VOLT"]
    return "\n".join((signs, *(supply_of(each) for each in volts), *rest))


def tree_of(words: Sequence[WayWord]) -> PartTree:
    """What words put together on one way. Errors: ``NotToldSo`` where they do not fit."""
    return _Walk(words).whole()


def _tells(words: Sequence[WayWord]) -> bool:
    kinds = {each.kind for each in words}
    return bool(kinds & {"VALUE", "FORK"}) and ("VALUE" in kinds or "VOLT" not in kinds)


def _goes_on(words: Sequence[WayWord]) -> bool:
    """Whether a sentence tells of the network, or of where its branches meet."""
    return _tells(words) or any(each.kind in ("MEET", "MEETALL") for each in words)


def _forks(words: Sequence[WayWord]) -> bool:
    kinds = [each.kind for each in words]
    values = kinds.count("VALUE")
    heads = kinds.count("HEAD") + kinds.count("TAIL")
    split = any(each.kind == "FORK" and not each.held for each in words)
    nouns = sum(each.kind == "HEAD" and bool(each.held) for each in words)
    if "FORK" not in kinds:
        return nouns > 1 and values > 2
    return values > 1 and (heads > 1 or (split and values > 2))


def left_over(sentence: str) -> str:
    """A sentence beside the network: of one that only gives the supply, what it gives."""
    volts = _VOLTS.findall(sentence)
    if len(volts) == 1 and not ASKS.search(sentence) and not re.search(r"[0-9] ?[unp]F", sentence):
        part = re.search(r"(?i)\b(?:across|on) (?:the )?(?:[0-9]|C_?\w\b)", sentence)
        return (
            sentence
            if part and not _VOLTS.search(sentence[part.start() :])
            else supply_of(volts[0])
        )
    return sentence if volts or ASKS.search(sentence) or "=" in sentence else ""


def supply_of(told: str) -> str:
    """A sentence with the p.d. that a text gives, "" where it gives none."""
    volts = _VOLTS.search(told)
    return f"supply of {volts[0]}." if volts else ""


class _Walk:
    """The words from the first part of the network to the last, while they are put together."""

    def __init__(self, words: Sequence[WayWord]) -> None:
        if any(each.kind == "WRONG" for each in words):
            raise NotToldSo
        told = [each for each in words if each.kind not in ("VOLT", "BACK", "ASIDE")]
        self.words = [
            each
            for i, each in enumerate(told)
            if each.kind != "TAIL" or (i and told[i - 1].kind == "VALUE")
        ]
        self.at = 0
        self.inside = 0  # so many branches deep
        self.began = 0  # where the branches of the innermost fork begin

    def kind(self, ahead: int = 0) -> str:
        """The kind of the next word, "" at the end."""
        place = self.at + ahead
        return self.words[place].kind if place < len(self.words) else ""

    def whole(self) -> PartTree:
        """All of it. Errors: ``NotToldSo`` where something is left over."""
        tree = self.path()
        while self.kind() in ("MEET", "MEETALL", *_BREAKS, "AND", "COMMA"):
            self.at += 1
        if self.kind():
            raise NotToldSo
        return tree

    def path(self) -> PartTree:
        """What stands one after the other, up to the end of a branch."""
        row = _Row()
        start = self.at
        while (kind := self.kind()) and kind not in ("MEETALL", "TAIL"):
            if kind == "MEET" and (self.inside or row.is_begun):
                break
            if kind == "THENBY" and self.inside and not self._leads_on(start):
                break
            word = self.words[self.at]
            if kind == "HEAD" and self.inside:
                break
            if kind == "STOP" and self.inside and self._is_over(row):
                break
            self.at += kind != "HEAD"
            if kind in ("FORK", "HEAD"):
                row.go_on()
                row.take(self.fork(word.many))
                row.go_on()
            else:
                row.hear(word)
        return row.tree()

    def _leads_on(self, start: int) -> bool:
        """Whether a branch goes on that began at a word: what has come so far is one by one."""
        return any(each.kind == "THEN" for each in self.words[start : self.at])

    def _is_over(self, row: _Row) -> bool:
        """Whether branches that one sentence told of are over: the next begins with after that."""
        told = [each for each in self.words[self.began : self.at] if each.kind in ("STOP", "HEAD")]
        in_one = not any(each.text == "." for each in told)
        heads = sum(each.kind == "HEAD" for each in told)
        return self.kind(1) == "THEN" and row.is_begun and in_one and heads > 1

    def _has_tails(self) -> bool:
        """Whether values are said of branches that are told right after them: 5 one way and 25 the
        other.
        """
        second = 2 + (self.kind(2) in ("AND", "COMMA"))
        ends = ("HEAD", "TAIL")
        told = self.kind(1) in ends and self.kind(second + 1) in ends
        told = told and self.kind() == self.kind(second) == "VALUE"
        return told and self.kind(second + 2) != "VALUE"

    def fork(self, many: int) -> PartTree:
        """The branches after a fork, ``many`` of them where that is said."""
        while self.kind() in ("STOP", "COMMA", "AND", "THEN", "MEET", "PAR"):
            self.at += 1
        branches: list[PartTree] = []
        if self.kind() == "HEAD":
            self.inside += 1
            self.began = self.at
            while self.kind() == "HEAD" and len(branches) < (many or 4):
                self.at += 1
                branches.append(self.path())
            self.inside -= 1
        elif self._has_tails():
            branches = self._with_tails()
        else:
            branches = self._listed(many)
        if len(branches) < 2 or (many and len(branches) != many):
            raise NotToldSo
        if self.kind() in ("MEET", "THENBY"):
            self.at += 1
        return joined("||", branches)

    def _with_tails(self) -> list[PartTree]:
        found: list[PartTree] = []
        while self.kind() == "VALUE" and self.kind(1) in ("HEAD", "TAIL"):
            found.append(self.words[self.at].held)
            self.at += 2
            self.at += self.kind() in ("COMMA", "AND")
        return found

    def _listed(self, many: int) -> list[PartTree]:
        """``it splits two ways, 1 uF and 3 uF``."""
        found: list[PartTree] = []
        while self.kind() in ("VALUE", "AND", "COMMA"):
            word = self.words[self.at]
            if word.kind == "VALUE":
                found += [word.held] * word.many
            self.at += 1
            if many and len(found) == many:
                break
        while self.kind() in ("COMMA", "AND", "THEN") and self.kind(1) == "MEET":
            self.at += 1
        return found


class _Row:
    """Parts told one after the other; those since the last break can still be said to be joined
    in another way.
    """

    def __init__(self) -> None:
        self.done: list[PartTree] = []
        self.current: list[PartTree] = []
        self.beside: list[PartTree] = []
        self.opened = ""
        self.since = ""

    def hear(self, word: WayWord) -> None:
        """Take one word. Errors: ``NotToldSo`` where it could be said of more than one thing."""
        if word.kind == "VALUE":
            worth = [word.held] * word.many
            self.current += [joined(word.sign, worth)] if word.sign else worth
        elif word.kind == "PAIR":
            self.opened = "||" if word.held == "parallel" else "--"
            if self.current and not self.beside:
                self.go_on()
        elif word.kind in ("SER", "PAR"):
            self._said_of_all("--" if word.kind == "SER" else "||")
        elif word.kind == "PARWITH":
            self._beside(word)
        elif word.kind in _BREAKS:
            if not (self.opened and not self.current):
                self.go_on()
            self.since = word.kind

    @property
    def is_begun(self) -> bool:
        """Whether anything has been told of it."""
        return bool(self.done or self.current)

    def take(self, tree: PartTree) -> None:
        """One part more."""
        self.current.append(tree)

    def _said_of_all(self, sign: str) -> None:
        if len(self.current) > 1:
            self.current = [joined(sign, self.current)]
            self.opened = ""

    def _beside(self, word: WayWord) -> None:
        if len(self.current) != 1 or self.beside or (self.since == "SERWITH" and not word.held):
            raise NotToldSo
        self.beside, self.current = self.current, []

    def go_on(self) -> None:
        """What was said so far stands; what follows comes after it."""
        if self.opened and len(self.current) > 1:
            self.current = [joined(self.opened, self.current)]
        if self.beside and self.current:
            self.current = [joined("||", [*self.beside, *self.current])]
            self.beside = []
        self.done += self.current
        self.current, self.opened, self.since = [], "", ""

    def tree(self) -> PartTree:
        """All that was told, in series. Errors: ``NotToldSo`` where that is nothing."""
        self.go_on()
        if not self.done or self.beside:
            raise NotToldSo
        return joined("--", self.done)
