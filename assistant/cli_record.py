"""The commands that read a record: replay, audit, report, key, fleet.

`add_parsers` hangs them onto the main command; each parser carries its handler as `run`, which takes the
parsed arguments and returns the exit status.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from assistant.audit.names import SafeNames
from assistant.audit.replay import Session, Step, replay
from assistant.audit.transcript import heading, turn_lines
from assistant.errors import JournalError
from assistant.journal import Checked, check, read_bytes
from assistant.journal.resume import header_of
from assistant.journal.turn import turns

if TYPE_CHECKING:
    SubParsers = argparse._SubParsersAction[argparse.ArgumentParser]


def add_parsers(subparsers: SubParsers) -> None:
    """Hang the commands of the record onto the main command."""
    one = subparsers.add_parser("replay", help="print a recorded case again, turn by turn, and run it again")
    one.add_argument("file", metavar="FILE", help="the journal")
    one.add_argument("--turn", type=int, metavar="N", help="print this turn only; all are run")
    one.add_argument("--record-only", action="store_true", help="print what was recorded and run nothing")
    one.set_defaults(run=run_replay)


def run_replay(args: argparse.Namespace) -> int:
    """`springline replay`: 0 when the case runs again as it was recorded, 1 when it does not.

    Raises:
        JournalError: The file cannot be read, or is not the journal of a case.
    """
    checked = check(read_bytes(args.file))
    broken = _tell_problems(checked)
    header = header_of(checked)
    print(heading(header))
    print()
    names, steps = _steps(args, header, checked)
    parted: Step | None = None
    for step in steps:
        parted = parted or (step if step.differences else None)
        if args.turn in (None, step.turn.number):
            print("\n".join(turn_lines(step, names)))
    if parted is not None:
        print(
            f"The case does not run again as it was recorded. First: {parted.differences[0]}", file=sys.stderr
        )
    elif not args.record_only and not broken:
        print("The case runs again as it was recorded.")
    return 1 if parted is not None or broken else 0


def _steps(args: argparse.Namespace, header: Mapping[str, Any], checked: Checked) -> tuple[SafeNames, Any]:
    recorded = turns(checked)
    if args.record_only:
        return SafeNames(), (Step(turn, {}) for turn in recorded)
    session = fresh_session(header)
    return SafeNames(getattr(session, "names", None)), replay(header, recorded, session)


def _tell_problems(checked: Checked) -> bool:
    for problem in checked.problems:
        print(f"Line {problem.line} of the journal: {problem.text}.", file=sys.stderr)
    return bool(checked.problems)


def fresh_session(header: Mapping[str, Any]) -> Session:
    """A session of today in the role that a header recorded.

    Raises:
        JournalError: The header names no role that a session can have.
    """
    from assistant.knowledge import load
    from assistant.session import Session as Today

    try:
        return Today(load(), role=str(header.get("role")))
    except ValueError as error:
        raise JournalError(f"this journal cannot be run again: {error}") from error
