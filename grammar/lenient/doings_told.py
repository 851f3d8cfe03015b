"""Whether what people do with their hands in a text shows in its readings: leads pulled off, plates
turned round, one that breaks. Who tells of it means something by it, so that it is never passed by.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

from grammar.lenient.shapes_told import ON_THE_DIAGONAL
from grammar.outline import elements_of
from grammar.records import Description, Refusal

_PULL: Final = (
    r"(?:pull|yank|cut|snip|rip|tear|tore|torn|undo|undid|undone|unscrew|slip|pluck|knock|lift|take"
    r"|took|taken|wrench|prise|twist|unclamp|release|free|kick|throw|threw|drop)(?:s|p?ed|ped|ging"
    r"|ping|ing|es)?"
)
_LEADS: Final = (
    r"(?:cables?|wires?|leads?|plugs?|clips?|cords?|connections?|clamps?|(?:power )?supply|battery"
    r"|source|cell|mains|charger|power pack)"
)
_WHOSE: Final = r"(?:(?:the|its|his|her|my|our|their|both|one|of|a|two) )*"
_PARTS: Final = re.compile(
    rf"(?i)(?<!not )(?<!never )(?<!without )\b{_PULL} (?:off |out |away |loose )?{_WHOSE}{_LEADS}"
    r"(?: (?:off|out|away|loose|apart|from)\b|(?=\s*(?:[.,;]|and\b|then\b)))"
    rf"|\b(?<!not )(?<!never )(?:is|are|was|were|it|them|both)? ?{_PULL}"
    rf" (?:off|out of|away from|loose from|free of|from) {_WHOSE}{_LEADS}\b"
)
_TURNS: Final = re.compile(
    r"(?i)\b(?:turn|flip|revers|swap|switch|twist)(?:s|ed|ing|e|es|ped|ping)? (?:(?:one|it|that one"
    r"|the (?:second|first|other)(?: one)?|one of (?:them|the two)) (?:round|around|over|upside"
    r" down)|(?:over )?(?:its|the|one|both|one'?s) (?:terminals|leads|legs|polarity|connections))\b"
)
_BREAKS: Final = re.compile(
    r"(?i)\b(?:breaks|broke|burn(?:s|t|ed)(?: out| through)?|melt(?:s|ed)|blow(?:s|n)|blew|bursts?"
    r"|pops|popped|punctured|fail(?:s|ed)|crack(?:s|ed)|dies|died|exploded?s?"
    r"|becomes a (?:wire|short|conductor)|starts? to conduct|conducts)\b(?! first)(?! down first)"
)
_IS_EMPTY: Final = re.compile(
    r"(?i)\b(?:an|a|the|another|and) (?:(?:second|third|large|small|initially|still|first),? )?"
    r"(?:un-?charged|empty|flat|dead)\b(?! (?:plates?|battery|cell|gap|space|capacitors|caps"
    r"|condensers))|[0-9] ?[unp]F uncharged\b"
)


_ONE_CAP: Final = (
    r"(?:the (?:[0-9.]+ ?[unp]F|first|second|third|last|middle|other|smaller|larger)\b"
    r"|C_?[0-9]\b|one of (?:them|the)|it (?:by|with)|them (?:by|with))"
)
_REPLACES: Final = re.compile(
    rf"(?i)\b(?:replac|exchang|substitut)(?:e|es|ed|ing) {_ONE_CAP}"
    rf"|{_ONE_CAP}[^.;?,]{{0,20}}? (?:is|was|gets?) (?:then |now )?(?:replaced|exchanged)\b"
)


_STAYS_ON: Final = re.compile(
    r"(?i)\b(?:stay|remain|keep|kept|left|still|leave)(?:s|ed|ing)?(?: (?:it|them|both))? "
    r"(?:connected|joined|attached|hooked(?: up)?|wired) (?:to|on|across) (?:the|its|their|this) "
    r"(?:battery|supply|source|cell)\b"
    r"|\b(?:battery|supply|source|cell) (?:stays?|remains?|is (?:still|left|kept))"
    r"(?: (?:on|connected|joined|attached|there|in place))?\b"
)
_IS_EMPTIED: Final = re.compile(
    r"(?i)\bcharged (?:to|with|by|from) [0-9.]+ ?k?V(?: battery)?,? (?:and |then |and then )"
    r"(?:it is |is |was )?(?:then |later |fully )?discharged\b"
)
_BY_ONE_END: Final = re.compile(
    r"(?i)\bother (?:two )?(?:plate|end|terminal|leg|lead)s? (?:are |is |being |stay |stays )?"
    r"(?:left )?(?:free|open|unconnected|loose|alone|hanging)\b"
    r"|\bby (?:just |only )?one (?:wire|lead|plate)(?: only| alone)?\b"
)
_CHARGED_EACH: Final = re.compile(
    r"(?i)\bcharged (?:up )?(?:to|with|by)[^.;]{0,30}?[0-9.]+ ?k?V\b[^.;]{0,60}?"
    r"\b(?:an?|the|C_?[0-9]|other|second)\b[^.;]{0,25}? (?:to|with) [0-9.]+ ?k?V\b"
    r"(?! (?:battery|supply|source|cell))"
)


def _are_charged_each(told: Description) -> bool:
    return sum(bool(each.start) for each in elements_of(told)) > 1 or told.supply is None


class _Doing(NamedTuple):
    """What is said to happen, and what a reading of it must have."""

    said: re.Pattern[str]
    shows: Callable[[Description], bool]


def refuse_what_is_not_done(plain: str, told: Sequence[Description]) -> None:
    """Errors: ``Refusal`` where something is done in the text that no reading shows."""
    for doing in _DOINGS:
        said = doing.said.search(plain)
        if said is not None and told and not any(map(doing.shows, told)):
            raise Refusal(
                f'What "{said[0].strip(" .,;")}" does to the network is not clear.',
                "Say it step by step, as in 4 uF, across 12 V; then remove supply.",
            )


def _is_parted(told: Description) -> bool:
    """Whether something was charged and then stands by itself."""
    kinds = {each.kind for each in told.changes}
    return bool(kinds & {"remove supply", "join", "take out", "supply"}) or _begins_charged(told)


def _begins_charged(told: Description) -> bool:
    return any(each.start for each in elements_of(told))


def _is_crossed(told: Description) -> bool:
    return any(each.crossed for each in told.changes)


def _is_other_after(told: Description) -> bool:
    """Whether something changes, or ratings say what breaks."""
    return bool(told.changes or told.wires) or any(each.rating for each in elements_of(told))


_WANTS_TO_BEAR: Final = re.compile(
    r"(?i)\b(?:want|need|like|get|make)\b[^.;?]*[0-9] ?[unp]F?\b[^.;?]*\bgood for [0-9.]+ ?k?V\b"
)


def _is_over_the_ends(told: Description) -> bool:
    return any({each.start, each.end} == {*told.ends} for each in told.joins)


def _is_replaced(told: Description) -> bool:
    return bool({each.kind for each in told.changes} & {"supply", "wire", "join"})


def _begins_empty(told: Description) -> bool:
    """Whether one can begin without a charge: charged ones beside it, joined or one by one."""
    return _begins_charged(told) or bool(told.changes) or told.supply is None or bool(told.givens)


_DOINGS: Final = (
    _Doing(_PARTS, _is_parted),
    _Doing(_TURNS, _is_crossed),
    _Doing(_BREAKS, _is_other_after),
    _Doing(_IS_EMPTY, _begins_empty),
    _Doing(_REPLACES, _is_replaced),
    _Doing(_WANTS_TO_BEAR, lambda told: told.bank is not None),
    _Doing(_STAYS_ON, lambda told: not _begins_charged(told)),
    _Doing(_IS_EMPTIED, lambda _: False),
    _Doing(_BY_ONE_END, lambda told: not any(each.kind == "join" for each in told.changes)),
    _Doing(_CHARGED_EACH, _are_charged_each),
    _Doing(ON_THE_DIAGONAL, lambda told: told.nest is not None or _is_over_the_ends(told)),
)
