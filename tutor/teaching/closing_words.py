"""How a walk ends, in words: what each capacitor holds, the checks with their numbers, farewell."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

from grammar.records import Dimension
from tutor.circuit.checks import Checks
from tutor.circuit.solving import Solution, plus_point
from tutor.circuit.values import Value, chain_sum, in_letters, parallel_sum
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.speech import Speech, counted, listed
from tutor.teaching.walk import (
    Walk,
    asked_quantities,
    given,
)

if TYPE_CHECKING:
    from tutor.circuit.star_delta import StarDelta

# Steps whose slips a walk counts itself; those of the others are told as stories.
REDUCING: Final = ("series", "parallel", "removal")


class Closing(NamedTuple):
    """Readings of a walk that has come to its end."""

    speech: Speech

    def checks(self, checks: Checks) -> list[str]:
        """The closing checks with their numbers, a line each."""
        lines = []
        for path in checks.paths:
            way = listed([c.name for c in path.capacitors])
            start, end = path.points[0], path.points[-1]
            drops = self._sum(list(path.drops), path.total, "voltage")
            lines.append(f"{start} to {end} through {way}: {drops}")
        for point in checks.inner_points:
            names = listed([name for name, _ in point.plates])
            charges = [charge for _, charge in point.plates]
            lines.append(
                f"Plates at {point.point} ({names}): {self._sum(charges, point.total, 'charge')}"
            )
        energy = checks.energy
        stored = self._sum([e for _, e in energy.stored], energy.total, "energy")
        formula = self.speech.of_whole("½ C V²")
        lines.append(f"Stored energy: {stored}, the same as {formula} of the whole")
        if energy.supplied is not None:
            lines.append(
                f"A supply at its full {self.speech.terms.difference} from the first gives "
                f"{self.speech.of_whole('Q V')} = {self.speech.amount(energy.supplied, 'energy')}: "
                "half is stored, the other half leaves as heat and radiation"
            )
        return lines

    def check_answer(self, walk: Walk, symbol: Symbol) -> str:
        """What the sum of the closing check comes to, and why."""
        total = walk.truth[Quantity(symbol)]
        if symbol == "V":
            amount = self.speech.amount(total, "voltage")
            return f"{amount}: every path from end to end must make up all that is between them."
        amount = self.speech.amount(total, "charge")
        return f"{amount}: the plates at the + end hold together all the charge moved to them."

    # Lists, and what is asked for at any time

    def table(self, walk: Walk, solution: Solution) -> list[str]:
        """What every capacitor holds, a line each."""
        capacitors = walk.problem.network.capacitors
        held = [solution.holdings[c.name] for c in capacitors]
        columns = (
            self.speech.alike([each.size.voltage for each in held], "voltage"),
            self.speech.alike([each.size.charge for each in held], "charge"),
            self.speech.alike([each.energy for each in held], "energy"),
        )
        lines = ["What each capacitor holds:"]
        for c, each, *amounts in zip(capacitors, held, *columns, strict=True):
            plus = plus_point(c, each)
            where = f", + plate at {plus}" if plus else ""
            lines.append(f"{c.name}: {', '.join(amounts)}{where}")
        return lines

    def bounds(self, walk: Walk) -> str:
        """A closing check where there is no supply: against the smallest or the largest of one
        chain or set, else against all in a chain and all side by side.
        """
        values = [c.value for c in given(walk) if Quantity("Q", c.name) not in walk.known]
        whole = walk.truth[Quantity("C")]
        if len(values) > 1 and not any(in_letters(value) for value in values):
            if whole == chain_sum(values):
                found, smallest = self.speech.apart([whole, min(values)], "capacitance")
                return f"A check: {found} is less than {smallest}, as in a chain it must be."
            if whole == parallel_sum(values):
                found, largest = self.speech.apart([whole, max(values)], "capacitance")
                return f"A check: {found} is more than {largest}, as side by side it must be."
        bounds = [chain_sum(values), whole, parallel_sum(values)]
        least, found, most = self.speech.apart(bounds, "capacitance")
        return (
            f"A check: all in one chain would make {least}, all side by side {most}. "
            f"{self.speech.name(Quantity('C'))} = {found} must lie between, and does."
        )

    def farewell(self, walk: Walk) -> str:
        """What was found and practised, what cost most, and what may follow."""
        found = [
            f"{self.speech.name(q)} {self.speech.result(walk.truth[q], q.dimension)}"
            for q in asked_quantities(walk) if q in walk.truth
        ]
        kinds = {
            "parallel": f"parallel sets (one {self.speech.terms.difference})",
            "series": "chains (one charge)",
            "removal": "leaving out what holds no charge",
            "equal": "leaving out what joins points at one potential",
            "merge": "joining points at one potential",
            "balance": "balancing charges at floating points",
            "star": "a star in the place of a triangle",
            "delta": "a triangle in the place of a star",
        }
        done = {step.kind for step in walk.steps}
        practised = [text for kind, text in kinds.items() if kind in done]
        lines = [f"{'; '.join(found)}." if found else "That is all."]
        if practised:
            lines.append(f"Practised: {listed(practised)}.")
        if walk.weak:
            lines.append(
                f"With these values a wrong way would give {listed(dict.fromkeys(walk.weak))} "
                "too: try the same with other values."
            )
        if walk.slips or walk.shown:
            worst = Counter((*walk.slips, *walk.shown)).most_common(1)[0][0]
            lines.append(f"Hardest here: {worst}.")
        elif any(walk.rightly.values()) and all(step.kind in REDUCING for step in walk.steps):
            helped = f", with {counted(walk.hints, 'hint')}" if walk.hints else ""
            lines.append(f"No step needed a second try{helped}.")
        energy = walk.problem.supply is not None and not walk.energy_wanted and walk.whole
        more = "'why', 'energy'" if energy else "'why'"
        one = given(walk)[0].name
        lines.append(
            f"Type another network, or 'start again', 'what if {one} is doubled', 'fair copy', "
            f"{more} or 'stop'."
        )
        return "\n".join(lines)

    def stopped(self, walks: Sequence[Walk], exchanges: Sequence[StarDelta]) -> str:
        """Leaving in the middle: a walk, and the detours on it through these exchanges."""
        steps = sum(len(walk.steps) for walk in walks)
        swaps = [
            "a star for a triangle" if each.kind == "star" else "a triangle for a star"
            for each in exchanges
        ]
        done = listed([*swaps, *([counted(steps, "step")] if steps or not swaps else [])])
        left = counted(len(walks[-1].network.capacitors), "capacitor")
        return f"Stopped after {done}, with {left} left."

    def _sum(self, amounts: list[Value], total: Value, dimension: Dimension) -> str:
        """``4 V + 8 V = 12 V``; with ≈ where figures were rounded away."""
        shown = [self.speech.shown(_size(v), dimension) for v in amounts]
        signs = ["−" if _negative(v) else "+" for v in amounts]
        text = " ".join(f"{sign} {s.text}" for sign, s in zip(signs, shown, strict=True))
        if len(shown) == 1:
            return shown[0].text
        came_to = self.speech.shown(total, dimension)
        equals = self.speech.equals(*shown, came_to)
        whole = "0" if total == 0 and any(map(in_letters, amounts)) else came_to.text
        plain = text.removeprefix("+ ").replace("− ", "−", 1) if signs[0] == "−" else text[2:]
        return f"{plain} {equals} {whole}"


def _negative(value: Value) -> bool:
    return bool(value.could_extract_minus_sign()) if in_letters(value) else bool(value < 0)


def _size(value: Value) -> Value:
    return -value if _negative(value) else value
