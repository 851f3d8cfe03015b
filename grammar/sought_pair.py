"""Two capacitors that are not known, from two things known of both: a text to a record."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from grammar.parsing import Unparsed, parse
from grammar.preparing import Source, prepare
from grammar.quantity import number
from grammar.records import Amount, PairTotal, Refusal, SoughtPair
from grammar.walking import Node, children, in_order, name_of, start_of
from grammar.worth import worth

EXAMPLE: Final = "C1 = ?; C2 = ?; C1 -- C2 = 2 uF; C1 || C2 = 9 uF"
_SOUGHT: Final = re.compile(r"(?<![A-Za-z0-9_])([A-Za-z][A-Za-z0-9_]*'*)\s*=\s*\?")
_WISH: Final = re.compile(r"[;,]\s*(?:asked\s*:|find\s)(?P<whom>[^;]*);?\s*$")
_KINDS: Final = (
    "series",
    "parallel",
    "sum",
    "difference",
    "ratio",
    "multiple",
    "more",
    "less",
    "whole",
)


def speaks_of_totals(text: str) -> bool:
    """Whether two values are missing and a clause tells something of both, remarks taken out."""
    names = list(dict.fromkeys(_SOUGHT.findall(text)))
    if len(names) != 2:
        return False
    one, other = (rf"\b{re.escape(name)}(?![\w'])" for name in names)
    return any(
        "?" not in clause
        and re.search(one, clause)
        and re.search(other, clause)
        and re.search(r"=", clause)
        for clause in text.split(";")
    )


def read_totals(text: str) -> SoughtPair:
    """The two that are sought and what is known of them.

    Errors: ``Refusal`` for a text that cannot be read, and for one thing or more than two known.
    """
    source = _without_its_wish(prepare(text))
    try:
        tree = parse("totals", source.plain, "totals")
    except Unparsed as stuck:
        found = f'"{stuck.text}" does not fit here.' if stuck.text else "The text ends too soon."
        raise source.refusal(
            stuck.offset, found, f"Two missing values are written like {EXAMPLE}."
        ) from None
    names = tuple(
        dict.fromkeys(str(node.children[0]) for node in in_order(tree) if name_of(node) == "sought")
    )
    joined = next(iter(children(tree, "chained", "beside")), None)
    facts = [_fact(source, node, names, joined) for node in children(tree, *_KINDS)]
    if len(facts) != 2 or facts[0].kind == facts[1].kind:
        raise Refusal(
            "Two missing values take two different things that are known of both.",
            f"Write it like {EXAMPLE}.",
        )
    return SoughtPair((names[0], names[1]), (facts[0], facts[1]))


def _without_its_wish(source: Source) -> Source:
    """The text without a clause that asks for what is missing, which is asked for anyway."""
    wish = _WISH.search(source.plain)
    if wish is None or not {*wish["whom"].replace(",", " ").split()} <= {
        *_SOUGHT.findall(source.plain)
    }:
        return source
    return source._replace(plain=source.plain[: wish.start()] + " " * len(wish[0]))


def _fact(source: Source, node: Node, names: tuple[str, ...], joined: Node | None) -> PairTotal:
    kind, said = name_of(node), [str(each) for each in node.children if str(each) in names]
    if kind == "whole" and said and (multiple := _multiple(source, node, names)):
        return multiple
    if kind == "whole":
        if said or joined is None:
            raise source.refusal(
                start_of(node),
                "What this is the value of is not clear.",
                f"Write it like {EXAMPLE}.",
            )
        kind = "series" if name_of(joined) == "chained" else "parallel"
    elif set(said) != set(names):
        raise source.refusal(
            start_of(node),
            f"Here {names[0]} and {names[1]} have to stand, each once.",
            f"Write it like {EXAMPLE}.",
        )
    return _of_both(source, node, kind, said[:1] != list(names[:1]))


def _of_both(source: Source, node: Node, kind: str, turned: bool) -> PairTotal:
    if kind in ("ratio", "multiple"):
        (token,) = (each for each in _numbers(node))
        return PairTotal("ratio", Amount(_positive(source, token)), turned)
    amount = _amount(source, children(node, "value")[0])
    if kind in ("difference", "more", "less"):
        return PairTotal("difference", amount, turned != (kind == "less"))
    return PairTotal("series" if kind == "series" else "parallel", amount)


def _multiple(source: Source, node: Node, names: tuple[str, ...]) -> PairTotal | None:
    """C1 = 2 C2, where the other name stands in the place of a unit."""
    value = children(node, "value")[0]
    unit = str(children(value, "unit")[0].children[-1])
    if unit not in names or unit == str(node.children[0]):
        return None
    turned = str(node.children[0]) != names[0]
    return PairTotal("ratio", Amount(_positive(source, value.children[0])), turned)


def _numbers(node: Node) -> Iterator[Node]:
    return (each for each in node.children if getattr(each, "type", "") == "NUMBER")


def _positive(source: Source, token: Node) -> Fraction:
    value = number(token).value
    if value > 0:
        return value
    raise source.refusal(
        start_of(token), "A ratio is a number above zero.", f"Write it like {EXAMPLE}."
    )


def _amount(source: Source, node: Node) -> Amount:
    try:
        found = worth(source.text_of(node), "capacitance")
    except Refusal as refusal:
        raise source.refusal(start_of(node), refusal.found, refusal.cure) from None
    if isinstance(found, Amount):
        return found
    raise source.refusal(
        start_of(node), "Two missing values need numbers with units.", f"Write it like {EXAMPLE}."
    )
