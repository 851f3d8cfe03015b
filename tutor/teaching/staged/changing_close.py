"""How a story of changes ends: what must be so, what all hold now, and words of caution."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from grammar import records
from grammar.records import Dimension
from tutor.circuit.islands import State
from tutor.circuit.network import Capacitor
from tutor.circuit.switching import Switched
from tutor.circuit.values import Value, add_up, chain_sum, sign_of, size_of, tidy
from tutor.teaching.cautions import Hazards, cautions
from tutor.teaching.staged.changing_scene import Scene, largest, touched

MOST_TOLD = 8


def closing(
    outcomes: Sequence[Switched], capacitors: Sequence[records.Capacitor], scene: Scene
) -> Iterator[str]:
    """Checks with numbers, a line each, and the state of every capacitor at the end."""
    for outcome in outcomes:
        yield from _joined_two(outcome, scene)
    if len(outcomes) > 1:
        yield from _energies(outcomes, scene)
    yield _at_the_end(outcomes[-1].after, scene)
    for c in capacitors:
        yield from _above_rating(c, outcomes, scene)


def _joined_two(outcome: Switched, scene: Scene) -> Iterator[str]:
    """Two joined: the common p.d. has its bounds, and the loss has a formula of its own."""
    change = outcome.change
    if change is None or change.kind != "join" or len(change.names) != 2:
        return
    found = [b for b in touched(outcome) if set(b.names) == set(change.names) and not b.supplied]
    if not found or not outcome.account.heat:
        return
    block, speech = found[0], scene.speech
    before = [size_of(outcome.before.voltage(name)) for name in block.names]
    now = size_of(outcome.after.voltage(block.names[0]))
    higher = sign_of(tidy(before[0] - before[1]))
    if not change.crossed and higher is not None:
        low, high = before if higher < 0 else reversed(before)
        yield (
            f"Like plates joined: {speech.amount(now, 'voltage')} lies between "
            f"{speech.amount(low, 'voltage')} and {speech.amount(high, 'voltage')}, the "
            f"{speech.terms.differences} before."
        )
    v1, v2 = (scene.name("V", name) for name in block.names)
    sign = "+" if change.crossed else "−"
    chain = chain_sum([c.value for c in block.capacitors])
    one, two = (speech.amount(v, "voltage") for v in before)
    yield (
        f"Energy lost = ½ × {_product(block.capacitors)} × ({v1} {sign} {v2})² = ½ × "
        f"{speech.amount(chain, 'capacitance')} × ({one} {sign} {two})² "
        f"{speech.result(outcome.account.heat, 'energy')}"
    )


def _product(capacitors: Sequence[Capacitor]) -> str:
    first, second = (c.name for c in capacitors)
    return f"{first} × {second}/({first} + {second})"


def _energies(outcomes: Sequence[Switched], scene: Scene) -> Iterator[str]:
    """At first, plus what came in, less what went, is what is stored now."""
    accounts = [outcome.account for outcome in outcomes[1:]]
    sums = {
        "work of the supply": add_up([a.by_supply for a in accounts]),
        "work on plates and fillings": add_up([a.on_plates for a in accounts]),
        "heat in the wires": tidy(-add_up([a.heat for a in accounts])),
    }
    parts = {name: value for name, value in sums.items() if value}
    if not parts:
        return
    first, last = outcomes[0].after.stored, outcomes[-1].after.stored
    told = scene.added([first, *parts.values()], "energy")
    exact = [scene.speech.shown(v, "energy") for v in (first, *map(size_of, parts.values()), last)]
    names = ", ".join(["at first", *parts])
    sign = scene.speech.equals(*exact)
    yield f"Energy ({names}): {told} {sign} {scene.speech.amount(last, 'energy')}, stored now."


def _at_the_end(state: State, scene: Scene) -> str:
    speech = scene.speech
    lines = [
        f"{c.name} {speech.amount(size_of(state.charges[c.name]), 'charge')} at "
        f"{speech.amount(size_of(state.voltage(c.name)), 'voltage')}"
        for c in state.network.capacitors[:MOST_TOLD]
    ]
    more = "; …" if len(state.network.capacitors) > MOST_TOLD else ""
    return f"At the end: {'; '.join(lines)}{more}."


def _above_rating(
    c: records.Capacitor, outcomes: Sequence[Switched], scene: Scene
) -> Iterator[str]:
    if c.rating is None:
        return
    most = largest(outcome.after.voltage(c.name) for outcome in outcomes)
    if most is not None and most > c.rating.value:
        speech = scene.speech
        yield (
            f"{c.name} comes to {speech.amount(most, 'voltage')}, above its rating of "
            f"{speech.amount(c.rating.value, 'voltage')}: a real one may break down."
        )


def cautions_of(
    outcomes: Sequence[Switched], capacitors: Sequence[records.Capacitor], scene: Scene
) -> tuple[str, ...]:
    """What to say of real capacitors, from the highest p.d. and the most energy on the way."""
    states = [state for outcome in outcomes for state in (outcome.before, outcome.after)]
    voltages = [state.voltage(c.name) for state in states for c in state.network.capacitors]
    joined = any(
        outcome.account.heat and outcome.change is not None
        and outcome.change.kind in ("join", "wire")
        for outcome in outcomes
    )
    hazards = Hazards(rated=any(c.rating for c in capacitors), joined=joined)
    most = largest(state.stored for state in states)
    return cautions(largest(voltages), most, hazards, scene.speech.terms)


def results(outcomes: Sequence[Switched]) -> Mapping[str, tuple[Value, Dimension | None]]:
    """The machine's copy: every value after each change, with the number of the change."""
    found: dict[str, tuple[Value, Dimension | None]] = {}
    for at, outcome in enumerate(outcomes):
        state, account = outcome.after, outcome.account
        for c in state.network.capacitors:
            found[f"{at}: capacitance of {c.name}"] = (c.value, "capacitance")
            found[f"{at}: charge of {c.name}"] = (size_of(state.charges[c.name]), "charge")
            found[f"{at}: voltage of {c.name}"] = (size_of(state.voltage(c.name)), "voltage")
        found[f"{at}: stored energy"] = (state.stored, "energy")
        if at:
            found[f"{at}: work of the supply"] = (account.by_supply, "energy")
            found[f"{at}: work on plates"] = (account.on_plates, "energy")
            found[f"{at}: heat"] = (account.heat, "energy")
    return found
