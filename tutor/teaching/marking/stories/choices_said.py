"""Choices in words: which question they answer, and what a wrong one leads to."""

from __future__ import annotations

import re
from types import MappingProxyType
from typing import Final

from grammar.answers import DIMS, Measure
from grammar.records import Dimension
from tutor.circuit.values import in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.grading import Judgement
from tutor.teaching.marking.phrases import FOLLOWS
from tutor.teaching.marking.problem_kind import FoundIn, Passing
from tutor.teaching.marking.statements import AMOUNT
from tutor.teaching.marking.stories.bridge_left_out import said_left_out
from tutor.teaching.marking.stories.changes_said import says_true_change
from tutor.teaching.marking.stories.held_after import OF_WORDS
from tutor.teaching.marking.stories.paper import Paper, values_before
from tutor.teaching.marking.stories.story_pieces import NO_CHANGE, told_by_names
from tutor.teaching.marking.stories.story_remarks import of_choice
from tutor.teaching.marking.stories.story_words import is_prose, is_short, option_said, words_after
from tutor.teaching.staged.story import Ask, Option

_HELD_KINDS: Final[tuple[tuple[str, Dimension], ...]] = (
    ("the charge", "charge"),
    ("the p.d.", "voltage"),
    ("the same", "energy"),
)
FEWEST_WORDS: Final = 3  # that say more than a name does
_HELD_FIXED: Final = re.compile(
    r"fix|\bsets\b|\bset by\b|decides|determine|held|hold|const|kept|keep|stay|conserv|unchanged"
    r"|change|remain|still|trapped|nowhere"
)
_NO_ENERGY: Final = ("C", "F", "V")
_STILL: Final = re.compile(
    rf"\b(?:stays?|still|remains?|unchanged|kept|keeps?|constant|conserved|fixed|trapped|{NO_CHANGE})\b"
)
_OF_IT: Final = re.compile(
    r"(?i)^(?:(?:and|which|that|it|this|always|also|then)\s+)*(?:is\s+|has\s+to\s+|must\s+)?"
    rf"(?:{_STILL.pattern})(?!.*\b(?:charge|volt|p\.?d|energ|capacit|supply|[CQVUEW]\b))"
)
_HELD_BY_UNIT: Final = MappingProxyType({"C": "the charge", "V": "the p.d."})
_KEEPS_ENERGY: Final = re.compile(  # and not that what is lost of it must be somewhere
    r"(?i)^(?!.*(?:\bnot\b|n['’]t\b|\bnever\b|\bheat|\blos[st]|\bwork\b|\btotal\b))"
    r".*(?:\bconserv\w*\s+(?:of\s+)?(?:the\s+)?(?:\w+\s+)?energy"
    r"|\benergy\b[^=]*\b(?:conserv|constant|kept|unchanged|stays))"
)
_REASON_NEXT: Final = re.compile(r"\b(?:because|as|since|for)\s+[CQVUEW]['’\d]*\s*$")
_SO_IN_WORDS: Final = re.compile(r"\b(?:so|hence|therefore|thus)\b([^=\d]+)$")
_OF_ENERGY: Final = re.compile(r"^\s*[EWU]['’_\d]*\s*=|energy|stored")
_EMPTY_AT_FIRST: Final = re.compile(
    r"=\s*0\b.*\b(?:uncharged|empty|not charged|no charge|at first|initially|to begin)\b"
)


def said_in_words(paper: Paper, piece: str) -> FoundIn[Paper, int] | None:
    """What a piece in words says: a choice, or nothing that can be marked."""
    if "=" in piece:
        beside = "energy" if _OF_ENERGY.search(piece) else ""
        if not beside and all(each.endswith(_NO_ENERGY) for each in AMOUNT.findall(piece)):
            beside = "value"
        behind = _SO_IN_WORDS.search(piece)
        words = _with_subject(piece, words_after(piece)) or (behind[1].strip() if behind else "")
        chosen = _chosen(paper, words, beside) or _named_rightly(paper, piece)
    elif (cut := said_left_out(paper, piece)) is not None:
        return FoundIn(paper._replace(is_cut=True), (cut,))
    else:
        chosen = _chosen(paper, told_by_names(paper, piece), "")
    if chosen is not None and chosen.verdict == "wrong" and says_true_change(paper, piece):
        return FoundIn(paper, (), "That is so, and no mark is for it.")
    if chosen is not None:
        after = led_astray(paper, chosen)
        return FoundIn(after._replace(said=paper.said | {chosen.quantity}), (chosen,))
    if is_prose(piece):
        return FoundIn(paper)
    if _EMPTY_AT_FIRST.search(piece):
        return FoundIn(paper, (), "That is so at first, and no mark is for it.")
    return None


def _with_subject(piece: str, words: str) -> str:
    """Words behind a value with what it is the value of, where they say of that alone that it
    stays: Q = 90 µC and stays.
    """
    unit_last = AMOUNT.findall(piece)[-1:]
    subject = _HELD_BY_UNIT.get(unit_last[0][-1]) if unit_last else None
    return f"{subject} {words}" if subject and _OF_IT.match(words) else words


def _named_rightly(paper: Paper, piece: str) -> Judgement[int] | None:
    """A right choice in the words that a value has for a name, work done on the plates; or one
    that an equation is said to rest on, by conservation of energy.
    """
    words = piece.partition("=")[0]
    found = _chosen(paper, words, "") if len(words.split()) >= FEWEST_WORDS else None
    is_wrong_meant = _KEEPS_ENERGY.search(words) or _REASON_NEXT.search(words)
    is_meant = found is not None and (found.verdict == "right" or is_wrong_meant)
    return found if is_meant else None


def _chosen(paper: Paper, words: str, beside: str) -> Judgement[int] | None:
    """Words that answer a question for a choice: the next one, or one before it that they answer
    rightly; ``beside`` an energy none but one of that matter, beside another value none of it.
    """
    if not words or "=" in words:
        return None
    waiting = [
        (at, option)
        for at, ask in enumerate(paper.asks)
        if ask.options
        and at not in paper.said
        and (not beside or (ask.about == "energy") == (beside == "energy"))
        and (option := option_said(ask, words, beside)) is not None
        and (option.is_right or _is_plainly_said(ask, option, words))
    ]
    ahead = [each for each in waiting if each[0] >= paper.frontier]
    ahead.sort(key=lambda each: not each[1].is_right)
    behind = [each for each in waiting if each[0] < paper.frontier][-1:]
    right = [each for each in (*ahead, *behind) if each[1].is_right]
    goes_on = _STILL.search(words) is not None  # said of what comes now, not of what was
    is_value = any(sign.isdigit() for sign in words)
    held = [each for each in behind if not (is_value and not goes_on) and _leads_on(paper, each[0])]
    best = next(iter((*ahead, *right, *held) if goes_on else (*right, *ahead)), None)
    if best is None:
        return None
    at, option = best
    told = of_choice(option, paper.asks[at])
    if option.is_right:
        return Judgement(at, "right", method=True, told=told)
    if paper.off() and _follows(paper, at, option):
        return Judgement(at, "carried", method=True, told=FOLLOWS)
    judged = Judgement(at, "wrong", malrules=option.malrules, told=told)
    return judged._replace(fault="malrule" if option.malrules else None)


def _leads_on(paper: Paper, at: int) -> bool:
    """Whether a choice of what is held was passed without a charge or a p.d. that rests on it."""
    after = (paper.asks[place].dimension for place in paper.stated if place > at)
    return paper.asks[at].key == "held" and not {"charge", "voltage"}.intersection(after)


def led_astray(paper: Paper, chosen: Judgement[int]) -> Paper:
    """The paper with the value that a wrong choice leads to: that of one capacitor too many, or
    the one before where it is said to be held.
    """
    at = chosen.quantity
    wrong = (option for option in paper.asks[at].options if not option.is_right)
    option = next((o for o in wrong if of_choice(o, paper.asks[at]) == chosen.told), None)
    if chosen.verdict != "wrong" or option is None:
        return paper
    held = next((k for word, k in _HELD_KINDS if word in option.words), None)
    kind = option.leads_to[1] if option.leads_to else held
    later = next((p for p in paper.own if p > at and paper.asks[p].dimension == kind), None)
    if kind is None or later is None:
        return paper
    before = values_before(paper, later)[-1:]
    value = option.leads_to[0] if option.leads_to else next(iter(before), None)
    if value is None or close(value, paper.right(later)):
        return paper
    own, right = (Measure(v, DIMS[kind], paper.power(later)) for v in (value, paper.right(later)))
    led = Passing(OF_WORDS, own, right, named=option.leads_to is not None)
    return paper._replace(passing=(*paper.passing, led))


def _follows(paper: Paper, at: int, option: Option) -> bool:
    """Whether a comparison of the energies before and after is that of the learner's own values."""
    key = paper.asks[at].key
    energies = [place for place in paper.own if paper.asks[place].dimension == "energy"]
    behind = [place for place in energies if place < at]
    ahead = [place for place in energies if place > at]
    pair = [*behind[-1:], *ahead[:1]] if key == "energy change" else behind[-2:]
    if key not in ("energy change", "energy went") or len(pair) < len(("before", "after")):
        return False
    own, right = ([of(place) for place in pair] for of in (paper.own.__getitem__, paper.right))
    if any(in_letters(value) for value in (*own, *right)):
        return False
    if key == "energy went":  # what went in is taken to have gone out
        return (own[1] < own[0]) != (right[1] < right[0])
    one, other = own
    return ("lower" if other < one else "higher" if other > one else "same") in option.words


def _is_plainly_said(ask: Ask, option: Option, words: str) -> bool:
    """Whether a wrong answer in words is meant as one: in a longer sentence a word in passing is
    none.
    """
    if ask.key == "held" and not _HELD_FIXED.search(words.lower()):
        return False
    most = {"shares": 9, "change": 9, "energy": 9, "check": 9, "choice": 5}.get(ask.about, 0)
    return len(words.split()) <= most or is_short(option, words, most)
