"""How a statement fits the questions of a story that ask for a value."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import islice, product
from typing import Final

from grammar.answers import Measure, evaluate
from grammar.asking import QUANTITY
from grammar.expressions import Expression, names_in
from grammar.records import Refusal
from tutor.circuit.values import in_letters
from tutor.teaching.judging import RELATIVE_TOLERANCE
from tutor.teaching.marking.grading import NO_FIT, Statement, how_well, recognised
from tutor.teaching.marking.stories.following import unrounded
from tutor.teaching.marking.stories.paper import (
    Paper,
    given_named,
    measured,
    of_link,
    subject_at,
    worth,
)
from tutor.teaching.staged.measuring import letters_in
from tutor.teaching.staged.story import is_called

MOST_TRIED: Final = 24


def value_places(paper: Paper) -> list[int]:
    """The questions that ask for a value."""
    return [at for at, ask in enumerate(paper.asks) if ask.right is not None]


def open_places(paper: Paper) -> list[int]:
    """Questions without a value yet, or of which only a wrong guess stands."""
    return [at for at in value_places(paper) if at not in paper.stated or at in paper.doubtful]


def lookup(paper: Paper, statement: Statement, at: int) -> dict[str, Measure]:
    """What the names in a statement about a question are worth to this learner."""
    names = set(names_in(*statement.sides))
    return {name: found for name in names if (found := worth(paper, name, at)) is not None}


def otherwise(paper: Paper, statement: Statement) -> Iterator[dict[str, Measure]]:
    """What the names of a formula may be worth: each at some time or other, or as it is given."""
    meant = {name: _worths(paper, name) for name in dict.fromkeys(names_in(*statement.sides))}
    for chosen in islice(product(*meant.values()), MOST_TRIED):
        yield dict(zip(meant, chosen, strict=True))


def _worths(paper: Paper, name: str) -> list[Measure]:
    """By its name, and for a letter without a number by the kind of quantity that it stands for; a
    letter of the text is itself alone.
    """
    if (letter := letters_in(paper.story).get(name)) is not None:
        return [letter]
    kind = QUANTITY.get(name)
    places = [a for a in paper.own if is_called(paper.asks[a], name)]
    places += [a for a in paper.own if kind and paper.asks[a].dimension == kind]
    links = [*given_named(paper, name), *(g for g in paper.given if kind and g.value[1] == kind)]
    found = [measured(paper, at) for at in places] + [of_link(paper, link) for link in links]
    return list(dict.fromkeys(found))


def rank_of(paper: Paper, at: int, statement: Statement) -> int:
    """How well a statement fits a question, what is still to be rounded up left out."""
    known = lookup(paper, statement, at)
    try:
        statement = without_ratio(paper, at, statement, known)
    except Refusal:
        return NO_FIT
    return how_well(subject_at(paper, at).gauge, statement, known)


def is_recognised(paper: Paper, at: int, statement: Statement, by_method: bool = False) -> bool:
    """Whether a value that fits nothing is what a known slip gives for this question, or
    ``by_method`` what comes of the right way with another number.
    """
    found = recognised(subject_at(paper, at), statement, lookup(paper, statement, at))
    return found is not None and (bool(found.malrules) or (by_method and found.method))


# Counts that are rounded up: n = 100/63 = 1.59 = 2 is right, though its sides differ


def without_ratio(
    paper: Paper, at: int, statement: Statement, known: Mapping[str, Measure]
) -> Statement:
    """A statement without the sides that are still to be rounded up; it may have none left.

    Raises Refusal where a side cannot be worked out.
    """
    if all(path.way.then != "rounded up" for path in paper.paths[at]):
        return statement
    kept = tuple(side for side in statement.sides if not _is_ratio(paper, at, side, known))
    return statement._replace(sides=kept)


def is_counted(paper: Paper, at: int, statement: Statement) -> bool:
    """Whether a statement shows what it counts: a side still to be rounded, and then the count."""
    try:
        kept = without_ratio(paper, at, statement, {}).sides
    except Refusal:
        return False
    return 0 < len(kept) < len(statement.sides)


def _is_ratio(paper: Paper, at: int, side: Expression, known: Mapping[str, Measure]) -> bool:
    """Whether a side is what a way gives before it is rounded up."""
    found = evaluate(side, known).value
    for path in paper.paths[at]:
        ratio = unrounded(path, paper.values(path.links))
        if in_letters(found) or found.denominator == 1 or not isinstance(ratio, Fraction):
            continue  # a whole number is meant as the count
        if abs(found - ratio) <= RELATIVE_TOLERANCE * ratio:
            return True
    return False
