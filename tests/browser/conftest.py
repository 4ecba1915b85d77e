"""A browser with the outside blocked, driven over a pipe by its own protocol: nothing to install beside it."""

from __future__ import annotations

import base64
import json
import os
import select
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from tests.patience import PATIENCE, free_port, serving, until

FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
    "--remote-debugging-pipe",
    "--window-size=1300,1000",
]

#: The height of a phone in pixels.
PHONE = 844


@dataclass
class Seen:
    """What happened on a page: the addresses it asked for, and what it complained of."""

    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    @property
    def outside(self) -> list[str]:
        """Every request that did not stay on this machine."""
        return [url for url in self.asked if not url.startswith(("http://127.0.0.1:", "data:", "blob:", "about:"))]


class Browser:
    """One browser process."""

    def __init__(self, program: str, profile: Path) -> None:
        from_us, to_us = os.pipe(), os.pipe()
        # The protocol's pipes are the file descriptors 3 and 4, whatever numbers they have here.
        script = f'exec "$0" "$@" 3<&{from_us[0]} 4>&{to_us[1]}'
        command = ["bash", "-c", script, program, *FLAGS, f"--user-data-dir={profile}", "about:blank"]
        self.process = subprocess.Popen(
            command, pass_fds=(from_us[0], to_us[1]), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        os.close(from_us[0])
        os.close(to_us[1])
        self._write, self._read = from_us[1], to_us[0]
        self._number = 0
        self._unread = b""
        self.seen = Seen()

    def call(self, method: str, session: str | None = None, **params: Any) -> dict[str, Any]:
        """Send a command and return its result; what happens meanwhile is noted."""
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": params}
        if session:
            message["sessionId"] = session
        os.write(self._write, json.dumps(message).encode() + b"\0")
        while (said := self._next()) is not None:
            if said.get("id") == self._number:
                assert "error" not in said, said
                return dict(said["result"])
        raise AssertionError(f"no answer to {method}")

    def _next(self) -> dict[str, Any] | None:
        while b"\0" not in self._unread:
            if not select.select([self._read], [], [], PATIENCE)[0]:
                return None
            piece = os.read(self._read, 1 << 20)
            if not piece:
                return None
            self._unread += piece
        raw, _, self._unread = self._unread.partition(b"\0")
        said: dict[str, Any] = json.loads(raw)
        self._note(said.get("method", ""), said.get("params", {}))
        return said

    def _note(self, method: str, params: dict[str, Any]) -> None:
        if method == "Network.requestWillBeSent":
            self.seen.asked.append(params["request"]["url"])
        elif method == "Runtime.exceptionThrown":
            self.seen.complaints.append(str(params["exceptionDetails"].get("exception", params)))
        elif method == "Runtime.consoleAPICalled" and params["type"] in ("error", "warning", "assert"):
            self.seen.complaints.append(str([one.get("value", one.get("description")) for one in params["args"]]))
        elif method == "Log.entryAdded" and params["entry"]["level"] in ("error", "warning"):
            self.seen.complaints.append(f"{params['entry']['text']} {params['entry'].get('url', '')}")

    def open(self, address: str, *, script: bool = True, width: int = 0) -> Page:
        """Open an address in a page of its own, on a phone of so many pixels where a width is given."""
        self.seen = Seen()
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.call(f"{domain}.enable", session)
        self.call("Emulation.setScriptExecutionDisabled", session, value=not script)
        if width:
            size = {"width": width, "height": PHONE, "deviceScaleFactor": 1, "mobile": True}
            self.call("Emulation.setDeviceMetricsOverride", session, **size)
        self.call("Page.navigate", session, url=address)
        page = Page(self, session)
        page.wait("document.readyState === 'complete' && location.href !== 'about:blank'")
        return page

    def leave(self, page: Page) -> None:
        """Close a page."""
        self.call("Page.close", page.session)

    def close(self) -> None:
        """End the process."""
        os.close(self._write)
        try:
            self.process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        os.close(self._read)


class Page:
    """One page, asked by expressions."""

    def __init__(self, browser: Browser, session: str) -> None:
        self.browser = browser
        self.session = session

    @property
    def seen(self) -> Seen:
        return self.browser.seen

    def value(self, expression: str) -> Any:
        result = self.browser.call("Runtime.evaluate", self.session, expression=expression, returnByValue=True)
        assert "exceptionDetails" not in result, result
        return result["result"].get("value")

    def promised(self, expression: str) -> Any:
        """Return what a promise gives."""
        result = self.browser.call(
            "Runtime.evaluate", self.session, expression=expression, returnByValue=True, awaitPromise=True
        )
        assert "exceptionDetails" not in result, result
        return result["result"].get("value")

    def press(self, key: str, text: str = "") -> None:
        """Press and let go one key."""
        code = {"Tab": 9, "Enter": 13, " ": 32}.get(key, 0)
        down = {"type": "keyDown", "key": key, "windowsVirtualKeyCode": code, "text": text}
        self.browser.call("Input.dispatchKeyEvent", self.session, **down)
        self.browser.call("Input.dispatchKeyEvent", self.session, type="keyUp", key=key, windowsVirtualKeyCode=code)

    def keep(self, path: Path) -> None:
        """Keep what the page looks like, as far as it goes."""
        shot = self.browser.call("Page.captureScreenshot", self.session, captureBeyondViewport=True)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(base64.b64decode(shot["data"]))

    def wait(self, expression: str) -> None:
        try:
            until(lambda: self.value(expression), expression)
        except AssertionError as never:
            raise AssertionError(f"{never}\n{self.text()[:2000]}\n{self.seen}") from None

    def text(self) -> str:
        return " ".join(str(self.value("document.body ? document.body.innerText : ''")).split())

    def click(self, selector: str) -> None:
        self.wait(f"document.querySelector({json.dumps(selector)}) !== null")
        self.value(f"document.querySelector({json.dumps(selector)}).click()")

    def fill(self, name: str, value: str) -> None:
        self.value(f"document.forms['try-form'].elements[{json.dumps(name)}].value = {json.dumps(value)}")

    def clean(self) -> None:
        """Hold the page to have stayed here and complained of nothing, also a moment after it looked finished."""
        time.sleep(0.3)
        self.value("1")
        assert self.seen.outside == []
        assert self.seen.complaints == []


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    program = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if program is None:
        pytest.skip("no browser here; on Debian: apt-get install chromium")
    found = Browser(program, tmp_path_factory.mktemp("profile"))
    yield found
    found.close()


@pytest.fixture(scope="session")
def base() -> Iterator[str]:
    """Return the address of a server started for these tests."""
    port = free_port()
    command = [str(Path(sys.executable).with_name("latewood")), "--strict", "serve", "--port", str(port)]
    with serving(command, port, stdout=subprocess.DEVNULL) as process:
        yield f"http://127.0.0.1:{port}"
        process.terminate()
        process.wait(PATIENCE)
