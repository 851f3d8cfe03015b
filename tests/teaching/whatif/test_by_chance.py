"""What if, on random networks: both sides and every claim of a reason against the nodal method."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction

from hypothesis import given, settings

from tests.nodal import Outcome
from tests.sampled import some
from tests.teaching.whatif.cases import Case, any_cases, floating_cases, nested_cases, value_in
from tutor.circuit.changes import Broken, Removed
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import Speech, Terms
from tutor.teaching.whatif.change import Supposing, about, compare, direction, offered
from tutor.teaching.whatif.consequence import Consequence
from tutor.teaching.whatif.points_and_parts import Why


def _compared(case: Case) -> Supposing | None:
    compared = compare(case.problem, case.change, "")
    if not isinstance(compared, Broken):
        assert case.after is not None
        return compared
    assert (compared.kind == "shorted") is (
        case.after is None and not isinstance(case.change, Removed)
    )
    assert case.after is None or case.after.capacitance == 0
    return None


def _check(case: Case) -> None:
    compared = _compared(case)
    if compared is None or case.after is None:
        return
    speech = Speech(case.problem.powers, Terms())
    assert set(offered(compared)) <= set(compared.before)
    for quantity in compared.before:
        if quantity not in compared.after:
            continue
        before = value_in(case.before, quantity, compared.before[quantity])
        after = value_in(case.after, quantity, compared.after[quantity])
        assert compared.before[quantity] == before
        assert compared.after[quantity] == after
        expected = "same" if before == after else "up" if after > before else "down"
        assert direction(compared, quantity) == expected
        text = Why(compared, speech).why(quantity)
        assert text.endswith(".")
        _hold(text, case, compared)
        _hold_of_one(text, expected)
    _hold(Consequence(compared, speech).reason(), case, compared)


@settings(max_examples=some(150), deadline=None)
@given(nested_cases())
def test_nests_agree_with_the_nodal_method(case: Case) -> None:
    _check(case)


@settings(max_examples=some(80), deadline=None)
@given(any_cases())
def test_any_networks_agree_with_the_nodal_method(case: Case) -> None:
    _check(case)


@settings(max_examples=some(150), deadline=None)
@given(floating_cases())
def test_networks_with_floating_points_agree_with_the_nodal_method(case: Case) -> None:
    _check(case)


# Every claim that a reason may make


LARGER = re.compile(r"whole (?:is )?(larger|smaller)")
DRAWN = re.compile(r"(\w+) is drawn (more|less) to (\w+): its potential moves")
APART = re.compile(r"potentials of (\w+) and (\w+) (come nearer|move further)")
PLATE = re.compile(r"(C\d+)(?:, which had no charge, takes some, with its| change signs: its| is)"
                   r"(?: \+ plate)? (?:is )?(?:now )?at (\w+)")
LEVEL_BEFORE = re.compile(r"(\w+) and (\w+), which are at one potential")
LEVEL_NOW = re.compile(r"(\w+) and (\w+) are at one potential")
DIFFER_NOW = re.compile(r"(\w+) and (\w+) are at different potentials now")
DIFFER_BEFORE = re.compile(r"(?:joins|joined) (\w+) and (\w+), which are at different potentials")
SIDE = re.compile(r"(?:joins|joined) (\w+) and (\w+), which is at the (higher|lower) potential")


def _way(before: Fraction, after: Fraction) -> str:
    return "same" if before == after else "up" if after > before else "down"


def _apart(outcome: Outcome, one: str, other: str) -> Fraction:
    return abs(outcome.potentials[one] - outcome.potentials[other])


def _hold(text: str, case: Case, compared: Supposing) -> None:
    """Check what a text says about potentials, plates and the whole."""
    before, after = case.before, case.after
    assert after is not None
    new = set(compared.changed.network.points()) - set(compared.problem.network.points())
    for point in new & {"R", "S", "T", "X", "Y"}:  # the nodal side has names of its own
        at = next(after.potentials[name] for name in ("between", "far") if name in after.potentials)
        after = after._replace(potentials={**after.potentials, point: at})
    for word in LARGER.findall(text):
        assert direction(compared, Quantity("C")) == {"larger": "up", "smaller": "down"}[word]
    for one, how, other in DRAWN.findall(text):
        gap = _way(_apart(before, one, other), _apart(after, one, other))
        assert gap == {"more": "down", "less": "up"}[how]
    for one, other, how in APART.findall(text):
        gap = _way(_apart(before, one, other), _apart(after, one, other))
        assert gap == {"come nearer": "down", "move further": "up"}[how]
    for outcome, same, pattern in (
        (before, True, LEVEL_BEFORE), (after, True, LEVEL_NOW),
        (before, False, DIFFER_BEFORE), (after, False, DIFFER_NOW),
    ):
        for one, other in pattern.findall(text):
            assert (_apart(outcome, one, other) == 0) is same or outcome.voltage == 0
    for one, other, side in SIDE.findall(text):
        level = before.potentials[other] - before.potentials[one]
        assert (level > 0) is (side == "higher")
    for name, point in PLATE.findall(text):
        _plus_is_at(after, compared, name, point)
    _hold_of_all(text, compared)


def _plus_is_at(after: Outcome, compared: Supposing, name: str, point: str) -> None:
    (c,) = compared.changed.network.named([name])
    voltage = after.potentials[c.start] - after.potentials[c.end]
    assert (c.start if voltage > 0 else c.end) == point
    assert voltage != 0


def _hold_of_all(text: str, compared: Supposing) -> None:
    both = [quantity for quantity in compared.before if quantity in compared.after]
    own = {Quantity("C", name) for name in about(compared.change)}
    if "nothing else notices" in text or "no potential moves" in text or "no difference" in text:
        for quantity in both:
            if quantity.of not in about(compared.change):
                assert quantity in own or direction(compared, quantity) == "same"
    if "No value is another one" in text:
        assert all(direction(compared, quantity) == "same" for quantity in both)
    if "The potentials inside stay" in text:
        assert all(direction(compared, q) == "same" for q in both if q.point is not None)


def _hold_of_one(text: str, expected: str) -> None:
    """Check what a text says of the one quantity it is about."""
    for words, way in (
        ("they differ less in potential", "down"), ("they differ more in potential", "up"),
        ("there is more charge on it", "up"), ("there is less charge on it", "down"),
        ("the supply holds them as before", "same"), ("is divided as before:", "same"),
        ("no potential moves", "same"),
    ):
        if words in text:
            assert expected == way
    for pair in _equal_numbers(text):
        assert expected == "same" or pair


def _equal_numbers(text: str) -> Iterator[bool]:
    """For each "stays", whether something else is said to go."""
    for _ in re.finditer(r"\bstays \d", text):
        yield " goes " in text
