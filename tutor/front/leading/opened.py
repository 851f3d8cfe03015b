"""The page opened on a network: at which address, in a thread of its own, and how it is told of."""

from __future__ import annotations

import secrets
import socket
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from threading import Thread
from time import monotonic, sleep
from typing import TYPE_CHECKING, Final

from grammar.records import Refusal
from tutor.desk.leading.led import Led
from tutor.desk.leading.room import USUAL_LIMITS, Limits, Room
from tutor.desk.leading.room_names import room_name
from tutor.desk.leading.session import Door
from tutor.desk.report import Figure
from tutor.learner.files import said

if TYPE_CHECKING:
    import asyncio

    from tutor.front.options import Options

USUAL_PORT: Final = 8737
KEY_BYTES: Final = 24
MOST_CONNECTIONS: Final = 600
OF_ONE_ADDRESS: Final = 300  # a class behind one address has room, and nobody takes it all
PATIENCE: Final = 10  # seconds for the server to start or to stop
NOWHERE: Final = "192.0.2.1"  # of RFC 5737, for documentation: nothing is sent to it
EVERY_ADDRESS: Final = ("0.0.0.0", "::", "")
ON_THIS_MACHINE: Final = ("127.0.0.1", "::1", "localhost")


def own_address() -> str:
    """This machine's address on its network. Errors: ``Refusal`` where it is on none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        probe.connect((NOWHERE, 9))
        return str(probe.getsockname()[0])
    raise Refusal(
        "This machine is on no network, so there is nowhere to open the page.",
        "Join the school's network, or name an address of this machine with --address.",
    )


def door_for(led: Led, options: Options) -> Door:
    """Where the class comes in: as before where the session has been open already, so that those
    who are in stay in. Errors: ``Refusal``.
    """
    before = led.session.door
    address = options.address or own_address()
    if address in EVERY_ADDRESS:
        raise Refusal(
            f"{address} would open the page on every network that this machine is on.",
            "Name one address of this machine, or leave --address out.",
        )
    port = options.port or (before.port if before is not None else USUAL_PORT)
    room = before.room if before is not None else room_name(secrets.choice)
    return Door(room, address, port)


@contextmanager
def opened(led: Led, door: Door, limits: Limits = USUAL_LIMITS) -> Iterator[None]:
    """The page, open for as long as the block runs. Errors: ``Refusal`` where it cannot be."""
    import uvicorn

    from tutor.front.leading.page_server import application

    at = _bound(door)
    room = Room(led, door.room, monotonic, lambda: secrets.token_urlsafe(KEY_BYTES), limits)
    hosts = [door.address, *(ON_THIS_MACHINE if door.address in ON_THIS_MACHINE else ())]
    config = uvicorn.Config(
        application(room, hosts), http=_patient(limits.patience), log_config=None,
        log_level="critical", access_log=False,
        server_header=False, limit_concurrency=MOST_CONNECTIONS, timeout_keep_alive=20,
        timeout_graceful_shutdown=2, ws="none", lifespan="on",
    )
    server = uvicorn.Server(config)
    thread = Thread(target=server.run, kwargs={"sockets": [at]}, daemon=True)
    if led.session.door != door:
        led.happened({"event": "opened", **door._asdict()})
    thread.start()
    try:
        _wait_for(server, thread)
        yield
    finally:
        server.should_exit = True
        thread.join(PATIENCE)
        at.close()


def _patient(seconds: float) -> type[asyncio.Protocol]:
    """uvicorn's own reading of HTTP, which lets go of a line on which a request has been begun and
    not been finished for so long, or an answer not been taken, and takes so many lines from one
    address: those who only hold lines open keep nobody else out.
    """
    from uvicorn.protocols.http.h11_impl import H11Protocol

    lines: Counter[str] = Counter()

    class Patient(H11Protocol):
        waiting: asyncio.TimerHandle | None = None
        stuck: asyncio.TimerHandle | None = None
        address = ""

        def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
            super().connection_made(transport)
            self.address = str((transport.get_extra_info("peername") or ("",))[0])
            lines[self.address] += 1
            if lines[self.address] > OF_ONE_ADDRESS:
                transport.abort()
            self.wait()

        def connection_lost(self, exc: Exception | None) -> None:
            super().connection_lost(exc)
            for each in (self.waiting, self.stuck):
                if each is not None:
                    each.cancel()
            lines[self.address] -= 1
            if not lines[self.address]:
                del lines[self.address]

        def pause_writing(self) -> None:
            super().pause_writing()
            self.stuck = self.loop.call_later(seconds, self.transport.abort)

        def resume_writing(self) -> None:
            super().resume_writing()
            if self.stuck is not None:
                self.stuck.cancel()

        def timeout_keep_alive_handler(self) -> None:
            super().timeout_keep_alive_handler()
            self.stuck = self.loop.call_later(seconds, self.transport.abort)  # if it takes nothing

        def data_received(self, data: bytes) -> None:
            super().data_received(data)
            if self.is_between_requests:
                self.wait()
            elif self.waiting is not None:
                self.waiting.cancel()
                self.waiting = None

        @property
        def is_between_requests(self) -> bool:
            return self.cycle is None or self.cycle.response_complete

        def wait(self) -> None:
            if self.waiting is None:
                self.waiting = self.loop.call_later(seconds, self.let_go)

        def let_go(self) -> None:
            self.waiting = None
            if self.is_between_requests and self.timeout_keep_alive_task is None:
                self.transport.close()

    return Patient


def _bound(door: Door) -> socket.socket:
    family = socket.AF_INET6 if ":" in door.address else socket.AF_INET
    at = socket.socket(family, socket.SOCK_STREAM)
    at.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        at.bind((door.address, door.port))
    except (OSError, UnicodeError) as fault:
        at.close()
        raise Refusal(
            f"The page cannot be opened at {door.address}, port {door.port}: {said(fault)}.",
            "Name another address of this machine with --address, or another port with --port.",
        ) from None
    return at


def _wait_for(server: object, thread: Thread) -> None:
    until = monotonic() + PATIENCE
    while not getattr(server, "started", False):
        if not thread.is_alive() or monotonic() > until:
            raise Refusal("The page could not be opened.", "Try another port with --port.")
        sleep(0.02)


def told_of(door: Door) -> str:
    """What is open, and what that means, for whoever leads."""
    place = door.url.partition("/#")[0]
    if door.address in ON_THIS_MACHINE:
        reach = "Only this machine can reach it."
    else:
        reach = "Whoever is on the same network as this machine can reach it."
    return (
        f"One page is open at {place} and the room is '{door.room}'. {reach} With the name of the "
        "room one sees the question, sends an answer, and after the reveal reads the explanation. "
        "The spread and what you type here cannot be reached from it, and nothing else of this "
        "machine is opened. Names and answers go through the network unencrypted: first names "
        "will do. The page closes when you leave. 'door' shows the class where it is."
    )


def shown_door(door: Door) -> Figure:
    """Where the class comes in, as a code to be scanned (ISO/IEC 18004) and in words.

    Two rows of the code make a line of half blocks; light parts are printed, so that it reads
    rightly on a dark screen.
    """
    import segno

    code = segno.make(door.url, error="m", micro=False)
    rows = [[bool(dark) for dark in row] for row in code.matrix_iter(border=4)]
    if len(rows) % 2:
        rows.append([False] * len(rows[0]))
    lines = tuple(
        "".join(_half(upper, lower) for upper, lower in zip(*pair, strict=True))
        for pair in zip(rows[::2], rows[1::2], strict=True)
    )
    return Figure("", lines, way_in(door))


def way_in(door: Door) -> str:
    """Where the class comes in, in a line."""
    return f"Come in at {door.url.partition('#')[0]} with the name of the room: {door.room}"


def _half(upper_is_dark: bool, lower_is_dark: bool) -> str:
    if upper_is_dark:
        return " " if lower_is_dark else "▄"
    return "▀" if lower_is_dark else "█"
