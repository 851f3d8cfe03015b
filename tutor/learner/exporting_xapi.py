"""What learners answered as statements of xAPI 2.0 (IEEE 9274.1.1), from memory throughout.

Verbs and types of activity are those of the ADL vocabulary. What it has no word for stands in
extensions under addresses of our own, in a domain that can never exist (RFC 2606).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Final, NamedTuple, TypeAlias
from urllib.parse import quote
from uuid import NAMESPACE_URL, UUID, uuid5

from grammar.shown import json_line
from tutor.learner.exporting import chosen, utc
from tutor.learner.networks_written import in_notation

if TYPE_CHECKING:
    from tutor.learner.record import Record
    from tutor.learner.rows import KeptMessage, KeptTurn, Learner, Sitting
    from tutor.teaching.observation import AnswerKind, Observation, Outcome

Object: TypeAlias = dict[str, object]

HOME: Final = "https://platewalk.invalid/"
SPACE: Final = uuid5(NAMESPACE_URL, HOME)
TONGUE = "en-GB"
VERBS: Final = "http://adlnet.gov/expapi/verbs/"
ACTIVITIES: Final = "http://adlnet.gov/expapi/activities/"
# A choice would have to name the entries that were offered, and a number to come without a unit.
INTERACTIONS: Mapping[AnswerKind, str] = {
    "number": "fill-in",
    "names": "fill-in",
    "menu": "other",
    "two-way": "other",
    "two-way with reason": "other",
}
# "I don't know" is an answer, and neither a success nor a failure.
SUCCESS: Mapping[Outcome, bool] = {"right": True, "wrong": False}


class _Moment(NamedTuple):
    """Where in the record a message stands."""

    learner: Learner
    sitting: Sitting
    turn: KeptTurn
    said: KeptMessage


def as_xapi(record: Record, learner: Learner | None = None) -> Iterator[str]:
    """One statement a line: every answer, every answer that was shown, and every hint.

    The same row gives the same statement, with the same id, however often it is exported.
    """
    for each in chosen(record, learner):
        for sitting in record.sittings(each):
            for turn in record.kept(sitting.id):
                for said in turn.said:
                    statement = _statement(_Moment(each, sitting, turn, said))
                    if statement is not None:
                        yield json_line(statement) + "\n"


def _statement(moment: _Moment) -> Object | None:
    said = moment.said
    if said.seen is not None:
        told: Object = {"object": _question(said.seen), "result": _result(moment, said.seen)}
        verb = "experienced" if said.seen.outcome == "shown" else "answered"
    elif said.kind == "hint":
        told, verb = {"object": _hint(moment)}, "experienced"
    else:
        return None
    return {
        "id": str(uuid5(SPACE, f"{moment.sitting.id}/{moment.turn.number}/{said.number}")),
        "actor": {
            "objectType": "Agent",
            "account": {"homePage": HOME, "name": moment.learner.name},
        },
        "verb": {"id": VERBS + verb, "display": {TONGUE: verb}},
        **told,
        "timestamp": utc(moment.turn.at),
        "context": _context(moment),
    }


def _context(moment: _Moment) -> Object:
    problem: Object = {
        "objectType": "Activity",
        "id": _address("problem", moment.sitting.id, moment.turn.problem),
    }
    return {
        "registration": str(UUID(moment.sitting.id, version=4)),
        "platform": "Platewalk",
        "language": TONGUE,
        "contextActivities": {"parent": [problem]},
    }


def _question(seen: Observation) -> Object:
    """The question: the same for everyone who is asked it of the same network."""
    network = str(uuid5(SPACE, seen.network))
    return {
        "objectType": "Activity",
        "id": _address("question", network, seen.key),
        "definition": {
            "type": ACTIVITIES + "cmi.interaction",
            "name": {TONGUE: seen.key},
            "description": {TONGUE: f"Asked about {in_notation(seen.network)}"},
            "interactionType": INTERACTIONS[seen.answer],
        },
    }


def _hint(moment: _Moment) -> Object:
    said = moment.said
    return {
        "objectType": "Activity",
        "id": _address("hint", moment.sitting.id, str(moment.turn.number), str(said.number)),
        "definition": {
            "type": ACTIVITIES + "media",
            "name": {TONGUE: "Hint"},
            "description": {TONGUE: said.text},
        },
    }


def _result(moment: _Moment, seen: Observation) -> Object:
    result: Object = {
        "extensions": {
            _address("extension", "outcome"): seen.outcome,
            _address("extension", "wrong-rules"): seen.malrules,
            _address("extension", "one-remedy"): seen.sure,
            _address("extension", "skills"): seen.skills,
            _address("extension", "skills-blamed"): seen.blamed,
            _address("extension", "helped"): seen.helped,
            _address("extension", "shows-little"): seen.weak,
        }
    }
    if seen.outcome != "shown":
        result["response"] = moment.turn.line
    if seen.outcome in SUCCESS:
        result["success"] = SUCCESS[seen.outcome]
    return result


def _address(*parts: str) -> str:
    """An address of our own; what may not stand in one is written in its escapes."""
    return HOME + "/".join(quote(part, safe="") for part in parts)
