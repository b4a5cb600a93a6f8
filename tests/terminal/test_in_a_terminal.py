"""The program in a real terminal of the system: keys in, screen out, and no traceback whatever happens."""

from __future__ import annotations

import os
import select
import sys
import time
from pathlib import Path

import pytest

pty = pytest.importorskip("pty")

HERE = Path(__file__).resolve().parent.parent
GOOD = """
from terminal.fake_session import FakeSession
from terminal.stage import OPENING
from assistant.terminal import run
from pathlib import Path
raise SystemExit(run(FakeSession([OPENING]), journal_path=Path("/somewhere/case.jsonl")))
"""
BROKEN = GOOD.replace("[OPENING]", "[{'suspects': 5}]")


class Terminal:
    """A child process on a terminal of 80 by 24."""

    def __init__(self, code: str) -> None:
        self.seen = b""
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.environ |= {"TERM": "xterm-256color", "COLUMNS": "80", "LINES": "24", "PYTHONPATH": str(HERE)}
            os.execv(sys.executable, [sys.executable, "-c", code])

    def until(self, wanted: bytes, seconds: float = 30.0) -> None:
        end = time.monotonic() + seconds
        while wanted not in self.seen and time.monotonic() < end:
            self._read()
        assert wanted in self.seen, self.seen[-2000:]

    def _read(self) -> bool:
        if not select.select([self.fd], [], [], 0.2)[0]:
            return True
        try:
            more = os.read(self.fd, 65536)
        except OSError:
            return False
        self.seen += more
        return bool(more)

    def send(self, keys: bytes) -> None:
        os.write(self.fd, keys)

    def status(self) -> int:
        end = time.monotonic() + 30.0
        while time.monotonic() < end and self._read():
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                return os.waitstatus_to_exitcode(status)
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])


def test_a_line_is_typed_answered_and_the_program_left() -> None:
    terminal = Terminal(GOOD)
    terminal.until(b"Say what you see")
    terminal.send(b"panel lights\r")
    terminal.until(b"Runs both ways")
    terminal.send(b"quit\r")
    assert terminal.status() == 0
    assert b"springline resume /somewhere/case.jsonl" in terminal.seen


def test_a_failure_of_the_screen_ends_in_a_sentence(tmp_path: Path) -> None:
    terminal = Terminal(BROKEN)
    terminal.until(b"Say what you see")
    terminal.send(b"panel lights\r")
    assert terminal.status() == 1
    assert b"The screen failed and had to close; nothing that was answered is lost." in terminal.seen
    assert b"Traceback" not in terminal.seen
    assert any("Traceback" in file.read_text() for file in tmp_path.rglob("failure.txt"))
