"""One meaning of a statement about a network judged, on the learner's own values."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from grammar.answers import Measure, as_si, evaluate, known
from grammar.expressions import Name, Num, Op, names_in, parts_of
from grammar.records import Refusal
from tutor.circuit.joining import JOININGS
from tutor.circuit.steps import Choice
from tutor.circuit.steps import Fault as GroupFault
from tutor.circuit.values import Value, in_letters, same
from tutor.teaching.judging import close
from tutor.teaching.marking.by_numbers import chains_all, last_measure
from tutor.teaching.marking.carrying import (
    Own,
    is_of_unlike,
    is_swapped,
    is_whole_for_part,
    letters_of,
    own_of,
    shared_before,
    subject_of,
    upwards,
)
from tutor.teaching.marking.fitting import Gauge, fit, numbers_in
from tutor.teaching.marking.grading import Grade, Statement, Subject, grade
from tutor.teaching.marking.phrases import BY_WRONG_RULE
from tutor.teaching.marking.problem_kind import JudgedFor, OwnValue
from tutor.teaching.marking.routes import Group
from tutor.teaching.marking.scheme import scheme_lines
from tutor.teaching.marking.script import Script, lookup, meant_by
from tutor.teaching.marking.shared_by_parts import (
    IN_ONE_CHAIN,
    joined_otherwise,
    of_unlike,
    shared_already,
    shown_by_no_group,
    stated_too,
)
from tutor.teaching.marking.statements import Said, is_formula, is_named
from tutor.teaching.marking.true_in_numbers import is_bare_sum
from tutor.teaching.marking.values_due import Target, is_of_another_kind
from tutor.teaching.marking.written_ways import as_written
from tutor.teaching.quantities import DIMENSION, Quantity, Symbol
from tutor.teaching.turn import speech_of
from tutor.teaching.ways_of_walk import canonical

LEFT: Final = (
    "This is what the value above leaves of the whole, so it is not called wrong; no way to it is "
    "shown, so it earns no mark of its own."
)
STANDS_ABOVE: Final = "This value stands above already, so it is not marked down again."

OF_ITSELF: Final = "This says of a value what it is of itself."
ONE_ALONE: Final = (
    "This is {} alone: the others do not have as much. What do capacitors share that stand one "
    "behind the other, and what those between the same two points?"
)

OF_WHOLE: Final = (
    "This is of the whole network. Which capacitors, if any, join its two ends, one by one?"
)

AS_BESIDE: Final = (
    "This is the value of {} above. {} add up here: what do they come to so, and what should that "
    "be?"
)

OF_ALL: Final = (
    "Not every capacitor here has this. What do capacitors share that stand one behind the other, "
    "and what those between the same two points?"
)


def judge(target: Target, said: Said, script: Script, on: Script) -> JudgedFor[Script, Quantity]:
    """Judge it by the values ``on`` a script, which may be older; what is said in passing is not
    judged.
    """
    each = _grade(on, target, said)
    if told := _not_of_each(script, each, said):
        each = each._replace(verdict="wrong", method=False, accurate=False, is_certain=True)
        each = each._replace(told=told)
    if each.fault == "malrule" and (beside := _right_beside(on, each)) is not None:
        each = each._replace(fault=None, malrules=(), diagnosis=None, method=False)
        names = [speech_of(script.walk).name(q) for q in (beside, each.quantity)]
        each = each._replace(told=AS_BESIDE.format(names[0], " and ".join(names)))
    if each.verdict == "wrong" and _in_passing(on, target, said):
        return JudgedFor(script, None)
    if each.verdict == "carried" and each.accurate and _is_unpaid(script):
        each, script = each._replace(accurate=False), script._replace(has_paid=True)
    script = script._replace(shown=script.shown.union(_ideas_in(each)))
    if target.level is not None and each.verdict == "wrong" and each.value is not None:
        right = _equivalent(script, target.level)
        if not in_letters(right) and not in_letters(each.value):
            led = OwnValue(Fraction(each.value), Fraction(right), "worked out", "capacitance")
            script = script._replace(led=(*script.led, led))
    if target.broken is not None and target.quantity.of is not None:
        broken = (target.quantity.of, target.broken)
        script = script._replace(broken=(*script.broken, broken))
    return JudgedFor(script, each)


def _right_beside(script: Script, each: Grade) -> Quantity | None:
    """What it divides a whole with, whose right value stands above and is given to this as well."""
    step, symbol = script.walk.part_of(each.quantity.of), each.quantity.symbol
    if step is None or step.makes is None or symbol != JOININGS[step.kind].adds:
        return None
    beside = (canonical(script.walk, Quantity(symbol, part.name)) for part in step.parts)
    right = (q for q in beside if q in script.stated and q not in script.wrong | {each.quantity})
    return next((q for q in right if script.stated[q] == each.value), None)


def _is_unpaid(script: Script) -> bool:
    """Whether all that is wrong so far, by a wrong idea, has no mark of its own, and has cost none
    elsewhere.
    """
    given = {Quantity("C", c.name) for c in script.walk.problem.network.capacitors}
    marked = {item.quantity for item in scheme_lines(script.walk)} | given
    wrong = script.wrong - script.doubtful
    is_free = not script.has_paid and not script.slipped and not wrong & marked
    return bool(wrong) and bool(script.shown) and is_free


def _not_of_each(script: Script, each: Grade, said: Said) -> str:
    """Why what is said of each is not so of each; empty where it may be."""
    if said.one_by_one and _is_of_whole_alone(script, each):
        return OF_WHOLE
    if said.of_all and not _is_of_all(script, each, said):
        return OF_ALL
    if said.of_each and _fits_one_alone(script, each, said):
        return ONE_ALONE.format(speech_of(script.walk).name(each.quantity))
    return ""


def _is_of_whole_alone(script: Script, each: Grade) -> bool:
    """Whether it is given for the whole, and no part has as much: 18 V across each."""
    walk, truth, symbol = script.walk, script.walk.truth, each.quantity.symbol
    alike = ((canonical(walk, q), value) for q, value in truth.items() if q.symbol == symbol)
    parts = (value for q, value in alike if q.of is not None)
    is_known = each.given and each.quantity.of is None and symbol in ("Q", "V")
    return is_known and not any(same(value, truth[each.quantity]) for value in parts)


def _is_of_all(script: Script, each: Grade, said: Said) -> bool:
    """Whether a good value that is said of every capacitor is that of each of them."""
    symbol, walk = each.quantity.symbol, script.walk
    is_told = bool(said.names) or (said.label and (said.label.names or said.label.group))
    if each.verdict == "wrong" or is_told or symbol not in ("Q", "V") or each.value is None:
        return True
    known = {**walk.known, **(walk.truth if each.verdict == "right" else script.own.values)}
    single = (Quantity(symbol, c.name) for c in walk.problem.network.capacitors)
    return all(q in known and same(known[q], each.value) for q in single)


def _fits_one_alone(script: Script, each: Grade, said: Said) -> bool:
    """Whether what is said of each, and of no one by name, is so for one capacitor and no other,
    nor for any that are combined.
    """
    symbol, walk = each.quantity.symbol, script.walk
    is_told = any(len(name) > 1 for name in said.names) or (said.label and said.label.names)
    if each.verdict == "wrong" or is_told or symbol not in ("Q", "V") or each.value is None:
        return False
    single = [c.name for c in walk.problem.network.capacitors]
    bearers = [canonical(walk, Quantity(symbol, name)) for name in single]
    values = {**walk.known, **(walk.truth if each.verdict == "right" else script.own.values)}
    others = (v for q, v in values.items() if q.symbol == symbol and q != each.quantity)
    is_one = len(bearers) > 1 and bearers.count(each.quantity) == 1
    return is_one and not any(same(value, each.value) for value in others)


def _ideas_in(each: Grade) -> tuple[str, ...]:
    """The wrong ideas that a wrong value shows, or lets suspect."""
    if each.fault == "malrule":
        return each.malrules
    return each.diagnosis.names if each.verdict == "wrong" and each.diagnosis else ()


def _in_passing(script: Script, target: Target, said: Said) -> bool:
    """Whether what does not fit says nothing of the target: a check such as 6 + 3 = 9, the p.d. in
    "48 uC at 12 V" where the charge of C1 is said, or a given capacitance by which one is named.
    """
    assert said.statement is not None
    last = last_measure(script, said) if len(said.statement.sides) == 1 else None
    if target.quantity.symbol == "C" and not said.names and last is not None:
        scale = Fraction(10) ** script.walk.problem.powers["capacitance"] if last.bare else 1
        if last.value * scale in {c.value for c in script.walk.problem.network.capacitors}:
            return True
    is_check = target.quantity.symbol != "C" and is_bare_sum(said.statement, is_named(said))
    return is_check or (not said.names and is_of_another_kind(script, target, said))


def _grade(script: Script, target: Target, said: Said) -> Grade:
    assert said.statement is not None
    said = said._replace(statement=_in_multiples(script, target.quantity, said.statement))
    assert said.statement is not None
    own = script.own
    worth = lookup(script, own, said.statement)
    if target.broken is not None:
        return _of_no_group(script, target.quantity, target.broken, said.statement)
    if target.level is not None:
        return _of_level(script, target.quantity, target.level, said.statement)
    if target.quantity not in script.walk.truth:
        value = script.stated.get(target.quantity)
        return Grade(target.quantity, "carried", method=True, value=value)
    given = {canonical(script.walk, quantity) for quantity in script.walk.known}
    _refuse_of_itself(script, target.quantity, said.statement)
    subject = subject_of(own, target.quantity)
    each = grade(subject, said.statement, worth, bool(script.wrong))
    is_named = any(isinstance(side, Name) for side in said.statement.sides)  # Q1 = Q
    if each.verdict == "wrong" and target.quantity.of and not is_named:  # Q²/2C, all of this one
        own_worth = {**worth, **_of_its_own(script, own, target.quantity)}
        other = grade(subject, said.statement, own_worth, bool(script.wrong))
        each = other if other.verdict != "wrong" else each
    if each.verdict == "wrong" and target.quantity == Quantity("C"):
        is_chained = chains_all(script, said.statement)
        each = each._replace(told=IN_ONE_CHAIN) if is_chained else each
    if each.verdict == "wrong" and target.quantity.symbol == "C" and not each.malrules:
        each = each._replace(told=each.told or joined_otherwise(script, each))
    if each.verdict == "carried" and own.led_to and target.quantity == Quantity("C"):
        direct = subject_of(own._replace(led_to=()), target.quantity)
        if grade(direct, said.statement, worth, True).verdict == "wrong":
            of, group = script.broken[-1]
            assert isinstance(group.judged, GroupFault)
            each = each._replace(accurate=False)  # the mark of the group that is none
            combined = script.stated.get(Quantity("C", of))
            shown = shown_by_no_group(script, group, combined)
            return each._replace(group=group.judged, members=group.names, malrules=shown)
    if each.verdict == "carried" and (again := _again(script, subject, each, said)) is not None:
        return again
    if each.verdict != "right" and is_of_unlike(own, each.quantity, each.value):
        return of_unlike(script, each)
    if each.verdict == "carried":
        is_above = not _signs(said.statement) and script.stated.get(each.quantity) == each.value
        told = STANDS_ABOVE if is_above and each.quantity in script.wrong else ""
        each = each._replace(carrying=_carrying(script) | stated_too(script, each), told=told)
    if target.quantity in given and each.verdict == "wrong":
        return each._replace(fault="arithmetic", malrules=(), given=True)
    return each._replace(guessed=target.guessed, given=target.quantity in given)


def _refuse_of_itself(script: Script, about: Quantity, statement: Statement) -> None:
    """Errors: ``Refusal`` where a value is worked out from itself: V = 3.6 V, V as a letter."""
    ways = [side for side in statement.sides if not isinstance(side, Name)]
    pupils = {*letters_of(script.walk), *script.aliases}  # V2 = 1 share
    meant = meant_by(script, ways)
    if any(meant[name] == about for name in meant.keys() - pupils):
        raise Refusal(OF_ITSELF, "Write the way to it in what is known.")


def _in_multiples(script: Script, quantity: Quantity, statement: Statement) -> Statement:
    """Plain numbers said of a capacitance as multiples of the one letter that stands for one."""
    letters = [each for each in letters_of(script.walk) if each[:1] == "C"]
    is_plain = not names_in(*statement.sides) and not any(
        part.unit for side in statement.sides for part in parts_of(side) if isinstance(part, Num)
    )
    if quantity.symbol != "C" or len(letters) != 1 or not is_plain:
        return statement
    letter = Name(letters[0])
    sides = tuple(
        Op("/", side, letter) if statement.turned else Op("*", side, letter)
        for side in statement.sides
    )
    return statement._replace(sides=sides)


def _again(script: Script, subject: Subject[Quantity], each: Grade, said: Said) -> Grade | None:
    """A value that would follow from the pupil's own, but is the same wrong idea once more, or a
    second value for what capacitors share: 10 V and 6 V between the same two points.
    """
    assert said.statement is not None
    worth = lookup(script, script.own, said.statement)
    statement = said.statement
    fits = [fit(subject.gauge, s, worth, statement.turned) for s in reversed(statement.sides)]
    unsaid = subject_of(own_of(script.walk, {}), each.quantity)  # as if nothing had been stated
    diagnosis = next((r for f in fits if (r := unsaid.recognise(f)[1]) and r.groups), None)
    diagnosis = as_written(diagnosis, statement.sides[0], worth, statement.turned)
    diagnosis = diagnosis or unsaid.suspect(fits[0])
    names = diagnosis.names if diagnosis else ()
    is_stated = each.quantity in script.stated
    if (is_stated and not _is_worked(said.statement)) or _is_of_one_beside(script, each, said):
        return None
    if not _is_worked(said.statement) and _is_of_one_alike(script, each):
        return None
    wrong = each._replace(
        verdict="wrong", method=False, accurate=False, carrying=frozenset(), is_certain=True
    )
    here = (
        diagnosis is not None
        and diagnosis.at is not None
        and (canonical(script.walk, diagnosis.at) == each.quantity)
    )
    is_sum = each.quantity.symbol == "E" and not _signs(said.statement) & {"*", "/"}
    before = (each.statement for each in script.mistaken)
    is_shown = any(len(one.sides) > 1 for one in (said.statement, *before) if one)
    is_rest = is_shown and not _is_worked(said.statement)  # V − V1, or what that comes to
    is_sure = (_is_worked(said.statement) and not is_sum) or (
        _is_as_beside(script, each) and not _is_left(said.statement)
    )
    own = script.own
    is_written = diagnosis is not None and diagnosis.is_written
    is_rule_again = is_written or _completes(own, each)  # the last part by the rule of the others
    is_led = not is_rule_again and _works_on_wrong(script, said.statement)
    is_same = bool(script.shown.intersection(names)) and (is_written or not is_stated)
    if here and is_sure and not is_led and not is_stated and any(map(is_formula, script.mistaken)):
        return each._replace(method=False, accurate=False, told=BY_WRONG_RULE)
    if _is_by_law(own, each):
        return None
    if here and is_sure and not is_led and is_same:
        return wrong._replace(fault="malrule", malrules=names, diagnosis=diagnosis)
    if is_stated or (_is_worked(said.statement) and _completes(own, each)):
        return None
    if is_whole_for_part(own, each.quantity, each.value):
        return wrong
    is_idea = here and is_same and not _is_worked(said.statement)
    if (is_idea or is_swapped(own, each.quantity, each.value)) and not is_rest:
        is_left = _completes(own, each)  # of the whole, or the same idea once more
        return each._replace(method=False, accurate=False, told=LEFT) if is_left else wrong
    value = shared_already(script, each)
    if value is not None and each.value is not None and not close(each.value, value):
        if is_of_unlike(own, each.quantity, each.value):
            return of_unlike(script, each)
        if _is_of_own_charge(script, each, said):  # the mistake is in the charge
            return each._replace(method=False, accurate=False, carrying=frozenset())
        return wrong
    return None


def _is_of_one_beside(script: Script, each: Grade, said: Said) -> bool:
    """Whether it is rightly said to be the same as what has the pupil's wrong value already: Q1 =
    Q12 in a chain, where what is wrong was said of Q12 before.
    """
    named, truth = meant_by(script, [Name(name) for name in said.names]), script.walk.truth
    names_before = [Name(name) for before in script.mistaken for name in before.names]
    before = {*meant_by(script, names_before).values()} & script.wrong
    beside = [q for q in named.values() if q != each.quantity and q in before]
    is_alike = all(q in truth and same(truth[q], truth[each.quantity]) for q in named.values())
    return is_alike and any(script.stated.get(q) == each.value for q in beside)


def _is_of_one_alike(script: Script, each: Grade) -> bool:
    """Whether it is the pupil's wrong value of a whole that has the same right value, as the charge
    of a chain is that of each in it.
    """
    truth = script.walk.truth
    single = {c.name for c in script.walk.problem.network.capacitors}
    wholes = (q for q in script.wrong if q in truth and q.of not in single)
    alike = (q for q in wholes if same(truth[q], truth[each.quantity]))
    return any(script.stated.get(q) == each.value for q in alike)


def _works_on_wrong(script: Script, statement: Statement) -> bool:
    """Whether a product or a quotient has a wrong value of the pupil's among its numbers."""
    powers = script.walk.problem.powers
    wrong = [
        Fraction(value) / Fraction(10) ** powers[quantity.dimension]
        for quantity in script.wrong & script.stated.keys()
        if not in_letters(value := script.stated[quantity])
    ]
    numbers = (n.value for side in statement.sides[:-1] for n in numbers_in(side) if not n.unit)
    return _is_worked(statement) and any(close(n, value) for n in numbers for value in wrong)


def _is_by_law(own: Own, each: Grade) -> bool:
    """Whether a charge is that of the p.d. stated for the same capacitor or beside it, or the p.d.
    of one in a chain that of its charge.
    """
    of, symbol = each.quantity.of, each.quantity.symbol
    capacitance, step = own.get("C", of), own.walk.part_of(of)
    is_divided = symbol == "V" and step is not None and step.kind == "series"
    if each.value is None or not capacitance or not (symbol == "Q" or is_divided):
        return False
    other = Quantity("V" if symbol == "Q" else "Q", of)
    known = own.stated.get(canonical(own.walk, other), shared_before(own.walk, own.stated, other))
    if known is None:
        return False
    charge, voltage = (each.value, known) if symbol == "Q" else (known, each.value)
    return close(charge, capacitance * voltage)


def _completes(own: Own, each: Grade) -> bool:
    """Whether it is what the pupil's own values of the other capacitors leave of a whole that they
    divide.
    """
    walk = own.walk
    step = walk.part_of(each.quantity.of)
    if step is None or step.makes is None or each.value is None:
        return False
    symbol = each.quantity.symbol
    of_parts = {canonical(walk, Quantity(symbol, part.name)) for part in step.parts}
    beside = [own.stated.get(part) for part in of_parts - {each.quantity}]
    whole = own.get(symbol, step.makes.name)
    if symbol != JOININGS[step.kind].adds or whole is None or None in beside:
        return False
    return close(sum((v for v in beside if v is not None), each.value), whole)


def _is_of_own_charge(script: Script, each: Grade, said: Said) -> bool:
    """Whether a p.d. is worked out from the wrong charge that was stated for its capacitor."""
    assert said.statement is not None
    charge, capacitance = Quantity("Q", each.quantity.of), script.own.get("C", each.quantity.of)
    if each.quantity.symbol != "V" or not _is_worked(said.statement) or capacitance is None:
        return False
    if charge not in script.wrong or charge not in script.stated or each.value is None:
        return False
    return close(each.value * capacitance, script.stated[charge])


def _is_as_beside(script: Script, each: Grade) -> bool:
    """Whether it is the wrong charge that was stated for another capacitor."""
    return each.quantity.symbol == "Q" and any(
        q.symbol == "Q" and q in script.wrong and value == each.value
        for q, value in script.stated.items()
    )


def _is_worked(statement: Statement) -> bool:
    """Whether a value is worked out in the line, and not by taking one value from another."""
    signs = _signs(statement)
    return bool(signs) and "-" not in signs and len(statement.sides) > 1


def _is_left(statement: Statement) -> bool:
    """Whether a value is worked out in the line as what one leaves of another."""
    return "-" in _signs(statement) and len(statement.sides) > 1


def _signs(statement: Statement) -> set[str]:
    return {
        part.sign for side in statement.sides for part in parts_of(side) if isinstance(part, Op)
    }


def _of_its_own(script: Script, own: Own, about: Quantity) -> dict[str, Measure]:
    """C, Q, V and E as those of its capacitor, as a formula for one of them writes the others."""
    symbols: tuple[Symbol, ...] = ("C", "Q", "V", "E")
    letters = letters_of(script.walk)
    powers = script.walk.problem.powers
    return {
        symbol: known(value, DIMENSION[symbol], powers[DIMENSION[symbol]])
        for symbol in symbols
        if symbol not in (*letters, about.symbol)
        and (value := own.get(symbol, about.of)) is not None
    }


def _of_no_group(script: Script, quantity: Quantity, group: Group, statement: Statement) -> Grade:
    """The value of a group that is none: wrong as a step, but kept for what follows from it."""
    assert isinstance(group.judged, GroupFault)
    measure = evaluate(statement.sides[-1], lookup(script, script.own, statement))
    power = script.walk.problem.powers["capacitance"]
    value = None if statement.turned else as_si(measure, "capacitance", power)
    return Grade(
        quantity, "wrong", "malrule", shown_by_no_group(script, group, value), value=value,
        group=group.judged, members=group.names,
    )


def _of_level(script: Script, quantity: Quantity, group: Choice, statement: Statement) -> Grade:
    """The value of a group that is one with points at one potential made one: no mark is for it."""
    right = _equivalent(script, group)
    power = script.walk.problem.powers["capacitance"]
    side = fit(
        Gauge("capacitance", power, right, lambda: ()),
        statement.sides[-1],
        lookup(script, script.own, statement),
        statement.turned,
    )
    is_right = side.kind in ("true", "one figure", "unit")
    return Grade(
        quantity,
        "right" if is_right else "wrong",
        method=is_right,
        accurate=is_right,
        value=side.value,
        is_final=side.is_final,
    )


def _equivalent(script: Script, group: Choice) -> Value:
    """What a group makes of the pupil's values."""
    own = [script.own.get("C", name) for name in group.names]
    return JOININGS[group.kind].equivalent([value for value in own if value is not None])


def _carrying(script: Script) -> frozenset[Quantity]:
    """What is not right on the way from what was stated, and passes its own value on."""
    own, truth = script.own, script.walk.truth
    read_back = upwards(script.walk, script.stated)
    return frozenset(
        q
        for q, v in own.values.items()
        if q in truth and not same(v, truth[q]) and q not in read_back
    )
