"""Which quantity a statement is about: by its name, by words, by its value, or the next one due."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import NamedTuple

from grammar.answers import DIMS, as_si
from grammar.expressions import Name, Num, Op
from tutor.circuit.joining import JOININGS
from tutor.circuit.steps import Choice, examine
from tutor.circuit.values import in_letters, same
from tutor.teaching.judging import close
from tutor.teaching.marking.by_numbers import (
    broken_by_numbers,
    chained_in_letters,
    group_by_numbers,
    last_measure,
    level_by_numbers,
)
from tutor.teaching.marking.carrying import Own, gauge_of, subject_of, upwards
from tutor.teaching.marking.fitting import fit, numbers_in
from tutor.teaching.marking.grading import (
    BY_VALUE,
    NO_FIT,
    Statement,
    as_reciprocals,
    holds,
    how_well,
    is_sum_of_values,
    recognised,
)
from tutor.teaching.marking.labels import Label
from tutor.teaching.marking.routes import (
    Group,
    follow,
    group_named,
    members_of,
    name_of_group,
    names_met,
    reach,
    with_levels_joined,
)
from tutor.teaching.marking.scheme import in_order, needs, scheme_lines
from tutor.teaching.marking.script import Script, lookup, meant_by
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.unknowns import PREFIX
from tutor.teaching.quantities import DIMENSION, Quantity, Symbol
from tutor.teaching.walk import Walk
from tutor.teaching.ways_of_walk import canonical

MOST_GUESSED = 3
_OF_PARALLEL = re.compile(r"p|par\w*")
_LETTERS: Mapping[str, Symbol] = MappingProxyType(
    {"U": "V", "W": "E", "Q": "Q", "V": "V", "E": "E"}
)


class Target(NamedTuple):
    """A quantity that a statement is about; ``guessed`` where only its value suggests it, and
    ``broken`` where it would be the equivalent of a group that is none. ``level`` is a group once
    points at one potential are made one; ``is_shown`` where a wrong way shows what it is meant for.
    """

    quantity: Quantity
    guessed: bool = False
    broken: Group | None = None
    level: Choice | None = None
    is_shown: bool = False


def resolve(script: Script, said: Said) -> tuple[Script, list[Target]]:
    """The quantities a statement is about; none where that cannot be told."""
    assert said.statement is not None
    targets: list[Target] = []
    if (together := _together(script, said)) is not None:
        script, target = _of_group(script, _called(together), "C", together)
        return script, [target] if target else []
    if _takes_in(script, said):
        said = said._replace(names=())
    for name in said.names:
        script, target = _named(script, name, said)
        targets += [target] if target else []
    if said.names:
        return script, targets
    if said.label is not None and (found := _labelled(script, said)):
        return found
    script, target = _unnamed(script, said, None)
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
            return _of_group(script, _called(group), "C", group)
    for pointed in pointed_at:
        if quantity.of is None and Quantity(quantity.symbol, pointed) in walk.truth:
            return script, Target(Quantity(quantity.symbol, pointed))
    of_several = quantity.of is None and said.label is not None and said.label.several
    if of_several and (made := _of_made(script, quantity.symbol, said)) is not None:
        return script, made
    if quantity.of is None and quantity.point is None and name not in script.aliases:
        return _loosely(script, quantity, said)
    if quantity.symbol == "C" and quantity.of is not None:
        script = script._replace(walk=reach(walk, quantity.of))
    return script, Target(quantity)


def _as_energy(script: Script, name: str, said: Said) -> str:
    """U or W for the energy that its value is."""
    meant = names_met(script.walk).get(f"E{name[1:]}") if name[:1] in "UW" else None
    last = last_measure(script, said) if meant else None
    if meant is None or said.statement is None or last is None:
        return name
    fits = _rank(script, script.own, meant, said.statement) <= BY_VALUE
    return f"E{name[1:]}" if fits and (last.dims == DIMS["energy"] or last.bare) else name


def _new_name(script: Script, name: str, said: Said) -> tuple[Script, Target | None]:
    """A name of the learner's: of a group by its numbers, or of whatever has the value."""
    if name.startswith(PREFIX):
        script, target = _unnamed(script, said, None, True)
        if target is not None and target.broken is None:
            script = script._replace(aliases={**script.aliases, name: target.quantity})
        return script, target
    symbol = _LETTERS.get(name[:1], "C")
    if symbol != "C" and (of_one := _called_as_before(script, symbol, name, said)) is not None:
        return script._replace(aliases={**script.aliases, name: of_one}), Target(of_one)
    digits = re.sub(r"\D", "", name)
    if len(digits) > 1:
        group = _mentioned(script, said) if symbol == "C" else None
        group = group or members_of(script.walk, f"C{digits}")
        if group is not None:
            return _of_group(script, name, symbol, group)
    if symbol == "C" and (group := _mentioned(script, said)):
        return _of_group(script, name, symbol, group)
    if symbol == "C" and (turned := _turned_before(script, said)) is not None:
        return script._replace(aliases={**script.aliases, name: turned}), Target(turned)
    script, target = _unnamed(script, said, symbol, True)
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
    is_other = is_given and _rank(script, script.own, about, said.statement) > BY_VALUE
    return None if is_other else about


def _of_group(
    script: Script, name: str, symbol: Symbol, group: Group
) -> tuple[Script, Target | None]:
    if not isinstance(group.judged, Choice):
        if symbol != "C":
            return script, None
        quantity = Quantity("C", name)
        script = script._replace(aliases={**script.aliases, name: quantity})
        joined = with_levels_joined(script.walk)
        level = examine(joined, group.names) if joined else None
        if isinstance(level, Choice):
            return script, Target(quantity, level=level)
        return script, Target(quantity, broken=group)
    walk, made = _made(script.walk, group.judged)
    if made is None:
        return script, None
    quantity = canonical(walk, Quantity(symbol, made))
    return script._replace(walk=walk, aliases={**script.aliases, name: quantity}), Target(quantity)


def _made(walk: Walk, choice: Choice) -> tuple[Walk, str | None]:
    """The walk with this group combined, under the name the plan has for it."""
    planned = name_of_group(walk, choice)
    return (reach(walk, planned), planned) if planned else follow(walk, choice)


def _mentioned(script: Script, said: Said) -> Group | None:
    """The group whose members the sides name, or the words beside or before them."""
    sides = said.statement.sides if said.statement else ()
    meant = meant_by(script, sides).values()
    members = {each.of for each in meant if each.symbol == "C" and each.of is not None}
    for names in (members, said.label.names if said.label else (), script.hint):
        group = group_named(script.walk, {name for name in names if name})
        if group is not None:
            return group
    return None


def _labelled(script: Script, said: Said) -> tuple[Script, list[Target]] | None:
    label, walk = said.label, script.walk
    assert label is not None
    assert said.statement is not None
    symbol = label.symbol or _symbol_of(script, said)
    if symbol in (None, "C") and (meant := _standing_as_said(script, label, said)) is not None:
        return _reached(script, meant), [Target(meant)]
    if symbol in (None, "C") and len(label.names) > 1:
        group = _mentioned(script, said._replace(names=()))
        if group is not None and not isinstance(group.judged, Choice):
            fitting = _by_value(script, script.own, said.statement, symbol)
            if fitting is not None and _is_exact(script, fitting, said.statement):
                return _reached(script, fitting), [Target(fitting)]
        if group is not None:
            script, target = _of_group(script, _called(group), "C", group)
            return script, [target] if target else []
    if symbol == "V" and (across := _across_together(script, label, said)) is not None:
        return script, [Target(across)]
    if symbol is not None and label.names and symbol != "C":
        return script, [Target(canonical(walk, Quantity(symbol, n))) for n in label.names]
    if symbol in ("Q", "V") and label.group and (target := _of_made(script, symbol, said)):
        return script, [target, *_sharing(script, target.quantity, said)]
    if symbol is not None and label.whole:
        script, target = _loosely(script, Quantity(symbol), said)
        return script, [target] if target else []
    wanted = symbol or ("C" if label.kind and not label.names else None)
    script, target = _unnamed(script, said, wanted)
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
    walk, made = _made(script.walk, group.judged)
    across = canonical(walk, Quantity("V", made))
    each = [canonical(walk, Quantity("V", name)) for name in label.names]
    ranks = [_rank(script, script.own, one, said.statement) for one in (across, *each)]
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


def _of_made(script: Script, symbol: Symbol, said: Said) -> Target | None:
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
    own = script.own
    fitting = [q for q in made if _rank(script, own, q, said.statement) <= BY_VALUE]
    known = {**upwards(walk, script.stated), **script.stated}
    fitting.sort(key=lambda each: each in known)
    parts = [each for each in made if each.of is not None]
    if not fitting and not label.several and _by_value(script, own, said.statement, symbol):
        return None
    chosen = fitting or (parts if len(parts) == 1 else [])
    return Target(chosen[0]) if chosen else None


def _sharing(script: Script, of_pair: Quantity, said: Said) -> list[Target]:
    """The members of a group of which something is said in the plural that each of them has as
    well, where it fits: the other two have 2 V.
    """
    assert said.statement is not None
    step = next((s for s in script.walk.plan if s.makes and s.makes.name == of_pair.of), None)
    is_plural = said.label is not None and said.label.several
    if step is None or not is_plural or JOININGS[step.kind].shares != of_pair.symbol:
        return []
    if _rank(script, script.own, of_pair, said.statement) > BY_VALUE:
        return []
    return [Target(canonical(script.walk, Quantity(of_pair.symbol, c.name))) for c in step.parts]


def _symbol_of(script: Script, said: Said) -> Symbol | None:
    """What kind of quantity the unit of the last side says it is."""
    measure = last_measure(script, said)
    if measure is None:
        return None
    if measure.bare:
        return _symbol_of_sum(script, said)
    symbols: tuple[Symbol, ...] = ("C", "Q", "V", "E")
    kinds = {DIMS[Quantity(symbol).dimension]: symbol for symbol in symbols}
    return kinds.get(measure.dims)


def is_of_another_kind(script: Script, target: Target, said: Said) -> bool:
    """Whether the unit of the last side is that of a quantity of another kind."""
    symbol = (
        _symbol_of(script, said) if (last := last_measure(script, said)) and not last.bare else None
    )
    return symbol is not None and DIMENSION[symbol] != target.quantity.dimension


def _symbol_of_sum(script: Script, said: Said) -> Symbol | None:
    """The one kind of quantity in a sum of names, or of the known values one of which is taken off
    the other, whose value has that kind too.
    """
    assert said.statement is not None
    first = said.statement.sides[0]
    if isinstance(first, Op) and first.sign == "-":
        one, other = first.left, first.right
        if isinstance(one, Num) and isinstance(other, Num):
            kinds = _symbols_worth(script, one) & _symbols_worth(script, other)
            return next(iter(kinds), None)
    symbols = {each.symbol for each in meant_by(script, (first,)).values()}
    is_sum = isinstance(first, Op) and first.sign in "+-"
    return next(iter(symbols)) if is_sum and len(symbols) == 1 else None


def _symbols_worth(script: Script, number: Num) -> set[Symbol]:
    """The kinds of quantity, charge or p.d., of which a known value is this number."""
    known_now = {**script.walk.known, **script.stated}
    powers = script.walk.problem.powers
    return {
        quantity.symbol
        for quantity, value in known_now.items()
        if quantity.symbol in ("Q", "V") and not in_letters(value)
        if close(number.value * Fraction(10) ** powers[quantity.dimension], value)
    }


def _loosely(script: Script, whole: Quantity, said: Said) -> tuple[Script, Target | None]:
    """C, Q, V or E alone: the whole, or whichever part the value belongs to."""
    assert said.statement is not None
    own = script.own
    if whole not in script.walk.truth:
        return script, None
    if said.names and said.pointed and said.label is not None and said.label.whole:
        return script, Target(whole)
    rank = _rank(script, own, whole, said.statement)
    fitting = _by_value(script, own, said.statement, whole.symbol) if rank else None
    best = _rank(script, own, fitting, said.statement) if fitting else NO_FIT
    is_new = whole not in script.stated and rank in (0, 2)
    if is_new or rank <= min(best, BY_VALUE):
        return script, Target(whole)
    if fitting is not None:
        return _reached(script, fitting), Target(fitting)
    if (same_one := _turned_before(script, said)) is not None:
        return script, Target(same_one)
    if whole.symbol == "C" and (choice := group_by_numbers(script, own, said.statement)):
        walk, made = _made(script.walk, choice)
        if made is not None:
            return script._replace(walk=walk), Target(canonical(walk, Quantity("C", made)))
    if whole in script.walk.known:
        due = next(_due(script, whole.symbol), None)
        return (script, Target(due, True)) if due else (script, Target(whole))
    return script, Target(whole)


def _turned_before(script: Script, said: Said) -> Quantity | None:
    """What one over was stated of under this name just before, where the value is of the same."""
    before, statement = script.going_on, said.statement
    begun = before.statement if before else None
    if before is None or not begun or not begun.sides or statement is None or not script.stated:
        return None
    latest = [*script.stated][-1]
    of_latest = meant_by(script, [Name(name) for name in before.names]).values()
    if (before.names != said.names and latest not in of_latest) or statement.turned:
        return None
    if not as_reciprocals(begun, ()).turned:
        return None
    return latest if _rank(script, script.own, latest, statement) <= BY_VALUE else None


def _unnamed(
    script: Script, said: Said, symbol: Symbol | None, is_new: bool = False
) -> tuple[Script, Target | None]:
    """By the value; not as a repetition of one stated before where the name ``is_new``."""
    statement, own = said.statement, script.own
    assert statement is not None
    if all(isinstance(side, Num) for side in statement.sides) and not holds(statement):
        return script, None  # 1 = 2 is about nothing
    symbol = symbol or _symbol_of(script, said)
    fitting = _by_value(script, own, statement, symbol)
    if fitting is not None:
        return _reached(script, fitting), Target(fitting)
    if symbol in (None, "C") and (level := level_by_numbers(script, own, said)) is not None:
        return _of_group(script, _called(level), "C", level)
    if symbol in (None, "C") and (choice := group_by_numbers(script, own, statement, not is_new)):
        walk, made = _made(script.walk, choice)
        if made is not None:
            return script._replace(walk=walk), Target(canonical(walk, Quantity("C", made)))
    for repeated in () if is_new else (*script.stated, *script.walk.known):
        quantity = canonical(script.walk, repeated)
        is_given = quantity.symbol == "C" and quantity not in script.stated
        if quantity not in script.walk.truth or (is_given and is_sum_of_values(statement)):
            continue  # what is added up is not one that is given, though it comes to as much
        of_kind = quantity.symbol == symbol or (symbol is None and quantity in script.stated)
        if of_kind and _rank(script, own, quantity, statement) <= BY_VALUE:
            return script, Target(quantity)
    if (group := _put_together(script, said, symbol)) is not None:
        script, target = _of_group(script, _called(group), "C", group)
        return script, target._replace(is_shown=True) if target else None
    due = list(_due(script, symbol))[: MOST_GUESSED if symbol else 1]
    for quantity in due:
        if _is_recognised(script, own, quantity, statement):
            return _reached(script, quantity), Target(quantity, True)
    if symbol is not None and due:
        return _reached(script, due[0]), Target(due[0], True)
    return script, None


def _put_together(script: Script, said: Said, symbol: Symbol | None) -> Group | None:
    """What is put together by a wrong way: capacitors that are no group, or a set in letters."""
    assert said.statement is not None
    own, is_capacitance = script.own, symbol in (None, "C")
    chained = chained_in_letters(script, own, said.statement) if is_capacitance else None
    return chained or broken_by_numbers(script, own, said)


def _called(group: Group) -> str:
    """The name of what capacitors make: C23."""
    return "C" + "".join(name[1:] for name in group.names)


def _reached(script: Script, quantity: Quantity) -> Script:
    if quantity.symbol != "C" or quantity.of is None:
        return script
    return script._replace(walk=reach(script.walk, quantity.of))


def _due(script: Script, symbol: Symbol | None) -> Iterator[Quantity]:
    """What is not stated yet, in the order of working: what earns marks before the rest."""
    scheme = [line.quantity for line in scheme_lines(script.walk)]
    known_now = {canonical(script.walk, q) for q in script.walk.known}
    for quantity in dict.fromkeys([*scheme, *in_order(script.walk)]):
        if quantity in known_now or quantity.point is not None:
            continue
        if quantity in script.stated and quantity not in script.doubtful:
            continue
        if quantity in script.walk.truth and symbol in (None, quantity.symbol):
            yield quantity


def _by_value(
    script: Script, own: Own, statement: Statement, symbol: Symbol | None
) -> Quantity | None:
    """The first quantity due that the value is right for, or follows for."""
    best: tuple[int, Quantity] | None = None
    for quantity in _due(script, symbol):
        if symbol is None and not _is_ready(script, quantity):
            continue
        rank = _rank(script, own, quantity, statement)
        if rank <= BY_VALUE and (best is None or rank < best[0]):
            best = (rank, quantity)
        if rank == 0:
            break
    return best[1] if best else None


def states_whole(script: Script, said: Said, parts: Mapping[str, Quantity]) -> bool:
    """Whether a sum of charges, p.d.s or energies is given the value of one that is due."""
    assert said.statement is not None
    symbol = next(q.symbol for q in parts.values() if q.symbol != "C")
    last = said.statement._replace(sides=said.statement.sides[-1:])
    found = _by_value(script, script.own, last, symbol)
    return found is not None and found not in parts.values()


def _is_ready(script: Script, quantity: Quantity) -> bool:
    """Whether a number without name and unit may be this: what it rests on stands already."""
    if quantity.symbol == "C":
        return True
    known_now = {canonical(script.walk, q) for q in (*script.walk.known, *script.stated)}
    return needs(script.walk, quantity) <= known_now


def _rank(script: Script, own: Own, quantity: Quantity, statement: Statement) -> int:
    """How well a statement fits a quantity."""
    return how_well(gauge_of(own, quantity), statement, lookup(script, own, statement))


def _is_recognised(script: Script, own: Own, quantity: Quantity, statement: Statement) -> bool:
    """Whether a value that fits nothing is what a known slip gives for this quantity."""
    found = recognised(subject_of(own, quantity), statement, lookup(script, own, statement))
    return found is not None and bool(found.malrules)
