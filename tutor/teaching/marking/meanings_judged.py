"""What a statement says of each thing that it may be about, and which judgement of it may stand."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from grammar.expressions import Expression, Name, Num, Op, names_in, parts_of, rewritten
from grammar.records import Dimension
from tutor.circuit.values import in_letters, same
from tutor.teaching.marking.fitting import kind_of, numbers_in
from tutor.teaching.marking.following_equations import ROUND, led_on
from tutor.teaching.marking.grading import Judgement, Statement, Topic
from tutor.teaching.marking.phrases import DIFFERS, other_kind
from tutor.teaching.marking.problem_kind import FoundIn, Meaning, ProblemKind, S, kept
from tutor.teaching.marking.statements import Said, is_named
from tutor.teaching.marking.true_in_numbers import as_reciprocals, holds, misadds, misreckons
from tutor.teaching.marking.unknowns import (
    LEFT_OPEN,
    is_of_unknown,
    judge_letters,
    used_in_working,
)


def by_meaning(by: ProblemKind[S, Topic], sheet: S, said: Said) -> FoundIn[S, Topic]:
    """Judge one statement for everything it is about, and remember what it states."""
    if (lettered := judge_letters(by, sheet, said)) is not None:
        return lettered
    if (related := by.equation(sheet, said)) is not None:
        return related
    said = said._replace(statement=_readied(by, sheet, said))
    before, meanings = by.meanings(sheet, said)
    found: FoundIn[S, Topic] = FoundIn(before)
    for meaning in meanings:
        on = found.sheet if _share(by, before, meanings, meaning) else before
        found = _judged_as(by, found, on, meaning, said)
    if said.of_each and found.grades:
        found = _of_each(by, found, said)
    is_right = any(each.verdict == "right" for each in found.grades)
    if found.grades and not is_right and is_of_unknown(sheet, said):
        return FoundIn(sheet, (), LEFT_OPEN)
    return found


def _readied(by: ProblemKind[S, Topic], sheet: S, said: Said) -> Statement:
    """A statement without sides in names that have no value here, such as Q/V, if there is more to
    judge; 1/8 + 1/12 = 5/24, with no name in front and no unit behind, as what it says of 1/C.
    """
    assert said.statement is not None
    statement = said.statement
    worth = by.worth(sheet, statement.sides)
    kept = tuple(side for side in statement.sides if worth.keys() >= set(names_in(side)))
    sides = kept or statement.sides[-1:]
    if statement.turned:
        sides = tuple(rewritten(side, _letter_below) for side in sides)
    return as_reciprocals(statement._replace(sides=sides), said.names)


def _letter_below(part: Expression) -> Expression | None:
    """A letter behind a fraction of numbers as below its line: 3/5C, of one over a value."""
    if not isinstance(part, Op) or part.sign != "*" or not isinstance(part.right, Name):
        return None
    left = part.left
    if not isinstance(left, Op) or left.sign != "/" or not isinstance(left.right, Num):
        return None
    return left._replace(right=Op("*", left.right, part.right))


def _judged_as(
    by: ProblemKind[S, Topic],
    found: FoundIn[S, Topic],
    on: S,
    meaning: Meaning[S, Topic],
    said: Said,
) -> FoundIn[S, Topic]:
    """One meaning of a statement judged, by the values ``on`` a sheet, and kept if it stands."""
    tried, each, why = meaning.judge(found.sheet, on)
    found = found._replace(why=found.why or why)
    if each is None:
        return found._replace(sheet=tried)
    assert said.statement is not None
    named = meaning.named or is_named(said)
    each = _looked_at(by, found.sheet, each, said)
    if _is_right_otherwise(each, found.grades, said):
        return found
    if named and each.verdict == "wrong" and each.fault != "unit" and not each.slip:
        each = _of_its_unit(by, found.sheet, each, said)
    named |= each.is_certain  # of whatever it is meant for
    if said.gap and each.verdict == "wrong":
        return found  # what stands between may say of what it is
    if not _stands(each, said.statement, named, not said.doubt):
        return found
    if not each.given:
        used = used_in_working(by, found.sheet, said.statement, each.quantity)
        each = each._replace(used=used)
    if each.verdict == "wrong" and meaning.guessed and misreckons(said.statement):
        each = each._replace(is_certain=True, told=DIFFERS)
    each = each._replace(guessed=meaning.guessed)
    return FoundIn(by.settled(kept(tried, each)), (*found.grades, each), found.why)


def _stands(each: Judgement[Topic], statement: Statement, named: bool, is_sure: bool) -> bool:
    """Whether a judgement may stand: a line is called wrong only where a statement was read whole
    (``is_sure``) and is known to be about something: it is ``named``, has a unit that fits, or
    shows a known wrong idea. What is true in numbers alone is no slip.
    """
    if each.verdict != "wrong" or each.given:
        return each.verdict != "wrong" or (named and is_sure)
    last = statement.sides[-1]
    united = any(isinstance(part, Num) and part.unit is not None for part in parts_of(last))
    recognised = each.group is not None or (
        bool(each.malrules) and each.fault in ("malrule", "power-of-ten")
    )
    if each.fault == "arithmetic" and each.slip and not each.ends_right and misreckons(statement):
        return is_sure  # what it begins with is right
    if named:
        return is_sure or recognised or (united and each.fault != "unit")
    is_formula = not any(number for side in statement.sides for number in numbers_in(side))
    if each.fault == "unit" or each.ends_right or is_formula:
        return False
    in_numbers = not names_in(*statement.sides)
    if len(statement.sides) > 1 and in_numbers and holds(statement):
        return is_sure and recognised and (united or not _is_of_fractions(statement))
    worked = len(statement.sides) > 1 or not each.is_final
    return is_sure and worked and (united or recognised)


def _is_of_fractions(statement: Statement) -> bool:
    """Whether it is of fractions and sums of them alone: equal ratios, or reciprocals."""
    signs = {p.sign for s in statement.sides for p in parts_of(s) if isinstance(p, Op)}
    return "/" in signs and "*" not in signs


def _is_right_otherwise(
    each: Judgement[Topic], others: Sequence[Judgement[Topic]], said: Said
) -> bool:
    """Whether what stands under one name is right for something that bears it, and wrong for
    another thing at another time.
    """
    return len(said.names) == 1 and not said.of_each and each.verdict == "wrong" and any(
        one.verdict == "right" and one.value == each.value for one in others
    )


def _looked_at(
    by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic], said: Said
) -> Judgement[Topic]:
    """A good judgement as it is; as wrong for given values added up to almost their sum, and for
    what would follow from a wrong value that was worked out from it.
    """
    assert said.statement is not None
    if each.verdict == "right" and each.is_final and misadds(said.statement, by.given(sheet)):
        slip = len(said.statement.sides) - 1
        wrong = each._replace(verdict="wrong", fault="arithmetic", method=True, accurate=False)
        return wrong._replace(slip=slip, slipped_to=each.value, note="")
    is_new = each.quantity not in sheet.stated
    kind = by.truth(sheet).get(each.quantity, (None, None))[1]
    if each.verdict == "carried" and is_new and kind and led_on(
        sheet, said, kind, _numbers_stated(by, sheet, kind)
    ):
        wrong = each._replace(verdict="wrong", method=False, accurate=False, told=ROUND)
        return wrong._replace(is_certain=True, carrying=frozenset())
    return each


def _numbers_stated(
    by: ProblemKind[S, Topic], sheet: S, kind: Dimension
) -> frozenset[Fraction]:
    """The values of other kinds that stand above, each in the usual unit of its own."""
    powers, truth = by.powers(sheet), by.truth(sheet)
    found = {
        (value, dimension) for quantity, value in sheet.stated.items() if quantity in truth
        if (dimension := truth[quantity][1]) in powers and dimension != kind
    }
    return frozenset(
        Fraction(value) / Fraction(10) ** powers[dimension]
        for value, dimension in found if dimension is not None and not in_letters(value)
    )


def _of_its_unit(
    by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic], said: Said
) -> Judgement[Topic]:
    """What is wrong as it is, or as of another kind where its unit is that of one: from no wrong
    rule for this quantity, and from nothing that stands above.
    """
    assert said.statement is not None
    written = kind_of(said.statement.sides[-1])
    kind = by.truth(sheet).get(each.quantity, (None, None))[1]
    if written is None or kind is None or written == kind:
        return each
    each = each._replace(fault=None, malrules=(), diagnosis=None, method=False, accurate=False)
    return each._replace(is_certain=True, told=other_kind(by.called(sheet, each.quantity)[1]))


def _share(
    by: ProblemKind[S, Topic],
    sheet: S,
    meanings: Sequence[Meaning[S, Topic]],
    meaning: Meaning[S, Topic],
) -> bool:
    """Whether all that one value is said to be do have one value: if not, a wrong one is not
    passed on from the first of them to the next.
    """
    truth = by.truth(sheet)
    own = truth.get(meaning.about) if meaning.about is not None else None
    values = [truth.get(each.about) for each in meanings if each.about is not None]
    return own is None or all(value is not None and same(value[0], own[0]) for value in values)


def _of_each(by: ProblemKind[S, Topic], found: FoundIn[S, Topic], said: Said) -> FoundIn[S, Topic]:
    """What is said of several alike counts for all that it is right for: 8 V on both; where words
    that were not read, or an index, may say of which, it is wrong of none.
    """
    last = found.grades[-1]
    if last.verdict == "wrong" or not last.is_final:
        return found
    before, before_all = found.sheet, found.grades[:-1]
    of_some = bool(said.doubt) or any(name[-1:].isdigit() for name in said.names)
    for meaning in by.alike(before, said, last):
        tried, each, _ = meaning.judge(found.sheet, before)
        if each is None or each.value is None:
            continue
        is_sure = meaning.named and not of_some
        if each.verdict == "wrong" and is_sure:  # so that it was right for the first by chance
            last = last._replace(method=False, accurate=False, in_numbers=False)
        if each.verdict != "wrong" or is_sure:
            found = FoundIn(by.settled(kept(tried, each)), (*found.grades, each), found.why)
    at = len(before_all)
    return found._replace(grades=(*before_all, last, *found.grades[at + 1 :]))
