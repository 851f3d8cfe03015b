"""Records of several machines brought together in one, without doubling anything.

A sitting has an id that no other has, so what is there already is known again: the same files may
be merged as often as one likes, in any order. A learner is known by name. Whoever gave no name is
named after the file.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from hashlib import sha256
from itertools import takewhile
from pathlib import Path
from typing import Final, NamedTuple

from grammar.records import Refusal
from tutor.learner.record import Record, open_copy
from tutor.learner.rows import SOMEONE, Exchange, KeptMessage, KeptTurn, Learner, Sitting, folded
from tutor.teaching.messages import Message

PLAIN_STEMS: Final = ("record", "platewalk")  # names of files that tell nothing of their learner


class Merged(NamedTuple):
    """What one file brought: ``learners`` are the names of those in it, ``turns`` the lines that
    were new. ``why`` is there where it could not be read.
    """

    path: Path
    learners: tuple[str, ...] = ()
    turns: int = 0
    why: Refusal | None = None


def merge(record: Record, paths: Sequence[Path], now: float) -> Iterator[Merged]:
    """Bring the records in these files into this one, each whole or not at all. A file that cannot
    be read stops none of the rest, and none of them is changed.

    Errors: ``Refusal`` where the record itself cannot be written.
    """
    for path in paths:
        try:
            source = open_copy(path, now)
        except Refusal as refusal:
            yield Merged(path, why=refusal)
            continue
        with source:
            found = [(learner, _sittings(source, learner)) for learner in source.learners()]
        names = []
        new = 0
        with record.at_once():
            for learner, sittings in found:
                named = learner._replace(name=_name(learner.name, path))
                here = record.take_in(named)
                names.append(here.name)
                new += sum(_brought(record, here, sitting, turns) for sitting, turns in sittings)
        yield Merged(path, tuple(names), new)


def _sittings(source: Record, learner: Learner) -> list[tuple[Sitting, tuple[KeptTurn, ...]]]:
    return [(each, tuple(source.kept(each.id))) for each in source.sittings(learner)]


def _name(name: str, path: Path) -> str:
    """The learner's name, or for someone without one that of the file or of its folder."""
    if folded(name) != SOMEONE:
        return name
    stem = path.stem if path.stem.lower() not in PLAIN_STEMS else path.absolute().parent.name
    return stem or name


def _brought(
    record: Record, learner: Learner, sitting: Sitting, turns: tuple[KeptTurn, ...]
) -> int:
    """Enter what is not there yet of one sitting; gives how many turns that were.

    Where a sitting was gone on with on two machines, what differs becomes one of its own.
    """
    while True:
        there = tuple(record.kept(sitting.id))
        same = len([*takewhile(lambda pair: _alike(*pair), zip(there, turns, strict=False))])
        if same == min(len(there), len(turns)):
            break
        turns = turns[same:]
        first = turns[0]
        mark = sha256(f"{sitting.id}\0{first.number}\0{first.at}\0{first.line}".encode())
        before = sitting.id if same else None
        sitting = sitting._replace(id=mark.hexdigest()[:32], began=first.at, continues=before)
    if sitting.continues is not None and record.sitting(sitting.continues) is None:
        sitting = sitting._replace(continues=None)  # deleted, or not kept when it was copied
    new = [(_as_exchange(turn), turn.at) for turn in turns[same:]]
    if new:
        entered = sitting._replace(learner=learner.id, since=record.latest_seen(learner))
        record.keep_all(entered, new)
    return len(new)


def _alike(one: KeptTurn, other: KeptTurn) -> bool:
    return (one.at, one.line, one.problem) == (other.at, other.line, other.problem)


def _as_exchange(turn: KeptTurn) -> Exchange:
    """A turn to be kept again. What it left in the middle is gone on with where it was begun, since
    only there is it known what the learner knew then.
    """
    return Exchange(turn.line, [_as_message(each) for each in turn.said], turn.problem)


def _as_message(said: KeptMessage) -> Message:
    return Message(
        said.kind, said.text, said.step, said.about, said.verdict,  # type: ignore[arg-type]
        malrules=said.malrules, seen=said.seen, marks=said.marks,
    )
