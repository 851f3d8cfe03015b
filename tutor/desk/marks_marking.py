"""The scripts of a class marked, each by the problem or the paper that it answers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Final, NamedTuple

from grammar.any_text import sure_reading
from grammar.records import Refusal
from tutor.desk.marks_headings import Parted, by_question
from tutor.desk.marks_scripts import HandedIn, Unmarked
from tutor.learner.standing import Seen, Standing, standing_of
from tutor.practice.papers import PaperOrder, make_paper
from tutor.practice.papers_drawn import PaperQuestion
from tutor.practice.papers_marked import MarkedQuestion, marks_of, source_for, with_showing
from tutor.teaching.marking.examining import GENERAL_PRACTICE, Scheme
from tutor.teaching.observation import Observation
from tutor.teaching.papered import MarkedProblem
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import listed

NO_SEED: Final = Refusal(
    "The seed of this paper is not said.",
    "Write 'seed: 7' on the first line, or in the name of the file as in 'Ada seed 7.txt'.",
)


class Assignment(NamedTuple):
    """What the class was set, and how it is marked: one problem for everyone (its ``text``), or a
    ``paper`` of which each script has the variant of its seed. ``is_one``: the order itself says
    the seed, for every script that does not.
    """

    text: str = ""
    paper: PaperOrder | None = None
    is_one: bool = False
    scheme: Scheme = GENERAL_PRACTICE
    settings: Settings = DEFAULTS


class MarkedScript(NamedTuple):
    """One script with its questions marked; ``notes`` say what of it belongs to none."""

    script: HandedIn
    questions: tuple[MarkedQuestion, ...]
    notes: tuple[str, ...] = ()

    @property
    def total(self) -> int:
        """The marks earned."""
        return sum(each.marked.total for each in self.questions)

    @property
    def of(self) -> int:
        """The marks there were."""
        return sum(each.marked.of for each in self.questions)

    def shows(self, when: float = 0.0) -> tuple[Seen, ...]:
        """What it shows of the learner, in the order of its questions and lines."""
        return tuple(
            Seen(seen, f"{self.script.file} {number}", when)
            for number, each in enumerate(self.questions, start=1)
            for seen in observed(each)
        )

    @property
    def standing(self) -> Standing:
        """The same folded: what this script alone tells of skills and wrong ideas."""
        return standing_of(self.shows())


class ClassMarks(NamedTuple):
    """A class marked, and the files that could not be."""

    assignment: Assignment
    marked: tuple[MarkedScript, ...]
    unmarked: tuple[Unmarked, ...]


def observed(question: MarkedQuestion) -> tuple[Observation, ...]:
    """What the lines of a question show, and then the way it is set out."""
    lines = tuple(seen for _, row in sorted(question.seen.items()) for seen in row)
    return lines if question.set_out is None else (*lines, question.set_out)


def mark_scripts(
    scripts: Iterable[HandedIn | Unmarked], assignment: Assignment, after_each: Callable[[], None]
) -> ClassMarks:
    """Mark them one after the other; what cannot be marked stops none of the rest.

    ``after_each`` is called when a script is done. Errors: ``Refusal`` for a problem or an order of
    a paper that cannot be used at all.
    """
    marker = _Marker(assignment)
    marked: list[MarkedScript] = []
    unmarked: list[Unmarked] = []
    for script in scripts:
        found = script if isinstance(script, Unmarked) else marker.marked(script)
        (unmarked if isinstance(found, Unmarked) else marked).append(found)  # type: ignore[arg-type]
        after_each()
    return ClassMarks(assignment, tuple(marked), tuple(unmarked))


def _to_judge(found: Iterable[MarkedQuestion]) -> Iterator[str]:
    """What a teacher has to look at: answers to a choice of which none could be read."""
    for number, each in enumerate(found, start=1):
        marked = each.marked
        if each.question.question is not None and marked.credits[0].verdict is None:
            lines = [str(line.line) for line in marked.lines if line.text.strip()]
            if lines:
                where = f"line{'' if len(lines) == 1 else 's'} {listed(lines)}"
                yield f"Question {number}: {where} could not be read as one of the answers; look."


class _Marker:
    """Marks scripts of one assignment, and keeps what is the same for all who have a question."""

    def __init__(self, assignment: Assignment) -> None:
        self.assignment = assignment
        self.sources: dict[PaperQuestion, MarkedProblem] = {}
        self.variants: dict[tuple[int, int], tuple[PaperQuestion, ...]] = {}
        self.problem: tuple[PaperQuestion, ...] = ()
        if assignment.paper is None:
            text = sure_reading(assignment.text).text
            self.problem = (PaperQuestion(text, "", 0, ""),)
            self._source(self.problem[0])

    def marked(self, script: HandedIn) -> MarkedScript | Unmarked:
        try:
            return self._marked(script)
        except Refusal as refusal:
            return Unmarked(script.file, refusal)
        except Exception as fault:
            told = f"The program itself failed on this script ({type(fault).__name__}: {fault})."
            return Unmarked(script.file, Refusal(" ".join(told.split()), "Please report it."))

    def _marked(self, script: HandedIn) -> MarkedScript:
        questions = self._questions(script)
        is_paper = self.assignment.paper is not None
        whole = Parted({1: script.text})
        parts, notes = by_question(script.text, len(questions)) if is_paper else whole
        scheme, settings = self.assignment.scheme, self.assignment.settings
        found = []
        for number, question in enumerate(questions, start=1):
            marked = marks_of(question, parts.get(number, ""), scheme, settings)
            shown = with_showing(question, marked, self._source(question), number)
            if marked.total == marked.of:  # what costs no mark is nothing to be practised
                shown = shown._replace(bare=None, set_out=None if shown.bare else shown.set_out)
            found.append(shown)
        return MarkedScript(script, tuple(found), (*notes, *_to_judge(found)))

    def _questions(self, script: HandedIn) -> tuple[PaperQuestion, ...]:
        order = self.assignment.paper
        if order is None:
            return self.problem
        seed, variant = script.seed, script.variant
        if seed is None and self.assignment.is_one:
            seed, variant = order.seed, order.variant
        if seed is None:
            raise NO_SEED
        if (seed, variant) not in self.variants:
            own = order._replace(seed=seed, variant=variant)
            self.variants[seed, variant] = make_paper(own).questions
        return self.variants[seed, variant]

    def _source(self, question: PaperQuestion) -> MarkedProblem:
        if question not in self.sources:
            self.sources[question] = source_for(question, self.assignment.settings)
        return self.sources[question]
