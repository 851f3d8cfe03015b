"""Why all else stays where capacitors are taken out with the charge that they hold.

Each other plate keeps its charge, so each other capacitor its p.d., and along any path these add
up to what they did: nothing drives any charge, in any network, with a supply joined or without.
"""

from __future__ import annotations

from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import listed
from tutor.teaching.whatif.before_and_after import Sides
from tutor.teaching.whatif.change import Supposing, about


def reason(whatif: Supposing, rule: str) -> str:
    """What the change does to the whole by the ``rule`` of its place, and why nothing else goes."""
    return " ".join(filter(None, (rule, _kept(whatif), _of_the_whole(whatif))))


def why(sides: Sides, quantity: Quantity) -> str:
    """Why a p.d., a charge, an energy or a potential goes as it does."""
    names, goes = listed(about(sides.whatif.change)), sides.goes(quantity)
    verb = "is" if len(about(sides.whatif.change)) == 1 else "are"
    if quantity.of is None and quantity.symbol == "E":
        return f"What {names} stored goes along: {goes}."
    if quantity == Quantity("Q") and sides.way(quantity) != "same":
        return f"The ends lose what is on the plates of {names}, and nothing else: {goes}."
    return f"No charge comes to any other plate or leaves it when {names} {verb} taken out: {goes}."


def _kept(whatif: Supposing) -> str:
    names = about(whatif.change)
    if all(whatif.has_no_charge(name) for name in names):
        return f"{listed(names)} held no charge, and every other plate keeps the charge it has."
    verb, its = ("takes", "its") if len(names) == 1 else ("take", "their")
    return (
        f"{listed(names)} {verb} the charge on {its} plates along; every other plate keeps its "
        f"charge, so every other {whatif.terms.difference} stays, and nothing drives any charge."
    )


def _of_the_whole(whatif: Supposing) -> str:
    """Where a point in the middle keeps a charge, C V of what is left is no charge of it."""
    left = [
        point
        for c in whatif.problem.network.named(about(whatif.change))
        if c.start != c.end and not whatif.has_no_charge(c.name)
        for point in (c.start, c.end)
        if point not in whatif.problem.network.ends and point in whatif.changed.network.points()
    ]
    if not left:
        return ""
    at = listed(tuple(dict.fromkeys(left)))
    return (
        f"But the metal at {at} has a charge in all now, so Q = C V holds for each capacitor and "
        "no longer for all of them as one."
    )
