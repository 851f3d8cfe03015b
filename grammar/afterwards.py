"""What is done to a network after it is described: ``then remove supply; then fill C1 with 4``.

Only what the text itself says is judged here: whether a supply was named, a filling is there to
take out, a capacitor was joined before. What a change does to charges is no matter of the
grammar.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from grammar.asking import capacitor_meant
from grammar.plate_measures import permittivity, read_length, read_ratio, share_of
from grammar.points import two_points
from grammar.preparing import Source
from grammar.records import (
    PERMITTIVITY_LETTER,
    Amount,
    Change,
    Charging,
    Letter,
    Plates,
    Refusal,
    Worth,
)
from grammar.traits import read_worth
from grammar.walking import Node, children, name_of, start_of
from grammar.writing_values import write_length

_FACTORS: Mapping[str, Fraction] = MappingProxyType(
    {"doubled": Fraction(2), "halved": Fraction(1, 2), "tripled": Fraction(3)}
)


class ChangeScope(NamedTuple):
    """What the changes may speak of: each capacitor's worth by its name, the points, the supply."""

    worths: Mapping[str, Worth]
    points: frozenset[str]
    supply: Charging | None


class _State:
    """What earlier changes have left: whether a supply is on, and what was done to whom."""

    def __init__(self, scope: ChangeScope) -> None:
        self.scope = scope
        self.has_supply = scope.supply is not None
        plates = {name: w for name, w in scope.worths.items() if isinstance(w, Plates)}
        self.filled = {name for name, each in plates.items() if each.layers or each.beside}
        self.gaps = {name: Amount(each.gap, -3) for name, each in plates.items()}
        self.metal = {name: each.metal for name, each in plates.items()}
        self.out: set[str] = set()
        self.groups: dict[str, set[str]] = {}


def read_changes(source: Source, nodes: Sequence[Node], scope: ChangeScope) -> tuple[Change, ...]:
    """Read the changes in the order of the text.

    Errors: ``Refusal`` for a name or a point that is not there, and for a change that what
    stands before it rules out.
    """
    state = _State(scope)
    changes: list[Change] = []
    for node in nodes:
        if not state.has_supply and name_of(node.children[-1]) == "remove":
            raise _no_supply(source, node)
        done = node.children[-1]
        changes.append(_READERS[name_of(done)](source, done, state))
    return tuple(changes)


def _no_supply(source: Source, change: Node) -> Refusal:
    word = str(change.children[0])
    return source.refusal(
        start_of(change) + len(word) - len("then"),
        "There is no supply to remove here.",
        "Name one first, as in across 12 V, or leave this out.",
    )


def _remove(_source: Source, _node: Node, state: _State) -> Change:
    state.has_supply = False
    return Change("remove supply")


def _put(source: Source, node: Node, state: _State) -> Change:
    state.has_supply = True
    return Change("supply", supply=read_worth(source, children(node, "value")[0], "voltage"))


def _wire(source: Source, node: Node, state: _State) -> Change:
    ends = two_points(source, node)
    known = state.scope.points
    for name, offset in zip(ends.names, ends.offsets, strict=True):
        if name not in known:
            raise source.refusal(offset, f"There is no point {name} here.", _points_told(known))
    return Change("wire", points=ends.names)


def _points_told(known: frozenset[str]) -> str:
    if not known:
        return "Capacitors that stand apart are joined by their plates, as in join C1 and C2."
    shown = sorted(known, key=lambda name: (len(name), name))
    return f"The points are {', '.join(shown[:8])}{', ...' if len(shown) > 8 else ''}."


def _take_out(source: Source, node: Node, state: _State) -> Change:
    names = _names(source, children(node, "names")[0], state)
    _refuse_any(
        source,
        node,
        names,
        lambda name: name in state.out,
        ("{name} was taken out before.", "Leave this out, or name another capacitor."),
    )
    state.out.update(names)
    return Change("take out", names)


def _fill(source: Source, node: Node, state: _State) -> Change:
    names = _names(source, children(node, "names")[0], state)
    _refuse_any(
        source,
        node,
        names,
        lambda name: name in state.filled,
        ("{name} is filled already.", "Write then empty {name} first, or leave this out."),
    )
    state.filled.update(names)
    tokens: list[Node] = [each for each in node.children if isinstance(each, str)]
    shares = children(node, "share", "per_cent", "half")
    if not shares:
        return Change("fill", names, amount=_filling(source, tokens[0]))
    part, over_area = share_of(source, shares[0]), tokens[-1].type != "GAP"
    if part >= 1:
        raise source.refusal(
            start_of(shares[0]), "That is the whole or more.", "Write a share below 1, as in 1/2."
        )
    if tokens[0].type == "METAL" and not over_area:
        return Change("fill", names, part=part)
    return Change("fill", names, amount=_filling(source, tokens[0]), part=part, over_area=over_area)


def _filling(source: Source, token: Node) -> Fraction | Letter:
    """A relative permittivity, or the letter k for one. Errors: ``Refusal`` for any other."""
    if token.type == "METAL":
        raise source.refusal(
            int(token.start_pos),
            "Metal from plate to plate would join the two.",
            "Give it a part of the gap, as in fill C1 with metal over 1/3 of the gap.",
        )
    if token.type == "NUMBER":
        return permittivity(source, token)
    if str(token) == PERMITTIVITY_LETTER:
        return Letter(PERMITTIVITY_LETTER)
    raise source.refusal(
        int(token.start_pos),
        f"{token} is no relative permittivity.",
        "Write it as a number, 4 for a filling that makes the capacitance four times as large, or "
        f"as the letter {PERMITTIVITY_LETTER}.",
    )


def _empty(source: Source, node: Node, state: _State) -> Change:
    names = _names(source, children(node, "names")[0], state)
    _refuse_any(
        source,
        node,
        names,
        lambda name: name not in state.filled,
        ("{name} has no filling to take out.", "Fill it first, as in then fill {name} with 4."),
    )
    state.filled.difference_update(names)
    return Change("empty", names)


def _gap(source: Source, node: Node, state: _State) -> Change:
    token = next(each for each in node.children if not name_of(each) and each.type == "NAME")
    name = capacitor_meant(source, token, int(token.start_pos), tuple(state.scope.worths))
    amount = _new_gap(source, node)
    if isinstance(amount, Amount) and name not in state.gaps:
        raise source.refusal(
            start_of(children(node, "length")[0]),
            f"The gap of {name} before this is not known.",
            "Say by how much it changes, as in doubled, halved or times 3.",
        )
    if name in state.gaps:
        before = state.gaps[name]
        after = amount if isinstance(amount, Amount) else Amount(before.value * amount, -3)
        if after.value <= state.metal[name]:
            raise source.refusal(
                int(token.start_pos),
                f"The metal in {name} does not fit into this gap.",
                f"Keep the gap above {write_length(Amount(state.metal[name], -3))}.",
            )
        state.gaps[name] = after
    return Change("gap", (name,), amount=amount)


def _new_gap(source: Source, node: Node) -> Amount | Fraction:
    for length in children(node, "length"):
        return read_length(source, length)
    for ratio in children(node, "ratio"):
        return read_ratio(source, ratio)
    return _FACTORS[name_of(children(node, *_FACTORS)[0])]


def _join(source: Source, node: Node, state: _State) -> Change:
    names = _names(source, node, state)
    crossed = children(node, "crossed")
    first = int(node.children[1].start_pos)
    if len(names) == 1:
        raise source.refusal(
            first,
            f"{names[0]} is joined to nothing here.",
            f"Name another capacitor too, as in join {names[0]} and {_another(names[0], state)}.",
        )
    if crossed and len(names) > 2:
        raise source.refusal(
            start_of(crossed[0]),
            "Which plates go together is not clear for more than two crossed.",
            "Join two of them crossed, as in join C1 and C2 crossed, and the others after that.",
        )
    group = set(names).union(*(state.groups.get(name, ()) for name in names))
    if all(state.groups.get(name) == group for name in names):
        raise source.refusal(
            first,
            "These capacitors were joined before.",
            "Leave this out, or name others.",
        )
    state.groups.update(dict.fromkeys(group, group))
    return Change("join", names, crossed=bool(crossed))


def _another(name: str, state: _State) -> str:
    return next((each for each in state.scope.worths if each != name), "C2")


def _names(source: Source, node: Node, state: _State) -> tuple[str, ...]:
    """The capacitors that a change names, each once."""
    found: list[str] = []
    for token in node.children:
        if name_of(token) or token.type != "NAME":
            continue
        name = capacitor_meant(source, token, int(token.start_pos), tuple(state.scope.worths))
        if name in found:
            raise source.refusal(
                int(token.start_pos), f"{name} is named twice here.", "Name each capacitor once."
            )
        found.append(name)
    return tuple(found)


def _refuse_any(
    source: Source,
    node: Node,
    names: tuple[str, ...],
    wrong: Callable[[str], bool],
    told: tuple[str, str],
) -> None:
    """Refuse the change at its first name for which it makes no sense."""
    tokens = [each for each in children(node, "names")[0].children if not name_of(each)]
    for name, token in zip(names, tokens, strict=True):
        if wrong(name):
            found, cure = (text.format(name=name) for text in told)
            raise source.refusal(int(token.start_pos), found, cure)


_READERS: Mapping[str, Callable[[Source, Node, _State], Change]] = MappingProxyType(
    {
        "remove": _remove,
        "put": _put,
        "wire": _wire,
        "take_out": _take_out,
        "fill": _fill,
        "empty": _empty,
        "gap_of": _gap,
        "joining": _join,
    }
)
