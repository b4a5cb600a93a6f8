"""Scripted sessions killed at random moments; run as a program, it prints what became of them as JSON.

    python tests/journal/killing.py COUNT SEED FOLDER

A case that came to its end before its moment is not counted.

The rule base is loaded once; each case is held by a forked child that tells every head it has confirmed, and is
killed with SIGKILL. Every twentieth journal is gone on with by `resume` afterwards.
"""

from __future__ import annotations

import itertools
import json
import os
import random
import signal
import sys
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.audit.bench import today
from assistant.begin import go_on
from assistant.demos import demo_files, read_typed
from assistant.journal import Journal, check

SCRIPTS = [list(read_typed(path).lines) for path in demo_files()]


def hold(path: Path, lines: list[dict[str, Any]], told: int) -> None:
    """Hold a case to its end, telling each confirmed head."""
    session = today().begin({"role": "technician"})
    with Journal.create(path, session.header()) as journal:
        session.keep_in(journal)
        os.write(told, b"ready\n")
        for line in lines:
            os.write(told, session.take(line)["head"].encode() + b"\n")


def killed(path: Path, lines: list[dict[str, Any]], delay: float) -> tuple[list[str], bool]:
    """Kill a child after a delay; the heads that it confirmed, and whether it had come to its end."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        hold(path, lines, writing)
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        pipe.readline()
        time.sleep(delay)
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        told = pipe.read()
    heads = [line.decode() for line in told.split(b"\n")[:-1]]
    return heads, os.WIFEXITED(status)


def check_one(path: Path, heads: list[str], resume: bool, lines: list[dict[str, Any]]) -> int:
    """Hold the file to what was confirmed; return how many entries were kept beyond that (0 or 1)."""
    journal, checked = Journal.open(path)
    journal.close()
    seals = [entry.seal for entry in checked.entries][1:]
    assert seals[: len(heads)] == heads, "a confirmed turn is missing"
    assert len(seals) - len(heads) in (0, 1), "more was kept than could be"
    if resume and len(seals) < len(lines):
        session, journal, _ = go_on(path)
        with journal:
            session.take(lines[len(seals)])
        assert check(path.read_bytes()).problems == ()
    return len(seals) - len(heads)


def main() -> None:
    """Kill, look, tell."""
    count, chance, folder = int(sys.argv[1]), random.Random(int(sys.argv[2])), Path(sys.argv[3])
    for _ in range(2):
        session = today().begin({"role": "technician"})  # once for what is loaded, once for the time it takes
        begun = time.perf_counter()
        for line in SCRIPTS[0]:
            session.take(line)
        spent = time.perf_counter() - begun
    told = {"killed": 0, "ended": 0, "confirmed": 0, "kept_unconfirmed": 0}
    for number in itertools.count():
        if told["killed"] == count:
            break
        path, lines = folder / f"case-{number}.jsonl", SCRIPTS[number % len(SCRIPTS)]
        heads, ended = killed(path, lines, chance.random() * spent)
        told["ended" if ended else "killed"] += 1
        told["confirmed"] += len(heads)
        told["kept_unconfirmed"] += check_one(path, heads, number % 20 == 0, lines)
        path.unlink()
    print(json.dumps(told))


if __name__ == "__main__":
    main()
