"""One thing of a drawing as it is typed: a capacitor, a wire, the two points of it, a supply.

Every name and value is shown to the grammar on its own, so that what it refuses is refused at
once and in its words.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from grammar.reading import read_network
from grammar.records import Refusal

NAME = r"[A-Za-z]\w*'*"
POINT = r"(?:[A-Za-z]\w*'*|\d{1,6})"


class Piece(NamedTuple):
    """A capacitor of the drawing, or a wire if ``value`` is empty; ``end`` empty until asked."""

    name: str
    value: str
    start: str
    end: str

    @property
    def words(self) -> str:
        """How a question calls it."""
        return self.name if self.value else f"the wire from {self.start}"

    @property
    def text(self) -> str:
        """Its line in a list of joins."""
        what = f"{self.name} = {self.value}" if self.value else "wire"
        return f"{what} from {self.start} to {self.end}"


def piece_at(item: str, point: str, others: Sequence[Piece]) -> Piece:
    """One thing that ends at a point: C1 4 uF, 4 uF, wire, each perhaps with 'to P' or 'P', or
    with both its points.

    Errors: ``Refusal`` for a value, a name or a point that cannot be.
    """
    here = rf"(?:(?:from\s+)?{re.escape(point)}\s+(?:(?:to|and)\s+)?)?"
    bare = rf"(.*\d\s*[pnuµμm]?F|(?:an?\s+)?wire)\s+{here}({POINT})\s*\.?"
    found = re.fullmatch(bare, item.strip()) or re.fullmatch(
        rf"(.*?)(?:\s+to\s+({POINT}))?\s*\.?", item.strip()
    )
    assert found is not None, "every text matches"
    what, end = found[1], found[2] or ""
    if end:
        check_points(point, end)
    if what.lower() in ("wire", "a wire"):
        return Piece("", "", point, end)
    name, value = named_value(what)
    taken = {piece.name for piece in others}
    if name in taken:
        raise Refusal(f"{name} is in the list already.", "Give each capacitor a name of its own.")
    return Piece(name or _free_name(taken), value, point, end)


def named_value(text: str) -> tuple[str, str]:
    """The name, perhaps empty, and the value of C1 4 uF, C1 = 4 uF or 4 uF.

    Errors: ``Refusal`` for a name or a value that the grammar does not read.
    """
    found = re.fullmatch(rf"(?:({NAME})\s*[=:\s]\s*)?(.+)", text.strip())
    if found is None:
        raise Refusal("A value is missing.", "Type it with its unit, like C1 4 uF.")
    name, value = found[1] or "", found[2]
    if not name and re.fullmatch(NAME, value):
        raise Refusal(f"{value} has no value.", f"Type it too, like {value} 4 uF.")
    read_network(f"{name or 'C1'} = {value}")
    return name, value


def check_points(first: str, second: str) -> None:
    """Errors: ``Refusal`` where one of the two cannot be a point, or both are the same."""
    read_network(f"1 uF from {first} to {second}; ends {first} and {second}")


def _free_name(taken: set[str]) -> str:
    return next(name for number in range(1, len(taken) + 2) if (name := f"C{number}") not in taken)


def supply_clause(line: str) -> str:
    """across 12 V for 12 V, holding 24 uC for 24 uC.

    Errors: ``Refusal`` for what is neither a p.d. nor a charge.
    """
    value = re.sub(r"(?i)^\s*(?:across|holding)\b|\.\s*$", "", line).strip()
    try:
        read_network(f"1 uF, across {value}")
    except Refusal as refusal:
        try:
            read_network(f"1 uF, holding {value}")
        except Refusal:
            raise refusal from None
        return f"holding {value}"
    return f"across {value}"
