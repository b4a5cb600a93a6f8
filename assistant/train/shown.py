"""How the assistant does a case by itself, to be compared with and watched."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from assistant.bench.aboard import SimulatedHelper
from assistant.bench.course import Runner
from assistant.bench.ways import Assistant, Watched
from assistant.knowledge import Knowledge
from assistant.session.names import Names
from assistant.train.data import listed, training_data
from assistant.train.draw import TrainingCase


def assistant_run(case: TrainingCase, knowledge: Knowledge) -> Runner:
    """The same case, done by the assistant with a truthful helper on the same boat."""
    helper = SimulatedHelper(knowledge, case.spec, case.faults, case.boat_seed)
    runner = Runner(knowledge, Watched(knowledge), helper, case.faults, Assistant())
    runner.run()
    return runner


def shown_lines(case: TrainingCase, runner: Runner, knowledge: Knowledge) -> list[str]:
    """The assistant's way through the case, test by test."""
    texts, names, course = training_data()["show"], Names(knowledge), runner.course
    lines = [texts["title"].format(seed=case.seed), texts["wrong"].format(list=listed(map(names.fault, case.faults)))]
    lines += _turns(runner, names)
    if course.narrowed:
        lines.append(texts["narrowed"].format(list=listed(map(names.fault, course.narrowed))))
    condemned = listed(map(names.fault, course.condemned))
    return [*lines, texts["end"].format(minutes=f"{course.minutes:g}", tests=course.tests, condemned=condemned)]


def _turns(runner: Runner, names: Names) -> Iterator[str]:
    texts, steps, proved = training_data()["show"], iter(runner.course.steps), set[str]()
    place = 0
    for turn, (line, out) in enumerate(runner.session.history):
        answer: Mapping[str, Any] = line.get("answer") or {}
        told = _facts(answer.get("facts") or line.get("facts") or (), names)
        if turn == 0:
            yield texts["told"].format(facts=told)
        elif answer:
            place += 1
            test = names.test(str(answer["test"]))
            if "cannot" in answer:
                yield texts["cannot"].format(place=place, test=test)
            else:
                yield texts["step"].format(place=place, test=test, minutes=f"{next(steps)[1]:g}", facts=told)
        else:
            yield texts["done"].format(facts=told)
        fresh = [s["fault"] for s in out["suspects"] if s["state"] == "proved" and s["fault"] not in proved]
        proved |= set(fresh)
        if fresh:
            yield texts["proved"].format(list=listed(map(names.fault, fresh)))


def _facts(facts: Sequence[Mapping[str, Any]], names: Names) -> str:
    return listed(names.fact(fact) for fact in facts)
