"""A picture read back from its SVG alone: its words as boxes, its lines, and what joins what.

Nothing of the program is used but the file it wrote: the widths of letters are measured here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import combinations, pairwise
from typing import NamedTuple
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
TOUCH = 0.05
INK = 1.3  # half of the widest line
# Parts of the size of a font; capitals and digits of common serif fonts are no wider, nor higher.
WIDTH, WIDE, NARROW, HIGH, DEEP = 0.54, 0.78, 0.3, 0.70, 0.22


class Box(NamedTuple):
    """The room of some words."""

    left: float
    top: float
    right: float
    bottom: float
    part: str
    of: str
    text: str

    def meets(self, other: Box) -> bool:
        return (
            self.left < other.right and other.left < self.right
            and self.top < other.bottom and other.top < self.bottom
        )


class Segment(NamedTuple):
    """A straight line of a picture, level or upright but for guides."""

    x1: float
    y1: float
    x2: float
    y2: float
    part: str
    of: str

    @property
    def room(self) -> Box:
        xs, ys = sorted((self.x1, self.x2)), sorted((self.y1, self.y2))
        return Box(xs[0] - INK, ys[0] - INK, xs[1] + INK, ys[1] + INK, self.part, self.of, "")

    @property
    def tips(self) -> tuple[tuple[float, float], tuple[float, float]]:
        return (self.x1, self.y1), (self.x2, self.y2)

    def holds(self, x: float, y: float) -> bool:
        """Whether a place is on the line."""
        xs, ys = sorted((self.x1, self.x2)), sorted((self.y1, self.y2))
        return xs[0] - TOUCH <= x <= xs[1] + TOUCH and ys[0] - TOUCH <= y <= ys[1] + TOUCH


class Seen(NamedTuple):
    """All that is in one SVG file."""

    width: float
    height: float
    words: tuple[Box, ...]
    lines: tuple[Segment, ...]
    joints: tuple[Segment, ...]
    alternative: str


def seen(svg: str) -> Seen:
    root = ElementTree.fromstring(svg)
    words = tuple(_box(each) for each in root.iter(f"{SVG}text"))
    lines = tuple(line for each in root.iter(f"{SVG}path") for line in _segments(each))
    joints = tuple(
        Segment(x - r, y, x + r, y, "joint", each.get("data-of", ""))
        for each in root.iter(f"{SVG}circle")
        for x, y, r in [[float(each.get(name, 0)) for name in ("cx", "cy", "r")]]
    )
    size = (float(root.get("width", 0)), float(root.get("height", 0)))
    return Seen(*size, words, lines, joints, root.get("aria-label", ""))


def _box(text: ElementTree.Element) -> Box:
    said, size = text.text or "", float(text.get("font-size", 0))
    x, y = float(text.get("x", 0)), float(text.get("y", 0))
    wide = size * sum(
        WIDE if each.isupper() or each in "mw" else NARROW if each in " ,.;:il" else WIDTH
        for each in said
    )
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[text.get("text-anchor", "start")]
    return Box(
        left, y - HIGH * size, left + wide, y + DEEP * size,
        text.get("class", ""), text.get("data-of", ""), said,
    )


def _segments(path: ElementTree.Element) -> Iterator[Segment]:
    stops = [tuple(map(float, stop)) for stop in re.findall(
        r"[ML](-?[\d.]+) (-?[\d.]+)", path.get("d", "")
    )]
    for (x1, y1), (x2, y2) in pairwise(stops):
        yield Segment(x1, y1, x2, y2, path.get("class", ""), path.get("data-of", ""))


def clashes(picture: Seen) -> list[str]:
    """Words on a line or on other words, or beyond the edge."""
    found = []
    for word in picture.words:
        if word.left < 0 or word.top < 0 or word.right > picture.width or (
            word.bottom > picture.height
        ):
            found.append(f"{word.text} is over the edge")
        for line in picture.lines:
            if line.part != "guide" and word.meets(line.room):
                found.append(f"{word.text} is on a line of {line.of}")
    for one, two in combinations(picture.words, 2):
        if one.meets(two):
            found.append(f"{one.text} is on {two.text}")
    return found


def metal(picture: Seen) -> dict[tuple[str, int], set[int]]:
    """Which pieces of metal each name touches: points by (name, 0), the leads of capacitors by
    (name, 0) and (name, 1). A line that ends on another is joined to it, one that crosses is not.
    """
    wires = [each for each in picture.lines if each.part == "wire"] + [*picture.joints]
    home = list(range(len(wires)))

    def root(at: int) -> int:
        while home[at] != at:
            at = home[at]
        return at

    for one, two in combinations(range(len(wires)), 2):
        if any(wires[two].holds(*tip) for tip in wires[one].tips) or any(
            wires[one].holds(*tip) for tip in wires[two].tips
        ):
            home[root(one)] = root(two)
    found: dict[tuple[str, int], set[int]] = {}
    plates = {each.of for each in picture.lines if each.part == "plate"}
    for at, wire in enumerate(wires):
        lead = 0
        if wire.of in plates:
            lead = sum(1 for other in wires[:at] if other.of == wire.of)
        found.setdefault((wire.of, lead), set()).add(root(at))
    return found


def names(boxes: Iterable[Box], part: str) -> list[str]:
    return sorted(box.text for box in boxes if box.part == part)
