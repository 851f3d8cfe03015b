"""What a reason says of values: amounts, sums, equalities and comparisons, each so here or not.

Values are looked up in what the network holds, whether or not the learner has been asked for them;
a statement of which nothing is known here says nothing either way.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import partial
from itertools import pairwise

from grammar.answers import Claim, Measure, evaluate, read_claims
from grammar.expressions import Expression, Name, Num, Op, names_in, parts_of
from grammar.measures import DIMS, PURE, Dims, kinds_of
from grammar.quantity import UNIT_SIGN
from grammar.records import Refusal
from grammar.spoken_numbers import in_figures
from tutor.circuit.values import Value, in_letters, magnitude
from tutor.teaching.amounts import SAYS_MORE, AmountSaid, amounts_said
from tutor.teaching.compared_values import DENIED, IT, comparisons, moves
from tutor.teaching.judging import close
from tutor.teaching.quantities import DIMENSION, Symbol
from tutor.teaching.reading.because_words import WORDS
from tutor.teaching.reading.laws_said import laws_said, without_laws
from tutor.teaching.reading.spoken_words import with_pd_whole
from tutor.teaching.rules.context import plain_power
from tutor.teaching.values_here import ValuesHere


def claims_judged(line: str, here: ValuesHere) -> list[bool]:
    """Which of the statements about values in a line are so, and which are not."""
    pieces = _pieces(without_laws(line), here)
    found = [*laws_said(line, here.asks_work)]
    found += [judged for each in pieces for judged in _sums(each, here)]
    for each in pieces:
        if not _OPERATES.search(each):
            found += [*_amounts(each, here), *comparisons(each, here), *moves(each, here)]
    return found or ([True] if _are_all_held(" ".join(pieces), here) else [])


def compared_in(line: str, here: ValuesHere) -> list[bool]:
    """The same for comparisons and relations of one capacitor, since the amounts of an answer are
    judged elsewhere.
    """
    pieces = [
        each for each in _pieces(without_laws(line), here) if not _OPERATES.search(each)
    ]
    compared = [judged for each in pieces for judged in comparisons(each, here)]
    return [*laws_said(line, here.asks_work), *compared]


def knows_numbers(line: str, here: ValuesHere, told: Iterable[str] = ()) -> bool:
    """Whether a line has numbers, and every one of them is worth what is held here, or asked,
    stands in what is told, or is part of a sum, which is working.
    """
    if _OPERATES.search(line):
        return True
    line = in_figures(line)
    if _KEEPS.search(line) or not (amounts := amounts_said(here.sayable, line)):
        return False
    worth = [*_worth(here)] + ([magnitude(here.answer)] if here.answer is not None else [])
    spoken = {*re.findall(r"(?<![\w.])\d+(?:\.\d+)?", " ".join(told))}
    return all(
        said.number in spoken or any(
            number is not None and any(_near(number, each) for each in worth)
            for symbol in DIMENSION for number in (said.plainly(here.powers, symbol),)
        ) for said in amounts
    )


def _worth(here: ValuesHere) -> Iterator[Value]:
    """All that is known or held here, in plain numbers."""
    yield from (each.value for each in _plain(here).values())
    for (symbol, _), values in here.values.items():
        power = plain_power(here.powers, DIMENSION[symbol])
        yield from (magnitude(v) / Fraction(10) ** power for v in values if not in_letters(v))


def _pieces(line: str, here: ValuesHere) -> list[str]:
    line = _by_their_sizes(in_figures(with_pd_whole(line)), here)
    return [each for each in _PIECES.split(line) if each.strip()]


_PIECES = re.compile(rf"(?i)[,;:](?!\d)|\.(?!\d)|\b(?:but|so|hence|then|while)\b|{WORDS}")
_OPERATES = re.compile(
    r"(?i)[=*/×÷+^]|(?:\d|\)|\b[CQVUE]\d*)\s*(?:[-−x]|times|over|plus|minus|divided\s+by)\s*[\d(A-Z]"
)


_THE_GREATER = re.compile(
    r"(?i)\b(?:the\s+)?(?P<size>bigg|larg|small)(?:er|est)\s+(?:(?:one|cap\w*|c|of\s+the\s+two)\s+)?"
    r"(?=(?:always\s+)?(?:takes?|has|have|gets?|holds?|carr(?:y|ies)|needs?|wants?|drops?)\b)"
)
# More falls on the smaller one.
_ON_THE_GREATER = re.compile(
    r"(?i)\b(?P<on>on|at|across|over|for|to)\s+the\s+(?P<size>bigg|larg|small)(?:er|est)"
    r"(?:\s+(?:one|cap\w*|c|of\s+the\s+two))?(?=\W*$|\s+(?:than|here|in)\b)"
)


def _by_their_sizes(line: str, here: ValuesHere) -> str:
    """The larger and the smaller of those in hand by their names: the bigger one takes more."""
    sizes = {name: here.values.get(("C", name), (None,))[0] for name in here.in_hand}
    worth = [each for each in sizes.values() if each is not None and not in_letters(each)]
    if len(worth) < len(sizes) or len({*worth}) < len(sizes) or len(sizes) < 2:
        return line
    ordered = sorted(sizes, key=lambda name: sizes[name] or Fraction(0))

    def name(found: re.Match[str]) -> str:
        return ordered[0 if found["size"].lower() == "small" else -1]

    line = _THE_GREATER.sub(lambda found: f"{name(found)} ", line)
    return _ON_THE_GREATER.sub(lambda found: f"{found['on']} {name(found)}", line)


# Sums and equations

_IS = re.compile(r"(?i)\b(?:is|are|equals?|makes?|gives?)\b")
_LEADING_WORDS = re.compile(r"(?i)^\s*(?:(?!half\b)[a-z']{2,}\s+|a\s+)*")
_BEHIND = re.compile(r"(?i)\s+(?:on|for|at|in|of|too|as\s+well|here|there)\b[^=\d]*$")
_A_LETTER = re.compile(r"(?<![\w.])(?<!\d\s)[CV](?!\w)")  # beside it 6C is six times C
_ITS_OWN = re.compile(r"(?i)\b(?:its|their|whose|own)\s+[CVQUE]\b")
NEAR = Fraction(1, 20)  # a reason need not be worked out to the last figure


def _sums(piece: str, here: ValuesHere) -> Iterator[bool]:
    """What is written as equal, compared side by side, in units and in plain numbers; a sum alone
    is so where it comes to something that is held here.
    """
    if not _OPERATES.search(piece):
        return
    if _ITS_OWN.search(piece):
        return  # its C is not the C of all
    written = _IS.sub("=", _BEHIND.sub("", _LEADING_WORDS.sub("", piece))).lstrip("= ")
    plain = _plain(here)
    in_letters_too = _A_LETTER.search(written) is not None
    alone = written if in_letters_too else re.sub(rf"(?<=\d)\s*{UNIT_SIGN}", "", written)
    for text, names in ((written, here.names), (alone, plain)):
        try:
            claims = read_claims(text, names, in_letters_too)
            judged = [_are_equal(claim, names) for claim in claims]
        except (Refusal, ValueError, ZeroDivisionError):
            continue
        if told := [each for each in judged if each is not None]:
            yield from (each for each in told if not each or _bears(claims[-1], plain, here))
            return
        if names is plain and all(len(each.sides) == 1 for each in claims) and (
            _comes_to_it(claims[-1], plain, here) and _is_of_its_kind(written, here)
        ):
            yield True


def _plain(here: ValuesHere) -> dict[str, Measure]:
    """What letters are worth, in plain numbers."""
    return {
        name: Measure(each.value / Fraction(10) ** each.power, bare=True)
        for name, each in here.names.items() if not in_letters(each.value)
    }


def _are_equal(claim: Claim, names: Mapping[str, Measure]) -> bool | None:
    if len(claim.sides) < 2:
        return None
    found = _agree([evaluate(side, names) for side in claim.sides])
    worked = [each for each in claim.sides if not names_in(each)]
    if found is False and 1 < len(worked) < len(claim.sides):  # V = Q/C = 84/7 = 12: of which V?
        return _agree([evaluate(side, names) for side in worked])
    return found


def _agree(sides: Sequence[Measure]) -> bool | None:
    if len({each.bare for each in sides}) > 1:
        return None
    return all(one.dims == two.dims and _near(one.value, two.value) for one, two in pairwise(sides))


def _bears(claim: Claim, plain: Mapping[str, Measure], here: ValuesHere) -> bool:
    """Whether an equation that holds says anything here: one in numbers that only adds or takes
    away does where it ends in a value of the network; 12 - 4 = 8 holds anywhere.
    """
    parts = [part for side in claim.sides for part in parts_of(side)]
    only_adds = any(isinstance(each, Op) for each in parts) and not any(
        isinstance(each, Op) and each.sign in "*/" for each in parts
    )
    if not only_adds or names_in(*claim.sides):
        return True
    value = evaluate(claim.sides[-1], plain).value
    if _is_by_chance(parts, value, here):
        return False
    held = [v for values in here.values.values() for v in values if not in_letters(v)]
    worth = [each.value for each in plain.values()]
    return not in_letters(value) and (
        here.answer is None or any(_near(value, each) for each in (*worth, here.answer))
        or any(_near(value * Fraction(10) ** power, v) for v in held for power in (-12, -9, -6, -3))
    )


def _is_by_chance(parts: Sequence[Expression], value: Value, here: ValuesHere) -> bool:
    """Whether what only adds or takes away comes to an answer that is never found so."""
    signs = {each.sign for each in parts if isinstance(each, Op)}
    return here.answer is not None and bool(signs & {*here.never_by}) and _near(value, here.answer)


def _comes_to_it(claim: Claim, plain: Mapping[str, Measure], here: ValuesHere) -> bool:
    """Whether a sum alone comes to what was answered, or to one over it. One that only adds or
    takes away must do so with values of the network.
    """
    sum_ = claim.sides[0]
    value, right = evaluate(sum_, plain).value, here.answer
    parts = [*parts_of(sum_)]
    only_adds = not any(isinstance(each, Op) and each.sign in "*/" for each in parts)
    numbers = [each.value for each in parts if isinstance(each, Num)]
    if only_adds and (_is_by_chance(parts, value, here) or not all(
        any(_near(n, each) for each in _worth(here)) for n in numbers
    )):
        return False
    return right is not None and bool(right) and any(_near(value, r) for r in (right, 1 / right))


def _is_of_its_kind(written: str, here: ValuesHere) -> bool:
    """Whether a sum, with the units in it, may be of the kind of what was answered, or one over
    it: 12 V times 4 V is no charge, and one capacitance by another is none.
    """
    if here.kind is None:
        return True
    try:
        sum_ = read_claims(written, here.names)[-1].sides[0]
    except Refusal:
        return True
    found = kinds_of(sum_, partial(_kinds_of_part, here=here))
    a, b, c = DIMS[here.kind]
    return found is None or not found.isdisjoint({(a, b, c), (-a, -b, -c)})


def _kinds_of_part(part: Num | Name, here: ValuesHere) -> frozenset[Dims] | None:
    """What a number or a name may be: a value that is held here, how many there are, a factor."""
    if isinstance(part, Name):
        return frozenset({here.names[part.text].dims})
    if part.unit is not None:
        return frozenset({DIMS[part.unit.dimension]})
    held = {
        DIMS[DIMENSION[symbol]] for (symbol, _), values in here.values.items()
        for power in (plain_power(here.powers, DIMENSION[symbol]),) for each in values
        if not in_letters(each) and close(part.value * Fraction(10) ** power, each)
    }
    if part.value in (1, 2, len(here.in_hand)):
        held.add(PURE)
    return frozenset(held) or None


def _near(one: Value, two: Value) -> bool:
    if in_letters(one) or in_letters(two):
        return close(one, two)
    return bool(abs(one - two) <= NEAR * abs(two))


# Amounts


def _amounts(piece: str, here: ValuesHere) -> Iterator[bool]:
    """Each amount that is said of somebody, against what these hold."""
    if SAYS_MORE.search(piece) or _OF_METAL.search(piece) or _FOR_EVERY.search(piece):
        return
    if here.asked is not None and IT.match(piece):
        piece = f"{here.asked} {piece}"
    for said in amounts_said(here.sayable, piece):
        for owner in said.owners or ():
            worth = {s: v for (s, of), v in here.values.items() if of == owner and s != "C"}
            symbols = [said.symbol] if said.symbol is not None else [*worth]
            fitting = [s for s in symbols if s in worth and _fits(said, s, worth[s], here)]
            if _KEEPS.search(piece):  # at every stage, and not at one
                fitting = [s for s in fitting if all(map(partial(close, worth[s][0]), worth[s]))]
            if fitting or (said.symbol in worth):
                yield bool(fitting)


_FOR_EVERY = re.compile(r"(?i)\bfor\s+(?:every|each)\b")  # 3 volts for every 2: a ratio
_KEEPS = re.compile(r"(?i)\b(?:keeps?|stays?|still|remains?)\b")
# What is on a piece of metal is no value of a capacitor.
_OF_METAL = re.compile(
    r"(?i)\b(?:conductors?|metal|plates?|islands?|middle|wires?|pieces?|points?|nodes?)\b"
)


def _fits(said: AmountSaid, symbol: Symbol, values: tuple[Value, ...], here: ValuesHere) -> bool:
    number = said.plainly(here.powers, symbol)
    power = plain_power(here.powers, DIMENSION[symbol])
    return number is not None and any(
        close(number * Fraction(10) ** power, magnitude(each)) for each in values
    )


# A sum, or a word for what is done with the amounts, of which it is not known that it is so.
_DOES_MORE = re.compile(rf"{_OPERATES.pattern}|\b(?:mean|average|middle)\b")


def _are_all_held(line: str, here: ValuesHere) -> bool:
    """Whether two amounts or more, of nobody in particular, are all values that somebody holds."""
    amounts = [*amounts_said(here.sayable, line)]
    if len(amounts) < 2 or DENIED.search(line) or _DOES_MORE.search(line):
        return False
    met = [
        {
            symbol for (symbol, _), values in here.values.items()
            if said.symbol in (None, symbol) and _fits(said, symbol, values, here)
        } for said in amounts
    ]
    return all(met) and any(symbols - {"C"} for symbols in met)
