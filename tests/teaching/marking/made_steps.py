"""The rules by which made scripts are worked out, right and wrong, and the steps made of them.

Values are plain numbers in the usual units of a problem: µF, V, µC and µJ, or with n or p for µ.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from math import isqrt
from typing import Final, NamedTuple

SIGNS: Final = ("--", "||")
WORTHS: Final = (2, 3, 4, 5, 6, 8, 9, 10, 12, 14, 15, 16, 18, 20, 24, 30, 36, 40, 45, 60)
VOLTS: Final = (5, 6, 9, 12, 15, 20, 24, 25, 30, 36, 40, 50, 60, 90, 100, 120)
Values = Mapping[str, Fraction]


class WorkRule(NamedTuple):
    """``work`` gives the value from those used; ``ways`` and ``wrong`` are sums in signs with a
    gap for each value, ``wrong`` what comes of a wrong rule.
    """

    name: str
    work: Callable[..., Fraction]
    ways: tuple[str, ...]
    wrong: tuple[tuple[str, Callable[..., Fraction]], ...] = ()


class WorkStep(NamedTuple):
    """A value ``key`` by a rule from others: "C23", "Q", "V1", "E1", "C'" and the like."""

    key: str
    rule: WorkRule
    uses: tuple[str, ...]

    def value(self, own: Values) -> Fraction:
        """What the rule makes of these values."""
        return self.rule.work(*(own[each] for each in self.uses))


class MadeProblem(NamedTuple):
    """A problem in the notation: ``given`` and worked out values by key, ``asked`` the keys that a
    script must reach, ``groups`` of two or more by their key with their sign, ``names`` those that
    a value has in any hand.
    """

    kind: str
    text: str
    unit: str
    given: dict[str, Fraction]
    steps: tuple[WorkStep, ...]
    asked: tuple[str, ...]
    groups: dict[str, str] = {}  # noqa: RUF012 - never changed
    says: tuple[str, ...] = ()
    names: dict[str, str] = {}  # noqa: RUF012 - never changed


def gaps(count: int, sign: str) -> str:
    """A sum of so many gaps."""
    return sign.join(f"{{{at}}}" for at in range(count))


def reciprocal(*worths: Fraction) -> Fraction:
    return 1 / sum(1 / each for each in worths)


def _added(*worths: Fraction) -> Fraction:
    return sum(worths, Fraction(0))


def added(count: int) -> WorkRule:
    """Capacitances beside each other, or charges, or energies."""
    wrong = (("{0} * {1}/({0} + {1})", reciprocal),) if count == 2 else ()
    return WorkRule("added", _added, (gaps(count, " + "),), wrong)


def chained(count: int) -> WorkRule:
    """Capacitances in a chain; its ways by reciprocals are written by who writes the script."""
    over = tuple(f"{{{at}}}" for at in range(count))
    turned = " + ".join(f"1/{each}" for each in over)
    ways = (f"1/({turned})", f"({turned})^-1")
    ways = ("{0} * {1}/({0} + {1})", *ways) if count == 2 else ways
    return WorkRule("chained", reciprocal, ways, ((gaps(count, " + "), _added),))


def _root(square: Fraction) -> Fraction:
    """The root, to the nearest millionth."""
    return Fraction(isqrt(int(square * 10**12)), 10**6)


SUM2: Final = WorkRule("added", _added, ("{0} + {1}",))
CHARGE: Final = WorkRule(
    "charge", lambda c, v: c * v, ("{0} * {1}",), (("{0}/{1}", lambda c, v: c / v),)
)
VOLTAGE: Final = WorkRule(
    "p.d.", lambda q, c: q / c, ("{0}/{1}",), (("{1}/{0}", lambda q, c: c / q),)
)
CAPACITANCE: Final = WorkRule(
    "Q over V", lambda q, v: q / v, ("{0}/{1}",), (("{0} * {1}", lambda q, v: q * v),)
)
SAME: Final = WorkRule("same", lambda q: q, ("{0}",))
REST: Final = WorkRule(
    "rest", lambda all_, one: all_ - one, ("{0} - {1}",), (("{0} + {1}", _added),)
)
BY_CV: Final = WorkRule(
    "energy", lambda c, v: c * v * v / 2,
    ("1/2 * {0} * {1}^2", "0.5 * {0} * {1}^2", "{0} * {1}^2/2"),
    (("{0} * {1}^2", lambda c, v: c * v * v), ("1/2 * {0} * {1}", lambda c, v: c * v / 2)),
)  # fmt: skip
BY_QV: Final = WorkRule(
    "energy", lambda q, v: q * v / 2, ("1/2 * {0} * {1}", "0.5 * {0} * {1}", "{0} * {1}/2"),
    (("{0} * {1}", lambda q, v: q * v),),
)  # fmt: skip
BY_QC: Final = WorkRule(
    "energy", lambda q, c: q * q / c / 2, ("{0}^2/(2 * {1})", "1/2 * {0}^2/{1}"),
    (("{0}^2/{1}", lambda q, c: q * q / c),),
)  # fmt: skip
SHARE_V: Final = WorkRule(
    "share of the p.d.", lambda v, own, other: v * other / (own + other),
    ("{0} * {2}/({1} + {2})",),
    (("{0} * {1}/({1} + {2})", lambda v, own, other: v * own / (own + other)),),
)  # fmt: skip
SHARE_Q: Final = WorkRule(
    "share of the charge", lambda q, own, other: q * own / (own + other),
    ("{0} * {1}/({1} + {2})",),
    (("{0} * {2}/({1} + {2})", lambda q, own, other: q * other / (own + other)),),
)  # fmt: skip
TIMES: Final = WorkRule(
    "factor", lambda k, c: k * c, ("{0} * {1}",), (("{1}/{0}", lambda k, c: c / k),)
)
MISSING: Final = WorkRule(
    "missing in a chain", lambda c, one: 1 / (1 / c - 1 / one),
    ("1/(1/{0} - 1/{1})", "{0} * {1}/({1} - {0})"),
    (("{1} - {0}", lambda c, one: one - c),),
)  # fmt: skip
PLATES: Final = WorkRule(
    "plates", lambda k, a, d: k * Fraction(8854, 1000) * a / d, ("8.854e-12 * {0} * {1}/{2}",),
    (("8.854e-12 * {0} * {2}/{1}", lambda k, a, d: k * Fraction(8854, 1000) * d / a),),
)  # fmt: skip
PLATES_IN_AIR: Final = WorkRule(
    "plates", lambda a, d: Fraction(8854, 1000) * a / d, ("8.854e-12 * {0}/{1}",),
    (("8.854e-12 * {1}/{0}", lambda a, d: Fraction(8854, 1000) * d / a),),
)  # fmt: skip
OVER: Final = WorkRule(
    "factor", lambda k, c: c / k, ("{1}/{0}",), (("{0} * {1}", lambda k, c: k * c),)
)
ROOT: Final = WorkRule(
    "root", lambda e, c: _root(2 * e / c), ("sqrt(2 * {0}/{1})",),
    (("sqrt({0}/{1})", lambda e, c: _root(e / c)),),
)  # fmt: skip
SMALLER: Final = WorkRule("smaller", lambda *each: min(each), ("{0}",))


EPS0: Final = Fraction(8854, 1000)  # of metres, in picofarads
LAYER: Final = PLATES
FIELD: Final = WorkRule(
    "field", lambda v, d: v / d, ("{0}/{1}",), (("{0} * {1}", lambda v, d: v * d),)
)
FORCE: Final = WorkRule(
    "force", lambda q, f: q * f / 2, ("1/2 * {0} * {1}", "{0} * {1}/2"),
    (("{0} * {1}", lambda q, f: q * f),),
)  # fmt: skip
GAP: Final = WorkRule(
    "plates", lambda k, a, c: k * EPS0 * a / c, ("8.854e-12 * {0} * {1}/{2}",),
    (("8.854e-12 * {1}/{2}", lambda _, a, c: EPS0 * a / c),),
)  # fmt: skip
STAR: Final = WorkRule(
    "star", lambda a, b, c: a * b / (a + b + c), ("{0} * {1}/({0} + {1} + {2})",),
    (("{0} * {1}/({0} + {1})", lambda a, b, _: a * b / (a + b)),),
)  # fmt: skip
TRIANGLE: Final = WorkRule(
    "triangle", lambda a, b, c: (a * b + b * c + c * a) / c,
    ("({0} * {1} + {1} * {2} + {2} * {0})/{2}", "{0} + {1} + {0} * {1}/{2}"),
    (("{0} * {1}/({0} + {1} + {2})", lambda a, b, c: a * b / (a + b + c)),),
)  # fmt: skip


def alike(count: int, sign: str) -> WorkRule:
    """Equal capacitances together, or a p.d. divided among equal ones in a chain."""
    if sign == "--":
        wrong = ((f"{count} * {{0}}", lambda one: count * one),)
        return WorkRule("alike", lambda one: one / count, (f"{{0}}/{count}",), wrong)
    wrong = ((f"{{0}}/{count}", lambda one: one / count),)
    ways = (f"{count} * {{0}}", " + ".join(["{0}"] * count))
    return WorkRule("alike", lambda one: one * count, ways, wrong)


def whole_numbers(keys: Iterable[str], numbers: Iterable[int]) -> dict[str, Fraction]:
    """Given values by their keys."""
    return {key: Fraction(number) for key, number in zip(keys, numbers, strict=True)}


def needed(steps: Iterable[WorkStep], wanted: Iterable[str]) -> tuple[WorkStep, ...]:
    """The steps without those that nothing wanted rests on."""
    used, kept = set(wanted), []
    for step in reversed(list(steps)):
        if step.key in used:
            used |= set(step.uses)
            kept.append(step)
    return tuple(reversed(kept))
