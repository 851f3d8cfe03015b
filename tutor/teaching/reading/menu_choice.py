"""Which entry of a menu a line means: by letter, number, place in the list, or its words."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from tutor.teaching.reading.because_words import WORDS
from tutor.teaching.reading.spoken_words import INTERJECTIONS, meanings_of

LETTERS = "abcdefgh"
ALIKE = 92
_ORDINALS: Mapping[str, int] = MappingProxyType({
    "first": 0, "1st": 0, "one": 0, "second": 1, "2nd": 1, "two": 1, "third": 2, "3rd": 2,
    "three": 2, "fourth": 3, "4th": 3, "four": 3, "fifth": 4, "5th": 4, "last": -1, "bottom": -1,
    "top": 0,
})
_SPELT_LETTERS: Mapping[str, str] = MappingProxyType(
    {"ay": "a", "bee": "b", "be": "b", "cee": "c", "see": "c", "sea": "c", "dee": "d", "ee": "e"}
)
_MIDDLE = ("middle", "centre", "center")
_LEAD = re.compile(
    r"(?:(?:i(?:d| would| ll| will)? (?:think|guess|say|was|choose|pick|chose|take|did|meant)"
    r"|thinking(?: of)?"
    r"|it(?:s| is| was)?|that(?:s| is| was)?|maybe|probably|my (?:answer|choice) is|the answer is"
    r"|answer|ans|definitely|surely|(?:must|should|will) be|(?:has|have|ought) to be"
    r"|must have been|im|go(?:ing)? (?:with|for)|lets say|perhaps"
    r"|number|option|letter|entry|choice|line|statement|list|the|no|nr|by|doing|using)\s+)*"
)
_TAIL = re.compile(
    r"(?:\s+(?:one|option|entry|equation|formula|statement|answer|choice|line|please|i think"
    r"|i guess|probably|maybe|of them|then|for me|in the list|on the list|list"
    r"|(?:is|must be|seems|looks) (?:the )?(?:right|correct|true|best)|is (?:it|the answer)))*"
)

# The kind of thing and its place, whatever stands around them: number two is the bottleneck.
_WITHIN = re.compile(
    r"\b(?:number|option|letter|entry|choice|equation|formula|statement|answer)\s+"
    rf"([a-h]|[1-9]|{'|'.join(_ORDINALS)})\b(?!\s*[=+*/])"
)
# One of the two, which is neither.
ONE_OF_THEM = re.compile(r"\bone\s+of\s+(?:the\w*|these|those)\b(?!\s+one)")


# A letter with what was thought behind it: a, since …
_HEADED = re.compile(
    r"\W*(?:(?:yes|yeah|yep|ok|oh|well)\W+)*([a-h])\s*(?:[,;:).]|[-–—](?=\s))\s*(?=.*?\b(?!and\b)[a-z]{3,})"
)


def place_in(line: str, most: int) -> int | None:
    """The place from 0 that a letter, a number or an ordinal names, if a menu has so many."""
    text = re.sub(r"['’](?=s\b|m\b|d\b|ll\b)", "", line.lower())
    text = re.sub(r"[\"'`()\[\].!,:]", " ", text)
    text = re.sub(r"\s+", " ", text).strip()
    if ONE_OF_THEM.search(text):
        return None
    if headed := _HEADED.match(line.lower()):
        text = headed[1]
    while (words := text.split())[1:] and words[-1] in INTERJECTIONS:
        text = " ".join(words[:-1])
    within = _WITHIN.findall(text)
    text = text[_lead(text):]
    text = within[0] if len(set(within)) == 1 else re.sub(_TAIL.pattern + r"\Z", "", text)
    text = _SPELT_LETTERS.get(text, text)
    at: int | None = None
    if re.fullmatch(r"[a-h]", text):
        at = LETTERS.index(text)
    elif re.fullmatch(r"[1-9]", text):
        at = int(text) - 1
    elif text in _ORDINALS:
        at = _ORDINALS[text] % most
    elif text in _MIDDLE and most % 2:
        at = most // 2
    return at if at is not None and at < most else None


def _lead(text: str) -> int:
    found = _LEAD.match(text + " ")
    return min(found.end(), len(text)) if found else 0


def entry_in(line: str, entries: Sequence[str]) -> int | None:
    """The place of the one entry that a line copies, nearly enough, with or without its letter."""
    from rapidfuzz import fuzz

    said = _plain(re.sub(r"^\s*\(?[a-h1-9][).:]\s*", "", line))
    if len(said.split()) < 2:
        return None
    found = [
        n for n, entry in enumerate(entries)
        if fuzz.ratio(said, _plain(entry)) >= ALIKE and _denials(said) == _denials(_plain(entry))
    ]
    return found[0] if len(found) == 1 else None


def option_in(line: str, entries: Sequence[str]) -> int | None:
    """The place of the entry that a line means, None where it means none of them."""
    at = place_in(line, len(entries))
    return at if at is not None else entry_in(line, entries)


def entry_of(menu: str, line: str) -> int | None:
    """The place of the entry of a menu of ways that a line means, the last being another way; None
    for a line that is a new value.
    """
    entries = [found[1] for found in re.finditer(r"(?m)^[a-d]\) (.+)$", menu)]
    at = option_in(line, entries)
    if at is not None or "=" in line:
        return at
    if re.search(r"(?i)\bsomething else\b|\banother way\b|\bguess|\bnone of\b", line):
        return len(entries) - 1
    has_a_value = re.search(r"\d", line) and not re.search(r"\d.*\d", line)
    if has_a_value:
        return None
    at = gist_in(line, entries)
    return 0 if at is None and len(entries) == 2 and _is_an_account(line) else at


# Of one way on offer: used the series formula, my bad; by symmetry it has to be in the middle.
_TELLS_HOW = re.compile(
    r"(?i)\W*(?:(?:oops|sorry|oh|hmm|well|ok|yeah|yes)\W+)*(?:i\s+)?(?:just\s+)?(?:used|forgot|mixed|took|thought|did|by\b"
    rf"|{WORDS}|from|with\s+the|wrong|mistook|confused|applied)\b"
)


def _is_an_account(line: str) -> bool:
    """Whether a line tells in words how something was done, where one way is on offer."""
    return _TELLS_HOW.match(line) is not None and len(line.split()) > 2 and "?" not in line and (
        re.search(r"(?i)\bnot\b|n['’]t\b|\d|\bbelow\b|\babove\b", line) is None
    )


_TELLING = frozenset({"charge", "pd", "cut", "neutral", "conserve", "supply", "used"})


def speaks_to_the_point(line: str) -> bool:
    """Whether a line is a few words about the matter, which may be a reason but is no choice."""
    words = re.findall(r"[a-z]+", line.lower())
    known = [word for word in words if meanings_of(word) - {"neg", "be", "so", "but", "one"}]
    told = [word for word in known if meanings_of(word) & _TELLING]
    speaks = bool(told) or len(known) * 3 >= len(words)
    return len(words) > 2 and len(known) + len(told) > 1 and speaks


_DENIED = re.compile(
    r"\b(?:not|never|cannot|(?:is|was|are|were|ca|could|wo|would|do|does|did|should)n['’]?t)\b"
)


def gist_in(line: str, entries: Sequence[str]) -> int | None:
    """The place of the one entry that a line fits by what its words stand for, where it has words
    that belong to this entry alone and none that belong to another.
    """
    said = _stands_for(line)
    own = [_stands_for(entry) for entry in entries]
    hits = []
    for at, words in enumerate(own):
        others = frozenset[str]().union(*(own[:at] + own[at + 1 :]))
        if said & (words - others):
            hits.append(at)
    if len(hits) != 1 or _DENIED.search(_flat(line)):
        return None
    return hits[0]


# The one about A and B; the entry that speaks of the supply.
_SPOKEN_OF = re.compile(
    r"(?i)\W*(?:i\s+\w+\s+)?(?:it['’]?s\s+)?(?:the\s+)?(?:one|entry|option|answer|line|statement)\s+"
    r"(?:about|with|on|where|saying|mentioning|naming|that\s+(?:is\s+about|says|tells|has|names"
    r"|mentions|talks?\s+(?:about|of)|speaks?\s+(?:about|of)))\s+(?P<what>.+)"
)


def described_in(line: str, entries: Sequence[str]) -> int | None:
    """The place of the one entry that a line says to be about something; None for others."""
    found = _SPOKEN_OF.fullmatch(line.strip())
    return gist_in(found["what"], entries) if found is not None else None


# Words that come to the same in a menu; each stands for the first of its row.
_ALIKE_WORDS = (
    ("add", "adding", "added", "adds", "sum", "sums", "summed", "summing",
     "plus", "together", "total"),
    ("reciprocal", "reciprocals", "inverse", "inverses", "inverted", "flipped", "flip", "turning",
     "turned", "upsidedown", "oneover"),
    ("leave", "out", "left", "remove", "drop", "bin", "ignore", "pretend", "delete", "scrap",
     "throw", "chuck", "forget", "skip", "without", "notthere", "discard", "cut", "gone", "removed",
     "removing", "erase", "ditch", "omit", "eliminate", "unplug", "disconnect", "dump", "toss",
     "takeaway"),
    ("merge", "join", "onepoint", "wire", "glue", "fuse", "short", "shorted", "merging", "joining",
     "shorting", "solder", "connect", "connecting", "tie", "unite", "collapse"),
    ("yes", "ye", "ja", "yep", "yeah", "yup", "aye", "sure", "true", "correct", "indeed", "si",
     "oui"),
    ("no", "nope", "nah", "nein", "false", "wrong"),
    ("else", "guess", "guessed", "random", "dunno", "neither", "none", "other", "different"),
    ("same", "identical", "unchanged", "equal", "alike", "again"),
    ("parallel", "across", "beside", "alongside", "sidebyside", "abreast"),
    ("series", "chain", "row", "behind", "after", "line", "queue"),
    ("half", "halve", "halving", "halved", "twice", "doubling", "doubled", "double"),
    ("average", "averaging", "mean", "middle", "halfway"),
    ("product", "multiply", "multiplied", "multiplying", "times"),
    ("divide", "divided", "dividing", "over"),
    ("work", "pulling", "pull", "pulled", "pulls", "dragging", "drag", "dragged", "drags",
     "sucking", "suck", "sucked", "tugging", "tugged", "moving"),
    ("heat", "hot", "warm", "warmth"),
    ("smaller", "less", "lower", "small", "smallest", "least", "sinks", "falls", "drops", "fell",
     "shrinks", "decreases", "down", "reduced", "drop", "dropped"),
    ("larger", "more", "bigger", "higher", "large", "largest", "most", "greater", "rises", "grows",
     "increases", "rose", "grew", "climbs"),
)
_STANDS_FOR: Mapping[str, str] = MappingProxyType(
    {word: row[0] for row in _ALIKE_WORDS for word in row}
)
_IDLE = frozenset((
    "the", "a", "an", "of", "to", "and", "or", "is", "it", "its", "i", "that", "this", "in", "on",
    "as", "with", "for", "by", "at", "be", "was", "were", "are", "they", "them", "just", "think",
    "my", "so", "one", "ones", "all", "up", "did", "do", "what", "way", "something", "let", "put",
    "get", "got", "used", "using", "right", "giving", "taking",
))
_RUN_TOGETHER = (
    (r"\b(?:went|goes|gone|going|go|is)\s+up\b", "rises"),
    (r"\bside\s+by\s+side|\bnext\s+to\b", "sidebyside"), (r"up\s*-?side\s*-?\s*down", "upsidedown"),
    (r"\b(?:one|1)[\s-]*(?:overs?|/)(?=\s*[cC]?s?\b)", "oneover "),
    (r"(?:is\s*n[o']t|not|n't)\s+there", "notthere"),
    (r"\b(?:one|1|same|single)\s+(?:point|node|dot|junction)\b", "onepoint"),
    (r"\b(?:take|taking|get|throw)\s+(?:\w+\s+){0,2}?(?:away|off)\b|\b(?:get|getting)\s+rid\b",
     "takeaway"),
    (r"\b(?:put|bring|push|squeeze)\s+(?:\w+\s+){1,4}?together\b", "merge"),
)


def _flat(text: str) -> str:
    for pattern, word in _RUN_TOGETHER:
        text = re.sub(pattern, word, text, flags=re.IGNORECASE)
    return text.lower()


def _stands_for(text: str) -> frozenset[str]:
    words = re.findall(r"[a-z]+|\d+(?:\.\d+)?", _flat(text))
    return frozenset(_STANDS_FOR.get(word, word) for word in words if word not in _IDLE)


def _plain(text: str) -> str:
    text = re.sub(rf"^\s*(?:{WORDS}|as|it is|its|it's|that)\s+", "", text.lower())
    return re.sub(r"\s+", " ", re.sub(r"[^\w\s]", " ", text)).strip()


def _denials(text: str) -> int:
    return len(re.findall(r"\b(?:not|no|nothing|never|none|cannot|\w+nt)\b", text))
