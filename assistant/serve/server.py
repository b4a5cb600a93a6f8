"""The server: a start page, a page for each case, and the connections of their screens."""

from __future__ import annotations

import asyncio
import os
import secrets
from pathlib import Path

import textual_serve
from aiohttp import web
from textual_serve.server import Server, to_int

from assistant.demos import demo_files, read_typed
from assistant.errors import SpringlineError
from assistant.knowledge import BASE
from assistant.serve.access import Access, is_loopback, new_token, safe_way
from assistant.serve.cases import ROLES, Cases
from assistant.serve.pages import HERE, page
from assistant.serve.screens import FULL, Screen, Screens, command_for
from assistant.terminal.case_files import title_of

_LIBRARY = Path(textual_serve.__file__).parent / "static"
_MOST_SCREENS = 24
_KEPT = "The address of this page goes on with the case, on any machine that may come in here."
_SHOWN = "A demo: nothing of it is kept."
_TRAINED = "Training: nothing of it is kept."
_LARGEST = 400
"""Cells that a screen may be wide or high."""


class BrowserServer(Server):
    """Serves the screens; each has its own process, each case its own journal."""

    def __init__(
        self, host: str, port: int, folder: Path, token: str = "", most: int = _MOST_SCREENS, language: str = BASE
    ) -> None:
        """Prepare a server.

        Args:
            host: address to listen on.
            port: port to listen on.
            folder: where the journals are.
            token: what visitors must bring; empty for none.
            most: screens that may be open at a time.
            language: of new cases.
        """
        super().__init__("", host=host, port=port, title="Springline")
        self.access, self.cases, self.screens = Access(token), Cases(folder), Screens(most)
        self._language = language

    async def make_app(self) -> web.Application:
        """Return the web application."""
        app = web.Application(middlewares=[self.access.middleware(self._ask_token)], client_max_size=4096)
        app.add_routes(
            [
                web.get("/", self._start),
                web.post("/token", self._take_token),
                web.post("/new", self._new),
                web.get("/case/{case}", self._case),
                web.get("/demo/{demo}", self._demo),
                web.get("/training", self._training),
                web.get("/screen/training", self._training_screen),
                web.get("/screen/case/{case}", self._case_screen),
                web.get("/screen/demo/{demo}", self._demo_screen),
                web.get("/download/{key}", self.handle_download),
                web.static("/static/own", HERE / "static"),
                web.static("/static/library", _LIBRARY),
            ]
        )
        app.on_shutdown.append(self.on_shutdown)
        return app

    async def on_shutdown(self, app: web.Application) -> None:
        """End all screens with the server."""
        await self.screens.end_all()

    # -- pages

    async def _start(self, request: web.Request) -> web.StreamResponse:
        demos = [(path.name.removesuffix(".said.txt"), read_typed(path).title) for path in demo_files()]
        cases, boats = self.cases.listed(), self.cases.boats.names()
        return page(request, "start", roles=ROLES, cases=cases, boats=boats, demos=demos)

    async def _ask_token(self, request: web.Request) -> web.StreamResponse:
        return page(request, "token", 401, way=safe_way(request.path), wrong=False)

    async def _take_token(self, request: web.Request) -> web.StreamResponse:
        form = await request.post()
        way = safe_way(str(form.get("way", "/")))
        if not self.access.knows(str(form.get("token", "")).strip()):
            return page(request, "token", 401, way=way, wrong=True)
        onward = web.HTTPSeeOther(way)
        self.access.let_in(onward)
        raise onward

    async def _new(self, request: web.Request) -> web.StreamResponse:
        form = await request.post()
        case = self.cases.promise(str(form.get("role", "")), str(form.get("boat", "")))
        raise web.HTTPSeeOther(f"/case/{case}")

    async def _case(self, request: web.Request) -> web.StreamResponse:
        case = request.match_info["case"]
        if not self.cases.knows(case):
            return page(request, "missing", 404, what=f"case {case}")
        return page(request, "screen", title=title_of(case), screen=f"/screen/case/{case}", usual=_KEPT)

    async def _demo(self, request: web.Request) -> web.StreamResponse:
        demo = request.match_info["demo"]
        if demo not in _demo_names():
            return page(request, "missing", 404, what=f"demo {demo}")
        return page(request, "screen", title=demo.replace("_", " "), screen=f"/screen/demo/{demo}", usual=_SHOWN)

    async def _training(self, request: web.Request) -> web.StreamResponse:
        return page(request, "screen", title="Training", screen="/screen/training", usual=_TRAINED)

    # -- screens

    async def _case_screen(self, request: web.Request) -> web.StreamResponse:
        case = request.match_info["case"]
        if not self.cases.knows(case):
            raise web.HTTPNotFound
        command = command_for("--case", str(self.cases.path(case)), "--role", self.cases.role(case))
        command += ["--language", self._language, "--boat", self.cases.boat(case)]
        return await self._hold(request, f"case {case}", [*command, "--looks", str(self.cases.looks(case))])

    async def _demo_screen(self, request: web.Request) -> web.StreamResponse:
        demo = request.match_info["demo"]
        if demo not in _demo_names():
            raise web.HTTPNotFound
        return await self._hold(request, secrets.token_hex(8), command_for("--demo", demo, "--looks", os.devnull))

    async def _training_screen(self, request: web.Request) -> web.StreamResponse:
        return await self._hold(request, secrets.token_hex(8), command_for("--train", "--looks", os.devnull))

    async def _hold(self, request: web.Request, key: str, command: list[str]) -> web.StreamResponse:
        """Hold a connection until either side ends it; a connection that went silent has ended too."""
        socket = web.WebSocketResponse(heartbeat=15, max_msg_size=256 * 1024)
        await socket.prepare(request)
        screen = Screen(command, socket, self.download_manager)
        width, height = (_cells(request, "width", 80), _cells(request, "height", 24))
        ending: asyncio.Task[None] | None = None
        try:
            if not await self.screens.take(key, screen, width, height):
                await socket.close(code=FULL)
                return socket
            ending = asyncio.create_task(screen.ended())
            await self._process_messages(socket, screen)
        except (ValueError, TypeError, LookupError, AssertionError):
            await socket.close(code=1003)
        finally:
            await asyncio.shield(self.screens.leave(key, screen))
            if ending is not None:
                await asyncio.wait([ending], timeout=5)
        return socket


def _cells(request: web.Request, name: str, usual: int) -> int:
    return max(2, min(_LARGEST, to_int(request.query.get(name, ""), usual)))


def _demo_names() -> list[str]:
    return [path.name.removesuffix(".said.txt") for path in demo_files()]


def serve(host: str, port: int, folder: Path, language: str = BASE) -> int:
    """Serve until interrupted; new cases are held in the language.

    Raises:
        SpringlineError: The address cannot be listened on.
    """
    token = "" if is_loopback(host) else new_token()
    server = BrowserServer(host, port, folder, token, language=language)
    print("\n".join(_words(host, port, folder, token)), flush=True)
    try:
        web.run_app(server.make_app(), host=host, port=port, print=None, access_log=None)
    except OSError as error:
        raise SpringlineError(f"cannot listen on {host}:{port}: {error.strerror or error}") from error
    return 0


def _words(host: str, port: int, folder: Path, token: str) -> list[str]:
    name = f"[{host}]" if ":" in host else host
    way = f"http://{name}:{port}/"
    lines = [f"Springline is at {way}{f'?token={token}' if token else ''}", f"Cases are kept in {folder}"]
    if token:
        lines += [
            "Whoever has this link can read and change every case in that folder.",
            "What is typed is not encrypted on its way: use it in a network that you trust, or behind a TLS proxy.",
        ]
        if host in ("0.0.0.0", "::"):
            lines.append("Put this machine's own name or address in place of the one above.")
    return [*lines, "Ctrl+C ends it; the cases stay."]
