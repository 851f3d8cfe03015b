"""What marked working shows of a learner, value by value, and which questions are to go over."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Final, NamedTuple

from grammar.records import Description
from tutor.circuit.network import build
from tutor.teaching.evidence import chances_of_choice, skills_of
from tutor.teaching.marking.marked import Credit, Marked, MarkedLine
from tutor.teaching.marking.routes import past_levels, without_idle
from tutor.teaching.marking.scheme import key_on
from tutor.teaching.observation import AnswerKind, Observation, Outcome
from tutor.teaching.quantities import Quantity
from tutor.teaching.rules.catalogue import blamed, blaming
from tutor.teaching.rules.context import context_on
from tutor.teaching.rules.separation import Separation, separation, separation_of_ask
from tutor.teaching.settings import DEFAULTS
from tutor.teaching.staged.bridged import bridge_story
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.story import Story
from tutor.teaching.staged.story_skills import answer_kind, key_of
from tutor.teaching.staged.story_skills import skills_of as skills_of_ask
from tutor.teaching.walk import Question, Walk, begin_walk, question_about

OF_GROUPS: Final = frozenset({
    "joins-two-that-share-one-point", "looks-side-by-side", "runs-a-chain-through-a-terminal",
    "keeps-a-bypassed-capacitor", "counts-a-dead-end-in-the-chain", "counts-a-dead-end-as-parallel",
})
SETTING_OUT: Final = "S40"
FEWEST_SET_OUT: Final = 2  # values from which on the way of writing shows
_SUM: Final = re.compile(r"\d[^=≈]*[-−+*/×·÷x][^=≈]*\d")
_POWER_OF_TEN: Final = re.compile(r"[×x*·]\s*10\s*(?:\^\s*\(?\s*[-−]?\d+\)?|⁻?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)")
_UNIT: Final = re.compile(r"\d\s*(?:[pnuµμmkM]?[FCVJ]|[cm]?m[²2^]*)(?![A-Za-z\d])")
_EQUALS: Final = re.compile(r"[=≈]")


class Known(NamedTuple):
    """What a question that has marks needs, and what an answer to it can tell apart."""

    skills: tuple[str, ...]
    apart: Separation = Separation()
    answer: AnswerKind = "number"
    options: int = 0


class MarkedProblem(NamedTuple):
    """A marked problem: ``network`` as observations name it, its questions by key and by name;
    ``is_sums`` where every value comes of a sum, so that each line can be set out in full.
    """

    network: str
    known: Mapping[str, Known]
    is_sums: bool = False


def keys_lost(marked: Marked) -> frozenset[str] | None:
    """The keys of the questions that lost marks, for a manner that asks these alone; None where
    one of them has no key of its own, so that all is to be asked.
    """
    keys = frozenset(credit.key for credit in marked.credits if credit.got < credit.of)
    return None if "" in keys else keys


def seen_in(
    source: MarkedProblem, marked: Marked, at: str
) -> Mapping[int, tuple[Observation, ...]]:
    """What the script shows by the last line about each value; a value that follows rightly from
    an earlier wrong one counts as right. ``at`` begins all keys, such as 'paper 3'.
    """
    found = {
        line.line: (_seen_of_group(source, line, at),)
        for line in marked.lines if line.verdict == "wrong" and _of_groups(line.malrules)
    }
    for credit in marked.credits:
        known = source.known.get(credit.key or credit.name)
        is_way = credit.verdict == "carried" and _of_groups(credit.malrules)
        if credit.verdict in (None, "unread") or known is None or is_way:
            continue
        line = credit.lines[-1]
        found[line] = (*found.get(line, ()), _seen(source, credit, known, at))
    return found


def _of_groups(malrules: tuple[str, ...]) -> bool:
    """Whether these are wrong ideas of what belongs together, which no value has of itself."""
    return bool(malrules) and OF_GROUPS.issuperset(malrules)


def _seen_of_group(source: MarkedProblem, line: MarkedLine, at: str) -> Observation:
    """What a line shows in which a group is combined that is none."""
    skills = ("S14", *blamed(line.malrules))
    key = f"{at} choice {line.about}"
    seen = Observation(key, source.network, skills, "names", "wrong", chances=line.malrules)
    return blaming(seen, line.malrules)


def _seen(source: MarkedProblem, credit: Credit, known: Known, at: str) -> Observation:
    outcome: Outcome = "wrong" if credit.verdict == "wrong" else "right"
    seen = Observation(
        key=f"{at} {credit.key or credit.name}", network=source.network, skills=known.skills,
        answer=known.answer, outcome=outcome, options=known.options,
        weak=outcome == "right" and bool(known.apart.hidden), chances=known.apart.tells,
    )
    return blaming(seen, credit.malrules) if outcome == "wrong" else seen


# How it is set out


def not_set_out(source: MarkedProblem, marked: Marked) -> tuple[int, ...] | None:
    """The last lines of values that are given without the numbers put in or without a unit; None
    where that cannot be told, or by too few values.
    """
    shown = {line.line: line.text for line in marked.lines}
    worked = [c for c in marked.credits if c.of > 1 and c.verdict in ("right", "carried")]
    if not source.is_sums or len(worked) < FEWEST_SET_OUT:
        return None
    return tuple(sorted({
        credit.lines[-1] for credit in worked
        if not _is_set_out([shown[number] for number in credit.lines])
    }))


def _is_set_out(lines: list[str]) -> bool:
    """Whether a sum of numbers stands before an equals sign, and a unit after the last one."""
    plain = [_EQUALS.split(_POWER_OF_TEN.sub("", line)) for line in lines]
    return any(_SUM.search(side) for sides in plain for side in sides[:-1]) and any(
        len(sides) > 1 and _UNIT.search(sides[-1]) for sides in plain
    )


def seen_set_out(source: MarkedProblem, bare: tuple[int, ...], at: str) -> Observation:
    """What the way of writing shows: symbol, numbers, result and unit everywhere, or not."""
    outcome: Outcome = "wrong" if bare else "right"
    return Observation(f"{at} setting out", source.network, (SETTING_OUT,), "number", outcome)


# What is known of the questions


def source_of(description: Description) -> MarkedProblem:
    """The questions of a described problem. Errors: ``Refusal`` for data that cannot be used."""
    story = story_of(description, DEFAULTS)
    if story is not None:
        return source_of_story(story)
    walk = begin_walk(build(description), DEFAULTS)
    led = walk if walk.whole is not None else past_levels(without_idle(walk))
    if led.whole is None:
        found = source_of_story(bridge_story(walk.problem, DEFAULTS))
        return found._replace(network=walk.problem.fingerprint)
    return MarkedProblem(walk.problem.fingerprint, dict(_of_walk(walk, led)), is_sums=True)


def source_of_story(story: Story) -> MarkedProblem:
    """The questions of a story by their keys."""
    known = {
        key_of(at, ask): Known(
            ask.skills or skills_of_ask(ask), separation_of_ask(ask, story.powers),
            answer_kind(ask), len(ask.options),
        )
        for at, ask in enumerate(story.asks)
    }
    return MarkedProblem(" ".join(story.opening) or story.kind, known)


def _of_walk(begun: Walk, led: Walk) -> Iterator[tuple[str, Known]]:
    """Every value on the way ``led``, which may have gone past points at one potential."""
    done = led._replace(steps=led.plan)
    chosen = chances_of_choice(begun.network)
    for quantity in reversed(tuple(led.truth)):
        if quantity.point is not None or led.whole is None:
            continue
        key = key_on(begun, led, quantity) or quantity.name
        if key.startswith("back "):
            step = next(s for s in led.plan if s.makes and key == f"back {s.makes.name}")
            asked = Question("shares", step, going_back=True)
            yield key, Known(skills_of(done, asked, step), _apart(done, quantity))
            continue
        asked_as = Quantity("C", led.whole.name) if quantity == Quantity("C") else quantity
        skills = skills_of(done, question_about(done, asked_as), None)
        apart = _apart(done, asked_as)
        if quantity.symbol == "C":  # its parts were chosen to be combined
            apart = apart._replace(tells=(*dict.fromkeys((*apart.tells, *chosen)),))
        yield key, Known(skills, apart)


def _apart(done: Walk, quantity: Quantity) -> Separation:
    context = context_on(done, quantity)
    return separation(context) if context is not None else Separation()
