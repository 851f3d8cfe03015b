"""Working by chance in pupils' hands: ``python -m tests.working_report [scripts] [seed] [-v]``.

Half of the scripts are right from the first line to the last, half have one slip that is carried
on consistently. With ``-v`` every script is shown of which something is counted.
"""

from __future__ import annotations

import sys
from collections import Counter
from itertools import islice
from typing import Final

from grammar.reading import read_network
from tests.teaching.marking.made_working import MadeScript, made_scripts
from tutor.teaching.marking.any_problem import mark_working
from tutor.teaching.marking.examining import GENERAL_PRACTICE
from tutor.teaching.marking.marked import Marked

SCRIPTS: Final = 1_000
MOST_LOST: Final = 2  # what one value has
RIGHT_CALLED_WRONG: Final = "right lines called wrong"
BELOW_FULL: Final = "right scripts below full marks"
CARRIED_CALLED_WRONG: Final = "carried lines called wrong"
FAULTS: Final = (RIGHT_CALLED_WRONG, CARRIED_CALLED_WRONG, "slips praised")


def marked_script(made: MadeScript) -> Marked:
    """A script as the program marks it."""
    return mark_working(read_network(made.problem.text), "\n".join(made.lines), GENERAL_PRACTICE)


def found_in(made: MadeScript, marked: Marked) -> Counter[str]:
    """What is to be counted of a marked script."""
    wrong = {line.line for line in marked.lines if line.verdict == "wrong"}
    may_lack_units = len(made.problem.asked) if made.hand.units == "none" else 0
    if made.slip is None:
        is_short = marked.of - marked.total > may_lack_units
        return +Counter(
            {RIGHT_CALLED_WRONG: len(wrong), "right scripts below full marks": is_short}
        )
    first = min(made.of_slip)
    after = sorted(n for n in wrong - made.of_slip if n > first)
    is_seen = bool(wrong & made.of_slip)
    lost = sum(each.of - each.got for each in marked.credits if each.lines)
    return +Counter({
        RIGHT_CALLED_WRONG: len({n for n in wrong if n < first}),
        CARRIED_CALLED_WRONG: len(after if is_seen else after[1:]),
        "slips seen later": bool(after) and not is_seen,
        "slips not seen": not after and not is_seen,
        "slips praised": not wrong and marked.total == marked.of,
        "slips that lose more than once": lost > MOST_LOST + may_lack_units,
    })  # fmt: skip


def lines_right(made: MadeScript) -> int:
    """How many lines stand before any slip."""
    return min(made.of_slip, default=len(made.lines) + 1) - 1


def _shown(made: MadeScript, marked: Marked) -> None:
    slip = f", {made.slip.kind} at {sorted(made.of_slip)}" if made.slip else ""
    print(f"    {made.problem.text}{slip}; {marked.total} of {marked.of}, left {marked.left_out}")
    for line in marked.lines:
        print(f"    {line.line:3} {line.verdict:8} {line.text}")
        if line.verdict in ("wrong", "unread"):
            print(f"        {line.remark}")


def main() -> int:
    numbers = [int(each) for each in sys.argv[1:] if each.isdigit()]
    scripts, seed = (*numbers, *(SCRIPTS, 1)[len(numbers) :])
    whole, kinds, right = Counter[str](), Counter[str](), 0
    for at, made in enumerate(islice(made_scripts(seed), scripts)):
        marked = marked_script(made)
        found = found_in(made, marked)
        whole += found
        kinds[made.slip.kind if made.slip else "right"] += 1
        right += lines_right(made)
        if found and "-v" in sys.argv:
            print(f"{at}: {', '.join(found)}")
            _shown(made, marked)
    print(", ".join(f"{kind} {n}" for kind, n in kinds.most_common()))
    print(f"lines before any slip {right}")
    print("; ".join(f"{kind} {n}" for kind, n in whole.most_common()))
    return sum(whole[each] for each in FAULTS)


if __name__ == "__main__":
    sys.exit(1 if main() else 0)
