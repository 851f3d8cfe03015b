"""Who is said to be in series or in parallel with whom, and whether that is so anywhere here.

A capacitor that has been combined stands in the network that was given and in those on the way, and
no longer in the one in hand: what is said of two of them is so where it is so in one of these.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Final

from tutor.circuit.network import Network
from tutor.circuit.steps import Choice, examine

_CLAUSES = re.compile(r"(?i)[,;:.!()](?!\d)|\b(?:so|but|while|whereas|because|since)\b")
_NAME = re.compile(r"(?<![\w.])([A-Za-z]_?\d+'*)(?![\w'])")
_KINDS: Final[Mapping[str, re.Pattern[str]]] = MappingProxyType({
    "series": re.compile(r"(?i)\bin\s+(?:a\s+)?(?:series|chain|row)\b"),
    "parallel": re.compile(r"(?i)\bparallel\b|\bside\s+by\s+side\b"),
})
_OF_THESE = re.compile(r"(?i)\b(?:it|its|them|they|these|this)\b|\bwith\s+(?:both|the\s+two)\b")
_NOT_STATED = re.compile(
    r"(?i)\b(?:not|no|nor|neither|never|if|would|were|unless|like)\b|n['’]t\b"
)
TWO: Final = 2


def is_joined_falsely(
    text: str, networks: Iterable[Network], these: Collection[str] = ()
) -> bool:
    """Whether two capacitors are said to be in series, or in parallel, that are so in none of the
    networks in which both stand; 'it' and 'them' are ``these``.
    """
    known = [*networks]
    return any(
        not any(_is_so(names, kind, each) for each in known)
        for kind, names in _pairs_in(text, known, these)
        if any({*names} <= {c.name for c in each.capacitors} for each in known)
    )


def _pairs_in(
    text: str, networks: Collection[Network], these: Collection[str]
) -> Iterator[tuple[str, tuple[str, ...]]]:
    there = {c.name.upper(): c.name for each in networks for c in each.capacitors}
    for clause in _CLAUSES.split(text):
        kinds = [kind for kind, words in _KINDS.items() if words.search(clause)]
        if len(kinds) != 1 or _NOT_STATED.search(clause):
            continue
        said = [name.upper().replace("_", "") for name in _NAME.findall(clause)]
        if not all(name in there for name in said):
            continue
        names = dict.fromkeys(there[name] for name in said)
        if len(names) == 1 and _OF_THESE.search(clause):
            names |= dict.fromkeys(these)
            yield kinds[0], tuple(names)
        elif len(names) == TWO:
            yield kinds[0], tuple(names)


def _is_so(names: tuple[str, ...], kind: str, network: Network) -> bool:
    if not {*names} <= {c.name for c in network.capacitors}:
        return False
    judged = examine(network, names)
    return isinstance(judged, Choice) and judged.kind == kind
