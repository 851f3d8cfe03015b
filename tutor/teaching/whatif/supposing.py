"""What a line that begins with ``what if`` supposes: one change of the network or its supply.

Reading is lenient about words; names and values must be those of the network.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Literal, NamedTuple

from grammar.records import Dimension, Letter, Refusal
from grammar.worth import worth
from tutor.circuit.changes import (
    Added,
    Alteration,
    NewSupply,
    NewValue,
    Removed,
    Scaled,
    Swapped,
    Wired,
)
from tutor.circuit.network import Problem
from tutor.circuit.values import Value, in_letters, tidy, value_of
from tutor.teaching.speech import listed
from tutor.teaching.whatif import change_words as words
from tutor.teaching.whatif.change_words import factor_in, has, vague_factor_in

LONGEST = 300


class Supposed(NamedTuple):
    """A change, and the words in which it was put."""

    change: Alteration
    said: str


class _Line(NamedTuple):
    """A line as typed, the capacitors it names, and what is left of it without their names."""

    text: str
    bare: str
    names: tuple[str, ...]
    problem: Problem

    def has(self, pattern: str) -> bool:
        return has(self.bare, pattern)


def suppose(text: str, problem: Problem) -> Supposed:
    """The change that the words after ``what if`` speak of.

    Errors: ``Refusal`` with examples for what cannot be read, for a value below zero, and for a
    name or a value that the network does not have.
    """
    if len(text) > LONGEST:
        raise _unread(problem)
    text = _by_value(re.sub(r"\s+", " ", text.replace("’", "'")).strip(), problem)
    if words.BELOW_ZERO.search(text):
        raise Refusal(
            "A value below zero cannot be supposed here.",
            f"Write one above zero. {_examples(problem)}",
        )
    line = _Line(text, _without_names(text, problem), _names_in(text, problem), problem)
    readers = (_added, _of_two, _of_named, _of_supply)
    change = next((found for reader in readers if (found := reader(line)) is not None), None)
    if change is None:
        raise _unread(problem)
    return Supposed(change, text)


def _of_two(line: _Line) -> Alteration | None:
    names = line.names
    everyone = [c.name for c in line.problem.network.capacitors]
    if not names and len(everyone) == 2 and has(line.bare, r"(?:the |these )?two|them|both|places"):
        names = tuple(everyone)
    if len(names) != 2:
        return None
    first, second = names
    if words.SAME_AS.search(line.text):
        return NewValue(first, line.problem.network.named([second])[0].value)
    return Swapped(first, second) if line.has(words.SWAP) else None


def _of_named(line: _Line) -> Alteration | None:
    """A change of the capacitors that are named."""
    if not line.names:
        return None
    if line.has(words.FOLLOWS):
        raise Refusal(
            f"The charge, p.d. and energy of {listed(_few(line.names))} follow from the network.",
            f"Change a capacitor or the supply. {_examples(line.problem)}",
        )
    if line.has(words.WIRE):
        return Wired(line.names)
    value = _new_value(line.text, line.bare, "capacitance", line.problem)
    if value is not None:
        return _one_new_value(line.bare, line.names, value, line.problem)
    if (factor := factor_in(line.bare)) is not None:
        return Scaled(line.names, factor)
    if line.has(words.GONE):
        return Removed(line.names, _is_charged(line))
    vague = vague_factor_in(line.bare)
    return Scaled(line.names, vague) if vague is not None else None


def _is_charged(line: _Line) -> bool:
    """Whether capacitors are taken out with their charge: a network that holds a given charge is
    charged, one that a supply charges is thought of as charged anew.
    """
    supply = line.problem.supply
    if supply is None or line.has(words.NEVER_THERE):
        return False
    return supply.quantity == "charge" or line.has(words.ONCE_CHARGED)


def _of_supply(line: _Line) -> Alteration | None:
    """A change of the p.d. or the charge given, where no capacitor is named."""
    value = words.VALUE.search(line.bare)
    other_unit = value is not None and re.search(r"(?i)f$|farads?$", value[1]) is None
    if line.names or not (line.has(words.SUPPLY) or other_unit):
        return None
    return _supply_changed(line.text, line.bare, line.problem)


def _one_new_value(
    bare: str, names: tuple[str, ...], value: Value, problem: Problem
) -> NewValue:
    """A new capacitance, or the old one and so much more or less."""
    old = problem.network.named(names)[0].value
    if len(names) > 1:
        raise Refusal("One capacitor at a time can have a new value.", _examples(problem))
    if in_letters(value) and not in_letters(old):
        raise Refusal(f"{names[0]} has a number for its value here.", _examples(problem))
    if has(bare, r"by (?:an?(?:other)? |some )?\d.*"):
        value = tidy(old - value if has(bare, words.LESS) else old + value)
        if not in_letters(value) and value <= 0:
            raise Refusal(f"That would leave {names[0]} no capacitance.", _examples(problem))
    return NewValue(names[0], value)


# Names


_THE_VALUED = re.compile(
    r"(?i)\bthe (\d+(?:\.\d+)?)(?! ?(?:[VCJ]|volts?|times|x)\b)( ?[pnuµμm]?F)?(?: one| cap\w*)?\b"
)
_INSTEAD = re.compile(
    r"(?i)\b(was|were|is|had been) an? (\d[\d.]*(?: ?[pnuµμm]?F)?)(?: one)?(?: instead)?\W*$"
)


# Swap C2 for a 20.
_IN_ITS_PLACE = re.compile(
    r"(?i)\b(?:swap|exchange|switch|trade)\w*\s+(?:out\s+)?(\w+)\s+(?:for|with|against)\s+"
    r"(?:an?(?:other)?\s+)?(\d[\d.]*(?:\s?[pnuµμm]?F)?)(?:\s+one)?\W*$"
)


def _by_value(text: str, problem: Problem) -> str:
    """'the 5 was a 13 instead' with the name of the capacitor that has 5: C2 = 13."""
    power = problem.powers["capacitance"]

    def name(found: re.Match[str]) -> str:
        value = Fraction(found[1]) * Fraction(10) ** power
        valued = [c.name for c in problem.network.capacitors if c.value == value]
        return valued[0] if len(valued) == 1 else found[0]

    return _INSTEAD.sub(r"\1 \2", _IN_ITS_PLACE.sub(r"\1 was \2", _THE_VALUED.sub(name, text)))


def _names_in(text: str, problem: Problem) -> tuple[str, ...]:
    """The capacitors named, in the order of the line. Errors: ``Refusal`` for an unknown one."""
    present = [c.name for c in problem.network.capacitors]
    folded = {name.lower(): name for name in present}
    found: dict[str, None] = {}
    for word in re.findall(r"[A-Za-z]\w*'*", text):
        name = word if word in present else folded.get(word.lower().replace("_", ""))
        if name is not None and (word in present or not _is_word(word)):
            found[name] = None
        elif re.fullmatch(r"[Cc]_?\d+'*", word):
            raise Refusal(
                f"There is no {word} in the text of this network.",
                f"Its capacitors are {listed(_few(present))}.",
            )
    if not found and re.search(rf"(?i)(?<![\w'])(?:{words.ALL})(?![\w'])", text):
        return tuple(present)
    return tuple(found)


def _is_word(word: str) -> bool:
    """Whether a name in another case would be a word of the sentence: a, in, v."""
    return len(word) < 2 or word.isalpha()


def _few(names: Sequence[str]) -> Sequence[str]:
    return names if len(names) <= 8 else [*names[:8], "…"]


def _without_names(text: str, problem: Problem) -> str:
    """The line with the names taken out, so that no letter of a name is read as a word."""
    for c in problem.network.capacitors:
        text = re.sub(rf"(?<!\w){re.escape(c.name)}(?![\w'])", " ", text)
        if not _is_word(c.name):
            text = re.sub(rf"(?i)(?<!\w){re.escape(c.name)}(?![\w'])", " ", text)
    return re.sub(r"\s+", " ", text).strip()


# Values


def _new_value(
    text: str, bare: str, dimension: Literal["capacitance", "voltage", "charge"], problem: Problem
) -> Value | None:
    """A value with its unit, a number after an equals sign, or letters after it.

    Errors: ``Refusal`` for a unit of another kind and for nought.
    """
    if found := words.VALUE.search(bare):
        return _worth(found[1], dimension)
    after = re.search(
        r"(?i)(?:=|\bto\b|\bbecomes?\b|\bis\b|\bwere\b|\bwas\b|\bby\b)\s*(\d[\d.,]*)\s*$", text
    )
    if after:
        power = problem.powers[dimension]
        value = _worth(f"{after[1].rstrip('.,')} {_BARE_UNIT[dimension]}", dimension)
        return tidy(value * Fraction(10) ** power)
    letters = re.search(r"(?:=|\bto\b|\bbecomes\b)\s*(\d*[A-Za-z]\w?(?:/\d+)?)\s*$", text)
    return _worth(letters[1], dimension) if letters else None


_BARE_UNIT: Mapping[Dimension, str] = MappingProxyType(
    {"capacitance": "F", "voltage": "V", "charge": "C"}
)


def _worth(text: str, dimension: Literal["capacitance", "voltage", "charge"]) -> Value:
    return value_of(worth(text.strip(), dimension))


def _added(line: _Line) -> Alteration | None:
    """One more capacitor; in series or in parallel with one that is named, or with the whole."""
    found = words.VALUE.search(line.bare)
    series, parallel = line.has(words.SERIES), line.has(words.PARALLEL)
    if found is None or not (series or parallel) or not re.search(r"(?i)f$|farads?$", found[1]):
        return None
    if line.names and not line.has(words.ADD):
        return None
    if (series and parallel) or len(line.names) > 1:
        raise Refusal("How is it added, and to what?", _examples(line.problem))
    value = _worth(found[1], "capacitance")
    if all(in_letters(c.value) for c in line.problem.network.capacitors):
        raise Refusal(
            "The capacitors are in letters here, and that one would be a number.",
            _examples(line.problem),
        )
    return Added(value, "series" if series else "parallel", next(iter(line.names), None))


def _supply_changed(text: str, bare: str, problem: Problem) -> Alteration:
    supply = problem.supply
    if supply is None:
        raise Refusal("No supply is named in this network.", _examples(problem))
    other = {"voltage": r"charge|Q", "charge": r"p\.?d\.?|voltages?|potential difference|V|U"}
    kind = "p.d." if supply.quantity == "voltage" else "charge"
    value_text = words.VALUE.search(bare)
    unit = value_text[1][-1].lower() if value_text else ""
    clash = has(bare, other[supply.quantity]) and not has(bare, _SUPPLY_WORDS[supply.quantity])
    if clash or (unit == "v" and supply.quantity == "charge") or (
        unit == "c" and supply.quantity == "voltage"
    ):
        raise Refusal(
            f"What is given here is the {kind}; the rest follows from it.",
            f"Change the {kind} or a capacitor. {_examples(problem)}",
        )
    if has(bare, words.GONE) and value_text is None and factor_in(bare) is None:
        raise Refusal(
            "A supply taken off once all is charged leaves every charge where it is, so every "
            "p.d. stays as well.",
            "Suppose something else, or 'back'.",
        )
    value = _in_its_letters(text, supply.value) or _new_value(
        text, bare, supply.quantity, problem
    )
    if value is not None:
        return NewSupply(value)
    factor = factor_in(bare) or vague_factor_in(bare)
    if factor is None:
        raise _unread(problem)
    return NewSupply(tidy(supply.value * factor))


def _in_its_letters(text: str, value: Value) -> Value | None:
    """2V or V/2 where V is the letter that the supply's own value is written in."""
    found = re.search(r"(?<![\w.])(\d*)([VUQ]\d?)(?:/(\d+))?\s*$", text)
    if found is None or not in_letters(value):
        return None
    if found[2] not in {str(symbol) for symbol in value.free_symbols} or found[3] == "0":
        return None
    factor = Fraction(int(found[1] or 1), int(found[3] or 1))
    return value_of(Letter(found[2], factor)) if factor else None


_SUPPLY_WORDS: Mapping[str, str] = MappingProxyType({
    "voltage": r"supply|battery|cell|source|p\.?d\.?|voltages?|V|U|potential difference",
    "charge": r"charge|Q",
})


# What to write instead


def _unread(problem: Problem) -> Refusal:
    return Refusal("That change could not be read.", _examples(problem))


def _examples(problem: Problem) -> str:
    first, *others = [c.name for c in problem.network.capacitors]
    in_numbers = not all(in_letters(c.value) for c in problem.network.capacitors)
    supply = problem.supply
    given = "" if supply is None else "supply" if supply.quantity == "voltage" else "charge"
    changes = (
        f"{first} = 6 uF" if in_numbers else "",
        f"{first} is doubled", f"{first} is removed", f"{first} is replaced by a wire",
        f"{first} and {others[0]} swap" if others else "",
        f"the {given} is doubled" if given else "",
        "5 uF is added in series" if in_numbers else "",
    )
    told = "; ".join(f"what if {change}" for change in changes if change)
    return f"Write it like one of these: {told}."
