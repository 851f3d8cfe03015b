"""Letters of the pupil's own: which quantity an equation in x, or in x and y, makes of them.

An equation is tried with the values of the problem in the places of its letters. Where it then
holds, and would not hold for just any value, it is a true one, and its letters have a meaning.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product
from typing import Final

from grammar.answers import Measure, evaluate
from grammar.expressions import Expression, Name, Num, Op, names_in, rewritten
from grammar.records import Dimension, Refusal
from tutor.circuit.values import Value, in_letters
from tutor.teaching.marking.grading import GradeVerdict, Judgement, Statement, Topic
from tutor.teaching.marking.letter_equations import letter_of, roots
from tutor.teaching.marking.problem_kind import FoundIn, ProblemKind, ReadSoFar, S
from tutor.teaching.marking.statements import Said
from tutor.teaching.marking.true_in_numbers import used_in
from tutor.teaching.speech import listed

PREFIX: Final = "own_"
UNITS_TOO: Final = "CV"  # letters that are units as well, behind a number
MOST_LETTERS: Final = 2
MOST_CANDIDATES: Final = 40
MOST_TOLD: Final = 3
NEAR: Final = Fraction(1, 200)
ROUNDED: Final = Fraction(1, 20)  # numbers in an equation may have been rounded roughly
UNTRUE: Final = (
    "This equation does not hold for what is sought. Put the right value in later and see which "
    "term is not as it should be; what follows rightly from it is not marked down again."
)

LEFT_OPEN: Final = "It is not said above what this stands for, so it is left open."

_LET = re.compile(r"\b(?:let|call|say|suppose|take|put|with|if)\b(.*)", re.IGNORECASE)
_LONE = re.compile(r"(?<![A-Za-z_'’.])([a-zDG-IK-PR-TX-Z])(?![A-Za-z0-9_'’.])")
_SHARE = re.compile(r"(\d)\s*(?:shares?|parts?)\b")
_RENAMED = re.compile(rf"\b{PREFIX}([{UNITS_TOO}])\b")
_UNIT_LAST = re.compile(r"=\s*[-+]?[\d.,]+(?:e-?\d+)?\s*[CV]\s*$")
_NAMED = re.compile(r"(?<![A-Za-z])[A-Z]_?\d|^\s*[A-Z]_?\w{0,3}\s*[=:]")
_ADDED = re.compile(
    rf"\d\s*[-+−]\s*[{UNITS_TOO}]\b|(?<![\w)])[{UNITS_TOO}]\s*[-+−]\s*[\d(]"
    rf"|\d\s*[-+−]\s*\d[\d.]*\s*([{UNITS_TOO}])\s*=\s*\d[\d.]*\s*\1\s*$"
)
_ROOT = re.compile(r"(?<![A-Za-z_'’.])([a-z])_?[12](?=\s*=)")
_OPERAND_BEFORE = re.compile(r"[\w'’)\]½⅓⅔¼¾]\s*$")
_OPERAND_AFTER = re.compile(r"\s*[\w(\[½⅓⅔¼¾.]")
_TWO_LETTERS = re.compile(r"(?<![A-Za-z_'’.])[a-z]{2}(?![A-Za-z0-9_'’.])")
_IN_NUMBERS = re.compile(r"[^=A-Za-z]*(?:\b|(?<=\d))[ab]\b[^A-Za-z]*(?:\b[ab]\b[^A-Za-z]*)*")
ALWAYS: Final = "xyz"


def letters_met(names: Iterable[str]) -> frozenset[str]:
    """The letters of the pupil's own among names."""
    return frozenset(name.removeprefix(PREFIX) for name in names if name.startswith(PREFIX))


def with_own_letters(
    piece: str, introduced: Collection[str], taken: Collection[str]
) -> tuple[str, frozenset[str]]:
    """A piece with names in the place of the pupil's own letters, and those names. ``introduced``
    are letters met before, ``taken`` names that mean something else here.
    """
    piece = _ROOT.sub(lambda found: found[1] if found[1] in introduced else found[0], piece)
    met = set(introduced) | {*_LONE.findall(piece)} & {*ALWAYS}
    piece = _TWO_LETTERS.sub(
        lambda found: "*".join(found[0]) if set(found[0]) <= met else found[0], piece
    )
    letters = set(_LONE.findall(piece))
    let = _LET.search(piece)
    told = set(_LONE.findall(let[1])) if let else set()
    own = {
        letter
        for letter in letters
        if letter in introduced
        or letter in told - {"a"}
        or (letter in ALWAYS and letter not in taken and _is_operand(piece, letter))
        or (letter in "qvup" and "=" in piece and _is_repeated(piece, letter))
        or (letter.isupper() and letter not in taken and _is_worked_on(piece, letter))
        or (letter in "ab" and letter not in taken and _IN_NUMBERS.fullmatch(piece))
    }
    for letter in own:
        piece = _renamed(piece, letter)
    own |= {found[1] for found in _RENAMED.finditer(piece)}
    if "=" in piece:
        piece, count = _SHARE.subn(rf"\1*{PREFIX}share", piece)
        own |= {"share"} if count else set()
    else:  # so many parts, in words, are the value of nothing
        piece = re.sub(rf"\d*\.?{_SHARE.pattern}", "parts", piece)
    return piece, frozenset(f"{PREFIX}{letter}" for letter in own)


def with_units_for_letters(
    piece: str, letters: Iterable[str], introduced: Collection[str]
) -> Iterator[str]:
    """A piece with C or V, one of ``letters``, for an unknown of the pupil's, where it was
    ``introduced`` or surely is one: in 4(18 - V) = 12 V, 12 V is a product. A value last may have
    it for its unit all the same.
    """
    if "=" not in piece:
        return
    for letter in letters:
        unit = _UNIT_LAST.search(piece)
        for end in dict.fromkeys((unit.start() if unit else len(piece), len(piece))):
            head = piece[:end]
            if letter in introduced or is_in_unknown(piece, introduced):
                renamed = _renamed(head, letter)
                if renamed != head:
                    yield renamed + piece[end:]


def is_in_unknown(piece: str, introduced: Collection[str]) -> bool:
    """Whether an equation is surely in C or V as an unknown: there is no other name in it, and the
    letter was ``introduced``, or it is added to a number or taken from it, alone or so many times.
    """
    if "=" not in piece or _NAMED.search(piece):
        return False
    return any(letter in introduced for letter in UNITS_TOO) or bool(_ADDED.search(piece))


def _is_repeated(piece: str, letter: str) -> bool:
    return sum(1 for _ in _each(piece, letter)) > 1


def _is_worked_on(piece: str, letter: str) -> bool:
    """Whether a capital stands for a number: it stands twice in an equation with numbers."""
    return "=" in piece and _is_repeated(piece, letter) and bool(re.search(r"\d", piece))


def _is_operand(piece: str, letter: str) -> bool:
    """Whether an x stands somewhere for a number rather than for a times sign."""
    return letter != "x" or any(_stands(piece, found) for found in _each(piece, letter))


def _stands(piece: str, found: re.Match[str]) -> bool:
    before = _OPERAND_BEFORE.search(piece[: found.start()])
    after = _OPERAND_AFTER.match(piece, found.end())
    return not (before and after)


def _each(piece: str, letter: str) -> Iterable[re.Match[str]]:
    return re.finditer(rf"(?<![A-Za-z_]){letter}(?![A-Za-z_\d'’])", piece)


def _renamed(piece: str, letter: str) -> str:
    """With the name in the place of the letter, and times signs around it where it stands beside
    a number or a bracket.
    """
    pieces: list[str] = []
    last = 0
    for found in _each(piece, letter):
        if letter == "x" and not _stands(piece, found):
            continue
        pieces.append(piece[last : found.start()])
        if re.search(r"[\d)\]]\s*$", pieces[-1]):
            pieces.append("*")
        pieces.append(f"{PREFIX}{letter}")
        if re.match(r"\s*\(", piece[found.end() :]):
            pieces.append("*")
        last = found.end()
    return "".join([*pieces, piece[last:]])


def own_letters(sides: Iterable[Expression]) -> list[str]:
    """The pupil's own letters in these sides, by their names."""
    return [name for name in dict.fromkeys(names_in(*sides)) if name.startswith(PREFIX)]


def all_sides(
    names: Sequence[str], sides: Sequence[Expression], turned: bool
) -> tuple[Expression, ...]:
    """The sides of a statement with the names that it begins with, 1/x where it is turned."""
    if turned and len(names) == 1:
        return (Op("/", Num(Fraction(1), None, 0, "1"), Name(names[0])), *sides)
    return (*(Name(name) for name in names), *sides)


def is_equation(names: Sequence[str], sides: Sequence[Expression], new: Sequence[str]) -> bool:
    """Whether a statement is an equation in the pupil's own letters, rather than the value of one
    or of something with a name; ``new`` are those of the letters that have no meaning yet.
    """
    if len(names) == 1 and not own_letters(sides):
        return False
    ordinary = [name for name in names if not name.startswith(PREFIX)]
    some = [name for name in names if name.startswith(PREFIX)] or own_letters(sides)
    return bool(some) and not (ordinary and not new)


def in_the_name_sought(by: ProblemKind[S, Topic], sheet: S, said: Said) -> tuple[S, Said]:
    """A statement with the name of the one thing that is sought for the pupil's own letter in it,
    and the sheet with what that letter stands for.
    """
    truth, statement = by.truth(sheet), said.statement
    letters = own_letters([*map(Name, said.names), *(statement.sides if statement else ())])
    if len(truth) != 1 or len(letters) != 1:
        return sheet, said
    about, letter = next(iter(truth)), letters[0]
    name = by.called(sheet, about)[1]

    def sought(part: Expression) -> Expression | None:
        return Name(name) if part == Name(letter) else None

    names = tuple(name if each == letter else each for each in said.names)
    if statement is not None:
        sides = tuple(rewritten(side, sought) for side in statement.sides)
        statement = statement._replace(sides=sides)
    sheet = sheet._replace(aliases={**sheet.aliases, letter: about})
    return sheet, said._replace(names=names, statement=statement)


def is_of_unknown(sheet: ReadSoFar, said: Said) -> bool:
    """Whether a statement gives a value to a letter of the pupil's own of which an equation was
    written that says of nothing here what it is: x = 30 of what flowed across.
    """
    letter = said.names[0] if len(said.names) == 1 else ""
    if not letter.startswith(PREFIX) or letter in sheet.aliases:
        return False
    return any(
        letter in names_in(*each.statement.sides) for each in sheet.equations if each.statement
    )


def judge_letters(by: ProblemKind[S, Topic], sheet: S, said: Said) -> FoundIn[S, Topic] | None:
    """An equation in letters of the pupil's own, and what they stand for from then on; None for a
    statement without such letters, or one that gives the value of one.
    """
    assert said.statement is not None
    sides = all_sides(said.names, said.statement.sides, said.statement.turned)
    letters = [name for name in own_letters(sides) if name not in sheet.aliases]
    if not is_equation(said.names, said.statement.sides, letters):
        return None
    if _is_value_of_share(said):
        return None
    worth, powers = by.worth(sheet, sides), by.powers(sheet)
    if not letters:
        found = {name: sheet.aliases[name] for name in own_letters(sides)[:1]}
        if equal_in_usual_units(sides, worth, powers):
            return _with_letters(sheet, found, "right")
        if len(own_letters(sides)) > 1:
            return _untrue_in_two(by, sheet, sides)
        return _untrue(by, sheet, sides, found)
    truth = by.truth(sheet)
    asked = {item.quantity for item in by.ground(sheet, frozenset()).items if item.asked}
    waiting = sorted(truth, key=lambda about: (about in sheet.stated, about not in asked))
    right = {about: value for about, (value, _) in truth.items()}
    verdicts: tuple[tuple[GradeVerdict, Mapping[Topic, Value]], ...] = (
        ("right", right),
        ("carried", by.own(sheet)),
    )
    for verdict, values in verdicts:
        candidates = [
            (about, Measure(values[about], power=_power_of(truth[about][1], powers)))
            for about in waiting
            if about in values
        ]
        meant = meaning(sides, letters, candidates, worth, powers)
        if meant is not None:
            return _with_letters(sheet, meant, verdict)
    return FoundIn(sheet, (), _no_meaning(letters, by.reader(sheet).told))


def _is_value_of_share(said: Said) -> bool:
    """Whether it gives a value to something by its name, and shares beside that: V3 = 1 part = 22/6
    = 3.7 V.
    """
    assert said.statement is not None
    shares = [side for side in said.statement.sides if own_letters([side])]
    is_named = bool(said.names) and not own_letters(map(Name, said.names))
    are_shares = all({*names_in(side)} == {f"{PREFIX}share"} for side in shares)
    return is_named and are_shares and not names_in(said.statement.sides[-1])


def _untrue(
    by: ProblemKind[S, Topic], sheet: S, sides: Sequence[Expression], about: Mapping[str, Topic]
) -> FoundIn[S, Topic]:
    """What an equation in one letter is that does not hold: carried where it follows from a wrong
    one before it, wrong where it holds for some other value, else nothing that can be judged.
    """
    powers, letter = by.powers(sheet), letter_of(sides, PREFIX)
    if letter is None:
        return FoundIn(sheet)

    def solved(of: Sequence[Expression]) -> list[Fraction]:
        known = {n: plain(m) for n, m in by.worth(sheet, of).items() if n != letter}
        return list(roots([without_units(side, powers) for side in of], letter, known))

    mine = solved(sides)
    each = Judgement(about[letter], "carried", method=True, relation=True)
    for before in sheet.mistaken:
        assert before.statement is not None
        earlier = all_sides(before.names, before.statement.sides, before.statement.turned)
        if letter_of(earlier, PREFIX) == letter and _meet(mine, solved(earlier), NEAR):
            return FoundIn(sheet, (each,))
    rights = [
        Fraction(plain(Measure(value, power=_power_of(kind, powers))).value)
        for value, kind in by.right_values(sheet)
        if not in_letters(value)
    ]
    if not mine or _meet(mine, rights, ROUNDED):
        return FoundIn(sheet)
    wrong = each._replace(verdict="wrong", method=False, relation=False, told=UNTRUE)
    return FoundIn(sheet, (wrong,))


def _untrue_in_two(
    by: ProblemKind[S, Topic], sheet: S, sides: Sequence[Expression]
) -> FoundIn[S, Topic]:
    """What an equation in letters that have a meaning already is, where it does not hold so: wrong
    where no right values make it true, as they may in the place of one another, and nothing wrong
    came before from which it may follow.
    """
    letters, powers = own_letters(sides), by.powers(sheet)
    candidates = [
        (about, Measure(value, power=_power_of(kind, powers)))
        for about, (value, kind) in by.truth(sheet).items()
    ]
    may_follow = sheet.mistaken or sheet.wrong or set(names_in(*sides)) != set(letters)
    if may_follow or meaning(sides, letters, candidates, {}, powers) is not None:
        return FoundIn(sheet)
    about = sheet.aliases[letters[0]]
    return FoundIn(sheet, (Judgement(about, "wrong", relation=True, told=UNTRUE),))


def _meet(some: Iterable[Fraction], others: Iterable[Fraction], within: Fraction) -> bool:
    """Whether one of some numbers is one of others, as far as rounding goes."""
    return any(abs(one - other) <= within * abs(other) for one, other in product(some, others))


def _with_letters(sheet: S, found: Mapping[str, Topic], verdict: GradeVerdict) -> FoundIn[S, Topic]:
    grades = tuple(
        Judgement(about, verdict, method=True, relation=True) for about in found.values()
    )
    return FoundIn(sheet._replace(aliases={**sheet.aliases, **found}), grades)


def _power_of(dimension: Dimension | None, powers: Mapping[Dimension, int]) -> int:
    return 0 if dimension is None else powers[dimension]


def _no_meaning(letters: Sequence[str], told: Sequence[str]) -> str:
    """What to write where the pupil's own letters stand for nothing that is asked for."""
    names = listed([name.removeprefix(PREFIX) for name in letters])
    cure = f" Use the names that are asked for, such as {listed(told[:MOST_TOLD])}." if told else ""
    stand = "stands" if len(letters) == 1 else "stand"
    return f"This does not say what {names} {stand} for.{cure}"


def used_in_working(
    by: ProblemKind[S, Topic], sheet: S, statement: Statement, about: Topic
) -> frozenset[Topic]:
    """Values not stated before whose numbers stand in a statement."""
    found: frozenset[Topic] = frozenset()
    truth, powers = by.truth(sheet), by.powers(sheet)
    own = truth.get(about, (None, None))[1]
    for dimension in {kind for _, kind in truth.values()}:
        values = {
            each: value
            for each, (value, kind) in truth.items()
            if kind == dimension and each not in sheet.stated and each != about
        }
        power, is_own = _power_of(dimension, powers), own in (None, dimension)
        found |= used_in(statement, values, by.given(sheet), power, is_own)
    return found


def meaning(
    sides: Sequence[Expression],
    letters: Sequence[str],
    candidates: Sequence[tuple[Topic, Measure]],
    known: Mapping[str, Measure],
    powers: Mapping[Dimension, int],
) -> dict[str, Topic] | None:
    """What each letter stands for, so that all sides are equal; None where nothing makes it so."""
    if not 0 < len(letters) <= MOST_LETTERS or len(sides) < 2:
        return None
    plain_sides = [without_units(side, powers) for side in sides]
    plain_known = {name: plain(measure) for name, measure in known.items()}
    usable: dict[Fraction, tuple[Topic, Measure]] = {}
    for about, measure in candidates:
        if not in_letters(measure.value) and measure.value != 0:
            usable.setdefault(Fraction(plain(measure).value), (about, plain(measure)))
    tried = list(usable.values())[:MOST_CANDIDATES]
    for chosen in product(tried, repeat=len(letters)):
        values = {n: measure for n, (_, measure) in zip(letters, chosen, strict=True)}
        if not equal(plain_sides, {**plain_known, **values}):
            continue
        if any(
            equal(plain_sides, {**plain_known, **values, n: _changed(values[n])}) for n in letters
        ):
            return None  # so it would be with any value
        return {n: about for n, (about, _) in zip(letters, chosen, strict=True)}
    return None


def _changed(measure: Measure) -> Measure:
    return measure._replace(value=measure.value * Fraction(17, 13))


def equal(sides: Sequence[Expression], values: Mapping[str, Measure]) -> bool:
    """Whether all sides come to one number, as far as rounding goes."""
    try:
        first, *others = (evaluate(side, values).value for side in sides)
    except Refusal:
        return False
    if any(in_letters(each) for each in (first, *others)):
        return False
    return all(_near(sides, values, Fraction(first), Fraction(each)) for each in others)


def equal_in_usual_units(
    sides: Sequence[Expression], values: Mapping[str, Measure], powers: Mapping[Dimension, int]
) -> bool:
    """Whether all sides are equal where every value stands as a plain number in its usual unit."""
    numbers = {name: plain(measure) for name, measure in values.items()}
    return equal([without_units(side, powers) for side in sides], numbers)


def true_of_these_alone(
    sides: Sequence[Expression], values: Mapping[str, Measure], powers: Mapping[Dimension, int]
) -> bool:
    """Whether all sides are equal where every value stands as a plain number in its usual unit,
    and would not be for any others.
    """
    others = {
        name: measure._replace(value=measure.value * (place + 2))
        for place, (name, measure) in enumerate(values.items())
    }
    return (
        len(sides) > 1
        and equal_in_usual_units(sides, values, powers)
        and not equal_in_usual_units(sides, others, powers)
    )


def _near(
    sides: Sequence[Expression], values: Mapping[str, Measure], one: Fraction, other: Fraction
) -> bool:
    size = abs(one)
    if not one or not other:  # a sum that comes to nought, by the size of what is in it
        size = max(abs(Fraction(evaluate(t, values).value)) for s in sides for t in terms_of(s)) / 2
    return abs(one - other) <= NEAR * size


def terms_of(side: Expression) -> Iterable[Expression]:
    """The terms of a sum."""
    if isinstance(side, Op) and side.sign in "+-":
        yield from terms_of(side.left)
        yield from terms_of(side.right)
    else:
        yield side


def plain(measure: Measure) -> Measure:
    """The number alone, in the usual unit."""
    return Measure(measure.value * Fraction(10) ** -measure.power, bare=True)


def without_units(side: Expression, powers: Mapping[Dimension, int]) -> Expression:
    """A side with plain numbers in the usual units in the place of values with units."""

    def alone(part: Expression) -> Expression | None:
        if not isinstance(part, Num) or part.unit is None:
            return None
        shift = part.unit.power - powers[part.unit.dimension]
        return part._replace(unit=None, value=part.value * Fraction(10) ** shift)

    return rewritten(side, alone)
