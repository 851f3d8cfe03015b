"""Wishes and arrangements in words: the stock, an arrangement in the notation, how far off."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from grammar.records import Description
from grammar.wishes import Capacitors, PreferredSeries, StockItem, WishedFor
from grammar.writing import write_network, write_number
from grammar.writing_values import write_worth
from tutor.circuit.arranging import Arrangement, Order
from tutor.circuit.ordering import nest_of_tree
from tutor.circuit.stock import Stock
from tutor.circuit.trees import Joined, Tree, overloaded
from tutor.teaching.settings import Settings
from tutor.teaching.speech import MOST_NAMED, Speech, counted, listed

FEWEST_IN_A_LIST = 4
FIGURES_OF_PERCENT = 2


def speech_for(wish: WishedFor, terms: Settings) -> Speech:
    """How values are spoken: with the prefixes that the wish itself uses."""
    first = next((item.worth for item in wish.items if isinstance(item, Capacitors)), None)
    given = wish.target or first or (wish.between[0] if wish.between else None)
    power = given.power if given is not None else 0
    volts = wish.across.power if wish.across is not None else 0
    powers = {"capacitance": power, "voltage": volts, "charge": power, "energy": power}
    return Speech(powers, terms)  # type: ignore[arg-type]  # the keys are the four dimensions


def stock_text(wish: WishedFor) -> str:
    """C1 = 2 µF, C2 = 3 µF; three of 6 µF (C1 to C3); or E12 from 1 µF to 100 µF."""
    pieces: list[str] = []
    number = 0
    for item in wish.items:
        count = item.number if isinstance(item, Capacitors) else 0
        pieces.append(_item_text(item, wish, number) + _rated(item))
        number += count
    return listed(pieces)


def _item_text(item: StockItem, wish: WishedFor, before: int) -> str:
    if isinstance(item, PreferredSeries):
        if wish.between is None:
            return f"the values of {item.series}"
        low, high = (write_worth(each, "capacitance") for each in wish.between)
        return f"the values of {item.series} from {low} to {high}"
    value = write_worth(item.worth, "capacitance")
    if item.number == 1:
        return f"C{before + 1} = {value}"
    last = before + item.number
    return f"{counted(item.number, 'capacitor')} of {value}, C{before + 1} to C{last}"


def _rated(item: StockItem) -> str:
    return f" (rated {write_worth(item.rating, 'voltage')})" if item.rating is not None else ""


def notation(stock: Stock, tree: Tree, ascii: bool = False) -> str:
    """An arrangement as it can be typed: with names; in a large one alike members are counted."""
    if len(list(_places(tree))) <= MOST_NAMED:
        return write_network(Description(nest=nest_of_tree(stock, tree)), ascii)
    return _counted(stock, tree, ascii)


def _counted(stock: Stock, tree: Tree, ascii: bool) -> str:
    if not isinstance(tree, Joined):
        worth = nest_of_tree(stock, tree)
        return write_network(Description(nest=worth), ascii).partition(" = ")[2]
    words = f"in {tree.way}"
    pieces: list[str] = []
    for member, count in Counter(tree.members).items():
        text = _counted(stock, member, ascii)
        if isinstance(member, Joined):
            pieces += [f"({text})"] * count
        elif count < FEWEST_IN_A_LIST:
            pieces += [text] * count
        elif count == len(tree.members):
            return f"{count} x {text} {words}"
        else:
            pieces.append(f"({count} x {text} {words})")
    return (" -- " if tree.way == "series" else " || ").join(pieces)


def _places(tree: Tree) -> list[int]:
    if not isinstance(tree, Joined):
        return [tree]
    return [place for member in tree.members for place in _places(member)]


def off_text(value: Fraction, target: Fraction, speech: Speech) -> str:
    """Exactly, or how much above or below the target in per cent."""
    if value == target:
        return "exactly"
    share = percent(value, target)
    style = speech.terms.style
    size, exact = write_number(abs(share), FIGURES_OF_PERCENT, style.comma)
    return f"{'' if exact else 'about '}{size} % {'above' if share > 0 else 'below'}"


def percent(value: Fraction, target: Fraction) -> Fraction:
    """How much above the target, in per cent of it; below nought for less."""
    return (value - target) / target * 100


def arrangement_text(
    found: Arrangement, order: Order, speech: Speech, ascii: bool = False
) -> tuple[str, str]:
    """The arrangement in the notation, and its value, how far off, and how many parts."""
    value = speech.amount(found.value, "capacitance")
    off = off_text(found.value, order.target, speech)
    parts = counted(found.parts, "capacitor")
    return notation(order.stock, found.tree, ascii), f"{value}, {off}; {parts}"


def overload_text(order: Order, tree: Tree, speech: Speech) -> str:
    """Which capacitor has more p.d. than it is made for; empty where none has."""
    if order.across is None:
        return ""
    over = next(overloaded(tree, order.stock.kinds, order.across), None)
    if over is None:
        return ""
    _, place, voltage = over
    kind = order.stock.kinds[place]
    value = speech.amount(kind.value, "capacitance")
    limit = speech.amount(kind.rating or Fraction(0), "voltage")
    return (
        f"a capacitor of {value} would have {speech.amount(voltage, 'voltage')} across it, "
        f"and it is rated {limit}"
    )
