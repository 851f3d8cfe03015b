"""Which quantity words beside a value point at."""

from __future__ import annotations

from fractions import Fraction

from tutor.circuit.joining import JOININGS
from tutor.circuit.steps import Choice
from tutor.circuit.values import in_letters
from tutor.teaching.marking.carrying import gauge_of, upwards
from tutor.teaching.marking.fitting import fit, numbers_in
from tutor.teaching.marking.grading import BY_VALUE, Statement
from tutor.teaching.marking.labels import Label
from tutor.teaching.marking.resolved_by_value import (
    called_together,
    group_mentioned,
    loosely,
    made_of,
    of_group,
    reached,
    unnamed,
)
from tutor.teaching.marking.routes import group_named
from tutor.teaching.marking.script import Script, lookup
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.values_due import Target, by_value, rank_of, symbol_of
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.ways_of_walk import canonical


def labelled(script: Script, said: Said) -> tuple[Script, list[Target]] | None:
    """The quantities that words point at; None where they point at none."""
    label, walk = said.label, script.walk
    assert label is not None
    assert said.statement is not None
    symbol = label.symbol or symbol_of(script, said)
    if symbol in (None, "C") and (meant := _standing_as_said(script, label, said)) is not None:
        return reached(script, meant), [Target(meant)]
    if symbol in (None, "C") and len(label.names) > 1:
        group = group_mentioned(script, said._replace(names=()))
        if group is not None and not isinstance(group.judged, Choice):
            fitting = by_value(script, said.statement, symbol)
            if fitting is not None and _is_exact(script, fitting, said.statement):
                return reached(script, fitting), [Target(fitting)]
        if group is not None:
            script, target = of_group(script, called_together(group), "C", group)
            return script, [target] if target else []
    if symbol == "V" and (across := _across_together(script, label, said)) is not None:
        return script, [Target(across)]
    if symbol is not None and label.names and symbol != "C":
        return script, [Target(canonical(walk, Quantity(symbol, n))) for n in label.names]
    if symbol in ("Q", "V") and label.group and (target := of_made(script, symbol, said)):
        return script, [target, *_sharing(script, target.quantity, said)]
    if symbol in ("Q", "V") and label.group and (branches := _branches(script, symbol, said)):
        return script, [Target(each) for each in branches]
    if symbol is not None and label.whole:
        script, target = loosely(script, Quantity(symbol), said)
        return script, [target] if target else []
    wanted = symbol or ("C" if label.kind and not label.names else None)
    script, target = unnamed(script, said, wanted)
    return (script, [target]) if target else None


def _is_exact(script: Script, quantity: Quantity, statement: Statement) -> bool:
    """Whether a value fits as it stands, so that of equal capacitors others than those named may be
    meant, and not to one figure alone.
    """
    worth = lookup(script, script.own, statement)
    last = fit(gauge_of(script.own, quantity), statement.sides[-1], worth, statement.turned)
    return last.kind != "one figure"


def _across_together(script: Script, label: Label, said: Said) -> Quantity | None:
    """The p.d. across the chain that the capacitors named make, where a value that is not of each
    of them fits it: 12 V across the branch of 6 and 3.
    """
    assert said.statement is not None
    group = group_named(script.walk, label.names) if len(label.names) > 1 else None
    if group is None or not isinstance(group.judged, Choice):
        return None
    walk, made = made_of(script.walk, group.judged)
    across = canonical(walk, Quantity("V", made))
    each = [canonical(walk, Quantity("V", name)) for name in label.names]
    ranks = [rank_of(script, one, said.statement) for one in (across, *each)]
    return across if across in walk.truth and ranks[0] <= BY_VALUE < min(ranks[1:]) else None


def _standing_as_said(script: Script, label: Label, said: Said) -> Quantity | None:
    """The group that stands as words say, in series or in parallel, of the capacitors with the
    values that are told or worked on: of equal ones there may be more than one group.
    """
    assert said.statement is not None
    own, power = script.own, script.walk.problem.powers["capacitance"]
    values = [own.get("C", name) for name in label.names] or [
        n.value * Fraction(10) ** (n.unit.power if n.unit else power)
        for n in numbers_in(said.statement.sides[0])
    ]
    numbers = sorted(Fraction(v) for v in values if v is not None and not in_letters(v))
    named = group_named(script.walk, label.names)
    if named and isinstance(named.judged, Choice) and named.judged.kind == label.kind:
        return None
    for step in script.walk.plan if len(numbers) == len(values) > 1 else ():
        parts = [own.get("C", part.name) for part in step.parts]
        known = [Fraction(v) for v in parts if v is not None and not in_letters(v)]
        if step.makes and step.kind == label.kind and sorted(known) == numbers:
            return canonical(script.walk, Quantity("C", step.makes.name))
    return None


def of_made(script: Script, symbol: Symbol, said: Said) -> Target | None:
    """The charge or p.d. of capacitors combined: of those that it fits, first of what nothing is
    stated of yet, or of the only ones. A branch may be a single one, where it fits that.
    """
    label, walk = said.label, script.walk
    assert said.statement is not None
    assert label is not None
    made = [
        quantity
        for step in walk.plan
        if step.makes and label.kind in (None, step.kind)
        if (quantity := canonical(walk, Quantity(symbol, step.makes.name))) in walk.truth
        if quantity.of is not None or not label.several
    ]
    fitting = [q for q in made if rank_of(script, q, said.statement) <= BY_VALUE]
    known = {**upwards(walk, script.stated), **script.stated}
    fitting.sort(key=lambda each: each in known)
    parts = [each for each in made if each.of is not None]
    if not fitting and not label.several and by_value(script, said.statement, symbol):
        return None
    chosen = fitting or (parts if len(parts) == 1 else [])
    return Target(chosen[0]) if chosen else None


def _branches(script: Script, symbol: Symbol, said: Said) -> list[Quantity]:
    """What is said of each branch, where each of them is made of several and it fits none: of all
    of these, not of a capacitor inside one that it happens to fit.
    """
    assert said.label is not None
    plan, truth = script.walk.plan, script.walk.truth
    made = {step.makes.name for step in plan if step.makes}
    sets = [s.parts for s in plan if s.kind == "parallel" and {c.name for c in s.parts} <= made]
    if not said.of_each or said.label.several or len(sets) != 1:
        return []
    every = [Quantity(symbol, part.name) for part in sets[0]]
    return every if set(every) <= truth.keys() else []


def _sharing(script: Script, of_pair: Quantity, said: Said) -> list[Target]:
    """The members of a group of which something is said in the plural that each of them has as
    well, where it fits: the other two have 2 V.
    """
    assert said.statement is not None
    step = next((s for s in script.walk.plan if s.makes and s.makes.name == of_pair.of), None)
    is_plural = said.label is not None and said.label.several
    if step is None or not is_plural or JOININGS[step.kind].shares != of_pair.symbol:
        return []
    if rank_of(script, of_pair, said.statement) > BY_VALUE:
        return []
    return [Target(canonical(script.walk, Quantity(of_pair.symbol, c.name))) for c in step.parts]
