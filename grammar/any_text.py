"""Any text of a network: the strict notation first, and where that refuses, as people write it.

Whatever a text was, what comes out is the strict notation, so that all that follows reads one
language. A text that can be read in several ways is never decided here.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from grammar.reading import read_network
from grammar.records import ReadText, Refusal
from grammar.shown import with_few_blanks

_IN_WORDS: Final = "an?|one|two|three|four|five|six|seven|eight|nine|ten|twelve"
# Clauses that only the notation has: who writes one is answered in its terms.
_OF_THE_NOTATION = re.compile(
    r"(?i);\s*(?:then\s+)?(?:fill|fil|gap|join|put|remove|take\s+out|empty|wire)\b|;\s*C\d*\s*=\s*\?"
    r"|\bladder\s+of\s+(?:\(|series|[0-9.]+\s*[unp])"
    r"|(?:^|;)\s*(?:star|triangle|delta|cube|tetrahedron)\s+of\b"
    rf"(?!\s+(?:{_IN_WORDS})\b)"
    r"|(?m:^)\s*wire\s+from\b(?=.*;)|\blayers?\s+[0-9]|\bside\s+by\s+side\s+[0-9](?![0-9.]*\s*k?V)|(?:;|^|\bthen)\s*leakage\b"
)
# Words that only a sentence has.
_POINTS_BACK = re.compile(
    r"(?i)\b(?:with|across|to|put) (?:them|all of|these|this|that|the (?:two|result|lot))\b"
)
# What is refused for its sign alone, or for the one point that it names twice: any other reader
# would pass that over.
_NOT_OTHERWISE: Final = re.compile(r"\b(?:less than|below) zero\b|^Both points are\b")
# A word said more than eight times in a row says no more than once; C may be a list of values.
_OVER_AND_OVER: Final = re.compile(r"(?i)\b((?!C\b)[^\W\d_]+)(?:[ \t]+\1\b){8,}")
# C = 4 pi e0 k ab/(b - a), Q = CV: letters alone, among them some that no list of capacitors has.
_A_FORMULA: Final = re.compile(
    r"\s*[CQVUEW]\w?\s*=(?=.*(?:pi\b|π|\b(?i:eps)|ε|\be0\b|\bCV|[CV]\s?[²^]|[A-Z]\s?/\s?[a-z]))"
    r"(?:\s|[-+*/^().·×²½√π]|pi\b|(?i:eps(?:ilon)?)_?\w?\b|ε_?\w?|[A-Za-z]{1,2}_?\d?\b"
    r"|\d(?![\d.]|\s?[pnuµμmkM]?[FVΩ]\b))+"
)
_NO_VALUES: Final = (
    "That is a formula and has no values.",
    "Give the values, as in plates 200 cm2 gap 1 mm, spheres radii 5 cm and 8 cm, or 4 uF -- 3 uF.",
)
_LETTERS_OF_CHOICE = "abcdefgh"
MOST_OFFERED = 4


class Readings(NamedTuple):
    """All the ways to read a text.

    ``is_strict`` says that it was in the notation as it stands, ``is_unsure`` that the ways are
    guesses, the likeliest first. ``notes`` say what was supposed or left out; ``beyond`` what the
    text has that the program does not take up, the ways being those of the rest. ``refusal`` is
    what the notation says of a text that tries it.
    """

    ways: tuple[ReadText, ...]
    is_strict: bool = False
    notes: tuple[str, ...] = ()
    beyond: str = ""
    refusal: Refusal | None = None
    is_unsure: bool = False


def readings_of(text: str) -> Readings:
    """The ways to read a text; the lenient reading is loaded only where the strict one refuses.

    Errors: ``Refusal`` where neither makes anything of it.
    """
    try:
        return Readings((ReadText(text, read_network(text)),), is_strict=True)
    except Refusal as refusal:
        if put_in_order := _with_then(text):
            return Readings((put_in_order,))
        if _NOT_OTHERWISE.search(refusal.found):
            raise
        if _OF_THE_NOTATION.search(text) and not _POINTS_BACK.search(text):
            raise
        if _A_FORMULA.fullmatch(text):
            raise Refusal(*_NO_VALUES) from None
        strict = refusal
    from grammar.lenient.prose import read_leniently
    from grammar.lenient.prose_bounds import NoNetworkTold

    text = _OVER_AND_OVER.sub(r"\1", with_few_blanks(text))
    try:
        found = read_leniently(text)
    except Refusal as refusal:
        if _looks_strict(text):
            raise strict from None
        guesses = None if isinstance(refusal, NoNetworkTold) else _guesses_at(text)
        if guesses is None:
            raise refusal from None
        return guesses
    if _drops_a_stage(text, found.ways):
        raise strict
    told = strict if _looks_strict(text) else None
    ways = found.ways if found.beyond else _with_a_second_opinion(text, found.ways)
    return Readings(ways[:MOST_OFFERED], notes=found.notes, beyond=found.beyond, refusal=told)


_THEN: Final = re.compile(r"(?i);\s*then\b")


def _with_then(text: str) -> ReadText | None:
    """A text that is in the notation once its doings begin with then; None for any other."""
    from grammar.stuck_further import DOINGS  # of texts that are refused, as those before it

    told = re.sub(rf"(?i);\s*(?=(?:{DOINGS})\b)", "; then ", text)
    if told == text:
        return None
    try:
        return ReadText(told, read_network(told))
    except Refusal:
        return None


def _drops_a_stage(text: str, ways: tuple[ReadText, ...]) -> bool:
    """Whether what is told before a ``; then`` is in the notation and has its supply, and what is
    done after it is no stage of some reading: it was passed over, or taken for one more capacitor.
    """
    told, *done = _THEN.split(text)
    try:
        before = read_network(told) if done and "?" not in text else None
    except Refusal:
        return False
    is_fed = before is not None and before.supply is not None
    return is_fed and any(not each.description.changes for each in ways)


def _with_a_second_opinion(text: str, ways: tuple[ReadText, ...]) -> tuple[ReadText, ...]:
    """The one way to read a text, and beside it what all its words speak for where that is joined
    otherwise: a reader that goes by single phrases may have passed one over.
    """
    from grammar.lenient.best_guess import guessed
    from grammar.lenient.nests_alike import joined_otherwise

    nest = ways[0].description.nest if len(ways) == 1 else None
    other = guessed(text) if nest is not None else None
    if nest is None or other is None or other.unused:
        return ways
    nests = [each.description.nest for each in other.ways]
    if all(each is not None and joined_otherwise(nest, each) for each in nests):
        return (*ways, *other.ways)
    return ways


def _guesses_at(text: str) -> Readings | None:
    """What a text may mean that nothing reads; None where nothing is likely."""
    from grammar.lenient.best_guess import guessed

    found = guessed(text)
    if found is None:
        return None
    return Readings(found.ways, notes=found.notes, is_unsure=True)


def sure_reading(text: str) -> ReadText:
    """What a text in the notation describes, for whoever cannot ask.

    Errors: ``Refusal`` for any other text, with the notation that would do where one can be made
    out.
    """
    found = readings_of(text)
    if found.is_strict:
        return found.ways[0]
    if len(found.ways) > 1 and found.refusal is not None:
        raise found.refusal
    if found.beyond:
        raise Refusal(
            found.beyond, f"The rest would be: {found.ways[0].text}" if found.ways else ""
        )
    if found.is_unsure:
        raise Refusal(
            "I am not sure how this is meant.", f"If you mean {found.ways[0].text}, write it so."
        )
    if len(found.ways) > 1:
        raise Refusal(in_two_ways(found), "Write the one you mean.")
    raise Refusal(
        "This is not written in the notation.", f"If you mean {found.ways[0].text}, write it so."
    )


def in_two_ways(found: Readings) -> str:
    """The readings of a text, each with its letter."""
    listed = "; ".join(
        f"{letter}) {way.text}" for letter, way in zip(_LETTERS_OF_CHOICE, found.ways, strict=False)
    )
    if found.is_unsure:
        return f"I am not sure of this. You may mean: {listed}."
    return (
        f"This can be read in {'two' if len(found.ways) == 2 else len(found.ways)} ways: {listed}."
    )


def said_back(found: Readings) -> str:
    """What was read, told before it is asked about: in the notation, so that it is learnt so."""
    told = "I am not sure of this, but you may mean" if found.is_unsure else "I read"
    return f"{told}: {found.ways[0].text}"


def choice_among(line: str, ways: int) -> int | None:
    """Which of so many lettered ways a line picks, counted from 0; None for any other line."""
    word = re.sub(
        r"(?i)^(?:option|reading|number|the|answer)\s+|[\s.)('\"]+", "", line.strip().lower()
    )
    places = ("first", "second", "third", "fourth")
    for index in range(ways):
        names = (_LETTERS_OF_CHOICE[index], str(index + 1), places[index], f"{places[index]}one")
        if word in names:
            return index
    return None


def _looks_strict(text: str) -> bool:
    """Whether a text tries the notation, so that its refusal says more than the other."""
    signs = re.search(r"--|\|\||[—–∥;=()]|\b(?:across|holding|ends)\b", text)
    words = re.findall(r"(?i)\b(?:an?|the|is|are|of|with|and|connected|joined|capacitors?)\b", text)
    return bool(signs) and len(words) < 4
