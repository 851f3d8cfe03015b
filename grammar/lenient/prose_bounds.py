"""How much is read as prose, so that how long it takes is known beforehand: of some 7,000 texts
that people wrote none has a third of these words or of those with a digit, half of these sentences,
a fifth of these characters, or more than a quarter of these tries.
"""

from __future__ import annotations

import re
from typing import Final

from grammar.records import Refusal

LONGEST: Final = 2_000  # characters
MOST_WORDS: Final = 300  # words and signs
MOST_NUMBERS: Final = 70  # words with a digit
MOST_SENTENCES: Final = 35  # and lines
LONGEST_WORD: Final = 60  # characters
MOST_TRIED: Final = 1_000  # sentences and groups, each in all ways to take those before it
_WORD_OR_SIGN: Final = re.compile(r"\w+|[^\w\s]")
_DIGIT: Final = re.compile(r"\d")
_SENTENCE_END: Final = re.compile(r"[\n;]|[.?!](?!\S)")


class NoNetworkTold(Refusal):
    """What is no text of a network at all, whatever it may be, or none that is gone on with."""


def refuse_what_is_too_long(text: str) -> None:
    """Errors: ``Refusal`` for what is longer than anybody writes."""
    if len(text) > LONGEST or _has_too_many(text):
        raise NoNetworkTold("This is too long to be read as prose.", "Write it in the notation.")
    if any(len(word) > LONGEST_WORD for word in _WORD_OR_SIGN.findall(text)):
        raise NoNetworkTold("This has a word too long to be one.", "Write it like 4 uF -- 2 uF.")


def _has_too_many(text: str) -> bool:
    """Whether it has more words, numbers or sentences than are read."""
    all_words = _WORD_OR_SIGN.findall(text)
    numbers = [word for word in all_words if _DIGIT.search(word)]
    sentences = [each for each in _SENTENCE_END.split(text) if each.strip()]
    return (
        len(all_words) > MOST_WORDS
        or len(numbers) > MOST_NUMBERS
        or len(sentences) > MOST_SENTENCES
    )


class Tries:
    """What has been tried of one text so far, in all that it may be read as: one count for all of
    them, since a text of which little makes sense is read again without this or that.
    """

    def __init__(self) -> None:
        self.number = 0

    def count(self) -> None:
        """One more. Errors: ``Refusal`` where that is more than any writer needs."""
        self.number += 1
        if self.number > MOST_TRIED:
            raise NoNetworkTold(
                "This can be taken in too many ways.",
                "Say it with brackets, as in 4 uF -- (2 uF || 3 uF).",
            )
