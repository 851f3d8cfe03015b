"""Networks told by their points: between P and Q hangs a 4, from P down to B an 8, a diamond.

Each capacitor is given its two points, whichever of them the text names first; corners and sides
of a square or a diamond are points too. What comes out are joins in words, one a line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from typing import Final, NamedTuple

from grammar.lenient.way_words import AMOUNT, NAME
from grammar.lenient.ways_told import ASKS, SENTENCE

_Pair = tuple[str, str]
_CORNER: Final = r"(?:(?:top|bottom|upper|lower|left|right)(?:[- ](?:left|right|hand))?)"
_POINT: Final = (
    r"(?:(?:the |an? )?(?:(?:left|right|top|bottom|upper|lower|middle|first|last|other) )?"
    r"(?:point|node|corner|junction|terminal|dot|end)(?: called)? )?"
    r"(?:(?<=node )[1-9](?![0-9.])|(?<=point )[1-9](?![0-9.])|(?<=junction )[1-9](?![0-9.])"
    r"|(?<=terminal )[1-9](?![0-9.])"
    rf"|(?-i:[A-Z])(?![A-Za-z0-9_'=])(?! ?=)|(?:the )?{_CORNER}"
    r"(?: (?:corner|point|end|vertex|node))?"
    r"(?! (?:side|edge|one|wire|rail|line|branch|arm|plate|of\b)))"
)
_ON: Final = (
    r"(?:,? (?:straight|right|down|up|on|over|across|directly|along|back|out|again|also|goes|runs"
    r"|leads|is|joined|connected))*"
)
_TWO: Final = (
    rf"(?:(?:from|between|joins?|connects?|links?|bridges|on|at|across) )?(?P<one>{_POINT}){_ON}"
    rf" ?(?:to|and|with|->|-|=>)(?: on| down| up| over| to)* ?(?P<other>{_POINT})"
    r"(?: corners?)?(?![a-z])"
)
_ROWS: Final = (
    ("WRONG", r"\b(?:in series|parallel|then joined|switch(?:ed)?|charged|resist\w*|plates?|slab"
        r"|shorted|disconnect\w*|remov\w*|ladder|bridge)\b"),
    ("AIR", r"\b(?:(?:in(?:to)?|to) (?:the )?(?:air|nowhere|nothing|open|void)|touch\w* nothing"
        r"|dangl\w*|unconnected|loose end|joined to nothing|dead end)\b"),
    ("SUPPLY", r"[0-9.]+ ?(?:kV|mV|V|volts?)\b|\b(?:battery|supply|source|cell|generator"
        r"|(?:ends|terminals)(?=:? (?:are )?(?-i:[A-Z])\b))\b"),
    ("LIST", r"(?:(?-i:[A-Z]),? )+(?-i:[A-Z]),? and (?-i:[A-Z])(?![a-z0-9])"),
    ("WIRE", r"\b(?:bare |plain |thick |copper )*(?:wire|lead)\b(?!d)"),
    (
        "VALUE",
        rf"(?:(?P<count>two|three|2|3) )?(?:(?P<name>{NAME})(?: ?(?:=|is|of|:|\()| equals)? ?)?"
        rf"(?P<amount>{AMOUNT})\)?(?: each)?"),
    ("VALUE", rf"(?P<name>{NAME})(?! ?=)"),
    ("PLUS", rf"(?P<plus>{_POINT}) (?:is |goes |sits |lies )?(?:at|to|on) (?:the )?(?:plus|\+"
        rf"|positive)[^.;]*?(?P<minus>{_POINT}) (?:is |goes |sits |lies )?(?:at |to |on )?(?:the )?"
        r"(?:minus|-|negative)"),
    ("CALLED", rf"{_CORNER}(?: corner| point| end)? (?=(?:is |= |called )?(?-i:[A-Z])\b)"),
    ("PAIR", _TWO),
    (
        "PAIR",
        r"\b(?:on|at|to|ends|terminals|across|between|corners|points):? "
        r"(?P<one>(?-i:[A-Z])) ?[,/] ?(?P<other>(?-i:[A-Z]))(?![a-z0-9])(?!,)"),
    (
        "PAIR",
        r"(?P<letters>(?-i:(?!(?:AC|DC) (?:supply|mains|source|voltage)|PD|UF|NF|PF)[A-Z]{2}))"
        r"(?![A-Za-z0-9])"),
    ("SIDE", rf"(?:the )?(?P<side>{_CORNER})(?: (?:side|edge))?(?= ?:| is| has|,? (?:an? )?[0-9])"),
    ("SIDE", rf"(?:the )?(?P<side>{_CORNER}) (?:side|edge)"),
    ("SIDE", rf"(?:the )?(?:two )?(?P<side>{_CORNER}) (?:two )?(?:corners|ends)\b"),
    ("POINT", _POINT),
    ("MARK", r"\b(?:plus|positive|minus|negative)\b"),
    ("THEN", r"\b(?:then|followed by|behind it|after (?:it|that))\b"),
)  # fmt: skip
_LEXER: Final = tuple((kind, re.compile(pattern, re.I)) for kind, pattern in _ROWS)
_DIAMOND: Final = re.compile(r"(?i)\b(?:diamond|rhombus|kite|on its (?:tip|corner|point))\b")
_SQUARE: Final = re.compile(r"(?i)\b(?:square|rectangle|box|frame)\b")
_SIDES_OF_A_SQUARE: Mapping[str, _Pair] = {
    "top": ("top left", "top right"), "bottom": ("bottom left", "bottom right"),
    "left": ("top left", "bottom left"), "right": ("top right", "bottom right"),
}  # fmt: skip
_FREE: Final = "PQRSTUWXYZDEFGHKLMNAB"


class _Told(NamedTuple):
    """One word of such a text: its kind, and what it stands for."""

    kind: str
    text: str
    points: tuple[str, ...] = ()
    value: str = ""
    many: int = 1


def with_places_told(text: str, unit: str) -> str:
    """The text made plain with its capacitors between points as joins, one a line; the text as it
    is where not every value has its two points.
    """
    sentences = [each for each in SENTENCE.findall(_with_points_for_names(text)) if each.strip()]
    shape = "diamond" if _DIAMOND.search(text) else "square" if _SQUARE.search(text) else ""
    told = [s for s in sentences if not ASKS.search(s)]
    rest = [s for s in sentences if ASKS.search(s)]
    drawn = bool(shape) or "corner" in text.lower()
    drawing = _Drawing(unit)
    for sentence in told:
        words = list(_words(sentence, unit, shape))
        if any(each.kind == "WRONG" for each in words):
            return text
        drawing.hear([each for each in words if drawn or all(len(p) == 1 for p in each.points)])
    return "\n".join([*drawing.lines(), *rest]) if drawing.is_whole() else text


def _with_points_for_names(text: str) -> str:
    """CD as DC, where other pairs of letters show that C and D are points: it is no name then."""
    pairs = re.findall(r"\b(?!C)[A-Z]{2}\b", text)
    points = {point for pair in pairs for point in pair}
    if len(pairs) < 2 or "C" not in points:
        return text
    return re.sub(rf"\bC([{''.join(sorted(points))}])\b(?! ?=)", r"\1C", text)


def _words(text: str, unit: str, shape: str) -> Iterator[_Told]:
    at = 0
    while at < len(text):
        for kind, pattern in _LEXER:
            match = pattern.match(text, at) if not (at and text[at - 1].isalnum()) else None
            if match and match.end() > at:
                word = _told(kind, match, unit, shape)
                if word is None:
                    continue
                yield word
                at = match.end()
                break
        else:
            at += 1


def _told(kind: str, match: re.Match[str], unit: str, shape: str) -> _Told | None:
    group = match.groupdict()
    if kind == "VALUE":
        amount, name = group.get("amount") or "", group["name"] or ""
        amount = f"{amount} {unit}".strip() if re.fullmatch("[0-9.]+", amount) else amount
        count = {"two": 2, "2": 2, "three": 3, "3": 3}.get(group.get("count") or "", 1)
        return _Told(kind, match[0], value=f"{name} = {amount}".strip(" ="), many=count)
    if kind == "PAIR":
        letters = group.get("letters")
        points = tuple(letters) if letters else (_point(group["one"]), _point(group["other"]))
        return None if points[0] == points[1] else _Told(kind, match[0], points)
    if kind == "PLUS":
        return _Told("ENDS", match[0], (_point(group["plus"]), _point(group["minus"])))
    if kind == "SIDE":
        side = _side(_point(group["side"]), shape)
        return None if side is None else _Told("PAIR", match[0], side)
    if kind == "POINT":
        return _Told(kind, match[0], (_point(match[0]),))
    return _Told(kind, match[0])


def _point(told: str) -> str:
    """A point by its letter, or by where it is drawn."""
    plain = re.sub(r"\ban?\b(?= )", " ", told)
    plain = re.sub(
        r"(?i)\b(?:the|called|points?|nodes?|corners?|junction|terminal|dot|end|vertex|hand)\b",
        " ",
        plain,
    )
    words = plain.replace("-", " ").split()
    if words and len(words[-1]) == 1:
        return words[-1].upper()
    return " ".join(
        {"upper": "top", "lower": "bottom"}.get(low := each.lower(), low) for each in words
    )


def _side(place: str, shape: str) -> _Pair | None:
    """The two corners of a side; of a diamond the upper left one joins left and top."""
    place = place.lower()
    if shape == "square":
        return _SIDES_OF_A_SQUARE.get(place)
    halves = place.split()
    if shape == "diamond" and len(halves) == 2:
        return (halves[1], "top") if halves[0] == "top" else (halves[1], "bottom")
    return None


class _Drawing:
    """What has been told so far: capacitors and wires between points, and the ends."""

    def __init__(self, unit: str) -> None:
        self.unit = unit
        self.joins: list[tuple[str, _Pair]] = []
        self.wires: list[_Pair] = []
        self.given: dict[str, str] = {}  # values that are said apart, by their names
        self.ends: _Pair | None = None
        self.volts: list[str] = []
        self.hung: list[_Told] = []  # those of which one end is free
        self.is_lost = False

    def hear(self, words: Sequence[_Told]) -> None:
        """Take one sentence."""
        self.volts += [
            each.text
            for each in words
            if re.match(r"[0-9.]+ ?[kmV]", each.text, re.I) and each.kind == "SUPPLY"
        ]
        told = [each for each in words if each.kind not in ("CALLED", "LIST", "THEN")]
        kinds = {each.kind for each in told}
        values = [each.value for each in told if each.kind == "VALUE"]
        points = [point for each in told for point in each.points]
        if values and not points and all(" = " in each for each in values):
            self.given.update({each.split(" = ")[0]: each for each in values})
        elif "MARK" in kinds and len(points) == 2 and not values:
            self.ends = (points[0], points[1])
        else:
            self._paired(self._without_walks([each for each in told if each.kind != "MARK"]))

    def _without_walks(self, words: Sequence[_Told]) -> list[_Told]:
        """``A, then comes a 6, then P``: each value between the points on both sides of it."""
        left = list(words)
        at = 0
        while at < len(left) - 2:
            if [each.kind for each in left[at : at + 3]] != ["POINT", "VALUE", "POINT"]:
                at += 1
                continue
            before, value, after = left[at : at + 3]
            self._join([value], (before.points[0], after.points[0]))
            goes_on = at + 3 < len(left) and left[at + 3].kind == "VALUE"
            del left[at : at + 2 + (not goes_on)]
        return left

    def _paired(self, words: Sequence[_Told]) -> None:
        waiting: list[_Told] = []
        open_pair: _Pair | None = None
        used = False
        kinds = [each.kind for each in words]
        for at, word in enumerate(words):
            rest = [*islice((each for each in kinds[at + 1 :] if each in ("PAIR", "VALUE")), 2)]
            if word.kind == "ENDS":
                self.ends = (word.points[0], word.points[1])
            elif word.kind in ("VALUE", "WIRE", "SUPPLY"):
                later = used and rest[:1] == ["PAIR"] and rest[1:2] != ["VALUE"]
                if word in self.hung:
                    continue
                if open_pair is None or later or (word.kind == "WIRE" and used):
                    waiting.append(word)
                    continue
                self._join([word], open_pair)
                used = True
            elif word.kind == "PAIR":
                pair = (word.points[0], word.points[1])
                self.is_lost |= open_pair is not None and not used
                if waiting:
                    self._join(waiting, pair)
                    waiting, open_pair = [], None
                else:
                    open_pair, used = pair, False
            elif word.kind == "POINT":
                self._hanging(word, words[at + 1 :], waiting)
        self.is_lost |= any(each.kind == "VALUE" for each in waiting)
        self.is_lost |= open_pair is not None and not used

    def _hanging(self, point: _Told, after: Sequence[_Told], waiting: list[_Told]) -> None:
        """``off P there's a 5 whose other leg ends in the air``."""
        values = [each for each in after if each.kind == "VALUE"]
        if not any(each.kind == "AIR" for each in after):
            return
        if waiting and not values:
            self._join([waiting.pop()], (point.points[0], ""))
        elif len(values) == 1:
            self._join(values, (point.points[0], ""))
            self.hung.extend(values)

    def _join(self, words: Sequence[_Told], points: _Pair) -> None:
        values = [each for each in words if each.kind == "VALUE"]
        for each in values:
            self.joins += [(each.value, points)] * each.many
        kinds = {each.kind for each in words}
        if not values and "WIRE" in kinds:
            self.wires.append(points)
        elif not values and "SUPPLY" in kinds:
            self.ends = points

    def is_whole(self) -> bool:
        """Whether every value has its points, and there are three points or more."""
        points = {point for _, pair in self.joins for point in pair}
        ends = self.ends is None or {*self.ends} <= points
        valued = all(
            re.search("[0-9] ?[a-zA-Z]|[unp][0-9]|^[0-9.]+$", self.given.get(value, value))
            for value, _ in self.joins
        )
        return valued and not self.is_lost and len(self.joins) > 1 and len(points) > 2 and ends

    def lines(self) -> Iterator[str]:
        """The joins in words."""
        letters = self._letters()
        for value, pair in self.joins:
            other = (
                letters[pair[1]] if pair[1] else next(x for x in _FREE if x not in letters.values())
            )
            yield f"{self.given.get(value, value)} from point {letters[pair[0]]} to point {other}"
        for one, other in self.wires:
            yield f"a wire from point {letters[one]} to point {letters[other]}"
        ends = "" if self.ends is None else " and ".join(letters[each] for each in self.ends)
        if self.volts:
            yield f"supply of {self.volts[0]}{ends and f' between points {ends}'}"
        elif ends:
            yield f"terminals {ends}"

    def _letters(self) -> dict[str, str]:
        """A letter for each point that is told by its place."""
        points = [p for _, pair in self.joins for p in pair] + [p for w in self.wires for p in w]
        own = {each: each for each in points if len(each) == 1}
        own |= {
            each: letter
            for each, letter in zip(self.ends or (), "AB", strict=False)
            if len(each) > 1 and letter not in own
        }
        free = (each for each in _FREE if each not in own.values())
        return own | {
            each: next(free) for each in dict.fromkeys(points) if each and each not in own
        }
