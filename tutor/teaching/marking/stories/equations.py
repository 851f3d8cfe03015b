"""A statement with a value in it that is still to be found: right, or which wrong rule it shows.

3 × 10 = (3 + 7) V, or a balance of charges, is held against what it leads to: the unknown that
it gives, with the other values as they are.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import partial
from itertools import pairwise, product
from typing import Final, NamedTuple

from grammar.answers import DIMS, Measure, evaluate
from grammar.expressions import Expression, Name, Num, Op, names_in, parts_of
from grammar.measures import PURE
from grammar.records import Refusal
from tutor.circuit.values import Value, in_letters, same, tidy
from tutor.teaching.marking.fitting import numbers_in
from tutor.teaching.marking.following_equations import counted
from tutor.teaching.marking.grading import GradeVerdict, Judgement, Statement, grade
from tutor.teaching.marking.linear import CONSTANT, Row, row_of, solution
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.stories.balances import BALANCED
from tutor.teaching.marking.stories.following import unrounded
from tutor.teaching.marking.stories.paper import Paper, given_named, settled, subject_at, worth
from tutor.teaching.marking.unknowns import all_sides, true_of_these_alone, without_units
from tutor.teaching.staged.measuring import letters_in
from tutor.teaching.staged.story import is_called

TWO_MISSING: Final = "two missing values"
SIGN_SLIP: Final = "slips-on-a-sign-in-the-balance"
MOST_TURNED: Final = 3
ROOT_STEP: Final = Fraction(5, 4)
ROOT_STEPS: Final = 20
HALVED: Final = 60
CHECKED = Fraction(1, 10**12)
ROUNDED = Fraction(1, 200)  # numbers in an equation may have been


class Equation(NamedTuple):
    """Two sides said to be equal. ``unknown`` are the questions whose values in them are still to
    be found; ``places`` are these, with potentials in the place of what follows from them.
    """

    left: Expression
    right: Expression
    unknown: Mapping[str, int]
    places: tuple[int, ...]


def equation_in(paper: Paper, names: Sequence[str], sides: Sequence[Expression]) -> Equation | None:
    """The equation that a statement is, None where it states a value or has nothing unknown."""
    all_sides = [*(Name(name) for name in names[:1]), *sides]
    if len(all_sides) < 2:
        return None
    left, right = all_sides[0], all_sides[-1]
    written = set(names_in(left, right))
    found = {name: at for name in written if (at := _unknown(paper, name)) is not None}
    unknown = dict(sorted(found.items(), key=lambda item: (item[1], item[0])))
    if not unknown or (names and not _is_equation_for(paper, names[0], right, unknown)):
        return None
    grounds = [_grounds(paper, at) for at in unknown.values()]
    balanced = all(each is not None for each in grounds)
    places = {p: None for each in grounds for p in each or ()} if balanced else unknown.values()
    each_once = tuple(dict.fromkeys(places))
    return Equation(left, right, unknown, each_once) if each_once else None


def _is_equation_for(
    paper: Paper, name: str, right: Expression, unknown: Mapping[str, int]
) -> bool:
    """Whether what begins with a name and an equals sign is more than its value: the name stands
    on the right too, it is a potential and another unknown one does, or nothing but charges does.
    """
    parts = [part for part in parts_of(right) if isinstance(part, (Name, Num))]
    if Name(name) in parts:
        return True
    charges = [at for at in unknown.values() if paper.asks[at].dimension == "charge"]
    if len(charges) == len(parts) + 1 > 2 and paper.balances.right:
        return True
    return (
        len(unknown) > 1
        and unknown.get(name) in paper.balances.right
        and all(
            at in paper.balances.right and (each == name or at not in paper.stated)
            for each, at in unknown.items()
        )
    )


def _grounds(paper: Paper, at: int) -> tuple[int, ...] | None:
    """The potentials that a potential, a p.d. or a charge hangs on alone."""
    if at in paper.balances.right:
        return (at,)
    if not paper.paths[at]:
        return None
    links = [link.at for link in paper.paths[at][0].links.values() if link.at is not None]
    found = [_grounds(paper, place) for place in links if place < at]
    if not found or len(found) < len(links) or None in found:
        return None
    return tuple(dict.fromkeys(place for each in found for place in each or ()))


def _unknown(paper: Paper, name: str) -> int | None:
    """The question of this name that has no value yet, or that for a potential in any case; none
    where a given value has that name.
    """
    if name in paper.aliases or name in paper.noted or name in letters_in(paper.story):
        return None
    places = [
        at for at, ask in enumerate(paper.asks) if ask.right is not None and is_called(ask, name)
    ]
    if not places:
        return None
    if places[0] in paper.balances.right:
        return next((at for at in places if at not in paper.stated), places[-1])
    if given_named(paper, name):
        return None
    return None if any(at in paper.stated for at in places) else places[0]


def judge_equation(paper: Paper, equation: Equation) -> tuple[Paper, list[Judgement[int]]]:
    """Judge an equation for the question it settles, or, where it is the balance at a point, for
    the potential there; remember a balance that is not right.

    Raises Refusal where it cannot be worked out.
    """
    paper, row = _in_one_direction(paper, equation)
    if row is None:
        found_here = list(_tried(paper, equation))
        if any(each.verdict == "wrong" for each in found_here):
            paper = _misled_by(paper, equation)
        return paper, found_here
    if len(equation.places) != 1 and not set(equation.places) <= set(paper.balances.right):
        return paper, list(_tried(paper, equation))
    point = paper.balances.point_of(row)
    if point is not None:
        found = Judgement(point, "right", method=True)
        return settled(paper._replace(balances=paper.balances.with_row(point, row))), [found]
    slipped = paper.balances.slipped_at(row)
    if slipped is not None:
        paper = settled(paper._replace(balances=paper.balances.with_row(slipped, row)))
        return paper, [Judgement(slipped, "wrong", "malrule", (SIGN_SLIP,), slip=0)]
    likely = _likely(paper, equation, row)
    graded = [g for at in likely if (g := _solved(paper, row, at)) is not None]
    best = next(
        (g for g in graded if g.verdict != "wrong"),
        next((g for g in graded if g.malrules), graded[0] if graded else None),
    )
    if best is None:
        never = row[CONSTANT] != 0 and not any(row[place] for place in equation.places)
        return paper, [Judgement(equation.places[0], "wrong")] if never else []
    if best.quantity in paper.balances.right and best.verdict == "wrong":
        paper = settled(paper._replace(balances=paper.balances.with_row(best.quantity, row)))
    return paper, [best]


def true_equation(paper: Paper, said: Said) -> Judgement[int] | None:
    """A statement in names that have values, if it gives none of them another value and holds; what
    is said of a name in what is still to be found states no value.
    """
    assert said.statement is not None
    sides = all_sides(said.names, said.statement.sides, False)
    names = names_in(*sides)
    places = [
        at
        for name in names
        for at in paper.own
        if is_called(paper.asks[at], name) or paper.aliases.get(name) == at
    ]
    values = [number for side in said.statement.sides for number in numbers_in(side)]
    is_value = said.names and not (values and names_in(*said.statement.sides))
    if said.statement.turned or not places or is_value:
        return None
    lookup = {n: w for n in names if (w := worth(paper, n, len(paper.asks))) is not None}
    if not true_of_these_alone(sides, lookup, paper.story.powers):
        return None
    at = places[-1]
    is_carried = at in paper.wrong
    verdict: GradeVerdict = "carried" if is_carried else "right"
    is_open = any(_unknown(paper, name) is not None for name in names)
    shows = not is_carried and not is_open
    return Judgement(at, verdict, method=True, in_numbers=shows, relation=is_open)


def _in_one_direction(paper: Paper, equation: Equation) -> tuple[Paper, Row | None]:
    """The factors of an equation. A charge or p.d. between two points to be found may be counted
    in either direction, as long as all equations count it in the same.
    """
    between = [
        at
        for at in equation.unknown.values()
        if at not in paper.balances.right and len(_grounds(paper, at) or ()) > 1
    ]
    free = [at for at in between if at not in paper.reversed][:MOST_TURNED]
    first: Row | None = None
    for turned in product((False, True), repeat=len(free)):
        tried = paper._replace(reversed={**paper.reversed, **dict(zip(free, turned, strict=True))})
        row = row_of(partial(_difference, tried, equation), equation.places)
        if row is not None and paper.balances.point_of(row) is not None:
            return tried, row
        first = row if first is None else first
    return paper, first


def _likely(paper: Paper, equation: Equation, row: Row) -> list[int]:
    """The point whose capacitors stand in the equation first, by name or by value; then the one
    with the largest factor: at its own point every capacitor counts.
    """
    parts = [part for side in equation[:2] for part in parts_of(side)]
    marks = {name[1:].strip("_") for name in names_in(*equation[:2])}
    numbers = {part.value for part in parts if isinstance(part, Num)}

    def standing(at: int) -> int:
        links = [link for path in paper.paths[at][:1] for link in path.links.values()]
        capacitors = [link for link in links if link.value[1] == "capacitance"]
        scale = Fraction(10) ** paper.story.powers["capacitance"]
        return sum(
            link.name[1:] in marks or link.value[0] / scale in numbers for link in capacitors
        )

    return sorted(equation.places, key=lambda at: (-standing(at), -abs(row.get(at, Fraction(0)))))


def _solved(paper: Paper, row: Row, at: int) -> Judgement[int] | None:
    """The value that the equation gives for one unknown, judged; the line itself states none."""
    others = {
        place: paper.own[place] if place in paper.stated else paper.right(place)
        for place in row
        if place >= 0
    }
    value = solution(row, at, others)
    if value is None:
        return None
    number = Num(value / Fraction(10) ** paper.power(at), None, 0, "")
    found = grade(subject_at(paper, at), Statement((number,)), {}, bool(paper.wrong))
    return found._replace(
        value=None,
        is_final=False,
        is_fraction=False,
        accurate=False,
        unit="",
        note="",
        slip=0 if found.verdict == "wrong" else None,
        method=found.verdict != "wrong",
        in_numbers=found.verdict != "wrong",
    )


def _tried(paper: Paper, equation: Equation) -> Iterator[Judgement[int]]:
    """An equation of another kind: whether the right values make it true, and not just any."""
    balanced = all(paper.asks[at].key in BALANCED for at in equation.places)
    is_all_sought = paper.story.kind == TWO_MISSING and len(equation.unknown) == len(paper.own)
    if len(equation.unknown) > 1 and not balanced and not is_all_sought:
        return
    true = {at: paper.own[at] for at in equation.places}
    exact = {at: paper.asks[at].exact or value for at, value in true.items()}
    other = {at: value * 17 / 13 for at, value in true.items()}  # which no slip leads to
    if not _holds(paper, equation, other):
        fits = any(
            (_holds(paper, equation, exact, in_si) or _holds(paper, equation, true, in_si))
            and not _holds(paper, equation, other, in_si)
            for in_si in (False, True)
        )
        (first, *_) = equation.places
        if not fits and _leads_on(paper, equation, first):
            yield Judgement(first, "carried", method=True)
            return
        yield Judgement(first, "right" if fits else "wrong", method=fits, in_numbers=fits)


def _leads_on(paper: Paper, equation: Equation, at: int) -> bool:
    """Whether an equation in one unknown has the root of a wrong one before it."""
    root = paper.misled.get(at)
    if root is None or len(equation.places) != 1:
        return False
    here, there = (_difference(paper, equation, {at: value}) for value in (root, 2 * root))
    if here is None or there is None or in_letters(here) or in_letters(there):
        return False
    return abs(Fraction(here)) <= CHECKED * abs(Fraction(there))


def _misled_by(paper: Paper, equation: Equation) -> Paper:
    """The paper with what a wrong equation in one unknown leads to: its root nearest to nought."""
    if len(equation.places) != 1:
        return paper
    (at,) = equation.places
    true = paper.right(at)
    if in_letters(true):
        return paper

    def is_above(value: Fraction) -> bool | None:
        found = _difference(paper, equation, {at: value})
        return None if found is None or in_letters(found) else bool(found > 0)

    tried = [Fraction(true) * ROOT_STEP**n for n in range(-ROOT_STEPS, ROOT_STEPS + 1)]
    for low, high in pairwise(tried):
        below = is_above(low)
        if below is None or is_above(high) in (None, below):
            continue
        for _ in range(HALVED):
            middle = (low + high) / 2
            low, high = (middle, high) if is_above(middle) == below else (low, middle)  # noqa: PLW2901
        misled = paper._replace(misled={**paper.misled, at: low})
        if _leads_on(misled, equation, at):  # and is no pole
            return misled
    return paper


def _holds(
    paper: Paper, equation: Equation, values: Mapping[int, Value], in_si: bool = False
) -> bool:
    """Whether it does for these values, plain numbers in the usual units or all in SI units."""
    difference = _difference(paper, equation, values, in_si)
    if difference is None:
        return False
    if in_letters(difference):
        return same(tidy(difference), Fraction(0))
    nothing = equation._replace(right=Num(Fraction(0), None, 0, "0"))
    first = _difference(paper, nothing, values, in_si)
    scale = Fraction(first) if isinstance(first, Fraction) and first else Fraction(1)
    return abs(Fraction(difference)) <= ROUNDED * abs(scale)


def _difference(
    paper: Paper, equation: Equation, values: Mapping[int, Value], in_si: bool = False
) -> Value | None:
    """The left side less the right one: by their units, or else as plain numbers in the usual
    units or ``in_si``, since 2 (12 − V_P) = C2 V_P leaves a unit unsaid.
    """
    whole = Op("-", equation.left, equation.right)
    names = set(names_in(whole))
    lookup: dict[str, Measure] = {}
    for name in names:
        at = equation.unknown.get(name)
        found = worth(paper, name, at if at is not None else min(equation.places))
        if at is not None:
            dims = DIMS[d] if (d := paper.asks[at].dimension) else PURE
            found = Measure(_value_of(paper, at, values), dims, paper.power(at))
        if found is None:
            raise Refusal(f"{name} has no value yet.", "Write down first what it is.")
        lookup[name] = found
    try:
        if not in_si:
            return evaluate(whole, lookup).value
    except Refusal:
        pass
    powers = dict.fromkeys(paper.story.powers, 0) if in_si else paper.story.powers
    numbers = {name: counted(measure, powers) for name, measure in lookup.items()}
    try:
        return evaluate(without_units(whole, powers), numbers).value
    except Refusal:
        return None


def _value_of(paper: Paper, at: int, values: Mapping[int, Value]) -> Value:
    """An unknown as tried; what follows from potentials with the sign that it truly has."""
    if at in values:
        return values[at]
    path = paper.paths[at][0]
    right = unrounded(path, {key: link.value[0] for key, link in path.links.items()})
    tried = {
        key: link.value[0] if link.at is None else _value_of(paper, link.at, values)
        for key, link in path.links.items()
    }
    found = unrounded(path, tried)
    if found is None or right is None or in_letters(found) or in_letters(right):
        raise Refusal("This equation is in letters.", "Write it in numbers.")
    return -found if (right < 0) != paper.reversed.get(at, False) else found
