"""Questions about energy: how much is stored after a change, and where the difference went."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from tutor.circuit.islands import State
from tutor.circuit.switching import FILLED_OR_MOVED, Outcome
from tutor.teaching.staged.changing_scene import MOST_ASKED, Scene, holding, touched
from tutor.teaching.staged.story import Ask, Option

LESS = ("less", "smaller", "lower", "falls", "decreases", "goes down")
MORE = ("more", "larger", "greater", "higher", "bigger", "rises", "increases", "goes up")
SAME = ("the same", "same", "equal", "unchanged", "kept", "conserved", "as much")
WIRES = ("heat", "heats", "heated", "wires", "wire", "warmth", "lost")
SUPPLY = ("the supply", "supply", "battery", "cell", "source")
SUPPLY_LETTER = "W"


def stored_ask(state: State, scene: Scene, question: str) -> Ask:
    """How much energy all capacitors store together."""
    e, speech = scene.name("E"), scene.speech
    charged = [c for c in state.network.capacitors if state.charges[c.name]]
    parts = [state.energy(c.name) for c in charged]
    some = len(charged) <= MOST_ASKED
    relation = " + ".join(
        f"½ × {scene.name('Q', c.name)} × {scene.name('V', c.name)}" for c in charged
    ) if some else "the sum of ½ Q V over the capacitors".replace("V", scene.name("V"))
    listed_parts = f" = {scene.added(parts, 'energy')}" if 1 < len(charged) <= MOST_ASKED else ""
    if not charged:
        relation, listed_parts = "0", ""
    result = "" if not charged else f" {speech.result(state.stored, 'energy')}"
    return Ask(
        "stored energy", "energy", question, f"{e} = {relation}{listed_parts}{result}",
        "Each capacitor stores half its charge times its own "
        f"{speech.terms.difference}; the stored energies add.",
        name=e, dimension="energy", right=state.stored,
        hints=(
            "Go through the capacitors that hold charge, one by one.",
            "The more charge is there already, the more work the next bit takes. What is the "
            "work for one bit on average?",
            f"{e} = {relation}" if charged else f"{e} = ½ × Q × V".replace("V", scene.name("V")),
        ),
        told=scene.told,
    )


def energy_asks(outcome: Outcome, scene: Scene) -> Iterator[Ask]:
    """Less or more, how much, and where it went or came from."""
    if not any(holding(block, outcome) for block in touched(outcome)) and not _emptied(outcome):
        return
    slow = outcome.change is not None and outcome.change.kind in FILLED_OR_MOVED
    work = outcome.account.by_supply
    if not work:
        yield _direction(outcome, scene)
    elif not slow or outcome.change is not None:
        yield _supply_work(outcome, scene)
    yield _after(outcome, scene)
    if slow and work:
        yield _on_plates(outcome, scene)
    elif slow and outcome.account.gained:
        yield _went(outcome, scene)
    elif not slow and outcome.account.heat:
        yield _heat(outcome, scene)


def _emptied(outcome: Outcome) -> bool:
    return bool(outcome.account.gained)


def _direction(outcome: Outcome, scene: Scene) -> Ask:
    gained = outcome.account.gained
    word = "less" if gained < 0 else "more" if gained > 0 else "the same"
    right = LESS if gained < 0 else MORE if gained > 0 else SAME
    slow = outcome.change is not None and outcome.change.kind in FILLED_OR_MOVED
    joined = not slow
    because = (
        "Charge ran along the wires and warmed them, so some of the energy has left."
        if joined and gained else
        "With the charge fixed, E = ½ Q²/C: see whether C went up or down."
    )
    because = scene.speech.letters(because)
    replies = {
        LESS: _wrong_way(outcome, joined),
        MORE: _wrong_way(outcome, joined),
        SAME: "Charge is kept here; what the energy does has to be seen from the energy itself.",
    }
    wrong = {
        LESS: ("energy-changes-the-wrong-way",) if slow else (),
        MORE: ("energy-changes-the-wrong-way",) if slow else (),
        SAME: () if slow else ("no-energy-is-lost",),
    }
    return Ask(
        "energy change", "energy",
        "Is less energy stored now than before, more, or the same?",
        f"{word[0].upper()}{word[1:]}{' than' if word != 'the same' else ' as'} before. {because}",
        because,
        options=tuple(
            Option(words, words is right, *(() if words is right else (replies[words], wrong[words])))
            for words in (LESS, MORE, SAME)
        ),
        hints=(
            "Look at what has stayed the same, and write the energy with it.",
            "Which form of the energy has only the fixed quantity and C in it?",
            scene.speech.letters("E = ½ Q²/C for each capacitor"),
        ),
    )


def _wrong_way(outcome: Outcome, joined: bool) -> str:
    if joined:
        return "Charge that runs along a wire warms it: no energy can come from that."
    if outcome.account.gained < 0:
        return "What is moved here is pulled in by the field, which does work and pays for it."
    return "What is moved here is held back by the field, so somebody has to do work."


def _after(outcome: Outcome, scene: Scene) -> Ask:
    e = scene.name("E")
    ask = stored_ask(
        outcome.after, scene,
        f"How much energy {e} do all the capacitors store together now?"
        if scene.only is None else f"How much energy {e} is stored now?",
    )
    facts: dict[str, Fraction] = {}
    if scene.only is not None:
        before, after = (
            Fraction(state.capacitor(scene.only).value)
            for state in (outcome.before, outcome.after)
        )
        facts = {"before": scene.usual(outcome.before.stored, "energy"), "ratio": after / before,
                 "fixed p.d.": Fraction(outcome.after.supply is not None)}
    key = "energy after" if outcome.change is not None else "stored energy"
    return ask._replace(key=key, facts=facts)


def _supply_work(outcome: Outcome, scene: Scene) -> Ask:
    speech, work = scene.speech, outcome.account.by_supply
    supply = outcome.after.supply
    assert supply is not None, "only a supply does such work"
    w, difference = scene.name("W"), speech.terms.difference
    charge = speech.amount(abs(work / supply), "charge")
    voltage = speech.amount(supply, "voltage")
    question = (
        f"The supply moves {charge} more from one side to the other. How much work {w} does it do?"
        if work > 0 else
        f"A charge of {charge} goes back into the supply. How much energy {w} does it take up?"
    )
    return Ask(
        "supply work", "energy", question,
        f"{w} = {charge} × {voltage} {speech.result(abs(work), 'energy')}",
        f"The {difference} of the supply is the same from first to last, so all of that charge "
        f"crosses {voltage}.",
        name=w, dimension="energy", right=abs(work),
        hints=(
            "Look at how much charge passes the supply, not at what is stored.",
            f"The {difference} of the supply never changes: how much work per coulomb is that?",
            f"{w} = (charge moved) × {scene.name('V')}",
        ),
        facts={"work": scene.usual(abs(work), "energy")}, told=scene.told,
    )


def _heat(outcome: Outcome, scene: Scene) -> Ask:
    speech, account = scene.speech, outcome.account
    before, after = outcome.before.stored, outcome.after.stored
    before_text, after_text = (speech.amount(e, "energy") for e in (before, after))
    name = speech.letters("E_lost")
    facts = {
        f"drop{at}": scene.usual(outcome.before.energy(c.name) - outcome.after.energy(c.name),
                                 "energy")
        for at, c in enumerate(outcome.before.network.capacitors)
        if outcome.before.energy(c.name)
    }
    result = speech.result(account.heat, "energy")
    if not account.by_supply:
        reveal = f"{name} = {before_text} − {after_text} {result}"
        question = f"How much energy {name} has gone, and so has warmed the wires?"
    else:
        w = scene.name("W")
        work = scene.signed(account.by_supply, "energy")
        gain = scene.signed(account.gained, "energy")
        gain = f"({gain})" if account.gained < 0 else gain
        reveal = (
            f"Stored: from {before_text} to {after_text}, so {gain} more\n"
            f"{name} = {w} − {gain} = {work} − {gain} {result}"
        )
        question = (
            f"Of the supply's work and what was stored before, how much energy {name} has warmed "
            "the wires?"
        )
    return Ask(
        "energy lost", "energy", question, reveal,
        "Nothing else takes energy here, so the wires, or a spark, have had it, however good "
        "they are.",
        name=name, dimension="energy", right=account.heat,
        hints=(
            "Look at the energy before and at the energy now.",
            "Energy is neither made nor lost: what was there, what came in, what is stored now?",
            f"{name} = (energy before) + (work of the supply) − (energy now)"
            if account.by_supply else f"{name} = (energy before) − (energy now)",
        ),
        facts=facts, told=scene.told,
    )


def _thing(outcome: Outcome) -> str:
    kind = outcome.change.kind if outcome.change else ""
    return "plates" if kind == "gap" else "filling"


def _on_plates(outcome: Outcome, scene: Scene) -> Ask:
    speech, account, thing = scene.speech, outcome.account, _thing(outcome)
    name = f"{SUPPLY_LETTER}_{thing}"
    right = abs(account.on_plates)
    w, work = scene.name("W"), abs(account.by_supply)
    gain = abs(account.gained)
    grew = "more" if account.gained > 0 else "less"
    field = account.on_plates < 0
    question = (
        f"The field pulls at the {thing} as it moves. How much work {name} does the field do on "
        f"the {thing}?" if field else
        f"The field holds the {thing} back. How much work {name} must be done on the {thing}?"
    )
    numbers = scene.added(
        [-account.on_plates and account.by_supply, -account.gained] if field else
        [account.gained, -account.by_supply], "energy",
    )
    return Ask(
        "on plates", "energy", question,
        f"Stored: {speech.amount(gain, 'energy')} {grew}; supply: {w} = "
        f"{speech.amount(work, 'energy')}{'' if account.by_supply > 0 else ' taken up'}\n"
        f"{name} = {numbers} {speech.result(right, 'energy')}",
        "It is moved slowly, so no heat is made, and what the supply and the store do not account "
        f"for is work on the {thing}.",
        name=name, dimension="energy", right=right,
        hints=(
            "Look at how much more or less is stored, and at what the supply gave or took.",
            "Energy is neither made nor lost: which part is still missing?",
            f"{name} = {w} − (gain in stored energy)" if field else
            f"{name} = (gain in stored energy) − (work of the supply), each with its sign",
        ),
        told=scene.told,
    )


def _went(outcome: Outcome, scene: Scene) -> Ask:
    speech, gained, thing = scene.speech, outcome.account.gained, _thing(outcome)
    amount = speech.amount(abs(gained), "energy")
    pulled = gained < 0
    right = (
        ("work on the " + thing, thing, "work", "field", "pull", "pulled", "pulls")
        if pulled else
        ("work on the " + thing, thing, "work", "pull", "pulling", "hand", "force")
    )
    where = "Where did that energy go" if pulled else "Where did that energy come from"
    before, after = (speech.amount(s.stored, "energy") for s in (outcome.before, outcome.after))
    because = (
        f"The field pulled at the {thing} and did {amount} of work on it."
        if pulled else
        f"Whoever moved the {thing} against the pull of the field did {amount} of work."
    )
    return Ask(
        "energy went", "energy",
        f"From {before} to {after} the store {'lost' if pulled else 'gained'} {amount}. "
        f"{where}: work on the {thing}, heat, or the supply?",
        because, because,
        options=(
            Option(right, True),
            Option(WIRES, False, "It is moved slowly, so no charge rushes along any wire."),
            Option(SUPPLY, False, "No work is done by a supply, or on one, here."),
        ),
        hints=(
            f"Think of the {thing} between the charged plates.",
            "Do the charged plates pull at it, and which way?",
        ),
    )
