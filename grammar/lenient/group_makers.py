"""What the phrases of groups build of their parts: trees, several of them, what is stated."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from grammar.lenient.group_phrases import (
    ANY_ORDER,
    OF_STOCK,
    ROWS,
    SIDE_BY_SIDE,
    SIGNS,
    SIZES,
    JoinTold,
    PhraseSaid,
    Several,
    of_branches,
    relabelled,
)
from grammar.lenient.phrase_words import Noun, Nth
from grammar.lenient.trees_in_signs import PartsJoined, PartTree, joined, leaves_of


def _trees_in(held: Sequence[Any]) -> Iterator[PartTree]:
    for each in held:
        if isinstance(each, Several):
            yield from each.trees
        elif isinstance(each, PartsJoined) or (isinstance(each, str) and each not in SIGNS):
            yield each


def _sign_in(held: Sequence[Any]) -> str:
    return next(
        each.sign if isinstance(each, JoinTold) else each
        for each in held
        if isinstance(each, JoinTold) or each in SIGNS
    )


def _count_in(held: Sequence[Any]) -> int:
    return next((each for each in held if type(each) is int), 0)


def _noun_in(held: Sequence[Any]) -> str:
    return next((each.word for each in held if isinstance(each, Noun)), "")


def first_of(*held: Any) -> PartTree:
    """What is joined, where it is one."""
    return next(_trees_in(held))


def valued(name: str, amount: str) -> PartTree:
    """``C1 = 4 uF``."""
    return f"{name} = {amount.split('#', maxsplit=1)[0]}"


def amount_and_name(*held: str) -> PartTree:
    """``4 uF, C1``."""
    return valued(held[1], held[0])


def copies(*held: Any) -> Several:
    """``two 4 uF capacitors``, ``two blocks, each of a 4 uF in parallel with an 8 uF``."""
    tree = first_of(*held)
    return Several(tuple(relabelled(tree, f".{i}") for i in range(_count_in(held))))


def pair_of(*held: Any) -> Several | None:
    """``a pair of 4 uF capacitors``."""
    many = SIZES.get(_noun_in(held), 0)
    return copies(many, *_trees_in(held)) if many else None


def pair_joined(*held: Any) -> PartTree | None:
    """``a second parallel pair of 75 pF each``."""
    several = pair_of(*held)
    return None if several is None else joined(_sign_in(held), several.trees)


def of_stock(*held: Any) -> Several:
    """So many of those that are told of before."""
    return Several((OF_STOCK,) * _count_in(held))


def as_many(*held: Any) -> Several | None:
    """``two capacitors, of 4 uF and 12 uF``."""
    trees = tuple(_trees_in(held))
    fits = _count_in(held) in (0, len(trees)) and len(trees) > 1
    return Several(trees) if fits else None


def several(*held: Any) -> Several:
    """What is told side by side."""
    return Several(tuple(_trees_in(held)))


def joint(*held: Any) -> JoinTold:
    """How those are joined of which it is said, and how many they are."""
    return JoinTold(_sign_in(held), _count_in(held))


def only_one(several: Several) -> PartTree | None:
    """One part; None for several."""
    return several.trees[0] if len(several.trees) == 1 else None


def joined_so(*held: Any) -> PartTree | None:
    """Several joined in one way, as many as that is said of."""
    trees = list(_trees_in(held))
    said = next((each.many for each in held if isinstance(each, JoinTold)), 0)
    size = SIZES.get(_noun_in(held), 0)
    if len(trees) < 2 or said not in (0, len(trees)) or size not in (0, len(trees)):
        return None
    return joined(_sign_in(held), trees)


def each_so(*held: Any) -> PartTree | None:
    """``Ca and Cb, both of 12 uF, in a row``."""
    *names, amount = (str(each) for each in _trees_in(held))
    if any("=" in name or "#" in name for name in names):
        return None
    return joined_so(held[-1], *(valued(name, amount) for name in names))


def in_a_row(*held: Any) -> PartTree | None:
    """``a chain of 2 uF and 4 uF``, ``a chain of three: 2 uF, 3 uF and 4 uF``."""
    trees = list(_trees_in(held))
    if len(trees) == 1 and isinstance(trees[0], PartsJoined) and trees[0].sign == "--":
        trees = list(trees[0].parts)
    fits = _noun_in(held) in ROWS and _count_in(held) in (0, len(trees))
    return joined_so("--", *trees) if fits else None


def rows_of(*held: Any) -> Several | None:
    """``two chains, each of a 3 uF and a 6 uF``."""
    trees = list(_trees_in(held))
    is_row = _noun_in(held) in (*ROWS, *SIDE_BY_SIDE) and len(trees) > 1
    return copies(joined("--", trees), _count_in(held)) if is_row else None


def of_so_many(*held: Any) -> Several | None:
    """``two chains of two``: of as many that are told of before."""
    many, size = (each for each in held if type(each) is int)
    return copies(joined("--", [OF_STOCK] * size), many) if _noun_in(held) in ROWS else None


def of_things(*held: Any) -> Several | None:
    """``two units``, where the text says before what each of them is."""
    return of_stock(*held) if _noun_in(held) in ("unit", "piece", "part") else None


def so_many_of_stock(*held: Any) -> Several | None:
    """``a pair``, where the text says before what each of them is."""
    many = SIZES.get(_noun_in(held), 0)
    return of_stock(many) if many else None


def beside_it(*held: Any) -> PartTree | None:
    """``a 6 uF with a 2 uF in parallel with it``."""
    return joined_so(*held) if _sign_in(held) == "||" else None


def twice_joined(*held: Any) -> PartTree | None:
    """``two of 3 uF are in parallel and, taken together, in series with a 6 uF``."""
    first, second = (each for each in held if each in SIGNS)
    *inner, right = (each for each in held if each not in SIGNS)
    whole = copies(*inner) if _count_in(held) else inner[0]
    inside = joined_so(first, whole)
    return None if inside is None else joined_so(second, inside, right)


def sides_joined(*held: Any) -> PartTree | None:
    """``two strings: 10 uF and 10 uF in series and 22 uF and 22 uF in series, in parallel``."""
    signs = {each for each in map(_sign_of, held) if each}
    signs = signs or ({"||"} if _noun_in(held) in SIDE_BY_SIDE else set())
    trees = list(_trees_in(held))
    fits = len(signs) == 1 and len(trees) == _count_in(held) > 1
    return joined(signs.pop(), trees) if fits else None


def from_stock(*_held: Any) -> PartTree:
    """One of those that are told of before."""
    return OF_STOCK


def _promised(*held: Any) -> PartTree:
    """``followed by a block``, which is told of later."""
    return f"@{_noun_in(held)}"


def promised_alone(*held: Any) -> Several:
    """The same, as what is listed."""
    return Several((_promised(*held),))


def made_of(*held: Any) -> PartTree | None:
    """``a nest which is a 2 uF beside a 4 uF``: what is told of it is a group already."""
    tree = first_of(*held)
    if not isinstance(tree, PartsJoined):
        return None
    fits = _noun_in(held) not in ROWS or tree.sign == "--"
    return tree if fits and SIZES.get(_noun_in(held), 0) in (0, len(tree.parts)) else None


def made_of_any_size(*held: Any) -> PartTree | None:
    """The same, but for a pair of 4 uF in series with a 6 uF, which may be three."""
    return None if _noun_in(held) in SIZES else made_of(*held)


def told_within(*held: Any) -> PartTree | None:
    """``the group formed by Q, R and S, in which …``: what is told has these, and no others."""
    *named, tree = _trees_in(held)
    return tree if sorted(leaves_of(tree)) == sorted(map(str, named)) else None


def in_series(*held: Any) -> Several | None:
    """``then 47 nF in series``."""
    return Several(tuple(_trees_in(held))) if _sign_in(held) == "--" else None


def side_by_side(*held: Any) -> PartTree | None:
    """``then 3 uF beside 5 uF``: on the way, where what comes after them is told apart."""
    return joined_so("||", *_trees_in(held)) if _sign_in(held) == "||" else None


def so_many_branches(*held: Any) -> PartTree | None:
    """``two branches in parallel, each of two capacitors in series``."""
    several = copies(*held)
    return joined_so(_sign_in(held), *several.trees)


def led(*held: Any) -> PhraseSaid | None:
    """``P, Q and R are connected as follows: …``."""
    *named, tree = _trees_in(held)
    names = [each.split(" = ")[0] for each in named if isinstance(each, str)]
    told = [each.split(" = ")[0] for each in leaves_of(tree)]
    return PhraseSaid("make", (tree,)) if sorted(names) == sorted(told) else None


def stock_told(*held: Any) -> PhraseSaid:
    """So many of one value, to be joined later."""
    return PhraseSaid("stock", first_of(*held), many=_count_in(held))


def rows(*held: Any) -> PhraseSaid | None:
    """``two chains of two``, before it is said how the chains are joined."""
    trees = tuple(_trees_in(held))
    alike = all(OF_STOCK in str(leaf) for tree in trees for leaf in leaves_of(tree))
    return PhraseSaid("rows", trees, many=len(trees)) if alike else None


def first_said(*held: Any) -> PhraseSaid:
    """The first statement."""
    return next(each for each in held if isinstance(each, PhraseSaid))


def statements(*held: Any) -> tuple[PhraseSaid, ...]:
    """All statements in order."""
    found: list[PhraseSaid] = []
    for each in held:
        found += (
            [each]
            if isinstance(each, PhraseSaid)
            else [e for e in each if isinstance(e, PhraseSaid)]
        )
    return tuple(found)


def saying(kind: str) -> Any:
    """What makes a statement of this kind."""

    def build(*held: Any) -> PhraseSaid | None:
        trees = tuple(_trees_in(held))
        sign = _sign_or(held)
        if kind == "make" and isinstance(trees[0], str):
            return None
        return PhraseSaid(kind, trees, sign, _count_in(held), _noun_in(held))

    return build


def block_told(*held: Any) -> PhraseSaid:
    """``the block is …``, ``two in series form one string``."""
    return PhraseSaid("block", tuple(_trees_in(held)), word=f"@{_noun_in(held)}")


def named_block(*held: Any) -> PhraseSaid | None:
    """``let G be 4 uF and 4 uF in series``."""
    name, tree = held
    return PhraseSaid("block", (tree,), word=name) if isinstance(tree, PartsJoined) else None


def _sign_of(held: Any) -> str:
    return held.sign if isinstance(held, JoinTold) else held if held in SIGNS else ""


def fill_told(*held: Any) -> PhraseSaid:
    """``the first branch has …``."""
    nth = next(each for each in held if isinstance(each, Nth))
    return PhraseSaid("fill", tuple(_trees_in(held)), nth.drawn, nth.order, _noun_in(held))


def numbered_fill(*held: Any) -> PhraseSaid:
    """``branch 2 has …``."""
    return PhraseSaid(
        "fill", tuple(_trees_in(held)), many=max(_count_in(held), 1) - 1, word=_noun_in(held)
    )


def some_fill(*held: Any) -> PhraseSaid:
    """``one of them is …, the other …``."""
    return PhraseSaid("fill", tuple(_trees_in(held)), many=ANY_ORDER, word=_noun_in(held))


def branched(*held: Any) -> PartTree | None:
    """``two branches in parallel, one of them …, the other …``."""
    fills = next(each for each in held if type(each) is tuple)
    return of_branches(_count_in(held), _sign_or(held), _noun_in(held), fills)


def _sign_or(held: Sequence[Any]) -> str:
    return next((e for e in map(_sign_of, held) if e), "")


def branches_promised(*held: Any) -> Several:
    """``goes on to three parallel paths``, each told of later."""
    return Several((f"@{_count_in(held)} {_sign_or(held)} {_noun_in(held)}",))


def joined_so_many(*held: Any) -> PartTree | None:
    """``two capacitors in parallel, 8 uF and 16 uF``."""
    trees = list(_trees_in(held))
    return joined(_sign_in(held), trees) if len(trees) == _count_in(held) > 1 else None


def after_all(*held: Any) -> PhraseSaid | None:
    """What comes after all that stands."""
    trees = tuple(_trees_in(held))
    return PhraseSaid("add", trees, "--", word="all") if len(trees) == 1 else None


def value_told(*held: Any) -> PhraseSaid:
    """``A and B are 4 uF``."""
    names = tuple(each for each in _trees_in(held) if "#" not in str(each))
    amount = next(each for each in _trees_in(held) if "#" in str(each))
    return PhraseSaid("value", names, word=str(amount).split("#")[0])


def pointed(*held: Any) -> PhraseSaid:
    """``the two``, ``that pair``."""
    return PhraseSaid("ref", many=_count_in(held) or SIZES.get(_noun_in(held), 0))


def both(*held: Any) -> PhraseSaid:
    """``both of them``, ``both blocks``."""
    return PhraseSaid("ref", many=2, word="groups" if _noun_in(held) else "")


def to_all(*_held: Any) -> PhraseSaid:
    """``the whole``."""
    return PhraseSaid("ref", word="all")


def beside(*held: Any) -> PhraseSaid | None:
    """Something joined to what stands already."""
    ref = next(each for each in held if isinstance(each, PhraseSaid))
    trees = tuple(_trees_in(held))
    sign = _sign_or(held) or "||"
    return PhraseSaid("add", trees, sign, ref.many, ref.word) if len(trees) == 1 else None
