"""What a learner may ask for at any time of a walk, whatever the question in hand."""

from __future__ import annotations

import re

from tutor.teaching import stuck_step
from tutor.teaching.answering import step_by_step
from tutor.teaching.follow_ups import is_heard
from tutor.teaching.hearing import NO_HINT
from tutor.teaching.hints import LAST_RUNG
from tutor.teaching.hints import hint as hint_text
from tutor.teaching.messages import Message
from tutor.teaching.reasons import why_combined
from tutor.teaching.showing import show_answer, show_step
from tutor.teaching.turn import Turn, ask, ask_again, of_walk, proceed, show_choice, speech_of
from tutor.teaching.twins import remember
from tutor.teaching.walk import (
    Question,
    Walk,
    at_the_end,
    is_stuck,
    next_question,
    suggested,
)
from tutor.teaching.wording import Wording

DONE = "This walk is done. Type another network, 'start again' for this one, or 'stop'."


def _words(walk: Walk) -> Wording:
    return Wording(speech_of(walk))


def _say(text: str) -> Message:
    return Message("say", text)


def done(walk: Walk) -> Turn:
    """What is said of anything that no question is left for."""
    return Turn(walk, (Message("close", DONE),))


def unsure(walk: Walk) -> Turn:
    """An honest 'I don't know': a smaller question, then the idea, then the step itself."""
    question = next_question(walk)
    if question is None:
        return done(walk)
    for rung in (walk.rung + 1, walk.rung + 2):
        if rung < LAST_RUNG and (text := hint_text(walk, question, rung, speech_of(walk))):
            asked = walk._replace(rung=rung, unsure=True, hints=walk.hints + 1)
            lead = "" if walk.rung else "Let us look at one thing first. "
            return _helped(asked, question, lead + text)
    return _show(walk, question, "Here it is, step by step.")


def hint(walk: Walk) -> Turn:
    """The next rung; the second and later ones want an attempt or 'I don't know' first."""
    question = next_question(walk)
    if question is None:
        return done(walk)
    if walk.rung >= 1 and not (walk.tries or walk.unsure):
        text = "A guess will do, even a rough one; or say 'I don't know', and there is more help."
        return ask_again(walk, [_say(text)])
    rung = walk.rung + 1
    told = hint_text(walk, question, rung, speech_of(walk)) if rung <= LAST_RUNG else None
    if told is None:
        text = NO_HINT if not walk.rung and not at_the_end(walk) else (
            "Its steps lead there; 'I don't know' has them asked one by one." if at_the_end(walk)
            else "That was the last hint before the answer; 'show me' shows this step."
        )
        return ask_again(walk, [_say(text)])
    hinted = walk._replace(rung=rung, hints=walk.hints + 1)
    return _helped(hinted, question, told)


def _helped(walk: Walk, question: Question, text: str) -> Turn:
    """A hint. The small question at its end, where its answer is heard, stands in the place of the
    question in hand, so that one thing is asked; after it that one comes again.
    """
    *told, last = re.split(r"(?<=[.?!])\s+(?=[A-Z][a-z])", text)
    if not last.endswith("?") or not is_heard(walk, question):
        return ask_again(walk, [Message("hint", text, about=question.about)])
    said = [Message("hint", " ".join(told), about=question.about)] if told else []
    return Turn(walk, (*said, ask(walk, question)._replace(text=last)))


def show(walk: Walk) -> Turn:
    """The step in hand, after an attempt or 'I don't know'."""
    question = next_question(walk)
    if question is None:
        return done(walk)
    if not walk.tries and not walk.unsure:
        text = "First your own idea, please, even a rough one; or say 'I don't know'."
        return ask_again(walk, [_say(text)])
    return _show(walk, question, "")


def _show(walk: Walk, question: Question, lead: str) -> Turn:
    if at_the_end(walk):
        return step_by_step(walk, walk, [])
    if question.about == "choice" and is_stuck(walk):
        return stuck_step.go_on(walk, "")
    shown, reveals = show_step(walk, question)
    shown = shown._replace(shown=(*shown.shown, _words(walk).topic(question)))
    said = [_say(lead)] if lead else []
    return proceed(remember(shown, question), [*said, *reveals], walk)


def tell(walk: Walk) -> Turn:
    """The answer to the question in hand alone, asked for by whoever leads the walk; what a choice
    shares is still to be asked.
    """
    question = next_question(walk)
    if question is None:
        return done(walk)
    if question.about == "choice" and is_stuck(walk):
        return stuck_step.go_on(walk, "")
    if question.about == "choice":
        why = why_combined(suggested(walk))
        shown, reveals = show_choice(walk, f"For one, {{}} can be combined: {why}. Take these now.")
    else:
        shown, reveals = show_answer(walk, question)
    return proceed(shown, reveals, walk)


def where(walk: Walk) -> Turn:
    """How far the walk is, and every value known so far."""
    return _told(walk, _say(_words(walk).where(walk)))


def points(walk: Walk) -> Turn:
    """The network that is left, in words."""
    return _told(walk, _say(_words(walk).listing(walk)))


def drawing(walk: Walk) -> Turn:
    """The drawing of what is left, or has come back so far; the shell draws it."""
    drawn = of_walk(walk)
    is_whole = drawn.network == walk.problem.network and bool(walk.steps)
    lead = "The whole network:" if is_whole else "What is left:"
    return _told(walk, Message("say", lead, drawn=drawn))


def why(walk: Walk) -> Turn:
    """The reason of the last thing settled, derived from the facts."""
    return _told(walk, _say(_words(walk).why(walk)))


def _told(walk: Walk, said: Message) -> Turn:
    return Turn(walk, (said,)) if walk.over else ask_again(walk, [said])


def typed(walk: Walk) -> Turn:
    """What can be typed now and at any time."""
    question = next_question(walk)
    if question is None:
        return done(walk)
    return ask_again(walk, [_say(_words(walk).what_can_be_typed(question))])


def energy(walk: Walk) -> Turn:
    """Energies are asked for as well, at the end."""
    if walk.problem.supply is None:
        text = "Without a supply nothing is charged, so there is no energy to ask for."
        return _told(walk, _say(text))
    if walk.over:
        return done(walk) if walk.energy_wanted else proceed(
            walk._replace(energy_wanted=True, over=False), []
        )
    wanting = walk._replace(energy_wanted=True)
    later = Message("say", "The energies will be asked for as well, at the end.")
    question = next_question(wanting) or next_question(walk)
    return Turn(wanting, (later, ask(wanting, question)) if question else (later,))
