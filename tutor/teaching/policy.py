"""When an answer is shown, and when a learner is asked to try once more."""

from __future__ import annotations


def is_to_be_shown(tries: int, most: int, is_put: bool) -> bool:
    """Whether the answer is shown after this many wrong tries of ``most``.

    A wrong idea that has just been put to the learner as a question (``is_put``) is theirs to mend:
    one more try comes before anything is shown.
    """
    return tries > most or (tries == most and not is_put)
