"""Every answer of every question about a network is judged again by the nodal method, or by
networkx, from the words on the screen: the right one has to be true and the others false."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from fractions import Fraction
from itertools import combinations, pairwise
from typing import NamedTuple

import networkx as nx
import pytest

from grammar.reading import read_network
from tests import nodal, witness
from tests.circuit.routes import edges_of
from tests.nodal import Edge, Outcome
from tests.sampled import some
from tutor.circuit.network import build
from tutor.practice.questions.kinds import make_question, story_of_question
from tutor.practice.questions.puzzle_wishes import make_wish
from tutor.practice.questions.question import QuestionTask
from tutor.teaching.staged.story import Ask, Option, Story

SEEDS = range(some(60))
MICRO = Fraction(1, 10**6)
NEAR = Fraction(1, 1000)  # values are printed to four figures


class Sheet(NamedTuple):
    """A question with what the second opinion makes of its network."""

    question: QuestionTask
    story: Story
    edges: tuple[Edge, ...]
    wires: tuple[tuple[str, str], ...]
    ends: tuple[str, str]
    volts: Fraction
    outcome: Outcome


def sheets(kind: str) -> Iterator[Sheet]:
    for seed in SEEDS:
        question = make_question(kind, seed)
        problem = build(read_network(question.network))
        drawn = problem.drawn or problem.network
        volts = Fraction(problem.supply.value) if problem.supply else Fraction(1)
        edges = edges_of(drawn)
        yield Sheet(
            question, story_of_question(question), edges, problem.wires, drawn.ends, volts,
            nodal.solve(edges, problem.wires, drawn.ends, voltage=volts),
        )


def texts(ask: Ask) -> Iterator[tuple[Option, str]]:
    """Each entry of a list with its text."""
    for option in ask.options:
        found = re.search(rf"^{option.words[0]}\) (.*)$", ask.text, re.MULTILINE)
        assert found is not None
        yield option, found[1]


def agrees(kind: str, is_true: Callable[[Sheet, str], bool], at: int = 0) -> None:
    """Each entry is right exactly where the second opinion says so."""
    for sheet in sheets(kind):
        if at < len(sheet.story.asks):
            for option, text in texts(sheet.story.asks[at]):
                assert option.is_right == is_true(sheet, text), (sheet.question, text)


def number(text: str, unit: str = "") -> Fraction:
    """The amount in a text that ends in this unit, as a plain number of that unit."""
    found = re.search(rf"(\d[\d ]*(?:\.\d+)?) {unit}", f"{text} ")
    assert found is not None, text
    return Fraction(found[1].replace(" ", ""))


def near(value: Fraction, other: Fraction) -> bool:
    return abs(value - other) <= NEAR * abs(other)


# Orders


@pytest.mark.parametrize(("kind", "field"), [
    ("rank the charges", "charge"), ("rank the p.d.s", "voltage"), ("rank the energies", "energy"),
])
def test_orders(kind: str, field: str) -> None:
    def is_true(sheet: Sheet, text: str) -> bool:
        size = {n: abs(getattr(r, field)) for n, r in sheet.outcome.capacitors.items()}
        places = [place.split(" = ") for place in text.split(" > ")]
        assert sorted(name for place in places for name in place) == sorted(size)
        equal = all(len({size[name] for name in place}) == 1 for place in places)
        sizes = [size[place[0]] for place in places]
        return equal and all(a > b for a, b in pairwise(sizes))

    agrees(kind, is_true)


def test_ties_and_strict_orders_both_come() -> None:
    rights = [
        next(text for option, text in texts(sheet.story.asks[0]) if option.is_right)
        for sheet in sheets("rank the charges")
    ]
    assert {text.count("=") for text in rights} == {0, 1, 2}


# Changes


def changed(sheet: Sheet, told: str) -> Outcome:
    """The network after what a sentence supposes, worked out anew."""
    edges, wires, volts = list(sheet.edges), list(sheet.wires), sheet.volts
    if found := re.match(r"Suppose the supply holds (\S+) V", told):
        volts = Fraction(found[1])
    elif found := re.match(r"Suppose (C\d) is (\S+) µF in place", told):
        edges = [e._replace(capacitance=Fraction(found[2]) * MICRO) if e.name == found[1] else e
                 for e in edges]
    elif found := re.match(r"Suppose (C\d), (\S+) µF, joins (\w) and (\w) beside", told):
        edges.append(Edge(found[1], Fraction(found[2]) * MICRO, found[3], found[4]))
    elif found := re.match(r"Suppose (C\d), (\S+) µF, is put in a chain with the whole", told):
        plus = sheet.ends[0]
        edges = [e._replace(start="new" if e.start == plus else e.start,
                            end="new" if e.end == plus else e.end) for e in edges]
        edges.append(Edge(found[1], Fraction(found[2]) * MICRO, plus, "new"))
    else:
        found = re.match(r"Suppose a wire takes the place of (C\d), so that (\w) and (\w)", told)
        assert found is not None, told
        edges = [e for e in edges if e.name != found[1]]
        wires.append((found[2], found[3]))
    return nodal.solve(edges, wires, sheet.ends, voltage=volts)


def watched(outcome: Outcome, text: str) -> Fraction:
    if "capacitance C" in text:
        return outcome.capacitance
    if "the supply has given" in text:
        return outcome.charge
    found = re.search(r"([QV])(\d), the", text)
    assert found is not None, text
    reading = outcome.capacitors[f"C{found[2]}"]
    return abs(reading.charge if found[1] == "Q" else reading.voltage)


def test_more_or_less() -> None:
    ways = set()
    for sheet in sheets("more or less"):
        (ask,) = sheet.story.asks
        before = watched(sheet.outcome, ask.text)
        after = watched(changed(sheet, sheet.story.opening[-1]), ask.text)
        truth = "up" if after > before else "down" if after < before else "the same"
        assert [option.is_right for option in ask.options] == [
            option.words[0] == truth for option in ask.options
        ]
        ways.add(truth)
    assert ways == {"up", "down", "the same"}


# Statements and bounds


def test_statements() -> None:
    def is_true(sheet: Sheet, text: str) -> bool:
        held = sheet.outcome.capacitors
        names = re.findall(r"C\d", text)
        charges = [abs(held[name].charge) for name in names]
        voltages = [abs(held[name].voltage) for name in names]
        if "hold the same charge" in text:
            return charges[0] == charges[1]
        if "same p.d." in text:
            return voltages[0] == voltages[1]
        if "holds more charge" in text:
            return charges[0] > charges[1]
        if "charges on" in text:
            return sum(charges) == sheet.outcome.charge
        if "p.d.s across" in text:
            return sum(voltages) == number(text, "V") == sheet.volts
        if text.startswith("All"):
            return voltages[0] == number(text, "V") == sheet.volts
        assert "holds all the charge" in text
        return charges[0] == sheet.outcome.charge

    agrees("which statement is true", is_true)


def test_bounds() -> None:
    def is_true(sheet: Sheet, text: str) -> bool:
        whole = sheet.outcome.capacitance / MICRO
        values = [Fraction(found) for found in re.findall(r"(\d+(?:\.\d+)?) µF", text)]
        if text.startswith("below"):
            return whole < values[0]
        if text.startswith("above"):
            return whole > values[0]
        if text.startswith("at"):
            return near(whole, values[0])
        return values[0] < whole < values[1]

    agrees("bounds", is_true)


# What is shared


def bound(sheet: Sheet, pair: tuple[str, str]) -> set[str]:
    """What two share by the shape alone: p.d., charge, both or neither."""
    one, other = ({e.start, e.end} for e in sheet.edges if e.name in pair)
    charge = frozenset(pair) in witness.same_charge_pairs(sheet.edges, sheet.wires, sheet.ends)
    return ({"p.d."} if one == other else set()) | ({"charge"} if charge else set())


def test_why_they_share() -> None:
    for sheet in sheets("why they share"):
        what, why = sheet.story.asks
        names = re.findall(r"C\d", what.text)
        shared = [bound(sheet, pair) for pair in combinations(names, 2)]
        assert all(each == shared[0] for each in shared)
        assert len(shared[0]) == 1
        for option in what.options:
            assert option.is_right == any(word in option.words for word in shared[0])
        for option, text in texts(why):
            points = set(re.findall(r"\b[A-Z]\b", text))
            assert option.is_right == (points == makes_it_so(sheet, names)), text


def makes_it_so(sheet: Sheet, names: list[str]) -> set[str]:
    """The two points of a parallel set, or those where members of a chain meet alone."""
    chosen = [{e.start, e.end} for e in sheet.edges if e.name in names]
    if chosen[0] == chosen[1]:
        return chosen[0]
    met = [p for e in sheet.edges for p in (e.start, e.end)]
    return {
        p for p in {q for pair in chosen for q in pair}
        if p not in sheet.ends and met.count(p) == 2 and sum(p in pair for pair in chosen) == 2
    }


def test_the_same_of_two() -> None:
    seen = set()
    for sheet in sheets("what stays the same"):
        (ask,) = sheet.story.asks
        names = re.findall(r"C\d", ask.text.splitlines()[0])
        if len(names) != 2:
            continue
        one, other = (sheet.outcome.capacitors[name] for name in names)
        equal = {
            "the charge": abs(one.charge) == abs(other.charge),
            "the p.d.": abs(one.voltage) == abs(other.voltage),
            "the stored energy": one.energy == other.energy, "the capacitance": False,
        }
        for option, text in texts(ask):
            assert option.is_right == equal[text]
            seen |= {text} if option.is_right else set()
    assert seen == {"the charge", "the p.d."}


# Reading


@pytest.mark.parametrize(("kind", "what"), [("spot parallel", "p.d."), ("spot a chain", "charge")])
def test_spotting(kind: str, what: str) -> None:
    def is_true(sheet: Sheet, text: str) -> bool:
        first, second = re.findall(r"C\d", text)
        return bound(sheet, (first, second)) == {what}

    agrees(kind, is_true)


def test_holds_no_charge() -> None:
    agrees("holds no charge", lambda sheet, text: text in witness.dead_pieces(
        sheet.edges, sheet.wires, sheet.ends))


def graph(text: str, without: str = "") -> nx.MultiGraph:
    """The points of a text with its capacitors as named edges; the ends are marked."""
    problem = build(read_network(text))
    found = nx.MultiGraph()
    for end in problem.network.ends:
        found.add_node(end, end=True)  # it reads as well from the other one
    for c in problem.network.capacitors:
        if c.name != without:
            found.add_edge(c.start, c.end, name=f"{c.name} {c.value}")
    return found


def alike(one: nx.MultiGraph, other: nx.MultiGraph) -> bool:
    return bool(nx.is_isomorphic(
        one, other, node_match=lambda a, b: a.get("end") == b.get("end"),
        edge_match=lambda a, b: sorted(e["name"] for e in a.values())
        == sorted(e["name"] for e in b.values()),
    ))


def test_the_same_network() -> None:
    answers = set()
    for sheet in sheets("the same network"):
        first, second = (line.partition(": ")[2] for line in sheet.story.opening)
        ask, *more = sheet.story.asks
        same = alike(graph(first), graph(second))
        answers.add(same)
        assert [option.is_right for option in ask.options] == [same, not same]
        assert len(more) == (not same)
        for each in more:
            for option, name in texts(each):
                rest = alike(graph(first, without=name), graph(second, without=name))
                assert option.is_right == rest, (first, second, name)
    assert answers == {True, False}


# After a step


def test_after_a_step() -> None:
    def is_true(sheet: Sheet, text: str) -> bool:
        lines = re.findall(r"(C\w+'*), (\S+) µF, (\w+) to (\w+)", text)
        edges = [Edge(n, Fraction(c) * MICRO, a, b) for n, c, a, b in lines]
        assert len(edges) == len(text.split("; "))
        parts = re.findall(r"C\d", sheet.story.asks[0].text.splitlines()[0])[:2]
        gone = not {e.name for e in edges} & set(parts)
        whole = nodal.solve(edges, (), sheet.ends, voltage=sheet.volts).capacitance
        return gone and near(whole, sheet.outcome.capacitance) and (
            len(edges) == len(sheet.edges) - 1
        )

    agrees("after a step", is_true)


# Setting out


def test_a_complete_line_has_four_things() -> None:
    amount = r"\d[\d ]*(?:\.\d+)? [mµ]?[FCV]"
    line = re.compile(rf"[A-Z]\d? = [A-Z][^=]* = ({amount} [×/+] {amount}) = ({amount})")
    for sheet in sheets("setting out"):
        (ask,) = sheet.story.asks
        if ask.key == "a complete line":
            for option, text in texts(ask):
                assert option.is_right == (line.fullmatch(text) is not None), text
                if option.is_right:
                    held = re.fullmatch(r"([A-Z])(\d?) = .* = (\S+) \S+", text)
                    assert held is not None
                    value = wanted(sheet, held[1], held[2]) / (1 if held[1] == "V" else MICRO)
                    assert Fraction(held[3]) == value


def wanted(sheet: Sheet, symbol: str, index: str) -> Fraction:
    if symbol == "C":
        return sheet.outcome.capacitance
    if not index:
        return sheet.outcome.charge
    reading = sheet.outcome.capacitors[f"C{index}"]
    return abs(reading.charge if symbol == "Q" else reading.voltage)


def test_the_missing_line() -> None:
    places = set()
    for sheet in sheets("setting out"):
        (ask,) = sheet.story.asks
        if ask.key == "the missing line":
            at = int(re.search(r"missing at (\d)", ask.text)[1])  # type: ignore[index]
            places.add(at)
            value = (
                sheet.outcome.capacitance / MICRO, sheet.outcome.charge / MICRO,
                abs(sheet.outcome.capacitors["C1"].voltage),
            )[at - 1]
            for option, text in texts(ask):
                found = re.search(r"[=≈] ([\d.]+) [µ]?[FCV]$", text)
                fits = found is not None and near(Fraction(found[1]), value)
                assert option.is_right == fits, text
    assert places == {1, 2, 3}


# Wishes for the puzzle


def arrangements(values: frozenset[Fraction]) -> Iterator[tuple[str, Fraction]]:
    """Every series-parallel arrangement of exactly these, by its text, by plain recursion."""
    yield from joined(values, "+")
    if len(values) > 1:
        yield from joined(values, "-")


def joined(values: frozenset[Fraction], way: str) -> Iterator[tuple[str, Fraction]]:
    """Those whose outermost joint is of this way."""
    if len(values) == 1:
        (value,) = values
        yield str(value), value
        return
    other = "-" if way == "+" else "+"
    least = min(values)
    for size in range(1, len(values)):
        for chosen in combinations(sorted(values), size):
            part = frozenset(chosen)
            if least not in part:
                continue
            for name, value in joined(part, other):
                rest = values - part
                whole = [*joined(rest, other), *(joined(rest, way) if len(rest) > 1 else ())]
                for told, more in whole:
                    total = value + more if way == "+" else value * more / (value + more)
                    members = sorted([name, *split(told, way)])
                    yield "(" + f" {way} ".join(members) + ")", total


def split(told: str, way: str) -> list[str]:
    """The members of an arrangement that is of this way itself."""
    depth, parts, start = 0, [], 1
    if not told.startswith("("):
        return [told]
    for at, sign in enumerate(told):
        depth += (sign == "(") - (sign == ")")
        if depth == 1 and told[at : at + 3] == f" {way} ":
            parts.append(told[start:at])
            start = at + 3
    return [*parts, told[start:-1]] if parts else [told]


def test_plain_recursion_finds_them_all() -> None:
    # Series-parallel networks with n labelled edges: 1, 2, 8, 52 (OEIS A006351, from memory).
    for size, count in ((1, 1), (2, 2), (3, 8), (4, 52)):
        values = frozenset(Fraction(value) for value in (3, 7, 11, 19)[:size])
        assert len({name for name, _ in arrangements(values)}) == count


def test_wishes_are_met_in_one_way() -> None:
    for seed in SEEDS:
        wish = make_wish(seed)
        assert wish == make_wish(seed)
        target, *stock = (Fraction(found) for found in re.findall(r"([\d.]+) uF", wish))
        ways = {
            name
            for size in range(1, len(stock) + 1) for chosen in combinations(stock, size)
            for name, value in arrangements(frozenset(chosen)) if value == target
        }
        assert len(ways) == 1, (wish, ways)
    assert len({make_wish(seed) for seed in SEEDS}) > len(SEEDS) * 5 / 6
