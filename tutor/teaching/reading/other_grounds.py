"""Reasons that never make anything the same: what is filled in, equal, near, or flows through."""

from __future__ import annotations

import re

from tutor.teaching.reading.spoken_words import meanings_of

_REASON = re.compile(r"(?i)\b(?:because|since|cos|coz|cuz|bcs?)\b(.*)")
_NO_GROUND = frozenset(("gap", "current", "near", "used", "hop"))
_DENIED = re.compile(r"(?i)\b(?:no|not|nothing|never|cannot|without|isolated|away|gone)\b|n['’]t\b")


def gives_another_ground(line: str) -> bool:
    """Whether a line gives such a reason, without a denial in it, for what it answers."""
    found = _REASON.search(line)
    if found is None or _DENIED.search(found[1]):
        return False
    words = re.findall(r"[a-z]+", found[1].lower())
    return any(meanings_of(word) & _NO_GROUND for word in words)
