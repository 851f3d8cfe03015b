"""Cautions: none where nothing calls for one, each once, in few and plain words."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest

from grammar.records import Letter
from tests.teaching.test_wording import NEVER
from tutor.circuit.values import value_of
from tutor.teaching.cautions import NO_OTHERS, Hazards, cautions
from tutor.teaching.settings import Settings

F = Fraction
WORDS = {
    "rated": "printed rating", "chained": "leakage", "polar": "reversed", "joined": "spark",
    "building": "Discharge",
}


@pytest.mark.parametrize(
    ("volts", "joules", "says"),
    [
        (12, "1e-3", ()),
        (25, "0.25", ()),
        ("25.1", "1e-6", ("Discharge", "25 V or less", "for paper only")),
        (400, 8, ("Discharge", "25 V or less", "for paper only")),
        (5, 40, ("Discharge", "burn and weld")),
        (None, None, ()),
    ],
)
def test_p_d_and_energy(volts: str | None, joules: str | None, says: tuple[str, ...]) -> None:
    found = cautions(*(None if value is None else F(value) for value in (volts, joules)))
    assert bool(found) is bool(says)
    for words in says:
        assert any(words in line for line in found)
    assert ("burn" in " ".join(found)) is ("burn and weld" in says)


def test_letters_call_for_nothing() -> None:
    assert cautions(value_of(Letter("V")), value_of(Letter("E"))) == ()


@pytest.mark.parametrize("flags", [*product([False, True], repeat=5)])
def test_each_hazard_is_said_once(flags: tuple[bool, ...]) -> None:
    hazards = Hazards(*flags)
    found = cautions(F(1), F(0), hazards)
    text = "\n".join(found)
    for name, words in WORDS.items():
        wanted = getattr(hazards, name) and (name != "chained" or hazards.rated)
        assert text.count(words) == wanted, name
    assert bool(found) is (hazards not in (NO_OTHERS, Hazards(chained=True)))
    if found:
        assert text.count("A caution") == text.count("qualified person") == 1
        assert text.startswith("A caution: ")


@pytest.mark.parametrize("terms", [Settings(), Settings(difference="potential difference")])
def test_few_and_plain_words(terms: Settings) -> None:
    everything = Hazards(True, True, True, True, True)
    for volts, joules in product((F(1), F(400)), (F(0), F(9))):
        lines = cautions(volts, joules, everything, terms)
        assert len(lines) <= 7
        for line in lines:
            assert not NEVER.search(line), line
            assert line.endswith(".")
            assert line[0].isupper()
            assert terms.difference == "p.d." or "p.d" not in line
