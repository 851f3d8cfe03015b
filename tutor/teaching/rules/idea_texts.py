"""What is said of a wrong idea: the rows of ``wrong_ideas.toml``, by the idea's name in records."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.tables import table

NO: Final = r"(?:no|nope|nah|not|never|cannot|can't|n't|doesn't|false|nein)"
RECIPROCALS: Final = r"(?:1\s*/\s*c|(?:one|1)[ -]overs?(?: c)?|reciprocals?|inverses?|upside.?down)"
CAPACITANCES: Final = r"(?:(?<!/)(?<!/ )(?<!over )c|capacitances?|capacit(?:y|ies)|the values)"
# What stands in braces in the patterns of the table.
PLACES: Final[Mapping[str, str]] = MappingProxyType({
    "{more}": r"(?:more|bigger|larger|higher|greater|rises?|up|increases?|grows?)",
    "{less}": r"(?:less|smaller|lower|falls?|down|decreases?|drops?|fewer|shrinks?)",
    "{yes}": r"(?:yes|yeah|yep|yup|sure|it does|it would|they are|they do|true|ja)",
    "{no}": NO,
    "{charge}": r"(?:charges?|q|coulombs?)",
    "{pd}": r"(?:p\.?\s?d\.?s?|voltages?|volts?|potential differences?|v|u)",
    "{reciprocals}": RECIPROCALS,
    "{capacitances}": CAPACITANCES,
})


class IdeaText(NamedTuple):
    """One row.

    ``idea`` says what someone does who has it, as in 'adds a chain as if side by side'. The three
    texts that follow are filled from the context (see ``rule_text.fields``): ``route`` says how the
    number may have come about ('adding 3 and 7'), ``cannot`` what cannot be on this network,
    ``ask`` the question that lets the learner find it. ``right`` and ``wrong`` are words that
    answer this question, as patterns; ``yes`` and ``no`` are said to them.
    """

    idea: str = ""
    route: str = ""
    cannot: str = ""
    ask: str = ""
    right: str = ""
    wrong: str = ""
    yes: str = ""
    no: str = ""


class FollowUp(NamedTuple):
    """Words that answer a follow-up and words that answer it wrongly, with what is said to each."""

    right: str
    wrong: str
    yes: str
    no: str


def text_of(name: str) -> IdeaText:
    """Errors: ``KeyError`` for what is no wrong idea, ``TypeError`` for an unknown field."""
    return IdeaText(**table("tutor.teaching.rules", "wrong_ideas")[name])


def idea_in_words(name: str) -> str:
    """What someone does who has a wrong idea."""
    return text_of(name).idea


def follow_up_of(name: str) -> FollowUp | None:
    """What answers the question that a wrong idea asks back; None where it has no words for it."""
    text = IdeaText(**table("tutor.teaching.rules", "wrong_ideas").get(name, {}))
    if not text.right:
        return None
    right, wrong = text.right, text.wrong
    for place, words in PLACES.items():
        right, wrong = right.replace(place, words), wrong.replace(place, words)
    return FollowUp(right, wrong, text.yes, text.no)
