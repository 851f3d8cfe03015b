"""Reasons behind a right answer: found so, found not so, or open.

An answer may be right by a wrong road, and praise of the answer is heard as praise of the road. So
only a reason that is found to be so is praised with it; one that nobody foresaw is left open.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from itertools import pairwise
from typing import Final, Literal, NamedTuple, TypeAlias

from tutor.circuit.network import Network
from tutor.circuit.steps import Step
from tutor.teaching.reading.because_words import BECAUSE_OR_AS
from tutor.teaching.reading.joined_with import is_joined_falsely
from tutor.teaching.reading.laws_said import without_laws
from tutor.teaching.reading.like_words import says_alike
from tutor.teaching.reading.other_grounds import breaks_a_law, loses_charge, takes_an_average
from tutor.teaching.reading.propositions import Says, clauses_of, propositions_in
from tutor.teaching.reading.sentence_parts import Clause
from tutor.teaching.reading.spoken_words import INTERJECTIONS, meanings_of, with_pd_whole
from tutor.teaching.reading.truth import InQuestion, is_enough, is_true
from tutor.teaching.reading.unit_claims import units_judged

GroundWeight: TypeAlias = Literal["so", "not so", "open"]

# What bears on no value where it is not so; that two are equal, or near, may well bear on one.
_OF_THE_SHAPE: frozenset[Says] = frozenset((
    "series", "parallel", "both points", "one point", "only", "cut off", "across supply", "short",
))
_NEVER_SO: frozenset[Says] = frozenset(("through", "used up", "sent"))
_OF_CHARGE = re.compile(
    r"(?i)\b(?:charges?|currents?|electrons?|coulombs?|q)\b"
    r"|\b(?:it|they|both|each)\s+(?:\w+\s+)?(?:go|flow|pass|move|run|jump|cross|push|use)\w*"
    r"|\b(?:push|send|pump|flow)\w*"
)
# What says something of how they are joined, and so of what they share.
_BEARS: frozenset[Says] = frozenset((
    *_OF_THE_SHAPE, "count", "kept", "neutral", "transfer", "supply", "on supply", "adds", "path",
))


# A charge carried along in thought, for the work that it takes.
_IN_THOUGHT = re.compile(r"(?i)\b(?:energy|work|whichever|would|imagine|if|suppose)\b")


class GroundPlace(NamedTuple):
    """Where a reason is given: the network and the step in question, where there are such, the
    texts that say what makes the answer so, what was ``chosen`` where words are asked, the
    networks ``on_the_way`` to this one, in which others stand, and whether the one capacitance of
    several is asked.
    """

    network: Network | None
    step: Step | None
    told: tuple[str, ...] = ()
    chosen: str = ""
    on_the_way: tuple[Network, ...] = ()
    is_of_capacitance: bool = False


# Where it stands in a line

_LED = re.compile(r"(?i)(?:^|[\s,;])(?:so|hence|therefore|thus)\s+(?!far\b|that\b|much\b|many\b)")
_LEAST = 3  # words that can state something


class SaidGround(NamedTuple):
    """What a line gives as its reason; ``leads`` where it stands before 'so', and may as well be
    working or an answer of its own. What is said ``beside`` an answer, and not called its reason,
    is spoken of only where it is not so.
    """

    text: str
    leads: bool = False
    beside: bool = False


def ground_in(line: str) -> SaidGround | None:
    """The reason that a line gives: behind 'because', or before 'so'; None where it gives none."""
    line = with_pd_whole(line)
    found = BECAUSE_OR_AS.search(line)
    if found is not None:
        behind = line[found.end() :]
        opens = not re.search(r"\w", line[: found.start()])
        return SaidGround(re.split(r",(?!\d)|\bso\b", behind)[0] if opens else behind)
    led = _LED.search(line)
    before = line[: led.start()] if led is not None else ""
    return SaidGround(before, leads=True) if _states(before) else None


def beside_in(line: str) -> SaidGround | None:
    """All that a line says, where it has more clauses than that of an answer."""
    is_more = len(parts_of(line)) > 1 and _states(line) and "?" not in line
    return SaidGround(with_pd_whole(line), beside=True) if is_more else None


def parts_of(line: str) -> list[str]:
    """The clauses of a line that say anything."""
    return [each for each in _CLAUSE_ENDS.split(with_pd_whole(line)) if re.search(r"\w", each)]


def _states(text: str) -> bool:
    words = [w for w in re.findall(r"[^\W\d_]\w*'?\w*", text) if w.lower() not in INTERJECTIONS]
    return len(words) >= _LEAST


Judge: TypeAlias = Callable[[str], Collection[bool]]


class JudgesOfValues(NamedTuple):
    """Who judges what a text says of values: all its ``claims``, only what it ``compares``, and
    whether every number of it is one that is known here, or part of a sum.
    """

    claims: Judge
    compares: Judge
    knows_numbers: Callable[[str], bool]


def weigh_ground(ground: SaidGround, place: GroundPlace, values: JudgesOfValues) -> GroundWeight:
    """Whether a reason is so here. What is said beside an answer is looked at clause by clause: not
    so, so, or open where something is said of the matter that was not found so.
    """
    ground = ground._replace(text=_CLEFT.sub(r"\1 ", ground.text))
    if ground.beside:
        text = _OF_ONESELF.sub(" ", with_pd_whole(ground.text))
        return _weigh_beside(text, place, values)
    claims = values.claims(ground.text)
    if not all(claims) or _is_false(_WORKED.sub(" ", without_laws(ground.text)), place):
        return "not so"
    if not claims:
        return "so" if _is_so(ground.text, place) else "open"
    parts = parts_of(ground.text)
    is_more = len(parts) > 1 and any(
        _is_left_open(each, place, values) for each in parts if _states(each)
    )
    return "open" if is_more and not _is_so(ground.text, place) else "so"


# I was between b and d for a while: of who answers, and not of the answer.
_OF_ONESELF = re.compile(
    r"(?i)(?:\b(?:although|though|but|and|while)\s+)?\bi\s+(?:was|nearly|almost|had|mixed|first|forgot"
    r"|wondered|hesitated|thought)\b[^,;.!]*"
)
# 100/25 = 4: what comes out of a sum is no number of plates or of points.
_WORKED = re.compile(r"(?<![\w.])[\d(][\d\s.()*/×·+−^-]*=\s*\d[\d.]*")
# It's the p.d.s that add: the p.d.s add.
_CLEFT = re.compile(
    r"(?i)\bit(?:['’]?s|\s+is)\s+((?:the\s+)?(?:p\.?\s?d\.?s?|(?:1\s*/\s*|one\s+over\s+)?[a-z]+))"
    r"\s+(?:that|which)\b"
)


def _weigh_beside(text: str, place: GroundPlace, values: JudgesOfValues) -> GroundWeight:
    clauses = [each for each in parts_of(without_laws(text)) if _states(each)]
    is_false = any(_is_false(each, place) for each in clauses) and _is_false(text, place)
    stated = [each for each in parts_of(text) if _states(each) or "=" in each]
    if is_false or any(not all(values.compares(each)) for each in stated):
        return "not so"
    return "open" if any(_is_left_open(each, place, values) for each in clauses) else "so"


def _is_left_open(clause: str, place: GroundPlace, values: JudgesOfValues) -> bool:
    """Whether a clause states something of the matter that was not found so."""
    claims = values.claims(clause)
    if claims:
        return not all(claims)
    if values.knows_numbers(clause) and not _TELLS_OF_THEM.search(clause):
        return False
    if re.search(r"\d", clause):
        return True
    return (_speaks_of_it(clause) or _TELLS_OF_THEM.search(clause) is not None) and not _is_so(
        clause, place
    )


# Each gets half, the other 60 went off: something is stated of them, whatever the numbers are.
_TELLS_OF_THEM = re.compile(
    r"(?i)\b(?:went|goes|gone|lost|heat|always|never|all|each|both|everywhere|half|every)\b"
    r"(?=.*\b\w{2,}|\W*$)"
)


_MATTERS = frozenset((
    "charge", "pd", "potential", "supply", "plate", "gap", "series", "parallel", "current",
    "neutral", "add", "same", "split", "used", "equal", "cut", "leak",
))
_OF_IT = re.compile(
    r"(?i)\b(?:energy|capacit\w+|field|areas?|heat|volts?|uf|\w{3,}(?:er|est)\b"
    r"|c_?\d|always|never)\b"
)


def _speaks_of_it(clause: str) -> bool:
    """Whether a clause states something of capacitors, and is no chatter."""
    words = re.findall(r"[a-z]+", clause.lower())
    if "i" in words:
        return False  # of themselves: I mixed it up
    return _OF_IT.search(clause) is not None or any(meanings_of(w) & _MATTERS for w in words)


_CLAUSE_ENDS = re.compile(
    rf"(?i)[,;:!()]|\.(?!\d)|\s[-–—]\s|\b(?:and|so|but|which|though|then)\b|{BECAUSE_OR_AS.pattern[4:]}"
)


# Not so


def _is_false(ground: str, place: GroundPlace) -> bool:
    """Whether a reason is not so: the other quantity shared, a shape that is not there, or charge
    that goes through a gap.
    """
    network, step = place.network, place.step
    if any(is_no_ground(ground) for is_no_ground in _NO_GROUNDS):
        return True
    these = [c.name for c in step.parts] if step is not None else []
    networks = (*place.on_the_way, *([network] if network is not None else []))
    if is_joined_falsely(ground, networks, these):
        return True
    if network is None or step is None:
        return False
    if step.kind == "removal":
        told = {each.says for each in propositions_in(ground, network) if each.holds}
        idle = _idle_by(step)
        by_size = _BY_SIZE.search(ground) is not None and not told & idle  # of any size it counts
        return by_size or ("short" in told and "short" not in idle)
    if step.kind not in ("series", "parallel"):
        return False
    parts = {c.name for c in step.parts}
    reasons = [each for each in clauses_of(ground, network) if {*each.capacitors} <= parts]
    if place.is_of_capacitance and any(map(_takes_some_off, reasons)):
        return True
    if any(is_against(clause, step) for clause in reasons for is_against in _AGAINST):
        return True
    if is_of_others(ground, network, parts):
        return False
    at = InQuestion(network, step)
    for each in propositions_in(ground, network):
        is_of_charge = _OF_CHARGE.search(ground) and not _IN_THOUGHT.search(ground)
        if each.says in _NEVER_SO and each.holds and is_of_charge:
            return True
        if each.says == "split" and each.holds and step.kind == "series":
            return True
        if each.says in _OF_THE_SHAPE and each.holds and not is_true(each, at):
            return True
    return False


# What is a reason for nothing, whatever the network is.
_NO_GROUNDS: tuple[Callable[[str], bool], ...] = (
    loses_charge, breaks_a_law, takes_an_average, lambda ground: not all(units_judged(ground)),
)
_BY_SIZE = re.compile(r"(?i)\b(?:small\w*|tiny|negligible|little|least|weak\w*|big\w*|large\w*)\b")


def is_of_others(ground: str, network: Network, parts: Collection[str]) -> bool:
    """Whether a reason names capacitors, and none of those that are in question."""
    named = {name for clause in clauses_of(ground, network) for name in clause.capacitors}
    return bool(named) and not named & {*parts}


def _takes_some_off(clause: Clause) -> bool:
    """Whether a clause takes one capacitance from another, which finds none of several."""
    takes = clause.says("subtract", "subtracts", "subtracted", "minus") or (
        clause.says("take", "takes", "taken", "taking") and clause.says("off", "away")
    )
    return takes and not clause.is_negative and not clause.has("charge", "pd", "supply")


_NO_QUANTITY = frozenset((
    "energy", "energies", "work", "as", "way", "size", "value", "two", "pair", "side", "loop",
))


def _shares_the_other(clause: Clause, step: Step) -> bool:
    """Whether a clause says that these share what they do not share: the charge side by side."""
    texts = [word.text for word in clause.words]
    is_of_more = any(
        one.is_a("same") and (two.text in _NO_QUANTITY or two.is_a("point"))
        for one, two in pairwise(clause.words)
    )
    if is_of_more or _A_PART_OF & {*texts}:
        return False  # the same as a third of the volts, the same energy for each charge
    said_same = clause.has("same", "equal") or clause.says("share", "shares", "shared")
    if not said_same or clause.is_negative or clause.has("charge") is clause.has("pd"):
        return False
    if clause.capacitors and not {*clause.capacitors} & {c.name for c in step.parts}:
        return False  # of others
    return clause.has("charge") is (step.kind == "parallel")


_A_PART_OF = frozenset(("half", "third", "thirds", "quarter", "quarters", "own", "part", "parts"))


def _adds_the_shared(clause: Clause, step: Step) -> bool:
    """Whether a clause lets add up what these share: the p.d.s side by side."""
    if not clause.says("add", "adds", "added", "adding", "sum") or clause.is_negative:
        return False
    if clause.has("charge") is clause.has("pd"):
        return False
    return clause.has("pd") is (step.kind == "parallel")


def _adds_them_in_a_chain(clause: Clause, step: Step) -> bool:
    """Whether a clause adds the capacitances of a chain, and not one over each."""
    if step.kind != "series" or clause.is_negative or _TURNED.search(clause.text):
        return False
    if clause.says("only", "would", "if", "when", "were"):
        return False
    if clause.says("capacitance", "capacitances", "capacities"):
        return clause.says("add", "adds", "added", "adding", "sum")
    of_others = clause.has("charge", "pd", "neutral") or clause.says("energies", "energy")
    return clause.says("add", "adds") and not of_others  # who added them may know better now


def _goes_by_size(clause: Clause, step: Step) -> bool:
    """Whether a clause lets the p.d.s of a chain go with the capacitances, or its charges."""
    goes = clause.says("proportional", "proportion") or (clause.says("go", "goes") and clause.says(
        "with", "by"
    )) or clause.says("follow", "follows")
    by_size = clause.says("size", "sizes", "capacitance", "capacitances", "c", "value", "values")
    turned = _TURNED.search(clause.text) or clause.says(
        "inversely", "opposite", "against", "inverse", "indirectly"
    )
    if not (goes and by_size) or turned or clause.is_negative:
        return False
    if clause.has("charge") is clause.has("pd"):
        return False
    return step.kind == "series" or clause.has("pd")


def _joins_otherwise(clause: Clause, step: Step) -> bool:
    """Whether a clause has these in series where they are side by side, or the other way round."""
    other = "series" if step.kind == "parallel" else "parallel"
    is_of_these = not clause.has(step.kind) and not clause.says("would", "were", "if", "for")
    return clause.has(other) and is_of_these and not clause.is_negative


def _splits_evenly(clause: Clause, step: Step) -> bool:
    """Whether a clause divides something alike among capacitors that differ."""
    if not clause.has("split") or not clause.says("evenly", "equally", "half", "halves"):
        return False
    if clause.says("of", "than") and clause.says("other", "rest", "what", "others"):
        return False  # half of what the other one takes
    return len({c.value for c in step.parts}) > 1


_AGAINST: tuple[Callable[[Clause, Step], bool], ...] = (
    _shares_the_other, _adds_the_shared, _adds_them_in_a_chain, _goes_by_size, _joins_otherwise,
    _splits_evenly,
)


# So


def _is_so(ground: str, place: GroundPlace) -> bool:
    """Whether a reason says how they are joined, by what rule values go together, or what the
    tutor would say.
    """
    network, step = place.network, place.step
    if (told := units_judged(ground)) and all(told):
        return True
    if _makes_stay(ground, network or _ONE_ALONE, place.chosen):
        return True
    if network is not None and step is not None:
        at = InQuestion(network, step)
        said = propositions_in(ground, network)
        if step.kind == "removal":
            if "cut off" in _idle_by(step) and _DEAD_END.search(ground):
                return True
            return any(each.holds and each.says in _idle_by(step) for each in said)
        is_general = _ALWAYS.search(ground) is not None  # of chains, and not of this one
        if any(
            each.says in _BEARS and is_true(each, at)
            and not (is_general and each.says in ("series", "parallel")) for each in said
        ):
            return True
        if step.kind == "parallel" and not is_general and any(
            each.says in ("near", "split") and each.holds for each in said
        ):
            return True  # side by side, as these are called too; and there the charge is split
        if any(each.says == "points" and is_enough(each, at) for each in said):
            return True
        if any(_is_the_rule(clause, step) for clause in clauses_of(ground, network)):
            return True
    if _A_LAW.search(ground):
        return True
    least = 1 if step is None and not place.chosen else 2
    return says_alike(ground, place.told, least)


_ALWAYS = re.compile(r"(?i)\b(?:always|never|every|any)\b")
# So of any network, and said here of its kind.
_A_LAW = re.compile(
    r"(?i)\b(?:series|chains?)\b[^,;]*\b(?:product\s+over\s+(?:the\s+)?sum|reciprocals|inverses)\b"
    r"|\bparallel\b[^,;]*\b(?:add|adds|sums?|just\s+sum)\b"
)


_DEAD_END = re.compile(
    r"(?i)(?<!not )(?<!no )(?<!not a )\bdead[\s-]ends?\b|\b(?:leads?|goes|going)\s+nowhere\b"
)


def _idle_by(step: Step) -> frozenset[Says]:
    """What may be said of one that holds nothing: both plates at one point, or a dead end."""
    if any(c.start == c.end for c in step.parts):
        return frozenset(("short", "both points", "one point", "wire", "level"))
    return frozenset(("only", "cut off", "kept", "path"))


_TURNED = re.compile(
    r"\b(?:reciprocals?|inverses?|1 c\w*|one over|over|ones|flips?|flipped|times|multipl\w+|product"
    r"|divided?|half|thirds?|quarters?|(?:fif|six|seven|eigh|nin|ten|twelf|\d+)ths?|1)\b"
)


def _parts_it(clause: Clause) -> bool:
    """Whether a clause says that the charge, or the p.d., is divided, and not in what parts."""
    parted = clause.has("split") or clause.says("some", "part", "parts", "share", "shares")
    return parted and clause.has("charge", "pd")


def _is_the_rule(clause: Clause, step: Step) -> bool:
    """Whether a clause says what is shared or what adds up in such a joining."""
    if clause.is_negative or step.kind not in ("series", "parallel"):
        return False
    if clause.has("same", "equal", "one") and clause.has("charge", "pd"):
        return clause.has("charge") is (step.kind == "series")
    adds = clause.says("add", "adds", "added", "adding", "sum", "together", "plus", "up")
    if not adds and not (_parts_it(clause)):
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
# Where a problem has no network of its own, words are of one capacitor on its supply.
_ONE_ALONE: Final = Network((), ("A", "B"))
# Of nobody else than the supply, where the question is what the p.d. is held by.
_JOINED_STILL = frozenset(("connected", "joined", "attached", "plugged"))
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
        says_it = words & _THERE if clause.has("supply") else (
            words & _JOINED_STILL and not clause.has("plate", "metal", "both", "cap")
        )
        if "p.d." in stays and says_it and not (
            clause.has("neg") or words & _GONE - {"off", "out"}
        ):
            return True
    told = {each.says for each in propositions_in(ground, network) if each.holds}
    if "only" in told and not any(
        clause.has("join", "metal", "plate", "point") for clause in clauses_of(ground, network)
    ):
        told -= {"only"}  # nothing else is said, but not of a place
    return "charge" in stays and bool(told & _HOLDING)
