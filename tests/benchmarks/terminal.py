"""How fast the screen is: first paint, a key while the session works, a turn in a long case, memory.

Run: python tests/benchmarks/terminal.py [turns]

Times are wall times on the machine as it is; CPU times stand beside them where the load of other
programs would blur the comparison.
"""

from __future__ import annotations

import asyncio
import os
import pty
import re
import resource
import select
import statistics
import subprocess
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
os.environ["TEXTUAL_ANIMATIONS"] = "none"
for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME"):
    os.environ[name] = tempfile.mkdtemp()

from terminal.fake_session import FakeSession, output  # noqa: E402
from terminal.stage import OPENING, SAID  # noqa: E402

from assistant.terminal.app import SpringlineApp  # noqa: E402
from assistant.terminal.first_screen import Opened  # noqa: E402
from assistant.terminal.settings import Settings  # noqa: E402

KEYS = "§µßøłđŧħ"
"""Letters that nothing else on the screen has."""
_ESCAPES = re.compile(rb"\x1b\[[0-9;?$]*[A-Za-z]")


class Terminal:
    """A child process on a terminal of 120 by 40, as a person has it before them."""

    def __init__(self, *command: str) -> None:
        """Start it."""
        self.begun = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.environ |= {"TERM": "xterm-256color", "COLUMNS": "120", "LINES": "40"}
            os.execv(command[0], command)

    def until(self, wanted: str, seconds: float = 120.0) -> float:
        """Return the time at which some words have been drawn since the last look."""
        seen = b""
        while select.select([self.fd], [], [], seconds)[0]:
            seen += os.read(self.fd, 1 << 16)
            if wanted.encode() in _ESCAPES.sub(b"", seen):
                return time.perf_counter()
        raise SystemExit(f"{wanted!r} was never drawn")

    def send(self, keys: str) -> float:
        """Press keys; return when."""
        os.write(self.fd, keys.encode())
        return time.perf_counter()

    def end(self) -> float:
        """Leave, and return the CPU seconds that the process took."""
        self.send("\x11")
        while True:
            with suppress(OSError):
                if select.select([self.fd], [], [], 0.1)[0]:
                    os.read(self.fd, 1 << 16)
            pid, _, used = os.wait4(self.pid, os.WNOHANG)
            if pid:
                return used.ru_utime + used.ru_stime


class Slow(FakeSession):
    """A session that computes for a while, holding the interpreter as a rule engine does."""

    seconds = 0.15

    def take(self, line: Any) -> dict[str, Any]:
        until = time.perf_counter() + self.seconds
        while time.perf_counter() < until:
            sum(range(200))
        return super().take(line)


def first_paint() -> tuple[float, float]:
    """Return wall seconds from the command to the first screen, and CPU seconds with leaving, the best of five."""
    runs = []
    for _ in range(5):
        terminal = Terminal(sys.executable, "-m", "assistant")
        runs.append((terminal.until("New case") - terminal.begun, terminal.end()))
    return min(wall for wall, _ in runs), min(cpu for _, cpu in runs)


def keys_to_screen(turns: int) -> list[float]:
    """Return milliseconds from a key to its letter on the terminal while the session works, in order of length."""
    terminal = Terminal(sys.executable, __file__, str(turns), "--shown")
    terminal.until("Tab: answers")
    waits = []
    for _ in range(25):
        terminal.send("something said\r")
        terminal.until("working")
        for key in KEYS:
            pressed = terminal.send(key)
            waits.append((terminal.until(key) - pressed) * 1000)
        terminal.send("\x15")  # empties the line
        time.sleep(0.3)
    terminal.end()
    return sorted(waits)


def case_of(turns: int, seconds: float) -> SpringlineApp:
    """Return an application with a case of that many turns."""
    history = [({"say": f"{SAID} {n}"}, output(n, **(OPENING | {"hazards": []}))) for n in range(1, turns + 1)]
    session = Slow([OPENING] * 1000, history=history)
    session.seconds = seconds
    return SpringlineApp(Opened(session), settings=Settings(), clock=lambda: "10:42")


async def turn_shown(turns: int) -> float:
    """Return CPU milliseconds for a turn in a case of that length."""
    app = case_of(turns, 0.0)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        entry = app.screen.query_one("#entry")
        cpu: list[float] = []
        for _ in range(20):
            entry.fill("something said")  # type: ignore[attr-defined]
            begun_cpu = time.process_time()
            entry.send()  # type: ignore[attr-defined]
            await asyncio.sleep(0)
            while app.screen.waiting:  # type: ignore[attr-defined]
                await asyncio.sleep(0.001)
            await asyncio.sleep(0.08)
            cpu.append((time.process_time() - begun_cpu) * 1000)
    return statistics.median(cpu)


def main() -> None:
    """Print the figures."""
    turns = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    if "--memory" in sys.argv:
        asyncio.run(turn_shown(turns))
        print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
        return
    if "--shown" in sys.argv:
        case_of(turns, 0.15).run()
        return
    print(f"load: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    wall, cpu = first_paint()
    print(f"first paint: {wall:.2f} s wall, {cpu:.2f} s CPU with leaving")
    waits = keys_to_screen(turns)
    print(f"key to screen, {len(waits)} keys: median {statistics.median(waits):.1f} ms, ", end="")
    print(f"95th percentile {waits[int(len(waits) * 0.95)]:.1f} ms")
    short, long = (asyncio.run(turn_shown(length)) for length in (50, turns))
    print(f"a turn shown, CPU: {short:.1f} ms of 50, {long:.1f} ms of {turns}: {long / short:.2f} times")
    memory = [sys.executable, __file__, str(turns), "--memory"]
    print(f"peak memory: {subprocess.run(memory, capture_output=True, text=True, check=True).stdout.strip()} MB")


if __name__ == "__main__":
    main()
