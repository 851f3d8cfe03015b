"""Answers told by chance, heard: ``python -m tests.lines_report [lines] [seed] [-v]``.

A right answer called wrong (with a reason that is so, or none), or a wrong one praised, or one
praised whose reason is not so and of which nothing is said, is a fault; with ``-v`` right answers
that are not taken are shown as well.
"""

from __future__ import annotations

import re
import sys
from collections import Counter, defaultdict
from itertools import islice
from typing import Final

from tests.teaching.made_lines import MadeLine, made_lines
from tests.teaching.places_of_lines import HOST, verdicts
from tutor.front.chat.stages import Answer

LINES: Final = 2_000
FAULTS: Final = (
    "right called wrong", "wrong praised", "false reason praised", "true reason denied",
)
_SPEAKS_OF_IT: Final = re.compile(r"(?i)\breason|\bWhy do|What makes it so|^Yes\b.*\?")
_DENIES: Final = re.compile(
    r"(?i)reason is another|not for th(?:e|at) reason|not for the one you|Yes, but not"
)


def how_heard(made: MadeLine) -> tuple[str, str]:
    """How a line was taken, and what was said to it."""
    answer = HOST.hear(made.place.chat, made.line)
    said = "\n".join(message.text for message in answer.messages)
    kind = _as_right(made, answer, said) if made.is_right else _as_wrong(made, answer)
    return kind, said


def _praised(made: MadeLine, answer: Answer) -> bool:
    of = made.place.of
    return any(m.verdict == "right" and (of is None or m.of in (None, of)) for m in answer.messages)


def _as_wrong(made: MadeLine, answer: Answer) -> str:
    given = verdicts(answer.messages)
    if "wrong" not in given and _praised(made, answer):
        return "wrong praised"
    if "wrong" in given:
        return "wrong called wrong"
    return "wrong asked on" if "incomplete" in given else "wrong not understood"


def _as_right(made: MadeLine, answer: Answer, said: str) -> str:
    given = verdicts(answer.messages)
    if "wrong" in given:
        return "right called wrong" if made.ground is not False else "false reason, called wrong"
    if not _praised(made, answer):
        return "right, asked on" if "incomplete" in given else "right not understood"
    if made.ground is False:
        if made.place.kind == "reason":
            return "false reason praised"
        spoken = "incomplete" in given or _SPEAKS_OF_IT.search(said)
        return "false reason spoken of" if spoken else "false reason praised"
    if made.ground and _DENIES.search(said):
        return "true reason denied"
    left_open = "incomplete" in given or "cannot tell" in said
    return "right, its reason left open" if made.ground and left_open else "right called right"


def main() -> int:
    numbers = [int(each) for each in sys.argv[1:] if each.isdigit()]
    lines, seed = (*numbers, *(LINES, 1)[len(numbers) :])
    found: dict[str, Counter[str]] = defaultdict(Counter)
    for made in islice(made_lines(seed), lines):
        kind, said = how_heard(made)
        found[made.place.kind][kind] += 1
        if kind in FAULTS or ("-v" in sys.argv and kind == "right not understood"):
            prompt = made.place.prompt.split("\n")[0][:150]
            print(f"{kind} [{made.place.kind}] {made.place.network}\n    asked {prompt}\n"
                  f"    {made.line!r}\n    " + said.replace("\n", "\n    ")[:400])
    for place, kinds in sorted(found.items()):
        print(f"{place:20}", ", ".join(f"{kind} {n}" for kind, n in kinds.most_common()))
    whole = sum(found.values(), Counter[str]())
    print(", ".join(f"{kind} {n}" for kind, n in whole.most_common()))
    return sum(whole[each] for each in FAULTS)


if __name__ == "__main__":
    sys.exit(1 if main() else 0)
