"""A headless browser over two pipes: just enough of the DevTools protocol to open a page and use it."""

from __future__ import annotations

import base64
import fcntl
import json
import os
import select
import shutil
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Any

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
_PATIENCE_S = 60.0
#: The browser listens on descriptor 3 and answers on 4, messages ended by a zero byte.
_LAUNCH = (
    "import os, sys; os.dup2(int(sys.argv[1]), 3); os.dup2(int(sys.argv[2]), 4); os.execv(sys.argv[3], sys.argv[3:])"
)


class Browser:
    """One browser with one page, closed with the `with` block. Downloads go to `folder`."""

    def __init__(self, folder: Path, *, width: int = 800, height: int = 1280) -> None:
        self.folder = folder
        to_read, to_write = os.pipe()
        from_read, from_write = os.pipe()
        ends = [fcntl.fcntl(end, fcntl.F_DUPFD, 10) for end in (to_read, from_write)]  # clear of 3 and 4
        flags = (
            "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run",
            "--disable-dev-shm-usage", "--remote-debugging-pipe", f"--user-data-dir={folder / 'profile'}",
            "about:blank",
        )  # fmt: skip
        self._process = subprocess.Popen(
            [sys.executable, "-c", _LAUNCH, *map(str, ends), str(CHROMIUM), *flags],
            pass_fds=ends, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        for end in (to_read, from_write, *ends):
            os.close(end)
        self._in, self._out, self._rest, self._number = to_write, from_read, b"", 0
        self.events: list[Mapping[str, Any]] = []
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network"):
            self.on_page(f"{domain}.enable")
        self.call("Browser.setDownloadBehavior", behavior="allow", downloadPath=str(folder), eventsEnabled=True)
        self.size(width, height)

    def __enter__(self) -> Browser:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        try:
            self._send("Browser.close", {}, "")
            self._process.wait(10)
        except (OSError, subprocess.TimeoutExpired):
            self._process.kill()
            self._process.wait()
        os.close(self._in)
        os.close(self._out)

    def _send(self, method: str, parameters: Mapping[str, Any], session: str) -> int:
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": parameters}
        if session:
            message["sessionId"] = session
        os.write(self._in, json.dumps(message).encode() + b"\0")
        return self._number

    def _next(self, until: float) -> Mapping[str, Any]:
        while b"\0" not in self._rest:
            ready, _, _ = select.select([self._out], [], [], max(0.0, until - time.monotonic()))
            data = os.read(self._out, 1 << 20) if ready else b""
            if not data:
                raise TimeoutError("the browser does not answer")
            self._rest += data
        line, _, self._rest = self._rest.partition(b"\0")
        message: Mapping[str, Any] = json.loads(line)
        if "method" in message:
            self.events.append(message)
            if message["method"] == "Page.javascriptDialogOpening":
                self._send("Page.handleJavaScriptDialog", {"accept": True}, self._session)
        return message

    def call(self, method: str, *, session: str = "", **parameters: Any) -> Mapping[str, Any]:
        """Call a method and return its result."""
        number, until = self._send(method, parameters, session), time.monotonic() + _PATIENCE_S
        while True:
            message = self._next(until)
            if message.get("id") == number:
                if "error" in message:
                    raise RuntimeError(f"{method}: {message['error']}")
                result: Mapping[str, Any] = message["result"]
                return result

    def on_page(self, method: str, **parameters: Any) -> Mapping[str, Any]:
        """Call a method of the page."""
        return self.call(method, session=self._session, **parameters)

    def wait(self, method: str, since: int = 0) -> Mapping[str, Any]:
        """Wait for an event that comes, or came, after `since` events."""
        until = time.monotonic() + _PATIENCE_S
        while True:
            for event in self.events[since:]:
                if event["method"] == method:
                    return event
            self._next(until)

    def size(self, width: int, height: int) -> None:
        """Set the page's size in points, as on a touch screen."""
        self.on_page("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=True)

    def open(self, address: str) -> None:
        """Go to an address and wait until it is loaded."""
        since = len(self.events)
        self.on_page("Page.navigate", url=address)
        self.wait("Page.loadEventFired", since)

    def reload(self) -> None:
        """Load the page again."""
        since = len(self.events)
        self.on_page("Page.reload")
        self.wait("Page.loadEventFired", since)

    def run(self, script: str) -> Any:
        """Value of an expression in the page."""
        answer = self.on_page("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"]["exception"].get("description", "error in the page"))
        return answer["result"].get("value")

    def type(self, selector: str, text: str) -> None:
        """Focus a field and type into it as a keyboard does."""
        self.run(f"document.querySelector({json.dumps(selector)}).focus()")
        self.on_page("Input.insertText", text=text)

    def click(self, selector: str) -> None:
        """Press a button."""
        self.run(f"document.querySelector({json.dumps(selector)}).click()")

    def downloaded(self, selector: str) -> Path:
        """Press a button that gives a file, and return the file."""
        since = len(self.events)
        self.click(selector)
        name: str = self.wait("Browser.downloadWillBegin", since)["params"]["suggestedFilename"]
        while self.wait("Browser.downloadProgress", since)["params"]["state"] != "completed":
            since = (
                next(
                    i for i in range(since, len(self.events)) if self.events[i]["method"] == "Browser.downloadProgress"
                )
                + 1
            )
        return self.folder / name

    def picture(self, path: Path, *, whole: bool = False) -> None:
        """Save a picture of the page, or of what the screen shows."""
        data = self.on_page("Page.captureScreenshot", format="png", captureBeyondViewport=whole)["data"]
        path.write_bytes(base64.b64decode(data))
