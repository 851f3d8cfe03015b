"""What if: one thing is changed, the learner predicts, then both are shown side by side.

The walk's own question waits meanwhile and comes back unchanged.
"""

from __future__ import annotations

from grammar.records import Refusal
from tutor.circuit.changes import Alteration, Broken, NewSupply, Removed
from tutor.teaching.hearing import plain, request_in
from tutor.teaching.messages import Message, Verdict
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import points_in_words
from tutor.teaching.speech import listed
from tutor.teaching.turn import Turn, ask_again, speech_of
from tutor.teaching.walk import Walk
from tutor.teaching.whatif.change import WhatIf, compare, listed_values, offered
from tutor.teaching.whatif.change_words import opens
from tutor.teaching.whatif.consequence import Consequence
from tutor.teaching.whatif.outcomes import RANK, judged
from tutor.teaching.whatif.predictions import read_predictions
from tutor.teaching.whatif.sides import Sides
from tutor.teaching.whatif.supposing import suppose

LEAVING = frozenset({
    "back", "go back", "undo", "cancel", "never mind", "nevermind", "forget it", "leave it",
    "no what if", "back to the walk", "go on", "carry on", "continue", "skip", "pass",
})
TYPED = (
    "Now: which way each goes, like C up, Q up, V1 down; 'same' for no change; a value, like "
    "Q = 40 uC; or 'I don't know'. 'list' or 'drawing' shows the changed network, 'back' goes on "
    "without this."
)


def hear(walk: Walk, line: str) -> Turn | None:
    """Answer a line that opens a what-if or speaks to the one in hand; None for any other.

    A request that ends or restarts the walk is left to the dialogue.
    """
    said = opens(line)
    if said is not None:
        return _open(walk, said)
    if walk.whatif is None:
        return None
    if plain(line) in LEAVING:
        return close(walk, [Message("say", "Left as it was.")])
    request = request_in(line)
    if request in ("stop", "restart"):
        return None
    if request in ("unsure", "show"):
        return close(walk, _shown(walk, walk.whatif, ()))
    if request is not None:
        return _requested(walk, walk.whatif, request)
    return _predicted(walk, walk.whatif, line)


def close(walk: Walk, said: list[Message]) -> Turn:
    """Back to the walk's own question, or to its end."""
    ended = walk.whatif is not None and walk.whatif.ended
    walk = walk._replace(whatif=None, over=ended)
    if ended:
        more = "Type another 'what if', another network, 'start again' or 'stop'."
        return Turn(walk, (*said, Message("close", more)))
    return ask_again(walk, said)


def ask(walk: Walk) -> Message:
    """What the learner is to predict."""
    assert walk.whatif is not None
    speech = speech_of(walk)
    names = [speech.name(quantity) for quantity in offered(walk.whatif)]
    if len(names) == 1:
        text = f"Which way does {names[0]} go? (like: {names[0]} up; or down, or same)"
    else:
        like = ", ".join(
            f"{name} {way}" for name, way in zip(names, ("up", "down", "same"), strict=False)
        )
        text = f"Which way do these go: {', '.join(names)}? (like: {like}; or name one)"
    return Message("ask", text, about="change")


def _open(walk: Walk, said: str) -> Turn:
    ended = walk.whatif.ended if walk.whatif is not None else walk.over
    idle = walk._replace(whatif=None, over=ended)
    try:
        supposed = suppose(walk.terms.understood(said), walk.problem)
    except Refusal as refusal:
        return _not_opened(idle, Message("verdict", str(refusal), about="change", verdict="unread"))
    found = compare(walk.problem, supposed.change, supposed.said)
    if isinstance(found, Broken):
        return _not_opened(idle, Message("say", _broken(walk, found, supposed.change)))
    energies = walk.energy_wanted or any(each.quantity == "energy" for each in walk.problem.asked)
    hidden = frozenset() if ended else frozenset(found.before) - frozenset(walk.known)
    energies = energies and walk.problem.supply is not None
    found = found._replace(ended=ended, hidden=hidden, energies=energies)
    opened = walk._replace(whatif=found, over=False)
    text = Sides(found, speech_of(walk)).supposition()
    return Turn(opened, (Message("say", text), ask(opened)))


def _not_opened(walk: Walk, said: Message) -> Turn:
    return Turn(walk, (said,)) if walk.over else ask_again(walk, [said])


def _broken(walk: Walk, broken: Broken, change: Alteration) -> str:
    """In words, what a change leaves that is no network any more."""
    ends = listed(walk.problem.network.ends)
    charge = walk.problem.supply is not None and walk.problem.supply.quantity == "charge"
    if broken.kind == "open":
        names = listed(change.names) if isinstance(change, Removed) else "that"
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


def _requested(walk: Walk, whatif: WhatIf, request: str) -> Turn:
    """What may be asked for before predicting."""
    speech = speech_of(walk)
    sides = Sides(whatif, speech)
    network = whatif.changed.network
    if request == "energy" and whatif.problem.supply is not None:
        walk = walk._replace(whatif=whatif._replace(energies=True))
        return Turn(walk, (ask(walk),))
    said = {
        "points": Message("say", "\n".join(points_in_words(network, speech))),
        "drawing": Message("say", "The changed network:", network=network),
        "typed": Message("say", TYPED),
        "hint": Message("hint", _hint(whatif, sides), about="change"),
        "why": Message("say", "First your own idea, even a rough one; then the reason comes."),
        "where": Message("say", sides.supposition()),
    }.get(request)
    return Turn(walk, ((said, ask(walk)) if said else (ask(walk),)))


def _hint(whatif: WhatIf, sides: Sides) -> str:
    """What is fixed, as a question."""
    if isinstance(whatif.change, NewSupply):
        return "What is a capacitance fixed by? And what do Q and C settle together?"
    look = "Where in the network is the change: beside something, or in a chain with it?"
    return f"{sides.fixed()} {look}".strip()


# Judging


def _predicted(walk: Walk, whatif: WhatIf, line: str) -> Turn:
    try:
        predictions = read_predictions(walk.terms.understood(line), whatif)
        outcomes = [judged(whatif, each, speech_of(walk)) for each in predictions]
    except Refusal as refusal:
        unread = Message("verdict", str(refusal), about="change", verdict="unread")
        return Turn(walk, (unread, ask(walk)))
    # Who says 'up', 'doubles' or a wrong value is not shown numbers that are still to be found.
    found = frozenset(each.quantity for each, outcome in zip(predictions, outcomes, strict=True)
                      if outcome.is_found)
    whatif = whatif._replace(hidden=whatif.hidden - found)
    ordered = sorted(outcomes, key=lambda outcome: RANK[outcome.verdict])
    verdict: Verdict = ordered[-1].verdict
    text = "\n".join(outcome.text for outcome in ordered)
    malrules = tuple(dict.fromkeys(name for each in ordered for name in each.malrules))
    verdicts = Message("verdict", text, about="change", verdict=verdict, malrules=malrules)
    named = tuple(each.quantity for each in predictions)
    return close(walk, [verdicts, *_shown(walk, whatif, named)])


def _shown(walk: Walk, whatif: WhatIf, named: tuple[Quantity, ...]) -> list[Message]:
    """Both side by side, with the reason; in the middle of a walk only what was spoken of."""
    speech = speech_of(walk)
    sides = Sides(whatif, speech)
    spoken_of = tuple(dict.fromkeys((*offered(whatif), *named)))
    shown = listed_values(whatif, named) if whatif.ended else spoken_of
    lines = [sides.side_by_side(quantity) for quantity in shown]
    network = whatif.changed.network
    text = "\n".join([*lines, Consequence(whatif, speech).reason()])
    return [Message("reveal", text, about="change", network=network)]
