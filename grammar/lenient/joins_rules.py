"""The grammar of joins: each capacitor and each wire with its two points, and the ends of all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Any, Final, NamedTuple

from grammar.lenient.small_charts import rule


class TwoPoints(NamedTuple):
    """Two points by their names."""

    one: str
    other: str


class JoinSaid(NamedTuple):
    """What a statement says: ``kind``, the things it is said of, and their points."""

    kind: str
    things: tuple[str, ...] = ()
    pairs: tuple[TwoPoints, ...] = ()
    volts: str = ""


class Things(NamedTuple):
    """Capacitors by their values or their names."""

    told: tuple[str, ...]


class Volts(NamedTuple):
    """The p.d. of a supply."""

    written: str


class Pole(NamedTuple):
    """One point by its name."""

    name: str


PLUS: Final = "+"
MINUS: Final = "-"
ONE_OF_STOCK: Final = "*"


def told_things(held: Sequence[Any]) -> Iterator[str]:
    """The capacitors that parts of a phrase name, in their order."""
    for each in held:
        if isinstance(each, Things):
            yield from each.told
        elif isinstance(each, str):
            yield each


def _pairs(held: Sequence[Any]) -> tuple[TwoPoints, ...]:
    return tuple(each for each in held if isinstance(each, TwoPoints))


def _things(*held: Any) -> Things | None:
    """Several; a name with a value right behind it is one."""
    told = tuple(told_things(held))
    pairs = (each for each in pairwise(told) if each[1][:1].isdigit())
    doubled = any("=" not in name and not name[:1].isdigit() for name, _ in pairs)
    return None if doubled else Things(told)


def _of_stock(*_held: Any) -> Things:
    return Things((ONE_OF_STOCK,))


def _many_alike(many: int, amount: str) -> Things:
    return Things((amount,) * many)


def _so_many(many: int, *held: Any) -> Things | None:
    """``two capacitors, a 6 uF and a 3 uF``."""
    told = tuple(told_things(held))
    return Things(told) if len(told) == many else None


def _somewhere(*_held: Any) -> Things:
    """``on top``: where it is drawn says nothing more."""
    return Things(())


def _beside_a_wire(*held: Any) -> tuple[JoinSaid, ...]:
    """``between P and B both a 5 uF and a wire``."""
    pairs = _pairs(held)
    return JoinSaid("join", tuple(told_things(held)), pairs), JoinSaid("wire", pairs=pairs)


def _valued(name: str, amount: str) -> Things:
    return Things((f"{name} = {amount}",))


def _said(kind: str) -> Any:
    return lambda *held: JoinSaid(kind, tuple(told_things(held)), _pairs(held))


def _named_after(*held: Any) -> JoinSaid | None:
    """``C1 from A to P, 4 uF``: the value comes last."""
    name, amount = told_things(held)
    return JoinSaid("join", (f"{name} = {amount}",), _pairs(held)) if "=" not in name else None


def _from_to(*held: Any) -> JoinSaid | None:
    """``from D an 8 uF to the minus``."""
    pair = _pair(*held)
    return None if pair is None else JoinSaid("join", tuple(told_things(held)), (pair,))


def _wire_over(*held: Any) -> JoinSaid:
    return JoinSaid("wire", pairs=_pairs(held))


def _wired(*held: Any) -> JoinSaid | None:
    """``K and L are one wire``."""
    pair = _pair(*held)
    return None if pair is None else JoinSaid("wire", pairs=(pair,))


def _arm(*held: Any) -> tuple[tuple[str, str], ...]:
    """What goes to which point, and what is told of others after it."""
    things, point, *rest = held
    told = tuple((each, point.name) for each in things.told)
    return (*told, *(rest[0] if rest else ()))


def _meeting(*held: Any) -> JoinSaid:
    """``three meet at O: C1 to K, C2 to L``."""
    *_, middle, arms = held
    pairs = tuple(TwoPoints(far, middle.name) for _, far in arms)
    return JoinSaid("each", tuple(thing for thing, _ in arms), pairs)


def _from_plus(*held: Any) -> JoinSaid | None:
    """``+5V -> 470n -> node K``."""
    volts, *rest = held
    joined = _from_to(Pole(PLUS), *rest)
    return None if joined is None else joined._replace(kind="start", volts=volts.written)


def _nothing_more(*_held: Any) -> JoinSaid:
    return JoinSaid("lead")


def _in_that_order(*held: Any) -> JoinSaid | None:
    """``the arms AP and PB contain 2 uF and 4 uF``."""
    told = tuple(told_things(held))
    pairs = next(e for e in held if type(e) is tuple)
    return JoinSaid("each", told, pairs) if len(told) == len(pairs) > 1 else None


def _to_each(near: str, far: Sequence[str], things: Things) -> JoinSaid | None:
    pairs = tuple(TwoPoints(near, each) for each in far)
    fits = len(things.told) == len({*far}) == 2 and near not in far
    return JoinSaid("each", things.told, pairs) if fits else None


def _from_one(things: Things, *held: Any) -> JoinSaid | None:
    """``4 uF and 6 uF join A to P and R``, where two of the points may stand as a pair."""
    near, *far = _point_names(held)
    return _to_each(near, far, things)


def _to_one(things: Things, *held: Any) -> JoinSaid | None:
    """``3 uF and 2 uF join P and R to B``, likewise."""
    *far, near = _point_names(held)
    return _to_each(near, far, things)


def _point_names(held: Sequence[Any]) -> Iterator[str]:
    for each in held:
        if isinstance(each, Pole):
            yield each.name
        elif isinstance(each, TwoPoints):
            yield from each


def _fed(*held: Any) -> JoinSaid:
    volts = tuple(each.written for each in held if isinstance(each, Volts))
    return JoinSaid("fed", volts, _pairs(held))


def _pole(kind: str) -> Any:
    def build(*held: Any) -> JoinSaid:
        volts = tuple(each.written for each in held if isinstance(each, Volts))
        return JoinSaid(kind, (_point(*held).name, *volts))

    return build


def _point(*held: Any) -> Pole:
    return next(each for each in held if isinstance(each, Pole))


def _pole_named(name: str) -> Any:
    return lambda *_held: Pole(name)


def _pair(*held: Any) -> TwoPoints | None:
    one, other = (each.name for each in held if isinstance(each, Pole))
    return TwoPoints(one, other) if one != other else None


def _from_a(*held: Any) -> JoinSaid:
    """``A B is 12 volts``, where the first letter could be an article."""
    volts, point = held[-1].written, held[0].name
    return JoinSaid("fed", (volts,), (TwoPoints("A", point),))


def _stock(*held: Any) -> JoinSaid:
    return JoinSaid("stock", tuple(told_things(held)))


def _statements(*held: Any) -> tuple[JoinSaid, ...]:
    found: list[JoinSaid] = []
    for each in held:
        found += [each] if isinstance(each, JoinSaid) else each
    return tuple(found)


_VERB: Final = "IS|JOINS|THERE|BOTH|ALSO|COMMA|A|THE|WITH|THEM|ACROSS|COLON|EACH|OF|IN*"
_IN_A_ROW: Final = "IS|JOINS|IN|WHICH|ALL|BOTH|COMMA* INORDER|INROW"
_LEAD: Final = "JOINS|IS|OF|THE*"
_SO_MANY: Final = "CAP|OF|THEM|ONE*"
JOIN_RULES: Final = (
    rule("point: POINTS|ENDS|A|THE|THEIR* POINT", _point),
    rule("point: THE|THEIR|SOURCE* PLUS", _pole_named(PLUS)),
    rule("point: THE|THEIR|SOURCE* MINUS", _pole_named(MINUS)),
    rule("pair: PAIR", lambda pair: pair),
    rule("pair: OF point JOINS|ALSO* WITH|AND JOINS? point", _pair),
    rule("pair: POINT COMMA POINT", _pair),
    rule("one: A|THE|OTHER|ONE|ORDER|SOLE|CAP|OF|COMMA* AMOUNT CAP|EACH|SOLE*", _things),
    rule("one: A|THE|CAP* NAME", _things),
    rule("one: A|THE|CAP* NAME OPEN|IS|OF|COLON|COMMA|WITH* AMOUNT CLOSE? CAP? COMMA?", _valued),
    rule("one: COUNT AMOUNT CAP|EACH*", _many_alike),
    rule("one: A|OTHER? ONE", _of_stock),
    rule("spot: ON|IN|AT|THE|COMMA* SPOT OF|THEM|COLON|COMMA|THERE|IS*", _somewhere),
    rule("thing: one spot?", _things),
    rule("thing: spot one", _things),
    rule("list: thing", _things),
    rule("list: thing COMMA|AND|ALSO+ OTHER|A* list", _things),
    rule("list: thing COMMA|AND|ALSO* IN? ABREAST WITH|THEM|IS* list", _things),
    rule("things: list", _things),
    rule("things: list COMMA|ALL|BOTH|IS|JOINS|WHICH* ABREAST", _things),
    rule(f"things: COUNT EQUAL? {_SO_MANY} ABREAST? COMMA|COLON|OPEN|OF* list CLOSE?", _so_many),
    rule(f"row: COUNT {_SO_MANY} JOINS|IS|IN* INROW COMMA|COLON|OPEN|OF* list CLOSE?", _so_many),
    rule("row: list COMMA|ALL|BOTH|IS|JOINS|IN|WHICH* INROW", _things),
    rule("row: A|THE|OTHER|ALSO* CHAIN OF|WITH|COLON+ row", _things),
    rule("row: A|THE|OTHER|ALSO* CHAIN OF|WITH|COLON+ list", _things),
    rule("pairs: PAIR", lambda pair: (pair,)),
    rule("pairs: PAIR COMMA|AND+ pairs", lambda pair, rest: (pair, *rest)),
    rule(f"said: things {_VERB} pair ALSO?", _said("join")),
    rule(f"said: things {_IN_A_ROW} pair", _said("row")),
    rule(f"said: ON|IN? pair {_VERB} row", _said("row")),
    rule(f"said: row {_VERB} pair", _said("row")),
    rule("said: OF point things WITH point ALSO?", _from_to),
    rule(f"said: NAME {_VERB} PAIR COMMA|AND|IS|OF|WITH|COLON|A|EACH* AMOUNT", _named_after),
    rule(f"said: ON|IN? pair {_VERB} things", _said("join")),
    rule("said: point IS|JOINS* WITH|AND point IS|JOINS|COMMA* BY things", _from_to),
    rule("said: THERE|IS|COUNT* PAIR", _nothing_more),
    rule(
        "said: IN|THE|BRANCH|SHAPE* PAIR? THE|BRANCH+ pairs HOLDS|IS|OF|CAP|COLON* things",
        _in_that_order),
    rule(f"said: list {_LEAD} point WITH THE? PAIR", _from_one),
    rule(f"said: list {_LEAD} PAIR AND point", _from_one),
    rule(f"said: list {_LEAD} PAIR COMMA* WITH point", _to_one),
    rule(f"said: list {_LEAD} point AND PAIR", _to_one),
    rule(f"said: A|THE|ALSO|THERE|IS|OTHER|JOINS* WIRE {_VERB} pair ALSO?", _said("wire")),
    rule("said: A|THE|JOINS* WIRE ACROSS THE AMOUNT|NAME pair ALSO?", _wire_over),
    rule("said: PAIR IS|JOINS|TOGETHER* BY|WITH|OF A? WIRE", _said("wire")),
    rule("said: POINT AND POINT IS ONE|THE|EQUAL|JOINS|BY|A* WIRE", _wired),
    rule("said: COUNT? CAP|THEM* JOINS AT|IN|ON|TOGETHER* point COMMA|COLON* arms", _meeting),
    rule("said: A|THE|POINTS+ POINT AT|IN|IS|THE*", _nothing_more),
    rule("said: POINT AT|IN|IS|THE+", _nothing_more),
    rule("said: PLUS? VOLTS ARROW things ARROW point", _from_plus),
    rule("said: point ARROW things ARROW point", _from_to),
    rule("arms: thing IS|JOINS* WITH|OF point", _arm),
    rule("arms: thing IS|JOINS* WITH|OF point COMMA|AND+ arms", _arm),
    rule(
        "said: A|THE|SOURCE|OF|WITH|COMMA* VOLTS SOURCE|JOINS|IS|THE|OF|COLON|COMMA|WITH|ON|IN*"
        " pair", _fed),
    rule(
        "said: A|THE|SOURCE|ENDS|IS|COLON|COMMA|OF|ON|AT|ACROSS|WHICH* pair"
        " IS|COMMA|COLON|AT|ON|IN|A|WITH* VOLTS SOURCE?", _fed),
    rule("said: THE|SOURCE|ENDS|IS|COLON|COMMA|JOINS|ON|IN|WITH|ACROSS+ pair", _fed),
    rule("said: A|THE|SOURCE|OF|WITH|IS|COLON* VOLTS SOURCE?", _fed),
    rule("said: A POINT IS VOLTS", _from_a),
    rule("said: PLUS OF|THE|SOURCE* VOLTS? SOURCE|JOINS|IS|WITH|POINTS* POINT", _pole("plus")),
    rule("said: POINT IS|THE|ON|AT|WITH|IN* PLUS", _pole("plus")),
    rule("said: MINUS OF|THE|SOURCE|JOINS|IS|WITH|POINTS* POINT", _pole("minus")),
    rule("said: POINT IS|THE|ON|AT|WITH|IN* MINUS", _pole("minus")),
    rule("said: CAP? NAME IS|OF|COLON|WITH* AMOUNT", lambda *held: JoinSaid("value", held)),
    rule(
        "said: COUNT EQUAL* CAP COMMA? EACH? OF|IS|WITH+ AMOUNT EACH|ONE|COMMA* IS|JOINS|IN|SHAPE*",
        _stock),
    rule("said: COUNT CAP HOLDS|JOINS|IS|IN|A* SHAPE", _nothing_more),
    rule("said: COUNT CAP IS|JOINS+ ALSO?", _nothing_more),
    rule("said: THE? CAP IS names", _nothing_more),
    rule("said: names IS THE? CAP", _nothing_more),
    rule("said: names HOLDS A|SOLE* BRANCH", _nothing_more),
    rule("names: NAME", _things),
    rule("names: NAME COMMA|AND* names", _things),
    rule(
        "wire: COMMA|AND|ALSO|OTHER|A|WITH|ONE|THERE|IS+ OF? WIRE ABREAST|SPOT|ALSO|THEM*",
        _somewhere),
    rule(f"clause: ON|IN? pair {_VERB} things wire", _beside_a_wire),
    rule(f"clause: things wire {_VERB} pair", _beside_a_wire),
    rule("clause: said", _statements),
    rule("sentence: clause", _statements),
    rule("sentence: HOLDS|THERE|COLON|COMMA+ sentence", _statements),
    rule("sentence: clause ALSO|AND|COMMA|COLON|THEN|WHICH* sentence", _statements),
)  # fmt: skip
