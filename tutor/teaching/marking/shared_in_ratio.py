"""A ratio in words as the equations that it stands for: the p.d. divides 2 : 1, so 8 V and 4 V."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Final

from grammar.handwriting import TO
from tutor.circuit.joining import JOININGS
from tutor.circuit.steps import Step
from tutor.circuit.values import in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.labels import symbol_in
from tutor.teaching.marking.script import Script
from tutor.teaching.quantities import Quantity, Symbol
from tutor.teaching.ways_of_walk import canonical

_SAID: Final = re.compile(rf"([^=\d]*?)(\d[\d.]*(?:{TO}\d[\d.]*)+)(.*)")
_AMOUNT: Final = re.compile(r"\d+(?:\.\d+)?")
_UNIT: Final = re.compile(r"[pnuµμmk]?[VC]\b")
_LETTER: Final = re.compile(r"^\W*([VUQ])(?!\w)")
_TURNED: Final = re.compile(r"\b(?:invers|opposit|other way|revers|upside)", re.IGNORECASE)


def ratio_as_equations(script: Script, piece: str) -> str:
    """A piece with what its ratio relates, and with the names of what stands behind that in the
    same order; nothing of it where nobody can tell what is divided so.
    """
    found = _SAID.fullmatch(piece)
    if found is None:
        return piece
    shares = [Fraction(each) for each in found[2].split(TO)]
    amounts = _AMOUNT.findall(found[3])
    named = _divided_so(script, _symbol_of(found[1]), shares)
    if not named or not all(shares):
        return ""
    names = [f"{each.symbol}{(each.of or '')[1:]}" for each in named]
    if _TURNED.search(found[1] + found[3]):
        shares = shares[::-1]
    said = [
        f"{one}/{other} = {a}/({b})"
        for (one, other), (a, b) in zip(pairwise(names), pairwise(shares), strict=True)
    ]
    values = [Fraction(each) for each in amounts]
    if len(values) == len(shares) and _are_as(values, shares):
        unit = "".join(_UNIT.findall(found[3])[-1:])
        said += [f"{name} = {each} {unit}" for name, each in zip(names, amounts, strict=True)]
    return "; ".join(said)


def _symbol_of(words: str) -> Symbol | None:
    letter = _LETTER.search(words)
    alone: Symbol | None = None if letter is None else "Q" if letter[1] == "Q" else "V"
    return symbol_in(words) or alone


def _divided_so(
    script: Script, symbol: Symbol | None, shares: Sequence[Fraction]
) -> list[Quantity]:
    """What is divided so, in the order of the text: of the only group of as many where this adds
    up, or of the one that the ratio fits. A ratio that is right the other way round may have been
    told in that order, unless it is that of the capacitances themselves.
    """
    walk = script.walk
    groups = [
        step
        for step in walk.plan
        if step.makes and len(step.parts) == len(shares) and JOININGS[step.kind].adds == symbol
    ]
    if symbol not in ("Q", "V"):
        return []
    rows = [[canonical(walk, Quantity(symbol, part.name)) for part in g.parts] for g in groups]
    fitting = [row for row in rows if _are_as(_right(script, row), shares)]
    if fitting or len(groups) != 1:
        return fitting[0] if fitting else []
    is_turned = _are_as(_right(script, rows[0]), shares[::-1])
    return [] if is_turned and not _are_capacitances(script, groups[0], shares) else rows[0]


def _right(script: Script, row: Sequence[Quantity]) -> list[Fraction]:
    values = [script.walk.truth.get(each) for each in row]
    return [Fraction(v) for v in values if v is not None and not in_letters(v)]


def _are_as(values: Sequence[Fraction], shares: Sequence[Fraction]) -> bool:
    """Whether values are to each other as these are."""
    return len(values) == len(shares) and all(
        close(value * shares[0], values[0] * share)
        for value, share in zip(values, shares, strict=True)
    )


def _are_capacitances(script: Script, step: Step, shares: Sequence[Fraction]) -> bool:
    unit = Fraction(10) ** script.walk.problem.powers["capacitance"]
    own = [script.own.get("C", part.name) for part in step.parts]
    return [value / unit for value in own if value is not None] == list(shares)
