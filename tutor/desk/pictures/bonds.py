"""What a picture has to show of a network: capacitors and wires as lines between points.

Whatever hangs on a network by one point alone is tied to a neighbour by a line that is not drawn,
so that every line lies on some way from one end to the other; a layout needs no other case then.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final, Literal, NamedTuple

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.structure import live_names
from tutor.teaching.depicted import UNNAMED

HIDDEN: Final = UNNAMED  # so begin the points and lines that a picture needs and no text has


class Bond(NamedTuple):
    """One line of a picture; a ``tie`` is never drawn. ``rank`` is its place in the text."""

    name: str
    start: str
    end: str
    kind: Literal["capacitor", "wire", "tie"]
    rank: int

    def other(self, point: str) -> str:
        """The point at its other end."""
        return self.end if point == self.start else self.start


class Component(NamedTuple):
    """Bonds that hang together, each on some way between the two ``ends``.

    ``is_supplied`` says that these are the ends of the network.
    """

    bonds: tuple[Bond, ...]
    ends: tuple[str, str]
    is_supplied: bool


def pieces_in(network: Network, wires: Iterable[tuple[str, str]] = ()) -> tuple[Component, ...]:
    """The network with these wires; the piece with the ends comes first."""
    groups = _together(list(_bonds(network, wires)))
    found = [_piece(group, network.ends) for group in groups]
    return tuple(sorted(found, key=lambda piece: not piece.is_supplied))


def _bonds(network: Network, wires: Iterable[tuple[str, str]]) -> Iterator[Bond]:
    """Each capacitor and wire; one with both ends on a point gets a bend to come back by."""
    for rank, c in enumerate(network.capacitors):
        if c.start != c.end:
            yield Bond(c.name, c.start, c.end, "capacitor", rank)
            continue
        bend = HIDDEN + c.name
        yield Bond(c.name, c.start, bend, "capacitor", rank)
        yield Bond(bend, bend, c.end, "wire", rank)
    number = len(network.capacitors)
    for rank, (start, end) in enumerate(wires, start=number):
        if start != end:
            yield Bond(f"{HIDDEN}wire {rank}", start, end, "wire", rank)


def _together(bonds: list[Bond]) -> list[list[Bond]]:
    """The bonds in groups that hang together, in order of their first members."""
    home: dict[str, list[Bond]] = {}
    for bond in bonds:
        one = home.setdefault(bond.start, [])
        two = home.setdefault(bond.end, [])
        if one is not two:
            one += two
            for point, group in home.items():
                if group is two:
                    home[point] = one
        one.append(bond)
    groups = {id(group): group for group in home.values()}
    return sorted((sorted(g, key=_rank) for g in groups.values()), key=lambda g: g[0].rank)


def _rank(bond: Bond) -> int:
    return bond.rank


def _piece(group: list[Bond], ends: tuple[str, str]) -> Component:
    points = {point for bond in group for point in (bond.start, bond.end)}
    is_supplied = points.issuperset(ends)
    if not is_supplied:
        near = next((end for end in ends if end in points), group[0].start)
        far = _farthest(group, near, points)
        ends = (far, near) if near == ends[1] else (near, far)
    return Component(tuple(_tied(group, ends)), ends, is_supplied)


def _farthest(bonds: Sequence[Bond], start: str, among: Iterable[str]) -> str:
    """The point that is the most bonds away, of these; of several the first met."""
    reached = {start: 0}
    front = [start]
    for point in front:
        for bond in bonds:
            if point in (bond.start, bond.end) and bond.other(point) not in reached:
                reached[bond.other(point)] = reached[point] + 1
                front.append(bond.other(point))
    allowed = set(among)
    return max((point for point in front if point in allowed), key=reached.__getitem__)


def _tied(bonds: list[Bond], ends: tuple[str, str]) -> list[Bond]:
    """The bonds with as many ties as leave none of them hanging."""
    tied = list(bonds)
    while hanging := _hanging(tied, ends):
        live = [bond for bond in tied if bond not in hanging]
        tied.append(_tie(hanging, live, ends))
    return tied


def _hanging(bonds: Sequence[Bond], ends: tuple[str, str]) -> list[Bond]:
    on_the_way = _on_the_way(bonds, ends)
    return [bond for bond in bonds if bond.name not in on_the_way]


def _on_the_way(bonds: Sequence[Bond], ends: tuple[str, str]) -> frozenset[str]:
    from fractions import Fraction

    lines = tuple(Capacitor(b.name, Fraction(1), b.start, b.end) for b in bonds)
    return live_names(Network(lines, ends))


def _tie(hanging: list[Bond], live: list[Bond], ends: tuple[str, str]) -> Bond:
    """From the far end of what hangs on a point to a neighbour of that point."""
    held = {*ends, *(point for bond in live for point in (bond.start, bond.end))}
    first = next(bond for bond in hanging if held.intersection((bond.start, bond.end)))
    root = first.start if first.start in held else first.end
    beyond = {first.other(root)}
    grown = True
    while grown:
        near = [
            bond for bond in hanging
            if beyond.intersection((bond.start, bond.end))
        ]
        reached = {p for bond in near for p in (bond.start, bond.end)} - held
        grown = not reached <= beyond
        beyond |= reached
    inside = [b for b in hanging if beyond.intersection((b.start, b.end))]
    far = _farthest(inside, root, beyond)
    beside = next((b.other(root) for b in live if root in (b.start, b.end)), None)
    neighbour = beside or next(end for end in ends if end != root)
    rank = max(bond.rank for bond in inside)
    return Bond(f"{HIDDEN}tie {far} {neighbour} {len(hanging)}", far, neighbour, "tie", rank)
