"""What a change does to the whole where series and parallel stick, and what follows inside.

Two facts are true of every network, whatever its shape.

- More capacitance between two points never makes the whole smaller, less never larger (Rayleigh's
  monotonicity law for networks; common practice, cited from memory).
- Between two points at one potential a capacitor has no p.d., so its value counts for nothing.

What these do not settle is told by the balance of charges, never by a rule of thumb.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tutor.circuit.changes import Removed, Swapped, Wired
from tutor.circuit.network import Capacitor
from tutor.circuit.structure import live_names
from tutor.circuit.values import Value, same
from tutor.teaching.quantities import Quantity
from tutor.teaching.speech import listed
from tutor.teaching.whatif.before_and_after import MOST_TOLD
from tutor.teaching.whatif.change import Direction, direction
from tutor.teaching.whatif.shifted_potentials import Evidence
from tutor.teaching.whatif.shifts import Shift, is_between_ends, one_way

MOST_NOTED = 2


def rule(evidence: Evidence) -> str:
    """What a change of capacitors does to the capacitance of the whole."""
    if not evidence.loud:
        return nothing_notices(evidence)
    if all(shift.way == "same" for shift in evidence.shifts):
        if isinstance(evidence.whatif.change, Swapped):
            return "Both have the same value, so each place holds what it held before."
        return "No value is another one than before, so nothing changes."
    if evidence.is_of_all:
        return (
            "Every capacitance becomes the same number of times as large, so the "
            f"{evidence.speech.terms.difference} is divided as before, and the whole becomes as "
            "many times as large."
        )
    goes = one_way(evidence.shifts)
    if goes not in ("up", "down"):
        return _by_balance(evidence)
    return _one(evidence, evidence.loud[0]) if len(evidence.loud) == 1 else _many(evidence, goes)


def nothing_notices(evidence: Evidence) -> str:
    """Why a change of what joins points at one potential changes nothing else."""
    live = live_names(evidence.before)
    names = [shift.name for shift in evidence.shifts]
    pairs = [shift for shift in evidence.shifts if shift.name in live]
    if not pairs:
        return f"No charge comes to {listed(names)} here, so nothing else notices the change."
    if len(names) > 1:
        return (
            f"None of {listed(_some(names))} has a {evidence.speech.terms.difference} here, so "
            "nothing else notices the change."
        )
    return (
        f"{names[0]} {evidence.joins} {listed(pairs[0].points)}, which are at one potential"
        f"{evidence.level(evidence.before, pairs[0].points)}. So it has no "
        f"{evidence.speech.terms.difference} and no charge, whatever its value, and nothing else "
        "notices the change."
    )


def _one(evidence: Evidence, shift: Shift) -> str:
    ends = evidence.before.ends
    more = shift.way == "up"
    word = "larger" if more else "smaller"
    if is_between_ends(shift, ends):
        return (
            f"{shift.name} {evidence.joins} the ends themselves, {listed(ends)}, beside all the "
            f"rest, where capacitances add: the whole is {word}."
        )
    apart = "which are at different potentials"
    if not shift.is_ordered:
        apart += " unless the values happen to balance"
        word += ", or then the same"
    change = evidence.whatif.change
    amount = f"With {'more' if more else 'less'} capacitance there"
    if isinstance(change, Wired):
        amount = "A wire there is more than any capacitance, so"
    elif isinstance(change, Removed):
        amount = "A gap there is no capacitance, so"
    return (
        f"{shift.name} {evidence.joins} {listed(shift.points)}, {apart}. {amount} the ends, "
        f"{listed(ends)}, take {'more' if more else 'less'} charge at the same "
        f"{evidence.speech.terms.difference}: the whole is {word}."
    )


def _many(evidence: Evidence, goes: Direction) -> str:
    word, other, whole = (
        ("more", "less", "larger") if goes == "up" else ("less", "more", "smaller")
    )
    if direction(evidence.whatif, Quantity("C")) is None:
        whole += ", or the same if the values happen to balance"
    names = listed(_some([shift.name for shift in evidence.loud]))
    return (
        f"At {names} there is {word} capacitance between points at different potentials, and "
        f"nowhere is there {other}: the whole is {whole}."
    )


def _by_balance(evidence: Evidence) -> str:
    """Where one capacitance goes up and another down, or letters do not say which."""
    names = listed(_some([shift.name for shift in evidence.loud]))
    points = [p for p in evidence.before.points()[1:-1] if p in evidence.new]
    where = f" at {listed(points)}" if 0 < len(points) <= MOST_TOLD else ""
    return (
        f"There is more capacitance in one place and less in another ({names}), so no rule alone "
        f"decides. The balance of charges{where} does: {evidence.sides.goes(Quantity('C'))}."
    )


def _some(names: list[str]) -> list[str]:
    return names if len(names) <= MOST_TOLD else [*names[: MOST_TOLD - 1], "others"]


# What follows inside


def inside(evidence: Evidence) -> str:
    """How the points of a changed capacitor move, and who loses or takes charge."""
    if evidence.whatif.problem.supply is None:
        return ""
    noted = [text for c in evidence.after.capacitors for text in _sign(evidence, c)]
    return " ".join(filter(None, (_drawn(evidence), *noted[:MOST_NOTED])))


def single(evidence: Evidence) -> Shift | None:
    """The one shift that anything notices, where a supply holds the p.d. of the ends."""
    if len(evidence.loud) != 1 or not evidence.is_held or evidence.loud[0].way in (None, "same"):
        return None
    return evidence.loud[0]


def _drawn(evidence: Evidence) -> str:
    """Whether the points of the one changed capacitor come nearer in potential or part.

    Seen from these two points the rest of the network is one source with one capacitor (the
    theorem of Thevenin, common practice, cited from memory), so more capacitance brings them
    nearer, and an end stays where the supply holds it.
    """
    shift = single(evidence)
    if shift is None:
        return ""
    free = [p for p in shift.points if p not in evidence.before.ends]
    if not free:
        return "The potentials inside stay as they are."
    more = shift.way == "up"
    unless = " if they differ at all" if not shift.is_ordered else ""
    if len(free) == 2:
        nearer = "come nearer to each other" if more else "move further apart"
        return f"The potentials of {listed(shift.points)} {nearer}{unless}."
    end = shift.high if free[0] == shift.low else shift.low
    if more:
        return f"{free[0]} is drawn more to {end}: its potential moves towards {end}'s."
    return f"{free[0]} is drawn less to {end}: its potential moves away from {end}'s."


def _sign(evidence: Evidence, c: Capacitor) -> Iterator[str]:
    """What is to be said of one that had no charge, has none now, or has its plates turned."""
    old = next((one for one in evidence.before.capacitors if one.name == c.name), None)
    if old is None or old.start not in evidence.old or c.start not in evidence.new:
        return
    had, has = _has_drop(evidence.old, old), _has_drop(evidence.new, c)
    if had and not has:
        text = evidence.gone_quiet(c)
        yield f"{text[:1].upper()}{text[1:]} now."
    elif has and not had:
        top = evidence.plus(c)
        plate = f", with its + plate at {top}" if top else ""
        yield (
            f"{c.start} and {c.end} are at different potentials now, so {c.name}, which had no "
            f"charge, takes some{plate}."
        )
    elif evidence.is_turned(c):
        yield f"The plates of {c.name} change signs: its + plate is now at {evidence.plus(c)}."


def _has_drop(levels: Mapping[str, Value], c: Capacitor) -> bool:
    return not same(levels[c.start], levels[c.end])
