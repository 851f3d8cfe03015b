"""How the parts of one level are joined: by one sign, by one word, or as copies."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, TypeAlias

from grammar.preparing import Source
from grammar.records import Refusal
from grammar.walking import Node, name_of, start_of, tokens

MOST_COPIES = 2_000

Joint: TypeAlias = Literal["series", "parallel"]

_COUNTS = ("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven")
_JOINTS: Mapping[str, Joint] = {"in_series_with": "series", "in_parallel_with": "parallel"}
_KINDS: Mapping[str, Joint] = {"in_series": "series", "in_parallel": "parallel"}


def group_of(source: Source, nodes: list[Node]) -> tuple[Joint | None, list[Node]]:
    """The way the parts of one clause or one pair of brackets are joined, and the parts.

    Errors: ``Refusal`` where parts stand in a list and nothing says how they are joined.
    """
    ways = [_KINDS[name_of(node)] for node in nodes if name_of(node) in _KINDS]
    parts = [node for node in nodes if name_of(node) not in (*_KINDS, "times")]
    if name_of(nodes[0]) == "times":
        return ways[0], parts * _copies(source, nodes[0])
    if not ways and len(parts) > 1:
        raise source.refusal(
            start_of(parts[1]),
            "Nothing says how these parts are joined.",
            "End the list with in series or in parallel, or join them with -- or ||.",
        )
    if ways and len(parts) == 1:
        raise source.refusal(
            start_of(nodes[1]),
            f"Only one part stands before in {ways[0]}.",
            "Name two parts or more, as in 2 uF and 3 uF in parallel.",
        )
    if ways:
        _refuse_joined_members(source, parts)
    return (ways[0] if ways else None), parts


def level_of(source: Source, node: Node) -> tuple[Joint | None, list[Node]]:
    """The one way in which the parts of a level are joined, and the parts.

    Errors: ``Refusal`` that shows both readings where series and parallel are mixed.
    """
    joints = [child for child in node.children if name_of(child) in _JOINTS]
    parts = [child for child in node.children if name_of(child) not in _JOINTS]
    ways = [_JOINTS[name_of(joint)] for joint in joints]
    other = next((index for index, way in enumerate(ways) if way != ways[0]), None)
    if other is not None:
        texts = [source.text_of(part) for part in parts]
        raise _mixed(source, start_of(joints[other]), texts, ways)
    return (ways[0] if ways else None), parts


def _mixed(source: Source, offset: int, texts: list[str], ways: list[Joint]) -> Refusal:
    readings = [_with_brackets(texts, ways, inner) for inner in ("parallel", "series")]
    if len(readings[0]) > 100:
        readings = ["C1 -- (C2 || C3)", "(C1 -- C2) || C3"]
    return source.refusal(
        offset,
        "Series and parallel stand side by side here, which can be read in two ways.",
        f"Put brackets: {readings[0]} or {readings[1]}.",
    )


def _with_brackets(texts: list[str], ways: list[Joint], inner: str) -> str:
    """The level written with brackets round the parts that are joined in the inner way."""
    runs: list[list[str]] = [[texts[0]]]
    for text, way in zip(texts[1:], ways, strict=True):
        if way == inner:
            runs[-1].append(text)
        else:
            runs.append([text])
    inside, outside = (" || ", " -- ") if inner == "parallel" else (" -- ", " || ")
    if len(runs) == 1:
        return inside.join(runs[0])
    return outside.join(f"({inside.join(run)})" if len(run) > 1 else run[0] for run in runs)


def _refuse_joined_members(source: Source, parts: list[Node]) -> None:
    joined = next((part for part in parts if len(part.children) > 1), None)
    if joined is not None:
        raise source.refusal(
            start_of(joined),
            "A part of this list is itself joined from parts, without brackets.",
            "Put brackets round it, as in (2 uF -- 3 uF) and 6 uF in parallel.",
        )


def _copies(source: Source, node: Node) -> int:
    return count_of(source, node, range(2, MOST_COPIES + 1), "capacitors")


def count_of(source: Source, node: Node, allowed: range, things: str) -> int:
    """A whole number in figures or as a word. Errors: ``Refusal`` for one out of range."""
    first = next(tokens(node), None)
    if first is None:
        word = name_of(node.children[0])
        return _COUNTS.index(word) + 2 if word in _COUNTS else 12
    is_whole = len(first) <= 4 and first.isascii() and first.isdigit()
    if is_whole and int(first) in allowed:
        return int(first)
    raise source.refusal(
        int(first.start_pos),
        f"This is no number of {things} that can be read.",
        f"Write a whole number from {allowed[0]} to {allowed[-1]:,}.".replace(",", " "),
    )
