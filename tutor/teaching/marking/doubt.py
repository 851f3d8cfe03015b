"""The benefit of the doubt: before a line is called wrong, whether its value follows after all.

A way is right where it comes to the right value once each wrong value of the pupil's in it is
replaced by the right one of the same thing; and so is what ``following_equations`` finds to follow
from an equation of the pupil's. Nothing is known here of the kind of problem, or of the rule that
the pupil used.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction
from itertools import permutations, product
from typing import Final

from grammar.expressions import Num, Op, names_in, parts_of
from grammar.records import Dimension
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.fitting import is_near, kind_of
from tutor.teaching.marking.following_equations import (
    checks_all,
    is_of_begun,
    is_root,
    is_turned_over,
    names_sharing_root,
    shares_root,
)
from tutor.teaching.marking.grading import Judgement, Statement, Topic
from tutor.teaching.marking.own_equations import follows_from_all
from tutor.teaching.marking.own_values import held_by, related, rests_of, rounded_in, seen_on
from tutor.teaching.marking.phrases import BY_WRONG_RULE, FOLLOWS
from tutor.teaching.marking.problem_kind import FoundIn, OwnValue, ProblemKind, S, SaidHow, kept
from tutor.teaching.marking.replaying import Ways, is_right_way, value_of
from tutor.teaching.marking.statements import Said, is_formula
from tutor.teaching.marking.true_in_numbers import holds
from tutor.teaching.marking.unknowns import PREFIX, all_sides, own_letters, true_of_these_alone

BY_SHARES: Final = (
    "This follows from how the charge was shared above, which is not right: it is not marked down "
    "again, and earns nothing of its own."
)
MOST_BY_ROUNDING: Final = Fraction(1, 8)  # what differences make of it
MOST_EQUATIONS: Final = 3  # the last few are remembered
SURE: Final[tuple[SaidHow, ...]] = ("stated", "worked out")  # what has cost its mark by then
SOURCES: Final[tuple[SaidHow, ...]] = (
    "stated",
    "worked out",
    "begun",
    "named",
    "combined",
    "unnamed",
    "seen",
)


def given_the_doubt(
    by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic], said: Said
) -> FoundIn[S, Topic]:
    """What was found in a statement, with values that follow from the pupil's own as carried."""
    assert said.statement is not None
    if any(each.verdict == "wrong" for each in found.grades) and checks_all(by, sheet, said):
        return _with_all(by, found)
    grades = tuple(_doubted(by, sheet, each, said) for each in found.grades)
    if grades == found.grades:
        is_guess = all(each.guessed for each in grades)
        followed = _followed(by, sheet, said) if is_guess else None
        return followed or (found if grades else _in_own_letter(by, sheet, said)) or found
    carried = [each for each in grades if each.verdict == "carried"]
    has_paid = any(each.is_final and not each.accurate for each in carried)
    after = found.sheet
    after = after._replace(
        doubtful=after.doubtful - {each.quantity for each in carried},
        has_paid=after.has_paid or has_paid,
    )
    return found._replace(grades=grades, sheet=after)


def _in_own_letter(by: ProblemKind[S, Topic], sheet: S, said: Said) -> FoundIn[S, Topic] | None:
    """An equation in one letter of the pupil's, where it follows from a wrong one in what is
    sought: a letter without a meaning stands for that from then on.
    """
    assert said.statement is not None
    sides = all_sides(said.names, said.statement.sides, said.statement.turned)
    letters = own_letters(sides)
    if len(letters) != 1 or len(sides) < 2 or letters[0] in said.names:
        return None
    names = set(names_sharing_root(by, sheet, sides, letters[0]))
    named = (each for each in by.truth(sheet) if by.called(sheet, each)[1] in names)
    about = sheet.aliases.get(letters[0]) if names else None
    about = next(named, None) if about is None else about
    if about is None:
        return None
    each = Judgement(about, "carried", method=True, relation=True)
    return FoundIn(sheet._replace(aliases={**sheet.aliases, letters[0]: about}), (each,))


def _followed(by: ProblemKind[S, Topic], sheet: S, said: Said) -> FoundIn[S, Topic] | None:
    """What a way in numbers follows for that nothing says it is about: what it would come to with
    right values in the place of wrong ones.
    """
    assert said.statement is not None
    sides = said.statement.sides
    value = value_of(by, sheet, sides[-1])
    if said.names or len(sides) < 2 or names_in(*sides) or not value or not holds(said.statement):
        return None
    kind = kind_of(sides[-1])
    off = [one for one in held_by(by, sheet) if one.is_off]
    off += seen_on(by, sheet) if kind is not None else ()  # else a plain number may be anything
    signs = {part.sign for part in parts_of(sides[0]) if isinstance(part, Op)}
    is_sum = signs <= {"+", "-"}  # of values of its own kind
    for about, (right, of_kind) in by.truth(sheet).items():
        is_open = about not in sheet.stated or about in sheet.doubtful
        if not is_open or in_letters(right) or not right or kind not in (None, of_kind):
            continue
        own = value * Fraction(10) ** (by.powers(sheet)[of_kind] if of_kind else 0)
        like = [one for one in off if one.kind == of_kind] if is_sum else off
        ways = Ways((own, Fraction(right)), like, said.statement.turned)
        if any(is_right_way(by, sheet, side, ways) for side in sides):
            each = Judgement(about, "wrong", value=own, is_final=True, in_numbers=True)
            each = _by_own_values(by, sheet, each, said)
            return FoundIn(by.settled(kept(sheet, each)), (each,))
    return None


def _with_all(by: ProblemKind[S, Topic], found: FoundIn[S, Topic]) -> FoundIn[S, Topic]:
    """All that is sought as stated rightly."""
    sheet = found.sheet
    grades: list[Judgement[Topic]] = []
    for about, (value, _) in by.truth(sheet).items():
        each = Judgement(about, "right", None, (), True, True, value, True, in_numbers=True)
        sheet = by.settled(kept(sheet, each))
        grades.append(each)
    return FoundIn(sheet, tuple(grades), found.why)


def with_mistaken(sheet: S, found: FoundIn[S, Topic], said: Said) -> S:
    """The sheet with a statement that was found to be wrong and may be worked on, as an equation
    is, or an equation that follows from a wrong one; in names also one of which nothing was found.
    """
    assert said.statement is not None
    sides = said.statement.sides
    names = names_in(*sides)
    is_more = names or (found.grades and len(said.names) + len(sides) > 1)
    is_led = any(each.verdict == "carried" and each.value is None for each in found.grades)
    if (found.is_good and not is_led) or not is_more:
        return sheet
    return sheet._replace(mistaken=(*sheet.mistaken, said)[-MOST_EQUATIONS:])


def _doubted(
    by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic], said: Said
) -> Judgement[Topic]:
    """A judgement as it is, or as carried; what is right in another network alone earns no
    more than its method, and nothing where it is a given value once more. Where a p.d. shows the
    other network this is the same mistake and earns nothing.
    """
    if each.verdict != "wrong" or each.is_certain or each.fault == "unit":
        return each
    if each.value is None:
        ways = (shares_root, follows_from_all, _holds_with_own)
        is_led = any(way(by, sheet, said) for way in ways)
        is_earned = any(way(by, _without_formulas(sheet), said) for way in ways)
        if is_led and not is_earned:
            return _as_carried(each)._replace(method=False, told=BY_WRONG_RULE)
        return _as_carried(each) if is_led else each
    if in_letters(each.value):
        return _as_carried(each) if is_root(by, sheet, each.value, said) else each
    if not each.value:
        return _as_carried(each) if _is_nothing_left(by, sheet, each.quantity) else each
    found = _by_own_values(by, sheet, each, said)
    if found.verdict == "wrong":
        shown = _shown_of_network_taken(by, sheet, each.quantity, each.value)
        marked = {item.quantity for item in by.ground(sheet, frozenset()).items}
        above = [*by.given(sheet), *(v for q, v in sheet.stated.items() if q in marked)]
        is_found = not any(is_near(each.value, v) for v in above)
        if "capacitance" in shown or (shown and is_found):
            is_found &= "capacitance" in shown
            return _as_carried(each)._replace(method=is_found, accurate=False)
    return found


def _without_formulas(sheet: S) -> S:
    """The sheet without wrong relations in names alone: what such a one makes of right values is no
    right way, though it follows, and earns nothing.
    """
    mistaken = tuple(each for each in sheet.mistaken if not is_formula(each))
    equations = tuple(each for each in sheet.equations if not is_formula(each))
    return sheet._replace(mistaken=mistaken, equations=equations)


def _holds_with_own(by: ProblemKind[S, Topic], sheet: S, said: Said) -> bool:
    """Whether an equation is true of the pupil's values, some of them wrong, and not of any."""
    assert said.statement is not None
    sides = all_sides(said.names, said.statement.sides, said.statement.turned)
    worth, powers = by.worth(sheet, sides), by.powers(sheet)
    is_known = set(worth) == set(names_in(*sides))
    return bool(sheet.wrong) and is_known and true_of_these_alone(sides, worth, powers)


def _is_nothing_left(by: ProblemKind[S, Topic], sheet: S, about: Topic) -> bool:
    """Whether a value is the difference of two of one kind that are equal by the pupil's own
    values, though not by the right ones: no heat where the energy was taken to stay.
    """
    truth, own = by.truth(sheet), by.own(sheet)
    right, kind = truth.get(about, (None, None))
    if right is None or kind is None or in_letters(right):
        return False
    beside = [
        (Fraction(own[each]), Fraction(value))
        for each, (value, of) in truth.items()
        if of == kind and each != about and each in own
        if not in_letters(value) and not in_letters(own[each])
    ]
    return any(
        is_near(other[0], one[0]) and close(one[1] - other[1], right)
        for one, other in permutations(beside, 2)
    )


def follows_for(
    by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic], said: Said, right: Value
) -> bool:
    """Whether a wrong value is this right one, or follows for it from the pupil's own."""
    if each.value is None or in_letters(each.value) or in_letters(right):
        return False
    assert said.statement is not None
    is_it = close(each.value, right) and holds(said.statement)
    return is_it or _by_own_values(by, sheet, each, said, [right]).verdict == "carried"


def _by_own_values(
    by: ProblemKind[S, Topic],
    sheet: S,
    each: Judgement[Topic],
    said: Said,
    rights: Collection[Value] = (),
) -> Judgement[Topic]:
    """A wrong judgement as it is, or as carried. A wrong value without a mark of its own that has
    no name, or is a part of the way to this one, costs the accuracy of what rests on it.
    """
    assert said.statement is not None
    own = each.value
    assert own is not None, "what has no value is not doubted"
    truth = by.truth(sheet)
    rights = rights or ([truth[each.quantity][0]] if each.quantity in truth else by.given(sheet))
    values = [Fraction(right) for right in rights if not in_letters(right)]
    carried = _as_carried(each)
    if values and (is_root(by, sheet, own, said) or follows_from_all(by, sheet, said, own)):
        without = _without_formulas(sheet)
        if not (is_root(by, without, own, said) or follows_from_all(by, without, said, own)):
            return carried._replace(method=False, accurate=False, told=BY_WRONG_RULE)
        is_free = each.quantity not in sheet.wrong  # the equation has cost no mark
        if is_free and any(name.startswith(PREFIX) for name in said.names):
            return carried._replace(accurate=False)
        return carried
    if is_of_begun(by, sheet, own, said) or is_turned_over(by, sheet, own):
        return carried._replace(accurate=False)
    held = held_by(by, sheet)
    off = [one for one in held if one.is_off]
    if any(_is_led_to(off, Fraction(own), right) for right in values):
        return carried._replace(accurate=False)
    if all(isinstance(side, Num) for side in said.statement.sides):  # a root comes as a number
        kind = truth[each.quantity][1] if each.quantity in truth else None
        wanted = [OwnValue(Fraction(own), right, "stated", kind) for right in values]
        named = [one for one in held if one.source != "unnamed"]
        sure = [one for one in named if one.source in SURE]
        if any(_is_by_relation(sure, one) or _is_once_more(off, one) for one in wanted):
            return carried
        is_led = any(_is_by_relation(named, one) for one in wanted)
        return carried._replace(accurate=sheet.has_paid) if is_led else each
    if not holds(said.statement):
        return each
    off += [*rests_of(held), *seen_on(by, sheet)]
    for rank in range(len(SOURCES)):
        slips = [one for one in off if one.source in SOURCES[: rank + 1]]
        if _is_right_with(by, sheet, said, (own, values), slips):
            shown = _without_numbers(by, sheet) if SOURCES[rank] == "stated" else frozenset()
            carried = carried._replace(carrying=shown)
            before = [one for one in slips if one not in _resting_on(by, sheet, each.quantity)]
            if len(before) < len(slips) and not _is_right_with(
                by, sheet, said, (own, values), before
            ):
                return carried._replace(method=False, accurate=False, told=BY_SHARES)
            is_sure = SOURCES[rank] in SURE or sheet.has_paid
            return carried._replace(accurate=each.is_final and is_sure)
    is_rounded = each.fault != "unit" and _is_by_rounding(
        by, sheet, said.statement, Fraction(own), values
    )
    return carried._replace(verdict="right", note="early") if is_rounded else each


def _is_right_with(
    by: ProblemKind[S, Topic],
    sheet: S,
    said: Said,
    wanted: tuple[Value, Sequence[Fraction]],
    slips: Sequence[OwnValue],
) -> bool:
    """Whether a side comes to one of the right values wanted, where it came to the pupil's own,
    with the right value in the place of these slips.
    """
    assert said.statement is not None
    own, values = wanted
    ways = [Ways((Fraction(own), right), slips, said.statement.turned) for right in values]
    tried = product(said.statement.sides, ways)
    return any(is_right_way(by, sheet, side, way) for side, way in tried)


def _resting_on(by: ProblemKind[S, Topic], sheet: S, about: Topic) -> list[OwnValue]:
    """The wrong charges of the pupil's that are found from this p.d.: no right way leads back from
    what was shared out anyhow to the p.d. that decides how it is shared.
    """
    truth, needed = by.truth(sheet), by.ground(sheet, frozenset()).needed
    if truth.get(about, (None, None))[1] != "voltage":
        return []
    return [
        OwnValue(Fraction(own), Fraction(right), "stated", kind)
        for quantity in sheet.wrong & sheet.stated.keys() & truth.keys() - {about}
        if truth[quantity][1] == "charge" and about in needed(quantity)
        for own, (right, kind) in ((sheet.stated[quantity], truth[quantity]),)
        if not in_letters(own) and not in_letters(right)
    ]


def _is_by_rounding(
    by: ProblemKind[S, Topic],
    sheet: S,
    statement: Statement,
    own: Fraction,
    values: Sequence[Fraction],
) -> bool:
    """Whether a way with right values, some of them rounded, misses one of these values by that
    rounding alone: 2600 - 1660 = 940 for 2592 - 1666.
    """
    near = [value for value in values if abs(own - value) <= MOST_BY_ROUNDING * abs(value)]
    near = [value for value in near if not close(own, value)]  # else rounding is not the fault
    for side in statement.sides if near else ():
        rounded = rounded_in(by, sheet, side)
        ways = [Ways((own, value), rounded, statement.turned) for value in near if rounded]
        if any(is_right_way(by, sheet, side, way) for way in ways):
            return True
    return False


def _as_carried(each: Judgement[Topic]) -> Judgement[Topic]:
    return each._replace(
        verdict="carried",
        fault=None,
        malrules=(),
        diagnosis=None,
        method=True,
        accurate=each.is_final,
        slip=None,
        slipped_to=None,
        guessed=False,
        told=FOLLOWS if each.given else "",
    )


def _without_numbers(by: ProblemKind[S, Topic], sheet: S) -> frozenset[Topic]:
    """What a right way shows to be known whatever its numbers are."""
    items = by.ground(sheet, frozenset()).items
    return frozenset(item.quantity for item in items if item.independent)


def _shown_of_network_taken(
    by: ProblemKind[S, Topic], sheet: S, about: Topic, own: Value
) -> set[Dimension | None]:
    """Wrong values of which kinds, capacitances or p.d.s, show the other problem for which a pupil
    took this one and in which a value is right; none where there is no such problem.
    """
    truth = by.truth(sheet)
    shown = {
        each: sheet.stated[each]
        for each in sheet.wrong & sheet.stated.keys() & truth.keys() - {about}
        if truth[each][1] in ("capacitance", "voltage")
    }
    return {
        truth[each][1]
        for values in (by.taken_for(sheet) if shown else ())
        if about in values and is_near(own, values[about])
        for each, value in shown.items()
        if each in values and is_near(value, values[each])
    }


# Values without their working


def _is_once_more(off: Sequence[OwnValue], wanted: OwnValue) -> bool:
    """Whether it is a wrong value stated before of something that has the same right value: the
    charge of the next capacitor of a chain.
    """
    return any(
        each.source == "stated"
        and each.kind == wanted.kind
        and each.right == wanted.right
        and close(wanted.own, each.own)
        for each in off
    )


def _is_led_to(off: Sequence[OwnValue], own: Fraction, right: Fraction) -> bool:
    """Whether it is what a wrong choice or a slip before makes of this very value."""
    led = (each for each in off if each.source == "worked out")
    return any(close(own, each.own) and each.right == right for each in led)


def _is_by_relation(held: Sequence[OwnValue], wanted: OwnValue) -> bool:
    """Whether one relation of the trade gives the pupil's value from the pupil's values, and the
    right one from the right ones.
    """
    for one in (each for each in held if each.is_off):
        for other in held:
            for first, second in ((one, other), (other, one)):
                if any(_is_wanted(found, wanted) for found in related(first, second)):
                    return True
    return False


def _is_wanted(found: OwnValue, wanted: OwnValue) -> bool:
    return found.kind == wanted.kind and all(
        is_near(each, value)
        for each, value in ((found.own, wanted.own), (found.right, wanted.right))
    )
