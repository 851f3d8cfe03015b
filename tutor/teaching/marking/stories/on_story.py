"""Working about a problem in stages: values and choices in words, question by question."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from fractions import Fraction
from functools import partial
from types import MappingProxyType
from typing import Final

from grammar.answers import DIMS, Measure, as_si, evaluate
from grammar.asking import QUANTITY
from grammar.expressions import Expression, Neg, names_in
from grammar.handwriting import TO
from grammar.measures import PURE
from grammar.records import Asked, Dimension
from tutor.circuit.surds import near
from tutor.circuit.values import Value, in_letters
from tutor.teaching.judging import SMALL, close, judge
from tutor.teaching.marking.awarding import Ground
from tutor.teaching.marking.examining import GENERAL_PRACTICE, Scheme
from tutor.teaching.marking.fitting import FACTORS, fit, numbers_in, turned_over
from tutor.teaching.marking.grading import Judgement, Statement, grade, holds
from tutor.teaching.marking.labels import with_names_for_letters, with_ones_named
from tutor.teaching.marking.marked import Marked, lines_of
from tutor.teaching.marking.marker import marked
from tutor.teaching.marking.phrases import DIFFERS, FOLLOWS, Rulings, given_misread
from tutor.teaching.marking.plainer_lines import BECOMES
from tutor.teaching.marking.problem_kind import FoundIn, JudgedFor, Meaning, Passing, ProblemKind
from tutor.teaching.marking.statements import AMOUNT, Reader, Said
from tutor.teaching.marking.stories.bridge_left_out import as_without, said_left_out
from tutor.teaching.marking.stories.by_star import on_way_by_star
from tutor.teaching.marking.stories.changes_said import says_true_change
from tutor.teaching.marking.stories.equations import equation_in, judge_equation, true_equation
from tutor.teaching.marking.stories.following import follow
from tutor.teaching.marking.stories.held_after import (
    held_at,
    is_led_to,
    judged_held,
    with_prime_for_after,
)
from tutor.teaching.marking.stories.paper import (
    Paper,
    at_later_times,
    begin_paper,
    capacitances_given,
    given_named,
    names_on,
    right_values,
    settled,
    subject_at,
    values_otherwise,
)
from tutor.teaching.marking.stories.story_fit import (
    is_counted,
    lookup,
    otherwise,
    without_ratio,
)
from tutor.teaching.marking.stories.story_remarks import StoryContext, of_choice, on_judgement
from tutor.teaching.marking.stories.story_resolving import (
    StoryTarget,
    judged_given,
    resolve,
    says_count,
)
from tutor.teaching.marking.stories.story_scheme import (
    OF_WAY,
    ground_of,
    is_way_after,
    name_of,
    offers,
    scheme_text,
)
from tutor.teaching.marking.stories.story_words import (
    as_number,
    is_prose,
    is_short,
    label_in,
    option_said,
    readable,
    with_levels,
    words_after,
)
from tutor.teaching.marking.unknowns import PREFIX, UNTRUE, all_sides
from tutor.teaching.marking.working import in_pieces
from tutor.teaching.settings import DEFAULTS, Settings
from tutor.teaching.staged.measuring import SHORT, letters_in, speaks_of_sizes
from tutor.teaching.staged.moves import WHAT_ADDS
from tutor.teaching.staged.story import PASSED_ON, Ask, Option, Story, Valued, is_called
from tutor.teaching.staged.story_skills import key_of

PREFIXES: Mapping[str, int] = MappingProxyType({"p": -12, "n": -9, "u": -6, "µ": -6, "m": -3})
_TOLD_BY_VALUE: Final = re.compile(r"(?<![\d.])(\d+(?:\.\d+)?)\s*([pnuµμm])?F\b")
RATING: Final = "rating"  # each capacitor has one
_HELD_KINDS: Final[tuple[tuple[str, Dimension], ...]] = (
    ("the charge", "charge"),
    ("the p.d.", "voltage"),
)
FEWEST_WORDS: Final = 3  # that say more than a name does
AFTERWARDS: Final = "This follows from the charge above, for the time after the {} of the text."
GIVEN: Final = -1  # no question asks for a given value


_HELD_FIXED: Final = re.compile(
    r"fixed|held|hold|const|kept|keep|stay|conserv|unchanged|change|remain|still|trapped|nowhere"
)
_NO_ENERGY: Final = ("C", "F", "V")
_NO_CHANGE: Final = (
    r"(?:(?:does|do|did|will|wo|can|ca|has|have|is)(?:\s+not|n['’]?t)|cannot|never)\s+(?:be\s+)?"
    r"(?:chang|alter)\w*"
)
_STILL: Final = re.compile(
    rf"\b(?:stays?|still|remains?|unchanged|kept|keeps?|constant|conserved|fixed|{_NO_CHANGE})\b"
)
_UNFILLED = r"(?:(?:without|no)\s+(?:the\s+)?[a-z]+|in\s+(?:air|vacuum)|empty|unfilled)"
_EMPTY: Final = re.compile(
    rf"\bC\s+(?:is\s+)?{_UNFILLED}(?=\s*=)|\b{_UNFILLED}(?:\s+it\s+is)?[\s,:]+C(?=\s*=)"
)
_CHANGED: Final = re.compile(rf"\s*(\d[\d.]*)\s*{BECOMES}\s*(\d[\d.]*)\s*([pnuµμmk]?[FCVJ])\s*")
_BEFORE: Final = re.compile(r"\b([CQVUE])\s+(?:before|at\s+first|beforehand|initially)\s*=")
_GOES_ON: Final = re.compile(
    r"^\s*([QVUE])\b(?:\s*(?:=|:|is|are|the))*\s+(?:the\s+)?"
    rf"(?:same|stays?|still|remains?|unchanged|constant|kept|{_NO_CHANGE})\b"
    r"[^=\d]*=?\s*(?=\d)"
)
_KEEPS_ENERGY: Final = re.compile(  # and not that what is lost of it must be somewhere
    r"(?i)^(?!.*(?:\bnot\b|n['’]t\b|\bnever\b|\bheat|\blos[st]|\bwork\b|\btotal\b))"
    r".*(?:\bconserv\w*\s+(?:of\s+)?(?:the\s+)?(?:\w+\s+)?energy"
    r"|\benergy\b[^=]*\b(?:conserv|constant|kept|unchanged|stays))"
)
_OF_ENERGY: Final = re.compile(r"^\s*[EWU]['’_\d]*\s*=|energy|stored")
_ITS_POINT: Final = re.compile(  # of an arm or a side: 15 uF (A), 1 uF from A to B
    r"(\d\s*[pnuµμm]?F)\s*(?:\([A-Z]\)|(?:from\s+|between\s+)?[A-Z]\s*(?:to|and|-)\s*[A-Z]\b)"
)
_SHARED_OUT: Final = re.compile(rf"\d[\d.]*(?:{TO}\d[\d.]*)+")  # how, and no value
_EMPTY_AT_FIRST: Final = re.compile(
    r"=\s*0\b.*\b(?:uncharged|empty|not charged|no charge|at first|initially|to begin)\b"
)


def mark_story(
    story: Story,
    text: str,
    scheme: Scheme = GENERAL_PRACTICE,
    terms: Settings = DEFAULTS,
    asked: tuple[Asked, ...] = (),
) -> Marked:
    """Mark a whole script; there are marks for what is ``asked`` and what leads to it, for
    everything where nothing is. Raises Refusal for a script of too many lines.
    """
    by = STORY._replace(ground=partial(_ground, asked))
    paper = begin_paper(story, terms)._replace(has_goal=bool(asked))
    large = _in_large_letters(paper, text)
    paper = paper._replace(levels=tuple(_levels_said(paper, large)))
    written = [
        line._replace(text=as_typed.text)
        for line, as_typed in zip(lines_of(large), lines_of(text), strict=True)
    ]
    written = in_pieces(
        written,
        lambda pieces: with_names_for_letters(
            pieces, capacitances_given(paper), story.powers["capacitance"]
        ),
    )
    return marked(by, paper, written, scheme)


def _ground(asked: tuple[Asked, ...], paper: Paper, written: AbstractSet[int]) -> Ground[int]:
    return ground_of(paper, offers(paper.story, asked, paper.paths), written)


# Reading


def _levels_said(paper: Paper, text: str) -> Iterator[str]:
    """The points whose letter means a quantity as well, where a script takes it for a potential: it
    is added to the letter of another point or taken from it, or has volts.
    """
    points = _points(paper)
    for point in names_on(paper).intersection(points):
        in_volts = rf"\b{point}\s*=\s*-?[\d.]+\s*[mk]?V\b"
        if len(points) > 1 and (_stands_beside(point, points, text) or re.search(in_volts, text)):
            yield point


def _stands_beside(point: str, points: Sequence[str], text: str) -> bool:
    """Whether the letter of a point is added to that of another one, or taken from it."""
    others = "|".join(other for other in points if other != point)
    pairs = ((point, f"(?:{others})"), (f"(?:{others})", point))
    sums = (rf"(?<![A-Za-z_]){one}\s*[-−+]\s*\d*\s*{other}\b" for one, other in pairs)
    return bool(others) and re.search("|".join(sums), text) is not None


def _in_large_letters(paper: Paper, text: str) -> str:
    """A script with the letters of points as the text has them, where it writes them small: 7p is
    no number of picofarads beside p - q.
    """
    small = [point.lower() for point in _points(paper)]
    if not any(_stands_beside(point, small, text) for point in small):
        return text
    letter = rf"(?<![A-Za-z_'’])({'|'.join(small)})(?![A-Za-z\d_'’:])"
    return re.sub(letter, lambda found: f" {found[1].upper()}", text)


def _readied(paper: Paper, piece: str) -> tuple[str, ...]:
    """A piece in the names that are read here, where a letter may also be that of a point."""
    points = [*_lone_points(paper), *paper.levels]
    piece = _ITS_POINT.sub(r"\1", _SHARED_OUT.sub(" ", piece))
    piece = _EMPTY.sub("C0", _CHANGED.sub(partial(_at_both_times, paper), piece))
    piece = _BEFORE.sub(partial(_as_given_before, paper), piece)
    piece = with_prime_for_after(paper, _GOES_ON.sub(partial(_as_after, paper), piece))
    ways = (points, _points(paper), _lone_points(paper))
    return tuple(dict.fromkeys(_in_our_names(paper, with_levels(piece, way)) for way in ways))


def _at_both_times(paper: Paper, said: re.Match[str]) -> str:
    """A value before and after a change under the name of its kind, 8 → 24 µF; of several
    capacitors the one after.
    """
    before, after, unit = said.groups()
    symbol = {"F": "C", "C": "Q", "V": "V", "J": "E"}[unit[-1]]
    is_of_one = set(capacitances_given(paper)) == {"C1"}
    first = f"{symbol} before = {before} {unit}; " if is_of_one else ""
    return f"{first}{symbol} = {after} {unit}"


def _as_given_before(paper: Paper, said: re.Match[str]) -> str:
    """A name of its own for what was before a change, where the text gives that."""
    is_given = given_named(paper, said[1]) and len(said[1]) == 1
    return f"{said[1]}0 =" if is_given else said[0]


def _as_after(paper: Paper, said: re.Match[str]) -> str:
    """The value after a change for one that is said to stay as it was, where it is still asked."""
    places = [at for at in paper.own if is_called(paper.asks[at], said[1])]
    is_open = [at not in paper.stated for at in places]
    return f"{said[1]}' = " if len(places) > 1 and not is_open[0] and is_open[-1] else said[0]


def _in_our_names(paper: Paper, piece: str) -> str:
    is_metric = speaks_of_sizes(paper.story)
    for letter, name in SHORT.items() if is_metric else ():
        called = [ask for ask in paper.asks if is_called(ask, letter)]
        if not called and any(ask.name == name for ask in paper.asks):
            piece = re.sub(rf"(?<![A-Za-z_\d]){letter}(?=\s*=)", name, piece)
    return readable(piece, is_metric)


def _reader(paper: Paper) -> Reader:
    asked = tuple(dict.fromkeys(ask.name for ask in paper.asks if ask.name))
    return Reader(
        names_on(paper),
        frozenset(letters_in(paper.story)),
        lambda text: label_in(_by_names(paper, text)),
        asked,
        counts=True,
    )


def _by_names(paper: Paper, words: str) -> str:
    """Words with the names of capacitors in the place of the values by which they are told."""
    found: dict[Value, str] = {}
    for name, value in capacitances_given(paper).items():
        found[value] = name if value not in found else ""

    def named(match: re.Match[str]) -> str:
        scale = Fraction(10) ** PREFIXES.get((match[2] or "").replace("μ", "µ"), 0)
        return found.get(Fraction(match[1]) * scale) or match[0]

    return with_ones_named(_TOLD_BY_VALUE.sub(named, words), capacitances_given(paper))


def _lone_points(paper: Paper) -> list[str]:
    """The points whose potential is asked and whose letter alone means nothing else here."""
    taken = names_on(paper)
    return [point for point in _points(paper) if point not in taken]


def _points(paper: Paper) -> list[str]:
    """The points of one letter whose potential is asked."""
    asked = (a.name.removeprefix("V_") for a in paper.asks if a.name.startswith("V_"))
    return [point for point in asked if len(point) == 1 and point.isupper()]


# Choices in words


def _in_words(paper: Paper, piece: str) -> FoundIn[Paper, int] | None:
    """What a piece in words says: a choice, or nothing that can be marked."""
    if "=" in piece:
        beside = "energy" if _OF_ENERGY.search(piece) else ""
        if not beside and all(each.endswith(_NO_ENERGY) for each in AMOUNT.findall(piece)):
            beside = "value"
        chosen = _chosen(paper, words_after(piece), beside) or _named_rightly(paper, piece)
    elif (cut := said_left_out(paper, piece)) is not None:
        return FoundIn(paper._replace(is_cut=True), (cut,))
    else:
        chosen = _chosen(paper, _by_names(paper, piece), "")
    if chosen is not None and chosen.verdict == "wrong" and says_true_change(paper, piece):
        return FoundIn(paper, (), "That is so, and no mark is for it.")
    if chosen is not None:
        after = _led_astray(paper, chosen)
        return FoundIn(after._replace(said=paper.said | {chosen.quantity}), (chosen,))
    if is_prose(piece):
        return FoundIn(paper)
    if _EMPTY_AT_FIRST.search(piece):
        return FoundIn(paper, (), "That is so at first, and no mark is for it.")
    return None


def _named_rightly(paper: Paper, piece: str) -> Judgement[int] | None:
    """A right choice in the words that a value has for a name, work done on the plates; or one
    that an equation is said to rest on, by conservation of energy.
    """
    words = piece.partition("=")[0]
    found = _chosen(paper, words, "") if len(words.split()) >= FEWEST_WORDS else None
    is_meant = found is not None and (found.verdict == "right" or _KEEPS_ENERGY.search(words))
    return found if is_meant else None


def _chosen(paper: Paper, words: str, beside: str) -> Judgement[int] | None:
    """Words that answer a question for a choice: the next one, or one before it that they answer
    rightly; ``beside`` an energy none but one of that matter, beside another value none of it.
    """
    if not words or "=" in words:
        return None
    waiting = [
        (at, option)
        for at, ask in enumerate(paper.asks)
        if ask.options
        and at not in paper.said
        and (not beside or (ask.about == "energy") == (beside == "energy"))
        and (option := option_said(ask, words, beside)) is not None
        and (option.is_right or _is_plainly_said(ask, option, words))
    ]
    ahead = [each for each in waiting if each[0] >= paper.frontier]
    ahead.sort(key=lambda each: not each[1].is_right)
    behind = [each for each in waiting if each[0] < paper.frontier][-1:]
    right = [each for each in (*ahead, *behind) if each[1].is_right]
    goes_on = _STILL.search(words) is not None  # said of what comes now, not of what was
    is_value = any(sign.isdigit() for sign in words)
    held = [each for each in behind if not is_value and _leads_on(paper, each[0])]
    best = next(iter((*ahead, *right, *held) if goes_on else (*right, *ahead)), None)
    if best is None:
        return None
    at, option = best
    told = of_choice(option, paper.asks[at])
    if option.is_right:
        return Judgement(at, "right", method=True, told=told)
    if paper.off() and _follows(paper, at, option):
        return Judgement(at, "carried", method=True, told=FOLLOWS)
    judged = Judgement(at, "wrong", malrules=option.malrules, told=told)
    return judged._replace(fault="malrule" if option.malrules else None)


def _leads_on(paper: Paper, at: int) -> bool:
    """Whether a choice of what is held was passed without a charge or a p.d. that rests on it."""
    after = (paper.asks[place].dimension for place in paper.stated if place > at)
    return paper.asks[at].key == "held" and not {"charge", "voltage"}.intersection(after)


def _led_astray(paper: Paper, chosen: Judgement[int]) -> Paper:
    """The paper with the value that a wrong choice leads to: that of one capacitor too many, or
    the one before where it is said to be held.
    """
    at = chosen.quantity
    wrong = [option for option in paper.asks[at].options if not option.is_right]
    if chosen.verdict != "wrong" or len({option.leads_to for option in wrong}) > 1:
        told = next((o for o in wrong if of_choice(o, paper.asks[at]) == chosen.told), None)
        wrong = [told] if chosen.verdict == "wrong" and told is not None else []
    if not wrong:
        return paper
    option = wrong[0]
    held = next((k for word, k in _HELD_KINDS if word in option.words), None)
    kind = option.leads_to[1] if option.leads_to else held
    later = next((p for p in paper.own if p > at and paper.asks[p].dimension == kind), None)
    if kind is None or later is None or in_letters(paper.right(later)):
        return paper
    value = option.leads_to[0] if option.leads_to else next(iter(_before(paper, later)[-1:]), None)
    if value is None or in_letters(value) or close(value, paper.right(later)):
        return paper
    own, right = (Measure(v, DIMS[kind], paper.power(later)) for v in (value, paper.right(later)))
    led = Passing(0, own, right, named=option.leads_to is not None)
    return paper._replace(passing=(*paper.passing, led))


def _follows(paper: Paper, at: int, option: Option) -> bool:
    """Whether a comparison of the energies before and after is that of the learner's own values."""
    key = paper.asks[at].key
    energies = [place for place in paper.own if paper.asks[place].dimension == "energy"]
    behind = [place for place in energies if place < at]
    ahead = [place for place in energies if place > at]
    pair = [*behind[-1:], *ahead[:1]] if key == "energy change" else behind[-2:]
    if key not in ("energy change", "energy went") or len(pair) < len(("before", "after")):
        return False
    own, right = ([of(place) for place in pair] for of in (paper.own.__getitem__, paper.right))
    if any(in_letters(value) for value in (*own, *right)):
        return False
    if key == "energy went":  # what went in is taken to have gone out
        return (own[1] < own[0]) != (right[1] < right[0])
    one, other = own
    return ("lower" if other < one else "higher" if other > one else "same") in option.words


def _is_plainly_said(ask: Ask, option: Option, words: str) -> bool:
    """Whether a wrong answer in words is meant as one: in a longer sentence a word in passing is
    none.
    """
    if ask.key == "held" and not _HELD_FIXED.search(words.lower()):
        return False
    most = {"shares": 9, "change": 9, "energy": 9, "check": 9, "choice": 5}.get(ask.about, 0)
    return len(words.split()) <= most or is_short(option, words, most)


# Values


def _equation(paper: Paper, said: Said) -> FoundIn[Paper, int] | None:
    """An equation in a value that is still to be found."""
    assert said.statement is not None
    if (on_way := on_way_by_star(paper, said)) is not None:
        return FoundIn(paper, (on_way,))
    names, sides = said.names, said.statement.sides
    if said.statement.turned:  # 1/C = 1/15 + 1/(4 + C)
        if not {*names} & {*names_in(*sides)}:
            return None
        names, sides = (), all_sides(names, sides, True)
    equation = equation_in(paper, names, sides)
    if equation is None:
        return None
    before = paper
    paper, found = judge_equation(paper, equation)
    is_formula = not letters_in(paper.story) and _is_formula(said.statement)
    if is_formula and any(g.verdict == "wrong" and not g.malrules for g in found):
        return FoundIn(before, (), "Put the values in: names alone may stand for before or after.")
    wrong = paper.wrong
    for each in found:
        one = {each.quantity}
        wrong = wrong - one if each.verdict == "right" or each.fault == "unit" else wrong | one
    why = "" if found else "No value follows from this yet."
    return FoundIn(paper._replace(wrong=wrong), tuple(found), why)


def _is_formula(statement: Statement) -> bool:
    """Whether it is of names alone, with no value in it."""
    return all(number.value in FACTORS for s in statement.sides for number in numbers_in(s))


def _meanings(paper: Paper, said: Said) -> tuple[Paper, Sequence[Meaning[Paper, int]]]:
    assert said.statement is not None
    statement = said.statement
    if len(said.names) == 1 and (held := held_at(paper, said.names[0])) is not None:
        kept = partial(_judged_held, held, said.names[0][0], statement)
        return paper, [Meaning(held, kept, named=True)]
    return paper, [
        Meaning(None, partial(_noted, target, statement), True)
        if target.at is None
        else Meaning(
            target.at,
            partial(_judged, target, statement),
            is_counted(paper, target.at, statement)
            or says_count(said)
            or (said.of_each and not target.guessed),
            target.guessed,
        )
        for target in resolve(paper, said)
    ]


def _judged_held(
    at: int, letter: str, statement: Statement, paper: Paper, _on: Paper
) -> JudgedFor[Paper, int]:
    """What is held, judged by its value afterwards; a wrong one leads on as the choice would."""
    kind = QUANTITY[letter]
    measure = evaluate(statement.sides[-1], lookup(paper, statement, len(paper.asks)))
    each = judged_held(paper, at, letter, as_si(measure, kind, paper.story.powers[kind]))
    if each is None:
        return JudgedFor(paper, None)
    return JudgedFor(_led_astray(paper, each)._replace(said=paper.said | {at}), each)


def _noted(
    target: StoryTarget, statement: Statement, paper: Paper, _on: Paper
) -> JudgedFor[Paper, int]:
    """A given value read back, or a value that no question asks for, kept for what follows."""
    measure = evaluate(statement.sides[-1], lookup(paper, statement, len(paper.asks)))
    if statement.turned and (target.given is None or not measure.value):
        return JudgedFor(paper, None)
    measure = turned_over(measure) if statement.turned else measure
    if target.given is None:
        measure = _of_its_kind(paper, target.new, measure)
        noted = {**paper.noted, target.new: measure}
        if not holds(statement):
            differs = Judgement(GIVEN, "wrong", "arithmetic", given=True, told=DIFFERS)
            return JudgedFor(paper._replace(noted=noted), differs)
        name = target.new.removeprefix(PREFIX)
        text = f"{name} is no value that is asked for here, so it has no mark of its own."
        return JudgedFor(paper._replace(noted=noted), None, text)
    link = target.given
    if judged_given(paper, link, measure):
        told = f"{link.name}, as given."
        if (answered := _sum_shown(paper, statement)) is not None:
            after, ask = paper._replace(said=paper.said | {answered}), paper.asks[answered]
            if is_way_after(paper.story, answered):
                way = Judgement(answered + 1, "right", method=True, relation=True)
                return JudgedFor(after, way)
            told = of_choice(next(each for each in ask.options if each.is_right), ask)
            return JudgedFor(after, Judgement(answered, "right", method=True, told=told))
        return JudgedFor(paper, Judgement(GIVEN, "right", method=True, given=True, told=told))
    if link.name == RATING:  # of another capacitor, perhaps
        return JudgedFor(paper, None)
    if names_in(*statement.sides) and _is_formula(statement):
        untrue = Judgement(GIVEN, "wrong", given=True, told=UNTRUE)
        return JudgedFor(paper, untrue)  # a formula is no misreading of what is given
    value, dimension = link.value
    power = paper.story.powers[dimension] if dimension else 0
    misread = {**paper.misread, link.name: as_si(measure, dimension or PURE, power)}
    shown = paper.speech.amount(value, dimension) if dimension else as_number(near(value))
    if is_led_to(paper, link, misread[link.name]):
        told = AFTERWARDS.format(shown)
        led = Judgement(GIVEN, "carried", value=misread[link.name], given=True, told=told)
        return JudgedFor(paper._replace(misread=misread), led)
    told = given_misread(link.name, shown)
    wrong = Judgement(GIVEN, "wrong", "arithmetic", value=misread[link.name], given=True, told=told)
    return JudgedFor(paper._replace(misread=misread), wrong)


def _of_its_kind(paper: Paper, name: str, measure: Measure) -> Measure:
    """A number without a unit as of the kind that its name is for: Ct = 78 in microfarads."""
    kind = QUANTITY.get(name[:1])
    if kind is None or not measure.bare or in_letters(measure.value):
        return measure
    power = paper.story.powers[kind]
    is_in_si = power < 0 and 0 < abs(measure.value) < SMALL
    value = measure.value if is_in_si else measure.value * Fraction(10) ** power
    return Measure(value, DIMS[kind], power)


def _sum_shown(paper: Paper, statement: Statement) -> int | None:
    """The question of what adds up, where a true sum of names that comes to what is given answers
    it: 1/C = 1/C1 + 1/C2.
    """
    if len(set(names_in(*statement.sides))) < 2 or not _is_formula(statement):
        return None
    asks = enumerate(paper.asks)
    return next((at for at, ask in asks if ask.key == WHAT_ADDS and at not in paper.said), None)


def _judged(
    target: StoryTarget, statement: Statement, paper: Paper, on: Paper
) -> JudgedFor[Paper, int]:
    """Judge by its size what is given a minus because it counts against a chosen + side."""
    assert target.at is not None
    if target.used:
        return JudgedFor(paper, Judgement(target.at, "right", method=True))
    if (again := _once_more(paper, target.at, statement)) is not None:
        return JudgedFor(paper, again)
    found = evaluate(statement.sides[-1], lookup(on, statement, target.at)).value
    is_negative = not in_letters(found) and found < 0
    is_sized = is_negative and not statement.turned and on.has_sign(target.at)
    if is_sized:
        statement = statement._replace(sides=tuple(Neg(side) for side in statement.sides))
    negative = paper.negative - {target.at} | ({target.at} if is_sized else set())
    aliases = {**paper.aliases, target.new: target.at} if target.new else paper.aliases
    each = _graded(on, target.at, statement)
    if each.verdict == "wrong" and target.guessed and on.is_cut:
        return JudgedFor(paper, None)
    return JudgedFor(paper._replace(negative=negative, aliases=aliases), each)


def _once_more(paper: Paper, at: int, statement: Statement) -> Judgement[int] | None:
    """What is asked only once worked out again after a change, by wrong values of the learner's
    own that came since: there is no mark for it, and it takes none away.
    """
    since = [place for place in paper.stated if place > at]
    if at not in paper.stated or at in paper.wrong or not paper.wrong & {*since}:
        return None
    found = evaluate(statement.sides[-1], lookup(paper, statement, at))
    for path in paper.paths[at]:
        latest = {
            key: next(
                (
                    paper.stated[p]
                    for p in reversed(since)
                    if paper.asks[p].dimension == link.value[1]
                ),
                link.value[0],
            )
            for key, link in path.links.items()
        }
        value = follow(path, latest)
        ask = paper.asks[at]
        if value is None or in_letters(value) or close(value, paper.right(at)):
            continue
        if judge(found, ask.dimension or PURE, paper.power(at), value).verdict == "right":
            name = paper.speech.letters(ask.name)
            told = f"{name} follows from your own values; no mark is for it a second time."
            return Judgement(GIVEN, "carried", method=True, given=True, told=told)
    return None


def _graded(paper: Paper, at: int, statement: Statement) -> Judgement[int]:
    known = lookup(paper, statement, at)
    statement = without_ratio(paper, at, statement, known)
    if not statement.sides:
        return Judgement(at, "carried" if paper.wrong else "right", method=True)
    subject = subject_at(paper, at)
    each = grade(subject, statement, known, bool(paper.wrong))
    if each.verdict == "wrong" and names_in(*statement.sides) and _is_formula(statement):
        ways = otherwise(paper, statement)
        tried = (grade(subject, statement, way, bool(paper.wrong)) for way in ways)
        each = next((other for other in tried if other.verdict == "right"), each)
    if paper.asks[at].dimension is None and each.unit == "missing":
        each = each._replace(unit="")
    if each.verdict == "carried":
        side = fit(subject.gauge, statement.sides[-1], known, statement.turned)
        is_same = each.value is not None and paper.stated.get(at) == each.value
        again = at in paper.wrong and (is_same or bool(subject.recognise(side)[0]))
        each = each._replace(carrying=_carrying(paper, each, again))
    return each


def _is_led_to(paper: Paper, at: int, off: AbstractSet[int]) -> bool:
    """Whether a charge or a p.d. that was left out, and only leads to what is asked, comes of a
    wrong value that was stated.
    """
    is_on_way = paper.has_goal and paper.asks[at].dimension in ("charge", "voltage")
    if at in paper.stated or not is_on_way:
        return False
    before = {link.at for path in paper.paths[at] for link in path.links.values()}
    return bool(before & off & paper.stated.keys())


def _carrying(paper: Paper, each: Judgement[int], again: bool) -> frozenset[int]:
    """What passes a wrong value on, as it is or without being stated itself, and the choices of a
    way, which show in any value but that of the same wrong rule once more (``again``).
    """
    off = paper.off()
    passed = {
        at
        for at in off
        if paper.asks[at].key == PASSED_ON
        or (each.value is not None and close(paper.own[at], each.value))
        or _is_led_to(paper, at, off)
    }
    if again:
        return frozenset(passed)
    of_way = {at for at, ask in enumerate(paper.asks) if ask.options and ask.about in OF_WAY}
    return frozenset(passed | {at for at in of_way if not _is_denied(paper, at)})


def _is_denied(paper: Paper, at: int) -> bool:
    """Whether a wrong value after a choice of what is held says that something else is: the p.d.
    is what it was before.
    """
    after = [p for p in paper.stated if p > at and p in paper.wrong and p in paper.own]
    return paper.asks[at].key == "held" and any(
        close(paper.stated[p], before) for p in after for before in _before(paper, p)
    )


def _before(paper: Paper, at: int) -> list[Value]:
    """The values that a quantity has before the time at which it is asked."""
    name = paper.asks[at].name
    earlier = [paper.own[p] for p in paper.own if p < at and paper.asks[p].name == name]
    return earlier + [link.value[0] for link in given_named(paper, name)]


# Values as they are right, as given, and as the learner has them


def _truth(paper: Paper) -> Mapping[int, Valued]:
    return {at: (paper.right(at), paper.asks[at].dimension) for at in paper.own}


def _given(paper: Paper) -> list[Value]:
    return [link.value[0] for link in paper.given]


def _worth(paper: Paper, sides: Sequence[Expression]) -> Mapping[str, Measure]:
    return lookup(paper, Statement(tuple(sides)), len(paper.asks))


def _called(paper: Paper, at: int) -> tuple[str, str]:
    return key_of(at, paper.asks[at]), name_of(paper, at)


def _remark(paper: Paper, rulings: Rulings, each: Judgement[int]) -> str:
    return on_judgement(StoryContext(paper, rulings), each)


STORY: Final[ProblemKind[Paper, int]] = ProblemKind(
    names=names_on,
    reader=_reader,
    readied=_readied,
    in_words=_in_words,
    equation=_equation,
    meanings=_meanings,
    alike=lambda _, __, ___: (),
    holds=true_equation,
    excused=as_without,
    truth=_truth,
    own=lambda paper: paper.own,
    given=_given,
    right_values=right_values,
    at_later_times=at_later_times,
    taken_for=values_otherwise,
    worth=_worth,
    powers=lambda paper: paper.story.powers,
    settled=settled,
    canonical=lambda _, at: at,
    ground=partial(_ground, ()),
    called=_called,
    scheme_line=scheme_text,
    remark=_remark,
)
