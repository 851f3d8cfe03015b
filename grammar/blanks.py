"""Runs of blanks: beyond a few they say nothing, and every pattern that goes over them takes the
longer for it, some with the cube of their length.
"""

from __future__ import annotations

import re
from typing import Final

MOST_BLANKS: Final = 4  # a gap in a table of working is as wide as that
_RUN: Final = re.compile(rf"[^\S\n]{{{MOST_BLANKS + 1},}}")


def with_few_blanks(text: str) -> str:
    """A text in which no run of blanks is longer than ``MOST_BLANKS``; its lines stay."""
    return _RUN.sub(" " * MOST_BLANKS, text)
