"""Which question of a story a statement answers: by its name, its words, its value, or the next."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from grammar.expressions import Name, Num, parts_of
from grammar.records import Dimension
from tutor.teaching.marking.fitting import is_final, numbers_in
from tutor.teaching.marking.grading import BY_VALUE, Statement
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.stories.given_back import is_given_back, without_index
from tutor.teaching.marking.stories.names_meant import (
    COUNTS,
    StoryTarget,
    as_energy,
    best_among,
    kind_said,
    named_on,
    of_each_in_chain,
    used_without_filling,
)
from tutor.teaching.marking.stories.paper import Paper, given_named, number_in
from tutor.teaching.marking.stories.story_fit import (
    is_recognised,
    open_places,
    rank_of,
    value_places,
)
from tutor.teaching.marking.stories.story_words import BEFORE
from tutor.teaching.marking.true_in_numbers import holds
from tutor.teaching.marking.which_fits import best_fitting, next_due
from tutor.teaching.quantities import DIMENSION
from tutor.teaching.staged.story import is_called

_OF_ENERGY: Final = frozenset({"E_lost", "W_filling", "W"})


def resolve(paper: Paper, said: Said) -> Iterator[StoryTarget]:
    """What a statement is about; nothing where that cannot be told."""
    said = _of_the_whole(paper, said)
    assert said.statement is not None
    if said.names:
        for name in said.names:
            if (at := _just_before(paper, said)) is not None:
                yield StoryTarget(at)
                continue
            of_each = of_each_in_chain(paper, name, said)
            for at in of_each:
                yield StoryTarget(at)
            for at in used_without_filling(paper, name, said.statement):
                yield StoryTarget(at, used=True)
            if not of_each:
                meant = as_energy(paper, name, said.statement)
                is_of_before = said.label is not None and BEFORE in said.label.names
                again = None if is_of_before else _once_more_later(paper, meant, said.statement)
                yield again or named_on(paper, meant, said.statement)
        return
    label = said.label
    kind = DIMENSION[label.symbol] if label and label.symbol else None
    names = label.names if label else ()
    unit = kind_said(paper, said.statement)
    if _OF_ENERGY.intersection(names) and unit not in (None, "energy"):
        names, kind = (), unit  # 36 µF of the slab is no work on it
    is_unasked = False
    for name in ("E",) if names == ("sum",) and unit == "energy" else names:
        called = _by_label(kind, name)
        exact = [at for at in value_places(paper) if paper.asks[at].name == called]
        places = exact or [at for at in value_places(paper) if is_called(paper.asks[at], called)]
        if places and (name in COUNTS) <= _is_count(said.statement):
            yield best_among(paper, places, said.statement)
            return
        is_unasked = is_unasked or (called[1:].isdigit() and not places)
        held = given_named(paper, _by_label(kind or unit, name))
        back = [link for link in held if is_given_back(paper, link, said.statement)]
        if back and not places:
            yield StoryTarget(given=back[0])
            return
    kind = kind or unit
    if kind is None and said.of_each and (shared := _shared_out(paper, said.statement)) is not None:
        yield StoryTarget(shared)
        return
    several = _of_each_open(paper, said.statement, kind) if said.of_each and kind else []
    if several:
        yield from map(StoryTarget, several)
        return
    unnamed = _unnamed(paper, said.statement, kind)
    yield from (each for each in unnamed if not (is_unasked and each.guessed))


def _once_more_later(paper: Paper, name: str, statement: Statement) -> StoryTarget | None:
    """What a value is of that stands there already under its name, and is stated once more with
    nothing that leads to it: the time after a change, of which something has been stated by then,
    where a wrong idea gives that.
    """
    name = without_index(paper, name)
    called = [at for at in value_places(paper) if is_called(paper.asks[at], name)]
    first, *later = called or [0]
    if first not in paper.stated or not later or not isinstance(statement.sides[0], Num):
        return None
    changed = any(paper.asks[p].about == "shares" for p in range(first, paper.frontier - 1))
    is_again = changed and rank_of(paper, first, statement) <= BY_VALUE
    waiting = (at for at in later if at in open_places(paper))
    due = next(waiting, None) if is_again and len(statement.sides) == 1 else None
    meant = due is not None and is_recognised(paper, due, statement)
    return StoryTarget(due) if meant and rank_of(paper, due or 0, statement) > BY_VALUE else None


def _just_before(paper: Paper, said: Said) -> int | None:
    """What was stated last under just this name, where a statement fits that as well: the numbers
    after the formula, and what they come to.
    """
    before = paper.going_on
    if before is None or before.names != said.names or len(said.names) > 1 or not paper.stated:
        return None
    begun = before.statement.sides if before.statement else ()
    if not begun or is_final(begun[-1]):
        return None
    at = [*paper.stated][-1]
    assert said.statement is not None
    return at if rank_of(paper, at, said.statement) <= BY_VALUE else None


def _of_the_whole(paper: Paper, said: Said) -> Said:
    """What words say of the whole, under its name where that is asked for: the total charge."""
    symbol = said.label.symbol if said.label and said.label.whole and not said.names else None
    is_asked = any(paper.asks[at].name == symbol for at in open_places(paper))
    return said._replace(names=(symbol,)) if symbol and is_asked else said


def _of_each_open(paper: Paper, statement: Statement, kind: Dimension) -> list[int]:
    """The next values of a kind for single capacitors, where a value of each fits none that is
    open: 30 µC each.
    """
    of_kind = [at for at in open_places(paper) if paper.asks[at].dimension == kind]
    if any(rank_of(paper, at, statement) <= BY_VALUE for at in of_kind):
        return []
    ahead = [a for a in of_kind if a >= paper.frontier and number_in(paper.asks[a].name or "")]
    return ahead if len(ahead) > 1 else []


def _shared_out(paper: Paper, statement: Statement) -> int | None:
    """The next question of the kind of a stated value that is divided: 60/2 = 30 each."""
    numbers = {number.value for number in numbers_in(statement.sides[0])}
    kinds = {
        paper.asks[at].dimension
        for at, value in paper.stated.items()
        if value / Fraction(10) ** paper.power(at) in numbers
    }
    ahead = [at for at in open_places(paper) if paper.asks[at].dimension in kinds]
    return next((at for at in ahead if is_recognised(paper, at, statement)), None)


def _is_count(statement: Statement) -> bool:
    """Whether a statement is one whole number, or how it comes of plain ones."""
    side = statement.sides[-1]
    parts = [part for each in statement.sides for part in parts_of(each)]
    bare = not any(isinstance(part, Name) or getattr(part, "unit", None) for part in parts)
    return bare and isinstance(side, Num) and side.value.denominator == 1


def says_count(said: Said) -> bool:
    """Whether words beside a whole number say what it counts."""
    named = said.label is not None and bool(set(said.label.names) & COUNTS)
    return named and said.statement is not None and _is_count(said.statement)


def _by_label(kind: Dimension | None, name: str) -> str:
    """The name of a quantity of a capacitor: Q1 for the charge on C1; E_lost is one itself."""
    if not name.startswith("C") or name == "C":
        return name
    letter = {"charge": "Q", "voltage": "V", "energy": "E"}.get(kind or "capacitance", "")
    return f"{letter}{name[1:]}" if letter else name


def _unnamed(paper: Paper, statement: Statement, kind: Dimension | None) -> Iterator[StoryTarget]:
    """By the value; a number without a unit only for the next question or a plain number."""
    waiting = open_places(paper)
    if kind is not None:
        fitting = [at for at in waiting if paper.asks[at].dimension == kind]
    else:
        is_shown = len(statement.sides) > 1 and holds(statement)  # so that it is no number alone
        fitting = [
            at
            for at in waiting
            if at == min(waiting)
            or paper.asks[at].dimension is None
            or (is_shown and rank_of(paper, at, statement) == 0)
        ]
    best = best_fitting(fitting, lambda at: rank_of(paper, at, statement))
    if best is not None:
        yield StoryTarget(best)
        return
    again = [
        at
        for at in reversed(value_places(paper))
        if at in paper.stated and kind in (None, paper.asks[at].dimension)
    ]
    for at in again:
        if rank_of(paper, at, statement) <= BY_VALUE:
            yield StoryTarget(at)
            return
    ahead = [at for at in fitting if at >= paper.frontier] or fitting
    is_meant = kind is not None or (bool(ahead) and paper.asks[ahead[0]].dimension is None)
    guess = next_due(ahead, lambda at: is_recognised(paper, at, statement), is_meant)
    if guess is not None:
        yield StoryTarget(guess, guessed=True)

