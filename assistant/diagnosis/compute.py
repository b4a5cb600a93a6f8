"""Sums of the trade that turn a reading into a state, by name, for the questions' `compute:`.

Each gives what it makes of the reading, or nothing when a datum that it needs is missing, and what it took for
granted on the way; the words of that stand in `replies.yaml`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from assistant.diagnosis.described import Assumed, Boat, Reckoned
from assistant.diagnosis.seen import Seen
from assistant.electrics import battery, coils, fuse, insulation, motor
from assistant.electrics.figures import number
from assistant.electrics.ledger import path_ledger
from assistant.electrics.path import LEGS, Cable, Readings, path_data
from assistant.electrics.uncertainty import Measured, combine, reading_amps, reading_volts
from assistant.facts.model import Fact

NOMINALS = (12.0, 24.0, 36.0, 48.0)


def nominal_voltage(seen: tuple[Seen, ...]) -> tuple[float, bool]:
    """Nominal voltage in volts, and whether it was told; else judged from the highest supply reading, else 12."""
    told = told_nominal(s.fact for s in seen)
    if told is not None:
        return told, True
    readings = [
        abs(float(s.value)) for s in seen if s.what == "voltage" and s.about in ("battery", "supply", "panel_lead")
    ]
    highest = max(readings, default=0.0)
    return next((n for n in NOMINALS if highest <= 1.3 * n), NOMINALS[-1]), False


def told_nominal(facts: Iterable[Fact]) -> float | None:
    """Nominal voltage in volts as last told with certainty, or None."""
    told = [f.value for f in facts if f.what == "nominal_voltage" and f.certain]
    return float(told[-1]) if told else None


def resting_charge(seen: Seen, boat: Boat) -> Reckoned:
    """Rest voltage at the posts → charged, unsure, low or very_low, by the battery's kind and temperature."""
    kind, assumed = boat.chemistry
    assumed = (*boat.nominal_assumed, *assumed)
    volts = abs(float(seen.value))
    if volts < number("batteries", "thruster_feed", "dead_below_nominal") * boat.nominal:
        return Reckoned("very_low", boat.nominal_assumed)
    charge = charge_at_rest(volts, kind, boat)
    if charge is None:
        return Reckoned(None)
    if charge.high < number("batteries", "thruster_feed", "flat_below_charge"):
        return Reckoned("low", assumed)
    enough = charge.low >= number("batteries", "thruster_feed", "charged_above")
    return Reckoned("charged" if enough else "unsure", assumed)


def charge_at_rest(volts: float, kind: battery.Chemistry, boat: Boat) -> Measured | None:
    """State of charge from a rest voltage, percent; None when no resting battery shows it."""
    temperature = boat.figure("battery_temperature")
    try:
        return battery.charge_from_volts(volts, kind, nominal_voltage=boat.nominal, temperature=temperature)
    except ValueError:
        return None


def acid_charge(seen: Seen, boat: Boat) -> Reckoned:
    """Specific gravity → percent of charge, corrected for the battery's temperature where it was told."""
    temperature = boat.figure("battery_temperature")
    assumed: tuple[Assumed, ...] = () if temperature is not None else (("acid_temperature", ()),)
    return Reckoned(battery.charge_from_gravity(float(seen.value), temperature), assumed)


def bank_under_load(seen: Seen, boat: Boat) -> Reckoned:
    """Voltage at the posts under load → holds or sags; overloaded or worn where a cranking rating says what is due."""
    load = abs(float(seen.value))
    if load >= number("batteries", "thruster_feed", "least_volts_per_block") * battery.blocks(boat.nominal):
        return Reckoned("holds", boat.nominal_assumed)
    ohms, promised = inner_ohms(load, boat.current_beside(seen.fact.turn), boat), promised_ohms(boat)
    if ohms is None or promised is None:
        return Reckoned("sags", boat.nominal_assumed)
    assumed = (*boat.nominal_assumed, ("cranking_warm", ()))
    if ohms.low > number("batteries", "cranking", "worn_above") * promised:
        return Reckoned("worn", assumed)
    sound = ohms.high <= number("batteries", "cranking", "sound_below") * promised
    return Reckoned("overloaded" if sound else "sags", assumed)


def inner_ohms(load: float, current: float | None, boat: Boat) -> Measured | None:
    """Inner resistance of the bank from its sag and the current that made it, ohm; None where one is not known."""
    rest = boat.figure("battery_rest")
    if rest is None or not current or abs(rest) < load:
        return None
    readings = reading_volts(abs(rest)), reading_volts(load), reading_amps(abs(current))
    return combine(battery.inner_resistance, *readings) if abs(rest) > readings[1].high else None


def promised_ohms(boat: Boat) -> float | None:
    """Inner resistance that the cranking rating promises of a sound, full bank, ohm; None where it was not told."""
    rating = boat.figure("cranking_rating")
    return battery.cranking_resistance(rating, boat.nominal) if rating else None


def coil_pull(seen: Seen, boat: Boat) -> Reckoned:
    """Voltage at a contactor coil → pulls_in, may_pull_in or does_not_hold."""
    return Reckoned(coils.pulls(abs(float(seen.value)), boat.nominal), (*boat.nominal_assumed, ("coil_rating", ())))


def winding_insulation(seen: Seen, boat: Boat) -> Reckoned:
    """Insulation in megohm; a reading on a hot winding is brought down to 40 degC, a cold one is left as read."""
    read, temperature = float(seen.value), boat.figure("motor_temperature")
    if temperature is None:
        return Reckoned(read, (("winding_temperature", ()),))
    return Reckoned(max(read, insulation.at_base(read, temperature)))


def leg_loss(seen: Seen, boat: Boat) -> Reckoned:
    """Drop along one leg in volts → small, high or all; small only when a load is known."""
    drop = abs(float(seen.value))
    if drop >= 0.75 * boat.nominal:
        return Reckoned("all", boat.nominal_assumed)
    high, assumed = _leg_too_much(seen, drop, boat)
    if high:
        return Reckoned("high", assumed)
    return Reckoned("small" if boat.loaded(seen.fact.turn) else None, assumed)


def _leg_too_much(seen: Seen, drop: float, boat: Boat) -> tuple[bool, tuple[Assumed, ...]]:
    """By the ledger where cable and current are known; else by a share of the nominal voltage."""
    rule = boat.defaults["leg_loss"]
    leg = next(name for name in LEGS if path_data()["legs"][name]["subject"] == seen.about)
    current = boat.current_beside(seen.fact.turn)
    readings = {f"{leg}_drop": drop, "current": None if current is None else abs(current)}
    segment = path_ledger(Readings.of(readings), cable_told(seen.about, boat)).segment(leg)
    if segment is not None and segment.excess is not None:
        return segment.verdict == "too_much" and segment.excess.value > float(rule["worth_v"]), ()
    limit = float(rule["share_of_nominal"]) * boat.nominal
    return drop > limit, (*boat.nominal_assumed, ("leg_loss", (limit,)))


def cable_told(about: str, boat: Boat) -> Cable:
    """The main cable as far as it was told; the first leg stands for the other."""
    length = boat.number(about, "length") or boat.figure("cable_length")
    section = boat.number(about, "cross_section") or boat.figure("cable_section")
    try:
        return Cable(length, section)
    except ValueError:
        return Cable()


def joint_loss(seen: Seen, boat: Boat) -> Reckoned:
    """Drop across one joint, fuse or switch in volts → small, high or all; small only when a load is known.

    Between what the meter can call too much and what it can call sound it gives nothing.
    """
    drop = reading_volts(abs(float(seen.value)))
    if drop.value >= 0.75 * boat.nominal:
        return Reckoned("all", boat.nominal_assumed)
    rule, current = boat.defaults["joint_loss"], boat.current_beside(seen.fact.turn)
    limit = rule["volts"] if current is None else rule["volts"] * abs(current) / rule["at_amperes"]
    assumed: tuple[Assumed, ...] = (("joint_loss", (limit,)),) if current is None else ()
    if drop.low > limit:
        return Reckoned("high", assumed)
    return Reckoned("small" if drop.high <= limit and boat.loaded(seen.fact.turn) else None, assumed)


def load_current(seen: Seen, boat: Boat) -> Reckoned:
    """Motor current in amperes → none, low, normal, high, or beyond_stall: more than a standing motor lets through."""
    current = abs(float(seen.value))
    low, high, assumed = boat.current_limits()
    if current < 0.05 * low or current < 2:
        return Reckoned("none", assumed)
    if current <= high:
        return Reckoned("low" if current < low else "normal", assumed)
    judged = motor_judged(current, boat)
    shorted = len(judged) > 0 and all(one.shorted for one in judged)
    return Reckoned("beyond_stall" if shorted else "high", assumed)


def motor_judged(current: float, boat: Boat) -> tuple[motor.Judged, ...]:
    """What current and voltage say of the motor at either end of what its resistance may be; none without the data."""
    volts = boat.figure("motor_volts") or boat.figure("studs_load")
    ends = winding_ohms(boat)
    return tuple(motor.judge(abs(volts), current, ohms) for ohms in ends) if volts and ends else ()


def winding_ohms(boat: Boat) -> tuple[float, ...]:
    """Resistance of the sound motor, ohm: as told from its papers, else the ends of what its rating leaves open."""
    told, rating = boat.figure("motor_resistance"), boat.figure("rated_current")
    if told and (rating is None or motor.stall_current(boat.nominal, told) > rating):
        return (told,)
    if rating is None:
        return ()
    shares = boat.defaults["winding_share"]
    return tuple(shares[end] * boat.nominal / rating for end in ("low", "high"))


def fuse_fit(seen: Seen, boat: Boat) -> Reckoned:
    """Fuse rating in amperes against cable and motor → too_large, too_small, or fits when both are known."""
    rating = float(seen.value)
    section, rated = boat.figure("cable_section"), boat.figure("rated_current")
    assumed: tuple[Assumed, ...] = (*boat.nominal_assumed, ("insulation_class", ()))
    if section is not None and rating > fuse.largest_for_cable(section, voltage=boat.nominal):
        return Reckoned("too_large", assumed)
    if rated is not None and rating < fuse.smallest_for_motor(rated):
        return Reckoned("too_small")
    return Reckoned(None) if section is None or rated is None else Reckoned("fits", assumed)


def fitted_fuse(seen: tuple[Seen, ...], defaults: Mapping[str, Any], nominal: float) -> str | None:
    """How the main fuse's rating, as last told, fits cable and motor; None when that is not known."""
    told = [s for s in seen if (s.about, s.what) == ("main_fuse", "rating") and s.fact.certain]
    fit = reckon("fuse_fit", told[-1], Boat(seen, defaults, nominal)).value if told else None
    return str(fit) if fit is not None else None


def share_of_supply(seen: Seen, boat: Boat) -> Reckoned:
    """Contactor output as a share of the supply in the same scene; of the nominal voltage where that was not told."""
    scene = [c for c in seen.scene if c.startswith("coil_energised")]
    supply = boat.number("supply", "voltage", *scene)
    share = abs(float(seen.value)) / max(abs(supply) if supply else boat.nominal, 0.4 * boat.nominal)
    return Reckoned(share, () if supply else (*boat.nominal_assumed, ("supply_beside", (boat.nominal,))))


def reckon(name: str, seen: Seen, boat: Boat) -> Reckoned:
    """One sum by its name; data that cannot be true together give nothing."""
    try:
        return FUNCTIONS[name](seen, boat)
    except (ValueError, OverflowError):
        return Reckoned(None)


FUNCTIONS: Mapping[str, Callable[[Seen, Boat], Reckoned]] = {
    "resting_charge": resting_charge,
    "acid_charge": acid_charge,
    "bank_under_load": bank_under_load,
    "coil_pull": coil_pull,
    "winding_insulation": winding_insulation,
    "leg_loss": leg_loss,
    "joint_loss": joint_loss,
    "load_current": load_current,
    "fuse_fit": fuse_fit,
    "share_of_supply": share_of_supply,
}
