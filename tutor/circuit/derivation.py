"""Why a step is so: from the few facts of capacitors to the rule, in this network's own names.

Three facts do it all: a capacitor's plates hold +Q and −Q with Q = C V; every point has one
potential, so p.d.s add along a path; metal that nothing else touches keeps the charge it had,
nought here. The facts are written as equations and sympy solves them for the whole charge over
the whole p.d.; the textbook rule is only compared with what comes out.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias

from tutor.circuit.steps import Step

if TYPE_CHECKING:
    from sympy import Eq, Expr

MOST_PARTS = 6
RestsOn: TypeAlias = Literal["plates", "island", "path", "same points", "charges"]


class DerivedEquation(NamedTuple):
    """One equation and what it rests on.

    ``plates``: Q = C V of one part; ``island``: the metal between two parts gained no charge;
    ``path``: p.d.s add along the chain; ``same points``: a part's p.d. is that of the two points;
    ``charges``: the charges of the parts add. ``parts`` are the parts it speaks of.
    """

    ground: RestsOn
    parts: tuple[str, ...]
    equation: Eq


class Derivation(NamedTuple):
    """The facts of one step and the equivalent that follows from them.

    ``equivalent`` is Q/V as sympy solved it, ``rule`` the form in which it is taught (for a
    chain, 1/C as a sum of reciprocals). ``shown`` of ``of`` parts were used: a longer set goes
    on in the same way.
    """

    facts: tuple[DerivedEquation, ...]
    equivalent: Expr
    rule: Expr
    shown: int
    of: int


def derive(step: Step) -> Derivation:
    """Solve the facts of a parallel or series step.

    Raises ValueError for a removal, and ArithmeticError if the facts and the rule disagree.
    """
    if step.kind == "removal":
        raise ValueError("a removal has no equivalent to derive")
    import sympy

    names = [c.name for c in step.parts][:MOST_PARTS]
    each_c, each_q, each_v = (
        [sympy.Symbol(f"{letter}_{name}", positive=True) for name in names] for letter in "CQV"
    )
    charge, voltage = sympy.symbols("Q V", positive=True)
    facts = [
        DerivedEquation("plates", (n,), sympy.Eq(q, c * v))
        for n, c, q, v in zip(names, each_c, each_q, each_v, strict=True)
    ]
    if step.kind == "parallel":
        facts += [
            DerivedEquation("same points", (n,), sympy.Eq(v, voltage))
            for n, v in zip(names, each_v, strict=True)
        ]
        facts.append(DerivedEquation("charges", tuple(names), sympy.Eq(charge, sum(each_q))))
        taught = sum(each_c)
    else:
        facts.append(DerivedEquation("charges", tuple(names[:1]), sympy.Eq(each_q[0], charge)))
        facts += [
            DerivedEquation("island", pair, sympy.Eq(-q + r, 0))
            for pair, (q, r) in zip(pairwise(names), pairwise(each_q), strict=True)
        ]
        facts.append(DerivedEquation("path", tuple(names), sympy.Eq(voltage, sum(each_v))))
        taught = 1 / sum(1 / c for c in each_c)
    known, unknown = (voltage, charge) if step.kind == "parallel" else (charge, voltage)
    solved = sympy.solve([f.equation for f in facts], [*each_q, *each_v, unknown], dict=True)[0]
    ratio = solved[unknown] / known
    equivalent = sympy.cancel(ratio if step.kind == "parallel" else 1 / ratio)
    if sympy.cancel(equivalent - taught) != 0:
        raise ArithmeticError(f"the facts give {equivalent}, the rule {taught}")
    return Derivation(tuple(facts), equivalent, taught, len(names), len(step.parts))
