"""What a statement says of the values that a problem in stages asks for or gives."""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from fractions import Fraction
from functools import partial
from typing import Final

from grammar.answers import DIMS, Measure, as_si, evaluate
from grammar.asking import QUANTITY
from grammar.expressions import Neg, names_in
from grammar.measures import PURE
from tutor.circuit.surds import near
from tutor.circuit.values import in_letters
from tutor.teaching.judging import SMALL, close, judge
from tutor.teaching.marking.fitting import FACTORS, fit, numbers_in, turned_over
from tutor.teaching.marking.grading import Judgement, Statement, grade
from tutor.teaching.marking.phrases import DIFFERS, given_misread
from tutor.teaching.marking.problem_kind import FoundIn, JudgedFor, Meaning
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.stories.bridge_left_out import as_found_without
from tutor.teaching.marking.stories.by_star import on_way_by_star
from tutor.teaching.marking.stories.choices_said import led_astray
from tutor.teaching.marking.stories.equations import equation_in, judge_equation
from tutor.teaching.marking.stories.following import follow
from tutor.teaching.marking.stories.given_back import is_in_text, judged_given, without_index
from tutor.teaching.marking.stories.held_after import (
    NO_QUESTION,
    as_kept,
    held_at,
    is_led_to,
    judged_held,
)
from tutor.teaching.marking.stories.names_meant import StoryTarget
from tutor.teaching.marking.stories.paper import Paper, given_named, subject_at, values_before
from tutor.teaching.marking.stories.story_fit import is_counted, lookup, otherwise, without_ratio
from tutor.teaching.marking.stories.story_remarks import of_choice
from tutor.teaching.marking.stories.story_resolving import resolve, says_count
from tutor.teaching.marking.stories.story_scheme import OF_WAY, is_way_after
from tutor.teaching.marking.stories.story_words import as_number
from tutor.teaching.marking.true_in_numbers import holds
from tutor.teaching.marking.unknowns import PREFIX, UNTRUE, all_sides
from tutor.teaching.marking.which_fits import last_worth
from tutor.teaching.staged.measuring import letters_in
from tutor.teaching.staged.moves import WHAT_ADDS
from tutor.teaching.staged.story import PASSED_ON

RATING: Final = "rating"  # each capacitor has one
FOLLOWS_UNASKED: Final = "That is so at one time here, and no mark is for it."
AFTERWARDS: Final = "This follows from the charge above, for the time after the {} of the text."


def equation_in_value(paper: Paper, said: Said) -> FoundIn[Paper, int] | None:
    """An equation in a value that is still to be found."""
    assert said.statement is not None
    if (on_way := on_way_by_star(paper, said)) is not None:
        return FoundIn(paper, (on_way,))
    names, sides = said.names, said.statement.sides
    if said.statement.turned:  # 1/C = 1/15 + 1/(4 + C)
        if not {*names} & {*names_in(*sides)}:
            return None
        names, sides = (), all_sides(names, sides, True)
    equation = equation_in(paper, names, sides)
    if equation is None:
        return None
    before = paper
    paper, found = judge_equation(paper, equation)
    is_formula = not letters_in(paper.story) and _is_formula(said.statement)
    if is_formula and any(g.verdict == "wrong" and not g.malrules for g in found):
        return FoundIn(before, (), "Put the values in: names alone may stand for before or after.")
    wrong = paper.wrong
    for each in found:
        one = {each.quantity}
        wrong = wrong - one if each.verdict == "right" or each.fault == "unit" else wrong | one
    why = "" if found else "No value follows from this yet."
    return FoundIn(paper._replace(wrong=wrong), tuple(found), why)


def _is_formula(statement: Statement) -> bool:
    """Whether it is of names alone, with no value in it."""
    return all(number.value in FACTORS for s in statement.sides for number in numbers_in(s))


def value_meanings(paper: Paper, said: Said) -> tuple[Paper, Sequence[Meaning[Paper, int]]]:
    """What a statement may be about: answers, values given, and those that nothing asks for."""
    assert said.statement is not None
    statement = said.statement
    if len(said.names) == 1 and (held := _held_by(paper, said.names[0], statement)) is not None:
        kept = partial(_judged_held, held, said.names[0][0], statement)
        return paper, [Meaning(held, kept, named=True)]
    return paper, [
        Meaning(None, partial(_noted, target, statement), True)
        if target.at is None
        else Meaning(
            target.at,
            partial(_judged, target, statement),
            is_counted(paper, target.at, statement)
            or says_count(said)
            or (said.of_each and not target.guessed),
            target.guessed,
        )
        for target in resolve(paper, said)
    ]


def _held_by(paper: Paper, name: str, statement: Statement) -> int | None:
    """The question of what is held that a value under a name answers: one with a prime, or V for
    what would follow if the charge that stands above were held.
    """
    name = without_index(paper, name)
    held = held_at(paper, name)
    if held is not None or name != "V" or (held := held_at(paper, "V'")) is None:
        return held
    link = next(iter(given_named(paper, name)), None)
    measure = last_worth(statement, lookup(paper, statement, len(paper.asks)))
    if link is None or measure is None or judged_given(paper, link, measure):
        return None
    value = as_si(measure, "voltage", paper.story.powers["voltage"])
    return held if is_led_to(paper, link, value) else None


def _judged_held(
    at: int, letter: str, statement: Statement, paper: Paper, _on: Paper
) -> JudgedFor[Paper, int]:
    """What is held, judged by its value afterwards; a wrong one leads on as the choice would."""
    kind = QUANTITY[letter]
    measure = evaluate(statement.sides[-1], lookup(paper, statement, len(paper.asks)))
    each = judged_held(paper, at, letter, as_si(measure, kind, paper.story.powers[kind]))
    if each is None:
        return JudgedFor(paper, None)
    said = paper.said if each.given else paper.said | {at}
    return JudgedFor(led_astray(paper, each)._replace(said=said), each)


def _noted(
    target: StoryTarget, statement: Statement, paper: Paper, _on: Paper
) -> JudgedFor[Paper, int]:
    """A given value read back, or a value that no question asks for, kept for what follows."""
    measure = evaluate(statement.sides[-1], lookup(paper, statement, len(paper.asks)))
    if statement.turned and (target.given is None or not measure.value):
        return JudgedFor(paper, None)
    measure = turned_over(measure) if statement.turned else measure
    if target.given is None:
        measure = _of_its_kind(paper, target.new, measure)
        noted = {**paper.noted, target.new: measure}
        if not holds(statement):
            differs = Judgement(NO_QUESTION, "wrong", "arithmetic", given=True, told=DIFFERS)
            return JudgedFor(paper._replace(noted=noted), differs)
        name = target.new.removeprefix(PREFIX)
        text = f"{name} is no value that is asked for here, so it has no mark of its own."
        return JudgedFor(paper._replace(noted=noted), None, text)
    link = target.given
    if judged_given(paper, link, measure):
        told = f"{link.name}, as given." if is_in_text(paper, link) else FOLLOWS_UNASKED
        if (answered := _sum_shown(paper, statement)) is not None:
            after, ask = paper._replace(said=paper.said | {answered}), paper.asks[answered]
            if is_way_after(paper.story, answered):
                way = Judgement(answered + 1, "right", method=True, relation=True)
                return JudgedFor(after, way)
            told = of_choice(next(each for each in ask.options if each.is_right), ask)
            return JudgedFor(after, Judgement(answered, "right", method=True, told=told))
        return JudgedFor(paper, Judgement(NO_QUESTION, "right", method=True, given=True, told=told))
    if link.name == RATING:  # of another capacitor, perhaps
        return JudgedFor(paper, None)
    if names_in(*statement.sides) and _is_formula(statement):
        untrue = Judgement(NO_QUESTION, "wrong", given=True, told=UNTRUE)
        return JudgedFor(paper, untrue)  # a formula is no misreading of what is given
    value, dimension = link.value
    power = paper.story.powers[dimension] if dimension else 0
    misread = {**paper.misread, link.name: as_si(measure, dimension or PURE, power)}
    shown = paper.speech.amount(value, dimension) if dimension else as_number(near(value))
    if is_led_to(paper, link, misread[link.name]):
        told = AFTERWARDS.format(shown)
        led = Judgement(NO_QUESTION, "carried", value=misread[link.name], given=True, told=told)
        return JudgedFor(paper._replace(misread=misread), led)
    told = given_misread(link.name, shown)
    wrong = Judgement(NO_QUESTION, "wrong", "arithmetic", given=True, told=told)
    wrong = wrong._replace(value=misread[link.name])
    return JudgedFor(paper._replace(misread=misread), wrong)


def _of_its_kind(paper: Paper, name: str, measure: Measure) -> Measure:
    """A number without a unit as of the kind that its name is for: Ct = 78 in microfarads."""
    kind = QUANTITY.get(name[:1])
    if kind is None or not measure.bare or in_letters(measure.value):
        return measure
    power = paper.story.powers[kind]
    is_in_si = power < 0 and 0 < abs(measure.value) < SMALL
    value = measure.value if is_in_si else measure.value * Fraction(10) ** power
    return Measure(value, DIMS[kind], power)


def _sum_shown(paper: Paper, statement: Statement) -> int | None:
    """The question of what adds up, where a true sum of names that comes to what is given answers
    it: 1/C = 1/C1 + 1/C2.
    """
    if len(set(names_in(*statement.sides))) < 2 or not _is_formula(statement):
        return None
    asks = enumerate(paper.asks)
    return next((at for at, ask in asks if ask.key == WHAT_ADDS and at not in paper.said), None)


def _judged(
    target: StoryTarget, statement: Statement, paper: Paper, on: Paper
) -> JudgedFor[Paper, int]:
    """Judge by its size what is given a minus because it counts against a chosen + side."""
    assert target.at is not None
    if target.used:
        return JudgedFor(paper, Judgement(target.at, "right", method=True))
    if (again := _once_more(paper, target.at, statement)) is not None:
        return JudgedFor(paper, again)
    found = evaluate(statement.sides[-1], lookup(on, statement, target.at)).value
    is_negative = not in_letters(found) and found < 0
    is_sized = is_negative and not statement.turned and on.has_sign(target.at)
    if is_sized:
        statement = statement._replace(sides=tuple(Neg(side) for side in statement.sides))
    negative = paper.negative - {target.at} | ({target.at} if is_sized else set())
    aliases = {**paper.aliases, target.new: target.at} if target.new else paper.aliases
    each = _graded(on, target.at, statement)
    if each.verdict == "wrong" and target.guessed and on.is_cut:
        return JudgedFor(paper, None)
    each = as_found_without(paper, as_kept(paper, each))
    return JudgedFor(paper._replace(negative=negative, aliases=aliases), each)


def _once_more(paper: Paper, at: int, statement: Statement) -> Judgement[int] | None:
    """What is asked only once worked out again after a change, by wrong values of the learner's
    own that came since: there is no mark for it, and it takes none away.
    """
    since = [place for place in paper.stated if place > at]
    if at not in paper.stated or at in paper.wrong or not paper.wrong & {*since}:
        return None
    found = evaluate(statement.sides[-1], lookup(paper, statement, at))
    for path in paper.paths[at]:
        latest = {
            key: next(
                (
                    paper.stated[p]
                    for p in reversed(since)
                    if paper.asks[p].dimension == link.value[1]
                ),
                link.value[0],
            )
            for key, link in path.links.items()
        }
        value = follow(path, latest)
        ask = paper.asks[at]
        if value is None or in_letters(value) or close(value, paper.right(at)):
            continue
        if judge(found, ask.dimension or PURE, paper.power(at), value).verdict == "right":
            name = paper.speech.letters(ask.name)
            told = f"{name} follows from your own values; no mark is for it a second time."
            return Judgement(NO_QUESTION, "carried", method=True, given=True, told=told)
    return None


def _graded(paper: Paper, at: int, statement: Statement) -> Judgement[int]:
    known = lookup(paper, statement, at)
    statement = without_ratio(paper, at, statement, known)
    if not statement.sides:
        return Judgement(at, "carried" if paper.wrong else "right", method=True)
    subject = subject_at(paper, at)
    each = grade(subject, statement, known, bool(paper.wrong))
    if each.verdict == "wrong" and names_in(*statement.sides) and _is_formula(statement):
        ways = otherwise(paper, statement)
        tried = (grade(subject, statement, way, bool(paper.wrong)) for way in ways)
        each = next((other for other in tried if other.verdict == "right"), each)
    if paper.asks[at].dimension is None and each.unit == "missing":
        each = each._replace(unit="")
    if each.verdict == "carried":
        side = fit(subject.gauge, statement.sides[-1], known, statement.turned)
        is_same = each.value is not None and paper.stated.get(at) == each.value
        again = at in paper.wrong and (is_same or bool(subject.recognise(side)[0]))
        each = each._replace(carrying=_carrying(paper, each, again))
    return each


def _is_led_to(paper: Paper, at: int, off: AbstractSet[int]) -> bool:
    """Whether a charge or a p.d. that was left out, and only leads to what is asked, comes of a
    wrong value that was stated.
    """
    is_on_way = paper.has_goal and paper.asks[at].dimension in ("charge", "voltage")
    if at in paper.stated or not is_on_way:
        return False
    before = {link.at for path in paper.paths[at] for link in path.links.values()}
    return bool(before & off & paper.stated.keys())


def _carrying(paper: Paper, each: Judgement[int], again: bool) -> frozenset[int]:
    """What passes a wrong value on, as it is or without being stated itself, and the choices of a
    way, which show in any value but that of the same wrong rule once more (``again``).
    """
    off = paper.off()
    passed = {
        at
        for at in off
        if paper.asks[at].key == PASSED_ON
        or (each.value is not None and close(paper.own[at], each.value))
        or _is_led_to(paper, at, off)
    }
    if again:
        return frozenset(passed)
    of_way = {at for at, ask in enumerate(paper.asks) if ask.options and ask.about in OF_WAY}
    return frozenset(passed | {at for at in of_way if not _is_denied(paper, at)})


def _is_denied(paper: Paper, at: int) -> bool:
    """Whether a wrong value after a choice of what is held says that something else is: the p.d.
    is what it was before.
    """
    after = [p for p in paper.stated if p > at and p in paper.wrong and p in paper.own]
    return paper.asks[at].key == "held" and any(
        close(paper.stated[p], before) for p in after for before in values_before(paper, p)
    )
