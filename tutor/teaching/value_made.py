"""The value that a choice comes to, said in the same breath: 2 and 4 make 6, 6 from C2 and C3.

The number may as well be the value of a capacitor that is there, so that the choice is misread; it
is told apart where the others that are named do come to it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import islice
from typing import Final

from grammar.quantity import UNIT_SIGN
from grammar.records import Refusal
from grammar.spoken_numbers import in_figures
from tutor.circuit.steps import Choice, carry_out, examine
from tutor.teaching.claims import is_right, read
from tutor.teaching.pointing import capacitors_in, values_in_figures
from tutor.teaching.quantities import Quantity
from tutor.teaching.turn import take
from tutor.teaching.walk import Walk, question_about, used_names

MOST_TRIED: Final = 5  # numbers of a line that what is chosen may come to
_VALUE = (
    rf"(?P<value>(?<![\w./])\d+(?:[.,]\d+)?(?:\s*/\s*\d+)?(?:\s*{UNIT_SIGN})?)(?![\w./]*\d)"
)
_A_NUMBER = re.compile(r"(?<![\w./])(?<!\bthe )(\d+(?:\.\d+)?)(?![\w./])")
_MADE = (
    re.compile(
        r"(?i)(?:[\s,;]*\b(?:so|that|which|then|and|they|it|together|to)\b)*[\s,;]*"
        r"(?:=|→|[-=]+>|\b(?:makes?|making|gives?|giving|gets?|becomes?|equals?|comes?\s+to|is|are|into"
        rf"|yields?|adds?\s+up\s+to)\b)\s*(?:(?:us|me|the|a|an|one|of|up|to)\s+)*{_VALUE}"
    ),
    re.compile(rf"(?i){_VALUE}\s+(?:comes\s+)?(?:from|out\s+of)\b"),
)
_DENIED = re.compile(r"(?i)\b(?:not|no|never|or|if|than)\b|n['’]t\b|\?")
_JOINED = re.compile(r"\b(?:series|parallel)\b")
_LEADS_ON = re.compile(r"(?i)^(?:[\s,;.]|\b(?:and|so|then|with|hence|thus)\b)+")
_FIRST_CLAUSE = re.compile(r"(?i)[,;](?!\d)|\.(?!\d)|\b(?:and\s+)?then\b")


def with_value_apart(walk: Walk, line: str) -> str | None:
    """A line that chooses capacitors, with the value that they come to under its name behind it;
    None where no number of it is that value.
    """
    said = in_figures(values_in_figures(line))
    first = _FIRST_CLAUSE.split(said, maxsplit=1)[0]
    found = next(_apart(walk, said), None) or next(_apart(walk, first), None)
    return found or next(_of_the_last_two(walk, said), None)


def _of_the_last_two(walk: Walk, said: str) -> Iterator[str]:
    """What the only two that are left make, with nobody named: now in series, 8/3 uF, Q = 32."""
    names = [c.name for c in walk.network.capacitors]
    judged = examine(walk.network, names)
    if len(names) != 2 or not isinstance(judged, Choice) or _DENIED.search(said):
        return
    if {*_JOINED.findall(said.lower())} - {judged.kind}:
        return
    for found in islice(re.finditer(_VALUE, said), MOST_TRIED):
        name = _made_by(walk, ", ".join(names), found["value"])
        if name is not None:
            rest = _LEADS_ON.sub("", said[found.end() :])
            yield f"{name} = {found['value']}" + (f", {rest}" if re.search(r"\d", rest) else "")


def _apart(walk: Walk, said: str) -> Iterator[str]:
    for pattern in _MADE:
        for found in islice(pattern.finditer(said), MOST_TRIED):
            rest = f"{said[: found.start()]} {said[found.end() :]}".strip(" ,;.")
            by_value = _A_NUMBER.sub(r"the \1", rest)  # 2 and 3 make 5: not C2 and C3
            for names in dict.fromkeys((rest, by_value)):
                name = _made_by(walk, names, found["value"])
                if name is not None:
                    yield f"{names}, {name} = {found['value']}"


def _made_by(walk: Walk, rest: str, value: str) -> str | None:
    """The name of what the capacitors make that are named, where it has this value."""
    chosen = capacitors_in(rest, walk.network, walk.problem.powers["capacitance"], walk.made)
    if chosen is None or not chosen.names[1:] or chosen.unknown or chosen.asks or chosen.doubtful:
        return None
    judged = examine(walk.network, chosen.names)
    if not isinstance(judged, Choice) or chosen.kind not in (None, judged.kind):
        return None
    step = carry_out(walk.network, judged, used_names(walk))
    if (made := step.makes) is None:
        return None
    taken = take(walk, step)  # it may be another step than the tutor would take
    try:
        (claim,) = read(taken, f"{made.name} = {value}")
    except (Refusal, ValueError):
        return None
    asked = question_about(taken, Quantity("C", made.name))
    return made.name if is_right(taken, asked, claim) else None
