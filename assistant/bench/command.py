"""`springline bench`: runs the cases asked for and prints what came of them."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence

from assistant.bench.cases import pairs, singles, without_complaint
from assistant.bench.figures import (
    as_data,
    false_summary,
    fault_table,
    hidden_cases,
    not_right,
    reduced_summary,
    summary,
    turn_times,
)
from assistant.bench.reduced import compare, drawn_models, planner_rule
from assistant.bench.run import Job, Result, WayName, run_all
from assistant.boat.faults import known_faults
from assistant.diagnosis.table import Table
from assistant.errors import LineError
from assistant.knowledge import load

WAYS: tuple[WayName, ...] = ("assistant", "chart", "random")


def run_bench(args: argparse.Namespace) -> int:
    """Run and print; the exit status is 0 when no good part was condemned by the assistant, else 1.

    Raises:
        LineError: A fault that the simulated boat does not know.
    """
    unknown = [f for f in args.fault if f not in known_faults()]
    if unknown:
        raise LineError("unknown_fault", f"the simulated boat knows no fault {unknown[0]}")
    ways: Sequence[WayName] = args.way or WAYS
    tell = (lambda r: print(json.dumps(as_data(r)), flush=True)) if args.json else _progress
    one = run_all([Job(c, w) for c in singles(args.boats, args.fault) for w in ways], args.jobs, tell)
    _section(args, "Single faults", one)
    quiet = [] if args.fault or args.json or not one else without_complaint(r.job.case for r in one)
    if quiet:
        print(f"  left out, for alone they bring no complaint on any boat tried: {', '.join(quiet)}")
    two = [] if args.fault else run_all([Job(c, w) for c in pairs(args.pairs) for w in ways], args.jobs, tell)
    _section(args, "Two faults", two)
    false = run_all(_with_false_reading(one, args.false), args.jobs, tell)
    if false and not args.json:
        print("\n" + false_summary(false) + "\n" + not_right(false))
    if args.models and not args.json:
        knowledge = load()
        table = Table(knowledge)
        planner = planner_rule(knowledge, table)
        models = drawn_models(knowledge, table, args.models)
        print("\n" + reduced_summary([compare(m, i, planner) for i, m in enumerate(models)]))
    everything = [*one, *two, *false]
    if everything and not args.json:
        middle, most = turn_times(r for r in everything if r.job.way == "assistant")
        print(f"\nTurn time: {1000 * middle:.0f} ms in the middle, {1000 * most:.0f} ms at the 95th percentile")
    return int(any(r.course.condemned for r in [*one, *two] if r.job.way == "assistant"))


def _with_false_reading(done: Sequence[Result], boats: int) -> list[Job]:
    """The assistant's cases again, one of the readings before the proof being false."""
    return [
        Job(r.job.case, "assistant", r.course.tests)
        for r in done
        if r.job.way == "assistant" and r.job.case.boat < boats and r.course.tests
    ]


def _section(args: argparse.Namespace, title: str, results: Sequence[Result]) -> None:
    if args.json or not results:
        return
    print("\n" + summary(title, results))
    if args.each:
        print("\n" + fault_table(results))
    for line in hidden_cases(results):
        print(f"  {line}")
    listed = not_right(results)
    print(f"\nNot as it should be (the assistant):\n{listed}" if listed else "\nEvery case as it should be.")


def _progress(result: Result) -> None:
    if sys.stderr.isatty():
        print(f"\r{' + '.join(result.course.faults):<60}", end="", file=sys.stderr, flush=True)
