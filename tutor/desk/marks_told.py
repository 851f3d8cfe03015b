"""A marked class in tables: the marks of everyone, and where the class slipped and how."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from tutor.desk.classes_ideas import ideas_in_class, ideas_table
from tutor.desk.marks_marking import ClassMarks, MarkedScript, observed
from tutor.desk.report import Columns, Heading, ReportPart, counted_kindly
from tutor.learner.exporting import csv_row
from tutor.practice.papers_marked import MarkedQuestion
from tutor.teaching.marking.marked import Credit, MarkedLine, in_marks, told_left_out
from tutor.teaching.skills import SKILLS


def marks_table(found: ClassMarks) -> Columns:
    """The marks of each learner, question by question and in all."""
    number = max((len(each.questions) for each in found.marked), default=0)
    seeded = any(_seed(each) for each in found.marked)
    several = tuple(str(at + 1) for at in range(number)) if number > 1 else ()
    rows = []
    for each in found.marked:
        marks = [f"{q.marked.total}/{q.marked.of}" for q in each.questions]
        marks += [""] * (number - len(marks))
        row = (each.script.pupil, *(marks if several else ()), f"{each.total}/{each.of}")
        rows.append((*row, *([_seed(each)] if seeded else []), _first(each)))
    heads = ("Learner", *several, "Marks", *(["Seed"] if seeded else []), "Look first at")
    return Columns("Marks", heads, tuple(rows))


def marks_csv(found: ClassMarks) -> Iterator[str]:
    """The same for a spreadsheet: one row for each learner, marks and what they are out of in
    columns of their own, so that nothing is taken for a date.
    """
    number = max((len(each.questions) for each in found.marked), default=0)
    numbered = [f"question {at + 1}{of}" for at in range(number) for of in ("", " of")]
    yield csv_row(("learner", "file", "seed", "marks", "of", *numbered, "look first at"))
    for each in found.marked:
        marks: list[object] = [
            mark for q in each.questions for mark in (q.marked.total, q.marked.of)
        ]
        marks += [""] * (2 * number - len(marks))
        start = (each.script.pupil, each.script.file, _seed(each), each.total, each.of)
        yield csv_row((*start, *marks, _first(each)))
    for file, why in found.unmarked:
        yield csv_row(("", file, "", "", "", *[""] * (2 * number), f"not marked: {why.found}"))


def _seed(each: MarkedScript) -> str:
    return each.script.said_seed


def _first(each: MarkedScript) -> str:
    if any(q.marked.note for q in each.questions):
        return "is it this problem?"
    lines = (q.marked.first_error for q in each.questions)
    first = next((line for line in lines if line is not None), None)
    return "" if first is None else f"line {first}"


# Slips


def slips_of(found: ClassMarks) -> Iterator[ReportPart]:
    """Where the class slipped, line by line or, where everyone had another paper, skill by skill;
    then the wrong ideas behind it.
    """
    if not found.marked:
        return
    yield Heading("Where the class slipped")
    yield _by_line(found.marked) if _is_one(found.marked) else _by_skill(found.marked)
    ideas = ideas_in_class(each.standing for each in found.marked)
    if ideas:
        yield ideas_table(ideas)
    else:
        yield "No wrong idea that is known showed in these scripts."


def _is_one(marked: Sequence[MarkedScript]) -> bool:
    """Whether all had the same questions."""
    return len({tuple(q.question for q in each.questions) for each in marked}) == 1


def _by_line(marked: Sequence[MarkedScript]) -> Columns:
    """Each value that has marks: in how many scripts it is right, where the slip is made, where
    only an earlier one is carried on, and where nothing is written for it.
    """
    rows = []
    for at, question in enumerate(marked[0].questions):
        credits = [_credits(each.questions[at]) for each in marked]
        for name in _credits(question):
            here = [row[name] for row in credits]
            kinds = Counter(map(_made_of, here))
            of = len(here)
            lead = f"{at + 1}: {name}" if len(marked[0].questions) > 1 else name
            rows.append((lead, *(counted_kindly(kinds[kind], of) for kind in _KINDS)))
    heads = ("Line", "Right", "Slip made here", "Slip from before", "Not written")
    return Columns("Line by line", heads, tuple(rows))


_KINDS = ("right", "slip", "carried", "nothing")


def _credits(question: MarkedQuestion) -> dict[str, Credit]:
    return {credit.name: credit for credit in question.marked.credits}


def _made_of(credit: Credit) -> str:
    if credit.verdict in ("right", "carried"):
        return credit.verdict
    if credit.verdict is None:
        known = "carried" if credit.led_on else "right"
        return known if credit.got == credit.of else "nothing"
    return "slip"


def _by_skill(marked: Sequence[MarkedScript]) -> Columns:
    asked: Counter[str] = Counter()
    slipped: Counter[str] = Counter()
    for each in marked:
        seen = [one for question in each.questions for one in observed(question)]
        asked.update({code for one in seen for code in one.skills})
        wrong = [one for one in seen if one.outcome == "wrong"]
        slipped.update({code for one in wrong for code in one.blamed or one.skills})
    rows = tuple(
        (skill.name.capitalize(), counted_kindly(slipped[skill.code], asked[skill.code]))
        for skill in SKILLS if slipped[skill.code] and asked[skill.code]
    )
    return Columns("Skill by skill, of those who were asked", ("Skill", "Slip made by"), rows)


# Pages


def class_page(found: ClassMarks) -> Iterator[ReportPart]:
    """Everything on one page: marks, slips, each script, and what could not be marked."""
    yield Heading("Marks")
    yield marks_table(found)
    yield from slips_of(found)
    for each in found.marked:
        yield from script_blocks(each)
    if found.unmarked:
        yield Heading("Not marked")
        rows = tuple((each.file, str(each.why)) for each in found.unmarked)
        yield Columns("Files that could not be marked", ("File", "Why"), rows)


def script_blocks(each: MarkedScript) -> Iterator[ReportPart]:
    """One script: every line with its marks and remark, and the marks that there were."""
    yield Heading(f"{each.script.pupil}: {each.total} of {in_marks(each.of)}")
    for number, question in enumerate(each.questions, start=1):
        marked = question.marked
        if len(each.questions) > 1:
            told = f"Question {number}: {marked.total} of {in_marks(marked.of)}"
            yield Heading(told, 3)
        yield question.question.text
        rows = tuple(_line(line) for line in marked.lines if line.text.strip())
        if rows:
            heads = ("Line", "Written", "Marks", "Remark")
            yield Columns(f"Working of {each.script.pupil}", heads, rows)
        if marked.note:
            yield marked.note
        if marked.left_out:
            yield told_left_out(marked)
    yield from each.notes


def _line(line: MarkedLine) -> tuple[str, ...]:
    marks = f"{line.marks.total} of {line.marks.of}" if line.marks.of else ""
    remark = line.remark
    if line.marks.implied:
        remark += f" {line.marks.implied} of these for what was not written."
    return str(line.line), line.text.strip(), marks, remark
