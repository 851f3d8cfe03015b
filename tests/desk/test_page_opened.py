"""The page of a class opened at a port of this machine, and whatever else comes in there."""

from __future__ import annotations

import socket
import subprocess
import sys
import tempfile
import time
from contextlib import suppress
from http.client import HTTPConnection
from io import StringIO
from pathlib import Path

import pytest

from tests.desk.leads import NETWORK, led_in
from tutor.desk.leading.event_file import read_events
from tutor.desk.leading.room import USUAL_LIMITS
from tutor.desk.leading.session import Door
from tutor.front.commands import main
from tutor.front.leading.opened import opened, shown_door

ROOT = Path(__file__).parents[2]
ROOM = "amber kettle"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def test_noise_on_the_line_reaches_neither_the_session_nor_the_screen(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    led, port = led_in(tmp_path), free_port()
    before = led.session
    with opened(led, Door(ROOM, "127.0.0.1", port)):
        for noise in (
            b"\0\xff\xfe\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"POST /predict HTTP/1.1\r\n",
            b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n" + b"A: b\r\n" * 20_000 + b"\r\n",
        ):
            with socket.create_connection(("127.0.0.1", port)) as line, suppress(OSError):
                line.sendall(noise)
                line.settimeout(2)
                line.recv(1_000)
        assert led.session.posed == before.posed
    led.file.close()
    assert capfd.readouterr() == ("", "")


def test_a_line_on_which_nothing_comes_is_let_go(tmp_path: Path) -> None:
    led, port = led_in(tmp_path), free_port()
    limits = USUAL_LIMITS._replace(patience=0.3)
    with opened(led, Door(ROOM, "127.0.0.1", port), limits):
        for begun in (b"", b"GET /now HTTP/1.1\r\nHost: 127.0"):
            with socket.create_connection(("127.0.0.1", port), timeout=15) as line:
                line.sendall(begun)
                assert line.recv(10_000) == b""
        head = b"POST /come-in HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
        with socket.create_connection(("127.0.0.1", port), timeout=15) as line:
            line.sendall(head + b"Content-Length: 90\r\n\r\n{")
            assert line.recv(10_000).startswith(b"HTTP/1.1 408")
        used = HTTPConnection("127.0.0.1", port, timeout=15)
        for _ in range(3):  # one that is used is kept
            used.request("GET", "/nowhere")
            assert used.getresponse().read() == b"There is nothing here.\n"
            time.sleep(0.5)
        used.close()
    led.file.close()


def test_a_line_that_takes_no_answers_is_let_go(tmp_path: Path) -> None:
    led, port = led_in(tmp_path), free_port()
    asked = b"GET /page.js HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n" * 50
    with opened(led, Door(ROOM, "127.0.0.1", port), USUAL_LIMITS._replace(patience=0.5)):
        with socket.socket() as line:
            line.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2_048)
            line.connect(("127.0.0.1", port))
            line.settimeout(20)
            with pytest.raises(ConnectionError):
                ask_for_ever(line, asked)
        assert reached(port)
    led.file.close()


def test_one_address_cannot_take_all_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tutor.front.leading.opened.OF_ONE_ADDRESS", 3)
    led, port = led_in(tmp_path), free_port()
    with opened(led, Door(ROOM, "127.0.0.1", port)):
        held = [socket.create_connection(("127.0.0.1", port), timeout=15) for _ in range(3)]
        with socket.create_connection(("127.0.0.1", port), timeout=15) as another:
            assert is_ended(another)
        for line in held:
            line.close()
        until = time.monotonic() + 15
        while not reached(port) and time.monotonic() < until:
            time.sleep(0.1)
        assert reached(port)
    led.file.close()


def ask_for_ever(line: socket.socket, asked: bytes) -> None:
    while True:
        line.sendall(asked)


def reached(port: int) -> bool:
    """Whether the page is given out."""
    asking = HTTPConnection("127.0.0.1", port, timeout=15)
    try:
        asking.request("GET", "/")
        return asking.getresponse().status == 200
    except OSError:
        return False
    finally:
        asking.close()


def is_ended(line: socket.socket) -> bool:
    """Whether the other side has ended the line, without an answer."""
    try:
        return line.recv(1) == b""
    except ConnectionError:
        return True


def test_page_is_opened_where_it_is_said_and_goes_on_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file, port = str(tmp_path / "s.jsonl"), free_port()
    for arguments in ([NETWORK, "--port", str(port)], []):
        monkeypatch.setattr("sys.stdin", StringIO("door\nwho\nstop\n"))
        code = main(["lead", *arguments, "--session", file, "--open", "--address", "127.0.0.1"])
        out = " ".join(capsys.readouterr().out.split())
        assert code == 0
        assert f"http://127.0.0.1:{port}" in out
        assert "Only this machine can reach it" in out
        assert "Nobody has come in" in out
        assert max(map(len, out.split(" "))) <= 80
    rooms = {each["room"] for each in read_events(Path(file)) if each["event"] == "opened"}
    assert len(rooms) == 1


@pytest.mark.parametrize(
    ("more", "told"),
    [
        (["--address", "0.0.0.0"], "every network"),
        (["--address", "203.0.113.7"], "cannot be opened at 203.0.113.7"),
        (["--address", "127.0.0.1", "--port", "80"], "1024 to 65535"),
    ],
)
def test_a_page_that_cannot_be_opened_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    more: list[str], told: str,
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO(""))
    code = main(["lead", NETWORK, "--session", str(tmp_path / "s.jsonl"), "--open", *more])
    assert code == 2
    assert told in " ".join(capsys.readouterr().err.split())


def test_a_port_that_is_taken_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", StringIO(""))
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = str(other.getsockname()[1])
        assert main(["lead", NETWORK, "--session", str(tmp_path / "s.jsonl"), "--open",
                     "--address", "127.0.0.1", "--port", port]) == 2
    assert "another port with --port" in " ".join(capsys.readouterr().err.split())


def test_the_code_to_scan_holds_the_address() -> None:
    """Its size is that of ISO/IEC 18004: 21 modules and 4 for each version, 4 round about it."""
    at = Door(ROOM, "127.0.0.1", 8737)
    figure = shown_door(at)
    assert at.url == "http://127.0.0.1:8737/#amber-kettle"
    width = len(figure.lines[0])
    assert (width - 8 - 21) % 4 == 0
    assert {len(line) for line in figure.lines} == {width}
    assert len(figure.lines) == (width + 1) // 2
    assert set("".join(figure.lines)) <= set(" ▀▄█")
    assert ROOM in figure.told


def test_server_is_not_loaded_before_it_is_wanted() -> None:
    code = (
        "import sys, io; sys.stdin = io.StringIO(''); from tutor.front.commands import main; "
        "main(['lead', '4 uF -- 3 uF', '--session', sys.argv[1]]); "
        "sys.exit(any(m in sys.modules for m in ('starlette', 'uvicorn', 'segno', 'asyncio')))"
    )
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            [sys.executable, "-c", code, f"{folder}/s.jsonl"], cwd=ROOT, capture_output=True,
            check=False,
        )
    assert done.returncode == 0, done.stderr
