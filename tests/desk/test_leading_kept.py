"""What is kept of a guided session: on the disk before it is shown, without names at the end, and
in a record only of those who were told so."""

from __future__ import annotations

import json
import random
from pathlib import Path

import pytest

from grammar.records import Refusal
from tests.desk.leads import led_in, said, text_in
from tutor.desk.leading.class_predictions import advice
from tutor.desk.leading.event_file import EventFile, read_events
from tutor.desk.leading.kept_session import kept_in, report_of
from tutor.desk.leading.led import Led
from tutor.desk.leading.session import followed
from tutor.front.commands import main
from tutor.learner.record import open_record


def test_a_session_goes_on_as_it_was_after_any_lines(tmp_path: Path) -> None:
    lines = ["7 C1 C2", "C2 C3", "again", "hint", "explain", "reveal", "next", "twin", "undo",
             "14 uF", "3 charge, 9 p.d.", "spread", "wibble", "question"]
    for seed in range(12):
        led = led_in(tmp_path, name=f"{seed}.jsonl")
        chance = random.Random(seed)
        said(led, *(chance.choice(lines) for _ in range(25)))
        led.file.close()
        again = led_in(tmp_path, name=f"{seed}.jsonl")
        assert again.session == led.session
        again.file.close()


def test_half_a_line_is_put_aside_and_whole_ones_count(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "7 C1 C2", "2 C2 C3")
    led.file.close()
    whole = led.file.path.read_bytes()
    last = whole[: whole.rstrip(b"\n").rfind(b"\n") + 1]
    for cut in range(len(last) + 1, len(whole)):
        led.file.path.write_bytes(whole[:cut])
        again = led_in(tmp_path)
        assert again.session.posed is not None
        assert again.session.posed.rounds[-1].answered == 7
        said(again, "1 C2 C3")
        again.file.close()
        assert read_events(led.file.path)[-1]["times"] == 1


def test_what_happens_is_on_the_disk_before_it_is_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    led = led_in(tmp_path)
    synced: list[int] = []
    monkeypatch.setattr(
        "os.fsync", lambda _: synced.append(len(read_events(led.file.path)))
    )
    said(led, "7 C1 C2")
    assert synced == [2]


def test_one_window_leads_at_a_time(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    with pytest.raises(Refusal, match="another window"):
        EventFile(led.file.path)


@pytest.mark.parametrize("data", [b"hello\n", b'{"event": "begun"}\n', b"[1]\n", b"\xff\n", b"1\n"])
def test_another_file_is_refused_and_left_alone(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "other"
    path.write_bytes(data)
    with pytest.raises(Refusal, match="holds no session"):
        EventFile(path)
    assert path.read_bytes() == data


def test_at_the_end_nobody_is_named_and_few_are_a_few(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    led.happened({"event": "joined", "who": "k1", "name": "Ada"})
    led.take([{"event": "said", "who": "k1", "text": "Bob is silly", "question": 1, "round": 1}])
    said(led, "7 C1 C2, 3 C2 C3", "again", "9 C2 C3, 1 C1 C2", "reveal", "end")
    kept = led.file.path.read_text("utf-8")
    for gone in ("Ada", "k1", "Bob", '"said"'):
        assert gone not in kept
    first = json.loads(kept.splitlines()[0])
    parts = list(report_of(first["title"], kept_in(read_events(led.file.path)), "today"))
    rows = {row[0]: row[1:] for part in parts if hasattr(part, "rows") for row in part.rows}
    assert rows["C1 C2"] == ("7", "a few")
    assert rows["C2 C3 (right)"] == ("a few", "9")
    assert rows["Answers in all"] == ("11", "10")
    assert rows["makes a chain of two although more meet at their point"] == ("7", "a few")


def test_no_advice_by_shares_for_a_few(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    said(led, "4 C1 C2")
    posed = led.session.posed
    assert posed is not None
    assert "too few" in advice(led.spread(posed, posed.rounds[-1]))


def test_events_that_are_not_known_or_come_too_late_change_nothing(tmp_path: Path) -> None:
    led: Led = led_in(tmp_path)
    said(led, "7 C1 C2", "again")
    late = {"event": "said", "who": "x", "text": "C2 C3", "question": 1, "round": 1}
    assert led.take([late, {**late, "question": 2}]) == [False, False]
    assert followed(led.session, [late, {"event": "juggled"}]) == led.session


def test_first_answers_of_who_gave_a_name_are_recorded_where_that_was_said(tmp_path: Path) -> None:
    path = tmp_path / "class.sqlite"
    led = led_in(tmp_path)
    led.happened({"event": "recorded", "record": str(path)})
    for who, name in (("a", "Ada"), ("b", ""), ("c", "Cem")):
        led.happened({"event": "joined", "who": who, "name": name})

    def answer(who: str, text: str, round_: int = 1) -> None:
        led.happened({"event": "said", "who": who, "text": text, "question": led.session.number,
                      "round": round_})

    answer("a", "C1 C2")
    answer("b", "C2 C3")
    said(led, "again")
    answer("a", "C2 C3", 2)
    said(led, "reveal", "next")
    answer("a", "charge")
    said(led, "reveal", "next")
    answer("a", "I don't know")
    (ended,) = said(led, "end")
    assert "answers of one learner are entered" in text_in(ended)
    assert "Ada" not in led.file.path.read_text("utf-8")
    with open_record(path, 1.0) as record:
        (ada,) = record.learners()  # nobody without a name, nor who answered nothing
        (sitting,) = record.sittings(ada)
        assert record.turns(sitting.id) == ("C1 C2", "charge", "I don't know")
        outcomes = [seen.observation.outcome for seen in record.seen(ada)]
        assert outcomes[:2] == ["wrong", "wrong"]
        assert record.unfinished(ada) is None


def test_nothing_is_recorded_of_those_who_were_told_otherwise(tmp_path: Path) -> None:
    led = led_in(tmp_path)
    led.happened({"event": "joined", "who": "a", "name": "Ada"})
    led.happened({"event": "recorded", "record": str(tmp_path / "class.sqlite")})
    assert led.session.record == ""
    said(led, "end")
    assert not (tmp_path / "class.sqlite").exists()


def test_a_record_named_too_late_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    led = led_in(tmp_path)
    led.happened({"event": "joined", "who": "a", "name": "Ada"})
    led.file.close()
    assert main(["lead", "--session", str(led.file.path), "--record", str(tmp_path / "c")]) == 2
    assert "Begin another session with --record." in capsys.readouterr().err
