"""The exact optimum and the rules that look ahead, on small models drawn by chance."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.bench.hitting import minimal_hitting_sets
from assistant.bench.optimum import Optimum, in_order
from assistant.bench.reduced import compare, drawn_models, excess, planner_rule
from assistant.diagnosis.table import Table
from assistant.knowledge import load
from assistant.planner.small import SetUp, SmallModel, SmallTest, ahead, expected_minutes, one_ahead

SETUP = {"isolator_off": 3.0, "panel_unplugged": 2.0}


@st.composite
def models(draw: st.DrawFn) -> SmallModel:
    n = draw(st.integers(2, 5))
    weights = tuple(draw(st.lists(st.integers(1, 9).map(float), min_size=n, max_size=n)))
    tests = tuple(
        SmallTest(
            f"t{i}",
            float(draw(st.integers(1, 12))),
            tuple(draw(st.lists(st.sampled_from("abc"), min_size=n, max_size=n))),
            frozenset(draw(st.sets(st.sampled_from(sorted(SETUP))))),
        )
        for i in range(draw(st.integers(1, 4)))
    )
    return SmallModel(tuple(f"f{i}" for i in range(n)), weights, tests, SETUP)


def by_hand(model: SmallModel, group: frozenset[int], standing: SetUp) -> float:
    """The least expected minutes by trying everything, nothing remembered."""
    whole = sum(model.weights[i] for i in group)
    options = []
    for test in model.tests:
        parts = {o: frozenset(i for i in group if test.outcomes[i] == o) for o in {test.outcomes[i] for i in group}}
        if len(parts) < 2:
            continue
        saved = sum(SETUP[s] for s in test.setup & standing)
        cost = max(1.0, test.minutes - saved)
        later = sum(sum(model.weights[i] for i in p) / whole * by_hand(model, p, test.setup) for p in parts.values())
        options.append(cost + later)
    return min(options, default=0.0)


@settings(max_examples=150, deadline=None)
@given(models())
def test_the_optimum_is_the_least_of_all_trees(model: SmallModel) -> None:
    assert Optimum(model).value() == pytest.approx(by_hand(model, model.everything(), frozenset()))


@settings(max_examples=150, deadline=None)
@given(models(), st.randoms(use_true_random=False))
def test_no_rule_beats_the_optimum_and_looking_ahead_is_no_worse_than_its_own_rest(model: SmallModel, chance) -> None:
    best = Optimum(model).value()
    order = [t.name for t in model.tests]
    chance.shuffle(order)
    least = best - 1e-9
    assert expected_minutes(model, one_ahead) >= least
    assert expected_minutes(model, in_order(order)) >= least
    two = expected_minutes(model, ahead(2))
    assert least <= two <= expected_minutes(model, one_ahead) + 1e-9


@settings(max_examples=100, deadline=None)
@given(models())
def test_looking_as_far_as_there_are_tests_is_the_optimum(model: SmallModel) -> None:
    assert expected_minutes(model, ahead(len(model.tests))) == pytest.approx(Optimum(model).value())


def test_set_up_that_stands_is_not_paid_again() -> None:
    off = frozenset({"isolator_off"})
    tests = (SmallTest("coils", 8, ("x", "y", "y"), off), SmallTest("thermal", 6, ("x", "x", "y"), off))
    model = SmallModel(("a", "b", "c"), (1.0, 1.0, 2.0), tests, SETUP)
    # thermal first: 6, and in half of the cases the coils for 8 - 3; coils first: 8 + 3/4 of (6 - 3)
    assert Optimum(model).value() == pytest.approx(6 + 0.5 * 5)
    assert model.minutes(tests[0], off) == 5
    assert model.minutes(SmallTest("quick", 2, ("x", "y", "y"), off), off) == 1


def test_a_group_that_nothing_tells_apart_costs_nothing_more() -> None:
    model = SmallModel(("a", "b"), (1.0, 1.0), (SmallTest("t", 5, ("x", "x")),), {})
    assert Optimum(model).value() == 0
    assert one_ahead(model, model.everything(), frozenset()) is None


conflict_sets = st.lists(st.sets(st.sampled_from("abcdef"), min_size=1, max_size=4), max_size=5)


@settings(max_examples=200, deadline=None)
@given(conflict_sets)
def test_hitting_sets_are_all_the_minimal_ones(conflicts: list[set[str]]) -> None:
    every = [frozenset(c) for n in range(7) for c in itertools.combinations("abcdef", n)]
    hits = [s for s in every if all(s & c for c in conflicts)]
    minimal = {s for s in hits if not any(o < s for o in hits)}
    found = minimal_hitting_sets(conflicts)
    assert set(found) == minimal
    assert found == sorted(found, key=lambda s: (len(s), sorted(s)))


def test_hitting_sets_up_to_a_size() -> None:
    assert minimal_hitting_sets([{"a"}, {"b"}, {"c"}], most=2) == []
    assert minimal_hitting_sets([{"a", "x"}, {"b", "x"}], most=1) == [frozenset("x")]


@pytest.fixture(scope="module")
def table() -> Table:
    return Table(load())


def test_drawn_models_keep_to_their_size_and_are_the_same_each_time(table: Table) -> None:
    drawn = drawn_models(load(), table, 20)
    assert drawn == drawn_models(load(), table, 20)
    assert drawn[:5] == drawn_models(load(), table, 5)
    for model in drawn:
        assert 6 <= len(model.faults) <= 8 and 6 <= len(model.tests) <= 8
        assert all(t.minutes == load().tests[t.name].minutes for t in model.tests)
        assert all(len(model.split(model.everything(), t)) > 1 for t in model.tests)


def test_two_tests_ahead_and_the_planner_stay_within_a_twentieth_of_the_optimum(table: Table) -> None:
    knowledge = load()
    models = drawn_models(knowledge, table, 60)
    found = [compare(m, i, planner_rule(knowledge, table)) for i, m in enumerate(models)]
    two, one = excess(found, "two_ahead"), excess(found, "one_ahead")
    assert 0 <= two.mean <= 0.05 and two.mean <= one.mean
    assert 0 <= excess(found, "planner").mean <= 0.05
    assert two.worst < math.inf and excess(found, "chart").mean > one.mean
