"""Whether a reading leaves a capacitor with an end at a point that leads nowhere else."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from grammar.records import Description, Refusal

# Words for an end that touches nothing.
_LOOSE: Final = re.compile(
    r"(?i)\b(?:air|nowhere|nothing|open|loose|free|dangl\w*|dead|unconnected|unused|not \w+|n't"
    r"|touch\w*|missing|broken|cut|no(?:body| one)?|hang\w*|without)\b"
)


def refuse_a_loose_end(plain: str, told: Sequence[Description]) -> None:
    """Errors: ``Refusal`` where in every reading some point leads nowhere, of which nothing in the
    text speaks: then an end was put where it is not.
    """
    loose = [next(_loose_points(each), "") for each in told]
    if loose and all(loose) and _LOOSE.search(plain) is None:
        raise Refusal(
            f"As I read this, nothing goes on from point {loose[0]}.",
            "Say between which two points each is, as in C1 = 4 uF from A to B.",
        )


def _loose_points(told: Description) -> Iterator[str]:
    """The points of a list of joins, but for its ends, that have one neighbour alone; with a wire
    between two points that is as it may be.
    """
    if told.nest is not None or told.changes or told.bank or told.wires or told.exchange:
        return
    neighbours: dict[str, set[str]] = {}
    for join in told.joins:
        neighbours.setdefault(join.start, set()).add(join.end)
        neighbours.setdefault(join.end, set()).add(join.start)
    yield from (
        each for each, near in neighbours.items() if len(near) < 2 and each not in told.ends
    )
