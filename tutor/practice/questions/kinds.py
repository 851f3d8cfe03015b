"""All kinds of question by name: made from a seed, told in any settings, found by their words."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random
from types import MappingProxyType
from typing import Final

from tutor.practice.questions.after_step import after_step
from tutor.practice.questions.altered import what_is_held
from tutor.practice.questions.bounds import bounds
from tutor.practice.questions.figures import figures
from tutor.practice.questions.more_or_less import more_or_less
from tutor.practice.questions.one_capacitor import one_capacitor
from tutor.practice.questions.one_is_true import statements
from tutor.practice.questions.prefix_swaps import prefixes
from tutor.practice.questions.question import Kind, Posed, QuestionTask
from tutor.practice.questions.ranking import rank_charges, rank_energies, rank_voltages
from tutor.practice.questions.same_network import same_network
from tutor.practice.questions.setting_out import setting_out
from tutor.practice.questions.spotting import holds_nothing, spot_chain, spot_parallel
from tutor.practice.questions.staying import what_stays
from tutor.practice.questions.why_share import why_share
from tutor.teaching.hearing import plain
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.story import Story

ALL: Final = (
    Kind("what a capacitor does", ("S01",), one_capacitor, ("one capacitor", "a capacitor")),
    Kind("prefixes", ("S03",), prefixes, ("prefix", "units", "unit")),
    Kind("figures", ("S04",), figures, ("rounding", "significant figures")),
    Kind("setting out", ("S40", "S11", "S18", "S21"), setting_out,
         ("lines of working", "set out", "missing line")),
    Kind("the same network", ("S05",), same_network,
         ("same network", "written otherwise", "is it the same")),
    Kind("spot parallel", ("S06",), spot_parallel,
         ("which are parallel", "side by side", "same two points", "find parallel")),
    Kind("spot a chain", ("S07",), spot_chain,
         ("which form a chain", "which are in series", "spot series", "find a chain")),
    Kind("holds no charge", ("S16", "S17"), holds_nothing,
         ("who holds no charge", "dead ends", "dead end", "bypassed")),
    Kind("why they share", ("S08", "S09"), why_share, ("why share", "reasons for sharing")),
    Kind("what stays the same", ("S08", "S09", "S29", "S01"), what_stays, ("stays the same",)),
    Kind("bounds", ("S13",), bounds, ("above or below", "below or above")),
    Kind("after a step", ("S15",), after_step, ("network after a step", "redraw")),
    Kind("more or less", ("S13", "S01", "S18", "S19", "S20", "S21", "S22"), more_or_less,
         ("up or down", "what changes")),
    Kind("which statement is true", ("S08", "S09", "S22", "S23", "S26"), statements,
         ("true statement", "statements", "statement")),
    Kind("rank the charges", ("S19", "S22", "S23"), rank_charges,
         ("order the charges", "order of the charges")),
    Kind("rank the p.d.s", ("S20", "S21", "S23"), rank_voltages,
         ("rank the voltages", "rank the potential differences", "rank the pds",
          "order the p.d.s", "order the voltages")),
    Kind("rank the energies", ("S25",), rank_energies,
         ("order the energies", "order of the energies")),
    Kind("what is held fixed", ("S29", "S02", "S24"), what_is_held,
         ("held fixed", "what is held", "supply on or off")),
)
KINDS: Mapping[str, Kind] = MappingProxyType({kind.name: kind for kind in ALL})


def make_question(kind: str, seed: int) -> QuestionTask:
    """The question of a kind (a key of ``KINDS``) and a seed: always the same one.

    Errors: ``KeyError`` for a kind that there is not.
    """
    posed = _posed(kind, seed, DEFAULTS)
    skills = (skill for ask in posed.story.asks for skill in ask.skills)
    return QuestionTask(kind, seed, tuple(dict.fromkeys(skills)), posed.network)


def story_of_question(question: QuestionTask, settings: Settings = DEFAULTS) -> Story:
    """The story of a question, the same in any settings but for its words and numbers."""
    return _posed(question.kind, question.seed, settings).story


def _posed(kind: str, seed: int, settings: Settings) -> Posed:
    return KINDS[kind].make(Random(f"{kind} {seed}"), settings)


def kinds_for(skill: str) -> tuple[str, ...]:
    """The kinds that may ask for a skill, those first that are most about it."""
    found = [kind for kind in ALL if skill in kind.skills]
    return tuple(kind.name for kind in sorted(found, key=lambda kind: kind.skills.index(skill)))


def kind_called(words: str) -> str | None:
    """The kind that goes by just these words."""
    said = plain(words)
    names = ((kind.name, (kind.name, *kind.words)) for kind in ALL)
    return next((name for name, words in names if said in map(plain, words)), None)


def kind_in(words: str) -> str | None:
    """The kind that a line asks for; of several the one with the longest name in it."""
    said = f" {plain(words)} "
    named = [
        (len(phrase), kind.name)
        for kind in ALL for name in (kind.name, *kind.words)
        if f" {(phrase := plain(name))} " in said
    ]
    return max(named)[1] if named else None
