"""The benefit of the doubt: before a line is called wrong, whether its value follows after all.

A way is right where it comes to the right value once each wrong value of the pupil's in it is
replaced by the right one of the same thing; and so is what ``following_equations`` finds to follow
from an equation of the pupil's. Nothing is known here of the kind of problem, or of the rule that
the pupil used.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import chain, combinations, islice, product
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

from grammar.answers import DIMS, Measure
from grammar.expressions import Expression, Name, Num, Op, names_in, parts_of, rewritten
from grammar.records import Dimension
from tutor.circuit.relations import FORMS
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.fitting import numbers_in
from tutor.teaching.marking.following_equations import (
    checks_all,
    is_of_begun,
    is_root,
    is_turned_over,
    shares_root,
    worth_of,
)
from tutor.teaching.marking.grading import Judgement, Topic, holds
from tutor.teaching.marking.problem_kind import FoundIn, Passing, ProblemKind, S, kept
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.unknowns import plain, without_units

FOLLOWS: Final = "This follows rightly from a value of your own that stands above."
MOST_REPLACED: Final = 3  # numbers of one side at once
MOST_PARTS: Final = 8
MOST_TRIED: Final = 400
MOST_EQUATIONS: Final = 3  # the last few are remembered
USUAL_POWERS: Final = (0, -12, -9, -6, -3, 3)
SOURCES: Final[tuple[SaidHow, ...]] = (
    "stated",
    "worked out",
    "begun",
    "named",
    "combined",
    "unnamed",
)
NEAR: Final = Fraction(1, 100)  # what is worked on has been rounded


class _Ways(NamedTuple):
    """What a way is tried with: the value it came to and the right one, and what may stand in it;
    ``turned``: it is one over the value.
    """

    values: tuple[Fraction, Fraction]
    slips: Sequence[OwnValue]
    turned: bool


def given_the_doubt(
    by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic], said: Said
) -> FoundIn[S, Topic]:
    """What was found in a statement, with values that follow from the pupil's own as carried."""
    assert said.statement is not None
    if any(each.verdict == "wrong" for each in found.grades) and checks_all(by, sheet, said):
        return _with_all(by, found)
    grades = tuple(_doubted(by, sheet, each, said) for each in found.grades)
    if grades == found.grades:
        return found
    sure = {each.quantity for each in grades if each.verdict == "carried"}
    after = found.sheet
    return found._replace(grades=grades, sheet=after._replace(doubtful=after.doubtful - sure))


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
    is; in names also one of which nothing was found.
    """
    assert said.statement is not None
    sides = said.statement.sides
    names = names_in(*sides)
    is_more = names or (found.grades and len(said.names) + len(sides) > 1)
    if found.is_good or not is_more:
        return sheet
    return sheet._replace(mistaken=(*sheet.mistaken, said)[-MOST_EQUATIONS:])


def _doubted(
    by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic], said: Said
) -> Judgement[Topic]:
    """A judgement as it is, or as carried; what is right in another network alone earns no
    more than its method, and nothing where it is a given value once more. Where a p.d. shows the
    other network this is the same mistake and earns nothing.
    """
    if each.verdict != "wrong" or each.is_certain:
        return each
    if each.value is None:
        return _as_carried(each) if shares_root(by, sheet, said) else each
    if in_letters(each.value):
        return _as_carried(each) if is_root(by, sheet, each.value, said) else each
    if not each.value:
        return each
    found = _by_own_values(by, sheet, each, said)
    if found.verdict == "wrong":
        shown = _shown_of_network_taken(by, sheet, each.quantity, each.value)
        is_found = not any(_is_near(each.value, value) for value in by.given(sheet))
        if "capacitance" in shown or (shown and is_found):
            is_found &= "capacitance" in shown
            return _as_carried(each)._replace(method=is_found, accurate=False)
    return found


def _by_own_values(
    by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic], said: Said
) -> Judgement[Topic]:
    """A wrong judgement as it is, or as carried. A wrong value without a mark of its own that has
    no name, or is a part of the way to this one, costs the accuracy of what rests on it.
    """
    assert said.statement is not None
    own = each.value
    assert own is not None, "what has no value is not doubted"
    truth = by.truth(sheet)
    rights = [truth[each.quantity][0]] if each.quantity in truth else by.given(sheet)
    values = [Fraction(right) for right in rights if right and not in_letters(right)]
    carried = _as_carried(each)
    if values and is_root(by, sheet, own, said):
        return carried
    if is_of_begun(by, sheet, own, said) or is_turned_over(by, sheet, own):
        return carried._replace(accurate=False)
    held = held_by(by, sheet)
    off = [one for one in held if one.is_off]
    if any(_is_led_to(off, Fraction(own), right) for right in values):
        return carried._replace(accurate=False)
    if len(said.statement.sides) == 1:
        sure = [one for one in held if one.source not in ("combined", "unnamed")]
        kind = truth[each.quantity][1] if each.quantity in truth else None
        wanted = (OwnValue(Fraction(own), right, "stated", kind) for right in values)
        return carried if any(_is_by_relation(sure, one) for one in wanted) else each
    if not holds(said.statement):
        return each
    for rank in range(len(SOURCES)):
        slips = [one for one in off if one.source in SOURCES[: rank + 1]]
        ways = [_Ways((Fraction(own), right), slips, said.statement.turned) for right in values]
        tried = product(said.statement.sides, ways)
        if any(_is_right_way(by, sheet, side, way) for side, way in tried):
            shown = _without_numbers(by, sheet) if SOURCES[rank] == "stated" else frozenset()
            is_sure = SOURCES[rank] not in ("combined", "unnamed")
            return carried._replace(carrying=shown, accurate=each.is_final and is_sure)
    return each


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
        if _is_near(own, values.get(about))
        for each, value in shown.items()
        if _is_near(value, values.get(each))
    }


def _is_near(own: Value, other: Value | None) -> bool:
    if other is None or in_letters(own) or in_letters(other):
        return False
    return bool(abs(own - other) <= NEAR * abs(other))


# Ways


def _is_right_way(by: ProblemKind[S, Topic], sheet: S, side: Expression, ways: _Ways) -> bool:
    """Whether a side that comes to the first of two values would come to the second with right
    values in the place of wrong ones.
    """
    value, right = ways.values
    powers = by.powers(sheet)
    measures = by.worth(sheet, (side,))
    bare = without_units(side, powers)
    lookup = {name: plain(measure) for name, measure in measures.items()}
    before = worth_of(bare, lookup)
    parts = [p for p in parts_of(side) if isinstance(p, Name)] + list(numbers_in(side))
    if not before or not 1 < len(parts) <= MOST_PARTS:
        return False
    found = [(part, tuple(_matching(part, measures, ways.slips))) for part in parts]
    doubtful = [[(part, ratio) for ratio in ratios] for part, ratios in found if ratios]
    replaced = chain.from_iterable(
        product(*chosen)
        for count in range(1, MOST_REPLACED + 1)
        for chosen in combinations(doubtful, count)
    )
    for chosen in islice(replaced, MOST_TRIED):
        tried = side
        for part, ratio in chosen:
            tried = _scaled(tried, part, ratio)
        after = worth_of(without_units(tried, powers), lookup)
        if not after:
            continue
        ratio = before / after if ways.turned else after / before
        if abs(value * ratio - right) <= NEAR * abs(right):
            return True
    return False


def _matching(
    part: Expression, worth: Mapping[str, Measure], slips: Sequence[OwnValue]
) -> Iterator[Fraction]:
    """By what a part is to be multiplied if it is one of these values: its right value over the
    pupil's.
    """
    for own, right in dict.fromkeys((each.own, each.right) for each in slips):
        if isinstance(part, Name):
            measure = worth.get(part.text)
            values = [] if measure is None or in_letters(measure.value) else [measure.value]
        elif isinstance(part, Num):
            powers = (part.unit.power,) if part.unit else USUAL_POWERS
            values = [part.value * Fraction(10) ** power for power in powers]
        else:
            values = []
        if any(abs(abs(Fraction(v)) - abs(own)) <= NEAR / 2 * abs(own) for v in values):
            yield right / own


def _scaled(side: Expression, part: Expression, ratio: Fraction) -> Expression:
    """A side with one part, that very one, multiplied."""
    scaled = Op("*", part, Num(ratio, None, 0, ""))
    return rewritten(side, lambda each: scaled if each is part else None)


# Values without their working


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
                found = zip(
                    related(first, second, False), related(first, second, True), strict=True
                )
                if any(_is_wanted(own, right, wanted) for own, right in found):
                    return True
    return False


def _is_wanted(own: OfKind, right: OfKind, wanted: OwnValue) -> bool:
    return own[1] == wanted.kind and all(
        abs(each - value) <= NEAR * abs(value)
        for each, value in ((own[0], wanted.own), (right[0], wanted.right))
    )


# The values that a pupil may have worked with, each with the right one of the same thing


MOST_VALUES: Final = 40
SaidHow: TypeAlias = Literal["stated", "worked out", "begun", "named", "combined", "unnamed"]
OfKind: TypeAlias = tuple[Fraction, Dimension | None]
_KINDS: Final = MappingProxyType({dims: kind for kind, dims in DIMS.items()})


class OwnValue(NamedTuple):
    """A value of the pupil's and the right one, in SI units.

    ``source`` says how surely the one is meant for the other: it was ``stated`` for it, or
    ``worked out`` wrongly under its name, or it was ``begun`` with the right one; else it is one
    of its kind that was written under a name, a capacitance ``combined`` of others, or without
    any name.
    """

    own: Fraction
    right: Fraction
    source: SaidHow
    kind: Dimension | None = None

    @property
    def is_off(self) -> bool:
        """Whether the pupil's value is not the right one."""
        return not close(self.own, self.right)


def held_by(by: ProblemKind[S, Topic], sheet: S) -> list[OwnValue]:
    """All of them, those first that are surely meant."""
    truth = by.truth(sheet)
    found = [
        OwnValue(Fraction(own), Fraction(right), "stated", truth[about][1])
        for about, own in sheet.stated.items()
        if about in truth and not in_letters(own) and not in_letters(right := truth[about][0])
    ]
    given = by.given(sheet)
    found += [
        OwnValue(Fraction(value), Fraction(value), "stated", kind)
        for value, kind in by.right_values(sheet)
        if value in given and not in_letters(value)
    ]
    for passed in sorted(sheet.passing, key=lambda each: not each.named):
        found += _met(by, sheet, passed)
    return list(dict.fromkeys(each for each in found if each.own))[:MOST_VALUES]


def _met(by: ProblemKind[S, Topic], sheet: S, passed: Passing) -> Iterator[OwnValue]:
    """A value met in passing, which may be meant for anything of its kind."""
    begun, ended = passed.first.value, passed.measure.value
    if in_letters(begun) or in_letters(ended):
        return
    own = Fraction(ended)
    kind = None if passed.measure.bare else _KINDS.get(passed.measure.dims)
    if begun and not close(own, begun):
        yield OwnValue(own, Fraction(begun), "worked out" if passed.named else "begun", kind)
    rights: list[Value] = [v for v, of in by.right_values(sheet) if kind is not None and of == kind]
    if any(close(own, value) for value in rights):
        yield OwnValue(own, own, "named", kind)
        return
    source: SaidHow = (
        "unnamed" if not passed.named else "combined" if kind == "capacitance" else "named"
    )
    yield from (
        OwnValue(own, Fraction(value), source, kind) for value in rights if not in_letters(value)
    )


def related(one: OwnValue, other: OwnValue, rightly: bool) -> list[OfKind]:
    """What the relations of the trade make of two values, of the right ones where ``rightly``."""
    first, second = (each.right if rightly else each.own for each in (one, other))
    kinds = (one.kind, other.kind)
    if None in kinds:
        return []
    found: list[OfKind] = []
    if one.kind == other.kind:
        found += [(first + second, one.kind), (first - second, one.kind)]
    if kinds == ("capacitance", "capacitance"):
        found.append((first * second / (first + second) if first + second else first, one.kind))
    if kinds == ("charge", "voltage"):
        found.append((first * second, "energy"))  # of a supply
    for (finds, *uses), form in FORMS.items():
        if kinds == tuple(uses) and "energy" not in uses:
            found.append((Fraction(form.work(first, second)) if second else first, finds))
    return found
