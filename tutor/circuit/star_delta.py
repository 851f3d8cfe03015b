"""Three capacitors in a triangle (delta) for three in a star, and back: the same to all around.

Source: the star–delta transformation (A. E. Kennelly, 1899, for conductors; cited from memory),
with capacitance in the place of conductance: both say what goes in per unit of p.d.
"""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal, NamedTuple

from tutor.circuit.network import Capacitor, Network, point_names
from tutor.circuit.steps import joint_name
from tutor.circuit.values import add_up, tidy


class StarDelta(NamedTuple):
    """A triangle between three ``points`` for a star with its ``centre``, or a star for a triangle.

    ``old`` go and ``new`` come. Arms stand in the order of the points they lead to, sides in the
    order of the points they are opposite to.
    """

    kind: Literal["star", "delta"]
    points: tuple[str, ...]
    centre: str
    old: tuple[Capacitor, ...]
    new: tuple[Capacitor, ...]


def to_star(network: Network, points: Collection[str], used: Collection[str]) -> StarDelta | None:
    """A star for the triangle between these points; None if they are not three, or two of them
    are not joined by one capacitor.

    An arm is the sum of the products of the sides, two by two, over the side opposite to it.
    """
    corners = tuple(p for p in network.points() if p in points)
    if len(corners) != 3:
        return None
    sides = [_between(network, [p for p in corners if p != point]) for point in corners]
    if any(len(found) != 1 for found in sides):
        return None
    old = tuple(found[0] for found in sides)
    first, second, third = (c.value for c in old)
    products = add_up([first * second, second * third, third * first])
    taken = {*used, *(c.name for c in network.capacitors), *network.points()}
    centre = next(name for name in point_names() if name not in taken)
    new: list[Capacitor] = []
    for point, opposite in zip(corners, old, strict=True):
        meeting = [c.name for c in network.named(c.name for c in old if c != opposite)]
        name = joint_name(meeting, {*taken, centre, *(c.name for c in new)})
        new.append(Capacitor(name, tidy(products / opposite.value), point, centre))
    return StarDelta("star", corners, centre, old, tuple(new))


def to_delta(network: Network, centre: str, used: Collection[str]) -> StarDelta | None:
    """A triangle for the star at an inner point; None unless three capacitors to three different
    points meet there.

    A side is the product of the two arms it stands for, over the sum of all three.
    """
    meeting = network.meeting(centre)
    far = {c.end if c.start == centre else c.start: c for c in meeting}
    if centre in network.ends or len(meeting) != 3 or len(far) != 3 or centre in far:
        return None
    corners = tuple(p for p in network.points() if p in far)
    old = tuple(far[p] for p in corners)
    total = add_up([c.value for c in old])
    taken = {*used, *(c.name for c in network.capacitors), *network.points()}
    new: list[Capacitor] = []
    for point in corners:
        start, end = (p for p in corners if p != point)
        name = joint_name(
            [c.name for c in network.named((far[start].name, far[end].name))],
            {*taken, *(c.name for c in new)},
        )
        new.append(Capacitor(name, tidy(far[start].value * far[end].value / total), start, end))
    return StarDelta("delta", corners, centre, old, tuple(new))


def exchanged(network: Network, exchange: StarDelta) -> Network:
    """The network with the new three where the first of the old ones stood."""
    gone = {c.name for c in exchange.old}
    kept: list[Capacitor] = []
    placed = False
    for c in network.capacitors:
        if c.name not in gone:
            kept.append(c)
        elif not placed:
            kept += exchange.new
            placed = True
    return Network(tuple(kept), network.ends)


def _between(network: Network, points: Collection[str]) -> list[Capacitor]:
    return [c for c in network.capacitors if c.points == set(points)]
