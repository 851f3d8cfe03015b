"""What of a conversation may be drawn now: of a walk, a problem in stages, a change supposed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from tutor.circuit.network import Capacitor, Network
from tutor.circuit.values import Value, magnitude, same
from tutor.teaching.conversation import Conversation, OpenTask, StagedSupposing
from tutor.teaching.depicted import Depicted, as_given
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech
from tutor.teaching.staged.story import Ask, Moment, Story, Telling
from tutor.teaching.turn import of_walk
from tutor.teaching.walk import Walk
from tutor.teaching.whatif.change import Supposing


def in_sight(talk: Conversation) -> Depicted | None:
    """What is in hand as it stands; None where there is nothing to draw."""
    top = talk.frames[-1]
    if isinstance(top.task, Telling) and top.purpose in ("step", "exchange"):
        walks = [frame.task for frame in talk.frames if isinstance(frame.task, Walk)]
        return _within(walks[-1], top.task)
    return of_task(top.task)


def of_task(task: OpenTask) -> Depicted | None:
    """A task as it stands."""
    if isinstance(task, Walk):
        return of_walk(task)
    if isinstance(task, Supposing):
        return as_given(task.changed._replace(drawn=None), task.terms)
    if isinstance(task, StagedSupposing):
        return of_telling(Telling(task.after, task.terms))
    return of_telling(task)


def of_network(network: Network, story: Story, terms: Settings) -> Depicted:
    """A network of a story with the values that its opening tells."""
    speech = Speech(story.powers, terms)
    hidden = frozenset(
        c.name for c in network.capacitors if not _is_said(speech, c, story.opening)
    )
    return Depicted(network, speech, still_open=hidden)


# Problems in stages


def of_telling(telling: Telling) -> Depicted | None:
    """The network at the stage that has come, with what has been found in this stage.

    A stage alters what was found before it, so nothing of that is shown on it.
    """
    story = telling.story
    if story.drawn is not None:
        return story.drawn
    moment = _moment(story, telling.at)
    if moment is None:
        return None
    drawn = of_network(moment.network, story, telling.terms)
    answered = dict(_answered(telling))
    known = _known(drawn, [a for at, a in answered.items() if at >= moment.since])
    hidden = frozenset(
        c.name for c in moment.network.capacitors
        if (c.name in drawn.still_open or _is_altered(story, c))
        and not _is_found(c, answered.values(), len(moment.network.capacitors) == 1)
    )
    return drawn._replace(
        supply=moment.supply, known=known, plus=moment.plus, notes=moment.notes,
        still_open=hidden, inside=moment.inside,
    )


def _moment(story: Story, at: int) -> Moment | None:
    come = [moment for moment in story.moments if moment.since <= at]
    if come:
        return come[-1]
    return None if story.network is None else Moment(0, story.network)


def _answered(telling: Telling) -> Iterator[tuple[int, Ask]]:
    for at, ask in enumerate(telling.story.asks):
        if telling.is_known(at):
            yield at, ask


def _is_said(speech: Speech, c: Capacitor, opening: tuple[str, ...]) -> bool:
    """Whether the value of a capacitor stands in the words that the problem begins with."""
    amount = speech.amount(c.value, "capacitance")
    if amount == c.name:
        return False
    words = rf"(?<![\w.,]){re.escape(amount)}(?!\w)"
    return any(re.search(words, line) for line in opening)


def _is_altered(story: Story, c: Capacitor) -> bool:
    """Whether its value is another one than at the beginning."""
    first = _moment(story, 0)
    was = first.network.named((c.name,)) if first is not None else ()
    return not was or not same(was[0].value, c.value)


def _is_found(c: Capacitor, asks: Iterable[Ask], is_alone: bool) -> bool:
    """Whether its value as it is now has been an answer."""
    names = (c.name, "C") if is_alone else (c.name,)
    return any(
        ask.name.rstrip("'") in names and ask.right is not None and same(ask.right, c.value)
        for ask in asks
    )


def _known(drawn: Depicted, asks: list[Ask]) -> Mapping[Quantity, Value]:
    """The values of these questions, by what they are of."""
    names = dict(_names(drawn))
    found: dict[Quantity, Value] = {}
    for ask in asks:
        quantity = names.get(ask.name.rstrip("'"))
        value = ask.right if ask.exact is None else ask.exact
        if quantity is not None and value is not None and ask.dimension == quantity.dimension:
            found[quantity] = value if quantity.point is not None else magnitude(value)
    return found


def _names(drawn: Depicted) -> Iterator[tuple[str, Quantity]]:
    """The names that questions give to values, each with what is shown on the drawing."""
    capacitors = drawn.network.capacitors
    symbols: tuple[Symbol, ...] = ("V", "Q", "E")
    for symbol in symbols:
        for c in capacitors:
            quantity = Quantity(symbol, c.name)
            yield drawn.speech.name(quantity), quantity
            if len(capacitors) == 1:
                yield drawn.speech.name(Quantity(symbol)), quantity
    for point in drawn.network.points():
        quantity = Quantity("V", point=point)
        yield drawn.speech.name(quantity), quantity


# A story within a walk


def _within(walk: Walk, told: Telling) -> Depicted:
    """The walk with the values that the story of its step has found."""
    drawn = of_walk(walk)
    found = _known(drawn, [ask for _, ask in _answered(told)]) if walk.problem.supply else {}
    return drawn._replace(known={**found, **drawn.known})
