"""What a line says is shared, the p.d. or the charge: its conclusion, apart from its reasons."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise, takewhile
from types import MappingProxyType
from typing import Literal, TypeAlias

from tutor.circuit.network import Network
from tutor.teaching.reading.propositions import clauses_of
from tutor.teaching.reading.sentence_parts import Clause
from tutor.teaching.reading.spoken_words import Spoken

Conclusion: TypeAlias = Literal["voltage", "charge", "both"]
# Verbs after which a charge or a p.d. is spoken of as moving or adding, and not as shared.
_OF_SOMETHING_ELSE = ("move", "split", "used", "conserve", "add", "neutral", "way", "cut")


def conclusion_in(line: str, network: Network) -> Conclusion | None:
    """The quantity that a line says is shared, ``both`` where it names two and decides for none."""
    clauses = clauses_of(line, network)
    if (spared := _spared(clauses)) is not None:
        return spared
    concluding = [c for c in clauses if c.role != "reason" and _concludes(c)]
    if not concluding and clauses and clauses[0].role == "reason":
        concluding = [c for c in clauses[1:] if _is_bare(c)]  # since …, the charge
    plain = concluding or [c for c in clauses if c.role != "reason" and not _compares(c)]
    denied = {quantity for clause in clauses for quantity in _denied(clause)}
    denied |= _not_the_same(clauses) | _said_to_differ(clauses)
    found = {quantity for clause in plain for quantity in _affirmed(clause.words)} - denied
    if not found and len(denied) == 1:
        return "voltage" if "charge" in denied else "charge"  # it is one of the two
    if len(found) > 1:
        return "both"
    return next(iter(found), None)


_PARTS = frozenset((
    "half", "halves", "third", "thirds", "quarter", "part", "parts", "piece", "pieces", "portion",
    "fraction", "slice", "slices", "some", "split", "splits", "divided", "divides", "halved",
))


_PARTED_OUT = re.compile(r"(?i)\b(?:shared|dealt|spread|parted|sharing)\s+out\b")
_AN_AMOUNT_OF = MappingProxyType({
    "charge": re.compile(r"(?i)\d\s*[munkµ]?(?:v|volts?)\b"),
    "pd": re.compile(r"(?i)\d\s*[munpµ]?(?:c|coulombs?)\b"),
})


_AROUND_PARTS = _PARTS | frozenset((
    "it", "is", "and", "which", "that", "then", "so", "up", "into", "in", "to", "on", "of", "for",
    "between", "among", "them", "both", "each", "the", "two", "goes", "gets", "has", "takes",
    "equally", "evenly", "one", "a", "with", "they",
))


def _is_around_parts(word: str) -> bool:
    """Whether a word speaks of nothing but who gets which part."""
    return word in _AROUND_PARTS or word[:1].isdigit()


def is_divided(line: str, network: Network, quantity: Conclusion) -> bool:
    """Whether each is said to have a part of the quantity, and not the whole of it: by its name,
    or where it was spoken of last, and neither anything else nor an amount of the other one is
    said.
    """
    concept = "charge" if quantity == "charge" else "pd"
    goes_on = _AN_AMOUNT_OF[concept].search(line) is None
    is_spoken_of = False
    for clause in clauses_of(_PARTED_OUT.sub("split", line), network):
        if clause.role == "reason":
            continue
        if clause.has("charge", "pd"):
            is_spoken_of = clause.has(concept) and goes_on
        is_of_it = clause.has(concept) or (
            not clause.has("charge", "pd") and (clause.says("each", "they") or (
                is_spoken_of and all(_is_around_parts(word.text) for word in clause.words)
            ))
        )
        if is_of_it and clause.says(*_PARTS) and not clause.has("neg") and not clause.says(
            "full", "whole", "same", "unchanged"
        ):
            return True
    return False


def _concludes(clause: Clause) -> bool:
    """Whether a clause says what is the same, or is the bare word for it."""
    if _compares(clause):
        return False
    if clause.has("same", "equal", "both") and clause.has("charge", "pd"):
        return True
    if clause.says("full", "whole", "entire", "undivided", "unchanged", "complete"):
        return clause.has("charge", "pd") and not clause.has("neg")
    return not clause.has(*_OF_SOMETHING_ELSE) and clause.has("charge", "pd")


def _compares(clause: Clause) -> bool:
    """Whether one is said to have more of something than another: that is not what they share."""
    return clause.says("than") and clause.says(
        "more", "less", "bigger", "larger", "greater", "higher", "smaller", "lower", "fewer"
    ) and not clause.has("neg")


def _denied(clause: Clause) -> list[Conclusion]:
    """The quantity that a clause denies and says nothing else about: so not charge."""
    if clause.role == "reason" or clause.at("neg") < 0 or clause.has("charge") is clause.has("pd"):
        return []
    if not _is_bare(clause._replace(words=tuple(w for w in clause.words if w.text != "not"))):
        return []
    return ["charge" if clause.has("charge") else "voltage"]


def _not_the_same(clauses: Sequence[Clause]) -> set[Conclusion]:
    """The quantity spoken of last before it is said that it is not the same."""
    spoken: Conclusion | None = None
    for clause in clauses:
        is_one = clause.has("charge") is not clause.has("pd")
        if is_one and clause.role != "reason":
            spoken = "charge" if clause.has("charge") else "voltage"
        elif spoken and clause.role != "reason" and clause.has("neg") and clause.has(
            "same", "equal"
        ) and not clause.has("charge", "pd"):
            return {spoken}
    return set()


_DIFFER = frozenset((
    "different", "differ", "differs", "unequal", "unlike", "own", "separate", "varies", "vary",
))
_PARTED = _PARTS | frozenset(("cut", "cuts", "shared"))


def _said_to_differ(clauses: Sequence[Clause]) -> set[Conclusion]:
    """The quantities that are said to differ from one to the other, and so are not shared."""
    return {
        "charge" if word.is_a("charge") else "voltage"
        for clause in clauses if clause.role != "reason" and not clause.has("neg")
        for n, word in enumerate(clause.words)
        if word.is_a("charge", "pd") and _is_said(_DIFFER, clause.words, n)
    }


def _spared(clauses: Sequence[Clause]) -> Conclusion | None:
    """The quantity of which it is denied that it is divided, while the other one is: V is split,
    Q is not.
    """
    for one, two in pairwise(clauses):
        are_two = all(each.has("charge") is not each.has("pd") for each in (one, two))
        if not are_two or one.has("charge") is two.has("charge") or (
            one.has("neg") is two.has("neg") or not one.says(*_PARTED, *_DIFFER)
        ):
            continue
        told = [w for w in two.words if not w.is_a("charge", "pd", "be", "neg")]
        if all(w.text in ("the", "but", "and", "does", "do") for w in told):
            spared = one if one.has("neg") else two
            return "charge" if spared.has("charge") else "voltage"
    return None


def _is_said(of_it: frozenset[str], words: Sequence[Spoken], at: int) -> bool:
    """Whether one of these words is said of a quantity: just before it, or after it and before
    the next quantity.
    """
    if at > 0 and words[at - 1].text in of_it:
        return True
    behind = takewhile(lambda word: not word.is_a("charge", "pd"), words[at + 1 :])
    told = [word.text for word in behind]
    if told and at + 1 + len(told) < len(words) and told[-1] in of_it:
        told.pop()  # of the next one: same charge, different p.d.
    return any(word in of_it for word in told)


def _is_bare(clause: Clause) -> bool:
    """Whether a clause is the word for a quantity with next to nothing around it."""
    others = [w for w in clause.words if not w.is_a("charge", "pd", "be", "same", "both")]
    return clause.has("charge", "pd") and all(w.text in ("the", "it", "a") for w in others)


def _is_cut_up(words: Sequence[Spoken], at: int) -> bool:
    """Whether a quantity is said to be divided where another one is spoken of beside it: Q stays
    whole, V gets cut in pieces.
    """
    are_two = len({each.is_a("charge") for each in words if each.is_a("charge", "pd")}) > 1
    return are_two and _is_said(_PARTED, words, at)


def _affirmed(words: Sequence[Spoken]) -> list[Conclusion]:
    """The quantities a clause names without denying them."""
    found: list[Conclusion] = []
    if any(w.text in ("hold", "holds") for w in words) and any(w.is_a("both") for w in words) and (
        any(w.text[0].isdigit() for w in words) and not any(w.is_a("pd", "charge") for w in words)
    ):
        return ["charge"]  # each holds 90
    for n, word in enumerate(words):
        if not word.is_a("charge", "pd"):
            continue
        before = words[max(0, n - 4) : n]
        denied = any(w.is_a("neg") or w.text in ("than", "instead") for w in before)
        is_not = words[n + 1 : n + 3]
        if denied or _is_cut_up(words, n) or (
            len(is_not) > 1 and is_not[0].is_a("be") and is_not[1].text == "not"
        ):
            continue
        found.append("charge" if word.is_a("charge") else "voltage")
    return found
