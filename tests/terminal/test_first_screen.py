"""The first screen, the settings, and the way in and out of the program."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.errors import JournalError
from assistant.terminal.app import SpringlineApp
from assistant.terminal.case_files import OpenCase, cases_in, new_id, title_of
from assistant.terminal.case_screen import CaseScreen
from assistant.terminal.first_screen import Doors, Opened, StartScreen
from assistant.terminal.settings import Settings

from .fake_session import FakeSession
from .stage import OPENING


def shown(app: SpringlineApp) -> str:
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)


def doors(*cases: OpenCase, broken: bool = False) -> Doors:
    def go_on(path: Path) -> Opened:
        if broken:
            raise JournalError("line 3 of the journal has been changed")
        return Opened(FakeSession(), title=path.stem, journal_path=path)

    return Doors(
        new_case=lambda: Opened(FakeSession([OPENING]), "new one"),
        open_cases=lambda: cases,
        go_on=go_on,
        demos=[("A panel that stays dark", lambda: Opened(FakeSession(), "demo", script=[{"say": "dark"}]))],
    )


CASE = OpenCase("harbour launch [/red]", Path("/tmp/harbour.jsonl"), "2026-05-02 09:15")


@pytest.mark.parametrize(
    ("keys", "title"),
    [(["enter"], "new one"), (["down", "enter"], "harbour"), (["down", "down", "enter"], "demo")],
)
async def test_each_door_opens_its_case(keys: list[str], title: str) -> None:
    app = SpringlineApp(doors=doors(CASE), settings=Settings())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        first = shown(app)
        for piece in (
            "New case",
            "Go on with",
            "harbour launch [/red]",
            "2026-05-02 09:15",
            "A panel that stays dark",
            "Leave",
        ):
            assert piece in first
        await pilot.press(*keys)
        await pilot.pause()
        assert isinstance(app.screen, CaseScreen)
        assert title in shown(app)


@pytest.mark.parametrize(
    ("keys", "title"),
    [
        (["x", "enter"], "new one"),
        (["1", "2", "full_stop", "6", "space", "V", "enter"], "new one"),
        (["x", "down", "enter"], "harbour"),
        (["x", "backspace", "down", "down", "enter"], "demo"),
    ],
)
async def test_who_types_before_a_case_is_open_is_not_stuck(keys: list[str], title: str) -> None:
    app = SpringlineApp(doors=doors(CASE), settings=Settings())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press(keys[0])
        await pilot.pause()
        assert "Enter opens what is marked; type there" in shown(app)
        await pilot.press(*keys[1:])
        await pilot.pause()
        assert isinstance(app.screen, CaseScreen)
        assert title in shown(app)


async def test_without_cases_and_demos_there_is_still_a_new_case() -> None:
    app = SpringlineApp(doors=Doors(new_case=lambda: Opened(FakeSession())), settings=Settings())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Go on with" not in shown(app)
        await pilot.press("enter")
        await pilot.pause()
        assert isinstance(app.screen, CaseScreen)


async def test_a_case_that_cannot_be_opened_says_why_and_stays() -> None:
    app = SpringlineApp(doors=doors(CASE, broken=True), settings=Settings())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("down", "enter")
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        assert "cannot be opened: line 3 of the journal has been changed" in shown(app)


@pytest.mark.parametrize("keys", [["q"], ["escape"], ["x", "escape"]])
async def test_leaving_from_the_first_screen(keys: list[str]) -> None:
    app = SpringlineApp(doors=doors(), settings=Settings())
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press(*keys)
        await pilot.pause()
        assert app._exit
    assert app.last_words() == ""


async def test_last_words_say_where_the_case_is() -> None:
    app = SpringlineApp(Opened(FakeSession(), journal_path=Path("/somewhere/launch.jsonl")), settings=Settings())
    async with app.run_test():
        pass
    assert "springline resume /somewhere/launch.jsonl" in app.last_words()


def entry(kind: str, **more: object) -> str:
    return json.dumps({"after": "", "entry": {"kind": kind, **more}, "seal": ""}) + "\n"


def test_a_case_is_known_by_how_it_began(tmp_path: Path) -> None:
    boat = entry("turn", line={"facts": []})
    said = entry("turn", line={"say": "panel dark,\n no \x1b[31mclick, " + "and more " * 9})
    kept = {"2026-11-25_232657_4317abcd": boat + said, "north_float": said, "2026-11-25_232657_00ff": "", "odd": "[]\n"}
    for name, turns in kept.items():
        (tmp_path / f"{name}.jsonl").write_text(turns if name == "odd" else entry("case") + turns)
    found = {case.path.stem: case for case in cases_in(tmp_path, {"north_float": "Nordlys"})}
    assert set(found) == set(kept) - {"2026-11-25_232657_00ff"}, "one in which nothing was said is left out"
    own, named = found["2026-11-25_232657_4317abcd"], found["north_float"]
    assert own.said == named.said and own.said.startswith("panel dark, no \\x1b[31mclick") and own.said.endswith("…")
    assert own.title.startswith("20") and not own.when
    assert (named.title, named.boat) == ("north float", "Nordlys") and named.when.startswith("20")
    assert found["odd"].said == ""


@pytest.mark.parametrize(
    ("case", "title"),
    [("2026-11-25_232657_4317abcd", "begun 2026-11-25 23:26"), ("2026-99-99_999999_ab", "2026-99-99 999999 ab"),
     ("harbour_launch", "harbour launch")],
)  # fmt: skip
def test_an_id_is_never_shown_as_the_name_of_a_case(case: str, title: str) -> None:
    time.tzset()
    assert title_of(case) == title
    assert title_of(new_id()).startswith("begun ")


def test_cases_of_a_folder_the_last_used_first(tmp_path: Path) -> None:
    for age, name in enumerate(("new_launch", "old_ferry")):
        path = tmp_path / f"{name}.jsonl"
        path.write_text("")
        os.utime(path, (2_000_000_000 - age * 1000,) * 2)
    (tmp_path / "notes.txt").write_text("")
    assert [case.title for case in cases_in(tmp_path)] == ["new launch", "old ferry"]
    assert cases_in(tmp_path / "missing") == []


@pytest.mark.parametrize("content", ["", "not json", "[1]", '{"theme": 5}', '{"theme": "no such"}', "\xff\xfe"])
async def test_broken_settings_are_no_obstacle(tmp_path: Path, content: str) -> None:
    file = tmp_path / "settings.json"
    file.write_bytes(content.encode("latin-1"))
    app = SpringlineApp(Opened(FakeSession()), settings=Settings.load(file))
    async with app.run_test() as pilot:
        await pilot.pause()
        assert app.theme == "night"


def test_settings_come_back(tmp_path: Path) -> None:
    Settings(theme="day").save(tmp_path / "deep" / "settings.json")
    assert Settings.load(tmp_path / "deep" / "settings.json") == Settings(theme="day")
    (tmp_path / "file").write_text("")
    Settings().save(tmp_path / "file" / "settings.json")


def test_the_package_is_imported_without_the_screen_library() -> None:
    code = "import sys, assistant.terminal; sys.exit('textual' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_the_terminal_knows_only_the_session_contract() -> None:
    code = (
        "import sys, assistant.terminal.app;"
        "bad = [m for m in sys.modules if m.startswith(('assistant.engine', 'assistant.diagnosis',"
        "'assistant.planner', 'assistant.safety', 'assistant.language', 'assistant.knowledge', 'durable'))];"
        "print(bad); sys.exit(bool(bad))"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout


def test_the_ways_in_stay_functions_whatever_was_imported_before() -> None:
    code = (
        "from assistant.doors import doors; doors('technician');"
        "import sys; from assistant.terminal import run, start;"
        "sys.exit(not (callable(run) and callable(start)))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
