"""A question of practice as a record, and what its makers hand over."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import NamedTuple, TypeAlias

from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Story


class QuestionTask(NamedTuple):
    """One question to be told as a story; the same kind and seed give the same one.

    ``skills`` are codes of all that it asks for, the one it is most about first; ``network`` is
    the text of its network in the notation, empty where it has none.
    """

    kind: str
    seed: int
    skills: tuple[str, ...]
    network: str = ""


class Posed(NamedTuple):
    """What a maker draws: the text of the network, if there is one, and the story about it."""

    network: str
    story: Story


Poser: TypeAlias = Callable[[Random, Settings], Posed]
"""Draws and words one question. What is drawn must not depend on the settings."""


class Kind(NamedTuple):
    """A kind of question; ``words`` are other names by which a learner may ask for it."""

    name: str
    skills: tuple[str, ...]
    make: Poser
    words: tuple[str, ...] = ()
