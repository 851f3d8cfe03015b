"""Which quantity a statement without a name is about: by its value, or the next one due."""

from __future__ import annotations

from grammar.expressions import Name, Num
from tutor.circuit.steps import Choice, examine
from tutor.teaching.marking.by_numbers import (
    broken_by_numbers,
    group_by_numbers,
    joined_wrongly_in_letters,
    level_by_numbers,
)
from tutor.teaching.marking.grading import BY_VALUE, NO_FIT, Statement
from tutor.teaching.marking.routes import (
    Group,
    follow,
    group_named,
    name_of_group,
    reach,
    with_levels_joined,
)
from tutor.teaching.marking.script import Script, meant_by
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.true_in_numbers import as_reciprocals, holds, is_sum_of_values
from tutor.teaching.marking.values_due import (
    Target,
    by_value,
    due_next,
    is_recognised,
    rank_of,
    symbol_of,
)
from tutor.teaching.marking.which_fits import next_due
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.walk import Walk, targets
from tutor.teaching.ways_of_walk import canonical

MOST_GUESSED = 3


def of_group(
    script: Script, name: str, symbol: Symbol, group: Group
) -> tuple[Script, Target | None]:
    """A quantity of capacitors put together under a name, whether they are a group or none."""
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
    walk, made = made_of(script.walk, group.judged)
    if made is None:
        return script, None
    quantity = canonical(walk, Quantity(symbol, made))
    return script._replace(walk=walk, aliases={**script.aliases, name: quantity}), Target(quantity)


def made_of(walk: Walk, choice: Choice) -> tuple[Walk, str | None]:
    """The walk with this group combined, under the name the plan has for it."""
    planned = name_of_group(walk, choice)
    return (reach(walk, planned), planned) if planned else follow(walk, choice)


def group_mentioned(script: Script, said: Said) -> Group | None:
    """The group whose members the sides name, or the words beside or before them."""
    sides = said.statement.sides if said.statement else ()
    meant = meant_by(script, sides).values()
    members = {each.of for each in meant if each.symbol == "C" and each.of is not None}
    for names in (members, said.label.names if said.label else (), script.hint):
        group = group_named(script.walk, {name for name in names if name})
        if group is not None:
            return group
    return None


def loosely(script: Script, whole: Quantity, said: Said) -> tuple[Script, Target | None]:
    """C, Q, V or E alone: the whole, or whichever part the value belongs to."""
    assert said.statement is not None
    if whole not in script.walk.truth:
        return script, None
    if said.names and said.pointed and said.label is not None and said.label.whole:
        return script, Target(whole)
    rank = rank_of(script, whole, said.statement)
    fitting = by_value(script, said.statement, whole.symbol) if rank else None
    best = rank_of(script, fitting, said.statement) if fitting else NO_FIT
    is_new = whole not in script.stated and rank in (0, 2)
    if is_new or rank <= min(best, BY_VALUE):
        return script, Target(whole)
    if fitting is not None:
        return reached(script, fitting), Target(fitting)
    if (same_one := turned_before(script, said)) is not None:
        return script, Target(same_one)
    if whole.symbol == "C" and (choice := group_by_numbers(script, said.statement)):
        walk, made = made_of(script.walk, choice)
        if made is not None:
            return script._replace(walk=walk), Target(canonical(walk, Quantity("C", made)))
    if whole in script.walk.known:
        due = next(due_next(script, whole.symbol), None)
        return (script, Target(due, True)) if due else (script, Target(whole))
    return script, Target(whole)


def turned_before(script: Script, said: Said) -> Quantity | None:
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
    return latest if rank_of(script, latest, statement) <= BY_VALUE else None


def unnamed(
    script: Script, said: Said, symbol: Symbol | None, is_new: bool = False
) -> tuple[Script, Target | None]:
    """By the value; not as a repetition of one stated before where the name ``is_new``."""
    statement = said.statement
    assert statement is not None
    if all(isinstance(side, Num) for side in statement.sides) and not holds(statement):
        return script, None  # 1 = 2 is about nothing
    symbol = symbol or symbol_of(script, said)
    fitting = by_value(script, statement, symbol)
    if fitting is not None:
        return reached(script, fitting), Target(fitting)
    if symbol in (None, "C") and (level := level_by_numbers(script, said)) is not None:
        return of_group(script, called_together(level), "C", level)
    if symbol in (None, "C") and (choice := group_by_numbers(script, statement, not is_new)):
        walk, made = made_of(script.walk, choice)
        if made is not None:
            return script._replace(walk=walk), Target(canonical(walk, Quantity("C", made)))
    for repeated in () if is_new else (*script.stated, *script.walk.known):
        quantity = canonical(script.walk, repeated)
        is_given = quantity.symbol == "C" and quantity not in script.stated
        if quantity not in script.walk.truth or (is_given and is_sum_of_values(statement)):
            continue  # what is added up is not one that is given, though it comes to as much
        of_kind = quantity.symbol == symbol or (symbol is None and quantity in script.stated)
        if of_kind and rank_of(script, quantity, statement) <= BY_VALUE:
            return script, Target(quantity)
    if (group := _put_together(script, said, symbol)) is not None:
        script, target = of_group(script, called_together(group), "C", group)
        return script, target._replace(is_shown=True) if target else None
    due = list(due_next(script, symbol))[: MOST_GUESSED if symbol else 1]
    guess = next_due(due, lambda q: is_recognised(script, q, statement), symbol is not None)
    if guess is None:
        return script, None
    is_answer = symbol is not None and targets(script.walk) == (guess,) and _is_alone(statement)
    is_known = is_answer and is_recognised(script, guess, statement)
    return reached(script, guess), Target(guess, True, is_shown=is_known)


def _is_alone(statement: Statement) -> bool:
    """Whether a value stands alone: of a problem with one answer, that is what it is given as."""
    return len(statement.sides) == 1 and isinstance(statement.sides[0], Num)


def _put_together(script: Script, said: Said, symbol: Symbol | None) -> Group | None:
    """What is put together by a wrong way: capacitors that are no group, or a set in letters."""
    assert said.statement is not None
    is_capacitance = symbol in (None, "C")
    wrongly = joined_wrongly_in_letters(script, said.statement) if is_capacitance else None
    return wrongly or broken_by_numbers(script, said)


def called_together(group: Group) -> str:
    """The name of what capacitors make: C23."""
    return "C" + "".join(name[1:] for name in group.names)


def reached(script: Script, quantity: Quantity) -> Script:
    """The script with the way gone as far as to a capacitance of capacitors combined."""
    if quantity.symbol != "C" or quantity.of is None:
        return script
    return script._replace(walk=reach(script.walk, quantity.of))
