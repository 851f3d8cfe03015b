"""Wordings that come to the same: each is put as the one that the rest of this room knows."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Final

from grammar.lenient.patterns import Phrase, plainly, rewritten, row
from grammar.lenient.tokens import Chunk


def reworded(pieces: Sequence[Chunk]) -> list[Chunk]:
    """The pieces with every such wording put plainly."""
    return rewritten(pieces, _WORDINGS)


def _as_volts(inside: Sequence[Chunk]) -> list[Chunk]:
    number = inside[-1]
    return [*inside[:-1], number._replace(tag="VOLT", datum=f"{number.datum} V")]


def _each_with_its_value(inside: Sequence[Chunk]) -> list[Chunk]:
    """``Ca, 1 uF, Cb, 2 uF``: each with the value behind it."""
    found = list(inside)
    for at, each in enumerate(inside[:-1]):
        if each.tag == "COMMA" and inside[at - 1].tag == "NAME":
            found[at] = each._replace(tag="EQ")
    return found


def _switch(inside: Sequence[Chunk]) -> list[Chunk]:
    """``the switch is moved to 2``; where it only stands or closes, it says nothing more."""
    moved = [each for each in inside if each.tag in ("MOVED", "ORD2", "OTHER")]
    moved += [each for each in inside if each.text in ("2", "B")]
    return [moved[0]._replace(tag="SWITCHED")] if moved else []


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


def _scaled_permittivity(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``3 kappa``: so many times the letter."""
    number, letter = inside
    if letter.text.lower() not in ("k", "kappa"):
        return None
    return [letter._replace(tag="PERMV", datum=f"{number.datum}k")]


def _some_out_of(inside: Sequence[Chunk]) -> list[Chunk]:
    """``three of my five 10 uF capacitors``: all that there are, then so many of them."""
    first, of = inside[:2]
    all_of_them = [each for each in inside[2:] if each.tag not in ("THE", "THEIR")]
    many = first._replace(tag="WNUM")
    return [*all_of_them, of._replace(tag="STOP"), many, of, of._replace(tag="THEM", text="them")]


def _some_and_the_other(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``three capacitors, two of which are of 4 nF while the third is of 2 nF``: each as listed."""
    all_told, some = (each for each in inside if each.tag in ("WNUM", "COUNT"))
    if int(all_told.datum) != int(some.datum) + 1:
        return None
    first, other = (each for each in inside if each.tag == "CAPV")
    noun = inside[1]
    article = some._replace(tag="A", text="a", datum=None)
    return [some, first, noun, article._replace(tag="AND", text="and"), article, other]


def _worth_said_last(inside: Sequence[Chunk]) -> list[Chunk]:
    """``the first two are in series, 6 uF both``: the value with what has it."""
    many, worth = inside[0], next(each for each in inside if each.tag == "CAPV")
    rest = [each for each in inside[1:-2] if each.tag not in ("COMMA", "A", "CAP")]
    return [many, worth, worth._replace(tag="CAP", text="capacitors", datum=None), *rest]


def _with_one_joined_otherwise(inside: Sequence[Chunk]) -> list[Chunk] | None:
    """``two 9 uF side by side with a 6 uF in series``: the 6 uF is in series with the two."""
    first, second = (i for i, each in enumerate(inside) if each.tag in ("SER", "PAR"))
    if inside[first].tag == inside[second].tag:
        return None
    joined = [each for each in inside[first + 2 : second] if each.tag != "IN"]
    return [*inside[: first + 1], inside[second], inside[first + 1], *joined]


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


# Not after what something is joined to: of what one speaks there is open.
_NO_OBJECT: Final = "(?<!WITH )(?<!WITH A )(?<!TO )(?<!TO A )"
_SOME: Final = "(A | CAPV | COMMA | AND | CAP | NAME)+"
_THE_SWITCH: Final = (
    "(IF | WITH | THE | A | BY | IN | AT)* (ORD1 | ORD2 | OTHER)? SWITCH (NUM | LETTER)?"
    " (IS | THEN | ORD1 | AT | ON | IN | TO | JOIN | MOVED"
    " | (AND | WITH | WNUM | THE)* SWITCH (NUM | LETTER)?)*"
)
_IS_SHARED: Final = (
    "(IS | ALL | THIS)* (SPLITS | JOIN) (BETWEEN | ACROSS | ON | IN | TO | THEM | THE | BOTH | WNUM"
    " | CAP | UP | ALL | OFF | THIS | ONE | EACH | GROUP | THEN)* (?=QUERY |STOP |COMMA |$)"
)
_SAID_SHARED: Final = r"how\b.*\b(?:split|shar|divid|distribut)"
_FORKS: Final = "(THEM | THE | A | ONE | JOIN | GROUP | TO | THEIR)* SPLITS"
_WHAT_WAS_JOINED: Final = "1:THIS 1:GROUP=group 2"  # and that goes in series with a 10u
_AFTER_A_BREAK: Final = "((?<=STOP )|(?<=AND )|(?<=COMMA ))"

# The wordings of one thing stand together; what takes more pieces stands before what takes fewer.
_WORDINGS: Final[tuple[Phrase, ...]] = (
    # Which capacitors, and what each has; 3 uF || 5 uF hold 40 uC: both do.
    plainly(
        "(SERSIGN | PARSIGN) (CAPV | NAME) HOLD",
        "1 2 3:COMMA 3:THEM 3",
        r".* (?:hold|store"
        "|carry)$",
    ),
    plainly("(THEM | THIS) NUM (?=(IS |JOIN )*(IN )?(SER|PAR) )", "1:THIS 2:WNUM", r"\S+ [234]$"),
    Phrase(row("NAME COMMA CAPV ((COMMA | AND)+ NAME COMMA CAPV)+"), _each_with_its_value),
    plainly("(?<=GROUP )THEM (?=A? CAPV )"),  # in the second pair it is a 4
    plainly("THE EQUAL WNUM (?=(IS|JOIN|IN|SER|PAR|CAP) )", "1:THIS 3"),  # the same two
    plainly("TOGETHER THEM (OF | HOLD) CAPV", "1:CEQ 3:IS -1"),  # together they have 10 nF
    plainly("WISHV NAME (FOR | COLON)", "1 2:CEQ 3:STOP", r"\S+ (?-i:C_?[A-Z]{2}) "),  # find C_AB
    # (4 uF || 2 uF) + 3 uF in series = ?
    plainly("((?<=CAPV )|(?<=CLOSE )|(?<=SER )|(?<=PAR ))EQ (?=QUERY )", "1:COMMA 1:WISHV 1:CEQ"),
    # it is 5 uF and has 12 V across it, and on it lie 12 V: its own p.d., and not that of all
    plainly(
        f"{_NO_OBJECT}(CAPV | NAME) CAP? (COMMA | AND | WHICH | THEM)* (WITH | OF | HOLD | IS)+"
        " (A PD OF)? VOLT (ACROSS | ON) THEM",
        "1 VOLT:OF VOLT:PD VOLT",
        r".* (?:it|itself)$",
    ),
    plainly(
        f"{_NO_OBJECT}(CAPV | NAME) CAP? (COMMA | AND | WHICH | THEM)* (WITH | OF | HOLD | IS)+"
        " (A CHGN OF)? (CHG | ENE) (ON | IN | ACROSS) THEM",
        "1 -3:HOLD -3",
        r".* (?:it|itself)$",
    ),
    plainly(
        f"{_NO_OBJECT}(CAPV | NAME) CAP? (COMMA | AND)* (ON | ACROSS) (THEM | WHICH)"
        " (IS | JOIN | HOLD | OF | APPLY | A | THE | THEM)* PD? OF? VOLT",
        "1 VOLT:OF VOLT:PD VOLT",
        r".*\b(?:on|across|over) (?:it|him|which|whom)\b",
    ),
    plainly("(ALL | BOTH) (IN | CAPN | IS | COMMA)* UNITF", "UNITF"),
    plainly("(?<=CAP )(FROM (?=A? CAPV ) | BY (?=CAPV ))", "1:OF"),  # a condenser from 5 uF
    plainly("CAPV CAP? OPEN (JOIN | GROUP) TO CAPV CLOSE", "-2", r".* (?:set|adjusted|trimmed) to"),
    plainly(  # two capacitors, each of 5 uF, are in series
        "(WNUM | NUM) EQUAL? CAP COMMA EACH (OF | CAPN | A | WITH | IS)* CAPV"
        " (COMMA (?=(IS|JOIN|IN|SER|PAR) ))?",
        "1 CAPV CAP",
    ),
    plainly(  # four equal capacitors: C -- (C || C)
        "(WNUM | COUNT) EQUAL? CAP COLON (?=(OPEN|CAPV (SERSIGN|PARSIGN)) )"
    ),
    plainly("CEQ CAP (?!NAME |CAPV |OF )", "1"),  # the total cap
    plainly("SPLITS (TO | IN)* (WNUM | COUNT | NUM) BRANCH (?=(A )?CAPV )", "1.. -1:COLON"),
    Phrase(row("(WNUM | NUM) OF (THE | THEIR)* (WNUM | NUM) EQUAL? CAPV CAP"), _some_out_of),
    plainly("CAP EQ (?=OF )", "2:EQUAL 1", r"\S+ equals?"),  # four condensers equals of 2 uF
    plainly("OTHER (WNUM | COUNT) (?=OF )", "2 1:CAP=capacitors"),  # with other two of 4 uF
    plainly("(WNUM | COUNT) OTHER (?=COMMA? (OF |WITH )?CAPV )", "1 2:CAP=capacitors"),
    plainly("A CAPV CAP? ON EACH (BRANCH | OFSIDE | TERMINAL)", "1:WNUM=2 2 1:CAP=capacitors"),
    Phrase(
        row("(WNUM | COUNT) CAP? (IS | JOIN | IN)* (SER | PAR) COMMA A? CAPV (BOTH | EACH | ALL)"),
        _worth_said_last,
    ),
    plainly("THE? ORD1 (?=(WNUM|COUNT) CAPV CAP )"),  # the first two 6 uF capacitors
    Phrase(
        row(
            "NAME (IS | EQ)? CAPV ((COMMA | STOP | AND)* NAME (IS | EQ)?"
            " (THE EQUAL | DOUBLE (THIS | WHICH)))+ (?=COMMA |STOP |AND |NAME |BOTH |ALL |$)"
        ),
        _by_the_first,
    ),
    plainly(  # in series with C3, 35 uF, the supply is 70 V
        "(?<=WITH )NAME COMMA CAPV (?=COMMA (A |THE )?(SOURCE|VOLT|WISHV) )", "1 2:EQ 3"
    ),
    plainly("NAME (SERSIGN | DASH) CAPV", "1 2:EQ 3", r"\S+ [-–—] "),  # C1 - 20 nF
    plainly("^IS? WNUM COLON (?=(A )?(CAPV|NUM) )"),
    plainly("WNUM ORD1 (?=(IS|JOIN|IN|SER|PAR|CAP) )", "2 1"),  # two first
    plainly("(?<=NUM )SLAB (?=COMMA |STOP |AND |CAP |$)"),  # 0.47 mylar
    Phrase(  # three, two of which have 4 nF while the third is of 2 nF
        row(
            "(WNUM | COUNT) CAP COMMA? WNUM OF (WHICH | THEM) (OF | IS | THE | EQUAL | CAPN | BOTH"
            " | EACH | A)* CAPV (IF | AND | COMMA | THE)* (ORD2 | ORD3 | OTHER)"
            " (IS | OF | CAPN | A)* CAPV"
        ),
        _some_and_the_other,
    ),
    # What is asked.
    plainly(  # which of the two holds more charge
        "((?<=STOP )|(?<=COMMA )|^)WHICH (OF | ONE | CAP | HOLD)"
        " (OF | THE | THIS | THEM | WNUM | NUM | ONE | CAP | HOLD | IS | RATED)*"
        " (CHGN | PD | ENERGY)",
        "1:WISHV -1 1:ON 1:EACH",
    ),
    plainly(  # is 2 uF what you get from 3 uF and 6 uF in series
        "((?<=STOP )|^)IS A? CAPV (WISHV | WHICH) (THEM | IS | THE | CEQ | OF | FROM | JOIN)*",
        "CAPV:TOTAL 1:COMMA",
    ),
    plainly("(CHGN | PD | ENERGY) (?=SYM )"),  # the charge Q3
    plainly("PD PD+ (?=PLACE )", "1"),  # the tension U between two points
    plainly("(SYM | LQ | LV | LU | LC | CHGN | PD | ENERGY | CEQ) EQ (?=QUERY )", "1"),
    plainly("(CHGN | PD | ENERGY) (OF | ON | ACROSS | IN)+ (NAME | CAPV) EQ (?=QUERY )", "1..-2"),
    plainly("((?<=STOP )|(?<=COMMA )|^)IS THE? CEQ CAPN? CAPV (?=QUERY )", "1:WISHV CEQ"),
    plainly(  # what does the 10 nF hold at 12 V
        "WISHV (THE | A)* (CAPV | NAME | ORD1 | ORD2 | ORD3 | ORDLAST) (CAP | ONE)? HOLD",
        "1 1:CHGN 1:ON 2..-2 1:COMMA",
    ),
    plainly("(SERSIGN | DASH) (?=WISHV )", "1:STOP"),  # C/2 || C -- what is the total?
    plainly("(?<=COMMA )WHICH (?=(CHGN|PD|ENERGY|CAPN|CEQ) )", "1:WISHV"),
    plainly("((?<=STOP )|^)WHICH IS (?=(THE|CEQ|CAPN|CHGN|PD|ENERGY) )", "1:WISHV 2"),
    plainly("(?<=STOP )(THE | A)? SOURCE (?=QUERY )", "-1:WISHV -1:PD"),
    plainly(  # how is the p.d. shared between them
        f"WISHV (IS | THE | CEQ | THIS | SOURCE | CLAIM)* PD {_IS_SHARED}",
        "1 PD 1:ON 1:EACH",
        _SAID_SHARED,
    ),
    plainly(  # how is the charge shared between them
        f"WISHV (IS | THE | CEQ | THIS | SOURCE | CLAIM)* CHGN {_IS_SHARED}",
        "1 CHGN 1:ON 1:EACH",
        _SAID_SHARED,
    ),
    plainly(  # how big are the part voltages
        "WISHV (IS | THE | ALL | BOTH | GROUP | SINGLE | THEIR | CLAIM | OTHER)* (PD | CHGN)"
        " (?=QUERY |STOP |$)",
        "1 -1 1:ON 1:EACH",
        r".*\b(?:voltages|p\.?d\.?s|charges|tensions|potentials)$",
    ),
    plainly("WISHV (A | THE)* METER (IS | THEN | JOIN)* (?=QUERY |STOP |$)", "1 1:PD"),
    plainly("WISHV IS? (?=ACROSS )", "1 1:PD"),  # what's across the other two
    plainly("CHGN THE? (NAME | CAPV) (?=QUERY )", "1 1:ON 2.."),  # charge c3?
    plainly(  # 24 V voltage on the 4
        "(?<!A )(?<!THE )(?<!OF )VOLT PD (?=(ON|ACROSS|OF|IN) (THE )?(CAPV|NUM|NAME|EACH) )",
        "1 1:STOP 2",
    ),
    plainly("RATED (?=QUERY )", "1 1:PD", ".*(?:volt|p\\.? ?d)"),
    plainly(
        "WISHV (IS | THE | THEM | A)* SOURCE (?=(IS|CLAIM|THEN|QUERY|STOP|COMMA|AND) |$)",
        "1 -1:PD",
    ),
    # What is pointed back at.
    plainly("(?<=STOP )WHICH (SER | PAR)", _WHAT_WAS_JOINED, "that "),
    plainly(f"{_AFTER_A_BREAK}WHICH (IS | JOIN | IN)", _WHAT_WAS_JOINED, "that (?!are|were)"),
    plainly(
        "(WITH | TO | ACROSS | ON) WHICH (?=STOP |COMMA |VOLT |QUERY |AND |$)",
        "1 2:THIS 2:GROUP=group",
        r"\S+ that",
    ),
    plainly("WHICH (SER | PAR)? (GROUP | CAP)", "1..:THIS", "that "),
    plainly("OTHER GROUP (?=JOIN? OF )", "1:A 2", "another"),  # another group made of …
    plainly("THEIR (?=IN |SER |PAR |JOIN (TO|WITH|ACROSS) )", "1:THEM"),  # if its in series
    # and a battery of 24 V is then connected across the whole arrangement
    plainly(
        "VOLT IS THEN JOIN (ACROSS | TO | ON) (THE | THIS | ALL | BOTH)*"
        " (WHOLE | GROUP | THEM | TERMINAL)",
        "1 2 4..",
    ),
    # How they are joined.
    plainly("(CAPV | NAME | NUM | CAP) ACROSS (?=(STOP|COMMA|QUERY) |$)", "1 2:PAR"),
    plainly("CAPV CAP? VOLT? TIMES NUM (?!CAPV)", "NUM:COUNT 1..-3"),  # 100 uF x 2
    plainly("(?<=COMMA )OR (?=(A )?(PAR|SER|PAIROF|CAPV) )", "1:AND"),  # one of a list
    plainly("(?<=CAPV )PLUS (?=CAPV )", "1:AND"),
    # two parallel ones: 1 uF and 2 uF
    plainly("(NUM | WNUM | COUNT) (SER | PAR) (ONE | CAP) COLON? (?=A? CAPV )", "2"),
    plainly("(SER | PAR) OPEN (SER | PAR) CLOSE", "1", r"(?P<way>\S+) (?!in parallel)"),
    plainly("PAR BETWEEN (?=THEM )", "1", ".* between"),
    plainly("SER THEN (?=(STOP|COMMA|QUERY) |$)", "1", r".* (?:after|afterwards|behind)$"),
    Phrase(
        row(
            "(WNUM | COUNT | AND) A? (CAPV | NUM) CAP? IN? (SER | PAR) WITH A?"
            " (CAPV | NAME | NUM) CAP? IN? (SER | PAR) ((WITH | TO | ACROSS)? (BOTH | THEM)+ |"
            " (?!WITH|TO|ACROSS))"
        ),
        _with_one_joined_otherwise,
    ),
    plainly("COMMA IN? (SER | PAR) COMMA (?=(IS|JOIN) )", "-2"),
    plainly(  # 10 uF parallel 20 uF, series 30 uF
        "COMMA (SER | PAR) (CAPV | NAME) (?=(COMMA|STOP|QUERY|VOLT|ON|ACROSS|AT) |$)", "1 3 2"
    ),
    plainly("AND (?=(IN|SER|PAR) )", "", "also"),  # and the other two also in series
    plainly(
        "(NAME | CAPV | CAP) JOIN IN? SER (?=COMMA |STOP |AND |$)",  # C3 follows in series
        "1 -1 -1:WITH -1:THEM",
        ".* follow",
    ),
    plainly(  # one wire connects the first pair to the second
        "(ONE | A | THE) JOIN JOIN THE ORD1 GROUP (TO | WITH) THE ORD2 GROUP?",
        "4..6 2:IS 2:SER 2:WITH 8 9 6",
        r"\S+ (?:wire|lead|line)",
    ),
    plainly(  # a wire goes round the middle one
        "(A | ONE) JOIN (WHICH | IS | JOIN)* ACROSS (?=(THE|A|NAME|CAPV) )",
        "2:SHORT",
        r"\S+ wire",
    ),
    plainly("(?<=[EPV] )FROM THEIR OFSIDE TO THEIR OFSIDE"),
    plainly("(SER | PAR) WITH OPEN NAME (COMMA | AND) NAME CLOSE", "1 2 3:THIS 3:GROUP=pair"),
    plainly(  # chain a 3 uF onto that
        "(GROUP | BRANCH) (A | THE)? (CAPV | NAME | NUM) CAP? TO",
        "2..-2 1:SER -1:WITH",
        "(?:chain|string) ",
    ),
    plainly("PAR CAPV (ACROSS | TO) (?=(BOTH|THEM|WHOLE|THIS) )", "2 1 3:WITH"),
    Phrase(
        row(
            "(WNUM | COUNT) GROUP COMMA THE? ORD1 (IS | OF | HOLD | COLON)*"
            f" {_SOME} IN? (SER | PAR) (COMMA | AND)+ THE? (ORD2 | OTHER) (IS | OF | HOLD | COLON)*"
            f" {_SOME} IN? (SER | PAR)"
        ),
        _told_in_turn,
    ),
    Phrase(
        row(
            "(WNUM | COUNT) CAPV CAP IS JOIN (WNUM | COUNT) IN? SER (COMMA | AND)+"
            " (WHICH | THIS | THE) BRANCH IS? JOIN? IN? (PAR WITH | PARBY) OTHER BRANCH LIKE THEM"
        ),
        _two_alike,
    ),
    plainly("PLUS SER (?=NAME |CAPV )", "1:SERSIGN"),
    plainly("(?<=CAPV )DASH (?=CAPV )", "1:SERSIGN"),
    # 10 nF and 15 nF are in parallel, and so are 20 nF and 30 nF
    plainly(
        "(SER | PAR) (COMMA | STOP | AND)* SOARE (A | THE | CAPV | CAP | NAME | AND | COMMA)+",
        "1 SOARE..:STOP 1:IS 1",
    ),
    plainly(
        "(ALL | BOTH | EACH) (JOIN | IS)* (ACROSS | ON | TO) THE EQUAL VOLT", "1:PAR 1:COMMA -1"
    ),
    plainly("DIVIDER (COLON | OF | WITH)*", "1:SER 1:COLON"),
    plainly("STOP SERSIGN STOP", "1"),
    plainly("PARBY", "1:PAR 1:WITH"),
    plainly("IS AND (?=JOIN |IN |SER |PAR )", "1"),
    plainly("PARSIGN (?=COMMA |STOP |CLOSE |THEN |$)", "1:PAR"),
    plainly("(WITH | AND | TO | COMMA | PLUS | THEN) STOP+", "1", r"\S+(?: \n)+$"),
    plainly(
        "(CAPV | NAME | CAP | IS | ORD1 | ORD2 | ORD3 | ORDLAST | ONE | NUMS | NUM) SERALL",
        "1 2:SER 2:WITH 2:THEM",  # K before that
    ),
    plainly("SERALL", "1:THEN"),
    # What is in each branch.
    plainly("(GROUP | BRANCH) (THEM | THIS) IS (?=(A|CAPV|NAME|WNUM) )", "1"),  # in it it is …
    plainly(  # a chain of three: 20 nF, 12 nF and 30 nF
        "A? BRANCH OF (WNUM | COUNT | NUM) CAP? COLON (?=A? CAPV )",
        "BRANCH:SER COLON",
        r"(?:an? )?(?:chain|string|row)\b",
    ),
    plainly("((TOP | BOTTOM | MIDDLE) JOIN | ONE SPLITS) (?=(HOLD|OF|IS|COLON) )", "1 2:BRANCH"),
    plainly("(ORD1 | ORD2 | OTHER | ONE) WNUM", "1 2:BRANCH", r"\S+ half$"),
    plainly("(WNUM | BOTH | THE) HALVE", "1 2:BRANCH", r"\S+ halves$"),
    plainly("(TOP | BOTTOM | SIDE) WNUM", "1", r"\S+ half$"),
    plainly("DOUBLE (?=(GROUP|BRANCH) )"),
    plainly(  # then it forks: upper way 1 uF, …
        "(THEM | THE | JOIN)* SPLITS (TO | IN | UP)* (COLON | STOP | COMMA)"
        " (?=(THE )?(TOP|ONE|ORD1) )",
        "1:WNUM=2 1:BRANCH=branches -1:COMMA",
    ),
    plainly(f"{_FORKS} (TO | IN | UP | COLON | COMMA)* (?!WITH|OF)", "", r"(?:.* )?loop"),
    plainly(f"{_FORKS} (TO | IN | UP | WITH | OF | COLON | COMMA)*", "SPLITS"),
    # Between which points.
    plainly("CORNERS COLON (?=(A )?(CAPV|NAME) )", "1 2:STOP"),
    plainly("PLACE OF (A | THE | THIS) GROUP", "1"),
    # What is supplied, and when.
    plainly(  # a voltmeter across the 45 nF reads 8 V
        "METER (JOIN | IS | WHICH)* ACROSS"
        " (THE | A | CAPV | CAP | NAME | ORD1 | ORD2 | ORD3 | ORDLAST | ONE)+ VOLT",
        "1:PD ACROSS..-2 1:IS -1",
    ),
    plainly("(A | THE)? METER"),
    plainly("((?<=NAME )|(?<=CAPV )|(?<=CAP ))EQUAL (?=(VOLT|CHG|ENE) )", "1:IS"),
    plainly("((?<=WISHV PD )|(?<=PD PD ))APPLY (?=(ACROSS|ON|BETWEEN) )"),
    plainly("(?<=PD )(IS | THEM | CLAIM | THE | CAP)+ CHARGED (UP | TO)* (?=QUERY |STOP |$)"),
    plainly(  # both charged by the same supply, one after another
        "CHARGED (BY | FROM | TO | THE | EQUAL | A | OFF | WITH)* VOLT SOURCE? COMMA? SER",
        "1..-2",
        ".* after ",
    ),
    Phrase(row(f"{_THE_SWITCH} (TO | AT | ON | THE | POINT | OFSIDE | NUM | OTHER)*"), _switch),
    plainly("AND (GAPN | DISCON) FROM (TOGETHER | EACH OTHER)"),  # and apart from each other
    plainly("NOT (?=STOP |COMMA |QUERY |$)", "", "instead"),
    plainly("NOT (?=(THE |A )?(PD|CHGN|ENERGY) )"),
    plainly("NOT (OF | WHICH | THEM | IS | BOTH)* CHARGED", "1:UNCHARGED"),
    plainly("((?<=TO )|(?<=VOLT AND ))(SYM | LV) EQ (?=VOLT )"),
    plainly("((?<=VOLT )LETTER | SEMI) (?=SOURCE )"),
    plainly("(?<=CHARGED )NUM (?=VOLT )", "1:TO", "2"),  # 2 50v, as on a phone
    plainly("NUM (?=A VOLT |BOTH |THEM |THE |THIS |WHOLE )", "1:TO", "2$"),
    plainly("OPEN (LETTER | LC) (IS | AT)? (PLUS | POSITIVE | NEGATIVE | DASH) CLOSE"),
    Phrase(row("(LV | LU) (EQ | IS | COLON) NUM"), _as_volts),
    Phrase(
        row(
            "(SOURCE | PD) (OF | IS | EQ | COLON | APPLY | AT)* NUM"
            " (?!CAP|UNITF|GROUP|BRANCH|COMMA NUM)"
        ),
        _as_volts,
    ),
    plainly("CHGN UP? TO (?=A? (PD OF)? VOLT )", "1..:CHARGED", "charges"),
    plainly(
        "(?<!THE )(?<!A )(?<!CEQ )(?<!OF )(?<!WISHV )CHGN"
        " (A | THEM | THE (CAPV | CAP | NAME) | CAPV | NAME | WNUM | COUNT | EACH | BOTH)",
        "1..:CHARGEV",
        "charg(?:es?|ing) ",
    ),
    plainly(
        "(?<!THE )(?<!A )(?<!DET )(?<!OTHER )(?<!THIS )(?<!WNUM )CHARGED UP?"
        " (?=(A|CAPV|NAME|THEM|EACH|BOTH|WNUM|COUNT|ALL|THE|DET) )",
        "1:CHARGEV",
    ),
    plainly(
        "(^|(?<=STOP ))APPLY (?=(THE )?(CEQ )?(PD|CHGN|ENERGY|CAPN|LC|LQ|LV) )", "1:WISHV", "give"
    ),
    # What fills a gap.
    plainly("FIELDN (IN | BETWEEN) THE? (GAPN | PLATE | SLAB)", "1"),
    plainly("(NUM | WNUM) FACTORW", "1:FACTOR"),
    plainly("SLAB (COLON | OF | IS | EQ) (SLAB | COMMA)* NUM (?=STOP |COMMA |$)", "1..-2 -1:PERMV"),
    plainly("SLAB NUM (?=(IN|BETWEEN) (THEM|THE) )", "1 2:PERMV"),  # polythene 2.3 in it
    plainly("(?<=SLAB )OPEN PERM (OF | EQ | IS | COLON)* NUM CLOSE", "1:OF 2..-2"),  # oil (k = 2)
    plainly("PERM (OF | EQ | IS | A | ABOUT | COLON)* NUM", "1..-2 -1:PERMV"),
    plainly("PERM (OF | EQ | IS | A)* PERM", "1..-2 -1:PERMV=k"),
    plainly("PERM (OF | EQ | IS | A)* LETTER", "1..-2 -1:PERMV=k", ".* K$"),
    plainly(
        "SLAB (OF | A | COMMA)* PERM (?!OF|EQ|COLON|NUM|PERM|PERMV|IS NUM|IS ABOUT)",
        "1..-2 -1:PERMV=k",  # a dielectric kappa
        r".* k(?:appa)?$",
    ),
    Phrase(row("NUM PERM (?!OF|EQ|COLON|NUM|PERM|PERMV)"), _scaled_permittivity),
    plainly("PERM (?=AND |COMMA |STOP |$)", "1:PERMV=k", "kappa"),
)
