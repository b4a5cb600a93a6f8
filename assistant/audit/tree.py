"""Many journals: found in folders, judged one after another or by several processes."""

from __future__ import annotations

import multiprocessing
import re
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from assistant.audit.judge import Audit, FindDesk, Wish, judge
from assistant.errors import JournalError

_START = b'{"after":"'
_RULES = re.compile(rb'"rules":"([0-9a-f]{64})"')
_WORTH_IT, _WORTH_IT_CHAIN = 16, 4000
"""Fewer journals than this are judged faster by one process that is already running; so for the chain alone."""


def journals(paths: Iterable[str | Path]) -> list[Path]:
    """The files named, and every journal in the folders named, in the order of their names.

    Raises:
        JournalError: A path does not exist, or a folder holds no journal at all.
    """
    found: list[Path] = []
    for path in map(Path, paths):
        if path.is_dir():
            inside = sorted(file for file in path.rglob("*.jsonl") if _looks_like_one(file))
            if not inside:
                raise JournalError(f"no journal was found in {path}")
            found += inside
        elif path.exists():
            found.append(path)
        else:
            raise JournalError(f"{path} does not exist")
    return list(dict.fromkeys(found))


def _looks_like_one(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(len(_START)) == _START
    except OSError:
        return True


def judge_all(
    paths: list[Path],
    wish: Wish,
    find_desk: FindDesk | None,
    jobs: int = 1,
    find_today: FindDesk | None = None,
) -> Iterator[Audit]:
    """Judge every journal, in order, whatever the number of processes.

    With several jobs each rule base gets worker processes of its own, which load it once and end with it.

    Args:
        paths: The journals.
        wish: What is asked.
        find_desk: Where sessions come from; a function of a module when there are several jobs.
        jobs: How many processes at a time.
        find_today: Where sessions under today's rules come from, for a second column.
    """
    if jobs <= 1 or len(paths) < (_WORTH_IT_CHAIN if find_desk is None else _WORTH_IT):
        yield from (judge(path, wish, find_desk, find_today) for path in paths)
        return
    done: dict[int, Audit] = {}
    given = 0
    for places in _by_rules(paths, apart=find_desk is not None):
        some = [paths[place] for place in places]
        for place, audit in zip(places, _in_processes(some, wish, find_desk, jobs, find_today), strict=True):
            done[place] = audit
            while given in done:
                yield done.pop(given)
                given += 1


def _in_processes(
    paths: list[Path], wish: Wish, find_desk: FindDesk | None, jobs: int, find_today: FindDesk | None
) -> Iterator[Audit]:
    context = multiprocessing.get_context("spawn")
    count = len(paths)
    chunk = max(1, min(32, count // (jobs * 4)))
    with ProcessPoolExecutor(min(jobs, -(-count // chunk)), mp_context=context) as pool:
        columns = (paths, [wish] * count, [find_desk] * count, [find_today] * count)
        yield from pool.map(judge, *columns, chunksize=chunk)


def _by_rules(paths: list[Path], apart: bool) -> list[list[int]]:
    """Places of the journals, those of one rule base together."""
    groups: dict[bytes, list[int]] = {}
    for place, path in enumerate(paths):
        groups.setdefault(_rules_of(path) if apart else b"", []).append(place)
    return list(groups.values())


def _rules_of(path: Path) -> bytes:
    """The fingerprint in the first entry, as it stands there; empty where there is none."""
    try:
        with path.open("rb") as file:
            found = _RULES.search(file.read(4096))
    except OSError:
        return b""
    return found[1] if found else b""
