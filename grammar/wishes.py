"""What a wish for an arrangement says: frozen records, and no physics."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple, TypeAlias

from grammar.records import Amount


class Capacitors(NamedTuple):
    """So many capacitors of one value; ``rating`` is the p.d. each is made for, if it is said."""

    worth: Amount
    number: int = 1
    rating: Amount | None = None


class PreferredSeries(NamedTuple):
    """As many capacitors as one likes of the values of a series such as E12."""

    series: str
    rating: Amount | None = None


StockItem: TypeAlias = Capacitors | PreferredSeries


class WishedFor(NamedTuple):
    """A wanted capacitance and the stock it is to be made of.

    ``target`` is None where every value is asked for. ``within`` is how far off is still good
    enough: a part of the target (2 % is 1/50), or a capacitance. ``between`` are the smallest and
    largest values to be taken from a series, ``most_parts`` how many capacitors there may be in
    all, ``across`` the p.d. on the whole. With ``all_of`` the whole stock must be used.
    """

    target: Amount | None
    items: tuple[StockItem, ...]
    within: Fraction | Amount | None = None
    between: tuple[Amount, Amount] | None = None
    most_parts: int | None = None
    across: Amount | None = None
    all_of: bool = False
