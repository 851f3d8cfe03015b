"""One statement marked: right, carried forward or wrong; and the kind of the fault.

The order of trial is that of general practice: the true value; what follows from the learner's
own earlier values; the same with a power of ten; the unit; a slip after a right line; a wrong
rule; a copied value.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import Final, Generic, Literal, NamedTuple, TypeAlias, TypeVar

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression, Name, Neg, Num, Op, Power, names_in, parts_of, rewritten
from grammar.measures import PURE
from grammar.records import Refusal
from tutor.circuit.steps import Fault
from tutor.circuit.values import Value, in_letters
from tutor.teaching.marking.fitting import Fit, Gauge, fit, numbers_in
from tutor.teaching.marking.rounded_terms import RoundedTerms
from tutor.teaching.marking.written_ways import as_written
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.diagnosis import Diagnosis

GradeVerdict: TypeAlias = Literal["right", "carried", "wrong", "unread"]
GradeFault: TypeAlias = Literal["malrule", "power-of-ten", "arithmetic", "unit"]
GradeNote: TypeAlias = Literal["", "one figure", "early", "loose"]
# Malrules that are slips of copying or of the calculator: the method was known.
WITHOUT_BRACKETS: Final = "calculator-without-brackets"
SLIPS: Final = frozenset({"copies-a-neighbours-value", WITHOUT_BRACKETS})
EARLY: Final = "rounds-early"
FRACTIONS: Final = frozenset({"adds-fractions-keeping-one-on-top", "adds-fractions-top-and-bottom"})
GOOD = ("true", "own", "one figure")
Topic = TypeVar("Topic")
NO_FIT: Final = 9
BY_VALUE: Final = 3  # what fits a value, if only by the learner's own
MOST_NUMBERS_TRIED = 6
ROUNDING: Final = Fraction(1, 100)


class Statement(NamedTuple):
    """Sides that are said to equal one quantity, or one over it where ``turned``."""

    sides: tuple[Expression, ...]
    turned: bool = False


class Judgement(NamedTuple, Generic[Topic]):
    """One statement of one line about one ``quantity``, judged.

    ``method``: the rule was right as far as can be seen. ``value`` is what is stated, in SI
    units, and ``is_final`` whether it was worked out. ``unit``: ``missing``, or of another
    quantity (``wrong``). ``note``: ``one figure``, rounded ``early``, or ``loose`` where an
    equals sign was not quite meant. ``slip`` is the place of the side that is not right
    and ``slipped_to`` its value; ``begun``: a side of numbers before it is right. ``carrying`` are,
    for a carried value, what passed an error on to it. ``in_numbers``: it comes to a value, or
    numbers alone lead to one. ``used`` are values not stated before whose numbers stand in it.
    ``relation``: it relates quantities and states the value of none. ``told`` is what to say of
    it where that is known already; ``is_certain``: it cannot follow from anything. ``earned``: of
    the marks of a carried one ``nothing`` or those of its ``way`` alone.
    """

    quantity: Topic
    verdict: GradeVerdict
    fault: GradeFault | None = None
    malrules: tuple[str, ...] = ()
    method: bool = False
    accurate: bool = False
    value: Value | None = None
    is_final: bool = False
    is_fraction: bool = False
    unit: Literal["", "missing", "wrong"] = ""
    note: GradeNote = ""
    shift: int = 0
    slip: int | None = None
    slipped_to: Value | None = None
    begun: bool = False
    ends_right: bool = False
    given: bool = False
    guessed: bool = False
    carrying: frozenset[Topic] = frozenset()
    in_numbers: bool = False
    used: frozenset[Topic] = frozenset()
    relation: bool = False
    diagnosis: Diagnosis | None = None
    group: Fault | None = None
    members: tuple[str, ...] = ()
    told: str = ""
    is_certain: bool = False
    earned: Literal["", "nothing", "way"] = ""


Grade: TypeAlias = Judgement[Quantity]


class Subject(NamedTuple, Generic[Topic]):
    """What statements may be about, and what they are judged by.

    ``recognise`` says which wrong rules give a side, ``suspect`` which one may be behind a value of
    one figure, too short to hold it against anybody; ``of_shift`` what a missing power of ten
    shows. ``copied`` is the gauge for one number put in the place of another, ``others`` are the
    numbers that could have been meant, in the usual units.
    """

    quantity: Topic
    gauge: Gauge
    copied: Gauge
    others: Callable[[], Iterable[Fraction]]
    recognise: Callable[[Fit], tuple[tuple[str, ...], Diagnosis | None]]
    of_shift: Callable[[int], tuple[str, ...]]
    suspect: Callable[[Fit], Diagnosis | None] = lambda _: None


class _Case(NamedTuple, Generic[Topic]):
    """A statement in hand, with how each of its sides fits."""

    subject: Subject[Topic]
    statement: Statement
    lookup: Mapping[str, Measure]
    fits: tuple[Fit, ...]


def grade(
    subject: Subject[Topic], statement: Statement, lookup: Mapping[str, Measure], after_error: bool
) -> Judgement[Topic]:
    """Judge a statement by the learner's own values and the true ones.

    ``after_error``: something before it was wrong. Raises Refusal where a side cannot be
    worked out.
    """
    fits = tuple(
        _formula(fit(subject.gauge, s, lookup, statement.turned), s, lookup)
        for s in statement.sides
    )
    if any(each.kind == "off" for each in fits):
        terms = RoundedTerms(subject.gauge, set(subject.others()), lookup, statement.turned)
        fits = terms.told(statement.sides, fits)
    fits = _in_one_unit(statement, _not_in_short(subject, _rounded_on(fits)))
    case = _Case(subject, statement, lookup, fits)
    loose = {
        at
        for at in range(len(fits) - 1)
        if fits[at].kind not in GOOD and (_is_rounded_sum(case, at) or _is_loose(case, at))
    }
    last = fits[-1]
    if last.kind in GOOD and not last.is_final:  # a check after the value
        last = next((f for f in reversed(fits) if f.is_final and f.kind in GOOD), last)
    found = Judgement(
        subject.quantity,
        "right",
        value=last.value,
        is_final=last.is_final,
        is_fraction=last.is_fraction,
        unit="missing" if last.bare and last.is_final and last.value != 0 else "",
        in_numbers=any(f.is_final for f in fits)
        or not any(_names_in(s, case) for s in statement.sides),
    )
    bad = next((at for at, f in enumerate(fits) if f.kind not in GOOD and at not in loose), None)
    if bad is not None:
        faulty = _faulty(case, bad, found)
        if faulty.verdict == "right" and after_error:
            return faulty._replace(verdict="carried")
        return faulty
    carried = last.kind == "own" and after_error
    in_units = ("unit", "power of ten")
    meant = {at for at in loose if fits[at].kind in in_units or _is_rounded_sum(case, at)}
    note: GradeNote = "loose" if loose - meant else ""
    if last.kind == "one figure":
        note = "one figure"
    elif last.kind == "own" and not after_error:
        note = "early"
    return found._replace(
        verdict="carried" if carried else "right",
        method=True,
        accurate=last.is_final,
        note=note,
    )


def how_well(gauge: Gauge, statement: Statement, lookup: Mapping[str, Measure]) -> int:
    """How well a statement fits: 0 a right value, 1 a right side, 2 and 3 by the learner's own;
    NO_FIT for none of these, 1 also for one without sides.
    """
    try:
        kinds = [fit(gauge, side, lookup, statement.turned).kind for side in statement.sides]
    except Refusal:
        return NO_FIT
    if not kinds:
        return 1
    if kinds[-1] in ("true", "one figure"):
        return 0
    if kinds[-1] == "own":
        return 2
    return 1 if "true" in kinds else 3 if "own" in kinds else NO_FIT


def recognised(
    subject: Subject[Topic], statement: Statement, lookup: Mapping[str, Measure]
) -> Judgement[Topic] | None:
    """What a statement that fits nothing is judged to be, None where it cannot be worked out."""
    try:
        return grade(subject, statement, lookup, True)
    except Refusal:
        return None


def _rounded_on(fits: tuple[Fit, ...]) -> tuple[Fit, ...]:
    """The sides with a last value that misses the right side before it by rounding alone, as where
    the calculator went on with more figures than were written.
    """
    if len(fits) < 2 or fits[-1].kind != "off" or fits[-2].kind not in GOOD:
        return fits
    value, before = fits[-1].value, fits[-2].value
    if value is None or before is None or in_letters(value) or in_letters(before):
        return fits
    near = abs(value - before) <= ROUNDING * abs(before)
    return (*fits[:-1], fits[-1]._replace(kind="own")) if near else fits


def _in_one_unit(statement: Statement, fits: tuple[Fit, ...]) -> tuple[Fit, ...]:
    """The sides of one over a value as right where plain numbers all count in another unit than
    the usual one: 1/C = 4 + 1 = 5, per nF.
    """
    shifts = {each.shift for each in fits if each.bare and each.kind == "power of ten"}
    if not statement.turned or len(shifts) != 1 or any(not each.shift for each in fits):
        return fits
    return tuple(f._replace(kind="true") for f in fits) if min(shifts) % 3 == 0 else fits


def _not_in_short(subject: Subject[Topic], fits: tuple[Fit, ...]) -> tuple[Fit, ...]:
    """The sides with a last value that is right to one figure, but is what a wrong rule gives."""
    *before, last = fits
    if last.kind != "one figure" or any(each.value == last.value for each in before):
        return fits
    names = subject.recognise(last)[0]
    is_wrong = names and not set(names) <= SLIPS | {EARLY}
    return (*before, last._replace(kind="off")) if is_wrong else fits


def _formula(found: Fit, side: Expression, lookup: Mapping[str, Measure]) -> Fit:
    """A side as it fits; a formula in names that stand for plain numbers states no unit."""
    names = bool(names_in(side))
    if found.kind == "unit" and names and evaluate(side, lookup).dims == PURE:
        return found._replace(kind="true")
    return found


def _names_in(side: Expression, case: _Case[Topic]) -> bool:
    """Whether names stand in a side, other than letters that stand for values."""
    letters = case.subject.gauge.letters
    return any(name not in letters for name in names_in(side))


def _is_rounded_sum(case: _Case[Topic], at: int) -> bool:
    """Whether a sum of typed values misses the right one after it by their rounding alone:
    1.951 − 14.63 + 12.68 = 0.
    """
    fits, gauge = case.fits, case.subject.gauge
    value, after = fits[at].value, fits[at + 1]
    if after.kind not in GOOD or not isinstance(value, Fraction):
        return False
    room = Fraction(0)
    for part in parts_of(case.statement.sides[at]):
        if isinstance(part, Num) and part.half is not None:
            power = part.unit.power if part.unit else gauge.power
            room += part.half * Fraction(10) ** power
        elif isinstance(part, (Name, Power)) or (isinstance(part, Op) and part.sign in "*/"):
            return False
    return isinstance(after.value, Fraction) and abs(value - after.value) <= room


def _is_loose(case: _Case[Topic], at: int) -> bool:
    """Whether a side that does not fit is meant otherwise, with a right side after it.

    1/4 + 1/5 for C, where 1/C was meant; 2 + 3 = 5 + 6, where the sum goes on; a side whose
    units alone do not come out.
    """
    fits, statement = case.fits, case.statement
    if not any(f.kind in GOOD for f in fits[at + 1 :]):
        return False
    side = statement.sides[at]
    if fits[at].kind in ("unit", "power of ten"):
        return True
    if case.subject.gauge.kind == "capacitance" and not statement.turned:
        try:
            if fit(case.subject.gauge, side, case.lookup, True).kind in GOOD:
                return True
        except Refusal:
            return False
    if fits[at + 1].kind == "one figure":
        return False  # 15/3 = 5 is another value than 4.5, not that one in short
    first = _leftmost(statement.sides[at + 1])
    return isinstance(first, Num) and first.value == evaluate(side, case.lookup).value


def _leftmost(side: Expression) -> Expression:
    while not isinstance(side, Num) and isinstance(side, (Op, Neg, Power)):
        side = (
            side.left
            if isinstance(side, Op)
            else side.base
            if isinstance(side, Power)
            else (side.inner)
        )
    return side


def _faulty(case: _Case[Topic], bad: int, found: Judgement[Topic]) -> Judgement[Topic]:
    """A statement one side of which does not fit, the first such at ``bad``."""
    fits = case.fits
    here = fits[bad]
    found = found._replace(
        verdict="wrong",
        slip=bad,
        begun=any(f.kind == "true" for f in fits[:bad] if not f.is_final)
        and not any(_names_in(side, case) for side in case.statement.sides[:bad]),
        ends_right=fits[-1].kind in GOOD[:2],
        slipped_to=None if _names_in(case.statement.sides[bad], case) else here.value,
    )
    is_last = bad == len(fits) - 1
    if here.kind == "power of ten" and is_last:
        return found._replace(
            fault="power-of-ten",
            method=True,
            shift=here.shift,
            malrules=case.subject.of_shift(here.shift),
        )
    if here.kind == "unit" and is_last:
        return found._replace(
            fault="unit", method=True, accurate=True, unit="wrong", malrules=("wrong-kind-of-unit",)
        )
    names, diagnosis = case.subject.recognise(here)
    if case.statement.turned and diagnosis and FRACTIONS.intersection(names):
        diagnosis = _of_fractions(diagnosis)  # what is said of 1/C was a sum of fractions
        names = diagnosis.names
    if any(f.kind in GOOD for f in fits[:bad]):
        found = found._replace(fault="arithmetic", method=True)
        is_added = bool(names) and set(names) <= FRACTIONS
        return found._replace(malrules=names, diagnosis=diagnosis) if is_added else found
    if not names and not is_last and fits[-1].kind == "off":
        # a sum of rounded values, then what it comes to
        names, diagnosis = case.subject.recognise(fits[-1])
    side, turned = case.statement.sides[bad], case.statement.turned
    diagnosis = as_written(diagnosis, side, case.lookup, turned)
    names = diagnosis.names if diagnosis else names
    if names and set(names) <= {EARLY}:
        return found._replace(
            verdict="right",
            method=True,
            accurate=here.is_final,
            note="early",
            slip=None,
            malrules=(EARLY,),
        )
    in_names = not any(numbers_in(case.statement.sides[bad]))
    if in_names and found.ends_right and not names:  # its names may be meant otherwise than here
        vague = any(len(name) == 1 for name in names_in(case.statement.sides[bad]))
        return found._replace(
            verdict="right", method=True, accurate=fits[-1].is_final, slip=None,
            note="" if vague else "loose",
        )
    in_names &= diagnosis is None or not diagnosis.is_written
    if in_names and (case.subject.gauge.kind != "capacitance" or set(names) <= SLIPS | {EARLY}):
        return found  # where no number stands none was copied or divided wrongly
    if names and set(names) <= SLIPS | {EARLY}:
        found = found._replace(fault="arithmetic", method=not here.is_final, malrules=names)
        return found._replace(diagnosis=diagnosis)
    if names:
        return found._replace(fault="malrule", malrules=names, diagnosis=diagnosis)
    if not (here.is_final and is_last) and _copied(case, bad):
        return found._replace(fault="arithmetic", method=True)
    if found.ends_right and not here.is_final:  # nothing known is wrong with the way to it
        return found._replace(
            verdict="right", method=True, accurate=fits[-1].is_final, note="loose", slip=None
        )
    return found._replace(diagnosis=case.subject.suspect(here)) if len(fits) == 1 else found


def _of_fractions(found: Diagnosis) -> Diagnosis:
    """A diagnosis with those of its wrong rules alone by which fractions are added."""
    groups = (tuple(rule for rule in group if rule.name in FRACTIONS) for group in found.groups)
    return found._replace(groups=tuple(filter(None, groups)), is_written=True)


def _copied(case: _Case[Topic], at: int) -> bool:
    """Whether one number of a side, replaced by a known value, would make it right."""
    side = case.statement.sides[at]
    numbers = list(numbers_in(side))
    if not 1 < len(numbers) <= MOST_NUMBERS_TRIED:
        return False
    known = set(case.subject.others())
    for number in numbers:
        for value in known - {number.value}:
            other = number._replace(value=value, half=None)
            tried = rewritten(side, lambda part: other if part is number else None)  # noqa: B023
            try:
                again = fit(case.subject.copied, tried, case.lookup, case.statement.turned)
            except Refusal:
                continue
            if again.kind in ("true", "own"):
                return True
    return False

