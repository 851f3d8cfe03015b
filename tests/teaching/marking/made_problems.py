"""Problems by chance for scripts, each with the steps to what it asks, in exact numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from random import Random
from typing import Final, NamedTuple

from tests.teaching.marking.made_kinds import MORE_KINDS
from tests.teaching.marking.made_steps import (
    BY_CV,
    BY_QC,
    BY_QV,
    CAPACITANCE,
    CHARGE,
    MISSING,
    OVER,
    PLATES,
    PLATES_IN_AIR,
    REST,
    ROOT,
    SAME,
    SHARE_Q,
    SHARE_V,
    SIGNS,
    SMALLER,
    SUM2,
    TIMES,
    VOLTAGE,
    VOLTS,
    WORTHS,
    MadeProblem,
    Values,
    WorkStep,
    added,
    chained,
    needed,
    reciprocal,
)


def made_problems(seed: int) -> Iterator[MadeProblem]:
    """Problems without end."""
    rng = Random(seed)
    while True:
        yield rng.choice(KINDS)(rng)


def _whole(*numbers: int) -> list[Fraction]:
    return [Fraction(each) for each in numbers]


def _energy(rng: Random, end: str, of: str) -> WorkStep:
    """The energy of one, or of the whole, by whatever relation."""
    rule, uses = rng.choice(((BY_CV, "CV"), (BY_QV, "QV"), (BY_QC, "QC")))
    return WorkStep(f"E{end}", rule, tuple(f"{each}{of}" for each in uses))


# Networks that series and parallel settle


class _Node(NamedTuple):
    end: str  # what its names end with: 23 for C23, nothing for the whole
    sign: str = ""
    parts: tuple[_Node, ...] = ()


def _nest(rng: Random) -> MadeProblem:
    unit = rng.choice("uunp")
    size = rng.choice((2, 2, 3, 3, 3, 4, 4, 5))
    tree = _tree(rng, range(1, size + 1), rng.choice(SIGNS))._replace(end="")
    worths = rng.sample(WORTHS, size)
    given = {f"C{at}": Fraction(worth) for at, worth in enumerate(worths, start=1)}
    text = _in_signs(tree, given, unit)
    groups: dict[str, str] = {}
    steps = list(_combined(tree, groups))
    supply = rng.choice(("V", "V", "V", "Q", ""))
    if not supply:
        return MadeProblem("network", text, unit, given, tuple(steps), ("C",), groups)
    given[supply] = Fraction(rng.choice(VOLTS) * (rng.choice((4, 12)) if supply == "Q" else 1))
    if supply == "V":
        text += f", across {given['V']} V"
        steps.append(WorkStep("Q", CHARGE, ("C", "V")))
    else:
        text += f", holding {given['Q']} {unit}C"
        steps.append(WorkStep("V", VOLTAGE, ("Q", "C")))
    steps += _shared_out(rng, tree, rng.random() < 0.5)
    ends = [each.end for each in _leaves(tree)]
    asked: tuple[str, ...] = ()
    if rng.random() < 0.75:
        steps += (_energy(rng, end, end) for end in ("", *ends))
        open_ = [step.key for step in steps if step.key not in groups or step.key == "C"]
        open_ = [key for key in open_ if key[1:] in ("", *ends)]
        asked = tuple(rng.sample(open_, rng.choice((1, 1, 1, 2))))
        text += f"; asked: {', '.join(asked)}"
    sought = asked or ("C", "Q", "V", *(f"{each}{end}" for each in "QV" for end in ends))
    return MadeProblem("network", text, unit, given, needed(steps, sought), sought, groups)


def _tree(rng: Random, numbers: Sequence[int], sign: str) -> _Node:
    end = "".join(str(each) for each in numbers)
    if len(numbers) == 1:
        return _Node(end)
    cuts = sorted(rng.sample(range(1, len(numbers)), rng.randint(1, min(len(numbers) - 1, 2))))
    parts = (numbers[a:b] for a, b in zip((0, *cuts), (*cuts, len(numbers)), strict=True))
    other = SIGNS[sign == SIGNS[0]]
    return _Node(end, sign, tuple(_tree(rng, part, other) for part in parts))


def _leaves(node: _Node) -> Iterator[_Node]:
    if not node.parts:
        yield node
    for part in node.parts:
        yield from _leaves(part)


def _in_signs(node: _Node, given: Values, unit: str) -> str:
    if not node.parts:
        return f"C{node.end} = {given[f'C{node.end}']} {unit}F"
    inner = (_in_signs(part, given, unit) for part in node.parts)
    bracketed = (
        f"({each})" if f" {SIGNS[0]} " in each or f" {SIGNS[1]} " in each else each
        for each in inner
    )
    return f" {node.sign} ".join(bracketed)


def _combined(node: _Node, groups: dict[str, str]) -> Iterator[WorkStep]:
    for part in node.parts:
        yield from _combined(part, groups)
    if node.parts:
        groups[f"C{node.end}"] = node.sign
        rule = (chained if node.sign == "--" else added)(len(node.parts))
        yield WorkStep(f"C{node.end}", rule, tuple(f"C{part.end}" for part in node.parts))


def _shared_out(rng: Random, node: _Node, at_once: bool) -> Iterator[WorkStep]:
    """What the parts of a group hold; ``at_once``: from what they share, which is not written."""
    shares, adds = "QV" if node.sign == "--" else "VQ"
    for part in node.parts:
        yield WorkStep(f"{shares}{part.end}", SAME, (f"{shares}{node.end}",))
    for at, part in enumerate(node.parts):
        shared = f"{shares}{node.end if at_once else part.end}"
        key, own, whole = f"{adds}{part.end}", f"C{part.end}", f"{adds}{node.end}"
        other = node.parts[1 - at].end if len(node.parts) == 2 else None
        way = rng.random() if other is not None else 0
        if way > 0.8 and at == 1:
            yield WorkStep(key, REST, (whole, f"{adds}{other}"))
        elif way > 0.6:
            rule = SHARE_V if adds == "V" else SHARE_Q
            yield WorkStep(key, rule, (whole, own, f"C{other}"))
        elif adds == "V":
            yield WorkStep(key, VOLTAGE, (shared, own))
        else:
            yield WorkStep(key, CHARGE, (own, shared))
    for part in node.parts:
        if part.parts:
            yield from _shared_out(rng, part, at_once)


# Other kinds


def _joined(rng: Random) -> MadeProblem:
    one, other = rng.sample(WORTHS, 2)
    first, second = rng.sample(VOLTS, 2)
    is_charged = rng.random() < 0.4
    crossed = is_charged and one * first > other * second and rng.random() < 0.6
    given = dict(zip(("C1", "C2", "V1"), _whole(one, other, first), strict=True))
    steps = [WorkStep("Q1", CHARGE, ("C1", "V1"))]
    total, text = "Q1", f"C1 = {one} uF charged to {first} V; C2 = {other} uF"
    if is_charged:
        given["V2"], total = Fraction(second), "Qt"
        text += f" charged to {second} V"
        steps.append(WorkStep("Q2", CHARGE, ("C2", "V2")))
        steps.append(WorkStep("Qt", REST if crossed else SUM2, ("Q1", "Q2")))
        steps += [WorkStep("E1", BY_CV, ("C1", "V1")), WorkStep("E2", BY_CV, ("C2", "V2"))]
        steps.append(WorkStep("E", SUM2, ("E1", "E2")))
    else:
        steps.append(WorkStep("E", *rng.choice(((BY_CV, ("C1", "V1")), (BY_QV, ("Q1", "V1"))))))
    energy = rng.choice(((BY_CV, ("Ct", "V'")), (BY_QV, (total, "V'"))))
    steps += [
        WorkStep("Ct", SUM2, ("C1", "C2")), WorkStep("V'", VOLTAGE, (total, "Ct")),
        WorkStep("Q1'", CHARGE, ("C1", "V'")), WorkStep("Q2'", CHARGE, ("C2", "V'")),
        WorkStep("E'", *energy), WorkStep("heat", REST, ("E", "E'")),
    ]  # fmt: skip
    text += f"; join C1 and C2{' crossed' if crossed else ''}"
    asked = rng.choice((("V'",), ("Q1'",), ("Q2'",), ("heat",), ("E'",), ()))
    if asked:
        names = {"V'": "V", "Q1'": "Q1", "Q2'": "Q2", "E'": "E", "heat": "heat"}
        text += f"; asked: {names[asked[0]]}"
    sought = asked or ("Q1", "E", "V'", "Q1'", "Q2'", "E'", *(("Q2",) if is_charged else ()))
    says = ("the charge on the joined plates cannot change",) if not asked else ()
    return MadeProblem("joined", text, "u", given, needed(steps, sought), sought, {}, says)


def _changed(rng: Random) -> MadeProblem:
    unit = rng.choice("unp")
    worth, volts = rng.choice(WORTHS), rng.choice(VOLTS)
    times = rng.choice((Fraction(2), Fraction(5, 2), Fraction(3), Fraction(4), Fraction(5)))
    fills, stays_on = rng.random() < 0.7, rng.random() < 0.5
    times = times if fills else Fraction(2)
    given = {"C1": Fraction(worth), "V": Fraction(volts), "k": times}
    change = f"fill C1 with {float(times):g}" if fills else "gap of C1 doubled"
    off = "" if stays_on else "; then remove supply"
    steps = [
        WorkStep("Q", CHARGE, ("C1", "V")),
        WorkStep("E", *rng.choice(((BY_CV, ("C1", "V")), (BY_QV, ("Q", "V"))))),
    ]
    steps.append(WorkStep("C1'", TIMES if fills else OVER, ("k", "C1")))
    if stays_on:
        steps.append(WorkStep("Q'", CHARGE, ("C1'", "V")))
        steps.append(WorkStep("E'", *rng.choice(((BY_CV, ("C1'", "V")), (BY_QV, ("Q'", "V"))))))
    else:
        steps.append(WorkStep("V'", VOLTAGE, ("Q", "C1'")))
        steps.append(WorkStep("E'", *rng.choice(((BY_QC, ("Q", "C1'")), (BY_QV, ("Q", "V'"))))))
    last = "Q" if stays_on else "V"
    asked = rng.choice((f"{last}'", "E'", "", ""))
    text = f"{worth} {unit}F, across {volts} V{off}; then {change}"
    text += f"; asked: {asked[0]}" if asked else ""
    sought = (asked,) if asked else ("Q", "E", "C1'", f"{last}'", "E'")
    stays = (
        "the p.d. stays the same, the supply is still there"
        if stays_on
        else "the charge stays the same, it cannot get away"
    )
    says = () if asked else ("the supply sets the p.d.", stays)
    return MadeProblem("changed", text, unit, given, needed(steps, sought), sought, {}, says)


def _plates(rng: Random) -> MadeProblem:
    area, gap, volts = (
        rng.choice((20, 40, 50, 80, 120, 200)),
        rng.choice((1, 2, 4, 5)),
        rng.choice(VOLTS),
    )
    filled = rng.choice((1, 1, 2, 3, 4))
    given = {
        "k": Fraction(filled),
        "A": Fraction(area, 10_000),
        "d": Fraction(gap, 1000),
        "V": Fraction(volts),
    }
    steps = (
        WorkStep("C", PLATES if filled > 1 else PLATES_IN_AIR, ("k", "A", "d")[filled == 1 :]),
        WorkStep("Q", CHARGE, ("C", "V")),
        WorkStep("E", BY_CV, ("C", "V")),
    )
    says = (f"A = {area / 10_000:g} m2, d = {gap / 1000:g} m",)
    filling = f" filled {filled}" if filled > 1 else ""
    text = f"C1 = plates {area} cm2 gap {gap} mm{filling}, across {volts} V"
    asked = rng.choice((("C",), ("Q",), ("E",), ()))
    text += f"; asked: {asked[0]}" if asked else ""
    sought = asked or ("C", "Q", "E")
    return MadeProblem("plates", text, "p", given, needed(steps, sought), sought, {}, says)


def _rated(rng: Random) -> MadeProblem:
    one, other = rng.sample(WORTHS, 2)
    first, second = rng.sample(VOLTS, 2)
    if one * first == other * second:
        return _rated(rng)
    given = dict(zip(("C1", "C2", "R1", "R2"), _whole(one, other, first, second), strict=True))
    text = f"C1 = {one} uF rated {first} V -- C2 = {other} uF rated {second} V"
    steps = [WorkStep("M1", CHARGE, ("C1", "R1")), WorkStep("M2", CHARGE, ("C2", "R2"))]
    steps.append(WorkStep("Q", SMALLER, ("M1", "M2")))
    if rng.random() < 0.5:
        steps += [WorkStep("C", chained(2), ("C1", "C2")), WorkStep("V", VOLTAGE, ("Q", "C"))]
    else:
        steps += [WorkStep("V1", VOLTAGE, ("Q", "C1")), WorkStep("V2", VOLTAGE, ("Q", "C2"))]
        steps.append(WorkStep("V", SUM2, ("V1", "V2")))
    says = (
        "same charge on both",
        f"C{1 if one * first < other * second else 2} reaches its rating first",
    )
    return MadeProblem("rated", text, "u", given, tuple(steps), ("V",), {}, says)


def _missing(rng: Random) -> MadeProblem:
    one, other = rng.sample(WORTHS, 2)
    sign = rng.choice(SIGNS)
    whole = reciprocal(*_whole(one, other)) if sign == "--" else Fraction(one + other)
    if whole.denominator not in (1, 2, 4, 5):
        return _missing(rng)
    given = {"C1": Fraction(one), "C": whole}
    text = f"C1 = {one} uF {sign} C2 = ?; C = {float(whole):g} uF"
    step = WorkStep("C2", *((MISSING, ("C", "C1")) if sign == "--" else (REST, ("C", "C1"))))
    says = (
        ("same charge on both", "1/C = 1/C1 + 1/C2")
        if sign == "--"
        else ("same p.d. across both", "C = C1 + C2")
    )
    return MadeProblem("missing", text, "u", given, (step,), ("C2",), {}, says)


def _from_energy(rng: Random) -> MadeProblem:
    worth, volts = rng.choice(WORTHS), rng.choice(VOLTS)
    energy = Fraction(worth * volts * volts, 2)
    text = f"{worth} uF; E = {float(energy):g} uJ; find V, Q"
    steps = (WorkStep("V", ROOT, ("E", "C")), WorkStep("Q", CHARGE, ("C", "V")))
    given = {"C": Fraction(worth), "E": energy}
    return MadeProblem("from energy", text, "u", given, steps, ("V", "Q"))


def _bridge(rng: Random) -> MadeProblem:
    a, b, c, d, e = rng.sample(WORTHS[:8], 5)
    volts = rng.choice(VOLTS)
    one, other = _potentials((a, b, c, d, e), volts)
    if one == other or max(one.denominator, other.denominator) > 2:
        return _bridge(rng)
    given = {f"C{at}": Fraction(each) for at, each in enumerate((a, b, c, d, e), start=1)}
    given |= {"V": Fraction(volts), "V_P": one, "V_R": other}
    text = (
        f"C1 = {a} uF from A to P; C2 = {b} uF from P to B; C3 = {c} uF from A to R; "
        f"C4 = {d} uF from R to B; C5 = {e} uF from P to R; ends A and B; across {volts} V"
    )
    high, low = ("V_P", "V_R") if one > other else ("V_R", "V_P")
    steps = [
        WorkStep("V1", REST, ("V", "V_P")), WorkStep("Q1", CHARGE, ("C1", "V1")),
        WorkStep("V3", REST, ("V", "V_R")), WorkStep("Q3", CHARGE, ("C3", "V3")),
        WorkStep("Q", SUM2, ("Q1", "Q3")), WorkStep("C", CAPACITANCE, ("Q", "V")),
        WorkStep("V5", REST, (high, low)), WorkStep("Q5", CHARGE, ("C5", "V5")),
    ]  # fmt: skip
    asked = rng.choice(("C", "Q", "V5", "Q5"))
    says = _balances(rng, (a, b, c, d, e), volts, (one, other))
    text += f"; asked: {asked}"
    return MadeProblem("bridge", text, "u", given, needed(steps, (asked,)), (asked,), {}, says)


def _potentials(caps: Sequence[int], volts: int) -> tuple[Fraction, Fraction]:
    """Of P and R, by the rule of determinants."""
    a, b, c, d, e = caps
    p, r = a + b + e, c + d + e
    of_all = Fraction(p * r - e * e)
    return (a * volts * r + e * c * volts) / of_all, (c * volts * p + e * a * volts) / of_all


def _balances(
    rng: Random, caps: Sequence[int], volts: int, found: tuple[Fraction, Fraction]
) -> tuple[str, ...]:
    a, b, c, d, e = caps
    p, r = rng.choice((("V_P", "V_R"), ("P", "R"), ("x", "y"), ("VP", "VR")))
    lines = [f"{p} and {r} are the potentials at P and R, B is 0"] if p == "x" else []
    if rng.random() < 0.5:
        lines += [
            f"at P: {a}({volts} - {p}) = {b}{p} + {e}({p} - {r})",
            f"at R: {c}({volts} - {r}) + {e}({p} - {r}) = {d}{r}",
        ]
    else:
        lines += [
            f"{a}({p} - {volts}) + {b}{p} + {e}({p} - {r}) = 0",
            f"{c}({r} - {volts}) + {d}{r} + {e}({r} - {p}) = 0",
        ]
    if rng.random() < 0.7:
        lines += [
            f"{a + b + e}{p} - {e}{r} = {a * volts}",
            f"{c + d + e}{r} - {e}{p} = {c * volts}",
        ]
    one, other = (f"{float(each):g}" for each in found)
    return (*lines, f"{p} = {one} V, {r} = {other} V")


def _balanced(rng: Random) -> MadeProblem:
    a, c = rng.sample(WORTHS[:8], 2)
    times, e, volts = rng.choice((2, 3)), rng.choice(WORTHS[:8]), rng.choice(VOLTS)
    b, d = a * times, c * times
    given = {f"C{at}": Fraction(each) for at, each in enumerate((a, b, c, d), start=1)}
    given["V"] = Fraction(volts)
    text = (
        f"C1 = {a} uF from A to P; C2 = {b} uF from P to B; C3 = {c} uF from A to R; "
        f"C4 = {d} uF from R to B; C5 = {e} uF from P to R; ends A and B; across {volts} V"
    )
    by_rows = rng.random() < 0.5
    first, last = (chained(2), added(2)) if by_rows else (added(2), chained(2))
    one, other = ("12", "34") if by_rows else ("13", "24")
    steps = (
        WorkStep(f"C{one}", first, tuple(f"C{each}" for each in one)),
        WorkStep(f"C{other}", first, tuple(f"C{each}" for each in other)),
        WorkStep("C", last, (f"C{one}", f"C{other}")), WorkStep("Q", CHARGE, ("C", "V")),
    )  # fmt: skip
    signs = SIGNS if by_rows else SIGNS[::-1]
    groups = {f"C{one}": signs[0], f"C{other}": signs[0], "C": signs[1]}
    asked = rng.choice("CQ")
    says = (rng.choice((
        f"{a}/{b} = {c}/{d}, so the bridge is balanced and C5 holds nothing",
        f"C1/C2 = C3/C4 = 1/{times}: balanced, C5 can be left out",
        f"balanced because {a} * {d} = {b} * {c}",
        "P and R are at the same potential so no charge on C5",
    )),)  # fmt: skip
    text += f"; asked: {asked}"
    return MadeProblem("balanced", text, "u", given, needed(steps, asked), (asked,), groups, says)


KINDS: Final = (
    *(_nest,) * 10, *(_joined,) * 3, *(_changed,) * 3, _plates, _rated,
    _missing, _from_energy, _bridge, _balanced, *MORE_KINDS,
)  # fmt: skip
