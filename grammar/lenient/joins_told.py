"""Networks told join by join: C1 from A to P, two between P and B, a wire from P to Q.

Every sentence is put together by the grammar of joins, and no word of it is passed over. What
comes out are joins in words, one a line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from grammar.lenient.bridge_rules import BRIDGE_RULES
from grammar.lenient.bridges_told import of_branches_told
from grammar.lenient.concepts import words
from grammar.lenient.joins_rules import (
    JOIN_RULES,
    MINUS,
    ONE_OF_STOCK,
    PLUS,
    JoinSaid,
    Pole,
    TwoPoints,
    Volts,
)
from grammar.lenient.letters import letters_settled
from grammar.lenient.patterns import row, sentences_of, tags_of
from grammar.lenient.point_pairs import points_settled
from grammar.lenient.small_charts import PhraseChart, Term
from grammar.lenient.tokens import Chunk, scan
from grammar.lenient.trees_in_signs import NotToldSo
from grammar.lenient.ways_told import ASKS

_SAME: Final = words(
    "A THE OTHER ONE IS BOTH EACH OF IN ON WITH COMMA COLON AND OPEN CLOSE CAP EQUAL ACROSS AT BY"
    " SOURCE BRANCH THEM TOGETHER THEIR WHICH ALL"
)
_KINDS: Mapping[str, str] = {
    **{kind: kind for kind in _SAME},
    "DET": "A", "SINGLE": "SOLE", "EQ": "IS", "TO": "WITH", "FROM": "OF", "TERMINAL": "ENDS",
    "BETWEEN": "OF", "MIDDLE": "IDLE", "SERSIGN": "ARROW", "PLUS": "PLUS",
    "POINT": "POINTS", "THEN": "THEN", "WIRE": "WIRE", "APPLY": "JOINS", "TRIANGLE": "SHAPE",
    "SQUARE": "SHAPE", "BRIDGE": "SHAPE", "STAR": "SHAPE", "GROUP": "SHAPE", "ORD5": "ORDER",
    "ORD1": "ORDER", "ORD3": "ORDER", "ORD2": "ORDER", "ORD4": "ORDER", "ORDLAST": "ORDER",
    "PARSIGN": "COMMA",
    "POSITIVE": "PLUS", "NEGATIVE": "MINUS", "UNCHARGED": "IDLE", "PUNCTUAL": "IDLE", "IF": "IDLE",
    "PD": "SOURCE", "DASH": "COMMA", "RESPECTIVELY": "INORDER", "SER": "INROW",
    "PARBY": "BY", "WHOLE": "WHOLE", "PAR": "ABREAST", "NEXTTO": "ABREAST", "TOP": "SPOT",
    "BOTTOM": "SPOT", "SIDE": "SPOT",
}  # fmt: skip
_BY_WORD: Mapping[str, str] = {
    "also": "ALSO", "too": "ALSO", "plus": "PLUS", "minus": "MINUS", "there": "THERE",
    "wire": "WIRE", "plain": "IDLE", "copper": "IDLE", "directly": "IDLE", "straight": "IDLE",
    "just": "IDLE", "only": "IDLE", "has": "HOLDS", "have": "HOLDS", "dot": "POINTS",
    "contain": "HOLDS", "contains": "HOLDS", "hold": "HOLDS", "holds": "HOLDS", "steady": "IDLE",
    "gnd": "MINUS", "ground": "MINUS", "earth": "MINUS", "pluspole": "PLUS", "minuspole": "MINUS",
    "there's": "THERE", "theres": "THERE", "piece": "IDLE", "bit": "IDLE", "length": "IDLE",
    "common": "IDLE", "midpoint": "MID", "midpoints": "MID", "middles": "MID", "running": "JOINS",
    "chain": "CHAIN", "row": "CHAIN", "string": "CHAIN", "line": "CHAIN",
    "similarly": "EQUAL", "shown": "IDLE", "detector": "IDLE", "replaced": "JOINS",
    "next to it": "ABREAST", "followed by": "THEN",
    "someone": "IDLE", "somebody": "IDLE", "drew": "JOINS", "drawn": "JOINS", "as": "IDLE",
    "well": "ALSO", "round": "ACROSS", "on": "ON", "down": "IDLE", "up": "IDLE", "over": "ACROSS",
    "carry": "HOLDS", "carries": "HOLDS", "make": "HOLDS", "form": "HOLDS",
}  # fmt: skip
_BETWEEN_TWO: Final = (
    r"(?:between|across|from|to|on) (?:the )?(?:points? )?[A-Z] (?:and|to) [A-Z]\b"
)
_FED_WITHIN: Final = re.compile(
    r"(?:,? ?\b(?:[Gg]iven that|[Ww]hen|[Ii]f|[Ww]ith|[Ww]here|and) )(?P<told>[^,?.]{0,150}?(?:"
    rf"[0-9.]+ ?[km]?V\b[^,?.]{{0,150}}?{_BETWEEN_TWO}|{_BETWEEN_TWO} (?:is|are) [0-9.]+ ?[km]?V\b)"
    r"(?: applied| maintained)?),?"
)
# Two points, and not a kind of current.
_NO_CURRENT: Final = re.compile(r"\b([AD])C\b(?= ?[:=]? ?[0-9.]+ ?[unp]F)")
# A pole that is told as a point.
_AT_A_POLE: Final = re.compile(
    r"(?i)\b(?P<to>from|to|at|on|between|with|and) (?:the )?(?:battery'?s? )?"
    r"(?P<sign>minus|negative|(?<!and )plus|(?<!and )positive)\b(?: (?:pole|side|terminal|end"
    r"|rail))?"
    r"(?: of (?:the |an? )?(?:battery|cell|supply|source))?(?! (?:plate|charge|to (?:plus|minus)))"
)
_POINTS: Final = row("PLACE | LETTER")
_MIDDLES: Final = re.compile(r"(?i)\bmid(?:-?points?|dles)\b|\bjunctions? of\b")
_CALLED: Final = re.compile(
    r",? (?:and )?(?:(?:which )?we |let us )?call(?:ed)? (?:them"
    r"|these)?(?: points?)? ?(?P<one>[A-Z])"
    r"[^.;,]*? and (?P<other>[A-Z])(?: (?:below|above))?,?"
)
_IN_A_PAIR: Final = re.compile(
    r"\b(?:the )?(?:capacitor|condenser|cap|one) (?:(?:which|that) is )?(?:in|between|from|across"
    r"|on) (?:points? )?([A-Z])(?: ?(?:and|to|-) ?)?([A-Z])\b"
)
_AT_A_POINT: Final = re.compile(
    r"(?i)\b(?:what is |what's )?(?:the )?(?:volts|voltage|potential|p\.?d\.?) (?:at|of) (?:the )?"
    r"(?:node |point )?(?-i:([A-Z]))(?![A-Za-z0-9])"
)
_UNSAFE: Final = ("slid", "pour", "push", "touch", "insert", "clip", "share", "sharing", "lead")
_BEFORE_A_VALUE: Final = words("IS EQ PLACE NAME COLON A OF THE")
_FREE: Final = "ABPQRSTUWXYZDEFGHKLMN"
_COUNTED: Final = words("CAP EQUAL CAPV OTHER")
_LONGEST: Final = 70  # words of a sentence


class _Joins(NamedTuple):
    """What is told: things with their points, wires, values by name, the ends and the supply."""

    joins: tuple[tuple[str, TwoPoints], ...] = ()
    wires: tuple[TwoPoints, ...] = ()
    values: tuple[tuple[str, str], ...] = ()
    ends: TwoPoints | None = None
    poles: tuple[str, str] = ("", "")
    volts: str = ""
    stock: str = ""
    branches: tuple[JoinSaid, ...] = ()
    bridges: tuple[JoinSaid, ...] = ()


_RULES: Final = (*JOIN_RULES, *BRIDGE_RULES)


def with_joins_told(text: str, unit: str) -> str:
    """The text made plain with its joins in words, one a line; the text as it is where a sentence
    is told otherwise, or could be two things.
    """
    plain, text = text, _with_poles(_NO_CURRENT.sub(r"from \1 to C", text))
    text = _CALLED.sub(lambda said: said[0] if _is_used(said) else " ", text)
    pieces = points_settled(letters_settled(scan(text)))
    if len(_POINTS.findall(tags_of(pieces))) < 2 and not _MIDDLES.search(text):
        return plain
    found = {_Joins(): None}
    rest: list[str] = []
    try:
        for sentence, told in _sentences(pieces, text):
            if _is_a_head(sentence):
                continue
            if ASKS.search(told) or {"WISHV", "QUERY"} & {each.tag for each in sentence}:
                fed, asked = _fed_within(told)
                if fed:
                    pieces = points_settled(letters_settled(scan(fed)))
                    found = dict.fromkeys(_after(found, pieces, unit))
                rest.append(re.sub(r"\b(plus|minus)pole\b", r"the \1", asked.strip()))
            else:
                found = dict.fromkeys(_after(found, sentence, unit))
    except NotToldSo:
        return plain
    by_points = any(_IN_A_PAIR.search(each) for each in rest)
    named = [_with_names(each) if by_points else each for each in found]
    networks = {lines: each for each in named if (lines := _lines(each)) is not None}
    fewest = min(map(len, networks), default=0)  # a name and its value are one
    networks = {each: joins for each, joins in networks.items() if len(each) == fewest}
    if len(networks) != 1:
        return plain
    ((lines, joins),) = networks.items()
    return "\n".join([*lines, *(_by_its_name(each, joins) for each in rest)])


def _is_used(said: re.Match[str]) -> bool:
    """Whether points that are called by letters are spoken of again."""
    rest = f"{said.string[: said.start()]} {said.string[said.end() :]}"
    return re.search(rf"(?<![A-Za-z])[{said['one']}{said['other']}](?![A-Za-z])", rest) is not None


def _with_poles(text: str) -> str:
    """The text with a word of its own for each pole that is one of two points."""
    return _AT_A_POLE.sub(
        lambda said: f"{said['to']} {'plus' if said['sign'][0] in 'pP' else 'minus'}pole", text
    )


def _with_names(told: _Joins) -> _Joins:
    """With a name for each capacitor, where none has one."""
    if any("=" in thing or not thing[:1].isdigit() for thing, _ in told.joins):
        return told
    named = ((f"C{at} = {thing}", pair) for at, (thing, pair) in enumerate(told.joins, 1))
    return told._replace(joins=tuple(named))


def _by_its_name(asked: str, told: _Joins) -> str:
    """A question about the capacitor in PQ with the name of that one."""
    if {MINUS, PLUS} & {point for _, ends in told.joins for point in ends}:
        asked = _AT_A_POINT.sub(r"what is the voltage between points \1 and B", asked)
    pair = _IN_A_PAIR.search(asked)
    if pair is None:
        return asked
    names = [each.split(" = ")[0] for each, ends in told.joins if {*ends} == {pair[1], pair[2]}]
    return asked.replace(pair[0], names[0]) if len(names) == 1 else asked


def _fed_within(asked: str) -> tuple[str, str]:
    """What a question says of the supply and its two points, and the question without it."""
    fed = _FED_WITHIN.search(asked)
    if fed is None:
        return "", asked
    return fed["told"], f"{asked[: fed.start()]} {asked[fed.end() :]}"


def _is_a_head(sentence: Sequence[Chunk]) -> bool:
    """Whether it names the columns of a table."""
    tags = {each.tag for each in sentence}
    return "PARSIGN" in tags and not tags & {"CAPV", "VOLT", "PLACE", "NUM", "NAME"}


def _sentences(pieces: Sequence[Chunk], text: str) -> Iterator[tuple[list[Chunk], str]]:
    """Each sentence in pieces, and as it is written."""
    told = [each for each in sentences_of(pieces) if any(piece.tag != "STOP" for piece in each)]
    starts = [each[0].start for each in told] + [len(text)]
    for at, sentence in enumerate(told):
        yield sentence, text[starts[at] : starts[at + 1]]


def _after(found: Mapping[_Joins, None], sentence: Sequence[Chunk], unit: str) -> list[_Joins]:
    terms = list(_terms([each for each in sentence if each.tag not in ("STOP", "QUERY")], unit))
    while terms and terms[-1].kind in ("COMMA", "AND"):
        terms.pop()
    if not terms or len(terms) > _LONGEST:
        raise NotToldSo
    ways = PhraseChart(_RULES, terms).whole("sentence")
    following = []
    for joins in found:
        for way in ways:
            made: _Joins | None = joins
            for said in way:
                made = None if made is None else _with(made, said)
            following += [made] if made is not None else []
    if not following:
        raise NotToldSo
    return following


def _terms(pieces: Sequence[Chunk], unit: str) -> Iterator[Term]:
    for at, piece in enumerate(pieces):
        before = [each.tag for each in pieces[max(0, at - 2) : at]]
        after = pieces[at + 1].tag if at + 1 < len(pieces) else ""
        if piece.tag == "PLACE":
            if re.search(r"(?i)\b(?:end|terminal)s?\b", piece.text):
                yield Term("ENDS")
            yield Term("PAIR", TwoPoints(*map(str, piece.datum)))
        elif piece.tag in ("CAPV", "NAME"):
            yield Term("AMOUNT" if piece.tag == "CAPV" else "NAME", str(piece.datum))
        elif piece.tag == "VOLT":
            yield Term("VOLTS", Volts(str(piece.datum)))
        elif piece.tag in ("LV", "LU") and after in ("ACROSS", "PLACE", "ON", "BETWEEN"):
            yield Term("VOLTS", Volts("V"))
        elif piece.tag in ("NUM", "WNUM", "COUNT"):
            yield _number(piece, before, after, unit)
        else:
            term = _plain(piece)
            if term.kind != "IDLE":
                yield term


def _number(piece: Chunk, before: Sequence[str], after: str, unit: str) -> Term:
    in_words = piece.tag != "NUM" and after in words("OF PAR SER NEXTTO COLON PLACE BRANCH GROUP")
    there_are = piece.tag != "NUM" and after == "COMMA" and before[-1:] == ["IS"]
    if in_words or (there_are and before[:1] == ["WORD"]) or after in _COUNTED:
        if str(piece.datum).isdigit():
            return Term("COUNT", int(piece.datum))
    elif unit and (
        before[-1:] in (["IS"], ["EQ"], ["PLACE"], ["NAME"], ["COLON"], ["A"], ["OF"], ["THE"])
    ):
        return Term("AMOUNT", f"{piece.datum} {unit}")
    raise NotToldSo


def _plain(piece: Chunk) -> Term:
    word = piece.text.lower()
    if word in _BY_WORD:
        return Term(_BY_WORD[word])
    if piece.tag in ("LETTER", "LC", "LQ", "LV", "LU"):
        return Term("POINT", Pole(str(piece.datum or piece.text)))
    if piece.tag == "JOIN" and not word.startswith(_UNSAFE):
        return Term("JOINS")
    if piece.tag in _KINDS:
        return Term(_KINDS[piece.tag])
    raise NotToldSo


def _with(joins: _Joins, said: JoinSaid) -> _Joins | None:
    """One statement more; None where it does not fit what was said before."""
    if said.kind == "join":
        new = tuple((thing, said.pairs[0]) for thing in said.things)
        return joins._replace(joins=(*joins.joins, *new))
    if said.kind == "start":
        fed = joins._replace(volts=said.volts) if not joins.volts else None
        return None if fed is None else _with(fed, said._replace(kind="join"))
    if said.kind == "row":
        return _in_a_row(joins, said)
    if said.kind == "each":
        return joins._replace(joins=(*joins.joins, *zip(said.things, said.pairs, strict=True)))
    if said.kind == "wire":
        return joins._replace(wires=(*joins.wires, *said.pairs))
    if said.kind == "branch":
        return joins._replace(branches=(*joins.branches, said))
    if said.kind == "bridge":
        return joins._replace(bridges=(*joins.bridges, said))
    if said.kind == "value":
        return joins._replace(values=(*joins.values, (said.things[0], said.things[1])))
    if said.kind == "stock":
        return joins._replace(stock=said.things[0]) if not joins.stock else None
    return joins if said.kind == "lead" else _fed(joins, said)


def _fed(joins: _Joins, said: JoinSaid) -> _Joins | None:
    """The supply and the points it is between, each told once."""
    if said.kind in ("plus", "minus"):
        plus, minus = joins.poles
        point, *volts = said.things
        if plus if said.kind == "plus" else minus:
            return None
        poles = (point, minus) if said.kind == "plus" else (plus, point)
        joins = joins._replace(poles=poles)
        told, pair = volts, None
    else:
        told, pair = list(said.things), said.pairs[0] if said.pairs else None
    if (told and joins.volts) or (pair and joins.ends not in (None, pair)):
        return None
    return joins._replace(volts=told[0] if told else joins.volts, ends=pair or joins.ends)


def _in_a_row(joins: _Joins, said: JoinSaid) -> _Joins:
    """One after the other between two points, with points of their own in between."""
    (pair,) = said.pairs
    taken = len(joins.joins)
    inner = [f"between {taken + i}" for i in range(1, len(said.things))]
    points = [pair.one, *inner, pair.other]
    steps = (TwoPoints(*each) for each in pairwise(points))
    return joins._replace(joins=(*joins.joins, *zip(said.things, steps, strict=True)))


def _lines(told: _Joins) -> tuple[str, ...] | None:
    """The joins in words; None where one has no value, or a point hangs in the air."""
    if told.branches or told.bridges:
        branched = of_branches_told(told.branches, told.bridges, told.joins, told.wires, told.ends)
        if branched is None:
            return None
        told = told._replace(**branched._asdict())
    values = dict(told.values)
    things = [_valued(thing, values, told.stock) for thing, _ in told.joins]
    named = [each.split(" = ")[0] for each in things if " = " in each]
    points = {point for _, pair in told.joins for point in pair}
    poles = told.poles if all(told.poles) else (PLUS, MINUS) if {PLUS, MINUS} <= points else None
    ends = told.ends or (TwoPoints(*poles) if poles else None)
    wired = {point for pair in told.wires for point in pair}
    is_whole = len(points) > 2 and all(things) and {*(ends or ())} <= points | wired
    is_whole = is_whole and len({*named}) == len(named) and {*values} <= {*named}
    if not is_whole or any(told.poles) != all(told.poles) or (told.volts and ends is None):
        return None
    return tuple(_in_words(told, things, ends))


def _in_words(told: _Joins, things: Sequence[str], ends: TwoPoints | None) -> Iterator[str]:
    letters = _letters([*(pair for _, pair in told.joins), *told.wires])
    for thing, (_, pair) in zip(things, told.joins, strict=True):
        yield f"{thing} from point {letters[pair.one]} to point {letters[pair.other]}"
    for pair in told.wires:
        yield f"a wire from point {letters[pair.one]} to point {letters[pair.other]}"
    between = f"{letters[ends.one]} and {letters[ends.other]}" if ends else ""
    if told.volts:
        yield f"supply of {told.volts} between points {between}"
    elif ends:
        yield f"terminals {between}"


def _letters(pairs: Sequence[TwoPoints]) -> dict[str, str]:
    """A letter for each point that has none."""
    points = dict.fromkeys(point for pair in pairs for point in pair)
    own = {each: each for each in points if len(each) == 1 and each.isalnum()}
    free = [each for each in _FREE if each not in own]
    for pole, letter in ((PLUS, "A"), (MINUS, "B")):
        if pole in points:
            own[pole] = letter if letter in free else free[0]
            free.remove(own[pole])
    rest = (each for each in points if each not in own)
    return own | dict(zip(rest, (each for each in free if each not in "AB"), strict=False))


def _valued(thing: str, values: Mapping[str, str], stock: str) -> str:
    """A thing with its value; "" where it has none."""
    if thing == ONE_OF_STOCK:
        return stock
    if thing in values:
        return f"{thing} = {values[thing]}"
    return thing if "=" in thing or thing[:1].isdigit() else ""
