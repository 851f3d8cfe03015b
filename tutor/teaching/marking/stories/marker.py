"""Free working of a problem in stages marked line by line, with errors carried forward."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.answers import as_si, evaluate
from grammar.expressions import Neg
from grammar.measures import PURE
from grammar.records import Asked, Refusal
from tutor.circuit.surds import near
from tutor.circuit.values import in_letters
from tutor.teaching.judging import close
from tutor.teaching.marking.awarding import award
from tutor.teaching.marking.examining import GENERAL_PRACTICE, Scheme
from tutor.teaching.marking.grading import (
    Judgement,
    Statement,
    as_turned,
    grade,
    holds,
    stands,
    used_in,
)
from tutor.teaching.marking.marked import (
    FAILED,
    Marked,
    credits_of,
    in_all,
    lines_of,
    marked_line,
    unless_failing,
    without_wrong_guesses,
)
from tutor.teaching.marking.phrases import Rulings, given_misread
from tutor.teaching.marking.statements import (
    Reader,
    Said,
    has_letter_after_number,
    is_named,
    said_in,
)
from tutor.teaching.marking.stories.counting import is_counted, without_ratio
from tutor.teaching.marking.stories.equations import (
    equation_in,
    judge_equation,
    judge_letters,
    no_meaning,
    true_equation,
)
from tutor.teaching.marking.stories.paper import (
    Paper,
    begin_paper,
    names_on,
    settled,
    subject_at,
)
from tutor.teaching.marking.stories.remarks import Context, Grades, of_choice, remark
from tutor.teaching.marking.stories.resolving import (
    Target,
    judged_given,
    lookup,
    resolve,
    with_known_names,
)
from tutor.teaching.marking.stories.scheme import OF_WAY, ground_of, name_of, offers, scheme_text
from tutor.teaching.marking.stories.words import (
    as_number,
    is_prose,
    label_in,
    option_said,
    readable,
    with_levels,
)
from tutor.teaching.marking.unknowns import PREFIX, with_own_letters
from tutor.teaching.marking.working import WrittenLine, says_units_once
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.measuring import letters_in, speaks_of_sizes
from tutor.teaching.staged.skills import key_of
from tutor.teaching.staged.story import PASSED_ON, Ask, Story

GIVEN: Final = -1  # no question asks for a given value


_HELD_FIXED: Final = re.compile(
    r"fixed|held|hold|constant|const|kept|keep|stay|conserve|unchanged|change|remain|still"
)
_EMPTY_AT_FIRST: Final = re.compile(
    r"=\s*0\b.*\b(?:uncharged|empty|not charged|no charge|at first|initially|to begin)\b"
)


class _Read(NamedTuple):
    """A line as read: ``why`` it could not be; ``told`` is what to say of some of its grades."""

    written: WrittenLine
    grades: Grades = ()
    why: str = ""
    told: Mapping[int, str] = MappingProxyType({})


def mark_story(
    story: Story, text: str, scheme: Scheme = GENERAL_PRACTICE, terms: Settings = DEFAULTS,
    asked: tuple[Asked, ...] = (),
) -> Marked:
    """Mark a whole script; there are marks for what is ``asked`` and what leads to it, for
    everything where nothing is. Raises Refusal for a script of too many lines.
    """
    written = lines_of(text)
    paper = begin_paper(story, terms)
    read: list[_Read] = []
    for line in written:
        paper, found = unless_failing((paper, _Read(line, (), FAILED)), _read, paper, line)
        read.append(found)
    rows = without_wrong_guesses([line.grades for line in read])
    read = [line._replace(grades=row) for line, row in zip(read, rows, strict=True)]
    items = offers(paper, asked)
    written_for = {each.quantity for row in rows for each in row}
    awarded = award(ground_of(paper, items, written_for), rows, scheme)
    context = Context(
        paper, Rulings(scheme, awarded.lost, tuple(line.written.number for line in read))
    )
    lines = [
        marked_line(
            line.written,
            (_about(paper, line), unless_failing(
                FAILED, remark, context, at, line.written, line.grades, line[2:])),
            line.grades, awarded, at,
        )
        for at, line in enumerate(read)
    ]
    texts = [scheme_text(paper, item) for item in items]
    of = sum(item.marks for item in items)
    marked = in_all(lines, awarded, texts, of, lambda at: name_of(paper, at))
    return marked._replace(credits=credits_of(
        rows, context.rulings.numbers, awarded, items,
        lambda at: (key_of(at, paper.asks[at]), name_of(paper, at)),
    ))


def _about(paper: Paper, line: _Read) -> str:
    places = [g.quantity for g in line.grades if not g.given]
    return name_of(paper, places[-1]) if places else ""


def _read(paper: Paper, line: WrittenLine) -> tuple[Paper, _Read]:
    grades: list[Judgement[int]] = []
    told: dict[int, str] = {}
    why = ""
    for piece in line.pieces:
        chosen = _chosen(paper, piece)
        if chosen is not None:
            judged, text = chosen
            grades.append(judged)
            told[judged.quantity] = text
            paper = paper._replace(said=paper.said | {judged.quantity})
        if chosen is not None or is_prose(piece):
            continue
        if _EMPTY_AT_FIRST.search(piece):
            why = why or "That is so at first, and no mark is for it."
            continue
        done = _best(paper, piece)
        paper, why = done.paper, why or done.why
        grades += done.grades
        told.update(done.told)
    if says_units_once(line.text):
        grades = [each._replace(unit="") if each.unit == "missing" else each for each in grades]
    return paper, _Read(line, tuple(grades), why, told)


class _ReadPiece(NamedTuple):
    """A piece as read: the paper after it, its grades, and why some of it has none."""

    paper: Paper
    grades: Grades = ()
    why: str = ""
    told: Mapping[int, str] = MappingProxyType({})

    @property
    def is_good(self) -> bool:
        """Whether something was read and nothing of it called wrong."""
        return bool(self.grades) and all(each.verdict != "wrong" for each in self.grades)


def _best(paper: Paper, piece: str) -> _ReadPiece:
    """A piece read in the way in which it is right, if there is one."""
    first = _read_piece(paper, piece, False)
    if first.is_good or not has_letter_after_number(piece):
        return first
    other = _read_piece(paper, piece, True)
    return other if other.is_good else first


def _read_piece(paper: Paper, piece: str, letters: bool) -> _ReadPiece:
    """One piece read and graded; with ``letters`` C and V after a number are no units."""
    met = {n.removeprefix(PREFIX) for n in (*paper.aliases, *paper.noted) if n.startswith(PREFIX)}
    piece = with_levels(piece, _lone_points(paper))
    goes_on = piece.lstrip().startswith(("=", "≈"))
    piece, own = with_own_letters(piece, met, names_on(paper))
    reader = _reader(paper)
    reader = reader._replace(names=reader.names | own, in_letters=letters)
    done = _ReadPiece(paper)
    try:
        for said in said_in(reader, readable(piece, _is_metric(paper))):
            statement = said.statement
            if statement is None:
                continue
            if goes_on and not said.names:
                names, turned = paper.going_on
                statement = statement._replace(turned=turned)
                said = said._replace(names=names, statement=statement)  # noqa: PLW2901
            after, new, text = _stated(done.paper, said)
            after = after._replace(going_on=(said.names, statement.turned))
            told = {**done.told, GIVEN: text} if any(g.given for g in new) else done.told
            done = _ReadPiece(after, (*done.grades, *new), done.why or text, told)
    except Refusal as refusal:
        return done._replace(why=done.why or str(refusal))
    return done


def _reader(paper: Paper) -> Reader:
    asked = tuple(dict.fromkeys(ask.name for ask in paper.asks if ask.name))
    return Reader(
        names_on(paper), frozenset(letters_in(paper.story)), label_in, asked, counts=True
    )


def _lone_points(paper: Paper) -> list[str]:
    """The points whose potential is asked and whose letter alone means nothing else here."""
    asked = (a.name.removeprefix("V_") for a in paper.asks if a.name.startswith("V_"))
    taken = names_on(paper)
    return [p for p in asked if len(p) == 1 and p.isupper() and p not in taken]


def _is_metric(paper: Paper) -> bool:
    """Whether lengths are measured here."""
    return speaks_of_sizes(paper.story)


# Choices in words


def _chosen(paper: Paper, piece: str) -> tuple[Judgement[int], str] | None:
    """A piece in words that answers a question for a choice: the next one, or one before it that
    it answers rightly.
    """
    if "=" in piece:
        return None
    waiting = [
        (at, option) for at, ask in enumerate(paper.asks)
        if ask.options and at not in paper.said
        and (option := option_said(ask, piece)) is not None
        and (option.is_right or _is_plainly_said(ask, piece))
    ]
    ahead = [each for each in waiting if each[0] >= paper.frontier]
    behind = [each for each in waiting if each[0] < paper.frontier and each[1].is_right]
    best = next(iter((*ahead, *reversed(behind))), None)
    if best is None:
        return None
    at, option = best
    text = of_choice(option, paper.asks[at])
    if option.is_right:
        return Judgement(at, "right", method=True), text
    judged = Judgement(at, "wrong", malrules=option.malrules)
    return judged._replace(fault="malrule" if option.malrules else None), text


def _is_plainly_said(ask: Ask, piece: str) -> bool:
    """Whether a wrong answer in words is meant as one: in a longer sentence a word in passing is
    none.
    """
    if ask.key == "held" and not _HELD_FIXED.search(piece.lower()):
        return False
    most = {"shares": 9, "change": 9, "energy": 9, "check": 9, "choice": 5}.get(ask.about, 0)
    return len(piece.split()) <= most


# Values


def _stated(paper: Paper, said: Said) -> tuple[Paper, list[Judgement[int]], str]:
    """Judge one statement; what states no value that fits may still be a true equation."""
    after, grades, why = _judged(paper, said)
    if grades and all(each.verdict != "wrong" for each in grades):
        return after, grades, why
    assert said.statement is not None
    if (turned := as_turned(said.statement, bool(said.names))) is not None:
        other = _judged(paper, said._replace(statement=turned))
        kinds = {paper.asks[each.quantity].dimension for each in other[1]}
        if kinds == {"capacitance"} and all(each.verdict != "wrong" for each in other[1]):
            return other
    true = true_equation(paper, said)
    return (paper, [true], "") if true is not None else (after, grades, why)


def _judged(paper: Paper, said: Said) -> tuple[Paper, list[Judgement[int]], str]:
    """Judge one statement; what is to be said where that is no question's comes last."""
    assert said.statement is not None
    if (lettered := judge_letters(paper, said)) is not None:
        return (*lettered, "" if lettered[1] else no_meaning(said.statement.sides, paper.asks))
    equation = equation_in(paper, said.names, said.statement.sides)
    if equation is not None and not said.statement.turned:
        paper, found = judge_equation(paper, equation)
        why = "" if found else "No value follows from this yet."
        return _with_wrong(paper, found), found, why
    said = said._replace(statement=with_known_names(paper, said.statement))
    assert said.statement is not None
    grades: list[Judgement[int]] = []
    why = ""
    for target in resolve(paper, said):
        if target.at is None:
            paper, new, text = _noted(paper, target, said.statement)
            why = why if why and not any(g.verdict == "wrong" for g in new) else text
            grades += new
            continue
        tried, each = _signed(paper, target, said.statement)
        named = is_named(said) or is_counted(paper, target.at, said.statement)
        if not stands(each, said.statement, named, not said.doubt):
            continue
        paper = tried
        if each.verdict != "right":
            each = each._replace(used=_used(paper, said.statement, target.at))
        paper = _with_wrong(paper, [each])
        grades.append(each)
        stated = dict(paper.stated)
        if each.value is not None:
            stated[target.at] = each.value
        doubtful = paper.doubtful - {target.at}
        if target.guessed and each.verdict == "wrong":
            doubtful |= {target.at}
        aliases = {**paper.aliases, target.new: target.at} if target.new else paper.aliases
        paper = settled(paper._replace(stated=stated, doubtful=doubtful, aliases=aliases))
    if not grades and not why and said.doubt:
        why = said.doubt
    if not grades and not why and not holds(said.statement):
        why = "The two sides of an equals sign differ here."
    return paper, grades, why


def _used(paper: Paper, statement: Statement, about: int) -> frozenset[int]:
    """Values not stated before whose numbers stand in a statement."""
    given = [
        link.value[0] for ways in paper.paths for path in ways for link in path.links.values()
        if link.at is None
    ]
    found: frozenset[int] = frozenset()
    for power in {paper.power(at) for at in paper.own}:
        values = {
            at: paper.right(at) for at in paper.own
            if at not in paper.stated and at != about and paper.power(at) == power
        }
        found |= used_in(statement, values, given, power)
    return found


def _with_wrong(paper: Paper, found: list[Judgement[int]]) -> Paper:
    wrong = paper.wrong
    for each in found:
        wrong -= {each.quantity}
        if each.verdict != "right" and each.fault != "unit":
            wrong |= {each.quantity}
    return paper._replace(wrong=wrong)


def _noted(
    paper: Paper, target: Target, statement: Statement
) -> tuple[Paper, list[Judgement[int]], str]:
    """A given value read back, or a value that no question asks for, kept for what follows."""
    measure = evaluate(statement.sides[-1], lookup(paper, statement, len(paper.asks)))
    if target.given is None:
        if statement.turned:
            return paper, [], ""
        noted = {**paper.noted, target.new: measure}
        text = f"{target.new} is no value that is asked for here, so it has no mark of its own."
        return paper._replace(noted=noted), [], text
    link = target.given
    if judged_given(paper, link, measure):
        found = Judgement(GIVEN, "right", method=True, given=True)
        return paper, [found], f"{link.name}, as given."
    value, dimension = link.value
    power = paper.story.powers[dimension] if dimension else 0
    misread = {**paper.misread, link.name: as_si(measure, dimension or PURE, power)}
    shown = paper.speech.amount(value, dimension) if dimension else as_number(near(value))
    wrong = Judgement(GIVEN, "wrong", "arithmetic", given=True)
    paper = _with_wrong(paper._replace(misread=misread), [wrong])
    return settled(paper), [wrong], given_misread(link.name, shown)


def _carrying(paper: Paper, each: Judgement[int]) -> frozenset[int]:
    """What passes its own wrong value on, and the choices of a way, which show in any value."""
    passed = {
        at for at in paper.off() if paper.asks[at].key == PASSED_ON
        or (each.value is not None and close(paper.own[at], each.value))
    }
    of_way = {at for at, ask in enumerate(paper.asks) if ask.options and ask.about in OF_WAY}
    return frozenset(passed | of_way)


def _signed(
    paper: Paper, target: Target, statement: Statement
) -> tuple[Paper, Judgement[int]]:
    """Judge by its size what is given a minus because it counts against a chosen + side."""
    assert target.at is not None
    found = evaluate(statement.sides[-1], lookup(paper, statement, target.at)).value
    is_negative = not in_letters(found) and found < 0
    if not is_negative or statement.turned or not paper.has_sign(target.at):
        kept = paper._replace(negative=paper.negative - {target.at})
        return kept, _graded(paper, target, statement)
    sized = statement._replace(sides=tuple(Neg(side) for side in statement.sides))
    graded = _graded(paper, target, sized)
    return paper._replace(negative=paper.negative | {target.at}), graded


def _graded(paper: Paper, target: Target, statement: Statement) -> Judgement[int]:
    assert target.at is not None
    at, known = target.at, lookup(paper, statement, target.at)
    statement = without_ratio(paper, at, statement, known)
    if not statement.sides:
        return Judgement(at, "carried" if paper.wrong else "right", method=True)
    each = grade(subject_at(paper, at), statement, known, bool(paper.wrong))
    if paper.asks[at].dimension is None and each.unit == "missing":
        each = each._replace(unit="")
    if each.verdict == "carried":
        each = each._replace(carrying=_carrying(paper, each))
    return each._replace(guessed=target.guessed)
