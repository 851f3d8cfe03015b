"""What marked working shows of a learner: an observation for each line, and what to go over."""

from __future__ import annotations

from collections.abc import Mapping

from grammar.records import Description
from tutor.circuit.network import build
from tutor.teaching.evidence import blaming, fingerprint, key_of, skills_in
from tutor.teaching.marking.marked import Marked, MarkedLine
from tutor.teaching.observation import Observation, Outcome
from tutor.teaching.quantities import Quantity
from tutor.teaching.settings import Settings
from tutor.teaching.staged.makers import story_of
from tutor.teaching.staged.skills import key_of as key_in_story
from tutor.teaching.staged.skills import skills_of
from tutor.teaching.staged.story import Story
from tutor.teaching.walk import Walk, begin_walk, question_about


def seen_in(
    description: Description, marked: Marked, settings: Settings
) -> tuple[Observation | None, ...]:
    """What each line shows; None for one that states nothing that is asked for.

    A value that follows rightly from an earlier wrong one counts as right.
    """
    known = _asked(description, settings)
    network = _network(description, settings)
    return tuple(_seen(line, known, network) for line in marked.lines)


def keys_lost(description: Description, marked: Marked, settings: Settings) -> frozenset[str]:
    """The keys of the questions whose marks were lost, for a manner that asks these alone."""
    known = _asked(description, settings)
    names = {line.about for line in marked.lines if line.marks.total < line.marks.of}
    names |= set(marked.left_out)
    return frozenset(known[name][0] for name in names if name in known)


def _seen(
    line: MarkedLine, known: Mapping[str, tuple[str, tuple[str, ...]]], network: str
) -> Observation | None:
    if line.verdict == "unread" or line.about not in known:
        return None
    key, skills = known[line.about]
    outcome: Outcome = "wrong" if line.verdict == "wrong" else "right"
    seen = Observation(f"paper {key}", network, skills, "number", outcome)
    return blaming(seen, line.malrules) if outcome == "wrong" else seen


def _asked(
    description: Description, settings: Settings
) -> Mapping[str, tuple[str, tuple[str, ...]]]:
    """By the name that a marked line has: the key of its question, and the skills it needs."""
    story = story_of(description, settings)
    if story is not None:
        return dict(_of_story(story))
    return dict(_of_walk(begin_walk(build(description), settings)))


def _of_story(story: Story) -> list[tuple[str, tuple[str, tuple[str, ...]]]]:
    found = []
    for at, ask in enumerate(story.asks):
        name = ask.name or f"question {at + 1} (in words)"
        found.append((name, (key_in_story(at, ask), ask.skills or skills_of(ask))))
    return found


def _of_walk(walk: Walk) -> list[tuple[str, tuple[str, tuple[str, ...]]]]:
    found = []
    for quantity in walk.truth:
        if quantity.point is None:
            question = question_about(walk, quantity)
            key = key_of(walk, question)
            if quantity == Quantity("C") and walk.plan and walk.whole is not None:
                key = walk.whole.name  # the walk asks for it by the name of the last step
            found.append((quantity.name, (key, skills_in(walk, question))))
    return found


def _network(description: Description, settings: Settings) -> str:
    story = story_of(description, settings)
    return " ".join(story.opening) if story is not None else fingerprint(build(description))
