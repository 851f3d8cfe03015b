"""Nothing in words, where a value is asked: there is none on it, it never gets any charge.

A clause says so where it has one word for nothing, and next to it only what is held and by whom.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from tutor.teaching.reading.because_words import WORDS


class NoneSaid(NamedTuple):
    """Of which ``kind`` of quantity nothing is said to be there, and of ``whom``; empty where the
    words leave it open.
    """

    kind: str = ""
    whom: str = ""


_KINDS = frozenset(("charge", "charges", "energy", "pd", "voltage"))
_UNITS = frozenset((
    "volt", "volts", "coulomb", "coulombs", "microcoulomb", "microcoulombs", "joule", "joules",
    "microjoule", "microjoules", "millivolt",
))
_EMPTY = frozenset(("empty", "uncharged", "discharged"))
_NOUGHT = frozenset(("zero", "nought", "nil"))
_NONE = frozenset(("none", "nothing", "nada", "zilch", "nowt"))
_DENIES = frozenset(("no", "not", "never"))
_AROUND = frozenset((  # who holds it, where, and how surely
    "it", "its", "there", "that", "this", "one", "plate", "plates", "the", "is", "be", "are", "has",
    "have", "holds", "hold", "carries", "carry", "gets", "get", "got", "takes", "take", "keeps",
    "keep", "stores", "store", "stays", "stay", "remains", "sits", "sit", "left", "flows", "flow",
    "goes", "go", "comes", "come", "moves", "move", "does", "do", "did", "can", "could", "will",
    "would", "must", "should", "ever", "at", "all", "whatsoever", "really", "just", "still", "so",
    "then", "here", "on", "onto", "in", "into", "of", "across", "over", "through",
    "along", "between", "cap", "capacitor", "bridge", "wire", "wires", "points", "them", "these",
    "two", "three", "four",
))
_LEAD = re.compile(r"^(?:(?:well|so|then|ok|i\s+(?:think|guess|say|would\s+say))\b[\s,]*)+")
_SOME = frozenset(("any", "a", "single", "charged"))
_OWNER = re.compile(r"[cq]_?\d+'*")
_SHORT = re.compile(r"(?i)\b(is|are|has|have|do|does|did|would|could)n['’]?t\b")
_TO_IT = re.compile(r"\bto (?=(?:it|that|this|there|c_?\d+)\b)")
_PD = re.compile(r"(?i)\bp\.\s?d\.?(?=\W|$)|\bpotential\s+difference\b")
_ENDS = re.compile(rf"(?i)[,;]|{WORDS}|\bas\b|\bso\b(?=\s+no\b)")


def none_said(line: str) -> NoneSaid | None:
    """What is said to be nothing, where the first clause of a line says that and no more, and no
    number follows it; None for any other line.
    """
    text = _SHORT.sub(r"\1 not", re.sub(r"\bcan['’]?t\b|\bcannot\b", "can not", line.lower()))
    text = re.sub(r"\b(there|it|that)['’]s\b", r"\1 is", _TO_IT.sub("on ", _PD.sub("pd", text)))
    clause = _ENDS.split(_LEAD.sub("", text))[0]
    if re.search(r"[\d=?]", re.sub(r"\b[cq]_?\d+'*", "", text)) or re.search(r"[^\w\s'.!]", clause):
        return None
    words = re.findall(r"\w+'*", clause)
    if not _is_nothing(words):
        return None
    owners = [word for word in words if _OWNER.fullmatch(word)]
    kinds = [word for word in words if word in _KINDS]
    if len(owners) > 1 or len(kinds) > 1:
        return None
    return NoneSaid(kinds[0] if kinds else "", owners[0].upper() if owners else "")


def _is_nothing(words: list[str]) -> bool:
    """Whether one word says nothing or denies, and the others only tell of what and whose."""
    alone = [word for word in words if word in _NONE | _EMPTY | _NOUGHT]
    denied = [at for at, word in enumerate(words) if word in _DENIES]
    others = {*words} - _NONE - _EMPTY - _NOUGHT - _DENIES - _SOME - _KINDS - _UNITS - _AROUND
    if len(alone) + len(denied) != 1 or any(not _OWNER.fullmatch(word) for word in others):
        return False
    if not denied:
        return not {*words} & {"any", "a", "single", "charged"}
    behind = words[denied[0] + 1 :]
    if words[denied[0]] == "no":
        return bool(behind) and behind[0] in _KINDS | _UNITS
    is_told_of = {*words} & (_KINDS | _UNITS | others | {"it", "there", "that"})
    return bool(is_told_of) and bool({*behind} & _SOME) and not {*behind} & {"the", "of"}
