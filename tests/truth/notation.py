"""Facts in the notation of the tables: `part.attribute = value unit while circumstance, circumstance`."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from typing import Any

Value = bool | int | float | str
Fact = dict[str, Any]
"""A fact as the protocol writes it: about, what, value, and unit and while where there are any."""
Way = str
"""`port` or `starboard`."""

WAYS: tuple[Way, ...] = ("port", "starboard")

UNITS = {
    "voltage": "V", "drop": "V", "current": "A", "rating": "A", "resistance": "ohm", "insulation": "megohm",
    "temperature": "degC", "state_of_charge": "percent", "stops_after": "s", "ran_for": "s", "age": "years",
    "nominal_voltage": "V", "distance": "m", "length": "m", "cross_section": "mm2",
}  # fmt: skip

ORDER = (
    "at_rest", "under_load", "port_commanded", "starboard_commanded", "command_bridged_port",
    "command_bridged_starboard", "coil_energised_port", "coil_energised_starboard", "thermal_bridged",
    "panel_unplugged", "control_unit_unplugged", "harness_unplugged", "sense_lead_lifted", "isolator_on",
    "isolator_off", "motor_hot", "motor_cold", "before_the_trouble", "just_done",
)  # fmt: skip
"""The circumstances in the order of the vocabulary."""

PRINCIPAL = (
    "isolator_off", "coil_energised_port", "coil_energised_starboard", "command_bridged_port",
    "command_bridged_starboard", "thermal_bridged", "control_unit_unplugged", "harness_unplugged",
    "panel_unplugged", "sense_lead_lifted",
)  # fmt: skip
"""The first of these that is present is the scene a fact belongs to."""

_FACT = re.compile(
    r"(?P<about>\w+)\.(?P<what>\w+) = (?P<value>\S+)(?: (?P<unit>\w+))??(?: while (?P<while>[\w, ]+))?\Z"
)


def fact(about: str, what: str, value: Value, *while_: str) -> Fact:
    """A protocol fact, its circumstances in the order of the vocabulary."""
    out: Fact = {"about": about, "what": what, "value": value}
    if what in UNITS:
        out["unit"] = UNITS[what]
    if while_:
        out["while"] = sorted(while_, key=ORDER.index)
    return out


def read_fact(text: str, scale: float = 1.0) -> Fact:
    """Read one fact of the tables.

    Args:
        text: The fact, for a 12 V boat.
        scale: Nominal voltage of the boat over 12; volts are multiplied by it.

    Raises:
        ValueError: The text is not in the notation, or names another unit than the attribute's own.
    """
    match = _FACT.match(text)
    if match is None:
        raise ValueError(f"not a fact: {text!r}")
    value = _value(match["value"])
    unit = UNITS.get(match["what"])
    if match["unit"] != unit:
        raise ValueError(f"{text!r}: the unit is {unit}")
    if unit == "V" and match["what"] != "nominal_voltage":
        value = round(float(value) * scale, 3)
    while_ = [word.strip() for word in (match["while"] or "").split(",") if word.strip()]
    return fact(match["about"], match["what"], value, *while_)


def write_fact(item: Fact) -> str:
    """The opposite of `read_fact`, unscaled."""
    value = item["value"]
    shown = str(value).lower() if isinstance(value, bool) else str(value)
    unit = f" {item['unit']}" if "unit" in item else ""
    scene = f" while {', '.join(item['while'])}" if "while" in item else ""
    return f"{item['about']}.{item['what']} = {shown}{unit}{scene}"


def key(item: Fact) -> tuple[str, str, tuple[str, ...]]:
    """What a fact is about, without its value."""
    return item["about"], item["what"], tuple(item.get("while", ()))


def principal(while_: Collection[str]) -> str | None:
    """The scene that a fact belongs to."""
    return next((scene for scene in PRINCIPAL if scene in while_), None)


def find(facts: Iterable[Fact], about: str, what: str, while_: Collection[str]) -> Value | None:
    """The value that the facts give for something seen in these circumstances.

    A fact answers when it belongs to the same scene, and the one's circumstances include the other's. Of
    several, the one whose circumstances are nearest wins, then the first.
    """
    wanted = _with_implied(about, what, while_)
    best: tuple[int, Value] | None = None
    for item in facts:
        if (item["about"], item["what"]) != (about, what):
            continue
        has = _with_implied(about, what, item.get("while", ()))
        if principal(has) != principal(wanted) or not (has <= wanted or wanted <= has):
            continue
        distance = len(has ^ wanted)
        if best is None or distance < best[0]:
            best = (distance, item["value"])
    return None if best is None else best[1]


def _with_implied(about: str, what: str, while_: Iterable[str]) -> set[str]:
    """Ohms are measured with power off, a panel's plug with the panel unplugged."""
    scene = set(while_)
    if what in ("resistance", "insulation") or (what == "continuity" and about != "isolator"):
        scene.add("isolator_off")
    if about == "panel_lead" and what != "continuity":
        scene.add("panel_unplugged")
    return scene


def _value(text: str) -> Value:
    if text in ("true", "false"):
        return text == "true"
    if re.fullmatch(r"-?\d+", text):
        return int(text)
    return float(text) if re.fullmatch(r"-?\d+\.\d+", text) else text
