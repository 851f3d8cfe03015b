"""What follows from what is known of a capacitor by its measures, one law after another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, NamedTuple

from grammar.records import Body
from tutor.circuit.bodies import BodyValues, Law, shape_of, value_by
from tutor.circuit.surds import square_root
from tutor.circuit.values import Value, tidy

LIMITS: Final = ("limit", "first to break")
HELD: Final = (
    Law("charge", "Q", "C V", "C × V",
        lambda c, v: c * v),
    Law("charge", "V", "Q C", "Q / C",
        lambda q, c: q / c),
    Law("charge", "C", "Q V", "Q / V",
        lambda q, v: q / v),
    Law("energy", "E", "C V", "½ × C × V²",
        lambda c, v: c * v * v / 2),
    Law("energy", "E", "Q V", "½ × Q × V",
        lambda q, v: q * v / 2),
    Law("energy", "E", "Q C", "½ × Q² / C",
        lambda q, c: q * q / (2 * c)),
    Law("energy", "V", "E C", "√(2 × E / C)",
        lambda e, c: square_root(2 * e / c)),
    Law("energy", "C", "E V", "2 × E / V²",
        lambda e, v: 2 * e / (v * v)),
    Law("energy", "Q", "E V", "2 × E / V",
        lambda e, v: 2 * e / v),
    Law("energy", "V", "E Q", "2 × E / Q",
        lambda e, q: 2 * e / q),
    Law("energy", "Q", "E C", "√(2 × E × C)",
        lambda e, c: square_root(2 * e * c)),
    Law("limit", "field", "strength", "strength", lambda s: s),
)


def laws_of(body: Body) -> tuple[Law, ...]:
    """Every law that holds in this body, each relation in all the ways that books ask for."""
    return (*shape_of(body), *HELD)


class LawApplied(NamedTuple):
    """One law carried out: what it finds, and its value."""

    law: Law
    value: Value


def stages(
    laws: tuple[Law, ...], known: BodyValues, wanted: tuple[str, ...]
) -> tuple[LawApplied, ...]:
    """The shortest ways from what is known to what is wanted, each stage after those it needs.

    Nothing for what does not follow. At its limit the field is the strength; that comes in only
    where nothing else settles the field.
    """
    at_rest = tuple(law for law in laws if law.kind not in LIMITS)
    found = _follow(at_rest, known)
    if not set(wanted) <= {*found, *known}:
        found = _follow(laws, known)
    return tuple(_leading(found, wanted))


def _follow(laws: tuple[Law, ...], known: BodyValues) -> dict[str, LawApplied]:
    """All that follows, the fewest laws first."""
    values = dict(known)
    found: dict[str, LawApplied] = {}
    grown = True
    while grown:
        grown = False
        for law in laws:
            if law.finds in values or any(name not in values for name in law.uses):
                continue
            found[law.finds] = LawApplied(law, tidy(value_by(law, values)))
            grown = True
        values |= {name: stage.value for name, stage in found.items()}
    return found


def _leading(found: Mapping[str, LawApplied], wanted: tuple[str, ...]) -> Iterator[LawApplied]:
    """The stages of one thing wanted after those of another."""
    told: set[str] = set()
    for one in wanted:
        needed: set[str] = set()
        pending = [one]
        while pending:
            name = pending.pop()
            if name in found and name not in needed:
                needed.add(name)
                pending += found[name].law.uses
        yield from (stage for name, stage in found.items() if name in needed - told)
        told |= needed
