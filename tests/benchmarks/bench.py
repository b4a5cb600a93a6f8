"""How long the parts of the measuring take, and how long a turn takes.

python tests/benchmarks/bench.py [BOATS]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

from assistant.bench.cases import singles
from assistant.bench.figures import turn_times
from assistant.bench.reduced import compare, drawn_models, planner_rule
from assistant.bench.run import Job, run_all
from assistant.diagnosis.table import Table
from assistant.knowledge import load


def timed(name: str, work: Callable[[], object]) -> object:
    begun = time.perf_counter()
    out = work()
    print(f"{name:<52}{time.perf_counter() - begun:>9.2f} s")
    return out


def main(boats: int) -> None:
    knowledge = load()
    table = Table(knowledge)
    models = drawn_models(knowledge, table, 200)
    rule = planner_rule(knowledge, table)
    timed("200 reduced models, every rule and the optimum", lambda: [compare(m, i, rule) for i, m in enumerate(models)])
    cases = singles(boats)
    timed("drawing the cases again", lambda: singles(boats))
    results = []
    timed(f"{len(cases)} cases, the assistant, one process",
          lambda: results.extend(run_all([Job(c, "assistant") for c in cases], 1)))  # fmt: skip
    turns = [t for r in results for t in r.course.turns]
    middle, most = turn_times(results)
    print(f"{len(turns)} turns: median {1000 * middle:.0f} ms, 95th percentile {1000 * most:.0f} ms, "
          f"longest {1000 * max(turns):.0f} ms")  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1)
