"""Reduced models drawn from the rule base: a few faults, a few tests, minutes from the table."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from assistant.bench.optimum import Optimum, in_order
from assistant.bench.ways import chart_steps
from assistant.diagnosis.table import Table
from assistant.knowledge import Knowledge
from assistant.planner.gain import Gains
from assistant.planner.small import (
    Group,
    Rule,
    SetUp,
    SmallModel,
    SmallTest,
    ahead,
    expected_minutes,
    is_small,
    likeliest,
    one_ahead,
)

MODELS = 200
LEAST, MOST = 6, 8
"""Faults and tests of a model."""


@dataclass(frozen=True)
class Compared:
    """Expected minutes on one model."""

    model: SmallModel
    optimum: float
    two_ahead: float
    one_ahead: float
    planner: float
    """With the gain as the planner works it out, answers that may err included."""
    chart: float
    random: float


def drawn_models(knowledge: Knowledge, table: Table, count: int = MODELS) -> list[SmallModel]:
    """So many models with 6 to 8 faults and 6 to 8 tests, each test telling at least two of the faults apart."""
    out: list[SmallModel] = []
    number = 0
    while len(out) < count:
        model = _draw(knowledge, table, Random(f"reduced model {number}"))
        number += 1
        if len(model.tests) >= LEAST:
            out.append(model)
    return out


def _draw(knowledge: Knowledge, table: Table, chance: Random) -> SmallModel:
    faults = tuple(sorted(chance.sample(list(table.faults), chance.randint(LEAST, MOST)), key=table.faults.index))
    wanted = chance.randint(LEAST, MOST)
    tests = [_test(knowledge, table, name, faults) for name, t in knowledge.tests.items() if not t.settles]
    telling = [t for t in tests if len(set(t.outcomes)) > 1]
    chosen = chance.sample(telling, min(wanted, len(telling)))
    weights = tuple(table.prior_of(f) for f in faults)
    order = [t.name for t in tests]
    chosen.sort(key=lambda t: order.index(t.name))
    return SmallModel(faults, weights, tuple(chosen), knowledge.scales["setup_minutes"])


def _test(knowledge: Knowledge, table: Table, name: str, faults: Sequence[str]) -> SmallTest:
    entry = knowledge.tests[name]
    questions = [q for q in knowledge.questions_of(name) if not q.given]
    outcomes = tuple(likeliest(table, questions, (f,)) for f in faults)
    return SmallTest(name, float(entry.minutes), outcomes, frozenset(entry.scenes))


def planner_rule(knowledge: Knowledge, table: Table) -> Rule:
    """As the planner goes: two tests ahead where few causes are left, else most bits a minute as it expects them."""
    questions = {t: [q for q in knowledge.questions_of(t) if not q.given] for t in knowledge.tests}

    def rule(model: SmallModel, group: Group, standing: SetUp) -> SmallTest | None:
        useful = model.useful(group)
        if is_small(len(group), len(useful), knowledge.scales["plan"]["small"]):
            return ahead(2)(model, group, standing)
        whole = model.weight(group)
        gains = Gains(table, [((model.faults[i],), model.weights[i] / whole) for i in sorted(group)], ())
        rates = [gains.of(questions[t.name]) / model.minutes(t, standing) for t in useful]
        rated = [(-round(rate, 9), place) for place, rate in enumerate(rates)]
        return useful[min(rated)[1]] if rated else None

    return rule


def compare(model: SmallModel, seed: int, planner: Rule) -> Compared:
    """The optimum of a model beside the rules."""
    names = [t.name for t in model.tests]
    listed = list(dict.fromkeys(s.test for s in chart_steps()))
    by_chart = sorted(names, key=lambda n: listed.index(n) if n in listed else len(listed) + names.index(n))
    shuffled = list(names)
    Random(f"order {seed}").shuffle(shuffled)
    return Compared(
        model,
        Optimum(model).value(),
        expected_minutes(model, ahead(2)),
        expected_minutes(model, one_ahead),
        expected_minutes(model, planner),
        expected_minutes(model, in_order(by_chart)),
        expected_minutes(model, in_order(shuffled)),
    )


@dataclass(frozen=True)
class Excess:
    """How far a rule stays behind the optimum over many models, as a share."""

    mean: float
    worst: float
    exact: int
    """Models on which it reaches the optimum."""


def excess(found: Sequence[Compared], rule: str) -> Excess:
    """Expected minutes of one rule beside the optimum's.

    Args:
        found: The models compared.
        rule: `two_ahead`, `one_ahead`, `planner`, `chart` or `random`.
    """
    over = [getattr(c, rule) / c.optimum - 1 for c in found if c.optimum > 0]
    return Excess(math.fsum(over) / len(over), max(over), sum(o < 1e-9 for o in over))
