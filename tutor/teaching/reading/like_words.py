"""Whether a reason says what one sentence of the tutor's says, in like words.

Words alone are weak evidence: they count only where nearly all that a reason affirms and denies
stands in one sentence that states something, and nothing in it goes the other way.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from tutor.teaching.reading.spoken_words import COMMON, INTERJECTIONS, meanings_of, stem

_WORD = re.compile(r"[a-zε]\w*|\d+(?:\.\d+)?")
_DENIES = frozenset((
    "no", "not", "nothing", "none", "never", "nowhere", "cannot", "without", "neither", "nor",
))
_TELLING = ("work", "change", "changes")  # of which reasons are made
_EMPTY = frozenset((
    *(word for word in COMMON if word not in _TELLING), *INTERJECTIONS,
    "be", "is", "are", "was", "has", "have", "had", "do", "does", "in", "on",
    "for", "as", "so", "because", "since", "comes", "come", "goes", "go", "gets", "get", "stands",
    "everything", "all", "both", "each", "them", "they", "itself", "only", "just",
))
_LARGER = frozenset(("larger", "bigger", "more", "rises", "most", "largest", "biggest", "higher"))
_SMALLER = frozenset((
    "smaller", "less", "lower", "lowest", "below", "falls", "drops", "least", "smallest",
))
_LIKE: tuple[frozenset[str], ...] = tuple(map(frozenset, (
    tuple(_LARGER), tuple(_SMALLER),
    ("sign", "signs", "crossed", "plus", "minus", "positive", "negative", "opposite", "unlike"),
    ("same", "one", "alike", "equal", "stays", "constant", "fixed", "settled", "unchanged",
     "identical"),
    ("fill", "filling", "filled", "material", "dielectric", "epsilon", "permittivity"),
    ("bare", "empty", "uncharged", "zero", "nought"),
    ("endless", "infinite", "forever", "end"), ("across", "between", "over"),
)))
_STRONG: frozenset[str] = frozenset((
    "charge", "pd", "potential", "supply", "cut", "series", "parallel", "plate", "gap", "neutral",
    "add", "same", "conserve", "current", "equal",
))
_MOST_OF_IT = 0.6
_SENTENCE_ENDS = re.compile(r"(?<=[.!?;:])\s+|\n")
_PD = re.compile(r"\bp\.\s?d\.?")
# What a reason speaks of must be what the sentence speaks of.
_MATTERS = frozenset((
    "charge", "pd", "potential", "supply", "current", "gap", "near", "leak", "size",
))


def says_alike(ground: str, told: Iterable[str], least: int) -> bool:
    """Whether a reason says, in what it affirms and denies, mostly what a sentence of the texts
    says too, in at least so many words where all are affirmed; questions state nothing.
    """
    said = _statements(ground)
    if not said or (len(said) < least and all(affirmed for affirmed, _ in said)):
        return False
    return any(
        _agrees(said, _statements(each)) for text in told
        for each in _SENTENCE_ENDS.split(_PD.sub("pd", text)) if not each.rstrip().endswith("?")
    )


def _agrees(said: list[tuple[bool, str]], known: list[tuple[bool, str]]) -> bool:
    met: list[tuple[bool, str]] = []
    missed: list[tuple[bool, str]] = []
    left = [*known]
    for each in dict.fromkeys(said):  # a word of the sentence meets one: more for more is two
        found = next((other for other in left if _is_met(each, other)), None)
        (missed if found is None else met).append(each)
        if found is not None:
            left.remove(found)
    against = any(_is_met((not each[0], each[1]), other) for each in missed for other in known)
    in_words = any(not re.search(r"\d", word) for _, word in met)  # and not in names alone
    return in_words and not against and not _is_beyond(missed) and (
        len(met) >= max(1, _MOST_OF_IT * (len(met) + len(missed)))
    )


def _is_beyond(missed: list[tuple[bool, str]]) -> bool:
    """Whether something is said to be more, or less, or a matter is spoken of, of which the
    sentence says no such thing.
    """
    return any(
        word in _LARGER | _SMALLER | _HOW_MUCH or meanings_of(word) & _MATTERS or word.isdigit()
        for _, word in missed
    )


# A chain always comes out above, the second is half of the first: more than like words.
_HOW_MUCH = frozenset((
    "always", "never", "every", "above", "under", "half", "twice", "double", "third", "first",
    "second", "last", "equal", "add", "adds", "sum",
))


def _statements(text: str) -> list[tuple[bool, str]]:
    """The words of a text that carry something, each affirmed or denied."""
    found: list[tuple[bool, str]] = []
    affirmed = True
    text = re.sub(r"['’]s\b", "", re.sub(r"n['’]t\b", " not", text.lower()))
    text = re.sub(r"\b(\w+(?:er|est)|the|this|that)\s+one\b", r"\1", text)
    for word in _WORD.findall(_PD.sub("pd", text)):
        if word in _DENIES:
            affirmed = False
        elif word not in _EMPTY and (len(word) > 1 or word.isdigit()):
            found.append((affirmed, word))
            affirmed = True
    return found if affirmed else [*found, (False, "")]  # it does nothing


def _is_met(said: tuple[bool, str], told: tuple[bool, str]) -> bool:
    """Whether one word says what the other does, both affirmed or both denied."""
    one, other = said[1], told[1]
    if said[0] is not told[0]:
        return False
    return one == other or stem(one) == stem(other) or any(
        {one, other} <= group for group in _LIKE
    ) or bool(meanings_of(one) & meanings_of(other) & _STRONG)
