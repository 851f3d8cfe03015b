"""A network with ratings as the questions about it need it."""

from __future__ import annotations

from fractions import Fraction
from typing import Literal, NamedTuple, TypeAlias

from tutor.circuit.network import Capacitor, Problem
from tutor.circuit.ratings import Greatest, Limit
from tutor.circuit.values import Value, tidy
from tutor.teaching.speech import Speech

RatedShape: TypeAlias = Literal["alone", "chain", "parallel", "mixed"]


class RatingScene(NamedTuple):
    """A problem with its greatest supply, and how values are put into words."""

    problem: Problem
    greatest: Greatest
    speech: Speech

    @property
    def shape(self) -> RatedShape:
        """Whether one rule settles all: one charge in a chain, one p.d. in a parallel set."""
        made = [step for step in self.greatest.at_one_volt.steps if step.makes is not None]
        if not made:
            return "alone"
        if len(made) > 1 or made[0].kind not in ("series", "parallel"):
            return "mixed"
        return "chain" if made[0].kind == "series" else "parallel"

    @property
    def charged(self) -> tuple[Limit, ...]:
        """The rated capacitors that ever have a p.d."""
        return tuple(limit for limit in self.greatest.limits if limit.share)

    @property
    def idle(self) -> tuple[str, ...]:
        """The rated ones that never have."""
        return tuple(limit.name for limit in self.greatest.limits if not limit.share)

    @property
    def first(self) -> Limit:
        """The first of those that reach their rating first."""
        return next(limit for limit in self.charged if limit.name in self.greatest.first)

    @property
    def members(self) -> tuple[Capacitor, ...]:
        """All capacitors that ever have a p.d., in the order of the network."""
        holdings = self.greatest.at_one_volt.holdings
        return tuple(c for c in self.problem.network.capacitors if holdings[c.name].voltage != 0)

    def capacitance(self, name: str) -> Value:
        """The capacitance of one of them, in farads."""
        return self.problem.network.named([name])[0].value

    def voltage(self, name: str) -> Value:
        """The p.d. across one of them at the greatest supply, in volts."""
        return tidy(self.greatest.at_one_volt.holdings[name].size.voltage * self.greatest.voltage)

    def usual(self, volts: Fraction) -> Fraction:
        """A p.d. as a plain number in the usual unit of the problem."""
        return volts / Fraction(10) ** self.speech.powers["voltage"]
