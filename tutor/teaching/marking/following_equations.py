"""What follows from a wrong statement of the pupil's that stands above: the root of an equation,
what an unfinished way comes to, a fraction turned over.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product
from typing import Final

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression, Name, Num, Op, names_in, parts_of, rewritten
from grammar.records import Dimension, Refusal
from tutor.circuit.values import Value, in_letters, tidy
from tutor.teaching.marking.fitting import NEAR, ROUGHLY, is_near, kind_of, numbers_in, usual_unit
from tutor.teaching.marking.grading import Topic
from tutor.teaching.marking.letter_equations import holds_at, roots
from tutor.teaching.marking.problem_kind import ProblemKind, ReadSoFar, S
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.true_in_numbers import holds
from tutor.teaching.marking.unknowns import all_sides, equal_in_usual_units, plain, without_units
from tutor.teaching.marking.which_fits import last_worth

ROUND: Final = (
    "A value above was worked out from this one, so this cannot follow from that one. What leads "
    "to it?"
)


def led_on(
    sheet: ReadSoFar, said: Said, kind: Dimension, stated: Collection[Fraction]
) -> bool:
    """Whether a wrong value before that has a name was worked out from the value stated here; a
    sum is worked out from what is of its own ``kind``, and a number that is ``stated`` above as
    another value may be that one.
    """
    assert said.statement is not None
    *ways, last = said.statement.sides
    if ways or not isinstance(last, Num) or last.value in stated:
        return False
    return any(
        number.value == last.value
        for before in sheet.mistaken
        if before.statement and before.names
        if not {*before.names} & {*names_in(*before.statement.sides)}  # else it is an equation
        for side in before.statement.sides
        if isinstance(side, Op)
        if side.sign in "*/" or kind_of(before.statement.sides[-1]) in (None, kind)
        for number in numbers_in(side)
    )


def worth_of(side: Expression, lookup: Mapping[str, Measure]) -> Fraction | None:
    """What a side comes to, None where that cannot be worked out or is in letters."""
    try:
        value = evaluate(side, lookup).value
    except Refusal:
        return None
    return None if in_letters(value) else Fraction(value)


def is_of_begun(by: ProblemKind[S, Topic], sheet: S, own: Value, said: Said) -> bool:
    """Whether it is what a wrong way under the same name, left unfinished before, comes to."""
    assert said.statement is not None
    before = next((each for each in reversed(sheet.mistaken) if each.names == said.names), None)
    if before is None or before.statement is None or len(said.statement.sides) > 1:
        return False
    last = before.statement.sides[-1]
    is_of_way = isinstance(last, Op) and not before.statement.turned and not said.statement.turned
    powers = by.powers(sheet)
    worth = {name: plain(each) for name, each in by.worth(sheet, (last,)).items()}
    value = worth_of(without_units(last, powers), worth) if is_of_way else None
    return value is not None and is_near(value, own)


def is_root(by: ProblemKind[S, Topic], sheet: S, value: Value, said: Said) -> bool:
    """Whether a value makes an equation of the pupil's true that came before, and not any value
    does.
    """
    assert said.statement is not None
    powers = by.powers(sheet)
    if said.statement.turned:
        return False
    for name in said.names:
        for before in sheet.mistaken:
            assert before.statement is not None
            sides = all_sides(before.names, before.statement.sides, before.statement.turned)
            one = by.worth(sheet, [Name(name)]).get(name)
            if one is None and (one := _of_value(by, sheet, said)) is not None and one.bare:
                value = one.value  # of a letter without a unit, as it stands
            if one and _with_the_rest(by, sheet, (name, one._replace(value=value)), before):
                return True
            usual = None if in_letters(value) or one is None else plain(one._replace(value=value))
            if usual and any(
                each == name and is_near(usual.value, root, _rounding(said))
                for each, solved in _roots_by_rest(by, sheet, sides)
                for root in solved
            ):
                return True
            within = names_in(*before.statement.sides)
            is_value = before.names[:1] == (name,) and name not in within
            if is_value and not before.statement.turned:
                continue  # a value of it, and no equation
            written = set(names_in(*sides))
            worth = by.worth(sheet, sides)
            if name not in written or one is None:
                continue
            if not written - {name} <= set(worth):
                continue
            tried = {**worth, name: one._replace(value=value)}
            other = {**worth, name: one._replace(value=value * 2 + 1)}
            if equal_in_usual_units(sides, tried, powers) and not equal_in_usual_units(
                sides, other, powers
            ):
                return True
            for each in (powers, dict.fromkeys(powers, 0)):  # in usual units, or in SI units
                bare = [without_units(side, each) for side in sides]
                numbers = {n: counted(m, each) for n, m in worth.items()}
                at = counted(one._replace(value=value), each).value
                if not in_letters(at) and holds_at(bare, name, numbers, Fraction(at)):
                    return True
    return False


def _with_the_rest(
    by: ProblemKind[S, Topic], sheet: S, called: tuple[str, Measure], before: Said
) -> bool:
    """Whether the value of a name, and for the one other of its kind what that leaves of a known
    whole, make an equation true.
    """
    assert before.statement is not None
    name, own = called
    sides = all_sides(before.names, before.statement.sides, before.statement.turned)
    names, worth = set(names_in(*sides)), by.worth(sheet, sides)
    others = [other for other in names - {name} if other[0] == name[0]]
    if (
        name not in names
        or len(others) != 1
        or len(sides) < 2
        or not names - {name, *others} <= set(worth)
    ):
        return False
    first, *_, last = (without_units(side, by.powers(sheet)) for side in sides)
    for whole in (*by.given(sheet), *sheet.stated.values()):
        rest = own._replace(value=tidy(whole - own.value))
        numbers = {n: plain(each) for n, each in {**worth, name: own, others[0]: rest}.items()}
        try:
            one, other = (evaluate(side, numbers).value for side in (first, last))
        except Refusal:
            continue
        if is_near(one, other):
            return True
    return False


def _rounding(said: Said) -> Fraction:
    """How far off, in parts of it, a value may be that was typed in so many figures."""
    assert said.statement is not None
    last = said.statement.sides[-1]
    half = last.half / abs(last.value) if isinstance(last, Num) and last.half and last.value else 0
    return min(max(NEAR, Fraction(half)), ROUGHLY)


def shares_root(by: ProblemKind[S, Topic], sheet: S, said: Said) -> bool:
    """Whether an equation follows from a wrong one before it: what solves it solves that one too,
    in usual units or in SI units.
    """
    assert said.statement is not None
    sides = all_sides(said.names, said.statement.sides, said.statement.turned)
    usual = by.powers(sheet)
    own = _roots_by_rest(by, sheet, sides) if sheet.mistaken else []
    for before in sheet.mistaken:
        assert before.statement is not None
        earlier = all_sides(before.names, before.statement.sides, before.statement.turned)
        for name in {*names_in(*sides)} & {*names_in(*earlier)}:
            for powers in (usual, dict.fromkeys(usual, 0)):
                mine, theirs = (_roots(by, sheet, of, name, powers) for of in (sides, earlier))
                if any(is_near(one, other) for one in mine for other in theirs):
                    return True
        by_rest = _roots_by_rest(by, sheet, earlier)
        solved = ((one, other) for one, other in product(own, by_rest) if one[0] == other[0])
        if any(is_near(*pair) for one, other in solved for pair in product(one[1], other[1])):
            return True
    return False


def names_sharing_root(
    by: ProblemKind[S, Topic], sheet: S, sides: Sequence[Expression], letter: str
) -> Iterator[str]:
    """The names of a wrong equation before that is solved by what solves this one for a letter:
    x² - 18x + 4.5 = 0 for C1·C2 = 4.5, where C1 + C2 is known.
    """
    mine = _roots(by, sheet, sides, letter, by.powers(sheet))
    for before in sheet.mistaken if mine else ():
        assert before.statement is not None
        earlier = all_sides(before.names, before.statement.sides, before.statement.turned)
        for name, solved in _roots_by_rest(by, sheet, earlier):
            if any(is_near(*pair) for pair in product(mine, solved)):
                yield name


def _roots_by_rest(
    by: ProblemKind[S, Topic], sheet: S, sides: Sequence[Expression]
) -> list[tuple[str, list[Fraction]]]:
    """What solves an equation in one or two names, for each of them."""
    return [
        (name, _roots(by, sheet, of, name, by.powers(sheet)))
        for name, of in _in_one_name(by, sheet, sides)
    ]


def _in_one_name(
    by: ProblemKind[S, Topic], sheet: S, sides: Sequence[Expression]
) -> Iterator[tuple[str, list[Expression]]]:
    """An equation in two names of one kind, with what the one leaves of a known whole for the
    other: C1·(18 − C1) for C1·C2, once for each whole.
    """
    names = sorted(set(names_in(*sides)))
    if len(names) == 1:
        yield names[0], list(sides)
    if len(names) != 2 or names[0][0] != names[1][0]:
        return
    first, second = names
    for whole in dict.fromkeys((*by.given(sheet), *sheet.stated.values())):
        kind = next((k for value, k in by.right_values(sheet) if value == whole), None)
        if in_letters(whole):
            continue
        plain_whole = Fraction(whole) / usual_unit(by.powers(sheet), kind)
        for kept, other in ((first, second), (second, first)):
            rest = Op("-", Num(plain_whole, None, 0, ""), Name(kept))
            yield kept, [_put(side, other, rest) for side in sides]


def _put(side: Expression, name: str, other: Expression) -> Expression:
    return rewritten(side, lambda part: other if part == Name(name) else None)


def counted(measure: Measure, powers: Mapping[Dimension, int]) -> Measure:
    """The number alone, in the usual unit, or in SI units where these have no power of ten."""
    return plain(measure) if any(powers.values()) else Measure(measure.value, bare=True)


def _roots(
    by: ProblemKind[S, Topic],
    sheet: S,
    sides: Sequence[Expression],
    name: str,
    powers: Mapping[Dimension, int],
) -> list[Fraction]:
    known = {
        each: counted(measure, powers)
        for each, measure in by.worth(sheet, sides).items()
        if each != name
    }
    return list(roots([without_units(side, powers) for side in sides], name, known))


def is_turned_over(by: ProblemKind[S, Topic], sheet: S, own: Value) -> bool:
    """Whether it is one over what reciprocals were wrongly said to come to: 9/2 after 2/9."""
    power = by.powers(sheet)["capacitance"]
    for before in sheet.mistaken:
        assert before.statement is not None
        first, last = before.statement.sides[0], before.statement.sides[-1]
        added = {part.sign for part in parts_of(first) if isinstance(part, Op)}
        value = worth_of(last, {}) if len(before.statement.sides) > 1 else None
        is_of_ones = {"+", "/"} <= added and not before.names
        if value and is_of_ones and is_near(Fraction(own), Fraction(10) ** power / value):
            return True
    return False


def _of_value(by: ProblemKind[S, Topic], sheet: S, said: Said) -> Measure | None:
    """A measure of the kind that a statement states."""
    assert said.statement is not None
    return last_worth(said.statement, by.worth(sheet, said.statement.sides))


def checks_all(by: ProblemKind[S, Topic], sheet: S, said: Said) -> bool:
    """Whether a true sum or product of numbers alone is of all the values that are sought, as one
    that shows that they fit and comes to what is known: 4 + 12 = 16.
    """
    statement = said.statement
    if statement is None or said.names or len(statement.sides) < 2 or not holds(statement):
        return False
    first, powers = statement.sides[0], by.powers(sheet)
    sought = {
        Fraction(value) / usual_unit(powers, kind)
        for value, kind in by.truth(sheet).values()
        if not in_letters(value)
    }
    numbers = {
        part.value for part in parts_of(without_units(first, powers)) if isinstance(part, Num)
    }
    if len(sought) < 2 or numbers != sought or names_in(*statement.sides):
        return False
    own = worth_of(without_units(statement.sides[-1], powers), {})
    known = {
        Fraction(value) / usual_unit(powers, kind)
        for value, kind in by.right_values(sheet)
        if not in_letters(value)
    }
    return own is not None and any(is_near(own, value) for value in known)
