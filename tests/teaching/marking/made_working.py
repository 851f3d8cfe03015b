"""Working written by chance in pupils' hands, with what is true of it: each problem of
``made_problems`` in a hand of names, forms, units, figures and layout, right or with one slip.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from math import gcd, lcm
from random import Random
from typing import Final, NamedTuple

from tests.teaching.marking.hand_forms import FormsOfHand
from tests.teaching.marking.made_problems import made_problems
from tests.teaching.marking.made_steps import MadeProblem, WorkStep
from tests.teaching.marking.pupil_hands import (
    EXPONENTS,
    Hand,
    hand_by_chance,
    plain,
    rounded,
)

WRONG_BY: Final = Fraction(8, 100)


class MadeSlip(NamedTuple):
    """A slip at a step: the ``way`` as written in gaps, the values put there, what it comes to."""

    at: int
    kind: str
    way: str
    used: tuple[Fraction, ...]
    value: Fraction


class MadeScript(NamedTuple):
    """Lines with, for each, the steps that stand in it; ``slip`` if one was made."""

    problem: MadeProblem
    hand: Hand
    lines: tuple[str, ...]
    of_steps: tuple[frozenset[int], ...]
    slip: MadeSlip | None

    @property
    def of_slip(self) -> frozenset[int]:
        """The numbers of the lines in which the slip was made."""
        at = self.slip.at if self.slip else -1
        return frozenset(n for n, steps in enumerate(self.of_steps, start=1) if at in steps)


def made_scripts(seed: int) -> Iterator[MadeScript]:
    """Scripts without end, right ones and such with a slip in turn."""
    for number, problem in enumerate(made_problems(seed)):
        rng = Random(f"{seed} {number}")
        writer = _Writer(rng, problem, hand_by_chance(rng))
        made = writer.script(with_slip=number % 2 == 1)
        # what was left after a slip may be less than nothing
        if min(writer.own.values(), default=0) < 0:
            made = _Writer(rng, problem, writer.hand).script(with_slip=False)
        yield made


class _Writer(FormsOfHand):
    """One script being written."""

    def __init__(self, rng: Random, problem: MadeProblem, hand: Hand) -> None:
        is_si = problem.kind == "plates"
        super().__init__(rng, problem, hand._replace(units="si", tex=False) if is_si else hand)
        self.may_leave_out = False
        self.slip: MadeSlip | None = None
        self.rows: list[tuple[str, frozenset[int]]] = []
        self.last_name = ""

    # The script

    def script(self, with_slip: bool) -> MadeScript:
        """The whole script."""
        steps = self._ordered()
        slip_at = self._slip_at(steps) if with_slip else None
        self.may_leave_out = slip_at is None
        says = (*self.declared(), *self.planned(), *self.problem.says)
        self.rows += [(each, frozenset()) for each in says]
        table = self._table_keys(steps) if slip_at is None else ()
        for at, step in enumerate(steps):
            self._take(at, step, at == slip_at)
            if step.key in table or self._is_left_out(step) or self._goes_on(at, step):
                continue
            lines = self._lines(at, step)
            if self.slip is None or self.slip.at != at:
                lines = self.corrected(step, [*lines[:-1], self.reasoned(step, lines[-1])])
            self.rows += [(self._remarked(line), frozenset({at})) for line in lines]
        self.rows += [(line, frozenset()) for line in self._table(table)]
        if self.hand.checks and with_slip is False:
            self.rows += [(line, frozenset()) for line in (*self._checks(), *self.of_energies())]
        lines, of_steps = self._laid_out()
        return MadeScript(self.problem, self.hand, lines, of_steps, self.slip)

    def _goes_on(self, at: int, step: WorkStep) -> bool:
        """Whether the line before goes on with this value: Q = 24 uC = Q1 = Q2."""
        name = self.name(step.key)
        if step.rule.name != "same" or not self.rows or not name or self.hand.tex:
            return False
        line, of = self.rows[-1]
        is_end = line.endswith(self.amount(step.uses[0])) or line.endswith(f"= {self.last_name}")
        if not is_end or self.rng.random() >= self.hand.goes_on or "=" not in line:
            return False
        if self.slip is not None and self.slip.at in of:
            return False
        self.rows[-1] = f"{line} = {name}", of | {at}
        self.last_name = name
        return True

    def _ordered(self) -> list[WorkStep]:
        steps = list(self.problem.steps)
        if not self.hand.shuffled:
            return steps
        done, ordered = set(self.problem.given), []
        while steps:
            ready = [each for each in steps if set(each.uses) <= done]
            step = self.rng.choice(ready)
            steps.remove(step)
            done.add(step.key)
            ordered.append(step)
        return ordered

    def _take(self, at: int, step: WorkStep, slips: bool) -> None:
        value = rounded(step.value(self.own), self.hand.figures)
        if slips:
            self.slip = self._slip(at, step, value)
            value = self.slip.value if self.slip else value
        self.own[step.key] = value

    def _is_left_out(self, step: WorkStep) -> bool:
        is_open = step.key not in self.problem.asked and self.may_leave_out
        return is_open and self.rng.random() < self.hand.left_out

    def _remarked(self, line: str) -> str:
        if self.rng.random() >= self.hand.remarks:
            return line
        return f"{line} {self.rng.choice(('(see line 2)', '(rule 3)', '[1]', '(from step 1)'))}"

    def _laid_out(self) -> tuple[tuple[str, ...], tuple[frozenset[int], ...]]:
        rows = list(self.rows)
        layout, rng = self.hand.layout, self.rng
        if layout == "semicolons":
            joined: list[tuple[str, frozenset[int]]] = []
            for text, steps in rows:
                if joined and rng.random() < 0.5 and "|" not in text + joined[-1][0]:
                    joined[-1] = (f"{joined[-1][0]}; {text}", joined[-1][1] | steps)
                else:
                    joined.append((text, steps))
            rows = joined
        elif layout != "lines":
            rows = [
                (text if "|" in text else f"{_numbered(layout, n)}{text}", of)
                for n, (text, of) in enumerate(rows)
            ]
        for _ in range(2):
            if rng.random() < self.hand.remarks:
                rows.insert(rng.randint(0, len(rows)), (rng.choice(REMARKS), frozenset()))
        return tuple(text for text, _ in rows), tuple(of for _, of in rows)

    def _table_keys(self, steps: Sequence[WorkStep]) -> tuple[str, ...]:
        leaves = [key[1:] for key in self.problem.given if re.fullmatch(r"C\d", key)]
        keys = tuple(f"{each}{leaf}" for leaf in leaves for each in "QV")
        found = {step.key for step in steps}
        return keys if self.hand.table and set(keys) <= found else ()

    def _table(self, keys: Sequence[str]) -> Iterator[str]:
        if keys:
            yield f"    |  C  |  Q  |  {self.hand.volts}"
        for end in dict.fromkeys(key[1:] for key in keys):
            row = (self.amount(f"{each}{end}") for each in "CQV")
            yield f"{self.name(f'C{end}')} | {' | '.join(row)}"

    def _checks(self) -> Iterator[str]:
        """The p.d.s of a chain, or the charges beside each other, added up again."""
        parts = [step for step in self.problem.steps if step.key in self.problem.groups]
        own, figures = self.own, self.hand.figures
        for step in parts:
            letter = "V" if self.problem.groups[step.key] == "--" else "Q"
            keys = [f"{letter}{each[1:]}" for each in step.uses]
            if not set(keys) <= own.keys() or figures == 2 or any(key[2:] for key in keys):
                continue
            whole = rounded(sum((own[key] for key in keys), Fraction(0)), figures)
            sums = " + ".join(self.number(key) for key in keys)
            names = " + ".join(self.name(key) for key in keys)
            total = f"{self.written(whole, keys[0])}{self.unit(keys[0])}"
            yield self.rng.choice((
                f"check: {names} = {sums} = {total}", f"check: {sums} = {total} ok",
                f"{sums} = {total} ✓", f"{names} = {total} so it is ok",
            ))  # fmt: skip

    # Slips

    def _slip_at(self, steps: Sequence[WorkStep]) -> int | None:
        none_there = ("same", "smaller")  # nothing is worked out there
        open_ = [at for at, step in enumerate(steps) if step.rule.name not in none_there]
        open_ = [at for at in open_ if self._counts(steps[at])]
        return self.rng.choice(open_) if open_ else None

    def _counts(self, step: WorkStep) -> bool:
        """Whether more rests on a charge at its rating than that another one is smaller."""
        if step.key[0] != "M":
            return True
        known = self.problem.given
        charges = [known[f"C{each}"] * known[f"R{each}"] for each in "12"]
        return step.value(known) == min(charges)

    def _slip(self, at: int, step: WorkStep, right: Fraction) -> MadeSlip | None:
        used = tuple(self.own[each] for each in step.uses)
        way = self.rng.choice(step.rule.ways)
        found: list[MadeSlip] = []
        off = right + self.rng.choice((1, 2, 10, -1, -2, -10)) * _place(right)
        found.append(MadeSlip(at, "sum", way, used, off))
        for wrong, work in step.rule.wrong:
            found += [MadeSlip(at, "rule", wrong, used, work(*used))] * 2
        if step.rule.name == "chained":
            over = " + ".join(f"1/{{{n}}}" for n in range(len(used)))
            found += [MadeSlip(at, "not turned over", over, used, 1 / right)] * 2
        if self.hand.units in ("si", "other"):
            times = Fraction(10) ** self.rng.choice((3, -3, 1, -1, 6))
            found.append(MadeSlip(at, "power of ten", way, used, right * times))
        copied = _miscopied(self.rng, used)
        if copied is not None and 0 not in copied and step.rule.name != "root":
            found.append(MadeSlip(at, "copied", way, copied, step.rule.work(*copied)))
        self.rng.shuffle(found)
        for slip in found:
            value = rounded(slip.value, self.hand.figures or 5)
            if value > 0 and abs(value - right) > WRONG_BY * right and not self._is_chance(value):
                return slip._replace(value=value)
        return None

    def _is_chance(self, value: Fraction) -> bool:
        """Whether a wrong value is that of something else of the problem."""
        return any(abs(value - each) < Fraction(each, 50) for each in self.own.values())

    # Steps

    def _lines(self, at: int, step: WorkStep) -> list[str]:
        slip = self.slip if self.slip and self.slip.at == at else None
        if slip is None and self.hand.mood in ("prose", "mixed") and self.rng.random() < 0.5:
            said = self.in_prose(step)
            if said:
                return [said]
        if slip is None and step.rule.name == "same":
            return [self._same(step)]
        if slip is None and step.rule.name == "smaller":
            return [
                f"{self.rng.choice(('the smaller is', 'limit:', 'at most'))} {self.amount('Q')}"
            ]
        is_turned = step.rule.name == "chained" and self.hand.units != "other"
        if slip is None and is_turned and self.rng.random() < 0.45:
            return self._turned_over(step)
        if slip is None and step.rule.name == "share of the p.d." and self.rng.random() < 0.4:
            return self._by_ratio(step)
        if slip is None and not self.hand.tex and self.rng.random() < 0.4:
            if step.rule.name.startswith("share of") and (said := self.as_ratio(step)):
                return said
            if step.rule.name == "rest" and (said := self.as_rest(step)):
                return said
            if self.rng.random() < 0.3 and (said := self.turned_round(step)):
                return said
        return self._in_signs(step, slip)

    def _in_signs(self, step: WorkStep, slip: MadeSlip | None) -> list[str]:
        way = slip.way if slip else self.rng.choice(step.rule.ways)
        used = slip.used if slip else tuple(self.own[each] for each in step.uses)
        numbers = self.filled(way, step.uses, used)
        value, name, equals = self.amount(step.key), self.name(step.key), self.hand.equals
        names = self._in_names(way, step) if slip is None or slip.kind != "copied" else ""
        mood = self.hand.mood
        forms = [f"{name}{equals}{numbers}{equals}{value}"] * (3 if name else 0)
        if name and names and mood in ("formal", "mixed"):
            forms += [f"{name}{equals}{names}{equals}{numbers}{equals}{value}"] * 4
            forms += [f"{name}{equals}{names}\n{name}{equals}{numbers}\n{name}{equals}{value}"]
            forms += [f"{name}{equals}{names}\n{equals.lstrip()}{numbers}{equals}{value}"]
        if name and mood in ("terse", "plain") and slip is None:
            forms += [f"{name}{equals}{value}"] * (2 if mood == "terse" else 1)
        if mood in ("terse", "mixed", "prose") or not name:
            forms += [f"{numbers}{equals}{value}", f"{numbers}{equals}{value}"]
        words = "" if self.hand.tex else self.words(step.key)
        if mood in ("terse", "mixed", "prose") and not self.hand.tex:
            forms += [f"{numbers} -> {value}", f"so {numbers}{equals}{value}"]
        if words and mood != "formal":
            forms += [
                f"{words}: {numbers}{equals}{value}",
                f"{words}{equals}{numbers}{equals}{value}",
            ]
        form = self.rng.choice(forms)
        return [self.as_tex(line) if self.hand.tex else line for line in form.split("\n")]

    def _in_names(self, way: str, step: WorkStep) -> str:
        names = [self.name(each) for each in step.uses]
        if not all(names) or any(" " in name for name in names) or step.rule.name == "plates":
            return ""
        return self._signed(way).format(*names)

    def _signed(self, way: str) -> str:
        return way.replace(" * ", self.hand.times)

    def _same(self, step: WorkStep) -> str:
        name, value = self.name(step.key), self.amount(step.key)
        from_ = self.name(step.uses[0])
        forms = [f"{name} = {value}", f"{name} = {value} (same)"]
        forms += [f"{name} = {from_} = {value}"] if from_ else []
        return self.rng.choice(forms)

    def _turned_over(self, step: WorkStep) -> list[str]:
        used = [self.own[each] for each in step.uses]
        name = self.name(step.key) or "C"
        value, equals = self.amount(step.key), self.hand.equals
        over = " + ".join(f"1/{self.written(each, 'C')}" for each in used)
        lead = f"1/{name}{equals}" if self.rng.random() < 0.8 else ""
        whole = all(each.denominator == 1 for each in used)
        whole = whole and self.hand.units not in ("si", "other")
        if whole and self.rng.random() < 0.5:
            below = lcm(*(int(each) for each in used))
            tops = [below // int(each) for each in used]
            sums = " + ".join(f"{top}/{below}" for top in tops)
            one = f"{lead}{over}{equals}{sums}{equals}{sum(tops)}/{below}"
            if self.rng.random() < 0.5:
                return [one, f"{name}{equals}{below}/{sum(tops)}{equals}{value}"]
            return [f"{one}{self.rng.choice((', so ', ' => ', ' → '))}{name}{equals}{value}"]
        figures = max(self.hand.figures or 4, 3)
        each = " + ".join(self._turned(1 / one, figures) for one in used)
        total = self._turned(sum((1 / one for one in used), Fraction(0)), figures)
        middle = f"{equals}{each}" if self.rng.random() < 0.5 else ""
        return [f"{lead}{over}{middle}{equals}{total}", f"{name}{equals}{value}"]

    def _turned(self, value: Fraction, figures: int) -> str:
        if self.hand.units == "si":
            value /= Fraction(10) ** EXPONENTS[self.problem.unit]
        return plain(rounded(value, figures))

    def _by_ratio(self, step: WorkStep) -> list[str]:
        whole, own, other = (self.own[each] for each in step.uses)
        if own.denominator > 1 or other.denominator > 1:
            return self._in_signs(step, None)
        shared = gcd(int(own), int(other))
        mine, its = int(other) // shared, int(own) // shared
        value, name = self.amount(step.key), self.name(step.key)
        share = f"{mine}/{mine + its}{self.hand.times}{self.written(whole, 'V')}"
        if self.rng.random() < 0.5:
            return [f"p.d.s are as {mine} : {its}", f"{name} = {share} = {value}"]
        return [f"{name} = {share} = {value}"]


REMARKS: Final = (
    "Question 4 (b), page 112", "see line 2", "(3 marks)", "Exercise 7.2", "now the 2nd part",
    "formula 3 on the sheet", "answer below", "step 1 done, 2 to go", "I checked this twice",
)  # fmt: skip


def _numbered(layout: str, at: int) -> str:
    marks: dict[str, Callable[[int], str]] = {
        "1)": lambda n: f"{n + 1}) ", "1.": lambda n: f"{n + 1}. ",
        "(a)": lambda n: f"({chr(97 + n)}) ",
    }  # fmt: skip
    return marks[layout](at) if layout in marks else layout


def _place(value: Fraction) -> Fraction:
    """The place of the first figure but one, or the ones."""
    power = len(plain(value).split(".")[0]) - 2
    return Fraction(10) ** max(power, 0 if value.denominator == 1 else -1)


def _miscopied(rng: Random, used: Sequence[Fraction]) -> tuple[Fraction, ...] | None:
    """The values with one digit of one of them read as another, or two changed about."""
    at = rng.randrange(len(used))
    text = plain(used[at])
    if len(text) < 2 or "." in text:
        return None
    turned = text[1] + text[0] + text[2:]
    other = text[:-1] + str((int(text[-1]) + rng.randint(1, 8)) % 10)
    wrong = Fraction(rng.choice((turned, other)))
    return (*used[:at], wrong, *used[at + 1 :])
