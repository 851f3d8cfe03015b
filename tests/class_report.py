"""A simulated class at practice: ``python -m tests.class_report [pupils]``.

What the tutor makes of the answers is held against what is true of each pupil. Chance comes from
fixed seeds.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from statistics import median
from typing import Final, NamedTuple

from tests.pupil_diary import ONE_GUESSER_IN, Called, Diary, Mastered, school
from tests.pupils import HELP, LEARNS, SLIPS, STRAYS

PUPILS: Final = 200
FOUND_WITHIN: Final = 20  # tasks of the skill that a wrong rule spoils


class Figures(NamedTuple):
    """Counts over a class; lists hold chances. ``rules`` are the wrong rules that pupils hold."""

    pupils: int
    answers: int
    rules: int
    shown: int
    until_possible: tuple[int, ...]
    until_held: tuple[int, ...]
    held_in_time: int
    never_held: tuple[str, ...]
    false_numbers: tuple[Called, ...]
    false_words: tuple[Called, ...]
    known: int
    since_known: tuple[int, ...]
    unknown: int
    mastered_unknown: tuple[str, ...]
    cured: int
    resolved_rightly: int
    held_though_cured: int
    resolved_wrongly: int
    asked_to_guess: int
    guessed: tuple[str, ...]
    reviews: tuple[int, ...]
    unfinished: tuple[str, ...]


def figures(diaries: Iterable[Diary]) -> Figures:
    """All that is reported of these pupils."""
    everyone = list(diaries)
    class_ = [d for d in everyone if not d.born.guesses]
    guessers = [d for d in everyone if d.born.guesses]
    first = [(d, name, _first_calls(d, name)) for d in class_ for name in d.born.held]
    held = [calls["held"] for _, _, calls in first if "held" in calls]
    false = [c for d in class_ for c in d.called if c.state == "held" and not c.helped]
    skills = [(d, code) for d in class_ for code in d.born.practised]
    calls = [(d, code, _mastery(d, code)) for d, code in skills]
    cured = [(d, name) for d in class_ for name in d.cured if "held" in _first_calls(d, name)]
    return Figures(
        len(class_), sum(d.answers for d in class_), len(first),
        sum(bool(d.ideas.get(name)) for d, name, _ in first),
        tuple(calls["possible"].chances for _, _, calls in first if "possible" in calls),
        tuple(call.chances for call in held),
        sum(call.tasks <= FOUND_WITHIN for call in held),
        tuple(name for _, name, calls in first if "held" not in calls),
        tuple(c for c in false if not c.in_words), tuple(c for c in false if c.in_words),
        sum(code in d.known for d, code in skills),
        tuple(m.since_known for _, _, m in calls if m is not None and m.since_known is not None),
        sum(code not in d.born.known for d, code in skills),
        tuple(code for _, code, m in calls if m is not None and m.since_known is None),
        len(cured), sum(_state(d, name) == "resolved" for d, name in cured),
        sum(_state(d, name) == "held" for d, name in cured),
        sum(c.state == "resolved" and c.own for d in class_ for c in d.called),
        sum(len(d.born.practised) for d in guessers),
        tuple(code for d in guessers for code in d.born.practised if _mastery(d, code)),
        tuple(d.reviewed for d in everyone), tuple(w for d in everyone for w in d.unfinished),
    )


def _first_calls(diary: Diary, name: str) -> dict[str, Called]:
    """When a rule of the pupil's, or one that the same help serves, was first called what."""
    calls: dict[str, Called] = {}
    for call in diary.called:
        if call.name == name or (call.helped and HELP.get(call.name) == HELP[name]):
            calls.setdefault(call.state, call)
    return calls


def _mastery(diary: Diary, skill: str) -> Mastered | None:
    return next((m for m in diary.mastered if m.skill == skill), None)


def _state(diary: Diary, name: str) -> str | None:
    idea = diary.ideas.get(name)
    return idea.state if idea is not None else None


# Printing


def report(found: Figures) -> Iterator[str]:
    """The figures in words."""
    f = found
    yield f"{f.pupils} pupils gave {f.answers} first answers; {f.rules} wrong rules among them."
    yield f"Rules that had a question to show at: {_share(f.shown, f.rules)}."
    yield f"Called possible after {_spread(f.until_possible)}; held after {_spread(f.until_held)}."
    yield f"Held within {FOUND_WITHIN} tasks of the skill: {_share(f.held_in_time, f.rules)}; " \
        f"of those that could show: {_share(f.held_in_time, f.shown)}."
    yield f"Never called held: {_most(f.never_held)}."
    number = len(f.false_numbers)
    yield (
        f"Called held falsely, of numbers: {number}, "
        f"{number / f.pupils:.2f} a pupil, {100 * number / f.answers:.2f} in 100 answers; "
        f"though the skill is known: {sum(c.known for c in f.false_numbers)}. "
        f"{_most(c.name for c in f.false_numbers)}."
    )
    yield (
        f"Called held falsely, of words and letters guessed: {len(f.false_words)}; "
        f"though the skill is known: {sum(c.known for c in f.false_words)}. "
        f"{_most(c.name for c in f.false_words)}."
    )
    yield f"Skills practised and known: {f.known}; mastery called after {_spread(f.since_known)}."
    yield f"Mastery called of what was not known: {_share(len(f.mastered_unknown), f.unknown)}. " \
        f"{_most(f.mastered_unknown)}."
    yield f"Pure guessers, mastery of a skill: {_share(len(f.guessed), f.asked_to_guess)}. " \
        f"{_most(f.guessed)}."
    yield (
        f"Rules given up after they were called held: {f.cured}; called resolved in the end "
        f"{f.resolved_rightly}, still held {f.held_though_cured}; called resolved while they were "
        f"there: {f.resolved_wrongly}."
    )
    yield f"Reviews took {_spread(f.reviews, 'task')}; tasks without an end: {_most(f.unfinished)}."


def _share(part: int, whole: int) -> str:
    return f"{part} of {whole} ({100 * part / whole:.1f} %)" if whole else "none"


def _spread(chances: tuple[int, ...], what: str = "chance") -> str:
    if not chances:
        return f"no {what}s"
    ninth = sorted(chances)[9 * (len(chances) - 1) // 10]
    return f"{median(chances):g} {what}s (90 %: {ninth}; of {len(chances)})"


def _most(names: Iterable[str]) -> str:
    listed = [f"{name} {number}" for name, number in Counter(names).most_common(12)]
    return ", ".join(listed) or "none"


def main() -> None:
    pupils = int(sys.argv[1]) if len(sys.argv) > 1 else PUPILS
    print(
        f"{pupils} pupils, one in {ONE_GUESSER_IN} a pure guesser. Not known: learnt with {LEARNS} "
        f"at each chance; slips {SLIPS}; of other wrong numbers {STRAYS} are some wrong rule's."
    )
    with ProcessPoolExecutor() as processes:
        diaries = list(processes.map(school, range(1, pupils + 1), chunksize=4))
    for line in report(figures(diaries)):
        print(line, flush=True)


if __name__ == "__main__":
    main()
