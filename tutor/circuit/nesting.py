"""From points joined by capacitors back to chains and parallel sets, where there are only such.

The steps of a reduction are read backwards: what a step made is the group of its parts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from grammar import records
from grammar.outline import outline
from grammar.records import Amount, Chain, Dimension, Letter, Parallel, Part, Worth
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.reduction import Reduction, reduce
from tutor.circuit.steps import Step
from tutor.circuit.values import in_letters, value_of

Powers: TypeAlias = Mapping[Dimension, int]


class _Piece(NamedTuple):
    """A part, the place of its first capacitor in the network, and a group's members."""

    rank: int
    part: Part
    members: tuple[_Piece, ...] = ()


def nest_of(network: Network, powers: Powers) -> Part | None:
    """The part of a network that takes charge, as a nest; None where it is not one.

    A chain runs from the + end; a parallel set stands in the order of the network. No chain is a
    member of a chain, no parallel set of a parallel set. A number keeps the usual power of ten;
    a capacitance of several letters is written as the capacitor's own name.
    """
    return nest_of_steps(network, reduce(network), powers)


def nest_of_steps(network: Network, reduction: Reduction, powers: Powers) -> Part | None:
    """The same for a network that has been reduced already."""
    whole = reduction.equivalent
    if whole is None or not reduction.is_by_rules:
        return None
    steps = [step for step in reduction.steps if step.makes]
    against = _against(steps, whole, network.ends[0])
    built = {
        c.name: _Piece(place, records.Element(c.name, _worth(c, powers)))
        for place, c in enumerate(network.capacitors)
    }
    for step in steps:
        pieces = [built.pop(c.name) for c in step.parts]
        if step.kind == "parallel":
            built[step.made] = _side_by_side(pieces)
        else:
            built[step.made] = _one_after_another(pieces[::-1] if against[step.made] else pieces)
    return built[whole.name].part


def names_only(network: Network, nest: Part | None) -> str:
    """``C1 -- (C2 || C3)``, or the list of joins where a nest would not say it all.

    That is the case for a network that is no nest, and where some of it holds no charge.
    """
    if nest is not None and _size(nest) == len(network.capacitors):
        return outline(nest)
    joins = [f"{c.name} from {c.start} to {c.end}" for c in network.capacitors]
    return "; ".join([*joins, f"ends {network.ends[0]} and {network.ends[1]}"])


def _against(steps: list[Step], whole: Capacitor, plus: str) -> dict[str, bool]:
    """Whether each capacitor, given or made, is met from its end on the way from the + end."""
    against = {whole.name: whole.start != plus}
    for step in reversed(steps):
        made = against[step.makes.name] if step.makes else False
        for part, turned in zip(step.parts, step.turned, strict=True):
            against[part.name] = made != turned
    return against


def _side_by_side(pieces: list[_Piece]) -> _Piece:
    members = sorted(_opened(Parallel, pieces), key=lambda piece: piece.rank)
    parts = tuple(piece.part for piece in members)
    return _Piece(members[0].rank, Parallel(parts), tuple(members))


def _one_after_another(pieces: list[_Piece]) -> _Piece:
    members = _opened(Chain, pieces)
    parts = tuple(piece.part for piece in members)
    return _Piece(min(piece.rank for piece in members), Chain(parts), tuple(members))


def _opened(kind: type[Chain] | type[Parallel], pieces: Iterable[_Piece]) -> list[_Piece]:
    """The pieces, a group of this same kind giving its own members in its place."""
    opened: list[_Piece] = []
    for piece in pieces:
        opened.extend(piece.members if isinstance(piece.part, kind) else (piece,))
    return opened


def _worth(c: Capacitor, powers: Powers) -> Worth:
    if not in_letters(c.value):
        return Amount(c.value, powers["capacitance"])
    factor, rest = c.value.as_coeff_Mul()
    if rest.is_Symbol:
        return Letter(str(rest), Fraction(int(factor.p), int(factor.q)))
    times = Letter("".join(sorted(map(str, rest.args), key=str.isupper)))
    if rest.is_Mul and value_of(times) == rest:
        return times._replace(factor=Fraction(int(factor.p), int(factor.q)))
    return Letter(c.name)


def _size(nest: Part) -> int:
    size = 0
    waiting: list[Part] = [nest]
    while waiting:
        part = waiting.pop()
        if isinstance(part, records.Element):
            size += 1
        else:
            waiting.extend(part.members)
    return size
