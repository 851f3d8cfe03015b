"""What goes into the record comes out: learners, sittings, turns; nothing after deletion."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from grammar.records import Refusal
from tests.learner.recording import FULL, NAME, NOW, OPENING, as_kept, begun, exchange
from tests.sampled import some
from tutor.learner.record import Record, open_record
from tutor.learner.rows import Exchange
from tutor.learner.standing import Seen
from tutor.teaching.messages import Message
from tutor.teaching.observation import Observation

CODES = st.lists(st.text("abc-,\"'[ ", max_size=9), max_size=3).map(tuple)
OBSERVATIONS = st.builds(
    Observation,
    key=st.text(max_size=9),
    network=st.text(max_size=20),
    skills=CODES,
    options=st.integers(0, 9),
    malrules=CODES,
    blamed=CODES,
    chances=CODES,
)
MESSAGES = st.builds(
    Message,
    kind=st.sampled_from(["ask", "verdict", "reveal", "hint", "say", "close"]),
    text=st.text(),
    step=st.none() | st.integers(1, 99),
    about=st.none() | st.sampled_from(["value", "check"]),
    verdict=st.none() | st.sampled_from(["right", "wrong"]),
    malrules=CODES,
    seen=st.none() | OBSERVATIONS,
    marks=st.none() | st.tuples(st.integers(0, 99), st.integers(0, 99)),
)
EXCHANGES = st.builds(
    Exchange,
    line=st.text(),
    messages=st.lists(MESSAGES, max_size=4),
    problem=st.text(max_size=9),
    open=st.booleans(),
    about=st.text(max_size=20),
)


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Record]:
    with open_record(tmp_path / "record.db", NOW) as opened:
        yield opened


@given(given=st.lists(EXCHANGES, max_size=4))
@settings(max_examples=some(40), suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_turns_come_back_as_they_were_given(record: Record, given: list[Exchange]) -> None:
    learner, sitting = begun(record)
    before = record.latest_seen(learner)
    for number, each in enumerate(given, start=1):
        assert record.keep(sitting, each, NOW + number) == number
    wanted = [as_kept(each, n, NOW + n) for n, each in enumerate(given, start=1)]
    assert list(record.kept(sitting.id)) == wanted
    assert record.turns(sitting.id) == tuple(each.line for each in given)
    shown = [
        Seen(message.seen, f"{sitting.id}.{each.problem}", NOW + n)
        for n, each in enumerate(given, start=1)
        for message in each.messages
        if message.seen is not None
    ]
    everything = list(record.seen(learner))
    assert [each for each in everything if each.problem.startswith(sitting.id)] == shown
    assert [each.when for each in everything] == sorted(each.when for each in everything)
    earlier = list(record.seen(learner, before))
    assert earlier == [each for each in everything if not each.problem.startswith(sitting.id)]


def test_another_opening_finds_the_same(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    with open_record(path, NOW) as first:
        learner, sitting = begun(first)
        first.keep(sitting, exchange(1), NOW + 1)
        exam = first.set_exam(learner, date(2027, 5, 18))
    with open_record(path, NOW + 60) as second:
        assert second.notice == ""
        assert second.find(NAME) == exam._replace(last_used=NOW + 1)
        (kept,) = second.sittings(exam)
        assert kept == second.sitting(sitting.id)
        assert kept._replace(version="") == sitting
        assert second.turns(sitting.id) == (exchange(1).line,)
        assert second.set_exam(exam, None).exam is None
        assert second.learners()[0].exam is None
    assert [each.name for each in tmp_path.iterdir()] == ["record.db"]


def test_learners_are_told_apart_by_name_alone(record: Record) -> None:
    zoe = record.learner(" Zoë   K.", NOW)
    assert zoe.name == "Zoë K."
    assert record.learner("ZOË k.", NOW + 5) == zoe._replace(last_used=NOW + 5)
    assert record.find("zoe\N{COMBINING DIAERESIS} K.") == zoe._replace(last_used=NOW + 5)
    ben = record.learner("B7", NOW + 2)
    assert [each.name for each in record.learners()] == ["B7", "Zoë K."]
    last = record.last_learner()
    assert last is not None
    assert last.name == "Zoë K."
    record.keep(record.begin(ben, OPENING, NOW + 6), exchange(1), NOW + 7)
    last = record.last_learner()
    assert last is not None
    assert last.name == "B7"
    assert record.find("nobody") is None
    assert record.find("a\udcff") is None


def test_an_empty_record_has_nobody(record: Record) -> None:
    assert record.learners() == ()
    assert record.last_learner() is None


@pytest.mark.parametrize(("name", "found"), [
    ("  ", "missing"), ("x" * 61, "61 letters"), ("a\x07b", "cannot be shown"),
    ("a\udcff", "cannot be shown"),
])
def test_what_can_be_no_name_is_refused(record: Record, name: str, found: str) -> None:
    with pytest.raises(Refusal, match=found):
        record.learner(name, NOW)
    assert record.learners() == ()


def test_a_sitting_without_a_turn_leaves_no_trace(record: Record) -> None:
    learner, sitting = begun(record)
    assert record.sittings(learner) == ()
    assert record.sitting(sitting.id) is None
    assert record.turns(sitting.id) == ()
    assert record.unfinished(learner) is None
    with pytest.raises(ValueError, match="Expecting"):
        record.begin(learner, "no JSON", NOW)


def test_a_sitting_knows_what_was_known_when_it_began(record: Record) -> None:
    learner, first = begun(record)
    other, of_other = begun(record, "somebody else")
    assert first.since == 0
    record.keep(first, exchange(1), NOW)
    record.keep(of_other, exchange(2), NOW)
    second = record.begin(learner, OPENING, NOW + 9)
    record.keep(first, exchange(4), NOW + 10)
    record.keep(second, exchange(5), NOW + 11)
    stored = record.sitting(second.id)
    assert stored is not None
    assert [seen.observation.key for seen in record.seen(learner, stored.since)] == ["V1"]
    assert [seen.observation.key for seen in record.seen(learner)] == ["V1", "V4", "V5"]
    assert [seen.observation.key for seen in record.seen(other)] == ["V2"]


def test_the_last_turn_left_open_can_be_gone_on_with_once(record: Record) -> None:
    learner, first = begun(record)
    record.keep(first, exchange(1), NOW)  # closed
    assert record.unfinished(learner) is None
    record.keep(first, exchange(2), NOW)  # open
    assert record.unfinished(learner) == record.sitting(first.id)
    later = record.begin(learner, OPENING, NOW, continues=first)
    assert record.unfinished(learner) == record.sitting(first.id)
    record.keep(later, exchange(4), NOW)  # open
    assert record.unfinished(learner) == record.sitting(later.id)
    record.keep(first, exchange(2), NOW)  # in another window; but it has been gone on with
    assert record.unfinished(learner) is None
    record.keep(later, exchange(5), NOW)  # closed
    assert record.unfinished(learner) is None
    assert record.unfinished(record.learner("new here", NOW)) is None


def test_problems_of_two_sittings_are_never_taken_for_one(record: Record) -> None:
    learner, first = begun(record)
    record.keep(first, exchange(1), NOW)
    record.keep(first, exchange(2), NOW)
    record.keep(record.begin(learner, OPENING, NOW), exchange(1), NOW)
    one, same, another = (seen.problem for seen in record.seen(learner))
    assert one == same
    assert one != another


def test_broken_input_is_kept_as_far_as_it_can_be(record: Record) -> None:
    learner, sitting = begun(record)
    line = "3 \udcb5F \x00 µF"
    seen = FULL._replace(key=line)
    record.keep(sitting, Exchange(line, (Message("say", line, seen=seen),), line), NOW)
    assert record.turns(sitting.id) == ("3 ?F \x00 µF",)
    assert [each.observation.key for each in record.seen(learner)] == ["3 ?F \x00 µF"]


def test_a_turn_is_kept_whole_or_not_at_all(record: Record) -> None:
    learner, sitting = begun(record)
    record.keep(sitting, exchange(1), NOW)
    broken = Message("say", "after this one", step=object())  # type: ignore[arg-type]
    whole = exchange(2)
    with pytest.raises(Exception, match="type"):
        record.keep(sitting, whole._replace(messages=[*whole.messages, broken]), NOW)
    assert record.turns(sitting.id) == (exchange(1).line,)
    assert len(list(record.seen(learner))) == 1
    assert record.keep(sitting, exchange(3), NOW) == 2


# With these seeds SQLite's secure_delete alone leaves copies behind, in rows that it moved about.
@pytest.mark.parametrize("seed", [111, 117, 118])
def test_nothing_is_left_of_a_deleted_learner(tmp_path: Path, seed: int) -> None:
    path = tmp_path / "record.db"
    with open_record(path, NOW) as record, open_record(path, NOW) as other:
        staying = _two_visitors((record, other), Random(seed))
        gone = record.find("gone visitor")
        assert gone is not None
        assert b"Gone Visitor" in _bytes_of(tmp_path)
        assert record.delete(gone) == ()
        left = _bytes_of(tmp_path)
        assert b"one Visitor" not in left
        assert b"gone visitor" not in left
        assert b"Staying Visitor typed" in left
        assert record.find("gone visitor") is None
        assert other.find("gone visitor") is None
        assert len(other.turns(staying)) > 50
    assert b"one Visitor" not in _bytes_of(tmp_path)
    assert [each.name for each in tmp_path.iterdir()] == ["record.db"]


def test_a_deletion_that_was_cut_short_is_ended_at_the_next_opening(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "record.db"
    with open_record(path, NOW) as record:
        _two_visitors((record, record), Random(111))
        gone = record.find("gone visitor")
        assert gone is not None
        with monkeypatch.context() as patch:
            patch.setattr("tutor.learner.record.wiped", _interrupted)
            with pytest.raises(KeyboardInterrupt):
                record.delete(gone)
    assert b"one Visitor" in _bytes_of(tmp_path)
    with open_record(path, NOW) as record:
        assert [each.name for each in record.learners()] == ["Staying Visitor"]
    assert b"one Visitor" not in _bytes_of(tmp_path)
    assert [each.name for each in tmp_path.iterdir()] == ["record.db"]


def _interrupted(*_: object) -> bool:
    raise KeyboardInterrupt


def _two_visitors(windows: tuple[Record, Record], chance: Random) -> str:
    """A record of two learners in turns, from two windows; gives the sitting of the second."""
    sittings = {name: begun(windows[0], name)[1] for name in ("Gone Visitor", "Staying Visitor")}
    for number in range(150):
        name = chance.choice(list(sittings))
        mark = f"<{name} typed {number}> " * chance.randrange(1, 60)
        seen = FULL._replace(key=mark[:40], network=mark[:90])
        said = (Message("verdict", mark, seen=seen), Message("hint", mark))
        chance.choice(windows).keep(sittings[name], Exchange(mark, said, mark[:20]), NOW)
    return sittings["Staying Visitor"].id


def _bytes_of(folder: Path) -> bytes:
    return b"".join(each.read_bytes() for each in sorted(folder.iterdir()))


def test_a_deleted_learner_is_new_again(record: Record) -> None:
    learner, sitting = begun(record)
    record.keep(sitting, exchange(1), NOW)
    record.delete(learner)
    with pytest.raises(Refusal, match="was deleted"):
        record.keep(sitting, exchange(2), NOW)
    again, later = begun(record)
    assert again.id != learner.id
    assert later.since == 0
    assert list(record.seen(again)) == []
    assert record.sitting(sitting.id) is None
    record.keep(later, exchange(2), NOW)
    assert record.turns(later.id) == (exchange(2).line,)


def test_a_sitting_keeps_the_version_of_the_program(record: Record) -> None:
    from importlib.metadata import PackageNotFoundError, version

    _, sitting = begun(record)
    record.keep(sitting, exchange(1), NOW)
    stored = record.sitting(sitting.id)
    assert stored is not None
    assert json.loads(stored.opening) == json.loads(OPENING)
    try:
        assert stored.version == version("platewalk")
    except PackageNotFoundError:
        assert stored.version == ""
