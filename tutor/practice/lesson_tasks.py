"""The block of one task in a lesson: which kind it is, and its fields."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, get_args

from grammar.records import Refusal
from tutor.practice.lesson_fields import Table
from tutor.practice.lesson_places import LessonText, offset_within
from tutor.practice.lessons import Exercise, ExerciseKind, OwnChoice
from tutor.practice.own_choices import one_value_in, value_of

KINDS: Final[tuple[ExerciseKind, ...]] = get_args(ExerciseKind)
MOST_SEED: Final = 10**9
TASK_FIELDS: Mapping[ExerciseKind, tuple[str, ...]] = MappingProxyType({
    "network": ("ask",),
    "order": ("ask",),
    "question": ("seed",),
    "puzzle": (),
    "say": ("model",),
    "text": ("right", "value", "because", "hint", "skills", "wrong"),
})
KIND_WORDS: Mapping[ExerciseKind, str] = MappingProxyType({
    "network": "a network or a problem in stages, to be worked through",
    "order": "a network made to order, as in 'two in series, whole numbers'",
    "question": "a kind of question without sums, as in 'bounds'",
    "puzzle": "a wish for an arrangement, as in '5 uF from 2 uF, 3 uF'",
    "say": "something to say freely, with a model answer that is shown after it",
    "text": "a question of your own",
})


def exercise_of(
    source: LessonText, opened: int, last: int, faults: list[Refusal]
) -> Exercise | None:
    """The task whose table begins after the line ``opened`` and ends with the line ``last``.

    None where its kind cannot be told; what is wrong is added to ``faults``.
    """
    table = Table(source, opened + 1, last, opened)
    exercise = None
    if table.is_read:
        kind = _kind(table)
        if kind is not None:
            exercise = _exercise(table, kind, last)
    faults += table.faults
    return exercise


def _kind(table: Table) -> ExerciseKind | None:
    found = [kind for kind in KINDS if kind in table.values]
    if len(found) > 1:
        table.fault(
            found[1],
            f"The task has both {found[0]} and {found[1]}.",
            f"Keep one of the two; a task has one of {', '.join(KINDS)}.",
        )
        return None
    if not found:
        table.know(*KINDS, *TASK_FIELDS["text"], "ask", "seed")
        table.refuse_the_rest("a task")
        if not table.faults:
            kinds = ", ".join(KINDS[:-1])
            line = table.source.at_line(table.opened)
            table.faults.append(Refusal(
                "The task says nothing to do.", f"Give it one of {kinds} and {KINDS[-1]}.", line
            ))
        return None
    return found[0]


def _exercise(table: Table, kind: ExerciseKind, last: int) -> Exercise:
    others = TASK_FIELDS[kind]
    exercise = Exercise(kind, table.text(kind), table.source.at_line(table.opened), last)
    if "ask" in others:
        exercise = exercise._replace(ask=table.skills("ask", needed=False))
    if "seed" in others:
        exercise = exercise._replace(seed=table.whole("seed", 0, MOST_SEED, 1))
    if "model" in others:
        exercise = exercise._replace(model=table.text("model", needed=False))
    if "wrong" in others:
        exercise = exercise._replace(choice=_choice(table), skills=table.skills("skills"))
    table.refuse_the_rest(f"a task that has {kind}")
    return exercise


def _choice(table: Table) -> OwnChoice:
    if "value" in table.values:
        return _value(table)
    right, because = table.text("right"), table.text("because")
    wrong = table.wrong_choices("wrong")
    figures = Counter(_figures(text) for text in (right, *(each.say for each, _ in wrong)))
    said = {_meaning(right, figures): right}
    for each, at in wrong:
        other = said.setdefault(_meaning(each.say, figures), each.say)
        if other is not each.say:
            is_same = other.strip().lower() == each.say.strip().lower()
            twice = "stands twice" if is_same else f"says the same as '{other}'"
            cure = "Give each choice words of its own."
            table.fault_in("wrong", at, f"The choice '{each.say}' {twice}.", cure)
    hint = table.text("hint", needed=False)
    return OwnChoice(right, because, tuple(each for each, _ in wrong), hint)


def _figures(text: str) -> str:
    return "".join(sign for sign in text if sign.isdigit())


def _meaning(said: str, figures: Counter[str]) -> object:
    """What is equal for choices that say one thing: a value however its unit is written, and words
    without what makes no difference to a reader. Of how many figures a value is, and by which
    prefix, may be what is asked; so only those of the same ``figures`` need to be read as values.
    """
    mine = _figures(said)
    measure = one_value_in(said) if mine and figures[mine] > 1 else None
    if measure is None:
        return " ".join(said.lower().split()).rstrip(".!;,")
    return measure.value, measure.dims, measure.figures, measure.power


def _value(table: Table) -> OwnChoice:
    """A question that is answered by a number, with its unit where it has one."""
    value, because = table.text("value"), table.text("because")
    try:
        if value.strip():
            value_of(value)
    except Refusal as refusal:
        cure = 'Write a number and its unit, as in value = "25.2 uC".'
        table.fault_in("value", 0, f"The value cannot be read. {refusal.found}", cure)
    return OwnChoice(value, because, (), table.text("hint", needed=False))


def place_in(text: str, exercise: Exercise, fault: Refusal) -> Refusal:
    """A fault in the text of a task, with its place in the file, whose text is given."""
    source = LessonText(text.removeprefix("\ufeff"))
    table = Table(source, exercise.place.line + 1, exercise.last, exercise.place.line)
    value = table.value_at(exercise.kind)
    if fault.place is None:
        return Refusal(fault.found, fault.cure, source.at(value.start))
    lines = exercise.text.split("\n")[: fault.place.line - 1]
    index = sum(len(line) + 1 for line in lines) + fault.place.column - 1
    return Refusal(fault.found, fault.cure, source.at(offset_within(source, value, index)))
