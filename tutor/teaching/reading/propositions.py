"""What a reason says, as propositions about the network: who, how they are joined, yes or no.

Each reader of a clause knows one kind of statement by what its parts stand for, never by the one
way of wording it; the first that fits speaks for the clause.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.network import Network
from tutor.teaching.reading.lexicon import OPPOSITE_SIDES
from tutor.teaching.reading.sentence_parts import Clause, clauses_in
from tutor.teaching.reading.spoken_words import words_in

Says: TypeAlias = Literal[
    "both points", "one point", "points", "only", "count", "cut off", "kept", "neutral",
    "transfer", "through", "used up", "split", "equal", "near", "series", "parallel", "supply",
    "across supply", "on supply", "sent", "ground", "one potential", "level", "same", "same pd",
    "same charge", "adds", "conserved", "path", "wire", "short",
]


class Proposition(NamedTuple):
    """One statement, which ``holds`` or is said not to; of the ``points`` and ``capacitors`` it
    names, or of those in question where it names none; ``number`` is a count of ends.
    """

    says: Says
    holds: bool = True
    points: tuple[str, ...] = ()
    capacitors: tuple[str, ...] = ()
    number: int | None = None


def clauses_of(line: str, network: Network) -> tuple[Clause, ...]:
    """A line as clauses, with the names of this network known."""
    return clauses_in(words_in(line, network))


def propositions_in(line: str, network: Network) -> tuple[Proposition, ...]:
    """What a line states, in its order; conclusions about what is shared are left out."""
    return tuple(_read(clauses_of(_ENDS_IN_A_VALUE.sub("", line), network)))


# A capacitance behind a reason is what comes out, and no count: only they meet at P, 3 uF.
_ENDS_IN_A_VALUE = re.compile(
    r"(?i)[,;]\s*(?:(?:so|it|that)\s+)*(?:(?:makes?|is|gives?)\s+|=\s*)?"
    r"\d[\d.,/]*\s*(?:[pnuµμm]?F)?\s*$"
)


def _read(clauses: tuple[Clause, ...]) -> Iterator[Proposition]:
    whole = Clause(tuple(word for clause in clauses for word in clause.words))
    told: list[Proposition] = []
    for reader in _OF_THE_WHOLE:
        if (found := reader(whole)) is not None:
            told.append(found._replace(points=found.points or whole.points))
            break
    by_whole = bool(told)
    located = bool(whole.points or whole.has("metal", "point", "between", "plate", "there"))
    for clause in clauses:
        for each in _READERS:
            found = each(clause, located)
            if found is None:
                continue
            if found.says == "both points" and found.capacitors and clause.says("too", "also"):
                found = found._replace(capacitors=())  # C3 as well: of it and of the others
            is_of_sides = found.says == "equal" and clause.has("end") and clause.has("plate")
            if not (by_whole and (
                found.says in _IN_A_WHOLE or found.says == told[0].says or is_of_sides
            )):
                told.append(found)
            break
    yield from dict.fromkeys(told)


def _made(clause: Clause, says: Says, negative: bool | None = None) -> Proposition:
    negative = clause.is_negative if negative is None else negative
    return Proposition(says, not negative, clause.points, clause.capacitors, _number_in(clause))


def _number_in(clause: Clause) -> int | None:
    counts = (w.text for w in clause.words if w.capacitor is None and w.text in _COUNTS)
    return next((_COUNTS[text] for text in counts), None)


_COUNTS: Mapping[str, int] = MappingProxyType(
    {"2": 2, "two": 2, "3": 3, "three": 3, "4": 4, "four": 4, "5": 5, "five": 5}
)


# Statements that take more than one clause


def _by_sides(whole: Clause) -> Proposition | None:
    """One side of each here and the other side of each there: left ones on one wire, right ones
    on another; starts at the same point, ends at the same point.
    """
    texts = {word.text.rstrip("s") for word in whole.words} | {w.text for w in whole.words}
    pairs = [(a, b) for a, b in OPPOSITE_SIDES if a in texts and b in texts]
    is_supplied = any(a in ("plus", "positive") for a, _ in pairs) and whole.has("join") and (
        whole.says("from", "between")
    )
    if is_supplied and not whole.has("plate", "charge", "neg"):
        return _made(whole, "across supply", negative=False)
    if "from one to" in whole.text and len(whole.points) == 2 and not whole.has("neg", "charge"):
        return _made(whole, "both points")
    if len(whole.points) == 1 and set(pairs) <= _ALONG:
        return None  # at P one ends and the next one starts
    if whole.has("join", "same") and _is_left_with_left(whole.text):
        return _made(whole, "both points")
    if not pairs or whole.has("gap", "leave", "current", "opposite", "charge", "neutral"):
        return None
    if whole.says("what", "whatever", "anything", "everything"):
        return None  # what comes onto one plate: of charge, and not of where plates are joined
    sided = any(pair not in {("one", "other"), ("one", "another")} for pair in pairs)
    if not sided and not whole.has("end", "plate"):
        return None
    tied = whole.has("join", "same", "one", "potential", "metal", "across") or whole.points
    if not tied or not (whole.has("end", "plate") or whole.points):
        return None
    if whole.count("neg") % 2 == 1:
        return None
    return _made(whole, "both points")


_ALONG = frozenset(
    {("start", "end"), ("starts", "ends"), ("begin", "end"), ("beginning", "end")}
)


_NEAR_SIDES = frozenset({"left", "top", "upper", "front"})
_FAR_SIDES = frozenset({"right", "bottom", "lower", "back"})


def _is_left_with_left(text: str) -> bool:
    """Whether one side comes twice, and after it twice one that may lie over against it."""
    words = [word.rstrip("s") for word in re.findall("[a-z]+", text)]
    near = _after_the_second(words, _NEAR_SIDES)
    return near > 0 and _after_the_second(words[near:], _FAR_SIDES) > 0


def _after_the_second(words: Sequence[str], sides: frozenset[str]) -> int:
    """The place after the first of these sides that comes once more; 0 where none does."""
    met: set[str] = set()
    for place, word in enumerate(words, start=1):
        if word in met:
            return place
        met |= sides & {word}
    return 0


def _transfer(whole: Clause) -> Proposition | None:
    """What comes off one plate goes onto the next: nothing crosses a gap, nothing is lost."""
    if whole.has("gap", "current", "used") or whole.says("through", "across", "over"):
        return None
    plates = whole.has("plate", "there", "end") or whole.says("inner", "middle")
    electrons = whole.has("charge") or whole.says("what", "whatever", "anything", "everything")
    if whole.count("opposite") > 1 and (whole.has("plate", "there") or whole.has("neutral")):
        return _made(whole, "transfer", negative=False)
    if not (plates and electrons) and not (electrons and whole.has("there")):
        return None
    if whole.has("swap") and whole.has("plate", "eachother", "metal"):
        return _made(whole, "transfer", negative=False)
    signs = {word.text[:3] for word in whole.words if word.text in _SIGN_WORDS}
    if len(signs) > 1 and whole.has("equal", "neutral") and whole.has("metal", "plate"):
        return _made(whole, "transfer", negative=False)
    leaving = [w.text for w in whole.words if w.is_a("leave") and w.text not in _BOTH_WAYS]
    coming = [w.text for w in whole.words if w.is_a("arrive") and w.text not in leaving]
    far = whole.says("other", "next", "second", "there", "neighbour", "others") or (
        len(whole.capacitors) > 1
    )
    if not (leaving and coming and far) or (whole.count("neg") % 2 == 1 and not whole.has("only")):
        return None
    if whole.has("supply"):
        return None
    return _made(whole, "transfer", negative=False)


def _and_no_more(whole: Clause) -> Proposition | None:
    """At P C1 ends and C2 starts, and that is it."""
    closes = whole.text.endswith("nothingelse") and len(whole.capacitors) > 1 and whole.points
    return _made(whole, "only", negative=False) if closes and whole.count("neg") < 2 else None


_EACH = r"\b(?:both|all|each|every|they|two)\b"


def _between_them(whole: Clause) -> Proposition | None:
    """P is one piece and B another, and both sit between them."""
    if len(whole.points) != 2 or whole.has("neg", "charge", "gap"):
        return None
    last = max(n for n, word in enumerate(whole.words) if word.point is not None)
    rest = Clause(whole.words[last + 1 :])
    who, *between = re.split(r"\bbetween(?: (?:them|those|these)\b|$)", rest.text, maxsplit=1)
    sits = bool(between) and rest.has("both")
    return _made(whole, "both points") if sits and re.search(_EACH, who) else None


def _by_meter(whole: Clause) -> Proposition | None:
    """Who puts a meter on one has put it on the other: it touches the same two points."""
    if not whole.has("meter") or whole.has("neg", "same", "equal", "potential"):
        return None
    touched = sum(w.text in ("on", "across", "over", "onto", "at") for w in whole.words)
    of_each = whole.says("one") and whole.says("other", "another", "both")
    return _made(whole, "both points") if touched > 1 and of_each else None


_SIGN_WORDS = ("pos", "neg", "positive", "negative", "plus", "minus")
_BOTH_WAYS = ("go", "goes", "out")
_OF_THE_WHOLE: tuple[Callable[[Clause], Proposition | None], ...] = (
    _and_no_more, _between_them, _by_meter, _by_sides, _transfer,
)
_IN_A_WHOLE = ("one point", "both points", "points", "through", "kept", "split", "wire", "same",
               "same pd", "same charge",
               "neutral", "one potential", "count", "near")


# Statements of one clause


def _ground(clause: Clause, located: bool) -> Proposition | None:
    """Joined to earth, or at no potential at all."""
    del located
    words = clause.words
    at_nought = any(
        word.text in ("0", "zero", "nought") and then.is_a("pd", "potential")
        for word, then in pairwise(words)
    ) or (clause.has("potential") and clause.says("0", "zero", "nought"))
    return _made(clause, "ground") if clause.has("ground") or at_nought else None


def _used(clause: Clause, located: bool) -> Proposition | None:
    """The first takes its share and hands on the rest."""
    del located
    takes = clause.has("keep") and clause.has("portion") and not clause.has("supply", "point")
    hands_on = clause.has("move", "arrive") and not clause.has("neg") and (
        clause.says("rest", "remaining", "remainder", "leftover", "passon")
        or "is left" in clause.text or "left over" in clause.text
    )
    uses = clause.says("use", "uses", "used") and clause.has("quantity")
    if clause.has("used") or takes or hands_on or uses:
        return _made(clause, "used up")
    return None


def _only(clause: Clause, located: bool) -> Proposition | None:
    """Nothing else is joined there, whichever way it is put."""
    if _is_of_no_place(clause) or _counts_points(clause):
        return None
    if _except_for_these(clause) and located:
        return _made(clause, "only", negative=False)
    others = clause.has("neg") and (
        clause.has("else") or (clause.has("branch") and not clause.has("charge", "current"))
    )
    no_branch = clause.has("neg") and clause.has("branch")
    nowhere = clause.has("way") and clause.has("neg") and not clause.has("charge") and (
        clause.has("inout", "else", "only", "join") or clause.says("nowhere", "exit", "exits")
    )
    shut = nowhere and clause.says("out", "in", "escape", "exit", "off")
    if shut or clause.says("nowhereelse"):
        return _made(clause, "cut off", negative=False)
    if no_branch:
        return _made(clause, "only", negative=False)
    if others and clause.has("charge", "electron") and clause.has("move", "way"):
        return None
    if others and clause.has("join", "be", "there", "metal", "point") and not clause.says("only"):
        extra = sum(w.text in ("nothingelse", "nowhereelse") for w in clause.words)
        odd = (clause.count("neg") - extra) % 2 == 0 and extra == 0
        return _made(clause, "only", negative=odd)
    if _others_there(clause, located):
        return _made(clause, "only", negative=True)
    forks = clause.says("branch", "branches", "fork", "forks", "branching") and (
        not _stand_on_a_branch(clause)
    )
    if forks and located and not clause.has("neg", "charge"):
        return _made(clause, "only", negative=True)
    if clause.has("same") and clause.says("exact", "exactly") and not clause.says("only", "just"):
        return None
    if not clause.has("only") or _is_of_pd_between(clause) or (
        clause.has("quantity", "potential") and not clause.has("cap")
    ):
        return None
    if _one_alone(clause):
        return None if clause.points[1:] else _made(clause, "one point")._replace(number=1)
    placed = clause.points or clause.has("metal", "there", "between", "join") or located
    stated = clause.has("join", "be", "cap", "two", "both") or clause.says("nothingelse")
    if placed and (stated or clause.capacitors):
        plain = sum(w.is_a("neg") and not w.is_a("only") for w in clause.words) + clause.denied
        return _made(clause, "only", negative=plain % 2 == 1)
    return None


_THEIR_OWN = ("that", "this", "same", "one", "their", "own", "upper", "lower")


def _stand_on_a_branch(clause: Clause) -> bool:
    """Whether a branch is where they are, and no fork: both on that branch."""
    texts = [word.text for word in clause.words]
    return texts == ["branch"] or any(
        then == "branch" and one in _THEIR_OWN
        for one, then in pairwise(texts)
    )


def _one_alone(clause: Clause) -> bool:
    """Whether one point is counted: only one end, one common node."""
    if clause.capacitors:
        return False
    texts = [word for word in clause.words if not word.is_a("same")]
    return any(one.is_a("one") and then.is_a("end", "point") for one, then in pairwise(texts))


def _counts_points(clause: Clause) -> bool:
    """Whether 'only' or 'exactly' stands before points, or is said of those that are named, and
    not of what meets there: exactly these two nodes.
    """
    at = clause.at("only")
    if at < 0 or not clause.says("these", "those", "two", "2"):
        return False
    behind = [word for word in clause.words[at + 1 :] if word.text not in _AROUND_POINTS]
    return all(word.is_a("point") for word in behind) and (
        bool(behind) or any(word.is_a("point") and not word.point for word in clause.words[:at])
    )


_AROUND_POINTS = frozenset(("the", "same", "of", "and", "these", "those", "two", "2"))


def _is_of_no_place(clause: Clause) -> bool:
    """Whether nothing else is said to be in the circuit, or only wire between two places."""
    if (clause.says("circuit", "network", "loop", "world") or clause.has("supply")) and (
        not clause.points
    ):
        return True
    pairs = pairwise(clause.words)
    return any(one.text in ("only", "just") and then.text in _OF_METAL for one, then in pairs)


def _except_for_these(clause: Clause) -> bool:
    """No wire leaves there except to those two."""
    names_some = clause.says("except", "besides", "apart") and clause.has("neg")
    return names_some and clause.has("join", "leave", "be", "branch") and (
        not clause.has("charge", "current")
    )


_OF_METAL = ("wire", "wires", "metal", "cable", "cables", "conductor")


def _others_there(clause: Clause, located: bool) -> bool:
    """Whether something more is said to be joined at a place."""
    if clause.has("neg", "cut") or not located or not clause.has("join", "be"):
        return False
    if clause.says("something") and clause.says("do"):
        return False  # something to do with P
    more = clause.says("other", "others", "something", "else", "more", "extra")
    of_a_pair = clause.says("each", "side", "one", "plate", "plates", "end")
    return more and not of_a_pair and clause.has("point", "there", "metal")


def _count(clause: Clause, located: bool) -> Proposition | None:
    """So many ends meet there."""
    del located
    number = _number_in(clause)
    if number is None or (clause.has("plural") and not clause.points and number == 2):
        return None
    if len(clause.points) > 1 or not clause.has("join", "be"):
        return None
    here = clause.points or clause.has("there", "metal")
    return _made(clause, "count") if here and clause.has("join", "cap", "end") else None


def _cut_off(clause: Clause, located: bool) -> Proposition | None:
    """A piece of metal that nothing leads to."""
    if not clause.has("cut") or (clause.has("gap") and not clause.has("metal")):
        return None
    caps = bool(clause.capacitors) or clause.has("cap")
    if clause.points or clause.has("metal", "point", "between", "plate", "there"):
        caps = False
    elif clause.has("both") and not located:
        caps = True
    made = _made(clause, "cut off")
    return made if caps else made._replace(capacitors=())


def _kept(clause: Clause, located: bool) -> Proposition | None:
    """No charge can come or go there."""
    mover = clause.has("charge") or clause.says(
        "it", "anything", "nobody", "nothing", "they", "any", "some"
    )
    if not mover or clause.has("gap", "current") or clause.says("through", "across", "jump"):
        return None
    if not clause.has("move", "way", "inout") or clause.has("adds"):
        return None
    if clause.has("neutral") and not clause.has("neg"):
        return None  # the charge on it is nought
    going = clause.has("way") or clause.says(
        "leave", "leaves", "escape", "enter", "enters", "in", "out", "on", "off", "onto", "into",
        "away", "else", "add", "there", "anywhere", "come", "comes", "gain", "gains", "get",
        "reach", "reaches", "remove", "nowhere", "gained", "added", "lost", "arrive", "lose",
    )
    place = clause.points or located or clause.has("there") or clause.says(
        "nowhere", "else", "escape", "anywhere", "leave"
    )
    if not (going and place):
        return None
    if not clause.has("neg") and not clause.says("nothingelse", "nowhereelse"):
        at_metal = clause.points or clause.has("metal", "between")
        return _made(clause, "kept", negative=True) if at_metal and clause.has("charge") else None
    return _made(clause, "kept", negative=False)


def _neutral(clause: Clause, located: bool) -> Proposition | None:
    """The charges of a piece of metal come to nought together."""
    if not clause.has("neutral") or (clause.says("cancel") and not located):
        return None
    if not (clause.points or located or clause.has("charge") or clause.has("both")):
        return None
    plain = sum(w.is_a("neg") and w.text not in ("no", "nothing") for w in clause.words)
    return _made(clause, "neutral", negative=plain % 2 == 1)


def _through(clause: Clause, located: bool) -> Proposition | None:
    """A charge or current through the capacitors, said or denied."""
    del located
    if clause.has("current"):
        return _made(clause, "through")
    of_points = clause.has("point", "plural") and clause.has("join", "same")
    if of_points and not clause.has("charge", "hop", "gap"):
        return None  # connected across the same pair of points
    if not clause.has("charge") and not clause.says("it", "they", "what", "everything"):
        return None
    if clause.says("spread", "spreads", "distributed"):
        return None  # the charge is spread over both
    crosses = clause.says("through", "across", "over") or clause.has("hop")
    along = clause.has("move") and len(clause.capacitors) > 1 and not clause.has("plate")
    flows = clause.says("flow", "flows", "flowing", "flowed") and (
        clause.has("both", "cap") or bool(clause.capacitors) or clause.says("circuit")
    )
    if (crosses and (clause.has("move", "hop", "be") or clause.has("gap"))) or along or flows:
        inside = clause.has("gap", "cap", "both") or _OVER_A_GAP.search(clause.text)
        if clause.has("metal") and not inside:
            return None
        return _made(clause, "through")
    if clause.has("gap") and clause.has("move"):
        return _made(clause, "through")
    return None


_OVER_A_GAP = re.compile(r"\bplate to (?:the (?:next|other) )?plate\b|\bone plate to the other\b")


def _split(clause: Clause, located: bool) -> Proposition | None:
    del located
    if not clause.has("split") or not clause.has("charge") or clause.says("share", "shares"):
        return None
    in_common = clause.says("shared") and not clause.says(*_IN_PARTS)
    return None if in_common else _made(clause, "split")


_IN_PARTS = ("among", "amongst", "between", "up", "equally", "evenly", "half", "halves", "split")


def _equal(clause: Clause, located: bool) -> Proposition | None:
    del located
    if not clause.has("equal") or clause.has("opposite", "potential"):
        return None
    if clause.has("quantity", "charge", "pd") and not clause.says("capacitance", "capacitances"):
        return None
    return _made(clause, "equal")


def _near(clause: Clause, located: bool) -> Proposition | None:
    del located
    if not clause.has("near"):
        return None
    between = len(clause.points) == 2 and clause.says("between", "from", "across")
    return _made(clause, "both points" if between else "near")


_BOTH_ENDS = (
    r"\b(?:both|two|all|each|either) (?:of )?(?:its |their |the )?(?:own )?"
    r"(?:ends?|sides?|legs?|terminals?|leads?|plates?|pins?|poles?)\b"
)


def _supply(clause: Clause, located: bool) -> Proposition | None:
    """What is joined to the supply, and how."""
    if not clause.has("supply") or (clause.says("through") and clause.has("charge")):
        return None
    if clause.has("send") and clause.has("charge"):
        if clause.is_negative and clause.points:
            return _made(clause, "kept", negative=False)  # no charge can be supplied to P
        return _made(clause, "sent")
    by_both_ends = re.search(_BOTH_ENDS, clause.text) is not None
    is_across = clause.has("across") and len(clause.points) == 2
    on_metal = clause.has("metal") and not clause.has("across") and not by_both_ends
    if (clause.points and not is_across) or on_metal:
        return _made(clause, "supply")
    if clause.has("across") or by_both_ends:
        return _made(clause, "across supply")
    if clause.has("both", "cap") or clause.capacitors:
        return _made(clause, "on supply")
    return _made(clause, "supply") if located and clause.has("join") else None


def _potential(clause: Clause, located: bool) -> Proposition | None:
    """Which points are at one potential."""
    del located
    if not clause.has("potential"):
        return None
    if clause.says("another", "other", "different", "differ"):
        return None  # P at one, B at another
    if len(clause.points) > 1 and clause.has("same", "equal", "one") and not (
        clause.says("each", "every", "any", "per", "apiece")
    ):
        return _made(clause, "level")
    if clause.has("point", "metal", "end") or clause.points:
        return _made(clause, "one potential")
    return None


def _both_points(clause: Clause, located: bool) -> Proposition | None:
    """They join the same two points, or the two that are named."""
    del located
    joined = clause.has("plural") and clause.has("join")
    if _one_piece(clause):
        return _made(clause, "short")
    if clause.has("quantity") and not clause.has("meter") and not joined:
        return None
    if _from_place_to_place(clause):
        return _made(clause, "both points")
    if clause.points and all(w.point or w.text in ("from", "to") for w in clause.words):
        return None  # points and no more
    if clause.has("plural") and clause.has("eachother") and clause.says("ends") and not (
        clause.has("both")
    ):
        return _made(clause, "one point")
    if clause.says("each") and clause.says("of") and clause.has("plural") and (
        clause.says("together", "joined") and not clause.points and not clause.has("same")
    ):
        return _made(clause, "short")
    shared = clause.has("same") or (
        clause.has("both", "two") and clause.has("join")
    )
    if clause.has("plural") and shared and not clause.points[2:]:
        return _made(clause, "both points")
    if len(clause.points) == 2 and "between them" not in clause.text and (
        clause.has("join", "be", "both", "same") or clause.says("from", "between", "to")
    ):
        return _made(clause, "both points")
    return None


def _from_place_to_place(clause: Clause) -> bool:
    """Both go from the left end to the middle dot: places told without their letters."""
    texts = [word.text for word in clause.words]
    if clause.points or not clause.has("both") or not {"from", "to"} <= {*texts}:
        return False
    start, end = texts.index("from"), len(texts) - 1 - texts[::-1].index("to")
    legs = (clause.words[start:end], clause.words[end:])
    return start < end and all(any(w.is_a("point", "end", "metal") for w in leg) for leg in legs)


def _one_piece(clause: Clause) -> bool:
    """Whether two points are said to be joined by a wire, and so to be one."""
    return (
        len(clause.points) == 2 and clause.has("metal") and clause.has("join")
        and not _EACH_A_PIECE.search(clause.text)
        and not clause.has("cap", "plate", "neg", "end", "plural")
        and not any(word.is_a("both") and word.text != "together" for word in clause.words)
    )


# A is a wire and so is P.
_EACH_A_PIECE = re.compile(r"\bis (?:a|one) (?:piece of )?\w+ and\b")


def _one_point(clause: Clause, located: bool) -> Proposition | None:
    """They touch at one point; of the other ends nothing is said."""
    del located
    if clause.has("quantity"):
        return None
    joined = clause.has("join", "same", "between") or (clause.has("be") and clause.says("at", "on"))
    who = clause.has("both", "two", "cap", "eachother") or len(clause.capacitors) > 1
    if clause.points and joined and (who or not clause.capacitors):
        return _made(clause, "one point")
    if len(clause.points) == 0 and clause.has("point", "end") and clause.has("same", "one") and (
        clause.has("join", "be", "same")
    ):
        return _made(clause, "one point")
    if who and clause.has("join") and (clause.has("eachother", "metal") or clause.says("together")):
        return _made(clause, "wire")
    return None


def _named_alone(clause: Clause, located: bool) -> Proposition | None:
    """Points, and nothing said of them: the answer to 'which points make it so?'"""
    del located
    rest = [
        w for w in clause.words
        if w.point is None and w.capacitor is None and w.text not in _WITH_POINTS
    ]
    if not clause.points or any(not w.is_a("charge", "pd") for w in rest):
        return None
    if len(clause.points) == 1 and clause.has("same", "one") and (
        clause.has("pd") and not clause.has("charge")
    ):
        return None  # the same p.d. at P: a p.d. is no matter of one point
    return _made(clause, "points")


_WITH_POINTS = frozenset((
    "at", "and", "the", "point", "points", "node", "nodes", "of", "because", "it", "they", "share",
    "same", "i", "think", "its", "is", "both", "maybe", "end", "ends", "just", "only", "by",
    "to", "from", "in", "or", "between", "across", "that", "via", "with", "since", "there", "has",
    "have", "for", "lot", "on", "too", "also", "them", "all", "each", "every", "one", "two",
    "three", "2", "3", "these", "those",
))


def _kinds(clause: Clause, located: bool) -> Proposition | None:
    same = _same(clause, located)
    if same is not None and same.says == ("same pd" if clause.has("series") else "same charge"):
        return same  # series, same V: what is so of none
    if clause.has("series"):
        return _made(clause, "series")
    return _made(clause, "parallel") if clause.has("parallel") else None


def _path(clause: Clause, located: bool) -> Proposition | None:
    del located
    is_path = clause.has("way") and (clause.has("one", "only", "same")) and not clause.has("neg")
    if clause.says("leave", "out", "escape", "exit", "off", "away") and clause.has("charge"):
        return None
    if clause.says("whichever", "whatever", "either", "any", "each", "both", "every"):
        return None  # the same whichever way one goes
    return _made(clause, "path") if is_path else None


def _adds(clause: Clause, located: bool) -> Proposition | None:
    del located
    adding = clause.says("add", "adds", "sum", "added")
    return _made(clause, "adds") if adding and clause.has("charge", "pd") else None


def _conserved(clause: Clause, located: bool) -> Proposition | None:
    del located
    return _made(clause, "conserved") if clause.has("conserve") else None


def _same(clause: Clause, located: bool) -> Proposition | None:
    """What is shared, which is the conclusion and no reason."""
    del located
    if not clause.has("charge", "pd") or not clause.has("same", "equal", "one"):
        return None
    if _is_of_pd_between(clause):
        return _made(clause, "both points")
    is_of_one = clause.has("charge") is not clause.has("pd") and clause.has("same", "equal")
    if not is_of_one and clause.is_negative:
        return None  # same Q, not same V
    if not is_of_one or clause.says(*_OF_A_PART):
        return _made(clause, "same")
    return _made(clause, "same charge" if clause.has("charge") else "same pd")


# Of a part of it, or of what others have: the same as the supply, each its own.
_OF_A_PART = ("as", "than", "half", "third", "quarter", "own", "part", "parts", "total", "would")


def _is_of_pd_between(clause: Clause) -> bool:
    """Whether a clause speaks of the p.d. from one point to another."""
    is_from_to = clause.says("from", "between") and len(clause.points) == 2
    return is_from_to and clause.has("pd") and not clause.has("charge")


_READERS: tuple[Callable[[Clause, bool], Proposition | None], ...] = (
    _ground, _used, _only, _path, _cut_off, _supply, _kept, _neutral, _conserved, _through, _split,
    _equal, _near, _count, _potential, _both_points, _adds, _kinds, _one_point, _named_alone, _same,
)
