"""The commands that read a record: replay, audit, report, key, fleet.

`add_parsers` hangs them onto the main command; each parser carries its handler as `run`, which takes the
parsed arguments and returns the exit status. The handlers are imported only when one is used.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING

from assistant.report.build import TITLES
from assistant.report.forms import FORMS

if TYPE_CHECKING:
    SubParsers = argparse._SubParsersAction[argparse.ArgumentParser]


def add_parsers(subparsers: SubParsers) -> None:
    """Hang the commands of the record onto the main command."""
    _add_replay(subparsers)
    _add_audit(subparsers)
    _add_report(subparsers)
    _add_key(subparsers)
    _add_fleet(subparsers)


def _add_replay(subparsers: SubParsers) -> None:
    one = subparsers.add_parser("replay", help="print a recorded case again, turn by turn, and run it again")
    one.add_argument("file", metavar="FILE", help="the journal")
    one.add_argument("--turn", type=int, metavar="N", help="print this turn only; all are run")
    one.add_argument("--plain", action="store_true", help="print it; on a terminal it is a screen to step through")
    one.add_argument("--record-only", action="store_true", help="print what was recorded and run nothing")
    one.set_defaults(run=_later("run_replay"))


def _add_audit(subparsers: SubParsers) -> None:
    one = subparsers.add_parser(
        "audit",
        help="check recorded cases: chain, run again, findings",
        epilog="Exit status: 0 sound, 3 findings, 4 other conclusions when run again, 5 not intact.",
    )
    one.add_argument("paths", nargs="+", metavar="PATH", help="a journal, or a folder with journals")
    one.add_argument("--json", action="store_true", help="one JSON object for each journal")
    much = one.add_mutually_exclusive_group()
    much.add_argument("--chain-only", action="store_true", help="check the chain and run nothing")
    much.add_argument(
        "--conclusions", action="store_true", help="run for suspects, hazards and verdict, not for next test and words"
    )
    one.add_argument("--today", action="store_true", help="run under the rules of today, not those of the day")
    one.add_argument("--head", metavar="HASH", help="the head known from elsewhere (one journal only)")
    one.add_argument("--trust", action="append", default=[], metavar="KEY", help="a public key or .pub file")
    one.add_argument("--gap", type=float, default=60.0, metavar="MINUTES", help="longest pause not noted")
    one.add_argument("--jobs", type=int, default=os.cpu_count() or 1, metavar="N", help="processes for many")
    one.set_defaults(run=_later("run_audit"))


def _add_report(subparsers: SubParsers) -> None:
    one = subparsers.add_parser("report", help="write a report on a recorded case, from its journal alone")
    one.add_argument("file", metavar="FILE", help="the journal")
    one.add_argument("--for", dest="reader", choices=sorted(TITLES), default="customer", help="who is to read it")
    one.add_argument("--as", dest="form", choices=FORMS, help="by default as the name of the output says")
    one.add_argument("--output", metavar="OUT", help="the file to write; by default Markdown on the screen")
    one.set_defaults(run=_later("run_report"))


def _add_key(subparsers: SubParsers) -> None:
    one = subparsers.add_parser("key", help="make a key, and sign the head of a journal with it")
    deeds = one.add_subparsers(dest="deed", required=True, metavar="new|sign")
    new = deeds.add_parser("new", help="make a key; the public half goes into FILE.pub")
    new.add_argument("key", metavar="FILE")
    new.set_defaults(run=_later("run_key_new"))
    put = deeds.add_parser("sign", help="sign the head of a journal; the signature stands beside it")
    put.add_argument("file", metavar="JOURNAL")
    put.add_argument("--key", required=True, metavar="FILE", help="the private key")
    put.set_defaults(run=_later("run_key_sign"))


def _add_fleet(subparsers: SubParsers) -> None:
    one = subparsers.add_parser("fleet", help="many recorded cases together: faults, minutes, tests, parts")
    one.add_argument("paths", nargs="+", metavar="PATH", help="a folder with journals, or a journal")
    one.add_argument("--json", action="store_true", help="all answers as one JSON object")
    one.add_argument("--parquet", metavar="FOLDER", help="write the tables there as Parquet files")
    one.add_argument("--priors", metavar="FILE", help="write the counts that the planner takes as priors, as YAML")
    one.set_defaults(run=_later("run_fleet"))


def _later(name: str) -> Callable[[argparse.Namespace], int]:
    def run(args: argparse.Namespace) -> int:
        for stream in (sys.stdout, sys.stderr):
            if reconfigure := getattr(stream, "reconfigure", None):
                reconfigure(encoding="utf-8", errors="replace")
        return int(getattr(import_module("assistant.record_commands"), name)(args))

    return run
