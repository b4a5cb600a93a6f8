"""Sums of the trade that turn a reading into a state, by name, for the questions' `compute:`."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from assistant.diagnosis.seen import HISTORY, Seen
from assistant.electrics import ampacity, conductors
from assistant.facts.model import Fact

NOMINALS = (12.0, 24.0, 36.0, 48.0)


@dataclass(frozen=True)
class Boat:
    """What a sum may lean on besides the reading: the boat's data and the other readings of the epoch."""

    seen: tuple[Seen, ...]
    defaults: Mapping[str, Any]
    nominal: float

    def number(self, about: str, what: str, *scene: str) -> float | None:
        """The newest certain figure told of this, in at least this scene, or None."""
        told = [
            s.value
            for s in self.seen
            if s.about == about
            and s.what == what
            and set(scene) <= s.scene
            and HISTORY not in s.scene
            and s.fact.certain
        ]
        return float(told[-1]) if told and not isinstance(told[-1], str) else None

    def loaded(self, turn: int) -> bool:
        """Whether a normal load current, or a run in the same line, is reported beside a reading."""
        current = self.number("motor", "current", "under_load")
        if current is not None:
            low, high = self.current_limits()
            return low <= abs(current) <= high
        return any(s.fact.turn == turn and s.what == "runs_at_all" and s.value is True for s in self.seen)

    def current_limits(self) -> tuple[float, float]:
        """Lowest and highest normal load current in amperes, from the motor's rating or the stated default."""
        rating = self.number("motor", "rating")
        if rating is not None:
            share = self.defaults["load_current_rated"]
            return share["low"] * rating, share["high"] * rating
        at_12 = self.defaults["load_current_12v"]
        fuse = self.number("main_fuse", "rating")
        high = at_12["high"] * (12 / self.nominal) ** 0.5
        return at_12["low"] * 12 / self.nominal, max(high, self.defaults["load_current_fuse"] * fuse) if fuse else high


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


def leg_loss(seen: Seen, boat: Boat) -> str | None:
    """Drop along one leg in volts → small, high or all; small only when a load is known."""
    drop = abs(float(seen.value))
    if drop >= 0.75 * boat.nominal:
        return "all"
    limit = _leg_limit(seen, boat)
    if drop > limit:
        return "high"
    return "small" if boat.loaded(seen.fact.turn) else None


def _leg_limit(seen: Seen, boat: Boat) -> float:
    defaults = boat.defaults["leg_loss"]
    length = boat.number(seen.about, "length") or boat.number("positive_cable", "length")
    section = boat.number(seen.about, "cross_section") or boat.number("positive_cable", "cross_section")
    current = boat.number("motor", "current", "under_load")
    if length is None or section is None or current is None:
        return float(defaults["share_of_nominal"]) * boat.nominal
    expected = abs(current) * conductors.resistance(length, section)
    return float(expected * defaults["factor"] + defaults["joints_v"])


def joint_loss(seen: Seen, boat: Boat) -> str | None:
    """Drop across one joint, fuse or switch in volts → small, high or all; small only when a load is known."""
    drop = abs(float(seen.value))
    if drop >= 0.75 * boat.nominal:
        return "all"
    if drop > _joint_limit(boat):
        return "high"
    return "small" if boat.loaded(seen.fact.turn) else None


def _joint_limit(boat: Boat) -> float:
    """What a sound joint, fuse or switch may lose, volts: more only at a current above the usual one."""
    told = boat.defaults["joint_loss"]
    current = boat.number("motor", "current", "under_load")
    return float(told["volts"] * max(1.0, abs(current) / told["at_amperes"]) if current else told["volts"])


def load_current(seen: Seen, boat: Boat) -> str | None:
    """Motor current in amperes → none, low, normal or high."""
    current = abs(float(seen.value))
    low, high = boat.current_limits()
    if current < 0.05 * low or current < 2:
        return "none"
    return "low" if current < low else "high" if current > high else "normal"


def fuse_fit(seen: Seen, boat: Boat) -> str | None:
    """Fuse rating in amperes against cable and motor → too_large, too_small, or fits when both are known."""
    rating = float(seen.value)
    section = boat.number("positive_cable", "cross_section")
    motor = boat.number("motor", "rating")
    if section is not None and rating > 1.5 * ampacity.ampacity_of_area(section):
        return "too_large"
    if motor is not None and rating < boat.defaults["fuse_share_of_motor"] * motor:
        return "too_small"
    return None if section is None or motor is None else "fits"


def fitted_fuse(seen: tuple[Seen, ...], defaults: Mapping[str, Any], nominal: float) -> str | None:
    """How the main fuse's rating, as last told, fits cable and motor; None when that is not known."""
    told = [s for s in seen if (s.about, s.what) == ("main_fuse", "rating") and s.fact.certain]
    return fuse_fit(told[-1], Boat(seen, defaults, nominal)) if told else None


def share_of_supply(seen: Seen, boat: Boat) -> float | None:
    """Contactor output as a share of the supply in the same scene; of the nominal voltage where that was not told."""
    scene = [c for c in seen.scene if c.startswith("coil_energised")]
    supply = boat.number("supply", "voltage", *scene)
    return abs(float(seen.value)) / max(abs(supply) if supply else boat.nominal, 0.4 * boat.nominal)


FUNCTIONS: Mapping[str, Callable[[Seen, Boat], str | float | None]] = {
    "leg_loss": leg_loss,
    "joint_loss": joint_loss,
    "load_current": load_current,
    "fuse_fit": fuse_fit,
    "share_of_supply": share_of_supply,
}
