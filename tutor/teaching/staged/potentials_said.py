"""Potentials as people write them: VP = 6, P is at 6 V, 6 V at P, and p in an equation."""

from __future__ import annotations

import re

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
