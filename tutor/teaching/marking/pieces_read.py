"""The pieces of a line, each read in the way in which it is right, if there is one."""

from __future__ import annotations

import re
from functools import partial
from typing import Final, NamedTuple

from grammar.records import Refusal
from tutor.teaching.marking.before_wrong import has_other_place, heard_out
from tutor.teaching.marking.fitting import kind_of
from tutor.teaching.marking.grading import Judgement, Statement, Topic
from tutor.teaching.marking.marked import MOST_STATED, TOO_MUCH
from tutor.teaching.marking.meanings_judged import by_meaning
from tutor.teaching.marking.own_equations import with_equation
from tutor.teaching.marking.phrases import DIFFERS, ReadLine
from tutor.teaching.marking.problem_kind import FoundIn, ProblemKind, ReadSoFar, S, passed_by
from tutor.teaching.marking.replaying import with_led
from tutor.teaching.marking.restated import in_the_name_given
from tutor.teaching.marking.statements import Said, has_letter_alone, said_in, states_amount
from tutor.teaching.marking.trials import (
    TRIED,
    are_said_to_fit,
    is_begun,
    is_thrown_out,
    values_tried,
)
from tutor.teaching.marking.true_in_numbers import holds
from tutor.teaching.marking.unfinished import as_far_as_finished
from tutor.teaching.marking.unknowns import (
    PREFIX,
    in_the_name_sought,
    letters_met,
    with_own_letters,
)
from tutor.teaching.marking.ways_to_read import WayToRead, ways_to_read
from tutor.teaching.marking.working import WrittenLine, leads_by_arrow, says_units_once

_NAME_FIRST = re.compile(r"\s*[A-Za-z]\w{0,3}\s*=")
_BECAUSE: Final = re.compile(r"\b(?:because|since|as|for)\b", re.IGNORECASE)
ALL_HOLDS: Final = 2


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


def read_line(by: ProblemKind[S, Topic], sheet: S, line: WrittenLine) -> tuple[S, ReadLine[Topic]]:
    """A line with what is made of it, and the sheet after it: as before where it states too much
    at once.
    """
    done: FoundIn[S, Topic] = FoundIn(sheet)
    place = _Place(line.number)
    for piece in line.pieces:
        done, place = _tried_or_meant(by, done, piece, place, line.text)
        if place.stated > MOST_STATED:
            return sheet, ReadLine(line, (), TOO_MUCH)
    grades = _without_false_reason(line.text, done.grades)
    if says_units_once(line.text):
        grades = tuple(g._replace(unit="") if g.unit == "missing" else g for g in grades)
    if leads_by_arrow(line.text):
        grades = tuple(g._replace(note="") if g.note == "loose" else g for g in grades)
    return done.sheet, ReadLine(line, grades, done.why)


def _without_false_reason(
    text: str, grades: tuple[Judgement[Topic], ...]
) -> tuple[Judgement[Topic], ...]:
    """Without a formula that holds, put as the reason for what is wrong in words: the energy is
    halved because E = ½ C V².
    """
    wrong = [at for at, each in enumerate(grades) if each.verdict == "wrong" and not each.is_final]
    if not wrong or _BECAUSE.search(text) is None:
        return grades
    return tuple(
        each
        for at, each in enumerate(grades)
        if at <= wrong[0] or each.verdict != "right" or each.is_final
    )


def _tried_or_meant(
    by: ProblemKind[S, Topic], done: FoundIn[S, Topic], piece: str, place: _Place, line: str
) -> tuple[FoundIn[S, Topic], _Place]:
    """What was found with one more piece of a ``line``; of a trial with what is said to fit alone,
    and with nothing that is wrong.
    """
    more, after = _with_piece(by, done, piece, place)
    new = more.grades[len(done.grades) :]
    if new and is_thrown_out(piece):  # right by chance as well
        return done._replace(why=done.why or TRIED), place
    is_off = any(each.verdict == "wrong" for each in new)
    values, fit = values_tried(piece), are_said_to_fit(piece)
    if not values or (new and not is_off) or not (is_begun(line) or (fit and not new)):
        return more, after
    other, there = _with_piece(by, done, values, place)
    found = FoundIn(other.sheet, other.grades[len(done.grades) :])
    if found.is_good or (is_off and fit):
        return other, there
    return (done._replace(why=done.why or TRIED), place) if is_off else (more, after)


def _with_piece(
    by: ProblemKind[S, Topic], done: FoundIn[S, Topic], piece: str, place: _Place
) -> tuple[FoundIn[S, Topic], _Place]:
    """What was found with one more piece: what it says in words, and then its values. Words that
    are wrong so may be said of what comes after the value.
    """
    words = by.in_words(done.sheet, piece)
    if words is None:
        found, after = _best(by, done.sheet, piece, place)
        return _with(done, found), after
    is_off = any(each.verdict == "wrong" for each in words.grades)
    behind = _said_behind(by, done.sheet, piece, place) if is_off else None
    if behind is not None:
        return _with(done, behind[0]), behind[1]
    done = _with(done, words)
    if not states_amount(piece):
        return done, place
    found, after = _best(by, done.sheet, piece, place)
    if found.is_good or "=" in piece or _is_known_of_each(found):  # in a sentence, these alone
        return _with(done, found), after
    is_same_slip = is_off and bool(found.grades)  # of which the words have said it all
    passed = found.sheet if is_same_slip else done.sheet._replace(passing=found.sheet.passing)
    return done._replace(sheet=passed), place._replace(stated=after.stated)


def _is_known_of_each(found: FoundIn[S, Topic]) -> bool:
    """Whether one value is said of several by a known wrong rule: half of it goes over so each
    has 36 µC.
    """
    grades = found.grades
    return len(grades) > 1 and all(
        each.verdict == "wrong" and each.malrules and each.value == grades[0].value
        for each in grades
    )


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
    """A piece read as it stands, or in the first way in which it holds better than so; where there
    is none, with C and V after numbers as the letters that stand there alone as well. As an
    equation in an unknown that was met it may come first, where it holds so.
    """
    best: tuple[FoundIn[S, Topic], _Place] | None = None
    for way in ways_to_read(by, sheet, piece):
        other = _read_piece(by, sheet, way, place)
        holds_so = _how_well(other[0])
        if holds_so == ALL_HOLDS or (best is not None and holds_so > _how_well(best[0])):
            return other
        if best is None:
            best = None if way.in_unknown else other
            continue
        is_of_letters = way.in_letters and other[0].grades and has_letter_alone(piece)
        if (is_of_letters or way.surely) and not best[0].is_good:
            best = other  # 15 C beside C² is no charge, and 10 V beside 18 - V no p.d.
    assert best is not None, "as it stands a piece is always read"
    return best


def _how_well(found: FoundIn[S, Topic]) -> int:
    """0 where nothing was read or some of it is wrong; 1 where nothing is wrong; ``ALL_HOLDS``
    where all holds as it stands as well.
    """
    is_clear = all(each.note != "loose" for each in found.grades)
    return found.is_good + (found.is_good and is_clear)


def _read_piece(
    by: ProblemKind[S, Topic], sheet: S, written: WayToRead, place: _Place
) -> tuple[FoundIn[S, Topic], _Place]:
    """One piece read and judged."""
    piece, letters = written.text, written.in_letters
    goes_on = piece.lstrip().startswith(("=", "≈"))
    if _NAME_FIRST.match(piece):  # B = 0 is about B, known or not
        place = place._replace(about=())
    met = letters_met(by.names(sheet))
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
    """What begins with an equals sign, about what the line before it was about; an amount of
    another kind than stood there is about something else.
    """
    before = sheet.going_on
    if said.names or said.statement is None or before is None or before.statement is None:
        return said
    sides = (*before.statement.sides[-1:], said.statement.sides[-1])
    if len({kind_of(side) for side in sides} - {None}) > 1:
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
        found = heard_out(by, sheet, said, partial(by_meaning, by))
        if not said.names and place.about and said.label is None:
            named = said._replace(names=place.about)  # "1/C = 0.45, so 2.22 uF"
            of_name = heard_out(by, sheet, named, partial(by_meaning, by))
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
        (each.given and each.verdict == "wrong" and not each.is_certain)
        or (each.relation and each.verdict == "right")
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
