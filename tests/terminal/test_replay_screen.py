"""A recorded case on the screen: each key, what is shown at each step, and what becomes of a bad record."""

from __future__ import annotations

import json
import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from assistant.audit.walk import MARKS, Walk, open_walk
from assistant.demos import FOLDER
from assistant.journal import Journal, check
from assistant.journal.chain import seal_entry
from assistant.knowledge import load
from assistant.session import Session
from assistant.terminal.app import SpringlineApp
from assistant.terminal.case_files import OpenCase
from assistant.terminal.first_screen import Doors, Opened, StartScreen
from assistant.terminal.replay_screen import ReplayScreen
from assistant.terminal.settings import Settings

from .fake_session import FakeSession

DEMO = FOLDER / "3_runs_by_itself.jsonl"


def shown(app: SpringlineApp) -> str:
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)


async def pressed(walk: Walk, keys: Sequence[str], size: tuple[int, int] = (120, 60)) -> tuple[int, str]:
    """The place and the picture after some keys."""
    app = SpringlineApp(walk=walk, settings=Settings())
    async with app.run_test(size=size) as pilot:
        await app.workers.wait_for_complete()
        await pilot.press(*keys)
        await pilot.pause()
        assert isinstance(app.screen, ReplayScreen)
        return app.screen.place, shown(app)


@pytest.fixture(scope="module")
def walk() -> Walk:
    found = open_walk(DEMO)
    assert found.parted is None
    return found


@pytest.mark.parametrize(
    ("keys", "place"),
    [
        ([], 0), (["right"], 1), (["n", "space"], 2), (["right", "right", "left"], 1), (["n", "n", "p"], 1),
        (["n", "backspace"], 0), (["left"], 0), ([">"], 11), ([">", "right"], 11), ([">", "<"], 0),
        (["g", "5", "enter"], 4), (["g", "9", "9", "enter"], 0), (["g", "x", "enter"], 0),
        (["g", "escape", "right"], 1), (["d"], 0),
    ],
)  # fmt: skip
async def test_each_key_goes_where_it_says(walk: Walk, keys: list[str], place: int) -> None:
    assert (await pressed(walk, keys))[0] == place


@pytest.mark.parametrize(("key", "mark"), list(zip("hcv", MARKS, strict=True)))
async def test_jumps_go_to_the_next_mark_and_back(walk: Walk, key: str, mark: str) -> None:
    marked = [place for place in range(1, len(walk.turns)) if mark in walk.marks(place)]
    assert marked, mark
    assert (await pressed(walk, [key]))[0] == marked[0]
    assert (await pressed(walk, [">", *([] if marked[-1] == len(walk.turns) - 1 else [key.upper()])]))[0] == marked[-1]
    place, text = await pressed(walk, [key] * (len(marked) + 1))
    assert place == marked[-1] and f"No {mark} further on" in text


def test_the_marks_are_where_the_record_has_them(walk: Walk) -> None:
    for place, turn in enumerate(walk.turns):
        before = walk.turns[place - 1] if place else None
        proved = {s["fault"] for s in turn.suspects if s["state"] == "proved"}
        earlier = {s["fault"] for s in before.suspects if s["state"] == "proved"} if before else set()
        if proved != earlier or (turn.closed is not None and before is not None and before.closed is None):
            assert "conclusion" in walk.marks(place)
        live, lived = ({h["hazard"] for h in t.hazards} if t else set() for t in (turn, before))
        if live != lived:
            assert "hazard" in walk.marks(place)
    assert "conclusion" in walk.marks(len(walk.turns) - 1), "it was closed"


async def test_a_step_shows_what_was_known_suspected_warned_of_and_asked_and_why(walk: Walk) -> None:
    number = next(t.number for t in walk.turns if t.hazards and t.next is not None and t.number > 1)
    place, text = await pressed(walk, ["g", *str(number), "enter"], size=(160, 90))
    turn = walk.turns[place]
    assert place == number - 1 and f"turn {number} of 12" in text and "it runs again as it was recorded" in text
    titles = ("Said", "Understood", "Warned of", "Suspected, and why", "Asked for next, and why", "Known at this step")
    assert [title for title in titles if title not in text] == []
    assert walk.names.fault(turn.suspects[0]["fault"])[:40] in text
    assert turn.next is not None and walk.names.test(turn.next["test"]) in text
    assert all(str(fact["id"]) in text for fact in walk.known(place))


async def test_the_banner_is_that_of_the_step(walk: Walk) -> None:
    _, first = await pressed(walk, [])
    _, last = await pressed(walk, [">"])
    assert walk.turns[0].hazards and not walk.turns[-1].hazards
    assert " DANGER " in first and " DANGER " not in last


def test_what_was_known_leaves_out_what_was_taken_back_and_superseded(tmp_path: Path) -> None:
    session = Session(load(), at="2026-05-04T09:00:00Z")
    with Journal.create(tmp_path / "case.jsonl", session.header()) as journal:
        session.keep_in(journal)
        for minute, said in enumerate(["12.6 V at the studs at rest", "no, sorry, 11.9 V", "undo"], 1):
            session.take({"say": said, "at": f"2026-05-04T09:0{minute}:00Z"})
    walk = open_walk(tmp_path / "case.jsonl")
    assert [[fact["value"] for fact in walk.known(place)] for place in range(3)] == [[12.6], [11.9], []]
    assert ["correction" in walk.marks(place) for place in range(3)] == [False, True, True]


async def test_a_forged_record_is_told_and_found_by_its_key(tmp_path: Path) -> None:
    after, lines = "0" * 64, []
    for entry in check(DEMO.read_bytes()).entries:
        body = json.loads(json.dumps(entry.body))
        if body.get("turn") == 6:
            body["out"]["reply"] = "All is well."
        sealed = seal_entry(after, body)
        lines.append(sealed.line)
        after = sealed.seal
    (tmp_path / "case.jsonl").write_bytes(b"".join(lines))
    place, text = await pressed(open_walk(tmp_path / "case.jsonl"), ["d"])
    assert place == 5 and "RUN AGAIN IT DIFFERS, first in turn 6" in text and "All is well." in text


async def test_a_broken_record_is_told_on_the_screen(tmp_path: Path) -> None:
    data = DEMO.read_bytes()
    (tmp_path / "case.jsonl").write_bytes(data.replace(b"diesel", b"petrol", 1) if b"diesel" in data else data[:-40])
    _, text = await pressed(open_walk(tmp_path / "case.jsonl"), [])
    assert "NOT INTACT" in text and "of the journal" in text


async def test_a_record_without_a_turn_can_be_looked_at(tmp_path: Path) -> None:
    Journal.create(tmp_path / "case.jsonl", Session(load()).header()).close()
    place, text = await pressed(open_walk(tmp_path / "case.jsonl"), ["right", "h", ">", "d", "g", "1", "enter"])
    assert place == 0 and "The record holds no turn." in text


async def test_hostile_words_stay_text_on_the_screen(tmp_path: Path) -> None:
    session = Session(load(), at="2026-05-04T09:00:00Z")
    said = "\x1b[31mred\x1b[0m [bold]b[/bold] <b>x</b> =1+1 \u202e " + "long " * 2000
    with Journal.create(tmp_path / "case.jsonl", session.header()) as journal:
        session.keep_in(journal)
        session.take({"say": said, "by": "\x1b]0;title\x07", "at": "2026-05-04T09:01:00Z"})
    _, text = await pressed(open_walk(tmp_path / "case.jsonl"), [])
    assert r"\x1b[31mred" in text and "[bold]b[/bold] <b>x</b> =1+1" in text
    assert "\x1b" not in text and "\u202e" not in text and "\x07" not in text


@pytest.mark.parametrize("size", [(40, 12), (80, 24), (200, 60)])
async def test_it_fits_every_window(walk: Walk, size: tuple[int, int]) -> None:
    _, text = await pressed(walk, ["right"], size=size)
    assert "turn 2 of" in text and "Known at this step" in text


async def test_the_first_screen_replays_a_kept_case_and_comes_back(tmp_path: Path) -> None:
    shutil.copy(DEMO, tmp_path / "kept.jsonl")
    doors = Doors(
        lambda: Opened(FakeSession()), lambda: [OpenCase("kept", tmp_path / "kept.jsonl")],
        lambda path: Opened(FakeSession()), look_back=open_walk,
    )  # fmt: skip
    app = SpringlineApp(doors=doors, settings=Settings())
    async with app.run_test(size=(90, 30)) as pilot:
        await pilot.pause()
        assert "r replays" in shown(app)
        await pilot.press("r")
        await pilot.pause()
        assert "Only a case that is kept can be replayed." in shown(app)
        await pilot.press("down", "r")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert isinstance(app.screen, ReplayScreen)
        await pilot.press("right", "q")
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)


async def test_leaving_a_replay_ends_the_program(walk: Walk) -> None:
    app = SpringlineApp(walk=walk, settings=Settings())
    async with app.run_test(size=(90, 30)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.press("escape")
        await pilot.pause()
    assert app.return_code == 0
