"""``platewalk sheet``, ``lesson --print``, ``paper --print``: PDF, HTML or Markdown, with keys."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from random import SystemRandom
from typing import TYPE_CHECKING, Final

from grammar.records import Refusal
from tutor.desk.sheets.as_html import as_html
from tutor.desk.sheets.as_markdown import as_markdown
from tutor.desk.sheets.as_typst import as_typst
from tutor.desk.sheets.made import Wish, keys, sheets, variants_of
from tutor.desk.sheets.printed import Printed
from tutor.desk.sheets.prose_printed import prose_of
from tutor.desk.sheets.set_patterns import Pattern, of_lesson, of_paper, of_skills, of_texts
from tutor.desk.typesetting import pdf
from tutor.front.entries import entries
from tutor.front.out_files import made_folder, put
from tutor.front.progress_line import ProgressLine
from tutor.learner.files import text_of
from tutor.practice.lessons import Lesson
from tutor.practice.library import lesson_called
from tutor.practice.papers import ExamPaper, make_paper, paper_in
from tutor.teaching.settings import Settings
from tutor.teaching.speech import sentence

if TYPE_CHECKING:
    from tutor.front.options import Options

ENDINGS: Final = (".pdf", ".html", ".md")
USUAL_PROBLEMS: Final = 8
MOST_VARIANTS: Final = 400
LARGEST_SEED: Final = 1000


def print_sheet(
    options: Options, lessons: Sequence[Lesson], texts: str | None, terms: Settings
) -> list[str]:
    """Make the files; the lines say which. ``texts`` are a teacher's own networks.

    Errors: ``Refusal`` for what cannot be printed.
    """
    learners = _learners(options)
    patterns, title = _patterns(options, lessons, texts)
    number = len(learners) or options.variants or 1
    as_given = texts is not None and number == 1 and options.seed is None
    first = options.seed if options.seed is not None else _any_seed()
    seeds = (None,) if as_given else tuple(range(first, first + number))
    wish = Wish(
        options.title or title, seeds, learners, options.faded,
        "answers" if options.key == "answers" else "whole",
    )
    return _made(wish, [patterns] * number, options, terms, options.out or "")


def print_lesson(
    words: str, options: Options, lessons: Sequence[Lesson], terms: Settings
) -> list[str]:
    """A lesson with all it tells, its tasks as they stand or, for several, with other values.

    Errors: ``Refusal`` for no such lesson and for what cannot be printed.
    """
    lesson = _lesson(words, lessons)
    learners = _learners(options)
    number = len(learners) or options.variants or 1
    first = _any_seed()
    seeds = (None,) if number == 1 else tuple(range(first, first + number))
    wish = Wish(
        options.title or lesson.title, seeds, learners,
        key="answers" if options.key == "answers" else "whole", kind=f"Lesson {lesson.number}",
        part="Task", prose=prose_of(lesson),
    )
    return _made(wish, [of_lesson(lesson)] * number, options, terms, options.printed or "")


def print_paper(words: str, options: Options, terms: Settings) -> list[str]:
    """The same for a paper of an order in words, with mark scheme and model answers; for several
    learners a paper each, of the same questions on other values.
    """
    learners = _learners(options)
    order = paper_in(words, _any_seed())
    number = len(learners) or options.variants or 1
    first = order.variant or int(number > 1)
    numbers = range(first, first + number)
    papers = [make_paper(order._replace(variant=variant)) for variant in numbers]
    wish = Wish(
        options.title or "A paper", (order.seed,) * number, learners,
        key="answers" if options.key == "answers" else "whole", kind="Paper", part="Question",
        intro=(f"About {papers[0].usual_minutes} minutes are usual. "
               "Write each line of working, with units.",), first=first,
    )
    patterns = [tuple(of_paper(paper.questions)) for paper in papers]
    made = _made(wish, patterns, options, terms, options.printed or "")
    order = order if number > 1 else papers[0].order
    several = f" --learners {options.learners}" if learners else f" --variants {number}"
    again = f"{ExamPaper(order, ()).in_words}'{several if number > 1 else ''}"
    return [*made, f"The same again: platewalk paper '{again} --print {options.printed}"]


def _any_seed() -> int:
    return SystemRandom().randrange(1, LARGEST_SEED)


def _patterns(
    options: Options, lessons: Sequence[Lesson], texts: str | None
) -> tuple[tuple[Pattern, ...], str]:
    """What is asked, and what the sheet is called if nobody says."""
    if texts is not None:
        found = [(each.line, each.text) for each in entries(texts, one_per_line=False)]
        return of_texts(found), "Capacitor networks"
    words = options.text or ""
    if words.lower().startswith("lesson"):
        lesson = _lesson(words, lessons)
        return of_lesson(lesson), lesson.title
    orders = [part.strip() for part in words.split(";") if part.strip()]
    if not orders:
        raise Refusal("Nothing is named to be practised.", "Name it, such as: two in series")
    number = max(options.problems or USUAL_PROBLEMS, 1)
    return of_skills(orders, number), sentence("; ".join(orders))


def _lesson(words: str, lessons: Sequence[Lesson]) -> Lesson:
    found = lesson_called(lessons, words)
    if found is None:
        raise Refusal(f"There is no lesson {words.removeprefix('lesson').strip()}.",
                      "'platewalk lessons' lists them.")
    return found


def _learners(options: Options) -> tuple[str, ...]:
    """The names of a roster: one a line, the first column where there are several."""
    if options.learners is None:
        return ()
    try:
        lines = text_of(Path(options.learners)).splitlines()
    except FileNotFoundError:
        raise Refusal(f"There is no file {options.learners}.", "Name another file.") from None
    names = [line.split(",")[0].split(";")[0].strip().strip('"') for line in lines]
    found = tuple(name for name in names if name)
    if not 0 < len(found) <= MOST_VARIANTS:
        raise Refusal(
            f"{options.learners} has {len(found)} names.",
            f"Write 1 to {MOST_VARIANTS} names, one a line.",
        )
    return found


def _made(
    wish: Wish, patterns: Sequence[tuple[Pattern, ...]], options: Options, terms: Settings, out: str
) -> list[str]:
    """Write the files; each variant has its own ``patterns``."""
    path = Path(out)
    if path.suffix.lower() not in ENDINGS:
        raise Refusal(
            f"{path or 'The name'} does not say what to make.",
            f"End the name in {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}.",
        )
    bar = ProgressLine("Sheets made", len(wish.seeds), options.plain)
    variants = variants_of(wish, patterns, terms, bar.step)
    made = [_write(sheets(wish, variants, terms), path)]
    if options.key != "none":
        beside = path.with_name(f"{path.stem}-key{path.suffix}")
        made.append(_write(keys(wish, variants, terms), beside))
    seeds = list(dict.fromkeys(seed for seed in wish.seeds if seed is not None))
    said = f" Seed{'s' if len(seeds) > 1 else ''}: {seeds[0]}" if seeds else ""
    said += f" to {seeds[-1]}." if len(seeds) > 1 else "." if seeds else ""
    if wish.first and len(wish.seeds) > 1:
        last = wish.first + len(wish.seeds) - 1
        said = f"{said[:-1]}, variants {wish.first} to {last}, each of the same questions."
    return [f"Made: {', '.join(made)}.{said}"]


def _write(printed: Printed, path: Path) -> str:
    ending = path.suffix.lower()
    if ending == ".pdf":
        source = as_typst(printed)
        put(path, pdf(source.text, source.inputs))
    elif ending == ".html":
        put(path, as_html(printed).encode())
    else:
        folder = path.with_name(f"{path.stem}-pictures")
        written = as_markdown(printed, folder.name)
        put(path, written.text.encode())
        for name, drawn in written.pictures.items():
            put(made_folder(str(folder)) / name, drawn.encode())
    return str(path)
