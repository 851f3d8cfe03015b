"""What networkx says about the shape of a network, beside what the engine says.

Wires are drawn in first; a capacitor with both ends on one point is left out, since it lies in
no block. Then one more edge is drawn between the ends, as the supply would be: two-terminal
questions become questions about the block that holds that edge.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import combinations

import networkx as nx
from networkx.algorithms.approximation import treewidth_min_degree

from tests.nodal import Edge, Link

SUPPLY = "the supply's own edge"


def series_parallel_by_networkx(joins: Sequence[Edge], wires: Sequence[Link], ends: Link) -> bool:
    """Whether series and parallel steps alone reduce the network, dead pieces dropped.

    Ends that are one point, or that nothing joins, leave nothing to reduce: the answer is True.

    Duffin (Topology of series-parallel networks, 1965): a network between two ends reduces
    exactly if it, with an edge between the ends, has no K4 minor, that is, treewidth at most 2
    (cited from memory). The min-degree heuristic is exact up to 2. The width it reports is that
    of a decomposition it has built, so it is never too small. And a graph of treewidth at most
    2 always has a point of degree at most 2; taking that point out and joining its neighbours
    leaves a minor of the graph, again of treewidth at most 2: every bag has at most 3 points.
    """
    core = live_core(joins, wires, ends)
    if core.number_of_edges() < 2:
        return True
    width, _ = treewidth_min_degree(nx.Graph(core))
    return int(width) <= 2


def dead_pieces(joins: Sequence[Edge], wires: Sequence[Link], ends: Link) -> frozenset[str]:
    """Name the capacitors that hold no charge whatever the values: outside the supply's block."""
    live = {name for _, _, name in live_core(joins, wires, ends).edges(keys=True)}
    return frozenset(join.name for join in joins) - live


def same_charge_pairs(
    joins: Sequence[Edge], wires: Sequence[Link], ends: Link
) -> frozenset[frozenset[str]]:
    """Pair the live capacitors whose removal, both at once, cuts off metal from both ends.

    By brute force, for small networks. The part cut off gains no charge overall, so the two
    capacitors carry the same charge: neighbours of a chain, and others such as C1 and C4 of
    C1 -- (C2 || C3) -- C4.
    """
    core = live_core(joins, wires, ends)
    live = {name: (start, end) for start, end, name in core.edges(keys=True) if name != SUPPLY}
    return frozenset(
        frozenset(pair)
        for pair in combinations(live, 2)
        if not nx.is_connected(_without(core, [(*live[name], name) for name in pair]))
    )


def live_core(joins: Sequence[Edge], wires: Sequence[Link], ends: Link) -> nx.MultiGraph:
    """Return the block with the supply's edge, keyed by name; empty if the ends are one point."""
    merged = _merged_points(joins, wires, ends)
    plus, minus = merged[ends[0]], merged[ends[1]]
    whole = nx.MultiGraph()
    if plus == minus:
        return whole
    whole.add_edge(plus, minus, key=SUPPLY)
    for join in joins:
        start, end = merged[join.start], merged[join.end]
        if start != end:
            whole.add_edge(start, end, key=join.name)
    for block in nx.biconnected_components(nx.Graph(whole)):
        if plus in block and minus in block:
            return whole.subgraph(block).copy()
    raise AssertionError("an edge always lies in one block")


def _merged_points(joins: Sequence[Edge], wires: Sequence[Link], ends: Link) -> dict[str, str]:
    graph = nx.Graph()
    graph.add_nodes_from(ends)
    graph.add_nodes_from(point for join in joins for point in (join.start, join.end))
    graph.add_edges_from(wires)
    return {p: min(piece) for piece in nx.connected_components(graph) for p in piece}


def _without(graph: nx.MultiGraph, edges: Iterable[tuple[str, str, str]]) -> nx.MultiGraph:
    rest = graph.copy()
    rest.remove_edges_from(edges)
    return rest
