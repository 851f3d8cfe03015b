"""What is said to a line that speaks of nothing in hand: a greeting, a sigh, a joke."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Final

from tutor.teaching.reading.lexicon import COMMON_WORDS
from tutor.teaching.reading.spoken_words import meanings_of, mended

# Concepts of which one word alone shows that the network is spoken of, and of which two do.
ON_THE_MATTER: Final = frozenset({
    "charge", "pd", "potential", "cap", "plate", "series", "parallel", "supply", "current", "gap",
    "cut", "neutral", "used", "split", "metal", "ground", "meter", "quantity",
})
NEAR_IT: Final = frozenset({
    "join", "same", "both", "way", "leave", "arrive", "else", "only", "end", "point", "equal",
    "near", "through", "between", "add", "opposite", "two", "keep", "move", "conserve", "neg",
})
_TONES: Mapping[str, str] = MappingProxyType({
    r"\b(?:hello|hi|hey|hiya|morning|good day|evening)\b": "Hello.",
    r"\b(?:thanks?|thank you|cheers|thx|ty|tysm|ta)\b": "You are welcome.",
    r"\b(?:hate|boring|bored|hard|tired|sleepy|hungry|starving|annoying|stupid"
    r"|ugh+|argh+|pf+t*|sigh|grr+|fed up"
    r"|difficult|frustrat\w+|sick of|headache|hopeless|impossible|sucks?|meh|boo)\b":
        "That is allowed; one small step is enough for now, and 'hint' makes it smaller.",
    r"\b(?:easy|cool|nice|great|finally|fun|yay|love|brilliant|awesome|wow|got it)\b": "Good.",
    r"\b(?:ha(?:ha)+|lol|lmao|rofl|hehe|joke|kidding)\b": "A laugh does no harm.",
    r"\b(?:sorry|oops|ouch|whoops|cat|dog|brother|sister|typo|wrong window)\b": "No harm done.",
})
_OF_DAYS_AND_PHONES = re.compile(
    r"(?i)\b\d+\s*(?:%|percent\b|per cent\b|o.?clock\b|[ap]m\b|minutes?\b|mins?\b|hours?\b"
    r"|years?\b|days?\b)|\b(?:lesson|page|question|exercise|chapter|class|year|grade|level|room"
    r"|problem|number)\s+\d+\b"
)
OF_A_JOKE: Final = 3
COMMON: Final = frozenset((*COMMON_WORDS.split(), "just", "onto", "into", "on", "in", "is", "am"))
PLAIN: Final = "That I cannot take as an answer, and nothing is lost by it."


def small_talk(line: str, names: Collection[str], otherwise: str = PLAIN) -> str | None:
    """A kind sentence to a line that says nothing of the network; None for one that does.

    ``otherwise`` is said to what has no tone that is known.
    """
    text = re.sub(r"(?i)\bp\.?\s?d\b\.?", "pd", re.sub(r"['’]", "", line))
    text = _OF_DAYS_AND_PHONES.sub(" ", text)
    is_named = any(re.search(rf"\b{re.escape(name)}\b", text) for name in names)
    if is_named or re.search(r"(?<![A-Za-z])\d|=|\b[CQVUEWcqvuew]_?\d", text):
        return None
    words = [mended(word) for word in re.findall(r"[a-zµ]+", text.lower())]
    tone = next((said for pattern, said in _TONES.items() if re.search(pattern, text.lower())), "")
    spoken = [w for w in words if len(w) > 1 and w not in COMMON]
    meanings = [meanings_of(word) for word in spoken]
    of_it = sum(bool(each & ON_THE_MATTER) for each in meanings)
    near_it = sum(bool(each & NEAR_IT) for each in meanings)
    # A joke may hold a word of the trade: the only thing charged here is my phone.
    is_aside = bool(tone) and of_it + near_it < OF_A_JOKE and (
        len([each for each in meanings if not each]) > of_it + near_it
    )
    if (of_it or near_it > 1) and not is_aside:
        return None
    if tone or not words or len(words) > 1:
        return tone or otherwise or None
    return None
