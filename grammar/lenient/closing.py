"""What a table says once the text is over: what was counted, sought or given is settled."""

from __future__ import annotations

from grammar.lenient.facts import quantity_of, settled_facts
from grammar.lenient.mentions import HowTied, Supplied
from grammar.lenient.tabletop import (
    Cap,
    Done,
    Knot,
    Tabletop,
    Tied,
    flat,
    leaves,
)
from grammar.records import Refusal


def completed(table: Tabletop) -> Tabletop:
    """The table with a value for every capacitor.

    Errors: ``Refusal`` for one that has none, or where some that were counted are not described.
    """
    for index in table.blanks if table.stock else ():
        table = table.with_cap(index, table.caps[index]._replace(worth=table.stock))
    table = _with_one_pair_of_points(_with_the_sought(_without_spare_blanks(table)))
    table = _all_in_letters(table)
    if any(table.caps[index].promised for index in _standing(table)):
        raise Refusal(
            "What is in a group that is spoken of is not said.", "Say it after the group."
        )
    if not table.caps:
        raise Refusal(
            "No capacitor with a value is described here.", "Say which there are, as in 4 uF."
        )
    if table.blanks:
        raise Refusal(*_unsaid(table))
    if table.counted > len(table.caps):
        raise Refusal(
            f"The text counts {table.counted} capacitors, and {len(table.caps)} are described.",
            "Say the value of each.",
        )
    return _parted_while_charged(_with_starts(table))


def _all_in_letters(table: Tabletop) -> Tabletop:
    """Names of which none has a value are values in letters."""
    if len(table.blanks) < len(table.caps) or not all(cap.name for cap in table.caps):
        return table
    plain = [cap.name.replace("C_", "C") for cap in table.caps]  # as the notation writes them
    letters = plain if len(set(plain)) == len(plain) else [cap.name for cap in table.caps]
    told = zip(table.caps, letters, strict=True)
    caps = tuple(cap._replace(worth=letter, name="") for cap, letter in told)
    return table if len(caps) < 2 else table._replace(caps=caps)


def _with_one_pair_of_points(table: Tabletop) -> Tabletop:
    """Two points between which all stands are the ends."""
    pairs = {points for _, points in table.places}
    if len(pairs) != 1:
        return table
    if len(table.roots) > 1:
        table = table._replace(roots=(flat("parallel", table.roots),))
    return table._replace(places=(), ends=table.ends or next(iter(pairs)))


def _standing(table: Tabletop) -> set[int]:
    return {leaf for root in table.roots for leaf in leaves(root)}


def are_sought(table: Tabletop) -> bool:
    """Whether so much is given of the whole that the capacitors without a value are to be found."""
    facts = {(s.quantity, s.text, s.over) for s in table.supplies} | {*table.apart}
    return 0 < len(table.blanks) <= len(table.totals) + max(0, len(facts) - 1)


def _with_the_sought(table: Tabletop) -> Tabletop:
    """Where the whole is given, a capacitor without a value is the one that is sought; where none
    is, what the whole makes is to be shown.
    """
    if are_sought(table):
        for at in table.blanks:
            table = table.with_cap(at, table.caps[at]._replace(worth="?"))
        return table
    if not table.totals:
        return table
    if len(table.caps) > 1 and not any(cap.worth in ("", "?") for cap in table.caps):
        return table._replace(totals=(), wishes=(*table.wishes, ("total", ())))
    return table


def _without_spare_blanks(table: Tabletop) -> Tabletop:
    """Capacitors that were only counted go where as many were described one by one."""
    valued = len(table.caps) - len(table.blanks)
    spare = [index for index in table.blanks if index in table.roots and not table.caps[index].name]
    if not spare or valued < table.counted:
        return table
    moved = {
        old: new for new, old in enumerate(i for i in range(len(table.caps)) if i not in spare)
    }

    def at(tree: Knot) -> Knot:
        return (
            moved[tree] if isinstance(tree, int) else Tied(tree.way, tuple(map(at, tree.members)))
        )

    return table._replace(
        caps=tuple(cap for index, cap in enumerate(table.caps) if index in moved),
        roots=tuple(at(root) for root in table.roots if root not in spare),
        places=tuple((at(tree), points) for tree, points in table.places if tree not in spare),
        wishes=tuple((q, tuple(moved[i] for i in whom if i in moved)) for q, whom in table.wishes),
        changes=tuple(
            d._replace(whom=tuple(moved[i] for i in d.whom if i in moved)) for d in table.changes
        ),
        apart=tuple((moved[i], text) for i, text in table.apart if i in moved),
        last=(),
        groups=(),
    )


def _unsaid(table: Tabletop) -> tuple[str, str]:
    cap = table.caps[table.blanks[0]]
    who = cap.name or "one of the capacitors"
    return f"Nothing says what the capacitance of {who} is.", "Give it, as in C1 = 4 uF."


def joined_up(table: Tabletop) -> list[Tabletop]:
    """The table with one root; in each way where the text does not say how roots are joined."""
    if is_story(table):
        return [table]
    if len(table.roots) == 1:
        root = table.roots[0]
        if any(_holds_together(each) for each in table.roots):
            return [table._replace(roots=(_as(root, way),)) for way in ("series", "parallel")]
        return [table]
    if any(_holds_together(each) for each in table.roots):
        raise Refusal("It is not clear how these are joined.", "Say in series or in parallel.")
    ways: tuple[HowTied, ...] = ("parallel",) if table.branched else ("series", "parallel")
    return [table._replace(roots=(flat(way, table.roots),)) for way in ways]


def _holds_together(tree: Knot) -> bool:
    return isinstance(tree, Tied) and (
        tree.way == "together" or any(map(_holds_together, tree.members))
    )


def _as(tree: Knot, way: str) -> Knot:
    if isinstance(tree, int):
        return tree
    own = way if tree.way == "together" else tree.way
    return flat(own, [_as(member, way) for member in tree.members])  # type: ignore[arg-type]


def is_charged(cap: Cap) -> bool:
    """Whether a capacitor begins with a charge."""
    return cap.start not in ("", "0")


def is_story(table: Tabletop) -> bool:
    """Whether charged capacitors that stand apart are joined."""
    if len(table.roots) != 1 or not isinstance(table.roots[0], Tied):
        return False
    root = table.roots[0]
    single = all(isinstance(member, int) for member in root.members)
    return single and root.way != "series" and any(is_charged(table.caps[i]) for i in leaves(root))


def _with_starts(table: Tabletop) -> Tabletop:
    """A p.d. said of single capacitors is what each begins with, where such are joined later."""
    if len(table.roots) > 1 and (table.apart or any(map(is_charged, table.caps))):
        table = _joined_as_told(table)
    if not table.apart or len(table.roots) > 1:
        return table
    root = table.roots[0]
    whom = [index for index, _ in table.apart]
    joined_later = (
        table.alike
        or table.crossed
        or len(set(whom)) > 1
        or any(cap.start == "0" for cap in table.caps)
        or any(done.kind in ("remove", "join") for done in table.changes)
    )
    is_chain = isinstance(root, Tied) and root.way == "series"
    if is_chain or not joined_later or len(set(whom)) < len(whom) or len(table.caps) == 1:
        return table
    for index, text in table.apart:
        table = table.with_cap(index, table.caps[index]._replace(start=text))
    return table._replace(apart=())


def _joined_as_told(table: Tabletop) -> Tabletop:
    """Charged capacitors that nothing says how to join: they are put together, if the text speaks
    of a charge left on them, or of one that is empty.
    """
    single = all(isinstance(root, int) for root in table.roots)
    told = table.alike or table.crossed or any(cap.start == "0" for cap in table.caps)
    told = told or any(done.kind == "remove" for done in table.changes)
    if not (single and told):
        return table
    return table._replace(roots=(Tied("together", table.roots),))


def _parted_while_charged(table: Tabletop) -> Tabletop:
    """Charged side by side, taken apart and joined again: each begins with the p.d. of all."""
    root = table.roots[0] if table.roots else None
    side_by_side = isinstance(root, Tied) and root.way == "parallel"
    taken_off = any(done.kind == "remove" for done in table.changes)
    volts = [each.text for each in table.supplies if each.quantity == "voltage"]
    if (
        not (side_by_side and taken_off and table.crossed and len(volts) == 1)
        or len(table.roots) > 1
    ):
        return table
    for index in leaves(table.roots[0]):
        table = table.with_cap(index, table.caps[index]._replace(start=volts[0]))
    return table._replace(supplies=())


def settled_up(table: Tabletop) -> Tabletop:
    """The table with all that it says of the whole, or of a part, as a supply and givens.

    Errors: ``Refusal`` where more is given than can be used.
    """
    table = _charge_as_supply(table)
    return table._replace(apart=()) if is_story(table) else settled_facts(table)


def supply_states(table: Tabletop) -> list[Tabletop]:
    """The table; with the supply taken away as well where a capacitor alone was charged, is changed
    later, and the text does not say whether the supply is still there.
    """
    charged = len(table.caps) == 1 and quantity_of(table.caps[0].start) == "voltage"
    charged = charged and is_charged(table.caps[0])
    kinds = {done.kind for done in table.changes}
    if not charged or table.stays or not kinds & {"fill", "gap"} or kinds & {"remove", "put"}:
        return [table]
    return [table, table._replace(changes=(Done("remove"), *table.changes))]


def _charge_as_supply(table: Tabletop) -> Tabletop:
    """Of a capacitor alone, what it was charged to is the supply."""
    charged = [cap.start for cap in table.caps if is_charged(cap)]
    if len(table.caps) != 1 or not charged or table.supplies:
        return table
    caps = (table.caps[0]._replace(start=""),)
    supplied = Supplied(quantity_of(charged[0]), charged[0])
    return table._replace(caps=caps, supplies=(supplied,))
