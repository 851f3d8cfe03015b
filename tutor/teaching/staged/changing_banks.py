"""Questions about capacitors between the same two pieces of metal, and about one alone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from tutor.circuit.islands import Block, net_charge
from tutor.circuit.network import Capacitor
from tutor.circuit.switching import FILLED_OR_MOVED, Switched
from tutor.circuit.values import Value, add_up, decided, size_of, tidy
from tutor.teaching.speech import Dimensioned, listed
from tutor.teaching.staged.by_law import ByLaw
from tutor.teaching.staged.changing_scene import MOST_ASKED, Scene, has_name, of, signed_sum
from tutor.teaching.staged.story import Ask, Way


def bank_asks(block: Block, outcome: Switched, scene: Scene) -> Iterator[Ask]:
    """A block of two points: its p.d., unless a supply holds it, then the charge of each."""
    if block.supplied:
        yield from _supplied_charges(block, outcome, scene)
        return
    if len(block.capacitors) == 1:
        if outcome.carried.charges[block.names[0]]:
            yield lone_voltage(block.capacitors[0], outcome, scene)
        return
    shares = _shares(block, outcome)
    if sum(1 for share in shares if share) > 1 and not given_charge(outcome):
        yield _joint_charge(block, outcome, scene)
    yield _common_voltage(block, outcome, scene)
    yield from _charges(block, outcome, scene)


def given_charge(outcome: Switched) -> bool:
    """Whether the network starts with a charge that is given as a whole."""
    return outcome.change is None and outcome.carried == outcome.after


def lone_voltage(c: Capacitor, outcome: Switched, scene: Scene) -> Ask:
    """The p.d. of a capacitor whose charge has stayed and whose capacitance has not."""
    difference, law = scene.speech.terms.difference, scene.law("voltage", c, outcome.after)
    first = outcome.change is None
    ask = law.ask(
        "kept charge",
        f"{c.name} {'' if first else 'still '}holds {law.amount('charge')}. What is its "
        f"{difference} {law.names['voltage']}{'' if first else ' now'}?",
        f"The charge of {c.name} is fixed, and its {difference} follows from it.",
        f"Look at what {c.name} holds, and at its capacitance now.",
        f"The capacitance is the charge for each volt. What {difference} goes with the charge that "
        "stayed?",
    )
    before = scene.usual(size_of(outcome.before.voltage(c.name)), "voltage")
    return ask._replace(
        facts={} if first else {"kept": before}, told={**scene.told, "name": c.name}
    )


def _shares(block: Block, outcome: Switched) -> list[Value]:
    """The charge that each capacitor brings to the metal that ends up positive."""
    state, point = outcome.carried, _top(block, outcome)
    return [net_charge((c,), state.charges, point) for c in block.capacitors]


def _top(block: Block, outcome: Switched) -> str:
    """The metal that is positive in the end; where none is, that with the first + plate on it."""
    first, second = block.points
    charges = outcome.carried.charges
    net = net_charge(block.capacitors, charges, first)
    if net == 0:
        leader = next((c for c in block.capacitors if charges[c.name]), block.capacitors[0])
        net = net_charge((leader,), charges, first)
    return first if decided(net) >= 0 else second


def _joint_charge(block: Block, outcome: Switched, scene: Scene) -> Ask:
    speech = scene.speech
    shares = _shares(block, outcome)
    total = add_up(shares)
    q = scene.name("Q")
    pairs = [(c.name, share) for c, share in zip(block.capacitors, shares, strict=True) if share]
    plates = _plates(pairs, _top(block, outcome))
    opposed = any(decided(share) < 0 for share in shares)
    because = (
        "All the charges there have one sign, so they add." if not opposed else
        "Charges of unlike signs have come together there, so they partly cancel." if total else
        "Equal charges of unlike signs have come together there, so they cancel."
    )
    told = scene.added([share for _, share in pairs], "charge")
    printed: list[Dimensioned] = [(share, "charge") for _, share in pairs]
    result = speech.result(total, "charge", *printed)
    if result == f"= {told}":
        result = ""  # a sum of letters has no shorter form
    one = ", one piece of metal now" if brought_together(outcome) else ""
    facts = {f"q{at}": scene.usual(size_of(share), "charge") for at, (_, share) in enumerate(pairs)}
    return Ask(
        "joint charge", "charge",
        f"Look at {plates}{one}. What size of charge {q} is on them in all?",
        f"{q} = {told} {result}".rstrip(),
        because, name=q, dimension="charge", right=total,
        hints=(
            f"Write down the charge of each of these, with its sign: {plates}.",
            "Which of these charges have the same sign, and which cancel?",
            f"{q} is the sum of these charges, each with its sign.",
        ),
        facts={**facts, "opposed": Fraction(opposed)}, told=scene.told,
        ways=(Way(
            signed_sum([(scene.name("Q", name), share) for name, share in pairs]),
            {scene.name("Q", name): (size_of(share), "charge") for name, share in pairs}, "size",
        ),),
    )


def brought_together(outcome: Switched) -> bool:
    """Whether this change has joined metal that was apart."""
    return outcome.change is not None and outcome.change.kind in ("join", "wire")


def _plates(pairs: list[tuple[str, Value]], point: str) -> str:
    if has_name(point):
        return f"the plates of {listed(name for name, _ in pairs)} at {point}"
    signs = [(name, "+" if decided(share) > 0 else "−") for name, share in pairs]
    return listed(f"the {sign} plate of {name}" for name, sign in signs)


def _common_voltage(block: Block, outcome: Switched, scene: Scene) -> Ask:
    speech, difference = scene.speech, scene.speech.terms.difference
    shares = _shares(block, outcome)
    total = add_up(shares)
    whole = add_up([c.value for c in block.capacitors])
    right = tidy(total / whole)
    v, names = scene.name("V"), listed(block.names)
    values = speech.sum_of(block.capacitors)
    sources = [c.name for c, share in zip(block.capacitors, shares, strict=True) if share]
    printed: list[Dimensioned] = [(c.value, "capacitance") for c in block.capacitors]
    printed.append((total, "charge"))
    q = scene.name("Q") if len(sources) > 1 else scene.name("Q", sources[0])
    return Ask(
        "common p.d.", "voltage",
        f"{names} {'now lie' if brought_together(outcome) else 'lie'} between the same two pieces "
        f"of metal. What is their common {difference} {v}?",
        f"{v} = {q}/({of(block.capacitors)}) = {scene.factor(total, 'charge')} / ({values}) "
        f"{speech.result(right, 'voltage', *printed)}",
        f"{names} share one {difference}, and the charge that stayed is spread over all of them.",
        name=v, dimension="voltage", right=right,
        hints=(
            f"Look at the two pieces of metal between which {names} lie.",
            "The charge on the joined plates stayed. How large a capacitance is it on now?",
            f"{v} = {q}/({of(block.capacitors)})",
        ),
        facts=_joining_facts(block, outcome, scene),
        told={**scene.told, "name": names, "names": names, "sum": of(block.capacitors)},
        ways=(Way(
            f"{q}/({of(block.capacitors)})",
            {q: (total, "charge"), **{c.name: (c.value, "capacitance") for c in block.capacitors}},
        ),),
    )


def _joining_facts(block: Block, outcome: Switched, scene: Scene) -> dict[str, Fraction]:
    """What wrong rules work with: capacitances and p.d.s that come together, or the p.d. kept."""
    if given_charge(outcome):
        return {}
    if outcome.change is not None and outcome.change.kind in FILLED_OR_MOVED:
        before = size_of(outcome.before.voltage(block.names[0]))
        return {"kept": scene.usual(before, "voltage")}
    facts: dict[str, Fraction] = {}
    shares = _shares(block, outcome)
    for at, (c, share) in enumerate(zip(block.capacitors, shares, strict=True)):
        facts[f"c{at}"] = scene.usual(c.value, "capacitance")
        facts[f"v{at}"] = scene.usual(tidy(share / c.value), "voltage")
    return facts


def _charges(block: Block, outcome: Switched, scene: Scene) -> Iterator[Ask]:
    """The charge of each; beyond the first few the last question's answer tells the rest."""
    v, total = scene.name("V"), size_of(add_up(_shares(block, outcome)))
    facts = {
        "total": scene.usual(total, "charge"), "count": Fraction(len(block.capacitors)),
    }
    if not total:
        return
    laws = [scene.law("charge", c, outcome.after, v) for c in block.capacitors]
    for at, (c, law) in enumerate(zip(block.capacitors[:MOST_ASKED], laws, strict=False)):
        ask = law.ask(
            "share of charge",
            f"What charge {law.names['charge']} does {c.name} hold then?",
            f"{c.name} has the common {scene.speech.terms.difference}, and its own capacitance.",
            f"Look at {c.name} alone: its capacitance, and the common "
            f"{scene.speech.terms.at_the_end}",
            f"How much charge does {c.name} hold for each volt?",
        )
        yield ask._replace(
            reveal=rest_at_last(laws, at), facts=facts, told={**scene.told, "name": c.name}
        )


def rest_at_last(laws: Sequence[ByLaw], at: int) -> str:
    """The worked answer at a place; at the last that is asked those of all that follow."""
    return "\n".join(law.line for law in (laws[at:] if at + 1 == MOST_ASKED else [laws[at]]))


def _supplied_charges(block: Block, outcome: Switched, scene: Scene) -> Iterator[Ask]:
    """With the p.d. held by a supply: the charge of each capacitor where it has changed."""
    supply = outcome.after.supply
    assert supply is not None, "a supplied block has a supply"
    voltage = scene.speech.amount(size_of(supply), "voltage")
    moved = [c for c in block.capacitors if c.name in outcome.moved]
    laws = [scene.law("charge", c, outcome.after) for c in moved]
    for at, (c, law) in enumerate(zip(moved[:MOST_ASKED], laws, strict=False)):
        ask = law.ask(
            "held p.d.",
            f"What charge {law.names['charge']} does {c.name} hold now?",
            f"The supply holds {voltage} across {c.name}.",
            f"Look at what the supply holds across {c.name}.",
            f"How much charge does {c.name} take for each volt, with the capacitance it has now?",
        )
        whole = scene.law("charge", c, outcome.after, scene.name("V"))
        before = scene.usual(size_of(outcome.before.charges[c.name]), "charge")
        yield ask._replace(
            reveal=rest_at_last(laws, at), facts={"kept": before},
            told={**scene.told, "name": c.name}, ways=(*law.ways(), *whole.ways()),
        )
