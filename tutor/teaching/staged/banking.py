"""The story of a bank: equal rated capacitors for a wanted capacitance at a wanted p.d."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from grammar.records import Bank, Dimension
from grammar.writing import write_number
from tutor.circuit.banks import Built, equal_chains, fewest_of_any, smallest_bank
from tutor.teaching.cautions import Hazards, cautions
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, counted
from tutor.teaching.staged.repeated import bank_drawn
from tutor.teaching.staged.story import Ask, Story, Way


class BankScene(NamedTuple):
    """A bank that is wanted, its equal chains, and how values are put into words."""

    bank: Bank
    chains: Built
    speech: Speech

    @property
    def chain(self) -> Fraction:
        """The capacitance of one chain, in farads."""
        return self.bank.each.value / self.chains.length

    @property
    def made(self) -> Fraction:
        """The capacitance of the whole bank, in farads."""
        return self.chain * self.chains.size


def bank_story(bank: Bank, settings: Settings) -> Story:
    """How many in a chain, how many chains, and how many in all."""
    powers = _powers(bank)
    scene = BankScene(bank, equal_chains(bank), Speech(powers, settings))
    energy = scene.made * bank.voltage.value**2 / 2
    hazards = Hazards(rated=True, chained=scene.chains.length > 1)
    return Story(
        "bank",
        tuple(_opening(scene)),
        tuple(_asks(scene)),
        tuple(_closing(scene)),
        powers,
        cautions(bank.voltage.value, energy, hazards, settings),
        results={
            "in a chain": (Fraction(scene.chains.length), None),
            "chains": (Fraction(scene.chains.size), None),
            "capacitors": (Fraction(scene.chains.parts), None),
            "C": (scene.made, "capacitance"),
        },
        drawn=bank_drawn(bank, scene.speech),
    )


def _powers(bank: Bank) -> Mapping[Dimension, int]:
    c, v = bank.each.power, bank.rating.power
    return {"capacitance": c, "voltage": v, "charge": c + v, "energy": c + 2 * v}


def _opening(scene: BankScene) -> Iterator[str]:
    bank, speech = scene.bank, scene.speech
    yield (
        f"Equal capacitors of {speech.amount(bank.each.value, 'capacitance')}, rated "
        f"{speech.amount(bank.rating.value, 'voltage')}, are to make at least "
        f"{speech.amount(bank.wanted.value, 'capacitance')} at "
        f"{speech.amount(bank.voltage.value, 'voltage')}."
    )
    yield "They stand in equal chains, and the chains side by side between the ends."


def _asks(scene: BankScene) -> Iterator[Ask]:
    yield _length(scene)
    if scene.chains.length > 1:
        yield _chain(scene)
    yield _chains(scene)
    if scene.chains.length > 1 and scene.chains.size > 1:
        yield _parts(scene)


def _length(scene: BankScene) -> Ask:
    bank, speech, length = scene.bank, scene.speech, scene.chains.length
    difference, v = speech.terms.difference, speech.letters("V")
    whole, rating, each = (
        speech.amount(value, "voltage")
        for value in (bank.voltage.value, bank.rating.value, bank.voltage.value / length)
    )
    ratio = bank.voltage.value / bank.rating.value
    rounded = "" if ratio.denominator == 1 else f", and the next whole number is {length}"
    return Ask(
        "how many in a chain", "value",
        f"How many capacitors are needed in one chain, so that each has at most {rating} of "
        f"{whole}?",
        f"{whole} / {rating} {_equals(scene, ratio)}{rounded}; with {length} in a chain each "
        f"has {each}",
        f"Equal capacitors in a chain hold one charge, so they share the {difference} equally.",
        name="n", right=Fraction(length), pure=True,
        hints=(
            f"Look at the {difference} of the whole and at the rating of one.",
            f"Equal ones in a chain have equal {speech.terms.differences}. How many such parts "
            "does the whole need?",
            f"n = whole {difference} / rating, or the next whole number above it",
        ),
        ways=(Way(f"{v}/rating", {
            v: (bank.voltage.value, "voltage"), "rating": (bank.rating.value, "voltage"),
        }, "rounded up"),),
    )


def _chain(scene: BankScene) -> Ask:
    speech, length = scene.speech, scene.chains.length
    each = speech.amount(scene.bank.each.value, "capacitance")
    return Ask(
        "capacitance of a chain", "value",
        f"What is the capacitance of one chain of {length}?",
        f"C = {each} / {length} {speech.shown(scene.chain, 'capacitance').after_equals}",
        f"The {speech.terms.differences} add up for one charge, so the chain has less "
        "capacitance than one of its members.",
        name="C", dimension="capacitance", right=scene.chain,
        hints=(
            f"Look at a chain of {length} equal capacitors.",
            "Does a chain have more or less capacitance than one member?",
            f"C = capacitance of one / {length}",
        ),
        ways=(Way("C0/n", {
            "C0": (scene.bank.each.value, "capacitance"), "n": (Fraction(length), None),
        }),),
    )


def _chains(scene: BankScene) -> Ask:
    speech, size = scene.speech, scene.chains.size
    wanted = speech.amount(scene.bank.wanted.value, "capacitance")
    one = speech.amount(scene.chain, "capacitance")
    ratio = scene.bank.wanted.value / scene.chain
    rounded = "" if ratio.denominator == 1 else f", and the next whole number is {size}"
    what = "such chains" if scene.chains.length > 1 else "capacitors"
    return Ask(
        "how many chains", "value",
        f"How many {what} side by side make at least {wanted}?",
        f"{wanted} / ({one}) {_equals(scene, ratio)}{rounded}",
        f"Side by side all have the whole {speech.terms.difference}, and their charges add up.",
        name="m", right=Fraction(size), pure=True,
        hints=(
            "Look at the wanted capacitance and at what one of them has.",
            "Side by side, do the capacitances add up?",
            "m = wanted capacitance / capacitance of one, or the next whole number above it",
        ),
        ways=(Way("wanted/C", {
            "wanted": (scene.bank.wanted.value, "capacitance"), "C": (scene.chain, "capacitance"),
        }, "rounded up"),),
    )


def _parts(scene: BankScene) -> Ask:
    chains = scene.chains
    return Ask(
        "how many in all", "value",
        "How many capacitors is that in all?",
        f"{chains.size} chains of {chains.length}: {chains.parts} capacitors",
        "Every chain needs all its members.",
        name="N", right=Fraction(chains.parts), pure=True,
        hints=(
            "Look at the number of chains and at the number in each.",
            "How many are in two of the chains?",
            "N = chains × number in a chain",
        ),
        ways=(Way("n × m", {
            "n": (Fraction(chains.length), None), "m": (Fraction(chains.size), None),
        }),),
    )


def _closing(scene: BankScene) -> Iterator[str]:
    bank, chains, speech = scene.bank, scene.chains, scene.speech
    made = speech.amount(scene.made, "capacitance")
    each = speech.amount(bank.voltage.value / chains.length, "voltage")
    yield f"The bank has {made}, with {each} on each capacitor."
    best = smallest_bank(bank)
    if best.parts < chains.parts:
        yield _unequal(scene, best)
    if best.parts == fewest_of_any(bank):
        yield f"No network of these capacitors can do with fewer than {best.parts}."


def _unequal(scene: BankScene, best: Built) -> str:
    speech, bank = scene.speech, scene.bank
    smaller = f"{counted(best.length - best.larger, 'group')} of {best.size}"
    larger = f"{counted(best.larger, 'group')} of {best.size + 1}"
    value = speech.amount(bank.each.value * best.times, "capacitance")
    highest = speech.amount(bank.voltage.value * best.greatest_share, "voltage")
    return (
        f"Side by side in unequal groups, {smaller} and {larger} one after another, "
        f"{counted(best.parts, 'capacitor')} will do: {value}, with {highest} at most on one."
    )


def _equals(scene: BankScene, ratio: Fraction) -> str:
    """A plain number with the sign that is true before it."""
    style = scene.speech.terms.style
    text, exact = write_number(ratio, style.figures, style.comma)
    return f"{'=' if exact else '≈'} {text}"
