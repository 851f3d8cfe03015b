"""Stories of capacitors told by chance, each with what it means in the notation: charged and
joined, filled or emptied, rated, with a value missing, by points and rails, as drawings retold.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from random import Random
from typing import Final, NamedTuple

from tests.grammar.prose_tellers import in_a_list

WORTHS: Final = (2, 3, 4, 5, 6, 8, 9, 10, 12, 14, 15, 16, 18, 20, 24, 30, 36, 40, 45, 60)
VOLTS: Final = (5, 7, 11, 13, 21, 25, 32, 50, 55, 70, 80, 100)
UNITS: Final = (" µF", " uF", " nF", "uF", "-µF", " microfarad")


class Story(NamedTuple):
    """A text, and what it means in the notation; more than one where it leaves something open."""

    text: str
    means: tuple[str, ...]


class StoryTeller:
    """One who tells: chance, a unit, and a noun for a capacitor."""

    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.unit = rng.choice(UNITS)
        self.noun = rng.choice((" capacitor", " capacitor", "", " cap", " condenser"))
        if self.unit.startswith("-"):
            self.noun = " capacitor"

    def pick(self, *texts: str) -> str:
        """One of several wordings."""
        return self.rng.choice(texts)

    def some(self, many: int) -> list[int]:
        """So many different values."""
        return self.rng.sample(WORTHS, many)

    def volts(self, many: int) -> list[int]:
        """So many different p.d.s."""
        return self.rng.sample(VOLTS, many)

    def bare(self, worth: int) -> str:
        """A value with its unit."""
        return f"{worth}{self.unit}"

    def one(self, worth: int) -> str:
        """One capacitor as it is first told of."""
        return f"{'an' if worth in (8, 18) else 'a'} {worth}{self.unit}{self.noun}"

    def ones(self, worths: Sequence[int]) -> str:
        """Several in a list."""
        return in_a_list([self.one(each) for each in worths])

    def signs(self, worth: int) -> str:
        """A value in the notation."""
        return f"{worth} {'nF' if 'n' in self.unit[:2] else 'uF'}"

    def called(self, worths: Sequence[int]) -> list[str]:
        """Values in the notation with names."""
        return [f"C{at} = {self.signs(each)}" for at, each in enumerate(worths, 1)]


def _joined(told: Sequence[str], how: str) -> tuple[str, ...]:
    names = in_a_list([f"C{at}" for at in range(1, len(told) + 1)])
    like = "; ".join((*told, f"join {names}"))
    return {"like": (like,), "crossed": (f"{like} crossed",)}.get(how, (like, f"{like} crossed"))


_HOW: Mapping[str, tuple[str, ...]] = {
    "like": (
        "joined with like plates together", "connected plus to plus and minus to minus",
        "connected, positive plate to positive plate", "joined so that their positive plates meet",
        "put side by side, plus on plus", "joined + to + and - to -",
        "connected together with the plates of the same sign joined",
    ),
    "crossed": (
        "joined with opposite plates together", "connected plus to minus and minus to plus",
        "joined so that the positive plate of each meets the negative plate of the other",
        "connected the wrong way round", "joined + to -",
        "connected with the plates of unlike sign together",
    ),
    "open": (
        "connected together", "joined to each other", "connected with each other", "linked",
    ),
}  # fmt: skip


def _ask(tell: StoryTeller, worths: Sequence[int]) -> str:
    one = tell.bare(tell.rng.choice(worths))
    return tell.pick(
        "", "What is the final p.d.?", "Find the voltage across them.", "What voltage is left?",
        f"How much charge is on the {one} in the end?", "How much energy is lost?",
        "What is the voltage?", "Calculate the final potential difference.",
    )  # fmt: skip


def _off(tell: StoryTeller) -> str:
    return tell.pick(
        "", "The batteries are removed.", "Both are taken off their supplies.",
        "They are disconnected from the supplies.", "Then the batteries are taken away.",
    )  # fmt: skip


def _told(*sentences: str) -> str:
    return " ".join(each[0].upper() + each[1:] for each in sentences if each)


def charged_apart(tell: StoryTeller) -> Story:
    """Two charged each by itself, then joined."""
    (a, b), (v, w) = tell.some(2), tell.volts(2)
    charging = tell.pick(
        f"{tell.one(a)} is charged to {v} V and {tell.one(b)} to {w} V.",
        f"{tell.one(a)} is charged by a {v} V battery, and {tell.one(b)} by a {w} V battery.",
        f"{tell.one(a)} was given {v} V and {tell.one(b)} {w} V.",
        f"I charge {tell.one(a)} with {v} V and {tell.one(b)} with {w} V.",
        f"two capacitors of {tell.bare(a)} and {tell.bare(b)} are charged to {v} V and {w} V "
        "respectively.",
        f"{tell.one(a)} holds {v} V, {tell.one(b)} holds {w} V.",
        f"{tell.one(a)} is connected to a {v} V supply, {tell.one(b)} to a {w} V supply.",
        f"C1 ({tell.bare(a)}) is at {v} V and C2 ({tell.bare(b)}) is at {w} V, both charged.",
    )
    how = tell.pick(*_HOW)
    join = tell.pick("they are then", "now they are", "then they are", "the two are") + " "
    caps = tell.called((a, b))
    told = (f"{caps[0]} charged to {v} V", f"{caps[1]} charged to {w} V")
    text = _told(charging, _off(tell), f"{join}{tell.pick(*_HOW[how])}.", _ask(tell, (a, b)))
    return Story(text, _joined(told, how))


def charged_alike(tell: StoryTeller) -> Story:
    """Two charged to the same p.d., then joined."""
    (a, b), (v,) = tell.some(2), tell.volts(1)
    charging = tell.pick(
        f"I charged {tell.one(a)} and {tell.one(b)} with {v} V each",
        f"{tell.one(a)} and {tell.one(b)} are each charged to {v} V",
        f"both {tell.one(a)} and {tell.one(b)} were charged to {v} V",
        f"{tell.one(a)} and {tell.one(b)} are charged separately to {v} V",
        f"two capacitors, {tell.bare(a)} and {tell.bare(b)}, are charged to {v} V each",
    )
    how = tell.pick(*_HOW)
    join = tell.pick(" and then", ". They are then", ". Then the two are", " and afterwards")
    told = [f"{each} charged to {v} V" for each in tell.called((a, b))]
    text = _told(f"{charging}{join} {tell.pick(*_HOW[how])}.", _ask(tell, (a, b)))
    return Story(text, _joined(told, how))


_EMPTY: Final = ("an uncharged", "an empty", "a discharged", "an initially uncharged")


def charged_and_empty(tell: StoryTeller) -> Story:
    """One charged, joined to one or two empty ones."""
    many = tell.rng.choice((1, 1, 2))
    (a, *others), (v,) = tell.some(1 + many), tell.volts(1)
    begin = tell.pick(
        f"{tell.one(a)} is charged to {v} V",
        f"{tell.one(a)} is charged by a {v} V battery, which is then removed",
        f"we charged {tell.one(a)} with a {v} V battery, took the battery away",
        f"{tell.one(a)} is charged from a {v} V supply, disconnected",
        f"{tell.one(a)} was charged to {v} V, taken off the supply",
    )
    noun = tell.noun or " one"
    empty = f"{tell.pick(*_EMPTY)} {tell.bare(others[0])}{noun}"
    if many == 2:
        two = [tell.bare(each) for each in others]
        empty = f"two {tell.pick('empty', 'uncharged')} ones of {two[0]} and {two[1]}"
    join = tell.pick("connected in parallel with", "connected across", "joined to")
    joined = tell.pick(f"and then {join} {empty}", f"and {join} {empty}")
    if "we " in begin:
        joined = f"and connected it {tell.pick('in parallel with', 'across', 'to')} {empty}"
    caps = tell.called((a, *others))
    told = [f"{caps[0]} charged to {v} V", *caps[1:]]
    return Story(_told(f"{begin} {joined}.", _ask(tell, (a, *others))), _joined(told, "like"))


def charged_of_three(tell: StoryTeller) -> Story:
    """Three, of which one is empty, joined all at once."""
    (a, b, c), (v, w) = tell.some(3), tell.volts(2)
    charging = tell.pick(
        f"{tell.one(a)} was given {v} V, {tell.one(b)} {w} V, and {tell.one(c)} nothing.",
        f"{tell.one(a)} is charged to {v} V, {tell.one(b)} to {w} V, and {tell.one(c)} is empty.",
        f"{tell.one(a)} is charged to {v} V and {tell.one(b)} to {w} V. {tell.one(c)} is left "
        "uncharged.",
    )
    join = tell.pick(
        "All three are joined side by side, like plates together.",
        "Somebody joins all three with their positive plates together.",
        "The three are connected in parallel, plus to plus.",
    )
    caps = tell.called((a, b, c))
    told = (f"{caps[0]} charged to {v} V", f"{caps[1]} charged to {w} V", caps[2])
    return Story(_told(charging, join, _ask(tell, (a, b, c))), _joined(told, "like"))


def charged_in_a_row(tell: StoryTeller) -> Story:
    """Two charged in one network, then joined otherwise."""
    (a, b), (v,) = tell.some(2), tell.volts(1)
    how = tell.pick("like", "crossed")
    charging = tell.pick(
        f"{tell.one(a)} and {tell.one(b)} in series are charged by a {v} V battery.",
        f"{tell.one(a)} and {tell.one(b)} are connected in series across {v} V.",
        f"{tell.one(a)} in series with {tell.one(b)} is charged from {v} V.",
    )
    off = tell.pick(
        "They are disconnected from the battery and from each other",
        "Then they are taken off the supply and apart from each other",
    )
    one, other = tell.called((a, b))
    means = f"{one} -- {other}, across {v} V; then remove supply; then join C1 and C2"
    text = _told(charging, f"{off}, and {tell.pick(*_HOW[how][:4])}.", _ask(tell, (a, b)))
    return Story(text, (means if how == "like" else f"{means} crossed",))


def touched_in_turn(tell: StoryTeller) -> Story:
    """One charged, joined to one empty one, then to another."""
    (a, b, c), (v,) = tell.some(3), tell.volts(1)
    stays = tell.rng.random() < 0.4
    verb = tell.pick("connected", "joined")
    begin = f"{tell.one(a)} is charged to {v} V and {verb} to an empty {tell.bare(b)}{tell.noun}."
    later = tell.pick(
        f"It is taken off again and {verb} to an empty {tell.bare(c)}{tell.noun}.",
        f"Then they are separated, and it is {verb} to an empty {tell.bare(c)}{tell.noun}.",
    )
    if stays:
        later = f"Then another empty {tell.bare(c)}{tell.noun} is {verb} to them as well."
    one, two, three = tell.called((a, b, c))
    first = f"{one} charged to {v} V; {two}; {three}; join C1 and C2"
    apart = "" if stays else "; then take out C2"
    text = _told(begin, later, f"How much charge is on the {tell.bare(c)} at the end?")
    return Story(text, (f"{first}{apart}; then join C1 and C3",))


def filled_up(tell: StoryTeller) -> Story:
    """A slab put in, the plates moved, with the battery on or off."""
    (a,), (v,) = tell.some(1), tell.volts(1)
    k = tell.rng.choice((2, 3, 5, 7))
    is_off = tell.rng.random() < 0.5
    begin = tell.pick(
        f"{tell.one(a)} is charged to {v} V by a battery.", f"{tell.one(a)} is charged by a {v} V "
        "battery.", f"{tell.one(a)} is connected to a {v} V battery.",
    )  # fmt: skip
    off = tell.pick("The battery is taken away.", "It is disconnected from the battery.")
    on = tell.pick("The battery stays connected.", "With the battery still connected,")
    done, sign = tell.rng.choice((
        (f"a slab of dielectric constant {k} is put in that fills the gap", f"fill C1 with {k}"),
        (f"the space between its plates is filled with oil of relative permittivity {k}",
         f"fill C1 with {k}"),
        ("the plates are pulled apart to twice the distance", "gap of C1 doubled"),
        ("the distance between its plates is halved", "gap of C1 halved"),
    ))  # fmt: skip
    ask = tell.pick("What is the charge now?", "Find the energy after that.", "")
    gone = " then remove supply;" if is_off else ""
    means = f"C1 = {tell.signs(a)}, across {v} V;{gone} then {sign}"
    stage = off if is_off else on
    joint = " " if stage.endswith(",") else " Then "
    return Story(_told(begin, f"{stage}{joint}{done}.", ask), (means,))


def filled_in_a_network(tell: StoryTeller) -> Story:
    """One of two in a network filled."""
    (a, b), (v,) = tell.some(2), tell.volts(1)
    k = tell.rng.choice((2, 3, 5))
    sign, way = tell.rng.choice((("--", "in series"), ("||", "in parallel")))
    begin = f"{tell.one(a)} and {tell.one(b)} are connected {way} to a {v} V battery."
    is_off = tell.rng.random() < 0.4
    off = "The battery is disconnected." if is_off else ""
    done = f"Then a dielectric of constant {k} is slid into the {tell.bare(b)}{tell.noun}."
    gone = " then remove supply;" if is_off else ""
    one, other = tell.called((a, b))
    means = f"{one} {sign} {other}, across {v} V;{gone} then fill C2 with {k}"
    ask = tell.pick("", f"What is the voltage across the {tell.bare(a)} now?")
    return Story(_told(begin, off, done, ask), (means,))


def rated(tell: StoryTeller) -> Story:
    """Two with their ratings."""
    (a, b), (v, w) = tell.some(2), tell.volts(2)
    sign, way = tell.rng.choice((("--", "in series"), ("||", "in parallel")))
    text = tell.pick(
        f"{tell.one(a)} rated at {v} V is connected {way} with {tell.one(b)} rated at {w} V.",
        f"{tell.one(a)} rated {v} V and {tell.one(b)} rated {w} V are {way}.",
        f"two capacitors, {tell.bare(a)} ({v} V max) and {tell.bare(b)} ({w} V max), are {way}.",
    )
    ask = tell.pick("What is the greatest voltage they can take together?",
                    "What is the highest safe voltage across the combination?")  # fmt: skip
    one, other = tell.called((a, b))
    return Story(_told(text, ask), (f"{one} rated {v} V {sign} {other} rated {w} V",))


def one_missing(tell: StoryTeller) -> Story:
    """A value that is sought from the whole."""
    a, b = sorted(tell.some(2))
    sign, way = tell.rng.choice((("--", "in series"), ("||", "in parallel")))
    known, whole = (b, a) if sign == "--" else (a, b)
    text = tell.pick(
        f"{tell.one(known)} is connected {way} with an unknown capacitor X, and together they have "
        f"{tell.bare(whole)}. Find X.",
        f"what capacitor must be connected {way} with {tell.one(known)} to make "
        f"{tell.bare(whole)}?",
        f"the equivalent capacitance of {tell.one(known)} and a second capacitor {way} is "
        f"{tell.bare(whole)}. How big is the second capacitor?",
    )
    means = f"C1 = {tell.signs(known)} {sign} C2 = ?; C = {tell.signs(whole)}"
    return Story(_told(text), (means,))


def by_points(tell: StoryTeller) -> Story:
    """A bridge, or a row with one over some of it, by its points."""
    a, b, c, d, e = tell.some(5)
    v = tell.volts(1)[0]
    is_bridge = tell.rng.random() < 0.5
    ends = (("A", "P"), ("P", "B"), ("A", "Q"), ("Q", "B"), ("P", "Q")) if is_bridge else (
        ("A", "P"), ("P", "Q"), ("Q", "B"), ("P", "B"), ("A", "Q"))  # fmt: skip
    worths = (a, b, c, d, e)
    told = tell.pick("is between {} and {}", "goes from {} to {}", "joins {} to {}",
                     "is connected between points {} and {}")  # fmt: skip
    each = [f"{tell.one(w)} {told.format(*at)}" for w, at in zip(worths, ends, strict=True)]
    joint = tell.pick(", ", "; ", ". ")
    supply = tell.pick(f"{v} V is applied between A and B.", f"The p.d. between A and B is {v} V.")
    caps = [f"{cap} from {x} to {y}" for cap, (x, y) in zip(tell.called(worths), ends, strict=True)]
    means = "; ".join((*caps, "ends A and B", f"across {v} V"))
    sentences = joint.join(each)
    text = sentences if joint != ". " else _told(*(f"{one}." for one in each))[:-1]
    return Story(_told(f"{text}.", supply), (means,))


def between_rails(tell: StoryTeller) -> Story:
    """Branches between two rails, or a ladder lying down."""
    a, b, c, d = tell.some(4)
    one, two, three, four = tell.called((a, b, c, d))
    text, means = tell.rng.choice((
        (f"three branches go from the upper rail to the lower rail: {tell.one(a)}, {tell.one(b)} "
         f"and, in the third, {tell.one(c)} in series with {tell.one(d)}.",
         f"{one} || {two} || ({three} -- {four})"),
        (f"on the top wire there is {tell.one(a)}, and after it {tell.one(b)} goes down to the "
         f"bottom wire. Further along the top wire there is {tell.one(c)}, and at its far end "
         f"{tell.one(d)} goes down to the bottom wire.",
         f"{one} -- ({two} || ({three} -- {four}))"),
        (f"top row: {tell.bare(a)} and {tell.bare(b)} in series. Bottom row: {tell.bare(c)} and "
         f"{tell.bare(d)} in series. Both rows start at A and end at B.",
         f"({one} -- {two}) || ({three} -- {four})"),
        (f"{tell.one(a)} runs from the left terminal to a junction. From the junction {tell.one(b)}"
         f" and {tell.one(c)} both run to the right terminal, and {tell.one(d)} joins the left "
         "terminal directly to the right terminal.",
         f"({one} -- ({two} || {three})) || {four}"),
    ))  # fmt: skip
    v = tell.volts(1)[0]
    volts = tell.rng.random() < 0.5
    return Story(_told(text, f"The supply is {v} V." if volts else ""),
                 (f"{means}, across {v} V" if volts else means,))  # fmt: skip


def unit_said_once(tell: StoryTeller) -> Story:
    """Numbers with one unit for all."""
    a, b, c, d = tell.some(4)
    unit = tell.pick("uF", "nF", "microfarad")
    tell.unit = f" {unit}"
    one, two, three, four = tell.called((a, b, c, d))
    text, means = tell.rng.choice((
        (f"{a}, {b} and {c} in series", f"{one} -- {two} -- {three}"),
        (f"a {a} in series with a parallel pair, {b} and {c}", f"{one} -- ({two} || {three})"),
        (f"a {a} first, then a {b} and a {c} next to one another", f"{one} -- ({two} || {three})"),
        (f"{a} and {b} in series, and a {c} across both", f"({one} -- {two}) || {three}"),
        (f"{a} and {b} in parallel, then {c} and {d} in parallel, and the two pairs in series",
         f"({one} || {two}) -- ({three} || {four})"),
    ))  # fmt: skip
    text = tell.pick(
        f"{text} (all {unit}).", f"all values in {unit}: {text}.", f"{text}. All in {unit}.",
        f"{text}, all {unit}.",
    )  # fmt: skip
    return Story(_told(text), (means,))


STORY_TELLERS: Final[tuple[Callable[[StoryTeller], Story], ...]] = (
    charged_apart, charged_alike, charged_and_empty, charged_of_three, charged_in_a_row,
    touched_in_turn, filled_up, filled_in_a_network, rated, one_missing, by_points, between_rails,
    unit_said_once,
)  # fmt: skip
