"""The head of a lesson's file: a fenced block called lesson, which says what the lesson is.

Older files have it between two lines ``+++``. They are not read any more, but can be converted.
"""

from __future__ import annotations

from typing import Final

from grammar.records import Refusal
from tutor.practice.lesson_places import LessonText

OPENING: Final = "```lesson"
CLOSING: Final = "```"
OLD: Final = "+++"


def closing_of(source: LessonText) -> int:
    """The number of the line that ends the head. Errors: ``Refusal`` where there is no head."""
    first = source.lines[0].rstrip()
    if first == OPENING:
        fences = (
            (number, line.rstrip()) for number, line in enumerate(source.lines[1:], start=2)
            if line.startswith(CLOSING)
        )
        closing, fence = next(fences, (0, ""))
        if fence == CLOSING:
            return closing
        raise Refusal(
            "The head that begins here has no end.",
            f"End it with a line {CLOSING} before the lesson begins.",
            source.at_line(1),
        )
    if first == OLD:
        raise Refusal(
            f"The head stands between lines {OLD}, as in older lessons.",
            "'platewalk lessons check' with this file or its folder converts it.",
            source.at_line(1),
        )
    raise Refusal(
        f"The file does not begin with {OPENING}.",
        f"Begin with a line {OPENING}, then title, unit and skills, then a line {CLOSING}.",
        source.at_line(1),
    )


def converted(text: str) -> str | None:
    """The text of an older file with its head as a block; None for any other text.

    Nothing but the two lines is changed, and neither are the ends of lines.
    """
    lines = text.split("\n")
    if lines[0].removeprefix("\ufeff").rstrip() != OLD:
        return None
    closing = next((at for at, line in enumerate(lines) if at and line.rstrip() == OLD), None)
    if closing is None:
        return None
    lines[0] = lines[0].replace(OLD, OPENING)
    lines[closing] = lines[closing].replace(OLD, CLOSING)
    return "\n".join(lines)
