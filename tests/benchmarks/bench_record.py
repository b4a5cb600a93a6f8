"""Figures of the record: audits a second by depth, memory, cost in turns.

Run it by itself: `python tests/benchmarks/bench_record.py [JOURNALS]`; 1,000 by default. It prints figures and
asserts nothing; the aims on two quiet cores are 500 journals of 20 turns a second for the chain alone, 8 with
all conclusions drawn again, 2 with next test and wording.
"""

from __future__ import annotations

import contextlib
import io
import itertools
import json
import os
import resource
import shutil
import sys
import tempfile
import time
from argparse import Namespace
from collections.abc import Mapping
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from session.driver import truthful  # noqa: E402
from truth import oracle  # noqa: E402

from assistant import record_commands  # noqa: E402
from assistant.audit.bench import today  # noqa: E402
from assistant.journal import Journal  # noqa: E402
from assistant.session import Session  # noqa: E402

TURNS, DIFFERENT = 20, 100
CORES = os.cpu_count() or 1


class _FullError(Exception):
    """The case has its turns."""


class _Counted:
    """A session that takes so many turns and no more, each at its own minute."""

    def __init__(self, session: Session, turns: int) -> None:
        self._session, self._turns, self.taken = session, turns, 0
        self.knowledge = session.knowledge

    def take(self, line: Mapping[str, Any]) -> dict[str, Any]:
        if self.taken == self._turns:
            raise _FullError
        self.taken += 1
        at = f"2026-05-04T{9 + self.taken // 60:02d}:{self.taken % 60:02d}:00+02:00"
        return self._session.take({**line, "at": at})


def write_case(path: Path, faults: tuple[str, ...], turns: int = TURNS) -> None:
    """Hold one truthful case; when it ends early, readings and questions fill it up to its turns."""
    session = today().begin({"role": "technician"})
    with Journal.create(path, session.header()) as journal:
        session.keep_in(journal)
        counted = _Counted(session, turns)
        with contextlib.suppress(_FullError):
            truthful(counted, list(faults))  # type: ignore[arg-type]
            for number in itertools.count():
                volts = {"about": "battery", "what": "voltage", "value": 12.5 + number % 3 / 10, "while": ["at_rest"]}
                counted.take({"facts": [volts]} if number % 2 else {"ask": {"why": faults[0]}})


def write_cases(folder: Path, count: int) -> int:
    """Write the journals, single faults and pairs, and copies of them; return their size in bytes."""
    known = [f for f in oracle.FAULTS if f in today().knowledge.faults]
    pairs = zip(known, known[7:], strict=False)
    causes = list(itertools.islice(itertools.chain(((f,) for f in known), pairs), min(DIFFERENT, count)))
    for number, faults in enumerate(causes):
        write_case(folder / f"case-{number:04d}.jsonl", faults)
    for number in range(len(causes), count):
        shutil.copy(folder / f"case-{number % len(causes):04d}.jsonl", folder / f"case-{number:04d}.jsonl")
    return sum(path.stat().st_size for path in folder.glob("*.jsonl"))


def processor() -> float:
    """Seconds of processor time that this process and its workers have used."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(one.ru_utime + one.ru_stime for one in used)


def audit(folder: Path, jobs: int, **more: object) -> str:
    """Audit a folder; return journals a second by the clock, and a second of processor time."""
    base = {"chain_only": False, "conclusions": False, "today": False, "head": None, "trust": [], "gap": 60.0}
    args = Namespace(paths=[str(folder)], jobs=jobs, json=True, **{**base, **more})
    begun, used = time.perf_counter(), processor()
    with contextlib.redirect_stdout(io.StringIO()) as out:
        record_commands.run_audit(args)
    spent, used = time.perf_counter() - begun, processor() - used
    lines = [json.loads(line) for line in out.getvalue().splitlines()]
    assert all(line["turns"] == TURNS and line["status"] in ("sound", "findings") for line in lines)
    return f"{len(lines) / spent:.1f} a second by the clock, {len(lines) / used:.1f} a second of one core's time"


def peak() -> float:
    """Peak memory of this process and of the greatest of its workers, MB."""
    return max(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)) / 1024


def main() -> None:
    """Print the figures."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name) / "all"
        folder.mkdir()
        size = write_cases(folder, count)
        print(f"{count} journals of {TURNS} turns, {size / count / TURNS / 1000:.1f} kB a turn; {CORES} cores")
        print(f"chain alone: {audit(folder, CORES, chain_only=True)}")
        for part in (count // 4, count):
            few = Path(name) / f"first-{part}"
            few.mkdir()
            for path in sorted(folder.iterdir())[:part]:
                shutil.copy(path, few)
            rate = audit(few, CORES, conclusions=True)
            print(f"all conclusions, {part} journals: {rate}; greatest process {peak():.0f} MB")
        few = Path(name) / f"first-{count // 4}"
        print(f"with next test and wording, {count // 4} journals: {audit(few, CORES)}")
    _long_cases()


def _long_cases() -> None:
    """The cost of a turn in cases of more and more turns."""
    with tempfile.TemporaryDirectory() as name:
        for turns in (20, 40, 80, 160):
            path = Path(name) / f"long-{turns}.jsonl"
            write_case(path, ("contactor.port_coil_open",), turns)
            args = Namespace(
                paths=[str(path)], jobs=1, json=True, chain_only=False, conclusions=True, today=False, head=None,
                trust=[], gap=60.0,
            )  # fmt: skip
            begun = time.perf_counter()
            with contextlib.redirect_stdout(io.StringIO()):
                record_commands.run_audit(args)
            print(f"a case of {turns} turns: {1000 * (time.perf_counter() - begun) / turns:.1f} ms a turn")


if __name__ == "__main__":
    main()
