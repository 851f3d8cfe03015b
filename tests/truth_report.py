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
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations, pairwise
from random import Random
from typing import Final

from tests.bychance import described
from tests.circuit.routes import ONE_VOLT, every_choice, network_of, readings, second
from tests.circuit.test_switching import follow
from tests.nodal import Edge
from tests.sharded import Figures, Shard, asked, counted
from tests.strategies import ENDS, Drawn
from tutor.circuit.network import Network, Supply
from tutor.circuit.solving import solve, work_back
from tutor.circuit.steps import Choice, Fault, after, carry_out, examine

NETWORKS: Final = 2_000
ROUTED: Final = 500  # networks walked in all their orders; of a short count one in twenty
ROUTED_AT_A_TIME: Final = 25
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
    """What goes wrong on the way through its orders, and how many orders there were."""
    expected = solve(network, ONE_VOLT)
    seen: set[tuple[tuple[str, ...], ...]] = set()
    known: dict[Network, Sequence[Choice]] = {}  # most orders pass through the same networks
    for _ in range(ORDERS):
        route, state, taken = [], network, ()
        while True:
            if state not in known:
                known[state] = every_choice(state)
                wrong = _judged_wrongly(state, rng)
                if wrong is not None:
                    return f"{wrong} in {state}", len(seen)
            found = known[state]
            if not found:
                break
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


def _judged_wrongly(network: Network, rng: Random) -> str | None:
    """Two that may be taken together and are refused, or may not and are taken.

    They may where, whatever the capacitances, they hold one charge or have one p.d., or where
    both hold none: the second opinion says so for capacitances by chance, which let nothing come
    out alike that need not.
    """
    edges = tuple(
        Edge(c.name, Fraction(rng.randrange(10**6, 10**9)), c.start, c.end)
        for c in network.capacitors
    )
    held = second(Drawn(edges, (), network.ends), ONE_VOLT).capacitors
    for pair in combinations(held, 2):
        (charge, across), (other, beside) = (
            (abs(held[name].charge), abs(held[name].voltage)) for name in pair
        )
        may = (charge == other or across == beside) and bool(charge) == bool(other)
        taken = not isinstance(examine(network, pair), Fault)
        if may != taken:
            return f"{' and '.join(pair)} {'refused' if may else 'taken'}"
    return None


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
        found["in one state"] += 1
        wrong = misfit(drawn(rng), Supply(rng.choice(("voltage", "charge")), _worth(rng)))
        if wrong is not None:
            found[f"MISFIT seed {seed}: {wrong}"] += 1
    return found


def routed_batch(first: int) -> Counter[str]:
    """Some seeds, each network walked in all its orders, or in so many by chance."""
    found: Counter[str] = Counter()
    for seed in range(first, first + ROUTED_AT_A_TIME):
        rng = Random(seed)
        wrong, orders = routes_misfit(network_of(drawn(rng)), rng)
        found["in all or some orders"] += 1
        found["orders"] += orders
        if wrong is not None:
            found[f"MISFIT order, seed {seed}: {wrong}"[:400]] += 1
    return found


def shards(networks: int) -> list[Shard]:
    routed = min(ROUTED, networks // 20)
    return [
        *(Shard("networks", first) for first in range(0, networks, AT_A_TIME)),
        *(Shard("routes", first) for first in range(0, routed, ROUTED_AT_A_TIME)),
    ]


def take(shard: Shard) -> Figures:
    return routed_batch(shard.seed) if shard.what == "routes" else batch(shard.seed)


def main() -> int:
    networks, kept = asked(NETWORKS)
    taken = counted(shards(networks), take, kept)
    found = sum((Counter(figures) for _, figures in taken), Counter[str]())
    for what, times in sorted(found.items()):
        print(f"{times:8} {what}")
    wrong = sum(times for what, times in found.items() if what.startswith("MISFIT"))
    print(f"{wrong:8} otherwise than the second opinion")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
