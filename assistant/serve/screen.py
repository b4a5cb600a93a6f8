"""One screen for a browser, run as a process of its own by the server.

However it ends, the case goes on: every answered line is in the journal before it is shown.
"""

from __future__ import annotations

import argparse
import json
import os
import signal
import sys
import threading
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from assistant.begin import begin, go_on
from assistant.doors import chosen_demo, demo, training
from assistant.errors import JournalBusyError, SpringlineError
from assistant.journal import Journal
from assistant.knowledge import BASE
from assistant.session import Session
from assistant.terminal.app import SpringlineApp
from assistant.terminal.first_screen import Opened
from assistant.terminal.settings import Settings

_PATIENCE = 5.0
_HANDING_OVER = 20.0
"""Seconds in which the screen that showed the case before may end its last turn and let go of the journal."""
_LOOK = 0.1
_PRELUDE = b"__GANGLION__\n"
"""What the server waits for before it reads packets."""


def main(argv: Sequence[str] | None = None) -> int:
    """Show one case or demo until the connection or the person ends it; return the exit status."""
    parser = argparse.ArgumentParser(prog="springline screen")
    parser.add_argument("--case", type=Path, metavar="FILE")
    parser.add_argument("--role", default="technician")
    parser.add_argument("--train", action="store_true")
    parser.add_argument("--boat", default="")
    parser.add_argument("--language", default=BASE)
    parser.add_argument("--looks", type=Path, metavar="FILE")
    parser.add_argument("--demo", default="", metavar="NAME")
    args = parser.parse_args(argv)
    try:
        opened = _opened(args)
    except (SpringlineError, OSError) as error:
        os.write(1, _PRELUDE)
        _tell(f"It cannot be opened: {error}")
        return 1
    threading.Thread(target=_end_with, args=(os.getppid(),), daemon=True).start()
    boats = args.case.parent / "boats.json" if args.case else None
    app = SpringlineApp(opened, settings_file=args.looks, boats_file=boats)
    app.run()
    if app.failed:
        _tell(app.failed)
    return 1 if app.failed else 0


def _opened(args: argparse.Namespace) -> Opened:
    if args.train:
        return training()
    if args.case is None:
        return demo(chosen_demo(args.demo))
    return replace(_case(args.case, args.role, args.language), boat=args.boat)


def _case(path: Path, role: str, language: str) -> Opened:
    if path.exists():
        session, journal = _taken_over(path)
        return Opened(session, journal_path=path, close=journal.close)
    path.parent.mkdir(parents=True, exist_ok=True)
    session, new = begin(role, path, language, Settings.load().priors_file)
    return Opened(session, journal_path=path, close=None if new is None else new.close)


def _taken_over(path: Path) -> tuple[Session, Journal]:
    """Go on with a case, once whoever showed it last has let go of it.

    A connection can be back before the screen behind the lost one has ended, for that one is let
    finish the turn it is working on.
    """
    until = time.monotonic() + _HANDING_OVER
    while True:
        try:
            session, journal, _ = go_on(path)
            return session, journal
        except JournalBusyError:
            if time.monotonic() > until:
                raise
            time.sleep(_LOOK)


def _tell(text: str) -> None:
    """Hand the server a sentence for the page."""
    data = json.dumps({"type": "failed", "text": text}).encode()
    os.write(1, b"M%s%s" % (len(data).to_bytes(4, "big"), data))


def _end_with(parent: int) -> None:
    """End when the server is gone, however it went, so that the journal is free for the next screen."""
    while os.getppid() == parent:
        time.sleep(0.5)
    os.kill(os.getpid(), signal.SIGTERM)
    time.sleep(_PATIENCE)
    os._exit(1)


if __name__ == "__main__":
    sys.exit(main())
