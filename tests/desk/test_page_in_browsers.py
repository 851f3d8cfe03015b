"""A class of 40: 8 in tabs of a real browser, 32 over HTTP; every answer counts once."""

from __future__ import annotations

import os
import socket
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from importlib.resources import files
from pathlib import Path

import httpx2 as httpx
import pytest

from tests.desk.chromium import Browser, Tab, program, until
from tests.desk.leads import led_in, said, text_in
from tutor.desk.leading.led import Led
from tutor.desk.leading.session import Door
from tutor.front.leading.opened import opened

TABS, CLIENTS = 8, 32
SCRIPT = "<img src=x onerror=alert(1)><script>alert(2)</script>"

pytestmark = pytest.mark.skipif(
    program() is None and "CI" not in os.environ,
    reason="no Chromium on this machine: apt-get install chromium brings Debian's",
)


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    found = Browser(tmp_path_factory.mktemp("browser"))
    yield found
    found.close()


def door() -> Door:
    """A room at a port of this machine that is free."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return Door("amber kettle", "127.0.0.1", probe.getsockname()[1])


@contextmanager
def open_session(folder: Path, at: Door) -> Iterator[Led]:
    led = led_in(folder)
    try:
        with opened(led, at):
            yield led
    finally:
        led.file.close()


def address(at: Door) -> str:
    return at.url.partition("/#")[0]


def shows(tab: Tab, part: str, text: str) -> None:
    tab.has(f"document.getElementById('{part}').textContent.includes({text!r})")


def come_in(tab: Tab, name: str) -> None:
    """By the keyboard alone: the scanned address has filled in the room."""
    tab.has("document.activeElement.id === 'name'")
    tab.type(name)
    shows(tab, "asked", "can be combined")


def predict(tab: Tab, text: str) -> None:
    tab.value("document.getElementById('answer').focus()")
    tab.value("document.getElementById('answer').select()")
    tab.type(text)
    shows(tab, "yours", f"Received: {text}.")


def sent(client: httpx.Client, text: str, number: int = 1, at: int = 1) -> int:
    answer = {"text": text, "question": number, "round": at}
    return client.post("/predict", json=answer).status_code


def drop(client: httpx.Client, at: Door, text: str, whole: bool) -> None:
    """An answer sent on a connection that is gone before its receipt, or in its middle."""
    body = f'{{"text": "{text}", "question": 1, "round": 1}}'.encode()
    head = (
        f"POST /predict HTTP/1.1\r\nHost: 127.0.0.1:{at.port}\r\n"
        f"Cookie: learner={client.cookies['learner']}\r\nContent-Type: application/json\r\n"
        f"Content-Length: {len(body)}\r\n\r\n"
    ).encode()
    with socket.create_connection((at.address, at.port)) as line:
        line.sendall(head + (body if whole else body[:10]))


def given(led: Led) -> Counter[str]:
    posed = led.session.posed
    assert posed is not None
    return Counter(each.text for each in posed.rounds[-1].predictions.values())


def test_each_of_forty_counts_once_through_a_dropped_line_and_a_restart(
    tmp_path: Path, browser: Browser
) -> None:
    at = door()
    clients = [httpx.Client(base_url=address(at), timeout=30) for _ in range(CLIENTS)]
    with open_session(tmp_path, at) as led:
        tabs = [browser.tab(at.url) for _ in range(TABS)]
        with ThreadPoolExecutor(8) as hands:
            ins = hands.map(
                lambda c: c.post("/come-in", json={"room": "Amber Kettle", "name": "x"}), clients
            )
            assert [each.status_code for each in ins] == [200] * CLIENTS
            for number, tab in enumerate(tabs):
                come_in(tab, SCRIPT if number == 0 else f"learner {number}")
            for tab in tabs[:5]:
                predict(tab, "C1 C2")
            assert list(hands.map(lambda c: sent(c, "C1 C2"), clients[:20])) == [200] * 20
        for client in clients[20:22]:
            drop(client, at, "C2 C3", whole=True)
            assert sent(client, "C2 C3") == 200  # sent once more, since no receipt came
        drop(clients[22], at, "C1 C2", whole=False)
        assert len(led.session.joined) == TABS + CLIENTS
        assert given(led) == {"C1 C2": 25, "C2 C3": 2}
        assert SCRIPT[:40] in led.session.joined.values()
        for tab in tabs:
            assert tab.value("document.querySelectorAll('script, main img').length") == 2
    shows(tabs[7], "status", "Not connected")
    tabs[7].value("document.getElementById('answer').value = 'C2 C3'")

    with open_session(tmp_path, at) as led:
        assert given(led) == {"C1 C2": 25, "C2 C3": 2}
        shows(tabs[7], "status", "Connected again")
        assert tabs[7].value("document.getElementById('answer').value") == "C2 C3"
        for tab in tabs[5:]:
            predict(tab, "C2 C3")
        predict(tabs[0], "C2 C3")  # in the place of an earlier one
        with ThreadPoolExecutor(8) as hands:
            more = hands.map(lambda c: sent(c, "C2 C3"), clients[22:])
            assert list(more) == [200] * 10
        assert given(led) == {"C1 C2": 24, "C2 C3": 16}
        assert "Right in all | 16 of 40" in text_in(said(led, "spread")[0])
        said(led, "reveal")
        for tab in tabs:
            shows(tab, "told", "C2 and C3 can be combined")
        shows(tabs[1], "reply", "Three plates meet at P")
        shows(tabs[0], "reply", "That is right.")
        stale = [sent(client, "C2 C3") for client in clients]
        assert stale == [409] * CLIENTS
        said(led, "next")
        for tab in tabs:
            shows(tab, "asked", "do C2 and C3 share")
            assert tab.value("document.getElementById('answer').value") == ""
    for client in clients:
        client.close()


def test_a_wrong_room_is_told_and_can_be_put_right(tmp_path: Path, browser: Browser) -> None:
    at = door()
    with open_session(tmp_path, at) as led:
        tab = browser.tab(address(at))
        tab.has("document.activeElement.id === 'room'")
        tab.type("amber teapot")
        shows(tab, "status", "No room of that name")
        assert not led.session.joined
        tab.value("document.getElementById('room').select()")
        tab.type("amber kettle")
        shows(tab, "asked", "can be combined")
        until(lambda: len(led.session.joined) == 1)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_checker_of_accessibility_finds_nothing(
    tmp_path: Path, browser: Browser, scheme: str
) -> None:
    """axe-core (rules for WCAG 2), at each stage of the page, at the width of a phone."""
    axe = (files("axe_core_python") / "axe.min.js").read_text("utf-8")
    at = door()
    with open_session(tmp_path, at) as led:
        tab = browser.tab(at.url)
        tab.call("Emulation.setEmulatedMedia",
                 features=[{"name": "prefers-color-scheme", "value": scheme}])
        tab.has("document.activeElement.id === 'name'")
        found = {"door": checked(tab, axe)}
        come_in(tab, "Ada")
        found["asking"] = checked(tab, axe)
        predict(tab, "C1 C2")
        found["answered"] = checked(tab, axe)
        said(led, "hint", "again")
        shows(tab, "status", "once more")
        found["again"] = checked(tab, axe)
        said(led, "reveal")
        shows(tab, "told", "can be combined")
        found["revealed"] = checked(tab, axe)
        assert tab.value("document.documentElement.scrollWidth") <= 390
    assert not [rule for broken in found.values() for rule in broken]


def checked(tab: Tab, axe: str) -> list[str]:
    """The rules that are broken here, with what breaks them."""
    tab.value(f"{axe}; 0")
    return list(tab.value(
        "axe.run().then(r => r.violations.map(v => v.id + ': ' + "
        "v.nodes.map(n => n.html).join(' ')))"
    ))


def test_checker_of_accessibility_can_find_something(tmp_path: Path, browser: Browser) -> None:
    axe = (files("axe_core_python") / "axe.min.js").read_text("utf-8")
    at = door()
    with open_session(tmp_path, at):
        tab = browser.tab(at.url)
        tab.has("document.activeElement.id === 'name'")
        tab.value("document.querySelector('label').remove()")
        assert any(each.startswith("label:") for each in checked(tab, axe))
