"""What an order may say, and which shapes would do for it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

from grammar.records import Dimension, Refusal
from tutor.practice.shapes import (
    BALANCED,
    EXTRAS,
    MIXED,
    SHAPES,
    TWO_LEVELS,
    UNBALANCED,
    Shape,
    groups,
    shape_named,
)
from tutor.practice.task_values import Arithmetic
from tutor.teaching.skills import BY_CODE
from tutor.teaching.speech import counted

# Skills that are about chains of so many members.
SIZES: Mapping[str, tuple[int, int]] = MappingProxyType({"S11": (2, 2), "S12": (3, 99)})
Scope: TypeAlias = Literal["one", "each", "whole"]


class Wanted(NamedTuple):
    """What a task asks for: a quantity of one capacitor, of each, or of the whole."""

    dimension: Dimension
    of: Scope = "one"


class TaskOrder(NamedTuple):
    """What a task is to be like; None leaves it open. ``shape`` is a full name of a shape."""

    skill: str | None = None
    shape: str | None = None
    steps: int | None = None
    arithmetic: Arithmetic | None = None
    asked: Wanted | None = None
    seed: int = 0


class Need(NamedTuple):
    """How a skill is practised: on which shapes, asking what, and what else would do for it.

    ``asked`` None asks for the p.d. and the charge of each; ``kinds`` are the kinds of steps that
    a shape must have, where so many steps are ordered that none of ``shapes`` has them.
    """

    shapes: tuple[str, ...]
    asked: Wanted | None = None
    kinds: tuple[str, ...] = ()


C: Final = Wanted("capacitance", "whole")
CHAINS: Final = ("a chain of two", "a chain of three")
SIDE: Final = ("two side by side", "three side by side")
SET_IN_CHAIN: Final = "a parallel set in a chain"
CHAIN_IN_SET: Final = "a chain in a parallel set"

MISSING: Final = (
    "missing in a chain", "missing side by side", "missing in a parallel set in a chain",
)
RATED: Final = ("ratings in a chain", "ratings in a chain of three", "ratings side by side")
FILLED: Final = ("filled while joined to the supply", "filled after the supply is removed")
GAPPED: Final = (
    "gap changed while joined to the supply", "gap changed after the supply is removed",
)
PLATES: Final = ("plates with air", "plates with a filling")
LAYERED: Final = ("plates in layers", "plates filled side by side")
LIKE: Final = ("a charged one joined to an empty one", "two charged ones joined like to like")
CROSSED: Final = "two charged ones joined crossed"
STORIES: Final = (*MISSING, *RATED, *FILLED, *GAPPED, *PLATES, *LAYERED, *LIKE, CROSSED)

NEEDS: Mapping[str, Need] = MappingProxyType({
    "S02": Need(("one capacitor",), Wanted("charge")),
    "S05": Need((f"{SET_IN_CHAIN} with a wire", f"{CHAIN_IN_SET} with a wire"), C),
    "S06": Need((*SIDE, SET_IN_CHAIN), C, ("parallel",)),
    "S07": Need((*CHAINS, CHAIN_IN_SET), C, ("series",)),
    "S08": Need((*SIDE, SET_IN_CHAIN), C, ("parallel",)),
    "S09": Need((*CHAINS, CHAIN_IN_SET), C, ("series",)),
    "S10": Need(SIDE, C, ("parallel",)),
    "S11": Need(("a chain of two",), C, ("series",)),
    "S12": Need(("a chain of three", "a chain of four"), C, ("series",)),
    "S13": Need((*CHAINS, *SIDE), C, ("series",)),
    "S14": Need(MIXED, C, ("series", "parallel")),
    "S15": Need(MIXED, C, ("series", "parallel")),
    "S16": Need((f"a chain of two with {EXTRAS[1]}", f"{SET_IN_CHAIN} with {EXTRAS[1]}"), C),
    "S17": Need((f"a chain of two with {EXTRAS[0]}", f"{SET_IN_CHAIN} with {EXTRAS[0]}"), C),
    "S18": Need(("a chain of two", "two side by side", SET_IN_CHAIN), Wanted("charge", "whole")),
    "S19": Need(CHAINS, None, ("series",)),
    "S20": Need((*SIDE, SET_IN_CHAIN), None, ("parallel",)),
    "S21": Need(CHAINS, None, ("series",)),
    "S22": Need((*SIDE, SET_IN_CHAIN), None, ("parallel",)),
    "S23": Need(TWO_LEVELS, None, ("series", "parallel")),
    "S24": Need(("one capacitor", "a chain of two", SET_IN_CHAIN), Wanted("energy")),
    "S25": Need(("a chain of two", "two side by side", SET_IN_CHAIN), Wanted("energy", "each")),
    "S26": Need((SET_IN_CHAIN, CHAIN_IN_SET), None, ("series", "parallel")),
    "S27": Need(MISSING),
    "S28": Need(RATED),
    "S29": Need((*FILLED, *GAPPED)),
    "S30": Need((*PLATES, *GAPPED)),
    "S31": Need(LAYERED),
    "S32": Need(LIKE),
    "S33": Need((CROSSED,)),
    "S34": Need((*LIKE, CROSSED, FILLED[0])),
    "S35": Need((BALANCED, UNBALANCED), C),
    "S36": Need((BALANCED,), C),
    "S37": Need((UNBALANCED,)),
    "S38": Need((UNBALANCED,)),
    "S39": Need((UNBALANCED,), C),
})


def shapes_for(order: TaskOrder) -> tuple[str, ...]:
    """Full names of all shapes that would do for an order, at least one.

    Errors: ``Refusal`` for what cannot be together and for an order of neither skill nor shape.
    """
    if order.skill is None and order.shape is None:
        raise Refusal(
            "The order names neither a skill nor a shape.", 'Name one, such as "a chain of two".'
        )
    need = NEEDS.get(order.skill) if order.skill else None
    if order.skill and need is None:
        name = BY_CODE[order.skill].name if order.skill in BY_CODE else order.skill
        raise Refusal(f'No network practises "{name}" alone.', "Name another skill, or a shape.")
    if order.shape is not None:
        _check_shape(order, order.shape, need)
        found: tuple[str, ...] = (order.shape,)
    else:
        assert need is not None
        if order.steps is not None and is_story(need.shapes[0]):
            raise Refusal("That skill is practised in stages, not steps.", "Leave out the steps.")
        found = _with_steps(order, need)
    if not found:
        raise Refusal(
            f"Nothing that fits takes {counted(order.steps or 0, 'step')}.",
            "Order another number of steps, up to four.",
        )
    return _with_numbers(order, found)


def is_story(shape: str) -> bool:
    """Whether it is a problem in stages, not a network to be walked."""
    return shape in STORIES


def _check_shape(order: TaskOrder, shape: str, need: Need | None) -> None:
    told = is_story(shape)
    if need is not None and shape not in need.shapes and (told or need.shapes[0] in STORIES):
        fitting = ", ".join(need.shapes)
        raise Refusal(f'"{shape}" does not practise that skill.', f"These do: {fitting}.")
    if told:
        if order.asked is not None:
            raise Refusal(f'"{shape}" asks questions of its own.', "Leave out what is asked.")
        if order.steps is not None:
            raise Refusal(f'"{shape}" goes in stages, not steps.', "Leave out the steps.")
        return
    known = shape_named(shape)
    kinds = need.kinds if need is not None and shape not in need.shapes else ()
    missing = [kind for kind in kinds if kind not in known.kinds]
    if missing:
        raise Refusal(f'"{shape}" has no step in {missing[0]}.', "Order another shape.")
    if order.skill is not None and not _has_step(order.skill, known):
        name = BY_CODE[order.skill].name
        raise Refusal(f'"{shape}" has no step of "{name}".', "Order another shape, or no skill.")
    if order.steps is not None and order.steps != known.steps:
        raise Refusal(
            f'"{shape}" takes {counted(known.steps, "step")}, not {order.steps}.',
            "Leave out the steps, or order another shape.",
        )


def _has_step(skill: str, shape: Shape) -> bool:
    """Whether a step of the shape is of the size that the skill is about; others are of any."""
    if skill not in SIZES:
        return True
    fewest, most = SIZES[skill]
    return shape.layout is not None and any(
        group.kind == "series" and fewest <= len(group.members) <= most
        for group in groups(shape.layout)
    )


def _with_steps(order: TaskOrder, need: Need) -> tuple[str, ...]:
    steps = order.steps
    if steps is None:
        return need.shapes
    own = [n for n in need.shapes if not is_story(n) and shape_named(n).steps == steps]
    others = [
        name for name, shape in SHAPES.items()
        if need.kinds and shape.steps == steps and set(need.kinds) <= set(shape.kinds)
        and (order.skill is None or _has_step(order.skill, shape))
    ]
    return tuple(own or others)


def _with_numbers(order: TaskOrder, names: tuple[str, ...]) -> tuple[str, ...]:
    """Those of the shapes that can come out in the numbers that are ordered."""
    if order.arithmetic is None:
        return names
    found = tuple(name for name in names if order.arithmetic in arithmetic_of(name))
    if not found:
        allowed = " or ".join(arithmetic_of(names[0]))
        raise Refusal(
            f'"{names[0]}" cannot be ordered as {order.arithmetic}.', f"It can be {allowed}."
        )
    return found


def arithmetic_of(name: str) -> tuple[Arithmetic, ...]:
    """The sorts of numbers a shape can come out in, the usual one first.

    The permittivity of free space is in all plates, and a parallel set bears what one of its
    ratings says.
    """
    if name in (*PLATES, *LAYERED):
        return ("three figures",)
    if name == "ratings side by side":
        return ("whole",)
    return ("terminating", "whole", "three figures")
