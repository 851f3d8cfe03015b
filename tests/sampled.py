"""How much of what is tried by chance is tried: a sample, or with ``TRIED=whole`` all of it.

The rounds that take longest are sampled, every rule and every kind in them at least some times;
what holds for each that is tried is the same either way.
"""

from __future__ import annotations

import os
from typing import Final

WHOLE: Final = os.environ.get("TRIED") == "whole"
SHARE: Final = 3
LEAST: Final = 10


def some(whole: int, least: int = LEAST) -> int:
    """A third of a round, or ``least`` where that is more; all of it with ``TRIED=whole``."""
    return whole if WHOLE else min(whole, max(least, whole // SHARE))
