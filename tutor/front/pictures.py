"""The drawing of a network for a page, where there is one."""

from __future__ import annotations

from tutor.circuit.nesting import Powers, nest_of
from tutor.circuit.network import Network
from tutor.front.drawing import Look, draw
from tutor.front.plain import Page

MOST_DRAWN = 12


def picture(network: Network, powers: Powers, page: Page, indent: str = "") -> list[str]:
    """The part of the network that takes charge, drawn within the page; no lines where it is no
    nest of chains and parallel sets, is too wide, or has more than twelve capacitors.
    """
    if len(network.capacitors) > MOST_DRAWN or not page.drawings:
        return []
    nest = nest_of(network, powers)
    if nest is None:
        return []
    points = {c.name: (c.start, c.end) for c in network.capacitors}
    drawn = draw(nest, points, network.ends, Look(page.columns - len(indent), page.ascii))
    return [f"{indent}{line}".rstrip() for line in drawn.split("\n")] if drawn else []
