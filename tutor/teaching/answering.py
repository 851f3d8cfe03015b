"""Answers in names and words: judge, say what is right and what cannot be, go on.

Values that are stated have a module of their own, stating.py.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Any, Final, NamedTuple

from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Network
from tutor.circuit.steps import Choice, Fault, Step, carry_out, choices, examine
from tutor.circuit.values import in_letters
from tutor.teaching import stuck_step
from tutor.teaching.claims import names_to_come
from tutor.teaching.evidence import skills_in
from tutor.teaching.hearing import WHOSE_IS_IT, Exchanging, Reasoned, Shared, sharing_in
from tutor.teaching.judging import close
from tutor.teaching.messages import Message, Verdict
from tutor.teaching.pointing import Chosen
from tutor.teaching.quantities import Quantity
from tutor.teaching.reading.grounds import is_of_others
from tutor.teaching.reading.menu_choice import LETTERS, described_in, option_in
from tutor.teaching.reading.propositions import clauses_of
from tutor.teaching.reading.truth import InQuestion
from tutor.teaching.reading.weighing import ReasonReplies, Weighed, malrules_of, reason_in, reply
from tutor.teaching.reasons import because
from tutor.teaching.shared_reasons import reasons
from tutor.teaching.showing import show_answer
from tutor.teaching.told_in_parts import is_told_in_parts
from tutor.teaching.turn import (
    Turn,
    ask_again,
    proceed,
    replies_of,
    settle_sharing,
    speech_of,
    take,
    verdict,
)
from tutor.teaching.twins import remember
from tutor.teaching.walk import (
    Aside,
    Question,
    Walk,
    at_the_end,
    is_steady,
    is_stuck,
    next_question,
    used_names,
)
from tutor.teaching.wording import step_of


def most_tries(walk: Walk, question: Question) -> int:
    """After how many wrong tries the answer is shown."""
    return walk.manner.tries(skills_in(walk, question))


IT_CAN = "It can; let us see by what. "
IS_IT_BALANCED = "Whether it is balanced is still to be found out. "
_CALLED_BALANCED = re.compile(r"(?i)\bbalanced\b")
_DENIED = re.compile(r"(?i)\b(?:not|never|no|un-?balanced|if|whether)\b|n['’]t\b")
STEP_BY_STEP = "Then step by step."
BUT_NOT_FOR_THAT: Final = "They can, but not for that reason"


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
    return shown_after(tried, walk, question, [said])


def shown_after(walk: Walk, start: Walk, question: Question, said: list[Message]) -> Turn:
    """The answer shown after what is said; where nothing can be combined, what leads further, and
    where the end alone was asked for, the first of its steps.
    """
    if at_the_end(walk):
        return step_by_step(walk, start, said)
    if question.about == "choice" and is_stuck(walk):
        turn = stuck_step.go_on(walk, "")
        return turn._replace(messages=(*said, *turn.messages))
    shown, reveals = show_answer(walk, question)
    return proceed(remember(shown, question), [*said, *reveals], start)


def step_by_step(walk: Walk, start: Walk, said: list[Message]) -> Turn:
    """The steps asked after all, where the end alone was asked for and does not come right."""
    return proceed(by_steps(walk), [*said, Message("say", STEP_BY_STEP)], start)


def by_steps(walk: Walk) -> Walk:
    """The walk with its steps asked, though the end alone was asked for."""
    return walk._replace(manner=walk.manner._replace(stepwise=True))


def fault_malrules(network: Network, fault: Fault, said: str | None) -> tuple[str, ...]:
    """The malrules that show in a set that cannot be combined."""
    if fault.kind == "idle":
        idle = network.named(fault.names)
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


def _is_a_value_to_come(walk: Walk, said: Sequence[str]) -> bool:
    """Whether numbers alone, which are those of no capacitor, are of later questions."""
    if not all(re.fullmatch(r"\d+(?:[.,]\d+|/\d+)?", each) for each in said):
        return False
    to_come = [
        value / Fraction(10) ** walk.problem.powers[quantity.dimension]
        for quantity, value in walk.truth.items()
        if quantity not in walk.known and not in_letters(value)
    ]
    numbers = [Fraction(each.replace(",", ".")) for each in said]
    return all(any(close(number, value) for value in to_come) for number in numbers)


def choice(walk: Walk, question: Question, heard: Any) -> Turn:
    """Names of capacitors, in answer to 'which can be combined?'."""
    chosen: Chosen = heard
    replies = replies_of(walk)
    if chosen.unknown:
        if _is_a_value_to_come(walk, chosen.unknown):
            return ask_again(walk, [verdict(WHOSE_IS_IT, "choice", "incomplete")])
        text = replies.unknown_names(chosen.unknown, walk)
        parts = {c.name.lower() for step in walk.steps for c in step.parts}
        is_past = all(name.lower() in parts for name in chosen.unknown)
        is_to_come = len(chosen.names) > 1 and {*chosen.unknown} <= {*names_to_come(walk)}
        word: Verdict = "incomplete" if is_past or is_to_come else "unread"
        return ask_again(walk, [verdict(text, "choice", word)])
    if chosen.asks:
        return ask_again(walk, [verdict(chosen.asks, "choice", "incomplete")])
    if chosen.doubtful:
        text = f"More than one capacitor is meant by {chosen.doubtful.strip()}. Use their names."
        return ask_again(walk, [verdict(text, "choice", "incomplete")])
    if chosen.kind in ("parallel", "series") and not chosen.names and not any(
        each.kind == chosen.kind for each in choices(walk.network)
    ):
        other = "series" if chosen.kind == "parallel" else "parallel"
        text = f"None is in {chosen.kind}, true. And in {other}, is there any?"
        return ask_again(walk, [verdict(text, "choice", "incomplete")])
    if is_stuck(walk) and not chosen.names:
        is_open = _CALLED_BALANCED.search(chosen.reason) and not _DENIED.search(chosen.reason)
        return stuck_step.go_on(walk, IS_IT_BALANCED if is_open else "Right. ")
    if is_stuck(walk) and len(chosen.names) == 1 and chosen.kind == "removal" and (
        walk.truth.get(Quantity("Q", chosen.names[0])) == 0
    ):
        return stuck_step.go_on(walk, IT_CAN)  # its reason comes with the questions that follow
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
    return stuck_step.balance_here(walk)


def exchange(walk: Walk, question: Question, heard: Any) -> Turn:
    """A star in the place of a triangle, or a triangle in the place of a star."""
    del question
    wish: Exchanging = heard
    turn = stuck_step.exchange(walk, wish.points)
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
        malrules = fault_malrules(walk.network, judged, chosen.kind)
        miss = Miss(text, "which capacitors can be combined", " ".join(chosen.names), malrules)
        return wrong(walk, question, miss)
    step = carry_out(walk.network, judged, used_names(walk))
    if chosen.kind and chosen.kind != judged.kind:
        text = replies.wrong_kind(step, chosen.kind)
        looks = judged.kind == "series" and chosen.kind == "parallel"
        malrules = ("looks-side-by-side",) if looks else ()
        answered = f"{' '.join(chosen.names)} {chosen.kind}"
        return wrong(walk, question, Miss(text, "how capacitors are joined", answered, malrules))
    said = [verdict(replies.chosen(judged, step), "choice", "right", len(walk.steps) + 1)]
    taken = take(walk, step)
    if chosen.reason and step.joining is not None:
        if (turn := _with_sharing(taken, step, walk.network, chosen.reason)) is not None:
            return turn._replace(messages=(*said, *turn.messages))
        taken, replied = _with_reason(taken, step, walk.network, chosen.reason)
        said += replied
    return proceed(taken, said, walk)


def _with_sharing(walk: Walk, step: Step, network: Network, words: str) -> Turn | None:
    """What is said where a right choice is made for what they are said to share: the pair stands,
    and the sharing is answered as if it had been asked.
    """
    shared, asked = sharing_in(words, network), next_question(walk)
    if shared is None or shared.quantity in (None, "both") or asked is None:
        return None
    is_named = any(c.has(_CALLED[shared.quantity]) for c in clauses_of(words, network))
    if asked.about != "shares" or asked.going_back or not is_named:
        return None
    by = _weighed(walk, words, network, step).by
    is_other = shared.quantity != JOININGS[step.kind].shared
    if is_other and (_PARTED.search(words) or (by is not None and by.says in _OF_THE_OTHER)):
        return None  # the charges add up, the p.d. is divided: true, and said of the other one
    return shares(walk, asked, shared)


_PARTED = re.compile(
    r"(?i)\b(?:add|adds|added|sum|sums|total|divid\w+|split\w*|shared\s+out|parts?|differ\w*|own)\b"
)
_CALLED: Mapping[str, str] = MappingProxyType({"voltage": "pd", "charge": "charge"})
_OF_THE_OTHER = ("adds", "split", "conserved")


def _with_reason(
    walk: Walk, step: Step, network: Network, words: str
) -> tuple[Walk, list[Message]]:
    """What a reason for a right choice is worth: one that is enough need not be given again; one
    that is not so is answered, without saying yet what is shared.
    """
    weighed = _weighed(walk, words, network, step)
    if weighed.worth == "enough":
        return settle_sharing(walk, step, "reason"), []
    if is_of_others(words, network, [c.name for c in step.parts]):
        return walk, []  # not C1, which has one point with them alone
    if step.kind == "series" and _are_apart(step):
        first, last = step.parts[0].name, step.parts[-1].name
        text = f"{BUT_NOT_FOR_THAT}: {first} and {last} meet nowhere."
        return walk, [verdict(text, "choice", "incomplete")]
    if weighed.by is None or (weighed.worth == "half" and weighed.by.says not in _BESIDE):
        return walk, []
    if weighed.by.says == "near" and step.kind == "parallel":
        return walk, []  # side by side, as these are called too
    told = ReasonReplies(InQuestion(network, step), speech_of(walk))
    so = told.not_so(weighed.by) if weighed.worth == "false" else told.look
    text = f"{BUT_NOT_FOR_THAT}. {so}"
    return walk, [verdict(text, "choice", "incomplete")]


def _are_apart(step: Step) -> bool:
    """Whether two of a chain have no point in common, since others stand between them."""
    return len(step.parts) == 2 and not step.parts[0].points & step.parts[1].points


# Sharing


ALL_OR_A_PART: Final = "Equally may mean that each has all of it, or that each has a part of it."
_EQUALLY: Final = re.compile(r"(?i)\b(?:equally|evenly)\b")  # all on each, or halves?


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
        if shared.divided and not is_right and not re.search(r"\d", shared.words):
            # true of the other one, and says nothing of what is had in full
            return ask_again(walk, [verdict(replies.divided(step), "shares", "incomplete")])
        divided = shared.divided or (is_right and is_told_in_parts(walk, step, shared))
        if is_right and not divided and _EQUALLY.search(shared.words):
            of = Quantity(JOININGS[step.kind].shares, step.made)
            asked = walk._replace(aside=Aside("ask", replies.how_much_each(step), of))
            return ask_again(asked, [verdict(ALL_OR_A_PART, "shares", "incomplete")])
        return _passing(walk, step, is_right, divided)
    settled = settle_sharing(walk, step, "shares")
    number = len(walk.steps) + 1
    if not is_right:
        slip = f"what {replies.names(step)} share"
        text, after = replies.shares_wrong(step), next_question(settled)
        if after is None or after.about != "reason":
            text += f" {because(step, speech_of(walk))}"
            settled = settle_sharing(settled, step, "because")
        said = verdict(text, "shares", "wrong", number)
        said = said._replace(malrules=(_sharing_malrule(step),))
        return proceed(settled._replace(slips=(*walk.slips, slip)), [said], walk)
    weighed = _weighed(walk, shared.words, walk.network, step)
    given = weighed.worth == "enough" or (
        ("reason", step.made) in walk.settled and weighed.worth not in _ANSWERED
    )
    if walk.skipped or given or (is_steady(walk, step) and weighed.worth not in _ANSWERED):
        said = verdict(replies.shares_right(step), "shares", "right", number)
        return proceed(settle_sharing(settled, step, "reason", "because"), [said], walk)
    half_points = replies.points_half(step, shared.points)
    begun = replies.shares_half(step)
    begun += f" {replies.undivided(step)}" if shared.divided else ""
    half = f"{begun} {_on_reason(walk, step, weighed, half_points)}".rstrip()
    said = verdict(half, "shares", "incomplete", number)
    turn = proceed(settled, [said._replace(malrules=malrules_of(weighed, step))], walk)
    named = shared.points if half_points else ()
    return turn._replace(task=turn.task._replace(named=named))


_FULL_VOLTS = re.compile(
    r"(?i)\b(?:the|full|whole|entire|all)\s+(?:(?:full|whole|entire|same)\s+)*(\d+(?:\.\d+)?)\s*"
    r"(?:v|volts?)\b"
)


_NOT_IN_FULL = re.compile(
    r"(?i)\b(?:part|share|half|bit|some|divid|split|add|sum|joined|connected|touch|not|n't|no)\w*\b"
)


def _weighed(walk: Walk, words: str, network: Network, step: Step) -> Weighed:
    """A reason weighed, with the supply for the volts that it has: across the 9 V."""
    held = walk.known.get(Quantity("V"))
    in_full = "the supply" if _NOT_IN_FULL.search(words) else "across the supply"

    def supply(found: re.Match[str]) -> str:
        return in_full if held == Fraction(found[1]) else found[0]

    return reason_in(_FULL_VOLTS.sub(supply, words), network, step)


_ANSWERED = ("false", "idea")
# True of many a pair, and no ground for combining it.
_BESIDE = ("on supply", "supply", "adds", "conserved", "split")


def _on_reason(walk: Walk, step: Step, weighed: Weighed, half_points: str | None) -> str:
    """What is said to a reason that is not enough; points alone are answered by the points."""
    replies = replies_of(walk)
    if weighed.by is not None and weighed.by.says == "points":
        return half_points or replies.points_wrong(step)
    if half_points and weighed.worth == "half" and weighed.by and weighed.by.says == "one point":
        return half_points
    return reply(weighed, InQuestion(walk.network, step), speech_of(walk))


def _sharing_malrule(step: Step) -> str:
    return "series-shares-the-pd" if step.kind == "series" else "parallel-shares-the-charge"


def _passing(walk: Walk, step: Step, is_right: bool, divided: bool) -> Turn:
    """What each part shares with the whole on the way back; once answered wrongly, or taken for
    divided, it is said.
    """
    replies = replies_of(walk)
    settled = settle_sharing(walk, step, "back")
    if is_right and not divided:
        said = verdict(replies.passes_right(step), "shares", "right")
        return proceed(settled, [said], walk)
    slip = f"what {step.made} and each of its parts share"
    told = replies.not_divided(step) if is_right else replies.passes_wrong(step)
    said = verdict(told, "shares", "wrong")
    said = said._replace(malrules=(_sharing_malrule(step),))
    return proceed(settled._replace(slips=(*walk.slips, slip)), [said], walk)


def reason(walk: Walk, question: Question, heard: Any) -> Turn:
    """Why they share it: an entry of the menu, the points that make it so, or free words."""
    step, speech = step_of(question), speech_of(walk)
    named: Reasoned = heard
    entries = reasons(step, speech, walk.seed)
    texts = [entry.text for entry in entries]
    at = option_in(named.words, texts)
    at = described_in(named.words, texts) if at is None else at
    # A small letter is one of the menu; a capital may be the point of that name.
    is_capital = len(named.words.strip()) == 1 and named.words.strip().isupper()
    at_point = named.points[0] if len(named.points) == 1 and is_capital else None
    if at is not None and at_point is None:
        chosen = entries[at]
        if chosen.is_true:
            return _reason_taken(walk, step)
        if (text := _entry_or_value(walk, step, named.words, at)) is not None:
            return ask_again(walk, [verdict(text, "reason", "incomplete")])
        text = replies_of(walk).reason_wrong(step, chosen.text)
        return _reason_refused(walk, question, Miss(text, "", named.words))
    points = tuple(dict.fromkeys((*walk.named, *named.points)))
    said = ", ".join((*walk.named, named.words)) if walk.named else named.words
    weighed = _weighed(walk, said, walk.network, step)
    completes = bool(walk.named) and weighed.worth == "half" and {*points} == {*step.points}
    if weighed.worth == "enough" or completes:
        return _reason_taken(walk, step)
    if at is not None and at_point is not None:
        text = (
            f"The letter {at_point.lower()}) or the point {at_point}? "
            f"Type {at_point.lower()}), or all the points."
        )
        return ask_again(walk, [verdict(text, "reason", "incomplete")])
    half = replies_of(walk).points_half(step, points)
    is_news = half is not None and half != replies_of(walk).points_half(step, walk.named)
    if is_news and weighed.worth == "half":
        walk = walk._replace(named=points)
    text = _on_reason(walk, step, weighed, half if is_news else None)
    are_others = bool(named.points) and not is_news
    is_so_in_part = weighed.beside_enough  # answered by what is so; no try is spent
    if not is_so_in_part and (weighed.worth in _ANSWERED or (
        weighed.by is not None and weighed.by.says == "points" and are_others
    )):
        found = malrules_of(weighed, step)
        return _reason_refused(walk, question, Miss(text, "", named.words, found))
    text = text or (
        "Say it with the points, take the letter that comes nearest, or say 'I don't know'."
    )
    return ask_again(walk, [verdict(text, "reason", "incomplete")])


def _entry_or_value(walk: Walk, step: Step, said: str, at: int) -> str | None:
    """What is asked where a figure alone is the place of a wrong entry and the value to come."""
    if step.makes is None:
        return None
    value = speech_of(walk).amount(step.makes.value, "capacitance")
    if said.strip() != value.split()[0]:
        return None
    letter = f"{LETTERS[at]})"
    return f"The entry {letter}, or the value of {step.made}? Type {letter}, or {value}."


def _reason_taken(walk: Walk, step: Step) -> Turn:
    text = replies_of(walk).shares_right(step)
    said = verdict(text, "reason", "right", len(walk.steps) + 1)
    return proceed(settle_sharing(walk, step, "reason", "because"), [said], walk)


def _reason_refused(walk: Walk, question: Question, miss: Miss) -> Turn:
    step = step_of(question)
    topic = f"why {replies_of(walk).names(step)} share what they share"
    return wrong(walk, question, miss._replace(topic=topic))
