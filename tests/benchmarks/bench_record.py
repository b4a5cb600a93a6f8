"""Figures of the record: audits a second, kills survived. Run with the number of kills, 500 by default."""

from __future__ import annotations

import contextlib
import io
import json
import os
import random
import resource
import shutil
import sys
import tempfile
import time
from argparse import Namespace
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path[:0] = [str(ROOT / "journal"), str(ROOT / "audit"), str(ROOT.parent)]

from assistant import record_commands  # noqa: E402
from assistant.journal import Journal  # noqa: E402

COPIES, TURNS, REPLAYED = 1000, 20, 40


def wide_output(turn: int) -> dict[str, object]:
    """An output as wide as a real one: sixty suspects, hazards, a test with answers."""
    suspects = [
        {
            "fault": f"part_{n}.failure",
            "part": f"part_{n}",
            "probability": 0.015625,
            "state": "open",
            "because": [],
        }
        for n in range(60)
    ]
    answers = [{"text": f"answer {n}", "facts": [{"about": "supply", "what": "voltage"}]} for n in range(8)]
    step = {
        "test": "t",
        "text": "x" * 200,
        "plain_text": "y" * 200,
        "setup": ["s" * 80] * 5,
        "answers": answers,
    }
    return {"turn": turn, "suspects": suspects, "hazards": [], "next": step, "reply": "z" * 900}


def journals(folder: Path) -> int:
    """Write the journals; return their size in bytes."""
    header = {"kind": "case", "format": 1, "program": "0.1.0", "rules": "ab" * 32, "role": "desk"}
    path = folder / "case-0000.jsonl"
    with Journal.create(path, header) as journal:
        for turn in range(1, TURNS + 1):
            line = {"say": "12.4 V at the studs"}
            at = f"2026-05-04T09:{turn:02d}:00+02:00"
            journal.append({"kind": "turn", "turn": turn, "at": at, "line": line, "out": wide_output(turn)})
    data = path.read_bytes()
    for copy in range(1, COPIES):
        (folder / f"case-{copy:04d}.jsonl").write_bytes(data)
    return len(data) * COPIES


def audit(folder: Path, jobs: int, **more: object) -> float:
    """Audit the folder; return journals a second."""
    base = {"chain_only": True, "today": False, "head": None, "trust": [], "gap": 60.0, "json": True}
    args = Namespace(paths=[str(folder)], jobs=jobs, **{**base, **more})
    start = time.perf_counter()
    with contextlib.redirect_stdout(io.StringIO()) as out:
        record_commands.run_audit(args)
    spent = time.perf_counter() - start
    count = len(out.getvalue().splitlines())
    assert json.loads(out.getvalue().splitlines()[0])["turns"] == TURNS
    return count / spent


def main() -> None:
    """Print the figures."""
    kills = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        size = journals(folder)
        print(f"{COPIES} journals of {TURNS} turns, {size / COPIES / TURNS / 1000:.1f} kB a turn")
        for jobs in (1, os.cpu_count() or 1):
            print(f"chain alone, {jobs} process(es): {audit(folder, jobs):.0f} journals/s")
        print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")
    _replays()
    _kills(kills)


def _replays() -> None:
    from test_real_case import LINES, at, hold, told

    more = [
        {"facts": [told("supply", "voltage", 12 + n / 10, "at_rest")], "at": at(20 + n)} for n in range(13)
    ]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        hold(folder / "case-00.jsonl", [*LINES[: TURNS - 13], *more])
        for copy in range(1, REPLAYED):
            shutil.copy(folder / "case-00.jsonl", folder / f"case-{copy:02d}.jsonl")
        for jobs in (1, os.cpu_count() or 1):
            rate = audit(folder, jobs, chain_only=False)
            print(f"run again in full, {jobs} process(es): {rate:.1f} journals/s")


def _kills(count: int) -> None:
    from test_kill import kill_once

    chance = random.Random(7)
    confirmed = 0
    for _ in range(count):
        with tempfile.TemporaryDirectory() as name:
            delay, size = chance.random() * 0.05, chance.choice([1, 2000, 200_000])
            confirmed += kill_once(Path(name) / "case.jsonl", delay, size)
    print(f"killed {count} times at random: {confirmed} confirmed entries, none lost")


if __name__ == "__main__":
    main()
