"""What is written of ratings, plates, missing values, ladders and changes reads back the same."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.apart import put_apart
from grammar.ladder_sections import written_out
from grammar.outline import leaves
from grammar.points import inner_points
from grammar.reading import read_network
from grammar.records import (
    Amount,
    Asked,
    Chain,
    Change,
    Charging,
    Description,
    Element,
    Given,
    Join,
    Ladder,
    Layer,
    Letter,
    Parallel,
    Plates,
    Unknown,
)
from grammar.writing import write_network
from tests.grammar.test_writing import ENDS, LETTERS, NAMES, SUPPLIES, amounts, asked_of
from tests.sampled import some

F = Fraction
LENGTHS = {"pm": -12, "nm": -9, "µm": -6, "mm": -3, "cm": -2, "m": 0}
TENTHS = st.integers(1, 9_999).map(lambda tenths: F(tenths, 10))
PERMITTIVITIES = TENTHS.filter(lambda value: value >= 1)


def decimal(value):
    """A number of at most one decimal place as it is printed."""
    whole, tenths = divmod(value.numerator * 10 // value.denominator, 10)
    return f"{whole}.{tenths}" if tenths else f"{whole}"


@st.composite
def lengths(draw, numbers=TENTHS):
    """A length in metres and its text."""
    number, unit = draw(numbers), draw(st.sampled_from(list(LENGTHS)))
    return number * F(10) ** LENGTHS[unit], f"{decimal(number)} {unit}"


@st.composite
def areas(draw):
    if draw(st.booleans()):
        (side, text), (other, further) = draw(lengths()), draw(lengths())
        return draw(
            st.sampled_from([(side**2, f"{text} square"), (side * other, f"{text} by {further}")])
        )
    number, unit = draw(TENTHS), draw(st.sampled_from(list(LENGTHS)))
    return number * F(100) ** LENGTHS[unit], f"{decimal(number)} {unit}²"


@st.composite
def plates(draw):
    """Plates with all that may be between them, and their text put together by another hand."""
    area, area_text = draw(areas())
    metal, metal_text = draw(st.one_of(st.just((F(0), "")), lengths()))
    free, gap_text = draw(lengths())
    kind = draw(st.sampled_from(["air", "filled", "over", "beside", "layers"]))
    value = draw(PERMITTIVITIES)
    tail = f" metal {metal_text}" if metal else ""
    if kind == "layers":
        pieces = [(*draw(lengths()), draw(PERMITTIVITIES)) for _ in range(draw(st.integers(1, 4)))]
        layers = tuple(Layer(value, thickness) for thickness, _, value in pieces)
        told = ", ".join(f"{text} of {decimal(value)}" for _, text, value in pieces)
        gap = sum(each.thickness for each in layers) + metal
        return Plates(area, gap, layers, (), metal, f"plates {area_text} layers {told}{tail}")
    if metal >= free:
        metal, tail = F(0), ""
    head = f"plates {area_text} gap {gap_text}"
    if kind == "air":
        return Plates(area, free, (), (), metal, head + tail)
    if kind == "filled":
        layer = Layer(value, free - metal)
        return Plates(area, free, (layer,), (), metal, f"{head} filled {decimal(value)}{tail}")
    share = draw(st.fractions(F(1, 50), F(49, 50), max_denominator=50))
    rest = Layer(F(1), None, 1 - share)
    beside = (Layer(value, None, share), rest)
    word = f"filled {decimal(value)} over {share}"
    if kind == "beside":
        word = f"side by side {share} of {decimal(value)}"
    return Plates(area, free, (), beside, metal, f"{head} {word}{tail}")


@st.composite
def capacitors(draw, names, worths):
    started = st.one_of(
        st.none(),
        st.builds(Charging, st.just("voltage"), amounts()),
        st.builds(Charging, st.just("charge"), amounts()),
        st.sampled_from([Charging("voltage", Letter("V")), Charging("charge", Letter("Q1"))]),
    )
    rated = st.one_of(st.none(), amounts())
    return [Element(name, draw(worths), draw(rated), draw(started)) for name in names]


@st.composite
def changes(draw, members, points, supply):
    """Changes of which each makes sense after those before it."""
    names = [each.name for each in members]
    gaps = [
        each.name for each in members if isinstance(each.worth, Plates) and not each.worth.metal
    ]
    filled = {
        each.name
        for each in members
        if isinstance(each.worth, Plates) and (each.worth.layers or each.worth.beside)
    }
    bare, out, on = set(names) - filled, set(), supply is not None
    done = []
    for _ in range(draw(st.integers(0, 5))):
        name = draw(st.sampled_from(names))
        kind = draw(st.sampled_from(["supply", "remove supply", "wire", "fill", "empty", "gap"]))
        if kind == "supply":
            done.append(Change(kind, supply=Charging("voltage", draw(amounts()))))
            on = True
        elif kind == "remove supply" and on:
            done.append(Change(kind))
            on = False
        elif kind == "wire" and len(points) > 1:
            done.append(Change(kind, points=tuple(draw(st.permutations(sorted(points)))[:2])))
        elif kind == "fill" and name in bare:
            done.append(Change(kind, (name,), amount=draw(PERMITTIVITIES)))
            bare, filled = bare - {name}, filled | {name}
        elif kind == "empty" and name in filled:
            done.append(Change(kind, (name,)))
            bare, filled = bare | {name}, filled - {name}
        elif kind == "gap":
            factors = st.fractions(F(1, 9), 9, max_denominator=9)
            new = st.sampled_from([Amount(F(3, 10**4), -3), Amount(F(7), 0), Amount(F(1, 50), -2)])
            plain = name not in gaps and any(name == e.name for e in members if _has_metal(e))
            if not plain:
                amount = draw(new if name in gaps and draw(st.booleans()) else factors)
                done.append(Change(kind, (name,), amount=amount))
    taken = tuple(draw(st.permutations(sorted(set(names) - out)))[: draw(st.integers(0, 3))])
    return (*done, *((Change("take out", taken),) if taken else ()))


def _has_metal(capacitor):
    return isinstance(capacitor.worth, Plates) and capacitor.worth.metal


@st.composite
def nested(draw):
    names = draw(st.permutations(NAMES))[: draw(st.integers(1, 5))]
    numbers = st.one_of(amounts(), plates())
    members = draw(capacitors(names, draw(st.sampled_from([numbers, LETTERS]))))
    inner = members[0] if len(members) < 3 else Parallel(tuple(members[:2]))
    rest = members[1:] if len(members) < 3 else members[2:]
    nest = Chain((inner, *rest)) if rest else inner
    ends, supply = draw(ENDS), draw(SUPPLIES)
    points = {*ends, *inner_points(nest, ends)}
    done = draw(changes(members, points, supply))
    asked = draw(asked_of(names))
    if done and draw(st.booleans()):
        asked += (Asked("energy", lost=True),)
    return Description(nest, ends=ends, supply=supply, asked=asked, changes=done)


@st.composite
def with_givens(draw):
    """A network with one or two values missing, and as many quantities given or more."""
    names = draw(st.permutations([*NAMES, "t", "C", "V", "eq"]))[: draw(st.integers(2, 4))]
    members = draw(capacitors(names, st.one_of(amounts(), plates())))
    missing = draw(st.integers(1, 2))
    members = [
        each._replace(worth=Unknown()) if index < missing else each
        for index, each in enumerate(members)
    ]
    kinds = ["charge", "voltage", "energy"]
    known = draw(
        st.lists(
            st.one_of(
                st.tuples(st.sampled_from(kinds), st.sampled_from(names)),
                st.tuples(st.sampled_from([*kinds, "capacitance"]), st.none()),
            ),
            min_size=missing,
            max_size=4,
            unique=True,
        )
    )
    givens = tuple(Given(quantity, of, draw(amounts())) for quantity, of in known)
    return Description(Chain(tuple(members)), supply=draw(SUPPLIES), givens=givens)


@st.composite
def apart(draw):
    names = draw(st.permutations(NAMES))[: draw(st.integers(2, 5))]
    members = draw(capacitors(names, draw(st.sampled_from([amounts(), LETTERS]))))
    joins = tuple(map(put_apart, members))
    supplied = draw(st.sampled_from([None, *joins]))
    first = supplied or joins[0]
    worth = draw(st.one_of(amounts(), st.just(Letter("U0"))))
    together = len(names) if len(names) > 2 and draw(st.booleans()) else 2
    crossed = together == 2 and draw(st.booleans())
    done = [Change("join", tuple(names[:together]), crossed=crossed)]
    done += [Change("join", (names[0], name)) for name in names[together:]]
    return Description(
        joins=joins,
        ends=(first.start, first.end),
        supply=Charging("voltage", worth) if supplied else None,
        asked=draw(asked_of(names)),
        changes=tuple(done),
    )


@st.composite
def listed(draw):
    """A list of joins, perhaps with one more capacitor that is joined to it later."""
    names = draw(st.permutations(NAMES))[: draw(st.integers(2, 5))]
    members = draw(capacitors(names, st.one_of(amounts(), plates())))
    points = ["A", "P", "2", "B'", "x", "R"]
    later = draw(st.integers(0, 1))
    lines = [
        Join(each, points[index], points[index + 1])
        for index, each in enumerate(members[: len(members) - later])
    ]
    ends = ("A", points[len(lines)])
    joined = [Change("join", (names[0], names[-1]), crossed=draw(st.booleans()))] if later else []
    supply = draw(SUPPLIES)
    done = draw(changes(members, set(points[: len(lines) + 1]), supply))
    rest = tuple(put_apart(each) for each in members[len(lines) :])
    return Description(
        joins=(*lines, *rest), ends=ends, supply=supply, changes=(*joined, *done)
    )


@st.composite
def ladders(draw):
    worths = draw(st.sampled_from([st.one_of(amounts(), plates()), LETTERS]))
    # Letters and numbers do not mix, and plates are named before they stand in a ladder.
    series, shunt = (draw(worths.filter(lambda w: not isinstance(w, Plates))) for _ in range(2))
    ladder = Ladder(series, shunt, draw(st.one_of(st.none(), st.integers(1, 6))))
    nest, supply, ends = written_out(ladder), draw(SUPPLIES), draw(ENDS)
    if nest is None:
        return Description(supply=supply, ends=ends, ladder=ladder)
    members = list(leaves(nest))
    done = draw(changes(members, {*ends, *inner_points(nest, ends)}, supply))
    return Description(nest, supply=supply, ends=ends, changes=done, ladder=ladder)


EVERY_KIND = st.one_of(nested(), with_givens(), apart(), listed(), ladders())


@settings(max_examples=some(300), deadline=None)
@given(EVERY_KIND, st.booleans())
def test_what_is_written_reads_back_the_same(description, plain):
    written = write_network(description, ascii=plain)
    assert written.isascii() or not plain
    assert read_network(written) == description
    assert write_network(read_network(written), ascii=plain) == written


@settings(max_examples=some(200), deadline=None)
@given(plates())
def test_what_is_between_plates_fills_their_gap(expected):
    read = read_network(f"C1 = {expected.written}").nest.worth
    assert read == expected
    if read.layers:
        assert sum(each.thickness for each in read.layers) + read.metal == read.gap
    if read.beside:
        assert sum(each.share for each in read.beside) == 1
    assert not (read.layers and read.beside)


def test_plates_without_their_text_are_not_written():
    with pytest.raises(ValueError, match="carry their text"):
        write_network(Description(Element("C1", Plates(F(1), F(1)))))
