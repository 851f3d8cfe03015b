"""The first screen: what the program does, and three networks to begin with.

The three belong to one bench: visitors of a small museum turn a crank, and capacitors keep a
lamp alight. Nothing heavy is imported here, since the first prompt waits for it.
"""

from __future__ import annotations

from typing import Final, NamedTuple


class Example(NamedTuple):
    """A network to begin with: what it is, and its text."""

    title: str
    text: str


EXAMPLES: Final = (
    Example("The lamp at the door", "3 uF -- 7 uF, across 20 V"),
    Example("The lamp in the hall", "6 uF -- (9 uF || 5 uF), across 15 V"),
    Example(
        "Behind the bench, a list with a wire",
        "C1 = 4 uF from A to P; C2 = 12 uF from P to R; C3 = 9 uF from P to B; "
        "wire from R to B; C4 = 5 uF from P to S; ends A and B; across 25 V",
    ),
)
LONGEST_SHOWN = 40

OPENING = (
    "Platewalk: networks of capacitors, worked out step by step with you.\n"
    "Type a network, the number of an example, 'lessons', 'practice', or 'book' for a drawing.\n"
    "'help' says more; 'stop' leaves."
)
WHICH = "Which network?"
KEPT = "Your text is kept"
STANDING = "Type a network, 1, 2, 3 or 'book'."
TO_BEGIN = (
    "1", "2", "3", "book", "puzzle", "help", "stop", "across", "holding", "in series",
    "in parallel", "from", "to", "wire from", "ends",
)


def offered() -> str:
    """The examples, a line each; a long text is left out."""
    return "\n".join(
        f"{number}  {title}" + (f": {text}" if len(text) <= LONGEST_SHOWN else "")
        for number, (title, text) in enumerate(EXAMPLES, start=1)
    )


def chosen(line: str) -> Example | None:
    """The example that a line picks by its number or its place, as in 'example 2', '2 please'."""
    from tutor.teaching.reading.menu_choice import place_in  # late: no first prompt waits for it

    word = line.strip().lower().removeprefix("example").strip(" .)")
    at = place_in(word, len(EXAMPLES)) if len(word) > 1 or word.isdigit() else None
    return EXAMPLES[at] if at is not None else None


def wish_in(line: str) -> str | None:
    """What a line wants arranged, as a puzzle; None for any other line."""
    start, _, rest = line.strip().removeprefix("a ").replace(":", " ").partition(" ")
    if start.lower() not in ("arrange", "puzzle"):
        return None
    return rest.strip()
