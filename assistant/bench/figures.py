"""What came of many cases, in figures and as text."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from assistant.bench.reduced import Compared, excess
from assistant.bench.run import Result


@dataclass(frozen=True)
class Figures:
    """A group of cases."""

    cases: int
    right: float
    """Share: every fault found, no good part condemned."""
    unresolved: int
    """Cases in which a fault was neither proved nor named."""
    condemned: int
    """Cases in which a good part was condemned."""
    ruled_out: int
    """Cases in which a fault was ruled out that was there."""
    minutes: float
    """Mean, to the last proof."""
    minutes_in_all: float
    """Mean, with trying the complaint again."""
    tests: float
    longest: float


def figures(results: Sequence[Result]) -> Figures:
    """The figures of a group of cases that is not empty."""
    courses = [r.course for r in results]
    n = len(courses)
    return Figures(
        cases=n,
        right=sum(c.right or bool(c.hidden and not c.condemned) for c in courses) / n,
        unresolved=sum(set(c.found) != set(c.faults) and not c.hidden for c in courses),
        condemned=sum(bool(c.condemned) for c in courses),
        ruled_out=sum(bool(c.ruled_out) for c in courses),
        minutes=math.fsum(c.minutes for c in courses) / n,
        minutes_in_all=math.fsum(c.minutes_in_all for c in courses) / n,
        tests=sum(c.tests for c in courses) / n,
        longest=max(c.minutes_in_all for c in courses),
    )


def turn_times(results: Iterable[Result]) -> tuple[float, float]:
    """Median and 95th percentile of the seconds of a turn; 0 where there was none."""
    turns = sorted(t for r in results for t in r.course.turns)
    if not turns:
        return 0.0, 0.0
    return turns[len(turns) // 2], turns[min(len(turns) - 1, math.ceil(len(turns) * 0.95) - 1)]


def by_way(results: Iterable[Result]) -> dict[str, list[Result]]:
    """Results grouped by the way to go on, in the order in which they first come."""
    out: dict[str, list[Result]] = {}
    for result in results:
        out.setdefault(result.job.way, []).append(result)
    return out


_HEAD = (
    f"{'':<34}{'cases':>6}{'right':>8}{'unres.':>8}{'wrong part':>12}{'ruled out':>11}"
    f"{'minutes':>9}{'in all':>8}{'tests':>7}{'longest':>9}"
)


def _line(name: str, one: Figures) -> str:
    return (
        f"{name:<34}{one.cases:>6}{100 * one.right:>7.1f}%{one.unresolved:>8}{one.condemned:>12}{one.ruled_out:>11}"
        f"{one.minutes:>9.1f}{one.minutes_in_all:>8.1f}{one.tests:>7.1f}{one.longest:>9.0f}"
    )


def summary(title: str, results: Sequence[Result]) -> str:
    """Overall figures of each way, and the assistant's minutes beside the others'."""
    ways = by_way(results)
    lines = [title, _HEAD, *(_line(name, figures(group)) for name, group in ways.items())]
    for name in [w for w in ways if w != "assistant"] if "assistant" in ways else []:
        share = math.fsum(r.course.minutes for r in ways["assistant"]) / math.fsum(r.course.minutes for r in ways[name])
        lines.append(f"  the assistant's minutes are {100 * share:.0f} % of those of the {name}")
    return "\n".join(lines)


def fault_table(results: Sequence[Result]) -> str:
    """Every fault with the figures of each way."""
    lines = [_HEAD]
    groups: dict[tuple[str, str], list[Result]] = {}
    for result in results:
        groups.setdefault((" + ".join(result.job.case.faults), result.job.way), []).append(result)
    last = ""
    for (fault, way), group in sorted(groups.items(), key=lambda g: list(groups).index(g[0])):
        lines += [fault] if fault != last else []
        lines.append(_line(f"  {way}", figures(group)))
        last = fault
    return "\n".join(lines)


def hidden_cases(results: Iterable[Result]) -> list[str]:
    """The assistant's cases in which one fault hid another, with the reason."""
    told = [r.course for r in results if r.course.hidden and r.job.way == "assistant"]
    return [f"hidden: {' + '.join(c.faults)}: {c.hidden}" for c in told]


def not_right(results: Sequence[Result]) -> str:
    """Every case of the assistant in which something went wrong, in one line each."""
    lines = []
    for result in results:
        course, case = result.course, result.job.case
        missed = not course.right and not (course.hidden and not course.condemned)
        wrong = missed or course.ruled_out or course.misnamed or course.minutes_in_all > 100
        if result.job.way != "assistant" or not wrong:
            continue
        told = [f"proved {', '.join(course.proved)}"] if course.proved else []
        told += [f"narrowed to {', '.join(course.narrowed)}"] if course.narrowed else []
        told += [f"good part condemned: {', '.join(course.condemned)}"] if course.condemned else []
        told += [f"proved but not there: {', '.join(course.misnamed)}"] if course.misnamed else []
        told += [f"ruled out: {'; '.join(course.ruled_out)}"] if course.ruled_out else []
        told += [course.hidden] if course.hidden else []
        told += [f"false reading {result.false_told}"] if result.false_told else []
        name = " + ".join(course.faults)
        lines.append(f"  {name} (seed {case.seed}), {course.end}, {course.minutes_in_all:.0f} min: {'; '.join(told)}")
    return "\n".join(lines)


def false_summary(results: Sequence[Result]) -> str:
    """Sessions with one false reading."""
    told = [r for r in results if r.false_told]
    if not told:
        return "No false reading was told."
    contradicted = [r for r in told if r.course.conflicts]
    named = sum(r.false_named for r in contradicted)
    right = sum(r.course.right for r in told)
    alone = sum(bool(r.course.on_one_reading) for r in told)
    condemned = sum(bool(r.course.condemned) for r in told)
    share = f"{100 * named / len(contradicted):.1f} %" if contradicted else "none"
    return (
        f"One false reading in each of {len(told)} sessions: right in the end {100 * right / len(told):.1f} %, "
        f"contradicted in {len(contradicted)}, the false reading named in {share} of those, "
        f"a good part condemned in {condemned}, a part called for on one reading alone in {alone}."
    )


def reduced_summary(found: Sequence[Compared]) -> str:
    """The rules beside the exact optimum."""
    lines = [f"{len(found)} reduced models, expected minutes over the exact optimum (AND/OR search)"]
    names = {
        "two_ahead": "two tests ahead", "one_ahead": "gain a minute", "planner": "the planner",
        "chart": "chart", "random": "random",
    }  # fmt: skip
    for rule, name in names.items():
        one = excess(found, rule)
        share = f"{100 * one.mean:>7.2f} % on average{100 * one.worst:>8.1f} % at worst"
        lines.append(f"  {name:<20}{share}{one.exact:>6} exact")
    return "\n".join(lines)


def as_data(result: Result) -> Mapping[str, Any]:
    """One result as plain data."""
    course = asdict(result.course)
    course.pop("turns")
    case = {"faults": list(result.job.case.faults), "seed": result.job.case.seed, "boat": result.job.case.boat}
    false = {"false_reading": result.false_told, "named": result.false_named}
    return {"way": result.job.way, "case": case, **false, **course}
