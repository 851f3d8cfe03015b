"""A question put to a class: what is read and seen of it, its rounds, what is told."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple, TypeAlias

from tutor.desk.leading.class_predictions import Prediction
from tutor.teaching.conversation import Conversation
from tutor.teaching.depicted import Depicted
from tutor.teaching.exchange import hear, told
from tutor.teaching.in_sight import in_sight
from tutor.teaching.messages import Message
from tutor.teaching.pile import TASKS
from tutor.teaching.staged.story import Telling
from tutor.teaching.walk import Walk, next_question

Interlude: TypeAlias = Literal["", "discussion", "hint", "explanation"]


class AskedRound(NamedTuple):
    """One round of answers, by who gave them; ``after`` is what came between it and the last."""

    after: Interlude = ""
    predictions: Mapping[str, Prediction] = MappingProxyType({})

    @property
    def answered(self) -> int:
        """How many answers there are."""
        return sum(each.times for each in self.predictions.values())


class PutQuestion(NamedTuple):
    """A question put to a class.

    ``number`` counts all that were put, from 1. ``talk`` has it in hand; ``before`` was told on
    the way to it. ``helps`` are the hints and explanations given, ``answer`` what was told at the
    reveal, None before it, and ``onward`` the talk after that. ``since`` is what the round in
    hand has been followed by so far.
    """

    number: int
    talk: Conversation
    before: tuple[Message, ...] = ()
    rounds: tuple[AskedRound, ...] = (AskedRound(),)
    helps: tuple[str, ...] = ()
    answer: tuple[Message, ...] | None = None
    onward: Conversation | None = None
    is_twin: bool = False
    since: Interlude = "discussion"

    @property
    def text(self) -> str:
        """The question as it is asked."""
        asked = TASKS[type(self.talk.in_hand)].question(self.talk.in_hand)
        return asked.text if asked is not None else ""

    @property
    def drawn(self) -> Depicted | None:
        """What a picture of it shows; None where there is nothing to draw."""
        return in_sight(self.talk)

    @property
    def is_two_way(self) -> bool:
        """Whether there are two answers, so that what is said of one tells the other."""
        task = self.talk.in_hand
        if isinstance(task, Telling):
            return task.ask is not None and len(task.ask.options) == 2
        question = next_question(task) if isinstance(task, Walk) else None
        return question is not None and question.about == "shares"

    @property
    def is_choice(self) -> bool:
        """Whether it asks which capacitors to take, which is told without what speaks for them:
        that is asked next.
        """
        task = self.talk.in_hand
        question = next_question(task) if isinstance(task, Walk) else None
        return question is not None and question.about == "choice"

    @property
    def listing(self) -> str:
        """What is given, in words."""
        said = TASKS[type(self.talk.in_hand)].points(self.talk.in_hand).messages
        return said[0].text

    @property
    def round(self) -> int:
        """The round that is on, from 1."""
        return len(self.rounds)

    def with_prediction(self, prediction: Prediction) -> PutQuestion:
        """With one more answer in this round; a later one of the same hand takes its place."""
        *earlier, last = self.rounds
        found = {**last.predictions, prediction.who: prediction}
        return self._replace(rounds=(*earlier, last._replace(predictions=found)))

    def without(self, who: str) -> PutQuestion:
        """Without the answer of this hand in this round."""
        *earlier, last = self.rounds
        kept = {hand: each for hand, each in last.predictions.items() if hand != who}
        return self._replace(rounds=(*earlier, last._replace(predictions=kept)))

    def asked_again(self) -> PutQuestion:
        """With a new round."""
        return self._replace(rounds=(*self.rounds, AskedRound(self.since)), since="discussion")

    def helped(self, text: str, how: Interlude) -> PutQuestion:
        """With a hint or an explanation told to all."""
        return self._replace(helps=(*self.helps, text), since=how)

    def revealed(self, against: str = "") -> PutQuestion:
        """With its answer told, after what speaks ``against`` others."""
        reply = told(self.talk)
        said = tuple(m for m in reply.messages if m.kind not in ("ask", "close"))
        said = (Message("say", against), *said) if against else said
        if reply.talk.over and isinstance(reply.talk.problem, Telling):
            cautions = "\n".join(reply.talk.problem.story.cautions)
            said = (*said, Message("say", cautions)) if cautions else said
        return self._replace(answer=said, onward=reply.talk)


def hint_for(posed: PutQuestion) -> tuple[PutQuestion, str]:
    """The next hint, as for one who has tried; '' where there is none but the answer."""
    frames = posed.talk.frames
    task = frames[-1].task
    if not isinstance(task, Walk | Telling):
        return posed, ""
    tried = posed.talk._replace(
        frames=(*frames[:-1], frames[-1]._replace(task=task._replace(unsure=True)))
    )
    reply = hear(tried, "hint")
    hints = [m.text for m in reply.messages if m.kind == "hint"]
    if not hints:
        return posed, ""
    return posed._replace(talk=reply.talk).helped(hints[0], "hint"), hints[0]
