"""Networks told in phrases of groups: blocks, branches, the combination formed by ….

Each sentence is put together as a whole by the grammar of such phrases, and no word of it is passed
over; where a text is not told so, or could be put together in two ways, it is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.group_phrases import (
    OF_STOCK,
    PhraseSaid,
    flattened,
    inside_of,
    of_branches,
    relabelled,
    with_stock,
)
from grammar.lenient.group_rules import RULES
from grammar.lenient.phrase_words import feeds_in, phrase_terms
from grammar.lenient.small_charts import PhraseChart
from grammar.lenient.tokens import scan
from grammar.lenient.trees_in_signs import (
    NotToldSo,
    PartsJoined,
    PartTree,
    in_one_order,
    in_signs,
    joined,
    leaves_of,
    with_part,
)
from grammar.lenient.ways_told import ASKS, SENTENCE

_VALUED: Final = re.compile(
    r"(?<![A-Za-z0-9'])(?:([B-Z])(?:,? (?:is|has|of)| ?[=:(]|,)?|(A)(?: is| ?[=:]))(?: a)?"
    r"(?: (?:value|capacitance)(?: of)?)? ?[0-9.]+ ?-?(?:[unp]F|micro|nano|pico)"
)
_LET_BE: Final = re.compile(r"\b(?:[Ll]et|[Cc]all) ([A-Z]) (?:be|the)\b")
_RAILS: Final = re.compile(
    r"(?i)^\s*(?:the )?(?:two )?(?:rails|bars|wires|ends|terminals)(?: are| have| get| stand| lie)?"
    r"(?: kept)? (?P<volts>[0-9.]+ ?[km]?V\b)(?: apart| between them)?\s*[.;]?\s*$"
    r"|^\s*(?:the )?left (?:hand )?(?:side|end)(?: of the rails)?(?: has|:| is at| gets)? ?"
    r"(?P<volts2>[0-9.]+ ?[km]?V\b)(?: between (?:top and bottom|them|the rails))?\s*[.;]?\s*$"
)
# The words of a sentence that gives the supply alone.
_OF_A_SUPPLY: Final = frozenset(
    words(
        "VOLT STOP TO TERMINAL IS IF APPLY SOURCE A THE DET PD OF ON ACROSS WHOLE GROUP THEM BOTH"
        " BETWEEN AT WITH IN AND ALL THIS THEIR EQ WORD COLON BY JOIN POINT"
    )
)
_HELD: Final = frozenset(("VOLT", "CHG", "ENE"))
_LONGEST: Final = 60  # words of a sentence


class _State(NamedTuple):
    """What stands after some statements: the whole, blocks by their noun, and what is awaited."""

    root: PartTree | None = None
    blocks: tuple[tuple[str, PartTree], ...] = ()
    frame: PhraseSaid | None = None
    fills: tuple[PhraseSaid, ...] = ()
    stock: PhraseSaid | None = None
    values: tuple[tuple[str, str], ...] = ()
    made: int = 0  # so many groups by the last statement


def with_phrases_told(text: str, unit: str) -> str:
    """The text made plain with what its phrases build in signs; the text as it is where they build
    nothing, or more than one thing.
    """
    sentences = [each for each in SENTENCE.findall(text) if each.strip()]
    told = [each for each in sentences if _tells(each)]
    names = names_in(text)
    states = [_State()]
    try:
        for sentence in told:
            states = _after(states, sentence, unit, names)
        wholes = {in_one_order(tree): tree for tree in map(_whole, states) if tree is not None}
    except NotToldSo:
        return text
    if len(wholes) != 1:
        return text
    (whole,) = wholes.values()
    volts = [each for sentence in told for each in feeds_in(sentence)]
    if len(volts) > 1:
        return text
    supplies = [f"supply of {each}." for each in volts]
    rest = (_supply_between_rails(each) for each in sentences if each not in told)
    return "\n".join((in_signs(whole), *supplies, *rest))


def names_in(text: str) -> tuple[str, ...]:
    """The letters that a text gives a value, or lets be a group: names of these."""
    found = [each[1] or each[2] for each in _VALUED.finditer(text)]
    return tuple(dict.fromkeys([*found, *_LET_BE.findall(text)]))


def _supply_between_rails(sentence: str) -> str:
    """``the rails are 8 V apart``, ``to the ends is given 8 V``: the supply; all else as it is."""
    volts = _RAILS.search(sentence)
    if volts is not None:
        return f"supply of {volts['volts'] or volts['volts2']}."
    pieces = scan(sentence)
    fed = [each for each in pieces if each.tag == "VOLT"]
    gives = len(fed) == 1 and {each.tag for each in pieces} <= _OF_A_SUPPLY
    return f"supply of {fed[0].text}." if gives else sentence


def _tells(sentence: str) -> bool:
    """Whether a sentence tells of capacitors or of groups, and not of the supply alone."""
    tags = {each.tag for each in scan(sentence)}
    if ASKS.search(sentence) or tags & {"WISHV", "QUERY"}:
        return False
    joins = tags & {"SER", "PAR"} and tags & {"GROUP", "BRANCH"}
    return bool(joins) or not tags & _HELD or bool(tags & {"CAPV", "NAME"})


def _after(
    states: Sequence[_State], sentence: str, unit: str, names: Sequence[str]
) -> list[_State]:
    """What can stand after one sentence more. Errors: ``NotToldSo`` where nothing can."""
    terms = phrase_terms(sentence, unit, names)
    if not terms:
        return list(states)
    if len(terms) > _LONGEST:
        raise NotToldSo
    ways = PhraseChart(RULES, terms).whole("sentence")
    found: dict[_State, None] = {}
    for state in states:
        for way in ways:
            following: _State | None = state
            for said in way:
                following = None if following is None else _carried_out(following, said)
            if following is not None:
                found[following] = None
    if not found:
        raise NotToldSo
    return list(found)


def _carried_out(state: _State, said: PhraseSaid) -> _State | None:
    """A statement carried out; None where it does not fit."""
    if said.kind in ("make", "begin"):
        return _made(state, said.tree[0])
    if said.kind == "stock":
        return state._replace(stock=said) if state.stock is None else None
    if said.kind == "value":
        return state._replace(values=(*state.values, *((n, said.word) for n in said.tree)))
    if said.kind == "block":
        return state._replace(blocks=(*state.blocks, (said.word, said.tree[0])))
    if said.kind == "such":
        return _such(state, said)
    if said.kind == "add":
        return _added(state, said)
    return _framed(state, said)


def _made(state: _State, tree: PartTree) -> _State | None:
    """The whole told at once, with branches that may be told of later."""
    promised = [each for each in leaves_of(tree) if re.match("@[0-9]", each)]
    if (apart := _one_more_apart(state, tree)) is not None and not promised:
        return apart
    if state.root is not None or len(promised) > 1 or (promised and state.frame is not None):
        return None
    if promised:
        many, sign, word = promised[0][1:].split(" ")
        state = state._replace(frame=PhraseSaid("frame", promised[0], sign, int(many), word))
    return state._replace(root=tree, made=_groups_in(tree))


def _one_more_apart(state: _State, tree: PartTree) -> _State | None:
    """One more group beside those that stand apart, until it is said how they are joined."""
    before = state.fills
    if isinstance(state.root, PartsJoined) and not state.fills:
        before = (PhraseSaid("fill", (state.root,)),)
    if state.frame or not before or not isinstance(tree, PartsJoined):
        return None
    fills = (*before, PhraseSaid("fill", (tree,), many=len(before)))
    return state._replace(root=None, fills=fills)


def _groups_in(tree: PartTree) -> int:
    return 0 if isinstance(tree, str) else 1 + sum(map(_groups_in, tree.parts))


def _such(state: _State, said: PhraseSaid) -> _State | None:
    """``two such strings are in parallel``."""
    name = f"@{said.word}"
    tree = dict(state.blocks).get(name)
    if tree is None or state.root is not None or not said.sign:
        return None
    several = [relabelled(tree, f".{i}") for i in range(said.many)]
    others = tuple(each for each in state.blocks if each[0] != name)
    return state._replace(root=joined(said.sign, several), blocks=others)


def _added(state: _State, said: PhraseSaid) -> _State | None:
    """Something joined to what stands, where nothing else can be pointed at."""
    root = state.root if state.root is not None else _of_frame(state)
    if root is None or not _is_meant(root, said, state.made):
        return None
    made = 1 + sum(map(_groups_in, said.tree))
    whole = joined(said.sign, (root, *said.tree))
    return _State(whole, state.blocks, stock=state.stock, values=state.values, made=made)


def _is_meant(root: PartTree, said: PhraseSaid, made: int) -> bool:
    """Whether what a statement points at is the whole."""
    if said.word != "groups" or isinstance(root, str):
        return bool(said.word) or _is_pointed_at(root, said.many, made)
    groups = [each for each in root.parts if isinstance(each, PartsJoined)]
    return len(groups) == len(root.parts) == said.many


def _is_pointed_at(root: PartTree, many: int, made: int) -> bool:
    """Whether words for so many, 0 for any number, mean the whole and no part of it."""
    if isinstance(root, str):
        return many in (0, 1)
    if made > 1:
        inner = [each for each in root.parts if isinstance(each, PartsJoined)]
        return many == len(root.parts) and all(len(each.parts) != many for each in inner)
    return many in (0, len(root.parts), len(leaves_of(root)))


def _framed(state: _State, said: PhraseSaid) -> _State | None:
    """So many branches, what is in each, and how they are joined."""
    if said.kind == "frame":
        return state._replace(frame=said) if state.frame is None and state.root is None else None
    if said.kind == "rows":
        fills = tuple(
            said._replace(kind="fill", tree=(e,), many=i) for i, e in enumerate(said.tree)
        )
        return None if state.frame or state.fills else state._replace(frame=said, fills=fills)
    if said.kind == "joint":
        if state.frame is None and state.fills and said.many in (0, len(state.fills)):
            return state._replace(frame=said._replace(kind="frame", many=len(state.fills)))
        if state.frame is None or state.frame.sign or said.many not in (0, state.frame.many):
            return None
        return state._replace(frame=state.frame._replace(sign=said.sign))
    word = said.word or (state.frame.word if state.frame is not None else "")
    inside = inside_of(said.tree, word)
    if inside is None or (said.kind == "each" and state.fills):
        return None
    return state._replace(fills=(*state.fills, said._replace(tree=(inside,))))


def _of_frame(state: _State) -> PartTree | None:
    """The branches joined, where as many have been told as there are."""
    frame, fills = state.frame, state.fills
    if not fills:
        return None
    many = len(fills) if frame is None else frame.many
    if fills[0].kind == "each":
        inside = fills[0].tree[0]
        fills = tuple(
            fills[0]._replace(tree=(relabelled(inside, f".{i}"),), many=i) for i in range(many)
        )
    word, sign = (fills[0].word, "") if frame is None else (frame.word, frame.sign)
    return of_branches(many, sign, word, fills)


def _whole(state: _State) -> PartTree | None:
    """All that is told; None where something has no place in it, or no value."""
    root, branches = state.root, _of_frame(state)
    if root is None:
        root = branches
    elif state.frame is not None or state.fills:
        promised = state.frame.tree if state.frame is not None else ""
        if branches is None or promised not in leaves_of(root):
            return None
        root = with_part(root, promised, branches)
    if root is None:
        return None
    blocks = list(state.blocks)
    while blocks:
        told = [each for each in blocks if each[0] in leaves_of(root)]
        if not told or leaves_of(root).count(told[0][0]) > 1:
            return None
        root = with_part(root, *told[0])
        blocks.remove(told[0])
    leaves = leaves_of(root)
    if state.stock is not None:
        if [each.split("#")[0] for each in leaves].count(OF_STOCK) != state.stock.many:
            return None
        root = with_stock(root, state.stock.tree)
    return _valued(flattened(root), dict(state.values))


def _valued(tree: PartTree, values: dict[str, str]) -> PartTree | None:
    """The tree with the values that are told apart; None where one has none, or is not in it."""
    leaves = [each.split("#")[0] for each in leaves_of(tree) if not each.startswith("C#")]
    named = [each for each in leaves if "=" in each or not each[:1].isdigit()]
    if OF_STOCK in leaves or len({*named}) < len(named) or {*values} - {*leaves}:
        return None
    if any(each not in values and "=" not in each for each in named):
        return None
    return _written(tree, values)


def _written(tree: PartTree, values: dict[str, str]) -> PartTree:
    if isinstance(tree, str):
        leaf = tree.split("#")[0]
        return f"{leaf} = {values[leaf]}" if leaf in values else leaf
    return PartsJoined(tree.sign, tuple(_written(each, values) for each in tree.parts))
