"""Pictures are read back from their SVG: what joins what, and that no word touches anything."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings

from grammar.reading import read_network
from grammar.records import Amount, Charging, Description, Element, Join, Refusal, Wire
from tests.desk.drawn import Seen, clashes, metal, names, seen
from tests.sampled import some
from tests.strategies import (
    Drawn,
    Written,
    joined_multigraphs,
    multigraphs,
    nested_descriptions,
)
from tutor.circuit.network import Problem, build
from tutor.desk.pictures.canvas import svg
from tutor.desk.pictures.diagram import diagram
from tutor.desk.pictures.pictured import picture_of
from tutor.desk.pictures.views import VIEWS
from tutor.front.commands import main
from tutor.teaching.depicted import as_given

GALLERY = Path(__file__).parents[1] / "cases" / "gallery.txt"
TEXTS = [
    text for text in GALLERY.read_text("utf-8").split("\n\n") if text.strip()
]
TEXTS[0] = TEXTS[0].split("\n", 1)[1]


def check(problem: Problem, picture: Seen) -> None:
    """Everything is there once, and the lines join what the network joins."""
    network = problem.drawn or problem.network
    ends = set(network.ends)
    points = {p for c in network.capacitors for p in (c.start, c.end)}
    points |= {p for wire in problem.wires for p in wire if wire[0] != wire[1]}
    assert names(picture.words, "name") == sorted(c.name for c in network.capacitors)
    assert names(picture.words, "point") == sorted(p for p in points if p[-1] not in "+-")
    plates = Counter(line.of for line in picture.lines if line.part == "plate")
    has_source = plates.pop("supply", 0)
    assert plates == {c.name: 2 for c in network.capacitors}
    joined = metal(picture)
    wired = _wired(problem, points)
    home = {}
    for point in points:
        found = joined[point, 0]
        assert len(found) == 1, f"{point} is in pieces"
        (home[point],) = found
    for one in points:
        for two in points:
            assert (home[one] == home[two]) == (wired[one] == wired[two]), (one, two)
    for c in network.capacitors:
        leads = [joined[c.name, 0], joined[c.name, 1]]
        assert sorted(map(min, leads)) == sorted((home[c.start], home[c.end])), c.name
    if has_source and ends <= points:
        leads = [joined["supply", 0], joined["supply", 1]]
        assert [min(each) for each in leads] == [home[end] for end in network.ends]


def _wired(problem: Problem, points: set[str]) -> dict[str, str]:
    kept = {point: point for point in points}
    for group in problem.joined:
        kept.update(dict.fromkeys(group, group[0]))
    return kept


@pytest.mark.parametrize("text", TEXTS)
def test_picture_of_the_gallery_says_what_the_text_says(text: str) -> None:
    description = read_network(text)
    picture = seen(svg(picture_of(description), "light"))
    assert clashes(picture) == []
    for c in names(picture.words, "name"):
        assert c in picture.alternative
    if "plates" not in text and "?" not in text:
        check(build(description), picture)


def test_gallery_is_large_enough() -> None:
    assert len(TEXTS) >= 40


@settings(max_examples=some(300), deadline=None)
@given(multigraphs(most=12) | joined_multigraphs(loops=False))
def test_any_network_can_be_drawn(drawn: Drawn) -> None:
    edges = [edge for edge in drawn.edges if edge.start != edge.end]
    if not edges:
        return
    description = Description(
        joins=tuple(
            Join(Element(e.name, Amount(e.capacitance)), e.start, e.end) for e in edges
        ),
        wires=tuple(Wire(*wire) for wire in drawn.wires),
        ends=drawn.ends,
        supply=Charging("voltage", Amount(Fraction(12))),
    )
    problem = build(description)
    picture = seen(svg(diagram(as_given(problem))))
    assert clashes(picture) == []
    check(problem, picture)


@settings(max_examples=some(200), deadline=None)
@given(nested_descriptions())
def test_any_nest_can_be_drawn(written: Written) -> None:
    problem = build(written.description)
    picture = seen(svg(diagram(as_given(problem))))
    assert clashes(picture) == []
    check(problem, picture)


@pytest.mark.parametrize("within", ["C5 = 4 uF from R to B", "C8 = 8 uF from R to T"])
def test_planar_networks_are_drawn_without_crossings(within: str) -> None:
    text = next(text for text in TEXTS if within in text)
    assert _crossings(seen(svg(picture_of(read_network(text))))) == 0


def test_cube_across_its_body_has_few_crossings() -> None:
    # with the supply's own line it is not planar: at least one crossing is needed
    text = next(text for text in TEXTS if "C10=1 uF from T to B" in text)
    assert 1 <= _crossings(seen(svg(picture_of(read_network(text))))) <= 2


def _crossings(picture: Seen) -> int:
    wires = [line for line in picture.lines if line.part == "wire"]
    level = [line for line in wires if line.y1 == line.y2]
    upright = [line for line in wires if line.x1 == line.x2]
    return sum(
        min(a.x1, a.x2) + 1 < b.x1 < max(a.x1, a.x2) - 1
        and min(b.y1, b.y2) + 1 < a.y1 < max(b.y1, b.y2) - 1
        for a in level for b in upright
        if not any(j.holds(b.x1, a.y1) for j in picture.joints)
    )


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_keeps_its_words_clear(view: str) -> None:
    for text in ("6 uF -- (9 uF || 5 uF), across 15 V", TEXTS[24], TEXTS[16]):
        picture = seen(svg(picture_of(read_network(text), view), "dark"))  # type: ignore[arg-type]
        assert clashes(picture) == []


def test_heights_are_to_scale() -> None:
    # V_P = 4.5 V of 15 V: the potentials of the README's session, checked there by the nodal method
    picture = seen(svg(picture_of(read_network("6 uF -- (9 uF || 5 uF), across 15 V"), "heights")))
    levels = {
        line.of: line.y2 for line in picture.lines if line.part == "guide" and line.y1 == line.y2
    }
    share = (levels["B"] - levels["P"]) / (levels["B"] - levels["A"])
    assert share == pytest.approx(4.5 / 15)


def test_charged_plates_are_marked() -> None:
    svg_text = svg(picture_of(read_network(TEXTS[24]), "charges"))
    picture = seen(svg_text)
    signs = {(box.of, box.text): box.left for box in picture.words if box.part == "sign"}
    # R is above P there (4.364 V and 3.273 V), and stands left of it: + of C3 is on the left
    assert signs["C3", "+"] < signs["C3", "−"]
    assert "C3, 5 µF, 1.091 V, 5.455 µC, from P to R, + plate at R" in picture.alternative


def test_heights_want_a_supply() -> None:
    with pytest.raises(Refusal, match="need numbers and a supply"):
        picture_of(read_network("4 uF -- 2 uF"), "heights")


def test_command_writes_svg_and_png(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = "4 uF -- (2 uF || 3 uF), across 12 V"
    assert main(["picture", text, "--out", str(tmp_path / "net.png"), "--dark"]) == 0
    assert (tmp_path / "net.png").read_bytes().startswith(b"\x89PNG\r\n")
    assert main(["picture", text]) == 0
    assert capsys.readouterr().out.startswith("<svg xmlns")
    assert main(["picture", text, "--out", "net.gif"]) == 2
    assert "End the name in .svg or in .png." in capsys.readouterr().err


def test_command_draws_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = tmp_path / "nets.txt"
    source.write_text("4 uF -- 2 uF\n\n4 uF -- -- 2 uF\n\n3 uF || 1 uF\n", "utf-8")
    assert main(["picture", "--file", str(source), "--out", str(tmp_path / "out")]) == 1
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == [
        "01.png", "01.svg", "03.png", "03.svg",
    ]
    assert capsys.readouterr().err.startswith("line 3: ")


@pytest.mark.parametrize(
    ("text", "named", "said"),
    [
        ("ladder of (series 2 uF, shunt 4 uF) without end", ["C1", "C1", "C1", "C2", "C2", "C2"],
         "Dots from S to B stand for all that follows."),
        ("ladder of (series C, shunt 2C) without end, across 12 V", ["2C"] * 3 + ["C"] * 3,
         "A supply holds 12 V between A and B"),
        ("bank of 10 uF rated 50 V for 20 uF at 200 V", ["", "", "", ""],
         "Dots stand for more of them in a chain, and for more chains."),
    ],
)
def test_what_goes_on_is_drawn_in_a_few_of_its_parts(
    text: str, named: list[str], said: str
) -> None:
    picture = seen(svg(picture_of(read_network(text)), "light"))
    assert clashes(picture) == []
    assert sorted(name for name in names(picture.words, "name") if name != "…") == named
    assert said in picture.alternative
    with pytest.raises(Refusal):
        picture_of(read_network(text), "steps")
