"""200 predictions a second on the page of a class, beside an empty handler of the same server.

Run as a program it is the class: it sends for some seconds and prints the time, in seconds, within
which 99 of 100 were answered, counted from when each was due.
"""

from __future__ import annotations

import asyncio
import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Thread

from tests.desk.leads import led_in
from tutor.desk.leading.allowance import Pace
from tutor.desk.leading.room import Limits
from tutor.desk.leading.session import Door
from tutor.front.leading.opened import opened

ROOM, LEARNERS, A_SECOND, SECONDS = "amber kettle", 40, 200, 4
ENDLESS = Pace(1e9, 1e9)
LIMITS = Limits(answers=ENDLESS, coming_in=ENDLESS, asking=ENDLESS)
PORT = 18737


def slowest_answers(takes: int = 3) -> tuple[float, float]:
    """The 99th percentile of predictions and of the empty handler, each the best of some takes in
    turn.
    """
    ours, empty = [], []
    with tempfile.TemporaryDirectory() as folder, session(Path(folder)), empty_handler():
        for _ in range(takes):
            empty.append(sent_to(PORT + 1))
            ours.append(sent_to(PORT))
    return min(ours), min(empty)


@contextmanager
def session(folder: Path) -> Iterator[None]:
    led = led_in(folder)
    with opened(led, Door(ROOM, "127.0.0.1", PORT), LIMITS):
        yield
    posed = led.session.posed
    assert posed is not None
    assert posed.rounds[-1].answered % LEARNERS == 0, "every prediction is counted"
    led.file.close()


@contextmanager
def empty_handler() -> Iterator[None]:
    import uvicorn
    from starlette.applications import Starlette
    from starlette.requests import Request
    from starlette.responses import Response
    from starlette.routing import Route

    async def empty(request: Request) -> Response:
        del request
        return Response(b"{}", media_type="application/json")

    routes = [Route(path, empty, methods=["POST"]) for path in ("/predict", "/come-in")]
    config = uvicorn.Config(Starlette(routes=routes), port=PORT + 1, log_config=None,
                            access_log=False)
    server = uvicorn.Server(config)
    thread = Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield
    server.should_exit = True
    thread.join()


def sent_to(port: int) -> float:
    command = [sys.executable, "-m", "tests.desk.loaded", str(port)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return float(done.stdout)


# The class


async def sending(port: int) -> float:
    lines = [await Device.at(port) for _ in range(LEARNERS)]
    start = time.perf_counter() + 0.1
    gap = LEARNERS / A_SECOND
    taken = await asyncio.gather(*(
        line.send(start + number * gap / LEARNERS, gap) for number, line in enumerate(lines)
    ))
    times = sorted(each for found in taken for each in found)
    return times[int(len(times) * 0.99)]


class Device:
    def __init__(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        self.reader = reader
        self.writer = writer
        self.cookie = ""

    @staticmethod
    async def at(port: int) -> Device:
        device = Device(*await asyncio.open_connection("127.0.0.1", port))
        head = await device.post("/come-in", {"room": ROOM, "name": ""})
        for line in head.split("\r\n"):
            name, _, value = line.partition(": ")
            if name == "set-cookie":
                device.cookie = f"Cookie: {value.partition(';')[0]}\r\n"
        return device

    async def send(self, first: float, gap: float) -> list[float]:
        found = []
        for number in range(round(SECONDS / gap)):
            due = first + number * gap
            await asyncio.sleep(max(0.0, due - time.perf_counter()))
            await self.post("/predict", {"text": f"{number} uF", "question": 1, "round": 1})
            found.append(time.perf_counter() - due)
        return found

    async def post(self, path: str, sent: object) -> str:
        body = json.dumps(sent)
        self.writer.write(
            f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1\r\n{self.cookie}"
            f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n{body}".encode()
        )
        head = (await self.reader.readuntil(b"\r\n\r\n")).decode()
        assert head.startswith("HTTP/1.1 200"), head
        length = next(
            int(line.partition(":")[2]) for line in head.split("\r\n")
            if line.startswith("content-length")
        )
        await self.reader.readexactly(length)
        return head


if __name__ == "__main__":
    print(asyncio.run(sending(int(sys.argv[1]))))
