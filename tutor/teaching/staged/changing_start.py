"""Questions about how the capacitors come to be charged, before anything is done to them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from grammar import records
from tutor.circuit.islands import Block, State
from tutor.circuit.surds import near, square_root
from tutor.circuit.switching import FILLED_OR_MOVED, Switched
from tutor.circuit.values import in_letters, parallel_sum
from tutor.teaching.speech import listed
from tutor.teaching.staged.by_law import ByLaw
from tutor.teaching.staged.changing_banks import bank_asks, given_charge
from tutor.teaching.staged.changing_energy import energy_asks
from tutor.teaching.staged.changing_meshes import mesh_asks
from tutor.teaching.staged.changing_scene import (
    MOST_ASKED,
    Scene,
    across,
    done,
    has_name,
    holding,
    metal,
    touched,
    where,
)
from tutor.teaching.staged.changing_stored import stored_ask
from tutor.teaching.staged.changing_values import capacitance_asks, shorted_asks
from tutor.teaching.staged.story import CHARGE_WORDS, PD_WORDS, Ask, Option, Valued, share_options


def stage_asks(outcome: Switched, scene: Scene, lead: str) -> Iterator[Ask]:
    """One change from end to end: what is held, the values that follow, where the energy went."""
    held = list(held_asks(outcome, scene, lead))
    others = [
        *capacitance_asks(outcome, scene),
        *_charges(outcome, scene),
        *energy_asks(outcome, scene),
    ]
    if not held and others:
        others[0] = others[0]._replace(text=f"{lead} {others[0].text}")
    yield from (*held, *others)


def _charges(outcome: Switched, scene: Scene) -> Iterator[Ask]:
    yield from shorted_asks(outcome, scene)
    for block in touched(outcome):
        if any(outcome.after.charges[name] for name in block.names) or any(
            outcome.carried.charges[name] for name in block.names
        ):
            asks = bank_asks if len(block.points) == 2 else mesh_asks
            yield from asks(block, outcome, scene)


def beforehand_asks(
    first: Switched, capacitors: Sequence[records.Element], scene: Scene
) -> Iterator[Ask]:
    """What single capacitors hold before anything is joined, and the energy of all."""
    charged = [c for c in capacitors if first.before.charges[c.name]]
    for at, c in enumerate(charged[:MOST_ASKED]):
        told = charged[at:] if at + 1 == MOST_ASKED else [c]
        yield _precharged(c, first.before, scene, told)
    if charged:
        yield _stored(first.before, scene)


def start_asks(first: Switched, scene: Scene) -> Iterator[Ask]:
    """What all hold once put together, and the energy to begin with."""
    charged = any(first.before.charges.values())
    if not first.moved:
        return
    lead = f"{done(first, scene)}."
    if given_charge(first):
        lead = _given(first, scene)
    lead = f"{lead[0].upper()}{lead[1:]}"
    if charged:
        yield from stage_asks(first, scene, lead)
        return
    yield from held_asks(first, scene, lead)
    yield from _charges(first, scene)
    yield _stored(first.after, scene)


def _given(first: Switched, scene: Scene) -> str:
    ends = first.after.network.ends
    amount = scene.speech.amount(first.after.charge_at(ends[0]), "charge")
    at = across(first.after)
    return f"{amount} has been put on the network at {at}, + on {ends[0]} and − on {ends[1]}."


def _stored(state: State, scene: Scene) -> Ask:
    e = scene.name("E")
    which = "is stored" if scene.only is not None else "do the capacitors store together"
    return stored_ask(state, scene, f"How much energy {e} {which} at this stage?")


def _precharged(
    c: records.Element, state: State, scene: Scene, told: Sequence[records.Element]
) -> Ask:
    """Charge from p.d. or p.d. from charge, whichever the text does not give."""
    assert c.start is not None, "only a capacitor with a start is charged beforehand"
    law, terms = _held(c, state, scene), scene.speech.terms
    q, v = law.names["charge"], law.names["voltage"]
    look = f"Look at {c.name} alone, before anything is joined to it."
    if c.start.quantity == "voltage":
        ask = law.ask(
            "charge beforehand",
            f"{c.name} has been charged to {law.amount('voltage')}. What charge {q} does it hold, "
            f"+{q} on one plate and −{q} on the other?",
            f"Its charge is its capacitance times its {terms.at_the_end}",
            look, "How much charge does it hold for each volt?",
        )
    else:
        ask = law.ask(
            "p.d. beforehand",
            f"{c.name} holds {law.amount('charge')}. What is its {terms.difference} {v}?",
            f"The {terms.difference} of {c.name} is its charge over its capacitance.",
            look, "How many volts does it take to hold that much?",
        )
    lines = (_held(each, state, scene).line for each in told)
    return ask._replace(reveal="\n".join(lines), told=scene.told)


def _held(c: records.Element, state: State, scene: Scene) -> ByLaw:
    by_charge = c.start is not None and c.start.quantity == "charge"
    return scene.law("voltage" if by_charge else "charge", state.capacitor(c.name), state)


# The first question of each stage: what is held fixed while something is done


NO_WORDS = ("no", "n", "none", "nothing", "it does not", "does not")
YES_WORDS = ("yes", "y", "it does", "some")
ENERGY_WORDS = ("the stored energy", "stored energy", "energy")


def held_asks(outcome: Switched, scene: Scene, lead: str) -> Iterator[Ask]:
    """What is held fixed, asked of each kind of block once; ``lead`` says what is done."""
    kind = outcome.change.kind if outcome.change else ""
    if kind == "remove supply":
        yield _let_go(outcome, scene, lead)
        return
    found = [block for block in touched(outcome) if holding(block, outcome)]
    if not found:
        if kind not in FILLED_OR_MOVED:
            yield _at_rest(outcome, scene, lead)
        return
    for supplied in (True, False):
        of_kind = [block for block in found if block.supplied == supplied]
        if not of_kind:
            continue
        if supplied:
            yield _by_supply(of_kind[0], outcome, scene, lead)
        elif kind == "join":
            yield _kept_by_joining(of_kind[0], outcome, scene, lead)
        else:
            yield _by_islands(of_kind[0], outcome, scene, lead)
        lead = ""


def _text(lead: str, question: str) -> str:
    return f"{lead} {question}".lstrip()


def _question(held: str, at: str, difference: str) -> str:
    if at.startswith("of"):
        return f"{held}, the {difference} or the charge {at}?"
    return f"{held} {at}, the {difference} or the charge?"


def _by_supply(block: Block, outcome: Switched, scene: Scene, lead: str) -> Ask:
    speech = scene.speech
    supply = outcome.after.supply
    assert supply is not None, "a supplied block has a supply"
    difference = speech.terms.difference
    at = where(block, outcome.after)
    because = (
        f"The supply is joined to {across(outcome.after)} and holds "
        f"{speech.amount(supply, 'voltage')} there; charge comes and goes as it must."
    )
    slow = outcome.change is not None and outcome.change.kind in FILLED_OR_MOVED
    # A new wire or supply may make it jump first: only a slow change holds what was there.
    held = "What is held fixed" if slow else "What does the supply set"
    told = f"The {difference} {at} is held fixed." if slow else (
        f"The supply sets the {difference} {at}."
    )
    return Ask(
        "held", "shares",
        _text(lead, _question(held, at, difference)),
        f"{told} {because}", because,
        options=share_options(
            "voltage",
            f"The supply is joined to {across(outcome.after)}, so charge has a way to come and go.",
            speech.terms,
            ("supply-on-keeps-the-charge",) if slow else (),
        ),
        hints=(
            f"Look at what is joined to {across(outcome.after)}.",
            "What can a supply not do: bring more charge, or let its own p.d. change?".replace(
                "p.d.", difference
            ),
        ),
    )


def _by_islands(block: Block, outcome: Switched, scene: Scene, lead: str) -> Ask:
    difference = scene.speech.terms.difference
    at = where(block, outcome.after)
    cut_off = _cut_off(block, outcome.after)
    because = (
        f"{cut_off}, and no charge crosses a gap, so the charge stays and the {difference} "
        "follows from it."
    )
    kind = outcome.change.kind if outcome.change else ""
    name = "supply-off-keeps-the-pd" if kind in FILLED_OR_MOVED else "keeps-the-pd"
    names = (name,) if kind else ()
    return Ask(
        "held", "shares",
        _text(lead, _question("What is held fixed", at, difference)),
        f"The charge {at if at.startswith('of') else 'there'} is held fixed. {because}", because,
        options=share_options(
            "charge",
            f"To hold the {difference} {at}, charge would have to come and go: {cut_off[0].lower()}"
            f"{cut_off[1:]}.",
            scene.speech.terms, names,
        ),
        hints=(
            f"Follow the metal of {_both(block, outcome)}: where does it end?",
            "Can charge get from one plate to the other across the gap between them?",
        ),
    )


def _cut_off(block: Block, state: State) -> str:
    """Which metal is isolated, or else that no way leads round: why no charge can come to it."""
    every = state.network.capacitors
    supplied = state.network.ends if state.supply is not None else ()
    for point in block.points:
        there = {c.name for c in every if point in (c.start, c.end)}
        if point not in supplied and there <= set(block.names):
            if has_name(point):
                return f"Only {listed(_at(block, point))} {_has(block, point)} at {point} now"
            return f"Nothing else touches {metal(state, point)}"
    return f"Between {listed(block.points)} no way leads round {listed(block.names)}"


def _at(block: Block, point: str) -> list[str]:
    return [c.name for c in block.capacitors if point in (c.start, c.end)]


def _has(block: Block, point: str) -> str:
    return "has a plate" if len(_at(block, point)) == 1 else "have plates"


def _both(block: Block, outcome: Switched) -> str:
    if len(block.points) > 3:
        return f"the metal between {listed(block.names)}"
    return listed(metal(outcome.after, point) for point in block.points)


def _kept_by_joining(block: Block, outcome: Switched, scene: Scene, lead: str) -> Ask:
    terms = scene.speech.terms
    names = listed(block.names)
    because = (
        f"The joined plates of {names} are one piece of metal, and nothing else touches it, so "
        "the charge on it stays what it was."
    )
    replies = (
        f"Two {terms.differences} that differ cannot both stay once the plates are joined.",
        "Charge rushes along the wires, which take energy from it, so stored energy can leave.",
    )
    return Ask(
        "held", "shares",
        _text(
            lead,
            f"What cannot change in the joining: their {terms.differences}, the charge on the "
            "joined plates together, or the stored energy?",
        ),
        f"The charge on the joined plates cannot change. {because}", because,
        options=(
            Option((f"the {terms.differences}", *PD_WORDS), False, replies[0], ("keeps-the-pd",)),
            Option(CHARGE_WORDS, True),
            Option(
                ENERGY_WORDS, False, replies[1], ("keeps-the-energy",),
                leads_to=_by_kept_energy(block, outcome),
            ),
        ),
        hints=(
            "Look at a pair of joined plates: what else touches that metal?",
            "What cannot leave the two joined plates?",
        ),
    )


def _by_kept_energy(block: Block, outcome: Switched) -> Valued | None:
    """The p.d. of capacitors joined side by side if none of their energy left; None for others, and
    in letters.
    """
    joined = outcome.carried.network.named(c.name for c in block.capacitors)
    energy = sum((outcome.carried.energy(c.name) for c in joined), Fraction(0))
    total = parallel_sum([c.value for c in joined])
    if len(block.points) > len("+-") or in_letters(energy) or in_letters(total):
        return None
    return near(square_root(2 * energy / total)), "voltage"


def _let_go(outcome: Switched, scene: Scene, lead: str) -> Ask:
    difference = scene.speech.terms.difference
    ends = across(outcome.after)
    because = (
        f"Nothing is joined to {ends} any more, so the charge there has no way to leave, "
        "whatever is done next."
    )
    return Ask(
        "held", "shares",
        _text(lead, f"What cannot change from now on, the {difference} or the charge?"),
        f"The charge is held fixed from now on. {because}", because,
        options=share_options(
            "charge",
            f"A supply would be needed to hold the {difference} at {ends}, and none is joined now.",
            scene.speech.terms, ("supply-off-keeps-the-pd",),
        ),
        hints=(
            f"Look at what is joined to {ends} now.",
            "Where could extra charge come from?",
        ),
    )


def _level(outcome: Switched, scene: Scene) -> str:
    """Why a joining moves nothing."""
    change, difference = outcome.change, scene.speech.terms.difference
    if change is not None and change.kind == "wire":
        return f"{listed(change.points or ())} are at one potential already"
    if change is not None and change.kind == "join":
        return f"The plates that are joined have one {difference} between them already"
    return f"The {difference} at {across(outcome.after)} is the supply's already"


def _at_rest(outcome: Switched, scene: Scene, lead: str) -> Ask:
    difference = scene.speech.terms.difference
    if outcome.change is not None and outcome.change.kind == "take out":
        names = listed(outcome.change.names)
        because = (
            f"The plates of {names} carry off their own charges, and nothing changes the "
            f"{scene.speech.terms.differences} of the others, so nothing drives any charge."
        )
    else:
        because = f"{_level(outcome, scene)}, so nothing drives any charge."
    return Ask(
        "at rest", "change",
        _text(lead, "Does any charge move along a wire then, yes or no?"),
        f"No charge moves. {because}", because,
        options=(
            Option(NO_WORDS, True),
            Option(
                YES_WORDS, False,
                f"Charge moves along a wire only where a {difference} drives it.",
            ),
        ),
        hints=(
            f"Compare the {scene.speech.terms.differences} before and after.",
            f"Is there a {difference} anywhere that would drive charge along a wire?",
        ),
    )
