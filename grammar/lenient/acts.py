"""What is done to a network later on: the supply taken away, a gap filled or changed.

Such a clause is known by what it is about, not by its wording: its own pieces become one EVENT,
and whatever else stands in it is left for the network.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.mentions import Event
from grammar.lenient.tokens import Chunk

_BREAKS: Final = ("COMMA", "AND", "THEN", "WHICH", "IF", "STOP", "QUERY", "COLON", "OPEN", "CLOSE")
# Words of such a clause that say nothing more once its act is known.
_SPENT: Final = frozenset(
    words(
        "JOIN IS THE A DET OF FROM TO OFF TAKEOUT DISCON SLAB FILL PERM PERMV GAPN PLATE "
        "PLATED AIR TAKE DOUBLE HALVE TRIPLE BETWEEN IN WITH BY THEIR TIMES FACTOR LEN THEN "
        "NEW MIDDLE EACH TOGETHER CHGN CAPN EQUAL SPACE INTO ON AT ACROSS EQ ABOUT OTHER "
        "APPLY POINT STAYS UNKNOWN SWITCHED SHORT PART"
    )
)
# Words of a question that only say when: what is the charge before and after it is put in?
_WHEN: Final = frozenset(words("THEN IF"))
_OF_A_WISH: Final = ("WISHV", "QUERY", "PD", "CHGN", "ENERGY", "CEQ", "CAPN", "FIELDN", "FORCEN")
_TELLING: Final = (*_OF_A_WISH, "ITEM", "VOLT", "CHG", "ENE", "SER", "PAR", "SYM", "LOST", "PLACE")
_OF_A_FILLING: Final = ("SLAB", "FILL", "PLATE", "GAPN", "AIR", "PERM", "PART")
_FACTORS: Mapping[str, str] = {"DOUBLE": "doubled", "HALVE": "halved", "TRIPLE": "tripled"}


class _Clause(NamedTuple):
    """Part of a row of pieces, from one break to the next."""

    pieces: tuple[Chunk, ...]

    def has(self, *tags: str) -> bool:
        return any(each.tag in tags for each in self.pieces)

    def first(self, *tags: str) -> Chunk | None:
        return next((each for each in self.pieces if each.tag in tags), None)


def with_acts(row: Sequence[Chunk]) -> list[Chunk]:
    """The row with every act an EVENT, where its clause stood."""
    asks = any(each.tag in ("WISHV", "QUERY") for each in row)
    found: list[Chunk] = []
    part = next((f" over {each.datum} of the gap" for each in row if each.tag == "PART"), "")
    for clause in _clauses(row):
        event = _act_of(clause)
        if event is not None and event.kind == "fill" and part:
            event = event._replace(text=f"{event.text}{part}")
        if event is None and asks and _only_says_when(clause):
            continue
        if event is None:
            found.extend(
                each._replace(tag="JOIN") if each.tag == "RESTORED" else each
                for each in clause.pieces
            )
            continue
        if event.kind in ("fill", "gap") and clause.has("DISCON"):  # an isolated capacitor
            off = clause.first("DISCON")
            assert off is not None, "it has one"
            found.append(Chunk("EVENT", off.text, off.start, Event("remove")))
        found.extend(_replaced(clause, event))
    if any(each.tag == "EVENT" and each.datum.kind in ("fill", "gap", "empty") for each in found):
        found = _without_how(found)
    return _in_order(_said_of_the_next(found))


def _only_says_when(clause: _Clause) -> bool:
    """``before and after the material is inserted``: a time, in which nothing new is told."""
    return clause.pieces[0].tag in _WHEN and not clause.has(*_TELLING)


def _without_how(row: list[Chunk]) -> list[Chunk]:
    """The row of a filling or a gap without the words that say how it came about."""
    tags = {each.tag for each in row}
    found = [each for each in row if each.tag not in _OF_A_FILLING]
    if tags & {"SER", "PAR", "SUPPLY"} or any(each.tag == "ITEM" for each in row):
        return found
    told = [each for each in found if each.tag not in ("JOIN", "UNKNOWN", "OPEN", "CLOSE")]
    event = next(i for i, each in enumerate(told) if each.tag == "EVENT")
    return [
        each
        for i, each in enumerate(told)
        if i < event or each.tag != "REF" or each.datum.kind != "them"
    ]


def _clauses(row: Sequence[Chunk]) -> Iterator[_Clause]:
    begun: list[Chunk] = []
    for piece in row:
        told_before = piece.tag == "DISCON" and any(e.tag in ("VOLT", "CHG") for e in begun)
        told_before |= piece.tag == "RESTORED" and any(e.tag == "DISCON" for e in begun)
        if told_before:
            yield _Clause(tuple(begun))
            begun = []
        goes_on = piece.tag == "THEN" and bool(begun) and begun[-1].tag == "IS"
        if piece.tag in _BREAKS and not goes_on and any(each.tag not in _BREAKS for each in begun):
            yield _Clause(tuple(begun))
            begun = []
        begun.append(piece)
    if begun:
        yield _Clause(tuple(begun))


def _act_of(clause: _Clause) -> Event | None:
    for read in _ACTS:
        event = read(clause)
        if event is not None:
            return event
    return None


def _replaced(clause: _Clause, event: Event) -> list[Chunk]:
    """The clause with its spent pieces gone and the event at its end."""
    text = " ".join(each.text for each in clause.pieces if each.tag not in _BREAKS)
    kept = [each for each in clause.pieces if each.tag not in _SPENT or each.tag in _BREAKS]
    if event.kind == "switched":
        event_first = Chunk("EVENT", text, clause.pieces[0].start, event)
        return [event_first, *(each for each in clause.pieces if each.tag != "SWITCHED")]
    if event.kind in ("remove", "put"):
        kept = [each for each in kept if each.tag not in ("SOURCE", "REF", "RESTORED")]
    if event.kind == "put":
        kept = [each for each in kept if each.tag != "VOLT"]
    last = clause.pieces[-1]
    return [*kept, Chunk("EVENT", text, last.start, event)]


def _said_of_the_next(row: list[Chunk]) -> list[Chunk]:
    """``oil is poured (k = 3) into one of them``: what is filled is named after it."""
    found = list(row)
    for at, event in enumerate(row):
        if event.tag != "EVENT" or event.datum.kind not in ("fill", "empty"):
            continue
        after = at + 1
        while after < len(row) and row[after].tag in _TOWARDS:
            after += 1
        whom = row[after] if after < len(row) else event
        if whom.tag == "ITEM" or (whom.tag == "REF" and whom.datum.kind == "some"):
            found[at : after + 1] = [*row[at + 1 : after + 1], event]
    return found


_TOWARDS: Final = ("OPEN", "CLOSE", "TO", "IN", "A", "THE")


def _in_order(row: list[Chunk]) -> list[Chunk]:
    """``the gap is doubled with the battery off``: what is off is off before."""
    for index, piece in enumerate(row):
        if piece.tag != "EVENT" or piece.datum.kind != "remove":
            continue
        earlier = [
            i for i in range(index) if row[i].tag == "EVENT" and row[i].datum.kind != "charge"
        ]
        told_later = any(each.tag == "THEN" for each in row[:index])
        if earlier and not told_later and row[earlier[0]].datum.kind in ("fill", "gap", "empty"):
            rest = [*row[:index], *row[index + 1 :]]
            return [*rest[: earlier[0]], piece, *rest[earlier[0] :]]
    return row


def _filled(clause: _Clause) -> Event | None:
    value = clause.first("PERMV")
    if value is None or clause.has("LEN", "AREA"):
        return None
    return Event("fill", str(value.datum))


def _emptied(clause: _Clause) -> Event | None:
    if clause.has("SLAB") and clause.has("TAKEOUT", "DISCON", "OFF") and not clause.has("PERMV"):
        return Event("empty")
    return None


def _spaced(clause: _Clause) -> Event | None:
    if not clause.has("GAPN", "PLATE"):
        return None
    for tag, text in _FACTORS.items():
        if clause.has(tag):
            return Event("gap", text)
    factor = clause.first("FACTOR")
    if factor is not None:
        return Event("gap", f"times {factor.datum}")
    length = clause.first("LEN")
    if length is not None and clause.has("TO") and not clause.has("AREA", "ITEM"):
        return Event("gap", f"to {length.datum}")
    return None


def _switched(clause: _Clause) -> Event | None:
    """A switch that moves takes what it feeds off the supply."""
    return Event("switched") if clause.has("SWITCHED") else None


def _removed(clause: _Clause) -> Event | None:
    if clause.has("SLAB", "PERMV", "GAPN") or clause.has("STAYS"):
        return None
    supply = clause.has("SOURCE")
    if clause.has("SER", "PAR"):
        return None
    if clause.has("WISHV") and clause.has("CHGN", "ENERGY", "PD"):
        return None  # how much charge it puts out
    gone = supply and clause.has("OFF") and not clause.has("VOLT")
    off = clause.has("DISCON", "TAKEOUT") or gone
    return Event("remove") if off else None


def _restored(clause: _Clause) -> Event | None:
    """``the battery is put back``: its p.d. where it is said."""
    if not clause.has("RESTORED") or not clause.has("SOURCE", "VOLT"):
        return None
    volts = clause.first("VOLT")
    return Event("put", "" if volts is None else str(volts.datum))


def _bridged(clause: _Clause) -> Event | None:
    """``C2 is shorted``, ``a wire goes round the middle one``."""
    short = clause.first("SHORT")
    if short is None or short.text.lower() == "short" or not clause.has("ITEM"):
        return None
    told = ("VOLT", "CHG", "SER", "PAR", "PLACE", "WISHV", "QUERY", "CHARGED", "EVENT")
    return None if clause.has(*told) else Event("bridge")


_ACTS: Final[tuple[Callable[[_Clause], Event | None], ...]] = (
    _restored,
    _emptied,
    _filled,
    _spaced,
    _removed,
    _switched,
    _bridged,
)
