"""Which question of a story a statement answers: by its name, its words, its value, or the next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.answers import DIMS, Measure, as_si, evaluate
from grammar.asking import QUANTITY
from grammar.expressions import Name, Num, parts_of
from grammar.measures import PURE
from grammar.records import Dimension, Refusal
from tutor.teaching.judging import judge, point_moved
from tutor.teaching.marking.fitting import is_final, numbers_in
from tutor.teaching.marking.grading import BY_VALUE, Statement, holds
from tutor.teaching.marking.restated import EXACTLY
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.stories.following import Link, follow
from tutor.teaching.marking.stories.paper import (
    Paper,
    capacitances_given,
    given_named,
    worked_named,
)
from tutor.teaching.marking.stories.story_fit import (
    is_recognised,
    lookup,
    open_places,
    rank_of,
    value_places,
)
from tutor.teaching.marking.unknowns import PREFIX
from tutor.teaching.quantities import DIMENSION
from tutor.teaching.staged.story import is_called

COUNTS: Final = frozenset({"n", "m", "N"})
TOLD_APART_BY_NOTHING: Final = "missing product"  # asked where sum and product are known
FILLING: Final = "epsr"
OWN_VALUE: Final = 2  # of the ranks, that of a value that is the learner's own
SMALLEST: Final = Fraction(1, 10**11)
_OF_ENERGY: Final = frozenset({"E_lost", "W_filling", "W"})


class StoryTarget(NamedTuple):
    """What a statement is about: the place of a question (``guessed`` where only its value
    suggests it), a ``given`` value read back, or a ``new`` name for what no question asks; ``used``
    where the answer of that question is put to use rightly.
    """

    at: int | None = None
    guessed: bool = False
    given: Link | None = None
    new: str = ""
    used: bool = False


def resolve(paper: Paper, said: Said) -> Iterator[StoryTarget]:
    """What a statement is about; nothing where that cannot be told."""
    said = _of_the_whole(paper, said)
    assert said.statement is not None
    if said.names:
        for name in said.names:
            if (at := _just_before(paper, said)) is not None:
                yield StoryTarget(at)
                continue
            of_each = _of_each_in_chain(paper, name, said)
            for at in of_each:
                yield StoryTarget(at)
            for at in _used_without_filling(paper, name, said.statement):
                yield StoryTarget(at, used=True)
            if not of_each:
                yield _named(paper, _as_energy(paper, name, said.statement), said.statement)
        return
    label = said.label
    kind = DIMENSION[label.symbol] if label and label.symbol else None
    names = label.names if label else ()
    unit = _kind_of(paper, said.statement)
    if _OF_ENERGY.intersection(names) and unit not in (None, "energy"):
        names, kind = (), unit  # 36 µF of the slab is no work on it
    is_unasked = False
    for name in ("E",) if names == ("sum",) and unit == "energy" else names:
        called = _by_label(kind, name)
        exact = [at for at in value_places(paper) if paper.asks[at].name == called]
        places = exact or [at for at in value_places(paper) if is_called(paper.asks[at], called)]
        if places and (name in COUNTS) <= _is_count(said.statement):
            yield _among(paper, places, said.statement)
            return
        is_unasked = is_unasked or (called[1:].isdigit() and not places)
        held = given_named(paper, _by_label(kind or unit, name))
        back = [link for link in held if _is_given(paper, link, said.statement)]
        if back and not places:
            yield StoryTarget(given=back[0])
            return
    kind = kind or unit
    if kind is None and said.of_each and (shared := _shared_out(paper, said.statement)) is not None:
        yield StoryTarget(shared)
        return
    several = _of_each_open(paper, said.statement, kind) if said.of_each and kind else []
    if several:
        yield from map(StoryTarget, several)
        return
    unnamed = _unnamed(paper, said.statement, kind)
    yield from (each for each in unnamed if not (is_unasked and each.guessed))


def _just_before(paper: Paper, said: Said) -> int | None:
    """What was stated last under just this name, where a statement fits that as well: the numbers
    after the formula, and what they come to.
    """
    before = paper.going_on
    if before is None or before.names != said.names or len(said.names) > 1 or not paper.stated:
        return None
    begun = before.statement.sides if before.statement else ()
    if not begun or is_final(begun[-1]):
        return None
    at = [*paper.stated][-1]
    assert said.statement is not None
    return at if rank_of(paper, at, said.statement) <= BY_VALUE else None


def _of_the_whole(paper: Paper, said: Said) -> Said:
    """What words say of the whole, under its name where that is asked for: the total charge."""
    symbol = said.label.symbol if said.label and said.label.whole and not said.names else None
    is_asked = any(paper.asks[at].name == symbol for at in open_places(paper))
    return said._replace(names=(symbol,)) if symbol and is_asked else said


def _of_each_open(paper: Paper, statement: Statement, kind: Dimension) -> list[int]:
    """The next values of a kind for single capacitors, where a value of each fits none that is
    open: 30 µC each.
    """
    of_kind = [at for at in open_places(paper) if paper.asks[at].dimension == kind]
    if any(rank_of(paper, at, statement) <= BY_VALUE for at in of_kind):
        return []
    ahead = [a for a in of_kind if a >= paper.frontier and _digits(paper.asks[a].name or "")]
    return ahead if len(ahead) > 1 else []


def _shared_out(paper: Paper, statement: Statement) -> int | None:
    """The next question of the kind of a stated value that is divided: 60/2 = 30 each."""
    numbers = {number.value for number in numbers_in(statement.sides[0])}
    kinds = {
        paper.asks[at].dimension
        for at, value in paper.stated.items()
        if value / Fraction(10) ** paper.power(at) in numbers
    }
    ahead = [at for at in open_places(paper) if paper.asks[at].dimension in kinds]
    return next((at for at in ahead if is_recognised(paper, at, statement)), None)


def _is_count(statement: Statement) -> bool:
    """Whether a statement is one whole number, or how it comes of plain ones."""
    side = statement.sides[-1]
    parts = [part for each in statement.sides for part in parts_of(each)]
    bare = not any(isinstance(part, Name) or getattr(part, "unit", None) for part in parts)
    return bare and isinstance(side, Num) and side.value.denominator == 1


def says_count(said: Said) -> bool:
    """Whether words beside a whole number say what it counts."""
    named = said.label is not None and bool(set(said.label.names) & COUNTS)
    return named and said.statement is not None and _is_count(said.statement)


def _by_label(kind: Dimension | None, name: str) -> str:
    """The name of a quantity of a capacitor: Q1 for the charge on C1; E_lost is one itself."""
    if not name.startswith("C") or name == "C":
        return name
    letter = {"charge": "Q", "voltage": "V", "energy": "E"}.get(kind or "capacitance", "")
    return f"{letter}{name[1:]}" if letter else name


def _as_energy(paper: Paper, name: str, statement: Statement) -> str:
    """U for an energy, where the unit says that it is one."""
    is_energy = name[:1] == "U" and _kind_of(paper, statement) == "energy"
    return f"E{name[1:]}" if is_energy else name


def _named(paper: Paper, name: str, statement: Statement) -> StoryTarget:
    alias = paper.aliases.get(name)
    if alias is not None and rank_of(paper, alias, statement) <= BY_VALUE:
        return StoryTarget(alias)
    places = [at for at in value_places(paper) if is_called(paper.asks[at], name)]
    given = given_named(paper, name)
    if places:
        return _asked_named(paper, name, places, statement)
    kind = QUANTITY.get(name[:1])
    if name == "C" and not paper.stated and _is_of_plates(statement):
        given = given_named(paper, "C1")  # before anything is asked
    if name == "C" and not given:
        given = [each for each in _of_the_only_one(paper) if _is_in_figures(paper, each, statement)]
    if (meant := _given_or_after(paper, name, given, statement)) is not None:
        return meant
    of_kind = [at for at in open_places(paper) if paper.asks[at].dimension == kind] if kind else []
    base = name.rstrip("'")
    of_kind.sort(key=lambda at: (paper.asks[at].name != base, paper.asks[at].name[:1] != base[:1]))
    of_kind = open_places(paper) if name.startswith(PREFIX) else of_kind
    ranked = [at for at in of_kind if rank_of(paper, at, statement) <= BY_VALUE]
    digits = sum(letter.isdigit() for letter in name)
    is_before = kind == "energy"  # E0, W1: of a time, where no energy of that name is asked
    told_apart = digits == 1 or (digits > 1 and kind != "capacitance")  # C12 is of a group
    told_apart = told_apart and not is_before
    if not ranked and kind and (read_back := _given_back(paper, statement, kind)) is not None:
        return StoryTarget(given=read_back)
    if not ranked and any(_is_without_filling(paper, at, statement) for at in of_kind):
        return StoryTarget(new=name)
    if not told_apart and not worked_named(paper, name):  # else it is known that it is not asked
        ranked = ranked or [at for at in of_kind if is_recognised(paper, at, statement)]
    if not ranked and name.endswith("'"):  # the value after a change, stated once more
        again = [at for at in value_places(paper) if paper.asks[at].dimension == kind]
        ranked = [at for at in again if rank_of(paper, at, statement) <= BY_VALUE]
        mine = [at for at in of_kind if _digits(paper.asks[at].name or "") in ("", _digits(name))]
        ranked = ranked or [at for at in mine if at >= paper.frontier][:1]
    if not ranked and not alias and len(name) == 1 and kind in ("charge", "voltage"):
        ranked = [at for at in _only_one(paper, kind) if is_recognised(paper, at, statement, True)]
    if not ranked and not alias and (name == "C" or _is_only_capacitor(paper, name)):
        ranked = _only_one(paper, "capacitance")
    if not ranked and alias is not None and alias >= paper.frontier - 1:
        return StoryTarget(alias)
    return StoryTarget(ranked[0], new=name) if ranked else StoryTarget(new=name)


def _used_without_filling(paper: Paper, name: str, statement: Statement) -> list[int]:
    """What is put to use where a new name is given what a question comes to without a filling."""
    if any(is_called(ask, name) for ask in paper.asks) or name[:1] != "C":
        return []
    found = [at for at in open_places(paper) if _is_without_filling(paper, at, statement)]
    links = [link for at in found for link in paper.paths[at][0].links.values()]
    return [link.at for link in links if link.at is not None and link.at in open_places(paper)]


def _is_without_filling(paper: Paper, at: int, statement: Statement) -> bool:
    """Whether a value is what a question comes to with nothing between the plates."""
    for path in paper.paths[at]:
        values = paper.values(path.links)
        if FILLING not in values:
            continue
        empty = follow(path, {**values, FILLING: Fraction(1)})
        try:
            found = evaluate(statement.sides[-1], lookup(paper, statement, at))
        except Refusal:
            return False
        kind, power = paper.asks[at].dimension, paper.power(at)
        if empty is not None and judge(found, kind or PURE, power, empty).verdict == "right":
            return True
    return False


def _asked_named(
    paper: Paper, name: str, places: list[int], statement: Statement
) -> StoryTarget:
    """What a name that questions have is meant for: one of them, the same thing at a time that is
    not asked about, or a given value.
    """
    given = given_named(paper, name)
    if (exchanged := _exchanged(paper, places, statement)) is not None:
        return StoryTarget(exchanged, new=name)
    found = _among(paper, places, statement, name)
    further = [
        at
        for at in open_places(paper)
        if (paper.asks[at].name or "").startswith(f"{name}_")
        and rank_of(paper, at, statement) <= BY_VALUE
    ]
    if found.at is None or rank_of(paper, found.at, statement) <= BY_VALUE:
        return found
    if further:
        return StoryTarget(further[0])  # W for the work on a filling, after that of the supply
    reread = next((link for link in given if _is_given(paper, link, statement)), None)
    if _is_empty_at_first(paper, found.at, statement):
        return StoryTarget(new=name)
    if _is_of_another_time(paper, found.at, statement):
        return StoryTarget(given=reread) if reread else StoryTarget(new=name)
    if not reread or _is_meant(paper, found.at, statement):
        return found
    return StoryTarget(given=reread)


def _of_each_in_chain(paper: Paper, name: str, said: Said) -> list[int]:
    """What Q without an index is of, where it fits no charge of that name: the charges of single
    capacitors that it is right for, as those of a chain are before it is taken apart, and those
    not stated by then; that of one which is named beside it.
    """
    statement = said.statement
    assert statement is not None
    called = [at for at in value_places(paper) if is_called(paper.asks[at], name)]
    if name != "Q" or any(rank_of(paper, at, statement) <= BY_VALUE for at in called):
        return []
    places = value_places(paper)
    single = [at for at in places if (paper.asks[at].name or "").startswith(name)]
    single = [at for at in single if at not in called]
    waiting = [at for at in single if at in open_places(paper)]
    if fitting := [at for at in waiting if rank_of(paper, at, statement) <= 1]:
        return fitting
    beside = {at for at in single for each in said.names if is_called(paper.asks[at], each)}
    is_open = not any(at in paper.stated for at in called)
    again = [
        at
        for at in single
        if at in beside
        if rank_of(paper, at, statement) <= BY_VALUE or (is_open and at < min(called, default=0))
    ]
    is_shared = len(waiting) > 1 and len({paper.right(at) for at in waiting}) == 1
    return again[:1] or [at for at in waiting if is_shared and at < min(called, default=0)]


def _is_of_another_time(paper: Paper, at: int, statement: Statement) -> bool:
    """Whether a value that does not fit may be meant for a time at which nothing is asked: what is
    asked has been stated rightly, and the same capacitor has another value of the kind some time.
    """
    ask = paper.asks[at]
    if at not in paper.stated or at in paper.wrong or rank_of(paper, at, statement) <= BY_VALUE:
        return False
    of = f"{ask.dimension} of C{_digits(ask.name or '')}"
    values = {value for key, (value, _) in paper.story.results.items() if key.endswith(of)}
    return len(values) > 1


def _is_empty_at_first(paper: Paper, at: int, statement: Statement) -> bool:
    """Whether nought is said of a capacitor that is empty at first, before what comes later is."""
    ask = paper.asks[at]
    first = paper.story.results.get(f"0: {ask.dimension} of C{_digits(ask.name or '')}")
    is_early = any(paper.frontier <= place < at for place in open_places(paper))
    if first is None or first[0] != 0 or not is_early:
        return False
    try:
        return evaluate(statement.sides[-1], lookup(paper, statement, at)).value == 0
    except Refusal:
        return False


def _exchanged(paper: Paper, places: list[int], statement: Statement) -> int | None:
    """The other of two values that nothing in the text tells apart, where it fits that one."""
    if not any(ask.key == TOLD_APART_BY_NOTHING for ask in paper.asks):
        return None
    others = [at for at in value_places(paper) if at not in places]
    if len(places) != 1 or len(others) != 1 or rank_of(paper, places[0], statement) <= BY_VALUE:
        return None
    return others[0] if rank_of(paper, others[0], statement) == 0 else None


def _due_after(paper: Paper, name: str, statement: Statement) -> int | None:
    """The next question of its quantity for a name with a prime, or with the number of the second
    state of an only capacitor; W' may be an energy after a change, beside the work of a supply.
    """
    base = name.rstrip("'2")
    is_second = name.endswith("2") and set(capacitances_given(paper)) == {"C1"}
    ahead = (at for at in open_places(paper) if at >= paper.frontier)
    called = sorted(
        (at for at in ahead if is_called(paper.asks[at], base)),
        key=lambda at: paper.asks[at].name != base,
    )
    fitting = (at for at in called if rank_of(paper, at, statement) <= BY_VALUE)
    due = next(fitting, next(iter(called), None))
    if due is None or len(base) != 1 or not (name.endswith("'") or is_second):
        return None
    before = any(is_called(paper.asks[at], base) for at in range(due))
    return due if before or given_named(paper, base) else None


def _digits(name: str) -> str:
    """The number of the capacitor that a name is of."""
    return "".join(letter for letter in name if letter.isdigit())


def _is_of_plates(statement: Statement) -> bool:
    """Whether a capacitance is worked out with ε0."""
    parts = [part for side in statement.sides for part in parts_of(side)]
    return any(
        part.text == "eps0" if isinstance(part, Name) else 0 < part.value < SMALLEST
        for part in parts
        if isinstance(part, (Name, Num)) and getattr(part, "unit", None) is None
    )


def _is_only_capacitor(paper: Paper, name: str) -> bool:
    """Whether C2 is the one capacitor of a problem after a change."""
    return name[:1] == "C" and name[1:].isdigit() and set(capacitances_given(paper)) == {"C1"}


def _of_the_only_one(paper: Paper) -> list[Link]:
    """The given capacitance of a problem with one capacitor."""
    return given_named(paper, "C1") if set(capacitances_given(paper)) == {"C1"} else []


def _is_in_figures(paper: Paper, link: Link, statement: Statement) -> bool:
    """Whether a value is a given one, or that with another prefix: 0.025 F for 25 µF."""
    try:
        measure = evaluate(statement.sides[-1], lookup(paper, statement, 0))
    except Refusal:
        return False
    if judged_given(paper, link, measure):
        return True
    dimension = link.value[1]
    own = as_si(measure, dimension or PURE, paper.story.powers[dimension] if dimension else 0)
    shift = point_moved(own, link.value[0], EXACTLY)
    return shift is not None and abs(shift) >= 3  # of another prefix


def _only_one(paper: Paper, kind: Dimension) -> list[int]:
    """The one quantity of a kind that a problem has: Q is the charge of both in a chain, C the
    capacitance after a change.
    """
    places = {at for at in value_places(paper) if paper.asks[at].dimension == kind}
    other = kind != "capacitance" and any(link.value[1] == kind for link in paper.given)
    return list(places) if len(places) == 1 and not other else []


def _given_or_after(
    paper: Paper, name: str, given: list[Link], statement: Statement
) -> StoryTarget | None:
    """A given value, or where another one stands the question of its kind that this one fits:
    V1 after a joining is the p.d. of all.
    """
    if (due := _due_after(paper, name, statement)) is not None:
        return StoryTarget(due)
    if not given:
        return None
    link = next((link for link in given if _is_given(paper, link, statement)), None)
    dimension = given[0].value[1]
    places = value_places(paper) if dimension else []
    later = [at for at in places if paper.asks[at].dimension == dimension]
    fitting = next((at for at in later if rank_of(paper, at, statement) <= BY_VALUE), None)
    at_rest = dimension if dimension in ("charge", "voltage") and fitting is None else None
    if not link and at_rest and _given_back(paper, statement, at_rest) is not None:
        return StoryTarget(new=name)  # right, at a time that nothing is asked about
    return StoryTarget(given=link or given[0]) if link or fitting is None else StoryTarget(fitting)


def _is_meant(paper: Paper, at: int, statement: Statement) -> bool:
    """Whether a statement is about a question although a given value has its name: it fits, or
    it is the next question and a known slip gives the value.
    """
    if rank_of(paper, at, statement) <= BY_VALUE:
        return True
    due = next((place for place in value_places(paper) if place >= paper.frontier), None)
    return bool(paper.stated) and at == due and is_recognised(paper, at, statement)


def _is_given(paper: Paper, link: Link, statement: Statement) -> bool:
    try:
        measure = evaluate(statement.sides[-1], lookup(paper, statement, 0))
    except Refusal:
        return False
    return judged_given(paper, link, measure)


def _given_back(paper: Paper, statement: Statement, kind: Dimension) -> Link | None:
    """A given value of this kind that a statement reads back under a name of the pupil's own."""
    of_kind = (link for link in paper.given if link.value[1] == kind)
    return next((link for link in of_kind if _is_given(paper, link, statement)), None)


def judged_given(paper: Paper, link: Link, measure: Measure) -> bool:
    """Whether a given value is read back as it is."""
    value, dimension = link.value
    power = paper.story.powers[dimension] if dimension else 0
    return judge(measure, dimension or PURE, power, value).verdict == "right"


def _among(
    paper: Paper, places: Iterable[int], statement: Statement, name: str = ""
) -> StoryTarget:
    """Of questions with one name: the one that the value fits, first of those of just this
    ``name``, else the next.
    """
    waiting = [at for at in places if at in open_places(paper)]
    ranked = sorted(
        waiting, key=lambda at: (rank_of(paper, at, statement), paper.asks[at].name != name, at)
    )
    if ranked and rank_of(paper, ranked[0], statement) <= BY_VALUE:
        return StoryTarget(ranked[0])
    ahead = [at for at in waiting if at >= paper.frontier] or waiting
    known = [at for at in ahead if is_recognised(paper, at, statement)]
    for at in sorted(places, reverse=True):
        fits = rank_of(paper, at, statement)
        is_mended = fits == 0 and at == paper.frontier - 1  # at once, before anything else is said
        is_last = all(v == paper.stated.get(at) for p, v in paper.stated.items() if p > at)
        is_later = at in paper.wrong and bool(known) and not is_mended  # a slip in the next
        is_later &= not (is_last and fits == OWN_VALUE)
        if at in paper.stated and not is_later and fits <= BY_VALUE:
            return StoryTarget(at)
    if known or ahead:
        return StoryTarget((known or ahead)[0])
    return StoryTarget(max(places))


def _unnamed(paper: Paper, statement: Statement, kind: Dimension | None) -> Iterator[StoryTarget]:
    """By the value; a number without a unit only for the next question or a plain number."""
    waiting = open_places(paper)
    if kind is not None:
        fitting = [at for at in waiting if paper.asks[at].dimension == kind]
    else:
        is_shown = len(statement.sides) > 1 and holds(statement)  # so that it is no number alone
        fitting = [
            at
            for at in waiting
            if at == min(waiting)
            or paper.asks[at].dimension is None
            or (is_shown and rank_of(paper, at, statement) == 0)
        ]
    ranked = sorted(
        (rank, at) for at in fitting if (rank := rank_of(paper, at, statement)) <= BY_VALUE
    )
    if ranked:
        yield StoryTarget(ranked[0][1])
        return
    again = [
        at
        for at in reversed(value_places(paper))
        if at in paper.stated and kind in (None, paper.asks[at].dimension)
    ]
    for at in again:
        if rank_of(paper, at, statement) <= BY_VALUE:
            yield StoryTarget(at)
            return
    ahead = [at for at in fitting if at >= paper.frontier] or fitting
    known = [at for at in ahead if is_recognised(paper, at, statement)]
    is_due = bool(ahead) and (kind is not None or paper.asks[ahead[0]].dimension is None)
    if known or is_due:
        yield StoryTarget((known or ahead)[0], guessed=True)


def _kind_of(paper: Paper, statement: Statement) -> Dimension | None:
    """The kind of quantity that the last side's unit says."""
    try:
        measure = evaluate(statement.sides[-1], lookup(paper, statement, len(paper.asks)))
    except Refusal:
        return None
    return next((kind for kind, dims in DIMS.items() if dims == measure.dims), None)
