"""Priors from counts, orders by cost, and a test that errs."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.bench.costs import Action, by_share_over_cost, expected_cost
from assistant.bench.decision import best_act, posterior, worth_with_test
from assistant.knowledge import load
from assistant.knowledge.counts import beta_mean, updated_priors

names = st.sampled_from(["a", "b", "c", "d"])
priors = st.dictionaries(names, st.integers(1, 50).map(float), min_size=2)


@given(priors, st.dictionaries(names, st.integers(0, 500)), st.integers(1, 100))
def test_shares_sum_to_one_and_counts_pull_towards_themselves(
    prior: dict[str, float], counts: dict[str, int], weight: int
) -> None:
    counts = {f: n for f, n in counts.items() if f in prior}
    shares = updated_priors(prior, counts, weight)
    assert math.fsum(shares.values()) == pytest.approx(1)
    assert list(shares) == list(prior)
    total, seen = sum(prior.values()), sum(counts.values())
    for fault, share in shares.items():
        before, told = prior[fault] / total, counts.get(fault, 0) / seen if seen else prior[fault] / total
        assert min(before, told) - 1e-12 <= share <= max(before, told) + 1e-12


@given(priors, st.dictionaries(names, st.integers(0, 50)), st.dictionaries(names, st.integers(0, 50)))
def test_counts_in_two_lots_are_the_same_as_at_once(
    prior: dict[str, float], first: dict[str, int], second: dict[str, int]
) -> None:
    first = {f: n for f, n in first.items() if f in prior}
    second = {f: n for f, n in second.items() if f in prior}
    both = {f: first.get(f, 0) + second.get(f, 0) for f in prior}
    after = updated_priors(updated_priors(prior, first, 10), second, 10 + sum(first.values()))
    assert after == pytest.approx(updated_priors(prior, both, 10))


def test_the_rule_base_takes_a_fleets_counts() -> None:
    prior = {f.id: f.prior for f in load().faults.values()}
    shares = updated_priors(prior, {"panel.dead": 40}, weight=60)
    assert shares["panel.dead"] > 0.4 > max(s for f, s in shares.items() if f != "panel.dead")


@pytest.mark.parametrize(("counts", "weight"), [({"x": 1}, 1.0), ({"a": -1}, 1.0), ({"a": 1}, 0.0), ({}, -2.0)])
def test_counts_that_make_no_sense_are_refused(counts: dict[str, int], weight: float) -> None:
    with pytest.raises(ValueError, match=r"prior|weight"):
        updated_priors({"a": 1.0, "b": 1.0}, counts, weight)


def test_more_hits_than_tries_are_refused() -> None:
    with pytest.raises(ValueError, match="tries"):
        beta_mean(1, 1, 3, 2)


@given(st.lists(st.tuples(st.integers(1, 20), st.integers(1, 20)), min_size=2, max_size=5))
def test_share_over_cost_is_the_cheapest_of_all_orders(pairs: list[tuple[int, int]]) -> None:
    total = sum(p for p, _ in pairs)
    shares = {str(i): p / total for i, (p, _) in enumerate(pairs)}
    costs = {str(i): float(c) for i, (_, c) in enumerate(pairs)}
    actions = {n: Action(n, costs[n], {n: 1.0}) for n in shares}
    best = expected_cost(shares, [actions[n] for n in by_share_over_cost(shares, costs)])
    every = [expected_cost(shares, [actions[n] for n in o]) for o in itertools.permutations(shares)]
    assert best == pytest.approx(min(every))


@given(st.floats(0.01, 0.99), st.floats(0.01, 0.99), st.floats(0.01, 0.99), st.floats(-100, 100))
def test_a_free_test_is_never_worth_less_than_none(p: float, hit: float, false: float, loss: float) -> None:
    prior = {"bad": p, "good": 1 - p}
    values = {"replace": {"bad": 50.0, "good": loss}, "leave": {"bad": 0.0, "good": 0.0}}
    yes, no = {"bad": hit, "good": false}, {"bad": 1 - hit, "good": 1 - false}
    worth, _ = worth_with_test(prior, [(yes, values), (no, values)])
    assert worth >= best_act(prior, values)[1] - 1e-9
    shares, chance = posterior(prior, yes)
    assert chance * shares["bad"] == pytest.approx(p * hit)
