"""Arrangements that were found, as lines for a reader and as one object for machines."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any, NamedTuple

from grammar.records import Amount, Description
from grammar.wishes import WishedFor
from grammar.writing import write_network, write_number
from grammar.writing_values import write_worth
from tutor.circuit.arranging import Arrangement, Findings, Order, arrange, every_value
from tutor.circuit.equal_stock import count_arrangements
from tutor.circuit.exact import exact_text
from tutor.circuit.looking import StepWatch
from tutor.circuit.ordering import nest_of_tree, order_of, stock_of
from tutor.circuit.solving import Holding
from tutor.circuit.stock import Stock
from tutor.circuit.trees import voltages
from tutor.front.plain import Page
from tutor.front.sheet import INDENT
from tutor.front.solution_sentences import caution
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.speech import Speech, counted, sentence
from tutor.teaching.stock_words import arrangement_text, notation, percent, speech_for, stock_text

MOST_COUNTED = 40


class Arranged(NamedTuple):
    """A wish and what came of it; ``order`` is None where every value was asked for."""

    wish: WishedFor
    stock: Stock
    order: Order | None
    findings: Findings | None
    values: tuple[Fraction, ...] = ()
    searched: int = 0
    cut_short: bool = False

    @property
    def is_met(self) -> bool:
        """Whether there is what was wanted."""
        return bool(self.values) if self.findings is None else self.findings.met


def arranged(wish: WishedFor, most: int, watch: StepWatch = lambda: None) -> Arranged:
    """Search for what is wished for; ``watch`` is told as it goes on, `LONGEST_WATCHED` times at
    most. Errors: ``Refusal`` for a series without values.
    """
    stock = stock_of(wish)
    if wish.target is None:
        values, searched, cut_short = every_value(stock, watch=watch)
        return Arranged(wish, stock, None, None, tuple(values), searched, cut_short)
    order = order_of(wish, stock)
    return Arranged(wish, stock, order, arrange(order, most, watch=watch))


def arranged_lines(
    found: Arranged, most: int, terms: Settings, page: Page
) -> Iterator[str]:
    """What was wanted, what was found, fewest parts first, and how sure that is."""
    speech = speech_for(found.wish, terms)
    yield from page.wrapped(_wanted(found.wish))
    everything = ", all to be used" if found.wish.all_of else ""
    yield from page.wrapped(f"Stock: {stock_text(found.wish)}{everything}.")
    yield ""
    if found.order is None or found.findings is None:
        yield from _values(found, most, speech, page)
        return
    yield from page.wrapped(_headline(found.findings, found.order, speech))
    for number, each in enumerate(found.findings.arrangements, start=1):
        network, told = arrangement_text(each, found.order, speech, page.ascii)
        yield from page.wrapped(f"{number}.  {network}", INDENT)
        yield from page.wrapped(told, INDENT * 3)
        yield from page.wrapped(_drops(each, found.order, speech), INDENT * 3)
    yield ""
    yield from page.wrapped(_how_sure(found.findings, found.stock))
    if warning := _caution(found.findings, found.order, terms):
        yield ""
        for line in warning:
            yield from page.wrapped(line)


def _caution(findings: Findings, order: Order, terms: Settings) -> tuple[str, ...]:
    """A word on real capacitors where the p.d. or the energy of the whole is high."""
    if order.across is None or not findings.arrangements:
        return ()
    value = findings.arrangements[0].value
    charge = value * order.across
    return caution(Holding(order.across, charge, charge * order.across / 2), terms)


def _wanted(wish: WishedFor) -> str:
    if wish.target is None:
        return "Wanted: every capacitance that the stock can make."
    wanted = write_worth(wish.target, "capacitance")
    if isinstance(wish.within, Amount):
        wanted += f", or within {write_worth(wish.within, 'capacitance')} of it"
    elif wish.within is not None:
        wanted += f", or within {write_number(wish.within * 100)[0]} % of it"
    if wish.across is not None:
        wanted += f", for {write_worth(wish.across, 'voltage')}"
    return f"Wanted: {wanted}."


def _headline(findings: Findings, order: Order, speech: Speech) -> str:
    target = speech.amount(order.target, "capacitance")
    number = len(findings.arrangements)
    if findings.met:
        makes = "makes" if number == 1 else "make"
        wanted = f"exactly {target}" if order.low == order.high else "what is wanted"
        makes = "of those that make" if findings.more else makes
        return f"{sentence(counted(number, 'arrangement'))} {makes} {wanted}:"
    near = "The nearest that was found" if findings.cut_short else "The nearest"
    what = f"exactly {target}" if order.low == order.high else "anything within that"
    safe = " with every capacitor within its rating" if order.across is not None else ""
    if not number:
        return f"No arrangement{safe} was found."
    none = "None was found that makes" if findings.cut_short else "None makes"
    return f"{none} {what}{safe}. {near}:"


def _drops(each: Arrangement, order: Order, speech: Speech) -> str:
    """The p.d. across each capacitor, where a p.d. is named and there are few capacitors."""
    if order.across is None or each.parts > MOST_COUNTED:
        return ""
    kinds = order.stock.kinds
    told: dict[str, None] = {}
    for place, voltage in voltages(each.tree, kinds, order.across):
        value = speech.amount(kinds[place].value, "capacitance")
        told[f"{speech.amount(voltage, 'voltage')} across {value}"] = None
    return f"At {speech.amount(order.across, 'voltage')}: {'; '.join(told)}."


def _how_sure(findings: Findings, stock: Stock) -> str:
    """What is proven, and where the search ended."""
    if findings.cut_short:
        start = "The search was cut short"
        if findings.searched < stock.fewest:
            return f"{start} before every arrangement of any size had been looked at."
        looked = f"every arrangement of up to {counted(findings.searched, 'capacitor')}"
        if findings.met and findings.fewest_is_proven:
            proven = "so none has fewer capacitors than the first: proven."
            return f"{start} after {looked}, {proven} There may be others."
        return f"{start} after {looked}; there may be better ones."
    if findings.more:
        return "Proven: none has fewer capacitors. There are others; --most N shows more."
    if findings.met:
        return f"Proven: these are all there are. {_all_of(stock)}"
    return f"Proven best: nothing comes nearer. {_all_of(stock)}"


def _all_of(stock: Stock) -> str:
    if len(stock.kinds) != 1:
        return "Every arrangement of the stock and of parts of it has been looked at."
    number = sum(count_arrangements(size) for size in range(stock.fewest, stock.most + 1))
    return f"The {number} arrangements of such equal capacitors have all been looked at."


def _values(found: Arranged, most: int, speech: Speech, page: Page) -> Iterator[str]:
    """Every value with one arrangement for each that is shown, least first."""
    if not found.values:
        yield from page.wrapped("The search was cut short before any value was found.")
        return
    least, greatest = (speech.amount(v, "capacitance") for v in (found.values[0], found.values[-1]))
    number = counted(len(found.values), "value")
    yield from page.wrapped(f"{sentence(number)}, from {least} to {greatest}:")
    for value, network in some_arrangements(found, most):
        text = notation(found.stock, network.tree, page.ascii) if network else ""
        shown = speech.result(value, "capacitance").removeprefix("= ")
        yield from page.wrapped(f"{shown}:  {text}", INDENT)
    left = len(found.values) - most
    if left > 0:
        yield from page.wrapped(f"… {left} more; --most N shows more.", INDENT)
    yield ""
    if found.cut_short:
        told = f"The search was cut short after {counted(found.searched, 'capacitor')}."
        yield from page.wrapped(f"{told} There are more values.")
    else:
        yield from page.wrapped(f"Proven: these are all. {_all_of(found.stock)}")


def some_arrangements(found: Arranged, most: int) -> Iterator[tuple[Fraction, Arrangement | None]]:
    """The first values, each with an arrangement of the fewest capacitors that makes it."""
    for value in found.values[:most]:
        order = Order(found.stock, value, value, value)
        made = arrange(order, 1).arrangements
        yield value, made[0] if made else None


def arranged_json(found: Arranged, most: int) -> dict[str, Any]:
    """The same as one object; capacitances are exact in farads, with the words for people."""
    speech = speech_for(found.wish, DEFAULTS)
    if found.order is None or found.findings is None:
        return {
            "wanted": None,
            "count": len(found.values),
            "found": [
                _one(each, found.stock, speech) if each else {"value": _quantity(value, speech)}
                for value, each in some_arrangements(found, most)
            ],
            "proven": not found.cut_short,
            "cut_short": found.cut_short,
            "searched": found.searched,
        }
    findings, order = found.findings, found.order
    return {
        "wanted": _quantity(order.target, speech),
        "from": exact_text(order.low),
        "to": exact_text(order.high),
        "met": findings.met,
        "found": [
            _one(each, found.stock, speech)
            | {"percent_off": exact_text(percent(each.value, order.target))}
            | _voltages(each, order, speech)
            for each in findings.arrangements
        ],
        "proven": findings.fewest_is_proven if findings.met else findings.nearest_is_proven,
        "cut_short": findings.cut_short,
        "more": findings.more,
        "searched": findings.searched,
        "steps": findings.steps,
    }


def _one(each: Arrangement, stock: Stock, speech: Speech) -> dict[str, Any]:
    return {
        "network": write_network(Description(nest=nest_of_tree(stock, each.tree))),
        "value": _quantity(each.value, speech),
        "parts": each.parts,
    }


def _voltages(each: Arrangement, order: Order, speech: Speech) -> dict[str, Any]:
    """The p.d.s in the order in which the capacitors are written."""
    if order.across is None:
        return {}
    found = voltages(each.tree, order.stock.kinds, order.across)
    return {
        "voltages": [
            {"si": exact_text(voltage), "text": speech.amount(voltage, "voltage")}
            for _, voltage in found
        ]
    }


def _quantity(value: Fraction, speech: Speech) -> dict[str, str]:
    return {"si": exact_text(value), "text": speech.amount(value, "capacitance")}
