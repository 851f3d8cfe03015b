"""The picture of a described problem, whatever it is about, in the view that is asked for."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from grammar.outline import elements_of
from grammar.records import Amount, Description, Element, Refusal, Unknown
from tutor.circuit.missing import has_missing, with_letters
from tutor.circuit.network import Network, Problem, build
from tutor.circuit.solving import solve
from tutor.circuit.steps import after
from tutor.circuit.values import value_of
from tutor.desk.pictures.canvas import Picture, beside, stacked
from tutor.desk.pictures.diagram import MOST_IN_PICTURE, diagram
from tutor.desk.pictures.heights import heights
from tutor.desk.pictures.plates_drawn import plates_in, plates_picture
from tutor.desk.pictures.views import SAID_OF_VIEWS, View
from tutor.teaching.depicted import as_given, worked_out
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.endless import is_endless
from tutor.teaching.staged.makers import story_of

MOST_IN_A_ROW: Final = 3


def has_picture(description: Description) -> bool:
    """Whether there is something to draw that is not too large."""
    return 0 < len(elements_of(description)) <= MOST_IN_PICTURE or goes_on(description)


def goes_on(description: Description) -> bool:
    """Whether it is a bank that is wanted or a ladder without end, drawn in a few of its parts."""
    return description.bank is not None or is_endless(description)


def picture_of(
    description: Description, view: View = "network", terms: Settings = DEFAULTS
) -> Picture:
    """The picture of a text in one view. Errors: ``Refusal`` where there is no such picture."""
    if not has_picture(description):
        raise Refusal(
            "There is no picture of this.",
            f"A network of 1 to {MOST_IN_PICTURE} capacitors, or a pair of plates, can be drawn.",
        )
    if view == "network":
        if goes_on(description):
            return _of_what_goes_on(description, terms)
        plates = plates_in(description)
        if plates is not None:
            (capacitor,) = elements_of(description)
            return plates_picture(plates, capacitor.name)
        return given_in_text(description, terms)
    if has_missing(description) or description.changes or goes_on(description):
        raise Refusal(
            f"There is no picture of {SAID_OF_VIEWS[view]} while the text leaves something open.",
            "Give every value, and leave out what is done later; or ask for the network alone.",
        )
    problem = build(description)
    if view == "heights":
        return heights(problem, terms)
    return charged(problem, terms) if view == "charges" else steps_picture(problem, terms)


def _of_what_goes_on(description: Description, terms: Settings) -> Picture:
    story = story_of(description, terms)
    assert story is not None, "what goes on is told in stages"
    assert story.drawn is not None, "and is drawn in a few of its parts"
    title = "A ladder without end" if description.ladder else "A bank of equal chains"
    return diagram(story.drawn)._replace(title=title)


def given_in_text(description: Description, terms: Settings = DEFAULTS) -> Picture:
    """The network of a text with its ratings, what is charged at first, and what is missing."""
    problem = build(with_letters(description))
    drawn = as_given(problem, terms)
    by_name = {c.name: c for c in drawn.network.capacitors}
    written = elements_of(description)
    return diagram(drawn._replace(
        notes={c.name: tuple(_notes(c, drawn.speech)) for c in written},
        plus={c.name: by_name[c.name].start for c in written if c.start is not None},
        still_open=frozenset(c.name for c in written if isinstance(c.worth, Unknown)),
    ))


def _notes(capacitor: Element, speech: Speech) -> Iterator[str]:
    if capacitor.rating is not None:
        yield f"rated {speech.amount(capacitor.rating.value, 'voltage')}"
    if capacitor.start is not None:
        worth, quantity = capacitor.start.worth, capacitor.start.quantity
        if isinstance(worth, Amount):
            powers = {**speech.powers, quantity: worth.power}
            yield f"at {speech._replace(powers=powers).amount(worth.value, quantity)}"
        else:
            yield f"at {speech.amount(value_of(worth), quantity)}"


def charged(problem: Problem, terms: Settings = DEFAULTS) -> Picture:
    """The network with what each capacitor holds, and which of its plates is the + plate.

    Errors: ``Refusal`` without a supply.
    """
    if problem.supply is None:
        raise Refusal("Nothing is charged here.", "Add a supply, such as: across 12 V.")
    return diagram(worked_out(problem, terms))


def steps_picture(problem: Problem, terms: Settings = DEFAULTS) -> Picture:
    """The network as given and after each step of the solution, side by side."""
    network = problem.network
    states = [(network, "as given")]
    for step in solve(network, problem.supply).steps:
        network = after(network, step)
        made = f"{step.makes.name} for " if step.makes else "without "
        states.append((network, made + listed([c.name for c in step.parts])))
    return of_states(problem, states, terms)


def of_states(
    problem: Problem, states: list[tuple[Network, str]], terms: Settings = DEFAULTS
) -> Picture:
    """Several states of one network side by side, each with a line of words; of many a row for
    each step, before it and after it.
    """
    first = as_given(problem._replace(drawn=None), terms)
    pictures = [(diagram(first._replace(network=state)), said) for state, said in states]
    title = "A network, step by step"
    if len(pictures) <= MOST_IN_A_ROW:
        return beside(pictures, title)
    rows = [beside([before, after], title) for before, after in pairwise(pictures)]
    words = " ".join(f"{said}: {picture.words}" for picture, said in pictures)
    return stacked(rows, title, words)
