"""Exam papers: questions mixed over chosen units, with the marks that their schemes offer."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from random import Random
from typing import Final, NamedTuple

from grammar.records import Place, Refusal
from tutor.practice.papers_drawn import PaperQuestion, drawn_for, with_other_values
from tutor.teaching.skills import SKILLS, UNITS

USUAL_MARKS: Final = 30
MOST_MARKS: Final = 200
MOST_QUESTIONS: Final = 30
MINUTES_A_MARK: Final = 1.25  # common practice, no source
MOST_DIGITS: Final = 12  # of a number in an order: as many as a script may name for its seed


class PaperOrder(NamedTuple):
    """What a paper is to be like; None where nothing is said. A ``variant`` from 1 has the same
    questions as the paper of its seed, on other values.
    """

    units: tuple[int, ...] = tuple(UNITS)
    marks: int | None = None
    questions: int | None = None
    minutes: int | None = None
    seed: int = 0
    variant: int = 0

    @property
    def wanted(self) -> int | None:
        """The marks to come near to; None where the number of questions alone counts."""
        return USUAL_MARKS if self.marks is None and self.questions is None else self.marks


class ExamPaper(NamedTuple):
    """A paper: the same order gives the same one."""

    order: PaperOrder
    questions: tuple[PaperQuestion, ...]

    @property
    def marks(self) -> int:
        """The marks of all questions together."""
        return sum(question.marks for question in self.questions)

    @property
    def usual_minutes(self) -> int:
        """How long such a paper usually takes, to five minutes."""
        return 5 * max(1, round(self.marks * MINUTES_A_MARK / 5))


    @property
    def in_words(self) -> str:
        """The order that makes this very paper again, seed and all."""
        order = self.order
        units = f"units {', '.join(map(str, order.units))}" if order.units != tuple(UNITS) else ""
        said = [
            f"{number} {name}" for number, name in (
                (order.marks, "marks"), (order.questions, "questions"), (order.minutes, "minutes"),
            ) if number is not None
        ]
        variant = f"variant {order.variant}" if order.variant else ""
        return ", ".join(filter(None, (units, *said, f"seed {order.seed}", variant)))


# Orders in words

_PARTS: Final = (
    ("units", re.compile(
        r"units?\s+(\d+(?:\s*(?:,|and|&|to|-)\s*\d+(?!\d*\s*(?:marks?|questions?|min)))*)"
    )),
    ("marks", re.compile(r"(\d+)\s*marks?\b")),
    ("questions", re.compile(r"(\d+)\s*questions?\b")),
    ("minutes", re.compile(r"(\d+)\s*min(?:ute)?s?\b")),
    ("seed", re.compile(r"seed\s+(\d+)")),
    ("variant", re.compile(r"variant\s+(\d+)")),
)
_FILLER: Final = re.compile(
    r"(?:all|every|units?|with|of|on|from|in|for|and|a|an|the|please)\b|[,;.]|\s"
)
_CURE: Final = (
    "Order it like: units 3 and 4, 30 marks, seed 7. '6 questions' and '40 minutes' may be added."
)


def paper_in(words: str, seed: int = 0) -> PaperOrder:
    """The order that plain words give; ``seed`` is taken where none is said.

    Errors: ``Refusal`` for a word that is not known, a unit that there is not, or too much.
    """
    order, at, low = PaperOrder(seed=seed), 0, words.lower()
    while at < len(low):
        found = next(((name, m) for name, part in _PARTS if (m := part.match(low, at))), None)
        if found is not None:
            name, match = found
            order, at = _set(order, name, match[1], Place(1, match.start() + 1, words)), match.end()
        elif filler := _FILLER.match(low, at):
            at = filler.end()
        else:
            raise _unknown(words, at)
    return order


def _unknown(words: str, at: int) -> Refusal:
    """What is said to a word that orders nothing; a skill is asked in the paper of its unit."""
    place = Place(1, at + 1, words)
    named = [s for s in SKILLS if words.lower().startswith((s.name.lower(), *s.also), at)]
    if named:
        skill = max(named, key=lambda each: len(each.name))
        cure = f"'{skill.name}' is in unit {skill.unit}: order a paper on unit {skill.unit}."
        return Refusal("A paper is of whole units, and not of one skill.", cure, place)
    found = re.match(r"\S[^\s,;.]*", words[at:])
    word = found[0] if found else words[at:]
    units = [unit for unit, title in UNITS.items() if word.lower() in title.lower().split()]
    cure = f"Unit {units[0]} is '{UNITS[units[0]]}'. {_CURE}" if units else _CURE
    return Refusal(f'"{word}" is not known in a paper.', cure, place)


def _set(order: PaperOrder, name: str, said: str, place: Place) -> PaperOrder:
    if name == "units":
        units = tuple(dict.fromkeys(_units(said)))
        unknown = [unit for unit in units if unit not in UNITS]
        if unknown:
            raise Refusal(f"There is no unit {unknown[0]}.", f"There are 1 to {len(UNITS)}.", place)
        return order._replace(units=units)
    if len(said) > MOST_DIGITS:
        raise Refusal(f"A number has at most {MOST_DIGITS} digits here.", _CURE, place)
    number, most = int(said), {"marks": MOST_MARKS, "questions": MOST_QUESTIONS}.get(name)
    if most is not None and not 1 <= number <= most:
        raise Refusal(f"A paper has 1 to {most} {name}, not {said}.", _CURE, place)
    if name == "marks":
        return order._replace(marks=number)
    if name == "questions":
        return order._replace(questions=number)
    if name == "variant":
        return order._replace(variant=number)
    return order._replace(minutes=number) if name == "minutes" else order._replace(seed=number)


def _units(said: str) -> Iterator[int]:
    """1, 2 and 4 to 6 as numbers."""
    for first, last in re.findall(r"(\d+)(?:\s*(?:to|-)\s*(\d+))?", said):
        yield from range(int(first[:3]), int((last or first)[:3]) + 1)


# Making


def make_paper(order: PaperOrder) -> ExamPaper:
    """Questions over all skills of the units in turn, mixed, no two of one shape in a row, and as
    near to the marks wanted as whole questions come.

    Errors: ``Refusal`` where the units have nothing to be asked on paper.
    """
    chance = Random(f"paper {order.units} {order.marks} {order.questions} {order.seed}")
    pool = drawn_for(order.units, order.wanted, order.questions, chance)
    if not pool:
        raise Refusal("These units have no question for a paper.", "Add another unit.")
    if order.questions is not None:
        taken = pool[: order.questions]
    else:
        taken = _up_to(order.wanted or USUAL_MARKS, pool)
    questions = tuple(_apart(_nearer(order, taken, pool)))
    if order.variant:
        questions = tuple(with_other_values(question, order.variant) for question in questions)
    return ExamPaper(order, questions)


def _up_to(wanted: int, pool: list[PaperQuestion]) -> list[PaperQuestion]:
    """Questions in the order drawn, as long as there is room for each."""
    taken: list[PaperQuestion] = []
    left = wanted
    for question in pool:
        if question.marks <= left:
            taken.append(question)
            left -= question.marks
    return taken


def _nearer(
    order: PaperOrder, taken: list[PaperQuestion], pool: list[PaperQuestion]
) -> list[PaperQuestion]:
    """One question put for another, or added, as long as that comes nearer to the marks wanted."""
    while changed := _best_change(order, taken, pool):
        taken = changed
    return taken


def _best_change(
    order: PaperOrder, taken: list[PaperQuestion], pool: list[PaperQuestion]
) -> list[PaperQuestion] | None:
    unused = [question for question in pool if question not in taken]
    tried = [
        [*taken[:at], other, *taken[at + 1 :]] for at in range(len(taken)) for other in unused
    ]
    if order.questions is None:
        tried += [[*taken, other] for other in unused]
        tried += [[*taken[:at], *taken[at + 1 :]] for at in range(len(taken))]
    best = min(tried, key=lambda each: _off(order, each), default=taken)
    return best if _off(order, best) < _off(order, taken) else None


def _off(order: PaperOrder, taken: list[PaperQuestion]) -> tuple[int, int]:
    """How many questions of the commonest shape would stand in a row, and how far the marks are
    from those wanted.
    """
    counts = Counter(question.shape for question in taken)
    in_a_row = max(0, 2 * max(counts.values(), default=0) - len(taken) - 1)
    marks = sum(question.marks for question in taken)
    return in_a_row, 0 if order.wanted is None else abs(order.wanted - marks)


def _apart(taken: list[PaperQuestion]) -> Iterator[PaperQuestion]:
    """In an order in which neighbours differ in shape; what finds no such place is left out."""
    waiting = list(taken)
    last = ""
    while waiting:
        counts = Counter(question.shape for question in waiting)
        most = max(counts.values())
        forced = [q for q in waiting if counts[q.shape] == most and 2 * most > len(waiting)]
        fitting = [q for q in forced or waiting if q.shape != last]
        fitting = fitting or [q for q in waiting if q.shape != last]
        if not fitting:
            return
        yield fitting[0]
        last = fitting[0].shape
        waiting.remove(fitting[0])
