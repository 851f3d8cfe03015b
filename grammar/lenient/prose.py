"""The lenient reading from end to end: a text in, its readings in the strict notation out."""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from typing import Final, NamedTuple

from grammar.lenient.accounted import refuse_what_is_otherwise
from grammar.lenient.arms_bridged import with_arms_bridged
from grammar.lenient.asked_of_whom import with_questions
from grammar.lenient.bank_told import bank_in
from grammar.lenient.built_up import with_blocks_told, with_what_is_built
from grammar.lenient.charging_story import charging_story
from grammar.lenient.concepts import words
from grammar.lenient.definitions_told import with_definitions_told
from grammar.lenient.doings_told import refuse_what_is_not_done
from grammar.lenient.drawn_told import with_drawn_told
from grammar.lenient.exchange_told import exchange_in
from grammar.lenient.groups_told import with_groups
from grammar.lenient.joins_told import with_joins_told
from grammar.lenient.ladder_told import ladder_in
from grammar.lenient.lists_told import with_lists_told
from grammar.lenient.loose_ends import refuse_a_loose_end
from grammar.lenient.nests_alike import in_no_order
from grammar.lenient.noise import is_long_time, lighter
from grammar.lenient.open_one import one_sought
from grammar.lenient.order_told import told_in_order
from grammar.lenient.patterns import found_in, row
from grammar.lenient.phrases_told import with_phrases_told
from grammar.lenient.places_told import with_places_told
from grammar.lenient.plates_told import plates_sought
from grammar.lenient.playing import played, with_branches_joined
from grammar.lenient.prose_bounds import NoNetworkTold, Tries, refuse_what_is_too_long
from grammar.lenient.questions_heard import HeardWishes, questions_of
from grammar.lenient.roles import settled
from grammar.lenient.rungs_told import with_rungs_told
from grammar.lenient.said_at_once import sentences
from grammar.lenient.said_of_one import refuse_one_for_all
from grammar.lenient.sought import all_sought, with_sought
from grammar.lenient.strict import written
from grammar.lenient.tabletop import NoSense, Tabletop
from grammar.lenient.taken_back import put_right
from grammar.lenient.tokens import Chunk, scan
from grammar.lenient.unit_of_all import unit_of_all
from grammar.lenient.unmarked import made_plain
from grammar.lenient.walk_told import with_walk_told
from grammar.lenient.wanted import with_waiting_wishes
from grammar.lenient.ways_told import with_ways_told
from grammar.lenient.wires_told import with_wires_told
from grammar.lenient.without_resistors import beyond_in, without_resistors
from grammar.reading import read_network
from grammar.records import Description, Element, ReadText, Refusal


class ProseReading(NamedTuple):
    """The ways to read a text, each in the strict notation; ``notes`` say what was supposed."""

    ways: tuple[ReadText, ...]
    notes: tuple[str, ...] = ()
    beyond: str = ""


class _Whole(NamedTuple):
    """What goes for a text whatever it is read as: what it asks, what was tried of it so far."""

    questions: HeardWishes
    tries: Tries


class _Found(NamedTuple):
    """A reading: what it costs, its text, the names it gives, and what was supposed for it."""

    cost: int
    text: str
    named: frozenset[str]
    notes: tuple[str, ...]


def read_leniently(text: str) -> ProseReading:
    """Read a network as people write it.

    Errors: ``Refusal`` where no network can be made out, with what is missing.
    """
    refuse_what_is_too_long(text)
    plain = made_plain(text)
    if _SO_MANY.search(plain) or _HOW_MANY.search(plain):
        raise NoNetworkTold(
            "How many there are is left open here.", "Say how many, as in 4 uF -- 4 uF -- 4 uF."
        )
    if (twice := _ONE_POINT_TWICE.search(plain)) is not None:
        raise NoNetworkTold(f"Both points are {twice[1]}.", "Name two different points.")
    of_all = _Whole(questions_of(plain), Tries())
    whole, unit = unit_of_all(ASKED_AFTER.sub(".\n", plain))
    if (story := charging_story(whole)) is not None:
        with suppress(Refusal):
            (way,) = _read(story.plainly, of_all).ways
            _, asked, wish = way.text.partition("; asked: ")
            texts = [f"{each}{asked}{wish}" for each in story.signs]
            ways = tuple(ReadText(each, read_network(each)) for each in texts)
            return _accounted(plain, ProseReading(ways))
    for reader in _READERS:
        told = reader(whole, unit)
        if told != whole and _keeps_all(whole, told):
            with suppress(Refusal):
                return _accounted(plain, _read(told, of_all))
    built = with_what_is_built(whole, unit)
    if built == whole or not _keeps_all(whole, built):
        return _accounted(plain, _read(plain, of_all))
    return _read_or_built(plain, built, of_all)


def read_as_told(plain: str, told: str) -> ProseReading:
    """What a text made plain asks of a network that is told otherwise in its place.

    Errors: ``Refusal`` where that has not what the words of the text say.
    """
    return _accounted(plain, _read(told, _Whole(questions_of(plain), Tries())))


def _accounted(plain: str, found: ProseReading) -> ProseReading:
    """What was read, where it has what the words of the text say. Errors: ``Refusal``."""
    if not found.beyond:
        pieces = put_right(scan(plain))
        told = [each.description for each in found.ways]
        refuse_what_is_otherwise(plain, pieces, told)
        refuse_a_loose_end(plain, told)
        refuse_one_for_all(plain, told)
        refuse_what_is_not_done(plain, told)
        return found._replace(ways=told_in_order(plain, pieces, found.ways))
    return found


# Each knows one way to tell of a network, and writes in signs, or as joins, what it knows.
_READERS: Final = (
    with_arms_bridged,
    with_phrases_told,
    with_joins_told,
    with_rungs_told,
    with_drawn_told,
    with_wires_told,
    with_places_told,
    with_walk_told,
    with_definitions_told,
    with_lists_told,
    with_ways_told,
    with_blocks_told,
)


def _keeps_all(text: str, told: str) -> bool:
    """Whether no quantity of a text is lost where it is told in signs."""
    before, after = (
        {str(each.datum) for each in scan(each) if each.tag in _QUANTITIES} for each in (text, told)
    )
    return before <= after


_QUANTITIES: Final = ("CAPV", "VOLT", "CHG", "ENE", "PERMV", "LEN")


def _read_or_built(plain: str, built: str, of_all: _Whole) -> ProseReading:
    """What a text is read as; where it cannot be read, or in several ways, what its clauses build
    up one by one decides.
    """
    try:
        found = _accounted(plain, _read(plain, of_all))
    except Refusal:
        with suppress(Refusal):
            return _accounted(plain, _read(built, of_all))
        raise
    if len(found.ways) > 1:
        with suppress(Refusal):
            return _decided(found, _accounted(plain, _read(built, of_all)))
    return found


def _decided(found: ProseReading, built: ProseReading) -> ProseReading:
    """One of several ways by what the clauses build up; where that is none of them, all."""
    shapes = {_shape(each.description, frozenset()) for each in found.ways}
    if all(_shape(each.description, frozenset()) in shapes for each in built.ways):
        return built
    return found._replace(ways=(*built.ways, *found.ways))


def _only(text: str) -> ProseReading:
    """What can be read in this one way."""
    return ProseReading((ReadText(text, read_network(text)),))


def _read(plain: str, of_all: _Whole) -> ProseReading:
    found: list[_Found] = []
    fault: Refusal | None = None
    beyond = ""
    for listed in _commas(plain):
        scanned = _without_spare_time(scan(plain, listed))
        if (wish := exchange_in(scanned)) is not None:
            return _only(wish)
        pieces, in_micro = settled(scanned)
        if in_micro and _speaks_of_none(scanned):
            raise NoNetworkTold("No capacitor is spoken of here.", "Write one such as 4 uF.")
        wish = bank_in(pieces)
        if wish is None:
            _refuse_a_puzzle(pieces)
        wish = wish or all_sought(pieces) or plates_sought(pieces) or one_sought(plain, pieces)
        if (wish := wish or ladder_in(pieces, plain)) is not None:
            return _only(wish)
        if beyond := beyond_in(pieces):
            pieces = without_resistors(pieces) or []
        try:
            found += _read_from(pieces, in_micro, of_all)
        except Refusal as refusal:
            fault = fault or refusal
    if not found and not beyond:
        found = _without_noise([scan(plain, listed) for listed in _commas(plain)], of_all)
    kept = _distinct(found)
    ways = tuple(way for way, _ in kept)
    notes = tuple(dict.fromkeys(note for _, each in kept for note in each))
    if beyond:
        return ProseReading(ways, notes, beyond)
    if not ways:
        raise fault or Refusal(
            "No network can be made out in this.", "Write it like 4 uF -- (2 uF || 3 uF)."
        )
    return ProseReading(ways, notes)


# What a text of capacitors has beside numbers.
_OF_CAPACITORS: Final = frozenset(
    words(
        "CAPV CAP CAPN NAME LC CEQ SER PAR SERSIGN PARSIGN VOLT CHG ENE PD CHGN UNITF BRANCH GROUP "
        "THEN DASH PLUS EQ JOIN ACROSS NEXTTO LETTER"
    )
)


def _speaks_of_none(scanned: Sequence[Chunk]) -> bool:
    """Whether a text with words of its own and a number says nothing of capacitors."""
    tags = {each.tag for each in scanned}
    return "WORD" in tags and not tags & _OF_CAPACITORS


IN_MICROFARADS: Final = "No unit is given, so I take microfarads."
# A wish right after what is told.
ASKED_AFTER: Final = re.compile(
    r"(?i),? (?=(?:i (?:want|need) (?:to know )?the|what(?:'s| is| are| does| charge)|find"
    r"|calculate"
    r"|determine|how (?:much|big)|work out)\b)"
)


_ASKED_HOW: Final = row(
    "WISHV (THEM | THE | THIS | IS | TO | CAP | CAN)* JOIN (THEM | TOGETHER | SO)*"
    " (FOR | TO | IS | APPLY | JOIN | WITH)+ (A | CEQ | CAPN | OF | TOTAL)* (CAPV | TOTAL)"
    " | (STOP | QUERY) WISHV (IS | CLAIM) (CAPV | TOTAL) (QUERY | STOP)*$"
)
_SO_MANY: Final = re.compile(
    r"(?i)\b(?:n|x) (?:(?:equal|identical|such|alike) )?(?:capacitors|caps|condensers)\b"
)
_HOW_MANY: Final = re.compile(
    r"(?is)^(?!.*[0-9] ?k?V\b).*\b(?:get|make|want|need|like|have to have|reach) (?:an?"
    r" )?[0-9.]+ ?[unp]F\b[^?]*"
    r"\bhow many\b(?! (?:volts|coulombs|joules|V\b))"
)
# A capacitor from B to B would be shorted; more often a letter is mistyped.
_ONE_POINT_TWICE: Final = re.compile(
    r"\b(?:[Ff]rom|[Bb]etween) (?:point |node )?([A-Z][0-9]?|[0-9]) (?:to|and) (?:point |node )?\1"
    r"(?![\w']|\.[0-9]|-?\s*[a-zA-Z]*F\b)"
)
_MADE_OF: Final = row("(JOIN | IS | WISHV) A? CAPV (OFF OF | FROM | WITH | BY)")


_ARRANGED: Final = row("JOIN CAPV FROM(?= A? CAPV)")
_HOW_TO: Final = row("HOWTO (A | CEQ | CAPN | OF | TOTAL)* (CAPV | TOTAL)")
_HOW_THEN: Final = row("HOWTO (THEM | IS | JOIN | THIS)* (QUERY | STOP | $)")


def _beside_a_row(pieces: Sequence[Chunk]) -> list[Chunk]:
    """Next to each other is side by side, where others are said to be in series."""
    if not any(each.tag in ("SER", "SERSIGN", "THEN", "SPLITS") for each in pieces):
        return list(pieces)
    return [each._replace(tag="PAR") if each.tag == "NEXTTO" else each for each in pieces]


def _refuse_a_puzzle(pieces: Sequence[Chunk]) -> None:
    """Errors: ``Refusal`` for what asks how some make so much: that is a puzzle, not a network."""
    values = [str(each.datum) for each in pieces if each.tag in ("CAPV", "TOTAL")]
    tags = {each.tag for each in pieces}
    if len(values) < 2 or tags & {"SER", "PAR"}:
        return
    if found_in(_ASKED_HOW, pieces) is not None:
        made, stock = values[-1], values[:-1]
    elif (told := found_in(_HOW_TO, pieces)) is not None:
        made = str(pieces[told[1] - 1].datum)
        stock = [each for each in values if each != made]
    elif (
        found_in(_HOW_THEN, pieces) is not None
        or found_in(_ARRANGED, pieces) == (0, 3)
        or (
            len(values) > 2 and tags & {"WISHV", "QUERY"} and found_in(_MADE_OF, pieces) is not None
        )
    ):
        made, stock = values[0], values[1:]
    else:
        return
    raise NoNetworkTold(
        "This asks how some capacitors make so much.",
        f"Type it like: arrange {made} from {', '.join(stock)}",
    )


def _commas(plain: str) -> tuple[bool, ...]:
    """Whether a comma between digits may be a decimal comma (False) or part two numbers (True)."""
    pairs = re.findall(
        r"(?<![0-9,.])(?!0,)[0-9]+(?:,[0-9]+)+(?![0-9])(?!\s?-?(?:[pnum]?F|f|V|v|micro|nano|pico"
        r"|volt|[cm]?m(?:\b|[2²])))",
        plain,
    )
    if any(pair.count(",") > 1 for pair in re.findall(r"[0-9]+(?:,[0-9]+)+", plain)):
        return (True,)
    return (False, True) if pairs else (False,)


def _without_spare_time(scanned: list[Chunk]) -> list[Chunk]:
    """``I have 20 minutes left``: a time that is said of nothing else is not that of a circuit."""
    if not any(map(is_long_time, scanned)):
        return scanned
    left = next(lighter(scanned), scanned)
    return scanned if beyond_in(left) else left


def _without_noise(scans: Sequence[Sequence[Chunk]], of_all: _Whole) -> list[_Found]:
    """What is read where something that has no bearing is left out; nothing where that does not
    help.
    """
    for left in (each for pieces in scans for each in lighter(pieces)):
        with suppress(Refusal):
            return _read_from(*settled(left), of_all)
    return []


def _read_from(pieces: Sequence[Chunk], in_micro: bool, of_all: _Whole) -> list[_Found]:
    """The readings of settled pieces. Errors: ``Refusal`` where there are none."""
    supposed = (IN_MICROFARADS,) if in_micro else ()
    found = _texts(with_groups(_beside_a_row(with_sought(pieces))), of_all)
    return [each._replace(notes=(*supposed, *each.notes)) for each in found]


def _texts(pieces: Sequence[Chunk], of_all: _Whole) -> list[_Found]:
    tables = [
        Tabletop(
            branched=_has_branches(pieces),
            crossed=any(p.tag == "CROSSED" for p in pieces),
            alike=any(p.tag == "LIKEPL" for p in pieces),
            stays=any(p.tag == "STAYS" for p in pieces),
        )
    ]
    try:
        for sentence in sentences(pieces):
            tables = played(tables, sentence, of_all.tries)
        tables = [with_branches_joined(table) for table in tables]
    except NoSense as misfit:
        raise Refusal(
            str(misfit) or "It is not clear how these capacitors are joined.",
            misfit.cure or "Say it with brackets, as in 4 uF -- (2 uF || 3 uF).",
        ) from None
    found: list[_Found] = []
    fault: Refusal | None = None
    for table in tables:
        apart = 0 if len(table.roots) < 2 or len(table.places) > 1 else 3
        try:
            told = with_questions(with_waiting_wishes(table), of_all.questions)
            named = frozenset(cap.name for cap in told.caps if cap.name)
            found.extend(
                _Found(told.cost + apart, text, named, tuple(map(_left_out, told.unclear)))
                for text in written(told)
                if _accounts_for(text, pieces)
            )
        except Refusal as refusal:
            fault = refusal
        except NoSense as misfit:
            fault = Refusal(
                str(misfit) or "It is not clear what is said of which capacitor.",
                misfit.cure or "Name it.",
            )
    if not found:
        raise fault or Refusal(
            "Some of what the text gives would be left out.",
            "Say it with brackets, as in 4 uF -- (2 uF || 3 uF).",
        )
    return found


def _accounts_for(text: str, pieces: Sequence[Chunk]) -> bool:
    """Whether a reading has every value that the text gives: none may be lost on the way."""
    values = {str(each.datum) for each in pieces if each.tag in ("CAPV", "TOTAL", "PERMV")}
    held = {str(each.datum) for each in pieces if each.tag in ("VOLT", "CHG", "RATING", "ENE")}
    written_out = f" {re.sub(r'[;,()]', ' ', text)} "
    lost = [each for each in values if f" {re.sub('[;,()]', ' ', each)} " not in written_out]
    if any(each.tag == "TOTAL" and str(each.datum) in lost for each in pieces):
        lost = [
            each for each in lost if each not in {str(p.datum) for p in pieces if p.tag == "TOTAL"}
        ]
    unsaid = [each for each in held if f" {each} " not in written_out]
    if any(each.tag == "CROSSED" for each in pieces) and " crossed" not in text:
        return False
    if any(each.tag == "LIKEPL" for each in pieces) and " -- " in text and "join" not in text:
        return False
    return not lost and not unsaid


def _has_branches(pieces: Sequence[Chunk]) -> bool:
    return any(re.match(r"(?:branch|arm|path|leg|rail)", p.text.lower()) for p in pieces)


def _left_out(words: str) -> str:
    meant = "what of which capacitors that means I cannot tell"
    return f'You ask about "{words}": {meant}, so I leave it out.'


def _distinct(readings: list[_Found]) -> list[tuple[ReadText, tuple[str, ...]]]:
    """The cheapest readings whose texts can be read, each network once, with their notes."""
    found: dict[object, tuple[ReadText, tuple[str, ...]]] = {}
    least: int | None = None
    for each in sorted(readings, key=lambda each: each.cost):
        if least is not None and each.cost > least:
            break
        with suppress(Refusal):
            way = ReadText(each.text, read_network(each.text))
            found.setdefault(_shape(way.description, each.named), (way, each.notes))
            least = each.cost
    return list(found.values())


def _shape(description: Description, named: frozenset[str]) -> object:
    """The description without regard to the order of what is joined in one way."""
    nest = description.nest
    changed = description._replace(asked=())
    if nest is None:
        return changed

    def told(each: Element) -> Element:
        return each if each.name in named else each._replace(name="")

    return in_no_order(nest, told), changed._replace(nest=None)
