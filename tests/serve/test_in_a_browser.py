"""The whole way in headless Chromium: open, complain, see the banner, lose the connection, come back."""

from __future__ import annotations

import asyncio
import json
import os
import sys
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("textual_serve", reason="the extra for the browser is not installed")

from assistant.demos import demo_files, read_typed
from assistant.terminal.banner import MARKS

from .browser import FOUND, Browser, browser

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


async def lost(held: Browser, server: Served) -> None:
    """End the server as a crash would; the page says so."""
    await server.kill()
    await held.until_page("document.getElementById('state').textContent.includes('connection is lost')")


async def found(held: Browser, server: Served, last: str) -> None:
    """Start the server again; the page comes back to the case by itself."""
    held.sent = ""
    await server.start()
    await held.until(last)


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

            await lost(held, server)
            await held.picture(tmp_path / "lost.png")
            await found(held, server, "!!! DANGER")
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


def turns_of(journal: Path) -> list[dict[str, Any]]:
    entries = [json.loads(line)["entry"] for line in journal.read_text(encoding="utf-8").splitlines()]
    return [entry for entry in entries if entry["kind"] == "turn"]


def levels_of(demo: Path) -> set[str]:
    """How severe what the banner showed in the recorded demo was."""
    turns = turns_of(demo.with_name(demo.name.replace(".said.txt", ".jsonl")))
    return {hazard["level"] for turn in turns for hazard in turn["out"]["hazards"]}


async def begun_by_keyboard(held: Browser, home: str) -> None:
    """Go to the start page and open a new case with Tab and Enter."""
    await held.call("Page.navigate", url=home)
    await held.until_page("document.querySelector('form[action=\"/new\"] button') !== null")
    for _ in range(10):
        await held.press("Tab", code=9)
        if await held.run("document.activeElement.value === 'technician'"):
            break
    await held.press("Enter", "\r", 13)
    await held.until("Say what you see")


@pytest.mark.parametrize("path", demo_files(), ids=lambda path: path.name.split(".")[0])
async def test_a_demo_case_is_held_to_its_end_by_keyboard_alone(tmp_path: Path, path: Path) -> None:
    lines = [line["say"] for line in read_typed(path).lines]
    server = Served(tmp_path / "cases", free_port())
    await server.start()
    try:
        async with browser(tmp_path / "profile") as held:
            await begun_by_keyboard(held, f"http://127.0.0.1:{server.port}/")
            seen: set[str] = set()
            for number, line in enumerate(lines, 1):
                await held.type(line)
                await held.until(f"turn {number}")
                seen |= {level for level in MARKS if level.upper() in held.sent}
                if number == len(lines) // 2:
                    await lost(held, server)
                    await found(held, server, f"turn {number}")
            assert levels_of(path) <= seen
            await held.until("closed")
            held.sent = ""
            await held.press("F6", code=117)
            await held.until("[To do]")
            await held.press("Escape", code=27)
            await held.until("[Talk]")
            await held.type("quit")
            await held.until_page("document.getElementById('state').textContent.includes('You have left')")
            await held.picture(tmp_path / "end.png")
    finally:
        await server.kill()
    turns = turns_of(next((tmp_path / "cases").glob("*.jsonl")))
    assert len(turns) == len(lines) and turns[-1]["out"]["closed"]
    assert all(turn["line"].get("say") in (None, line) for turn, line in zip(turns, lines, strict=True))
