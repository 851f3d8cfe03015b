"""A line as words: misspellings mended, stems looked up, names of the network known as such."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from tutor.circuit.network import Network
from tutor.teaching.reading.lexicon import (
    COMMON_WORDS,
    CONCEPTS,
    CONTRACTIONS,
    PHRASES,
    SPELT_WORDS,
)

SHORTEST_MENDED = 5
TWO_SLIPS_FROM = 8  # in a shorter word two slips may make any other: better is no battery
COMMON = frozenset(COMMON_WORDS.split())
SPELT = frozenset(SPELT_WORDS.split())
# Words that add nothing to what is said.
INTERJECTIONS = frozenset((
    "let", "me", "use", "calculator",
    "lol", "haha", "hehe", "tbh", "pls", "plz", "please", "ok", "okay", "btw", "yay", "hm", "hmm",
    "um", "uh", "er", "ah", "oh", "innit", "mate", "sir", "miss", "obvs", "obviously", "easy",
    "sry",
    "done", "phew", "yes", "yeah", "yep", "ish", "sorry", "thanks", "thx", "ta", "amount", "now",
))


class Spoken(NamedTuple):
    """One word: as it was written, what it stands for, and the point or capacitor it names."""

    text: str
    means: frozenset[str] = frozenset()
    point: str | None = None
    capacitor: str | None = None

    def is_a(self, *concepts: str) -> bool:
        """Whether it stands for one of these."""
        return any(concept in self.means for concept in concepts)


MEANINGS: Mapping[str, frozenset[str]] = MappingProxyType({
    stem: frozenset(concept for concept, every in CONCEPTS.items() if stem in every.split())
    for stems in CONCEPTS.values() for stem in stems.split()
})
_PHRASES = re.compile(
    r"\b(?:" + "|".join(sorted(map(re.escape, PHRASES), key=len, reverse=True)) + r")\b"
)
# Nothing is at P but C1 and C2: no other sentence begins there.
_BUT_THESE = re.compile(
    r"(?i)\b((?:nothing|none|nobody|no\s+(?:one|other|third|more))\b[^,;:.!?]*?)"
    r"\s(?:but|bar|save|other\s+than|aside\s+from|apart\s+from)(?=\s(?:for\s)?(?:c_?\d|the|these|those|them))"
)
_TOKEN = re.compile(r"[+\-−–±][\s]?[qQ]\b|[A-Za-zµΔ][\w']*|\d+(?:\.\d+)?|[,;.:!?()]")


def words_in(line: str, network: Network) -> tuple[Spoken, ...]:
    """The words of a line in order; marks that end a clause are words too."""
    names = _Names.of(network)
    mended = _in_full(line)
    tokens = _TOKEN.findall(mended)
    found = []
    for at, token in enumerate(tokens):
        if token in ",;.:!?()":
            found.append(Spoken(token))
            continue
        around = (tokens[at - 1] if at else "", tokens[at + 1] if at + 1 < len(tokens) else "")
        found.append(_word(token, around, names))
    return tuple(found)


class _Names(NamedTuple):
    points: Mapping[str, str]
    capacitors: Mapping[str, str]
    values: Mapping[str, str]

    @staticmethod
    def of(network: Network) -> _Names:
        points: dict[str, str] = {}
        for point in network.points():
            points.setdefault(point.lower(), point)
            points[point] = point
        capacitors: dict[str, str] = {}
        for c in network.capacitors:
            capacitors.setdefault(c.name.lower(), c.name)
        return _Names(points, capacitors, _by_value(network))


def _by_value(network: Network) -> Mapping[str, str]:
    """Capacitors by the figures of their values, in whatever prefix, where only one has them."""
    found: dict[str, list[str]] = {}
    for c in network.capacitors:
        if times := re.fullmatch(r"(\d+)\*C", str(c.value)):  # the 9C
            found.setdefault(times[1], []).append(c.name)
        if isinstance(c.value, Fraction):
            for power in (12, 9, 6, 3, 0):
                inside = c.value * Fraction(10) ** power
                if 1 <= inside < 1000 and (inside * 1000).denominator == 1:
                    found.setdefault(f"{float(inside):g}", []).append(c.name)
    return {figures: names[0] for figures, names in found.items() if len(names) == 1}


def _in_full(line: str) -> str:
    """Contractions written out and set phrases made one word; names keep their capitals."""
    text = re.sub(r"^\s*u(?=\s*(?:[,;:.!]|$|(?:because|since|as|cos|bc)\b))", "U", line)
    text = re.sub(r"\s[-–—]\s", ", ", re.sub(r"[’`]", "'", text))
    text = re.sub(r"\bp\.\s?d\.?(?=\W|$|s\b)", "pd", text, flags=re.IGNORECASE)
    text = re.sub(r"(?i)n't\b", " not", text.replace("can't", "can not"))
    text = re.sub(r"(?i)\b(it|that|there|nothing|what|who|this)'s\b", r"\1 is", text)
    text = re.sub(r"(?i)'re\b", " are", text)
    text = re.sub(r"'\w*", "", text)
    text = re.sub(r"\|\||∥", " parallel ", text)
    text = _BUT_THESE.sub(r"\1 except", text.replace("_", ""))
    text = re.sub(r"[A-Za-z]+", _written_out, text)
    flat = re.sub(r"[ \t]+", " ", text)
    lowered = flat.lower()
    pieces, done = [], 0
    for found in _PHRASES.finditer(lowered):
        if found[0] == "p d" and flat[found.start() : found.end()] == "P D":
            continue  # two points
        pieces += [flat[done : found.start()], PHRASES[found[0]]]
        done = found.end()
    return "".join([*pieces, flat[done:]])


def _written_out(word: re.Match[str]) -> str:
    """A contraction in full, a misspelling mended; a capital U is the p.d. in many books."""
    return word[0] if word[0] == "U" else CONTRACTIONS.get(word[0].lower()) or mended(word[0])


def _word(token: str, around: tuple[str, str], names: _Names) -> Spoken:
    lower = token.lower()
    if lower in names.capacitors:
        return Spoken(token, frozenset(("cap",)), capacitor=names.capacitors[lower])
    if token in names.values and around[0].lower() == "the":
        return Spoken(token, frozenset(("cap",)), capacitor=names.values[token])
    if _is_point(token, around, names):
        return Spoken(token, frozenset(("point",)), point=names.points.get(token) or
                    names.points[lower])
    if re.fullmatch(r"[+\-−–±]\s?[qQ]", token):
        return Spoken(token, frozenset(("charge", "opposite")))
    if lower in ("insulator", "insulators", "insulating"):
        return Spoken(token, frozenset(("gap",)))
    if lower == "left":
        return Spoken(lower, _left(*(each.lower() for each in around)))
    return Spoken(lower, meanings_of(lower))


def _left(before: str, behind: str) -> frozenset[str]:
    """A side, what remains, or gone from somewhere."""
    if before in ("is", "are", "be", "remains", "has") or behind == "over":
        return frozenset(("rest", "portion"))
    if before in ("the", "both", "their", "on", "all", "each", "at", "to", "my") or behind in (
        "plate", "plates", "side", "sides", "end", "ends", "one", "ones", "hand", "foil",
        "terminal", "leg", "legs", "lead", "leads", "pin", "pins", "wire", "wires",
    ):
        return frozenset(("end", "plural" if behind in ("sides", "ends") else "end"))
    return frozenset(("leave", "move", "inout"))


_PLACES = frozenset((
    "at", "point", "node", "junction", "from", "to", "between", "and", "&", ",", "join", "joins",
    "through", "via", "both", "points", "with", "of", "or", "nodes", "in", "on", "where", "the",
))


_AFTER_A_POINT = frozenset((
    "", "and", "or", "to", "is", "has", "touches", "connects", "joins", "meets", "isnt", "are",
    "only", "because", "since", "for", "both", "where", "b", "with", "at", "makes", "stays", "gets",
))


def _is_point(token: str, around: tuple[str, str], names: _Names) -> bool:
    """Whether a token names a point: letters that are words or quantities too need a neighbour
    that goes with a place, unless they alone stand there.
    """
    lower = token.lower()
    if token in names.points and token.isupper() and lower not in ("i", "v", "q", "u", "a", "e"):
        return True
    if lower not in names.points:
        return False
    before, behind = around[0].lower(), around[1].lower()
    if lower in ("a", "i") and token.islower():
        return before in ("at", "from", "to", "point", "node", "between", "and") and (
            behind in ("", ",", ".", "and", "to", "&", "or")
        )
    if lower in ("v", "q", "u"):
        near = names.points.get(behind) is not None or names.points.get(before) is not None
        return token in names.points and (
            before in ("at", "point", "node", "from", "to", "between") or near
            or (before in ("and", ",") or behind in ("and", ","))
        )
    opens = before in ("", *".,;:!?(") and behind not in names.points
    if token == "A" and opens and behind not in _AFTER_A_POINT and behind.isalpha():
        return False  # A voltmeter would show …
    if token.isupper() or len(token) > 1:
        return token in names.points or len(token) > 1 or token.islower()
    return before in _PLACES or behind in _PLACES or (not before and not behind) or (
        behind in ("is", "only", "has", "touches", ".", "!", "connects")
    )


def with_pd_whole(text: str) -> str:
    """A text with p.d. as one word, whose stops end no clause."""
    return _PD.sub("pd", text)


_PD = re.compile(r"(?i)\bp\.\s?d\b\.?")


def meanings_of(word: str) -> frozenset[str]:
    """The concepts of a word."""
    return _looked_up(word)


def _looked_up(word: str) -> frozenset[str]:
    found = MEANINGS.get(word, frozenset())
    if word != "nearly" and (word not in COMMON or not found):  # all but
        found = found | MEANINGS.get(stem(word), frozenset())
    if "plural" in MEANINGS.get(word, frozenset()):
        found = found | {"plural"}
    return found


def is_plain_word(word: str) -> bool:
    """Whether this is a word of plain speech or of the matter, and no unit of another trade."""
    lower = word.lower()
    return lower in COMMON or lower in INTERJECTIONS or bool(meanings_of(lower) - {"current"})


# What is counted stands behind its number as a plural; the 5 carries 50 is no count.
_PLURAL = re.compile(
    r"(?<![\w.])(?<!the )\d+(?:[.,]\d+)?\s+"
    r"(people|men|women|children|[a-z]{3,}(?<![sui])s)\b(?!\s+\d)"
)
_UNITS_AND_TIMES = ("volts", "farads", "coulombs", "joules", "times")
_PREFIXED = re.compile(r"(?:micro|nano|pico|milli|kilo|mega)")


def counts_other_things(line: str) -> bool:
    """Whether a number of a line counts what nobody speaks of here: 12 apples."""
    counted = _PLURAL.findall(line.lower())
    if not counted:
        return False
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    return any(
        not is_plain_word(word) and not _PREFIXED.match(word) and process.extractOne(
            word, _UNITS_AND_TIMES, scorer=OSA.distance, score_cutoff=2
        ) is None
        for word in counted
    )


def stem(word: str) -> str:
    """The stem of an English word, as the tables of words hold it."""
    from snowballstemmer import stemmer

    return str(stemmer("english").stemWord(word))


def mended(word: str) -> str:
    """A word that means nothing here, as the nearest of the words that are often mistyped."""
    lower = word.lower()
    if len(word) < SHORTEST_MENDED or lower in COMMON or lower in SPELT or _looked_up(lower):
        return word
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    most = 1 if len(word) < TWO_SLIPS_FROM else 2
    near = process.extractOne(lower, SPELT, scorer=OSA.distance, score_cutoff=most)
    return str(near[0]) if near is not None and near[0][0] == lower[0] else word
