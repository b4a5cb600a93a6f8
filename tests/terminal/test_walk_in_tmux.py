"""Demo cases walked to their end by keyboard alone, in tmux, on small, middling and large screens in turn."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from itertools import cycle
from pathlib import Path

import pytest

from assistant.demos import demo_files, read_typed

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="no tmux on this machine")
ROOT = Path(__file__).resolve().parents[2]
SIZES = ((80, 24), (120, 40), (200, 60))
WALKS = list(zip(demo_files(), cycle(SIZES), strict=False))
VIEWS = (("F3", "[Suspects]"), ("F4", "[Test]"), ("F5", "[Known]"), ("F6", "[To do]"))


class Tmux:
    """A tmux server of its own, with one window."""

    def __init__(self, folder: Path, size: tuple[int, int]) -> None:
        self._socket = folder / "tmux"
        homes = {f"XDG_{n}_HOME": str(folder / n.lower()) for n in ("CONFIG", "DATA", "STATE", "CACHE")}
        env = {**os.environ, **homes, "TEXTUAL_ANIMATIONS": "none", "PYTHONPATH": str(ROOT)}
        env.pop("NO_COLOR", None)
        env.pop("TMUX", None)
        command = shlex.join([sys.executable, "-m", "assistant"]) + "; echo ended with $?; cat"
        self._run("-f", os.devnull, "new-session", "-d", "-x", str(size[0]), "-y", str(size[1]), command, env=env)

    def _run(self, *args: str, env: dict[str, str] | None = None) -> str:
        done = subprocess.run(
            ["tmux", "-S", str(self._socket), *args], check=True, capture_output=True, text=True, env=env, cwd=ROOT
        )
        return done.stdout

    def shown(self) -> str:
        return self._run("capture-pane", "-p")

    def key(self, *names: str) -> None:
        self._run("send-keys", *names)

    def type(self, text: str) -> None:
        self._run("send-keys", "-l", text)
        self.key("Enter")

    def until(self, wanted: str, seconds: float = 60.0) -> str:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            shown = self.shown()
            if wanted in shown:
                return shown
            time.sleep(0.1)
        raise AssertionError(f"{wanted!r} never came:\n{self.shown()}")

    def end(self) -> None:
        subprocess.run(["tmux", "-S", str(self._socket), "kill-server"], check=False, capture_output=True)


@pytest.fixture
def tmux(tmp_path: Path, size: tuple[int, int]) -> Iterator[Tmux]:
    held = Tmux(tmp_path, size)
    try:
        yield held
    finally:
        held.end()


@pytest.mark.parametrize(("path", "size"), WALKS, ids=[path.name.split(".")[0] for path, _ in WALKS])
def test_a_demo_case_is_held_to_its_end(tmux: Tmux, tmp_path: Path, path: Path) -> None:
    lines = [line["say"] for line in read_typed(path).lines]
    tmux.until("New case")
    tmux.key("Enter")
    tmux.until("Say what you see")
    for number, line in enumerate(lines, 1):
        tmux.type(line)
        shown = tmux.until(f"turn {number}")
        assert "Traceback" not in shown
    shown = tmux.until("closed")
    for key, mark in VIEWS:
        tmux.key(key)
        tmux.until(mark)
        tmux.key("Escape")
        tmux.until("[Talk]")
    tmux.key("C-p")
    tmux.until("Commands: type a few letters")
    tmux.type("leave")
    shown = tmux.until("ended with 0")
    journal = next((tmp_path / "data").rglob("*.jsonl"))
    assert re.sub(r"\s", "", str(journal)) in re.sub(r"\s", "", shown)
