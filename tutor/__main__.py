"""``python -m tutor``: the same as ``platewalk``."""

from __future__ import annotations

import sys

from tutor.front.commands import main

if __name__ == "__main__":
    sys.exit(main())
