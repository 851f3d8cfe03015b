"""From the trees of a text to its parts: names are looked up, unnamed capacitors are named.

Nothing here recurses, so a nest may be as deep as ``preparing`` allows.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple, cast

from grammar.levels import Way, group_of, level_of
from grammar.preparing import DEEPEST_NEST, Source
from grammar.records import Capacitor, Chain, Letter, Parallel, Part, Refusal, Worth
from grammar.refusals import nearest
from grammar.walking import Node, children, name_of, start_of
from grammar.worth import LETTER, is_unit, worth

# A clause that starts with one of these words misspelt looks like one that starts with a name.
_FIRST_WORDS = ("wire", "ends", "asked")


class Leaf(NamedTuple):
    """One capacitor of the outline; ``name`` is None until the unnamed ones are numbered."""

    name: str | None
    worth: Worth
    offset: int


class Branch(NamedTuple):
    """So many parts, joined in one way, follow in the outline."""

    way: Way
    members: int


class Leave(NamedTuple):
    """Everything inside the named part has been outlined."""

    name: str


class Group(NamedTuple):
    """Parts that share their brackets, or their clause."""

    nodes: list[Node]


class Builder:
    """Builds the parts of one text. ``definitions`` holds each ``name = …`` by its name."""

    def __init__(self, source: Source, definitions: Mapping[str, Node]) -> None:
        self.source = source
        self.definitions = definitions
        self.used: dict[str, int] = {}
        self.leaves: list[Leaf] = []
        self._open: set[str] = set()
        self._worths: dict[str, Worth] = {}
        self._alike: dict[str, list[str]] = {}
        for name in definitions:
            self._alike.setdefault(name.lower(), []).append(name)

    def outline(self, group: Group) -> list[Leaf | Branch]:
        """The parts of a group from the outside in, each branch before its members."""
        steps: list[Leaf | Branch] = []
        pending: list[tuple[int, Group | Leave | Node]] = [(0, group)]
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

    def capacitor(self, node: Node) -> Leaf:
        """The one capacitor of a line in a list of joins."""
        steps = self.outline(Group([node]))
        if len(steps) == 1 and isinstance(steps[0], Leaf):
            return steps[0]
        raise self.source.refusal(
            start_of(node),
            "One line of a list joins one capacitor to two points.",
            "Give each capacitor a line of its own, and each point between them a name.",
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

    def _step(self, node: Group | Node) -> Leaf | tuple[Way | None, list[Node]]:
        if isinstance(node, Group):
            return group_of(self.source, node.nodes)
        rule = name_of(node)
        if rule == "level":
            return level_of(self.source, node)
        if rule == "bracket":
            return None, [Group([child for child in node.children if name_of(child)])]
        if rule == "named":
            return self._named(node)
        if rule == "value":
            return self._value(node)
        way: Way = "series" if rule == "series_of" else "parallel"
        return way, children(node, "level")

    def _named(self, node: Node) -> Leaf | tuple[Way | None, list[Node]]:
        name, inner = node.children
        self._use(str(name), int(name.start_pos))
        if name_of(inner) != "value":
            return None, self._enter(str(name), inner)
        text = self.source.text_of(inner)
        if self._defined(text) not in (None, name):
            raise self.source.refusal(
                start_of(inner),
                f"{text} is the name of a part already.",
                f"Use {text} itself, or put brackets round all that {name} names.",
            )
        return Leaf(str(name), self._worth(inner), int(name.start_pos))

    def _value(self, node: Node) -> Leaf | tuple[Way | None, list[Node]]:
        text, offset = self.source.text_of(node), start_of(node)
        name = self._defined(text)
        if name is None:
            return self._undefined(text, node, offset)
        definition = self.definitions[name].children[1]
        self._use(name, offset)
        if name_of(definition) == "value":
            return Leaf(name, self._worth(definition), offset)
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
        text = self.source.text_of(node)
        if text not in self._worths:
            try:
                self._worths[text] = worth(text, "capacitance")
            except Refusal as refusal:
                raise self._explained(text, node, refusal) from None
        return self._worths[text]

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


def assemble(steps: list[Leaf | Branch], capacitors: list[Capacitor]) -> Part:
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
