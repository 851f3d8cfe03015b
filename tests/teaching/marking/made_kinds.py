"""More kinds of problems by chance for scripts: what is missing from a total, equal ones, stars,
unknown pairs, layers and fields of plates, ladders, banks, joinings of more than two.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import gcd, isqrt
from random import Random
from typing import Final

from tests.teaching.marking.made_steps import (
    BY_CV,
    BY_QV,
    CAPACITANCE,
    CHARGE,
    FIELD,
    FORCE,
    GAP,
    LAYER,
    MISSING,
    OVER,
    PLATES,
    REST,
    SAME,
    SHARE_V,
    SIGNS,
    SMALLER,
    STAR,
    SUM2,
    TIMES,
    TRIANGLE,
    VOLTAGE,
    VOLTS,
    WORTHS,
    MadeProblem,
    WorkStep,
    added,
    alike,
    chained,
    needed,
    reciprocal,
    whole_numbers,
)


def _known(**given: float) -> dict[str, Fraction]:
    return {key: Fraction(value).limit_denominator(10**9) for key, value in given.items()}


def _missing_in_group(rng: Random) -> MadeProblem:
    """One of three is not told, and the whole is."""
    one, other, sought = rng.sample(WORTHS, 3)
    pair = Fraction(other + sought)
    whole = reciprocal(Fraction(one), pair)
    if whole.denominator not in (1, 2, 4, 5):
        return _missing_in_group(rng)
    text = f"C1 = {one} uF -- (C2 = ? || C3 = {other} uF); C = {float(whole):g} uF"
    steps = (WorkStep("C23", MISSING, ("C", "C1")), WorkStep("C2", REST, ("C23", "C3")))
    given = {"C1": Fraction(one), "C3": Fraction(other), "C": whole}
    return MadeProblem("missing", text, "u", given, steps, ("C2",), {"C23": "||"})


def _supply_sought(rng: Random) -> MadeProblem:
    one, other = rng.sample(WORTHS, 2)
    volts = rng.choice(VOLTS)
    text = f"C1 = {one} uF -- C2 = {other} uF; V1 = {volts} V; find V"
    steps = [WorkStep("Q1", CHARGE, ("C1", "V1"))]
    if rng.random() < 0.5:
        steps += [WorkStep("Q2", SAME, ("Q1",)), WorkStep("V2", VOLTAGE, ("Q2", "C2"))]
        steps.append(WorkStep("V", SUM2, ("V1", "V2")))
    else:
        steps += [WorkStep("C", chained(2), ("C1", "C2")), WorkStep("Q", SAME, ("Q1",))]
        steps.append(WorkStep("V", VOLTAGE, ("Q", "C")))
    groups = {"C": "--"} if any(step.key == "C" for step in steps) else {}
    given = _known(C1=one, C2=other, V1=volts)
    return MadeProblem("network", text, "u", given, tuple(steps), ("V",), groups)


def _one_by_volts(rng: Random) -> MadeProblem:
    one, other = rng.sample(WORTHS, 2)
    volts = rng.choice((10, 20, 30, 50)) * Fraction(one + other, gcd(one, other))
    first = volts * other / (one + other)
    text = f"C1 = {one} uF -- C2 = ?, across {volts} V; V1 = {first} V"
    steps = (
        WorkStep("Q1", CHARGE, ("C1", "V1")), WorkStep("V2", REST, ("V", "V1")),
        WorkStep("C2", CAPACITANCE, ("Q1", "V2")),
    )  # fmt: skip
    given = _known(C1=one, V=volts, V1=first)
    return MadeProblem("missing", text, "u", given, steps, ("C2",), {})


def _equal(rng: Random) -> MadeProblem:
    """Equal ones in a chain, or beside each other."""
    count, worth, volts = rng.choice((2, 3, 3, 4, 5)), rng.choice(WORTHS), rng.choice(VOLTS)
    sign, ends = rng.choice(SIGNS), [str(each) for each in range(1, count + 1)]
    told = f" {sign} ".join(f"C{end} = {worth} uF" for end in ends)
    given = {f"C{end}": Fraction(worth) for end in ends} | {"V": Fraction(volts)}
    by_rule = rng.random() < 0.6
    rule = alike(count, sign) if by_rule else (chained if sign == "--" else added)(count)
    uses = ("C1",) if by_rule else tuple(f"C{end}" for end in ends)
    steps = [WorkStep("C", rule, uses), WorkStep("Q", CHARGE, ("C", "V"))]
    if sign == "--":
        steps += [WorkStep("Q1", SAME, ("Q",))]
        steps += [WorkStep("V1", *rng.choice((
            (VOLTAGE, ("Q1", "C1")), (alike(count, "--"), ("V",)),
        )))]  # fmt: skip
    else:
        steps += [WorkStep("V1", SAME, ("V",)), WorkStep("Q1", CHARGE, ("C1", "V1"))]
    steps.append(WorkStep("E1", BY_QV, ("Q1", "V1")))
    asked = rng.choice(("C", "Q", "Q1", "V1", "E1"))
    text = f"{told}, across {volts} V; asked: {asked}"
    groups = {"C": sign}
    return MadeProblem("network", text, "u", given, needed(steps, (asked,)), (asked,), groups)


def _rows(rng: Random) -> MadeProblem:
    """Rows of equal ones in a chain, beside each other."""
    across, beside, worth = rng.choice((2, 3)), rng.choice((2, 3)), rng.choice(WORTHS)
    ends = iter(range(1, across * beside + 1))
    rows = [[next(ends) for _ in range(across)] for _ in range(beside)]
    told = " || ".join(
        "(" + " -- ".join(f"C{end} = {worth} uF" for end in row) + ")" for row in rows
    )
    row = "".join(str(end) for end in rows[0])
    steps = (
        WorkStep(f"C{row}", alike(across, "--"), ("C1",)),
        WorkStep("C", alike(beside, "||"), (f"C{row}",)),
    )
    given = {f"C{end}": Fraction(worth) for row_ in rows for end in row_}
    groups = {f"C{row}": "--", "C": "||"}
    return MadeProblem("network", told, "u", given, steps, ("C",), groups)


def _point(rng: Random) -> MadeProblem:
    """The potential of the point between two parts of a chain."""
    one, two, three = rng.sample(WORTHS, 3)
    volts = rng.choice(VOLTS)
    text = f"C1 = {one} uF -- (C2 = {two} uF || C3 = {three} uF), across {volts} V; asked: V2"
    steps = [WorkStep("C23", added(2), ("C2", "C3"))]
    if rng.random() < 0.5:
        steps.append(WorkStep("V23", SHARE_V, ("V", "C23", "C1")))
    else:
        steps += [WorkStep("C", chained(2), ("C1", "C23")), WorkStep("Q", CHARGE, ("C", "V"))]
        steps += [WorkStep("V1", VOLTAGE, ("Q", "C1")), WorkStep("V23", REST, ("V", "V1"))]
    groups = {"C23": "||"} | ({"C": "--"} if len(steps) > 2 else {})
    steps.append(WorkStep("V2", SAME, ("V23",)))
    given = _known(C1=one, C2=two, C3=three, V=volts)
    names = {"V23": rng.choice(("V_PB", "V_P", "VP", "potential at P"))}
    return MadeProblem(
        "network", text, "u", given, tuple(steps), ("V2",), groups, names=names
    )


# Two or more that are not told


def _pair(rng: Random) -> MadeProblem:
    one, other = sorted(rng.sample(WORTHS, 2))
    both, chain = one + other, reciprocal(Fraction(one), Fraction(other))
    if chain.denominator not in (1, 2, 4, 5):
        return _pair(rng)
    text = f"C1 = ?; C2 = ?; C1 -- C2 = {float(chain):g} uF; C1 || C2 = {both} uF"
    a, b, product = *rng.choice((("C1", "C2"), ("x", "y"), ("a", "b"))), one * other
    says = [f"{a} + {b} = {both}", f"{a}*{b}/({a} + {b}) = {float(chain):g}"]
    says += [f"{a}*{b} = {float(chain):g} * {both} = {product}"]
    if rng.random() < 0.7:
        says += [f"{b} = {both} - {a}", f"{a}({both} - {a}) = {product}"]
        says += [f"{a}^2 - {both}{a} + {product} = 0".replace(f"{both}C", f"{both} C")]
        says += rng.choice(([f"({a} - {one})({a} - {other}) = 0"], [], []))
        says += [f"{a} = {other} or {one}"]
    else:
        gap = isqrt(both * both - 4 * product)
        says += [f"({a} - {b})^2 = {both}^2 - 4*{product} = {gap * gap}", f"{a} - {b} = {gap}"]
    says += [f"C1 = {other} uF, C2 = {one} uF"]
    return MadeProblem("unknown pair", text, "u", {}, (), (), {}, tuple(says))


def _by_times(rng: Random) -> MadeProblem:
    times, worth = rng.choice((2, 3, 4, 5)), rng.choice(WORTHS)
    sign = rng.choice(SIGNS)
    big = Fraction(worth * times)
    whole = big + worth if sign == "||" else reciprocal(big, Fraction(worth))
    if whole.denominator not in (1, 2, 4, 5):
        return _by_times(rng)
    text = f"C1 = ?; C2 = ?; C1 = {times} C2; C1 {sign} C2 = {float(whole):g} uF"
    x = rng.choice(("x", "C2", "C2"))
    says = [f"let C2 = x, so C1 = {times}x"] if x == "x" else []
    gap = " " if x == "C2" else ""
    if sign == "||":
        says += [f"{times}{gap}{x} + {x} = {float(whole):g}"] * (rng.random() < 0.8)
        says += [f"{times + 1}{gap}{x} = {float(whole):g}"]
    else:
        says += [f"1/C = 1/({times}{gap}{x}) + 1/{x} = {times + 1}/({times}{gap}{x})"]
        says += [f"C = {times}{gap}{x}/{times + 1} = {float(whole):g}"]
    says += [f"{x} = {worth}"] if x == "x" else []
    says += [f"C2 = {worth} uF", f"C1 = {times} * {worth} = {plain_whole(big)} uF"]
    return MadeProblem("unknown pair", text, "u", {}, (), (), {}, tuple(says))


def plain_whole(value: Fraction) -> str:
    """A number without a nought behind its point."""
    return f"{float(value):g}"


def _ladder(rng: Random) -> MadeProblem:
    one, other = rng.sample(WORTHS[:8], 2)
    text = f"ladder of (series {one} uF, shunt {other} uF) without end"
    square = other * other + 4 * one * other
    found = Fraction(isqrt(square * 10**8), 2 * 10**4) - Fraction(other, 2)
    x = rng.choice(("C", "x"))
    worth = f"{float(found):.4g}"
    says = ["adding one more cell changes nothing"] * (rng.random() < 0.3)
    says += rng.choice((
        [f"{x} = {one}({other} + {x})/({one} + {other} + {x})"],
        [f"1/{x} = 1/{one} + 1/({other} + {x})"],
    ))  # fmt: skip
    says += [f"{x}^2 + {other} {x} - {one * other} = 0"] * (rng.random() < 0.8)
    says += [f"{x} = (-{other} + sqrt({other}^2 + 4*{one * other}))/2"] * (rng.random() < 0.6)
    says += [f"{x} = {worth} uF"]
    return MadeProblem("ladder", text, "u", {}, (), (), {}, tuple(says))


def _bank(rng: Random) -> MadeProblem:
    chain, rows = rng.choice((2, 3, 4, 5)), rng.choice((2, 3, 4, 6, 8))
    worth, volts = rng.choice((10, 12, 20, 30, 60)), rng.choice((50, 100, 200))
    each = Fraction(worth, chain)
    whole = each * rows
    if each.denominator not in (1, 2, 4, 5):
        return _bank(rng)
    text = f"bank of {worth} uF rated {volts} V for {float(whole):g} uF at {volts * chain} V"
    said = f"{float(each):g}"
    says = (
        rng.choice((
            f"{volts * chain}/{volts} = {chain} in series",
            f"n = {volts * chain}/{volts} = {chain}",
        )),
        rng.choice((f"{worth}/{chain} = {said} uF", f"each row: {worth} uF/{chain} = {said} uF")),
        rng.choice((
            f"{float(whole):g}/{said} = {rows} rows", f"m = {float(whole):g}/{said} = {rows}",
        )),
        rng.choice((f"{chain} x {rows} = {chain * rows}", f"total {chain * rows} capacitors")),
    )  # fmt: skip
    return MadeProblem("bank", text, "u", {}, (), (), {}, says)


# Stars, triangles, plates


def _star(rng: Random) -> MadeProblem:
    worths = dict(zip("123", rng.sample(WORTHS[:10], 3), strict=True))
    is_star = rng.random() < 0.5
    told = ", ".join(f"{worths[end]} uF" for end in "12") + f" and {worths['3']} uF"
    steps = []
    for one, other, third in rng.sample((("1", "2", "3"), ("2", "3", "1"), ("1", "3", "2")), 3):
        uses = (f"C{one}", f"C{other}", f"C{third}")
        steps.append(WorkStep(f"C{one}{other}", STAR if is_star else TRIANGLE, uses))
    text = f"{'star' if is_star else 'triangle'} of {told}"
    given = {f"C{end}": Fraction(worth) for end, worth in worths.items()}
    keys = tuple(step.key for step in steps)
    names = {key: key for key in keys}
    return MadeProblem("star", text, "u", given, tuple(steps), keys, {}, names=names)


def _metres(area: int, gap: float) -> dict[str, Fraction]:
    return {"A": Fraction(area, 10_000), "d": Fraction(str(gap)) / 1000}


def _layers(rng: Random) -> MadeProblem:
    area = rng.choice((50, 80, 100, 200))
    one, other = rng.sample((2, 3, 4, 5, 6, 8), 2)
    first, second = rng.choice((0.2, 0.4, 0.5)), rng.choice((0.3, 0.6, 1.0))
    text = f"C1 = plates {area} cm2 layers {first} mm of {one}, {second:g} mm of {other}"
    given = {"ka": Fraction(one), "kb": Fraction(other), "A": Fraction(area, 10_000)}
    given |= {"da": Fraction(str(first)) / 1000, "db": Fraction(str(second)) / 1000}
    steps = (
        WorkStep("Ca", LAYER, ("ka", "A", "da")), WorkStep("Cb", LAYER, ("kb", "A", "db")),
        WorkStep("C", chained(2), ("Ca", "Cb")),
    )  # fmt: skip
    says = (f"A = {area / 10_000:g} m2",)
    return MadeProblem("plates", text, "p", given, steps, ("C",), {}, says)


def _field(rng: Random) -> MadeProblem:
    area, gap, volts = rng.choice((50, 80, 100, 200)), rng.choice((1, 2, 4, 5)), rng.choice(VOLTS)
    given = {"k": Fraction(1), "V": Fraction(volts * 10), **_metres(area, gap)}
    text = f"plates {area} cm2 gap {gap} mm, across {volts * 10} V; find field, force"
    steps = (
        WorkStep("f", FIELD, ("V", "d")), WorkStep("C", PLATES, ("k", "A", "d")),
        WorkStep("Q", CHARGE, ("C", "V")), WorkStep("F", FORCE, ("Q", "f")),
    )  # fmt: skip
    says = (f"A = {area / 10_000:g} m2, d = {gap / 1000:g} m",)
    return MadeProblem("plates", text, "p", given, steps, ("f", "F"), {}, says)


def _gap(rng: Random) -> MadeProblem:
    area, filled, worth = rng.choice((50, 100, 300)), rng.choice((2, 3, 4)), rng.choice(WORTHS)
    text = f"C1 = plates {area} cm2 gap ? filled {filled}; C1 = {worth} nF"
    given = {"k": Fraction(filled), "A": Fraction(area, 10_000), "C": Fraction(worth * 1000)}
    steps = (WorkStep("d", GAP, ("k", "A", "C")),)
    says = (f"A = {area / 10_000:g} m2",)
    return MadeProblem("plates", text, "p", given, steps, ("d",), {}, says)


def _half_filled(rng: Random) -> MadeProblem:
    worth, volts = rng.choice((4, 5, 6, 10, 12, 20)), rng.choice(VOLTS)
    filled, part = rng.choice((2, 3, 4, 5)), Fraction(1, 2)
    text = f"{worth} uF, across {volts} V; then fill C1 with {filled} over 1/2 of the gap"
    given = {"C1": Fraction(worth), "V": Fraction(volts), "k": Fraction(filled), "s": part}
    steps = [
        WorkStep("C_air", OVER, ("s", "C1")), WorkStep("C_slab", TIMES, ("k", "C_air")),
        WorkStep("C1'", chained(2), ("C_slab", "C_air")), WorkStep("Q'", CHARGE, ("C1'", "V")),
    ]  # fmt: skip
    sought = ("C1'", "Q'")
    return MadeProblem("changed", text, "u", given, tuple(steps), sought, {})


# Joinings and ratings of more


def _joined_three(rng: Random) -> MadeProblem:
    worths, volts = rng.sample(WORTHS, 3), rng.choice(VOLTS)
    given = {f"C{at}": Fraction(each) for at, each in enumerate(worths, start=1)}
    given["V1"] = Fraction(volts)
    one, two, three = worths
    text = f"C1 = {one} uF charged to {volts} V; C2 = {two} uF; C3 = {three} uF; join C1, C2 and C3"
    steps = (
        WorkStep("Q1", CHARGE, ("C1", "V1")), WorkStep("Ct", added(3), ("C1", "C2", "C3")),
        WorkStep("V'", VOLTAGE, ("Q1", "Ct")), WorkStep("Q1'", CHARGE, ("C1", "V'")),
        WorkStep("Q2'", CHARGE, ("C2", "V'")), WorkStep("Q3'", CHARGE, ("C3", "V'")),
        WorkStep("E", BY_CV, ("C1", "V1")), WorkStep("E'", BY_CV, ("Ct", "V'")),
        WorkStep("heat", REST, ("E", "E'")),
    )  # fmt: skip
    return _asked_of_joined(rng, text, given, steps, ("Q1", "V'", "Q1'", "Q2'", "Q3'", "E", "E'"))


def _rejoined(rng: Random) -> MadeProblem:
    """Two charged in a chain, taken off the supply and joined like to like."""
    one, two = rng.sample(WORTHS, 2)
    volts = rng.choice(VOLTS)
    text = f"{one} uF -- {two} uF, across {volts} V; then remove supply; then join C1 and C2"
    given = _known(C1=one, C2=two, V=volts)
    steps = (
        WorkStep("C", chained(2), ("C1", "C2")), WorkStep("Q", CHARGE, ("C", "V")),
        WorkStep("Q1", SAME, ("Q",)), WorkStep("Q2", SAME, ("Q",)),
        WorkStep("Qt", SUM2, ("Q1", "Q2")), WorkStep("Ct", SUM2, ("C1", "C2")),
        WorkStep("V'", VOLTAGE, ("Qt", "Ct")), WorkStep("E", BY_QV, ("Q", "V")),
        WorkStep("E'", BY_QV, ("Qt", "V'")), WorkStep("heat", REST, ("E", "E'")),
    )  # fmt: skip
    asked = rng.choice(("V'", "E'", "heat"))
    names = {"V'": "V", "E'": "E", "heat": "heat"}
    text += f"; asked: {names[asked]}"
    return MadeProblem("joined", text, "u", given, needed(steps, (asked,)), (asked,), {})


def _asked_of_joined(
    rng: Random,
    text: str,
    given: dict[str, Fraction],
    steps: Sequence[WorkStep],
    everything: tuple[str, ...],
) -> MadeProblem:
    names = {"V'": "V", "Q2'": "Q2", "E'": "E", "heat": "heat"}
    asked = rng.choice((*names, ""))
    text += f"; asked: {names[asked]}" if asked else ""
    sought = (asked,) if asked else everything
    return MadeProblem("joined", text, "u", given, needed(steps, sought), sought, {})


def _rated_more(rng: Random) -> MadeProblem:
    """Three in a chain with their ratings."""
    worths, volts = rng.sample(WORTHS, 3), rng.sample(VOLTS, 3)
    charges = [one * other for one, other in zip(worths, volts, strict=True)]
    if len(set(charges)) < len(charges):
        return _rated_more(rng)
    told = zip(range(1, 4), worths, volts, strict=True)
    text = " -- ".join(f"C{at} = {worth} uF rated {volt} V" for at, worth, volt in told)
    given = whole_numbers([f"C{at}" for at in "123"], worths)
    given |= whole_numbers([f"R{at}" for at in "123"], volts)
    steps = [WorkStep(f"M{at}", CHARGE, (f"C{at}", f"R{at}")) for at in "123"]
    steps.append(WorkStep("Q", SMALLER, ("M1", "M2", "M3")))
    if rng.random() < 0.5:
        steps += [WorkStep("C", chained(3), ("C1", "C2", "C3"))]
        steps += [WorkStep("V", VOLTAGE, ("Q", "C"))]
    else:
        steps += [WorkStep(f"V{at}", VOLTAGE, ("Q", f"C{at}")) for at in "123"]
        steps.append(WorkStep("V", added(3), ("V1", "V2", "V3")))
    return MadeProblem("rated", text, "u", given, tuple(steps), ("V",), {})


MORE_KINDS: Final = (
    _missing_in_group, _supply_sought, _one_by_volts, _equal, _equal, _rows, _point, _pair,
    _by_times, _ladder, _bank, _star, _layers, _field, _gap, _half_filled, _joined_three,
    _rejoined, _rejoined, _rated_more,
)  # fmt: skip
