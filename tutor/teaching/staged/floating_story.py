"""Where series and parallel stick: equal potentials, or charge balance at the floating points.

This story stands inside a walk: it takes the one step that the walk cannot, and the walk goes on.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.records import Dimension
from tutor.circuit.beyond import joining_names, left_out, made_one
from tutor.circuit.charge_balance import PointBalance, balance_equations
from tutor.circuit.equal_levels import Level, bridged, is_level, ratio
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.relations import balance
from tutor.circuit.steps import Step
from tutor.circuit.values import Value, add_up, in_letters, magnitude, tidy
from tutor.teaching.balancing import Lines, bridge_bound
from tutor.teaching.quantities import Quantity
from tutor.teaching.reasons import (
    MOST_SOLVED,
    balance_reason,
    because,
    exchanged,
    level_reason,
    way_to,
)
from tutor.teaching.rules.context import plain_power
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.by_law import law_on, whole_names
from tutor.teaching.staged.story import Ask, Option, Story, Valued, Way

YES = (
    "yes", "y", "it is", "they are", "true", "same", "equal", "symmetry", "symmetric",
    "by symmetry", "at one potential", "one potential", "no difference", "yeah", "yep", "yup",
    "balanced",
)
NO = (
    "no", "n", "not", "false", "different", "unequal", "not equal", "not the same", "not alike",
    "no symmetry", "not at one potential", "they are not", "it is not", "are not", "differ",
    "nope", "nah", "they arent", "are not equal", "are not the same",
    "unbalanced", "not balanced", "imbalanced",
)
LEAVE = (
    "leave", "leave out", "left out", "out", "remove", "drop", "can go", "may go", "get rid",
    "throw away",
)
JOIN = ("one point", "one", "join", "wire", "merge", "a wire")
LOOK_FOR_LEVELS: Final = "Then look for points that must be at one potential."
# The question whose answer says which of two right steps is taken.
WHICH_STEP: Final = "leave out or join"


def floating_story(stuck: Stuck, step: Step, speech: Speech) -> Story:
    """The questions of one step beyond series and parallel."""
    if step.kind == "balance":
        return _of_balance(stuck, step, speech)
    assert step.level is not None
    asks = [_is_level(step.level, stuck.network, speech, True), _no_charge(step, speech)]
    if step.kind == "equal":
        asks.append(_which_step(step))
    return story_of_step(stuck, asks, speech, LOOK_FOR_LEVELS)


def _of_balance(stuck: Stuck, step: Step, speech: Speech) -> Story:
    """The balance of charges; of a bridge that is not level it is first asked whether it is."""
    told = balance_story(stuck, step, speech)
    bridge = bridged(stuck.network)
    if bridge is None or is_level(stuck.network, bridge):
        return told
    asked = _is_level(bridge, stuck.network, speech, False)
    after = " ".join((asked.because, *told.opening))
    asked = asked._replace(because=after, reveal=after)
    return told._replace(opening=(LOOK_FOR_LEVELS,), asks=(asked, *told.asks))


def _no_charge(step: Step, speech: Speech) -> Ask:
    points = listed(step.points)
    if step.kind == "equal":
        text = f"So what is the charge of {listed([c.name for c in step.parts])}?"
        reason = "A capacitor with no p.d. across it holds no charge."
        hint = f"What would a meter read between {points}?"
    else:
        text = f"If a wire were put between {points}, how much charge would go along it?"
        reason = "Nothing drives charge between points at one potential."
        hint = f"What would a meter read between {points}, before the wire?"
    alone = step.kind == "equal" and len(step.parts) == 1
    name = speech.name(Quantity("Q", step.parts[0].name)) if alone else ""
    return Ask(
        "level charge", "charge", text, because(step, speech), reason, name, dimension="charge",
        right=Fraction(0), hints=(hint,),
    )


def _is_level(level: Level, network: Network, speech: Speech, so: bool) -> Ask:
    """Whether points are at one potential; ``so`` says that they are."""
    reason = level_reason(level, speech) if so else _unequal(level, network, speech)
    because_so = f"{reason[:1].upper()}{reason[1:]}."
    told = "the bridge is balanced, and they" if _is_bridge(level, network) else "they"
    malrules = ("tests-the-wrong-pairs",) if level.reason == "ratio" else ()
    if level.reason == "ratio":
        (one, two), (three, four) = level.arms
        text = (
            f"At {level.points[0]} the ratio {one}/{two} divides the p.d. between "
            f"{listed(level.between)}, at {level.points[1]} the ratio {three}/{four}. "
            "Are the two ratios equal, yes or no?"
        )
        hints: tuple[str, ...] = (f"Work out {one}/{two} and {three}/{four}.",)
        first, second = (_divided(pair, network, speech) for pair in level.arms)
        look = f"Work both out once more: {one}/{two} is {first}, and {three}/{four} is {second}."
    else:
        text = (
            f"Exchange {exchanged(level.exchanges[0])} in the list of joins. Is every join still "
            "there with its value, yes or no?"
        )
        hints = ("Go through the list capacitor by capacitor.",)
        look = "Go through the list capacitor by capacitor, and write down what each becomes."
    return Ask(
        "level", "shares", text, because_so,
        f"{because_so[:-1]}: {told} are at one potential." if so else because_so,
        options=(
            Option(YES, so, look, () if so else malrules, again=True),
            Option(NO, not so, look, malrules if so else (), again=True),
        ),
        hints=hints, compared=level.arms if level.reason == "ratio" else (),
    )


def _is_bridge(level: Level, network: Network) -> bool:
    """Whether a capacitor joins two points that ratios tell to be at one potential, or not to be.
    """
    return level.reason == "ratio" and bool(joining_names(network, level.points))


def _unequal(level: Level, network: Network, speech: Speech) -> str:
    """What two ratios come to, which are not equal, and what that means for what joins the two."""
    told = [
        f"{one}/{two} {speech.plain(ratio(network, (one, two))).after_equals}"
        for one, two in level.arms
    ]
    joining = listed(
        c.name for c in network.capacitors if c.points == frozenset(level.points)
    )
    return (
        f"{told[0]} and {told[1]}, so {listed(level.points)} are at two different potentials, and "
        f"{joining} cannot be left out: the balance of charges is the way on"
    )


def _divided(pair: tuple[str, str], network: Network, speech: Speech) -> str:
    """``4 µF / 6 µF``."""
    above, below = (network.named((name,))[0].value for name in pair)
    return f"{speech.amount(above, 'capacitance')} / {speech.amount(below, 'capacitance')}"


def _which_step(step: Step) -> Ask:
    names, points = listed([c.name for c in step.parts]), listed(step.points)
    hold = "holds" if len(step.parts) == 1 else "hold"
    return Ask(
        WHICH_STEP, "choice",
        f"What will you do: leave out {names}, or let {points} be one point?",
        f"Either would do; here {names} {'is' if len(step.parts) == 1 else 'are'} left out.",
        f"{points} are at one potential: no p.d. is between them and {names} {hold} no charge, so "
        "either leads to the same end.",
        options=(Option(LEAVE, True), Option(JOIN, True)),
        hints=(
            f"No charge is on {names}, so with {names} taken out nothing else changes.",
            f"{points} are at one potential, so no charge would move in a wire between them.",
        ),
    )


# The story of charge balance: potentials of floating points, then the whole, then each charge


class Stuck(NamedTuple):
    """A network in which nothing can be combined, or need not be.

    ``voltage`` is the p.d. between its ends that potentials are counted with: the supply's or,
    where none is given (``is_trial``), a trial one. ``charge`` is the total charge, if that is
    given. ``whole_known`` says that C has been found already, ``wanted`` names the capacitors
    whose charges lead to what the walk is for.
    """

    network: Network
    voltage: Value
    is_trial: bool = False
    charge: Value | None = None
    whole_known: bool = False
    wanted: frozenset[str] = frozenset()


def story_of_step(stuck: Stuck, asks: Iterable[Ask], speech: Speech, *opening: str) -> Story:
    """The story of one step; the walk it stands in says the closing words."""
    return Story("floating", opening, tuple(asks), (), speech.powers, network=stuck.network)


LevelsByPoint = Mapping[str, Value]


def balance_story(stuck: Stuck, step: Step, speech: Speech) -> Story:
    """Every potential, C where it is not known yet, and with a supply the charges wanted."""
    levels = {point: tidy(share * stuck.voltage) for point, share in step.shares}
    told = Lines(
        balance_equations(stuck.network), stuck.network.ends, stuck.voltage, speech
    )
    balances = "\n".join(told.written())
    asks = [_potential(stuck, told, e, levels, balances) for e in told.equations]
    if not stuck.whole_known:
        asks.append(_capacitance(stuck, levels, speech))
    if stuck.charge is not None:
        assert step.makes is not None
        asks.append(_across(stuck.charge, step.makes.value, speech))
        voltage = tidy(stuck.charge / step.makes.value)
        levels = {point: tidy(share * voltage) for point, share in step.shares}
    if stuck.charge is not None or not stuck.is_trial:
        asks += [charge_by_levels(c, levels, speech) for c in step.parts if c.name in stuck.wanted]
    return story_of_step(stuck, asks, speech, _opening(stuck, step, speech))


def _opening(stuck: Stuck, step: Step, speech: Speech) -> str:
    plus, minus = stuck.network.ends
    trial = ""
    if stuck.is_trial:
        amount = speech.amount(stuck.voltage, "voltage")
        trial = f"Take {amount} between {plus} and {minus} for trial; C does not depend on it. "
    return f"{trial}Potentials are counted from {minus}. {balance_reason(step.points)}"


# Potentials


def _potential(
    stuck: Stuck, told: Lines, e: PointBalance, levels: LevelsByPoint, balances: str
) -> Ask:
    speech, point = told.speech, e.point
    found = f"{told.potential(point)} {speech.result(levels[point], 'voltage')}"
    is_first = e == told.equations[0]
    lines = told.begun() if is_first else []
    if len(told.equations) <= MOST_SOLVED:
        lines += told.solving(point)
    neighbours = listed([other for other, _ in e.others])
    return Ask(
        "potential", "potential",
        f"What is the potential of {point}, from the balance of charges?",
        "\n".join(way_to(lines, found)),
        f"It lies between the potentials of {neighbours}, the points that {point} is joined to.",
        name=f"V_{point}", dimension="voltage", right=levels[point],
        hints=(
            f"Which capacitors have a plate at {point}, and to which points do they lead?",
            f"Each neighbour pulls {point} in proportion to the capacitance between them. "
            f"What does the balance at {point} say?",
            balances,
        ),
        facts=_facts(stuck, e, levels, speech), told={"point": point, "neighbours": neighbours},
        ways=(_balance_way(stuck, point, levels),),
    )


def _balance_way(stuck: Stuck, point: str, levels: LevelsByPoint) -> Way:
    """The potential of a point from those of its neighbours, weighted by the capacitances."""
    around = [c for c in stuck.network.meeting(point) if c.start != c.end]
    others = [c.end if c.start == point else c.start for c in around]
    at_point = balance(point, [(c.name, p) for c, p in zip(around, others, strict=True)])
    relation = at_point.text(lambda f: f.of if f.dimension == "capacitance" else f"V_{f.of}")
    uses: dict[str, Valued] = {c.name: (c.value, "capacitance") for c in around}
    uses |= {f"V_{p}": (levels[p], "voltage") for p in (*others, *stuck.network.ends)}
    uses["V"] = (stuck.voltage, "voltage")
    return Way(relation, uses)


def _facts(
    stuck: Stuck, e: PointBalance, levels: LevelsByPoint, speech: Speech
) -> Mapping[str, Fraction]:
    """Numbers for malrules: the p.d., and the neighbours' pulls added up in several ways."""
    if any(in_letters(value) for value in (*levels.values(), *(v for _, v in e.others))):
        return {}
    weights = [_scaled(value, "capacitance", speech) for _, value in e.others]
    pulls = [w * _scaled(levels[p], "voltage", speech) for w, (p, _) in
             zip(weights, e.others, strict=True)]
    own, pull = sum(weights, Fraction(0)), sum(pulls, Fraction(0))
    upside = sum((p / w**2 for w, p in zip(weights, pulls, strict=True)), Fraction(0))
    plus = stuck.network.ends[0]
    charges = [tidy(q) for q in charges_at(stuck, plus, levels)]
    facts = {
        "voltage": _scaled(stuck.voltage, "voltage", speech),
        "own": own,
        "pull": pull,
        "upside": upside / sum((1 / w for w in weights), Fraction(0)),
        "total": _scaled(add_up(charges), "charge", speech),
    }
    for at, (weight, drawn) in enumerate(zip(weights, pulls, strict=True)):
        if own != 2 * weight:
            facts[f"slip{at}"] = (pull - 2 * drawn) / (own - 2 * weight)
    return facts


# The whole


def charges_at(stuck: Stuck, point: str, levels: LevelsByPoint) -> list[Value]:
    """The charges of the plates at a point, in the order of the network."""
    found = []
    for c in stuck.network.meeting(point):
        other = c.end if c.start == point else c.start
        found.append(tidy(c.value * (levels[point] - levels[other])))
    return found


def _capacitance(stuck: Stuck, levels: LevelsByPoint, speech: Speech) -> Ask:
    plus = stuck.network.ends[0]
    ways = stuck.network.meeting(plus)
    charges = charges_at(stuck, plus, levels)
    total = add_up(charges)
    right = tidy(total / stuck.voltage)
    names = listed([c.name for c in ways])
    shown = [speech.shown(q, "charge") for q in charges]
    in_all, across = speech.shown(total, "charge"), speech.shown(stuck.voltage, "voltage")
    added = " + ".join(each.text for each in shown)
    if len(shown) > 1:
        added += f" {speech.equals(*shown, in_all)} {in_all.text}"
    is_plain = in_all.exact and not in_letters(total)
    divided = f" = {in_all.text} / {across.text}" if is_plain else ""
    relation = speech.letters("Q/V")
    return Ask(
        "whole by balance", "value",
        f"What is C, the charge on all the plates at {plus} over the p.d. between the ends?",
        f"Charge at {plus} ({names}): {added}\n"
        f"C = {relation}{divided} {speech.result(right, 'capacitance')}",
        bridge_bound(stuck.network, speech),
        name="C", dimension="capacitance", right=right,
        hints=(
            f"Which capacitors have a plate at {plus}, and what p.d. is across each?",
            "The supply's charge is on those plates together. What is C for the whole?",
            f"C = ({' + '.join(Quantity('Q', c.name).name for c in ways)})/{speech.letters('V')}",
        ),
        facts=_whole_facts(stuck, charges, speech), told={"plus": plus, "ways": names},
        ways=(_whole_way(stuck, levels),),
    )


def _whole_way(stuck: Stuck, levels: LevelsByPoint) -> Way:
    """The charges of all plates at the + end over the p.d. between the ends."""
    plus = stuck.network.ends[0]
    uses: dict[str, Valued] = {"V": (stuck.voltage, "voltage")}
    charges = []
    for c in stuck.network.meeting(plus):
        other = c.end if c.start == plus else c.start
        uses[c.name] = (c.value, "capacitance")
        uses |= {f"V_{p}": (levels[p], "voltage") for p in (plus, other)}
        charges.append(f"{c.name} × (V_{plus} − V_{other})")
    return Way(f"({' + '.join(charges)})/V", uses)


def _whole_facts(
    stuck: Stuck, charges: list[Value], speech: Speech
) -> Mapping[str, Fraction]:
    if in_letters(stuck.voltage) or any(in_letters(q) for q in charges):
        return {}
    inner = stuck.network.points()[1:-1]
    bridging = joining_names(stuck.network, inner)
    found: dict[str, Value | None] = {
        f"way{at}": tidy(q / stuck.voltage) for at, q in enumerate(charges)
    }
    if bridging:
        found["dropped"] = left_out(stuck.network, bridging)
        found["wired"] = made_one(stuck.network, inner)
    return {
        key: _scaled(value, "capacitance", speech)
        for key, value in found.items() if value is not None
    }


def _across(charge: Value, whole: Value, speech: Speech) -> Ask:
    values: dict[Dimension, Value] = {"charge": charge, "capacitance": whole}
    law = law_on(values, whole_names(speech), speech, "voltage")
    asked = law.ask(
        "across the ends",
        f"The charge given is {law.amount('charge')}. So what p.d. is between the ends?",
        "All potentials of the trial grow in the same ratio.",
        "C and the whole charge are known. How does the p.d. follow?",
    )
    return asked._replace(reveal=f"{law.in_names} {law.result}") if in_letters(law.right) else asked


def charge_by_levels(c: Capacitor, levels: LevelsByPoint, speech: Speech) -> Ask:
    """The charge of one capacitor, from the potentials of its two points in volts."""
    drop = magnitude(tidy(levels[c.start] - levels[c.end]))
    charge = tidy(c.value * drop)
    ends = [f"{p} at {speech.amount(levels[p], 'voltage')}" for p in (c.start, c.end)]
    value, across = speech.amount(c.value, "capacitance"), speech.shown(drop, "voltage")
    name = Quantity("Q", c.name).name
    is_plain = across.exact and not in_letters(charge)
    times = f" = {value} × {across.text}" if is_plain else ""
    law = f"{c.name} {speech.name(Quantity('V', c.name))}"
    return Ask(
        "charge by levels", "charge",
        f"What charge does {c.name} hold ({value}, between {listed(ends)})?",
        f"{name} = {law}{times} {speech.result(charge, 'charge')}",
        f"Across {c.name} is the difference of the two potentials, {across.text}.",
        name=name, dimension="charge", right=charge,
        hints=(f"What is the p.d. across {c.name}?", "Charge is capacitance times p.d."),
        ways=(Way(f"{c.name} × (V_{c.start} − V_{c.end})", {
            c.name: (c.value, "capacitance"),
            **{f"V_{p}": (levels[p], "voltage") for p in (c.start, c.end)},
        }, "size"),),
    )


def _scaled(value: Value, dimension: Dimension, speech: Speech) -> Fraction:
    return Fraction(value) / Fraction(10) ** plain_power(speech.powers, dimension)
