"""Capacitors by their measures: one relation for each shape, and the field and the force there.

The field at the rim of plates and at the ends of a cable is left out. A stack of n plates joined
alternately has n − 1 gaps, all with the same two pieces of metal as ends: side by side.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from decimal import Decimal, localcontext
from fractions import Fraction
from types import MappingProxyType
from typing import Any, Final, NamedTuple, TypeAlias

from grammar.records import Amount, Body, Dimension, Letter, Size, Unknown
from grammar.sizes import MOST_LAYERS, PI
from tutor.circuit.plates import ELECTRIC_CONSTANT

FIGURES: Final = 40
_OF_A_LAYER: Final[Mapping[str, Dimension | None]] = {
    "d": "length", "epsr": None, "strength": "field", "field": "field",
}
ELECTRIC_LETTER: Final = "ε0"  # what stands for the electric constant where all is in letters

# What is known of a body, by name: its measures, and what it holds. Of layers the gap, filling,
# strength and field of each have its number after the name.
DIMENSIONS: Final[Mapping[str, Dimension | None]] = {
    "eps0": "permittivity", "epsr": None, "n": None, "A": "area", "d": "length", "r": "length",
    "a": "length", "b": "length", "L": "length", "strength": "field", "C": "capacitance",
    "V": "voltage", "Q": "charge", "E": "energy", "field": "field", "force": "force",
} | {
    f"{name}{number}": dimension
    for number in range(1, MOST_LAYERS + 1)
    for name, dimension in _OF_A_LAYER.items()
}
LETTER_OF: Final[Mapping[str, str]] = {
    "area": "A", "gap": "d", "filling": "epsr", "plates": "n", "strength": "strength",
    "radius": "r", "inner": "a", "outer": "b", "length": "L",
}


class Law(NamedTuple):
    """``finds`` from what it ``needs``, named as in ``DIMENSIONS``; ``text`` as learners write it.

    ``kind`` names the relation; all laws of one kind are the same relation, turned round.
    """

    kind: str
    finds: str
    needs: str
    text: str
    work: Callable[..., Any]

    @property
    def uses(self) -> tuple[str, ...]:
        """The names of what it finds that from."""
        return tuple(self.needs.split())


BodyValues: TypeAlias = Mapping[str, Any]


def facts_of(body: Body) -> dict[str, Any]:
    """The measures that are known, in SI units; unsaid are a filling of 1 and two plates."""
    found: dict[str, Any] = {"eps0": ELECTRIC_CONSTANT}
    if any(isinstance(size.worth, Letter) for size in body.sizes):
        import sympy

        found["eps0"] = sympy.Symbol(ELECTRIC_LETTER, positive=True)
    if body.kind != "layers" and body.size("filling") is None:
        found["epsr"] = Fraction(1)
    if body.kind == "plates" and body.size("plates") is None:
        found["n"] = Fraction(2)
    for size in body.sizes:
        if not isinstance(size.worth, Unknown):
            found[letter_of(size)] = _worth(size)
    return found


def letter_of(size: Size) -> str:
    """The name of a measure in the laws: d, or d2 in the second layer."""
    return f"{LETTER_OF[size.name]}{size.layer or ''}"


def _worth(size: Size) -> Any:
    if isinstance(size.worth, Amount):
        return size.worth.value
    assert isinstance(size.worth, Letter), "what is missing has no value"
    import sympy

    factor = sympy.Rational(size.worth.factor.numerator, size.worth.factor.denominator)
    return factor * sympy.Symbol(size.worth.symbol, positive=True)


def capacitance_of_body(body: Body) -> Any:
    """The capacitance in farads. Errors: ``ValueError`` where a measure of it is missing."""
    facts = facts_of(body)
    law = next(law for law in shape_of(body) if law.finds == "C")
    if any(name not in facts for name in law.uses):
        raise ValueError("a missing measure has to be found first")
    return value_by(law, facts)


def value_by(law: Law, facts: BodyValues) -> Any:
    """What a law gives on these facts."""
    return law.work(*(facts[name] for name in law.uses))


def logarithm(value: Any) -> Any:
    """The natural logarithm, of a number to forty figures."""
    if not isinstance(value, Fraction):
        import sympy

        return sympy.log(value)
    with localcontext() as context:
        context.prec = FIGURES
        return Fraction((Decimal(value.numerator) / Decimal(value.denominator)).ln())


def exponential(value: Any) -> Any:
    """e to the power of a number, to forty figures."""
    if not isinstance(value, Fraction):
        import sympy

        return sympy.exp(value)
    with localcontext() as context:
        context.prec = FIGURES
        return Fraction((Decimal(value.numerator) / Decimal(value.denominator)).exp())


# The laws. A law that finds C is the first of its shape; the others are that relation turned round.


PLATES: Final = (
    Law("plates", "C", "eps0 epsr n A d", "eps0 × epsr × (n − 1) × A / d",
        lambda e, k, n, a, d: e * k * (n - 1) * a / d),
    Law("plates", "d", "eps0 epsr n A C", "eps0 × epsr × (n − 1) × A / C",
        lambda e, k, n, a, c: e * k * (n - 1) * a / c),
    Law("plates", "A", "C d eps0 epsr n", "C × d / (eps0 × epsr × (n − 1))",
        lambda c, d, e, k, n: c * d / (e * k * (n - 1))),
    Law("plates", "epsr", "C d eps0 A n", "C × d / (eps0 × A × (n − 1))",
        lambda c, d, e, a, n: c * d / (e * a * (n - 1))),
    Law("plates", "n", "C d eps0 epsr A", "1 + C × d / (eps0 × epsr × A)",
        lambda c, d, e, k, a: 1 + c * d / (e * k * a)),
    Law("even field", "field", "V d", "V / d",
        lambda v, d: v / d),
    Law("even field", "V", "field d", "field × d",
        lambda f, d: f * d),
    Law("even field", "d", "V field", "V / field",
        lambda v, f: v / f),
    Law("pull", "force", "Q field", "½ × Q × field",
        lambda q, f: q * f / 2),
    Law("pull", "Q", "force field", "2 × force / field",
        lambda p, f: 2 * p / f),
    Law("pull", "field", "force Q", "2 × force / Q",
        lambda p, q: 2 * p / q),
)
SPHERE: Final = (
    Law("sphere", "C", "eps0 epsr r", "4 × pi × eps0 × epsr × r",
        lambda e, k, r: 4 * PI * e * k * r),
    Law("sphere", "r", "C eps0 epsr", "C / (4 × pi × eps0 × epsr)",
        lambda c, e, k: c / (4 * PI * e * k)),
    Law("sphere", "epsr", "C eps0 r", "C / (4 × pi × eps0 × r)",
        lambda c, e, r: c / (4 * PI * e * r)),
    Law("round field", "field", "V r", "V / r",
        lambda v, r: v / r),
    Law("round field", "V", "field r", "field × r",
        lambda f, r: f * r),
    Law("round field", "r", "V field", "V / field",
        lambda v, f: v / f),
)
SPHERES: Final = (
    Law("spheres", "C", "eps0 epsr a b", "4 × pi × eps0 × epsr × a × b / (b − a)",
        lambda e, k, a, b: 4 * PI * e * k * a * b / (b - a)),
    Law("spheres", "epsr", "C a b eps0", "C × (b − a) / (4 × pi × eps0 × a × b)",
        lambda c, a, b, e: c * (b - a) / (4 * PI * e * a * b)),
    Law("spheres", "b", "C eps0 epsr a", "C × a / (C − 4 × pi × eps0 × epsr × a)",
        lambda c, e, k, a: c * a / (c - 4 * PI * e * k * a)),
    Law("spheres", "a", "C eps0 epsr b", "C × b / (C + 4 × pi × eps0 × epsr × b)",
        lambda c, e, k, b: c * b / (c + 4 * PI * e * k * b)),
    Law("field at the inner sphere", "field", "V a b", "V × b / (a × (b − a))",
        lambda v, a, b: v * b / (a * (b - a))),
    Law("field at the inner sphere", "V", "field a b", "field × a × (b − a) / b",
        lambda f, a, b: f * a * (b - a) / b),
)
CABLE: Final = (
    Law("cable", "C", "eps0 epsr L a b", "2 × pi × eps0 × epsr × L / ln(b/a)",
        lambda e, k, length, a, b: 2 * PI * e * k * length / logarithm(b / a)),
    Law("cable", "L", "C a b eps0 epsr", "C × ln(b/a) / (2 × pi × eps0 × epsr)",
        lambda c, a, b, e, k: c * logarithm(b / a) / (2 * PI * e * k)),
    Law("cable", "epsr", "C a b eps0 L", "C × ln(b/a) / (2 × pi × eps0 × L)",
        lambda c, a, b, e, length: c * logarithm(b / a) / (2 * PI * e * length)),
    Law("cable", "b", "a eps0 epsr L C", "a × exp(2 × pi × eps0 × epsr × L / C)",
        lambda a, e, k, length, c: a * exponential(2 * PI * e * k * length / c)),
    Law("cable", "a", "b eps0 epsr L C", "b / exp(2 × pi × eps0 × epsr × L / C)",
        lambda b, e, k, length, c: b / exponential(2 * PI * e * k * length / c)),
    Law("field at the wire", "field", "V a b", "V / (a × ln(b/a))",
        lambda v, a, b: v / (a * logarithm(b / a))),
    Law("field at the wire", "V", "field a b", "field × a × ln(b/a)",
        lambda f, a, b: f * a * logarithm(b / a)),
)
SHAPES: Final[Mapping[str, tuple[Law, ...]]] = MappingProxyType(
    {"plates": PLATES, "sphere": SPHERE, "spheres": SPHERES, "cable": CABLE}
)


def shape_of(body: Body) -> tuple[Law, ...]:
    """The laws of its shape; of layers they are as many as there are layers."""
    if body.kind != "layers":
        return SHAPES[body.kind]
    return tuple(_laws_of_layers(body))


def _laws_of_layers(body: Body) -> Iterator[Law]:
    """Layers carry one charge, and each has the p.d. that a gap of air d/εr wide would have."""
    count = max(size.layer for size in body.sizes)
    names = [(f"d{at}", f"epsr{at}") for at in range(1, count + 1)]
    needs = " ".join(f"{d} {k}" for d, k in names)
    way = " + ".join(f"{d}/{k}" for d, k in names)
    yield Law("layers", "C", f"eps0 A {needs}", f"eps0 × A / ({way})",
              lambda e, a, *layers: e * a / _air(layers))
    yield Law("layers", "A", f"C eps0 {needs}", f"C × ({way}) / eps0",
              lambda c, e, *layers: c * _air(layers) / e)
    for at, (d, k) in enumerate(names, start=1):
        others = [each for each in names if each != (d, k)]
        rest = "".join(f" − {other}/{filling}" for other, filling in others)
        known = " ".join(f"{other} {filling}" for other, filling in others)
        yield Law("layers", d, f"{k} eps0 A C {known}", f"{k} × (eps0 × A / C{rest})",
                  lambda k, e, a, c, *layers: k * (e * a / c - _air(layers)))
        yield Law("layers", k, f"{d} eps0 A C {known}", f"{d} / (eps0 × A / C{rest})",
                  lambda d, e, a, c, *layers: d / (e * a / c - _air(layers)))
        yield Law("field in a layer", f"field{at}", f"V {k} {needs}", f"V / ({k} × ({way}))",
                  lambda v, k, *layers: v / (k * _air(layers)))
        if any((size.name, size.layer) == ("strength", at) for size in body.sizes):
            yield Law("limit", f"field{at}", f"strength{at}", f"strength{at}", lambda s: s)
    yield from _limit_of_layers(body, names)


def _limit_of_layers(body: Body, names: Sequence[tuple[str, str]]) -> Iterator[Law]:
    """The p.d. at which the first of the layers bears no more: εr times the field is the same in
    all of them.
    """
    strong = [size.layer for size in body.sizes if size.name == "strength"]
    if not strong:
        return
    each = ", ".join(f"epsr{at} × strength{at}" for at in strong)
    least = f"least({each})" if len(strong) > 1 else each
    way = " + ".join(f"{d}/{k}" for d, k in names)
    bounds = " ".join(f"epsr{at} strength{at}" for at in strong)
    needs = " ".join(f"{d} {k}" for d, k in names)
    count = 2 * len(strong)
    yield Law(
        "first to break", "V", f"{bounds} {needs}", f"{least} × ({way})",
        lambda *all_of: min(
            k * s for k, s in zip(all_of[:count:2], all_of[1:count:2], strict=True)
        ) * _air(all_of[count:]),
    )


def _air(layers: Sequence[Any]) -> Any:
    """How wide a gap of air would do what the layers do: the sum of d/εr."""
    parts = [d / k for d, k in zip(layers[::2], layers[1::2], strict=True)]
    return sum(parts[1:], parts[0]) if parts else Fraction(0)
