"""Scripts by chance: right ones in any honest form, ones with one error, and any text at all."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from grammar.reading import read_network
from grammar.writing import write_number
from tests.sampled import some
from tutor.circuit.network import build
from tutor.front.marks import marks_lines
from tutor.front.plain import Page
from tutor.teaching.marking.examining import OPTIONS, read_scheme
from tutor.teaching.marking.marked import Marked
from tutor.teaching.marking.on_network import mark


def marked(network: str, *lines: str) -> Marked:
    return mark(build(read_network(network)), "\n".join(lines))


class Row(NamedTuple):
    """One value of a script: its name, rule in the names, and how the rule is worked out."""

    name: str
    unit: str
    rule: str
    work: Callable[[dict[str, Fraction]], Fraction]
    malrule: Callable[[dict[str, Fraction]], Fraction] | None = None
    turned: str | None = None


class Task(NamedTuple):
    network: str
    given: dict[str, Fraction]
    rows: tuple[Row, ...]


def beside(a: str, b: str, name: str) -> Row:
    return Row(
        name, "uF", f"{a} + {b}", lambda v: v[a] + v[b], lambda v: v[a] * v[b] / (v[a] + v[b])
    )


def chained(a: str, b: str, name: str) -> Row:
    return Row(
        name, "uF", f"{a} * {b}/({a} + {b})", lambda v: v[a] * v[b] / (v[a] + v[b]),
        lambda v: v[a] + v[b], f"1/{a} + 1/{b}",
    )


def charge(name: str, c: str, v: str) -> Row:
    return Row(name, "uC", f"{c} * {v}", lambda w: w[c] * w[v])


def across(name: str, q: str, c: str) -> Row:
    return Row(name, "V", f"{q}/{c}", lambda w: w[q] / w[c])


def tasks() -> st.SearchStrategy[Task]:
    values = st.lists(st.integers(3, 40), min_size=3, max_size=3, unique=True)
    return st.builds(_task, st.integers(0, 2), values, st.integers(5, 30))


def _task(shape: int, values: list[int], supply: int) -> Task:
    a, b, c = values
    known = {"C1": Fraction(a), "C2": Fraction(b), "C3": Fraction(c), "V": Fraction(supply)}
    if shape == 0:
        rows = (
            beside("C2", "C3", "C23"), chained("C1", "C23", "C"), charge("Q", "C", "V"),
            across("V1", "Q", "C1"), across("V23", "Q", "C23"), charge("Q2", "C2", "V23"),
            charge("Q3", "C3", "V23"),
        )
        network = f"{a} uF -- ({b} uF || {c} uF), across {supply} V; asked: C, V1, Q2, Q3"
        return Task(network, known, rows)
    if shape == 1:
        rows = (
            chained("C1", "C2", "C12"), beside("C12", "C3", "C"), charge("Q", "C", "V"),
            charge("Q3", "C3", "V"), charge("Q12", "C12", "V"), across("V1", "Q12", "C1"),
            across("V2", "Q12", "C2"),
        )
        network = f"({a} uF -- {b} uF) || {c} uF, across {supply} V; asked: C, Q, Q3, V1, V2"
        return Task(network, known, rows)
    rows = (
        chained("C1", "C2", "C"), charge("Q", "C", "V"), across("V1", "Q", "C1"),
        across("V2", "Q", "C2"),
    )
    return Task(f"{a} uF -- {b} uF, across {supply} V; asked: C, V1, V2", known, rows)


def shown(value: Fraction, figures: int = 5) -> str:
    """A number as a learner writes it, without groups and signs that need another keyboard."""
    text = write_number(value, figures)[0] if figures == 5 else f"{float(value):.{figures}g}"
    return text.replace(" ", "") if "10^" not in text else text


def numbers(rule: str, values: dict[str, Fraction]) -> str:
    for name in sorted(values, key=len, reverse=True):
        rule = rule.replace(name, shown(values[name]))
    return rule


FORMS = (
    "{name} = {value} {unit}",
    "{name} = {rule} = {value} {unit}",
    "{name} = {numbers} = {value} {unit}",
    "{name} = {rule} = {numbers} = {value} {unit}",
    "so {name} = {numbers}, which is {value} {unit}",
    "- {name} = {numbers} = {value} {unit} (I think)",
    "2) {name} = {rule}\n\n{name} = {value} {unit}",
    "now the next one\n{name}: {value} {unit}",
)


TURNED = (
    "1/{name} = {turned}\n{name} = {value} {unit}",
    "1/{name} = {turned} so {name} = {value} {unit}",
    "{name} = {turned} = {value} {unit}",
    "{name} = 1/({turned}) = {value} {unit}",
)


def typed(value: Fraction, figures: int = 5) -> Fraction:
    """What a number is once it has been written down."""
    return Fraction(shown(value, figures))


@settings(max_examples=some(40), deadline=None)
@given(tasks(), st.data())
def test_a_right_script_in_any_form_gets_full_marks(task: Task, data: st.DataObject) -> None:
    figures = data.draw(st.integers(3, 5))
    values, lines = dict(task.given), []
    for row in task.rows:
        text, turned = (numbers(rule, values) for rule in (row.rule, row.turned or ""))
        right = row.work(values)
        values[row.name] = typed(right, figures)
        form = data.draw(st.sampled_from(FORMS + (TURNED if row.turned else ())))
        lines.append(form.format(
            name=row.name, rule=row.rule, numbers=text, turned=turned, unit=row.unit,
            value=shown(right, figures),
        ))
    found = marked(task.network, *lines)
    assert (found.total, found.first_error) == (found.of, None), lines


@settings(max_examples=some(60), deadline=None)
@given(tasks(), st.data())
def test_one_error_costs_the_marks_of_its_own_line_alone(
    task: Task, data: st.DataObject
) -> None:
    at = data.draw(st.integers(0, len(task.rows) - 1))
    by_malrule = task.rows[at].malrule is not None and data.draw(st.booleans())
    values, lines = dict(task.given), []
    for place, row in enumerate(task.rows):
        text = numbers(row.rule, values)
        right = row.work(values)
        if place == at and by_malrule and row.malrule is not None:
            values[row.name] = typed(row.malrule(values))
            assume(abs(values[row.name] / right - 1) > Fraction(1, 20))
            lines.append(f"{row.name} = {shown(values[row.name])} {row.unit}")
        elif place == at:
            factor = data.draw(st.sampled_from((Fraction(13, 10), Fraction(7, 10))))
            values[row.name] = typed(right * factor)
            assume(values[row.name].denominator > 1 or values[row.name] >= 10)  # not one figure
            lines.append(f"{row.name} = {text} = {shown(values[row.name])} {row.unit}")
        else:
            values[row.name] = typed(right)
            lines.append(f"{row.name} = {text} = {shown(values[row.name])} {row.unit}")
    found = marked(task.network, *lines)
    lost = [line.line for line in found.lines if line.marks.total < line.marks.of]
    assert lost == [at + 1], lines
    assert found.first_error == at + 1
    assert found.of - found.total == (2 if by_malrule else 1)
    wanted = "malrule" if by_malrule else "arithmetic"
    assert found.lines[at].fault == wanted or (
        by_malrule and len(found.lines[at].malrules) == 0 and values[task.rows[at].name] < 10
    )


TOKENS = (  # noqa: SIM905 - far shorter so
    "C1 C2 C23 C32 C C12 Q V V1 Q1 Vp Cp Ct = = = = + - * / ( ) 1 2 3 5 12 2.22 26.7 0 uF uC V nF "
    "J uJ ^2 ½ so therefore , ; : and or in series parallel across on charge voltage p.d. ~~ x · "
    "energy E1 1/ e-6 10^-6 => ∴ the total 1,200 ' \" é \x00 [ ] µF per % ≈ 1) (a) C_2 block V_P "
    "W each -> . the rest"
).split(" ")
NETWORKS = (
    "4 uF -- (2 uF || 3 uF), across 12 V", "3 uF || 6 uF, holding 36 uC; asked: V1", "5 uF",
    "1 nF -- 2 nF -- 3 nF -- (4 nF || (5 nF -- 6 nF)), across 1 kV",
    "C1 = 4 uF from A to P; C2 = 2 uF from P to B; C3 = 3 uF from P to Q; ends A and B; across 6 V",
    "C -- (2C || 3C), across V",
)


@settings(max_examples=some(150), deadline=None)
@given(
    st.sampled_from(NETWORKS),
    st.lists(st.lists(st.sampled_from(TOKENS), max_size=12).map(" ".join) | st.text(max_size=40),
             max_size=4).map("\n".join),
    st.sampled_from(("", *OPTIONS)),
)
def test_anything_typed_gets_one_remark_a_line(network: str, text: str, scheme: str) -> None:
    found = mark(build(read_network(network)), text, read_scheme(scheme))
    assert [line.line for line in found.lines] == list(range(1, len(found.lines) + 1))
    assert sum(line.marks.total for line in found.lines) == found.total <= found.of
    for line in found.lines:
        assert line.remark.strip()
        assert 0 <= line.marks.total <= line.marks.of
    list(marks_lines(found, Page(40)))
