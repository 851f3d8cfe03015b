"""An item that is talked through, from its start: a walk, or a problem in stages."""

from __future__ import annotations

from typing import NamedTuple

from grammar.reading import read_network
from grammar.records import Description
from tutor.circuit.network import build
from tutor.practice.next_task import NextTask
from tutor.practice.own_choices import story_of_choice
from tutor.practice.questions.kinds import story_of_question
from tutor.teaching.conversation import Replied
from tutor.teaching.exchange import begin, begin_story
from tutor.teaching.manner import PLAIN, Manner
from tutor.teaching.settings import Settings
from tutor.teaching.speech import speech_for
from tutor.teaching.staged.bridged import bridge_story
from tutor.teaching.staged.makers import TextSource, story_of
from tutor.teaching.staged.story import Story
from tutor.teaching.walk import begin_walk
from tutor.teaching.wording import Wording


def begin_item(item: NextTask, terms: Settings, seed: int = 0, manner: Manner = PLAIN) -> Replied:
    """An item that is a network, a question or a choice; what of it is asked, the item says.

    Errors: ``Refusal`` for data that cannot be used.
    """
    manner = manner._replace(asked=item.asked, shown=item.new, only=item.only)
    if item.kind == "network":
        return begin_description(read_network(item.text), terms, seed, manner)
    source = Retold(item)
    return begin_story(source.story(terms), terms, manner, source)


def begin_description(
    description: Description, terms: Settings, seed: int = 0, manner: Manner = PLAIN
) -> Replied:
    """A network to be walked, or a problem that goes in stages. Errors: as above."""
    if story_of(description, terms) is not None:
        source = TextSource(description)
        return begin_story(source.story(terms), terms, manner, source)
    return begin(build(description), terms, seed, manner)


class Retold(NamedTuple):
    """Writes the story of a question anew in any settings."""

    item: NextTask

    def story(self, settings: Settings) -> Story:
        """Errors: ``Refusal`` for data that cannot be."""
        item = self.item
        if item.kind == "balances":
            return balances_of(item.text, settings)
        if item.question is not None:
            return story_of_question(item.question, settings)
        assert item.exercise is not None, "a story is of a question or of an author's choice"
        return story_of_choice(item.exercise, settings)


def balances_of(text: str, settings: Settings) -> Story:
    """A network where series and parallel stick, told by its charge balances as it was marked."""
    walk = begin_walk(build(read_network(text)), settings)
    opening = Wording(speech_for(walk.problem, settings)).opening(walk)
    return bridge_story(walk.problem, settings)._replace(opening=tuple(opening.split("\n")))
