"""The energies of a problem in stages, asked on request after everything else."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from grammar.records import Dimension
from tutor.circuit.values import Value
from tutor.teaching.quantities import SYMBOL, Quantity
from tutor.teaching.speech import Speech
from tutor.teaching.staged.by_law import law_on
from tutor.teaching.staged.story import Ask, Story, Valued


def asks_energy(story: Story) -> bool:
    """Whether an energy is asked anyway."""
    return any(ask.dimension == "energy" for ask in story.asks)


def energy_asks(story: Story, speech: Speech) -> Iterator[Ask]:
    """A question for each capacitor, and for the whole, of which charge and p.d. are worked out or
    given. The energy is ½ Q V, since the p.d. grew from nought with the charge.
    """
    values = _values(story)
    for name, (charge, dimension) in values.items():
        of = name[1:]
        volts = next((values[v + of] for v in ("V", "U") if v + of in values), None)
        if dimension != "charge" or not name.startswith("Q") or volts is None:
            continue
        yield _energy(of, charge, volts[0], speech)


def _values(story: Story) -> Mapping[str, Valued]:
    """What is given or asked, by name; of several stages the last."""
    found: dict[str, Valued] = {}
    for ask in story.asks:
        for way in ask.ways:
            found |= {n: v for n, v in way.uses.items() if n not in found}
        if ask.name and ask.right is not None:
            found[ask.name] = (ask.right, ask.dimension)
    return found


def _energy(of: str, charge: Value, volts: Value, speech: Speech) -> Ask:
    quantity = Quantity("E", f"C{of}" if of.isdigit() else of or None)
    kinds: tuple[Dimension, ...] = ("energy", "charge", "voltage")
    names = {kind: speech.name(quantity._replace(symbol=SYMBOL[kind])) for kind in kinds}
    owner = f"{quantity.of} stores" if quantity.of else "is stored in all"
    law = law_on({"charge": charge, "voltage": volts}, names, speech, "energy")
    return law.ask(
        "stored energy", f"What energy {names['energy']} {owner}?",
        f"The {speech.terms.difference} grew from zero with the charge, so half of its last "
        "value counts.",
        "Which charge and which p.d. belong to it?",
        "What was the p.d. on average while it charged?",
    )
