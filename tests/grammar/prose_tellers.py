"""Ways to tell of a nest of capacitors in prose: each a template that takes any nest it can tell of
so that a fair reader has no choice, and None for every other.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random
from typing import Final, NamedTuple

SERIES: Final = "--"
PARALLEL: Final = "||"


class OneTold(NamedTuple):
    """A capacitor that is told of: its name, and how many of the unit in hand it has."""

    name: str
    worth: int


class SomeTold(NamedTuple):
    """What is joined in one way."""

    sign: str
    parts: tuple[ToldNest, ...]


ToldNest = OneTold | SomeTold


class Voice(NamedTuple):
    """How somebody writes: the unit after a number, nouns for a capacitor, whether by names."""

    unit: str
    nouns: tuple[str, ...]
    named: bool = False  # C1, with the values told apart
    hurried: bool = False


class Teller:
    """One telling: chance, and the voice."""

    def __init__(self, rng: Random, voice: Voice) -> None:
        self.rng, self.voice = rng, voice
        self.noun = rng.choice(voice.nouns)
        self.way = {
            SERIES: rng.choice(("in series", "in series", "one after the other")),
            PARALLEL: rng.choice(("in parallel", "in parallel", "side by side")),
        }

    def pick(self, *texts: str) -> str:
        """One of several wordings."""
        return self.rng.choice(texts)

    def one(self, cap: ToldNest) -> str:
        """A capacitor by its value, or by its name."""
        assert isinstance(cap, OneTold)
        if self.voice.named:
            return cap.name
        number = f"{cap.worth}{self.voice.unit}"
        if self.voice.hurried:
            return number
        article = "an" if str(cap.worth)[0] == "8" or cap.worth in (11, 18) else "a"
        return f"{article} {number}{' ' if self.noun else ''}{self.noun}"

    def several(self, parts: Sequence[ToldNest]) -> str:
        """Capacitors in a list."""
        return in_a_list([self.one(each) for each in parts], self.voice.hurried)


def in_a_list(told: Sequence[str], hurried: bool = False) -> str:
    """``a, b and c``."""
    *most, last = told
    if not most:
        return last
    return " and ".join((" ".join(most) if hurried else ", ".join(most), last))


def is_one(part: ToldNest) -> bool:
    """Whether a part is one capacitor."""
    return isinstance(part, OneTold)


def ones(part: ToldNest) -> list[OneTold]:
    """The capacitors of a nest in order."""
    return [part] if isinstance(part, OneTold) else [c for each in part.parts for c in ones(each)]


def is_flat(part: ToldNest, sign: str = "") -> bool:
    """Whether a part is several capacitors joined in one way."""
    return isinstance(part, SomeTold) and sign in ("", part.sign) and all(map(is_one, part.parts))


def _phrase(tell: Teller, nest: ToldNest) -> str | None:
    """A noun phrase; what holds several stands last in it, and only one part may."""
    if not isinstance(nest, SomeTold):
        return tell.one(nest)
    inner = [each for each in nest.parts if not is_one(each)]
    plain = [tell.one(each) for each in nest.parts if is_one(each)]
    way = "series" if nest.sign == SERIES else "parallel"
    noun = tell.pick("combination", "combination", "connection", "arrangement", "group")
    if len(inner) > 1 or (inner and not plain):
        return None
    last = [_phrase(tell, each) for each in inner]
    if None in last:
        return None
    if inner:
        return f"the {way} {noun} of {in_a_list([*plain, *map(str, last)])}"
    if len(plain) == 2 and tell.rng.random() < 0.3:
        return f"a {way} {tell.pick('pair', 'combination')} of {in_a_list(plain)}"
    return f"the {way} {noun} of {in_a_list(plain)}"


def two_phrases(tell: Teller, nest: SomeTold) -> str | None:
    """``The parallel combination of … is connected in series with …``."""
    if len(nest.parts) != 2 or is_flat(nest):
        return None
    told = [_phrase(tell, each) for each in nest.parts]
    if None in told:
        return None
    verb = tell.pick("connected", "joined", "placed", "put", "wired")
    way = "series" if nest.sign == SERIES else "parallel"
    return f"{told[0]} is {verb} in {way} with {told[1]}"


def followed(tell: Teller, nest: SomeTold) -> str | None:
    """``A is followed by the parallel combination of B and C, and then by D``."""
    told = [_phrase(tell, each) for each in nest.parts]
    if None in told or nest.sign != SERIES:
        return None
    first, *rest = map(str, told)
    joint = tell.pick(", and then by ", ", which is followed by ", ", then by ")
    return f"{first} is followed by {joint.join(rest)}"


def _branch(tell: Teller, part: ToldNest) -> str:
    """What a branch has."""
    if is_one(part):
        return tell.pick("only ", "just ", "") + tell.one(part)
    assert isinstance(part, SomeTold)
    return f"{tell.several(part.parts)} {tell.way[part.sign]}"


def _has_branches(nest: ToldNest) -> bool:
    """Whether these can be told as two or three branches, each one or a row."""
    if not isinstance(nest, SomeTold) or nest.sign != PARALLEL or is_flat(nest):
        return False
    return len(nest.parts) < 4 and all(is_one(e) or is_flat(e, SERIES) for e in nest.parts)


def _branches(tell: Teller, nest: SomeTold) -> str:
    many = {2: "two", 3: "three"}[len(nest.parts)]
    noun = tell.pick("branches", "branches", "paths", "arms")
    each = in_a_list([f"one with {_branch(tell, part)}" for part in nest.parts])
    return f"{many} {noun} in parallel, {each}"


def branches(tell: Teller, nest: SomeTold) -> str | None:
    """``two branches in parallel, one with … and one with …``."""
    return f"there are {_branches(tell, nest)}" if _has_branches(nest) else None


def branches_by_place(tell: Teller, nest: SomeTold) -> str | None:
    """``the upper branch has …, the lower branch …``."""
    if not _has_branches(nest) or len(nest.parts) != 2:
        return None
    first, second = tell.rng.choice((("upper", "lower"), ("first", "second"), ("left", "right")))
    has = tell.pick("has", "contains", "consists of", "holds")
    told = [_branch(tell, part) for part in nest.parts]
    lead = tell.pick("two branches are in parallel. ", "there are two parallel branches. ")
    stop = tell.pick("; ", ", and ", ". ")
    rest = f"the {first} branch {has} {told[0]}{stop}the {second} branch {has} {told[1]}"
    return lead + rest


def branches_within(tell: Teller, nest: SomeTold) -> str | None:
    """``A is followed by two branches in parallel, one with …, and then by D``."""
    forks = [at for at, each in enumerate(nest.parts) if _has_branches(each)]
    fits = len(forks) == 1 and len(ones(nest)) - len(ones(nest.parts[forks[0]])) == (
        len(nest.parts) - 1
    )
    if nest.sign != SERIES or not fits or forks[0] == 0:
        return None
    fork = nest.parts[forks[0]]
    assert isinstance(fork, SomeTold)
    before, after = nest.parts[: forks[0]], nest.parts[forks[0] + 1 :]
    row = [
        *(tell.one(e) for e in before), _branches(tell, fork), *(tell.one(e) for e in after)
    ]  # fmt: skip
    if tell.rng.random() < 0.4:
        return (
            f"first comes {', then '.join(row[:-1])}, and {'finally'} {row[-1]}"
            if after
            else (f"first comes {', then '.join(row)}")
        )
    return f"{row[0]} is followed by {', and then by '.join(row[1:])}"


def step_by_step(tell: Teller, nest: SomeTold) -> str | None:
    """``A and B are in parallel. This combination is then connected in series with C.``"""
    levels = _onion(nest)
    if levels is None:
        return None
    core, *outer = levels
    verb = tell.pick("connected", "joined", "placed", "put")
    told = [f"{tell.several(core[1])} are {verb} {tell.way[core[0]]}"]
    for sign, parts in outer:
        if sign == PARALLEL and len(parts) > 1:
            return None
        told.append(_one_more(tell, sign, parts, verb, is_last=len(told) > 1))
    return ". ".join(told)


def _one_more(tell: Teller, sign: str, parts: Sequence[ToldNest], verb: str, is_last: bool) -> str:
    whole = tell.pick("the whole of this", "all of this", "the whole combination")
    that = whole if is_last else tell.pick("this combination", "this group", "the result", "these")
    way = "in series" if sign == SERIES else "in parallel"
    more = tell.several(parts)
    are = "are" if that == "these" else "is"
    if tell.rng.random() < 0.3:
        return f"{way} with {that} {'are' if len(parts) > 1 else 'is'} {more}"
    return f"{that} {are} {tell.pick('then ', '')}{verb} {way} with {more}"


def _onion(nest: ToldNest) -> list[tuple[str, tuple[ToldNest, ...]]] | None:
    """The levels of a nest from inside out, where each holds one inner group at most."""
    if not isinstance(nest, SomeTold):
        return None
    inner = [each for each in nest.parts if not is_one(each)]
    if len(inner) > 1:
        return None
    plain = tuple(each for each in nest.parts if is_one(each))
    if not inner:
        return [(nest.sign, plain)]
    below = _onion(inner[0])
    return None if below is None else [*below, (nest.sign, plain)]


def in_one_go(tell: Teller, nest: SomeTold) -> str | None:
    """``A and B in parallel, then in series with C, and all of that in parallel with D``."""
    levels = _onion(nest)
    if levels is None or any(sign == PARALLEL and len(p) > 1 for sign, p in levels[1:]):
        return None
    (sign, parts), *outer = levels
    told = [f"{tell.several(parts)} {tell.way[sign]}"]
    for sign, parts in outer:
        way = "in series" if sign == SERIES else "in parallel"
        more = tell.several(parts)
        if len(told) == 1:
            told.append(tell.pick(f"then {way} with {more}", f"this {way} with {more}"))
        else:
            told.append(
                tell.pick(
                    f"and all of that {way} with {more}",
                    f"and {way} with all of that {more}",
                    f"then the whole lot {way} with {more}",
                )
            )
    return (" " if tell.voice.hurried else ", ").join(told)


def _stages(nest: SomeTold) -> bool:
    """Whether this is a row in which each is one, or several side by side."""
    parts = nest.parts
    some = any(not is_one(each) for each in parts)
    return nest.sign == SERIES and some and all(is_one(e) or is_flat(e, PARALLEL) for e in parts)


def from_first_to_last(tell: Teller, nest: SomeTold) -> str | None:
    """``first comes A, then B and C side by side, then D``."""
    if not _stages(nest):
        return None
    told = [_stage(tell, each) for each in nest.parts]
    then = tell.pick("then ", "after that ", "next ", "then after it ")
    lead = tell.pick("first comes ", "first ", "from left to right: first ", "at the left is ")
    return f"{lead}{f', {then}'.join(told)}"


def _stage(tell: Teller, part: ToldNest) -> str:
    if is_one(part):
        return tell.one(part)
    assert isinstance(part, SomeTold)
    several = tell.several(part.parts)
    if len(part.parts) == 2 and tell.rng.random() < 0.4:
        return f"a pair {several} {tell.way[PARALLEL]}"
    return f"{several} {tell.way[PARALLEL]}"


def between_wires(tell: Teller, nest: SomeTold) -> str | None:
    """``A and B both go from the left wire to the middle wire, C from there to the right wire``."""
    if not _stages(nest) or len(nest.parts) != 2:
        return None
    noun = tell.pick("wire", "wire", "junction", "rail")
    told = []
    for (start, end), part in zip(
        (("left", "middle"), ("middle", "right")), nest.parts, strict=True
    ):
        caps = ones(part)
        many = len(caps) > 1
        verb = tell.pick("go", "run", "lead") + ("" if many else "es")
        verb = verb.replace("runes", "runs").replace("leades", "leads")
        both = {1: "", 2: tell.pick("both ", ""), 3: tell.pick("all ", "")}.get(len(caps), "")
        told.append(
            f"{tell.several(caps)} {both}{verb} from the {start} {noun} to the {end} {noun}"
        )
    return tell.pick(", and ", ". ", "; ").join(told)


def top_and_below(tell: Teller, nest: SomeTold) -> str | None:
    """``A on top and B below it, both from the left wire to the middle wire, …``."""
    if not _stages(nest) or len(nest.parts) != 2 or len(ones(nest)) != 3 or is_one(nest.parts[0]):
        return None
    a, b, c = ones(nest)
    return tell.pick(
        f"{tell.one(a)} on top and {tell.one(b)} below it, both go from the left wire to the "
        f"middle wire, and from the middle wire {tell.one(c)} goes to the right wire",
        f"{tell.one(a)} above and {tell.one(b)} under it join the left dot to the middle dot; "
        f"{tell.one(c)} joins the middle dot to the right dot",
        f"left part: {tell.one(a)} with {tell.one(b)} below it, in parallel. right part: "
        f"{tell.one(c)}. the two parts are in series",
    )


def between_junctions(tell: Teller, nest: SomeTold) -> str | None:
    """``between the first and the second junction …``."""
    order = ("first", "second", "third", "fourth", "fifth")
    if not _stages(nest) or len(nest.parts) > 4:
        return None
    told = []
    for at, part in enumerate(nest.parts):
        caps = ones(part)
        verb = tell.pick("are", "there are") if len(caps) > 1 else tell.pick("is", "there is")
        side = f" {tell.way[PARALLEL]}" if len(caps) > 1 else ""
        told.append(
            f"between the {order[at]} and the {order[at + 1]} junction {verb} "
            f"{tell.several(caps)}{side}"
        )
    return tell.pick(", ", "; ", ". ").join(told)


def between_points(tell: Teller, nest: SomeTold) -> str | None:
    """``A is connected between P and R``."""
    if not _stages(nest) or len(nest.parts) > 4:
        return None
    points = ["A", *("P", "R", "S")[: len(nest.parts) - 1], "B"]
    told = []
    for at, part in enumerate(nest.parts):
        caps = ones(part)
        are = "is" if len(caps) == 1 else tell.pick("are", "are both" if len(caps) == 2 else "are")
        told.append(
            f"{tell.several(caps)} {are} {tell.pick('connected between', 'between')} "
            f"{points[at]} and {points[at + 1]}"
        )
    return tell.pick(", ", "; ", ". ").join(told)


def over_some(tell: Teller, nest: SomeTold) -> str | None:
    """``A and B are in series, and C is connected across both``."""
    levels = _onion(nest)
    if levels is None or len(levels) != 2 or levels[1][0] != PARALLEL or len(levels[1][1]) > 1:
        return None
    core, outer = levels
    over = "both" if len(core[1]) == 2 else "all of them"
    verb = tell.pick("is connected", "is placed", "goes", "hangs")
    return (
        f"{tell.several(core[1])} are {tell.way[SERIES]}, and {tell.several(outer[1])} "
        f"{verb} across {tell.pick(over, 'the whole chain', 'the whole row')}"
    )


def groups_lettered(tell: Teller, nest: SomeTold) -> str | None:
    """``Group X is A and B in parallel. Group Y is …. X and Y are in series.``"""
    groups = [each for each in nest.parts if not is_one(each)]
    if not groups or not all(map(is_flat, groups)) or len(groups) > 3:
        return None
    noun = tell.pick("group", "block", "part")
    letters = dict(zip(groups, "XYZ", strict=False))
    told = []
    for group, letter in letters.items():
        assert isinstance(group, SomeTold)
        told.append(f"{noun} {letter} is {tell.several(group.parts)} {tell.way[group.sign]}")
    names = [f"{noun} {letters[e]}" if e in letters else tell.one(e) for e in nest.parts]
    told.append(f"{in_a_list(names)} are connected {tell.way[nest.sign]}")
    return ". ".join(told)


def flat(tell: Teller, nest: SomeTold) -> str | None:
    """``A, B and C are connected in parallel``."""
    if not is_flat(nest):
        return None
    joined = tell.pick("connected ", "", "joined ", "wired ")
    return f"{tell.several(nest.parts)} are {joined}{tell.way[nest.sign]}"


TELLERS: Final[tuple[Callable[[Teller, SomeTold], str | None], ...]] = (
    two_phrases, followed, branches, branches_by_place, branches_within, step_by_step, in_one_go,
    from_first_to_last, between_wires, top_and_below, between_junctions, between_points, over_some,
    groups_lettered, flat,
)  # fmt: skip
