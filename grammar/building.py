"""From the trees of a text to its parts: names are looked up, unnamed capacitors are named.

Nothing here recurses, so a nest may be as deep as ``preparing`` allows.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple, cast

from grammar.levels import Joint, group_of, level_of
from grammar.preparing import DEEPEST_NEST, Source
from grammar.quantity import is_unit
from grammar.records import Chain, Element, Letter, Parallel, Part, Refusal, Unknown, Worth
from grammar.refusals import nearest
from grammar.traits import traits_of
from grammar.walking import SIZED, Node, children, name_of, place_of, start_of
from grammar.worth import LETTER, worth

# A clause that starts with one of these words misspelt looks like one that starts with a name.
_FIRST_WORDS = ("wire", "ends", "asked", "then", "join", "ladder")
_WORTHS = ("value", "unknown", *SIZED)


class Leaf(NamedTuple):
    """One capacitor of the outline; ``name`` is None until the unnamed ones are numbered.

    ``said`` holds what stands beside its value: a rating, how it is charged.
    """

    name: str | None
    worth: Worth
    offset: int
    said: tuple[Node, ...] = ()


class Branch(NamedTuple):
    """So many parts, joined in one way, follow in the outline."""

    way: Joint
    members: int


class Leave(NamedTuple):
    """Everything inside the named part has been outlined."""

    name: str


class PartGroup(NamedTuple):
    """Parts that share their brackets, or their clause."""

    nodes: list[Node]


class Builder:
    """Builds the parts of one text.

    ``definitions`` holds each ``name = …`` by its name, ``said`` what is said beside it.
    """

    def __init__(
        self,
        source: Source,
        definitions: Mapping[str, Node],
        said: Mapping[str, Sequence[Node]],
    ) -> None:
        self.source = source
        self.definitions = definitions
        self._said = said
        self.used: dict[str, int] = {}
        self.leaves: list[Leaf] = []
        self._open: set[str] = set()
        self._worths: dict[str, Worth] = {}
        self._alike: dict[str, list[str]] = {}
        for name in definitions:
            self._alike.setdefault(name.lower(), []).append(name)

    def outline(self, group: PartGroup) -> list[Leaf | Branch]:
        """The parts of a group from the outside in, each branch before its members."""
        steps: list[Leaf | Branch] = []
        pending: list[tuple[int, PartGroup | Leave | Node]] = [(0, group)]
        while pending:
            depth, node = pending.pop()
            if isinstance(node, Leave):
                self._open.discard(node.name)
                continue
            found = self._step(node)
            if isinstance(found, Leaf):
                self.leaves.append(found)
                steps.append(found)
                continue
            way, inner = found
            if way is not None and len(inner) > 1:
                steps.append(Branch(way, len(inner)))
                depth += 1
                _refuse_too_deep(depth)
            pending.extend((depth, each) for each in reversed(inner))
        return steps

    def capacitor(self, node: Node, said: Sequence[Node] = ()) -> None:
        """Build the one capacitor of a line in a list of joins, with what is said after it."""
        steps = self.outline(PartGroup([node]))
        if len(steps) == 1 and isinstance(steps[0], Leaf):
            self.leaves[-1] = steps[0]._replace(said=(*steps[0].said, *said))
            return
        raise self.source.refusal(
            start_of(node),
            "One line of a list joins one capacitor to two points.",
            "Give each capacitor a line of its own, and each point between them a name.",
        )

    def capacitors(self) -> list[Element]:
        """All capacitors so far. Errors: ``Refusal`` as for ``names``, and for one rated twice."""
        return [
            Element(name, leaf.worth, *traits_of(self.source, leaf.said))
            for name, leaf in zip(self.names(), self.leaves, strict=True)
        ]

    def plain_worth(self, node: Node) -> Worth:
        """The worth of a value that is no part of a network, or of the part that it names.

        Errors: ``Refusal`` for a name of several parts, of a missing value or with a rating.
        """
        name = self._defined(self.source.text_of(node))
        if name is None:
            return self._worth(node)
        definition = self.definitions[name].children[1]
        self.used.setdefault(name, start_of(node))
        if name_of(definition) == "value" and name not in self._said:
            return self._worth(definition)
        raise self.source.refusal(
            start_of(node),
            f"{name} is more than a value here.",
            f"Give {name} one value with its unit and nothing more, as in {name} = 4 uF.",
        )

    def names(self) -> list[str]:
        """The names of all capacitors so far; unnamed ones get the next free Cn, in order.

        Errors: ``Refusal`` where some capacitors have numbers and others only letters.
        """
        self._refuse_numbers_with_letters()
        taken = set(self.definitions) | set(self.used)
        number = 0
        names: list[str] = []
        for leaf in self.leaves:
            name = leaf.name
            while name is None:
                number += 1
                name = f"C{number}" if f"C{number}" not in taken else None
            names.append(name)
        return names

    def _step(self, node: PartGroup | Node) -> Leaf | tuple[Joint | None, list[Node]]:
        if isinstance(node, PartGroup):
            return group_of(self.source, node.nodes)
        rule = name_of(node)
        if rule == "level":
            return level_of(self.source, node)
        if rule == "bracket":
            return None, [PartGroup([child for child in node.children if name_of(child)])]
        if rule == "named":
            return self._named(node)
        if rule == "value":
            return self._value(node)
        if rule in ("traited", "copied"):
            return self._traited(node)
        if rule in ("unknown", *SIZED):
            return Leaf(None, self._worth(node), start_of(node))
        way: Joint = "series" if rule == "series_of" else "parallel"
        return way, children(node, "level")

    def _traited(self, node: Node) -> Leaf:
        part, *said = node.children
        found = self._step(part)
        if isinstance(found, Leaf):
            return found._replace(said=(*found.said, *said))
        raise self._said_of_several(said[0])

    def _said_of_several(self, trait: Node) -> Refusal:
        return self.source.refusal(
            place_of(trait),
            "Only one capacitor can be rated or charged, and several stand before this.",
            "Write it after the value of each capacitor, as in 4 uF rated 100 V.",
        )

    def _named(self, node: Node) -> Leaf | tuple[Joint | None, list[Node]]:
        name, inner = node.children
        self._use(str(name), int(name.start_pos))
        if name_of(inner) not in _WORTHS:
            return None, self._enter(str(name), inner)
        text = self.source.text_of(inner)
        if self._defined(text) not in (None, name):
            raise self.source.refusal(
                start_of(inner),
                f"{text} is the name of a part already.",
                f"Use {text} itself, or put brackets round all that {name} names.",
            )
        return Leaf(str(name), self._worth(inner), int(name.start_pos))

    def _value(self, node: Node) -> Leaf | tuple[Joint | None, list[Node]]:
        text, offset = self.source.text_of(node), start_of(node)
        name = self._defined(text)
        if name is None:
            return self._undefined(text, node, offset)
        definition = self.definitions[name].children[1]
        self._use(name, offset)
        said = tuple(self._said.get(name, ()))
        if name_of(definition) in _WORTHS:
            return Leaf(name, self._worth(definition), offset, said)
        if said:
            raise self._said_of_several(said[0])
        return None, self._enter(name, definition)

    def _undefined(self, text: str, node: Node, offset: int) -> Leaf:
        if not LETTER.fullmatch(text):
            return Leaf(None, self._worth(node), offset)
        value = self._worth(node)
        if not isinstance(value, Letter) or len(text) == 1:
            return Leaf(None, value, offset)
        self._use(text, offset)
        return Leaf(text, value, offset)

    def _enter(self, name: str, inner: Node) -> list[Node]:
        self._open.add(name)
        return [inner, Leave(name)]

    def _defined(self, text: str) -> str | None:
        """The defined name that is meant; c1 means C1 where only C1 is defined."""
        if text in self.definitions:
            return text
        alike = self._alike.get(text.lower(), ())
        return alike[0] if len(alike) == 1 else None

    def _use(self, name: str, offset: int) -> None:
        if name in self._open:
            raise self.source.refusal(
                offset,
                f"{name} is used inside itself.",
                "Describe it by other parts, or give it another name.",
            )
        if name in self.used:
            raise self.source.refusal(
                offset,
                f"{name} stands in the network twice.",
                "One part has one place: give each its own name, as in C1 and C2.",
            )
        self.used[name] = offset

    def _worth(self, node: Node) -> Worth:
        if name_of(node) in SIZED:
            from grammar.sizes import read_sized  # seldom needed, and not small

            return read_sized(self.source, node)
        if name_of(node) == "unknown":
            return self._unknown(node)
        text = self.source.text_of(node)
        if text not in self._worths:
            try:
                self._worths[text] = worth(text, "capacitance")
            except Refusal as refusal:
                raise self._explained(text, node, refusal) from None
        return self._worths[text]

    def _unknown(self, node: Node) -> Unknown:
        """A missing value; a unit beside the ? must be one of capacitance."""
        text = self.source.text_of(node).lstrip("? ")
        if text:
            self._refuse_unless_capacitance(text, node)
        return Unknown()

    def _refuse_unless_capacitance(self, unit_text: str, node: Node) -> None:
        try:
            worth(f"1 {unit_text}", "capacitance")
        except Refusal as refusal:
            raise self.source.refusal(start_of(node), refusal.found, "Write C2 = ?.") from None

    def _explained(self, text: str, node: Node, refusal: Refusal) -> Refusal:
        """The same refusal with its place, and with the likely slip where one is near."""
        found, cure = refusal.found, refusal.cure
        if re.fullmatch(r"[A-Za-z]\w*'*", text) and not is_unit(text):
            meant = nearest(text, [*self.definitions, *_FIRST_WORDS])
            found = f"{text} has no value." if meant or len(text) > 2 else found
            cure = _did_you_mean(meant, text) if meant or len(text) > 2 else cure
        return self.source.refusal(start_of(node), found, cure)

    def _refuse_numbers_with_letters(self) -> None:
        letters = [leaf for leaf in self.leaves if isinstance(leaf.worth, Letter)]
        if not letters or len(letters) == len(self.leaves):
            return
        leaf = letters[0]
        if all(isinstance(each.worth, (Letter, Unknown)) for each in self.leaves):
            raise self.source.refusal(
                leaf.offset,
                "A letter and a missing value stand in one network.",
                "A missing value is found from numbers: give the others one each, as in 4 uF.",
            )
        symbol = leaf.name or cast(Letter, leaf.worth).symbol
        others = [name for name in self.definitions if name != leaf.name]
        meant = nearest(symbol, [name for name in others if name not in self.used])
        raise self.source.refusal(
            leaf.offset,
            f"{symbol} has no number, though other capacitors have one.",
            _did_you_mean(meant, symbol),
        )


def _refuse_too_deep(depth: int) -> None:
    if depth > DEEPEST_NEST:
        raise Refusal(
            f"The parts stand more than {DEEPEST_NEST:,} deep in one another.".replace(",", " "),
            "Write the network with fewer parts inside parts.",
        )


def _did_you_mean(meant: str | None, name: str) -> str:
    if meant:
        return f"Did you mean {meant}? If not, give it a value, as in {name} = 4 uF."
    return f"Give it a value, as in {name} = 4 uF."


def assemble(steps: list[Leaf | Branch], capacitors: list[Element]) -> Part:
    """Fold an outline into one part; ``capacitors`` are its leaves in the same order.

    A chain that is directly inside a chain is one chain with it, and so for side by side:
    what is then written reads back as the same part.
    """
    rest = list(capacitors)
    done: list[Part] = []
    for step in reversed(steps):
        if isinstance(step, Leaf):
            done.append(rest.pop())
            continue
        members = [done.pop() for _ in range(step.members)]
        kind = Chain if step.way == "series" else Parallel
        flat: list[Part] = []
        for member in members:
            flat.extend(member.members if isinstance(member, kind) else (member,))
        done.append(kind(tuple(flat)))
    return done[0]
