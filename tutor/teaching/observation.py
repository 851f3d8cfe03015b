"""What one answer shows of a learner, as a plain record that outlives the walk."""

from __future__ import annotations

from typing import Literal, NamedTuple, TypeAlias

AnswerKind: TypeAlias = Literal["number", "names", "menu", "two-way", "two-way with reason"]
Outcome: TypeAlias = Literal["right", "wrong", "unsure", "shown"]


class Observation(NamedTuple):
    """One answer to one question.

    ``key`` names the question within its problem ('shares C23', 'V1'): of several observations
    with one key only the first says what the learner could do unaided. ``network`` is the network
    of the problem in a form that is equal for equal networks alone. ``skills`` are the codes of
    all that the answer needed, ``options`` the number of entries of a menu. ``helped`` marks an
    answer after a hint, ``weak`` a right answer that a wrong
    rule gives as well. ``malrules`` give the wrong answer; ``sure`` if one remedy serves them all,
    and then the likeliest stands alone. ``blamed`` are the skills of those. ``chances`` are the
    malrules that this question can tell apart from the right rule and from each other.
    """

    key: str
    network: str
    skills: tuple[str, ...]
    answer: AnswerKind
    outcome: Outcome
    options: int = 0
    helped: bool = False
    weak: bool = False
    malrules: tuple[str, ...] = ()
    sure: bool = False
    blamed: tuple[str, ...] = ()
    chances: tuple[str, ...] = ()
