"""What a long search shows of how far it has come, and that Ctrl-C ends it."""

from __future__ import annotations

import pytest

from tutor.front.commands import INTERRUPTED, main
from tutor.front.progress_line import ProgressLine

LONG = "31.4159 uF from 47 uF, 33 uF, 22 uF, 15 uF, 10 uF, 68 uF, 91 uF, 56 uF"
SHORT = "5 uF from 2 uF, 3 uF, 6 uF"


def seen(text: str) -> list[str]:
    """What stood on the line, one after the other."""
    return [each for each in text.split("\r") if each]


def test_a_long_search_shows_how_far_it_is(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    main(["arrange", LONG])
    steps = seen(capsys.readouterr().err)
    assert len(steps) > 1
    assert steps[-1].endswith("\n")
    done = [int(step.rpartition("] ")[2].split()[0]) for step in steps]
    assert done == sorted(done)


def test_a_short_search_shows_nothing(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    main(["arrange", SHORT])
    assert capsys.readouterr().err == ""


def test_ctrl_c_ends_a_search(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def pressed(_: ProgressLine) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(ProgressLine, "step", pressed)
    assert main(["arrange", LONG]) == INTERRUPTED
    assert capsys.readouterr().out == ""


def test_a_line_that_is_whole_is_ended_once(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stderr.isatty", lambda: True)
    line = ProgressLine("Marking", 2)
    line.step()
    line.step()
    line.end()
    assert capsys.readouterr().err.count("\n") == 1
