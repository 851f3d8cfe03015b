"""The story of two missing values: each of two totals says something of both."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import NamedTuple

from grammar.records import PairTotal, SoughtPair
from tutor.circuit.pairs import equation_of, in_order, solution_of
from tutor.circuit.prefixes import usual_prefixes
from tutor.circuit.surds import near, square_root
from tutor.circuit.values import Value
from tutor.teaching.rules.plates_and_ratings import BY_SQUARE, BY_TWO
from tutor.teaching.settings import Settings
from tutor.teaching.speech import Speech, listed
from tutor.teaching.staged.missing_asks import NO_WORDS, YES_WORDS, nothing_fits
from tutor.teaching.staged.missing_asks import in_words as written_out
from tutor.teaching.staged.moves import adding_ask
from tutor.teaching.staged.story import Ask, Option, Story, Valued, Way


class _Case(NamedTuple):
    """A pair in order: ``one`` is told by ``other`` in the first of its facts."""

    pair: SoughtPair
    values: tuple[Value, Value]
    speech: Speech

    @property
    def one(self) -> str:
        return self.pair.names[0]

    @property
    def other(self) -> str:
        return self.pair.names[1]

    @property
    def kinds(self) -> tuple[str, str]:
        first, second = self.pair.facts
        return first.kind, second.kind

    @property
    def amounts(self) -> tuple[str, str]:
        """What the two facts come to, in words."""
        first, second = (_amount(fact, self.speech) for fact in self.pair.facts)
        return first, second

    @property
    def usual(self) -> tuple[Fraction, Fraction]:
        """The same as numbers of the usual unit; a ratio as it is."""
        unit = Fraction(10) ** self.speech.powers["capacitance"]
        first, second = (
            fact.worth.value / (1 if fact.kind == "ratio" else unit) for fact in self.pair.facts
        )
        return first, second

    @property
    def told(self) -> Mapping[str, str]:
        """What the texts of wrong rules may speak of."""
        return {"one": self.one, "other": self.other, "whole": self.amounts[1],
                "first": self.amounts[0]}


def pair_story(pair: SoughtPair, settings: Settings) -> Story:
    """What each fact says of both, then one of the two, then the other."""
    powers = usual_prefixes([
        ("capacitance", fact.worth.power) for fact in pair.facts if fact.kind != "ratio"
    ])
    speech = Speech(powers, settings)
    names = listed(pair.names)
    opening = (
        f"Two capacitors, {names}, are not known.",
        f"Given: {'; '.join(_given(pair, fact, speech) for fact in pair.facts)}.",
        f"Wanted: {names}.",
    )
    ordered = in_order(pair)
    values = solution_of(ordered)
    if values is None:
        case = _Case(ordered, (Fraction(0), Fraction(0)), speech)
        asks = (*_meanings(case), _cannot(case))
        return Story("impossible data", opening, asks, (nothing_fits(names),), powers)
    case = _Case(ordered, values, speech)
    asks = (*_meanings(case), *_steps(case))
    by_name = dict(zip(ordered.names, values, strict=True))
    results: Mapping[str, Valued] = {name: (by_name[name], "capacitance") for name in pair.names}
    return Story(
        "two missing values", opening, asks, tuple(_put_back(case)), powers, results=results
    )


def _amount(fact: PairTotal, speech: Speech) -> str:
    if fact.kind == "ratio":
        return speech.number(fact.worth.value)
    return speech.amount(fact.worth.value, "capacitance")


def _given(pair: SoughtPair, fact: PairTotal, speech: Speech) -> str:
    one, other = reversed(pair.names) if fact.turned else pair.names
    if fact.kind == "ratio":
        return f"{one} is {_amount(fact, speech)} times {other}"
    if fact.kind == "difference":
        return f"{one} is {_amount(fact, speech)} more than {other}"
    return f"in {fact.kind} {one} and {other} make {_amount(fact, speech)}"


# The questions


def _meanings(case: _Case) -> Iterator[Ask]:
    """What adds up in each of the two ways of joining that are given."""
    for kind, amount in zip(case.kinds, case.amounts, strict=True):
        if kind in ("parallel", "series"):
            ask = adding_ask(("C", *case.pair.names), kind == "series", case.speech)
            yield ask._replace(text=(
                f"In {kind} {listed(case.pair.names)} make {amount}. What adds up over them then: "
                "the capacitances, or their reciprocals, one over each?"
            ))


def _steps(case: _Case) -> Iterator[Ask]:
    """One of the two, then the other from it."""
    if case.kinds == ("parallel", "series"):
        yield _product(case)
        yield _by_square(case, case.one, case.values[0])
        yield _last(case, case.other, case.values[1])
        return
    if case.kinds == ("difference", "series"):
        yield _by_square(case, case.other, case.values[1])
    elif case.kinds[1] == "series":
        yield _by_share(case)
    else:
        yield _by_line(case)
    yield _last(case, case.one, case.values[0])


def _by_line(case: _Case) -> Ask:
    """Sums, differences and ratios: with the one told by the other, one unknown is left."""
    (first, second), (_, worth) = case.amounts, case.usual
    slope, rest = equation_of(case.pair)
    if case.kinds[0] == "ratio":
        put = f"{case.one} = {first} × {case.other}"
        facts = {"over the ratio": worth / case.usual[0]}
        relation = f"{case.speech.number(abs(slope))} {case.other} = {second}"
        sign, what = ("+", "sum") if case.kinds[1] == "parallel" else ("−", "difference")
        in_words = f"ratio × {case.other} {sign} {case.other} = {what}"
    else:
        put = f"{case.one} = {case.other} + {first}"
        facts = {"difference once": worth - case.usual[0]}
        relation = f"2 {case.other} = {second} − {first}"
        in_words = f"2 × {case.other} = sum − difference"
    uses: dict[str, Valued] = {
        "rest": (abs(rest), "capacitance"), "multiple": (abs(slope), None),
    }
    return _one_left(case)._replace(
        reveal=f"{put}, so {relation}, and {_equals(case, case.other, case.values[1])}",
        because=f"With {case.one} told by {case.other} a single one is left to be found.",
        hints=(
            f"Look at both lines: which one tells {case.one} by {case.other}?",
            f"Put that in place of {case.one}. How many times does {case.other} then stand there?",
            f"{in_words}.",
        ),
        facts=facts, ways=(Way("rest/multiple", uses, worked=("rest", "multiple")),),
    )


def _by_share(case: _Case) -> Ask:
    """A ratio and a chain: one over each, with the one told by the other."""
    (ratio, chain), (times, worth) = case.amounts, case.usual
    turned = f"1/({ratio} × {case.other}) + 1/{case.other}"
    times_chain = f"(1 + 1/{ratio}) × {chain}"
    return _one_left(case)._replace(
        reveal=(
            f"{case.one} = {ratio} × {case.other}, so 1/C = {turned} = (1 + 1/{ratio})/"
            f"{case.other}, and {_equals(case, case.other, case.values[1], times_chain)}"
        ),
        because="Along a chain one over each adds up, and the larger one adds the less.",
        hints=(
            f"Look at both lines: which one tells {case.one} by {case.other}?",
            f"Put that into 1/C = 1/{case.one} + 1/{case.other}. How many times 1/{case.other} is "
            "that?",
            f"1/C = 1/(ratio × {case.other}) + 1/{case.other}, then turn over.",
        ),
        facts={"as a sum": worth / (1 + times)},
        ways=(Way("C*(1 + 1/ratio)", {
            "C": (case.pair.facts[1].worth.value, "capacitance"), "ratio": (times, None),
        }, worked=("C", "ratio")),),
    )


def _one_left(case: _Case) -> Ask:
    """The question for the second of the two, without its working."""
    return Ask(
        BY_TWO, "value",
        f"Two things are known of {listed(case.pair.names)}, then, and the one can be put into "
        f"the other. What is {case.other}?",
        "", name=case.other, dimension="capacitance", right=near(case.values[1]), told=case.told,
        exact=case.values[1],
    )


def _product(case: _Case) -> Ask:
    """The chain's rule as one fraction leads to the product."""
    one, other, (both, chain) = case.one, case.other, case.amounts
    number, (total, series) = case.speech.number, case.usual
    reason = (
        f"1/C = 1/{one} + 1/{other} = ({one} + {other})/({one} × {other}), and C is {chain} with "
        f"{one} + {other} = {both}. So {one} × {other} is the two totals multiplied, "
        f"{chain} × {both}."
    )
    again = f"1/{one} + 1/{other} as one fraction: what stands above its line, and what below?"
    return Ask(
        "missing product", "reason",
        f"{one} + {other} = {both}, then, and in series they make {chain}. What is "
        f"{one} × {other}: {chain} and {both} multiplied, {both} over {chain}, or {chain} alone?",
        reason, reason,
        options=(
            Option(
                ("multiplied", "the two multiplied", "the product", "times",
                 number(series * total)), True,
            ),
            Option(("over", "divided", number(total / series)), False, again),
            Option(("alone", "only that"), False, again),
        ),
        hints=(again,),
    )


def _by_square(case: _Case, name: str, value: Value) -> Ask:
    """The equation with a square, and the root that can be."""
    one, other, (first, _) = case.one, case.other, case.amounts
    equation = written_out(equation_of(case.pair), case.speech)
    unit = case.speech.unit("capacitance")
    by_sum = case.kinds[0] == "parallel"
    total, chain = case.usual
    facts = {"middle": total / 2} if by_sum else {}
    if by_sum and total**2 >= 4 * chain:
        facts["small product"] = (total + near(square_root(total**2 - 4 * chain))) / 2
    which = f"{name}, the larger one," if by_sum else name
    told = (
        f"{other} is what is left of {first}, so {one} × ({first} − {one}) is the product"
        if by_sum else
        f"{one} is {other} + {first}, and {one} × {other} = C × ({one} + {other})"
    )
    return Ask(
        BY_SQUARE, "value", f"Call the number of {unit} in {which} x. What is {name}?",
        f"{told}: {equation}, so {_equals(case, name, value)}",
        f"The other root is the other one, {other}." if by_sum
        else "The other root is below zero, and no capacitance is.",
        name, "capacitance", near(value),
        hints=(
            f"Put x for {name} into both lines. How is the other one told by x?",
            "An equation with x² comes of it. Which one?",
            f"{equation}.",
        ),
        facts=facts, told=case.told, exact=value,
    )


def _last(case: _Case, name: str, value: Value) -> Ask:
    """The second of the two, from the fact that tells it by the first."""
    first, kind = case.amounts[0], case.kinds[0]
    known, before = next(
        each for each in zip(case.pair.names, case.values, strict=True) if each[0] != name
    )
    pattern, way = {
        "parallel": ("{first} − {known}", f"sum - {known}"),
        "difference": ("{known} + {first}", f"{known} + difference"),
        "ratio": ("{first} × {known}", f"ratio*{known}"),
    }[kind]
    was, shown = (case.speech.shown(near(each), "capacitance") for each in (before, value))
    relation = pattern.format(first=first, known=known)
    given = "sum" if kind == "parallel" else kind
    uses: dict[str, Valued] = {
        given: (case.pair.facts[0].worth.value, None if kind == "ratio" else "capacitance"),
        known: (near(before), "capacitance"),
    }
    return Ask(
        "missing other", "value", f"And what is {name}?",
        f"{name} = {relation} = {pattern.format(first=first, known=was.text)} "
        f"{case.speech.equals(was, shown)} {shown.text}",
        f"What is known of both gives {name} once {known} is known.",
        name, "capacitance", near(value),
        hints=(f"Look at what is known of both: which of it is the shortest way to {name}?",
               f"{name} = {relation}."),
        exact=value, ways=(Way(way, uses, worked=(given,)),),
    )


def _cannot(case: _Case) -> Ask:
    """Data that no two capacitors have."""
    first, second = case.amounts
    if case.kinds == ("parallel", "series"):
        quarter = case.speech.amount(case.pair.facts[0].worth.value / 4, "capacitance")
        why = (
            f"Of all pairs with the sum {first} two equal ones make the largest chain, a quarter "
            f"of that sum, {quarter}. So {second} in series cannot be."
        )
    else:
        why = "Put the one into the other: a value of zero or below comes out for one of them."
    again = "Put the one into the other: what comes out?"
    return Ask(
        "can it be", "check", "Can two capacitances above zero do both, yes or no?", why, why,
        options=(Option(NO_WORDS, True), Option(YES_WORDS, False, again)), hints=(again,),
    )


def _equals(case: _Case, name: str, value: Value, working: str = "") -> str:
    """``C2 = 3 µF``, with the working between."""
    between = f" = {working}" if working else ""
    return f"{name}{between} {case.speech.shown(near(value), 'capacitance').after_equals}"


def _put_back(case: _Case) -> Iterator[str]:
    """The two values in each of the given facts."""
    told = [
        _equals(case, name, value)
        for name, value in zip(case.pair.names, case.values, strict=True)
    ]
    yield f"{listed(told)} do both: {' and '.join(_checked(case))}."
    if case.kinds == ("parallel", "series"):
        yield f"{listed(case.pair.names)} may change places: both totals stay as they are."


def _checked(case: _Case) -> Iterator[str]:
    one, other = (case.speech.amount(near(value), "capacitance") for value in case.values)
    for fact in case.pair.facts:
        first, second = (other, one) if fact.turned else (one, other)
        amount = _amount(fact, case.speech)
        yield {
            "parallel": f"{first} + {second} is {amount}",
            "series": f"{first} in series with {second} is {amount}",
            "difference": f"{first} is {amount} more than {second}",
            "ratio": f"{first} is {amount} times {second}",
        }[fact.kind]
