"""Lists of answers, one of them right: shuffled, lettered, each wrong one with its reply."""

from __future__ import annotations

from collections.abc import Iterable
from random import Random
from typing import NamedTuple

from tutor.circuit.network import Network
from tutor.teaching.messages import About
from tutor.teaching.speech import sentence
from tutor.teaching.staged.choosing import LETTERS
from tutor.teaching.staged.story import Ask, Option

MOST_ENTRIES = 4


class Entry(NamedTuple):
    """One entry of a list. ``reply`` says why a wrong one cannot be; the right one has none.

    ``words`` may be typed for it beside its letter.
    """

    text: str
    reply: str = ""
    malrules: tuple[str, ...] = ()
    words: tuple[str, ...] = ()

    @property
    def is_right(self) -> bool:
        """Whether it is the answer."""
        return not self.reply


class MenuWords(NamedTuple):
    """The words around a list: the question, the reason of the right answer, and the hints."""

    key: str
    about: About
    question: str
    because: str
    hints: tuple[str, ...]
    skills: tuple[str, ...]


def lettered(
    chance: Random, wording: MenuWords, entries: Iterable[Entry], network: Network | None = None
) -> Ask:
    """The question with its entries in a chance order, a) to d)."""
    shuffled = list(entries)
    chance.shuffle(shuffled)
    lines = [f"{LETTERS[at]}) {entry.text}" for at, entry in enumerate(shuffled)]
    options = tuple(
        Option((LETTERS[at], *entry.words), entry.is_right, entry.reply, entry.malrules)
        for at, entry in enumerate(shuffled)
    )
    right = next(at for at, entry in enumerate(shuffled) if entry.is_right)
    return Ask(
        wording.key, wording.about, "\n".join([wording.question, *lines]),
        f"{lines[right]}{_stop(shuffled[right].text)}\n{sentence(wording.because)}",
        sentence(wording.because), options=options, hints=wording.hints, skills=wording.skills,
        network=network,
    )


def few(chance: Random, right: Entry, wrong: Iterable[Entry]) -> list[Entry]:
    """The right entry with up to three wrong ones; of several with one text the first counts."""
    kept = {entry.text: entry for entry in reversed([right, *wrong])}
    others = [entry for entry in kept.values() if entry is not right]
    others.reverse()
    named = [entry for entry in others if entry.malrules]
    rest = [entry for entry in others if not entry.malrules]
    chance.shuffle(named)
    chance.shuffle(rest)
    return [right, *(named + rest)[: MOST_ENTRIES - 1]]


def _stop(text: str) -> str:
    return "" if text.endswith(".") else "."
