"""The examiner's choices: how a script is marked, where examining boards differ.

Source of the conventions: shared general practice in published marking instructions; where
examining boards differ, the difference is a setting described in words.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal, NamedTuple

from grammar.records import Refusal


class Scheme(NamedTuple):
    """How a script is marked; the defaults are general practice.

    ``carried``: a value that follows rightly from an earlier wrong one earns its accuracy mark.
    ``units``: how often a missing or wrong unit costs the accuracy mark of a final value.
    ``contradictions``: of two different values for one quantity neither counts, or the last.
    ``figures``: a value of too few figures costs an accuracy mark, once.
    ``fractions``: a fraction left as it is counts as a final value.
    ``implied``: what was not written and must have been known earns its marks.
    """

    carried: bool = True
    units: Literal["once", "every time", "never"] = "once"
    contradictions: Literal["neither", "last"] = "neither"
    figures: bool = False
    fractions: bool = True
    implied: bool = True


GENERAL_PRACTICE: Final = Scheme()

OPTIONS: Mapping[str, str] = MappingProxyType({
    "general practice": "the defaults",
    "carried values earn method only": "no accuracy mark on a value carried forward",
    "units count every time": "a missing unit costs a mark at every final value",
    "units never count": "a missing unit costs nothing",
    "last answer counts": "of two different values for one quantity the last is marked",
    "figures count": "too few figures cost one mark, once",
    "decimals only": "a fraction left as it is earns no accuracy mark",
})


def read_scheme(text: str) -> Scheme:
    """Settings from words parted by commas, each one of ``OPTIONS``.

    Errors: ``Refusal`` for anything else, with the options there are.
    """
    from difflib import get_close_matches

    scheme = GENERAL_PRACTICE
    for part in text.split(","):
        words = " ".join(part.lower().split())
        near = get_close_matches(words, OPTIONS, 1, 0.8)
        if not words:
            continue
        if not near:
            cure = f"Choose from: {'; '.join(OPTIONS)}."
            raise Refusal(f'"{words[:40]}" is no way of marking that is known here.', cure)
        scheme = _with(scheme, near[0])
    return scheme


def rules_told(scheme: Scheme) -> tuple[str, ...]:
    """The rules of marking in words, as this scheme has them."""
    carried = (
        "A value that follows rightly from an earlier wrong one earns all its marks."
        if scheme.carried else
        "A value that follows rightly from an earlier wrong one earns its method mark alone."
    )
    again = (
        "A wrong relation in names earns nothing, and no more does what it gives; none of this is "
        "marked down twice."
    )
    units = {
        "once": "Missing units cost one mark in the whole script at most: at a value asked for by "
                "name or, where none is, at one whose kind has its unit nowhere in the script.",
        "every time": "A missing unit costs the accuracy mark of each value that is asked for.",
        "never": "A missing unit costs nothing.",
    }[scheme.units]
    figures = (
        "Too few figures cost one mark, once." if scheme.figures else
        "Two figures or more are right where the value rounds to them; one figure costs nothing, "
        "and shows nothing of what leads to it."
    )
    answers = (
        "Of two different answers neither counts." if scheme.contradictions == "neither" else
        "Of two different answers the last counts."
    )
    fractions = (
        "A fraction may stand." if scheme.fractions else "A fraction earns no accuracy mark."
    )
    ways = (
        "Another valid way, such as a ratio or an equation, earns the marks of the lines whose "
        "place it takes. A right relation in the names of this problem earns its method mark. A "
        "reason need not be written: a right value that rests on it shows it. It shows the steps "
        "to it as well, and what these come to unless that is wanted itself: an answer counts "
        "where it stands, if only as a number in a sum."
    )
    return (ways, carried, again, units, figures, answers, fractions)


def _with(scheme: Scheme, option: str) -> Scheme:
    if option == "carried values earn method only":
        return scheme._replace(carried=False)
    if option == "units count every time":
        return scheme._replace(units="every time")
    if option == "units never count":
        return scheme._replace(units="never")
    if option == "last answer counts":
        return scheme._replace(contradictions="last")
    if option == "figures count":
        return scheme._replace(figures=True)
    if option == "decimals only":
        return scheme._replace(fractions=False)
    return GENERAL_PRACTICE
