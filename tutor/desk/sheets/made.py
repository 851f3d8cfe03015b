"""Sheets made: patterns, seeds and learners become papers to print, and the keys to them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from random import Random
from typing import Final, Literal, NamedTuple, TypeAlias

from tutor.desk.pictures.canvas import Picture
from tutor.desk.pictures.pictured import has_picture, picture_of
from tutor.desk.report import Heading
from tutor.desk.sheets.keyed import Keyed
from tutor.desk.sheets.printed import (
    Asking,
    Blank,
    GivenLines,
    LineShown,
    OnePaper,
    Printed,
    SheetBlock,
    Small,
)
from tutor.desk.sheets.set_patterns import MOST_SEED, Pattern
from tutor.teaching.settings import Settings
from tutor.teaching.speech import sentence

KeyForm: TypeAlias = Literal["whole", "answers"]
LINES_A_MARK: Final = 0.8  # of room to work
LEAST_ROOM, MOST_ROOM = 2, 12
UNMARKED_ROOM: Final = 4  # for what is to be said in one's own words
STAGES: Final = 4  # of a faded example: all worked, one line left out, two, all of them
SAID_OF_STAGES: Final = ("worked", "one line is left out", "two lines are left out")
FURTHER: Final = 7919  # from one place of a sheet to the next, so that seeds do not meet


class Wish(NamedTuple):
    """What is to be printed.

    ``seeds`` are those of the variants, None for networks as they were given; ``learners`` their
    names, none where nobody is named. ``kind`` is the word for what is printed, ``part`` that for
    each problem; ``prose`` stands before each of them and after the last. ``first``: the variants
    are told by the seed that they share and their numbers from it on.
    """

    title: str
    seeds: tuple[int | None, ...]
    learners: tuple[str, ...] = ()
    faded: bool = False
    key: KeyForm = "whole"
    intro: tuple[str, ...] = ()
    kind: str = "Sheet"
    part: str = "Problem"
    prose: tuple[tuple[SheetBlock, ...], ...] = ()
    first: int = 0


class Variant(NamedTuple):
    """One learner's problems."""

    seed: int | None
    number: int
    learner: str
    problems: tuple[Keyed, ...]


def variants_of(
    wish: Wish, patterns: Sequence[tuple[Pattern, ...]], terms: Settings,
    tick: Callable[[], None] = lambda: None,
) -> tuple[Variant, ...]:
    """Every variant of these patterns, worked out; ``tick`` is called after each."""
    found = []
    for at, (seed, own) in enumerate(zip(wish.seeds, patterns, strict=True)):
        learner = wish.learners[at] if wish.learners else ""
        places = [pattern for pattern in own for _ in range(STAGES if wish.faded else 1)]
        problems = tuple(
            pattern.make(_seed_at(seed, place), terms) for place, pattern in enumerate(places)
        )
        found.append(Variant(seed, (wish.first or 1) + at, learner, problems))
        tick()
    return tuple(found)


def _seed_at(seed: int | None, place: int) -> int | None:
    if seed is None:
        return None
    return Random(f"sheet {seed} {place * FURTHER}").randrange(MOST_SEED)


def sheets(wish: Wish, variants: Sequence[Variant], terms: Settings) -> Printed:
    """What the learners get."""
    papers = tuple(_sheet(wish, variant, terms) for variant in variants)
    return Printed(wish.title, papers)


def keys(wish: Wish, variants: Sequence[Variant], terms: Settings) -> Printed:
    """What the teacher keeps."""
    papers = tuple(_key(wish, variant, terms) for variant in variants)
    return Printed(f"{wish.title}: {_called(wish)}", papers)


def _called(wish: Wish) -> str:
    if wish.key == "answers":
        return "answers"
    return "mark scheme and model answers" if wish.kind == "Paper" else "key"


def _foot(wish: Wish, variant: Variant) -> str:
    seed = "as given" if variant.seed is None else f"seed {_said_seed(wish, variant)}"
    return " · ".join(filter(None, (wish.kind, seed, variant.learner)))


def _titled(wish: Wish, variant: Variant, of: int) -> str:
    number = f", variant {variant.number}" if of > 1 else ""
    return f"{wish.title}{number}"


# The sheet


def _sheet(wish: Wish, variant: Variant, terms: Settings) -> OnePaper:
    blocks: list[SheetBlock] = []
    marks = sum(problem.marks for problem in variant.problems)
    name = variant.learner or "." * 40
    blocks.append(f"Name: {name}     Marks: ......... of {marks}     {_foot_seed(wish, variant)}")
    blocks += wish.intro
    for at, problem in enumerate(variant.problems):
        blocks += wish.prose[at] if wish.prose else ()
        stage = at % STAGES if wish.faded else STAGES
        blocks += _problem(f"{wish.part} {at + 1}", problem, stage, terms)
    blocks += wish.prose[-1] if wish.prose else ()
    blocks += _cautions(variant)
    return OnePaper(
        _titled(wish, variant, len(wish.seeds)), _foot(wish, variant), tuple(blocks)
    )


def _cautions(variant: Variant) -> Iterator[SheetBlock]:
    """What is to be minded of the real things, each line once, the general one last."""
    of_all = [problem.cautions for problem in variant.problems if problem.cautions]
    lines = [line.removeprefix("A caution: ") for found in of_all for line in found[:-1]]
    for line in (*dict.fromkeys(lines), *dict.fromkeys(found[-1] for found in of_all)):
        yield Small(sentence(line))


def _foot_seed(wish: Wish, variant: Variant) -> str:
    return "" if variant.seed is None else f"Seed: {_said_seed(wish, variant)}"


def _said_seed(wish: Wish, variant: Variant) -> str:
    return f"{variant.seed} variant {variant.number}" if wish.first else str(variant.seed)


def _problem(
    called: str, problem: Keyed, stage: int, terms: Settings
) -> Iterator[SheetBlock]:
    """A problem with room to work; in the first stages some of its lines are there."""
    left_to_do = sum(bool(line.marks) for line in problem.lines)
    is_faded = stage < min(STAGES - 1, left_to_do)
    said = f": {SAID_OF_STAGES[stage]}" if is_faded else ""
    yield Heading(f"{called}{said}{_worth(problem.marks)}")
    yield GivenLines(problem.given, _picture(problem, terms))
    if is_faded:
        yield from _faded(problem, stage)
        return
    for at, part in enumerate(problem.parts):
        label = f"{'abcdefghijklmnopqrstuvwxyz'[at % 26]})" if len(problem.parts) > 1 else ""
        yield Asking(label, part.text, part.options, f"[{part.marks}]" if part.marks else "")
        yield Blank(1 if part.options else part.marks or UNMARKED_ROOM)
    if not problem.parts:
        yield Blank(round(min(max(problem.marks * LINES_A_MARK, LEAST_ROOM), MOST_ROOM)))


def _worth(marks: int) -> str:
    return f" ({marks} mark{'' if marks == 1 else 's'})" if marks else ""


def _faded(problem: Keyed, left_out: int) -> Iterator[SheetBlock]:
    """The lines, the first of them left to the learner: what is combined first carries the idea.

    The line after shows what a line left out must have come to, so that it can be checked.
    """
    waiting = left_out
    for line in problem.lines:
        if waiting and line.marks:
            waiting -= 1
            yield Blank(1, f"{line.name} =" if line.name else "")
        else:
            yield LineShown(line.text, expected=(line.reason,) if line.reason else ())


def _picture(problem: Keyed, terms: Settings) -> Picture | None:
    if problem.description is None or not has_picture(problem.description):
        return None
    return picture_of(problem.description, "network", terms)


# The key


def _key(wish: Wish, variant: Variant, terms: Settings) -> OnePaper:
    del terms
    blocks: list[SheetBlock] = []
    for at, problem in enumerate(variant.problems, start=1):
        blocks.append(Heading(f"{wish.part} {at}{_worth(problem.marks)}"))
        if wish.key == "answers":
            blocks.append(LineShown("; ".join(problem.answers)))
            continue
        blocks.append(Small(_named(problem)))
        blocks += _key_lines(problem)
    foot = _foot(wish, variant)
    if wish.key == "whole":
        marks = "M: method; A: accuracy, on the method; B: a mark by itself"
        blocks.append(Small(f"{marks}. Under a line: wrong answers to expect, and what each does."))
    title = f"{_titled(wish, variant, len(wish.seeds))}: {_called(wish)}"
    return OnePaper(title, foot, tuple(blocks))


def _named(problem: Keyed) -> str:
    """What the problem is, in short, so that the key can be read without the sheet."""
    told = (line for line in problem.given if not line.startswith("Points and what"))
    return sentence("; ".join(line.removesuffix(".") for line in told)) + "."


def _key_lines(problem: Keyed) -> Iterator[SheetBlock]:
    for at, line in enumerate(problem.lines):
        first = at == 0 or problem.lines[at - 1].question != line.question
        if line.question and first and len(problem.parts) > 1:
            yield Asking(f"{'abcdefghijklmnopqrstuvwxyz'[(line.question - 1) % 26]})",
                         problem.parts[line.question - 1].text)
        yield LineShown(line.text, line.marks, tuple(
            f"{each.answer}: {each.why}" for each in line.expected
        ))
