"""What a story inside a walk has before it: a network, and the potentials to count with."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from tutor.circuit.network import Network
from tutor.circuit.values import Value
from tutor.teaching.speech import Speech
from tutor.teaching.staged.story import Ask, Story


class Stuck(NamedTuple):
    """A network in which nothing can be combined, or need not be.

    ``voltage`` is the p.d. between its ends that potentials are counted with: the supply's or,
    where none is given (``is_trial``), a trial one. ``charge`` is the total charge, if that is
    given. ``whole_known`` says that C has been found already, ``wanted`` names the capacitors
    whose charges lead to what the walk is for.
    """

    network: Network
    voltage: Value
    is_trial: bool = False
    charge: Value | None = None
    whole_known: bool = False
    wanted: frozenset[str] = frozenset()


def story_of_step(stuck: Stuck, asks: Iterable[Ask], speech: Speech, *opening: str) -> Story:
    """The story of one step; the walk it stands in says the closing words."""
    return Story("floating", opening, tuple(asks), (), speech.powers, network=stuck.network)
