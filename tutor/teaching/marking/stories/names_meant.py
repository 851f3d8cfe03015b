"""What a name stands for in working about a story: an answer, a given value, or one of its own."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final, NamedTuple

from grammar.answers import DIMS
from grammar.asking import QUANTITY
from grammar.expressions import Name, Num, parts_of
from grammar.measures import PURE
from grammar.records import Dimension
from tutor.circuit.joining import JOININGS
from tutor.circuit.reduction import reduce
from tutor.teaching.judging import judge
from tutor.teaching.marking.grading import BY_VALUE, Statement
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.stories.following import Link, follow
from tutor.teaching.marking.stories.given_back import (
    given_back,
    is_given_back,
    is_in_figures,
    is_in_text,
    may_be_of,
    of_the_only_one,
)
from tutor.teaching.marking.stories.paper import (
    Paper,
    capacitances_given,
    given_named,
    number_in,
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
from tutor.teaching.marking.which_fits import best_fitting, last_worth
from tutor.teaching.staged.story import is_called

COUNTS: Final = frozenset({"n", "m", "N"})
TOLD_APART_BY_NOTHING: Final = "missing product"  # asked where sum and product are known
FILLING: Final = "epsr"
OWN_VALUE: Final = 2  # of the ranks, that of a value that is the learner's own
SMALLEST: Final = Fraction(1, 10**11)


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


def as_energy(paper: Paper, name: str, statement: Statement) -> str:
    """U for an energy, where the unit says that it is one."""
    is_energy = name[:1] == "U" and kind_said(paper, statement) == "energy"
    return f"E{name[1:]}" if is_energy else name


def named_on(paper: Paper, name: str, statement: Statement) -> StoryTarget:
    """What a statement under a name is about."""
    alias = paper.aliases.get(name)
    if alias is not None and rank_of(paper, alias, statement) <= BY_VALUE:
        return StoryTarget(alias)
    places = [at for at in value_places(paper) if is_called(paper.asks[at], name)]
    given = given_named(paper, name)
    if places or (not given and (places := _of_what_shares_it(paper, name))):
        return _asked_named(paper, name, places, statement)
    kind = QUANTITY.get(name[:1])
    if name == "C" and not paper.stated and _is_of_plates(statement):
        given = given_named(paper, "C1")  # before anything is asked
    if name == "C" and not given:
        given = [each for each in of_the_only_one(paper) if is_in_figures(paper, each, statement)]
    if (meant := _given_or_after(paper, name, given, statement)) is not None:
        return meant
    of_kind = [at for at in open_places(paper) if paper.asks[at].dimension == kind] if kind else []
    base = name.rstrip("'")
    of_kind = [at for at in of_kind if not _is_before_change(paper, at, name)]
    of_kind.sort(key=lambda at: (paper.asks[at].name != base, paper.asks[at].name[:1] != base[:1]))
    of_kind = open_places(paper) if name.startswith(PREFIX) else of_kind
    ranked = [at for at in of_kind if rank_of(paper, at, statement) <= BY_VALUE]
    digits = sum(letter.isdigit() for letter in name)
    is_before = kind == "energy"  # E0, W1: of a time, where no energy of that name is asked
    told_apart = digits == 1 or (digits > 1 and kind != "capacitance")  # C12 is of a group
    told_apart = told_apart and not is_before
    if not ranked and kind and (back := given_back(paper, statement, kind, name)) is not None:
        is_given = is_in_text(paper, back) or may_be_of(paper, back, name)
        return StoryTarget(given=back) if is_given else StoryTarget(new=name)
    if not ranked and any(_is_without_filling(paper, at, statement) for at in of_kind):
        return StoryTarget(new=name)
    if not told_apart and not worked_named(paper, name):  # else it is known that it is not asked
        ranked = ranked or [at for at in of_kind if is_recognised(paper, at, statement)]
    if not ranked and name.endswith("'"):  # the value after a change, stated once more
        again = [at for at in value_places(paper) if paper.asks[at].dimension == kind]
        ranked = [at for at in again if rank_of(paper, at, statement) <= BY_VALUE]
        number = number_in(name)
        mine = [at for at in of_kind if number_in(paper.asks[at].name or "") in ("", number)]
        ranked = ranked or [at for at in mine if at >= paper.frontier][:1]
    if not ranked and not alias and len(name) == 1 and kind in ("charge", "voltage"):
        ranked = [at for at in _only_one(paper, kind) if is_recognised(paper, at, statement, True)]
    is_of_one = name == "C" and len(capacitances_given(paper)) < 2  # of several it is the whole's
    if not ranked and not alias and (is_of_one or _is_only_capacitor(paper, name)):
        ranked = _only_one(paper, "capacitance")
    if not ranked and alias is not None and alias >= paper.frontier - 1:
        return StoryTarget(alias)
    return StoryTarget(ranked[0], new=name) if ranked else StoryTarget(new=name)


def _of_what_shares_it(paper: Paper, name: str) -> list[int]:
    """The questions of the charge or the p.d. that a capacitor shares with those beside it: Q23 for
    Q1, where C1 and C23 are a chain.
    """
    network = paper.story.network
    if network is None or paper.story.kind != "supply to be found":
        return []
    for step in reduce(network).steps:
        names = [f"{name[:1]}{part.name.removeprefix('C')}" for part in step.parts]
        rule = JOININGS.get(step.kind)
        if name in names and rule is not None and QUANTITY.get(name[:1]) == rule.shared:
            asks = {at: paper.asks[at] for at in value_places(paper)}
            return [at for at, ask in asks.items() if any(is_called(ask, each) for each in names)]
    return []


def used_without_filling(paper: Paper, name: str, statement: Statement) -> list[int]:
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
        found = last_worth(statement, lookup(paper, statement, at))
        if found is None:
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
    found = best_among(paper, places, statement, name)
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
    reread = next((link for link in given if is_given_back(paper, link, statement)), None)
    if _is_empty_at_first(paper, found.at, statement):
        return StoryTarget(new=name)
    if _is_of_another_time(paper, found.at, statement):
        return StoryTarget(given=reread) if reread else StoryTarget(new=name)
    if not reread or _is_meant(paper, found.at, statement):
        return found
    return StoryTarget(given=reread)


def of_each_in_chain(paper: Paper, name: str, said: Said) -> list[int]:
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
    of = f"{ask.dimension} of C{number_in(ask.name or '')}"
    values = {value for key, (value, _) in paper.story.results.items() if key.endswith(of)}
    return len(values) > 1


def _is_empty_at_first(paper: Paper, at: int, statement: Statement) -> bool:
    """Whether nought is said of a capacitor that is empty at first, before what comes later is."""
    ask = paper.asks[at]
    first = paper.story.results.get(f"0: {ask.dimension} of C{number_in(ask.name or '')}")
    is_early = any(paper.frontier <= place < at for place in open_places(paper))
    if first is None or first[0] != 0 or not is_early:
        return False
    found = last_worth(statement, lookup(paper, statement, at))
    return found is not None and found.value == 0


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
    ahead = (at for at in ahead if not _is_before_change(paper, at, name))
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


def _is_before_change(paper: Paper, at: int, name: str) -> bool:
    """Whether a name with a prime is of a later time than a question, whose value the text writes
    without one, and that of another with one.
    """
    base = name.rstrip("'")
    called = [ask.written for ask in paper.asks if is_called(ask, base)]
    is_primed = base != name and any(written.endswith("'") for written in called)
    return is_primed and not paper.asks[at].written.endswith("'")


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
    link = next((link for link in given if is_given_back(paper, link, statement)), None)
    dimension = given[0].value[1]
    places = value_places(paper) if dimension else []
    later = [at for at in places if paper.asks[at].dimension == dimension]
    fitting = next((at for at in later if rank_of(paper, at, statement) <= BY_VALUE), None)
    at_rest = dimension if dimension in ("charge", "voltage") and fitting is None else None
    if not link and at_rest and given_back(paper, statement, at_rest) is not None:
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


def best_among(
    paper: Paper, places: Iterable[int], statement: Statement, name: str = ""
) -> StoryTarget:
    """Of questions with one name: the one that the value fits, first of those of just this
    ``name``, else the next.
    """
    waiting = [at for at in places if at in open_places(paper)]
    waiting_first = sorted(waiting, key=lambda at: (paper.asks[at].name != name, at))
    best = best_fitting(waiting_first, lambda at: rank_of(paper, at, statement))
    if best is not None:
        return StoryTarget(best)
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


def kind_said(paper: Paper, statement: Statement) -> Dimension | None:
    """The kind of quantity that the last side's unit says."""
    measure = last_worth(statement, lookup(paper, statement, len(paper.asks)))
    return next((kind for kind, dims in DIMS.items() if measure and dims == measure.dims), None)
