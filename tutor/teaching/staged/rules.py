"""All malrules of stories, from the lists beside this file."""

from __future__ import annotations

from typing import Final

from tutor.teaching.staged.rules_changing import CHANGING
from tutor.teaching.staged.rules_floating import FLOATING
from tutor.teaching.staged.rules_missing import MISSING
from tutor.teaching.staged.rules_plating import PLATING
from tutor.teaching.staged.rules_rating import RATING
from tutor.teaching.staged.star_delta import STAR_DELTA
from tutor.teaching.staged.story import Rule

RULES: Final[tuple[Rule, ...]] = (
    *CHANGING, *FLOATING, *MISSING, *PLATING, *RATING, *STAR_DELTA
)
