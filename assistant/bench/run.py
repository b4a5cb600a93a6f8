"""Runs many cases, in several processes, and gathers what came of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import cache
from typing import Literal

from assistant.bench.aboard import Aboard, SimulatedHelper
from assistant.bench.cases import CaseSpec, FalseReading, complains
from assistant.bench.course import Course, Runner
from assistant.bench.ways import Assistant, Chart, Shuffled, Watched, Way
from assistant.knowledge import load

WayName = Literal["assistant", "chart", "random"]


@dataclass(frozen=True)
class Job:
    """One case in one way."""

    case: CaseSpec
    way: WayName
    false_within: int = 0
    """One false reading within the first so many tests; 0 for none."""


@dataclass(frozen=True)
class Result:
    """What came of one job."""

    job: Job
    course: Course
    false_told: str = ""
    """The false reading, and the truth."""
    false_named: bool = False
    """Whether a contradiction that was shown named it."""


@cache
def _diagnoser() -> Watched:
    return Watched(load())


def _way(name: WayName, seed: int) -> Way:
    if name == "assistant":
        return Assistant()
    return Chart(load()) if name == "chart" else Shuffled(load(), seed)


def run_job(job: Job) -> Result:
    """Run one case."""
    knowledge, case = load(), job.case
    helper: Aboard = SimulatedHelper(knowledge, case.spec, case.faults, case.seed)
    liar = FalseReading(helper, knowledge.words, case.seed, job.false_within) if job.false_within else None
    runner = Runner(knowledge, _diagnoser(), liar or helper, case.faults, _way(job.way, case.seed))
    course = runner.run()
    course.hidden = _hidden(runner, case)
    if liar is None or liar.told is None:
        return Result(job, course)
    wrong = liar.told
    told = [
        f.id
        for _, out in runner.session.history
        for f in map(_Shown, out["understood"])
        if (f.about, f.what, f.value) == (wrong["about"], wrong["what"], wrong["value"])
    ][:1]
    named = any(i in facts for i in told for facts in course.conflicts)
    scene = " ".join(wrong.get("while", ()))
    return Result(job, course, f"{wrong['about']}.{wrong['what']} {scene}: {wrong['value']}, truly {liar.truth}", named)


def _hidden(runner: Runner, case: CaseSpec) -> str:
    """Why a fault could not be found though the case ended well: alone it brings no complaint on this boat."""
    course = runner.course
    left = [f for f in course.faults if f not in course.found]
    if course.end != "gone" or not left or not course.found:
        return ""
    there = runner.aboard.faults()
    by_the_way = [f for f in left if f not in there and load().faults[f].put_right_by]
    quiet = [f for f in left if f not in by_the_way]
    if quiet and complains(quiet, case.spec, case.seed):
        return ""
    texts = [f"{', '.join(by_the_way)} was put right by the way, in a test"] if by_the_way else []
    texts += [f"{', '.join(quiet)} alone brings no complaint on this boat"] if quiet else []
    alone = [f for f in course.found if f in runner.explained_by_one()]
    texts += [f"{alone[0]} explains everything that was found"] if alone else []
    return "; ".join(texts)


class _Shown:
    def __init__(self, fact: dict[str, object]) -> None:
        self.id, self.about, self.what, self.value = (fact[k] for k in ("id", "about", "what", "value"))


def run_all(jobs: Sequence[Job], processes: int, tell: Callable[[Result], None] | None = None) -> list[Result]:
    """Run all jobs; the results stand in the order of the jobs, however many processes there are."""
    if processes <= 1:
        results = []
        for job in jobs:
            results.append(run_job(job))
            if tell:
                tell(results[-1])
        return results
    with ProcessPoolExecutor(processes) as pool:
        out = []
        for result in pool.map(run_job, jobs, chunksize=1):
            out.append(result)
            if tell:
                tell(result)
        return out
