"""The record's file: brought up to date, left alone, set aside, or refused with a reason."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from grammar.records import Refusal
from tests.learner.recording import NAME, NOW, begun, exchange
from tutor.learner import record as record_module
from tutor.learner import record_file
from tutor.learner.migrations import APPLICATION, MIGRATIONS, Migration
from tutor.learner.record import Record, in_memory, open_copy, open_record
from tutor.learner.record_file import copy_of
from tutor.teaching.observation import Observation

FORM_1 = (Path(__file__).parents[1] / "cases" / "record_form_1.sql").read_text("utf-8")
FORM_2 = (Path(__file__).parents[1] / "cases" / "record_form_2.sql").read_text("utf-8")
FORM_3 = (Path(__file__).parents[1] / "cases" / "record_form_3.sql").read_text("utf-8")
NEXT = Migration(
    "marks",
    (
        "ALTER TABLE turns ADD COLUMN mark TEXT NOT NULL DEFAULT ''",
        "UPDATE turns SET mark = 'x' WHERE open",
    ),
)
LONGER = (*MIGRATIONS, NEXT)
ASIDE = "record.db.damaged-20260921-141320"  # NOW in UTC


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "record.db"


def filled(path: Path, turns: int = 60) -> None:
    with open_record(path, NOW) as record:
        _, sitting = begun(record)
        for number in range(turns):
            record.keep(sitting, exchange(number), NOW + number)


def files(path: Path) -> dict[str, bytes]:
    return {each.name: each.read_bytes() for each in path.parent.iterdir()}


def tables_of(path: Path) -> dict[str, str]:
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql NOT NULL")
        return {name: " ".join(sql.split()) for name, sql in rows}


def frozen(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(FORM_1)


def test_a_file_of_form_1_opens_and_holds_what_it_held(path: Path) -> None:
    frozen(path)
    with open_record(path, NOW) as record:
        assert record.notice == ""
        visitor = record.find(NAME)
        assert visitor is not None
        first, second = record.sittings(visitor)
        assert record.turns(first.id) == tuple(exchange(n).line for n in (1, 2, 3))
        assert second.continues == first.id
        assert [each.observation.key for each in record.seen(visitor)] == ["V1", "V2", "V4"]
        assert [each.name for each in record.learners()] == [NAME, "Zoë"]


def test_a_file_of_form_2_opens_and_holds_its_marks(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(FORM_2)
    fresh = path.with_name("fresh.db")
    open_record(fresh, NOW, MIGRATIONS[:2]).close()
    assert tables_of(fresh) == tables_of(path)
    with open_record(path, NOW) as record:
        (ada,) = record.learners()
        (sitting,) = record.sittings(ada)
        (turn,) = record.kept(sitting.id)
        assert [each.marks for each in turn.said] == [(5, 10), None]


def test_a_file_of_form_3_opens_with_where_its_learner_stands(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(FORM_3)
    fresh = path.with_name("fresh.db")
    open_record(fresh, NOW, MIGRATIONS[:3]).close()
    assert tables_of(fresh) == tables_of(path)
    with open_record(path, NOW) as record:
        (ada,) = record.learners()
        ((upto,),) = record._rows("SELECT upto FROM standings")
        assert record.latest_seen(ada) == upto == 2
        assert record.standing(ada).of("S12").chances == 2


def test_migrations_that_were_published_still_make_the_same_form(path: Path) -> None:
    frozen(path)
    fresh = path.with_name("fresh.db")
    open_record(fresh, NOW, MIGRATIONS[:1]).close()
    assert tables_of(fresh) == tables_of(path)


def test_an_older_file_is_brought_to_the_newest_form(path: Path) -> None:
    frozen(path)
    open_record(path, NOW + 5, LONGER).close()
    with closing(sqlite3.connect(path)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (len(LONGER),)
        names = connection.execute("SELECT name, at FROM migrations").fetchall()
        assert names[-1] == ("marks", NOW + 5)
        assert [name for name, _ in names] == [each.name for each in LONGER]
        assert connection.execute("SELECT mark, open FROM turns").fetchall() == [
            ("", 0), ("x", 1), ("x", 1), ("x", 1)
        ]


def test_a_migration_that_fails_changes_nothing(path: Path) -> None:
    frozen(path)
    open_record(path, NOW).close()
    before = tables_of(path)
    for last in ("CREATE TABLE turns (a)", "UPDATE turns SET sitting = 'none such'"):
        broken = Migration("broken", (*NEXT.statements, last))
        with pytest.raises(Refusal):
            open_record(path, NOW, (*MIGRATIONS, broken))
        assert tables_of(path) == before
    with open_record(path, NOW) as record:
        assert record.find(NAME) is not None


def test_every_field_of_an_observation_has_its_column(path: Path) -> None:
    filled(path, 1)
    with closing(sqlite3.connect(path)) as connection:
        columns = [row[1] for row in connection.execute("PRAGMA table_info(seen)")]
    assert columns == ["id", "turn", "said", *Observation._fields]


def test_the_file_is_written_as_the_design_says(path: Path) -> None:
    with open_record(path, NOW) as record:
        ask = record._connection.execute
        assert ask("PRAGMA application_id").fetchone() == (APPLICATION,)
        assert ask("PRAGMA user_version").fetchone() == (len(MIGRATIONS),)
        assert ask("PRAGMA journal_mode").fetchone() == ("wal",)
        assert ask("PRAGMA synchronous").fetchone() == (2,)
        assert ask("PRAGMA foreign_keys").fetchone() == (1,)
        assert ask("PRAGMA secure_delete").fetchone() == (1,)
        assert ask("PRAGMA busy_timeout").fetchone() == (10_000,)


def test_a_newer_file_is_refused_and_left_alone(path: Path) -> None:
    open_record(path, NOW, LONGER).close()
    before = files(path)
    with pytest.raises(Refusal, match=r"newer version.*is 4.*up to 3") as refused:
        open_record(path, NOW)
    assert "nothing was changed" in refused.value.cure
    assert files(path) == before
    assert list(before) == ["record.db"]


def test_a_file_whose_log_alone_is_newer_is_left_alone_too(path: Path) -> None:
    open_record(path, NOW).close()
    stopped = path.parent / "stopped"
    stopped.mkdir()
    with open_record(path, NOW, LONGER):  # as a killed program leaves it: in the log only
        for name in ("record.db", "record.db-wal", "record.db-shm"):
            shutil.copy(path.with_name(name), stopped)
    copy = stopped / "record.db"
    before = files(copy)
    assert int.from_bytes(before["record.db"][60:64], "big") == len(MIGRATIONS)
    with pytest.raises(Refusal, match="newer version"):
        open_record(copy, NOW)
    after = files(copy)
    shared = "record.db-shm"  # SQLite's own scratch table, of no worth after a stop
    assert {**after, shared: b""} == {**before, shared: b""}


def test_a_newer_program_in_another_window_stops_this_one_from_writing(path: Path) -> None:
    with open_record(path, NOW) as old:
        learner, sitting = begun(old)
        open_record(path, NOW, LONGER).close()
        with pytest.raises(Refusal, match="newer version"):
            old.keep(sitting, exchange(1), NOW)
        assert old.sittings(learner) == ()


@pytest.mark.parametrize("statement", [
    "CREATE TABLE shells (a)",
    "PRAGMA application_id = 77",
])
def test_a_file_of_another_program_is_refused_and_left_alone(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version = 3")
        connection.execute(statement)
    before = files(path)
    with pytest.raises(Refusal, match="another program"):
        open_record(path, NOW)
    assert files(path) == before


def test_a_file_of_another_program_in_use_is_left_alone(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("CREATE TABLE shells (a)")
        before = files(path)
        assert "record.db-wal" in before
        with pytest.raises(Refusal, match="another program"):
            open_record(path, NOW)
        assert files(path) == before


def test_an_empty_file_is_a_new_record(path: Path) -> None:
    path.touch()
    filled(path, 1)
    with open_record(path, NOW) as record:
        assert record.notice == ""
        assert len(record.learners()) == 1


def test_an_empty_database_is_a_new_record(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("VACUUM")
    assert path.stat().st_size > 0
    filled(path, 1)
    assert list(files(path)) == ["record.db"]


def _no_beginning(path: Path) -> None:
    filled(path)
    path.write_bytes(bytes(range(128, 228)) + path.read_bytes()[100:])


def _nothing_but_noughts(path: Path) -> None:
    path.write_bytes(bytes(9000))


def _few_bytes(path: Path) -> None:
    path.write_bytes(b"SQLite format 3\0 and no more")


def _cut(path: Path) -> None:
    filled(path)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2])


def _cut_within_a_page(path: Path) -> None:
    filled(path)
    path.write_bytes(path.read_bytes()[:1000])


def _no_tables(path: Path) -> None:
    filled(path)
    whole = path.read_bytes()
    path.write_bytes(whole[:100] + bytes(4096 - 100) + whole[4096:])


@pytest.mark.parametrize("damage", [
    _no_beginning, _nothing_but_noughts, _few_bytes, _cut, _cut_within_a_page, _no_tables,
])
def test_a_damaged_file_is_set_aside(path: Path, damage: Callable[[Path], None]) -> None:
    damage(path)
    before = path.read_bytes()
    with open_record(path, NOW) as record:
        assert ASIDE in record.notice
        assert record.learners() == ()
        learner, sitting = begun(record)
        record.keep(sitting, exchange(1), NOW)
        assert record.delete(learner) == (path.with_name(ASIDE),)
    assert files(path)[ASIDE] == before
    with open_record(path, NOW) as record:
        assert record.notice == ""


def test_setting_aside_takes_the_log_along_and_overwrites_nothing(path: Path) -> None:
    for number in (b"1", b"2", b"3"):
        path.write_bytes(b"\xff\xfe" * 400 + b"CREATE TABLE turns (" + number)
        path.with_name("record.db-wal").write_bytes(b"log " + number)
        open_record(path, NOW).close()
    found = files(path)
    for ending, number in (("", b"1"), ("-2", b"2"), ("-3", b"3")):
        assert found[ASIDE + ending].endswith(number)
        assert found[f"{ASIDE}{ending}-wal"] == b"log " + number


def test_damage_met_later_is_told_and_looked_for_at_the_next_opening(path: Path) -> None:
    filled(path, 200)
    whole = bytearray(path.read_bytes())
    whole[len(whole) // 3 : len(whole) * 2 // 3] = b"\xa5" * (len(whole) // 3)
    path.write_bytes(whole)
    with open_record(path, NOW) as record:
        assert record.notice == ""
        learner = record.find(NAME)
        assert learner is not None
        with pytest.raises(Refusal, match="is damaged") as refused:
            _read_all(record)
        assert "start again" in refused.value.cure
    with open_record(path, NOW) as record:
        assert ASIDE in record.notice
        assert record.learners() == ()
    assert "record.db-suspect" not in files(path)


def _read_all(record: Record) -> None:
    for learner in record.learners():
        list(record.seen(learner))
        for sitting in record.sittings(learner):
            list(record.kept(sitting.id))


@pytest.mark.parametrize("spoil", [
    "UPDATE seen SET skills = '[oh'",
    "UPDATE seen SET malrules = '{}'",
    "UPDATE said SET malrules = '[1]'",
    "UPDATE turns SET line = CAST(x'ff' AS TEXT)",
    "UPDATE learners SET exam = 'never'",
    "DROP TABLE said",
    "UPDATE turns SET at = 'noon'",
    "UPDATE sittings SET began = x'00'",
    "UPDATE seen SET options = 'many'",
])
def test_what_cannot_be_read_in_a_row_is_told(path: Path, spoil: str) -> None:
    filled(path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(spoil)
        connection.commit()
    with open_record(path, NOW) as record, pytest.raises(Refusal, match="is damaged"):
        _read_all(record)


def test_a_sound_file_under_suspicion_stays(path: Path) -> None:
    filled(path)
    path.with_name("record.db-suspect").touch()
    with open_record(path, NOW) as record:
        assert record.notice == ""
        assert len(record.learners()) == 1
    assert list(files(path)) == ["record.db"]


@pytest.fixture
def open_and_begun(path: Path) -> Iterator[Record]:
    with open_record(path, NOW) as record:
        record.learner(NAME, NOW)
        yield record


@pytest.mark.parametrize(("setting", "found"), [
    ("PRAGMA query_only = ON", "cannot be written"),
    ("PRAGMA max_page_count = 1", "no room left"),
])
def test_a_disk_that_takes_no_more_is_told(
    open_and_begun: Record, setting: str, found: str
) -> None:
    record = open_and_begun
    _, sitting = begun(record)
    record._connection.execute(setting)
    told: list[int] = []
    with pytest.raises(Refusal, match=found):
        told.extend(record.keep(sitting, exchange(number), NOW) for number in range(100))
    assert len(record.turns(sitting.id)) == len(told)
    record._connection.execute("PRAGMA query_only = OFF")
    record._connection.execute("PRAGMA max_page_count = 100000")
    assert record.keep(sitting, exchange(1), NOW) == len(told) + 1


def test_a_window_that_writes_too_long_is_told(path: Path, open_and_begun: Record) -> None:
    record = open_and_begun
    learner, sitting = begun(record)
    record._connection.execute("PRAGMA busy_timeout = 20")
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(Refusal, match="Another window is writing"):
            record.keep(sitting, exchange(1), NOW)
        other.execute("ROLLBACK")
        assert record.keep(sitting, exchange(1), NOW) == 1
        other.execute("BEGIN")
        other.execute("SELECT * FROM turns").fetchall()
        with pytest.raises(Refusal, match="out of the record, but another window"):
            record.delete(learner)
        record._connection.execute("PRAGMA busy_timeout = 10000")
    assert record.find(NAME) is None
    assert "record.db-deleting" in files(path)
    with open_record(path, NOW) as later:
        assert later.learners() == ()
        assert NAME.encode() not in b"".join(files(path).values())
    assert "record.db-deleting" not in files(path)


def test_a_place_that_cannot_be_used_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(Refusal, match=r"cannot be made: .*file"):
        open_record(tmp_path / "file" / "record.db", NOW)
    with pytest.raises(Refusal, match="is no file"):
        open_record(tmp_path, NOW)


def test_the_file_may_have_any_name_and_be_reached_by_a_link(tmp_path: Path) -> None:
    real = tmp_path / "100% of all? #1 µ.db"
    open_record(real, NOW, LONGER).close()
    link = tmp_path / "link.db"
    link.symlink_to(real)
    with open_record(real, NOW, LONGER), pytest.raises(Refusal, match="newer version"):
        open_record(link, NOW)


@pytest.mark.parametrize("held", [
    "Ada 17, Ben 12: µF\n".encode() * 40,
    "Zoë 17: µF\n".encode("latin-1") * 40,
    b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 9,
    b"II*\0",
])
def test_a_file_that_never_was_a_record_is_refused_and_left_alone(
    tmp_path: Path, held: bytes
) -> None:
    path = tmp_path / "marks.txt"
    path.write_bytes(held)
    with pytest.raises(Refusal, match="is no record"):
        open_record(path, NOW)
    assert path.read_bytes() == held
    assert [each.name for each in tmp_path.iterdir()] == ["marks.txt"]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name here")
def test_a_pipe_or_a_device_is_no_record_and_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", Path(os.devnull)):
        with pytest.raises(Refusal, match="is no file"):
            open_record(path, NOW)


def test_a_record_without_a_table_is_set_aside_at_the_next_opening(path: Path) -> None:
    filled(path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DROP TABLE seen")
    with open_record(path, NOW) as record, pytest.raises(Refusal, match="is damaged") as told:
        _read_all(record)
    assert "start again" in told.value.cure
    with open_record(path, NOW) as record:
        assert ASIDE in record.notice


def test_a_record_that_may_only_be_read_is_copied_to_be_looked_at(path: Path) -> None:
    filled(path, 3)
    before = path.read_bytes()
    with Record(path, copy_of(path, NOW, LONGER), "", len(LONGER)) as record:
        learner = record.find(NAME)
        assert learner is not None
        assert [each.observation.key for each in record.seen(learner)] == ["V1", "V2"]
        assert record.find("nobody") is None
    assert path.read_bytes() == before


@pytest.mark.parametrize("opening", [lambda path: open_copy(path, NOW), lambda _: in_memory(NOW)])
def test_what_cannot_be_brought_up_to_date_in_memory_is_closed(
    path: Path, monkeypatch: pytest.MonkeyPatch, opening: Callable[[Path], Record]
) -> None:
    filled(path, 1)
    opened: list[sqlite3.Connection] = []

    def failing(connection: sqlite3.Connection, *_: object) -> None:
        opened.append(connection)
        raise sqlite3.DatabaseError("spoilt")

    monkeypatch.setattr(record_file, "migrate", failing)
    monkeypatch.setattr(record_module, "migrate", failing)
    with pytest.raises((Refusal, sqlite3.DatabaseError)):
        opening(path)
    with pytest.raises(sqlite3.ProgrammingError, match="closed"):
        opened[0].execute("SELECT 1")
