"""One step of a reduction: what may be done now, what breaks a choice, and doing it.

A step is a frozen record of what leaves the network, what comes, and the points that make it so.
The network after it is ``after(network, step)``; a step does not hold whole networks, so that a
long reduction stays short in memory.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable
from itertools import pairwise
from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.equal_levels import Level
from tutor.circuit.joining import JOININGS, Joining
from tutor.circuit.network import Capacitor, Network
from tutor.circuit.structure import ChainLink, chain_classes, line_up, live_names, neighbours
from tutor.circuit.values import Value, chain_sum, parallel_sum

StepKind: TypeAlias = Literal[
    "parallel", "series", "removal", "equal", "merge", "balance", "star", "delta"
]
# The kinds of steps that series and parallel alone do not lead to.
BEYOND: frozenset[StepKind] = frozenset({"equal", "merge", "balance", "star", "delta"})
LONGEST_JOINED_NUMBER = 6


class Choice(NamedTuple):
    """Capacitors that may be combined, or taken off, in one step."""

    kind: StepKind
    names: tuple[str, ...]


class Step(NamedTuple):
    """What one step does.

    ``points`` make it so: for a parallel set its two points; for a chain the inner points where
    two neighbours meet and nothing else does; for a removal the points at which the parts touch
    what is left. ``turned`` says for each part whether it runs against the direction of what it
    becomes. ``between`` names the capacitors that lie between members of a chain that are not
    neighbours. ``gone`` are the points that vanish and ``renamed`` maps other points that a wire
    in place of a member makes one; ``swept`` are pieces without charge that hung on a vanished
    point and go with it.

    Where series and parallel stick: ``equal`` leaves out what joins points at one potential and
    ``merge`` makes such points one (``level`` says why they are); ``balance`` replaces all that is
    left by one capacitor, with the potential of each point as a share of the p.d. of the ends
    in ``shares``. ``star`` and ``delta`` do the same for one who has put a star in the place of a
    triangle, or the other way, and has worked out that network.
    """

    kind: StepKind
    parts: tuple[Capacitor, ...]
    makes: Capacitor | None
    points: tuple[str, ...]
    turned: tuple[bool, ...] = ()
    between: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    renamed: tuple[tuple[str, str], ...] = ()
    swept: tuple[Capacitor, ...] = ()
    level: Level | None = None
    shares: tuple[tuple[str, Value], ...] = ()

    @property
    def joining(self) -> Joining | None:
        """How its parts are joined; None where it is another kind of step."""
        return JOININGS.get(self.kind)

    @property
    def made(self) -> str:
        """The name of what it makes; empty for one that only takes capacitors off."""
        return self.makes.name if self.makes else ""


class Fault(NamedTuple):
    """Why a set may not be combined, at the very place that breaks it.

    kind: ``one`` a single capacitor; ``idle`` some of them hold no charge (``names``);
    ``ends`` two meet at an end of the network, where the supply joins too; ``meeting`` two meet
    at a point where others end as well (``names`` all that end there); ``apart`` two share no
    point and the charge may divide between them; ``mixed`` some but not all share both points.
    """

    kind: Literal["one", "idle", "ends", "meeting", "apart", "mixed"]
    names: tuple[str, ...]
    point: str | None = None


def choices(network: Network) -> tuple[Choice, ...]:
    """Every largest set that may be combined or removed now; any two members of one may be too.

    Removals come first, then parallel sets, then chains: neighbours before whole classes whose
    members are not all neighbours.
    """
    live = live_names(network)
    taking_part = network.named(live)
    found = [Choice("removal", names) for names in idle_pieces(network, live)]
    found += [Choice("parallel", names) for names in _parallel_sets(taking_part)]
    for members in chain_classes(taking_part, network.ends):
        links = line_up(taking_part, network.ends, members)
        runs = [run for run in _runs(links, network) if len(run) > 1]
        found += [Choice("series", tuple(k.capacitor.name for k in run)) for run in runs]
        if [len(run) for run in runs] != [len(links)]:
            found.append(Choice("series", tuple(k.capacitor.name for k in links)))
    return tuple(found)


def examine(network: Network, names: Collection[str]) -> Choice | Fault:
    """Whether these capacitors of the network may be taken in one step, and if not, why not."""
    chosen = network.named(names)
    ordered = tuple(c.name for c in chosen)
    live = live_names(network)
    idle = tuple(c.name for c in chosen if c.name not in live)
    if idle:
        return Choice("removal", idle) if len(idle) == len(chosen) else Fault("idle", idle)
    if len(chosen) < 2:
        return Fault("one", ordered)
    if len({c.points for c in chosen}) == 1:
        return Choice("parallel", ordered)
    taking_part = network.named(live)
    for members in chain_classes(taking_part, network.ends):
        if set(ordered) <= set(members):
            links = line_up(taking_part, network.ends, members)
            return Choice("series", tuple(k.capacitor.name for k in links if k.capacitor in chosen))
    return _why_not(network, chosen)


def carry_out(network: Network, choice: Choice, taken: Collection[str] = ()) -> Step:
    """The step for a choice that is valid in this network.

    ``taken`` are names used earlier on the way, which a new capacitor must not repeat.
    """
    parts = network.named(choice.names)
    if choice.kind == "removal":
        left = [c for c in network.capacitors if c not in parts]
        touched = {p for c in left for p in c.points} | set(network.ends)
        at = dict.fromkeys(p for c in parts for p in (c.start, c.end) if p in touched)
        own = dict.fromkeys(p for c in parts for p in (c.start, c.end) if p not in touched)
        return Step("removal", parts, None, tuple(at), gone=tuple(own))
    used = {c.name for c in network.capacitors} | set(network.points()) | set(taken)
    if choice.kind == "parallel":
        return parallel_step(parts, used)
    live = live_names(network)
    links = line_up(network.named(live), network.ends, _class_of(network, live, parts))
    return _series_step(network, live, links, {c.name for c in parts}, used)


def step_of_all(network: Network) -> Step | None:
    """The one step of a network that is a chain or a set side by side; None for any other."""
    choice = examine(network, [c.name for c in network.capacitors])
    return carry_out(network, choice) if isinstance(choice, Choice) else None


def after(network: Network, step: Step) -> Network:
    """The network once the step is done; the new capacitor stands where the first part stood."""
    leaving = {c.name for c in step.parts} | {c.name for c in step.swept}
    renamed = dict(step.renamed)
    kept: list[Capacitor] = []
    for c in network.capacitors:
        if step.makes and c.name == step.parts[0].name:
            kept.append(step.makes)
        elif c.name not in leaving:
            start, end = renamed.get(c.start, c.start), renamed.get(c.end, c.end)
            kept.append(c._replace(start=start, end=end))
    return Network(tuple(kept), network.ends)


def parallel_step(parts: tuple[Capacitor, ...], used: Collection[str]) -> Step:
    """Side by side: one p.d., so charges and therefore capacitances add."""
    first = parts[0]
    makes = first._replace(
        name=joint_name([c.name for c in parts], used),
        value=parallel_sum([c.value for c in parts]),
    )
    turned = tuple(c.start != first.start for c in parts)
    return Step("parallel", parts, makes, (first.start, first.end), turned)


def neighbours_step(
    links: list[ChainLink], used: Collection[str], swept: Iterable[Capacitor]
) -> Step:
    """A chain of neighbours: one charge, so p.d.s and therefore reciprocals add."""
    parts = tuple(k.capacitor for k in links)
    inner = tuple(k.far for k in links[:-1])
    makes = Capacitor(
        joint_name([c.name for c in parts], used),
        chain_sum([c.value for c in parts]),
        links[0].near,
        links[-1].far,
    )
    turned = tuple(k.turned for k in links)
    return Step("series", parts, makes, inner, turned, gone=inner, swept=tuple(swept))


def joint_name(names: list[str], used: Collection[str]) -> str:
    """A name for what these become: C23 for C2 with C3, C123 for C3 with C12; X1, X2 and so on
    where that is taken, or would be long or hard to tell from another.
    """
    numbers = [name[1:] for name in names]
    letters = {name[:1] for name in names}
    if len(letters) == 1 and all(number.isdigit() for number in numbers):
        digits = "".join(numbers)
        name = letters.pop() + (digits if "0" in digits else "".join(sorted(digits)))
    elif all(name.isalpha() for name in names):
        name = "".join(names)
    else:
        return _next_numbered("X", used)
    if len(name) > LONGEST_JOINED_NUMBER + 1 or name in used:
        return _next_numbered("X", used)
    return name


def _next_numbered(letter: str, used: Collection[str]) -> str:
    """A free name such as X7, found by halving, since long reductions need thousands."""
    free, taken = 1, 0
    while f"{letter}{free}" in used:
        free, taken = 2 * free, free
    while free - taken > 1:
        middle = (free + taken) // 2
        free, taken = (free, middle) if f"{letter}{middle}" in used else (middle, taken)
    return f"{letter}{free}"


def idle_pieces(network: Network, live: Collection[str]) -> list[tuple[str, ...]]:
    """The capacitors that hold no charge, piece by piece: each bypassed one is its own piece."""
    idle = [c for c in network.capacitors if c.name not in live]
    bypassed = [(c.name,) for c in idle if c.start == c.end]
    edge = {p for c in network.capacitors if c.name in live for p in c.points} | {*network.ends}
    return bypassed + _hanging([c for c in idle if c.start != c.end], edge)


def _hanging(idle: list[Capacitor], edge: set[str]) -> list[tuple[str, ...]]:
    """Those that hang together at points other than the ``edge``, in the order of the network."""
    at: dict[str, list[Capacitor]] = defaultdict(list)
    for c in idle:
        for point in c.points - edge:
            at[point].append(c)
    first: dict[str, str] = {}
    pieces: dict[str, list[str]] = defaultdict(list)
    for c in idle:
        waiting = [] if c.name in first else [c]
        first.setdefault(c.name, c.name)
        while waiting:
            for point in waiting.pop().points:
                met = at.pop(point, [])
                first.update((other.name, c.name) for other in met)
                waiting += met
        pieces[first[c.name]].append(c.name)
    return [tuple(names) for names in pieces.values()]


def _parallel_sets(capacitors: Iterable[Capacitor]) -> list[tuple[str, ...]]:
    by_points: dict[frozenset[str], list[str]] = defaultdict(list)
    for c in capacitors:
        by_points[c.points].append(c.name)
    return [tuple(names) for names in by_points.values() if len(names) > 1]


def _runs(links: list[ChainLink], network: Network) -> list[list[ChainLink]]:
    """Cut a class where two members in a row do not meet at an inner point of their own."""
    runs = [links[:1]]
    for before, link in pairwise(links):
        if before.far == link.near and before.far not in network.ends:
            runs[-1].append(link)
        else:
            runs.append([link])
    return runs


def _class_of(
    network: Network, live: Collection[str], parts: tuple[Capacitor, ...]
) -> list[str]:
    wanted = {c.name for c in parts}
    found = chain_classes(network.named(live), network.ends)
    return next(members for members in found if wanted <= set(members))


def _series_step(
    network: Network,
    live: frozenset[str],
    links: list[ChainLink],
    wanted: set[str],
    used: Collection[str],
) -> Step:
    """Combine the wanted members of a class; all but the first are replaced by a wire."""
    chosen = [k for k in links if k.capacitor.name in wanted]
    step = neighbours_step(chosen, used, ())
    meet = tuple(k.far for k, onward in pairwise(chosen) if k.far == onward.near)
    swept = tuple(
        c
        for piece in idle_pieces(network, live)
        if any(c.points & set(meet) for c in network.named(piece))
        for c in network.named(piece)
    )
    if len(meet) == len(chosen) - 1:
        return step._replace(swept=swept)
    wire = {k.near: k.far for k in chosen[1:]}

    def settled(point: str) -> str:
        while point in wire:
            point = wire[point]
        return point

    return step._replace(
        makes=step.makes and step.makes._replace(end=settled(chosen[0].far)),
        points=meet,
        between=_shut_in(network, live, wanted),
        gone=tuple(wire),
        renamed=tuple((point, settled(point)) for point in wire if point not in meet),
        swept=swept,
    )


def _shut_in(network: Network, live: frozenset[str], wanted: set[str]) -> tuple[str, ...]:
    """The live capacitors on the metal that cutting the wanted ones parts from both ends."""
    left = [c for c in network.named(live) if c.name not in wanted]
    around = neighbours(left)
    reached = set(network.ends)
    waiting = list(reached)
    while waiting:
        for _, other in around.get(waiting.pop(), ()):
            if other not in reached:
                reached.add(other)
                waiting.append(other)
    return tuple(c.name for c in left if not c.points & reached)


def _why_not(network: Network, chosen: tuple[Capacitor, ...]) -> Fault:
    """The first place that breaks a choice of live capacitors that is no valid set."""
    pairs = [(a, b) for i, a in enumerate(chosen) for b in chosen[i + 1 :]]
    twins = next((pair for pair in pairs if pair[0].points == pair[1].points), None)
    if twins:
        return Fault("mixed", tuple(c.name for c in twins))
    charge = _charges(network)
    pairs = [(a, b) for a, b in pairs if charge[a.name] != charge[b.name]]
    for a, b in pairs:
        for point in a.points & b.points:
            meeting = tuple(c.name for c in network.capacitors if point in c.points)
            return Fault("ends" if point in network.ends else "meeting", meeting, point)
    return Fault("apart", tuple(c.name for c in pairs[0]))


def _charges(network: Network) -> dict[str, int]:
    """A number for each capacitor that takes part; those that must share a charge share theirs."""
    live = network.named(live_names(network))
    classes = chain_classes(live, network.ends)
    alone = {c.name: -place for place, c in enumerate(live, start=1)}
    return alone | {name: place for place, names in enumerate(classes) for name in names}
