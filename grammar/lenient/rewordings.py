"""Wordings that come to the same: each is put as the one that the rest of this room knows."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Final

from grammar.lenient.joints_reworded import with_joints_reworded
from grammar.lenient.patterns import Phrase, rewritten, row
from grammar.lenient.tokens import Chunk


def reworded(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every such wording put plainly."""
    return rewritten(with_joints_reworded(pieces), _REWORDINGS)


def _as_volts(inside: Sequence[Chunk]) -> list[Chunk] | None:
    at = next(i for i in reversed(range(len(inside))) if inside[i].tag == "NUM")
    number = inside[at]
    volts = number._replace(tag="VOLT", datum=f"{number.datum} V")
    return [*inside[:at], volts, *inside[at + 1 :]]


def _permittivity(inside: Sequence[Chunk]) -> list[Chunk]:
    return [*inside[:-1], inside[-1]._replace(tag="PERMV")]


def _factor(inside: Sequence[Chunk]) -> list[Chunk]:
    number = next(each for each in inside if each.tag in ("NUM", "WNUM"))
    return [number._replace(tag="FACTOR", text=" ".join(each.text for each in inside))]


def _charging(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``charge a 4 uF to 12 V``: the verb."""
    if inside[0].text.lower() not in ("charge", "charges", "charging"):
        return None
    return [inside[0]._replace(tag="CHARGEV"), *inside[1:]]


def _in_series_with_them(inside: Sequence[Chunk]) -> list[Chunk]:
    """``K before that`` stands in series with it; ``after that a 4`` goes on."""
    *before, mark = inside
    series = mark._replace(tag="SER"), mark._replace(tag="WITH"), mark._replace(tag="THEM")
    return [*before, *series]


def _going_on(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="THEN")]


def _forking(inside: Sequence[Chunk]) -> list[Chunk]:
    """``it splits into 2 uF and 4 uF``; one loop by itself says nothing."""
    fork = next(each for each in inside if each.tag == "SPLITS")
    is_loop = fork.text.lower().startswith("loop")
    return [] if is_loop and not {"WITH", "OF"} & {each.tag for each in inside} else [fork]


def _equals(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``C1 - 20 nF``: a stroke for an equals sign."""
    if inside[1].text not in ("-", "–", "—"):
        return None
    return [inside[0], inside[1]._replace(tag="EQ"), inside[2]]


def _dividing(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="SER"), inside[0]._replace(tag="COLON")]


def _heading(inside: Sequence[Chunk]) -> list[Chunk]:
    return [each for each in inside[:-1] if each.tag != "SERSIGN"]


def _that_stands(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``and that goes in series with a 10u``: no relative word, but what has been joined."""
    word, after = inside[0], inside[1]
    if word.text.lower() != "that" or after.text.lower() in ("are", "were"):
        return None
    return [word._replace(tag="THIS"), word._replace(tag="GROUP", text="group"), after]


_SOME: Final = "(A | CAPV | COMMA | AND | CAP | NAME)+"


def _it(inside: Sequence[Chunk]) -> list[Chunk]:
    """``if its in series``, as on a phone."""
    return [inside[0]._replace(tag="THEM")]


def _of(inside: Sequence[Chunk]) -> list[Chunk]:
    """``a condenser from 5 uF``."""
    return [inside[0]._replace(tag="OF")]


_THE_SWITCH: Final = (
    "(IF | WITH | THE | A | BY | IN | AT)* (ORD1 | ORD2 | OTHER)? SWITCH (NUM | LETTER)?"
    " (IS | THEN | ORD1 | AT | ON | IN | TO | JOIN | MOVED"
    " | (AND | WITH | WNUM | THE)* SWITCH (NUM | LETTER)?)*"
)


def _switch(inside: Sequence[Chunk]) -> list[Chunk]:
    """``the switch is moved to 2``; where it only stands or closes, it says nothing more."""
    moved = [each for each in inside if each.tag in ("MOVED", "ORD2", "OTHER")]
    moved += [each for each in inside if each.text in ("2", "B")]
    return [moved[0]._replace(tag="SWITCHED")] if moved else []


def _instead(inside: Sequence[Chunk]) -> list[Chunk] | None:
    return [] if inside[0].text.lower() == "instead" else None


def _charges_to(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``C1 charges to 60 V``: the verb."""
    if inside[0].text.lower() != "charges":
        return None
    return [inside[0]._replace(tag="CHARGED"), *inside[1:]]


def _to_those_of(inside: Sequence[Chunk]) -> list[Chunk]:
    """``its terminals are joined to those of``: it is."""
    verb = next(each for each in inside if each.tag == "JOIN")
    at = inside.index(verb)
    return [inside[0]._replace(tag="THEM"), verb._replace(tag="IS"), verb, inside[at + 1]]


def _so_are(inside: Sequence[Chunk]) -> list[Chunk]:
    """``10 nF and 15 nF are in parallel, and so are 20 nF and 30 nF``."""
    joint = inside[0]
    at = next(i for i, each in enumerate(inside) if each.tag == "SOARE")
    return [joint, joint._replace(tag="STOP"), *inside[at + 1 :], joint._replace(tag="IS"), joint]


def _empty(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="UNCHARGED")]


def _in_series_sign(inside: Sequence[Chunk]) -> list[Chunk]:
    """``(C2 + series C3)``: both say it."""
    return [inside[0]._replace(tag="SERSIGN")]


def _wire_of_its_own(inside: Sequence[Chunk]) -> list[Chunk]:
    """``the upper wire carries``, ``one fork has``: a branch."""
    return [inside[0], inside[1]._replace(tag="BRANCH")]


def _half_of_it(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``the network has two halves``, ``in the first half``: parts of it."""
    is_noun = inside[1].text.lower() in ("half", "halves")
    return _wire_of_its_own(inside) if is_noun else None


def _first_before(inside: Sequence[Chunk]) -> list[Chunk]:
    """``two first``: the first two."""
    return [inside[1], inside[0]]


def _half(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``in the upper half``."""
    return [inside[0]] if inside[1].text.lower() == "half" else None


def _set_to(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``22p trimmer (set to 18p)``: what it is set to is what it has."""
    verb = next(each for each in inside if each.tag in ("JOIN", "GROUP"))
    return [inside[-2]] if verb.text.lower() in ("set", "adjusted", "trimmed") else None


def _told_in_turn(inside: Sequence[Chunk]) -> list[Chunk]:
    """``two pairs, the first 3 uF and 6 uF in series and the second …``: each by itself."""
    joints = [i for i, each in enumerate(inside) if each.tag in ("SER", "PAR")]
    first = next(i for i, each in enumerate(inside) if each.tag == "ORD1")
    second = next(i for i, each in enumerate(inside) if i > joints[0] and each.tag.startswith("O"))
    stop = inside[0]._replace(tag="STOP")
    return [*inside[first + 1 : joints[0] + 1], stop, *inside[second + 1 :]]


def _two_alike(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``four capacitors are wired two in a row, and that string is paralleled with another like
    it``: two strings of so many.
    """
    counts = [each for each in inside if each.tag in ("WNUM", "COUNT")]
    if int(counts[0].datum) != 2 * int(counts[1].datum):
        return None
    at = next(i for i, each in enumerate(inside) if each is counts[1])
    row = next(each for each in inside if each.tag == "SER")
    strings = row._replace(tag="BRANCH", text="strings")
    two = counts[1]._replace(datum="2")
    shape = [two, strings, row._replace(tag="OF"), counts[1], row]
    return [*inside[:at], *shape, row._replace(tag="COMMA"), row._replace(tag="PAR")]


def _only_the_first(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]]


def _two_ways(inside: Sequence[Chunk]) -> list[Chunk]:
    """``then it forks: upper way 1 uF, …``: in two branches."""
    word = inside[0]
    two = word._replace(tag="WNUM", datum="2"), word._replace(tag="BRANCH", text="branches")
    return [*two, inside[-1]._replace(tag="COMMA")]


def _with_that(inside: Sequence[Chunk]) -> list[Chunk] | None:
    if inside[1].text.lower() != "that":
        return None
    noun = inside[1]._replace(tag="GROUP", text="group")
    return [inside[0], inside[1]._replace(tag="THIS"), noun]


def _parallel_with(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="PAR"), inside[0]._replace(tag="WITH")]


def _parallel_sign(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="PAR")]


def _to_for_two(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``2 a 100 V cell``, as on a phone."""
    return [inside[0]._replace(tag="TO")] if inside[0].text == "2" else None


def _line_going_on(inside: Sequence[Chunk]) -> list[Chunk] | None:
    return [inside[0]] if all("\n" in each.text for each in inside[1:]) else None


def _that_group(inside: Sequence[Chunk]) -> list[Chunk] | None:
    if inside[0].text.lower() != "that":
        return None
    return [inside[0]._replace(tag="THIS"), *inside[1:]]


def _letter_permittivity(inside: Sequence[Chunk]) -> list[Chunk]:
    return [*inside[:-1], inside[-1]._replace(tag="PERMV", datum="k")]


def _as_a_letter(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``a dielectric kappa``: the letter by itself."""
    by_itself = inside[-1].text.lower() in ("k", "kappa")[len(inside) == 1 :]
    return _letter_permittivity(inside) if by_itself else None


def _scaled_permittivity(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``3 kappa``: so many times the letter."""
    number, letter = inside
    if letter.text.lower() not in ("k", "kappa"):
        return None
    return [letter._replace(tag="PERMV", datum=f"{number.datum}k")]


def _charging_up(inside: Sequence[Chunk]) -> list[Chunk]:
    return [inside[0]._replace(tag="CHARGEV")]


def _nothing_more(_inside: Sequence[Chunk]) -> list[Chunk]:
    return []


def _units_in_a_bracket(inside: Sequence[Chunk]) -> list[Chunk]:
    """``(uF, V)``: units for the numbers before; the bracket goes."""
    return [each for each in inside if each.tag == "UNITF"]


def _chaining(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``chain a 3 uF onto that``: the verb, and so in series with it."""
    verb, *chained, onto = inside
    if verb.text.lower() not in ("chain", "string"):
        return None
    return [*chained, verb._replace(tag="SER"), onto._replace(tag="WITH")]


def _beside_them(inside: Sequence[Chunk]) -> list[Chunk]:
    """``parallel 4 uF over both``: joined so with what is pointed at."""
    joint, value, across = inside
    return [value, joint, across._replace(tag="WITH")]


def _across_the_same(inside: Sequence[Chunk]) -> list[Chunk]:
    """``all across the same 6 V``: in parallel, and so supplied."""
    first, volts = inside[0], inside[-1]
    return [first._replace(tag="PAR"), first._replace(tag="COMMA"), volts]


def _each_of_them(inside: Sequence[Chunk]) -> list[Chunk]:
    """``two capacitors, each of 10 uF``: two 10 uF capacitors."""
    return [inside[0], inside[-1], inside[1]]


def _by_the_first(inside: Sequence[Chunk]) -> list[Chunk]:
    """``C1 is 9 uF, C2 is the same, C3 is twice that``: values told by the one before."""
    found: list[Chunk] = []
    worth = next(each for each in inside if each.tag == "CAPV")
    for piece in inside:
        if piece.tag in ("EQUAL", "DOUBLE"):
            number, _, unit = str(worth.datum).partition(" ")
            if piece.tag == "DOUBLE" and unit:
                number = str(2 * Decimal(number))
            worth = piece._replace(tag="CAPV", datum=f"{number} {unit}".strip())
            found.append(worth)
        elif piece.tag not in ("THE", "THIS", "WHICH"):
            found.append(piece)
    return found


def _one_by_one(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``both charged by the same supply, one after another``: in turn, and not in a row."""
    if " after " not in inside[-1].text.lower():
        return None
    return [each for each in inside[:-1] if each.tag != "COMMA"]


_REWORDINGS: Final = tuple(
    Phrase(row(pattern), build)
    for pattern, build in (
        (
            "OPEN (ALL | IN | COMMA | VALUE)* UNITF (COMMA | AND | LV | VOLT)* CLOSE",
            _units_in_a_bracket),
        ("(ALL | BOTH) (IN | CAPN | IS | COMMA)* UNITF", _units_in_a_bracket),
        ("(GROUP | BRANCH) (A | THE)? (CAPV | NAME | NUM) CAP? TO", _chaining),
        (
            "CHARGED (BY | FROM | TO | THE | EQUAL | A | OFF | WITH)* VOLT SOURCE? COMMA? SER",
            _one_by_one),
        ("PAR CAPV (ACROSS | TO) (?=(BOTH|THEM|WHOLE|THIS) )", _beside_them),
        ("(?<=STOP )WHICH (SER | PAR | IS | JOIN | IN)", _that_stands),
        ("(?<=AND )WHICH (IS | JOIN | IN)", _that_stands),
        ("THEIR (?=IN |SER |PAR |JOIN (TO|WITH|ACROSS) )", _it),
        (f"{_THE_SWITCH} (TO | AT | ON | THE | POINT | OFSIDE | NUM | OTHER)*", _switch),
        ("NOT (?=STOP |COMMA |QUERY |$)", _instead),
        ("(?<=TO )(SYM | LV) EQ (?=VOLT )", _nothing_more),
        ("(?<=VOLT AND )(SYM | LV) EQ (?=VOLT )", _nothing_more),
        ("CHGN UP? TO (?=A? (PD OF)? VOLT )", _charges_to),
        (
            "(THEIR | THE) (TERMINAL | PLATE) IS? JOIN (TO | WITH | ACROSS)"
            " (THIS | THE | TERMINAL | PLATE)* OF", _to_those_of),
        ("(?<=CAP )FROM (?=A? CAPV )", _of),
        ("(?<=CHARGED )NUM (?=VOLT )", _to_for_two),
        ("(?<=CAP )BY (?=CAPV )", _of),
        ("NOT (OF | WHICH | THEM | IS | BOTH)* CHARGED", _empty),
        (
            "(WNUM | COUNT) GROUP COMMA THE? ORD1 (IS | OF | HOLD | COLON)*"
            f" {_SOME} IN? (SER | PAR) (COMMA | AND)+ THE? (ORD2 | OTHER) (IS | OF | HOLD | COLON)*"
            f" {_SOME} IN? (SER | PAR)", _told_in_turn),
        (
            "(WNUM | COUNT) CAPV CAP IS JOIN (WNUM | COUNT) IN? SER (COMMA | AND)+"
            " (WHICH | THIS | THE) BRANCH IS? JOIN? IN? (PAR WITH | PARBY) OTHER BRANCH LIKE THEM",
            _two_alike),
        ("OPEN (LETTER | LC) (IS | AT)? (PLUS | POSITIVE | NEGATIVE | DASH) CLOSE", _nothing_more),
        ("SLAB (COLON | OF | IS | EQ) (SLAB | COMMA)* NUM (?=STOP |COMMA |$)", _permittivity),
        ("PLUS SER (?=NAME |CAPV )", _in_series_sign),
        ("CAPV CAP? OPEN (JOIN | GROUP) TO CAPV CLOSE", _set_to),
        (
            "(SER | PAR) (COMMA | STOP | AND)* SOARE (A | THE | CAPV | CAP | NAME | AND | COMMA)+",
            _so_are),

        ("NOT (?=(THE |A )?(PD|CHGN|ENERGY) )", _nothing_more),
        ("(?<=COMMA )WHICH (IS | JOIN | IN)", _that_stands),
        ("^IS? WNUM COLON (?=(A )?(CAPV|NUM) )", _nothing_more),
        ("(ALL | BOTH | EACH) (JOIN | IS)* (ACROSS | ON | TO) THE EQUAL VOLT", _across_the_same),
        ("WNUM CAP COMMA EACH OF? CAPV", _each_of_them),
        (
            "NAME IS CAPV ((COMMA | STOP | AND)+ NAME IS (THE EQUAL | DOUBLE (THIS | WHICH)))+"
            " (?=COMMA |STOP |AND |$)", _by_the_first),
        ("NAME (SERSIGN | DASH) CAPV", _equals),
        ("(?<=NUM )SLAB (?=COMMA |STOP |AND |CAP |$)", _nothing_more),
        ("DIVIDER (COLON | OF | WITH)*", _dividing),
        ("(WITH | TO | ACROSS | ON) WHICH (?=STOP |COMMA |VOLT |QUERY |AND |$)", _with_that),
        ("(?<=VOLT )LETTER (?=SOURCE )", _nothing_more),
        ("STOP SERSIGN STOP", _heading),
        ("PARBY", _parallel_with),
        ("IS AND (?=JOIN |IN |SER |PAR )", _only_the_first),
        (
            "(THEM | THE | JOIN)* SPLITS (TO | IN | UP)* (COLON | STOP | COMMA)"
            " (?=(THE )?(TOP|ONE|ORD1) )", _two_ways),
        ("PARSIGN (?=COMMA |STOP |CLOSE |THEN |$)", _parallel_sign),
        ("SEMI (?=SOURCE )", _nothing_more),
        ("NUM (?=A VOLT |BOTH |THEM |THE |THIS |WHOLE )", _to_for_two),
        ("(WITH | AND | TO | COMMA | PLUS) STOP+", _line_going_on),
        ("WHICH (SER | PAR)? GROUP", _that_group),
        ("(LV | LU) (EQ | IS | COLON) NUM", _as_volts),
        (
            "(SOURCE | PD) (OF | IS | EQ | COLON | APPLY | AT)* NUM (?!CAP|UNITF|GROUP|BRANCH|COMMA"
            " NUM)", _as_volts),
        ("(?<=CAPV )DASH (?=CAPV )", _in_series_sign),
        ("(TOP | BOTTOM | MIDDLE) JOIN (?=(HOLD|OF|IS|COLON) )", _wire_of_its_own),
        ("ONE SPLITS (?=(HOLD|OF|IS|COLON) )", _wire_of_its_own),
        ("(ORD1 | ORD2 | OTHER | ONE) WNUM", _half_of_it),
        ("(WNUM | BOTH | THE) HALVE", _half_of_it),
        ("DOUBLE (?=(GROUP|BRANCH) )", _nothing_more),
        ("WNUM ORD1 (?=(IS|JOIN|IN|SER|PAR|CAP) )", _first_before),
        ("(TOP | BOTTOM | SIDE) WNUM", _half),
        (
            "(CAPV | NAME | CAP | IS | ORD1 | ORD2 | ORD3 | ORDLAST | ONE | NUMS | NUM)"
            " SERALL", _in_series_with_them),
        ("SERALL", _going_on),
        (
            "(THEM | THE | A | ONE | JOIN | GROUP | TO | THEIR)* SPLITS"
            " (TO | IN | UP | WITH | OF | COLON | COMMA)*",
            _forking),
        ("(WITH | AND | TO | COMMA | PLUS | THEN)* THEN STOP+", _line_going_on),
        ("(NUM | WNUM) FACTORW", _factor),
        (
            "(?<!THE )(?<!A )(?<!CEQ )(?<!OF )(?<!WISHV )CHGN"
            " (A | THEM | THE (CAPV | CAP | NAME) | CAPV | NAME | WNUM |"
            " COUNT | EACH | BOTH)", _charging),
        ("PERM (OF | EQ | IS | A | ABOUT | COLON)* NUM", _permittivity),
        ("PERM (OF | EQ | IS | A)* PERM", _letter_permittivity),
        (
            "SLAB (OF | A | COMMA)* PERM (?!OF|EQ|COLON|NUM|PERM|PERMV|IS NUM|IS ABOUT)",
            _as_a_letter),
        ("NUM PERM (?!OF|EQ|COLON|NUM|PERM|PERMV)", _scaled_permittivity),
        ("PERM (?=AND |COMMA |STOP |$)", _as_a_letter),
        (
            "(?<!THE )(?<!A )(?<!DET )(?<!OTHER )(?<!THIS )(?<!WNUM )CHARGED (UP)?"
            " (?=(A|CAPV|NAME|THEM|EACH|BOTH|WNUM|COUNT|ALL|THE|DET) )", _charging_up),
    )
)  # fmt: skip
