"""Where series and parallel stick: equal potentials, or charge balance at the floating points.

This story stands inside a walk: it takes the one step that the walk cannot, and the walk goes on.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from tutor.circuit.equal_levels import Level, bridged, is_level, ratio
from tutor.circuit.network import Network
from tutor.circuit.steps import Step
from tutor.teaching.reasons import because, exchanged, level_reason
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.floating_balance import Stuck, balance_story, story_of_step
from tutor.teaching.staged.story import Ask, Option, Story

YES = (
    "yes", "y", "it is", "they are", "true", "same", "equal", "symmetry", "symmetric",
    "by symmetry", "at one potential", "one potential",
)
NO = ("no", "n", "not", "false", "different", "unequal", "no symmetry", "not at one potential")
LEAVE = ("leave", "leave out", "left out", "out", "remove", "drop")
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
    return Ask(
        "level charge", "charge", text, because(step, speech), reason, dimension="charge",
        right=Fraction(0), hints=(hint,),
    )


def _is_level(level: Level, network: Network, speech: Speech, so: bool) -> Ask:
    """Whether points are at one potential; ``so`` says that they are."""
    points = listed(level.points)
    reason = level_reason(level, speech) if so else _unequal(level, network, speech)
    because_so = f"{reason[:1].upper()}{reason[1:]}."
    malrules = ("tests-the-wrong-pairs",) if level.reason == "ratio" else ()
    if level.reason == "ratio":
        (one, two), (three, four) = level.arms
        text = (
            f"At {level.points[0]} the ratio {one}/{two} shares out the p.d. between "
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
        f"So {points} are at one potential." if so else because_so,
        options=(
            Option(YES, so, look, () if so else malrules, again=True),
            Option(NO, not so, look, malrules if so else (), again=True),
        ),
        hints=hints,
    )


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
        f"{told[0]} and {told[1]}, so {listed(level.points)} are at two potentials, and "
        f"{joining} cannot be left out: the balance of charges is the way on"
    )


def _divided(pair: tuple[str, str], network: Network, speech: Speech) -> str:
    """``4 µF / 6 µF``."""
    above, below = (network.named((name,))[0].value for name in pair)
    return f"{speech.amount(above, 'capacitance')} / {speech.amount(below, 'capacitance')}"


def _which_step(step: Step) -> Ask:
    names, points = listed([c.name for c in step.parts]), listed(step.points)
    return Ask(
        WHICH_STEP, "choice",
        f"What will you do: leave out {names}, or let {points} be one point?",
        f"Either would do; here {names} {'is' if len(step.parts) == 1 else 'are'} left out.",
        "Either leads to the same end.",
        options=(Option(LEAVE, True), Option(JOIN, True)),
    )
