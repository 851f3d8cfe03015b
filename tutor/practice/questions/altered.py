"""One capacitor altered, its supply joined or taken away: what is held, and what follows."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from random import Random
from types import MappingProxyType

from grammar.reading import read_network
from tutor.circuit.beginning import beginning
from tutor.circuit.changes import Broken
from tutor.circuit.network import build
from tutor.circuit.switching import Switched, make
from tutor.practice.questions.given import VOLTAGES
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.more_or_less import ABOUT, WORDS
from tutor.practice.questions.question import Posed
from tutor.teaching.quantities import DIMENSION, Symbol
from tutor.teaching.settings import Settings
from tutor.teaching.speech import speech_for
from tutor.teaching.staged.story import Ask, Option, Story, share_options

ALONE = (2, 3, 4, 5, 6, 8, 10, 12)
# What is done, as it is typed and as it is told, and how many times the capacitance it makes.
DONE: Mapping[str, tuple[str, Fraction]] = MappingProxyType({
    "gap of C1 doubled": ("the gap between its plates is doubled", Fraction(1, 2)),
    "gap of C1 halved": ("the gap between its plates is halved", Fraction(2)),
    "fill C1 with 3": ("the gap is filled with a material of relative permittivity 3", Fraction(3)),
    "fill C1 with 5": ("the gap is filled with a material of relative permittivity 5", Fraction(5)),
})
EVERY: tuple[Symbol, ...] = ("Q", "V", "E", "C")


def what_is_held(chance: Random, settings: Settings) -> Posed:
    """What is held fixed while plates are moved or filled, and which way the rest then goes."""
    on = chance.random() < 0.5
    scene = _Changed(chance, settings, on)
    held, free = ("voltage", "Q") if on else ("charge", "V")
    symbol: Symbol = "E" if chance.random() < 0.4 else "Q" if free == "Q" else "V"
    asks = (_held_ask(scene, on, held), _then_ask(scene, on, symbol))
    return Posed(scene.text, Story(
        "what is held fixed", (scene.told,), asks, (), scene.speech.powers,
    ))


def what(symbol: Symbol, settings: Settings) -> str:
    """A quantity in words."""
    return {"Q": "the charge", "V": f"the {settings.difference}", "E": "the stored energy"}.get(
        symbol, "the capacitance"
    )


class _Changed:
    """One capacitor, charged, and then altered with its supply joined or taken away."""

    def __init__(self, chance: Random, settings: Settings, on: bool) -> None:
        value, volts = chance.choice(ALONE), chance.choice(VOLTAGES)
        done = chance.choice([*DONE])
        removed = "" if on else "; then remove supply"
        self.text = f"C1 = {value} uF, across {volts} V{removed}; then {done}"
        description = read_network(self.text)
        problem = build(description)
        self.speech = speech_for(problem, settings)
        start = beginning(description, problem)
        assert not isinstance(start, Broken), "one capacitor can be charged"
        states = [start.after]
        for change in description.changes:
            outcome = make(states[-1], change)
            assert isinstance(outcome, Switched), "one capacitor can be altered"
            states.append(outcome.after)
        self.before, self.after = states[0], states[-1]
        self.grows = self.number("C", True) > self.number("C", False)
        how = "The supply stays joined" if on else "Then the supply is taken away"
        self.told = (
            f"C1, {self.speech.amount(self.number('C', False), 'capacitance')}, is charged from a "
            f"supply of {self.speech.amount(self.number('V', False), 'voltage')}. {how}, and "
            f"{DONE[done][0]}."
        )

    def number(self, symbol: Symbol, later: bool) -> Fraction:
        """C, Q, V or E in SI units, before or later."""
        state = self.after if later else self.before
        value = Fraction(state.capacitor("C1").value)
        charge = Fraction(abs(state.charges["C1"]))
        if symbol == "C":
            return value
        return {"Q": charge, "V": charge / value}.get(symbol, charge * charge / value / 2)

    def amounts(self, symbol: Symbol) -> tuple[str, str]:
        """Both in words."""
        dimension = DIMENSION[symbol]
        before, after = (self.number(symbol, later) for later in (False, True))
        return self.speech.amount(before, dimension), self.speech.amount(after, dimension)


def over_time(chance: Random, settings: Settings) -> Posed:
    """What is the same for one capacitor before it is altered and afterwards."""
    if chance.random() < 0.3:
        return _supply_raised(chance, settings)
    on = chance.random() < 0.5
    scene = _Changed(chance, settings, on)
    right: Symbol = "V" if on else "Q"
    idea = {"Q": "supply-on-keeps-the-charge"} if on else {"V": "supply-off-keeps-the-pd"}
    entries = [
        Entry(what(symbol, settings)) if symbol == right else Entry(
            what(symbol, settings), _cannot_stay(scene, symbol, on),
            (idea[symbol],) if symbol in idea else (),
        )
        for symbol in EVERY
    ]
    ask = lettered(chance, MenuWords(
        "what stays", "shares", "Which of these is the same afterwards as before?",
        _reason(scene, on), _where_to_look(on), ("S29",),
    ), few(chance, next(e for e in entries if e.is_right), entries))
    return Posed(scene.text, Story(
        "what stays the same", (scene.told,), (ask,), (), scene.speech.powers,
    ))


def _reason(scene: _Changed, on: bool) -> str:
    if on:
        return (
            f"The supply is joined to both plates and holds {scene.amounts('V')[1]} between them; "
            "charge comes or goes as it must."
        )
    return (
        "Nothing is joined to the plates, and no charge crosses the gap, so the charge on them, "
        f"{scene.amounts('Q')[1]}, has no way to come or go."
    )


def _where_to_look(on: bool) -> tuple[str, ...]:
    second = (
        "What can a supply that is joined not do: bring more charge, or let its own volts change?"
        if on else "Where could more charge come from, and where could it go?"
    )
    return "Look at what is joined to the plates while the change is made.", second


def _cannot_stay(scene: _Changed, symbol: Symbol, on: bool) -> str:
    """Why one of the four changes, from the change of C and from what is held."""
    before, after = scene.amounts("C")
    grown = f"C1 itself is altered: its capacitance goes from {before} to {after}"
    if symbol == "C":
        return f"{grown}, as the space between the plates is another one."
    joined = "a supply is joined, so charge can come and go" if on else (
        "no supply is joined, so nothing can bring or take charge"
    )
    one, other = scene.amounts(symbol)
    return f"{grown}; {joined}. Then {what(symbol, scene.speech.terms)} goes from {one} to {other}."


def _supply_raised(chance: Random, settings: Settings) -> Posed:
    value, volts = chance.choice(ALONE), chance.choice(VOLTAGES[:5])
    raised = volts * chance.choice((2, 3))
    text = f"C1 = {value} uF, across {volts} V"
    problem = build(read_network(text))
    speech = speech_for(problem, settings)
    c = Fraction(problem.network.capacitors[0].value)
    numbers: Mapping[Symbol, tuple[Fraction, Fraction]] = {
        "Q": (c * volts, c * raised), "V": (Fraction(volts), Fraction(raised)),
        "E": (c * volts**2 / 2, Fraction(c * raised**2 / 2)),
    }
    entries = [Entry("the capacitance")]
    for symbol, pair in numbers.items():
        one, other = (speech.amount(number, DIMENSION[symbol]) for number in pair)
        entries.append(Entry(
            what(symbol, settings),
            f"At the new supply it goes from {one} to {other}: C1 is joined to it all the time, "
            "and charge can come.",
        ))
    before, after = (speech.amount(v, "voltage") for v in numbers["V"])
    told = (
        f"C1, {speech.amount(c, 'capacitance')}, is joined to a supply of {before}, and the supply "
        f"is turned up to {after}."
    )
    ask = lettered(chance, MenuWords(
        "what stays", "shares", "Which of these is the same afterwards as before?",
        f"The capacitance is fixed by how C1 is built, by its plates and the gap; {after} bring "
        f"more charge in the same ratio, {speech.letters('C = Q/V')}.",
        ("Look at what is altered: C1, or the supply?",
         "Which of the four is fixed by the plates and the gap between them?"),
        ("S01",),
    ), entries)
    return Posed(text, Story("what stays the same", (told,), (ask,), (), problem.powers))


# What is held, and what follows


def _held_ask(scene: _Changed, on: bool, held: str) -> Ask:
    terms = scene.speech.terms
    because = _reason(scene, on)
    if on:
        options = share_options(
            "voltage", "The supply is joined to both plates, so charge has a way to come and go.",
            terms, ("supply-on-keeps-the-charge",),
        )
    else:
        options = share_options(
            "charge", f"A supply would be needed to hold the {terms.difference}, and none is "
            "joined.", terms, ("supply-off-keeps-the-pd",),
        )
    named = f"the {terms.difference}" if held == "voltage" else "the charge"
    return Ask(
        "held fixed", "shares",
        f"What is held fixed while this is done, the {terms.difference} or the charge?",
        f"It is {named} that is held fixed. {because}", because, options=options,
        hints=_where_to_look(on), skills=("S29",),
    )


def _then_ask(scene: _Changed, on: bool, symbol: Symbol) -> Ask:
    one, other = scene.amounts(symbol)
    truth = "up" if scene.number(symbol, True) > scene.number(symbol, False) else "down"
    law = _law(scene, symbol, on)
    because = f"{law} It goes from {one} to {other}."
    wrong = ("energy-changes-the-wrong-way",) if symbol == "E" else ()
    options = tuple(
        Option(words, True) if way == truth
        else Option(words, False, law, wrong if way != "same" else ())
        for way, words in WORDS.items()
    )
    return Ask(
        "held fixed, then", ABOUT[symbol],
        f"And {what(symbol, scene.speech.terms)}: does it go up, go down or stay the same?",
        f"It goes {truth}. {because}", because, options=options,
        hints=("Look at what the capacitance does, and at what is held.",
               "Which form of the law has C and the quantity that is held in it?"),
        skills=("S29", "S24") if symbol == "E" else ("S29", "S02"),
    )


def _law(scene: _Changed, symbol: Symbol, on: bool) -> str:
    """The form of the law that has C and what is held in it; C itself is told in numbers."""
    before, after = scene.amounts("C")
    form = {
        ("Q", True): "Q = C V", ("E", True): "E = ½ C V²", ("V", False): "V = Q/C",
        ("E", False): "E = Q²/(2 C)",
    }[symbol, on]
    held = f"the {scene.speech.terms.difference}" if on else "the charge"
    return (
        f"{scene.speech.letters(form)}, where {held} is held and C goes from {before} to {after}."
    )
