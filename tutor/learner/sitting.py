"""The order of skills in one sitting: mostly what is to be looked at again, well mixed.

Kinds of problem that take turns are kept longer than one kind at a time (Rohrer and others,
Journal of Educational Psychology 107, 2015; the journal from memory).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from datetime import date
from itertools import chain, islice
from typing import Final, TypeAlias

from tutor.learner.review import known_now, to_look_at
from tutor.learner.standing import Standing
from tutor.teaching.skills import BY_CODE, SKILLS

Plan: TypeAlias = tuple[str, ...]

FEWEST: Final = 15
USUAL: Final = 20
MOST: Final = 25
SHARE_AGAIN: Final = 0.6
SHARE_SHAKY: Final = 0.3
TIMES: Final = 3  # as often as mastery asks for
NEW_AT_ONCE: Final = 3
ALL_SKILLS: Final = frozenset(BY_CODE)


def ready(standing: Standing) -> Plan:
    """Skills never met whose needs have all been met, in teaching order; those come first whose
    needs are all steady.
    """
    new = [
        skill for skill in SKILLS
        if not standing.has_met(skill.code) and all(map(standing.has_met, skill.needs))
    ]
    new.sort(key=lambda skill: not all(map(standing.is_steady, skill.needs)))
    return tuple(skill.code for skill in new)


def shaky(standing: Standing, now: float, exam: date | None = None) -> Plan:
    """Skills that have been met, are not steady and not to be looked at again; the least known
    first, and those on which practice is to stop for now last.
    """
    again = {look.skill for look in to_look_at(standing, now, exam)}
    met = [
        skill.code for skill in SKILLS
        if standing.has_met(skill.code)
        and not standing.is_steady(skill.code)
        and skill.code not in again
    ]
    return tuple(sorted(met, key=lambda c: (standing.is_stuck(c), known_now(standing, c, now))))


def make_sitting(
    standing: Standing,
    now: float,
    exam: date | None = None,
    length: int = USUAL,
    among: Collection[str] = ALL_SKILLS,
) -> Plan:
    """A skill for each step of a sitting, never the same one twice in a row.

    Six steps in ten look at a skill again, three are for shaky ones and one is new; where there are
    too few of a kind, the others take their place. ``length`` is brought to between 15 and 25.
    ``among`` are the skills that there are tasks for; the plan is shorter only where a single one
    of these is left.
    """
    length = min(max(length, FEWEST), MOST)
    pools = [[c for c in pool if c in among] for pool in _pools(standing, now, exam)]
    return _apart(_spread(pools, length))


def _pools(standing: Standing, now: float, exam: date | None) -> tuple[Plan, Plan, Plan, Plan]:
    again = tuple(look.skill for look in to_look_at(standing, now, exam))
    steady = [s.code for s in SKILLS if standing.is_steady(s.code) and s.code not in again]
    steady.sort(key=lambda code: known_now(standing, code, now))
    return again, shaky(standing, now, exam), tuple(steady), ready(standing)


def _spread(pools: list[list[str]], length: int) -> list[str]:
    """As many skills as there are steps, by their shares first and then by what there is, each
    kind spread evenly over the whole.
    """
    again, unsteady, steady, new = pools
    new = new[:NEW_AT_ONCE]
    offers = [again, unsteady * TIMES, steady, new * TIMES]
    for_again, for_shaky = round(length * SHARE_AGAIN), round(length * SHARE_SHAKY)
    wanted = [for_again, for_shaky, 0, length - for_again - for_shaky]
    parts = [offer[:number] for offer, number in zip(offers, wanted, strict=True)]
    rest = chain.from_iterable(o[n:] for o, n in zip(offers, wanted, strict=True))
    short = length - sum(map(len, parts))
    parts.append([*islice(rest, short)])
    parts.append(_filling(parts, [*unsteady, *new, *steady, *again], length))
    placed = [((at + 0.5) / len(part), code) for part in parts for at, code in enumerate(part)]
    return [code for _, code in sorted(placed, key=lambda place: place[0])]


def _filling(parts: list[list[str]], skills: list[str], length: int) -> list[str]:
    """What is still needed, of the skills that there is least of."""
    counts = Counter(chain.from_iterable(parts))
    filling: list[str] = []
    for _ in range(length - counts.total() if skills else 0):
        least = min(skills, key=lambda code: counts[code])
        counts[least] += 1
        filling.append(least)
    return filling


def _apart(skills: list[str]) -> Plan:
    """The same skills, nearly in the same order, without neighbours alike; what cannot be placed
    is left out.
    """
    left = list(skills)
    plan: list[str] = []
    while others := [code for code in left if plan[-1:] != [code]]:
        most = max(others, key=left.count)
        # Where one skill makes up more than half of what is left, only it keeps the rest apart.
        plan.append(most if 2 * left.count(most) > len(left) else others[0])
        left.remove(plan[-1])
    return tuple(plan)


def after_answer(plan: Plan, clean: bool) -> Plan:
    """What is left of a plan once its first step has been answered.

    A clean answer ends the step; any other sends it back one place, or as far as is needed to keep
    it from standing beside another of its skill. Where there is no such place, one that stands
    there already serves.
    """
    first, *rest = plan
    if clean:
        return tuple(rest)
    for at in range(min(1, len(rest)), len(rest) + 1):
        if first not in rest[max(at - 1, 0): at + 1]:
            return (*rest[:at], first, *rest[at:])
    return tuple(rest)
