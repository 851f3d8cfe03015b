"""One thing changed about a problem: which change, and the problem as it then is.

A capacitor keeps its name wherever it goes. Taking one out leaves a gap; a wire in its place
makes its two points one.
"""

from __future__ import annotations

from itertools import count
from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.network import Capacitor, Network, Problem, point_names
from tutor.circuit.structure import live_names
from tutor.circuit.values import Value, tidy


class NewValue(NamedTuple):
    """Another capacitance, in farads."""

    name: str
    value: Value


class Scaled(NamedTuple):
    """Capacitances times the same ``factor``."""

    names: tuple[str, ...]
    factor: Value


class Removed(NamedTuple):
    """Capacitors taken out, so that a gap is left; those that were ``charged`` by then take what
    is on their plates with them, the others had never been there.
    """

    names: tuple[str, ...]
    charged: bool = False


class Wired(NamedTuple):
    """Capacitors replaced by a wire."""

    names: tuple[str, ...]


class Swapped(NamedTuple):
    """Two capacitors that change places."""

    first: str
    second: str


class NewSupply(NamedTuple):
    """Another p.d. in volts or given charge in coulombs, of the kind the problem has."""

    value: Value


class Added(NamedTuple):
    """A capacitor of ``value`` farads added beside or in a chain with ``to``; None: the whole."""

    value: Value
    kind: Literal["series", "parallel"]
    to: str | None = None


Alteration: TypeAlias = NewValue | Scaled | Removed | Wired | Swapped | NewSupply | Added


class Broken(NamedTuple):
    """What a change leaves is no network to charge: ``open``, no way between the ends;
    ``shorted``, the ends made one point.
    """

    kind: Literal["open", "shorted"]


def after_change(problem: Problem, change: Alteration) -> Problem | Broken:
    """The problem once the change is made; the names of the change must be in it."""
    if isinstance(change, NewSupply):
        if problem.supply is None:
            raise ValueError("a problem without a supply has none to change")
        return problem._replace(supply=problem.supply._replace(value=change.value))
    network = _changed(problem.network, change)
    if network.ends[0] == network.ends[1]:
        return Broken("shorted")
    if not live_names(network):
        return Broken("open")
    return problem._replace(network=network, asked=(), joined=(), drawn=None, wires=())


def _changed(network: Network, change: Alteration) -> Network:
    if isinstance(change, NewValue):
        return _each(network, {change.name: change.value})
    if isinstance(change, Scaled):
        chosen = network.named(change.names)
        return _each(network, {c.name: tidy(c.value * change.factor) for c in chosen})
    if isinstance(change, Removed):
        kept = tuple(c for c in network.capacitors if c.name not in change.names)
        return network._replace(capacitors=kept)
    if isinstance(change, Wired):
        for c in network.named(change.names):
            network = _with_wire(network, c.name)
        return network
    if isinstance(change, Swapped):
        return _with_swap(network, change)
    assert isinstance(change, Added)
    return _with_one_more(network, change)


def _each(network: Network, values: dict[str, Value]) -> Network:
    return network._replace(
        capacitors=tuple(
            c._replace(value=values[c.name]) if c.name in values else c
            for c in network.capacitors
        )
    )


def _with_wire(network: Network, name: str) -> Network:
    """The two points made one; an end keeps its name."""
    gone = network.named([name])[0]
    kept, lost = gone.start, gone.end
    if lost in network.ends and kept not in network.ends:
        kept, lost = lost, kept
    return _renamed(
        network._replace(capacitors=tuple(c for c in network.capacitors if c.name != name)),
        {lost: kept},
    )


def _renamed(network: Network, names: dict[str, str]) -> Network:
    ends = tuple(names.get(end, end) for end in network.ends)
    return Network(
        tuple(
            c._replace(start=names.get(c.start, c.start), end=names.get(c.end, c.end))
            for c in network.capacitors
        ),
        (ends[0], ends[1]),
    )


def _with_swap(network: Network, change: Swapped) -> Network:
    first, second = (network.named([name])[0] for name in change)
    places = {
        first.name: first._replace(start=second.start, end=second.end),
        second.name: second._replace(start=first.start, end=first.end),
    }
    return network._replace(
        capacitors=tuple(places.get(c.name, c) for c in network.capacitors)
    )


def _with_one_more(network: Network, change: Added) -> Network:
    name = added_name(network)
    plus, minus = network.ends
    if change.to is None:
        if change.kind == "parallel":
            one = Capacitor(name, change.value, plus, minus)
            return network._replace(capacitors=(*network.capacitors, one))
        inner = _fresh_point(network)
        moved = _renamed(network, {plus: inner})
        one = Capacitor(name, change.value, plus, inner)
        return Network((one, *moved.capacitors), network.ends)
    to = network.named([change.to])[0]
    if change.kind == "parallel":
        one = Capacitor(name, change.value, to.start, to.end)
        return network._replace(capacitors=(*network.capacitors, one))
    inner = _fresh_point(network)
    one = Capacitor(name, change.value, inner, to.end)
    kept = tuple(c._replace(end=inner) if c is to else c for c in network.capacitors)
    return network._replace(capacitors=(*kept, one))


def added_name(network: Network) -> str:
    """The name of a capacitor that is added: the next free number."""
    used = {c.name for c in network.capacitors} | set(network.points())
    return next(f"C{n}" for n in count(1) if f"C{n}" not in used)


def _fresh_point(network: Network) -> str:
    used = {c.name for c in network.capacitors} | set(network.points())
    return next(name for name in point_names() if name not in used)
