"""Tasks made to order: the guarantees, the same again from the same order, twins, other names."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

import pytest

from grammar.reading import read_network
from grammar.records import Refusal
from tests.conversing import about
from tests.sampled import some
from tests.tasks_checked import (
    EVERY_SHAPE,
    EVERY_SKILL,
    complaints,
    complaints_of_kin,
    numbers_of,
    order_for,
)
from tests.tasks_report import tally
from tutor.circuit.network import build
from tutor.practice.making_values import parts_well
from tutor.practice.orders import TaskOrder, Wanted, order_in
from tutor.practice.task_values import fits
from tutor.practice.tasks import make, most_telling, relabelled, variant
from tutor.teaching.exchange import begin, hear

F = Fraction
SEEDS = some(16, 5)
AT_ONCE = 10
OF_A_SKILL = some(4, 2)


@pytest.mark.parametrize("first", range(0, SEEDS, AT_ONCE))
@pytest.mark.parametrize("shape", EVERY_SHAPE)
def test_tasks_of_a_shape_keep_what_they_promise(shape: str, first: int) -> None:
    orders = [order_for(shape, seed) for seed in range(first, min(first + AT_ONCE, SEEDS))]
    found = tally(orders)
    assert found.faults == ()
    assert len(found.texts) > len(orders) // 2


@pytest.mark.parametrize("code", EVERY_SKILL)
def test_tasks_of_a_skill_practise_it_and_are_diagnostic_there(code: str) -> None:
    for seed in range(OF_A_SKILL):
        task = make(TaskOrder(code, seed=seed))
        assert code in task.skills
        assert list(complaints(task)) == []


def test_nine_in_ten_tasks_leave_no_wrong_rule_unseen() -> None:
    tasks = [make(order_for(shape, seed)) for shape in EVERY_SHAPE for seed in range(3)]
    clear = [task for task in tasks if not task.not_diagnostic]
    assert len(clear) >= 0.9 * len(tasks)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("asked", [
    Wanted("energy", "one"), Wanted("energy", "each"), Wanted("energy", "whole"),
    Wanted("charge", "one"), Wanted("voltage", "one"), Wanted("charge", "whole"),
    Wanted("capacitance", "whole"),
])
def test_what_is_asked_stands_in_the_text(asked: Wanted, seed: int) -> None:
    order = TaskOrder(shape="a chain in a parallel set", asked=asked, seed=seed)
    task = make(order)
    assert list(complaints(task)) == list(complaints_of_kin(task)) == []
    found = {each.quantity for each in read_network(task.text).asked}
    assert found == (set() if asked.dimension == "capacitance" else {asked.dimension})


def test_an_order_makes_one_task_and_another_seed_another() -> None:
    order = order_in("dividing a p.d., three figures, seed 5")
    assert make(order) == make(order) == make(make(order).order)
    assert make(order).text != make(order._replace(seed=6)).text


def test_more_steps_are_taken_where_they_are_ordered() -> None:
    for seed in range(4):
        task = make(order_in(f"dividing a p.d., 3 steps, seed {seed}"))
        kinds = [step.kind for step in begin(build(read_network(task.text))).walk.plan]
        assert len(kinds) == 3
        assert "series" in kinds


@pytest.mark.parametrize("words", [
    "a chain in a parallel set with a dead end and a wire", "two charged ones joined crossed",
    "missing in a parallel set in a chain", "an unbalanced bridge", "plates in layers",
    "filled after the supply is removed", "one capacitor, energy",
])
def test_a_twin_and_other_names(words: str) -> None:
    task = make(order_in(words))
    assert list(complaints_of_kin(task)) == []
    assert variant(task, 3) == variant(task, 3) == make(variant(task, 3).order)
    assert relabelled(task, 3) == relabelled(task, 3)
    texts = {relabelled(task, seed).text for seed in range(6)}
    assert len(texts) > 1
    assert task.text not in texts


def test_the_most_telling_of_some_tasks_parts_the_suspected_rules_furthest() -> None:
    suspected = ("takes-the-average", "weakest-link")
    orders = [TaskOrder("S11", seed=seed) for seed in range(8)]
    best = most_telling(orders, suspected)
    assert set(suspected) <= set(best.tells)
    least = least_gaps([best.text], suspected)[0]
    assert least == max(least_gaps([make(order).text for order in orders], suspected))


def least_gaps(texts: Iterable[str], names: tuple[str, ...]) -> list[Fraction]:
    """For chains of two: how near what is right and these rules come to one another."""
    found = []
    for text in texts:
        one, two = (F(c.value) * 10**6 for c in build(read_network(text)).network.capacitors)
        right, mean, least = one * two / (one + two), (one + two) / 2, min(one, two)
        assert names == ("takes-the-average", "weakest-link")
        found.append(min(1 - right / mean, 1 - right / least, 1 - least / mean))
    return found


def test_a_rule_that_no_task_meets_is_parted_nowhere() -> None:
    task = most_telling([TaskOrder("S10")], ["keeps-the-energy"])
    assert "keeps-the-energy" not in task.tells
    with pytest.raises(Refusal):
        most_telling([], ["keeps-the-energy"])


def test_what_a_task_tells_apart_the_dialogue_names() -> None:
    """The wrong number of each malrule of the answer, typed in full, is traced to it alone."""
    task = make(order_in("two in series, three figures, seed 2"))
    walk = begin(build(read_network(task.text))).walk
    walk = hear(hear(about(walk), "C1 C2").talk, "the charge, at P").walk
    traced = set()
    for _, numbers in numbers_of(task):
        for name, _, number in numbers.wrong:
            if name not in task.tells or number <= 0:
                continue
            said = hear(about(walk), f"{float(number):#.6g} uF").messages[0]
            assert said.verdict == "wrong"
            assert name in said.malrules
            traced.add(name)
    assert {"adds-a-series-pair", "weakest-link", "takes-the-average"} <= traced


@pytest.mark.parametrize(
    ("numbers", "arithmetic", "endless", "good"),
    [
        (["2", "30"], "whole", True, True),
        (["2", "2.5"], "whole", True, False),
        (["2", "2.5"], "terminating", True, True),
        (["2", "3"], "terminating", True, False),
        (["2", "1/3"], "terminating", True, False),
        (["2", "1/3"], "three figures", True, True),
        (["2", "56.4"], "three figures", True, False),
        (["2", "56.4"], "three figures", False, True),
        (["2", "5.6"], "three figures", False, False),
    ],
)
def test_sorts_of_numbers(numbers: list[str], arithmetic: str, endless: bool, good: bool) -> None:
    assert fits(map(F, numbers), arithmetic, endless) is good  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("pair", "good"),
    [((3, 7), True), ((3, 6), False), ((2, 3), False), ((4, 12), False), ((2, 6), False)],
)
def test_favourites_that_tell_little_are_left_out(pair: tuple[int, int], good: bool) -> None:
    """Ratios of 2, 1.5 and 3 make several wrong rules give one number."""
    assert parts_well([F(n) for n in pair]) is good
