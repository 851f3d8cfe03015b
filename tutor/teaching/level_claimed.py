"""A choice that rests on points being at one potential: C1 and C3, since P and R are alike."""

from __future__ import annotations

import re

from tutor.circuit.equal_levels import bridged, equal_levels
from tutor.circuit.network import Network
from tutor.teaching.speech import listed

_AT_ONE_LEVEL = re.compile(
    r"(?i)\b(?:same|equal|one|common|no\s+difference\s+(?:of|in))\s+(?:potentials?|voltages?|level)\b"
    r"|\bpotentials?\s+(?:\w+\s+){0,3}?(?:are|is)\s+(?:the\s+)?(?:same|equal)\b|\bequipotential\b"
    r"|\bV_?(?P<one>[A-Za-z])\s*(?:=|equals)\s*V_?(?!(?P=one))[A-Za-z]\b"
)
_DENIES = re.compile(r"(?i)\b(?:not|never|no)\b|n['’]t\b|≠|!=")


def points_claimed_level(network: Network, line: str) -> str:
    """The points, as they are read out, whose being at one potential a line gives as the reason for
    its capacitors, where these would then join the same two points; nothing for other lines.
    """
    if not _AT_ONE_LEVEL.search(line) or _DENIES.search(line):
        return ""
    words = {word.upper() for word in re.findall(r"[A-Za-z]\w*'*", line)}
    parts = network.named([c.name for c in network.capacitors if c.name.upper() in words])
    said = {each for word in words for each in (word, word.removeprefix("V").lstrip("_"))}
    bridge = bridged(network)
    for level in (*equal_levels(network), *((bridge,) if bridge else ())):
        merged = {
            frozenset("" if point in level.points else point for point in c.points) for c in parts
        }
        is_one = len(parts) > 1 and len(merged) == 1 and len(merged.pop()) > 1
        if is_one and said >= {*level.points}:
            return listed(level.points)
    return ""
