"""What a sentence wants to know: which quantity, and of which capacitors."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final, TypeAlias

from grammar.asking import QUANTITY
from grammar.lenient.bracketing import JOINTS
from grammar.lenient.concepts import words
from grammar.lenient.mentions import Mention, Ref
from grammar.lenient.tabletop import Knot, NoSense, Tabletop, Tied, leaves, shares
from grammar.lenient.tokens import OF_ALL, Chunk
from grammar.lenient.tying import in_a_phrase

Wants: TypeAlias = "list[tuple[str, list[Chunk]]]"
_QUANTITIES: Mapping[str, str] = {
    "CAPN": "capacitance",
    "CHGN": "charge",
    "PD": "voltage",
    "ENERGY": "energy",
    "CEQ": "total",
    "LC": "total",
    "LQ": "charge",
    "LV": "voltage",
    "LU": "voltage",
    "FIELDN": "field",
    "FORCEN": "force",
}
_HELD: Final = ("CHGN", "PD", "ENERGY")
_BEFORE_WHOSE: Final = words(
    "OF ON ACROSS IN BY HOLD BETWEEN THE FOR PLATE TERMINAL CAPN PARWITH AT IS PD CEQ JOIN JOINTO "
    "WISHV"
)


def wishes_of(row: Sequence[Chunk], asks: bool, table: Tabletop) -> tuple[list[Chunk], Wants]:
    """The row without what is wanted, and that."""
    wants: Wants = []
    kept: list[Chunk] = []
    index = 0
    while index < len(row):
        piece = row[index]
        if piece.tag == "SYM" and asks:
            wants.append((QUANTITY[piece.datum[0]], _of_symbol(piece)))
            index += 1
            continue
        quantity, start = _QUANTITIES.get(piece.tag) if asks else None, index
        if quantity is None:
            kept.append(piece)
            index += 1
            continue
        if quantity == "voltage" and (there := _between_points(row, index + 1, table)) is not None:
            index, target = there
        else:
            index, target = _whose(row, index + 1)
        kept += [each for each in target if _is_news(each, table)]
        if wants and wants[-1] == ("total", []) and piece.tag == "CAPN":
            continue  # total capacitance
        held = index < len(row) and (row[index].tag in _HELD or _is_sign_of_one(row[index]))
        if piece.tag == "CEQ" and held:
            continue  # total charge
        if piece.tag != "CEQ" or target or not wants:
            if target and _is_of_the_next(row[:start], wants):
                wants[-1] = wants[-1][0], target
            wants.append((quantity, target))
    return _with_losses(kept, wants) if asks else (kept, wants)


def _is_of_the_next(before: Sequence[Chunk], wants: Wants) -> bool:
    """``the charge and the energy of C1``: what was wanted last is of the same as what follows."""
    said = [each.tag for each in before if each.tag != "THE"][-3:]
    is_lone = bool(wants) and not wants[-1][1] and wants[-1][0] in ("charge", "voltage", "energy")
    return is_lone and said[-1:] == ["AND"] and said[-2] in _HELD and said[0] != "CEQ"


def _between_points(
    row: Sequence[Chunk], index: int, table: Tabletop
) -> tuple[int, list[Chunk]] | None:
    """A p.d. wanted between two points is that of what stands there; of the whole between its ends.

    Errors: ``NoSense`` where the whole has other ends, and nothing stands there.
    """
    piece = row[index] if index < len(row) else None
    if piece is None or piece.tag != "PLACE" or not table.ends:
        return None
    points = set(piece.datum)
    if points == set(table.ends):
        return None
    there = [tree for tree, pair in table.places if set(pair) == points]
    there += [m for t in there if isinstance(t, Tied) and t.way == "parallel" for m in t.members]
    alone = next((table.caps[tree] for tree in there if isinstance(tree, int)), None)
    if alone is None:
        raise NoSense(
            f'"{piece.text}" is not between the ends of one capacitor.',
            "Ask for the p.d. across a capacitor by its name.",
        )
    said = Mention((alone.worth,), (alone.name,))
    return index + 1, [piece._replace(tag="ITEM", datum=said)]


def _with_losses(row: list[Chunk], wants: Wants) -> tuple[list[Chunk], Wants]:
    """Energy that is lost, or heat, is what is wanted where a question speaks of it."""
    lost = [piece for piece in row if piece.tag == "LOST"]
    quantities = {quantity for quantity, _ in wants}
    if not lost or ("charge" in quantities and "energy" not in quantities):
        return row, wants
    of_heat = [each for each in wants if each[0] != "energy"] + [("heat", [])]
    return [piece for piece in row if piece not in lost], of_heat


def _of_symbol(piece: Chunk) -> list[Chunk]:
    _, of = piece.datum
    if of in OF_ALL:
        return []
    return [Chunk("ITEM", piece.text, piece.start, Mention(("",), (f"C{of}",)))]


def _is_news(piece: Chunk, table: Tabletop) -> bool:
    """Whether a wish speaks of a capacitor that is not on the table: it is then described so."""
    if piece.tag != "ITEM":
        return False
    known = {cap.worth for cap in table.caps}
    return any(worth and worth not in known for worth in piece.datum.worths)


def _whose(row: Sequence[Chunk], index: int) -> tuple[int, list[Chunk]]:
    """What a quantity is wanted of, and where the row goes on."""
    target: list[Chunk] = []
    while index < len(row) and row[index].tag in _BEFORE_WHOSE:
        index += 1
    at = index
    while at < len(row) and (
        row[at].tag in ("ITEM", "REF", "AND", "COMMA")
        or (row[at].tag in ("PARWITH", "ACROSS", "ON") and row[at - 1].tag == "AND")
    ):
        if row[at].tag in ("ITEM", "REF"):
            target.append(row[at])
        at += 1
    if not target:
        return index, []
    new = any(p.tag == "ITEM" and any(p.datum.worths) and p.datum.how != "old" for p in target)
    joined_after = at < len(row) and row[at].tag in JOINTS
    joined_after = joined_after and not all(p.tag == "ITEM" and p.datum.ordinal for p in target)
    if joined_after or (new and any(p.tag in JOINTS for p in row[at:])):
        each = [p for p in target if p.tag == "REF" and p.datum.kind == "each"]
        return (index, []) if not each else (index + 1, each)
    return at, target


def _as_named(mention: Mention, table: Tabletop) -> Mention:
    """V_2 is of C_2 where the text writes its names so; C2 is the second where it has no names."""
    known = {cap.name for cap in table.caps}
    low = tuple(f"C_{name[1:]}" for name in mention.names)
    if known.issuperset(low):
        return mention._replace(names=low)
    numbered = re.fullmatch("C([1-9])", mention.names[0])
    if known == {""} and numbered and not mention.worths[0] and len(mention.names) == 1:
        return mention._replace(names=("",), ordinal=int(numbered[1]))
    return mention


def with_wishes(table: Tabletop, wants: Wants) -> Tabletop:
    """The table with what is wanted; what is not clear yet waits until the text is over."""
    spoken = table
    for quantity, targets in wants:
        whom: list[int] = []
        unclear: list[tuple[str, Chunk]] = []
        for target in targets:
            spoken, found = _whom(spoken, quantity, target)
            unclear += [(quantity, target)] if found is None else []
            whom += found or ()
        if len(unclear) < len(targets) or not targets:
            wish = quantity, tuple(dict.fromkeys(whom))
            table = table._replace(wishes=(*table.wishes, wish))
        table = table._replace(waiting=(*table.waiting, *unclear))
    return table


def with_waiting_wishes(table: Tabletop) -> Tabletop:
    """The table at the end of its text. What is wanted of nobody who can be found is left out, and
    its words are kept to be told.

    Errors: ``NoSense`` for a capacitor that is not there.
    """
    for quantity, target in table.waiting if table.caps else ():
        _, whom = _whom(table, quantity, target)
        if whom is not None:
            table = table._replace(wishes=(*table.wishes, (quantity, whom)))
        elif isinstance(target.datum, Mention) and not target.datum.ordinal:
            raise NoSense(
                f'There is no "{target.text}" in the network.', "Ask for one that is there."
            )
        else:
            table = table._replace(unclear=(*table.unclear, target.text))
    return table._replace(waiting=())


def _whom(table: Tabletop, quantity: str, target: Chunk) -> tuple[Tabletop, tuple[int, ...] | None]:
    """The table with what was spoken of, and whose quantity is wanted: nobody's by name for the
    whole, None where that is not clear.
    """
    said = target.datum
    if isinstance(said, Ref) and _is_of_the_whole(said, quantity):
        return table, ()
    if isinstance(said, Mention):
        target = target._replace(datum=_as_named(said, table)._replace(how="old"))
    try:
        after, trees = in_a_phrase(table, target)[0] if table.caps else (table, ())
    except NoSense:
        return table, None
    if not trees or len(after.caps) > len(table.caps):
        return table, None
    as_group = isinstance(said, Ref) and said.kind in ("group", "them")
    whom = [of_a_group(table, quantity, each) if as_group else leaves(each) for each in trees]
    return after, tuple(dict.fromkeys(leaf for each in whom for leaf in each))


def _is_sign_of_one(piece: Chunk) -> bool:
    """Q, V or E by itself."""
    return piece.tag in ("LQ", "LV", "LU") or (piece.tag == "SYM" and not piece.datum[1])


def _is_of_the_whole(said: Ref, quantity: str) -> bool:
    """The energy of all is what they hold together."""
    return said.kind in ("whole", "promise") or (said.kind == "all" and quantity == "energy")


def of_a_group(table: Tabletop, quantity: str, tree: Knot) -> list[int]:
    """Whose quantity that of a group is: nobody's by name for the whole, and one of its members'
    where these share it.
    """
    inside = leaves(tree)
    if isinstance(tree, int):
        return inside
    if len(inside) == len(table.caps):
        return []
    return inside[:1] if shares(quantity, tree) and tree.members[0] == inside[0] else inside
