"""What phrases of groups come to: a tree, several trees, or what a statement says of the whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

from grammar.lenient.trees_in_signs import PartsJoined, PartTree, joined

OF_STOCK: Final = "*"  # a capacitor of which only the number is told
SIZES: Mapping[str, int] = {"pair": 2, "couple": 2, "duo": 2, "trio": 3}
ROWS: Final = ("chain", "string", "row", "line")
SIGNS: Final = ("--", "||")
SIDE_BY_SIDE: Final = ("branch", "branche", "arm", "path", "limb", "leg", "way", "route", "track")
PLACES: Final = ("top", "bottom", "middle", "left", "right")
ANY_ORDER: Final = -2  # one of them, the other


class Several(NamedTuple):
    """Capacitors or groups told side by side."""

    trees: tuple[PartTree, ...]


class JoinTold(NamedTuple):
    """How some are joined, and how many they are said to be, 0 where that is open."""

    sign: str
    many: int = 0


class PhraseSaid(NamedTuple):
    """What a statement does: ``kind``, and what with."""

    kind: str
    tree: Any = None
    sign: str = ""
    many: int = 0
    word: str = ""


def flattened(tree: PartTree) -> PartTree:
    """The tree with no group inside one that is joined in the same way."""
    if isinstance(tree, str):
        return tree
    parts: list[PartTree] = []
    for each in map(flattened, tree.parts):
        same = isinstance(each, PartsJoined) and each.sign == tree.sign
        parts += each.parts if same and isinstance(each, PartsJoined) else [each]
    return PartsJoined(tree.sign, tuple(parts))


def relabelled(tree: PartTree, mark: str) -> PartTree:
    """The same tree of other capacitors."""
    if isinstance(tree, str):
        return f"{tree}{mark}" if "#" in tree else f"{tree}#{mark}"
    return PartsJoined(tree.sign, tuple(relabelled(each, mark) for each in tree.parts))


def with_stock(tree: PartTree, amount: str) -> PartTree:
    """The tree with what each of so many is."""
    if isinstance(tree, str):
        worth, is_such = amount.split("#", maxsplit=1)[0], tree.split("#")[0] == OF_STOCK
        return f"{worth}#{tree[1:]}" if is_such else tree
    return PartsJoined(tree.sign, tuple(with_stock(each, amount) for each in tree.parts))


def of_branches(many: int, sign: str, word: str, fills: Sequence[PhraseSaid]) -> PartTree | None:
    """So many branches with what is in each; None where that does not fit."""
    sign = sign or ("||" if word in SIDE_BY_SIDE else "")
    order = [each.sign or each.many for each in fills]
    drawn = len({*order}) == len(order) and all(each in PLACES for each in order)
    in_order = drawn or order == list(range(len(order))) or ANY_ORDER in order
    trees = [inside_of(each.tree, each.word or word) for each in fills]
    told = [each for each in trees if each is not None]
    if not sign or not in_order or len(told) not in (0, many) or len(told) != len(fills):
        return None
    return joined(sign, told) if len(told) > 1 else None


def inside_of(trees: Sequence[PartTree], word: str) -> PartTree | None:
    """What is in a branch; in a row what is listed stands one after the other."""
    if len(trees) == 1:
        return trees[0]
    return joined("--", list(trees)) if word in (*ROWS, *SIDE_BY_SIDE) else None
