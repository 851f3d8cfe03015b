"""What a kind of problem supplies to the one marker: its quantities, names and relations."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from collections.abc import Set as AbstractSet
from typing import Any, Generic, NamedTuple, Protocol, Self, TypeVar

from grammar.answers import Measure
from grammar.expressions import Expression
from grammar.records import Dimension
from tutor.circuit.values import Value
from tutor.teaching.marking.awarding import Ground
from tutor.teaching.marking.grading import Judgement, Topic
from tutor.teaching.marking.phrases import Rulings
from tutor.teaching.marking.scheme import Offer
from tutor.teaching.marking.statements import Reader, Said
from tutor.teaching.staged.story import Valued


class Passing(NamedTuple):
    """A value written down on a line without what it is of; ``first`` is the first side of what it
    stands in, the value itself where it stands alone. ``named``: the pupil gave it a name.
    """

    line: int
    measure: Measure
    first: Measure
    named: bool = False


class ReadSoFar(Protocol):
    """How far a script has been read, whatever it is about.

    ``stated`` holds every value the learner has stated, ``wrong`` what was not right the last time
    it was stated, ``doubtful`` that of which only a wrong guess stands; ``aliases`` are names the
    learner gave. ``hint`` are capacitors named in the words before. ``going_on`` is the
    statement that a line which begins with an equals sign goes on with. ``passing`` are the last
    values that are of nothing known, ``slipped`` those of them that turned out to be slips, with
    the numbers of their lines. ``mistaken`` are the last statements that were wrong and may be
    worked on.
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
    that states no value is true. ``truth`` and ``own`` are right values and the learner's,
    ``given`` those of the text, ``right_values`` all that there are, with or without a mark,
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
    truth: Callable[[S], Mapping[Topic, Valued]]
    own: Callable[[S], Mapping[Topic, Value]]
    given: Callable[[S], Collection[Value]]
    right_values: Callable[[S], Collection[Valued]]
    worth: Callable[[S, Sequence[Expression]], Mapping[str, Measure]]
    powers: Callable[[S], Mapping[Dimension, int]]
    settled: Callable[[S], S]
    canonical: Callable[[S, Topic], Topic]
    ground: Callable[[S, AbstractSet[Topic]], Ground[Topic]]
    called: Callable[[S, Topic], tuple[str, str]]
    scheme_line: Callable[[S, Offer[Topic]], str]
    remark: Callable[[S, Rulings, Judgement[Topic]], str]
