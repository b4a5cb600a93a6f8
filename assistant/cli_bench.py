"""The command that measures the assistant on the simulated boat."""

from __future__ import annotations

import argparse
import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    SubParsers = argparse._SubParsersAction[argparse.ArgumentParser]

WAYS = ("assistant", "chart", "random")


def add_parsers(subparsers: SubParsers) -> None:
    """Hang the command onto the main command."""
    one = subparsers.add_parser(
        "bench",
        help="measure the assistant on the simulated boat, beside a fixed chart, a random order and the optimum",
        epilog="All cases together take a while; --boats and --pairs make it shorter.",
    )
    one.add_argument("--boats", type=_count, default=4, metavar="N", help="boats for each single fault (4)")
    one.add_argument("--pairs", type=_count, default=300, metavar="N", help="pairs of faults (300)")
    one.add_argument("--false", type=_count, default=1, metavar="N", help="boats with one false reading each (1)")
    one.add_argument("--models", type=_count, default=200, metavar="N", help="reduced models (200)")
    one.add_argument("--fault", action="append", default=[], metavar="ID", help="only this fault; may be given again")
    one.add_argument("--way", action="append", choices=WAYS, help="only this way to go on; may be given again")
    one.add_argument("--each", action="store_true", help="print the figures of every fault as well")
    one.add_argument("--json", action="store_true", help="one JSON object for each case")
    one.add_argument("--jobs", type=_count, default=os.cpu_count() or 1, metavar="N", help="processes")
    one.set_defaults(run=_run)


def _count(text: str) -> int:
    if not text.isdecimal():
        raise argparse.ArgumentTypeError(f"give a whole number from 0 upwards, not {text!r}")
    return int(text)


def _run(args: argparse.Namespace) -> int:
    from assistant.bench.command import run_bench

    return run_bench(args)
