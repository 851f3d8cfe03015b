"""Values said in a problem in stages: each judged, a wrong one traced to where it may come from."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import partial
from typing import Final, Literal

from grammar.answers import Claim, Measure, evaluate
from grammar.expressions import Num
from grammar.measures import DIMS, spoken
from grammar.quantity import SYMBOL
from grammar.records import Refusal
from grammar.refusals import ANY_VALUE
from grammar.spoken_numbers import in_figures
from tutor.circuit.values import in_letters
from tutor.teaching.conversation import TurnOf
from tutor.teaching.hearing import (
    A_SIZE,
    A_VALUE,
    HOW_MUCH,
    WHOSE_IS_IT,
    nought_in_figures,
    said_to_no_value,
    tells_a_way,
)
from tutor.teaching.judging import Judged, close, has_other_sign, judge
from tutor.teaching.messages import Message
from tutor.teaching.misfit import NONE, does_not_fit, known_at, unfit
from tutor.teaching.reading.menu_choice import speaks_to_the_point
from tutor.teaching.reading.said_values import UNSOLVED, Unsettled, with_unit
from tutor.teaching.rules import rule_text
from tutor.teaching.rules.context import RuleContext
from tutor.teaching.speech import Speech, listed, sentence
from tutor.teaching.staged.answers_in_words import options_meant
from tutor.teaching.staged.choosing import is_lettered, named, offered
from tutor.teaching.staged.equations_said import (
    comes_to_in_usual_units,
    holds_as_equation,
    is_of_letters_alone,
    is_the_rule_alone,
    with_its_letter,
)
from tutor.teaching.staged.going_on import (
    Told,
    after_wrong,
    again,
    go_on,
    revealed,
    unanswered,
    verdict_on,
)
from tutor.teaching.staged.measuring import (
    AN_AMOUNT,
    JudgedValue,
    claims_in,
    from_before,
    is_equation,
    judged_as,
    later_answered,
    lookup_of,
    of_something_else,
    said_of,
    stated,
    value_before,
)
from tutor.teaching.staged.potentials_said import (
    own_letters,
    points_asked,
    says_what_it_rests_on,
)
from tutor.teaching.staged.story import Ask, Telling
from tutor.teaching.staged.story_pace import last_value
from tutor.teaching.staged.tracing import trace
from tutor.teaching.staged.values_beside import is_told

EQUATION = (
    "That is an equation with a value in it that is still to be found. Give the value here, or "
    "type 'working' to have equations marked."
)
TRUE_EQUATION = "That is true. What value comes out of it for what is asked?"
BALANCED = (
    "Yes, that is the condition at {0}. Write it out with the potentials: what does the plate of "
    "each capacitor at {0} hold?"
)
TRUE_AND_NEXT = "That is true, and it leads on; but it does not say what is asked first."
A_WHOLE_NUMBER = "That is the sum; but can there be a part of one? A whole number is wanted."
HALF_WAY = "That is a value on the way, of another kind. What comes out for what is asked?"
ONE_OVER = "That is one over it, right so far: turn it over."
UNTRUE_EQUATION = "That equation does not hold here. Which of its terms is not as it should be?"
SO_BEFORE = "That was so before the change, true. Now it is about what comes after it."
THE_RULE = "Yes, that is the way. And how much does it come to?"
BY_ITS_NAME = "Which quantity is that? Give its name with it, as in Q2 = 6 uC."
KNOWN_ELSEWHERE = "That is so, but it is another quantity that is asked for."
HOW_MUCH_ALONE = "And how much is that? A number without a unit is wanted."
WHICH_UNIT = "The figures fit. In which unit is that?"
NO_LATER_VALUE = "No value that is still to be found here comes to that."
VALUES_LATER = "Values come later; it is words that are asked for here."
KNOWN_BY_NOW = "That value is known by now. It is words that are asked for here."
NO_SUCH_VALUE = "No value of that name is asked in this problem."



# The name is that of a value that nothing here asks for; it is not the word for what is shared.
_A_NAMED_VALUE: Final = re.compile(
    r"\s*[CQVUEW]_?\d\w*'*\s*(?:=|≈|is\b)\s*[-−]?\d[\d.,]*(?:\s*[A-Za-zµμ]{1,3})?\s*\.?\s*"
)


def value_at_a_choice(telling: Telling, ask: Ask, line: str, place: int) -> Told | None:
    """What follows a value, or a relation between values, that is said where words are asked; None
    for a line that says none, or says it beside an answer on offer.
    """
    line = _with_a_later_unit(telling, line)
    try:
        claims = claims_in(telling, line)
    except Unsettled as unsettled:
        is_equation_said = (unsettled.found, unsettled.cure) == UNSOLVED
        return _not_yet(telling, ask, str(unsettled)) if is_equation_said else None
    except Refusal:
        if holds_as_equation(telling, line):  # in a letter of one's own
            return _not_yet(telling, ask, f"{TRUE_AND_NEXT} {offered(ask.options, False)}")
        if not _A_NAMED_VALUE.fullmatch(line):
            return None
        return _not_yet(telling, ask, f"{NO_SUCH_VALUE} {offered(ask.options, False)}")
    if any(claim.target and isinstance(claim.sides[-1], Num) for claim in claims):
        if _answers_first(ask, line):
            return None
        return answer_in_values(telling, ask, line, place)
    meant = options_meant(telling, ask, line)
    if meant and not _is_an_amount(line):
        return None
    if holds_as_equation(telling, line):
        return _not_yet(telling, ask, f"{TRUE_AND_NEXT} {offered(ask.options, False)}")
    measure = _amount_said(telling, claims)
    later = _later_right(telling, measure)
    if later is not None:
        return answer_in_values(telling, ask, line, later)
    is_amount = len(claims) == 1 and isinstance(claims[0].sides[-1], Num)
    if not is_amount or meant or is_lettered(ask):
        return None
    said = measure and (_where_it_leads(telling, ask, measure) or (
        KNOWN_BY_NOW if is_told(telling, ask, measure) else None
    ))
    if said is None and measure is not None and _is_a_value_besides(telling, measure):
        return _not_yet(telling, ask, BY_ITS_NAME)
    return _not_yet(telling, ask, f"{said or NO_LATER_VALUE} {offered(ask.options, False)}")


def _answers_first(ask: Ask, line: str) -> bool:
    """Whether the words before the first named value of a line are the right answer on offer."""
    value = re.search(r"\b[A-Z]_?\d*'*\s*=", line)
    before = line[: value.start()] if value else ""
    found = named(ask, before) if re.search(r"[a-z]{2}", before) else []
    return len(found) == 1 and found[0].is_right and not is_lettered(ask)


def _amount_said(telling: Telling, claims: Sequence[Claim]) -> Measure | None:
    """What a line comes to at its end."""
    try:
        return evaluate(claims[-1].sides[-1], lookup_of(telling))
    except Refusal:
        return None


def _where_it_leads(telling: Telling, ask: Ask, measure: Measure) -> str | None:
    """What is said to an amount, where one of the answers on offer would lead to it."""
    for option in ask.options:
        value, dimension = option.leads_to or (None, None)
        if value is None or dimension is None:
            continue
        if judge(measure, dimension, telling.story.powers[dimension], value).verdict == "right":
            return f"That is where '{option.words[0]}' would lead."
    return None


def _with_a_later_unit(telling: Telling, line: str) -> str:
    """60 micro as 60 uC where a charge of that size is asked later: a prefix alone says no unit."""
    for ask in telling.story.asks[telling.at:]:
        symbol = SYMBOL.get(ask.dimension) if ask.dimension else None
        if symbol is None or ask.pure or (said := with_unit(line, symbol)) == line:
            continue
        try:
            measure = _amount_said(telling, claims_in(telling, said))
            if _later_right(telling, measure) is not None:
                return said
        except Refusal:
            continue
    return line


_AROUND = frozenset(("it", "is", "s", "its", "the", "that", "be", "i", "think", "get", "answer"))


def _is_an_amount(line: str) -> bool:
    """Whether a line is one amount and next to no words."""
    rest, found = AN_AMOUNT.subn(" ", in_figures(line))
    return found == 1 and {*re.findall(r"\w+", rest.lower())} <= _AROUND


def _not_yet(telling: Telling, ask: Ask, text: str) -> Told:
    return again(telling, [verdict_on(ask, telling.at, text, "incomplete")])


def _later_right(telling: Telling, measure: Measure | None) -> int | None:
    """The place of the first later question to which an amount is the right value."""
    return next((
        at for at in range(telling.at, len(telling.story.asks))
        if measure is not None and not telling.is_known(at)
        and judged_as(telling, at, measure).verdict == "right"
    ), None)


def _no_value(telling: Telling, ask: Ask, line: str) -> Told | None:
    """What is said to a line that cannot be a value; None for any other."""
    text = said_to_no_value(line, ask.right == 0)
    text = _how_much(ask) if text == HOW_MUCH else text
    if text == A_VALUE:
        return again(telling, [verdict_on(ask, telling.at, text, "unread")])
    return None if text is None else _not_yet(telling, ask, text)


def _how_much(ask: Ask) -> str:
    """What is asked after the way to a value, with its unit or, where it has none, without."""
    return HOW_MUCH_ALONE if ask.pure else HOW_MUCH


def answer_in_values(telling: Telling, ask: Ask, line: str, place: int) -> Told:
    """The values of a line, one after the other; the first that is not right ends it. A value
    without a name is that of the question at ``place``.
    """
    line = with_its_letter(ask, _with_its_number(telling, from_before(telling, line)))
    if ask.key == "potential" and says_what_it_rests_on(telling, line):
        return _not_yet(telling, ask, BALANCED.format(ask.told["point"]))
    if (said_instead := _no_value(telling, ask, line)) is not None:
        return said_instead
    holds = holds_as_equation(telling, _the_one_with_figures(line))
    if holds is not None:
        call = own_letters(telling, line) and f" Call these {listed(points_asked(telling))}."
        return _not_yet(telling, ask, TRUE_EQUATION if holds else f"{UNTRUE_EQUATION}{call or ''}")
    symbol = SYMBOL.get(ask.dimension) if ask.dimension else None
    try:
        line = nought_in_figures(line)
        line = with_unit(line, symbol) if symbol and not ask.pure else line
        claims = _without_the_rule(telling, _values_of(claims_in(telling, line)))
        claims = _without_steps(telling, claims)
    except Refusal as refusal:
        return _not_read(telling, ask, line, refusal)
    turn = _in_turn(telling, [partial(_one_claim, ask, line, place, each) for each in claims])
    is_wrong = any(m.verdict == "wrong" for m in turn.messages)
    beside = of_something_else(ask.name, line) if is_wrong else None
    return turn if beside is None else _not_yet(telling, ask, beside)


def _the_one_with_figures(line: str) -> str:
    """The one clause of a line that has figures, an equation without what is said of it."""
    clauses = [each for each in re.split(r"[,;:](?!\d)", line) if re.search(r"\d", each)]
    return clauses[0] if len(clauses) == 1 else line


_UNIT_ALONE = re.compile(
    r"(?i)\W*(?:in|it\s+is\s+in|the\s+unit\s+is)?\s*"
    r"((?:[munkµ]|kilo|milli|micro|mega)?(?:v(?:olts?)?(?:\s*(?:/|per)\s*(?:[munkcµ]|milli|centi)?"
    r"m(?:et(?:re|er)s?)?)?|n(?:ewtons?)?(?:\s*(?:/|per)\s*c(?:oulomb)?)?))\W*"
)


def _with_its_number(telling: Telling, line: str) -> str:
    """kV/m as 300 kV/m, where 300 was said and it was asked in which unit that is."""
    found = _UNIT_ALONE.fullmatch(line)
    number = telling.last_wrong if isinstance(telling.last_wrong, str) else ""
    is_asked = found is not None and re.fullmatch(r"[-\d.e]+", number)
    return f"{number} {found[1]}" if is_asked and found is not None else line


def values_found(telling: Telling, values: Sequence[JudgedValue]) -> Told:
    """Values that were told by what they are said of."""
    return _in_turn(telling, [partial(_one_value, each, True) for each in values])


def _in_turn(telling: Telling, each: Sequence[Callable[[Telling], Told]]) -> Told:
    """Values judged one after the other; the first that is not right ends them."""
    said: list[Message] = []
    for judged in each:
        turn = judged(telling)
        said += turn.messages
        telling = turn.task
        if said[-1].kind != "reveal" and said[-1].verdict != "right":
            return turn._replace(messages=tuple(said))
        while telling.at in telling.found:
            telling = unanswered(telling._replace(at=telling.at + 1))
        if telling.ask is None:
            break
    return go_on(telling, said)


def _one_claim(ask: Ask, line: str, place: int, claim: Claim, telling: Telling) -> Told:
    """What a line states of one value judged, without a name that of the question at ``place``."""
    by_name = bool(claim.target or claim.reciprocal)
    try:
        if by_name and telling.story.besides and (turn := _beside(telling, claim)) is not None:
            return turn
        found = stated(telling, claim, max(place, telling.at))
    except Refusal as refusal:
        return _not_read(telling, ask, line, refusal)
    is_right = found.judged.verdict == "right"
    if (is_right and is_the_rule_alone(telling, claim)) or (
        found.judged.note == "unit" and comes_to_in_usual_units(telling, ask, claim)
    ):
        return _not_yet(telling, ask, THE_RULE)
    if found.judged.verdict == "wrong" and not by_name and is_of_letters_alone(telling, claim):
        return _not_yet(telling, ask, _how_much(ask))  # Q times V: of which charge it is not said
    if not is_right and not by_name and telling.ask is not ask and is_told(
        telling, ask, found.measure
    ):
        return TurnOf(telling, ())
    if _has_the_other_sign(telling, found):
        return _not_yet(telling, telling.ask or ask, A_SIZE)
    if by_name and _was_so_before(telling, line, found):
        return _not_yet(telling, telling.ask or ask, SO_BEFORE)
    is_sum = found.judged.verdict == "wrong" and _is_worked_out(claim)
    if is_sum and not by_name and not _is_a_slip(telling, found):
        found = later_answered(telling, found, is_sum=True)
    return _one_value(found, by_name, telling, is_first=telling.ask is ask)


def _beside(telling: Telling, claim: Claim) -> Told | None:
    from tutor.teaching.staged.own_way import own_value  # late: few stories have such values

    return own_value(telling, claim)


def _has_the_other_sign(telling: Telling, found: JudgedValue) -> bool:
    """Whether a size that is asked now is said with a sign; a potential has one of its own."""
    asked = telling.ask
    if asked is None or found.at != telling.at or re.match("[VU]_", asked.name):
        return False
    return has_other_sign(found.judged, asked.right, asked.dimension)


def _was_so_before(telling: Telling, line: str, found: JudgedValue) -> bool:
    """Whether a value, of which nothing is asked yet, is that of its name before the change."""
    if found.judged.verdict != "wrong" or found.at is None or found.at == telling.at or "'" in line:
        return False
    before = value_before(telling, telling.story.asks[found.at])
    said = found.judged.value
    return before is not None and isinstance(said, Fraction) and close(said, before)


def _not_read(telling: Telling, ask: Ask, line: str, refusal: Refusal) -> Told:
    """What is said where a value is not settled or cannot be read."""
    if isinstance(refusal, Unsettled):
        return _not_yet(telling, ask, str(refusal))
    if tells_a_way(line) or (not re.search(r"[\d=]", line) and speaks_to_the_point(line)):
        return _not_yet(telling, ask, _how_much(ask))
    if is_equation(telling, line):
        return _not_yet(telling, telling.ask or ask, EQUATION)
    text = _in_its_unit(telling, ask, refusal)
    return again(telling, [verdict_on(telling.ask or ask, telling.at, text, "unread")])


def _in_its_unit(telling: Telling, ask: Ask, refusal: Refusal) -> str:
    """Why a line was not read, with an example in the unit that is wanted."""
    if refusal.cure != ANY_VALUE or ask.dimension is None:
        return str(refusal)
    unit = Speech(telling.story.powers, telling.terms).unit(ask.dimension)
    return f"{refusal.found} Write a value such as 5 {unit}."


def _is_worked_out(claim: Claim) -> bool:
    """Whether a sum leads to the value that is said."""
    return not isinstance(claim.sides[0], Num)


def _without_the_rule(telling: Telling, claims: tuple[Claim, ...]) -> tuple[Claim, ...]:
    """Without the rule in letters beside the value that comes of it: 3 J, half of QV."""
    rest = tuple(each for each in claims if not is_the_rule_alone(telling, each))
    return rest or claims


def _without_steps(telling: Telling, claims: tuple[Claim, ...]) -> tuple[Claim, ...]:
    """Without the values of no name that stand in the working of one that is named behind them:
    180 uC more, so W = 2160.
    """
    last = claims[-1]
    if len(claims) < 2 or not last.target:
        return claims
    at = stated(telling, last, telling.at).at
    if at is None or at == telling.at:
        return claims
    return tuple(
        each for each in claims if each.target or each.reciprocal or (
            (measure := _amount_said(telling, (each,))) is None
            or telling.ask is None or judged_as(telling, telling.at, measure).verdict == "right"
            or not is_told(telling, telling.story.asks[at], measure)
        )
    )


def _values_of(claims: tuple[Claim, ...]) -> tuple[Claim, ...]:
    """Without V² = 9, or an equation, where V = 3 follows from it."""
    rest = tuple(
        each for each in claims
        if len(each.sides) == 1 or (each.target and isinstance(each.sides[-1], Num))
    )
    return rest if any(each.target for each in rest) else claims


def _one_value(
    found: JudgedValue, by_name: bool, telling: Telling, is_first: bool = True
) -> Told:
    """One value judged. Right ones are said and shown, and the next question is left to ask. Only
    the first of a line may be meant for any later question: what follows it goes on from there.
    """
    ask = telling.ask
    assert ask is not None
    is_of_any = not by_name and (found.judged.bare or is_first)
    if found.judged.note == "unit" and not by_name:
        found = later_answered(telling, found)
    elif found.judged.verdict == "wrong" and is_of_any:
        found = _as_the_end(telling, found)
    at, judged = found.at, found.judged
    if at is None or telling.story.asks[at].right is None:
        text = offered(ask.options, is_lettered(ask)) if ask.options else NO_SUCH_VALUE
        return again(telling, [verdict_on(ask, telling.at, text, "unread")])
    about = telling.story.asks[at]
    if found.turned:
        text = "That is one over it, right so far perhaps: turn it over."
        return again(telling, [verdict_on(about, at, text, "incomplete")])
    if judged.verdict == "right" and telling.is_known(at):
        text = f"{about.called or 'That'} is known already, yes."
        return TurnOf(telling, (verdict_on(about, at, text, "right"),))
    if judged.verdict == "right":
        return _take_right(telling, about, at, judged)
    if judged.verdict == "incomplete":
        text = "That is right to one figure. Give two or three."
        return again(telling, [verdict_on(about, at, text, "incomplete")])
    if (asked_back := _nearly(about, judged)) is not None:
        return again(telling, [verdict_on(about, at, asked_back, "incomplete")])
    if judged.note in ("unit", "power of ten"):
        text, word = _slip_of_unit(telling, about, found)
        if text == WHICH_UNIT:
            telling = telling._replace(last_wrong=f"{float(found.measure.value):.12g}")
        return again(telling, [verdict_on(about, at, text, word)])
    counts = about.pure and judged.bare  # how many: a bare number is of no other quantity
    if is_of_any and not counts and _is_of_a_later_one(telling, found):
        asked_back = WHOSE_IS_IT if judged.bare else BY_ITS_NAME
        return again(telling, [verdict_on(about, at, asked_back, "incomplete")])
    said = said_of(judged, about, _speech(telling))
    if at != telling.at and about.name:
        said = f"{about.called} = {said}"
    return _traced(telling, found, said)


def _slip_of_unit(
    telling: Telling, ask: Ask, found: JudgedValue
) -> tuple[str, Literal["incomplete", "wrong"]]:
    """What is said to a value of another kind, or of another power of ten."""
    judged = found.judged
    if judged.note == "unit" and is_told(telling, ask, found.measure):
        return KNOWN_ELSEWHERE, "incomplete"
    if judged.note == "unit" and _is_a_value_besides(telling, found.measure):
        return BY_ITS_NAME, "incomplete"
    if judged.note == "unit" and _is_half_way(telling, ask, found.measure):
        return HALF_WAY, "incomplete"
    if judged.note == "unit":
        return _other_kind(telling, ask, found.measure), "wrong"
    if judged.bare and ask.dimension in ("field", "force"):
        return WHICH_UNIT, "incomplete"
    said = said_of(judged, ask, _speech(telling))
    return f"The figures of {said} fit; the power of ten does not.", "wrong"


def _other_kind(telling: Telling, ask: Ask, measure: Measure) -> str:
    """What kind of quantity was said, and which is asked for, in its usual unit."""
    said = f"That is {spoken(measure.dims)}; " if measure.dims in DIMS.values() else ""
    if ask.dimension is None or ask.pure:
        return sentence(f"{said}a number without a unit is asked for.")
    speech = _speech(telling)
    unit, wanted = speech.unit(ask.dimension), spoken(DIMS[ask.dimension])
    return rule_text.in_terms(sentence(f"{said}{wanted} is asked for, in {unit}."), speech)


def _as_the_end(telling: Telling, found: JudgedValue) -> JudgedValue:
    """A value without a name as what the text asks for in the end, where it is right for that."""
    end = last_value(telling.story.asks)
    judged = judged_as(telling, end, found.measure)
    is_it = judged.verdict == "right" and not telling.is_known(end) and not _is_a_slip(
        telling, found
    )
    return JudgedValue(end, judged, found.measure) if is_it else found


def _is_of_a_later_one(telling: Telling, found: JudgedValue) -> bool:
    """Whether a value that no wrong idea gives here is right for what is asked later, or for what
    another way leads by.
    """
    is_open = found.judged.verdict == "wrong" and not _is_a_slip(telling, found)
    return is_open and (_is_a_value_besides(telling, found.measure) or any(
        judged_as(telling, at, found.measure).verdict == "right"
        for at in range(telling.at + 1, len(telling.story.asks)) if not telling.is_known(at)
    ))


def _is_a_value_besides(telling: Telling, measure: Measure) -> bool:
    """Whether an amount is that of a value that another way to the end may lead by."""
    powers = telling.story.powers
    return any(
        judge(measure, each.dimension, powers[each.dimension], worth).verdict == "right"
        for each, worth in telling.story.besides.items()
    )


def _is_a_slip(telling: Telling, found: JudgedValue) -> bool:
    """Whether a wrong idea gives this number for the question it was said to."""
    if found.at is None or found.judged.note == "unit":
        return False
    return bool(trace(telling, found.at, found.judged, found.measure).found.groups)


def _nearly(ask: Ask, judged: Judged) -> str | None:
    """What is asked back where a value is one step from the right one."""
    value, right = judged.value, ask.right
    if not isinstance(value, Fraction) or not isinstance(right, Fraction) or value == 0:
        return None
    if ask.pure and value.denominator > 1 and right.denominator == 1 and (
        right - 1 < value < right
    ):
        return A_WHOLE_NUMBER
    is_over = ask.dimension == "capacitance" and judged.bare
    return ONE_OVER if is_over and is_one_over(value, right) else None


def _is_half_way(telling: Telling, ask: Ask, measure: Measure) -> bool:
    """Whether a value of another kind leads to the right one by one known value."""
    if in_letters(measure.value) or in_letters(ask.right or Fraction(0)) or measure.value == 0:
        return False
    return any(
        close(worth, ask.right) for each in lookup_of(telling).values()
        if ask.right is not None and not in_letters(each.value) and each.value != 0
        for worth in (measure.value / each.value, measure.value * each.value)
    )


def is_one_over(value: Fraction, right: Fraction) -> bool:
    """Whether both multiply to one, each counted in the same unit of any prefix."""
    product = value * right
    return any(close(product, Fraction(10) ** power) for power in (0, -6, -12, -18, -24))


def _take_right(telling: Telling, ask: Ask, at: int, judged: Judged) -> Told:
    own = telling.own
    if judged.value is not None and judged.value != ask.right and ask.name:
        own = {**own, ask.name: judged.value}
    rightly = {**telling.rightly, ask.key: telling.rightly.get(ask.key, 0) + 1}
    no_unit = judged.bare and ask.dimension is not None and ask.right != 0
    known = telling._replace(own=own, found=telling.found | {at}, rightly=rightly,
                             reminded=telling.reminded or no_unit)
    is_asked = at == telling.asked_at
    lead = "Right." if is_asked else f"{ask.called or 'That'} is right, ahead of its question."
    unit = "Write the unit with it." if no_unit and not telling.reminded else ""
    text = " ".join(filter(None, (lead, ask.because, unit)))
    return TurnOf(known, (verdict_on(ask, at, text, "right"), revealed(telling, ask, at)))


def _speech(telling: Telling) -> Speech:
    return Speech(telling.story.powers, telling.terms)


def _traced(telling: Telling, wrong: JudgedValue, said: str) -> Told:
    """Where a wrong value may come from, as a question. One out of its turn spends no try."""
    at, judged = wrong.at, wrong.judged
    assert at is not None, "asked of a value of a question"
    ask, speech = telling.story.asks[at], _speech(telling)
    traced = trace(telling, at, judged, wrong.measure, wrong.side)
    found, asked, names = traced.found, telling, traced.found.names
    text = _unfit(telling, at, judged, found.context, said) or f"{said} does not fit."
    if traced.is_cut:
        text, names = rule_text.cut_off(said), (rule_text.CUT_OFF,)
    elif not found.groups or found.context is None:
        if ask.hints and at == telling.at and text.endswith("does not fit."):
            text += f" {ask.hints[0]}"
    elif traced.at != at:
        text, asked = rule_text.step_before(said), _asking_back(telling, traced.at)
    elif len(found.groups) == 1 and not traced.is_asked:
        text = rule_text.origin(said, found.groups[0][0], found.context, speech, found.is_written)
        question = rule_text.question(found.groups[0][0], found.context, speech)
        name = found.groups[0][0].name
        asked = telling._replace(asked_back=question, back_to=at, follow_up=name)
    else:
        if traced.is_asked:  # nothing is held against the learner before they say so
            names = ()
        else:
            text = rule_text.several_ways(said)
        asked = telling._replace(
            routes=rule_text.routes(found), asked_back=rule_text.menu(found, said, speech),
            back_to=at,
        )
    message = verdict_on(ask, at, text, "wrong")._replace(malrules=names)
    if at != telling.at:
        return again(asked, [message])
    return after_wrong(asked, ask, [message], judged.value)


def _unfit(
    telling: Telling, at: int, judged: Judged, context: RuleContext | None, said: str
) -> str | None:
    """The consequence that cannot be, where a simple check finds one that says no value which is
    still to be found: out of its turn a value may rest on such.
    """
    asks, speech = telling.story.asks, _speech(telling)
    ask = asks[at]
    to_come = any(asks[n].right is not None and not telling.is_known(n) for n in range(at))
    known = known_at(context, speech) if context is not None and not to_come else None
    found = unfit(known, judged.value) if known and judged.value is not None else NONE
    if found.kind == "none" or ask.dimension is None:
        return None
    return does_not_fit(found, said, ask.dimension, speech)


def _asking_back(telling: Telling, place: int) -> Telling:
    """The question at a step that was skipped, where it is not the one in hand anyway."""
    if place == telling.at:
        return telling
    return telling._replace(asked_back=telling.story.asks[place].text, back_to=place)
