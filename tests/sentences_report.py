"""Printed solutions of networks by chance, read again: ``python -m tests.sentences_report [N]``."""

from __future__ import annotations

import sys
from fractions import Fraction
from random import Random
from typing import Final

from grammar.any_text import sure_reading
from grammar.records import Amount, Charging
from tests.bychance import described, sequence
from tests.sentences import WIDE, false_in_stages, false_sentences
from tests.stage_reasons import false_reasons
from tests.strategies import Drawn, as_description
from tests.truth_report import drawn
from tutor.front.plain import Page
from tutor.front.printing import explained_lines
from tutor.teaching.settings import Settings

PROBLEMS: Final = 2_000
PAGE: Final = Page(width=WIDE, drawings=False)


def faults(seed: int) -> list[str]:
    """What is false in the printed solution of one problem by chance."""
    rng = Random(seed)
    return (_network, _changed, _network, _plates)[seed % 4](rng)


def _network(rng: Random) -> list[str]:
    given = drawn(rng)
    edges = tuple(
        e._replace(capacitance=Fraction(round(100 * e.capacitance), 100 * 10**6))
        for e in given.edges if e.start != e.end
    )
    given, volts = Drawn(edges, given.wires, given.ends), Fraction(rng.randint(1, 40))
    description = as_description(given, Charging("voltage", Amount(volts)), -6)
    return false_sentences([*explained_lines(description, Settings(), PAGE)], given, volts)


def _changed(rng: Random) -> list[str]:
    """Charged capacitors, joined, filled, taken out and so on."""
    description = described(rng)
    description = description._replace(changes=sequence(description, rng))
    lines = [*explained_lines(description, Settings(), PAGE)]
    return [*false_in_stages(lines), *false_reasons(lines, description)]


def _plates(rng: Random) -> list[str]:
    gap = Fraction(rng.randint(1, 60), 10)
    filling = rng.choice([
        f"gap {float(gap)} mm", f"gap {float(gap)} mm filled {rng.randint(2, 9)}",
        f"gap {float(gap)} mm filled {rng.randint(2, 9)} over 1/{rng.randint(2, 5)}",
        f"layers {float(gap)} mm of {rng.randint(2, 9)}, {rng.randint(1, 9)} mm of 1.5",
        f"gap {float(gap)} mm side by side 1/4 of {rng.randint(2, 9)}, 3/4 of 1",
    ])
    supply = rng.choice(["", ", across {} V", ", holding {} nC"]).format(rng.randint(1, 90))
    wanted = rng.choice(["", "", "; find field"]) if "across" in supply else ""
    text = f"plates {rng.randint(1, 400)} cm2 {filling}{supply}{wanted}"
    return false_in_stages([*explained_lines(sure_reading(text).description, Settings(), PAGE)])


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else PROBLEMS
    wrong = 0
    for seed in range(count):
        found = faults(seed)
        wrong += bool(found)
        for fault in found[:3]:
            print(f"seed {seed}: {fault}", flush=True)
    print(f"{count} problems, {wrong} with a sentence that is not so")


if __name__ == "__main__":
    main()
