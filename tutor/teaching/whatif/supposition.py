"""What if: one thing is changed, the learner predicts, then both are shown side by side.

The walk's own question waits meanwhile and comes back unchanged.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from grammar.records import Refusal
from tutor.circuit.changes import Alteration, Broken, NewSupply, Removed
from tutor.circuit.values import Value
from tutor.teaching.conversation import TurnOf
from tutor.teaching.hearing import plain
from tutor.teaching.in_sight import of_task
from tutor.teaching.messages import Message, Verdict
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import points_in_words
from tutor.teaching.speech import listed
from tutor.teaching.turn import speech_of
from tutor.teaching.walk import Walk
from tutor.teaching.whatif.before_and_after import Sides
from tutor.teaching.whatif.change import (
    Supposing,
    comparable,
    compare,
    listed_values,
    offered,
    watched,
)
from tutor.teaching.whatif.consequence import Consequence
from tutor.teaching.whatif.outcomes import RANK, judged
from tutor.teaching.whatif.predictions import read_predictions, speaks_of_change
from tutor.teaching.whatif.supposing import suppose

LEAVING = frozenset({
    "back", "go back", "undo", "cancel", "never mind", "nevermind", "forget it", "leave it",
    "no what if", "back to the walk", "go on", "carry on", "continue", "skip", "pass",
})
LEFT = "Left as it was."
MORE = "Type another 'what if', another network, 'start again' or 'stop'."
TYPED = (
    "Now: which way each goes, like C up, Q up, V1 down; 'same' for no change; a value, like "
    "Q = 40 uC; or 'I don't know'. 'list' or 'drawing' shows the changed network, 'back' goes on "
    "without this."
)


def begin(walk: Walk, known: Mapping[Quantity, Value], said: str) -> TurnOf[Supposing] | Message:
    """What is supposed of a walk's problem in the words after 'what if', and the question of it;
    or only what is said where that cannot be supposed. Of values that are not ``known`` only the
    direction will be told while the walk goes on.
    """
    try:
        supposed = suppose(walk.terms.understood(said), walk.problem)
    except Refusal as refusal:
        return Message("verdict", str(refusal), about="change", verdict="unread")
    found = compare(walk.problem, supposed.change, supposed.said)
    if isinstance(found, Broken):
        return Message("say", _broken(walk, found, supposed.change))
    energies = walk.energy_wanted or any(each.quantity == "energy" for each in walk.problem.asked)
    hidden = frozenset() if walk.over else frozenset(found.before) - frozenset(known)
    energies = energies and walk.problem.supply is not None
    opened = found._replace(ended=walk.over, hidden=hidden, energies=energies, terms=walk.terms)
    text = Sides(opened, opened.speech).supposition()
    return TurnOf(opened, (Message("say", text), ask(opened)))


def is_left(line: str) -> bool:
    """Whether a line goes on without the what-if in hand."""
    return plain(line) in LEAVING


def ask(whatif: Supposing) -> Message:
    """What the learner is to predict."""
    names = [whatif.speech.name(quantity) for quantity in offered(whatif)]
    return Message("ask", which_way(names, is_rest=bool(whatif.predicted)), about="change")


def which_way(names: Sequence[str], *, is_rest: bool) -> str:
    """The question of so many quantities; ``is_rest`` where others were said rightly before."""
    go = f"does {names[0]} go" if len(names) == 1 else f"do these go: {', '.join(names)}"
    if is_rest:
        return f"And which way {go}? ('show' shows {'it' if len(names) == 1 else 'them'}.)"
    if len(names) == 1:
        return f"Which way {go}? (like: {names[0]} up; or down, or same)"
    ways = zip(names, ("up", "down", "same"), strict=False)
    like = ", ".join(f"{name} {way}" for name, way in ways)
    return f"Which way {go}? (like: {like}; or one at a time)"


def _once_more(whatif: Supposing, *said: Message) -> TurnOf[Supposing]:
    return TurnOf(whatif, (*said, ask(whatif)))


def _done(whatif: Supposing, *said: Message) -> TurnOf[Supposing]:
    return TurnOf(whatif._replace(over=True), said)


def _broken(walk: Walk, broken: Broken, change: Alteration) -> str:
    """In words, what a change leaves that is no network any more."""
    ends = listed(walk.problem.network.ends)
    charge = walk.problem.supply is not None and walk.problem.supply.quantity == "charge"
    if broken.kind == "open":
        names = listed(change.names) if isinstance(change, Removed) else "that"
        if isinstance(change, Removed) and change.charged:
            its = "its" if len(change.names) == 1 else "their"
            return (
                f"{names} would take the charge on {its} plates along, and every other plate would "
                f"keep its own. Without {names} no way is left from end to end, between {ends}, so "
                "there is no capacitance between the ends."
            )
        then = "no charge can be given to anything" if charge else "nothing takes charge"
        return (
            f"Without {names} no way is left from end to end, between {ends}: {then}, and there "
            "is no capacitance between the ends."
        )
    if charge:
        return f"Then a wire joins {ends}: the charge goes round through it, and nothing stays."
    if walk.problem.supply is None:
        return f"Then a wire joins {ends}: the ends are one point, and nothing between them counts."
    return (
        f"Then a wire joins {ends}: the supply is short-circuited. A supply could not keep a "
        f"{speech_of(walk).terms.difference} there, so nothing would hold charge, and the wire "
        "would get hot."
    )


# What may be asked for before predicting


def points(whatif: Supposing) -> TurnOf[Supposing]:
    """The changed network in words."""
    lines = points_in_words(whatif.changed.network, whatif.speech)
    return _once_more(whatif, Message("say", "\n".join(lines)))


def drawing(whatif: Supposing) -> TurnOf[Supposing]:
    """The changed network, for the shell to draw."""
    return _once_more(whatif, Message("say", "The changed network:", drawn=of_task(whatif)))


def typed(whatif: Supposing) -> TurnOf[Supposing]:
    """What can be typed now."""
    return _once_more(whatif, Message("say", TYPED))


def why(whatif: Supposing) -> TurnOf[Supposing]:
    """The reason comes with the answer."""
    text = "First your own idea, even a rough one; then the reason comes."
    return _once_more(whatif, Message("say", text))


def where(whatif: Supposing) -> TurnOf[Supposing]:
    """What is supposed."""
    return _once_more(whatif, Message("say", Sides(whatif, whatif.speech).supposition()))


def energy(whatif: Supposing) -> TurnOf[Supposing]:
    """Energies are asked as well, where there are any."""
    return _once_more(whatif._replace(energies=whatif.problem.supply is not None))


def hint(whatif: Supposing) -> TurnOf[Supposing]:
    """What is fixed, and where the change is."""
    text = _hint(whatif, Sides(whatif, whatif.speech))
    return _once_more(whatif, Message("hint", text, about="change"))


def unsure(whatif: Supposing) -> TurnOf[Supposing]:
    """An honest 'I don't know': where to look, and the second time both sides."""
    return show(whatif) if whatif.hinted else hint(whatif._replace(hinted=True))


def show(whatif: Supposing) -> TurnOf[Supposing]:
    """Both sides with the reason, without a prediction."""
    return _done(whatif, *_shown(whatif))


def _hint(whatif: Supposing, sides: Sides) -> str:
    """What is fixed, as a question."""
    if isinstance(whatif.change, NewSupply):
        return "What is a capacitance fixed by? And what do Q and C settle together?"
    if whatif.is_carried_off:
        return "Can charge come to any other plate by that, or leave it?"
    look = "Where in the network is the change: beside something, or in a chain with it?"
    return f"{sides.fixed()} {look}".strip()


# Judging


def answer(whatif: Supposing, line: str) -> TurnOf[Supposing]:
    """What a learner expects, judged; then both sides with the reason."""
    try:
        predictions = read_predictions(whatif.terms.understood(line), whatif)
        outcomes = [judged(whatif, each, whatif.speech) for each in predictions]
    except Refusal as refusal:
        word: Verdict = "incomplete" if speaks_of_change(line) else "unread"
        return _once_more(whatif, Message("verdict", str(refusal), about="change", verdict=word))
    # Who says 'up', 'doubles' or a wrong value is not shown numbers that are still to be found.
    found = frozenset(each.quantity for each, outcome in zip(predictions, outcomes, strict=True)
                      if outcome.is_found)
    whatif = whatif._replace(hidden=whatif.hidden - found)
    ordered = sorted(outcomes, key=lambda outcome: RANK[outcome.verdict])
    verdict: Verdict = ordered[-1].verdict
    text = "\n".join(outcome.text for outcome in ordered)
    malrules = tuple(dict.fromkeys(name for each in ordered for name in each.malrules))
    verdicts = Message("verdict", text, about="change", verdict=verdict, malrules=malrules)
    whatif = whatif._replace(predicted=whatif.predicted | {each.quantity for each in predictions})
    if verdict == "right" and offered(whatif):
        return _once_more(whatif, verdicts)
    return _done(whatif, verdicts, *_shown(whatif, text))


def _shown(whatif: Supposing, said: str = "") -> list[Message]:
    """Both side by side, with the reason where that is not ``said`` already; in the middle of a
    walk only what was spoken of.
    """
    sides = Sides(whatif, whatif.speech)
    named = tuple(each for each in comparable(whatif) if each in whatif.predicted)
    spoken_of = tuple(dict.fromkeys((*watched(whatif), *named)))
    shown = listed_values(whatif, named) if whatif.ended else spoken_of
    lines = [sides.side_by_side(quantity) for quantity in shown]
    reason = Consequence(whatif, whatif.speech).reason()
    text = "\n".join(lines if reason in said else [*lines, reason])
    return [Message("reveal", text, about="change", drawn=of_task(whatif))]
