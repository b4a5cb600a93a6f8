"""The command `train`: a case on the simulated boat, with a score."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    SubParsers = argparse._SubParsersAction[argparse.ArgumentParser]


def add_parsers(subparsers: SubParsers) -> None:
    """Hang the command onto the main command; its handler is `run`."""
    one = subparsers.add_parser(
        "train",
        help="find a fault on a simulated boat, and be scored",
        epilog="The same seed with the same wishes is always the same case.",
    )
    one.add_argument("--boat", default="", metavar="NAME", help="kind of boat, or part of its name, for example 24V")
    one.add_argument("--fault", nargs="+", default=[], metavar="FAULT", help="what is wrong with her (default: drawn)")
    one.add_argument("--seed", type=int, metavar="N", help="which case (default: a new one)")
    one.add_argument("--journal", type=Path, metavar="FILE", help="keep the record here; a new file")
    one.add_argument("--plain", action="store_true", help="plain lines, without a screen")
    one.add_argument("--show", action="store_true", help="print how the assistant does the case, and train on nothing")
    one.set_defaults(run=_train)


def _train(args: argparse.Namespace) -> int:
    from assistant.knowledge import load
    from assistant.train.draw import draw_case

    knowledge = load()
    seed = _new_seed() if args.seed is None else args.seed
    case = draw_case(knowledge, seed, args.boat, args.fault)
    if args.show:
        from assistant.talk import main_streams
        from assistant.train.shown import assistant_run, shown_lines

        print("\n".join(shown_lines(case, assistant_run(case, knowledge), knowledge)), file=main_streams()[1])
        return 0
    from assistant.journal import Journal
    from assistant.train.data import say
    from assistant.train.session import TrainingSession

    session = TrainingSession(case, knowledge)
    journal = Journal.create(args.journal, session.header()) if args.journal else None
    try:
        if journal is not None:
            session.keep_in(journal)
        session.begin()
        if args.plain or not sys.stdout.isatty():
            from assistant.talk import main_streams
            from assistant.train.plain import train_plain

            lines, out = main_streams()
            return train_plain(session, lines, out, prompt=lines.isatty())
        from assistant.terminal import run

        return run(session, title=say("title", boat=case.boat, seed=seed), journal_path=args.journal)
    finally:
        if journal is not None:
            journal.close()


def _new_seed() -> int:
    import secrets

    from assistant.train.draw import SEEDS

    return secrets.randbelow(SEEDS)
