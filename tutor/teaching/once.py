"""What follows from a record that never changes, worked out once and kept beside it."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

Owner = TypeVar("Owner")
Rest = ParamSpec("Rest")
Made = TypeVar("Made")


def once(
    work: Callable[Concatenate[Owner, Rest], Made]
) -> Callable[Concatenate[Owner, Rest], Made]:
    """A function of a record, and of what else can be told apart, that is worked out when it is
    first asked for. What it comes to is kept with the record and goes with it, as a property
    would be; so it must be of that record alone, and nobody may change it.
    """

    @wraps(work)
    def kept(owner: Owner, /, *rest: Rest.args, **by_name: Rest.kwargs) -> Made:
        found: dict[Hashable, Made] = vars(owner).setdefault("_once", {})
        key = (work, rest, tuple(by_name.items()))
        if key not in found:
            found[key] = work(owner, *rest, **by_name)
        return found[key]

    return kept
