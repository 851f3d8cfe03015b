"""Prompts of chats about networks by chance, what is right there, and what holds of the parts."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from random import Random
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.records import Refusal
from tests.misled import right_line
from tests.pupil_answers import right_of_ask
from tests.teaching.said_amounts import digits, said_amount
from tutor.circuit.steps import Step, choices
from tutor.front.chat.stages import Chat, Deciding, Solving
from tutor.front.keeping import Opening, Unkept
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.staged.story import Ask, Telling
from tutor.teaching.turn import before_step
from tutor.teaching.walk import Question, Walk, next_question

WORTHS: Final = (2, 3, 4, 5, 6, 8, 9, 10, 12, 15, 16, 18, 20, 24, 30, 36, 40, 60)
UNITS: Final = {"capacitance": "F", "charge": "C", "voltage": "V", "energy": "J", "area": "m²"}
COUNTS: Final = {2: "both", 3: "all three", 4: "all four", 5: "all five"}
MOST_PROMPTS: Final = 40
HOST: Final = Unkept()
NO_FACTS: Final[Mapping[str, bool]] = MappingProxyType({})


class Place(NamedTuple):
    """A prompt. ``asks`` is 'value', 'names' or 'words'; ``kind`` says what of, more nearly.

    ``right`` is a value in SI units, said near the prefix of ``power``; ``words`` are the right
    words with a wrong one behind them, or the right names, and ``others`` names that are not
    right. ``later`` is the capacitance of the next step. ``facts`` say what holds of the parts.
    """

    network: str
    chat: Chat
    prompt: str
    asks: str = "words"
    kind: str = ""
    fields: Mapping[str, str] = MappingProxyType({})
    facts: Mapping[str, bool] = NO_FACTS
    of: Quantity | None = None
    right: Fraction | None = None
    power: int = 0
    unit: str = ""
    words: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    sums: tuple[str, ...] = ()
    later: Fraction | None = None


def places(rng: Random) -> Iterator[Place]:
    """The prompts of one chat, each answered rightly before the next."""
    network = _walked(rng) if rng.random() < 0.6 else _staged(rng)
    try:
        answer = HOST.open(Opening(text=network))
    except Refusal:
        return
    for _ in range(MOST_PROMPTS):
        stage = answer.chat.stage
        if isinstance(stage, Deciding):
            answer = HOST.hear(answer.chat, "yes")
            continue
        if not isinstance(stage, Solving) or stage.is_done:
            return
        task, prompt = stage.talk.in_hand, answer.messages[-1].text
        if isinstance(task, Walk):
            question = next_question(task)
            assert question is not None, "a walk in hand asks"
            place = _in_walk(Place(network, answer.chat, prompt), task, question, rng)
            line = right_line(task, question, rng)
        elif isinstance(task, Telling) and task.ask is not None:
            place = _in_story(Place(network, answer.chat, prompt), task, task.ask)
            line = right_of_ask(task.ask)
        else:
            return
        if place is not None:
            yield place
        answer = HOST.hear(answer.chat, line)


# Networks


def _walked(rng: Random) -> str:
    unit = rng.choice(("uF", "uF", "nF", "pF"))
    worths = [*rng.sample(WORTHS, 5), *rng.sample(WORTHS, 2)]
    count = rng.choice((2, 2, 3, 3, 3, 4, 5))

    def nest(size: int, sign: str) -> str:
        if size == 1:
            return f"{worths.pop()} {unit}"
        first = rng.randint(1, size - 1)
        other = "--" if sign == "||" else "||"
        pieces = [nest(each, other) for each in (first, size - first)]
        return f" {sign} ".join(f"({p})" if " -- " in p or " || " in p else p for p in pieces)

    supply = rng.choice(("", f", across {rng.choice((6, 9, 10, 12, 20, 24, 30, 50, 100))} V",) * 2
                        + (f", across {rng.choice((5, 8, 12, 15, 60))} V, find E",))
    return nest(count, rng.choice(("--", "||"))) + supply


def _staged(rng: Random) -> str:
    a, b = rng.sample(WORTHS, 2)
    v, w = rng.sample((5, 6, 8, 10, 12, 20, 24, 30, 50, 60), 2)
    k = rng.choice((2, 3, 4, 5))
    sign = rng.choice(("--", "||"))
    whole = Fraction(a * b, a + b) if sign == "--" else Fraction(a + b)
    unit = rng.choice(("uF", "nF"))
    return rng.choice((
        f"C1 = {a} {unit} charged to {v} V; C2 = {b} {unit} charged to {w} V; join C1 and C2",
        f"C1 = {a} {unit} charged to {v} V; C2 = {b} {unit}; join C1 and C2",
        f"{a} {unit}, across {v} V; then remove supply; then fill C1 with {k}",
        f"{a} {unit}, across {v} V; then fill C1 with {k}",
        f"{a} {unit} || {b} {unit}, across {v} V; then remove supply; then fill C1 with {k}",
        f"C1 = plates {a}0 cm2 gap {rng.choice((0.1, 0.2, 0.5, 1, 2))} mm, across {v} V",
        f"C1 = {a} {unit} rated {v} V {sign} C2 = {b} {unit} rated {w} V",
        f"C1 = {a} {unit} {sign} C2 = ?; C = {float(whole):.12g} {unit}",
        f"C1 = {a} {unit} -- C2 = ?; V1 = {min(v, w)} V, across {max(v, w)} V",
    ))


# In a walk


def _in_walk(place: Place, walk: Walk, question: Question, rng: Random) -> Place | None:
    step = question.step
    if question.about == "choice":
        step = walk.plan[len(walk.steps)]
    fields = dict(_supply_field(walk))
    facts: Mapping[str, bool] = NO_FACTS
    if step is not None and step.makes is not None and step.kind in ("series", "parallel"):
        facts = dict(_facts(walk, step))
        fields.update(_fields(walk, step))
    elif step is not None:
        return None
    fields["shares"] = "pd" if step is not None and step.kind == "parallel" else "charge"
    place = place._replace(fields=fields, facts=facts)
    if question.about == "choice":
        assert step is not None
        return place._replace(asks="names", kind="choice", words=tuple(c.name for c in step.parts),
                              others=_not_together(walk, rng) or ("C1", "C9"))
    if question.about in ("shares", "reason"):
        kind = "shares" if not question.going_back else f"taken_{fields['shares']}"
        right = fields["shares"]
        return place._replace(kind=kind if question.about == "shares" else "reason",
                              words=(right, "charge" if right == "pd" else "pd"))
    if question.quantity is None or question.about not in ("value", "charge", "voltage", "energy"):
        return None
    return _asking_value(place, walk, question, question.quantity, rng)


def _asking_value(
    place: Place, walk: Walk, question: Question, quantity: Quantity, rng: Random
) -> Place:
    held = walk.truth[quantity]
    assert isinstance(held, Fraction)
    kind = "merged" if question.about == "value" else str(question.about)
    kind = "whole_charge" if kind == "charge" and quantity.of is None else kind
    fields = {**place.fields, "name": quantity.name, "owner": quantity.of or "the whole network"}
    if kind in ("charge", "voltage") and question.step is not None and len(
        {walk.truth[quantity._replace(of=c.name)] for c in question.step.parts}
    ) == 1:
        fields["each"] = "yes"
    return place._replace(
        asks="value", kind=kind, fields=fields, of=quantity, right=held,
        power=walk.problem.powers[quantity.dimension], unit=UNITS[quantity.dimension],
        sums=tuple(_sums(walk, question, quantity)), later=_later(walk, kind, rng),
        facts=place.facts or {"true": True, "never": False},
    )


def _later(walk: Walk, kind: str, rng: Random) -> Fraction | None:
    steps = walk.plan[len(walk.steps) + 1 :]
    after = next((s.makes.value for s in steps if s.makes), None)
    is_said = kind == "merged" and isinstance(after, Fraction) and rng.random() < 0.3
    return after if is_said and isinstance(after, Fraction) else None


def _supply_field(walk: Walk) -> Iterator[tuple[str, str]]:
    supply = walk.problem.supply
    if supply is not None and supply.quantity == "voltage":
        yield "supply", f"{supply.value} V"


def _fields(walk: Walk, step: Step) -> Iterator[tuple[str, str]]:
    a, b = step.parts[:2]
    power = walk.problem.powers["capacitance"]
    yield "both", COUNTS.get(len(step.parts), "all of them")
    yield "a", a.name
    yield "b", b.name
    yield "p", a.start
    yield "q", a.end
    yield "m", step.points[0]
    values = [c.value for c in walk.network.capacitors]
    if len({*values}) == len(values) and len(step.parts) == 2:
        yield "u", said_amount(Random(1), Fraction(a.value), power, "F")
        yield "v", said_amount(Random(1), Fraction(b.value), power, "F")


def _facts(walk: Walk, step: Step) -> Iterator[tuple[str, bool]]:
    a, b = step.parts[:2]
    parallel = step.kind == "parallel"
    network = before_step(walk, step) if step in walk.plan else walk.network
    touching = [c for c in network.capacitors if step.points[0] in (c.start, c.end)]
    yield "true", True
    yield "never", False
    yield "parallel", parallel
    yield "series", not parallel
    if len(step.parts) == 2:
        yield "chained", not parallel
        yield "equal", a.value == b.value
        yield "twice", a.value == 2 * b.value
    assert parallel or len(touching) == 2 or step.between
    yield "a_bigger", a.value > b.value
    if len({c.value for c in step.parts}) > 1:  # equal ones share both, by luck
        yield "one_pd", parallel
        yield "one_charge", not parallel
    yield "across", parallel and {a.start, a.end} == {*walk.network.ends}


def _not_together(walk: Walk, rng: Random) -> tuple[str, ...]:
    names = [c.name for c in walk.network.capacitors]
    sets = [{*each.names} for each in choices(walk.network)]
    apart = [(a, b) for a in names for b in names if a < b and not any({a, b} <= s for s in sets)]
    return rng.choice(apart) if apart else ()


def _sums(walk: Walk, question: Question, quantity: Quantity) -> Iterator[str]:
    def worth(symbol: str, of: str | None) -> str:
        each = Quantity(symbol, of)
        value = walk.truth[each] / Fraction(10) ** walk.problem.powers[each.dimension]
        return digits(Fraction(value), 5)

    of, step = quantity.of, question.step
    if question.about == "value" and step is not None:
        parts = [worth("C", c.name) for c in step.parts]
        if step.kind == "parallel":
            yield " + ".join(parts)
            yield " plus ".join(parts)
            yield "+".join(reversed(parts))
        elif len(parts) == 2:
            yield f"{parts[0]}*{parts[1]}/({parts[0]}+{parts[1]})"
            yield f"{parts[0]} x {parts[1]} / ({parts[0]} + {parts[1]})"
            yield f"1/(1/{parts[0]} + 1/{parts[1]})"
        return
    whole = of or (walk.whole.name if walk.whole else None)
    if quantity.symbol == "Q":
        yield f"{worth('C', whole)} x {worth('V', whole)}"
        yield f"{worth('C', whole)}*{worth('V', whole)}"
        yield f"{worth('C', whole)} times {worth('V', whole)}"
    elif quantity.symbol == "V":
        yield f"{worth('Q', whole)}/{worth('C', whole)}"
        yield f"{worth('Q', whole)} divided by {worth('C', whole)}"
    elif quantity.symbol == "E":
        yield f"1/2 x {worth('C', whole)} x {worth('V', whole)}^2"
        yield f"0.5*{worth('Q', whole)}*{worth('V', whole)}"


# In a problem in stages


def _in_story(place: Place, telling: Telling, ask: Ask) -> Place | None:
    is_joined = "charged to" in place.network and ask.key in ("held", "energy change")
    joined = ", joined" if is_joined else ""
    fields = {"both": "both", "m": "P", "name": ask.called or "it", "owner": "it"}
    place = place._replace(kind=f"{ask.key}{joined}", fields=fields)
    if ask.options:
        right = [each.words[0] for each in ask.options if each.is_right]
        wrong = [each.words[0] for each in ask.options if not each.is_right]
        sharing = {"the p.d.": "pd", "the p.d.s": "pd", "the charge": "charge"}
        named = [sharing.get(each, each) for each in (*right, *wrong)]
        return place._replace(words=tuple(named[:2])) if len(right) == 1 else None
    if not isinstance(ask.right, Fraction) or ask.right == 0:
        return None
    power, unit = 0, ""
    if not ask.pure and ask.dimension in UNITS:
        power, unit = telling.story.powers[ask.dimension], UNITS[ask.dimension]
    elif not ask.pure:
        return None
    return place._replace(asks="value", right=ask.right, power=power, unit=unit,
                          sums=tuple(_sum_told(ask)))


def _sum_told(ask: Ask) -> Iterator[str]:
    """The numbers of a worked answer, without its units, where it has one line of them."""
    pieces = ask.reveal.split("\n")[0].split(" = ")
    if len(pieces) < 3 or not re.search(r"\d.* [×/+−] ", pieces[-2]):
        return
    bare = re.sub(r"(?<=\d) [pnµm]?[FCVJ]\b", "", pieces[-2])
    if re.fullmatch(r"[\d ().×/+−½]+", bare):
        yield bare.replace("×", "x").replace("−", "-").replace("½", "1/2")


def verdicts(messages: tuple[Message, ...]) -> list[str]:
    """What was said to a line, in order."""
    return [message.verdict for message in messages if message.verdict]
