"""How a described network comes to be charged, before anything is done to it."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from grammar.outline import elements_of
from grammar.records import Description, Plates
from tutor.circuit.changes import Broken
from tutor.circuit.islands import GapFilling, State, settle
from tutor.circuit.network import Problem
from tutor.circuit.switching import Account, Switched, outcome
from tutor.circuit.values import Value, tidy, value_of


def beginning(description: Description, problem: Problem) -> Switched | Broken:
    """Its capacitors, with what they were charged to, put together and joined to the supply.

    ``problem`` is the working model of the same description. Where a charge is given to the whole,
    no capacitor may have been charged beforehand.
    """
    capacitors = elements_of(description)
    charges: dict[str, Value] = {c.name: Fraction(0) for c in problem.network.capacitors}
    for c in capacitors:
        if c.start is not None:
            amount = value_of(c.start.worth)
            worth = problem.network.named((c.name,))[0].value
            charges[c.name] = tidy(amount * worth) if c.start.quantity == "voltage" else amount
    inside: Mapping[str, GapFilling | Plates] = {
        c.name: c.worth for c in capacitors if isinstance(c.worth, Plates)
    }
    same = {gone: kept for kept, *others in problem.joined for gone in others}
    before = State(problem.network, charges, None, inside, same)
    supply = problem.supply
    if supply is None:
        return outcome(None, before, before)
    if supply.quantity == "voltage":
        return outcome(None, before, before._replace(supply=supply.value))
    return _given(before, supply.value)


def _given(before: State, charge: Value) -> Switched | Broken:
    """A charge put on the + end, and as much taken from the − end, with no supply left there."""
    plus, minus = before.network.ends
    if plus == minus:
        return Broken("shorted")
    at_one_volt = settle(before._replace(supply=Fraction(1)))
    drawn = at_one_volt.charge_at(plus)
    if drawn == 0:
        return Broken("open")
    charges = {name: tidy(q * charge / drawn) for name, q in at_one_volt.charges.items()}
    after = before._replace(charges=charges)
    account = Account(after.stored, after.stored, Fraction(0), Fraction(0))
    return Switched(None, before, after, after, account)
