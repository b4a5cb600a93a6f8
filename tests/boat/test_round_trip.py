"""From a boat to readings to the ledger and back: the joint and its resistance are found again.

Five hundred seeded boats. Meter: 0.5 % and two counts; clamp: 3 %; length told 5 % off; cable 3 % better to
8 % worse than its table. The joint has 0.3 to 10 milliohm more than a sound one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

import pytest

from assistant.boat.boat import Boat
from assistant.boat.network import meter_volts
from assistant.boat.spec import draw_spec
from assistant.electrics.ledger import Ledger, path_ledger
from assistant.electrics.path import Cable, Readings

BOATS = 500
# reading of the ledger: the element, and where the meter's tips go
JOINTS = {
    "terminal": ("clamp_positive", "bat_pos", "post_pos"),
    "fuse": ("fuse", "fuse_in", "fuse_out"),
    "isolator": ("isolator", "fuse_out", "isolator_out"),
    "positive_joint": ("lug_positive", "lug_pos", "stud_pos"),
    "negative_joint": ("lug_negative", "stud_neg", "lug_neg"),
}
ENDS = {
    "battery_load": ("bat_pos", "bat_neg"),
    "studs_load": ("stud_pos", "stud_neg"),
    "positive_drop": ("bat_pos", "stud_pos"),
    "negative_drop": ("stud_neg", "bat_neg"),
}


@dataclass
class Trip:
    joint: str | None
    added: float
    """ohm"""
    whole: float
    """Of the joint with what is added, ohm."""
    everything: Ledger
    ends_only: Ledger


def _trip(seed: int, *, sound: bool) -> Trip:
    chance = Random(f"trip {seed}")
    boat = Boat(draw_spec(chance), seed=seed)
    joint = None if sound else chance.choice(list(JOINTS))
    added = 0.0 if sound else math.exp(chance.uniform(math.log(0.0003), math.log(0.010)))
    whole = 0.0
    if joint is not None:
        element = boat.plant.elements[JOINTS[joint][0]]
        assert element.ohms is not None
        element.ohms += added
        whole = element.ohms
    moment = boat.run((1, "port"))
    network = moment.turning.network

    def read(plus: str, minus: str) -> float:
        return boat.meter.volts(meter_volts(network, plus, minus))

    values = {name: read(*tips) for name, tips in ENDS.items()}
    values["current"] = boat.meter.amps(boat.amps("lug_positive", moment))
    assert values["current"] > 50
    parts = {f"{name}_drop": read(*tips[1:]) for name, tips in JOINTS.items()}
    cable = Cable(boat.spec.length, boat.spec.cross_section)
    ends = {name: values[name] for name in ("battery_load", "studs_load", "current")}
    return Trip(
        joint,
        added,
        whole,
        path_ledger(Readings.of(values | parts, one_moment=True), cable),
        path_ledger(Readings.of(ends, one_moment=True), cable),
    )


@pytest.fixture(scope="module")
def faulty() -> list[Trip]:
    return [_trip(seed, sound=False) for seed in range(BOATS)]


def test_a_drop_read_across_the_joint_finds_it_and_its_resistance(faulty: list[Trip]) -> None:
    found = 0
    for trip in faulty:
        blamed = trip.everything.blamed
        ohms = blamed[0].resistance if blamed else None
        found += (
            [item.id for item in blamed] == [trip.joint]
            and ohms is not None
            and abs(ohms.value / trip.whole - 1) <= 0.15
        )
    assert found >= 0.95 * BOATS, found


def test_readings_from_post_to_stud_give_an_honest_interval(faulty: list[Trip]) -> None:
    holds, errors = 0, []
    for trip in faulty:
        total = trip.ends_only.total
        assert total is not None and total.excess_resistance is not None
        excess = total.excess_resistance
        holds += excess.low <= trip.added <= excess.high
        errors.append(abs(excess.value - trip.added) / excess.spread)
    assert holds >= 0.95 * BOATS, holds
    # the interval that would just hold 95 of 100 errors is the narrowest the noise allows
    just = sorted(errors)[math.ceil(0.95 * BOATS) - 1]
    assert 1 / just <= 2, just


def test_no_joint_is_blamed_on_a_sound_boat() -> None:
    trips = [_trip(10_000 + seed, sound=True) for seed in range(BOATS)]
    assert sum(bool(trip.everything.blamed) for trip in trips) <= 0.01 * BOATS
    assert sum(bool(trip.ends_only.blamed) for trip in trips) <= 0.01 * BOATS
