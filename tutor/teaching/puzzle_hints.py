"""Hints for a puzzle, from the stock and from one arrangement that solves it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from tutor.circuit.arranging import Order
from tutor.circuit.joining import Connection
from tutor.circuit.trees import Joined, Tree, leaves, value_of_tree
from tutor.teaching.speech import Speech, counted

WORDS: Mapping[Connection, str] = MappingProxyType(
    {"parallel": "side by side", "series": "in a chain"}
)


def hints(order: Order, tree: Tree, speech: Speech) -> tuple[str, ...]:
    """From the question that the sizes ask to what the rest must make, each saying more."""
    told = [_by_size(order, speech)]
    if rating := _by_rating(order, speech):
        told.append(rating)
    if isinstance(tree, Joined):
        parts = counted(len(list(leaves(tree))), "capacitor")
        joined = WORDS[tree.way]
        members = counted(len(tree.members), "member")
        told.append(f"It can be done with {parts}: at the outside {members} {joined}.")
        told.append(_one_member(order, tree, speech))
    else:
        told.append("It can be done with one capacitor.")
    return tuple(told)


def _by_size(order: Order, speech: Speech) -> str:
    values = sorted(kind.value for kind in order.stock.kinds)
    target = speech.amount(order.target, "capacitance")
    if order.target < values[0]:
        return f"{target} is smaller than any you have: what arrangement does that?"
    if order.target > values[-1]:
        return f"{target} is larger than any you have: what arrangement does that?"
    if order.target in values:
        return f"{target} is one that you have: what else could make it?"
    below = max(value for value in values if value < order.target)
    above = min(value for value in values if value > order.target)
    low, high = (speech.amount(each, "capacitance") for each in (below, above))
    return (
        f"{target} lies between the {low} and the {high} that you have. Which way do you come "
        f"from the {low} to more, and which from the {high} to less?"
    )


def _by_rating(order: Order, speech: Speech) -> str:
    """Where a single capacitor would not stand the p.d. on its own."""
    ratings = [kind.rating for kind in order.stock.kinds if kind.rating is not None]
    if order.across is None or not ratings or max(ratings) >= order.across:
        return ""
    volts = speech.amount(order.across, "voltage")
    most = speech.amount(max(ratings), "voltage")
    return f"None stands more than {most}, and the whole has {volts}: what divides a p.d.?"


def _one_member(order: Order, tree: Joined, speech: Speech) -> str:
    """One member of the outermost joint, and the sum that the rest must fill."""
    kinds = order.stock.kinds
    whole = value_of_tree(tree, kinds)
    single = value_of_tree(tree.members[0], kinds)
    size = counted(len(list(leaves(tree.members[0]))), "capacitor")
    value, all_in_all = (speech.amount(each, "capacitance") for each in (single, whole))
    if tree.way == "parallel":
        rest = f"{all_in_all} = {value} + the rest"
    else:
        rest = f"1/({all_in_all}) = 1/({value}) + 1/(the rest)"
    return f"One of the members makes {value} with {size}. What must the rest make? {rest}."
