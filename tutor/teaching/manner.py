"""How a walk is led for one learner: what is shown first, what alone is asked, how many tries."""

from __future__ import annotations

from typing import Final, NamedTuple


class Manner(NamedTuple):
    """Skills are named by their codes.

    ``shown``: the first question that needs one of these is shown worked, the next one asked;
    ``steady``: known well enough for a third try; ``mastered``: so well that one question of it in
    a problem is enough; ``asked``: where it is not None, questions of these skills alone are asked,
    and all else is shown worked; ``only`` the same by the keys of questions (evidence.key_of), for
    going over what went wrong. ``stepwise``: the end alone was asked for and went wrong, so that
    the steps are asked after all.
    """

    shown: frozenset[str] = frozenset()
    steady: frozenset[str] = frozenset()
    asked: frozenset[str] | None = None
    only: frozenset[str] | None = None
    mastered: frozenset[str] = frozenset()
    stepwise: bool = False

    def tries(self, skills: tuple[str, ...]) -> int:
        """After how many wrong tries the answer is shown, where all of these are needed."""
        return 3 if skills and self.steady.issuperset(skills) else 2


PLAIN: Final = Manner()
# What is shared, or held fixed, is asked first, always: an answer of one's own before the example.
COLD: Final = frozenset({"S08", "S09", "S19", "S20", "S29"})


# When an answer is shown, and when a learner is asked to try once more.


def is_to_be_shown(tries: int, most: int, is_put: bool) -> bool:
    """Whether the answer is shown after this many wrong tries of ``most``.

    A wrong idea that has just been put to the learner as a question (``is_put``) is theirs to mend:
    one more try comes before anything is shown.
    """
    return tries > most or (tries == most and not is_put)
