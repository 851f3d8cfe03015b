"""Long counts taken in shards, each from a seed of its own.

The figures of a shard are one line of a file, written when it ends: a count that is stopped has
lost one shard, and is gone on with by the same command.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final, NamedTuple

FIGURES: Final = "--figures"
Figures = dict[str, Any]


class Shard(NamedTuple):
    """A part of a count: what is counted, and the seed."""

    what: str
    seed: int


def asked(usual: int) -> tuple[int, Path | None]:
    """How many, and the file of figures: ``[number] [--figures FILE]`` on the command line."""
    words = sys.argv[1:]
    kept = None
    if FIGURES in words:
        at = words.index(FIGURES)
        kept = Path(words[at + 1])
        del words[at : at + 2]
    return (int(words[0]) if words else usual), kept


def counted(
    shards: list[Shard], take: Callable[[Shard], Figures], kept: Path | None
) -> list[tuple[Shard, Figures]]:
    """The figures of all shards; those that stand in the file are not taken again."""
    known = dict(_known(kept))
    for shard in shards:
        if shard not in known:
            known[shard] = take(shard)
            if kept is not None:
                with kept.open("a", encoding="utf-8") as file:
                    file.write(json.dumps({**shard._asdict(), **known[shard]}) + "\n")
    return [(shard, known[shard]) for shard in shards]


def _known(kept: Path | None) -> Iterator[tuple[Shard, Figures]]:
    if kept is None or not kept.exists():
        return
    for line in kept.read_text(encoding="utf-8").splitlines():
        figures = json.loads(line)
        yield Shard(figures.pop("what"), figures.pop("seed")), figures
