"""Networks by chance against the second opinions: ``python -m tests.truth_report [networks]``.

Three quarters are networks in one state, held to the nodal method (capacitance of the whole, p.d.,
charge and energy of every capacitor with signs, every potential); a quarter are charged networks
changed up to five times, held to all charges solved at once. And for some networks every valid
order of steps, or a sample of orders, must come to the same. All is exact. Chance comes from fixed
seeds. With ``--figures FILE`` a count goes on where it was stopped.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations, pairwise
from random import Random
from typing import Final

from tests.bychance import described
from tests.circuit.routes import ONE_VOLT, every_choice, network_of, readings, second
from tests.circuit.test_switching import follow
from tests.nodal import Edge
from tests.sharded import Shard, asked, counted
from tests.strategies import ENDS, Drawn
from tutor.circuit.network import Network, Supply
from tutor.circuit.solving import solve, work_back
from tutor.circuit.steps import Fault, after, carry_out, examine

NETWORKS: Final = 2_000
ROUTED: Final = 20  # one network in so many is walked in all its orders
ORDERS: Final = 200
AT_A_TIME: Final = 500


def drawn(rng: Random) -> Drawn:
    """Up to fourteen capacitors: a spine from end to end, the rest anywhere; or a nest."""
    if rng.random() < 0.4:
        edges = list(_nest(rng, rng.randint(1, 9), "A", "B", [0]))
        return Drawn(_named(rng, edges), (), ENDS)
    spine = ["A", *(f"P{n}" for n in range(1, rng.randint(0, 5) + 1)), "B"]
    links = list(pairwise(spine))
    places = [*spine, "Q1", "Q2"]
    for _ in range(rng.randint(0, 14 - len(links))):
        links.append((rng.choice(places), rng.choice(places)))
    wires = (("P1", "Q5"),) if "P1" in spine and rng.random() < 0.3 else ()
    return Drawn(_named(rng, links), wires, ENDS)


def _nest(
    rng: Random, size: int, start: str, end: str, used: list[int]
) -> Iterator[tuple[str, str]]:
    if size == 1:
        yield start, end
        return
    first = rng.randint(1, size - 1)
    if rng.random() < 0.5:
        yield from _nest(rng, first, start, end, used)
        yield from _nest(rng, size - first, start, end, used)
        return
    used[0] += 1
    middle = f"P{used[0]}"
    yield from _nest(rng, first, start, middle, used)
    yield from _nest(rng, size - first, middle, end, used)


def _named(rng: Random, links: list[tuple[str, str]]) -> tuple[Edge, ...]:
    rng.shuffle(links)
    return tuple(
        Edge(f"C{n}", _worth(rng), *rng.sample(link, 2)) for n, link in enumerate(links, start=1)
    )


def _worth(rng: Random) -> Fraction:
    if rng.random() < 0.5:  # equal values and balances come often
        return Fraction(rng.randint(1, 3))
    return Fraction(rng.randint(1, 12), rng.randint(1, 7))


def misfit(shape: Drawn, supply: Supply) -> str | None:
    """The first thing that is otherwise than the nodal method finds; None where all agrees."""
    network = network_of(shape)
    solution = solve(network, supply)
    expected = second(shape, supply)
    if solution.whole is None or solution.whole.value != expected.capacitance:
        return f"the whole of {shape}"
    for edge in shape.edges:
        if readings(solution.holdings[edge.name]) != expected.capacitors[edge.name]:
            return f"{edge.name} of {shape}"
    if any(expected.potentials[point] != at for point, at in solution.potentials.items()):
        return f"a potential of {shape}"
    return None


def routes_misfit(network: Network, rng: Random) -> tuple[str | None, int]:
    """A valid order that comes to another end, an invalid set that is taken; how many orders."""
    expected = solve(network, ONE_VOLT)
    seen: set[tuple[tuple[str, ...], ...]] = set()
    for _ in range(ORDERS):
        route, state, taken = [], network, ()
        while found := every_choice(state):
            valid = {frozenset(choice.names) for choice in found}
            wrong = _taken_wrongly(state, valid)
            if wrong is not None:
                return f"{wrong} is taken in {state}", len(seen)
            step = carry_out(state, rng.choice(found), taken)
            taken = (*taken, *(c.name for c in (*step.parts, *step.swept)))
            state = after(state, step)
            route.append(step)
        order = tuple(tuple(sorted(c.name for c in step.parts)) for step in route)
        if order in seen or len(state.capacitors) != 1:
            continue  # known, or it ends in a bridge, where series and parallel go no further
        seen.add(order)
        held = work_back(tuple(route), state.capacitors[0], ONE_VOLT, network.ends)
        for c in network.capacitors:
            if held[c.name] != expected.holdings[c.name]:
                return f"{c.name} by {order}", len(seen)
    return None, len(seen)


def _taken_wrongly(network: Network, valid: set[frozenset[str]]) -> tuple[str, ...] | None:
    """Two that may not be combined, and are taken all the same."""
    for pair in combinations([c.name for c in network.capacitors], 2):
        may = frozenset(pair) in valid
        if not may and not isinstance(examine(network, pair), Fault) and _apart(network, pair):
            return pair
    return None


def _apart(network: Network, pair: tuple[str, str]) -> bool:
    """Whether, of two capacitors, the charges differ and the p.d.s differ by the second opinion."""
    edges = tuple(Edge(c.name, c.value, c.start, c.end) for c in network.capacitors)  # type: ignore[arg-type]
    found = second(Drawn(edges, (), network.ends), ONE_VOLT).capacitors
    one, other = (found[name] for name in pair)
    return abs(one.charge) != abs(other.charge) and abs(one.voltage) != abs(other.voltage)


def batch(first: int) -> Counter[str]:
    """Some seeds: how many of each kind agreed, and what did not."""
    found: Counter[str] = Counter()
    for seed in range(first, first + AT_A_TIME):
        rng = Random(seed)
        if seed % 4 == 3:
            found["changed"] += 1
            try:
                follow(described(rng), rng)
            except AssertionError as error:
                found[f"MISFIT changes by seed {seed}: {error}"[:300]] += 1
            continue
        shape = drawn(rng)
        supply = Supply(rng.choice(("voltage", "charge")), _worth(rng))
        found["in one state"] += 1
        wrong = misfit(shape, supply)
        if wrong is not None:
            found[f"MISFIT seed {seed}: {wrong}"] += 1
        if seed % ROUTED == 0:
            wrong, orders = routes_misfit(network_of(shape), rng)
            found["in all or some orders"] += 1
            found["orders"] += orders
            if wrong is not None:
                found[f"MISFIT order, seed {seed}: {wrong}"[:400]] += 1
    return found


def main() -> int:
    networks, kept = asked(NETWORKS)
    shards = [Shard("networks", first) for first in range(0, networks, AT_A_TIME)]
    taken = counted(shards, lambda shard: batch(shard.seed), kept)
    found = sum((Counter(figures) for _, figures in taken), Counter[str]())
    for what, times in sorted(found.items()):
        print(f"{times:8} {what}")
    wrong = sum(times for what, times in found.items() if what.startswith("MISFIT"))
    print(f"{wrong:8} otherwise than the second opinion")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
