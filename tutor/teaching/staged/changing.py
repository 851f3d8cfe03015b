"""The story of charged capacitors that are joined, filled, moved, wired or taken out in stages."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from grammar import records
from grammar.outline import elements_of
from grammar.records import (
    PERMITTIVITY_LETTER,
    Amount,
    Change,
    Charging,
    Description,
    Dimension,
    Letter,
    Refusal,
    Unknown,
    Worth,
)
from grammar.writing import write_network
from tutor.circuit.beginning import beginning
from tutor.circuit.changes import Broken
from tutor.circuit.islands import State
from tutor.circuit.network import Network, Supply, build
from tutor.circuit.prefixes import SIZES_IN_SI
from tutor.circuit.structure import pieces
from tutor.circuit.switching import PlateMisfit, Switched, make
from tutor.circuit.values import Undecided, sign_of
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.changing_close import cautions_of, closing, results
from tutor.teaching.staged.changing_primes import PRIMED, ChangeStage, primed
from tutor.teaching.staged.changing_scene import Scene, done, largest
from tutor.teaching.staged.changing_start import beforehand_asks, stage_asks, start_asks
from tutor.teaching.staged.story import Ask, Moment, Story

MOST_LISTED = 12


def is_changing(description: Description) -> bool:
    """Whether capacitors are charged beforehand, or something is done to the network."""
    capacitors = elements_of(description)
    if description.givens or any(isinstance(c.worth, Unknown) for c in capacitors):
        return False
    return bool(description.changes) or any(c.start is not None for c in capacitors)


def changing_story(description: Description, settings: Settings) -> Story:
    """The questions of every stage.

    Errors: ``Refusal`` for what cannot be done, and for letters that leave a sign open or that do
    not go with the numbers beside them.
    """
    capacitors = elements_of(description)
    refuse_mixtures(description, capacitors)
    _refuse_two_charges(description, capacitors)
    try:
        return _story(description, capacitors, settings)
    except Undecided as undecided:
        value = Speech(build(description).powers, settings).ratio(undecided.args[0])
        raise Refusal(
            f"The letters leave open whether {value} is above or below zero, and the signs of "
            "the charges depend on that.",
            "Use one letter with numbers before it, such as V and 3V, or give values.",
        ) from None


def _story(
    description: Description, capacitors: Sequence[records.Element], settings: Settings
) -> Story:
    problem = build(description)
    outcomes = _played(description)
    powers = _fitting(problem.powers, outcomes)
    only = capacitors[0].name if len(capacitors) == 1 else None
    speech = Speech({**powers, **SIZES_IN_SI}, settings)
    scene = Scene(speech, only, letters_in(description, capacitors))
    first = tuple(beforehand_asks(outcomes[0], capacitors, scene))
    told = [(outcomes[0], tuple(start_asks(outcomes[0], scene))), *_stages(outcomes[1:], scene)]
    stages = tuple(primed(first, told, scene))
    asks = (*first, *(ask for stage in stages for ask in stage.asks))
    if scene.letters:  # no wrong rule is run on letters
        asks = tuple(ask._replace(facts={}) for ask in asks)
    whole = len(set(pieces(problem.network.capacitors).values())) == 1
    return Story(
        "changes",
        tuple(_opening(description, stages, scene)),
        asks,
        tuple(closing(stages, capacitors, scene)),
        powers,
        cautions_of(outcomes, capacitors, scene),
        problem.network if whole else None,
        results(outcomes),
        tuple(_moments(outcomes[0].before, len(first), stages)),
    )


def _moments(
    beforehand: State, asked_before: int, stages: Sequence[ChangeStage]
) -> Iterator[Moment]:
    """What stands there in each stage."""
    if asked_before:
        yield _moment(beforehand, 0)
    since = asked_before
    for stage in stages:
        yield _moment(stage.outcome.after, since)
        since += len(stage.asks)


def _moment(state: State, since: int) -> Moment:
    supply = None if state.supply is None else Supply("voltage", state.supply)
    signs = {c: sign_of(state.charges[c.name]) for c in state.network.capacitors}
    plus = {c.name: c.start if sign > 0 else c.end for c, sign in signs.items() if sign}
    return Moment(since, state.network, supply, plus)


def _refuse_two_charges(
    description: Description, capacitors: Sequence[records.Element]
) -> None:
    charged = [c.name for c in capacitors if c.start is not None]
    supply = description.supply
    if charged and supply is not None and supply.quantity == "charge":
        raise Refusal(
            f"A charge is given for the whole network, and {charged[0]} is charged beforehand as "
            "well.",
            "Give the one or the other: what each capacitor holds, or what the whole was given.",
        )


def _played(description: Description) -> list[Switched]:
    """Every stage in turn. Errors: ``Refusal`` at the first that cannot be."""
    first = beginning(description, build(description))
    if isinstance(first, Broken):
        raise _impossible(first, None)
    outcomes = [first]
    for change in description.changes:
        try:
            found = make(outcomes[-1].after, change)
        except PlateMisfit as misfit:
            raise _misfit(misfit, change) from None
        if isinstance(found, Broken):
            raise _impossible(found, change)
        outcomes.append(found)
    return outcomes


def _fitting(
    powers: Mapping[Dimension, int], outcomes: Sequence[Switched]
) -> Mapping[Dimension, int]:
    """The usual prefixes; larger ones for charge and energy where numbers would grow long."""
    states = [state for outcome in outcomes for state in (outcome.before, outcome.after)]
    most_of: dict[Dimension, Fraction | None] = {
        "charge": largest(q for state in states for q in state.charges.values()),
        "energy": largest(state.stored for state in states),
    }
    found = dict(powers)
    for dimension, each in most_of.items():
        most = each or Fraction(0)
        while most >= Fraction(10) ** (found[dimension] + 4) and found[dimension] < 0:
            found[dimension] += 3
    return found


def _impossible(broken: Broken, change: Change | None) -> Refusal:
    if broken.kind == "open":
        return Refusal(
            "Nothing joins the two ends, so they cannot hold the charge that is given.",
            "Join them by capacitors, or leave the charge out.",
        )
    what = {"wire": "This wire", "supply": "This supply", "join": "This joining"}
    named = what.get(change.kind, "This") if change else "A wire"
    points = f" from {change.points[0]} to {change.points[1]}" if change and change.points else ""
    return Refusal(
        f"{named}{points} would put the two ends of the supply on one piece of metal.",
        "That shorts the supply: remove it first, or leave this out.",
    )


def _misfit(misfit: PlateMisfit, change: Change) -> Refusal:
    name = misfit.args[0]
    if isinstance(change.amount, Letter):
        return Refusal(
            f"{name} is given by its plates, which are worked in numbers.",
            f"Give the relative permittivity a number, or {name} a letter, as in {name} = C.",
        )
    if isinstance(change.amount, Amount):
        return Refusal(
            f"The new gap of {name} does not go with what is known of its plates.",
            "Say by how much it changes, as in doubled, or give a gap wider than what is in it.",
        )
    return Refusal(
        f"What is between the plates of {name} does not fit into the new gap.",
        "Take the filling out first, or keep the gap wider.",
    )


def _stages(
    outcomes: Sequence[Switched], scene: Scene
) -> Iterator[tuple[Switched, tuple[Ask, ...]]]:
    """A supply that is taken away is told together with what is done next, if anything is."""
    told: list[str] = []
    for at, outcome in enumerate(outcomes):
        assert outcome.change is not None, "only the first stage is no change"
        told.append(_sentence(done(outcome, scene), bool(told) or at > 0))
        if outcome.change.kind == "remove supply" and at + 1 < len(outcomes):
            continue
        yield outcome, tuple(stage_asks(outcome, scene, " ".join(told)))
        told = []


def _sentence(clause: str, then: bool) -> str:
    return f"Then {clause}." if then else f"{clause[0].upper()}{clause[1:]}."


def _opening(
    description: Description, stages: Sequence[ChangeStage], scene: Scene
) -> Iterator[str]:
    yield write_network(description)
    network = stages[0].outcome.before.network
    if description.nest is not None and len(network.points()) > 2:
        yield from _places(network)
    if any(isinstance(change.amount, Letter) for change in description.changes):
        yield f"{PERMITTIVITY_LETTER} stands for a relative permittivity, which is above 1."
    if scene.letters:
        yield "Letters stand for values above zero, unlike letters for unlike values."
    taken = any(change.kind == "take out" for change in description.changes)
    if taken and scene.only is None and _asks_energy(description):
        yield (  # the questions say it of all, but not of those that are gone
            f"{scene.name('E')} is the energy of all capacitors together, those that are taken out "
            "included."
        )
    if any(stages[-1].after.values()):
        yield PRIMED
    if not description.asked:
        each = " of each" if len(network.capacitors) > 1 else ""
        yield (
            f"Wanted: the charge and the {scene.speech.terms.difference}{each}, and the stored "
            "energy, at every stage."
        )


def _asks_energy(description: Description) -> bool:
    """Whether energy is asked for, or nothing alone, so that all is."""
    return not description.asked or any(a.quantity == "energy" for a in description.asked)


def _places(network: Network) -> Iterator[str]:
    if len(network.capacitors) > MOST_LISTED:
        return
    inner = [p for p in network.points() if p not in network.ends]
    names = ", ".join(f"{c.name} from {c.start} to {c.end}" for c in network.capacitors)
    yield f"Points between: {listed(inner)}. {names}."


# Letters in a story of changes: which may stand beside which.
#
# A sum such as U + 3 V, or CU + Q, has no shorter form, and nothing could be said of its size.
# Capacitances in letters beside others in numbers are refused where the text is read.


def refuse_mixtures(
    description: Description, capacitors: Sequence[records.Element]
) -> None:
    """Errors: ``Refusal`` where a letter and a number, or a p.d. and a charge, come together."""
    sources = list(_sources(description, capacitors))
    _one_kind([source.worth for source in sources])
    _one_meaning(description, capacitors)
    letters = [source.worth.symbol for source in sources if isinstance(source.worth, Letter)]
    if letters and len({source.quantity for source in sources}) > 1:
        raise Refusal(
            f"A p.d. and a charge are given side by side, and {letters[0]} has no number, so they "
            "cannot be added.",
            "Give every p.d., or every charge, or numbers for all.",
        )


def _one_meaning(
    description: Description, capacitors: Sequence[records.Element]
) -> None:
    """The letter of a relative permittivity must be no capacitance as well."""
    filled = any(isinstance(change.amount, Letter) for change in description.changes)
    worths = [c.worth for c in capacitors if isinstance(c.worth, Letter)]
    if filled and PERMITTIVITY_LETTER in {worth.symbol for worth in worths}:
        raise Refusal(
            f"{PERMITTIVITY_LETTER} stands for a capacitance here and for a filling too.",
            "Give the capacitance another letter, such as C.",
        )


def letters_in(
    description: Description, capacitors: Sequence[records.Element]
) -> frozenset[str]:
    """Every letter that stands for a value."""
    worths = [c.worth for c in capacitors]
    worths += [source.worth for source in _sources(description, capacitors)]
    return frozenset(worth.symbol for worth in worths if isinstance(worth, Letter))


def _sources(
    description: Description, capacitors: Sequence[records.Element]
) -> Iterator[Charging]:
    yield from (c.start for c in capacitors if c.start is not None)
    yield from (change.supply for change in description.changes if change.supply is not None)
    if description.supply is not None:
        yield description.supply


def _one_kind(worths: Sequence[Worth]) -> None:
    letters = [worth.symbol for worth in worths if isinstance(worth, Letter)]
    numbers = [worth for worth in worths if isinstance(worth, Amount) and worth.value != 0]
    if letters and numbers:
        symbol = letters[0]
        volts = f" A number before {symbol} is read as volts: take U for the letter, as in 2U."
        raise Refusal(
            f"{symbol} has no number, and others beside it have one, so they cannot be added.",
            f"Give {symbol} a value, or letters for all.{volts if symbol == 'V' else ''}",
        )
