"""Where the questions of a paper begin in a script, and what of it may belong to another one."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from tutor.teaching.speech import listed

# How a learner numbers an answer, the surest form first: a word with the number; the number with a
# mark behind it, or as Q2; then what might be something else as well, as Q2 is a charge.
_FORMS: Final = (
    re.compile(
        r"(?i)[\s#*_]*(?:answer\s+to\s+)?(?:question|problem|exercise|task|number|no\.|nr\.?|ques\.?"
        r"|prob\.?|ex\.|ans(?:wer|\.)?)\s*(\d{1,3})(?!\d|[.,]\d)[*_]*\s*[:.)–-]?[*_]*\s*(.*)$"
    ),
    re.compile(
        r"[\s#*_]*\(?[Qq#]?\s*(\d{1,2})(?:[*_]*(?:\)|\.(?!\d))(?!\s*(?:[*/×+=^]|x\s|\((?![a-h]\))))"
        r"|\s*(?=\(?[a-h]\)))[*_]*[:.]?\s*(.*)$"
    ),
    re.compile(
        r"[\s#*_]*(?:[Qq]\s*(\d{1,2})\s*(?:$|:)|(\d{1,2})\s*(?:$|:(?=\s*$|\s+[^\d(\s])))\s*(.*)$"
    ),
)
# What begins with the number of a question and goes on in words or with a letter: 3 goes up, 5 c.
_MAY_BEGIN: Final = re.compile(
    r"\s*[Qq#]?\s*(\d{1,2})\s*[.:)\s–-]\s*(?:[a-h]\s*$|[A-Za-z]{3,}|[A-Z]\w*\s*=)"
)


class Parted(NamedTuple):
    """A script of a paper by the numbers of its questions, each part with as many empty lines
    before it as lines stand before it in the file; ``notes`` say of what it is in doubt.
    """

    parts: Mapping[int, str]
    notes: tuple[str, ...] = ()


class _Head(NamedTuple):
    """A line that may begin a question; ``form`` counts from the surest."""

    at: int
    number: int
    rest: str
    form: int


def by_question(text: str, questions: int) -> Parted:
    """Part a script by what begins its lines; what comes before any number belongs to the first.

    A less sure form begins a question only where no surer one does, and between those before and
    after it: under the heading of a question, its steps may be numbered as well.
    """
    lines = text.splitlines()
    heads = {head.at: head for head in _heads(lines, questions)}
    parts: dict[int, list[str]] = {}
    number = 1
    for at, line in enumerate(lines):
        head = heads.get(at)
        number, working = (head.number, head.rest) if head is not None else (number, line)
        if working.strip():
            part = parts.setdefault(number, [])
            part += [""] * (at - len(part))
            part.append(working)
    notes = tuple(_notes(lines, heads, {*parts}, questions))
    return Parted({number: "\n".join(part) for number, part in parts.items()}, notes)


def _heads(lines: Sequence[str], questions: int) -> list[_Head]:
    """The lines that begin a question, in their order."""
    found: list[_Head] = []
    for form, pattern in enumerate(_FORMS):
        sure = list(found)
        for at, line in enumerate(lines):
            head = _head(pattern, form, at, line)
            if head is not None and (form == 0 or _fits(head, found, sure, questions)):
                found = sorted([*found, head])
    return found


def _head(pattern: re.Pattern[str], form: int, at: int, line: str) -> _Head | None:
    match = pattern.match(line)
    if match is None:
        return None
    *numbers, rest = match.groups()
    return _Head(at, int(next(filter(None, numbers))), rest, form)


def _fits(head: _Head, found: Sequence[_Head], sure: Sequence[_Head], questions: int) -> bool:
    """Whether a less sure heading begins a question that nothing else begins, in its turn among
    those of ``sure``.
    """
    if not 1 <= head.number <= questions or any(
        each.number == head.number or each.at == head.at for each in found
    ):
        return False
    before = [each.number for each in sure if each.at < head.at]
    after = [each.number for each in sure if each.at > head.at]
    return (not before or before[-1] < head.number) and (not after or head.number < after[0])


def _notes(
    lines: Sequence[str], heads: Mapping[int, _Head], written: set[int], questions: int
) -> Iterator[str]:
    """What a teacher is to look at: questions that are not there, and lines that may be of another
    question than the one they were marked for.
    """
    for number in sorted(written):
        if not 1 <= number <= questions:
            yield f"There is no question {number} in this paper: what stands there is not marked."
    doubtful = [
        str(at + 1) for at, line in enumerate(lines) if at not in heads
        and (found := _MAY_BEGIN.match(line)) and int(found[1]) not in {0, *written}
        and int(found[1]) <= questions
    ]
    how = "Write 'Question 2' over what belongs to question 2, and so on."
    if not heads and questions > 1:
        yield f"No question is numbered in this script: all of it is marked for question 1. {how}"
    elif doubtful:
        is_one = len(doubtful) == 1
        yield (
            f"Line{'' if is_one else 's'} {listed(doubtful)} begin{'s' if is_one else ''} with the "
            f"number of a question for which nothing was found. {how}"
        )
