"""What is done to charged networks: state in, state out, and where every joule went.

A change is made first with all charge staying where it is (``carried``); then whatever can move
does (``after``). Wires are thought without resistance worth naming: how much heat they make in all
does not depend on it. Fillings and plates are moved slowly, so that moving them makes no heat.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from grammar.apart import plates_of
from grammar.records import Amount, Change, Layer, Letter, Plates
from tutor.circuit.changes import Broken
from tutor.circuit.islands import AIR, GapFilling, State, settle
from tutor.circuit.network import Network
from tutor.circuit.structure import pieces
from tutor.circuit.values import Value, decided, in_letters, same, size_of, tidy, value_of

FILLED_OR_MOVED = frozenset({"fill", "empty", "gap"})


class Account(NamedTuple):
    """Energies of one change in joules: ``gained`` = ``by_supply`` + ``on_plates`` − ``heat``.

    ``gained`` is what the capacitors store after less before, ``by_supply`` the work that the
    supply does, ``on_plates`` the work done on plates or fillings from outside: below nought where
    the field does the work and pulls.
    """

    gained: Value
    by_supply: Value
    on_plates: Value
    heat: Value


class Switched(NamedTuple):
    """One change: None where the network is first put together."""

    change: Change | None
    before: State
    carried: State
    after: State
    account: Account

    @property
    def moved(self) -> tuple[str, ...]:
        """The capacitors whose charge or capacitance is another one afterwards."""
        values = {c.name: c.value for c in self.before.network.capacitors}
        then = self.before if self.change is None else self.carried
        return tuple(
            c.name
            for c in self.after.network.capacitors
            if not same(c.value, values[c.name])
            or not same(self.after.charges[c.name], then.charges[c.name])
        )


class PlateMisfit(ValueError):
    """Plates cannot be moved or filled as a change wants: ``args`` hold the capacitor's name."""


def make(before: State, change: Change) -> Switched | Broken:
    """The state after one change. The names and points of the change must be in the network.

    Errors: ``PlateMisfit`` for a gap that is too small for what is in it, or not known in metres;
    ``Undecided`` where letters leave open which plate of a capacitor is the + plate.
    """
    return outcome(change, before, _CHANGES[change.kind](before, change))


def outcome(change: Change | None, before: State, carried: State) -> Switched | Broken:
    """Let everything settle after a change has been made, and account for the energy."""
    plus, minus = carried.network.ends
    if carried.supply is not None and plus == minus:
        return Broken("shorted")
    after = settle(carried)
    gained = tidy(after.stored - before.stored)
    nought: Value = Fraction(0)
    by_supply = nought
    if carried.supply is not None:
        by_supply = tidy(carried.supply * (after.charge_at(plus) - carried.charge_at(plus)))
    rest = tidy(gained - by_supply)
    slow = change is not None and change.kind in FILLED_OR_MOVED
    account = Account(gained, by_supply, *((rest, nought) if slow else (nought, tidy(-rest))))
    return Switched(change, before, carried, after, account)


def _no_supply(state: State, _: Change) -> State:
    return state._replace(supply=None)


def _supply(state: State, change: Change) -> State:
    assert change.supply is not None, "reading gives a supply that is put on its p.d."
    return state._replace(supply=value_of(change.supply.worth))


def _wire(state: State, change: Change) -> State:
    assert change.points is not None, "reading gives a wire its points"
    first, second = (state.same.get(point, point) for point in change.points)
    return merged(state, (first, second))


def _taken_out(state: State, change: Change) -> State:
    return apart(state, change.names)


def _filled(state: State, change: Change) -> State:
    return _with_inside(state, change.names, slab_of(change))


def filling_of(change: Change) -> Value:
    """The relative permittivity of a filling."""
    amount = change.amount
    assert isinstance(amount, Fraction | Letter), "reading gives a filling its permittivity"
    return value_of(amount) if isinstance(amount, Letter) else amount


def slab_of(change: Change) -> GapFilling:
    """What is put between the plates."""
    filling = None if change.amount is None else filling_of(change)
    if change.over_area:
        return GapFilling(filling, over=change.part)
    return GapFilling(filling, change.part)


def _emptied(state: State, change: Change) -> State:
    return _with_inside(state, change.names, AIR)


def _joined(state: State, change: Change) -> State:
    """Like plates together, or the unlike ones of two.

    Capacitors that hang together already are first taken apart, each with its own charge: a wire
    across them would only short them out.
    """
    piece = pieces(state.network.capacitors)
    named = state.network.named(change.names)
    if len({piece.get(c.start, c.start) for c in named}) < len(named):
        state = apart(state, change.names)
    poles = [_poles(state, name) for name in change.names]
    if change.crossed:
        poles[1] = (poles[1][1], poles[1][0])
    for side in (0, 1):
        state = merged(state, tuple(pole[side] for pole in poles))
    return state


def _poles(state: State, name: str) -> tuple[str, str]:
    """The points of its + and − plate; of an empty capacitor its start and its end."""
    c = state.capacitor(name)
    return (c.start, c.end) if decided(state.charges[name]) >= 0 else (c.end, c.start)


# Points


def merged(state: State, points: Iterable[str]) -> State:
    """The points made one by wire. An end keeps its name, then a point that a text can name."""
    ends = state.network.ends
    ranked = sorted(dict.fromkeys(points), key=lambda p: (p not in ends, p[-1] in "+-'"))
    kept, others = ranked[0], ranked[1:]
    renamed = dict.fromkeys(others, kept)
    capacitors = tuple(
        c._replace(start=renamed.get(c.start, c.start), end=renamed.get(c.end, c.end))
        for c in state.network.capacitors
    )
    network = Network(capacitors, (renamed.get(ends[0], ends[0]), renamed.get(ends[1], ends[1])))
    same = {point: renamed.get(now, now) for point, now in state.same.items()} | renamed
    return state._replace(network=network, same=same)


def apart(state: State, names: Iterable[str]) -> State:
    """Capacitors taken out, each between two points of its own, its + plate at its start."""
    for name in names:
        c = state.capacitor(name)
        charge = state.charges[name]
        start, end = _own_points(state, name)
        turned = c._replace(start=start, end=end)
        capacitors = tuple(turned if d.name == name else d for d in state.network.capacitors)
        state = state._replace(
            network=state.network._replace(capacitors=capacitors),
            charges={**state.charges, name: size_of(charge)},
        )
    return state


def _own_points(state: State, name: str) -> tuple[str, str]:
    taken = {*state.network.points(), *state.same}
    start, end = plates_of(name)
    while start in taken or end in taken:
        start, end = f"{start}'", f"{end}'"
    return start, end


# What is between the plates


def _with_inside(state: State, names: Iterable[str], slab: GapFilling) -> State:
    for name in names:
        now = state.inside.get(name, AIR)
        if isinstance(now, Plates):
            state = _with_plates(state, name, _filled_with(now, slab, name))
            continue
        value = tidy(state.capacitor(name).value * slab.factor / now.factor)
        state = _with_value(state, name, value, slab)
    return state


def _filled_with(plates: Plates, slab: GapFilling, name: str) -> Plates:
    """Errors: ``PlateMisfit`` for a letter between plates in numbers."""
    room, filling = plates.gap - plates.metal, slab.permittivity
    bare = plates._replace(layers=(), beside=(), written="")
    if filling is None:
        return bare._replace(metal=plates.metal + room * slab.part)
    if in_letters(filling):
        raise PlateMisfit(name)
    if slab.over < 1:
        parts = ((filling, slab.over), (Fraction(1), 1 - slab.over))
        return bare._replace(beside=tuple(Layer(k, None, share) for k, share in parts))
    layers = [Layer(filling, room * slab.part)] if filling != 1 else []
    if layers and slab.part < 1:
        layers.append(Layer(Fraction(1), room * (1 - slab.part)))
    return bare._replace(layers=tuple(layers))


def _new_gap(state: State, change: Change) -> State:
    (name,) = change.names
    now = state.inside.get(name, AIR)
    amount = change.amount
    if isinstance(now, Plates):
        gap = now.gap * amount if isinstance(amount, Fraction) else _length(amount)
        return _with_plates(state, name, _moved(now, gap, name))
    if not isinstance(amount, Fraction) or now.over < 1 or (is_filled(now) and now.part > amount):
        raise PlateMisfit(name)
    slab = now._replace(part=now.part / amount) if is_filled(now) else AIR
    value = tidy(state.capacitor(name).value / now.factor / amount * slab.factor)
    return _with_value(state, name, value, slab)


def is_filled(inside: GapFilling | Plates) -> bool:
    """Whether something solid is between the plates, which keeps its thickness."""
    if isinstance(inside, Plates):
        fillings = (*inside.layers, *inside.beside)
        return any(layer.permittivity != 1 for layer in fillings)
    return inside.permittivity != 1


def _length(amount: Amount | Letter | None) -> Fraction:
    assert isinstance(amount, Amount), "reading gives a new gap its length"
    return amount.value


def _moved(plates: Plates, gap: Fraction, name: str) -> Plates:
    """Plates at another distance: what is solid keeps its thickness, and air takes the rest.

    Fillings that stand side by side would have air over each of them, which no text can say.
    """
    solid = tuple(layer for layer in plates.layers if layer.permittivity != 1)
    air = gap - plates.metal - sum((layer.thickness or Fraction(0) for layer in solid), Fraction(0))
    if air < 0 or (not air and not solid) or is_filled(plates._replace(layers=())):
        raise PlateMisfit(name)
    layers = (*solid, Layer(Fraction(1), thickness=air)) if solid and air else solid
    return plates._replace(gap=gap, layers=layers, beside=(), written="")


def _with_plates(state: State, name: str, plates: Plates) -> State:
    return _with_value(state, name, value_of(plates), plates)


def _with_value(state: State, name: str, value: Value, inside: GapFilling | Plates) -> State:
    capacitors = tuple(
        c._replace(value=value) if c.name == name else c for c in state.network.capacitors
    )
    return state._replace(
        network=state.network._replace(capacitors=capacitors),
        inside={**state.inside, name: inside},
    )


_CHANGES: Mapping[str, Callable[[State, Change], State]] = MappingProxyType(
    {
        "remove supply": _no_supply,
        "supply": _supply,
        "wire": _wire,
        "take out": _taken_out,
        "fill": _filled,
        "empty": _emptied,
        "gap": _new_gap,
        "join": _joined,
    }
)
