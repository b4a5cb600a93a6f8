"""What the picture of the path shows, worked out once for every way of drawing it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from assistant.electrics.figures import figures
from assistant.electrics.ledger import CurrentFrom, Ledger, Segment, Verdict
from assistant.electrics.path import LEGS, Leg, Readings, path_data


@dataclass(frozen=True)
class Point:
    """A place where the meter stands across the path; voltages in V, None where it was not read."""

    name: str
    rest: float | None
    load: float | None


@dataclass(frozen=True)
class Stretch:
    """What lies between two points, with its loss in a run; V."""

    id: str
    name: str
    loss: float | None
    """None where it was not read and does not follow from other readings."""
    sound: float
    """How much of the loss sound parts cost; the whole loss where nothing is known to compare it with."""
    over: float
    """How much of the loss lies above that."""
    verdict: Verdict


@dataclass(frozen=True)
class Picture:
    """The path from the battery to the motor and back."""

    battery: Point
    motor: Point
    """The thruster's studs."""
    terminals: Point
    """The motor's own terminals, behind the contactor."""
    behind: Mapping[str, Point]
    """Points inside the path, by the stretch they lie behind."""
    sag: float | None
    """What the battery itself gives up in a run, V."""
    current: float | None
    """A."""
    current_from: CurrentFrom
    out: tuple[Stretch, ...]
    """From the battery to the motor, in the order of the path."""
    back: tuple[Stretch, ...]
    """From the motor to the battery."""
    wholes: tuple[Stretch, ...]
    """Both sides and the whole path."""
    missing: tuple[str, ...]
    """Readings that would tell more, the most telling first, in words."""
    sum: str
    """The arithmetic in one line; empty while there is none."""

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """All stretches in the order of the path."""
        return self.out + self.back

    @property
    def largest(self) -> float:
        """The largest loss that is drawn, V; 0 when there is none."""
        losses = [item.loss for item in (*self.stretches, *self.wholes) if item.loss is not None]
        return max([0.0, *losses])

    @property
    def kinds(self) -> tuple[str, ...]:
        """What has to be explained below the picture, in the order of `marks`."""
        drawn = (*self.stretches, *self.wholes)
        kinds = {kind for item in drawn for kind in _kinds(item)}
        read = (self.battery, self.motor, self.terminals, *self.behind.values())
        points = [value for point in read for value in (point.rest, point.load)]
        kinds |= {"missing"} if None in points or any(item.loss is None for item in drawn) else set()
        return tuple(kind for kind in picture_data()["marks"] if kind in kinds)


def picture_data() -> Any:
    """The file of the picture's words and marks."""
    return figures("picture")


def picture_of(ledger: Ledger) -> Picture:
    """The picture of a ledger."""
    data, readings = picture_data(), ledger.readings
    points, behind = (
        {name: _point(entry, readings) for name, entry in data[table].items()} for table in ("points", "behind")
    )
    told = path_data()["readings"]
    return Picture(
        battery=points["battery"],
        motor=points["motor"],
        terminals=_point(data["terminals"], readings),
        behind=behind,
        sag=ledger.battery_sag.value if ledger.battery_sag else None,
        current=ledger.current.value if ledger.current else None,
        current_from=ledger.current_from,
        out=_leg(ledger, LEGS[0]),
        back=_leg(ledger, LEGS[1]),
        wholes=tuple(_stretch(ledger.segment(name), name, words) for name, words in data["wholes"].items()),
        missing=tuple(str(told[name]) for name in ledger.missing),
        sum=ledger.in_words() if ledger.segments else "",
    )


def _point(entry: Mapping[str, str], readings: Readings) -> Point:
    return Point(entry["name"], readings.get(entry["rest"]), readings.get(entry["load"]))


def _leg(ledger: Ledger, leg: Leg) -> tuple[Stretch, ...]:
    parts = [(name, part["name"]) for name, part in path_data()["parts"].items() if part["leg"] == leg]
    remainder = ledger.segment(f"{leg}_rest") or (
        None if any(ledger.segment(name) for name, _ in parts) else ledger.segment(leg)
    )
    found = [_stretch(ledger.segment(name), name, words) for name, words in parts]
    return (*found, _stretch(remainder, f"{leg}_rest", picture_data()["remainder"]))


def _stretch(segment: Segment | None, name: str, words: str) -> Stretch:
    if segment is None:
        return Stretch(name, words, None, 0.0, 0.0, "unknown")
    loss = segment.loss.value
    over = min(max(segment.excess.value, 0.0), max(loss, 0.0)) if segment.excess is not None else 0.0
    return Stretch(name, words, loss, max(loss, 0.0) - over, over, segment.verdict)


def _kinds(item: Stretch) -> set[str]:
    if item.loss is None or item.loss <= 0:
        return set()
    if item.verdict == "unknown":
        return {"unknown"}
    return ({"sound"} if item.sound > 0 else set()) | ({item.verdict} if item.over > 0 else set())
