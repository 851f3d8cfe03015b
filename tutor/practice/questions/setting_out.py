"""Working set out on paper: what a line must have, and which line is missing."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from random import Random
from typing import NamedTuple

from tutor.circuit.values import tidy
from tutor.practice.questions.given import PAIR_BESIDE, PAIR_IN_A_CHAIN, WorkedNetwork, draw
from tutor.practice.questions.menus import Entry, MenuWords, few, lettered
from tutor.practice.questions.question import Posed
from tutor.teaching.settings import Settings
from tutor.teaching.staged.story import Ask, Story


class SetOutLine(NamedTuple):
    """A line of working in its parts; ``bare`` are the numbers and the result without units."""

    what: str
    symbol: str
    relation: str
    numbers: str
    result: str
    bare: tuple[str, str]

    @property
    def whole(self) -> str:
        """All of it."""
        return f"{self.symbol} = {self.relation} = {self.numbers} = {self.result}"


def setting_out(chance: Random, settings: Settings) -> Posed:
    """Either which of four lines is complete, or which line is missing between two others."""
    if chance.random() < 0.5:
        given = draw(chance, (PAIR_IN_A_CHAIN, PAIR_BESIDE), settings)
        ask = _complete(chance, given)
    else:
        given = draw(chance, (PAIR_IN_A_CHAIN,), settings)
        ask = _missing(chance, given)
    return Posed(given.text, Story(
        "setting out", given.opening(), (ask,), (), given.problem.powers,
        network=given.problem.network,
    ))


# The lines


def _lines(given: WorkedNetwork) -> list[SetOutLine]:
    """The lines that can be set out with symbol, numbers and result each."""
    q, v = (given.speech.letters(letter) for letter in "QV")
    charge = given.whole * given.supply
    c, volts, coulombs = given.farads(given.whole), given.volts(), given.coulombs(charge)
    found = [SetOutLine(
        "the charge that the supply has given", q, f"C {v}", f"{c} × {volts}", coulombs,
        (f"{_bare(c)} × {_bare(volts)}", _bare(coulombs)),
    )]
    name = given.names[0]
    one, held, across = (given.amount(s, name) for s in ("C", "Q", "V"))
    index = name[1:]
    if given.solution.steps[0].kind == "series":
        found.append(SetOutLine(
            f"the {given.difference} across {name}", f"{v}{index}", f"{q}{index}/{name}",
            f"{held} / {one}", across, (f"{_bare(held)} / {_bare(one)}", _bare(across)),
        ))
        return found
    other = given.amount("C", given.names[1])
    found.append(SetOutLine(
        "the capacitance of the whole", "C", " + ".join(given.names), f"{one} + {other}", c,
        (f"{_bare(one)} + {_bare(other)}", _bare(c)),
    ))
    found.append(SetOutLine(
        f"the charge on {name}", f"{q}{index}", f"{name} {v}{index}", f"{one} × {across}", held,
        (f"{_bare(one)} × {_bare(across)}", _bare(held)),
    ))
    return found


def _bare(amount: str) -> str:
    return amount.rsplit(" ", 1)[0]


def _complete(chance: Random, given: WorkedNetwork) -> Ask:
    line = chance.choice(_lines(given))
    numbers, result = line.bare
    wrong = [
        Entry(f"{line.numbers} = {line.result}",
              f"It does not say what is found: the symbol {line.symbol} and the relation "
              f"{line.relation} are missing."),
        Entry(f"{line.symbol} = {line.relation} = {line.result}",
              "The numbers that were put in are missing, so nobody can follow how the result came "
              "about."),
        Entry(f"{line.symbol} = {line.relation} = {numbers} = {result}",
              f"The units are missing: {result} of what.", ("wrong-kind-of-unit",)),
        Entry(f"{line.symbol} = {line.relation} = {line.numbers}",
              "The result is missing: the sum is set up and not worked out."),
        Entry(f"{line.relation} = {line.symbol} = {line.result} = {numbers}",
              "There the result stands before the numbers it comes from, and they have no units."),
    ]
    right = Entry(line.whole)
    return lettered(chance, MenuWords(
        "a complete line", "check",
        f"Which of these lines sets out {line.what} in full?",
        "It has the symbol with its relation, the numbers put in, and the result with its unit.",
        ("Look for four things: symbol, numbers, result, unit.",
         "What is being found, from what, with which numbers, and in what unit?"), ("S40",),
    ), few(chance, right, wrong))


# The missing line


def _missing(chance: Random, given: WorkedNetwork) -> Ask:
    """Three lines lead to a p.d. in a chain; one of them is left out."""
    lines = [_equivalent(given), *(line.whole for line in _lines(given))]
    at = chance.randrange(len(lines))
    shown = [f"{n}. {'…' if n - 1 == at else text}" for n, text in enumerate(lines, start=1)]
    wrong = list((_not_c, _not_q, _not_v)[at](given))
    name = given.names[0]
    question = (
        f"This working is to lead to the {given.difference} across {name}:\n"
        + "\n".join(shown) + f"\nWhich line is missing at {at + 1}?"
    )
    return lettered(chance, MenuWords(
        "the missing line", "check", question, _why(given, at),
        ("Look at what the lines after it use, and at what those before it give.",
         f"What do {' and '.join(given.names)} share, and what follows for the line in question?"),
        ("S40", ("S11", "S18", "S21")[at]),
    ), few(chance, Entry(lines[at]), wrong))


def _why(given: WorkedNetwork, at: int) -> str:
    chain = given.why_bound(*given.names)
    return (
        f"{chain} So 1/C adds up, and C is what the next line uses.",
        f"The chain as a whole has the supply across it. {chain} The next line uses that charge.",
        f"{chain} Its own charge and its own capacitance give the {given.difference} of one "
        "of them.",
    )[at]


def _equivalent(given: WorkedNetwork) -> str:
    speech = given.speech
    reciprocals = speech.reciprocals_of(given.capacitors)
    total = speech.per_unit(
        tidy(1 / given.whole), [c.value for c in given.capacitors]
    )
    return f"1/C = 1/C1 + 1/C2 = {reciprocals} {total}, so C = {given.farads(given.whole)}"


def _not_c(given: WorkedNetwork) -> Iterator[Entry]:
    total = sum((given.value(name) for name in given.names), Fraction(0))
    point = given.solution.steps[0].points[0]
    where = (
        f"C1 and C2 meet alone at {point}: along that chain the {given.speech.terms.differences} "
        "add"
    )
    added = given.speech.sum_of(given.capacitors)
    yield Entry(
        f"C = C1 + C2 = {added} = {given.farads(total)}",
        f"{where}, so it is 1/C that adds up, not C.", ("adds-a-series-pair",),
    )
    yield Entry(
        f"C = 1/(C1 + C2) = 1/({added})",
        f"{where}, so each is turned over first, then they are added.", ("turns-over-the-sum",),
    )
    mean = given.farads(total / 2)
    yield Entry(
        f"C = (C1 + C2)/2 = ({added})/2 = {mean}",
        f"{where}, so the whole is below the smaller of the two. A mean is not.",
        ("takes-the-average",),
    )


def _not_q(given: WorkedNetwork) -> Iterator[Entry]:
    q, v = (given.speech.letters(letter) for letter in "QV")
    point = given.solution.steps[0].points[0]
    name = given.names[0]
    own = given.value(name) * given.supply
    charge = given.whole * given.supply
    yield Entry(
        f"{q}1 = {name} {v} = {given.amount('C', name)} × {given.volts()} = {given.coulombs(own)}",
        f"{name} has not all {given.volts()} across it: the two meet at {point}, and each has a "
        "part.", ("own-capacitance-times-supply",),
    )
    yield Entry(
        f"{q}1 = {q}/2 = {given.coulombs(charge)}/2 = {given.coulombs(charge / 2)}",
        f"The metal at {point} is cut off, so what is on one of the two is on the other as well; "
        "the charge is not divided.", ("splits-the-charge-along-a-chain",),
    )
    total = sum((given.value(each) for each in given.names), Fraction(0))
    yield Entry(
        f"{q} = (C1 + C2) {v} = {given.farads(total)} × {given.volts()} = "
        f"{given.coulombs(total * given.supply)}",
        f"The two meet alone at {point}: they are a chain, and their capacitances do not add.",
        ("adds-a-series-pair",),
    )


def _not_v(given: WorkedNetwork) -> Iterator[Entry]:
    v = given.speech.letters("V")
    name, volts = given.names[0], given.volts()
    half = given.speech.amount(given.supply / 2, "voltage")
    share = given.supply * given.value(name) / (
        given.value(given.names[0]) + given.value(given.names[1])
    )
    yield Entry(
        f"{v}1 = {v}/2 = {volts}/2 = {half}",
        "They share one charge, and their capacitances differ, so Q/C cannot be the same for both.",
        ("splits-the-pd-equally",),
    )
    yield Entry(
        f"{v}1 = {v} C1/(C1 + C2) {given.speech.shown(share, 'voltage').after_equals}",
        "They share one charge, and for one charge the larger capacitance needs less; this gives "
        "it more.", ("pd-in-proportion-to-capacitance",),
    )
    yield Entry(
        f"{v}1 = {v} = {volts}",
        f"All {volts} are across both together, one after the other, so each has a part.",
        ("full-supply-pd-on-each",),
    )
