"""The second opinion on changes: charges on pieces of metal, solved all at once.

Every capacitor is a record of two metal pieces with a charge; every potential of the whole bench,
and the charge that a supply moves, is one unknown of one big set of equations. Nothing is split
into blocks and nothing of ``grammar`` or ``tutor`` is used, so that a mistake there cannot hide.
The laws are Kirchhoff's, with charge in the place of current (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from tests.nodal import eliminate


class Bench:
    """Capacitors by name as [capacitance, metal of the first plate, metal of the second, charge
    of the first plate]; ``supply`` is a p.d. between the two ``ends`` or None.
    """

    def __init__(self, capacitors: dict[str, list], ends: tuple[str, str]) -> None:
        self.capacitors = capacitors
        self.ends = ends
        self.supply: Fraction | None = None
        self.pulled = Fraction(0)  # work done by the supply, in all
        self.count = 0
        self.gone: dict[str, str] = {}  # metal that a wire has made part of another piece

    def energy(self) -> Fraction:
        return sum((q * q / c / 2 for c, _, _, q in self.capacitors.values()), Fraction(0))

    def metals(self) -> list[str]:
        plates = {m for _, a, b, _ in self.capacitors.values() for m in (a, b)}
        return sorted(plates | {*self.ends})

    def settle(self) -> None:
        metals = self.metals()
        at = {metal: index for index, metal in enumerate(metals)}
        size = len(metals) + 1  # the last unknown is the charge that the supply moves
        rows = [[Fraction(0)] * (size + 1) for _ in range(size)]
        for c, a, b, q in self.capacitors.values():
            for here, there, held in ((a, b, q), (b, a, -q)):
                rows[at[here]][at[here]] += c
                rows[at[here]][at[there]] -= c
                rows[at[here]][size] += held
        if self.supply is None:
            rows[-1][-2] = Fraction(1)
        else:
            plus, minus = (at[end] for end in self.ends)
            rows[plus][-2] -= 1
            rows[minus][-2] += 1
            rows[-1][plus] += 1
            rows[-1][minus] -= 1
            rows[-1][size] = self.supply
        for piece in self._pieces(metals):
            ground = at[piece[0]]  # its balance follows from the others
            rows[ground] = [Fraction(int(k == ground)) for k in range(size + 1)]
        level = eliminate(rows)
        for each in self.capacitors.values():
            each[3] = each[0] * (level[at[each[1]]] - level[at[each[2]]])
        if self.supply is not None:
            self.pulled += self.supply * level[-1]

    def _pieces(self, metals: Sequence[str]) -> list[list[str]]:
        piece = {metal: metal for metal in metals}
        links = [(a, b) for _, a, b, _ in self.capacitors.values()]
        if self.supply is not None:
            links.append(self.ends)
        for a, b in links:
            old, new = piece[a], piece[b]
            piece = {metal: new if of == old else of for metal, of in piece.items()}
        return [[m for m in metals if piece[m] == name] for name in sorted(set(piece.values()))]

    def wire(self, first: str, second: str) -> None:
        first, second = self.gone.get(first, first), self.gone.get(second, second)
        self.gone = {m: first if now == second else now for m, now in self.gone.items()}
        self.gone[second] = first
        for each in self.capacitors.values():
            each[1:3] = [first if metal == second else metal for metal in each[1:3]]
        self.ends = tuple(first if end == second else end for end in self.ends)  # type: ignore[assignment]

    def lift(self, name: str) -> None:
        self.count += 1
        self.capacitors[name][1:3] = [f"x{self.count}", f"y{self.count}"]

    def together(self, names: Sequence[str]) -> bool:
        pieces = self._pieces(self.metals())
        homes = [
            next(i for i, piece in enumerate(pieces) if self.capacitors[name][1] in piece)
            for name in names
        ]
        return len(set(homes)) < len(homes)

    def join(self, names: Sequence[str], crossed: bool) -> None:
        supply, self.supply = self.supply, None  # two plates are not together through a supply
        if self.together(names):
            for name in names:
                self.lift(name)
        self.supply = supply
        tops: list[str] = []
        bottoms: list[str] = []
        for name in names:
            _, a, b, q = self.capacitors[name]
            turned = (q < 0) != (crossed and bool(tops))
            tops.append(b if turned else a)
            bottoms.append(a if turned else b)
        for chosen in (tops, bottoms):
            for place in range(1, len(names)):
                self.wire(chosen[0], chosen[place])
