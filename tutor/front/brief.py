"""What one writes on paper for a problem: its relations with their numbers, and no more."""

from __future__ import annotations

from collections.abc import Iterator

from grammar.records import Description
from tutor.circuit.network import build
from tutor.circuit.solving import solve
from tutor.front.plain import Page
from tutor.front.printed_way import leading_to, passed_on, worked_out
from tutor.front.sheet import Sheet
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import MOST_WRITTEN_OUT, back_text, whole_text, working_line
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, speech_for
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Story


def brief_lines(description: Description, terms: Settings, page: Page) -> Iterator[str]:
    """The lines of a fair copy, of a problem of any kind."""
    story = story_of(description, terms)
    lines = _of_story(story, terms) if story is not None else _of_network(description, terms, page)
    for line in dict.fromkeys(lines):  # what two values follow from is written once
        yield from page.wrapped(line)


def _of_story(story: Story, terms: Settings) -> Iterator[str]:
    """The worked answers; a choice is told in a few words."""
    del terms
    for ask in story.asks:
        if ask.right is not None:
            yield from ask.reveal.split("\n")


def _of_network(description: Description, terms: Settings, page: Page) -> Iterator[str]:
    problem = build(description)
    solution = solve(problem.network, problem.supply)
    sheet = Sheet(problem, solution, speech_for(problem, terms), page)
    yield from _steps(sheet)
    whole = solution.whole
    if problem.supply is None or whole is None or not sheet.wants_more_than_capacitance:
        return
    held = solution.holdings[whole.name]
    yield whole_text(Quantity(problem.supply.leaves), whole, held, sheet.speech)
    wanted = leading_to(sheet)
    for step in reversed(solution.steps):
        on_the_way = wanted is None or any(c.name in wanted for c in step.parts)
        if step.makes is None or not on_the_way:
            continue
        yield passed_on(sheet, step)
        for part in worked_out(sheet, step)[:MOST_WRITTEN_OUT]:
            yield back_text(step, part, solution.holdings[part.name], sheet.speech)
    yield from _energies(sheet)


def _steps(sheet: Sheet) -> Iterator[str]:
    for step in sheet.solution.steps:
        if step.makes is not None:
            yield from working_line(step, sheet.speech).split("\n")


def _energies(sheet: Sheet) -> Iterator[str]:
    """The energies that the text asks for."""
    speech: Speech = sheet.speech
    whole = sheet.solution.whole
    for asked in sheet.problem.asked:
        name = asked.of or (whole.name if whole else "")
        if asked.quantity == "energy" and name in sheet.solution.holdings:
            found = [c for c in (whole, *sheet.problem.network.capacitors) if c and c.name == name]
            held = sheet.solution.holdings[name]
            yield whole_text(Quantity("E", asked.of), found[0], held, speech)
