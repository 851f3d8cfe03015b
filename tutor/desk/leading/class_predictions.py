"""What a class predicts: each answer judged as the walk would judge it, then counted by what was
said and by wrong idea.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from typing import Literal, NamedTuple, TypeAlias

from grammar.records import Refusal
from grammar.shown import visible
from tutor.desk.foreseen import foreseen_at
from tutor.desk.report import A_FEW
from tutor.teaching.act_signs import COUNTED, TAKES_BOTH
from tutor.teaching.conversation import Conversation, Replied
from tutor.teaching.exchange import NOT_BOTH, hear
from tutor.teaching.hearing import plain
from tutor.teaching.line_reading import read
from tutor.teaching.messages import Message, Verdict
from tutor.teaching.rules.asked import context_of_ask
from tutor.teaching.rules.catalogue import SKILL_OF
from tutor.teaching.rules.context import context_on
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.staged.story import Telling
from tutor.teaching.walk import Walk, next_question

# Of an answer in several parts the first of these that was met counts.
WEIGHTIEST: tuple[Verdict, ...] = ("wrong", "right", "incomplete", "unread")
JudgedAs: TypeAlias = Literal["right", "wrong", "incomplete", "elsewhere", "unread", "unsure"]
OUTCOMES: tuple[JudgedAs, ...] = (
    "right", "wrong", "incomplete", "elsewhere", "unsure", "unread"
)
NO_ANSWER: tuple[JudgedAs, ...] = ("elsewhere", "unread", "unsure")


class Prediction(NamedTuple):
    """What someone answered, or so many alike whom nobody names: ``who`` is a code."""

    who: str
    text: str
    times: int = 1


class JudgedPrediction(NamedTuple):
    """An answer judged: ``same`` is equal for answers that come to the same, ``malrules`` give it,
    and ``reply`` is what a learner alone would have been told. What answers another question than
    the one in hand is ``elsewhere``, right there or wrong.
    """

    outcome: JudgedAs
    same: str
    malrules: tuple[str, ...] = ()
    reply: str = ""


class SpreadRow(NamedTuple):
    """Answers that come to the same, as most wrote it."""

    said: str
    outcome: JudgedAs
    times: int
    malrules: tuple[str, ...]

    @property
    def idea(self) -> str:
        """The wrong idea, or the several that give this, in words; '' where none is known."""
        return ideas_in_words(self.malrules)


class Spread(NamedTuple):
    """All answers of one round, the most frequent first."""

    rows: tuple[SpreadRow, ...] = ()

    @property
    def answers(self) -> int:
        """How many there are."""
        return sum(row.times for row in self.rows)

    @property
    def read(self) -> int:
        """How many of them could be read."""
        return sum(row.times for row in self.rows if row.outcome != "unread")

    @property
    def right(self) -> int:
        """How many of them are right."""
        return sum(row.times for row in self.rows if row.outcome == "right")

    @property
    def ideas(self) -> tuple[tuple[str, int], ...]:
        """Wrong ideas in words with their number, the most frequent first."""
        found: Counter[str] = Counter()
        for row in self.rows:
            if row.outcome in ("wrong", "incomplete") and row.idea:
                found[row.idea] += row.times
        return tuple(found.most_common())


def ideas_in_words(malrules: Sequence[str]) -> str:
    """Wrong ideas that all give one answer, as one thing said."""
    words = (idea_in_words(name) for name in malrules if name in SKILL_OF)
    return ", or ".join(dict.fromkeys(words))


def judge(talk: Conversation, text: str) -> JudgedPrediction:
    """Judge an answer to the question in hand; nothing of the talk goes on."""
    act, reply = _heard(talk, text)
    if act == "unsure":
        return JudgedPrediction("unsure", "unsure")
    if act == "undecided" and TAKES_BOTH.search(text) and not COUNTED.search(text):
        return JudgedPrediction("wrong", "wrong both", (), NOT_BOTH)
    verdicts = [m for m in reply.messages if m.verdict is not None] if reply is not None else []
    if reply is None or not verdicts:
        return JudgedPrediction("unread", plain(text))
    if not _is_of_question(talk, verdicts):
        return JudgedPrediction("elsewhere", f"elsewhere {plain(text)}")
    first = min(verdicts, key=lambda m: WEIGHTIEST.index(m.verdict or "unread"))
    outcome: JudgedAs = first.verdict or "unread"
    if outcome == "incomplete" and _lacks_its_reason(talk, reply.talk):
        return JudgedPrediction("right", f"right without a reason: {first.text}", (), first.text)
    same = _same(talk, reply.talk, first, text)
    told = _by_each_way(reply, first)
    malrules = first.malrules or (_giving_exactly(reply.talk) if outcome == "wrong" else ())
    return JudgedPrediction(outcome, f"{outcome} {same}", malrules, told)


def _giving_exactly(after: Conversation) -> tuple[str, ...]:
    """The wrong ideas that give just this number, which a learner alone is asked about instead,
    since too many come near a number of one figure; of a class it is told that they give it.
    """
    task = after.in_hand
    wrong = getattr(task, "last_wrong", None)
    if not isinstance(wrong, Fraction):
        return ()
    asked = next_question(task) if isinstance(task, Walk) else None
    context = context_on(task, asked.quantity) if isinstance(task, Walk) and asked else None
    if isinstance(task, Telling) and task.ask is not None:
        context = context_of_ask(task.ask, task.story.powers)
    found = foreseen_at(context) if context is not None else ()
    return tuple(dict.fromkeys(
        each.rule.name for each in found
        if context is not None and each.number * Fraction(10) ** context.power == wrong
    ))


_WAY = re.compile(r"^([a-h])\) (.+)$", re.MULTILINE)


def _by_each_way(reply: Replied, verdict: Message) -> str:
    """What is told of an answer; where several ways lead to it, with what each of them overlooks:
    a class cannot be asked which was its own.
    """
    task = reply.talk.in_hand
    aside = task.aside if isinstance(task, Walk) else None
    is_asked = aside is not None and aside.kind == "routes"
    if not is_asked and not (isinstance(task, Telling) and task.routes):
        return verdict.text
    overlooked: dict[str, list[str]] = {}
    for letter, way in _WAY.findall(reply.messages[-1].text)[:-1]:  # the last is something else
        text = hear(reply.talk, letter).messages[0].text
        overlooked.setdefault(text, []).append(way)
    ways = (f"By {', or '.join(each)}: {text}" for text, each in overlooked.items())
    return "\n".join([verdict.text, *ways])


def answered(talk: Conversation, text: str) -> list[Message]:
    """What a learner alone would have been told of an answer, with what it shows; nothing for what
    is no answer.
    """
    reply = _heard(talk, text)[1]
    return [m for m in reply.messages if m.verdict is not None] if reply is not None else []


def _heard(talk: Conversation, text: str) -> tuple[str, Replied | None]:
    """What sort of line it is, and what is replied to an answer, be it 'I don't know'."""
    try:
        act = read(talk, text).act
        is_heard = act in ("answer", "unsure") and "\n" not in text
        return act, hear(talk, text) if is_heard else None
    except Refusal:
        return "", None


def _is_of_question(talk: Conversation, verdicts: Sequence[Message]) -> bool:
    """Whether something of an answer is about the question in hand, as a value is not where it is
    asked what is shared.
    """
    task = talk.in_hand
    asked = next_question(task) if isinstance(task, Walk) else None
    if asked is None:
        return True
    of_sharing = ("shares", "reason")
    abouts = of_sharing if asked.about in of_sharing else (asked.about,)
    return any(m.about in abouts and m.of in (None, asked.quantity) for m in verdicts)


def _lacks_its_reason(before: Conversation, after: Conversation) -> bool:
    """Whether what is shared was said rightly, and only what makes it so is still to come."""
    tasks = before.in_hand, after.in_hand
    asked = [next_question(task) if isinstance(task, Walk) else None for task in tasks]
    return [each.about if each else None for each in asked] == ["shares", "reason"]


def _same(before: Conversation, after: Conversation, verdict: Message, text: str) -> str:
    """What is equal for answers that come to the same."""
    task = after.in_hand
    wrong = getattr(task, "last_wrong", None) if len(after.frames) == len(before.frames) else None
    if verdict.verdict == "wrong" and wrong is not None:
        return str(wrong)
    if verdict.verdict == "wrong" and verdict.malrules:
        return " ".join(verdict.malrules)
    if verdict.verdict == "right" and verdict.about != "choice":
        return ""
    if verdict.verdict == "right" and isinstance(task, Walk) and task.pending is not None:
        return " ".join(part.name for part in task.pending.parts)
    return verdict.text if verdict.verdict == "incomplete" else plain(text)


def spread_of(
    predictions: Iterable[Prediction], judged: Callable[[str], JudgedPrediction]
) -> Spread:
    """The answers counted. ``judged`` judges one of them."""
    alike: dict[str, list[tuple[Prediction, JudgedPrediction]]] = {}
    for each in predictions:
        found = judged(each.text)
        alike.setdefault(found.same, []).append((each, found))
    rows = [_row(group) for group in alike.values()]
    rows.sort(key=lambda row: (-row.times, OUTCOMES.index(row.outcome), row.said))
    return Spread(tuple(rows))


def _row(group: Sequence[tuple[Prediction, JudgedPrediction]]) -> SpreadRow:
    written: Counter[str] = Counter()
    for each, _ in group:
        written[" ".join(visible(each.text).split())] += each.times
    first = group[0][1]
    said = "I don't know" if first.outcome == "unsure" else written.most_common(1)[0][0]
    return SpreadRow(said, first.outcome, written.total(), first.malrules)


FEW_RIGHT, MOST_RIGHT = 30, 70
"""Per cent right between which talking it over in pairs helps most (Crouch and Mazur, American
Journal of Physics 69, 2001, 970; the bounds from memory)."""


def advice(spread: Spread) -> str:
    """What usually helps after such a spread."""
    if spread.read < A_FEW:
        return "These are too few to go by shares: ask one or two for their reasons."
    share = 100 * spread.right / spread.read
    if share < FEW_RIGHT:
        return "Few are right: 'hint' or 'explain', then 'again'."
    if share <= MOST_RIGHT:
        return "Opinions differ: let them talk in pairs, then 'again'."
    return "Most are right: 'reveal', a short reason, and on."
