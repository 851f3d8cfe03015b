"""Free working marked line by line, with errors carried forward, whatever the problem is.

The first error is found where it is made; what follows rightly from it, on the learner's own
values, is not marked down again. Source of the conventions: general practice in published
marking instructions (method and accuracy marks, one mark for a slip, units once).
"""

from __future__ import annotations

from collections.abc import Sequence

from tutor.teaching.marking.awarding import Ground, award, worked_out
from tutor.teaching.marking.examining import Scheme
from tutor.teaching.marking.grading import Judgement, Topic
from tutor.teaching.marking.marked import (
    FAILED,
    Marked,
    credits_of,
    in_all,
    marked_line,
    unless_failing,
    with_what_it_earned,
    without_wrong_guesses,
)
from tutor.teaching.marking.numbers_standing import values_standing
from tutor.teaching.marking.own_values import with_seen
from tutor.teaching.marking.phrases import ReadLine, Rulings, remark
from tutor.teaching.marking.pieces_read import read_line
from tutor.teaching.marking.problem_kind import ProblemKind, S
from tutor.teaching.marking.working import WrittenLine


def marked(
    by: ProblemKind[S, Topic], sheet: S, written: Sequence[WrittenLine], scheme: Scheme
) -> Marked:
    """Mark a whole script, a line at a time, each by what stands before it."""
    read: list[ReadLine[Topic]] = []
    for line in written:
        failed: tuple[S, ReadLine[Topic]] = (sheet, ReadLine(line, (), FAILED))
        sheet, found = unless_failing(failed, read_line, by, sheet, line)
        sheet = with_seen(sheet, line.pieces, found.grades)
        read.append(found)
    judged = [
        (*line.grades, *(slip for at, slip in sheet.slipped if at == line.written.number))
        for line in read
    ]
    rows = without_wrong_guesses(
        [tuple(g._replace(quantity=by.canonical(sheet, g.quantity)) for g in row) for row in judged]
    )
    return _awarded(
        by, sheet, [r._replace(grades=row) for r, row in zip(read, rows, strict=True)], scheme
    )


def _without_units_shown(
    by: ProblemKind[S, Topic],
    sheet: S,
    ground: Ground[Topic],
    rows: Sequence[Sequence[Judgement[Topic]]],
) -> Ground[Topic]:
    """The ground without what costs nothing where its unit is missing: values that the text does
    not ask for by name, if the unit stands with another value of their kind.
    """
    truth = by.truth(sheet)
    kinds = {
        truth[each.quantity][1]
        for row in rows
        for each in row
        if each.is_final and not each.unit and each.value and each.quantity in truth
    }
    asked = {item.quantity for item in ground.items if item.asked}
    shown = {about for about, (_, kind) in truth.items() if kind in kinds}
    return ground._replace(wanted=ground.wanted - (shown - asked))


def _awarded(
    by: ProblemKind[S, Topic], sheet: S, read: Sequence[ReadLine[Topic]], scheme: Scheme
) -> Marked:
    rows = [line.grades for line in read]
    ground = by.ground(sheet, worked_out(rows))
    if scheme.units != "every time":
        ground = _without_units_shown(by, sheet, ground, rows)
    written = [line.written.text for line in read]
    answers = {q: value for q, value in by.truth(sheet).items() if q in ground.answers}
    standing = values_standing(written, answers, by.powers(sheet))
    awarded = award(ground._replace(answers=ground.answers - standing), rows, scheme)
    numbers = tuple(line.written.number for line in read)
    rulings = Rulings(scheme, awarded.lost, numbers)

    def name(about: Topic) -> str:
        return by.called(sheet, about)[1]

    def said(each: Judgement[Topic]) -> str:
        return each.told or by.remark(sheet, rulings, each)

    lines = []
    for at, given in enumerate(read):
        line = given._replace(grades=with_what_it_earned(given.grades, awarded, at))
        told = [g.quantity for g in line.grades if not (g.given and g.told)]
        about = name(told[-1]) if told else ""
        words = unless_failing(FAILED, remark, rulings, at, line, said, name)
        lines.append(marked_line(line.written, (about, words), line.grades, awarded, at))
    texts = [by.scheme_line(sheet, item) for item in ground.items]
    total = in_all(lines, awarded, texts, sum(item.marks for item in ground.items), name)
    return total._replace(
        credits=credits_of(
            rows, numbers, awarded, ground.items, lambda about: by.called(sheet, about)
        )
    )

