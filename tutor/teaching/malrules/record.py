"""What a malrule is. Adding one is adding a record to one of the lists beside this file."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import NamedTuple, TypeAlias

from tutor.teaching.scene import Place, Scene

Numbers: TypeAlias = Callable[[Scene], Iterable[Fraction | None]]


class Malrule(NamedTuple):
    """A wrong rule that learners are known to use.

    ``name`` is for records, never for the screen; ``code`` its place in the catalogue; ``skill``
    what it belongs to. ``places`` are the questions where it can be met and ``numbers`` what it
    gives there, in the plain numbers of the scene; None where it does not apply.
    The three texts are filled from the scene (see ``fields`` in diagnosis.py): ``route`` says how
    the number may have come about ('adding 3 and 7'), ``cannot`` what cannot be on this network,
    ``ask`` the question that lets the learner find it. Malrules with one ``remedy`` share what
    helps, so that they need not be told apart. ``rank`` orders likely before rare.
    """

    name: str
    code: str
    skill: str
    places: tuple[Place, ...]
    numbers: Numbers
    route: str
    cannot: str
    ask: str
    remedy: str
    rank: int = 1
