"""What goes wrong around the program: what the user sees then, and that nothing kept is lost.

Elsewhere: kills (`killing.py`, `tests/learner/test_record_windows.py`), records that are damaged,
foreign or on a full disk (`tests/learner/test_record_file.py`), standard streams that are closed
or full and readers that go (`test_commands.py`).
"""

from __future__ import annotations

import ctypes
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

pytest.importorskip("pty", reason="needs what POSIX has")

from tests.front.pseudo import COMMAND, ROOT, Held
from tutor.front.keeping import Keeper, Opening
from tutor.learner.record import open_record
from tutor.learner.rows import SOMEONE

HALL = "6 uF -- (9 uF || 5 uF), across 15 V"
QUESTION = "Which capacitors can be combined"
FIRST = "press Enter"
_DROP_FROM_BOUNDS, _MAY_WRITE_ANYWHERE = 24, 1  # of Linux: prctl(2), capabilities(7)


def run(
    *arguments: str | bytes, typed: bytes = b"", before: Callable[[], None] | None = None,
    **env: str,
) -> tuple[int, str]:
    """The exit code, and what was printed on either stream."""
    done = subprocess.run(
        [*COMMAND, *arguments], input=typed, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        cwd=ROOT, timeout=60, check=False, preexec_fn=before,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1", **env},
    )  # fmt: skip
    told = " ".join(done.stdout.decode("utf-8", "replace").split())
    assert "Traceback" not in told
    assert "fault of the program" not in told
    return done.returncode, told


def bound_by_permissions() -> None:
    """Where the tests run as root, take from the program what lets root write everywhere."""
    ctypes.CDLL(None).prctl(_DROP_FROM_BOUNDS, _MAY_WRITE_ANYWHERE, 0, 0, 0)


def full_disk() -> None:
    """No file may grow beyond 100 kB from here on."""
    import resource

    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000))


@pytest.fixture
def locked(tmp_path: Path) -> Path:
    folder = tmp_path / "locked"
    folder.mkdir(mode=0o555)
    return folder


def test_a_disk_that_takes_no_more_stops_neither_the_chat_nor_what_was_kept(
    tmp_path: Path,
) -> None:
    path = tmp_path / "record.sqlite"
    lines = HALL + "\nC2 C3\n" + "hint\n" * 40 + "stop\n"
    code, told = run(
        "--plain", "--record", str(path), typed=lines.encode(), before=full_disk
    )
    assert code == 0
    assert "That line could not be kept" in told
    assert "Stopped after" in told
    with open_record(path, 0.0) as record:
        learner = record.find(SOMEONE)
        assert learner is not None
        (sitting,) = record.sittings(learner)
        kept = [each.line for each in record.kept(sitting.id)]
    assert kept[:2] == [HALL, "C2 C3"]


def test_a_folder_for_reading_only(locked: Path) -> None:
    code, told = run("sheet", "lesson", "3", "--out", str(locked / "s.html"),
                     before=bound_by_permissions)
    assert (code, "cannot be written: permission denied" in told) == (2, True)
    code, told = run("--plain", "--record", str(locked / "r.sqlite"), before=bound_by_permissions)
    assert (code, "Allow reading and writing there" in told) == (2, True)
    code, told = run("--plain", typed=b"set figures 4\nstop\n", before=bound_by_permissions,
                     XDG_CONFIG_HOME=str(locked), XDG_DATA_HOME=str(locked))
    assert (code, "They hold until you leave" in told) == (0, True)


@pytest.mark.parametrize("home", ["/dev/null", "/proc/1/none", ""])
def test_without_a_home_the_chat_goes_on_and_says_that_nothing_is_kept(home: str) -> None:
    places = {"HOME": home, "XDG_CONFIG_HOME": f"{home or '/dev/null'}/c",
              "XDG_DATA_HOME": f"{home or '/dev/null'}/d"}
    with Held(COMMAND, **places) as held:
        assert held.wait_for(FIRST)
        held.type("2\r")
        assert held.wait_for(QUESTION)
        held.type("stop\r")
        told = held.to_the_end()
    assert "goes on without keeping anything" in told
    assert "Traceback" not in told
    assert held.program.returncode == 0


def test_a_clock_that_was_set_back_loses_no_line(tmp_path: Path) -> None:
    now = [2_000_000_000.0]
    path = tmp_path / "record.sqlite"
    for lines in ((HALL, "C2 C3"), ("go on", "the p.d., P and B", "14 uF")):
        with open_record(path, now[0]) as record:
            host = Keeper(record, record.learner(SOMEONE, now[0]), lambda: now[0])
            chat = host.open(Opening()).chat
            for line in lines:
                answer = host.hear(chat, line)
                chat = answer.chat
                now[0] -= 86_400.0
        now[0] -= 10_000_000.0
    assert [each.verdict for each in answer.messages if each.verdict] == ["right"]
    with open_record(path, now[0]) as record:
        learner = record.find(SOMEONE)
        assert learner is not None
        lines_kept = [
            each.line for sitting in record.sittings(learner) for each in record.kept(sitting.id)
        ]
    assert {HALL, "C2 C3", "the p.d., P and B", "14 uF"} <= set(lines_kept)


@pytest.mark.parametrize("own_session", [True, False])
def test_a_terminal_that_vanishes_leaves_what_was_kept(tmp_path: Path, own_session: bool) -> None:
    """With the signal that a terminal sends when it goes, and without."""
    path = tmp_path / "record.sqlite"
    with Held([*COMMAND, "--record", str(path)], own_session=own_session) as held:
        assert held.wait_for("Behind the bench")
        held.type("2\r")
        assert held.wait_for(QUESTION)
        held.type("C2 C3\r")
        assert held.wait_for("those two can become one")
        held.hang_up()
        code = held.program.wait(20)
    assert code in (0, 2, -signal.SIGHUP)
    _, told = run("--plain", "--record", str(path), typed=b"go on\nthe p.d., P and B\nstop\n")
    assert "they share one p.d." in told


@pytest.mark.parametrize("columns", [12, 20])
def test_a_narrow_terminal(columns: int) -> None:
    with Held(COMMAND, columns=columns) as held:
        assert held.wait_for(">")
        held.type("2\r")
        held.type("drawing\r")
        held.type("stop\r")
        told = held.to_the_end()
    assert "Traceback" not in told
    assert held.program.returncode == 0


def test_a_locale_that_is_not_utf_8() -> None:
    plain = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    code, told = run("explain", "6 µF -- 3 µF".encode("latin-1"), **plain)
    assert code == 2
    assert told.isascii()
    code, told = run("--plain", typed="6 µF -- 3 µF\nstop\n".encode("latin-1"),
                     PYTHONIOENCODING="latin-1")
    assert (code, "C1, 6 uF, from A to P" in told) == (0, True)
    code, told = run("--plain", typed="6 µF -- 3 µF\nstop\n".encode(), **plain)
    assert code == 0
    assert told.isascii()


_JOB = """
import os, signal, subprocess, sys
signal.signal(signal.SIGTTOU, signal.SIG_IGN)
program = subprocess.Popen(sys.argv[1:], process_group=0)
os.tcsetpgrp(0, program.pid)
_, status = os.waitpid(program.pid, os.WUNTRACED)
os.tcsetpgrp(0, os.getpid())
print("SUSPENDED" if os.WIFSTOPPED(status) else "OVER", flush=True)
input()
os.tcsetpgrp(0, program.pid)
os.killpg(program.pid, signal.SIGCONT)
sys.exit(program.wait())
"""


def test_ctrl_z_suspends_and_the_walk_goes_on_afterwards() -> None:
    with Held([sys.executable, "-c", _JOB, *COMMAND], own_session=True) as held:
        assert held.wait_for(FIRST)
        held.type("2\r")
        assert held.wait_for("Step 1 of 2")
        held.type("\x1a")
        assert held.wait_for("SUSPENDED")
        held.type("\n")
        assert held.wait_for("Step 1 of 2")
        held.type("C2 C3\r")
        assert held.wait_for("those two can become one")
        held.type("stop\r")
        held.to_the_end()
        assert held.program.wait(20) == 0
