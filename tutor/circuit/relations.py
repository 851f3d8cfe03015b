"""The law, once: how the quantities of capacitors hang together.

A relation finds one quantity from others. Those of one capacitor are Q = C V and the forms of its
energy; those of capacitors joined say what is shared and what adds up; that of an island says that
no charge comes to it from outside. Whoever works a value out, writes a rule down, or judges what a
learner made of it reads it here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

from grammar.records import Dimension
from tutor.circuit.joining import Joining
from tutor.circuit.network import Capacitor
from tutor.circuit.steps import Step
from tutor.circuit.surds import settled, square_root
from tutor.circuit.values import Value, add_up, in_letters, tidy

RelationKind: TypeAlias = Literal["shared", "summed", "reciprocals", "multiplied", "balanced"]


class Fact(NamedTuple):
    """A quantity of one capacitor, given or made."""

    dimension: Dimension
    of: str


class Form(NamedTuple):
    """One quantity of a capacitor from two others: ``text`` has ``{a}`` and ``{b}`` for these."""

    work: Callable[[Value, Value], Value]
    text: str


FORMS: Final[Mapping[tuple[Dimension, Dimension, Dimension], Form]] = MappingProxyType({
    ("charge", "capacitance", "voltage"): Form(lambda c, v: c * v, "{a} × {b}"),
    ("capacitance", "charge", "voltage"): Form(lambda q, v: q / v, "{a} / {b}"),
    ("voltage", "charge", "capacitance"): Form(lambda q, c: q / c, "{a} / {b}"),
    ("energy", "charge", "voltage"): Form(lambda q, v: q * v / 2, "½ × {a} × {b}"),
    ("charge", "energy", "voltage"): Form(lambda e, v: 2 * e / v, "2 × {a} / {b}"),
    ("voltage", "energy", "charge"): Form(lambda e, q: 2 * e / q, "2 × {a} / {b}"),
    ("energy", "capacitance", "voltage"): Form(lambda c, v: c * v * v / 2, "½ × {a} × {b}²"),
    ("capacitance", "energy", "voltage"): Form(lambda e, v: 2 * e / (v * v), "2 × {a} / {b}²"),
    ("voltage", "energy", "capacitance"): Form(
        lambda e, c: square_root(2 * e / c), "√(2 × {a} / {b})"),
    ("energy", "charge", "capacitance"): Form(lambda q, c: q * q / (2 * c), "½ × {a}² / {b}"),
    ("capacitance", "charge", "energy"): Form(lambda q, e: q * q / (2 * e), "½ × {a}² / {b}"),
    ("charge", "energy", "capacitance"): Form(
        lambda e, c: square_root(2 * e * c), "√(2 × {a} × {b})"),
})


class Relation(NamedTuple):
    """``finds`` follows from ``uses``, in the order in which the rule names them.

    ``shared``: the two are one. ``summed``, and ``reciprocals`` of one over each: a whole from its
    parts or, where ``is_rest``, a part from the whole, which stands first, and the other parts.
    ``multiplied``: by a form of the law of one capacitor. ``balanced``: the potential of an island
    from capacitance and far potential of each capacitor there, by turns. ``step`` joined them.
    """

    kind: RelationKind
    finds: Fact
    uses: tuple[Fact, ...]
    step: Step | None = None
    is_rest: bool = False

    def value(self, values: Sequence[Value]) -> Value | None:
        """What comes of values in the order of ``uses``, in SI units; None where there is no
        number: a division by zero, a root of a number below zero.
        """
        try:
            result = self._worked(values)
        except (ZeroDivisionError, ValueError):
            return None
        if isinstance(result, Fraction):
            return result
        if in_letters(result) and not result.free_symbols:  # a number with roots in it
            return settled(result) if result.is_finite else None
        return tidy(result)

    def _worked(self, values: Sequence[Value]) -> Value:
        if self.kind == "shared":
            return values[0]
        if self.kind == "multiplied":
            return self.form.work(*values)
        if self.kind == "balanced":
            capacitances, levels = values[::2], values[1::2]
            charges = [c * v for c, v in zip(capacitances, levels, strict=True)]
            return add_up(charges) / add_up(list(capacitances))
        terms = [1 / value for value in values] if self.kind == "reciprocals" else list(values)
        total = terms[0] - add_up(terms[1:]) if self.is_rest else add_up(terms)
        return 1 / total if self.kind == "reciprocals" else total

    @property
    def form(self) -> Form:
        """The form of the law of one capacitor behind a ``multiplied`` relation."""
        first, second = (fact.dimension for fact in self.uses)
        return FORMS[self.finds.dimension, first, second]

    def squares(self, fact: Fact) -> bool:
        """Whether one of what it uses stands in it as a square."""
        return self._stands_as(fact, "{}²")

    def divides(self, fact: Fact) -> bool:
        """Whether something is divided by it alone."""
        return self.kind == "reciprocals" or self._stands_as(fact, " / {}")

    def _stands_as(self, fact: Fact, pattern: str) -> bool:
        place = f"{{{'ab'[self.uses.index(fact)]}}}" if self.kind == "multiplied" else ""
        return bool(place) and pattern.replace("{}", place) in self.form.text

    def text(self, said: Callable[[Fact], str]) -> str:
        """The rule without the name of what it finds: C1 + C2, Q/C with ``said`` for each."""
        names = [said(fact) for fact in self.uses]
        if self.kind == "shared":
            return names[0]
        if self.kind == "multiplied":
            return self.form.text.format(a=names[0], b=names[1])
        if self.kind == "balanced":
            pairs = zip(names[::2], names[1::2], strict=True)
            charges = " + ".join(f"{c} × {v}" for c, v in pairs)
            return f"({charges})/({' + '.join(names[::2])})"
        added = self.joined(self.terms(said))
        return f"1/({added})" if self.kind == "reciprocals" else added

    def terms(self, said: Callable[[Fact], str]) -> list[str]:
        """What is added up, or taken from the first of them; one over each of ``reciprocals``."""
        over = "1/" if self.kind == "reciprocals" else ""
        return [f"{over}{said(fact)}" for fact in self.uses]

    def joined(self, terms: Iterable[str]) -> str:
        """Terms with the sign between them that they have here."""
        return (" − " if self.is_rest else " + ").join(terms)

    def inverse(self, fact: Fact) -> Relation:
        """The same relation as it finds one of what it uses. Errors: ``ValueError`` for a balance
        and for what it does not use.
        """
        if fact not in self.uses or self.kind == "balanced":
            raise ValueError(f"{fact} does not follow from this")
        others = tuple(f for f in self.uses if f != fact)
        if self.kind == "shared":
            return self._replace(finds=fact, uses=(self.finds,))
        if self.kind == "multiplied":
            return _multiplied(fact, {self.finds, *others})
        if not self.is_rest:
            return self._replace(finds=fact, uses=(self.finds, *others), is_rest=True)
        if fact == self.uses[0]:
            return self._replace(finds=fact, uses=(self.finds, *others), is_rest=False)
        return self._replace(finds=fact, uses=(self.uses[0], self.finds, *others[1:]))


def _multiplied(finds: Fact, others: set[Fact]) -> Relation:
    by_kind = {fact.dimension: fact for fact in others}
    for found, first, second in FORMS:
        if found == finds.dimension and {first, second} == set(by_kind):
            return Relation("multiplied", finds, (by_kind[first], by_kind[second]))
    raise ValueError(f"no form of the law finds {finds} from {others}")


def of_capacitor(name: str, finds: Dimension | None = None) -> Iterator[Relation]:
    """The law of one capacitor, each of its quantities from two others; or as it ``finds`` one."""
    for found, first, second in FORMS:
        if finds in (None, found):
            yield Relation("multiplied", Fact(found, name), (Fact(first, name), Fact(second, name)))


def by_law(finds: Dimension, name: str, *uses: Dimension) -> Relation:
    """One quantity of a capacitor from two others of it, ``uses`` where they are told, else as it
    is most often found. Errors: ``StopIteration`` where no form of the law does that.
    """
    return next(
        relation for relation in of_capacitor(name, finds)
        if not uses or {fact.dimension for fact in relation.uses} == {*uses}
    )


def of_step(step: Step) -> Iterator[Relation]:
    """What the parts of a step and what it makes have to do with each other, each quantity from
    the others; none where they are not in series or in parallel.
    """
    joining = step.joining
    if joining is None or step.makes is None:
        return
    names = [step.makes.name, *(c.name for c in step.parts)]
    for whole in _sums(step, joining, names):
        yield whole
        yield from (whole.inverse(fact) for fact in whole.uses)
    shared = [Fact(joining.shared, name) for name in names]
    for fact in shared:
        others = (other for other in shared if other != fact)
        yield from (Relation("shared", other, (fact,), step) for other in others)


def finding(step: Step, fact: Fact) -> Iterator[Relation]:
    """Those of the relations of a step that find one fact."""
    joining = step.joining
    if joining is None or step.makes is None:
        return
    names = [step.makes.name, *(c.name for c in step.parts)]
    for whole in _sums(step, joining, names):
        if fact == whole.finds:
            yield whole
        elif fact in whole.uses:
            yield whole.inverse(fact)
    if fact.dimension == joining.shared and fact.of in names:
        others = (Fact(fact.dimension, name) for name in names if name != fact.of)
        yield from (Relation("shared", fact, (other,), step) for other in others)


def taken_up(steps: Iterable[Step], name: str) -> Iterator[tuple[Step, Capacitor, Capacitor]]:
    """The steps that take up a capacitor, and then what was made of it, up to the whole: each with
    the part that it is there and with what is made.
    """
    for step in steps:
        part = next((c for c in step.parts if c.name == name), None)
        if part is not None and step.makes is not None:
            yield step, part, step.makes
            name = step.makes.name


def _sums(step: Step, joining: Joining, names: Sequence[str]) -> Iterator[Relation]:
    """The wholes that parts add up to."""
    adding: tuple[Dimension, ...] = ("capacitance", joining.added, "energy")
    for dimension in adding:
        turned = joining.turned and dimension == "capacitance"
        whole, *parts = (Fact(dimension, name) for name in names)
        yield Relation("reciprocals" if turned else "summed", whole, tuple(parts), step)


def balance(point: str, around: Sequence[tuple[str, str]]) -> Relation:
    """The potential of an island: the charges on its plates add to nought. ``around`` are the
    capacitors there, each with the point at its other end.
    """
    uses = [
        fact for name, far in around for fact in (Fact("capacitance", name), Fact("voltage", far))
    ]
    return Relation("balanced", Fact("voltage", point), tuple(uses))


def worked_back(
    steps: Sequence[Step], values: Mapping[str, Value], held: Mapping[Fact, Value]
) -> dict[Fact, Value]:
    """Charges, p.d.s and energies of every part, from those ``held`` by the whole, by capacitances
    in ``values`` that need not be the true ones: what is shared is passed on, the other follows.
    Where a part holds by itself what adds up in its step, all the rest of it follows from that.
    """
    found: dict[Fact, Value] = {Fact("capacitance", n): v for n, v in values.items()}
    found.update(held)
    for step in reversed(steps):
        joining = step.joining
        if joining is None or step.makes is None:
            continue
        for part in step.parts:
            shared = found.get(Fact(joining.shared, step.makes.name))
            if shared is not None and Fact(joining.added, part.name) not in held:
                found[Fact(joining.shared, part.name)] = shared
            complete(found, part.name)
    return found


def complete(found: dict[Fact, Value], name: str) -> None:
    """Add what follows by the law of one capacitor, charge and p.d. before the energy."""
    for finds, *others in FORMS:
        fact = Fact(finds, name)
        if fact in found:
            continue
        uses = [Fact(each, name) for each in others]
        if all(each in found for each in uses):
            relation = Relation("multiplied", fact, tuple(uses))
            value = relation.value([found[each] for each in uses])
            if value is not None:
                found[fact] = tidy(value)
