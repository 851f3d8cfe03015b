"""Comparisons that a reason makes: who has more, less or as much, and what rose, fell or stayed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise
from operator import gt, lt
from types import MappingProxyType

from tutor.circuit.values import Value, in_letters
from tutor.teaching.amounts import spoken_of
from tutor.teaching.judging import close
from tutor.teaching.quantities import Symbol
from tutor.teaching.values_here import ValuesHere

_MORE = r"(?:bigger|larger|greater|more|higher|biggest|largest|greatest|most|highest)"
_LESS = r"(?:smaller|less|lower|fewer|smallest|least|lowest)"
_TIMES: Mapping[str, Fraction] = MappingProxyType({
    r"twice|doubles?|2\s+times": Fraction(2), r"3\s+times|triple": Fraction(3),
    r"4\s+times": Fraction(4), r"half": Fraction(1, 2), r"a\s+third": Fraction(1, 3),
    r"a\s+quarter": Fraction(1, 4),
})
IT = re.compile(r"(?i)\W*(?:it|its|it['’]s|the\s+(?:other|rest))\b")
_EQUAL_ONES = re.compile(r"(?i)\b(?:equals?|identical|alike)\b|\bsame\s+(?:size|value)\b")
_ONE_TO_OTHER = re.compile(
    r"(?i)\b(?:is|are|being)\s+(?:(?:about|just|exactly)\s+)?(?:twice|double|half|triple|\d\s+times)\b"
)
_EACH = re.compile(r"(?i)\b(?:each|both)\b")
_THEY_ALIKE = re.compile(  # they get equal charge: both of them do
    r"(?i)^\W*(?:they|these|the\s+two|the\s+capacitors)\s+(?:\w+\s+)?"
    r"(?:have|has|get|got|hold|carry|take|share)\s+(?:an?\s+|the\s+)?(?:same|equal)\s+[\w.]+\W*$"
)
_SAME = re.compile(r"(?i)\b(?:same|equal(?:ly|s)?|alike|identical)\b")
_SPOKEN: Mapping[Symbol, str] = MappingProxyType({
    "V": r"(?<![\w.])[VU]\b|(?i:\b(?:voltages?|volts?|tension|p\.?d\b))",
    "Q": r"(?<![\w.])Q\b|(?i:\b(?:charges?|holds?)\b)",
    "E": r"(?<![\w.])E\b|(?i:\benerg(?:y|ies)\b)",
    "C": r"(?<![\w.])C\b|(?i:\b(?:siz|big|large|larg|small|valu|capacit)\w*)",
})
# Its limit, C2's rating: what is compared is no quantity that is held here.
_OF_ANOTHER_SORT = re.compile(
    r"(?i)(?:['’]s|\bits|\btheir|\bthe)\s+(?:own\s+)?(?:ratings?|limits?|maximum|max|legs?|labels?|names?)\b"
)
DENIED = re.compile(r"(?i)\b(?:not|never|no|neither|nor)\b|n['’]t\b")


_OF_POINTS = re.compile(r"(?i)\bpotentials?\b(?!\s+diff)")
_THE_WHOLE = re.compile(r"(?i)\bthan\s+(?:that\s+of\s+)?(?:the\s+)?(?:whole|total)\b")


def comparisons(piece: str, here: ValuesHere) -> Iterator[bool]:
    """Two that are said to be alike, or one to have more, less or so many times as much."""
    owners, symbol = _compared(piece, here)
    if symbol is None and _ITS_SHARE.search(piece) and not here.is_supposed:
        yield from _shares_compared(piece, owners, here)
        return
    if symbol is None and not _OF_ANOTHER_SORT.search(piece):
        symbol = next((s for s, words in _SPOKEN.items() if re.search(words, piece)), None)
        if symbol is None and len(owners) == 2 and _ONE_TO_OTHER.search(piece):
            symbol = "C"  # C1 is twice C2
    if here.is_supposed and not re.search(r"(?i)\bthan\b", piece):
        return  # of before and after
    if symbol is None or DENIED.search(piece) or re.search(r"\d\s*[FVCJ]\b", piece):
        return
    if _OF_POINTS.search(piece):
        return
    said = _relation(piece)
    if len(owners) == 1 and owners[0] in here.in_hand and len(here.in_hand) > 1:
        if len(here.in_hand) > 2 or said not in (gt, lt, close):
            yield from _against_the_others(said, symbol, owners[0], here)
            return
        owners = (*owners, *(each for each in here.in_hand if each not in owners))
    values = [here.values.get((symbol, owner), ()) for owner in owners]
    if len(values) < 2 or not all(values) or any(in_letters(v) for some in values for v in some):
        return
    named = len(values) == 2 and not (_EACH.search(piece) or _THEY_ALIKE.search(piece))
    if said is not None and (named or said is close):
        yield any(
            all(said(one, two) for one, two in pairwise(at)) for at in zip(*values, strict=False)
        )


def _compared(piece: str, here: ValuesHere) -> tuple[Sequence[str | None], Symbol | None]:
    """Who is compared in a piece, and by what, as far as it says so."""
    spoken, symbol = spoken_of(here.sayable, piece)
    is_of_the_whole = _THE_WHOLE.search(piece) is not None
    owners = tuple(owner for owner in spoken if owner is not None or is_of_the_whole)
    if here.asked is not None and IT.match(piece) and here.asked not in owners:
        owners = (here.asked, *owners)
    if not owners and symbol is None and _EQUAL_ONES.search(piece):
        owners, symbol = here.in_hand, "C"
    if not owners and _THEY_ALIKE.search(piece) and not here.is_supposed:
        owners = here.in_hand
    if not owners and here.asked in here.in_hand and _SIZE_ALONE.fullmatch(piece):
        owners = (here.asked,)
    return owners, symbol


# Smaller C; half the charge: of the one that is asked.
_SIZE_ALONE = re.compile(
    rf"(?i)\W*(?:(?:has|is|of|with|the|a|an|got|only)\s+)*(?:{_MORE}|{_LESS}|half|twice|double)"
    r"(?:\s+(?:the|of|all|one|c|q|v|cap\w*|charge|voltage|value|size|p\.?d\.?))*\W*"
)


def _against_the_others(
    said: Callable[..., bool] | None, symbol: Symbol, owner: str, here: ValuesHere
) -> Iterator[bool]:
    """What is said of one of several: so many times what another has, or the whole; more or less
    than others, where it is not both more than one of them and less than another.
    """
    its = here.values.get((symbol, owner), ())
    others = [here.values.get((symbol, each), ()) for each in here.in_hand if each != owner]
    whole = here.values.get((symbol, None), ())
    if said in (None, close) or not its or not all(others) or any(
        in_letters(value) for values in (its, *others, whole) for value in values
    ):
        return
    assert said is not None
    is_so = any(said(its[-1], each[-1]) for each in others)
    if said not in (gt, lt):
        yield is_so or any(said(its[-1], each) for each in whole)
    elif not is_so or not any(said(each[-1], its[-1]) for each in others):
        yield is_so


_ITS_SHARE = re.compile(
    rf"(?i)\b(?:{_MORE}|{_LESS})\s+(?:share|part|portion|slice|piece|bit|lot)\b"
)


def _shares_compared(
    piece: str, owners: Sequence[str | None], here: ValuesHere
) -> Iterator[bool]:
    """One of two that is said to take the larger share, of whatever is divided here."""
    said = _relation(piece)
    named = [each for each in owners if each in here.in_hand]
    if said is None or len(here.in_hand) != 2 or len(named) != 1 or DENIED.search(piece):
        return
    other = next(each for each in here.in_hand if each not in named)
    held = [
        (here.values[symbol, named[0]][-1], here.values[symbol, other][-1])
        for symbol in ("V", "Q")
        if (symbol, named[0]) in here.values and (symbol, other) in here.values
    ]
    if held and not any(map(in_letters, (value for pair in held for value in pair))):
        yield any(said(*pair) for pair in held)


def _relation(piece: str) -> Callable[..., bool] | None:
    """What a piece says of two values, the one that it begins with first."""
    for words, times in _TIMES.items():
        if re.search(rf"(?i)\b(?:{words})\b", piece):
            return lambda one, two: close(one, times * two)
    if _SAME.search(piece):
        return close
    if re.search(rf"(?i)\b{_MORE}\b", piece):
        return gt
    return lt if re.search(rf"(?i)\b{_LESS}\b", piece) else None


# What rose, fell or stayed

_WAYS: Mapping[str, Callable[[Value, Value], bool]] = MappingProxyType({
    r"\bup\b|\bros[ei]|\bris\w+|\bgr[eo]w|\bincreas|\bdoubl": lt,
    r"\bdown\b|\bf[ea]ll|\bdrop|\bdecreas|\bhalv|\bsank|\bsinks": gt,
    r"\bstay|\bunchanged|\bconstant|\bfixed|\bkept|\bkeep": close,
})


_MORE_OR_LESS: Mapping[str, Callable[[Value, Value], bool]] = MappingProxyType(
    {rf"\b{_MORE}\b": lt, rf"\b{_LESS}\b": gt}
)


# What is said of a quantity itself, or of the supply, and not of one of several.
_OF_THE_WHOLE = re.compile(
    r"(?i)\W*(?:the\s+)?(?:(?:whole|total|full|supply|battery|cell)(?:['’]s)?\s+(?:\w+\s+)?)?"
    r"(?:more\s+|less\s+)?(?:charge|voltage|volts|p\.?d|energy|capacitance|[CQVUE])\b"
)


def moves(piece: str, here: ValuesHere) -> Iterator[bool]:
    """A quantity that is said to have gone up or down, or to have stayed, from stage to stage."""
    if DENIED.search(piece):
        return
    signs = {**_WAYS, **(_MORE_OR_LESS if here.is_supposed else {})}
    for said in re.split(r"\b(?:and|while|but)\b", piece):
        symbols = [s for s, words in _SPOKEN.items() if re.search(words, said)]
        ways = [way for words, way in signs.items() if re.search(words, said.lower())]
        owners = spoken_of(here.sayable, said)[0]
        if len(symbols) != 1 or len(ways) != 1:
            continue
        stages = {
            owner: values for (symbol, owner), values in here.values.items()
            if symbol == symbols[0] and len(values) > 1 and not any(map(in_letters, values))
        }
        if owners and {*owners} <= stages.keys():
            stages = {owner: stages[owner] for owner in owners}
        if here.is_supposed:
            meant = owners or ((None,) if _OF_THE_WHOLE.match(said) else ())
            stages = {owner: stages[owner] for owner in meant if owner in stages}
        if stages:
            yield any(ways[0](*pair) for values in stages.values() for pair in pairwise(values))
