"""Reasons behind a right answer: found so, found not so, or open.

An answer may be right by a wrong road, and praise of the answer is heard as praise of the road. So
only a reason that is found to be so is praised with it; one that nobody foresaw is left open.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.network import Network
from tutor.circuit.steps import Step
from tutor.teaching.reading.because_words import BECAUSE_OR_AS
from tutor.teaching.reading.propositions import Says, clauses_of, propositions_in
from tutor.teaching.reading.sentence_parts import Clause
from tutor.teaching.reading.spoken_words import COMMON, INTERJECTIONS, meanings_of, stem
from tutor.teaching.reading.truth import InQuestion, is_true

GroundWeight: TypeAlias = Literal["so", "not so", "open"]

# What bears on no value where it is not so; that two are equal, or near, may well bear on one.
_OF_THE_SHAPE: frozenset[Says] = frozenset((
    "series", "parallel", "both points", "one point", "only", "cut off", "across supply", "short",
))
_NEVER_SO: frozenset[Says] = frozenset(("through", "used up", "sent"))
# What says something of how they are joined, and so of what they share.
_BEARS: frozenset[Says] = frozenset((
    *_OF_THE_SHAPE, "count", "kept", "neutral", "transfer", "supply", "on supply", "adds", "path",
))


class GroundPlace(NamedTuple):
    """Where a reason is given: the network and the step in question, where there are such, the
    texts that say what makes the answer so, and what was ``chosen`` where words are asked.
    """

    network: Network | None
    step: Step | None
    told: tuple[str, ...] = ()
    chosen: str = ""


# Where it stands in a line

_LED = re.compile(r"(?i)(?:^|[\s,;])(?:so|hence|therefore|thus)\s+(?!far\b|that\b|much\b|many\b)")
_LEAST = 3  # words that can state something


class SaidGround(NamedTuple):
    """What a line gives as its reason; ``leads`` where it stands before 'so', and may as well be
    working or an answer of its own.
    """

    text: str
    leads: bool = False


def ground_in(line: str) -> SaidGround | None:
    """The reason that a line gives: behind 'because', or before 'so'; None where it gives none."""
    found = BECAUSE_OR_AS.search(line)
    if found is not None:
        behind = line[found.end() :]
        opens = not re.search(r"\w", line[: found.start()])
        return SaidGround(re.split(r",(?!\d)|\bso\b", behind)[0] if opens else behind)
    led = _LED.search(line)
    before = line[: led.start()] if led is not None else ""
    words = [w for w in re.findall(r"[^\W\d_]\w*'?\w*", before) if w.lower() not in INTERJECTIONS]
    return SaidGround(before, leads=True) if len(words) >= _LEAST else None


def weigh_ground(ground: str, place: GroundPlace, claims: Collection[bool] = ()) -> GroundWeight:
    """Whether a reason is so here; ``claims`` are its statements about values, judged already."""
    if not all(claims) or _is_false(ground, place):
        return "not so"
    return "so" if claims or _is_so(ground, place) else "open"


# Not so


def _is_false(ground: str, place: GroundPlace) -> bool:
    """Whether a reason is not so: the other quantity shared, a shape that is not there, or charge
    that goes through a gap.
    """
    network, step = place.network, place.step
    if network is None or step is None:
        return False
    if step.kind == "removal":
        told = {each.says for each in propositions_in(ground, network) if each.holds}
        return "short" in told and "short" not in _idle_by(step)
    if step.kind not in ("series", "parallel"):
        return False
    reasons = clauses_of(ground, network)
    if any(is_against(clause, step) for clause in reasons for is_against in _AGAINST):
        return True
    at = InQuestion(network, step)
    for each in propositions_in(ground, network):
        if each.says in _NEVER_SO and each.holds:
            return True
        if each.says == "split" and each.holds and step.kind == "series":
            return True
        if each.says in _OF_THE_SHAPE and each.holds and not is_true(each, at):
            return True
    return False


def _shares_the_other(clause: Clause, step: Step) -> bool:
    """Whether a clause says that these share what they do not share: the charge side by side."""
    said_same = clause.has("same") or clause.says("share", "shares", "shared", "equal")
    if not said_same or clause.is_negative or clause.has("charge") is clause.has("pd"):
        return False
    if clause.capacitors and not {*clause.capacitors} & {c.name for c in step.parts}:
        return False  # of others
    return clause.has("charge") is (step.kind == "parallel")


def _adds_the_shared(clause: Clause, step: Step) -> bool:
    """Whether a clause lets add up what these share: the p.d.s side by side."""
    if not clause.says("add", "adds", "added", "adding", "sum") or clause.is_negative:
        return False
    if clause.has("charge") is clause.has("pd"):
        return False
    return clause.has("pd") is (step.kind == "parallel")


def _adds_them_in_a_chain(clause: Clause, step: Step) -> bool:
    """Whether a clause adds the capacitances of a chain, and not one over each."""
    adds = clause.says("add", "adds", "added", "adding", "sum") and not clause.is_negative
    of_these = clause.says("capacitance", "capacitances", "capacities")
    return bool(adds and of_these and step.kind == "series" and not _TURNED.search(clause.text))


def _joins_otherwise(clause: Clause, step: Step) -> bool:
    """Whether a clause has these in series where they are side by side, or the other way round."""
    other = "series" if step.kind == "parallel" else "parallel"
    is_of_these = not clause.has(step.kind) and not clause.says("would", "were", "if", "for")
    return clause.has(other) and is_of_these and not clause.is_negative


def _splits_evenly(clause: Clause, step: Step) -> bool:
    """Whether a clause divides something alike among capacitors that differ."""
    if not clause.has("split") or not clause.says("evenly", "equally", "half", "halves"):
        return False
    return len({c.value for c in step.parts}) > 1


_AGAINST: tuple[Callable[[Clause, Step], bool], ...] = (
    _shares_the_other, _adds_the_shared, _adds_them_in_a_chain, _joins_otherwise, _splits_evenly,
)


# So


def _is_so(ground: str, place: GroundPlace) -> bool:
    """Whether a reason says how they are joined, by what rule values go together, or what the
    tutor would say.
    """
    network, step = place.network, place.step
    if network is not None and _makes_stay(ground, network, place.chosen):
        return True
    if network is not None and step is not None:
        at = InQuestion(network, step)
        said = propositions_in(ground, network)
        if step.kind == "removal":
            return any(each.holds and each.says in _idle_by(step) for each in said)
        if any(each.says in _BEARS and is_true(each, at) for each in said):
            return True
        if step.kind == "parallel" and any(
            each.says in ("near", "split") and each.holds for each in said
        ):
            return True  # side by side, as these are called too; and there the charge is split
        if any(_is_the_rule(clause, step) for clause in clauses_of(ground, network)):
            return True
    if _A_LAW.search(ground):
        return True
    least = 1 if step is None and not place.chosen else 2
    return any(_says_alike(ground, told, least) for told in place.told)


# So of any network, and said here of its kind.
_A_LAW = re.compile(
    r"(?i)\b(?:series|chains?)\b[^,;]*\b(?:product\s+over\s+(?:the\s+)?sum|reciprocals|inverses)\b"
    r"|\bparallel\b[^,;]*\b(?:add|adds|sums?|just\s+sum)\b"
)


def _idle_by(step: Step) -> frozenset[Says]:
    """What may be said of one that holds nothing: both plates at one point, or a dead end."""
    if any(c.start == c.end for c in step.parts):
        return frozenset(("short", "both points", "one point", "wire", "level"))
    return frozenset(("only", "cut off", "kept", "path"))


_TURNED = re.compile(r"\b(?:reciprocals?|inverses?|1 c\w*|one over|over)\b")


def _is_the_rule(clause: Clause, step: Step) -> bool:
    """Whether a clause says what is shared or what adds up in such a joining."""
    if clause.is_negative or step.kind not in ("series", "parallel"):
        return False
    if clause.has("same", "equal", "one") and clause.has("charge", "pd"):
        return clause.has("charge") is (step.kind == "series")
    if not clause.says("add", "adds", "added", "adding", "sum", "together", "plus", "up"):
        return False
    turned = _TURNED.search(clause.text)
    if clause.has("charge", "pd"):
        return clause.has("pd") is (step.kind == "series")
    return bool(turned) is (step.kind == "series")


# What stays

_GONE = frozenset((
    "gone", "off", "away", "removed", "remove", "disconnected", "unplugged", "taken", "took",
    "detached", "missing", "without", "out", "lifted", "pulled",
))
_THERE = frozenset((
    "still", "on", "joined", "connected", "across", "holds", "hold", "keeps", "keep", "there",
    "fixes", "sets", "settles", "decides", "decide", "determines", "rules", "stays", "attached",
    "same", "steady", "fixed", "maintains",
))
_ESCAPES = frozenset((
    "leave", "leaves", "escape", "escapes", "away", "go", "goes", "lost", "nowhere", "flow", "exit",
))
_NO_LEAD = re.compile(r"\bno (?:more )?(?:wires?|leads?|cables?)\b")
_LEADS = frozenset(("lead", "leads", "wire", "wires", "cable", "cables", "plug", "terminals"))


_HOLDING: frozenset[Says] = frozenset(("only", "cut off", "kept", "conserved", "transfer"))


def _makes_stay(ground: str, network: Network, stays: str) -> bool:
    """Whether a reason says what holds the charge, or the p.d., where it is."""
    for clause in clauses_of(ground, network):
        words = {word.text for word in clause.words}
        denied = clause.has("neg") or bool(words & _GONE)
        is_off = clause.has("supply") or bool(words & _ESCAPES) or (
            bool(words & _LEADS) and (words & _GONE or _NO_LEAD.search(clause.text) is not None)
        )
        if "charge" in stays and denied and is_off and not clause.has("current", "gap"):
            return True
        if "p.d." in stays and clause.has("supply") and words & _THERE and not (
            clause.has("neg") or words & _GONE - {"off", "out"}
        ):
            return True
    told = {each.says for each in propositions_in(ground, network) if each.holds}
    if "only" in told and not any(
        clause.has("join", "metal", "plate", "point") for clause in clauses_of(ground, network)
    ):
        told -= {"only"}  # nothing else is said, but not of a place
    return "charge" in stays and bool(told & _HOLDING)


# As the tutor would say

_WORD = re.compile(r"[a-zε]\w*|\d+(?:\.\d+)?")
_DENIES = frozenset((
    "no", "not", "nothing", "none", "never", "nowhere", "cannot", "without", "neither", "nor",
))
_TELLING = ("work", "change", "changes")  # of which reasons are made
_EMPTY = frozenset((
    *(word for word in COMMON if word not in _TELLING), *INTERJECTIONS,
    "be", "is", "are", "was", "has", "have", "had", "do", "does",
    "for", "as", "so", "because", "since", "comes", "come", "goes", "go", "gets", "get", "stands",
    "everything", "all", "both", "each", "them", "they", "itself", "only", "just",
))
_LIKE: tuple[frozenset[str], ...] = tuple(map(frozenset, (
    ("sign", "signs", "crossed", "plus", "minus", "positive", "negative", "opposite", "unlike"),
    ("same", "one", "alike", "equal", "stays", "constant", "fixed", "settled", "unchanged",
     "identical"),
    ("fill", "filling", "filled", "material", "dielectric", "epsilon", "permittivity"),
    ("bare", "empty", "uncharged", "zero", "nought"), ("larger", "bigger", "more", "rises"),
    ("smaller", "less", "lower", "lowest", "below", "falls", "drops", "least", "smallest"),
    ("endless", "infinite", "forever", "end"),
)))
_STRONG: frozenset[str] = frozenset((
    "charge", "pd", "potential", "supply", "cut", "series", "parallel", "plate", "gap", "neutral",
    "add", "same", "conserve", "current", "equal", "join",
))
_MOST_OF_IT = 0.6


def _says_alike(ground: str, told: str, least: int) -> bool:
    """Whether a reason says, in what it affirms and denies, mostly what a text says too, in at
    ``least`` so many words where all are affirmed.
    """
    said, known = _statements(ground), _statements(told)
    if not said or (len(said) < least and all(affirmed for affirmed, _ in said)):
        return False
    met = [any(_is_met(each, other) for other in known) for each in said]
    against = any(
        not found and any(_is_met((not each[0], each[1]), other) for other in known)
        for each, found in zip(said, met, strict=True)
    )
    return not against and sum(met) >= max(1, _MOST_OF_IT * len(said))


def _statements(text: str) -> list[tuple[bool, str]]:
    """The words of a text that carry something, each affirmed or denied."""
    found: list[tuple[bool, str]] = []
    affirmed = True
    text = re.sub(r"['’]s\b", "", re.sub(r"n['’]t\b", " not", text.lower()))
    text = re.sub(r"\b(\w+(?:er|est)|the|this|that)\s+one\b", r"\1", text)
    for word in _WORD.findall(re.sub(r"\bp\.\s?d\.?", "pd", text)):
        if word in _DENIES:
            affirmed = False
        elif word not in _EMPTY and not word.isdigit() and len(word) > 1:
            found.append((affirmed, word))
            affirmed = True
    return found if affirmed else [*found, (False, "")]  # it does nothing


def _is_met(said: tuple[bool, str], told: tuple[bool, str]) -> bool:
    """Whether one word says what the other does, both affirmed or both denied."""
    one, other = said[1], told[1]
    if said[0] is not told[0]:
        return False
    return one == other or stem(one) == stem(other) or any(
        {one, other} <= group for group in _LIKE
    ) or bool(meanings_of(one) & meanings_of(other) & _STRONG)
