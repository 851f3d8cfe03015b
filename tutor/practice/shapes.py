"""The shapes of networks that can be ordered, named in the trade's plain words."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

Extra: TypeAlias = Literal["a dead end", "a bypassed capacitor", "a wire"]
EXTRAS: Final[tuple[Extra, ...]] = ("a dead end", "a bypassed capacitor", "a wire")


class MemberGroup(NamedTuple):
    """Members in a chain or side by side; a member is a capacitor by its number, or a group."""

    kind: Literal["series", "parallel"]
    members: tuple[Layout, ...]


Layout: TypeAlias = int | MemberGroup


class Shape(NamedTuple):
    """What is joined to what, without values.

    ``layout`` is a nest of capacitors, None for a bridge. With ``extras`` the network is written
    as a list of joins, since a nest cannot hold them.
    """

    name: str
    layout: Layout | None
    extras: tuple[Extra, ...] = ()

    @property
    def full_name(self) -> str:
        """The name with what is added to it, as it can be ordered."""
        return f"{self.name} with {' and '.join(self.extras)}" if self.extras else self.name

    @property
    def steps(self) -> int:
        """How many steps of series and parallel lead to one capacitor; of a bridge, none."""
        return len(self.kinds)

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of its steps, inner ones first."""
        return () if self.layout is None else tuple(group.kind for group in groups(self.layout))


def groups(layout: Layout) -> Iterator[MemberGroup]:
    """Every group in it, inner ones first."""
    if isinstance(layout, MemberGroup):
        for member in layout.members:
            yield from groups(member)
        yield layout


def leaves(layout: Layout) -> Iterator[int]:
    """The numbers of its capacitors, from left to right."""
    for _, number in with_depth(layout):
        yield number


def with_depth(layout: Layout, depth: int = 0) -> Iterator[tuple[int, int]]:
    """For each capacitor how many groups it lies in, and its number."""
    if isinstance(layout, MemberGroup):
        for member in layout.members:
            yield from with_depth(member, depth + 1)
    else:
        yield depth, layout


def _chain(*members: Layout) -> MemberGroup:
    return MemberGroup("series", members)


def _beside(*members: Layout) -> MemberGroup:
    return MemberGroup("parallel", members)


BALANCED: Final = "a balanced bridge"
UNBALANCED: Final = "an unbalanced bridge"

SHAPES: Mapping[str, Shape] = MappingProxyType({
    name: Shape(name, layout)
    for name, layout in (
        ("one capacitor", 1),
        ("a chain of two", _chain(1, 2)),
        ("a chain of three", _chain(1, 2, 3)),
        ("a chain of four", _chain(1, 2, 3, 4)),
        ("two side by side", _beside(1, 2)),
        ("three side by side", _beside(1, 2, 3)),
        ("four side by side", _beside(1, 2, 3, 4)),
        ("a parallel set in a chain", _chain(1, _beside(2, 3))),
        ("a parallel set of three in a chain", _chain(1, _beside(2, 3, 4))),
        ("a parallel set in a chain of three", _chain(1, _beside(2, 3), 4)),
        ("a chain in a parallel set", _beside(1, _chain(2, 3))),
        ("a chain of three in a parallel set", _beside(1, _chain(2, 3, 4))),
        ("two chains side by side", _beside(_chain(1, 2), _chain(3, 4))),
        ("two parallel sets in a chain", _chain(_beside(1, 2), _beside(3, 4))),
        ("a chain in a parallel set in a chain", _chain(1, _beside(2, _chain(3, 4)))),
        ("a parallel set in a chain in a parallel set", _beside(1, _chain(2, _beside(3, 4)))),
        ("three levels deeper", _chain(1, _beside(2, _chain(3, _beside(4, 5))))),
        (BALANCED, None),
        (UNBALANCED, None),
    )
})
TWO_LEVELS: Final = (
    "a chain in a parallel set in a chain", "a parallel set in a chain in a parallel set",
)
MIXED: Final = (
    "a parallel set in a chain", "a chain in a parallel set", "two chains side by side",
    "two parallel sets in a chain", *TWO_LEVELS,
)


def shape_named(full_name: str) -> Shape:
    """The shape of a full name. Errors: ``KeyError`` for a name that is none."""
    base, _, added = full_name.partition(" with ")
    return with_extras(SHAPES[base], added.split(" and ") if added else ())


def with_extras(shape: Shape, wanted: Collection[str]) -> Shape:
    """The shape with these pieces added, each once."""
    return shape._replace(extras=tuple(e for e in EXTRAS if e in wanted or e in shape.extras))
