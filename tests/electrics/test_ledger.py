"""The ledger of the supply path, seen through what it tells a person."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.electrics.ledger import Ledger, path_ledger
from assistant.electrics.path import Cable, Readings


def _ledger(cable: Cable | None = None, *, one_moment: bool = False, **values: float) -> Ledger:
    return path_ledger(Readings.of(values, one_moment=one_moment), cable or Cable(6, 50))


def test_the_sum_is_shown_in_one_line() -> None:
    text = _ledger(battery_load=12.3, studs_load=9.1, current=310).in_words()
    assert text == (
        "battery 12.3 − studs 9.1 = 3.2 V at about 310 A; 2 × 6 m of 50 mm² should cost 1.5 V; "
        "1.7 V too much, 0.5 kW of heat somewhere in a joint"
    )


def test_readings_keep_the_places_they_were_told_with() -> None:
    assert "battery 12.34 − studs 9.08 = 3.26 V" in _ledger(battery_load=12.34, studs_load=9.08, current=310).in_words()


def test_the_narrowest_segment_is_named() -> None:
    ledger = _ledger(battery_load=12.3, studs_load=9.1, current=310, positive_drop=2.3, fuse_drop=1.5)
    assert [item.id for item in ledger.blamed] == ["fuse"]
    assert "main fuse" in ledger.in_words()
    assert ledger.blamed[0].resistance is not None
    assert ledger.blamed[0].resistance.value == pytest.approx(1.5 / 310)


def test_one_side_and_the_whole_give_the_other_side() -> None:
    ledger = _ledger(battery_load=12.3, studs_load=9.1, current=310, positive_drop=0.8)
    negative = ledger.segment("negative")
    assert negative is not None and negative.loss.value == pytest.approx(2.4)
    assert [item.id for item in ledger.blamed] == ["negative"]


def test_without_current_nothing_is_blamed_or_cleared() -> None:
    ledger = _ledger(battery_load=12.3, studs_load=9.1)
    assert ledger.total is not None and ledger.total.verdict == "unknown"
    assert ledger.missing[0] == "current" and not ledger.blamed


def test_without_cable_data_only_parts_can_be_blamed() -> None:
    ledger = _ledger(Cable(), battery_load=12.3, studs_load=9.1, current=310, fuse_drop=1.5)
    assert [item.id for item in ledger.blamed] == ["fuse"]
    assert {"length", "cross_section"} <= set(ledger.missing)


def test_a_twentieth_of_a_volt_is_no_fault() -> None:
    ledger = _ledger(battery_load=11.30, studs_load=9.72, current=310, one_moment=True)
    assert ledger.total is not None and ledger.total.excess is not None
    assert ledger.total.excess.value == pytest.approx(0.03, abs=0.02)
    assert ledger.total.verdict == "not_shown" and "within" in ledger.in_words()


def test_readings_of_different_runs_blame_less_easily() -> None:
    values = {"battery_load": 11.5, "studs_load": 9.5, "current": 310}
    apart, together = (path_ledger(Readings.of(values, one_moment=m), Cable(6, 50)) for m in (False, True))
    assert apart.total and together.total and apart.total.excess and together.total.excess
    assert apart.total.excess.u > together.total.excess.u


def test_current_comes_from_the_sounder_side_when_no_clamp_was_there() -> None:
    ledger = _ledger(positive_drop=2.3, negative_drop=0.7)
    assert ledger.current_from == "sides" and ledger.current is not None
    assert ledger.current.value == pytest.approx(290, rel=0.05)
    assert [item.id for item in ledger.blamed] == ["positive"]


def test_nothing_read_says_so() -> None:
    assert "no loss" in _ledger().in_words()


def test_battery_sag_and_resistance() -> None:
    ledger = _ledger(battery_rest=12.7, battery_load=11.46, studs_load=9.9, current=310)
    assert ledger.battery_resistance is not None
    assert ledger.battery_resistance.value == pytest.approx(0.004)


@pytest.mark.parametrize(
    "values",
    [
        {"current": -5.0},
        {"studs_load": float("nan")},
        {"battery_load": 9.0, "studs_load": 12.0},
        {"bilge": 1.0},
    ],
)
def test_impossible_readings_are_refused_in_a_sentence(values: dict[str, float]) -> None:
    with pytest.raises(ValueError, match=r"[A-Z].*\.$"):
        _ledger(**values)


volts = st.floats(9, 14)
loss = st.floats(0.1, 6)
amps = st.floats(50, 800)


@given(volts, loss, amps, st.floats(1, 15), st.floats(1.05, 2))
def test_a_longer_cable_is_expected_to_lose_more(
    battery: float, lost: float, i: float, length: float, more: float
) -> None:
    assume(battery - lost > 1)
    values = {"battery_load": battery, "studs_load": battery - lost, "current": i}
    short, long = (_ledger(Cable(m, 70), **values).total for m in (length, length * more))
    assert short and long and short.expected and long.expected and short.excess and long.excess
    assert long.expected.value > short.expected.value and long.excess.value < short.excess.value


@given(volts, loss, amps)
def test_heat_is_excess_times_current_and_its_resistance_times_current_squared(b: float, lost: float, i: float) -> None:
    total = _ledger(battery_load=b, studs_load=b - lost, current=i).total
    assert total and total.heat and total.excess and total.excess_resistance
    assert total.heat.value == pytest.approx(total.excess.value * i)
    assert total.heat.value == pytest.approx(total.excess_resistance.value * i * i)


@given(volts, loss, amps, st.sampled_from(["battery_load", "studs_load", "current"]))
def test_a_missing_reading_is_asked_for_and_never_invented(b: float, lost: float, i: float, gone: str) -> None:
    values = {"battery_load": b, "studs_load": b - lost, "current": i}
    del values[gone]
    ledger = _ledger(**values)
    assert gone in ledger.missing and not ledger.blamed
