"""Which networks series and parallel reduce: networkx decides, the engine must agree."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import witness
from tests.circuit.routes import edges_of, network_of, opinion
from tests.sampled import some
from tests.strategies import Drawn, joined_multigraphs, multigraphs
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.reduction import reduce
from tutor.circuit.structure import live_names

F = Fraction
AB = ("A", "B")


def graph_network(graph: nx.Graph, ends: tuple[object, object]) -> Network:
    """Unit capacitors on the edges of a graph."""
    return Network(
        tuple(
            Capacitor(f"C{n}", F(1), str(p), str(q))
            for n, (p, q) in enumerate(sorted(graph.edges()), start=1)
        ),
        (str(ends[0]), str(ends[1])),
    )


def comes_down(network: Network) -> bool:
    """Whether the steps leave one capacitor, or none where none takes charge."""
    return len(reduce(network).left.capacitors) <= 1


@given(multigraphs() | joined_multigraphs())
@settings(deadline=None, max_examples=some(300))
def test_networkx_agrees_on_what_can_be_reduced(drawn: Drawn) -> None:
    network = network_of(drawn)
    edges = edges_of(network)
    assert comes_down(network) == witness.series_parallel_by_networkx(edges, (), network.ends)
    idle = {edge.name for edge in edges} - live_names(network)
    assert idle == witness.dead_pieces(edges, (), network.ends)


@given(joined_multigraphs())
@settings(deadline=None)
def test_what_cannot_be_reduced_still_has_its_capacitance(drawn: Drawn) -> None:
    network = network_of(drawn)
    assert opinion(reduce(network).left).capacitance == opinion(network).capacitance


@given(st.integers(3, 9), st.integers(0, 10**6), st.data())
@settings(deadline=None)
def test_graphs_of_treewidth_two(size: int, seed: int, data: st.DataObject) -> None:
    """Parts of random 2-trees have no K4 in them (Duffin 1965), wherever the ends are joined."""
    graph = nx.Graph([(0, 1)])
    for point in range(2, size):
        edges = sorted(graph.edges())
        p, q = edges[(seed + 7 * point) % len(edges)]
        graph.add_edges_from([(p, point), (q, point)])
    ends = data.draw(st.sampled_from(sorted(graph.edges())))
    assert comes_down(graph_network(graph, ends))


@pytest.mark.parametrize(
    ("graph", "ends", "reducible"),
    [
        (nx.complete_graph(4), (0, 1), False),
        (nx.cycle_graph(7), (0, 3), True),
        (nx.ladder_graph(5), (0, 5), True),
        (nx.ladder_graph(5), (0, 9), False),
        (nx.hypercube_graph(3), ((0, 0, 0), (1, 1, 1)), False),
        (nx.wheel_graph(6), (0, 1), False),
        (nx.complete_bipartite_graph(2, 5), (0, 1), True),
        (nx.complete_bipartite_graph(2, 3), (2, 3), False),
        (nx.complete_bipartite_graph(3, 3), (0, 3), False),
        (nx.petersen_graph(), (0, 1), False),
    ],
    ids=[
        "K4",
        "ring",
        "ladder-at-one-end",
        "ladder-from-corner-to-corner",
        "cube",
        "wheel",
        "K2,5",
        "bridge-without-its-middle",
        "K3,3",
        "Petersen",
    ],
)
def test_graphs_by_name(graph: nx.Graph, ends: tuple[object, object], reducible: bool) -> None:
    network = graph_network(graph, ends)
    assert comes_down(network) is reducible
    assert witness.series_parallel_by_networkx(edges_of(network), (), network.ends) is reducible


def test_the_ends_decide() -> None:
    """The bridge between its outer points does not come down; between its inner points it does."""
    links = ["AP", "AQ", "PQ", "PB", "QB"]
    capacitors = tuple(
        Capacitor(f"C{n}", F(n), *link) for n, link in enumerate(links, start=1)
    )
    for ends in product("ABPQ", repeat=2):
        if ends[0] != ends[1]:
            network = Network(capacitors, (ends[0], ends[1]))
            assert comes_down(network) is (set(ends) != {"A", "B"})
