"""Points that a line names though none of the network has that name: told, and the rest heard."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tutor.circuit.network import Network
from tutor.teaching.reading.conclusion import conclusion_in
from tutor.teaching.speech import listed

# Letters that stand for a quantity or a unit wherever they are; Q is only taken for a point where
# what is shared is said besides.
_POINT = "[DGHJ-TX-Z]"


def without_unknown_points(
    line: str, network: Network, needs_what_is_shared: bool
) -> tuple[str, str]:
    """A line without the points that are not there, and what is said of these; the line as it is
    and nothing where it names none, or where what is shared would be lost with them.
    """
    points = network.points()
    known = "|".join(sorted(map(re.escape, points), key=len, reverse=True))
    pair = re.compile(
        rf"\b(?:(?P<one>{_POINT})\s*(?:,|and\b|&)\s*(?={known}\b)"
        rf"|(?<=\b)(?P<kept>{known})\s*(?:,|and\b|&)\s*(?P<two>{_POINT})\b"
        rf"|(?:at|point|node|junction)\s+(?P<alone>{_POINT})\b(?!\s*(?:,|and\b|&)))"
    )
    names = {*points, *(c.name for c in network.capacitors)}
    unknown = [
        name for found in pair.finditer(line)
        if (name := found["one"] or found["two"] or found["alone"]) not in names
    ]
    if not unknown:
        return line, ""
    rest = pair.sub(lambda found: _known_of(found, names), line)
    if needs_what_is_shared and conclusion_in(rest, network) is None:
        return line, ""
    is_said_by_letter = "Q" in unknown and not re.search(r"(?i)\bcharges?\b", rest)
    if is_said_by_letter and conclusion_in(line, network) == "charge":
        return line, ""
    return rest, _told(list(dict.fromkeys(unknown)), points)


def _known_of(found: re.Match[str], names: set[str]) -> str:
    name = found["one"] or found["two"] or found["alone"]
    return found[0] if name in names else found["kept"] or ""


def _told(unknown: Sequence[str], points: Sequence[str]) -> str:
    verb = "is" if len(unknown) == 1 else "are"
    return f"{listed(unknown)} {verb} no point here: there are {listed(points)}."
