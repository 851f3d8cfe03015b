"""What a learner's line is: a request, an honest 'I don't know', names, a shared quantity.

Lines that state values are read by the grammar; here are the free words around them. Reading is
lenient: any case, small misspellings, filler words.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from difflib import get_close_matches
from itertools import takewhile
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from grammar.quantity import UNIT_SIGN
from grammar.spoken_numbers import in_figures, without_counts
from tutor.circuit.network import Network
from tutor.teaching.reading.because_words import WORDS
from tutor.teaching.reading.conclusion import Conclusion, conclusion_in, is_divided
from tutor.teaching.reading.none_said import none_said

Request: TypeAlias = Literal[
    "where", "points", "drawing", "why", "hint", "show", "undo", "restart", "typed", "stop",
    "energy", "repeat",
]

REQUESTS: Mapping[Request, tuple[str, ...]] = MappingProxyType({
    "where": ("where", "where are we", "where am i", "what do we know", "what do i know", "so far",
              "what is known", "what have we got", "values", "where were we", "progress",
              "how far am i", "how far are we", "how far have i got", "how far is it"),
    "points": ("list", "the list", "points", "the points", "list of points", "list the points",
               "show the list", "show the points", "show list", "show points", "network",
               "show the network", "read it out", "read the list", "read the list again",
               "read the list of parts", "read the list of parts again"),
    "drawing": ("draw", "drawing", "the drawing", "draw it", "picture", "sketch", "diagram",
                "show the drawing", "show drawing", "draw the network", "show me the drawing",
                "redraw", "what does it look like", "how does it look"),
    "why": ("why", "why is that", "explain", "explain that", "reason", "the reason", "how come",
            "why so", "explain why", "tell me why", "but why"),
    "hint": ("hint", "a hint", "give me a hint", "clue", "a clue", "help me", "give me a clue",
             "another hint", "next hint", "more", "tip", "a tip", "give me a tip",
             "nudge", "a nudge", "a push", "pointer", "a pointer"),
    "show": ("show", "show me", "show this step", "show the step", "show step", "show it",
             "tell me", "show me this step", "show me the step",
             "show the answer", "answer", "tell me the answer", "what is it"),
    "undo": ("undo", "back", "go back", "undo that", "take that back", "one back", "step back",
             "undo the last step", "undo last step", "go back one", "go back a step", "back one",
             "one step back", "back a step"),
    "restart": ("start again", "restart", "begin again", "start over", "from the start",
                "from the beginning", "start from the beginning", "again from the start"),
    "typed": ("what can i type", "what can i say", "help", "what can be typed", "what now",
              "what do i type", "how does this work", "commands", "what may i type",
              "what can i do here", "what could i do here", "what may i do here"),
    "stop": ("stop", "quit", "exit", "bye", "goodbye", "leave", "end", "i am done", "im done",
             "finish", "enough", "close"),
    "energy": ("energy", "energies", "the energy", "the energies", "energy too", "energies too",
               "the energies too", "with energy", "ask energy", "energy please",
               "and the energy", "and the energies"),
    "repeat": ("repeat", "again", "say that again", "what was the question", "the question",
               "question", "repeat that", "repeat the question", "pardon", "sorry", "come again"),
})
UNSURE = (
    "i dont know", "dont know", "do not know", "i do not know", "idk", "no idea", "not sure",
    "im not sure", "i am not sure", "pass", "unsure", "no clue", "i have no idea", "dunno",
    "i dont understand", "i do not understand", "cant", "i cant", "skip", "skip it",
    "skip this", "skip that", "skip this one", "skip that one", "skip this question", "next one",
    "stuck", "i am stuck", "im stuck", "i am lost", "im lost", "what do i do", "what should i do",
    "how do i do this", "how do i start", "i give up", "give up", "i am giving up", "im giving up",
    "i surrender", "its too hard", "it is too hard", "too hard", "this is too hard",
)
OPENING_COURTESIES = ("please", "ok", "okay", "well", "hm", "hmm", "um", "so", "and")
CLOSING_COURTESIES = ("please", "then", "thanks", "now", "pls", "plz", "thx")
MOST_COURTESIES = 4
_BY_PHRASE: Mapping[str, Request] = MappingProxyType(
    {phrase: request for request, phrases in REQUESTS.items() for phrase in phrases}
)
# p.d. in its spellings; P D in capitals with a space between are two points.
_PD = re.compile(
    r"\b(?:(?i:p\.\s?d|pd)|p\sd)\.?(?=\W|$|s\b)|(?i:\bpotential\s+difference\b)"
)

# Q1 = Q2, which says no value.
SAYS_EQUAL = re.compile(
    rf"(?i)\b([qvu])_?\d+\s*=\s*\1_?\d+(?=\W*(?:$|{WORDS}|\b(?:as|so)\b))"
)


class Shared(NamedTuple):
    """What is said to be shared, ``both`` if p.d. and charge were both named, the points, and the
    whole of the words; ``divided`` where each is said to have a part of it.
    """

    quantity: Conclusion | None
    points: tuple[str, ...]
    words: str = ""
    divided: bool = False


class Exchanging(NamedTuple):
    """A wish for a star in the place of a triangle between three points, or for a triangle in the
    place of the star at one; nothing can be done with another number of points.
    """

    points: tuple[str, ...]


class Reasoned(NamedTuple):
    """A reason in words, an entry of the menu or points."""

    points: tuple[str, ...]
    words: str


def request_in(line: str) -> Request | Literal["unsure"] | None:
    """A plain request; a lone question mark is 'I don't know', a blank line asks once more."""
    words = plain(line)
    if not line.strip():
        return "repeat"
    if not words and "?" not in line and not re.search(r"\w", line):
        return None  # signs alone, which may be anything
    if not words and "?" not in line:  # ok, hm, well
        return None if re.search(r"(?i)\bth(?:an)?x|thank", line) else "repeat"
    if not words or words in UNSURE or words.startswith(("i dont know", "i do not know")):
        return "unsure"
    return next((_BY_PHRASE[phrase] for phrase in _forms(line) if phrase in _BY_PHRASE), None)


# A yes or a no at the head of a short line that says nothing else.
_YES = re.compile(
    r"(?:oh |ah |ok |um |well )*(?:y|ye|yes|yea|yeah|yah|yep|yup|yh|ja|oui|si|aye|sure|ok|okay"
    r"|right|correct|exactly|perfect|precisely|definitely|absolutely|indeed|true|fine|spot on|i do"
    r"|(?:i )?think so|(?:it|that) (?:is|does|looks)|thats (?:it|the one|right|correct|fine|mine"
    r"|what i (?:mean|meant))|looks? (?:good|right|fine|ok|correct)|go ahead|take it)\b(.*)"
)
_NO = re.compile(
    r"(?:oh |ah |um |well )*(?:n|no|nope|nah|not|nein|non|wrong|never|neither|none|stay)\b(.*)"
)
_MOST_WORDS_AFTER = 5


def yes_or_no(line: str) -> bool | None:
    """Whether a line agrees; None where it does neither, or says more than that."""
    words = " ".join(re.sub(r"[^\w\s]", " ", re.sub(r"['’`]", "", line.lower())).split())
    for pattern, agrees in ((_NO, False), (_YES, True)):
        if found := pattern.fullmatch(words):
            more = found[1].split()
            says_more = _SAYS_MORE.search(found[1])
            return None if says_more or len(more) > _MOST_WORDS_AFTER else agrees
    return None


_SAYS_MORE = re.compile(rf"\d|{WORDS}|\b(?:but|except|only|and|not|no|if)\b")


def plain(line: str) -> str:
    """Lower case, no punctuation, no courtesies: the form in which phrases are compared."""
    return _forms(line)[-1]


def without_pointing(said: str) -> str:
    """Plain words without 'one' where it stands for what is pointed at: the middle one."""
    return _POINTED_AT.sub("it", said)


_POINTED_AT = re.compile(
    r"\b(?:that|this|(?:the|that|this) (?:middle|inner|other|cross|bridge|useless|empty)|the) one\b"
    r"(?! (?:point|node|dot|in common)\b)"
)


def _forms(line: str) -> tuple[str, ...]:
    """A line without punctuation, with ever fewer of the courtesies around it: in 'so far' and
    'what now' they belong to the phrase.
    """
    words = re.sub(r"[^\w\s]", " ", re.sub(r"['’`]", "", line.lower())).split()
    first, last = 0, len(words)
    while first < last and words[first] in OPENING_COURTESIES:
        first += 1
    while last > first and words[last - 1] in CLOSING_COURTESIES:
        last -= 1
    starts = [*range(min(first, MOST_COURTESIES)), first]
    ends = [*range(len(words), max(last, len(words) - MOST_COURTESIES), -1), last]
    return tuple(" ".join(words[start:end]) for start in starts for end in ends)


A_VALUE = "A number with its unit is wanted here."
NO_HINT = "There is no hint for this one. A guess will do; or say 'I don't know', and it is shown."
WHOSE_IS_IT = "Which quantity is that? Give its name or its unit."
A_SIZE = "The amount is right. A sign goes by the side it is counted from; here its size is asked."
HOW_MUCH = "And how much is that? A number with its unit is wanted."
A_CHANGE = "That says how something changes. How much is it?"
NONE_MEANT = "Is that zero, or is it not known? Write 0, or say 'I don't know'."
_CHANGES = re.compile(
    r"(?i)\b(?:up|down|rises?|falls?|doubles?|halves|drops|increases|decreases|grows|shrinks)\b"
)
_YES_OR_NO = re.compile(r"(?i)\W*(?:yes|yeah|yep|yup|no|nope|nah|sure|true|correct)\W*")
_NONE = ("none", "nothing", "neither", "nothing at all", "none of them")
_BEFORE_A_REASON = re.compile(rf"(?i){WORDS}|\bas\b|[,;.:]")
_QUANTITY = re.compile(
    r"(?i)\s*(?:the\s+)?(?:charges?|voltages?|potentials?|capacitances?|energy|energies|heat|work"
    r"|p\.?\s?d\.?s?|potential\s+difference)\s*[.?]?\s*"
)
_NOUGHT = re.compile(r"(?i)\b(?:zero|nought|nil|nada|zilch|nowt)\b(?!\w)")
_EITHER_WORD = re.compile(r"(?i)\s*/\s*|\s+or\s+")
_A_WAY = re.compile(
    r"(?i)\b(?:add|adds|adding|added|sums?|product|reciprocals?|multipl\w+|divid\w+|flip\w*|invert\w*"
    r"|subtract\w*)\b"
)


def _is_a_way(line: str) -> bool:
    """Whether a line says in words alone what is to be done with values: just add them up."""
    return _A_WAY.search(line) is not None and not re.search(
        r"[\d=?]|(?i:\b[cqvue]_?t?\b)", in_figures(without_counts(line))
    )


# C1 times the new voltage, eps times A over d, ½CV²: what is to be done, with no amount.
_OPERATION = re.compile(
    r"(?i)\b(?:times|over|plus|minus|divided|multipl\w+|squared?|root|sums?|product|difference|half"
    r"|add\w*|subtract\w*|equation|formula|law|quadratic|together\s+with)\b|[*/×÷+√²^]|½"
)
_AMOUNT_IN_IT = re.compile(r"(?<![\w.^/])(?!(?:1|2|0\.5)(?![\w.]|\s*[pnuµμmkM]?[FVCJ]\b))\d")
_WHAT_IT_HAS = re.compile(
    r"(?i)\b(?:whatever|whichever|what(?:['’]s)?|that\s+(?:of|on|across)"
    r"|the\s+(?:other|rest|new|one|two|sum|total|product|opposite|sides?|arms?|gap|area)\b"
    r"|(?:sum|total)\s+of\s+(?:both|all|the\w*)\b|all\s+of\b|together\b|its\b|area\b|gap\b)"
)


def tells_a_way(line: str) -> bool:
    """Whether a line that could not be read says what is to be done with quantities, and leaves
    open what comes of it.
    """
    text = in_figures(without_counts(line))
    if "?" in line or not _OPERATION.search(text):
        return False
    return not _AMOUNT_IN_IT.search(text) or _WHAT_IT_HAS.search(text) is not None


_SO_MANY_POINTS = re.compile(r"(?i)\W*(?:\d|two|three|four)\s+(?:points|nodes|wires)\W*")


def said_to_no_value(line: str, is_nought: bool) -> str | None:
    """What is said where a value is asked to a line that cannot be one: the word for a quantity,
    yes or no, which way something goes, or 'none' where it is not nought; None for any other.
    """
    if _QUANTITY.fullmatch(line) or _SO_MANY_POINTS.fullmatch(line):
        return A_VALUE
    if _YES_OR_NO.fullmatch(line) or _is_a_way(line) or _VAGUE.search(line):
        return HOW_MUCH
    if _is_a_change(line):
        return A_CHANGE
    return NONE_MEANT if plain(line) in _NONE and not is_nought else None


# 80 over ten to the something: a number in it is not known to who says so.
_VAGUE = re.compile(
    r"(?i)\b(?:to\s+the|times|over|by|plus|minus|and\s+then)\s+(?:some(?:thing)?|whatever|power)"
    r"(?:\s+(?:number|power|or\s+other))?\W*$|\bsome\s+(?:number|power|value)\b"
)


def _is_a_change(line: str) -> bool:
    return bool(_CHANGES.search(line)) and not re.search(
        r"[=?]|(?<![\w.])\d|(?i:\b(?:twice|double|half)\s+(?:of\s+|that\s+of\s+)?[cqve]_?\d)", line
    )


_UNIT_IN_WORDS = re.compile(
    r"(?i)(?<=\d)\s*(micro|nano|pico|milli)?-?(coulomb|volt|joule)s?(?![A-Za-z])"
)


def units_in_signs(line: str) -> str:
    """The line with the units behind its numbers in signs: 48 uC for 48 microcoulombs."""
    signs = {"micro": "u", "nano": "n", "pico": "p", "milli": "m"}
    return _UNIT_IN_WORDS.sub(
        lambda found: f" {signs.get((found[1] or '').lower(), '')}{found[2][0].upper()}", line
    )


_IN_A_ROW = re.compile(
    r"(?P<names>\b(?P<one>[CQVUEW])_?\d+'*(?:(?:\s*(?:,|&|\band\b)\s*|\s+)(?P=one)_?\d+'*)+)\s*"
    r"(?:=|:|\bare\b)\s*(?P<values>\d[^=]*?)\s*(?:\brespectively\b)?\s*[.!]*$"
)
_BETWEEN_VALUES = re.compile(r"\s*(?:,\s*(?:and\b)?|;|&|\band\b)\s*")
_ONE_VALUE = re.compile(rf"\d[\d./]*\s*(?P<unit>{UNIT_SIGN})?")


def each_by_its_name(line: str) -> str:
    """The values of a row under the names that stand before them: Q1 Q2 Q3 = 6, 9, 12 uC; a unit
    said at the end is that of all.
    """
    row = _IN_A_ROW.search(line)
    if row is None:
        return line
    names = re.findall(r"[CQVUEW]_?\d+'*", row["names"])
    values = _BETWEEN_VALUES.split(row["values"])
    said = [_ONE_VALUE.fullmatch(each) for each in values]
    if len(names) != len(values) or not all(said):
        return line
    last = said[-1]["unit"] or "" if said[-1] else ""
    told = [
        f"{name} = {each[0]}{'' if each['unit'] else f' {last}'.rstrip()}"
        for name, each in zip(names, said, strict=True) if each
    ]
    return f"{line[: row.start()]}{', '.join(told)}"


def nought_in_figures(line: str) -> str:
    """A line that is to state a value, with 0 for nought said in words."""
    if _IN_FIGURES.search(line):
        return _with_noughts(line)
    line = re.sub(r"(?i)\bit\s+isn['’]?t\b|\bit['’]?s\s+not\b", "it is not", line)
    nones = [*map(none_said, _EITHER_WORD.split(line))]
    if all(each is not None and not each.whom for each in nones):
        return "0"
    if len(nones) == 1 and (none := nones[0]) is not None:
        return f"{none.kind or 'charge'} of {none.whom} is 0"
    return _with_noughts(line)


_IN_FIGURES = re.compile(r"[=?]|(?<![\w.'])\d")


def _with_noughts(line: str) -> str:
    line = re.sub(r"(?i)^\s*(?:it\s+is|it's)\s+(?=zero|nought|nil)", "", line)
    named = re.sub(r"(?i)\b(zero|nought|nil)\s+(volts?|coulombs?|joules?)\b", "0", line)
    return _NOUGHT.sub("0", named)


def sharing_in(line: str, network: Network) -> Shared | None:
    """What a line says is shared and which points it names; None if it says neither."""
    if _CHANGES.search(_BEFORE_A_REASON.split(line)[0]):
        return None  # V1 up: a guess about a change, and nothing about sharing
    points, quantity = points_in(line, network), conclusion_in(line, network)
    if quantity is None and not points:
        return None
    if quantity == "voltage" and not points and not _OF_ALL.search(line) and (
        conclusion_in(_VOLTS.sub(" ", line), network) is None
    ):
        return None  # 18 V, the small one takes most: a value of one of them
    divided = quantity in ("voltage", "charge") and is_divided(line, network, quantity)
    return Shared(quantity, points, line, divided)


_VOLTS = re.compile(r"(?i)\d[\d.,]*\s*[munkµ]?(?:v|volts?)\b")
_OF_ALL = re.compile(r"(?i)\b(?:each|both|same|all|every|they|either|across|them|common)\b")


def exchange_in(line: str, network: Network) -> Exchanging | None:
    """A star or a triangle asked for, by its points or by its three capacitors."""
    if not re.search(r"(?i)\b(?:stars?|deltas?|triangles?)\b", line):
        return None
    named = [c for c in network.capacitors if re.search(rf"\b{re.escape(c.name)}(?!\w)", line)]
    if len(named) != 3:
        return Exchanging(points_in(line, network))
    shared = frozenset.intersection(*(c.points for c in named))
    around = shared or frozenset.union(*(c.points for c in named))
    return Exchanging(tuple(p for p in network.points() if p in around))


def points_in(line: str, network: Network) -> tuple[str, ...]:
    """Points that a line names; 'a' and 'i' are words unless written as capitals."""
    line = _PD.sub(" ", line)
    names = {c.name.lower() for c in network.capacitors}
    known = network.points()
    lower = {p.lower(): p for p in known if p.lower() not in ("a", "i")}
    found: dict[str, None] = {}
    for word in re.findall(r"\w+'*", line):
        if word in known:
            found[word] = None
        elif word.lower() in lower and word.lower() not in names and word.lower() not in ("v", "q"):
            found[lower[word.lower()]] = None
    other = re.fullmatch(r"\s*a\s*(?:,|and|&|\s)\s*(\w+'*)\s*", line)
    if other and "A" in known and lower.get(other[1].lower()) in found:
        found["A"] = None
    return tuple(p for p in known if p in found)


def common_start(names: Collection[str]) -> str:
    """The letters with which all names begin; nothing where they have none in common."""
    alike = takewhile(lambda letters: len(set(letters)) == 1, zip(*names, strict=False))
    return "".join(letters[0] for letters in alike)


def near(words: Collection[str], wanted: tuple[str, ...]) -> bool:
    """Whether one of the words is one of the wanted, small misspellings of long ones allowed."""
    return any(
        word in wanted or (len(word) > 4 and get_close_matches(
            word, [each for each in wanted if abs(len(each) - len(word)) < 2], 1, 0.8
        )) for word in words  # inside is no slip of side
    )
