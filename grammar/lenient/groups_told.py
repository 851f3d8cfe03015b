"""Groups spoken of as such: what a chain is made of, what is in one branch, what is told later.

Each noun for a group (combination, block, chain, arm, row …) is read with what stands around it:
how it is determined, whether it is counted or labelled, how it is joined, and whether its content
follows. A group that is announced and told later is promised; its place is kept.
"""

from __future__ import annotations

from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.mentions import WAYS, Ref
from grammar.lenient.patterns import found_in, phrases, rewritten, row, text_of
from grammar.lenient.tokens import Chunk

_NOUNS: Final = ("GROUP", "BRANCH", "OFSIDE")
_DEFINITE: Final = frozenset(
    words("THE THIS OTHER ORD1 ORD2 ORD3 ORD4 ORD5 ORDLAST FORMER TOP BOTTOM MIDDLE SIDE")
)
_WHICH: Final = words("ORD1 ORD2 ORD3 ORD4 TOP BOTTOM MIDDLE SIDE")
_DETERMINERS: Final = _DEFINITE.union(
    words("A ONE DET EQUAL SINGLE SER PAR COUNT WNUM CEQ BOTH ALL EACH NEW OFSIDE")
)
_PLACES: Final = ("IN", "ON", "TO", "OF")
_LINKS: Final = frozenset(
    words("COLON IS OF WITH JOIN DASH SERSIGN EQ HOLD FROM BY ACROSS BETWEEN")
)
_CONTENT: Final = frozenset(
    words("A ONE CAPV NAME COUNT WNUM CAP DET THE OPEN SER PAR UNCHARGED PAIROF REF OTHER")
)
_IN_A_ROW: Final = ("chain", "string", "row", "line", "queue", "column")
# Verbs that say what is in a group.
_HOLDING: Final = words("contain compris consist includ ma built form compos has")
_MOST: Final = 12
_AT_AN_END: Final = ("", "AND", "COMMA", "STOP", "WITH", "QUERY")


class _Noun(NamedTuple):
    """A noun for a group in its row: from where its phrase begins up to where its content does."""

    pieces: Sequence[Chunk]
    start: int
    at: int
    content: int

    @property
    def word(self) -> str:
        return self.pieces[self.at].text.lower().split()[0]

    @property
    def text(self) -> str:
        return text_of(self.pieces[self.start : self.content])

    @property
    def before(self) -> set[str]:
        return {each.tag for each in self.pieces[self.start : self.at]}

    @property
    def links(self) -> set[str]:
        return {each.tag for each in self.pieces[self.at + 1 : self.content]} - {"COMMA"}

    @property
    def after(self) -> str:
        return self.pieces[self.content].tag if self.content < len(self.pieces) else ""

    @property
    def is_object(self) -> bool:
        """Whether something is joined to it, as in parallel to this row."""
        before = self.pieces[self.start - 1].tag if self.start else ""
        return before in ("WITH", "TO", "ACROSS") or "TO" in self.before

    @property
    def is_plural(self) -> bool:
        return self.word.endswith("s") and self.word != "series"

    @property
    def is_part(self) -> bool:
        """Whether it is one of several that stand side by side."""
        return self.pieces[self.at].tag in ("BRANCH", "OFSIDE")

    @property
    def label(self) -> str:
        word = self.pieces[self.at].text.lower()
        return word if " " in word else ""

    @property
    def way(self) -> str:
        if "SER" in self.before or (self.word in _IN_A_ROW and "PAR" not in self.before):
            return "SER"
        return "PAR" if "PAR" in self.before else "GROUP"

    @property
    def is_told(self) -> bool:
        """Whether its content follows."""
        if self.after in ("SER", "PAR"):
            rest = [each.tag for each in self.pieces[self.content + 1 : self.content + 4]]
            return bool({"CAPV", "NAME", "A"} & {*rest}) and rest[0] not in ("WITH", "TO")
        aside = bool(self.links) and self.links <= {"ACROSS", "BY", "WITH"}
        if (aside and not self.is_part) or "EACH" in self.before:
            return False
        return self.after in _CONTENT

    @property
    def is_definite(self) -> bool:
        return bool(_DEFINITE & self.before) or self.label != ""

    @property
    def announces(self) -> bool:
        """Whether its content is told in a sentence of its own: the block is …"""
        return self.is_told and self.is_definite and self._holds()

    def _holds(self) -> bool:
        """Whether the links say what is in it, and not what it is joined to."""
        links = self.pieces[self.at + 1 : self.content]
        verbs = [each.text.lower() for each in links if each.tag == "JOIN"]
        if verbs:
            return all(verb.startswith(_HOLDING) for verb in verbs)
        return bool(self.links) and not {"WITH", "ACROSS", "BY", "FROM"} & self.links

    def put_plainly(self, promised: AbstractSet[str]) -> list[Chunk] | None:
        """What the phrase comes to; None where it points back, or is read with others.

        ``promised`` are the words for groups that are announced and told later.
        """
        if self.is_plural:
            return self._several()
        joined = {"SER", "PAR"} & self.before
        placed = bool({"IN", "ON", "JOIN", "EQ"} & self.before)
        if self.is_told and (self._is_made_of(placed) if self.links else bool(joined)):
            return [self._piece(f"{self.way}OF")]
        if self.word in promised and self.is_first():
            ref = self._piece("REF", Ref("promise", 1, WAYS.get(self.way, ""), self.word))
            return [ref, *self.pieces[self.at + 1 : self.content]]
        if self.word in promised and self.is_told and (placed or self.announces):
            return [self._piece("GROUPHEAD")]
        if self.is_object or (self.label and not self.is_told):
            return self._pointed_at()
        if self.announces and self.known_as and not self.is_part:
            return [self._piece("GROUPHEAD", self.known_as)]
        picked = self.is_definite or "ONE" in self.before
        if self.is_part and self.is_told and (picked or self.links or placed):
            return [self._piece("HEAD", self.known_as)]
        if joined and not self.is_told and (placed or not (self.is_definite or self.is_object)):
            return [self._piece(self.way), *self.pieces[self.at + 1 : self.content]]
        if not self.is_part or not placed or "SER" in self.before:
            return None
        return [self._piece("TAIL")] if self.after in _AT_AN_END and not self.links else None

    def is_first(self) -> bool:
        """Whether it is spoken of for the first time, and nothing says what is in it."""
        return (
            not self.is_told
            and bool({"A", "ONE"} & self.before)
            and not {"IN", "JOIN"} & self.before
        )

    @property
    def known_as(self) -> str:
        """By what it can be spoken of again: group 1, the top block."""
        which = [e.tag for e in self.pieces[self.start : self.at] if e.tag in _WHICH]
        return self.label or (f"{which[-1]} {self.word}" if which else "")

    def _pointed_at(self) -> list[Chunk] | None:
        """``parallel to group 1``: a group that was told of before, with its number."""
        if not self.known_as:
            return None
        ref = self._piece("REF", Ref("group", 1, text=self.known_as))
        return [ref, *self.pieces[self.at + 1 : self.content]]

    def _is_made_of(self, placed: bool) -> bool:
        """Whether its content is announced, as in a chain of, a bank consisting of."""
        joined = {"SER", "PAR"} & self.before
        if self.is_part and (placed or "ONE" in self.before):
            return False
        if self.is_definite and not joined:
            return False
        if "WHICH" in self.links and (not {"JOIN", "IS"} & self.links or self._holds()):
            return True
        return bool({"OF", "FROM", "BETWEEN"} & self.links) or self.links == {"COLON"}

    def _piece(self, tag: str, datum: object = None) -> Chunk:
        return Chunk(tag, self.text, self.pieces[self.start].start, datum or self.word)

    def _several(self) -> list[Chunk] | None:
        """``two branches``, ``two parallel groups``: so many are told later."""
        counts = [e.datum for e in self.pieces[self.start : self.at] if e.tag in ("COUNT", "WNUM")]
        joined = WAYS.get(self.way, "")
        if not counts or not str(counts[0]).isdigit() or not (self.is_part or joined):
            return None
        many = int(counts[0])
        pointing = {"THE", "THIS", "ALL", "BOTH"} & self.before or {"OF", "WITH"} & self.links
        if pointing or not 2 <= many <= _MOST:
            return None
        way = "series" if "SER" in self.before and self.is_part else ""
        inside = "" if self.is_part else joined
        rest = self.pieces[self.at + 1 : self.content]
        return [self._piece("REF", Ref("promise", many, way, inside)), *rest]


def with_groups(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every such group put plainly: what it is made of (SEROF, PAROF, GROUPOF), a
    HEAD before or a TAIL after what is in it, or a promise (REF).
    """
    pieces = rewritten(_counted_as_branches(rewritten(pieces, _ALIKE)), _SPLITS)
    nouns = list(filter(None, (_noun_from(pieces, at) for at in range(len(pieces)))))
    promised = {each.word for each in nouns if each.announces or "IN" in each.before}
    promised &= {each.word for each in nouns if each.is_first()}
    found: list[Chunk] = []
    at = 0
    while at < len(pieces):
        noun = _noun_from(pieces, at)
        if noun is None:
            found.append(pieces[at])
            at += 1
            continue
        plain = noun.put_plainly(promised)
        found += pieces[at : noun.at + 1] if plain is None else plain
        at = noun.at + 1 if plain is None else noun.content
    found = rewritten(rewritten(found, _JOINED_PAIRS), _SIGNED)
    if any(each.tag in ("HEAD", "TAIL") or _is_promise(each) for each in found):
        found = rewritten(found, _ELLIPTIC)
    if any(each.tag == "HEAD" and each.text.lower().startswith("one ") for each in found):
        found = rewritten(found, _AND_THE_OTHER)
    return [each._replace(tag="GROUP") if each.tag == "BRANCH" else each for each in found]


def _is_promise(piece: Chunk) -> bool:
    return piece.tag == "REF" and piece.datum.kind == "promise" and piece.datum.many > 1


def _noun_from(pieces: Sequence[Chunk], start: int) -> _Noun | None:
    """The noun for a group whose phrase begins here, with a preposition of place or without."""
    makes = pieces[start].tag == "JOIN" and pieces[start].text.lower().startswith(("ma", "form"))
    makes = makes or pieces[start].tag == "EQ"
    at = start + (pieces[start].tag in _PLACES or makes)
    while at < len(pieces) and pieces[at].tag in _DETERMINERS and not _is_a_side(pieces, at):
        following = pieces[at + 1].tag if at + 1 < len(pieces) else ""
        if pieces[at].tag in ("SER", "PAR") and following in ("A", "THE", "THIS", "ONE", "OTHER"):
            return None  # beside a chain
        at += 1
    if at >= len(pieces) or pieces[at].tag not in _NOUNS:
        return None
    content = at + 1
    tags = [each.tag for each in pieces[content : content + 2]]
    apart = tags in (["IN", "WHICH"], ["ON", "WHICH"], ["COMMA", "WHICH"])
    content += 2 if apart else tags[:1] == ["WHICH"]
    while content < len(pieces) and pieces[content].tag in _LINKS:
        content += 1
    listed = [each.tag for each in pieces[content : content + 3] if each.tag != "A"]
    before = {each.tag for each in pieces[start:at]}
    joined = bool({"SER", "PAR"} & before) and "THIS" not in before
    content += joined and listed[:1] == ["COMMA"] and listed[1:2] in (["CAPV"], ["NAME"])
    return _Noun(pieces, start, at, content)


def _is_a_side(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether a side or an edge is the noun itself, and does not say which branch."""
    after = pieces[at + 1].tag if at + 1 < len(pieces) else ""
    return pieces[at].tag == "OFSIDE" and after not in ("BRANCH", "GROUP")


def _as_many_alike(inside: Sequence[Chunk]) -> list[Chunk]:
    """``three identical blocks in parallel; each block is a 4 nF in series with a 12 nF``."""
    joint = next(each for each in inside if each.tag in ("SER", "PAR"))
    after = [i for i, each in enumerate(inside) if each.tag in ("GROUP", "BRANCH")][1] + 1
    block = list(inside[after:])
    while block[0].tag in ("IS", "OF", "COLON", "JOIN", "WITH", "HOLD"):
        block = block[1:]
    opened, closed = joint._replace(tag="OPEN"), joint._replace(tag="CLOSE")
    found: list[Chunk] = []
    for _ in range(int(inside[0].datum)):
        found += [joint._replace(tag="COMMA"), opened, *block, closed]
    return [*found[1:], joint]


def _counted_as_branches(pieces: Sequence[Chunk]) -> list[Chunk]:
    """``two groups are in series`` before anything else: groups are told like branches."""
    if found_in(row("^THE? (WNUM | COUNT) GROUP (IS | JOIN)"), pieces) is None:
        return list(pieces)
    return [each._replace(tag="BRANCH") if each.tag == "GROUP" else each for each in pieces]


def _split(inside: Sequence[Chunk]) -> list[Chunk]:
    """``two strings of two in series``."""
    many, size = (int(each.datum) for each in inside if each.tag in ("WNUM", "COUNT"))
    joint = next(each.tag for each in reversed(inside) if each.tag in WAYS)
    ref = Ref("split", many, WAYS[joint], "pairs" if size == 2 else "")
    return [Chunk("REF", text_of(inside), inside[0].start, ref)]


def _split_in_rows(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``two chains of two``: the noun tells how they are joined."""
    if inside[1].text.lower().removesuffix("s") not in _IN_A_ROW:
        return None
    return _split([*inside, inside[-1]._replace(tag="SER")])


def _split_side_by_side(inside: Sequence[Chunk]) -> list[Chunk]:
    """``in two parallel branches, each containing two in series``."""
    split = _split(inside)
    across = "PAR" if split[0].datum.way == "series" else "SER"
    return [*split, Chunk(across, "", inside[-1].start)]


def _split_in_parallel_rows(inside: Sequence[Chunk]) -> list[Chunk]:
    """``in two parallel rows of three``: what is in one row is a chain."""
    return _split_side_by_side([*inside, Chunk("SER", "", inside[-1].start)])


_ALIKE: Final = phrases((
    "(WNUM | COUNT) EQUAL? (GROUP | BRANCH) (JOIN | IS | IN)* (SER | PAR)"
    " (STOP | COMMA | AND)+ EACH (GROUP | BRANCH) (IS | OF | COLON | JOIN | WITH | HOLD)+"
    " (A | CAPV | CAP | IN | SER | PAR | WITH | AND | TO | WNUM | COUNT | EQUAL)+",
    _as_many_alike,
))  # fmt: skip
_SPLITS: Final = phrases(
    (
        "(IN | TO)* (WNUM | COUNT) PAR? BRANCH COMMA? EACH (BRANCH | ONE)?"
        " (OF | JOIN | WITH | HOLD | IS)+ (WNUM | COUNT) EQUAL? CAP? IN? (SER | PAR)",
        _split_side_by_side),
    (
        "(IN | TO)* (WNUM | COUNT) PAR? BRANCH COMMA? (OF | JOIN | WITH | HOLD)+"
        " (WNUM | COUNT) EQUAL? CAP? IN? (SER | PAR) (IN | ON)* EACH (BRANCH | ONE)?",
        _split_side_by_side),
    (
        "(IN | TO)* (WNUM | COUNT) PAR BRANCH (OF | WITH | HOLD)+ (WNUM | COUNT)"
        " EQUAL? CAP? IN? SER",
        _split_side_by_side),
    (
        "(IN | TO)* (WNUM | COUNT) PAR BRANCH OF (WNUM | COUNT) (?!CAP |CAPV )",
        _split_in_parallel_rows),
    ("(WNUM | COUNT) (BRANCH | GROUP) OF (WNUM | COUNT) IN? (SER | PAR)", _split),
    ("(WNUM | COUNT) BRANCH OF (WNUM | COUNT) (?!CAP |CAPV )", _split_in_rows),
)  # fmt: skip
_END: Final = "(?=\\b(?:AND|COMMA|STOP|WITH|QUERY) |$)"
_LINK: Final = "(COLON | IS | OF | WITH | JOIN | DASH | SERSIGN | EQ | HOLD)"
_CONTENT_FOLLOWS: Final = (
    "(?=\\b(?:A|ONE|CAPV|NAME|COUNT|WNUM|CAP|DET|THE|OPEN|SER|PAR|UNCHARGED|REF) )"
)


def _joined_pair(inside: Sequence[Chunk]) -> list[Chunk]:
    """``a parallel pair of 2 uF and 6 uF``, ``a series pair of 10 nF capacitors``."""
    at = next(
        (i for i, e in enumerate(inside) if e.tag in ("PAIROF", "COUNT", "WNUM")), len(inside)
    )
    way = next(each.tag for each in inside if each.tag in ("SER", "PAR"))
    of = Chunk(f"{way}OF", text_of(inside), inside[0].start)
    lists = inside[-1].tag == "AND"
    counted = [] if lists else inside[at : at + 1]
    rest = (each for each in inside[at + 1 :] if each.tag not in ("SER", "PAR", "JOIN"))
    kept = [each for each in rest if not (lists and each.tag in ("CAP", "OF"))]
    return [of, *counted, *kept]


# How they are joined stands before the noun, or before the number of them.
_JOINED_PAIRS: Final = phrases(
    ("(A | THE | OTHER)* (SER | PAR) PAIROF CAP? OF? A? (CAPV | NAME) AND", _joined_pair),
    ("(A | THE | OTHER)* (SER | PAR) PAIROF A? CAPV", _joined_pair),
    ("(?<!IN )(WNUM | COUNT | PAIROF) (SER | PAR) JOIN? (CAPV | CAP | EQUAL)", _joined_pair),
    ("THE? (ORD1 | ORD2 | ORD3) (SER | PAR) (?=(CAPV|NAME) )", _joined_pair),
)  # fmt: skip


def _bracketed(inside: Sequence[Chunk]) -> list[Chunk]:
    """``a 2 uF || 6 uF block``."""
    values = [each for each in inside if each.tag not in ("A", "THE", "GROUP", "BRANCH")]
    return [inside[0]._replace(tag="OPEN"), *values, inside[-1]._replace(tag="CLOSE")]


def _head(inside: Sequence[Chunk]) -> list[Chunk]:
    return [Chunk("HEAD", text_of(inside), inside[0].start)]


def _tail(inside: Sequence[Chunk]) -> list[Chunk]:
    return [Chunk("TAIL", text_of(inside), inside[0].start)]


_AND_THE_OTHER: Final = phrases(("((?<=COMMA )|(?<=AND ))THE? OTHER (?=(A )?CAPV )", _head))
_SIGNED: Final = phrases(
    ("(A | THE)? CAPV ((PARSIGN | SERSIGN) CAPV)+ (GROUP | BRANCH)", _bracketed)
)
# The noun left out: the second holds …, and in the other …
_WHICH_ONE: Final = "(THE | A)* (ORD1 | ORD2 | ORD3 | ORDLAST | OTHER | FORMER"
_ELLIPTIC: Final = phrases(
    (
        f"(IN | ON)? {_WHICH_ONE} | ONE | TOP | BOTTOM) ({_LINK} | ACROSS | BY | ON)+"
        f" {_CONTENT_FOLLOWS}", _head),
    (f"(IN | ON) {_WHICH_ONE}) COMMA? {_CONTENT_FOLLOWS}", _head),
    (
        "((?<=COMMA )|(?<=AND ))THE (ORD2 | ORD3 | ORDLAST | OTHER | TOP | BOTTOM) ONE"
        " (?=A CAPV )", _head),
    (f"(IN | ON) {_WHICH_ONE}) {_END}", _tail),
)  # fmt: skip
