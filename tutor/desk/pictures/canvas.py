"""What pictures are made of, strokes, words, discs and patches, and the SVG they become.

Lengths are in pixels of CSS, from the top left. One colour, ``currentColor``, does for all ink, so
that a page, a dark screen and a sheet of paper each have their own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from html import escape
from types import MappingProxyType
from typing import Final, Literal, NamedTuple, TypeAlias

NAME_SIZE: Final = 15
VALUE_SIZE: Final = 14
THIN: Final = 1.6
THICK: Final = 2.6
ROUND_WORDS: Final = 1.08  # letters of other fonts may be so much wider
_WIDE: Final = frozenset("mwMWΩ%≈=+−½→")
_NARROW: Final = frozenset(" ijlI.,;:'|()!-ft1")
SERIFS: Final = "Libertinus Serif, Georgia, Times New Roman, serif"

Theme: TypeAlias = Literal["light", "dark", "page"]
# Ink and paper of each; a page of its own lends its ink and shows through.
COLOURS: Mapping[Theme, tuple[str, str] | None] = MappingProxyType({
    "light": ("#1a1a1a", "#ffffff"), "dark": ("#f0f0f0", "#15181c"), "page": None,
})


class Stroke(NamedTuple):
    """A line through these points. ``of`` names what it belongs to, ``part`` what it is of it."""

    points: tuple[tuple[float, float], ...]
    part: Literal["wire", "plate", "guide"] = "wire"
    of: str = ""


class Lettering(NamedTuple):
    """Words on one line, centred on ``x`` unless anchored, with their base line at ``y``."""

    x: float
    y: float
    text: str
    part: Literal["name", "value", "point", "sign", "note"] = "note"
    of: str = ""
    size: int = VALUE_SIZE
    anchor: Literal["start", "middle", "end"] = "middle"


class Disc(NamedTuple):
    """A dot where lines are joined, or the open ring of a terminal."""

    x: float
    y: float
    radius: float
    is_open: bool = False
    of: str = ""


class Patch(NamedTuple):
    """A rectangle filled with the ink, so thin as ``shade`` (0 to 1) says."""

    x: float
    y: float
    width: float
    height: float
    shade: float


Mark: TypeAlias = Stroke | Lettering | Disc | Patch


class Picture(NamedTuple):
    """Marks on an area; ``title`` and ``words`` say the same to those who do not see it."""

    width: float
    height: float
    marks: tuple[Mark, ...]
    title: str
    words: str


def width_of(text: str, size: int) -> float:
    """About how wide the words are, rather too much than too little."""
    ems = (
        0.92 if each in _WIDE else 0.36 if each in _NARROW else 0.72 if each.isupper() else 0.56
        for each in text
    )
    return sum(ems) * size * ROUND_WORDS


def moved(marks: Iterable[Mark], right: float, down: float) -> Iterator[Mark]:
    """The same marks elsewhere."""
    for mark in marks:
        if isinstance(mark, Stroke):
            yield mark._replace(points=tuple((x + right, y + down) for x, y in mark.points))
        else:
            yield mark._replace(x=mark.x + right, y=mark.y + down)


def beside(
    pictures: Sequence[tuple[Picture, str]], title: str, sign: str = "→", gap: float = 44
) -> Picture:
    """Pictures in a row, each with a line of words under it and a sign between them."""
    tall = max(picture.height for picture, _ in pictures)
    marks: list[Mark] = []
    at = 0.0
    for number, (picture, said) in enumerate(pictures):
        if number:
            marks.append(Lettering(at + gap / 2, tall / 2 + 5, sign, size=20))
            at += gap
        width = max(picture.width, width_of(said, VALUE_SIZE) + 12)
        marks += moved(picture.marks, at + (width - picture.width) / 2, tall - picture.height)
        marks.append(Lettering(at + width / 2, tall + 16, said))
        at += width
    words = " ".join(f"{said}: {picture.words}" for picture, said in pictures)
    return Picture(at, tall + 26, tuple(marks), title, words)


def stacked(pictures: Sequence[Picture], title: str, words: str, gap: float = 16) -> Picture:
    """Pictures one under the other."""
    marks: list[Mark] = []
    down = 0.0
    for picture in pictures:
        marks += moved(picture.marks, 0, down)
        down += picture.height + gap
    width = max(picture.width for picture in pictures)
    return Picture(width, down - gap, tuple(marks), title, words)


def svg(picture: Picture, theme: Theme = "page") -> str:
    """A whole SVG file, with its words for screen readers."""
    colours = COLOURS[theme]
    width, height = _short(picture.width), _short(picture.height)
    ink = f' color="{colours[0]}"' if colours else ""
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" role="img" aria-label="{escape(picture.words)}"{ink}>',
        f"<title>{escape(picture.title)}</title>",
        f"<desc>{escape(picture.words)}</desc>",
    ]
    if colours:
        lines.append(f'<rect width="{width}" height="{height}" fill="{colours[1]}"/>')
    lines += map(_drawn, picture.marks)
    return "\n".join([*lines, "</svg>\n"])


def _drawn(mark: Mark) -> str:
    if isinstance(mark, Stroke):
        path = "L".join(f"{_short(x)} {_short(y)}" for x, y in mark.points)
        width = THICK if mark.part == "plate" else THIN
        dashes = ' stroke-dasharray="3 4" stroke-opacity="0.55"' if mark.part == "guide" else ""
        return (
            f'<path class="{mark.part}"{_of(mark.of)} d="M{path}" fill="none" '
            f'stroke="currentColor" stroke-width="{width}" stroke-linejoin="round"{dashes}/>'
        )
    if isinstance(mark, Lettering):
        return (
            f'<text class="{mark.part}"{_of(mark.of)} x="{_short(mark.x)}" y="{_short(mark.y)}" '
            f'font-family="{SERIFS}" font-size="{mark.size}" text-anchor="{mark.anchor}" '
            f'fill="currentColor">{escape(mark.text)}</text>'
        )
    if isinstance(mark, Disc):
        inside = "none" if mark.is_open else "currentColor"
        return (
            f'<circle class="joint"{_of(mark.of)} cx="{_short(mark.x)}" cy="{_short(mark.y)}" '
            f'r="{_short(mark.radius)}" fill="{inside}" stroke="currentColor"/>'
        )
    return (
        f'<rect class="patch" x="{_short(mark.x)}" y="{_short(mark.y)}" '
        f'width="{_short(mark.width)}" height="{_short(mark.height)}" fill="currentColor" '
        f'fill-opacity="{_short(mark.shade)}" stroke="currentColor" stroke-width="0.8"/>'
    )


def _of(name: str) -> str:
    return f' data-of="{escape(name)}"' if name and name.isprintable() else ""


def _short(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")
