"""What is drawn of a network that goes on in one way: a few of its parts, and dots for the rest."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice, pairwise
from typing import Final

from grammar.records import Bank
from tutor.circuit.network import Capacitor, Network, Supply, point_names
from tutor.circuit.values import Value
from tutor.teaching.depicted import DOTS, UNNAMED, Depicted
from tutor.teaching.speech import Speech

SECTIONS: Final = 3  # of a ladder, so many are drawn


def ladder_drawn(
    values: tuple[Value, Value], names: tuple[str, str], speech: Speech, ends: tuple[str, str],
) -> Depicted:
    """The first three sections of a ladder without end, and dots for all that follows.

    ``values`` and ``names`` are those of the capacitor in series and of the one across.
    """
    (one, two), (plus, minus) = values, ends
    p, r, s = islice((point for point in point_names() if point not in ends), SECTIONS)
    rails = [
        Capacitor(f"1 {n}", one, *pair) for n, pair in enumerate(pairwise((plus, p, r, s)))
    ]
    rest = Capacitor(DOTS, one, s, minus)
    across = [Capacitor(f"2 {n}", two, point, minus) for n, point in enumerate((p, r, s))]
    network = Network((*rails, rest, *reversed(across)), ends)
    called = {c.name: names[int(c.name[0]) - 1] for c in (*rails, *across)}
    worth = [speech.amount(value, "capacitance") for value in values]
    said = [name if name == value else f"{name}, {value}," for name, value in
            zip(names, worth, strict=True)]
    words = (
        f"A ladder without end: {said[0]} in series from {plus} to {p} and {said[1]} across "
        f"from {p} to {minus}; the same from {p} to {r} and {minus}, and from {r} to {s} and "
        f"{minus}.",
        f"Dots from {s} to {minus} stand for all that follows.",
    )
    return Depicted(network, speech, called=called, words=words)


def bank_drawn(bank: Bank, speech: Speech) -> Depicted:
    """Equal chains side by side, with dots for how many there are and for how long they are."""
    network = Network(tuple(_chains(bank.each.value)), ("A", "B"))
    called = {c.name: "" if c.name[0].isdigit() else DOTS for c in network.capacitors}
    rated = (f"rated {speech.amount(bank.rating.value, 'voltage')}",)
    each = speech.amount(bank.each.value, "capacitance")
    words = (
        f"Equal chains of {each} capacitors, {rated[0]}, side by side from A to B.",
        "Dots stand for more of them in a chain, and for more chains.",
    )
    notes = {c.name: rated for c in network.capacitors if called[c.name] != DOTS}
    supply = Supply("voltage", bank.voltage.value)
    return Depicted(network, speech, supply, called=called, words=words, notes=notes)


def _chains(each: Value) -> Iterator[Capacitor]:
    for row in (1, 2):
        one, other = f"{UNNAMED}{row} one", f"{UNNAMED}{row} other"
        yield Capacitor(f"{row} first", each, "A", one)
        yield Capacitor(f"{DOTS} {row}", each, one, other)
        yield Capacitor(f"{row} last", each, other, "B")
    yield Capacitor(f"{DOTS} 3", each, "A", "B")
