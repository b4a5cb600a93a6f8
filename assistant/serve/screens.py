"""Open screens: a process each, ended with its connection, one at a time for a case."""

from __future__ import annotations

import asyncio
import json
import sys
from asyncio.subprocess import PIPE, Process
from collections.abc import Sequence
from contextlib import suppress

from aiohttp import web
from textual_serve.app_service import AppService
from textual_serve.download_manager import DownloadManager

LEFT, TAKEN, FAILED, FULL = 4000, 4001, 4002, 4003
"""Codes with which a connection is closed on purpose; the page knows them."""
_PATIENCE = 10.0
"""Seconds a screen has to end by itself."""
_LONGEST = 120
"""Bytes that a closing connection can carry as its reason."""


class Screen(AppService):
    """The process behind one connection."""

    def __init__(self, command: Sequence[str], socket: web.WebSocketResponse, downloads: DownloadManager) -> None:
        """Prepare a screen.

        Args:
            command: what to run, as arguments; no shell reads them.
            socket: the connection to the browser.
            downloads: hands files to the browser.
        """
        super().__init__(
            "",
            write_bytes=self._to_browser,
            write_str=self._tell_browser,
            close=self._nothing,
            download_manager=downloads,
        )
        self._argv, self._socket = tuple(command), socket
        self.code, self.reason = LEFT, ""

    async def _open_app_process(self, width: int = 80, height: int = 24) -> Process:
        environment = self._build_environment(width=width, height=height)
        self._process = await asyncio.create_subprocess_exec(
            *self._argv, stdin=PIPE, stdout=PIPE, stderr=PIPE, env=environment
        )
        self._stdin = self._process.stdin
        return self._process

    async def _to_browser(self, data: bytes) -> None:
        with suppress(ConnectionError):
            await self._socket.send_bytes(data)

    async def _tell_browser(self, text: str) -> None:
        with suppress(ConnectionError):
            await self._socket.send_str(text)

    async def _nothing(self) -> None:
        """Leave the connection open: why the screen ended is told when its process is gone."""

    async def on_meta(self, data: bytes) -> None:
        """Keep the sentence with which a screen fails; leave the rest to the library."""
        told = json.loads(data)
        if told.get("type") == "failed":
            self.code, self.reason = FAILED, str(told.get("text", ""))
        else:
            await super().on_meta(data)

    async def ended(self) -> None:
        """Wait until the process has gone by itself, then close the connection with the reason."""
        if self._task is not None:
            await asyncio.wait([self._task])
        reason = self.reason.encode()[:_LONGEST].decode(errors="ignore").encode()
        await self._socket.close(code=self.code, message=reason)

    async def stop(self) -> None:
        """End the process: kindly, and when that does not help, for good."""
        task, process = self._task, self._process
        if task is None or process is None:
            return
        with suppress(asyncio.TimeoutError, ConnectionError):
            await asyncio.wait_for(super().stop(), _PATIENCE)
        if process.returncode is None:
            with suppress(asyncio.TimeoutError):
                await asyncio.wait_for(process.wait(), _PATIENCE)
        if process.returncode is None:
            with suppress(ProcessLookupError):
                process.kill()
            await process.wait()


class Screens:
    """All open screens by what they show."""

    def __init__(self, most: int) -> None:
        """Start without any.

        Args:
            most: how many may be open at a time.
        """
        self._most = most
        self._open: dict[str, Screen] = {}
        self._turn: dict[str, asyncio.Lock] = {}

    def __len__(self) -> int:
        """Return how many are open."""
        return len(self._open)

    async def take(self, key: str, screen: Screen, width: int, height: int) -> bool:
        """Start a screen; one that shows the same case gives way first, so that its journal is free.

        Returns:
            False when too many are open.
        """
        async with self._turn.setdefault(key, asyncio.Lock()):
            if (old := self._open.get(key)) is not None:
                old.code = TAKEN
                await old.stop()
            elif len(self._open) >= self._most:
                return False
            self._open[key] = screen
            await screen.start(width, height)
        return True

    async def leave(self, key: str, screen: Screen) -> None:
        """End a screen whose connection has gone."""
        await screen.stop()
        if self._open.get(key) is screen:
            del self._open[key]
            if not self._turn[key].locked():  # somebody may be taking it over just now
                del self._turn[key]

    async def end_all(self) -> None:
        """End all screens."""
        await asyncio.gather(*(screen.stop() for screen in list(self._open.values())))


def command_for(*more: str) -> list[str]:
    """Return the command that runs a screen with the Python that runs this."""
    return [sys.executable, "-m", "assistant.serve.screen", *more]
