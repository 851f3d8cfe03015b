"""What a class holds in words: who stands where, who needs what, and which wrong ideas are about.

It is for the teacher. Nothing is ranked and nothing is scored; fewer than five of a class are 'a
few' wherever no names stand.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from tutor.desk.classes import ClassHeld, ClassMember, parted_at, weeks_of
from tutor.desk.classes_ideas import IdeaInClass, ideas_in_class
from tutor.desk.classes_plot import weeks_figure
from tutor.desk.classes_probe import probe_for
from tutor.desk.report import Columns, Heading, ReportPart, counted_kindly
from tutor.learner.exporting import csv_row
from tutor.learner.standing_words import SkillWords, ideas_in_words, skills_in_words
from tutor.learner.suggesting import suggest
from tutor.teaching.skills import BY_CODE, SKILLS
from tutor.teaching.speech import counted, listed, sentence

WORDS: Final = ("steady", "getting there", "to look at again", "shaky", "still open")
MOST_PROBES: Final = 8
NOBODY_YET: Final = "Nobody has answered anything yet, so there is nothing to tell."


def class_report(
    held: ClassHeld, now: float, since: date | None = None, for_page: bool = False
) -> Iterator[ReportPart]:
    """All of it. On a page the skills stand in a grid, a column for each learner."""
    members = [each for each in held.members if each.seen]
    if not members:
        yield NOBODY_YET
        return
    yield f"{counted(len(held.members), 'learner').capitalize()}: " \
        f"{listed(each.name for each in held.members)}."
    yield Heading("Who needs what next")
    yield _needs(members, now)
    yield Heading("Skills")
    yield skill_grid(members, now) if for_page else _by_skill(members, now)
    yield Heading("Wrong ideas")
    yield from _ideas(members, since)
    yield Heading("Over the weeks")
    yield weeks_figure(weeks_of(members), _whose(members))


def _whose(members: Sequence[ClassMember]) -> str:
    return f"the class, the skills of {counted(len(members), 'learner')} counted together"


def learner_report(member: ClassMember, now: float) -> Iterator[ReportPart]:
    """The same of one learner, with the evidence."""
    if not member.seen:
        yield NOBODY_YET
        return
    skills = [each for each in _words(member, now) if each.word != "not met yet"]
    rows = tuple((each.name, each.word, each.evidence) for each in skills)
    yield Columns(f"Skills of {member.name}", ("Skill", "Stands", "What shows it"), rows)
    ideas = ideas_in_words(member.standing)
    if ideas:
        shown = tuple((each.words, each.word, each.evidence) for each in ideas)
        yield Columns("Wrong ideas", ("Wrong idea", "Stands", "What shows it"), shown)
    best = suggest(member.standing, now, member.exam)
    yield f"Next: {best.kind}. {best.why}"
    yield weeks_figure(weeks_of([member]), member.name)


def _words(member: ClassMember, now: float) -> tuple[SkillWords, ...]:
    return skills_in_words(member.standing, now, member.exam)


def _needs(members: Sequence[ClassMember], now: float) -> Columns:
    rows = []
    for each in members:
        best = suggest(each.standing, now, each.exam)
        skill = f": {BY_CODE[best.skill].name}" if best.skill else ""
        rows.append((each.name, f"{best.kind}{skill}", best.why))
    return Columns("What makes sense next", ("Learner", "Next", "Why"), tuple(rows))


def skill_grid(members: Sequence[ClassMember], now: float) -> Columns:
    """Skills by learners, only those that somebody has met."""
    columns = [_words(each, now) for each in members]
    rows = tuple(
        (row[0].name, *("" if each.word == "not met yet" else each.word for each in row))
        for row in zip(*columns, strict=True)
        if any(each.word != "not met yet" for each in row)
    )
    return Columns("Skills by learners", ("Skill", *(each.name for each in members)), rows)


def grid_csv(members: Sequence[ClassMember], now: float) -> Iterator[str]:
    """The same for a spreadsheet."""
    grid = skill_grid([each for each in members if each.seen], now)
    for row in (grid.heads, *grid.rows):
        yield csv_row(row)


def _by_skill(members: Sequence[ClassMember], now: float) -> Columns:
    """Each skill with the learners that stand in each way, what it rests on before it."""
    told = {each.name: {s.skill: s.word for s in _words(each, now)} for each in members}
    rows = []
    for skill in SKILLS:
        names = [
            ", ".join(name for name, words in told.items() if words[skill.code] == word)
            for word in WORDS
        ]
        if any(names):
            rows.append((skill.name, *names))
    heads = ("Skill", *map(str.capitalize, WORDS))
    return Columns("Skills and who stands where", heads, tuple(rows))


# Wrong ideas


def _ideas(members: Sequence[ClassMember], since: date | None) -> Iterator[ReportPart]:
    ideas = ideas_in_class(each.standing for each in members)
    if not ideas:
        yield "No wrong idea that is known has shown."
        return
    yield _table(ideas)
    if since is not None:
        yield _before_and_after(ideas, members, since)
    held = [each for each in ideas if each.held] or list(ideas)
    for each in held[:MOST_PROBES]:
        yield from _probe(each)
    if len(held) > MOST_PROBES:
        yield f"Problems are given for the first {MOST_PROBES} of these {len(held)} wrong ideas."


def _probe(each: IdeaInClass) -> Iterator[ReportPart]:
    """A problem that shows a wrong idea and what to ask, where there is one."""
    found = probe_for(each.idea)
    yield Heading(sentence(each.words), 3)
    if found is None:
        skill = BY_CODE[each.skill].name
        yield f"No short question shows this one alone: practise '{skill}', and ask for each step."
        return
    yield f"A problem that shows it: {found.problem}"
    yield f"Ask: {found.asks}"
    yield f"Right is {found.right}; who has this idea says {found.shows}. Then ask: {found.then}"
    if found.found:
        yield f"What it comes to: {found.found}"


def _table(ideas: Sequence[IdeaInClass]) -> Columns:
    rows = tuple(
        (
            sentence(each.words),
            BY_CODE[each.skill].name,
            *(counted_kindly(number, each.possible) if number else "" for number in (
                each.held, each.showed, each.perhaps, each.put_right)),
        )
        for each in ideas
    )
    heads = ("Wrong idea", "Spoils", "Comes back in", "Showed in", "Perhaps in", "Put right by")
    return Columns("Of those whose answers could show it", heads, rows)


def _before_and_after(
    ideas: Sequence[IdeaInClass], members: Sequence[ClassMember], since: date
) -> Columns:
    """How many showed each wrong idea before a day and from then on, of those who could."""
    parted = [parted_at(each, since) for each in members]
    found = [ideas_in_class((pair[at] for pair in parted), shown_only=False) for at in (0, 1)]
    sides = [{each.idea: each for each in side} for side in found]
    rows = tuple(
        (sentence(each.words), *(_showed(side.get(each.idea)) for side in sides))
        for each in ideas
    )
    heads = ("Wrong idea", f"Before {since}", f"From {since} on")
    return Columns("Before and after: showed in, of those who could", heads, rows)


def _showed(found: IdeaInClass | None) -> str:
    if found is None:
        return "not asked"
    return counted_kindly(found.showed + found.perhaps, found.possible)
