"""A question of a story read off its right ways: which rule of one capacitor or of a set it is."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import pytest

from grammar.records import Dimension
from tests.teaching.staged.manners import story
from tutor.circuit.values import Value
from tutor.teaching.rules.asked import context_of_ask, elsewhere, odd
from tutor.teaching.rules.context import Held, RuleContext
from tutor.teaching.staged.story import Ask, Way

F = Fraction
MICRO = F(1, 10**6)
POWERS: Mapping[Dimension, int] = {
    "capacitance": -6, "charge": -6, "voltage": 0, "energy": -6, "length": -3,
}
DIMENSIONS: Mapping[str, Dimension] = {
    "C": "capacitance", "Q": "charge", "V": "voltage", "E": "energy", "d": "length",
}


def way(relation: str, **numbers: str) -> Way:
    """Names with plain numbers of the usual unit; n is one without any."""
    uses: dict[str, tuple[Value, Dimension | None]] = {}
    for name, number in numbers.items():
        dimension = DIMENSIONS.get(name[0])
        power = POWERS[dimension] if dimension else 0
        uses[name] = F(number) * F(10) ** power, dimension
    return Way(relation, uses)


def asked(symbol: str, right: str, *ways: Way, key: str = "by sum") -> Ask:
    dimension = DIMENSIONS[symbol]
    value = F(right) * F(10) ** POWERS[dimension]
    return Ask(key, "value", "?", "", dimension=dimension, right=value, ways=ways)


def context(ask: Ask) -> RuleContext:
    found = context_of_ask(ask, POWERS)
    assert found is not None
    return found


# What ways show


@pytest.mark.parametrize(("ask", "place", "parts", "names"), [
    (asked("C", "10", way("C1 + C2", C1="3", C2="7")), "parallel", (3, 7), ("C1", "C2")),
    (asked("C", "12", way("C1 + C2 + C34", C1="3", C2="7", C34="2")),
     "parallel", (3, 7, 2), ("C1", "C2", "C34")),
    (asked("C", "21/10", way("1/(1/C1 + 1/C2)", C1="3", C2="7")),
     "series", (3, 7), ("C1", "C2")),
    (asked("C", "2", way("C1/n", C1="6", n="3")), "series", (6, 6, 6), ("C1", "C1", "C1")),
    (asked("C", "21/10", way("1/(1/Ca + 1/Cb)", Ca="3", Cb="7"), key="stacked"),
     "stacked", (3, 7), ("Ca", "Cb")),
    (asked("C", "10", way("Ca + Cb", Ca="3", Cb="7"), key="side by side"),
     "side by side", (3, 7), ("Ca", "Cb")),
])
def test_sums_of_capacitances(
    ask: Ask, place: str, parts: tuple[int, ...], names: tuple[str, ...]
) -> None:
    found = context(ask)
    assert (found.place, found.parts, found.names, found.held) == (place, parts, names, ())
    assert (found.key, found.right) == (ask.key, F(ask.right) / MICRO)  # type: ignore[arg-type]


@pytest.mark.parametrize("ask", [
    asked("C", "10"),
    asked("C", "4", way("C2 − C1", C1="3", C2="7")),
    asked("C", "9", way("C1 + C2", C1="3", C2="7")),  # it is another sum that is right
    asked("C", "7", way("C1 + C2", C1="0", C2="7")),  # nothing can be taken one over
    asked("C", "10", way("C1 + C1", C1="5")),  # one alone is no set
    asked("C", "6", way("C1/n", C1="6", n="1")),
    asked("C", "6", way("C1 + difference", C1="4", C_difference="2")),
    asked("Q", "36", way("Q1 + Q2", Q1="20", Q2="16")),
    asked("Q", "36", way("C1 × V × n", C1="3", V="12", n="1")),
    asked("Q", "30", way("C1 × V", C1="3", V="12")),
    asked("Q", "0", way("Q × C", C1="0", Q="0")),
    asked("V", "5", way("Q/C1", C1="3", Q="36")),
    asked("V", "12", way("Q/C1", C1="0", Q="36")),
    asked("V", "36", way("V1 + V2", V1="24", V2="12")),
    asked("E", "216", way("½ × Q × V", Q="36", V="12")),  # C is nowhere told
    asked("E", "216", way("½ × C1 × V²", C1="3", V="12")),
    asked("E", "200", way("½ × Q × V", Q="36", V="12"), way("½ × C1 × V²", C1="3", V="12")),
    asked("E", "216", way("E1 + E2", E1="200", E2="16"), way("½ × C1 × V²", C1="3", V="12")),
    asked("d", "4", way("d1 + d2", d1="3", d2="1")),
])
def test_other_ways_are_questions_of_their_own_kind(ask: Ask) -> None:
    found = context(ask)
    assert (found.place, found.parts, found.names, found.held) == ("by sum", (), (), ())


def test_a_value_in_letters_shows_nothing() -> None:
    sympy = pytest.importorskip("sympy")
    c = sympy.Symbol("C", positive=True)
    with_letter = Way("C1 + C2", {"C1": (c, "capacitance"), "C2": (7 * MICRO, "capacitance")})
    ask = asked("C", "10", with_letter)
    assert (context(ask).place, context(ask).others) == ("by sum", (7,))
    assert context_of_ask(ask._replace(right=c), POWERS) is None
    assert context_of_ask(ask._replace(right=None), POWERS) is None


@pytest.mark.parametrize(("ask", "place", "held"), [
    (asked("Q", "36", way("C1 × V", C1="3", V="12")), "charge", Held(F(3), F(36), F(12))),
    (asked("V", "12", way("Q/C1", C1="3", Q="36")), "voltage", Held(F(3), F(36), F(12))),
    (asked("Q", "0", way("C1 × V", C1="3", V="0")), "charge", Held(F(3), F(0), F(0))),
])
def test_the_law_of_one_capacitor(ask: Ask, place: str, held: Held) -> None:
    found = context(ask)
    assert (found.place, found.held, found.parts) == (place, (held,), ())


def test_energy_of_one_and_of_several() -> None:
    one = context(asked(
        "E", "216", way("½ × Q1 × V1", Q1="36", V1="12"), way("½ × C1 × V1²", C1="3", V1="12"),
    ))
    assert (one.place, one.held) == ("energy", (Held(F(3), F(36), F(12)),))
    two = context(asked(
        "E", "720", way("½ × Q1 × V + ½ × Q2 × V", Q1="36", Q2="84", V="12"),
        way("½ × C1 × V² + ½ × C2 × V²", C1="3", C2="7", V="12"),
    ))
    assert two.place == "total energy"
    assert two.held == (Held(F(3), F(36), F(12)), Held(F(7), F(84), F(12)))


# What else surrounds it


def test_units_of_a_question() -> None:
    """Where p.d.s are in kV, plain charges are in mC: what is typed in µC is a thousandth of it."""
    kilo: Mapping[Dimension, int] = {**POWERS, "voltage": 3}
    ask = asked("Q", "36", way("Q1 + Q2", Q1="20", Q2="16"))
    found = context_of_ask(ask, kilo)
    assert found is not None
    assert (found.right, found.power, found.usual) == (F(36, 1000), -3, -6)
    assert found.scale == F(1, 1000)
    pure = context_of_ask(ask._replace(right=F(4), pure=True), kilo)
    bare = context_of_ask(ask._replace(right=F(4), dimension=None), kilo)
    assert pure is not None
    assert bare is not None
    assert (pure.right, pure.power, pure.usual, pure.scale) == (4, 0, 0, 1)
    assert (bare.right, bare.power, bare.usual) == (4, 0, 0)


def test_whose_question_it_is() -> None:
    one = asked("Q", "36", way("C1 × V", C1="3", V="12"))
    two = asked("C", "10", way("C1 + C2", C1="3", C2="7"))
    assert context(one).of == "C1"
    assert context(two).of == "it"
    assert context(two._replace(told={"name": "C5"})).of == "C5"
    assert context(asked("C", "10")).of == "it"


def test_capacitances_that_stand_in_its_ways() -> None:
    ask = asked("C", "4", way("C2 − C1", C1="3", C2="7"), way("Q/V − C1", Q="7", V="1", C1="3"))
    assert context(ask).others == (3, 7)
    assert context(asked("C", "4")).others == ()


def test_values_of_a_learners_own() -> None:
    ask = asked("C", "10", way("C1 + C2", C1="3", C2="7"))
    ask = ask._replace(facts={"whole": F(7), "ratio": F(2)})
    found = context_of_ask(ask, POWERS, {F(7): F(8)})
    assert found is not None
    assert (found.parts, found.right) == ((3, 8), 10)
    assert found.facts == {"whole": 8, "ratio": 2}
    law = asked("Q", "36", way("C1 × V", C1="3", V="12"))
    mine = context_of_ask(law, POWERS, {F(12): F(13)})
    assert mine is not None
    assert mine.held == (Held(F(3), F(36), F(13)),)
    unknown = law._replace(ways=())
    assert context_of_ask(unknown, POWERS, {F(12): F(13)}) == context(unknown)


# The same on odd values


def on_others(ask: Ask) -> list[tuple[Fraction, tuple[Fraction, ...], tuple[Held, ...]]]:
    found = [(each.right, each.parts, each.held) for each in elsewhere(context(ask))]
    assert len(found) == 2
    assert all(each.facts == {} and each.others == () for each in elsewhere(context(ask)))
    return found


@pytest.mark.parametrize("key", ["by sum", "stacked"])
def test_another_chain(key: str) -> None:
    ask = asked("C", "21/10", way("1/(1/C1 + 1/C2)", C1="3", C2="7"), key=key)
    (right, (a, b), _), (again, (c, d), _) = on_others(ask)
    assert (right, again) == (a * b / (a + b), c * d / (c + d))
    assert a < b
    assert c > d


@pytest.mark.parametrize("key", ["by sum", "side by side"])
def test_another_set(key: str) -> None:
    ask = asked("C", "10", way("C1 + C2", C1="3", C2="7"), key=key)
    (right, (a, b), _), (again, (c, d), _) = on_others(ask)
    assert (right, again) == (a + b, c + d)
    assert a < b
    assert c > d


def test_other_equal_ones_are_equal_too() -> None:
    for right, parts, _ in on_others(asked("C", "2", way("C1/n", C1="6", n="3"))):
        assert len(set(parts)) == 1
        assert right == parts[0] / 3


@pytest.mark.parametrize(("symbol", "right", "relation"), [("Q", "36", "C1 × V"),
                                                          ("V", "12", "Q/C1")])
def test_another_capacitor(symbol: str, right: str, relation: str) -> None:
    numbers = {"C1": "3", "Q": "36", "V": "12"}
    del numbers[symbol]
    for found, _, (held,) in on_others(asked(symbol, right, way(relation, **numbers))):
        assert held.c is not None
        assert held.v is not None
        assert held.q == held.c * held.v
        assert found == (held.q if symbol == "Q" else held.v)


def test_another_store_of_energy() -> None:
    ask = asked(
        "E", "720", way("½ × Q1 × V + ½ × Q2 × V", Q1="36", Q2="84", V="12"),
        way("½ × C1 × V² + ½ × C2 × V²", C1="3", C2="7", V="12"),
    )
    for right, _, held in on_others(ask):
        assert right == sum((h.c or 0) * (h.v or 0) ** 2 for h in held) / 2
        assert len({h.c for h in held} | {h.v for h in held}) == 4


def test_questions_of_their_own_kind_have_no_others() -> None:
    assert elsewhere(context(asked("C", "10"))) == ()


def test_odd_numbers_are_no_sums_or_products_of_one_another() -> None:
    numbers = [odd(at) for at in range(-4, 5)]
    made = {a + b for a in numbers for b in numbers} | {a * b for a in numbers for b in numbers}
    assert len(set(numbers)) == len(numbers)
    assert not made & set(numbers)
    assert numbers == sorted(numbers)


def test_a_story_as_it_is_told() -> None:
    told = story("C1 = ?; C2 = ?; C1 - C2 = 2 uF; C1 || C2 = 9 uF")
    (ask,) = (ask for ask in told.asks if ask.key == "missing other")
    found = context_of_ask(ask, told.powers)
    assert found is not None
    assert (found.place, found.parts) == ("missing other", ())
