"""All malrules of stories, from the lists beside this file."""

from __future__ import annotations

from typing import Final

from tutor.teaching.staged.story import Rule

RULES: Final[tuple[Rule, ...]] = ()
