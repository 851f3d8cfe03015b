"""What a printed problem in stages says of its metal, held to the metal itself.

The text alone is followed: which plates are one piece, and whether a supply is joined. No charge
is worked out. A reason must be so at its stage or, as stages are told in order, at a later one
than the reason before it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from grammar.records import Amount, Change, Description
from tests.printed_sums import read_from
from tests.sentences import NAME, NAMES, paragraphs, split

SUPPLIED: Final = re.compile(
    rf"The supply is joined to ({NAME}) and ({NAME}) and holds (\S+ \S*V) there"
)
ALONE: Final = re.compile(rf"Only ({NAMES}) (?:has a plate|have plates) at ({NAME}) now")
LET_GO: Final = re.compile(rf"Nothing is joined to ({NAME}) and ({NAME}) any more")
JOINED: Final = re.compile(rf"The joined plates of ({NAMES}) are one piece of metal, and nothing")

Plate = tuple[str, int]


class Metal(NamedTuple):
    """One stage: every plate's piece of metal, what points lie on it, and the supply's p.d.

    ``sure`` is False once it hangs on charges which plates were put together.
    """

    piece_of: dict[Plate, int]
    points: dict[str, int]
    ends: tuple[int, int]
    volts: Amount | None
    sure: bool = True

    def names_at(self, piece: int) -> set[str]:
        return {name for (name, _), at in self.piece_of.items() if at == piece}

    def fed(self, piece: int) -> bool:
        return self.volts is not None and piece in self.ends


def stages(description: Description) -> Iterator[Metal]:
    """The metal at first, then after each change."""
    points: dict[str, int] = {}
    wired = (p for change in description.changes for p in change.points or ())
    joined = (p for line in (*description.joins, *description.wires) for p in line[-2:])
    for point in (*description.ends, *joined, *wired):
        points.setdefault(point, len(points))
    piece_of = {
        (join.capacitor.name, side): points[point]
        for join in description.joins for side, point in enumerate(join[1:])
    }
    supply = description.supply
    volts = supply.worth if supply and supply.quantity == "voltage" else None
    assert volts is None or isinstance(volts, Amount)
    ends = (points[description.ends[0]], points[description.ends[1]])
    now = Metal(piece_of, points, ends, volts)
    for wire in description.wires:
        now = _one(now, now.points[wire.start], now.points[wire.end])
    yield now
    for change in description.changes:
        now = _after(now, change)
        yield now


def _after(now: Metal, change: Change) -> Metal:
    if change.kind == "remove supply":
        return now._replace(volts=None)
    if change.kind == "supply":
        assert change.supply is not None
        assert isinstance(change.supply.worth, Amount)
        return now._replace(volts=change.supply.worth)
    if change.kind == "take out":
        return _apart(now, change.names)
    if change.kind == "wire":
        assert change.points is not None
        first, second = (now.points[point] for point in change.points)
        return _one(now, first, second)
    if change.kind == "join":
        return _put_together(now, change.names)
    return now


def _apart(now: Metal, names: Sequence[str]) -> Metal:
    free = max(*now.piece_of.values(), *now.points.values()) + 1
    own = {(name, side): free + 2 * at + side for at, name in enumerate(names) for side in (0, 1)}
    return now._replace(piece_of={**now.piece_of, **own})


def _one(now: Metal, first: int, second: int) -> Metal:
    def moved(piece: int) -> int:
        return first if piece == second else piece

    return now._replace(
        piece_of={plate: moved(piece) for plate, piece in now.piece_of.items()},
        points={point: moved(piece) for point, piece in now.points.items()},
        ends=(moved(now.ends[0]), moved(now.ends[1])),
    )


def _put_together(now: Metal, names: Sequence[str]) -> Metal:
    """Plates of capacitors that hang alone make pieces with all of these on them, whichever way
    round they are put.
    """
    groups = [_hanging_with(now, name) for name in names]
    if len({min(group) for group in groups}) < len(groups):
        now = _apart(now, names)
        groups = [{name} for name in names]
    sure = now.sure and all(len(group) == 1 for group in groups)
    for side in (0, 1):
        for name in names[1:]:
            now = _one(now, now.piece_of[names[0], side], now.piece_of[name, side])
    return now._replace(sure=sure)


def _hanging_with(now: Metal, name: str) -> set[str]:
    found, grown = {name}, True
    while grown:
        pieces = {piece for (each, _), piece in now.piece_of.items() if each in found}
        more = {each for (each, _), piece in now.piece_of.items() if piece in pieces}
        grown, found = more != found, more
    return found


def false_reasons(lines: Sequence[str], description: Description) -> list[str]:
    """The reasons that are so at no stage from the one before on."""
    told, at, faults = list(stages(description)), 0, []
    for line in paragraphs(lines):
        for pattern, holds in PREMISES:
            found = pattern.search(line)
            if found is None:
                continue
            fits = [n for n in range(at, len(told)) if not told[n].sure or holds(told[n], found)]
            if not fits:
                faults.append(f"so at no stage: {line}")
                break
            at = fits[0]
    return faults


def _is_supplied(metal: Metal, found: re.Match[str]) -> bool:
    value = read_from(found[3], {})
    assert value is not None, found[0]
    ends = {metal.points[found[1]], metal.points[found[2]]}
    return metal.volts is not None and ends == {*metal.ends} and (
        value.low <= metal.volts.value <= value.high
    )


def _is_alone(metal: Metal, found: re.Match[str]) -> bool:
    piece = metal.points[found[2]]
    return metal.names_at(piece) == set(split(found[1])) and not metal.fed(piece)


def _is_let_go(metal: Metal, found: re.Match[str]) -> bool:
    ends = {metal.points[found[1]], metal.points[found[2]]}
    return metal.volts is None and ends == {*metal.ends}


def _is_joined(metal: Metal, found: re.Match[str]) -> bool:
    names = set(split(found[1]))
    pieces = {piece for (name, _), piece in metal.piece_of.items() if name in names}
    return any(metal.names_at(p) == names and not metal.fed(p) for p in pieces)


PREMISES: Final = (
    (SUPPLIED, _is_supplied), (ALONE, _is_alone), (LET_GO, _is_let_go), (JOINED, _is_joined),
)
