"""Reasons behind a right guess of what a change does: so, not so, or open."""

from __future__ import annotations

import re

from tutor.circuit.network import Network
from tutor.circuit.steps import step_of_all
from tutor.circuit.values import Value
from tutor.teaching.claimed_values import claims_judged, compared_in, knows_numbers
from tutor.teaching.conversation import StagedSupposing
from tutor.teaching.quantities import Symbol
from tutor.teaching.reading.grounds import (
    GroundPlace,
    GroundWeight,
    JudgesOfValues,
    SaidGround,
    parts_of,
    weigh_ground,
)
from tutor.teaching.staged.story import Story
from tutor.teaching.values_here import ValuesHere
from tutor.teaching.whatif.before_and_after import Sides
from tutor.teaching.whatif.change import Supposing
from tutor.teaching.whatif.consequence import Consequence
from tutor.teaching.whatif.predictions import guesses, is_of_the_rest


def weighed_where_supposed(task: Supposing | StagedSupposing, ground: SaidGround) -> GroundWeight:
    """How the reason for a guess is found, by what each value was before the change and is after
    it, and by how the changed network is joined.
    """
    network: Network | None = None
    if isinstance(task, Supposing):
        network, here = task.changed.network, _values_before_and_after(task)
        reason = Consequence(task, task.speech).reason()
        told: tuple[str, ...] = (reason, Sides(task, task.speech).fixed())
    else:
        network, here = task.after.network, _values_of_both(task)
        told = tuple(each.because for each in task.after.asks)
    if ground.beside:
        kept = [each for each in parts_of(ground.text) if not is_of_the_rest(each)]
        ground = ground._replace(text="; ".join(kept))
    step = step_of_all(network) if network is not None else None
    judges = JudgesOfValues(
        lambda text: claims_judged(text, here) or [True] * (ground.beside and guesses(text)),
        lambda text: compared_in(text, here), lambda text: knows_numbers(text, here),
    )
    return weigh_ground(ground, GroundPlace(network, step, told), judges)


def _values_before_and_after(whatif: Supposing) -> ValuesHere:
    held = {
        (q.symbol, q.of): (value, whatif.after[q]) for q, value in whatif.before.items()
        if q.point is None and q in whatif.after
    }
    in_hand = tuple(c.name for c in whatif.changed.network.capacitors)
    return ValuesHere(held, in_hand, whatif.problem.powers, {}, is_supposed=True)


_NAME = re.compile(r"(?P<symbol>[CQVE])(?P<of>\d*)'*")


def _values_of_both(whatif: StagedSupposing) -> ValuesHere:
    before, after = _by_name(whatif.before), _by_name(whatif.after)
    held: dict[tuple[Symbol, str | None], tuple[Value, ...]] = {
        key: (value, after[key]) for key, value in before.items() if key in after
    }
    in_hand = tuple(sorted({of for _, of in held if of is not None}))
    return ValuesHere(held, in_hand, whatif.after.powers, {}, is_supposed=True)


def _by_name(story: Story) -> dict[tuple[Symbol, str | None], Value]:
    """What is asked of each quantity by its name, at the last of its stages."""
    found: dict[tuple[Symbol, str | None], Value] = {}
    for ask in story.asks:
        if (named := _NAME.fullmatch(ask.name)) is not None and ask.right is not None:
            symbol: Symbol = named["symbol"]  # type: ignore[assignment]
            found[symbol, f"C{named['of']}" if named["of"] else None] = ask.right
    return found
