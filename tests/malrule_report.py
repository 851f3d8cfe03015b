"""How well wrong rules are recognised, in figures: ``python -m tests.malrule_report [networks]``.

Every figure comes from the dialogue itself, line in and messages out, on networks by chance with
a fixed seed.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from fractions import Fraction
from random import Random
from typing import NamedTuple

from tests.misled import (
    ON_WALKS,
    Outcome,
    at_figures,
    chances,
    go_wrong,
    go_wrong_early,
    is_taken_as_right,
    nested,
    places_on_walks,
    problem_for,
    skipped_chances,
    to_usual,
    value_of,
)
from tests.slips import SLIPS, named_after, slips
from tests.upright import Heard, all_the_way, told_right
from tutor.circuit.network import build
from tutor.teaching.exchange import begin
from tutor.teaching.rules.catalogue import BY_OTHER_SIGNS
from tutor.teaching.rules.context import RuleContext, context_on
from tutor.teaching.rules.malrule import Malrule

NETWORKS = 300
EARLY_SHARE = 3  # skipped steps are tried on a third as many networks
WRONG_NUMBERS = 20
SAMPLER = (
    "Wrong numbers of the false-match rates: the right value times 10 to a power drawn evenly "
    "between -1 and 1, for every value of networks of 2 to 5 capacitors, rounded to the figures; "
    "what would be taken as right is left out."
)


class Row(NamedTuple):
    """Counts for one wrong rule: chances, those where no rule of another remedy gives the same
    three figures, of these the settled; all the settled, and those after a separating question.
    """

    malrule: Malrule
    chances: int
    alone: int
    alone_settled: int
    settled: int
    asked_which: int
    unsettled: tuple[str, ...]


class Rate(NamedTuple):
    """How often a wrong number, rounded to ``figures``, is one that some wrong rule gives."""

    figures: int
    numbers: int
    matched: int

    @property
    def share(self) -> float:
        return self.matched / self.numbers


def row(malrule: Malrule, networks: int) -> Row:
    """The simulated learner of one wrong rule, wherever its number is asked or can be stated."""
    rng = Random(f"{malrule.name} {places_on_walks(malrule)}")
    return _counted(
        malrule, [go_wrong(malrule, c, rng) for c in chances(malrule, rng, networks)]
    )


def early_row(malrule: Malrule, networks: int) -> Row:
    """The same where the whole is given at once, with the wrong rule at the first step."""
    rng = Random(f"early {malrule.name} {places_on_walks(malrule)}")
    found = skipped_chances(malrule, rng, networks)
    return _counted(malrule, [go_wrong_early(malrule, skipped, rng) for skipped in found])


def _counted(malrule: Malrule, outcomes: list[Outcome]) -> Row:
    alone = [o for o in outcomes if o.alone]
    return Row(
        malrule, len(outcomes), len(alone), sum(o.settled for o in alone),
        sum(o.settled for o in outcomes), sum(o.asked_which for o in outcomes),
        tuple(o.said for o in alone if not o.settled),
    )


def right_answers(malrule: Malrule, networks: int) -> list[Heard]:
    """Right values of the networks of one wrong rule, in honest forms."""
    rng = Random(f"right {malrule.name}")
    heard = []
    for _ in range(networks):
        walk = begin(problem_for(malrule, rng)).walk
        asked = [q for q in walk.truth if q.point is None and (q.of is None or q.symbol != "C")]
        heard.append(told_right(walk, rng.choice(asked), rng))
    return heard


def walks_on_rounded_values(networks: int, figures: int) -> list[Heard]:
    """All answers of learners who work on from their own values, rounded to so many figures."""
    rng = Random(figures)
    return [
        heard
        for _ in range(networks)
        for heard in all_the_way(begin(build(nested(rng))).walk, figures, rng)
    ]


def is_named_falsely(heard: Heard) -> bool:
    """Whether something right was called wrong, or a wrong rule was named for it."""
    return bool(heard.malrules) or heard.verdict not in ("right", "incomplete")


def false_matches(networks: int, only: Callable[[str, int], bool] | None = None) -> list[Rate]:
    """Rates at one, two and three figures; ``only`` picks kinds of place by name and parts."""
    rng = Random("false matches")
    counts = {figures: [0, 0] for figures in (1, 2, 3)}
    for _ in range(networks):
        walk = begin(build(nested(rng))).walk
        for quantity in walk.truth:
            scene = context_on(walk, quantity)
            if scene is None or quantity in walk.known:
                continue
            if only is not None and not only(scene.place, len(scene.parts)):
                continue
            right, given = value_of(walk, quantity), _given_by_rules(scene)
            for wrong in _wrong_numbers(right, rng):
                for figures, count in counts.items():
                    typed = at_figures(wrong, figures)
                    if not is_taken_as_right(typed, right):
                        count[0] += 1
                        count[1] += any(typed.is_met(number) for number in given)
    return [Rate(figures, *count) for figures, count in counts.items()]


def _given_by_rules(scene: RuleContext) -> list[Fraction]:
    """Every number that wrong rules give here, in the usual unit."""
    rules = [malrule for malrule in ON_WALKS if malrule.fits(scene)]
    return [n * to_usual(scene) for malrule in rules for n in malrule.wrong(scene)]


def _wrong_numbers(right: Fraction, rng: Random) -> Iterator[Fraction]:
    for _ in range(WRONG_NUMBERS):
        yield right * Fraction(10 ** rng.uniform(-1, 1)).limit_denominator(10**6)


def is_series_pair(place: str, parts: int) -> bool:
    """Whether a place is that of the published rates: the equivalent of a chain of two."""
    return place == "series" and parts == 2


# Printing

HEADING = f"{'':5}{'':42}{'chances':>8}{'alone':>7}{'settled':>9}{'of all':>8}{'asked':>8}"


def _line(counted: Row) -> str:
    malrule = counted.malrule
    shares = (
        _percent(counted.alone_settled, counted.alone),
        _percent(counted.settled, counted.chances),
        _percent(counted.asked_which, counted.chances),
    )
    return (
        f"{malrule.code:5}{malrule.name:42}{counted.chances:8}{counted.alone:7}"
        f"{shares[0]:>9}{shares[1]:>8}{shares[2]:>8}"
    )


def _percent(part: int, whole: int) -> str:
    return f"{100 * part / whole:.1f} %" if whole else "-"


def report(networks: int) -> Iterator[str]:
    """The lines of the report, as they are found."""
    yield f"Each wrong rule on {networks} networks by chance, its number typed to three figures."
    yield (
        "alone: no rule with another remedy gives these figures; settled: of those alone; "
        "of all: settled of all chances; asked: after a separating question."
    )
    yield HEADING
    for malrule in ON_WALKS:
        yield _line(row(malrule, networks))
    yield ""
    yield f"Slips that show in other ways, on {networks} networks each."
    for name, (code, _) in BY_OTHER_SIGNS.items():
        if code not in SLIPS:
            continue
        named = [named_after(slip) for slip in slips(code, Random(code), networks)]
        right = sum(names == (name,) for names in named)
        yield f"{code:5}{name:42}{len(named):8}{_percent(right, len(named)):>16}"
    yield ""
    early = max(1, networks // EARLY_SHARE)
    yield f"The whole given at once, the rule at the first step, on {early} networks each."
    yield HEADING
    for malrule in ON_WALKS:
        if set(malrule.places) & {"series", "parallel"}:
            counted = early_row(malrule, early)
            if counted.chances:
                yield _line(counted)
    yield ""
    yield from _of_right_answers(networks)
    yield ""
    yield SAMPLER
    for title, only in (("series pairs", is_series_pair), ("every value", None)):
        rates = false_matches(networks, only)
        shares = ", ".join(f"{r.figures} figures {100 * r.share:.2f} %" for r in rates)
        yield f"{title} ({rates[0].numbers} numbers): {shares}"


def _of_right_answers(networks: int) -> Iterator[str]:
    stated = [h for malrule in ON_WALKS for h in right_answers(malrule, networks)]
    yield f"Right values stated: {len(stated)}; named falsely: {_falsely(stated)}"
    for figures in (2, 3, 5):
        heard = walks_on_rounded_values(networks, figures)
        yield (
            f"Right answers on own values of {figures} figures: {len(heard)}; "
            f"named falsely: {_falsely(heard)}"
        )


def _falsely(heard: list[Heard]) -> int:
    return sum(is_named_falsely(each) for each in heard)


def main() -> None:
    for line in report(int(sys.argv[1]) if len(sys.argv) > 1 else NETWORKS):
        print(line, flush=True)


if __name__ == "__main__":
    main()
