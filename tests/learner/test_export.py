"""The record written out: everything as JSON, and a table that no spreadsheet acts upon."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from datetime import date
from io import StringIO
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from grammar.records import Refusal
from tests.learner.recording import FULL, NAME, NOW, OPENING, begun, exchange
from tutor.learner.exporting import FORMULA, HEADINGS, as_csv, as_json_lines, harmless
from tutor.learner.record import Record, open_record
from tutor.learner.rows import Exchange
from tutor.teaching.messages import Message

DANGEROUS = "=+-@\t\r\uff1d\uff0b\uff0d\uff20"
APART = ";,\t\r\n"


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Record]:
    with open_record(tmp_path / "record.db", NOW) as opened:
        learner, sitting = begun(opened)
        opened.set_exam(learner, date(2027, 5, 18))
        for number in range(1, 4):
            opened.keep(sitting, exchange(number), NOW + number)
        opened.keep(sitting, Exchange("stop", (), "lamp 0"), NOW + 4)
        later = opened.begin(learner, OPENING, NOW + 50, continues=sitting)
        opened.keep(later, exchange(4), NOW + 51.25)
        _, of_other = begun(opened, "Another")
        opened.keep(of_other, exchange(5), NOW)
        yield opened


def rows_of(record: Record, name: str | None = None) -> list[dict[str, str]]:
    learner = None if name is None else record.find(name)
    text = "".join(as_csv(record, learner))
    return list(csv.DictReader(StringIO(text, newline="")))


def test_json_holds_all_that_the_record_holds(record: Record) -> None:
    rows = [json.loads(line) for line in as_json_lines(record)]
    assert [row["row"] for row in rows] == [
        "learner", "sitting", "turn", "learner", "sitting", *["turn"] * 4, "sitting", "turn"
    ]
    learner = record.find(NAME)
    assert learner is not None
    first, second = record.sittings(learner)
    assert rows[3] == {
        "row": "learner", "name": NAME, "made": "2026-09-21T14:13:20.000Z", "exam": "2027-05-18",
        "last_used": "2026-09-21T14:14:11.250Z",
    }
    assert rows[9] == {
        "row": "sitting", "learner": NAME, "id": second.id, "began": "2026-09-21T14:14:10.000Z",
        "version": second.version, "opening": json.loads(OPENING), "since": 2,
        "continues": first.id,
    }
    given = exchange(1)
    assert rows[5]["at"] == "2026-09-21T14:13:21.000Z"
    assert rows[5]["line"] == given.line
    assert [said["text"] for said in rows[5]["said"]] == [each.text for each in given.messages]
    seen = FULL._replace(key="V1", outcome="right")
    assert rows[5]["said"][0]["seen"] == json.loads(json.dumps(seen._asdict()))
    assert rows[8]["said"] == []


def test_one_learner_alone_can_be_written_out(record: Record) -> None:
    another = record.find("another")
    assert [json.loads(line)["row"] for line in as_json_lines(record, another)] == [
        "learner", "sitting", "turn"
    ]
    assert {row["learner"] for row in rows_of(record, "another")} == {"Another"}
    assert {row["learner"] for row in rows_of(record)} == {"Another", NAME}


def test_the_table_has_a_row_for_each_message(record: Record) -> None:
    rows = rows_of(record, NAME)
    assert [(row["turn"], row["message"], row["kind"]) for row in rows] == [
        ("1", "1", "verdict"), ("1", "2", "ask"), ("2", "1", "verdict"), ("2", "2", "ask"),
        ("3", "1", "hint"), ("4", "", ""), ("1", "1", "verdict"), ("1", "2", "ask"),
    ]
    answer = rows[2]
    assert answer["line"] == "V2 = 2 V"
    assert answer["outcome"] == "wrong"
    assert answer["question"] == "V2"
    assert answer["helped"] == "yes"
    assert answer["wrong rules"] == "gives-the-larger-one-more; halves"
    assert answer["skills"] == "points and wires; more in series"
    assert rows[5]["line"] == "stop"


def test_the_table_is_csv_of_rfc_4180(record: Record) -> None:
    *lines, last = "".join(as_csv(record)).split("\r\n")
    assert last == ""  # a line ends with CR LF, the last one too
    assert lines[0] == ",".join(f'"{heading}"' for heading in HEADINGS)
    assert {len(row) for row in csv.reader(lines)} == {len(HEADINGS)}


@pytest.mark.parametrize("cell", [
    "=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "=HYPERLINK(\"http://a.invalid\")",
    "\uff1d1", "a;=1", "a, +1", "a\n=1", "a\r\n=1", "a\t@b",
])
def test_a_cell_that_looks_like_a_formula_is_made_harmless(record: Record, cell: str) -> None:
    _, sitting = begun(record, "Third")
    record.keep(sitting, Exchange(cell, (Message("say", cell),), cell), NOW)
    (row,) = rows_of(record, "Third")
    for name in ("line", "text", "problem"):
        assert row[name] != cell
        assert "'" in row[name]
        assert row[name].replace("'", "") == cell


@pytest.mark.parametrize("cell", [
    "V1 = 4 V", "C1 -- (C2 || C3)", "3*7/(3+7)", "a@b", "", "4,5 uF", "charge; at P",
])
def test_an_ordinary_cell_stays_as_it_is(cell: str) -> None:
    assert harmless(cell) == cell


@given(st.text(alphabet=DANGEROUS + APART + "a1 \"'", max_size=12))
def test_no_cell_begins_with_a_formula_wherever_a_spreadsheet_parts_it(text: str) -> None:
    safe = harmless(text)
    for sign in APART:
        safe = safe.replace(sign, "\x00")
    for cell in safe.split("\x00"):
        assert not cell.lstrip(" ").startswith(tuple(DANGEROUS))
    assert not FORMULA.search(harmless(text))


def test_an_opening_that_rotted_is_told(record: Record) -> None:
    record._connection.execute("UPDATE sittings SET opening = '{'")
    with pytest.raises(Refusal, match="is damaged"):
        list(as_json_lines(record))
