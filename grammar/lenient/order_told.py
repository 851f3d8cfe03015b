"""What words of order and place say of a network, held against each reading of it.

A reader that passes by *then*, *followed by*, *from the left wire to the middle wire* or *the 4 uF*
may still find a network, and another one than is told. So every such word makes a claim here that
any reading must show, whichever reader found it: two that follow one another are in series, as many
points are there as are named, and what is spoken of with *the* is told of only once.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from grammar.lenient.accounted import worth_said
from grammar.lenient.concepts import words
from grammar.lenient.patterns import row, sentences_of, tags_of, text_of
from grammar.lenient.tokens import Chunk
from grammar.records import Amount, Chain, Description, Element, Parallel, Part, ReadText, Refusal

_SOME: Final = ("CAPV", "NAME")
# Words of a sentence in which an order is one of time.
_OF_TIME: Final = frozenset(words("CHARGED DISCON NOT OR SWITCH SHORT FILL TAKEOUT"))
# What stands between a word of order and what comes next.
_LEADS_ON: Final = row(
    "(THEN | SERSIGN | SERALL | COLON | COMMA | AND | BY | IS | JOIN | A | ONE | OTHER | THERE"
    " | THEM | THIS | WORD | GROUP | PAIROF | OF | SER | PAR | IN | THE | CAP | DET)*"
)
# Followed by one, and then by another.
_BY: Final = row("THEN BY | SERSIGN")
# What lists some and says at most how they are joined.
_PLAIN: Final = row(
    "(THEN | SERSIGN | SERALL | BY | ORD1 | FROM | SIDE | TO | THE | A | ONE | CAPV | NAME | CAP"
    " | COMMA | AND | COLON | PAR | SER | NEXTTO | IN | GROUP | PAIROF | OF | WHICH | IS | JOIN"
    " | STOP | WORD | THEM | AT | ON | THIS)*"
)
# After what comes next: joined to what stands already, and not behind it.
_POINTS_BACK: Final = row(
    "(PAR (WITH | TO) | ACROSS (THE | WHOLE | WORD)*"
    " (THEM | THIS | WHICH | BOTH | ALL | GROUP | WHOLE | CAPV | NAME | NUM | NUMS | WNUM) | PARBY"
    " | NEXTTO (TO | WITH))"
)
_ALL_SO: Final = row(
    "(ALL | BOTH | EACH | THEM | THIS | WNUM) (OF | THEM | CAP | IS | JOIN | IN)* PAR"
)
_GROUP_OF: Final = row(
    "(SER | PAR) ((GROUP | JOIN) OF | PAIROF) (A | ONE)? CAPV CAP?"
    " ((COMMA | AND)+ (A | ONE)? CAPV CAP?)+"
)
_LISTED_AFTER: Final = row(
    "(SER | PAR) (WITH | TO) (A | ONE)? CAPV CAP? ((COMMA | AND)+ (A | ONE)? CAPV CAP?)+"
    " (?=STOP |$)"
)


class _Claim(NamedTuple):
    """Two that are joined so, and the words that say it."""

    way: type[Chain] | type[Parallel]
    one: Chunk
    other: Chunk
    said: str


def told_in_order(
    plain: str, pieces: Sequence[Chunk], ways: Sequence[ReadText]
) -> tuple[ReadText, ...]:
    """Those of several readings that show what the words of order and place say.

    Errors: ``Refusal`` where none does, with the words.
    """
    missed = [_untold(plain, pieces, each.description) for each in ways]
    kept = tuple(way for way, said in zip(ways, missed, strict=True) if not said)
    if ways and not kept:
        raise Refusal(
            f'What "{missed[0]}" tells is not clear here.',
            "Say it with brackets, as in 4 uF -- (2 uF || 3 uF).",
        )
    return kept


def _untold(plain: str, pieces: Sequence[Chunk], told: Description) -> str:
    """Words whose order or place a reading does not show; "" where it shows all."""
    if told.changes or told.ladder or told.bank:
        return ""
    return _too_many(pieces, told) or _too_few_points(plain, told) or _out_of_order(pieces, told)


def _out_of_order(pieces: Sequence[Chunk], told: Description) -> str:
    if told.nest is None:
        return ""
    for each in _claims(pieces):
        one, other = _place(told.nest, each.one), _place(told.nest, each.other)
        if one and other and one != other and not isinstance(_met(told.nest, one, other), each.way):
            return each.said
    return ""


def _claims(pieces: Sequence[Chunk]) -> Iterator[_Claim]:
    sentences = [_told_in(each) for each in sentences_of(pieces)]
    for at, sentence in enumerate(sentences):
        if _OF_TIME.isdisjoint(each.tag for each in sentence):
            yield from _one_after_another(sentence)
            yield from _listed(sentence, sentences[at + 1 : at + 2])


def _told_in(sentence: Sequence[Chunk]) -> list[Chunk]:
    """A sentence up to where it asks; a capital A that begins it is no letter."""
    if sentence and sentence[0].text == "A":
        sentence = [sentence[0]._replace(tag="A"), *sentence[1:]]
    asks = next((i for i, each in enumerate(sentence) if each.tag == "WISHV"), len(sentence))
    return [each for each in sentence[:asks] if each.tag != "QUERY"]


def _one_after_another(sentence: Sequence[Chunk]) -> Iterator[_Claim]:
    """What words such as then and followed by say of what stands on both sides of them.

    In a plain enumeration each comes after all before it; after anything else, after the last.
    """
    if _ALL_SO.search(tags_of(sentence)):
        return
    cuts = [at for at, each in enumerate(sentence) if _is_of_order(each)]
    before: list[Chunk] = []
    earlier: list[Chunk] = []
    led: list[Chunk] = []
    for start, end in pairwise((0, *cuts, len(sentence))):
        stretch = sentence[start:end]
        before = earlier if _is_again(sentence, cuts, start) else before
        earlier = before
        here = [e for i, e in enumerate(stretch) if e.tag in _SOME and not _is_told_of(stretch, i)]
        follows = start > 0 and bool(here) and _comes_next(stretch, here[0])
        is_plain = _PLAIN.fullmatch(tags_of(stretch)) is not None
        if follows:
            by_it = led if tags_of(stretch).startswith("THEN BY ") else []
            for each in dict.fromkeys((*before, *by_it)):
                yield from (_Claim(Chain, each, one, text_of(stretch)) for one in here[:1])
        if here:
            before = [*before, *here] if is_plain and follows else here if is_plain else here[-1:]
            led = []
        if here and _BY.match(tags_of(stretch)):
            led = here[:1]


def _is_again(sentence: Sequence[Chunk], cuts: Sequence[int], at: int) -> bool:
    """Whether what comes next is behind what the one before it is behind: and also behind it."""
    if at not in cuts[1:] or sentence[at - 1].text != "and also":
        return False
    return sentence[cuts[cuts.index(at) - 1]].text == sentence[at].text


def _is_told_of(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether a value is pointed at, as in the 4 uF, and told elsewhere."""
    return at > 0 and pieces[at].tag == "CAPV" and pieces[at - 1].tag in ("THE", "THIS")


def _is_of_order(piece: Chunk) -> bool:
    in_words = piece.tag in ("SERSIGN", "SERALL") and piece.text[:1].isalpha()
    return piece.tag == "THEN" or in_words


def _comes_next(stretch: Sequence[Chunk], first: Chunk) -> bool:
    """Whether a stretch that begins with a word of order tells what comes next."""
    at = stretch.index(first)
    lead = stretch[:at]
    fed = next((i for i, each in enumerate(stretch) if each.tag == "VOLT"), len(stretch))
    rest = stretch[at:fed]
    if _LEADS_ON.fullmatch(tags_of(lead)) is None:
        return False
    tags = tags_of(rest)
    if _POINTS_BACK.search(tags) or any(each.tag in ("SERSIGN", "PARSIGN") for each in rest):
        return False
    if any(each.tag == "PAR" for each in lead):
        return any(each.tag in ("GROUP", "PAIROF") for each in lead)
    ways = [i for i, each in enumerate(rest) if each.tag in ("PAR", "NEXTTO")]
    listed = sum(each.tag in _SOME for each in rest[: ways[0]]) if ways else 2
    return listed > 1


def _listed(sentence: Sequence[Chunk], after: Sequence[Sequence[Chunk]]) -> Iterator[_Claim]:
    """``the series combination of a 4 uF and a 6 uF``; ``in series with a 4 uF and a 6 uF``, where
    nothing is said after it of these two.
    """
    tags = tags_of(sentence)
    found = [*_GROUP_OF.finditer(tags)]
    if not any(_says_more(each) for each in after):
        found += _LISTED_AFTER.finditer(tags)
    for said in found:
        start = tags[: said.start()].count(" ")
        stretch = sentence[start : start + said[0].count(" ")]
        values = [each for each in stretch if each.tag == "CAPV"]
        way = Chain if stretch[0].tag == "SER" else Parallel
        yield from (_Claim(way, one, other, text_of(stretch)) for one, other in pairwise(values))


def _says_more(sentence: Sequence[Chunk]) -> bool:
    """Whether a sentence joins what was told before it: the latter two are in parallel."""
    tags = [each.tag for each in sentence]
    return bool({"SER", "PAR"} & {*tags}) and "CAPV" not in tags


# Where each stands in the nest


def _place(nest: Part, piece: Chunk) -> tuple[int, ...]:
    """The way to the one capacitor that a piece names; () where that is none, or open."""
    worth = None if piece.tag == "NAME" else worth_said(str(piece.datum))
    found = [
        way
        for way, leaf in _leaves(nest)
        if (leaf.name == piece.datum if piece.tag == "NAME" else _is_worth(leaf, worth))
    ]
    return found[0] if len(found) == 1 else ()


def _is_worth(leaf: Element, worth: object) -> bool:
    return isinstance(leaf.worth, Amount) and worth is not None and leaf.worth.value == worth


def _leaves(part: Part, way: tuple[int, ...] = ()) -> Iterator[tuple[tuple[int, ...], Element]]:
    if isinstance(part, Element):
        yield way, part
        return
    for at, member in enumerate(part.members):
        yield from _leaves(member, (*way, at))


def _met(nest: Part, one: Sequence[int], other: Sequence[int]) -> Part:
    """The smallest part that has both."""
    for left, right in zip(one, other, strict=False):
        if left != right or isinstance(nest, Element):
            break
        nest = nest.members[left]
    return nest


# How many there are

_COUNTED: Final = frozenset(("WNUM", "NUM", "COUNT", "EACH", "EQUAL", "BOTH", "SUCH", "TIMES"))


def _too_many(pieces: Sequence[Chunk], told: Description) -> str:
    """The words for one that is pointed at (the 4 uF), which a reading has as one more."""
    if any(each.tag in _COUNTED for each in pieces):
        return ""
    values = [(at, each) for at, each in enumerate(pieces) if each.tag == "CAPV"]
    for at, value in values:
        alike = [i for i, each in values if each.datum == value.datum]
        new = [i for i in alike if not _is_told_of(pieces, i)]
        if at in new or not new or told.nest is None:
            continue
        worth = worth_said(str(value.datum))
        if sum(_is_worth(leaf, worth) for _, leaf in _leaves(told.nest)) > len(new):
            return text_of(pieces[at - 1 : at + 1])
    return ""


# Points that are named: by a letter, or by where they are drawn.
_SPOT: Final = (
    r"(?:the )?(?:(?P<{0}drawn>left|right|middle|cent(?:re|er)|first|second|third|fourth|fifth|last"
    r"|[a-z]+(?=(?:[- ]hand)? (?:wire|rail|junction|dot|node|bar)\b))"
    r"(?:[- ]hand)?(?: (?:wire|rail|junction|dot|node|point|bar|line)\b)?"
    r"(?: (?P<{0}called>(?-i:[A-Z]))\b)?"
    r"|(?:an? )?(?:(?:point|node|junction) )?(?P<{0}letter>[A-Za-z])\b)"
)
_FROM_TO: Final = re.compile(
    rf"(?i)\b(?:between|from|joins?|connects?|links?) {_SPOT.format('a')} (?:and|to|with|n|&)"
    rf" {_SPOT.format('b')}(?<! a(?= [a-z0-9]))(?= |[.,;:?!)]|$)"
)
_RAILS: Final = re.compile(r"(?i)\b(?:top|upper|bottom|lower) (?:rail|wire|line)\b")
_LETTERED: Final = re.compile(r"\b(?:point|node|junction) ([A-Z])\b")


def _too_few_points(plain: str, told: Description) -> str:
    """Words for a point where a reading has fewer points than are named."""
    spots: dict[str, str] = {}
    for said in _FROM_TO.finditer(plain):
        for which in "ab":
            names = (said[f"{which}{kind}"] for kind in ("called", "letter", "drawn"))
            spots.setdefault(next(filter(None, names)).lower(), said[0])
    for named in _LETTERED.finditer(plain):
        spots.setdefault(named[1].lower(), named[0])
        spots |= dict.fromkeys(map(str.lower, _RAILS.findall(plain)), named[0])
    if len(spots) < 3 or _points(told) >= len(spots):
        return ""
    return list(spots.values())[-1]


def _points(told: Description) -> int:
    if told.nest is None:
        return len({point for join in told.joins for point in (join.start, join.end)})
    return 2 + _inside(told.nest)


def _inside(part: Part) -> int:
    if isinstance(part, Element):
        return 0
    own = len(part.members) - 1 if isinstance(part, Chain) else 0
    return own + sum(map(_inside, part.members))
