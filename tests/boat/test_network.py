"""Nodal analysis against arithmetic that can be done by hand, and against exact fractions."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.boat.network import GROUND, Resistor, current, meter_volts, solve

ohms = st.floats(1e-5, 1e6)


@given(ohms, ohms, st.floats(1, 60))
def test_divider(upper: float, lower: float, volts: float) -> None:
    network = [Resistor("source", "top", GROUND, 1e-6, volts), Resistor("up", "top", "tap", upper),
               Resistor("low", "tap", GROUND, lower)]  # fmt: skip
    found = solve(network, leak_ohms=1e15)
    assert found["tap"] == pytest.approx(volts * lower / (upper + lower + 1e-6), rel=1e-6)
    rounding = volts * 4e-16 / upper  # of two voltages that differ by less than a double can tell
    assert current(network[1], found) == pytest.approx(current(network[2], found), rel=1e-5, abs=1e-12 + rounding)


def test_a_free_wire_reads_nothing_and_a_loaded_meter_reads_a_little_less() -> None:
    battery = Resistor("source", "top", GROUND, 0.01, 12.0)
    assert meter_volts([battery], "nowhere", GROUND) == pytest.approx(0)
    assert meter_volts([battery, Resistor("damp", "top", "end", 1e7)], "end", GROUND) == pytest.approx(6, rel=0.02)


def test_an_element_without_resistance_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        Resistor("joint", "a", "b", 0.0)


edges = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6), st.floats(-5, 6)), min_size=1, max_size=18)


@settings(deadline=None, max_examples=60)
@given(edges, st.floats(1, 60))
def test_against_exact_fractions(links: list[tuple[int, int, float]], volts: float) -> None:
    names = [GROUND, *(f"n{k}" for k in range(1, 7))]
    network = [Resistor("source", "n1", GROUND, 0.002, volts)]
    network += [Resistor(f"r{k}", names[a], names[b], 10**p) for k, (a, b, p) in enumerate(links)]
    found, exact = solve(network), _exact(network, 10**9)
    for node, value in exact.items():
        assert found[node] == pytest.approx(float(value), rel=1e-9, abs=1e-12)


def _exact(network: list[Resistor], leak: int) -> dict[str, Fraction]:
    """Gaussian elimination in whole fractions: slow and without error."""
    nodes = sorted({n for item in network for n in (item.plus, item.minus)} - {GROUND})
    at = {node: k for k, node in enumerate(nodes)}
    rows = [[Fraction(0)] * (len(nodes) + 1) for _ in nodes]
    for k in range(len(nodes)):
        rows[k][k] += Fraction(1, leak)
    for item in network:
        if item.plus == item.minus:
            continue
        g = 1 / Fraction(item.ohms)
        for a, b, sign in ((item.plus, item.minus, 1), (item.minus, item.plus, -1)):
            if a == GROUND:
                continue
            rows[at[a]][at[a]] += g
            rows[at[a]][-1] += sign * g * Fraction(item.volts)
            if b != GROUND:
                rows[at[a]][at[b]] -= g
    for k, pivot in enumerate(rows):
        for other in rows[k + 1 :]:
            factor = other[k] / pivot[k]
            other[:] = [x - factor * y for x, y in zip(other, pivot, strict=True)]
    out: dict[str, Fraction] = {}
    for k in range(len(nodes) - 1, -1, -1):
        known = sum((rows[k][j] * out[nodes[j]] for j in range(k + 1, len(nodes))), Fraction(0))
        out[nodes[k]] = (rows[k][-1] - known) / rows[k][k]
    return out
