"""Whether what a text tells of one capacitor was read as the supply of all, and whether a reading
has its supply where the text asks for it: both would be another exercise.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from grammar.lenient.ways_told import SENTENCE
from grammar.reading import read_network
from grammar.records import Chain, Description, Element, Parallel, Refusal, Worth

_PD: Final = r"(?:voltage|p\.? ?d\.?|potential difference|potential|tension|volts)"
_VOLTS: Final = r"(?P<volts>[0-9]*\.?[0-9]+ ?k?)(?:V|volts?)\b"
_CAP: Final = r"(?: (?:capacitor|condenser|cap|one)s?)?"
_ONE: Final = (
    r"(?:the (?:[0-9.]+ ?[unp]F|first|second|third|last|other|smaller|larger|bigger|greater"
    r"|lesser)\b"
    rf"{_CAP}|C_?[0-9a-z]\b(?: ?= ?[0-9.]+ ?[unp]F)?)"
)
_NO_OTHER: Final = r"(?! ?(?:,|and|&|or|in series|in parallel|--|\|\||//|to\b|with))"
_TOLD_OF_ONE: Final = (
    re.compile(rf"(?i){_VOLTS} (?:(?:is|are|lies?|stands?|falls?|drops?) )?"
               rf"(?:across|on|over) {_ONE}{_NO_OTHER}"),
    re.compile(
        rf"(?i)\b{_PD} (?:across|on|of|over) {_ONE},? (?:(?:which|that) [^.;?]*?,? )?(?:is|was|=)"
        rf" {_VOLTS}"
    ),
    re.compile(
        rf"(?i)(?<!with )(?<!with an )(?<!with a )(?<!with the )[0-9.]+ ?[unp]F{_CAP},?"
        rf" (?:(?:and|which|that|it|has|with|having|a|{_PD}|of) )+{_VOLTS} (?:across|on|over) it\b"
    ),
    re.compile(
        rf"(?i)[0-9.]+ ?[unp]F{_CAP},? (?:and )?(?:on|across|over) (?:it|which) "
        rf"(?:(?:is|are|there|lies?|stands?|has|have|a|the|{_PD}|of) )*{_VOLTS}"
    ),
)  # fmt: skip
_HELD: Final = r"(?P<held>[0-9]*\.?[0-9]+) ?(?P<unit>[unpm]?C|(?:micro|nano|milli)-?coulombs?)\b"
_CHARGE_OF_ONE: Final = (
    re.compile(
        rf"(?i)\bcharge (?:stored )?(?:on|of|in) {_ONE}{_NO_OTHER},? (?:is|was|=|equals) {_HELD}"
    ),
    re.compile(
        rf"(?i)(?<!with )(?<!to )(?<!and )\b{_ONE},? (?:(?:alone|itself|now|then) )?"
        rf"(?:holds?|carries|stores|has|gets|takes) (?:(?:a|the|charge|of) )*{_HELD}"
    ),
)
_ALL: Final = r"(?:supply|battery|source|cell|total|whole|overall|applied)"
_ASKS_FOR_ALL: Final = re.compile(
    r"(?i)\b(?:what|which|find|calculate|determine|how (?:much|large|big|high)|give|compute)"
    r"(?: (?:is|must|should|was|will|be|the|then|its|their))*"
    rf" (?:{_ALL}(?: {_PD}|(?= ?[?.]))|{_PD} (?:of|from|given by|supplied by) the (?:{_ALL}|lot))\b"
    rf"(?![^?.]*\b(?:shared?|splits?|divided?|if|when|{_VOLTS}))"
    rf"|^[^a-z]*(?:the )?{_ALL} {_PD} ?\?"
)


# What all come to is none of them, where its value is told only so.
_TOTAL_TOLD: Final = re.compile(
    r"(?i)\b(?:total|equivalent|combined|overall|resultant) (?:capacitance|capacity)"
    r"(?: of [^.;?]*?)? (?:is|=|was|amounts to|comes to) (?P<worth>[0-9]*\.?[0-9]+ ?[unp]F)\b"
)


def _refuse_a_total_for_one(plain: str, told: Sequence[Description]) -> None:
    """Errors: ``Refusal`` where what all come to stands among them in every reading."""
    for said in _TOTAL_TOLD.finditer(plain):
        worth = read_network(said["worth"]).nest
        once = len(re.findall(rf"(?<![0-9.]){re.escape(said['worth'])}\b", plain)) == 1
        if told and once and isinstance(worth, Element) and all(_has(e, worth.worth) for e in told):
            raise Refusal(
                f'"{said[0]}" is said of all together, and not of one capacitor.',
                "Give it as in C1 = ? -- C2 = 3 uF; C = 2 uF.",
            )


def _has(told: Description, worth: Worth) -> bool:
    """Whether one that stands by itself, or in a row by itself, has this value."""
    members = getattr(told.nest, "members", ())
    return any(isinstance(each, Element) and each.worth == worth for each in members)


def refuse_one_for_all(plain: str, told: Sequence[Description]) -> None:
    """Errors: ``Refusal`` where every reading has across all, or on all, what is told of one, has
    given what the text asks for, or has as one of them what all come to.
    """
    _refuse_a_total_for_one(plain, told)
    _refuse_charge_of_one(plain, told)
    if not told or not all(map(_is_fed_chain, told)):
        return
    for said in _claims(plain):
        worth = _volts(said["volts"])
        if all(each.supply is not None and each.supply.worth == worth for each in told):
            raise Refusal(
                f'"{said[0].strip()}" is said of one capacitor, and not of the whole.',
                "Say what is known of the whole, or give it as in V1 = 6 V.",
            )
    asks = (_ASKS_FOR_ALL.search(each) for each in SENTENCE.findall(plain))
    if (asked := next(filter(None, asks), None)) is not None:
        raise Refusal(
            f'You ask "{asked[0].strip()}", and as I read this it is given.',
            "Say of which capacitor the p.d. is that you know, as in V1 = 6 V.",
        )


def _refuse_charge_of_one(plain: str, told: Sequence[Description]) -> None:
    """Errors: ``Refusal`` where a charge of one side by side with others was read as that of"
    " all."""
    shared = [each.supply for each in told if isinstance(each.nest, Parallel) and each.supply]
    if not shared or len(shared) < len(told) or any(each.changes for each in told):
        return
    for sentence in SENTENCE.findall(plain):
        for said in filter(None, (each.search(sentence) for each in _CHARGE_OF_ONE)):
            given = read_network(f"1 uF, holding {said['held']} {_coulombs(said['unit'])}").supply
            if all(each == given for each in shared):
                raise Refusal(
                    f'"{said[0].strip()}" is said of one capacitor, and not of the whole.',
                    "Say what all of them hold, or give it as in Q1 = 6 uC.",
                )


def _coulombs(unit: str) -> str:
    return unit if unit.endswith("C") else f"{'u' if unit[:2].lower() == 'mi' else unit[0]}C"


def _is_fed_chain(told: Description) -> bool:
    """Whether a reading is some in series with a p.d. across all, and no more."""
    is_chain = isinstance(told.nest, Chain) and told.supply is not None
    if not is_chain or told.changes or told.supply is None or told.supply.quantity != "voltage":
        return False
    assert told.nest is not None, "it is a chain"
    return not any(isinstance(e, Element) and e.rating for e in getattr(told.nest, "members", ()))


def _claims(plain: str) -> Iterator[re.Match[str]]:
    for sentence in SENTENCE.findall(plain):
        for pattern in _TOLD_OF_ONE:
            yield from pattern.finditer(sentence)


def _volts(number: str) -> Worth | None:
    supply = read_network(f"1 uF, across {number}V").supply
    return supply.worth if supply is not None else None
