"""A sentence carried out on the table: what is named, joined, supplied, done, wanted."""

from __future__ import annotations

from collections.abc import Sequence

from grammar.lenient.acts import with_acts
from grammar.lenient.concepts import words
from grammar.lenient.doing import BESIDE, done_beside
from grammar.lenient.happenings import with_happenings
from grammar.lenient.leftover import refuse_what_is_left
from grammar.lenient.mentions import HowTied
from grammar.lenient.parts import with_parts
from grammar.lenient.patterns import text_of
from grammar.lenient.placing import placed
from grammar.lenient.prose_bounds import Tries
from grammar.lenient.small_words import with_relations
from grammar.lenient.tabletop import (
    Knot,
    NoSense,
    Tabletop,
    Tied,
    flat,
    join,
    leaves,
    replaced,
    stands,
)
from grammar.lenient.tokens import Chunk
from grammar.lenient.tying import cheapest, joined
from grammar.lenient.wanted import Wants, wishes_of, with_wishes


def phrased(pieces: Sequence[Chunk]) -> list[Chunk]:
    """A sentence as a row of phrases."""
    return with_relations(with_happenings(with_acts(with_parts(pieces))))


def played(tables: Sequence[Tabletop], sentence: Sequence[Chunk], tries: Tries) -> list[Tabletop]:
    """Each way the tables can look after a sentence.

    Errors: ``NoSense`` where it makes sense on none of them.
    """
    phrases = _listed_in_order(phrased(sentence))
    if any(
        piece.tag in ("SER", "PAR", "SERWITH", "PARWITH", "JOINTO", "JOINED", "THEN")
        for piece in phrases
    ):
        phrases = [piece for piece in phrases if piece.tag != "JOINOF"]
    asks = any(p.tag in ("WISHV", "QUERY") for p in sentence)
    if not asks and all(piece.tag == "ITEM" for piece in phrases):
        phrases = [_as_a_new_one(piece) for piece in phrases]
    found: list[Tabletop] = []
    fault = NoSense()
    for table in tables:
        tries.count()
        if (filled := _values_for_names(phrases, table)) is not None:
            found.append(filled)
            continue
        row, wants = wishes_of(_without_it(phrases, table), asks, table)
        try:
            following = table._replace(sentence=table.sentence + 1)
            found.extend(_carried_out(following, row, wants, tries))
        except NoSense as misfit:
            fault = misfit if str(misfit) or not str(fault) else fault
    if not found and _skips(sentence):
        found = [_only_asked(table, phrases, sentence) if asks else table for table in tables]
    if not found:
        raise fault
    return cheapest(found)


def _only_asked(table: Tabletop, row: list[Chunk], sentence: Sequence[Chunk]) -> Tabletop:
    """The table with what a sentence asks that tells nothing; its words where that is not clear."""
    _, wants = wishes_of(row, True, table)
    if wants:
        return with_wishes(table, wants)
    return table._replace(unclear=(*table.unclear, text_of(sentence)))


def _as_a_new_one(piece: Chunk) -> Chunk:
    """A value that is a line by itself: one more capacitor, though one before is like it."""
    said = piece.datum
    is_plain = said.how == "" and not any(said.names)
    return piece._replace(datum=said._replace(how="new")) if is_plain else piece


def _values_for_names(row: Sequence[Chunk], table: Tabletop) -> Tabletop | None:
    """The table where a sentence is nothing but a value for each capacitor that has none yet."""
    if any(piece.tag not in ("ITEM", "COMMA", "AND") for piece in row):
        return None
    worths = [worth for p in row if p.tag == "ITEM" for worth in p.datum.worths]
    names = [name for p in row if p.tag == "ITEM" for name in p.datum.names if name]
    blanks = [index for index in table.blanks if table.caps[index].name]
    if names or not worths or len(worths) != len(blanks) or not all(worths):
        return None
    for worth, index in zip(worths, blanks, strict=True):
        table = table.with_cap(index, table.caps[index]._replace(worth=worth))
    return table


def _skips(sentence: Sequence[Chunk]) -> bool:
    """Whether a sentence that makes no sense may be passed by: it has no number, says nothing of
    how anything is joined, and names nothing that is beyond the program.
    """
    return not any(piece.tag in _TELLING for piece in sentence)


_TELLING = frozenset(
    words(
        "CAPV TOTAL VOLT CHG ENE NUM NUMS NAME SER PAR SERSIGN PARSIGN PERMV LEN AREA OHM HZ HENRY "
        "AMP SEC RESISTOR INDUCTOR ALTERNATING TIMING SEMI CURVED NOT LADDER BRIDGE CUBE STAR "
        "JUNK CROSSED LIKEPL JOIN NEXTTO DISCON FILL SLAB GAPN SHORT SWITCH"
    )
)


def _without_it(row: list[Chunk], table: Tabletop) -> list[Chunk]:
    """Before anything is on the table a first it points at nothing: it is given that."""
    first = next((p for p in row if p.tag in ("REF", "ITEM")), None)
    if table.caps or first is None or first.tag == "ITEM" or first.datum.kind != "them":
        return row
    return [piece for piece in row if piece is not first]


def _listed_in_order(row: list[Chunk]) -> list[Chunk]:
    """After ``in series:`` every then is a comma."""
    opened = [i for i, p in enumerate(row) if p.tag == "SEROF" and p.text.endswith(":")]
    if not opened:
        return row
    return [p for i, p in enumerate(row) if not (p.tag == "THEN" and i > opened[0])]


def _carried_out(table: Tabletop, row: list[Chunk], wants: Wants, tries: Tries) -> list[Tabletop]:
    refuse_what_is_left(row)
    tables = [table]
    for segment in _segments(row):
        following: list[Tabletop] = []
        for each in tables:
            following.extend(_segment(each, segment, tries))
        tables = following
        if not tables:
            raise NoSense
    return [with_wishes(each, wants) for each in tables]


def _segments(row: list[Chunk]) -> list[list[Chunk]]:
    """The row cut after every event and every tail of a branch, and before every head of one."""
    found: list[list[Chunk]] = [[]]
    for piece in row:
        before = found[-1][-1].tag if found[-1] else ""
        aside = piece.tag in ("SERWITH", "PARWITH") and before in ("COMMA", "AND", "THEN")
        in_a_branch = bool(found[-1]) and found[-1][0].tag in ("HEAD", "GROUPHEAD")
        if piece.tag in ("HEAD", "GROUPHEAD") or (aside and in_a_branch):
            found.append([])
        found[-1].append(piece)
        if piece.tag == "TAIL" or (piece.tag == "EVENT" and piece.datum.kind != "uncharged"):
            found.append([])
    return [each for each in found if each]


def _segment(table: Tabletop, segment: list[Chunk], tries: Tries) -> list[Tabletop]:
    beside = [piece for piece in segment if piece.tag in BESIDE]
    if segment[0].tag in ("HEAD", "GROUPHEAD") or segment[-1].tag == "TAIL":
        tables = _branch(table, segment, tries)
    elif any(piece.tag == "PLACE" for piece in segment):
        tables = placed(table, segment, tries)
    else:
        tables = joined(_after_branches(table, segment), segment, tries)
    for piece in beside:
        tables = [after for each in tables for after in done_beside(each, piece, segment)]
    return tables


# Branches


def _branch(table: Tabletop, segment: list[Chunk], tries: Tries) -> list[Tabletop]:
    """What is in one branch: in series, where it is not said how it is joined."""
    found = []
    before = set(table.roots)
    segment = [_stacked(piece) for piece in segment]
    for told in joined(table._replace(last=()), segment, tries):
        after = told
        trees = tuple(root for root in after.roots if root not in before)
        trees = trees or tuple(tree for tree in after.last if tree in after.roots)
        if not trees:
            raise NoSense
        if len(trees) > 1:
            way = _way_within(after, segment[0].tag == "GROUPHEAD")
            after = join(after, way or "series", trees)
            trees = after.last
        name = segment[0].datum if segment[0].tag in ("HEAD", "GROUPHEAD") else None
        if name:
            after = after._replace(named=(*after.named, (name, tuple(leaves(trees[0])))))
        if segment[0].tag == "GROUPHEAD" and segment[-1].tag != "TAIL":
            found.append(_kept_promise(after, trees[0]))
            continue
        taken = {each for each in after.branches if each in after.roots}
        branches = (*(each for each in after.branches if each in taken), trees[0])
        found.append(after._replace(branches=branches, last=trees))
    return found


def _way_within(table: Tabletop, is_one_group: bool) -> HowTied | None:
    """How what is in a group that was promised is joined, if the promise says so."""
    at = _promised(table)
    if at is None:
        return None
    return table.caps[at].way if is_one_group else table.caps[at].inside


def _stacked(piece: Chunk) -> Chunk:
    """Within a branch one over another stands in line with it."""
    over = piece.tag == "PARWITH" and piece.text.lower() in ("over", "above", "under", "below")
    return piece._replace(tag="SERWITH") if over else piece


def _after_branches(table: Tabletop, segment: list[Chunk]) -> Tabletop:
    """The branches told so far joined, before more is said of them."""
    if not any(p.tag in ("ITEM", "REF", "SER", "SERWITH", "PARWITH", "THEN") for p in segment):
        return table
    if any(p.tag == "REF" and p.datum.text in dict(table.named) for p in segment):
        return table._replace(branches=())
    if any(p.tag == "SER" for p in segment) and not any(p.tag == "ITEM" for p in segment):
        return table
    return with_branches_joined(table)


def with_branches_joined(table: Tabletop) -> Tabletop:
    """The table with its branches in parallel, or as the text promised, where it was promised."""
    branches = tuple(each for each in table.branches if each in table.roots)
    branches = branches or _listed_branches(table)
    table = table._replace(branches=())
    if not branches:
        return table
    promised = _promised(table)
    if len(branches) == 1 and promised is None:
        return table
    way = table.caps[promised].way if promised is not None else None
    whole: Knot = flat(way or "parallel", branches) if len(branches) > 1 else branches[0]
    if promised is None:
        return join(table, "parallel", branches)
    return _kept_promise(table, whole)


def _listed_branches(table: Tabletop) -> tuple[Knot, ...]:
    """``three branches: 1 uF, 2 uF and 3 uF``: one capacitor for each that was promised."""
    at = _promised(table)
    single = [i for i in table.roots if isinstance(i, int) and not table.caps[i].promised]
    if at is None or len(single) != table.caps[at].promised:
        return ()
    return tuple(single)


def _promised(table: Tabletop) -> int | None:
    """The first group whose parts have not been told yet."""
    return next((i for i, cap in enumerate(table.caps) if cap.promised and stands(table, i)), None)


def _kept_promise(table: Tabletop, tree: Knot) -> Tabletop:
    """The table with a group in the place that was kept for it.

    Errors: ``NoSense`` where none was.
    """
    at = _promised(table)
    if at is None:
        return table._replace(last=(tree,))
    gone = set(leaves(tree))
    roots = [replaced(root, at, tree) for root in table.roots if not gone & set(leaves(root))]
    groups = (*table.groups, tree) if isinstance(tree, Tied) else table.groups
    groups = tuple(g for g in (replaced(each, at, tree) for each in groups) if isinstance(g, Tied))
    return table._replace(roots=tuple(roots), last=(tree,), groups=groups)
