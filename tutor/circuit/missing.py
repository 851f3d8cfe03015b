"""Missing values: letters in their places, the ordinary reduction, and equations solved exactly.

With 1 V between the ends every quantity is an expression in the missing capacitances; at another
p.d. charges and p.d.s are that many times larger, energies the square of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any, Final, NamedTuple, TypeAlias

from grammar.outline import elements_of
from grammar.records import (
    Amount,
    Description,
    Dimension,
    Element,
    Given,
    Letter,
    Part,
    Refusal,
    Unknown,
    Worth,
)
from tutor.circuit.network import Network, Problem, Supply, build
from tutor.circuit.solving import Solution, solve
from tutor.circuit.surds import near, settled, square_root
from tutor.circuit.values import Value

AGREES_WITHIN: Final = Fraction(1, 200)
"""Given values are rounded; what differs by no more than this is not called a contradiction."""
POWER: Mapping[Dimension, int] = {"capacitance": 0, "voltage": 1, "charge": 1, "energy": 2}
_EXAMPLES = "C = 2.1 uF, V1 = 8.4 V or Q2 = 25 uC"


class Lack(NamedTuple):
    """A problem with missing values: each ``missing`` capacitor has its own name for its value.

    ``knowns`` are the givens, a supply among them as a given of the whole; ``unit`` is the network
    worked out with 1 V between its ends.
    """

    problem: Problem
    missing: tuple[str, ...]
    knowns: tuple[Given, ...]
    unit: Solution


Root: TypeAlias = Mapping[str, Value]


class Solutions(NamedTuple):
    """Every real solution for the missing capacitor, by its name.

    ``settles`` is False where the data leave it open; ``doubted`` are knowns that disagree with
    the solutions of the others.
    """

    roots: tuple[Root, ...]
    settles: bool = True
    doubted: tuple[Given, ...] = ()

    @property
    def fitting(self) -> tuple[Root, ...]:
        """The solutions with every capacitance above zero, the smallest first."""
        above = [root for root in self.roots if all(value > 0 for value in root.values())]
        return tuple(sorted(above, key=lambda root: [near(value) for value in root.values()]))


class _Equation(NamedTuple):
    """``left`` = ``right``, about the knowns ``about``."""

    left: Any
    right: Any
    about: tuple[Given, ...]


def lack_of(description: Description) -> Lack:
    """The working model of a text with missing values.

    Errors: ``Refusal`` for letters beside them, and for a network whose ends are not joined.
    """
    capacitors = elements_of(description)
    letters = [c.name for c in capacitors if isinstance(c.worth, Letter)]
    supply = description.supply
    if letters or (supply and not isinstance(supply.worth, Amount)):
        what = letters[0] if letters else "The supply"
        raise Refusal(
            f"{what} is in letters, and a missing value is found from numbers.",
            "Give every other value as a number with its unit.",
        )
    problem = build(with_letters(description))
    unit = solve(problem.network, Supply("voltage", Fraction(1)))
    if unit.whole is None:
        raise Refusal("No capacitor joins the two ends.", "Name ends that are joined.")
    missing = tuple(c.name for c in capacitors if isinstance(c.worth, Unknown))
    return Lack(problem, missing, tuple(_knowns(description)), unit)


def find(lack: Lack) -> Solutions:
    """All values of the one missing capacitor, exactly, and which data disagree with them."""
    import sympy

    (name,) = lack.missing
    x = sympy.Symbol(name, positive=True)
    equations = list(_equations(lack))
    about = [each for each in equations if each.left.has(x)]
    if not about:
        return Solutions((), False, _doubted(equations, {}))
    found = [Solutions(())]
    for each in about:
        roots = [{name: root} for root in _roots(each, x)]
        against = [_doubted(equations, root) for root in roots]
        clear = tuple(r for r, doubts in zip(roots, against, strict=True) if not doubts)
        found.append(Solutions(clear))
        found += [Solutions((r,), True, d) for r, d in zip(roots, against, strict=True) if d]
    return max(found, key=lambda each: (bool(each.fitting), not each.doubted, bool(each.roots)))


def coefficients(lack: Lack) -> tuple[Fraction, ...]:
    """The equation of the one missing capacitor as a polynomial that comes to nought.

    Its coefficients, for a value in farads, stand from the highest power down; of several
    equations it is the one of the lowest degree.
    """
    import sympy

    x = sympy.Symbol(lack.missing[0], positive=True)
    polynomials = [
        sympy.Poly(_top_and_bottom(each)[0], x) for each in _equations(lack) if each.left.has(x)
    ]
    lowest = min(polynomials, key=lambda each: int(each.degree()))
    return tuple(Fraction(int(k.p), int(k.q)) for k in lowest.all_coeffs())


def forwards(lack: Lack, root: Root) -> Solution:
    """The network worked out in the ordinary way with these values put in, surds as near fractions.

    The first known p.d., charge or energy settles the p.d. between its ends.
    """
    whole = lack.problem.network
    network = whole._replace(capacitors=tuple(
        c._replace(value=near(root[c.name])) if c.name in root else c for c in whole.capacitors
    ))
    unit = solve(network, Supply("voltage", Fraction(1)))
    first = next(iter(_powered(lack)), None)
    if first is None:
        return unit._replace(holdings={}, potentials={})
    times = first.worth.value / near(quantity_of(unit, first))
    if POWER[first.quantity] == 2:
        times = near(square_root(times))
    return solve(network, Supply("voltage", times))


def quantity_of(solution: Solution, known: Given) -> Value:
    """The size of the quantity that is given, as a solution has it."""
    assert solution.whole is not None, "the ends are joined"
    name = known.of or solution.whole.name
    if known.quantity == "capacitance":
        every = Network((*solution.network.capacitors, solution.whole), solution.network.ends)
        return every.named([name])[0].value
    held = solution.holdings[name].size
    return {"voltage": held.voltage, "charge": held.charge, "energy": held.energy}[known.quantity]


def _powered(lack: Lack) -> list[Given]:
    """The knowns that grow with the p.d. of the supply, energies last."""
    found = [given for given in lack.knowns if POWER[given.quantity]]
    return sorted(found, key=lambda given: POWER[given.quantity])


def with_letters(description: Description) -> Description:
    """The same with the name of each missing capacitor in place of its value."""
    joins = tuple(j._replace(capacitor=_lettered(j.capacitor)) for j in description.joins)
    nest = description.nest
    return description._replace(
        nest=_with_letters(nest) if nest is not None else None, joins=joins
    )


def _lettered(capacitor: Element) -> Element:
    worth: Worth = capacitor.worth
    if isinstance(worth, Unknown):
        worth = Letter(capacitor.name)
    return capacitor._replace(worth=worth)


def _with_letters(nest: Part) -> Part:
    """Rebuilt from the leaves up, with no recursion, since a nest may be deep."""
    order: list[Part] = [nest]
    for part in order:
        if not isinstance(part, Element):
            order.extend(part.members)
    made: dict[int, Part] = {}
    for part in reversed(order):
        if isinstance(part, Element):
            made[id(part)] = _lettered(part)
        else:
            made[id(part)] = part._replace(members=tuple(made[id(m)] for m in part.members))
    return made[id(nest)]


def has_missing(description: Description) -> bool:
    """Whether the text leaves a value out."""
    return any(isinstance(c.worth, Unknown) for c in elements_of(description))


def _knowns(description: Description) -> Iterator[Given]:
    supply = description.supply
    if supply is not None and isinstance(supply.worth, Amount):
        yield Given(supply.quantity, None, supply.worth)
    yield from description.givens


# Equations


def _equations(lack: Lack) -> Iterator[_Equation]:
    """One for each known capacitance, and one for each other known beside the first of them."""
    for given in lack.knowns:
        if POWER[given.quantity] == 0:
            yield _Equation(_expression(lack.unit, given), _rational(given), (given,))
    powered = _powered(lack)
    for given in powered[1:]:
        yield _ratio(lack.unit, given, powered[0])


def _ratio(unit: Solution, given: Given, first: Given) -> _Equation:
    """Both expressions grow with the p.d. of the supply, which their ratio leaves out.

    Where only a balance of charges leads to the p.d.s, a size may belong to either sign, which
    the squares leave out too.
    """
    signed = any(step.kind == "balance" for step in unit.steps)
    powers = POWER[given.quantity], POWER[first.quantity]
    up, down = (2, 2 * powers[0] // powers[1]) if signed else (powers[1], powers[0])
    if powers == (2, 2) and not signed:
        up = down = 1
    left = _expression(unit, given) ** up / _expression(unit, first) ** down
    return _Equation(left, _rational(given) ** up / _rational(first) ** down, (given, first))


def _expression(unit: Solution, given: Given) -> Any:
    """The known quantity at 1 V between the ends, in the missing values.

    Errors: ``Refusal`` for a capacitor to which no charge comes.
    """
    import sympy

    if given.of is not None and unit.holdings[given.of].energy == 0:
        raise Refusal(
            f"No charge comes to {given.of} in this network, so none of that is on it.",
            f"Look at how {given.of} is joined, or leave out what is given of it.",
        )
    return sympy.S(quantity_of(unit, given))


def _rational(given: Given) -> Any:
    import sympy

    return sympy.Rational(given.worth.value.numerator, given.worth.value.denominator)


def _roots(equation: _Equation, symbol: Any) -> list[Value]:
    """Every real solution, whatever its sign."""
    import sympy

    x = sympy.Dummy("x", real=True)
    top, bottom = (each.subs(symbol, x) for each in _top_and_bottom(equation))
    if not top.has(x):
        return []
    roots = dict.fromkeys(sympy.real_roots(sympy.Poly(top, x)))
    return [settled(root) for root in roots if bottom.subs(x, root) != 0]


def _top_and_bottom(equation: _Equation) -> tuple[Any, Any]:
    """What must come to nought, and what must not."""
    import sympy

    top, bottom = sympy.fraction(sympy.cancel(equation.left - equation.right))
    return top, bottom


def _doubted(equations: Iterable[_Equation], root: Root) -> tuple[Given, ...]:
    """The knowns of the equations that do not hold with these values, as far as data are exact."""
    found: dict[Given, None] = {}
    for each in equations:
        values = {symbol: root[str(symbol)] for symbol in each.left.free_symbols}
        left = near(settled(each.left.subs(values)))
        right = near(settled(each.right))
        if abs(left - right) > AGREES_WITHIN * abs(right):
            found[each.about[0]] = None
    return tuple(found)
