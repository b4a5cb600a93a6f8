"""The sums shown with a reading, one line each: the path first, then battery, cable, fuse, motor and controls."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from assistant.diagnosis.seen import HISTORY
from assistant.electrics.figures import figures
from assistant.electrics.ledger import Ledger, path_ledger
from assistant.electrics.path import Cable, Readings
from assistant.electrics.uncertainty import Measured, within
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.session import reckoning_motor, reckoning_supply
from assistant.session.told import Told, since_work, told

SUMS: Mapping[str, Callable[[Told], str | None]] = {
    "charge": reckoning_supply.charge,
    "gravity": reckoning_supply.gravity,
    "sag": reckoning_supply.sag,
    "current": reckoning_supply.current,
    "feed": reckoning_supply.feed,
    "cable": reckoning_supply.cable,
    "fuse_size": reckoning_supply.fuse_size,
    "fuse_place": reckoning_supply.fuse_place,
    "fuse_blown": reckoning_supply.fuse_blown,
    "push": reckoning_motor.push,
    "standing": reckoning_motor.standing,
    "contact": reckoning_motor.contact,
    "coil": reckoning_motor.coil,
    "coil_ohms": reckoning_motor.coil_ohms,
    "insulation": reckoning_motor.winding,
    "running_time": reckoning_motor.running_time,
}


def sums_of(
    new: Iterable[Fact], facts: Iterable[Fact], knowledge: Knowledge, times: Mapping[int, str], turn: int
) -> list[str]:
    """The sums that the facts of one line are worth.

    Args:
        new: What the line told.
        facts: Everything that stands.
        knowledge: The rule base.
        times: Turn → recorded time.
        turn: The turn of the line.
    """
    fresh, standing = list(new), since_work(facts, knowledge)
    ledger = ledger_of(standing) if any(reads_path(f) for f in fresh) else None
    lines = [ledger.in_words(knowledge.tongue.say)] if ledger else []
    now = [f for f in fresh if HISTORY not in f.while_]
    names = {f"{f.about}.{f.what}{scene}" for f in now for scene in ("", *(f" {c}" for c in f.while_))}
    wanted = [name for name, rule in figures("sums")["sums"].items() if names & set(rule["told"])]
    if not wanted:
        return lines
    boat = told(standing, knowledge, times, turn)
    return lines + [line for name in wanted if (line := _line(name, boat))]


def _line(name: str, boat: Told) -> str | None:
    """One sum; readings and data that cannot be true together make none, and are named as a conflict elsewhere."""
    try:
        return SUMS[name](boat)
    except (ValueError, OverflowError):
        return None


def ledger_of(facts: Iterable[Fact]) -> Ledger | None:
    """The ledger of the newest readings, or None while none is worth a sum or they cannot be true together.

    Such readings are named as a conflict elsewhere.
    """
    told = figures("path_readings")
    listed = [f for f in facts if HISTORY not in f.while_ and f.certain]
    values = {name: _newest(listed, rule) for name, rule in told["readings"].items()}
    if not any(values[name] is not None for name in told["worth"]):
        return None
    cable = {name: _newest(listed, rule) for name, rule in told["cable"].items()}
    try:
        sizes = Cable(length=cable["length"], cross_section=cable["cross_section"])
        ledger = path_ledger(Readings.of(values), sizes, _assumed_current(listed))
    except ValueError:
        return None
    return ledger if ledger.segments else None


def _assumed_current(facts: list[Fact]) -> Measured | None:
    """The motor's rated current for want of a reading, A, as far as it may be off; None where it was not told."""
    rule = figures("path_readings")["assumed_current"]
    rated = _newest(facts, rule)
    return Measured(rated, within(rule["low"] * rated, rule["high"] * rated).u) if rated else None


def reads_path(fact: Fact) -> bool:
    """Whether a fact is a reading, or a size, of the ledger."""
    told = figures("path_readings")
    return any(_is(fact, rule) for section in ("readings", "cable") for rule in told[section].values())


def _newest(facts: list[Fact], rule: Mapping[str, Any]) -> float | None:
    found = [f for f in facts if _is(f, rule)]
    return abs(float(found[-1].value)) if found else None


def _is(fact: Fact, rule: Mapping[str, Any]) -> bool:
    return f"{fact.about}.{fact.what}" == rule["reads"] and set(rule["while"]) <= set(fact.while_)
