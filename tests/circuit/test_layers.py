"""Layers between plates by their relation, against the chain of one capacitor for each of them."""

from fractions import Fraction

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.records import Refusal
from tests.exercised import values_of
from tests.teaching.staged.manners import at, check_manners, story, verdict
from tutor.circuit.bodies import capacitance_of_body
from tutor.circuit.plates import ELECTRIC_CONSTANT
from tutor.teaching.exchange import hear

LAYERS = st.lists(
    st.tuples(st.integers(1, 40), st.integers(1, 9), st.integers(1, 40)), min_size=2, max_size=4
)


def written(layers, hidden=None, strengths=False):
    told = [
        ["?" if hidden == (at, 0) else f"{d} mm", "?" if hidden == (at, 1) else str(k),
         f" strength {s} kV/mm" if strengths else ""]
        for at, (d, k, s) in enumerate(layers)
    ]
    return "plates 100 cm2 layers " + ", ".join(f"{d} of {k}{s}" for d, k, s in told)


def chain(layers):
    """Each layer with metal on both faces, one after the other."""
    each = [ELECTRIC_CONSTANT * k / 100 / Fraction(d, 1000) for d, k, _ in layers]
    return 1 / sum(1 / c for c in each)


@given(LAYERS)
def test_relation_is_that_of_the_chain(layers):
    worth = read_network(written(layers, strengths=True)).nest.worth
    assert capacitance_of_body(worth) == chain(layers)
    assert values_of(written(layers))["C"] == chain(layers)


@given(LAYERS, st.data())
def test_any_measure_comes_back(layers, data):
    at_layer = data.draw(st.integers(0, len(layers) - 1))
    which = data.draw(st.integers(0, 1))
    text = f"{written(layers, (at_layer, which))}; C = {float(chain(layers)):.15g} F"
    name = f"{('d', 'epsr')[which]}{at_layer + 1}"
    true = layers[at_layer][which] / (1 if which else 1000)
    assert abs(values_of(text)[name] - Fraction(true)) <= Fraction(true) / 10**9


@given(LAYERS)
def test_at_the_greatest_pd_one_layer_is_at_its_strength_and_none_above(layers):
    volts = values_of(written(layers, strengths=True))["V"]
    charge = volts * chain(layers)
    used = [charge * 100 / ELECTRIC_CONSTANT / k / (s * 10**6) for _, k, s in layers]
    assert max(used) == 1
    told = story(f"{written(layers, strengths=True)}, across {float(volts / 2):.12g} V")
    assert [ask.name for ask in told.asks if ask.dimension == "field"] == [
        f"field{n}" for n in range(1, len(layers) + 1)
    ]
    check_manners(told)


@pytest.mark.parametrize(("text", "relation", "said"), [
    # Halliday, Resnick and Walker, Fundamentals of Physics, chapter 25, two slabs on one another,
    # from memory: 2 ε0 A κ1 κ2 / (d (κ1 + κ2)).
    ("plates A layers d/2 of k, d/2 of m", "2*e*A*k*m/(d*(k + m))", "2 e0 A k m/(d (k + m))"),
    # A sheet of physics questions (public): κ 3 and 6, half the gap each, 4 ε0 A / d.
    ("plates A layers d/2 of 3, d/2 of 6", "4*e*A/d", "4 e0 A/d"),
    ("plates A layers d of k, 2d of 2k", "e*A*k/(2*d)", "½ k e0 A / d"),
])
def test_letters(text, relation, said):
    found = capacitance_of_body(read_network(text).nest.worth)
    letters = {str(symbol): symbol for symbol in found.free_symbols}
    expected = sympy.sympify(relation, {**letters, "e": letters["ε0"]})
    assert sympy.simplify(found - expected) == 0
    turn = at(story(text), "C by layers")
    assert verdict(hear(turn.talk, said)).verdict == "right"


def test_layers_added_up_are_recognised():
    told = story("plates 100 cm2 layers 0.4 mm of 2 strength 9 kV/mm, 0.6 mm of 5")
    turn = at(told, "C by layers")
    said = verdict(hear(turn.talk, "1180.6 pF"))  # 442.7 pF + 737.8 pF
    assert (said.verdict, said.malrules) == ("wrong", ("adds-stacked-layers",))


@pytest.mark.parametrize("text", [
    "plates 100 cm2 gap 1 mm layers 0.4 mm of ?", "3 plates 100 cm2 layers 0.4 mm of ?, 1 mm of 2",
    "plates A layers 0.4 mm of k, 1 mm of 2", "plates A layers d of 0.5, d of 2",
])
def test_refused(text):
    with pytest.raises(Refusal):
        story(text)
