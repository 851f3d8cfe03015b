"""Several windows on one record, and windows that are killed."""

from __future__ import annotations

from pathlib import Path

from tests.learner.killing import kill_some
from tests.learner.recording import NAME, NOW, as_kept, begun, exchange, window
from tutor.learner.record import open_record

WINDOWS, TURNS = 4, 40


def test_windows_that_write_one_sitting_lose_and_double_nothing(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    with open_record(path, NOW) as record:
        learner, sitting = begun(record)
        assert record.keep(sitting, exchange(0), NOW) == 1
        opened = [window(path, sitting.id, TURNS) for _ in range(WINDOWS)]
        told = []
        for each in opened:
            said, complaint = each.communicate(timeout=60)
            assert not complaint
            told += [int(number) for number in said.split()[1:]]
        kept = list(record.kept(sitting.id))
        assert [turn.number for turn in kept] == list(range(1, WINDOWS * TURNS + 2))
        assert sorted(told) == [turn.number for turn in kept[1:]]
        for number in range(1, TURNS + 1):
            same = [turn for turn in kept[1:] if turn.at == NOW + number]
            assert same == [as_kept(exchange(number), turn.number, turn.at) for turn in same]
            assert len(same) == WINDOWS
        assert record.sittings(learner) == (record.sitting(sitting.id),)


def test_windows_that_make_the_file_at_one_time_share_it(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    opened = [window(path, "new", 5) for _ in range(WINDOWS)]
    sittings = set()
    for each in opened:
        said, complaint = each.communicate(timeout=60)
        assert not complaint
        sitting, *numbers = said.split()
        assert numbers == ["1", "2", "3", "4", "5"]
        sittings.add(sitting)
    with open_record(path, NOW) as record:
        (learner,) = record.learners()
        assert learner.name == NAME
        assert {each.id for each in record.sittings(learner)} == sittings
        assert len(sittings) == WINDOWS
    assert [each.name for each in tmp_path.iterdir()] == ["record.db"]


def test_no_kept_turn_is_lost_to_a_kill(tmp_path: Path) -> None:
    tally = kill_some(tmp_path, kills=12, seed=7)
    assert tally.said_to_be_kept > 12
