"""Which quantity a statement is about: by its name, by words, by its value, or the next one due."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

from grammar.answers import DIMS, as_si
from grammar.expressions import Op
from tutor.circuit.steps import Choice
from tutor.circuit.values import same
from tutor.teaching.marking.by_numbers import last_measure
from tutor.teaching.marking.grading import BY_VALUE
from tutor.teaching.marking.resolved_by_value import (
    called_together,
    group_mentioned,
    loosely,
    of_group,
    turned_before,
    unnamed,
)
from tutor.teaching.marking.resolved_by_words import labelled, of_made
from tutor.teaching.marking.routes import Group, group_named, members_of, names_met, reach
from tutor.teaching.marking.script import Script
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.unknowns import PREFIX
from tutor.teaching.marking.values_due import Target, is_of_another_kind, rank_of
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.ways_of_walk import canonical

_OF_PARALLEL = re.compile(r"p|par\w*")
_LETTERS: Mapping[str, Symbol] = MappingProxyType(
    {"U": "V", "W": "E", "Q": "Q", "V": "V", "E": "E"}
)


def resolve(script: Script, said: Said) -> tuple[Script, list[Target]]:
    """The quantities a statement is about; none where that cannot be told."""
    assert said.statement is not None
    targets: list[Target] = []
    if (together := _together(script, said)) is not None:
        script, target = of_group(script, called_together(together), "C", together)
        return script, [target] if target else []
    if _takes_in(script, said):
        said = said._replace(names=())
    for name in said.names:
        script, target = _named(script, name, said)
        targets += [target] if target else []
    if said.names:
        return script, targets
    if said.label is not None and (found := labelled(script, said)):
        return found
    script, target = unnamed(script, said, None)
    return script, [target] if target else []


def _together(script: Script, said: Said) -> Group | None:
    """The group of capacitors said to be of one value that none of them has: C2 and C3 make 300 pF
    is said of both combined.
    """
    values = {c.name: c.value for c in script.walk.problem.network.capacitors}
    names = {name.replace("_", "") for name in said.names}
    last = last_measure(script, said) if len(names) > 1 and names <= values.keys() else None
    if last is None or not (last.bare or last.dims == DIMS["capacitance"]):
        return None
    power = script.walk.problem.powers["capacitance"]
    if as_si(last, "capacitance", power) in [values[name] for name in names]:
        return None
    group = group_named(script.walk, names)
    return group if group is not None and isinstance(group.judged, Choice) else None


def _takes_in(script: Script, said: Said) -> bool:
    """Whether it is named after a given capacitor that its sum takes in: plus C4: 2 + 6 = 8 µF. A
    given value is not worked out, so none is misread.
    """
    assert said.statement is not None
    given = {c.name: c.value for c in script.walk.problem.network.capacitors}
    own = [given[n] for name in said.names if (n := name.replace("_", "")) in given]
    last = last_measure(script, said) if len(own) == len(said.names) == 1 else None
    if last is None or not isinstance(said.statement.sides[0], Op) or said.statement.turned:
        return False
    power = script.walk.problem.powers["capacitance"]
    value = last.value * Fraction(10) ** power if last.bare else last.value
    return (last.bare or last.dims == DIMS["capacitance"]) and not same(value, own[0])


def _named(script: Script, name: str, said: Said) -> tuple[Script, Target | None]:
    walk = script.walk
    known_names = names_met(walk)
    name = _as_energy(script, name, said)
    quantity = (
        script.aliases.get(name) or known_names.get(name) or known_names.get(name.replace("_", ""))
    )
    if quantity is not None and quantity in script.stated and quantity not in walk.truth:
        return script, Target(quantity)
    if quantity is None:
        return _new_name(script, name, said)
    quantity = canonical(walk, quantity)
    if quantity.point is not None and is_of_another_kind(script, Target(quantity), said):
        return script, None  # they add up: 12 µF
    pointed_at = said.label.names if said.label and said.pointed else ()
    if quantity == Quantity("C") and len(pointed_at) > 1:  # C1 and C2: C = 2 uF
        group = group_named(walk, pointed_at)
        if group is not None and isinstance(group.judged, Choice):
            return of_group(script, called_together(group), "C", group)
    for pointed in pointed_at:
        if quantity.of is None and Quantity(quantity.symbol, pointed) in walk.truth:
            return script, Target(Quantity(quantity.symbol, pointed))
    of_several = quantity.of is None and said.label is not None and said.label.several
    if of_several and (made := of_made(script, quantity.symbol, said)) is not None:
        return script, made
    if quantity.of is None and quantity.point is None and name not in script.aliases:
        return loosely(script, quantity, said)
    if quantity.symbol == "C" and quantity.of is not None:
        script = script._replace(walk=reach(walk, quantity.of))
    return script, Target(quantity)


def _as_energy(script: Script, name: str, said: Said) -> str:
    """U or W for the energy that its value is."""
    meant = names_met(script.walk).get(f"E{name[1:]}") if name[:1] in "UW" else None
    last = last_measure(script, said) if meant else None
    if meant is None or said.statement is None or last is None:
        return name
    fits = rank_of(script, meant, said.statement) <= BY_VALUE
    return f"E{name[1:]}" if fits and (last.dims == DIMS["energy"] or last.bare) else name


def _new_name(script: Script, name: str, said: Said) -> tuple[Script, Target | None]:
    """A name of the learner's: of a group by its numbers, or of whatever has the value."""
    if name.startswith(PREFIX):
        script, target = unnamed(script, said, None, True)
        if target is not None and target.broken is None:
            script = script._replace(aliases={**script.aliases, name: target.quantity})
        return script, target
    symbol = _LETTERS.get(name[:1], "C")
    if symbol != "C" and (of_one := _called_as_before(script, symbol, name, said)) is not None:
        return script._replace(aliases={**script.aliases, name: of_one}), Target(of_one)
    digits = re.sub(r"\D", "", name)
    if len(digits) > 1:
        group = group_mentioned(script, said) if symbol == "C" else None
        group = group or members_of(script.walk, f"C{digits}")
        if group is not None:
            return of_group(script, name, symbol, group)
    if symbol == "C" and (group := group_mentioned(script, said)):
        return of_group(script, name, symbol, group)
    if symbol == "C" and (turned := turned_before(script, said)) is not None:
        return script._replace(aliases={**script.aliases, name: turned}), Target(turned)
    script, target = unnamed(script, said, symbol, True)
    if target is not None and target.guessed and digits:
        return script, None
    if target is not None and target.broken is None:
        script = script._replace(aliases={**script.aliases, name: target.quantity})
    return script, target


def _called_as_before(script: Script, symbol: Symbol, name: str, said: Said) -> Quantity | None:
    """What a name is of that ends as the learner's name of a capacitance, Vp beside Cp or V_X of X,
    or as the only parallel set is called; None for a given value, which may have any name.
    """
    ending, walk = name[1:].strip("_"), script.walk
    named = [script.aliases.get(each) for each in (ending, f"C{ending}", f"C_{ending}")]
    of = [each.of for each in named if each is not None and each.symbol == "C"]
    if not of and _OF_PARALLEL.fullmatch(ending):
        sets = [step.makes.name for step in walk.plan if step.makes and step.kind == "parallel"]
        of = [*sets] if len(sets) == 1 else []
    about = canonical(walk, Quantity(symbol, of[0])) if of else None
    last = last_measure(script, said)
    if about is None or about not in walk.truth or last is None or said.statement is None:
        return None
    scale = Fraction(10) ** walk.problem.powers[about.dimension] if last.bare else Fraction(1)
    is_given = any(
        q.symbol == symbol and same(v, last.value * scale) for q, v in walk.known.items()
    )
    is_other = is_given and rank_of(script, about, said.statement) > BY_VALUE
    return None if is_other else about
