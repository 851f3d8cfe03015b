"""What a question tells apart: favourites that tell little, pairs and triples that tell all."""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from tutor.circuit.network import build
from tutor.teaching.problem_questions import of_problem, to_the_end
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.context import context_on
from tutor.teaching.rules.separation import Separation, separation, separation_of_ask
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Ask


def of(text: str, name: str) -> Separation:
    found = of_problem(build(read_network(text)))
    return next(each for quantity, each in found.items() if quantity.name == name)


def asks_of(text: str) -> list[tuple[Ask, Separation]]:
    story = story_of(read_network(text), DEFAULTS)
    assert story is not None
    return [(ask, separation_of_ask(ask, story.powers)) for ask in story.asks]


# Found by going through small whole numbers (computed, no source): the equivalent is a decimal
# that ends, and all wrong rules of the step lie well apart.
PAIRS = [
    (3, 7), (3, 15), (3, 22), (4, 21), (4, 28), (5, 45), (6, 10), (6, 14), (7, 13), (8, 17),
    (9, 11), (9, 16), (11, 14), (12, 20), (12, 60), (14, 35), (15, 21), (18, 22), (21, 28),
    (24, 40), (30, 42), (36, 45),
]
TRIPLES = [
    (2, 4, 12), (2, 9, 18), (2, 10, 15), (3, 6, 8), (3, 6, 18), (3, 9, 18), (4, 9, 18),
    (4, 10, 20), (4, 12, 15), (5, 12, 20), (5, 18, 45),
]


@pytest.mark.parametrize("values", [*PAIRS, *TRIPLES])
def test_these_chains_tell_all_wrong_rules_apart(values: tuple[int, ...]) -> None:
    text = " -- ".join(f"{value} uF" for value in values)
    found = of(text, "C12" if len(values) == 2 else "C123")
    assert found.is_diagnostic
    assert {"adds-a-series-pair", "forgets-the-last-flip", "weakest-link"} <= set(found.tells)


@pytest.mark.parametrize(
    ("text", "name", "hidden"),
    [
        ("4 uF -- 4 uF, across 10 V", "V1", "splits-the-pd-equally"),
        ("4 uF -- 4 uF, across 10 V", "V1", "pd-in-proportion-to-capacitance"),
        ("4 uF || 4 uF, across 10 V", "Q1", "splits-charge-equally-between-branches"),
        ("2 uF -- 3 uF -- 6 uF", "C123", "forgets-the-last-flip"),
        ("1 uF -- 1 uF -- 1 uF", "C123", "product-over-sum-on-three"),
        ("3 uF || 7 uF, across 1 V", "Q", "divides-for-the-charge"),
    ],
)
def test_values_that_make_a_wrong_rule_right(text: str, name: str, hidden: str) -> None:
    found = of(text, name)
    assert hidden in found.hidden
    assert hidden not in found.tells
    assert not found.is_diagnostic


@pytest.mark.parametrize(
    ("pair", "one", "other"),
    [
        ((3, 6), "halves-one-of-them", "weakest-link"),
        ((3, 6), "subtracts-in-a-chain", "weakest-link"),
        ((2, 6), "subtracts-in-a-chain", "takes-the-average"),
        ((2, 3), "halves-one-of-them", "subtracts-in-a-chain"),
        ((2, 7), "calculator-without-brackets", "product-only"),
    ],
)
def test_ratios_that_make_two_rules_agree(pair: tuple[int, int], one: str, other: str) -> None:
    found = of(f"{pair[0]} uF -- {pair[1]} uF", "C12")
    assert any({one, other} == set(collision) for collision in found.colliding)
    assert not {one, other} & set(found.tells)


@pytest.mark.parametrize(
    ("text", "name", "pair"),
    [
        ("3 uF -- 7 uF", "C12", ("adds-a-series-pair", "adds-fractions-keeping-one-on-top")),
        ("3 uF -- 7 uF", "C12", ("takes-the-average", "adds-fractions-top-and-bottom")),
        ("3 uF -- 7 uF", "C12", ("forgets-the-last-flip", "sum-over-product")),
        ("3 uF -- 7 uF, across 12 V", "V1",
         ("pd-in-proportion-to-capacitance", "potential-for-pd")),
        ("3 uF -- 7 uF, across 12 V; asked E1", "E1",
         ("leaves-out-the-half", "charge-times-pd-without-half")),
    ],
)
def test_rules_that_agree_by_algebra_are_left_to_asking(
    text: str, name: str, pair: tuple[str, str]
) -> None:
    found = of(text, name)
    assert set(pair) <= set(found.tells)
    assert set(found.numbers[pair[0]]) & set(found.numbers[pair[1]])


def test_an_accident_of_values_is_no_algebra() -> None:
    """Of 12 µF beside 10 µF the largest is what is left without the other, but not of all such."""
    above = of("12 uF || (15 uF -- 30 uF)", "C123")
    assert ("hangs-the-equivalent-on-wrong-points", "largest-only") in above.colliding
    below = of("9 uF || (15 uF -- 30 uF)", "C123")
    assert ("hangs-the-equivalent-on-wrong-points", "largest-only") not in below.colliding


def test_what_is_right_by_algebra_is_no_wrong_rule_there() -> None:
    found = of("3 uF || 7 uF, across 12 V; asked E1, E", "E1")
    assert "energy-in-proportion-to-capacitance" not in found.numbers
    other = of("3 uF -- 7 uF, across 12 V; asked E1, E", "E1")
    assert "energy-in-proportion-to-capacitance" in other.tells


def test_letters_are_left_alone() -> None:
    assert of_problem(build(read_network("C -- 2C, across V"))) == {}


def test_one_scene_alone_is_as_in_the_whole_problem() -> None:
    problem = build(read_network("4 uF -- (2 uF || 3 uF), across 12 V"))
    walk, _ = to_the_end(problem)
    for quantity, found in of_problem(problem).items():
        scene = context_on(walk, quantity)
        assert scene is not None
        assert separation(scene) == found


BRIDGE = (
    "C1 = {} uF from A to P; C2 = {} uF from A to R; C3 = {} uF from P to B; "
    "C4 = {} uF from R to B; C5 = {} uF from P to R; ends A and B; across 12 V"
)


def test_a_bridge_is_looked_at_through_its_own_questions() -> None:
    found = of_problem(build(read_network(BRIDGE.format(1, 4, 10, 2, 14))))
    assert {q.name for q in found} >= {"V_P", "V_R", "C", "Q1", "Q"}
    assert "midpoint-at-half-the-supply" in found[Quantity("V", point="P")].tells
    near = of_problem(build(read_network(BRIDGE.format(1, 2, 2, 1, 3))))
    assert "treats-the-bridging-capacitor-as-a-wire" in near[Quantity("C")].hidden


def test_a_balanced_bridge_goes_on_with_what_is_left() -> None:
    found = of_problem(build(read_network(BRIDGE.format(3, 6, 7, 14, 5))))
    assert [q.name for q in found][:4] == ["Q5", "C13", "C24", "C1234"]


def test_questions_of_a_story() -> None:
    empty = by_key("C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2")
    assert {"keeps-the-energy", "averages-the-pds"} <= set(empty["common p.d."].tells)
    assert "subtracts-like-charges" not in empty["common p.d."].numbers
    assert "adds-unlike-charges" not in empty["common p.d."].numbers
    assert empty["held"] == Separation()
    near = by_key("C1 = 3 uF charged to 10 V; C2 = 7 uF charged to 10.1 V; join C1 and C2")
    assert {"keeps-the-energy", "averages-the-pds"} <= set(near["common p.d."].hidden)


def by_key(text: str) -> dict[str, Separation]:
    return {ask.key: found for ask, found in asks_of(text)}


def test_units_do_not_matter_to_a_story() -> None:
    micro = asks_of("C1 = 3 uF -- C2 = ?; C = 2.1 uF")
    nano = asks_of("C1 = 3 nF -- C2 = ?; C = 2.1 nF")
    assert [found for _, found in micro] == [found for _, found in nano]
