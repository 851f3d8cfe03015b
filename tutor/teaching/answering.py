"""Answers to each kind of question: judge, say what is right and what cannot be, go on."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from grammar.expressions import Num, Op
from grammar.records import Dimension, Refusal
from tutor.circuit.steps import Choice, Fault, Step, carry_out, choices, examine
from tutor.teaching import beyond
from tutor.teaching.claims import Stated, group_of, state
from tutor.teaching.diagnosis import hides_malrules
from tutor.teaching.hearing import Chosen, Exchanging, Reasoned, Shared
from tutor.teaching.messages import About, Message
from tutor.teaching.quantities import SYMBOL, Quantity
from tutor.teaching.replies import Replies
from tutor.teaching.scene import scene_of
from tutor.teaching.shared_reasons import LETTERS, fits_in_words, gives_reason, letter_in, reasons
from tutor.teaching.showing import show_answer
from tutor.teaching.tracing import in_terms
from tutor.teaching.turn import Turn, ask_again, complete, go_on, proceed, settle, speech_of
from tutor.teaching.twins import remember
from tutor.teaching.walk import (
    Question,
    Walk,
    asked_quantities,
    given,
    is_steady,
    is_stuck,
    look_ahead,
    question_about,
)
from tutor.teaching.wording import Wording, step_of
from tutor.teaching.wrong_values import respond, scenery_of

if TYPE_CHECKING:
    from grammar.answers import Claim

MOST_TRIES = 2


def replies_of(walk: Walk) -> Replies:
    """The sentences about answers, for this walk."""
    return Replies(speech_of(walk))


def verdict(text: str, about: About, word: str, step: int | None = None) -> Message:
    """A verdict message; ``word`` is right, wrong, incomplete or unread."""
    return Message("verdict", text, step=step, about=about, verdict=word)  # type: ignore[arg-type]


class Miss(NamedTuple):
    """A wrong answer in words: what is said to it, what it was about, the malrules it shows, and
    what was answered, since the same answer twice counts once.
    """

    text: str
    topic: str
    answered: str
    malrules: tuple[str, ...] = ()


def wrong(walk: Walk, question: Question, miss: Miss) -> Turn:
    """Count a wrong try; after the second, show the answer and go on."""
    said = verdict(miss.text, question.about, "wrong", len(walk.steps) + 1)
    said = said._replace(malrules=miss.malrules)
    again = miss.answered == walk.last_wrong
    tried = walk._replace(
        tries=walk.tries + (not again), last_wrong=miss.answered, slips=(*walk.slips, miss.topic)
    )
    if tried.tries < MOST_TRIES:
        return ask_again(tried, [said])
    if question.about == "choice" and is_stuck(walk):
        turn = beyond.go_on(tried, walk, "")
        return Turn(turn.walk, (said, *turn.messages))
    shown, reveals = show_answer(tried, question)
    return proceed(remember(shown, question), [said, *reveals], walk)


def fault_malrules(walk: Walk, fault: Fault, said: str | None) -> tuple[str, ...]:
    """The malrules that show in a set that cannot be combined."""
    if fault.kind == "idle":
        idle = walk.network.named(fault.names)
        if any(c.start == c.end for c in idle):
            return ("keeps-a-bypassed-capacitor",)
        if said == "parallel":
            return ("counts-a-dead-end-as-parallel",)
        if said == "series":
            return ("counts-a-dead-end-in-the-chain",)
        return ("counts-a-dead-end-in-the-chain", "counts-a-dead-end-as-parallel")
    by_kind: Mapping[str, str] = {
        "meeting": "looks-side-by-side" if said == "parallel" else "joins-two-that-share-one-point",
        "ends": "looks-side-by-side" if said == "parallel" else "runs-a-chain-through-a-terminal",
        "apart": "looks-side-by-side",
        "mixed": "looks-side-by-side",
    }
    return (by_kind[fault.kind],) if fault.kind in by_kind else ()


# Choosing


def choice(walk: Walk, question: Question, heard: Any) -> Turn:
    """Names of capacitors, in answer to 'which can be combined?'."""
    chosen: Chosen = heard
    replies = replies_of(walk)
    if chosen.unknown:
        text = replies.unknown_names(chosen.unknown, walk)
        return ask_again(walk, [verdict(text, "choice", "unread")])
    if chosen.doubtful:
        text = f"More than one capacitor is meant by {chosen.doubtful.strip()}. Use their names."
        return ask_again(walk, [verdict(text, "choice", "unread")])
    if is_stuck(walk) and _sees_the_end(walk, chosen):
        return beyond.go_on(walk, walk)
    if len(chosen.names) == 1 and not chosen.kind:
        judged = examine(walk.network, chosen.names)
        if isinstance(judged, Fault) and judged.kind == "one":
            text = replies.fault(judged, chosen.names, walk.network)
            return ask_again(walk, [verdict(text, "choice", "incomplete")])
    if chosen.kind == "balance" and not chosen.names:
        return _balance_asked_for(walk)
    return _judge_choice(walk, question, examine(walk.network, chosen.names), chosen)


def _balance_asked_for(walk: Walk) -> Turn:
    """Charge balance leads to the end from any network of which every part takes charge."""
    if any(each.kind == "removal" for each in choices(walk.network)):
        text = "That will lead to the end. First leave out what holds no charge: which is that?"
        return ask_again(walk, [verdict(text, "choice", "incomplete")])
    return beyond.balance_here(walk)


def exchange(walk: Walk, question: Question, heard: Any) -> Turn:
    """A star in the place of a triangle, or a triangle in the place of a star."""
    del question
    wish: Exchanging = heard
    turn = beyond.exchange(walk, wish.points)
    if turn is not None:
        return turn
    text = (
        "For a star name three points, each two of them joined by one capacitor, like star A P R; "
        "for a triangle one inner point where three capacitors meet, like delta at P."
    )
    return ask_again(walk, [verdict(text, "choice", "incomplete")])


def _judge_choice(
    walk: Walk, question: Question, judged: Choice | Fault, chosen: Chosen
) -> Turn:
    replies = replies_of(walk)
    if isinstance(judged, Fault):
        text = replies.fault(judged, chosen.names, walk.network)
        malrules = fault_malrules(walk, judged, chosen.kind)
        miss = Miss(text, "which capacitors can be combined", " ".join(chosen.names), malrules)
        return wrong(walk, question, miss)
    step = carry_out(walk.network, judged, _used(walk))
    if chosen.kind and chosen.kind != judged.kind:
        text = replies.wrong_kind(step, chosen.kind)
        looks = judged.kind == "series" and chosen.kind == "parallel"
        malrules = ("looks-side-by-side",) if looks else ()
        answered = f"{' '.join(chosen.names)} {chosen.kind}"
        return wrong(walk, question, Miss(text, "how capacitors are joined", answered, malrules))
    said = verdict(replies.chosen(judged, step), "choice", "right", len(walk.steps) + 1)
    return proceed(take(walk, step), [said], walk)


def _sees_the_end(walk: Walk, chosen: Chosen) -> bool:
    """Whether it is said that nothing can be combined, or what joins two floating points is
    named alone, as someone does who looks for equal potentials.
    """
    inner = set(walk.network.points()[1:-1])
    return not chosen.names or (
        len(chosen.names) == 1 and walk.network.named(chosen.names)[0].points <= inner
    )


def take(walk: Walk, step: Step) -> Walk:
    """The walk with this step in hand."""
    return look_ahead(walk._replace(pending=step))


def _used(walk: Walk) -> set[str]:
    return {c.name for c in given(walk)} | walk.made


# Sharing


def shares(walk: Walk, question: Question, heard: Any) -> Turn:
    """'The p.d.' or 'the charge', with or without points."""
    shared: Shared = heard
    step = step_of(question)
    replies = replies_of(walk)
    if shared.quantity is None or shared.quantity == "both":
        text = (
            "One of the two, please: which is it?" if shared.quantity else
            "Those are points. First say which of the two it is."
        )
        return ask_again(walk, [verdict(text, "shares", "incomplete")])
    is_right = shared.quantity == ("voltage" if step.kind == "parallel" else "charge")
    if question.going_back:
        return _passing(walk, step, is_right)
    settled = _settle_sharing(walk, step, "shares")
    number = len(walk.steps) + 1
    if not is_right:
        slip = f"what {replies.names(step)} share"
        said = verdict(replies.shares_wrong(step), "shares", "wrong", number)
        said = said._replace(malrules=(_sharing_malrule(step),))
        return proceed(settled._replace(slips=(*walk.slips, slip)), [said], walk)
    given = _points_fit(step, shared.points) or gives_reason(step, shared.words)
    if walk.skipped or given or is_steady(walk, step):
        said = verdict(replies.shares_right(step), "shares", "right", number)
        settled = _settle_sharing(settled, step, "reason", "because")
        return proceed(_reasoned(settled, step) if given else settled, [said], walk)
    half = replies.shares_half(step)
    if shared.points:
        half += f" {replies.points_wrong(step)}"
    return proceed(settled, [verdict(half, "shares", "incomplete", number)], walk)


def _sharing_malrule(step: Step) -> str:
    return "series-shares-the-pd" if step.kind == "series" else "parallel-shares-the-charge"


def _settle_sharing(walk: Walk, step: Step, *abouts: str) -> Walk:
    """``because`` among them says that the reason has been told in words."""
    name = step.makes.name if step.makes else ""
    return walk._replace(settled=walk.settled | {(about, name) for about in abouts})


def _points_fit(step: Step, points: tuple[str, ...]) -> bool:
    """A parallel set needs both its points and no other; a chain the points between neighbours,
    and its outer points do no harm.
    """
    if step.kind == "parallel":
        return set(points) == set(step.points)
    own = {p for c in step.parts for p in c.points}
    return bool(points) and set(step.points) <= set(points) <= own


def _passing(walk: Walk, step: Step, is_right: bool) -> Turn:
    """What passes on unchanged on the way back; once answered wrongly, it is said."""
    replies = replies_of(walk)
    name = step.makes.name if step.makes else ""
    settled = walk._replace(settled=walk.settled | {("back", name)})
    if is_right:
        said = verdict(replies.passes_right(step), "shares", "right")
        return proceed(settled, [said], walk)
    slip = f"what passes on from {name}"
    said = verdict(replies.passes_wrong(step), "shares", "wrong")
    said = said._replace(malrules=(_sharing_malrule(step),))
    return proceed(settled._replace(slips=(*walk.slips, slip)), [said], walk)


def reason(walk: Walk, question: Question, heard: Any) -> Turn:
    """Why they share it: a letter, the points that make it so, or free words."""
    step, speech = step_of(question), speech_of(walk)
    replies = replies_of(walk)
    named: Reasoned = heard
    if named.letter is not None:
        chosen = reasons(step, speech, walk.seed)[LETTERS.index(named.letter)]
        fits, wrong_text = chosen.is_true, replies.reason_wrong(step, chosen.text)
    elif named.points and not _points_fit(step, named.points) and letter_in(named.words.lower()):
        at = named.points[0]
        text = f"The letter {at.lower()}) or the point {at}? Type {at.lower()}), or all the points."
        return ask_again(walk, [verdict(text, "reason", "incomplete")])
    elif named.points:
        fits, wrong_text = _points_fit(step, named.points), replies.points_wrong(step)
    elif fits_in_words(step, named.words):
        fits, wrong_text = True, ""
    else:
        text = (
            "Say it with the points, take the letter that comes nearest, or say 'I don't know'."
        )
        return ask_again(walk, [verdict(text, "reason", "incomplete")])
    number = len(walk.steps) + 1
    if fits:
        said = verdict(replies.shares_right(step), "reason", "right", number)
        settled = _settle_sharing(walk, step, "reason", "because")
        return proceed(_reasoned(settled, step), [said], walk)
    slip = f"why {replies.names(step)} share what they share"
    unsteady = walk._replace(reasons={**walk.reasons, step.kind: 0})
    return wrong(unsteady, question, Miss(wrong_text, slip, named.words))


def _reasoned(walk: Walk, step: Step) -> Walk:
    return walk._replace(
        reasons={**walk.reasons, step.kind: walk.reasons.get(step.kind, 0) + 1}
    )


# Values


def claims(walk: Walk, question: Question, heard: Any) -> Turn:
    """Stated values, one after the other; the first that is not right ends the line."""
    said: list[Message] = []
    start = walk
    for claim in heard.claims:
        try:
            walk, messages, goes_on = _one_claim(walk, question, claim)
        except Refusal as refusal:
            unread = verdict(in_terms(str(refusal), speech_of(walk)), question.about, "unread")
            return _after_wrong(walk, start, question, [*said, unread])
        said += messages
        if not goes_on:
            return _after_wrong(walk, start, question, said)
        walk, revealed = settle(walk)
        said += revealed
        walk, question = go_on(walk, question)
    return proceed(walk, said, start)


def _after_wrong(walk: Walk, start: Walk, question: Question, said: list[Message]) -> Turn:
    if walk.tries >= MOST_TRIES and said[-1].verdict == "wrong":
        shown, reveals = show_answer(walk, question)
        return proceed(remember(shown, question), [*said, *reveals], start)
    if walk.known != start.known or walk.pending != start.pending:
        return proceed(walk, said, start)
    return ask_again(walk, said)


def _one_claim(walk: Walk, question: Question, claim: Claim) -> tuple[Walk, list[Message], bool]:
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
            malrules = fault_malrules(walk, chosen, kind)
            return tried, [message._replace(malrules=malrules)], False
        if isinstance(chosen, Choice):
            walk = take(walk, carry_out(walk.network, chosen, _used(walk)))
    made = walk.pending.makes if walk.pending is not None else None
    may_be_its_value = _dimension(claim) in (None, "capacitance")
    if made is not None and question.quantity is None and may_be_its_value:
        asked = question_about(walk, Quantity("C", made.name))
    stated = state(walk, _default_target(walk, asked, claim), claim)
    if stated is None:
        text = "Which capacitor is that for? Write its name too, like C23 = 5 uF or V1 = 4 V."
        return walk, [verdict(text, question.about, "unread")], False
    if stated.judged.verdict == "wrong" and not (claim.target or claim.reciprocal):
        stated = _what_the_text_asks(walk, question, claim) or stated
    return _judged(walk, question, stated)


def _what_the_text_asks(walk: Walk, question: Question, claim: Claim) -> Stated | None:
    """A value without a name that is right for what the text asks, given before it is due."""
    for wanted in asked_quantities(walk):
        if wanted in walk.known or wanted.of is None:
            continue
        stated = state(walk, question._replace(quantity=wanted), claim)
        if stated is not None and stated.judged.verdict == "right":
            return stated
    return None


def _new_group(walk: Walk, claim: Claim) -> tuple[str, ...] | None:
    """The set that a claim combines, if it names a capacitor that is not made yet."""
    name = claim.target or claim.reciprocal
    existing = _used(walk)
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
    response = respond(walk, stated)
    message = verdict(response.text, about.about, "wrong", number)._replace(
        malrules=response.malrules
    )
    if quantity != question.quantity and not _is_pending_value(walk, quantity):
        return walk._replace(aside=response.aside), [message], False
    counts = judged.note not in ("power of ten", "unit") and judged.value != walk.last_wrong
    slip = Wording(speech_of(walk)).quantity(quantity)
    tried = walk._replace(
        tries=walk.tries + counts,
        last_wrong=judged.value,
        slips=(*walk.slips, slip),
        aside=response.aside,
    )
    return tried, [message], False


def _is_pending_value(walk: Walk, quantity: Quantity) -> bool:
    made = walk.pending.makes if walk.pending else None
    return made is not None and quantity == Quantity("C", made.name)


def _take_right(
    walk: Walk, question: Question, stated: Stated
) -> tuple[Walk, list[Message], bool]:
    quantity, judged = stated.quantity, stated.judged
    about = question_about(walk, quantity)
    text = replies_of(walk).value_right(about, walk, judged)
    weak = _is_weak(walk, quantity)
    message = verdict(text, about.about, "right", len(walk.steps) + 1)._replace(weak=weak)
    known = {**walk.known, quantity: walk.truth[quantity]}
    own = {**walk.own}
    if judged.value is not None and judged.value != walk.truth[quantity]:
        own[quantity] = judged.value
    walk = walk._replace(known=known, own=own, reminded=walk.reminded or judged.bare)
    if weak:
        walk = walk._replace(weak=(*walk.weak, speech_of(walk).name(quantity)))
    if _is_pending_value(walk, quantity) and stated.ruled and walk.pending is not None:
        walk = _settle_sharing(walk, walk.pending, "shares", "reason")
    if _is_of_whole(walk, quantity) and len(walk.network.capacitors) > 1:
        walk = _skip_to_whole(walk)
    if question.about == "check" and quantity == question.quantity:
        walk = walk._replace(checked=True)
    return walk, [message], True


def _is_weak(walk: Walk, quantity: Quantity) -> bool:
    """Whether a likely wrong rule gives the right number too, here."""
    scene = scene_of(scenery_of(walk), quantity)
    return scene is not None and hides_malrules(scene)


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

