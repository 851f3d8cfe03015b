"""The printed way to one capacitor and back: each step with its reason, numbers and bound."""

from __future__ import annotations

from collections.abc import Iterator

from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.steps import BEYOND, Step, after
from tutor.circuit.values import tidy
from tutor.front.pictures import picture
from tutor.front.sheet import INDENT, Sheet
from tutor.front.solution_sentences import bound, gone, heading, stuck
from tutor.teaching.depicted import as_given
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import MOST_WRITTEN_OUT, back_reason, back_text, step_text
from tutor.teaching.speech import counted, sentence, some_names
from tutor.teaching.wording import Wording


def way_there(sheet: Sheet) -> Iterator[str]:
    """Every step of the reduction; in a large network a line each for some of them."""
    steps = sheet.solution.steps
    if sheet.is_short:
        yield from sheet.title(f"{sentence(counted(len(steps), 'step'))}, a line each")
        numbered = list(enumerate(steps, start=1))
        yield from sheet.some(numbered, lambda item: _in_a_line(sheet, *item), "steps")
        return
    network = sheet.problem.network
    for number, step in enumerate(steps, start=1):
        if step.kind in BEYOND:
            yield ""
            yield from sheet.say(stuck(network))
        network = after(network, step)
        yield from _whole_step(sheet, number, step, network)


def _whole_step(sheet: Sheet, number: int, step: Step, left: Network) -> Iterator[str]:
    text = step_text(step, sheet.speech)
    yield from sheet.title(f"Step {number}: {heading(step)}")
    yield from sheet.say(text.because)
    if not text.working.startswith(text.relation):
        yield from sheet.say(*text.relation.split("\n"))
    lines = (*text.working.split("\n"), text.result)
    yield from sheet.say(*dict.fromkeys(lines))  # a sum of letters is its own result
    yield from sheet.say(bound(step, sheet.speech), gone(step))
    if len(left.capacitors) > 1:
        yield from sheet.say(Wording(sheet.speech).left_now(left))
        drawn = as_given(sheet.problem, sheet.speech.terms)
        yield from picture(drawn._replace(network=left, wires=()), sheet.page, INDENT)


def _in_a_line(sheet: Sheet, number: int, step: Step) -> str:
    if step.makes is None:
        why = "" if step.kind in BEYOND else ", since no charge comes there"
        return f"Step {number}: {heading(step)}{why}."
    value = sheet.shown(step.makes.value, "capacitance").after_equals
    return f"Step {number}: {heading(step)} become {step.makes.name} {value}"


def way_back(sheet: Sheet) -> Iterator[str]:
    """From the whole to every part: what passes on unchanged and why, then what follows from it."""
    wanted = leading_to(sheet)
    steps = [
        step for step in reversed(sheet.solution.steps)
        if step.makes and (wanted is None or any(c.name in wanted for c in step.parts))
    ]
    if not steps:
        return
    yield from sheet.title("Working back")
    if sheet.is_short:
        yield from sheet.some(steps, lambda step: passed_on(sheet, step), "steps")
        return
    for step in steps:
        names = some_names([c.name for c in step.parts])
        yield from sheet.say(f"From {step.made} back to {names}.")
        if step.kind != "balance":
            yield from sheet.say(back_reason(step, sheet.speech))
        yield from sheet.say(passed_on(sheet, step))
        parts = worked_out(sheet, step)
        for part in parts[:MOST_WRITTEN_OUT]:
            held = sheet.solution.holdings[part.name]
            yield from sheet.say(back_text(step, part, held, sheet.speech))
        if len(parts) > MOST_WRITTEN_OUT:
            yield from sheet.say("The rest go in the same way; the list below has them all.")


def leading_to(sheet: Sheet) -> frozenset[str] | None:
    """The capacitors on the way back to what is asked, itself and what it is part of; None where
    nothing is asked, so that all count.
    """
    asked = sheet.problem.asked
    if not asked:
        return None
    found = {each.of for each in asked if each.of is not None}
    for step in sheet.solution.steps:
        if step.makes and any(c.name in found for c in step.parts):
            found.add(step.makes.name)
    return frozenset(found)


def worked_out(sheet: Sheet, step: Step) -> list[Capacitor]:
    """The parts of which more is told than what passes on to them: towards what is asked, those on
    the way, and one asked for if it is asked for the rest.
    """
    wanted = leading_to(sheet)
    if wanted is None:
        return list(step.parts)
    shared = JOININGS[step.kind].shared if step.kind in JOININGS else None
    given = {c.name for c in sheet.problem.network.capacitors}
    more = {each.of for each in sheet.problem.asked if each.quantity != shared}
    return [c for c in step.parts if c.name in wanted and (c.name not in given or c.name in more)]


def passed_on(sheet: Sheet, step: Step) -> str:
    """What the parts take over from what they became."""
    return _levels(sheet, step) if step.kind == "balance" else _passing(sheet, step)


def _levels(sheet: Sheet, step: Step) -> str:
    """V_P = 4.8 V; V_R = 7.2 V: the potentials that the balance gives."""
    across = sheet.solution.holdings[step.made].size.voltage
    told = [
        f"V_{point} {sheet.shown(tidy(share * across), 'voltage').after_equals}"
        for point, share in step.shares
    ]
    if len(told) > MOST_WRITTEN_OUT:
        told = [*told[:3], "…", told[-1]]
    before = sheet.solution.steps[: sheet.solution.steps.index(step)]
    # A chain told as one may stand elsewhere than its members, and moves what lies between them.
    where = " in what was left then" if any(each.between for each in before) else ""
    return f"Potentials above {sheet.problem.network.ends[1]}{where}: {'; '.join(told)}"


def _passing(sheet: Sheet, step: Step) -> str:
    """Q1 = Q2 = Q12 = 8 µC: the quantity that a part takes over from what it became."""
    held = sheet.solution.holdings[step.made].size
    chain = step.kind == "series"
    shown = sheet.shown(held.charge, "charge") if chain else sheet.shown(held.voltage, "voltage")
    shares = JOININGS[step.kind].shares
    names = [sheet.speech.name(Quantity(shares, c.name)) for c in step.parts]
    if len(names) > MOST_WRITTEN_OUT:
        names = [*names[:3], "…", names[-1]]
    names.append(sheet.speech.name(Quantity(shares, step.made)))
    return f"{' = '.join(names)} {shown.after_equals}"
