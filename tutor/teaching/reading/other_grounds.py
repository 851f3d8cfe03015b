"""Reasons that never make a quantity stay: what is filled in, equal, near, flows through, leaks, or
holds another quantity than the one that was named.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from tutor.teaching.reading.spoken_words import meanings_of

_LARGER = re.compile(r"\b(?:bigger|biggest|larger|largest|smaller|smallest|higher|lower)\b")
_KEEPS_ITS_OWN = re.compile(r"\b(?:keeps?|holds? on to|has)\b.*\b(?:its|their) own\b")
_REASON = re.compile(r"(?i)\b(?:because|since|cos|coz|cuz|bcs?|becos)\b(.*)")
_NO_GROUND = frozenset(("gap", "current", "near", "used", "hop"))
_DENIED = re.compile(
    r"(?i)\b(?:no|not|nothing|nowhere|never|cannot|without|isolated|island|away|gone|off|removed"
    r"|disconnected|cut|lost|left)\b|n['’]t\b"
)
# That two things are equal or of one size is a reason for nothing, unless it is said of more.
_ALIKE = frozenset(("equal", "size"))
_SAYS_MORE = frozenset((
    "charge", "pd", "potential", "plate", "metal", "supply", "join", "cut", "conserve", "opposite",
))
_DENIES = frozenset(("no", "not", "nothing", "none", "never", "nowhere", "cannot", "t"))
# What keeps each of them is no ground for the other; energy is kept by neither.
_OF_ANOTHER: Mapping[str, frozenset[str]] = MappingProxyType({
    "charge": frozenset(("supply",)), "p.d.": frozenset(("conserve", "neutral")),
})


def gives_a_reason(line: str) -> bool:
    """Whether a line says because of what, so or not."""
    return _REASON.search(line) is not None


_FLOW = frozenset(("current", "hop", "used"))
_GREATER = re.compile(r"\b(?:bigger|biggest|larger|largest|higher|highest|greater|greatest)\b")


def tells_of_flow(line: str) -> bool:
    """Whether a reason is a current, or charge that crosses a gap; at rest none flows."""
    found = _REASON.search(line)
    words = re.findall(r"[a-z]+", found[1].lower()) if found is not None else []
    words = [word for word in words if word != "crossed"]  # as capacitors may be joined
    return any(meanings_of(word) & _FLOW for word in words)


def goes_by_the_greater(line: str) -> bool:
    """Whether a reason is that something is the greater, which reaches no rating first."""
    found = _REASON.search(line)
    return found is not None and _GREATER.search(found[1].lower()) is not None


def gives_another_ground(line: str, stays: str) -> bool:
    """Whether a line gives such a reason, without a denial in it, for what ``stays``."""
    found = _REASON.search(line)
    if found is None:
        return False
    words = re.findall(r"[a-z]+", found[1].lower())
    means = frozenset[str]().union(*map(meanings_of, words))
    if "leak" in means and not _DENIES & set(words):
        return True
    compares = _LARGER.search(found[1].lower()) or _KEEPS_ITS_OWN.search(found[1].lower())
    if compares and any(kind in stays for kind in ("charge", "p.d.")):
        return True
    if means & _ALIKE and not means & _SAYS_MORE and not _DENIES & set(words):
        return True
    if {"energy", "energies", "heat"} & set(words):  # it is lost, and does not stay
        lost = {"lost", "lose", "loses", "less", "heat", "warm", "warms"} & set(words)
        if not lost or {"no", "not", "never", "none", "without"} & set(words):
            return True
    another = next((kinds for word, kinds in _OF_ANOTHER.items() if word in stays), frozenset())
    if "p.d." in stays and _DENIED.search(found[1]) and "supply" not in means:
        return bool(means & {"cut", "way", "leave"})
    return not _DENIED.search(found[1]) and bool(means & (_NO_GROUND | another))
