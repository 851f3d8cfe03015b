"""A printed sheet and its key, read back as a pupil and a marker would read them, and solved anew.

Only the printed text is used, and the nodal method of the tests: nothing of the program.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from itertools import chain
from typing import NamedTuple

from tests.nodal import Edge, Outcome, solve

PREFIX = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6}
AMOUNT = r"(-?[\d.]+) ?([pnµmkM]?)([FVCJ])"
CAPACITOR = re.compile(rf"(C\w*), {AMOUNT}, from (\w+) to (\w+)")
SUPPLY = re.compile(rf"A supply holds {AMOUNT} between (\w+) and (\w+)")
ENDS = re.compile(r"The ends are (\w+) and (\w+)")
VALUE = re.compile(rf"(?:^|so )([CQVE](?:\d+|_\w+)?)(?= [=≈])[^;]*?([=≈]) {AMOUNT}(?: \(|$)")
CLOSE = Fraction(1, 1000)


class Read(NamedTuple):
    """A problem as its sheet gives it."""

    edges: tuple[Edge, ...]
    ends: tuple[str, str]
    voltage: Fraction | None

    def solved(self) -> Outcome:
        return solve(self.edges, (), self.ends, voltage=self.voltage)


class Stated(NamedTuple):
    """A value that a key states: V1 = 4 V."""

    name: str
    sign: str
    value: Fraction


def si(number: str, prefix: str) -> Fraction:
    return Fraction(number) * Fraction(10) ** PREFIX[prefix]


def problem(text: str) -> Read | None:
    """The network of a problem; None where it is no network in one state."""
    edges = [
        Edge(name, si(number, prefix), start, end)
        for name, number, prefix, _, start, end in CAPACITOR.findall(text)
    ]
    supply, ends = SUPPLY.search(text), ENDS.search(text)
    if not edges or (supply is None and ends is None):
        return None
    if supply is not None:
        return Read(tuple(edges), (supply[4], supply[5]), si(supply[1], supply[2]))
    assert ends is not None
    return Read(tuple(edges), (ends[1], ends[2]), None)


def stated(lines: Iterator[str] | list[str]) -> Iterator[Stated]:
    """Every value of a key, line by line."""
    for line in lines:
        found = VALUE.findall(line)
        if found:
            name, sign, number, prefix, _ = found[-1]
            yield Stated(name, sign, si(number, prefix))


def truth(read: Read, name: str) -> Fraction:
    """What a name on the key is by the nodal method: C, Q, V or E of the whole, of one capacitor,
    of the point V_P, or of those that C23 stands for.
    """
    outcome = read.solved()
    symbol, of = name[0], name[1:].removeprefix("_")
    numbers = {edge.name[1:]: edge for edge in read.edges}
    if not of:
        whole = {"C": outcome.capacitance, "Q": outcome.charge, "V": outcome.voltage,
                 "E": outcome.energy}
        return abs(whole[symbol])
    if name.startswith("V_"):
        return outcome.potentials[of]
    if of in numbers:
        held = outcome.capacitors[f"C{of}"]
        return abs({"Q": held.charge, "V": held.voltage, "E": held.energy}[symbol])
    parts = tuple(numbers[digit] for digit in of)
    others = [
        edge for edge in read.edges
        if edge not in parts and (read.voltage is None or outcome.capacitors[edge.name].charge)
    ]
    outside = {*read.ends, *chain.from_iterable((e.start, e.end) for e in others)}
    own = {*chain.from_iterable((e.start, e.end) for e in parts)}
    one, two = sorted(own & outside)
    value = solve(parts, (), (one, two)).capacitance
    if symbol == "C":
        return value
    voltage = abs(outcome.potentials[one] - outcome.potentials[two])
    return {"V": voltage, "Q": value * voltage, "E": value * voltage**2 / 2}[symbol]


def agrees(each: Stated, right: Fraction) -> bool:
    """Whether a stated value is the right one: exactly with =, to its figures with ≈."""
    if each.sign == "=":
        return each.value == right
    return abs(each.value - right) <= CLOSE * abs(right)
