"""Questions about blocks of more than two points: as one capacitor, or by charge balance."""

from __future__ import annotations

from collections.abc import Iterator

from tutor.circuit.islands import Block
from tutor.circuit.switching import Switched
from tutor.teaching.staged.changing_balanced import balanced_asks
from tutor.teaching.staged.changing_reduced import as_one, reduced_asks
from tutor.teaching.staged.changing_scene import Scene
from tutor.teaching.staged.story import Ask


def mesh_asks(block: Block, outcome: Switched, scene: Scene) -> Iterator[Ask]:
    """The charge of each capacitor that has another one now, or its p.d. where only that has."""
    worked = as_one(block, outcome)
    if worked is not None:
        yield from reduced_asks(block, outcome, scene, worked)
    else:
        yield from balanced_asks(block, outcome, scene)
