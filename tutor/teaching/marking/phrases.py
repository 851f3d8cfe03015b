"""Sentences of remarks that are the same whatever a script is about."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Final, Generic, NamedTuple

from tutor.circuit.values import Value
from tutor.teaching.marking.awarding import Lost
from tutor.teaching.marking.examining import Scheme
from tutor.teaching.marking.grading import GradeVerdict, Judgement, Topic
from tutor.teaching.marking.statements import states_a_value
from tutor.teaching.marking.working import WrittenLine
from tutor.teaching.speech import listed

_NO_MARK = (
    "{0} follows from what you wrote above, but its mark is for just what went wrong there."
)
_WAY_ALONE = (
    "{0} follows from what you wrote above: its way has its mark. The value has none, since what "
    "is wrong above has no mark of its own to lose."
)
_FOLLOWS: Final = "{} follows rightly from what you wrote above, so it is not marked down again."
_RIGHT: Final = "{} is right."
FOLLOWS: Final = _FOLLOWS.format("This")
BY_WRONG_RULE: Final = (
    "This follows from the relation above, which is not right: it is not marked down again, and "
    "earns nothing of its own."
)
_IN_FRONT = re.compile(r"[^=\d]*[A-Za-z][^=]*=\s*[^\s=]")
DIFFERS: Final = "The two sides of an equals sign differ here."


class Rulings(NamedTuple):
    """The settings of the scheme, what its rules took away, and the numbers of the lines."""

    scheme: Scheme
    lost: Lost
    numbers: tuple[int, ...]


class ReadLine(NamedTuple, Generic[Topic]):
    """A line with its judgements, and ``why`` it has none."""

    written: WrittenLine
    grades: tuple[Judgement[Topic], ...]
    why: str = ""


def remark(
    rulings: Rulings,
    at: int,
    line: ReadLine[Topic],
    said: Callable[[Judgement[Topic]], str],
    name: Callable[[Topic], str],
) -> str:
    """One remark for one line: what ``said`` is of what went wrong on it, or of its last value."""
    grades = line.grades
    if not grades:
        return unread(line.written, line.why)
    worst = next((g for g in grades if g.verdict == "wrong"), None) or next(
        iter(sorted((g for g in grades if g.verdict == "carried"), key=lambda g: not g.told)),
        next((g for g in reversed(grades) if not g.given), grades[-1]),
    )
    text = " ".join(dict.fromkeys(said(each) for each in slips_in(grades) or (worst,)))
    if text == _RIGHT.format(name(worst.quantity)):
        rights = [g for g in grades if g.verdict == "right" and g.is_final and not g.given]
        names = dict.fromkeys(name(g.quantity) for g in rights if not (g.told or g.note))
        text = f"{listed([*names])} are right." if len(names) > 1 else text
    if worst.verdict == "wrong":
        others = [
            (name(g.quantity), g.verdict)
            for g in grades
            if g.verdict != "wrong"
            and g.quantity != worst.quantity
            and not (g.given or g.told or g.earned or g.relation)
        ]
        text = f"{besides(others)}{text}"
    ruled = "" if worst.given else by_rule(rulings, at, worst, name(worst.quantity))
    return " ".join(filter(None, (text, ruled)))


def unread(written: WrittenLine, why: str) -> str:
    """Why a line has no marks."""
    if not written.text.strip():
        return "A blank line."
    if written.part_of is not None:
        return f"Part of the fraction on line {written.part_of}."
    if written.crossed_out:
        return "Crossed out, so not marked."
    if _only_says_who(written.text):
        return WORDS_ONLY
    if why:
        return f"Not marked. {why}"
    if any(_IN_FRONT.match(piece) for piece in written.pieces):
        return "Not marked: what stands in front of this has no mark of its own here."
    if any(states_a_value(piece) for piece in written.pieces):
        return "Not marked: write in front of it which quantity this is, as in V1 = 4 V."
    return WORDS_ONLY


def _only_says_who(text: str) -> bool:
    """Whether the numbers of a sentence only tell capacitors apart: the charge on the 8 uF."""
    words = re.findall(r"[A-Za-z]{2,}", text)
    return len(words) >= A_SENTENCE and not re.search(r"[=\d]", _POINTED_AT.sub(" ", text))


WORDS_ONLY: Final = "Words only: nothing to mark here."
A_SENTENCE: Final = 5  # words
_POINTED_AT: Final = re.compile(
    r"\bthe\s+\d+(?:\.\d+)?(?:\s*[pnu\u00b5\u03bcm]?F)?\b(?:\s*(?:and|,|&)\s*\d+(?:\.\d+)?(?:\s*[pnu\u00b5\u03bcm]?F)?\b)*"
    r"|\bC_?\d+\b"
)


def slips_in(grades: Sequence[Judgement[Topic]]) -> list[Judgement[Topic]]:
    """What is wrong on a line and gets a remark of its own: each quantity and each wrong idea
    once, the first two of them.
    """
    found: dict[object, Judgement[Topic]] = {}
    for each in grades:
        if each.verdict == "wrong" and all(each.quantity != o.quantity for o in found.values()):
            idea = each.malrules or (each.diagnosis.names if each.diagnosis else ())
            found.setdefault(idea or each.quantity, each)
    return list(found.values())[:2]


def besides(others: Sequence[tuple[str, GradeVerdict]]) -> str:
    """What else of a line stands, by names: what is right, and what only follows."""
    said = ""
    for verdict, one, more in (("right", "is", "are"), ("carried", "follows", "follow")):
        names = [name for name, each in others if each == verdict]
        ending = " right" if verdict == "right" else " from it rightly"
        if names:
            said += f"{listed(names)} {one if len(names) == 1 else more}{ending}. "
    return said


def right(each: Judgement[Topic], name: str) -> str:
    """A right line, and what would make it better."""
    if not each.is_final:
        return f"Right: this leads to {name}."
    if each.note == "one figure":
        return f"{name} is right to one figure. Give two or three."
    if each.note == "early":
        return f"{name} is right. You rounded earlier; keep extra figures until the end."
    if each.note == "loose":
        return (
            f"{name} is right. Not every equals sign in this line holds: write a new line where "
            "something else begins."
        )
    return _RIGHT.format(name)


def relation(each: Judgement[Topic]) -> str:
    """A relation between quantities: whether it holds."""
    if each.verdict == "right":
        return "Right: this holds."
    if each.verdict == "carried":
        return FOLLOWS
    return "This does not hold here. Put a value in for each name: do both sides come out equal?"


def slip(each: Judgement[Topic], name: str, said: str) -> str:
    """A right way with a slip in it."""
    if each.malrules:
        return (
            f"{said} for {name} is what comes of the right rule with the value of "
            "another capacitor. Read back the numbers you used."
        )
    if each.slip:
        return (
            f"The line for {name} begins rightly; one of its equals signs does not hold. Work it "
            "out again."
        )
    return (
        f"The way to {name} is right; one of the numbers in it is not the one needed. Read them "
        "back."
    )


def said_of(each: Judgement[Topic], amount: Callable[[Value], str]) -> str:
    """The value that a remark is about, in words."""
    value = each.slipped_to if each.slip is not None else each.value
    return "This" if value is None else amount(value)


def unexplained(each: Judgement[Topic], name: str, said: str) -> str:
    """A value that nothing leads to."""
    if each.ends_right:
        return f"The last value is right, but {said} before it is not. Write each step of it."
    return (
        f"{said} does not follow for {name} from what stands above. Write the line that led to it."
    )


def carried(rulings: Rulings, each: Judgement[Topic], name: str) -> str:
    """A value that follows from an earlier error."""
    if each.earned:
        return (_NO_MARK if each.earned == "nothing" else _WAY_ALONE).format(name)
    if not rulings.scheme.carried:
        return f"The method for {name} is right; its value carries an earlier error."
    return _FOLLOWS.format(name)


def wrong_power(name: str) -> str:
    """The right figures with another power of ten."""
    return f"The figures of {name} fit; the power of ten does not. Look at the prefix."


def wrong_unit(name: str, kind: str) -> str:
    """The right number with the unit of another quantity; ``kind`` is in words."""
    return f"The number fits {name}; the unit does not. {name} is a {kind}: which unit has that?"


def other_kind(name: str) -> str:
    """A value whose unit shows that it is of a quantity of another kind."""
    return (
        f"What stands here for {name} has the unit of another kind of quantity. What is it a value "
        "of?"
    )


def given_misread(name: str, amount: str) -> str:
    """A given value copied wrongly."""
    return (
        f"The text gives {amount} for {name}: read it back. This costs one mark, where it is first "
        "used; what follows rightly from it is not marked down."
    )


def by_rule(rulings: Rulings, at: int, each: Judgement[Topic], name: str) -> str:
    """What a rule of marking took away on this line."""
    lost, scheme = rulings.lost, rulings.scheme
    other = lost.contradicted.get((at, each.quantity))
    if other is not None and other != at:
        counts = "neither counts" if scheme.contradictions == "neither" else ("the last counts")
        return (
            f"Line {rulings.numbers[other]} gives another value for "
            f"{name}: of two answers {counts}. Put ~~ round what "
            "you take back."
        )
    if other is not None:
        return "Two different values stand here, so neither counts."
    if at in lost.units and each.unit == "missing":
        once = ", once" if scheme.units == "once" else ""
        return f"Its unit is missing, which costs one mark{once}."
    if at == lost.reminded and each.unit == "missing" and each.verdict != "wrong":
        return "Write the unit with it."
    if at in lost.figures:
        return "That costs one mark, once."
    return ""
