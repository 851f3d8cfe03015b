"""``platewalk items``: tasks written as a package of items for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from grammar.any_text import sure_reading
from grammar.records import Refusal
from tutor.desk.qti_items import (
    QtiItem,
    items_of_lesson,
    items_of_network,
    items_of_order,
    items_of_paper,
)
from tutor.desk.qti_xml import package
from tutor.front.saving import save_over
from tutor.practice.library import lesson_called
from tutor.practice.papers import make_paper, paper_in
from tutor.teaching.speech import counted

if TYPE_CHECKING:
    from tutor.front.options import Options
    from tutor.practice.lessons import Lesson

MOST_ITEMS = 1_000


def write_items(options: Options, lessons: Sequence[Lesson]) -> str:
    """Write the package; gives what was done in words.

    Errors: ``Refusal`` for tasks that cannot be ordered or found, and for a file that cannot be
    written.
    """
    assert options.out is not None, "the options see to it"
    if Path(options.out).suffix.lower() != ".zip":
        raise Refusal(f"{options.out} does not say what is made.", "End the name in .zip.")
    items = []
    for item in _items(options, lessons):
        items.append(item)
        if len(items) > MOST_ITEMS:
            found = f"That makes more than {MOST_ITEMS} items."
            raise Refusal(found, "Ask for fewer tasks, or a smaller network.")
    if not items:
        found = "Nothing in this can be asked as one question with one answer."
        raise Refusal(found, "Choose tasks with values or with answers to choose from.")
    save_over(Path(options.out), package(items))
    return f"{counted(len(items), 'item').capitalize()} written to {options.out} (IMS QTI 3.0)."


def _items(options: Options, lessons: Sequence[Lesson]) -> Iterator[QtiItem]:
    if options.lesson is not None:
        lesson = lesson_called(lessons, options.lesson)
        if lesson is None:
            found = f"There is no lesson '{options.lesson}'."
            raise Refusal(found, "'platewalk lessons' lists them.")
        return items_of_lesson(lesson)
    if options.paper is not None:
        return items_of_paper(make_paper(paper_in(options.paper)).questions)
    if options.network is not None:
        return items_of_network(sure_reading(options.network).text, "A network")
    return items_of_order(options.text or "", options.seed or 1, options.number)
