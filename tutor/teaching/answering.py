"""Answers in names and words: judge, say what is right and what cannot be, go on.

Values that are stated have a module of their own, stating.py.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from tutor.circuit.joining import JOININGS
from tutor.circuit.steps import Choice, Fault, Step, carry_out, choices, examine
from tutor.teaching import beyond
from tutor.teaching.evidence import skills_in
from tutor.teaching.hearing import Chosen, Exchanging, Reasoned, Shared
from tutor.teaching.messages import About, Message
from tutor.teaching.reasons import because
from tutor.teaching.replies import Replies
from tutor.teaching.shared_reasons import (
    LETTERS,
    fits_in_words,
    gives_reason,
    goes_through,
    letter_in,
    reasons,
)
from tutor.teaching.showing import show_answer
from tutor.teaching.turn import Turn, ask_again, proceed, speech_of
from tutor.teaching.twins import remember
from tutor.teaching.walk import (
    Question,
    Walk,
    given,
    is_steady,
    is_stuck,
    look_ahead,
    next_question,
)
from tutor.teaching.wording import step_of


def replies_of(walk: Walk) -> Replies:
    """The sentences about answers, for this walk."""
    return Replies(speech_of(walk))


def verdict(text: str, about: About, word: str, step: int | None = None) -> Message:
    """A verdict message; ``word`` is right, wrong, incomplete or unread."""
    return Message("verdict", text, step=step, about=about, verdict=word)  # type: ignore[arg-type]


def most_tries(walk: Walk, question: Question) -> int:
    """After how many wrong tries the answer is shown."""
    return walk.manner.tries(skills_in(walk, question))


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
    if tried.tries < most_tries(walk, question):
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
    if is_stuck(walk) and not chosen.names:
        return beyond.go_on(walk, walk)
    if is_stuck(walk) and len(chosen.names) == 1:
        text = replies.alone(walk.network, chosen.names[0])
        return ask_again(walk, [verdict(text, "choice", "incomplete")])
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
    step = carry_out(walk.network, judged, used_names(walk))
    if chosen.kind and chosen.kind != judged.kind:
        text = replies.wrong_kind(step, chosen.kind)
        looks = judged.kind == "series" and chosen.kind == "parallel"
        malrules = ("looks-side-by-side",) if looks else ()
        answered = f"{' '.join(chosen.names)} {chosen.kind}"
        return wrong(walk, question, Miss(text, "how capacitors are joined", answered, malrules))
    said = verdict(replies.chosen(judged, step), "choice", "right", len(walk.steps) + 1)
    return proceed(take(walk, step), [said], walk)


def take(walk: Walk, step: Step) -> Walk:
    """The walk with this step in hand."""
    return look_ahead(walk._replace(pending=step))


def used_names(walk: Walk) -> set[str]:
    """Names that a new capacitor must not repeat."""
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
    is_right = shared.quantity == JOININGS[step.kind].shared
    if question.going_back:
        return _passing(walk, step, is_right)
    settled = settle_sharing(walk, step, "shares")
    number = len(walk.steps) + 1
    if not is_right:
        slip = f"what {replies.names(step)} share"
        text, after = replies.shares_wrong(step), next_question(settled)
        if after is None or after.about != "reason":
            text += f" {because(step, speech_of(walk))}"
        said = verdict(text, "shares", "wrong", number)
        said = said._replace(malrules=(_sharing_malrule(step),))
        return proceed(settled._replace(slips=(*walk.slips, slip)), [said], walk)
    given = _points_fit(step, shared.points) or gives_reason(step, shared.words)
    if walk.skipped or given or is_steady(walk, step):
        said = verdict(replies.shares_right(step), "shares", "right", number)
        settled = settle_sharing(settled, step, "reason", "because")
        return proceed(_reasoned(settled, step) if given else settled, [said], walk)
    half = replies.shares_half(step)
    half_points = replies.points_half(step, shared.points)
    if shared.points:
        half += f" {half_points or replies.points_wrong(step)}"
    turn = proceed(settled, [verdict(half, "shares", "incomplete", number)], walk)
    named = shared.points if half_points else ()
    return turn._replace(walk=turn.walk._replace(named=named))


def _sharing_malrule(step: Step) -> str:
    return "series-shares-the-pd" if step.kind == "series" else "parallel-shares-the-charge"


def settle_sharing(walk: Walk, step: Step, *abouts: str) -> Walk:
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
    points = tuple(dict.fromkeys((*walk.named, *named.points)))
    if named.letter is not None:
        chosen = reasons(step, speech, walk.seed)[LETTERS.index(named.letter)]
        fits, wrong_text = chosen.is_true, replies.reason_wrong(step, chosen.text)
    elif named.points and not _points_fit(step, points) and letter_in(named.words.lower()):
        at = named.points[0]
        text = f"The letter {at.lower()}) or the point {at}? Type {at.lower()}), or all the points."
        return ask_again(walk, [verdict(text, "reason", "incomplete")])
    elif named.points:
        fits, wrong_text = _points_fit(step, points), replies.points_wrong(step)
        half = replies.points_half(step, points)
        if half is not None and half != replies.points_half(step, walk.named):
            held = walk._replace(named=points)
            return ask_again(held, [verdict(half, "reason", "incomplete")])
    elif fits_in_words(step, named.words):
        fits, wrong_text = True, ""
    elif goes_through(step, named.words):
        fits, wrong_text = False, replies.nothing_goes_through(step)
    else:
        text = (
            "Say it with the points, take the letter that comes nearest, or say 'I don't know'."
        )
        return ask_again(walk, [verdict(text, "reason", "incomplete")])
    number = len(walk.steps) + 1
    if fits:
        said = verdict(replies.shares_right(step), "reason", "right", number)
        settled = settle_sharing(walk, step, "reason", "because")
        return proceed(_reasoned(settled, step), [said], walk)
    slip = f"why {replies.names(step)} share what they share"
    unsteady = walk._replace(reasons={**walk.reasons, step.kind: 0})
    return wrong(unsteady, question, Miss(wrong_text, slip, named.words))


def _reasoned(walk: Walk, step: Step) -> Walk:
    return walk._replace(
        reasons={**walk.reasons, step.kind: walk.reasons.get(step.kind, 0) + 1}
    )
