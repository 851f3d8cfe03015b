"""What a single capacitor does: two plates, a capacitance that stays, and no way across."""

from __future__ import annotations

from random import Random

from tutor.practice.questions.altered import ALONE
from tutor.practice.questions.given import VOLTAGES, WorkedNetwork, read
from tutor.practice.questions.menus import MOST_ENTRIES, Entry, MenuWords, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Story


def one_capacitor(chance: Random, settings: Settings) -> Posed:
    """Four things said of one charged capacitor, of which one is true."""
    value, volts = chance.choice(ALONE), chance.choice(VOLTAGES)
    given = read(f"C1 = {value} uF, across {volts} V", settings)
    right, why = chance.choice(_true(given))
    wrong = _false(given)
    chance.shuffle(wrong)
    ask = lettered(chance, MenuWords(
        "one capacitor", "check", "C1 is charged and settled. Which of these is true of it?", why,
        ("Think of the two plates one at a time: what came to each, and from where?",
         "What is fixed by how C1 is built, and what by the supply?"),
        ("S01",),
    ), [Entry(right), *wrong[: MOST_ENTRIES - 1]])
    told = f"C1, {given.amount('C', 'C1')}, is joined to a supply of {given.volts()}."
    return Posed(given.text, Story(
        "what a capacitor does", (told,), (ask,), (), given.problem.powers,
        network=given.problem.network,
    ))


def _true(given: WorkedNetwork) -> list[tuple[str, str]]:
    """True sentences, each with its reason."""
    charge = given.amount("Q", "C1")
    c = given.amount("C", "C1")
    doubled = given.speech.amount(2 * given.supply, "voltage")
    return [
        (
            f"One plate holds +{charge} and the other −{charge}.",
            f"What the supply takes from one plate it brings to the other: {charge} are separated, "
            "and C1 as a whole gains none.",
        ),
        (
            f"C1 stays {c} when the supply is turned up to {doubled}.",
            "A capacitance is fixed by the plates and the gap; more volts bring more charge in "
            "the same ratio.",
        ),
        (
            f"The {charge} came round through the supply, and none crossed the gap.",
            "Between the plates is an insulator: what leaves one plate reaches the other by way "
            "of the wires and the supply.",
        ),
        (
            f"Half the supply's {given.difference} would bring half the charge.",
            f"{given.speech.letters('Q = C V')}, and C does not change, so the charge goes with "
            f"the {given.speech.terms.at_the_end}",
        ),
    ]


def _false(given: WorkedNetwork) -> list[Entry]:
    """Sentences that are not true, each with what stands against it."""
    c, volts = given.amount("C", "C1"), given.volts()
    held = given.number("Q", "C1")
    both, each = given.coulombs(2 * held), given.coulombs(held / 2)
    grown = given.farads(2 * given.value("C1"))
    doubled = given.speech.amount(2 * given.supply, "voltage")
    law = given.speech.letters("Q = C V")
    return [
        Entry(
            f"Its charge is {both}, as both plates count.",
            f"The charge of a capacitor means what is on one plate, {law} = {c} × {volts}; the "
            "other holds as much of the other sign.", ("counts-both-plates",),
        ),
        Entry(
            "Its charge is zero, as the two plates cancel.",
            f"Taken together they cancel, yes; but the charge that is quoted, {law}, is what has "
            "been moved from one plate to the other.", ("net-charge-is-nought",),
        ),
        Entry(
            f"It becomes {grown} when the supply is turned up to {doubled}.",
            f"At {doubled} the charge doubles too, and C is their ratio. Nothing about the plates "
            "or the gap has changed.", ("capacitance-grows-with-the-supply",),
        ),
        Entry(
            f"Each plate holds +{each}, half of what came.",
            f"What comes to one plate has left the other, so their signs differ, and {law} is the "
            "size of either.",
        ),
        Entry(
            "It holds nothing, as no charge can get across the gap.",
            "No charge gets across, yes; but charge has come round through the wires to get to "
            f"the plates, until {volts} were between them.", ("blocks-so-nothing-counts",),
        ),
        Entry(
            f"Now that it is charged there is no {given.difference} between its plates.",
            f"With no {given.difference} between them the plates would hold no charge: {law}. "
            "Once settled, it has that of the supply.", ("charged-capacitor-is-a-wire",),
        ),
    ]
