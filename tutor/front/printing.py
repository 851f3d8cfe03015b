"""A whole worked solution as lines of text, with the reason of every step."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grammar.records import Asked, Description, Dimension
from tutor.circuit.checks import closing_checks
from tutor.circuit.network import Capacitor, Problem, Supply, build
from tutor.circuit.solving import solve
from tutor.circuit.values import Value, add_up
from tutor.front.pictures import picture
from tutor.front.plain import Page
from tutor.front.printed_way import way_back, way_there
from tutor.front.sheet import INDENT, Sheet
from tutor.front.solution_sentences import caution, unanswered
from tutor.front.table import levels, table
from tutor.teaching.closing_words import Closing
from tutor.teaching.depicted import as_given
from tutor.teaching.quantities import SYMBOL, Quantity
from tutor.teaching.reasons import values_of_parts, whole_text
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Dimensioned, speech_for
from tutor.teaching.staged.makers import story_of
from tutor.teaching.walk import Walk
from tutor.teaching.wording import Wording

LONGEST_BOUNDS = 400  # in letters they can fill pages, and then say nothing to anyone


def explained_lines(description: Description, terms: Settings, page: Page) -> Iterator[str]:
    """Any description on paper: its story if it has one, else its solution."""
    story = story_of(description, terms)
    if story is not None:
        from tutor.front.stories import story_lines

        return story_lines(story, terms, page)
    return solution_lines(build(description), terms, page)


def solution_lines(problem: Problem, terms: Settings, look: Page) -> Iterator[str]:
    """The solution of a problem for a reader, no line wider than the page.

    It goes as far as the text does: to the equivalent where no supply is named. More than 60
    capacitors are told in short.
    """
    solution = solve(problem.network, problem.supply)
    sheet = Sheet(problem, solution, speech_for(problem, terms), look)
    yield from _network(sheet)
    yield from way_there(sheet)
    whole = solution.whole
    assert whole is not None, "a text in which nothing joins the ends is refused"
    yield from _equivalent(sheet, whole)
    if problem.supply is None:
        if not problem.asked or sheet.wants_more_than_capacitance:
            yield from _bounds(sheet)
    elif problem.asked and not sheet.is_short:
        yield from _towards_asked(sheet, whole)
    else:
        yield from _held_in_all(sheet, whole, problem.supply)
        yield from way_back(sheet)
        yield from table(sheet)
        yield from levels(sheet)
        yield from _checks(sheet, whole, problem.supply)
        if warning := caution(solution.holdings[whole.name], terms):
            yield ""
            for line in warning:
                yield from look.wrapped(line)
    yield from _asked(sheet)


def _towards_asked(sheet: Sheet, whole: Capacitor) -> Iterator[str]:
    """What leads from the whole to what is asked, and no more."""
    supply = sheet.problem.supply
    if supply is None or not sheet.wants_more_than_capacitance:
        return
    yield from _held_in_all(sheet, whole, supply)
    yield from way_back(sheet)
    for asked in sheet.problem.asked:
        if asked.quantity == "energy" and asked.of is not None:
            part = sheet.problem.network.named([asked.of])[0]
            held = sheet.solution.holdings[asked.of]
            yield from sheet.say(whole_text(Quantity("E", asked.of), part, held, sheet.speech))
    if warning := caution(sheet.solution.holdings[whole.name], sheet.speech.terms):
        yield ""
        for line in warning:
            yield from sheet.page.wrapped(line)


def _network(sheet: Sheet) -> Iterator[str]:
    """The list of what joins what, the setting, and a drawing."""
    problem, page = sheet.problem, sheet.page
    first, *others = Wording(sheet.speech).opening(_walk(sheet)).split("\n")
    yield from page.wrapped(first)
    yield from sheet.say(*others)
    drawn = picture(as_given(problem, sheet.speech.terms), page, INDENT)
    if drawn:
        yield ""
        yield from drawn


def _walk(sheet: Sheet) -> Walk:
    """What the sentences of the dialogue want to know, as it is at the end of the steps."""
    solution, whole = sheet.solution, sheet.solution.whole
    truth = {Quantity("C"): whole.value} if whole else {}
    idle = [c.name for s in solution.steps for c in s.parts if s.makes is None]
    return Walk(
        sheet.problem,
        sheet.speech.terms,
        solution.left,
        truth,
        solution.steps,
        whole,
        known={Quantity("Q", name): Fraction(0) for name in idle},
    )


def _equivalent(sheet: Sheet, whole: Capacitor) -> Iterator[str]:
    yield from sheet.title("The whole")
    name = sheet.speech.name(Quantity("C"))
    if whole not in sheet.problem.network.capacitors:
        of = values_of_parts(sheet.solution.steps[-1])
        result = _result(sheet, whole.value, "capacitance", *of)
        yield from sheet.say(f"One capacitor is left, {whole.name}: {name} {result}")
    else:
        result = sheet.speech.shown(whole.value, "capacitance").after_equals
        yield from sheet.say(f"{whole.name} alone stands between the ends: {name} {result}")


def _held_in_all(sheet: Sheet, whole: Capacitor, supply: Supply) -> Iterator[str]:
    """The total charge from the p.d., or the p.d. from the total charge; then the energy."""
    held = sheet.solution.holdings[whole.name]
    first = Quantity(supply.leaves)
    asked = sheet.problem.asked
    energy = not asked or any((a.quantity, a.of) == ("energy", None) for a in asked)
    for quantity in (first, Quantity("E")) if energy else (first,):
        if sheet.is_short:
            yield from sheet.say(_found(sheet, Asked(quantity.dimension)))
        else:
            yield from sheet.say(whole_text(quantity, whole, held, sheet.speech))


def _bounds(sheet: Sheet) -> Iterator[str]:
    """The bounds of any network of these capacitors, where this one is neither of them itself."""
    if {"series", "parallel"} <= {step.kind for step in sheet.solution.steps}:
        text = Closing(sheet.speech).bounds(_walk(sheet))
        if len(text) <= LONGEST_BOUNDS:
            yield from sheet.say(text)


def _checks(sheet: Sheet, whole: Capacitor, supply: Supply) -> Iterator[str]:
    yield from sheet.title("Checks")
    if sheet.is_short:
        yield from sheet.say(*_totals(sheet, whole))
    else:
        checks = closing_checks(sheet.solution, supply)
        yield from sheet.say(*Closing(sheet.speech).checks(checks))


def _totals(sheet: Sheet, whole: Capacitor) -> Iterator[str]:
    """Two sums over all capacitors, which are too many to write out."""
    holdings, network = sheet.solution.holdings, sheet.problem.network
    held = holdings[whole.name].size
    charge = sheet.shown(_charge_at(sheet, network.ends[0]), "charge").text
    given = sheet.shown(held.charge, "charge").text
    energies = [holdings[c.name].energy for c in network.capacitors]
    energy = sheet.shown(add_up(energies), "energy").text
    stored = sheet.shown(held.energy, "energy").text
    yield f"All plates at {network.ends[0]} together hold {charge}; moved in all: {given}"
    formula = sheet.speech.letters("½ C V²")
    yield f"All stored energies add up to {energy}; {formula} of the whole: {stored}"


def _charge_at(sheet: Sheet, point: str) -> Value:
    """The charges of all plates at a point, with their signs, added up."""
    charges: list[Value] = []
    for c in sheet.problem.network.meeting(point):
        charge = sheet.solution.holdings[c.name].charge
        charges.append(charge if c.start == point else -charge)
    return add_up(charges)


def _asked(sheet: Sheet) -> Iterator[str]:
    """The answer to what the text asks, as its last line."""
    if sheet.problem.asked:
        yield ""
        found = "; ".join(_found(sheet, asked) for asked in sheet.problem.asked)
        yield from sheet.page.wrapped(f"Asked: {found}")


def _found(sheet: Sheet, asked: Asked) -> str:
    """Q3 = 16 µC, or why it has no value."""
    from tutor.front.machine import asked_value

    value = asked_value(asked, sheet.solution)
    if value is None:
        return unanswered(asked, sheet.speech)
    name = sheet.speech.name(Quantity(SYMBOL[asked.quantity], asked.of))
    return f"{name} {_result(sheet, value, asked.quantity)}"


def _result(sheet: Sheet, value: Value, dimension: Dimension, *of: Dimensioned) -> str:
    if sheet.is_short:
        return sheet.shown(value, dimension).after_equals
    return sheet.speech.result(value, dimension, *of)
