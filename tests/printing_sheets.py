"""The sheets that a benchmark prints: thirty variants of eight problems, and their keys."""

from __future__ import annotations

from collections.abc import Sequence

from tutor.desk.sheets.as_typst import TypstSource, as_typst
from tutor.desk.sheets.made import Wish, keys, sheets, variants_of
from tutor.desk.sheets.set_patterns import of_skills
from tutor.desk.typesetting import pdf
from tutor.teaching.settings import DEFAULTS

VARIANTS = 30
ORDERS = (
    "two in series", "adding in parallel", "dividing a p.d.", "a parallel set in a chain",
    "a chain in a parallel set in a chain", "energy in a network", "a dead end", "bridge",
)


def source_of() -> tuple[TypstSource, TypstSource]:
    """Sheets and keys, from their orders to what the typesetter takes."""
    wish = Wish("Sheets", tuple(range(VARIANTS)))
    variants = variants_of(wish, [of_skills(ORDERS, len(ORDERS))] * VARIANTS, DEFAULTS)
    return as_typst(sheets(wish, variants, DEFAULTS)), as_typst(keys(wish, variants, DEFAULTS))


def typeset(sources: Sequence[TypstSource]) -> None:
    """Set them alone."""
    for source in sources:
        pdf(source.text, source.inputs)
