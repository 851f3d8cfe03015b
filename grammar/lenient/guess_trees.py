"""All ways to put some parts together in series and in parallel, and which claims each honours.

Parts are sets of capacitors, written as bits; a way to put them together is a tree whose knots are
in turn in series and in parallel.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations
from typing import Final, NamedTuple, TypeAlias

from grammar.lenient.guess_records import PARALLEL, SERIES

ALL_ORDERS: Final = 5  # parts up to which every order is tried
MOST_PARTS: Final = 7  # parts that are put together at all

GuessTree: TypeAlias = "int | GuessKnot"


class GuessKnot(NamedTuple):
    """Parts joined in one way; ``mask`` is all that is in them."""

    way: str
    members: tuple[GuessTree, ...]
    mask: int


class JoinClaim(NamedTuple):
    """What some words say: that these operands are joined in one way, or one of others is so.

    Each choice is how much it is worth, and operands, each so many capacitors; ``loosely`` is what
    is left of that where one of whom it is said stands in a larger part.
    """

    way: str
    choices: tuple[tuple[float, tuple[int, ...]], ...]
    text: str = ""
    loosely: float = 0.4


def trees_over(parts: Sequence[int]) -> list[GuessTree]:
    """All trees over the parts; of many parts only those in their order."""
    if len(parts) > MOST_PARTS:
        return []
    whole = tuple(parts)
    if len(whole) == 1:
        return list(_inside(whole[0]))
    in_order = len(whole) > ALL_ORDERS
    return [*_knots(whole, SERIES, in_order), *_knots(whole, PARALLEL, in_order)]


@lru_cache(maxsize=64)  # pure
def _inside(part: int) -> tuple[GuessTree, ...]:
    """One part: several capacitors told at once stand in series or in parallel."""
    bits = tuple(bits_of(part))
    if len(bits) == 1:
        return bits
    return tuple(GuessKnot(way, bits, part) for way in (SERIES, PARALLEL))


@lru_cache(maxsize=512)  # pure; many trees have the same parts
def _knots(parts: tuple[int, ...], way: str, in_order: bool) -> tuple[GuessTree, ...]:
    """The trees over two or more parts whose outermost knot is of one way."""
    other = PARALLEL if way == SERIES else SERIES
    found: dict[GuessTree, None] = {}
    for groups in _rows(parts) if in_order else _any_groups(parts):
        if len(groups) == 1:
            continue
        for members in _products([_members(each, other, way, in_order) for each in groups]):
            found[GuessKnot(way, members, sum(mask_of(each) for each in members))] = None
    return tuple(found)


def _members(
    parts: tuple[int, ...], inner: str, outer: str, in_order: bool
) -> list[tuple[GuessTree, ...]]:
    """What a group of parts can be as members of an outer knot."""
    if len(parts) > 1:
        return [(each,) for each in _knots(parts, inner, in_order)]
    found = []
    for each in _inside(parts[0]):
        is_flat = isinstance(each, GuessKnot) and each.way == outer
        found.append(each.members if isinstance(each, GuessKnot) and is_flat else (each,))
    return found


def _rows(parts: tuple[int, ...]) -> Iterator[tuple[tuple[int, ...], ...]]:
    if not parts:
        yield ()
    for size in range(1, len(parts) + 1):
        for rest in _rows(parts[size:]):
            yield (parts[:size], *rest)


def _any_groups(parts: tuple[int, ...]) -> Iterator[tuple[tuple[int, ...], ...]]:
    if not parts:
        yield ()
        return
    first, others = parts[0], parts[1:]
    for size in range(len(others) + 1):
        for picked in combinations(others, size):
            left = tuple(each for each in others if each not in picked)
            for rest in _any_groups(left):
                yield ((first, *picked), *rest)


def _products(choices: list[list[tuple[GuessTree, ...]]]) -> Iterator[tuple[GuessTree, ...]]:
    if not choices:
        yield ()
        return
    for head in choices[0]:
        for rest in _products(choices[1:]):
            yield (*head, *rest)


def bits_of(mask: int) -> Iterator[int]:
    """The capacitors of a mask, each as a mask."""
    while mask:
        yield mask & -mask
        mask &= mask - 1


def mask_of(tree: GuessTree) -> int:
    """All that is in a tree."""
    return tree if isinstance(tree, int) else tree.mask


def knots_of(tree: GuessTree) -> Iterator[GuessKnot]:
    """All knots of a tree, the outermost first."""
    if isinstance(tree, GuessKnot):
        yield tree
        for each in tree.members:
            yield from knots_of(each)


def worth_of(tree: GuessTree, claims: Sequence[JoinClaim]) -> float | None:
    """How well a tree honours all claims; None where it breaks one, or has a knot that nothing
    claims.
    """
    knots = tuple(knots_of(tree))
    worth = 0.0
    said: list[list[int]] = [[] for _ in knots]
    for claim in claims:
        honoured = _honoured(knots, claim)
        if honoured is None:
            return None
        worth += honoured.worth
        said[honoured.at].append(honoured.mask)
    all_said = all(_holds_together(knot, masks) for knot, masks in zip(knots, said, strict=True))
    return worth if all_said else None


def _holds_together(knot: GuessKnot, masks: Sequence[int]) -> bool:
    """Whether what is said of the members of a knot leads from each to every other."""
    reached = mask_of(knot.members[0])
    for _ in knot.members:
        for mask in masks:
            if mask & reached:
                reached |= mask
        for member in knot.members:
            if mask_of(member) & reached:
                reached |= mask_of(member)
    return reached & knot.mask == knot.mask


class _Honoured(NamedTuple):
    worth: float
    at: int
    mask: int


def _honoured(knots: Sequence[GuessKnot], claim: JoinClaim) -> _Honoured | None:
    """How a tree honours a claim, at which knot, and of whom it is said there."""
    best: _Honoured | None = None
    for said, operands in claim.choices:
        worth, at = said, _joining(knots, claim.way, operands)
        if at is None and all(each.bit_count() == 1 for each in operands):
            worth, at = said * claim.loosely, _leading(knots, claim.way, operands)
        if at is not None and (best is None or worth > best.worth):
            best = _Honoured(worth, at, _last_members(knots[at], operands))
    return best


def _leading(knots: Sequence[GuessKnot], way: str, operands: Sequence[int]) -> int | None:
    """The innermost knot over all of these, where it is of this way and parts them all."""
    whole = sum({*operands})
    at = [i for i, knot in enumerate(knots) if knot.mask & whole == whole][-1]
    apart = sum(bool(mask_of(each) & whole) for each in knots[at].members)
    return at if knots[at].way == way and apart == len(operands) else None


def _last_members(knot: GuessKnot, operands: Sequence[int]) -> int:
    """One member of a knot for each operand: what else is in it must be told by other words."""
    found = 0
    for each in operands:
        found |= [mask_of(e) for e in knot.members if mask_of(e) & each][-1]
    return found


def _joining(knots: Sequence[GuessKnot], way: str, operands: Sequence[int]) -> int | None:
    """The knot that joins the operands in this way, each a whole member of it or several."""
    whole = 0
    for each in operands:
        whole |= each
    held = [i for i, knot in enumerate(knots) if knot.mask & whole == whole]
    if not held or knots[held[-1]].way != way:
        return None
    at = held[-1]  # the innermost, since an outer knot stands before its members
    for each in operands:
        for member in knots[at].members:
            common = mask_of(member) & each
            if common and common != mask_of(member):
                return None
    return at
