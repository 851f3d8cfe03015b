"""What the amounts of a line can be the values of in a problem in stages."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from grammar.answers import Measure, evaluate, read_claims
from grammar.records import Dimension, Refusal
from tutor.circuit.network import Capacitor, Network, Supply
from tutor.circuit.solving import solve
from tutor.circuit.values import Value
from tutor.teaching.amounts import Sayable, Slot, points_alone, values_told
from tutor.teaching.asked_back import AskedBack, ValuesHeard, values_heard
from tutor.teaching.judging import judge
from tutor.teaching.quantities import SYMBOL, Symbol
from tutor.teaching.said_of_each import said_of_each
from tutor.teaching.speech import Speech
from tutor.teaching.staged.measuring import JudgedValue, judged_as
from tutor.teaching.staged.story import Ask, Story, Telling, Valued
from tutor.teaching.staged.tracing import contexts_at

_RESULT = re.compile(
    r"(?P<stage>\d+): (?P<what>capacitance|charge|voltage|stored energy|heat)(?: of (?P<of>\w+))?"
    r"|(?P<letter>[VQE])_(?P<at_the_end>C\w+)"
)
HEAT = "heat"  # what leaves the capacitors, or is done on them, belongs to none of them


def judged_values(telling: Telling, line: str) -> tuple[JudgedValue, ...]:
    """The values of a line, each judged at the place of the question that it answers; those on the
    way that nobody asks for are left out where they are right.
    """
    asked = [*_asked(telling)]
    told = values_told(_sayable(telling, asked), line) or values_told(
        _sayable(telling, [*asked, *_of_results(telling)]), line
    )
    found: list[JudgedValue] = []
    for each in told:
        measure, at = _measure(each.amount), each.slot.key
        if not isinstance(at, int) and each.slot.fits(each.amount):
            continue
        if measure is None or not isinstance(at, int):
            return ()
        found.append(JudgedValue(at, judged_as(telling, at, measure), measure))
    return tuple(found)


def of_each(telling: Telling, line: str) -> tuple[JudgedValue, ...]:
    """An amount that is said of each, where one question after the other asks for it of several:
    judged for all of them, or for those alone of which it is not so. Nothing for other lines.
    """
    asked = [slot for slot in _asked(telling) if slot.is_open and slot.owner]
    said = said_of_each(_sayable(telling, asked), line)
    measure = _measure(said.written) if said is not None else None
    if said is None or measure is None:
        return ()
    amount = said.written
    at_hand = [slot for slot in asked if slot.key == telling.at]
    runs = [
        run for run in _runs(asked) if len({slot.owner for slot in run}) > 1
        and said.symbol in (None, run[0].symbol) and (
            any(slot in run for slot in at_hand)
            or (said.symbol and any(slot.fits(amount) for slot in run))
        )
    ]
    if len(runs) != 1:
        return ()
    wrong = [slot for slot in runs[0] if not slot.fits(amount)]
    first = runs[0][0]
    slots = wrong[:1] if wrong and first.fits(amount) else runs[0]
    return tuple(
        JudgedValue(at, judged_as(telling, at, measure), measure)
        for slot in slots if isinstance(at := slot.key, int)
    )


def _runs(slots: list[Slot]) -> list[list[Slot]]:
    """Values of one kind that are asked one right after the other."""
    runs: list[list[Slot]] = []
    for slot in slots:
        last = runs[-1][-1] if runs else None
        if last is not None and last.symbol == slot.symbol and slot.moment == last.moment + 1:
            runs[-1].append(slot)
        else:
            runs.append([slot])
    return runs


def true_beside(telling: Telling, line: str) -> str | None:
    """The values of a line that are right though no question asks for them, written out; None
    where one of them is not, or none is said of anybody.
    """
    known = [slot for slot in _asked(telling) if not slot.is_open]
    sayable = _sayable(telling, [*_of_results(telling), *known])
    told, asked = values_told(sayable, line), sayable.asked
    beside = [str(each.slot.key) for each in told if isinstance(each.slot.key, str)]
    if not beside or not all(each.slot.fits(each.amount) for each in told):
        return None
    if asked is not None and any(
        (each.slot.symbol, each.slot.owner) == (asked.symbol, asked.owner) for each in told
    ):
        return None  # it is said in answer to what is asked
    return ", ".join(dict.fromkeys(beside))


def only_points(telling: Telling, line: str) -> bool:
    """Whether the numbers of a line say which capacitors are meant, and no value."""
    return points_alone(_sayable(telling, []), line)


def to_asked_back(telling: Telling, line: str) -> ValuesHeard | None:
    """What the values of a line are to a question that was asked back; None for other lines."""
    contexts, wrong = contexts_at(telling, telling.asked_at), telling.last_wrong
    if not contexts or not isinstance(wrong, Fraction):
        return None
    asked = AskedBack((telling.follow_up,), contexts[0], wrong)
    return values_heard(asked, line, _sayable(telling, []), telling.story.powers)


def _sayable(telling: Telling, slots: list[Slot]) -> Sayable:
    sizes = {c.name: c.value for c in _capacitors(telling)}
    asked = next((slot for slot in _asked(telling) if slot.key == telling.at), None)
    return Sayable(sizes, tuple(sizes), asked, tuple(slots), telling.story.powers["capacitance"])


def _asked(telling: Telling) -> Iterator[Slot]:
    """The values that the questions of a story ask for."""
    for at, ask in enumerate(telling.story.asks):
        if ask.right is None or ask.dimension is None or ask.dimension not in SYMBOL or ask.pure:
            continue

        def fits(amount: str, at: int = at) -> bool:
            measure = _measure(amount)
            return measure is not None and judged_as(telling, at, measure).verdict == "right"

        is_work = ask.key in ("energy lost", "supply work", "on plates")
        owner = HEAT if is_work else owner_of(telling, ask)
        yield Slot(at, SYMBOL[ask.dimension], owner, fits, at, not telling.is_known(at))


def _of_results(telling: Telling) -> Iterator[Slot]:
    """Every value of a story with changes, whether or not it is asked."""
    speech = Speech(telling.story.powers, telling.terms)
    for name, (value, dimension) in _worked_out(telling.story):
        found = _RESULT.fullmatch(name)
        if found is None or dimension is None:
            continue
        symbol, is_heat = SYMBOL[dimension], found["what"] == "heat"
        of, stage = found["of"] or found["at_the_end"], int(found["stage"] or 0)
        number = (of or "")[1:]
        prime = "_lost" if is_heat else "'" if stage else ""
        power = telling.story.powers[dimension]

        def fits(
            amount: str, value: Value = value, dimension: Dimension = dimension, power: int = power
        ) -> bool:
            measure = _measure(amount)
            return measure is not None and (
                judge(measure, dimension, power, value).verdict == "right"
            )

        written = f"{symbol}{number}{prime} {speech.shown(value, dimension).after_equals}"
        yield Slot(written, symbol, HEAT if is_heat else of, fits, stage, is_open=False)


def _worked_out(story: Story) -> Iterator[tuple[str, Valued]]:
    """The values of the machine's copy, with the energy of each capacitor, and with the one
    capacitance that a supply is across.
    """
    for name, valued in story.results.items():
        yield name, valued
        stage, is_charge, of = name.partition(": charge of ")
        across = story.results.get(f"{stage}: voltage of {of}")
        if is_charge and across is not None:
            yield f"{stage}: stored energy of {of}", (valued[0] * across[0] / 2, "energy")
    for moment in story.moments if story.results else ():
        several = len(moment.network.capacitors) > 1 and moment.supply is not None
        if several and (whole := solve(moment.network, None).whole) is not None:
            yield "0: capacitance", (whole.value, "capacitance")


def held_in(telling: Telling) -> dict[tuple[Symbol, str | None], tuple[Value, ...]]:
    """What the capacitors hold at any of the moments of a story, as far as it says so."""
    found: dict[tuple[Symbol, str | None], tuple[Value, ...]] = {}
    names = [c.name for c in _capacitors(telling)]
    alone = names[0] if len(names) == 1 else None  # whose all values are
    for c in _capacitors(telling):
        found["C", c.name] = (c.value,)
    for name, (value, dimension) in telling.story.results.items():
        told = _RESULT.fullmatch(name)
        if told is not None and dimension is not None and told["what"] != "heat":
            key = (SYMBOL[dimension], told["of"] or told["at_the_end"] or None)
            found[key] = (*found.get(key, ()), value)
    for name, charge in _charges_at_ratings(telling):
        found["Q", name] = (*found.get(("Q", name), ()), charge)
    for ask in telling.story.asks:
        if ask.right is not None and ask.dimension and ask.dimension in SYMBOL and not ask.pure:
            key = (SYMBOL[ask.dimension], owner_of(telling, ask) or alone)
            found.setdefault(key, (ask.right,))
    return found


def held_in_the_end(
    telling: Telling, network: Network | None
) -> dict[tuple[Symbol, str | None], tuple[Value, ...]]:
    """The same, with what each capacitor of a network holds at the p.d. that is found in the end.
    """
    held = held_in(telling)
    across, kind = telling.story.results.get("V", (None, None))
    if network is not None and across is not None and kind == "voltage":
        for name, each in solve(network, Supply("voltage", across)).holdings.items():
            held |= {("V", name): (each.voltage,), ("Q", name): (each.charge,)}
    return held


_RATED = re.compile(r"rated ([\d.]+) (k?)V")


def _charges_at_ratings(telling: Telling) -> Iterator[tuple[str, Value]]:
    """What each capacitor would hold at its rating, where it has one."""
    for moment in telling.story.moments[:1]:
        for c in moment.network.capacitors:
            for note in moment.notes.get(c.name, ()):
                if rated := _RATED.fullmatch(note):
                    yield c.name, c.value * Fraction(rated[1]) * (1000 if rated[2] else 1)


def owner_of(telling: Telling, ask: Ask) -> str | None:
    """The capacitor that the value of a question belongs to."""
    number = re.sub(r"\D", "", ask.name)
    return next((c.name for c in _capacitors(telling) if number and c.name[1:] == number), None)


def _capacitors(telling: Telling) -> tuple[Capacitor, ...]:
    """Those of the network, as they were at first."""
    story = telling.story
    network = story.network or (story.moments[0].network if story.moments else None)
    return network.capacitors if network is not None else ()


def _measure(amount: str) -> Measure | None:
    try:
        (claim,) = read_claims(amount, ())
        return evaluate(claim.sides[-1], {})
    except (Refusal, ValueError):
        return None
