"""How a story of changes ends: what must be so, what all hold now, and words of caution."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from grammar import records
from grammar.records import Dimension
from tutor.circuit.network import Capacitor
from tutor.circuit.switching import Switched
from tutor.circuit.values import Value, add_up, chain_sum, decided, sign_of, size_of, tidy
from tutor.teaching.cautions import Hazards, cautions
from tutor.teaching.speech import Dimensioned
from tutor.teaching.staged.changing_primes import ChangeStage, with_primes
from tutor.teaching.staged.changing_scene import Scene, has_name, largest, lifted, touched

MOST_TOLD = 8


def closing(
    stages: Sequence[ChangeStage], capacitors: Sequence[records.Element], scene: Scene
) -> Iterator[str]:
    """Checks with numbers, a line each, and the state of every capacitor at the end."""
    outcomes = [stage.outcome for stage in stages]
    for stage in stages:
        for line in _joined_two(stage.outcome, scene):
            yield with_primes(line, stage.before)
    if len(outcomes) > 1:
        yield from _energies(outcomes, scene)
    yield _at_the_end(outcomes, scene)
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
    printed: list[Dimensioned] = [(chain, "capacitance")]
    printed += [(v, "voltage") for v in before]
    yield (
        f"Energy lost = ½ × {_product(block.capacitors)} × ({v1} {sign} {v2})² = ½ × "
        f"{speech.amount(chain, 'capacitance')} × ({one} {sign} {two})² "
        f"{speech.result(outcome.account.heat, 'energy', *printed)}"
    )


def _product(capacitors: Sequence[Capacitor]) -> str:
    first, second = (c.name for c in capacitors)
    return f"{first} × {second}/({first} + {second})"


# Where energy comes from and where it goes, each by the sign with which it counts.
COMES_AND_GOES = (
    ("from the supply", "back into the supply"),
    ("of work from outside", "of work by the field"),
    ("", "as heat and radiation"),
)


def _energies(outcomes: Sequence[Switched], scene: Scene) -> Iterator[str]:
    """At first, plus what came in, less what went, is what is stored now."""
    accounts = [outcome.account for outcome in outcomes[1:]]
    sums = (
        add_up([a.by_supply for a in accounts]),
        add_up([a.on_plates for a in accounts]),
        tidy(-add_up([a.heat for a in accounts])),
    )
    if not any(sums):
        return
    speech = scene.speech
    first, last = outcomes[0].after.stored, outcomes[-1].after.stored
    shown = [speech.shown(value, "energy") for value in (first, *map(size_of, sums), last)]
    told = f"{shown[0].text} at first" if first else ""
    for value, (comes, goes), size in zip(sums, COMES_AND_GOES, shown[1:], strict=False):
        if value:
            sign = decided(value)
            joint = (" + " if sign > 0 else " − ") if told else ""
            told += f"{joint}{size.text} {comes if sign > 0 else goes}"
    yield f"Energy: {told} {speech.equals(*shown)} {shown[-1].text}, stored now."


def _at_the_end(outcomes: Sequence[Switched], scene: Scene) -> str:
    state = outcomes[-1].after
    told = state.network.capacitors[:MOST_TOLD]
    charges = scene.speech.alike([size_of(state.charges[c.name]) for c in told], "charge")
    volts = scene.speech.alike([size_of(state.voltage(c.name)) for c in told], "voltage")
    lines = [
        f"{c.name} {charge} at {voltage}{_plus(c, outcomes)}"
        for c, charge, voltage in zip(told, charges, volts, strict=True)
    ]
    more = "; …" if len(state.network.capacitors) > MOST_TOLD else ""
    return f"At the end: {'; '.join(lines)}{more}."


def _plus(c: Capacitor, outcomes: Sequence[Switched]) -> str:
    """Where the + plate is; of one that stands apart, whether it was that at first."""
    first, last = outcomes[0].before, outcomes[-1].after
    charge, was = last.charges[c.name], first.charges[c.name]
    if not charge:
        return ""
    plus = c.start if decided(charge) > 0 else c.end
    if has_name(plus):
        return f", + plate at {plus}"
    if not was or any(_turned(c.name, outcome) for outcome in outcomes):
        return ""
    return ", + plate as at first" if decided(was) == decided(charge) else ", + plate where − was"


def _turned(name: str, outcome: Switched) -> bool:
    """Whether a capacitor was taken up, its + plate first, so that its plates count anew."""
    change = outcome.change
    if change is None or name not in change.names:
        return False
    return change.kind == "take out" or lifted(outcome)


def _above_rating(
    c: records.Element, outcomes: Sequence[Switched], scene: Scene
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
    outcomes: Sequence[Switched], capacitors: Sequence[records.Element], scene: Scene
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
