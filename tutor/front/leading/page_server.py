"""The one page that a class answers on: an ASGI application, and the server it runs in.

Imported only with ``--open``. It knows six addresses and no other: the page, its style and its
script, coming in, what is before the class now, a picture of it, and an answer. Whoever leads does
so in the terminal; nothing of that can be asked for here.
"""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import Awaitable, Callable, MutableMapping, Sequence
from contextlib import asynccontextmanager
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

from grammar.records import Refusal
from tutor.desk.leading.room import (
    NOT_IN,
    PASSED,
    TOO_FAST,
    TOO_LONG,
    TOO_SLOW,
    UNUSABLE,
    Room,
    RoomReply,
    tag_of,
)
from tutor.desk.leading.session import Happening

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from starlette.applications import Starlette
    from starlette.requests import Request
    from starlette.responses import Response

AsgiScope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]

LONGEST_BODY: Final = 4_000
KEY: Final = "learner"
DAY: Final = 86_400
NOT_KEPT: Final = RoomReply(503, "That could not be kept. Tell whoever leads, and send it again.")
NOT_HERE: Final = "There is nothing here.\n"
_HOST: Final = re.compile(r"(?:\[([0-9A-Fa-f:.]+)\]|([^\s\[\]:@/]+))(?::\d{1,5})?")
STANDARD_HEADERS: Final = tuple(
    (name.encode(), value.encode()) for name, value in (
        ("content-security-policy",
         "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
         "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"),
        ("x-content-type-options", "nosniff"),
        ("x-frame-options", "DENY"),
        ("referrer-policy", "no-referrer"),
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
        ("permissions-policy", "camera=(), geolocation=(), microphone=()"),
        ("cache-control", "no-store"),
    )
)


class Writer:
    """Writes what happens, with all that came in the meantime, in one go: each answer is on the
    disk before its sender hears of it, and many cost no more than one.
    """

    def __init__(self, room: Room) -> None:
        self.room = room
        self._waiting: list[tuple[Happening, asyncio.Future[bool]]] = []
        self._called = asyncio.Event()

    async def write(self, happening: Happening) -> bool:
        """Whether it counted. Errors: ``Refusal`` where it could not be written."""
        done: asyncio.Future[bool] = asyncio.get_running_loop().create_future()
        self._waiting.append((happening, done))
        self._called.set()
        return await done

    async def run(self) -> None:
        """Write for as long as the server runs."""
        while True:
            await self._called.wait()
            self._called.clear()
            batch, self._waiting = self._waiting, []
            try:
                counted = await asyncio.to_thread(self._written, [each for each, _ in batch])
            except Refusal as refusal:
                for _, done in batch:
                    if not done.done():
                        done.set_exception(Refusal(refusal.found, refusal.cure))
                continue
            for (_, done), counts in zip(batch, counted, strict=True):
                if not done.done():  # whoever sent it may have gone
                    done.set_result(counts)

    def _written(self, batch: Sequence[Happening]) -> list[bool]:
        return self.room.led.take(batch)


WHY_NAME: Final = (
    "Only whoever leads sees it, to know who is here; it goes when the session is ended."
)
WHY_RECORDED: Final = (
    "Only whoever leads sees it. Under it the first thing you answer to each question is kept in "
    "their record. Without a name nothing of you is kept."
)


class ClassPage:
    """Answers the requests of a class."""

    def __init__(self, room: Room) -> None:
        self.room = room
        self.writer = Writer(room)
        self._pictures: dict[int, str] = {}
        folder = files("tutor.front.leading") / "page"
        self._files = {
            name: (folder / name).read_text("utf-8")
            for name in ("page.html", "page.css", "page.js")
        }

    # Each of the six addresses

    async def html(self, request: Request) -> Response:
        """The page itself."""
        from starlette.responses import Response

        del request
        why = WHY_RECORDED if self.room.led.session.record else WHY_NAME
        text = self._files["page.html"].replace("<!-- why -->", why)
        return Response(text, media_type="text/html")

    async def css(self, request: Request) -> Response:
        """Its style."""
        return self._file(request, "page.css", "text/css")

    async def js(self, request: Request) -> Response:
        """Its script."""
        return self._file(request, "page.js", "text/javascript")

    def _file(self, request: Request, name: str, kind: str) -> Response:
        from starlette.responses import Response

        del request
        return Response(self._files[name], media_type=kind)

    async def come_in(self, request: Request) -> Response:
        """Into the room by its name."""
        asked = await self._object_in(request)
        if isinstance(asked, RoomReply):
            return _json(asked)
        told, happening = self.room.come_in(asked, _address(request))
        if happening is None:
            return _json(told)
        try:
            await self.writer.write(happening)
        except Refusal:
            return _json(NOT_KEPT)
        response = _json(told)
        response.set_cookie(
            KEY, told.key, max_age=DAY, httponly=True, samesite="strict", path="/"
        )
        return response

    async def now(self, request: Request) -> Response:
        """What is before the class; nothing where that has not changed."""
        from starlette.responses import Response

        who = self._who(request)
        if who is None:
            return _json(NOT_IN)
        seen = self.room.now(who)
        tag = tag_of(seen)
        if request.headers.get("if-none-match") == tag:
            return Response(status_code=304, headers={"ETag": tag})
        response = _json(RoomReply(200, seen=seen))
        response.headers["ETag"] = tag
        return response

    async def picture(self, request: Request) -> Response:
        """The network of the question that is on, for who is in."""
        from starlette.responses import PlainTextResponse, Response

        posed = self.room.led.session.posed
        number = request.query_params.get("question", "")
        if self._who(request) is None or posed is None or number != str(posed.number):
            return PlainTextResponse(NOT_HERE, 404)
        if posed.number not in self._pictures:
            self._pictures[posed.number] = await asyncio.to_thread(_drawn, posed)
        drawn = self._pictures[posed.number]
        if not drawn:
            return PlainTextResponse(NOT_HERE, 404)
        return Response(drawn, media_type="image/svg+xml")

    async def predict(self, request: Request) -> Response:
        """An answer to the question that is on."""
        who = self._who(request)
        if who is None:
            return _json(NOT_IN)
        asked = await self._object_in(request)
        found = asked if isinstance(asked, RoomReply) else self.room.answer_of(asked, who)
        if isinstance(found, RoomReply):
            return _json(found)
        try:
            counts = await self.writer.write(found)
        except Refusal:
            return _json(NOT_KEPT)
        return _json(RoomReply(200) if counts else PASSED)

    async def _object_in(self, request: Request) -> object:
        """The object that was posted, or why it cannot be used; no more is read than may be."""
        if request.headers.get("content-type", "").partition(";")[0] != "application/json":
            return UNUSABLE
        data = b""
        try:
            async with asyncio.timeout(self.room.limits.patience):
                async for piece in request.stream():
                    data += piece
                    if len(data) > LONGEST_BODY:
                        return TOO_LONG
            return json.loads(data)
        except TimeoutError:
            return TOO_SLOW
        except (ValueError, RecursionError):
            return UNUSABLE

    def _who(self, request: Request) -> str | None:
        return self.room.who(request.cookies.get(KEY, ""))


def application(room: Room, hosts: Sequence[str]) -> Starlette:
    """The whole application. ``hosts`` are the names under which it may be asked for."""
    from starlette.applications import Starlette
    from starlette.middleware import Middleware
    from starlette.routing import Route

    page = ClassPage(room)

    @asynccontextmanager
    async def running(app: Starlette) -> AsyncIterator[None]:
        del app
        writing = asyncio.create_task(page.writer.run())
        yield
        writing.cancel()

    return Starlette(
        routes=[
            Route("/", page.html, methods=["GET"]),
            Route("/page.css", page.css, methods=["GET"]),
            Route("/page.js", page.js, methods=["GET"]),
            Route("/now", page.now, methods=["GET"]),
            Route("/picture", page.picture, methods=["GET"]),
            Route("/come-in", page.come_in, methods=["POST"]),
            Route("/predict", page.predict, methods=["POST"]),
        ],
        middleware=[Middleware(Gate, room=room, hosts=frozenset(hosts))],
        exception_handlers={404: _nothing_here, 405: _nothing_here, 500: _nothing_here},
        lifespan=running,
    )


class Gate:
    """Before all else: the name under which this was asked for, where a post comes from, and how
    much this address has asked for of late. Behind all: the headers that every answer has.
    """

    def __init__(self, app: Any, room: Room, hosts: frozenset[str]) -> None:
        self.app = app
        self.room = room
        self.hosts = hosts

    async def __call__(self, scope: AsgiScope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return

        async def send_with_headers(message: MutableMapping[str, Any]) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message["headers"], *STANDARD_HEADERS]
            await send(message)

        refusal = self._refusal(scope)
        app = self.app if refusal is None else _json(refusal)
        await app(scope, receive, send_with_headers)

    def _refusal(self, scope: AsgiScope) -> RoomReply | None:
        headers = {name: value.decode("latin-1") for name, value in scope["headers"]}
        host = headers.get(b"host", "")
        if _name_of(host) not in self.hosts:
            return UNUSABLE
        origin = headers.get(b"origin")
        if scope["method"] != "GET" and origin not in (None, f"http://{host}"):
            return UNUSABLE
        return None if self.room.may_ask(_of_scope(scope)) else TOO_FAST


def _name_of(host: str) -> str:
    """The name or address that was asked for, without its port; '' for what is no such thing."""
    found = _HOST.fullmatch(host)
    return (found[1] or found[2]).lower() if found else ""


async def _nothing_here(request: Request, fault: Exception) -> Response:
    from starlette.responses import PlainTextResponse

    del request
    return PlainTextResponse(NOT_HERE, getattr(fault, "status_code", 500))


def _json(told: RoomReply) -> Response:
    from starlette.responses import JSONResponse

    return JSONResponse(told.body, told.status)


def _address(request: Request) -> str:
    return _of_scope(request.scope)


def _of_scope(scope: AsgiScope) -> str:
    client = scope.get("client")
    return client[0] if client else ""


def _drawn(posed: Any) -> str:
    """The picture as SVG; '' where there is none."""
    from tutor.desk.pictures.canvas import svg
    from tutor.desk.pictures.diagram import diagram

    if posed.drawn is None:
        return ""
    try:
        return svg(diagram(posed.drawn), "light")
    except Refusal:
        return ""
