"""Orders in plain words: what is read, and what is refused with the word named."""

from __future__ import annotations

import pytest

from grammar.reading import read_network
from grammar.records import Refusal
from tutor.circuit.network import build
from tutor.practice.making_needs import NEEDS, STORIES, arithmetic_of, shapes_for
from tutor.practice.orders import TaskOrder, Wanted, order_in
from tutor.practice.shapes import EXTRAS, SHAPES, shape_named
from tutor.practice.tasks import make, settle
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.skills import BY_CODE
from tutor.teaching.walk import begin_walk

TO_BE_ORDERED = [f"S{n:02}" for n in range(6, 39)]


@pytest.mark.parametrize(
    ("words", "order"),
    [
        ("two in series, whole numbers", TaskOrder("S11", arithmetic="whole")),
        (
            "chain inside a parallel part with a dead end, energy on one capacitor, three figures",
            TaskOrder(
                shape="a chain in a parallel set with a dead end",
                arithmetic="three figures", asked=Wanted("energy", "one"),
            ),
        ),
        ("dividing a p.d., 3 steps, seed 12", TaskOrder("S21", steps=3, seed=12)),
        ("Three in parallel; the total charge", TaskOrder(
            shape="three side by side", asked=Wanted("charge", "whole")
        )),
        ("dead end, chain of three", TaskOrder(shape="a chain of three with a dead end")),
        ("a list with a wire, two side by side", TaskOrder(shape="two side by side with a wire")),
        ("balanced bridge, terminating decimals", TaskOrder(
            shape="a balanced bridge", arithmetic="terminating"
        )),
        ("two levels deeper, p.d. across each", TaskOrder(
            shape="a chain in a parallel set in a chain", asked=Wanted("voltage", "each")
        )),
        ("s33", TaskOrder("S33")),
        ("plates in layers", TaskOrder(shape="plates in layers")),
    ],
)
def test_words_give_an_order(words: str, order: TaskOrder) -> None:
    assert order_in(words) == order


@pytest.mark.parametrize("code", TO_BE_ORDERED)
def test_every_skill_can_be_ordered_by_its_name_and_by_its_code(code: str) -> None:
    assert order_in(BY_CODE[code].name) == order_in(code) == TaskOrder(code)


@pytest.mark.parametrize("shape", [*SHAPES, *STORIES])
def test_every_shape_can_be_ordered_by_its_name(shape: str) -> None:
    ordered = order_in(f"{shape}, seed 3")
    assert (ordered.shape, ordered.seed, ordered.skill) == (shape, 3, None)


@pytest.mark.parametrize("extra", EXTRAS)
def test_what_is_added_stands_in_the_name_of_the_shape(extra: str) -> None:
    named = order_in(f"a chain in a parallel set with {extra}").shape
    assert named is not None
    assert shape_named(named).extras == (extra,)


@pytest.mark.parametrize(
    ("words", "found", "column"),
    [
        ("a chain of two, purple numbers", "purple", 17),
        ("whole numbers, sharing a cake", "cake", 26),
        ("two in serie", "serie", 8),
        ("two in paralel, seed 4", "paralel", 8),
        ("sharing a p.d., 3 stps", "stps", 19),
        ("foo, whole numbers", "foo", 1),
        ("two bridge", "two", 1),
        ("a chain of five", "a chain of five", 1),
        ("a balanced bridge with a dead end", "a dead end", 24),
    ],
)
def test_the_word_that_is_not_known_is_named(words: str, found: str, column: int) -> None:
    with pytest.raises(Refusal) as refused:
        order_in(words)
    assert found in refused.value.found
    assert refused.value.place is not None
    assert refused.value.place.column == column


def test_an_unknown_word_brings_what_is_near_it_and_a_few_examples() -> None:
    with pytest.raises(Refusal) as refused:
        order_in("dividng a p.d.")
    assert refused.value.cure.startswith("Did you mean dividing a p.d.")
    with pytest.raises(Refusal) as refused:
        order_in("xyzzy")
    assert refused.value.cure.startswith("Name a skill, such as two in series")


@pytest.mark.parametrize("words", ["two in series and a bridge", "two in series, a chain of three"])
def test_a_shape_without_the_step_of_the_skill_is_refused(words: str) -> None:
    with pytest.raises(Refusal, match="has no step"):
        order_in(words)


@pytest.mark.parametrize("seed", range(6))
def test_a_skill_with_so_many_steps_has_a_step_of_its_size(seed: int) -> None:
    text = make(order_in(f"two in series, 2 steps, seed {seed}")).text
    plan = begin_walk(build(read_network(text)), DEFAULTS).plan
    assert any(step.kind == "series" and len(step.parts) == 2 for step in plan)


@pytest.mark.parametrize(
    "words",
    [
        "whole numbers",
        "a chain of four, 2 steps",
        "dividing a p.d., 9 steps",
        "joining crossed, 2 steps",
        "joining crossed, a chain of two",
        "two in series, joining crossed, two charged ones joined like to like",
        "adding in parallel, a chain of two",
        "plates in layers, whole numbers",
        "ratings side by side, three figures",
        "missing in a chain, energy on one capacitor",
    ],
)
def test_what_cannot_be_together_is_refused_with_a_cure(words: str) -> None:
    with pytest.raises(Refusal) as refused:
        order_in(words)
    assert refused.value.found.endswith(".")
    assert refused.value.cure.endswith(".")


@pytest.mark.parametrize("code", sorted(NEEDS))
def test_a_skill_is_practised_by_shapes_that_there_are(code: str) -> None:
    for shape in shapes_for(TaskOrder(code)):
        assert shape in STORIES or shape_named(shape).full_name == shape
        assert arithmetic_of(shape)


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("code", sorted(NEEDS))
def test_a_settled_order_leaves_nothing_open(code: str, seed: int) -> None:
    settled = settle(TaskOrder(code, seed=seed))
    assert settled.shape is not None
    assert settled.arithmetic is not None
    assert settle(settled) == settled


def test_an_order_made_by_hand_is_refused_in_the_same_way() -> None:
    with pytest.raises(Refusal, match="neither a skill nor a shape"):
        make(TaskOrder())
    with pytest.raises(Refusal, match="prefixes"):
        make(TaskOrder("S03"))
