"""The one place before a statement is called wrong: what else it may say, what it may follow from.

A statement is wrong only where it is so in every reading that a fair examiner could give it. What
fits in none of them and may be said of something that is not known here is not read, which is no
fault.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from grammar.answers import Measure, evaluate
from grammar.expressions import names_in
from grammar.records import Dimension, Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.doubt import follows_for, given_the_doubt, with_mistaken
from tutor.teaching.marking.fitting import kind_of
from tutor.teaching.marking.following_equations import is_root
from tutor.teaching.marking.grading import Topic
from tutor.teaching.marking.problem_kind import (
    FoundIn,
    ProblemKind,
    S,
    carried_from,
    led_by_skipped,
)
from tutor.teaching.marking.statements import Said, is_named
from tutor.teaching.marking.true_in_numbers import as_turned
from tutor.teaching.marking.unknowns import all_sides
from tutor.teaching.staged.story import Valued

NOT_ASKED: Final = "This is not asked for as it is then, so no mark is for it."
LAW: Final = "That holds of any capacitor. Put the values of one in: a mark is for what they give."
THROWN_OUT: Final = "This root is below nought, so it is not the one that is sought."
_CAPACITOR: Final = re.compile(r"C_?(\d+)")
# Capacitances and p.d.s of two capacitors, so that what is true of both by letters is a law.
_OF_ANY: Final = ((3, 7), (5, 11))
_HELD: Final[Mapping[Dimension, str]] = MappingProxyType(
    {"charge": "Q", "voltage": "V", "energy": "E"}
)


def heard_out(
    by: ProblemKind[S, Topic],
    sheet: S,
    said: Said,
    judge: Callable[[S, Said], FoundIn[S, Topic]],
) -> FoundIn[S, Topic]:
    """What ``judge`` makes of a statement; where nothing good, of what else it may say, and where
    it is right or carried by one of the doubts, that.
    """
    first = _explained(by, sheet, said, judge)
    if all(each.verdict != "wrong" for each in first.grades):
        return first
    for reading in _readings(said):
        found = _explained(by, sheet, reading, judge)
        if found.is_good:
            return found
    elsewhere = _without_what_has_no_place(by, sheet, first, said)
    return _without_what_is_of_a_later_time(by, sheet, elsewhere, said)


def _explained(
    by: ProblemKind[S, Topic],
    sheet: S,
    said: Said,
    judge: Callable[[S, Said], FoundIn[S, Topic]],
) -> FoundIn[S, Topic]:
    """What is made of a statement in one reading, after all that may speak for it."""
    found = judge(sheet, said)
    if found.is_good:
        return found
    if is_law(said):
        return FoundIn(sheet, (), LAW)
    if (turned := _as_one_over(by, sheet, said, judge)) is not None:
        return turned

    def judge_or_hold(on: S, said: Said) -> FoundIn[S, Topic]:
        true = by.holds(on, said)
        return judge(on, said) if true is None else FoundIn(on, (true,))

    true = by.holds(sheet, said)
    if true is not None:
        return FoundIn(sheet, (true,))
    carried = carried_from(by, sheet, found, judge_or_hold, said)
    found = carried or given_the_doubt(by, sheet, found, said)
    if not found.is_good and (root := _other_root(by, sheet, found, said)) is not None:
        return root
    if not found.is_good:
        found = led_by_skipped(by, sheet, found, judge, said) or found
        found = found._replace(grades=tuple(by.excused(sheet, each) for each in found.grades))
    return found._replace(sheet=with_mistaken(found.sheet, found, said))


def is_law(said: Said) -> bool:
    """Whether a statement in letters alone holds of any capacitor: Q = CV, V = Q/C."""
    assert said.statement is not None
    sides = all_sides(said.names, said.statement.sides, said.statement.turned)
    names = set(names_in(*sides))
    if len(sides) < 2 or len(names) < 2 or not names <= {*"CVUQEW"}:
        return False
    for c, v in _OF_ANY:
        energy = Fraction(c * v * v, 2)
        worth: dict[str, Fraction | int] = {"C": c, "V": v, "U": v, "Q": c * v}
        worth |= {"E": energy, "W": energy}
        lookup = {name: Measure(Fraction(value), bare=True) for name, value in worth.items()}
        try:
            values = {evaluate(side, lookup).value for side in sides}
        except Refusal:
            return False
        if len(values) > 1:
            return False
    return True


def _as_one_over(
    by: ProblemKind[S, Topic],
    sheet: S,
    said: Said,
    judge: Callable[[S, Said], FoundIn[S, Topic]],
) -> FoundIn[S, Topic] | None:
    """A true sum of plain numbers as what it says of one over a capacitance, where it fits that."""
    assert said.statement is not None
    turned = as_turned(said.statement, bool(said.names))
    if turned is None:
        return None
    found, truth = judge(sheet, said._replace(statement=turned)), by.truth(sheet)
    kinds = {truth[g.quantity][1] for g in found.grades if g.quantity in truth}
    return found if found.is_good and kinds == {"capacitance"} else None


def _other_root(
    by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic], said: Said
) -> FoundIn[S, Topic] | None:
    """A value below nought that solves an equation of the pupil's, as the root that is thrown out:
    nothing is said of it beside a value that stands, before or after it.
    """
    grades = []
    above = sheet._replace(mistaken=sheet.equations)
    for each in found.grades:
        value = each.value
        if value is None or in_letters(value) or value >= 0 or not is_root(by, above, value, said):
            return None
        if each.quantity not in sheet.stated or each.quantity in sheet.wrong:
            grades.append(each._replace(guessed=True))
    return FoundIn(sheet, tuple(grades), THROWN_OUT) if found.grades else None


def _readings(said: Said) -> Iterator[Said]:
    """What else a statement may say: 80 nC, said of C2, is its charge."""
    assert said.statement is not None
    kind = kind_of(said.statement.sides[-1])
    held = _HELD.get(kind) if kind is not None else None
    named = [_CAPACITOR.fullmatch(name) for name in said.names]
    if held and named and all(named):
        yield said._replace(names=tuple(f"{held}{found[1]}" for found in named if found))


def _without_what_has_no_place(
    by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic], said: Said
) -> FoundIn[S, Topic]:
    """What was found without the guesses of what a value is of that is right for something."""
    assert said.statement is not None
    if is_named(said) or len(said.statement.sides) > 1:
        return found
    rights = by.right_values(sheet)
    sure = tuple(
        each
        for each in found.grades
        if not each.guessed or each.verdict != "wrong" or not _is_among(each.value, rights)
    )
    return found if sure == found.grades else FoundIn(sheet, sure, found.why)


def _without_what_is_of_a_later_time(
    by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic], said: Said
) -> FoundIn[S, Topic]:
    """What was found without values that are right, or follow, for the same thing at a later time
    than that which is asked about: they have no mark, and no fault.
    """
    kept = tuple(
        each
        for each in found.grades
        if each.verdict != "wrong"
        or each.is_certain
        or not any(
            follows_for(by, sheet, each, said, right)
            for right in by.at_later_times(sheet, each.quantity)
        )
    )
    return found if kept == found.grades else FoundIn(sheet, kept, found.why or NOT_ASKED)


def has_other_place(by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic]) -> bool:
    """Whether what is wrong under a name that stands before it is right for something else that is
    worked out here: 120 uC and 200 uC, of two capacitors in turn.
    """
    given = set(by.given(sheet))
    rights = [(value, kind) for value, kind in by.right_values(sheet) if value not in given]
    wrong = [each.value for each in found.grades if each.verdict == "wrong"]
    return bool(wrong) and all(_is_among(value, rights) for value in wrong)


def _is_among(value: Value | None, rights: Collection[Valued]) -> bool:
    """Whether it is one of some values, as far as rounding goes."""
    return (
        value is not None
        and not in_letters(value)
        and any(close(value, right) for right, _ in rights if right and not in_letters(right))
    )
