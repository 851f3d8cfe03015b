"""A marked question of a paper, in messages: each line with its marks and remark, and the rest."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from tutor.teaching.marking.marked import MarkedLine, in_marks, told_left_out
from tutor.teaching.messages import Message, Verdict
from tutor.teaching.observation import Observation
from tutor.teaching.speech import listed

if TYPE_CHECKING:  # no chat waits for marking
    from tutor.practice.papers_marked import MarkedQuestion


def told(number: int, result: MarkedQuestion) -> Iterator[Message]:
    """One question: each line with its marks and its remark, then what is not there."""
    marked = result.marked
    total = f"Question {number}: {marked.total} of {in_marks(marked.of)}."
    yield Message("say", total, marks=(marked.total, marked.of))
    for line in marked.lines:
        if line.text.strip():
            yield from _line(line, result.seen.get(line.line, ()))
    if marked.note:
        yield Message("say", marked.note)
    if marked.left_out:
        yield Message("say", told_left_out(marked))
    if result.bare is not None:
        yield Message("say", _set_out(result.bare), seen=result.set_out)


def _line(line: MarkedLine, seen: tuple[Observation, ...]) -> Iterator[Message]:
    """A line as it was written, what was earned on it, and the remark; what it shows beside the
    value that it ends with goes beside a short word of its own.
    """
    marks = f" ({line.marks.total} of {line.marks.of})" if line.marks.of else ""
    more = ""
    if line.marks.implied:
        more = f" {line.marks.implied} of these for what was not written."
    verdict = "right" if line.verdict == "carried" else line.verdict
    yield Message(
        "verdict", f"{line.line}  {line.text.strip()}{marks}\n{line.remark}{more}",
        verdict=verdict, malrules=line.malrules, seen=seen[0] if seen else None,
    )
    for each in seen[1:]:
        word: Verdict = "right" if each.outcome == "right" else "wrong"
        about = each.key.split()[-1]
        yield Message("verdict", f"{about} in this line: {word}.", verdict=word, seen=each)


def _set_out(bare: tuple[int, ...]) -> str:
    if not bare:
        return "Set out in full: relation, numbers put in, result and unit for every value."
    lines = f"line{'s' if len(bare) > 1 else ''} {listed([str(n) for n in bare])}"
    return f"Not set out in full: {lines}. Put in the numbers, then give the result with its unit."
