"""Which question of a story a statement answers: by its name, its words, its value, or the next."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final, NamedTuple

from grammar.answers import DIMS, Measure, evaluate
from grammar.expressions import Expression, Name, Num, names_in, parts_of
from grammar.measures import PURE
from grammar.records import Dimension, Refusal
from tutor.circuit.values import in_letters
from tutor.teaching.judging import RELATIVE_TOLERANCE, judge
from tutor.teaching.marking.grading import BY_VALUE, NO_FIT, Statement, how_well, recognised
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.stories.following import Link, is_called, unrounded
from tutor.teaching.marking.stories.paper import (
    Paper,
    capacitances_given,
    given_named,
    subject_at,
    worked_named,
    worth,
)
from tutor.teaching.marking.unknowns import PREFIX
from tutor.teaching.quantities import DIMENSION

COUNTS: Final = frozenset({"n", "m", "N"})
SMALLEST: Final = Fraction(1, 10**11)
_OF_ENERGY: Final = frozenset({"E_lost", "W_filling", "W"})
_KINDS: Mapping[str, Dimension] = MappingProxyType(
    {
        "C": "capacitance",
        "Q": "charge",
        "V": "voltage",
        "U": "voltage",
        "E": "energy",
        "W": "energy",
    }
)


class StoryTarget(NamedTuple):
    """What a statement is about: the place of a question (``guessed`` where only its value
    suggests it), a ``given`` value read back, or a ``new`` name for what no question asks.
    """

    at: int | None = None
    guessed: bool = False
    given: Link | None = None
    new: str = ""


def resolve(paper: Paper, said: Said) -> Iterator[StoryTarget]:
    """What a statement is about; nothing where that cannot be told."""
    assert said.statement is not None
    if said.names:
        for name in said.names:
            yield _named(paper, _as_energy(paper, name, said.statement), said.statement)
        return
    label = said.label
    kind = DIMENSION[label.symbol] if label and label.symbol else None
    names = label.names if label else ()
    unit = _kind_of(paper, said.statement)
    if _OF_ENERGY.intersection(names) and unit not in (None, "energy"):
        names, kind = (), unit  # 36 µF of the slab is no work on it
    for name in ("E",) if names == ("sum",) and unit == "energy" else names:
        called = _by_label(kind, name)
        exact = [at for at in _values(paper) if paper.asks[at].name == called]
        places = exact or [at for at in _values(paper) if is_called(paper.asks[at], called)]
        if places and (name in COUNTS) <= _is_count(said.statement):
            yield _among(paper, places, said.statement)
            return
    yield from _unnamed(paper, said.statement, kind or _kind_of(paper, said.statement))


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


def _values(paper: Paper) -> list[int]:
    return [at for at, ask in enumerate(paper.asks) if ask.right is not None]


def _as_energy(paper: Paper, name: str, statement: Statement) -> str:
    """U for an energy, where the unit says that it is one."""
    is_energy = name[:1] == "U" and _kind_of(paper, statement) == "energy"
    return f"E{name[1:]}" if is_energy else name


def _named(paper: Paper, name: str, statement: Statement) -> StoryTarget:
    alias = paper.aliases.get(name)
    if alias is not None and _rank(paper, alias, statement) <= BY_VALUE:
        return StoryTarget(alias)
    places = [at for at in _values(paper) if is_called(paper.asks[at], name)]
    given = given_named(paper, name)
    if places:
        found = _among(paper, places, statement)
        further = [
            at
            for at in _open(paper)
            if (paper.asks[at].name or "").startswith(f"{name}_")
            and _rank(paper, at, statement) <= BY_VALUE
        ]
        if further and found.at is not None and _rank(paper, found.at, statement) > BY_VALUE:
            return StoryTarget(further[0])  # W for the work on a filling, after that of the supply
        if not given or (found.at is not None and _is_meant(paper, found.at, statement)):
            return found
        reread = next((link for link in given if _is_given(paper, link, statement)), None)
        return StoryTarget(given=reread) if reread else found
    kind = _KINDS.get(name[:1])
    if name == "C" and not paper.stated and _is_of_plates(statement):
        given = given_named(paper, "C1")  # before anything is asked
    if (meant := _given_or_after(paper, name, given, statement)) is not None:
        return meant
    of_kind = [at for at in _open(paper) if paper.asks[at].dimension == kind] if kind else []
    base = name.rstrip("'")
    of_kind.sort(key=lambda at: (paper.asks[at].name != base, paper.asks[at].name[:1] != base[:1]))
    of_kind = _open(paper) if name.startswith(PREFIX) else of_kind
    ranked = [at for at in of_kind if _rank(paper, at, statement) <= BY_VALUE]
    digits = sum(letter.isdigit() for letter in name)
    told_apart = digits == 1 or (digits > 1 and kind != "capacitance")  # C12 is of a group
    if not ranked and kind and (read_back := _given_back(paper, statement, kind)) is not None:
        return StoryTarget(given=read_back)
    if not told_apart and not worked_named(paper, name):  # else it is known that it is not asked
        ranked = ranked or [at for at in of_kind if _is_recognised(paper, at, statement)]
    if not ranked and name.endswith("'"):  # the value after a change, stated once more
        again = [at for at in _values(paper) if paper.asks[at].dimension == kind]
        ranked = [at for at in again if _rank(paper, at, statement) <= BY_VALUE]
        mine = [at for at in of_kind if _digits(paper.asks[at].name or "") in ("", _digits(name))]
        ranked = ranked or [at for at in mine if at >= paper.frontier][:1]
    if not ranked and not alias and len(name) == 1 and kind in ("charge", "voltage"):
        ranked = [at for at in _only_one(paper, kind) if _is_recognised(paper, at, statement, True)]
    if not ranked and not alias and (name == "C" or _is_only_capacitor(paper, name)):
        ranked = _only_one(paper, "capacitance")
    if not ranked and alias is not None and alias >= paper.frontier - 1:
        return StoryTarget(alias)
    return StoryTarget(ranked[0], new=name) if ranked else StoryTarget(new=name)


def _due_after(paper: Paper, name: str) -> int | None:
    """The next question of its quantity for a name with a prime, or with the number of the second
    state of an only capacitor.
    """
    base = name.rstrip("'2").replace("U", "V")
    is_second = name.endswith("2") and set(capacitances_given(paper)) == {"C1"}
    due = next(
        (at for at in _open(paper) if at >= paper.frontier and paper.asks[at].name == base), None
    )
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


def _only_one(paper: Paper, kind: Dimension) -> list[int]:
    """The one quantity of a kind that a problem has: Q is the charge of both in a chain, C the
    capacitance after a change.
    """
    places = {at for at in _values(paper) if paper.asks[at].dimension == kind}
    other = kind != "capacitance" and any(link.value[1] == kind for link in paper.given)
    return list(places) if len(places) == 1 and not other else []


def _given_or_after(
    paper: Paper, name: str, given: list[Link], statement: Statement
) -> StoryTarget | None:
    """A given value, or where another one stands the question of its kind that this one fits:
    V1 after a joining is the p.d. of all.
    """
    if (due := _due_after(paper, name)) is not None:
        return StoryTarget(due)
    if not given:
        return None
    link = next((link for link in given if _is_given(paper, link, statement)), None)
    dimension = given[0].value[1]
    later = [at for at in _values(paper) if dimension and paper.asks[at].dimension == dimension]
    fitting = next((at for at in later if _rank(paper, at, statement) <= BY_VALUE), None)
    at_rest = dimension if dimension in ("charge", "voltage") and fitting is None else None
    if not link and at_rest and _given_back(paper, statement, at_rest) is not None:
        return StoryTarget(new=name)  # right, at a time that nothing is asked about
    return StoryTarget(given=link or given[0]) if link or fitting is None else StoryTarget(fitting)


def _is_meant(paper: Paper, at: int, statement: Statement) -> bool:
    """Whether a statement is about a question although a given value has its name: it fits, or
    it is the next question and a known slip gives the value.
    """
    if _rank(paper, at, statement) <= BY_VALUE:
        return True
    due = next((place for place in _values(paper) if place >= paper.frontier), None)
    return bool(paper.stated) and at == due and _is_recognised(paper, at, statement)


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


def _open(paper: Paper) -> list[int]:
    """Questions without a value yet, or of which only a wrong guess stands."""
    return [at for at in _values(paper) if at not in paper.stated or at in paper.doubtful]


def _among(paper: Paper, places: Iterable[int], statement: Statement) -> StoryTarget:
    """Of questions with one name: the one that the value fits, else the next."""
    waiting = [at for at in places if at in _open(paper)]
    ranked = sorted(waiting, key=lambda at: (_rank(paper, at, statement), at))
    if ranked and _rank(paper, ranked[0], statement) <= BY_VALUE:
        return StoryTarget(ranked[0])
    ahead = [at for at in waiting if at >= paper.frontier] or waiting
    known = [at for at in ahead if _is_recognised(paper, at, statement)]
    for at in sorted(places, reverse=True):
        is_later = at in paper.wrong and bool(known)  # a slip in the next, and no second thought
        if at in paper.stated and not is_later and _rank(paper, at, statement) <= BY_VALUE:
            return StoryTarget(at)
    if known or ahead:
        return StoryTarget((known or ahead)[0])
    return StoryTarget(max(places))


def _unnamed(paper: Paper, statement: Statement, kind: Dimension | None) -> Iterator[StoryTarget]:
    """By the value; a number without a unit only for the next question or a plain number."""
    waiting = _open(paper)
    if kind is not None:
        fitting = [at for at in waiting if paper.asks[at].dimension == kind]
    else:
        fitting = [at for at in waiting if at == min(waiting) or paper.asks[at].dimension is None]
    ranked = sorted(
        (rank, at) for at in fitting if (rank := _rank(paper, at, statement)) <= BY_VALUE
    )
    if ranked:
        yield StoryTarget(ranked[0][1])
        return
    again = [
        at
        for at in reversed(_values(paper))
        if at in paper.stated and kind in (None, paper.asks[at].dimension)
    ]
    for at in again:
        if _rank(paper, at, statement) <= BY_VALUE:
            yield StoryTarget(at)
            return
    ahead = [at for at in fitting if at >= paper.frontier] or fitting
    known = [at for at in ahead if _is_recognised(paper, at, statement)]
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


def lookup(paper: Paper, statement: Statement, at: int) -> dict[str, Measure]:
    """What the names in a statement about a question are worth to this learner."""
    names = set(names_in(*statement.sides))
    return {name: found for name in names if (found := worth(paper, name, at)) is not None}


def _rank(paper: Paper, at: int, statement: Statement) -> int:
    """How well a statement fits a question, what is still to be rounded up left out."""
    known = lookup(paper, statement, at)
    try:
        statement = without_ratio(paper, at, statement, known)
    except Refusal:
        return NO_FIT
    return how_well(subject_at(paper, at).gauge, statement, known)


def _is_recognised(paper: Paper, at: int, statement: Statement, by_method: bool = False) -> bool:
    """Whether a value that fits nothing is what a known slip gives for this question, or
    ``by_method`` what comes of the right way with another number.
    """
    found = recognised(subject_at(paper, at), statement, lookup(paper, statement, at))
    return found is not None and (bool(found.malrules) or (by_method and found.method))


# Counts that are rounded up: n = 100/63 = 1.59 = 2 is right, though its sides differ


def without_ratio(
    paper: Paper, at: int, statement: Statement, known: Mapping[str, Measure]
) -> Statement:
    """A statement without the sides that are still to be rounded up; it may have none left.

    Raises Refusal where a side cannot be worked out.
    """
    if all(path.way.then != "rounded up" for path in paper.paths[at]):
        return statement
    kept = tuple(side for side in statement.sides if not _is_ratio(paper, at, side, known))
    return statement._replace(sides=kept)


def is_counted(paper: Paper, at: int, statement: Statement) -> bool:
    """Whether a statement shows what it counts: a side still to be rounded, and then the count."""
    try:
        kept = without_ratio(paper, at, statement, {}).sides
    except Refusal:
        return False
    return 0 < len(kept) < len(statement.sides)


def _is_ratio(paper: Paper, at: int, side: Expression, known: Mapping[str, Measure]) -> bool:
    """Whether a side is what a way gives before it is rounded up."""
    found = evaluate(side, known).value
    for path in paper.paths[at]:
        ratio = unrounded(path, paper.values(path.links))
        if in_letters(found) or found.denominator == 1 or not isinstance(ratio, Fraction):
            continue  # a whole number is meant as the count
        if abs(found - ratio) <= RELATIVE_TOLERANCE * ratio:
            return True
    return False
