"""A writer killed at a random moment: whatever it had confirmed is there, and the journal goes on."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from assistant.journal import Journal, check

WRITER = """
import sys
from assistant.journal import Journal
path, size = sys.argv[1], int(sys.argv[2])
header = {"kind": "case", "format": 1, "program": "0.1.0", "rules": "ab" * 32, "role": "desk"}
with Journal.create(path, header) as journal:
    print(journal.head, flush=True)
    for turn in range(1, 100000):
        print(journal.append({"kind": "turn", "turn": turn, "line": {"say": "x" * size}}), flush=True)
"""


def kill_once(path: Path, delay: float, size: int) -> int:
    """Kill a writer after a delay; return how many entries it had confirmed, all of them found again."""
    child = subprocess.Popen([sys.executable, "-c", WRITER, str(path), str(size)], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    first = child.stdout.readline()
    time.sleep(delay)
    child.kill()
    told = [first, *child.communicate()[0].splitlines(keepends=True)]
    confirmed = [line.strip() for line in told if line.endswith("\n")]
    journal, checked = Journal.open(path)
    with journal:
        seals = [entry.seal for entry in checked.entries]
        assert seals[: len(confirmed)] == confirmed, "a confirmed entry is missing"
        assert len(seals) <= len(confirmed) + 1, "at most one entry was kept and not yet confirmed"
        head = journal.append({"kind": "turn", "turn": len(seals), "line": {"say": "on we go"}})
    assert check(path.read_bytes(), head).problems == ()
    return len(confirmed)


@pytest.mark.parametrize("seed", range(25))
def test_a_kill_loses_no_confirmed_entry(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    assert kill_once(tmp_path / "case.jsonl", chance.random() * 0.05, chance.choice([1, 2000, 200_000])) > 0


KILLS = int(os.environ.get("SPRINGLINE_KILLS", "8"))
"""How many sessions are killed; 500 is the figure of the README."""


def test_a_session_killed_at_any_moment_loses_no_confirmed_turn(tmp_path: Path) -> None:
    command = [sys.executable, str(Path(__file__).with_name("killing.py")), str(KILLS), "11", str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    told = json.loads(done.stdout)
    assert told["killed"] == KILLS and told["confirmed"] > KILLS
