"""An arrangement that a learner proposes, held against the stock."""

from __future__ import annotations

import re
from contextlib import suppress
from typing import NamedTuple

from grammar.outline import leaves
from grammar.quantity import PREFIX
from grammar.reading import read_network
from grammar.records import Amount, Chain, Description, Element, Part, Place, Refusal
from grammar.writing_values import write_worth
from tutor.circuit.stock import Stock
from tutor.circuit.trees import Tree, joined_all
from tutor.teaching.speech import Speech, counted

MOST_NAMES = 8


class Proposal(NamedTuple):
    """What is proposed: as a tree, or with what is wrong with it; ``text`` as it was typed."""

    text: str
    tree: Tree | None = None
    fault: str = ""


def read_proposal(line: str, stock: Stock, speech: Speech) -> Proposal:
    """Read an arrangement in names or values of the stock.

    Errors: ``Refusal`` for a line that is no network of chains and parallel sets of numbers.
    """
    line = _PUT_ASIDE.sub("", line)
    nest, named = _nest_of_values(line, stock)
    shelf = _Shelf(stock, named)
    text = " ".join(line.split()).rstrip(".")
    for leaf in leaves(nest):
        if fault := shelf.take(leaf, speech):
            return Proposal(text, fault=fault)
    taken = iter(shelf.taken)

    def tree(part: Part) -> Tree:
        if isinstance(part, Element):
            return next(taken)
        members = [tree(member) for member in part.members]
        return joined_all("series" if isinstance(part, Chain) else "parallel", members)

    return Proposal(text, tree(nest))


# 2 and 3 in parallel, don't need the 6.
_PUT_ASIDE = re.compile(
    r"(?i)[,;.]?\s*\b(?:and\s+|but\s+|i\s+|we\s+)*(?:do\s*n['’]?t|do\s+not|no)\s+(?:need|use|want)\b[^,;]*$"
    r"|[,;.]\s*(?:without|leaving\s+out|leave\s+out|ignore)\b[^,;]*$"
)


def _nest_of_values(line: str, stock: Stock) -> tuple[Part, frozenset[str]]:
    """The network of a line, whose bare numbers count in the unit of the stock if they must."""
    try:
        return _nest(line, stock)
    except Refusal:
        if (united := _with_units(line, stock)) == line:
            raise
        with suppress(Refusal):
            return _nest(united, stock)
        raise


def _with_units(line: str, stock: Stock) -> str:
    """Bare numbers in the unit of the stock, where the line has no unit at all."""
    powers = {kind.power for group in stock.groups for kind in group.kinds}
    if len(powers) != 1 or re.search(r"\d\s*(?:[pnuµμm]?F\b|[pnuµμ]\b)", line):
        return line
    prefix = PREFIX[next(iter(powers))]
    return re.sub(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.])", lambda found: f"{found[0]} {prefix}F", line)


class _Shelf:
    """What is left of the stock while capacitors are taken one by one."""

    def __init__(self, stock: Stock, named: frozenset[str]) -> None:
        self._stock = stock
        self._left = [group.number for group in stock.groups]
        self._named = named
        self.taken: list[int] = []

    def take(self, leaf: Element, speech: Speech) -> str:
        """Take one, by its name or by its value; what is wrong, if it cannot be had."""
        assert isinstance(leaf.worth, Amount), "letters were refused before"
        value = leaf.worth.value
        place, known = 0, 0
        for number, group in enumerate(self._stock.groups):
            for kind in group.kinds:
                fits = kind.value == value
                if leaf.name in self._named:
                    fits = fits and leaf.name in group.names
                known += group.number if fits else 0
                if fits and self._left[number]:
                    self._left[number] -= 1
                    self.taken.append(place)
                    return ""
                place += 1
        shown = speech.amount(value, "capacitance")
        if not known:
            return f"There is no {shown} in the stock."
        return f"There is no more than {counted(known, 'capacitor')} of {shown} in the stock."


def _nest(line: str, stock: Stock) -> tuple[Part, frozenset[str]]:
    """The network of a line in which names of the stock stand for its capacitors."""
    named = _named_in(line, stock)
    given = "".join(f"{name} = {value}; " for name, value in named.items())
    try:
        description = read_network(given + line)
    except Refusal as refusal:
        in_words = None if named else _in_words(line)
        if in_words is None:
            raise _unknown(line, stock) or _moved(refusal, len(given), line) from None
        description = in_words
    nest = description.nest
    if nest is None:
        raise Refusal(
            "That is a list of joins.", "Write it with -- and || and brackets, please."
        )
    for leaf in leaves(nest):
        if not isinstance(leaf.worth, Amount):
            raise Refusal(f"{leaf.name} is not in the stock.", "Use its names or its values.")
    return nest, frozenset(named)


def _in_words(line: str) -> Description | None:
    """The one network that free words describe; None where they describe none, or several."""
    from grammar.any_text import readings_of  # late: loaded for words alone

    try:
        found = readings_of(line)
    except Refusal:
        return None
    return found.ways[0].description if len(found.ways) == 1 and not found.is_unsure else None


def _named_in(line: str, stock: Stock) -> dict[str, str]:
    """The names of the stock that a line uses without giving them a value itself."""
    words = {word.lower() for word in re.findall(r"[A-Za-z]\w*", line)}
    own = {word.lower() for word in re.findall(r"([A-Za-z]\w*)\s*=", line)}
    return {
        name: write_worth(Amount(kind.value, kind.power), "capacitance")
        for group in stock.groups
        for name in group.names
        for kind in group.kinds
        if name.lower() in words - own
    }


def _unknown(line: str, stock: Stock) -> Refusal | None:
    """What to say of the first name in a line that is none of the stock's."""
    known = [name for group in stock.groups for name in group.names]
    for word in re.finditer(r"(?<![\w.])[Cc]\d+\b", line):
        if known and word[0].upper() not in known:
            shown = known if len(known) <= MOST_NAMES else [known[0], "…", known[-1]]
            place = Place(1, word.start() + 1, line.partition("\n")[0])
            found = f"{word[0]} is not in the stock."
            return Refusal(found, f"The names are {', '.join(shown)}.", place)
    return None


def _moved(refusal: Refusal, by: int, line: str) -> Refusal:
    """The refusal with its place in the learner's own line."""
    place = refusal.place
    if place is None:
        return refusal
    column = max(1, place.column - by) if place.line == 1 else place.column
    rows = dict(enumerate(line.split("\n"), start=1))
    moved = place._replace(column=column, line_text=rows.get(place.line, place.line_text))
    return Refusal(refusal.found, refusal.cure, moved)
