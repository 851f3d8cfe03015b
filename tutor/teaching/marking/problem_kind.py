"""What a kind of problem supplies to the one marker: its quantities, names and relations."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from fractions import Fraction
from typing import Any, Final, Generic, Literal, NamedTuple, Protocol, Self, TypeAlias, TypeVar

from grammar.answers import Measure, as_si, evaluate
from grammar.expressions import Expression, Num, names_in, parts_of
from grammar.measures import PURE
from grammar.records import Dimension, Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.awarding import Ground
from tutor.teaching.marking.fitting import usual_unit
from tutor.teaching.marking.grading import Judgement, Topic
from tutor.teaching.marking.phrases import Rulings
from tutor.teaching.marking.scheme import Offer
from tutor.teaching.marking.statements import Reader, Said
from tutor.teaching.marking.true_in_numbers import USUAL_POWERS
from tutor.teaching.staged.story import Valued

SaidHow: TypeAlias = Literal[
    "stated", "worked out", "begun", "named", "combined", "unnamed", "seen"
]


TAKEN_FOR_IT: Final = "{0} is needed here, and another value stands in its place. What is {0}?"


class Passing(NamedTuple):
    """A value written down on a line without what it is of; ``first`` is the first side of what it
    stands in, the value itself where it stands alone. ``named``: the pupil gave it a name;
    ``said`` is what it stands in.
    """

    line: int
    measure: Measure
    first: Measure
    named: bool = False
    said: Said | None = None


class OwnValue(NamedTuple):
    """A value of the pupil's and the right one, in SI units, or as plain numbers.

    ``source`` says how surely the one is meant for the other: it was ``stated`` for it, or
    ``worked out`` wrongly under its name, or ``begun`` with the right one; else it is one
    of its kind that was written under a name, a capacitance ``combined`` of others, or without
    any name; or it is a number ``seen`` in a line that was wrong or could not be read.
    """

    own: Fraction
    right: Fraction
    source: SaidHow
    kind: Dimension | None = None

    @property
    def is_off(self) -> bool:
        """Whether the pupil's value is not the right one."""
        return not close(self.own, self.right)


class ReadSoFar(Protocol):
    """How far a script has been read, whatever it is about.

    ``stated`` holds every value the learner has stated, ``wrong`` what was not right the last time
    it was stated, ``doubtful`` that of which only a wrong guess stands; ``aliases`` are names the
    learner gave. ``hint`` are capacitors named in the words before. ``going_on`` is the
    statement that a line which begins with an equals sign goes on with. ``passing`` are the last
    values that are of nothing known, ``slipped`` those of them that turned out to be slips, with
    the numbers of their lines. ``mistaken`` are the last statements that were wrong and may be
    worked on, ``equations`` the last ones in names, right, wrong or not understood, ``led`` the
    last values of ways that would come to others with right values in them; ``seen`` are the last
    numbers of lines that were wrong or could not be read. ``has_paid``: a wrong value without a
    mark of its own has cost the accuracy of one that rests on it.
    """

    @property
    def stated(self) -> Mapping[Any, Value]: ...  # noqa: D102
    @property
    def wrong(self) -> frozenset[Any]: ...  # noqa: D102
    @property
    def doubtful(self) -> frozenset[Any]: ...  # noqa: D102
    @property
    def aliases(self) -> Mapping[str, Any]: ...  # noqa: D102
    @property
    def hint(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def going_on(self) -> Said | None: ...  # noqa: D102
    @property
    def passing(self) -> tuple[Passing, ...]: ...  # noqa: D102
    @property
    def slipped(self) -> tuple[tuple[int, Judgement[Any]], ...]: ...  # noqa: D102
    @property
    def mistaken(self) -> tuple[Said, ...]: ...  # noqa: D102
    @property
    def equations(self) -> tuple[Said, ...]: ...  # noqa: D102
    @property
    def led(self) -> tuple[OwnValue, ...]: ...  # noqa: D102
    @property
    def seen(self) -> tuple[Fraction, ...]: ...  # noqa: D102
    @property
    def has_paid(self) -> bool: ...  # noqa: D102
    def _replace(self, *args: Any, **named: Any) -> Self: ...


S = TypeVar("S", bound=ReadSoFar)


class JudgedFor(NamedTuple, Generic[S, Topic]):
    """What is made of a statement about one quantity: the sheet after it if the judgement may
    stand, that judgement, if there is one, and what else to say.
    """

    sheet: S
    each: Judgement[Topic] | None
    why: str = ""


class Meaning(NamedTuple, Generic[S, Topic]):
    """Something that a statement may be about. ``judge`` gives its judgement for a sheet, by the
    values of another that may be older; ``named`` where the statement itself shows that it is
    about this; ``about`` is None where there are no marks for it.
    """

    about: Topic | None
    judge: Callable[[S, S], JudgedFor[S, Topic]]
    named: bool = False
    guessed: bool = False


class FoundIn(NamedTuple, Generic[S, Topic]):
    """What has been made of a statement, a piece or a line: the sheet after it, the judgements,
    and ``why`` some of it has none.
    """

    sheet: S
    grades: tuple[Judgement[Topic], ...] = ()
    why: str = ""

    @property
    def is_good(self) -> bool:
        """Whether something was read and nothing of it called wrong."""
        return bool(self.grades) and all(each.verdict != "wrong" for each in self.grades)


class ProblemKind(NamedTuple, Generic[S, Topic]):
    """The ways in which one kind of problem differs from another where working is marked.

    Reading: ``names`` that mean something, a ``reader`` with them, a piece
    ``readied`` in every way in which it may be meant, the usual one first, and what of it is said
    ``in_words`` alone, None where it is to be read as mathematics. Judging:
    ``equation`` takes relations that state the value of nothing, ``meanings`` say what a statement
    may be about, ``alike`` what else is said with a value of each, ``holds`` whether a statement
    that states no value is true, ``excused`` a wrong judgement as it stands after what was said to
    be left out. ``truth`` and ``own`` are right values and the learner's,
    ``given`` those of the text, ``right_values`` all that there are, with or without a mark,
    ``at_later_times`` those of one quantity later than when it is asked for,
    ``taken_for`` those of other problems that a pupil may take this one for,
    ``worth`` what names come to, ``settled`` a sheet with all that follows from a new value.
    Awarding: ``canonical`` is a quantity under the name of its marks.
    """

    names: Callable[[S], Collection[str]]
    reader: Callable[[S], Reader]
    readied: Callable[[S, str], Sequence[str]]
    in_words: Callable[[S, str], FoundIn[S, Topic] | None]
    equation: Callable[[S, Said], FoundIn[S, Topic] | None]
    meanings: Callable[[S, Said], tuple[S, Sequence[Meaning[S, Topic]]]]
    alike: Callable[[S, Said, Judgement[Topic]], Sequence[Meaning[S, Topic]]]
    holds: Callable[[S, Said], Judgement[Topic] | None]
    excused: Callable[[S, Judgement[Topic]], Judgement[Topic]]
    truth: Callable[[S], Mapping[Topic, Valued]]
    own: Callable[[S], Mapping[Topic, Value]]
    given: Callable[[S], Collection[Value]]
    right_values: Callable[[S], Collection[Valued]]
    at_later_times: Callable[[S, Topic], Collection[Value]]
    taken_for: Callable[[S], Sequence[Mapping[Topic, Value]]]
    worth: Callable[[S, Sequence[Expression]], Mapping[str, Measure]]
    powers: Callable[[S], Mapping[Dimension, int]]
    settled: Callable[[S], S]
    canonical: Callable[[S, Topic], Topic]
    ground: Callable[[S, AbstractSet[Topic]], Ground[Topic]]
    called: Callable[[S, Topic], tuple[str, str]]
    scheme_line: Callable[[S, Offer[Topic]], str]
    remark: Callable[[S, Rulings, Judgement[Topic]], str]


# Values met in passing: written down on the way, with no name that says what they are


ROUNDED: Final = Fraction(1, 40)
MOST: Final = 3  # the last few are remembered


def kept(sheet: S, each: Judgement[Topic]) -> S:
    """The sheet with what a judgement says of a quantity."""
    one = frozenset((each.quantity,))
    off = each.verdict != "right" and each.fault != "unit"
    unsure = each.guessed and each.verdict == "wrong"
    is_new = each.value is not None and sheet.stated.get(each.quantity) != each.value
    return sheet._replace(
        stated={**sheet.stated, each.quantity: each.value} if is_new else sheet.stated,
        hint=(),
        wrong=sheet.wrong | one if off else sheet.wrong - one,
        doubtful=sheet.doubtful | one if unsure else sheet.doubtful - one,
    )


def passed_by(by: ProblemKind[S, Topic], sheet: S, said: Said, line: int) -> S:
    """The sheet with the value that a statement about nothing comes to, if it has a unit or
    is not what it begins with.
    """
    assert said.statement is not None
    sides = [s for s in said.statement.sides if by.worth(sheet, (s,)).keys() >= {*names_in(s)}]
    try:
        first, measure = (evaluate(s, by.worth(sheet, (s,))) for s in (sides[0], sides[-1]))
    except (Refusal, IndexError):
        return sheet
    differs = first.value != measure.value
    if (measure.bare and not differs) or measure.value == 0 or said.statement.turned:
        return sheet
    passed = Passing(line, measure, first, bool(said.names), said)
    return sheet._replace(passing=(*sheet.passing, passed)[-MOST:])


def carried_from(
    by: ProblemKind[S, Topic],
    sheet: S,
    found: FoundIn[S, Topic],
    judge: Callable[[S, Said], FoundIn[S, Topic]],
    said: Said,
) -> FoundIn[S, Topic] | None:
    """What ``judge`` makes of a statement called wrong, if a value met in passing led to it; of one
    that is about nothing yet, if what names come to led to it: C3 + C4 = 9, then 9 + 2 = 11.
    """
    is_wrong = any(each.verdict == "wrong" for each in found.grades)
    is_open = not found.grades and said.statement is not None and len(said.statement.sides) > 1
    passing = sheet.passing if is_wrong else [each for each in sheet.passing if each.measure.bare]
    for passed, slip in _slips(by, sheet, passing) if is_wrong or is_open else ():
        tried = by.settled(kept(sheet, slip))
        try:
            other = judge(tried, said)
        except Refusal:
            continue
        if slip.verdict == "right" and other.is_good:
            return other
        if other.is_good and all(
            each.verdict == "carried" and (each.value is None or each.quantity != slip.quantity)
            for each in other.grades
        ) and not _names_it(said, slip):
            told = _known_for_its_rule(by, sheet, passed, slip, judge)
            slipped = (*sheet.slipped, (passed.line, told))
            if slip.quantity not in {i.quantity for i in by.ground(sheet, frozenset()).items}:
                grades = (each._replace(accurate=False) for each in other.grades)
                other = other._replace(grades=tuple(grades))  # the slip has no mark to cost
            if any(each.quantity == slip.quantity for each in other.grades):  # by no right way
                grades = (each._replace(method=False) for each in other.grades)
                other = other._replace(grades=tuple(grades))
            return other._replace(sheet=other.sheet._replace(slipped=slipped, passing=()))
    return None


def _known_for_its_rule(
    by: ProblemKind[S, Topic],
    sheet: S,
    passed: Passing,
    slip: Judgement[Topic],
    judge: Callable[[S, Said], FoundIn[S, Topic]],
) -> Judgement[Topic]:
    """A slip as ``judge`` finds it under the name of what it is of, where that shows a wrong rule:
    C3 + C4 = 9, of a chain.
    """
    name = by.called(sheet, slip.quantity)[1]
    if passed.said is None or name not in by.names(sheet):
        return slip
    grades = judge(sheet, passed.said._replace(names=(name,))).grades
    is_known = len(grades) == 1 and grades[0].diagnosis is not None
    return grades[0] if is_known and grades[0].quantity == slip.quantity else slip


def _names_it(said: Said, slip: Judgement[Topic]) -> bool:
    """Whether a statement only gives a name to a value that was met without one."""
    sides = said.statement.sides if said.statement else ()
    return len(sides) == 1 and _holds_number(said, slip.value)


def led_by_skipped(
    by: ProblemKind[S, Topic],
    sheet: S,
    found: FoundIn[S, Topic],
    judge: Callable[[S, Said], FoundIn[S, Topic]],
    said: Said,
) -> FoundIn[S, Topic] | None:
    """What ``judge`` makes of a statement called wrong, if one of its numbers is wrong for a step
    that was not written down: that is then what is wrong, and takes the accuracy of the rest.
    """
    for skipped in _skipped(by, sheet, found, said):
        other = judge(by.settled(kept(sheet, skipped)), said)
        if other.is_good and all(each.verdict == "carried" for each in other.grades):
            if _was_seen(by, sheet, skipped):
                return other  # and has cost its mark there
            carried = (each._replace(accurate=False) for each in other.grades)
            return other._replace(grades=(skipped, *carried))
    return None


def _was_seen(by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic]) -> bool:
    """Whether a value is what a line before comes to that was wrong or could not be read, and was
    not taken for the value of one thing there.
    """
    kind, value = by.truth(sheet)[each.quantity][1], each.value
    unit = usual_unit(by.powers(sheet), kind)
    if value is None or value in sheet.stated.values():
        return False
    return any(close(number * unit, value) for number in sheet.seen)


def _skipped(
    by: ProblemKind[S, Topic], sheet: S, found: FoundIn[S, Topic], said: Said
) -> Iterator[Judgement[Topic]]:
    """The value of a step before that was left out: what a wrong idea there gives, or another value
    of its kind, that stands in the statement.
    """
    wrong = [each for each in found.grades if each.verdict == "wrong" and each.slip is not None]
    if not wrong:
        return
    truth, ground = by.truth(sheet), by.ground(sheet, frozenset())
    marked = {item.quantity for item in ground.items if item.accuracy}
    open_steps = [about for about in truth if about in marked and about not in sheet.stated]
    for each in wrong:
        needed = ground.needed(each.quantity)
        left_out = [at for at in open_steps if at != each.quantity and at in needed]
        diagnosis = each.diagnosis if each.fault == "malrule" else None
        told_at: Any = diagnosis.at if diagnosis else None
        at = by.canonical(sheet, told_at) if told_at is not None else each.quantity
        if diagnosis and diagnosis.context and at in left_out:
            unit = Fraction(10) ** diagnosis.context.power
            rules = (rule for group in diagnosis.groups[:1] for rule in group)
            for number in (n for rule in rules for n in rule.wrong(diagnosis.context)):
                if _holds_number(said, number * unit):
                    yield each._replace(quantity=at, value=number * unit, slipped_to=None)
        for about in left_out:
            kind = truth[about][1]
            for value in [v for t, v in sheet.stated.items() if t in truth and truth[t][1] == kind]:
                if value != truth[about][0] and _holds_number(said, value):
                    told = TAKEN_FOR_IT.format(by.called(sheet, about)[1])
                    yield Judgement(about, "wrong", value=value, is_final=True, slip=0, told=told)


def _holds_number(said: Said, value: Value | None) -> bool:
    """Whether a value stands in the sides of a statement as a number, in whatever unit."""
    if said.statement is None or value is None or in_letters(value):
        return False
    numbers = (part for side in said.statement.sides for part in parts_of(side))
    return any(
        close(each.value * Fraction(10) ** power, value)
        for each in numbers
        if isinstance(each, Num)
        for power in ((each.unit.power,) if each.unit else USUAL_POWERS)
    )


def _is_rounded(value: Value, right: Value) -> bool:
    """Whether a value is no slip: it misses the right one by what was rounded on the way to it."""
    return abs(Fraction(value) - Fraction(right)) <= ROUNDED * abs(Fraction(right))


def _slips(
    by: ProblemKind[S, Topic], sheet: S, passing: Sequence[Passing]
) -> Iterator[tuple[Passing, Judgement[Topic]]]:
    """Each value met in passing as a wrong one of each quantity of its kind: of those without a
    value first.
    """
    truth = sorted(by.truth(sheet).items(), key=lambda item: item[0] in sheet.stated)
    for about, (right, dimension) in truth:
        power = by.powers(sheet)[dimension] if dimension else 0
        for passed in reversed(passing):
            measure, begun = passed.measure, passed.first
            if measure.bare and begun.bare:
                continue
            try:
                value, first = (as_si(m, dimension or PURE, power) for m in (measure, begun))
            except Refusal:
                continue
            if close(value, right):
                continue
            told = (
                f"If this is meant for {by.called(sheet, about)[1]}, it is not right. What follows "
                "rightly from it is not marked down again."
            )
            is_begun_well = close(first, right)
            if not in_letters(value) and not in_letters(right) and _is_rounded(value, right):
                yield passed, Judgement(about, "right", method=True, value=value, is_final=True)
                continue
            yield (
                passed,
                Judgement(
                    about,
                    "wrong",
                    "arithmetic" if is_begun_well else None,
                    method=is_begun_well,
                    value=value,
                    is_final=True,
                    in_numbers=True,
                    told=told,
                ),
            )
