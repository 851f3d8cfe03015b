"""Which given value of a story a statement reads back."""

from __future__ import annotations

from grammar.answers import Measure, as_si
from grammar.expressions import Op
from grammar.measures import PURE
from grammar.records import Dimension
from tutor.teaching.judging import judge, point_moved
from tutor.teaching.marking.grading import Statement
from tutor.teaching.marking.restated import EXACTLY
from tutor.teaching.marking.stories.following import Link
from tutor.teaching.marking.stories.paper import Paper, capacitances_given, given_named
from tutor.teaching.marking.stories.story_fit import lookup
from tutor.teaching.marking.which_fits import last_worth
from tutor.teaching.staged.story import is_called


def of_the_only_one(paper: Paper) -> list[Link]:
    """The given capacitance of a problem with one capacitor."""
    return given_named(paper, "C1") if set(capacitances_given(paper)) == {"C1"} else []


def without_index(paper: Paper, name: str) -> str:
    """Q for Q1 where there is one capacitor, and questions have no such index."""
    is_of_one = name[1:2] == "1" and name[:1] in "QVE" and bool(of_the_only_one(paper))
    is_asked = any(is_called(ask, name.rstrip("'")) for ask in paper.asks)
    return f"{name[0]}{name[2:]}" if is_of_one and not is_asked else name


def is_in_figures(paper: Paper, link: Link, statement: Statement) -> bool:
    """Whether a value is a given one, or that with another prefix: 0.025 F for 25 µF."""
    measure = last_worth(statement, lookup(paper, statement, 0))
    if measure is None or judged_given(paper, link, measure):
        return measure is not None
    dimension = link.value[1]
    own = as_si(measure, dimension or PURE, paper.story.powers[dimension] if dimension else 0)
    shift = point_moved(own, link.value[0], EXACTLY)
    return shift is not None and abs(shift) >= 3  # of another prefix


def is_given_back(paper: Paper, link: Link, statement: Statement) -> bool:
    """Whether a statement comes to a given value, and does not begin with a sum of more."""
    first, last = statement.sides[0], statement.sides[-1]
    is_sum = isinstance(first, Op) and first.sign == "+"
    sides = (first, last) if is_sum else (last,)
    worth = lookup(paper, statement, 0)
    found = (last_worth(statement._replace(sides=(side,)), worth) for side in sides)
    return all(each is not None and judged_given(paper, link, each) for each in found)


def given_back(
    paper: Paper, statement: Statement, kind: Dimension, name: str = ""
) -> Link | None:
    """A given value of this kind that a statement reads back under a name of the pupil's own, first
    one of just this ``name``.
    """
    of_kind = (link for link in paper.given if link.value[1] == kind)
    links = sorted(of_kind, key=lambda link: link.name != name)
    return next((link for link in links if is_given_back(paper, link, statement)), None)


def is_in_text(paper: Paper, link: Link) -> bool:
    """Whether the text itself gives a value, rather than that it follows though nothing asks it."""
    return link in given_named(paper, link.name)


def may_be_of(paper: Paper, link: Link, name: str) -> bool:
    """Whether a value that follows may be that of a name: no other values of it are known of more
    times than one.
    """
    values = {each.value[0] for each in paper.given if each.name == name}
    return link.value[0] in values or len(values) < len(("before", "after"))


def judged_given(paper: Paper, link: Link, measure: Measure) -> bool:
    """Whether a given value is read back as it is."""
    value, dimension = link.value
    power = paper.story.powers[dimension] if dimension else 0
    return judge(measure, dimension or PURE, power, value).verdict == "right"
