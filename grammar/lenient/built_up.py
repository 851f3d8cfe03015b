"""Networks built up clause by clause: take these in series, across them a 3, the block is ….

Each clause joins what it names to what stands already, to a part of it that it points at, or says
what is in a block. What comes out is the whole in signs; all else of the text is left as it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from grammar.lenient.clauses_told import BLOCK, SIZED, out_of_stock, parted
from grammar.lenient.trees_in_signs import (
    NotToldSo,
    PartsJoined,
    PartTree,
    in_signs,
    joined,
    leaves_of,
    with_part,
)
from grammar.lenient.way_words import AMOUNT, MANY, NAME, value_of
from grammar.lenient.ways_told import left_over, supply_of

_ALL: Final = (
    r"(?:(?:the )?(?:whole|entire|full|complete)(?: (?:lot|thing|chain|row|string|network|circuit"
    r"|group|arrangement|of (?:it|this|that)))?|everything(?: so far)?|all (?:of )?(?:it|this|that)"
    r"|(?<=across )the (?:source|supply|battery)|the (?:lot|outer ends|two ends"
    r"|ends(?: of the (?:chain|row|lot))?))"
)
_THAT: Final = (
    r"(?:(?:the |these |those )?two (?:groups|pairs|blocks|sets)|both (?:groups|pairs|blocks)"
    r"|(?:this|that) (?:pair|group|combination|chain|bank|block|result|lot)"
    r"|these(?: two| three)?|those(?: two)?|this|that|both(?: of (?:them|these))?|them|it"
    r"|the (?:pair"
    r"|two|group|result|combination|chain|row|trio|bank))"
)
_VERB: Final = (
    r"(?:is|are|was|were|being|connected|joined|placed|put|sits?|stands?|hangs?|comes?|goes|go|lies"
    r"|wired|there|one|more|another|straight|directly|run|runs|has|have|also|then|now|alone)"
)
_NEW: Final = r"(?P<lead>(?:(?:an?|one|the|another|single|only|just|of|each|equal|more|,) )*)"
_ROWS: Final = (
    ("VOLT", r"(?:(?:across|on|at|to|with|from) )?(?:an? |the )?[0-9.]+ ?(?:kV|mV|V|volts?)\b"
        r"(?: (?:supply|battery|source|cell))?"),
    ("WRONG", r"\b(?:not|except|resist\w*|ladder|shorted|switch(?:ed)?|charged|uncharged|plates?"
        r"|slab|dielectric|wire|empty|splits?|forks?|branch(?:es)?|paths?|arms?|from [A-Z]|between"
        r"|disconnect\w*|remov\w*|isolat\w*|oil|glass|gap|rated|ends [A-Z])\b"),
    ("OF", r"(?:an? |the |one )?(?P<way>parallel|series|side[- ]by[- ]side)[- ](?:connected )?"
        r"(?:pair|combination|group|set|block|couple|trio|string|chain"
        r"|bank)(?:(?: made (?:up )?)? of"
        r"| consisting of| formed by|:)*"),
    ("OF", r"(?:an? )(?:chain|string|row)(?: of(?: (?:three|two|four))?| made (?:up )?of"
        r"|:)+(?= an?\b| ?[0-9:]| C)"),
    ("SIZED", SIZED),
    (
        "BLOCK",
        rf"(?P<in>in(?:side)? )?(?P<det>the |an? |each |every |one |both |two "
        rf"|three )?(?P<adj>(?!this|that|whole|entire|full|complete|series"
        rf"|parallel|of\b|with\b|is\b|and\b)[a-z]+ )?{BLOCK}(?:s|es)?(?: (?P<label>(?-i:[A-Z])"
        rf"|[1-9])"
        r"(?![A-Za-z0-9]))?"),
    ("BLOCK", r"(?P<in>in )?(?P<det>the |both )?(?P<adj>)halves(?P<label>)"),
    ("WITHIN", r"\b(?:which|that) (?:has|is|carries)\b|\bwith(?= an?\b| the (?:series|parallel))"),
    ("THEN", r"\b(?:is )?(?:and )?(?:followed by|then)\b"),
    ("SHUNT", r"\b(?:shunt|bridge|bypass|parallel)\b(?= (?:the|that|this|it|all|these|every))"),
    ("CHAIN", r"\b(?:chain|string|line up)\b(?= (?:the|that|this|it|all|these|every))"),
    ("SERWITH", rf"(?:{_VERB} )*(?:in series|in line|chained) (?:with|to)\b(?! (?:each|one an))"
        r"|\bbehind (?=it|that|this)|\bbehind (?=the (?:lot|whole|pair|group|result)|them|these"
        r"|everything|all)|\b(?:before|ahead of|in front of|after) (?=it|that|this|the)"),
    ("BESIDE", r"\b(?:beside|next to|above|below|across|over|underneath) (?:it|them)\b"
        r"|\b(?:underneath|below|beneath|alongside)\b(?= ?(?:[,.;\n]|$))"),
    ("PARWITH", rf"(?:{_VERB} )*(?:(?:in )?parallel (?:with|to)|across|over|alongside|beside)\b(?!"
        r" (?:each|one an))|\bshunted by\b"),
    ("SER", r"\bin series(?: with (?:each other|one another))?\b|\b(?:one|each) (?:after|behind) "
        r"(?:the other|another)\b|\bin a (?:row|line|chain)\b|\bend to end\b"),
    ("PAR", r"\bin parallel(?: with (?:each other|one another))?\b|\bside[- ]by[- ]side\b"
        r"|\bsharing "
        r"both (?:their )?ends\b|\b(?:on top|above) of each other\b"),
    ("WHOLE", _ALL),
    ("THAT", _THAT),
    (
        "VALUE",
        rf"{_NEW}(?:(?P<count>two|three|four|pair of|couple of|[2-4](?= ?(?:x |times ))) (?:x "
        rf"|times )?)?"
        rf"(?:(?P<name>{NAME})(?: ?(?:=|is|of|:|\()| has)? ?)?(?P<amount>{AMOUNT})"
        r"(?: capacitors?| caps?| ones?\b(?! after| behind)| each)*\)?"),
    ("VALUE", rf"{_NEW}(?P<name>{NAME})(?! ?(?:=|is [0-9]))"),
    ("IS", r"\b(?:is|are|=|consists? of|contains?|holds?|made (?:up )?of|there(?:'s| is| are)"
        r"|means)\b"
        r"|="),
    ("AND", r"\b(?:and|with)\b|&|\+|,|:"),
)  # fmt: skip
_LEXER: Final = tuple((kind, re.compile(pattern, re.I)) for kind, pattern in _ROWS)
_SIGN: Mapping[str, str] = {
    "SERWITH": "--",
    "PARWITH": "||",
    "SER": "--",
    "PAR": "||",
    "BESIDE": "||",
    "THEN": "--",
}
_SIZES: Mapping[str, int] = {"pair": 2, "trio": 3}
_JOINTS: Final = ("SERWITH", "PARWITH", "THEN")
_SOME: Final = ("VALUE", "TREE", "THAT", "SIZED", "WHOLE", "BLOCK")


class _Word(NamedTuple):
    """One word of a clause: its kind, and what it holds: a value, a sign, the name of a block."""

    kind: str
    held: str = ""
    many: int = 1
    is_old: bool = False
    inside: bool = False
    tree: PartTree = ""


def with_what_is_built(text: str, unit: str) -> str:
    """The text made plain with what it builds up in signs; the text as it is where a clause does
    not fit.
    """
    return _built(text, unit, blocks=False)


def with_blocks_told(text: str, unit: str) -> str:
    """The same, of a text that says apart what is in a block or in each of several."""
    return _built(text, unit, blocks=True)


def _built(text: str, unit: str, blocks: bool) -> str:
    told, rest = parted(out_of_stock(text))
    clauses = [list(_words(each, unit)) for each in told]
    values = sum(w.many for each in clauses for w in each if w.kind == "VALUE" and not w.is_old)
    within = any(w.kind == "BESIDE" for each in clauses for w in each)
    if values < 2 or (len(clauses) < 2 and not within):
        return text
    table = _Table()
    try:
        for clause in clauses:
            table.hear(clause)
        whole = table.whole()
    except NotToldSo:
        return text
    if blocks and not table.has_blocks:
        return text
    volts = [supply_of(each) for each in told]
    signs = re.sub("#[0-9]+", "", in_signs(whole))
    return "\n".join((signs, *filter(None, volts), *map(left_over, rest)))


def _words(text: str, unit: str) -> Iterator[_Word]:
    at = 0
    while at < len(text):
        for kind, pattern in _LEXER:
            match = pattern.match(text, at) if not (at and text[at - 1].isalnum()) else None
            if match and match.end() > at:
                yield _word(kind, match, unit)
                at = match.end()
                break
        else:
            at += 1


def _word(kind: str, match: re.Match[str], unit: str) -> _Word:
    group = match.groupdict()
    if kind == "VALUE":
        value, many = value_of(group, unit)
        return _Word(kind, value, many, "the " in (group["lead"] or "").lower())
    if kind == "OF":
        return _Word(kind, "||" if (group.get("way") or "series").lower() != "series" else "--")
    if kind == "BLOCK":
        det, adj = (group["det"] or "").strip().lower(), (group["adj"] or "").strip().lower()
        name = group["label"] or (adj if adj not in ("", "same") else "block")
        is_each = det in ("each", "every", "both", "two", "three") or match[0].lower().endswith("s")
        many = MANY.get(det, 2) if is_each else 1
        return _Word(kind, "each" if is_each else f"@{name}", many, inside=bool(group["in"]))
    if kind == "SIZED":
        size = (group["size"] or group["many"]).lower()
        way = {"series": "--", "parallel": "||"}.get((group["way"] or "").lower(), "")
        return _Word(kind, way, _SIZES.get(size) or MANY[size])
    return _Word(kind, _SIGN.get(kind, ""))


class _Table:
    """What stands there after each clause: the whole, what was made last, and the blocks."""

    def __init__(self) -> None:
        self.roots: list[PartTree] = []
        self.last: PartTree | None = None
        self.blocks: dict[str, PartTree] = {}
        self.told = 0  # so many capacitors
        self.has_blocks = False  # or parts that are told beside others
        self.alike: tuple[str, int] = ("", 1)  # how blocks that are alike are joined, and how many

    def hear(self, words: Sequence[_Word]) -> None:
        """Carry out one clause. Errors: ``NotToldSo`` where it does not fit."""
        if any(each.kind == "WRONG" for each in words):
            raise NotToldSo
        row = [each for each in words if each.kind != "VOLT"]
        kinds = [each.kind for each in row]
        if not {*_SOME} & {*kinds}:
            return
        told = [i for i, each in enumerate(row) if each.kind == "BLOCK"]
        defined = [i for i in told if row[i].inside or kinds[i + 1 : i + 2] == ["IS"]]
        if told and "VALUE" not in kinds and row[told[0]].held == "each":
            signs = [each.held for each in row if each.kind in _SIGN]
            self.alike = (signs[0] if signs else self.alike[0], max(self.alike[1], row[0].many))
        elif defined and not {*_SOME} & {*kinds[: defined[-1]]} - {"BLOCK"}:
            self.has_blocks = True
            self.blocks[row[defined[-1]].held] = self._made(row[defined[-1] + 1 :], alone=True)
        else:
            self._made(row)

    def whole(self) -> PartTree:
        """All of it. Errors: ``NotToldSo`` where it is in pieces, or has a block left open."""
        if "each" in self.blocks and not self.roots and self.alike[0]:
            self.roots = [joined(self.alike[0], [self.blocks.pop("each")] * self.alike[1])]
        if not self.roots and self.blocks:
            spoken_of = {leaf for tree in self.blocks.values() for leaf in leaves_of(tree)}
            self.roots = [self.blocks.pop(e) for e in [*self.blocks] if e not in spoken_of]
        if len(self.roots) != 1:
            raise NotToldSo
        tree = self.roots[0]
        for _ in range(len(self.blocks) + 1):
            for name, inner in self.blocks.items():
                tree = with_part(tree, name, inner)
        named = [each for each in leaves_of(tree) if each.startswith("@")]
        if named or set(self.blocks) - {"each"} - self._used:
            raise NotToldSo
        return tree

    @property
    def _used(self) -> set[str]:
        trees = (*self.roots, *self.blocks.values())
        return {leaf for tree in trees for leaf in leaves_of(tree)}

    def _made(self, row: Sequence[_Word], alone: bool = False) -> PartTree:
        """What a row of words joins; ``alone`` for what is in a block, and stands nowhere yet."""
        row = self._with_besides([each for each in row if each.kind != "IS"])
        at = [i for i, each in enumerate(row) if each.kind in _JOINTS]
        verb = [i for i, each in enumerate(row) if each.kind in ("SHUNT", "CHAIN")]
        if verb:
            sign = "||" if row[verb[0]].kind == "SHUNT" else "--"
            return self._two(sign, *self._halves(row[verb[0] + 1 :]), alone)
        if not at:
            return self._listed(row, alone)
        if at[0] == 0 and row[0].kind == "THEN" and not alone and self.roots:
            row.insert(0, _Word("WHOLE"))
            at = [each + 1 for each in at]
        if len(at) > 1:
            return self._nested(row, at, alone)
        halves: tuple[Sequence[_Word], Sequence[_Word]] = row[: at[0]], row[at[0] + 1 :]
        if not any(each.kind in _SOME for each in halves[0]):
            halves = self._halves(halves[1])
        return self._two(row[at[0]].held, *halves, alone)

    def _with_besides(self, row: Sequence[_Word]) -> list[_Word]:
        """``a 5 with a 3 beside it``: the two as one."""
        kinds = [each.kind for each in row]
        if "BESIDE" not in kinds or "WITHIN" not in kinds[: kinds.index("BESIDE")]:
            return list(row)
        end = kinds.index("BESIDE")
        cut = max(i for i in range(end) if kinds[i] == "WITHIN")
        if not cut or row[cut - 1].kind != "VALUE" or row[cut - 1].many > 1:
            raise NotToldSo
        self.has_blocks = True
        beside = joined("||", [*self._named(row[cut - 1]), *self._operand(row[cut + 1 : end])])
        return [*row[: cut - 1], _Word("TREE", tree=beside), *row[end + 1 :]]

    def _nested(self, row: Sequence[_Word], at: Sequence[int], alone: bool) -> PartTree:
        """``C2 in parallel with C3 in series with C4`` is open; one after the other is not."""
        if len({row[i].held for i in at}) > 1:
            raise NotToldSo
        parts: list[PartTree] = []
        for start, end in zip((-1, *at), (*at, len(row)), strict=True):
            parts += self._operand(row[start + 1 : end])
        return self._stands(joined(row[at[0]].held, parts), parts, alone)

    def _halves(self, row: Sequence[_Word]) -> tuple[Sequence[_Word], Sequence[_Word]]:
        """What stands first, and the rest: across the whole | hangs a 5."""
        cut = next((i for i, e in enumerate(row) if e.kind in _SOME), 0)
        while cut + 2 < len(row) and row[cut + 1].kind == "AND" and row[cut + 2].is_old:
            cut += 2
        return row[: cut + 1], row[cut + 1 :]

    def _two(
        self, sign: str, left: Sequence[_Word], right: Sequence[_Word], alone: bool
    ) -> PartTree:
        parts = [*self._operand(left), *self._operand(right)]
        return self._stands(joined(sign, parts), parts, alone)

    def _listed(self, row: Sequence[_Word], alone: bool) -> PartTree:
        parts = self._operand(row)
        by_itself = isinstance(parts[0], PartsJoined) or not self.roots or alone
        if len(parts) > 1 or not by_itself or parts[0] in self.roots:
            raise NotToldSo
        return self._stands(parts[0], (), alone)

    def _operand(self, row: Sequence[_Word]) -> list[PartTree]:
        """The trees that words name or point at; as one where they are said to be joined."""
        found: list[PartTree] = []
        signs: set[str] = set()
        for at, word in enumerate(row):
            after = row[at + 1] if at + 1 < len(row) else _Word("")
            if word.kind == "WHOLE":
                found = [*(each for each in found if each != self.last), *self.roots]
            elif word.kind == "THAT":
                found += [] if self.last is None or self.last in found else [self.last]
            elif word.kind == "SIZED":
                found.append(self._sized(word))
            elif word.kind in ("BLOCK", "TREE"):
                found.append(word.tree or word.held)
            elif word.kind == "VALUE" and word.many > 1 and after.kind in ("SER", "PAR"):
                found.append(joined(after.held, self._named(word)))
            elif word.kind == "VALUE":
                found += self._named(word)
            elif word.kind in ("SER", "PAR", "OF", "BESIDE"):
                before = row[at - 1] if at else after
                signs |= set() if before.kind == "VALUE" and before.many > 1 else {word.held}
        if len(signs) > 1 or not found:
            raise NotToldSo
        if len(found) > 1 and not signs and all(map(self._is_within, found)):
            found = [self._brought_together(found)]
        return [joined(signs.pop(), found)] if signs and len(found) > 1 else found

    def _sized(self, word: _Word) -> PartTree:
        """The group of so many; what was made last where only that is meant.

        Errors: ``NotToldSo`` where several are of that size.
        """
        fitting = [
            each
            for each in self.roots
            if isinstance(each, PartsJoined)
            and len(each.parts) == word.many
            and word.held in ("", each.sign)
        ]
        if len(self.roots) > 1 and len(fitting) == 1:
            self.has_blocks = True
            return fitting[0]
        if self.last is None or len(fitting) > 1:
            raise NotToldSo
        return self.last

    def _stands(self, made: PartTree, parts: Sequence[PartTree], alone: bool) -> PartTree:
        """The table with what was made in the place of what it is made of."""
        if alone:
            return made
        inside = [each for each in parts if each in self.roots]
        if len(set(inside)) < len(inside):
            raise NotToldSo
        pointed = [each for each in parts if each not in inside and self._is_within(each)]
        if len(pointed) > 1 or (inside and pointed):
            raise NotToldSo
        if pointed:
            self.roots = [with_part(root, pointed[0], made) for root in self.roots]
        else:
            self.roots = [*(each for each in self.roots if each not in inside), made]
        self.last = made
        return made

    def _brought_together(self, parts: Sequence[PartTree]) -> PartTree:
        """Neighbours in a row as one part of it. Errors: ``NotToldSo`` where they are none."""
        for at, root in enumerate(self.roots):
            row = list(root.parts) if isinstance(root, PartsJoined) and root.sign == "--" else []
            first = row.index(parts[0]) if parts[0] in row else -1
            if first >= 0 and row[first : first + len(parts)] == list(parts):
                together = joined("--", parts)
                row[first : first + len(parts)] = [together]
                self.roots[at], self.last = joined("--", row), together
                return together
        raise NotToldSo

    def _named(self, word: _Word) -> list[PartTree]:
        """The capacitors of a value: one that stands already, where words point at it, or as many
        new ones as it tells of, each with a number of its own.
        """
        held = [leaf for tree in (*self.roots, *self.blocks.values()) for leaf in leaves_of(tree)]
        bare = re.fullmatch(NAME, word.held, re.I) is not None
        known = [each for each in held if re.split("#| = ", each)[0] == word.held.split(" = ")[0]]
        if (word.is_old or bare) and known:
            return [known[0]]
        self.told += word.many
        return [f"{word.held}#{self.told - each}" for each in range(word.many)]

    def _is_within(self, part: PartTree) -> bool:
        """Whether a part is a capacitor that stands in the whole, or what was made last."""
        if isinstance(part, str):
            return any(part in leaves_of(root) for root in self.roots)
        return part == self.last
