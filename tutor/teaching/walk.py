"""A walk through one problem: its state, what is true on it, and what to ask next.

The next question is worked out from what is established, never from a script, so that any order
and any number of answers at once lead on rightly.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Literal, NamedTuple

from tutor.circuit.checks import closing_checks
from tutor.circuit.joining import JOININGS
from tutor.circuit.network import Capacitor, Network, Problem
from tutor.circuit.reduction import reduce
from tutor.circuit.solving import potentials, solve, work_back
from tutor.circuit.steps import Step, StepKind, after, carry_out, choices
from tutor.circuit.values import Value, tidy
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.messages import About
from tutor.teaching.quantities import SYMBOL, Quantity, Symbol
from tutor.teaching.settings import WhatIsAsked
from tutor.teaching.speech import Terms

STEADY = 2
# The skill of saying what is shared, by (in parallel, on the way back).
SHARING: Mapping[tuple[bool, bool], str] = MappingProxyType({
    (True, False): "S08", (False, False): "S09", (True, True): "S20", (False, True): "S19",
})


class Question(NamedTuple):
    """What is asked: ``step`` is the one in hand, or the one being undone on the way back."""

    about: About
    step: Step | None = None
    part: Capacitor | None = None
    quantity: Quantity | None = None
    going_back: bool = False


class Aside(NamedTuple):
    """A question asked back about an answer, before the question in hand is taken up again.

    ``ask``: a question that lets the learner find a fault; ``routes``: which of several ways led
    to a number (``options`` are the malrules of each); ``line``: the line it was worked out from;
    ``step``: the value of a skipped step. ``about`` is the quantity it concerns.
    """

    kind: Literal["ask", "routes", "line", "step"]
    text: str
    about: Quantity
    options: tuple[tuple[str, ...], ...] = ()
    said: str = ""


class _Reached(NamedTuple):
    """How far a walk has come.

    ``pending`` is a chosen step whose equivalent is still to be said; ``settled`` holds the
    questions of sharing that are done, by (about, capacitor made); ``known`` what the learner
    has been given, has said rightly or was shown; ``own`` the learner's own rounded values.
    ``skipped`` are steps that a learner jumped over by giving the whole at once, kept until one
    question about the first of them is answered. ``tries`` and
    ``rung`` (of the hints) and ``unsure`` (an honest 'I don't know') belong to the question in
    hand, and so do ``named``, points given for a reason that were right as far as they go;
    ``slips`` say in words what went wrong
    on the way, ``shown`` what was shown on request. ``rightly`` counts right answers in a row for
    each skill, ``weak`` names
    steps whose right answers a wrong rule gives too; ``seed`` orders menus. ``summed``: what was
    left of a sum has been told, and with it what the closing check would ask. ``twins`` are still
    to be asked for steps that were shown. ``hints`` counts those that were given. ``manner`` says
    how it is led for this learner.
    """

    problem: Problem
    terms: Terms
    network: Network
    truth: Mapping[Quantity, Value]
    plan: tuple[Step, ...]
    whole: Capacitor | None
    steps: tuple[Step, ...] = ()
    pending: Step | None = None
    settled: frozenset[tuple[str, str]] = frozenset()
    known: Mapping[Quantity, Value] = MappingProxyType({})
    own: Mapping[Quantity, Value] = MappingProxyType({})
    skipped: tuple[Step, ...] = ()
    tries: int = 0
    rung: int = 0
    unsure: bool = False
    last_wrong: Value | str | None = None
    named: tuple[str, ...] = ()
    slips: tuple[str, ...] = ()
    shown: tuple[str, ...] = ()
    rightly: Mapping[str, int] = MappingProxyType({})
    weak: tuple[str, ...] = ()
    seed: int = 0
    energy_wanted: bool = False
    checked: bool = False
    summed: bool = False
    reminded: bool = False
    over: bool = False
    aside: Aside | None = None
    twins: tuple[tuple[StepKind, str], ...] = ()
    hints: int = 0
    manner: Manner = PLAIN


class Walk(_Reached):
    """Everything a walk needs to go on; it never changes, each answer makes the next one, so that
    what follows from it alone is worked out once.
    """

    @property
    def made(self) -> frozenset[str]:
        """Names of all capacitors that steps of this walk have made."""
        return frozenset(step.makes.name for step in self.steps if step.makes)

    def made_by(self, name: str | None) -> Step | None:
        """The step, done or to come, that makes a capacitor; None for a given one."""
        return next((s for s in self.plan if s.makes and s.makes.name == name), None)

    def part_of(self, name: str | None) -> Step | None:
        """The step that combines a capacitor with others; None for the last one and idle ones."""
        return next((s for s in self.plan if s.makes and name in {c.name for c in s.parts}), None)


def begin_walk(
    problem: Problem, terms: Terms, seed: int = 0, manner: Manner = PLAIN
) -> Walk:
    """A walk at its start: the values in the text are known, and nothing else."""
    given: dict[Quantity, Value] = {
        Quantity("C", c.name): c.value for c in problem.network.capacitors
    }
    if problem.supply:
        given[Quantity(SYMBOL[problem.supply.quantity])] = problem.supply.value
    return look_ahead(
        Walk(problem, terms, problem.network, {}, (), None, known=given, seed=seed, manner=manner)
    )


def look_ahead(walk: Walk) -> Walk:
    """Work out what is true on this walk: its steps so far, then the tutor's own."""
    steps, network = walk.steps, walk.network
    if walk.pending is not None:
        steps, network = (*steps, walk.pending), after(network, walk.pending)
    if steps and walk.plan[: len(steps)] == steps:
        return walk  # as it was foreseen
    made = {step.makes.name for step in steps if step.makes}
    rest = reduce(network, {c.name for c in given(walk)} | made)
    plan = (*steps, *rest.steps)
    truth = _truth(walk.problem, plan, rest.equivalent)
    return walk._replace(plan=plan, whole=rest.equivalent, truth=truth)


def _truth(
    problem: Problem, plan: tuple[Step, ...], whole: Capacitor | None
) -> Mapping[Quantity, Value]:
    made = [step.makes for step in plan if step.makes]
    truth = {Quantity("C", c.name): c.value for c in (*problem.network.capacitors, *made)}
    idle = [c for s in plan for c in (*(s.parts if s.makes is None else ()), *s.swept)]
    truth.update({Quantity(s, c.name): Fraction(0) for c in idle for s in ("V", "Q", "E")})
    if whole is None:
        return {**truth, **_truth_beyond(problem)}
    truth[Quantity("C")] = whole.value
    if problem.supply is None:
        return truth
    ends = problem.network.ends
    holdings = work_back(plan, whole, problem.supply, ends)
    for name, held in holdings.items():
        truth[Quantity("V", name)] = held.size.voltage
        truth[Quantity("Q", name)] = held.size.charge
        truth[Quantity("E", name)] = held.energy
    for symbol in ("V", "Q", "E"):
        truth[Quantity(symbol)] = truth[Quantity(symbol, whole.name)]
    if problem.supply.quantity == "voltage":
        truth[Quantity("W")] = tidy(truth[Quantity("Q")] * truth[Quantity("V")])
    for point, level in potentials(problem.network, holdings).items():
        truth[Quantity("V", point=point)] = level
    return truth


def _truth_beyond(problem: Problem) -> Mapping[Quantity, Value]:
    """What holds for the given capacitors where series and parallel do not lead to the end."""
    solution = solve(problem.network, problem.supply)
    if solution.whole is None:
        return {}
    found = _truth(problem, solution.steps, solution.whole)
    given_names = {c.name for c in problem.network.capacitors} | {None}
    return {q: value for q, value in found.items() if q.of in given_names}


def targets(walk: Walk) -> tuple[Quantity, ...]:
    """What the walk is for: what the text asks, or else everything, energy only on request; the
    capacitance of the whole where nothing else has a value.
    """
    supply = walk.problem.supply
    asked = tuple(Quantity(SYMBOL[a.quantity], a.of) for a in walk.problem.asked)
    if supply is None:
        return tuple(q for q in asked if q.symbol == "C") or (Quantity("C"),)
    if not asked:
        names = [c.name for c in walk.problem.network.capacitors]
        asked = (Quantity("C"), *(Quantity(s, n) for n in names for s in ("V", "Q")))
    if walk.energy_wanted:
        names = [c.name for c in walk.problem.network.capacitors]
        asked = (*asked, *(Quantity("E", n) for n in names), Quantity("E"))
        if supply.quantity == "voltage":
            asked = (*asked, Quantity("W"))
    return tuple(dict.fromkeys(asked))


def asked_quantities(walk: Walk) -> tuple[Quantity, ...]:
    """What the text asks for, or the whole capacitance where it asks for nothing."""
    asked = tuple(Quantity(SYMBOL[a.quantity], a.of) for a in walk.problem.asked)
    if not asked and len(given(walk)) == 1 and walk.problem.supply is not None:
        return (Quantity("V"), Quantity("Q"))
    return asked or (Quantity("C"),)


def is_steady(walk: Walk, step: Step) -> bool:
    """Whether the reason of this kind of step has been given rightly often enough in a row."""
    return walk.rightly.get(SHARING[step.kind == "parallel", False], 0) >= STEADY


def pace_of(settings: Terms, manner: Manner) -> WhatIsAsked:
    """How much is asked. A lesson or a practice, which says itself what it asks, asks all of that;
    an end that went wrong is asked in steps.
    """
    if manner.asked is not None or manner.only is not None:
        return "everything"
    return "what is open" if settings.asked == "the end" and manner.stepwise else settings.asked


def at_the_end(walk: Walk) -> bool:
    """Whether the end alone is asked for, and has not gone wrong yet."""
    return pace_of(walk.terms, walk.manner) == "the end"


def suggested(walk: Walk) -> Step:
    """The step the tutor would take now; where only members of a chain with something between
    them can be combined, these.
    """
    if len(walk.plan) > len(walk.steps):
        return walk.plan[len(walk.steps)]
    taken = {c.name for c in given(walk)} | walk.made
    return carry_out(walk.network, choices(walk.network)[0], taken)


def is_stuck(walk: Walk) -> bool:
    """Whether capacitors are left that series and parallel cannot combine."""
    return walk.pending is None and len(walk.network.capacitors) > 1 and not choices(walk.network)


def next_question(walk: Walk) -> Question | None:
    """The first thing not yet established; None when the walk has come to its end."""
    if walk.over:
        return None
    if walk.pending is not None:
        return _about_pending(walk, walk.pending)
    if walk.skipped:
        return Question("shares", walk.skipped[0])
    wanted = [q for q in targets(walk) if q not in walk.known]
    if at_the_end(walk) and wanted:
        return question_about(walk, _first_of_the_end(walk, wanted))
    if choices(walk.network) or is_stuck(walk):
        return Question("choice") if wanted or at_the_end(walk) else None
    if walk.whole is None:
        return None
    if not wanted:
        return None if walk.checked else _check_question(walk)
    return next(_on_the_way_back(walk, wanted), None)


def _first_of_the_end(walk: Walk, wanted: list[Quantity]) -> Quantity:
    """Of each capacitor what its step divides is asked first, the other follows from that."""
    first = wanted[0]
    step = step_with(walk, first)
    if step is None or step.joining is None:
        return first
    shared_out = first._replace(symbol=step.joining.adds)
    return shared_out if first.symbol in ("V", "Q") and shared_out in wanted else first


def step_with(walk: Walk, quantity: Quantity | None) -> Step | None:
    """The step, done or to come, that takes the capacitor of this quantity as one of its parts."""
    of = quantity.of if quantity is not None else None
    return next((step for step in walk.plan if of in {c.name for c in step.parts}), None)


def _about_pending(walk: Walk, step: Step) -> Question:
    if step.makes is None:
        symbol, about = idle_question(step)
        return Question(about, step, step.parts[0], Quantity(symbol, step.parts[0].name))
    key = step.makes.name
    if ("shares", key) not in walk.settled:
        return Question("shares", step)
    known = Quantity("C", key) in walk.known
    if ("reason", key) not in walk.settled and not known:
        return Question("reason", step)
    return Question("value", step, step.makes, Quantity("C", key))


def idle_question(step: Step) -> tuple[Symbol, About]:
    """What to ask of a capacitor that is taken off: no p.d. is across a bypassed one, and no
    charge comes to any other.
    """
    first = step.parts[0]
    return ("V", "voltage") if first.start == first.end else ("Q", "charge")


def _check_question(walk: Walk) -> Question | None:
    """A sum to check, unless the text asks for less than everything."""
    if walk.problem.asked or not (check := check_of(walk)):
        return None
    return Question("check", None, walk.whole, Quantity(check[0]), True)


def _on_the_way_back(walk: Walk, wanted: list[Quantity]) -> Iterator[Question]:
    """The whole first, then down through the steps that lead to what is wanted."""
    assert walk.whole is not None
    supply = walk.problem.supply
    if Quantity("C") in wanted:
        yield Question("value", None, walk.whole, Quantity("C"))
    if supply is None:
        return
    other = Quantity(supply.leaves)
    if other not in walk.known:
        yield Question(_about(other), None, walk.whole, other, True)
    needed = ancestors(walk, {q.of for q in wanted if q.of})
    for step in reversed(walk.steps):
        if step.kind not in ("series", "parallel") or step.makes is None:
            continue
        if step.makes.name not in needed:
            continue
        parts = [c for c in step.parts if c.name in needed]
        symbol, passed_on = JOININGS[step.kind].adds, JOININGS[step.kind].shares
        missing = [c for c in parts if Quantity(symbol, c.name) not in walk.known]
        is_told = all(Quantity(passed_on, c.name) in walk.known for c in step.parts)
        if missing and not is_told and ("back", step.makes.name) not in walk.settled:
            yield Question("shares", step, None, None, True)
        for part in missing:
            quantity = Quantity(symbol, part.name)
            yield Question(_about(quantity), step, part, quantity, True)
    for quantity in wanted:
        if quantity.symbol in ("E", "W"):
            part = next((c for c in given(walk) if c.name == quantity.of), walk.whole)
            yield Question("energy", None, part, quantity, True)


def ancestors(walk: Walk, names: set[str]) -> set[str]:
    """These capacitors and everything made from them."""
    needed = set(names)
    for step in walk.steps:
        if step.makes and any(c.name in needed for c in step.parts):
            needed.add(step.makes.name)
    return needed


def check_of(walk: Walk) -> tuple[Symbol, tuple[Capacitor, ...]] | None:
    """A sum to predict at the end: p.d.s down a path or, where there is none with two
    capacitors, the charges at the + end.
    """
    if walk.problem.supply is None or walk.whole is None:
        return None
    checks = closing_checks(solve(walk.problem.network, walk.problem.supply), walk.problem.supply)
    longest = max(checks.paths, key=lambda path: len(path.capacitors), default=None)
    if longest and len(longest.capacitors) > 1:
        return "V", longest.capacitors
    names = [name for name, _ in checks.plus_end.plates]
    at_plus = walk.problem.network.named(names)
    return ("Q", at_plus) if len(at_plus) > 1 else None


def given(walk: Walk) -> tuple[Capacitor, ...]:
    """The capacitors of the text."""
    return walk.problem.network.capacitors


def used_names(walk: Walk) -> set[str]:
    """Names that a new capacitor must not repeat."""
    return {c.name for c in given(walk)} | walk.made


def question_about(walk: Walk, quantity: Quantity) -> Question:
    """The question that a value stated out of turn would answer."""
    step = walk.made_by(quantity.of)
    made = [s.makes for s in walk.plan if s.makes]
    part = next((c for c in (*given(walk), *made) if c.name == quantity.of), walk.whole)
    if quantity.symbol == "C":
        return Question("value", step, part, quantity)
    return Question(_about(quantity), None, part, quantity, True)


def _about(quantity: Quantity) -> About:
    return _ABOUT[quantity.symbol]


_ABOUT: Mapping[Symbol, About] = MappingProxyType(
    {"C": "value", "Q": "charge", "V": "voltage", "E": "energy", "W": "energy"}
)
