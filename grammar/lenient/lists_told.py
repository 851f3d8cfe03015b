"""Networks told as a list of what stands in series or in parallel, each entry a part by itself.

``In series, in this order: a 20 pF; a parallel group made of 10 pF and 15 pF; a 60 pF``
"""

from __future__ import annotations

import re
from typing import Final

from grammar.lenient.trees_in_signs import NotToldSo, PartTree, in_signs, joined
from grammar.lenient.way_words import way_words
from grammar.lenient.ways_told import ASKS, supply_of, tree_of

_ENTRY: Final = r"(?:[^.;:?\n]|\.(?=[0-9]))*[0-9](?:[^.;:?\n]|\.(?=[0-9]))*"
_LIST: Final = re.compile(
    r"(?i)(?:^|(?<=[.;\n])) *(?:(?:these|the following|all(?: of these)?|everything|connected"
    r"|joined|they|are|is|stand|parts) )*(?:in )?(?P<way>series|parallel)\b"
    r"[^:.;?\n0-9]*(?<![ -])(?::| -)\s+"
    rf"(?P<entries>{_ENTRY}(?:[;\n]\s*{_ENTRY})+)[.;]?"
)
_SAID: Final = (
    ("||", re.compile(r"(?i)parallel|side by side|\|\|")),
    ("--", re.compile(r"(?i)series|row|chain|string|then|follow|after|behind|line|--")),
)
_LEAD: Final = re.compile(r"(?i)^(?:and |then |finally |lastly |first(?:ly)? )+")


def has_a_list(text: str) -> bool:
    """Whether a text has such a list: its semicolons part more than its commas."""
    return _LIST.search(text) is not None


def with_lists_told(text: str, unit: str) -> str:
    """The text made plain with such a list in signs; ``unit`` is that of numbers that have none.

    Entries at the end that tell of no part (the supply, what is asked) stay as they are.
    """
    told = _LIST.search(text)
    if told is None:
        return text
    entries = [each.strip(" ,") for each in re.split(r"[;\n]", told["entries"]) if each.strip()]
    parts = [each for each in entries if _tells_a_part(each, unit)]
    if len(parts) < 2 or entries[: len(parts)] != parts:
        return text
    sign = "--" if told["way"].lower() == "series" else "||"
    try:
        trees = [_part(_LEAD.sub("", each), unit) for each in parts]
    except NotToldSo:
        return text
    volts = map(supply_of, parts)
    rest = (text[: told.start()], *volts, *entries[len(parts) :], text[told.end() :])
    return "\n".join((in_signs(joined(sign, trees)), *filter(str.strip, rest)))


def _part(entry: str, unit: str) -> PartTree:
    """What an entry tells. Errors: ``NotToldSo`` where it is joined in no way that the entry says,
    or says how and is not joined so.
    """
    tree = tree_of(list(way_words(entry, unit)))
    signs = in_signs(tree)
    if any((sign in signs) != bool(said.search(entry)) for sign, said in _SAID):
        raise NotToldSo
    return tree


def _tells_a_part(entry: str, unit: str) -> bool:
    kinds = {each.kind for each in way_words(entry, unit)}
    return "VALUE" in kinds and not ASKS.search(entry)
