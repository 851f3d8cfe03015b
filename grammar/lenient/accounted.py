"""Whether a reading holds what the words of its text say: how two are joined that are told side by
side, that some stand in series or in parallel at all, and what is done to them.

What reads a text passes by words that it does not know. So a reading is held against the words once
more, by a way of its own that knows much less, and is only given where the two agree.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, pairwise
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.patterns import found_in, row, tags_of, text_of
from grammar.lenient.tokens import Chunk
from grammar.lenient.ways_each import ways_missing
from grammar.outline import elements_of, leaves
from grammar.reading import read_network
from grammar.records import (
    Amount,
    Chain,
    Description,
    Element,
    Parallel,
    Part,
    Refusal,
    Unknown,
    Worth,
)
from grammar.spoken_numbers import ONES

_BEFORE: Final = "(COMMA | CAP | IS | JOIN | WHICH | IN | ONE | CLOSE | TOGETHER)*"
_AFTER: Final = "(A | ONE | OTHER | CAP | OF | COLON | ORD2 | ORD3 | NAME (EQ | IS | COMMA)?)*"
_PAIRED: Final = "CAP? COMMA? AND? (A | ONE | CAP | OF | NAME (EQ | IS)? | OTHER)*"
# One that goes over several others.
_OVER: Final = row(
    "CAPV CAP? COMMA? (WHICH | WORD | IS | JOIN)* ACROSS (THE | WHOLE)*"
    " (THEM BOTH | BOTH | WNUM OF THEM | ALL | GROUP)"
)
# The same where what it goes over is told by a number.
_OVER_SO_MANY: Final = row(
    "CAPV CAP? COMMA? (WHICH | IS | JOIN | IN)* PAR (WITH | TO) THE* (WNUM OF THEM | THEM BOTH "
    "| BOTH)"
)
# What stands between two values, and, after the second, what is said of both.
_INFIX: Final = (
    (Parallel, row(f"{_BEFORE} PAR (WITH | TO) {_AFTER}")),
    (Chain, row(f"{_BEFORE} SER (WITH | TO) {_AFTER}")),
)
_BESIDE: Final = row(f"{_BEFORE} PAR {_AFTER}")
_BEHIND: Final = row(f"{_BEFORE} THEN BY? {_AFTER}")
_POSTFIX: Final = (
    (Parallel, row("CAP? (IS | JOIN | BOTH | IN)* PAR (?=(STOP|COMMA|QUERY|AND|CLOSE) |$)")),
    (Chain, row("CAP? (IS | JOIN | BOTH | IN)* SER (?=(STOP|COMMA|QUERY|AND|CLOSE) |$)")),
)
_BOTH: Final = row(_PAIRED)
# Where in the words after two values such a wording says how these two are joined.
_SAID_NEXT: Final = range(5)
# What tells of places, and of what leads from one to another.
_PLACES: Final = frozenset(
    words("POINT LETTER BRANCH MIDDLE TOP BOTTOM OFSIDE WIRE ACROSS ORD1 ORD2 ORD3 TERMINAL THEN")
)
_LEADING: Final = frozenset(words("lead go goe meet span come run begin start end"))
# Words after which a way that is named need not be that of the network.
_OPEN: Final = frozenset(("NOT", "OR", "LADDER", "CLAIM", "DIVIDER"))


class _Deed(NamedTuple):
    """What is said to be done or to hold, and what a reading of it must have."""

    said: re.Pattern[str]
    shows: Callable[[Description], bool]


def refuse_what_is_otherwise(
    plain: str, pieces: Sequence[Chunk], told: Sequence[Description]
) -> None:
    """Errors: ``Refusal`` where none of the readings has what the text says, with the words that
    say so.
    """
    words = _unshown(plain, told) or _too_few(plain, told)
    words = words or _joined_otherwise(plain, pieces, told)
    if words:
        raise Refusal(
            f'What "{words.strip()}" tells is not clear here.',
            "Say it with brackets, as in 4 uF -- (2 uF || 3 uF).",
        )


def _seeks(told: Description) -> bool:
    """Whether some worth is sought."""
    known = told.bank or told.pair or told.ladder or told.exchange
    return bool(known) or any(isinstance(each.worth, Unknown) for each in elements_of(told))


def _begins_charged(told: Description) -> bool:
    return any(each.start for each in elements_of(told))


def _is_parted(told: Description) -> bool:
    parted = ("remove supply", "join", "take out", "supply")
    return _begins_charged(told) or any(each.kind in parted for each in told.changes)


def _is_fed(told: Description) -> bool:
    return bool(told.supply or told.givens or told.changes) or _begins_charged(told)


def _has_change(*kinds: str) -> Callable[[Description], bool]:
    return lambda told: any(each.kind in kinds for each in told.changes)


def _has_rating(told: Description) -> bool:
    return told.bank is not None or any(each.rating for each in elements_of(told))


_DEEDS: Final = (
    _Deed(  # joined, parted, and one of them joined to a third
        re.compile(
            r"(?is)\b(?:touch|shar|join|connect|met\b)\w*[^;]{0,90}\b(?:separated|parted"
            r"|(?:away|off|apart)"
            r" again|taken apart)\b[^;]{0,90}\b(?:touch|shar|join|connect|clip)\w*"
        ),
        lambda told: not any(e.kind == "join" and len(e.names) > 2 for e in told.changes),
    ),
    _Deed(  # plus on plus: some that were charged are joined
        re.compile(
            r"(?i)(?:\+|\bplus|\bpositive)(?: \w+)? (?:to|on|with) (?:the )?(?:\+|plus|positive)"
        ),
        lambda told: any(each.kind == "join" for each in told.changes),
    ),
    _Deed(
        re.compile(r"(?i)\b(?:diamond|rhombus)\b"),
        lambda told: told.nest is None or _has(told.nest, Parallel),
    ),
    _Deed(
        re.compile(
            r"(?i)(?<!\bno conductor )(?<!\bno wire )(?<!\bnothing )(?<!\bnot )"
            r"\b(?:join|connect|link|bridg)\w*(?: \w+){0,4}? mid-?(?:points?|dles)\b"
            r"|\bmid-?(?:points|dles) [^.;?]{0,60}\b(?:join|connect|link|bridg)\w*"
        ),
        lambda told: bool(told.wires) or told.nest is None,
    ),
    _Deed(
        re.compile(r"(?i)\bon the (?:capacitor )?(?:of )?[0-9.,]+ ?[unp]F\b[^.;?]*\bmeasured?\b"),
        lambda told: bool(told.givens or told.changes),
    ),
    _Deed(
        re.compile(
            r"(?i)\b(?:battery|supply|source|cell),? (?:which|that)\b[^.;?]{0,60}\bis (?:then )?"
            r"(?:taken (?:away|off)|removed|disconnected)\b"
        ),
        _is_parted,
    ),
    _Deed(  # what is to be found so that so much comes out is no part of a known value
        re.compile(
            r"(?i)\b(?:what|which|how (?:big|large)) [^.;?]{0,80}\b(?:reduces?|lowers?|raises?"
            r"|increases?"
            r"|brings?) (?:it|this|them|the \w+(?: \w+)?) to [0-9.]+ ?[unp]F"
        ),
        lambda told: any(isinstance(each.worth, Unknown) for each in elements_of(told)),
    ),
    _Deed(
        re.compile(r"\b(?:letter|capital|shape) [YT]\b|\b[YT][- ](?:shape|form)"),
        lambda told: told.nest is None or (_has(told.nest, Parallel) and _has(told.nest, Chain)),
    ),
    _Deed(
        re.compile(r"(?i)\b(?:letter|capital|an?|like|shape) H\b|\bH[- ](?:shape|form)"),
        lambda told: told.nest is None,
    ),
    _Deed(
        re.compile(
            r"(?i)\b(?:and|with|also) (?:an?|just|only)(?: an?)? (?:(?:plain|bare) )?"
            r"(?:(?:piece|bit|length) of )?wire\b(?! (?:along|at|on|frame))"
            r"|\b(?:an?|one|with|by) (?:bare|plain|naked) (?:line|wire|lead|piece of wire)\b"
        ),
        lambda told: bool(told.wires),
    ),
    _Deed(  # a point between two is no end of the whole
        re.compile(r"\bjunctions? (?:(?:being|is|are|called|named) )?[A-Z]\b"),
        lambda told: told.nest is None or told.ends == ("A", "B"),
    ),
    _Deed(
        re.compile(
            r"(?i)\b(?:which|what(?: size(?: of)?)?|how (?:big|large) an?) (?:capacitor|cap"
            r"|condenser"
            r"|capacitance) (?:must|should|do|can|will|would|shall) (?:i|we|you|one)"
            r" (?:have to |need to )?(?:put|place|add|connect|join|wire|hang|solder|use|take)\b"
            r"[^.?]*\b(?:series|parallel|with)\b"
        ),
        _seeks,
    ),
    _Deed(  # pairs told apart are two groups
        re.compile(r"(?i)\b(?:second|2nd|right|lower|last) pair\b"),
        lambda told: told.nest is None or not _is_flat(told.nest),
    ),
    _Deed(re.compile(r"(?i)\b(?:knots?|threesome|foursome|on the one hand)\b"), lambda _: False),
    _Deed(
        re.compile(
            r"(?i)(?<!never )(?<!not )(?<!without )(?<!stays )\b(?:(?:dis|un)(?:connect|clip|hook|"
            r"plug)\w*\b|(?:battery|supply|source|cell) (?:is (?:gone|taken|removed)"
            r"|goes(?: off| away)?(?= ?,| and|\.)))"
        ),
        _is_parted,
    ),
    _Deed(
        re.compile(
            r"(?i)\b(?:shar(?:es?|ed|ing) (?:its|the|their|all its|this|that) charge with"
            r"|dump(?:s|ed)? (?:it|them|its charge)|spark)\b"
        ),
        _has_change("join"),
    ),
    _Deed(
        re.compile(r"(?i)\b(?:at most|no more than|limit(?: is| of)?) [0-9.]+ ?V\b"),
        _has_rating,
    ),
    _Deed(
        re.compile(
            r"(?i)\bplates? [^.;?]{0,20}\b(?:drawn|pulled|moved|pushed|pressed|brought|squeezed)\b"
            r"|\b(?:drew|pulled|pulls|pushes|draws|moves?) (?:the|its|both) plates?\b"
        ),
        _has_change("gap"),
    ),
    _Deed(
        re.compile(r"(?i)\b(?:endless\w*|never[- ](?:ends?|ending|stops?)|without (?:an )?end)\b"),
        lambda told: told.ladder is not None,
    ),
    _Deed(
        re.compile(
            r"(?:(?<![A-Za-z0-9_])[VU]|[0-9.]+ ?(?:V|volts?)) (?:is )?across [A-Z]\b"
            r"|\b(?:supply|battery|source) (?:is|gives|has) [VU]0?\b|\b[VU]0? is the supply\b"
        ),
        _is_fed,
    ),
)
# Several of one value, several joined in one way, and nouns for a part that nothing here knows.
_MANY: Final = "(?P<many>two|three|four|five|six)"
_AMOUNT: Final = r"(?P<value>[0-9.]+ ?[unp]F)\b"
_SO_MANY: Final = re.compile(
    rf"(?i)\beach of (?:the|these|those) {_MANY} \w+ (?:is|has|holds|carries) (?:an? )?{_AMOUNT}"
    rf"|\b{_MANY.replace('many', 'alike')} (?:equal |identical |such |parallel )?(?:chain|string"
    rf"|block"
    r"|group|box|pair|branch|row|arm|set|nest|module|way|path|leg|line)(?:e?s),? each(?:"
    r" \w+){0,3}? (?:an? )?"
    rf"{_AMOUNT.replace('value', 'inside')}"
    rf"|\b(?:group|set|bunch) of {_MANY.replace('many', 'those')},? (?:of )?"
    rf"{_AMOUNT.replace('value', 'worth')} each"
)
_SOME_OF_THEM: Final = re.compile(
    rf"(?i)\b{_MANY} of (?:them|these|those),? (?:(?:are|joined|connected|placed|standing|being) )*"
    r"(?:(?P<ser>in series|end to end|one after the other)|(?:in parallel"
    r"|side by side))(?! with| to)"
)
# Words for a way of joining that are of no one concept.
_NAMED_SO: Final[tuple[tuple[type[Chain] | type[Parallel], re.Pattern[str]], ...]] = (
    (
        Chain,
        re.compile(
            r"(?i)\bone (?:after|behind|follows?) (?:the |an)?oth?e?r\b"
            r"|\bend[- ]to[- ]end\b|\bfollow(?:s|ed by)?\b"
            r"|\b(?:carry|share|hold) (?:the same|a|one) charge\b|\bbehind each other\b"
            r"|\bin (?:a|one) (?:row|line|string|chain)\b"
        ),
    ),
    (
        Parallel,
        re.compile(
            r"(?i)(?<=F) (?:(?:goes|is|sits|hangs|right|rite|straight|placed|put|connected) )*"
            r"(?:across|over) (?:them |the )(?:both|pair|two)\b"
            r"|\b(?:straight|right|directly) across(?=\s*(?:[.,;?]|$))"
            r"|\bnext to (?:them|these|those|both)\b|\bspans (?:them|both|the)\b|\b(?:ends?"
            r"|points?) in common\b|\bshare both\b"
            r"|\b(?:the|it|road|path|way|line) (?:splits|forks)\b|\bon the (?:one|other) hand\b"
            r"|\bsame two (?:wires|nodes|points|lines|rails)\b|\bthe same voltage (?:as|like)\b"
            r"|\b(?:drops?|goes|go|falls?|hangs?) (?:all )?(?:down )?to the (?:bottom|lower)\b[^?]*"
            r"\b(?:drops?|goes|go|falls?|hangs?) (?:down|to the (?:bottom|lower))\b"
            r"|\bfrom the start of the \w+ to the end of the\b|\b(?:paths|roads|ways) meet\b"
        ),
    ),
)


def _too_few(plain: str, told: Sequence[Description]) -> str:
    """Words that tell of more of one value, or of more in one way, than any reading has."""
    for said in _SO_MANY.finditer(plain):
        worth = worth_said(said["value"] or said["worth"] or said["inside"])
        held = [sum(_farads(e.worth) == worth for e in elements_of(each)) for each in told]
        many = said["many"] or said["those"] or said["alike"]
        if worth is not None and max(held) < ONES[many.lower()]:
            return said[0]
    nests = [each.nest for each in told if each.nest is not None]
    if len(nests) == len(told) and (missing := ways_missing(plain, nests)):
        return missing
    for said in _SOME_OF_THEM.finditer(plain) if len(nests) == len(told) else ():
        way = Chain if said["ser"] else Parallel
        if max(_alone_in(each, way) for each in nests) < ONES[said["many"].lower()]:
            return said[0]
    return ""


def _alone_in(part: Part, way: type[Chain] | type[Parallel]) -> int:
    """The most capacitors that stand by themselves in one part that is joined so."""
    if isinstance(part, Element):
        return 0
    here = sum(isinstance(each, Element) for each in part.members) * isinstance(part, way)
    return max(here, *(_alone_in(each, way) for each in part.members))


def _unshown(plain: str, told: Sequence[Description]) -> str:
    """Words for what is done that no reading shows; "" where one shows all."""
    for deed in _DEEDS:
        said = deed.said.search(plain)
        if said is not None and not any(map(deed.shows, told)):
            return said[0]
    return ""


def _joined_otherwise(plain: str, pieces: Sequence[Chunk], told: Sequence[Description]) -> str:
    """Words that say how some are joined, and are so in none of the readings."""
    nests = [each.nest for each in told if each.nest is not None]
    is_plain = len(nests) == len(told) and not any(each.changes or each.ladder for each in told)
    if not is_plain or any(isinstance(each, Element) for each in nests):
        return ""
    if any(each.tag in _OPEN for each in pieces):
        return ""
    if told_over := _over_what_is_not_joined(pieces, nests):
        return told_over
    claims = (*_pairs(pieces), *_ways_named(plain, pieces), *_first_and_last(plain))
    if not claims and len(nests) > 1 and len([*leaves(nests[0])]) > 2:
        return next((each.text for each in pieces if _tells_a_place(each)), "")
    for way, said, pair in claims:
        if not any(_holds(each, way, pair) for each in nests):
            return said
    return ""


def _over_what_is_not_joined(pieces: Sequence[Chunk], nests: Sequence[Part]) -> str:
    """Words for one that goes over several, of which nothing else says how these are joined, where
    all readings have them side by side with it: that would be a guess.
    """
    over = found_in(_OVER, pieces) or found_in(_OVER_SO_MANY, pieces)
    if over is None or not all(_is_flat(each, Parallel) for each in nests):
        return ""
    others = (*pieces[: over[0]], *pieces[over[1] :])
    is_told = any(each.tag in ("PAR", "PAROF", "PARSIGN", "NEXTTO", "GROUP") for each in others)
    return "" if is_told else text_of(pieces[slice(*over)])


def _is_flat(nest: Part, way: type[Chain] | type[Parallel] | None = None) -> bool:
    """Whether all stand in one way."""
    if isinstance(nest, Element):
        return False
    return isinstance(nest, way or object) and all(isinstance(e, Element) for e in nest.members)


def _holds(nest: Part, way: type[Chain] | type[Parallel], values: Sequence[Chunk]) -> bool:
    """Whether some stand in a way that is named: any, one beside several, or these two."""
    if not values:
        return _has(nest, way)
    worths = [worth_said(str(each.datum)) for each in values]
    if None in worths:
        return True
    if len(worths) == 1:
        return _is_beside(nest, worths[0])
    held = [_farads(each.worth) for each in leaves(nest)]
    if any(held.count(each) > 1 for each in worths):
        return _next_to_each_other(nest, way, *worths)
    return _are_joined(nest, way, *worths)


def _next_to_each_other(
    part: Part, way: type[Chain] | type[Parallel], one: object, other: object
) -> bool:
    """Whether two of these values, of which there are several, are joined so and stand one after
    the other in what was read.
    """
    if isinstance(part, Element):
        return False
    ends = [[_farads(leaf.worth) for leaf in leaves(each)] for each in part.members]
    met = [{left[-1], right[0]} for left, right in pairwise(ends)]
    if isinstance(part, way) and {one, other} in met:
        return True
    return any(_next_to_each_other(each, way, one, other) for each in part.members)


def _is_beside(part: Part, worth: object) -> bool:
    """Whether one of this value stands by itself beside two or more."""
    if isinstance(part, Element):
        return False
    alone = [e for e in part.members if isinstance(e, Element) and _farads(e.worth) == worth]
    if isinstance(part, Parallel) and alone and len([*leaves(part)]) > len(alone) + 1:
        return True
    return any(_is_beside(each, worth) for each in part.members)


def _tells_a_place(piece: Chunk) -> bool:
    """Whether a word may say what some are joined to, so that not all are joined in one way."""
    return piece.tag in _PLACES or piece.text.lower().rstrip("s") in _LEADING


_Claim = tuple[type[Chain] | type[Parallel], str, tuple[Chunk, ...]]


def _ways_named(plain: str, pieces: Sequence[Chunk]) -> Iterator[_Claim]:
    """The ways that are named at all."""
    for each in pieces:
        if each.tag in ("SER", "SEROF"):
            yield Chain, each.text, ()
        elif each.tag in ("PAR", "PAROF", "PARSIGN") and not each.text.endswith("other"):
            yield Parallel, each.text, ()
    for way, pattern in _NAMED_SO:
        for said in pattern.finditer(plain):
            yield way, said[0], ()


def _pairs(pieces: Sequence[Chunk]) -> Iterator[_Claim]:
    """Values told one after the other, and how these words say they are joined."""
    if (over := found_in(_OVER, pieces) or found_in(_OVER_SO_MANY, pieces)) is not None:
        yield Parallel, text_of(pieces[slice(*over)]), (pieces[over[0]],)
    at = [i for i, each in enumerate(pieces) if each.tag == "CAPV"]
    for first, second in pairwise(at):
        between, after = pieces[first + 1 : second], pieces[second + 1 :]
        pair = pieces[first], pieces[second]
        for way in _said_between(between, after):
            yield way, text_of(pieces[first : second + 1]), pair
        for way, postfix in _POSTFIX:
            said = postfix.match(tags_of(after))
            if said and _BOTH.fullmatch(tags_of(between)):
                yield way, text_of(pieces[first : second + 1 + said[0].count(" ")]), pair
        for way, pattern in _NAMED_SO if _BOTH.fullmatch(tags_of(between)) else ():
            told = pattern.search(text_of(after))
            if told and told.start() in _SAID_NEXT and told[0] != "followed by":
                yield way, f"{text_of(pieces[first : second + 1])} {told[0]}", pair


# What a way begins with and what it ends with stand in one row.
_FROM_FIRST_TO_LAST: Final = re.compile(
    r"(?i)\b(?:start|begin)(?:s|ning|ing)? with (?:an? |the )?(?P<one>[0-9.]+ ?[unp]F)\b[^.;?]*?"
    r"\b(?:end|finish)(?:s|es|ing)? with (?:an? |the |another )?(?P<other>[0-9.]+ ?[unp]F)\b"
)


def _first_and_last(plain: str) -> Iterator[_Claim]:
    for said in _FROM_FIRST_TO_LAST.finditer(plain):
        pair = (Chunk("CAPV", said[each], 0, said[each]) for each in ("one", "other"))
        yield Chain, said[0], tuple(pair)


def _said_between(
    between: Sequence[Chunk], after: Sequence[Chunk]
) -> Iterator[type[Chain] | type[Parallel]]:
    """How the words between two values say they are joined, where nothing is said after them."""
    if any(each.tag in ("SER", "PAR", "IN") for each in after[:2]):
        return
    tags, words = tags_of(between), {each.text.lower() for each in between}
    goes_over = any(each.tag in ("ACROSS", "THEM", "NEXTTO", "PARBY") for each in after[:5])
    yield from (way for way, infix in _INFIX if infix.fullmatch(tags) and not goes_over)
    if words & {"beside", "alongside"} and _BESIDE.fullmatch(tags):
        yield Parallel
    goes_down = bool({*" ".join(words).split()} & {"down", "drops", "drop", "falls", "fall"})
    comes_next = {"followed", "behind"} | (set() if goes_over or goes_down else {"then"})
    if words & comes_next and _BEHIND.fullmatch(tags):
        yield Chain
    if re.search(r"\b(?:ends|ending|finishes) with\b", text_of(between).lower()):
        yield Chain


def _has(part: Part, way: type[Chain] | type[Parallel]) -> bool:
    return isinstance(part, way) or any(
        _has(each, way) for each in getattr(part, "members", ()) if not isinstance(each, Element)
    )


def _are_joined(part: Part, way: type[Chain] | type[Parallel], one: object, other: object) -> bool:
    """Whether two of these values stand in a part that is joined so, in two of its members."""
    if isinstance(part, Element):
        return False
    if isinstance(part, way):
        held = [[_farads(leaf.worth) for leaf in leaves(each)] for each in part.members]
        for left, right in combinations(held, 2):
            if (one in left and other in right) or (other in left and one in right):
                return True
    return any(_are_joined(each, way, one, other) for each in part.members)


def worth_said(value: str) -> object:
    """A value in the notation as it is compared; None where it cannot be read by itself."""
    try:
        nest = read_network(value).nest
    except Refusal:
        return None
    return _farads(nest.worth) if isinstance(nest, Element) else None


def _farads(worth: Worth) -> object:
    return worth.value if isinstance(worth, Amount) else worth
