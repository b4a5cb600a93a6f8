"""Many journals: found in folders, judged one after another or by several processes."""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from assistant.audit.judge import Audit, FindDesk, Wish, judge
from assistant.errors import JournalError

_START = b'{"after":"'
_WORTH_IT = 16
"""Fewer journals than this are judged faster by one process that is already running."""


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


def judge_all(paths: list[Path], wish: Wish, find_desk: FindDesk | None, jobs: int = 1) -> Iterator[Audit]:
    """Judge every journal, in order; with several jobs each process loads the rules once.

    Args:
        paths: The journals.
        wish: What is asked.
        find_desk: Where sessions come from; a function of a module when there are several jobs.
        jobs: How many processes.
    """
    if jobs <= 1 or len(paths) < _WORTH_IT:
        yield from (judge(path, wish, find_desk) for path in paths)
        return
    context = multiprocessing.get_context("spawn")
    count = len(paths)
    with ProcessPoolExecutor(jobs, mp_context=context) as pool:
        chunk = max(1, min(32, count // (jobs * 4)))
        yield from pool.map(judge, paths, [wish] * count, [find_desk] * count, chunksize=chunk)
