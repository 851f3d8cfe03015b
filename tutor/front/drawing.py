"""A network drawn in text: points as rails, capacitors as rungs between two of them.

    A             P             B
    ├──╢C1 6 µF╟──┼──╢C2 9 µF╟──┤
                  │             │
                  └──╢C3 5 µF╟──┘

Capacitors in parallel are rungs between the same two rails, however far apart they stand; a chain
is what meets at a rail that nothing else touches. The plan is that of the pictures for paper. What
has no room in the plates is told under the drawing.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, NamedTuple, TypeAlias

from tutor.circuit.network import Capacitor
from tutor.desk.pictures.ruled import Ruled, ruled
from tutor.front.across import across
from tutor.front.down import down
from tutor.front.plain import Page
from tutor.front.plates_sketched import plates_rows
from tutor.front.rails import Plot, Sign, plotted
from tutor.teaching.depicted import DOTS, Depicted

MOST_CAPACITORS: Final = 60
Laying: TypeAlias = Callable[[Plot], list[str]]


class _Form(NamedTuple):
    """A way to draw: which way the rails run, whether values stand in the plates, and whether what
    is under them stands on one line.
    """

    laying: Laying
    has_values: bool
    on_one_line: bool


FORMS: Final = (
    _Form(across, True, True), _Form(across, True, False), _Form(down, True, False),
    _Form(across, False, False), _Form(down, False, False),
)


def sketch(
    drawn: Depicted, page: Page, indent: str = "", most: int | None = None
) -> list[str] | None:
    """The lines of the first form that is no wider than the page and has at the ``most`` so many
    lines; None where there is none, and for more than sixty capacitors.
    """
    if not 0 < len(drawn.network.capacitors) <= MOST_CAPACITORS:
        return None
    if drawn.inside is not None:
        rows = plates_rows(drawn, drawn.inside, page, indent)
        return rows if most is None or len(rows) <= most else None
    plans = ruled(drawn)
    for form in FORMS:
        rows = [f"{indent}{row}".rstrip() for row in in_form(drawn, plans, form, page)]
        if max(map(len, rows)) > page.columns:
            continue
        if not form.has_values:
            rows += page.wrapped(_key(drawn), indent)
        if most is None or len(rows) <= most:
            return rows
    return None


def in_form(drawn: Depicted, plans: tuple[Ruled, ...], form: _Form, page: Page) -> list[str]:
    """The drawing in one form, however wide."""
    signs = {
        c.name: _sign(page, drawn, c, form) for c in drawn.network.capacitors
    }
    words = {
        rail.point: page.plain(f"{rail.point} {drawn.level(rail.point)}".strip())
        for plan in plans for rail in plan.rails if _is_named(plan, rail.point)
    }
    rows: list[str] = []
    for plan in plans:
        source = _source(drawn, page, form) if plan.is_supplied and drawn.has_source else None
        rows += [""] * bool(rows)
        rows += form.laying(plotted(plan, signs, words, source))
    return list(map(page.plain, rows))


def _is_named(plan: Ruled, point: str) -> bool:
    """Whether a point has a name: a bend of a wire and the plate of a lone capacitor have none."""
    is_bend = any(rail.point == point and rail.is_hidden for rail in plan.rails)
    return not is_bend and not any(
        point in (f"{rung.bond.name}+", f"{rung.bond.name}-") for rung in plan.rungs
    )


def _sign(page: Page, drawn: Depicted, c: Capacitor, form: _Form) -> Sign:
    name, plus = drawn.name(c), drawn.plus_of(c.name)
    if not form.has_values:
        return Sign(page.plain(name), (), plus)
    inside, under = " ".join(filter(None, (name, drawn.value(c)))), drawn.under(c)
    lines = (", ".join(under),) if under and form.on_one_line else under
    return Sign(page.plain(inside), tuple(map(page.plain, lines)), plus)


def _source(drawn: Depicted, page: Page, form: _Form) -> Sign:
    under = drawn.found(None) if form.has_values else ()
    return Sign(page.plain(drawn.held), tuple(map(page.plain, under)), is_source=True)


def _key(drawn: Depicted) -> str:
    """What each capacitor is and holds, and what the supply has moved."""
    told = list(dict.fromkeys(
        f"{drawn.name(c)}: {', '.join(filter(None, (drawn.value(c), *drawn.under(c))))}"
        for c in drawn.network.capacitors if drawn.name(c) != DOTS
    ))
    if drawn.has_source and (moved := drawn.found(None)):
        told.append(f"moved in all: {', '.join(moved)}")
    return "; ".join(told)
