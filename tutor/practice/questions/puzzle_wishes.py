"""Wishes for the arrangement puzzle: a capacitance that a small stock can make, in one way."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from grammar.wishing import read_wish
from grammar.writing import write_number
from tutor.circuit.arranging import Findings, arrange
from tutor.circuit.joining import Connection
from tutor.circuit.ordering import order_of, stock_of
from tutor.circuit.stock import StockKind
from tutor.circuit.trees import Tree, joined_all, value_of_tree
from tutor.practice.questions.given import CAPACITANCES

STEPS = 20_000


def make_wish(seed: int) -> str:
    """Text for the puzzle, as in ``5 uF from 2 uF, 3 uF, 6 uF``; one arrangement alone does it."""
    chance = Random(f"arrange {seed}")
    while True:
        number = chance.choice((3, 3, 4))
        values = sorted(chance.sample(CAPACITANCES, number))
        target = _target(chance, values)
        if target is None:
            continue
        text = f"{target} uF from {', '.join(f'{value} uF' for value in values)}"
        found = findings_of(text)
        if found.met and len(found.arrangements) == 1 and not found.more and not found.cut_short:
            return text


def findings_of(text: str) -> Findings:
    """The arrangements of a wish, two at the most."""
    wish = read_wish(text)
    return arrange(order_of(wish, stock_of(wish)), most=2, budget=STEPS)


def _target(chance: Random, values: list[int]) -> str | None:
    """What a chance arrangement of two and more of them comes to, where that ends soon."""
    chosen = chance.sample(range(len(values)), chance.randint(2, len(values)))
    tree: Tree = chosen[0]
    ways: tuple[Connection, Connection] = ("series", "parallel")
    for place in chosen[1:]:
        tree = joined_all(chance.choice(ways), [tree, place])
    kinds = tuple(StockKind(Fraction(value)) for value in values)
    value = value_of_tree(tree, kinds)
    text, exact = write_number(value)
    if not exact or (value * 100).denominator != 1 or value in values:
        return None
    return text
