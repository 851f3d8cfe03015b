"""Records of several machines in one: nothing doubled, nothing lost, no source changed."""

from __future__ import annotations

import json
from collections import Counter
from datetime import date
from pathlib import Path
from random import Random

import pytest

from tests.learner.recording import NOW, OPENING, exchange
from tutor.front.commands import main
from tutor.learner.exporting import as_json_lines
from tutor.learner.merging import merge
from tutor.learner.record import Record, open_record
from tutor.learner.rows import Exchange
from tutor.learner.standing import standing_of
from tutor.teaching.messages import Message
from tutor.teaching.observation import Observation

MACHINES = 25


def answers(name: str, number: int, outcome: str = "right") -> Exchange:
    """A turn whose one answer asks for the skill S10 on a network of its own."""
    seen = Observation(f"C{number}", f"net of {name} {number}", ("S10",), "number", outcome)
    said = (Message("verdict", "So.", seen=seen),)
    return Exchange(f"C{number} = {number} uF", said, str(number))


def machine(path: Path, name: str, turns: int, start: float = NOW) -> None:
    with open_record(path, start) as record:
        sitting = record.begin(record.learner(name, start), OPENING, start)
        for number in range(1, turns + 1):
            outcome = "wrong" if number % 4 == 0 else "right"
            record.keep(sitting, answers(name, number, outcome), start + number)


def merged(target: Path, *sources: Path) -> list[tuple[tuple[str, ...], int, bool]]:
    with open_record(target, NOW) as record:
        return [(m.learners, m.turns, m.why is None) for m in merge(record, sources, NOW)]


def whole(path: Path) -> list[str]:
    with open_record(path, NOW) as record:
        return list(as_json_lines(record))


def counts(record: Record) -> dict[str, Counter[str]]:
    return {
        each.name: Counter(seen.observation.outcome for seen in record.seen(each))
        for each in record.learners()
    }


def test_25_machines_come_to_what_was_counted_by_hand(tmp_path: Path) -> None:
    """Machine n has n turns of pupil n, every fourth answer wrong; the last five are of pupils
    1 to 5 on a second machine, with three turns each on another day.
    """
    paths = [tmp_path / f"machine {n}.sqlite" for n in range(1, MACHINES + 1)]
    for n, path in enumerate(paths, start=1):
        pupil, turns, day = (f"Pupil {n}", n, 0) if n <= 20 else (f"pupil  {n - 20}", 3, 1)
        machine(path, pupil, turns, NOW + day * 86400)
    target = tmp_path / "class.sqlite"
    first = merged(target, *paths)
    assert sum(turns for _, turns, _ in first) == 210 + 15  # 1 + 2 + … + 20, and 5 × 3
    again = merged(target, *Random(3).sample(paths, MACHINES), target)
    assert [turns for _, turns, _ in again] == [0] * (MACHINES + 1)
    with open_record(target, NOW) as record:
        by_hand = {f"Pupil {n}": Counter(right=n - n // 4, wrong=n // 4) for n in range(1, 21)}
        for n in range(1, 6):
            by_hand[f"Pupil {n}"]["right"] += 3
        found = counts(record)
        assert found == {name: +tally for name, tally in by_hand.items()}
        assert sum(map(Counter.total, found.values())) == 225
        two = record.find("Pupil 2")
        assert two is not None
        assert [each.began for each in record.sittings(two)] == [NOW, NOW + 86400]
        assert standing_of(record.seen(two)).of("S10").tried == 5


def test_order_of_files_changes_nothing_that_is_known(tmp_path: Path) -> None:
    paths = [tmp_path / f"{n}.sqlite" for n in range(4)]
    for n, path in enumerate(paths):
        machine(path, ("Ada", "Ben")[n % 2], 6, NOW + 1000 * n)
    standings = []
    for number, order in enumerate((paths, paths[::-1])):
        target = tmp_path / f"class {number}.sqlite"
        merged(target, *order)
        with open_record(target, NOW) as record:
            standings.append([standing_of(record.seen(each)) for each in record.learners()])
    assert standings[0] == standings[1]


def test_what_came_later_is_added_to_what_was_there(tmp_path: Path) -> None:
    source, target = tmp_path / "ada.sqlite", tmp_path / "class.sqlite"
    machine(source, "Ada", 3)
    merged(target, source)
    with open_record(source, NOW) as record:
        (sitting,) = record.sittings(record.learners()[0])
        record.keep(sitting, answers("Ada", 4), NOW + 9)
    assert merged(target, source) == [(("Ada",), 1, True)]
    with open_record(target, NOW) as record, open_record(source, NOW) as own:
        (sitting,) = record.sittings(record.learners()[0])
        kept = [turn._replace(open=False, about="") for turn in own.kept(sitting.id)]
        assert list(record.kept(sitting.id)) == kept


def test_a_sitting_gone_on_with_on_two_machines_keeps_both(tmp_path: Path) -> None:
    one, two = tmp_path / "one.sqlite", tmp_path / "two.sqlite"
    machine(one, "Ada", 2)
    two.write_bytes(one.read_bytes())
    for path, numbers in ((one, (3, 4)), (two, (7, 8, 9))):
        with open_record(path, NOW) as record:
            (sitting,) = record.sittings(record.learners()[0])
            for number in numbers:
                record.keep(sitting, answers("Ada", number), NOW + 10 * number)
    for order in ((one, two), (two, one)):
        target = tmp_path / f"of {order[0].stem}.sqlite"
        assert sum(turns for _, turns, _ in merged(target, *order)) == 7
        assert [turns for _, turns, _ in merged(target, *order, *order)] == [0] * 4
        with open_record(target, NOW) as record:
            keys = [each.observation.key for each in record.seen(record.learners()[0])]
        assert keys == ["C1", "C2", "C3", "C4", "C7", "C8", "C9"]


def test_whoever_gave_no_name_is_named_after_the_file(tmp_path: Path) -> None:
    for name in ("ada.sqlite", "ben/record.sqlite"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        machine(tmp_path / name, "me", 2)
    sources = (tmp_path / "ada.sqlite", tmp_path / "ben/record.sqlite")
    found = merged(tmp_path / "class.sqlite", *sources)
    assert found == [(("ada",), 2, True), (("ben",), 2, True)]


def test_the_exam_comes_along_and_what_was_open_does_not(tmp_path: Path) -> None:
    source, target = tmp_path / "ada.sqlite", tmp_path / "class.sqlite"
    with open_record(source, NOW) as record:
        ada = record.set_exam(record.learner("Ada", NOW), date(2027, 6, 14))
        record.keep(record.begin(ada, OPENING, NOW), exchange(3), NOW + 1)
        assert record.unfinished(ada) is not None
    merged(target, source)
    with open_record(target, NOW) as record:
        (ada,) = record.learners()
        assert ada.exam == date(2027, 6, 14)
        assert record.unfinished(ada) is None


def test_a_file_that_cannot_be_read_stops_none_and_none_is_changed(tmp_path: Path) -> None:
    good, bad, text = (tmp_path / name for name in ("good.sqlite", "bad.sqlite", "notes.txt"))
    machine(good, "Ada", 40)
    bad.write_bytes(good.read_bytes()[:5000])
    text.write_text("no record")
    before = {path: path.read_bytes() for path in (good, bad, text)}
    found = merged(tmp_path / "class.sqlite", bad, text, tmp_path / "nowhere", tmp_path, good)
    assert [read for _, _, read in found] == [False] * 4 + [True]
    assert {path: path.read_bytes() for path in before} == before
    assert not list(tmp_path.glob("*damaged*"))
    assert len(whole(tmp_path / "class.sqlite")) == 42  # a learner, a sitting and 40 turns


def test_everything_of_a_turn_is_taken_over(tmp_path: Path) -> None:
    source, target = tmp_path / "ada.sqlite", tmp_path / "class.sqlite"
    with open_record(source, NOW) as record:
        sitting = record.begin(record.learner("Ada", NOW), OPENING, NOW)
        for number in range(1, 7):
            record.keep(sitting, exchange(number), NOW + number)
    merged(target, source)
    first, second = ([json.loads(line) for line in whole(path)] for path in (source, target))
    assert any(each["row"] == "turn" and each["open"] for each in first)
    for each in first:
        if each["row"] == "turn":
            each |= {"open": False, "about": ""}
    assert second == first


def test_the_command_tells_what_came_from_where(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("one", "two"):
        machine(tmp_path / f"{name}.sqlite", "Ada", 2)
    files = [str(tmp_path / f"{name}.sqlite") for name in ("one", "two")]
    target = str(tmp_path / "class.sqlite")
    assert main(["record", "merge", "--record", target, "--width", "200", *files]) == 0
    told = capsys.readouterr().out
    assert "Ada, two new lines" in told
    assert "In more than one file, and now together: Ada." in told
    files += [str(tmp_path / "no"), "--record", target, "--width", "200"]
    assert main(["record", "merge", *files]) == 1
    assert "not taken in" in capsys.readouterr().out
    assert main(["record", "merge"]) == 2
    assert main(["record", "show", "x"]) == 2


def test_the_record_of_25_is_short_and_of_one_fits_on_a_screen(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    paths = [tmp_path / f"{n}.sqlite" for n in range(25)]
    for n, path in enumerate(paths):
        machine(path, f"Pupil {n}", 5)
    target = tmp_path / "class.sqlite"
    merged(target, *paths)
    assert main(["record", "--record", str(target), "--width", "200"]) == 0
    shown = capsys.readouterr().out
    assert len(shown.splitlines()) == 25 + 5
    assert shown.count("Pupil ") == 25
    for more, lines in (([], 6), (["--full"], 8)):
        chosen = ["--learner", "pupil 7", *more]
        assert main(["record", "--record", str(target), *chosen, "--width", "200"]) == 0
        assert len(capsys.readouterr().out.splitlines()) <= lines
