"""Free working marked line by line, with errors carried forward, whatever the problem is.

The first error is found where it is made; what follows rightly from it, on the learner's own
values, is not marked down again. Source of the conventions: general practice in published
marking instructions (method and accuracy marks, one mark for a slip, units once).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from functools import partial
from typing import NamedTuple

from grammar.expressions import Expression, Name, Num, Op, names_in, rewritten
from grammar.records import Dimension, Refusal
from tutor.circuit.values import in_letters, same
from tutor.teaching.marking.awarding import Ground, award, worked_out
from tutor.teaching.marking.before_wrong import has_other_place, heard_out
from tutor.teaching.marking.examining import Scheme
from tutor.teaching.marking.fitting import kind_of
from tutor.teaching.marking.following_equations import ROUND, led_on
from tutor.teaching.marking.grading import (
    Judgement,
    Statement,
    Topic,
    as_reciprocals,
    holds,
    misadds,
    misreckons,
    stands,
)
from tutor.teaching.marking.marked import (
    FAILED,
    MOST_STATED,
    TOO_MUCH,
    Marked,
    credits_of,
    in_all,
    marked_line,
    unless_failing,
    without_wrong_guesses,
)
from tutor.teaching.marking.own_equations import with_equation
from tutor.teaching.marking.own_values import with_seen
from tutor.teaching.marking.phrases import DIFFERS, ReadLine, Rulings, other_kind, remark
from tutor.teaching.marking.problem_kind import (
    FoundIn,
    Meaning,
    ProblemKind,
    ReadSoFar,
    S,
    kept,
    passed_by,
)
from tutor.teaching.marking.replaying import with_led
from tutor.teaching.marking.restated import in_the_name_given
from tutor.teaching.marking.statements import (
    Said,
    has_letter_after_number,
    has_letter_alone,
    is_named,
    said_in,
    states_amount,
)
from tutor.teaching.marking.unfinished import (
    as_far_as_finished,
    with_brackets_closed,
    without_last_dash,
)
from tutor.teaching.marking.unknowns import (
    PREFIX,
    in_the_name_sought,
    judge_letters,
    used_in_working,
    with_own_letters,
)
from tutor.teaching.marking.working import WrittenLine, leads_by_arrow, says_units_once

_NAME_FIRST = re.compile(r"\s*[A-Za-z]\w{0,3}\s*=")
_AMID = re.compile(r"(=[^=;]*\d\s*[pnuµμmk]?[FCVJ])\s+(?:[a-z]{3,}\s+){1,3}(?=[\d(][^=;]*=)")
_SIZE = re.compile(r"\|\s*([\w.]+)\s*[-−–]\s*([\w.]+)\s*\|")
_COMMA = re.compile(r"(?<=\d),(?=\d{3}(?!\d))")


class _Place(NamedTuple):
    """Where in a line its reading stands: what its last statement was ``about``, ``of_each``,
    whether words before say that it counts for several, how many it has ``stated`` so far, and
    ``right_of`` which names the last right one was.
    """

    line: int
    about: tuple[str, ...] = ()
    of_each: bool = False
    stated: int = 0
    right_of: tuple[str, ...] = ()


def marked(
    by: ProblemKind[S, Topic], sheet: S, written: Sequence[WrittenLine], scheme: Scheme
) -> Marked:
    """Mark a whole script, a line at a time, each by what stands before it."""
    read: list[ReadLine[Topic]] = []
    for line in written:
        failed: tuple[S, ReadLine[Topic]] = (sheet, ReadLine(line, (), FAILED))
        sheet, found = unless_failing(failed, _read_line, by, sheet, line)
        sheet = with_seen(sheet, line.pieces, found.grades)
        read.append(found)
    judged = [
        (*line.grades, *(slip for at, slip in sheet.slipped if at == line.written.number))
        for line in read
    ]
    rows = without_wrong_guesses(
        [tuple(g._replace(quantity=by.canonical(sheet, g.quantity)) for g in row) for row in judged]
    )
    return _awarded(
        by, sheet, [r._replace(grades=row) for r, row in zip(read, rows, strict=True)], scheme
    )


# Reading


def _read_line(by: ProblemKind[S, Topic], sheet: S, line: WrittenLine) -> tuple[S, ReadLine[Topic]]:
    done: FoundIn[S, Topic] = FoundIn(sheet)
    place = _Place(line.number)
    for piece in line.pieces:
        words = by.in_words(done.sheet, piece)
        is_off = words is not None and any(each.verdict == "wrong" for each in words.grades)
        told = _said_behind(by, done.sheet, piece, place) if is_off else None
        if told is not None:
            done, place = _with(done, told[0]), told[1]
            continue
        if words is not None:
            done = _with(done, words)
        if words is None or states_amount(piece):
            found, after = _best(by, done.sheet, piece, place)
            if after.stated > MOST_STATED:
                return sheet, ReadLine(line, (), TOO_MUCH)
            if words is None or found.is_good or "=" in piece:  # in a sentence, good ones alone
                done, place = _with(done, found), after
            else:
                passing = found.sheet.passing
                done = done._replace(sheet=done.sheet._replace(passing=passing))
                place = place._replace(stated=after.stated)
    grades = done.grades
    if says_units_once(line.text):
        grades = tuple(g._replace(unit="") if g.unit == "missing" else g for g in grades)
    if leads_by_arrow(line.text):
        grades = tuple(g._replace(note="") if g.note == "loose" else g for g in grades)
    return done.sheet, ReadLine(line, grades, done.why)


def _said_behind(
    by: ProblemKind[S, Topic], sheet: S, piece: str, place: _Place
) -> tuple[FoundIn[S, Topic], _Place] | None:
    """A piece with a right value and words behind it, which are then said of what comes after it:
    Q = 90 µC and Q does not change; None where it has no such value or nothing is said by then.
    """
    if "=" not in piece or not states_amount(piece):
        return None
    found, after = _best(by, sheet, piece, place)
    words = by.in_words(found.sheet, piece) if found.is_good else None
    return None if words is None else (_with(found, words), after)


def _with(done: FoundIn[S, Topic], found: FoundIn[S, Topic]) -> FoundIn[S, Topic]:
    return FoundIn(found.sheet, (*done.grades, *found.grades), done.why or found.why)


def _best(
    by: ProblemKind[S, Topic], sheet: S, piece: str, place: _Place
) -> tuple[FoundIn[S, Topic], _Place]:
    """A piece read in the way in which it is right, if there is one."""
    ways = [(text, False) for way in _as_told(piece) for text in by.readied(sheet, way)]
    ways += [(text, True) for text, _ in ways if has_letter_after_number(text)]
    first = _read_piece(by, sheet, ways[0], place)
    for way in ways[1:] if not _is_clear(first[0]) else ():
        other = _read_piece(by, sheet, way, place)
        if other[0].is_good and (_is_clear(other[0]) or not first[0].is_good):
            return other
        if first[0].is_good:
            continue
        if way[1] and other[0].grades and has_letter_alone(piece):
            first = other  # 15 C beside C² is no charge
    return first


def _is_clear(found: FoundIn[S, Topic]) -> bool:
    """Whether something was read, all of which holds as it stands."""
    return found.is_good and all(each.note != "loose" for each in found.grades)


def _as_told(piece: str) -> Sequence[str]:
    """A piece with its commas before three digits as decimal ones, and between thousands; with the
    size of a difference either way round; and with what words part in it as two statements: Q2 =
    150 uC would need 150/5 = 30 V.
    """
    closed = with_brackets_closed(piece)
    before, equals, _ = closed.rpartition("=")
    piece = f"{before}{equals}{piece.rpartition('=')[2]}"  # what is open at its end may break off
    ways = [
        _SIZE.sub(size, _COMMA.sub(sign, piece))
        for sign in (".", "")
        for size in (r"(\1 - \2)", r"(\2 - \1)")
    ]
    ends = without_last_dash(piece), closed
    return tuple(dict.fromkeys((*ways, *(_AMID.sub(r"\1; ", way) for way in ways), *ends)))


def _read_piece(
    by: ProblemKind[S, Topic], sheet: S, written: tuple[str, bool], place: _Place
) -> tuple[FoundIn[S, Topic], _Place]:
    """One piece read and judged; where letters are meant, C and V after a number are no units."""
    piece, letters = written
    goes_on = piece.lstrip().startswith(("=", "≈"))
    if _NAME_FIRST.match(piece):  # B = 0 is about B, known or not
        place = place._replace(about=())
    met = {name.removeprefix(PREFIX) for name in by.names(sheet) if name.startswith(PREFIX)}
    piece, unfinished = as_far_as_finished(piece, met)
    piece, own = with_own_letters(piece, met, by.names(sheet))
    reader = by.reader(sheet)
    done: FoundIn[S, Topic] = FoundIn(sheet, (), unfinished)
    try:
        said = said_in(reader._replace(names=reader.names | own, in_letters=letters), piece)
    except Refusal as refusal:
        lost = sheet._replace(going_on=None) if "=" in piece and not goes_on else sheet
        return FoundIn(lost, (), str(refusal)), place
    place = place._replace(stated=place.stated + len(said))
    if "=" in piece and said and said[-1].names and said[-1].statement is None:
        one_over = piece.replace(" ", "").startswith("1/")
        begun = said[-1]._replace(statement=Statement((), one_over))  # the next line may go on
        done = done._replace(sheet=sheet._replace(going_on=begun))
    for each in said if place.stated <= MOST_STATED else ():
        meant = _going_on(done.sheet, each) if goes_on and each is said[0] else each
        taken, after = _taken(by, done, meant, place)
        more = FoundIn(taken.sheet, taken.grades[len(done.grades) :])
        if each.doubt and each.names == place.right_of != () and more.grades and not more.is_good:
            continue  # C = 6, 4:2, volts 1:2: of a name that has its value
        if more.is_good:
            after = after._replace(right_of=each.names)
        done, place = taken, after
    return done, place


def _going_on(sheet: ReadSoFar, said: Said) -> Said:
    """What begins with an equals sign, about what the line before it was about."""
    before = sheet.going_on
    if said.names or said.statement is None or before is None or before.statement is None:
        return said
    statement = said.statement._replace(turned=before.statement.turned)
    return before._replace(statement=statement, doubt=said.doubt, label=said.label or before.label)


def _taken(
    by: ProblemKind[S, Topic], done: FoundIn[S, Topic], said: Said, place: _Place
) -> tuple[FoundIn[S, Topic], _Place]:
    """One more statement of a piece judged, or what is named without one remembered."""
    sheet, said = in_the_name_sought(by, done.sheet, in_the_name_given(by, done.sheet, said))
    done = done._replace(sheet=sheet)
    said = said._replace(of_each=said.of_each or place.of_each)
    if said.statement is None:
        hint = said.label.names if said.label and said.label.names else sheet.hint
        place = place._replace(about=said.names or place.about, of_each=said.of_each)
        return done._replace(sheet=sheet._replace(hint=hint)), place
    try:
        found = heard_out(by, sheet, said, partial(_by_meaning, by))
        if not said.names and place.about and said.label is None:
            named = said._replace(names=place.about)  # "1/C = 0.45, so 2.22 uF"
            of_name = heard_out(by, sheet, named, partial(_by_meaning, by))
            is_value = len(said.statement.sides) == 1 and not _is_of_another_kind(by, of_name, said)
            is_value &= not said.doubt  # "the other could take 400 uC" is of something else
            is_value &= not has_other_place(by, sheet, of_name)
            if of_name.is_good or (is_value and not found.is_good):
                said, found = named, of_name
    except Refusal as refusal:
        unread = done.sheet._replace(going_on=said)
        return FoundIn(unread, done.grades, done.why or str(refusal)), place
    assert said.statement is not None
    sheet = with_led(by, sheet, found, said)
    sheet = with_equation(sheet._replace(going_on=_as_named(by, found, said)), said)
    if all(
        (each.given and each.verdict == "wrong") or (each.relation and each.verdict == "right")
        for each in found.grades
    ):
        sheet = passed_by(by, sheet, said, place.line)
    why = done.why or found.why or ("" if found.grades else _untold(said, said.statement))
    return FoundIn(sheet, (*done.grades, *found.grades), why), place._replace(about=said.names)


def _is_of_another_kind(by: ProblemKind[S, Topic], found: FoundIn[S, Topic], said: Said) -> bool:
    """Whether the unit of a value is not that of what it would be about: C' = 18 uF, still 9 V."""
    assert said.statement is not None
    kind, truth = kind_of(said.statement.sides[-1]), by.truth(found.sheet)
    about = {truth[each.quantity][1] for each in found.grades if each.quantity in truth}
    return kind is not None and kind not in about


def _as_named(by: ProblemKind[S, Topic], found: FoundIn[S, Topic], said: Said) -> Said:
    """A statement under the name of what it turned out to be about, where it has none."""
    if said.names or said.label is not None or not found.grades:
        return said
    name = by.called(found.sheet, found.grades[-1].quantity)[1]
    return said._replace(names=(name,)) if name in by.names(found.sheet) else said


def _untold(said: Said, statement: Statement) -> str:
    """Why a statement is about nothing that can be marked."""
    if said.doubt:
        return said.doubt
    if not holds(statement):
        return DIFFERS
    if not said.names:
        return ""
    return f"{said.names[0].removeprefix(PREFIX)} stands for nothing that can be worked out here."


# Judging


def _by_meaning(by: ProblemKind[S, Topic], sheet: S, said: Said) -> FoundIn[S, Topic]:
    """Judge one statement for everything it is about, and remember what it states."""
    if (lettered := judge_letters(by, sheet, said)) is not None:
        return lettered
    if (related := by.equation(sheet, said)) is not None:
        return related
    said = said._replace(statement=_readied(by, sheet, said))
    before, meanings = by.meanings(sheet, said)
    found: FoundIn[S, Topic] = FoundIn(before)
    for meaning in meanings:
        on = found.sheet if _share(by, before, meanings, meaning) else before
        found = _judged_as(by, found, on, meaning, said)
    if said.of_each and found.grades:
        found = _of_each(by, found, said)
    return found


def _readied(by: ProblemKind[S, Topic], sheet: S, said: Said) -> Statement:
    """A statement without sides in names that have no value here, such as Q/V, if there is more to
    judge; 1/8 + 1/12 = 5/24, with no name in front and no unit behind, as what it says of 1/C.
    """
    assert said.statement is not None
    statement = said.statement
    worth = by.worth(sheet, statement.sides)
    kept = tuple(side for side in statement.sides if worth.keys() >= set(names_in(side)))
    sides = kept or statement.sides[-1:]
    if statement.turned:
        sides = tuple(rewritten(side, _letter_below) for side in sides)
    return as_reciprocals(statement._replace(sides=sides), said.names)


def _letter_below(part: Expression) -> Expression | None:
    """A letter behind a fraction of numbers as below its line: 3/5C, of one over a value."""
    if not isinstance(part, Op) or part.sign != "*" or not isinstance(part.right, Name):
        return None
    left = part.left
    if not isinstance(left, Op) or left.sign != "/" or not isinstance(left.right, Num):
        return None
    return left._replace(right=Op("*", left.right, part.right))


def _judged_as(
    by: ProblemKind[S, Topic],
    found: FoundIn[S, Topic],
    on: S,
    meaning: Meaning[S, Topic],
    said: Said,
) -> FoundIn[S, Topic]:
    """One meaning of a statement judged, by the values ``on`` a sheet, and kept if it stands."""
    tried, each, why = meaning.judge(found.sheet, on)
    found = found._replace(why=found.why or why)
    if each is None:
        return found._replace(sheet=tried)
    assert said.statement is not None
    named = meaning.named or is_named(said)
    each = _looked_at(by, found.sheet, each, said)
    if _is_right_otherwise(each, found.grades, said):
        return found
    if named and each.verdict == "wrong" and each.fault != "unit" and not each.slip:
        each = _of_its_unit(by, found.sheet, each, said)
    if said.gap and each.verdict == "wrong":
        return found  # what stands between may say of what it is
    if not stands(each, said.statement, named, not said.doubt):
        return found
    if each.verdict != "right" and not each.given:
        used = used_in_working(by, found.sheet, said.statement, each.quantity)
        each = each._replace(used=used)
    if each.verdict == "wrong" and meaning.guessed and misreckons(said.statement):
        each = each._replace(is_certain=True, told=DIFFERS)
    each = each._replace(guessed=meaning.guessed)
    return FoundIn(by.settled(kept(tried, each)), (*found.grades, each), found.why)


def _is_right_otherwise(
    each: Judgement[Topic], others: Sequence[Judgement[Topic]], said: Said
) -> bool:
    """Whether what stands under one name is right for something that bears it, and wrong for
    another thing at another time.
    """
    return len(said.names) == 1 and not said.of_each and each.verdict == "wrong" and any(
        one.verdict == "right" and one.value == each.value for one in others
    )


def _looked_at(
    by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic], said: Said
) -> Judgement[Topic]:
    """A good judgement as it is; as wrong for given values added up to almost their sum, and for
    what would follow from a wrong value that was worked out from it.
    """
    assert said.statement is not None
    if each.verdict == "right" and each.is_final and misadds(said.statement, by.given(sheet)):
        slip = len(said.statement.sides) - 1
        wrong = each._replace(verdict="wrong", fault="arithmetic", method=True, accurate=False)
        return wrong._replace(slip=slip, slipped_to=each.value, note="")
    is_new = each.quantity not in sheet.stated
    kind = by.truth(sheet).get(each.quantity, (None, None))[1]
    if each.verdict == "carried" and is_new and kind and led_on(
        sheet, said, kind, _numbers_stated(by, sheet, kind)
    ):
        wrong = each._replace(verdict="wrong", method=False, accurate=False, told=ROUND)
        return wrong._replace(is_certain=True, carrying=frozenset())
    return each


def _numbers_stated(
    by: ProblemKind[S, Topic], sheet: S, kind: Dimension
) -> frozenset[Fraction]:
    """The values of other kinds that stand above, each in the usual unit of its own."""
    powers, truth = by.powers(sheet), by.truth(sheet)
    found = {
        (value, dimension) for quantity, value in sheet.stated.items() if quantity in truth
        if (dimension := truth[quantity][1]) in powers and dimension != kind
    }
    return frozenset(
        Fraction(value) / Fraction(10) ** powers[dimension]
        for value, dimension in found if dimension is not None and not in_letters(value)
    )


def _of_its_unit(
    by: ProblemKind[S, Topic], sheet: S, each: Judgement[Topic], said: Said
) -> Judgement[Topic]:
    """What is wrong as it is, or as of another kind where its unit is that of one: from no wrong
    rule for this quantity, and from nothing that stands above.
    """
    assert said.statement is not None
    written = kind_of(said.statement.sides[-1])
    kind = by.truth(sheet).get(each.quantity, (None, None))[1]
    if written is None or kind is None or written == kind:
        return each
    each = each._replace(fault=None, malrules=(), diagnosis=None, method=False, accurate=False)
    return each._replace(is_certain=True, told=other_kind(by.called(sheet, each.quantity)[1]))


def _share(
    by: ProblemKind[S, Topic],
    sheet: S,
    meanings: Sequence[Meaning[S, Topic]],
    meaning: Meaning[S, Topic],
) -> bool:
    """Whether all that one value is said to be do have one value: if not, a wrong one is not
    passed on from the first of them to the next.
    """
    truth = by.truth(sheet)
    own = truth.get(meaning.about) if meaning.about is not None else None
    values = [truth.get(each.about) for each in meanings if each.about is not None]
    return own is None or all(value is not None and same(value[0], own[0]) for value in values)


def _of_each(by: ProblemKind[S, Topic], found: FoundIn[S, Topic], said: Said) -> FoundIn[S, Topic]:
    """What is said of several alike counts for all that it is right for: 8 V on both; where words
    that were not read, or an index, may say of which, it is wrong of none.
    """
    last = found.grades[-1]
    if last.verdict == "wrong" or not last.is_final:
        return found
    before, before_all = found.sheet, found.grades[:-1]
    of_some = bool(said.doubt) or any(name[-1:].isdigit() for name in said.names)
    for meaning in by.alike(before, said, last):
        tried, each, _ = meaning.judge(found.sheet, before)
        if each is None or each.value is None:
            continue
        is_sure = meaning.named and not of_some
        if each.verdict == "wrong" and is_sure:  # so that it was right for the first by chance
            last = last._replace(method=False, accurate=False, in_numbers=False)
        if each.verdict != "wrong" or is_sure:
            found = FoundIn(by.settled(kept(tried, each)), (*found.grades, each), found.why)
    at = len(before_all)
    return found._replace(grades=(*before_all, last, *found.grades[at + 1 :]))


# Awarding


def _without_units_shown(
    by: ProblemKind[S, Topic],
    sheet: S,
    ground: Ground[Topic],
    rows: Sequence[Sequence[Judgement[Topic]]],
) -> Ground[Topic]:
    """The ground without what costs nothing where its unit is missing: values that the text does
    not ask for by name, if the unit stands with another value of their kind.
    """
    truth = by.truth(sheet)
    kinds = {
        truth[each.quantity][1]
        for row in rows
        for each in row
        if each.is_final and not each.unit and each.value and each.quantity in truth
    }
    asked = {item.quantity for item in ground.items if item.asked}
    shown = {about for about, (_, kind) in truth.items() if kind in kinds}
    return ground._replace(wanted=ground.wanted - (shown - asked))


def _awarded(
    by: ProblemKind[S, Topic], sheet: S, read: Sequence[ReadLine[Topic]], scheme: Scheme
) -> Marked:
    rows = [line.grades for line in read]
    ground = by.ground(sheet, worked_out(rows))
    if scheme.units != "every time":
        ground = _without_units_shown(by, sheet, ground, rows)
    awarded = award(ground, rows, scheme)
    numbers = tuple(line.written.number for line in read)
    rulings = Rulings(scheme, awarded.lost, numbers)

    def name(about: Topic) -> str:
        return by.called(sheet, about)[1]

    def said(each: Judgement[Topic]) -> str:
        return each.told or by.remark(sheet, rulings, each)

    lines = []
    for at, line in enumerate(read):
        told = [g.quantity for g in line.grades if not (g.given and g.told)]
        about = name(told[-1]) if told else ""
        words = unless_failing(FAILED, remark, rulings, at, line, said, name)
        lines.append(marked_line(line.written, (about, words), line.grades, awarded, at))
    texts = [by.scheme_line(sheet, item) for item in ground.items]
    total = in_all(lines, awarded, texts, sum(item.marks for item in ground.items), name)
    return total._replace(
        credits=credits_of(
            rows, numbers, awarded, ground.items, lambda about: by.called(sheet, about)
        )
    )
