"""How values, names and relations are put into words and signs, in one network's usual units."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

from grammar.records import PERMITTIVITY_LETTER, Dimension
from grammar.sizes import PI
from grammar.writing import suited_power, write_amount, write_number
from tutor.circuit.bodies import ELECTRIC_LETTER
from tutor.circuit.network import Capacitor, Problem
from tutor.circuit.values import Value, in_letters
from tutor.teaching.quantities import Quantity
from tutor.teaching.settings import Settings

if TYPE_CHECKING:
    from sympy import Expr

Terms: TypeAlias = Settings
NUMBER_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
SHORT_FRACTION = 3
MOST_FIGURES = 13
MOST_NAMED = 12


Dimensioned: TypeAlias = tuple[Value, Dimension]  # a value that stands in a line


MOST_SIMPLE = 1000  # no sum of letters with π has a larger number below it


class Shown(NamedTuple):
    """A value in words; ``exact`` says whether no figure was rounded away."""

    text: str
    exact: bool

    @property
    def after_equals(self) -> str:
        """With the sign that is true: = or ≈."""
        return f"{'=' if self.exact else '≈'} {self.text}"


def listed(names: Iterable[str], word: str = "and") -> str:
    """C1, C2 and C3."""
    *most, last = [*names] or [""]
    return f"{', '.join(most)} {word} {last}" if most else last


def some_names(names: Sequence[str]) -> str:
    """C1, C2 and C3; of a long list its first three and its last."""
    if len(names) > MOST_NAMED:
        return f"{', '.join(names[:3])}, … and {names[-1]} ({len(names)} of them)"
    return listed(names)


def counted(number: int, noun: str) -> str:
    """two capacitors; one capacitor."""
    word = NUMBER_WORDS[number] if number < len(NUMBER_WORDS) else str(number)
    return f"{word} {noun}{'' if number == 1 else 's'}"


def sentence(text: str) -> str:
    """With a capital, unless it begins with a symbol."""
    is_a_word = text[:2] == "a " or (text[:2].isalpha() and text[:2].islower())
    return text[:1].upper() + text[1:] if is_a_word else text


def shorter(question: str) -> str:
    """A question asked once more: its last sentence, without what stands in brackets at its end.

    Where a list follows, its letters are named instead.
    """
    head, mark, listing = question.partition("?")
    letters = re.findall(r"^([a-h])\)", listing, re.MULTILINE)
    if not mark or (listing.strip() and not letters and "(" not in listing):
        return question
    begins = re.split(r"(?<!p\.d)[.!] (?=[A-Z])|: (?=(?:What|Which|How)\b)|\n", head)[-1]
    begins = re.sub(r" \([^()]*\)$", "", begins)
    return f"{begins}? ({listed(letters, 'or')})" if letters else f"{begins}?"


class Speech(NamedTuple):
    """Values of one problem in its usual units: the prefixes its own text uses.

    ``taken`` are letters that stand for other values there, so that nothing of the whole may be
    called by them.
    """

    powers: Mapping[Dimension, int]
    terms: Terms
    taken: frozenset[str] = frozenset()

    def shown(self, value: Value, dimension: Dimension) -> Shown:
        """A value with its unit, rounded to the figures of the settings where it does not end."""
        if in_letters(value):
            return Shown(self._letters(value, dimension), True)
        text = write_amount(value, dimension, self.powers[dimension], self.terms.style)
        return Shown(_with_minus(text), write_number(value)[1])

    def plain(self, value: Value) -> Shown:
        """A number without unit."""
        if in_letters(value):
            return Shown(_expression(value), True)
        return Shown(*self._number(Fraction(value)))

    def number(self, value: Fraction) -> str:
        """A plain number, rounded where it does not end."""
        return self._number(value)[0]

    def equals(self, *shown: Shown) -> str:
        """The sign that is true after these factors, before the last of them: = or ≈."""
        return "=" if all(s.exact for s in shown) else "≈"

    def amount(self, value: Value, dimension: Dimension) -> str:
        """The same as plain text."""
        return self.shown(value, dimension).text

    def result(
        self, value: Value, dimension: Dimension, *of: Dimensioned
    ) -> str:
        """``= 20/9 µF ≈ 2.222 µF``: the short fraction too, where rounding hides it.

        ``of`` are the values printed before it; after a rounded one only ≈ is true.
        """
        shown = self.shown(value, dimension)
        if self.equals(*(self.shown(*each) for each in of)) == "≈":
            return f"≈ {shown.text}"
        if shown.exact or in_letters(value):
            return shown.after_equals
        power = suited_power(Fraction(value), self.powers[dimension])
        scaled = Fraction(value) / Fraction(10) ** power
        if scaled.denominator >= 10**SHORT_FRACTION or scaled.numerator > 10**5:
            return shown.after_equals
        unit = self._replace(powers={**self.powers, dimension: power}).unit(dimension)
        return f"= {scaled.numerator}/{scaled.denominator} {unit} {shown.after_equals}"

    def unit(self, dimension: Dimension) -> str:
        """The usual unit alone: µF."""
        power = self.powers[dimension]
        return write_amount(Fraction(10) ** power, dimension, power).removeprefix("1 ")

    def name(self, quantity: Quantity) -> str:
        """A quantity as this learner writes it: V1 or U1, E or W."""
        if quantity.symbol == "C":
            name = quantity.name
        else:
            name = self.letters(quantity.symbol) + quantity.name.removeprefix(quantity.symbol)
        return f"{name}_total" if name in self.taken else name

    def of_whole(self, template: str, of: str | None = None) -> str:
        """A law with the names of the whole, or of one capacitor, where its own letters are
        ``taken``; else with the bare letters.
        """
        if not self.taken:
            return self.letters(template)
        return re.sub(
            r"(?<!\d )\b[CQVEW](?![A-Za-z])",
            lambda found: self.name(Quantity(found[0], of)), template,  # type: ignore[arg-type]
        )

    def alike(self, values: Sequence[Value], dimension: Dimension) -> list[str]:
        """A column of amounts: where one has to be rounded, none has more figures than that one."""
        if all(self.shown(value, dimension).exact for value in values):
            return [self.amount(value, dimension) for value in values]
        style, power = self.terms.style, self.powers[dimension]
        short = style._replace(in_full=style.figures)
        return [
            self.amount(value, dimension) if in_letters(value)
            else write_amount(value, dimension, power, short)
            for value in values
        ]

    def apart(self, values: Sequence[Value], dimension: Dimension) -> list[str]:
        """Amounts with as many figures as it takes to see which of them differ."""
        for figures in range(self.terms.figures, MOST_FIGURES):
            finer = self._replace(terms=self.terms._replace(figures=figures))
            shown = [finer.amount(value, dimension) for value in values]
            # 12.00 F and 12 F are one amount to a reader.
            told = {re.sub(r"[.,]0+(?= )", "", each) for each in shown}
            if len(told) == len(set(values)):
                break
        return shown

    def letters(self, template: str) -> str:
        """Our own words with the learner's letters for p.d. and energy; no value stands in them.

        Where W is the energy, the work of the supply is written W_supply.
        """
        pd, energy = self.terms.pd_letter, self.terms.energy_letter
        letter: dict[str, str] = {"V": pd, "E": energy, "W": "W"}
        if self.terms.energy_letter == "W":
            letter["W"] = "W_supply"
        return re.sub(r"(?<!\d )\b[VEW](?![A-Za-z])", lambda symbol: letter[symbol[0]], template)

    def _number(self, value: Fraction) -> tuple[str, bool]:
        return write_number(value, self.terms.figures, self.terms.decimal_sign == "comma")

    def sum_of(self, parts: Sequence[Capacitor]) -> str:
        """``2 µF + 3 µF``, every value in the same unit."""
        return " + ".join(self.amount(c.value, "capacitance") for c in parts)

    def reciprocals_of(self, parts: Sequence[Capacitor]) -> str:
        """``1/(4 µF) + 1/(5 µF)``."""
        return " + ".join(f"1/{_one_piece(self.amount(c.value, 'capacitance'))}" for c in parts)

    def per_unit(self, value: Value, summed: Iterable[Value]) -> str:
        """What the reciprocals of ``summed`` come to: ``= 9/20 per µF``; value in 1/F.

        Where one of the capacitances is printed rounded, so is the sum, as a decimal.
        """
        if in_letters(value):
            return f"= {_expression(value)}"
        scaled = Fraction(value) * Fraction(10) ** self.powers["capacitance"]
        text, exact = self._number(scaled)
        parts = [self.shown(each, "capacitance") for each in summed]
        if 1 < scaled.denominator < 10**SHORT_FRACTION and all(part.exact for part in parts):
            text, exact = f"{scaled.numerator}/{scaled.denominator}", True
        sign = self.equals(Shown(text, exact), *parts)
        return f"{sign} {_with_minus(text)} per {self.unit('capacitance')}"

    def ratio(self, value: Value) -> str:
        """A number without unit, exact where its fraction is short, or an expression."""
        if in_letters(value):
            return _expression(value)
        text, exact = self._number(Fraction(value))
        if exact or value.denominator >= 10 ** (SHORT_FRACTION + 1):
            return text
        return f"{value.numerator}/{value.denominator}"

    def _letters(self, value: Expr, dimension: Dimension) -> str:
        """An expression, led by its number and the unit that the letters leave over."""
        if any(str(symbol) == ELECTRIC_LETTER for symbol in value.free_symbols):
            # All measures are letters: no unit is left over, and A, d, k stand apart from ε0.
            return re.sub(r"\*\*(\d)", lambda power: "⁰¹²³⁴⁵⁶⁷⁸⁹"[int(power[1])],
                          _with_pi(value)).replace("*", " × ").replace("log(", "ln(")
        leftover = _leftover(value, dimension)
        if leftover == (0, 0):
            return _expression(value)
        coefficient, rest = value.as_coeff_Mul()
        number = Fraction(int(coefficient.p), int(coefficient.q))
        kind = next((kind for kind, exponents in EXPONENTS.items() if exponents == leftover), None)
        if kind:
            amount = self.amount(number, kind)
        else:
            amount = f"{self._number(number)[0]} {ODD_UNITS.get(leftover, 'SI units')}"
        top, bottom = rest.as_numer_denom()
        if top == 1:
            return f"{amount} / {_bracketed(bottom)}"
        return f"{amount} × {_bracketed(rest)}"


def speech_for(problem: Problem, terms: Terms) -> Speech:
    """How the values of a problem are written: its prefixes, and the letters that its text uses."""
    taken = {str(s) for c in problem.network.capacitors for s in symbols_of(c.value)}
    supply = problem.supply
    if supply is not None and len(symbols := symbols_of(supply.value)) == 1:
        taken |= {str(s) for s in symbols if s != supply.value}
    return Speech(problem.powers, terms, frozenset(taken))


def symbols_of(value: Value) -> frozenset[Expr]:
    """The letters in a value."""
    return frozenset(value.free_symbols) if in_letters(value) else frozenset()


# Exponents of the farad and of the volt: a coulomb is a farad times a volt.
EXPONENTS: Mapping[Dimension, tuple[int, int]] = MappingProxyType(
    {"capacitance": (1, 0), "voltage": (0, 1), "charge": (1, 1), "energy": (1, 2)}
)
ODD_UNITS: Mapping[tuple[int, int], str] = MappingProxyType({(0, 2): "V²", (2, 2): "C²"})
VOLT_LETTERS = frozenset("VU")
CHARGE_LETTERS = frozenset("Q")


def _leftover(value: Expr, dimension: Dimension) -> tuple[int, int]:
    """What unit the number keeps where some letters stand for quantities and some do not."""
    farads, volts = EXPONENTS[dimension]
    volt_letters = [s for s in value.free_symbols if str(s)[:1] in VOLT_LETTERS]
    charge_letters = [s for s in value.free_symbols if str(s)[:1] in CHARGE_LETTERS]
    farad_letters = value.free_symbols - {*volt_letters, *charge_letters}
    others = [s for s in farad_letters if str(s) != PERMITTIVITY_LETTER]
    charges = _joint_degree(value, charge_letters)
    farads -= charges + _joint_degree(value, others)
    volts -= charges + _joint_degree(value, volt_letters)
    return int(farads), int(volts)


def _joint_degree(value: Expr, symbols: Collection[Expr]) -> Any:
    """The degree of a homogeneous expression in these symbols together."""
    if value in symbols:
        return 1
    if value.is_Pow:
        return value.exp * _joint_degree(value.base, symbols)
    degrees = [_joint_degree(part, symbols) for part in value.args]
    return max(degrees, default=0) if value.is_Add else sum(degrees)


def _expression(value: Value) -> str:
    """2C/3, C1 × C2/(C1 + C2): as people write, not as programs do."""
    text = str(value).replace("**2", "²").replace("**3", "³")
    text = re.sub(r"\b(\d+)\*(?=[A-Za-z(])", r"\1", text)
    text = re.sub(r"(?<![A-Za-z0-9])([A-Za-z]²?)\*(?=[A-Za-z](?![A-Za-z0-9]))", r"\1", text)
    text = re.sub(r"(?<=\d)([A-Za-z]²?)\*(?=[A-Za-z](?![A-Za-z0-9]))", r"\1", text)
    text = re.sub(rf"(?<![A-Za-z_])((?:[A-Z]²?)+)({PERMITTIVITY_LETTER}²?)(?![a-z])", r"\2\1", text)
    return text.replace("*", " × ")


def _with_pi(value: Expr) -> str:
    """An expression as sympy writes it, π as a letter and 1/(b - a) with a sign of its own."""
    import sympy  # late: letters are few, and it is slow to load

    coefficient, rest = value.as_coeff_Mul()
    top, bottom = rest.as_numer_denom()
    if coefficient < 0 and bottom.is_Add:
        coefficient, bottom = -coefficient, -bottom
    number = Fraction(int(coefficient.p), int(coefficient.q))
    for power in (1, -1):
        simple = number / PI**power
        if simple.denominator < MOST_SIMPLE:
            pi = sympy.Symbol("π", positive=True) ** power
            value = sympy.Rational(simple.numerator, simple.denominator) * pi * top / bottom
            break
    return re.sub(r"\(-(\w+) \+ (\w+)\)", r"(\2 - \1)", str(value))


def _with_minus(text: str) -> str:
    """The sign of a value below nought as it is printed everywhere: −24 µF."""
    return f"−{text[1:]}" if text.startswith("-") else text


def _one_piece(text: str) -> str:
    return text if text.isalnum() and text[0].isalpha() else f"({text})"


def _bracketed(value: Value) -> str:
    text = _expression(value)
    return f"({text})" if "+" in text or "-" in text else text
