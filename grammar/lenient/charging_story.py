"""Capacitors charged, each by itself or several at once, and joined afterwards: played through in
the order in which it is told. A story that has anything else in it is left to the other readers.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from grammar.lenient.charged_caps import ChargedCap, ChargedCaps, NoSuchStory
from grammar.lenient.charged_joins import ChargedJoins
from grammar.lenient.concepts import words
from grammar.lenient.patterns import plainly, rewritten, sentences_of, tags_of
from grammar.lenient.polarities import with_polarities
from grammar.lenient.taken_back import put_right
from grammar.lenient.tokens import Chunk, scan

_ASKS: Final = ("WISHV", "QUERY")
_WORTHS: Final = ("CAPV", "VOLT", "CHG")
# What no such story has, or what would make it another.
_ELSE: Final = frozenset(
    words(
        "SLAB FILL PERM PERMV HALVE DOUBLE TRIPLE FACTORW TIMES RESISTOR OHM INDUCTOR HZ SEC SWITCH"
        " ALTERNATING TIMING MOVED SHORT RATED RATING SQUARE TRIANGLE TETRAHEDRON LADDER RUNG"
        " BRIDGE CUBE STAR CURVED SEMI AREAN LEN AREA PCT NUM NUMS JUNK UNKNOWN ADJACENT SPLITS"
        " POINT POINTS NOT SERSIGN PARSIGN PLUS DASH ENE FIELDN FORCEN TAKEOUT POSITIVE NEGATIVE"
        " BRANCH STAYS AMP HENRY PLATED SYM TOTAL OR"
    )
)
_ELSE_WORDS: Final = frozenset(
    words("""stays stay remain remains still keep keeps kept forgot forget know sure maybe perhaps
    whichever unsure wonder total free only""")
)
_JOINED: Final = ("JOIN", "RESTORED", "LIKEPL", "CROSSED")
_CHARGING: Final = ("CHARGED", "CHGN", "HOLD", "UNCHARGED", "DISCON")


# Nobody knows which plates met: both ways are as likely.
_WHICH_WAY: Final = re.compile(
    r"(?i),? ?(?:but |and )?(?:(?:i|we|he|she|they) )?(?:without (?:looking|checking|watching"
    r"|noting)|(?:do not|don't|did not|didn't|never|cannot|can't|could not|couldn't) (?:remember"
    r"|know|recall|look|note|see|tell)\w*|forgot\w*|(?:is |was )?not (?:sure|known|said|told|clear)"
    r"|no idea)[^.;?,]{0,20}?\b(?:which|what)\b(?: \w+){0,3}? (?:round|around|which"
    r"|polarity|signs?|plates?)\b"
)
_EMPTY: Final = (plainly("NOT CHARGED", "2:UNCHARGED"), plainly("IS UNCHARGED", "2"))


class ChargingStory(NamedTuple):
    """Such a story in the strict notation without what it asks, twice where nobody knows which
    plates were joined, and the same in plain words, of one joining alone, with what it asks.
    """

    signs: tuple[str, ...]
    plainly: str


def charging_story(plain: str) -> ChargingStory | None:
    """The story that a text made plain tells; None for any other."""
    known = _WHICH_WAY.sub(" ", plain)
    pieces = with_polarities(rewritten(_with_poles(put_right(scan(known))), _EMPTY))
    told = [each for each in sentences_of(pieces) if not _is_question(each)]
    tags = {each.tag for said in told for each in said}
    if not ({"CAPV", "LC"} & tags and {"VOLT", "CHG"} & tags and {*_JOINED} & tags):
        return None
    if not (tags & {*_CHARGING} or any(map(_tells_of_charging, told))):
        return None
    try:
        caps, steps = _played(told)
        _refuse_what_is_left(pieces, caps)
    except NoSuchStory:
        return None
    signs = ["; ".join((*_beginnings(caps), *steps))]
    if known != plain:
        signs.append(f"{signs[0]} crossed")
    if len(signs) > 1 and (len(steps) > 1 or len(caps) > 2 or "crossed" in steps[0]):
        return None
    return ChargingStory(tuple(signs), _in_plain_words(caps, steps, _questions(plain)))


def _tells_of_charging(said: Sequence[Chunk]) -> bool:
    """``given 20 V``, ``with 20 V on it``."""
    return any(each.text.lower() == "given" for each in said) or "VOLT ON " in tags_of(said)


def _with_poles(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with his plus and my minus as the plates that they are."""
    return [
        each._replace(tag=_SHORTLY[word]) if (word := each.text.lower()) in _SHORTLY else each
        for each in pieces
    ]


_SHORTLY: Mapping[str, str] = {
    "plus": "POSITIVE", "pluses": "POSITIVE", "minus": "NEGATIVE", "minuses": "NEGATIVE",
    "his": "THE", "her": "THE", "my": "THE", "our": "THE", "your": "THE",
}  # fmt: skip


def _played(told: Sequence[Sequence[Chunk]]) -> tuple[list[ChargedCap], list[str]]:
    """The capacitors, and what is done with them. Errors: ``NoSuchStory``."""
    caps = ChargedCaps()
    joins = ChargedJoins(caps)
    for said in told:
        if any(map(_is_else, said)):
            raise NoSuchStory
        _play(caps, joins, said)
    return caps.told(), joins.told()


def _is_else(piece: Chunk) -> bool:
    if piece.tag == "LETTER":
        return piece.text not in ("A", "I")
    return piece.tag in _ELSE or piece.text.lower() in _ELSE_WORDS


def _play(caps: ChargedCaps, joins: ChargedJoins, said: Sequence[Chunk]) -> None:
    """One sentence."""
    caps.begin()
    at = 0
    while at < len(said):
        at = joins.hear(said, at) or caps.hear(said, at) or at + 1
    joins.end()


def _refuse_what_is_left(pieces: Sequence[Chunk], caps: Sequence[ChargedCap]) -> None:
    """Errors: ``NoSuchStory`` where a value of the text is not in the story."""
    held = {part for each in caps for part in (each.worth, each.begins.rpartition("to ")[2])}
    if any(each.tag in _WORTHS and str(each.datum) not in held for each in pieces):
        raise NoSuchStory


def _in_plain_words(
    caps: Sequence[ChargedCap], steps: Sequence[str], questions: Sequence[str]
) -> str:
    lines = [f"{e.name} = {e.worth} {e.begins or 'uncharged'}." for e in caps]
    if caps[0].in_row:
        lines = [f"{each.name} = {each.worth} charged to {each.in_row}." for each in caps]
    how = "opposite polarity" if "crossed" in steps[-1] else "like plates together"
    return "\n".join((*lines, f"They are joined with {how}.", *questions))


def _questions(plain: str) -> list[str]:
    """What a text asks, in its own words."""
    told = sentences_of(scan(plain))
    ends = [*(each[0].start for each in told[1:]), len(plain)]
    return [
        plain[each[0].start : end].strip()
        for each, end in zip(told, ends, strict=True)
        if _is_question(each)
    ]


def _is_question(said: Sequence[Chunk]) -> bool:
    tags = {each.tag for each in said}
    return bool(tags & {*_ASKS}) or bool(tags & {"PD", "CHGN", "ENERGY"} and not tags & {*_WORTHS})


def _beginnings(caps: Sequence[ChargedCap]) -> Iterator[str]:
    """What each is and what it begins with; those charged in a row, in a row."""
    rows = [each for each in caps if each.in_row]
    if rows:
        chain = " -- ".join(f"{each.name} = {each.worth}" for each in rows)
        yield f"{chain}, across {rows[0].in_row}; then remove supply"
        return
    yield from (f"{each.name} = {each.worth} {each.begins}".strip() for each in caps)
