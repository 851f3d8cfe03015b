"""Questions about how the capacitors come to be charged, before anything is done to them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grammar import records
from tutor.circuit.islands import State
from tutor.circuit.switching import Switched
from tutor.teaching.staged.by_law import ByLaw
from tutor.teaching.staged.changing_banks import bank_asks, given_charge
from tutor.teaching.staged.changing_energy import energy_asks
from tutor.teaching.staged.changing_held import held_asks
from tutor.teaching.staged.changing_meshes import mesh_asks
from tutor.teaching.staged.changing_scene import MOST_ASKED, Scene, across, done, touched
from tutor.teaching.staged.changing_stored import stored_ask
from tutor.teaching.staged.changing_values import capacitance_asks, shorted_asks
from tutor.teaching.staged.story import Ask


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
