"""Five rungs of help for the question in hand, each built from the step, none canned.

Rung 0 restates, 1 says where to look, 2 gives the idea as a question, 3 the relation with the
names of these capacitors, 4 tells; the dialogue tells by showing the step.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from tutor.circuit.relations import by_law
from tutor.circuit.steps import Step
from tutor.teaching.quantities import SYMBOL, Quantity, Symbol
from tutor.teaching.reasons import metal_between, points_in_words, step_text
from tutor.teaching.speech import Speech, counted, listed
from tutor.teaching.walk import Question, Walk, is_stuck, suggested
from tutor.teaching.wording import step_of

LAST_RUNG = 3


def hint(walk: Walk, question: Question, rung: int, speech: Speech) -> str | None:
    """The text of rung 1, 2 or 3; None where there is nothing between this and telling."""
    if question.about == "choice":
        return _on_choice(walk, rung, speech)
    if question.about in ("shares", "reason"):
        step = step_of(question)
        return _on_passing(step, rung, speech) if question.going_back else _on_sharing(step, rung)
    if question.about == "check":
        return _CHECK.get(rung)
    return _on_value(walk, question, rung, speech)


_CHECK: Mapping[int, str] = MappingProxyType(
    {1: "Look at where that path, or those plates, begin and end."}
)


def _on_choice(walk: Walk, rung: int, speech: Speech) -> str:
    network = walk.network
    if is_stuck(walk):
        return _on_stuck(walk, rung, speech)
    step = suggested(walk)
    if rung == 1:  # what to look for; the place, which is half the answer, comes after it
        if step.kind == "removal":
            return (
                "A capacitor takes charge only if a path from one end of the network to the other "
                "leads through it. For which one is there no such path?"
            )
        return (
            f"Two share one {speech.terms.difference} if both join the same two points; they share "
            "one charge if they meet at a point where nothing else is joined. Which two are "
            "joined in one of these ways?"
        )
    if rung == 2:
        return _where(step)
    return "\n".join(points_in_words(network, speech))


def _on_stuck(walk: Walk, rung: int, speech: Speech) -> str:
    """Where nothing can be combined: the points, one by one."""
    inner = walk.network.points()[1:-1]
    if rung == 1:
        return f"Go through {listed(inner)}: how many plates meet at each?"
    if rung == 2:
        return "Do any two join the same two points, or meet where nothing else is joined?"
    return "\n".join(points_in_words(walk.network, speech))


def _where(step: Step) -> str:
    if step.kind == "removal":
        first = step.parts[0]
        if first.start == first.end:
            return f"Look at {first.start}: which capacitor has both its plates there?"
        return f"Follow {first.name} from {first.start} to {first.end}: where can you go on?"
    if step.kind == "parallel":
        return f"Look at {listed(step.points)}: which capacitors join these two?"
    point = step.points[0] if step.points else step.parts[0].end
    return f"Look at point {point}: which capacitors have a plate there?"


def _on_sharing(step: Step, rung: int) -> str | None:
    first, second = step.parts[:2]
    if rung == 1:
        return (
            f"{first.name} is between {listed((first.start, first.end))}. "
            f"Between which points is {second.name}?"
        )
    if rung == 2 and step.kind == "parallel":
        return "A point has one potential. What does a meter read across each of them?"
    if rung == 2:
        return (
            f"{metal_between(step)} If one plate there gains charge, where can it have come from?"
        )
    return None


def _on_passing(step: Step, rung: int, speech: Speech) -> str | None:
    names = listed([c.name for c in step.parts])
    if rung == 1:
        return f"How were {names} joined: at the same two points, or one after the other?"
    if rung == 2:
        if step.kind == "parallel":
            both = listed(step.points)
            return f"{names} join {both}, as the one in their place did. What is the same on each?"
        return f"Along a chain the {speech.terms.differences} add. What is the same on each?"
    return None


def _on_value(walk: Walk, question: Question, rung: int, speech: Speech) -> str | None:
    quantity, step = question.quantity, question.step
    assert quantity is not None
    if step is not None and step.kind == "removal":
        return _on_idle(step, rung)
    if quantity.symbol == "C":
        return _on_equivalent(step, rung, speech)
    difference = speech.terms.difference
    name = quantity.of or (walk.whole.name if walk.whole else "C")

    def said(symbol: Symbol) -> str:
        return speech.name(Quantity(symbol, quantity.of))

    relation = f"{said(quantity.symbol)} = {_law(quantity, name, said)}"
    ideas = {
        "V": f"The charge and the capacitance of {name} fix the {difference} across it. "
             f"Which needs the larger {difference} to hold the same charge, a small or a large "
             "capacitance?",
        "Q": f"The {difference} across {name} and its capacitance fix its charge. "
             f"If the {difference} doubled, what would the charge do?",
        "E": f"The {difference} grew from zero while {name} charged. "
             "What was it on average?",
        "W": f"The supply stood at its full {difference} from the first of the charge to the last. "
             "How much energy does it take to move all of it across that?",
    }
    wheres = {
        "V": f"Which charge does {name} hold, and what is its own capacitance?",
        "Q": f"Which {difference} does {name} have across it, and what is its own capacitance?",
        "E": f"Which charge and which {difference} belong to {name} itself?",
        "W": f"Which charge did the supply move in all, and what {difference} did it have?",
    }
    return {1: wheres, 2: ideas}.get(rung, {}).get(quantity.symbol, relation)


def _law(quantity: Quantity, name: str, said: Callable[[Symbol], str]) -> str:
    """The law of one capacitor for one of its quantities, in names."""
    if quantity.symbol == "W":
        return f"{said('Q')} × {said('V')}"
    return by_law(quantity.dimension, name).text(
        lambda fact: name if fact.dimension == "capacitance" else said(SYMBOL[fact.dimension])
    )


def _on_idle(step: Step, rung: int) -> str | None:
    first = step.parts[0]
    if rung == 1 and first.start == first.end:
        return f"Both plates of {first.name} are on {first.start}. What would a meter read there?"
    if rung == 1:
        return f"From where could a charge come to {first.name}, and where could it go on to?"
    return None


def _on_equivalent(step: Step | None, rung: int, speech: Speech) -> str | None:
    if step is None:
        return None
    names = listed([c.name for c in step.parts])
    if rung == 1:
        return f"Look back at what {names} share. What, then, adds up over the {_all(step)}?"
    if rung == 2 and step.kind == "parallel":
        return (
            f"At one {speech.terms.difference} the charges of {names} add. "
            "So what do their capacitances do?"
        )
    if rung == 2:
        return (
            f"With one charge on all, the {speech.terms.differences} add, and each is that charge "
            "over a capacitance. So what adds up: C, or 1/C?"
        )
    return step_text(step, speech).relation


def _all(step: Step) -> str:
    return counted(len(step.parts), "capacitor")
