"""Items as IMS QTI 3.0 (1EdTech), and a package of them.

The form follows the published ASI binding of QTI 3.0 and its content packaging. The schema of the
standard may not be handed on, so it does not stand here: the tests hold the items to the rules of
the information model one by one, and their head says against what they were checked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from io import BytesIO
from typing import Final
from xml.etree import ElementTree as Tree
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from grammar.shown import visible
from tutor.desk.qti_items import OTHERWISE, NumericItem, QtiItem, Reaction

ASI: Final = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
ASI_SCHEMA: Final = "https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqti_asiv3p0_v1p0.xsd"
PACKAGE: Final = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
INSTANCE: Final = "http://www.w3.org/2001/XMLSchema-instance"
RESPONSE, FEEDBACK, SCORE = "RESPONSE", "FEEDBACK", "SCORE"
RIGHT, OTHER = "right", "other"
EARLIEST: Final = (1980, 1, 1, 0, 0, 0)  # a package of the same items is the same file
FIGURES: Final = 12


def item_xml(item: QtiItem, identifier: str) -> str:
    """One assessment item as a document."""
    root = Tree.Element("qti-assessment-item", {
        "xmlns": ASI, "xmlns:xsi": INSTANCE, "xsi:schemaLocation": f"{ASI} {ASI_SCHEMA}",
        "identifier": identifier, "title": visible(item.title), "adaptive": "false",
        "time-dependent": "false", "xml:lang": "en-GB",
    })
    _declarations(root, item)
    _body(root, item)
    _processing(root, item)
    for name, said in _feedback(item):
        _modal(root, name, said)
    return _document(root)


def package(items: Sequence[QtiItem]) -> bytes:
    """All items in one archive, under a manifest. The same items give the same bytes."""
    files = {
        f"items/{name}.xml": item_xml(item, name)
        for name, item in zip(_names(len(items)), items, strict=True)
    }
    held = BytesIO()
    with ZipFile(held, "w", ZIP_DEFLATED) as archive:
        for name, text in {"imsmanifest.xml": _manifest(files), **files}.items():
            archive.writestr(ZipInfo(name, EARLIEST), text.encode("utf-8"), ZIP_DEFLATED)
    return held.getvalue()


def _names(number: int) -> Iterator[str]:
    return (f"item-{at:03}" for at in range(1, number + 1))


# The parts of an item


def _declarations(root: Tree.Element, item: QtiItem) -> None:
    is_number = isinstance(item, NumericItem)
    response = _within(root, "qti-response-declaration", {
        "identifier": RESPONSE, "cardinality": "single",
        "base-type": "float" if is_number else "identifier",
    })
    right = _number(item.right) if isinstance(item, NumericItem) else _choice_name(item.right)
    _within(_within(response, "qti-correct-response"), "qti-value", text=right)
    for name, start in ((SCORE, "0"), ("MAXSCORE", "1")):
        outcome = _within(root, "qti-outcome-declaration", {
            "identifier": name, "cardinality": "single", "base-type": "float",
        })
        _within(_within(outcome, "qti-default-value"), "qti-value", text=start)
    _within(root, "qti-outcome-declaration", {
        "identifier": FEEDBACK, "cardinality": "single", "base-type": "identifier",
    })


def _body(root: Tree.Element, item: QtiItem) -> None:
    body = _within(root, "qti-item-body")
    for line in item.given:
        _within(body, "p", text=line)
    if isinstance(item, NumericItem):
        asks = _within(body, "p", text=f"{item.asks} ")
        entry = _within(asks, "qti-text-entry-interaction", {
            "response-identifier": RESPONSE, "expected-length": "12",
        })
        entry.tail = f" {item.unit}" if item.unit else ""
        return
    interaction = _within(body, "qti-choice-interaction", {
        "response-identifier": RESPONSE, "shuffle": "false", "max-choices": "1",
    })
    first, *others = item.asks.split("\n")
    prompt = _within(interaction, "qti-prompt", text=first)
    for line in others:
        _within(prompt, "br").tail = visible(line)
    for at, words in enumerate(item.choices):
        _within(interaction, "qti-simple-choice", {"identifier": _choice_name(at)}, words)


def _processing(root: Tree.Element, item: QtiItem) -> None:
    """The right answer first, then the wrong ones that are foreseen, then any other."""
    condition = _within(_within(root, "qti-response-processing"), "qti-response-condition")
    branch = _within(condition, "qti-response-if")
    if isinstance(item, NumericItem):
        _near(branch, None, item.tolerance)
    else:
        match = _within(branch, "qti-match")
        _within(match, "qti-variable", {"identifier": RESPONSE})
        _within(match, "qti-correct", {"identifier": RESPONSE})
    _set(branch, SCORE, "float", "1")
    _set(branch, FEEDBACK, "identifier", RIGHT)
    for at, reaction in enumerate(item.reactions):
        branch = _within(condition, "qti-response-else-if")
        if isinstance(item, NumericItem):
            _near(branch, Fraction(reaction.at), _tolerance(item, reaction))
        else:
            match = _within(branch, "qti-match")
            _within(match, "qti-variable", {"identifier": RESPONSE})
            _value(match, "identifier", _choice_name(int(reaction.at)))
        _set(branch, FEEDBACK, "identifier", _reaction_name(at))
    _set(_within(condition, "qti-response-else"), FEEDBACK, "identifier", OTHER)


def _tolerance(item: NumericItem, reaction: Reaction) -> Fraction:
    """As near as for what is right, and for nought as near as that is."""
    share = item.tolerance / abs(item.right) if item.right else Fraction(0)
    return abs(Fraction(reaction.at)) * share or item.tolerance


def _near(branch: Tree.Element, number: Fraction | None, tolerance: Fraction) -> None:
    """The response within a tolerance of a number, or of the right one."""
    allowed = _number(tolerance)
    equal = _within(branch, "qti-equal", {
        "tolerance-mode": "absolute", "tolerance": f"{allowed} {allowed}",
    })
    if number is None:
        _within(equal, "qti-correct", {"identifier": RESPONSE})
    else:
        _value(equal, "float", _number(number))
    _within(equal, "qti-variable", {"identifier": RESPONSE})


def _feedback(item: QtiItem) -> Iterator[tuple[str, str]]:
    yield RIGHT, item.praise
    for at, reaction in enumerate(item.reactions):
        yield _reaction_name(at), reaction.said
    yield OTHER, OTHERWISE


def _modal(root: Tree.Element, name: str, said: str) -> None:
    modal = _within(root, "qti-modal-feedback", {
        "outcome-identifier": FEEDBACK, "identifier": name, "show-hide": "show",
    })
    content = _within(modal, "qti-content-body")
    for line in said.split("\n"):
        _within(content, "p", text=line)


# The package


def _manifest(files: Iterable[str]) -> str:
    root = Tree.Element("manifest", {"xmlns": PACKAGE, "identifier": "platewalk"})
    about = _within(root, "metadata")
    _within(about, "schema", text="QTI Package")
    _within(about, "schemaversion", text="3.0.0")
    _within(root, "organizations")
    resources = _within(root, "resources")
    for file in files:
        name = file.removeprefix("items/").removesuffix(".xml")
        resource = _within(resources, "resource", {
            "identifier": name, "type": "imsqti_item_xmlv3p0", "href": file,
        })
        _within(resource, "file", {"href": file})
    return _document(root)


# Small things


def _within(
    parent: Tree.Element, tag: str, attributes: dict[str, str] | None = None, text: str = ""
) -> Tree.Element:
    child = Tree.SubElement(parent, tag, attributes or {})
    child.text = visible(text) or None
    return child


def _set(branch: Tree.Element, outcome: str, kind: str, value: str) -> None:
    _value(_within(branch, "qti-set-outcome-value", {"identifier": outcome}), kind, value)


def _value(parent: Tree.Element, kind: str, value: str) -> None:
    _within(parent, "qti-base-value", {"base-type": kind}, value)


def _choice_name(at: int) -> str:
    return f"choice-{'abcdefgh'[at]}"


def _reaction_name(at: int) -> str:
    return f"slip-{at + 1}"


def _number(value: Fraction) -> str:
    """A number in the form of XML Schema's double."""
    return f"{float(value):.{FIGURES}g}"


def _document(root: Tree.Element) -> str:
    Tree.indent(root)
    written = Tree.tostring(root, encoding="unicode")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{written}\n'
