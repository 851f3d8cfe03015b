"""Statements of xAPI, held to the rules of the standard that concern their form.

Each rule names its section in the numbering of xAPI 1.0.3, Part Two, which IEEE 9274.1.1 (xAPI 2.0)
took over with changes that do not touch these statements. Numbers and rules are from memory.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import RFC_4122, UUID

import pytest

from tests.learner.recording import FULL, NAME, NOW, begun, exchange
from tutor.learner.exporting_xapi import as_xapi
from tutor.learner.record import Record, open_record
from tutor.learner.rows import Exchange
from tutor.teaching.messages import Message

Json = dict[str, Any]

# A scheme, then only what RFC 3986 lets stand in an address; brackets have no place in ours.
IRI = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:(?:[A-Za-z0-9._~:/?#@!$&'()*+,;=-]|%[0-9A-Fa-f]{2})+")
TAG = re.compile(r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?")
TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)")
STATEMENT = {"id", "actor", "verb", "object", "result", "context", "timestamp"}
INTERACTIONS = {
    "true-false", "choice", "fill-in", "long-fill-in", "matching", "performance", "sequencing",
    "likert", "numeric", "other",
}


def faults(statement: Json) -> Iterator[str]:
    """What in a statement is against the standard."""
    if _holds_null(statement):
        yield "2.2: no value is null, except within extensions"
        return
    if not {"actor", "verb", "object"} <= set(statement) <= STATEMENT:
        yield "2.4: actor, verb and object are there, and nothing that the standard has not"
        return
    if not _is_uuid(statement.get("id")):
        yield "2.4.1: the id is a UUID of RFC 4122"
    yield from _actor_faults(statement["actor"])
    verb = statement["verb"]
    if not _is_iri(verb.get("id")) or not _is_language_map(verb.get("display")):
        yield "2.4.3: a verb has an IRI, and a display in a language map"
    yield from _activity_faults(statement["object"])
    yield from _result_faults(statement.get("result", {}))
    yield from _context_faults(statement.get("context", {}))
    time = statement.get("timestamp", "")
    if not TIME.fullmatch(time) or datetime.fromisoformat(time).utcoffset() != timedelta(0):
        yield "2.4.7, 4.5: the timestamp is of ISO 8601, with its zone, better UTC"


def _actor_faults(actor: Json) -> Iterator[str]:
    if actor.get("objectType", "Agent") != "Agent":
        yield "2.4.2.1: one person is an Agent"
    if len({"mbox", "mbox_sha1sum", "openid", "account"} & set(actor)) != 1:
        yield "2.4.2.1: an Agent is identified in exactly one way"
    account = actor.get("account", {})
    name = account.get("name")
    if set(account) != {"homePage", "name"} or not _is_iri(account["homePage"]) or not name:
        yield "2.4.2.4: an account has a home page that is an IRL, and a name"


def _activity_faults(activity: Json) -> Iterator[str]:
    if activity.get("objectType", "Activity") != "Activity" or not _is_iri(activity.get("id")):
        yield "2.4.4.1: an Activity has an IRI for its id"
    definition = activity.get("definition", {})
    if "type" in definition and not _is_iri(definition["type"]):
        yield "2.4.4.1: the type of an Activity is an IRI"
    for name in ("name", "description"):
        if name in definition and not _is_language_map(definition[name]):
            yield f"2.4.4.1: the {name} is a language map"
    kind = definition.get("interactionType")
    if kind is not None and kind not in INTERACTIONS:
        yield "2.4.4.1: the type of interaction is one of ten"
    if kind is not None and not definition["type"].endswith("cmi.interaction"):
        yield "2.4.4.1: an interaction has the type for interactions"


def _result_faults(result: Json) -> Iterator[str]:
    if not isinstance(result.get("success", True), bool):
        yield "2.4.5: success is true or false"
    if not isinstance(result.get("response", ""), str):
        yield "2.4.5: the response is text"
    if not all(map(_is_iri, result.get("extensions", {}))):
        yield "4.1: extensions stand under IRIs"


def _context_faults(context: Json) -> Iterator[str]:
    if "registration" in context and not _is_uuid(context["registration"]):
        yield "2.4.6: the registration is a UUID"
    if not isinstance(context.get("platform", ""), str):
        yield "2.4.6: the platform is text"
    if not TAG.fullmatch(context.get("language", "en")):
        yield "2.4.6: the language is a tag of RFC 5646"
    around = context.get("contextActivities", {})
    if not set(around) <= {"parent", "grouping", "category", "other"}:
        yield "2.4.6.2: activities around are of four kinds"
    for activities in around.values():
        for activity in activities:
            yield from _activity_faults(activity)


def _holds_null(value: object) -> bool:
    if isinstance(value, dict):
        return any(_holds_null(each) for key, each in value.items() if key != "extensions")
    return any(map(_holds_null, value)) if isinstance(value, list) else value is None


def _is_iri(value: object) -> bool:
    return isinstance(value, str) and IRI.fullmatch(value) is not None


def _is_uuid(value: object) -> bool:
    try:
        return isinstance(value, str) and str(UUID(value)) == value and (
            UUID(value).variant == RFC_4122
        )
    except ValueError:
        return False


def _is_language_map(value: object) -> bool:
    return isinstance(value, dict) and bool(value) and all(
        TAG.fullmatch(tag) and isinstance(text, str) for tag, text in value.items()
    )


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Record]:
    with open_record(tmp_path / "record.db", NOW) as opened:
        _, sitting = begun(opened)
        for number in range(1, 5):
            opened.keep(sitting, exchange(number), NOW + number)
        shown = FULL._replace(key="shares C23 {} µ", outcome="shown", answer="two-way")
        unsure = FULL._replace(key="which?", outcome="unsure", answer="menu", options=3)
        said = (Message("reveal", "It is 4 V.", seen=shown), Message("verdict", "", seen=unsure))
        opened.keep(sitting, Exchange("I don't know", said, "lamp 2"), NOW + 9)
        _, of_other = begun(opened, "Zoë <z@y>")
        opened.keep(of_other, exchange(1), NOW)
        yield opened


def statements(record: Record, name: str | None = None) -> list[Json]:
    learner = None if name is None else record.find(name)
    return [json.loads(line) for line in as_xapi(record, learner)]


def test_every_statement_keeps_the_rules(record: Record) -> None:
    told = statements(record)
    assert len(told) == 7
    for statement in told:
        assert list(faults(statement)) == []
    assert len({statement["id"] for statement in told}) == len(told)


def test_answers_hints_and_what_was_shown_are_told(record: Record) -> None:
    told = statements(record, NAME)
    assert [each["verb"]["id"].rpartition("/")[2] for each in told] == [
        "answered", "answered", "experienced", "answered", "experienced", "answered"
    ]
    assert [each.get("result", {}).get("success") for each in told] == [
        True, False, None, True, None, None
    ]
    assert [each.get("result", {}).get("response") for each in told] == [
        "V1 = 1 V", "V2 = 2 V", None, "V4 = 4 V", None, "I don't know"
    ]
    extensions = told[1]["result"]["extensions"]
    assert extensions["https://platewalk.invalid/extension/wrong-rules"] == list(FULL.malrules)
    assert told[1]["actor"]["account"] == {"homePage": "https://platewalk.invalid/", "name": NAME}
    assert told[1]["timestamp"] == "2026-09-21T14:13:22.000Z"


def test_exporting_twice_gives_the_same_statements(record: Record) -> None:
    assert statements(record) == statements(record)


def test_one_question_is_the_same_for_all_learners(record: Record) -> None:
    first, other = statements(record, NAME)[0], statements(record, "Zoë <z@y>")[0]
    assert first["object"] == other["object"]
    assert first["id"] != other["id"]
    assert first["context"]["registration"] != other["context"]["registration"]
    assert first["object"]["id"] != statements(record, NAME)[1]["object"]["id"]


@pytest.mark.parametrize(("spoil", "section"), [
    (lambda s: s.pop("verb"), "2.4:"),
    (lambda s: s.update(points=3), "2.4:"),
    (lambda s: s.update(result=None), "2.2"),
    (lambda s: s.update(id="7"), "2.4.1"),
    (lambda s: s["actor"].update(objectType="Person"), "2.4.2.1"),
    (lambda s: s["actor"].update(mbox="mailto:a@b.invalid"), "2.4.2.1"),
    (lambda s: s["actor"]["account"].update(homePage="here"), "2.4.2.4"),
    (lambda s: s["verb"].update(id="answered"), "2.4.3"),
    (lambda s: s["verb"].update(display="answered"), "2.4.3"),
    (lambda s: s["object"].update(id="https://a.invalid/a b"), "2.4.4.1"),
    (lambda s: s["object"]["definition"].update(name="V1"), "2.4.4.1"),
    (lambda s: s["object"]["definition"].update(interactionType="guessing"), "2.4.4.1"),
    (lambda s: s["object"]["definition"].update(type="https://a.invalid/b"), "2.4.4.1"),
    (lambda s: s["result"].update(success="yes"), "2.4.5"),
    (lambda s: s["result"]["extensions"].update(outcome="right"), "4.1"),
    (lambda s: s["context"].update(registration="1"), "2.4.6"),
    (lambda s: s["context"].update(language="English"), "2.4.6"),
    (lambda s: s["context"]["contextActivities"]["parent"][0].update(id="p"), "2.4.4.1"),
    (lambda s: s.update(timestamp="2026-09-21 14:13"), "2.4.7"),
])
def test_the_rules_can_be_broken(
    record: Record, spoil: Callable[[Json], object], section: str
) -> None:
    statement = statements(record, NAME)[0]
    spoil(statement)
    assert any(fault.startswith(section) for fault in faults(statement))
