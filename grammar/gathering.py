"""What every kind of text has beside its network: ends, a supply, questions, givens, changes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from grammar.asking import questions
from grammar.building import Builder
from grammar.clauses import Sorted, joined_next
from grammar.points import Ends, two_points
from grammar.preparing import Source
from grammar.records import Body, Charging, Description, Element, Given, Plates, Unknown
from grammar.traits import read_worth
from grammar.walking import Node, children, name_of, place_of, start_of


class Text(NamedTuple):
    """A text taken apart: what builds it, its clauses, and which ``V1 = 8 V`` give something."""

    builder: Builder
    clauses: Sorted
    givens: list[Node]

    @property
    def source(self) -> Source:
        """The text as written."""
        return self.builder.source


def finish(
    text: Text, base: Description, capacitors: Sequence[Element], points: Iterable[str]
) -> Description:
    """The description with all that is asked, given and done next.

    ``points`` are those that a wire may be put between. Errors: ``Refusal`` as for each of them.
    """
    names = [capacitor.name for capacitor in capacitors]
    unsaid = [each.name for each in capacitors if isinstance(each.worth, (Unknown, Plates, Body))]
    if unsaid or text.givens:
        from grammar.givens import check_missing, read_givens  # most texts give all values

        check_missing(text.source, text.builder.leaves, text.givens)
        base = _with_givens(base, read_givens(text.source, text.givens, names), unsaid)
    told = text.clauses
    if told.changes:
        from grammar.afterwards import ChangeScope, read_changes  # and most have no changes

        worths = {each.name: each.worth for each in capacitors}
        scope = ChangeScope(worths, frozenset(points), base.supply)
        base = base._replace(changes=read_changes(text.source, told.changes, scope))
        altered = [change for change in base.changes if change.kind in ("fill", "empty", "gap")]
        unsaid += [name for change in altered for name in change.names]
    return base._replace(
        asked=questions(text.source, told.asked, names, unsaid, bool(told.changes))
    )


def _with_givens(
    base: Description, givens: tuple[Given, ...], unsaid: Sequence[str]
) -> Description:
    """With what is given beside the network; V = 12 V alone is said of the supply."""
    if len(givens) == 1 and not unsaid and base.supply is None:
        (given,) = givens
        if given.of is None and given.quantity in ("voltage", "charge"):
            return base._replace(supply=Charging(given.quantity, given.worth))
    return base._replace(givens=givens)


def capacitors_of(text: Text) -> list[Element]:
    """The capacitors built so far. Errors: ``Refusal`` for a part defined and not used."""
    found = text.builder.capacitors()
    refuse_unused(text)
    return found


def refuse_unused(text: Text) -> None:
    """Errors: ``Refusal`` for a part that is defined and not used."""
    for name, node in text.builder.definitions.items():
        if name in text.builder.used:
            continue
        if name in names_joined(text):
            raise text.source.refusal(
                start_of(node),
                f"{name} stands apart from the network.",
                "To join it later, write the network as a list of joins: C1 = 4 uF from A to P.",
            )
        raise text.source.refusal(
            start_of(node),
            f"{name} is described, but it has no place in the network.",
            f"Use {name} in the network, or leave it out.",
        )


def names_joined(text: Text) -> set[str]:
    """The names in the changes that join, as they are typed."""
    joins = [each.children[-1] for each in text.clauses.changes if joined_next(each)]
    return {str(token) for join in joins for token in join.children if not name_of(token)}


def ends_of(text: Text) -> Ends | None:
    """The ends, from their own clause or from the question "between A and B".

    Errors: ``Refusal`` for ends named twice, or other ends in a question.
    """
    source, clauses = text.source, text.clauses
    if len(clauses.ends) > 1:
        raise source.refusal(
            start_of(clauses.ends[1]),
            "The ends are named twice.",
            "Keep one of the two clauses.",
        )
    asked = [
        node
        for each in clauses.asked
        for node in children(each, "wanted")
        if children(node, "point")
    ]
    found = [two_points(source, node) for node in (*clauses.ends, *asked)]
    for node, ends in zip(asked, found[len(clauses.ends) :], strict=True):
        if name_of(node.children[0]) != "capacitance":
            raise source.refusal(
                ends.offsets[0],
                "Only the equivalent capacitance is asked between two points.",
                "Ask for the p.d. across a capacitor, as in V2.",
            )
        if set(ends.names) != set(found[0].names):
            raise source.refusal(
                ends.offsets[0],
                f"The ends are {found[0].names[0]} and {found[0].names[1]} already.",
                "Ask between the ends, or name other ends.",
            )
    return found[0] if found else None


def supply_of(text: Text) -> Charging | None:
    """The p.d. or the charge given to the whole. Errors: ``Refusal`` for a second one."""
    nodes = text.clauses.supplies
    if len(nodes) > 1:
        raise text.source.refusal(
            place_of(nodes[1]),
            "A second supply is named here.",
            "Give either one p.d. after across or one charge after holding.",
        )
    if not nodes:
        return None
    value = children(nodes[0], "value")[0]
    if name_of(nodes[0]) == "across":
        return read_worth(text.source, value, "voltage")
    return read_worth(text.source, value, "charge")
