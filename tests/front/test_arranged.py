"""Arrangements on the command line and puzzles in the chat."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from grammar.reading import read_network
from tests import nodal
from tests.conversing import is_walking
from tests.strategies import as_drawn
from tutor.front.chat.home import open_home
from tutor.front.chat.stages import Answer, Chat, Choosing, InPuzzle
from tutor.front.chat.talk import respond
from tutor.front.commands import main
from tutor.front.progress import may_be_typed, standing
from tutor.teaching.speech import Terms


@pytest.fixture(autouse=True)
def _nobodys_settings(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """What is printed here must not depend on the settings of whoever runs the tests."""
    monkeypatch.setattr("tutor.front.settings_place.settings_path", lambda: tmp_path / "none.toml")


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    code = main(["arrange", *arguments])
    shown = capsys.readouterr()
    return code, shown.out + shown.err


def together(text: str) -> str:
    return " ".join(text.split())


def found_by(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict[str, Any]]:
    code, text = run(capsys, *arguments, "--json")
    return code, json.loads(text)


@pytest.mark.parametrize(
    ("wish", "code", "said"),
    [
        ("5 uF from 2 uF, 3 uF, 6 uF", 0, "C1 = 2 µF || C2 = 3 µF 5 µF, exactly; two capacitors"),
        ("5 uF from 2 uF, 3 uF, 6 uF", 0, "Proven: these are all there are."),
        ("7 uF from 2 uF, 3 uF, 6 uF", 1, "None makes exactly 7 µF. The nearest:"),
        ("7 uF from 2 uF, 3 uF, 6 uF", 1, "7.2 µF, about 2.9 % above; three capacitors"),
        ("7 uF from 2 uF, 3 uF, 6 uF", 1, "Proven best: nothing comes nearer."),
        ("7 uF from 2 uF, 3 uF, 6 uF within 3 %", 0, "7.2 µF, about 2.9 % above"),
        ("4 uF from three 6 uF", 0, "The 7 arrangements of such equal capacitors"),
        ("every value from three 6 uF", 0, "Seven values, from 2 µF to 18 µF:"),
        ("every value from three 6 uF", 0, "4 µF: C1 = 6 µF -- (C2 = 6 µF || C3 = 6 µF)"),
        ("5 uF from up to 40 x 5 uF", 0, "There are others; --most N shows more."),
        ("5 uF from up to 40 x 5 uF", 0, "10 arrangements of those that make exactly 5 µF:"),
        ("0.75 F from up to 600 x 1.5 mF", 0, "500 x 1.5 mF in parallel"),
        ("12 uF for 100 V from 8 x 6 uF rated 63 V", 0, "At 100 V: 50 V across 6 µF."),
        ("12 uF for 100 V from 8 x 6 uF rated 63 V", 0, "A caution:"),
        ("6 uF for 9 V from 6 uF rated 6.3 V", 1, "No arrangement with every capacitor within"),
        ("5 uF from 2 V", 2, "a capacitance is needed here"),
        ("5 uF from E3 between 1.1 uF and 2 uF", 2, "no value in that range"),
    ],
)
def test_what_is_printed(
    capsys: pytest.CaptureFixture[str], wish: str, code: int, said: str
) -> None:
    given, text = run(capsys, wish)
    assert given == code
    assert said in together(text)
    assert max(map(len, text.split("\n"))) <= 78


def test_no_text_is_unusable(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["arrange"]) == 2
    assert "arrange wants what to find" in capsys.readouterr().err
    assert main(["arrange", "--most", "0", "5 uF from 2 uF"]) == 2


def test_most_limits_what_is_shown(capsys: pytest.CaptureFixture[str]) -> None:
    _, text = run(capsys, "5 uF from E12", "--most", "3")
    assert "3. " in text
    assert "4. " not in text
    _, text = run(capsys, "every value from 2 uF, 3 uF, 6 uF", "--most", "2")
    assert "… 14 more" in text


def test_ascii_is_ascii(capsys: pytest.CaptureFixture[str]) -> None:
    for wish in ("7 uF from 2 uF, 3 uF, 6 uF", "75 uF from 15 x 5 uF", "every value from 2 uF"):
        _, text = run(capsys, wish, "--ascii")
        assert text.isascii()


@pytest.mark.parametrize(
    "wish",
    [
        "5 uF from 2 uF, 3 uF, 6 uF",
        "7 uF from 2 uF, 3 uF, 6 uF",
        "31.4159 uF from 47 uF, 33 uF, 22 uF, 15 uF, 10 uF, 68 uF",
        "3.14 uF from E12, within 0.5 %",
        "355 nF from up to 30 x 113 nF",
        "12 uF for 100 V from 8 x 6 uF rated 63 V",
    ],
)
def test_the_object_holds_what_the_nodal_method_finds(
    capsys: pytest.CaptureFixture[str], wish: str
) -> None:
    code, entry = found_by(capsys, wish, "--most", "5")
    assert code == (0 if entry["met"] else 1)
    assert entry["proven"]
    assert entry["found"]
    wanted = Fraction(entry["wanted"]["si"])
    for each in entry["found"]:
        drawn = as_drawn(read_network(each["network"]))
        outcome = nodal.solve(*drawn, voltage=Fraction(100))
        value = Fraction(each["value"]["si"])
        assert outcome.capacitance == value
        assert len(drawn.edges) == each["parts"]
        assert Fraction(each["percent_off"]) == (value - wanted) / wanted * 100
        assert entry["met"] == (Fraction(entry["from"]) <= value <= Fraction(entry["to"]))
        if "voltages" in each:
            told = sorted(Fraction(voltage["si"]) for voltage in each["voltages"])
            assert told == sorted(abs(c.voltage) for c in outcome.capacitors.values())


def test_every_value_as_an_object(capsys: pytest.CaptureFixture[str]) -> None:
    code, entry = found_by(capsys, "every value from up to 4 x 1 F")
    assert (code, entry["count"], entry["proven"]) == (0, 15, True)
    for each in entry["found"]:
        outcome = nodal.solve(*as_drawn(read_network(each["network"])))
        assert outcome.capacitance == Fraction(each["value"]["si"])


def test_printed_notation_reads_back(capsys: pytest.CaptureFixture[str]) -> None:
    _, text = run(capsys, "1001 uF from up to 600 x 2 uF", "--width", "200")
    (line,) = [each for each in text.split("\n") if each.strip().startswith("1. ")]
    nest = read_network(line.partition(".")[2])
    outcome = nodal.solve(*as_drawn(nest))
    assert outcome.capacitance == Fraction(1001, 10**6)
    assert len(as_drawn(nest).edges) == 502
    assert "cut short" in text


# --- In the chat --------------------------------------------------------------------------------


def talk(*lines: str) -> Answer:
    answer = open_home(Chat(Terms()))
    for line in lines:
        answer = respond(answer.chat, line)
    return answer


def text_of(answer: Answer) -> str:
    return "\n".join(message.text for message in answer.messages)


@pytest.mark.parametrize(
    "line", ["arrange 5 uF from 2 uF, 3 uF, 6 uF", "puzzle: 5 uF from 2 uF, 3 uF", "Puzzle"]
)
def test_a_puzzle_begins(line: str) -> None:
    answer = talk(line)
    assert isinstance(answer.chat.stage, InPuzzle)
    assert "A puzzle: make" in text_of(answer)
    assert standing(answer.chat) == "Arrange the capacitors; no attempts so far."
    assert may_be_typed(answer.chat)[:2] == ("C1", "C2")


def test_a_puzzle_is_solved_and_the_choice_comes_back() -> None:
    answer = talk("arrange 5 uF from 2 uF, 3 uF, 6 uF", "C1 || C3", "C1 || C2")
    assert isinstance(answer.chat.stage, Choosing)
    assert answer.messages[0].verdict == "right"
    assert answer.messages[-1].kind == "ask"
    assert is_walking(respond(answer.chat, "1").chat.stage)


def test_a_puzzle_of_the_tutors_own_can_be_solved() -> None:
    answer = talk("puzzle", "hint", "show me")
    assert isinstance(answer.chat.stage, Choosing)
    assert "--" in answer.messages[0].text or "||" in answer.messages[0].text



def test_a_wish_that_cannot_be_read_is_shown() -> None:
    answer = talk("arrange 5 uF from")
    assert isinstance(answer.chat.stage, Choosing)
    assert "too soon" in text_of(answer)
    assert answer.messages[-1].kind == "ask"


def test_another_puzzle_takes_the_place_of_this_one() -> None:
    answer = talk("puzzle", "arrange 4 uF from three 6 uF")
    assert "make 4 µF" in text_of(answer)


def test_a_puzzle_waits_for_the_end_of_a_walk() -> None:
    answer = talk("1", "puzzle")
    assert is_walking(answer.chat.stage)
    assert "when this walk is left" in text_of(answer)
    assert answer.messages[-1].kind == "ask"


def test_stop_leaves_a_puzzle() -> None:
    assert talk("puzzle", "stop").chat.is_over


def test_the_value_is_exact_in_farads(capsys: pytest.CaptureFixture[str]) -> None:
    _, entry = found_by(capsys, "5 uF from 2 uF, 3 uF")
    assert entry["found"][0]["value"] == {"si": "1/200000", "text": "5 µF"}
