"""What phrases of a text stand for: capacitors that are spoken of, and words that point back."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

HowTied: TypeAlias = Literal["series", "parallel", "together"]
WAYS: Final[Mapping[str, HowTied]] = MappingProxyType({"SER": "series", "PAR": "parallel"})
HeldQuantity: TypeAlias = Literal["voltage", "charge", "energy"]
RefKind: TypeAlias = Literal[
    "group", "them", "whole", "all", "count", "other", "each", "some", "split", "promise"
]


MIDDLE: Final = 99  # the ordinal of the one in the middle


class Mention(NamedTuple):
    """Capacitors that a phrase names: a worth and a name for each, "" where it does not say.

    ``how`` is "new" after a or another, "old" after the, "again" for what is joined once more, and
    "" where nothing is said. ``start``
    is the p.d. or the charge it begins with, "0" for none; ``ordinal`` counts from 1, -1 is the
    last.
    ``so_many`` says that the text counts them, as in three capacitors.
    """

    worths: tuple[str, ...]
    names: tuple[str, ...]
    how: str = ""
    start: str = ""
    rating: str = ""
    ordinal: int = 0
    so_many: bool = False


class Ref(NamedTuple):
    """Words that point back: this combination, them, the two, the other, the third, the lot.

    ``many`` is how many are meant, 0 where it is not said; ``way`` what kind of group. Some are
    as many as have not been joined yet; a split is so many equal groups of them; a promise is a
    group whose parts are told later, ``many`` the branches that it will have.
    """

    kind: RefKind
    many: int = 0
    way: str = ""
    text: str = ""
    first: bool = False


class Supplied(NamedTuple):
    """A quantity that the text gives, and what it is said of; ``over`` is None for the whole.

    ``from_source`` says that a battery or the like gives it.
    """

    quantity: HeldQuantity
    text: str
    over: Mention | Ref | None = None
    points: tuple[str, str] | None = None
    word: str = ""
    from_source: bool = False


class GivenBeside(NamedTuple):
    """A quantity given beside the supply, of a capacitor by its number, or of the whole (None)."""

    quantity: HeldQuantity
    of: int | None
    text: str


class Event(NamedTuple):
    """What is done later on, as told: disconnect, join, fill, gap, charge, short."""

    kind: str
    text: str = ""
    crossed: bool = False
