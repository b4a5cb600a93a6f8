"""A headless Chromium driven over its own debugging connection."""

from __future__ import annotations

import asyncio
import base64
import re
import shutil
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from typing import Any

import aiohttp

FOUND = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--no-first-run",
    "--remote-debugging-port=0",
    "--window-size=1100,700",
)
_ESCAPES = re.compile(r"\x1b(?:\[[0-9;?$>]*[A-Za-z]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[()][A-Z0-9]|.)")


class Browser:
    """One page; `sent` is the text that screens have drawn on it, `hosts` is where it asked."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self._socket = socket
        self._number = 0
        self._answers: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self.sent = ""
        self.asked: list[str] = []
        self._reading = asyncio.create_task(self._read())

    async def _read(self) -> None:
        async for message in self._socket:
            told = message.json()
            if told.get("id") in self._answers:
                self._answers.pop(told["id"]).set_result(told)
            elif told.get("method") == "Network.webSocketFrameReceived":
                frame = told["params"]["response"]
                if frame["opcode"] == 2:
                    data = base64.b64decode(frame["payloadData"]).decode("utf-8", "replace")
                    self.sent += _ESCAPES.sub(" ", data)
            elif told.get("method") == "Network.requestWillBeSent":
                self.asked.append(told["params"]["request"]["url"])

    async def call(self, method: str, **params: Any) -> dict[str, Any]:
        self._number += 1
        number = self._number
        self._answers[number] = asyncio.get_running_loop().create_future()
        await self._socket.send_json({"id": number, "method": method, "params": params})
        told = await asyncio.wait_for(self._answers.get(number) or asyncio.sleep(0, {}), 30)
        assert "error" not in told, told
        return dict(told.get("result", {}))

    async def run(self, code: str) -> Any:
        told = await self.call("Runtime.evaluate", expression=code, awaitPromise=True, returnByValue=True)
        return told["result"].get("value")

    async def until(self, wanted: str, seconds: float = 60.0) -> None:
        """Wait until the screens have drawn some words, however they were wrapped."""
        squeezed = re.compile(r"\s+".join(re.escape(word) for word in wanted.split()))
        for _ in range(int(seconds * 5)):
            if squeezed.search(self.sent):
                return
            await asyncio.sleep(0.2)
        raise AssertionError(f"{wanted!r} was never drawn: {self.sent[-3000:]}")

    async def until_page(self, code: str, seconds: float = 60.0) -> None:
        """Wait until something is true of the page."""
        for _ in range(int(seconds * 5)):
            with suppress(AssertionError, TypeError, KeyError):
                if await self.run(code):
                    return
            await asyncio.sleep(0.2)
        raise AssertionError(f"never so: {code}")

    async def type(self, text: str) -> None:
        await self.call("Input.insertText", text=text)
        await self.press("Enter", "\r", 13)

    async def press(self, key: str, text: str = "", code: int = 0) -> None:
        more = {"text": text} if text else {}
        await self.call("Input.dispatchKeyEvent", type="keyDown", key=key, code=key, windowsVirtualKeyCode=code, **more)
        await self.call("Input.dispatchKeyEvent", type="keyUp", key=key, code=key, windowsVirtualKeyCode=code)

    async def picture(self, path: Path) -> bytes:
        data = base64.b64decode((await self.call("Page.captureScreenshot"))["data"])
        path.write_bytes(data)
        return data


@asynccontextmanager
async def browser(folder: Path) -> AsyncIterator[Browser]:
    """Start a browser whose profile is in the folder; it ends with the block."""
    assert FOUND is not None
    process = await asyncio.create_subprocess_exec(
        FOUND, *FLAGS, f"--user-data-dir={folder}", "about:blank",
        stdout=asyncio.subprocess.DEVNULL, stderr=asyncio.subprocess.DEVNULL,
    )  # fmt: skip
    try:
        port_file = folder / "DevToolsActivePort"
        for _ in range(150):
            if port_file.exists() and len(port_file.read_text().split()) == 2:
                break
            await asyncio.sleep(0.2)
        port = port_file.read_text().split()[0]
        async with aiohttp.ClientSession() as client:
            async with client.get(f"http://127.0.0.1:{port}/json") as answer:
                pages = await answer.json()
            page = next(one for one in pages if one["type"] == "page")
            async with client.ws_connect(page["webSocketDebuggerUrl"], max_msg_size=0) as socket:
                held = Browser(socket)
                for room in ("Page", "Network", "Runtime"):
                    await held.call(f"{room}.enable")
                yield held
                held._reading.cancel()
    finally:
        process.terminate()
        with suppress(asyncio.TimeoutError):
            await asyncio.wait_for(process.wait(), 10)
        if process.returncode is None:
            process.kill()
            await process.wait()
