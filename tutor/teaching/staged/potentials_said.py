"""Potentials as people write them: VP = 6, P is at 6 V, 6 V at P, p and x in an equation; and what
they rest on, that the charges at a point add up to nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import permutations

from tutor.teaching.staged.story import Telling

# Before an amount that is said of a point, and behind it.
_AT_A_POINT = (
    r"(?<![\w.'])(?:potential\s+(?:of|at)\s+)?(?:point\s+|node\s+)?(?:[VU]_?)?(?P<point>{points})"
    r"(?:\s*[=:]\s*|\s+(?:(?:is|sits?|lies|stands|has|at|on)\s+)*)(?=[-+]?\d)"
)
_FOR_A_POINT = (
    r"(?<![\w.])(?P<amount>[-+]?\d+(?:[.,]\d+)?(?:\s*/\s*\d+)?(?:\s*[mk]?V|\s*volts?)?)\s+(?:is\s+)?"
    r"(?:for|at|on|of)\s+(?:point\s+|node\s+)?(?P<point>{points})(?![\w'])"
)
_FACTOR = re.compile(r"(?:^|[\w)]\s*[-+*/−×·]|\()\s*[\d.]+\s*$")  # 6 VP = 20 + VQ
_IN_AN_EQUATION = r"(?<![A-Za-z_])(?:[VU]_?)?(?P<point>{points}|{small})(?![A-Za-z_\d'])"


_CHARGES_IN_ALL = re.compile(
    r"(?i)\b(?:charges|(?:net|total|whole)\s+charge|sum|charge\b(?=.*\b(?:in\s+all|in\s+total|"
    r"al?l?\s?together|[PQRST]\b)))"
)
_SUM_OF_CHARGES = re.compile(r"\s*Q_?\w+(?:\s*\+\s*Q_?\w+)+\s*=\s*0\s*")
_IS_NOUGHT = re.compile(
    r"(?i)\b(?:zero|nought|nil|nothing|balance|cancel)\b|(?<![\w.])0(?![\w.])|\bno\s+net\b"
)
_OF_MORE = re.compile(
    r"(?i)\b(?:potentials?|p\.?d\.?|volt\w*|flows?|so|c_?\d+)\b|\b(?-i:[VUv]_?[A-Za-z]?)\b|\?"
)


def says_what_it_rests_on(telling: Telling, line: str) -> bool:
    """Whether a line says of all the charge at the point in hand that it is nought, and no more."""
    network, point = telling.story.network, telling.ask and telling.ask.told.get("point")
    if network is not None and _SUM_OF_CHARGES.fullmatch(line):
        there = {f"Q{c.name[1:]}" for c in network.capacitors if point in c.points}
        return there == {*re.findall(r"Q\w+", line.replace("_", ""))}
    return not _OF_MORE.search(line) and all(
        sign.search(line) is not None for sign in (_CHARGES_IN_ALL, _IS_NOUGHT)
    )


_NO_LETTER, _ALONE = r"(?<![A-Za-z_'])", r"(?![A-Za-z_'(]|\s*\d)"  # 2 x 3 is a product
_OWN_LETTER = re.compile(rf"{_NO_LETTER}(?P<letter>[a-z]){_ALONE}")


def points_asked(telling: Telling) -> list[str]:
    """The names of the potentials that are asked for, where one of them is asked now."""
    names = [ask.name for ask in telling.story.asks if re.fullmatch(r"[VU]_\w+", ask.name)]
    is_asked = telling.ask is not None and telling.ask.name in names
    return [*dict.fromkeys(names)] if is_asked else []


def _unknowns(telling: Telling) -> list[str]:
    """The names that letters of one's own may stand for: the potentials where one is asked, or the
    value that a question in words leads to.
    """
    asks = telling.story.asks[telling.at :] if telling.ask and telling.ask.options else ()
    return points_asked(telling) or [ask.name for ask in asks if ask.name][:1]


def own_letters(telling: Telling, line: str) -> list[str]:
    """The letters of one's own in an equation: x and y for potentials, x for what is looked for."""
    names = _unknowns(telling) if "=" in line else []
    of_points = {name[2:].lower() for name in names}
    said = dict.fromkeys(found["letter"] for found in _OWN_LETTER.finditer(line))
    letters = [letter for letter in said if letter not in of_points]
    return letters if len(letters) <= len(names) <= MOST_LETTERS else []


def with_own_letters(telling: Telling, line: str) -> Iterator[str]:
    """An equation in every way in which such letters may stand for the potentials asked for."""
    letters = own_letters(telling, line)
    for meant in permutations(_unknowns(telling), len(letters)) if letters else ():
        said = line
        for letter, name in zip(letters, meant, strict=True):
            said = re.sub(rf"(?<=\d)\s*{letter}{_ALONE}", f"*{name}", said)
            said = re.sub(rf"{_NO_LETTER}{letter}{_ALONE}", name, said)
        yield said


MOST_LETTERS = 4


def with_potentials(telling: Telling, line: str) -> str:
    """V_P for p, P or VP in an equation or before a value, and for 6 V at P, where the potentials
    of points are asked for.
    """
    name = telling.ask.name if telling.ask is not None else ""
    if not re.fullmatch(r"[VU]_\w+", name):
        return line
    asked = {ask.name for ask in telling.story.asks if ask.name}
    points = [each[2:] for each in asked if re.fullmatch(r"[VU]_\w+", each)]
    one = "|".join(sorted(map(re.escape, points)))

    def potential(found: re.Match[str]) -> str:
        before = line[: found.start()].rstrip()
        sign = "*" if before[-1:].isdigit() and "=" not in found[0] else " "
        return f"{sign}{name[0]}_{found['point'].upper()}"

    def led(found: re.Match[str]) -> str:
        before = line[: found.start()]
        is_next = re.search(r"[\w)]\s*$", before) is not None
        sign = "*" if _FACTOR.search(before) else ", " if is_next else ""
        return f"{sign}{name[0]}_{found['point']} = "

    line = re.sub(_FOR_A_POINT.format(points=one), rf"{name[0]}_\g<point> = \g<amount>", line)
    line = re.sub(_AT_A_POINT.format(points=one), led, line)
    if "=" not in line:
        return line
    return re.sub(_IN_AN_EQUATION.format(points=one, small=one.lower()), potential, line)
