"""How the quantities of a walk are worked out: the relations of the circuit in its own names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tutor.circuit.joining import JOININGS
from tutor.circuit.relations import Fact, Relation, by_law, finding, of_capacitor, of_step
from tutor.circuit.steps import Step
from tutor.teaching.once import once
from tutor.teaching.quantities import DIMENSION, SYMBOL, Quantity
from tutor.teaching.walk import Walk


def canonical(walk: Walk, quantity: Quantity) -> Quantity:
    """The whole network under one name: C123 of the last step is C."""
    if walk.whole is not None and quantity.of == walk.whole.name:
        return Quantity(quantity.symbol)
    return quantity


def used_by(walk: Walk, relation: Relation) -> list[Quantity]:
    """What a relation uses, in its order."""
    return [_quantity(walk, fact) for fact in relation.uses]


def _quantity(walk: Walk, fact: Fact) -> Quantity:
    return canonical(walk, Quantity(SYMBOL[fact.dimension], fact.of))


@once
def planned(walk: Walk) -> Mapping[Quantity, Relation]:
    """What is worked out on a walk, in the usual order, each by its relation there: capacitances
    up to the whole, what that holds, then step by step back, and energies at the end.
    """
    steps = [step for step in walk.plan if step.makes is not None]
    relations = [next(of_step(step)) for step in steps]
    supply, whole = walk.problem.supply, walk.whole
    if supply is not None and whole is not None:
        relations.append(by_law(DIMENSION[supply.leaves], whole.name))
        for step in reversed(steps):
            relations += _passed_down(step)
        parts = [part.name for step in steps for part in step.parts]
        relations += [by_law("energy", name, "capacitance", "voltage") for name in parts]
        relations.append(by_law("energy", whole.name, "capacitance", supply.quantity))
    return {_quantity(walk, relation.finds): relation for relation in relations}


def _passed_down(step: Step) -> Iterator[Relation]:
    """What the parts of a step have each of their own, then what they share with the whole."""
    assert step.makes is not None
    joining = JOININGS[step.kind]
    yield from (by_law(joining.added, part.name) for part in step.parts)
    whole = Fact(joining.shared, step.makes.name)
    for part in step.parts:
        yield Relation("shared", Fact(joining.shared, part.name), (whole,), step)


def relations_to(walk: Walk, quantity: Quantity) -> Iterator[Relation]:
    """Every relation by which a charge, a p.d., a capacitance or an energy follows: of its own
    capacitor, of the step that takes that up, and of the step that made it.
    """
    name = quantity.of or (walk.whole.name if walk.whole else None)
    if name is None or quantity.point is not None or quantity.symbol == "W":
        return
    fact = Fact(quantity.dimension, name)
    for relation in of_capacitor(name, fact.dimension):
        if all(used.dimension != "energy" for used in relation.uses):
            yield relation
    for step in (walk.part_of(name), walk.made_by(name)):
        yield from finding(step, fact) if step is not None else ()
    if canonical(walk, quantity) == Quantity("E"):
        given = tuple(Fact("energy", c.name) for c in walk.problem.network.capacitors)
        yield Relation("summed", fact, given)


@once
def related_to(walk: Walk, quantity: Quantity) -> frozenset[Quantity]:
    """What one relation gives a charge, a p.d. or an energy from, or whatever it is shared with:
    the p.d. of its own capacitor, and the charges of a set in the chain with it.
    """
    shared, found = [quantity] if quantity.symbol != "C" else [], set[Quantity]()
    for each in shared:  # which grows
        for relation in relations_to(walk, each):
            uses = used_by(walk, relation)
            found.update(uses)
            if relation.kind == "shared":
                shared += [one for one in uses if one not in shared]
    return frozenset(found - {quantity})
