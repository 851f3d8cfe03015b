"""Networks built up by definitions: let G be 4 and 4 in series, let H be G in parallel with 8."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from grammar.lenient.trees_in_signs import NotToldSo, PartTree, in_signs, joined
from grammar.lenient.way_words import AMOUNT, NAME, value_of
from grammar.lenient.ways_told import ASKS, SENTENCE, supply_of

_LETTER: Final = r"(?P<letter>(?-i:[A-Z]))"
_DEFINED: Final = re.compile(
    rf"(?i)^\s*(?:(?:and|then|now|next|finally),? )*(?:let {_LETTER} (?:be|stand for|mean)"
    rf"|(?:block |group |part )?{_LETTER.replace('letter', 'letter2')} ?(?:=|is|means|stands for"
    r"|consists of|:(?!=)|:=))\s+(?P<what>.+)$",
    re.S,
)
_WHOLE: Final = re.compile(
    r"(?i)^\s*(?:so |now |finally,? |and )?(?:the )?(?:whole|network|circuit|whole network|rest"
    r"|whole circuit|total|answer|result|arrangement)(?: thing| lot)? ?(?:is|=|consists of|:)"
    r" (?P<what>.+)$",
    re.S,
)
_WAYS: Final = (
    ("--", r"(?:connected |joined |put |placed )?(?:in (?:series|line|a row|a chain)|in a line"
        r"|one after the other|followed by|then)"),
    ("||", r"(?:connected |joined |put |placed )?(?:in parallel|side by side|parallel|beside"
        r"|across|alongside)"),
)  # fmt: skip
_OPERAND: Final = re.compile(
    rf"(?i)^(?:(?:an?|the|another|block|group|part) )*(?:(?P<named>(?-i:[A-Z]))(?![A-Za-z0-9])"
    rf"|(?:(?P<name>{NAME}) ?(?:=|of|:)? ?)?(?P<amount>{AMOUNT})\)?(?: capacitor| cap)?)"
)


def with_definitions_told(text: str, unit: str) -> str:
    """The text made plain with what its definitions build in signs; the text as it is where one of
    them is not understood, or where fewer than two are given.
    """
    sentences = [each.strip(" .;\n") for each in SENTENCE.findall(text) if each.strip(" .;\n")]
    rest = [each for each in sentences if ASKS.search(each)]
    told: dict[str, PartTree] = {}
    whole: PartTree | None = None
    try:
        for sentence in sentences:
            if (named := _DEFINED.match(sentence)) and sentence not in rest:
                letter = named["letter"] or named["letter2"]
                told[letter] = whole = _tree(named["what"], told, unit)
            elif (last := _WHOLE.match(sentence)) and sentence not in rest:
                whole = _tree(last["what"], told, unit)
            elif sentence not in rest and re.search(r"[0-9] ?[unp]F", sentence):
                return text
    except NotToldSo:
        return text
    if whole is None or len(told) < 2 or isinstance(whole, str):
        return text
    parts = "".join(letter for letter, tree in told.items() if tree != whole)
    if re.search(rf"(?i)V\w* (?:across|on|over|at|between) (?-i:[{parts}])(?![A-Za-z0-9])", text):
        return text  # of a part only
    volts = [supply_of(each) for each in sentences if each not in rest]
    return "\n".join((in_signs(whole), *filter(None, volts), *rest))


def _tree(what: str, told: Mapping[str, PartTree], unit: str) -> PartTree:
    """What some words join. Errors: ``NotToldSo`` for any that are not understood."""
    first, left = _operand(what, told, unit)
    members = [first]
    while listed := re.match(r"(?i)^\s*(?:,|and|with)+ ?(?:and )?", left):
        try:
            member, left = _operand(left[listed.end() :], told, unit)
        except NotToldSo:
            break
        members.append(member)
    for sign, way in _WAYS:
        said = re.match(rf"(?i)^\s*(?:both )?{way}(?: (?P<with>with|to))?\s*", left)
        if said is None:
            continue
        after = left[said.end() :]
        if len(members) == 1:
            member, after = _operand(after, told, unit)
            members.append(member)
        elif said["with"]:
            raise NotToldSo
        _ends(after)
        return joined(sign, members)
    _ends(left)
    if len(members) > 1:
        raise NotToldSo
    return members[0]


def _operand(text: str, told: Mapping[str, PartTree], unit: str) -> tuple[PartTree, str]:
    found = _OPERAND.match(text.lstrip())
    if found is None or (found["named"] and found["named"] not in told):
        raise NotToldSo
    left = text.lstrip()[found.end() :]
    if found["named"]:
        return told[found["named"]], left
    return value_of(found.groupdict(), unit)[0], left


def _ends(left: str) -> None:
    """Errors: ``NotToldSo`` where more follows than a p.d."""
    if not re.fullmatch(
        r"(?i)[ ,.]*(?:(?:and )?(?:across|on|at|with|fed (?:by|from)) (?:an? |the )?[0-9.]+ ?k?V"
        r"(?:olts?)?(?: (?:supply|battery|across it))?)?[ .]*",
        left,
    ):
        raise NotToldSo
