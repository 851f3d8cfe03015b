"""Free working marked line by line, with errors carried forward.

The first error is found where it is made; what follows rightly from it, on the learner's own
values, is not marked down again. Source of the conventions: general practice in published
marking instructions (method and accuracy marks, one mark for a slip, units once).
"""

from __future__ import annotations

from typing import Final, NamedTuple

from grammar.answers import as_si, evaluate
from grammar.records import Refusal
from tutor.circuit.network import Problem
from tutor.circuit.steps import Fault as GroupFault
from tutor.circuit.values import same
from tutor.teaching.marking.awarding import Ground, Marks, award
from tutor.teaching.marking.carrying import canonical
from tutor.teaching.marking.grading import Fault, Grade, Statement, Verdict, grade, holds
from tutor.teaching.marking.recognising import subject_of
from tutor.teaching.marking.remarks import Context, remark
from tutor.teaching.marking.resolving import Target, resolve
from tutor.teaching.marking.routes import Group, without_idle
from tutor.teaching.marking.scheme import (
    GENERAL_PRACTICE,
    Scheme,
    SchemeLine,
    needed_for,
    scheme_lines,
)
from tutor.teaching.marking.script import Script, lookup
from tutor.teaching.marking.statements import Said, said_in
from tutor.teaching.marking.working import WrittenLine, written_lines
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.settings import Settings
from tutor.teaching.walk import Walk, begin_walk, targets

MOST_LINES = 400
IRREDUCIBLE: Final = "Series and parallel do not lead to one capacitor in this network."


class MarkedLine(NamedTuple):
    """One line of working. ``quantity`` is the last one it states; ``malrules`` are for the
    record, ``remark`` for the learner.
    """

    line: int
    text: str
    quantity: Quantity | None
    verdict: Verdict
    fault: Fault | None
    malrules: tuple[str, ...]
    marks: Marks
    remark: str


class Marked(NamedTuple):
    """A marked script: ``total`` out of ``of``; ``first_error`` is the number of the line where
    the first error was made; ``left_out`` are scheme lines that nothing was written for.
    """

    lines: tuple[MarkedLine, ...]
    total: int
    of: int
    scheme_lines: tuple[SchemeLine, ...]
    first_error: int | None
    left_out: tuple[SchemeLine, ...]
    walk: Walk


class _Graded(NamedTuple):
    written: WrittenLine
    grades: tuple[Grade, ...]
    why: str


def mark(
    problem: Problem, text: str, scheme: Scheme = GENERAL_PRACTICE,
    settings: Settings | None = None,
) -> Marked:
    """Mark a whole script. Raises Refusal for a script of too many lines."""
    written = written_lines(text)
    if len(written) > MOST_LINES:
        found = f"This script has more than {MOST_LINES} lines."
        raise Refusal(found, "Mark it in smaller pieces.")
    walk = without_idle(begin_walk(problem, settings or Settings()))
    script = Script(walk, {}, frozenset(), {})
    graded: list[_Graded] = []
    for line in written:
        script, found_here = _graded(script, line)
        graded.append(found_here)
    return _awarded(script, _without_wrong_guesses(graded), scheme)


def _graded(script: Script, line: WrittenLine) -> tuple[Script, _Graded]:
    grades: list[Grade] = []
    why = ""
    about: tuple[str, ...] = ()
    for piece in line.pieces:
        try:
            said = said_in(script.walk, piece, script.aliases)
        except Refusal as refusal:
            why = why or (str(refusal) if script.walk.whole else IRREDUCIBLE)
            continue
        for each in said:
            if each.statement is None:
                names = each.label.names if each.label else ()
                script = script._replace(hint=names or script.hint)
                about = each.names or about
                continue
            if not each.names and about and each.label is None:
                each = each._replace(names=about)  # noqa: PLW2901 - "1/C = 0.45, so 2.22 uF"
            try:
                script, new = _judged(script, each)
            except Refusal as refusal:
                why = why or str(refusal)
                continue
            why = why or ("" if new else _untold(script, each))
            grades += new
            about = each.names
    return script, _Graded(line, tuple(grades), why)


def _untold(script: Script, said: Said) -> str:
    """Why a statement is about nothing that can be marked."""
    assert said.statement is not None
    if script.walk.whole is None:
        return IRREDUCIBLE
    if not said.names:
        return "" if holds(said.statement) else "The two sides of an equals sign differ here."
    return f"{said.names[0]} stands for nothing that can be worked out in this network."


def _judged(script: Script, said: Said) -> tuple[Script, list[Grade]]:
    """Grade one statement for everything it is about, and remember what it states."""
    assert said.statement is not None
    script, found = resolve(script, said)
    grades: list[Grade] = []
    for target in found:
        each = _grade(script, target, said)
        grades.append(each)
        wrong = script.wrong - {each.quantity}
        if each.verdict != "right" and each.fault != "unit":
            wrong |= {each.quantity}
        stated = dict(script.stated)
        if each.value is not None:
            stated[each.quantity] = each.value
        doubtful = script.doubtful - {each.quantity}
        if each.guessed and each.verdict == "wrong":
            doubtful |= {each.quantity}
        script = script._replace(stated=stated, wrong=wrong, hint=(), doubtful=doubtful)
        if target.broken is not None and target.quantity.of is not None:
            broken = (target.quantity.of, target.broken.names)
            script = script._replace(broken=(*script.broken, broken))
    return script, grades


def _grade(script: Script, target: Target, said: Said) -> Grade:
    assert said.statement is not None
    own = script.own
    worth = lookup(script, own, said.statement)
    if target.broken is not None:
        return _of_no_group(script, target.quantity, target.broken, said.statement)
    if target.quantity not in script.walk.truth:
        value = script.stated.get(target.quantity)
        return Grade(target.quantity, "carried", method=True, value=value)
    known = {canonical(script.walk, quantity) for quantity in script.walk.known}
    subject = subject_of(own, target.quantity)
    each = grade(subject, said.statement, worth, bool(script.wrong))
    if each.verdict == "carried":
        truth = script.walk.truth
        off = (q for q, v in own.values.items() if q in truth and not same(v, truth[q]))
        each = each._replace(carrying=frozenset(off))
    if target.quantity in known and each.verdict == "wrong":
        return each._replace(fault="arithmetic", malrules=(), given=True)
    return each._replace(guessed=target.guessed, given=target.quantity in known)


def _of_no_group(
    script: Script, quantity: Quantity, group: Group, statement: Statement
) -> Grade:
    """The value of a group that is none: wrong as a step, but kept for what follows from it."""
    assert isinstance(group.judged, GroupFault)
    measure = evaluate(statement.sides[-1], lookup(script, script.own, statement))
    power = script.walk.problem.powers["capacitance"]
    value = None if statement.turned else as_si(measure, "capacitance", power)
    return Grade(
        quantity, "wrong", "malrule", value=value, group=group.judged, members=group.names
    )


def _without_wrong_guesses(graded: list[_Graded]) -> list[_Graded]:
    """Leave unread what was only guessed to be an answer, where a better one follows."""
    better: set[Quantity] = set()
    found: list[_Graded] = []
    for line in reversed(graded):
        kept = tuple(
            g for g in line.grades
            if not (g.guessed and g.verdict == "wrong" and g.quantity in better)
        )
        better |= {g.quantity for g in kept if g.verdict != "wrong" or not g.guessed}
        found.append(line._replace(grades=kept))
    return found[::-1]


def _awarded(script: Script, graded: list[_Graded], scheme: Scheme) -> Marked:
    walk = script.walk
    graded = [
        line._replace(grades=tuple(
            g._replace(quantity=canonical(walk, g.quantity)) for g in line.grades
        ))
        for line in graded
    ]
    items = scheme_lines(walk)
    grades = [line.grades for line in graded]
    ground = Ground(
        items, set(targets(walk)),
        lambda q: needed_for(walk, {q: None}) if q in walk.truth else frozenset(),
        [i for i in items if not script.broken or i.quantity.symbol != "C"],
    )
    awarded = award(ground, grades, scheme)
    context = Context(walk, scheme, awarded.lost, tuple(line.written.number for line in graded))
    lines: list[MarkedLine] = []
    for at, line in enumerate(graded):
        marks = Marks(*(sum(column) for column in zip(Marks(), *awarded.marks[at], strict=True)))
        verdict = _worst(line.grades)
        text = remark(context, at, line.written, line.grades, line.why)
        fault = next((g.fault for g in line.grades if g.fault), None)
        if fault is None and at in awarded.lost.units:
            fault = "unit"
        lines.append(MarkedLine(
            line.written.number, line.written.text,
            line.grades[-1].quantity if line.grades else None, verdict, fault,
            tuple(dict.fromkeys(m for g in line.grades for m in g.malrules)), marks, text,
        ))
    written = {g.quantity for row in grades for g in row}
    implied = any(line.marks.implied for line in lines)
    left = tuple(i for i in items if i.quantity not in written and (i.asked or not implied))
    return Marked(
        tuple(lines), sum(line.marks.total for line in lines), sum(i.marks for i in items), items,
        next((line.line for line in lines if line.verdict == "wrong"), None), left, walk,
    )


def _worst(grades: tuple[Grade, ...]) -> Verdict:
    order: tuple[Verdict, ...] = ("wrong", "carried", "right")
    said = {g.verdict for g in grades}
    return next((verdict for verdict in order if verdict in said), "unread")


def mark_in_chat(walk: Walk, text: str) -> list[Message]:
    """Several lines pasted into a dialogue, marked: one message a line, then the total.

    The walk is not moved on. A script that cannot be marked gives one message that says why.
    """
    try:
        marked = mark(walk.problem, text, settings=walk.terms)
    except Refusal as refusal:
        return [Message("verdict", str(refusal), verdict="unread")]
    said: list[Message] = []
    for line in marked.lines:
        if not line.text.strip():
            continue
        verdict = "right" if line.verdict == "carried" else line.verdict
        said.append(Message(
            "verdict", f"Line {line.line}: {line.remark}", verdict=verdict, malrules=line.malrules
        ))
    said.append(Message("say", summary(marked)))
    return said


def summary(marked: Marked) -> str:
    """The total in words, with the line to look at first."""
    total = f"{marked.total} of {marked.of} marks."
    if marked.first_error is None:
        return total
    return f"{total} The first thing to look at is line {marked.first_error}."
