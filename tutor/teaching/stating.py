"""Answers that state values, one or several in a line: judge each, take it in, go on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from grammar.answers import Claim, evaluate
from grammar.expressions import Name, Num, Op, names_in
from grammar.records import Dimension, Refusal
from tutor.circuit.steps import Choice, Fault, carry_out, examine
from tutor.circuit.values import in_letters
from tutor.teaching.answering import (
    fault_malrules,
    most_tries,
    shown_after,
    step_by_step,
)
from tutor.teaching.claims import (
    WHOLE_NAMES,
    Stated,
    group_of,
    group_of_a_sum,
    is_right,
    letters_alone,
    state,
)
from tutor.teaching.hearing import A_SIZE
from tutor.teaching.judging import has_other_sign
from tutor.teaching.manner import is_to_be_shown
from tutor.teaching.messages import Message
from tutor.teaching.misfit import NONE
from tutor.teaching.quantities import SYMBOL, Quantity
from tutor.teaching.reading.said_values import WHICH
from tutor.teaching.replies import Replies
from tutor.teaching.rules.context import context_on
from tutor.teaching.rules.rule_text import in_terms
from tutor.teaching.rules.separation import hides_malrules, separation
from tutor.teaching.turn import (
    Turn,
    ask_again,
    complete,
    go_on,
    proceed,
    replies_of,
    settle,
    settle_sharing,
    speech_of,
    take,
    verdict,
)
from tutor.teaching.walk import (
    Question,
    Walk,
    asked_quantities,
    at_the_end,
    question_about,
    used_names,
)
from tutor.teaching.wording import Wording
from tutor.teaching.wrong_values import respond

RULE = "Yes, that is the way. And how much does it come to?"


def claims(walk: Walk, question: Question, heard: Any) -> Turn:
    """Stated values, one after the other; the first that is not right ends the line."""
    said: list[Message] = []
    start = walk
    told = _turned_at_last(_in_turn(walk, question, heard.claims))
    for at, claim in enumerate(told):
        if at:
            walk, revealed = settle(walk)
            said += revealed
            walk, question = go_on(walk, question)
            if _says_again(told[at - 1], claim) and not is_right(walk, question, claim):
                continue  # 12, two thirds of the 18
        comes_to = at + 1 < len(told) or any(each.verdict == "right" for each in said)
        if comes_to and _is_the_rule(walk, question, claim, heard.in_words):
            continue  # what it comes to is said beside it
        if (relation := _true_relation(walk, question, claim)) is not None:
            if comes_to:
                continue
            return _after_wrong(walk, start, question, [*said, relation])
        try:
            walk, messages, goes_on = _one_claim(walk, question, claim, heard.in_words)
        except Refusal as refusal:
            if question.quantity and _is_so(walk, question.quantity, claim):
                so_far = verdict(f"That is so. {refusal}", question.about, "incomplete")
                return _after_wrong(walk, start, question, [*said, so_far])
            unread = verdict(in_terms(str(refusal), speech_of(walk)), question.about, "unread")
            return _after_wrong(walk, start, question, [*said, unread])
        nameless = not (claim.target or claim.reciprocal)
        if heard.in_words and nameless and messages[-1].verdict == "wrong" and (
            asked_back := _doubted(start, walk, question, told, at)
        ):
            return ask_again(walk if at else start, [*said, asked_back])
        if messages[-1].verdict == "incomplete" and any(
            is_right(start, question, each) for each in told[at + 1 :]
        ):
            continue  # 1/C1 + 1/C2, which makes 4: what comes of it is said
        said += messages
        if not goes_on:
            return _after_wrong(walk, start, question, said)
    return proceed(walk, said, start)


def _doubted(
    start: Walk, walk: Walk, question: Question, told: Sequence[Claim], at: int
) -> Message | None:
    """A question back, where one of several values without names does not fit and it is open
    whether it was meant as an answer: 4.5, then 3.6.
    """
    if at:
        what = question.quantity and Wording(speech_of(walk)).quantity(question.quantity)
        text = f"How much is {what or 'what is asked next'}? Say it on its own."
        return verdict(text, question.about, "incomplete")
    others = [each for each in told[1:] if not (each.target or each.reciprocal)]
    if any(is_right(start, question, each) for each in others):
        return verdict(" ".join(WHICH), question.about, "incomplete")
    return None


def _turned_at_last(told: Sequence[Claim]) -> list[Claim]:
    """Without 1/C = 0.25 where C = 4 follows: what is turned over in the end is the answer."""
    targets = {claim.target for claim in told if claim.target}
    return [claim for claim in told if claim.reciprocal not in targets]


def _after_wrong(walk: Walk, start: Walk, question: Question, said: list[Message]) -> Turn:
    has_followed_up = walk.aside is not None and walk.aside.kind != "line"
    if at_the_end(walk) and not has_followed_up and walk.tries > start.tries:
        return step_by_step(walk, start, said)
    is_put = walk.aside is not None and bool(said[-1].malrules) and walk.tries > start.tries
    most = most_tries(walk, question)
    if said[-1].verdict == "wrong" and is_to_be_shown(walk.tries, most, is_put):
        return shown_after(walk, start, question, said)
    if walk.known != start.known or walk.pending != start.pending:
        return proceed(walk, said, start)
    return ask_again(walk, said)


def _one_claim(
    walk: Walk, question: Question, claim: Claim, in_words: bool
) -> tuple[Walk, list[Message], bool]:
    """Judge one claim: the walk after it, what is said, and whether the line goes on."""
    asked = question
    if walk.pending is None:
        group = _new_group(walk, claim)
        chosen = examine(walk.network, group) if group else None
        if group and isinstance(chosen, Fault):
            text = replies_of(walk).fault(chosen, group, walk.network)
            slip = "which capacitors can be combined"
            tried = walk._replace(tries=walk.tries + 1, slips=(*walk.slips, slip))
            message = verdict(text, "choice", "wrong", len(walk.steps) + 1)
            kind = "parallel" if _is_sum(claim) else "series" if claim.reciprocal else None
            malrules = fault_malrules(walk.network, chosen, kind)
            return tried, [message._replace(malrules=malrules)], False
        if isinstance(chosen, Choice):
            walk = take(walk, carry_out(walk.network, chosen, used_names(walk)))
    made = walk.pending.makes if walk.pending is not None else None
    may_be_its_value = _dimension(claim) in (None, "capacitance")
    if made is not None and question.quantity is None and may_be_its_value:
        asked = question_about(walk, Quantity("C", made.name))
    stated = state(walk, _default_target(walk, asked, claim), claim)
    is_right_so = stated is not None and stated.judged.verdict == "right"
    if _is_the_rule(walk, asked, claim, in_words, is_right_so):
        return walk, [verdict(RULE, asked.about, "incomplete")], False
    is_nameless = not (claim.target or claim.reciprocal)
    if is_nameless and (stated is None or stated.judged.note == "unit"):
        to_come = _of_another_kind(walk, question, claim)
        to_come = [each for each in to_come if not (in_words and each.quantity.of)]
        if to_come:
            of_one = to_come[0] if len(to_come) == 1 else None
            stated = of_one or _what_the_text_asks(walk, question, claim)
    if stated is None:
        return walk, [_of_which(walk, question, claim)], False
    if stated.judged.verdict == "wrong":
        stated = _meant_loosely(walk, asked, claim) or stated
    if stated.judged.verdict == "wrong" and not (claim.target or claim.reciprocal):
        stated = _what_the_text_asks(walk, question, claim) or stated
    if stated.judged.note == "unit" and _is_a_bare_name(walk, asked, claim):
        name = names_in(claim.sides[-1])[0]
        text = replies_of(walk).value_wrong(asked, stated.judged, NONE, name)
        return walk, [verdict(text, asked.about, "incomplete")], False
    is_beside = stated.judged.note == "unit" or (
        stated.judged.verdict == "wrong" and question.about in ("shares", "reason", "choice")
    )
    if is_beside and (told := _known_already(walk, asked, claim)) is not None:
        return walk, [verdict(told, asked.about, "incomplete")], False
    return _judged(walk, question, stated)


def _is_a_bare_name(walk: Walk, asked: Question, claim: Claim) -> bool:
    """Whether a name alone stands for a value, perhaps a letter for an entry of a list."""
    is_letters = asked.quantity is None or in_letters(walk.truth[asked.quantity])
    return isinstance(claim.sides[-1], Name) and not claim.target and not is_letters


def _is_the_rule(
    walk: Walk, asked: Question, claim: Claim, in_words: bool, is_right_so: bool = False
) -> bool:
    """Whether a claim is the rule for what is asked, now or in the end; one that is right as it
    stands, and names whose quantities it means, is an answer. C V without a word is a value where
    values are letters.
    """
    if isinstance(claim.sides[-1], Num | Name) or asked.quantity is None:
        return False
    from tutor.teaching.rule_said import says_the_rule, speaks_in_general  # late: seldom said

    return (not is_right_so or speaks_in_general(claim)) and any(
        each in walk.truth and each not in walk.known and says_the_rule(walk, each, claim)
        and (in_words or not in_letters(walk.truth[each]))
        for each in (asked.quantity, *asked_quantities(walk))
    )


def _is_so(walk: Walk, wanted: Quantity, claim: Claim) -> bool:
    from tutor.teaching.rule_said import is_so  # late: only for values that are not found yet

    return is_so(walk, wanted, claim)


def _says_again(before: Claim, claim: Claim) -> bool:
    """Whether a value without a name is the one before it, as it comes about."""
    is_worked_out = not isinstance(claim.sides[-1], Num)
    if claim.target or claim.reciprocal or not is_worked_out or (
        names_in(before.sides[-1], claim.sides[-1])
    ):
        return False
    first, then = (evaluate(each.sides[-1], {}) for each in (before, claim))
    return bool(first.value == then.value) and (then.bare or then.dims == first.dims)


def _true_relation(walk: Walk, question: Question, claim: Claim) -> Message | None:
    """What is asked after a true statement of how quantities go together."""
    asked = question.quantity
    said = claim.sides[1:] if claim.target else claim.sides
    if asked is None or not any(map(names_in, said)) or in_letters(walk.truth[asked]):
        return None
    from tutor.teaching.rule_said import is_a_true_relation  # late: seldom said

    if not is_a_true_relation(walk, claim):
        return None
    what = Wording(speech_of(walk)).quantity(asked)
    return verdict(f"That is so. And how much is {what}?", question.about, "incomplete")


def _in_turn(walk: Walk, question: Question, told: Sequence[Claim]) -> Sequence[Claim]:
    """The claims of a line, with what they take from one another."""
    if len(told) == 1 and isinstance(told[0].sides[-1], Num):
        return told
    from tutor.teaching.told_in_turn import each_of_a_sum, named_in_turn  # late: of several values

    return named_in_turn(walk, question, each_of_a_sum(walk, question, told))


def _of_which(walk: Walk, question: Question, claim: Claim) -> Message:
    """A question back, where it cannot be told of which capacitor a value is said."""
    dimension = _dimension(claim)
    if question.about == "shares" and dimension in ("voltage", "charge"):
        kind = "a charge" if dimension == "charge" else f"a {speech_of(walk).terms.difference}"
        text = f"That is {kind}, but whose? First: which of the two is the same on all of them?"
        return verdict(text, "shares", "incomplete")
    text = "Which capacitor is that for? Write its name too, like C23 = 5 uF or V1 = 4 V."
    return verdict(text, question.about, "unread")


def _meant_loosely(walk: Walk, asked: Question, claim: Claim) -> Stated | None:
    """C, Q or V without a number for the one that is asked: where that is right, or where the
    value of the whole is known already.
    """
    quantity, name = asked.quantity, claim.target or claim.reciprocal
    symbol = WHOLE_NAMES.get(name) if name else (quantity and quantity.symbol)
    if quantity is None or quantity.symbol != symbol or quantity.of is None:
        return None
    if not letters_alone(claim):
        return None
    stated = state(walk, asked, claim, quantity)
    is_known = bool(name) and Quantity(quantity.symbol) in walk.known
    return stated if stated and (is_known or stated.judged.verdict == "right") else None


def _what_the_text_asks(walk: Walk, question: Question, claim: Claim) -> Stated | None:
    """A value without a name that is right for what the text asks, given before it is due."""
    for wanted in asked_quantities(walk):
        by_its_unit = wanted.symbol == "E" and _dimension(claim) == "energy"
        is_worked_out = not isinstance(claim.sides[0], Num)
        if wanted in walk.known or (wanted.of is None and not (by_its_unit or is_worked_out)):
            continue
        stated = state(walk, question._replace(quantity=wanted), claim)
        if stated is not None and stated.judged.verdict == "right":
            return stated
    return None


def _of_another_kind(walk: Walk, question: Question, claim: Claim) -> list[Stated]:
    """What is still to be found for which a value is right that is of another kind than is asked,
    or where none is: of the whole, or else of one capacitor and those in it that have the same.
    """
    found: dict[str | None, Stated] = {}
    if isinstance(claim.sides[-1], Name) or _known_already(walk, question, claim):
        return []
    for quantity in walk.truth:
        if quantity.symbol in "CVQ" and quantity not in walk.known and quantity.point is None:
            stated = state(walk, question._replace(quantity=quantity), claim)
            is_measured = stated is not None and stated.power is not None
            if stated is not None and is_measured and stated.judged.verdict == "right":
                found[quantity.of] = stated
    if None in found:
        return [found[None]]
    within = {part.name for name in found if (step := walk.made_by(name)) for part in step.parts}
    return [stated for name, stated in found.items() if name not in within]


def _new_group(walk: Walk, claim: Claim) -> tuple[str, ...] | None:
    """The set that a claim combines, if it names a capacitor that is not made yet."""
    name = claim.target or claim.reciprocal
    existing = used_names(walk)
    if name is None and len(claim.sides) > 1:
        return group_of_a_sum(walk, claim)
    if name is None or name in existing or len(walk.network.capacitors) < 2:
        return None
    return group_of(walk, claim)


def _is_sum(claim: Claim) -> bool:
    return any(isinstance(side, Op) and side.sign == "+" for side in claim.sides)


def _default_target(walk: Walk, question: Question, claim: Claim) -> Question:
    """For a value without a name where no value is asked: the whole, or what the text asks."""
    if question.quantity is not None or claim.target or claim.reciprocal:
        return question
    dimension = _dimension(claim)
    asked = [q for q in walk.problem.asked if q.quantity == dimension]
    if len(asked) == 1:
        symbol = SYMBOL[asked[0].quantity]
        return question._replace(quantity=Quantity(symbol, asked[0].of))
    if dimension == "capacitance":
        return question._replace(quantity=Quantity("C"))
    return question


def _dimension(claim: Claim) -> Dimension | None:
    """What the unit at the end of a claim says it is; None without one."""
    side = claim.sides[-1]
    return side.unit.dimension if isinstance(side, Num) and side.unit is not None else None


def _judged(walk: Walk, question: Question, stated: Stated) -> tuple[Walk, list[Message], bool]:
    quantity, judged = stated.quantity, stated.judged
    about = question_about(walk, quantity)
    number = len(walk.steps) + 1
    if stated.turned and judged.verdict == "right":
        name = speech_of(walk).name(quantity)
        text = f"1/{name} is right so far. Turn it over to get {name}."
        return walk, [verdict(text, about.about, "incomplete", number)], False
    if judged.verdict == "incomplete":
        text = "That is right to one figure. Give two or three."
        message = verdict(text, about.about, "incomplete", number)
        return walk, [message._replace(malrules=("too-few-figures",))], False
    if judged.verdict == "right":
        return _take_right(walk, question, stated)
    if has_other_sign(judged, walk.truth[quantity], quantity.dimension):
        return walk, [verdict(A_SIZE, about.about, "incomplete", number)], False
    response = respond(walk, stated)
    if judged.bare and response.malrules[:1] == ("forgets-the-last-flip",):
        name = speech_of(walk).name(quantity)  # half-way: a number without a unit may be 1/C
        text = f"1/{name} is right so far. Turn it over to get {name}."
        message = verdict(text, about.about, "incomplete", number)
        return walk, [message._replace(malrules=response.malrules)], False
    message = verdict(response.text, about.about, "wrong", number)._replace(
        malrules=response.malrules, of=quantity
    )
    if quantity != question.quantity and not _is_pending_value(walk, quantity):
        if judged.note == "unit" and question.quantity is not None:
            text = replies_of(walk).other_unit(question.quantity, quantity, stated.said)
            message = message._replace(text=text)
        slips = (*walk.slips, Wording(speech_of(walk)).quantity(quantity))
        return walk._replace(aside=response.aside, slips=slips), [message], False
    counts = judged.note not in ("power of ten", "unit") and judged.value != walk.last_wrong
    slip = Wording(speech_of(walk)).quantity(quantity)
    tried = walk._replace(
        tries=walk.tries + counts,
        last_wrong=judged.value,
        slips=(*walk.slips, slip),
        aside=response.aside,
    )
    return tried, [message], False


def _known_already(walk: Walk, question: Question, claim: Claim) -> str | None:
    """What is said to what is known of the capacitor that is asked about, or of the whole, in the
    place of what is asked: it holds 600 nC, where its p.d. is asked. Where no value is asked, to
    what is known of any.
    """
    asked, dimension = question.quantity, _dimension(claim)
    if claim.target or dimension is None or dimension not in SYMBOL:
        return None
    of_all = Quantity(SYMBOL[dimension])
    near = [of_all] if asked is None else [Quantity(SYMBOL[dimension], asked.of), of_all]
    others = [each for each in walk.known if each.dimension == dimension] if asked is None else []
    known = next((
        each for each in (*near, *others) if each in walk.known and each != asked
        and is_right(walk, question._replace(quantity=each), claim)
    ), None)
    return f"That is {Wording(speech_of(walk)).quantity(known)}, true." if known else None


def _is_pending_value(walk: Walk, quantity: Quantity) -> bool:
    return walk.pending is not None and quantity == Quantity("C", walk.pending.made)


_OF_ENERGIES = (-6, -3)  # 9 uJ is said back so, and not as 9000 nJ


def _said_back_in(walk: Walk, stated: Stated) -> Replies:
    """The sentences about a right value, in the prefix that was typed where it is an energy."""
    speech = speech_of(walk)
    if stated.quantity.dimension == "energy" and stated.power in _OF_ENERGIES:
        speech = speech._replace(powers={**speech.powers, "energy": stated.power})
    return Replies(speech)


def _take_right(
    walk: Walk, question: Question, stated: Stated
) -> tuple[Walk, list[Message], bool]:
    quantity, judged = stated.quantity, stated.judged
    about = question_about(walk, quantity)
    text = _said_back_in(walk, stated).value_right(about, walk, judged)
    weak = _is_weak(walk, quantity)
    message = verdict(text, about.about, "right", len(walk.steps) + 1)._replace(
        weak=weak, of=quantity
    )
    known = {**walk.known, quantity: walk.truth[quantity]}
    own = {**walk.own}
    if judged.value is not None and judged.value != walk.truth[quantity]:
        own[quantity] = judged.value
    walk = walk._replace(known=known, own=own, reminded=walk.reminded or judged.bare)
    if weak:
        walk = walk._replace(weak=(*walk.weak, speech_of(walk).name(quantity)))
    if _is_pending_value(walk, quantity) and stated.ruled and walk.pending is not None:
        walk = settle_sharing(walk, walk.pending, "shares", "reason")
    if _is_of_whole(walk, quantity) and len(walk.network.capacitors) > 1 and not at_the_end(walk):
        walk = _skip_to_whole(walk)
    if question.about == "check" and quantity == question.quantity:
        walk = walk._replace(checked=True)
    return walk, [message], True


def _is_weak(walk: Walk, quantity: Quantity) -> bool:
    """Whether a likely wrong rule gives the right number too, here."""
    context = context_on(walk, quantity)
    # A rule that is right here for all values hides nothing that other values would show.
    return (
        context is not None and context.right != 0
        and hides_malrules(context) and bool(separation(context).hidden)
    )


def _is_of_whole(walk: Walk, quantity: Quantity) -> bool:
    """Whether this is C, by that name or as the last capacitor of a later step."""
    if _is_pending_value(walk, quantity) or walk.whole is None:
        return quantity == Quantity("C")
    return quantity in (Quantity("C"), Quantity("C", walk.whole.name))


def _skip_to_whole(walk: Walk) -> Walk:
    """The whole was found at once: the tutor's steps stand in, and one of them is asked about."""
    skipped = walk.plan[len(walk.steps) :]
    for step in skipped:
        walk = complete(walk, step)
    return walk._replace(skipped=tuple(step for step in skipped if step.makes))

