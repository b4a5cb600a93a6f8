"""Batteries, fuses, motors, heat, coils and insulation against published figures, each with its source."""

from __future__ import annotations

import math

import pytest

from assistant.electrics import battery, coils, fuse, heat, insulation, motor

# Common trade table at 80 degF, flooded: charge, open-circuit volts, specific gravity.
FLOODED = [(100, 12.65, 1.265), (75, 12.45, 1.225), (50, 12.24, 1.190), (25, 12.06, 1.155), (0, 11.89, 1.120)]
# Two published tables for absorbed glass mat that agree with each other.
AGM = [(100, 12.9), (75, 12.6), (50, 12.3), (25, 12.0)]


@pytest.mark.parametrize(("charge", "volts", "gravity"), FLOODED)
def test_flooded_table(charge: float, volts: float, gravity: float) -> None:
    assert battery.rest_volts(charge) == pytest.approx(volts)
    assert battery.charge_from_volts(volts).value == pytest.approx(charge)
    assert battery.charge_from_gravity(gravity) == pytest.approx(charge)
    assert 6 * (gravity + 0.845) == pytest.approx(volts, abs=0.12)  # rule of thumb, from memory


@pytest.mark.parametrize(("charge", "volts"), AGM)
def test_agm_table(charge: float, volts: float) -> None:
    assert battery.charge_from_volts(volts, "agm").value == pytest.approx(charge)


def test_published_tables_spread_by_a_tenth_of_a_volt_and_the_answer_says_so() -> None:
    """Four published tables put half charge between 12.2 and 12.30 V."""
    for volts in (12.2, 12.24, 12.30):
        answer = battery.charge_from_volts(volts)
        assert answer.low < 50 < answer.high


@pytest.mark.parametrize(("fahrenheit", "correction"), [(0, -0.032), (70, -0.004), (80, 0), (90, 0.004), (160, 0.032)])
def test_gravity_correction(fahrenheit: float, correction: float) -> None:
    """0.004 for each 10 degF from 80 degF: a battery maker's guide and a correction table."""
    celsius = (fahrenheit - 32) / 1.8
    assert battery.corrected_gravity(1.2, celsius) - 1.2 == pytest.approx(correction, abs=1e-4)


@pytest.mark.parametrize(("fahrenheit", "correction"), [(70, -0.024), (80, 0), (90, 0.024)])
def test_voltage_correction(fahrenheit: float, correction: float) -> None:
    """0.024 V for each 10 degF on a 12 V battery, same source."""
    celsius = (fahrenheit - 32) / 1.8
    assert battery.corrected_volts(12.4, celsius) - 12.4 == pytest.approx(correction, abs=1e-4)


def test_cranking_rating_is_what_it_promises() -> None:
    """SAE J537: at -18 degC the rated current leaves at least 7.2 V on a 12 V battery."""
    cold = battery.corrected_volts(12.65, -18)  # the rest voltage a full one has there
    ohms = battery.cranking_resistance(800, warm=False)
    assert cold - 800 * ohms == pytest.approx(7.2, abs=0.02)
    assert battery.cranking_resistance(800, 24, warm=False) == pytest.approx(2 * ohms)


def test_fuse_distances() -> None:
    """33 CFR 183.455: 7 in bare, 40 in sheathed; small-craft practice: 72 in sheathed at the battery post."""
    for placing, inches in (("bare", 7), ("sheathed", 40), ("at_battery_sheathed", 72)):
        assert fuse.distance_limit(placing) == pytest.approx(inches * 0.0254, abs=5e-4)  # type: ignore[arg-type]
        assert fuse.near_enough(inches * 0.0254, placing)  # type: ignore[arg-type]
        assert not fuse.near_enough(inches * 0.0254 + 0.01, placing)  # type: ignore[arg-type]


def test_fuse_may_be_half_above_allowed_current_below_50_volts_only() -> None:
    """33 CFR 183.455 (c): 150 % below 50 V; 4/0 at 105 degC is allowed 445 A."""
    assert fuse.largest_for_cable(107.2, voltage=12) == pytest.approx(667.5)
    assert fuse.largest_for_cable(107.2, voltage=50) == pytest.approx(445)


# Published examples: volts, ohms, running amps, back-EMF, starting amps (university pages and text books).
MOTORS = [
    (12, 6, 0.5, 9, 2.0),
    (12, 2.4, 1.2, 9.12, 5.0),
    (12, 3.5, 0.18, 11.37, 3.43),
    (12, 1.795, 0.78, 10.6, 6.69),
    (24, 2, 0.75, 22.5, 12),
    (6, 0.5, 3, 4.5, 12),
    (120, 0.72, 7, 114.96, 166.7),
    (115, 5.35, 6.5, 80.23, 21.5),
    (240, 1.5, 16, 216, 160),
    (120, 60, 0.5, 90, 2.0),
    (125, 0.25, 60, 110, 500),
]


@pytest.mark.parametrize(("volts", "ohms", "amps", "emf", "start"), MOTORS)
def test_back_emf_examples(volts: float, ohms: float, amps: float, emf: float, start: float) -> None:
    assert motor.back_emf(volts, amps, ohms) == pytest.approx(emf, rel=2e-3)
    assert motor.stall_current(volts, ohms) == pytest.approx(start, rel=2e-3)


def test_back_emf_of_the_standing_motor_is_nothing() -> None:
    assert motor.back_emf(12, motor.stall_current(12, 0.02), 0.02) == 0


def test_series_resistance_limits_the_start() -> None:
    """qammunity.org worked example: 120 V, 0.720 ohm, limited to 15.0 A by 7.28 ohm."""
    assert motor.series_ohms_for(120, 0.72, 15) == pytest.approx(7.28)


def test_torque_constant() -> None:
    """K_T = 60 / (2 pi Kv) = 9.5493 / Kv, and equals K_E in SI (0.1 N m/A and 0.1 V s/rad)."""
    assert motor.torque_constant(1) == pytest.approx(9.5493, abs=1e-4)
    assert motor.one_constant(0.1, 0.1) == pytest.approx(0.1)


def test_inconsistent_motor_is_refused() -> None:
    """Discussed in public: 12 V, 400 rad/s free, 0.4 N m and 20 A at stall gives 0.03 and 0.02."""
    with pytest.raises(ValueError, match="inconsistent"):
        motor.constant_from_plate(12, 400, 0.4, 20)


def test_current_beyond_the_resistance_is_refused() -> None:
    """A published example with 5 V, 35 A and 0.7 ohm has a negative back-EMF: bad data."""
    with pytest.raises(ValueError, match="do not belong"):
        motor.back_emf(5, 35, 0.7)


def test_series_motor_torque_goes_with_the_square() -> None:
    """Unsaturated series motor: T ~ I²; permanent magnet: T ~ I."""
    assert motor.torque_ratio(2, series=True) == 4
    assert motor.torque_ratio(2, series=False) == 2


def test_ten_percent_less_speed() -> None:
    """Derived from the square and cube laws: 19 % less thrust, 27 % less power."""
    slower = motor.at_speed(0.9)
    assert (slower.thrust, slower.power) == pytest.approx((0.81, 0.729))


# IEC 60034-1: highest temperature, rise at 40 degC, hot-spot allowance (class E rise from memory).
CLASSES = {"A": (105, 60, 5), "E": (120, 75, 5), "B": (130, 80, 10), "F": (155, 105, 10), "H": (180, 125, 15)}


@pytest.mark.parametrize("name", CLASSES)
def test_insulation_classes(name: str) -> None:
    highest, rise, allowance = CLASSES[name]
    assert heat.class_limit(name) == highest and heat.rise_limit(name) == rise
    assert 40 + heat.rise_limit(name) + allowance == heat.class_limit(name)


def test_ten_degree_rule() -> None:
    """25 K above the class: life divided by 2^2.5 = 5.66."""
    assert 1 / heat.life_share(25) == pytest.approx(5.657, abs=1e-3)


def test_time_to_95_percent_of_temperature_is_not_that_of_the_rise() -> None:
    """Published example: tau 3 h, 40 to 120 degC, 114 degC after 2.59 tau; 95 % of the rise 2.996 tau."""
    hours = heat.time_to_reach(114, 40, 120, 3 * 3600) / 3600
    assert hours == pytest.approx(7.77, abs=5e-3)
    assert heat.time_to_share_of_rise(0.95, 1) == pytest.approx(2.996, abs=1e-3)
    assert hours / 3 < heat.time_to_share_of_rise(0.95, 1) - 0.3


@pytest.mark.parametrize(("constants", "share"), [(1, 0.6321), (2, 0.8647), (5, 0.9933)])
def test_shares_of_the_rise(constants: float, share: float) -> None:
    """63 %, 86 %, 99 % after one, two and five time constants."""
    assert heat.temperature_after(constants, 0, 1, 1) == pytest.approx(share, abs=5e-5)


def test_thermal_resistance_and_capacity() -> None:
    """Derived: 0.5 K/W, 1200 J/K: 600 s; 200 W for 180 s from 40 degC: 65.92 degC."""
    tau = heat.time_constant(0.5, 1200)
    assert tau == pytest.approx(600)
    assert heat.temperature_after(180, 40, 40 + 200 * 0.5, tau) == pytest.approx(65.92, abs=5e-3)


def test_rest_ends_within_two_kelvin() -> None:
    """IEC 60034-1 short-time duty."""
    duty = heat.Duty(180, 1800, 100)
    rest = heat.rest_until_cool(100, duty)
    assert heat.temperature_after(rest, 100, 0, 1800) == pytest.approx(2)
    assert rest == pytest.approx(1800 * math.log(50))


@pytest.mark.parametrize(("rated", "limits"), [(12, (10.2, 13.2, 9.0, 1.2)), (24, (20.4, 26.4, 18.0, 2.4))])
def test_coil_limits(rated: float, limits: tuple[float, ...]) -> None:
    """IEC 60947-4-1: 85 to 110 % seen indirectly; drop-out 75 and 10 % from memory."""
    found = coils.coil_limits(rated)
    assert (found.pick_up, found.upper, found.drop_out_high, found.drop_out_low) == pytest.approx(limits)


def test_contact_identities() -> None:
    """Derived: 0.1 V at 200 A is 0.5 milliohm and 20 W."""
    assert coils.contact_ohms(0.1, 200) == pytest.approx(0.0005)
    assert coils.contact_heat(0.0005, 200) == pytest.approx(20)


@pytest.mark.parametrize(
    ("megohm", "degrees", "base", "expected"),
    [
        (15, 70, 40, 120),  # published worked example, DC motor
        (200, 20, 50, 25),  # testing guide: 200 at 20 degC is about 25 at 50 degC
        (150, 20, 30, 75),  # insulation tester manual, cable on a 20 degC base
        (20, 20, 40, 5),  # derived
    ],
)
def test_insulation_halves_for_each_ten_kelvin(megohm: float, degrees: float, base: float, expected: float) -> None:
    """IEEE 43 formula. One page reads factor 7 off a graph at 70 degC: the formula's 8 is used."""
    assert insulation.at_base(megohm, degrees, base) == pytest.approx(expected)


def test_insulation_minimums() -> None:
    """IEEE 43 at 40 degC: kV + 1, 100 and 5 megohm; low-voltage installations 0.5 and 1 megohm."""
    assert insulation.minimum(12, "before_1970") == pytest.approx(1.012)
    assert insulation.minimum(24, "before_1970") == pytest.approx(1.024)
    assert insulation.minimum(24, "form_wound") == 100
    assert insulation.minimum(24) == 5
    assert insulation.installation_minimum(24) == (0.5, 250)
    assert insulation.installation_minimum(400) == (1.0, 500)
    assert insulation.installation_minimum(690) == (1.0, 1000)


def test_insulation_rules_of_thumb() -> None:
    """Published table for motors; its worked example: 690 V asks for 0.345 megohm."""
    assert insulation.absolute_minimum(690) == pytest.approx(0.345)
    words = [insulation.in_a_word(m) for m in (1, 3, 7, 30, 70, 200)]
    assert words == ["bad", "critical", "abnormal", "good", "very_good", "excellent"]
    assert insulation.polarization_index(6000, 12000) is None
    assert insulation.polarization_index(100, 210) == pytest.approx(2.1)
