"""How long the prose of a lesson is: what is read on a screen is best kept short."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from grammar.records import Place, Refusal
from tutor.practice.lesson_places import LessonText
from tutor.practice.lessons import Prose

MOST_WORDS: Final = 120  # of one part, which fills a screen of 24 lines at 40 columns; our choice
LONGEST_SENTENCE: Final = 30
_END: Final = re.compile(r"(?<=[.?:])[\"')]*\s+(?=[A-Z0-9\"'(])|(?<=\?)\s+")
_QUOTED: Final = 4


def about_prose(prose: Prose, text: str) -> Iterator[Refusal]:
    """A warning for a part of the lesson that is too long, and for each sentence that is."""
    words = sum(len(words_of(line)) for line in prose.lines)
    if words > MOST_WORDS:
        yield Refusal(
            f"There are {words} words before the next task.",
            f"Keep to {MOST_WORDS}, or part them by a task.",
            prose.place,
        )
    source = LessonText(text)
    for line, at in zip(prose.lines, prose.at, strict=True):
        for sentence in _END.split(line):
            number = len(words_of(sentence))
            if number > LONGEST_SENTENCE:
                yield Refusal(
                    f"The sentence has {number} words.",
                    f"Part it: {LONGEST_SENTENCE} words are enough for one.",
                    _place(source, sentence, at),
                )


def words_of(text: str) -> list[str]:
    """The words of a line; a number with its unit, a sign and a mark of a list are none."""
    return re.findall(r"[^\W\d_][\w'’.]*", text)


def _place(source: LessonText, sentence: str, at: int) -> Place:
    """Where the sentence begins, as far as its first words can be found in the source."""
    first = " ".join(sentence.split()[:_QUOTED])
    offset = source.text.find(first, source.start_of(at))
    return source.at(offset) if offset >= 0 else source.at_line(at)
