"""How one pupil names quantities and writes numbers, and how many such pupils there are."""

from __future__ import annotations

import re
from fractions import Fraction
from math import floor, log10
from random import Random
from typing import Final, NamedTuple

from tests.teaching.marking.made_steps import MadeProblem

EXPONENTS: Final = {"u": -6, "n": -9, "p": -12}
UNITS: Final = {
    "C": "F", "Q": "C", "V": "V", "E": "J", "h": "J", "M": "C", "R": "V", "f": "V/m", "F": "N",
}  # fmt: skip
PURE: Final = ("k", "A", "d", "s", "ka", "kb", "da", "db")
NAMES: Final = {"f": "field", "F": "force", "ka": "k", "kb": "k", "da": "d", "db": "d", "s": ""}
LADDER: Final = "pnum"  # prefixes, each a thousand times the one before
SUPERSCRIPTS: Final = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
PLAIN: Final = ("V", "V/m")  # units that are written as they are
ENOUGH: Final = 6  # figures of what is not rounded


class Hand(NamedTuple):
    """How one pupil writes. ``figures``: to so many each value is rounded, and carried on."""

    whole: str
    group: str
    index: str
    volts: str
    energy: str
    new: str
    times: str
    equals: str
    units: str
    figures: int | None
    mood: str
    layout: str
    tex: bool
    table: bool
    remarks: float
    left_out: float
    checks: bool
    shuffled: bool
    goes_on: float
    fractions: bool
    powers: str
    told: str
    reasons: float
    corrects: float


def hand_by_chance(rng: Random) -> Hand:
    tex = rng.random() < 0.08
    units = (
        ("last", "last", "last", "none")
        if tex
        else ("last", "last", "last", "all", "si", "none", "other")
    )
    return Hand(
        whole=rng.choice(("", "", "t", "_t", "tot", "_eq", "eq", "_total", "T")),
        group=rng.choice(("members", "members", "kind", "letter", "words", "none", "none")),
        index=rng.choice(("", "", "", "_")),
        volts=rng.choice("VVVU"),
        energy=rng.choice("EEEW"),
        new=rng.choice(("'", "'", "_new", "2", " after")),
        times=rng.choice((" * ", "*", " x ", " × ", "·", " · ")),
        equals=rng.choice((" = ", " = ", "=")),
        units=rng.choice(units),
        figures=rng.choice((None, None, 2, 3, 3, 4)),
        mood=rng.choice(("formal", "plain", "plain", "terse", "prose", "mixed", "mixed")),
        layout=rng.choice(("lines",) * 5 + ("semicolons", "1)", "1.", "(a)", "- ", "• ", "* ")),
        tex=tex,
        table=rng.random() < 0.3,
        remarks=rng.choice((0, 0, 0.2)),
        left_out=rng.choice((0, 0, 0.3)),
        checks=rng.random() < 0.3,
        shuffled=rng.random() < 0.2,
        goes_on=rng.choice((0, 0, 0.6)),
        fractions=rng.random() < 0.15,
        powers=rng.choice(("e", "e", "×10^", "*10^", " x 10^", "·10⁻")),
        told=rng.choice(("", "", "", "letters", "across", "of", "joined")),
        reasons=rng.choice((0, 0, 0.3)),
        corrects=rng.choice((0, 0, 0, 0.15)),
    )


def rounded(value: Fraction, figures: int | None) -> Fraction:
    """A value to so many figures; with none as it is where it ends, else to enough."""
    if not value or (figures is None and (value * 10**4).denominator == 1):
        return value
    first = floor(log10(abs(value)))
    # two figures would be rough, and whole numbers are not rounded to tens without a word
    is_low = figures == 2 and (abs(value) < 2 * Fraction(10) ** first or first == 2)
    place = Fraction(10) ** ((figures or ENOUGH) - 1 + is_low - first)
    return floor(value * place + Fraction(1, 2)) / place


def plain(value: Fraction) -> str:
    """A number as it is written out."""
    return f"{float(value):.9f}".rstrip("0").rstrip(".")


class PupilHand:
    """Names and numbers in one hand, with the values as this pupil has them."""

    def __init__(self, rng: Random, problem: MadeProblem, hand: Hand) -> None:
        self.rng, self.problem, self.hand = rng, problem, hand
        self.own: dict[str, Fraction] = dict(problem.given)
        self.letters: dict[str, str] = {}
        self.shifts: dict[str, int] = {}

    def holder(self, key: str) -> str:
        end = key[1:]
        if self.problem.kind not in ("network", "bridge") or "'" in key:
            return ""
        if not end:
            return "the whole network"
        if len(end) > 1:
            return ""
        worth, caps = (
            self.own[f"C{end}"],
            [v for k, v in self.own.items() if re.fullmatch(r"C\d?", k)],
        )
        by_worth = caps.count(worth) == 1 and self.rng.random() < 0.4
        if by_worth and self.rng.random() < 0.3:
            return f"the {self.amount(f'C{end}').replace(' ', '')} one"
        return f"the {self.amount(f'C{end}')}" if by_worth else self.name(f"C{end}")

    def words(self, key: str) -> str:
        sign = self.problem.groups.get(key)
        if key == "C" and sign:
            return self.rng.choice(("total capacitance", "total", "whole network"))
        if sign:
            named = " and ".join(self.name(f"C{each}") for each in key[1:])
            kind = "series" if sign == "--" else "parallel"
            words = [f"{named} in {kind}"] if self._is_flat(key) else []
            words += [f"{kind} part"] if self._is_only(key) else []
            return self.rng.choice(words) if words else ""
        return ""

    def _is_flat(self, key: str) -> bool:
        step = next(each for each in self.problem.steps if each.key == key)
        return all(len(each) == 2 for each in step.uses)

    def _is_only(self, key: str) -> bool:
        signs = list(self.problem.groups.values())
        return signs.count(self.problem.groups[key]) == 1

    def name(self, key: str) -> str:
        """The name of a value, nothing where this hand has none for it."""
        hand, kind = self.hand, self.problem.kind
        letter = {"V": hand.volts, "E": hand.energy}.get(key[0], key[0])
        if key in self.problem.names or key in NAMES:
            return self.problem.names.get(key) or NAMES[key]
        if key in PURE:
            return key
        if key == "heat":
            return {"E": "heat", "W": "lost energy"}[hand.energy]
        if key[0] in "MR":
            return f"Q{hand.index}{key[1:]}" if key[0] == "M" else ""
        if key.endswith("'"):
            return self._of_after(letter, key)
        if key in ("Ct", "Qt"):
            return f"{letter}{hand.whole or 'tot'}"
        if key in ("C", "Q") and kind in ("network", "bridge", "balanced", "rated"):
            return f"{letter}{hand.whole}"
        if key[1:2] == "_":
            return f"{letter}{key[1:]}"
        if len(key) > 2:
            return self._of_group(letter, key)
        return self._of_one(letter, key) if key[1:] else letter

    def _of_one(self, letter: str, key: str) -> str:
        end, told = key[1:], self.hand.told if self.problem.kind == "network" else ""
        if told == "letters":
            return f"{letter}{'_' if letter != 'C' else ''}{'abcdefghi'[int(end) - 1]}"
        if letter != "C" and told == "across":
            words = {"V": "p.d. across", "U": "voltage across", "Q": "charge on"}
            return f"{words.get(letter, 'energy in')} C{end}"
        if letter != "C" and told in ("of", "joined"):
            return f"{letter} of C{end}" if told == "of" else f"{letter}_C{end}"
        return f"{letter}{self.hand.index}{end}"

    def _of_after(self, letter: str, key: str) -> str:
        of_one = key[1:-1] if self.problem.kind == "joined" else ""
        if self.hand.new == "2" or of_one:
            return f"{letter}{of_one}'"
        return f"{letter}{self.hand.new}"

    def _of_group(self, letter: str, key: str) -> str:
        style, group = self.hand.group, f"C{key[1:]}"
        if style in ("words", "none") and letter == "C":
            return ""
        if style == "kind" and group in self.problem.groups and self._is_only(group):
            return f"{letter}{'s' if self.problem.groups[group] == '--' else 'p'}"
        if style == "letter":
            own = self.letters.setdefault(group, "XYZ"[len(self.letters) % 3])
            return own if letter == "C" else f"{letter}_{own}"
        return f"{letter}{self.hand.index}{key[1:]}"

    def unit(self, key: str) -> str:
        if key in PURE or self.hand.units == "none":
            return ""
        sign = UNITS[key[0]]
        if self.hand.units == "si" or sign in PLAIN:
            return f" {sign}"
        at = LADDER.index(self.problem.unit) + self._shift(key)
        return f" {LADDER[at]}{sign}"

    def _shift(self, key: str) -> int:
        """By how many prefixes this hand counts in larger units than the problem does."""
        if self.hand.units != "other" or key in PURE or UNITS[key[0]] in PLAIN:
            return 0
        at = LADDER.index(self.problem.unit)
        sign = UNITS[key[0]]
        if sign not in self.shifts:
            near = [n for n in (-1, 0, 1) if 0 <= at + n < len(LADDER)]
            self.shifts[sign] = self.rng.choice(near)
        return self.shifts[sign]

    def written(self, value: Fraction, key: str) -> str:
        is_plain = key in PURE or UNITS[key[0]] in PLAIN or self.hand.units != "si"
        if not is_plain:
            return _with_power(value, EXPONENTS[self.problem.unit], self.hand)
        value /= Fraction(1000) ** self._shift(key)
        if self.hand.fractions and self.hand.figures is None and 1 < value.denominator < 100:
            return f"{value.numerator}/{value.denominator}"
        return plain(value)

    def number(self, key: str) -> str:
        return self.written(self.own[key], key)

    def amount(self, key: str) -> str:
        return f"{self.number(key)}{self.unit(key)}"

    def as_tex(self, line: str) -> str:
        line = re.sub(r"\b([CQVUEWM])_?(\w+)", r"\1_{\2}", line)
        line = re.sub(r"\s*[*x×·]\s*", r" \\cdot ", line)
        line = re.sub(r"([\w.{}]+(?: \\cdot [\w.{}]+)*)/\(([^()]*)\)", r"\\frac{\1}{\2}", line)
        line = re.sub(r"(?<![\w.])([\d.]+)/([\w.]+)", r"\\frac{\1}{\2}", line)
        line = re.sub(r" u([FCJ])\b", r"\\,\\mu\\mathrm{\1}", line)
        line = re.sub(r" ([np]?[FCJV])$", r"\\,\\mathrm{\1}", line)
        return f"${line}$"


def _with_power(value: Fraction, power: int, hand: Hand) -> str:
    """A number of farads, coulombs or joules: 4e-6, or 4 × 10^-6."""
    shift = floor(log10(abs(value))) if value else 0
    shift = 0 if 0 <= shift < 3 and value % 10 else shift  # noughts at the end would tell figures
    number, exponent = plain(value / Fraction(10) ** shift), power + shift
    if not exponent:
        return number
    if hand.powers == "·10⁻":
        return f"{number}·10{str(exponent).translate(SUPERSCRIPTS)}"
    return f"{number}{hand.powers}{exponent}"
