"""A simulated learner who follows one wrong rule, and networks by chance for it to go wrong on.

Chance comes from a seeded `random.Random`, so that a report can be made again number for number.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from random import Random
from typing import NamedTuple

from grammar.records import Amount, Chain, Charging, Description, Element, Parallel, Part
from tests.conversing import about
from tests.nodal import Edge
from tests.strategies import Drawn, as_description, as_drawn
from tutor.circuit.network import Problem, build
from tutor.circuit.steps import Step
from tutor.teaching.exchange import begin, hear
from tutor.teaching.messages import Message
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.catalogue import CATALOGUE
from tutor.teaching.rules.context import RuleContext, SolvedRoute, context_of, context_on, route_of
from tutor.teaching.rules.diagnosis import Typed, cuts_off, matches
from tutor.teaching.rules.malrule import Malrule
from tutor.teaching.shared_reasons import reasons
from tutor.teaching.turn import Turn, speech_of
from tutor.teaching.walk import Question, Walk, next_question

PREFIXES = {-12: "p", -9: "n", -6: "u", -3: "m", 0: "", 3: "k", 6: "M"}
UNITS = {"capacitance": "F", "charge": "C", "voltage": "V", "energy": "J"}
LETTERS = "abcd"
MOST_LINES = 60
WALK_PLACES = (
    "series", "parallel", "whole", "charge", "total charge", "voltage", "energy", "total energy",
    "work",
)


def places_on_walks(malrule: Malrule) -> tuple[str, ...]:
    """The kinds of question of a walk where a rule can be met."""
    return tuple(place for place in malrule.places if place in WALK_PLACES)


ON_WALKS = tuple(malrule for malrule in CATALOGUE if places_on_walks(malrule))


class Chance(NamedTuple):
    """A place where a wrong rule gives a number: ``number`` in the usual unit of the problem."""

    walk: Walk
    quantity: Quantity
    number: Fraction


class Outcome(NamedTuple):
    """What the dialogue made of one wrong number.

    ``alone`` says whether no rule with another remedy gives it at three figures, ``settled``
    whether the rule was named, and none with another remedy, ``asked_which`` whether after a
    separating question.
    """

    alone: bool
    settled: bool
    asked_which: bool
    said: str


# Networks by chance


def problem_for(malrule: Malrule, rng: Random) -> Problem:
    """A network of the kind that a wrong rule belongs to."""
    return build(_KINDS.get(malrule.code, nested)(rng))


def nested(rng: Random) -> Description:
    nest = _nest(rng, rng.randint(2, 5), rng.choice((-12, -9, -6)))
    return Description(nest=nest, supply=_supply(rng))


def _single(rng: Random) -> Description:
    if rng.random() < 0.5:
        return nested(rng)
    return Description(nest=_capacitor(rng, 1, -6), supply=_supply(rng))


def _equal(rng: Random) -> Description:
    first = _capacitor(rng, 1, -6)
    members = tuple(first._replace(name=f"C{n}") for n in range(1, rng.randint(2, 4) + 1))
    nest: Part = Chain(members) if rng.random() < 0.5 else Parallel(members)
    if rng.random() < 0.5:
        other = _capacitor(rng, len(members) + 1, -6)
        nest = Chain((nest, other)) if isinstance(nest, Parallel) else Parallel((nest, other))
    return Description(nest=nest, supply=_supply(rng))


def _mixed_prefixes(rng: Random) -> Description:
    """Some in µF and some in nF, a few hundred of them, as they stand in problems."""
    members = []
    for n in range(1, rng.randint(2, 3) + 1):
        small = rng.random() < 0.5
        count = Fraction(rng.randint(11, 99) * 10 if small else rng.randint(11, 99))
        worth = count * Fraction(10) ** -9 if small else count / 10 * Fraction(10) ** -6
        members.append(Element(f"C{n}", Amount(worth, -9 if small else -6)))
    return Description(nest=Chain(tuple(members)), supply=_supply(rng))


def _with_dead_end(rng: Random) -> Description:
    drawn = as_drawn(Description(nest=_nest(rng, rng.randint(1, 4), -6)))
    points = sorted({p for e in drawn.edges for p in (e.start, e.end)})
    loose = Edge(f"C{len(drawn.edges) + 1}", _count(rng) / 10**6, rng.choice(points), "D9")
    return as_description(drawn._replace(edges=(*drawn.edges, loose)), _supply(rng), -6)


def _with_bypass(rng: Random) -> Description:
    drawn = as_drawn(Description(nest=_nest(rng, rng.randint(3, 5), -6)))
    bypassed = [e for e in drawn.edges if {e.start, e.end} != {"A", "B"}]
    if not bypassed:
        return _with_bypass(rng)
    chosen = rng.choice(bypassed)
    return as_description(drawn._replace(wires=((chosen.start, chosen.end),)), _supply(rng), -6)


def _with_wire(rng: Random) -> Description:
    """One inner point drawn as two, with a wire between them."""
    drawn = as_drawn(Description(nest=_nest(rng, rng.randint(3, 5), -6)))
    inner = sorted({p for e in drawn.edges for p in (e.start, e.end)} - {"A", "B"})
    if not inner:
        return _with_wire(rng)
    point = rng.choice(inner)
    moved = [rng.random() < 0.5 for _ in drawn.edges]
    edges = tuple(
        Edge(e.name, e.capacitance, *("S9" if p == point and moves else p for p in e[2:]))
        for e, moves in zip(drawn.edges, moved, strict=True)
    )
    supply = _supply(rng)
    return as_description(Drawn(edges, ((point, "S9"),), ("A", "B")), supply, -6)


def _nest(rng: Random, size: int, power: int) -> Part:
    leaves = iter([_capacitor(rng, n, power) for n in range(1, size + 1)])

    def part(count: int, chain: bool) -> Part:
        if count == 1:
            return next(leaves)
        pieces = rng.randint(2, min(3, count))
        cuts = sorted(rng.sample(range(1, count), pieces - 1))
        shares = [b - a for a, b in zip([0, *cuts], [*cuts, count], strict=True)]
        members = tuple(part(share, not chain) for share in shares)
        return Chain(members) if chain else Parallel(members)

    return part(size, rng.random() < 0.5)


def _capacitor(rng: Random, number: int, power: int) -> Element:
    return Element(f"C{number}", Amount(_count(rng) * Fraction(10) ** power, power))


def _count(rng: Random) -> Fraction:
    """Values of two or three figures, such as 4.7, 23 or 6.85."""
    return rng.choice((
        Fraction(rng.randint(11, 99), 10), Fraction(rng.randint(11, 60)),
        Fraction(rng.randint(101, 999), 100),
    ))


def _supply(rng: Random) -> Charging:
    if rng.random() < 0.75:
        return Charging("voltage", Amount(_count(rng), 0))
    return Charging("charge", Amount(_count(rng) / 10**6, -6))


_KINDS: dict[str, Callable[[Random], Description]] = {
    **dict.fromkeys(("A1", "A2", "A3", "A5", "A6", "B1", "B2", "B3", "B4", "B5", "B6"), _single),
    "C14": _equal, "D5": _equal, "C16": _mixed_prefixes, "E3": _with_bypass, "E8": _with_wire,
    "E4": _with_dead_end, "E5": _with_dead_end, "E6": _with_dead_end,
}


# Where a wrong rule gives a number


def chances(malrule: Malrule, rng: Random, wanted: int) -> Iterator[Chance]:
    """Places where the rule gives a wrong number, each on a network of its own."""
    found = 0
    for _ in range(200 * wanted):
        walk = begin(problem_for(malrule, rng)).walk
        places = list(_places(malrule, walk))
        if places:
            found += 1
            yield rng.choice(places)
        if found == wanted:
            return


def _places(malrule: Malrule, walk: Walk) -> Iterator[Chance]:
    route = route_of(walk)
    again = route.whole.name if route.whole else None  # the whole under its other name
    for quantity in walk.truth:
        if quantity in walk.known or (quantity.symbol != "C" and quantity.of == again):
            continue
        scene = context_of(route, quantity)
        if scene is None or not malrule.fits(scene):
            continue
        for plain in malrule.wrong(scene):
            number = plain * to_usual(scene)
            if number >= 0 and not _seems_right(number, value_of(walk, quantity)):
                yield Chance(walk, quantity, number)


def to_usual(scene: RuleContext) -> Fraction:
    """What turns a plain number of a scene into one in the usual unit of the problem."""
    return 1 / scene.scale


def value_of(walk: Walk, quantity: Quantity) -> Fraction:
    """The right value in the usual unit."""
    value = walk.truth[quantity]
    assert isinstance(value, Fraction)
    return value / Fraction(10) ** walk.problem.powers[quantity.dimension]


def _seems_right(number: Fraction, right: Fraction) -> bool:
    """Whether three figures of it are taken as right, or as right but for a power of ten."""
    if number == 0:
        return right == 0
    typed = at_figures(number, 3)
    return any(
        is_taken_as_right(typed, right * Fraction(10) ** shift) for shift in range(-12, 13, 3)
    )


def is_taken_as_right(typed: Typed, right: Fraction) -> bool:
    """Whether a number rounds the right one, or is within half a per cent of it."""
    return abs(typed.number - right) <= max(typed.half or Fraction(0), right / 200)


def at_figures(number: Fraction, figures: int) -> Typed:
    """What is left of a number that is typed to so many significant figures."""
    if number == 0:
        return Typed(number, Fraction(1, 2), 1)
    place = Fraction(1)
    while abs(number) >= place * 10:
        place *= 10
    while abs(number) < place:
        place /= 10
    unit = place / Fraction(10) ** (figures - 1)
    rounded = int(abs(number) / unit + Fraction(1, 2)) * unit
    return Typed(rounded if number > 0 else -rounded, unit / 2, figures)


# What is typed


def written(typed: Typed, quantity: Quantity, problem: Problem, rng: Random) -> str:
    """A number in the usual unit, typed to its figures in one of the forms of a unit."""
    power, unit = problem.powers[quantity.dimension], UNITS[quantity.dimension]
    if typed.number == 0:
        return rng.choice(("0", "0.00", f"0 {PREFIXES[power]}{unit}"))
    form = rng.choice(("usual", "bare", "shifted", "tens"))
    shift = rng.choice((-3, 3)) if form == "shifted" else 0
    shift = shift if power + shift in PREFIXES else 0
    text = _plain(_scaled(typed, -shift)) if form != "tens" else None
    if text is None:
        return _in_tens(_scaled(typed, power), unit, rng)
    return text if form == "bare" else f"{text} {PREFIXES[power + shift]}{unit}"


def _scaled(typed: Typed, power: int) -> Typed:
    scale = Fraction(10) ** power
    half = None if typed.half is None else typed.half * scale
    return typed._replace(number=typed.number * scale, half=half)


def _plain(typed: Typed) -> str | None:
    """Decimals with every figure shown; None where noughts would have to fill up, or too many."""
    assert typed.half is not None
    places = 0
    while Fraction(10) ** -places > 2 * typed.half:
        places += 1
    if 2 * typed.half > 1 or typed.number < Fraction(1, 10**3):
        return None
    units = int(typed.number * 10**places)
    text = str(units).rjust(places + 1, "0")
    return f"{text[:-places]}.{text[-places:]}" if places else text


def _in_tens(value: Typed, unit: str, rng: Random) -> str:
    power = 0
    while value.number / Fraction(10) ** power >= 10:
        power += 1
    while value.number / Fraction(10) ** power < 1:
        power -= 1
    text = _plain(_scaled(value, -power))
    return f"{text}e{power} {unit}" if rng.random() < 0.5 else f"{text} x 10^{power} {unit}"


# Talking


def go_wrong(malrule: Malrule, chance: Chance, rng: Random) -> Outcome:
    """Give the wrong number, answer the separating question if there is one, see what is named.

    Now and then it is given where it is asked, after right answers rounded to three figures: then
    the rule is run on these rounded values.
    """
    walk, quantity, number = chance
    is_asked = False
    if quantity.of is not None and (rng.random() < 0.4 or quantity.symbol == "C"):
        walk, quantity, is_asked = walk_to(walk, quantity, rng)
        number = _on_own_values(malrule, walk, quantity, number)
    typed = at_figures(number, 3)
    text = written(typed, quantity, walk.problem, rng)
    if not is_asked or rng.random() < 0.3:
        text = f"{quantity.name} = {text}"
    turn = hear(about(walk), text)
    return _settle(malrule, turn, text, _is_alone(malrule, walk, quantity, typed))


def _on_own_values(
    malrule: Malrule, walk: Walk, quantity: Quantity, number: Fraction
) -> Fraction:
    scene = context_on(walk, quantity, walk.own)
    assert scene is not None
    found = [n * to_usual(scene) for n in malrule.wrong(scene)]
    nearest = min(found, key=lambda n: abs(n - number), default=number)
    return number if _seems_right(nearest, value_of(walk, quantity)) else nearest


def _is_alone(malrule: Malrule, walk: Walk, quantity: Quantity, typed: Typed) -> bool:
    route = route_of(walk)
    scenes = (context_of(route, quantity), context_of(route, quantity, walk.own))
    found = [m for scene in scenes if scene is not None for m in matches(scene, typed)]
    return all(other.remedy == malrule.remedy for other in found)


def _settle(malrule: Malrule, turn: Turn, text: str, alone: bool) -> Outcome:
    """Follow the separating question, then compare what is named with the rule's remedy."""
    asked_which = False
    aside = turn.walk.aside
    if aside is not None and aside.kind == "routes":
        asked_which = True
        own = [n for n, names in enumerate(aside.options) if malrule.name in names]
        turn = hear(turn.talk, LETTERS[own[0] if own else len(aside.options)])
    verdict = verdict_of(turn)
    said = f"{text}: {', '.join(verdict.malrules) or verdict.text}"
    return Outcome(alone, _is_settled(malrule, turn), asked_which, said)


def _is_settled(malrule: Malrule, turn: Turn) -> bool:
    named = verdict_of(turn).malrules
    return malrule.name in named and _one_remedy(named)


def verdict_of(turn: Turn) -> Message:
    """The last verdict of a turn."""
    return [m for m in turn.messages if m.kind == "verdict"][-1]


def _one_remedy(names: tuple[str, ...]) -> bool:
    return len({m.remedy for m in CATALOGUE if m.name in names}) == 1


def walk_to(walk: Walk, wanted: Quantity, rng: Random) -> tuple[Walk, Quantity, bool]:
    """Answer rightly until a quantity is asked for, or its turn has come to be said.

    What is made of the same capacitors may have been given another name on the way.
    """
    leaves = _leaves(walk, wanted.of)
    for _ in range(MOST_LINES):
        question = next_question(walk)
        assert question is not None, f"{wanted} never came up"
        of = next((n for n in _names(walk) if _leaves(walk, n) == leaves), wanted.of)
        quantity = wanted._replace(of=of)
        if question.quantity == quantity:
            return walk, quantity, True
        if quantity.symbol != "C" and _is_its_turn(question, quantity):
            return walk, quantity, False
        walk = hear(about(walk), right_line(walk, question, rng)).walk
    raise AssertionError(f"{wanted} never came up")


def _names(walk: Walk) -> list[str]:
    given = [c.name for c in walk.problem.network.capacitors]
    return [*given, *(s.makes.name for s in walk.plan if s.makes)]


def _leaves(walk: Walk, name: str | None) -> frozenset[str]:
    """The capacitors of the text that a capacitor stands for."""
    made_by = next((s for s in walk.plan if s.makes and s.makes.name == name), None)
    if made_by is None:
        return frozenset({name or ""})
    return frozenset().union(*(_leaves(walk, c.name) for c in made_by.parts))


def _is_its_turn(question: Question, quantity: Quantity) -> bool:
    parts = question.step.parts if question.step else ()
    if question.about == "shares" and question.going_back:
        return quantity.of in {c.name for c in parts}
    return question.about == "check" or (quantity.symbol == "E" and question.going_back)


def right_line(walk: Walk, question: Question, rng: Random) -> str:
    """A right answer along the tutor's own way."""
    step = question.step
    if question.about == "choice":
        return " ".join(c.name for c in walk.plan[len(walk.steps)].parts)
    if question.about == "shares":
        assert step is not None
        return "the p.d." if step.kind == "parallel" else "the charge"
    if question.about == "reason":
        assert step is not None
        menu = reasons(step, speech_of(walk), walk.seed)
        return LETTERS[[entry.is_true for entry in menu].index(True)]
    assert question.quantity is not None
    right = value_of(walk, question.quantity)
    return written(at_figures(right, rng.randint(3, 5)), question.quantity, walk.problem, rng)


# Skipped steps


class Skipped(NamedTuple):
    """The whole given at once, with a wrong rule at the first step and right rules after it.

    ``first`` is what the rule gives at that step; ``alone`` says whether no rule with another
    remedy, at any one step, leads to the same three figures of the whole.
    """

    chance: Chance
    first: Fraction
    alone: bool


def skipped_chances(malrule: Malrule, rng: Random, wanted: int) -> Iterator[Skipped]:
    """Networks of two or more steps where the rule applies at the first."""
    found = 0
    for _ in range(100 * wanted):
        walk = begin(problem_for(malrule, rng)).walk
        numbers = list(_with_first_step_wrong(malrule, walk))
        if numbers:
            found += 1
            yield rng.choice(numbers)
        if found == wanted:
            return


def _with_first_step_wrong(malrule: Malrule, walk: Walk) -> Iterator[Skipped]:
    steps = [s for s in walk.plan if s.makes is not None]
    if len(steps) < 2 or steps[0].makes is None:
        return
    route, whole = route_of(walk), Quantity("C")
    first, last = (context_of(route, q) for q in (Quantity("C", steps[0].makes.name), whole))
    if first is None or last is None or not malrule.fits(first):
        return
    for number in malrule.wrong(first):
        reached = _right_from(route, number) if number > 0 else Fraction(0)
        if reached and not _seems_right(reached, value_of(walk, whole)):
            typed = at_figures(reached, 3)
            other = bool(matches(last, typed)) or cuts_off(last, typed)
            alone = not other and _leads_alone(malrule, route, typed)
            yield Skipped(Chance(walk, whole, reached), number, alone)


def _leads_alone(malrule: Malrule, route: SolvedRoute, typed: Typed) -> bool:
    """Whether no rule with another remedy, at any one step, leads to the number as well."""
    for step in route.plan:
        scene = context_of(route, Quantity("C", step.makes.name)) if step.makes else None
        if scene is None:
            continue
        for other in CATALOGUE:
            if not other.fits(scene) or other.remedy == malrule.remedy:
                continue
            for number in other.wrong(scene):
                if number > 0 and typed.is_met(_right_from(route, number, step)):
                    return False
    return True


def go_wrong_early(malrule: Malrule, skipped: Skipped, rng: Random) -> Outcome:
    """Give the whole; where one step is asked for then, give what the rule made of it."""
    walk, quantity, number = skipped.chance
    text = f"C = {written(at_figures(number, 3), quantity, walk.problem, rng)}"
    turn = hear(about(walk), text)
    aside = turn.walk.aside
    if aside is not None and aside.kind == "step" and not _is_settled(malrule, turn):
        value = written(at_figures(skipped.first, 3), aside.about, walk.problem, rng)
        turn = hear(turn.talk, f"{aside.about.name} = {value}")
    return _settle(malrule, turn, text, skipped.alone)


def _right_from(route: SolvedRoute, number: Fraction, wrong: Step | None = None) -> Fraction:
    """The whole with one step worth this number instead; all others done rightly.

    Without ``wrong`` it is the first step that makes something.
    """
    unit = Fraction(10) ** route.problem.powers["capacitance"]
    values = {c.name: c.value / unit for c in route.problem.network.capacitors}
    steps = [step for step in route.plan if step.makes is not None]
    for step in steps:
        assert step.makes is not None
        parts = [values[c.name] for c in step.parts]
        worth = sum(parts) if step.kind == "parallel" else 1 / sum(1 / n for n in parts)
        values[step.makes.name] = number if step is (wrong or steps[0]) else worth
    assert route.whole is not None
    return Fraction(values[route.whole.name])
