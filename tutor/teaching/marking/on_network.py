"""Working about a network that series and parallel settle, along the learner's own way."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from fractions import Fraction
from functools import partial
from typing import Final

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression, Num, Op, names_in
from grammar.measures import times_ten
from grammar.records import Refusal
from tutor.circuit.network import Problem
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import RELATIVE_TOLERANCE
from tutor.teaching.marking.awarding import Ground
from tutor.teaching.marking.carrying import letters_of
from tutor.teaching.marking.examining import GENERAL_PRACTICE, Scheme
from tutor.teaching.marking.grading import Grade, Statement
from tutor.teaching.marking.labels import symbol_in, with_names_for_letters, with_names_for_values
from tutor.teaching.marking.level_bridge import balance_said, shown_with
from tutor.teaching.marking.marked import Marked, in_chat, lines_of
from tutor.teaching.marking.marker import marked
from tutor.teaching.marking.network_values import judge
from tutor.teaching.marking.opposite_sides import with_names_for_sides
from tutor.teaching.marking.phrases import Rulings
from tutor.teaching.marking.plainer_lines import BECOMES
from tutor.teaching.marking.problem_kind import FoundIn, Meaning, ProblemKind
from tutor.teaching.marking.remarks import Context, on_grade
from tutor.teaching.marking.resolving import resolve
from tutor.teaching.marking.routes import names_met, past_levels, with_levels_joined, without_idle
from tutor.teaching.marking.scheme import (
    SchemeLine,
    in_order,
    key_on,
    needed_for,
    scheme_lines,
    scheme_text,
)
from tutor.teaching.marking.script import Script, lookup, meant_by, measured, reader_of
from tutor.teaching.marking.shared_in_ratio import ratio_as_equations
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.taken_for import values_taken_for
from tutor.teaching.marking.unknowns import all_sides, plain, true_of_these_alone
from tutor.teaching.marking.values_due import Target, states_whole
from tutor.teaching.marking.working import in_pieces
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.story import Valued
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Walk, begin_walk, targets
from tutor.teaching.ways_of_walk import canonical, related_to

_KIND_OF_VALUE: Final = r"(?:volt(?:age|s)?|p\.?d\.?|charge|energy)"
_NOTHING_ON: Final = re.compile(
    rf"\b(?:[Nn]o|[Zz]ero)\s+({_KIND_OF_VALUE}(?:\s*(?:,|and|or|nor)\s*(?:no\s+|zero\s+)?{_KIND_OF_VALUE})*)"
    r"\s+(?:on|across|in|over|for)\s+C_?(\d+)\b"
)
_HAS_NOTHING: Final = re.compile(
    rf"\bC_?(\d+)\s+(?:has|carries|holds|gets|takes)\s+(?:no|zero)\s+({_KIND_OF_VALUE})"
    r"(?:\s+(?:across|on|in|over)\s+it)?"
)
_TOLD_BY_VALUE: Final = re.compile(
    r"\bthe\s+(\d+(?:\.\d+)?)(?:\s*[pnuµμm]?F)?(?![\w.]|\s*[-+*/×·,&])"
)


def mark(
    problem: Problem, text: str, scheme: Scheme = GENERAL_PRACTICE, settings: Settings = DEFAULTS
) -> Marked:
    """Mark a whole script; where series and parallel stick, by the story of its balances, and with
    points at one potential made one, where it is marked better so.

    Raises Refusal for a script of too many lines.
    """
    begun = begin_walk(problem, settings)
    walk = past_levels(without_idle(begun))
    if walk.whole is None:
        from tutor.teaching.marking.stories.on_story import mark_story
        from tutor.teaching.staged.bridged import bridge_story

        return mark_story(bridge_story(problem, settings), text, scheme, settings, problem.asked)
    written = in_pieces(lines_of(text), partial(_by_names, walk))
    ways = [marked(NETWORK, Script(begun, walk), written, scheme)]
    if (joined := with_levels_joined(walk)) is not None:
        other = without_idle(begin_walk(problem._replace(network=joined), settings))
        ways += [marked(NETWORK, Script(begun, other), written, scheme)] if other.whole else []
    return next((way for way in ways[1:] if _is_better(way, ways[0])), ways[0])


def _is_better(found: Marked, other: Marked) -> bool:
    """Whether fewer lines are called wrong in one way to take a script, at no loss of marks."""
    wrong, before = (sum(e.verdict == "wrong" for e in way.lines) for way in (found, other))
    return wrong < before and found.of - found.total <= other.of - other.total


def mark_in_chat(walk: Walk, text: str) -> list[Message]:
    """Several lines pasted into a dialogue, marked; the walk is not moved on."""
    return in_chat(lambda: mark(walk.problem, text, settings=walk.terms))


def _by_names(walk: Walk, pieces: Sequence[str]) -> Sequence[str]:
    """Pieces with the names of capacitors where a script has their values for indices, or letters
    of its own, and with names for its sides.
    """
    network, power = walk.problem.network, walk.problem.powers["capacitance"]
    values = {c.name: c.value for c in network.capacitors}
    pieces = with_names_for_sides(with_names_for_letters(pieces, values, power))
    return with_names_for_values(pieces, network, power)


def _readied(script: Script, piece: str) -> Sequence[str]:
    """A piece as it stands, and with the names of capacitors combined for what may tell them by
    their value: the 6 gets 12 V, where what two make is 6 µF as well.
    """
    power, own = script.walk.problem.powers["capacitance"], script.own
    made = [step.makes.name for step in script.walk.plan if step.makes]
    of_value = {times_ten(v, -power): n for n in made if (v := own.get("C", n)) is not None}

    def named(found: re.Match[str]) -> str:
        return of_value.get(Fraction(found[1]), found[0])

    piece = ratio_as_equations(script, piece).replace(BECOMES, "=")
    other = _NOTHING_ON.sub(_as_nought, _HAS_NOTHING.sub(r"no \2 on C\1", piece))
    other = _TOLD_BY_VALUE.sub(named, other)
    return (piece,) if other == piece else (piece, other)


def _as_nought(found: re.Match[str]) -> str:
    """No volts and no charge on C2, as what each of them is."""
    symbols = [symbol_in(words) for words in re.split(r"\b(?:and|or|nor)\b|,", found[1])]
    return "; ".join(f"{symbol}{found[2]} = 0" for symbol in symbols if symbol)


def _equation(script: Script, said: Said) -> FoundIn[Script, Quantity] | None:
    """A relation between quantities, which states the value of none."""
    assert said.statement is not None
    if _takes_for_one(script, said):
        return FoundIn(script, (), "Numbers count in multiples of it from here on.")
    if single := related(script, said, fewest=1):
        held = judge_relation(script, said, single)
        one_unknown = len({q for q in single.values() if q.symbol != "C"}) == 1
        if held.verdict == "right" and (one_unknown or not is_sum(said.statement)):
            return FoundIn(script, (held,))
    named = related(script, said)
    if not named or (is_sum(said.statement) and states_whole(script, said, named)):
        return None
    return FoundIn(script, (judge_relation(script, said, named),))


def _takes_for_one(script: Script, said: Said) -> bool:
    """Whether a letter that stands for a capacitance is taken for 1: take C = 1."""
    assert said.statement is not None
    if len(said.names) != 1 or said.names[0] not in letters_of(script.walk):
        return False
    *ways, last = said.statement.sides
    return not ways and isinstance(last, Num) and last.value == 1 and not said.statement.turned


def _meanings(script: Script, said: Said) -> tuple[Script, Sequence[Meaning[Script, Quantity]]]:
    script, found = resolve(script, said)
    return script, [_meaning(each, said) for each in found]


def _meaning(target: Target, said: Said) -> Meaning[Script, Quantity]:
    by = partial(judge, target, said)
    return Meaning(target.quantity, by, named=target.is_shown, guessed=target.guessed)


def _alike(script: Script, said: Said, last: Grade) -> Iterator[Meaning[Script, Quantity]]:
    """The charge or the p.d. of every other capacitor, or of those that are named; it is known
    that all are meant where they are named or all are combined at once.
    """
    if last.quantity.symbol not in ("Q", "V"):
        return
    named = said.label.names if said.label else ()
    single = {each.name for each in script.walk.problem.network.capacitors}
    if last.verdict != "right" and last.quantity.of not in single | {None}:
        return  # of each branch, and of no capacitor in one
    for capacitor in script.walk.problem.network.capacitors:
        quantity = Quantity(last.quantity.symbol, capacitor.name)
        is_meant = not named or capacitor.name in named
        is_new = quantity not in script.stated and quantity in script.walk.truth
        if is_meant and is_new and quantity != last.quantity:
            is_sure = bool(named) or len(script.walk.plan) == 1
            yield _meaning(Target(quantity), said)._replace(named=is_sure)


def _truth(script: Script) -> Mapping[Quantity, Valued]:
    """What is to be found, the potentials last."""
    known = {canonical(script.walk, each) for each in script.walk.known}
    found = sorted(script.walk.truth.items(), key=lambda item: item[0].point is not None)
    return {each: (value, each.dimension) for each, value in found if each not in known}


def _given(script: Script) -> list[Value]:
    walk = script.walk
    return [*(c.value for c in walk.problem.network.capacitors), *walk.known.values()]


def _right_values(script: Script) -> list[Valued]:
    walk = script.walk
    values = [(value, each.dimension) for each, value in walk.truth.items()]
    return [*((c.value, "capacitance") for c in walk.problem.network.capacitors), *values]


def _taken_for(script: Script) -> list[Mapping[Quantity, Value]]:
    problem = script.walk.problem
    return values_taken_for(problem.network, problem.supply)


def _worth(script: Script, sides: Sequence[Expression]) -> Mapping[str, Measure]:
    return lookup(script, script.own, Statement(tuple(sides)))


def _ground(script: Script, written: AbstractSet[Quantity]) -> Ground[Quantity]:
    walk = script.walk
    items = scheme_lines(walk)
    right = script.stated.keys() - script.wrong
    if any(item.asked and item.quantity not in right for item in items):
        items += tuple(_beside(script, written & right))
    return Ground(
        items,
        set(targets(walk)),
        lambda q: needed_for(walk, {q: None, **dict.fromkeys(shown_with(walk, q))})
        if q in walk.truth
        else frozenset(),
        [item for item in items if not script.broken or item.quantity.symbol != "C"],
        answers=set(targets(walk)),
        related=lambda q: related_to(walk, q),
    )


def _beside(script: Script, right: AbstractSet[Quantity]) -> Iterator[SchemeLine]:
    """What was found rightly on another way to what is asked than that of the scheme, where this
    was not reached.
    """
    walk = script.walk
    items = {item.quantity for item in scheme_lines(walk)}
    known = {canonical(walk, each) for each in walk.known}
    for quantity in in_order(walk):
        is_new = quantity in right and quantity not in items | known
        if is_new and quantity.symbol == "C":
            yield SchemeLine(quantity, 1, 1, 0, False)


def _called(script: Script, quantity: Quantity) -> tuple[str, str]:
    walk = script.walk
    return key_on(script.begun, walk, quantity), speech_of(walk).name(quantity)


def _scheme_line(script: Script, item: SchemeLine) -> str:
    return scheme_text(script.walk, item, speech_of(script.walk))


def _remark(script: Script, rulings: Rulings, each: Grade) -> str:
    return on_grade(Context(script.walk, rulings), each)


# Relations between quantities of one kind: V1 + V2 = 12, V1/V2 = 3/6, 6 V1 = 3 V2


KINDS: Final = frozenset("QVE")
NO_SUCH_RATIO: Final = (
    "{} are not in this ratio. What do both capacitors share, and what follows for each from that?"
)


def related(script: Script, said: Said, fewest: int = 2) -> dict[str, Quantity]:
    """The quantities that a statement relates, by the names they have there; none where it is
    no relation of ``fewest`` or more quantities of one kind, with capacitances as their factors.
    """
    assert said.statement is not None
    if said.names or said.statement.turned or len(said.statement.sides) < 2:
        return {}
    found = _all_named(script, said.statement)
    related = {name: q for name, q in found.items() if q.symbol != "C"}
    symbols = {q.symbol for q in related.values()}
    is_one = len(symbols) == 1 and symbols <= KINDS
    return found if len(related) >= fewest and is_one else {}


def _all_named(script: Script, statement: Statement) -> dict[str, Quantity]:
    """The quantities that the names of a statement stand for; none where one has no value here."""
    found = meant_by(script, statement.sides)
    is_whole = len(found) == len(set(names_in(*statement.sides)))
    return found if is_whole and script.walk.truth.keys() >= set(found.values()) else {}


def is_sum(statement: Statement) -> bool:
    """Whether the first side is a sum, which may state the value of a whole."""
    first = statement.sides[0]
    return isinstance(first, Op) and first.sign == "+"


def judge_relation(script: Script, said: Said, named: Mapping[str, Quantity]) -> Grade:
    """Judge it by the true values, then by the learner's. What it shows is the way to the first
    of its quantities that has no value yet.
    """
    assert said.statement is not None
    known_now = {canonical(script.walk, q) for q in (*script.walk.known, *script.stated)}
    kept = [q for q in named.values() if q.symbol != "C"]
    about = next((q for q in kept if q not in known_now), kept[0])
    true = measured(script, named, script.walk.truth)
    found = Grade(about, "right", method=True, relation=True)
    if _holds(said.statement, true):
        return found
    if script.wrong and _holds(said.statement, lookup(script, script.own, said.statement)):
        return found._replace(verdict="carried")
    first, last = said.statement.sides[0], said.statement.sides[-1]
    is_ratio = all(isinstance(side, Op) and side.sign == "/" for side in (first, last))
    told = NO_SUCH_RATIO.format(" and ".join(names_in(first))) if is_ratio else ""
    return found._replace(verdict="wrong", method=False, told=told)


def _holds(statement: Statement, names: Mapping[str, Measure]) -> bool:
    """Whether all sides are equal within what was typed, units left out where one lacks them."""
    first, *others = statement.sides
    return all(_equal(first, other, names) for other in others)


def _equal(left: Expression, right: Expression, names: Mapping[str, Measure]) -> bool:
    try:
        one, other = evaluate(left, names), evaluate(right, names)
        if one.dims != other.dims:
            numbers = {name: plain(measure) for name, measure in names.items()}
            in_si = {name: Measure(measure.value, bare=True) for name, measure in names.items()}
            one, other = evaluate(left, numbers), evaluate(right, numbers)
            if one.dims == other.dims and not _near(one.value, other.value, None):
                one, other = evaluate(left, in_si), evaluate(right, in_si)
    except Refusal:
        return False
    if one.dims != other.dims:
        return False
    half = other.half if other.one_number and other.figures > 1 else None
    return _near(one.value, other.value, half)


def _near(one: Value, other: Value, half: Fraction | None) -> bool:
    if in_letters(one) or in_letters(other):
        return bool(one == other)
    room = max(half or Fraction(0), RELATIVE_TOLERANCE * abs(Fraction(one)))
    return abs(Fraction(one) - Fraction(other)) <= room


def true_in_values(script: Script, said: Said) -> Grade | None:
    """A statement in names that holds with their true values, if it gives none a value."""
    assert said.statement is not None
    sides = all_sides(said.names, said.statement.sides, False)
    is_value = said.names and not names_in(*said.statement.sides)
    if is_value or said.statement.turned or len(sides) < 2:
        return None
    found, powers = _all_named(script, Statement(sides)), script.walk.problem.powers
    values = measured(script, found, script.walk.truth)
    if not found or not true_of_these_alone(sides, values, powers):
        return None
    last = found[names_in(*sides)[-1]]
    about = next((q for q in found.values() if q not in script.stated), last)
    return Grade(about, "right", method=True, relation=True)


NETWORK: Final[ProblemKind[Script, Quantity]] = ProblemKind(
    names=lambda script: (*names_met(script.walk), *script.aliases),
    reader=reader_of,
    readied=_readied,
    in_words=balance_said,
    equation=_equation,
    meanings=_meanings,
    alike=lambda script, said, last: list(_alike(script, said, last)),
    holds=true_in_values,
    excused=lambda _, each: each,
    truth=_truth,
    own=lambda script: script.own.values,
    given=_given,
    right_values=_right_values,
    at_later_times=lambda _, __: (),
    taken_for=_taken_for,
    worth=_worth,
    powers=lambda script: script.walk.problem.powers,
    settled=lambda script: script,
    canonical=lambda script, quantity: canonical(script.walk, quantity),
    ground=_ground,
    called=_called,
    scheme_line=_scheme_line,
    remark=_remark,
)
