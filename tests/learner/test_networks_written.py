"""Networks of an export are in the notation: read again, they are the same networks."""

from __future__ import annotations

import csv
from io import StringIO
from pathlib import Path

import pytest

from grammar.reading import read_network
from tests.desk.test_marks import ADDED, PROBLEM, class_of
from tutor.circuit.network import build
from tutor.front.commands import main
from tutor.learner.exporting import as_csv, as_json_lines
from tutor.learner.exporting_xapi import as_xapi
from tutor.learner.networks_written import in_notation
from tutor.learner.record import open_record


@pytest.mark.parametrize(
    "text",
    [
        "4 uF -- (2 uF || 3 uF), across 12 V", "C1 = 47 nF -- C2 = 0.3 uF, holding 24 uC",
        "2 uF, 3 uF and 6 uF in parallel", "C -- (2C || C/3), across V",
        "C1 = 4 uF from A to P; C2 = 2.5 pF from P to B; C3 = 9 uF from A to B; ends A and B",
    ],
)
def test_a_network_read_again_is_the_same(text: str) -> None:
    kept = build(read_network(text)).fingerprint
    again = in_notation(kept)
    assert "/1000000" not in again
    assert build(read_network(again)).fingerprint == kept


def test_what_is_told_in_words_stays() -> None:
    for told in ("", "C1 = 3 uF charged to 10 V; C2 = 7 uF; join C1 and C2", "Plates of 100 cm²."):
        assert in_notation(told) == told


def test_exports_have_readable_networks_and_a_column_of_marks(tmp_path: Path) -> None:
    folder, path = class_of(tmp_path / "class", Ben=ADDED), tmp_path / "record.sqlite"
    assert main(["mark", PROBLEM, "--class", str(folder), "--record", str(path)]) == 0
    with open_record(path, 1.0) as record:
        table = list(csv.reader(StringIO("".join(as_csv(record)), newline="")))
        lines, statements = "".join(as_json_lines(record)), "".join(as_xapi(record))
    marks = table[0].index("marks")
    assert table[0][marks:] == ["marks", "marks of"]
    assert [row[marks:] for row in table[1:] if row[marks]] == [["5", "10"]]
    networks = {row[table[0].index("network")] for row in table[1:]} - {""}
    shown = "C1 = 3 µF from A to P; C2 = 7 µF from P to B; ends A and B; across 12 V"
    assert networks == {shown}
    assert f'"network": "{shown}"' in lines
    assert f"Asked about {shown}" in statements
    assert "/1000000" not in lines + statements
