"""Networks told as a walk over their points: from the plus a 2 goes to a dot, from the dot a 3 …

Each capacitor has two ends. What is told of an end says where it is: at a pole, at a point with a
letter, at a point that is new, or where the other end of what came before is. No word of such a
text is passed over: where one is not known, the text is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from grammar.lenient.trees_in_signs import NotToldSo
from grammar.lenient.way_words import AMOUNT, NAME, value_of
from grammar.lenient.ways_told import ASKS, SENTENCE

_POINT: Final = r"(?:dot|point|node|joint|junction|knot|joining point|meeting point)"
_END: Final = r"(?:end|lead|leg|plate|side|wire|foot|pin)s?"
_OF: Final = (
    r"(?: of (?:the |a |my )?(?:source|battery|supply|cell)| rail| wire| terminal| pole| side)*"
)
_CAP: Final = r"(?:capacitor|cap|condenser)s?"
# One row a kind of word, tried in this order.
_ROWS: Final = (
    ("NOISE", rf"an? (?=[0-9]|{_CAP}|second)|(?:(?:of|across) )?(?:an? )?(?<!\+)(?<!\+ )"
        r"(?!0 ?V)[0-9.]+ ?k?V(?:olts?)?\b(?: (?:supply|battery|source|cell))?"),
    ("PLUS", rf"(?:the )?(?:positive|plus|\+ ?[0-9.]+ ?V\b|\+(?![0-9])|first terminal"
        rf"|[0-9.]+ ?V (?:rail|supply|line)|(?:top|upper) terminal){_OF}"),
    ("MINUS", rf"(?:the )?(?:negative|minus|ground|gnd|earth(?:ed)?|grounded|0 ?V|chassis"
        rf"|second terminal|other terminal|(?:bottom|lower) (?:wire|rail|line|terminal)){_OF}"),
    ("NEAR", rf"(?:one|the first|the top|the left|an?) {_END}(?: each)? of(?: which)?"
        rf"|whose one {_END}"),
    ("THEN", rf"(?:at |by |from |whose |with )?(?:(?:its|the|their|whose|both) )?"
        rf"(?:far|other|free|remaining|second|opposite|outer) {_END}(?: of (?:these|those|this|that"
        r"|the|both|them|it|two)+(?: two| three)?)?"
        rf"|(?:and )?then|after (?:him|it|that|this|them|the (?:first|second|third)(?! {_CAP} of))"
        r"(?: comes?| follows?| is)?|followed by|next comes|end together|(?:these|they|both) meet"),
    ("ONWARDS", r"where (?!the )|whence|from (?:where|there|here|which|it)\b|there (?=an? )"),
    ("FROM", r"from|off|out of|starting (?:at|from)|leaving|leaves"),
    ("TO", r"to|into|in|at|onto|on|with|->|-->|--|meets?|reach(?:es)?|touch(?:es)?|for"),
    ("NEW", rf"(?:an?|another|one|some) (?:\w+ )?{_POINT}(?: (?:where|and there))?|where the"),
    ("LETTER", rf"(?:(?:the )?(?:{_POINT}|terminal) )?(?P<letter>(?-i:[A-Z]))(?![A-Za-z0-9_'=])"),
    ("SAME", rf"(?:the|that|this)(?: (?:same|very same|last|new))? {_POINT}"),
    (
        "VALUE",
        rf"(?:the (?:first|second|third|fourth|other) (?:{_CAP} )?\(?)?"
        rf"(?:(?P<name>{NAME})(?: ?(?:=|is|of|:|\()|,)? ?)?(?P<amount>{AMOUNT})\)?(?: {_CAP})?"),
    ("NOISE", rf"(?:an?|the|of|is|are|be|goes|going|go|comes?|leads?|runs?|right|left|down|up|back"
        rf"|straight|again|too|also|and|or|as well as|both|all|two|three|ways?|roads?|paths?"
        rf"|out|go on"
        rf"|there(?:'s)?|further|more|brought|soldered|taken|joined|connected|wired|tied|led|run"
        rf"|finish(?:ing"
        rf"|es)?|ends?|ending|each|one|on|over|it|they|that|which|we|have|find|lead|of|{_CAP}"
        rf"|another"
        rf"|first|second|other|{_END}|single|hangs?|sits?|sitting|stands?|lies|lie|begins?|whose"
        rf"|free|perfboard|directly|away|by|from|here|lone|beside|being|capacitance|value|kept"
        rf"|fixed|supply)\b|[,:;()]|-(?=[^0-9])"),
)  # fmt: skip
_LEXER: Final = tuple((kind, re.compile(rf"(?:{pattern})", re.I)) for kind, pattern in _ROWS)
_VOLTS: Final = re.compile(r"(?i)(?<![A-Za-z0-9.])([0-9.]+ ?k?V)(?:olts?)?\b")
_FARADS: Final = re.compile(r"(?i)[0-9] ?(?:[unp]F?|F|(?:micro|nano|pico)\w*)\b|[unp][0-9]")
_VOLTS_AT: Final = re.compile(
    r"(?i)\b(?:volts|voltage|potential|p\.?d\.?) (?:at|of|on) (?:(?:node|point) )?([A-Z])\b"
)
_BETWEEN_THE_POLES: Final = re.compile(
    r"(?i) (?:between|from) the (?:top|upper) terminal (?:and|to) the (?:bottom|lower)"
    r" (?:terminal|wire|rail|line)\b"
)
_FREE: Final = "PQRSTUWXYZDEFGHKLMN"


class _Stood(NamedTuple):
    """A capacitor with the point that each of its ends is at; "" where that is not told yet."""

    value: str
    start: str = ""
    end: str = ""


def with_walk_told(text: str, unit: str) -> str:
    """The text made plain with its capacitors as joins, one a line; the text as it is where a word
    of the walk is not known, or an end of a capacitor is left open.
    """
    sentences = [each for each in SENTENCE.findall(text) if each.strip()]
    rest = [each for each in sentences if ASKS.search(each)]
    walk = _Walk(text, unit)
    try:
        for sentence in sentences:
            if sentence not in rest and (_FARADS.search(sentence) or not _VOLTS.search(sentence)):
                walk.hear(sentence)
        lines = walk.lines()
    except NotToldSo:
        return text
    if len(walk.poles) < 2:
        return text
    ends = " and ".join(walk.poles)
    volts = _VOLTS.search(text)
    lines.append(f"supply of {volts[1]} between points {ends}" if volts else f"terminals {ends}")
    rest = [_BETWEEN_THE_POLES.sub("", each) for each in rest]
    asked = [_VOLTS_AT.sub(rf"voltage between points \1 and {walk.poles[1]}", e) for e in rest]
    return "\n".join([*lines, *asked])


class _Walk:
    """Where the walk is, and what stands between which points."""

    def __init__(self, text: str, unit: str) -> None:
        used = set(re.findall(r"(?<![A-Za-z0-9_])[A-Z](?![A-Za-z0-9_])", text))
        self.free = (each for each in _FREE if each not in used)
        self.unit = unit
        self.stood: list[_Stood] = []
        self.open: list[_Stood] = []
        self.at = self.it = self.bound_for = ""
        self.letters: list[str] = []
        self.has_poles = False
        ends = re.search(r"(?<![A-Za-z0-9_])([A-Z]) and ([A-Z])(?![A-Za-z0-9_])", text)
        self.ends = list(ends.groups()) if ends else []
        self.poles: list[str] = []

    def hear(self, sentence: str) -> None:
        """Take one sentence. Errors: ``NotToldSo``."""
        before = ""
        for kind, word in _words(sentence, self.unit):
            if kind == "VALUE":
                self._value(word, before)
            elif kind in ("PLUS", "MINUS", "LETTER", "SAME", "NEW"):
                self._point(self._named(kind, word), before)
            elif kind == "ONWARDS":
                self._from(self.it)
            if kind in ("THEN", "FROM", "TO"):
                before = kind if before != "THEN" or kind != "TO" else before
            elif kind not in ("NOISE", "NEAR"):
                before = ""
        if self.bound_for and self.open:
            self._close(self.bound_for)
        self.bound_for = ""

    def _named(self, kind: str, word: str) -> str:
        if kind in ("PLUS", "MINUS"):
            self.has_poles = True
            return {"PLUS": "A", "MINUS": "B"}[kind]
        if kind == "LETTER":
            self.letters.append(word)
            return word
        return self._new() if kind == "NEW" or not self.it else self.it

    def _new(self) -> str:
        self.it = next(self.free, "")
        if not self.it:
            raise NotToldSo
        return self.it

    def _value(self, value: str, before: str) -> None:
        if before == "THEN" and self.open:
            self._close(self._new())
        self.open.append(_Stood(value, self.at))

    def _point(self, point: str, before: str) -> None:
        unplaced = [each for each in self.open if not each.start]
        self.it = point if point not in "AB" else self.it
        if before == "FROM" or unplaced:
            self._from(point)
        elif self.open:
            self._close(point)
        elif before == "TO" and self.at:
            self.bound_for = point
        else:
            self.at = point

    def _from(self, point: str) -> None:
        if not self.open:
            self.at = point
        elif all(each.start in ("", self.at) for each in self.open):
            self.open = [each._replace(start=point) for each in self.open]
        else:
            raise NotToldSo

    def _close(self, point: str) -> None:
        """The open ones end here; the walk goes on from there, or, at a pole, from where they
        began.
        """
        starts = {each.start for each in self.open}
        if len(starts) > 1 or point in starts:
            raise NotToldSo
        self.stood += [each._replace(end=point) for each in self.open]
        self.at = starts.pop() if point in ("A", "B") else point
        self.open = []

    def lines(self) -> list[str]:
        """The joins in words. Errors: ``NotToldSo`` where an end is nowhere."""
        if self.open or len(self.stood) < 2 or not all(e.start and e.end for e in self.stood):
            raise NotToldSo
        points = {point for each in self.stood for point in (each.start, each.end)}
        outer = [each for each in dict.fromkeys(self.letters) if each in points]
        if self.has_poles:
            self.poles = ["A", "B"]
        elif outer:
            self.poles = self.ends or [outer[0], outer[-1]]
        if len({*self.poles} & points) < 2 or len(points) < 3:
            raise NotToldSo
        return [f"{each.value} from point {each.start} to point {each.end}" for each in self.stood]


def _words(text: str, unit: str) -> Iterator[tuple[str, str]]:
    """The words of a sentence. Errors: ``NotToldSo`` for one that is not known."""
    at = 0
    while at < len(text):
        if text[at] in " \n.\t":
            at += 1
            continue
        for kind, pattern in _LEXER:
            match = pattern.match(text, at)
            if match and not re.match(r"(?i)[a-z]{2}", text[match.end() - 1 : match.end() + 1]):
                yield kind, _held(kind, match, unit)
                at = match.end()
                break
        else:
            raise NotToldSo


def _held(kind: str, match: re.Match[str], unit: str) -> str:
    if kind == "VALUE":
        return value_of(match.groupdict(), unit)[0]
    return match["letter"] if kind == "LETTER" else match[0]
