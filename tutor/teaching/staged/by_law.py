"""The law of one capacitor in a problem in stages: its working in names and in numbers, the right
ways to what it finds, and the question for that.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple

from grammar.records import Dimension
from tutor.circuit.relations import Fact, Relation, by_law, of_capacitor
from tutor.circuit.surds import near
from tutor.circuit.values import Value, in_letters
from tutor.teaching.messages import About
from tutor.teaching.quantities import SYMBOL, Quantity
from tutor.teaching.speech import Speech
from tutor.teaching.staged.story import Ask, Story, Valued, Way

ABOUT: Mapping[Dimension, About] = MappingProxyType({
    "capacitance": "value", "voltage": "voltage", "charge": "charge", "energy": "energy",
})


class ByLaw(NamedTuple):
    """What one capacitor, or one in the place of several, holds, by a ``relation`` of it.

    ``names`` are its quantities by their kind as they are called here, ``values`` what is known of
    them in SI units.
    """

    relation: Relation
    names: Mapping[Dimension, str]
    values: Mapping[Dimension, Value]
    speech: Speech

    @property
    def finds(self) -> Dimension:
        """The kind of quantity that is found."""
        return self.relation.finds.dimension

    @property
    def right(self) -> Value:
        """What it comes to."""
        value = self.relation.value([self.values[fact.dimension] for fact in self.relation.uses])
        assert value is not None, "what is known leads to a value"
        return value if in_letters(value) and value.free_symbols else near(value)

    @property
    def in_names(self) -> str:
        """``Q1 = C1 × V1``."""
        return f"{self.names[self.finds]} = {self.side(self.relation)}"

    def side(self, relation: Relation) -> str:
        """What a relation of it says in its names: C1 × V1."""
        return relation.text(lambda fact: self.names[fact.dimension]).replace(" / ", "/")

    def amount(self, kind: Dimension) -> str:
        """One of the quantities in words: 12 µC."""
        return self.speech.amount(self.values[kind], kind)

    @property
    def in_numbers(self) -> str:
        """``3 µF × 4 V``, what is squared or divided by in brackets."""
        def amount(fact: Fact) -> str:
            text = self.amount(fact.dimension)
            is_apart = self.relation.squares(fact) or self.relation.divides(fact)
            return f"({text})" if is_apart else text

        return self.relation.text(amount)

    @property
    def line(self) -> str:
        """``Q1 = C1 × V1 = 3 µF × 4 V = 12 µC``."""
        return f"{self.in_names} = {self.in_numbers} {self.result}"

    @property
    def result(self) -> str:
        """``= 12 µC``."""
        used = ((self.values[fact.dimension], fact.dimension) for fact in self.relation.uses)
        return self.speech.result(self.right, self.finds, *used)

    def ways(self, *worked: str) -> tuple[Way, ...]:
        """By the relation itself, then by others that what is known allows; ``worked`` are names
        that no question asks for.
        """
        known = {kind: value for kind, value in self.values.items() if kind != self.finds}
        others = (
            each for each in of_capacitor(self.relation.finds.of)
            if each.finds == self.relation.finds
            and known.keys() >= {fact.dimension for fact in each.uses}
        )
        uses = {self.names[kind]: (value, kind) for kind, value in known.items()}
        relations = dict.fromkeys((self.relation, *others))
        return tuple(Way(self.side(each), uses, worked=worked) for each in relations)

    def ask(self, key: str, text: str, because: str, *hints: str) -> Ask:
        """The question for it; the last hint is the relation."""
        return Ask(
            key, ABOUT[self.finds], text, self.line, because,
            name=self.names[self.finds], dimension=self.finds, right=self.right,
            hints=(*hints, self.in_names), ways=self.ways(),
        )


def whole_names(speech: Speech) -> dict[Dimension, str]:
    """The quantities of a whole by their letters alone."""
    return {kind: speech.letters(symbol) for kind, symbol in SYMBOL.items()}


def law_on(
    values: Mapping[Dimension, Value], names: Mapping[Dimension, str], speech: Speech,
    finds: Dimension, *uses: Dimension,
) -> ByLaw:
    """One quantity of a capacitor from two others, ``uses`` where they are told."""
    return ByLaw(by_law(finds, "", *uses), names, values, speech)


# The energies of a problem in stages, asked on request after everything else


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
