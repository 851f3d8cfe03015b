"""Answers to each kind of question: judge, say what is right and what cannot be, go on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from grammar.records import Refusal
from tutor.circuit.steps import Choice, Fault, Step, carry_out, examine
from tutor.teaching.claims import Stated, group_of, state
from tutor.teaching.hearing import Chosen, Shared
from tutor.teaching.messages import About, Message
from tutor.teaching.misfit import NONE as NO_MISFIT
from tutor.teaching.misfit import misfit
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.replies import Replies
from tutor.teaching.showing import show_answer
from tutor.teaching.turn import Turn, ask_again, complete, proceed, speech_of
from tutor.teaching.walk import Question, Walk, given, look_ahead, question_about
from tutor.teaching.wording import Wording, step_of

if TYPE_CHECKING:
    from grammar.answers import Claim

MOST_TRIES = 2


def replies_of(walk: Walk) -> Replies:
    """The sentences about answers, for this walk."""
    return Replies(speech_of(walk))


def verdict(text: str, about: About, word: str, step: int | None = None) -> Message:
    """A verdict message; ``word`` is right, wrong, incomplete or unread."""
    return Message("verdict", text, step=step, about=about, verdict=word)  # type: ignore[arg-type]


def wrong(walk: Walk, question: Question, text: str, slip: str) -> Turn:
    """Count a wrong try; after the second, show the answer and go on."""
    said = verdict(text, question.about, "wrong", len(walk.steps) + 1)
    tried = walk._replace(tries=walk.tries + 1, slips=(*walk.slips, slip))
    if tried.tries < MOST_TRIES:
        return ask_again(tried, [said])
    shown, reveals = show_answer(tried, question)
    return proceed(shown, [said, *reveals], walk)


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
    return _judge_choice(walk, question, examine(walk.network, chosen.names), chosen)


def _judge_choice(
    walk: Walk, question: Question, judged: Choice | Fault, chosen: Chosen
) -> Turn:
    replies = replies_of(walk)
    if isinstance(judged, Fault):
        text = replies.fault(judged, chosen.names, walk.network)
        return wrong(walk, question, text, "which capacitors can be combined")
    step = carry_out(walk.network, judged, _used(walk))
    if chosen.kind and chosen.kind != judged.kind:
        text = replies.wrong_kind(step, chosen.kind)
        return wrong(walk, question, text, "how capacitors are joined")
    said = verdict(replies.chosen(judged, step), "choice", "right", len(walk.steps) + 1)
    return proceed(take(walk, step), [said], walk)


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
        return proceed(settled._replace(slips=(*walk.slips, slip)), [said], walk)
    if walk.spot is not None or step.between or _points_fit(step, shared.points):
        said = verdict(replies.shares_right(step), "shares", "right", number)
        return proceed(_settle_sharing(settled, step, "points"), [said], walk)
    half = replies.shares_half(step)
    if shared.points:
        half += f" {replies.points_wrong(step)}"
    return proceed(settled, [verdict(half, "shares", "incomplete", number)], walk)


def _settle_sharing(walk: Walk, step: Step, about: str) -> Walk:
    name = step.makes.name if step.makes else ""
    return walk._replace(settled=walk.settled | {(about, name)}, spot=None)


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
    return proceed(settled._replace(slips=(*walk.slips, slip)), [said], walk)


def points(walk: Walk, question: Question, heard: Any) -> Turn:
    """The points that make it so."""
    step = step_of(question)
    replies = replies_of(walk)
    named: Shared = heard
    if not named.points:
        text = "That is settled; the points are still wanted."
        return ask_again(walk, [verdict(text, "points", "unread")])
    if _points_fit(step, named.points):
        said = verdict(replies.shares_right(step), "points", "right", len(walk.steps) + 1)
        return proceed(_settle_sharing(walk, step, "points"), [said], walk)
    slip = f"the points of {replies.names(step)}"
    return wrong(walk, question, replies.points_wrong(step), slip)


# Values


def claims(walk: Walk, question: Question, heard: Any) -> Turn:
    """Stated values, one after the other; the first that is not right ends the line."""
    said: list[Message] = []
    start = walk
    for claim in heard.claims:
        try:
            walk, messages, goes_on = _one_claim(walk, question, claim)
        except Refusal as refusal:
            text = str(refusal)
            return ask_again(walk, [*said, verdict(text, question.about, "unread")])
        said += messages
        if not goes_on:
            return _after_wrong(walk, start, question, said)
    return proceed(walk, said, start)


def _after_wrong(walk: Walk, start: Walk, question: Question, said: list[Message]) -> Turn:
    if walk.tries >= MOST_TRIES and said[-1].verdict == "wrong":
        shown, reveals = show_answer(walk, question)
        return proceed(shown, [*said, *reveals], start)
    if walk.known != start.known or walk.pending != start.pending:
        return proceed(walk, said, start)
    return ask_again(walk, said)


def _one_claim(walk: Walk, question: Question, claim: Claim) -> tuple[Walk, list[Message], bool]:
    """Judge one claim: the walk after it, what is said, and whether the line goes on."""
    asked = question
    if walk.pending is None:
        chosen = _new_group(walk, claim)
        if isinstance(chosen, Fault):
            text = replies_of(walk).fault(chosen, chosen.names, walk.network)
            slip = "which capacitors can be combined"
            tried = walk._replace(tries=walk.tries + 1, slips=(*walk.slips, slip))
            return tried, [verdict(text, "choice", "wrong", len(walk.steps) + 1)], False
        if chosen is not None:
            walk = take(walk, carry_out(walk.network, chosen, _used(walk)))
    if walk.pending is not None and walk.pending.makes is not None and question.quantity is None:
        asked = question_about(walk, Quantity("C", walk.pending.makes.name))
    stated = state(walk, _default_target(walk, asked, claim), claim)
    if stated is None:
        text = "Which capacitor is that for? Write its name too, like C23 = 5 uF or V1 = 4 V."
        return walk, [verdict(text, question.about, "unread")], False
    return _judged(walk, question, stated)


def _new_group(walk: Walk, claim: Claim) -> Choice | Fault | None:
    """The set that a claim combines, if it names a capacitor that is not made yet."""
    name = claim.target or claim.reciprocal
    existing = _used(walk)
    if name is None or name in existing or len(walk.network.capacitors) < 2:
        return None
    return group_of(walk, claim)


def _default_target(walk: Walk, question: Question, claim: Claim) -> Question:
    """For a value without a name where no value is asked: the whole, or what the text asks."""
    if question.quantity is not None or claim.target or claim.reciprocal:
        return question
    side = claim.sides[-1]
    dimension = getattr(getattr(side, "unit", None), "dimension", None)
    asked = [q for q in walk.problem.asked if q.quantity == dimension]
    if len(asked) == 1:
        symbol = _SYMBOL[asked[0].quantity]
        return question._replace(quantity=Quantity(symbol, asked[0].of))
    if dimension == "capacitance":
        return question._replace(quantity=Quantity("C"))
    return question


_SYMBOL: dict[str, Symbol] = {"capacitance": "C", "charge": "Q", "voltage": "V", "energy": "E"}


def _judged(walk: Walk, question: Question, stated: Stated) -> tuple[Walk, list[Message], bool]:
    replies = replies_of(walk)
    quantity, judged = stated.quantity, stated.judged
    about = question_about(walk, quantity)
    number = len(walk.steps) + 1
    if stated.turned and judged.verdict == "right":
        text = f"1/{quantity.name} is right so far. Turn it over to get {quantity.name}."
        return walk, [verdict(text, about.about, "incomplete", number)], False
    if judged.verdict == "incomplete":
        text = "That is right to one figure. Give two or three."
        return walk, [verdict(text, about.about, "incomplete", number)], False
    if judged.verdict == "right":
        return _take_right(walk, question, stated)
    said_value = stated.said
    if judged.value is not None and judged.note != "unit":
        said_value = speech_of(walk).amount(judged.value, quantity.dimension)
    found = misfit(walk, about, judged.value) if judged.value is not None else NO_MISFIT
    text = replies.value_wrong(about, judged, found, said_value)
    message = verdict(text, about.about, "wrong", number)
    if quantity != question.quantity and not _is_pending_value(walk, quantity):
        return walk, [message], False
    counts = judged.note not in ("power of ten", "unit") and judged.value != walk.last_wrong
    slip = Wording(speech_of(walk)).quantity(quantity)
    tried = walk._replace(
        tries=walk.tries + counts, last_wrong=judged.value, slips=(*walk.slips, slip)
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
    message = verdict(text, about.about, "right", len(walk.steps) + 1)
    known = {**walk.known, quantity: walk.truth[quantity]}
    own = {**walk.own}
    if judged.value is not None and judged.value != walk.truth[quantity]:
        own[quantity] = judged.value
    walk = walk._replace(known=known, own=own, reminded=walk.reminded or judged.bare)
    if _is_pending_value(walk, quantity) and stated.ruled and walk.pending is not None:
        walk = _settle_sharing(_settle_sharing(walk, walk.pending, "shares"), walk.pending, "points")
    if quantity == Quantity("C") and len(walk.network.capacitors) > 1:
        walk = _skip_to_whole(walk)
    if question.about == "check" and quantity == question.quantity:
        walk = walk._replace(checked=True)
    return walk, [message], True


def _skip_to_whole(walk: Walk) -> Walk:
    """The whole was found at once: the tutor's steps stand in, and one of them is asked about."""
    skipped = walk.plan[len(walk.steps) :]
    for step in skipped:
        walk = complete(walk, step)
    combined = [step for step in skipped if step.makes]
    return walk._replace(spot=combined[0] if combined else None)

