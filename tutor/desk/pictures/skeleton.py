"""Where the blocks of a skeleton lie: the column of each point, the row of each block.

Points are upright rails in the order of their potentials, blocks level lines between two rails.
Where the skeleton with the supply's own line is planar, no line crosses another: the rows are then
the longest ways through its faces from the top to the bottom (R. Tamassia and I. Tollis, 'A unified
approach to visibility representations of planar graphs', 1986; the method is given from memory,
and the tests look for crossings). Elsewhere rows are exchanged as long as crossings get fewer.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Final, NamedTuple, TypeAlias

from tutor.desk.pictures.clusters import Cluster, OneLine, columns_of, lines_in, rows_of

SUPPLY: Final = "\0supply"
MOST_SWEEPS: Final = 12
FEW: Final = 24  # bonds, up to which rows are exchanged until nothing is saved any more

Faces: TypeAlias = Mapping[str, tuple[int, int]]


class Seated(NamedTuple):
    """A block turned so that it runs from left to right, and its topmost row."""

    block: Cluster
    row: int


class Skeleton(NamedTuple):
    """``columns`` of the points and where the blocks are; ``crosses`` if some lines do cross."""

    columns: Mapping[str, int]
    seats: tuple[Seated, ...]
    crosses: bool = False


def skeleton_of(
    blocks: Sequence[Cluster], ends: tuple[str, str], levels: Mapping[str, float]
) -> Skeleton:
    """Where the blocks between these ends go; ``levels`` are potentials to order points by, empty
    where these are not to be told.
    """
    if len(blocks) == 1:
        block = blocks[0].seen_from(ends[0])
        return Skeleton({ends[0]: 0, ends[1]: columns_of(block.laid)}, (Seated(block, 0),))
    order = _order(blocks, ends, levels)
    blocks = _rightwards(blocks, order)
    faces = _faces(blocks, ends)
    if faces is None:
        return _crossing(blocks, ends, levels)
    return Skeleton(_columns(blocks, order), tuple(_seats(blocks, faces)))


def _rightwards(blocks: Sequence[Cluster], order: Sequence[str]) -> list[Cluster]:
    """The blocks, each turned so that it runs from the earlier of its points to the later."""
    place = {point: at for at, point in enumerate(order)}
    return [b if place[b.start] < place[b.end] else b.turned for b in blocks]


# Potentials


def _order(
    blocks: Sequence[Cluster], ends: tuple[str, str], levels: Mapping[str, float]
) -> list[str]:
    """The points from the + end to the − end, each inner one between neighbours on both sides.

    Without potentials, and among points of one, the order is as if all blocks were nearly alike,
    so that it tells of the shape alone.
    """
    points = dict.fromkeys(point for block in blocks for point in (block.start, block.end))
    alike = _levels(blocks, list(points), ends)
    if all(point in levels for point in points):
        found = sorted(points, key=lambda p: (p != ends[0], p == ends[1], -levels[p], -alike[p]))
        if _is_between(blocks, found, ends):
            return found
    return sorted(points, key=lambda p: (-alike[p], p != ends[0], p == ends[1]))


def _levels(
    blocks: Sequence[Cluster], points: list[str], ends: tuple[str, str]
) -> Mapping[str, float]:
    """The potentials for 1 V if all blocks were nearly alike, by elimination in floating point."""
    inner = [point for point in points if point not in ends]
    at = {point: row for row, point in enumerate(inner)}
    rows = [[0.0] * (len(inner) + 1) for _ in inner]
    for number, block in enumerate(blocks):
        weight = 1 + number / 97
        for here, there in ((block.start, block.end), (block.end, block.start)):
            if here in at:
                rows[at[here]][at[here]] += weight
                if there in at:
                    rows[at[here]][at[there]] -= weight
                elif there == ends[0]:
                    rows[at[here]][-1] += weight
    for k, row in enumerate(rows):
        for other in rows[k + 1 :]:
            share = other[k] / row[k]
            if share:
                other[k:] = [o - share * r for o, r in zip(other[k:], row[k:], strict=True)]
    levels = {ends[0]: 1.0, ends[1]: 0.0}
    for k in range(len(rows) - 1, -1, -1):
        known = sum(rows[k][j] * levels[inner[j]] for j in range(k + 1, len(inner)))
        levels[inner[k]] = (rows[k][-1] - known) / rows[k][k]
    return levels


def _is_between(blocks: Sequence[Cluster], order: list[str], ends: tuple[str, str]) -> bool:
    place = {point: at for at, point in enumerate(order)}
    before = {max(b.start, b.end, key=place.__getitem__) for b in blocks}
    after = {min(b.start, b.end, key=place.__getitem__) for b in blocks}
    return before == set(order) - {ends[0]} and after == set(order) - {ends[1]}


def _columns(blocks: Sequence[Cluster], order: Sequence[str]) -> Mapping[str, int]:
    """The longest way from the + end to each point."""
    columns = dict.fromkeys(order, 0)
    for point in order:
        for block in blocks:
            if block.start == point:
                far = columns[point] + columns_of(block.laid)
                columns[block.end] = max(columns[block.end], far)
    return columns


# Rows without crossings


def _faces(blocks: Sequence[Cluster], ends: tuple[str, str]) -> Faces | None:
    """The numbers of the faces above and below each block, and the supply's; None where the
    whole cannot lie flat.
    """
    import networkx

    graph = networkx.Graph()
    for at, block in enumerate(blocks):
        graph.add_edges_from(((("point", block.start), at), (at, ("point", block.end))))
    graph.add_edges_from(((("point", ends[0]), SUPPLY), (SUPPLY, ("point", ends[1]))))
    is_planar, embedding = networkx.check_planarity(graph)
    if not is_planar:
        return None
    face: dict[tuple[object, object], int] = {}
    for here, there in embedding.edges:
        if (here, there) not in face:
            stops = embedding.traverse_face(here, there)
            around = zip(stops, [*stops[1:], stops[0]], strict=True)
            face.update(dict.fromkeys(around, len(face)))
    found: dict[str, tuple[int, int]] = {}
    for at, block in enumerate(blocks):
        start = ("point", block.start)
        found[str(at)] = (face[at, start], face[start, at])
    found[SUPPLY] = (face[SUPPLY, ("point", ends[0])], face[("point", ends[0]), SUPPLY])
    return found


def _seats(blocks: Sequence[Cluster], faces: Faces) -> list[Seated]:
    """Rows by the longest way through the faces, the earlier blocks of the text nearer the top."""
    below, above = faces[SUPPLY]
    sides = [faces[str(at)] for at in range(len(blocks))]
    upright = _rows(blocks, sides, above)
    mirrored = _rows(blocks, [(low, high) for high, low in sides], below)
    rows = min(upright, mirrored, key=lambda rows: _disorder(blocks, rows))
    return [Seated(block, row) for block, row in zip(blocks, rows, strict=True)]


def _rows(
    blocks: Sequence[Cluster], sides: Sequence[tuple[int, int]], top: int
) -> list[int]:
    level: dict[int, int] = defaultdict(int)
    level[top] = 0
    for _ in blocks:  # as often as the longest way can be long
        settled = True
        for block, (high, low) in zip(blocks, sides, strict=True):
            deeper = level[high] + rows_of(block.laid)
            if deeper > level[low]:
                level[low] = deeper
                settled = False
        if settled:
            break
    return [level[high] for high, _ in sides]


def _disorder(blocks: Sequence[Cluster], rows: Sequence[int]) -> int:
    return -sum(row * block.rank for block, row in zip(blocks, rows, strict=True))


# Rows with as few crossings as are found


def _crossing(
    blocks: Sequence[Cluster], ends: tuple[str, str], levels: Mapping[str, float]
) -> Skeleton:
    """Every bond on a row of its own, exchanged as long as that saves crossings; then rows that
    can be one. Each point gets a column for itself where rails would lie on one another otherwise.
    """
    bonds = [line.bond for block in blocks for line in lines_in(block.laid)]
    singles = [
        Cluster(b.start, b.end, OneLine(b, False), b.rank) for b in bonds if b.kind != "tie"
    ]
    order = _order(singles, ends, levels)
    singles = _rightwards(singles, order)
    columns = _columns(singles, order)
    best = _best_order(singles, columns)
    if _cost(best, columns) >= (1,):
        columns = {point: at for at, point in enumerate(order)}
        best = _best_order(singles, columns)
    return Skeleton(columns, tuple(_packed(best, columns)), crosses=True)


def _best_order(blocks: Sequence[Cluster], columns: Mapping[str, int]) -> list[Cluster]:
    best = sorted(blocks, key=lambda block: block.rank)
    cost = _cost(best, columns)
    for _ in range(MOST_SWEEPS if len(best) <= FEW else 1):
        before = cost
        for block in list(best):
            others = [other for other in best if other is not block]
            tried = [[*others[:at], block, *others[at:]] for at in range(len(best))]
            costs = [_cost(each, columns) for each in tried]
            if min(costs) < cost:
                cost = min(costs)
                best = tried[costs.index(cost)]
        if cost == before:
            break
    return best


def _cost(order: Sequence[Cluster], columns: Mapping[str, int]) -> tuple[int, ...]:
    """How many rails lie on one another, how many are crossed, and how long they are."""
    reach = reaches(enumerate(order))
    crossed = sum(
        columns[block.start] < columns[point] < columns[block.end] and first < at < last
        for at, block in enumerate(order) for point, (first, last) in reach.items()
    )
    spans: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for point, span in reach.items():
        spans[columns[point]].append(span)
    overlaps = sum(
        two[0] <= one[1]
        for group in spans.values() for one, two in pairwise(sorted(group))
    )
    return overlaps, crossed, sum(last - first for first, last in reach.values())


def _packed(order: Sequence[Cluster], columns: Mapping[str, int]) -> list[Seated]:
    """Each block on the row of the one before it where nothing then touches what it should not."""
    rows = list(range(len(order)))
    for at in range(1, len(order)):
        tried = [row - (place >= at) for place, row in enumerate(rows)]
        if _is_clear(list(zip(tried, order, strict=True)), columns):
            rows = tried
    return [Seated(block, row) for row, block in zip(rows, order, strict=True)]


def _is_clear(seats: Sequence[tuple[int, Cluster]], columns: Mapping[str, int]) -> bool:
    """Whether no line runs along another or along a rail, nor through the end of one."""
    reach = reaches(seats)
    for row, block in seats:
        left, right = columns[block.start], columns[block.end]
        for point, (first, last) in reach.items():
            at = columns[point]
            if point in (block.start, block.end) or not first <= row <= last:
                continue
            if at in (left, right) or (left < at < right and row in (first, last)):
                return False
        for other_row, other in seats:
            if other_row == row and other is not block:
                gap = max(left, columns[other.start]) - min(right, columns[other.end])
                if gap < 0:
                    return False
    return True


def reaches(seats: Iterable[tuple[int, Cluster]]) -> Mapping[str, tuple[int, int]]:
    """The first and the last row that the rail of each point has to reach."""
    rows: dict[str, list[int]] = defaultdict(list)
    for row, block in seats:
        rows[block.start].append(row)
        rows[block.end].append(row)
    return {point: (min(found), max(found)) for point, found in rows.items()}
