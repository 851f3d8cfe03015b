"""A headless Chromium driven through its debugging protocol, for pages as people see them."""

from __future__ import annotations

import base64
import json
import shutil
import subprocess
import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from websockets.sync.client import connect

PATHS = ("chromium", "chromium-browser", "google-chrome")
PATIENCE = 60


def program() -> str | None:
    """Where a Chromium is, if there is one."""
    return next((found for name in PATHS if (found := shutil.which(name))), None)


class Browser:
    """One browser; each tab has cookies of its own, as another device would."""

    def __init__(self, folder: Path) -> None:
        found = program()
        assert found is not None
        self.process = subprocess.Popen(
            [found, "--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run",
             "--disable-dev-shm-usage", "--disable-background-networking", "--disable-extensions",
             "--remote-debugging-port=0", f"--user-data-dir={folder}", "about:blank"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )
        port = folder / "DevToolsActivePort"
        until(lambda: port.exists() and len(port.read_text().splitlines()) == 2)
        number, path = port.read_text().splitlines()
        self._open = ExitStack()
        self._socket = self._open.enter_context(
            connect(f"ws://127.0.0.1:{number}{path}", max_size=None)
        )
        self._calls = 0

    def call(self, method: str, session: str | None = None, **values: Any) -> dict[str, Any]:
        self._calls += 1
        sent: dict[str, Any] = {"id": self._calls, "method": method, "params": values}
        if session is not None:
            sent["sessionId"] = session
        self._socket.send(json.dumps(sent))
        while True:
            told = json.loads(self._socket.recv(timeout=PATIENCE))
            if told.get("id") == self._calls:
                assert "error" not in told, told
                return dict(told["result"])

    def tab(self, url: str, width: int = 390, height: int = 780) -> Tab:
        context = self.call("Target.createBrowserContext")["browserContextId"]
        target = self.call("Target.createTarget", url="about:blank", browserContextId=context)
        session = self.call(
            "Target.attachToTarget", targetId=target["targetId"], flatten=True
        )["sessionId"]
        tab = Tab(self, session)
        tab.call("Emulation.setDeviceMetricsOverride", width=width, height=height,
                 deviceScaleFactor=2, mobile=True)
        tab.call("Page.navigate", url=url)
        return tab

    def close(self) -> None:
        self._open.close()
        self.process.terminate()
        self.process.wait(PATIENCE)


class Tab:
    def __init__(self, browser: Browser, session: str) -> None:
        self.browser = browser
        self.session = session

    def call(self, method: str, **values: Any) -> dict[str, Any]:
        return self.browser.call(method, self.session, **values)

    def value(self, script: str) -> Any:
        """What a script comes to on the page, once its promise is kept."""
        found = self.call(
            "Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True
        )
        assert "exceptionDetails" not in found, found["exceptionDetails"]
        return found["result"].get("value")

    def has(self, script: str) -> None:
        """Wait until a script comes to something true; while a page is laid, it may fail."""
        tried = f"(() => {{ try {{ return Boolean({script}); }} catch {{ return false; }} }})()"
        until(lambda: bool(self.value(tried)), lambda: self.value("document.body.innerText"))

    def type(self, text: str) -> None:
        """Type by the keyboard into whatever has the focus, then Enter."""
        self.call("Input.insertText", text=text)
        self.press("Enter", 13)

    def press(self, key: str, code: int) -> None:
        text = {"text": "\r"} if key == "Enter" else {}
        for kind in ("keyDown", "keyUp"):
            self.call("Input.dispatchKeyEvent", type=kind, key=key, code=key,
                      windowsVirtualKeyCode=code, **(text if kind == "keyDown" else {}))

    def picture(self, path: Path) -> None:
        data = self.call("Page.captureScreenshot", captureBeyondViewport=True)["data"]
        path.write_bytes(base64.b64decode(data))


def until(holds: Callable[[], bool], told: Callable[[], object] = lambda: "") -> None:
    """Wait for something, for as long as a slow machine may need."""
    end = time.monotonic() + PATIENCE
    while not holds():
        assert time.monotonic() < end, f"it did not come about: {told()}"
        time.sleep(0.05)
