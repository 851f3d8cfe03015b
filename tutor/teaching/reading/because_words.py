"""The words that bring a reason: because, since, as the …; all who part a line there share them."""

from __future__ import annotations

import re
from typing import Final

# As a pattern, to be put within others. 'The cause of it' is a noun.
WORDS: Final = (
    r"\b(?:because|becuase|becos|becoz|since|cos|coz|cuz|bcs?|due\s+to|owing\s+to"
    r"|seeing\s+(?:that|as)|given\s+that|(?:for\s+)?the\s+(?:simple\s+)?reason\s+(?:is|being|that)"
    r"|reason(?=\s*[:=])"
    r"|(?<!the\s)(?<!a\s)(?<!no\s)cause(?!\s+of\b|\s*[.?!]|\s*$))\b"
)
# 'As' before a clause of its own, not as in 'as well', 'as big as', 'the same as' or 'as before'.
AS: Final = (
    r"(?<!\bsame\s)(?<!\bsuch\s)(?<!\bmuch\s)(?<!\bmany\s)(?<!\blong\s)(?<!\bbig\s)(?<!\bfar\s)"
    r"(?<!\blarge\s)(?<!\bsmall\s)(?<!\bhigh\s)\bas\s+(?!well\b|usual\b|if\b"
    r"|(?:it|they)\s+(?:was|were|is|are)(?=\s*(?:[,;.]|$|\bbefore))"
    r"|long\b|soon\b|far\b|before\b|expected\b|\w+\s+as\b)(?=[\w'’]+\s+\w)"
)
BECAUSE: Final = re.compile(rf"(?i){WORDS}")
BECAUSE_OR_AS: Final = re.compile(rf"(?i){WORDS}|{AS}")
