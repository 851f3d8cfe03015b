"""Trees of parts joined by -- and ||, and how they are written."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias


class NotToldSo(Exception):
    """What is told does not fit together, or could be put together in two ways."""


class PartsJoined(NamedTuple):
    """Parts joined by one sign, -- or ||."""

    sign: str
    parts: tuple[PartTree, ...]


PartTree: TypeAlias = "str | PartsJoined"


def joined(sign: str, parts: Sequence[PartTree]) -> PartTree:
    """The parts joined; one part alone is itself."""
    return parts[0] if len(parts) == 1 else PartsJoined(sign, tuple(parts))


def in_signs(tree: PartTree) -> str:
    """The tree as a sentence in signs."""
    return f"{_written(tree)}."


def _written(tree: PartTree) -> str:
    if isinstance(tree, str):
        return tree
    parts = (
        f"({_written(each)})" if isinstance(each, PartsJoined) else each for each in tree.parts
    )
    return f" {tree.sign} ".join(parts)


def leaves_of(tree: PartTree) -> list[str]:
    """The values of a tree in order."""
    if isinstance(tree, str):
        return [tree]
    return [leaf for part in tree.parts for leaf in leaves_of(part)]


def with_part(tree: PartTree, old: PartTree, new: PartTree) -> PartTree:
    """The tree with one part put in place of another, where it first stands."""
    if tree == old:
        return new
    if isinstance(tree, str):
        return tree
    for at, part in enumerate(tree.parts):
        changed = with_part(part, old, new)
        if changed != part:
            return PartsJoined(tree.sign, (*tree.parts[:at], changed, *tree.parts[at + 1 :]))
    return tree


def in_one_order(tree: PartTree) -> str:
    """The same for all ways to write one network."""
    if isinstance(tree, str):
        return tree
    return f"({f' {tree.sign} '.join(sorted(map(in_one_order, tree.parts)))})"
