"""Items for other programs, held to the rules of the standard, and answered by a second reader.

The rules are those of the published QTI 3.0 Assessment, Section and Item information model and its
XML binding (1EdTech, 2022). Its schema may not be handed on and is in no package registry. In
November 2026 543 items (of all 34 lessons, of papers and of problems in stages) with their
manifests were found valid against two published schemas of 1EdTech: the ASI binding of QTI 3.0 in
its SBAC profile (final release of 1 May 2022, ``imsqti_asiv3p0_sbacv1p0_v1p0.xsd``, which takes
from the base binding only data attributes that no item here has), and QTI 3.0 content packaging
(``imsqtiv3p0_imscpv1p2_v1p0.xsd``).
"""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path
from typing import Any
from xml.etree import ElementTree
from zipfile import ZipFile

import pytest

from tutor.desk.qti_items import (
    ChoiceItem,
    NumericItem,
    QtiItem,
    items_of_lesson,
    items_of_network,
    items_of_order,
    items_of_paper,
)
from tutor.desk.qti_xml import item_xml, package
from tutor.front.commands import main
from tutor.practice.library import own_lessons
from tutor.practice.papers import make_paper, paper_in

ASI = "{http://www.imsglobal.org/xsd/imsqtiasi_v3p0}"
SERIES = "C1 = 3 uF -- C2 = 7 uF, across 12 V"
# Children of an item in the one order that the binding allows.
IN_ORDER = (
    "qti-response-declaration", "qti-outcome-declaration", "qti-item-body",
    "qti-response-processing", "qti-modal-feedback",
)
WITHIN = {
    "qti-response-declaration": {"qti-correct-response"},
    "qti-correct-response": {"qti-value"},
    "qti-outcome-declaration": {"qti-default-value"},
    "qti-default-value": {"qti-value"},
    "qti-item-body": {"p", "qti-choice-interaction"},
    "qti-choice-interaction": {"qti-prompt", "qti-simple-choice"},
    "qti-prompt": {"br"},
    "p": {"qti-text-entry-interaction"},
    "qti-response-processing": {"qti-response-condition"},
    "qti-response-condition": {"qti-response-if", "qti-response-else-if", "qti-response-else"},
    "qti-response-if": {"qti-equal", "qti-match", "qti-set-outcome-value"},
    "qti-response-else-if": {"qti-equal", "qti-match", "qti-set-outcome-value"},
    "qti-response-else": {"qti-set-outcome-value"},
    "qti-set-outcome-value": {"qti-base-value"},
    "qti-equal": {"qti-correct", "qti-variable", "qti-base-value"},
    "qti-match": {"qti-correct", "qti-variable", "qti-base-value"},
    "qti-modal-feedback": {"qti-content-body"},
    "qti-content-body": {"p"},
}
ATTRIBUTES = {
    "qti-response-declaration": {"identifier", "cardinality", "base-type"},
    "qti-outcome-declaration": {"identifier", "cardinality", "base-type"},
    "qti-choice-interaction": {"response-identifier", "shuffle", "max-choices"},
    "qti-simple-choice": {"identifier"},
    "qti-text-entry-interaction": {"response-identifier", "expected-length"},
    "qti-equal": {"tolerance-mode", "tolerance"},
    "qti-variable": {"identifier"},
    "qti-correct": {"identifier"},
    "qti-base-value": {"base-type"},
    "qti-set-outcome-value": {"identifier"},
    "qti-modal-feedback": {"outcome-identifier", "identifier", "show-hide"},
}
IDENTIFIER = re.compile(r"[A-Za-z_][\w.-]*")
DOUBLE = re.compile(r"-?\d+(\.\d+)?(e[+-]?\d+)?")


def read(item: QtiItem) -> ElementTree.Element:
    return ElementTree.fromstring(item_xml(item, "item-001").encode("utf-8"))


def name_of(element: ElementTree.Element) -> str:
    assert element.tag.startswith(ASI)
    return element.tag.removeprefix(ASI)


def answered(root: ElementTree.Element, response: float | str) -> dict[str, Any]:
    """What the response processing of an item makes of a response: the second reader."""
    correct = root.findtext(f"{ASI}qti-response-declaration//{ASI}qti-value")
    outcomes: dict[str, Any] = {"SCORE": 0.0}

    def worth(element: ElementTree.Element) -> float | str:
        kind = name_of(element)
        if kind == "qti-variable":
            return response
        text = correct if kind == "qti-correct" else element.text
        assert text is not None
        return float(text) if isinstance(response, float) else text

    def holds(test: ElementTree.Element) -> bool:
        first, second = map(worth, test)
        if name_of(test) == "qti-match":
            return first == second
        below, above = map(float, test.attrib["tolerance"].split())
        assert isinstance(first, float)
        assert isinstance(second, float)
        return first - below <= second <= first + above

    for branch in root.iterfind(f"{ASI}qti-response-processing/{ASI}qti-response-condition/*"):
        parts = list(branch)
        is_else = name_of(branch) == "qti-response-else"
        if is_else or holds(parts[0]):
            for done in parts if is_else else parts[1:]:
                (value,) = done
                outcomes[done.attrib["identifier"]] = value.text
            break
    return outcomes


ITEMS = [
    *items_of_network(SERIES, "Chain"),
    *items_of_network("C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2 crossed", "Joined"),
    *items_of_network("C1 = plates 100 cm2 gap 1 mm filled 2.5", "Plates"),
    *items_of_order("two in series, whole numbers", 3, 2),
    *items_of_order("bounds", 1, 2),
    *items_of_paper(make_paper(paper_in("unit 3, 12 marks, seed 7")).questions),
    *(item for lesson in own_lessons()[:3] for item in items_of_lesson(lesson)),
]


@pytest.mark.parametrize("item", ITEMS, ids=lambda item: item.title)
def test_item_keeps_the_rules_of_the_standard(item: QtiItem) -> None:
    root = read(item)
    assert name_of(root) == "qti-assessment-item"
    assert {"identifier", "title", "adaptive", "time-dependent"} <= set(root.attrib)
    places = [IN_ORDER.index(name_of(child)) for child in root]
    assert places == sorted(places)
    assert IN_ORDER.index("qti-item-body") in places
    for element in root.iter():
        kind = name_of(element)
        if element is not root:
            assert {name_of(child) for child in element} <= WITHIN.get(kind, set()), kind
            assert set(element.attrib) == ATTRIBUTES.get(kind, set()), kind
        assert element.get("base-type", "float") in ("float", "identifier")
        assert element.get("tolerance-mode", "absolute") == "absolute"
        for name in ("identifier", "response-identifier", "outcome-identifier"):
            assert IDENTIFIER.fullmatch(element.get(name, "x"))


@pytest.mark.parametrize("item", ITEMS, ids=lambda item: item.title)
def test_everything_that_is_referred_to_is_there(item: QtiItem) -> None:
    root = read(item)
    declared = {
        each.attrib["identifier"]: each.attrib["base-type"] for each in root
        if name_of(each).endswith("-declaration")
    }
    assert declared["SCORE"] == "float"
    for element in root.iter():
        kind = name_of(element)
        if kind in ("qti-variable", "qti-correct", "qti-set-outcome-value"):
            assert element.attrib["identifier"] in declared
        if kind == "qti-set-outcome-value":
            (value,) = element
            assert value.attrib["base-type"] == declared[element.attrib["identifier"]]
        if element.get("base-type") == "float" and kind == "qti-base-value":
            assert DOUBLE.fullmatch(element.text or "")
    said = {each.attrib["identifier"] for each in root if name_of(each) == "qti-modal-feedback"}
    sent = {
        each[0].text for each in root.iter(f"{ASI}qti-set-outcome-value")
        if each.attrib["identifier"] == "FEEDBACK"
    }
    assert said == sent
    choices = [each.attrib["identifier"] for each in root.iter(f"{ASI}qti-simple-choice")]
    assert len(choices) == len(set(choices))
    right = root.findtext(f"{ASI}qti-response-declaration//{ASI}qti-value")
    assert right in choices if isinstance(item, ChoiceItem) else DOUBLE.fullmatch(right or "")


@pytest.mark.parametrize("item", ITEMS, ids=lambda item: item.title)
def test_answers_get_their_score_and_what_is_said_to_them(item: QtiItem) -> None:
    root = read(item)
    if isinstance(item, ChoiceItem):
        letters = [f"choice-{'abcdefgh'[at]}" for at in range(len(item.choices))]
        assert len(set(item.choices)) == len(item.choices)
        right = [at for at, name in enumerate(letters) if answered(root, name)["SCORE"] == "1"]
        assert right == [item.right]
        for number, reaction in enumerate(item.reactions, start=1):
            assert answered(root, letters[int(reaction.at)])["FEEDBACK"] == f"slip-{number}"
        return
    value = float(item.right)
    for factor, score in ((1, "1"), (1.004, "1"), (0.996, "1"), (1.02, 0.0), (-3, 0.0)):
        if value:
            assert answered(root, value * factor)["SCORE"] == score
    for reaction in item.reactions:
        found = answered(root, float(reaction.at))
        assert found["SCORE"] == 0.0
        assert re.fullmatch(r"slip-\d+", found["FEEDBACK"])


def test_slips_of_a_chain_are_said_by_what_they_are() -> None:
    """3 µF and 7 µF in a chain at 12 V come to 2.1 µF; by hand 10 µF is their sum."""
    whole = next(item for item in ITEMS if item.title == "Chain: C12")
    assert isinstance(whole, NumericItem)
    assert (float(whole.right), whole.unit) == (2.1, "µF")
    ten = next(reaction for reaction in whole.reactions if reaction.at == 10)
    assert "adds-a-series-pair" in ten.ideas
    assert ten.said.startswith("10 µF is what you get by adding 3 µF and 7 µF")
    root = read(whole)
    asked = "".join(root.find(f"{ASI}qti-item-body").itertext())  # type: ignore[union-attr]
    assert re.search(r"What is the equivalent capacitance\?\s+µF", asked)
    assert "Wanted" not in asked
    assert "2.1" not in asked


def test_no_wrong_answer_is_told_the_right_one() -> None:
    for item in ITEMS:
        if isinstance(item, NumericItem) and item.title.startswith("Chain"):
            shown = item.praise.split(" = ")[1].split(":")[0]
            assert not [r.said for r in item.reactions if shown in r.said]


def test_package_has_a_manifest_of_all_its_files_and_comes_out_the_same() -> None:
    made = package(ITEMS[:5])
    assert made == package(ITEMS[:5])
    with ZipFile(BytesIO(made)) as archive:
        names = archive.namelist()
        manifest = ElementTree.fromstring(archive.read("imsmanifest.xml"))
        assert all(ElementTree.fromstring(archive.read(name)) is not None for name in names)
    space = "{http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1}"
    resources = manifest.findall(f"{space}resources/{space}resource")
    assert [each.attrib["href"] for each in resources] == names[1:]
    assert {each.attrib["type"] for each in resources} == {"imsqti_item_xmlv3p0"}


def test_what_an_author_wrote_stays_text() -> None:
    item = NumericItem("<b>", ("a & b",), '"?"', ITEMS[0].right, "", ITEMS[0].right, "]]>", ())  # type: ignore[arg-type]
    root = read(item)
    assert root.attrib["title"] == "<b>"
    assert "a & b" in "".join(root.itertext())


@pytest.mark.parametrize(
    "given",
    [
        ["two in series", "--number", "2"], ["--lesson", "10"], ["--network", SERIES],
        ["--paper", "unit 3, 6 marks, seed 2"],
    ],
)
def test_the_command_writes_a_package(
    given: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "set.zip"
    assert main(["items", *given, "--out", str(out)]) == 0
    assert "IMS QTI 3.0" in " ".join(capsys.readouterr().out.split())
    with ZipFile(out) as archive:
        assert "imsmanifest.xml" in archive.namelist()


@pytest.mark.parametrize(
    "given",
    [
        [], ["two in series", "--lesson", "10"], ["nothing like this"], ["--lesson", "999"],
        ["--network", "C1 = C -- C2 = 2C"], ["--network", "3 uF --"], ["bounds", "--number", "0"],
    ],
)
def test_what_makes_no_items_is_refused(
    given: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["items", *given, "--out", str(tmp_path / "set.zip")]) == 2
    assert not (tmp_path / "set.zip").exists()
    assert "Traceback" not in capsys.readouterr().err


def test_a_package_is_written_to_no_name_of_another_kind(tmp_path: Path) -> None:
    assert main(["items", "two in series", "--out", str(tmp_path / "set.txt")]) == 2
    assert not list(tmp_path.iterdir())
