"""Answers by chance in people's words, with what is true of them: at the prompts of real chats.

A line is put together from parts that know nothing of one another: an opener, the answer in one of
many forms with a unit or none, a reason that is so on this network or is not, a closing remark.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any, Final, NamedTuple

from tests.teaching.places_of_lines import Place, places
from tests.teaching.said_amounts import said_amount

WORDS: Final[Mapping[str, Any]] = tomllib.loads(
    (Path(__file__).parents[1] / "cases" / "made_lines.toml").read_text(encoding="utf-8")
)
EACH: Final = 3  # lines at one prompt


class MadeLine(NamedTuple):
    """A line at a place: whether its answer is right, and whether its reason is so (None: it gives
    none). ``parts`` are the wordings it is made of.
    """

    place: Place
    line: str
    is_right: bool
    ground: bool | None
    parts: tuple[str, ...]


def made_lines(seed: int) -> Iterator[MadeLine]:
    """Lines without end."""
    rng = Random(seed)
    while True:
        for place in places(rng):
            for _ in range(EACH):
                yield _Teller(rng, place).line()


class _Teller:
    """Puts one line together."""

    def __init__(self, rng: Random, place: Place) -> None:
        self.rng = rng
        self.place = place
        self.parts: list[str] = []

    def line(self) -> MadeLine:
        rng, place = self.rng, self.place
        is_right = place.kind == "reason" or rng.random() < 0.8
        answer = self._answer(is_right)
        ground, said = None, ""
        if is_right and (place.kind == "reason" or rng.random() < 0.6):
            ground, said = self._reason()
        opener, closer = self._opener(), self._one(WORDS["closers"])
        if said and rng.random() < 0.15:
            body = said + self._one(WORDS["so"]) + answer
        else:
            body = answer + (self._one(WORDS["because"]) + said if said else "")
        text = self._in_a_hand(f"{opener}{body}{closer}")
        return MadeLine(place, text, is_right, ground, tuple(self.parts))

    def _one(self, wordings: list[str]) -> str:
        wording = self.rng.choice(wordings)
        self.parts.append(wording)
        return wording

    def _filled(self, wordings: list[str], **more: str) -> str:
        return self._one(wordings).format(**{**self.place.fields, **more})

    def _opener(self) -> str:
        roll = self.rng.random()
        if "u" in self.place.fields and roll < 0.06:
            return self._filled(WORDS["with_values"])
        if "supply" in self.place.fields and roll < 0.12:
            return self._filled(WORDS["with_supply"])
        return self._one(WORDS["openers"])

    def _answer(self, is_right: bool) -> str:
        place = self.place
        if place.asks == "value":
            return self._value(is_right)
        if place.asks == "names":
            return self._names(is_right)
        right, other = place.words if is_right else place.words[::-1]
        if right in WORDS["sharing"]:
            right, other = (self.rng.choice(WORDS["sharing"][each]) for each in (right, other))
            return self._filled(WORDS["sharing"]["words"], shared=right, other=other)
        return right

    def _value(self, is_right: bool) -> str:
        place, rng, frames = self.place, self.rng, WORDS["values"]
        own = frames.get(place.kind, [])
        if place.fields.get("each"):
            own = [*own, *frames["each"]]
        usable = [frames["any"]]
        usable += [own] if own else []
        if is_right and place.sums:
            usable.append(frames["worked"])
        if place.later is not None:
            usable.append(frames["later"])
        assert place.right is not None
        wrong = place.right * rng.choice([Fraction(3), Fraction(2), Fraction(1, 3), Fraction(7, 4)])
        amount = place.right if is_right else wrong
        other = wrong if is_right else wrong * Fraction(5, 3)
        later = said_amount(rng, place.later, place.power, "F") if place.later else ""
        return self._filled(
            rng.choice(usable), value=self._amount(amount), wrong=self._amount(other),
            later=later, sum=rng.choice(place.sums) if place.sums else "",
        )  # fmt: skip

    def _amount(self, value: Fraction) -> str:
        return said_amount(self.rng, value, self.place.power, self.place.unit)

    def _names(self, is_right: bool) -> str:
        place, pairs = self.place, WORDS["pairs"]
        names = place.words if is_right else place.others
        joiner = self.rng.choice((" and ", " and ", " ", ", ", " & ", "+", " with "))
        joined = joiner.join(names)
        by_value = is_right and "u" in place.fields and len(names) == 2 and self.rng.random() < 0.15
        said = self._filled(pairs["by_value"] if by_value else pairs["by_name"], all=joined)
        if is_right and self.rng.random() < 0.4:
            shared = self.rng.choice(WORDS["sharing"][place.fields["shares"]])
            said += self._filled(pairs["shared"], shared=shared)
        return said

    def _reason(self) -> tuple[bool, str]:
        """Whether it is so, and its words."""
        wanted = self.rng.random() < 0.5
        found = list(_reasons(self.place, wanted)) or list(_reasons(self.place, not wanted))
        if not found:
            return True, ""
        is_so, says = self.rng.choice(found)
        return is_so, self._filled(says)

    def _in_a_hand(self, line: str) -> str:
        """As it is typed: small letters, no apostrophes, a capital first, and the like."""
        line = line.strip().replace("..", ".") if "..." not in line else line.strip()
        hand = self.rng.choice(
            ("as it is", "as it is", "small", "capital", "bare", "texting", "spaced")
        )
        if hand == "small":
            return _small(line)
        if hand == "capital":
            return line[:1].upper() + line[1:]
        if hand == "bare":
            return line.replace("'", "").replace("µ", "u")
        if hand == "texting":
            return line.replace(" you ", " u ").replace(" are ", " r ").replace("because", "bcs")
        return line.replace(", ", " , ") if hand == "spaced" else line


def _small(line: str) -> str:
    """Without capitals, but for the signs of units and names."""
    words = line.split(" ")
    return " ".join(w if any(c.isupper() or c.isdigit() for c in w[1:]) or len(w) < 3 else w.lower()
                    for w in words)


def _reasons(place: Place, wanted: bool) -> Iterator[tuple[bool, list[str]]]:
    """Reasons that are so and bear on what is asked, or such as are not so."""
    for row in WORDS["stage"]:
        if place.kind == row["key"] and row.get("right", place.words[:1]) in (*place.words[:1], ()):
            yield wanted, row["true" if wanted else "false"]
    for row in WORDS["reason"] if place.facts else ():
        is_so = place.facts.get(row["so"])
        if is_so is wanted and (not is_so or place.kind in row["at"].split()):
            yield is_so, row["says"]
