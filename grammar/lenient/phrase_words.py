"""The words of a sentence that puts a network together, each with its kind; none is passed over."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from grammar.lenient.concepts import words
from grammar.lenient.patterns import plainly, rewritten
from grammar.lenient.small_charts import Term
from grammar.lenient.tokens import Chunk, scan
from grammar.lenient.trees_in_signs import NotToldSo
from grammar.lenient.units import NUMBER

# What says on what p.d. all of it is.
_ALL: Final = (
    r"(?:it(?: all)?|them|this|everything|both ends|all of it|(?:the|this) (?:whole(?: \w+)?|lot"
    r"|outside|arrangement|combination|group|(?:two )?ends))"
)
_VOLTS: Final = rf"(?P<volts>(?<![0-9.]){NUMBER} ?-?(?:[km]?V|volts?)|(?-i:V))"
_FEED: Final = re.compile(
    r"(?i)(?:,? ?(?:and |with |then ){0,4}(?:the (?:whole(?: \w+)?|lot|arrangement|combination"
    r"|result|group|(?:two )?ends(?: of (?:it|the \w+))?)|all(?: of (?:it|this|that))?|everything"
    r"|it|they|this|which)\b)?(?: ?(?:is|are|being|then|connected|joined"
    r"|placed|put|fed|hooked|run|sits?|up|straight|directly|(?:between|across) (?:the |two )*"
    r"(?:terminals|rails|ends)(?=,? (?:kept |held |maintained )?at)|kept|held|maintained)){0,8}"
    r" ?(?:\b(?:across|acros|on|at|to|from|by|off|with|over|and) ){0,6}(?:an? |the )?(?:steady "
    r"|constant |d\.?c\.? )*(?:(?:supply|source|battery|batt|cell|p\.?d\.?|potential difference"
    r"|voltage)"
    rf"(?: (?:of|is|gives|at))* )?{_VOLTS}\b(?: (?:d\.?c\.? )?(?:supply|source|battery|cell|line))?"
    r"(?: (?:is |lies? |sits? |are )?(?:applied |put )?(?:across|on|over|to|goes to)"
    rf" {_ALL})?(?![a-z])"
)
_SOME_VOLTS: Final = re.compile(rf"(?i){_VOLTS}")
_FEEDING: Final = re.compile(
    rf"(?i)^\s*(?:the |an? )?(?:supply|battery|source|cell)(?: of)? \(?{_VOLTS}\)? (?:feeds"
    r"|supplies|drives|powers|goes (?:on )?to|leads to|gives)\b"
)
_KINDS: Mapping[str, str] = {
    **{
        kind: kind
        for kind in words(
            "CAPN A THE OTHER ONE EQUAL SUCH OF WITH IN ACROSS IS WHICH EACH SOARE PARSIGN ALL BOTH"
            " THIS THEM WHOLE CAP COMMA COLON AND OPEN CLOSE TOGETHER TAKE SOURCE"
        )
    },
    **dict.fromkeys(words("CEQ PUNCTUAL IF UNCHARGED"), "IDLE"),
    "SINGLE": "SOLE", "DET": "A", "TO": "WITH", "FROM": "OF", "BY": "OF", "ON": "IN",
    "PLUS": "AND", "EQ": "IS", "SERALL": "AFTERALL", "PARBY": "BRIDGED", "ORDLAST": "LAST",
}  # fmt: skip
_BY_WORD: Mapping[str, str] = {
    **dict.fromkeys(("whole", "lot", "result"), "WHOLE"),
    **dict.fromkeys(("after", "behind", "past"), "AFTER"),
    **dict.fromkeys(("before", "ahead of", "in front of"), "BEFORE"),
    **dict.fromkeys(
        ("then", "next", "lastly", "finally", "followed by", "followed", "at last"), "THEN"
    ),
    **dict.fromkeys(("bridging", "spanning", "shunting"), "ACROSS"),
    "over": "OVER", "now": "IDLE", "also": "IDLE",
}  # fmt: skip
_ORDER: Final = words("ORD1 ORD2 ORD3 ORD4 ORD5")
_DRAWN: Mapping[str, str] = {"TOP": "top", "BOTTOM": "bottom", "MIDDLE": "middle"}
_HOLDS: Final = ("contain", "compris", "consist", "made", "make", "built", "compos", "form", "hold")
_JOINS: Final = (
    "connect", "conec", "join", "wired", "plac", "put", "arrang", "link", "coupl", "sit",
    "stand", "hang",
    "go", "lie", "lies", "run", "come", "attach", "hook", "add", "mount", "combin", "set", "hung",
)  # fmt: skip
_NOUNS: Final = (
    "box", "boxes", "nest", "nests", "thing", "things", "module", "modules", "loop", "piece",
    "pieces", "ring", "line", "lines", "connection",
)  # fmt: skip
_IDLE: Final = (
    "as", "there", "so", "directly", "little", "small", "own", "itself", "simply", "just", "only",
    "straight", "again", "altogether", "up", "down", "steady", "we", "you", "i", "he", "she",
    "has", "have", "here", "do", "does", "now", "where", "of", "inner", "big", "large", "exactly",
    "electrical", "following", "way", "sub", "like", "first", "shown", "below", "namely", "whose",
    "nothing", "else", "but", "itself", "themselves", "also", "more", "can", "then", "likewise",
    "similarly", "too", "innermost", "outermost", "meet", "overall",
    "scheme", "schema", "circuit",
)  # fmt: skip
_COUNTED: Final = words("CAP EQUAL GROUP BRANCH CAPV SUCH SER PAR OTHER TIMES")
_AFTER_THAT: Final = ("IN", "SER", "PAR", "GROUP", "BRANCH", "OFSIDE")
_LETTERS: Final = ("LETTER", "LC", "LV", "LU", "LQ", "A", "SYM", "NAME")
# Between the terminals, as between the rails.
_BETWEEN_ENDS: Final = (
    plainly(
        "(BETWEEN | ACROSS) (THE | EQUAL | WNUM)* (TERMINAL | POINT) (?!LETTER|NUM|NAME)", "1:PAR"
    ),
)


# What comes to first, then, and another of so much.
_SIDE: Final = r"(?: (?:pole|terminal|side|end))?(?: of the \w+)?"
_POLE: Final = rf"(?:the )?(?:plus|minus|positive|negative|\+){_SIDE}"
_MEETS: Final = (
    r"(?:there (?:is|comes)|(?:we|you|one|i) (?:first )?(?:meets?|finds?|gets?|comes? to|gets? to"
    r"|sees?|reach(?:es)?|goes? through)(?: first)?)"
)
_ON_THE_WAY: Final = (
    (
        re.compile(
            r"(?i)\b(?:(?:(?:begin|start|com|go|walk)(?:s|n?ing)?|set(?:ting)? out) (?:out )?"
            rf"(?:at|from) (?:{_POLE}|(?:the )?(?:battery|source|left){_SIDE}),?(?: {_MEETS})?"
            rf"|from {_POLE},? {_MEETS})(?![a-z])"
        ),
        "first",
    ),
    (
        re.compile(
            r"(?i),? (?:and )?(?:then|finally|back|at last|last|lastly|(?:with that|there|so|thus"
            r"|then) (?:we|you|one) (?:are|is|come|reach|get|arrive)(?:e?s)?)"
            rf"(?: (?:comes|we reach|back|to|at))* {_POLE}(?=\s*[.;,]|$)"
        ),
        "",
    ),
    (re.compile(r"(?i)\b(?:,? ?which )?(?:begin|start)(?:s|ning|ing)? with\b"), ": first"),
    (
        re.compile(
            r"(?i)\b(?:goes on with|going on with|continu(?:es|ing) with|end(?:s|ing)? with"
            r"|(?:whose|its|the) (?:other|far|second) (?:end|side|plate|leg) (?:then )?(?:goes"
            r"|leads|runs|is (?:connected|joined|wired))(?: on)? to)\b"
        ),
        "then",
    ),
    (re.compile(r"(?i)\bback to the (?:supply|battery|source|minus|other (?:end|side))\b"), ""),
    (
        re.compile(r"(?i)\b(?:another|(?:an?|the) (?:second|other)) just (?:such|like it)\b"),
        "another",
    ),
)
_SAME_AGAIN: Final = re.compile(
    r"(?i)\b(another|a second)(?: one| capacitor)?(?: (?:of|with) the same (?:size|value"
    r"|capacitance|kind)?|,? (?:just )?like it| such(?: one)?)(?=\s*(?:[,.;]|$| and| in))"
)
_AMOUNT_BEFORE: Final = re.compile(rf"(?i){NUMBER} ?-?(?:[unp]F|micro\w*|nano\w*|pico\w*)")


class Noun(NamedTuple):
    """A word for a group: a pair, a branch, boxes."""

    word: str
    is_plural: bool = False


class Nth(NamedTuple):
    """Which of several, by their order from 0 or by where it is drawn."""

    order: int
    drawn: str = ""


# Between which two points all of it lies, where a sentence ends with that.
_ITS_ENDS: Final = re.compile(
    r"^\s*(?:From|Between) [A-Z] (?:to|and) [A-Z],? (?:(?:there|lie|are|run|go|stand|we have) ?)*"
    r"(?=(?:two|three|four) (?:paths|branches|arms|ways|chains|strings))|"
    r"(?:,? (?:from|between) (?:the )?(?:points? )?[A-Z] (?:to|and) (?:point )?[A-Z])"
    r"(?=\s*[.;,]?\s*$)"
)


def put_in_order(sentence: str) -> str:
    """A sentence with plain words for what comes first and then, and the worth of another such."""
    sentence = _ITS_ENDS.sub("", sentence)
    for told, plain in _ON_THE_WAY:
        sentence = told.sub(plain, sentence)
    again = _SAME_AGAIN.search(sentence)
    before = _AMOUNT_BEFORE.findall(sentence[: again.start()]) if again else []
    return _SAME_AGAIN.sub(rf"\1 {before[-1]}", sentence) if before else sentence


def without_feed(sentence: str) -> str:
    """A sentence without what it says of the supply."""
    if _SOME_VOLTS.search(sentence) is None:
        return sentence
    if _FEEDING.search(sentence):
        return _FEEDING.sub("", sentence)
    return re.sub(_FEED, lambda feed: " " if _is_of_all(feed) else feed[0], sentence)


def _is_of_all(feed: re.Match[str]) -> bool:
    """Whether a p.d. is said of the whole: what stands between two phrases may be said of one."""
    before, after = feed.string[: feed.start()], feed.string[feed.end() :]
    return not before.strip(" ,\n") or not after.strip(" ,.;:\n") or after.startswith(":")


def feeds_in(sentence: str) -> list[str]:
    """The p.d.s that a sentence gives to the whole."""
    fed = _FEEDING.search(sentence)
    found = [fed] if fed else filter(_is_of_all, _FEED.finditer(sentence))
    return [each["volts"].replace("-", " ") for each in found]


def phrase_terms(sentence: str, unit: str, names: Sequence[str]) -> list[Term]:
    """The words of a sentence. ``names`` are letters that are capacitors, ``unit`` that of numbers
    which have none.

    Errors: ``NotToldSo`` for a word that means nothing here.
    """
    plain = put_in_order(without_feed(sentence))
    pieces = [each for each in scan(plain) if each.tag not in ("STOP", "QUERY")]
    terms = list(_terms(pieces, unit, names))
    breaks = ("COMMA", "AND", "COLON")
    while terms and terms[-1].kind in breaks:  # before what was said of the supply
        terms.pop()
    while terms and terms[0].kind in breaks:
        terms.pop(0)
    return terms


def _terms(pieces: Sequence[Chunk], unit: str, names: Sequence[str]) -> Iterator[Term]:
    pieces = rewritten(pieces, _BETWEEN_ENDS)
    in_farads = any(map(_has_farads, pieces))
    for at, piece in enumerate(pieces):
        after = pieces[at + 1].tag if at + 1 < len(pieces) else ""
        if piece.text in names and piece.tag in _LETTERS:
            yield Term("NAME", piece.text)
        elif piece.tag == "LETTER" and piece.text == "A":
            yield Term("A")
        elif piece.tag == "LC" and not in_farads:
            yield Term("AMOUNT", f"C#{at}")
        elif piece.text.lower() == "that" and after in _AFTER_THAT:
            yield Term("THIS")
        elif piece.tag in ("SER", "PAR"):
            yield Term("WAY", "--" if piece.tag == "SER" else "||")
        elif piece.tag in ("CAPV", "NAME"):
            told = f"{piece.datum}#{at}"  # no two of them are the same
            yield Term("AMOUNT", told) if piece.tag == "CAPV" else Term("NAME", str(piece.datum))
        elif piece.tag == "TIMES" and after == "CAPV":
            continue  # 2 x 350 F
        elif piece.tag in ("WNUM", "COUNT", "NUM", "NUMS"):
            yield _number(piece, at, pieces[at - 1].tag if at else "", after, unit)
        elif piece.tag == "PAIROF":
            yield from (Term("NOUN", Noun("pair")), Term("OF"))
        else:
            term = _plain(piece, pieces[at - 1].tag if at else "")
            if term.kind != "IDLE":
                yield term


def _has_farads(piece: Chunk) -> bool:
    return piece.tag == "CAPV" and str(piece.datum).endswith("F")


def _number(piece: Chunk, at: int, before: str, after: str, unit: str) -> Term:
    counts = after in _COUNTED
    whole = str(piece.datum).isdigit() and int(piece.datum) <= 12
    if piece.tag in ("WNUM", "COUNT") and whole:
        return Term("COUNT", int(piece.datum))
    if piece.tag == "NUM" and whole and (counts or before in ("GROUP", "BRANCH")):
        return Term("COUNT", int(piece.datum))
    if piece.tag == "NUM" and unit and "," not in piece.text:  # 3,5 and 7 nF are two, or three
        return Term("AMOUNT", f"{piece.datum} {unit}#{at}")
    raise NotToldSo


def _plain(piece: Chunk, before: str) -> Term:
    word = piece.text.lower()
    if piece.tag == "GROUP" and before == "CAPV":
        return Term("CAP")  # a 3 uF unit
    if word in _BY_WORD:
        return Term(_BY_WORD[word])
    if piece.tag in ("GROUP", "BRANCH", "OFSIDE") or word in _NOUNS:
        return Term("NOUN", Noun(_singular(word), word[-1] == "s"))
    if piece.tag in _ORDER:
        return Term("ORDER", Nth(_ORDER.index(piece.tag)))
    if piece.tag in _DRAWN or piece.tag == "SIDE":
        return Term("ORDER", Nth(-1, _DRAWN.get(piece.tag, word.split("-")[0])))
    if word.startswith(_HOLDS):
        return Term("HOLDS")
    if piece.tag == "JOIN" and word.startswith(_JOINS):
        return Term("JOINS")
    if piece.tag in _KINDS or word in _IDLE:
        return Term(_KINDS.get(piece.tag, "IDLE"))
    raise NotToldSo


def _singular(word: str) -> str:
    return "box" if word == "boxes" else word.removesuffix("s") or word
