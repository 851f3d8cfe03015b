"""Networks told as they are drawn: the battery on the left, a 3 on the top side, a 6 on the right.

What hangs between the top and the bottom line is side by side; what lies in these lines comes
before or after all of it. Where that leaves open what lies between what, nothing is read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import Any, Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.small_charts import PhraseChart, Rule, Term, rule
from grammar.lenient.tokens import Chunk, scan
from grammar.lenient.trees_in_signs import NotToldSo, PartTree, in_one_order, in_signs, joined
from grammar.lenient.ways_told import ASKS, SENTENCE

_LINE: Final = r"(?:side|edge|wire|line|rail)"
_UPRIGHT: Final = r"(?:branch|column|leg|vertical|upright|arm|path)"
_AT: Final = r"(?:(?:on|at|in|to|down|along|of|through) )*(?:the |its )?"
_PLACE: Final = re.compile(
    rf"(?i)\b(?:(?P<across>from (?:the )?(?:top|upper)(?: \w+)??(?: down)? to (?:the )?"
    r"(?:bottom|lower)(?: (?:wire|line|rail|side|edge|one)\b)?)"
    rf"|{_AT}(?:(?P<side>left|right)(?:[- ]hand)?(?: (?:{_LINE}|{_UPRIGHT}|one)\b)*"
    rf"|(?P<middle>middle|cent(?:re|er))(?: (?:(?:{_LINE}|{_UPRIGHT}|one)\b ?)+"
    r"|(?= (?:two|three)\b))"
    rf"|(?P<line>top|upper|bottom|lower)(?:(?: horizontal)? {_LINE}\b|(?! (?:\w*branch|row|path|arm"
    r"|plate|corner|one|left|right))\b)))(?: of (?:it|them|these|those))?"
)
_SAID: Final = (
    (
        re.compile(
            r"(?i)\b(?:of|in) the (?:rectangle|box|square|drawing|picture|figure|sketch|loop"
            r"|diagram)\b"
            r"|\b(?:has|with) (?:four|4) sides:?"
        ),
        " ",
    ),
    (re.compile(r"(?i)\b(?:goes|runs|leads|going|on) (?:to the )?(?:right|left)\b(?: to)?"), " "),
    (re.compile(r"(?i)\b(?:in )?between (?:those|these|the) two\b|\bbetween them\b"), " "),
    (
        re.compile(
            r"(?i),? (?:and )?(?:then )?(?:(?:the|a) (?:wire|line|way) )?(?:(?:goes|runs|leads"
            r"|comes|is) )?back to (?:the )?(?:battery|minus|source)[^.;,]*"
        ),
        " ",
    ),
    (
        re.compile(
            r"(?i)\b(?:the )?top and (?:the )?bottom(?: (?:wire|line|rail)s?)? (?:are|is|go|get)\b"
        ),
        " bothlines ",
    ),
    (
        re.compile(
            r"(?i),? (?:which |that |and )?(?:both|all|they)(?: of them)? (?:end|go|run|lead"
            r"|hang)s?"
            r" (?:down )?(?:on|to|at|into) the (?:bottom|lower) \w+"
        ),
        " ",
    ),
    (re.compile(r"(?i)\bone (?:above|below|under|over|beneath) (?:the )?other\b"), " oneunder "),
    (
        re.compile(
            r"(?i)\b(?:and )?(?:below|under|beneath|underneath) (?:it|that|this|them|these)\b"
        ),
        " underit ",
    ),
    (re.compile(r"(?i)\b(?:with )?an? (?:line|wire) (?:down|through|in) the middle\b"), " "),
    (
        re.compile(
            r"(?i)\b(?:(?:it|this|the (?:figure|drawing|picture|sketch|circuit"
            r"|diagram)) (?:shows|is|has)"
            r" |draw |(?:it'?s|it is)? ?drawn (?:like|as) |there(?:'s| is"
            r"|s) )?an? (?P<shape>rectangle|box|square|loop|frame)\b(?: with\b)?"
        ),
        " ",
    ),
    (
        re.compile(
            r"(?i)\b(?:there are )?(?:two|three|four) (?:vertical"
            r"|upright) \w+(?: between (?:the |two )+"
            r"(?:horizontal )?\w+)?"
        ),
        " ",
    ),
)
_DRAWN: Final = re.compile(
    r"(?i)\bleft\b|\bright\b|\btop\b|\bbottom\b|\b(?:below|under|beneath|underneath) (?:it|them)\b"
)
_NO_DRAWING: Final = re.compile(
    r"(?i)\bcorners?\b|\bdiamond\b|\bladder\b|\b(?-i:[A-Z] (?:and|to) [A-Z])\b"
)
_IDLE: Final = frozenset(
    words(
        "there there's theres just only simply with in it has goes going comes come coming then on"
        " picture drawing sketch figure circuit shows and so you see i down through both end ends"
        " straight again back battery's hanging hang hangs standing vertical single nothing else"
        " but sits sit lies lie runs run stands stand leads lead big small connected joined placed"
        " first is are have holds contains"
    )
)
_KINDS: Mapping[str, str] = {
    "CAP": "CAP", "COMMA": "COMMA", "AND": "COMMA", "COLON": "COMMA", "OPEN": "COMMA",
    "CLOSE": "COMMA", "SOURCE": "SOURCE", "WIRE": "WIRE", "PAR": "BESIDE", "NEXTTO": "BESIDE",
    "SER": "INROW", "BRANCH": "NOUN", "ONE": "ONE", "OTHER": "ONE", "STOP": "COMMA",
    "DASH": "COMMA",
}  # fmt: skip


_SMALL: Final = words("A AT THE IS OF DET SINGLE THEN")  # kinds of words that tell nothing
_MARKS: Mapping[str, str] = {"oneunder": "ONEUNDER", "underit": "UNDER", "bothlines": "LINES"}
_BREAK: Final = Term("COMMA")
_BREAKS: Final = (_BREAK, _BREAK)
_LONGEST: Final = 80  # words of a text
_IN_A_ROW: Final = ("left", "fork", "right")  # what forks has something before and behind it


class _Place(NamedTuple):
    """A place of the drawing: left, right, top, bottom, middle, or across for what hangs there."""

    at: str


class _Drawn(NamedTuple):
    """What stands at a place; None for the supply, "" for a bare wire."""

    at: str
    tree: PartTree | None


class _Volts(NamedTuple):
    """The p.d. of the supply."""

    written: str


def _trees(held: Sequence[Any]) -> list[PartTree]:
    found: list[PartTree] = []
    for each in held:
        found += each if isinstance(each, tuple) and type(each) is tuple else []
        found += [] if isinstance(each, tuple) and type(each) is tuple else [each] * _is_tree(each)
    return found


def _is_tree(held: Any) -> bool:
    return not isinstance(held, (int, _Place, _Drawn, _Volts))


def _so_many(*held: Any) -> tuple[PartTree, ...] | None:
    """``two, 3 uF and 5 uF``, ``two 3 uF``."""
    trees, many = _trees(held), next((each for each in held if type(each) is int), 0)
    if len(trees) == 1 and many > 1:
        return tuple(trees * many)
    return tuple(trees) if many in (0, len(trees)) else None


def _joined_by(sign: str) -> Any:
    def build(*held: Any) -> PartTree | None:
        trees = _so_many(*held)
        return joined(sign, trees) if trees is not None and len(trees) > 1 else None

    return build


def _fill(*held: Any) -> _Drawn:
    place = next((each.at for each in held if isinstance(each, _Place)), "across")
    return _Drawn(place, _trees(held)[0])


def _side_by_side(*held: Any) -> _Drawn | None:
    tree = _joined_by("||")(*held)
    return None if tree is None else _Drawn("across", tree)


def _next_to_it(*held: Any) -> _Drawn | None:
    """``two one below the other, and right of them a 5 from the top to the bottom``."""
    places = {each.at for each in held if isinstance(each, _Place)}
    return _side_by_side(*held) if places <= {"left", "right"} else None


def _in_between(place: _Place, tree: PartTree) -> _Drawn | None:
    """``in the middle two branches``, between what is on the left and what is on the right."""
    return _Drawn("fork", tree) if place.at == "middle" else None


def _layer(*held: Any) -> PartTree | None:
    """One of a stack that is told from the top down: only the top and the bottom have a place."""
    places = {each.at for each in held if isinstance(each, _Place)}
    return _trees(held)[0] if places <= {"top", "bottom"} else None


def _all_said(*held: Any) -> tuple[_Drawn, ...]:
    found: list[_Drawn] = []
    for each in held:
        found += [each] if isinstance(each, _Drawn) else each
    return tuple(found)


_RULES: Final[Sequence[Rule]] = (
    rule("one: AMOUNT CAP? ONE?", lambda tree: (tree,)),
    rule("one: ONE COMMA? AMOUNT CAP?", lambda tree: (tree,)),
    rule("one: COUNT ONE? AMOUNT CAP?", _so_many),
    rule("list: one", _so_many),
    rule("list: one COMMA+ list", _so_many),
    rule("inside: ONE? AMOUNT CAP?", lambda tree: tree),
    rule("inside: list ONEUNDER|INROW", _joined_by("--")),
    rule("inside: one COMMA* UNDER one", _joined_by("--")),
    rule("inside: list BESIDE", _joined_by("||")),
    rule("inside: COUNT CAP? BESIDE COMMA* list", _joined_by("||")),
    rule("inside: COUNT CAP? ONEUNDER|INROW COMMA* list", _joined_by("--")),
    rule("layer: SPOT? COMMA? inside SPOT? COMMA*", _layer),
    rule("stack: layer UNDER layer", _joined_by("--")),
    rule("stack: layer UNDER stack", _joined_by("--")),
    rule("said: stack", lambda tree: _Drawn("all", tree)),
    rule("said: LINES COMMA* supply", lambda *_: _Drawn("lines", None)),
    rule(
        "said: inside COMMA* SPOT COMMA? one COMMA? ACROSS", _next_to_it),
    rule("supply: SOURCE COMMA* VOLTS? COMMA*", lambda *_: "supply"),
    rule("supply: VOLTS SOURCE? COMMA*", lambda *_: "supply"),
    rule("said: SPOT COMMA* supply", lambda place, _: _Drawn(place.at, None)),
    rule("said: SOURCE SPOT COMMA* VOLTS?", lambda place, *_: _Drawn(place.at, None)),
    rule("said: supply SPOT", lambda _, place: _Drawn(place.at, None)),
    rule("said: SPOT COMMA* inside", _fill),
    rule("said: inside COMMA? SPOT", _fill),
    rule("said: SPOT COMMA* WIRE", lambda place: _Drawn(place.at, "")),
    rule("said: SPOT COMMA* list ACROSS", _side_by_side),
    rule("said: inside ACROSS", lambda tree: _Drawn("across", tree)),
    rule("said: list ACROSS", _side_by_side),
    rule("forked: COUNT NOUN COMMA* ONE? one COMMA+ ONE? one", _joined_by("||")),
    rule("branched: forked", lambda tree: tree),
    rule("branched: COUNT NOUN COMMA* list", _joined_by("||")),
    rule("said: forked", lambda tree: _Drawn("across", tree)),
    rule("said: SPOT COMMA* branched", _in_between),
    rule("said: branched SPOT", lambda tree, place: _in_between(place, tree)),
    rule("said: SOURCE? VOLTS", lambda _: _Drawn("", None)),
    rule("sentence: COMMA* said COMMA*", lambda said: (said,)),
    rule("sentence: COMMA* said COMMA* sentence", _all_said),
)  # fmt: skip


def with_drawn_told(text: str, unit: str) -> str:
    """The text made plain with what is drawn in signs; the text as it is where a word of it is not
    known here, or what lies between what is left open.
    """
    if len(_DRAWN.findall(text)) < 2 or _NO_DRAWING.search(text):
        return text
    is_a_loop = re.search(r"(?i)\b(?:rectangle|box|square|loop|frame)\b", text) is not None
    sentences = [each for each in SENTENCE.findall(text) if each.strip()]
    told = [each for each in sentences if not ASKS.search(each)]
    try:
        terms = [term for each in told for term in (*_terms(each, unit), _BREAK)]
        terms = [each for each, after in zip_longest(terms, terms[1:]) if (each, after) != _BREAKS]
        if len(terms) > _LONGEST:
            return text
        ways = dict.fromkeys(PhraseChart(_RULES, terms).whole("sentence"))
        made = [whole for way in ways if (whole := _whole(way, is_a_loop)) is not None]
        wholes = {in_one_order(each): in_signs(each) for each in made}
    except NotToldSo:
        return text
    volts = [each.held.written for each in terms if each.kind == "VOLTS"]
    if len(wholes) != 1 or len(volts) > 1:
        return text
    rest = [each for each in sentences if each not in told]
    return "\n".join((*wholes.values(), *(f"supply of {each}." for each in volts), *rest))


def _terms(sentence: str, unit: str) -> Iterator[Term]:
    """Errors: ``NotToldSo`` for a word that means nothing here."""
    for said, put in _SAID:
        sentence = said.sub(put, sentence)
    sentence = _PLACE.sub(_in_a_word, sentence)
    pieces = scan(sentence)
    for at, piece in enumerate(pieces):
        word = piece.text.lower()
        after = pieces[at + 1].tag if at + 1 < len(pieces) else ""
        if word.startswith("spot"):
            yield Term("ACROSS") if word == "spotacross" else Term("SPOT", _Place(word[4:]))
        elif word in _MARKS:
            yield Term(_MARKS[word])
        elif piece.tag == "CAPV":
            yield Term("AMOUNT", str(piece.datum))
        elif piece.tag == "VOLT":
            yield Term("VOLTS", _Volts(str(piece.datum)))
        elif piece.tag in ("NUM", "WNUM", "COUNT", "NUMS"):
            is_one = at > 0 and pieces[at - 1].tag == "A"
            yield _number(piece, "" if is_one else after, unit)
        elif word == "wire":
            yield Term("WIRE")
        elif piece.tag in _KINDS:
            yield Term(_KINDS[piece.tag])
        elif word not in _IDLE and piece.text != "A" and piece.tag not in _SMALL:
            raise NotToldSo


def _number(piece: Chunk, after: str, unit: str) -> Term:
    whole = str(piece.datum)
    if piece.tag == "WNUM" or after in ("CAP", "CAPV", "BRANCH", "PAR", "NEXTTO"):
        return Term("COUNT", int(whole)) if whole.isdigit() else Term("")
    if piece.tag == "NUM":
        return Term("AMOUNT", f"{whole} {unit}".strip())
    raise NotToldSo


def _in_a_word(place: re.Match[str]) -> str:
    if place["across"]:
        return " spotacross "
    at = (place["side"] or place["line"] or "middle").lower()
    return f" spot{ {'upper': 'top', 'lower': 'bottom'}.get(at, at) } "


def _whole(drawn: Sequence[_Drawn], is_a_loop: bool) -> PartTree | None:
    """What all of it makes; None where the supply has no place, or something is told twice."""
    supply = [each.at for each in drawn if each.tree is None and each.at]
    fills = {each.at: each.tree for each in drawn if each.tree}
    told = [each.at for each in drawn if each.tree]
    if {*told} == {"all"} and len(told) == 1 and not supply:
        return fills["all"]
    if sorted(told) == sorted(_IN_A_ROW) and not supply:
        return joined("--", [each for at in _IN_A_ROW if (each := fills[at])])
    if (
        {"all", "fork"} & {*told}
        or len(supply) != 1
        or len(told) != len({*told})
        or supply[0] in fills
        or not fills
    ):
        return None
    upright = [fills[at] for at in ("left", "middle", "across", "right") if at in fills]
    lying = [fills[at] for at in ("top", "bottom") if at in fills]
    if supply[0] == "lines":
        return None if lying else joined("||", upright)
    if supply[0] in ("top", "bottom", "middle"):
        loop = is_a_loop and supply[0] != "middle" and not {"middle", "across"} & {*fills}
        return joined("--", [*lying, *upright]) if loop else None
    if lying and len(upright) > 1 and set(fills) & {"middle"}:
        return None  # what lies on the line may come before one of them alone
    parts = [each for each in (fills.get("top"), fills.get("bottom")) if each]
    middle = [joined("||", upright)] if upright else []
    return joined("--", [*parts[:1], *middle, *parts[1:]])
