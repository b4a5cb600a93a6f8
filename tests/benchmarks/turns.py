"""How long a turn takes with the whole rule base, and how soon `talk --json` answers.

Run it by itself: `python tests/benchmarks/turns.py [FAULTS]`. It prints figures and asserts nothing; the aims
are a 95th percentile of 150 ms a turn, and 1.5 s from start to the first reply, on two cores.
"""

from __future__ import annotations

import json
import statistics
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from session.driver import truthful  # noqa: E402
from truth import oracle  # noqa: E402

from assistant.diagnosis.diagnose import Diagnoser  # noqa: E402
from assistant.knowledge import load  # noqa: E402
from assistant.language import load_words  # noqa: E402
from assistant.session import Session  # noqa: E402

SAID = [
    "the panel stays dark and nothing happens to either side",
    "12.6 V at the thruster studs, nothing running",
    "it clicks to port but not to starboard, and the fuse is fine",
    "no, sorry, 11.9 V",
    "why panel",
]


class Timed(Session):
    """A session that keeps the milliseconds of its turns."""

    spent: list[float]

    def take(self, line: Any) -> dict[str, Any]:
        begun = time.perf_counter()
        out = super().take(line)
        self.spent.append(1000 * (time.perf_counter() - begun))
        return out


def turns(faults: list[str]) -> tuple[list[float], list[float]]:
    """Milliseconds of every turn of truthful sessions, and of typed text."""
    shared = {"diagnoser": Diagnoser(load()), "words": load_words()}
    facts: list[float] = []
    text: list[float] = []
    for fault in faults:
        session = Timed(load(), **shared)
        session.spent = facts
        truthful(session, [fault])
        session = Timed(load(), **shared)
        session.spent = text
        for said in SAID:
            session.take({"say": said})
    return facts, text


def first_reply() -> float:
    """Seconds from the start of the process to its first line."""
    begun = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-m", "assistant", "talk", "--json"], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as process:
        assert process.stdin and process.stdout
        process.stdin.write(json.dumps({"say": SAID[0]}).encode() + b"\n")
        process.stdin.flush()
        json.loads(process.stdout.readline())
        took = time.perf_counter() - begun
        process.stdin.close()
        process.wait(30)
    return took


def show(name: str, spent: list[float]) -> None:
    """One line of figures."""
    at = statistics.quantiles(spent, n=100)
    print(f"{name:28} {len(spent):5} turns   p50 {at[49]:6.1f} ms   p95 {at[94]:6.1f} ms   most {max(spent):6.1f} ms")


if __name__ == "__main__":
    chosen = sys.argv[1:] or list(oracle.FAULTS)
    by_facts, by_text = turns(chosen)
    show("facts, truthful sessions", by_facts)
    show("typed text", by_text)
    show("both", by_facts + by_text)
    starts = sorted(first_reply() for _ in range(5))
    print(f"start to first reply         {statistics.median(starts):.2f} s (median of 5, most {starts[-1]:.2f} s)")
