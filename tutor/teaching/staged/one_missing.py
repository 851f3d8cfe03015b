"""The story of a missing value: what follows from what is given, until it is found.

Data that cannot be are told at the place where that shows: a value that is not above zero, or one
that follows and is not the one given.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from grammar.outline import elements_of
from grammar.records import Description, Dimension, Refusal
from tutor.circuit.deduction import Move, Trail, follow
from tutor.circuit.missing import (
    AGREES_WITHIN,
    Lack,
    Root,
    Solutions,
    coefficients,
    find,
    forwards,
    has_missing,
    lack_of,
    quantity_of,
)
from tutor.circuit.prefixes import usual_prefixes
from tutor.circuit.relations import Fact
from tutor.circuit.surds import near
from tutor.circuit.values import Value
from tutor.teaching.cautions import cautions
from tutor.teaching.reasons import points_in_words
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.missing_asks import cannot_be, contradiction, equation_asks, nothing_fits
from tutor.teaching.staged.moves import Teller
from tutor.teaching.staged.story import Ask, Story, Valued

LOOK_AGAIN = "Look the values over once more."
GIVE_MORE = "Give one thing more that depends on it, as in C = 2.1 uF, V1 = 8.4 V or Q2 = 25 uC."
MOST_LISTED = 60
ROUNDED_AWAY = Fraction(1, 10**20)  # what putting a surd as a fraction may leave behind
KINDS: tuple[Dimension, Dimension] = ("voltage", "energy")




class _Case(NamedTuple):
    """One text: what is known, and wanted, and what follows; ``known`` are facts with values."""

    lack: Lack
    known: Mapping[Fact, Value]
    missing: tuple[Fact, ...]
    wanted: tuple[Fact, ...]
    teller: Teller

    @property
    def trail(self) -> Trail:
        return self.teller.trail


def is_missing(description: Description) -> bool:
    """Whether a text leaves a value out and gives others in its place, or gives what the supply
    must then have.
    """
    return has_missing(description) or bool(description.givens)


def missing_story(description: Description, settings: Settings) -> Story:
    """Find what is missing.

    Errors: ``Refusal`` for data that leave it open, and for networks that are changed later.
    """
    if description.changes:
        raise Refusal(
            "A value is missing here, and something is done to the network later.",
            "Find the missing value first, and leave the changes out.",
        )
    if any(c.start is not None for c in elements_of(description)):
        raise Refusal(
            "A value is missing here, and a capacitor is charged before anything is joined.",
            "Leave that charge out: a missing value is found in a network charged from empty.",
        )
    case = _case(lack_of(description), settings)
    moves = case.trail.to(*case.missing)
    fault = next((m for m in moves if not _is_above_zero(m)), None)
    if fault is None and any(fact not in case.trail.moves for fact in case.missing):
        fault = _first_fault(case.trail)
        found = _found(case)
        if fault is None or found.fitting:
            return _by_equation(case, found)
    if fault is not None:
        return _impossible(case, fault)
    return _by_moves(case, moves)


def found_besides(description: Description, settings: Settings, found: Sequence[str]) -> Story:
    """The same story as it goes on from values that a learner has ``found``, by their names: the
    last of them comes first, as a question that is answered, then what is still to be found.
    """
    case = _case(lack_of(description), settings)
    plain = _by_moves(case, case.trail.to(*case.missing))
    facts = [fact for fact in case.trail.moves if case.teller.quantity(fact).name in found]
    last = next(fact for fact in facts if case.teller.quantity(fact).name == found[-1])
    known = {**case.known, **{fact: case.teller.value(fact) for fact in facts}}
    trail = follow(_names(case.lack), case.lack.unit.steps, known)
    onward = case._replace(known=known, teller=case.teller._replace(trail=trail))
    asks = _by_moves(onward, trail.to(*case.missing)).asks
    return plain._replace(asks=(case.teller.told_beside(last), *asks))


# The case


def _case(lack: Lack, settings: Settings) -> _Case:
    whole = lack.unit.whole
    assert whole is not None
    known: dict[Fact, Value] = {
        Fact("capacitance", c.name): c.value
        for c in lack.problem.network.capacitors
        if c.name not in lack.missing
    }
    for given in lack.knowns:
        fact = Fact(given.quantity, given.of or whole.name)
        if fact in known and not _agree(given.worth.value, known[fact]):
            raise Refusal("One and the same quantity is given with two values.", LOOK_AGAIN)
        known.setdefault(fact, given.worth.value)
    missing = tuple(Fact("capacitance", name) for name in lack.missing)
    trail = follow(_names(lack), lack.unit.steps, known)
    speech = Speech(_powers(lack), settings)
    teller = Teller(speech, lack.problem.network, whole.name, trail)
    asked = [Fact(each.quantity, each.of or whole.name) for each in lack.problem.asked]
    if not missing and not asked:
        every: tuple[Dimension, ...] = ("voltage", "charge")
        asked = [f for f in (Fact(each, whole.name) for each in every) if f not in known]
    return _Case(lack, known, missing, tuple(dict.fromkeys((*missing, *asked))), teller)


def _names(lack: Lack) -> list[str]:
    made = [step.makes.name for step in lack.unit.steps if step.makes]
    return [*(c.name for c in lack.problem.network.capacitors), *made]


def _powers(lack: Lack) -> Mapping[Dimension, int]:
    typed: list[tuple[Dimension, int]] = [
        ("capacitance", power) for power in lack.problem.typed.values()
    ]
    return usual_prefixes([*typed, *((g.quantity, g.worth.power) for g in lack.knowns)])


def _is_above_zero(move: Move) -> bool:
    return move.value is not None and near(move.value) > 0


def _agree(first: Value, second: Value) -> bool:
    one, other = near(first), near(second)
    return abs(one - other) <= AGREES_WITHIN * abs(other)


def _first_fault(trail: Trail) -> Move | None:
    """The first value that cannot be, or the first relation that leaves none."""
    below = (move for move in trail.moves.values() if not _is_above_zero(move))
    return next(below, next(iter(trail.blocked), None))


def _found(case: _Case) -> Solutions:
    """The solutions of the equation. Errors: ``Refusal`` where there is none to solve."""
    names = listed(case.lack.missing)
    if len(case.lack.missing) != 1:
        raise Refusal(f"The data do not lead to {names} one after the other.", GIVE_MORE)
    found = find(case.lack)
    if not found.settles and found.doubted:
        raise Refusal(
            f"The values given cannot all be so in this network, whatever {names} is.", LOOK_AGAIN
        )
    if not found.settles:
        raise Refusal(f"The data would be the same whatever {names} is.", GIVE_MORE)
    return found


# The three ways such a story can go


def _by_moves(case: _Case, moves: Sequence[Move]) -> Story:
    asks = list(case.teller.asks(moves))
    against = list(_against(case, moves))
    if against:
        return _story(case, [*asks, *against], (), {})
    found = {move.finds: case.teller.value(move.finds) for move in moves}
    before = list(moves)
    for fact in case.wanted:
        if fact not in found:
            # What has been found is as good as given for what is asked besides.
            trail = follow(_names(case.lack), case.lack.unit.steps, {**case.known, **found})
            teller = case.teller._replace(trail=trail)
            if fact not in trail.moves:
                raise Refusal(
                    f"What is given does not lead to {teller.name(fact)}.", GIVE_MORE
                )
            onward = trail.to(fact)
            asks += teller.asks(onward, before)
            before += onward
            found |= {move.finds: teller.value(move.finds) for move in onward}
    known = {**case.known, **found}
    root = {fact.of: known[fact] for fact in case.missing}
    wanted: Mapping[str, Valued] = {
        case.teller.quantity(fact).name: (known[fact], fact.dimension)
        for fact in case.wanted
        if fact in known
    }
    besides = {
        case.teller.quantity(fact): move.value
        for fact, move in case.trail.moves.items()
        if move.rule != "given" and move.value is not None
    }
    story = _story(case, asks, tuple(_closing(case, root)), wanted)
    return story._replace(besides=besides)


def _against(case: _Case, moves: Sequence[Move]) -> Iterator[Ask]:
    """The first given value that does not agree with what follows from the others."""
    used = case.trail.givens_of(*case.wanted) if case.missing else frozenset()
    base = {f: v for f, v in case.known.items() if f in used or _is_own(case, f)}
    for fact, value in case.known.items():
        if fact in base:
            continue
        trail = follow(_names(case.lack), case.lack.unit.steps, base)
        found = _known(trail, fact)
        if found is None:
            base[fact] = value
        if found is None or _agree(value, found):
            continue
        teller = case.teller._replace(trail=trail)
        yield from teller.asks(trail.to(fact), moves)
        yield contradiction(teller, fact, teller.speech.amount(near(value), fact.dimension))
        return


def _is_own(case: _Case, fact: Fact) -> bool:
    """Whether this is the value of one of the capacitors, as the network has it."""
    names = {c.name for c in case.lack.problem.network.capacitors} - {*case.lack.missing}
    return fact.dimension == "capacitance" and fact.of in names


def _impossible(case: _Case, fault: Move) -> Story:
    teller = case.teller
    before = [m for fact in fault.uses for m in case.trail.to(fact)]
    moves = [m for m in case.trail.moves.values() if m in before]
    asks = list(teller.asks(moves))
    if fault.value is not None:
        asks += [a._replace(because="") if a.right is not None else a
                 for a in teller.asks([fault], moves)]
    elif fault.step:
        asks += list(teller.asks([fault], moves))[:-1]
    asks.append(cannot_be(teller, fault))
    names = listed(case.teller.name(fact) for fact in case.missing)
    return _story(case, asks, (nothing_fits(names),), {})


def _by_equation(case: _Case, found: Solutions) -> Story:
    (name,) = case.lack.missing
    values = [root[name] for root in found.fitting]
    asks = list(equation_asks(name, coefficients(case.lack), values, case.teller.speech))
    if not values:
        return _story(case, asks, (nothing_fits(name),), {})
    closing = [line for root in found.fitting for line in _closing(case, root)]
    if len(values) == 1:
        return _story(case, asks, closing, {name: (values[0], "capacitance")})
    closing.append(f"Each of these values of {name} fits all that is given.")
    return _story(case, asks, closing, {
        f"{name} {place}": (value, "capacitance") for place, value in enumerate(values, start=1)
    })


# Its frame


def _story(
    case: _Case, asks: Sequence[Ask], closing: Sequence[str], results: Mapping[str, Valued]
) -> Story:
    teller = case.teller
    whole = teller.whole
    voltage, energy = (_known(case.trail, Fact(kind, whole)) for kind in KINDS)
    warned = cautions(voltage, energy, terms=teller.speech.terms)
    return Story(
        _kind(case, results), tuple(_opening(case)),
        tuple(asks), tuple(closing), teller.speech.powers, warned, teller.network, results,
    )


def _kind(case: _Case, results: Mapping[str, Valued]) -> str:
    if not results:
        return "impossible data"
    return "missing value" if case.missing else "supply to be found"


def _known(trail: Trail, fact: Fact) -> Value | None:
    move = trail.moves.get(fact)
    return near(move.value) if move and move.value is not None else None


def _opening(case: _Case) -> Iterator[str]:
    teller, network = case.teller, case.lack.problem.network
    yield "Here is the network."
    if len(network.capacitors) <= MOST_LISTED:
        for c in network.capacitors:
            value = "not known" if c.name in case.lack.missing else teller.speech.amount(
                c.value, "capacitance")
            yield f"{c.name}, {value}, from {c.start} to {c.end}"
    yield points_in_words(network, teller.speech)[-1]
    for step in case.lack.unit.steps:
        if step.made and step.made != teller.whole:
            yield f"{step.made} is {listed(c.name for c in step.parts)} taken together."
    givens = [fact for fact in case.known if not _is_own(case, fact)]
    yield f"Given: {'; '.join(teller.told(fact) for fact in givens)}."
    yield f"Wanted: {listed(teller.name(fact) for fact in case.wanted)}."


def _closing(case: _Case, root: Root) -> Iterator[str]:
    """The found values put back: what is given comes out again."""
    teller = case.teller
    if not root:  # nothing is missing, so nothing is put back
        return
    solution = forwards(case.lack, root)
    told, exact = [], True
    whole = teller.whole
    for given in case.lack.knowns:
        fact = Fact(given.quantity, given.of or whole)
        value = near(quantity_of(solution, given))
        if abs(value - given.worth.value) < ROUNDED_AWAY * given.worth.value:
            value = given.worth.value
        exact = exact and value == given.worth.value
        shown = teller.speech.shown(value, fact.dimension)
        told.append(f"{teller.name(fact)} {shown.after_equals}")
    sizes = ((n, teller.speech.shown(near(v), "capacitance")) for n, v in root.items())
    put = [f"{name} {shown.after_equals}" for name, shown in sizes]
    end = "as given" if exact else "as given, to the figures given"
    yield f"With {listed(put)} put back into the network: {'; '.join(told)}, {end}."
