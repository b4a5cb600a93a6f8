"""What the server lets in, and that its pages name no other host."""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from pathlib import Path

import pytest

pytest.importorskip("textual_serve", reason="the extra for the browser is not installed")

from aiohttp import ClientWebSocketResponse, WSMsgType, WSServerHandshakeError
from aiohttp.test_utils import TestClient, TestServer
from hypothesis import given
from hypothesis import strategies as st

from assistant.errors import JournalBusyError
from assistant.journal import Journal
from assistant.serve.access import is_loopback, safe_way
from assistant.serve.cases import Cases
from assistant.serve.pages import HERE
from assistant.serve.screens import TAKEN
from assistant.serve.server import BrowserServer
from assistant.terminal.boats import Boats

TOKEN = "a-token-for-tests"
FACTS = "12 V boat, panel lights but nothing happens either way, 12.4 V at the thruster studs at rest"


@asynccontextmanager
async def served(folder: Path, token: str = "", most: int = 4) -> AsyncIterator[TestClient]:
    server = BrowserServer("127.0.0.1", 0, folder, token, most)
    async with TestServer(await server.make_app()) as web, TestClient(web) as client:
        yield client


def origin(client: TestClient) -> dict[str, str]:
    return {"Origin": str(client.make_url("/")).rstrip("/")}


async def new_case(client: TestClient) -> str:
    answer = await client.post("/new", data={"role": "technician"}, headers=origin(client), allow_redirects=False)
    assert answer.status == 303
    return answer.headers["Location"]


async def screen(client: TestClient, way: str) -> ClientWebSocketResponse:
    return await client.ws_connect(f"/screen{way}?width=100&height=30", headers=origin(client))


async def read(socket: ClientWebSocketResponse, wanted: str, seconds: float = 60.0) -> str:
    seen = ""
    async with asyncio.timeout(seconds):
        while wanted not in seen:
            message = await socket.receive()
            assert message.type == WSMsgType.BINARY, (message, seen[-2000:])
            seen += re.sub(r"\x1b\[[0-9;?$]*[A-Za-z]", "", message.data.decode("utf-8", "replace"))
    return seen


async def say(socket: ClientWebSocketResponse, text: str) -> None:
    await socket.send_str(json.dumps(["stdin", f"\x1b[200~{text}\x1b[201~"]))
    await socket.send_str(json.dumps(["stdin", "\r"]))


async def freed(path: Path) -> Journal:
    """Take a journal once its screen has ended."""
    async with asyncio.timeout(30):
        while True:
            with suppress(JournalBusyError):
                return Journal.open(path)[0]
            await asyncio.sleep(0.1)


def turns(path: Path) -> int:
    return sum(json.loads(line)["entry"]["kind"] == "turn" for line in path.read_text().splitlines())


@pytest.mark.parametrize("way", ["/", "/case/nothing", "/demo/1_dead_panel"])
async def test_pages_and_what_they_load_are_of_this_server(tmp_path: Path, way: str) -> None:
    async with served(tmp_path) as client:
        answer = await client.get(way)
        text = await answer.text()
        assert not re.search(r"(?:https?:)?//", text)
        assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
        for link in re.findall(r'(?:href|src)="([^"]+)"', text):
            if link.startswith("data:"):
                continue
            assert link.startswith("/")
            assert (await client.get(link)).status == 200, link


def test_own_files_name_no_host() -> None:
    files = [path for path in HERE.rglob("*") if path.suffix in (".css", ".js", ".html")]
    assert len(files) >= 6
    for path in files:
        assert not re.search(r"""(?:href|src|url)\s*[=(]\s*["']?(?:https?:)?//""", path.read_text()), path


async def test_the_token_is_asked_for_and_kept(tmp_path: Path) -> None:
    async with served(tmp_path, TOKEN) as client:
        asked = await client.get("/case/x")
        assert asked.status == 401 and "needs a token" in await asked.text()
        for wrong in ("", "nonsense", TOKEN[:-1], TOKEN + "é"):
            assert (await client.get("/", params={"token": wrong})).status == 401
        with pytest.raises(WSServerHandshakeError):
            await screen(client, "/demo/1_dead_panel")
        let_in = await client.get("/", params={"token": TOKEN}, allow_redirects=False)
        assert let_in.status == 302 and TOKEN not in let_in.headers["Location"]
        cookie = let_in.headers["Set-Cookie"].lower()
        assert "httponly" in cookie and "samesite=lax" in cookie
        assert (await client.get("/")).status == 200


async def test_the_token_can_be_typed_and_leads_on(tmp_path: Path) -> None:
    async with served(tmp_path, TOKEN) as client:
        wrong = await client.post("/token", data={"token": "x", "way": "/case/a"}, headers=origin(client))
        assert wrong.status == 401 and "That is not the token" in await wrong.text()
        form = {"token": TOKEN, "way": "/case/a"}
        right = await client.post("/token", data=form, headers=origin(client), allow_redirects=False)
        assert right.status == 303 and right.headers["Location"] == "/case/a"


async def test_other_pages_and_other_names_are_refused(tmp_path: Path) -> None:
    async with served(tmp_path) as client:
        for headers in ({}, {"Origin": "http://elsewhere.example"}, {"Origin": "null"}):
            assert (await client.post("/new", headers=headers)).status == 403
            with pytest.raises(WSServerHandshakeError):
                await client.ws_connect("/screen/demo/1_dead_panel", headers=headers)
        assert (await client.get("/", headers={"Host": "elsewhere.example"})).status == 403


@pytest.mark.parametrize("way", ["/case/..%2f..%2fetc%2fpasswd", "/case/no-such", "/demo/no-such", "/case/%00"])
async def test_what_is_not_here_is_said_in_a_sentence(tmp_path: Path, way: str) -> None:
    async with served(tmp_path) as client:
        answer = await client.get(way)
        assert answer.status == 404
        with pytest.raises(WSServerHandshakeError):
            await client.ws_connect(f"/screen{way}", headers=origin(client))


async def test_sessions_are_apart_each_with_its_journal(tmp_path: Path) -> None:
    async with served(tmp_path) as client:
        ways = [await new_case(client) for _ in range(2)]
        sockets = [await screen(client, way) for way in ways]
        for socket in sockets:
            await read(socket, "Say what you see")
        await say(sockets[0], FACTS)
        await read(sockets[0], "noted: boat nominal voltage 12 V")
        files = [tmp_path / f"{way.rsplit('/', 1)[1]}.jsonl" for way in ways]
        assert [turns(path) for path in files] == [1, 0]
        for socket in sockets:
            await socket.close()


async def test_a_remembered_boat_begins_a_case_with_her_data(tmp_path: Path) -> None:
    Boats(tmp_path / "boats.json").keep("Nordlys <b>", [{"about": "boat", "what": "fuel", "value": "petrol"}])
    async with served(tmp_path) as client:
        assert "New case of Nordlys &lt;b&gt;" in await (await client.get("/")).text()
        form = {"boat": "Nordlys <b>"}
        answer = await client.post("/new", data=form, headers=origin(client), allow_redirects=False)
        socket = await screen(client, answer.headers["Location"])
        await read(socket, "noted: boat fuel: petrol")
        await socket.close()
        assert "Nordlys" in await (await client.get("/")).text()


async def test_training_is_open_to_a_visitor_and_leaves_nothing(tmp_path: Path) -> None:
    async with served(tmp_path) as client:
        assert "/screen/training" in await (await client.get("/training")).text()
        socket = await screen(client, "/training")
        await read(socket, "Training")
        await socket.close()
        assert not list(tmp_path.glob("*.jsonl"))


async def test_a_case_goes_on_after_its_connection_and_passes_to_a_newer_one(tmp_path: Path) -> None:
    async with served(tmp_path) as client:
        way = await new_case(client)
        first = await screen(client, way)
        await read(first, "Say what you see")
        await say(first, FACTS)
        await read(first, "noted: boat nominal voltage 12 V")
        second = await screen(client, way)  # the first is still thought to be there
        await read(second, "noted: boat nominal voltage 12 V")
        while (message := await first.receive()).type == WSMsgType.BINARY:
            pass
        assert message.type == WSMsgType.CLOSE and message.data == TAKEN
        await second.close()
        third = await screen(client, way)
        await read(third, "noted: boat nominal voltage 12 V")
        await third.close()
        assert turns(tmp_path / f"{way.rsplit('/', 1)[1]}.jsonl") == 1


async def test_a_screen_waits_until_the_one_before_it_has_let_go_of_the_case(tmp_path: Path) -> None:
    async with served(tmp_path) as client:
        way = await new_case(client)
        first = await screen(client, way)
        await read(first, "Say what you see")
        await first.close()
        path = tmp_path / f"{way.rsplit('/', 1)[1]}.jsonl"
        held = await freed(path)  # as a screen whose server was killed holds it until its turn is done
        asyncio.get_running_loop().call_later(3.0, held.close)
        second = await screen(client, way)
        await read(second, "Say what you see")
        await second.close()


async def test_a_journal_that_was_altered_is_told_in_the_closing_words(tmp_path: Path) -> None:
    (tmp_path / "broken.jsonl").write_text('{"kind": "case"}\n')
    async with served(tmp_path) as client:
        socket = await screen(client, "/case/broken")
        message = await socket.receive(60)
        assert message.type == WSMsgType.CLOSE and message.data == 4002
        assert message.extra.startswith("It cannot be opened: ") and "Traceback" not in message.extra


async def test_nonsense_on_the_connection_ends_it_and_nothing_else(tmp_path: Path) -> None:
    async with served(tmp_path) as client:
        for junk in ("x", "{}", "[]", '["stdin"]', '["resize", 5]'):
            socket = await screen(client, "/demo/1_dead_panel")
            await socket.send_str(junk)
            while (message := await socket.receive(60)).type == WSMsgType.BINARY:
                pass
            assert message.type == WSMsgType.CLOSE
        assert (await client.get("/")).status == 200


async def test_too_many_screens(tmp_path: Path) -> None:
    async with served(tmp_path, most=1) as client:
        held = await screen(client, "/demo/1_dead_panel")
        await read(held, "Enter plays")
        refused = await screen(client, "/demo/1_dead_panel")
        message = await refused.receive(30)
        assert message.type == WSMsgType.CLOSE and message.data == 4003
        await held.close()


@pytest.mark.parametrize(
    ("host", "own"),
    [("127.0.0.1", True), ("localhost", True), ("::1", True), ("0.0.0.0", False), ("192.0.2.7", False), ("", False)],
)
def test_which_addresses_are_of_this_machine_only(host: str, own: bool) -> None:
    assert is_loopback(host) is own


@given(st.text())
def test_a_way_never_leads_elsewhere(way: str) -> None:
    safe = safe_way(way)
    assert safe.startswith("/") and not safe.startswith("//") and "\\" not in safe


@given(st.text())
def test_an_id_never_leaves_the_folder(case: str) -> None:
    cases = Cases(Path("/nowhere/here"))
    assert not cases.knows(case)
