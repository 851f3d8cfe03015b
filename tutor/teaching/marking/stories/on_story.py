"""Working about a problem in stages: values and choices in words, question by question."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from functools import partial
from typing import Final

from grammar.answers import Measure
from grammar.expressions import Expression
from grammar.records import Asked
from tutor.circuit.values import Value
from tutor.teaching.marking.awarding import Ground
from tutor.teaching.marking.examining import GENERAL_PRACTICE, Scheme
from tutor.teaching.marking.grading import Judgement, Statement
from tutor.teaching.marking.labels import with_names_for_letters
from tutor.teaching.marking.marked import Marked, lines_of
from tutor.teaching.marking.marker import marked
from tutor.teaching.marking.phrases import Rulings
from tutor.teaching.marking.problem_kind import ProblemKind
from tutor.teaching.marking.stories.bridge_left_out import as_without
from tutor.teaching.marking.stories.choices_said import said_in_words
from tutor.teaching.marking.stories.equations import true_equation
from tutor.teaching.marking.stories.paper import (
    Paper,
    at_later_times,
    begin_paper,
    capacitances_given,
    names_on,
    right_values,
    settled,
    values_otherwise,
)
from tutor.teaching.marking.stories.story_fit import lookup
from tutor.teaching.marking.stories.story_pieces import (
    in_large_letters,
    levels_said,
    piece_readied,
    reader_on,
)
from tutor.teaching.marking.stories.story_remarks import StoryContext, on_judgement
from tutor.teaching.marking.stories.story_scheme import ground_of, name_of, offers, scheme_text
from tutor.teaching.marking.stories.story_values import equation_in_value, value_meanings
from tutor.teaching.marking.working import in_pieces
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.story import Story, Valued
from tutor.teaching.staged.story_skills import key_of


def mark_story(
    story: Story,
    text: str,
    scheme: Scheme = GENERAL_PRACTICE,
    terms: Settings = DEFAULTS,
    asked: tuple[Asked, ...] = (),
) -> Marked:
    """Mark a whole script; there are marks for what is ``asked`` and what leads to it, for
    everything where nothing is. Raises Refusal for a script of too many lines.
    """
    by = STORY._replace(ground=partial(_ground, asked))
    paper = begin_paper(story, terms)._replace(has_goal=bool(asked))
    large = in_large_letters(paper, text)
    paper = paper._replace(levels=tuple(levels_said(paper, large)))
    written = [
        line._replace(text=as_typed.text)
        for line, as_typed in zip(lines_of(large), lines_of(text), strict=True)
    ]
    written = in_pieces(
        written,
        lambda pieces: with_names_for_letters(
            pieces, capacitances_given(paper), story.powers["capacitance"]
        ),
    )
    return marked(by, paper, written, scheme)


def _ground(asked: tuple[Asked, ...], paper: Paper, written: AbstractSet[int]) -> Ground[int]:
    return ground_of(paper, offers(paper.story, asked, paper.paths), written)


# Values as they are right, as given, and as the learner has them


def _truth(paper: Paper) -> Mapping[int, Valued]:
    return {at: (paper.right(at), paper.asks[at].dimension) for at in paper.own}


def _given(paper: Paper) -> list[Value]:
    return [link.value[0] for link in paper.given]


def _worth(paper: Paper, sides: Sequence[Expression]) -> Mapping[str, Measure]:
    return lookup(paper, Statement(tuple(sides)), len(paper.asks))


def _called(paper: Paper, at: int) -> tuple[str, str]:
    return key_of(at, paper.asks[at]), name_of(paper, at)


def _remark(paper: Paper, rulings: Rulings, each: Judgement[int]) -> str:
    return on_judgement(StoryContext(paper, rulings), each)


STORY: Final[ProblemKind[Paper, int]] = ProblemKind(
    names=names_on,
    reader=reader_on,
    readied=piece_readied,
    in_words=said_in_words,
    equation=equation_in_value,
    meanings=value_meanings,
    alike=lambda _, __, ___: (),
    holds=true_equation,
    excused=as_without,
    truth=_truth,
    own=lambda paper: paper.own,
    given=_given,
    right_values=right_values,
    at_later_times=at_later_times,
    taken_for=values_otherwise,
    worth=_worth,
    powers=lambda paper: paper.story.powers,
    settled=settled,
    canonical=lambda _, at: at,
    ground=partial(_ground, ()),
    called=_called,
    scheme_line=scheme_text,
    remark=_remark,
)

