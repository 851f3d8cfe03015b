"""The grammar of phrases that join: so many of a kind, a group made of them, which is in …."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from grammar.lenient.group_phrases import (
    ANY_ORDER,
    OF_STOCK,
    ROWS,
    SIGNS,
    SIZES,
    JoinTold,
    PhraseSaid,
    Several,
    of_branches,
    relabelled,
)
from grammar.lenient.phrase_words import Noun, Nth
from grammar.lenient.small_charts import rule
from grammar.lenient.trees_in_signs import PartsJoined, PartTree, joined, leaves_of


def _trees(held: Sequence[Any]) -> Iterator[PartTree]:
    for each in held:
        if isinstance(each, Several):
            yield from each.trees
        elif isinstance(each, PartsJoined) or (isinstance(each, str) and each not in SIGNS):
            yield each


def _sign(held: Sequence[Any]) -> str:
    return next(
        each.sign if isinstance(each, JoinTold) else each
        for each in held
        if isinstance(each, JoinTold) or each in SIGNS
    )


def _count(held: Sequence[Any]) -> int:
    return next((each for each in held if type(each) is int), 0)


def _noun(held: Sequence[Any]) -> str:
    return next((each.word for each in held if isinstance(each, Noun)), "")


def _first(*held: Any) -> PartTree:
    return next(_trees(held))


def _valued(name: str, amount: str) -> PartTree:
    return f"{name} = {amount.split('#', maxsplit=1)[0]}"


def _amount_and_name(*held: str) -> PartTree:
    return _valued(held[1], held[0])


def _copies(*held: Any) -> Several:
    """``two 4 uF capacitors``, ``two blocks, each of a 4 uF in parallel with an 8 uF``."""
    tree = _first(*held)
    return Several(tuple(relabelled(tree, f".{i}") for i in range(_count(held))))


def _pair_of(*held: Any) -> Several | None:
    """``a pair of 4 uF capacitors``."""
    many = SIZES.get(_noun(held), 0)
    return _copies(many, *_trees(held)) if many else None


def _pair_joined(*held: Any) -> PartTree | None:
    """``a second parallel pair of 75 pF each``."""
    several = _pair_of(*held)
    return None if several is None else joined(_sign(held), several.trees)


def _of_stock(*held: Any) -> Several:
    return Several((OF_STOCK,) * _count(held))


def _as_many(*held: Any) -> Several | None:
    """``two capacitors, of 4 uF and 12 uF``."""
    trees = tuple(_trees(held))
    fits = _count(held) in (0, len(trees)) and len(trees) > 1
    return Several(trees) if fits else None


def _several(*held: Any) -> Several:
    return Several(tuple(_trees(held)))


def _joint(*held: Any) -> JoinTold:
    return JoinTold(_sign(held), _count(held))


def _one(several: Several) -> PartTree | None:
    return several.trees[0] if len(several.trees) == 1 else None


def _joined(*held: Any) -> PartTree | None:
    """Several joined in one way, as many as that is said of."""
    trees = list(_trees(held))
    said = next((each.many for each in held if isinstance(each, JoinTold)), 0)
    size = SIZES.get(_noun(held), 0)
    if len(trees) < 2 or said not in (0, len(trees)) or size not in (0, len(trees)):
        return None
    return joined(_sign(held), trees)


def _each_so(*held: Any) -> PartTree | None:
    """``Ca and Cb, both of 12 uF, in a row``."""
    *names, amount = (str(each) for each in _trees(held))
    if any("=" in name or "#" in name for name in names):
        return None
    return _joined(held[-1], *(_valued(name, amount) for name in names))


def _in_a_row(*held: Any) -> PartTree | None:
    """``a chain of 2 uF and 4 uF``, ``a chain of three: 2 uF, 3 uF and 4 uF``."""
    trees = list(_trees(held))
    if len(trees) == 1 and isinstance(trees[0], PartsJoined) and trees[0].sign == "--":
        trees = list(trees[0].parts)
    fits = _noun(held) in ROWS and _count(held) in (0, len(trees))
    return _joined("--", *trees) if fits else None


def _of_so_many(*held: Any) -> Several | None:
    """``two chains of two``: of as many that are told of before."""
    many, size = (each for each in held if type(each) is int)
    return _copies(joined("--", [OF_STOCK] * size), many) if _noun(held) in ROWS else None


def _of_things(*held: Any) -> Several | None:
    """``two units``, where the text says before what each of them is."""
    return _of_stock(*held) if _noun(held) in ("unit", "piece", "part") else None


def _from_stock(*_held: Any) -> PartTree:
    return OF_STOCK


def _promised(*held: Any) -> PartTree:
    """``followed by a block``, which is told of later."""
    return f"@{_noun(held)}"


def _made_of(*held: Any) -> PartTree | None:
    """``a nest which is a 2 uF beside a 4 uF``: what is told of it is a group already."""
    tree = _first(*held)
    if not isinstance(tree, PartsJoined):
        return None
    fits = _noun(held) not in ROWS or tree.sign == "--"
    return tree if fits and SIZES.get(_noun(held), 0) in (0, len(tree.parts)) else None


def _made_of_any_size(*held: Any) -> PartTree | None:
    """The same, but for a pair of 4 uF in series with a 6 uF, which may be three."""
    return None if _noun(held) in SIZES else _made_of(*held)


def _told_within(*held: Any) -> PartTree | None:
    """``the group formed by Q, R and S, in which …``: what is told has these, and no others."""
    *named, tree = _trees(held)
    return tree if sorted(leaves_of(tree)) == sorted(map(str, named)) else None


def _in_series(*held: Any) -> Several | None:
    """``then 47 nF in series``."""
    return Several(tuple(_trees(held))) if _sign(held) == "--" else None


def _so_many_branches(*held: Any) -> PartTree | None:
    """``two branches in parallel, each of two capacitors in series``."""
    several = _copies(*held)
    return _joined(_sign(held), *several.trees)


def _led(*held: Any) -> PhraseSaid | None:
    """``P, Q and R are connected as follows: …``."""
    *named, tree = _trees(held)
    names = [each.split(" = ")[0] for each in named if isinstance(each, str)]
    told = [each.split(" = ")[0] for each in leaves_of(tree)]
    return PhraseSaid("make", (tree,)) if sorted(names) == sorted(told) else None


def _stock(*held: Any) -> PhraseSaid:
    return PhraseSaid("stock", _first(*held), many=_count(held))


def _rows(*held: Any) -> PhraseSaid | None:
    """``two chains of two``, before it is said how the chains are joined."""
    trees = tuple(_trees(held))
    alike = all(OF_STOCK in str(leaf) for tree in trees for leaf in leaves_of(tree))
    return PhraseSaid("rows", trees, many=len(trees)) if alike else None


def _first_said(*held: Any) -> PhraseSaid:
    return next(each for each in held if isinstance(each, PhraseSaid))


def _statements(*held: Any) -> tuple[PhraseSaid, ...]:
    found: list[PhraseSaid] = []
    for each in held:
        found += (
            [each]
            if isinstance(each, PhraseSaid)
            else [e for e in each if isinstance(e, PhraseSaid)]
        )
    return tuple(found)


def _said(kind: str) -> Any:
    def build(*held: Any) -> PhraseSaid | None:
        trees = tuple(_trees(held))
        sign = _sign_or(held)
        if kind == "make" and isinstance(trees[0], str):
            return None
        return PhraseSaid(kind, trees, sign, _count(held), _noun(held))

    return build


def _block(*held: Any) -> PhraseSaid:
    """``the block is …``, ``two in series form one string``."""
    return PhraseSaid("block", tuple(_trees(held)), word=f"@{_noun(held)}")


def _named_block(*held: Any) -> PhraseSaid | None:
    """``let G be 4 uF and 4 uF in series``."""
    name, tree = held
    return PhraseSaid("block", (tree,), word=name) if isinstance(tree, PartsJoined) else None


def _sign_of(held: Any) -> str:
    return held.sign if isinstance(held, JoinTold) else held if held in SIGNS else ""


def _fill(*held: Any) -> PhraseSaid:
    nth = next(each for each in held if isinstance(each, Nth))
    return PhraseSaid("fill", tuple(_trees(held)), nth.drawn, nth.order, _noun(held))


def _numbered_fill(*held: Any) -> PhraseSaid:
    return PhraseSaid("fill", tuple(_trees(held)), many=max(_count(held), 1) - 1, word=_noun(held))


def _some_fill(*held: Any) -> PhraseSaid:
    """``one of them is …, the other …``."""
    return PhraseSaid("fill", tuple(_trees(held)), many=ANY_ORDER, word=_noun(held))


def _branched(*held: Any) -> PartTree | None:
    """``two branches in parallel, one of them …, the other …``."""
    fills = held[-1]
    return of_branches(_count(held), _sign_or(held), _noun(held), fills)


def _sign_or(held: Sequence[Any]) -> str:
    return next((e for e in map(_sign_of, held) if e), "")


def _branches_promised(*held: Any) -> Several:
    """``goes on to three parallel paths``, each told of later."""
    return Several((f"@{_count(held)} {_sign_or(held)} {_noun(held)}",))


def _joined_so_many(*held: Any) -> PartTree | None:
    """``two capacitors in parallel, 8 uF and 16 uF``."""
    trees = list(_trees(held))
    return joined(_sign(held), trees) if len(trees) == _count(held) > 1 else None


def _after_all(*held: Any) -> PhraseSaid | None:
    trees = tuple(_trees(held))
    return PhraseSaid("add", trees, "--", word="all") if len(trees) == 1 else None


def _value(*held: Any) -> PhraseSaid:
    names = tuple(each for each in _trees(held) if "#" not in str(each))
    amount = next(each for each in _trees(held) if "#" in str(each))
    return PhraseSaid("value", names, word=str(amount).split("#")[0])


def _pointed(*held: Any) -> PhraseSaid:
    return PhraseSaid("ref", many=_count(held) or SIZES.get(_noun(held), 0))


def _both(*_held: Any) -> PhraseSaid:
    return PhraseSaid("ref", many=2)


def _to_all(*_held: Any) -> PhraseSaid:
    return PhraseSaid("ref", word="all")


def _beside(*held: Any) -> PhraseSaid | None:
    """Something joined to what stands already."""
    ref = next(each for each in held if isinstance(each, PhraseSaid))
    trees = tuple(_trees(held))
    sign = _sign_or(held) or "||"
    return PhraseSaid("add", trees, sign, ref.many, ref.word) if len(trees) == 1 else None


_DET: Final = "A|THE|OTHER|SOLE|EQUAL|ONE*"
_CAP: Final = "CAP|ONE?"
_LINK: Final = "OF|HOLDS|IS|WITH|COLON|WHICH+"
_VERB: Final = "IS|JOINS|ALL|BOTH|SOLE|THEN|TOGETHER*"
_HERE: Final = "OF|HOLDS|IS|WITH|COLON|COMMA|JOINS*"
_WORTH: Final = "OF|WITH|COLON|IS+ CAPN? AMOUNT"
RULES: Final = (
    rule(f"leaf: OF? {_DET} AMOUNT {_CAP} SOLE?", _first),
    rule(f"leaf: A|THE ORDER AMOUNT {_CAP}", _first),
    rule(f"leaf: A|THE|OTHER|SOLE* ORDER? CAP COMMA? {_WORTH} COMMA?", _first),
    rule("leaf: CAP AMOUNT", _first),
    rule(f"leaf: A ORDER {_CAP} COMMA? OF AMOUNT COMMA?", _first),
    rule("leaf: A|THE|OTHER* CAP? NAME", _first),
    rule("leaf: CAP? NAME OPEN|OF|IS|COLON|COMMA AMOUNT CLOSE? CAP? COMMA?", _valued),
    rule("leaf: A? AMOUNT CAP? OPEN? NAME CLOSE?", _amount_and_name),
    rule("leaf: THE ORDER|LAST|OTHER CAP|ONE?", _from_stock),
    rule("leaf: OTHER CAP|ONE", _from_stock),
    rule(f"counted: A|THE|ALL* COUNT EQUAL|OTHER* AMOUNT {_CAP} EACH?", _copies),
    rule(
        "counted: COUNT EQUAL|SOLE* CAP COMMA? EACH|ALL|BOTH+ OF|IS|WITH+ CAPN? AMOUNT EACH?"
        " COMMA?", _copies),
    rule("counted: COUNT EQUAL|SOLE* CAP OF|IS|WITH+ CAPN? AMOUNT EACH?", _copies),
    rule("counted: THE|OTHER* COUNT EQUAL|SUCH|OTHER|SOLE* CAP", _of_stock),
    rule("counted: THE|OTHER* COUNT OF|THEM|THIS|THE+ CAP?", _of_stock),
    rule("counted: THE OTHER COUNT", _of_stock),
    rule("counted: COUNT NOUN", _of_things),
    rule(
        "counted: COUNT EQUAL* CAP|OTHER COMMA? OF|COLON|WITH|OPEN* CAPN? list COMMA? CLOSE?",
        _as_many),
    rule("counted: CAP OF|COLON|WITH* CAPN? list", _as_many),
    rule("counted: A|THE? NOUN OF EQUAL? AMOUNT CAP?", _pair_of),
    rule(f"blocks: COUNT EQUAL* NOUN COMMA? EACH NOUN|ONE* {_LINK} expr COMMA?", _copies),
    rule("blocks: COUNT NOUN OF COUNT CAP?", _of_so_many),
    rule("item: leaf", _several),
    rule("item: group", _several),
    rule("item: counted", _several),
    rule("item: blocks", _several),
    rule("item: A|OTHER? NOUN", lambda *held: Several((_promised(*held),))),
    rule("list: item", _several),
    rule("list: item COMMA? AND list", _several),
    rule("list: item COMMA list", _several),
    rule(
        "tail: COMMA? ALL|THIS|BOTH|WHICH|THEM|THE|EACH|OTHER|LAST|COUNT|IS|JOINS|CAP|THEN* IN?"
        " WAY JOINS? TOGETHER?", _joint),
    rule("tail: HOLDS A|THE WAY NOUN", _joint),
    rule(f"group: {_DET} ORDER? WAY NOUN OF EQUAL? AMOUNT CAP", _pair_joined),
    rule(f"group: {_DET} ORDER? WAY NOUN OF EQUAL? AMOUNT CAP? EACH", _pair_joined),
    rule(f"group: {_DET} WAY NOUN CAP? COMMA? list", _joined),
    rule(f"group: {_DET} WAY NOUN CAP? {_LINK} list", _joined),
    rule(f"group: {_DET} NOUN {_LINK} list", _in_a_row),
    rule(f"group: {_DET} NOUN OF COUNT NOUN|CAP? COLON|COMMA list", _in_a_row),
    rule(f"group: {_DET} NOUN OF COUNT NOUN|CAP? COLON|COMMA expr", _in_a_row),
    rule(f"group: {_DET} NOUN {_LINK} expr", _made_of_any_size),
    rule(f"group: {_DET} NOUN COMMA expr COMMA?", _made_of),
    rule("group: COUNT CAP? IN? WAY OF|COLON|COMMA|OPEN* list CLOSE?", _joined_so_many),
    rule(f"group: {_DET} NOUN {_LINK} list COMMA? IN WHICH expr", _told_within),
    rule("group: counted tail", _joined),
    rule("group: OPEN expr CLOSE", _first),
    rule("expr: signs", _first),
    rule("expr: signs IS|JOINS* BEFORE side", lambda *held: _joined("--", *held)),
    rule("expr: side IS|JOINS* BEFORE side", lambda *held: _joined("--", *held)),
    rule("expr: signs more", lambda *held: _joined("--", *held)),
    rule("signs: item PARSIGN bound", lambda *held: _joined("||", *held)),
    rule("bound: item", _several),
    rule("bound: item PARSIGN bound", _several),
    rule("side: item", _one),
    rule("side: list tail", _joined),
    rule("expr: side", _first),
    rule(f"expr: side COMMA? {_VERB} IN? WAY WITH right", _joined),
    rule(f"expr: side COMMA? {_VERB} ACROSS|BRIDGED right", lambda *held: _joined("||", *held)),
    rule("expr: side WITH side IS* IN? WAY JOINS?", _joined),
    rule("expr: ORDER? side ORDER? more", lambda *held: _joined("--", *held)),
    rule("expr: list COMMA? ALL|EACH|BOTH EQUAL? OF|WITH|IS* AMOUNT COMMA? tail", _each_so),
    rule(f"expr: COUNT EQUAL* NOUN tail COMMA? EACH NOUN|ONE* {_LINK} expr", _so_many_branches),
    rule(f"expr: COUNT WAY NOUN COMMA? EACH NOUN|ONE* {_LINK} expr", _so_many_branches),
    rule(f"expr: IN? WAY WITH side COMMA? {_VERB} side", _joined),
    rule("expr: leaf WAY right", _joined),
    rule("expr: side COMMA|AND* AFTERALL side", lambda *held: _joined("--", *held)),
    rule("right: side", _first),
    rule("right: list", _as_many),
    rule(f"right: item COMMA? WHICH {_VERB} IN? WAY WITH right", _joined),
    rule("more: COMMA|AND|IS* THEN|LAST|ORDER+ COMMA? side", _several),
    rule("more: COMMA|AND* THEN leaf IN? WAY", _in_series),
    rule("more: COMMA|AND|IS* THEN|LAST|ORDER+ COMMA? side more", _several),
    rule(f"fill: IN? THE? ORDER NOUN|ONE* {_HERE} inside SOLE?", _fill),
    rule(f"fill: IN? NOUN COUNT|ONE {_HERE} inside SOLE?", _numbered_fill),
    rule(f"fill: IN? THE? ONE|OTHER|LAST NOUN|OF|THEM|THE|ONE* {_HERE} inside SOLE?", _some_fill),
    rule("inside: list", _several),
    rule("inside: expr", _several),
    rule("fills: fill", _statements),
    rule("fills: fill COMMA|AND* fills", _statements),
    rule("expr: COUNT EQUAL* NOUN tail? COMMA|COLON+ fills", _branched),
    rule("expr: COUNT WAY NOUN COMMA|COLON+ fills", _branched),
    rule("item: COUNT EQUAL|OTHER|SOLE* NOUN tail?", _branches_promised),
    rule("item: COUNT WAY NOUN", _branches_promised),
    rule("ref: IN? THE|THIS? WHOLE NOUN?", _to_all),
    rule("ref: THE EQUAL|SOLE* SOURCE", _to_all),
    rule("ref: ALL OF? THEM|THIS", _to_all),
    rule("ref: THE|THIS? BOTH NOUN|CAP|THEM|OF|THE|THIS*", _both),
    rule("ref: THE|THIS|ALL COUNT NOUN|CAP*", _pointed),
    rule("ref: THE|THIS NOUN", _pointed),
    rule("ref: THIS|THEM", _pointed),
    rule("stock: COUNT EQUAL* CAP? COMMA? EACH|ALL|BOTH* OF|IS|WITH* CAPN? AMOUNT COMMA?", _stock),
    rule("stock: COUNT EQUAL* AMOUNT CAP|NOUN COMMA?", _stock),
    rule("stock: EACH OF THE COUNT CAP IN? A|THE? NOUN? OF|IS|WITH* CAPN? AMOUNT", _stock),
    rule("said: expr", _said("make")),
    rule("said: TAKE leaf", _said("begin")),
    rule("said: CAP? list COMMA? IS|JOINS+ COLON? expr", _led),
    rule("said: A|THE? CAP? NOUN? HOLDS|OF|IS* stock", _first_said),
    rule("said: expr HOLDS A|ONE NOUN", _block),
    rule("said: IN? THE|THIS? NOUN COMMA? HOLDS|OF|IS* expr", _block),
    rule("said: NAME IS expr", _named_block),
    rule("said: COUNT EQUAL|OTHER|SOLE* NOUN tail?", _said("frame")),
    rule("said: COUNT EQUAL|OTHER|SOLE* WAY NOUN", _said("frame")),
    rule("said: blocks", _rows),
    rule("said: COUNT SUCH|EQUAL NOUN tail", _said("such")),
    rule("said: THE|BOTH|ALL|THIS|COUNT* NOUN tail", _said("joint")),
    rule(f"said: EACH|BOTH NOUN|ONE* {_LINK} list", _said("each")),
    rule(f"said: EACH|BOTH NOUN|ONE* {_LINK} expr", _said("each")),
    rule("said: fill", _first_said),
    rule("said: CAP? list IS|OF|COLON|WITH+ CAPN? AMOUNT EACH?", _value),
    rule("said: CAP? NAME OPEN AMOUNT CLOSE", _value),
    rule(f"said: JOINS? side COMMA? {_VERB} IN? WAY WITH ref", _beside),
    rule(f"said: JOINS? side COMMA? {_VERB} ACROSS|OVER ref", _beside),
    rule(f"said: JOINS? ref COMMA? {_VERB} IN? WAY WITH side", _beside),
    rule(f"said: ACROSS|OVER ref COMMA? {_VERB} side", _beside),
    rule(f"said: IN? WAY WITH ref COMMA? {_VERB} side", _beside),
    rule(f"said: AFTER ref COMMA? {_VERB} side", lambda *held: _beside("--", *held)),
    rule(f"said: AFTERALL COMMA? {_VERB} side", _after_all),
    rule(f"said: side COMMA? {_VERB} AFTERALL", _after_all),
    rule("said: ref HOLDS|OF side IN? WAY WITH THEM", _beside),
    rule("said: side IS* WITH ref IN? WAY", _beside),
    rule("sentence: said", _statements),
    rule("sentence: said COMMA|AND|THEN|COLON* sentence", _statements),
    rule("sentence: OF|IS|TAKE|COLON|JOINS+ sentence", _statements),
    rule("sentence: WITH? THE|A? SOURCE IS|JOINS|WITH* sentence", _statements),
    rule("sentence: stock IS|JOINS|IN|WITH* sentence", _statements),
)  # fmt: skip
