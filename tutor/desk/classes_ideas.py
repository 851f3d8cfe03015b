"""Which wrong ideas a class holds, each beside how many could have shown it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from tutor.desk.report import Columns, counted_kindly
from tutor.learner.standing import Standing
from tutor.teaching.rules.catalogue import MAIN_SKILL
from tutor.teaching.rules.idea_texts import idea_in_words
from tutor.teaching.skills import BY_CODE
from tutor.teaching.speech import sentence


class IdeaInClass(NamedTuple):
    """One wrong idea over several learners, by its name in the record.

    ``possible`` learners met a question that tells it from what is right; in ``showed`` of them it
    gave an answer that nothing else gives, in ``perhaps`` others an answer that something else
    gives too. ``held``: it keeps coming back; ``put_right``: it showed, and not any more.
    """

    idea: str
    possible: int
    showed: int
    perhaps: int
    held: int
    put_right: int

    @property
    def words(self) -> str:
        """What someone does who has it."""
        return idea_in_words(self.idea)

    @property
    def skill(self) -> str:
        """The code of what it spoils."""
        return MAIN_SKILL[self.idea]


def ideas_in_class(
    standings: Iterable[Standing], shown_only: bool = True
) -> tuple[IdeaInClass, ...]:
    """The wrong ideas that showed or may have, those of the most learners first; or else all that
    could have shown.
    """
    found: dict[str, IdeaInClass] = {}
    for standing in standings:
        for name, idea in standing.ideas.items():
            if name not in MAIN_SKILL:
                continue
            so_far = found.get(name, IdeaInClass(name, 0, 0, 0, 0, 0))
            found[name] = so_far._replace(
                possible=so_far.possible + 1,
                showed=so_far.showed + (idea.matches > 0),
                perhaps=so_far.perhaps + (not idea.matches and idea.doubtful > 0),
                held=so_far.held + (idea.state == "held"),
                put_right=so_far.put_right + (idea.state == "resolved"),
            )
    shown = [each for each in found.values() if each.showed or each.perhaps or not shown_only]
    return tuple(sorted(
        shown, key=lambda each: (-each.held, -each.showed, -each.perhaps, each.words)
    ))


def ideas_table(ideas: Sequence[IdeaInClass]) -> Columns:
    """How many showed each wrong idea of those who could; a few are not counted out."""
    rows = tuple(
        (
            sentence(each.words),
            BY_CODE[each.skill].name,
            counted_kindly(each.showed, each.possible),
            counted_kindly(each.perhaps, each.possible) if each.perhaps else "",
        )
        for each in ideas
    )
    heads = ("Wrong idea", "Spoils", "Showed in", "Perhaps in")
    return Columns("Wrong ideas, of those whose answers could show them", heads, rows)
