"""Questions about stored energy: how much, and whether it is lower or higher than before."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from grammar.records import Dimension
from tutor.circuit.islands import State
from tutor.circuit.switching import FILLED_OR_MOVED, Switched
from tutor.circuit.values import decided
from tutor.teaching.speech import Dimensioned
from tutor.teaching.staged.changing_scene import MOST_ASKED, Scene, plain
from tutor.teaching.staged.story import LESS, MORE, SAME, Ask, Option, Way

OF_EACH: Final[tuple[Dimension, ...]] = ("charge", "voltage")


def stored_ask(state: State, scene: Scene, question: str) -> Ask:
    """How much energy all capacitors store together."""
    e, speech = scene.name("E"), scene.speech
    charged = [c for c in state.network.capacitors if state.charges[c.name]]
    laws = [scene.law("energy", c, state) for c in charged]
    relation = " + ".join(law.side(law.relation) for law in laws)
    numbers = " + ".join(law.in_numbers for law in laws)
    printed: list[Dimensioned] = [(law.values[kind], kind) for law in laws for kind in OF_EACH]
    if len(charged) > MOST_ASKED:
        relation = f"the sum of half of charge times {speech.terms.difference} over the capacitors"
        numbers = scene.added([state.energy(c.name) for c in charged], "energy")
        printed = [(state.energy(c.name), "energy") for c in charged]
    result = speech.result(state.stored, "energy", *printed)
    reveal = f"{e} = {relation} = {numbers} {result}"
    if not charged:
        relation = speech.letters("½ × Q × V")
        reveal = f"{e} = 0, since no capacitor holds any charge."
    because = (
        f"{charged[0].name} stores half its charge times its {speech.terms.at_the_end}"
        if len(charged) == 1 else
        f"Each capacitor stores half its charge times its own {speech.terms.difference}; the "
        "stored energies add."
    )
    is_alone = len(state.network.capacitors) == 1
    look = "Which" if is_alone or not charged else f"Look at {charged[0].name} alone: which"
    return Ask(
        "stored energy", "energy", question, reveal, because,
        name=e, dimension="energy", right=state.stored,
        hints=(
            f"{look} charge does it hold, and which {speech.terms.difference} is across it?"
            if len(charged) == 1 else "Go through the capacitors that hold charge, one by one.",
            "The more charge is there already, the more work the next bit takes. What is the "
            "work for one bit on average?",
            f"{e} = {relation}",
        ),
        told=scene.told, ways=_ways(state, scene),
    )


def _ways(state: State, scene: Scene) -> tuple[Way, ...]:
    """The three forms of the energy, added up over the capacitors that hold charge."""
    laws = [
        scene.law("energy", c, state) for c in state.network.capacitors if state.charges[c.name]
    ]
    worked = tuple(law.names[kind] for law in laws for kind in OF_EACH)
    uses = {name: value for law in laws for way in law.ways() for name, value in way.uses.items()}
    forms = zip(*(law.ways() for law in laws), strict=True)
    sums = [" + ".join(way.relation for way in form) for form in forms]
    return tuple(Way(added, uses, worked=worked) for added in sums or ["0"])


def direction_ask(outcome: Switched, scene: Scene) -> Ask:
    """Whether less or more is stored than before, where no supply does any work."""
    gained = decided(outcome.account.gained)
    word = "lower" if gained < 0 else "higher" if gained > 0 else "the same"
    right = LESS if gained < 0 else MORE if gained > 0 else SAME
    slow = outcome.change is not None and outcome.change.kind in FILLED_OR_MOVED
    joined = not slow
    because = _because(gained, joined)
    replies = {
        LESS: _wrong_way(outcome, joined),
        MORE: _wrong_way(outcome, joined),
        SAME: "The charge is kept here; the stored energy need not be: compare "
        f"{'it' if joined else '½ Q²/C'} before and now.",
    }
    wrong = {
        LESS: ("energy-changes-the-wrong-way",) if slow else (),
        MORE: ("energy-changes-the-wrong-way",) if slow else (),
        SAME: () if slow else ("no-energy-is-lost",),
    }
    return Ask(
        "energy change", "energy",
        "Is the stored energy now lower than before, higher, or the same?",
        f"It is {word} {'as' if word == 'the same' else 'than'} before. {because}",
        because,
        options=tuple(
            Option(words, True) if words is right else
            Option(words, False, replies[words], wrong[words])
            for words in (LESS, MORE, SAME)
        ),
        hints=(
            "Look at the wires that charge has run along.",
            "What happens to a wire that charge runs along?",
        ) if joined else (
            "Look at what has stayed the same, and write the energy with it.",
            "Which form of the energy has only the fixed quantity and C in it?",
            scene.speech.letters("E = ½ Q²/C for each capacitor"),
        ),
    )


def _because(gained: int, joined: bool) -> str:
    if joined:
        return (
            "Charge ran along the wires, and they took energy, which left as heat, a little "
            "as radiation."
        )
    if not gained:
        return "What is filled or moved here holds no charge, so no energy is in it to change."
    amount, work = ("more", "less") if gained < 0 else ("less", "more")
    return f"The charge is fixed, and on {amount} capacitance it takes {work} work to put it there."


def _wrong_way(outcome: Switched, joined: bool) -> str:
    if joined:
        return "Charge that runs along a wire warms it: no energy can come from that."
    if decided(outcome.account.gained) < 0:
        return "What is moved here is pulled in by the field, which does work and pays for it."
    return "What is moved here is held back by the field, so somebody has to do work."


def after_ask(outcome: Switched, scene: Scene) -> Ask:
    """How much is stored once the change is made."""
    e = scene.name("E")
    ask = stored_ask(
        outcome.after, scene,
        f"How much energy {e} do all the capacitors store together now?"
        if scene.only is None else f"How much energy {e} is stored now?",
    )
    facts: dict[str, Fraction] = {}
    if scene.only is not None:
        before, after = (
            state.capacitor(scene.only).value for state in (outcome.before, outcome.after)
        )
        facts = {"before": scene.usual(outcome.before.stored, "energy"),
                 "ratio": plain(after / before),
                 "fixed p.d.": Fraction(outcome.after.supply is not None)}
    key = "energy after" if outcome.change is not None else "stored energy"
    return ask._replace(key=key, facts=facts)
