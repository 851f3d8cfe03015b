"""Names that are more than one answer where capacitors are to be combined: two pairs of which each
can be, or a pair with the value that it makes, though another capacitor has that value too; and
those that stand for what they have become part of.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from grammar.answers import evaluate, read_claims
from tutor.circuit.steps import Choice, carry_out, examine, joint_name
from tutor.teaching.judging import close
from tutor.teaching.pointing import Chosen, capacitors_in
from tutor.teaching.reading.conclusion import conclusion_in
from tutor.teaching.walk import Walk, used_names

_BETWEEN_PAIRS = re.compile(
    r"(?i)[,;:./](?!\d)|\b(?:or|then|also|and\s+(?=then|also|after|later|next)|plus\s+(?=also)"
    r"|could|as\s+well\s+as|likewise|after|later|next|and\s+so\s+can)\b"
)
_LATER = re.compile(r"(?i)\b(?:then|later|after(?:wards)?|next|last|comes?|follows?|waits?)\b")
_A_CAPACITANCE = re.compile(r"(?<![\w.])\d[\d.,]*\s*[pnuµμm]?F\b")
# With the 10 uF, and 10 uF: one that is there, and not what is made.
_ONE_THAT_IS_THERE = re.compile(
    r"(?i)(?:\b(?:and|the|plus|or|to|by|has|have|is|was)|[&+,])\s*$"
)
_MADE = re.compile(
    r"(?i)[\s,:;=→>-]*(?:\b(?:with|giving|for|as|into|an?|second|another|together|in|all|total"
    r"|makes?|making|they|it|becomes?)\b[\s,:;=→>-]*)*$"
)


def first_of_pairs(walk: Walk, line: str) -> Chosen | None:
    """The first of two sets or more that a line names one after the other, or the one that it ends
    by naming again, where each of them can be combined and none has to do with another; None for
    any other line.
    """
    at_ands = re.split(r"(?i)\band\b", line)  # C1 C2 and C3 C4
    return _first_of(walk, line, _BETWEEN_PAIRS.split(line)) or _first_of(walk, line, at_ands)


def _first_of(walk: Walk, line: str, parts: Sequence[str]) -> Chosen | None:
    pairs = [_named(walk, part) for part in parts]
    several = [each for each in pairs if each is not None and each.names]
    sets = {frozenset(each.names) for each in several}
    names = [name for each in sets for name in each]
    are_apart = len(sets) > 1 and len(names) == len(set(names))
    if not are_apart or any(each.unknown or each.asks or each.doubtful for each in several):
        return None
    if len(several[0].names) > 1 and all(len(each.names) == 1 for each in several[1:]):
        return several[0] if _step(walk, several[0]) and _LATER.search(line) else None
    if any(_step(walk, each) is None for each in several):
        return None
    is_again = several[-1].names in [each.names for each in several[:-1]]
    return several[-1] if is_again else several[0]


def with_what_they_make(walk: Walk, line: str) -> list[str]:
    """A line that ends in the value which those named before it make, parted there: C1 and C2 with
    10 uF; nothing for any other line.
    """
    found = [*_A_CAPACITANCE.finditer(line)]
    if len(found) != 1 or "=" in line:
        return []
    before, value = line[: found[0].start()], found[0][0]
    joint = _MADE.search(before)
    names = before[: joint.start()] if joint is not None else before
    if _ONE_THAT_IS_THERE.search(before) or not re.search(r"(?i)c_?\d", names):
        return []
    if conclusion_in(before, walk.network) is not None:  # what they share is said as well
        return []
    return [names, f"= {value}"] if make_so_much(walk, names, value) else []


def make_so_much(walk: Walk, names: str, value: str) -> bool:
    """Whether the capacitors that are named can be combined, and make a capacitance that is
    written with its unit, or in the usual one without it.
    """
    judged = _step(walk, _named(walk, names))
    makes = carry_out(walk.network, judged, used_names(walk)).makes if judged else None
    measure = evaluate(read_claims(value, ())[0].sides[-1], {})
    told = measure.value * (Fraction(10) ** walk.problem.powers["capacitance"] if measure.bare
                            else 1)
    return makes is not None and close(told, makes.value)


_IN_A_ROW = re.compile(
    r"(?i)(?<![\w.])C_?(?P<first>\d)(?:\s*(?:[-–]|\.\.+|\bto\b|\bthrough\b)\s*(?:C_?)?(?P<last>\d)"
    r"|(?P<more>(?:\s*(?:,|&|\band\b)+\s*(?:C_?)?\d(?![\w.]))+))(?![\w.])(?P<is>\s*(?:=|is\b))?"
)


def with_what_is_left(walk: Walk, line: str) -> str:
    """C2 to C4 and C2,3,4 as C2 and C34 where C3 and C4 have become that; what follows an equals
    sign is the value of all of them.
    """
    left = {c.name: _made_from(walk, c.name) for c in walk.network.capacitors}

    def named(found: re.Match[str]) -> str:
        numbers = (
            [found["first"], *re.findall(r"\d", found["more"])] if found["more"]
            else map(str, range(int(found["first"]), int(found["last"]) + 1))
        )
        said = {f"C{number}" for number in numbers}
        names = [name for name, parts in left.items() if parts <= said]
        made = joint_name(names, ())
        if len(names) < 2 or said != set().union(*(left[name] for name in names)) or (
            said <= left.keys() and not (found["is"] and walk.made_by(made))
        ):
            return found[0]
        return f"{made} =" if found["is"] else " ".join(names)

    return _IN_A_ROW.sub(named, line)


def _made_from(walk: Walk, name: str) -> set[str]:
    """The capacitors of the problem that one is made from; itself where it is one of them."""
    step = walk.made_by(name)
    return {name} if step is None else set().union(*(_made_from(walk, c.name) for c in step.parts))


def _named(walk: Walk, words: str) -> Chosen | None:
    return capacitors_in(words, walk.network, walk.problem.powers["capacitance"], walk.made)


def _step(walk: Walk, said: Chosen | None) -> Choice | None:
    judged = examine(walk.network, said.names) if said is not None and said.names else None
    return judged if isinstance(judged, Choice) else None
