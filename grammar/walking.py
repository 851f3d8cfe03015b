"""Small steps over the parser's trees, none of them recursive."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final, TypeAlias

Node: TypeAlias = Any  # a tree of lark's, or a token, which is a str with its offsets

# The rules of capacitors that are given by their measures.
SIZED: Final = ("plates", "sphere", "spheres", "cable")


def name_of(node: Node) -> str:
    """The name of a node's rule, "" for a token."""
    return "" if isinstance(node, str) else str(node.data)


def in_order(node: Node) -> Iterator[Node]:
    """The node and everything in it, in the order of the text."""
    pending = [node]
    while pending:
        node = pending.pop()
        yield node
        if not isinstance(node, str):
            pending.extend(reversed(node.children))


def tokens(node: Node) -> Iterator[Node]:
    """The tokens that the grammar keeps, in the order of the text."""
    return (each for each in in_order(node) if isinstance(each, str))


def start_of(node: Node) -> int:
    """The offset of the first token in a node."""
    return next((int(token.start_pos) for token in tokens(node)), 0)


def span_of(node: Node) -> tuple[int, int]:
    """The offsets of a node's first character and of the one after its last."""
    start, end = start_of(node), 0
    for token in tokens(node):
        end = int(token.end_pos)
    return start, max(start, end)


def children(node: Node, *names: str) -> list[Node]:
    """The children of a node made by one of the named rules."""
    return [child for child in node.children if name_of(child) in names]


def place_of(node: Node) -> int:
    """The offset of the word that a node starts with, past the comma that belongs to it."""
    word = str(node.children[0])
    return start_of(node) + len(word) - len(word.lstrip(", "))
