"""The story of equal missing values: what adds up over them, then what each of them is."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from grammar.records import SoughtEqual
from tutor.circuit.joining import JOININGS
from tutor.circuit.prefixes import usual_prefixes
from tutor.teaching.rules.plates_and_ratings import OF_EQUALS
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.moves import adding_ask
from tutor.teaching.staged.story import Ask, Story, Way


def equal_story(sought: SoughtEqual, settings: Settings) -> Story:
    """What adds up, then the value of each; all have the same."""
    powers = usual_prefixes([("capacitance", sought.total.power)])
    speech = Speech(powers, settings)
    first, names = sought.names[0], listed(sought.names)
    whole = speech.amount(sought.total.value, "capacitance")
    opening = (
        f"Equal capacitors, {names}, are not known.",
        f"Given: in {sought.way} they make {whole}.",
        f"Wanted: {first}, the capacitance of each.",
    )
    chain = JOININGS[sought.way].turned
    adding = adding_ask(("C", *sought.names), chain, speech)
    adding = adding._replace(text=(
        f"In {sought.way} {names} make {whole}. What adds up over them then: the capacitances, or "
        "their reciprocals, one over each?"
    ))
    each = sought.total.value * len(sought.names) if chain else sought.total.value / len(
        sought.names
    )
    asks = (adding, _each(sought, speech, each))
    return Story(
        "equal missing values", opening, asks, tuple(_put_back(sought, speech)), powers,
        results=dict.fromkeys(sought.names, (each, "capacitance")),
    )


def _each(sought: SoughtEqual, speech: Speech, value: Fraction) -> Ask:
    """The one equation for all of them."""
    first, number = sought.names[0], len(sought.names)
    chain = JOININGS[sought.way].turned
    whole = speech.amount(sought.total.value, "capacitance")
    shown = speech.result(value, "capacitance")
    law, solved, pattern = (
        (f"1/C = {number} × 1/{first}", f"{first} = {number} × C = {number} × {whole}", "number*C")
        if chain else
        (f"C = {number} × {first}", f"{first} = C/{number} = {whole} / {number}", "C/number")
    )
    turned = sought.total.value / number if chain else sought.total.value * number
    unit = Fraction(10) ** speech.powers["capacitance"]
    return Ask(
        OF_EQUALS, "value", f"{listed(sought.names)} have one value. What is {first}?",
        f"{law}, so {solved} {shown}",
        "Every one of them brings the same term, so one value is all there is to find.",
        name=first, dimension="capacitance", right=value,
        hints=(
            f"Each of the {number} brings the same term. Which term is that?",
            f"{number} equal terms make {'1/C' if chain else 'C'}: write it with {first}.",
            f"{law}, and C is {whole}.",
        ),
        facts={"the other way": turned / unit, "the whole": sought.total.value / unit},
        told={"number": str(number), "whole": whole},
        ways=(Way(pattern, {
            "C": (sought.total.value, "capacitance"), "number": (Fraction(number), None),
        }, worked=("C", "number")),),
    )


def _put_back(sought: SoughtEqual, speech: Speech) -> Iterator[str]:
    """The value put back, and what the same ones make joined the other way."""
    number, total = len(sought.names), sought.total.value
    chain = JOININGS[sought.way].turned
    each = total * number if chain else total / number
    amount, whole = (speech.amount(value, "capacitance") for value in (each, total))
    other = each * number if chain else each / number
    sum_of_all = f"{amount} / {number}" if chain else f"{number} × {amount}"
    equals = speech.equals(speech.shown(each, "capacitance"), speech.shown(total, "capacitance"))
    yield f"{number} of {amount} in {sought.way}: {sum_of_all} {equals} {whole}, as given."
    way = "parallel" if chain else "series"
    share = f"{number**2} times as much" if chain else f"1/{number**2} of that"
    yield f"In {way} they make {speech.amount(other, 'capacitance')}, {share}."
