"""Free working marked line by line, with errors carried forward.

The first error is found where it is made; what follows rightly from it, on the learner's own
values, is not marked down again. Source of the conventions: general practice in published
marking instructions (method and accuracy marks, one mark for a slip, units once).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from grammar.answers import Measure, as_si, evaluate, known
from grammar.expressions import Op, parts_of
from grammar.records import Refusal
from tutor.circuit.network import Problem
from tutor.circuit.steps import Fault as GroupFault
from tutor.circuit.values import same
from tutor.teaching.judging import close
from tutor.teaching.marking.awarding import Ground, award
from tutor.teaching.marking.carrying import (
    Own,
    canonical,
    is_whole_for_part,
    own_of,
    shared_before,
    upwards,
)
from tutor.teaching.marking.examining import GENERAL_PRACTICE, Scheme
from tutor.teaching.marking.fitting import fit
from tutor.teaching.marking.grading import (
    Grade,
    Statement,
    Subject,
    as_reciprocals,
    as_turned,
    grade,
    holds,
    is_bare_sum,
    stands,
    used_in,
)
from tutor.teaching.marking.keys import key_on
from tutor.teaching.marking.labels import with_names_for_values
from tutor.teaching.marking.marked import (
    FAILED,
    Marked,
    credits_of,
    in_all,
    in_chat,
    lines_of,
    marked_line,
    unless_failing,
    without_wrong_guesses,
)
from tutor.teaching.marking.phrases import Rulings
from tutor.teaching.marking.recognising import subject_of
from tutor.teaching.marking.relating import (
    is_sum,
    judge_letters,
    judge_relation,
    related,
    true_in_values,
)
from tutor.teaching.marking.remarks import Context, remark
from tutor.teaching.marking.resolving import (
    Target,
    is_of_another_kind,
    resolve,
    states_whole,
)
from tutor.teaching.marking.routes import Group, names_met, past_levels, without_idle
from tutor.teaching.marking.scheme import (
    is_passed_on,
    needed_for,
    scheme_lines,
    scheme_text,
)
from tutor.teaching.marking.script import Script, lookup, reader_of
from tutor.teaching.marking.statements import Said, has_letter_after_number, is_named, said_in
from tutor.teaching.marking.unknowns import PREFIX, with_own_letters
from tutor.teaching.marking.working import WrittenLine, says_units_once
from tutor.teaching.messages import Message
from tutor.teaching.quantities import DIMENSION, Quantity, Symbol
from tutor.teaching.settings import Settings
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Walk, begin_walk, targets


class _Graded(NamedTuple):
    written: WrittenLine
    grades: tuple[Grade, ...]
    why: str


def mark(
    problem: Problem, text: str, scheme: Scheme = GENERAL_PRACTICE,
    settings: Settings | None = None,
) -> Marked:
    """Mark a whole script; where series and parallel stick, by the story of its balances.

    Raises Refusal for a script of too many lines.
    """
    terms = settings or Settings()
    begun = begin_walk(problem, terms)
    walk = past_levels(without_idle(begun))
    if walk.whole is None:
        from tutor.teaching.marking.stories.marker import mark_story
        from tutor.teaching.staged.bridged import bridge_story

        return mark_story(bridge_story(problem, terms), text, scheme, terms)
    written = _by_names(walk, lines_of(text))
    script = Script(walk, {}, frozenset(), {})
    graded: list[_Graded] = []
    for line in written:
        failed = (script, _Graded(line, (), FAILED))
        script, found_here = unless_failing(failed, _graded, script, line)
        graded.append(found_here)
    rows = without_wrong_guesses([line.grades for line in graded])
    graded = [line._replace(grades=row) for line, row in zip(graded, rows, strict=True)]
    return _awarded(script, graded, scheme, begun)


def _by_names(walk: Walk, written: Sequence[WrittenLine]) -> list[WrittenLine]:
    """The lines with the names of capacitors where a script has their values for indices."""
    power = walk.problem.powers["capacitance"]
    pieces = with_names_for_values(
        [piece for line in written for piece in line.pieces], walk.problem.network, power
    )
    waiting = iter(pieces)
    return [line._replace(pieces=tuple(next(waiting) for _ in line.pieces)) for line in written]


def _graded(script: Script, line: WrittenLine) -> tuple[Script, _Graded]:
    grades: list[Grade] = []
    why = ""
    begun = _ReadPiece(script)
    for piece in line.pieces:
        readings: list[_ReadPiece] = []
        for said in (False, True)[: 1 + has_letter_after_number(piece)]:
            done = _read(begun, piece, said)
            readings.append(done)
            if done.is_good:
                break
        begun = next((r for r in readings[::-1] if r.is_good), readings[0])
        grades += begun.grades
        why = why or begun.why
        begun = begun._replace(grades=())
    if says_units_once(line.text):
        grades = [each._replace(unit="") if each.unit == "missing" else each for each in grades]
    return begun.script, _Graded(line, tuple(grades), why)


class _ReadPiece(NamedTuple):
    """How far a line has been read: the script so far, what its last statement was ``about``, the
    grades of the piece in hand and ``why`` some of it has none. ``of_each``: words before say
    that it counts for several.
    """

    script: Script
    about: tuple[str, ...] = ()
    grades: tuple[Grade, ...] = ()
    why: str = ""
    of_each: bool = False

    @property
    def is_good(self) -> bool:
        """Whether something was read and nothing of it called wrong."""
        return _is_good(self.grades)


def _is_good(grades: Sequence[Grade]) -> bool:
    return bool(grades) and all(each.verdict != "wrong" for each in grades)


def _read(begun: _ReadPiece, piece: str, letters: bool) -> _ReadPiece:
    """One piece read and graded; with ``letters`` C and V after a number are no units."""
    script = begun.script
    goes_on = piece.lstrip().startswith(("=", "≈"))
    piece, own = with_own_letters(piece, _letters_met(script), names_met(script.walk))
    reader = reader_of(script)
    reader = reader._replace(names=reader.names | own, in_letters=letters)
    try:
        said = said_in(reader, piece)
    except Refusal as refusal:
        return begun._replace(why=begun.why or str(refusal))
    if goes_on and len(said) == 1 and not said[0].names and said[0].statement is not None:
        names, turned = script.going_on
        statement = said[0].statement._replace(turned=turned)
        said = [said[0]._replace(names=names, statement=statement)]
    done = begun
    for each in said:
        done = _taken(done, each)
    return done


def _taken(done: _ReadPiece, each: Said) -> _ReadPiece:
    """One more statement of a piece graded."""
    script = done.script
    if each.statement is None:
        names = each.label.names if each.label else ()
        script = script._replace(hint=names or script.hint)
        of_each = done.of_each or each.of_each
        return done._replace(script=script, about=each.names or done.about, of_each=of_each)
    each = each._replace(of_each=each.of_each or done.of_each)
    try:
        found = _judged(script, each)
        if not each.names and done.about and each.label is None:
            named = each._replace(names=done.about)  # "1/C = 0.45, so 2.22 uF"
            of_name = _judged(script, named)
            if _is_good(of_name[1]) or not _is_good(found[1]):
                each, found = named, of_name
    except Refusal as refusal:
        return done._replace(why=done.why or str(refusal))
    script, new = found
    turned = each.statement is not None and each.statement.turned
    script = script._replace(going_on=(each.names, turned))
    why = done.why or ("" if new else _untold(each))
    return _ReadPiece(script, each.names, (*done.grades, *new), why)


def _letters_met(script: Script) -> set[str]:
    return {n.removeprefix(PREFIX) for n in script.aliases if n.startswith(PREFIX)}


def _untold(said: Said) -> str:
    """Why a statement is about nothing that can be marked."""
    assert said.statement is not None
    if said.doubt:
        return said.doubt
    if not said.names:
        return "" if holds(said.statement) else "The two sides of an equals sign differ here."
    return f"{said.names[0]} stands for nothing that can be worked out in this network."


def _judged(script: Script, said: Said) -> tuple[Script, list[Grade]]:
    """Grade one statement; what states no value that fits may still be a true equation."""
    after, grades = _judged_for_value(script, said)
    if _is_good(grades):
        return after, grades
    assert said.statement is not None
    if (turned := as_turned(said.statement, bool(said.names))) is not None:
        other = _judged_for_value(script, said._replace(statement=turned))
        if _is_good(other[1]) and all(each.quantity.symbol == "C" for each in other[1]):
            return other
    true = true_in_values(script, said)
    return (script, [true]) if true is not None else (after, grades)


def _judged_for_value(script: Script, said: Said) -> tuple[Script, list[Grade]]:
    """Grade one statement for everything it is about, and remember what it states."""
    assert said.statement is not None
    said = said._replace(statement=as_reciprocals(said.statement, said.names))
    assert said.statement is not None
    if (lettered := judge_letters(script, said)) is not None:
        return lettered
    if single := related(script, said, fewest=1):
        held = judge_relation(script, said, single)
        one_unknown = len({q for q in single.values() if q.symbol != "C"}) == 1
        if held.verdict == "right" and (one_unknown or not is_sum(said.statement)):
            return script, [held]
    named = related(script, said)
    if named and not (is_sum(said.statement) and states_whole(script, said, named)):
        return script, [judge_relation(script, said, named)]
    script, found = resolve(script, said)
    grades: list[Grade] = []
    before = script
    for target in found:
        each = _grade(script if _shares(script, found, target) else before, target, said)
        if not stands(each, said.statement, is_named(said), not said.doubt) or (
            each.verdict == "wrong" and _in_passing(script, target, said)
        ):
            continue
        if each.verdict != "right":
            each = each._replace(used=_used(script, said.statement, each.quantity))
        grades.append(each)
        wrong = script.wrong - {each.quantity}
        if each.verdict != "right" and each.fault != "unit":
            wrong |= {each.quantity}
        stated = dict(script.stated)
        if each.value is not None:
            stated[each.quantity] = each.value
        doubtful = script.doubtful - {each.quantity}
        if each.guessed and each.verdict == "wrong":
            doubtful |= {each.quantity}
        script = script._replace(
            stated=stated, wrong=wrong, hint=(), doubtful=doubtful,
            shown=script.shown.union(each.malrules if each.fault == "malrule" else ()),
        )
        if target.broken is not None and target.quantity.of is not None:
            broken = (target.quantity.of, target.broken)
            script = script._replace(broken=(*script.broken, broken))
    return _of_each(script, said, grades) if said.of_each and grades else (script, grades)


def _in_passing(script: Script, target: Target, said: Said) -> bool:
    """Whether what does not fit says nothing of the target: a check such as 6 + 3 = 9, or the p.d.
    in "48 uC at 12 V" where the charge of C1 is said.
    """
    assert said.statement is not None
    is_check = target.quantity.symbol != "C" and is_bare_sum(said.statement, is_named(said))
    return is_check or (not said.names and is_of_another_kind(script, target, said))


def _of_each(script: Script, said: Said, grades: list[Grade]) -> tuple[Script, list[Grade]]:
    """What is said of several alike counts for all that it is right for: 8 V on both."""
    last = grades[-1]
    if last.verdict == "wrong" or not last.is_final or last.quantity.symbol not in ("Q", "V"):
        return script, grades
    named = said.label.names if said.label else ()
    for capacitor in script.walk.problem.network.capacitors:
        quantity = Quantity(last.quantity.symbol, capacitor.name)
        is_meant = not named or capacitor.name in named
        if not is_meant or quantity in script.stated or quantity == last.quantity:
            continue
        if quantity not in script.walk.truth:
            continue
        each = _grade(script, Target(quantity), said)
        if each.verdict != "wrong" and each.value is not None:
            grades = [*grades, each]
            script = script._replace(stated={**script.stated, quantity: each.value})
    return script, grades


def _shares(script: Script, found: list[Target], target: Target) -> bool:
    """Whether all that one value is said to be do have one value: if not, a wrong one is not
    passed on from the first of them to the next.
    """
    truth = script.walk.truth
    values = [truth.get(each.quantity) for each in found]
    own = truth.get(target.quantity)
    return own is None or all(value is not None and same(value, own) for value in values)


def _grade(script: Script, target: Target, said: Said) -> Grade:
    assert said.statement is not None
    own = script.own
    worth = lookup(script, own, said.statement)
    if target.broken is not None:
        return _of_no_group(script, target.quantity, target.broken, said.statement)
    if target.quantity not in script.walk.truth:
        value = script.stated.get(target.quantity)
        return Grade(target.quantity, "carried", method=True, value=value)
    given = {canonical(script.walk, quantity) for quantity in script.walk.known}
    subject = subject_of(own, target.quantity)
    each = grade(subject, said.statement, worth, bool(script.wrong))
    if each.verdict == "wrong" and target.quantity.of is not None:  # Q²/2C, all of this one
        own_worth = {**worth, **_of_its_own(script, own, target.quantity.of)}
        other = grade(subject, said.statement, own_worth, bool(script.wrong))
        each = other if other.verdict != "wrong" else each
    if each.verdict == "carried" and own.led_to and target.quantity == Quantity("C"):
        direct = subject_of(own._replace(led_to=()), target.quantity)
        if grade(direct, said.statement, worth, True).verdict == "wrong":
            return _through_no_group(script, each)
    if each.verdict == "carried" and (again := _again(script, subject, each, said)) is not None:
        return again
    if each.verdict == "carried":
        each = each._replace(carrying=_carrying(script, each))
    if target.quantity in given and each.verdict == "wrong":
        return each._replace(fault="arithmetic", malrules=(), given=True)
    return each._replace(guessed=target.guessed, given=target.quantity in given)


def _again(
    script: Script, subject: Subject[Quantity], each: Grade, said: Said
) -> Grade | None:
    """A value that would follow from the pupil's own, but is the same wrong idea once more, or a
    second value for what capacitors share: 10 V and 6 V between the same two points.
    """
    assert said.statement is not None
    worth = lookup(script, script.own, said.statement)
    side = fit(subject.gauge, said.statement.sides[-1], worth, said.statement.turned)
    unsaid = subject_of(own_of(script.walk, {}), each.quantity)  # as if nothing had been stated
    names, diagnosis = unsaid.recognise(side)
    if each.quantity in script.stated:
        return None
    wrong = each._replace(verdict="wrong", method=False, accurate=False, carrying=frozenset())
    here = diagnosis is not None and diagnosis.at is not None and (
        canonical(script.walk, diagnosis.at) == each.quantity
    )
    if here and _is_worked(said.statement) and script.shown.intersection(names):
        return wrong._replace(fault="malrule", malrules=names, diagnosis=diagnosis)
    if is_whole_for_part(script.walk, each.quantity, each.value):
        return wrong
    known_now = {canonical(script.walk, q): v for q, v in script.walk.known.items()}
    value = shared_before(script.walk, {**script.stated, **known_now}, each.quantity)
    if value is not None and each.value is not None and not close(each.value, value):
        return wrong
    return None


def _used(script: Script, statement: Statement, about: Quantity) -> frozenset[Quantity]:
    """Values not stated before whose numbers stand in a statement."""
    walk = script.walk
    given = [*(c.value for c in walk.problem.network.capacitors), *walk.known.values()]
    powers = walk.problem.powers
    found: frozenset[Quantity] = frozenset()
    for dimension, power in powers.items():
        values = {
            q: v for q, v in walk.truth.items()
            if q.dimension == dimension and q not in script.stated and q != about
        }
        found |= used_in(statement, values, given, power)
    return found


def _is_worked(statement: Statement) -> bool:
    """Whether a value is worked out in the line, and not by taking one value from another."""
    signs = {part.sign for side in statement.sides for part in parts_of(side)
             if isinstance(part, Op)}
    return bool(signs) and "-" not in signs and len(statement.sides) > 1


def _of_its_own(script: Script, own: Own, name: str) -> dict[str, Measure]:
    """C, Q, V and E as those of one capacitor, as a formula writes them."""
    symbols: tuple[Symbol, ...] = ("C", "Q", "V", "E")
    powers = script.walk.problem.powers
    return {
        symbol: known(value, DIMENSION[symbol], powers[DIMENSION[symbol]])
        for symbol in symbols if (value := own.get(symbol, name)) is not None
    }


def _of_no_group(
    script: Script, quantity: Quantity, group: Group, statement: Statement
) -> Grade:
    """The value of a group that is none: wrong as a step, but kept for what follows from it."""
    assert isinstance(group.judged, GroupFault)
    measure = evaluate(statement.sides[-1], lookup(script, script.own, statement))
    power = script.walk.problem.powers["capacitance"]
    value = None if statement.turned else as_si(measure, "capacitance", power)
    return Grade(
        quantity, "wrong", "malrule", value=value, group=group.judged, members=group.names
    )


def _carrying(script: Script, each: Grade) -> frozenset[Quantity]:
    """What is not right and passes its own value on, to another quantity or to this one."""
    own, truth = script.own, script.walk.truth
    read_back = upwards(script.walk, script.stated)
    return frozenset(
        q for q, v in own.values.items()
        if q in truth and not same(v, truth[q]) and q not in read_back
        and (is_passed_on(script.walk, q) or (each.value is not None and close(v, each.value)))
    )


def _through_no_group(script: Script, each: Grade) -> Grade:
    """The whole worked out with a group that is none, which is no slip that could be carried."""
    _, group = script.broken[-1]
    assert isinstance(group.judged, GroupFault)
    return each._replace(
        verdict="wrong", fault="malrule", method=False, accurate=False, group=group.judged,
        members=group.names,
    )


def _awarded(
    script: Script, graded: list[_Graded], scheme: Scheme, begun: Walk
) -> Marked:
    walk = script.walk
    graded = [
        line._replace(grades=tuple(
            g._replace(quantity=canonical(walk, g.quantity)) for g in line.grades
        ))
        for line in graded
    ]
    items = scheme_lines(walk)
    grades = [line.grades for line in graded]
    ground = Ground(
        items, set(targets(walk)),
        lambda q: needed_for(walk, {q: None}) if q in walk.truth else frozenset(),
        [i for i in items if not script.broken or i.quantity.symbol != "C"],
    )
    awarded = award(ground, grades, scheme)
    numbers = tuple(line.written.number for line in graded)
    context = Context(walk, Rulings(scheme, awarded.lost, numbers))
    lines = [
        marked_line(
            line.written,
            (_about(line), unless_failing(
                FAILED, remark, context, at, line.written, line.grades, line.why)),
            line.grades, awarded, at,
        )
        for at, line in enumerate(graded)
    ]
    speech = speech_of(walk)
    texts = [scheme_text(walk, item, speech) for item in items]
    marked = in_all(lines, awarded, texts, sum(i.marks for i in items), speech.name)
    return marked._replace(credits=credits_of(
        grades, numbers, awarded, items,
        lambda quantity: (key_on(begun, walk, quantity), speech.name(quantity)),
    ))


def _about(line: _Graded) -> str:
    return line.grades[-1].quantity.name if line.grades else ""


def mark_in_chat(walk: Walk, text: str) -> list[Message]:
    """Several lines pasted into a dialogue, marked; the walk is not moved on."""
    return in_chat(lambda: mark(walk.problem, text, settings=walk.terms))
