"""Two arms side by side, and what is joined from the middle of one to the middle of the other."""

from __future__ import annotations

import re
from typing import Final

from grammar.lenient.built_up import with_blocks_told, with_what_is_built
from grammar.lenient.phrases_told import with_phrases_told
from grammar.lenient.way_words import AMOUNT, NAME
from grammar.lenient.ways_told import with_ways_told
from grammar.reading import read_network
from grammar.records import Chain, Element, Parallel, Refusal

_POINT: Final = r"(?:point |node )?(?-i:[A-Z])(?![A-Za-z0-9])"
_MIDDLE: Final = (
    r"(?:(?:middle|mid|inner|common|joining|meeting) ?-?)?(?:points?|junctions?|nodes?|joints?)"
    r"|middles?|mid-?points?|cent(?:re|er)s?"
)
_ARM: Final = r"(?:arm|branch|path|way|chain|string|row|pair|side|leg)"
_MIDDLES: Final = (
    rf"(?:the )?(?:two )?(?:{_MIDDLE})(?: (?:of|in|on|between) (?:the |these |both "
    rf"|each )?(?:two )?"
    rf"(?:{_ARM}(?:e?s)?|pairs?|capacitors))?"
    rf"(?:,? (?:(?:we )?call(?:ed)? (?:them)?|named|say|namely)? ?{_POINT}(?: \w+)?"
    rf" and {_POINT}(?: (?:above|below|there))?,?)?"
)
_ONE: Final = (
    rf"(?:an? |the )?(?P<@>(?:{NAME} ?(?:=|of|,|\()? ?)?{AMOUNT}\)?)(?: capacitor| cap| one)?"
)
_JOINED: Final = r"(?:bridged|joined|connected|linked|tied|spanned|coupled)(?: together)?"
_BRIDGED: Final = re.compile(
    rf"(?i)[,;.]?(?: (?:and|while|with|then|finally|also)){{0,4}} {_MIDDLES} ?(?:are|is|being)?"
    rf"(?: then| also)* {_JOINED} (?:by|with|through|via) {_ONE.replace('@', 'one')}"
    rf"|[,;.]?(?: (?:and|while|with|then|finally|also)){{0,4}} {_ONE.replace('@', 'other')},?"
    r" (?:(?:is|are|then|also|finally|goes|sits|hangs|lies|stands|runs|comes|leads|connected|joined"
    r"|placed|put) )*(?:between|across|from|to|bridges|joins|links|connects) "
    rf"(?:{_POINT} (?:and|to) {_POINT}|(?:the )?(?:two )?(?:{_MIDDLE})(?: of (?:the |both )?"
    rf"(?:one |two )?{_ARM}(?:e?s)?(?: (?:with|to|and) (?:that|the (?:{_MIDDLE})) of the"
    rf" other(?: {_ARM})?)?)?)(?=\s*(?:[.,;?]|$))"
)
_ITS_MIDDLE: Final = re.compile(
    rf"(?i),? ?\(?(?:with |and )?(?:their|the|its|whose) (?:{_MIDDLE})(?: (?:being|is|called|named"
    rf"|marked|at|we call))* {_POINT}\)?,?"
)
_READERS: Final = (with_phrases_told, with_ways_told, with_blocks_told, with_what_is_built)
_PLACES: Final = (("A", "P"), ("P", "B"), ("A", "Q"), ("Q", "B"))


def with_arms_bridged(text: str, unit: str) -> str:
    """The text made plain with two such arms and their bridge as joins, one a line; the text as it
    is where no bridge is told, or what it joins are no two arms of two.
    """
    bridge = _BRIDGED.search(text)
    if bridge is None or len(_BRIDGED.findall(text)) > 1:
        return text
    named = [*_ITS_MIDDLE.finditer(text)]
    if not named and re.search(rf"(?:and|to) {_POINT}$", bridge[0].strip()):
        return text
    rest = _ITS_MIDDLE.sub("", f"{text[: bridge.start()]}{text[bridge.end() :]}")
    for reader in _READERS:
        told = reader(rest, unit)
        signs, _, after = told.partition("\n")
        arms = _arms_in(signs) if told != rest else []
        if arms:
            across = bridge["one"] or bridge["other"]
            return "\n".join(_joins(arms, across, after))
    return text


def _arms_in(signs: str) -> list[str]:
    """The four values of two arms of two, each as it is written; none for any other network."""
    try:
        nest = read_network(signs.rstrip(".")).nest
    except Refusal:
        return []
    arms = nest.members if isinstance(nest, Parallel) else ()
    is_bridge = len(arms) == 2 and all(isinstance(arm, Chain) for arm in arms)
    leaves = [e for arm in arms if isinstance(arm, Chain) for e in arm.members]
    if not is_bridge or len(leaves) != 4 or not all(isinstance(e, Element) for e in leaves):
        return []
    return [each.strip(" ()") for each in re.split(r"--|[|]{2}", signs.rstrip("."))]


def _joins(arms: list[str], across: str, after: str) -> list[str]:
    lines = [
        f"{value} from point {one} to point {other}"
        for value, (one, other) in zip(arms, _PLACES, strict=True)
    ]
    supply = re.search(r"(?m)^supply of [^\n.]*(?:\.[0-9][^\n.]*)?", after)
    rest = after.replace(supply[0], "").strip(". \n") if supply else after
    ends = f"{supply[0]} between points A and B" if supply else "terminals A and B"
    return [*lines, f"{across} from point P to point Q", ends, rest]
