"""How fast the screen is: first paint, a key while the session works, a turn in a long case, memory.

Run: python tests/benchmarks/terminal.py [turns]

Times are wall times on the machine as it is; CPU times stand beside them where the load of other
programs would blur the comparison.
"""

from __future__ import annotations

import asyncio
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
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

FIRST_PAINT = """
import time; begun = time.perf_counter()
import asyncio
from assistant.terminal.app import SpringlineApp
from assistant.terminal.first_screen import Doors
from assistant.terminal.settings import Settings
async def main():
    app = SpringlineApp(doors=Doors(new_case=lambda: None), settings=Settings())
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        print(time.perf_counter() - begun, time.process_time())
asyncio.run(main())
"""


class Slow(FakeSession):
    """A session that computes for a while, holding the interpreter as a rule engine does."""

    seconds = 0.15

    def take(self, line: Any) -> dict[str, Any]:
        until = time.perf_counter() + self.seconds
        while time.perf_counter() < until:
            sum(range(200))
        return super().take(line)


def first_paint() -> tuple[float, float]:
    """Return wall and CPU seconds from a fresh interpreter to the first screen, the best of five."""
    runs = []
    for _ in range(5):
        done = subprocess.run([sys.executable, "-c", FIRST_PAINT], capture_output=True, text=True, check=True)
        runs.append(tuple(float(piece) for piece in done.stdout.split()))
    return min(wall for wall, _ in runs), min(cpu for _, cpu in runs)


def case_of(turns: int, seconds: float) -> SpringlineApp:
    """Return an application with a case of that many turns."""
    history = [({"say": f"{SAID} {n}"}, output(n, **(OPENING | {"hazards": []}))) for n in range(1, turns + 1)]
    session = Slow([OPENING] * 1000, history=history)
    session.seconds = seconds
    return SpringlineApp(Opened(session), settings=Settings(), clock=lambda: "10:42")


async def keys_and_turns(turns: int) -> dict[str, float]:
    """Return milliseconds for a key while the session works, and for a turn, in a case of that length."""
    app = case_of(turns, 0.15)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        entry = app.screen.query_one("#entry")
        keys: list[float] = []
        own: list[float] = []
        for _ in range(25):
            entry.fill("something said")  # type: ignore[attr-defined]
            entry.send()  # type: ignore[attr-defined]
            await asyncio.sleep(0.02)
            while app.screen.waiting:  # type: ignore[attr-defined]
                begun, begun_own = time.perf_counter(), time.thread_time()
                before = entry.text  # type: ignore[attr-defined]
                app._driver.process_message(key_event("x"))  # type: ignore[union-attr]
                while entry.text == before:  # type: ignore[attr-defined]
                    await asyncio.sleep(0)
                keys.append((time.perf_counter() - begun) * 1000)
                own.append((time.thread_time() - begun_own) * 1000)
                await asyncio.sleep(0.01)
        app.screen._session.seconds = 0.0  # type: ignore[attr-defined]
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
    keys.sort()
    own.sort()
    return {
        "key p50": statistics.median(keys),
        "key p95": keys[int(len(keys) * 0.95)],
        "key p95 of the screen's own thread, CPU": own[int(len(own) * 0.95)],
        "keys": len(keys),
        "turn cpu": statistics.median(cpu),
    }


def key_event(char: str) -> Any:
    """Return a key as the terminal sends it."""
    from textual.events import Key

    return Key(char, char)


def main() -> None:
    """Print the figures."""
    turns = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    if "--memory" in sys.argv:
        asyncio.run(keys_and_turns(turns))
        print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
        return
    wall, cpu = first_paint()
    print(f"first paint: {wall:.2f} s wall, {cpu:.2f} s CPU")
    figures = {length: asyncio.run(keys_and_turns(length)) for length in (50, turns)}
    for length, found in figures.items():
        told = ", ".join(f"{name} {value:.1f}" for name, value in found.items())
        print(f"{length} turns: {told} (ms)")
    ratio = figures[turns]["turn cpu"] / figures[50]["turn cpu"]
    print(f"a turn in {turns} against 50: {ratio:.2f} times")
    memory = [sys.executable, __file__, str(turns), "--memory"]
    print(f"peak memory: {subprocess.run(memory, capture_output=True, text=True, check=True).stdout.strip()} MB")


if __name__ == "__main__":
    main()
