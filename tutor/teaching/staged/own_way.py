"""A value that nothing here asks for, found on a way of the learner's own to what is missing.

It is judged like any other, and from there on the questions go the way that leads on from it.
"""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

from grammar.answers import Claim, evaluate
from grammar.records import Description
from tutor.circuit.surds import near
from tutor.circuit.values import Value
from tutor.teaching.conversation import TurnOf
from tutor.teaching.judging import judge
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.going_on import Told, again, unanswered, verdict_on
from tutor.teaching.staged.makers import TextSource
from tutor.teaching.staged.measuring import lookup_of
from tutor.teaching.staged.one_missing import found_besides
from tutor.teaching.staged.story import Ask, Story, Telling, is_called, twin

LEADS_ON = "{}: right. It is known from here on."
TRUE_BESIDE = "{}: true, though that is not asked now."
DOES_NOT_FIT = "{} = {} does not fit."


class Onward(NamedTuple):
    """Writes a story whose questions at the places ``answered`` came first, then a value of the
    learner's own by its ``name``, and then what leads on from all of them.
    """

    before: TextSource | Onward
    answered: tuple[int, ...]
    name: str

    @property
    def description(self) -> Description:
        """What the text says."""
        return self.before.description

    def story(self, settings: Settings) -> Story:
        """Errors: as of any source."""
        kept = self._kept(settings)
        names = [*(ask.name for ask in kept if ask.name), self.name]
        onward = found_besides(self.description, settings, names)
        texts = {ask.text for ask in kept}
        return onward._replace(
            asks=(*kept, *(ask for ask in onward.asks if ask.text not in texts))
        )

    def _kept(self, settings: Settings) -> tuple[Ask, ...]:
        asks = self.before.story(settings).asks
        return tuple(asks[at] for at in self.answered)


OwnSource: TypeAlias = TextSource | Onward


def own_value(telling: Telling, claim: Claim) -> Told | None:
    """What is said to a value that is named and that no question of this story asks for, without
    the next question where it is right; None for any other. Raises Refusal.
    """
    wanted = _named(telling.story, claim)
    if wanted is None or telling.ask is None:
        return None
    right, speech = telling.story.besides[wanted], Speech(telling.story.powers, telling.terms)
    measure = evaluate(claim.sides[-1], lookup_of(telling))
    judged = judge(measure, wanted.dimension, telling.story.powers[wanted.dimension], right)
    if judged.verdict == "right":
        return _taken(telling, wanted, judged.value)
    said = speech.amount(judged.value, wanted.dimension) if judged.value is not None else "that"
    text = DOES_NOT_FIT.format(speech.name(wanted), said)
    return again(telling, [verdict_on(telling.ask, telling.at, text, "incomplete")])


def _named(story: Story, claim: Claim) -> Quantity | None:
    """The value that a claim names, where no question has that name."""
    names = (claim.target, twin(claim.target)) if claim.target else ()
    if any(is_called(ask, name) for ask in story.asks for name in names):
        return None
    return next((each for each in story.besides if each.name in names), None)


def _taken(telling: Telling, wanted: Quantity, said: Value | None) -> Told:
    """A right one taken up: what is still to be asked goes on from it, where all is asked that the
    story has.
    """
    right, speech = telling.story.besides[wanted], Speech(telling.story.powers, telling.terms)
    told = f"{speech.name(wanted)} {speech.shown(near(right), wanted.dimension).after_equals}"
    source, asks = telling.source, telling.story.asks
    message = Message("verdict", LEADS_ON.format(told), verdict="right", of=wanted)
    if not isinstance(source, OwnSource) or telling.in_full or telling.manner.only is not None:
        return TurnOf(telling, (message._replace(text=TRUE_BESIDE.format(told)),))
    answered = tuple(at for at in range(len(asks)) if telling.is_known(at))
    onward = Onward(source, answered, wanted.name)
    own = telling.own if said is None or said == right else {**telling.own, wanted.name: said}
    then = unanswered(telling)._replace(
        story=onward.story(telling.terms), source=onward, at=len(answered) + 1,
        found=frozenset(), own=own,
    )
    return TurnOf(then, (message,))
