"""The whole way in headless Chromium: open, complain, see the banner, lose the connection, come back."""

from __future__ import annotations

import asyncio
import os
import sys
from contextlib import suppress
from pathlib import Path

import pytest

pytest.importorskip("textual_serve", reason="the extra for the browser is not installed")

from .browser import FOUND, browser

pytestmark = pytest.mark.skipif(FOUND is None, reason="no chromium on this machine")
ROOT = Path(__file__).resolve().parents[2]


class Served:
    """A server of its own, as a person would start it."""

    def __init__(self, folder: Path, port: int) -> None:
        self.folder, self.port = folder, port
        self._process: asyncio.subprocess.Process | None = None

    async def start(self) -> None:
        code = "import sys; from pathlib import Path; from assistant.serve.server import serve;"
        code += f"serve('127.0.0.1', {self.port}, Path(sys.argv[1]))"
        env = {**os.environ, "PYTHONPATH": str(ROOT)}
        self._process = await asyncio.create_subprocess_exec(
            sys.executable, "-c", code, str(self.folder), stdout=asyncio.subprocess.DEVNULL, env=env
        )
        for _ in range(150):
            with suppress(OSError):
                (await asyncio.open_connection("127.0.0.1", self.port))[1].close()
                return
            await asyncio.sleep(0.2)
        raise AssertionError("the server never listened")

    async def kill(self) -> None:
        if self._process is not None and self._process.returncode is None:
            self._process.kill()
            await self._process.wait()


def free_port() -> int:
    import socket

    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        return int(held.getsockname()[1])


async def test_open_complain_lose_the_connection_and_come_back(tmp_path: Path) -> None:
    server = Served(tmp_path / "cases", free_port())
    await server.start()
    home = f"http://127.0.0.1:{server.port}/"
    try:
        async with browser(tmp_path / "profile") as held:
            await held.call("Page.navigate", url=home)
            await held.until_page("document.querySelectorAll('form[action=\"/new\"] button').length === 3")
            await held.picture(tmp_path / "start.png")
            await held.run("document.querySelector('form[action=\"/new\"] button').click()")
            await held.until("Say what you see")
            await held.type("it runs by itself, nobody touches the panel")
            await held.until("STOP")
            await held.until("!!! DANGER")
            await asyncio.sleep(1)
            await held.picture(tmp_path / "stop.png")
            case = await held.run("location.pathname")
            assert case.startswith("/case/")

            await server.kill()
            await held.until_page("document.getElementById('state').textContent.includes('connection is lost')")
            await held.picture(tmp_path / "lost.png")
            held.sent = ""
            await server.start()
            await held.until("!!! DANGER")  # the page came back by itself
            assert await held.run("location.pathname") == case

            await held.call("Page.navigate", url="about:blank")
            await held.until_page("location.href === 'about:blank'")
            held.sent = ""  # what the page before it still drew is not counted
            await held.call("Page.navigate", url=home.rstrip("/") + case)
            await held.until("it runs by itself, nobody touches the panel")
            await held.until("!!! DANGER")
            await held.type("1")
            await held.until("turn 2")
            await asyncio.sleep(1)
            await held.picture(tmp_path / "back.png")
            held.sent = ""
            size = {"width": 1100, "height": 1000, "deviceScaleFactor": 1, "mobile": False}
            await held.call("Emulation.setDeviceMetricsOverride", **size)
            await held.until("Next test")  # the screen has grown, and shows more panels
            await asyncio.sleep(1)
            await held.picture(tmp_path / "tall.png")
            outside = [url for url in held.asked if not url.startswith((home, "data:", "about:", "blob:"))]
            assert outside == []
    finally:
        await server.kill()
