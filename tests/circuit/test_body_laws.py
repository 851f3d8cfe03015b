"""Every law of a shape: turned round it gives back what went in, and its text says the same sum.

The first relations are those of any course: C = eps0 epsr A/d, 4 pi eps0 epsr r, and the cable's
2 pi eps0 epsr L/ln(b/a) (common practice, no source).
"""

from __future__ import annotations

import math
from itertools import groupby
from random import Random
from typing import Any

import pytest

from tutor.circuit.bodies import SHAPES, Law, value_by

LAWS = [law for laws in SHAPES.values() for law in laws]
KINDS = {kind: tuple(laws) for kind, laws in groupby(LAWS, lambda law: law.kind)}
SAID = {"×": "*", "−": "-", "½": "0.5", "^": "**"}
KNOWN = {"pi": math.pi, "ln": math.log, "exp": math.exp}
CLOSE = 1e-9


def measures(rng: Random) -> dict[str, Any]:
    """A value for every letter; b is the outer radius, n the plates of a stack."""
    inner = rng.uniform(0.5, 2)
    names = ("eps0", "epsr", "A", "d", "r", "L", "V", "Q", "C", "field", "force", "strength")
    return {
        **{name: rng.uniform(0.5, 3) for name in names},
        "a": inner, "b": inner * rng.uniform(1.2, 3), "n": rng.randint(2, 9),
    }  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_a_law_turned_round_gives_back_what_went_in(kind: str) -> None:
    first, *others = KINDS[kind]
    rng = Random(kind)
    for _ in range(20):
        facts = measures(rng)
        facts[first.finds] = float(value_by(first, facts))
        for law in others:
            assert float(value_by(law, facts)) == pytest.approx(facts[law.finds], rel=CLOSE), law


@pytest.mark.parametrize("law", LAWS, ids=lambda law: f"{law.kind} {law.finds}")
def test_the_text_of_a_law_is_the_sum_it_works_out(law: Law) -> None:
    written = law.text
    for sign, plain in SAID.items():
        written = written.replace(sign, plain)
    rng = Random(law.text)
    for _ in range(5):
        facts = measures(rng)
        said = eval(written, {"__builtins__": {}}, {**KNOWN, **facts})
        assert float(value_by(law, facts)) == pytest.approx(said, rel=CLOSE)


def test_two_plates_of_a_square_metre_a_metre_apart() -> None:
    facts = {"eps0": 1.0, "epsr": 1.0, "n": 2, "A": 1.0, "d": 1.0}
    assert value_by(KINDS["plates"][0], facts) == 1
    assert value_by(KINDS["sphere"][0], {"eps0": 1.0, "epsr": 1.0, "r": 1.0}) == pytest.approx(
        4 * math.pi
    )
