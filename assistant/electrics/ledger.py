"""The ledger of the path: what is lost where, what it should cost, what is too much, and how sure that is."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from assistant.electrics import ledger_words
from assistant.electrics.current import current_from_drop
from assistant.electrics.path import LEGS, Cable, Leg, Readings, hardware, path_data, spread_by
from assistant.electrics.uncertainty import Measured, combine, reading_amps, reading_volts

Verdict = Literal["too_much", "sound", "not_shown", "unknown"]
"""not_shown: over, but by less than meter and cable data can tell. unknown: current or cable is missing."""

CurrentFrom = Literal["read", "assumed", "sides", "nothing"]


@dataclass(frozen=True)
class Segment:
    """One stretch of the path: voltages V, resistances ohm, heat W."""

    id: str
    """`path`, a leg (`positive`), a part (`fuse`), or what is left of a leg (`positive_rest`)."""
    name: str
    subject: str
    """The subject of the vocabulary it belongs to."""
    loss: Measured
    expected: Measured | None
    """Loss of sound parts and cable at this current."""
    excess: Measured | None
    """Loss above that."""
    resistance: Measured | None
    """Of the whole stretch."""
    excess_resistance: Measured | None
    """Of what is too much: the bad joint, when there is one."""
    heat: Measured | None
    """Turned into heat by the excess."""
    verdict: Verdict


@dataclass(frozen=True)
class Ledger:
    """Everything that follows from a set of readings along the path."""

    readings: Readings
    cable: Cable
    current: Measured | None
    current_from: CurrentFrom
    segments: tuple[Segment, ...]
    """The whole path first, then its legs, parts and rests, as far as they were read."""
    battery_sag: Measured | None
    """Battery at rest less battery under load, V."""
    battery_resistance: Measured | None
    """That sag over the current, ohm."""
    missing: tuple[str, ...]
    """Readings that would tell more, the most telling first (names in `figures/path.yaml`)."""

    def segment(self, name: str) -> Segment | None:
        """The segment of this id, if it could be worked out."""
        return next((item for item in self.segments if item.id == name), None)

    @property
    def total(self) -> Segment | None:
        """The whole path, when both ends (or both sides) were read."""
        return self.segment("path")

    @property
    def blamed(self) -> tuple[Segment, ...]:
        """The narrowest segments that lose too much: parts and rests before legs, legs before the path."""
        bad = [item for item in self.segments if item.verdict == "too_much"]
        least = float(path_data()["worth_naming"]["value"])
        narrow = [item for item in bad if item.id in path_data()["parts"] or item.id.endswith("_rest")]
        narrow = [item for item in narrow if item.excess_resistance and item.excess_resistance.value >= least]
        explained = {_leg_of(item.id) for item in narrow}
        legs = [item for item in bad if item.id in LEGS and item.id not in explained]
        return tuple(narrow + legs or bad)

    def in_words(self, say: Callable[[str], str] = str) -> str:
        """The sum in one line, as it is said to the person.

        Args:
            say: Says a text of the rule base in the language of the case.
        """
        return ledger_words.in_words(self, say)


def _leg_of(segment: str) -> str:
    parts = path_data()["parts"]
    return str(parts[segment]["leg"]) if segment in parts else segment.removesuffix("_rest")


def path_ledger(readings: Readings, cable: Cable, assumed_current: Measured | None = None) -> Ledger:
    """Work out the ledger.

    Args:
        readings: What was read, V and A; None where it was not.
        cable: What is known about the cable.
        assumed_current: A current to fall back on when none was read (the rating, say), A.

    Raises:
        ValueError: A voltage under load stands above one it feeds from by more than the meter can be wrong, or a
            figure is too small or too large to reckon with.
    """
    try:
        return _worked_out(readings, cable, assumed_current)
    except OverflowError as error:
        raise ValueError("One of these readings is too small or too large to be one.") from error


def _worked_out(readings: Readings, cable: Cable, assumed_current: Measured | None) -> Ledger:
    losses = _losses(readings)
    current, source = _current(readings, cable, losses, assumed_current)
    segments = tuple(_segment(name, loss, current, _sound_ohms(name, cable, losses)) for name, loss in losses.items())
    sag = _difference(readings.battery_rest, readings.battery_load, one_moment=True)
    ledger = Ledger(readings, cable, current, source, segments, sag, _over(sag, current), ())
    return _with_missing(ledger)


def _difference(upper: float | None, lower: float | None, *, one_moment: bool) -> Measured | None:
    if upper is None or lower is None:
        return None
    high = reading_volts(upper, one_moment=one_moment)
    low = reading_volts(lower, one_moment=one_moment)
    return combine(lambda a, b: a - b, high, low)


def _losses(readings: Readings) -> dict[str, Measured]:
    """Loss of each stretch that the readings give, the widest first, V."""
    data, out = path_data(), {}
    legs = {leg: readings.get(data["legs"][leg]["reading"]) for leg in LEGS}
    total = _difference(readings.battery_load, readings.studs_load, one_moment=readings.one_moment)
    sides = [reading_volts(value) for value in legs.values() if value is not None]
    if total is None and len(sides) == len(LEGS):
        total = combine(lambda a, b: a + b, *sides)
    if total is not None:
        out["path"] = total
        if len(sides) == 1:
            _other_leg(legs, total, sides[0], out)
    for leg, value in legs.items():
        if value is not None:
            out[leg] = reading_volts(value)
    for name, part in data["parts"].items():
        if (value := readings.get(part["reading"])) is not None:
            out[name] = reading_volts(value)
        elif (between := _between(part, readings)) is not None:
            out[name] = between
    _rests(out)
    for name, loss in out.items():
        if loss.value < -3 * loss.spread:
            raise ValueError(
                f"These readings cannot belong to one run: they give a loss of {loss.value:.2f} V ({name})."
            )
    return out


def _between(part: Mapping[str, Any], readings: Readings) -> Measured | None:
    """Loss of a part from the voltages before and behind it."""
    ends = [readings.get(name) for name in part.get("between", ())]
    return _difference(*ends, one_moment=readings.one_moment) if ends else None


def _other_leg(legs: dict[Leg, float | None], total: Measured, side: Measured, out: dict[str, Measured]) -> None:
    missing = next(leg for leg, value in legs.items() if value is None)
    out[missing] = combine(lambda a, b: a - b, total, side)


def _rests(out: dict[str, Measured]) -> None:
    """Add what is left of a leg once some of its parts were read apart."""
    for leg in LEGS:
        parts = [out[name] for name, part in path_data()["parts"].items() if name in out and part["leg"] == leg]
        if leg in out and parts:
            out[f"{leg}_rest"] = combine(lambda whole, *rest: whole - math.fsum(rest), out[leg], *parts)


def _sound_ohms(name: str, cable: Cable, losses: dict[str, Measured]) -> tuple[Measured, ...] | None:
    """Independent resistances whose sum a sound stretch has, ohm; None when the cable is not known."""
    parts = path_data()["parts"]
    if name in parts:
        return (spread_by_limits(name),)
    one_way = cable.ohms_one_way()
    if one_way is None:
        return None
    if name == "path":
        both = Measured(2 * one_way.value, 2 * one_way.u)
        return both, hardware("positive"), hardware("negative")
    leg: Leg = "positive" if name.startswith("positive") else "negative"
    apart = tuple(part for part in parts if part in losses) if name.endswith("_rest") else ()
    apart = tuple(part for part in apart if parts[part]["leg"] == leg)
    return one_way, hardware(leg, apart)


def spread_by_limits(part: str) -> Measured:
    """Resistance of one sound part, from the limits of its kind, ohm."""
    low, high = path_data()["parts"][part]["ohms"]
    middle = (low + high) / 2
    return spread_by(middle, {"low": low / middle - 1, "high": high / middle - 1})


def _current(
    readings: Readings, cable: Cable, losses: dict[str, Measured], assumed: Measured | None
) -> tuple[Measured | None, CurrentFrom]:
    if readings.current is not None:
        return reading_amps(readings.current), "read"
    if all(leg in losses for leg in LEGS) and cable.ohms_one_way() is not None:
        sides = [current_from_drop(losses[leg], cable, leg) for leg in LEGS]
        sounder = min((item for item in sides if item), key=lambda item: item.value, default=None)
        if sounder is not None and sounder.value > 0:
            return sounder, "sides"
    return (assumed, "assumed") if assumed is not None else (None, "nothing")


def _over(volts: Measured | None, current: Measured | None) -> Measured | None:
    if volts is None or current is None or current.value <= 0:
        return None
    return combine(lambda v, i: v / i, volts, current)


def _segment(name: str, loss: Measured, current: Measured | None, sound: tuple[Measured, ...] | None) -> Segment:
    title, subject = _names(name)
    if current is None or current.value <= 0:
        return Segment(name, title, subject, loss, None, None, None, None, None, "unknown")
    whole = _over(loss, current)
    if sound is None:
        return Segment(name, title, subject, loss, None, None, whole, None, None, "unknown")
    expected = combine(lambda i, *r: i * math.fsum(r), current, *sound)
    excess = combine(lambda v, i, *r: v - i * math.fsum(r), loss, current, *sound)
    joint = combine(lambda v, i, *r: v / i - math.fsum(r), loss, current, *sound)
    heat = combine(lambda v, i, *r: (v - i * math.fsum(r)) * i, loss, current, *sound)
    return Segment(name, title, subject, loss, expected, excess, whole, joint, heat, _verdict(excess))


def _verdict(excess: Measured) -> Verdict:
    if excess.surely_positive:
        return "too_much"
    return "sound" if excess.value <= 0 else "not_shown"


def _names(segment: str) -> tuple[str, str]:
    data = path_data()
    if segment == "path":
        return data["path"]["name"], data["path"]["subject"]
    if segment in data["parts"]:
        return data["parts"][segment]["name"], data["parts"][segment]["subject"]
    leg = data["legs"][segment.removesuffix("_rest")]
    return (leg["rest"] if segment.endswith("_rest") else leg["name"]), leg["subject"]


def _with_missing(ledger: Ledger) -> Ledger:
    """The same ledger, with the readings named that would tell more."""
    readings, data = ledger.readings, path_data()
    wanted: list[str] = []
    if ledger.total is None:
        wanted += ["battery_load", "studs_load"]
    if readings.current is None:
        wanted.append("current")
    wanted += [name for name in ("length", "cross_section") if getattr(ledger.cable, name) is None]
    bad = {item.id for item in ledger.blamed}
    if "path" in bad or (ledger.total and ledger.total.verdict == "unknown"):
        wanted += [data["legs"][leg]["reading"] for leg in LEGS]
    for leg in LEGS:
        if bad & {leg, f"{leg}_rest"}:
            wanted += [p["reading"] for p in data["parts"].values() if p["leg"] == leg]
    if ledger.total and ledger.total.verdict in ("too_much", "unknown") and readings.battery_rest is None:
        wanted.append("battery_rest")
    missing = tuple(
        name for name in dict.fromkeys(wanted) if name in ("length", "cross_section") or readings.get(name) is None
    )
    return Ledger(
        readings, ledger.cable, ledger.current, ledger.current_from, ledger.segments,
        ledger.battery_sag, ledger.battery_resistance, missing,
    )  # fmt: skip
