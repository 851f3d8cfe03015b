"""Working of any described problem marked, be it a network in one state or one in stages."""

from __future__ import annotations

from grammar.records import Description
from tutor.circuit.network import build
from tutor.teaching.marking.another_problem import another_problem
from tutor.teaching.marking.examining import Scheme, rules_told
from tutor.teaching.marking.marked import Marked
from tutor.teaching.marking.on_network import mark
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.makers import story_of


def mark_working(
    description: Description, working: str, scheme: Scheme, settings: Settings = DEFAULTS
) -> Marked:
    """The marked script. Errors: ``Refusal`` for data or a script that cannot be used."""
    story = story_of(description, settings)
    rules = rules_told(scheme)
    if story is None:
        problem = build(description)
        marked = mark(problem, working, scheme, settings)
        if note := another_problem(problem, marked, settings):
            marked = mark(problem, working, scheme._replace(implied=False), settings)
        return marked._replace(rules=rules, note=note)
    from tutor.teaching.marking.stories.on_story import mark_story
    from tutor.teaching.marking.stories.story_scheme import unmarked

    marked = mark_story(story, working, scheme, settings, description.asked)
    return marked._replace(rules=(*unmarked(story, description.asked), *rules))
