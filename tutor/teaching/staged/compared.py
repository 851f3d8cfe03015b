"""Whether two ratios are equal, said by what they come to: both are 2/3; 4/6 = 8/12; 0.5 and 2."""

from __future__ import annotations

import re
from fractions import Fraction

from grammar.answers import Measure, evaluate, read_claims
from grammar.records import Refusal
from grammar.spoken_numbers import in_figures
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.staged.story import Ask, Telling

_UNEQUAL = re.compile(
    r"(?i)≠|!=|=/=|<>|[<>]|\b(?:is|are|does|do)\s*(?:not|n['’]?t)\b|\bnot\b|\bunlike\b"
    r"|^\W*(?:no|nope|nah)\b|\b(?:no|nope|nah)\W*$|\bthan\b"
)
# One ratio worked out is not two compared: 2/8 is 0.25.
_WORKED_OUT = re.compile(
    r"(?i)^[^\d]*\d[\d.,]*\s*/\s*\d[\d.,]*\s*(?:=|is|equals|makes|comes\s+to)\s*(?:\d+[.,]\d+|\d+)?\W*$"
)
_A_RATIO = re.compile(r"\b\d+\s*/\s*0*[1-9]\d*\b")
_AROUND_RATIOS = frozenset((
    "and", "or", "so", "i", "get", "it", "is", "its", "they", "are", "ratio", "ratios", "one",
    "the", "other", "first", "second", "at", "on", "p", "r", "then", "we", "have", "here", "got",
))
_BETWEEN = re.compile(
    r"(?i)≠|!=|=/=|<>|[=<>,;]|\b(?:is|are|does|do)(?:\s*(?:not|n['’]?t))?(?:\s+equal)?(?:\s+to)?\b"
    r"|\b(?:and|vs\.?|versus|against|but|also|the\s+(?:other|same)|equals?|on|at)\b"
)
_ALIKE = re.compile(r"(?i)\b(?:both|each|either\s+side|the\s+same|too|as\s+well)\b")
_RATIO = re.compile(r"(?i)(?<=\d)\s*(?::|\bto\b)\s*(?=\d)")
_WORDS = re.compile(r"(?i)\b(?!C_?\d)[A-Za-zµ][a-z']+\b|[.!]\s*$")


def says_alike(telling: Telling, ask: Ask, line: str) -> bool | None:
    """Whether a line says that the two ratios which a question compares are equal, in values that
    are theirs; None for a line that does not say so.
    """
    network = telling.story.network
    if not ask.compared or network is None or _WORKED_OUT.match(line):
        return None
    size = {c.name: _plain(telling, c.value) for c in network.capacitors}
    if any(in_letters(value) for value in size.values()):
        return None
    line = _RATIO.sub("/", in_figures(line))
    said = [worth for piece in _BETWEEN.split(line) if (worth := _worth(piece, size)) is not None]
    if len(said) == 1 and _ALIKE.search(line):
        said *= 2
    (one, two), (three, four) = ([size[name] for name in pair] for pair in ask.compared)
    pairs = ((one / two, three / four), (two / one, four / three), (one * four, two * three),
             (one / three, two / four), (three / one, four / two))
    if len(said) != 2 or not any(_are(said, pair) for pair in pairs) or as_given(line):
        return None
    return not _UNEQUAL.search(line) and ("=" in line or close(*said))


def as_given(line: str) -> bool:
    """Whether a line writes two ratios of which neither is worked out, and says nothing of them."""
    line = _RATIO.sub("/", line)
    written = [re.sub(r"\s", "", each) for each in _A_RATIO.findall(line)]
    words = re.findall(r"[a-z]+|[=<>≠*×]", _A_RATIO.sub(" ", line).lower())
    return len(written) == 2 and _AROUND_RATIOS.issuperset(words) and not any(
        str(Fraction(each)) == each for each in written
    )


def _are(said: list[Value], pair: tuple[Value, Value]) -> bool:
    return all(map(close, said, pair)) or all(map(close, said, pair[::-1]))


def _plain(telling: Telling, value: Value) -> Value:
    return value / Fraction(10) ** telling.story.powers["capacitance"]


def _worth(piece: str, size: dict[str, Value]) -> Value | None:
    """What a piece of a line comes to, words around it left out."""
    text = re.sub(r"\s*[µnp]F\b", "", _WORDS.sub(" ", piece)).strip()
    if not text:
        return None
    try:
        (claim,) = read_claims(text, size)
        return evaluate(claim.sides[-1], {n: Measure(v, bare=True) for n, v in size.items()}).value
    except (Refusal, ValueError):
        return None
