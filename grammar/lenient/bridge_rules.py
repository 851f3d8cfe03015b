"""The grammar of branches with a point in the middle: two in series, their junction being P."""

from __future__ import annotations

from typing import Any, Final

from grammar.lenient.joins_rules import JoinSaid, Pole, TwoPoints, Volts, told_things
from grammar.lenient.small_charts import rule


def _branch(*held: Any) -> JoinSaid | None:
    """Two in series, the point between them and the points of both ends, as far as they are told;
    a point without a name is "".
    """
    things = tuple(told_things(held))
    inner = next((each.name for each in held if isinstance(each, Pole)), "")
    pairs = tuple(each for each in held if isinstance(each, TwoPoints))
    return JoinSaid("branch", things, pairs, inner) if len(things) == 2 else None


def _arms(*held: Any) -> JoinSaid:
    """``both branches are across 9 V``, ``both run from A to B``."""
    volts = tuple(each.written for each in held if isinstance(each, Volts))
    return JoinSaid("fed", volts, tuple(each for each in held if isinstance(each, TwoPoints)))


def _over_the_middles(*held: Any) -> JoinSaid:
    """``a 5 uF joins the midpoints``, ``a wire joins them``: then there is no thing."""
    return JoinSaid("bridge", tuple(told_things(held)))


def _joined_between(pair: TwoPoints, things: Any) -> JoinSaid:
    """``the arm PQ is made of a 7 uF``."""
    return JoinSaid("join", tuple(told_things([things])), (pair,))


def _valued_alike(*held: Any) -> tuple[JoinSaid, ...]:
    """``Ca, Cb and Cc are all 24 pF``."""
    names, amount = held
    return tuple(JoinSaid("value", (name, amount)) for name in names.told)


def _all_of(*held: Any) -> tuple[JoinSaid, ...]:
    return tuple(each for each in held if isinstance(each, JoinSaid))


_NOUN: Final = "BRANCH|SHAPE"
BRIDGE_RULES: Final = (
    rule("onway: thing IS|COMMA|AND* THEN thing", _branch),
    rule(
        "inner: COMMA|AND|WITH|WHICH* THE|THEIR|A|OF* POINTS|MID IS|COLON* POINT",
        lambda pole: pole),
    rule("inner: HOLDS|OF THE|A* POINTS? POINT OF THEM", lambda pole: pole),
    rule("chain: row", _branch),
    rule("chain: onway", lambda said: said),
    rule("chain: things IS|EQUAL|JOINS+ pair inner", _branch),
    rule("chain: row inner", _branch),
    rule("chain: row ENDS? pair inner", _branch),
    rule(f"chain: row HOLDS|JOINS|IS* A|ONE|THE|OTHER|ORDER* {_NOUN}", _branch),
    rule("chain: row THE? OTHER", _branch),
    rule(f"chain: row IN THE? ORDER|OTHER {_NOUN}|ONE?", _branch),
    rule(f"chain: onway IN THE? ORDER|OTHER {_NOUN}|ONE?", lambda said: said),
    rule(
        f"chain: IN? THE? ORDER|SPOT|ONE|OTHER {_NOUN} HOLDS|OF|IS|COLON* chain",
        lambda said: said),
    rule("span: IS|JOINS|THEN* ABREAST", _arms),
    rule("span: IS|JOINS|THEN* ABREAST? ACROSS|ON|WITH|AT|COMMA+ A|THE* VOLTS SOURCE?", _arms),
    rule("span: IS|JOINS|THEN* ABREAST? COMMA? pair", _arms),
    rule("span: IS|JOINS|THEN* ABREAST? ACROSS|ON|WITH|AT|COMMA+ A|THE* VOLTS SOURCE? pair", _arms),
    rule(f"mids: THE|THEIR? MID OF|THE|COUNT|BOTH|THEM|{_NOUN}*", lambda *_: "mids"),
    rule(
        f"mids: THE? MID OF THE|ONE* ORDER? {_NOUN}|ONE? WITH|AND THE|THAT? MID? OF? THE?"
        f" ORDER|OTHER {_NOUN}|ONE?", lambda *_: "mids"),
    rule("said: A|THE* BRANCH? PAIR IS|JOINS|HOLDS* BY|OF things", _joined_between),
    rule("said: chain", lambda said: said),
    rule(f"said: THE|BOTH|COUNT|ALL|THEM* {_NOUN}? span", lambda *held: held[-1]),
    rule("said: WHOLE span", lambda said: said),
    rule("said: things IS|JOINS|ACROSS|OF+ mids", lambda things, _: _over_the_middles(things)),
    rule(
        "said: mids IS|JOINS|COMMA* BY things", lambda _, things: _over_the_middles(things)),
    rule("said: A|THE|JOINS|THERE|IS* WIRE IS|JOINS|ACROSS|OF+ mids", lambda _: JoinSaid("bridge")),
    rule("said: mids IS|JOINS|TOGETHER|COMMA* BY|WITH|OF A? WIRE", lambda _: JoinSaid("bridge")),
    rule(f"clause: COUNT {_NOUN} COMMA|COLON+ chain COMMA|AND+ chain COMMA? span", _all_of),
    rule(f"clause: COUNT {_NOUN} span COMMA|COLON+ chain COMMA|AND+ chain", _all_of),
    rule("clause: names COMMA? IS|EACH|ALL|BOTH|OF|WITH+ AMOUNT EACH?", _valued_alike),
    rule("sentence: IN A|THE* SHAPE+ COMMA? sentence", lambda said: said),
)  # fmt: skip
