"""More forms in which pupils put a step: ratios, percent, parts, what is left, reasons behind, a
chain of equal values, a wrong value crossed out, a share of the energy.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import gcd
from typing import Final

from tests.teaching.marking.made_steps import WorkStep
from tests.teaching.marking.pupil_hands import PupilHand, plain, rounded

HUNDRED: Final = 100


class FormsOfHand(PupilHand):
    """One pupil's forms of whole steps."""

    def declared(self) -> Iterator[str]:
        """Names of this pupil's own, said before they are used."""
        if self.hand.told == "letters" and self.problem.kind == "network":
            keys = [key for key in self.problem.given if key[0] == "C" and key[1:]]
            said = [f"{self.name(key)} = {self.amount(key)}" for key in keys]
            yield ", ".join(said)

    def planned(self) -> Iterator[str]:
        """What a pupil who works back from what is asked says first."""
        if self.rng.random() < self.hand.reasons and self.problem.steps:
            name = self.name(self.problem.steps[-1].key)
            if name:
                yield self.rng.choice((f"need {name}", f"want {name} so work back", f"{name} = ?"))

    def in_prose(self, step: WorkStep) -> str:
        """A step in words, nothing where there are none for it."""
        amount, uses = self.amount(step.key), [self.amount(each) for each in step.uses]
        numbers, holder = (
            self.filled(step.rule.ways[0], step.uses, [self.own[e] for e in step.uses]),
            self.holder(step.key),
        )
        rule, is_c = step.rule.name, step.key[0] == "C"
        if is_c and rule == "added" and len(uses) == 2:
            return self.rng.choice((
                f"{uses[0]} and {uses[1]} in parallel make {amount}",
                f"adding {uses[0]} and {uses[1]} gives {amount}",
                f"{uses[0]} beside {uses[1]} is {amount}",
            ))  # fmt: skip
        if rule == "chained" and len(uses) == 2:
            return self.rng.choice((
                f"{uses[0]} in series with {uses[1]} is {amount}",
                f"{uses[0]} and {uses[1]} in series come to {amount}",
                f"product over sum for {uses[0]} and {uses[1]}: {amount}",
            ))  # fmt: skip
        if rule == "charge" and holder:
            return self.rng.choice((
                f"the charge on {holder} is {numbers} = {amount}",
                f"{holder} holds {amount}", f"so {holder} carries {numbers} = {amount}",
            ))  # fmt: skip
        if rule in ("p.d.", "share of the p.d.", "rest") and step.key[0] == "V" and holder:
            return self.rng.choice((
                f"the p.d. across {holder} is {numbers} = {amount}",
                f"{holder} gets {amount}", f"{numbers} = {amount} across {holder}",
            ))  # fmt: skip
        if rule == "same" and holder:
            what = "charge" if step.key[0] == "Q" else "p.d."
            return self.rng.choice((
                f"{holder} has the same {what}, {amount}", f"same {what} on {holder}: {amount}",
            ))  # fmt: skip
        if rule == "energy" and holder:
            return self.rng.choice((
                f"the energy in {holder} is {numbers} = {amount}", f"{holder} stores {amount}",
            ))  # fmt: skip
        return ""

    def as_ratio(self, step: WorkStep) -> list[str]:
        """A share of a p.d. or a charge by parts of the whole."""
        whole, own, other = (self.own[each] for each in step.uses)
        if max(own.denominator, other.denominator) > 1:
            return []
        is_volts = step.rule.name == "share of the p.d."
        shared = gcd(int(own), int(other))
        mine, its = (other, own) if is_volts else (own, other)
        mine, its = mine / shared, its / shared
        all_, name = mine + its, self.name(step.key)
        value, told = self.amount(step.key), self.amount(step.uses[0])
        letter = step.key[0]
        names = [self.name(f"{letter}{each[1:]}") for each in step.uses[1:]]
        caps = [self.name(each) for each in step.uses[1:]]
        forms = [[f"{plain(mine)}/{plain(all_)} of {told} = {value}"]]
        if name:
            forms.append([f"{name} = {plain(mine)}/{plain(all_)} of {told} = {value}"])
            one = rounded(whole / all_, 4)
            if self.hand.units not in ("si", "other") and one * mine == self.own[step.key]:
                unit = self.unit(step.key)
                parts = f"{plain(mine)} + {plain(its)} = {plain(all_)} parts"
                forms.append([
                    f"{parts}, one part is {plain(whole)}/{plain(all_)} = {plain(one)}{unit}",
                    f"{name} = {plain(mine)} x {plain(one)} = {value}",
                ])
            share = mine / all_ * HUNDRED
            if share.denominator in (1, 2):
                forms.append([f"{name} = {plain(share)}% of {told} = {value}"])
        if all(names) and all(caps) and not any(" " in each for each in (*names, *caps)):
            turned = caps[::-1] if is_volts else caps
            ratio = f"{plain(mine)}:{plain(its)}"
            forms.append([
                f"{names[0]}:{names[1]} = {turned[0]}:{turned[1]} = {ratio}",
                f"{name} = {plain(mine)}/{plain(all_)} x {told} = {value}",
            ])
            forms.append([
                f"{names[0]}/{names[1]} = {turned[0]}/{turned[1]} = {plain(mine)}/{plain(its)}",
                f"{name} = {value}",
            ])
        return self.rng.choice(forms)

    def as_rest(self, step: WorkStep) -> list[str]:
        """What is left of a whole."""
        whole, part = (self.amount(each) for each in step.uses)
        if step.key[0] not in "VQ" or "'" in step.key:
            return []
        numbers = f"{whole} - {part}"
        value, name = self.amount(step.key), self.name(step.key)
        letter = self.hand.volts if step.key[0] == "V" else "Q"
        forms = [f"{letter} left = {numbers} = {value}"]
        if name:
            forms += [f"{name} = the rest = {value}", f"{name} = {numbers} = {value} left"]
        if holder := self.holder(step.key):
            forms += [f"{holder} gets the rest: {value}", f"that leaves {value} for {holder}"]
        return [self.rng.choice(forms)]

    def turned_round(self, step: WorkStep) -> list[str]:
        """Q = CV, so V = Q/C: the relation first as it is known."""
        if step.rule.name not in ("p.d.", "Q over V") or not self.name(step.key):
            return []
        numbers = self.filled(step.rule.ways[0], step.uses, [self.own[e] for e in step.uses])
        known = {"p.d.": "Q = CV so V = Q/C", "Q over V": "Q = CV so C = Q/V"}[step.rule.name]
        return [known, f"{self.name(step.key)} = {numbers} = {self.amount(step.key)}"]

    def filled(self, way: str, keys: Sequence[str], used: Sequence[Fraction]) -> str:
        """A way with numbers in its gaps."""
        numbers = []
        is_sum = "/" not in way and "^" not in way
        for key, value in zip(keys, used, strict=True):
            with_unit = self.hand.units in ("all", "other") and not self.hand.tex
            number = self.written(value, key)
            number = f"({number})" if "/" in number and not is_sum else number
            numbers.append(f"{number}{self.unit(key) if with_unit else ''}")
        for at, number in enumerate(numbers):
            if "10" in number and not number.replace(".", "").isdigit():
                way = way.replace(f"{{{at}}}^2", f"({{{at}}})^2")
        return way.replace(" * ", self.hand.times).format(*numbers)

    def reasoned(self, step: WorkStep, line: str) -> str:
        """A line with its reason behind it."""
        if self.rng.random() >= self.hand.reasons or "'" in step.key or self.hand.tex:
            return line
        sign = self.problem.groups.get(step.key)
        reasons: tuple[str, ...] = ()
        if step.rule.name == "same":
            reasons = (
                ("(series so same Q)", "since they are in series", "because same charge in series")
                if step.key[0] == "Q"
                else ("(parallel so same V)", "since they are in parallel", "as both are across it")
            )
        elif sign and step.key[0] == "C":
            kind = "series" if sign == "--" else "parallel"
            reasons = (f"({kind})", f"because they are in {kind}")
        elif step.rule.name == "charge":
            reasons = ("(Q=CV)", "by Q = CV")
        elif step.rule.name == "rest" and step.key[0] == "V":
            reasons = ("(V adds up in series)", "because the voltages add up")
        return f"{line} {self.rng.choice(reasons)}" if reasons else line

    def corrected(self, step: WorkStep, lines: list[str]) -> list[str]:
        """A wrong value crossed out and put right in the same line."""
        name, own = self.name(step.key), self.own[step.key]
        if self.rng.random() >= self.hand.corrects or not name or own <= 0 or self.hand.tex:
            return lines
        wrong = f"{self.written(rounded(own * 2 + 3, 4), step.key)}{self.unit(step.key)}"
        value = self.amount(step.key)
        return self.rng.choice((
            [f"{name} = {wrong} no, {name} = {value}"],
            [f"{name} = {wrong}, sorry {value}"],
            [f"{name} = {wrong} (wrong) {name} = {value}"],
            [f"~~{name} = {wrong}~~ {name} = {value}"],
            [*lines[:-1], f"scrap that: {lines[-1]}"],
        ))  # fmt: skip

    def of_energies(self) -> Iterator[str]:
        """What part of the energy was lost."""
        own = self.own
        if {"E", "E'", "heat"} <= own.keys() and self.hand.checks and own["E"] > own["heat"] > 0:
            share = rounded(own["heat"] / own["E"], 3)
            lost, first = (self.number(key) for key in ("heat", "E"))
            if self.hand.units not in ("si", "other"):
                yield self.rng.choice((
                    f"fraction lost = {lost}/{first} = {plain(share)}",
                    f"{lost}/{first} = {plain(share * 100)}% is lost",
                    f"that is {plain(share * 100)}% of the energy",
                ))  # fmt: skip
