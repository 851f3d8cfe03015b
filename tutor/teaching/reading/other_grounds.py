"""Reasons that never make a quantity stay: what is filled in, equal, near, flows through, leaks, or
holds another quantity than the one that was named.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from tutor.teaching.reading.spoken_words import meanings_of, with_pd_whole

_LARGER = re.compile(r"\b(?:bigger|biggest|larger|largest|smaller|smallest|higher|lower)\b")
_KEEPS_ITS_OWN = re.compile(r"\b(?:keeps?|holds? on to|has)\b.*\b(?:its|their) own\b")
_NO_GROUND = frozenset(("gap", "current", "near", "used", "hop"))
_DENIED = re.compile(
    r"(?i)\b(?:no|not|nothing|nowhere|never|cannot|without|isolated|insulated|floating|island|away|gone"
    r"|off|removed|disconnected|cut|lost|left)\b|n['’]t\b"
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


_STAYS = frozenset((
    "stays", "stay", "kept", "keeps", "remains", "unchanged", "constant", "fixed", "conserved",
))


_CHANGES = frozenset(("change", "changes", "alter", "alters", "vary", "varies", "move", "moves"))
_BOTH = re.compile(
    r"\b(?:charges?|q)\s+(?:or|and|nor)\s+(?:the\s+)?(?:voltages?|volts|pds?|v)\b"
    r"|\b(?:voltages?|volts|pds?|v)\s+(?:or|and|nor)\s+(?:the\s+)?(?:charges?|q)\b"
)


def lets_another_stay(ground: str, stays: str) -> bool:
    """Whether the energy is said to stay, or the p.d. where the charge does, or the other way."""
    words = _words(ground)
    is_denied = bool((_DENIES | {"neither"}) & {*words})
    stay = (_STAYS & {*words} and not is_denied) or (_CHANGES & {*words} and is_denied)
    if stay and _BOTH.search(" ".join(words)) and ("charge" in stays or "p.d." in stays):
        return True
    kinds = frozenset[str]().union(*map(meanings_of, words)) & {"charge", "pd"}
    if {"energy", "energies"} & {*words}:
        kinds = frozenset(("energy",))
    others = {"pd", "energy"} if "charge" in stays else (
        {"charge", "energy"} if "p.d." in stays else set[str]()
    )
    return len(kinds) == 1 and kinds <= others and bool(stay)


def _words(ground: str) -> list[str]:
    return re.findall(r"[a-z]+", with_pd_whole(ground.lower()))


_FLOW = frozenset(("current", "used"))
_GREATER = re.compile(r"\b(?:bigger|biggest|larger|largest|higher|highest|greater|greatest)\b")


def tells_of_flow(ground: str) -> bool:
    """Whether a reason is a current, or charge that crosses a gap; at rest none flows."""
    words = re.findall(r"[a-z]+", ground.lower())
    is_of_field = "field" in words  # that is what a filling weakens
    words = [w for w in words if w != "crossed" and not (is_of_field and w.startswith("weak"))]
    means = frozenset[str]().union(*map(meanings_of, words))
    return bool(means & _FLOW) or {"hop", "charge"} <= means


_IS_LOST = frozenset((
    "lost", "destroyed", "used", "consumed", "vanishes", "disappears", "vanished", "disappeared",
))
_BY_CANCELLING = frozenset((
    "cancel", "cancels", "cancelled", "cancelling", "neutral", "neutralised", "opposite", "minus",
    "crossed", "energy", "heat", "plate", "plates",
))


def loses_charge(ground: str) -> bool:
    """Whether a reason is that charge is lost; charge may leave a plate, or cancel, and stays."""
    for clause in re.split(r"[,;:.]|\b(?:and|but|so|while)\b", ground.lower()):
        words = re.findall(r"[a-z]+", clause)
        at = next((n for n, word in enumerate(words) if "charge" in meanings_of(word)), None)
        if at is None or {*words} & (_DENIES | _BY_CANCELLING):
            continue
        if {*words[at:]} & _IS_LOST or words[max(0, at - 1)] == "lost":
            return True
    return False


_ADDS = frozenset(("add", "adds", "sum", "sums"))
_IS_SAME = frozenset(("same", "equal", "identical", "share", "shares", "shared"))
_NOT_AFFIRMED = frozenset((*_DENIES, "would", "if", "only", "unlike"))


def breaks_a_law(ground: str) -> bool:
    """Whether a clause says of chains, or of sets side by side, what is so of none: in series the
    charges add, in parallel the charge is the same, in series the whole is the larger.
    """
    text = with_pd_whole(re.sub(r"\bside by side\b", "parallel", ground.lower()))
    return any(map(_breaks_one, re.split(r"[,;:.!]|\b(?:but|while|whereas|and)\b", text)))


def _breaks_one(clause: str) -> bool:
    words = re.findall(r"[a-z]{2,}", clause)
    series, parallel = "series" in words or "chain" in words, "parallel" in words
    if series is parallel or _NOT_AFFIRMED & {*words}:
        return False
    means = frozenset[str]().union(*map(meanings_of, words))
    if _ADDS & {*words} and {"ratings", "rating"} & {*words}:
        return parallel
    if {"charge", "pd"} <= means or not {"charge", "pd"} & means:
        all_told = {"whole", "total"} & {*words}
        is_of_all = all_told and {"each", "any", "largest", "biggest"} & {*words}
        than = _GREATER.search(clause) if series else {"smaller", "less"} & {*words}
        return bool(is_of_all and than)
    if _ADDS & {*words}:
        return ("pd" in means) is parallel
    return bool(_IS_SAME & {*words}) and ("charge" in means) is parallel


_AVERAGES = re.compile(r"(?i)\b(?:average[sd]?|averaging|mean\s+of)\b")
# Of what runs from nothing to its end the average is half: energy, and the p.d. while charging.
_HALF_ON_AVERAGE = re.compile(r"(?i)\b(?:energ\w+|work|volt\w*|p\.?\s?d\b|charg\w+|field)\b")


def takes_an_average(ground: str) -> bool:
    """Whether a reason is an average, which no capacitance and no rating of several ever is."""
    is_denied = _DENIES & {*_words(ground)}
    return bool(_AVERAGES.search(ground)) and not (_HALF_ON_AVERAGE.search(ground) or is_denied)


_WHO = frozenset(("both", "two", "be", "cap", "size", "same", "one"))
_SIZED = re.compile(r"(?i)\b(?:biggest|largest|smallest|greatest|big|large|small|tiny|little)\b")


def goes_by_size(ground: str) -> bool:
    """Whether a reason is how large somebody is, and nothing of how they are joined or hold."""
    means = frozenset[str]().union(*map(meanings_of, _words(ground)))
    return _SIZED.search(ground) is not None and not means - _WHO


def goes_by_the_greater(ground: str) -> bool:
    """Whether a reason is that something is the greater, which reaches no rating first."""
    return _GREATER.search(ground.lower()) is not None


_OF_RATINGS = re.compile(r"(?i)\b(?:ratings?|rated|limits?)\b")
_LEAST_OF_ALL = re.compile(r"(?i)\b(?:lower|lowest|smaller|smallest|less|least)\b")


def goes_by_rating_alone(ground: str, because: str) -> bool:
    """Whether a reason is that a rating is the lower one, where charges decide, and not ratings."""
    is_so = _OF_RATINGS.search(ground) and _LEAST_OF_ALL.search(ground)
    is_of_charge = re.search(r"(?i)\b(?:charge|coulombs?|times|product|[QC])\b|[*×]", ground)
    return bool(is_so) and not is_of_charge and "its rating is the lowest" not in because


def goes_by_charge_alone(ground: str, because: str) -> bool:
    """Whether a reason is a charge, where ratings are met by one p.d.: charges decide nothing."""
    means = frozenset[str]().union(*map(meanings_of, _words(ground)))
    speaks_of_volts = "pd" in means or _OF_RATINGS.search(ground) or re.search(r"\d", ground)
    return "its rating is the lowest" in because and "charge" in means and not speaks_of_volts


def gives_another_ground(ground: str, stays: str) -> bool:
    """Whether a reason is one of these, without a denial in it, for what ``stays``."""
    words = _words(ground)
    means = frozenset[str]().union(*map(meanings_of, words))
    if "leak" in means and not _DENIES & set(words):
        return True
    compares = _LARGER.search(ground.lower()) or _KEEPS_ITS_OWN.search(ground.lower())
    if compares and any(kind in stays for kind in ("charge", "p.d.")):
        return True
    if means & _ALIKE and not means & _SAYS_MORE and not _DENIES & set(words):
        return True
    if {"energy", "energies", "heat"} & set(words):  # it is lost, and does not stay
        lost = {"lost", "lose", "loses", "less", "heat", "warm", "warms"} & set(words)
        if not lost or _DENIES & set(words):
            return True
    if lets_another_stay(ground, stays):
        return True
    another = next((kinds for word, kinds in _OF_ANOTHER.items() if word in stays), frozenset())
    if "p.d." in stays and _DENIED.search(ground) and "supply" not in means:
        return bool(means & {"cut", "way", "leave"})
    return not _DENIED.search(ground) and bool(means & (_NO_GROUND | another))
