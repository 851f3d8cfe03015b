"""Which capacitances of a text are not of parts: what the whole makes, and those that are sought.

A value is that of the whole after a word for it (the total is 6 uF), and, where a capacitor is
sought, after a verb that tells what comes out (gives 6 uF, to get 6 uF). Where all capacitors are
sought, every value is what they come to, unless it is said of one or is by how much they differ.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Final

from grammar.lenient.concepts import words
from grammar.lenient.patterns import found_in, plainly, rewritten, row, tags_of
from grammar.lenient.tokens import Chunk

_WHOLE = "(GROUP | WHOLE | THEM | BOTH | TOGETHER | THIS)"
_LINKS = "(A | THE | CEQ | CAPN | OF | ABOUT | EQ | AT)*"
_SURE: Final = (
    f"(THE | A | THEIR)* CEQ+ CAPN* (OF (THE | THIS | THEIR | BOTH)* {_WHOLE} (OF"
    f" THEM)?)? (IS | EQ | COLON | JOIN | TO)+ {_LINKS} CAPV"
    " (?!IN |SER |PAR |PARSIGN |SERSIGN |OPEN )",
    "(A | DET) CEQ+ CAPN* OF CAPV",
    f"(?<!OF )(THE | A | THIS)* {_WHOLE} (IS | HOLD | OF | WITH)+ (A | THE | CEQ)* CAPN (OF |"
    f" IS | EQ)+ CAPV",
    "(?<=COMMA )(THEM | BOTH | ALL | THIS | WNUM)* TOGETHER (IS | EQ | JOIN | TO)* CAPV"
    " (?=STOP |QUERY |COMMA |$)",
    "(THE | THEIR)* CAPN OF (THE | THIS)* (WHOLE | GROUP) (IS | EQ)+ CAPV",
)  # fmt: skip
_CLAIMED = "CLAIM A? CAPV | (?<=SER )EQ CAPV QUERY | (?<=PAR )EQ CAPV QUERY"
_COMES_OUT: Final = frozenset(
    words(
        "give gives giving gave make makes making made get gets getting got obtain obtains yield "
        "yields equal equals become becomes becoming reach reaches bring brings bringing brought "
        "reduce reduces lower lowers raise raises come comes came total totals result results "
        "be increase increases decrease decreases end ends wind for reads read shows measures"
    )
).union(("end up with", "end up at", "wind up with", "finish up with", "arrive at", "come out at"))
# Those that say so whatever is asked; others only where a capacitor is clearly sought.
_SURELY_COMES_OUT: Final = _COMES_OUT - frozenset(words("be for end ends wind"))
_WANTED: Final = ("need", "needs", "want", "wants")
# Between such a verb and the value that comes out.
_BEFORE_WHAT_COMES_OUT: Final = frozenset(
    words("A THE THEIR DET CEQ CAPN OF ABOUT TO TOGETHER THEM BOTH WHOLE GROUP THIS IN ALL AT UP")
)
# What may stand between asking and the joint: how big a capacitor do I have to put in series with.
_ASKED_FOR: Final = (
    "WISHV (WISHV | CLAIM | OF | TO | IS | A | THE | DET | CAP | CAPN | WHICH | THEM | JOIN | APPLY"
    " | TAKE | HOLD | OTHER | SINGLE | CAN | FOR | BE | SOUGHT | LC | MANY)*"
    " (?=(IN )?(SER|PAR) (WITH|TO) )",
    "(WISHV | WHICH) (OTHER | SINGLE)* (CAPN (OF (A | THE)* CAP)? | CAP)"
    " (?=(IS|JOIN|CAP|NAME|IN|SER|PAR|TO|APPLY|WISHV|COMMA) )",
    "(?<=CAPV AND )CAPN (?=(IN|SER|PAR) )",
)
_OTHER_SOUGHT: Final = row(
    "(WISHV | CAPN OF | IS)+ THE (OTHER | UNKNOWN | ORD2 | ORD3 | ORDLAST) | (THE | A) OTHER QUERY"
    " | UNKNOWN | EQ QUERY"
)
_A_NAME: Final = row("WISHV (IS | THE | CAPN | OF | COLON)* NAME")
_VALUED: Final = row(
    "NAME CLOSE? (EQ | IS | OF | COLON | OPEN | WITH | A | CAPN | COMMA | CAP)* CAPV"
)
_WITHOUT_VALUE: Final = row("(?<!CAPV )CAP (?=(IN |JOIN |IS )*(SER|PAR) )")
_MOST_VALUES: Final = 6
_NEAR: Final = 6  # pieces from a name up to its value


def with_sought(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with what the whole makes a TOTAL, and the one that is sought an unknown one."""
    found = _of_its_facts(rewritten(rewritten(_with_the_lone_one(pieces), _SOMETHING), _SURELY))
    found = _as_claimed(found)
    asks = any(each.tag in ("WISHV", "QUERY", "UNKNOWN") for each in found)
    if not asks or sum(each.tag == "CAPV" for each in found) > _MOST_VALUES:
        return found
    sought = rewritten(found, _AS_SOUGHT)
    is_sought = sought != found or found_in(_OTHER_SOUGHT, found) is not None
    is_sought = is_sought or _wants_a_name(found) or _leaves_one_open(found)
    if any(each.tag == "TOTAL" for each in found):
        return _with_the_open_one(sought)
    if not is_sought:
        return found
    given = _with_what_comes_out(sought)
    told = any(each.tag in ("TOTAL", "VOLT", "CHG", "ENE") for each in given)
    return _with_the_open_one(given) if told else found


def _with_the_lone_one(pieces: Sequence[Chunk]) -> Sequence[Chunk]:
    """``a capacitor holds 0.36 J at 120 V, what is its capacitance?``: the only one is sought."""
    tags = [each.tag for each in pieces]
    told = {*tags}
    lone = tags.count("CAP") == 1 and not told & {*_OF_OTHERS} and "VOLT" in told
    asks = found_in(_ASKS_ITS_WORTH, pieces) is not None
    if not (lone and asks and (tags.count("ENE") + tags.count("CHG") == 1)):
        return pieces
    at = tags.index("CAP") + 1
    return [*pieces[:at], pieces[at - 1]._replace(tag="UNKNOWN"), *pieces[at:]]


_OF_OTHERS: Final = words(
    "CAPV UNKNOWN NAME SER PAR LEN AREA PERMV COUNT WNUM BOTH EACH GROUP JOINTO OTHER SERSIGN"
    " PARSIGN SWITCH DISCON"
)
_ASKS_ITS_WORTH: Final = row("(WISHV | WHICH) (IS | THE | THEIR | HOLD | A | OF)* CAPN")


def _with_the_open_one(pieces: list[Chunk]) -> list[Chunk]:
    """``a capacitor in parallel with a 4 uF one brings the total to 6 uF``: the first is sought."""
    is_said = any(each.tag == "UNKNOWN" for each in pieces)
    return pieces if is_said else rewritten(pieces, _OPEN)


def _leaves_one_open(pieces: Sequence[Chunk]) -> bool:
    """Whether something comes out of a joint in which a capacitor has no value: what is it?"""
    values = [i for i, each in enumerate(pieces) if each.tag == "CAPV"]
    told = [i for i in values if _word(pieces, i) in _SURELY_COMES_OUT and _comes_out(pieces, i)]
    return len(values) == 2 and bool(told) and found_in(_WITHOUT_VALUE, pieces) is not None


def _wants_a_name(pieces: Sequence[Chunk]) -> bool:
    """Whether a capacitor is asked for by its name, and nothing gives it a value."""
    wished = found_in(_A_NAME, pieces)
    if wished is None:
        return False
    name = pieces[wished[1] - 1].datum
    places = [i for i, each in enumerate(pieces) if each.tag == "NAME" and each.datum == name]
    return not any(_VALUED.match(tags_of(pieces[at : at + _NEAR])) for at in places)


def _with_what_comes_out(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with the likeliest value as that of the whole."""
    whole = _whole_at_the_end(pieces)
    if whole is not None:
        return whole
    values = [i for i, each in enumerate(pieces) if each.tag == "CAPV"]
    likely = [i for i in values if _comes_out(pieces, i)]
    likely += [i for i in values if _word(pieces, i) in _WANTED]
    if not likely:
        return list(pieces)
    at = likely[0]
    total = pieces[at]._replace(tag="TOTAL")
    return [*pieces[: _verb_before(pieces, at)], total, *pieces[at + 1 :]]


def _comes_out(pieces: Sequence[Chunk], at: int) -> bool:
    before = max(_verb_before(pieces, at), 0)
    earlier = pieces[:before]
    if _word(pieces, at) in _COMES_OUT:
        return any(each.tag in ("SER", "PAR", "UNKNOWN") for each in earlier)
    after_a_joint = bool(earlier) and earlier[-1].tag in ("SER", "PAR", "WHOLE", "GROUP")
    return after_a_joint and pieces[before].tag in ("IS", "EQ")


def _word(pieces: Sequence[Chunk], at: int) -> str:
    return pieces[max(_verb_before(pieces, at), 0)].text.lower()


def _verb_before(pieces: Sequence[Chunk], at: int) -> int:
    """Where the verb stands of which a value may be what comes out; at least the one before it."""
    verb = at - 1
    while verb > 0 and pieces[verb].tag in _BEFORE_WHAT_COMES_OUT:
        if pieces[verb].text.lower() in (*_COMES_OUT, *_WANTED):
            break
        verb -= 1
    return verb


def _whole_at_the_end(pieces: Sequence[Chunk]) -> list[Chunk] | None:
    """``the equivalent capacitance of 3 uF in series with an unknown one is 2 uF``."""
    start = found_in(row("(THE)? CEQ CAPN? OF"), pieces)
    end = found_in(row("IS CAPV (?=STOP |QUERY |COMMA |$)"), pieces, start[1] if start else 0)
    if start is None or end is None:
        return None
    total = pieces[end[1] - 1]._replace(tag="TOTAL")
    return [*pieces[: start[0]], *pieces[start[1] : end[0]], total, *pieces[end[1] :]]


def _as_claimed(pieces: list[Chunk]) -> list[Chunk]:
    """``is 4 uF in series with 12 uF 3 uF?``: what is put forward is to be shown."""
    asked_of_it = any(e.tag == "IS" and e.text.lower() == "be" for e in pieces)
    asked_of_it = asked_of_it and found_in(row("CEQ"), pieces) is not None
    asked_of_it = asked_of_it and pieces[-1].tag == "QUERY"
    if asked_of_it or any(each.tag == "CLAIM" for each in pieces):
        return rewritten(pieces, _CLAIMED_LAST)
    return pieces


def _of_its_facts(pieces: list[Chunk]) -> list[Chunk]:
    """``what capacitance stores 2 J at 200 V``: no capacitor is named, so that one is sought."""
    tags = [each.tag for each in pieces]
    if {"CAPV", "NAME", "CAP", "UNKNOWN"} & {*tags} or "CAPN" not in tags or "WISHV" not in tags:
        return pieces
    return rewritten(pieces, (plainly("CAPN", _UNKNOWN),))


# ``I need C so that 9 uF and C in series …``: the second C is the one that is sought.
_UNKNOWN: Final = "-1:UNKNOWN -1:CAP=capacitor"
_SOMETHING: Final = (
    plainly("(A | THE)? UNKNOWN NAME (?!EQ CAPV)", "NAME UNKNOWN:EQ UNKNOWN"),
    plainly("(?<=WISHV )CAPN (?=(A )?CAPV (AND|WITH) CAPN )"),
    plainly(
        "(?<!OF )(?<!IS )(?<!EQ )(?<!NAME )(A | ONE)? UNKNOWN ONE? (?!CAP|CAPN|NAME|OF)", _UNKNOWN
    ),
)
_OPEN: Final = tuple(
    plainly(f"{pattern} (?=(IN |JOIN |IS )*(SER|PAR) (WITH|TO) )", _UNKNOWN)
    for pattern in ("(?<!CAPV )CAP", "(A ORD2 | A? OTHER) ONE")
)
_SURELY: Final = tuple(plainly(pattern, "CAPV:TOTAL") for pattern in (*_SURE, _CLAIMED))
_CLAIMED_LAST: Final = (
    plainly(
        "(APPLY | IS | JOIN) (A | CEQ | CAPN | OF | ABOUT)* CAPV (?=QUERY |STOP |$)", "-1:TOTAL"
    ),
)
_AS_SOUGHT: Final = tuple(plainly(pattern, _UNKNOWN) for pattern in _ASKED_FOR)


# All of them sought

SIGNS: Final[Mapping[str, str]] = MappingProxyType(
    {"SER": "--", "SERSIGN": "--", "PAR": "||", "PARSIGN": "||"}
)
_BEFORE_ITS_OWN: Final = frozenset(words("A THE CAPN OF WITH ABOUT COMMA IN"))
_THE_SOUGHT: Final = frozenset(words("THEM EACH BOTH UNKNOWN NAME WNUM OTHER THEIR"))
_MOST: Final = 12


def all_sought(pieces: Sequence[Chunk]) -> str | None:
    """Capacitors of which none has a value, told by what they come to together, in the strict
    notation; None for any other text.
    """
    pieces = sorted(pieces, key=lambda each: each.start)
    values = [i for i, each in enumerate(pieces) if each.tag == "CAPV" and _has_unit(each)]
    ways = [each for each in pieces if each.tag in SIGNS]
    if not ways or not 1 <= len(values) <= 2 or any(_is_of_one(pieces, at) for at in values):
        return None
    if any(each.tag in ("VOLT", "CHG", "RATED") for each in pieces):
        return None
    if any(each.tag == "EQUAL" for each in pieces):
        return _equal_ones(pieces, values, ways)
    names = _two(pieces)
    if names is None or not _asks_for_them(pieces):
        return None
    facts = dict(_facts(pieces, names, values, ways))
    if len(facts) != 2:
        return None
    return "; ".join([*(f"{each} = ?" for each in names), *facts.values()])


def _has_unit(piece: Chunk) -> bool:
    return any(letter.isalpha() for letter in piece.text)


def _is_of_one(pieces: Sequence[Chunk], at: int) -> bool:
    """Whether a value is that of one capacitor, or of each: ``three of 6 uF``, ``C1 = 4 uF``."""
    if _is_difference(pieces, at):
        return False
    if {each.tag for each in pieces[at + 1 : at + 2]} & {"EACH", "CAP"}:
        return True
    before = [each.tag for each in pieces[:at] if each.tag not in _BEFORE_ITS_OWN]
    if before[-2:] in (["NAME", "EQ"], ["NAME", "IS"]):
        return not {*before[-3:-2]} & {"AND", *SIGNS}
    if before[-1:] == ["EQUAL"]:  # three capacitors equal of 9 pF
        return before[-2:-1] == ["CAP"]
    return bool({*before[-1:]} & {"CAP", "EACH", "WNUM", "COUNT"})


def _equal_ones(
    pieces: Sequence[Chunk], values: Sequence[int], ways: Sequence[Chunk]
) -> str | None:
    """``three equal capacitors in series make 2 uF``."""
    numbers = _numbers(pieces)
    if len(values) != 1 or not numbers or not 2 <= numbers[0] <= _MOST:
        return None
    value = pieces[values[0]]
    way = min(ways, key=lambda each: _apart(pieces, value, each))
    names = [f"C{n}" for n in range(1, numbers[0] + 1)]
    joined = f" {SIGNS[way.tag]} ".join(names)
    sought = "; ".join(f"{name} = ?" for name in names)
    return f"{sought}; {' = '.join(names)}; {joined} = {value.datum}"


def _apart(pieces: Sequence[Chunk], one: Chunk, other: Chunk) -> tuple[int, int]:
    """How far two pieces stand apart: sentences first, then pieces."""
    start, end = sorted((one.start, other.start))
    between = [each for each in pieces if start < each.start < end]
    return sum(each.tag in ("STOP", "QUERY") for each in between), len(between)


def _numbers(pieces: Sequence[Chunk]) -> list[int]:
    """What is counted."""
    counts = [str(each.datum) for each in pieces if each.tag in ("WNUM", "COUNT")]
    return [int(each) for each in counts if each.isdigit()]


def _two(pieces: Sequence[Chunk]) -> tuple[str, str] | None:
    """The names of the two that are spoken of, where it is two."""
    names = list(dict.fromkeys(str(each.datum) for each in pieces if each.tag == "NAME"))
    if len(names) == 2:
        return names[0], names[1]
    one_and_other = {"ONE", "OTHER"} <= {each.tag for each in pieces}
    return ("C1", "C2") if not names and (2 in _numbers(pieces) or one_and_other) else None


def _asks_for_them(pieces: Sequence[Chunk]) -> bool:
    wishes = [at for at, each in enumerate(pieces) if each.tag in ("WISHV", "QUERY")]
    by_names = not wishes and {"NAME", "EQ"} <= {each.tag for each in pieces}
    return by_names or any({each.tag for each in pieces[at:]} & _THE_SOUGHT for at in wishes)


def _facts(
    pieces: Sequence[Chunk], names: tuple[str, str], values: Sequence[int], ways: Sequence[Chunk]
) -> Iterator[tuple[str, str]]:
    """What is known of both, by its kind."""
    one, other = names
    if (times := _ratio(pieces, names)) is not None:
        yield "/", times
    differences = [at for at in values if _is_difference(pieces, at)]
    for at in differences:
        yield "-", f"{one} - {other} = {pieces[at].datum}"
    totals = [at for at in values if at not in differences]
    for at, way in zip(totals, ways, strict=False):
        yield SIGNS[way.tag], f"{one} {SIGNS[way.tag]} {other} = {pieces[at].datum}"


def _is_difference(pieces: Sequence[Chunk], at: int) -> bool:
    """``differ by 3 uF``, ``the difference of the two is 3 uF``, ``3 uF more than the other``."""
    before = [each for each in pieces[max(0, at - 7) : at] if each.tag != "THE"]
    after = [each.tag for each in pieces[at + 1 : at + 4] if each.tag != "THE"]
    if after[:1] == ["NAME"]:
        return after[1:2] != ["EQ"] and bool(before) and before[-1].tag in ("IS", "EQ")
    by = bool(before) and before[-1].tag == "OF" and before[-1].text.lower() == "by"
    spoken = any(each.tag == "PD" and each.text.lower() == "difference" for each in before)
    return by or spoken or after[:1] == ["OTHER"]


_NUMBER: Final = re.compile(r"\d+(?:\.\d*)?|\.\d+")


def _ratio(pieces: Sequence[Chunk], names: tuple[str, str]) -> str | None:
    """``C1 = 3 C2``, ``one is twice the other``, ``in the ratio 3 : 1``."""
    for at, each in enumerate(pieces):
        named = [str(p.datum) for p in pieces[:at] if p.tag == "NAME"]
        first = named[-1] if named else names[0]
        other = names[first == names[0]]
        if each.tag in ("DOUBLE", "FACTOR"):
            return f"{first} / {other} = {each.datum or 2}"
        if each.tag == "COLON" and (shares := _shares(pieces[at - 1 : at + 2])) is not None:
            larger, smaller = names if shares[0] >= shares[1] else names[::-1]
            return f"{larger} / {smaller} = {max(shares) / min(shares):.10g}"
        if each.tag == "CAPV" and not _has_unit(each) and pieces[at - 1].tag in ("EQ", "IS"):
            rest = [p for p in pieces[at + 1 : at + 3] if p.tag != "TIMES"]
            if rest and rest[0].tag == "NAME" and rest[0].datum == other:
                return f"{first} / {other} = {each.text}"
    return None


def _shares(around: Sequence[Chunk]) -> tuple[float, float] | None:
    """The two numbers of a ratio, on both sides of its colon; neither is nought."""
    sides = [float(each.text) for each in around[::2] if _NUMBER.fullmatch(each.text)]
    return (sides[0], sides[1]) if len(sides) == 2 and all(sides) else None
