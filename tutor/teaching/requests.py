"""What a learner may ask for at any time, whatever the question in hand."""

from __future__ import annotations

from tutor.teaching import beyond
from tutor.teaching.closing_words import Closing
from tutor.teaching.hearing import Request
from tutor.teaching.hints import LAST_RUNG
from tutor.teaching.hints import hint as hint_text
from tutor.teaching.messages import Message
from tutor.teaching.showing import show_step
from tutor.teaching.turn import Turn, ask, ask_again, proceed, speech_of
from tutor.teaching.twins import remember
from tutor.teaching.walk import Question, Walk, begin_walk, is_stuck, next_question
from tutor.teaching.wording import Wording


def _words(walk: Walk) -> Wording:
    return Wording(speech_of(walk))


def _say(text: str) -> Message:
    return Message("say", text)


def unsure(walk: Walk, question: Question) -> Turn:
    """An honest 'I don't know': a smaller question, then the idea, then the step itself."""
    for rung in (walk.rung + 1, walk.rung + 2):
        if rung < LAST_RUNG and (text := hint_text(walk, question, rung, speech_of(walk))):
            asked = walk._replace(rung=rung, unsure=True)
            lead = "" if walk.rung else "Let us look at one thing first. "
            return ask_again(asked, [Message("hint", lead + text, about=question.about)])
    return _show(walk, question, "Here it is, step by step.")


def hint(walk: Walk, question: Question) -> Turn:
    """The next rung; the second and later ones want an attempt or 'I don't know' first."""
    rung = walk.rung + 1
    if rung > 1 and not walk.tries and walk.rung < 1:
        rung = 1
    if walk.rung >= 1 and not (walk.tries or walk.rung > 1):
        text = "Have a try first, even a rough one, or say 'I don't know'; then there is more help."
        return ask_again(walk, [_say(text)])
    told = hint_text(walk, question, rung, speech_of(walk)) if rung <= LAST_RUNG else None
    if told is None:
        text = "That was the last hint before the answer; 'show me' shows this step."
        return ask_again(walk, [_say(text)])
    return ask_again(walk._replace(rung=rung), [Message("hint", told, about=question.about)])


def show(walk: Walk, question: Question) -> Turn:
    """The step in hand, after an attempt or 'I don't know'."""
    if not walk.tries and not walk.unsure:
        text = "First your own idea, please, even a rough one; or say 'I don't know'."
        return ask_again(walk, [_say(text)])
    return _show(walk, question, "")


def _show(walk: Walk, question: Question, lead: str) -> Turn:
    if question.about == "choice" and is_stuck(walk):
        return beyond.go_on(walk, walk, "")
    shown, reveals = show_step(walk, question)
    shown = shown._replace(shown=(*shown.shown, _words(walk).topic(question)))
    said = [_say(lead)] if lead else []
    return proceed(remember(shown, question), [*said, *reveals], walk)


def where(walk: Walk, question: Question) -> Turn:
    """How far the walk is, and every value known so far."""
    del question
    return ask_again(walk, [_say(_words(walk).where(walk))])


def points(walk: Walk, question: Question) -> Turn:
    """The network that is left, in words."""
    del question
    return ask_again(walk, [_say(_words(walk).listing(walk))])


def drawing(walk: Walk, question: Question) -> Turn:
    """The drawing of what is left; the shell draws it."""
    del question
    if len(walk.network.capacitors) == 1 and walk.steps:
        return ask_again(walk, [Message("say", "The whole network:", network=walk.problem.network)])
    return ask_again(walk, [Message("say", "What is left:", network=walk.network)])


def why(walk: Walk, question: Question) -> Turn:
    """The reason of the last thing settled, derived from the facts."""
    del question
    return ask_again(walk, [_say(_words(walk).why(walk))])


def undo(walk: Walk, question: Question) -> Turn:
    """Back to the question before."""
    del question
    if not walk.before:
        start = begin_walk(walk.problem, walk.terms, walk.seed, walk.manner)
        if walk.pending is not None:
            return ask_again(start, [_say("Taken back.")])
        return ask_again(walk, [_say("There is nothing to take back yet.")])
    earlier = walk.before[-1]._replace(
        before=walk.before[:-1], energy_wanted=walk.energy_wanted
    )
    return ask_again(earlier, [_say("Taken back.")])


def restart(walk: Walk, question: Question) -> Turn:
    """The same problem from its start."""
    del question
    start = begin_walk(walk.problem, walk.terms, walk.seed, walk.manner)
    words = _words(start)
    said = [_say("From the start."), Message("say", words.opening(start), network=start.network)]
    return proceed(start, said)


def typed(walk: Walk, question: Question) -> Turn:
    """What can be typed now and at any time."""
    return ask_again(walk, [_say(_words(walk).what_can_be_typed(question))])


def stop(walk: Walk, question: Question) -> Turn:
    """The end, with where it stopped."""
    del question
    text = Closing(speech_of(walk)).stopped(walk)
    return Turn(walk._replace(over=True), (Message("close", text),))


def energy(walk: Walk, question: Question) -> Turn:
    """Energies are asked for as well, at the end."""
    if walk.problem.supply is None:
        text = "Without a supply nothing is charged, so there is no energy to ask for."
        return ask_again(walk, [_say(text)])
    wanting = walk._replace(energy_wanted=True)
    later = Message("say", "The energies will be asked for as well, at the end.")
    asked = next_question(wanting)
    return Turn(wanting, (later, ask(wanting, asked or question)))


def repeat(walk: Walk, question: Question) -> Turn:
    """The question again."""
    del question
    return ask_again(walk, [])


def after_the_end(walk: Walk, request: Request | str | None) -> Turn:
    """What can still be asked once a walk is over."""
    words = _words(walk)
    if request == "why":
        return Turn(walk, (_say(words.why(walk)),))
    if request == "where":
        return Turn(walk, (_say(words.where(walk)),))
    if request == "energy" and walk.problem.supply is not None and not walk.energy_wanted:
        return proceed(walk._replace(energy_wanted=True, over=False), [])
    if request == "undo" and walk.before:
        earlier = walk.before[-1]._replace(before=walk.before[:-1], over=False)
        return ask_again(earlier, [_say("Taken back.")])
    if request == "restart":
        return restart(walk, Question("choice"))
    text = "This walk is done. Type another network, 'start again' for this one, or 'stop'."
    return Turn(walk, (Message("close", text),))
