"""Properties that hold whatever the figures: dimensions, monotonicity, conversions both ways, refusals."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.electrics import (
    ampacity,
    battery,
    coils,
    conductors,
    current,
    fuse,
    heat,
    insulation,
    motor,
    uncertainty,
)
from assistant.electrics.path import Cable, Readings, hardware

areas = st.floats(1.5, 240)
lengths = st.floats(0.1, 50)
amps = st.floats(0.1, 1000)
gauges = st.sampled_from([name for name, _ in conductors.stocked_sizes("awg")])
bases = st.sampled_from(["iec_class_5", "iec_class_2", "copper", "metric_small_craft", "marine_k"])


@given(amps, lengths, areas, bases, st.floats(1.01, 3))
def test_drop_grows_with_current_and_length_and_shrinks_with_section(
    i: float, m: float, area: float, basis: conductors.Basis, more: float
) -> None:
    base = conductors.drop(i, m, area, basis=basis)
    assert conductors.drop(i * more, m, area, basis=basis) == pytest.approx(base * more)
    assert conductors.drop(i, m * more, area, basis=basis) == pytest.approx(base * more)
    if area * more <= 240:
        assert conductors.drop(i, m, area * more, basis=basis) < base


@given(gauges)
def test_gauge_and_section_both_ways(gauge: str) -> None:
    area = conductors.awg_area_mm2(gauge)
    assert conductors.nearest_awg(area) == gauge
    assert conductors.recognised(area) == ("awg", gauge)


@given(areas, st.floats(-20, 100), st.floats(1, 50))
def test_warm_copper_resists_more(area: float, degrees: float, warmer: float) -> None:
    cold = conductors.resistance_per_m(area, temperature=degrees)
    assert conductors.resistance_per_m(area, temperature=degrees + warmer) > cold


@given(amps, lengths, st.floats(0.05, 2), st.sampled_from(["metric", "awg", "sae"]))
def test_chosen_size_keeps_the_drop_and_the_next_thinner_does_not(
    i: float, m: float, volts: float, family: conductors.Family
) -> None:
    basis: conductors.Basis = "iec_class_5" if family == "metric" else "marine_k"
    sizes = conductors.stocked_sizes(family)
    chosen = conductors.size_for_drop(i, m, volts, family=family)
    drops = [conductors.drop(i, m, area, basis=basis) for _, area in sizes]
    if chosen is None:
        assert min(drops) > volts
        return
    at = [name for name, _ in sizes].index(chosen)
    assert drops[at] <= volts and all(d > volts for d in drops[:at])


@given(gauges, st.sampled_from([60, 75, 80, 90, 105, 125]))
def test_hotter_insulation_allows_more_and_an_engine_space_less(gauge: str, insulation_class: int) -> None:
    here = ampacity.ampacity(gauge, insulation_class)
    assert ampacity.ampacity(gauge, 200) >= here > ampacity.ampacity(gauge, insulation_class, engine_space=True)


@given(
    st.floats(0, 100),
    st.sampled_from(["flooded", "agm", "gel", "lithium"]),
    st.sampled_from([6, 12, 24, 36, 48]),
)
def test_charge_and_rest_voltage_both_ways(charge: float, chemistry: battery.Chemistry, volts: float) -> None:
    back = battery.charge_from_volts(battery.rest_volts(charge, chemistry, volts), chemistry, nominal_voltage=volts)
    assert back.value == pytest.approx(charge, abs=1e-6)
    assert back.low <= charge <= back.high


@given(st.floats(0.001, 0.02), st.integers(1, 4), st.integers(1, 6))
def test_banks_add_in_series_and_divide_in_parallel(ohms: float, series: int, parallel: int) -> None:
    bank = battery.Bank(12, ohms, series, parallel)
    assert bank.ohms == pytest.approx(ohms * series / parallel) and bank.nominal_voltage == 12 * series


@given(st.floats(11, 13), amps, st.floats(0.0005, 0.01))
def test_inner_resistance_is_found_again(rest: float, i: float, ohms: float) -> None:
    assert battery.inner_resistance(rest, rest - i * ohms, i) == pytest.approx(ohms, rel=1e-6, abs=1e-12)


@given(st.floats(50, 600), amps, st.floats(0, 1000), st.floats(0.1, 500))
def test_a_fuse_never_recovers(rating: float, i: float, seconds: float, more: float) -> None:
    order = ["carries", "may_open", "must_open"]
    now, later = (order.index(fuse.opening(rating, i, t)) for t in (seconds, seconds + more))
    assert later >= now
    assert order.index(fuse.opening(rating, i * 1.5, seconds)) >= now


@given(st.floats(1, 100), st.floats(0.001, 5), st.floats(0, 1))
def test_a_motor_is_judged_by_its_share_of_stall_current(volts: float, ohms: float, share: float) -> None:
    judged = motor.judge(volts, share * volts / ohms, ohms)
    assert judged.share_of_stall == pytest.approx(share)
    assert judged.back_emf == pytest.approx(volts * (1 - share), abs=1e-9 * volts)
    assert not judged.shorted


@pytest.mark.parametrize(("share", "state"), [(0.0, "open"), (0.2, "running"), (0.75, "labouring"), (0.95, "stalled")])
def test_states_of_a_motor(share: float, state: str) -> None:
    assert motor.judge(12, share * 12 / 0.02, 0.02).state == state


def test_a_motor_that_draws_more_than_its_resistance_allows_is_shorted() -> None:
    assert motor.judge(12, 1000, 0.02).shorted


@given(st.floats(0.3, 1), st.floats(0, 0.5), st.booleans())
def test_low_voltage_costs_thrust_by_the_square_of_speed(ratio: float, drop: float, series: bool) -> None:
    at = motor.at_voltage(ratio, drop, series=series)
    assert at.thrust == pytest.approx(at.speed**2) and at.power == pytest.approx(at.speed**3)
    assert motor.at_voltage(1, drop, series=series).speed == pytest.approx(1)
    assert at.speed <= 1 + 1e-9


@given(st.floats(10, 600), st.floats(300, 4000), st.floats(20, 150), st.floats(0, 600), st.floats(0, 4000))
def test_seconds_left_and_rest(run: float, tau: float, rise: float, ran: float, rested: float) -> None:
    duty = heat.Duty(run, tau, rise)
    assert heat.seconds_left([], duty) == pytest.approx(run)
    left = heat.seconds_left([(ran, rested)], duty)
    assert 0 <= left <= run + 1e-6
    assert left >= heat.seconds_left([(ran, 0)], duty) - 1e-6
    assert heat.seconds_left([(ran, 0)], duty) == pytest.approx(max(run - ran, 0), abs=1e-6)


@given(st.floats(0.01, 1000), st.floats(-10, 100), st.floats(-10, 100))
def test_insulation_correction_both_ways(megohm: float, degrees: float, base: float) -> None:
    there = insulation.at_base(megohm, degrees, base)
    assert insulation.at_base(there, base, degrees) == pytest.approx(megohm)


@given(st.floats(6, 48), st.floats(0, 1.2))
def test_coils(rated: float, share: float) -> None:
    word = coils.pulls(rated * share, rated)
    assert word == ("pulls_in" if share * rated >= 0.85 * rated else "may_pull_in" if share > 0.1 else "does_not_hold")


@given(st.floats(0.2, 3), st.floats(0.5, 20), areas)
def test_current_from_a_drop_is_the_current_that_makes_it(volts: float, m: float, area: float) -> None:
    found = current.current_from_drop(volts, Cable(m, area), "negative")
    assert found is not None
    ohms = m * conductors.as_bought_per_m(area) + hardware("negative").value
    assert found.value * ohms == pytest.approx(volts)
    assert found.u / found.value > 0.01


def test_no_current_from_an_unknown_cable() -> None:
    assert current.current_from_drop(0.5, Cable(3), "positive") is None


@given(st.floats(-50, 50), st.floats(0, 5), st.floats(-50, 50), st.floats(0, 5))
def test_uncertainties_add_by_squares(a: float, ua: float, b: float, ub: float) -> None:
    first, second = uncertainty.Measured(a, ua), uncertainty.Measured(b, ub)
    total = uncertainty.combine(lambda x, y: x - y, first, second)
    assert total.value == pytest.approx(a - b)
    assert total.u == pytest.approx(math.hypot(ua, ub), abs=1e-9)


REFUSED: list[Callable[[], object]] = [
    lambda: conductors.gauge_number("5/0"),
    lambda: conductors.gauge_number("fifty"),
    lambda: conductors.resistance_per_m(0),
    lambda: conductors.resistance_per_m(500),
    lambda: conductors.resistance_per_m(50, temperature=400),
    lambda: conductors.resistance(-1, 50),
    lambda: conductors.drop(-1, 1, 50),
    lambda: conductors.smallest_area_mm2(10, 5, 0.3, basis="iec_class_5"),
    lambda: conductors.sae_area_mm2("3"),
    lambda: conductors.allowed_drop(12, 1.5),
    lambda: conductors.nearest_awg(-1),
    lambda: ampacity.ampacity("20", 105),
    lambda: ampacity.ampacity("2", 110),
    lambda: ampacity.bundling_factor(0, 50),
    lambda: ampacity.ampacity_of_area(0.2),
    lambda: battery.blocks(13),
    lambda: battery.rest_volts(120),
    lambda: battery.charge_from_volts(-1),
    lambda: battery.charge_from_volts(40),
    lambda: battery.charge_from_gravity(2),
    lambda: battery.inner_resistance(12, 13, 100),
    lambda: battery.inner_resistance(12, 11, 0),
    lambda: battery.Bank(12, 0.01, 0),
    lambda: fuse.near_enough(-1),
    lambda: fuse.opening(300, 300, 1, "unheard_of"),
    lambda: motor.stall_current(12, 0),
    lambda: motor.at_voltage(1, 1),
    lambda: heat.time_to_reach(200, 20, 100, 60),
    lambda: heat.time_to_share_of_rise(1, 60),
    lambda: heat.class_limit("Z"),
    lambda: heat.Duty(0, 1, 1),
    lambda: coils.coil_limits(-12),
    lambda: coils.contact_ohms(0.1, 0),
    lambda: insulation.at_base(-1, 20),
    lambda: insulation.polarization_index(0, 1),
    lambda: uncertainty.within(2, 1),
    lambda: uncertainty.reading_volts(math.inf),
    lambda: Cable(-3, 50),
    lambda: Readings(current=-1),
]


@pytest.mark.parametrize("impossible", REFUSED)
def test_impossible_input_is_refused_in_a_sentence(impossible: Callable[[], object]) -> None:
    with pytest.raises(ValueError, match=r"[A-Z'\d].{10,}\.$"):
        impossible()


def test_why_a_fuse_may_have_blown() -> None:
    assert fuse.why_blown(300, 250, 1200)[0] == "stalled"
    assert fuse.why_blown(190, 250, 1200)[0] == "undersized"
    assert fuse.why_blown(300, 250, 600, current=900)[0] == "shorted"
    assert "long_run" in fuse.why_blown(300, 450, 600, run_seconds=600)


def test_fuse_against_cable_and_motor() -> None:
    assert fuse.fits(300, 50, 280).size == "fits"
    assert fuse.fits(600, 50, 280).size == "too_large_for_cable"
    assert fuse.fits(200, 50, 280).size == "too_small_for_motor"
    assert fuse.fits(500, 16, 700).size == "both"


def test_whether_a_bank_can_feed_a_motor() -> None:
    assert battery.can_feed(300, 12.7, 0.004).enough
    assert not battery.can_feed(300, 12.2, 0.010).enough
    assert battery.can_feed(300, 25.4, 0.008, 24).enough
