"""The story of a missing value: what follows from what is given, until it is found.

Data that cannot be are told at the place where that shows: a value that is not above zero, or one
that follows and is not the one given.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from grammar.records import Description, Dimension, Given, Refusal
from tutor.circuit.following import Fact, Move, Trail, follow
from tutor.circuit.missing import AGREES_WITHIN, Lack, find, has_missing, lack_of
from tutor.circuit.missing_back import put_back
from tutor.circuit.surds import near
from tutor.circuit.values import Value
from tutor.teaching.cautions import cautions
from tutor.teaching.reasons import points_in_words
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.equation import equation_asks
from tutor.teaching.staged.impossible import cannot_be, contradiction, nothing_fits
from tutor.teaching.staged.moves import Teller
from tutor.teaching.staged.story import Ask, Story

NO_FIT = "Look the values over once more, or give another one."


class _Case(NamedTuple):
    """One text: what is missing and wanted, and what follows from what is given."""

    lack: Lack
    wanted: tuple[Fact, ...]
    teller: Teller

    @property
    def trail(self) -> Trail:
        return self.teller.trail


def is_missing(description: Description) -> bool:
    """Whether a text leaves a value out and gives others in its place."""
    return has_missing(description)


def missing_story(description: Description, settings: Settings) -> Story:
    """Find what is missing. Errors: ``Refusal`` for data that leave it open, and for more than the
    text of one state: charged beforehand, or changed later.
    """
    if description.changes:
        raise Refusal(
            "A value is missing here, and something is done to the network later.",
            "Find the missing value first, and leave the changes out.",
        )
    lack = lack_of(description)
    case = _case(lack, _wanted(lack), settings)
    moves = case.trail.to(*case.wanted)
    fault = next((m for m in moves if m.value is not None and near(m.value) <= 0), None)
    if fault is None and not all(fact in case.trail.moves for fact in _missing(lack)):
        fault = _blocked(case.trail)
        if fault is None or _fits(lack):
            return _by_equation(case)
    if fault is not None:
        return _impossible(case, fault)
    return _found(case, moves)
