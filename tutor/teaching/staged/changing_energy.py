"""Questions about where energy went, or came from: supply, heat, work on plates and fillings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType

from grammar.records import Plates
from tutor.circuit.islands import net_charge
from tutor.circuit.plates import ELECTRIC_CONSTANT
from tutor.circuit.switching import FILLED_OR_MOVED, Switched
from tutor.circuit.values import Value, decided, in_letters, size_of, tidy
from tutor.teaching.staged.changing_scene import Scene, holding, signed_sum, touched
from tutor.teaching.staged.changing_stored import after_ask, direction_ask
from tutor.teaching.staged.story import Ask, Option, Valued, Way

WIRES = ("heat", "heats", "heated", "wires", "wire", "warmth", "lost")
SUPPLY = ("the supply", "supply", "battery", "cell", "source")
SUPPLY_LETTER = "W"


def energy_asks(outcome: Switched, scene: Scene) -> Iterator[Ask]:
    """Less or more, how much, and where it went or came from."""
    held = any(holding(block, outcome) for block in touched(outcome))
    if not held and not outcome.account.gained:
        return
    slow = outcome.change is not None and outcome.change.kind in FILLED_OR_MOVED
    work = outcome.account.by_supply
    if not work:
        yield direction_ask(outcome, scene)
    else:
        yield _supply_work(outcome, scene)
    yield after_ask(outcome, scene)
    if slow and work:
        yield _on_plates(outcome, scene)
    elif slow and outcome.account.gained:
        yield _went(outcome, scene)
    elif not slow and outcome.account.heat:
        yield _heat(outcome, scene)


def _supply_work(outcome: Switched, scene: Scene) -> Ask:
    speech, work = scene.speech, outcome.account.by_supply
    supply = outcome.after.supply
    assert supply is not None, "only a supply does such work"
    w, difference = scene.name("W"), speech.terms.difference
    charge = speech.amount(size_of(tidy(work / supply)), "charge")
    voltage = speech.amount(supply, "voltage")
    result = speech.result(
        size_of(work), "energy", (tidy(work / supply), "charge"), (supply, "voltage")
    )
    question = (
        f"The supply moves {charge} more from one side to the other. How much work {w} does it do?"
        if decided(work) > 0
        else f"A charge of {charge} goes back into the supply. How much energy {w} does it take up?"
    )
    return Ask(
        "supply work",
        "energy",
        question,
        f"{w} = {charge} × {voltage} {result}",
        f"The {difference} of the supply is the same from first to last, so all of that charge "
        f"crosses {voltage}.",
        name=w,
        dimension="energy",
        right=size_of(work),
        hints=(
            "Look at how much charge passes the supply, not at what is stored.",
            f"The {difference} of the supply never changes: how much work per coulomb is that?",
            f"{w} = (charge moved) × {scene.name('V')}",
        ),
        facts={"work": scene.usual(size_of(work), "energy")},
        told=scene.told,
        ways=(_charge_moved(outcome, scene, supply),),
    )


def _charge_moved(outcome: Switched, scene: Scene, supply: Fraction) -> Way:
    """What the plates at the + end hold more or less than before, times the p.d. of the supply."""
    plus = outcome.after.network.ends[0]
    terms: list[tuple[str, Fraction]] = []
    uses: dict[str, Valued] = {scene.name("V"): (supply, "voltage")}
    for c in outcome.after.network.capacitors:
        for state, when, sign in ((outcome.after, "now", 1), (outcome.carried, "before", -1)):
            held = net_charge((c,), state.charges, plus)
            if held:
                name = f"{scene.name('Q', c.name)}_{when}"
                terms.append((name, sign * held))
                uses[name] = (size_of(held), "charge")
    worked = tuple(name for name, _ in terms)
    return Way(f"({signed_sum(terms)}) × {scene.name('V')}", uses, "size", worked)


def _heat(outcome: Switched, scene: Scene) -> Ask:
    speech, account = scene.speech, outcome.account
    before, after = outcome.before.stored, outcome.after.stored
    before_text, after_text = (speech.amount(e, "energy") for e in (before, after))
    name = speech.letters("E_lost")
    facts = {
        f"drop{at}": scene.usual(
            outcome.before.energy(c.name) - outcome.after.energy(c.name), "energy"
        )
        for at, c in enumerate(outcome.before.network.capacitors)
        if outcome.before.energy(c.name)
    }
    told = (account.by_supply, account.gained) if account.by_supply else (before, after)
    result = speech.result(account.heat, "energy", *((each, "energy") for each in told))
    if not account.by_supply:
        reveal = f"{name} = {before_text} − {after_text} {result}"
        question = f"How much energy {name} has left, as heat and radiation?"
    else:
        gain = speech.amount(size_of(account.gained), "energy")
        parts = [account.by_supply, tidy(-account.gained)]
        parts.sort(key=_rank, reverse=True)
        reveal = (
            f"Stored: from {before_text} to {after_text}, so {gain} "
            f"{'more' if decided(account.gained) >= 0 else 'less'}\n"
            f"{name} = {scene.added(parts, 'energy')} {result}"
        )
        question = (
            f"Of the supply's work and what was stored before, how much energy {name} has left, as "
            "heat and radiation?"
        )
    return Ask(
        "energy lost",
        "energy",
        question,
        reveal,
        "What is not stored any more has left the wires, or a spark, as heat and radiation, "
        "however little the wires resist.",
        name=name,
        dimension="energy",
        right=account.heat,
        hints=(
            "Look at the energy before and at the energy now.",
            "Energy is neither made nor lost: what was there, what came in, what is stored now?",
            f"{name} = (energy before) + (work of the supply) − (energy now)"
            if account.by_supply
            else f"{name} = (energy before) − (energy now)",
        ),
        facts=facts,
        told=scene.told,
        ways=(_rest(outcome, scene),),
    )


def _rank(value: Value) -> tuple[int, Value]:
    """By size, and letters by their sign alone."""
    return decided(value), Fraction(0) if in_letters(value) else value


def _rest(outcome: Switched, scene: Scene) -> Way:
    """What was stored before and what the supply did, less what is stored now."""
    work = outcome.account.by_supply
    energy, w = scene.name("E"), scene.name("W")
    uses: dict[str, Valued] = {
        f"{energy}_before": (outcome.before.stored, "energy"),
        f"{energy}_now": (outcome.after.stored, "energy"),
    }
    terms = [(f"{energy}_before", Fraction(1)), (f"{energy}_now", Fraction(-1))]
    if work:
        uses[w] = (size_of(work), "energy")
        terms.insert(1, (w, work))
    return Way(signed_sum(terms), uses, "size")


def _thing(outcome: Switched) -> str:
    kind = outcome.change.kind if outcome.change else ""
    return "plates" if kind == "gap" else "filling"


def _on_plates(outcome: Switched, scene: Scene) -> Ask:
    speech, account, thing = scene.speech, outcome.account, _thing(outcome)
    name = f"{SUPPLY_LETTER}_{thing}"
    right = size_of(account.on_plates)
    w, work = scene.name("W"), size_of(account.by_supply)
    gain = size_of(account.gained)
    grew = "more" if decided(account.gained) > 0 else "less"
    field = decided(account.on_plates) < 0
    question = (
        f"The field pulls at the {thing} all the way. How much work {name} does the field do on "
        f"the {thing}?"
        if field
        else f"The field holds the {thing} back. How much work {name} must be done on the {thing}?"
    )
    parts = [account.by_supply, tidy(-account.gained)]
    result = speech.result(
        right, "energy", (account.by_supply, "energy"), (account.gained, "energy")
    )
    numbers = scene.added(parts if field else [tidy(-part) for part in parts], "energy")
    return Ask(
        "on plates",
        "energy",
        question,
        f"Stored: {speech.amount(gain, 'energy')} {grew}; supply: {w} = "
        f"{speech.amount(work, 'energy')}{'' if decided(account.by_supply) > 0 else ' taken up'}\n"
        f"{name} = {numbers} {result}",
        "All is done slowly, so no heat is made, and what the supply and the store do not account "
        f"for is work on the {thing}.",
        name=name,
        dimension="energy",
        right=right,
        hints=(
            "Look at how much more or less is stored, and at what the supply gave or took.",
            "Energy is neither made nor lost: which part is still missing?",
            f"{name} = (work of the supply) − (gain in stored energy), each with its sign"
            if field
            else f"{name} = (gain in stored energy) − (work of the supply), each with its sign",
        ),
        told=scene.told,
        ways=(_rest(outcome, scene),),
    )


_DONE_ON = (
    r"(?i)\b(?:on|to|move|moved|moves|moving|pull|pulled|pulls|pulling|push|pushed|pushing)"
    r"\s+(?:(?:the|both|its|two)\s+)*(?:{0})\b"
    r"|\b(?:{0})\s+(?:(?:are|is|were|was|get|being)\s+)?(?:move|pull(?:ed|s)\s+(?:in|together|apart))"
)
_ON_THE_OTHER: Mapping[str, str] = MappingProxyType({
    "filling": _DONE_ON.format("plates?"),
    "plates": _DONE_ON.format("fillings?|slabs?|dielectrics?|glass|oil"),
})
_OTHER_STAYS: Mapping[str, str] = MappingProxyType({
    "filling": "Work, yes; but the plates stay where they are. What is it that moves?",
    "plates": "Work, yes; but nothing is put between them. What is it that moves?",
})


def _went(outcome: Switched, scene: Scene) -> Ask:
    speech, gained, thing = scene.speech, outcome.account.gained, _thing(outcome)
    amount = speech.amount(size_of(gained), "energy")
    pulled = decided(gained) < 0
    right = (
        (
            "work on the " + thing,
            thing,
            "work",
            "field",
            "pull",
            "pulled",
            "pulls",
            "pulling",
            "slab",
            "dielectric",
        )
        if pulled
        else ("work on the " + thing, thing, "work", "pull", "pulling", "pulls", "hand", "force")
    )
    where = "Where did that energy go" if pulled else "Where did that energy come from"
    before, after = (speech.amount(s.stored, "energy") for s in (outcome.before, outcome.after))
    because = (
        f"The field pulled at the {thing} and did {amount} of work on it."
        if pulled
        else f"Whoever moved the {thing} against the pull of the field did {amount} of work."
    )
    because += _by_the_pull(outcome, scene)
    return Ask(
        "energy went",
        "energy",
        f"From {before} to {after} the store {'lost' if pulled else 'gained'} {amount}. "
        f"{where}: work on the {thing}, heat, or the supply?",
        because,
        because,
        options=(
            Option(right, True, _OTHER_STAYS[thing], unless=_ON_THE_OTHER[thing]),
            Option(WIRES, False, "All is done slowly, so no charge rushes along any wire."),
            Option(SUPPLY, False, "No work is done by a supply, or on one, here."),
        ),
        hints=(
            f"Think of the {thing} between the charged plates.",
            "Do the charged plates pull at it, and which way?",
        ),
    )


def _by_the_pull(outcome: Switched, scene: Scene) -> str:
    """The same work as force times way, where plates keep their charge: field and pull stay."""
    change, speech = outcome.change, scene.speech
    if change is None or change.kind != "gap":
        return ""
    (name,) = change.names
    was, now = (state.inside.get(name) for state in (outcome.before, outcome.after))
    charge, after = (size_of(s.charges[name]) for s in (outcome.before, outcome.after))
    if not isinstance(was, Plates) or not isinstance(now, Plates) or now.beside:
        return ""
    if in_letters(charge) or charge != after:
        return ""
    field = charge / (ELECTRIC_CONSTANT * now.area)
    force, way = charge * field / 2, abs(now.gap - was.gap)
    charge_text, field_text = speech.amount(charge, "charge"), speech.amount(field, "field")
    force_text, way_text = speech.amount(force, "force"), speech.amount(way, "length")
    return (
        f" The same by force times way: with the charge the field in the air, Q/(ε0 × A) ≈ "
        f"{field_text}, stays, and with it the pull, ½ × Q × field = ½ × {charge_text} × "
        f"{field_text} ≈ {force_text}; over {way_text} that is "
        f"{speech.amount(force * way, 'energy')}."
    )
